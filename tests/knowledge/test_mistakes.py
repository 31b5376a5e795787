"""Each planted mistake in a small sound knowledge folder is found, with file, line and what to write instead."""

from __future__ import annotations

import functools
import shutil
import tomllib
from dataclasses import replace
from pathlib import Path

import pytest

from decide.decision import programme
from decide.knowledge import audit as audit_module
from decide.knowledge.audit import audit, main
from decide.knowledge.audit_code import Code, read_code
from decide.knowledge.load import read_knowledge
from decide.measure.numbers import NEEDED
from decide.model.errors import KnowledgeError
from tests.shared import sampled

HERE = Path(__file__).parents[1] / "mistakes"
MISTAKES = tomllib.loads((HERE / "mistakes.toml").read_text(encoding="utf-8"))


# The parts of a programme that the small folder has.
ROLES = frozenset({"answer", "resort"})


@functools.cache
def code() -> Code:
    """The texts of the package's own code, as if its programmes had two parts alone."""
    return replace(read_code(), roles=ROLES)


def problems(folder: Path) -> list[str]:
    """What is wrong with `folder`, but for the numbers that only the real folder has."""
    try:
        found = audit(read_knowledge(folder), code())
    except KnowledgeError as error:
        return [str(error)]
    return [str(error) for error in found if not error.wrong.startswith("code reads value")]


def test_the_small_folder_is_sound():
    assert problems(HERE / "good") == []


@pytest.mark.parametrize("name", sampled(MISTAKES, 8))
def test_a_mistake_is_found(tmp_path, name):
    mistake = MISTAKES[name]
    folder = tmp_path / "knowledge"
    shutil.copytree(HERE / "good", folder)
    file = folder / mistake["file"]
    text = file.read_text(encoding="utf-8")
    if "find" in mistake:
        assert text.count(mistake["find"]) == 1, "the text to spoil stands there once"
        text = text.replace(mistake["find"], mistake["put"])
    else:
        text += mistake["put"]
    file.write_text(text, encoding="utf-8")
    assert problems(folder) == mistake["says"]


def test_a_number_that_code_reads_is_missed():
    found = {str(error) for error in audit(read_knowledge(HERE / "good"), code())}
    assert len(found) == len(NEEDED)


def test_a_role_that_no_programme_has_is_found():
    spoilt = replace(code(), roles=frozenset({"answer"}))
    found = [
        str(error)
        for error in audit(read_knowledge(HERE / "good"), spoilt)
        if not error.wrong.startswith("code reads value")
    ]
    assert found == [
        "rules/programme.toml:9: rule 'role-resort' gives the role 'resort', which no programme has. Write one of: answer",
        "facts.toml:55: fact 'option.role-resort' is declared but never read. Take it out, or write the rule that reads it",
    ]


def test_the_roles_are_those_that_the_programme_names():
    named = {value for name, value in vars(programme).items() if name.isupper() and isinstance(value, str)}
    assert read_code().roles == named >= {"answer", "resort", "stopgap", "lasting"}


@pytest.mark.slow
def test_the_command_prints_every_problem_and_fails(capsys, monkeypatch):
    monkeypatch.setattr(audit_module, "read_code", code)
    assert main([str(HERE / "good")]) == 1
    assert capsys.readouterr().out.endswith(f"{len(NEEDED)} problems\n")
    assert main([str(HERE / "nowhere")]) == 1
    assert "there is no such folder" in capsys.readouterr().out
