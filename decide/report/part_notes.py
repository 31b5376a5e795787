"""What the programme says of each part beside its tasks, a row for each thing, for papers that hold rows."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from decide.model.advice import Advice
from decide.report.choices import picked, role_of, stands_as, verdict_spans
from decide.report.phrases import sentence
from decide.report.words import say, word


@dataclass(frozen=True)
class PartNote:
    """The choice of a part, the other side of a trade, what is done meanwhile, or the next window.

    Days are ISO.
    """

    kind: Literal["choice", "trade", "meanwhile", "window"]
    code: str
    zone: str
    text: str
    rests_on: tuple[str, ...] = ()
    first: str | None = None
    last: str | None = None
    decide_by: str | None = None

    def conditions(self) -> list[str]:
        """What a choice rests on, each condition a sentence of its own."""
        return [f"{say('only-if')}: {sentence(condition)}" for condition in self.rests_on]


def part_notes(advice: Advice) -> Iterator[PartNote]:
    """All that is said of the parts, in full, in the order of the parts."""
    for place, answer in enumerate(advice.programme, start=1):
        zone = answer.zone
        if answer.option is None:
            yield PartNote("choice", f"choice/{place}", zone, sentence(answer.text))
        for n, option in enumerate(picked(advice, answer), start=1):
            role = role_of(answer, option)
            verdict = "".join(span.text for span in verdict_spans(stands_as(option, role), option.rests_on))
            yield PartNote(
                "choice",
                f"choice/{place}/{n}",
                zone,
                f"{word('role', role)}: {option.title} — {verdict}.",
                tuple(option.rests_on),
                option.start,
                None,
                option.decide_by,
            )
        if answer.instead:
            yield PartNote("trade", f"trade/{place}", zone, sentence(answer.instead))
        for n, said in enumerate(answer.meanwhile, start=1):
            yield PartNote("meanwhile", f"meanwhile/{place}/{n}", zone, sentence(said))
        if answer.window is not None:
            w = answer.window
            days = (w.opens, w.closes, w.decide_by)
            yield PartNote("window", f"window/{place}", zone, sentence(w.text), (), *days)
