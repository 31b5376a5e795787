"""What to ask next, and whether an answer could change anything: without a terminal, on the answers as a
nested table.
"""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Iterator, Mapping, Sequence
from typing import Any, Final

from decide.decision.consultation import Consultation
from decide.decision.rulebook import Rulebook
from decide.knowledge.tables import Knowledge
from decide.measure.weather import DailyWeather
from decide.model.errors import SituationError
from decide.model.written import DONT_KNOW
from decide.plan.feasible import consult
from decide.questions.answers import as_answers, as_situation
from decide.questions.base import Base
from decide.questions.open import Asked, open_questions, possible_answers, put_answer
from decide.questions.sensitivity import NOTHING, Effect, Trier, with_plain_engine

BASES_KEPT: Final = 4
# Asked before any trial: dangers, what is wrong, where and since when, who plays, by when and for what, which
# town, which grass, what water, what sprays. The cause of the damage is part of the advice even where it does
# not change the choice.
ORIENTING: Final = (
    "site.dangers", "site.goals_anchored", "zone", "zone.bare_percent", "zone.bare_pattern",
    "zone.bare_shape", "zone.began", "use", "dates.play_by", "dates.first_use", "place.name", "zone.grass",
    "means.water", "history.herbicides",
)  # fmt: skip


class Asker:
    """Chooses questions for one book and day; keeps what was tried, so that nothing is tried twice.

    Trials use the plain engine alone; the advice itself is checked by both.
    """

    def __init__(self, book: Rulebook, today: dt.date, weather: DailyWeather | None = None) -> None:
        self.knowledge, self.today = book.knowledge, today
        self._weather = weather
        self._book = with_plain_engine(book)
        self._bases: dict[str, Base | None] = {}
        self._tried: dict[tuple[str, str, str | None], bool | None] = {}
        self._effects: dict[tuple[str, str, str | None], list[Effect]] = {}
        self.trials = self.whole_trials = 0

    def keep(self, consultation: Consultation) -> None:
        """Take over a consultation that was made already, so that it is not made again to try answers
        on it.
        """
        if consultation.filled.today == self.today and not consultation.without:
            self._put_base(_key(as_answers(consultation.filled.situation)), Base(consultation))

    # ---------- choosing ----------
    def next_question(self, answers: Mapping[str, Any], details: bool = False) -> Asked | None:
        """The next question: the orienting ones and those always asked, then each whose answer could change
        something.

        With `details` the ones that cannot change the first choice are asked too, in their order.
        """
        waiting = open_questions(self.knowledge, answers)
        if details:
            return waiting[0] if waiting else None
        before = [asked for asked in waiting if asked.key in ORIENTING or asked.question.always]
        if before or not self._can_try(answers):
            return before[0] if before else None
        tried = (asked for asked in waiting if not asked.question.details)
        return next((asked for asked in tried if self.matters(answers, asked) is not False), None)

    def details(self, answers: Mapping[str, Any]) -> list[Asked]:
        """The open questions that were passed over, for a closer plan; those not tried yet are not among
        them.
        """
        key = _key(answers)
        return [
            asked
            for asked in open_questions(self.knowledge, answers)
            if asked.question.details
            or (not asked.question.always and self._tried.get((key, asked.key, asked.zone)) is False)
        ]

    def left_at_most(self, answers: Mapping[str, Any], details: bool = False) -> int:
        """How many questions are left at most; tries nothing, but leaves out what was tried on these answers
        in vain.
        """
        waiting = open_questions(self.knowledge, answers)
        if details:
            return len(waiting)
        key = _key(answers)
        return sum(
            1
            for asked in waiting
            if not asked.question.details and self._tried.get((key, asked.key, asked.zone)) is not False
        )

    # ---------- trying ----------
    @staticmethod
    def _can_try(answers: Mapping[str, Any]) -> bool:
        place = answers.get("place")
        told = place == DONT_KNOW or (
            isinstance(place, Mapping) and any(value is not None for value in place.values())
        )
        return told and bool(answers.get("zone"))

    def matters(self, answers: Mapping[str, Any], asked: Asked) -> bool | None:
        """Whether some answer could change the first choice of a zone or its verdict, or add a caution; None
        where that cannot be tried.
        """
        key = (_key(answers), asked.key, asked.zone)
        if key not in self._tried:
            effects = self._effects_of(answers, asked)
            self._tried[key] = None if effects is None else any(effect != NOTHING for effect in effects)
        return self._tried[key]

    def changes_choice(self, answers: Mapping[str, Any], asked: Asked) -> bool | None:
        """Whether some answer could change the first choice of a zone or its verdict; a caution alone is not
        counted.
        """
        effects = self._effects_of(answers, asked)
        return None if effects is None else any(effect.choice for effect in effects)

    def _effects_of(self, answers: Mapping[str, Any], asked: Asked) -> Iterator[Effect] | None:
        """What each answer does, tried as it is asked for; None where that cannot be tried."""
        base = self._base(answers) if self._can_try(answers) else None
        values = possible_answers(asked, self._book.base.facts, self.today)
        return None if base is None or not values else self._each_effect(base, answers, asked, values)

    def _each_effect(
        self, base: Base, answers: Mapping[str, Any], asked: Asked, values: Sequence[Any]
    ) -> Iterator[Effect]:
        held = self._effects.setdefault((_key(answers), asked.key, asked.zone), [])
        yield from held
        for value in values[len(held) :]:
            held.append(self._effect(base, answers, asked, value))
            yield held[-1]

    def _effect(self, base: Base, answers: Mapping[str, Any], asked: Asked, value: Any) -> Effect:
        """What one answer does."""
        trier = Trier(self._book, base, self.today, self._weather)
        found = trier.effect(put_answer(answers, asked, value), (asked.key,))
        self.trials, self.whole_trials = self.trials + trier.trials, self.whole_trials + trier.whole_trials
        return found

    def _base(self, answers: Mapping[str, Any]) -> Base | None:
        key = _key(answers)
        if key not in self._bases:
            situation = as_situation(answers, self.today)
            try:
                self._put_base(
                    key,
                    None
                    if situation is None
                    else Base(consult(self._book, situation, weather=self._weather)),
                )
            except SituationError:
                self._put_base(key, None)
        return self._bases[key]

    def _put_base(self, key: str, base: Base | None) -> None:
        if len(self._bases) >= BASES_KEPT:
            del self._bases[next(iter(self._bases))]
        self._bases[key] = base


def _key(answers: Mapping[str, Any]) -> str:
    """One text for all answers that say the same: "don't know" says no more than silence."""
    return json.dumps(_known(answers), sort_keys=True, default=str)


def _known(held: Any) -> Any:
    if isinstance(held, Mapping):
        inner = {
            key: _known(value) for key, value in held.items() if value is not None and value != DONT_KNOW
        }
        return {key: value for key, value in inner.items() if value != {}}
    return [_known(each) for each in held] if isinstance(held, list) else held


def next_question(book: Rulebook, answers: Mapping[str, Any], today: dt.date) -> Asked | None:
    """The next question that matters, or None. For a whole talk keep an `Asker`, which tries nothing
    twice.
    """
    return Asker(book, today).next_question(answers)


def left_at_most(knowledge: Knowledge, answers: Mapping[str, Any]) -> int:
    """How many questions, apart from details, are open at most."""
    return sum(1 for asked in open_questions(knowledge, answers) if not asked.question.details)


def matters(book: Rulebook, answers: Mapping[str, Any], asked: Asked, today: dt.date) -> bool | None:
    """Whether some answer to a question could change the first choice of a zone or its verdict, or add a
    caution.
    """
    return Asker(book, today).matters(answers, asked)
