"""What the scenes of a story are told from: one part of a field, the steps that led to its choice, and the
way whose loss is worked through.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from decide.answer.assemble import local_words
from decide.decision.consultation import Consultation
from decide.decision.rank import Weighed
from decide.engine.language import Rule
from decide.explain.reasons import Teller
from decide.explain.why import title
from decide.knowledge.wording import Said
from decide.lesson.steps import Lesson, Step

# Where the steps of a section stand.
_AT_HOME: Final[Mapping[str, str]] = {
    "sign": "signs", "fate": "date", "idea": "idea", "judgement": "idea", "choice": "choice",
}  # fmt: skip


@dataclass(frozen=True)
class Fallen:
    """Some ways that one rule speaks against most: how many, the first of them, and the rule."""

    rule: Rule
    first: Weighed
    count: int
    verdict: str


class Telling:
    """One part of a field as a story tells of it."""

    def __init__(
        self,
        c: Consultation,
        zone: str,
        whole: Lesson,
        loser: Weighed | None,
        fallen: Sequence[Fallen],
        seed: int,
    ) -> None:
        self.c, self.zone, self.whole, self.loser, self.fallen, self.seed = (
            c,
            zone,
            whole,
            loser,
            fallen,
            seed,
        )
        self.k, self.chosen = c.knowledge, c.chosen[zone]
        self.main = self.chosen.option or self.chosen.least_bad
        self.tell = Teller(c)
        self.here = local_words(c)
        self.ranked = [w for w in c.ranked if w.draft.zone == zone]
        self._causes = {row.fact for row in self.k.causes.values()}

    def say(self, code: str, **words: Said) -> str:
        """A sentence of the story."""
        return self.k.text(f"story-{code}", **words)

    def title(self, w: Weighed) -> str:
        """An option in words, with its day."""
        return title(self.c, w.draft)

    def way(self, w: Weighed) -> str:
        """An option in words, without its day."""
        d = w.draft
        return self.c.say.way(d.remedy, d.plant, d.method, d.variant)

    def because(self, w: Weighed, rule: Rule) -> str:
        """What a rule says of an option."""
        facts = {**self.c.usual_facts[w.draft.zone], **w.facts}
        return self.c.say.fill(rule.because, facts, self.c.types)

    def steps(self, kind: str) -> tuple[Step, ...]:
        """The steps of the derivation that stand in a scene, those of one subject together."""
        own = [step for step in self.whole.steps if self._home(step) == kind]
        first = {step.subject: -step.number for step in reversed(own)}
        return tuple(sorted(own, key=lambda step: (-first[step.subject], step.number)))

    def _home(self, step: Step) -> str:
        """The scene in which a step stands."""
        if step.act == "caution":
            return "care"
        if step.section in _AT_HOME and (step.section != "choice" or step.zone == self.zone):
            return _AT_HOME[step.section]
        if step.section == "site":
            return "counts" if step.target.startswith("site.essential-") else "known"
        if step.zone != self.zone:
            return "others"
        if step.section == "zone":
            return "cause" if step.target in self._causes else "needs"
        return self._home_of_way(step.subject)

    def _home_of_way(self, code: str) -> str:
        """The scene in which the steps of a way stand."""
        if self.loser is not None and code == self.loser.draft.code:
            return "loser"
        if code not in {w.draft.code for w in self.chosen.told}:
            return "out"
        runner_up = self.chosen.runner_up
        return "left" if runner_up is not None and code == runner_up.draft.code else "choice"
