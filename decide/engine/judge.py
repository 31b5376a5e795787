"""One consultation's judge: runs one engine or both on a layer, and lets no advice out where the two
differ.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from decide.engine import columns
from decide.engine.base import RuleBase
from decide.engine.durable import NAME, Durable, available
from decide.engine.language import Judged, Subject
from decide.model.errors import EngineError

Engines = Literal["both", "plain", "durable"]


def engines_at_hand() -> list[str]:
    """The engines that can be used here, found by importing."""
    return ["plain", "durable"] if available() else ["plain"]


class Judge:
    """Judges layers with the engines asked for; "both" means both where the second can be had, else the plain
    one.
    """

    def __init__(self, base: RuleBase, engines: Engines = "both") -> None:
        self.base = base
        if engines == "durable" and not available():
            raise EngineError(
                f"{NAME} cannot be imported",
                instead="Install the extra `engine`, or ask for the plain engine",
            )
        self.names = (
            ["durable"] if engines == "durable" else engines_at_hand() if engines == "both" else ["plain"]
        )
        self._durable = Durable(base) if "durable" in self.names else None

    def judge(self, layer: str, subjects: Sequence[Subject], without: frozenset[str] = frozenset()) -> Judged:
        """What the engines say of a layer; EngineError names the first rule on which they differ."""
        if not subjects:
            return Judged((), {})
        if self._durable is None:
            return columns.judge(self.base, layer, subjects, without)
        fast = self._durable.judge(layer, subjects, without)
        if "plain" not in self.names:
            return fast
        slow = columns.judge(self.base, layer, subjects, without)
        ours = [(firing.rule, firing.subject) for firing in slow.firings]
        theirs = [(firing.rule, firing.subject) for firing in fast.firings]
        if ours != theirs:
            differ = sorted(set(ours) ^ set(theirs)) or [
                pair for pair, other in zip(ours, theirs, strict=False) if pair != other
            ]
            rule, subject = differ[0]
            says = "plain" if (rule, subject) in ours else "durable"
            raise EngineError(
                f"the two engines differ on rule {rule!r} for {subject!r}: only the {says} engine fires it",
                instead="No advice is given; your answers are kept. Report the rule",
            )
        return slow

    def close(self) -> None:
        """Give back what the second engine holds."""
        if self._durable is not None:
            self._durable.close()
