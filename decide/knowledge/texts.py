"""The sentences of the advice: tables of texts with {holes}, their plural forms chosen by the rules of a
language.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import lru_cache
from typing import Final

from babel import Locale
from pydantic import BaseModel, ConfigDict, RootModel, model_validator

from decide.model.errors import DecideError, meant
from decide.model.wording import number

HOLE: Final = re.compile(r"\{([a-z][a-z0-9_]*)\}")
FORMS: Final = ("zero", "one", "two", "few", "many", "other")
# The language that a folder without a table of its own is written in.
LOCALE: Final = "en_GB"


class TextRow(BaseModel):
    """A sentence with {holes}: one `text`, or a form for each plural of the number that stands in the hole
    `by`.
    """

    model_config = ConfigDict(extra="forbid", frozen=True, defer_build=True)

    text: str = ""
    by: str = "n"
    zero: str = ""
    one: str = ""
    two: str = ""
    few: str = ""
    many: str = ""
    other: str = ""

    @model_validator(mode="before")
    @classmethod
    def _plain(cls, written: object) -> object:
        return {"text": written} if isinstance(written, str) else written

    @model_validator(mode="after")
    def _one_way(self) -> TextRow:
        if bool(self.text) == bool(self.other):
            raise ValueError("write either `text`, or `other` with the forms that the language has beside it")
        return self

    @property
    def holes(self) -> frozenset[str]:
        """The names of all holes, and of the number that chooses the form."""
        named = (
            name
            for text in (self.text, *(getattr(self, form) for form in FORMS))
            for name in HOLE.findall(text)
        )
        return frozenset(named).union([self.by] if self.other else ())


class Language(BaseModel):
    """The language of a folder's texts, as a locale that names its plural rules: "en_GB"."""

    model_config = ConfigDict(extra="forbid", frozen=True, defer_build=True)

    locale: str = LOCALE

    @model_validator(mode="after")
    def _known(self) -> Language:
        _locale(self.locale)
        return self


class Labels(RootModel[dict[str, str]]):
    """The words of the codes of one kind."""

    model_config = ConfigDict(frozen=True, defer_build=True)


@lru_cache(maxsize=8)
def _locale(name: str) -> Locale:
    try:
        return Locale.parse(name)
    except ValueError as error:
        raise ValueError(f"{name!r} names no language; write one such as en_GB or de") from error


def forms_of(locale: str) -> frozenset[str]:
    """The forms that the numbers of a language have."""
    return frozenset((*_locale(locale).plural_form.tags, "other"))


def say(rows: Mapping[str, TextRow], locale: str, code: str, words: Mapping[str, str | float]) -> str:
    """The text `code` with its holes filled; numbers are worded. DecideError where there is no such text, or
    a hole is left.
    """
    if code not in rows:
        raise DecideError(f"there is no text {code!r}", where="texts", instead=meant(code, rows))
    row = rows[code]
    text = row.text
    if not text:
        amount = words.get(row.by)
        if not isinstance(amount, (int, float)):
            raise DecideError(f"text {code!r} has forms by {row.by!r}, which is no number", where="texts")
        text = getattr(row, _locale(locale).plural_form(abs(amount))) or row.other

    def filled(hole: re.Match[str]) -> str:
        if hole[1] not in words:
            raise DecideError(f"text {code!r} has a hole {hole[1]!r} that nothing fills", where="texts")
        held = words[hole[1]]
        return held if isinstance(held, str) else number(held)

    return HOLE.sub(filled, text)
