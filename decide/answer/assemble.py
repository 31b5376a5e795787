"""A finished consultation → the advice that people and programs read."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from copy import copy
from functools import cache

from decide.answer.ailments import ailments
from decide.answer.field_plan import field_plan
from decide.answer.findings import causes_found, diagnoses, need_rows, today_rows
from decide.answer.headline import headline
from decide.answer.local_words import in_words_of, localised
from decide.answer.opening import open_now, opening_rows
from decide.answer.option_row import cited_of_options, option_rows
from decide.answer.own_sources import of_country
from decide.answer.proposal_judged import proposal_row
from decide.answer.signs import rescue_rows, signs_seen
from decide.answer.teller import Teller
from decide.answer.trust import known_rows, source_rows, sure_of, trace_rows, valid_until
from decide.answer.ways import ways_of
from decide.answer.year_ahead import year_ahead
from decide.answer.zone_answer import answer_of, field_decision
from decide.decision.consultation import Consultation
from decide.decision.rank import Weighed
from decide.model import advice as out
from decide.model.planned import Purchase
from decide.model.words import CHANGED
from decide.plan.money import make_money
from decide.plan.shopping import make_shopping, sources_of
from decide.plan.tasks import Plan, make_plan


def chosen_options(consultation: Consultation) -> list[Weighed]:
    """The options that the programme names, in the order of the zones."""
    return [w for chosen in consultation.chosen.values() for w in chosen.named]


def advice_of(c: Consultation) -> out.Advice:
    """The advice as the contract gives it, made once, but for the questions that it leaves open:
    `questions.tried` adds them.
    """
    if c.made is None:
        k = c.knowledge
        own = of_country(k.sources, k.source_countries, c.filled.country)
        c.made = localised(make_advice(c), local_words(c), own)
    return c.made


def local_words(c: Consultation) -> Callable[[str], str]:
    """What says a text in the words of the country of a consultation, the names of its parts left as told."""
    names = [zone.name for zone in c.zones.values()]
    words = in_words_of(c.knowledge.local_words.values(), c.filled.country, names)
    system = c.system
    return cache(lambda text: words(c.knowledge.language.one_system(text, system)))


def cited(c: Consultation) -> out.Cited:
    """The knowledge and the engines that an advice rests on."""
    return out.Cited(
        version=c.knowledge.version,
        digest=c.knowledge.digest,
        engines=c.book.judge.names,
        checked=c.checked,
    )


def make_advice(c: Consultation) -> out.Advice:
    """The advice of a consultation, without the questions that it leaves open: `questions.tried` adds
    them.
    """
    t = Teller(c)
    picked = chosen_options(c)
    answers = [answer_of(t, zone, chosen) for zone, chosen in c.chosen.items()]
    field = field_decision(c, {zone: answer.decision for zone, answer in zip(c.chosen, answers, strict=True)})
    # A copy, because options are told later: the consultation keeps the advice, and if the advice kept the
    # consultation too, neither would be freed when both are done with.
    options = option_rows(Teller(copy(c)))
    # Of hundreds of options these alone are told; of the others it is kept what they would cite.
    by = [row.decide_by for row in options.of({w.draft.code for w in picked}) if row.decide_by]
    t.cite(cited_of_options(c))
    ways, reasons = ways_of(t)
    trace = trace_rows(t, picked)
    plan = make_plan(c, picked)
    shopping = make_shopping(c, picked, plan.tasks)
    signs = signs_seen(c)
    t.cited |= plan.sources | sources_of(shopping) | {key for sign in signs for key in sign.sources}
    return out.Advice(
        fate=headline(c),
        knowledge=cited(c),
        situation=known_rows(t),
        today=today_rows(t),
        causes=causes_found(t),
        ailments=ailments(t),
        diagnosis=diagnoses(t),
        decision=field,
        essential=[criterion for criterion in c.order if criterion in c.essential],
        options=options,
        options_judged=len(options),
        ways=ways,
        reasons=reasons,
        programme=answers,
        needs=need_rows(t, picked),
        plan=plan.tasks,
        weeks=plan.weeks,
        watering=plan.watering,
        clashes=plan.clashes,
        plan_decide_by=plan.decide_by,
        hours_per_week_after_opening=plan.hours,
        year=plan.year,
        shopping=shopping,
        money=make_money(c, picked, plan.tasks, shopping),
        cautions=[t.caution(code) for code in caution_codes(t, picked, plan, shopping)],
        open_now=open_now(c),
        signs_seen=signs,
        opening=opening_rows(t, picked),
        rescue=rescue_rows(t, picked),
        proposals=[proposal_row(t, step) for step in c.steps],
        unknown=[],
        sure=sure_of(t, picked),
        valid_until=valid_until(t, by),
        field_plan=field_plan(c),
        season=year_ahead(c, options),
        sources=source_rows(t),
        trace=trace,
    )


def caution_codes(
    t: Teller, picked: Sequence[Weighed], plan: Plan, shopping: Sequence[Purchase]
) -> list[str]:
    """Every caution that stands with the chosen options, their work and what somebody means to do, the
    gravest first.
    """
    c = t.c
    site_fired = [rule for rule, _ in c.site_layer.fired.get("site", [])]
    zone_fired = [rule for rows in c.zone_layer.fired.values() for rule, _ in rows]
    picked_fired = [rule for w in picked for rule, _ in w.firings]
    step_fired = [
        rule for step in c.steps for rule, _ in [*step.firings, *(step.option.firings if step.option else [])]
    ]
    # What the work itself calls for stands beside the rules' cautions.
    codes = {
        *t.cautions([*site_fired, *zone_fired, *picked_fired, *step_fired]),
        *plan.cautions,
        *({CHANGED} & c.knowledge.cautions.keys()),
        *(code for row in shopping for code in row.cautions),
    }
    return sorted(codes, key=lambda code: (c.knowledge.cautions[code].order, code))
