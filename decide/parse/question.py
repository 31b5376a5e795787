"""A question as the talk asks it, with the answers that it offers."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any, Final

from decide.parse.results import AnswerChoice

SEVERAL: Final = "several"


@dataclass(frozen=True)
class Question:
    """A question as the talk asks it; `more` are choices that are understood but not listed; `zone` is its
    part of the field.

    `part` is set for what the talk asks about one row of a list: the row's number and the key in that row.

    Several things asked in one breath are one question of kind "several": `asks` are those that are still
    open, in order, each with its key and part, and `key` and `zone` are empty and None. `hear` tells each of
    them that the answer gives (`decide/parse/several.py`); what is not told stays open and is asked alone,
    or with what else is left. Each of `asks` has in `no` what a plain "no" or "none of these" to the whole
    tells of it; None where it tells nothing. "Don't know" is said of all of them.
    """

    key: str
    id: str
    ask: str
    why: str
    kind: str
    choices: tuple[AnswerChoice, ...] = ()
    more: tuple[AnswerChoice, ...] = ()
    unit: str = ""
    help: str = ""
    always: bool = False
    details: bool = False
    zone: str | None = None
    part: tuple[int, str] | None = None
    asks: tuple[Question, ...] = ()
    no: Any = None

    def at(self, zone: str | None) -> Question:
        """The same question about one zone."""
        return replace(self, zone=zone)

    def put(self, ask: str, help: str) -> Question:
        """The same question in other words."""
        return replace(self, ask=ask, help=help or self.help)

    def with_no(self, no: Any) -> Question:
        """The same question, of which a plain no to several at once tells this."""
        return replace(self, no=no)
