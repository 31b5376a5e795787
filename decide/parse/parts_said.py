"""Which part of the field each clause of an answer speaks of, and answers that hold for every part."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Any

from decide.parse.mending import clauses
from decide.parse.plain import fold, words
from decide.parse.results import Setting
from decide.parse.vocabulary import any_of, rows, said_plainly


def parts(answers: Mapping[str, Any]) -> list[str]:
    """The names of the parts of the field, in order."""
    told = answers.get("zone")
    listed = told if isinstance(told, list) else []
    return [str(zone["name"]) for zone in listed if isinstance(zone, Mapping) and zone.get("name")]


def told_of(answers: Mapping[str, Any], name: str | None, key: str) -> Any:
    """What was told of a key of a part; None where nothing was."""
    for zone in answers.get("zone") or ():
        if isinstance(zone, Mapping) and zone.get("name") == name:
            return zone.get(key.removeprefix("zone."))
    return None


def without_everywhere(text: str, setting: Setting) -> str | None:
    """The line without the words that say it of every part; None where it has no such words."""
    said = said_plainly(text)
    pattern = any_of((rows(setting, "parts").get("every", r"(?!)"),))
    return pattern.sub(" ", said).strip(" ,.") if pattern.search(said) else None


def same_as(
    text: str, names: Sequence[str], here: str | None, setting: Setting
) -> tuple[float, list[str]] | None:
    """The other parts that a line likens this one to, and how many times as much it has: "half as bad as the
    middle" is 0.5 of the middle. None where it likens nothing.
    """
    said = said_plainly(text)
    talk = rows(setting, "parts")
    times = 1.0
    for word, factor in talk.get("times", {}).items():
        if re.match(rf"(?:about |roughly )?{word} as (?:\w+ )?as\b", said):
            times = float(factor)
            break
    else:
        if not re.match(rf"(?:its |the |about |much |pretty |just )*(?:{talk.get('same', '(?!)')})\b", said):
            return None
    others = [name for name in names if name != here]
    named = [name for name in others if names_part(name, said)]
    if named or re.search(rf"\b(?:{talk.get('other', '(?!)')})\b", said) or len(words(said)) <= 2:
        return times, named or others
    return None


def by_part(text: str, names: Sequence[str], here: str) -> list[tuple[str, str]]:
    """The clauses of a line with the part that each speaks of, and without its name; empty where the line
    names no other part than the one in hand.
    """
    out: list[tuple[str, str]] = []
    last = None
    pieces = [
        piece for clause in clauses(text) for piece in re.split(r"\band\b(?= (?:the|our|this|my) )", clause)
    ]
    for piece in pieces:
        named = [name for name in names if names_part(name, piece)]
        if len(named) > 1:
            return []
        if named:
            last = named[0]
            out.append((named[0], _without(named[0], piece)))
        elif re.match(r"(?:that|those)(?:'?s| is| are| was)?\b", piece) and last is not None:
            out.append((last, re.sub(r"^(?:that|those)(?:'?s| is| are| was)?\b", "", piece).strip()))
        else:
            out.append(
                (
                    here,
                    re.sub(r"^(?:this(?: bit| part| one)?|here)(?:'?s| is| are| was)?\b", "", piece).strip(),
                )
            )
    return out if any(name != here for name, _ in out) else []


def names_part(name: str, said: str) -> bool:
    """Whether a line names a part of the field."""
    stem = re.escape(fold(name).removesuffix("s"))
    return re.search(rf"\b{stem}s?\b", fold(said)) is not None


def _without(name: str, piece: str) -> str:
    stem = re.escape(fold(name).removesuffix("s"))
    bare = re.sub(rf"\b(?:the |our |in the |on the |different from the )?{stem}s?\b", " ", fold(piece))
    return re.sub(r"^[\s:=-]*(?:(?:is|are|was|more like|about|maybe)\b\s*)*", "", bare).strip(" .,")
