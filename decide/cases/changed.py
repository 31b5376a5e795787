"""What changed: two states of the knowledge over the case bank, or two situations, and which rules moved the
answers.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass
from typing import Any, Final

from decide.cases.edits import Edit, Reach, edits
from decide.cases.outcome import Move, fired_differently, moves, outcome
from decide.consult import Adviser
from decide.decision.consultation import Consultation
from decide.knowledge.wording import ENGLISH
from decide.measure.weather import DailyWeather
from decide.model.errors import DecideError, KnowledgeError
from decide.model.situation import Situation
from decide.questions.answers import as_answers

_MOST_SHOWN: Final = 5


@dataclass(frozen=True)
class CaseChange:
    """One situation whose answers moved, and by what.

    `rules` are the edited rules that fired differently; `values` the edited values that measures read, where
    no such rule did; `followed` the other rules that fired differently because of them.
    """

    case: str
    moves: tuple[Move, ...]
    rules: tuple[str, ...]
    values: tuple[str, ...] = ()
    followed: tuple[str, ...] = ()


@dataclass(frozen=True)
class Changed:
    """Two states of the knowledge, what was edited between them, and the cases that moved among all that were
    looked at.
    """

    old: str
    new: str
    edits: tuple[Edit, ...]
    cases: tuple[CaseChange, ...]
    looked_at: int
    failed: tuple[tuple[str, str], ...] = ()

    def as_json(self) -> str:
        """The result for programs."""
        return json.dumps(
            {"schema": "changed/1", **asdict(self)}, ensure_ascii=False, indent=1, sort_keys=True
        )


@dataclass(frozen=True)
class Difference:
    """Two situations: the answers in which they differ, what moved, and the rules that fired in one of them
    only.
    """

    told: tuple[Move, ...]
    moves: tuple[Move, ...]
    rules: tuple[str, ...]

    def as_json(self) -> str:
        """The result for programs."""
        return json.dumps(
            {"schema": "changed-situations/1", **asdict(self)}, ensure_ascii=False, indent=1, sort_keys=True
        )


@dataclass(frozen=True)
class Given:
    """One situation to be looked at, by name."""

    name: str
    situation: Situation
    weather: DailyWeather | None = None


def compare_knowledge(old: Adviser, new: Adviser, given: Iterable[Given]) -> Changed:
    """What moved in some situations between two states of the knowledge, and by which edits.

    A situation that one of them cannot read is listed as failed, with the reason.
    """
    found = edits(old.knowledge, new.knowledge)
    reach = Reach(old.knowledge, new.knowledge, found)
    rows: list[CaseChange] = []
    failed: list[tuple[str, str]] = []
    looked = 0
    for one in given:
        looked += 1
        if not reach.edits:
            continue
        try:
            before = _consulted(old, one)
            if not reach.touches(before):
                continue
            after = _consulted(new, one)
        except DecideError as error:
            failed.append((one.name, str(error)))
            continue
        moved = moves(outcome(before), outcome(after))
        if moved:
            rows.append(_by(one.name, moved, fired_differently(before, after), reach))
    return Changed(old.knowledge.digest, new.knowledge.digest, found, tuple(rows), looked, tuple(failed))


def _consulted(adviser: Adviser, one: Given) -> Consultation:
    try:
        return adviser.consult(one.situation, weather=one.weather)
    except KeyError as error:
        # Knowledge whose verdict rules leave a gap gives an option no verdict; only the audit proves that
        # they do not.
        raise KnowledgeError(
            f"no verdict rule holds for {error.args[0]}",
            where=str(adviser.knowledge.folder),
            instead="Exactly one must hold for each; decide audit says which is missing",
        ) from None


def _by(case: str, moved: tuple[Move, ...], differ: frozenset[str], reach: Reach) -> CaseChange:
    rules = tuple(sorted(differ & set(reach.rules)))
    values = {value for name in rules for value in reach.rules[name]}
    if not rules:
        values |= reach.measured
    return CaseChange(case, moved, rules, tuple(sorted(values)), tuple(sorted(differ - set(rules))))


# ---------- two situations ----------
def _flat(answers: Any, path: str = "") -> dict[str, str]:
    if isinstance(answers, Mapping):
        rows: dict[str, str] = {}
        for key, value in answers.items():
            rows.update(_flat(value, f"{path}.{key}" if path else str(key)))
        return rows
    if isinstance(answers, list) and answers and isinstance(answers[0], Mapping):
        rows = {}
        for place, value in enumerate(answers, start=1):
            rows.update(_flat(value, f"{path}.{value.get('name', place)}"))
        return rows
    if isinstance(answers, bool):
        return {path: "yes" if answers else "no"}
    return {path: ", ".join(map(str, answers)) if isinstance(answers, list) else str(answers)}


def compare_situations(one: Consultation, two: Consultation) -> Difference:
    """Two situations under the same knowledge: where the answers differ, what moved, and which rules fired
    differently.

    Zones are the same zone where they have the same name.
    """
    left, right = _flat(as_answers(one.filled.situation)), _flat(as_answers(two.filled.situation))
    told = tuple(
        Move("answer", key, left.get(key, ""), right.get(key, ""))
        for key in dict.fromkeys([*left, *right])
        if left.get(key) != right.get(key)
    )
    return Difference(told, moves(outcome(one), outcome(two)), tuple(sorted(fired_differently(one, two))))


# ---------- text ----------
def _moved_lines(moved: Sequence[Move], indent: str) -> Iterator[str]:
    main = [move for move in moved if move.what != "verdict"]
    minor = [move for move in moved if move not in main]
    for move in main:
        yield f"{indent}{move}"
    for move in minor[:_MOST_SHOWN]:
        yield f"{indent}{move}"
    if len(minor) > _MOST_SHOWN:
        yield f"{indent}and {len(minor) - _MOST_SHOWN} more verdicts"


def changed_lines(result: Changed) -> Iterator[str]:
    """A comparison of two states of the knowledge in lines of plain text."""
    if not result.edits:
        yield "The two states of the knowledge say the same. Nothing moved."
        return
    yield f"Between the two, {len(result.edits)} thing{'s' if len(result.edits) > 1 else ''} changed:"
    yield from (f"  {edit}" for edit in result.edits)
    yield ""
    some = len(result.cases)
    yield f"{some or 'None'} of {result.looked_at} situations moved{':' if some else '.'}"
    for case in result.cases:
        yield f"  {case.case}"
        yield from _moved_lines(case.moves, "    ")
        by = [*(f"rule {name}" for name in case.rules), *(f"value {name}" for name in case.values)]
        yield f"    by {ENGLISH.listed(by)}" if by else "    by the other tables named above"
        if case.followed:
            yield f"    then these fired otherwise too: {', '.join(case.followed[:_MOST_SHOWN])}" + (
                f" and {len(case.followed) - _MOST_SHOWN} more" if len(case.followed) > _MOST_SHOWN else ""
            )
    for name, why in result.failed:
        yield f"  {name} could not be looked at: {why}"


def difference_lines(result: Difference) -> Iterator[str]:
    """A comparison of two situations in lines of plain text."""
    if not result.told:
        yield "The two situations are the same."
        return
    yield "The answers differ in:"
    yield from (
        f"  {move.about}: {move.before or 'not told'} → {move.after or 'not told'}" for move in result.told
    )
    yield "This moves:" if result.moves else "This moves nothing."
    yield from _moved_lines(result.moves, "  ")
    if result.rules:
        yield f"Rules that fired in one of the two only, or on other things: {len(result.rules)}"
        yield from (f"  {name}" for name in result.rules)
