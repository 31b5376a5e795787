"""Daily weather read from a file, in the shapes that stations and services write."""

import csv
import datetime as dt
import io
import math
import re
from collections.abc import Iterator, Sequence

import numpy as np

from decide.measure import dates
from decide.measure.weather import (
    MOST_DAYS,
    DailyWeather,
    Floats,
)
from decide.model.errors import SituationError
from decide.model.units import convert
from decide.model.written import clean

# What a file may be, and what no weather station has ever read: outside it is a slip of the pen or of the
# unit.
MOST_BYTES = 20_000_000


MOST_ROWS = 200_000


MOST_MISSING = 0.2


LEAST_C, MOST_C, MOST_RAIN_MM = -75.0, 60.0, 2000.0
# Whole-year highs above these tell the unit of a public station file: tenths of a degree C, else degrees F.
TENTHS_FROM, FAHRENHEIT_FROM = 140.0, 60.0
_LOW = ("min", "tmin", "low", "min_temp", "temp_min", "tempmin", "mintemp")


_HIGH = ("max", "tmax", "high", "max_temp", "temp_max", "tempmax", "maxtemp")


_RAIN = ("rain", "prcp", "precip", "precipitation", "rainfall")


_UNITS = {"c": "C", "f": "F", "mm": "mm", "in": "in", "tenths": "tenths"}


_GONE = frozenset({"", "na", "nan", "null", "none", "m", "-9999", "9999", "-9999.0", "9999.0", "-999.9"})


_EXAMPLE = "date,min,max,rain"
_DATE_DIGITS = 8
# station, date, element, value, then marks of measurement and of quality
_LONG_CELLS, _QUALITY_MARK = 4, 5


def _wrong(where: str, line: int, wrong: str, instead: str) -> SituationError:
    return SituationError(wrong, where=f"{where}, line {line}" if line else where, instead=instead)


def _text(data: bytes, where: str) -> str:
    if len(data) > MOST_BYTES:
        raise _wrong(
            where,
            0,
            f"this has {len(data):,} bytes",
            f"A weather file has at most {MOST_BYTES:,}: keep date, low, high and rain of one station",
        )
    if b"\0" in data:
        raise _wrong(
            where, 0, "this is not text", f"Save the weather as comma-separated text that begins: {_EXAMPLE}"
        )
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise _wrong(
            where,
            0,
            "this is not UTF-8 text",
            f"Save the weather as comma-separated text in UTF-8 that begins: {_EXAMPLE}",
        ) from None
    if not text.strip():
        raise _wrong(where, 0, "this is empty", f"Write a first line {_EXAMPLE} and a line for each day")
    return text


def _rows(text: str, where: str) -> Iterator[tuple[int, list[str]]]:
    """The lines with their numbers; blank lines and lines that begin with # are left out."""
    head = next(
        (line for line in text.splitlines() if line.strip() and not line.lstrip().startswith("#")), ""
    )
    mark = max(",;\t", key=head.count)
    reader = csv.reader(io.StringIO(text), delimiter=mark)
    try:
        for count, row in enumerate(reader):
            if count > MOST_ROWS:
                raise _wrong(
                    where,
                    reader.line_num,
                    f"this has more than {MOST_ROWS:,} lines",
                    "Keep the lines of one station",
                )
            cells = [cell.strip() for cell in row]
            if any(cells) and not cells[0].startswith("#"):
                yield reader.line_num, cells
    except csv.Error as error:
        raise _wrong(
            where, reader.line_num, f"this line cannot be read: {error}", "Check the quotes there"
        ) from None


def _date(text: str, where: str, line: int) -> dt.date:
    try:
        if len(text) == _DATE_DIGITS and text.isascii() and text.isdigit():
            return dt.date(int(text[:4]), int(text[4:6]), int(text[6:]))
        if re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}([T ].*)?", text) is None:
            raise ValueError
        return dt.date(int(text[:4]), int(text[5:7]), int(text[8:10]))
    except ValueError:
        raise _wrong(
            where,
            line,
            f"{text[:20]!r} is not a date that can be read one way only",
            "Write it as 2026-05-20",
        ) from None


def _number(text: str, where: str, line: int) -> float:
    if text.lower() in _GONE:
        return math.nan
    try:
        found = float(text)
    except ValueError:
        found = math.inf
    if not math.isfinite(found):
        instead = (
            "Write a decimal point"
            if "," in text
            else "Write a plain number, or leave the cell empty where nothing was read"
        )
        raise _wrong(where, line, f"{text[:20]!r} is not a number", instead)
    return found


def _column(header: Sequence[str], names: Sequence[str]) -> tuple[int, str] | None:
    """Position of the column of that kind, and the unit that its name declares ("" where it declares
    none).
    """
    for place, cell in enumerate(header):
        name = (
            cell.lower()
            .replace(" ", "_")
            .replace("(", "_")
            .replace(")", "")
            .replace("°", "")
            .replace("__", "_")
        )
        stem, _, unit = name.rpartition("_")
        if name in names:
            return place, ""
        if stem in names and unit in _UNITS:
            return place, _UNITS[unit]
    return None


_Readings = dict[dt.date, tuple[int, list[float]]]


def _wide(rows: list[tuple[int, list[str]]], where: str) -> tuple[_Readings, list[str], str]:
    """One line a day: readings by date with their lines, the units of low, high and rain, and the station."""
    at, header = rows[0]
    columns = [_column(header, names) for names in (_LOW, _HIGH, _RAIN)]
    day = _column(header, ("date", "day"))
    missing = [
        word for word, found in (("date", day), ("min", columns[0]), ("max", columns[1])) if found is None
    ]
    if missing or day is None:
        shown = clean(", ".join(header[:6]))[:60]
        raise _wrong(
            where,
            at,
            f"there is no column {missing[0]!r} among: {shown}",
            f"Write a first line {_EXAMPLE}, each name with _c or _f, _mm or _in where the unit is another",
        )
    station = next((place for place, cell in enumerate(header) if cell.lower() == "station"), None)
    readings: _Readings = {}
    stations: set[str] = set()
    before: dt.date | None = None
    width = 1 + max(place for place, _ in (day, *(c for c in columns if c is not None)))
    for line, written in rows[1:]:
        # the last columns of a line may be left off where they are empty
        cells = [*written, *[""] * (width - len(written))]
        date = _date(cells[day[0]], where, line)
        if station is not None:
            stations.add(cells[station])
            if len(stations) > 1:
                raise _wrong(
                    where,
                    line,
                    "a second station begins here",
                    "Keep the lines of the station nearest to the field",
                )
        if date in readings:
            raise _wrong(
                where,
                line,
                f"{date} stands twice, here and on line {readings[date][0]}",
                "Keep one of the two lines",
            )
        if before is not None and date < before:
            raise _wrong(
                where, line, f"{date} comes after {before}", "Put the days in order, the oldest first"
            )
        before = date
        readings[date] = (
            line,
            [math.nan if c is None else _number(cells[c[0]], where, line) for c in columns],
        )
    units = ["" if c is None else c[1] for c in columns]
    if station is not None and not any(units):
        units = _station_units(readings, where)
    return readings, units, next(iter(stations), "")


def _station_units(readings: _Readings, where: str) -> list[str]:
    """The units of a public station file without declared ones, by the highest high of a whole year.

    The daily files of the public archive hold tenths of a degree C and of a millimetre; its orders hold C and
    mm or F and inches. Wherever grass for play grows the year's highest high is above 16 C: above 160 in
    tenths, 61 in F.
    """
    days = sorted(readings)
    highs = [row[1] for _, row in readings.values() if not math.isnan(row[1])]
    if not highs or (days[-1] - days[0]).days < dates.YEAR - 1:
        raise _wrong(
            where,
            1,
            "the unit cannot be told from less than a year",
            "Write it in the first line: TMIN_C, TMAX_C and PRCP_mm, or TMIN_F, TMAX_F and PRCP_in, or "
            "TMIN_tenths, TMAX_tenths and PRCP_tenths",
        )
    most = max(highs)
    if most > TENTHS_FROM:
        return ["tenths", "tenths", "tenths"]
    return ["F", "F", "in"] if most > FAHRENHEIT_FROM else ["C", "C", "mm"]


def _long(rows: list[tuple[int, list[str]]], where: str) -> tuple[_Readings, list[str], str]:
    """One line a reading: station, date, element, value, flags; values in tenths of a degree C and of a
    millimetre.

    A reading that failed the archive's quality check (the flag in the sixth column) counts as missing.
    """
    elements = {"TMIN": 0, "TMAX": 1, "PRCP": 2}
    readings: _Readings = {}
    station = ""
    for line, cells in rows:
        if len(cells) < _LONG_CELLS:
            raise _wrong(
                where, line, f"this line has {len(cells)} parts", "Write station, date, element and value"
            )
        if station and cells[0] != station:
            raise _wrong(
                where,
                line,
                "a second station begins here",
                "Keep the lines of the station nearest to the field",
            )
        station = cells[0]
        which = elements.get(cells[2].upper())
        if which is None:
            continue
        date = _date(cells[1], where, line)
        value = _number(cells[3], where, line)
        if len(cells) > _QUALITY_MARK and cells[_QUALITY_MARK]:
            value = math.nan
        first, held = readings.setdefault(date, (line, [math.nan] * 3))
        if not math.isnan(held[which]):
            raise _wrong(
                where,
                line,
                f"{cells[2]} of {date} stands twice, here and near line {first}",
                "Keep one of the two lines",
            )
        held[which] = value
    if not readings:
        raise _wrong(
            where, 0, "there is no TMIN, TMAX or PRCP in it", "Take a station with daily lows and highs"
        )
    return readings, ["tenths"] * 3, station


def _metric(value: float, unit: str, kind: str) -> float:
    if math.isnan(value):
        return value
    if unit == "tenths":
        return value / 10
    return convert(value, unit, "mm" if kind == "rain" else "C") if unit not in ("", "C", "mm") else value


def read_weather(data: bytes, where: str) -> DailyWeather:
    """The daily weather that a file holds; `where` is its name for messages. SituationError where it cannot
    be used.

    Read are (1) a line for each day under a header date,min,max,rain (also tmin, low; tmax, high; prcp,
    precip), in degrees C and millimetres unless a name ends in _f or _in; (2) the public archive's daily
    station file with STATION, DATE, PRCP, TMAX and TMIN, in tenths, in C and mm or in F and inches, told
    apart by a whole year's highest high or declared as TMAX_tenths, TMAX_C, TMAX_F; (3) the archive's long
    form of a reading a line, without a header, always in tenths. Days that are left out, and empty cells, are
    missing; a fifth of the days at most.
    """
    rows = list(_rows(_text(data, where), where))
    if not rows:
        raise _wrong(
            where,
            0,
            "there is nothing but notes in it",
            f"Write a first line {_EXAMPLE} and a line for each day",
        )
    first = rows[0][1]
    is_long = (
        len(first) >= _LONG_CELLS
        and len(first[1]) == _DATE_DIGITS
        and first[1].isdigit()
        and first[2].isalnum()
        and not first[2].isdigit()
    )
    readings, units, station = _long(rows, where) if is_long else _wide(rows, where)
    if not readings:
        raise _wrong(where, 0, "there is a first line but no days", "Write a line for each day below it")
    opens, closes = min(readings), max(readings)
    days = (closes - opens).days + 1
    if days > MOST_DAYS:
        raise _wrong(
            where,
            0,
            f"it runs from {opens} to {closes}",
            f"Keep the latest years, {MOST_DAYS // 365} at most",
        )
    table = np.full((3, days), np.nan)
    for date, (line, values) in readings.items():
        low, high, rain = (
            _metric(v, u, k) for v, u, k in zip(values, units, ("low", "high", "rain"), strict=True)
        )
        _check(low, high, rain, date, where, line)
        table[:, (date - opens).days] = low, high, rain
    _enough(table, where)
    return DailyWeather(opens, table[0], table[1], table[2], clean(station or where))


def _check(low: float, high: float, rain: float, date: dt.date, where: str, line: int) -> None:
    for name, value in (("low", low), ("high", high)):
        if value < LEAST_C or value > MOST_C:
            raise _wrong(
                where,
                line,
                f"the {name} of {date} comes to {value:.1f} C, which no station reads",
                "Check the number and its unit (_c or _f in the first line), or leave the cell empty",
            )
    if rain < 0 or rain > MOST_RAIN_MM:
        raise _wrong(
            where,
            line,
            f"the rain of {date} comes to {rain:.1f} mm, which cannot be",
            "Check the number and its unit (_mm or _in in the first line), or leave the cell empty",
        )
    if high < low:
        raise _wrong(
            where,
            line,
            f"the high of {date} ({high:.1f} C) is under its low ({low:.1f} C)",
            "Change them over, or leave both cells empty",
        )


def _enough(table: Floats, where: str) -> None:
    """Refuses a file of which more than a fifth of the days is missing; rain may be absent altogether."""
    gone = float(np.isnan(table[0] + table[1]).mean())
    if gone > MOST_MISSING:
        raise _wrong(
            where,
            0,
            f"low or high is missing on {gone:.0%} of its days",
            f"At most {MOST_MISSING:.0%} may be missing: take years or a station with fewer gaps",
        )
    dry = float(np.isnan(table[2]).mean())
    if MOST_MISSING < dry < 1:
        raise _wrong(
            where,
            0,
            f"rain is missing on {dry:.0%} of its days",
            f"At most {MOST_MISSING:.0%} may be missing: write 0 for dry days, or leave the whole column out",
        )
