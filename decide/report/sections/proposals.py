"""What somebody means to do, judged: why, on what conditions, and what would be better."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from decide.model import advice as model
from decide.report.blocks import Line, Span, line
from decide.report.choices import verdict_spans
from decide.report.phrases import sentence
from decide.report.sections.cautions import of_proposal
from decide.report.sections.choice import reason_line
from decide.report.telling import Telling, and_more
from decide.report.words import say

# So many reasons and conditions of a proposal stand in the short form.
REASONS_SHOWN: Final = 3
CONDITIONS_SHOWN: Final = 6
_ORDER: Final = ("ruled-out", "lost", "poor", "weak", "doubtful", "strong", "fair")


def proposals(t: Telling) -> Iterator[Line]:
    """Each proposal with its verdict; those that are judged alike share their reasons."""
    alike: list[list[model.ProposalJudged]] = []
    for judged in t.advice.proposals:
        same = [group for group in alike if group[0].model_copy(update={"asked": judged.asked}) == judged]
        if same:
            same[0].append(judged)
        else:
            alike.append([judged])
    told = {doing.code for doing in t.advice.today} | set(t.places)
    for group in alike:
        first = group[0]
        only_if = first.judgement == "sound-if"
        conditions = first.conditions or [say("unasked")] * only_if
        verdict = verdict_spans("sound" if only_if else first.judgement, conditions if only_if else ())
        for judged in group:
            asked = Span(judged.asked, "strong")
            yield line(asked, " — ", *verdict, ".", mark=f"={judged.judgement}")
        yield from _why(t, first, conditions)
        yield from of_proposal(t, first, told)
        told |= set(first.cautions)


def _why(t: Telling, judged: model.ProposalJudged, conditions: list[str]) -> Iterator[Line]:
    """Why, on what conditions, and what would be better."""
    reasons = sorted(judged.reasons, key=lambda reason: _ORDER.index(reason.grade))
    for reason in reasons[: REASONS_SHOWN if t.short else None]:
        yield reason_line(reason, 1)
    label = say("only-if") if judged.judgement == "sound-if" else say("needs")
    shown = conditions[: CONDITIONS_SHOWN if t.short else None]
    for condition in shown:
        yield line(Span(f"{label}: ", "strong"), sentence(condition), depth=1, mark="-")
    yield from and_more(len(conditions) - len(shown), 1)
    for better in judged.better:
        yield line(Span(f"{say('better')}: ", "good"), sentence(better), depth=1, mark="-")
