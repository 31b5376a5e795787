"""The report's own words: every text that code names is there, its holes are filled, and no text stands there unused."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path
from typing import get_args

import pytest

from decide.model.errors import DecideError
from decide.model.planned import Round, Stage, Who
from decide.model.row import Decision, ReasonGrade
from decide.report.words import CODES, TEXTS, say, word
from tests.shared import knowledge

REPORT = Path(__file__).parents[2] / "decide" / "report"
# The templates name their texts too.
IN_TEMPLATES = {
    "picture-caption", "sheet-title", "ruler", "plan-title", "poster-people", "poster-name", "poster-number", "behind-page",
    "full-title", "full-why", "full-printed",
}  # fmt: skip


def calls(name: str) -> Iterator[tuple[str, set[str]]]:
    """Each code that is said, with the holes that are filled there."""
    for path in sorted(REPORT.rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == name:
                first = node.args[0]
                assert isinstance(first, ast.Constant), f"{path.name}, line {node.lineno}"
                yield str(first.value), {word.arg or "" for word in node.keywords}


def test_every_text_that_is_said_is_there_with_the_holes_that_are_filled() -> None:
    for code, filled in calls("say"):
        row = TEXTS[code]
        assert filled == row.holes | ({row.by} if not row.text else set()), code


def test_every_text_is_said_and_every_kind_of_code_is_worded() -> None:
    assert {code for code, _ in calls("say")} | IN_TEMPLATES == set(TEXTS)
    assert {kind for kind, _ in calls("word")} == set(CODES)


def test_templates_name_texts_that_are_there() -> None:
    template = (REPORT / "templates" / "page.html.jinja").read_text(encoding="utf-8")
    assert {part.partition('"')[0] for part in template.split('words("')[1:]} == IN_TEMPLATES


@pytest.mark.parametrize(
    ("kind", "codes"),
    [
        ("decision", get_args(Decision)),
        ("stage", get_args(Stage)),
        ("who", get_args(Who)),
        ("round", get_args(Round)),
        ("sure", ("firm", "likely", "open")),
        ("speaks", get_args(ReasonGrade)),
        ("kind", ("material", "hire", "labour", "contractor", "water")),
        ("leading", ("stopgap", "chosen", "least-bad", "runner-up")),
    ],
)
def test_every_code_of_the_advice_has_words(kind: str, codes: tuple[str, ...]) -> None:
    assert set(CODES[kind]) == set(codes)


def test_a_code_without_words_stands_as_it_is_and_a_text_that_is_not_there_is_named() -> None:
    assert word("who", "volunteer") == "any of you"
    assert word("currency", "XAU", "XAU") == "XAU"
    assert word("window", "good") == "good"
    assert word("opens", "another-window", "") == ""
    with pytest.raises(DecideError, match="there is no text 'rulre'"):
        say("rulre")


@pytest.mark.parametrize(("n", "said"), [(1, "lists it."), (2, "lists them.")])
def test_a_form_is_chosen_by_the_number(n: int, said: str) -> None:
    assert say("and-more", n=n).endswith(said)


@pytest.mark.parametrize(
    ("code", "holes"),
    [
        ("hours-too-many", {"n": 1.0, "hours": "1", "short": "1"}),
        ("odds-about", {"ready": 1}),
        ("litres", {"n": 1.0, "amount": "1"}),
        ("gallons", {"n": 1.0, "amount": "1"}),
        ("poster-every", {"days": 1}),
    ],
)
def test_one_of_a_thing_is_said_as_one(code: str, holes: dict[str, float | str]) -> None:
    assert not re.search(r"\b1 (?:hours|years|litres|gallons|days)\b", say(code, **holes))


@pytest.mark.parametrize(
    ("code", "holes"),
    [
        ("play-hours", {"step": "Open", "hours": 1.0}),
        ("play-hours-youth", {"step": "Open", "hours": 1.0, "youth": 2.0}),
        ("water-piece-by-piece", {"hours": 1.0, "n": 2}),
        ("water-begin-less", {"hours": 1.0, "area": "200 m2"}),
        ("water-keeps-up", {"hours": 1.0, "area": "200 m2"}),
        ("facts-weather-years", {"years": 1, "span": "2024"}),
    ],
)
def test_a_sentence_of_the_advice_says_one_as_one(code: str, holes: dict[str, float | str]) -> None:
    assert not re.search(r"\b1 (?:hours|years)\b", knowledge().text(code, **holes))
