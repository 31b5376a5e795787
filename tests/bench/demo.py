"""The demo field as the parts of the benchmark need it: its situation, what it asks of an engine, and fields like it."""

from __future__ import annotations

import copy
import tomllib
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

from decide.consult import Adviser
from decide.engine.judge import Engines
from decide.knowledge.load import knowledge_folder, read_knowledge
from decide.knowledge.tables import Knowledge
from decide.model.reading import situation_from_dict
from decide.model.situation import Situation
from tests.bench.calls import Call, calls_of

PATH: Path = knowledge_folder() / "demo.toml"


class Demo(NamedTuple):
    """The demo field, and all that one consultation on it asks of an engine."""

    situation: Situation
    calls: tuple[Call, ...]


@cache
def knowledge() -> Knowledge:
    return read_knowledge()


@cache
def adviser_of(engines: Engines) -> Adviser:
    return Adviser(knowledge(), engines)


@cache
def _told() -> dict[str, Any]:
    return tomllib.loads(PATH.read_text(encoding="utf-8"))


def told() -> dict[str, Any]:
    """The tables of the demo field's file, to be changed freely."""
    return copy.deepcopy(_told())


@cache
def demo() -> Demo:
    situation = situation_from_dict(told())
    return Demo(situation, calls_of(adviser_of("plain"), situation))


def in_zones(count: int) -> Situation:
    """The demo field's goalmouths in so many parts of one size."""
    tables = told()
    first = tables["zone"][0]
    area = min(200.0, 5_500 / count)
    tables["zone"] = [
        {
            **{key: value for key, value in first.items() if key != "area_ft2"},
            "name": f"part {n}",
            "area_m2": area,
        }
        for n in range(1, count + 1)
    ]
    for row in tables["proposal"]:
        if "zone" in row:
            row["zone"] = "part 1"
    return situation_from_dict(tables)


def varied(number: int) -> Situation:
    """The demo field told a little otherwise, differently for each number below 9,000."""
    tables = told()
    goalmouths, middle = tables["zone"][:2]
    goalmouths["bare_percent"] = 60 + number % 30
    middle["bare_percent"] = 30 + number // 30 % 20
    tables["field"]["sun_hours"] = 7 + number // 600 % 15 / 5
    return situation_from_dict(tables)


def slight(number: int) -> Situation:
    """A sound field on which nothing is to be done, told a little otherwise for each number below 9,000."""
    tables = told()
    tables["zone"] = [
        {"name": "all", "bare_percent": 1 + number % 30 / 10, "weeds_percent": number // 30 % 300 / 100}
    ]
    tables["proposal"] = []
    tables["site"]["dangers"] = []
    return situation_from_dict(tables)
