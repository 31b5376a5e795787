"""What is told is completed by what can be computed or assumed, and each value says which of the
three it is.
"""

from __future__ import annotations

import datetime as dt
from typing import Any, Final

from decide.facts.areas import AREA_VALUES, measure_areas
from decide.facts.declare import Sheet
from decide.facts.filled import Filled, day_of
from decide.facts.library import Library, Placed
from decide.facts.place import by_weather, climate_of_place
from decide.measure import dates, soil
from decide.measure import weather as daily
from decide.measure.classes import named
from decide.measure.climate import Climate
from decide.model.errors import SituationError
from decide.model.situation import Now, Situation
from decide.model.written import coded

# What completes the keys of the situation, and the keys that it rests on.
COMPLETED: Final = Sheet[Any]()
COMPLETED.quantity(
    "season", "country", "region", "hemisphere", "latitude", keys=["place"], values=["namesake-ratio"]
)(climate_of_place)
COMPLETED.quantity(
    "areas", "assumed_areas", keys=["zone.area_m2"],
    also=[
        "zone.name", "zone.share_percent", "zone.places", "field.area_m2", "field.length_m", "field.width_m",
        "field.shape", "use",
    ],
    values=AREA_VALUES,
)(measure_areas)  # fmt: skip


@COMPLETED.quantity(
    "now.rain_24h_mm",
    "now.day_temp_c",
    "now.night_temp_c",
    "now.soil_temp_c",
    also=["now.soil_depth_mm", "season", "dates.today"],
)
def _now(filled: Filled) -> Now:
    """What was seen, completed by the weather file's last day; a soil reading brought to the planting depth.

    What the person typed wins over the file. The notes say what was completed.
    """
    now, changed = filled.situation.now, dict[str, float]()
    for back in (0, 1):
        read = (
            filled.weather.on(filled.today - dt.timedelta(days=back)) if filled.weather is not None else None
        )
        if read is not None:
            for name, value in (
                ("rain_24h_mm", read.rain),
                ("day_temp_c", read.high),
                ("night_temp_c", read.low),
            ):
                if value is not None and getattr(now, name) is None and name not in changed:
                    changed[name] = round(value, 1)
                    filled.note(
                        f"now.{name}",
                        changed[name],
                        "computed",
                        filled.text("facts-weather-of-day", day=read.date.isoformat()),
                    )
    numbers = filled.library.constants.soil
    if (
        filled.site is not None
        and now.soil_temp_c is not None
        and now.soil_depth_mm is not None
        and now.soil_depth_mm != 1000 * numbers.depth_m
    ):
        day = dates.day_of_year(filled.today)
        changed["soil_temp_c"] = round(
            soil.at_planting_depth(filled.site.year, day, now.soil_temp_c, now.soil_depth_mm / 1000, numbers),
            1,
        )
        note = filled.text(
            "facts-soil-brought", told=f"{now.soil_depth_mm:g}", lies=f"{1000 * numbers.depth_m:g}"
        )
        filled.note("soil temperature", changed["soil_temp_c"], "computed", note)
    return now.model_copy(update=changed) if changed else now


def _placed(filled: Filled) -> tuple[Climate | None, daily.Record | None]:
    """The climate of the place, with country, region and notes put in; a place is looked for once."""
    weather = filled.weather
    key = filled.situation.place.model_dump_json(), None if weather is None else weather.digest
    held = filled.library.placed.get(key)
    if held is None:
        climate, record = by_weather(filled, climate_of_place(filled))
        held = Placed(climate, record, filled.country, filled.region, filled.place_label, tuple(filled.notes))
        filled.library.keep_placed(key, held)
    filled.country, filled.region, filled.place_label = held.country, held.region, held.label
    filled.notes = [*held.notes]
    return held.climate, held.record


def fill(situation: Situation, library: Library, weather: daily.DailyWeather | None = None) -> Filled:
    """The situation with today's place, climate and areas; SituationError where the place has two readings.

    `weather` is what the file that `place.weather_file` names holds; the caller reads it, nothing here does.
    """
    today = situation.dates.today
    if today is None:
        raise SituationError(
            "dates.today is missing",
            where="situation",
            instead="Write the day that the advice is for, as 2026-05-20",
        )
    if situation.place.weather_file is not None and weather is None:
        raise SituationError(
            f"place.weather_file ({situation.place.weather_file}) was not read", where="situation",
            instead="Use `decide advise FILE`, which reads it; a program reads it with read_weather and "
            "gives it as weather=; else take the key out",
        )  # fmt: skip
    filled = Filled(situation, library, today, weather=weather, now=situation.now)
    climate, record = _placed(filled)
    told = situation.place
    if climate is not None:
        first, last = day_of(told.first_frost), day_of(told.last_frost)
        filled.season = season = library.season(climate, first, last, record, weather)
        filled.latitude = climate.latitude
        filled.hemisphere = climate.hemisphere
        note = (
            filled.text(
                "facts-climate-neighbour", neighbour=named(season.climate.neighbour, season.climate.summers)
            )
            if season.climate.neighbour
            else ""
        )
        filled.note("climate", season.climate.name, "computed", note)
        frost = season.site.frost
        for name, day, typed in (
            ("place.first_frost", frost.first, first),
            ("place.last_frost", frost.last, last),
        ):
            if day is not None and typed is None:
                month, date = dates.month_and_day(day)
                doubt = filled.text("facts-frost-estimate", days=f"{frost.doubt_days:.0f}")
                if record is not None:
                    doubt = filled.text(
                        "facts-frost-years", years=record.years, days=f"{frost.year_days:.0f}"
                    )
                filled.note(name, f"{month:02d}-{date:02d}", "computed", doubt)
    else:
        filled.hemisphere = told.hemisphere or ""
    filled.now = _now(filled)
    measure_areas(filled)
    for zone in situation.zone:
        if zone.keep_off is None:
            filled.note(
                f"zone.{coded(zone.name)}.keep_off", False, "assumed", filled.text("facts-work-allowed")
            )
    if situation.dates.play_by_firm is None and situation.dates.play_by is not None:
        filled.note("dates.play_by_firm", False, "assumed", filled.text("facts-date-can-move"))
    return filled
