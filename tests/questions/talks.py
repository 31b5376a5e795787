"""Twenty talks without a terminal: what the asker asks of invented clubs, and whether the choice is the one on all that they know.

`python -m tests.questions.talks [WORD …] [--asked]` prints the table; `--asked` also what was asked of each.
"""

from __future__ import annotations

import copy
import datetime as dt
import sys
import time
import tomllib
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from decide.consult import Adviser
from decide.decision.consultation import Consultation
from decide.model.written import DONT_KNOW
from decide.questions.answers import Answers, as_situation
from decide.questions.base import Base
from decide.questions.next import Asker
from decide.questions.open import Asked, Group, put_answer
from decide.questions.sensitivity import with_plain_engine
from tests.shared import adviser

FILE = Path(__file__).with_name("clubs.toml")
# What everybody can say who writes at all.
KNOWN = {"place.name", "zone", "zone.bare_percent", "dates.play_by", "use", "site.dangers", "site.in_use_now"}
MOST = {1: 10, 2: 12, 3: 14}
RUNAWAY = 60


@dataclass(frozen=True)
class Club:
    """An invented club: its day, and all that its people know, as a nested table."""

    name: str
    today: dt.date
    knows: Answers
    unknown: int

    @property
    def parts(self) -> int:
        return len(self.knows["zone"])

    def says(self, asked: Asked, number: int) -> Any:
        """The answer to a question; every third of those that one may not know is not known."""
        if asked.key not in KNOWN and number % 3 == self.unknown:
            return DONT_KNOW
        return self._value(asked)

    def _value(self, asked: Asked) -> Any:
        held: Any = self.knows
        for part in asked.path:
            held = held[part] if isinstance(part, int) else held.get(part)
            if held is None:
                return DONT_KNOW
        return copy.deepcopy(held)


def clubs() -> list[Club]:
    data = tomllib.loads(FILE.read_text(encoding="utf-8"))
    usual = data["usual"]
    more = usual.pop("more")
    found = []
    for row in data["club"]:
        name, today, unknown = row.pop("name"), row.pop("today"), row.pop("unknown")
        zones = [{**usual["zone"], **zone} for zone in row.pop("zone")]
        knows: Answers = {
            **{table: {**keys, **row.get(table, {})} for table, keys in usual.items() if table != "zone"},
            **{key: value for key, value in row.items() if key not in usual},
            **more,
            "zone": zones,
        }
        if knows["means"]["water"] == "none":
            for key in ("wettings_weekday", "hose_reach_m", "flow_l_min"):
                del knows["means"][key]
        found.append(Club(name, today, knows, unknown))
    return found


@dataclass(frozen=True)
class Talked:
    """How a talk went: what was asked, how many were said to be left before each, the answers, and the choice."""

    asked: list[str]
    left: list[int]
    answers: Answers
    seconds: list[float]
    same_way: bool
    same_choice: bool
    parts_same: int
    first: dict[str, Any]
    wanted: dict[str, Any]


def numbers(a: Adviser) -> dict[str, int]:
    return {question.key: at for at, question in enumerate(a.knowledge.questions)}


def consulted(a: Adviser, answers: Answers, today: dt.date) -> Consultation:
    situation = as_situation(answers, today)
    assert situation is not None
    return with_plain_engine(a).consult(situation)


def full(a: Adviser, club: Club) -> Answers:
    """All that the people of a club would answer."""
    place = club.knows["place"]
    answers: Answers = {"place": dict(place), "zone": [{"name": zone["name"]} for zone in club.knows["zone"]]}
    at = numbers(a)
    for question in a.knowledge.questions:
        tables = question.key.split(".")
        if question.key in ("place.name", "zone"):
            continue
        paths: list[tuple[str | int, ...]] = (
            [("zone", n, tables[1]) for n in range(club.parts)] if tables[0] == "zone" else [tuple(tables)]
        )
        for path in paths:
            asked = Asked(question, None, path)
            value = club.says(asked, at[question.key])
            if value != DONT_KNOW:
                answers = put_answer(answers, asked, value)
    return answers


def talk(a: Adviser, club: Club, asker: Asker | None = None) -> Talked:
    """Asks a club until the asker has enough; the town is told."""
    asker = asker or Asker(a, club.today)
    answers: Answers = {"place": dict(club.knows["place"])}
    asked, left, seconds, at = [], [], [], numbers(a)
    for _ in range(RUNAWAY):
        start = time.process_time()
        group = asker.next_group(answers)
        seconds.append(time.process_time() - start)
        if group is None:
            break
        left.append(asker.left_at_most(answers))
        asked.append(group.code)
        for each in group.asked:
            if each.key == "zone":
                answers = put_answer(answers, each, [{"name": zone["name"]} for zone in club.knows["zone"]])
                continue
            # Who names the parts says of each how bare it is.
            parts = range(club.parts) if each.path[0] == "zone" and "zone" in group_keys(group) else [None]
            for part in parts:
                mine = each if part is None else replace(each, path=("zone", part, each.path[-1]))
                answers = put_answer(answers, mine, club.says(mine, at[each.key]))
    here, there = Base(consulted(a, answers, club.today)), Base(consulted(a, full(a, club), club.today))
    same = sum(here.ways[zone] == there.ways[zone] for zone in there.ways)
    return Talked(
        asked, left, answers, seconds, here.ways == there.ways, here.first == there.first, same, here.first, there.first
    )  # fmt: skip


def group_keys(group: Group) -> set[str]:
    return {asked.key for asked in group.asked}


def main() -> None:
    a = adviser()
    words = [word for word in sys.argv[1:] if not word.startswith("--")]
    rows = [club for club in clubs() if not words or any(word.lower() in club.name.lower() for word in words)]
    print("parts asked most left  way  choice  slowest  club")
    ways, most, waits = 0, 0, list[float]()
    for club in rows:
        found = talk(a, club)
        limit = MOST[club.parts]
        ways, most, waits = ways + found.same_way, most + (len(found.asked) > limit), waits + found.seconds
        print(
            f"{club.parts:5} {len(found.asked):5} {limit:4} {found.left[0]:4}  {'same' if found.same_way else f'{found.parts_same}/{club.parts}':4} "
            f"{'same' if found.same_choice else 'other':6} {max(found.seconds):6.2f} s  {club.name}"
        )
        if "--asked" in sys.argv:
            print("      ", ", ".join(found.asked), found.left)
            if not found.same_choice:
                print("       after the talk:", found.first)
                print("       on all of it:  ", found.wanted)
    waits.sort()
    print(
        f"{len(rows)} talks: {ways} with the same way in every part, {most} over the limit; wait median {waits[len(waits) // 2]:.2f} s, longest {waits[-1]:.2f} s"
    )


if __name__ == "__main__":
    main()
