"""Reading the names of the bad parts of a field."""

from __future__ import annotations

import difflib
import re
from collections.abc import Sequence
from typing import Final

from decide.parse.choices import read_list
from decide.parse.matching import LONGEST_NAME, MOST_ITEMS, key_of
from decide.parse.plain import fold, spaced, words
from decide.parse.results import AnswerChoice, AskBack, NotUnderstood, Reading, Result, Setting, Understood

_ZONE_NOISE: Final = spaced(
    "the a an is are it's its bare thin thinning worn worst bad weedy weeds weed wet muddy mud dead gone "
    "brown patchy in on at of both two our mostly mainly around near just also really very all too and "
    "completely pretty quite with full where grass no there we have has got been looks look was were to out "
    "dying poor damaged ruined hard compacted i think"
)


_WHOLE: Final = re.compile(
    r"(?:the )?(?:whole (?:field|pitch|thing|lot|place|ground)|everywhere|all over(?: it)?|all of it"
    r"|everything|entire (?:field|pitch)|"
    r"(?:the )?(?:field|pitch|lot|ground)|it(?:'s| is)? all(?: [a-z]+)?|all)"
)


_ZONE_NAMES: Final = {
    "goalmouth": "goalmouths", "goal mouth": "goalmouths", "goal mouths": "goalmouths",
    "goal area": "goalmouths", "goal areas": "goalmouths", "goals": "goalmouths", "goal": "goalmouths",
    "goalmouths": "goalmouths", "center": "middle", "centre": "middle", "centre circle": "centre circle",
    "center circle": "centre circle", "wing": "wings", "flanks": "wings", "sidelines": "touchlines",
    "sideline": "touchlines", "touchline": "touchlines", "touch line": "touchlines",
    "penalty areas": "penalty areas", "penalty area": "penalty areas",
}  # fmt: skip


_ALL_OF_IT: Final = "whole field"


def read_zones(text: str, setting: Setting, choices: Sequence[AnswerChoice] = (), _unit: str = "") -> Result:
    """The names of the parts of the field that were named, as a list of texts.

    It is "whole field" where all of it is meant.
    """
    said = fold(text).strip(" .!")
    if re.fullmatch(r"[0-9 ,]+", said) and choices:
        return read_list(text, setting, choices)
    parted = re.split(r",|;|\+|&|/|\.\s|\band\b|\bplus\b|\balso\b|\bas well as\b|\bbut\b", said)
    named = [_zone_of_piece(piece.strip(" .!'\""), choices) for piece in parted]
    whole = _ALL_OF_IT in named
    out = [name for name in dict.fromkeys(named) if name not in ("", _ALL_OF_IT)]
    if any(len(name) > LONGEST_NAME for name in out):
        return NotUnderstood(
            "Name the places in a word or two each, such as: goalmouths, middle, wet corner."
        )
    if len(out) > MOST_ITEMS:
        return NotUnderstood(f"That is more than {MOST_ITEMS} places. Join the ones that look alike.")
    if out and not whole:
        return Understood(out)
    if out:
        return AskBack(
            "The whole field, or the places named?",
            (Reading("the whole field as one", [_ALL_OF_IT]), Reading(", ".join(out), out)),
        )
    if whole:
        return Understood([_ALL_OF_IT])
    if _LOOKS.search(said) and not _ZONE_NOISE.isdisjoint(words(said)):
        return Understood([_ALL_OF_IT], "I take the whole field.")
    return NotUnderstood(
        "Name the places that are bad, such as: goalmouths, middle, wet corner; or the whole field."
    )


def _zone_of_piece(piece: str, choices: Sequence[AnswerChoice]) -> str:
    """The name of one place, "whole field" for all of it, "" where no place is named."""
    bare = re.sub(r"\b(?:is|are|it's|looks?)\b.*$", "", piece).strip()
    if piece and (_WHOLE.fullmatch(piece) or (bare and _WHOLE.fullmatch(bare))):
        return _ALL_OF_IT
    kept = [word for word in piece.split() if word.strip(".,'\"") not in _ZONE_NOISE]
    while kept and re.fullmatch(r"[0-9]+%?|percent|half|third|%", kept[0]):
        kept = kept[1:]
    name = _lettered(" ".join(kept).strip(" -'\".,:!?")).strip()
    if not re.search(r"[^\W\d_]", name):
        return ""
    return _zone_name(name, choices) or _ZONE_LEAD.sub("", _lettered(bare or piece)).strip() or name


def _lettered(text: str) -> str:
    """A text without signs that no name holds."""
    return re.sub(r"[^\w' .\-]", "", text)


_LOOKS: Final = re.compile(r"\b(?:all|everything|bare|thin|worn|weedy|muddy|dead|brown)\b")
_ZONE_LEAD: Final = re.compile(
    r"^(?:(?:the|a|an|our|both|two|all|all of|around|near|in|at|on|mostly|mainly|also) )+"
)


def _zone_name(name: str, choices: Sequence[AnswerChoice]) -> str:
    """The usual name of a place on the field, or "" where the person's own words are to stand."""
    for choice in choices:
        if isinstance(choice.value, str) and any(key_of(phrase) == key_of(name) for phrase in choice.say):
            return choice.value
    if name in _ZONE_NAMES:
        return _ZONE_NAMES[name]
    if len(name) >= 6 and " " not in name:
        close = difflib.get_close_matches(
            name, [known for known in _ZONE_NAMES if " " not in known], n=1, cutoff=0.85
        )
        if close:
            return _ZONE_NAMES[close[0]]
    return ""
