"""The plan as a calendar file (RFC 5545): dangers, choices, days to decide by, tasks with their cautions."""

from __future__ import annotations

import datetime as dt
import hashlib
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import Final

from icalendar import Calendar, Event, vText

from decide.model.advice import Advice
from decide.model.planned import Task
from decide.model.units import System
from decide.model.words import printable
from decide.report.choices import chosen, meanwhile_words
from decide.report.part_notes import PartNote, part_notes
from decide.report.phrases import between, date_of, day_of, known, sentence
from decide.report.sections.plan import begin_notes, has_hours, says_how_often, task_hours, tools
from decide.report.telling import Telling, telling
from decide.report.words import say, word

ONE: Final = dt.timedelta(days=1)
# Where neither today nor a task is dated there is nothing to put on a day; the file still needs one.
NO_DAY: Final = dt.date(1970, 1, 1)
PLACE_KEYS: Final = ("place.name", "place.country", "place.region")


def calendar_file(advice: Advice, system: System | None = None) -> str:
    """An iCalendar text with CRLF line ends: all-day events that do not block the day.

    An event keeps its UID while the place, the parts and the task stay the same, so that a file made later in
    the season replaces the dates of an earlier one. DTSTAMP is the advice's own today, so the same advice
    gives the same file.
    """
    diary = _Diary(telling(advice, "full", system))
    place = known(advice, "place.name")
    made = Calendar()
    made.add("version", "2.0")
    made.add("prodid", f"-//decide//advice {advice.knowledge.version}//EN")
    made.add("calscale", "GREGORIAN")
    made.add("name", vText(printable(say("calendar-for", place=place) if place else say("calendar"))))
    for entry in diary.entries():
        made.add_component(diary.event(entry))
    text: str = made.to_ical().decode("utf-8")
    return text


@dataclass(frozen=True)
class _Entry:
    """One thing on a day, or on days one after another; with `every`, on each so-manieth day of them."""

    code: str
    summary: str
    first: dt.date
    last: dt.date
    said: tuple[str, ...]
    category: str
    every: int | None = None


class _Diary:
    """What of one advice stands on which day."""

    def __init__(self, told: Telling) -> None:
        self.t, self.a = told, told.advice

    @cached_property
    def today(self) -> dt.date:
        """The day of the advice, or the first day of the plan."""
        first = min((task.from_ for task in self.a.plan), default="")
        return self.t.today or date_of(first) or NO_DAY

    @cached_property
    def field(self) -> str:
        """What makes this field another than the next: its place and its parts."""
        place = [f"{row.key}={row.value}" for row in self.a.situation if row.key in PLACE_KEYS]
        return "\n".join([*place, *(answer.zone for answer in self.a.programme)])

    def event(self, entry: _Entry) -> Event:
        """An entry as an event of the calendar."""
        name = hashlib.sha256(f"{self.field}\n{entry.code}".encode("utf-8", "replace")).hexdigest()[:32]
        made = Event()
        made.add("uid", f"{name}@decide.invalid")
        made.add("dtstamp", dt.datetime.combine(self.today, dt.time(), dt.UTC))
        made.add("dtstart", entry.first)
        made.add("dtend", (entry.first if entry.every else entry.last) + ONE)
        if entry.every:
            made.add("rrule", {"freq": "daily", "interval": entry.every, "until": entry.last})
        made.add("summary", printable(entry.summary))
        made.add("description", "\n".join(printable(said) for said in entry.said))
        made.add("categories", [entry.category])
        made.add("transp", "TRANSPARENT")
        return made

    def entries(self) -> Iterator[_Entry]:
        """Everything, in the order in which an advice is read."""
        if self.a.fate is not None:
            by = say("event-fate", day=day_of(self.a.fate.by))
            yield self._now("fate", by, [self.a.fate.text], "today")
        yield from self._dangers()
        notes = list(part_notes(self.a))
        yield from self._choices(notes)
        yield from self._decide()
        for note in notes:
            yield from _window(note)
        yield from (self._task(task) for task in self.a.plan)

    def _now(self, code: str, summary: str, said: Iterable[str], category: str) -> _Entry:
        return _Entry(code, summary, self.today, self.today, tuple(said), category)

    def _dangers(self) -> Iterator[_Entry]:
        """What is dangerous today, and the cautions that no task carries."""
        if self.a.today:
            said = [f"{sentence(row.text)}{_who(row.who_decides)}" for row in self.a.today]
            yield self._now("today", say("today-title"), said, "today")
        carried = {code for task in self.a.plan for code in task.cautions}
        rest = [self._caution(code) for code in self.t.cautions if code not in carried]
        if rest:
            yield self._now("take-care", say("take-care-and-who"), [*rest, say("ruler")], "today")

    def _choices(self, notes: list[PartNote]) -> Iterator[_Entry]:
        """All that the programme says of each part."""
        for place, answer in enumerate(self.a.programme, start=1):
            said: list[str] = []
            for note in notes:
                if note.code.split("/")[1] == str(place):
                    label = f"{meanwhile_words(answer)}: " if note.kind == "meanwhile" else ""
                    said += [f"{label}{note.text}", *note.conditions()]
            yield self._now(f"choice/{place}", say("event-choice", zone=answer.zone), said, "choice")

    def _decide(self) -> Iterator[_Entry]:
        """The last day to decide on each choice."""
        for option in chosen(self.a):
            day = date_of(option.decide_by or "")
            if day is not None:
                only_if = [f"{say('only-if')}: {sentence(condition)}" for condition in option.rests_on]
                full = f"{say('full-play')}: {between(option.full_play)}"
                said = (sentence(option.title), full, *only_if)
                summary = say("event-decide", zone=option.zone)
                yield _Entry(f"decide/{option.code}", summary, day, day, said, "decide")

    def _task(self, task: Task) -> _Entry:
        first, last = dt.date.fromisoformat(task.from_), dt.date.fromisoformat(task.until)
        said = [sentence(task.text), task.why_then, *begin_notes(task)]
        if task.order_by is not None:
            said.append(say("order-by-day", day=day_of(task.order_by)))
        every = None if task.every_days is None or first == last else max(1, round(task.every_days))
        if every is not None and not says_how_often(self.t, task):
            until = day_of(task.until)
            often = say("every-day") if every == 1 else say("every-days-until", days=every, day=until)
            said.append(often)
        if task.who:
            said.append(say("who", who=word("who", task.who)))
        if has_hours(task):
            said.append(say("work-of", hours=task_hours(task)))
        said += tools(task)
        if task.done:
            said.append(f"{say('done-on', day=day_of(task.done))}.")
        said += [self._caution(code) for code in task.cautions]
        if task.sources:
            said.append(say("event-sources", sources=", ".join(task.sources)))
        summary = (f"{say('done')}: " if task.done else "") + task.task + self.t.of(task.zone)
        repeated = every if every and every > 1 else None
        lines = tuple(text for text in said if text)
        return _Entry(task.code, summary, first, max(first, last), lines, task.stage, repeated)

    def _caution(self, code: str) -> str:
        row = self.t.cautions.get(code)
        said = code.replace("-", " ") if row is None else row.text
        return f"{say('take-care')}: {sentence(said)}{_who('' if row is None else row.who_decides)}"


def _who(who: str) -> str:
    return f" {say('who-decides', who=sentence(who))}" if who else ""


def _window(note: PartNote) -> Iterator[_Entry]:
    """The day on which the next real time for new grass opens, and the last day to decide on it."""
    if note.kind != "window":
        return
    opens, by = date_of(note.first or ""), date_of(note.decide_by or "")
    if opens is not None:
        summary = say("event-window", zone=note.zone)
        yield _Entry(note.code, summary, opens, opens, (note.text,), "decide")
    if by is not None:
        summary = say("event-window-decide", zone=note.zone)
        yield _Entry(f"decide/{note.code}", summary, by, by, (note.text,), "decide")
