"""Reasons with what stands behind them: each condition of a rule with the fact that it read, and what sources
say.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Final, Literal

from decide.decision.diagnosis import Diagnosis
from decide.decision.rank import UNKNOWN, USABLE, Weighed, role_facts
from decide.engine.language import CRITERIA, ROLE, Condition, Fact, FactType, Firing, Rule
from decide.engine.plain import conjunction, standing, truth
from decide.knowledge.tables import Knowledge, Statement
from decide.model.units import System
from decide.model.words import capital
from decide.questions.answers import as_answers
from decide.questions.open import open_questions
from decide.questions.weights import asked_for

Level = Literal[1, 2, 3]
# What an option or a place is, and no date, money, hands or water can change.
FIXED: Final = (
    "option.remedy", "option.method", "option.grass", "option.lead-grass", "option.mixture",
    "option.season-type", "option.habit", "option.life", "option.made-from", "option.by-hand",
    "option.slope-holding", "option.cost-class", "option.sport", "option.wear", "option.recovery",
    "option.shade", "option.salt", "option.drought", "option.cold", "option.heat", "option.variant",
    "option.method-open", "option.climate-fit", "site.climate", "site.hemisphere", "site.country",
    "site.region", "site.coldest-normal-c", "site.warmest-normal-c",
)  # fmt: skip
_FAR: Final = 1.0
# What a comparison asks for, and what would be otherwise.
_OPPOSITES: Final = {
    "<": ("told-less", "told-at-least"), "<=": ("told-at-most", "told-more"),
    ">": ("told-more", "told-at-most"), ">=": ("told-at-least", "told-less"),
}  # fmt: skip


@dataclass(frozen=True)
class Said:
    """What one source says of a number: as it is shown, and whether it is the one in use."""

    value: str
    key: str
    amount: str
    source: str
    seen: str
    used: bool
    why: str = ""

    def text(self, k: Knowledge) -> str:
        """The number with its source."""
        why = f": {self.why}" if self.why else ""
        use = k.text("source-in-use", why=why) if self.used else ""
        return f"{self.amount} ({self.source}; {self.seen}{use})"


@dataclass(frozen=True)
class Held:
    """A condition of a rule, the fact that it reads and whether it holds (None: unknown).

    `value` is the fact (None: unknown); `bound` is the number that it is compared with, in the fact's unit,
    if any. `changes` says whether the fact can be otherwise at all, `told` whether somebody told it; `gap` is
    how far it is from tipping the condition, in parts of its range (1 where it has none).
    """

    condition: str
    fact: str
    value: Fact | None
    holds: bool | None
    now: str
    wanted: str
    otherwise: str
    changes: bool
    told: bool
    gap: float
    bound: float | None = None
    numbers: tuple[Said, ...] = ()

    def text(self, k: Knowledge) -> str:
        """The fact's value, and what the rule asks for."""
        return k.text("told-rule-asks", now=self.now, wanted=self.wanted)

    def needed(self, k: Knowledge) -> str:
        """The fact's value, and what is needed instead: for the rule where it fails, against the rule where
        it holds.
        """
        needed = self.otherwise if self.holds else self.wanted
        return k.text("told-needed", now=self.now[:1].lower() + self.now[1:], needed=needed)


@dataclass(frozen=True)
class Reason:
    """One rule that fired or failed: what it says of which criterion, its conditions, exceptions and sources.

    `grade` is ruled-out or one of GRADES for reasons on a criterion, else empty. `lifts` are the conditions
    that would lift it if they were otherwise, the nearest first. `open` are exceptions whose truth is
    unknown. `usual` says that it fires only because something that nobody told is taken as usual.
    """

    rule: str
    act: str
    target: str
    grade: str
    text: str
    when: tuple[Held, ...]
    lifts: tuple[Held, ...]
    sources: tuple[str, ...]
    source_keys: tuple[str, ...]
    open: tuple[str, ...] = ()
    exceptions: tuple[tuple[str, bool | None], ...] = ()
    usual: bool = False

    @property
    def speaks_for(self) -> bool:
        """Whether it speaks for the option."""
        return self.grade in ("strong", "fair")


@dataclass(frozen=True)
class Compared:
    """Two options on one criterion: the grade of each at its worst and at its best end, the rules that gave
    them, and what they hang on.
    """

    criterion: str
    one: str
    other: str
    reasons_one: tuple[Reason, ...]
    reasons_other: tuple[Reason, ...]
    best_one: str = UNKNOWN
    best_other: str = UNKNOWN
    hangs_one: tuple[str, ...] = ()
    hangs_other: tuple[str, ...] = ()


@dataclass(frozen=True)
class Placed:
    """An option's place in the programme of its zone: choice, stopgap, least bad, after, instead or next
    best; and the rule that lets it stand there.

    `reason` is None where the place follows from the order alone.
    """

    place: str
    option: str
    title: str
    verdict: str
    reason: Reason | None = None


@dataclass(frozen=True)
class Explanation:
    """An answer in plain words with the data behind it.

    `kind` is chosen, left-alone, nothing, lost, ruled-out, not-made, not-proposed, compared or not-found;
    `verdict` is that of the option. `failed` are the conditions that would have to be otherwise, the nearest
    of each reason first. `criteria` compares two options criterion by criterion, in the order that counts
    here. `rests_on` says under which conditions the verdict holds, `programme` who else stands in the
    programme of the zone.
    """

    text: str
    kind: str
    zone: str = ""
    option: str = ""
    verdict: str = ""
    reasons: tuple[Reason, ...] = ()
    failed: tuple[Held, ...] = ()
    other: str = ""
    place: str = ""
    facts: Mapping[str, Fact] = field(default_factory=dict)
    criteria: tuple[Compared, ...] = ()
    rests_on: tuple[str, ...] = ()
    programme: tuple[Placed, ...] = ()


def usual_firings(c: Diagnosis, w: Weighed) -> list[tuple[Rule, Firing]]:
    """The rules that grade an option or rule it out only because something that nobody told is taken as
    usual.
    """
    fired = {rule.id for rule, _ in w.firings}
    read = c.usual_readings([w])[w.draft.code].firings
    return [
        (rule, firing)
        for rule, firing in read
        if rule.id not in fired and rule.then.act in ("mark", "rule-out")
    ]


def part_facts(c: Diagnosis, w: Weighed) -> dict[str, Fact]:
    """What the rules of the programme read of an option."""
    return {**w.facts, **role_facts(w, c.essential)}


def part_rules(c: Diagnosis, w: Weighed) -> list[Rule]:
    """The rules that let an option take a part in the programme, in the order of the engine."""
    facts = part_facts(c, w)
    return [
        rule
        for stratum in c.book.base.strata["option-role"]
        for rule in stratum
        if rule.id not in c.without and standing(rule, facts).fires is True
    ]


def ends_words(k: Knowledge, worst: str, best: str) -> str:
    """A grade at both ends in words: one word where they are the same."""
    low, high = (
        k.text("told-not-known") if grade == UNKNOWN else k.language.grade(grade) for grade in (worst, best)
    )
    return low if worst == best else k.text("grade-ends", worst=low, best=high)


class Teller:
    """Says rules, conditions and numbers of one consultation in words."""

    def __init__(self, consultation: Diagnosis) -> None:
        self.c = consultation
        self.say, self.types, self.knowledge = consultation.say, consultation.types, consultation.knowledge
        self._open: list[tuple[str, str]] | None = None

    # ---------- conditions ----------
    def held(self, condition: Condition, facts: Mapping[str, Fact]) -> Held:
        """A condition beside the fact that it reads."""
        kind = self.types[condition.fact]
        value = facts.get(condition.fact)
        bound = self._bound(condition, facts)
        wanted, otherwise = self._sides(condition, kind, bound)
        meaning = kind.meaning.split(";")[0]
        said = self.knowledge.text("told-not-known") if value is None else self.say.fact(kind, value)
        now = f"{capital(meaning)}: {said}"
        return Held(
            condition.text, condition.fact, value, truth(condition, facts), now, wanted, otherwise,
            condition.fact not in FIXED, kind.kind == "told", self._gap(kind, value, bound), bound,
            self._numbers(condition, facts),
        )  # fmt: skip

    def _bound(self, condition: Condition, facts: Mapping[str, Fact]) -> float | None:
        if not condition.index:
            return condition.number
        key = facts.get(condition.index)
        return condition.table.get(key) if isinstance(key, str) else None

    def _sides(self, condition: Condition, kind: FactType, bound: float | None) -> tuple[str, str]:
        """What a condition asks for, and what would be otherwise."""
        if condition.op in ("<", "<=", ">", ">="):
            said = self.knowledge.text("told-unknown-number") if bound is None else self.say.fact(kind, bound)
            wanted, otherwise = _OPPOSITES[condition.op]
            return self.knowledge.text(wanted, number=said), self.knowledge.text(otherwise, number=said)
        if not condition.levels:
            yes, no = self.knowledge.text("yes"), self.knowledge.text("no")
            return (yes, no) if condition.op == "is" else (no, yes)
        said = self.knowledge.language.listed(
            [self.say.fact(kind, level) for level in condition.levels], "or"
        )
        other = self.knowledge.text("told-anything-but", levels=said)
        return (other, said) if condition.op == "is not" else (said, other)

    @staticmethod
    def _gap(kind: FactType, value: Fact | None, bound: float | None) -> float:
        if not isinstance(value, (int, float)) or isinstance(value, bool) or bound is None:
            return _FAR
        width = (
            (kind.high - kind.low)
            if kind.low is not None and kind.high is not None and kind.high > kind.low
            else max(abs(bound), 1.0)
        )
        return abs(value - bound) / width

    def _numbers(self, condition: Condition, facts: Mapping[str, Fact]) -> tuple[Said, ...]:
        if not condition.value:
            return ()
        key = facts.get(condition.index, "") if condition.index else ""
        row = self.knowledge.values[condition.value]
        return tuple(
            said_of(self.knowledge, said, self.c.system) for said in row.statements if said.key == key
        )

    # ---------- rules ----------
    def reason(self, rule: Rule, facts: Mapping[str, Fact], open_: Sequence[str] = ()) -> Reason:
        """A rule as a reason about a subject that holds `facts`."""
        then = rule.then
        when = tuple(self.held(condition, facts) for condition in rule.when)
        grade = "ruled-out" if then.act == "rule-out" else then.grade
        return Reason(
            rule.id,
            then.act,
            then.target,
            grade,
            self.say.fill(rule.because, facts, self.types),
            when,
            _nearest(when),
            (
                *(source_words(self.knowledge, key) for key in rule.sources),
                *rule_folder(self.knowledge, rule),
            ),
            rule.sources,
            tuple(open_),
            tuple((exception.name, conjunction(exception.when, facts)) for exception in rule.unless),
        )

    def reasons(self, w: Weighed) -> tuple[Reason, ...]:
        """The rules that grade an option or rule it out, as reasons: by what is known, then by what is taken
        as usual.
        """
        sure = [
            self.reason(rule, w.facts, firing.open)
            for rule, firing in w.firings
            if rule.then.act in ("mark", "rule-out")
        ]
        facts = {**self.c.usual_facts[w.draft.zone], **w.facts}
        return (
            *sure,
            *(
                replace(self.reason(rule, facts, firing.open), usual=True)
                for rule, firing in usual_firings(self.c, w)
            ),
        )

    def part(self, w: Weighed, *roles: str) -> Reason | None:
        """The rule that gives an option the first of some parts in the programme that it has; None where it
        has none of them.
        """
        rules = part_rules(self.c, w)
        found = (rule for role in roles for rule in rules if rule.then.target == ROLE + role)
        return next((self.reason(rule, part_facts(self.c, w)) for rule in found), None)

    def giving(self, target: str) -> list[Rule]:
        """The rules that conclude something, but for those that are switched off."""
        return [
            rule
            for rule in self.c.book.base.rules
            if rule.then.act == "conclude" and rule.then.target == target and rule.id not in self.c.without
        ]

    # ---------- what a verdict rests on ----------
    def rests_on(self, w: Weighed, rule: Rule | None = None) -> tuple[str, ...]:
        """Under which conditions a verdict that can be used holds, each as the end of "only if": what open
        rules in what counts want, the gravest first.

        With `rule` only what that one wants.
        """
        if w.verdict not in USABLE:
            return ()
        return self._wanted(w, [each for each in self.c.counting.rests_on(w) if rule in (None, each)])

    def hangs_on(self, w: Weighed, criterion: str) -> tuple[str, ...]:
        """What the best end of a criterion wants, each as the end of "only if"."""
        return self._wanted(w, [rule for rule in w.open if rule.then.target == criterion])

    def _wanted(self, w: Weighed, rules: Iterable[Rule]) -> tuple[str, ...]:
        said: dict[str, None] = {}
        for rule in rules:
            if rule.sound_if is not None:
                text = self.say.fill(rule.sound_if, w.facts, self.types)
                said[text[:1].lower() + text[1:]] = None
            else:
                said.update(
                    {self.knowledge.text("told-not-against", ask=ask): None for ask in self.asks(w, rule)[:1]}
                )
        return tuple(said)

    def asks(self, w: Weighed, rule: Rule) -> list[str]:
        """The open questions that settle a rule about an option, in the order of the talk."""
        names = {name for condition in rule.conditions for name in condition.facts if name not in w.facts}
        keys = {
            key
            for name in names
            for key in asked_for(
                self.c, name, w.draft.zone, usually=name not in self.c.usual_facts[w.draft.zone]
            )
        }
        if self._open is None:
            self._open = [
                (each.key, each.question.ask)
                for each in open_questions(self.knowledge, as_answers(self.c.filled.situation))
            ]
        return list(dict.fromkeys(ask for key, ask in self._open if key in keys))

    # ---------- lines ----------
    def lines(self, reason: Reason, level: Level) -> list[str]:
        """A reason as lines: words; from level 2 its conditions; from level 3 its sources and all that they
        say.
        """
        name = self.knowledge.language.criterion(reason.target) if reason.target in CRITERIA else ""
        head = (
            f"{capital(name)} ({self.knowledge.language.grade(reason.grade)}): "
            if name and reason.grade
            else ""
        )
        usual = self.knowledge.text("told-as-usual")
        out = [f"- {head}{reason.text}{f' {usual}' if reason.usual else ''}"]
        if level >= 2:
            out += [f"    {held.text(self.knowledge)}." for held in reason.when]
            out += [
                "    "
                + self.knowledge.text(
                    "told-unless", name=name.replace("-", " "), so=self.knowledge.text(_TRUTHS[lifted])
                )
                for name, lifted in reason.exceptions
            ]
        if level >= 3:
            out += [
                f"    {self._value_name(said)}: {said.text(self.knowledge)}."
                for held in reason.when
                for said in held.numbers
            ]
            out += [f"    {self.knowledge.text('told-source', source=source)}" for source in reason.sources]
            out.append(f"    {self.knowledge.text('told-rule', rule=reason.rule)}")
        return out

    def _value_name(self, said: Said) -> str:
        meaning = self.knowledge.values[said.value].meaning
        return capital(meaning)


_TRUTHS: Final[Mapping[bool | None, str]] = {
    True: "told-lifts",
    False: "told-not-so",
    None: "told-stands",
}


def _nearest(when: Sequence[Held]) -> tuple[Held, ...]:
    """The true conditions: those that can be otherwise first, of these the told ones, of these the nearest to
    tipping.
    """
    return tuple(
        sorted(
            (held for held in when if held.holds is True),
            key=lambda held: (not held.changes, not held.told, held.gap),
        )
    )


def by_folder(knowledge: Knowledge, folder: str) -> str:
    """Words for a folder that was laid over the knowledge; "" where none was."""
    return knowledge.text("by-folder", folder=folder) if folder else ""


def rule_folder(knowledge: Knowledge, rule: Rule) -> tuple[str, ...]:
    """By which folder over the knowledge a rule stands as it does; empty where it is the first folder's."""
    said = by_folder(knowledge, knowledge.folder_of("rule", rule.bend_of or rule.id))
    return (said,) if said else ()


def said_of(knowledge: Knowledge, said: Statement, system: System) -> Said:
    """What one source says of a number, in words."""
    source = source_words(knowledge, said.source, seen=False)
    return Said(
        said.value,
        said.key,
        knowledge.language.show(said.amount, knowledge.values[said.value].unit, system),
        ", ".join(part for part in (source, by_folder(knowledge, said.folder)) if part),
        knowledge.text(f"source-seen-{said.seen}"),
        said.used,
        said.why,
    )


def source_words(knowledge: Knowledge, key: str, seen: bool = True) -> str:
    """A source in words: title, publisher, year and, where asked for, how it was seen."""
    row = knowledge.sources.get(key)
    if row is None:
        return key
    parts = [
        row.title,
        row.publisher,
        row.year if row.year != "undated" else "",
        knowledge.text(f"source-seen-{row.seen}") if seen and row.seen != "own" else "",
    ]
    return ", ".join(part for part in parts if part)
