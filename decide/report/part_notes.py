"""What the programme says of the parts beside their tasks, a row for each thing, for papers with rows."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Literal

from decide.model.advice import Advice
from decide.report.choices import meanwhile_words, picked, role_of, stands_as, verdict_spans
from decide.report.phrases import sentence
from decide.report.words import say, word


@dataclass(frozen=True)
class PartNote:
    """The choice of a part, the other side of a trade, what is done meanwhile, or the next window.

    `zones` are all parts of which the same is said. `label` says what the text is where it holds from today
    on: what is done meanwhile, or with a part for which nothing is chosen. Days are ISO.
    """

    kind: Literal["choice", "trade", "meanwhile", "window"]
    zones: tuple[str, ...]
    text: str
    label: str = ""
    rests_on: tuple[str, ...] = ()
    first: str | None = None
    last: str | None = None
    decide_by: str | None = None

    def conditions(self) -> list[str]:
        """What a choice rests on, in one sentence; none where it rests on nothing."""
        said = "; ".join(condition.rstrip(".") for condition in self.rests_on)
        return [f"{say('only-if')}: {sentence(said)}"] if said else []


def part_notes(advice: Advice) -> list[PartNote]:
    """All that is said of the parts, in full and each thing once, in the order of the parts."""
    found: dict[PartNote, list[str]] = {}
    for note in _notes(advice):
        found.setdefault(replace(note, zones=()), []).extend(note.zones)
    return [replace(note, zones=tuple(dict.fromkeys(zones))) for note, zones in found.items()]


def _notes(advice: Advice) -> Iterator[PartNote]:
    for answer in advice.programme:
        zones = (answer.zone,)
        if answer.option is None:
            yield PartNote("choice", zones, sentence(answer.text), say("what-to-do"))
        for option in picked(advice, answer):
            role = role_of(answer, option)
            verdict = "".join(span.text for span in verdict_spans(stands_as(option, role), option.rests_on))
            text = f"{word('role', role)}: {option.title} — {verdict}."
            days = (option.start, None, option.decide_by)
            yield PartNote("choice", zones, text, "", tuple(option.rests_on), *days)
        if answer.instead:
            yield PartNote("trade", zones, sentence(answer.instead))
        for said in answer.meanwhile:
            yield PartNote("meanwhile", zones, sentence(said), meanwhile_words(answer))
        if answer.window is not None:
            w = answer.window
            yield PartNote("window", zones, sentence(w.text), "", (), w.opens, w.closes, w.decide_by)
