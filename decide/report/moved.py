"""What a changed answer moved in the advice, in few lines: dangers, the date, choices, cost, cautions."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from decide.knowledge.speaker import VERDICT_NAMES
from decide.knowledge.tables import Knowledge
from decide.model.advice import Advice, Answer, Option
from decide.model.units import System
from decide.report.choices import marked, picked, role_of, stands_as
from decide.report.phrases import date_of, estimate, hours_of, money, opening_sentence, short_days, span_of
from decide.report.sections.brief import SHUT, hours_in_all, water_of_a_week
from decide.report.telling import Tell, Telling, telling
from decide.report.words import say, word

MOST: Final = 5


def moved(before: Advice, after: Advice, knowledge: Knowledge, system: System | None = None) -> list[str]:
    """At most five sentences that say what moved between two advices, the gravest first; one that says so
    where nothing did.
    """
    tell = knowledge.text
    old, new = telling(before, "short", system), telling(after, "short", system)
    said = [
        *_dangers(tell, before, after),
        *_fate(tell, before, after),
        *_choices(tell, old, new),
        *_takes(tell, old, new),
        *_cautions(tell, before, after),
    ]
    if len(said) > MOST:
        said = [*said[: MOST - 1], tell("moved-more", n=len(said) - MOST + 1)]
    return said or [tell("moved-nothing")]


def _dangers(tell: Tell, before: Advice, after: Advice) -> Iterator[str]:
    old, new = ({row.text: row for row in advice.today} for advice in (before, after))
    for code, rows, others in (("moved-new-dangers", new, old), ("moved-gone-dangers", old, new)):
        found = [row for text, row in rows.items() if text not in others]
        if found:
            # Why it is shut stands after its first sentence.
            first = found[0].text if found[0].code == SHUT else opening_sentence(found[0].text)
            yield tell(code, n=len(found), text=first)


def _fate(tell: Tell, before: Advice, after: Advice) -> Iterator[str]:
    old, new = before.fate, after.fate
    if new is not None and (old is None or old.text != new.text):
        yield tell("moved-fate", text=opening_sentence(new.text))
    elif old is not None and new is None:
        yield tell("moved-fate-gone")


def _choices(tell: Tell, old: Telling, new: Telling) -> Iterator[str]:
    """Parts that came or went, and parts whose choice, verdict, days or conditions moved; parts with the same
    move are said together.
    """
    before, after = ({row.zone: row for row in t.advice.programme} for t in (old, new))
    if len(before) == len(after) == 1:
        # One part under another name is the same part.
        before = dict(zip(after, before.values(), strict=True))
    same: dict[tuple[str, str, str], list[str]] = {}
    for zone, answer in after.items():
        if zone not in before:
            yield tell("moved-new-part", part=zone, choice=_choice(new.advice, answer))
            continue
        found = _part(old.advice, before[zone], new.advice, answer)
        if found is not None:
            same.setdefault(found, []).append(zone)
    for (code, now, then), zones in same.items():
        where = "".join(span.text for span in new.where(zones))
        yield tell(code, part=where, new=now, old=then)
    for zone in before:
        if zone not in after:
            yield tell("moved-gone-part", part=zone)


def _part(old: Advice, was: Answer, new: Advice, now: Answer) -> tuple[str, str, str] | None:
    """The code of what moved in a part, and both sides of it; None where nothing did."""
    then, there = _choice(old, was), _choice(new, now)
    if then != there:
        return "moved-choice", there, then
    pairs = list(zip(picked(old, was), picked(new, now), strict=True))
    for first, second in pairs:
        verdicts = [_verdict(answer, option) for answer, option in ((was, first), (now, second))]
        if verdicts[0] != verdicts[1]:
            return "moved-verdict", verdicts[1], verdicts[0]
    for first, second in pairs:
        days = [_full_play(option) for option in (first, second)]
        if days[0] != days[1]:
            return "moved-full-play", days[1], days[0]
    for first, second in pairs:
        if first.rests_on != second.rests_on:
            return "moved-conditions", str(len(second.rests_on)), str(len(first.rests_on))
    return None


def _choice(advice: Advice, answer: Answer) -> str:
    """What the answer of a part names, in the order of doing."""
    options = picked(advice, answer)
    return (
        "; ".join(option.title for option in options)
        if options
        else opening_sentence(answer.text).rstrip(".")
    )


def _verdict(answer: Answer, option: Option) -> str:
    stands = stands_as(option, role_of(answer, option))
    return VERDICT_NAMES[marked(stands, option.rests_on)]


def _full_play(option: Option) -> str:
    days = option.full_play
    said = "" if days is None else short_days(date_of(days.early or ""), date_of(days.late or ""))
    return said or say("not-known")


def _takes(tell: Tell, old: Telling, new: Telling) -> Iterator[str]:
    for code, words in (("moved-money", _money), ("moved-hours", _hours), ("moved-water", water_of_a_week)):
        then, now = words(old), words(new)
        if then != now:
            yield tell(code, new=now or say("not-known"), old=then or say("not-known"))


def _money(t: Telling) -> str:
    sums = t.advice.money
    rows = [] if sums is None else sums.totals
    return "; ".join(
        f"{word('kind', row.kind)} {span_of(estimate(row.low), estimate(row.high))} {money(row.currency)}"
        for row in rows
        if row.low is not None and row.high is not None
    )


def _hours(t: Telling) -> str:
    hours = hours_in_all(t)
    return "" if hours is None else hours_of(hours)


def _cautions(tell: Tell, before: Advice, after: Advice) -> Iterator[str]:
    """Cautions that came or went; those of today are said as dangers."""
    for code, advice, other in (
        ("moved-new-cautions", after, before),
        ("moved-gone-cautions", before, after),
    ):
        known = _codes(other) | {row.code for row in advice.today}
        found = [row for row in advice.cautions if row.code not in known]
        if found:
            yield tell(code, n=len(found), first=opening_sentence(found[0].text))


def _codes(advice: Advice) -> set[str]:
    return {row.code for row in advice.cautions} | {row.code for row in advice.today}
