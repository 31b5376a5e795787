"""The report's own words: headings, labels and short sentences, from the one table beside this module."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from importlib.resources import files
from typing import Final

from decide.knowledge.texts import LOCALE, TextRow
from decide.knowledge.texts import say as fill

_TABLE: Final = tomllib.loads(files(__package__).joinpath("words.toml").read_text("utf-8"))
TEXTS: Final[Mapping[str, TextRow]] = {
    code: TextRow.model_validate(row) for code, row in _TABLE["texts"].items()
}
CODES: Final[Mapping[str, Mapping[str, str]]] = _TABLE["codes"]


def say(code: str, **holes: str | float) -> str:
    """A text with its holes filled; DecideError where there is no such text, or a hole is left."""
    return fill(TEXTS, LOCALE, code, holes)


def word(kind: str, code: str, unworded: str | None = None) -> str:
    """The words of a code; one that has none is said as `unworded`, or as it stands."""
    return CODES[kind].get(code, code if unworded is None else unworded)
