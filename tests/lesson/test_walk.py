"""Walking a lesson line by line, and the words of the commands."""

from __future__ import annotations

import io
import json
import sys
from pathlib import Path

import pytest

from decide.__main__ import main
from decide.knowledge.tables import Knowledge
from decide.lesson.story import Story
from decide.shell.lesson_loop import HELP, Walk, walk

from .conftest import DRY, FIELD
from .reading import grade

pytestmark = pytest.mark.slow


def heard(walker: Walk, *lines: str, width: int = 80) -> str:
    sink = io.StringIO()
    assert walk(walker, io.StringIO("".join(f"{line}\n" for line in lines)), sink, width) == 0
    return sink.getvalue()


def test_forth_and_back(told: Story) -> None:
    walker = Walk(told)
    heard(walker, "next", "", "n")
    assert walker.at == 4
    heard(walker, "back")
    assert walker.at == 3
    heard(walker, "jump 9")
    assert walker.at == 9
    heard(walker, "7")
    assert walker.at == 7


def test_ends_hold(told: Story) -> None:
    walker = Walk(told)
    assert "first step" in heard(walker, "back")
    said = heard(walker, f"jump {told.count}", "next")
    assert "last step" in said
    assert all(row.who in " ".join(said.split()) for row in told.care)
    assert "Write a number from 1 to" in heard(walker, "jump 9999")
    assert walker.at == told.count


def test_a_step_opens_to_its_rules_and_a_rule_to_its_sources(told: Story) -> None:
    scene = next(scene for scene in told.first if scene.kind == "cause")
    said = heard(
        Walk(told), f"jump {scene.number}", "open", "source", f"rule {scene.number}.1", "quit", width=400
    )
    step = scene.steps[0]
    assert f"{scene.number}.1 " in said
    assert f"[{step.rule}]" in said
    assert said.count(step.because) == 2
    assert all(said.count(source) == 2 for source in step.sources)
    assert all(read.text in said for read in step.facts)
    assert step.because in heard(Walk(told), f"jump {scene.number}", f"{scene.number}.1", width=400)


def test_a_rule_of_a_later_step_is_not_shown_before(told: Story) -> None:
    scene = next(scene for scene in told.first if scene.kind == "choice")
    said = heard(Walk(told), f"{scene.number}.1", width=400)
    assert scene.steps[0].because not in said
    assert "No rule stands behind" in said


def test_guess_first(told: Story) -> None:
    walker = Walk(told, guessing=True)
    scene = next(scene for scene in told.first if scene.guess is not None)
    asked = scene.guess
    assert asked is not None
    opening = "\n".join(walker.hear(f"jump {scene.number}"))
    assert asked.asks in opening
    assert scene.so not in opening
    assert "Guess first" in "\n".join(walker.hear("open"))
    assert "Guess first" in "\n".join(walker.hear("source"))
    wrong = "abcd"[(asked.answer + 1) % len(asked.choices)]
    said = "\n".join(walker.hear(wrong))
    assert asked.hint in said
    assert scene.so not in said
    said = "\n".join(walker.hear("abcd"[asked.answer]))
    assert said.startswith("That is it.")
    assert scene.so in said
    assert "0 of 1" in "\n".join(walker.hear("quit"))


def test_after_two_wrong_ones_it_is_told(told: Story) -> None:
    walker = Walk(told, guessing=True)
    scene = next(scene for scene in told.first if scene.guess is not None and len(scene.guess.choices) > 2)
    assert scene.guess is not None
    walker.hear(f"jump {scene.number}")
    wrong = [letter for place, letter in enumerate("abcd") if place != scene.guess.answer]
    walker.hear(wrong[0])
    said = "\n".join(walker.hear(wrong[1]))
    assert said.startswith("Not that either.")
    assert scene.so in said
    assert scene.guess.choices[scene.guess.answer] in said


def test_right_at_once_is_counted(told: Story) -> None:
    walker = Walk(told, guessing=True)
    for scene in told.first:
        walker.hear(f"jump {scene.number}")
        if scene.guess is not None:
            walker.hear("abcd"[scene.guess.answer])
    asked = sum(scene.guess is not None for scene in told.first)
    assert f"{asked} of {asked}" in "\n".join(walker.hear("quit"))


def test_list_does_not_give_the_answer_away(told: Story) -> None:
    walker = Walk(told, guessing=True)
    scene = next(scene for scene in told.first if scene.kind == "choice")
    walker.hear(f"jump {scene.number}")
    assert scene.so not in "\n".join(walker.hear("list"))
    assert told.scene(scene.number - 1).so in "\n".join(walker.hear("list"))


def test_strange_words_and_the_end_of_input(told: Story) -> None:
    said = heard(Walk(told), "nxet", "\x1b[31mred", "jump x", "?", "words", "care")
    assert "Do you mean next?" in said
    assert "\x1b" not in said
    assert "Say jump and a number" in said
    assert "Who decides" in said


@pytest.mark.parametrize("width", [40, 80])
def test_lines_are_no_wider_than_the_terminal(told: Story, width: int) -> None:
    said = heard(Walk(told), *["n", "open"] * told.count, "help", "care", "words", width=width)
    assert max(len(line.removeprefix("> ")) for line in said.splitlines()) <= width


def test_own_words_read_easily(knowledge: Knowledge) -> None:
    for code in (
        "how",
        "guess-first",
        "wrong",
        "told-already",
        "no-more-guess",
        "last",
        "first",
        "untold-so",
    ):
        assert grade(knowledge.text(f"story-{code}")) <= 8, code
    for line in HELP.splitlines():
        assert grade(line) <= 8, line


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
    assert "Step 1 of " in out
    assert "What is the choice?" in out
    assert max(map(len, out.splitlines())) <= 80
    assert run(monkeypatch, "lesson", str(one), "--all", "--width", "100") == 0
    assert "Rule: goalmouth-by-shape" in capsysbinary.readouterr().out.decode()
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
        (["lesson", "--rules", "goalmuoth"], "no subject"), (["lesson", "x", "--rules", "all"], "takes no file"),
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
