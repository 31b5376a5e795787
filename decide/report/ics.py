"""The plan as a calendar file (RFC 5545): an event for each kind of work, with its cautions and reminders."""

from __future__ import annotations

import datetime as dt
import hashlib
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import Final

from icalendar import Alarm, Calendar, Event, vText

from decide.model.advice import Advice
from decide.model.units import System
from decide.model.words import printable
from decide.report.choices import decide_day, put_off_words
from decide.report.part_notes import PartNote, part_notes
from decide.report.phrases import date_of, day_of, day_span, hours_words, known, sentence
from decide.report.rounds import ONE, RoundOfWork, rounds
from decide.report.same_work import Work, hours_told, how_words
from decide.report.sections.plan import begin_notes
from decide.report.telling import Telling, telling
from decide.report.words import language, say, word

# Where neither today nor a task is dated there is nothing to put on a day; the file still needs one.
NO_DAY: Final = dt.date(1970, 1, 1)
# SEQUENCE counts the days from here, so that an export of a later day is a later revision.
FIRST_DAY: Final = dt.date(2020, 1, 1)
# Reminders ring at nine on the day before, where there is one.
HOUR: Final = dt.timedelta(hours=9)
PLACE_KEYS: Final = ("place.name", "place.country", "place.region")
# So many parts are named in the line of an event; more stand in its text.
PARTS_NAMED: Final = 3


def calendar_file(advice: Advice, system: System | None = None, name: str = "") -> str:
    """An iCalendar text with CRLF line ends: all-day events that do not block the day.

    An event keeps its UID while the place, its first part, the kind of work and the `name` of the file stay
    the same, so that a file made later in the season replaces the dates of an earlier one, and one of another
    name belongs to another field of the town. SEQUENCE and DTSTAMP follow the advice's own today, so the same
    advice gives the same file and a later one is newer.
    """
    diary = _Diary(telling(advice, "full", system), name)
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
    """One thing on a day, or on days one after another; with `every`, on each so-manieth day of them.

    `latest` are the last days that a reminder rings for.
    """

    code: str
    summary: str
    first: dt.date
    last: dt.date
    said: tuple[str, ...]
    category: str
    every: int | None = None
    latest: tuple[dt.date, ...] = ()


class _Diary:
    """What of one advice stands on which day."""

    def __init__(self, told: Telling, name: str) -> None:
        self.t, self.a, self.name = told, told.advice, name

    @cached_property
    def today(self) -> dt.date:
        """The day of the advice, or the first day of the plan."""
        first = min((task.from_ for task in self.a.plan), default="")
        return self.t.today or date_of(first) or NO_DAY

    @cached_property
    def field(self) -> str:
        """What makes this field another than the next: its place, the first of its parts, its file's name."""
        place = [f"{row.key}={row.value}" for row in self.a.situation if row.key in PLACE_KEYS]
        named = [f"file={self.name}"] if self.name else []
        return "\n".join([*place, *(answer.zone for answer in self.a.programme[:1]), *named])

    def event(self, entry: _Entry) -> Event:
        """An entry as an event of the calendar."""
        name = hashlib.sha256(f"{self.field}\n{entry.code}".encode("utf-8", "replace")).hexdigest()[:32]
        made = Event()
        made.add("uid", f"{name}@decide.invalid")
        made.add("dtstamp", dt.datetime.combine(self.today, dt.time(), dt.UTC))
        made.add("sequence", max(0, (self.today - FIRST_DAY).days))
        made.add("dtstart", entry.first)
        made.add("dtend", (entry.first if entry.every else entry.last) + ONE)
        if entry.every:
            made.add("rrule", {"freq": "daily", "interval": entry.every, "until": entry.last})
        made.add("summary", printable(entry.summary))
        made.add("description", "\n".join(printable(said) for said in entry.said))
        made.add("categories", [entry.category])
        made.add("transp", "TRANSPARENT")
        for reminder in _reminders(entry):
            made.add_component(reminder)
        return made

    def entries(self) -> Iterator[_Entry]:
        """Everything, in the order in which an advice is read."""
        notes = part_notes(self.a)
        yield from self._today(notes)
        yield from self._decide(notes)
        yield from self._windows(notes)
        yield from map(self._round, rounds(self.a))

    # ---------- what is no work ----------
    def _today(self, notes: list[PartNote]) -> Iterator[_Entry]:
        """What cannot wait, what becomes of the date, what is done meanwhile, and the cautions that no task
        carries.
        """
        a = self.a
        urgent = [f"{sentence(row.text)}{_who(row.who_decides)}" for row in a.today]
        urgent += [
            f"{self._of([row.zone])}{sentence(row.sign)} {say('do-today')}: {sentence(row.do)}"
            for row in a.signs_seen
        ]
        said = list(urgent)
        said += [f"{say('does-not-fit')}: {self._of([row.zone])}{sentence(row.text)}" for row in a.clashes]
        said += [a.fate.text] if a.fate is not None else []
        said += [f"{note.label}: {self._of(note.zones)}{note.text}" for note in notes if note.label]
        carried = {code for task in a.plan for code in task.cautions} | {row.code for row in a.today}
        said += [self._caution(code) for code in self.t.cautions if code not in carried]
        if said or a.programme:
            summary = say("today-title") if urgent else say("take-care-and-who")
            yield _Entry("today", summary, self.today, self.today, (*said, say("ruler")), "today")

    def _decide(self, notes: list[PartNote]) -> Iterator[_Entry]:
        """The choices, on the first of the last days to begin or to decide; today where there is none."""
        rows = [note for note in notes if note.kind in ("choice", "trade") and not note.label]
        if not rows:
            return
        keeps = self.a.plan_decide_by or ""
        by = {decide_day(self.a), *(row.decide_by or "" for row in rows)}
        days = sorted(day for day in map(date_of, by) if day is not None)
        said = [f"{say('begin-by')}: {say('to-keep-dates', day=day_of(keeps))}"] if keeps else []
        said += [self._noted(row) for row in rows]
        day = days[0] if days else self.today
        yield _Entry("decide", say("event-decide"), day, day, tuple(said), "decide", None, tuple(days))

    def _windows(self, notes: list[PartNote]) -> Iterator[_Entry]:
        """The day on which the next real time for new grass opens; the last day to decide on it rings."""
        opening: dict[dt.date, list[PartNote]] = {}
        for note in notes:
            day = date_of(note.first or "") if note.kind == "window" else None
            if day is not None:
                opening.setdefault(day, []).append(note)
        for n, (day, rows) in enumerate(sorted(opening.items())):
            latest = sorted({by for row in rows if (by := date_of(row.decide_by or "")) is not None})
            said = [self._noted(row) for row in rows]
            zones = [zone for row in rows for zone in row.zones]
            summary = say("event-window") + self._parts(zones)
            yield _Entry(
                f"window/{n}" if n else "window",
                summary,
                day,
                day,
                tuple(said),
                "decide",
                None,
                tuple(latest),
            )

    def _noted(self, note: PartNote) -> str:
        by = put_off_words(note.first if note.kind == "choice" else None, note.decide_by)
        return " ".join([f"{self._of(note.zones)}{note.text}", *([by] if by else []), *note.conditions()])

    # ---------- work ----------
    def _round(self, row: RoundOfWork) -> _Entry:
        cautions = dict.fromkeys(code for work in row.works for code in work.cautions)
        said = [*(self._work(work, row.every) for work in row.works), *map(self._caution, cautions)]
        name = row.titles[0] if len(row.titles) == 1 else word("round", row.kind)
        summary = ("" if row.open else f"{say('done')}: ") + name + self._parts(row.zones)
        return _Entry(
            row.code, summary, row.first, row.last, tuple(said), row.kind, row.every, tuple(row.latest)
        )

    def _work(self, work: Work, every: int | None) -> str:
        """A job: its days, where, how, by when, who, with what."""
        task = work.task
        where = f" ({language().listed(work.zones)})" if self.t.many and work.zones else ""
        if task.done is not None:
            return f"{say('done-on', day=day_of(task.done))}: {task.task}{where}."
        name = f"{day_span(task.from_, task.until)}: {task.task}{where}."
        notes = [name, how_words(self.t, work, every), *begin_notes(task)]
        if task.who:
            notes.append(say("who", who=word("who", task.who)))
        hours = hours_told(work, hours_words)
        if hours:
            notes.append(say("work-of", hours=hours))
        if work.tools:
            notes.append(say("tools", tools=[language().named("tool", tool) for tool in work.tools]))
        return " ".join(notes)

    def _caution(self, code: str) -> str:
        row = self.t.cautions.get(code)
        said = code.replace("-", " ") if row is None else row.text
        return f"{say('take-care')}: {sentence(said)}{_who('' if row is None else row.who_decides)}"

    def _of(self, zones: Iterable[str]) -> str:
        return "".join(span.text for span in self.t.where(zones))

    def _parts(self, zones: Iterable[str]) -> str:
        """The parts in the line of an event, where it is not about all of many."""
        named = list(dict.fromkeys(zones))
        return f" ({language().listed(named)})" if self.t.many and 0 < len(named) <= PARTS_NAMED else ""


def _reminders(entry: _Entry) -> Iterator[Alarm]:
    """A reminder of each last day: at nine on the day before, on the day itself where the event begins
    then.
    """
    ringing: dict[dt.timedelta, list[str]] = {}
    for day in entry.latest:
        before = max(day - ONE, min(entry.first, day)) - entry.first
        ringing.setdefault(before + HOUR, []).append(day_of(day.isoformat()))
    for trigger, days in ringing.items():
        made = Alarm()
        made.add("action", "DISPLAY")
        made.add("description", printable(f"{entry.summary}: {say('latest-day', day=days)}"))
        made.add("trigger", trigger)
        yield made


def _who(who: str) -> str:
    return f" {say('who-decides', who=sentence(who))}" if who else ""
