"""Reading several things from a sentence in a person's own words, by the names that the tables know."""

from __future__ import annotations

import difflib
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Final

from decide.parse.answer_rows import about, all_rows
from decide.parse.matching import by_number, distinct, inside, key_of, matching, negated, phrases_of
from decide.parse.plain import fold, words
from decide.parse.results import AnswerChoice, AskBack, Reading, Result, Setting, Understood
from decide.parse.vocabulary import any_of, found, phrases, rows, said_plainly, words_of

_PARTED: Final = r"(,|;|\+|&|/|\band\b|\bplus\b|\balso\b|\bas well as\b|\.\s|\bn?or\b|\bbut\b|\n)"
_MOST_MEANINGS: Final = 4
_SHORT: Final = 3
_DENIED_BEHIND: Final = r"[ ,:-]+(?:no|nope|not|none|never)$"
_FREE: Final = r"\b([a-z]+)-free\b"
_FILLER: Final = frozenset({"it", "its", "is", "we", "are", "the", "a", "all", "grass"})
_IT: Final = "it|them|that|those|they|all"


@dataclass
class _Named:
    """What a line names: values in order, what it says is not there, what nothing is made of."""

    values: list[Any] = field(default_factory=list)
    gone: list[str] = field(default_factory=list)
    unread: list[str] = field(default_factory=list)
    also: dict[str, Any] = field(default_factory=dict)
    notes: list[str] = field(default_factory=list)
    back: AskBack | None = None
    empty: bool = False
    past: bool = False
    last: list[Any] = field(default_factory=list)

    def add(self, value: Any) -> None:
        if value not in self.values:
            self.values.append(value)


def read_named(name: str, text: str, setting: Setting, choices: Sequence[AnswerChoice]) -> Result | None:
    """The things that a line names, as one list; None where it names none and takes none back."""
    table, named = about(setting, name), _Named()
    joined = "", *re.split(_PARTED, fold(text))
    before = 0
    for sign, raw in zip(joined[::2], joined[1::2], strict=True):
        piece = _freed(_plainly(raw, setting))
        if sign in ("or", "nor") and len(named.gone) > before:
            # What stands behind an "or" is denied with what stands before it.
            piece = f"no {piece}"
        before = len(named.gone)
        if words(piece):
            _piece(piece, table, setting, choices, named)
    if named.back is not None:
        return named.back
    if named.empty and not named.values and not named.gone:
        named.values = [choice.value for choice in choices if choice.value == "none"]
        return Understood(named.values, unread=tuple(named.unread))
    if not named.values:
        what = ", ".join(named.gone)
        one = "past" if named.past and "one" in table else table.get("one", "else")
        ask = setting.talk.get("answers", {}).get("only-not", {}).get(one, "")
        return AskBack(ask.format(what=what), ()) if what and ask else None
    more = [one for one in named.unread if found(table.get("also-danger", r"(?!)"), said_plainly(one))]
    if more:
        # A second danger that was not read is never left out.
        ask = setting.talk.get("answers", {}).get("only-not", {}).get("more", "")
        return AskBack(ask.format(what=more[0]), (), also=named.also)
    if all(value == "none" for value in named.values):
        named.values = ["none"]
    else:
        named.values = [value for value in named.values if value != "none"]
    return Understood(named.values, " ".join(dict.fromkeys(named.notes)), named.also, tuple(named.unread))


def _freed(piece: str) -> str:
    """A piece in which what it is free of is denied plainly: "couch-free" is "no couch", "couch-free rye" is
    rye.
    """
    rest = " ".join(re.sub(_FREE, " ", piece).split())
    piece = (
        rest if len(words(rest)) > 0 and not set(words(rest)) <= _FILLER else re.sub(_FREE, r"no \1", piece)
    )
    return re.sub(r"\bfree (?:of|from) (?:the |any |all )?(?=[a-z])", "no ", piece)


def _plainly(raw: str, setting: Setting) -> str:
    """A piece without the courtesies round it."""
    courtesy = any_of(tuple(rows(setting, "courtesy").get("patterns", ())))
    plain = raw.replace("'", "")
    return (courtesy.sub(" ", plain) if courtesy.search(plain) else raw).strip(" .!")


def _piece(
    piece: str, table: Mapping[str, Any], setting: Setting, choices: Sequence[AnswerChoice], named: _Named
) -> None:
    """One thing of a line: named, said not to be there, asked back, or not read."""
    said = said_plainly(piece)
    named_rows = list(all_rows(table.get("names", ()), piece, setting))
    if "gone" in table and found(table["gone"], said):
        named.past = True
        named.gone.append(_bare(piece))
        if "one" in table and named.last and not named_rows and found(_IT, said):
            # "There was glass. We picked it up": what was named before is gone too.
            named.values = [one for one in named.values if one not in named.last]
            named.also = {}
        return
    named.last = [row["is"] for row in named_rows]
    if named_rows:
        _rows(named_rows, piece, named)
        return
    if said in phrases(setting, "empty"):
        named.empty = True
        return
    numbered = by_number(piece, choices)
    if numbered is not None:
        named.add(numbered.value)
        return
    heard = words(said)
    if any(map(negated, heard)) or (heard and heard[0] in words_of(setting, "no")):
        named.gone.append(_bare(piece))
        return
    fits = _by_words(piece, choices, setting)
    if len(fits) == 1:
        named.add(fits[0].value)
    elif len(fits) > _MOST_MEANINGS or not fits:
        named.unread.append(piece)
    elif all(inside(key_of(choice.shown), key_of(piece)) >= 0 for choice in fits):
        for choice in fits:
            named.add(choice.value)
    else:
        readings = tuple(Reading(choice.shown, [choice.value]) for choice in fits)
        named.back = AskBack(f"Which is meant by {_bare(piece)!r}?", readings)


def _rows(held: Sequence[Mapping[str, Any]], piece: str, named: _Named) -> None:
    """What the rows name that hold of a piece, unless it ends in a denial: "sprigs no"."""
    if re.search(_DENIED_BEHIND, said_plainly(piece)):
        named.gone.append(re.sub(_DENIED_BEHIND, "", said_plainly(piece))[:40])
        return
    for row in held:
        named.add(row["is"])
        named.also |= row.get("also", {})
        named.notes += [row["note"]] if "note" in row else []


def _by_words(piece: str, choices: Sequence[AnswerChoice], setting: Setting) -> list[AnswerChoice]:
    """The choices that a piece names: by near words where it is short, only by whole names where it tells a
    story.
    """
    key = key_of(piece)
    if len(key) <= _SHORT:
        joined = " ".join(key)
        near = [
            choice
            for choice in matching(piece, choices, setting)
            if any(_near(joined, key, phrase) for phrase, _ in phrases_of([choice]))
        ]
        if near:
            return near
    hits = [(phrase, choice) for phrase, choice in phrases_of(choices) if inside(phrase, key) >= 0]
    longest = [
        choice
        for phrase, choice in hits
        if not any(len(other) > len(phrase) and inside(phrase, other) >= 0 for other, _ in hits)
    ]
    return distinct(longest)


def _near(joined: str, key: tuple[str, ...], phrase: tuple[str, ...]) -> bool:
    """Whether a phrase stands in some words as it is, or is all of them but for slips."""
    return inside(phrase, key) >= 0 or difflib.SequenceMatcher(None, joined, " ".join(phrase)).ratio() > 0.87


def _bare(piece: str) -> str:
    """The thing that is denied, without the word that denies it."""
    return re.sub(r"^(?:no|not|without|neither|nor|never|any|have|got)\s+(?:any\s+|the\s+|a\s+)?", "", piece)[
        :40
    ]
