"""Reading the names of the bad parts of a field."""

from __future__ import annotations

import difflib
import re
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any, Final

from decide.parse.choices import read_list
from decide.parse.dates import read_date
from decide.parse.matching import LONGEST_NAME, MOST_ITEMS, key_of
from decide.parse.part_names import part_forms, standing
from decide.parse.plain import fold, words
from decide.parse.results import AnswerChoice, AskBack, NotUnderstood, Reading, Result, Setting, Understood
from decide.parse.vocabulary import any_of, rows, said_plainly

_ALL_OF_IT: Final = "whole field"
_PARTED: Final = (
    r"\bits (?=(?:just |only |really )?(?:the|our|that) )"
    r"|,|;|\+|&|/|\.(?:\s|$)|\s-+\s|\band\b|\bplus\b|\balso\b|\bas well as\b|\bbut\b"
)
_OWN_WORDS: Final = 4
_NEVER: Final = "(?!)"


def read_zones(text: str, setting: Setting, choices: Sequence[AnswerChoice] = (), _unit: str = "") -> Result:
    """The names of the parts of the field that were named, as a list of texts.

    It is "whole field" where all of it is meant; a part that is said to be sound is not named. A part that
    goes by another word in the country is called so, unless the usual one was said.
    """
    said = said_plainly(text)
    called = {
        str(choice.value): choice.shown
        for choice in choices
        if choice.value in choice.say[1:] and str(choice.value) not in said
    }
    result = _read(text, setting, choices)
    if not called or not isinstance(result, Understood):
        return result
    names = [
        next((name.replace(usual, here) for usual, here in called.items() if name.startswith(usual)), name)
        for name in map(str, result.value)
    ]
    return replace(result, value=names)


def _read(text: str, setting: Setting, choices: Sequence[AnswerChoice]) -> Result:
    said, talk = said_plainly(text), rows(setting, "zones")
    if re.fullmatch(r"[0-9 ,]+", said) and choices:
        return read_list(text, setting, choices)
    for way in ("but", "easier"):
        match = any_of((talk.get(way, _NEVER),)).search(said)
        if match is not None:
            rest = re.sub(r"^the ", "", match["rest"].strip(" .,"))
            name = f"everywhere but the {rest}"
            return Understood([name]) if len(name) <= LONGEST_NAME else NotUnderstood(_NAME_THEM)
    pieces = [piece.strip(" '\"!") for piece in re.split(_PARTED, fold(text).replace("'", "").strip(" .!"))]
    named: list[str] = []
    unread: list[str] = []
    good = False
    for piece in pieces:
        narrower = re.fullmatch(talk.get("narrower", _NEVER), piece)
        if any_of((talk.get("good", _NEVER),)).search(piece):
            good = True
        elif named and narrower is not None:
            # "the strip along the fence, the far side only": it tells which of what was named just before.
            longer = f"{named[-1]}, {narrower['which']}"
            named[-1] = longer if len(longer) <= LONGEST_NAME else named[-1]
        elif re.search(r"\d", piece) and isinstance(read_date(piece, setting), (Understood, AskBack)):
            unread.append(piece)
        elif piece and not re.match(rf"(?:{talk.get('denied', _NEVER)})", piece):
            found = _zone_of_piece(piece, choices, talk)
            if found and len(pieces) > 1 and not _is_place(found, piece, choices, setting):
                found = None
            (unread if found is None else named).append(piece if found is None else found)
    return _answer(list(dict.fromkeys(name for name in named if name)), said, good, talk, tuple(unread))


def _answer(
    out: list[str], said: str, good: bool, talk: Mapping[str, Any], unread: tuple[str, ...]
) -> Result:
    """The parts that were named, as the answer."""
    whole = _ALL_OF_IT in out
    out = [name for name in out if name != _ALL_OF_IT]
    if any(len(name) > LONGEST_NAME for name in out):
        return NotUnderstood(_NAME_THEM)
    if len(out) > MOST_ITEMS:
        return NotUnderstood(f"That is more than {MOST_ITEMS} places. Join the ones that look alike.")
    if out and not whole:
        return Understood(out, unread=unread)
    if out:
        return AskBack(
            "The whole field, or the places named?",
            (Reading("the whole field as one", [_ALL_OF_IT]), Reading(", ".join(out), out)),
        )
    if whole:
        return Understood([_ALL_OF_IT])
    noise = set(talk.get("noise", "").split())
    if not good and any_of((talk.get("looks", _NEVER),)).search(said) and not noise.isdisjoint(words(said)):
        return Understood([_ALL_OF_IT], "I take the whole field.")
    return NotUnderstood(_NAME_THEM)


_NAME_THEM: Final = "Name the places that are bad in a word or two each."


def _zone_of_piece(piece: str, choices: Sequence[AnswerChoice], talk: Mapping[str, Any]) -> str | None:
    """The name of one place, "whole field" for all of it, "" where no place is named, None where words stand
    of which nothing is made.
    """
    piece = re.sub(rf"^(?:(?:{talk.get('lead', _NEVER)}) )+", "", piece)
    bare = re.sub(r"\b(?:is|are|its|thats|looks?|has|have|was|were|went|arent|isnt)\b.*$", "", piece).strip()
    whole = any_of((talk.get("whole", _NEVER),))
    if whole.fullmatch(piece) or (bare and whole.fullmatch(bare)):
        return _ALL_OF_IT
    if re.fullmatch(talk.get("numbered", _NEVER), bare or piece):
        return _LEAD.sub("", bare or piece)
    places = any_of((talk.get("places", _NEVER),))
    if re.fullmatch(talk.get("aside", _NEVER), piece) and not places.search(piece):
        return None
    if re.fullmatch(talk.get("share", _NEVER), piece):
        return ""
    noise = set(talk.get("noise", "").split())
    kept = [word for word in piece.split() if word.strip(".,'\"") not in noise]
    if re.search(r"\bnear (?!the |our |both |to )", piece):
        kept = ["near", *kept]
    while kept and re.fullmatch(r"[0-9]+%?|percent|half|third|%", kept[0]):
        kept = kept[1:]
    name = _lettered(" ".join(kept).strip(" -'\".,:!?")).strip()
    if not re.search(r"[^\W\d_]", name):
        return ""
    usual = _usual(name, piece, choices, talk)
    if usual:
        return usual
    own = _LEAD.sub("", _lettered(bare or piece)).strip() or name
    if len(words(own)) > _OWN_WORDS and not places.search(own):
        return None
    return own


def _is_place(name: str, piece: str, choices: Sequence[AnswerChoice], setting: Setting) -> bool:
    """Whether words beside others name a place on the field, and are no mere word said along."""
    talk = rows(setting, "zones")
    usual = {_ALL_OF_IT, *talk.get("names", {}), *(choice.value for choice in choices)}
    if name in usual or any_of((talk.get("places", _NEVER),)).search(piece):
        return True
    parts = setting.talk.get("message_parts", {})
    forms = part_forms(parts["grammar"], parts["names"]) if parts else ()
    return any(form.search(piece) for form in standing(forms, piece))


def _lettered(text: str) -> str:
    """A text without signs that no name holds."""
    return re.sub(r"[^\w' .\-]", "", text)


_LEAD: Final = re.compile(
    r"^(?:(?:the|a|an|our|both|two|all|all of|around|near(?= the| our| both)|in|at|on|mostly|mainly|also|just"
    r"|only|really) )+"
)


def _usual(name: str, piece: str, choices: Sequence[AnswerChoice], talk: Mapping[str, Any]) -> str:
    """The usual name of a place on the field, or "" where the person's own words are to stand."""
    for choice in choices:
        if isinstance(choice.value, str) and any(key_of(phrase) == key_of(name) for phrase in choice.say):
            return choice.value
    names: Mapping[str, str] = talk.get("names", {})
    at_end = any_of((talk.get("end", _NEVER),)).search(piece)
    core = piece[: at_end.start()].strip() if at_end is not None else piece
    core = _LEAD.sub("", core)
    for usual, words_for in names.items():
        if re.fullmatch(words_for, name) or re.fullmatch(rf"(?:the )?(?:{words_for})", core):
            return f"{usual} at the {at_end['end']}" if at_end is not None else usual
    if len(name) >= 6 and " " not in name:
        single = [usual for usual in names if " " not in usual]
        close = difflib.get_close_matches(name, single, n=1, cutoff=0.85)
        if close:
            return close[0]
    return ""
