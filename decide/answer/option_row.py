"""One option told: days, odds, water, cost, grades and the reason of its verdict."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import Final, Literal

from decide.answer.days import killed_between, readiness_note, ready_range, recovery_range, up_and_cut
from decide.answer.next_window import decide_by_of
from decide.answer.teller import Teller, lower_first
from decide.decision.consultation import Consultation
from decide.decision.rank import RULED_OUT, TIME, USABLE, Weighed
from decide.engine.language import ADVERSE, CRITERIA, ROLE
from decide.facts.cost import cost as measured_cost
from decide.facts.draft import Draft, days_off
from decide.measure import dates
from decide.measure.odds import Planting
from decide.model import advice as out
from decide.model.made import Made
from decide.model.row import Cost, Hours

MOST_WITH_ODDS: Final = 6


def claim(t: Teller, draft: Draft) -> str | None:
    claims = t.filled.library.constants.claims
    if draft.remedy != "establish" or draft.key not in claims:
        return None
    low, high = claims[draft.key]
    if high == 0:
        return t.k.text("answer-claim-at-once")
    if low == high:
        return t.k.text("answer-claim-weeks", weeks=f"{low:g}")
    return t.k.text("answer-claim-range", low=f"{low:g}", high=f"{high:g}")


def odds_row(t: Teller, draft: Draft) -> out.OddsRow | None:
    """The odds of being ready by the date wanted; None without a date, for work without new grass and for
    winter cover.
    """
    dates_told, season = t.filled.situation.dates, t.filled.season
    by, start = dates_told.play_by, draft.start
    if (
        by is None
        or start is None
        or start >= by
        or season is None
        or draft.remedy != "establish"
        or t.k.variants[draft.variant].cover_over
    ):
        return None
    stage = "light-use" if dates_told.first_use == "training" else "full-play"
    off, days = days_off(t.filled, start), (by - start).days
    found = season.odds(Planting(draft.key, dates.day_of_year(start), stage, days, draft.method, off))
    if found is None:
        return None
    shares = {
        name: round(getattr(found, name), 3) for name in ("ready", "ready_least", "ready_most", "killed")
    }
    washed = None if found.washed_out is None else round(found.washed_out, 3)
    use: Literal["light use", "full play"] = "light use" if stage == "light-use" else "full play"
    return out.OddsRow(
        by=by.isoformat(),
        use=use,
        years=found.years,
        **shares,
        washed_out=washed,
        how=found.how,
        note=found.note,
    )


def with_odds(t: Teller) -> frozenset[str]:
    """The options whose odds are worked out: those that the programme names, the next best, and the leading
    ones of each zone.
    """
    codes: set[str] = set()
    for zone, chosen in t.c.chosen.items():
        leading = [w for w in t.c.ranked if w.draft.zone == zone and w.verdict in USABLE][:MOST_WITH_ODDS]
        codes.update(
            w.draft.code
            for w in (chosen.stopgap, chosen.option, chosen.least_bad, chosen.runner_up, *leading)
            if w is not None
        )
    return frozenset(codes)


def option_rows(t: Teller) -> Made[out.Option]:
    """Every option in its order, each told when it is first read."""
    weighed = {w.draft.code: w for w in t.c.ranked}
    odds = cache(lambda: with_odds(t))
    return Made(weighed, lambda code: option_row(t, weighed[code], code in odds()))


def cited_of_options(c: Consultation) -> set[str]:
    """The sources of all that is said for and against any option."""
    fired = {rule.id for w in c.ranked for rule, _ in w.firings}
    return {
        key
        for rule in c.book.rules.values()
        if rule.id in fired and rule.then.act in ("mark", "rule-out")
        for key in rule.sources
    }


def option_row(t: Teller, w: Weighed, with_odds: bool) -> out.Option:
    """One option; `with_odds` says whether its odds are worked out."""
    d, facts = w.draft, w.facts
    reasons = [
        t.reason(rule, firing, facts) for rule, firing in w.firings if rule.then.act in ("mark", "rule-out")
    ]
    reasons.sort(key=lambda r: (r.for_, CRITERIA.index(r.criterion), r.rules))
    grades: dict[str, out.GradeRow] = {}
    marks = {
        (rule.then.target, rule.then.grade or RULED_OUT): rule
        for rule, _ in reversed(w.firings)
        if rule.then.act in ("mark", "rule-out")
    }
    for criterion in t.c.order:
        grade = w.grades[criterion]
        gave = marks.get((criterion, grade))
        grades[criterion] = out.GradeRow(
            grade=grade,  # type: ignore[arg-type]  # a grade of the language
            reason="" if gave is None else t.because(gave, facts),
            best=w.bests[criterion],  # type: ignore[arg-type]  # a grade of the language
        )
    rests_on = t.rests_on(w)
    unknown = sorted(
        {name for rule, could in w.could if rule.then.act == "rule-out" for name in could.unknown}
    )
    figure = t.c.figure
    litres, visits = figure(w, "option.litres-day"), figure(w, "option.visits-needed")
    labour = figure(w, "option.labour-hours.low"), figure(w, "option.labour-hours.high")
    cost = measured_cost(t.filled, d) if d.remedy == "establish" and d.start is not None else None
    by = decide_by_of(t, d)
    winter = facts.get("option.first-winter")
    dies_by, dies_between = killed_between(t, d.start) if winter == "lost" else (None, None)
    germination, first_mow = up_and_cut(t, d)
    mixture = t.k.mixtures.get(d.plant)
    return out.Option(
        code=d.code,
        zone=t.zone_name(d.zone),
        remedy=d.remedy,
        method=d.method or None,
        grass=d.plant if d.plant in t.k.grasses else None,
        mixture=[
            out.Part(grass=part.grass, percent_by_weight=t.k.value(part.share) or 0) for part in mixture.parts
        ]
        if mixture
        else None,
        variant=d.variant if d.new_grass else None,
        start=d.start.isoformat() if d.start else None,
        start_kind=d.start_kind if d.start else None,
        decide_by=by.isoformat() if by else None,
        germination=germination,
        first_mow=first_mow,
        readiness_note=readiness_note(t, d),
        light_use=ready_range(t, d, "light-use"),
        full_play=recovery_range(t, w) if d.remedy == "recover" else ready_range(t, d, "full-play"),
        full_fixtures=ready_range(t, d, "full-fixtures"),
        claim=claim(t, d),
        odds=odds_row(t, d) if with_odds else None,
        dies_by=dies_by,
        dies_between=dies_between,
        window=str(facts["option.window"]) if "option.window" in facts else None,
        verdict=w.verdict,  # type: ignore[arg-type]  # a verdict of the language
        verdict_reason=verdict_reason(t, w, grades) + part_reason(t, w),
        title=t.title(d),
        grades=grades,
        reasons=reasons,
        cautions=t.cautions(rule for rule, _ in w.firings),
        needs=sorted({rule.then.target for rule, _ in w.firings if rule.then.act == "need"}),
        unknown=unknown,
        rests_on=rests_on,
        water=out.Water(
            litres_a_day=litres, hours_a_day=figure(w, "option.water-hours-day"), visits_a_day=visits
        )
        if litres is not None and visits is not None and t.filled.situation.means.water != "none"
        else None,
        cost=Cost(low=round(cost[0], 2), high=round(cost[1], 2), currency=cost[2], year=cost[3], how=cost[4])
        if cost
        else None,
        cost_class=held if isinstance(held := w.facts.get("option.cost-class"), str) else None,
        labour_hours=Hours(low=labour[0], high=labour[1])
        if labour[0] is not None and labour[1] is not None
        else None,
    )


def verdict_reason(t: Teller, w: Weighed, grades: Mapping[str, out.GradeRow]) -> str:
    """What the verdict rests on most: the rule-out, the weak grade, or the answer that is missing."""
    if w.verdict == "ruled-out":
        return next(t.because(rule, w.facts) for rule, _ in w.firings if rule.then.act == "rule-out")
    weak = [criterion for criterion in t.c.order if grades[criterion].grade in ADVERSE]
    if w.verdict == "late":
        return grades[TIME].reason
    if w.verdict == "not-advised":
        return next(
            (
                grades[criterion].reason
                for criterion in weak
                if criterion in t.c.essential and grades[criterion].reason
            ),
            "",
        )
    if w.verdict == "risky":
        return grades["risk"].reason
    asks = t.questions(
        name for rule, found in w.could if rule.then.act == "rule-out" for name in found.unknown
    )
    if w.verdict == "sound" and asks:
        return t.k.text("answer-could-be-ruled-out", ask=asks[0])
    if w.verdict == "sound" and weak:
        return grades[weak[0]].reason
    return t.because(t.c.book.rules[w.verdict_rule], w.facts)


def part_reason(t: Teller, w: Weighed) -> str:
    """Why the programme takes an option, for the part that it plays, which by itself would not be usable; ""
    elsewhere.
    """
    chosen = t.c.chosen[w.draft.zone]
    if w.verdict in USABLE or (w is not chosen.stopgap and w is not chosen.option):
        return ""
    place = "option" if w is chosen.option else "stopgap"
    role = next(role for role in chosen.said_by[place] if role in w.roles)
    return " " + t.k.text(
        "answer-part",
        why=lower_first(
            next(
                t.because(rule, w.facts)
                for rule in t.c.book.rules.values()
                if rule.then.target == ROLE + role
            )
        ),
    )
