"""The season of an advice as a timeline: windows that are alike share a row, options that are alike a bar."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from typing import Final, Literal

from decide.model import advice as model
from decide.model.advice import Advice
from decide.model.row import DayRange
from decide.model.seasons import FrostDays, Leading, Season, SeasonWindow
from decide.model.units import System, convert
from decide.report.phrases import known, system_of
from decide.report.timeline import Bar, Days, Frost, Row, Seven, Stretch, Timeline, Use
from decide.report.words import language, say, word

# More than this many rows of dates do not fit on one sheet: the runners-up are left out then.
MOST_BARS: Final = 10
ONE: Final = dt.timedelta(days=1)

_Alike = tuple[str, str, str | None, tuple[tuple[Use, Days], ...], str | None, Days | None]


def timeline(advice: Advice, system: System | None = None) -> Timeline | None:
    """The season as a timeline in the reader's degrees; None without a place."""
    season = advice.season
    if season is None or not season.weeks:
        return None
    units = system or system_of(advice)
    frosts = [*_frost("first", season.first_frost), *_frost("last", season.last_frost)]
    return Timeline(
        place=known(advice, "place.name"),
        system=units,
        today=_date(season.today),
        first=_date(season.first_day),
        last=_date(season.last_day),
        weeks=tuple(
            Seven(
                _date(week.first),
                convert(week.mean_c, "C", "F") if units == "us" else week.mean_c,
                week.growth_cool,
                week.growth_warm,
                _depth(week.rain_mm, units),
                _depth(week.need_mm, units),
            )
            for week in season.weeks
        ),
        frost_kind=season.frost_kind,
        frosts=tuple(sorted(frosts, key=lambda frost: frost[1])),
        cold=tuple(_cold(season)),
        rows=tuple(rows(season)),
        bars=tuple(_bars(advice, season)),
        deadline=None if season.deadline is None else _date(season.deadline),
    )


def _depth(mm: float | None, units: System) -> float | None:
    return convert(mm, "mm", "in") if units == "us" and mm is not None else mm


def _date(text: str) -> dt.date:
    return dt.date.fromisoformat(text)


def _frost(which: Literal["first", "last"], days: FrostDays | None) -> list[Frost]:
    return [] if days is None else [(which, _date(days.early), _date(days.late))]


def _days(days: DayRange) -> Days:
    return Days(_date(days.early) if days.early else None, _date(days.late) if days.late else None)


def rows(season: Season) -> list[Row]:
    """The windows of a season, grasses and starts with the same windows together."""
    by_name: dict[str, list[SeasonWindow]] = {}
    for window in season.windows:
        by_name.setdefault(window.name, []).append(window)
    alike: dict[tuple[tuple[str, str, str], ...], list[str]] = {}
    for name, windows in by_name.items():
        alike.setdefault(tuple((w.quality, w.opens, w.closes) for w in windows), []).append(name)
    found = [Row("; ".join(names), tuple(map(_stretch, by_name[names[0]]))) for names in alike.values()]
    none = [Row(none.name, (), word("no-window", none.why, say("no-window"))) for none in season.no_window]
    return found + none


def _stretch(window: SeasonWindow) -> Stretch:
    why = (word("opens", window.why_opens, ""), word("closes", window.why_closes, ""))
    return Stretch(window.quality, _date(window.opens), _date(window.closes), tuple(filter(None, why)))


def _bars(advice: Advice, season: Season) -> list[Bar]:
    leading = [
        row for row in season.leading if row.role != "runner-up" or _is_dated(advice.option(row.option))
    ]
    if len(_together(advice, leading)) > MOST_BARS:
        leading = [row for row in leading if row.role != "runner-up"]
    many = len(advice.programme) > 1
    return [
        Bar(
            f"{word('leading', role)}{f' ({language().listed(zones)})' if many else ''}: {name}",
            None if start is None else _date(start),
            uses,
            None if dies_by is None else _date(dies_by),
            dies_between,
        )
        for (role, name, start, uses, dies_by, dies_between), zones in _together(advice, leading).items()
    ]


def _together(advice: Advice, leading: Iterable[Leading]) -> dict[_Alike, list[str]]:
    """The parts in which the same option leads with the same dates."""
    found: dict[_Alike, list[str]] = {}
    for row in leading:
        option = advice.option(row.option)
        key: _Alike = (row.role, row.name, None, (), None, None)
        if option is not None:
            between = None if option.dies_between is None else _days(option.dies_between)
            key = (row.role, row.name, option.start, tuple(_uses(option)), option.dies_by, between)
        found.setdefault(key, []).append(row.zone)
    return found


def _uses(option: model.Option) -> list[tuple[Use, Days]]:
    ranges: tuple[tuple[Use, DayRange | None], ...] = (
        ("light use", option.light_use),
        ("full play", option.full_play),
    )
    return [(use, _days(days)) for use, days in ranges if days is not None and (days.early or days.late)]


def _is_dated(option: model.Option | None) -> bool:
    return option is not None and bool(_uses(option))


def _years(season: Season, frost: FrostDays | None) -> list[tuple[dt.date, dt.date]]:
    """Early and late day of a frost in each year in which it touches the axis, and in the years beside."""
    if frost is None:
        return []
    early, late = _date(frost.early), _date(frost.late)
    years = range(_date(season.first_day).year - 1 - early.year, _date(season.last_day).year + 2 - early.year)
    return [(_years_on(early, count), _years_on(late, count)) for count in years]


def _years_on(date: dt.date, years: int) -> dt.date:
    return date.replace(year=date.year + years, day=28 if (date.month, date.day) == (2, 29) else date.day)


def _cold(season: Season) -> list[tuple[dt.date, dt.date, bool]]:
    """Days with frost as spans, both ends counted; true where frost is usual, false where it may come."""
    first, last = _date(season.first_day), _date(season.last_day)
    if season.frost_kind == "always":
        return [(first, last, True)]
    autumns, springs = _years(season, season.first_frost), _years(season, season.last_frost)
    usual: list[tuple[dt.date, dt.date, bool]] = []
    for _, late in autumns:
        ends = [early for early, _ in springs if early > late]
        if ends:
            usual.append((late + ONE, min(ends) - ONE, season.frost_kind == "usual"))
    spans = [*usual, *((early, late, False) for early, late in (*autumns, *springs))]
    return [
        (max(a, first), min(b, last), sure) for a, b, sure in spans if a <= last and b >= first and a <= b
    ]
