"""Makes the expected screens of the talk anew: `python tests/shell/make_screens.py [NAME …]`.

Those whose name begins with "talk-" and a width are of the made-up library of the tests, those that begin with "whole-" are whole
talks with the library itself. Read each before it is kept: an expected screen is a claim, not a record.
"""

from __future__ import annotations

import fcntl
import os
import pty
import struct
import subprocess
import sys
import tempfile
import termios
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))
from conftest import Screen

ROOT = Path(__file__).parents[2]
SCREENS = ROOT / "tests" / "screens"
FAKE = [str(Path(__file__).with_name("fake_talk.py"))]
REAL = ["-m", "decide", "talk", "--today", "2026-05-20"]
USES = "soccer, 12 hours a week, September to May, youth"
# Columns, rows, the program, the lines that are typed, and the words with which the kept part of the screen begins.
TALKS: dict[str, tuple[int, int, list[str], list[str], str]] = {
    "talk-80-start": (80, 40, FAKE, [], ""),
    "talk-40-start": (40, 40, FAKE, ["help"], ""),
    "talk-80-ask-back": (80, 40, FAKE, ["ask me", "glass", "goalmouths", "dragons", "a third grass"], ""),
    "talk-80-advice": (
        80, 70, FAKE,
        ["ask me", "glass", "goalmouths", "80", USES, "15 September", "1", "this week", "leave"],
        "How can the field be watered?",
    ),
    "whole-80-lincoln": (
        80, 120, REAL,
        [
            "Our soccer pitch in Lincoln, Nebraska has bare goalmouths, we want to play on 15 August, we have a hose, six helpers and "
            "2000 dollars",
            "no loose goals, all are anchored; nobody plays on it now", "about 80 percent, solid, since the winter", "kids, 10 hours a week, April to October",
            "nothing was sprayed", "don't know", "advice", "when can we play?", "actually the budget is 500", "leave",
        ],
        "",
    ),
    "whole-40-ennis": (
        40, 200, REAL,
        [
            "Our hurling pitch in Ennis is destroyed in front of the goals, about 70% bare, under 14s train 8 hours a week all year. "
            "Championship is on the 5th of September. No water at all.",
            "none of that", "what do you want that for", "dont know", "advice", "what first", "no the date is 12 september", "bye",
        ],
        "",
    ),
}  # fmt: skip


def shown(columns: int, rows: int, program: list[str], lines: list[str], seconds: float = 120.0) -> str:
    """The screen after some lines were typed, each when the prompt for it had come up."""
    with tempfile.TemporaryDirectory() as home:
        master, slave = pty.openpty()
        fcntl.ioctl(slave, termios.TIOCSWINSZ, struct.pack("HHHH", rows, columns, 0, 0))
        env = {
            "PATH": os.environ.get("PATH", ""), "HOME": home, "TERM": "xterm-256color", "LANG": "C.UTF-8",
            "PYTHONPATH": str(ROOT), "XDG_STATE_HOME": f"{home}/state",
        }  # fmt: skip
        child = subprocess.Popen(
            [sys.executable, *program], stdin=slave, stdout=slave, stderr=slave, env=env, cwd=home,
            start_new_session=True,
        )  # fmt: skip
        os.close(slave)
        screen = Screen(child, master, columns, rows, bytearray())
        try:
            for times, line in enumerate(lines, 1):
                _prompted(screen, times, seconds)
                screen.type(line + "\r")
            if lines[-1:] in (["leave"], ["bye"]):
                screen.ends(seconds)
            else:
                _prompted(screen, len(lines) + 1, seconds)
            return screen.shown().replace(home, "~")
        finally:
            if child.poll() is None:
                child.kill()
            child.wait()
            os.close(master)


def _prompted(screen: Screen, times: int, seconds: float) -> None:
    """Reads until the prompt has come up that many times, and is empty."""
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        rows = screen.shown().rstrip("\n").splitlines()
        if sum(row.startswith(">") for row in rows) == times and rows[-1] == ">":
            screen._read(0.05)
            return
        screen._read(0.05)
    raise SystemExit(f"no prompt came up:\n{screen.shown()}")


if __name__ == "__main__":
    for name, (columns, rows, program, lines, begins) in TALKS.items():
        if not sys.argv[1:] or name in sys.argv[1:]:
            text = shown(columns, rows, program, lines)
            (SCREENS / f"{name}.txt").write_text(text[text.index(begins) :], encoding="utf-8")
            print(f"{name}: {len(text.splitlines())} lines")
