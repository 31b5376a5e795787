"""What reading one answer can give: a value, "don't know", a question back with its readings, or what
would do.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Final

Value = Any
DONT_KNOW: Final = "don't know"


@dataclass(frozen=True)
class Understood:
    """A value in the layout of the situation file; `note` says aloud what was taken where that may
    surprise; `also` is what the same words tell of other keys, `unread` what nothing was made of.
    """

    value: Value
    note: str = ""
    also: Mapping[str, Value] = field(default_factory=dict)
    unread: tuple[str, ...] = ()


@dataclass(frozen=True)
class Unknown:
    """The person does not know."""

    also: Mapping[str, Value] = field(default_factory=dict)
    note: str = ""


@dataclass(frozen=True)
class Reading:
    """One way to take an answer that has several."""

    say: str
    value: Value


@dataclass(frozen=True)
class AskBack:
    """An answer with several readings: the question to ask, and the readings, the likeliest first.

    `ends` is set where they are the ends of a range; `also` is what the same words tell of other keys.
    """

    text: str
    readings: tuple[Reading, ...]
    ends: bool = False
    also: Mapping[str, Value] = field(default_factory=dict)


@dataclass(frozen=True)
class NotUnderstood:
    """An answer that is not read; `say` tells what would do."""

    say: str


Result = Understood | Unknown | AskBack | NotUnderstood


@dataclass(frozen=True)
class Sum:
    """A sum and its currency code (None where the currency was not said)."""

    amount: float
    currency: str | None = None


@dataclass(frozen=True)
class FieldShare:
    """An area given as percent of the field."""

    percent: float


@dataclass(frozen=True)
class Elsewhere:
    """A reading that does not answer the question in hand; `say` tells what the question is about."""

    say: str


@dataclass(frozen=True)
class AnswerChoice:
    """One answer that a question offers: its value, and the words for it (the first is shown)."""

    value: Value
    say: tuple[str, ...]

    @property
    def shown(self) -> str:
        """The words by which the choice is shown."""
        return self.say[0] if self.say else str(self.value)


# What a place that was found has beside the keys of [place].
OF_FINDING: Final = frozenset({"say", "near", "lesser", "small"})


@dataclass(frozen=True)
class Setting:
    """What the reading of an answer may lean on; nothing is read from clock or environment.

    `named_areas` gives m² for words such as "goalmouth"; `find_place` gives the places of a name, each a
    table with at least name, and what stands in OF_FINDING; `past` is set where a question is about the past;
    `talk` has the words that people use, by file of knowledge/talk.
    """

    today: dt.date
    hemisphere: str | None = None
    country: str | None = None
    units: str | None = None
    past: bool = False
    named_areas: Mapping[str, float] = field(default_factory=dict)
    find_place: Callable[[str], Sequence[Mapping[str, Any]]] | None = None
    talk: Mapping[str, Mapping[str, Any]] = field(default_factory=dict)
