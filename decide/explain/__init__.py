"""Why, why not, what is better and what a word means: pure functions over a consultation, with the data behind each text."""

from __future__ import annotations

from decide.explain.found import Found, find
from decide.explain.meaning import meaning
from decide.explain.reasons import Explanation, Held, Level, Reason, Said
from decide.explain.spoken import say_why, say_why_not
from decide.explain.why import better, why
from decide.explain.why_not import why_not

__all__ = ["Explanation", "Found", "Held", "Level", "Reason", "Said", "better", "find", "meaning", "say_why", "say_why_not", "why", "why_not"]
