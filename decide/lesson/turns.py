"""What would change it: missing answers that are tried, one after another, and the first of each that makes
another choice.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Final

from decide.decision.consultation import Consultation
from decide.decision.rank import USABLE
from decide.explain.changes import change_of
from decide.explain.runs import Runs
from decide.explain.what_if import Stand, stand_of, stand_words
from decide.explain.would_take import would_take
from decide.lesson.telling import Telling
from decide.lesson.told import Told
from decide.model.errors import DecideError
from decide.model.words import capital
from decide.model.written import coded
from decide.questions.open import Asked, open_questions, possible_answers
from decide.questions.unknown import unknown_rows

# Of the missing answers the weightiest are tried, until so many change the choice.
MOST_TURNS: Final = 3
MOST_TRIED: Final = 24
_MOST_WAYS: Final = 2
_DAY: Final = re.compile(r"/\d{4}-\d\d-\d\d$")


@dataclass(frozen=True)
class Turn:
    """A missing answer that makes another choice: its key and value, in words, and what is chosen then."""

    key: str
    value: Any
    answer: str
    then: str


def turns(c: Consultation, zone: str) -> tuple[list[Turn], int]:
    """The missing answers that were tried and make another choice for a part, and how many answers were
    tried.
    """
    runs, before = Runs(c), stand_of(c, zone, decided=False)
    found: list[Turn] = []
    tried = 0
    for key, values in _open(c, zone):
        for value in values:
            if len(found) == MOST_TURNS or tried == MOST_TRIED:
                return found, tried
            tried += 1
            if not runs.alters({key: value}):
                continue
            after = _then(runs, zone, key, value)
            if after is not None and _ways(after) != _ways(before):
                said = capital(change_of(c, runs.answers, key, value).text)
                found.append(Turn(key, value, said, stand_words(c.knowledge, after)))
                break
    return found, tried


def _ways(stand: Stand) -> tuple[str, str]:
    """What is chosen, whenever it starts."""
    return _DAY.sub("", stand.option), _DAY.sub("", stand.stopgap)


def _then(runs: Runs, zone: str, key: str, value: Any) -> Stand | None:
    try:
        return stand_of(runs.whole({key: value}), zone, decided=False)
    except DecideError:
        return None


def _open(c: Consultation, zone: str) -> Iterator[tuple[str, list[Any]]]:
    """The open questions about the site and a part that bear on the advice, the weightiest first, each with
    single answers that stand for all.
    """
    answers = Runs(c).answers
    asked = {_key(one, len(c.zones) > 1): one for one in open_questions(c.knowledge, answers)}
    for row in unknown_rows(c):
        one = asked.get(row.key)
        if one is None or (one.zone is not None and coded(one.zone) != zone):
            continue
        values: list[Any] = [
            each for each in possible_answers(one, c.types, c.filled.today) if not isinstance(each, list)
        ]
        # Of numbers the middle of what may be, for the ends are seldom met.
        if len(values) > 1 and all(
            isinstance(each, (int, float)) and not isinstance(each, bool) for each in values
        ):
            values = [sorted(values)[len(values) // 2]]
        yield (one.key if one.zone is None else f"zone.{zone}.{one.key.removeprefix('zone.')}"), values


def _key(one: Asked, named: bool) -> str:
    """The key of a question as the rows of what is unknown name it."""
    if one.zone is None or not named:
        return one.key
    return f"zone.{coded(one.zone)}.{one.key.removeprefix('zone.')}"


def change(t: Telling) -> Told:
    """The last scene: what would make another choice, and what would make the loser sound."""
    found, tried = turns(t.c, t.zone)
    tells = [t.say("change-tried", n=tried) if tried else t.say("change-all-told")]
    tells += [t.say("change-turn", answer=turn.answer, then=turn.then) for turn in found]
    if tried and not found:
        tells.append(t.say("change-none"))
    return Told(t.say("ask-change"), [*tells, *_for_the_loser(t)], t.say("change-so"))


def _for_the_loser(t: Telling) -> list[str]:
    """What would make the worked loser sound, found and proved by running it."""
    w = t.loser
    if w is None or (w.verdict in USABLE and w.verdict != "late"):
        return []
    found = would_take(t.c, t.way(w), t.c.zones[t.zone].name)
    way = capital(t.way(w))
    if found.kind == "found":
        changes = [
            t.k.language.listed([change.text for change in one.changes]) for one in found.ways[:_MOST_WAYS]
        ]
        return [t.say("change-loser", way=way), *(f"- {capital(change)}." for change in changes)]
    return [t.say("change-never", way=way)] if found.kind in ("fixed", "none") else []
