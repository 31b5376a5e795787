"""The program as a process of its own: how it ends, with whom it can talk, and what it leaves on the machine."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from decide.cli.kept_folder import VARIABLE, kept_folder

ROOT = Path(__file__).parents[2]
SMALL = '[place]\nname = "York"\ncountry = "gb"\n[dates]\ntoday = 2026-05-12\n[field]\nbare_percent = 30\n'


def decide(*words: str, data: str = "", **env: str) -> subprocess.CompletedProcess[bytes]:
    return subprocess.run(
        [sys.executable, "-m", "decide", *words],
        input=data.encode(),
        capture_output=True,
        cwd=ROOT,
        env={**os.environ, **env},
        check=False,
    )


@pytest.mark.slow
@pytest.mark.parametrize(
    ("words", "data", "code"),
    [
        (("--version",), "", 0),
        (("advise", "-", "--quick"), SMALL, 0),
        (("advise", "-"), "[place", 1),
        (("advise",), "", 2),
        (("advize",), "", 2),
        (("explain", "-", "frobnicate the whatnot"), SMALL, 1),
    ],
)
def test_the_exit_code_is_that_of_the_command(words: tuple[str, ...], data: str, code: int) -> None:
    done = decide(*words, data=data)
    assert done.returncode == code
    assert b"Traceback" not in done.stderr
    assert done.stdout if code == 0 else done.stdout + done.stderr


def test_all_of_a_long_output_arrives() -> None:
    done = decide("sources")
    assert done.returncode == 0
    assert done.stdout.endswith(b"\n")
    assert done.stdout.count(b"\n") > 700


@pytest.mark.skipif(os.name != "posix", reason="pipes of a shell")
@pytest.mark.parametrize("words", ["sources", "help", "schema"])
def test_a_reader_that_goes_away_is_no_fault_of_the_program(words: str) -> None:
    read, write = os.pipe()
    os.close(read)
    done = subprocess.run(
        [sys.executable, "-m", "decide", words], stdout=write, stderr=subprocess.PIPE, cwd=ROOT, check=False
    )
    os.close(write)
    assert done.returncode == 1
    assert done.stderr == b""


@pytest.mark.skipif(os.name != "posix", reason="a shell closes its output")
@pytest.mark.parametrize("closed", [">&-", "2>&-", ">&- 2>&-", "<&-"])
def test_closed_streams_end_no_command_badly(closed: str) -> None:
    done = subprocess.run(
        ["/bin/sh", "-c", f'"$0" -m decide --version {closed}', sys.executable],
        capture_output=True,
        cwd=ROOT,
        check=False,
    )
    assert done.returncode == 0
    assert done.stderr == b""


@pytest.mark.skipif(os.name != "posix", reason="a shell closes its output")
def test_a_closed_input_is_an_empty_file() -> None:
    shell = ["/bin/sh", "-c", '"$0" -m decide advise - <&-', sys.executable]
    done = subprocess.run(shell, capture_output=True, cwd=ROOT, check=False)
    assert done.returncode in (0, 1)
    assert b"Traceback" not in done.stderr


@pytest.mark.slow
def test_the_advice_is_the_same_from_what_was_kept(tmp_path: Path) -> None:
    place = {"XDG_CACHE_HOME": str(tmp_path), "LOCALAPPDATA": str(tmp_path), VARIABLE: ""}
    said = [decide("advise", "-", "--json", "--quick", data=SMALL, **place) for _ in range(2)]
    none = decide("advise", "-", "--json", "--quick", data=SMALL, **{VARIABLE: "no"})
    assert said[0].returncode == 0
    assert said[0].stdout == said[1].stdout == none.stdout
    if sys.platform != "darwin":
        [path] = (tmp_path / "decide").iterdir()
        path.write_bytes(path.read_bytes()[:-5])
        assert decide("advise", "-", "--json", "--quick", data=SMALL, **place).stdout == none.stdout


def test_nothing_is_kept_where_the_user_wants_nothing(tmp_path: Path) -> None:
    assert decide("sources", XDG_CACHE_HOME=str(tmp_path), **{VARIABLE: "no"}).returncode == 0
    assert list(tmp_path.iterdir()) == []


@pytest.mark.slow
def test_the_user_may_name_the_folder(tmp_path: Path) -> None:
    assert decide("sources", **{VARIABLE: str(tmp_path / "here")}).returncode == 0
    assert [path.suffix for path in (tmp_path / "here").iterdir()] == [".json"]


@pytest.mark.parametrize(
    ("system", "told", "place"),
    [
        ("linux", {"XDG_CACHE_HOME": "/place"}, "/place/decide"),
        ("linux", {"HOME": "/home/me"}, "/home/me/.cache/decide"),
        ("linux", {"XDG_CACHE_HOME": "not/whole"}, None),
        ("linux", {VARIABLE: "no"}, None),
        ("linux", {VARIABLE: "/other"}, "/other"),
        ("darwin", {"HOME": "/home/me"}, "/home/me/Library/Caches/decide"),
        ("win32", {"LOCALAPPDATA": "/local"}, "/local/decide"),
        ("win32", {}, None),
    ],
)
def test_where_it_is_kept(
    system: str, told: dict[str, str], place: str | None, monkeypatch: pytest.MonkeyPatch
) -> None:
    for name in ("XDG_CACHE_HOME", "LOCALAPPDATA", VARIABLE):
        monkeypatch.delenv(name, raising=False)
    for name, value in told.items():
        monkeypatch.setenv(name, value)
    monkeypatch.setattr(sys, "platform", system)
    assert kept_folder() == (None if place is None else Path(place))
