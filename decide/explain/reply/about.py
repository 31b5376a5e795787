"""What a reply is made from: the advice, the part that is meant, days and amounts in words, and how much room
there is.
"""

from __future__ import annotations

import datetime as dt
import textwrap
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any, Final

from decide.answer.assemble import advice_of
from decide.answer.teller import Teller
from decide.decision.consultation import Consultation
from decide.decision.rank import Weighed
from decide.engine.language import Fact
from decide.explain.found import near
from decide.explain.reasons import Level
from decide.knowledge.tables import Knowledge
from decide.model import advice as out
from decide.model.planned import Task
from decide.model.row import DayRange, Hours
from decide.model.wording import MONTH_NAMES, day, listed, number, ranged
from decide.model.words import capital, first_sentence
from decide.model.written import coded
from decide.parse.heard import Ask
from decide.parse.plain import fold
from decide.questions.next import Asker

MOST_LINES: Final = 8
WIDTH: Final = 80
WHOLE_FROM: Final = 10
NEAR_ENOUGH: Final = 4
DAY: Final = dt.timedelta(days=1)


@dataclass(frozen=True)
class Reply:
    """An answer before it is fitted into its lines.

    `said` are its sentences or lines, the answer itself first and the rest as far as there is room; `caution`
    is the one danger or duty that belongs to it, with who decides; `result` the typed explanation behind it.
    """

    said: tuple[str, ...]
    caution: str = ""
    result: Any = None
    understood: bool = True


def fitted(reply: Reply, more: str) -> str:
    """The reply in at most eight lines of eighty columns: the answer, as much more as fits, the caution."""
    left = MOST_LINES - _height(reply.caution) if reply.caution else MOST_LINES
    rows = [line for text in reply.said if text for line in text.split("\n") if line.strip()]
    kept: list[str] = []
    for place, line in enumerate(rows):
        room = left - (1 if place < len(rows) - 1 and line.startswith("- ") else 0)
        said = line if _height(line) <= room else _cut(line, room)
        if not said and kept:
            if line.startswith(("- ", " ")):
                kept += [more] if left > 0 else []
                break
            continue
        kept.append(said or line)
        left -= _height(said or line)
    return "\n".join([*kept, *([reply.caution] if reply.caution else [])])


def _height(text: str) -> int:
    """How many lines a text takes."""
    return sum(
        len(textwrap.wrap(line, WIDTH, subsequent_indent=" " * (len(line) - len(line.lstrip(" -"))))) or 1
        for line in text.split("\n")
    )


def _cut(text: str, room: int) -> str:
    """As many whole sentences of a text as fit into some lines; none where not even the first does."""
    said = text
    while said and _height(said) > room:
        head, stop, _ = said.rstrip(".!?").rpartition(". ")
        said = f"{head}." if stop else ""
    return said


class About:
    """One question over one consultation, with the small words that every answer needs."""

    def __init__(self, c: Consultation, ask: Ask, level: Level = 1, asker: Asker | None = None) -> None:
        self.c, self.ask, self.level, self.asker = c, ask, level, asker
        self.k: Knowledge = c.knowledge
        self.today: dt.date = c.filled.today
        self.text = c.knowledge.text

    @cached_property
    def advice(self) -> out.Advice:
        """The advice that the answers are taken from."""
        return advice_of(self.c)

    @cached_property
    def tell(self) -> Teller:
        """What fills the holes of sentences."""
        return Teller(self.c)

    # ---------- what is asked ----------
    def slot(self, name: str) -> str:
        """A slot as plain words; of several the first; "" where it was not said."""
        held = self.ask.slots.get(name)
        if isinstance(held, (list, tuple)):
            held = held[0] if held else None
        return "" if held is None or isinstance(held, dict) else str(held)

    def day_slot(self, name: str = "date") -> dt.date | None:
        """A day that was said; of a span its last."""
        held = self.ask.slots.get(name)
        if isinstance(held, dict):
            held = held.get("to") or held.get("from")
        try:
            return dt.date.fromisoformat(str(held))
        except ValueError:
            return None

    @cached_property
    def named(self) -> out.Answer | None:
        """The part that was named."""
        said = coded(self.slot("zone")) if self.slot("zone") else ""
        known = {coded(answer.zone): answer for answer in self.advice.programme}
        return known.get(said) or known.get(near(said, known) or "")

    @cached_property
    def parts(self) -> list[out.Answer]:
        """The part that was named; where none was, all of them, the worst first."""
        if self.named is not None:
            return [self.named]
        worst = self.advice.fate.zone if self.advice.fate is not None else ""
        bare = {
            zone.name: zone.bare_percent for zone in self.c.zones.values() if zone.bare_percent is not None
        }
        return sorted(
            self.advice.programme,
            key=lambda answer: (answer.zone != worst, -(bare.get(answer.zone) or 0.0)),
        )

    @property
    def many(self) -> bool:
        """Whether the field has several parts, so that each is named."""
        return len(self.advice.programme) > 1

    def where(self, zone: str) -> str:
        """The part that a sentence is about, before it."""
        return f"{capital(zone)}: " if self.many and zone else ""

    # ---------- what the advice has ----------
    def option(self, answer: out.Answer) -> out.Option | None:
        """What is chosen for a part, or the least bad where nothing is."""
        return self.advice.option(answer.option or answer.least_bad or answer.stopgap)

    def weighed(self, answer: out.Answer) -> Weighed | None:
        """As `option`, with the facts that it was judged on."""
        code = answer.option or answer.least_bad or answer.stopgap
        return None if code is None else self.c.weighed.get(code)

    def facts(self, answer: out.Answer) -> dict[str, Fact]:
        """All facts that sentences about a part may name."""
        w = self.weighed(answer)
        own = self.c.zone_facts.get(coded(answer.zone), {})
        return {**self.c.site, **own, **(w.facts if w is not None else {})}

    def grass(self, answer: out.Answer) -> str:
        """The code of the grass that is put in, or else of that which stands there; "" where none is known."""
        facts = self.facts(answer)
        held = facts.get("option.lead-grass") or facts.get("zone.main-grass")
        return str(held) if held else ""

    def tasks(self, zone: str, *templates: str) -> list[Task]:
        """The tasks of a part that are of some kinds and not yet done, in the order of their days."""
        found = [
            task
            for task in self.advice.plan
            if task.template in templates and task.zone in (zone, "", "field") and task.done is None
        ]
        return sorted(found, key=lambda task: task.from_)

    def told(self, key: str) -> Any:
        """What was told or taken of a key of the situation; None where nothing was."""
        rows = {row.key: row.value for row in self.advice.situation}
        return rows.get(key)

    # ---------- in words ----------
    def day(self, date: dt.date | str) -> str:
        """A day; the year is said where it is another."""
        held = dt.date.fromisoformat(date) if isinstance(date, str) else date
        return f"{held.day} {MONTH_NAMES[held.month - 1]}" if held.year == self.today.year else day(held)

    def days(self, first: str, last: str) -> str:
        """One day, or one day to another."""
        if first == last:
            return self.day(first)
        start, end = dt.date.fromisoformat(first), dt.date.fromisoformat(last)
        short = str(start.day) if (start.year, start.month) == (end.year, end.month) else self.day(start)
        return self.text("reply-days", first=short, last=self.day(end))

    def range(self, held: DayRange | None) -> str:
        """An early and a late day; "" where none can be given."""
        if held is None or not (held.early or held.late):
            return ""
        if held.early and held.late:
            return self.days(held.early, held.late)
        one = held.early or held.late or ""
        return self.text("reply-day-late" if held.late else "reply-day-early", day=self.day(one))

    def hours(self, hours: Hours | None) -> str:
        """Hours of work as a range."""
        if hours is None:
            return ""
        ends = [number(float(f"{end:.2g}")) for end in (hours.low, hours.high)]
        return ends[0] if ends[0] == ends[1] else self.text("money-range", low=ends[0], high=ends[1])

    def price(self, low: float, high: float, currency: str) -> str:
        """A sum of money as a range."""
        ends = [number(round(end) if end >= WHOLE_FROM else end) for end in (low, high)]
        said = ends[0] if ends[0] == ends[1] else self.text("money-range", low=ends[0], high=ends[1])
        return f"{said} {currency or self.text('money-yours')}"

    def value(self, low: str, high: str, key: str = "") -> str:
        """A range between two numbers of the knowledge; "" where there is none."""
        ends = [self.c.say.value(name, key) for name in (low, high)]
        if None in ends:
            return ""
        return ranged(f"{ends[0]} to {ends[1]}")

    def caution(self, codes: Iterable[str], always: bool = False) -> str:
        """The first of some cautions that this advice has, in its first sentence, with who decides; with
        `always` the first that there is.
        """
        codes = list(codes)
        held = {row.code: row for row in self.advice.cautions}
        row = next((held[code] for code in codes if code in held), None)
        if row is None and always and codes:
            row = self.tell.caution(codes[0])
        if row is None:
            return ""
        return self.mind(row)

    def mind(self, row: out.Caution) -> str:
        """A caution in its first sentence, with who decides."""
        who = self.text("judgement-who-decides", who=row.who_decides) if row.who_decides else ""
        return f"{self.text('judgement-mind', text=first_sentence(row.text))} {who}".strip()

    def of_tasks(self, tasks: Iterable[Task], always: Sequence[str] = ()) -> str:
        """The first caution of some tasks; else the first of others that there is."""
        said = self.caution(code for task in tasks for code in task.cautions)
        return said or self.caution(always, always=True)

    def line(self, task: Task) -> str:
        """A task in one line: its days, what it is, its hours and who does it where that is not a volunteer."""
        bits = [self.text("reply-hours", hours=self.hours(task.hours))] if task.hours is not None else []
        if task.who not in ("", "volunteer"):
            bits.append(task.who.replace("-", " "))
        tail = f" ({', '.join(bits)})" if bits else ""
        zone = task.zone if task.zone != "field" else ""
        place = self.text("reply-in", zone=zone) if self.many and zone else ""
        return f"- {self.days(task.from_, task.until)}: {task.task}{place}{tail}."


def due(tasks: Iterable[Task], first: dt.date, last: dt.date) -> list[Task]:
    """The tasks that are to be done, begun or gone on with between two days, or can be."""
    found = [
        task
        for task in tasks
        if task.done is None
        and task.from_ <= last.isoformat()
        and max(task.until, task.latest or "") >= first.isoformat()
    ]
    return sorted(found, key=lambda task: (task.from_, task.code))


def week(first: dt.date, days: int) -> tuple[dt.date, dt.date]:
    """So many days from a day on."""
    return first, first + (days - 1) * DAY


def meant(word: str, names: dict[str, Iterable[str]]) -> str:
    """The code that a word means: by its own name, another name, or one whose words stand in it; "" where
    none is meant.
    """
    said = " ".join(fold(word).replace("-", " ").split())
    if not said:
        return ""
    table = {" ".join(fold(name).replace("-", " ").split()): code for name, code in _names(names)}
    if said in table:
        return table[said]
    row = f" {said} "
    inside = [name for name in table if f" {name} " in row or f" {name}s " in row]
    if inside:
        return table[max(inside, key=len)]
    close = near(said, table) if len(said) > NEAR_ENOUGH else None
    return table[close] if close else ""


def _names(names: dict[str, Iterable[str]]) -> Iterator[tuple[str, str]]:
    for code, more in names.items():
        yield from ((name, code) for name in more)
    yield from ((code, code) for code in names)


def listing(words: Sequence[str], last: str = "and") -> str:
    """Words in a row."""
    return listed(list(words), last)
