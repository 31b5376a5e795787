"""Reads what a command is given: situation, record, daily weather and knowledge."""

from __future__ import annotations

import datetime as dt
import os
import sys
from collections.abc import Sequence
from typing import TYPE_CHECKING, Final, NamedTuple

from decide.cli.kept_folder import kept_folder
from decide.knowledge.load import read_knowledge
from decide.model.errors import SituationError

if TYPE_CHECKING:
    from decide.knowledge.tables import Knowledge
    from decide.measure.weather import DailyWeather
    from decide.model.situation import Situation

# A day that the windows of a place may not depend on.
ANY_DAY: Final = dt.date(2001, 1, 1)


class Given(NamedTuple):
    """The situation of a file, the daily weather that it names, and a note where today was taken from the
    clock.
    """

    situation: Situation
    weather: DailyWeather | None
    note: str


def knowledge_with(folders: Sequence[str]) -> Knowledge:
    """The package's own knowledge with folders on top, each adding to those before it and overriding them."""
    return read_knowledge(..., *folders, kept=kept_folder())


def given(name: str, *, day_matters: bool = True, beside: str | None = None) -> Given:
    """What the file of a situation says ("-" is standard input), with the record that is kept `beside` it.

    Where the day does not matter and none is told, a day is set that nothing may depend on.
    """
    from decide.model.reading import read_situation

    situation = read_situation(_bytes(name, "situation file"), "standard input" if name == "-" else name)
    if beside:
        from decide.facts.record import merged

        situation = merged(situation, _bytes(beside, "record file"), beside)
    note = ""
    if situation.dates.today is None:
        today = dt.date.today() if day_matters else ANY_DAY
        situation = situation.model_copy(
            update={"dates": situation.dates.model_copy(update={"today": today})}
        )
        if day_matters:
            note = f"Today is taken from this computer's clock: {today.isoformat()}."
            if situation.dates.play_by is not None and situation.dates.play_by < today:
                raise SituationError(
                    f"dates.play_by ({situation.dates.play_by}) lies before today ({today})",
                    instead="Write a date still to come",
                )
    told, weather = situation.place.weather_file, None
    if told is not None:
        from decide.measure.weather_named import weather_named

        weather = weather_named(told, "" if name == "-" else os.path.dirname(name), name)
    return Given(situation, weather, note)


def _bytes(name: str, what: str) -> bytes:
    """The bytes of a file or of standard input, at most a little more than may be read."""
    from decide.model.reading import MOST_BYTES

    if name == "-":
        return sys.stdin.buffer.read(MOST_BYTES + 1)
    try:
        with open(name, "rb") as file:
            return file.read(MOST_BYTES + 1)
    except OSError as error:
        raise SituationError(
            error.strerror or "cannot be read", where=name, instead=f"Write the path of a {what}"
        ) from None
