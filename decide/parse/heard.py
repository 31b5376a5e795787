"""What one line of a talk was heard to say: what it tells, what is doubtful, and what it asks."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Final

from decide.parse.results import Reading

# The intent of a question that may mean several things.
UNCLEAR: Final = "unclear"


@dataclass(frozen=True)
class Told:
    """One thing that was told: a key of the situation file with its value, and the words it was read from.

    Keys of a part stand as "zone.bare_percent" with the part's name in `zone` (None: the part in hand, or the
    whole field where there is none); "zone" alone has the list of names of parts. `note` says aloud what was
    taken where that may surprise ("I took 'half' as 50 %"); `corrects` is set where an earlier answer is
    taken back by it. A list (use, offer, history.sown ...) has its rows as tables.
    """

    key: str
    value: Any
    words: str
    zone: str | None = None
    note: str = ""
    corrects: bool = False


@dataclass(frozen=True)
class Doubt:
    """What was said with more than one meaning: the question to ask back, and its readings (none where only a
    new answer can tell). A reading's value is a tuple of Told.
    """

    text: str
    words: str
    key: str = ""
    zone: str | None = None
    readings: tuple[Reading, ...] = ()


@dataclass(frozen=True)
class Ask:
    """Something that was asked or wished: what for, with what it names.

    `means` names it in plain words; `taken` says how it was taken, where that may be wrong: it is said with
    the answer. An intent UNCLEAR has in `may` the two or three things that may be meant.
    """

    intent: str
    words: str
    slots: Mapping[str, Any] = field(default_factory=dict)
    taken: str = ""
    means: str = ""
    may: tuple[Ask, ...] = ()


@dataclass(frozen=True)
class Heard:
    """All that one line was heard to say.

    `unknown` are keys (with their part) for which the person says that they do not know; `clears` keys whose
    earlier answer no longer holds; `unread` the clauses of which nothing was made; `miss` one short line for
    the person where the question in hand was not answered and nothing else was heard; `declined` codes of
    what was understood and is not judged here (knowledge/talk/declined.toml).
    """

    told: tuple[Told, ...] = ()
    doubts: tuple[Doubt, ...] = ()
    asks: tuple[Ask, ...] = ()
    unknown: tuple[tuple[str, str | None], ...] = ()
    clears: tuple[str, ...] = ()
    unread: tuple[str, ...] = ()
    miss: str = ""
    declined: tuple[str, ...] = ()
