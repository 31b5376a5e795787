"""Rules and numbers with one mistake each: the mistakes that somebody who writes rules can make."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import Final

from decide.cases.decided import Edited, families
from decide.decision.rulebook import Rulebook
from decide.engine.language import VERDICTS, Conclusion, Condition, Rule, rounded
from decide.knowledge.compile import all_numbers, bent, compile_rule
from decide.knowledge.schema import RuleRow
from decide.model.errors import KnowledgeError

FACTORS: Final = (0.8, 1.2)
ORDERED: Final = ("<", "<=", ">", ">=")
# What each grade is taken for by somebody who is a step too mild; of the best, a step too strict.
NEXT: Final = {
    "lost": "poor", "poor": "weak", "weak": "doubtful", "doubtful": "fair", "fair": "strong", "strong": "fair",
}  # fmt: skip


@dataclass(frozen=True)
class Planted:
    """A mistake: its name, its kind, and the rules as they are with it."""

    name: str
    kind: str
    edited: Edited
    number: Nudged | None = None


@dataclass(frozen=True)
class Nudged:
    """A number that is another: of a value for a key, with the unit of each fact that it is compared with."""

    value: str
    key: str
    amounts: frozenset[tuple[float, str]]


class Planter:
    """Plants mistakes in the rules of a book, one at a time."""

    def __init__(self, book: Rulebook) -> None:
        self.book = book

    @cached_property
    def written(self) -> dict[str, tuple[RuleRow, Rule]]:
        """Each rule as it is written, before a stretch beyond its limit moves the limit."""
        knowledge, facts = self.book.knowledge, self.book.base.facts
        numbers = all_numbers(knowledge)
        return {
            row.id: (row, compile_rule(row, facts, numbers, self.book.rules[row.id].where))
            for row in knowledge.rules
        }

    # ---------- rules ----------
    def rules(self) -> Iterator[Planted]:
        """Every rule off, without each condition, without each exception, with each limit a fifth lower and higher,
        and with another conclusion. Of verdicts exactly one holds of each option, so none is off or wider.
        """
        for id, (row, rule) in self.written.items():
            verdict = rule.then.act == "verdict"
            if not verdict:
                yield Planted(f"{id}: off", "off", Edited(without=self._family(id)))
            for kind, what, other in self._otherwise(rule):
                if not verdict or kind == "conclusion":
                    yield Planted(f"{id}: {what}", kind, self._with_stretch(row, other))

    def _family(self, id: str) -> frozenset[str]:
        return self._families[id]

    @cached_property
    def _families(self) -> dict[str, frozenset[str]]:
        return {id: frozenset(ids) for id, ids in families(self.book.base.rules).items()}

    def _otherwise(self, rule: Rule) -> Iterator[tuple[str, str, Rule]]:
        """Kind, name and rule of each way to write a rule wrongly."""
        for n, condition in enumerate(rule.when):
            if rest := (*rule.when[:n], *rule.when[n + 1 :]):
                yield "condition", f"without '{condition.text}'", dataclasses.replace(rule, when=rest)
        for n, exception in enumerate(rule.unless):
            left = (*rule.unless[:n], *rule.unless[n + 1 :])
            yield "exception", f"without exception {exception.name}", dataclasses.replace(rule, unless=left)
        for text in dict.fromkeys(c.text for c in rule.conditions if c.op in ORDERED):
            for factor in FACTORS:
                other = _each_condition(
                    rule, lambda c, t=text, f=factor: self._times(c, f) if c.text == t else c
                )  # type: ignore[misc]
                if other != rule:
                    yield "limit", f"'{text}' times {factor}", other
        for then in _other_conclusions(rule):
            said = " ".join(filter(None, (then.act, then.target, then.grade)))
            yield "conclusion", f"says {said}", dataclasses.replace(rule, then=then)

    def _with_stretch(self, row: RuleRow, rule: Rule) -> Edited:
        """A rule written otherwise, with the stretch that follows from it; none where its limit is gone."""
        family = self._family(row.id)
        try:
            made = bent(row, rule, self.book.base.facts)
        except KnowledgeError:
            made = [rule]
        known = {one.id: one for one in made if one.id in family}
        return Edited(known, family - known.keys())

    # ---------- numbers ----------
    def values(self) -> Iterator[Planted]:
        """Every number that rules compare with, a fifth lower and higher in all of them."""
        keys = {
            (c.value, key): None
            for _, rule in self.written.values()
            for c in rule.conditions
            if c.value
            for key in (c.table if c.index else ("",))
        }
        for name, key in keys:
            for factor in FACTORS:
                edited, number = self._nudged(name, key, factor)
                if edited.rules:
                    yield Planted(
                        f"{name}{f'[{key}]' if key else ''} times {factor}", "value", edited, number
                    )

    def _nudged(self, name: str, key: str, factor: float) -> tuple[Edited, Nudged]:
        """The rules that read a number, with another in its place."""
        rules: dict[str, Rule] = {}
        amounts: set[tuple[float, str]] = set()
        without: frozenset[str] = frozenset()
        for row, rule in self.written.values():
            other = _each_condition(rule, lambda c: self._times(c, factor, key) if c.value == name else c)
            if other != rule:
                edited = self._with_stretch(row, other)
                rules |= edited.rules
                without |= edited.without
                for condition in other.conditions:
                    if condition.value == name and condition.op in ORDERED:
                        limit = condition.table.get(key) if key else condition.number
                        if limit is not None:
                            amounts.add((limit, self.book.base.facts[condition.fact].unit))
        return Edited(rules, without), Nudged(name, key, frozenset(amounts))

    def _times(self, condition: Condition, factor: float, key: str | None = None) -> Condition:
        """A comparison with another limit, or of a family with another of one key."""
        if condition.op not in ORDERED:
            return condition
        step = self.book.base.facts[condition.fact].step or 0.0

        def other(limit: float) -> float:
            # A fact that goes by whole steps is moved by one at least: less would be no other limit.
            by = max(abs(limit) * abs(factor - 1), step)
            return rounded(limit + (by if (factor > 1) == (limit >= 0) else -by)) if limit else limit

        number = condition.number if condition.number is None or key else other(condition.number)
        table = {name: other(one) if key in (None, name) else one for name, one in condition.table.items()}
        if (number, table) == (condition.number, dict(condition.table)):
            return condition
        text = f"{condition.text} * {factor}" + (f" of {key}" if key else "")
        return dataclasses.replace(condition, number=number, table=table, text=text)


def _each_condition(rule: Rule, change: Callable[[Condition], Condition]) -> Rule:
    return dataclasses.replace(
        rule,
        when=tuple(map(change, rule.when)),
        unless=tuple(dataclasses.replace(each, when=tuple(map(change, each.when))) for each in rule.unless),
    )


def _other_conclusions(rule: Rule) -> Iterator[Conclusion]:
    """What a rule says turned round, and its grade a step off."""
    then = rule.then
    if then.act == "mark":
        turned = "weak" if then.grade in ("fair", "strong") else "strong"
        yield from (
            dataclasses.replace(then, grade=grade) for grade in dict.fromkeys((turned, NEXT[then.grade]))
        )
    elif then.act == "rule-out":
        yield from (Conclusion("mark", then.target, grade) for grade in ("strong", "weak"))
    elif then.act == "verdict":
        known = VERDICTS[rule.about]
        at = known.index(then.target)
        yield Conclusion("verdict", known[at - 1 if at else 1])
