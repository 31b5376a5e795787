"""Output that cannot be written: a full disk, a reader that goes away, a folder that is read only. It is said, by a
message and by the exit code, and nothing is lost.
"""

from __future__ import annotations

import ctypes
import os
import resource
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from contextlib import suppress
from pathlib import Path
from typing import NamedTuple

import pytest

from decide.__main__ import command
from decide.cli.table import COMMANDS
from decide.shell.keep import load

pytestmark = pytest.mark.skipif(os.name != "posix", reason="it forks")
full = pytest.mark.skipif(not os.path.exists("/dev/full"), reason="this system has no full device")
ROOT = Path(__file__).parents[2]
SMALL = '[place]\nname = "York"\ncountry = "gb"\n[dates]\ntoday = 2026-05-12\n[field]\nbare_percent = 30\n'
LINE = (
    '{"id": "f%d", "place": {"name": "York", "country": "gb"}, "dates": {"today": "2026-05-12"}, "zone": 3}\n'
)
TOLD = "Our soccer pitch in York has bare goalmouths.\n"
MANY = ("many", "lines.jsonl", "--engine", "plain", "--cores", "1")
# What judges or reads much takes longer than all others together.
LONG = {"advise", "many", "explain", "windows", "lesson", "changed", "cases"}
# What each command is given, to have something to say.
SAYS = {
    "talk": ("--talk", "talk.json"),
    "advise": ("field.toml", "--quick"),
    "many": ("lines.jsonl", "-", "--engine", "plain", "--cores", "1"),
    "explain": ("field.toml", "what is sod"),
    "windows": ("field.toml",),
    "record": ("field.toml", "mow", "--on", "2026-05-10"),
    "lesson": ("field.toml", "--all"),
    "changed": ("--situations", "field.toml", "other.toml"),
    "cases": ("york",),
    "new": ("rule", "seed-on-ice"),
    "demo": ("--file",),
    "schema": (),
    "audit": ("--help",),
    "sources": (),
    "completion": ("bash",),
    "version": (),
    "help": (),
}


ALL = [pytest.param(name, marks=[pytest.mark.slow] if name in LONG else []) for name in SAYS]


class Done(NamedTuple):
    """How a command ended, and what it said beside its output."""

    code: int
    said: str


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "field.toml").write_text(SMALL)
    (tmp_path / "other.toml").write_text(SMALL.replace("30", "60"))
    (tmp_path / "lines.jsonl").write_text("".join(LINE % n for n in range(3)))
    return tmp_path


def decide(*words: str, out: int, data: str = "", first: Callable[[], object] = lambda: None) -> Done:
    """Run a command in a process of its own, which has all that this one has loaded; `first` is done in it."""
    with tempfile.TemporaryFile() as errors, tempfile.TemporaryFile() as given:
        given.write(data.encode())
        given.seek(0)
        process = os.fork()
        if process == 0:
            with suppress(BaseException):
                _become(words, given.fileno(), out, errors.fileno(), first)
            os._exit(99)
        code = os.waitstatus_to_exitcode(os.waitpid(process, 0)[1])
        errors.seek(0)
        return Done(code, errors.read().decode())


def _become(words: tuple[str, ...], given: int, out: int, errors: int, first: Callable[[], object]) -> None:
    for to, place in enumerate((given, out, errors)):
        os.dup2(place, to)
    read, write, beside = (os.fdopen(at, mode, closefd=False) for at, mode in enumerate(("r", "w", "w")))
    sys.stdin, sys.stdout, sys.stderr = read, write, beside
    sys.argv = ["decide", *words]
    first()
    try:
        command()
    except SystemExit as left:
        # As the interpreter does where it ends the process itself.
        sys.stdout.flush()
        os._exit(int(left.code or 0))


def plainly(done: Done) -> None:
    assert "Traceback" not in done.said
    assert done.said.count("\n") <= 3
    assert "  " not in done.said


def test_each_command_is_looked_at() -> None:
    assert set(SAYS) == set(COMMANDS)


# ---------- a full disk behind standard output ----------
@full
@pytest.mark.parametrize("name", ALL)
def test_a_full_disk_is_said(name: str, here: Path) -> None:
    with open("/dev/full", "wb") as out:
        done = decide(name, *SAYS[name], out=out.fileno(), data=TOLD)
    assert done.code == 1
    plainly(done)
    assert "no space left on device" in done.said
    assert (here / "other.toml").read_text() == SMALL.replace("30", "60")


@full
def test_a_row_that_was_written_is_not_written_twice(here: Path) -> None:
    with open("/dev/full", "wb") as out:
        done = decide("record", "field.toml", "mow", "--on", "2026-05-10", out=out.fileno())
    assert "Written at the end of field.toml; it stands there" in done.said
    assert (here / "field.toml").read_text().count("[[done]]") == 1


@full
@pytest.mark.slow
def test_a_full_error_stream_ends_no_command_badly(here: Path) -> None:
    with open("/dev/full", "wb") as nowhere, open(here / "out", "wb") as out:
        done = decide(*MANY, "-", out=out.fileno(), first=lambda: os.dup2(nowhere.fileno(), 2) and None)
    assert done.code == 1  # the lines are bad ones
    assert (here / "out").read_bytes().count(b"\n") == 3


# ---------- a reader that goes away ----------
@pytest.mark.parametrize("name", ALL)
def test_a_reader_that_goes_away_is_told_nothing(name: str, here: Path) -> None:
    read, write = os.pipe()
    os.close(read)
    done = decide(name, *SAYS[name], out=write, data=TOLD)
    os.close(write)
    assert done.code == 1
    assert "Traceback" not in done.said
    assert "cannot be" not in done.said.replace("cannot be shown", "")


# ---------- a disk that takes no more ----------
@pytest.fixture
def disk(tmp_path: Path) -> Iterator[Path]:
    """A disk of its own that is soon full, where one may be put up."""
    place = tmp_path / "disk"
    place.mkdir()
    made = subprocess.run(
        ["mount", "-t", "tmpfs", "-o", "size=12k", "tmpfs", str(place)], capture_output=True, check=False
    )
    if made.returncode:
        pytest.skip("no disk may be put up here")
    yield place
    subprocess.run(["umount", str(place)], check=True)


def in_form(form: str, here: Path) -> bytes:
    out = here / f"whole.{form}"
    with open(os.devnull, "wb") as nowhere:
        assert decide(*MANY, str(out), out=nowhere.fileno()).code == 1
    return out.read_bytes()


@pytest.mark.slow
@pytest.mark.parametrize(
    ("form", "most", "says"),
    [("jsonl", 700, "the lines that are done are kept"), ("csv", 2_400, "all lines are done")],
)
def test_a_batch_goes_on_once_there_is_room(form: str, most: int, says: str, here: Path) -> None:
    def small_disk() -> None:
        """From now on no file grows beyond so much, as on a disk that is full."""
        resource.setrlimit(resource.RLIMIT_FSIZE, (most, most))

    (here / "lines.jsonl").write_text("".join(LINE % n for n in range(8)))
    with open(os.devnull, "wb") as nowhere:
        words = (*MANY, f"out.{form}")
        done = decide(*words, out=nowhere.fileno(), first=small_disk)
        assert done.code == 1
        plainly(done)
        assert f"it cannot be written: file too large; {says}" in done.said
        assert sorted(path.name for path in here.glob("out*")) == [
            f"out.{form}.part",
            f"out.{form}.part.json",
        ]
        assert decide(*words, out=nowhere.fileno()).code == 1
    assert (here / f"out.{form}").read_bytes() == in_form(form, here)
    assert sorted(path.name for path in here.glob("out*")) == [f"out.{form}"]


@pytest.mark.slow
@pytest.mark.parametrize("form", ["jsonl", "csv"])
def test_a_batch_on_a_disk_that_is_full_goes_on_once_there_is_room(form: str, here: Path, disk: Path) -> None:
    (here / "lines.jsonl").write_text("".join(LINE % n for n in range(60)))
    (disk / "ballast").write_bytes(b"x")
    words = (*MANY, str(disk / f"out.{form}"))
    with open(os.devnull, "wb") as nowhere:
        done = decide(*words, out=nowhere.fileno())
        assert done.code == 1
        plainly(done)
        assert "no space left on device" in done.said
        assert not (disk / f"out.{form}").exists()
        (disk / "ballast").unlink()
        subprocess.run(["mount", "-o", "remount,size=1m", str(disk)], check=True)
        assert decide(*words, out=nowhere.fileno()).code == 1
    assert (disk / f"out.{form}").read_bytes() == in_form(form, here)


# ---------- a folder in which nothing may be written ----------
def ordinary() -> None:
    """Give up what lets an administrator write everywhere."""
    if os.geteuid() == 0:
        header = (ctypes.c_uint32 * 2)(0x20080522, 0)
        assert ctypes.CDLL(None).capset(header, (ctypes.c_uint32 * 6)()) == 0


WRITES = {
    "record": ("shut/field.toml", "mow", "--on", "2026-05-10"),
    "advise": ("field.toml", "--quick", "--page", "shut/page.html"),
    "many": ("lines.jsonl", "shut/out.jsonl", "--cores", "1"),
    "new": ("rule", "seed-on-ice", "--write", "shut"),
    "lesson": ("field.toml", "--page", "shut/page.html"),
}


@pytest.fixture
def shut(here: Path) -> Iterator[Path]:
    folder = here / "shut"
    folder.mkdir()
    (folder / "field.toml").write_text(SMALL)
    folder.chmod(0o555)
    yield folder
    folder.chmod(0o755)


needs_it = pytest.mark.skipif(
    os.geteuid() == 0 and not sys.platform.startswith("linux"), reason="an administrator writes everywhere"
)


@needs_it
@pytest.mark.parametrize(
    "name", [pytest.param(name, marks=[pytest.mark.slow] if name in LONG else []) for name in WRITES]
)
def test_a_folder_that_is_read_only_is_named(name: str, shut: Path) -> None:
    with open(os.devnull, "wb") as nowhere:
        done = decide(name, *WRITES[name], out=nowhere.fileno(), first=ordinary)
    assert done.code in (1, 2)
    plainly(done)
    assert "shut" in done.said
    assert "ermission denied" in done.said or "nothing may be written" in done.said
    assert [path.name for path in shut.iterdir()] == ["field.toml"]
    assert (shut / "field.toml").read_text() == SMALL


@needs_it
def test_a_batch_that_may_not_be_done_anew_is_left(shut: Path) -> None:
    shut.chmod(0o755)
    (shut / "out.jsonl.part").write_text("kept")
    shut.chmod(0o555)
    with open(os.devnull, "wb") as nowhere:
        words = (*WRITES["many"], "--again")
        done = decide("many", *words, out=nowhere.fileno(), first=ordinary)
    assert done.code == 1
    plainly(done)
    assert "it cannot be taken away: permission denied" in done.said
    assert (shut / "out.jsonl.part").read_text() == "kept"


@needs_it
def test_a_talk_in_it_shows_what_is_not_kept(here: Path, shut: Path) -> None:
    with open(here / "said", "wb") as out:
        done = decide("talk", "--talk", "shut/talk.json", out=out.fileno(), data=TOLD, first=ordinary)
    said = (here / "said").read_text()
    assert done.code == 1
    assert "permission denied" in said
    assert "York" in said.rpartition("permission denied")[2]
    assert not (shut / "talk.json").exists()


@full
def test_a_talk_that_cannot_be_shown_keeps_its_answers(here: Path) -> None:
    with open("/dev/full", "wb") as out, open(here / "shown", "wb") as shown:
        # The disk is full once the first line has been read.
        def later() -> None:
            whole = sys.stdin.readline

            class Source:
                def readline(self) -> str:
                    os.dup2(out.fileno(), 1) if seen else seen.append(1)
                    return whole()

                def isatty(self) -> bool:
                    return False

            seen: list[int] = []
            sys.stdin = Source()  # type: ignore[assignment]

        words = ("talk", "--talk", "talk.json")
        done = decide(*words, out=shown.fileno(), data=TOLD + "60 percent\n", first=later)
    assert done.code == 1
    plainly(done)
    assert (
        "The talk cannot be shown: no space left on device. Your answers are kept in talk.json." in done.said
    )
    assert load(here / "talk.json")["place"]["name"] == "York"
