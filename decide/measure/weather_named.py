"""The daily weather that a situation names by a file."""

from __future__ import annotations

import os

from decide.measure.weather import DailyWeather
from decide.measure.weather_file import MOST_BYTES, read_weather
from decide.model.errors import SituationError
from decide.model.files import plain_bytes


def weather_named(told: str, folder: str, where: str) -> DailyWeather:
    """The daily weather of the file that `place.weather_file` names, its path taken from `folder`.

    SituationError where it cannot be read; `where` names the situation.
    """
    try:
        data = plain_bytes(os.path.join(folder, told), MOST_BYTES)
    except (OSError, ValueError) as error:
        raise SituationError(
            f"place.weather_file: {told}: {getattr(error, 'strerror', None) or 'cannot be read'}",
            where=where,
            instead="Write its path from the folder of the situation file, or take the key out",
        ) from None
    return read_weather(data, told)
