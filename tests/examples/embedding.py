"""The library inside another program: a club's own objects, the choice, its dates, the plan, and the questions that are left.

python tests/examples/embedding.py
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass, field

from decide import Adviser, ask, next_question, paper, put_answer, read_knowledge, situation_from_objects


@dataclass
class Town:
    """A place as the club's program keeps it."""

    name: str
    country: str


@dataclass
class Season:
    """What the club wants, and when."""

    today: dt.date
    play_by: dt.date | None = None


@dataclass
class Spot:
    """A part of the ground."""

    name: str
    bare_percent: float | None = None
    area_m2: float | None = None


@dataclass
class Ground:
    """A ground of the club."""

    town: Town
    season: Season
    spots: list[Spot] = field(default_factory=list)


GROUND = Ground(
    Town("York", "gb"),
    Season(dt.date(2026, 5, 12), dt.date(2026, 9, 12)),
    [Spot("goalmouths", 80, 200), Spot("wings", 5)],
)


def report(ground: Ground, adviser: Adviser) -> Iterator[str]:
    """What the club's program shows of a ground."""
    situation = situation_from_objects(place=ground.town, dates=ground.season, zone=ground.spots)
    consultation = adviser.consult(situation)
    advice = adviser.advice(consultation)
    for spot in ground.spots:
        choice = advice.choice(spot.name)
        option = advice.option(choice.option)
        start = option.date("start") if option else None
        weeks = f", in {(start - ground.season.today).days // 7} weeks" if start else ""
        yield f"{spot.name}: {choice.text}{weeks}"
    days = [task.date("from_") for task in advice.plan]
    yield f"The plan has {len(days)} tasks; the first begins on {min(day for day in days if day):%d %B %Y}."
    yield ask(consultation, "why not thin sod on the goalmouths?").text.splitlines()[0]
    answers = {"place": {"name": ground.town.name, "country": ground.town.country}}
    asked = next_question(adviser, answers, ground.season.today)
    if asked is not None:
        yield f"To ask first: {asked.question.ask}"
        answers = put_answer(answers, asked, "don't know")
        asked = next_question(adviser, answers, ground.season.today)
    if asked is not None:
        yield f"To ask then: {asked.question.ask}"
    yield f"The sheet to hang up has {len(paper('page', advice)):,} letters."


def main() -> None:
    adviser = Adviser(read_knowledge())
    print("\n".join(report(GROUND, adviser)))
    adviser.close()


if __name__ == "__main__":
    main()
