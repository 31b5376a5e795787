"""The public surface: every name is there, has its docstring, and the examples in it hold."""

from __future__ import annotations

import datetime as dt
import doctest
from collections import namedtuple
from dataclasses import dataclass
from enum import Enum
from types import SimpleNamespace

import pytest

import decide
from decide import Adviser, SituationError, situation_from_dict, situation_from_objects

TODAY = dt.date(2026, 5, 12)


def test_every_name_is_there_and_says_what_it_is() -> None:
    for name in set(decide.__all__) - {"__version__"}:
        assert getattr(decide, name).__doc__, name
    with pytest.raises(AttributeError, match="no attribute 'no_such_name'"):
        decide.no_such_name  # noqa: B018 – asking for it is the test


@pytest.mark.slow
def test_the_example_in_the_docstring_holds() -> None:
    found = doctest.testmod(decide)
    assert (found.failed, found.attempted >= 5) == (0, True)


# ---------- a situation from objects ----------
class Soil(Enum):
    LOAM = "loam"


@dataclass
class Zone:
    name: str
    bare_percent: float | None = None


def test_objects_of_every_kind_give_the_same_situation_as_a_dict() -> None:
    found = situation_from_objects(
        place=namedtuple("Place", "name country")("York", "gb"),
        dates=SimpleNamespace(today=TODAY, play_by=None),
        field={"soil": Soil.LOAM},
        zone=(Zone("north", 40), Zone("south")),
        means=None,
    )
    assert found == situation_from_dict(
        {
            "place": {"name": "York", "country": "gb"}, "dates": {"today": TODAY}, "field": {"soil": "loam"},
            "zone": [{"name": "north", "bare_percent": 40}, {"name": "south"}],
        }
    )  # fmt: skip
    assert (
        situation_from_objects(place=found.place, dates=found.dates, field=found.field, zone=found.zone)
        == found
    )


def test_all_that_is_wrong_is_said_at_once() -> None:
    with pytest.raises(SituationError) as caught:
        situation_from_objects(place={"naem": "York"}, field={"bare_percent": 400, "soil": "mud"}, zones=[])
    wrong = caught.value
    assert sorted(each.wrong.partition(":")[0] for each in wrong.problems) == [
        "field.bare_percent",
        "field.soil",
        "place.naem",
        "zones",
    ]
    assert str(wrong).splitlines() == [str(each) for each in wrong.problems]
    with pytest.raises(SituationError) as caught:
        situation_from_dict({"field": {"bare_percent": 400, "soil": "mud"}})
    assert len(caught.value.problems) == 2
    assert "(1 more below it)" in str(caught.value)


def test_contradictions_are_all_said_too() -> None:
    with pytest.raises(SituationError) as caught:
        situation_from_objects(
            means={"water": "none", "flow_l_min": 20},
            field={"length_m": 100, "width_m": 60, "area_m2": 64600},
        )
    assert len(caught.value.problems) == 2


@pytest.mark.parametrize(
    ("data", "said"),
    [
        ([], "'[]' stands where the tables belong"), (None, "'None' stands where the tables belong"), ({1: 2}, "the key 1 is no text"),
        ({"zone": [1]}, "Write [zone] on a line of its own"), ({"zone": [{2: 3}]}, "the key 2 is no text"), ({"place": None}, "Write [place]"),
    ],
)  # fmt: skip
def test_whatever_is_given_the_error_is_one_of_the_situation(data: object, said: str) -> None:
    with pytest.raises(SituationError) as caught:
        situation_from_dict(data)  # type: ignore[arg-type]  # what is no table is the test
    assert said in str(caught.value)


# ---------- what an advice gives ----------
def test_choice_and_dates(adviser: Adviser) -> None:
    advice = adviser.advise(
        situation_from_objects(
            place={"name": "York", "country": "gb"},
            dates={"today": TODAY},
            zone=[Zone("north", 60), Zone("south", 5)],
        )
    )
    assert advice.choice("north") == advice.programme[0]
    option = advice.option(advice.choice("north").option)
    assert option is not None
    assert option.date("start") == dt.date.fromisoformat(option.start or "")
    assert option.date("decide_by") == (
        None if option.decide_by is None else dt.date.fromisoformat(option.decide_by)
    )
    assert advice.date("valid_until") > TODAY
    with pytest.raises(ValueError, match=r"'west' is no zone of this field\. Write one of: 'north', 'south'"):
        advice.choice("west")
    with pytest.raises(ValueError, match="is no zone"):
        advice.choice()
    with pytest.raises(ValueError, match="verdict holds no date"):
        option.date("verdict")
