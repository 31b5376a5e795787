"""Each planted mistake in a small sound knowledge folder is found, with file, line and what to write instead."""

from __future__ import annotations

import functools
import shutil
import tomllib
from pathlib import Path

import pytest

from decide.knowledge import audit as audit_module
from decide.knowledge.audit import audit, main
from decide.knowledge.audit_code import Code, read_code
from decide.knowledge.load import read_knowledge
from decide.measure.numbers import NEEDED
from decide.model.errors import KnowledgeError
from tests.shared import sampled

HERE = Path(__file__).parents[1] / "mistakes"
MISTAKES = tomllib.loads((HERE / "mistakes.toml").read_text(encoding="utf-8"))


@functools.cache
def code() -> Code:
    """The texts of the package's own code."""
    return read_code()


def problems(folder: Path) -> list[str]:
    """What is wrong with `folder`, but for the numbers that only the real folder has."""
    try:
        found, _ = audit(read_knowledge(folder), code())
    except KnowledgeError as error:
        return [str(error)]
    return [str(error) for error in found if not error.wrong.startswith("code reads value")]


@pytest.mark.slow
def test_the_small_folder_is_sound():
    assert problems(HERE / "good") == []


@pytest.mark.parametrize("name", sampled(MISTAKES, 8))
def test_a_mistake_is_found(tmp_path, name):
    mistake = MISTAKES[name]
    folder = tmp_path / "knowledge"
    shutil.copytree(HERE / "good", folder)
    for change in (*mistake.get("beside", ()), mistake):
        put(folder / change["file"], change.get("find"), change["put"])
    assert problems(folder) == mistake["says"]


def put(file: Path, find: str | None, put: str) -> None:
    """Spoil a file, or write one that is not there yet."""
    text = file.read_text(encoding="utf-8") if file.exists() else ""
    if find is not None:
        assert text.count(find) == 1, "the text to spoil stands there once"
        text = text.replace(find, put)
    else:
        text += put
    file.parent.mkdir(exist_ok=True)
    file.write_text(text, encoding="utf-8")


def test_a_number_that_code_reads_is_missed():
    found = {str(error) for error in audit(read_knowledge(HERE / "good"), code())[0]}
    assert len(found) == len(NEEDED)


def test_what_stands_is_counted_and_proved_on_demand(capsys, tmp_path, monkeypatch):
    """A finding with a reason is no problem; it is counted, and told in full where the proof is asked for."""
    monkeypatch.setattr(audit_module, "read_code", code)
    monkeypatch.setattr(audit_module, "check_unused_values", lambda *_: ())
    folder = tmp_path / "knowledge"
    shutil.copytree(HERE / "good", folder)
    mistake = MISTAKES["condition-that-follows-between-thresholds"]
    with (folder / mistake["file"]).open("a", encoding="utf-8") as file:
        file.write(mistake["put"])
    with (folder / "audit.toml").open("a", encoding="utf-8") as file:
        file.write(
            '[standing.more]\nkind = "idle-condition"\nof = ["weeks-and-more option.weeks-left"]\n'
            'because = "It is said twice on purpose."\n'
        )
    assert main([str(folder)]) == 0
    assert (
        capsys.readouterr().out == "conditions that decide nothing: 1 stands with a reason\nnothing wrong\n"
    )
    assert main([str(folder)], proof=True) == 0
    assert capsys.readouterr().out == (
        "rules/it.toml:53: rule 'weeks-and-more': 'option.weeks-left > 0' decides nothing, for it follows from the"
        " others\n  proof: it follows from option.weeks-left >= value:comfort\n"
        "  stands: It is said twice on purpose.\nnothing wrong\n"
    )


@pytest.mark.slow
def test_the_command_prints_every_problem_and_fails(capsys, monkeypatch):
    monkeypatch.setattr(audit_module, "read_code", code)
    assert main([str(HERE / "good")]) == 1
    assert capsys.readouterr().out.endswith(f"{len(NEEDED)} problems\n")
    assert main([str(HERE / "nowhere")]) == 1
    assert "there is no such folder" in capsys.readouterr().out
