"""The climate of the place, by the best of what is told: a town, coordinates, months, height, daily
weather.
"""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Mapping
from typing import Final

from decide.facts.filled import Filled
from decide.measure import climate as cl
from decide.measure import places
from decide.measure import weather as daily
from decide.model.errors import SituationError
from decide.model.situation import Place
from decide.model.units import convert
from decide.model.written import coded

COUNTRY_WORDS: Final[Mapping[str, str]] = {
    "usa": "us", "united-states": "us", "united-states-of-america": "us", "america": "us", "uk": "gb",
    "britain": "gb", "great-britain": "gb", "england": "gb", "scotland": "gb", "wales": "gb",
    "northern-ireland": "gb",
}  # fmt: skip


# The key of the note on what was done about height.
CORRECTION: Final = "correction for height"


AREAS_OF_COUNTRIES: Final = ("england", "scotland", "wales", "northern-ireland")


def _spot(filled: Filled, own: bool) -> tuple[float, float] | None:
    """Latitude and longitude by the town or as told, None where neither is known; country and region are put
    in with them.
    """
    told, tables = filled.situation.place, filled.library.tables
    country = (told.country or "").lower()
    filled.country = COUNTRY_WORDS.get(country, country)
    region = told.region or ""
    town = _town(filled, own) if told.name and told.latitude is None else None
    spot: tuple[float, float] | None = None
    if town is not None:
        spot = town.latitude, town.longitude
        filled.place_label = town.label
        filled.country = town.country.lower()
        region = f"{town.country}-{town.region}".lower() if town.region else region
        filled.note(
            "place.latitude",
            round(town.latitude, 2),
            "computed",
            filled.text("facts-place-table", label=town.label),
        )
        filled.note("place.longitude", round(town.longitude, 2), "computed")
        if region:
            filled.note("place.region", region, "computed")
    elif told.latitude is not None and told.longitude is not None:
        spot = told.latitude, told.longitude
        region = region or _region_at(filled, spot)
    elif (told.latitude is not None) != (told.longitude is not None) and not (own and told.longitude is None):
        one, other = ("longitude", "latitude") if told.latitude is None else ("latitude", "longitude")
        raise SituationError(
            f"place.{one} stands without place.{other}", where="situation", instead="Write both, or a town"
        )
    if region and town is None and filled.country:
        code = tables.region_code(filled.country, region)
        region = f"{filled.country}-{code}".lower() if code else region
    if region and "-" not in region[:3]:
        region = f"{filled.country}-{coded(region)}" if filled.country else coded(region)
    filled.region = region.lower()
    return spot


def _region_at(filled: Filled, spot: tuple[float, float]) -> str:
    """The region of the listed place that stands for a point, which brings its law; "" where none does."""
    near = filled.library.tables.listed_at(*spot)
    if near is None or not near.region or filled.country not in ("", near.country.lower()):
        return ""
    filled.country = near.country.lower()
    region = f"{near.country}-{near.region}".lower()
    filled.note("place.region", region, "assumed", filled.text("facts-place-table", label=near.label))
    return region


def climate_of_place(filled: Filled) -> cl.Climate | None:
    """The climate of the place, by the best of what is told; notes say which."""
    told, tables = filled.situation.place, filled.library.tables
    own = _typed_months(told)
    spot = _spot(filled, own)
    climate = tables.climate_at(*spot) if spot is not None else None
    note = (
        ""
        if climate is None
        else filled.text("facts-climate-table", source=filled.text(f"facts-climate-by-{climate.source}"))
    )
    if climate is not None and spot is not None and not own:
        climate = _at_height(filled, climate, spot)
        if not any(key == CORRECTION for key, *_ in filled.notes):
            height = _length(filled, tables.height_at(*spot))
            note += filled.text("facts-climate-ground", height=height)
    if own:
        climate, note = _by_typed_months(filled, climate)
    if own and climate is not None and spot is not None:
        climate = _with_table(climate, tables.climate_at(*spot))
    if climate is not None and told.monthly_rain_mm:
        climate = dataclasses.replace(climate, rain=tuple(told.monthly_rain_mm))
    if climate is not None and not told.monthly_mean_c:
        filled.note("place.monthly_mean_c", [round(float(t), 1) for t in climate.means], "computed", note)
    if told.altitude_m is not None and (own or spot is None):
        reason = filled.text("facts-height-own") if own else filled.text("facts-height-no-town")
        filled.note(CORRECTION, 0, "computed", reason)
    if climate is None:
        _say_what_is_missing(filled)
    return climate if climate is None else _checked(climate)


def _typed_months(told: Place) -> bool:
    """Whether temperatures of months are typed; SituationError where one of the two months is missing."""
    given = [key for key in ("warmest_month_c", "coldest_month_c") if getattr(told, key) is not None]
    if len(given) == 1:
        other = "coldest_month_c" if given == ["warmest_month_c"] else "warmest_month_c"
        raise SituationError(
            f"place.{given[0]} stands without place.{other}",
            where="situation",
            instead="Write both, or all twelve in place.monthly_mean_c",
        )
    return bool(told.monthly_mean_c or given)


def _town(filled: Filled, own: bool) -> places.Place | None:
    """The town that is meant; SituationError, which lists what it may be, where there is none or there are
    several.

    With months of the person's own (`own`) the town is not needed, and a name that is not clear is passed
    over.
    """
    told, tables = filled.situation.place, filled.library.tables
    name, region = told.name or "", told.region
    hint = {"gb": "GB", "us": "US"}.get(filled.country, told.country or "").replace("-", " ") or None
    if region is None and told.country in AREAS_OF_COUNTRIES:
        region = told.country.replace("-", " ")
    found = tables.find_places(name, hint, region)
    by_region = bool(region and found and not found[0].near)
    if not by_region and region:
        found = [place for place in tables.find_places(name, hint) if not place.near] or found
    best = [
        place
        for place in found
        if not place.near and told.hemisphere in (None, "south" if place.latitude < 0 else "north")
    ]
    # A file that names a town stays clear when a village of its name is listed too.
    best = [place for place in best if not place.small] or best
    ratio = filled.library.number("namesake-ratio")
    alike = len(best) > 1 and (ratio is None or best[0].population < ratio * best[1].population)
    several = alike and not (hint and by_region)
    if best and not several:
        return best[0]
    if own:
        filled.note(
            "place.latitude", "not known", "assumed", filled.text("facts-place-not-clear", name=repr(name))
        )
        return None
    if several:
        raise SituationError(
            f"place.name: several towns are called {name!r}",
            where="situation",
            instead="Add place.country or place.region, or write latitude and longitude. They are: "
            + "; ".join(place.label for place in best[:6]),
        )
    near = "; ".join(place.label for place in found[:4])
    if tables.is_area(name):
        raise SituationError(
            f"place.name: {name!r} is a country or region, and its climate differs from place to place",
            where="situation",
            instead=f"Write the nearest town, such as: {near}; or latitude and longitude",
        )
    hints = [word for word in (hint, region, told.hemisphere and f"the {told.hemisphere}") if word]
    raise SituationError(
        f"place.name: there is no town {name!r} in the table"
        + (" in that country, region or half of the earth" if hints else ""),
        where="situation",
        instead=f"Did you mean: {near}? Or write a bigger town nearby, or latitude and longitude"
        if near
        else "Write a bigger town nearby, or latitude and longitude",
    )


def _by_typed_months(filled: Filled, table: cl.Climate | None) -> tuple[cl.Climate, str]:
    """The climate by the person's own months, with what else the table knows of the place, and how it was
    made.
    """
    told = filled.situation.place
    latitude = told.latitude if told.latitude is not None else (table.latitude if table else None)
    if told.monthly_mean_c:
        return cl.climate_from_means(
            told.monthly_mean_c, table.rain if table else (), latitude, told.longitude, told.hemisphere
        ), ""
    warmest, coldest = told.warmest_month_c, told.coldest_month_c
    assert warmest is not None
    assert coldest is not None
    if table is not None:
        return cl.climate_stretched(table, warmest, coldest), filled.text("facts-climate-drawn")
    hemisphere = told.hemisphere or (None if latitude is None else "south" if latitude < 0 else "north")
    if hemisphere is None:
        raise SituationError(
            "place.warmest_month_c and place.coldest_month_c do not say when it is warm",
            where="situation",
            instead='Add place.hemisphere = "north" or "south", or a town, or latitude and longitude',
        )
    return cl.climate_from_warmest_coldest(warmest, coldest, hemisphere, latitude), filled.text(
        "facts-climate-even"
    )


def _with_table(climate: cl.Climate, table: cl.Climate | None) -> cl.Climate:
    """A climate by temperatures of another origin, with the daily range and the water factor of the table."""
    if table is None:
        return climate
    return dataclasses.replace(climate, day_range=table.day_range, water_factor=table.water_factor)


def _at_height(filled: Filled, climate: cl.Climate, spot: tuple[float, float]) -> cl.Climate:
    """The climate at the height that is told, else as it is, at the town's own; a note says what that moves.

    A told height is reckoned from the town's, so that telling what the table holds changes nothing.
    """
    told, tables = filled.situation.place, filled.library.tables
    table_m, town_m = tables.height_at(*spot), tables.town_height_at(*spot)
    stands_for = table_m if town_m is None else town_m
    here_m, moved = stands_for, climate
    if told.altitude_m is not None:
        here_m = told.altitude_m
        moved = cl.raised(climate, here_m - stands_for, filled.library.constants.climate)
    by = moved.means[0] - tables.cell_climate_at(*spot).means[0]
    if told.altitude_m is None and round(by, 1) == 0:
        return moved
    town = filled.place_label.partition(",")[0] or filled.text("facts-height-nearest")
    filled.note(
        CORRECTION,
        round(by, 1),
        "computed",
        filled.text(
            "facts-height-warmer" if by >= 0 else "facts-height-colder",
            by=_step(filled, abs(by)),
            who=town if told.altitude_m is None else filled.text("facts-height-field"),
            here=_length(filled, here_m),
            table=_length(filled, table_m),
        ),
    )
    return moved


def _length(filled: Filled, metres: float) -> str:
    """A height in the place's own unit."""
    unit = "ft" if filled.us else "m"
    amount = convert(metres, "m", unit)
    return filled.library.knowledge.language.with_unit(f"{amount:.0f}", amount, unit)


def _step(filled: Filled, kelvin: float) -> str:
    """A difference of temperatures in the place's own unit."""
    return f"{9 / 5 * kelvin:.0f} °F" if filled.us else f"{kelvin:.1f} °C"


def _say_what_is_missing(filled: Filled) -> None:
    """A note where the place is told in part, but not so that a climate follows."""
    told = filled.situation.place
    need = filled.text("facts-place-needed")
    if told.first_frost or told.last_frost:
        filled.note("climate", "not known", "assumed", filled.text("facts-place-frost-alone", need=need))
    elif told.country or told.region or told.hemisphere:
        filled.note("climate", "not known", "assumed", filled.text("facts-place-wide", need=need))


def by_weather(filled: Filled, climate: cl.Climate | None) -> tuple[cl.Climate | None, daily.Record | None]:
    """The climate by daily weather, where it has years enough; what the person typed stays above it."""
    told, weather = filled.situation.place, filled.weather
    if weather is None:
        return climate, None
    record = filled.library.record(weather)
    span = f"{weather.first.year}-{weather.last.year}"
    if record is None:
        least = filled.library.constants.weather.years_least
        note = filled.text("facts-weather-short", span=span, least=f"{least:g}")
        filled.note("weather", weather.label, "computed", note)
        return climate, None
    years = filled.text("facts-weather-years", years=record.years, span=span)
    if told.monthly_mean_c:
        filled.note("weather", weather.label, "computed", filled.text("facts-weather-under-own", years=years))
        return climate, record
    filled.notes = [row for row in filled.notes if row[0] not in ("place.monthly_mean_c", CORRECTION)]
    filled.note("weather", weather.label, "computed", filled.text("facts-weather-instead", years=years))
    filled.note("place.monthly_mean_c", [round(t, 1) for t in record.means], "computed", years)
    rain = told.monthly_rain_mm or record.rain or (climate.rain if climate is not None else ())
    latitude = climate.latitude if climate is not None else told.latitude
    longitude = climate.longitude if climate is not None else told.longitude
    hemisphere = told.hemisphere or (climate.hemisphere if climate is not None else None)
    made = _with_table(cl.climate_from_means(record.means, rain, latitude, longitude, hemisphere), climate)
    return dataclasses.replace(made, source="daily-weather", day_range=record.day_range), record


def _checked(climate: cl.Climate) -> cl.Climate:
    if not all(math.isfinite(t) for t in climate.means):
        raise SituationError(
            "the climate table has no numbers for this place",
            where="situation",
            instead="Write place.monthly_mean_c",
        )
    return climate
