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
    "the a an is are it's its bare thin thinning worn worst bad weedy weeds weed wet muddy mud dead gone brown patchy in on at of "
    "both two our mostly mainly around near just also really very all too and completely pretty quite with full where grass no "
    "there we have has got been looks look was were to out dying poor damaged ruined hard compacted i think"
)


_WHOLE: Final = re.compile(
    r"(?:the )?(?:whole (?:field|pitch|thing|lot|place|ground)|everywhere|all over(?: it)?|all of it|everything|entire (?:field|pitch)|"
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


def read_zones(text: str, setting: Setting, choices: Sequence[AnswerChoice] = (), _unit: str = "") -> Result:
    """The names of the parts of the field that were named, as a list of texts; "whole field" where all of
    it is meant.
    """
    said = fold(text).strip(" .!")
    if re.fullmatch(r"[0-9 ,]+", said) and choices:
        return read_list(text, setting, choices)
    pieces = [
        piece.strip(" .!'\"")
        for piece in re.split(r",|;|\+|&|/|\.\s|\band\b|\bplus\b|\balso\b|\bas well as\b|\bbut\b", said)
    ]
    out: list[str] = []
    whole = False
    for piece in pieces:
        if not piece:
            continue
        bare = re.sub(r"\b(?:is|are|it's|looks?)\b.*$", "", piece).strip()
        if _WHOLE.fullmatch(piece) or (bare and _WHOLE.fullmatch(bare)):
            whole = True
            continue
        kept = [word for word in re.findall(r"[^\s]+", piece) if word.strip(".,'\"") not in _ZONE_NOISE]
        while kept and re.fullmatch(r"[0-9]+%?|percent|half|third|%", kept[0]):
            kept = kept[1:]
        name = " ".join(kept).strip(" -'\".,:!?")
        name = re.sub(r"[^\w' .\-]", "", name).strip()
        if not name or not re.search(r"[^\W\d_]", name):
            continue
        known = _zone_name(name, choices)
        name = known or _ZONE_LEAD.sub("", re.sub(r"[^\w' .\-]", "", bare or piece)).strip() or name
        if len(name) > LONGEST_NAME:
            return NotUnderstood(
                "Name the places in a word or two each, such as: goalmouths, middle, wet corner."
            )
        if name not in out:
            out.append(name)
    if len(out) > MOST_ITEMS:
        return NotUnderstood(f"That is more than {MOST_ITEMS} places. Join the ones that look alike.")
    if whole and not out:
        return Understood(["whole field"])
    if whole:
        return AskBack(
            "The whole field, or the places named?",
            (Reading("the whole field as one", ["whole field"]), Reading(", ".join(out), out)),
        )
    if not out:
        if any(word in _ZONE_NOISE for word in words(said)) and re.search(
            r"\b(?:all|everything|bare|thin|worn|weedy|muddy|dead|brown)\b", said
        ):
            return Understood(["whole field"], "I take the whole field.")
        return NotUnderstood(
            "Name the places that are bad, such as: goalmouths, middle, wet corner; or the whole field."
        )
    return Understood(out)


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
