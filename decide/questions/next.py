"""What to ask next, and whether an answer could change anything: without a terminal, on the answers as a
nested table.
"""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any, Final

from decide.decision.consultation import Consultation
from decide.decision.rulebook import Rulebook
from decide.measure.weather import DailyWeather
from decide.model.errors import SituationError
from decide.model.written import DONT_KNOW, coded
from decide.plan.feasible import consult
from decide.questions.answers import Answers, as_answers, as_situation
from decide.questions.base import Base
from decide.questions.effect import NOTHING, Effect
from decide.questions.open import (
    Asked,
    Group,
    ends,
    open_groups,
    possible_answers,
    put_answer,
    slots,
    without_late,
)
from decide.questions.sensitivity import Trier, with_plain_engine
from decide.questions.weights import FAR, weights

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
        self._ends: dict[tuple[str, str, tuple[str | None, ...]], list[Effect]] = {}
        self._chosen: dict[tuple[str, tuple[tuple[str, str | None], ...]], Group | None] = {}
        self.trials = self.whole_trials = 0

    def keep(self, consultation: Consultation) -> None:
        """Take over a consultation that was made already, so that it is not made again to try answers
        on it; one of the same situation that is here already knows what was tried.
        """
        filled = consultation.filled
        if filled.today == self.today and not consultation.without:
            here = (
                base
                for base in self._bases.values()
                if base is not None
                and base.c.filled.situation == filled.situation
                and base.c.filled.weather is filled.weather
            )
            base = next(here, None) or Base(consultation)
            self._put_base(_key(as_answers(filled.situation)), base)

    # ---------- choosing ----------
    def next_group(self, answers: Mapping[str, Any], details: bool = False) -> Group | None:
        """What is asked next in one breath: the core in its order, then what could change the choice most;
        None where as much is answered as the talk asks for.

        With `details` all that is open is asked, in its order.
        """
        groups = open_groups(self.knowledge, answers)
        if details:
            return groups[0] if groups else None
        core = next((group for group in groups if group.core), None)
        return core if core is not None else self._most_moving(answers, groups)

    def next_question(self, answers: Mapping[str, Any], details: bool = False) -> Asked | None:
        """The first question of what is asked next."""
        group = self.next_group(answers, details)
        return None if group is None else group.asked[0]

    def details(self, answers: Mapping[str, Any]) -> list[Asked]:
        """The open questions that the talk does not ask of its own accord."""
        return [
            asked for group in open_groups(self.knowledge, answers) if not group.core for asked in group.asked
        ]

    def left_at_most(self, answers: Mapping[str, Any], details: bool = False) -> int:
        """How many questions are left at most, each breath counted once.

        It grows only where an answer opens a question: a further part of the field, or what was told in part.
        """
        groups = open_groups(self.knowledge, answers)
        if details:
            return len(groups)
        core = sum(group.core for group in groups)
        more = sum(not group.core and not group.details for group in groups)
        if not core and self._most_moving(answers, groups) is None:
            return 0
        return core + min(slots(self.knowledge, answers), more)

    # ---------- what could change the choice most ----------
    def steps(self, answers: Mapping[str, Any]) -> Iterator[bool]:
        """Finds what would be asked next once the core is answered, and what after it: where nobody knows,
        and where the answer is one of those that differ most. A trial at a time, so that it may be done while
        the person reads; what is asked is the same without it.

        While more of the core is open than what comes last, only what the place gives is made ready.
        """
        groups = open_groups(self.knowledge, answers)
        early = any(group.core and not (group.row and group.row.late) for group in groups)
        if early:
            if self._can_try(answers):
                self._base(answers)
            return
        for _ in self._weigh(answers, groups):
            yield True
        late = next((group for group in groups if group.core), None)
        group = late if late is not None else self._chosen[self._choosing(answers, groups)]
        for after in () if group is None else self._after(answers, group):
            for _ in self._weigh(after, open_groups(self.knowledge, after)):
                yield True

    def _after(self, answers: Mapping[str, Any], group: Group) -> Iterator[Answers]:
        """The answers with those that may be given to a group, the likeliest first."""
        known = self._book.base.facts
        several = [DONT_KNOW, *(ends(group.asked[0], known, self.today) if len(group.asked) == 1 else ())]
        for value in several[: BASES_KEPT - 1]:
            after: Answers = dict(answers)
            for asked in group.asked:
                after = put_answer(after, asked, value)
            yield after

    def _most_moving(self, answers: Mapping[str, Any], groups: Sequence[Group]) -> Group | None:
        """Of the first few groups beyond the core whose answers could change the choice, the one that could
        change it most; None where none could, or enough was asked.
        """
        if not slots(self.knowledge, answers):
            return None
        for _ in self._weigh(answers, groups):
            pass
        return self._chosen[self._choosing(answers, groups)]

    def _choosing(
        self, answers: Mapping[str, Any], groups: Sequence[Group]
    ) -> tuple[str, tuple[tuple[str, str | None], ...]]:
        """What the choice of a group hangs on: the answers but for the last of the core, and what is open."""
        late = without_late(self.knowledge, answers)
        return _key(late), tuple(
            (asked.key, asked.zone)
            for group in groups
            if not group.core and not group.details
            for asked in group.asked
        )

    def _weigh(self, answers: Mapping[str, Any], groups: Sequence[Group]) -> Iterator[None]:
        """Chooses a group beyond the core, a trial at a time."""
        key = self._choosing(answers, groups)
        if key in self._chosen:
            return
        answers = without_late(self.knowledge, answers)
        waiting = [group for group in groups if not group.core and not group.details]
        base = self._base(answers) if self._can_try(answers) else None
        yield
        if base is None:
            self._chosen[key] = waiting[0] if waiting else None
            return
        weight, limit = weights(base.c), self.knowledge.limit
        worn = [group for each in waiting if (group := self._of_worn_parts(each, base)) is not None]
        ranks = {group.code: min(_hangs_on(asked, weight) for asked in group.asked) for group in worn}
        most: tuple[float, Group] | None = None
        moving = 0
        for group in sorted(worn, key=lambda each: (ranks[each.code], each.order)):
            if ranks[group.code] > FAR or (limit is not None and moving >= limit.weighed):
                break
            score = 0.0
            for asked_key in dict.fromkeys(
                asked.key for asked in group.asked if _hangs_on(asked, weight) <= FAR
            ):
                effects: list[Effect] = []
                for effect in self._at_ends(answers, group, asked_key):
                    effects.append(effect)
                    yield
                    if effect.choice and limit is not None and limit.weighed == 1:
                        # The first that could change the choice is the one: there is nothing to compare.
                        self._chosen[key] = group
                        return
                score += _score(group, asked_key, effects, weight)
            moving += score > 0
            if score > 0 and (most is None or score > most[0]):
                most = score, group
        self._chosen[key] = None if most is None else most[1]

    @staticmethod
    def _of_worn_parts(group: Group, base: Base) -> Group | None:
        """A group without the parts of the field for which nothing is to be done."""
        sound = {zone for zone, chosen in base.c.chosen.items() if not chosen.named}
        asked = tuple(each for each in group.asked if each.zone is None or coded(each.zone) not in sound)
        return replace(group, asked=asked) if asked else None

    def _at_ends(self, answers: Mapping[str, Any], group: Group, key: str) -> Iterator[Effect]:
        """What the answers to a question that differ most do, given in all its parts at once."""
        mine = [asked for asked in group.asked if asked.key == key]
        base = self._base(answers)
        held = self._ends.setdefault((_key(answers), key, tuple(asked.zone for asked in mine)), [])
        yield from held
        if base is not None:
            for value in ends(mine[0], self._book.base.facts, self.today)[len(held) :]:
                changed: Answers = dict(answers)
                for asked in mine:
                    changed = put_answer(changed, asked, value)
                held.append(self._effect(base, changed, key))
                yield held[-1]

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
            held.append(self._effect(base, put_answer(answers, asked, value), asked.key))
            yield held[-1]

    def _effect(self, base: Base, changed: Mapping[str, Any], key: str) -> Effect:
        """What changed answers to one question do."""
        trier = Trier(self._book, base, self.today, self._weather)
        found = trier.effect(changed, (key,))
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


def _score(group: Group, key: str, effects: Sequence[Effect], weight: Mapping[tuple[str, str], int]) -> float:
    """How much a question could change: in how many parts the answers that differ most make another choice,
    in the mean over them.

    Another verdict or date weighs half; so does what only an unusual answer can bring.
    """
    if not effects:
        return 0.0
    moved = sum(2 * effect.ways + effect.others for effect in effects) / len(effects)
    far = all(_hangs_on(asked, weight) >= FAR for asked in group.asked if asked.key == key)
    return moved / 2 if far else moved


def _hangs_on(asked: Asked, weight: Mapping[tuple[str, str], int]) -> int:
    """How much hangs on a question by the rules that wait for its answer; beyond FAR where none does."""
    return weight.get((asked.key, "" if asked.zone is None else coded(asked.zone)), FAR + 1)


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


def matters(book: Rulebook, answers: Mapping[str, Any], asked: Asked, today: dt.date) -> bool | None:
    """Whether some answer to a question could change the first choice of a zone or its verdict, or add a
    caution.
    """
    return Asker(book, today).matters(answers, asked)
