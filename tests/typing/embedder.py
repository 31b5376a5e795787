"""What a strictly typed program that embeds the library may rely on; the types that are shown are held by test_typing.py."""

from __future__ import annotations

import datetime as dt
from typing import Any, assert_type

from decide import (
    Advice,
    Adviser,
    DailyWeather,
    DecideError,
    Knowledge,
    Situation,
    SituationError,
    __version__,
    advise,
    ask,
    next_question,
    open_talk,
    paper,
    put_answer,
    read_knowledge,
    read_situation,
    read_weather,
    situation_from_dict,
    situation_from_objects,
)

version: str = __version__


def one_field(text: str, answers: dict[str, Any], today: dt.date) -> Advice:
    knowledge = read_knowledge(..., "club")
    assert_type(knowledge, Knowledge)
    adviser = Adviser(knowledge, "plain")
    situation = read_situation(text)
    assert_type(situation, Situation)
    assert_type(situation_from_dict(answers), Situation)
    assert_type(situation_from_objects(place=object(), zone=[object()]), Situation)
    consultation = adviser.consult(situation, system="metric")
    advice = adviser.advice(consultation)
    assert_type(advice, Advice)
    assert_type(adviser.advise(situation), Advice)
    assert_type(advise(situation, knowledge, "both", "us"), Advice)
    assert_type(ask(consultation, "why?").text, str)
    assert_type(paper("page", advice, full=True), str)
    asked = next_question(adviser, answers, today)
    if asked is not None:
        assert_type(asked.question.ask, str)
        answers = put_answer(answers, asked, "don't know")
    assert_type(open_talk(today).prompt().text, str)
    return advice


def what_it_says(advice: Advice) -> list[str]:
    choice = advice.choice("goalmouths")
    assert_type(choice.text, str)
    assert_type(choice.option, str | None)
    option = advice.option(choice.option)
    said = [choice.text]
    if option is not None:
        assert_type(option.date("start"), dt.date | None)
        said.append(option.title)
    said += [task.task for task in advice.plan]
    assert_type(advice.as_json(full=True), str)
    assert_type(advice.as_dict(), dict[str, Any])
    return said


def what_is_wrong(text: str) -> list[str]:
    try:
        read_situation(text)
    except SituationError as error:
        return [f"{each.where}: {each.wrong}. {each.instead}" for each in error.problems]
    except DecideError as error:
        return [error.wrong]
    return []


def weather(data: bytes) -> DailyWeather:
    return read_weather(data, "weather.csv")
