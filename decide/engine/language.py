"""The rule language: typed facts, conditions, conclusions and text templates, parsed once and checked."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import Final, Literal

from decide.model.errors import DecideError, KnowledgeError, meant
from decide.model.units import convert, is_unit

Fact = str | bool | float
Scope = Literal["site", "sign", "zone", "option", "step"]
Op = Literal["is", "is not", "in", "<", "<=", ">", ">="]

SCOPES: Final[tuple[Scope, ...]] = ("site", "sign", "zone", "option", "step")
READS: Final[Mapping[str, tuple[str, ...]]] = {
    "site": ("site",),
    "sign": ("site", "sign"),
    "zone": ("site", "zone"),
    "option": ("site", "zone", "option"),
    "step": ("site", "zone", "step"),
}
CRITERIA: Final = (
    "fits-place", "ready-in-time", "stands-use", "can-be-done", "money", "work", "water", "chemicals", "risk", "lasts",
)  # fmt: skip
GRADES: Final = ("lost", "poor", "weak", "unknown", "doubtful", "fair", "strong")
# The grades that speak against an option; "unknown" is no mark of a rule but the lack of one.
ADVERSE: Final = ("lost", "poor", "weak")
SOFT: Final = ("doubtful", "fair", "strong")
VERDICTS: Final = {
    "option": ("advised", "sound", "risky", "late", "not-advised", "ruled-out"),
    "step": ("sound", "sound-if", "not-advised", "ruled-out"),
}
# Facts that say which part an option may take in a programme; concluded once its verdict is known.
ROLE: Final = "option.role-"
PLACES: Final = 3
MOST_CONDITIONS: Final = 14


def rounded(number: float) -> float:
    """`number` as both engines see it: three decimals, no negative zero."""
    return round(number, PLACES) + 0.0


@dataclass(frozen=True, slots=True)
class FactType:
    """What one fact means and may hold.

    `kind` is told (from the situation), measured (from a measure), derived or diagnosis (concluded by rules).
    `type` is number (with `unit` and, where tried, `low`, `high`, `step`), level (one of `levels`; any word where
    `levels` is empty) or true. `told` is the key path in the situation, for told facts. `usual` is how the order reads it
    while nobody told it, by the level of `usual_by` where that is a fact; None where it is read at both ends. `asked` are the
    keys of the situation whose answers bring a measured fact.
    """

    name: str
    kind: Literal["told", "measured", "derived", "diagnosis"]
    type: Literal["number", "level", "true"]
    meaning: str = ""
    unit: str = ""
    levels: tuple[str, ...] = ()
    low: float | None = None
    high: float | None = None
    step: float | None = None
    told: str = ""
    usual: Fact | Mapping[str, Fact] | None = None
    usual_by: str = ""
    quiet: bool = False
    asked: tuple[str, ...] = ()

    @property
    def scope(self) -> str:
        return self.name.partition(".")[0]

    @property
    def concluded(self) -> bool:
        return self.kind in ("derived", "diagnosis")


@dataclass(frozen=True, slots=True)
class Condition:
    """One comparison of a fact.

    `levels` holds the level or levels of `is`, `is not` and `in`; it is empty where the term is `true`. `number` is
    the constant of an ordering, in the fact's own unit, rounded. Where the term is an indexed value, `index` names
    the fact that holds the key and `table` gives the number for each key, again in the fact's unit. `value` names the
    value that the number came from, if any.
    """

    fact: str
    op: Op
    text: str
    levels: tuple[str, ...] = ()
    number: float | None = None
    value: str = ""
    index: str = ""
    table: Mapping[str, float] = field(default_factory=dict)

    @property
    def facts(self) -> tuple[str, ...]:
        return (self.fact, self.index) if self.index else (self.fact,)


@dataclass(frozen=True, slots=True)
class Template:
    """A sentence with holes for facts and values; `parts` alternate text and (kind, name, index) holes.

    The index of a value is the fact that holds its key, or "=key" where the text itself names the key.
    """

    text: str
    parts: tuple[str | tuple[str, str, str], ...]

    @property
    def facts(self) -> tuple[str, ...]:
        names: list[str] = []
        for part in self.parts:
            if not isinstance(part, str):
                kind, name, index = part
                names.extend(
                    [name] if kind == "fact" else [index] if index and not index.startswith("=") else []
                )
        return tuple(names)

    @property
    def values(self) -> tuple[str, ...]:
        return tuple(part[1] for part in self.parts if not isinstance(part, str) and part[0] == "value")


@dataclass(frozen=True, slots=True)
class Unless:
    """A named exception: it lifts the rule when every condition is true."""

    name: str
    when: tuple[Condition, ...]
    because: Template


Act = Literal["conclude", "rule-out", "mark", "caution", "need", "verdict"]


@dataclass(frozen=True, slots=True)
class Conclusion:
    """What a rule says: a derived fact, a criterion ruled out or graded, a caution, a need, or a verdict."""

    act: Act
    target: str
    grade: str = ""


@dataclass(frozen=True)
class Rule:
    """One rule: conditions, exceptions, one conclusion, its reason in words, and its sources.

    `sound_if` says what must hold, told or not, for the rule not to speak: it ends a sentence that begins with "sound if".
    `bend_of` names the rule of which this one is the stretch before the limit.
    """

    id: str
    about: Scope
    when: tuple[Condition, ...]
    then: Conclusion
    because: Template
    sources: tuple[str, ...]
    unless: tuple[Unless, ...] = ()
    where: str = ""
    subject: str = ""
    sound_if: Template | None = None
    bend_of: str = ""

    @cached_property
    def conditions(self) -> tuple[Condition, ...]:
        return self.when + tuple(c for exception in self.unless for c in exception.when)

    @property
    def layer(self) -> str:
        if self.then.act == "conclude" and self.then.target.startswith(ROLE):
            return "option-role"
        return f"{self.about}-verdict" if self.then.act == "verdict" else self.about

    @property
    def adverse(self) -> bool:
        """Whether it speaks against what it is about."""
        return self.then.act == "rule-out" or (self.then.act == "mark" and self.then.grade in ADVERSE)


_CONDITION = re.compile(r"^\s*([a-z][a-z0-9.\-]*)\s+(is not|is|in|<=|>=|<|>)\s+(.+?)\s*$")
_NUMBER = re.compile(r"^(-?\d+(?:\.\d+)?)(?:\s+(\S+))?$")
_VALUE = re.compile(r"^value:([a-z0-9][a-z0-9\-]*)(?:\[([a-z][a-z0-9.\-]*)\])?$")
_HOLE = re.compile(r"\{([^{}]*)\}")


@dataclass(frozen=True, slots=True)
class Numbers:
    """The numbers in use, as the language needs them: unit of each value, and its number or its table by key."""

    units: Mapping[str, str]
    single: Mapping[str, float]
    tables: Mapping[str, Mapping[str, float]]


def _value_term(
    name: str, index: str, fact: FactType, facts: Mapping[str, FactType], numbers: Numbers
) -> tuple[float | None, dict[str, float]]:
    if name not in numbers.units:
        raise KnowledgeError(f"there is no value {name!r}", instead=meant(name, numbers.units))
    unit = numbers.units[name]

    def into(amount: float) -> float:
        return rounded(convert(amount, unit, fact.unit))

    if index:
        if name not in numbers.tables:
            raise KnowledgeError(
                f"value {name!r} is a single number", instead=f"Write value:{name} without [{index}]"
            )
        if index not in facts:
            raise KnowledgeError(f"there is no fact {index!r}", instead=meant(index, facts))
        kind = facts[index]
        if kind.type != "level":
            raise KnowledgeError(f"{index} cannot index a value: it is not a level")
        table = numbers.tables[name]
        strange = [key for key in table if kind.levels and key not in kind.levels]
        if strange:
            raise KnowledgeError(
                f"value {name!r} has key {strange[0]!r}, which {index} never is",
                instead=meant(strange[0], kind.levels),
            )
        return None, {key: into(amount) for key, amount in table.items()}
    if name not in numbers.single:
        raise KnowledgeError(
            f"value {name!r} is a family",
            instead=f"Write value:{name}[fact] with the fact that holds its key",
        )
    return into(numbers.single[name]), {}


def parse_condition(text: str, facts: Mapping[str, FactType], numbers: Numbers) -> Condition:
    """The condition that `text` writes; KnowledgeError where it does not fit the grammar, the facts or the values."""
    match = _CONDITION.match(text)
    if not match:
        raise KnowledgeError(
            f"{text!r} is not a condition",
            instead="Write: fact is level, fact in {a, b}, or fact < number unit",
        )
    name, op, term = match[1], match[2], match[3]
    if name not in facts:
        raise KnowledgeError(f"there is no fact {name!r}", instead=meant(name, facts))
    fact = facts[name]
    try:
        return _typed(text, fact, op, term, facts, numbers)  # type: ignore[arg-type]
    except KnowledgeError as error:
        raise KnowledgeError(f"in {text!r}: {error.wrong}", instead=error.instead) from None
    except DecideError as error:
        raise KnowledgeError(f"in {text!r}: {error.wrong}", instead=error.instead) from None


def _typed(
    text: str, fact: FactType, op: Op, term: str, facts: Mapping[str, FactType], numbers: Numbers
) -> Condition:
    if op in ("is", "is not", "in"):
        if fact.type == "number":
            raise KnowledgeError(f"{fact.name} is a number", instead="Compare it with <, <=, > or >=")
        if op == "in":
            if not (term.startswith("{") and term.endswith("}")):
                raise KnowledgeError("the levels of `in` stand in braces", instead="Write: fact in {a, b}")
            levels = tuple(word.strip() for word in term[1:-1].split(","))
        else:
            levels = (term,)
        if fact.type == "true":
            if op == "in" or levels != ("true",):
                raise KnowledgeError(f"{fact.name} is true or not", instead=f"Write: {fact.name} is true")
            return Condition(fact.name, op, text)
        for level in levels:
            if not re.fullmatch(r"[a-z0-9][a-z0-9\-]*", level):
                raise KnowledgeError(
                    f"{level!r} is not a level", instead="Levels are lower-case words joined by hyphens"
                )
            if fact.levels and level not in fact.levels:
                raise KnowledgeError(f"{fact.name} is never {level!r}", instead=meant(level, fact.levels))
        if len(set(levels)) != len(levels):
            raise KnowledgeError("a level stands twice")
        return Condition(fact.name, op, text, levels=levels)
    if fact.type != "number":
        raise KnowledgeError(f"{fact.name} is not a number", instead="Compare it with is, is not or in")
    named = _VALUE.match(term)
    if named:
        number, table = _value_term(named[1], named[2] or "", fact, facts, numbers)
        return Condition(
            fact.name, op, text, number=number, value=named[1], index=named[2] or "", table=table
        )
    plain = _NUMBER.match(term)
    if not plain:
        raise KnowledgeError(
            f"{term!r} is neither a number with its unit nor a value",
            instead="Write: fact < 3 weeks, or fact < value:NAME",
        )
    amount, unit = float(plain[1]), plain[2] or ""
    if not unit and amount != 0:
        raise KnowledgeError("a number needs its unit", instead=f"Write: {plain[1]} {fact.unit}")
    if unit:
        if not is_unit(unit):
            raise KnowledgeError(f"{unit!r} is not a unit", instead=f"Write: {plain[1]} {fact.unit}")
        amount = convert(amount, unit, fact.unit)
    return Condition(fact.name, op, text, number=rounded(amount))


def parse_template(
    text: str, facts: Mapping[str, FactType], numbers: Numbers, reads: Sequence[str]
) -> Template:
    """The template that `text` writes; its holes may name facts of the scopes `reads`, and values."""
    parts: list[str | tuple[str, str, str]] = []
    last = 0
    for hole in _HOLE.finditer(text):
        parts.append(text[last : hole.start()])
        last = hole.end()
        inner = hole[1]
        named = _VALUE.match(inner)
        if named:
            name, index = named[1], named[2] or ""
            if name not in numbers.units:
                raise KnowledgeError(
                    f"the text names value {name!r}, which there is not", instead=meant(name, numbers.units)
                )
            if bool(index) != (name in numbers.tables):
                raise KnowledgeError(
                    f"the text names value {name!r} {'with' if index else 'without'} a key",
                    instead="Families need [fact], single values do not",
                )
            literal = index in numbers.tables.get(name, {})
            parts.append(("value", name, f"={index}" if literal else index))
            inner = "" if literal else index
        else:
            parts.append(("fact", inner, ""))
        if inner:
            if inner not in facts:
                raise KnowledgeError(
                    f"the text names fact {inner!r}, which there is not", instead=meant(inner, facts)
                )
            if facts[inner].scope not in reads:
                raise KnowledgeError(
                    f"the text names {inner}, which this rule cannot read",
                    instead="It may read: " + ", ".join(reads),
                )
    parts.append(text[last:])
    if "{" in "".join(p for p in parts if isinstance(p, str)) or "}" in "".join(
        p for p in parts if isinstance(p, str)
    ):
        raise KnowledgeError("the text has a brace that opens or closes nothing")
    return Template(text, tuple(part for part in parts if part))


@dataclass(frozen=True, slots=True)
class RuleBase:
    """All rules, sorted into layers and strata, with the facts that they read.

    `strata[layer]` is a tuple of strata, each a tuple of rules; a stratum reads only derived facts of the strata and
    layers below it. `tracked` are the derived facts whose falsity some exception asks for.
    """

    facts: Mapping[str, FactType]
    rules: tuple[Rule, ...]
    strata: Mapping[str, tuple[tuple[Rule, ...], ...]]
    tracked: frozenset[str]

    def rule(self, id: str) -> Rule:
        return next(rule for rule in self.rules if rule.id == id)


LAYERS: Final = ("site", "sign", "zone", "option", "option-verdict", "option-role", "step", "step-verdict")


def check_rule(rule: Rule, facts: Mapping[str, FactType]) -> None:
    """Raise KnowledgeError where a well-formed rule breaks a law of the language."""

    def wrong(text: str, instead: str = "") -> KnowledgeError:
        return KnowledgeError(f"rule {rule.id!r}: {text}", where=rule.where, instead=instead)

    reads = READS[rule.about]
    for group in (rule.when, *(exception.when for exception in rule.unless)):
        if not group:
            raise wrong("has no condition", 'Write when = ["fact is level"]')
        if len(group) > MOST_CONDITIONS:
            raise wrong(
                f"has {len(group)} conditions", f"At most {MOST_CONDITIONS}; derive a fact from some of them"
            )
        seen = [condition.text for condition in group]
        if len(set(seen)) != len(seen):
            raise wrong("states a condition twice")
        for condition in group:
            for name in condition.facts:
                if facts[name].scope not in reads:
                    raise wrong(f"reads {name}, but a rule about {rule.about} reads only {', '.join(reads)}")
            if facts[condition.fact].concluded and condition.op == "is not" and group is rule.when:
                raise wrong(
                    f"negates the derived fact {condition.fact} in `when`",
                    "Derived facts are negated only inside `unless`",
                )
    then = rule.then
    if then.act == "conclude":
        if then.target not in facts or not facts[then.target].concluded:
            raise wrong(
                f"concludes {then.target!r}, which is not a derived fact",
                meant(then.target, [n for n, f in facts.items() if f.concluded]),
            )
        if facts[then.target].scope != rule.about:
            raise wrong(f"is about {rule.about} but concludes {then.target}")
    elif then.act in ("rule-out", "mark"):
        if then.target not in CRITERIA:
            raise wrong(f"{then.target!r} is not a criterion", meant(then.target, CRITERIA))
        if then.act == "mark" and then.grade not in (*ADVERSE, *SOFT):
            raise wrong(f"{then.grade!r} is not a grade", f"Write one of: {', '.join((*ADVERSE, *SOFT))}")
        if rule.about not in ("option", "step"):
            raise wrong(f"grades a {rule.about}", "Only options and steps are graded")
    elif then.act == "verdict":
        if rule.about not in VERDICTS:
            raise wrong(f"gives a verdict on a {rule.about}", "Only options and steps get a verdict")
        if then.target not in VERDICTS[rule.about]:
            raise wrong(
                f"{then.target!r} is not a verdict on a {rule.about}",
                meant(then.target, VERDICTS[rule.about]),
            )
    if (
        rule.sound_if is not None
        and not rule.adverse
        and not (then.act == "mark" and then.grade == "doubtful")
    ):
        raise wrong(
            "says when it is sound, but speaks against nothing",
            "Only rule-outs and marks below fair have `sound-if`",
        )
    if rule.unless:
        lifts = (
            then.act in ("rule-out", "caution", "need")
            or (then.act == "mark" and then.grade in (*ADVERSE, "doubtful"))
            or (then.act == "conclude" and facts[then.target].kind == "diagnosis")
        )
        if not lifts:
            raise wrong(
                "has an exception that could make advice bolder",
                "`unless` stands only on rule-outs, weak marks, cautions, needs and diagnoses; write a rule of its own",
            )
        names = [exception.name for exception in rule.unless]
        if len(set(names)) != len(names):
            raise wrong("has two exceptions of one name")


def build(rules: Sequence[Rule], facts: Mapping[str, FactType]) -> RuleBase:
    """Check every rule and sort the rules into strata; KnowledgeError on twins and circles."""
    ids: dict[str, str] = {}
    bodies: dict[object, str] = {}
    for rule in rules:
        check_rule(rule, facts)
        if rule.id in ids:
            raise KnowledgeError(
                f"rule {rule.id!r} stands twice", where=rule.where, instead=f"The other is at {ids[rule.id]}"
            )
        ids[rule.id] = rule.where
        body = (
            rule.about,
            frozenset(c.text for c in rule.when),
            rule.then,
            frozenset((u.name, frozenset(c.text for c in u.when)) for u in rule.unless),
        )
        if body in bodies:
            raise KnowledgeError(
                f"rules {bodies[body]!r} and {rule.id!r} are twins", where=rule.where, instead="Keep one"
            )
        bodies[body] = rule.id
    givers: dict[str, list[Rule]] = {}
    for rule in rules:
        if rule.then.act == "conclude":
            givers.setdefault(rule.then.target, []).append(rule)
    depth: dict[str, int] = {}
    open_path: list[str] = []

    def height(name: str) -> int:
        if name in depth:
            return depth[name]
        if name in open_path:
            circle = " → ".join([*open_path[open_path.index(name) :], name])
            raise KnowledgeError(f"a derived fact rests on itself: {circle}", where=givers[name][0].where)
        open_path.append(name)
        scope = facts[name].scope
        below = [
            height(used)
            for rule in givers.get(name, [])
            for condition in rule.conditions
            for used in condition.facts
            if facts[used].concluded and facts[used].scope == scope
        ]
        open_path.pop()
        depth[name] = 1 + max(below, default=-1)
        return depth[name]

    strata: dict[str, list[list[Rule]]] = {layer: [] for layer in LAYERS}
    for rule in rules:
        used = {name for condition in rule.conditions for name in condition.facts}
        level = max(
            (1 + height(name) for name in used if facts[name].concluded and facts[name].scope == rule.about),
            default=0,
        )
        if rule.then.act == "conclude":
            level = max(level, height(rule.then.target))
        rows = strata[rule.layer]
        while len(rows) <= level:
            rows.append([])
        rows[level].append(rule)
    tracked: set[str] = set()
    todo = [
        c.fact
        for r in rules
        for u in r.unless
        for c in u.when
        if c.op == "is not" and facts[c.fact].concluded
    ]
    while todo:
        name = todo.pop()
        if name in tracked:
            continue
        tracked.add(name)
        todo += [c.fact for r in givers.get(name, []) for c in r.conditions if facts[c.fact].concluded]
    return RuleBase(
        facts=dict(facts),
        rules=tuple(rules),
        strata={layer: tuple(tuple(row) for row in rows) for layer, rows in strata.items()},
        tracked=frozenset(tracked),
    )


@dataclass(frozen=True, slots=True)
class Subject:
    """One thing that rules judge: its name, and every fact that rules about it may read (absent = unknown)."""

    name: str
    facts: Mapping[str, Fact]


@dataclass(frozen=True, slots=True)
class Firing:
    """A rule that fired on a subject; `open` names exceptions whose truth is unknown."""

    rule: str
    subject: str
    open: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class CouldFire:
    """A rule that would fire if the unknown facts turned out so."""

    rule: str
    subject: str
    unknown: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Judged:
    """What one engine says of one layer.

    `firings` are in the order of strata, subjects and rules. `derived` gives, for each subject, the derived facts
    that are settled: True where a rule gave it, False where no rule could; unknown ones are absent. `could` is empty
    from an engine that does not report it.
    """

    firings: tuple[Firing, ...]
    derived: Mapping[str, Mapping[str, bool]]
    could: tuple[CouldFire, ...] = ()
