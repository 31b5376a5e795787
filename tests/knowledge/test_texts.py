"""Sentences of the knowledge: holes, plural forms by the language, and what is said where a text is wrong."""

from __future__ import annotations

import ast
from pathlib import Path
from typing import get_args

import pytest

from decide.knowledge.schema_care import Remedy
from decide.knowledge.texts import TextRow
from decide.knowledge.wording import Language
from decide.model.errors import DecideError
from decide.model.work import STEPS

ROOT = Path(__file__).parents[2]
ROWS = {
    "plain": TextRow.model_validate("by {day}"),
    "hours": TextRow(one="{n} hour", other="{n} hours"),
    # Plural rules of Polish by Unicode CLDR: 2 to 4 are "few", 5 is "many".
    "hours-pl": TextRow(one="{n} godzina", few="{n} godziny", many="{n} godzin", other="{n} godziny"),
}


@pytest.mark.parametrize(
    ("locale", "code", "n", "said"),
    [
        ("en_GB", "hours", 1, "1 hour"),
        ("en_GB", "hours", 0, "0 hours"),
        ("en_GB", "hours", 1.5, "1.5 hours"),
        ("en_GB", "hours", 1200, "1,200 hours"),
        ("pl", "hours-pl", 1, "1 godzina"),
        ("pl", "hours-pl", 3, "3 godziny"),
        ("pl", "hours-pl", 5, "5 godzin"),
    ],
)
def test_a_form_is_chosen_by_the_number_and_the_language(locale, code, n, said):
    assert Language(locale, ROWS).say(code, {"n": n}) == said


def test_holes_are_filled():
    assert Language("en_GB", ROWS).say("plain", {"day": "1 May 2026"}) == "by 1 May 2026"


@pytest.mark.parametrize(
    ("code", "words", "wrong"),
    [
        ("plainn", {}, "there is no text 'plainn'"),
        ("plain", {}, "text 'plain' has a hole 'day' that nothing fills"),
        ("hours", {}, "text 'hours' has forms by 'n', which is no number"),
    ],
)
def test_what_is_wrong_is_said(code, words, wrong):
    with pytest.raises(DecideError) as caught:
        Language("en_GB", ROWS).say(code, words)
    assert caught.value.wrong == wrong


def test_a_text_has_one_way_to_be_written():
    with pytest.raises(ValueError, match="write either `text`"):
        TextRow(text="a", other="b")
    with pytest.raises(ValueError, match="write either `text`"):
        TextRow()


def named_in_code() -> dict[str, set[str] | None]:
    """The texts that the program's code names, each with the words that it gives; None where these are not written out."""
    found: dict[str, set[str] | None] = {}
    for path in sorted((ROOT / "decide").rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if (
                isinstance(node, ast.Call)
                and isinstance(node.func, ast.Attribute)
                and node.func.attr == "text"
                and len(node.args) == 1
                and isinstance(node.args[0], ast.Constant)
                and isinstance(node.args[0].value, str)
            ):
                words = {word.arg for word in node.keywords}
                found[node.args[0].value] = None if None in words else {word for word in words if word}
    return found


@pytest.mark.slow
def test_every_text_that_code_names_is_there_with_the_holes_that_code_fills(knowledge):
    for code, words in named_in_code().items():
        assert code in knowledge.texts, code
        row = knowledge.texts[code]
        if words is not None:
            needed = row.holes | ({row.by} if not row.text else set())
            assert needed <= words, f"{code}: {sorted(needed - words)} filled by nothing"
            assert words <= needed, f"{code}: {sorted(words - needed)} stand in no hole"


def test_every_remedy_has_a_name_and_every_named_step_is_one(knowledge):
    assert {code for code in knowledge.texts if code.startswith("remedy-")} == {
        f"remedy-{code}" for code in get_args(Remedy)
    }
    steps = {code.removeprefix("step-") for code in knowledge.texts if code.startswith("step-")}
    assert steps < set(STEPS)
