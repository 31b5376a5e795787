"""Whether young turf may be opened by its record today, and the checks that it must pass."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Final, Literal

from decide.answer.teller import Teller
from decide.decision.consultation import Consultation
from decide.decision.rank import Weighed
from decide.engine.language import Fact
from decide.facts.progress import (
    Found,
    Outcome,
    Young,
    findings,
    outcome,
    young_turf,
)
from decide.knowledge.schema_care import Check
from decide.knowledge.tables import Knowledge
from decide.model.watched import CheckDone, OpeningCheck, OpenNow

USES: Final = ("light", "full")


def _marks(k: Knowledge, check: Check) -> tuple[float | None, float | None]:
    light, full = (k.value(name) if name else None for name in (check.pass_light, check.pass_full))
    return light, full


def _shown(k: Knowledge, found: Found, system: Literal["metric", "us"]) -> str:
    if found.value is not None and found.check.pass_light:
        return k.language.show(found.value, k.values[found.check.pass_light].unit, system)
    if found.value is not None:
        return k.text("open-none-failed") if found.value == 0 else k.text("open-failed", n=round(found.value))
    return k.text("open-passed") if found.passed else k.text("open-not-passed")


def open_now(c: Consultation) -> list[OpenNow]:
    """For each zone with young turf, whether it may be opened on today's record, and if not, why not."""
    rows: list[OpenNow] = []
    for zone in c.zones:
        young = young_turf(c.filled, zone)
        if young is None or c.left_alone(zone):
            continue
        rows.append(_open_zone(c, zone, young))
    return rows


def bars(c: Consultation, use: str, **found: Fact) -> bool:
    """Whether something found of young turf bars it from a use, by the rows of the knowledge."""
    facts: dict[str, Fact] = {f"step.{name.replace('_', '-')}": held for name, held in found.items()}
    return any(c.book.holds(row, {"step.use": use, **facts}) for row in c.knowledge.bars.values())


def _open_zone(c: Consultation, zone: str, young: Young) -> OpenNow:
    k, system = c.knowledge, c.system
    because: list[str] = []
    failed: list[str] = []
    missing: list[str] = []
    old: list[str] = []
    checks: list[CheckDone] = []
    barred = dict.fromkeys(USES, False)
    step = c.opening_steps[zone]
    for rule, _ in step.firings:
        if rule.adverse:
            says = "ruled-out" if rule.then.act == "rule-out" else "spoken-against"
            barred = {use: barred[use] or bars(c, use, opening=says) for use in USES}
            because.append(c.say.fill(rule.because, step.facts, c.types))
    for found in findings(c.filled, zone, young):
        check = found.check
        light, full = _marks(k, check)
        ends = {"light": outcome(found, light), "full": outcome(found, full)}
        if found.on is not None and (found.value is not None or found.passed is not None):
            checks.append(
                CheckDone(
                    zone=c.zones[zone].name,
                    check=check.check,
                    on=found.on.isoformat(),
                    found=_shown(k, found, system),
                    light=ends["light"],
                    full=ends["full"],
                )
            )
        state = "missing" if found.on is None else "old" if found.old else ""
        shut = {use: bars(c, use, check=state or end, check_by=check.who) for use, end in ends.items()}
        barred = {use: barred[use] or shut[use] for use in USES}
        if state:
            name = check.check if found.on is None else f"{check.check} ({k.language.day(found.on)})"
            (old if found.old else missing).extend([name] if any(shut.values()) else [])
            continue
        failed += _why(k, found, light, full, ends, system)
    because += failed
    if missing:
        because.append(k.text("open-not-done", checks="; ".join(missing)))
    if old:
        because.append(k.text("open-too-old", checks="; ".join(old)))
    said: dict[str, Literal["yes", "not yet"]] = {use: "not yet" if barred[use] else "yes" for use in barred}
    return OpenNow(
        zone=c.zones[zone].name,
        light=said["light"],
        full=said["full"],
        because=list(dict.fromkeys(because)),
        checks=checks,
    )


def _why(
    k: Knowledge,
    found: Found,
    light: float | None,
    full: float | None,
    ends: Mapping[str, Outcome],
    system: Literal["metric", "us"],
) -> Iterator[str]:
    """Why a check that was made does not open the ground, in one sentence."""
    check = found.check
    if ends["light"] == ends["full"] == "pass":
        return
    assert found.on is not None
    if check.rule == "none-may" or (found.passed is False and found.value is None):
        yield (
            k.text("open-found", check=check.check, found=_shown(k, found, system), day=found.on)
            if "fail" in ends.values()
            else k.text("open-untold", check=check.check)
        )
        return
    unit = k.values[check.pass_light].unit

    def marked(mark: float) -> str:
        at_least = check.rule == "at-least" or found.short
        return k.text(
            "open-at-least" if at_least else "open-at-most", mark=k.language.show(mark, unit, system)
        )

    if found.value is None:
        yield k.text("open-no-number", check=check.check, mark=marked(light or 0))
        return
    use, mark = (k.text("open-light"), light) if ends["light"] == "fail" else (k.text("open-full"), full)
    if found.passed is False:
        yield k.text("open-called-failed", check=check.check, found=_shown(k, found, system))
    elif (mark := k.value(check.least) if found.short else mark) is not None:
        yield k.text(
            "open-short", check=check.check, found=_shown(k, found, system), mark=marked(mark), use=use
        )


def opening_rows(t: Teller, picked: Sequence[Weighed]) -> list[OpeningCheck]:
    rows: list[OpeningCheck] = []
    new = [w for w in picked if w.draft.new_grass] or list(picked)
    made = {str(w.facts.get("option.made-from", "seed")) for w in new}
    methods = {w.draft.method for w in new}
    facts = new[0].facts if new else {}
    for check in t.k.opening.values():
        if not made & set(check.made_from) or (check.methods and not methods & set(check.methods)):
            continue
        marks = [
            t.k.value(name) if name and not t.k.values[name].by else None
            for name in (check.pass_light, check.pass_full)
        ]
        units = [t.k.values[name].unit if name else "" for name in (check.pass_light, check.pass_full)]
        shown = [
            "" if mark is None else t.k.language.show(mark, unit, t.c.system)
            for mark, unit in zip(marks, units, strict=True)
        ]
        light, full = (_mark(t.k, check, mark) for mark in shown)
        spots = t.k.value(check.spots) if check.spots else None
        rows.append(
            OpeningCheck(
                check=check.check,
                how=t.text(check.how, facts),
                n=None if spots is None else round(spots),
                unit=units[0],
                pass_light=light,
                pass_full=full,
                instrument=check.who == "instrument",
                sources=t.cite(check.sources),
            )
        )
    return rows


def _mark(k: Knowledge, check: Check, mark: str) -> str:
    """What passes a check, in words."""
    if not mark:
        return k.text("open-not-one")
    if check.least:
        return k.language.range(f"{k.value(check.least):g}", mark)
    if check.rule == "none-may":
        return mark
    return k.text("open-at-least" if check.rule == "at-least" else "open-at-most", mark=mark)
