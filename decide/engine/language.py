"""The rule language: typed facts, conditions, conclusions and text templates, parsed once and checked."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Final, Literal, NamedTuple

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
    "fits-place", "ready-in-time", "stands-use", "can-be-done", "money", "work", "water", "chemicals", "risk",
    "lasts",
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
# The roles of which explanations speak: what may be the answer, and what lasts.
ANSWER: Final = "answer"
LASTING: Final = "lasting"
PLACES: Final = 3
MOST_CONDITIONS: Final = 14


def rounded(number: float) -> float:
    """`number` as both engines see it: three decimals, no negative zero."""
    return round(number, PLACES) + 0.0


@dataclass(frozen=True, slots=True)
class FactType:
    """What one fact means and may hold.

    `kind` is told (from the situation), measured (from a measure), derived or diagnosis (concluded by rules).
    `type` is number (with `unit` and, where tried, `low`, `high`, `step`), level (one of `levels`; any word
    where `levels` is empty) or true. `told` is the key path in the situation, for told facts. `usual` is how
    the order reads it while nobody told it, by the level of `usual_by` where that is a fact; None where it is
    read at both ends.
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

    @property
    def scope(self) -> str:
        return self.name.partition(".")[0]

    @property
    def concluded(self) -> bool:
        return self.kind in ("derived", "diagnosis")


@dataclass(frozen=True, slots=True)
class Condition:
    """One comparison of a fact.

    `levels` holds the level or levels of `is`, `is not` and `in`; it is empty where the term is `true`.
    `number` is the constant of an ordering, in the fact's own unit, rounded. Where the term is an indexed
    value, `index` names the fact that holds the key and `table` gives the number for each key, again in the
    fact's unit. `value` names the value that the number came from, if any.
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

    `sound_if` says what must hold, told or not, for the rule not to speak: it ends a sentence that begins
    with "sound if". `bend_of` names the rule of which this one is the stretch before the limit.
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

    @cached_property
    def reads(self) -> frozenset[str]:
        """The facts that its conditions and exceptions read."""
        return frozenset(name for condition in self.conditions for name in condition.facts)

    @property
    def layer(self) -> str:
        if self.then.act == "conclude" and self.then.target.startswith(ROLE):
            return "option-role"
        return f"{self.about}-verdict" if self.then.act == "verdict" else self.about

    @property
    def adverse(self) -> bool:
        """Whether it speaks against what it is about."""
        return self.then.act == "rule-out" or (self.then.act == "mark" and self.then.grade in ADVERSE)


LAYERS: Final = ("site", "sign", "zone", "option", "option-verdict", "option-role", "step", "step-verdict")


@dataclass(frozen=True, slots=True)
class Subject:
    """One thing that rules judge: its name, and every fact that rules about it may read (absent =
    unknown).
    """

    name: str
    facts: Mapping[str, Fact]


class Firing(NamedTuple):
    """A rule that fired on a subject; `open` names exceptions whose truth is unknown."""

    rule: str
    subject: str
    open: tuple[str, ...] = ()


class CouldFire(NamedTuple):
    """A rule that would fire if the unknown facts turned out so."""

    rule: str
    subject: str
    unknown: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Judged:
    """What one engine says of one layer.

    `firings` are in the order of strata, subjects and rules. `derived` gives, for each subject, the derived
    facts that are settled: True where a rule gave it, False where no rule could; unknown ones are absent.
    `could` is empty from an engine that does not report it.
    """

    firings: tuple[Firing, ...]
    derived: Mapping[str, Mapping[str, bool]]
    could: tuple[CouldFire, ...] = ()
