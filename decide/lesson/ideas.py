"""The steps that judge what the person means to do."""

from __future__ import annotations

from decide.decision.diagnosis import Layer
from decide.decision.steps import step_verdict_facts
from decide.explain.why import zone_name
from decide.lesson.chain import Chain
from decide.lesson.steps import Read


def idea_steps(chain: Chain) -> None:
    """The rules that fire on each thing that is meant, and the verdict on it."""
    c = chain.c
    for number, judged in enumerate(c.steps, start=1):
        subject = f"idea-{number}/{judged.zone}"
        about = {subject: f"{c.say.level('step.step', judged.proposal.step)}, {zone_name(c, judged.zone)}"}
        zone = {subject: judged.zone}
        if judged.option is not None:
            # A proposal to put in grass is held to the rules of its option too.
            held = [row for row in judged.option.firings if row[0].then.act in ("rule-out", "mark", "need")]
            chain.layer("idea", Layer(fired={subject: held}), {subject: judged.option.facts}, about, zone)
        chain.layer("idea", Layer(fired={subject: judged.firings}), {subject: judged.facts}, about, zone)
        rule = c.book.rules[judged.verdict_rule]
        facts = {
            **judged.facts,
            **step_verdict_facts(c.essential, judged.firings, judged.could, judged.option),
        }
        own = [step for step in chain.steps if step.subject == subject]
        worst = facts.get("step.worst")
        behind = {
            "step.rule-out": [step.number for step in own if step.act == "rule-out"],
            "step.need": [step.number for step in own if step.act == "need"],
            "step.worst": [step.number for step in own if step.act == "mark" and step.grade == worst],
        }
        names = dict.fromkeys(name for condition in rule.when for name in condition.facts if name in facts)
        reads = [
            Read(name, facts[name], chain.said(name, facts[name]), "derived", tuple(behind.get(name, ())))
            for name in names
        ]
        chain.fired("judgement", subject, about[subject], rule, facts, reads, judged.zone)
