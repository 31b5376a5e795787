"""The conversation: full terminal mode and plain line mode. Its first line is out before anything slow is imported."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Mapping, Sequence

TYPE_CHECKING = False
if TYPE_CHECKING:
    import datetime as dt
    from typing import TextIO

    from decide.shell.tools import Tools

FIRST_LINE = "Let us bring your field back to play."
USAGE = """\
usage: decide talk [--talk FILE] [--today DATE] [--units metric|us] [--lines]
  --talk FILE    keep the answers in FILE (.json or .toml) instead of the usual place
  --today DATE   take DATE (as 2026-05-20) for today
  --units NAME   metric or us
  --lines        plain lines, as for pipes"""
BAD_USE = 2
WENT_WRONG = 70


class _Misuse(Exception):  # noqa: N818 - it is said to the person, and is no fault of the program
    """An option that is not known, or has no good value."""


def _options(options: Sequence[str]) -> dict[str, str]:
    found: dict[str, str] = {}
    row = list(options)
    while row:
        name = row.pop(0)
        name, equals, value = name.partition("=")
        if name in ("--help", "-h"):
            found["help"] = "yes"
        elif name == "--lines" and not equals:
            found["lines"] = "yes"
        elif name in ("--talk", "--today", "--units"):
            if not equals:
                if not row:
                    raise _Misuse(f"{name} needs a value after it.")
                value = row.pop(0)
            found[name.removeprefix("--")] = value
        else:
            raise _Misuse(f"{name!r} is not an option of the talk.")
    if found.get("units", "metric") not in ("metric", "us"):
        raise _Misuse("--units is metric or us.")
    return found


def run(
    options: Sequence[str] = (),
    *,
    stdin: TextIO | None = None,
    stdout: TextIO | None = None,
    stderr: TextIO | None = None,
    env: Mapping[str, str] | None = None,
    today: dt.date | None = None,
    make_tools: Callable[[dt.date], Tools] | None = None,
) -> int:
    """Holds the talk and gives the exit code: 0 with advice, 1 without, 2 for a wrong option, 70 where the
    program itself went wrong, 128 + n after signal n.

    Streams, environment and today's date default to the process's own; `make_tools` gives the library as the talk
    sees it and defaults to the one that is installed.
    """
    source, sink, errors = stdin or sys.stdin or _nothing(), stdout or sys.stdout, stderr or sys.stderr
    env = os.environ if env is None else env
    try:
        told = _options(options)
    except _Misuse as wrong:
        errors.write(f"{wrong}\n{USAGE}\n")
        return BAD_USE
    if "help" in told:
        sink.write(USAGE + "\n")
        return 0
    full = (
        "lines" not in told
        and env.get("TERM", "") not in ("", "dumb")
        and _tty(source)
        and (_tty(sink) or _tty(errors))
    )
    screen = sink if _tty(sink) or not full else errors
    try:
        screen.write(FIRST_LINE + "\n")
        screen.flush()
        return _talk(told, source, sink, screen, env, today, make_tools, full)
    except BrokenPipeError:
        _quiet(sink)
        return 1


def _talk(
    told: Mapping[str, str],
    source: TextIO,
    sink: TextIO,
    screen: TextIO,
    env: Mapping[str, str],
    today: dt.date | None,
    make_tools: Callable[[dt.date], Tools] | None,
    full: bool,
) -> int:
    import datetime as dt
    import textwrap
    from pathlib import Path

    from decide.model.errors import DecideError
    from decide.parse.months import say_day
    from decide.shell.keep import Keeper, state_file
    from decide.shell.lines import Lines
    from decide.shell.signals import Left, caught, leave_at_once
    from decide.shell.talk import Talk
    from decide.shell.tools import View

    if "today" in told:
        try:
            today = dt.date.fromisoformat(told["today"])
        except ValueError:
            screen.write("--today takes a date as 2026-05-20.\n")
            return BAD_USE
    day = today or dt.date.today()
    _lenient(source)
    greeting = f'Today is {say_day(day)}. Say help at any time, and "don\'t know" when you do not.'
    screen.write("\n".join(textwrap.wrap(greeting, _width(screen)) if full else [greeting]) + "\n")
    screen.flush()
    keeper = Keeper(Path(told["talk"]) if "talk" in told else state_file(env))
    talk: Talk | None = None
    terminal = None
    try:
        with caught(leave_at_once):
            answers = keeper.load()
            if make_tools is None:
                from decide.shell.library import make_tools as installed

                make_tools = installed
            talk = Talk(
                make_tools(day),
                day,
                answers,
                kept=keeper,
                units=told.get("units"),
                resumed=bool(answers),
                page=View(_columns(env)),
            )
            if not full:
                return Lines(talk, source, sink).converse()
            from decide.shell.terminal import Terminal

            terminal = Terminal(talk, source, sink, screen, env)
            with caught(terminal.on_signal):
                return terminal.converse()
    except Left as left:
        if talk is not None and talk.answers:
            _try(lambda: keeper.save(talk.answers))
        _try(lambda: screen.write(f"\nYour answers are kept in {keeper.path}.\n"))
        _try(screen.flush)
        return left.code
    except DecideError as error:
        screen.write(f"{error}.\n" if not str(error).endswith(".") else f"{error}\n")
        return 1
    except KeyboardInterrupt:
        screen.write("\n")
        return 130
    except BrokenPipeError:
        raise
    except Exception as fault:
        screen.write(
            f"The program went wrong ({type(fault).__name__}: {str(fault)[:200]}). Your answers are kept in {keeper.path}.\n"
        )
        return WENT_WRONG


def _try(act: Callable[[], object]) -> None:
    """Does what may fail because the terminal or the disk has gone."""
    try:
        act()
    except Exception:
        return


def _nothing() -> TextIO:
    """Input for a process that has none."""
    import io

    return io.StringIO("")


def _tty(stream: object) -> bool:
    try:
        return bool(stream.isatty())  # type: ignore[attr-defined]
    except (AttributeError, ValueError):
        return False


def _width(screen: TextIO) -> int:
    try:
        return max(20, os.get_terminal_size(screen.fileno()).columns or 80)
    except (OSError, ValueError):
        return 80


def _columns(env: Mapping[str, str]) -> int:
    told = env.get("COLUMNS", "")
    return max(20, min(200, int(told))) if told.isascii() and told.isdigit() and len(told) < 5 else 80


def _lenient(stream: TextIO) -> None:
    """Bytes that are no text become marks instead of an error."""
    again = getattr(stream, "reconfigure", None)
    if again is not None:
        again(errors="replace")


def _quiet(stream: TextIO) -> None:
    """Lets nothing be written any more, so that leaving is silent when the reader of a pipe has gone."""
    try:
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, stream.fileno())
        os.close(nowhere)
    except (OSError, ValueError, AttributeError):
        return
