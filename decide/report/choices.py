"""What is said of an option before its details: verdict, conditions, chief reasons, the day to decide."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from typing import Final, Literal

from decide.engine.language import CRITERIA
from decide.model import advice as model
from decide.model.advice import Advice, Option
from decide.report.blocks import Span, Style
from decide.report.phrases import day_of
from decide.report.words import language, say

_MOST_REASONS: Final = 3

# So much of what a choice rests on, and of what is done meanwhile, is shown in the short form.
RESTS_SHOWN: Final = 3
STANDBY_SHOWN: Final = 3
VERDICT_STYLES: Final[dict[str, Style]] = {
    "advised": "good",
    "sound": "good",
    "sound-if": "warn",
    "risky": "warn",
    "late": "bad",
    "not-advised": "bad",
    "ruled-out": "bad",
}
# What an option is to the answer of its part.
Role = Literal["stopgap", "meanwhile", "least-bad", "then", "do"]
# Where a stopgap and what lasts are both new grass, one after the other.
_BOTH: Final = "stopgap then renovate"


def picked(advice: Advice, answer: model.Answer) -> list[Option]:
    """The options that the answer of a part names, in the order of doing."""
    found = [advice.option(code) for code in (answer.stopgap, answer.option, answer.least_bad)]
    # What waits for no day is done from today, with the grass of a stopgap beside it.
    return sorted((each for each in found if each is not None), key=lambda each: each.start is not None)


def chosen(advice: Advice) -> list[Option]:
    """The options that the answers of all parts name."""
    return [option for answer in advice.programme for option in picked(advice, answer)]


def role_of(answer: model.Answer, option: Option) -> Role:
    """What an option is to the answer of its part."""
    if option.code == answer.stopgap:
        goes_first = option.start is None or answer.option is None or answer.decision == _BOTH
        return "stopgap" if goes_first else "meanwhile"
    if option.code == answer.least_bad:
        return "least-bad"
    return "then" if answer.stopgap and option.start is not None else "do"


def stands_as(option: Option, role: Role) -> str:
    """The verdict under which an option stands in the programme.

    What lasts, and is ruled out by the date alone, is only late after its stopgap.
    """
    barred = [reason for reason in option.reasons if reason.grade == "ruled-out"]
    by_date = bool(barred) and all(reason.criterion == "ready-in-time" for reason in barred)
    return "late" if role == "then" and option.verdict == "ruled-out" and by_date else option.verdict


def only_late(reason: model.Reason) -> model.Reason:
    """A reason of what follows a stopgap, where the date alone rules it out: it bars nothing."""
    return reason.model_copy(update={"grade": "lost"}) if reason.grade == "ruled-out" else reason


def marked(verdict: str, rests_on: Sequence[str]) -> str:
    """The verdict that marks a line: sound on conditions is marked as "sound if"."""
    return "sound-if" if verdict == "sound" and rests_on else verdict


def verdict_spans(verdict: str, rests_on: Sequence[str]) -> tuple[Span, ...]:
    """A verdict as it is said before its conditions: in the same words for a choice and for a proposal."""
    said = Span(language().verdict(verdict), VERDICT_STYLES[marked(verdict, rests_on)])
    if not rests_on:
        return (said,)
    return said, Span(say("if-holds") if verdict == "sound" else say("and-only-if-holds"))


def short_verdict(verdict: str, rests_on: Sequence[str]) -> str:
    """A verdict for a cell of a table: "sound if" where conditions stand beside it or below."""
    return language().verdict(marked(verdict, rests_on))


def conditions_in_short(rests_on: Sequence[str]) -> str:
    """The first conditions of a verdict in one line, for a table."""
    more = len(rests_on) - RESTS_SHOWN
    return "; ".join((*rests_on[:RESTS_SHOWN], *([say("and-more-conditions", n=more)] if more > 0 else ())))


def begun_again(answer: model.Answer, option: Option) -> str:
    """What the answer adds to what is carried on: the part that is begun again, and when it bears play."""
    carried = option.remedy == "carry-on" and option.code == answer.option
    return answer.text.removeprefix(f"{option.title}.").strip() if carried else ""


def put_off(option: Option) -> bool:
    """Whether the last day to decide lies after the advised start: it counts only for who begins later."""
    return bool(option.start and option.decide_by and option.decide_by > option.start)


def decide_day(advice: Advice) -> str:
    """The day by which the choices are made so that the dates hold, ISO: when the plan must begin, at the
    latest at the first start, or on the last day to decide where that is sooner; "" where there is none.
    """
    days = [day for option in chosen(advice) if option.decide_by for day in (option.start, option.decide_by)]
    return min([day for day in (advice.plan_decide_by, *days) if day], default="")


def put_off_words(start: str | None, decide_by: str | None) -> str:
    """The last day to decide, in a sentence; one after the start holds if that is put off."""
    if not decide_by:
        return ""
    by = day_of(decide_by)
    if start is not None and decide_by > start:
        return f"{say('if-put-off')}: {say('decide-by-latest', day=by)}"
    return say("decide-by-day", day=by)


def decide_words(option: Option) -> str:
    """The last day to decide, for a table; "" where there is none."""
    if not option.decide_by:
        return ""
    by = day_of(option.decide_by)
    return say("decide-put-off", day=by) if put_off(option) else by


def meanwhile_words(answer: model.Answer) -> str:
    """What stands over the lines of what is done with a part this season."""
    idle = answer.decision in ("nothing to do", "left alone")
    return say("this-season") if idle else say("meanwhile")


def chief_reasons(option: Option) -> list[model.Reason]:
    """Two or three reasons of an option: the best for it and the most important against it.

    "Best" is the first in the order of its grades, which is the order of the user's wishes. "Most important
    against" is what rules it out, else the weak mark that its verdict rests on. An option that is not usable
    shows that first.
    """
    place = {criterion: n for n, criterion in enumerate(option.grades)}
    first = {row.reason for row in option.grades.values()}
    ordered = sorted(
        {reason.text: reason for reason in reversed(option.reasons)}.values(),
        key=lambda reason: (place.get(reason.criterion, len(place)), reason.text not in first, reason.text),
    )
    strong = [reason for reason in ordered if reason.grade == "strong"]
    fair = [reason for reason in ordered if reason.grade == "fair"]
    against = _against(option, ordered)
    if option.verdict in ("late", "not-advised", "ruled-out"):
        return [*against[:2], *strong[:1]]
    shown = [*strong[:2], *against[:1]]
    return [*shown, *fair[: _MOST_REASONS - len(shown)]]


def _against(option: Option, reasons: Iterable[model.Reason]) -> list[model.Reason]:
    """What speaks against an option, the first first: what rules it out, then what its verdict rests on."""
    fixed = list(CRITERIA)
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
        return f"{say('only-if')}: {conditions_in_short(option.rests_on)}"
    if option.verdict_reason:
        return option.verdict_reason
    reasons = chief_reasons(option)
    if option.verdict != "advised":
        reasons = _against(option, option.reasons) or reasons
    return reasons[0].text if reasons else say("no-rule-either-way")


def alike_but_start(options: Sequence[Option]) -> list[list[Option]]:
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
    cut = re.sub(rf",[^,]*{re.escape(said)}$", "", option.title)
    return cut or option.title
