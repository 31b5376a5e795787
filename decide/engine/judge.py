"""One consultation's judge: the plain engine judges everything, and where there is a second engine no advice
is let out in which it differs on what a person is shown.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal, get_args

from decide.engine import columns
from decide.engine.base import RuleBase
from decide.engine.columns import Found
from decide.engine.durable import NAME, Durable, available
from decide.engine.language import Subject
from decide.model.errors import EngineError

Engines = Literal["both", "plain"]


def engines_at_hand() -> list[str]:
    """The engines that can be used here, found by importing."""
    return ["plain", "durable"] if available() else ["plain"]


@dataclass(frozen=True, slots=True)
class Held:
    """What a consultation holds of a subject that a person is shown: what it was judged on, the rules that
    fired in their order, and what was concluded. `fired` is None where only the true conclusions are kept.
    """

    subject: Subject
    fired: tuple[str, ...] | None
    concluded: Mapping[str, bool]


class Judge:
    """Judges layers with the plain engine, and gives the second opinion where a second engine can be had.

    It keeps nothing of a consultation, so that many may use it at once.
    """

    def __init__(self, base: RuleBase, engines: Engines = "both") -> None:
        if engines not in get_args(Engines):
            raise EngineError(
                f"{engines!r} is no choice of engines",
                instead=f'Write "both", so that {NAME} checks what is shown, or "plain"',
            )
        self.base = base
        self.names = engines_at_hand() if engines == "both" else ["plain"]
        self._second = Durable(base) if "durable" in self.names else None

    @property
    def checks(self) -> bool:
        """Whether there is a second engine."""
        return self._second is not None

    def judge(self, layer: str, subjects: Sequence[Subject], without: frozenset[str] = frozenset()) -> Found:
        """What the plain engine says of a layer."""
        return columns.judge(self.base, layer, subjects, without)

    def check(self, layer: str, shown: Sequence[Held], without: frozenset[str] = frozenset()) -> None:
        """Nothing where the second engine says the same of a layer, or there is none; EngineError names the
        first rule on which they differ.
        """
        if self._second is None or not shown:
            return
        said = self._second.judge(layer, [held.subject for held in shown], without)
        fired: dict[str, list[str]] = {held.subject.name: [] for held in shown}
        for firing in said.firings:
            fired[firing.subject].append(firing.rule)
        for held in shown:
            name = held.subject.name
            if held.fired is not None:
                _same_rules(name, held.fired, fired[name])
            self._same_conclusions(held, fired[name], said.derived[name])

    def _same_conclusions(self, held: Held, fired: Sequence[str], theirs: Mapping[str, bool]) -> None:
        """That a fact is false must agree only where some exception asks for it: else only one engine
        says so.
        """
        tracked = frozenset[str]() if held.fired is None else self.base.tracked
        one, two = (
            {(fact, truth) for fact, truth in each.items() if truth or fact in tracked}
            for each in (held.concluded, theirs)
        )
        if one != two:
            fact, _ = min(one ^ two)
            givers = [rule.id for rule in self.base.rules if rule.then.target == fact]
            rule = next((rule for rule in givers if rule in fired), givers[0] if givers else fact)
            raise _differ(rule, held.subject.name, f"they conclude {fact} differently")

    def close(self) -> None:
        """Give back what the second engine holds."""
        if self._second is not None:
            self._second.close()


def _same_rules(subject: str, ours: Sequence[str], theirs: Sequence[str]) -> None:
    if [*ours] == [*theirs]:
        return
    differ = sorted({*ours} ^ {*theirs})
    if differ:
        raise _differ(
            differ[0], subject, f"only the {'plain' if differ[0] in ours else 'durable'} engine fires it"
        )
    rule = next(rule for rule, other in zip(ours, theirs, strict=False) if rule != other)
    raise _differ(rule, subject, "they fire it at another place")


def _differ(rule: str, subject: str, how: str) -> EngineError:
    return EngineError(
        f"the two engines differ on rule {rule!r} for {subject!r}: {how}",
        instead="No advice is given; your answers are kept. Report the rule",
    )
