"""Runs one command: finds it in the table, reads its words, and does it where it is at home."""

from __future__ import annotations

from collections.abc import Sequence
from importlib import import_module
from pathlib import Path

from decide.cli.table import ALSO, COMMANDS
from decide.cli.words import HELP, UseError, read
from decide.model.errors import meant


def run(words: Sequence[str]) -> int:
    """The exit code of a command; DecideError for what went wrong, UseError where its words cannot be
    meant.
    """
    first, *rest = words or ["talk"]
    name = ALSO.get(first, first)
    if first.partition("=")[0] in (option.name for option in COMMANDS["talk"].options):
        name, rest = "talk", list(words)
    if name not in COMMANDS and _is_file(first):
        name, rest = "talk", list(words)
    if name not in COMMANDS:
        raise UseError(
            f"{first!r} is not a command",
            instead=f"{meant(first, [*COMMANDS, *ALSO])} `decide --help` lists them".lstrip(),
        )
    before = rest[: rest.index("--")] if "--" in rest else rest
    if name != "help" and any(word in HELP for word in before):
        name, rest = "help", [name]
    command = COMMANDS[name]
    module, _, function = command.home.partition(":")
    told = read(command, rest)
    code: int = getattr(import_module(f"decide.cli.{module}"), function)(told)
    return code


def _is_file(word: str) -> bool:
    """Whether a word names a situation file: by its ending, or because it is there."""
    return word.lower().endswith((".toml", ".json")) or Path(word).is_file()
