"""What a consultation comes to, as codes, what moved between two of them, and which rules fired."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final

from decide.answer.zone_answer import decision_of, field_decision
from decide.decision.consultation import Consultation
from decide.decision.diagnosis import Layer
from decide.decision.fate import fates
from decide.decision.programme import Chosen
from decide.decision.rank import Reading, Weighed, readings, role_facts, verdict_facts
from decide.engine.columns import judge
from decide.engine.language import Fact, Subject
from decide.facts.sign import sign_facts
from decide.questions.choice import cautions_of, own_cautions

_CAUSE: Final = "zone.cause-"


@dataclass(frozen=True)
class Move:
    """One answer that moved: what it is an answer to, of which part or option, and both answers ("" where
    there is none).
    """

    what: str
    about: str
    before: str
    after: str

    def __str__(self) -> str:
        if self.what in ("cause", "caution", "need"):
            return f"{self.what} {self.before or self.after} {'is gone' if self.before else 'comes in'}"
        of = f" of {self.about}" if self.about else ""
        return f"{self.what}{of}: {self.before or 'none'} → {self.after or 'none'}"


@dataclass(frozen=True)
class Outcome:
    """What a consultation comes to, as codes: per zone decision, programme (with the verdicts) and fate of
    the date, every verdict, cautions, needs, causes, proposals.
    """

    decision: str
    decisions: Mapping[str, str]
    choices: Mapping[str, str]
    fates: Mapping[str, str]
    verdicts: Mapping[str, str]
    cautions: frozenset[str]
    needs: frozenset[str]
    causes: frozenset[str]
    proposals: Mapping[str, str]


# ---------- outcomes ----------
def outcome(c: Consultation) -> Outcome:
    """What a consultation comes to, without the plan and the texts of the advice."""
    decisions = {zone: decision_of(c, zone) for zone in c.zones}
    field = field_decision(c, decisions)
    picked = [w for chosen in c.chosen.values() for w in chosen.named]
    site_zone = [
        rule for layer in (c.site_layer, c.zone_layer) for rows in layer.fired.values() for rule, _ in rows
    ]
    steps = [rule for step in c.steps for rule, _ in step.firings]
    own = [rule for w in picked for rule, _ in w.firings]
    given = (rule.then.target for rule in steps if rule.then.act == "caution")
    needs = (rule.then.target for rule in (*site_zone, *own) if rule.then.act == "need")
    found = (rule.then.target for rule in site_zone if rule.then.target.startswith(_CAUSE))
    ground = cautions_of(c.site_layer) | cautions_of(c.zone_layer)
    return Outcome(
        decision=field,
        decisions=decisions,
        choices={zone: programme_of(chosen) for zone, chosen in c.chosen.items()},
        fates={fate.zone: fate.level for fate in fates(c)},
        verdicts={code: w.verdict for code, w in c.weighed.items()},
        cautions=frozenset(ground).union(*map(own_cautions, picked), given),
        needs=frozenset(needs),
        causes=frozenset(target.removeprefix(_CAUSE) for target in found),
        proposals={
            f"{number} {step.proposal.step}/{step.zone}": step.verdict
            for number, step in enumerate(c.steps, start=1)
        },
    )


def programme_of(chosen: Chosen) -> str:
    """The programme of a zone as codes with verdicts, in the order of doing."""

    def said(w: Weighed) -> str:
        return f"{w.draft.code} ({w.verdict})"

    head = ", then ".join(map(said, chosen.named))
    beside = [
        f"{word} {said(w)}"
        for word, w in (("after it", chosen.after), ("or instead", chosen.instead))
        if w is not None
    ]
    return "; ".join([*([head] if head else []), *beside])


def moves(before: Outcome, after: Outcome) -> tuple[Move, ...]:
    """Every answer in which two outcomes differ: decisions and choices first, verdicts last."""
    rows: list[Move] = []
    if before.decision != after.decision:
        rows.append(Move("decision", "the field", before.decision, after.decision))
    pairs = (
        ("decision", before.decisions, after.decisions),
        ("choice", before.choices, after.choices),
        ("fate", before.fates, after.fates),
        ("judgement", before.proposals, after.proposals),
        ("verdict", before.verdicts, after.verdicts),
    )
    for what, one, two in pairs:
        rows += [
            Move(what, name, one.get(name, ""), two.get(name, ""))
            for name in dict.fromkeys([*one, *two])
            if one.get(name, "") != two.get(name, "")
        ]
        if what == "fate":
            for word, left, right in (
                ("cause", before.causes, after.causes),
                ("caution", before.cautions, after.cautions),
                ("need", before.needs, after.needs),
            ):
                rows += [
                    Move(word, "", name if name in left else "", name if name in right else "")
                    for name in sorted(left ^ right)
                ]
    return tuple(rows)


def _layers(c: Consultation) -> Iterator[tuple[str, Layer]]:
    yield from (("site", c.site_layer), ("sign", c.sign_layer), ("zone", c.zone_layer))


def usual_readings(c: Consultation) -> dict[str, Reading]:
    """The rules that fire and could fire on each option in the usual reading of what was not told."""
    subjects = [Subject(code, {**c.usual_facts[w.draft.zone], **w.facts}) for code, w in c.weighed.items()]
    return readings(judge(c.book.base, "option", subjects, c.without), c.book.rules, c.weighed)


def firings(c: Consultation) -> frozenset[tuple[str, str, tuple[str, ...]]]:
    """Every firing of a consultation: rule, subject, and the exceptions that are open; in the usual reading
    of what was not told too.
    """
    found = {
        (rule.id, f"{name} {subject}", firing.open)
        for name, layer in _layers(c)
        for subject, rows in layer.fired.items()
        for rule, firing in rows
    }
    for code, w in c.weighed.items():
        found |= {(rule.id, code, firing.open) for rule, firing in w.firings} | {(w.verdict_rule, code, ())}
    for code, reading in usual_readings(c).items():
        found |= {(rule.id, f"{code} as usual", firing.open) for rule, firing in reading.firings}
    ends = [Subject(code, {**w.facts, **role_facts(w, c.essential)}) for code, w in c.weighed.items()]
    parts = judge(c.book.base, "option-role", ends, c.without)
    found |= {(each.rule, f"{each.subject} in the programme", each.open) for each in parts.firings}
    for number, step in enumerate(c.steps):
        name = f"idea {number} {step.zone}"
        found |= {(rule.id, name, firing.open) for rule, firing in step.firings} | {
            (step.verdict_rule, name, ())
        }
        if step.option is not None:
            found |= {(rule.id, f"{name} option", firing.open) for rule, firing in step.option.firings}
    return frozenset(found)


def fired_differently(one: Consultation, two: Consultation) -> frozenset[str]:
    """The rules that fired in one of two consultations otherwise than in the other."""
    return frozenset(rule for rule, _, _ in firings(one) ^ firings(two))


def judged_facts(c: Consultation) -> Iterator[tuple[str, Mapping[str, Fact]]]:
    """The facts of everything that rules judged, by the scope of the rules, and those with what is taken as
    usual; verdicts of steps are not among them.
    """
    yield "site", c.site
    for zone, facts in c.zone_facts.items():
        usual = c.usual_facts[zone]
        yield "site", {**{name: value for name, value in usual.items() if name.startswith("site.")}, **c.site}
        yield "zone", {**usual, **c.site, **facts}
    for sign in c.signs:
        if sign.mended is None:
            yield "sign", {**c.site, **sign_facts(c.filled, sign, c.measures)}
    for facts in c.zone_facts.values():
        yield "zone", {**c.site, **facts}
    for w in c.weighed.values():
        yield from _judged_option(c, w)
    for step in c.steps:
        yield "step", step.facts
        if step.option is not None:
            yield from _judged_option(c, step.option)


def _judged_option(c: Consultation, w: Weighed) -> Iterator[tuple[str, Mapping[str, Fact]]]:
    yield (
        "option",
        {**w.facts, **verdict_facts(w, c.essential, c.counting.perhaps), **role_facts(w, c.essential)},
    )
    yield "option", {**c.usual_facts[w.draft.zone], **w.facts}
