"""How a page begins: its title, the fate of the date, the answer in short, and what cannot wait."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from decide.model.row import Decision
from decide.report.blocks import Line, Span, Style, line
from decide.report.phrases import day_of, known, opening_sentence, sentence
from decide.report.telling import Telling, decides
from decide.report.words import say, word

FATE_STYLES: Final[dict[str, Style]] = {
    "yes": "good",
    "likely": "good",
    "partly": "warn",
    "no": "bad",
    "open": "warn",
}


def title(t: Telling) -> str:
    """The title of the page: the place and the day."""
    place, today = known(t.advice, "place.name"), known(t.advice, "dates.today")
    named = say("title-for", place=place) if place else say("title")
    return f"{named}, {day_of(today)}" if today else named


def opening(t: Telling) -> Iterator[Line]:
    """The first lines: what becomes of the date, the answer in short, and the first question."""
    a = t.advice
    short = _decision(t, a.decision)
    if len({answer.decision for answer in a.programme}) > 1:
        short = "; ".join(f"{answer.zone}: {_decision(t, answer.decision)}" for answer in a.programme)
    if a.fate is not None:
        said = opening_sentence(a.fate.text)
        yield line(Span(said, FATE_STYLES[a.fate.level]), a.fate.text.removeprefix(said))
    yield line(Span(f"{say('in-short')}: ", "strong"), sentence(short))
    yield from first_tell(t)


def first_tell(t: Telling) -> Iterator[Line]:
    """The first question whose answer could change the choice."""
    asked = next((row for row in t.advice.unknown if row.changes_first_choice), None)
    if asked is not None:
        yield line(Span(f"{say('first-tell')}: ", "strong"), say("could-change", question=asked.text))


def _decision(t: Telling, decision: Decision) -> str:
    """A decision in words; where no date was told none is spoken of."""
    dated = t.advice.fate is not None or bool(known(t.advice, "dates.play_by"))
    return say("none-sound-undated") if decision == "none sound" and not dated else word("decision", decision)


def today(t: Telling) -> Iterator[Line]:
    """What must be done or kept off today, with who decides."""
    for n, doing in enumerate(t.advice.today, start=1):
        yield line(Span(sentence(doing.text)), mark=f"{n}.")
        yield from decides(doing.who_decides, 1, more=len(f"{n}. ") - 2)
