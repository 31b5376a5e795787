"""An advice in the words of the reader's country: turf or sod, couch or bermudagrass, fall or autumn."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from operator import is_
from typing import Any, Final, TypeVar

from pydantic import BaseModel

from decide.knowledge.schema import LocalWord
from decide.model.advice import Advice
from decide.model.here import said_here
from decide.model.made import Made

# What is no sentence of ours: codes, the person's own words, and titles of publications.
_KEPT: Final = frozenset(
    {
        "situation",
        "sources",
        "zone",
        "zones",
        "code",
        "key",
        "keys",
        "rules",
        "open",
        "asked",
        "template",
        "method",
    }
)

_NO_TEXT: Final = frozenset({type(None), bool, int, float})
_Rows = TypeVar("_Rows", bound=BaseModel)


def in_words_of(rows: Iterable[LocalWord], country: str, own: Iterable[str] = ()) -> Callable[[str], str]:
    """What says a text in the words of a country (a code such as "gb"); `own` are the person's own words,
    which stay as they are.
    """
    words = {word: said for row in rows if country in row.countries for word, said in row.say.items()}
    return said_here(words, own)


def localised(advice: Advice, said: Callable[[str], str], own: Callable[[str], bool]) -> Advice:
    """The advice with every sentence in other words, and the sources that are `own` before others; its codes
    and the person's own words stay.
    """
    rows = sorted(advice.sources, key=lambda row: not own(row.key))
    return row_in_words(advice, said, own).model_copy(update={"sources": rows})


def row_in_words(row: _Rows, said: Callable[[str], str], own: Callable[[str], bool]) -> _Rows:
    """A row of an advice, and all rows in it, with every sentence in other words and `own` sources first."""
    changed: dict[str, Any] = {}
    cited: Any = getattr(row, "sources", ())
    if len(cited) > 1 and isinstance(cited[0], str):
        changed["sources"] = sorted(cited, key=lambda key: not own(key))
    for name, held in row.__dict__.items():
        if name not in _KEPT and (new := _any(held, said, own)) is not held:
            changed[name] = new
    return row.model_copy(update=changed) if changed else row


def _any(held: Any, said: Callable[[str], str], own: Callable[[str], bool]) -> Any:
    """A value in other words; the very same object where nothing changes."""
    # The commonest kinds first: an advice has thousands of values, and most are no sentence.
    kind, new = type(held), held
    if kind is str:
        new = said(held) if " " in held else held
    elif kind in _NO_TEXT:
        return held
    elif kind is list or kind is tuple:
        new = kind([_any(item, said, own) for item in held])
        if all(map(is_, new, held)):
            return held
    elif kind is dict:
        new = {key: _any(item, said, own) for key, item in held.items()}
    elif isinstance(held, BaseModel):
        return row_in_words(held, said, own)
    elif isinstance(held, Made):
        return held.changed(lambda row: row_in_words(row, said, own))
    return held if new == held else new
