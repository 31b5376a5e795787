"""The plan as a calendar file (RFC 5545): the fate of the date, dangers of today, the choices, days to decide by, and every task with its cautions."""

from __future__ import annotations

import datetime as dt
import hashlib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final

from decide.model import advice as model
from decide.model.advice import Advice
from decide.model.units import System
from decide.model.words import printable
from decide.report.choices import ONLY_IF, meanwhile_words
from decide.report.phrases import between, date_of, day_of, estimate, sentence, span_of
from decide.report.text import RULER, WHO, _Talk, standings

MOST_OCTETS: Final = 75
ONE: Final = dt.timedelta(days=1)
# Where neither today nor a task is dated there is nothing to put on a day; the file still needs one.
NO_DAY: Final = dt.date(1970, 1, 1)


def calendar_file(advice: Advice, system: System | None = None) -> str:
    """An iCalendar text with CRLF line ends: all-day events that do not block the day.

    An event keeps its UID while the place, the parts and the task stay the same, so that a file made later in the
    season replaces the dates of an earlier one. DTSTAMP is the advice's own today, so the same advice gives the same file.
    """
    return _Calendar(advice, system).file()


@dataclass(frozen=True)
class _Event:
    code: str
    summary: str
    first: dt.date
    last: dt.date
    said: tuple[str, ...]
    category: str
    every: int | None = None


class _Calendar:
    def __init__(self, advice: Advice, system: System | None) -> None:
        self.a = advice
        self.talk = _Talk(advice, "full", system)
        self.cautions = {row.code: row for row in advice.cautions}
        dated = [task.from_ for task in advice.plan]
        self.today = date_of(self.talk._known("dates.today")) or date_of(min(dated, default="")) or NO_DAY
        field = [
            f"{row.key}={row.value}"
            for row in advice.situation
            if row.key in ("place.name", "place.country", "place.region")
        ]
        self.field = "\n".join([*field, *(answer.zone for answer in advice.programme)])

    def file(self) -> str:
        """The whole text."""
        place = self.talk._known("place.name")
        lines = [
            "BEGIN:VCALENDAR", "VERSION:2.0", f"PRODID:-//decide//advice {_text(self.a.knowledge.version)}//EN", "CALSCALE:GREGORIAN",
            f"NAME:{_text('Plan' + (f' for {place}' if place else ''))}",
        ]  # fmt: skip
        for event in self._events():
            lines += self._lines(event)
        return "".join(f"{folded}\r\n" for line in [*lines, "END:VCALENDAR"] for folded in _folded(line))

    def _events(self) -> list[_Event]:
        return [
            *self._fate(),
            *self._first(),
            *self._choices(),
            *self._decide(),
            *self._windows(),
            *(self._task(task) for task in self.a.plan),
        ]

    def _fate(self) -> list[_Event]:
        """What becomes of the date wanted, on the day of the advice."""
        fate = self.a.fate
        return (
            []
            if fate is None
            else [
                _Event(
                    "fate",
                    f"What becomes of {day_of(fate.by)}",
                    self.today,
                    self.today,
                    (fate.text,),
                    "today",
                )
            ]
        )

    def _choices(self) -> list[_Event]:
        """The choice for each part with what it rests on, the other side of a trade, what is done meanwhile and the next window."""
        events = []
        for place, answer in enumerate(self.a.programme, start=1):
            rows = [row for row in standings(self.a) if row.code.split("/")[1] == str(place)]
            said: list[str] = []
            for row in rows:
                label = f"{meanwhile_words(answer)}: " if row.kind == "meanwhile" else ""
                said += [
                    f"{label}{row.text}",
                    *(f"{ONLY_IF}{sentence(condition)}" for condition in row.rests_on),
                ]
            events.append(
                _Event(
                    f"choice/{place}",
                    f"What to do: {answer.zone}",
                    self.today,
                    self.today,
                    tuple(said),
                    "choice",
                )
            )
        return events

    def _windows(self) -> list[_Event]:
        """The day on which the next real time for new grass opens, and the last day to decide on it."""
        events = []
        for row in standings(self.a):
            opens, by = date_of(row.first or ""), date_of(row.decide_by or "")
            if row.kind == "window" and opens is not None:
                events.append(
                    _Event(
                        row.code, f"Next time for new grass: {row.zone}", opens, opens, (row.text,), "decide"
                    )
                )
            if row.kind == "window" and by is not None:
                events.append(
                    _Event(
                        f"decide/{row.code}",
                        f"Last day to decide on new grass: {row.zone}",
                        by,
                        by,
                        (row.text,),
                        "decide",
                    )
                )
        return events

    def _first(self) -> list[_Event]:
        """What is dangerous today, and the cautions that no task carries."""
        events = []
        if self.a.today:
            said = [f"{sentence(row.text)}{_who(row.who_decides)}" for row in self.a.today]
            events.append(
                _Event("today", "Today, before anything else", self.today, self.today, tuple(said), "today")
            )
        carried = {code for task in self.a.plan for code in task.cautions}
        rest = [self._caution(row.code) for row in self.a.cautions if row.code not in carried]
        if rest:
            events.append(
                _Event(
                    "take-care", "Take care, and who decides", self.today, self.today, (*rest, RULER), "today"
                )
            )
        return events

    def _decide(self) -> list[_Event]:
        rows = []
        for answer in self.a.programme:
            for option in self.talk._picked(answer):
                day = date_of(option.decide_by or "")
                if day is not None:
                    said = (
                        sentence(option.title),
                        f"Full play: {between(option.full_play)}",
                        *(f"{ONLY_IF}{sentence(condition)}" for condition in option.rests_on),
                    )
                    rows.append(
                        _Event(
                            f"decide/{option.code}",
                            f"Last day to decide: {answer.zone}",
                            day,
                            day,
                            said,
                            "decide",
                        )
                    )
        return rows

    def _task(self, task: model.Task) -> _Event:
        first, last = dt.date.fromisoformat(task.from_), dt.date.fromisoformat(task.until)
        said = [sentence(task.text), task.why_then]
        if task.latest is not None and task.latest != task.from_:
            said.append(f"Begin by {day_of(task.latest)}.")
        if task.order_by is not None:
            said.append(f"Order or ask by {day_of(task.order_by)}.")
        every = None if task.every_days is None or first == last else max(1, round(task.every_days))
        if every is not None and not self.talk._says_how_often(task):
            said.append(
                "Every day." if every == 1 else f"About every {every} days, until {day_of(task.until)}."
            )
        if task.who:
            said.append(f"Who: {WHO.get(task.who, task.who)}.")
        if task.hours is not None and task.hours.high > 0:
            said.append(f"Work: {span_of(estimate(task.hours.low), estimate(task.hours.high))} hours.")
        if task.needs:
            said.append(f"Tools: {', '.join(tool.replace('-', ' ') for tool in task.needs)}.")
        if task.done:
            said.append(f"Done on {day_of(task.done)}.")
        said += [self._caution(code) for code in task.cautions]
        if task.sources:
            said.append(f"Sources: {', '.join(task.sources)}.")
        summary = (
            ("Done: " if task.done else "")
            + task.task
            + (f" ({task.zone})" if task.zone and self.talk.many else "")
        )
        return _Event(
            task.code,
            summary,
            first,
            max(first, last),
            tuple(line for line in said if line),
            task.stage,
            every if every and every > 1 else None,
        )

    def _caution(self, code: str) -> str:
        row = self.cautions.get(code)
        return (
            f"Take care: {sentence(code.replace('-', ' '))}"
            if row is None
            else f"Take care: {sentence(row.text)}{_who(row.who_decides)}"
        )

    def _lines(self, event: _Event) -> Sequence[str]:
        name = hashlib.sha256(f"{self.field}\n{event.code}".encode("utf-8", "replace")).hexdigest()[:32]
        last = event.first if event.every else event.last
        return [
            "BEGIN:VEVENT", f"UID:{name}@decide.invalid", f"DTSTAMP:{self.today:%Y%m%d}T000000Z", f"DTSTART;VALUE=DATE:{event.first:%Y%m%d}",
            f"DTEND;VALUE=DATE:{last + ONE:%Y%m%d}", *([f"RRULE:FREQ=DAILY;INTERVAL={event.every};UNTIL={event.last:%Y%m%d}"] if event.every else []),
            f"SUMMARY:{_text(event.summary)}", f"DESCRIPTION:{_lines_of(event.said)}", f"CATEGORIES:{_text(event.category)}", "TRANSP:TRANSPARENT", "END:VEVENT",
        ]  # fmt: skip


def _who(who: str) -> str:
    return f" Who decides: {sentence(who)}" if who else ""


def _text(said: str) -> str:
    """A TEXT value: RFC 5545, section 3.3.11."""
    clean = printable(said)
    for letter in "\\;,":
        clean = clean.replace(letter, f"\\{letter}")
    return clean


def _lines_of(said: Iterable[str]) -> str:
    return "\\n".join(_text(line) for line in said)


def _folded(line: str) -> list[str]:
    """Lines of at most 75 octets, no letter cut in two; all but the first begin with a space: RFC 5545, section 3.1."""
    parts, held, size = [], "", 0
    for letter in line:
        octets = len(letter.encode())
        if size + octets > MOST_OCTETS:
            parts.append(held)
            held, size = " ", 1
        held += letter
        size += octets
    return [*parts, held]
