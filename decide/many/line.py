"""One line of a batch: read, advised on, and answered with one line of JSON, whatever it holds."""

from __future__ import annotations

import contextlib
import datetime as dt
import json
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from types import EllipsisType
from typing import Any, Final, NamedTuple, Protocol

from decide.consult import Adviser
from decide.engine.judge import Engines
from decide.knowledge.load import read_knowledge
from decide.many.short import short_advice
from decide.measure.weather import DailyWeather
from decide.measure.weather_named import weather_named
from decide.model.errors import DecideError, SituationError
from decide.model.reading import MOST_BYTES, check_depth, no_constant, situation_from_dict, text_of
from decide.model.situation import Situation
from decide.model.units import System
from decide.model.written import clean

MOST_WRONG: Final = 20
WEATHER_KEPT: Final = 4
ID: Final = "id"
WEATHER: Final = b"weather_file"
"""The key of a place under which a line names its weather."""
GOOD: Final = b',"ok":true'
"""What follows the number in a line that holds advice."""


class Record(NamedTuple):
    """One situation of a batch: its line, from 1, and its JSON; or what is wrong and what to write instead,
    where it could not even be read.
    """

    line: int
    text: bytes
    wrong: str = ""
    instead: str = ""


class MadeWith(NamedTuple):
    """The program and the knowledge that judge a batch."""

    version: str
    digest: str
    engines: tuple[str, ...]


class Failed(NamedTuple):
    """Why a process cannot judge at all, in a form that goes from one process to another."""

    wrong: str
    where: str = ""
    instead: str = ""


@dataclass(frozen=True)
class Setting:
    """What holds for every line: folders laid over the knowledge, engines, the day where a line tells none,
    the folder from which `place.weather_file` is taken, and units of the sentences.
    """

    today: dt.date
    folders: tuple[str, ...] = ()
    engines: Engines = "both"
    weather_folder: str = ""
    system: System | None = None


class LineJudge:
    """Advises on line after line; what it keeps between them does not grow with their number."""

    def __init__(self, setting: Setting) -> None:
        self.setting = setting
        folders: Sequence[str | EllipsisType] = (..., *setting.folders)
        self.adviser = Adviser(read_knowledge(*folders), setting.engines)
        self._weather: dict[str, DailyWeather | None] = {}

    @property
    def made_with(self) -> MadeWith:
        """What its advice is made with."""
        knowledge = self.adviser.knowledge
        return MadeWith(knowledge.version, knowledge.digest, tuple(self.adviser.judge.names))

    def __call__(self, record: Record) -> bytes:
        """The whole line for a record, with its line break: the short advice, or all that is wrong."""
        name, where = None, f"line {record.line}"
        try:
            if record.wrong:
                raise SituationError(record.wrong, where=where, instead=record.instead)
            table = table_of(record.text, where)
            name = id_of(table, where)
            return self._advised(record.line, name, table, where)
        except SituationError as error:
            return bad_line(record.line, name, error.problems)
        except DecideError as error:
            return bad_line(record.line, name, [error])
        except Exception as error:
            # One line must not end the work on all others.
            said = f"the program failed here ({type(error).__name__})"
            return bad_line(
                record.line,
                name,
                [DecideError(said, where=where, instead="Report it, with this line of the input")],
            )

    def close(self) -> None:
        """Give back what the engines hold."""
        self.adviser.close()

    def _advised(self, line: int, name: str | None, table: dict[str, Any], where: str) -> bytes:
        situation = self._situation(table, where)
        weather = self._weather_of(situation.place.weather_file, where)
        short = short_advice(self.adviser.consult(situation, system=self.setting.system, weather=weather))
        told = short.model_dump_json(by_alias=True, exclude_none=True)
        return b"".join((_head(line, True, name), b",", told[1:].encode("utf-8", "replace"), b"\n"))

    def _situation(self, table: dict[str, Any], where: str) -> Situation:
        """The situation, with the day of the batch where it tells none."""
        dates = table.get("dates", {})
        if isinstance(dates, dict) and dates.get("today") is None:
            table = {**table, "dates": {**dates, "today": self.setting.today.isoformat()}}
        situation = situation_from_dict(table, name=where)
        if situation.dates.today is None:
            # The key is there and says "don't know".
            told = {**table["dates"], "today": self.setting.today.isoformat()}
            situation = situation_from_dict({**table, "dates": told}, name=where)
        return situation

    def _weather_of(self, told: str | None, where: str) -> DailyWeather | None:
        if told is None:
            return None
        if told not in self._weather:
            if len(self._weather) >= WEATHER_KEPT:
                del self._weather[next(iter(self._weather))]
            self._weather[told] = weather_named(told, self.setting.weather_folder, where)
        return self._weather[told]


class Judge(Protocol):
    """What answers a record with a line; in other processes it is made anew."""

    @property
    def made_with(self) -> MadeWith: ...

    def __call__(self, record: Record) -> bytes: ...

    def close(self) -> None: ...


MakeJudge = Callable[[], Judge]


# ---------- reading ----------
def table_of(text: bytes, where: str) -> dict[str, Any]:
    """The table that a line of JSON gives; SituationError where it is none, or says a key twice."""
    if len(text) > MOST_BYTES:
        raise too_long(where)
    said = text_of(text, where, "Write one JSON object on the line")
    check_depth(said, where)
    try:
        data = json.loads(said, parse_constant=no_constant, object_pairs_hook=_once)
    except json.JSONDecodeError as error:
        raise SituationError(
            f"this is not JSON: {error.msg}",
            where=f"{where}, letter {error.colno}",
            instead="Check commas and quotes there",
        ) from None
    except (ValueError, RecursionError) as error:
        raise SituationError(
            f"this cannot be read: {clean(str(error))}", where=where, instead="Write it as one JSON object"
        ) from None
    if not isinstance(data, dict):
        raise SituationError(
            "this is not a table of keys",
            where=where,
            instead='Write one JSON object on the line, as {"place": {"name": "…"}}',
        )
    return data


def weather_told(record: Record) -> str | None:
    """The file of weather that a line names; None where it names none, or is no situation."""
    try:
        place = table_of(record.text, "").get("place")
    except SituationError:
        return None
    name = place.get(WEATHER.decode()) if isinstance(place, dict) else None
    return name if isinstance(name, str) else None


def id_of(table: dict[str, Any], where: str) -> str | None:
    """The name that a line bears, taken out of its table; None where it bears none."""
    name = table.pop(ID, None)
    if name is None:
        return None
    if isinstance(name, bool) or not isinstance(name, (str, int)):
        raise SituationError("id is neither text nor a whole number", where=where, instead="Write a text")
    return clean(str(name))


def too_long(where: str) -> SituationError:
    return SituationError(
        f"this has more than {MOST_BYTES:,} bytes",
        where=where,
        instead="A situation is a few thousand bytes of text",
    )


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    table = dict(pairs)
    if len(table) < len(pairs):
        names = [name for name, _ in pairs]
        twice = next(name for name in names if names.count(name) > 1)
        raise ValueError(f"{twice!r} is said twice; keep one of them")
    return table


# ---------- answering ----------
def bad_line(line: int, name: str | None, problems: Sequence[DecideError]) -> bytes:
    """The line for a record that gets no advice: each thing that is wrong, where, and what to write
    instead.
    """
    rows = [
        {"where": clean(each.where), "wrong": each.wrong, "instead": each.instead}
        for each in problems[:MOST_WRONG]
    ]
    if more := len(problems) - len(rows):
        rows.append({"where": f"line {line}", "wrong": f"{more} more things are wrong", "instead": ""})
    said = json.dumps(rows, ensure_ascii=False, separators=(",", ":")).encode("utf-8", "replace")
    return b"".join((_head(line, False, name), b',"error":', said, b"}\n"))


def killed(record: Record) -> bytes:
    """The line for a record that ended the process that worked on it, again and again."""
    name, where = None, f"line {record.line}"
    with contextlib.suppress(SituationError):
        name = id_of(table_of(record.text, where), where)
    error = DecideError(
        "the process that worked on this line was ended twice",
        where=where,
        instead="Try the line alone, with more memory; report it where that fails too",
    )
    return bad_line(record.line, name, [error])


def _head(line: int, ok: bool, name: str | None) -> bytes:
    said = f'{{"line":{line}' + (GOOD.decode() if ok else ',"ok":false')
    if name is not None:
        said += f',"id":{json.dumps(name, ensure_ascii=False)}'
    return said.encode("utf-8", "replace")
