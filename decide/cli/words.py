"""Reads the words of a command by its row in the table, and says of a wrong one what to write instead."""

from __future__ import annotations

import argparse
import datetime as dt
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from decide.model.errors import DecideError, meant

MOST_DIGITS: Final = 9
HELP: Final = ("-h", "--help")


class UseError(DecideError):
    """Words of a command that cannot be meant."""


@dataclass(frozen=True)
class Option:
    """A named word of a command.

    `value` is what stands after it (nothing: it is a flag), `read` makes the value of it (UseError where it
    cannot), `into` names it in the result where its own name would not do, `offered` is for completion.
    """

    name: str
    does: str
    value: str = ""
    read: Callable[[str, str], Any] = lambda _, word: word
    otherwise: Any = None
    into: str = ""
    offered: tuple[str, ...] = ()
    several: bool = False
    path: bool = False


@dataclass(frozen=True)
class Plain:
    """Words of a command that have no name: at least so many, at most one or any number."""

    into: str
    value: str
    does: str
    least: int = 1
    several: bool = False
    path: bool = False
    offered: tuple[str, ...] = ()


@dataclass(frozen=True)
class Command:
    """A row of the table of commands.

    `home` names module and function that do it; `takes` is said where the number of plain words is wrong;
    `more` stands under its help.
    """

    name: str
    does: str
    home: str
    takes: str = ""
    plain: tuple[Plain, ...] = ()
    options: tuple[Option, ...] = ()
    more: str = ""


# ---------- what stands after a named word ----------
def one_of(*words: str) -> Callable[[str, str], str]:
    """A reader of one word of a few."""
    listed = ", ".join(words[:-1]) + f" or {words[-1]}"

    def read(name: str, word: str) -> str:
        if word not in words:
            raise UseError(f"{name} is {listed}")
        return word

    return read


def whole(least: int, most: int | None = None, what: str = "") -> Callable[[str, str], int]:
    """A reader of a whole number."""

    def read(name: str, word: str) -> int:
        if not (word.isascii() and word.isdecimal() and len(word) <= MOST_DIGITS) or not least <= int(
            word
        ) <= (most or int(word)):
            raise UseError(f"{name} is {what or f'a whole number from {least} up'}")
        return int(word)

    return read


def number(name: str, word: str) -> float:
    """A plain number."""
    try:
        return float(word)
    except ValueError:
        raise UseError(
            f"{name} {word} is not a number", instead="Write a plain number, and its unit after --unit"
        ) from None


def day(name: str, word: str) -> dt.date:
    """A date."""
    try:
        return dt.date.fromisoformat(word)
    except ValueError:
        raise UseError(
            f"{name} {word} is not a date that can be read one way only", instead="Write it as 2026-05-20"
        ) from None


def yes_or_no(name: str, word: str) -> bool:
    """Yes or no."""
    return one_of("yes", "no")(name, word) == "yes"


# ---------- reading ----------
def _add(parser: argparse.ArgumentParser, option: Option) -> argparse.Action:
    into = option.into or option.name.removeprefix("--").replace("-", "_")
    if not option.value:
        return parser.add_argument(option.name, dest=into, action="store_true", help=option.does)
    return parser.add_argument(
        option.name,
        dest=into,
        metavar=option.value,
        type=lambda word: option.read(option.name, word),
        default=[] if option.several else option.otherwise,
        action="append" if option.several else "store",
        help=option.does,
    )


def read(command: Command, words: Sequence[str]) -> argparse.Namespace:
    """The words of a command, named; UseError, with the nearest, for one that it does not have."""
    cut = words.index("--") if "--" in words else len(words)
    parser = argparse.ArgumentParser(add_help=False, allow_abbrev=False, exit_on_error=False)
    for option in command.options:
        _add(parser, option)
    try:
        found, plain = parser.parse_known_args(words[:cut])
    except argparse.ArgumentError as error:
        flags = [option.name for option in command.options if not option.value]
        raise UseError(
            f"{error.argument_name} takes no word"
            if error.argument_name in flags
            else f"{error.argument_name} needs a word after it"
        ) from None
    for word in plain:
        if word.startswith("-") and word != "-":
            name = word.partition("=")[0]
            raise UseError(
                f"{name!r} is not an option of {command.name}",
                instead=meant(name, [option.name for option in command.options]),
            )
    _name(command, [*plain, *words[cut + 1 :]], found)
    return found


def _name(command: Command, words: list[str], found: argparse.Namespace) -> None:
    """Names the words that stand without a name, in their order."""
    for row in command.plain:
        taken = len(words) if row.several else min(1, len(words))
        if taken < row.least:
            raise UseError(command.takes)
        setattr(found, row.into, words[:taken] if row.several else words[0] if taken else None)
        del words[:taken]
    if words:
        raise UseError(command.takes)


# ---------- help and completion ----------
def help_parser(
    command: Command, parser: argparse.ArgumentParser, files: Mapping[str, Any]
) -> argparse.ArgumentParser:
    """The parser that knows all words of a command by name; `files` is how each shell completes the name of a
    file.
    """
    parser.description, parser.epilog = _sentence(command.does), command.more or None
    for row in command.plain:
        count = ("+" if row.least else "*") if row.several else None if row.least else "?"
        _offer(parser.add_argument(row.into, metavar=row.value, nargs=count, help=row.does), row, files)
    for option in command.options:
        _offer(_add(parser, option), option, files)
    return parser


def whole_parser(
    commands: Iterable[Command],
    description: str,
    epilog: str,
    files: Mapping[str, Any],
    alone: Command | None = None,
) -> argparse.ArgumentParser:
    """A parser that knows every command, for the list of them and for completion; what `alone` takes may
    stand without the name of a command.
    """
    parser = argparse.ArgumentParser(prog="decide", description=description, epilog=epilog)
    parser.add_argument("--version", "-V", action="store_true", help="version, and the engines in use")
    rows = parser.add_subparsers(metavar="COMMAND", title="commands")
    if alone is not None:
        for option in alone.options:
            _offer(_add(parser, option), option, files)
    for command in commands:
        help_parser(command, rows.add_parser(command.name, help=command.does), files)
    return parser


def _sentence(text: str) -> str:
    """The text with a capital and a full stop."""
    return text[:1].upper() + text[1:] + ("" if text.endswith(".") else ".")


def _offer(action: argparse.Action, row: Option | Plain, files: Mapping[str, Any]) -> None:
    if row.path:
        action.complete = files  # type: ignore[attr-defined]  # completion reads it
    elif row.offered:
        action.choices = row.offered
