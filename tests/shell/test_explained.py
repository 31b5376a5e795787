"""Questions about the advice in the talk: what if, what would it take, how sure, what matters next, says who."""

from __future__ import annotations

import dataclasses
from types import ModuleType

import pytest

from decide.knowledge.load import knowledge_folder
from decide.shell import commands
from decide.shell.library import tools_of
from decide.shell.talk import Talk

ALL = (
    "none",
    "goalmouths and middle",
    "80",
    "half",
    "soccer, 12 hours a week, September to May, youth",
    "15 September",
    "hose",
    "30 m",
)


@pytest.fixture
def talk(fake: ModuleType) -> Talk:
    tools = dataclasses.replace(fake.tools(), explain=lambda advice, words: f"Asked: {words}")
    talk = Talk(tools, fake.TODAY)
    talk.hear("ask me")
    return talk


@pytest.mark.parametrize(
    "line",
    [
        "what if we had 3 more weeks and a hose", "what would it take to use sprigs", "how sure are you", "are you sure", "what matters next",
        "says who", "why is thin sod better than seed", "compare sod with seed", "suppose we had no water", "why sod rather than seed",
    ],
)  # fmt: skip
def test_questions_reach_the_explanations_whole(talk: Talk, line: str) -> None:
    for said in ALL:
        talk.hear(said)
    assert talk.advice is not None
    (answer,) = talk.hear(f"{line}?")
    assert answer.text == f"Asked: {line}"
    assert answer.role == "info"


def test_without_advice_there_is_nothing_to_ask_about(talk: Talk) -> None:
    talk.hear("none")
    (answer,) = talk.hear("how sure are you?")
    assert "no advice yet" in answer.text


@pytest.mark.parametrize(
    ("line", "name"),
    [
        ("why", "why"),
        ("why not thin sod", "why-not"),
        ("this week", "week"),
        ("what next", "week"),
        ("what does sod mean", "mean"),
        ("more", "more"),
    ],
)
def test_the_other_commands_are_heard_as_before(line: str, name: str) -> None:
    found = commands.match(line)
    assert found is not None
    assert found.name == name


@pytest.mark.slow
def test_the_library_answers() -> None:
    import datetime as dt

    from decide.model.reading import read_situation
    from decide.questions.answers import as_answers

    situation = read_situation((knowledge_folder() / "demo.toml").read_bytes())
    assert situation.dates.today is not None
    tools = tools_of(knowledge_folder(), situation.dates.today)
    judged = tools.advise(as_answers(situation), "metric")
    assert isinstance(judged.filled.today, dt.date)
    plain = tools.explain(judged, "what if we had no water?")
    deep = tools.explain(judged, "what if we had no water, with sources")
    assert "means of watering: none" in plain
    assert "Rule: " in deep
    assert "Rule: " not in plain
    assert "could not read" in tools.explain(judged, "what if we had a hose and purple elephants")
