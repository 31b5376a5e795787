"""Walking a lesson line by line, and the words of the commands."""

from __future__ import annotations

import io
import json
import re
import sys
from pathlib import Path
from typing import get_args

import pytest

from decide.__main__ import main
from decide.decision.consultation import Consultation
from decide.lesson.steps import Lesson, Section, section_name
from decide.shell.lesson_loop import HELP, Walk, walk

from .conftest import DRY, FIELD
from .reading import grade

pytestmark = pytest.mark.slow


def heard(walker: Walk, *lines: str) -> str:
    sink = io.StringIO()
    assert walk(walker, io.StringIO("".join(f"{line}\n" for line in lines)), sink) == 0
    return sink.getvalue()


def test_forth_and_back(field: Consultation, whole: Lesson) -> None:
    walker = Walk(field, whole)
    heard(walker, "next", "", "n")
    assert walker.at == 4
    heard(walker, "back")
    assert walker.at == 3
    heard(walker, "jump 20")
    assert walker.at == 20
    heard(walker, "7")
    assert walker.at == 7


def test_ends_hold(field: Consultation, whole: Lesson) -> None:
    walker = Walk(field, whole)
    assert "first step" in heard(walker, "back")
    said = heard(walker, f"jump {len(whole.steps)}", "next")
    assert "last step" in said
    assert all(choice in said for choice in whole.choices)
    assert "Write a number from 1 to" in heard(walker, "jump 9999")
    assert walker.at == len(whole.steps)


def test_rule_source_and_facts_on_request(field: Consultation, whole: Lesson) -> None:
    step = next(step for step in whole.steps if step.section == "zone")
    said = heard(Walk(field, whole), f"jump {step.number}", "rule", "source", "facts", "quit")
    assert f"Rule {step.rule}" in said
    assert all(condition.text in said for condition in field.book.rules[step.rule].when)
    assert all(source in said for source in step.sources)


def test_guess_first(field: Consultation, whole: Lesson) -> None:
    walker = Walk(field, whole, guessing=True)
    opening = "\n".join(walker.opening())
    assert whole.steps[0].because not in opening
    assert walker.open is not None
    right = "abcd"[walker.open.answer]
    assert "Guess first" in "\n".join(walker.hear("rule"))
    said = "\n".join(walker.hear(right))
    assert said.startswith("That is it.")
    assert whole.steps[0].because in said
    walker.hear("next")
    assert walker.open is not None
    wrong = "abcd"[(walker.open.answer + 1) % len(walker.open.choices)]
    assert "\n".join(walker.hear(wrong)).startswith("No.")
    assert "1 of 2" in "\n".join(walker.hear("quit"))


def test_list_does_not_give_the_answer_away(field: Consultation, whole: Lesson) -> None:
    walker = Walk(field, whole, guessing=True)
    walker.opening()
    assert whole.steps[0].concludes not in "\n".join(walker.hear("list"))


def test_strange_words_and_the_end_of_input(field: Consultation, whole: Lesson) -> None:
    said = heard(Walk(field, whole), "nxet", "\x1b[31mred", "jump x", "?")
    assert "Do you mean next?" in said
    assert "\x1b" not in said
    assert "Say jump and a number" in said


def test_own_words_read_easily(field: Consultation) -> None:
    for text in (
        *(section_name(field.knowledge, section) for section in get_args(Section)),
        "Guess first, or say next to see the answer.",
        "This is the last step.",
        "No. Look at the facts again.",
    ):
        assert grade(text) <= 8, text
    for line in re.split(r"\n|  {2,}", HELP):
        assert not line.strip() or grade(line) <= 8, line


def run(monkeypatch: pytest.MonkeyPatch, *words: str) -> int:
    monkeypatch.setattr(sys, "argv", ["decide", *words])
    return main()


@pytest.fixture
def files(tmp_path: Path) -> tuple[Path, Path]:
    one, two = tmp_path / "wet.toml", tmp_path / "dry.toml"
    one.write_text(FIELD, encoding="utf-8")
    two.write_text(DRY, encoding="utf-8")
    return one, two


def test_piped_it_prints_every_step_and_writes_what_is_asked(
    files: tuple[Path, Path], monkeypatch: pytest.MonkeyPatch, capsysbinary: pytest.CaptureFixture[bytes]
) -> None:
    one, _ = files
    assert run(monkeypatch, "lesson", str(one)) == 0
    out = capsysbinary.readouterr().out.decode()
    assert "Step 1. The site" in out
    assert "THE CHOICE" in out
    page, graph = one.with_suffix(".html"), one.with_suffix(".dot")
    assert run(monkeypatch, "lesson", str(one), "--page", str(page), "--dot", str(graph)) == 0
    assert page.read_text(encoding="utf-8").startswith("<!DOCTYPE html>")
    assert graph.read_text(encoding="utf-8").startswith("digraph")


def test_two_files(
    files: tuple[Path, Path], monkeypatch: pytest.MonkeyPatch, capsysbinary: pytest.CaptureFixture[bytes]
) -> None:
    assert run(monkeypatch, "lesson", str(files[0]), "--with", str(files[1])) == 0
    out = capsysbinary.readouterr().out.decode()
    assert "They part first here" in out
    assert "dry" in out
    assert run(monkeypatch, "changed", "--situations", str(files[0]), str(files[1]), "--json") == 0
    found = json.loads(capsysbinary.readouterr().out)
    assert {row["about"] for row in found["told"]} == {"means.water", "means.wettings_weekday"}


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["lesson"], "one situation file"), (["lesson", "x", "--gess"], "--guess"), (["lesson", "--exercises", "many"], "whole number"),
        (["lesson", "--exercises", "1", "--level", "4"], "1, 2 or 3"), (["lesson", "--exercises", "1", "--break", "x"], "--break"),
        (["lesson", "x", "--dot"], "needs a word"), (["lesson", "no-such-file.toml"], "No such file"), (["changed"], "one or two folders"),
        (["changed", "--situations", "a"], "two situation files"), (["lesson", "--break", "climate-fit"], "climate-fits"), (["lesson", "x", "--dot", "-", "--page", "-"], "place each"),
    ],
)  # fmt: skip
def test_wrong_use_says_what_to_write(
    words: list[str], said: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(monkeypatch, *words) in (1, 2)
    out, error = capsys.readouterr()
    assert said in error
    assert "Traceback" not in error
    assert out == ""


def test_situation_file_is_not_written_over(
    files: tuple[Path, Path], monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(monkeypatch, "lesson", str(files[0]), "--page", str(files[0])) == 2
    assert "written over" in capsys.readouterr().err
    assert files[0].read_text(encoding="utf-8") == FIELD
