"""How far each number in use reaches: how often rules judged by it, and for how many options code read it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Final

from decide.decision.consultation import Consultation
from decide.engine.language import Fact, Firing, Rule
from decide.facts.draft import Draft
from decide.knowledge.audit_code import Code
from decide.knowledge.schema import FIXED_SOURCES
from decide.knowledge.tables import Knowledge, Statement, Value
from decide.measure.numbers import NEEDED

# On what a number can rest, from the best.
KINDS: Final = ("cited", "calculated", "definition", "common-practice", "lent", "own-rule", "memory")
# The families of which an option tells the key.
_TOLD: Final = ("", "grass", "grass-start", "method", "climate")


@dataclass(frozen=True)
class Reach:
    """Counts by value and key: `marks` are firings of rules that compare something with it, `options` those
    for which code read it.
    """

    marks: Counter[tuple[str, str]] = field(default_factory=Counter)
    options: Counter[tuple[str, str]] = field(default_factory=Counter)

    def add(self, c: Consultation, read: Iterable[Value]) -> None:
        """Count one consultation; `read` are the values that code reads."""
        for rule, facts in _fired(c):
            compared = [condition for condition in rule.conditions if condition.value]
            self.marks.update({(one.value, str(facts.get(one.index, ""))) for one in compared})
        climate = str(c.site.get("site.climate", ""))
        begun = [w.draft for w in c.weighed.values() if w.draft.start is not None]
        for value in read:
            for key in value.used:
                self.options[value.name, key] += sum(_bears(value.by, key, draft, climate) for draft in begun)

    def marks_of(self, value: Value) -> int:
        """How often rules that compared something with the value fired."""
        return sum(self.marks[value.name, key] for key in value.used)

    def options_of(self, value: Value) -> int:
        """For how many options code read the value. Of a family whose key an option does not tell, one number
        is read for each.
        """
        counts = [self.options[value.name, key] for key in value.used]
        return sum(counts) if value.by in _TOLD else max(counts, default=0)


def read_by_code(knowledge: Knowledge, code: Code) -> list[Value]:
    """The values that measures and plans read by their name."""
    return [value for name, value in knowledge.values.items() if name in NEEDED or code.names(name)]


def kind_of(statement: Statement) -> str:
    """On what a number rests: one of KINDS; lent where it is that of another key."""
    if statement.like:
        return "lent"
    return statement.source if statement.source in FIXED_SOURCES else "cited"


def shares(knowledge: Knowledge) -> Counter[str]:
    """How many numbers in use rest on what."""
    return Counter(kind_of(said) for value in knowledge.values.values() for said in value.used.values())


def reach_lines(knowledge: Knowledge, reach: Reach, most: int) -> Iterator[str]:
    """The share of each kind; then the values by which rules judged most often, and those that code read for
    the most options, each with what it rests on.
    """
    held = shares(knowledge)
    whole = sum(held.values())
    yield f"{whole} numbers in use: " + ", ".join(
        f"{held[kind]} {kind} ({held[kind] / whole:.0%})" for kind in KINDS
    )
    used = {name: value for name, value in knowledge.values.items() if value.used}
    by_rules = {name: reach.marks_of(value) for name, value in used.items()}
    by_code = {name: reach.options_of(value) for name, value in used.items() if not by_rules[name]}
    for counts, unit in ((by_rules, "marks"), (by_code, "options")):
        ranked = sorted(counts, key=lambda name: (-counts[name], -_worst(used[name]), name))
        for place, name in enumerate(ranked[:most], 1):
            yield f"{place}. {name}: {counts[name]} {unit}; {_rests(used[name])}"


def _worst(value: Value) -> int:
    """How little the weakest number of a value rests on, so that of two that reach as far it comes first."""
    return max(KINDS.index(kind_of(said)) for said in value.used.values())


def _rests(value: Value) -> str:
    """The sources of the numbers in use, each with how it was seen and of how many keys."""
    said: Counter[str] = Counter()
    for statement in value.used.values():
        kind = kind_of(statement)
        said[f"{statement.source} ({statement.seen})" if kind == "cited" else kind] += 1
    sought = dict.fromkeys(each.sought for each in value.used.values() if each.sought)
    rests = ", ".join(name if count == 1 else f"{name} x{count}" for name, count in said.most_common())
    return rests + "".join(f"; not found in print: {each}" for each in sought)


def _fired(c: Consultation) -> Iterator[tuple[Rule, Mapping[str, Fact]]]:
    """Every rule that fired, with the facts that it read."""
    rows: list[tuple[Iterable[tuple[Rule, Firing]], Mapping[str, Fact]]] = []
    rows += [(found, c.site) for found in c.site_layer.fired.values()]
    rows += [(found, {**c.site, **c.zone_facts[zone]}) for zone, found in c.zone_layer.fired.items()]
    rows += [(w.firings, w.facts) for w in c.weighed.values()]
    rows += [(step.firings, step.facts) for step in c.steps]
    return ((rule, facts) for found, facts in rows for rule, _ in found)


def _bears(by: str, key: str, draft: Draft, climate: str) -> bool:
    """Whether a number of a family is about an option."""
    held = {"grass": draft.plant, "grass-start": draft.key, "method": draft.method, "climate": climate}
    return by not in held or held[by] == key
