"""What rules can do at all, proved over every cell of their facts: which can never fire, which never decide,
which contradict, and which conditions and exceptions decide nothing.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Sequence
from functools import partial
from itertools import combinations
from typing import Final

from decide.engine.language import GRADES, Condition, Rule, Unless
from decide.knowledge.cells import Formula, Space
from decide.knowledge.finding import Finding, Findings, example_in_words, listed
from decide.knowledge.logic import Found, in_words
from decide.knowledge.proof import UndecidedError, core, model, possible
from decide.model.errors import KnowledgeError

_RULE_OUT: Final = -1


class _Ground:
    """The rules of one base and what is told of them so far."""

    def __init__(self, rules: Sequence[Rule], space: Space) -> None:
        self.rules, self.space = rules, space
        self.dead: set[str] = set()
        self._known: dict[str, set[str]] = {}
        # Rules and exceptions of which it is told already that they decide nothing.
        self._idle: set[str] = set()

    @staticmethod
    def _each(rules: Iterable[Rule], look: Callable[[Rule], Findings]) -> Found:
        """What is found of each rule; of one with a question that is too much, that it is open."""
        for rule in rules:
            yield from proved_of(rule.id, rule.where, partial(look, rule))

    def _live(self) -> list[Rule]:
        return [rule for rule in self.rules if rule.id not in self.dead]

    def _of(self, code: str) -> Rule:
        return next(rule for rule in self.rules if rule.id == code)

    def _when(self, rule: Rule) -> list[Formula]:
        return [self.space.says(c) for c in rule.when]

    def _givers(self, found: Sequence[Condition]) -> str:
        """By which rules what is concluded among some conditions comes about."""
        named = {
            c.fact: [giver.id for giver in self.space.givers.get(c.fact, ())]
            for c in found
            if self.space.facts[c.fact].concluded
        }
        return "; ".join(f"{fact} is concluded by {listed(ids)}" for fact, ids in named.items())

    def _range(self, fact: str) -> str:
        kind = self.space.facts[fact]
        low, high = (
            "" if end is None else f"{word} {end:g} {kind.unit}"
            for word, end in (("from", kind.low), ("to", kind.high))
        )
        return " ".join(word for word in (fact, "goes", low, high) if word)

    def _also(self, found: Sequence[Condition]) -> str:
        also = self._givers(found)
        return f" ({also})" if also else ""

    def concluded(self, fact: str) -> Formula:
        """The formula of a fact that some rule concludes."""
        return self.space.says(Condition(fact, "is", f"{fact} is true"))

    def _touches(self, rule: Rule, other: Rule) -> bool:
        """Whether all facts of the other can be known by the first's: else it can stay silent for lack of
        one.
        """
        if rule.id not in self._known:
            self._known[rule.id] = self._known_by(rule)
        return self._within(other, self._known[rule.id])

    def _within(self, rule: Rule, known: set[str]) -> bool:
        return all(
            any(self._within(giver, known) for giver in self.space.givers.get(c.fact, ()))
            if self.space.facts[c.fact].concluded
            else c.fact in known
            for c in rule.when
        )

    def _known_by(self, rule: Rule) -> set[str]:
        """The facts that a rule reads in the end, and those that go with them."""
        todo = [name for c in rule.when for name in c.facts]
        held: set[str] = set()
        while todo:
            name = todo.pop()
            if name not in held:
                held.add(name)
                todo += (other for other, _ in self.space.ways.get(name, ()))
                todo += (
                    each
                    for giver in self.space.givers.get(name, ())
                    for c in giver.conditions
                    for each in c.facts
                )
        return held


class Proofs(_Ground):
    """The findings of one rule base; what a rule that never fires seems to do besides is not told."""

    # ---------- rules that never fire ----------
    def never_fires(self) -> Found:
        """Rules whose conditions exclude one another, or rest on what is never concluded."""
        return self._each(self.rules, self._never_fires)

    def _never_fires(self, rule: Rule) -> Findings:
        space = self.space
        if rule.bend_of in self.dead:
            self.dead.add(rule.id)
            return
        if possible(space, [*self._when(rule)]):
            return
        self.dead.add(rule.id)
        found = [rule.when[n] for n in core(space, (), self._when(rule))]
        if len(found) == 1 and space.facts[found[0].fact].concluded:
            yield Finding(
                "never-fires",
                rule.id,
                f"rule {rule.id!r} can never fire: no rule that could fire concludes {found[0].fact}",
                where=rule.where,
                instead="Write a rule that concludes it",
            )
            return
        yield Finding(
            "never-fires",
            rule.id,
            f"rule {rule.id!r} can never fire: its conditions exclude one another ({in_words(found)})",
            proof=self._givers(found),
            where=rule.where,
            instead=f"Make the stretch of {rule.bend_of!r} wider or narrower, or take `bends` out"
            if rule.bend_of
            else "Change or take out one of them",
        )

    def exceptions(self) -> Found:
        """Exceptions that are never or always true where their rule's own conditions are, or that lift
        nothing that no other lifts.
        """
        return self._each(self._live(), self._exceptions)

    def _exceptions(self, rule: Rule) -> Findings:
        for exception in rule.unless:
            # A stretch takes its exceptions from its rule, which is told of them.
            if rule.bend_of and exception.name in {e.name for e in self._of(rule.bend_of).unless}:
                when = self._when(rule)
                if possible(self.space, [*when, self.space.lifts_not(exception.when)]):
                    continue
            for found in self._exception(rule, exception):
                self._idle.add(found.of)
                yield found

    def _exception(self, rule: Rule, exception: Unless) -> Findings:
        space, when = self.space, self._when(rule)
        lifted = [space.says(c) for c in exception.when]
        label, of = f"rule {rule.id!r}: exception {exception.name!r}", f"{rule.id} {exception.name}"
        missing = [
            c.fact for c in exception.when if space.facts[c.fact].concluded and c.fact not in space.givers
        ]
        if missing:
            yield Finding(
                "exception-never",
                of,
                f"{label} reads {missing[0]}, which no rule concludes",
                where=rule.where,
            )
        elif not possible(space, [*when, *lifted]):
            parts = [*rule.when, *exception.when]
            found = [parts[n] for n in core(space, (), [*when, *lifted])]
            yield Finding(
                "exception-never",
                of,
                f"{label} is never true where the rule's own conditions are ({in_words(exception.when)})",
                proof=f"these exclude one another: {in_words(found)}{self._also(found)}",
                where=rule.where,
                instead="Change or take out the exception",
            )
        elif not possible(space, [*when, space.lifts_not(exception.when)]):
            self.dead.add(rule.id)
            found = [rule.when[n] for n in core(space, [space.lifts_not(exception.when)], when)]
            yield Finding(
                "exception-always",
                of,
                f"{label} is always true where the rule's own conditions are, so the rule never fires",
                proof=f"it follows from {in_words(found)}{self._also(found)}",
                where=rule.where,
                instead=f"Make the stretch of {rule.bend_of!r} shorter, or take `bends` out"
                if rule.bend_of
                else "Change or take out the exception",
            )
        elif len(rule.unless) > 1:
            yield from self._lifts_nothing(rule, exception, label, of)

    def _lifts_nothing(self, rule: Rule, exception: Unless, label: str, of: str) -> Findings:
        others = [each for each in rule.unless if each is not exception]
        fixed = [*self._when(rule), *(self.space.says(c) for c in exception.when)]
        apart = [self.space.lifts_not(each.when) for each in others]
        if not possible(self.space, [*fixed, *apart]):
            names = listed([repr(others[n].name) for n in core(self.space, fixed, apart)])
            yield Finding(
                "exception-idle",
                of,
                f"{label} lifts nothing: wherever it is true {names} is true too",
                where=rule.where,
                instead="Take one of them out",
            )

    # ---------- rules that never decide ----------
    def conflicts(self) -> Found:
        """Strong marks that something always contradicts, and rules beside which another always says as
        much, or worse.
        """
        marks: dict[str, list[Rule]] = defaultdict(list)
        same: dict[object, list[Rule]] = defaultdict(list)
        for rule in self._live():
            same[rule.about, rule.then].append(rule)
            if rule.then.act in ("mark", "rule-out"):
                marks[rule.about].append(rule)
        return self._each(
            self._live(), lambda rule: self._beside(rule, same[rule.about, rule.then], marks[rule.about])
        )

    def _beside(self, rule: Rule, same: Sequence[Rule], marks: Sequence[Rule]) -> Findings:
        covering = self._covering(rule, [other for other in same if _another(other, rule)])
        if covering:
            # Of two that say the same on the same conditions the later one is told.
            twins = len(covering) == 1 and self._covering(covering[0], [rule])
            if twins and self.rules.index(rule) < self.rules.index(covering[0]):
                return
            self._idle.add(rule.id)
            yield self._never_decides(rule, covering, "the same")
            return
        if rule.then.act != "mark":
            return
        worse = [
            other
            for other in marks
            if _another(other, rule)
            and _grade(other) < _grade(rule)
            and other.then.target == rule.then.target
        ]
        covering = self._covering(rule, worse)
        against = [*covering, *(each for each in worse if self._same_ground(rule, each))]
        if against and rule.then.grade == "strong" and against[0].adverse:
            yield self._conflict(rule, against[0])
        elif covering:
            self._idle.add(rule.id)
            yield self._never_decides(rule, covering, "worse")

    def _never_decides(self, rule: Rule, covering: Sequence[Rule], what: str) -> Finding:
        names = listed([repr(other.id) for other in covering])
        says = "says" if len(covering) == 1 else "say"
        return Finding(
            "never-decides",
            rule.id,
            f"rule {rule.id!r} never decides: {names} {says} {what} wherever it fires",
            proof=" / ".join(
                f"{other.id} where {in_words(other.when)}"
                + "".join(f", unless {in_words(each.when)}" for each in other.unless)
                for other in covering
            ),
            where=rule.where,
            instead=f"Make the stretch of {rule.bend_of!r} shorter, or take `bends` out"
            if rule.bend_of
            else "Take one of them out, or tell their conditions apart",
        )

    def _same_ground(self, rule: Rule, other: Rule) -> bool:
        """Whether two rules have the same conditions, in whatever words, their exceptions apart."""
        if not (self._touches(rule, other) and self._touches(other, rule)):
            return False
        return not any(
            possible(self.space, [*self._when(one), self.space.lifts_not(two.when)])
            for one, two in ((rule, other), (other, rule))
        )

    def _conflict(self, rule: Rule, other: Rule) -> Finding:
        found = model(self.space, [self.space.fires(rule), self.space.fires(other)])
        return Finding(
            "conflict",
            rule.id,
            f"rules {other.id!r} and {rule.id!r} conflict: wherever the second marks strong "
            f"{rule.then.target!r} the first "
            f"{'rules out' if other.then.act == 'rule-out' else f'marks {other.then.grade}'}"
            f"{', but for its exceptions' if other.unless else ''}",
            proof="" if found is None else f"both fire where {example_in_words(found, self.space.facts)}",
            where=rule.where,
            instead="Keep one, or tell their conditions apart",
        )

    def _covering(self, rule: Rule, others: Sequence[Rule]) -> list[Rule]:
        """The fewest found of some rules of which one always fires where a rule fires; none where all may be
        silent.
        """
        space, fires = self.space, self.space.fires(rule)
        near = [other for other in others if self._touches(rule, other)]
        if not near or possible(space, [fires, *(space.silent(other) for other in near)]):
            return []
        for other in near:
            if not possible(space, [fires, space.silent(other)]):
                return [other]
        return [near[n] for n in core(space, [fires], [space.silent(other) for other in near])]

    # ---------- conditions that decide nothing ----------
    def conditions(self) -> Found:
        """Conditions without which a rule fires, and could fire, just where it does with them."""
        return self._each(self._live(), self._conditions)

    def _conditions(self, rule: Rule) -> Findings:
        if rule.bend_of or rule.id in self._idle:
            return
        for condition in rule.when:
            rest = [c for c in rule.when if c is not condition]
            apart = [self.space.lifts_not(e.when) for e in rule.unless]
            yield from self._condition(rule, condition, rest, apart, "")
        for exception in rule.unless:
            for condition in exception.when if f"{rule.id} {exception.name}" not in self._idle else ():
                rest = [*rule.when, *(c for c in exception.when if c is not condition)]
                yield from self._condition(
                    rule, condition, rest, [], f" of exception {exception.name!r}", exception.name
                )

    def _condition(
        self, rule: Rule, condition: Condition, rest: Sequence[Condition], apart: Sequence[Formula],
        label: str, exception: str = "",
    ) -> Findings:  # fmt: skip
        space = self.space
        of = " ".join(word for word in (rule.id, exception, condition.fact) if word)
        # A comparison with nought, or with every level, asks on purpose whether a fact is known at all.
        if condition.value and not possible(space, [space.says(condition, "false")]):
            yield Finding(
                "only-known",
                of,
                f"rule {rule.id!r}: {condition.text!r}{label} is true of every value that it can have",
                proof=self._range(condition.fact),
                where=rule.where,
                instead="Take it out, or move the limit",
            )
            return
        true, maybe = ([space.says(c, how) for c in rest] for how in ("true", "not-false"))
        never = [*apart, space.says(condition, "not-true")]
        if possible(space, [*true, *never]) or possible(
            space, [*maybe, *apart, space.says(condition, "false")]
        ):
            return
        found = [rest[n] for n in core(space, never, true)]
        yield Finding(
            "idle-condition",
            of,
            f"rule {rule.id!r}: {condition.text!r}{label} decides nothing, for it follows from the others",
            proof=f"it follows from {in_words(found)}{self._also(found)}",
            where=rule.where,
            instead="Take it out",
        )

    # ---------- what was said to exclude one another ----------
    def apart(self, groups: Iterable[tuple[str, Sequence[str], str]]) -> Found:
        """Conclusions that exclude one another by what is said of them, and can both be drawn."""
        for code, names, where in groups:
            for one, other in combinations(names, 2):
                yield from proved_of(code, where, partial(self._both, code, one, other, where))

    def _both(self, code: str, one: str, other: str, where: str) -> Findings:
        found = model(self.space, [*map(self.concluded, (one, other))])
        if found is not None:
            yield Finding(
                "both-at-once",
                code,
                f"{one} and {other} exclude one another, and rules can conclude both",
                proof=f"where {example_in_words(found, self.space.facts)}",
                where=where,
                instead="Tell the conditions of their rules apart",
            )


def proved_of(of: str, where: str, look: Callable[[], Iterable[KnowledgeError]]) -> Found:
    """What a proof finds; where it is too much, that what it is of is open."""
    try:
        yield from look()
    except UndecidedError as error:
        yield KnowledgeError(
            f"{of}: what it can do is not proved: {error.wrong}",
            where=where or "audit.toml",
            instead="Derive a fact of its own from some of the conditions",
        )


def _another(one: Rule, other: Rule) -> bool:
    """Whether two rules are not one another's stretch, nor the same."""
    return (one.bend_of or one.id) != (other.bend_of or other.id)


def _grade(rule: Rule) -> int:
    return _RULE_OUT if rule.then.act == "rule-out" else GRADES.index(rule.then.grade)
