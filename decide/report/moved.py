"""What a changed answer moved in the advice, in few lines: dangers, the date, choices, cost, cautions."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from decide.knowledge.tables import Knowledge
from decide.model.advice import Advice, Answer, Option
from decide.model.planned import hours_to_do
from decide.model.units import System
from decide.report.choices import marked, picked, role_of, stands_as, without_start
from decide.report.phrases import date_of, day_of, hours_words, opening_sentence, short_days
from decide.report.sections.brief import SHUT, beyond, total, water_of_a_week
from decide.report.telling import Tell, Telling, telling
from decide.report.words import language, say

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
        *_cautions(tell, "moved-new-cautions", after, before),
        *_takes(tell, old, new),
        *_cautions(tell, "moved-gone-cautions", before, after),
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
        first = opening_sentence(new.text)
        same = old is not None and opening_sentence(old.text) == first
        # What is said again has moved nothing: the days behind it have.
        yield tell(
            "moved-fate", text=opening_sentence(new.text.removeprefix(first).strip()) if same else first
        )
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
        found = _part(tell, old.advice, before[zone], new.advice, answer)
        if found is not None:
            same.setdefault(found, []).append(zone)
    for (code, now, then), zones in same.items():
        where = "".join(span.text for span in new.where(zones))
        yield tell(code, part=where, new=now, old=then)
    for zone in before:
        if zone not in after:
            yield tell("moved-gone-part", part=zone)


def _part(tell: Tell, old: Advice, was: Answer, new: Advice, now: Answer) -> tuple[str, str, str] | None:
    """The code of what moved in a part, and both sides of it; None where nothing did."""
    before, after = picked(old, was), picked(new, now)
    verdicts = [
        language().listed([_verdict(tell, answer, option) for option in options])
        for answer, options in ((was, before), (now, after))
    ]
    if [without_start(option) for option in before] != [without_start(option) for option in after] or (
        not before and was.text != now.text
    ):
        return "moved-choice", _choice(new, now, verdicts[1]), _choice(old, was)
    if verdicts[0] != verdicts[1]:
        return "moved-verdict", verdicts[1], verdicts[0]
    for code, said in (("moved-start", _starts), ("moved-full-play", _full_play)):
        then, there = said(before), said(after)
        if then != there:
            return code, there, then
    count = [sum(len(option.rests_on) for option in options) for options in (before, after)]
    return ("moved-conditions", str(count[1]), str(count[0])) if count[0] != count[1] else None


def _choice(advice: Advice, answer: Answer, verdict: str = "") -> str:
    """What the answer of a part names, in the order of doing."""
    options = picked(advice, answer)
    if not options:
        return opening_sentence(answer.text).rstrip(".")
    return "; ".join([*(option.title for option in options), *([verdict] if verdict else [])])


def _verdict(tell: Tell, answer: Answer, option: Option) -> str:
    verdict = marked(stands_as(option, role_of(answer, option)), option.rests_on)
    return tell("screen-sound-on-conditions") if verdict == "sound-if" else language().verdict(verdict)


def _starts(options: Sequence[Option]) -> str:
    return language().listed([day_of(option.start) for option in options if option.start])


def _full_play(options: Sequence[Option]) -> str:
    spans = [
        short_days(date_of(days.early or ""), date_of(days.late or ""))
        for option in options
        if (days := option.full_play) is not None
    ]
    return language().listed([span for span in spans if span]) or say("not-known")


def _takes(tell: Tell, old: Telling, new: Telling) -> Iterator[str]:
    """Money, work and water in one sentence."""
    rows = []
    for said, nothing in ((_money, "moved-no-money"), (_work, "moved-no-work"), (_water, "moved-no-water")):
        then, now = said(tell, old), said(tell, new)
        if then != now:
            rows.append(tell("moved-row", new=now or tell(nothing), old=then or tell(nothing)))
    if rows:
        yield tell("moved-takes", rows="; ".join(rows))


def _money(tell: Tell, t: Telling) -> str:
    sums = t.advice.money
    rows = [] if sums is None else sums.totals
    return ", ".join([*(total(tell, row) for row in rows if row.low is not None), *beyond(t, tell, rows)])


def _work(tell: Tell, t: Telling) -> str:
    hours = hours_to_do(t.advice.plan)
    return "" if hours is None else tell("moved-work", hours=hours_words(hours))


def _water(tell: Tell, t: Telling) -> str:
    amount = water_of_a_week(t)
    return tell("moved-water", amount=amount) if amount else ""


def _cautions(tell: Tell, code: str, there: Advice, other: Advice) -> Iterator[str]:
    """Cautions that stand in one advice alone; those of today are said as dangers."""
    known = {row.code for row in other.cautions} | {row.code for row in (*other.today, *there.today)}
    found = [row for row in there.cautions if row.code not in known]
    if found:
        yield tell(code, n=len(found), first=opening_sentence(found[0].text))
