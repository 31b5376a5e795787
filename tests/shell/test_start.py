"""The talk opened on a situation file, the notes of which are never lost; and what shows that it works."""

from __future__ import annotations

import datetime as dt
import io
import json
import os
import subprocess
import sys
import time
from pathlib import Path

import pytest

from decide.cli.run import run as command
from decide.model.files import data_folder
from decide.shell.library import Library
from decide.shell.waiting import MOMENT, moment, spinning

ROOT = Path(__file__).parents[2]
FILE = '# our notes\n[place]\nname = "Dayton" # the town\n\n[dates]\ntoday = 2026-05-20\n'


def started(tmp_path: Path, *words: str, typed: str = "leave\n") -> str:
    done = subprocess.run(
        [sys.executable, str(Path(__file__).with_name("fake_talk.py")), *words],
        input=typed.encode(), capture_output=True, cwd=tmp_path, timeout=60, check=False,
        env={"PATH": os.environ.get("PATH", ""), "HOME": str(tmp_path), "PYTHONPATH": str(ROOT), "PYTHONUTF8": "1"},
    )  # fmt: skip
    return done.stdout.decode()


@pytest.mark.slow
def test_a_file_is_started_from_and_left_as_it_is(tmp_path: Path) -> None:
    (tmp_path / "ours.toml").write_text(FILE)
    out = started(tmp_path, "ours.toml", typed="glass\nleave\n")
    assert "I go on from ours.toml, and leave it as it is." in out
    assert "Is anything dangerous" in out
    assert (tmp_path / "ours.toml").read_text() == FILE
    kept = json.loads((tmp_path / ".local/state/decide/talk.json").read_text())
    assert kept["place"] == {"name": "Dayton"}
    assert kept["site"] == {"dangers": ["glass"]}
    assert "today" not in kept["dates"]


@pytest.mark.slow
def test_the_talk_that_was_kept_is_put_aside_and_none_is_lost(tmp_path: Path) -> None:
    (tmp_path / "ours.toml").write_text(FILE)
    started(tmp_path, typed="ask me\nglass\n")
    assert "The talk from before is in" in started(tmp_path, "ours.toml", typed="glass\n")
    assert "The talk from before is in" in started(tmp_path, "ours.toml")
    folder = tmp_path / ".local/state/decide"
    assert sorted(path.name for path in folder.iterdir()) == [
        "talk-before-2.json", "talk-before.json", "talk.json",
    ]  # fmt: skip


def test_a_file_that_is_not_there_is_named(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("HOME", str(tmp_path))
    out = io.StringIO()
    monkeypatch.setattr(sys, "stdout", out)
    monkeypatch.setattr(sys, "stdin", io.StringIO())
    assert command(["nowhere.toml"]) == 1
    assert "nowhere.toml: it cannot be read" in out.getvalue()


def test_a_long_wait_shows_a_turning_mark_that_is_gone_after() -> None:
    screen = io.StringIO()
    with spinning(screen):
        time.sleep(0.6)
    assert screen.getvalue().startswith("\r| \r/ ")
    assert screen.getvalue().endswith("\r  \r")
    quick = io.StringIO()
    with spinning(quick):
        pass
    assert quick.getvalue() == ""


def test_a_long_wait_says_one_line_where_lines_are_plain() -> None:
    said: list[str] = []
    with moment(said.append):
        time.sleep(1.2)
    assert said == [MOMENT]
    with moment(said.append):
        pass
    assert said == [MOMENT]


def test_the_first_line_is_heard_at_once() -> None:
    """What is made ready when a line is first read is ready before the person says one."""
    library = Library(data_folder(), dt.date(2026, 5, 20), ())
    until = time.monotonic() + 60
    while "asking" not in library.speech._made and time.monotonic() < until:
        time.sleep(0.05)
    assert "asking" in library.speech._made
