"""What somebody means to do, judged and said with its conditions."""

from __future__ import annotations

from decide.answer.teller import Teller, lower_first
from decide.decision.steps import JudgedStep, better
from decide.engine.language import ADVERSE
from decide.model import advice as out
from decide.model.words import capital
from decide.model.written import coded


def proposal_row(t: Teller, step: JudgedStep) -> out.ProposalJudged:
    facts = step.facts
    reasons = [
        t.reason(rule, firing, facts)
        for rule, firing in step.firings
        if rule.then.act in ("mark", "rule-out")
    ]
    conditions = [
        t.text(t.k.needs[rule.then.target].text, facts) for rule, _ in step.firings if rule.then.act == "need"
    ]
    could = [(rule, found) for rule, found in step.could if rule.then.act == "rule-out"]
    fired = [rule for rule, _ in step.firings]
    if step.option is not None:
        w = step.option
        worst = {"risk", *t.c.essential}
        reasons += [
            t.reason(rule, firing, w.facts)
            for rule, firing in w.firings
            if rule.then.act == "rule-out"
            or (
                rule.then.act == "mark"
                and (rule.then.grade in ADVERSE or step.verdict != "ruled-out")
                and rule.then.target in worst
            )
        ]
        conditions += [
            t.text(t.k.needs[rule.then.target].text, w.facts)
            for rule, _ in w.firings
            if rule.then.act == "need"
        ]
        fired += [rule for rule, _ in w.firings]
    if step.verdict == "sound-if":
        # A new sowing rests on all that its option rests on; a step on the answers that could still rule it
        # out.
        conditions += t.conditions(step.option) if step.option is not None else []
        conditions += [
            t.say.fill(rule.sound_if, facts, t.types) for rule, _ in could if rule.sound_if is not None
        ]
        asks = t.questions(name for rule, found in could if rule.sound_if is None for name in found.unknown)
        conditions += [t.k.text("answer-answer-first", ask=ask) for ask in asks]
    instead = [t.text(row.text, facts) for row in better(t.c, step)] if step.verdict != "sound" else []
    chosen = t.c.chosen[step.zone].option
    if (
        step.option is not None
        and step.verdict in ("not-advised", "ruled-out")
        and chosen is not None
        and chosen.draft.code != step.option.draft.code
    ):
        instead.append(t.k.text("answer-advised-here", way=lower_first(t.title(chosen.draft))))
    p = step.proposal
    what = t.say.step(p.step)
    thing = (
        t.say.plant(t.k.plants.get(coded(p.mixture or p.grass or ""), "")) if (p.mixture or p.grass) else ""
    )
    if p.kind:
        thing = f"{p.kind.replace('-', ' ')} class"
    where = "" if len(t.c.zones) == 1 else f", {t.zone_name(step.zone)}"
    asked = t.k.text(
        "answer-proposed", what=f"{what} {thing}".strip(), day=p.start or t.filled.today, where=where
    )
    reasons.sort(key=lambda r: (r.for_, r.criterion, r.rules))
    return out.ProposalJudged(
        asked=capital(asked),
        judgement=step.verdict,  # type: ignore[arg-type]  # a verdict of the language
        conditions=list(dict.fromkeys(conditions)),
        reasons=list({reason.text: reason for reason in reasons}.values()),
        cautions=t.cautions(fired),
        better=list(dict.fromkeys(instead)),
    )
