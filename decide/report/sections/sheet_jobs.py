"""The jobs of a sheet: parts in which the same is done at about the same time, with their big dates."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final, Literal

from decide.model import advice as model
from decide.model.advice import Option
from decide.model.planned import Task
from decide.model.words import capital
from decide.report.blocks import Line, Paragraph, Span, line
from decide.report.choices import (
    VERDICT_STYLES,
    marked,
    picked,
    put_off,
    role_of,
    short_verdict,
    stands_as,
    without_start,
)
from decide.report.phrases import date_of, opening_sentence, sentence, short_day
from decide.report.poster import BigDate, Job, Lane, Way
from decide.report.telling import Telling
from decide.report.timeline import Days
from decide.report.words import language, say, word

# Starts no further apart are one job on a wall: the same work in the same week.
TOGETHER: Final = dt.timedelta(days=7)
Use = Literal["start", "training", "matches"]
_LETTERS: Final = "ABCDEFGHIJKLMNOP"
# Whose task belongs to the lasting grass that follows a stopgap: the end of its code.
_THEN: Final = "/then"
_PREPARES: Final = ("before", "clear", "bed")


@dataclass(frozen=True)
class Group:
    """Parts with the same answer, begun within a week of one another; `options` by part, then by place."""

    letter: str
    answers: tuple[model.Answer, ...]
    options: tuple[tuple[Option, ...], ...]

    @property
    def zones(self) -> tuple[str, ...]:
        """The names of the parts."""
        return tuple(answer.zone for answer in self.answers)


def groups(t: Telling) -> tuple[list[Group], list[model.Answer]]:
    """The jobs in the order of the parts, and the answers of parts in which nothing is done."""
    found: list[list[tuple[model.Answer, tuple[Option, ...]]]] = []
    idle = []
    for answer in t.advice.programme:
        options = tuple(picked(t.advice, answer))
        if not options:
            idle.append(answer)
            continue
        same = next((rows for rows in found if _alike(rows[0], (answer, options))), None)
        if same is None:
            found.append([(answer, options)])
        else:
            same.append((answer, options))
    letters = zip(_LETTERS, found, strict=False)
    made = [Group(letter, tuple(a for a, _ in rows), tuple(o for _, o in rows)) for letter, rows in letters]
    return made, idle


def _alike(
    one: tuple[model.Answer, tuple[Option, ...]], other: tuple[model.Answer, tuple[Option, ...]]
) -> bool:
    (answer, options), (answer2, options2) = one, other
    if answer.decision != answer2.decision or len(options) != len(options2):
        return False
    return all(
        role_of(answer, a) == role_of(answer2, b)
        and without_start(a) == without_start(b)
        and a.verdict == b.verdict
        and _near(a.start, b.start)
        for a, b in zip(options, options2, strict=True)
    )


def _near(one: str | None, other: str | None) -> bool:
    a, b = date_of(one or ""), date_of(other or "")
    return a == b if a is None or b is None else abs(a - b) <= TOGETHER


def job_of(t: Telling, group: Group) -> Job:
    """A group as it stands on the sheet."""
    return Job(group.letter, group.zones, tuple(_way(t, group, n) for n in range(len(group.options[0]))))


def _way(t: Telling, group: Group, place: int) -> Way:
    answer, option = group.answers[0], group.options[0][place]
    role = role_of(answer, option)
    # A group that gets one thing alone says at once what.
    before = "" if role == "do" else f"{word('role', role)}: "
    what = (Span(f"{before}{without_start(option)}"),)
    starts = [day for day in (start_of(t, group, place, n) for n in range(len(group.zones))) if day]
    dates = []
    if starts:
        code = say("poster-begun") if t.today is not None and max(starts) < t.today else say("poster-start")
        dates.append(_big("start", code, Days(min(starts), max(starts)), joined=True))
    light = over(row[place].light_use for row in group.options)
    full = over(row[place].full_play for row in group.options)
    dates += [] if light is None else [_big("training", say("poster-training"), light)]
    dates += [] if full is None else [_big("matches", say("poster-matches"), full)]
    return Way(what, _note(group, place, role), tuple(dates))


def _note(group: Group, place: int, role: str) -> Paragraph:
    """The verdict where it is not plainly sound, and the day by which it is decided."""
    option = group.options[0][place]
    stands = stands_as(option, "then" if role == "then" else "do")
    rests = list(dict.fromkeys(said for row in group.options for said in row[place].rests_on))
    said: list[Span] = []
    if stands == "sound" and rests:
        said.append(Span(say("poster-if", n=len(rests)), "warn"))
    elif stands not in ("advised", "sound"):
        style = VERDICT_STYLES[marked(stands, rests)]
        said.append(Span(say("poster-verdict", verdict=capital(short_verdict(stands, ()))), style))
    last = [date_of(row[place].decide_by or "") for row in group.options if not put_off(row[place])]
    date = min((day for day in last if day is not None), default=None)
    if not said and not option.start and option.full_play is None:
        said.append(Span(say("poster-how")))
    if date is not None:
        said.append(Span(f"{' ' if said else ''}{say('poster-decide-by', day=short_day(date))}"))
    return tuple(said)


def start_of(t: Telling, group: Group, place: int, part: int) -> dt.date | None:
    """The day on which a way is begun in a part: told by the option, else that of its first work."""
    option = group.options[part][place]
    if option.start is not None:
        return date_of(option.start)
    begins = [date_of(task.from_) for task in tasks_of(t, group, place, group.zones[part])]
    return min((day for day in begins if day is not None), default=None)


def tasks_of(t: Telling, group: Group, place: int, zone: str = "") -> list[Task]:
    """The tasks of a way in its parts: those of the lasting grass apart from those of its stopgap."""
    zones = (zone,) if zone else group.zones
    later = place > 0
    apart = len(group.options[0]) > 1
    return [
        task
        for task in t.advice.plan
        if task.zone in zones and (not apart or task.code.endswith(_THEN) == later)
    ]


def over(ranges: Iterable[object]) -> Days | None:
    """The earliest and the latest of ranges of days; None where there is none."""
    known = [days for days in ranges if days is not None]
    earlies = [date_of(getattr(days, "early", None) or "") for days in known]
    lates = [date_of(getattr(days, "late", None) or "") for days in known]
    early = [day for day in earlies if day is not None]
    late = [day for day in lates if day is not None]
    if not early and not late:
        return None
    # Where one part has no late day, nobody can say how late all of them are.
    return Days(min(early, default=None), None if None in lates else max(late, default=None))


def _big(kind: Use, label: str, days: Days, joined: bool = False) -> BigDate:
    early, late = days.early, days.late
    if early is not None and late is not None and early != late:
        year = str(late.year) if early.year == late.year else f"{early.year}–{late.year}"
        if joined and (early.year, early.month) == (late.year, late.month):
            return BigDate(kind, label, year, f"{early.day}–{short_day(late)}")
        return BigDate(kind, label, year, short_day(early), say("poster-to", day=short_day(late)))
    one = late or early
    if one is None:
        return BigDate(kind, label, "", "–")
    if early is None:
        return BigDate(kind, label, str(one.year), say("poster-by-day", day=short_day(one)))
    if late is None:
        return BigDate(kind, label, str(one.year), say("poster-from", day=short_day(one)))
    return BigDate(kind, label, str(one.year), short_day(one))


def lanes_of(t: Telling, group: Group) -> list[Lane]:
    """A lane of the drawn line for each way of a job."""
    lanes = []
    for place in range(len(group.options[0])):
        options = [row[place] for row in group.options]
        if not any(option.start or option.light_use or option.full_play for option in options):
            # Neither begun nor ready on a day: a call, or play moved away.
            continue
        starts = [day for day in (start_of(t, group, place, n) for n in range(len(group.zones))) if day]
        work = [task for task in tasks_of(t, group, place) if task.done is None]
        asked = [task for task in t.advice.plan if not task.zone and task.done is None]
        first = [date_of(task.from_) for task in (*work, *asked) if task.stage in _PREPARES]
        prepare = min((day for day in first if day is not None), default=None)
        dies = [date_of(option.dies_by) for option in options if option.dies_by]
        role = role_of(group.answers[0], options[0])
        lanes.append(
            Lane(
                group.letter,
                f"{language().listed(group.zones)}, {without_start(options[0])}"
                if role == "do"
                else word("role", role),
                prepare,
                min(starts, default=None),
                over(option.light_use for option in options),
                over(option.full_play for option in options),
                min((day for day in dies if day is not None), default=None),
            )
        )
    return lanes


def idle_lines(answers: Sequence[model.Answer]) -> tuple[Line, ...]:
    """The parts in which nothing is done, those with the same words together."""
    said: dict[str, list[str]] = {}
    for answer in answers:
        said.setdefault(opening_sentence(answer.text), []).append(answer.zone)
    return tuple(
        line(Span(f"{language().listed(zones)}: ", "strong"), sentence(text)) for text, zones in said.items()
    )
