"""Reading one or several of the answers that a question offers, or yes and no."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any, Final

from decide.parse.matching import (
    LONGEST_NAME,
    MOST_ITEMS,
    by_number,
    inside,
    key_of,
    listed,
    matching,
    matching_exact,
    negated,
    once,
)
from decide.parse.plain import fold, spaced, words
from decide.parse.results import AnswerChoice, AskBack, NotUnderstood, Reading, Result, Setting, Understood

_YES: Final = spaced(
    "yes y yeah yep yup ya aye sure certainly definitely correct true right ok okay always indeed absolutely"
)
_NO: Final = spaced("no n nope nah never false not wrong none neither")
_YES_PHRASES: Final = frozenset(
    {
        "of course", "it is", "they are", "we do", "we have", "there is", "there are", "it does", "they do",
        "i think so", "i believe so", "it can", "it could", "we can", "we could", "they can", "it has",
        "he does", "she does", "you bet", "i do", "i can", "they have", "it was", "we are", "most likely yes",
        "probably", "probably yes", "some", "all of them",
    },
)  # fmt: skip
_NO_PHRASES: Final = frozenset(
    {
        "of course not", "it is not", "it isn't", "they aren't", "they are not", "we do not", "we don't",
        "there isn't", "there is not", "there are none", "not really", "not yet", "not at all",
        "i don't think so", "i do not think so", "we haven't", "we have not", "it can't", "it cannot",
        "we can't", "we cannot", "no way", "it doesn't", "they don't", "i don't", "i can't", "probably not",
        "not now", "nobody", "no one", "it has not", "it hasn't", "nothing", "none of them",
    },
)  # fmt: skip


def ask_back(choices: Sequence[AnswerChoice]) -> AskBack:
    return AskBack("Which is meant?", tuple(Reading(choice.shown, choice.value) for choice in choices))


def read_choice(text: str, setting: Setting, choices: Sequence[AnswerChoice], _unit: str = "") -> Result:
    """One of the choices, by its number, its words or a near spelling; two that fit are asked back."""
    numbered = by_number(text, choices)
    if numbered is not None:
        return Understood(numbered.value)
    found = matching(text, choices, setting)
    if len(found) == 1:
        return Understood(found[0].value)
    if 2 <= len(found) <= 4:
        return ask_back(found)
    return NotUnderstood(
        f'Answer with a number from 1 to {len(choices)}, or in words: {listed(choices)}; or "don\'t know".'
    )


def read_yes_no(text: str, setting: Setting, choices: Sequence[AnswerChoice] = (), _unit: str = "") -> Result:
    """True or False; a choice of the question may give other words for either."""
    said = fold(text).strip(" .!,;")
    row = words(said)
    if choices:
        found = matching(text, choices, setting)
        if len(found) == 1 and isinstance(found[0].value, bool):
            return Understood(found[0].value)
    if said in _YES_PHRASES or (row and row[0] in _YES and not any(negated(word) for word in row[1:])):
        return Understood(True)
    if said in _NO_PHRASES or (row and (row[0] in _NO or said.startswith("of course not"))):
        rest = row[1:]
        if any(word in _YES for word in rest):
            return NotUnderstood('Say yes, no, or "don\'t know".')
        return Understood(False)
    if len(row) > 2 and " ".join(row[-2:]) in _NO_PHRASES and len(row) <= 5:
        return Understood(False)
    return NotUnderstood('Say yes, no, or "don\'t know".')


_EMPTY: Final = frozenset(
    {
        "none", "no", "nothing", "none of them", "none of these", "nothing at all", "no none", "all clear",
        "neither", "nobody", "0", "none at all", "nope", "not any", "there are none", "nothing like that",
    },
)  # fmt: skip
_EVERYTHING: Final = frozenset({"all", "all of them", "everything", "the lot", "all of these"})
_MOST_MEANINGS: Final = 4


def read_list(text: str, setting: Setting, choices: Sequence[AnswerChoice], _unit: str = "") -> Result:
    """Several of the choices, in the order said, each once; "none" is an empty list (or the choice
    "none").
    """
    said = fold(text).strip(" .!;,")
    empty: list[Any] = [choice.value for choice in choices if choice.value == "none"]
    if said in _EMPTY:
        return Understood(empty)
    if said in _EVERYTHING:
        return Understood([choice.value for choice in choices if choice.value != "none"])
    whole = matching_exact(text, choices)
    if whole is not None:
        return Understood([whole.value])
    pieces = _pieces(text, said)
    if len(pieces) > MOST_ITEMS:
        return NotUnderstood(f"That is more than {MOST_ITEMS} things. Name the ones that matter most.")
    values: list[Any] = []
    back: AskBack | None = None
    for piece in pieces:
        found = _read_piece(piece, len(pieces) > 1, setting, choices)
        if isinstance(found, NotUnderstood):
            return found
        if isinstance(found, AskBack):
            # One thing is asked back at a time; the first stands for the others.
            back = back or found
            found = [back]
        values += found
    values = once(values)
    if not values:
        return NotUnderstood(f'Name any of: {listed(choices)}; or none, or "don\'t know".')
    if back is not None:
        return AskBack(
            back.text, tuple(Reading(r.say, _filled(values, back, r.value)) for r in back.readings)
        )
    if len(values) > 1 and "none" in values:
        values = [value for value in values if value != "none"]
        return AskBack(
            "Both some and none were said. Which holds?",
            (Reading(", ".join(str(v) for v in values), values), Reading("none", empty)),
        )
    return Understood(values)


def _pieces(text: str, said: str) -> list[str]:
    """The things of a list, parted by commas, "and" and the like; numbers by spaces too."""
    if re.fullmatch(r"[0-9]{1,2}(?:[ ,]+[0-9]{1,2})*", said):
        return re.split(r"[ ,]+", said)
    parted = re.split(r",|;|\+|&|\band\b|\bplus\b|\balso\b|\bor\b|\n", fold(text))
    pieces = [piece.strip(" .!") for piece in parted]
    return [piece for piece in pieces if piece and words(piece)]


def _read_piece(
    piece: str, among_others: bool, setting: Setting, choices: Sequence[AnswerChoice]
) -> list[Any] | AskBack | NotUnderstood:
    """The values of one thing of a list: none for what is denied beside others, several that are all
    named.
    """
    numbered = by_number(piece, choices)
    found = [numbered] if numbered is not None else matching(piece, choices, setting)
    name = repr(piece[:LONGEST_NAME])
    if not found and among_others and re.match(r"(?:no|not|without|never) ", piece):
        return []
    if not found:
        return NotUnderstood(
            f'I do not know {name} here. Name any of: {listed(choices)}; or none, or "don\'t know".'
        )
    if len(found) == 1 or all(inside(key_of(choice.shown), key_of(piece)) >= 0 for choice in found):
        return [choice.value for choice in found]
    if len(found) > _MOST_MEANINGS:
        return NotUnderstood(f"{name} can mean many things here. Name any of: {listed(choices)}.")
    return AskBack(f"Which is meant by {name}?", tuple(Reading(c.shown, c.value) for c in found))


def _filled(values: Sequence[Any], back: AskBack, meant: Any) -> list[Any]:
    """The values of a list with what was asked back filled in."""
    return once([meant if value is back else value for value in values])
