"""How many places of one name there are, and a size that is told of each of them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

from decide.parse.message_text import pattern
from decide.parse.numbers import tidy
from decide.parse.results import AskBack, Reading, Result, Understood
from decide.parse.speech import Speech

PAIR: Final = 2
# So many places of one name are offered where their number is asked.
NUMBERS: Final = ("one", "two", "three", "four", "five", "six")


def count_of(name: str, speech: Speech) -> tuple[int | None, bool]:
    """How many places a name stands for, and whether it tells that itself: one of a singular; else two of
    what a field has two of, which nobody told; None where the number is open.
    """
    sizes: Mapping[str, Any] = speech.table("message_parts")["sizes"]
    first = next((n for form, n in sizes["numbers"].items() if pattern(form).match(name.lower())), None)
    if first is not None or not name.endswith("s"):
        return (1 if first is None else int(first)), True
    return (PAIR if pattern(*sizes["pairs"]).search(name.lower()) else None), False


def without_each(text: str, speech: Speech) -> str | None:
    """An answer without the words that say it of each of several; None where it has none."""
    each = pattern(*speech.table("message_parts")["sizes"]["of-each"])
    said = text.lower()
    found = each.search(said)
    return None if found is None else f"{text[: found.start()]} {text[found.end() :]}".strip(" ,.")


def of_each(result: Understood, name: str, words: str, speech: Speech) -> Result:
    """A number that was told of each place of a name, as that of all of them; asked back where their number
    is open.
    """
    count, told = count_of(name, speech)
    say = speech.table("message")["say"]
    if count is None:
        readings = tuple(Reading(word, tidy(result.value * (at + 1))) for at, word in enumerate(NUMBERS))
        return AskBack(str(say["places"]).format(part=name, words=words), readings)
    note = "" if told or count == 1 else str(say["pair"]).format(part=name)
    return Understood(tidy(result.value * count), " ".join(filter(None, (result.note, note))))
