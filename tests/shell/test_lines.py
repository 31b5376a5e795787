"""Line mode through pipes: no escape byte, one question a line, answers kept, an exit code that says whether there is advice."""

from __future__ import annotations

import dataclasses
import io
import json
import os
import signal
import subprocess
import sys
import time
from pathlib import Path
from types import ModuleType

import pytest

from decide.shell import FIRST_LINE, run
from decide.shell.asking import Prompt
from decide.shell.lines import as_line, bare

ROOT = Path(__file__).parents[2]
SCREENS = ROOT / "tests" / "screens"
LINES = [
    "ask me",
    "glass",
    "goalmouths",
    "80",
    "soccer, 12 hours a week, September to May, youth",
    "12/6",
    "2",
    "no hose",
]


def piped(
    tmp_path: Path, typed: str | bytes, *options: str, env: dict[str, str] | None = None
) -> subprocess.CompletedProcess[bytes]:
    inner = {
        "PATH": os.environ.get("PATH", ""),
        "HOME": str(tmp_path),
        "PYTHONPATH": str(ROOT),
        "TERM": "xterm-256color",
        "PYTHONUTF8": "1",
        **(env or {}),
    }
    return subprocess.run(
        [sys.executable, str(Path(__file__).with_name("fake_talk.py")), *options],
        input=typed.encode() if isinstance(typed, str) else typed, capture_output=True, env=inner, cwd=tmp_path, timeout=60, check=False,
    )  # fmt: skip


@pytest.mark.slow
def test_a_whole_talk_as_expected(tmp_path: Path) -> None:
    done = piped(tmp_path, "\n".join(LINES) + "\n", "--talk", "talk.json")
    assert done.stdout.decode() == (SCREENS / "talk-lines.txt").read_text()
    assert done.stderr == b""
    assert done.returncode == 0
    assert json.loads((tmp_path / "talk.json").read_text())["means"] == {"water": "none"}


@pytest.mark.slow
def test_no_escape_byte_whatever_is_typed(tmp_path: Path) -> None:
    done = piped(
        tmp_path, b"ask me\n\x1b[31mglass\x1b[0m\n\xff\xfe corner\n\x1b]0;t\x07half\nhelp\nshow answers\n"
    )
    assert b"\x1b" not in done.stdout + done.stderr
    assert b"Noted. Danger: glass" in done.stdout


@pytest.mark.slow
def test_what_is_not_judged_is_said_by_name_and_the_question_stays(tmp_path: Path) -> None:
    shown = piped(tmp_path, "ask me\nthere are floodlights\n").stdout.decode()
    asked, _, after = shown.partition("Floodlights are not kept")
    assert after
    assert asked.splitlines()[-1] in after


@pytest.mark.slow
def test_input_that_ends_early_keeps_answers_and_says_what_is_missing(tmp_path: Path) -> None:
    done = piped(tmp_path, "ask me\nglass\ngoalmouths\n80\n", "--talk", "talk.json")
    assert done.returncode == 1
    tail = done.stdout.decode().splitlines()[-2:]
    assert tail == [
        "The input ended before there was advice. Your answers are kept.",
        "Still missing: Who plays on it? And perhaps 2 more.",
    ]
    assert json.loads((tmp_path / "talk.json").read_text())["zone"] == [
        {"name": "goalmouths", "bare_percent": 80}
    ]


def test_no_input_at_all(tmp_path: Path) -> None:
    done = piped(tmp_path, "")
    assert done.returncode == 1
    assert (
        "Still missing: where the field is, what is wrong with it, and by when you want it back."
        in done.stdout.decode()
    )


@pytest.mark.slow
def test_a_talk_is_resumed(tmp_path: Path) -> None:
    piped(tmp_path, "ask me\nglass\ngoalmouths\n", "--talk", "talk.json")
    done = piped(tmp_path, "yes\n50\n", "--talk", "talk.json")
    out = done.stdout.decode()
    assert "There is a talk from before, with 2 answers. Go on with it? (1 yes; 2 no, start again)" in out
    assert "[about 3 more] goalmouths: How much of it is bare ground?" in out
    assert json.loads((tmp_path / "talk.json").read_text())["zone"] == [
        {"name": "goalmouths", "bare_percent": 50}
    ]


@pytest.mark.slow
def test_the_usual_place_is_the_users_state_folder(tmp_path: Path) -> None:
    piped(tmp_path, "ask me\nglass\n", env={"XDG_STATE_HOME": str(tmp_path / "state")})
    assert (tmp_path / "state" / "decide" / "talk.json").exists()
    piped(tmp_path, "ask me\nglass\n")
    assert (tmp_path / ".local" / "state" / "decide" / "talk.json").exists()


@pytest.mark.slow
def test_toml_is_kept_where_the_name_says_so(tmp_path: Path) -> None:
    piped(tmp_path, "ask me\nglass\ngoalmouths\n", "--talk", "field.toml")
    assert (
        tmp_path / "field.toml"
    ).read_text() == '[site]\ndangers = ["glass"]\n\n[[zone]]\nname = "goalmouths"\n'


@pytest.mark.slow
@pytest.mark.parametrize("broken", ["{ nonsense", "[1, 2]", "= = =", "\x00\x01", "[" * 5000])
def test_a_broken_file_is_named_and_left_alone(tmp_path: Path, broken: str) -> None:
    (tmp_path / "talk.json").write_text(broken)
    done = piped(tmp_path, "ask me\nglass\n", "--talk", "talk.json")
    assert done.returncode == 1
    assert b"talk.json" in done.stdout
    assert b"Traceback" not in done.stderr + done.stdout
    assert (tmp_path / "talk.json").read_text() == broken


@pytest.mark.slow
def test_ascii_where_the_encoding_is_not_utf8(tmp_path: Path) -> None:
    typed = b"ask me\nglass\ngoalmouths\n80\nsoccer, 12 hours a week, September to May, youth\n15 September\nno hose\ndetails\nrake\n100 x 60 m\nshow answers\n"
    done = piped(tmp_path, typed, env={"PYTHONUTF8": "0", "PYTHONIOENCODING": "latin-1"})
    assert done.stdout.isascii()
    assert b"6,000 m2" in done.stdout


@pytest.mark.slow
def test_a_dumb_terminal_gets_lines(terminal: object) -> None:
    screen = terminal(env={"TERM": "dumb"})  # type: ignore[operator]
    screen.type("ask me\n")
    screen.wait_for("3 none of these)")
    screen.type("glass\n")
    screen.wait_for("Which parts of the field are bad?")
    screen.type("\x04")
    assert screen.ends() == 1
    assert b"\x1b" not in screen.written


@pytest.mark.slow
@pytest.mark.parametrize(("number", "code"), [(signal.SIGTERM, 143), (signal.SIGHUP, 129)])
def test_signals_leave_with_the_answers_kept(tmp_path: Path, number: int, code: int) -> None:
    child = subprocess.Popen(
        [sys.executable, str(Path(__file__).with_name("fake_talk.py")), "--talk", "talk.json"],
        stdin=subprocess.PIPE, stdout=subprocess.PIPE, cwd=tmp_path,
        env={"PATH": os.environ.get("PATH", ""), "HOME": str(tmp_path), "PYTHONPATH": str(ROOT), "PYTHONUTF8": "1"},
    )  # fmt: skip
    assert child.stdin is not None
    assert child.stdout is not None
    child.stdin.write(b"ask me\nglass\n")
    child.stdin.flush()
    while b"Which parts" not in child.stdout.readline():
        pass
    child.send_signal(number)
    assert child.wait(timeout=20) == code
    assert json.loads((tmp_path / "talk.json").read_text()) == {"site": {"dangers": ["glass"]}}
    child.stdin.close()
    child.stdout.close()


def test_a_reader_that_goes_away_is_no_traceback(tmp_path: Path) -> None:
    child = subprocess.Popen(
        [sys.executable, str(Path(__file__).with_name("fake_talk.py")), "--talk", "talk.json"],
        stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE, cwd=tmp_path,
        env={"PATH": os.environ.get("PATH", ""), "HOME": str(tmp_path), "PYTHONPATH": str(ROOT)},
    )  # fmt: skip
    assert child.stdout is not None
    child.stdout.readline()
    child.stdout.close()
    _, errors = child.communicate(b"glass\n" * 3, timeout=20) if child.stdin else (b"", b"")
    assert b"Traceback" not in errors
    assert child.returncode == 1


def test_the_first_line_comes_before_anything_slow_is_imported() -> None:
    code = (
        "import sys, decide.shell as s\n"
        "class Out:\n"
        "    encoding = 'utf-8'\n"
        "    def isatty(self): return False\n"
        "    def flush(self): pass\n"
        "    def write(self, text):\n"
        "        if not hasattr(self, 'seen'):\n"
        "            self.seen = True\n"
        "            slow = [m for m in ('prompt_toolkit', 'rich', 'pydantic', 'numpy', 'decide.knowledge.load') if m in sys.modules]\n"
        "            print(text.strip(), slow, file=sys.stderr)\n"
        "            raise BrokenPipeError\n"
        "s.run(stdin=sys.stdin, stdout=Out(), stderr=sys.stderr, env={})\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", code],
        capture_output=True,
        text=True,
        stdin=subprocess.DEVNULL,
        env={"PYTHONPATH": str(ROOT)},
        check=False,
        timeout=60,
    )
    assert done.stderr.strip() == f"{FIRST_LINE} []"


@pytest.mark.slow
def test_line_mode_imports_no_terminal_library(tmp_path: Path) -> None:
    code = (
        "import sys, runpy\n"
        f"sys.argv = ['fake_talk.py', '--talk', {str(tmp_path / 't.json')!r}]\n"
        "try:\n"
        f"    runpy.run_path({str(Path(__file__).with_name('fake_talk.py'))!r}, run_name='__main__')\n"
        "except SystemExit:\n"
        "    print([m for m in ('prompt_toolkit', 'rich') if m in sys.modules], file=sys.stderr)\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", code],
        capture_output=True,
        text=True,
        input="ask me\nglass\n",
        env={"PYTHONPATH": str(ROOT)},
        check=False,
        timeout=60,
    )
    assert done.stderr.strip() == "[]"


def test_a_fault_of_the_program_keeps_the_answers_and_says_so(fake: ModuleType, tmp_path: Path) -> None:
    def broken(answers: object, units: object) -> object:
        raise RuntimeError("planted")

    def make(today: object) -> object:
        return dataclasses.replace(fake.tools(), advise=broken)

    out = io.StringIO()
    typed = io.StringIO("ask me\nglass\nthat's enough\n")
    code = run(
        talk=str(tmp_path / "t.json"),
        stdin=typed,
        stdout=out,
        stderr=io.StringIO(),
        env={},
        make_tools=make,
    )  # type: ignore[arg-type]
    assert code == 70
    assert (
        out.getvalue().splitlines()[-1]
        == f"The program went wrong (RuntimeError: planted). Your answers are kept in {tmp_path / 't.json'}."
    )
    assert json.loads((tmp_path / "t.json").read_text()) == {"site": {"dangers": ["glass"]}}


def test_a_prompt_is_one_line() -> None:
    prompt = Prompt("Which?", ("this", "that"), 3, "or neither")
    assert as_line(prompt) == "[about 3 more] Which? (1 this; 2 that) (or neither)"


def test_escapes_are_taken_out_of_what_is_shown() -> None:
    assert bare("one\n\x1b[1mtwo\x1b[0m") == "one\ntwo"


@pytest.mark.slow
def test_answers_are_slow_to_nobody(tmp_path: Path) -> None:
    before = time.perf_counter()
    piped(tmp_path, "leave\n")
    assert time.perf_counter() - before < 5
