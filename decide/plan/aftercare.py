"""What new ground asks for once it is down, and after it opens: water by stage, hours of play, the year that keeps it alive."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from decide.decision.consultation import Consultation
from decide.decision.rank import Weighed
from decide.engine.language import Fact
from decide.facts.draft import START_KINDS, Draft, play_months
from decide.knowledge.schema_care import WaterStage, YearTask
from decide.measure import area, dates, water
from decide.model import advice as out
from decide.model.units import convert
from decide.model.wording import number
from decide.model.written import MONTHS

Span = tuple[dt.date, dt.date]
ONE: Final = dt.timedelta(days=1)
TIMED_WATER: Final = "in-ground sprinklers"
STANDING: Final = "standing"


def amount(consultation: Consultation, written: str, facts: Mapping[str, Fact], unit: str) -> float | None:
    """The number of a value as a template names it ("name", "name[fact]" or "name[key]"), in `unit`; None without data."""
    name, _, index = written.rstrip("]").partition("[")
    known = consultation.knowledge.values[name]
    key = index if index in known.used else str(facts.get(index, "")) if index else ""
    held = consultation.knowledge.value(name, key)
    return None if held is None else convert(held, known.unit, unit)


@dataclass(frozen=True)
class Part:
    """One chosen option of one zone on its way into a plan: `later` marks the renovation that follows a stopgap."""

    zone: str
    name: str
    w: Weighed
    later: bool
    area: float | None
    facts: Mapping[str, Fact]
    needs: frozenset[str]
    cautions: frozenset[str]

    @property
    def draft(self) -> Draft:
        """The option."""
        return self.w.draft

    @property
    def code(self) -> str:
        """Stable from run to run: the zone, and whether it is the renovation after a stopgap."""
        return f"{self.zone}/then" if self.later else self.zone

    @property
    def season(self) -> str | None:
        """Season type of the grass that is to grow; None where it is not known."""
        name = "option.season-type" if self.draft.new_grass else "zone.main-season-type"
        return str(self.facts[name]) if name in self.facts else None

    @property
    def made_from(self) -> str:
        """seed, sod, vegetative, or standing where no new grass is put in."""
        return str(self.facts.get("option.made-from", STANDING))


@dataclass(frozen=True)
class Wetting:
    """One stage of watering of one part, with what the weeks need of it: mm a day beyond rain, visits a day, litres a day, and days from one watering to the next."""

    part: Part
    key: str
    row: out.Watering
    first: dt.date
    last: dt.date
    visits: float
    litres_day: float | None
    cautions: tuple[str, ...]
    every_days: float

    def on(self, date: dt.date) -> bool:
        """Whether the stage runs on that day."""
        return self.first <= date <= self.last


# ---------- water ----------
@dataclass(frozen=True)
class _Lot:
    """Wettings on a day without rain, mm in each, and how many of them follow one another on a watering day."""

    a_day: float
    each: float
    goes: int = 1


class Waterer:
    """Works out how each part is watered, stage by stage."""

    def __init__(
        self,
        consultation: Consultation,
        text: Callable[[str, Mapping[str, Fact]], str],
        shown: Callable[[float, str], str],
    ) -> None:
        self.c, self.text, self.shown = consultation, text, shown
        self.filled, self.k = consultation.filled, consultation.knowledge
        self.means = consultation.filled.situation.means

    def stages(
        self, part: Part, events: Mapping[str, Span], ends: dt.date | None = None
    ) -> Iterator[Wetting]:
        """The stages of a part, one after another, until the day on which new work takes its ground; none where climate or days are not known."""
        if (
            self.filled.site is None
            or self.filled.latitude is None
            or self.filled.climate is None
            or part.season is None
        ):
            return
        after: dt.date | None = None
        for key, stage in self.k.watering.items():
            if part.made_from not in stage.made_from or stage.opens not in events:
                continue
            closes = events.get(stage.closes) or events.get("light-use")
            if closes is None:
                continue
            first = events[stage.opens][0] + (ONE if stage.after_opening else dt.timedelta())
            first = max(first, self.filled.today if after is None else after + ONE)
            last = closes[1] if ends is None else min(closes[1], ends - ONE)
            if last < first:
                continue
            after = last
            found = self._stage(part, key, stage, first, last)
            if found is not None:
                yield found

    def _reference(self, first: dt.date, last: dt.date) -> tuple[float, float]:
        """Mean reference evapotranspiration and mean rain of a normal year over some days, mm a day."""
        f = self.filled
        assert f.site is not None
        assert f.latitude is not None
        assert f.climate is not None
        numbers = f.library.constants.water
        count = (last - first).days + 1
        wide = water.day_range(f.climate.code, numbers)
        lost = rain = 0.0
        for step in range(count):
            at = dates.day_of_year(first + dt.timedelta(days=step))
            lost += water.evapotranspiration(
                f.site.year.normal(at), wide, water.sun_above_air(f.latitude, at)
            )
            month = dates.month_of(at)
            rain += (
                f.site.climate.rain[month - 1] / dates.MONTH_LENGTHS[month - 1]
                if f.site.climate.rain
                else 0.0
            )
        return lost / count, rain / count

    def _stage(
        self, part: Part, key: str, stage: WaterStage, first: dt.date, last: dt.date
    ) -> Wetting | None:
        numbers = self.filled.library.constants.water
        assert part.season is not None
        lost, rain = self._reference(first, last)
        share = (
            amount(self.c, stage.share, part.facts, "ratio")
            if stage.share
            else numbers.turf_coefficient[part.season]
        )
        need = lost * (share or 0.0)
        lot = self._lot(part, stage, need, first, last)
        if lot is None:
            return None
        once = stage.kind == "once"
        short = lot.a_day * lot.each if once else max(0.0, 7 * (need - rain))
        litres = None if part.area is None else water.litres_to_send(part.area, lot.each, numbers.efficiency)
        flow = self.means.flow_l_min
        minutes = None if litres is None or not flow else litres / flow
        visits = (
            float(math.ceil(lot.a_day))
            if short > 0 and self.means.water not in (TIMED_WATER, "none")
            else 0.0
        )
        if self.means.water == "none":
            said = f"There is no water here: it lives or dies by the rain. {self.text(stage.unwatered, part.facts)}"
        else:
            said = " ".join(
                [
                    self._figures(lot, stage),
                    self.text(stage.text, part.facts),
                    *self._short(part, stage, lot, short, minutes, visits),
                ]
            )
        row = out.Watering(
            **{"from": first.isoformat()}, zone=part.name, stage=stage.stage, until=last.isoformat(), times_a_day=round(lot.a_day, 2), mm_each=round(lot.each, 1),
            mm_a_week=round(short, 1), litres_each=None if litres is None else round(litres), minutes_each=None if minutes is None else round(minutes, 1),
            text=said, sources=sorted(stage.sources),
        )  # fmt: skip
        a_day = (
            None
            if part.area is None or self.means.water == "none"
            else water.litres_to_send(part.area, short if once else short / 7, numbers.efficiency)
        )
        shown = (*stage.cautions, *(code for code in stage.cautions_if if code in part.cautions))
        return Wetting(
            part, key, row, first, last, visits, a_day, shown, max(1.0, float(round(lot.goes / lot.a_day)))
        )

    def _soil(self) -> tuple[str, bool]:
        """The soil for water, and whether it was told; sand that was brought in counts as sand."""
        ground = self.filled.situation.field
        if ground.rootzone in ("sand cap", "sand built"):
            return "sand", True
        return ground.soil or "loam", ground.soil is not None

    def _once_most(self) -> float:
        """The most water, mm, that the ground takes in one go without running off."""
        most = self.k.value("water-once-most", self._soil()[0]) or math.inf
        slope, steep = self.filled.situation.field.slope_percent, self.k.value("water-slope-from")
        share = self.k.value("water-slope-share")
        if slope is not None and steep is not None and share is not None and slope >= steep:
            most *= share
        return most

    def _lot(self, part: Part, stage: WaterStage, need: float, first: dt.date, last: dt.date) -> _Lot | None:
        facts, most_once = part.facts, self._once_most()

        def mm(name: str | None) -> float | None:
            return None if name is None else amount(self.c, name, facts, "mm")

        if stage.kind == "wet":
            hot = self._is_hot(first, last)
            low, high = (stage.hot_low, stage.hot_high) if hot else (stage.times_low, stage.times_high)
            least, most = mm(stage.least), mm(stage.most)
            if low is None or high is None or least is None or most is None:
                return None
            fewest, often = (self._count(name, facts) for name in (low, high))
            most = min(most, most_once)
            times = min(max(math.ceil(round(need / most, 6)), fewest), max(often, fewest))
            return _Lot(float(times), min(max(need / times, least), most))
        if stage.kind == "once":
            depth = mm(stage.most)
            if depth is None:
                return None
            times = math.ceil(round(depth / most_once, 6))
            return _Lot(float(times), depth / times)
        roots, holds = mm(stage.roots), self.k.value("soil-holds", self._soil()[0])
        drawn = self.k.value("soil-drawn")
        if roots is None or holds is None or drawn is None or need <= 0:
            return None
        depth = roots * holds * drawn
        times = math.ceil(round(depth / most_once, 6))
        if need <= depth:
            return _Lot(need * times / depth, depth / times, times)
        often = math.ceil(round(need / min(depth, most_once), 6))
        return _Lot(float(often), need / often)

    def _count(self, name: str, facts: Mapping[str, Fact]) -> int:
        value = self.k.values[name.partition("[")[0]]
        return round(amount(self.c, name, facts, value.unit) or 0)

    def _is_hot(self, first: dt.date, last: dt.date) -> bool:
        """Whether a bed dries between mild-weather wettings: by the usual day temperature in the middle of the stage."""
        f, hot = self.filled, self.k.value("hot-seed-day")
        assert f.site is not None
        assert f.climate is not None
        at = dates.day_of_year(first + (last - first) // 2)
        return (
            hot is not None
            and f.site.year.normal(at) + water.day_range(f.climate.code, f.library.constants.water) / 2 >= hot
        )

    def _figures(self, lot: _Lot, stage: WaterStage) -> str:
        each = self.shown(round(lot.each, 1), "mm")
        if stage.kind == "once":
            return (
                f"{each} in one go."
                if lot.a_day == 1
                else f"{each} at a time, {number(lot.a_day)} times that day, so that it soaks in."
            )
        every = round(lot.goes / lot.a_day)
        if every <= 1:
            times = max(lot.goes, round(lot.a_day))
            return f"Each day without rain: {'once' if times == 1 else f'{times} times'}, {each} each time."
        goes = each if lot.goes == 1 else f"{lot.goes} goes of {each} with an hour between"
        return f"Without rain: about every {every} days, {goes}."

    def _short(
        self, part: Part, stage: WaterStage, lot: _Lot, short: float, minutes: float | None, visits: float
    ) -> Iterator[str]:
        """What is lacking, in words: rain that is enough, law, hands, hours, reach."""
        m = self.means
        if short <= 0:
            yield "In a normal year rain brings what it uses: water on dry days only."
        law = self.filled.situation.limits.water_law
        if law == "banned":
            yield "Watering is barred here: ask for leave for new turf before you begin, or it hangs on rain alone."
        elif law == "restricted days" and lot.a_day >= lot.goes:
            yield "Watering is allowed on some days only, and this stage wants every day: ask for leave for new turf."
        elif law == "restricted days":
            yield "Put it on your allowed days."
        for what, made in (("weekday", m.wettings_weekday), ("weekend day", m.wettings_weekend)):
            if made is not None and visits > made:
                yield f"On a {what} somebody can come {_times(made)}, and it wants {number(visits)}: {number(visits - made)} short."
        hours = None if minutes is None else minutes * max(1.0, lot.a_day) / 60
        day_hours = self.k.value("hours-of-a-day")
        if hours is not None and day_hours is not None and hours > day_hours:
            whole = f"The whole part takes {number(round(hours))} hours at your flow"
            yield (
                f"{whole}: water another piece each day."
                if stage.kind == "deep"
                else f"{whole}: begin no more in a day than can be wetted that day."
            )
        elif hours is not None and m.watering_hours_day is not None and hours > m.watering_hours_day:
            yield f"It wants {number(round(hours, 1))} hours of water a day, and there are {number(m.watering_hours_day)}."
        reach = self.reach()
        if reach is not None and part.area is not None and part.area > reach:
            yield f"A hose that stands at the edge reaches {self.shown(reach, 'm2')} at most of {self.shown(part.area, 'm2')}: more hose, or another tap."
        if not self._soil()[1] and stage.kind == "deep":
            yield "The soil was taken as loam: sand wants less at a time and oftener, clay less at a time."

    def reach(self) -> float | None:
        """The area, m2, that a hose standing at the middle of an edge can reach: half a circle, no more than the field."""
        m, ground = self.means, self.filled.situation.field
        if m.hose_reach_m is None or m.hose_reach_m <= 0 or m.water in (TIMED_WATER, "none"):
            return None
        half = area.circle(m.hose_reach_m, 0.5)
        whole = ground.area_m2 or (
            ground.length_m * ground.width_m if ground.length_m and ground.width_m else None
        )
        return half if whole is None else min(half, whole)


def _times(count: float) -> str:
    return "not at all" if count == 0 else "once" if count == 1 else f"{number(count)} times"


# ---------- play ----------
def play_hours(c: Consultation, part: Part, events: Mapping[str, Span]) -> list[out.PlayHours]:
    """Hours of play a week from each step of opening on, and when growth ends and comes back in the year after.

    Adult hours by class of ground and season of growth; empty where the ground's drainage is not known.
    """
    ground = c.site.get("site.ground-class")
    if not isinstance(ground, str) or part.season is None or c.filled.site is None:
        return []
    steps: list[tuple[dt.date, str, float]] = []
    light, full = c.knowledge.value("play-share-light") or 0, c.knowledge.value("play-share-full") or 0
    if part.draft.new_grass:
        named = (
            ("light-use", "light use", light),
            ("full-play", "full play", full),
            ("full-fixtures", "the full fixture list", 1.0),
        )
        steps = [(events[event][1], name, share) for event, name, share in named if event in events]
    elif "recovered" in events:
        steps = [(events["recovered"][1], "full play", full)]
    elif part.draft.remedy in ("use-less", "move-play"):
        steps = [(events["start"][0], "what the ground stands", 1.0)]
    kept = {date: (name, share) for date, name, share in steps}
    rows = [_hours_row(c, part, ground, date, name, share) for date, (name, share) in sorted(kept.items())]
    if kept:
        last = max(kept)
        share = kept[last][1]
        grew = c.filled.site.grows(part.season, dates.day_of_year(last))
        for step in range(1, 366):
            date = last + dt.timedelta(days=step)
            grows = c.filled.site.grows(part.season, dates.day_of_year(date))
            if grows != grew:
                grew = grows
                rows.append(
                    _hours_row(
                        c,
                        part,
                        ground,
                        date,
                        "while it grows again" if grows else "while it does not grow",
                        share,
                    )
                )
    return rows


def _hours_row(
    c: Consultation, part: Part, ground: str, date: dt.date, name: str, share: float
) -> out.PlayHours:
    site = c.filled.site
    assert site is not None
    assert part.season is not None
    growing = site.grows(part.season, dates.day_of_year(date))
    stands = c.knowledge.value(f"hours-growing-{part.season}" if growing else "hours-resting", ground) or 0.0
    hours = round(2 * stands * share) / 2
    youth = c.knowledge.value("youth-hour-share")
    young = f", or {number(round(2 * hours / youth) / 2)} of players under 16" if youth else ""
    text = f"{name[:1].upper()}{name[1:]}: about {number(hours)} hours a week of adults{young}. Less where the photos show thinning; none on wet or frozen ground."
    return out.PlayHours(**{"from": date.isoformat()}, zone=part.name, hours=hours, text=text)


# ---------- the year ----------
def growth_level(c: Consultation, season: str, date: dt.date) -> str:
    """How a season type grows on a day of a normal year: none, some, hard or stress."""
    site = c.filled.site
    assert site is not None
    at = dates.day_of_year(date)
    if not site.grows(season, at):
        return "none"
    heat, hot = c.knowledge.value("peak-heat-least", season), c.knowledge.value("cool-stress-mean")
    if season == "cool" and hot is not None and site.year.normal(at) >= hot:
        return "stress"
    return "hard" if heat is not None and site.heat_today(season, at) >= heat else "some"


def year_rows(
    c: Consultation, part: Part, opens: dt.date, text: Callable[[str, Mapping[str, Fact]], str]
) -> tuple[list[out.YearRow], set[str]]:
    """The rows of the year after opening, in order of days, and the cautions that stand with them."""
    if part.season is None or c.filled.site is None:
        return [], set()
    facts = dict(part.facts)
    if "option.lead-grass" not in facts and facts.get("zone.main-grass") in c.knowledge.grasses:
        facts["option.lead-grass"] = facts["option.grass"] = facts["zone.main-grass"]
    played = play_months(c.filled)
    months: list[tuple[Span, str, str]] = []
    start = opens
    for _ in range(12):
        following = (start.replace(day=1) + dt.timedelta(days=32)).replace(day=1)
        middle = start.replace(day=15)
        play = "unknown" if played is None else "in" if MONTHS[start.month - 1] in played else "out"
        months.append(((start, following - ONE), growth_level(c, part.season, middle), play))
        start = following
    rows: list[out.YearRow] = []
    cautions: set[str] = set()
    found: set[str] = set()
    for key, task in c.knowledge.year.items():
        if task.season not in ("any", part.season) or task.only_without in found:
            continue
        if not c.holds(task, facts):
            continue
        spans = _window(c, part, opens) if task.window else _runs(months, task)
        said = text(task.text, facts)
        for first, last in spans:
            rows.append(
                out.YearRow(
                    **{"from": first.isoformat()},
                    until=last.isoformat(),
                    task=task.title,
                    text=said,
                    sources=sorted(task.sources),
                )
            )
        if spans:
            found.add(key)
            cautions |= {*task.cautions, *(code for code in task.cautions_if if code in part.cautions)}
    rows.sort(key=lambda row: (row.from_, row.until, row.task))
    return rows, cautions


def _runs(months: Sequence[tuple[Span, str, str]], task: YearTask) -> list[Span]:
    """Unbroken runs of the months in which a row holds."""
    runs: list[Span] = []
    for (first, last), grows, play in months:
        if grows not in task.grows or task.play not in ("any", play):
            continue
        if runs and runs[-1][1] + ONE == first:
            runs[-1] = (runs[-1][0], last)
        else:
            runs.append((first, last))
    return runs


def _window(c: Consultation, part: Part, opens: dt.date) -> list[Span]:
    """The next good (else fair) days to sow or plant the grass again, from the opening on."""
    draft, here = part.draft, dates.day_of_year(opens)
    standing = part.facts.get("zone.main-grass")
    if draft.new_grass:
        windows = c.filled.windows(draft.key, draft.variant)
    elif isinstance(standing, str) and standing in c.knowledge.grasses:
        windows = c.filled.windows(f"{standing}/{START_KINDS[c.knowledge.grasses[standing].made_by[0]]}")
    else:
        return []
    for qualities in (("good",), ("fair",)):
        now = windows.window_on(here)
        window = (
            now if now is not None and now.quality in qualities else windows.next_opening(here, qualities)
        )
        if window is not None:
            first = opens if window is now else dates.date_on_or_after(window.opens, opens)
            return [(first, dates.date_on_or_after(window.closes, first))]
    return []


def opening_day(part: Part, events: Mapping[str, Span]) -> dt.date:
    """The day from which the year after is counted: full play, else light use, else closed gaps, else the start."""
    for event in ("full-play", "light-use", "recovered", "start"):
        if event in events:
            return events[event][1]
    raise ValueError(f"{part.code}: a part without a start")


def monday(date: dt.date) -> dt.date:
    """The Monday of the week of a day."""
    return date - dt.timedelta(days=date.weekday())
