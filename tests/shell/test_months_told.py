"""Months of play told in a talk while something else is asked: never the day by which play is wanted."""

from __future__ import annotations

import datetime as dt

import pytest

from decide.knowledge.load import knowledge_folder
from decide.shell.library import tools_of
from decide.shell.talk import Talk

TODAY = dt.date(2026, 5, 20)


@pytest.fixture
def talk() -> Talk:
    return Talk(tools_of(knowledge_folder(), TODAY), TODAY)


def test_until_when_they_play_is_no_date_though_one_is_asked(talk: Talk) -> None:
    talk.hear("Soccer pitch in York, UK. Bare goalmouths half gone, thin.")
    assert "By which date" in talk.prompt().text
    talk.hear("they play until April")
    assert "dates" not in talk.answers
    assert "September to April" in talk.prompt().choices
    talk.hear("September to April")
    months = ["jan", "feb", "mar", "apr", "sep", "oct", "nov", "dec"]
    assert talk.answers["use"] == [{"sport": "football", "months": months}]


def test_a_month_alone_answers_what_is_asked(talk: Talk) -> None:
    talk.hear("Soccer pitch in York, UK. Bare goalmouths half gone.")
    assert "in which months" in talk.prompt().text
    talk.hear("August.")
    assert talk.answers["use"] == [{"sport": "football", "months": ["aug"]}]
    assert "dates" not in talk.answers


def test_a_month_alone_is_the_wanted_one_where_the_date_is_asked(talk: Talk) -> None:
    talk.hear("Soccer pitch in York, UK. Bare goalmouths half gone, thin.")
    said = talk.hear("August.")
    assert str(talk.answers["dates"]["play_by"]) == "2026-08-01"
    assert "1 August 2026" in said[0].text, "the day is said back"
