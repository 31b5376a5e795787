"""Loads the made-up library for the tests of the talk, and runs it in pseudo-terminals."""

from __future__ import annotations

import fcntl
import importlib.util
import os
import pty
import select
import struct
import subprocess
import sys
import termios
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from types import ModuleType

import pyte
import pytest


@pytest.fixture(scope="session")
def fake() -> ModuleType:
    """The module `fake_talk.py`."""
    path = Path(__file__).with_name("fake_talk.py")
    spec = importlib.util.spec_from_file_location("fake_talk", path)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules["fake_talk"] = module
    spec.loader.exec_module(module)
    return module


@dataclass
class Screen:
    """A program in a pseudo-terminal, and what its screen shows."""

    child: subprocess.Popen[bytes]
    master: int
    columns: int
    rows: int
    written: bytearray

    def __post_init__(self) -> None:
        self.picture = pyte.HistoryScreen(self.columns, self.rows, history=500)
        self.stream = pyte.ByteStream(self.picture)

    def _read(self, seconds: float) -> bool:
        ready, _, _ = select.select([self.master], [], [], seconds)
        if not ready:
            return True
        try:
            got = os.read(self.master, 65536)
        except OSError:
            return False
        self.written += got
        self.stream.feed(got)
        return bool(got)

    def shown(self) -> str:
        """The whole screen with what has scrolled away, without spaces at the ends of lines."""
        above = ["".join(row[at].data for at in range(self.columns)) for row in self.picture.history.top]
        lines = [line.rstrip() for line in (*above, *self.picture.display)]
        return "\n".join(lines).rstrip() + "\n"

    def wait_for(self, text: str, seconds: float = 90.0) -> None:
        """Reads until the last lines of the screen hold `text` and the prompt is out again."""
        end = time.monotonic() + seconds
        while time.monotonic() < end:
            if text in self.shown():
                return
            if not self._read(0.05):
                break
        if text not in self.shown():
            raise AssertionError(f"{text!r} did not come up:\n{self.shown()}")

    def prompted(self, times: int) -> None:
        """Reads until the prompt has come up that many times."""
        end = time.monotonic() + 20
        while time.monotonic() < end:
            if sum(line.startswith(">") for line in self.shown().splitlines()) >= times:
                self._read(0.05)
                return
            if not self._read(0.05):
                break
        raise AssertionError(f"no {times} prompts:\n{self.shown()}")

    def type(self, text: str) -> None:
        """Types some keys."""
        os.write(self.master, text.encode())

    def ends(self, seconds: float = 90.0) -> int:
        """Waits for the end and gives the exit code."""
        end = time.monotonic() + seconds
        while self.child.poll() is None and time.monotonic() < end:
            self._read(0.05)
        while self._read(0.0) and select.select([self.master], [], [], 0)[0]:
            pass
        return self.child.wait(timeout=1)


@pytest.fixture
def terminal(tmp_path: Path) -> Iterator[Callable[..., Screen]]:
    """Starts the made-up talk in a pseudo-terminal."""
    started: list[Screen] = []

    def start(
        *options: str,
        columns: int = 80,
        rows: int = 40,
        env: dict[str, str] | None = None,
        stdout: int | None = None,
        stderr: int | None = None,
    ) -> Screen:
        master, slave = pty.openpty()
        fcntl.ioctl(slave, termios.TIOCSWINSZ, struct.pack("HHHH", rows, columns, 0, 0))
        root = Path(__file__).parents[2]
        inner = {
            "PATH": os.environ.get("PATH", ""), "HOME": str(tmp_path), "TERM": "xterm-256color", "LANG": "C.UTF-8",
            "PYTHONPATH": str(root), "XDG_STATE_HOME": str(tmp_path / "state"), **(env or {}),
        }  # fmt: skip
        child = subprocess.Popen(
            [sys.executable, str(Path(__file__).with_name("fake_talk.py")), *options],
            stdin=slave, stdout=slave if stdout is None else stdout, stderr=slave if stderr is None else stderr,
            env=inner, cwd=tmp_path, start_new_session=True,
        )  # fmt: skip
        os.close(slave)
        screen = Screen(child, master, columns, rows, bytearray())
        started.append(screen)
        return screen

    yield start
    for screen in started:
        if screen.child.poll() is None:
            screen.child.kill()
        screen.child.wait()
        os.close(screen.master)
