"""What a specialist held of numbers that were printed or cited, against what is held and printed now.

`then` is the verdict of that day, `now` today's; a row without `read` is not read again here, and `why` says
where it is. None is left out of the counts.
"""

from __future__ import annotations

import csv
import functools
import re
from collections import Counter
from pathlib import Path
from typing import Literal

import pytest

from decide.consult import advise
from decide.facts.complete import fill
from decide.facts.library import Library
from decide.model.reading import read_situation, situation_from_dict
from decide.model.units import convert
from decide.report.text import render
from tests.shared import knowledge

HERE = Path(__file__).parent
Verdict = Literal["agree", "differ"]
with (HERE / "specialist.csv").open(encoding="utf-8", newline="") as file:
    ROWS = list(csv.DictReader(file))
READ = [row for row in ROWS if row["read"]]
_FIGURE = r"(\d+(?:\.\d+)?)"
_NUMBER = re.compile(rf"(row )?([a-z0-9\-]+)(?:\[([^\]]+)\])? {_FIGURE}(?:\.\.{_FIGURE})?(?: (\S+))?")
_TOWN = re.compile(rf"town (.+), (.+), (..), ([a-z]{{3}}) {_FIGURE}\.\.{_FIGURE} F")
_SAID = re.compile(r"(says|never) (\d\d): (.+)")
MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")


@functools.cache
def _advice(number: str) -> str:
    (path,) = (HERE / "specialist").glob(f"{number}-*.toml")
    situation = read_situation(path.read_bytes(), path.name)
    text = render(advise(situation, knowledge(), "plain"), depth="full")
    return re.sub(r"\s+", " ", text)


@functools.cache
def _library() -> Library:
    return Library(knowledge())


def _number_holds(row: str, name: str, key: str, low: str, high: str, unit: str) -> bool:
    """Whether the number in use lies in the range, or with `row` whether a source is cited for the figure."""
    value = knowledge().values[name]
    least, most = (convert(float(end), unit or value.unit, value.unit) for end in (low, high or low))
    if row:
        return any(said.key == key and abs(said.amount / least - 1) < 0.005 for said in value.statements)
    return key in value.used and least * 0.98 <= value.used[key].amount <= most * 1.02


def _town_holds(town: str, region: str, country: str, month: str, low: str, high: str) -> bool:
    """Whether the mean of the month at a town lies in the range."""
    place = {"name": town, "region": region, "country": country}
    season = fill(situation_from_dict({"place": place, "dates": {"today": "2026-05-20"}}), _library()).season
    assert season is not None
    mean = season.site.year.climate.means[MONTHS.index(month)] * 1.8 + 32
    return float(low) <= mean <= float(high)


def _verdict(read: str) -> Verdict:
    """Agree where every part of what is read holds."""
    holds = []
    for part in read.split(" & "):
        if said := _SAID.fullmatch(part):
            found = re.search(said[3], _advice(said[2])) is not None
            holds.append(found == (said[1] == "says"))
        elif town := _TOWN.fullmatch(part):
            holds.append(_town_holds(*town.groups()))
        else:
            number = _NUMBER.fullmatch(part)
            assert number, part
            holds.append(_number_holds(*(group or "" for group in number.groups())))
    return "agree" if all(holds) else "differ"


@pytest.mark.slow
@pytest.mark.parametrize("row", READ, ids=[f"{row['set']}-{row['row']}" for row in READ])
def test_what_agreed_still_agrees(row: dict[str, str]) -> None:
    found = _verdict(row["read"])
    if row["now"] == "agree":
        assert found == "agree", f"{row['about']}: {row['held']}"
    elif found == "agree":
        print(f"{row['set']} {row['row']} agrees now: write it down. {row['about']}")


def test_every_row_is_in_the_table_and_has_a_verdict() -> None:
    # 110 numbers of sixteen advices and 55 cited figures were looked at by a specialist.
    assert [int(row["row"]) for row in ROWS if row["set"] == "printed"] == list(range(1, 111))
    assert [int(row["row"]) for row in ROWS if row["set"] == "cited"] == list(range(1, 56))
    for row in ROWS:
        assert row["then"] in {"agree", "differ", "unseen"}, row
        assert (row["now"] in {"agree", "differ"}) == bool(row["read"]), row
        assert row["read"] or row["why"], row


def test_no_fewer_agree_than_on_the_day_they_were_looked_at() -> None:
    for name in ("printed", "cited"):
        rows = [row for row in ROWS if row["set"] == name]
        then, now = Counter(row["then"] for row in rows), Counter(row["now"] or "not read" for row in rows)
        print(f"{name}: {len(rows)} rows; then {dict(then)}; now {dict(now)}")
        read = [row for row in rows if row["read"]]
        assert now["agree"] >= sum(row["then"] == "agree" for row in read), name
