"""What a changed answer moved: real changes of the demo field, held against the advice that they give."""

from __future__ import annotations

import copy
import datetime as dt
import tomllib
from collections.abc import Callable
from functools import cache
from typing import Any

import pytest

from decide.knowledge.load import knowledge_folder
from decide.model.advice import Advice
from decide.model.reading import situation_from_dict
from decide.questions.unknown import tried
from decide.report.moved import MOST, moved
from decide.report.phrases import opening_sentence
from tests.shared import adviser, knowledge

Change = Callable[[dict[str, Any]], object]
DEMO: dict[str, Any] = tomllib.loads((knowledge_folder() / "demo.toml").read_text(encoding="utf-8"))


def advised(change: Change | None = None) -> Advice:
    situation = copy.deepcopy(DEMO)
    if change is not None:
        change(situation)
    return tried(adviser().consult(situation_from_dict(situation, name="the demo field")))


@cache
def demo() -> Advice:
    return advised()


def lines(before: Advice, after: Advice) -> list[str]:
    said = moved(before, after, knowledge())
    assert 1 <= len(said) <= MOST
    return said


def loose(s: dict[str, Any]) -> None:
    s["site"]["goals_anchored"] = False


def no_water(s: dict[str, Any]) -> None:
    s["means"]["water"] = "none"
    del s["means"]["flow_gal_min"]


def by(year: int, month: int, day: int) -> Change:
    return lambda s: s["dates"].update(play_by=dt.date(year, month, day))


def test_nothing_moved() -> None:
    assert lines(demo(), demo()) == ["Nothing moved."]
    # A word that no rule reads moves nothing.
    assert lines(demo(), advised(lambda s: s["place"].update(region="OH"))) == ["Nothing moved."]


def test_a_danger_that_came_or_went_stands_first() -> None:
    after = advised(loose)
    new = [row for row in after.today if row.text not in {row.text for row in demo().today}]
    assert len(new) == 1
    assert lines(demo(), after)[0] == f"New danger today: {opening_sentence(new[0].text)}"
    assert lines(after, demo())[0] == f"No longer a danger today: '{opening_sentence(new[0].text)}'"


def test_the_reason_to_shut_is_said_with_the_shutting() -> None:
    gone = lines(demo(), advised(lambda s: s["site"].update(dangers=[])))
    assert gone == [
        "2 dangers of today are gone, such as: 'Shut the field today. A foot in a hole breaks an ankle.'"
    ]


def test_another_date_moves_its_fate() -> None:
    after = advised(by(2026, 10, 1))
    assert after.fate is not None
    assert lines(demo(), after)[0] == f"The date: {opening_sentence(after.fate.text)}"
    assert (
        lines(demo(), advised(lambda s: s["dates"].pop("play_by")))[0] == "The date: none is told any more."
    )


def test_the_same_choice_on_another_day() -> None:
    after = advised(no_water)
    old, new = (advice.option(advice.choice("goalmouths").option) for advice in (demo(), after))
    assert old is not None
    assert new is not None
    assert (old.start, new.start) == ("2026-08-23", "2026-10-24")
    assert "goalmouths: The same choice, now begun on 24 October 2026; before, 23 August 2026." in lines(
        demo(), after
    )


def test_another_choice_is_named_with_its_verdict_and_what_it_takes() -> None:
    after = advised(lambda s: s["means"].update(budget=200))
    said = lines(demo(), after)
    old, new = (advice.option(advice.choice("goalmouths").option) for advice in (demo(), after))
    assert old is not None
    assert new is not None
    assert f"goalmouths: Now: {new.title}; sound on conditions. Before: {old.title}." in said
    takes = next(row for row in said if row.startswith("It takes: "))
    assert (
        "material 32 to 48 US dollars (before: material 380 to 3,100 US dollars, your 3,000 does not cover the high end)"
        in takes
    )


def test_new_cautions_stand_before_the_money() -> None:
    said = lines(demo(), advised(lambda s: s["means"].update(budget=200)))
    heads = [row.split(":")[0] for row in said]
    assert heads.index("2 new cautions, first") < heads.index("It takes")
    assert lines(demo(), advised(lambda s: s["site"].update(school=True))) == [
        "New caution: School ground has its own rules on spraying, notice and signs."
    ]


def test_parts_come_and_go() -> None:
    corner = {"name": "corner", "area_ft2": 500, "bare_percent": 80, "bare_pattern": "solid"}
    after = advised(lambda s: s["zone"].append(corner))
    option = after.option(after.choice("corner").option)
    assert option is not None
    assert f"New part, corner: {option.title}." in lines(demo(), after)
    assert "No longer a part: corner." in lines(after, demo())
    assert lines(demo(), advised(lambda s: s["zone"].pop())) == ["No longer a part: wings."]


@pytest.mark.slow
@pytest.mark.parametrize("verdict", ["risky", "not-advised"])
def test_the_same_choice_under_another_verdict(verdict: str) -> None:
    code = demo().choice("goalmouths").option
    options = [
        row.model_copy(update={"verdict": verdict}) if row.code == code else row for row in demo().options
    ]
    said = lines(demo(), demo().model_copy(update={"options": options}))
    assert said == [
        f"goalmouths: The same choice, now {verdict.replace('-', ' ')}; before, sound on conditions."
    ]


def test_more_than_five_are_counted() -> None:
    zones = [{"name": f"corner {n}", "area_ft2": 500, "bare_percent": 80} for n in range(6)]
    said = lines(demo(), advised(lambda s: s["zone"].extend(zones)))
    assert len(said) == MOST
    assert said[-1].endswith("more things moved: see more.")
