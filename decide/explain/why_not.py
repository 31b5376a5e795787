"""Why not something else: what is meant, its verdict, and the conditions that would have to be otherwise."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping, Sequence
from typing import Final

from decide.decision.consultation import Consultation
from decide.decision.rank import Weighed, sort_key
from decide.engine.language import ADVERSE, Fact, Rule
from decide.engine.plain import standing
from decide.explain.found import Found, find
from decide.explain.reasons import Explanation, Held, Level, Reason, Teller
from decide.explain.runs import weigh_fitted
from decide.explain.why import (
    against,
    in_order,
    passed,
    placed,
    rests_words,
    title,
    verdict_words,
    why,
    zone_code,
    zone_name,
)
from decide.facts.draft import Draft, can_be_had, lead_grass, planted
from decide.knowledge.tables import Knowledge
from decide.model.words import capital

MOST_TRIED: Final = 24
MOST_SHOWN: Final = 4
MOST_TIPS: Final = 2
_DEEP: Final = 3


def why_not(consultation: Consultation, words: str, zone: str | None = None, level: Level = 1) -> Explanation:
    """Why something is not the choice. `words` may name a remedy, a method, a grass, a mixture, a start, in
    any mix.

    Of all that fits the words the best-ranked option is taken. The answer gives its verdict and, for each
    rule that ruled it out or marked it weak, the condition that is nearest to being otherwise; for what was
    never an option, why not. `level` is as for `why`. DecideError where there is no such zone.
    """
    c, found = consultation, find(consultation, words)
    zones = [zone_code(c, zone)] if zone is not None else list(found.zones or c.zones)
    if found.nothing:
        return _not_found(c, found)
    if found.remedies and not (found.methods or found.plants):
        return _remedy(c, found, zones, level)
    alone = [code for code in zones if c.zone_facts[code].get("zone.left-alone") is True]
    if len(alone) == len(zones):
        return why(c, alone[0], level)
    barred = [code for code in zones if "establish" not in c.remedies().get(code, [])]
    if len(barred) == len(zones):
        return _not_proposed(c, "establish", barred[0], level)
    zones = [code for code in zones if code not in barred]
    note, rows = matching(c, found, zones)
    if not rows:
        return _cannot_be_had(c, found, zones[0])
    return explained(c, rows[0], note, level)


# ---------- finding the option ----------
def _fits(found: Found, draft: Draft) -> bool:
    return (
        draft.remedy == "establish"
        and (not found.methods or draft.method in found.methods)
        and (not found.plants or draft.plant in found.plants)
        and (not found.variants or draft.variant in found.variants)
    )


def _starts_then(found: Found, draft: Draft) -> bool:
    if found.start is not None:
        return draft.start == found.start
    return not found.months or (draft.start is not None and draft.start.month in found.months)


def matching(c: Consultation, found: Found, zones: Sequence[str]) -> tuple[str, list[Weighed]]:
    """The options that are meant, the best first, and a note where none of the list is meant exactly."""
    here = [w for w in c.ranked if w.draft.zone in zones and _fits(found, w.draft)]
    if not (found.plants and found.methods):
        here = [w for w in here if w.draft.open] or here
    exact = [w for w in here if _starts_then(found, w.draft)]
    if exact:
        return "", exact
    made = _made_up(c, found, zones, here)
    if made:
        return (
            c.knowledge.text("not-listed-start", when=_when(c.knowledge, found)) if _dated(found) else "",
            made,
        )
    if here:
        return "", here
    by_plant = [
        w
        for w in c.ranked
        if found.plants
        and w.draft.zone in zones
        and w.draft.remedy == "establish"
        and w.draft.plant in found.plants
        and w.verdict == "ruled-out"
    ]
    climate = [w for w in by_plant if w.facts.get("option.climate-fit") == "no"]
    return ("", climate) if climate else ("", [])


def best_of(c: Consultation, words: str, zone: str) -> Weighed | None:
    """The best-ranked option of a zone that some words name."""
    found = find(c, words)
    if found.remedies and not (found.methods or found.plants):
        return next((w for w in c.ranked if w.draft.zone == zone and w.draft.remedy in found.remedies), None)
    rows = matching(c, found, [zone])[1]
    return rows[0] if rows else None


def _dated(found: Found) -> bool:
    return bool(found.months) or found.start is not None


def _when(k: Knowledge, found: Found) -> str:
    if found.start is not None:
        return k.text("not-on-day", day=k.language.day_of_year(found.start))
    return k.text(
        "not-in-months",
        months=k.language.listed([k.language.month_name(month) for month in found.months], "or"),
    )


def _made_up(c: Consultation, found: Found, zones: Sequence[str], here: Sequence[Weighed]) -> list[Weighed]:
    """Options that fit the words and are not on the list, weighed all the same: other starts, or ways that
    were left out.
    """
    today = c.filled.today
    starts = (
        [found.start] if found.start is not None else [_next_month(today, month) for month in found.months]
    )
    if found.start is not None and found.start < today:
        return []
    ways: list[tuple[str, str, str, str]] = []
    for w in here:
        if w.draft.open and w.facts.get("option.climate-fit") != "no":
            ways.append((w.draft.zone, w.draft.method, w.draft.plant, w.draft.variant))
    if not here and not found.variants:
        plants = found.plants or tuple(c.knowledge.grasses)
        methods = found.methods or tuple(c.knowledge.methods)
        climate = c.filled.climate
        for zone in zones:
            for plant in plants:
                fits = (
                    climate is None
                    or climate.fit(c.knowledge.grasses[lead_grass(c.knowledge, plant)].climates)[0] != "no"
                )
                ways += [
                    (zone, method, plant, "plain")
                    for method in methods
                    if fits and can_be_had(c.knowledge, plant, method)
                ]
    drafts = [
        planted(c.knowledge, zone, method, plant, variant, start)
        for zone, method, plant, variant in list(dict.fromkeys(ways))[:MOST_TRIED]
        for start in starts or ([today] if not here else [])
    ]
    weighed = weigh_fitted(c, c, drafts)
    return sorted((weighed[draft.code] for draft in drafts), key=lambda w: sort_key(w, c.order))


def _next_month(today: dt.date, month: int) -> dt.date:
    """Today in this month, else the first day of the next month of that number."""
    if today.month == month:
        return today
    return dt.date(today.year + (1 if month < today.month else 0), month, 1)


# ---------- what is said ----------
def explained(c: Consultation, w: Weighed, note: str = "", level: Level = 1) -> Explanation:
    """Why an option is not the choice of its zone, or that it is."""
    zone = w.draft.zone
    chosen = c.chosen[zone]
    if chosen.option is not None and w.draft.code == chosen.option.draft.code:
        told = why(c, zone, level)
        return Explanation(
            c.knowledge.text("not-is-choice", told=told.text),
            "chosen",
            zone,
            told.option,
            told.verdict,
            told.reasons,
            other=told.other,
            facts=told.facts,
        )
    tell = Teller(c)
    weak = [reason for reason in against(tell, w) if reason.grade in ("ruled-out", *ADVERSE)]
    decisive = _decisive(c, weak)
    lines = [f"{note}{capital(zone_name(c, zone))}: {title(c, w.draft)}. {verdict_words(c, w)}"]
    shown = decisive[: MOST_SHOWN if level == 1 else None]
    for reason in shown:
        lines += tell.lines(reason, level)
        lines.append(f"    {_tips(c.knowledge, reason.lifts)}")
    if len(decisive) > len(shown):
        lines.append(c.knowledge.text("and-more", n=len(decisive) - len(shown)))
    first = chosen.option or chosen.least_bad
    row = next(
        (row for row in placed(c, zone) if row.option == w.draft.code and row.place != "least bad"), None
    )
    if row is not None:
        lines.append(
            c.knowledge.text(_IN_PROGRAMME[row.place])
            + (f" {row.reason.text}" if row.reason is not None and row.place != "next best" else "")
        )
    else:
        lines += rests_words(c.knowledge, w.verdict, tell.rests_on(w), MOST_SHOWN if level == 1 else None)
    if first is not None and first.draft.code != w.draft.code:
        lines.append(
            passed(c, w) or in_order(c, *sorted((first, w), key=lambda each: sort_key(each, c.order)))[1]
        )
    kind = "ruled-out" if w.verdict == "ruled-out" else "lost"
    return Explanation(
        "\n".join(lines), kind, zone, w.draft.code, w.verdict, tuple(weak),
        tuple(reason.lifts[0] for reason in decisive if reason.lifts),
        "" if first is None else first.draft.code, facts=w.facts, rests_on=tell.rests_on(w),
        programme=placed(c, zone),
    )  # fmt: skip


_IN_PROGRAMME: Final[Mapping[str, str]] = {
    "stopgap": "not-but-stopgap",
    "after": "not-but-after",
    "instead": "not-but-instead",
    "next best": "not-but-next",
}


def _decisive(c: Consultation, weak: Sequence[Reason]) -> list[Reason]:
    """The reasons that decide: what rules it out; else what is weak and essential; else what is weak."""
    for grades, criteria in ((("ruled-out",), None), (ADVERSE, c.essential | {"risk"}), (ADVERSE, None)):
        rows = [
            reason
            for reason in weak
            if reason.grade in grades and (criteria is None or reason.target in criteria)
        ]
        if rows:
            return rows
    return []


def _tips(k: Knowledge, lifts: Sequence[Held]) -> str:
    """What would have to be otherwise for a reason to fall; any one of it is enough."""
    rows = [held.needed(k) for held in lifts if held.changes]
    if not rows:
        return k.text("not-changeable")
    return k.text("not-otherwise", what=k.language.listed(rows[:MOST_TIPS], "or"))


def _not_found(c: Consultation, found: Found) -> Explanation:
    k = c.knowledge
    fitting = [
        row.name
        for row in k.grasses.values()
        if c.filled.climate is None or c.filled.climate.fit(row.climates)[0] == "fits"
    ]
    names = k.language.listed(
        [
            *(row.name for row in list(k.methods.values())[:4]),
            *fitting[:3],
            k.text("not-word-waiting"),
            k.text("not-word-month"),
        ],
        "or",
    )
    strange = k.text("not-by", what=repr(" ".join(found.strange))) if found.strange else ""
    return Explanation(k.text("not-understood", strange=strange, names=names), "not-found")


def _cannot_be_had(c: Consultation, found: Found, zone: str) -> Explanation:
    """A grass and a way that do not go together, or a start that is past."""
    k = c.knowledge
    if found.start is not None and found.start < c.filled.today:
        return Explanation(k.text("not-past"), "not-made", zone)
    if found.variants:
        row = k.variants[found.variants[0]]
        ways = k.language.listed([c.say.method(method) for method in row.methods], "or")
        plants = k.language.listed([c.say.plant(plant) for plant in row.grasses], "or")
        return Explanation(
            k.text("not-no-way", variant=capital(row.name), plants=plants, ways=ways),
            "not-made",
            zone,
        )
    if not found.plants:
        return Explanation(k.text("not-no-option"), "not-made", zone)
    plant = found.plants[0]
    had = [c.say.method(method) for method in k.methods if can_be_had(k, plant, method)]
    asked = (
        k.text("not-by", what=k.language.listed([c.say.method(method) for method in found.methods], "or"))
        if found.methods
        else ""
    )
    name = capital(c.say.plant(plant))
    if not had:
        return Explanation(k.text("not-planted", plant=name), "not-made", zone)
    return Explanation(
        k.text("not-had", plant=name, asked=asked, ways=k.language.listed(had, "or")), "not-made", zone
    )


def _remedy(c: Consultation, found: Found, zones: Sequence[str], level: Level) -> Explanation:
    """A remedy that is on the list, or why the diagnosis does not name it."""
    rows = [w for w in c.ranked if w.draft.zone in zones and w.draft.remedy in found.remedies]
    if found.remedies == ("establish",):
        rows = [w for w in rows if _starts_then(found, w.draft)]
    if rows:
        return explained(c, rows[0], "", level)
    return _not_proposed(c, found.remedies[0], zones[0], level)


def _not_proposed(c: Consultation, remedy: str, zone: str, level: Level) -> Explanation:
    tell = Teller(c)
    facts: Mapping[str, Fact] = {**c.site, **c.zone_facts[zone]}
    name = capital(zone_name(c, zone))
    if facts.get("zone.left-alone") is True or facts.get("zone.remedy-carry-on") is True:
        # What was begun is carried on with: its reason is why nothing else is proposed.
        return why(c, zone, level)
    target = f"zone.remedy-{remedy}"
    unknown = target not in facts
    lines = [
        c.knowledge.text(
            "not-proposed",
            zone=name,
            remedy=c.say.remedy(remedy),
            unknown=c.knowledge.text("not-for-answers") if unknown else "",
        )
    ]
    reasons: list[Reason] = []
    failed: list[Held] = []
    rules = [(rule, _failing(tell, rule, facts)) for rule in tell.giving(target)]
    for rule, open_ in sorted(
        rules, key=lambda pair: (len(pair[1]), sum(held.gap for held in pair[1]), pair[0].id)
    )[:MOST_SHOWN]:
        reason = tell.reason(rule, facts)
        reasons.append(reason)
        lifted = [text for name_, text in _lifted(c, rule, facts) if name_]
        lines.append(
            f"- {' '.join(lifted)}"
            if lifted
            else c.knowledge.text(
                "not-would-be", what="; and ".join(held.needed(c.knowledge) for held in open_)
            )
        )
        lines += tell.lines(reason, level)[1:]
        failed += open_
        for held in open_:
            lines += _deeper(c, tell, held, facts, failed, 1)
    if not rules:
        lines.append(c.knowledge.text("not-no-rule"))
    return Explanation(
        "\n".join(lines),
        "not-proposed",
        zone,
        verdict="",
        reasons=tuple(reasons),
        failed=tuple(failed),
        other=remedy,
        facts=facts,
    )


def _deeper(
    c: Consultation, tell: Teller, held: Held, facts: Mapping[str, Fact], failed: list[Held], depth: int
) -> Iterator[str]:
    """For a derived fact that does not hold: the conditions that failed in the nearest rule that could have
    given it.
    """
    rules = tell.giving(held.fact)
    if not rules or depth >= _DEEP:
        return
    missing = {rule.id: _failing(tell, rule, facts) for rule in rules}
    rule = min(
        rules, key=lambda each: (len(missing[each.id]), sum(inner.gap for inner in missing[each.id]), each.id)
    )
    for inner in missing[rule.id]:
        failed.append(inner)
        yield f"{'    ' * depth}{c.knowledge.text('not-for-that', what=inner.needed(c.knowledge))}"
        yield from _deeper(c, tell, inner, facts, failed, depth + 1)


def _failing(tell: Teller, rule: Rule, facts: Mapping[str, Fact]) -> list[Held]:
    """The conditions of a rule that are false or unknown."""
    return [
        tell.held(condition, facts) for condition, holds in standing(rule, facts).when if holds is not True
    ]


def _lifted(c: Consultation, rule: Rule, facts: Mapping[str, Fact]) -> list[tuple[str, str]]:
    """The exceptions that lift a rule, by name, with their texts."""
    true = {name for name, lifted in standing(rule, facts).unless if lifted is True}
    return [
        (exception.name, c.say.fill(exception.because, facts, c.types))
        for exception in rule.unless
        if exception.name in true
    ]
