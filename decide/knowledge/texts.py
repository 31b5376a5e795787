"""The rows of texts: sentences with {holes}, a form for each plural, and the language that they are in."""

from __future__ import annotations

import re
from functools import lru_cache
from typing import Final

from babel import Locale
from pydantic import BaseModel, ConfigDict, Field, RootModel, model_validator

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


class LanguageRow(BaseModel):
    """The language of a folder's texts, as a locale that names its plural rules and its customs ("en_GB");
    with `month-letters` months are cut to so many letters where room is short.
    """

    model_config = ConfigDict(extra="forbid", frozen=True, defer_build=True)

    locale: str = LOCALE
    month_letters: int = Field(default=0, ge=0, alias="month-letters")

    @model_validator(mode="after")
    def _known(self) -> LanguageRow:
        locale_of(self.locale)
        return self


class Labels(RootModel[dict[str, str]]):
    """The words of the codes of one kind."""

    model_config = ConfigDict(frozen=True, defer_build=True)


@lru_cache(maxsize=8)
def locale_of(name: str) -> Locale:
    """The customs of a locale; ValueError where the name is none."""
    try:
        return Locale.parse(name)
    except ValueError as error:
        raise ValueError(f"{name!r} names no language; write one such as en_GB or de") from error


def forms_of(locale: str) -> frozenset[str]:
    """The forms that the numbers of a language have."""
    return frozenset((*locale_of(locale).plural_form.tags, "other"))
