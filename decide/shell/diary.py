"""A row of the record for what a person says was done, in the layout of the situation file."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from decide.knowledge.tables import Knowledge
from decide.model.errors import SituationError

if TYPE_CHECKING:
    from decide.decision.consultation import Consultation


def record_row(
    knowledge: Knowledge, judged: Consultation | None, told: Mapping[str, Any]
) -> tuple[str, dict[str, Any]]:
    """The table and the row of an entry; new grass is what the advice chose for the part, where it chose
    some. SituationError where it cannot be written down.
    """
    from decide.facts.progress import begins
    from decide.facts.record import Entry, row_of, table_of

    entry = dict(told)
    _, code = table_of(knowledge, entry["what"])
    if begins(knowledge, code):
        entry.pop("passed", None)
        entry |= _chosen(judged, entry.get("zone"))
        if "grass" not in entry:
            raise SituationError(
                "which grass was put in is not told", instead="Say such as: sowed perennial ryegrass on 9 May"
            )
    else:
        entry = {key: value for key, value in entry.items() if key not in ("grass", "method")}
    name, row = row_of(knowledge, Entry(**entry))
    return name, {key: one.isoformat() if isinstance(one, dt.date) else one for key, one in row.items()}


def _chosen(judged: Consultation | None, zone: str | None) -> dict[str, str]:
    """Method and grass that the advice chose for a part; of the first part with such a choice, where none is
    named.
    """
    if judged is None:
        return {}
    from decide.answer.assemble import advice_of

    advice = advice_of(judged)
    for answer in advice.programme:
        option = advice.option(answer.option)
        if (zone is None or answer.zone == zone) and option is not None and option.method and option.grass:
            return {"method": option.method, "grass": option.grass, "zone": answer.zone}
    return {}
