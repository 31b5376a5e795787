"""The second opinion: what a person is shown of a consultation, put before the other engine."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping, Sequence
from typing import Final

from decide.decision.diagnosis import SITE, Diagnosis
from decide.decision.programme import Chosen
from decide.decision.rank import Weighed, role_facts, verdict_facts
from decide.decision.steps import JudgedStep, step_verdict_facts
from decide.engine.judge import Held
from decide.engine.language import ROLE, Fact, Firing, Rule, Subject
from decide.facts.sign import sign_facts

_MEANT: Final = (("option.wished", "wished"), ("option.offer", "offered"))


def shown(chosen: Iterable[Chosen], ranked: Iterable[Weighed]) -> list[Weighed]:
    """The options that the advice tells of in words: those of the programme, the first in order of each way
    in each zone, and of what was wished or offered the first in order and the one that begins soonest.
    """
    found = {w.draft.code: w for each in chosen for w in each.told}
    firsts: dict[tuple[str, str], Weighed] = {}
    soonest: dict[tuple[str, str], Weighed] = {}
    for w in ranked:
        zone, remedy = w.draft.zone, w.draft.remedy
        firsts.setdefault((zone, f"{remedy}/{w.draft.method}"), w)
        for fact, meant in _MEANT if remedy == "establish" else ():
            if w.facts.get(fact) == meant:
                firsts.setdefault((zone, fact), w)
                soonest[zone, fact] = min(soonest.get((zone, fact), w), w, key=_begins)
    found.update((w.draft.code, w) for w in (*firsts.values(), *soonest.values()))
    return list(found.values())


def check_ground(c: Diagnosis) -> None:
    """EngineError where the engines differ on site, signs or zones."""
    sites = {SITE: c.site}
    signs = {
        sign.code: {
            **c.site,
            **sign_facts(c.filled, sign, c.measures),
            **c.sign_layer.derived.get(sign.code, {}),
        }
        for sign in c.signs
        if sign.mended is None
    }
    zones = {code: {**c.site, **facts} for code, facts in c.zone_facts.items()}
    for name, subjects, layer in (
        ("site", sites, c.site_layer), ("sign", signs, c.sign_layer), ("zone", zones, c.zone_layer),
    ):  # fmt: skip
        held = [_held(c, name, each, facts, layer.fired.get(each, [])) for each, facts in subjects.items()]
        c.book.judge.check(name, held, c.without)


def check_options(c: Diagnosis, options: Sequence[Weighed]) -> None:
    """EngineError where the engines differ on an option, its verdict or its roles."""
    options = list({w.draft.code: w for w in options}.values())
    judge, without, essential, perhaps = c.book.judge, c.without, c.essential, c.counting.perhaps
    judge.check("option", [_held(c, "option", w.draft.code, w.facts, w.firings) for w in options], without)
    judge.check(
        "option-verdict",
        [
            Held(
                Subject(w.draft.code, {**w.facts, **verdict_facts(w, essential, perhaps)}),
                (w.verdict_rule,),
                {},
            )
            for w in options
        ],
        without,
    )
    judge.check(
        "option-role",
        [
            Held(
                Subject(w.draft.code, {**w.facts, **role_facts(w, essential)}),
                None,
                {ROLE + role: True for role in w.roles},
            )
            for w in options
        ],
        without,
    )


def check_steps(c: Diagnosis, steps: Sequence[JudgedStep]) -> None:
    """EngineError where the engines differ on a step, or on the option that it is."""
    check_options(c, [step.option for step in steps if step.option is not None])
    named = {f"{step.proposal.step}/{number}": step for number, step in enumerate(steps)}
    judge = c.book.judge
    judge.check(
        "step",
        [_held(c, "step", name, step.facts, step.firings) for name, step in named.items()],
        c.without,
    )
    ends = {
        name: {**step.facts, **step_verdict_facts(c.essential, step.firings, step.could, step.option)}
        for name, step in named.items()
    }
    judge.check(
        "step-verdict",
        [Held(Subject(name, facts), (named[name].verdict_rule,), {}) for name, facts in ends.items()],
        c.without,
    )


def _held(
    c: Diagnosis, scope: str, name: str, facts: Mapping[str, Fact], firings: Iterable[tuple[Rule, Firing]]
) -> Held:
    """A subject as it was before its rules concluded anything, and what they concluded."""
    concluded = {
        fact: held
        for fact, held in facts.items()
        if isinstance(held, bool) and fact.startswith(f"{scope}.") and c.types[fact].concluded
    }
    before = {fact: held for fact, held in facts.items() if fact not in concluded}
    return Held(Subject(name, before), tuple(rule.id for rule, _ in firings), concluded)


def _begins(w: Weighed) -> tuple[dt.date, str]:
    return w.draft.start or dt.date.max, w.draft.code
