"""The conversation: full terminal mode and plain line mode. Its first line is out before anything slow is
imported.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Mapping

# Not from typing: the first line is out before anything that takes time is imported.
TYPE_CHECKING = False
if TYPE_CHECKING:
    import datetime as dt
    from typing import Any, TextIO

    from decide.shell.keep import Keeper
    from decide.shell.talk import Talk
    from decide.shell.tools import Tools

FIRST_LINE = "Let us bring your field back to play."
WENT_WRONG = 70
# Columns that are believed, and what is taken where none are told.
_NARROWEST, _USUAL, _WIDEST = 20, 80, 200
_MOST_FIGURES = 4


def run(
    *,
    start: str | None = None,
    talk: str | None = None,
    units: str | None = None,
    lines: bool = False,
    stdin: TextIO | None = None,
    stdout: TextIO | None = None,
    stderr: TextIO | None = None,
    env: Mapping[str, str] | None = None,
    today: dt.date | None = None,
    make_tools: Callable[[dt.date], Tools] | None = None,
) -> int:
    """Holds the talk and gives the exit code: 0 with advice, 1 without, 70 where the program itself went
    wrong, 128 + n after signal n.

    It goes on from the situation file `start`, which is left as it is. The answers are kept in the file
    `talk`, or in the usual place; `units` is "metric" or "us", by place
    where it is left out; `lines` asks for plain lines in a terminal too. Streams, environment and today's
    date default to the process's own; `make_tools` gives the library as the talk sees it and defaults to the
    one that is installed.
    """
    source, sink, errors = stdin or sys.stdin or _nothing(), stdout or sys.stdout, stderr or sys.stderr
    env = os.environ if env is None else env
    full = (
        not lines
        and env.get("TERM", "") not in ("", "dumb")
        and _tty(source)
        and (_tty(sink) or _tty(errors))
    )
    screen = sink if _tty(sink) or not full else errors
    try:
        screen.write(FIRST_LINE + "\n")
        screen.flush()
        return _talk(start, talk, units, source, sink, screen, errors, env, today, make_tools, full)
    except OSError as error:
        _unwritten(error, sink, errors, "")
        return 1


def _talk(
    start: str | None,
    file: str | None,
    units: str | None,
    source: TextIO,
    sink: TextIO,
    screen: TextIO,
    errors: TextIO,
    env: Mapping[str, str],
    today: dt.date | None,
    make_tools: Callable[[dt.date], Tools] | None,
    full: bool,
) -> int:
    import textwrap
    from pathlib import Path

    from decide.model.errors import DecideError
    from decide.model.words import printable
    from decide.shell.keep import Keeper, state_file
    from decide.shell.lines import LineMode
    from decide.shell.signals import Left, caught, leave_at_once
    from decide.shell.talk import Talk
    from decide.shell.tools import View

    _lenient(source)

    def greet(text: str) -> None:
        screen.write("\n".join(textwrap.wrap(text, _width(screen)) if full else [text]) + "\n")
        screen.flush()

    keeper = Keeper(Path(file) if file is not None else state_file(env))
    talk: Talk | None = None
    terminal = None
    try:
        with caught(leave_at_once):
            day, answers = _begin(keeper, start, today, greet)
            if make_tools is None:
                from decide.shell.library import make_tools as installed

                make_tools = installed
            talk = Talk(
                make_tools(day),
                day,
                answers,
                kept=keeper,
                units=units,
                resumed=bool(answers) and start is None,
                page=View(_columns(env)),
            )
            if not full:
                return LineMode(talk, source, sink).converse()
            from decide.shell.terminal import Terminal

            terminal = Terminal(talk, source, sink, screen, env)
            with caught(terminal.on_signal):
                return terminal.converse()
    except Left as left:
        said = _kept_at_last(keeper, talk)
        _try(lambda: screen.write(f"\n{said}\n"))
        _try(screen.flush)
        return left.code
    except DecideError as error:
        screen.write(f"{error}.\n" if not str(error).endswith(".") else f"{error}\n")
        return 1
    except KeyboardInterrupt:
        screen.write("\n")
        return 130
    except Exception as fault:
        said = _kept_at_last(keeper, talk)
        code = WENT_WRONG
        if isinstance(fault, OSError) and fault.filename is None:
            code = 1
            _unwritten(fault, sink, errors, said)
        else:
            wrong = printable(str(fault)[:200])
            screen.write(f"The program went wrong ({type(fault).__name__}: {wrong}). {said}\n")
        return code


def _begin(
    keeper: Keeper, start: str | None, today: dt.date | None, greet: Callable[[str], None]
) -> tuple[dt.date, dict[str, Any]]:
    """The day of the talk and the answers that it goes on from; a talk that was kept is put aside where a
    file is named instead.
    """
    import datetime as dt
    from pathlib import Path

    from decide.parse.months import say_day
    from decide.shell.keep import load_with_text

    text = ""
    if start is None:
        answers = keeper.load()
    else:
        text, answers = load_with_text(Path(start))
    dates = answers.get("dates")
    told = dates.pop("today", None) if isinstance(dates, dict) else None
    day = today or (_day(told) if start is not None else None) or dt.date.today()
    if _day(told) == day:
        # A day that the talk is not held on would be older than what it writes down.
        keeper.stays_beside(answers)
    greet(f'Today is {say_day(day)}. Say help at any time, and "don\'t know" when you do not.')
    if start is not None:
        aside = keeper.set_aside(unless=answers)
        keeper.save(answers)
        keeper.go_on_from(text, answers)
        moved = f" The talk from before is in {aside}." if aside is not None else ""
        greet(f"I go on from {start}, and leave it as it is. Your answers are kept in {keeper.path}.{moved}")
    return day, answers


def _kept_at_last(keeper: Keeper, talk: Talk | None) -> str:
    """Keeps the answers of a talk that ends at once, and says whether they are kept."""
    from decide.model.errors import DecideError

    said = ""
    if talk is not None and talk.answers:
        try:
            said = keeper.save(talk.answers)
        except (DecideError, OSError) as error:
            return f"Your answers could not be saved: {error}"
    return said or f"Your answers are kept in {keeper.path}."


def _day(told: object) -> dt.date | None:
    import datetime as dt

    try:
        return dt.date.fromisoformat(told) if isinstance(told, str) else None
    except ValueError:
        return None


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
    isatty = getattr(stream, "isatty", None)
    try:
        return bool(isatty is not None and isatty())
    except ValueError:
        return False


def _width(screen: TextIO) -> int:
    try:
        return max(_NARROWEST, os.get_terminal_size(screen.fileno()).columns or _USUAL)
    except (OSError, ValueError):
        return _USUAL


def _columns(env: Mapping[str, str]) -> int:
    told = env.get("COLUMNS", "")
    if not (told.isascii() and told.isdigit()) or len(told) > _MOST_FIGURES:
        return _USUAL
    return max(_NARROWEST, min(_WIDEST, int(told)))


def _lenient(stream: TextIO) -> None:
    """Bytes that are no text become marks instead of an error."""
    again = getattr(stream, "reconfigure", None)
    if again is not None:
        again(errors="replace")


def _unwritten(error: OSError, sink: TextIO, errors: TextIO, kept: str) -> None:
    """Says beside a talk that cannot be shown any more why not, and where its answers are; where its reader
    has gone nothing is said.
    """
    _quiet(sink)
    if not isinstance(error, BrokenPipeError):
        why = (error.strerror or "unknown trouble").lower()
        _try(lambda: errors.write(f"The talk cannot be shown: {why}. {kept}".strip() + "\n"))
        _try(errors.flush)


def _quiet(stream: TextIO) -> None:
    """Lets nothing be written any more, so that leaving is silent when the reader of a pipe has gone."""
    try:
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, stream.fileno())
        os.close(nowhere)
    except (OSError, ValueError, AttributeError):
        return
