"""The year at the place from this month on: warmth, growth, frost, windows and the options that lead."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterator
from typing import Final

from decide.decision.consultation import Consultation
from decide.measure import climate, dates, growth
from decide.measure.water import Demand
from decide.measure.window import Window
from decide.model import advice as out
from decide.model.made import Made
from decide.model.seasons import FrostDays, Leading, NoWindow, Season, SeasonWeek, SeasonWindow
from decide.model.words import capital

SHORTEST_MONTHS: Final = 12
# A picture of more than two years is too fine to read on one page.
LONGEST_MONTHS: Final = 24


def year_ahead(c: Consultation, options: Made[out.Option]) -> Season | None:
    """The season of a consultation; None where the place is not known. `options` are those of its advice."""
    filled = c.filled
    if filled.season is None:
        return None
    leading = _leading(c)
    codes = {row.option for row in leading}
    deadline = filled.situation.dates.play_by
    first = filled.today.replace(day=1)
    last = _last_day(first, deadline, options.of(codes))
    windows, none = _windows(c, first, last)
    site = filled.season.site
    return Season(
        today=filled.today.isoformat(),
        first_day=first.isoformat(),
        last_day=last.isoformat(),
        weeks=list(_weeks(site, filled.season.water, first, last)),
        frost_kind=site.frost.kind,  # type: ignore[arg-type]  # a kind of frost
        first_frost=_frost(site.frost, site.frost.first, first),
        last_frost=_frost(site.frost, site.frost.last, first),
        windows=windows,
        no_window=none,
        deadline=None if deadline is None else deadline.isoformat(),
        leading=leading,
    )


def _leading(c: Consultation) -> list[Leading]:
    """The options of each zone that a reader weighs against one another, in the order of doing."""
    rows: list[Leading] = []
    for zone, chosen in c.chosen.items():
        for role, w in (
            ("stopgap", chosen.stopgap),
            ("chosen", chosen.option),
            ("least-bad", chosen.least_bad),
            ("runner-up", chosen.runner_up),
        ):
            if w is not None:
                d = w.draft
                rows.append(
                    Leading(
                        option=d.code,
                        zone=c.zones[zone].name,
                        role=role,  # type: ignore[arg-type]  # a place of the programme
                        name=capital(c.say.way(d.remedy, d.plant, d.method, d.variant)),
                    )
                )
    return rows


def _last_day(first: dt.date, deadline: dt.date | None, options: list[out.Option]) -> dt.date:
    """The last day of the twelfth month, or of the month of the latest date that the reader looks for."""
    wanted = [deadline.isoformat()] if deadline is not None else []
    for option in options:
        wanted += [
            day
            for days in (option.light_use, option.full_play)
            if days is not None
            for day in (days.early, days.late)
            if day
        ]
    months = max((_months_from(first, dt.date.fromisoformat(day)) for day in wanted), default=0)
    return _month_later(first, min(max(months, SHORTEST_MONTHS), LONGEST_MONTHS)) - dt.timedelta(days=1)


def _months_from(first: dt.date, day: dt.date) -> int:
    """Months touched from the month of one day to that of another, both counted."""
    return 12 * (day.year - first.year) + day.month - first.month + 1


def _month_later(first: dt.date, months: int) -> dt.date:
    years, month = divmod(first.month - 1 + months, 12)
    return dt.date(first.year + years, month + 1, 1)


def _weeks(site: growth.Site, water: Demand, first: dt.date, last: dt.date) -> Iterator[SeasonWeek]:
    """Seven days at a time. Full growth is the growth model's own: from the base of a curve to where it is
    level.
    """
    curves = site.curves
    cool, warm = site.daily(growth.COOL), site.daily(growth.WARM)
    for start in range(0, dates.days_between(first, last) + 1, 7):
        of_year = [dates.day_of_year(first + dt.timedelta(days=start + n)) for n in range(7)]
        heat_cool, heat_warm = (sum(float(heat[day - 1]) for day in of_year) / 7 for heat in (cool, warm))
        yield SeasonWeek(
            first=(first + dt.timedelta(days=start)).isoformat(),
            mean_c=round(sum(map(site.year.normal, of_year)) / 7, 1),
            growth_cool=_share(heat_cool, curves.cool_full - curves.cool_base),
            growth_warm=_share(heat_warm, curves.warm_full - curves.warm_base),
            rain_mm=_rain(site.climate, of_year),
            need_mm=_need(site, water, of_year),
        )


def _share(heat: float, full: float) -> float:
    # Minus nothing and nothing are one number here, so that the JSON is the same.
    return round(min(1.0, max(0.0, heat / full)), 2) + 0.0


def _rain(of: climate.Climate, of_year: list[int]) -> float | None:
    if not of.rain:
        return None
    months = [dates.month_of(day) for day in of_year]
    return round(sum(of.rain[month - 1] / dates.MONTH_LENGTHS[month - 1] for month in months), 1)


def _need(site: growth.Site, water: Demand, of_year: list[int]) -> float | None:
    """What turf uses in seven days, by the grass that grows harder on each."""
    kinds = [
        "warm" if site.heat_today("warm", day) > site.heat_today("cool", day) else "cool" for day in of_year
    ]
    days = [water.standing_need(day, kind) for day, kind in zip(of_year, kinds, strict=True)]
    known = [need for need in days if need is not None]
    return round(sum(known), 1) if len(known) == len(days) else None


def _frost(frost: climate.Frost, day: int | None, first: dt.date) -> FrostDays | None:
    """Frost days with the doubt of the estimate and the spread of the years, put together as the root of
    their squares.
    """
    if day is None:
        return None
    median = dates.date_on_or_after(day, first)
    doubt = dt.timedelta(days=math.ceil(math.hypot(frost.doubt_days, frost.year_days)))
    return FrostDays(
        early=(median - doubt).isoformat(), median=median.isoformat(), late=(median + doubt).isoformat()
    )


def _windows(c: Consultation, first: dt.date, last: dt.date) -> tuple[list[SeasonWindow], list[NoWindow]]:
    """The windows within the axis of each grass and start that leads, each once."""
    found: dict[tuple[str, str, str], None] = {}
    for chosen in c.chosen.values():
        for w in (chosen.stopgap, chosen.option, chosen.least_bad, chosen.runner_up):
            if w is not None and w.draft.remedy == "establish":
                # Only cover for the winter has windows of its own.
                variant = w.draft.variant if c.knowledge.variants[w.draft.variant].cover_over else "plain"
                found[w.draft.plant, w.draft.planted_as, variant] = None
    rows: list[SeasonWindow] = []
    none: list[NoWindow] = []
    for grass, start, variant in found:
        name = capital(f"{c.say.plant(grass)}, {start.replace('-', ' ')}") + (
            "" if variant == "plain" else f" ({c.knowledge.variants[variant].name})"
        )
        year = c.filled.windows(f"{grass}/{start}", variant)
        if not year.windows:
            none.append(NoWindow(grass=grass, start=start, name=name, why=year.empty_why))
        for opens, closes, window in sorted(_spans(year.windows, first, last), key=lambda span: span[:2]):
            rows.append(
                SeasonWindow(
                    grass=grass,
                    start=start,
                    name=name,
                    quality=window.quality,  # type: ignore[arg-type]  # a quality of windows
                    opens=opens.isoformat(),
                    closes=closes.isoformat(),
                    why_opens=window.why_opens,
                    why_closes=window.why_closes,
                )
            )
    return rows, none


def _spans(
    windows: tuple[Window, ...], first: dt.date, last: dt.date
) -> Iterator[tuple[dt.date, dt.date, Window]]:
    """Windows as dates, for each year in which some of their days lie within the axis."""
    for window in windows:
        if window.days >= dates.YEAR:
            yield first, last, window
            continue
        for year in range(first.year - 1, last.year + 1):
            opens = dates.date_in_year(window.opens, year)
            closes = dates.date_on_or_after(window.closes, opens)
            if opens <= last and closes >= first:
                yield opens, closes, window
