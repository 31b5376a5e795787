"""What the record says of new grass: its entries, what they count, and what it holds of the checks before
opening.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from decide.facts.draft import begun
from decide.facts.filled import Filled
from decide.knowledge.schema_care import Check
from decide.knowledge.tables import Knowledge
from decide.measure import dates
from decide.model.errors import SituationError, meant
from decide.model.situation import of_zone, recorded
from decide.model.work import DIARY, STEPS, Checked, Proposal
from decide.model.written import coded

Outcome = Literal["pass", "fail", "unknown"]


# ---------- the record ----------
def known_entries(knowledge: Knowledge) -> tuple[str, ...]:
    """What `done.task` may name: tasks of the plan, stages of watering, steps, and entries of the diary."""
    return tuple(dict.fromkeys((*knowledge.tasks, *knowledge.watering, *STEPS, *DIARY)))


def begins(knowledge: Knowledge, code: str) -> bool:
    """Whether an entry is the start of new grass: a method, a step that puts grass in, or the task of a plan
    that does.
    """
    return (
        code in knowledge.methods
        or code in knowledge.usual_methods
        or (code in knowledge.tasks and knowledge.tasks[code].starts)
    )


def _check_begun(filled: Filled) -> None:
    """Raise SituationError where new grass was put in by the record and nothing says which: no advice could
    go on from it.
    """
    s = filled.situation
    starts = [row.zone for row in s.ongoing]
    starts += [row.zone for row in s.history.sown or []] + [row.zone for row in s.history.sod_laid or []]
    for number, done in enumerate(s.done, 1):
        zones = [zone for zone in filled.zones if of_zone(done.zone, zone, filled.zones)]
        if (
            done.passed is not False
            and begins(filled.library.knowledge, done.task)
            and not any(of_zone(told, zone, filled.zones) for told in starts for zone in zones)
        ):
            raise SituationError(
                f"done[{number}].task: {done.task!r} begins new grass, and nothing says which",
                where="situation",
                instead=f"Write it as [[ongoing]] with method, grass and start = {done.date}",
            )


def check_record(filled: Filled) -> None:
    """Raise SituationError where the record names what there is not, or a day that has not come."""
    k, s = filled.library.knowledge, filled.situation

    def named(key: str, word: str, known: Sequence[str], what: str) -> None:
        if word not in known:
            raise SituationError(
                f"{key}: {word!r} is not a {what}",
                where="situation",
                instead=meant(word, known) or "Known: " + ", ".join(known),
            )

    entries = known_entries(k)
    for number, done in enumerate(s.done, 1):
        named(f"done[{number}].task", done.task, entries, "task or step here")
    for number, check in enumerate(s.check, 1):
        named(f"check[{number}].check", check.check, list(k.opening), "check here")
    for number, seen in enumerate(s.seen, 1):
        named(f"seen[{number}].sign", seen.sign, list(k.rescue), "sign here")
    for number, row in enumerate(s.ongoing, 1):
        word = coded(row.mixture or row.grass or "")
        named(
            f"ongoing[{number}].{'mixture' if row.mixture else 'grass'}",
            word,
            list(k.plants),
            "grass or mixture here",
        )
        variants = ["plain", *(code for code, each in k.variants.items() if row.method in each.methods)]
        named(f"ongoing[{number}].variant", row.variant or "plain", variants, f"variant of {row.method}")
    _check_begun(filled)
    for name, _, date in recorded(s):
        if date > filled.today:
            raise SituationError(
                f"{name} is of {date}, which lies after today ({filled.today})",
                where="situation",
                instead="Write a day that has come",
            )


def done_on(filled: Filled, task: str, zone: str, since: dt.date | None = None) -> dt.date | None:
    """The last day on which the record says that a task was done in a zone (of the field where `zone` is ""),
    or its cuts where it is a cut.
    """
    names = {task}
    for check in filled.library.knowledge.opening.values():
        if task in check.counts:
            names |= set(check.counts)
    days = [
        row.date for row in filled.situation.done
        if row.task in names and row.passed is not False
        and (zone == "" or of_zone(row.zone, zone, filled.zones)) and (since is None or row.date >= since)
        and (filled.today - row.date).days <= dates.YEAR
    ]  # fmt: skip
    return max(days, default=None)


def _done_count(filled: Filled, names: Sequence[str], zone: str, since: dt.date | None) -> list[dt.date]:
    """The days on which any of some entries was recorded; two on one day count once."""
    return sorted({
        row.date for row in filled.situation.done
        if row.task in names and row.passed is not False and of_zone(row.zone, zone, filled.zones)
        and (since is None or row.date >= since)
    })  # fmt: skip


# ---------- opening ----------
@dataclass(frozen=True)
class Young:
    """What is to be opened in a zone: made from seed, sod, plants, or turf that stood there before."""

    made_from: str
    method: str
    start: dt.date | None


def told_method(knowledge: Knowledge, kind: str, thickness: float | None) -> str:
    """The method that stands for what the history tells as sown or laid; the one for thick sod where it is
    known to be thick.
    """
    rows = {code: row for code, row in knowledge.methods.items() if row.told_as == kind}
    thick = [
        code
        for code, row in rows.items()
        if row.told_from
        and thickness is not None
        and (least := knowledge.value(row.told_from)) is not None
        and thickness >= least
    ]
    return next(iter(thick), next(code for code, row in rows.items() if not row.told_from))


def young_turf(filled: Filled, zone: str) -> Young | None:
    """The young turf of a zone: what was begun, or was sown or laid within the weeks that turf is young; old
    turf only where it was checked.
    """
    knowledge, number = filled.library.knowledge, filled.library.number
    draft = begun(filled, zone)
    if draft is not None:
        return Young(knowledge.methods[draft.method].made_from, draft.method, draft.start)
    weeks = number("opening-young-weeks")
    told = [
        (row.date, told_method(knowledge, kind, getattr(row, "thickness_mm", None)))
        for kind, rows in (
            ("sown", filled.situation.history.sown),
            ("sod-laid", filled.situation.history.sod_laid),
        )
        for row in rows or []
        if of_zone(row.zone, zone, filled.zones)
    ]
    young = [
        (date, method)
        for date, method in told
        if weeks is not None and 0 <= (filled.today - date).days <= 7 * weeks
    ]
    if young:
        date, method = max(young)
        return Young(knowledge.methods[method].made_from, method, date)
    checked = any(of_zone(row.zone, zone, filled.zones) for row in filled.situation.check)
    return Young("standing", "", None) if checked else None


@dataclass(frozen=True)
class Found:
    """One opening check of one zone against its marks: when and what, or neither; `old` where it counts no
    more, `short` where it lies under the least that any use asks.
    """

    code: str
    check: Check
    on: dt.date | None = None
    value: float | None = None
    passed: bool | None = None
    old: bool = False
    short: bool = False


def findings(filled: Filled, zone: str, young: Young) -> Iterator[Found]:
    """What the record holds of every check that young turf of this kind must pass, in their order."""
    for code, check in filled.library.knowledge.opening.items():
        if young.made_from not in check.made_from or (
            check.methods and young.method and young.method not in check.methods
        ):
            continue
        rows = [
            row
            for row in filled.situation.check
            if row.check == code
            and of_zone(row.zone, zone, filled.zones)
            and (young.start is None or row.date >= young.start)
        ]
        last: Checked | None = max(rows, key=lambda row: row.date, default=None)
        on, value, passed = (None, None, None) if last is None else (last.date, last.value, last.passed)
        if (
            check.counts
            and (counted := _done_count(filled, check.counts, zone, young.start))
            and (value is None or len(counted) >= value)
        ):
            on, value = counted[-1], float(len(counted))
        holds = filled.library.number(check.holds)
        least = filled.library.number(check.least) if check.least else None
        yield Found(
            code,
            check,
            on,
            value,
            passed,
            on is not None and holds is not None and (filled.today - on).days > holds,
            value is not None and least is not None and value < least,
        )


def outcome(found: Found, mark: float | None) -> Outcome:
    """A finding against one mark, by the check's own rule: at least, at most, or none may fail."""
    if found.on is None or found.old:
        return "unknown"
    if found.check.rule == "none-may":
        bad = found.value is not None and found.value > 0
        return (
            "fail"
            if found.passed is False or bad
            else "pass"
            if found.passed is True or found.value == 0
            else "unknown"
        )
    if found.value is None or mark is None:
        return "fail" if found.passed is False else "unknown"
    reached = found.value >= mark if found.check.rule == "at-least" else found.value <= mark
    return "pass" if reached and not found.short and found.passed is not False else "fail"


def opening_proposal(filled: Filled, zone: str, young: Young) -> Proposal:
    """Opening the zone today, as a step that the rules of opening can judge, with what the record holds."""
    held = {found.code: found for found in findings(filled, zone, young)}
    table: dict[str, object] = {"step": "open-to-play", "zone": filled.zones[zone].name}
    if young.method:
        table["method"] = young.method
    mows, cover, tug = (
        held.get("mow-count"),
        held.get("cover-count"),
        held.get("tug") or held.get("kick-and-twist"),
    )
    if mows is not None and mows.value is not None:
        table["mowings"] = round(min(mows.value, 100))
    if cover is not None and cover.value is not None and not cover.old:
        table["cover_percent"] = min(cover.value, 100.0)
    if tug is not None and (said := outcome(tug, None)) != "unknown":
        table["tug"] = "holds" if said == "pass" else "tears"
    return Proposal.model_validate(table)
