"""Answers as a nested table, and the situation that they give."""

from __future__ import annotations

import copy
import datetime as dt
from collections.abc import Mapping
from typing import Any

from decide.model.errors import SituationError
from decide.model.reading import situation_from_dict
from decide.model.situation import Situation
from decide.model.written import DONT_KNOW

Answers = dict[str, Any]


def as_answers(situation: Situation) -> Answers:
    """A situation as the nested table that it could have been read from."""
    out: Answers = situation.model_dump(mode="json", by_alias=True, exclude_none=True)
    return {
        key: value
        for key, value in out.items()
        if value != {} and (value != [] or key not in ("zone", "proposal"))
    }


def as_situation(answers: Mapping[str, Any], today: dt.date) -> Situation | None:
    """The situation that the answers give on a day; None where they cannot be read."""
    out: Answers = copy.deepcopy(dict(answers))
    dates = out.get("dates")
    out["dates"] = {**(dates if isinstance(dates, dict) else {}), "today": today.isoformat()}
    if out.get("zone") == DONT_KNOW:
        del out["zone"]
    history = out.get("history")
    sprays = history.get("herbicides") if isinstance(history, dict) else None
    for spray in sprays if isinstance(sprays, list) else ():
        if isinstance(spray, dict):
            for key, careful in (("class", "unknown"), ("date", today.isoformat())):
                if spray.get(key) in (None, DONT_KNOW):
                    spray[key] = careful
    try:
        return situation_from_dict(out)
    except SituationError:
        return None
