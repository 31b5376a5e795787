"""Trials: a situation with some answers changed, and whether the first choices of a finished consultation
still stand.
"""

from __future__ import annotations

import copy
import datetime as dt
from collections.abc import Iterable, Mapping
from typing import Any, Final

from decide.decision.consultation import Consultation
from decide.decision.diagnosis import Diagnosis, diagnose
from decide.decision.rulebook import Rulebook
from decide.engine.judge import Judge
from decide.measure.weather import DailyWeather
from decide.model.errors import SituationError
from decide.model.situation import Situation
from decide.model.written import coded
from decide.plan.feasible import consult
from decide.questions.again import Moves, changed_keys, diagnosed_again, values_at
from decide.questions.answers import as_situation
from decide.questions.base import Base
from decide.questions.effect import NOTHING, Effect
from decide.questions.trial import judged_again


def with_plain_engine(book: Rulebook) -> Rulebook:
    """The same book with the plain engine alone: trials need no second opinion, the advice itself is checked
    by both.

    What trials on one situation have in common is measured once and kept with it.
    """
    plain = copy.copy(book)
    plain.measured = {}
    if book.judge.names != ["plain"]:
        plain.judge = Judge(book.base, "plain")
    return plain


class Trier:
    """Runs changed answers against one finished consultation, judging again only what the change can touch;
    counts what it ran.

    `book` is one with the plain engine.
    """

    def __init__(
        self, book: Rulebook, base: Base, today: dt.date, weather: DailyWeather | None = None
    ) -> None:
        self.book, self.base, self.today, self.weather = book, base, today, weather
        self.trials = self.whole_trials = 0

    def effect(self, answers: Mapping[str, Any], keys: Iterable[str]) -> Effect:
        """What answers that differ in `keys` alone do. Those that contradict each other, or cannot be read,
        do nothing.
        """
        situation = as_situation(answers, self.today)
        if situation is None:
            return NOTHING
        differ = self._differ(situation)
        told = None if differ is None else _as_told(situation, differ)
        if told not in self.base.effects or told is None:
            self.trials += 1
            found = self._effect(situation, tuple(keys))
            if told is None:
                return found
            self.base.effects[told] = found
        return self.base.effects[told]

    def _effect(self, situation: Situation, keys: tuple[str, ...]) -> Effect:
        try:
            tried = Base(self.judged(situation, keys))
        except SituationError:
            return NOTHING
        base = self.base
        moved = [zone for zone, first in tried.first.items() if base.first.get(zone) != first]
        ways = sum(base.ways.get(zone) != tried.ways[zone] for zone in moved)
        return Effect(
            tried.first != base.first, bool(tried.cautions - base.cautions), ways, len(moved) - ways
        )

    def judged(self, situation: Situation, keys: tuple[str, ...]) -> Consultation:
        """The consultation on a situation that differs in `keys` alone; of the options that take no part in
        it some are not looked at.
        """
        c = self.base.c
        differ = self._differ(situation)
        if differ is None or any(key.partition(".")[0] == "place" for key in (*differ, *keys)):
            # Where the place or its parts are others hardly anything can be kept.
            self.whole_trials += 1
            return consult(self.book, situation, system=c.system, weather=self.weather)
        half, moves = self._half(situation, differ)
        return judged_again(self.base, half, moves)

    def half(self, situation: Situation) -> Diagnosis:
        """The first half of the consultation on another situation. SituationError where it cannot be read."""
        differ = self._differ(situation)
        if differ is None or any(key.startswith("place.") for key in differ):
            return diagnose(self.book, situation, self.weather)
        return self._half(situation, differ)[0]

    def _half(self, situation: Situation, differ: frozenset[str]) -> tuple[Diagnosis, Moves | None]:
        """The first half of the consultation on a situation that differs in some keys, and what they move."""
        # What is declared is declared of the answers to questions alone.
        if self.base.c.without or not differ <= self.book.asked:
            return diagnose(self.book, situation, self.weather), None
        moves = self.base.grounds.moves(differ)
        return diagnosed_again(self.base.grounds, self.book, situation, self.weather, moves), moves

    def with_rules(self, book: Rulebook) -> Consultation:
        """The consultation by another book, with the plain engine: where only numbers in rules are others as
        far as its first choices ask for, else whole.
        """
        c, base = self.base.c, None
        if book.library is self.book.library:
            base = self.base.with_rules(book)
        if base is None:
            return consult(book, c.filled.situation, system=c.system, weather=self.weather, without=c.without)
        moves = base.grounds.moves(frozenset())
        half = diagnosed_again(base.grounds, book, c.filled.situation, self.weather, moves)
        return judged_again(base, half, moves)

    def _differ(self, situation: Situation) -> frozenset[str] | None:
        """The keys in which a situation differs from the one that was judged; None where its parts do."""
        before = self.base.c.filled.situation
        names = [coded(zone.name) for zone in situation.zone]
        same = names == [coded(zone.name) for zone in before.zone]
        return changed_keys(before, situation) if same else None


def _as_told(situation: Situation, keys: frozenset[str]) -> str:
    """One text for all ways to tell the same at some keys: in a list of words only that of wishes says
    something by its order.
    """
    return repr(
        [
            (key, [sorted(one) if _words(one) and key not in _ORDERED else one for one in held])
            for key, held in values_at(situation, keys)
        ]
    )


def _words(held: Any) -> bool:
    return isinstance(held, list) and all(isinstance(each, str) for each in held)


# Lists of words whose order says something.
_ORDERED: Final = ("wishes.first",)
