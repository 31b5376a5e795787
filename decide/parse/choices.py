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
from decide.parse.mending import clauses
from decide.parse.plain import fold, spaced, words
from decide.parse.results import AnswerChoice, AskBack, NotUnderstood, Reading, Result, Setting, Understood
from decide.parse.vocabulary import any_of, pattern_of, phrases, rows, said_plainly, words_of
from decide.parse.vocabulary import found as found_in


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
    """True or False, in the question's own words or in anybody's; HALF_SURE where it is neither plainly."""
    said = said_plainly(text)
    if said in phrases(setting, "hedge"):
        return HALF_SURE
    if said in phrases(setting, "either"):
        return AskBack(rows(setting, "either")["back"], HALF_SURE.readings)
    half = is_hedged(said, setting)
    if choices:
        found = matching(text, choices, setting)
        if len(found) == 1 and isinstance(found[0].value, bool):
            return HALF_SURE if half else Understood(found[0].value)
    row = words(said)
    if said in phrases(setting, "yes"):
        return Understood(True)
    if said in phrases(setting, "no"):
        return Understood(False)
    yes, no = words_of(setting, "yes"), words_of(setting, "no")
    if row and row[0] in yes:
        return _first(True, said, row, half, no)
    if row and row[0] in no and _is_answer(said, row, frozenset(rows(setting, "no").get("then", "").split())):
        return _first(False, said, row, half, yes)
    opening = _opening_phrase(text, setting)
    if isinstance(opening, AskBack):
        return opening
    if opening is not None:
        return _first(opening, said, row, half, no if opening else yes)
    clause = found_in(rf"so (?P<so>{_either(yes)}|{_either(no)})", said)
    if clause is not None and not half:
        return Understood(clause["so"] in yes)
    if (
        found_in(rf"(?:{rows(setting, 'no').get('ends') or '(?!)'})$", said)
        and len(row) <= _SHORT
        and not half
    ):
        return Understood(False)
    return HALF_SURE if half and len(row) <= _SHORT else NotUnderstood('Say yes, no, or "don\'t know".')


def is_hedged(said: str, setting: Setting, *, safety: bool = False) -> bool:
    """Whether a line that is said plainly is only half sure of what it says; of safety more is half sure."""
    if said in phrases(setting, "hedge") or pattern_of(setting, "hedge").search(said) is not None:
        return True
    return safety and any_of(tuple(rows(setting, "hedge").get("of-safety", ()))).search(said) is not None


def _opening_phrase(text: str, setting: Setting) -> bool | AskBack | None:
    """The yes or no, or the half-sure one, that is the whole first clause of a longer line: "all four, I did
    them myself".
    """
    pieces = clauses(text)
    if len(pieces) < 2:
        return None
    first = said_plainly(pieces[0])
    if first in phrases(setting, "hedge"):
        return HALF_SURE
    yes = first in phrases(setting, "yes") or pattern_of(setting, "yes").fullmatch(first) is not None
    return True if yes else False if first in phrases(setting, "no") else None


def _is_answer(said: str, row: Sequence[str], then: frozenset[str]) -> bool:
    """Whether a no at the head of a line answers it, and is not that of the thing after it ("no hose")."""
    return len(row) == 1 or row[1] in then or not said[len(row[0]) :].startswith(" ")


def without_answer(text: str, setting: Setting) -> str:
    """A line without the yes or no that opens it, so that the no is not taken for one of what follows."""
    said = said_plainly(text)
    row = words(said)
    if len(row) < 2 or row[0] not in words_of(setting, "yes") | words_of(setting, "no"):
        return text
    then = frozenset(rows(setting, "no").get("then", "").split())
    bare = re.sub(r"^\W*[^\W_]+[\s,.;:!-]*", "", text)
    return bare if _is_answer(said, row, then) and bare else text


def _first(value: bool, said: str, row: Sequence[str], half: bool, other: frozenset[str]) -> Result:
    """What is said by a line that opens with yes or no: plainly that, unless what follows takes it back."""
    rest = row[1:]
    if half or any(word in other for word in rest) or (value and any(map(negated, rest))):
        return HALF_SURE
    if rest and re.match(
        r"\S+ (?:but|though|although|except|apart from|bar|unless|if|when|until|till)\b",
        said.replace(",", ""),
    ):
        return HALF_SURE
    return Understood(value)


def _either(names: frozenset[str]) -> str:
    return "|".join(sorted(names))


HALF_SURE: Final = AskBack("Is that yes or no?", (Reading("yes", True), Reading("no", False)))
_SHORT: Final = 6
_YET: Final = spaced("but though although except apart bar unless if when until till")


_MOST_MEANINGS: Final = 4


def read_list(text: str, setting: Setting, choices: Sequence[AnswerChoice], _unit: str = "") -> Result:
    """Several of the choices, in the order said, each once; "none" is an empty list (or the choice
    "none").
    """
    said = said_plainly(text)
    empty: list[Any] = [choice.value for choice in choices if choice.value == "none"]
    if said in phrases(setting, "empty"):
        return Understood(empty)
    if said in phrases(setting, "everything"):
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


def is_whole_list(text: str, setting: Setting, choices: Sequence[AnswerChoice]) -> bool:
    """Whether a line is numbers alone, all, none, or one choice by its whole name."""
    said = said_plainly(text)
    if said in phrases(setting, "empty") or said in phrases(setting, "everything"):
        return True
    return re.fullmatch(r"[0-9 ,]+", said) is not None or matching_exact(text, choices) is not None


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
