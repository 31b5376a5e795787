"""Choice → dated tasks: what is done when, from the first walk to the year after opening, and what does not fit."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from graphlib import TopologicalSorter
from itertools import pairwise
from typing import Final, Literal, get_args

from decide.decision.consultation import Consultation
from decide.decision.rank import Weighed
from decide.engine.language import Fact
from decide.facts.draft import can_work, is_free, offers
from decide.facts.progress import done_on
from decide.knowledge.schema_care import TaskTemplate
from decide.measure import dates, growth
from decide.model import advice as out
from decide.model.situation import of_zone
from decide.model.wording import day, show
from decide.plan.aftercare import (
    ONE,
    Part,
    Span,
    Waterer,
    Wetting,
    amount,
    monday,
    opening_day,
    play_hours,
    year_rows,
)

HORIZON: Final = dt.timedelta(days=900)
STAGES: Final[tuple[str, ...]] = get_args(out.Stage)
Node = tuple[str, str]
START: Final = "start"
# A day that tasks hang on: how it is named after "7 days after …", and as the reason of a task of that very day.
_EVENTS: Final[Mapping[str, tuple[str, str]]] = {
    "start": ("the start", "On the day of the start."), "wetting": ("the first wetting", "From the first wetting on."),
    "emergence": ("the first green", "When the first green shows."), "rooted": ("it has rooted", "When it has rooted."),
    "first-cut": ("the first cut", "When it is tall enough to cut."), "cover": ("it covers the ground", "When it covers the ground."),
    "light-use": ("light use may begin", "In the days when light use may begin."), "full-play": ("full play may begin", "In the days when full play may begin."),
    "full-fixtures": ("the full list may begin", "In the days when the full list may begin."), "recovered": ("the gaps have closed", "When the gaps have closed."),
    "growing": ("it grows", "While it grows."), "growth": ("growth begins again", "When growth begins again."),
}  # fmt: skip
# The one weed killer whose wait only marks a start down, so that a plan must still hold it; before any other wait is over a start is ruled out.
_KILLER: Final = "nonselective-systemic"
_KILLER_WAIT: Final = "wait-nonselective"


@dataclass
class Plan:
    """Everything that is to be done for the chosen options, dated; `cautions` are the codes that stand with it."""

    tasks: list[out.Task] = field(default_factory=list)
    weeks: list[out.Week] = field(default_factory=list)
    watering: list[out.Watering] = field(default_factory=list)
    clashes: list[out.Clash] = field(default_factory=list)
    decide_by: str | None = None
    hours: list[out.PlayHours] = field(default_factory=list)
    year: list[out.YearRow] = field(default_factory=list)
    cautions: frozenset[str] = frozenset()
    sources: frozenset[str] = frozenset()


@dataclass
class _Placed:
    """A task with its days; `seen` marks what set the first of them."""

    node: Node
    task: TaskTemplate
    part: Part
    first: dt.date
    last: dt.date
    latest: dt.date | None = None
    every: int | None = None
    times: list[dt.date] = field(default_factory=list)
    after: list[Node] = field(default_factory=list)
    why: str = ""
    done: dt.date | None = None


def make_plan(consultation: Consultation, options: Sequence[Weighed]) -> Plan:
    """The plan of the options that are chosen; those that are only the least bad get none. Pure: no clock, no files."""
    return _Planner(consultation, options).plan()


def first_start(consultation: Consultation, w: Weighed) -> dt.date:
    """The first day from an option's start on by which all that must come before it can be done; in a later window where its own has closed by then."""
    planner = _Planner(consultation, [w], every=True)
    planner.prepare()
    return planner.starts[planner.parts[0].code]


def this_week(advice: out.Advice, on: dt.date) -> list[out.Task]:
    """The tasks that are to be done, begun or gone on with in the seven days from a day, in the order of their days."""
    end = on + dt.timedelta(days=6)
    due = [
        task
        for task in advice.plan
        if task.done is None and task.from_ <= end.isoformat() and task.until >= on.isoformat()
    ]
    return sorted(due, key=lambda task: (task.from_, STAGES.index(task.stage), task.code))


class _Planner:
    """Makes one plan; holds what the parts share while it is made."""

    def __init__(self, consultation: Consultation, options: Sequence[Weighed], every: bool = False) -> None:
        self.c, self.k, self.filled = consultation, consultation.knowledge, consultation.filled
        self.today = self.filled.today
        self.parts = [self._part(w) for w in options if every or not self._least_bad(w)]
        self.by_code = {part.code: part for part in self.parts}
        self.starts: dict[str, dt.date] = {}
        self.events: dict[str, dict[str, Span]] = {}
        self.ends: dict[str, dt.date] = {}
        self.waits: dict[Node, dict[Node, int]] = {}
        self.moved: set[Node] = set()
        self.held: Mapping[Node, list[Part]] = {}
        self.fed: dict[str, list[tuple[dt.date, float]]] = {}
        self.clashes: list[out.Clash] = []

    def _least_bad(self, w: Weighed) -> bool:
        return self.c.chosen[w.draft.zone].least_bad is w

    def _part(self, w: Weighed) -> Part:
        zone = w.draft.zone
        fired = [
            rule
            for rule, _ in (
                *self.c.site_layer.fired.get("site", []),
                *self.c.zone_layer.fired.get(zone, []),
                *w.firings,
            )
        ]
        chosen = self.c.chosen[zone]
        return Part(
            zone, self.c.zones[zone].name, w, chosen.stopgap is not None and chosen.option is w, self.filled.areas.get(zone), w.facts,
            frozenset(rule.then.target for rule in fired if rule.then.act == "need"), frozenset(rule.then.target for rule in fired if rule.then.act == "caution"),
        )  # fmt: skip

    # ---------- which tasks ----------
    def _holds(self, task: TaskTemplate, part: Part) -> bool:
        draft = part.draft
        under_way = draft.remedy == "carry-on"
        # What was begun goes on with the tasks of a new start that come after it; those of the very day are past.
        rest = (
            under_way
            and "establish" in task.remedies
            and task.anchor != "today"
            and not task.starts
            and (task.anchor != "start" or task.from_ is not None or task.until is not None)
        )
        if draft.remedy not in task.remedies and not rest:
            return False
        if draft.new_grass and (
            (task.methods and draft.method not in task.methods)
            or (task.made_from and part.made_from not in task.made_from)
            or (task.variants and draft.variant not in task.variants)
        ):
            return False
        if task.needs and not part.needs.intersection(task.needs):
            return False
        return self.c.holds(task, part.facts)

    def _nodes(self) -> dict[Node, list[Part]]:
        """Every task of the plan with the parts that have it; one for the whole field where it is done once."""
        found: dict[Node, list[Part]] = {}
        for key, task in self.k.tasks.items():
            for part in self.parts:
                if self._holds(task, part):
                    found.setdefault((key, "" if task.once else part.code), []).append(part)
        return found

    def _waits_for(self, node: Node, nodes: Mapping[Node, list[Part]]) -> dict[Node, int]:
        """The tasks of the plan that a task waits for, and days from their end; what is left out hands its own waits on."""
        found: dict[Node, int] = {}
        parts = [part.code for part in nodes[node]] if node in nodes else [node[1]]

        def look(key: str, least: int) -> None:
            for each in self.k.tasks[key].after:
                # What is done once for the field is waited for by the parts that need it, not by those beside them.
                shared = any(part.code in parts for part in nodes.get((each.task, ""), ()))
                there = [
                    n
                    for n in (*([(each.task, "")] if shared else []), *((each.task, code) for code in parts))
                    if n in nodes
                ]
                days = max(least, self._days(each.wait, nodes[node][0]))
                for n in there:
                    found[n] = max(found.get(n, 0), days)
                if not there:
                    look(each.task, 0)

        look(node[0], 0)
        return found

    # ---------- days ----------
    def _days(self, written: str | None, part: Part) -> int:
        if written is None:
            return 0
        held = amount(self.c, written, part.facts, "day")
        return 0 if held is None else math.ceil(round(held, 6))

    def _lead(self, task: TaskTemplate, part: Part) -> int:
        """Days until what is asked for is there; what the owner or the sellers told beats the usual figure."""
        told_lead = self.c.site.get(task.lead_fact) if task.lead_fact else None
        if isinstance(told_lead, float):
            return math.ceil(told_lead * 7)
        if task.lead_offer and part.draft.remedy == "establish":
            told = self.filled.situation.offer or []
            leads = [
                lead for n in offers(self.filled, part.draft) or [] if (lead := told[n].lead_days) is not None
            ]
            if leads:
                return math.ceil(min(leads))
        return self._days(task.lead, part)

    def _gap(self, node: Node, nodes: Mapping[Node, list[Part]], wait: int) -> int:
        """Days from the last day of a task to the first on which another may begin that waits `wait` days for it."""
        task, part = self.k.tasks[node[0]], nodes[node][0]
        return max(wait, self._lead(task, part), 1 if task.days else 0)

    def _shut(self, part: Part) -> bool:
        """Whether work that needs the ground free of play is held to such days: not where the choice itself starts amid play."""
        return is_free(self.filled, part.zone, part.draft.start or self.today) is not False

    def _may(self, task: TaskTemplate, parts: Sequence[Part], date: dt.date) -> bool:
        """Whether a task may be done on a day: work allowed, ground free of play, grass growing, as far as it asks for them."""
        if not can_work(self.filled, date):
            return False
        for part in parts:
            if task.shut and self._shut(part) and is_free(self.filled, part.zone, date) is False:
                return False
            if (
                task.grows
                and part.season is not None
                and self.filled.site is not None
                and not self.filled.site.grows(part.season, dates.day_of_year(date))
            ):
                return False
        return True

    def _ahead(self, task: TaskTemplate, parts: Sequence[Part], date: dt.date) -> dt.date | None:
        end = self.today + HORIZON
        while date <= end:
            if self._may(task, parts, date):
                return date
            date += ONE
        return None

    def _back(self, task: TaskTemplate, parts: Sequence[Part], date: dt.date) -> dt.date:
        while date > self.today and not self._may(task, parts, date):
            date -= ONE
        return date

    def _end(self, task: TaskTemplate, parts: Sequence[Part], first: dt.date) -> dt.date:
        """The last of the days that a task takes, counted in days on which it may be done."""
        last = first
        for _ in range(max(1, self._days(task.days, parts[0])) - 1):
            last = self._ahead(task, parts, last + ONE) or last
        return last

    # ---------- before the start ----------
    def _before(self, nodes: Mapping[Node, list[Part]]) -> dict[Node, _Placed]:
        """Tasks before the start: forward from today, backward from the start, then each as late as it should be."""
        early = {node: parts for node, parts in nodes.items() if self.k.tasks[node[0]].anchor == "today"}
        self.waits = waits = {
            node: {n: days for n, days in self._waits_for(node, nodes).items() if n in early}
            for node in early
        }
        order = [
            node
            for node in TopologicalSorter({node: list(each) for node, each in waits.items()}).static_order()
            if node in early
        ]
        soonest: dict[Node, tuple[dt.date, dt.date]] = {}
        why: dict[Node, Node | None] = {}
        for node in order:
            task, parts = self.k.tasks[node[0]], early[node]
            if (done := self._done(node, parts)) is not None:
                soonest[node], why[node] = (done, done), None
                continue
            asked = [
                (soonest[n][1] + dt.timedelta(days=self._gap(n, early, days)), n)
                for n, days in waits[node].items()
                if n in soonest
            ]
            at, why[node] = max(asked, default=(self.today, None))
            first = self._ahead(task, parts, max(at, self.today))
            if first is None:
                continue
            soonest[node] = (first, self._end(task, parts, first))
            if first > max(at, self.today):
                self.moved.add(node)
        for part in self.parts:
            self._start(part, early, soonest, why)
        latest = self._latest(early, waits, order)
        return self._place_before(early, waits, order, soonest, latest)

    def _done(self, node: Node, parts: Sequence[Part]) -> dt.date | None:
        """The day on which the record says that a task was done; None for what is done again and again."""
        return None if self.k.tasks[node[0]].every is not None else self._last_done(node, parts)

    def _last_done(self, node: Node, parts: Sequence[Part]) -> dt.date | None:
        """The last day on which the record says that it was done: before the start what comes before it, and of what was begun what came since."""
        since = None
        if self.k.tasks[node[0]].anchor != "today":
            if parts[0].draft.remedy != "carry-on":
                return None
            since = parts[0].draft.start
        return done_on(self.filled, node[0], parts[0].zone if node[1] else "", since)

    def _recorded(self, node: Node, parts: Sequence[Part], done: dt.date) -> _Placed:
        return _Placed(
            node,
            self.k.tasks[node[0]],
            parts[0],
            done,
            done,
            times=[done],
            why="The record says that it is done.",
            done=done,
        )

    def _holders(self, part: Part, early: Mapping[Node, list[Part]]) -> list[Node]:
        return [node for node, parts in early.items() if part in parts and self.k.tasks[node[0]].holds]

    def _start(
        self,
        part: Part,
        early: Mapping[Node, list[Part]],
        soonest: Mapping[Node, tuple[dt.date, dt.date]],
        why: Mapping[Node, Node | None],
    ) -> None:
        """The day on which a part starts: the choice's own where all can be done before it, else the first that fits, and a clash."""
        wanted = part.draft.start or self.today
        if part.draft.remedy == "carry-on":
            self.starts[part.code] = wanted
            return
        first, cause, wait = self.today, None, 0
        for node in self._holders(part, early):
            if node not in soonest:
                continue
            gap = self._gap(node, early, self._days(self.k.tasks[node[0]].before_start, part))
            ready = soonest[node][1] + dt.timedelta(days=gap)
            late = self._no_sooner(node, early[node], wanted, soonest[node][1])
            if late + dt.timedelta(days=gap) > wanted:
                # A bed is not made before a season of play and sown after it.
                ready = late + dt.timedelta(days=gap)
                self.moved.add(node)
            if ready > first:
                first, cause, wait = ready, node, gap
        sprayed = self._residue(part)
        if sprayed is not None and sprayed > first:
            first, cause = sprayed, None
        start = self._allowed_start(part, max(wanted, first))
        if part.draft.remedy == "establish" and start > wanted:
            chain = self._chain(cause, why)
            if cause is None and sprayed is not None:
                because = f"Ground on which the old plants were sprayed is to wait until {day(sprayed)}."
            else:
                because = self._because(chain, wait, early) if cause is not None else ""
            if start > max(wanted, first) or self.moved.intersection(chain):
                because = f"{because} Days lie between on which no work is allowed or somebody plays.".strip()
            start = self._clash(part, wanted, start, chain, because)
        self.starts[part.code] = start

    def _no_sooner(self, node: Node, parts: Sequence[Part], start: dt.date, done: dt.date) -> dt.date:
        """The day on which a task is done that may not be done long before the start, where `done` is the day on which it could be."""
        task = self.k.tasks[node[0]]
        floor = start - dt.timedelta(
            days=max(self._days(task.soonest, parts[0]), self._days("soonest-bed", parts[0]))
        )
        if task.soonest is None or floor <= done or self._done(node, parts) is not None:
            return done
        first = self._ahead(task, parts, floor)
        return done if first is None else self._end(task, parts, first)

    def _allowed_start(self, part: Part, date: dt.date) -> dt.date:
        end = date + HORIZON
        while date < end and not (
            can_work(self.filled, date)
            and (not self._shut(part) or is_free(self.filled, part.zone, date) is not False)
        ):
            date += ONE
        return date

    def _residue(self, part: Part) -> dt.date | None:
        """The first day after the wait for a weed killer that was used before the plan; None where none was."""
        weeks, wait = (
            part.facts.get(f"zone.weeks-since.{_KILLER}"),
            amount(self.c, _KILLER_WAIT, part.facts, "day"),
        )
        if not isinstance(weeks, float) or wait is None:
            return None
        return self.today + dt.timedelta(days=math.ceil(round(wait - weeks * 7, 1)))

    def _chain(self, last: Node | None, why: Mapping[Node, Node | None]) -> list[Node]:
        """The tasks of which each waited for the one before, in order."""
        found: list[Node] = []
        while last is not None:
            found.append(last)
            last = why.get(last)
        return found[::-1]

    def _because(self, chain: Sequence[Node], wait: int, early: Mapping[Node, list[Part]]) -> str:
        """Which tasks, and which waiting time, put the start off; `wait` is that from the last of them to the start."""
        names = [f"'{self.k.tasks[key].title}'" for key, _ in chain]
        gaps = [self._gap(node, early, self.waits[after].get(node, 0)) for node, after in pairwise(chain)] + [
            wait
        ]
        days = max(gaps)
        longest = chain[gaps.index(days)]
        if len(names) == 1:
            return f"{names[0]} must come {_count(max(1, days))} before it."
        said = f"{', then '.join(names)} must come before it"
        return (
            f"{said}."
            if days <= 1
            else f"{said}, and {_count(days)} pass after '{self.k.tasks[longest[0]].title}'."
        )

    def _clash(
        self, part: Part, wanted: dt.date, fits: dt.date, chain: Sequence[Node], because: str
    ) -> dt.date:
        """Write down what does not fit; the day on which the plan starts instead, inside a window where the wanted day was."""
        draft, start = part.draft, fits
        said = f"The choice starts on {day(wanted)}, and that is {_count((fits - wanted).days)} too soon. {because}"
        if self.filled.site is None:
            where = f"The first start that fits is {day(start)}."
        else:
            windows = self.filled.windows(draft.key, draft.variant)
            before, after = (
                windows.quality_on(dates.day_of_year(wanted)),
                windows.window_on(dates.day_of_year(fits)),
            )
            if after is not None:
                closes = dates.date_on_or_after(after.closes, fits)
                where = f"The first start that fits is {day(fits)}, inside the {after.quality} window until about {day(closes)}."
            elif before == "closed":
                where = f"The first start that fits is {day(fits)}. No window is open on either day."
            else:
                following = windows.next_opening(dates.day_of_year(fits), (before,)) or windows.next_opening(
                    dates.day_of_year(fits)
                )
                if following is None:
                    where = f"The first start that fits is {day(fits)}, and by then the window has closed. Choose another way."
                else:
                    start = self._allowed_start(part, dates.date_on_or_after(following.opens, fits))
                    where = f"By {day(fits)} the window has closed; the next opens on about {day(start)}. The plan is made for that day: choose again if you cannot wait."
        late = self._too_late(part, start)
        self.clashes.append(out.Clash(
            zone=part.name, tasks=[self._code(node) for node in chain], days_short=(fits - wanted).days, first_start=start.isoformat(), text=f"{said} {where}{late}",
        ))  # fmt: skip
        return start

    def _too_late(self, part: Part, start: dt.date) -> str:
        """Whether the later start misses the date wanted, at the late end."""
        play_by = self.filled.situation.dates.play_by
        if play_by is None or self.filled.site is None:
            return ""
        stage = "light-use" if self.filled.situation.dates.first_use == "training" else "full-play"
        late = self.c.measures.readiness(part.draft.key, start, part.draft.zone)[stage].late
        if late is None or start + dt.timedelta(days=late) <= play_by:
            return ""
        return f" In a slow year it is then not ready by {day(play_by)}."

    def _latest(
        self,
        early: Mapping[Node, list[Part]],
        waits: Mapping[Node, Mapping[Node, int]],
        order: Sequence[Node],
    ) -> dict[Node, dt.date]:
        """The last day to begin each task that the start waits for, backward from the starts."""
        latest: dict[Node, dt.date] = {}
        for node in reversed(order):
            task, parts = self.k.tasks[node[0]], early[node]
            ends: list[dt.date] = []
            if task.holds:
                ends = [
                    self.starts[part.code]
                    - dt.timedelta(days=self._gap(node, early, self._days(task.before_start, part)))
                    for part in parts
                ]
            ends += [
                latest[n] - dt.timedelta(days=self._gap(node, early, each[node]))
                for n, each in waits.items()
                if node in each and n in latest
            ]
            if not ends:
                continue
            first = self._back(task, parts, min(ends))
            for _ in range(max(1, self._days(task.days, parts[0])) - 1):
                first = self._back(task, parts, first - ONE)
            latest[node] = first
        return latest

    def _place_before(
        self, early: Mapping[Node, list[Part]], waits: Mapping[Node, Mapping[Node, int]], order: Sequence[Node],
        soonest: Mapping[Node, tuple[dt.date, dt.date]], latest: Mapping[Node, dt.date],
    ) -> dict[Node, _Placed]:  # fmt: skip
        placed: dict[Node, _Placed] = {}
        for node in order:
            if node not in soonest:
                continue
            task, parts = self.k.tasks[node[0]], early[node]
            if (done := self._done(node, parts)) is not None:
                placed[node] = self._recorded(node, parts, done)
                continue
            asked = [
                (placed[n].last + dt.timedelta(days=self._gap(n, early, days)), n)
                for n, days in waits[node].items()
                if n in placed
            ]
            at, cause = max(asked, default=(self.today, None))
            floor = self.today
            if task.soonest is not None:
                floor = min(self.starts[part.code] for part in parts) - dt.timedelta(
                    days=self._days(task.soonest, parts[0])
                )
            if node in latest:
                floor = min(floor, latest[node])
            first = self._ahead(task, parts, max(at, floor, self.today)) or soonest[node][0]
            last = self._end(task, parts, first)
            row = _Placed(
                node,
                task,
                parts[0],
                first,
                last,
                latest.get(node),
                after=[n for n in waits[node] if n in placed],
            )
            if task.last is not None:
                row.last = self._back(
                    task, parts, max(last, first + dt.timedelta(days=self._days(task.last, parts[0])))
                )
            self._repeat(row, parts)
            if first > max(at, floor, self.today):
                row.why = "The first day on which work is allowed and the ground is free."
            elif cause is not None and at >= floor and at > self.today:
                row.why = f"After '{self.k.tasks[cause[0]].title}'."
            elif floor > self.today:
                row.why = f"{_count((self.starts[parts[0].code] - first).days)} before the start on {day(self.starts[parts[0].code])}."
            elif task.holds and node in latest:
                row.why = (
                    "At once: the start waits for it." if latest[node] <= first else "As soon as you can."
                )
            else:
                row.why = "As soon as you can; the start does not wait for it."
            placed[node] = row
        return placed

    # ---------- the days that follow from the start ----------
    def _events_of(self, part: Part) -> dict[str, Span]:
        start = self.starts[part.code]
        found: dict[str, Span] = {"today": (self.today, self.today), "start": (start, start)}
        site = self.filled.site
        if part.draft.new_grass and site is not None:
            found.update(self._establishing(part, start))
        elif part.draft.remedy == "recover":
            early, late = (part.facts.get(f"zone.recovery-days.{end}") for end in ("early", "late"))
            if isinstance(early, float) and isinstance(late, float):
                found["recovered"] = found["light-use"] = (
                    start + dt.timedelta(days=early),
                    start + dt.timedelta(days=late),
                )
        if part.season is not None and site is not None:
            wait = site.wait_for_growth(part.season, dates.day_of_year(start))
            if wait is not None:
                found["growing"] = (start + dt.timedelta(days=wait),) * 2
            spring = (
                start
                if part.draft.remedy == "wait"
                else dates.date_on_or_after(site.year.coldest, start + ONE)
            )
            wait = site.wait_for_growth(part.season, dates.day_of_year(spring))
            if wait is not None:
                found["growth"] = (spring + dt.timedelta(days=wait),) * 2
        return found

    def _establishing(self, part: Part, start: dt.date) -> Iterator[tuple[str, Span]]:
        """First green, rooting, first cut, cover and the dates of use, each an early and a late day, in order."""
        site, c = self.filled.site, self.filled.library.constants
        assert site is not None
        draft, made, at = part.draft, part.made_from, dates.day_of_year(start)
        wake = start
        if draft.variant == "dormant":
            window = self.filled.windows(draft.key, "dormant").window_on(at)
            if window is not None and window.quality == "dormant":
                wake = dates.date_on_or_after(window.closes, start) + ONE
        yield "wetting", (wake, wake)

        def span(days: Sequence[float | None], of: Span = (start, start)) -> Span | None:
            low, high = days
            if low is None or high is None:
                return None
            return of[0] + dt.timedelta(days=math.ceil(low)), of[1] + dt.timedelta(days=math.ceil(high))

        up: Span | None = None
        if made == "seed":
            soon, late = growth.germination_days(site, c.plants, draft.plant, dates.day_of_year(wake))
            # Some seed always lags behind its kind's own warmth: the late end is never before the published one.
            lags = self.k.value("germination-days-high", str(part.facts["option.lead-grass"]))
            up = span(
                (soon, max((days for days in (late, lags) if days is not None), default=None)), (wake, wake)
            )
        elif made == "vegetative":
            up = span([self.k.value(f"sprig-damp-days-{end}") for end in ("low", "high")])
        if up is not None:
            yield "emergence", up
        ready = {
            stage: growth.readiness(site, c.plants, draft.key, at, stage)
            for stage in ("rooted", "first-cut", "cover")
        }
        ready.update(self.c.measures.readiness(draft.key, start, draft.zone))
        found = {stage: span((row.early, row.late)) for stage, row in ready.items()}
        after = up or (start, start)
        cut, low = found["first-cut"], self.k.value("first-cut-after-low", made)
        if cut is None:
            found["first-cut"] = span(
                [self.k.value(f"first-cut-after-{end}", made) for end in ("low", "high")], after
            )
        elif (least := span((low, low), after)) is not None:
            found["first-cut"] = max(cut[0], least[0]), max(cut[1], least[1])
        if made != "sod":
            del found["rooted"]
            self._after_cuts(part, found)
        for stage, days_ in found.items():
            if days_ is not None:
                yield stage, days_

    def _after_cuts(self, part: Part, found: dict[str, Span | None]) -> None:
        """Put off the days of use until the cuts that their opening asks for can be made, one after another at the plan's pace."""
        site, cut = self.filled.site, found["first-cut"]
        if site is None or cut is None or part.season is None:
            return
        rules = site.rules
        for stage, cuts in (("light-use", rules.mows_light), ("full-play", rules.mows_full)):
            days_ = found.get(stage)
            wait = site.days_of_growth(
                part.season, dates.day_of_year(cut[0]), (cuts - 1) * rules.cut_every_days
            )
            if days_ is not None and wait is not None:
                first = max(days_[0], cut[0] + dt.timedelta(days=math.ceil(wait)))
                found[stage] = first, max(first, days_[1])

    # ---------- from the start on ----------
    def _place_after(self, nodes: Mapping[Node, list[Part]], placed: dict[Node, _Placed]) -> None:
        late = {node: parts for node, parts in nodes.items() if self.k.tasks[node[0]].anchor != "today"}
        waits = {node: self._waits_for(node, nodes) for node in late}
        for node in TopologicalSorter({node: list(each) for node, each in waits.items()}).static_order():
            if node in late:
                row = self._one_after(node, late[node], waits[node], placed)
                if row is not None:
                    placed[node] = row

    def _one_after(
        self, node: Node, parts: list[Part], waits: Mapping[Node, int], placed: Mapping[Node, _Placed]
    ) -> _Placed | None:
        task = self.k.tasks[node[0]]
        if (done := self._done(node, parts)) is not None:
            return self._recorded(node, parts, done)
        spans = [
            (self.events[part.code][task.anchor], part)
            for part in parts
            if task.anchor in self.events[part.code]
        ]
        if not spans:
            return None
        (early, late), part = min(spans, key=lambda each: (each[0], each[1].code))
        add = self._days(task.from_, part)
        first = early + dt.timedelta(days=add)
        down = max(
            (row.last for row in placed.values() if row.task.starts and row.part.code == part.code),
            default=None,
        )
        if down is not None and task.anchor not in ("start", "wetting"):
            # Nothing is looked at or opened before the last of it lies.
            first, late = max(first, down), max(late, down)
        until = self._until(task, part)
        last = (
            late + dt.timedelta(days=self._days(task.last, part))
            if task.last
            else until or late + dt.timedelta(days=add)
        )
        why = self._why(task.anchor, add)
        for n, days in waits.items():
            if n in placed and placed[n].first + dt.timedelta(days=days) > first:
                first, why = placed[n].first + dt.timedelta(days=days), f"After '{self.k.tasks[n[0]].title}'."
        if task.every is not None and (done := self._last_done(node, parts)) is not None:
            first = max(first, done + dt.timedelta(days=max(1, self._days(task.every, part))))
        if task.feeds and task.from_ is not None and (fed := self._last_fed(part)) is not None:
            gap = fed + dt.timedelta(days=self._days("feed-gap", part))
            if gap > first:
                first, why = gap, f"{self._days('feed-gap', part)} days after the feed of {day(fed)}."
        free = self._ahead(task, parts, max(first, self.today))
        if free is None:
            return None
        if free > first:
            why = "Put off to the first day on which " + (
                "the grass grows and work is allowed." if task.grows else "work is allowed."
            )
        if part.draft.remedy == "carry-on" and last < self.today and task.stage != "open":
            # Its time has passed, and nobody wrote down whether it was done.
            return None
        ends = self.ends.get(part.code)
        if (task.until is not None and last < free) or (ends is not None and free >= ends):
            # What would begin only after its own end, or after new work takes the ground, is not done at all.
            return None
        last = self._back(
            task,
            parts,
            min(max(last, self._end(task, parts, free)), ends - ONE if ends is not None else dt.date.max),
        )
        row = _Placed(
            node, task, part, free, max(last, free), why=why, after=[n for n in waits if n in placed]
        )
        if task.starts:
            row.latest = free
            row.after += sorted(
                n
                for n in placed
                if self.k.tasks[n[0]].anchor == "today" and self.k.tasks[n[0]].holds and part in self.held[n]
            )
        self._repeat(row, parts)
        return row

    def _until(self, task: TaskTemplate, part: Part) -> dt.date | None:
        if task.until is None:
            return None
        events = self.events[part.code]
        for event in (task.until, "light-use", "cover", "first-cut"):
            if event in events:
                return events[event][1]
        return None

    def _why(self, anchor: str, add: int) -> str:
        name, alone = _EVENTS[anchor]
        return f"{_count(add)} after {name}." if add else alone

    def _repeat(self, row: _Placed, parts: Sequence[Part]) -> None:
        """The days on which a task is done: every so many days, or its own days in a row."""
        task = row.task
        if task.every is not None:
            row.every = max(1, self._days(task.every, row.part))
            due = row.first
            while due <= row.last:
                done = self._ahead(task, parts, due)
                if done is None or done > row.last:
                    break
                row.times.append(done)
                due = max(due + dt.timedelta(days=row.every), done + ONE)
            return
        date: dt.date | None = row.first
        for _ in range(max(1, self._days(task.days, row.part))):
            if date is not None:
                row.times.append(date)
                date = self._ahead(task, parts, date + ONE)

    # ---------- feeding ----------
    def _last_fed(self, part: Part) -> dt.date | None:
        return max((date for date, _ in self._feeds(part)), default=None)

    def _feeds(self, part: Part) -> list[tuple[dt.date, float]]:
        """The feeds of a part with their nitrogen in g/m2: those told, and those that the record says were done, at their task's own dose.

        A step of feeding that is no task of the plan has no dose: it counts for the waits alone. What is told and recorded on one day counts once.
        """
        if part.zone not in self.fed:
            told = self.filled.situation.history.fertilizers or []
            feeds = [
                (fed.date, fed.n_g_m2 or 0.0)
                for fed in told
                if of_zone(fed.zone, part.zone, self.filled.zones)
            ]
            for row in self.filled.situation.done:
                task = self.k.tasks.get(row.task)
                is_feed = row.task == "fertilise" or (task is not None and task.feeds is not None)
                if (
                    is_feed
                    and row.passed is not False
                    and of_zone(row.zone, part.zone, self.filled.zones)
                    and row.date not in {date for date, _ in feeds}
                ):
                    dose = (
                        amount(self.c, task.feeds, part.facts, "g/m2")
                        if task is not None and task.feeds is not None
                        else None
                    )
                    feeds.append((row.date, dose or 0.0))
            self.fed[part.zone] = feeds
        return self.fed[part.zone]

    def _nitrogen(self, row: _Placed) -> tuple[float, str] | None:
        """Nitrogen of a task in all, g/m2, within what a year allows beside what was given; and a sentence where it is cut."""
        if row.task.feeds is None:
            return None
        each = amount(self.c, row.task.feeds, row.part.facts, "g/m2")
        if each is None:
            return None
        if row.done is not None:
            return each * len(row.times), ""
        grass = row.part.facts.get("option.lead-grass", row.part.facts.get("zone.main-grass"))
        most = (
            self.k.value("nitrogen-year-high", grass)
            if isinstance(grass, str) and grass in self.k.grasses
            else None
        )
        feeds, given = self._feeds(row.part), 0.0
        for date in row.times:
            year = sum(n for fed, n in feeds if 0 <= (date - fed).days < dates.YEAR)
            left = each if most is None else max(0.0, min(each, most - year))
            feeds.append((date, left))
            given += left
        wanted = each * len(row.times)
        if most is None or given >= wanted - 1e-9:
            return wanted, ""
        cap = show(most, "g/m2", self.c.system)
        if given <= 0:
            return 0.0, f"Leave this feed out: the {cap} of nitrogen that a year takes are given already."
        return (
            given,
            f"Give only {show(given, 'g/m2', self.c.system)} in all: a year takes {cap}, and the rest is given already.",
        )

    # ---------- rows ----------
    def _code(self, node: Node) -> str:
        return f"{node[0]}/{node[1] or 'field'}"

    def text(self, written: str, facts: Mapping[str, Fact]) -> str:
        """A text of the tables with its holes filled; a sentence whose figures are not known is left out."""
        return self.c.say.sentences(self.c.book.template(written), facts, self.c.types)

    def _hours(self, row: _Placed, nodes: Mapping[Node, list[Part]]) -> out.Hours | None:
        """Hours of work in all: by the area of every part that shares the task, or by the go."""
        task = row.task
        if task.hours_low is None or task.hours_high is None:
            return None
        ends: list[float] = []
        goes = len(row.times) if task.every is not None else 1
        for written in (task.hours_low, task.hours_high):
            value = self.k.values[written.partition("[")[0]]
            held = amount(self.c, written, row.part.facts, value.unit)
            if held is None:
                return None
            if value.unit == "h/1000m2":
                areas = [part.area for part in nodes[row.node]]
                if None in areas:
                    return None
                held *= sum(area for area in areas if area is not None) / 1000
            ends.append(round(held * goes, 2))
        return out.Hours(low=min(ends), high=max(ends))

    def _task(
        self, row: _Placed, nodes: Mapping[Node, list[Part]], placed: Mapping[Node, _Placed]
    ) -> out.Task:
        task, part = row.task, row.part
        text = self.text(task.text, part.facts)
        fed = self._nitrogen(row)
        quantity, unit = None, ""
        if fed is not None:
            text = f"{fed[1]} {text}".strip()
            if part.area is not None:
                quantity, unit = round(fed[0] * part.area / 1000, 2), "kg of nitrogen"
        shown = {
            *task.cautions,
            *(code for each in nodes[row.node] for code in task.cautions_if if code in each.cautions),
        }
        order_by = row.latest
        if task.lead is None:
            leads = [self._gap(n, nodes, 0) for n in row.after if placed[n].task.lead is not None]
            order_by = (
                None
                if row.latest is None or not leads
                else max(self.today, row.latest - dt.timedelta(days=max(leads)))
            )
        return out.Task(
            **{"from": row.first.isoformat()}, code=self._code(row.node), template=row.node[0], zone="" if task.once else part.name, stage=task.stage,
            task=task.title, text=text, until=row.last.isoformat(), latest=row.latest.isoformat() if row.latest else None,
            order_by=order_by.isoformat() if order_by else None, why_then=row.why, after=sorted(self._code(n) for n in row.after),
            every_days=row.every, times=len(row.times) if row.every is not None else None, needs=list(task.tools), who=task.who, hours=self._hours(row, nodes),
            amount=quantity, unit=unit, cautions=sorted(shown, key=lambda code: (self.k.cautions[code].order, code)), sources=sorted(task.sources),
            done=row.done.isoformat() if row.done else None,
        )  # fmt: skip

    def _water_task(self, wetting: Wetting) -> tuple[out.Task, float | None]:
        """The task of a stage of watering, and the hours that it takes in a week."""
        part, row = wetting.part, wetting.row
        m = self.filled.situation.means
        weekly: float | None = None
        if m.water == "hand hose" and m.flow_l_min and wetting.litres_day is not None:
            weekly = 7 * wetting.litres_day / m.flow_l_min / 60
        elif m.water == "travelling sprinkler":
            weekly = (
                7
                * min(row.times_a_day, row.mm_a_week / 7 / row.mm_each)
                * (self.k.value("work-sprinkler-visit") or 0)
            )
        elif m.water in ("in-ground sprinklers", "none"):
            weekly = 0.0
        whole = None if weekly is None else round(weekly * ((wetting.last - wetting.first).days + 1) / 7, 2)
        stage: Literal["establish", "grow"] = (
            "establish" if self.k.watering[wetting.key].opens in ("start", "wetting") else "grow"
        )
        first = wetting.first if can_work(self.filled, wetting.first) else self._free(wetting.first)
        last = max(
            first, wetting.last if can_work(self.filled, wetting.last) else self._free_before(wetting.last)
        )
        return out.Task(
            **{"from": first.isoformat()}, code=f"{wetting.key}/{part.code}", template=wetting.key, zone=part.name, stage=stage, task=f"Rain alone {row.stage}" if m.water == "none" else f"Water {row.stage}",  # type: ignore[arg-type]
            text=row.text, until=last.isoformat(), why_then=self._why(self.k.watering[wetting.key].opens, 0),
            every_days=None if m.water == "none" else wetting.every_days, needs=["hose"] if m.water == "hand hose" else [], who="volunteer",
            hours=None if whole is None else out.Hours(low=whole, high=whole), cautions=sorted(wetting.cautions, key=lambda code: (self.k.cautions[code].order, code)),
            sources=row.sources,
        ), weekly  # fmt: skip

    def _free(self, date: dt.date) -> dt.date:
        while not can_work(self.filled, date) and date < self.today + HORIZON:
            date += ONE
        return date

    def _free_before(self, date: dt.date) -> dt.date:
        while not can_work(self.filled, date) and date > self.today:
            date -= ONE
        return date

    def _dry_days(self, wettings: Iterable[Wetting]) -> None:
        """A clash where the ground must stay wet and nobody may be there."""
        for wetting in wettings:
            if (
                self.k.watering[wetting.key].kind != "wet"
                or wetting.row.mm_a_week <= 0
                or self.filled.situation.means.water in ("in-ground sprinklers", "none")
            ):
                continue
            count = (wetting.last - wetting.first).days + 1
            barred = [
                date
                for n in range(count)
                if not can_work(self.filled, date := wetting.first + dt.timedelta(days=n))
            ]
            if barred:
                start = self.starts[wetting.part.code]
                after = self._allowed_start(wetting.part, max(start, barred[-1] + ONE))
                self.clashes.append(out.Clash(
                    zone=wetting.part.name, tasks=[f"{wetting.key}/{wetting.part.code}"], days_short=len(barred), first_start=after.isoformat(),
                    text=f"New ground must be wetted every day until {day(wetting.last)}, and on {_count(len(barred))} from {day(barred[0])} no work is allowed. "
                    f"Let somebody in to water, set a timer, or start on {day(after)}.",
                ))  # fmt: skip

    # ---------- weeks ----------
    def _weeks(
        self,
        done: Sequence[tuple[out.Task, Sequence[dt.date]]],
        wettings: Sequence[tuple[Wetting, out.Task, float | None]],
    ) -> list[out.Week]:
        low: dict[dt.date, float] = {}
        high: dict[dt.date, float] = {}
        codes: dict[dt.date, dict[str, None]] = {}
        for task, days_ in done:
            for date in days_:
                week = monday(date)
                codes.setdefault(week, {})[task.code] = None
                if task.hours is not None:
                    low[week] = low.get(week, 0.0) + task.hours.low / len(days_)
                    high[week] = high.get(week, 0.0) + task.hours.high / len(days_)
        litres: dict[dt.date, float] = {}
        for wetting, task, weekly in wettings:
            date = wetting.first
            while date <= wetting.last:
                week = monday(date)
                codes.setdefault(week, {})[task.code] = None
                if weekly is not None:
                    low[week] = low.get(week, 0.0) + weekly / 7
                    high[week] = high.get(week, 0.0) + weekly / 7
                if wetting.litres_day is not None:
                    litres[week] = litres.get(week, 0.0) + wetting.litres_day
                date += ONE
        m = self.filled.situation.means
        each = self.k.value("helper-hours")
        there = (
            m.work_hours_per_week
            if m.work_hours_per_week is not None
            else m.helpers * each
            if m.helpers is not None and each is not None
            else None
        )
        rows: list[out.Week] = []
        for week in sorted(codes):
            top = round(high.get(week, 0.0), 2)
            water = round(litres[week]) if week in litres else None
            visits, missing = self._visits(week, [wetting for wetting, _, _ in wettings])
            rows.append(out.Week(
                monday=week.isoformat(), tasks=list(codes[week]), hours=out.Hours(low=round(low.get(week, 0.0), 2), high=top), hours_there_are=there,
                hours_short=None if there is None or top <= there else round(top - there, 2), litres=water,
                water_hours=None if water is None or not m.flow_l_min else round(water / m.flow_l_min / 60, 1), visits=visits, visits_short=missing,
            ))  # fmt: skip
        return rows

    def _visits(self, week: dt.date, wettings: Sequence[Wetting]) -> tuple[float | None, float | None]:
        """The most visits that a day of the week wants, and how many of the week's visits nobody can make."""
        m = self.filled.situation.means
        wanted = [
            max((w.visits for w in wettings if w.on(week + dt.timedelta(days=n))), default=0.0)
            for n in range(7)
        ]
        if not any(wanted):
            return None, None
        made = [m.wettings_weekday] * 5 + [
            m.wettings_weekend if m.wettings_weekend is not None else m.wettings_weekday
        ] * 2
        short = sum(max(0.0, want - can) for want, can in zip(wanted, made, strict=True) if can is not None)
        return max(wanted), short if short > 0 else None

    # ---------- the whole ----------
    def prepare(self) -> dict[Node, _Placed]:
        """What comes before the starts, placed; the starts themselves are then known."""
        self.held = self._nodes()
        return self._before(self.held)

    def plan(self) -> Plan:
        """The plan."""
        if not self.parts:
            return Plan()
        placed = self.prepare()
        nodes = self.held
        self.events = {part.code: self._events_of(part) for part in self.parts}
        self.ends = {part.zone: self.starts[part.code] for part in self.parts if part.later}
        self._place_after(nodes, placed)
        rows = sorted(
            placed.values(),
            key=lambda row: (
                row.first,
                STAGES.index(row.task.stage),
                list(self.k.tasks).index(row.node[0]),
                row.node,
            ),
        )
        done = [(self._task(row, nodes, placed), row.times) for row in rows]
        waterer = Waterer(self.c, self.text, lambda held, unit: show(held, unit, self.c.system))
        wettings = [
            (w, *self._water_task(w))
            for part in self.parts
            for w in waterer.stages(part, self.events[part.code], self.ends.get(part.code))
        ]
        self._dry_days(w for w, _, _ in wettings)
        tasks = sorted(
            [*(task for task, _ in done), *(task for _, task, _ in wettings)],
            key=lambda task: (task.from_, STAGES.index(task.stage)),
        )
        main = max(self.parts, key=lambda part: (not part.later, part.area or 0.0, part.code))
        year, cautions = year_rows(self.c, main, opening_day(main, self.events[main.code]), self.text)
        hours = [
            row for part in self.parts for row in play_hours(self.c, part, self.events[part.code])
            if part.code not in self.ends or row.from_ < self.ends[part.code].isoformat()
        ]  # fmt: skip
        latest = [task.latest for task in tasks if task.latest is not None]
        watering = [] if self.filled.situation.means.water == "none" else [w.row for w, _, _ in wettings]
        return Plan(
            tasks=tasks, weeks=self._weeks([each for each in done if each[0].done is None], wettings), watering=watering, clashes=self.clashes, decide_by=min(latest, default=None),
            hours=hours, year=year, cautions=frozenset(cautions.union(*(task.cautions for task in tasks))),
            sources=frozenset([key for task in tasks for key in task.sources] + [key for water in watering for key in water.sources] + [key for each in year for key in each.sources]),
        )  # fmt: skip


def _count(days: int) -> str:
    return "1 day" if days == 1 else f"{days} days"
