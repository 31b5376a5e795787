"""Reads an advice as a person would: what it lets in, refuses and puts first, and what it says of each."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Final

from decide.answer.planting_calendar import PlantingCalendar, Span
from decide.model.advice import Advice, Option, Reason

Codes = str | tuple[str, ...]

NEW_GRASS: Final = ("establish", "carry-on")
STANDS: Final = ("advised", "sound")
# A risky option is a last resort that tells its failing: it is offered, and still refused while it is not the choice.
OFFERED: Final = (*STANDS, "risky")
AGREED: Final = ("sound", "sound-if")
REFUSED: Final = ("not-advised", "ruled-out")
JUDGEMENTS: Final = ("sound", "sound-if", "not-advised", "ruled-out", "absent")
# Seed that is bought to be sown now; what is kept back or meant for gaps is not.
SOWN: Final = ("seed", "seed-into-standing", "seed-while-played-on", "seed-for-winter")
SLACK_OF_START: Final = 10
SLACK_OF_EDGE: Final = 14
DAYS_OF_YEAR: Final = 365


@dataclass(frozen=True)
class Ways:
    """Ways to new grass, by what they have in common; what is left empty may be anything.

    `since` and `until` are the first and last day of the start; with either, a way without a start is none of them.
    """

    grasses: Codes = ()
    methods: Codes = ()
    variants: Codes = ()
    since: str = ""
    until: str = ""

    def hold(self, option: Option) -> bool:
        """Whether the option is one of these ways."""
        if option.remedy not in NEW_GRASS or not self._starts_then(option.start):
            return False
        named = (
            (self.grasses, plant(option)),
            (self.methods, option.method),
            (self.variants, option.variant or "plain"),
        )
        return all(not wanted or has in several(wanted) for wanted, has in named)

    def _starts_then(self, start: str | None) -> bool:
        if not (self.since or self.until):
            return True
        return bool(start) and (self.since or "0") <= str(start) <= (self.until or "9")


def several(codes: Codes) -> tuple[str, ...]:
    return (codes,) if isinstance(codes, str) else codes


def plant(option: Option) -> str:
    """The grass or mixture of an option."""
    parts = option.code.split("/")
    return parts[3] if len(parts) > 3 else ""


def share(option: Option, grass: str) -> float:
    """The share of a grass in the mixture of an option, in percent of the weight of the seed."""
    return next((part.percent_by_weight for part in option.mixture or [] if part.grass == grass), 0.0)


def sentences(texts: Iterable[str]) -> list[str]:
    return [sentence.lower() for text in texts for sentence in re.split(r"(?<=[.;:])\s+", text) if sentence]


def says(texts: Iterable[str], *stems: str) -> bool:
    """Whether one sentence holds all of these; each is a pattern of stems that mean the same."""
    return any(all(re.search(stem, sentence) for stem in stems) for sentence in sentences(texts))


def overlaps(found: tuple[float, float] | None, low: float, high: float) -> bool:
    """Whether a range found shares half of itself at least with low to high; a single figure lies between them."""
    if not found:
        return False
    least, most = found
    if least == most:
        return low <= least <= high
    return min(most, high) - max(least, low) >= 0.5 * min(most - least, high - low)


def between(day: str, first: str, last: str) -> bool:
    """Whether a day lies between two, give or take ten days."""
    if not day:
        return False
    slack = dt.timedelta(SLACK_OF_START)
    return (
        dt.date.fromisoformat(first) - slack
        <= dt.date.fromisoformat(day)
        <= dt.date.fromisoformat(last) + slack
    )


def near_day(found: str, wanted: str) -> bool:
    """Whether two days of the year (MM-DD) lie within two weeks, also over the turn of the year."""
    apart = abs(_number(found) - _number(wanted))
    return min(apart, DAYS_OF_YEAR - apart) <= SLACK_OF_EDGE


def _number(day: str) -> int:
    return dt.date(2027, int(day[:2]), int(day[3:])).timetuple().tm_yday


def has_edge(spans: Iterable[Span], opens: str = "", closes: str = "", qualities: Codes = "good") -> bool:
    """Whether one of the spans opens and closes near these days (MM-DD); a day that is left out may be any."""
    return any(
        span.quality in several(qualities)
        and (not opens or near_day(span.opens.day, opens))
        and (not closes or near_day(span.closes.day, closes))
        for span in spans
    )


class Reading:
    """One advice, and the windows of its place."""

    def __init__(self, advice: Advice, windows: Callable[[], PlantingCalendar]) -> None:
        self.advice = advice
        self._windows = windows

    # ---------- which ways ----------
    def ways(self, ways: Ways) -> list[tuple[int, Option]]:
        """The options that are such ways, each with its rank in the advice."""
        return [(rank, option) for rank, option in enumerate(self.advice.options) if ways.hold(option)]

    def chosen(self) -> list[Option]:
        """The choice of each zone that has one."""
        options = {option.code: option for option in self.advice.options}
        return [options[answer.option] for answer in self.advice.programme if answer.option in options]

    def judgement(self, number: int) -> str:
        """What is said of the person's own step, counted from 0."""
        judged = self.advice.proposals
        return judged[number].judgement if number < len(judged) else "absent"

    def agrees_to(self, number: int) -> bool:
        return self.judgement(number) in AGREED

    def refuses_step(self, number: int) -> bool:
        return self.judgement(number) in REFUSED

    def lets_in(self, ways: Ways, *steps: int) -> bool:
        """Whether such a way is offered, or one of the person's own steps agreed to."""
        offered = any(option.verdict in OFFERED for _, option in self.ways(ways))
        return offered or any(self.agrees_to(step) for step in steps)

    def refuses(self, ways: Ways, *steps: int) -> bool:
        """Whether no such way stands or is taken, and the person's own steps are refused."""
        free = all(
            option.code not in self._taken and option.verdict not in STANDS for _, option in self.ways(ways)
        )
        return free and all(self.refuses_step(step) for step in steps)

    @cached_property
    def _taken(self) -> set[str | None]:
        return {code for answer in self.advice.programme for code in (answer.option, answer.stopgap)}

    def ranks(self, good: Ways, bad: Ways) -> bool:
        """Whether the first of the good ways that is offered stands above each of the bad ones that is."""
        first, other = self._first(good), self._first(bad)
        return first is not None and (other is None or first[0] < other[0])

    def ranks_step(self, good: int, bad: int) -> bool:
        """Whether one of the person's own steps is agreed to, and judged better than another."""
        order = JUDGEMENTS.index
        return self.agrees_to(good) and order(self.judgement(good)) < order(self.judgement(bad))

    def _first(self, ways: Ways) -> tuple[int, Option] | None:
        return next(((rank, option) for rank, option in self.ways(ways) if option.verdict in OFFERED), None)

    @property
    def decision(self) -> str:
        """What the first zone needs."""
        return self.advice.programme[0].decision if self.advice.programme else ""

    # ---------- when and how much ----------
    @property
    def last_frost(self) -> str:
        """The median day of the last frost (MM-DD); empty where there is none."""
        frost = self.advice.season.last_frost if self.advice.season else None
        return frost.median[5:] if frost else ""

    def chosen_start(self) -> str:
        """The day on which the first choice starts; empty where there is none."""
        chosen = self.chosen()
        return (chosen[0].start or "") if chosen else ""

    def first_start(self, ways: Ways) -> str:
        """The day on which the best of such ways starts; empty where none is offered."""
        first = self._first(ways)
        return (first[1].start or "") if first else ""

    def spans(self, grass: str, method: str, variant: str = "plain") -> list[Span]:
        """The windows of a grass and method at the place."""
        return [
            span
            for row in self._windows().rows
            if row.variant == variant
            and any(
                grass in [named.code for named in way.grasses]
                and method in [named.code for named in way.methods]
                for way in row.ways
            )
            for span in row.spans
        ]

    def mixtures(self, names: Codes) -> list[Option]:
        """The seed mixtures offered, the best first."""
        found = self.ways(Ways(grasses=names, methods=("broadcast-seed", "slit-seed", "hydromulch")))
        return [option for _, option in found if option.verdict in OFFERED]

    def seed_to_buy(self, grasses: Codes) -> tuple[float, float] | None:
        """Grams of seed a square metre, low and high, that the choice asks for, where it is one of these grasses."""
        chosen = self.chosen()
        if not chosen or plant(chosen[0]) not in several(grasses):
            return None
        area = next((answer.area_m2 for answer in self.advice.programme if answer.area_m2), None)
        bought = next((row for row in self.advice.shopping if row.supply in SOWN), None)
        if bought is None or not area:
            return None
        return 1000 * (bought.amount_low or bought.amount) / area, 1000 * bought.amount / area

    # ---------- what is said ----------
    def of_steps(self, *numbers: int) -> list[str]:
        """What is said of the person's own steps; of all of them where none is named."""
        return [
            text
            for number, step in enumerate(self.advice.proposals)
            if not numbers or number in numbers
            for text in (*step.conditions, *reasons(step.reasons), *step.better, *self._care(step.cautions))
        ]

    def of_ways(self, ways: Ways) -> list[str]:
        """The reasons and cautions of such ways."""
        return [text for _, option in self.ways(ways) for text in self._of_option(option)]

    def of_choice(self) -> list[str]:
        """The reasons and cautions of the choice."""
        return [text for option in self.chosen() for text in self._of_option(option)]

    def reasons_of(self, ways: Ways) -> list[str]:
        """The reasons of such ways alone."""
        return [text for _, option in self.ways(ways) for text in reasons(option.reasons)]

    def reasons_of_choice(self) -> list[str]:
        return [text for option in self.chosen() for text in reasons(option.reasons)]

    def _of_option(self, option: Option) -> list[str]:
        return [*reasons(option.reasons), option.verdict_reason, *self._care(option.cautions)]

    def _care(self, codes: Sequence[str]) -> list[str]:
        texts = {caution.code: caution.text for caution in self.advice.cautions}
        return [texts[code] for code in codes if code in texts]

    @property
    def answer(self) -> list[str]:
        """All that the answer says, without the table of other options, the sources and the trace."""
        advice = self.advice
        return [
            *(doing.text for doing in advice.today),
            *self.causes,
            *self.diagnosis,
            *(text for row in advice.programme for text in (row.text, row.better_than, *row.how)),
            *self.of_choice(),
            *self.needs,
            *self.cautions,
            *(text for task in advice.plan for text in (task.task, task.text, task.why_then)),
            *self.watering,
            *(clash.text for clash in advice.clashes),
            *self.of_steps(),
        ]

    @property
    def findings(self) -> list[str]:
        """Why it is bare."""
        return [cause.text for cause in self.advice.causes]

    @property
    def bare_again(self) -> list[str]:
        """What would make it bare again."""
        return [cause.bare_again_unless for cause in self.advice.causes]

    @property
    def causes(self) -> list[str]:
        """All that is said of the causes."""
        return [*self.findings, *self.bare_again, *(cause.look_at for cause in self.advice.causes)]

    @property
    def diagnosis(self) -> list[str]:
        return [row.text for row in self.advice.diagnosis]

    @property
    def needs(self) -> list[str]:
        return [need.text for need in self.advice.needs]

    @property
    def cautions(self) -> list[str]:
        return [caution.text for caution in self.advice.cautions]

    @property
    def watering(self) -> list[str]:
        return [row.text for row in self.advice.watering]

    @property
    def programme(self) -> list[str]:
        return [row.text for row in self.advice.programme]

    @property
    def how(self) -> list[str]:
        """How the work is done, in order."""
        return [line for row in self.advice.programme for line in row.how]

    @property
    def tasks(self) -> list[str]:
        """The tasks of the plan, each in one text with its heading."""
        return [f"{task.task}. {task.text}" for task in self.advice.plan]

    @property
    def task_texts(self) -> list[str]:
        return [task.text for task in self.advice.plan]


def reasons(rows: Iterable[Reason]) -> list[str]:
    return [reason.text for reason in rows]
