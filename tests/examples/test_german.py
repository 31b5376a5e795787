"""A part of the texts in another language, as a folder laid over the knowledge: the first screen, questions, and words of the papers."""

from __future__ import annotations

import datetime as dt
import re
from functools import cache
from pathlib import Path

import pytest

from decide import Adviser, KnowledgeError, ask, next_question, paper, read_knowledge, read_situation
from decide.decision.consultation import Consultation
from decide.knowledge.load import knowledge_folder
from decide.report.first_screen import first_screen
from decide.report.text import render_named
from decide.report.words import say, spoken, wrong_words
from tests.shared import adviser

FOLDER = Path(__file__).parent / "german"
DEMO = (knowledge_folder() / "demo.toml").read_text(encoding="utf-8")


@cache
def german() -> Adviser:
    return Adviser(read_knowledge(..., FOLDER), "plain")


@cache
def consulted() -> Consultation:
    return german().consult(read_situation(DEMO))


@pytest.mark.slow
def test_the_first_screen_speaks_it_and_the_choice_is_the_same() -> None:
    advice, knowledge = german().advice(consulted()), german().knowledge
    with spoken(knowledge):
        said = " ".join(first_screen(advice, knowledge).split())
    for text in (
        "Rat für Dayton", "Gefahr heute: ", "Bis 1. April 2027: ja für matches, begonnen am 23. August 2026, auch in einem langsamen Jahr.",
        "Voller Spielbetrieb ", "Diese Woche: ", "Achtung: ", " Arbeit bis zur Öffnung", "Welche Form hat der schlechte Boden?",
    ):  # fmt: skip
        assert text in said
    there = [(answer.zone, answer.decision, answer.option) for answer in advice.programme]
    before = adviser().advise(read_situation(DEMO)).programme
    assert there == [(answer.zone, answer.decision, answer.option) for answer in before]


def test_the_questions_are_asked_in_it() -> None:
    asked = next_question(german(), {"place": {"name": "York", "country": "gb"}}, dt.date(2026, 5, 12))
    assert asked is not None
    assert asked.question.ask == "Welche Teile des Platzes sind schlecht?"


@pytest.mark.slow
def test_papers_and_pages_speak_it_where_the_knowledge_is_given() -> None:
    advice = german().advice(consulted())
    ours, told = paper("notes", advice), paper("notes", advice, knowledge=german().knowledge)
    assert "Wer entscheidet: " in told
    assert "Wer entscheidet: " not in ours
    with spoken(german().knowledge):
        assert "Zu kaufen" in render_named(
            advice, "money", width=80, colour=False, ascii_only=False, plain=True, system=None
        )
        # One within another, and the words of before when it ends.
        with spoken(adviser().knowledge):
            assert say("take-care") == "Take care"
        assert say("take-care") == "Achtung"
    assert say("take-care") == "Take care"


def test_days_ranges_and_verdicts_are_said_in_it() -> None:
    advice = german().advice(consulted())
    said = ask(consulted(), "why not sod?").text
    assert "start 23. August 2026. Gut. " in said
    with spoken(german().knowledge):
        week = render_named(
            advice, "plan", width=200, colour=False, ascii_only=False, plain=True, system="metric"
        )
    # The hours of a job are a range, and its days share their month.
    assert re.search(r"\d bis \d", week)
    assert re.search(r"\d\. bis \d+\. (?:August|September|Oktober) 2026", week)
    table = paper("shopping", advice, knowledge=german().knowledge)
    assert " bis " in table


@pytest.mark.slow
@pytest.mark.parametrize(
    ("text", "said"),
    [
        ('[texts]\ntake-caer = "x"', "report.toml:2: the report has no text 'take-caer'. Write 'take-care'?"),
        (
            '[texts]\ntitle-for = "{palce}"',
            "report.toml:2: text 'title-for': there is no hole 'palce'. Write 'place'?",
        ),
        (
            '[codes.decison]\nwait = "x"',
            "report.toml:1: the report words no codes of the kind 'decison'. Write 'decision'?",
        ),
        ('[codes.decision]\nwiat = "x"', "report.toml:1: decision: there is no code 'wiat'. Write 'wait'?"),
    ],
)
def test_a_word_that_no_report_says_is_refused_with_its_place(tmp_path: Path, text: str, said: str) -> None:
    (tmp_path / "report.toml").write_text(text, encoding="utf-8")
    knowledge = read_knowledge(..., tmp_path)
    assert [str(error).replace(str(tmp_path) + "/", "") for error in wrong_words(knowledge)] == [said]
    with pytest.raises(KnowledgeError), spoken(knowledge):
        pass
