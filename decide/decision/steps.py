"""What somebody means to do, judged by the rules of steps and of the option that it is."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from decide.decision.diagnosis import Diagnosis
from decide.decision.rank import (
    Weighed,
    worst,
)
from decide.engine.language import (
    CouldFire,
    Fact,
    Firing,
    Rule,
    Subject,
)
from decide.facts.declare import Facts
from decide.facts.draft import Draft
from decide.facts.step import proposal_draft, proposal_zones, step_facts
from decide.knowledge.schema import Better
from decide.model.work import Proposal


@dataclass
class JudgedStep:
    """A proposal in one zone, judged."""

    proposal: Proposal
    zone: str
    facts: Mapping[str, Fact]
    firings: list[tuple[Rule, Firing]]
    could: list[tuple[Rule, CouldFire]]
    option: Weighed | None
    verdict: str
    verdict_rule: str = ""


def judge_steps(c: Diagnosis, proposals: Sequence[Proposal]) -> list[JudgedStep]:
    """Each proposal in each of its zones, judged by the rules of steps and of the option that it is."""
    steps: list[tuple[str, Proposal, str, Facts, Draft | None]] = []
    for number, proposal in enumerate(proposals):
        for zone in proposal_zones(c.filled, proposal):
            facts = c.zone_facts[zone]
            draft = proposal_draft(c.filled, proposal, zone, facts)
            own = step_facts(c.filled, proposal, facts, c.types, draft, c.measures)
            steps.append((f"{number}/{zone}", proposal, zone, {**c.site, **facts, **own}, draft))
    if not steps:
        return []
    options = c.weigh([draft for *_, draft in steps if draft is not None])
    return judged_on(
        c,
        [
            JudgedStep(proposal, zone, facts, [], [], options[draft.code] if draft is not None else None, "")
            for _, proposal, zone, facts, draft in steps
        ],
    )


def judged_on(c: Diagnosis, steps: Sequence[JudgedStep]) -> list[JudgedStep]:
    """Steps judged on what is known of them and on their options, before rules conclude anything of it."""
    found = c.judge("step", [Subject(str(n), step.facts) for n, step in enumerate(steps)])
    judged: list[JudgedStep] = []
    ends: list[Subject] = []
    for n, step in enumerate(steps):
        name = str(n)
        firings, could = found.fired.get(name, []), found.could.get(name, [])
        known = {**step.facts, **found.derived.get(name, {})}
        judged.append(replace(step, facts=known, firings=firings, could=could))
        ends.append(Subject(name, {**known, **step_verdict_facts(c.essential, firings, could, step.option)}))
    verdicts = c.judge("step-verdict", ends)
    for n, step in enumerate(judged):
        rule = verdicts.fired[str(n)][0][0]
        step.verdict, step.verdict_rule = rule.then.target, rule.id
    return judged


def step_verdict_facts(
    essential: frozenset[str],
    firings: Sequence[tuple[Rule, Firing]],
    could: Sequence[tuple[Rule, CouldFire]],
    option: Weighed | None,
) -> dict[str, Fact]:
    """What the verdict rules of steps read; a proposal to establish is held to its option's rules too."""
    acts = [rule.then.act for rule, _ in firings]
    maybe = [rule.then.act for rule, _ in could]
    grades = [rule.then.grade for rule, _ in firings if rule.then.act == "mark"]
    if option is not None:
        acts += [rule.then.act for rule, _ in option.firings if rule.then.act in ("rule-out", "need")]
        held = {"risk", *essential}
        maybe += (
            ["rule-out"]
            if option.ruled_out == "could-fire" or any(rule.then.target in held for rule in option.open)
            else []
        )
        grades += [
            option.bests[criterion]
            for criterion in (*essential, "risk")
            if option.bests[criterion] != "unknown"
        ]
    return {
        "step.rule-out": "fired" if "rule-out" in acts else "could-fire" if "rule-out" in maybe else "none",
        "step.worst": worst(grades) if grades else "unknown",
        "step.need": "some" if "need" in acts else "none",
    }


def better(c: Diagnosis, step: JudgedStep) -> list[Better]:
    """What would be better than a step, for as far as the conditions of those rows hold."""
    rows = sorted(
        (
            row
            for row in c.knowledge.better.values()
            if step.proposal.step in ([row.step] if isinstance(row.step, str) else row.step)
        ),
        key=lambda row: row.order,
    )
    return [row for row in rows if c.holds(row, step.facts)]
