"""Situations by number: every pair of two answers stands in some of them, sparse as a volunteer tells them and full.

A situation depends on its number alone, so that a run goes on where another stopped and holds nothing of those before.
"""

from __future__ import annotations

import copy
import datetime as dt
import math
import random
import typing
from collections.abc import Iterator
from functools import cache
from typing import Any, Final

from annotated_types import Ge, Le
from pydantic import BaseModel

from decide.model.errors import SituationError
from decide.model.reading import situation_from_dict
from decide.model.situation import Situation, Zone
from decide.model.work import HERBICIDE_CLASSES
from decide.questions.answers import Answers, as_answers
from tests.report.test_nothing_foreign import SPORTS, TOWNS
from tests.shared import case_codes, case_of
from tests.shared import knowledge as shared_knowledge

# What the design sets by itself: the place and the day are always told, and what names a file or a record is not varied.
BY_ITSELF: Final = frozenset(
    (
        "place.name", "place.country", "place.region", "place.latitude", "place.longitude", "place.hemisphere",
        "place.altitude_m", "place.warmest_month_c", "place.coldest_month_c", "place.monthly_mean_c",
        "place.monthly_rain_mm", "place.last_frost", "place.first_frost", "place.weather_file", "dates.today",
        "zone.name", "zone.keep_off", "means.currency",
    )
)  # fmt: skip
TABLES: Final = ("dates", "site", "field", "now", "history", "means", "limits", "wishes")
# Steps from the low end of a number's range: what people tell lies near it, and its far end is tried too.
STEPS: Final = (0, 1, 3, 6, 12)
DAYS_AHEAD: Final = (5, 30, 75, 130, 220, 330)
DAYS_BACK: Final = (1, 21, 80, 200)
FEWEST, MOST_TOLD = 3, 12
# In a round one is full, one is a case of the bank with its pair told otherwise, and the others are sparse: that is
# what people tell.
ROUND, OF_BANK, FULL = 4, 1, 3
FULL_SHARE: Final = 0.6
MONTHLY: Final = (
    (1, 2, 6, 10, 15, 19, 21, 20, 16, 11, 5, 2),
    (10, 11, 14, 17, 21, 25, 27, 27, 24, 19, 14, 11),
    (5, 5, 7, 9, 12, 15, 17, 17, 14, 11, 7, 5),
    (25, 26, 27, 28, 28, 27, 26, 26, 27, 27, 26, 25),
)

Level = tuple[str, Any]


# ---------- keys and their levels ----------
def _literals(annotation: Any) -> list[Any]:
    """The words of a Literal, wherever it stands in an annotation."""
    if typing.get_origin(annotation) is typing.Literal:
        return list(typing.get_args(annotation))
    return [word for part in typing.get_args(annotation) for word in _literals(part)]


def _holds(annotation: Any, kind: type) -> bool:
    return annotation is kind or any(_holds(part, kind) for part in typing.get_args(annotation))


def _levels(annotation: Any, field: Any) -> list[Any]:
    words = _literals(annotation)
    if _holds(annotation, list) or "list" in str(annotation):
        return [[word] for word in words] + ([words[:2]] if len(words) > 2 else [])
    if words:
        return words
    if _holds(annotation, bool):
        return [True, False]
    lows = [each.ge for each in field.metadata if isinstance(each, Ge)]
    highs = [each.le for each in field.metadata if isinstance(each, Le)]
    if lows and highs:
        low, high = float(lows[0]), float(highs[0])
        step = (field.json_schema_extra or {}).get("step", 1)
        return sorted({min(high, low + step * n) for n in STEPS} | {(low + high) / 2, high})
    return []


def _of_model(table: str, model: type[BaseModel]) -> Iterator[tuple[str, list[Any]]]:
    for name, field in model.model_fields.items():
        key = f"{table}.{name}"
        if key not in BY_ITSELF and (levels := _levels(field.annotation, field)):
            yield key, levels


@cache
def levels() -> tuple[Level, ...]:
    """Every key with every level that is tried; dates are days from today, which the situation turns into dates."""
    knowledge = shared_knowledge()
    found: dict[str, list[Any]] = {}
    for table in TABLES:
        found.update(_of_model(table, Situation.model_fields[table].annotation))  # type: ignore[arg-type]
    found.update(_of_model("zone", Zone))
    machines = sorted(
        {tool for method in knowledge.methods.values() for group in method.machines for tool in group}
    )
    ahead, back = ([dt.timedelta(days) for days in row] for row in (DAYS_AHEAD, [-n for n in DAYS_BACK]))
    grasses, methods = sorted(knowledge.grasses), sorted(knowledge.methods)
    found |= {
        "dates.play_by": ahead,
        "dates.no_work": [[{"from": one, "until": one + dt.timedelta(20)}] for one in ahead],
        "dates.no_play": [[{"from": one, "until": one + dt.timedelta(60)}] for one in ahead],
        "field.soil_test_date": back,
        "means.water_from": ahead[:3],
        "means.budget": [0, 500, 2_000, 10_000, 100_000],
        "means.budget_from": ahead[:3],
        "means.budget_until": ahead[:4],
        "means.equipment_own": [[], *([tool] for tool in machines), machines],
        "means.equipment_hire": [[], *([tool] for tool in machines), machines],
        "means.equipment_broken": [[tool] for tool in machines[::3]],
        "field.area_m2": [200, 1_000, 7_000, 12_000],
        "zone.area_m2": [5, 60, 400, 3_000],
        "zone.grass": [[], *([{"grass": grass}] for grass in grasses)],
        "use": [
            [{"sport": sport, "hours_per_week": hours}] for sport in SPORTS for hours in (3, 25)
        ],
        "history.herbicides": [
            [],
            *([{"class": each, "date": day}] for each in HERBICIDE_CLASSES for day in (back[1], back[3])),
        ],
        "history.fertilizers": [[], *([{"n_g_m2": n, "date": day}] for n in (2, 15) for day in back[:3])],
        "history.sown": [[], *([{"grass": grass, "date": back[1]}] for grass in grasses[::4])],
        "history.sod_laid": [[], *([{"thickness_mm": mm, "date": day}] for mm in (15, 40) for day in back[1:3])],
        "wishes.grass": grasses,
        "wishes.method": methods,
        "wishes.avoid": [[each] for each in (*grasses[::4], *methods[::3])],
        "offer": [
            *([{"what": "sod", "grass": grass, "lead_days": 10}] for grass in grasses[::3]),
            *([{"what": "seed", "grass": grass}] for grass in grasses[::3]),
        ],
        "proposal": [[{"step": "sow", "grass": grass}] for grass in grasses[::3]]
        + [[{"step": step}] for step in ("open-to-play", "roll", "fertilise", "aerate", "spray", "topdress")],
    }  # fmt: skip
    return tuple((key, level) for key in sorted(found) for level in found[key])


# ---------- a situation by its number ----------
def pair(number: int, many: int) -> tuple[int, int]:
    """The pair of levels of a number: a walk that comes by every pair once before it begins again."""
    pairs = many * (many - 1) // 2
    stride = next(n for n in range(int(pairs * 0.618) | 1, pairs * 2, 2) if math.gcd(n, pairs) == 1)
    place = number * stride % pairs
    low = int((1 + math.isqrt(1 + 8 * place)) // 2)
    low -= low * (low - 1) // 2 > place
    return low, place - low * (low - 1) // 2


def _on(value: Any, today: dt.date) -> Any:
    """A level with its days from today as dates."""
    if isinstance(value, dt.timedelta):
        return (today + value).isoformat()
    if isinstance(value, list):
        return [_on(each, today) for each in value]
    return {key: _on(each, today) for key, each in value.items()} if isinstance(value, dict) else value


def _place(dice: random.Random, number: int) -> dict[str, Any]:
    if number % 5 == 4:
        means = MONTHLY[number // 5 % len(MONTHLY)]
        south = dice.random() < 0.5
        return {
            "hemisphere": "south" if south else "north",
            "monthly_mean_c": [*means[6:], *means[:6]] if south else list(means),
            "monthly_rain_mm": [60] * 12,
        }
    town, country = TOWNS[number % len(TOWNS)]
    return {"name": town, "country": country} | ({"region": "Georgia"} if town == "Macon" else {})


def _told(answers: Answers, levels: list[Level], today: dt.date) -> Answers:
    out = {key: dict(held) if isinstance(held, dict) else held for key, held in answers.items()}
    out["zone"] = [dict(zone) for zone in answers["zone"]]
    for key, level in levels:
        table, _, name = key.partition(".")
        value = _on(level, today)
        if table == "zone":
            for zone in out["zone"][:1]:
                zone[name] = value
        elif name:
            out.setdefault(table, {})[name] = value
        else:
            out[table] = value
    return out


def readable(answers: Answers) -> bool:
    """Whether the answers are a situation that contradicts nothing."""
    try:
        situation_from_dict(answers)
    except SituationError:
        return False
    return True


def _as_many_as_can_be(answers: Answers, levels: list[Level], today: dt.date) -> Answers:
    """The answers with all levels that contradict nothing told before them."""
    more = _told(answers, levels, today)
    if readable(more):
        return more
    if len(levels) == 1:
        return answers
    half = len(levels) // 2
    return _as_many_as_can_be(_as_many_as_can_be(answers, levels[:half], today), levels[half:], today)


def _of_bank(dice: random.Random) -> Answers | None:
    """A case of the bank; none where it rests on a file of weather."""
    case = case_of(dice.choice(case_codes())).situation
    return (
        None
        if case.place.weather_file is not None or case.dates.today is None
        else {"zone": [], **as_answers(case)}
    )


def situation(number: int) -> Answers:
    """The answers of a number: its pair first, then as many others as it is meant to hold."""
    dice = random.Random(f"sweep/{number}")
    every = levels()
    today = dt.date(2026, 1, 5) + dt.timedelta(dice.randrange(365))
    sport = dice.choice(list(SPORTS))
    zones = [{"name": name} for name in SPORTS[sport][: 1 + (number % 3 == 0)]]
    base: Answers = {"place": _place(dice, number), "dates": {"today": today.isoformat()}, "zone": zones}
    keys = list(dict.fromkeys(key for key, _ in every))
    first = [every[n] for n in pair(number, len(every))]
    if number % ROUND == OF_BANK and (told := _of_bank(dice)) is not None:
        return _as_many_as_can_be(told, first, dt.date.fromisoformat(told["dates"]["today"]))
    full = number % ROUND == FULL
    many = round(FULL_SHARE * len(keys)) if full else dice.randint(FEWEST, MOST_TOLD)
    others = {key: [each for each in every if each[0] == key] for key in dice.sample(keys, many)}
    rest = [dice.choice(rows) for key, rows in others.items() if key not in dict(first)]
    return _as_many_as_can_be(base, [*first, *rest], today)


# ---------- making a situation smaller ----------
def parts_of(answers: Answers) -> list[tuple[Any, ...]]:
    """The paths of what could be left out, the whole tables first; the day and the names of zones stay."""
    paths: list[tuple[Any, ...]] = []
    for table, held in answers.items():
        if table == "zone":
            paths += [("zone", n) for n in range(len(held)) if len(held) > 1]
            paths += [("zone", n, key) for n, zone in enumerate(held) for key in zone if key != "name"]
        elif isinstance(held, dict):
            paths += [(table,)] if table not in ("place", "dates") else []
            paths += [(table, key) for key in held if (table, key) != ("dates", "today")]
            paths += [
                (table, key, n) for key, rows in held.items() if isinstance(rows, list) and len(rows) < 12
                for n in range(len(rows))
            ]  # fmt: skip
        else:
            paths.append((table,))
    return paths


def less(answers: Answers, path: tuple[Any, ...]) -> Answers:
    """The answers without what a path leads to."""
    fewer = copy.deepcopy(answers)
    held: Any = fewer
    for part in path[:-1]:
        held = held[part]
    del held[path[-1]]
    return fewer
