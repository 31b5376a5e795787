"""Full terminal mode in pseudo-terminals of 80 and 40 columns. The expected screens were written by hand."""

from __future__ import annotations

import json
import os
import select
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

# Long: the fast run leaves these to .ci/run.
pytestmark = pytest.mark.slow

SCREENS = Path(__file__).parents[1] / "screens"
Start = Callable[..., Any]


def screen_of(name: str) -> str:
    return (SCREENS / f"{name}.txt").read_text(encoding="utf-8")


def say(screen: Any, *lines: str) -> None:
    """Types lines, each after the prompt for it has come up."""
    times = sum(line.startswith(">") for line in screen.shown().splitlines())
    for line in lines:
        times += 1
        screen.prompted(times)
        screen.type(line + "\r")
        screen.wait_for("> " + line)


def test_start_at_80_columns(terminal: Start) -> None:
    screen = terminal()
    screen.prompted(1)
    assert screen.shown() == screen_of("talk-80-start")


def test_errors_and_ask_backs_at_80_columns(terminal: Start) -> None:
    screen = terminal()
    say(screen, "ask me", "glass", "goalmouths", "dragons", "a third grass")
    screen.prompted(6)
    assert screen.shown() == screen_of("talk-80-ask-back")


def test_help_at_40_columns(terminal: Start) -> None:
    screen = terminal(columns=40)
    say(screen, "help")
    screen.prompted(2)
    assert screen.shown() == screen_of("talk-40-start")


def test_advice_at_80_columns(terminal: Start) -> None:
    screen = terminal(rows=70)
    say(
        screen,
        "ask me",
        "glass",
        "goalmouths",
        "80",
        "soccer, 12 hours a week, September to May, youth",
        "15 September",
        "1",
        "this week",
        "leave",
    )
    assert screen.ends() == 0
    shown = screen.shown()
    assert shown[shown.index("How can the field be watered?") :] == screen_of("talk-80-advice")


def test_nothing_is_wider_than_40_columns_and_no_word_is_cut(terminal: Start) -> None:
    screen = terminal(columns=40, rows=70)
    say(screen, "ask me", "glass", "goalmouths", "dragons", "show answers", "why do you ask")
    screen.prompted(7)
    shown = screen.shown()
    assert "…" not in shown
    assert "! I do not see a number in that. For\n" in shown
    assert all(len(line) <= 40 for line in shown.splitlines())


def test_no_colour_when_told_so(terminal: Start) -> None:
    plain = terminal(env={"NO_COLOR": "1"})
    say(plain, "ask me", "glass")
    plain.prompted(3)
    assert b"\x1b[1;33m" not in plain.written
    assert b"\x1b[2m" not in plain.written
    assert b"\x1b[1m" not in plain.written
    coloured = terminal("--talk", "other.json")
    coloured.prompted(1)
    assert b"\x1b[1m" in coloured.written
    assert coloured.shown() == screen_of("talk-80-start")


def test_ascii_where_the_encoding_is_not_utf8(terminal: Start) -> None:
    screen = terminal(rows=70, env={"PYTHONUTF8": "0", "PYTHONIOENCODING": "ascii", "LANG": "C"})
    say(
        screen,
        "ask me",
        "glass",
        "goalmouths",
        "80",
        "soccer, 12 hours a week, September to May, youth",
        "15 September",
        "1",
        "details",
        "rake",
        "500",
    )
    screen.wait_for("Which area is meant?")
    screen.wait_for(" 1  500 m2")
    assert bytes(screen.written).isascii()


def test_tab_completes_a_choice(terminal: Start) -> None:
    screen = terminal()
    say(screen, "ask me")
    screen.prompted(2)
    screen.type("loo\t\r")
    screen.wait_for("- Noted. Danger: loose goals")


def test_history_brings_the_last_line_back(terminal: Start) -> None:
    screen = terminal()
    say(screen, "dragons")
    screen.prompted(2)
    screen.type("\x1b[A")
    time.sleep(0.1)
    screen.type("\r")
    screen.prompted(3)
    assert screen.shown().count("> dragons") == 2


def test_ctrl_c_asks_once_and_goes_on(terminal: Start, tmp_path: Path) -> None:
    screen = terminal("--talk", "talk.json")
    say(screen, "ask me", "glass")
    screen.prompted(3)
    screen.type("\x03")
    screen.wait_for("Your answers are kept. Leave? (yes or no)")
    screen.prompted(4)
    screen.type("no\r")
    screen.prompted(5)
    screen.type("\x03")
    screen.prompted(6)
    screen.type("yes\r")
    assert screen.ends() == 130
    assert json.loads((tmp_path / "talk.json").read_text()) == {"site": {"dangers": ["glass"]}}


def test_ctrl_c_twice_leaves(terminal: Start) -> None:
    screen = terminal()
    screen.prompted(1)
    screen.type("\x03")
    screen.prompted(2)
    screen.type("\x03")
    assert screen.ends() == 130


def test_ctrl_d_leaves(terminal: Start) -> None:
    screen = terminal()
    screen.prompted(1)
    screen.type("\x04")
    assert screen.ends() == 1
    assert "Your answers are kept." in screen.shown()


@pytest.mark.parametrize(("number", "code"), [(signal.SIGTERM, 143), (signal.SIGHUP, 129)])
def test_signals_keep_the_answers_and_put_the_terminal_right(
    terminal: Start, tmp_path: Path, number: int, code: int
) -> None:
    screen = terminal("--talk", "talk.json")
    say(screen, "ask me", "glass")
    screen.prompted(3)
    screen.child.send_signal(number)
    assert screen.ends() == code
    assert json.loads((tmp_path / "talk.json").read_text()) == {"site": {"dangers": ["glass"]}}
    assert b"\x1b[?2004l" in screen.written[-400:]  # bracketed paste is off again


def test_a_signal_while_it_thinks(terminal: Start) -> None:
    screen = terminal("--slow", rows=70)
    say(screen, "ask me", "glass", "that's enough")
    time.sleep(0.3)
    screen.child.send_signal(signal.SIGTERM)
    assert screen.ends(10) == 143


def test_a_long_text_is_shown_by_screenfuls(terminal: Start) -> None:
    screen = terminal(rows=24)
    say(screen, "ask me", "glass", "advice", "all")
    screen.wait_for("-- space: on; enter: a line; q: stop --")
    assert "Line 20 of all." in screen.shown()
    assert "Line 21 of all." not in screen.shown()
    screen.type("\r")
    screen.wait_for("Line 21 of all.")
    assert "Line 22 of all." not in screen.shown()
    screen.type(" ")
    screen.wait_for("Line 44 of all.")
    screen.type("w")
    screen.wait_for("> w")
    assert "Line 45 of all." not in screen.shown()
    assert "-- space" not in screen.shown()


def test_a_signal_while_it_pages(terminal: Start) -> None:
    screen = terminal(rows=24)
    say(screen, "ask me", "glass", "advice", "all")
    screen.wait_for("-- space: on; enter: a line; q: stop --")
    screen.child.send_signal(signal.SIGTERM)
    assert screen.ends(10) == 143


def test_resume(terminal: Start, tmp_path: Path) -> None:
    (tmp_path / "talk.json").write_text('{"site": {"dangers": ["glass"]}, "place": {"name": "York"}}')
    screen = terminal("--talk", "talk.json")
    screen.wait_for("There is a talk about York from before, with 1 answer. Go on with it?")
    say(screen, "1")
    screen.wait_for("Which parts of the field are bad?")


def test_advice_goes_to_the_file_and_questions_to_the_terminal(terminal: Start, tmp_path: Path) -> None:
    with (tmp_path / "out.txt").open("wb") as file:
        screen = terminal(rows=70, stdout=file.fileno())
        say(screen, "ask me", "glass", "that's enough")
        screen.wait_for("What next?")
        screen.type("leave\r")
        assert screen.ends() == 0
    assert (
        tmp_path / "out.txt"
    ).read_text() == "ADVICE first screen width 80 by place\nSow the goalmouths now.\n"
    assert "Is anything dangerous" in screen.shown()


LAUNCHER = """
import os, signal, sys
child = os.fork()
if child == 0:
    os.setpgid(0, 0)
    signal.signal(signal.SIGTTOU, signal.SIG_IGN)
    os.tcsetpgrp(0, os.getpgrp())
    signal.signal(signal.SIGTTOU, signal.SIG_DFL)
    os.execv(sys.executable, [sys.executable, *sys.argv[1:]])
while True:
    _, status = os.waitpid(child, os.WUNTRACED)
    if os.WIFSTOPPED(status):
        os.write(1, b"[stopped]")
        os.kill(child, signal.SIGCONT)
    else:
        sys.exit(os.waitstatus_to_exitcode(status))
"""


def test_ctrl_z_stops_and_comes_back(tmp_path: Path) -> None:
    import pty

    pid, master = pty.fork()
    if pid == 0:
        os.chdir(tmp_path)
        root = str(Path(__file__).parents[2])
        env = {
            "PATH": os.environ.get("PATH", ""),
            "HOME": str(tmp_path),
            "TERM": "xterm",
            "PYTHONPATH": root,
            "PYTHONUTF8": "1",
        }
        os.execve(
            sys.executable,
            [sys.executable, "-c", LAUNCHER, str(Path(__file__).with_name("fake_talk.py"))],
            env,
        )
    seen = b""

    def until(text: bytes) -> None:
        nonlocal seen
        end = time.monotonic() + 20
        while text not in seen and time.monotonic() < end:
            if select.select([master], [], [], 0.1)[0]:
                try:
                    seen += os.read(master, 65536)
                except OSError:
                    break
        assert text in seen, seen
        seen = seen[seen.index(text) + len(text) :]

    until(b"one thing at a time.")
    until(b"\x1b[?25h")
    time.sleep(0.2)
    os.write(master, b"\x1a")
    until(b"[stopped]")
    time.sleep(0.5)
    os.write(master, b"ask me\r")
    until(b"(about 5 more)")
    until(b"\x1b[?25h")
    time.sleep(0.2)
    os.write(master, b"glass\r")
    until(b"Noted. Danger: glass")
    until(b"(about 4 more)")
    until(b"\x1b[?25h")
    time.sleep(0.2)
    os.write(master, b"\x04")
    end = time.monotonic() + 20
    done, status = 0, 0
    while not done and time.monotonic() < end:
        done, status = os.waitpid(pid, os.WNOHANG)
        time.sleep(0.05)
    os.close(master)
    assert done
    assert os.waitstatus_to_exitcode(status) == 1


def test_the_terminal_library_gets_no_piped_input(tmp_path: Path) -> None:
    done = subprocess.run(
        [sys.executable, str(Path(__file__).with_name("fake_talk.py"))], input=b"leave\n", capture_output=True, cwd=tmp_path, timeout=60, check=False,
        env={"HOME": str(tmp_path), "PYTHONPATH": str(Path(__file__).parents[2]), "TERM": "xterm", "FORCE_COLOR": "1"},
    )  # fmt: skip
    assert b"\x1b" not in done.stdout
