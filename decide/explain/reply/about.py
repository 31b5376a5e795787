"""What a reply is made from: the advice, the part that is meant, days and amounts in words, and how much room
there is.
"""

from __future__ import annotations

import datetime as dt
import textwrap
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any, Final

from decide.answer.assemble import advice_of
from decide.answer.teller import Teller, lower_first
from decide.decision.consultation import Consultation
from decide.decision.rank import Weighed
from decide.engine.language import Fact
from decide.explain.found import find, near
from decide.explain.reasons import Level
from decide.explain.why_not import best_of
from decide.knowledge.tables import Knowledge
from decide.model import advice as out
from decide.model.planned import Task
from decide.model.row import DayRange, Hours
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
    # A heading without anything under it says nothing.
    told = [
        line
        for place, line in enumerate(kept)
        if place == 0
        or not line.endswith(":")
        or (kept[place + 1 : place + 2] != [] and kept[place + 1][0] in "- ")
    ]
    return "\n".join([*told, *([reply.caution] if reply.caution else [])])


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

    def __init__(
        self,
        c: Consultation,
        ask: Ask,
        level: Level = 1,
        asker: Asker | None = None,
        early: Callable[[str], None] | None = None,
    ) -> None:
        self.c, self.ask, self.level, self.asker, self.early = c, ask, level, asker, early
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
        """The grass that is put in, or else that which stands there, by its code; "" where none is known."""
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
        return (
            self.k.language.day_of_year(held) if held.year == self.today.year else self.k.language.day(held)
        )

    def days(self, first: str, last: str) -> str:
        """One day, or one day to another."""
        if first == last:
            return self.day(first)
        start, end = dt.date.fromisoformat(first), dt.date.fromisoformat(last)
        near = (start.year, start.month) == (end.year, end.month)
        short = self.k.language.start_of(start, end) if near else self.day(start)
        return self.text("reply-days", first=short, last=self.day(end))

    def range(self, held: DayRange | None) -> str:
        """An early and a late day between which something comes; "" where none can be given."""
        if held is None or not (held.early or held.late):
            return ""
        if held.early and held.late and held.early != held.late:
            return self.text("reply-between", first=self.day(held.early), last=self.day(held.late))
        if held.early and held.late:
            return self.text("reply-about", day=self.day(held.late))
        one = held.early or held.late or ""
        return self.text("reply-day-late" if held.late else "reply-day-early", day=self.day(one))

    def slow(self, held: DayRange | None) -> str:
        """The late end alone; "" where none can be given."""
        late = held.late if held is not None else None
        return self.text("reply-day-late", day=self.day(late)) if late else ""

    def hours(self, hours: Hours | None) -> str:
        """Hours of work as a range."""
        if hours is None:
            return ""
        ends = [self.k.language.number(float(f"{end:.2g}")) for end in (hours.low, hours.high)]
        return ends[0] if ends[0] == ends[1] else self.text("money-range", low=ends[0], high=ends[1])

    def price(self, low: float, high: float, currency: str, exact: bool = False) -> str:
        """A sum of money as a range; an estimate no finer than it is known, by two significant figures."""
        ends = [
            self.k.language.number(
                round(end) if exact and end >= WHOLE_FROM else end if exact else float(f"{end:.2g}")
            )
            for end in (low, high)
        ]
        said = ends[0] if ends[0] == ends[1] else self.text("money-range", low=ends[0], high=ends[1])
        return f"{said} {currency or self.text('money-yours')}"

    def value(self, low: str, high: str, key: str = "") -> str:
        """A range between two numbers of the knowledge; "" where there is none."""
        least, most = (self.c.say.value(name, key) for name in (low, high))
        if least is None or most is None:
            return ""
        return self.k.language.ranged(self.k.language.range(least, most))

    def caution(self, codes: Iterable[str], other: str = "") -> str:
        """The first of some cautions that this advice has, in its first sentence, with who decides; where it
        has none of them, another.
        """
        held = {row.code: row for row in self.advice.cautions}
        row = next((held[code] for code in codes if code in held), None)
        if row is None and other:
            row = self.tell.caution(other)
        if row is None:
            return ""
        return self.mind(row)

    def mind(self, row: out.Caution) -> str:
        """A caution in its first sentence, with who decides."""
        who = self.text("judgement-who-decides", who=row.who_decides) if row.who_decides else ""
        return f"{self.text('judgement-mind', text=first_sentence(row.text))} {who}".strip()

    def of_tasks(self, tasks: Iterable[Task], other: str = "") -> str:
        """The first caution of some tasks; where they have none, another."""
        return self.caution([code for task in tasks for code in task.cautions], other)

    def lines(self, tasks: Iterable[Task]) -> list[str]:
        """Tasks in lines, those of the same days in one: the days, then each with its part and who does it,
        where that is no volunteer.
        """
        by_days: dict[tuple[str, str], list[str]] = {}
        for task in tasks:
            bits = [task.zone] if self.many and task.zone not in ("", "field") else []
            bits += [self.k.language.named("who", task.who)] if task.who not in ("", "volunteer") else []
            held = by_days.setdefault((task.from_, task.until), [])
            name = lower_first(task.task) if held else task.task
            held.append(f"{name} ({', '.join(bits)})" if bits else name)
        return [f"- {self.days(*days)}: {'; '.join(names)}." for days, names in by_days.items()]

    def way(self, answer: out.Answer, words: str) -> Weighed | None:
        """The way that some words mean in a part: the choice where they fit it, else the best named."""
        chosen, best = self.weighed(answer), best_of(self.c, words, coded(answer.zone))
        if best is None or chosen is None:
            return best
        found = find(self.c, words)
        exact = bool(found.months or found.start or found.variants)
        same = chosen.draft.remedy == best.draft.remedy and not exact
        fits = (not found.methods or chosen.draft.method in found.methods) and (
            not found.plants or chosen.draft.plant in found.plants
        )
        return chosen if same and fits else best


def due(tasks: Iterable[Task], first: dt.date, last: dt.date) -> list[Task]:
    """The tasks that are to be done, begun or gone on with between two days, and what is done once and still
    open by then; what cannot wait first.
    """
    found = [
        task
        for task in tasks
        if task.done is None
        and task.from_ <= last.isoformat()
        and (task.until >= first.isoformat() or (task.from_ == task.until and task.every_days is None))
    ]
    return sorted(found, key=lambda task: (task.from_, task.until, task.latest or "9", task.code))


def week(first: dt.date, days: int) -> tuple[dt.date, dt.date]:
    """So many days from a day on."""
    return first, first + (days - 1) * DAY


def meant(word: str, names: Mapping[str, Iterable[str]]) -> str:
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


def _names(names: Mapping[str, Iterable[str]]) -> Iterator[tuple[str, str]]:
    for code, more in names.items():
        yield from ((name, code) for name in more)
    yield from ((code, code) for code in names)
