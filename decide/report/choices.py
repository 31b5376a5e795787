"""What is said of an option before its details: verdict, conditions, chief reasons, the last day to decide."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from typing import Final

from decide.knowledge.speaker import CRITERION_NAMES, VERDICT_NAMES
from decide.model import advice as model
from decide.model.advice import Option
from decide.report.blocks import Span, Style
from decide.report.phrases import (
    day_of,
)

# So much of what a choice rests on, and of what is done meanwhile, is shown in the short form.
RESTS_SHOWN: Final = 3


ONLY_IF: Final = "Only if: "


THEN: Final = "Then"


VERDICT_STYLES: Final[dict[str, Style]] = {
    "advised": "good", "sound": "good", "sound-if": "warn", "risky": "warn", "late": "bad", "not-advised": "bad", "ruled-out": "bad",
}  # fmt: skip


def stands_as(option: Option, role: str) -> str:
    """The verdict under which an option stands in the programme: what lasts, and is ruled out by the date alone, is only late after its stopgap."""
    barred = [reason for reason in option.reasons if reason.grade == "ruled-out"]
    late = (
        option.verdict == "ruled-out"
        and bool(barred)
        and all(reason.criterion == "ready-in-time" for reason in barred)
    )
    return "late" if role == THEN and late else option.verdict


def only_late(reason: model.Reason) -> model.Reason:
    """A reason of what follows a stopgap, where the date alone rules it out: it speaks against it, and bars nothing."""
    return reason.model_copy(update={"grade": "lost"}) if reason.grade == "ruled-out" else reason


def marked(verdict: str, rests_on: Sequence[str]) -> str:
    """The verdict that marks a line: sound on conditions is marked as a proposal that is sound on conditions."""
    return "sound-if" if verdict == "sound" and rests_on else verdict


def verdict_spans(verdict: str, rests_on: Sequence[str]) -> tuple[Span, ...]:
    """A verdict as it is said before its conditions: in the same words for a choice and for a proposal."""
    said = Span(VERDICT_NAMES[verdict], VERDICT_STYLES[marked(verdict, rests_on)])
    if not rests_on:
        return (said,)
    return said, Span(
        " if the following holds" if verdict == "sound" else ", and only if the following holds"
    )


def short_verdict(verdict: str, rests_on: Sequence[str]) -> str:
    """A verdict for a cell of a table: "sound if" where conditions stand beside it or below."""
    return VERDICT_NAMES[marked(verdict, rests_on)]


def conditions_in_short(rests_on: Sequence[str]) -> str:
    """The first conditions of a verdict in one line, for a table."""
    more = len(rests_on) - RESTS_SHOWN
    return "; ".join(rests_on[:RESTS_SHOWN]) + (f"; and {more} more" if more > 0 else "")


def put_off(option: Option) -> bool:
    """Whether the last day to decide lies after the day that is advised: it counts only for somebody who begins later."""
    return bool(option.start and option.decide_by and option.decide_by > option.start)


def decide_words(option: Option) -> str:
    """The last day to decide, for a table; "" where there is none."""
    return (
        ""
        if not option.decide_by
        else f"{day_of(option.decide_by)}{', if it is put off' if put_off(option) else ''}"
    )


def meanwhile_words(answer: model.Answer) -> str:
    """What stands over the lines of what is done with a part this season."""
    return "This season" if answer.decision in ("nothing to do", "left alone") else "Meanwhile, this season"


def chief_reasons(option: Option) -> list[model.Reason]:
    """Two or three reasons of an option: the best for it and the most important against it.

    "Best" is the first in the order of its grades, which is the order of the user's wishes. "Most important against" is
    what rules it out, else the weak mark that its verdict rests on. An option that is not usable shows that first.
    """
    place = {criterion: n for n, criterion in enumerate(option.grades)}
    first = {row.reason for row in option.grades.values()}
    ordered = sorted(
        {reason.text: reason for reason in reversed(option.reasons)}.values(),
        key=lambda reason: (place.get(reason.criterion, len(place)), reason.text not in first, reason.text),
    )
    strong = [reason for reason in ordered if reason.grade == "strong"]
    fair = [reason for reason in ordered if reason.grade == "fair"]
    against = against_first(option, ordered)
    if option.verdict in ("late", "not-advised", "ruled-out"):
        return [*against[:2], *strong[:1]]
    shown = [*strong[:2], *against[:1]]
    return [*shown, *fair[: 3 - len(shown)]] if len(shown) < 3 else shown


def against_first(option: Option, reasons: Iterable[model.Reason]) -> list[model.Reason]:
    """What speaks against an option, the first first: what rules it out, then what its verdict rests on."""
    fixed = list(CRITERION_NAMES)
    risky = option.verdict == "risky"
    return sorted(
        (reason for reason in reasons if reason.grade in ("ruled-out", "lost", "poor", "weak")),
        key=lambda reason: (
            reason.grade != "ruled-out", risky and reason.criterion != "risk",
            fixed.index(reason.criterion) if reason.criterion in fixed else len(fixed),
        ),
    )  # fmt: skip


def first_reason(option: Option) -> str:
    """The one reason that tells most of an option's verdict."""
    if option.verdict == "sound" and option.rests_on:
        shown = option.rests_on[:RESTS_SHOWN]
        more = len(option.rests_on) - len(shown)
        return f"{ONLY_IF}{'; '.join(shown)}{f'; and {more} more' if more else ''}"
    if option.verdict_reason:
        return option.verdict_reason
    reasons = chief_reasons(option)
    if option.verdict != "advised":
        reasons = against_first(option, option.reasons) or reasons
    return reasons[0].text if reasons else "No rule spoke for or against it"


def alike(options: Sequence[Option]) -> list[list[Option]]:
    """Options of one verdict put together that differ only in their start."""
    found: dict[tuple[object, ...], list[Option]] = {}
    for option in options:
        mixture = tuple((part.grass, part.percent_by_weight) for part in option.mixture or [])
        found.setdefault(
            (option.zone, option.remedy, option.method, option.grass, mixture, option.variant), []
        ).append(option)
    return list(found.values())


def without_start(option: Option) -> str:
    """The title without its start, which stands beside it."""
    if option.start is None:
        return option.title
    said = day_of(option.start)
    cut = re.sub(rf",? *(?:from|on|on or about|starting)? *{re.escape(said)}$", "", option.title)
    return cut or option.title
