"""What the record says of new grass: its signs, and whether it may be opened."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, Literal

from decide.engine.language import Fact, Firing, Rule
from decide.facts.draft import begun
from decide.facts.progress import (
    SEASONS,
    Found,
    Outcome,
    Season,
    SignHere,
    Young,
    findings,
    outcome,
    season_of_sign,
    sign_facts,
    young_turf,
)
from decide.knowledge.schema_care import Check
from decide.knowledge.tables import Knowledge
from decide.model import advice as out
from decide.model.wording import day, show

if TYPE_CHECKING:
    from decide.decision.consultation import Consultation, Diagnosis


def signs_seen(c: Diagnosis) -> list[out.SignSeen]:
    """Each sign that was seen, what to do today, and what the rules say of its season."""
    rows: list[out.SignSeen] = []
    for here in c.signs:
        sign, fired = c.knowledge.rescue[here.sign], c.sign_layer.fired.get(here.code, [])
        facts: dict[str, Fact] = {
            **c.site,
            **c.zone_facts[here.zone],
            **sign_facts(c.filled, here, c.measures),
        }
        draft = begun(c.filled, here.zone)
        if draft is not None:
            facts.update(c.measures.of_plant(draft.plant, draft.method))
        season, because, keys = _judged(c, here, fired, facts)

        def text(written: str, facts: Mapping[str, Fact] = facts) -> str:
            return c.say.sentences(c.book.template(written), facts, c.types)

        rows.append(out.SignSeen(
            zone=c.zones[here.zone].name, sign=text(sign.sign), on=here.date.isoformat(), look_at=text(sign.look_at), do=text(sign.do), season=season,
            because=because if here.mended else f"{because} Saved if: {_lower(text(sign.saved_if))} Lost if: {_lower(text(sign.lost_if))}",
            sources=sorted({*sign.sources, *keys}),
        ))  # fmt: skip
    return rows


def _judged(
    c: Diagnosis, here: SignHere, fired: Sequence[tuple[Rule, Firing]], facts: Mapping[str, Fact]
) -> tuple[Season, str, list[str]]:
    """The season of one sign, the sentences of the rules that say so, and their sources."""
    if here.mended is not None:
        return "not in danger", f"The record says that it was made good on {day(here.mended)}.", []
    season = season_of_sign(c.sign_layer.derived.get(here.code, {}))
    if not season:
        asked = (
            ""
            if begun(c.filled, here.zone) is not None
            else " Write under [[ongoing]] what was begun, how and when."
        )
        return "may be saved", f"Too little is told to say.{asked}", []
    gave = [rule for rule, _ in fired if rule.then.target == f"sign.season-{season}"]
    return (
        SEASONS[season],
        " ".join(c.say.fill(rule.because, facts, c.types) for rule in gave),
        [key for rule in gave for key in rule.sources],
    )


def _lower(text: str) -> str:
    return text[:1].lower() + text[1:]


def _marks(k: Knowledge, check: Check) -> tuple[float | None, float | None]:
    light, full = (k.value(name) if name else None for name in (check.pass_light, check.pass_full))
    return light, full


def _shown(k: Knowledge, found: Found, system: Literal["metric", "us"]) -> str:
    if found.value is not None and found.check.pass_light:
        return show(found.value, k.values[found.check.pass_light].unit, system)
    if found.value is not None:
        return "none failed" if found.value == 0 else f"{round(found.value)} failed"
    return "passed" if found.passed else "failed"


def open_now(c: Consultation) -> list[out.OpenNow]:
    """For each zone with young turf, whether it may be opened on today's record, and if not, why not."""
    rows: list[out.OpenNow] = []
    for zone in c.zones:
        young = young_turf(c.filled, zone)
        if young is None or c.zone_facts[zone].get("zone.left-alone") is True:
            continue
        rows.append(_open_zone(c, zone, young))
    return rows


def _open_zone(c: Consultation, zone: str, young: Young) -> out.OpenNow:
    k, system = c.knowledge, c.system
    because: list[str] = []
    failed: list[str] = []
    missing: list[str] = []
    old: list[str] = []
    checks: list[out.CheckDone] = []
    barred = {"light": False, "full": False}
    step = c.opening_steps[zone]
    for rule, _ in step.firings:
        out_, weak = rule.then.act == "rule-out", rule.then.act == "mark" and rule.adverse
        if out_ or weak:
            barred["full"] = True
            barred["light"] = barred["light"] or out_
            because.append(c.say.fill(rule.because, step.facts, c.types))
    for found in findings(c.filled, zone, young):
        check, instrument = found.check, found.check.who == "instrument"
        light, full = _marks(k, check)
        ends = {"light": outcome(found, light), "full": outcome(found, full)}
        if found.on is not None and (found.value is not None or found.passed is not None):
            checks.append(
                out.CheckDone(
                    zone=c.zones[zone].name,
                    check=check.check,
                    on=found.on.isoformat(),
                    found=_shown(k, found, system),
                    light=ends["light"],
                    full=ends["full"],
                )
            )
        if found.on is None or found.old:
            if not instrument:
                barred = {"light": True, "full": True}
                (old if found.old else missing).append(
                    check.check if found.on is None else f"{check.check} ({day(found.on)})"
                )
            continue
        for use, end in ends.items():
            barred[use] = barred[use] or end == "fail" or (end == "unknown" and not instrument)
        failed += _why(k, found, light, full, ends, system)
    because += failed
    if missing:
        because.append(f"Not done yet: {'; '.join(missing)}.")
    if old:
        because.append(f"Too old to count, do it again: {'; '.join(old)}.")
    said: dict[str, Literal["yes", "not yet"]] = {use: "not yet" if barred[use] else "yes" for use in barred}
    return out.OpenNow(
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
            f"{check.check}: {_shown(k, found, system)} on {day(found.on)}."
            if "fail" in ends.values()
            else f"{check.check}: it is not written down whether it passed."
        )
        return
    unit = k.values[check.pass_light].unit
    word = "at least" if check.rule == "at-least" else "at most"
    if found.value is None:
        yield f"{check.check}: only a yes is written down; write the number, {word} {show(light or 0, unit, system)} before light use."
        return
    use, mark = ("light use", light) if ends["light"] == "fail" else ("full play", full)
    if found.passed is False:
        yield f"{check.check}: {_shown(k, found, system)}, and it is written down as failed."
    elif mark is not None:
        yield f"{check.check}: {_shown(k, found, system)}; {word} {show(mark, unit, system)} before {use}."
