"""The plan in rounds, one for each kind of work and each start: what stands in one event of a calendar.

Every task that is planned lies in one round. Starts less than four weeks apart are one start.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import Final, get_args

from decide.model.advice import Advice
from decide.model.planned import Round, Task
from decide.report.choices import picked
from decide.report.phrases import date_of
from decide.report.same_work import Work, same_work

ONE: Final = dt.timedelta(days=1)
WEEK: Final = 7
# Starts no further apart are one start.
TOGETHER: Final = dt.timedelta(days=28)
ORDER: Final[tuple[Round, ...]] = get_args(Round)
WATER: Final[tuple[Round, ...]] = ("water-new", "water-young", "water-set")
# Whose task belongs to the lasting grass that follows a stopgap: the end of its code.
_THEN: Final = "/then"


@dataclass(frozen=True)
class RoundOfWork:
    """The jobs of one kind for one start; `place` counts the starts from 0."""

    kind: Round
    place: int
    works: tuple[Work, ...]

    @cached_property
    def open(self) -> tuple[Work, ...]:
        """The jobs that are not done."""
        return tuple(work for work in self.works if work.task.done is None)

    @property
    def code(self) -> str:
        """The same from one advice to the next, whatever the days."""
        return f"{self.kind}/{self.place}" if self.place else self.kind

    @property
    def zones(self) -> list[str]:
        """The parts that it is about."""
        return list(dict.fromkeys(zone for work in self.works for zone in work.zones))

    @property
    def titles(self) -> list[str]:
        """What its jobs are called, each once."""
        return list(dict.fromkeys(work.task.task for work in self.open or self.works))

    @cached_property
    def every(self) -> int | None:
        """Days from one time to the next, where the work comes back.

        Several jobs, water aside, come back once a week. What has a last day to begin stands once.
        """
        if self.latest:
            return None
        often = [work.task.every_days for work in self.open if work.task.every_days is not None]
        days = [max(1, round(each)) for each in often]
        if not days or max(map(self._last_of, self.open)) == self.first:
            return None
        watered = self.kind in WATER or len(self.titles) == 1
        least = min(days) if watered else max(WEEK, min(days))
        return least if least > 1 else None

    @cached_property
    def latest(self) -> list[dt.date]:
        """The last days to begin or to order, each once."""
        days = {date_of(work.task.latest or work.task.order_by or "") for work in self.open}
        return sorted(day for day in days if day is not None)

    @cached_property
    def first(self) -> dt.date:
        """The first day of its jobs; of those that are done, where nothing is left."""
        return min(dt.date.fromisoformat(work.task.from_) for work in self.open or self.works)

    @cached_property
    def last(self) -> dt.date:
        """The last day that it stands on.

        What comes back stands until its end, daily work on all its days. Other jobs stand on all their days
        where these are a week at most, else on their first: until when, the text says.
        """
        return max(map(self._stands_until, self.open or self.works))

    def _last_of(self, work: Work) -> dt.date:
        return dt.date.fromisoformat(work.task.until)

    def _stands_until(self, work: Work) -> dt.date:
        first, last = dt.date.fromisoformat(work.task.from_), self._last_of(work)
        daily = work.task.every_days is not None and (self.kind in WATER or len(self.titles) == 1)
        return last if self.every or daily or last - first < WEEK * ONE else first


def rounds(advice: Advice) -> Iterator[RoundOfWork]:
    """The plan in rounds, start after start, in the order of the work."""
    places = _Starts(advice)
    found: dict[tuple[int, Round], list[Task]] = {}
    for task in advice.plan:
        found.setdefault((places.of(task), task.round), []).append(task)
    for place, kind in sorted(found, key=lambda key: (key[0], ORDER.index(key[1]))):
        yield RoundOfWork(kind, place, tuple(same_work(found[place, kind])))


class _Starts:
    """Which start of the field a task belongs to, counted from 0 in the order of their days."""

    def __init__(self, advice: Advice) -> None:
        self.first: dict[str, dt.date | None] = {}
        self.then: dict[str, dt.date | None] = {}
        for answer in advice.programme:
            days = [date_of(option.start or "") for option in picked(advice, answer)]
            self.first[answer.zone] = days[0] if days else None
            self.then[answer.zone] = days[-1] if days else None
        self.places: dict[dt.date, int] = {}
        place, before = 0, None
        for day in sorted({*self.first.values(), *self.then.values()} - {None}, key=str):
            assert day is not None
            place += before is not None and day - before >= TOGETHER
            self.places[day], before = place, day

    def of(self, task: Task) -> int:
        """The start of a task; work without one goes with the first."""
        days = self.then if task.code.endswith(_THEN) else self.first
        day = days.get(task.zone)
        return 0 if day is None else self.places[day]
