"""Why and why not as one text each, for whoever asks in words."""

from __future__ import annotations

from decide.decision.consultation import Consultation
from decide.explain.found import find
from decide.explain.reasons import Level
from decide.explain.why import why
from decide.explain.why_not import why_not


def say_why(consultation: Consultation, words: str = "", level: Level = 1) -> str:
    """Why: of every zone where nothing is named, of the zones named, or how what is named stands."""
    found = find(consultation, words)
    if not found.nothing:
        return why_not(consultation, words, level=level).text
    return "\n\n".join(why(consultation, zone, level).text for zone in found.zones or consultation.zones)


def say_why_not(consultation: Consultation, words: str = "", level: Level = 1) -> str:
    """Why not what is named; where nothing is named, why not the next best of every zone."""
    if words.strip():
        return why_not(consultation, words, level=level).text
    return say_why(consultation, "", level)
