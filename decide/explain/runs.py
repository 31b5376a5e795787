"""Changed situations judged against one consultation, none of them twice."""

from __future__ import annotations

import copy
import json
from collections.abc import Sequence
from dataclasses import replace

from decide.decision.consultation import Consultation
from decide.decision.diagnosis import Diagnosis
from decide.decision.programme import Chosen
from decide.decision.rank import VERDICT_ORDER, Weighed
from decide.decision.rulebook import Rulebook
from decide.engine.language import Fact
from decide.explain.changes import Changes, plain_key, with_changes
from decide.facts.draft import Draft
from decide.model.errors import SituationError
from decide.model.reading import situation_from_dict
from decide.model.situation import Situation
from decide.plan.feasible import consult
from decide.plan.starts import first_start
from decide.questions.answers import as_answers, as_situation
from decide.questions.base import Base
from decide.questions.sensitivity import Trier, with_plain_engine


# ---------- running ----------
class Runs:
    """Runs changed situations against one consultation with the plain engine; keeps what was run, so that
    nothing is run twice.
    """

    def __init__(self, c: Consultation) -> None:
        self.c, self.today, self.weather = c, c.filled.today, c.filled.weather
        self.book: Rulebook = with_plain_engine(c.book)
        self.answers = as_answers(c.filled.situation)
        self.base = Base(c)
        self.count = 0
        self._halves: dict[str, Diagnosis | None] = {}
        self._trier = Trier(self.book, self.base, self.today, self.weather)

    def half(self, changes: Changes) -> Diagnosis | None:
        """The changed situation up to what each zone needs; None where the answers contradict each other."""
        key = json.dumps(changes, sort_keys=True, default=str)
        if key not in self._halves:
            self.count += 1
            situation = as_situation(with_changes(self.answers, changes), self.today)
            try:
                self._halves[key] = None if situation is None else self._trier.half(situation)
            except SituationError:
                self._halves[key] = None
        return self._halves[key]

    def alters(self, changes: Changes) -> bool:
        """Whether the changes give a zone another first choice, or another verdict on it."""
        self.count += 1
        return self._trier.effect(
            with_changes(self.answers, changes), [plain_key(key) for key in changes]
        ).choice

    def first_choices(self, changes: Changes) -> Consultation:
        """The changed situation judged as far as its first choices ask for. SituationError where it cannot be
        read.
        """
        self.count += 1
        return self._trier.judged(self._situation(changes), tuple(plain_key(key) for key in changes))

    def with_rules(self, book: Rulebook) -> Consultation:
        """The same situation by another book, judged as far as its first choices ask for."""
        return self._trier.with_rules(book)

    def whole(self, changes: Changes) -> Consultation:
        """The changed situation judged in full. SituationError where it cannot be read."""
        self.count += 1
        return consult(self.book, self._situation(changes), system=self.c.system, weather=self.weather)

    def _situation(self, changes: Changes) -> Situation:
        answers = with_changes(self.answers, changes)
        answers["dates"] = {
            **answers.get("dates", {}),
            "today": answers.get("dates", {}).get("today", self.today.isoformat()),
        }
        return situation_from_dict(answers, name="what if")


def weigh_one(half: Diagnosis, w: Weighed) -> Weighed:
    """An option weighed again in another diagnosis."""
    return half.weigh([w.draft])[w.draft.code]


def weigh_fitted(
    c: Consultation, half: Diagnosis, drafts: Sequence[Draft], least: str = "sound"
) -> dict[str, Weighed]:
    """Options weighed in a diagnosis; where what must come before one puts its start off, it is judged so,
    and the first start that fits beside it.

    Only those that would have at least the verdict `least` are looked at so. `c` is a consultation of the
    same zones.
    """
    stage: Consultation = object.__new__(type(c))
    stage.__dict__.update(half.__dict__)
    stage.measures = copy.copy(half.measures)
    stage.measures.start_short = {}
    stage.chosen = {zone: Chosen(None) for zone in half.zones}
    found = stage.weigh(drafts)
    late: list[Draft] = []
    for w in list(found.values()):
        if (
            w.draft.remedy == "establish"
            and w.draft.start is not None
            and VERDICT_ORDER.index(w.verdict) <= VERDICT_ORDER.index(least)
        ):
            start = first_start(stage, w)
            short = (start - w.draft.start).days
            if short > 0:
                moved = replace(w.draft, start=start)
                late += [w.draft, moved]
                stage.measures.start_short |= {w.draft.code: short, moved.code: 0}
    return {**found, **stage.weigh(late)} if late else found


def facts_of(c: Diagnosis, zone: str) -> dict[str, Fact]:
    """The facts of the site and of one zone."""
    return {**c.site, **c.zone_facts[zone]}
