"""Reads days and spans of other things than play: of water, money, hands, and closing the ground."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterator, Mapping
from itertools import pairwise
from typing import Any, Final

from decide.model.units import convert
from decide.parse.dates import last_day
from decide.parse.heard import Doubt, Told
from decide.parse.message_amounts import people_in
from decide.parse.message_dates import Found, dates_of
from decide.parse.message_money import number
from decide.parse.message_text import Clause, Message, pattern
from decide.parse.months import say_day
from decide.parse.numbers import tidy
from decide.parse.results import Reading
from decide.parse.weekdays import CODES

_SUM: Final = r"[£$€] ?\d[\d,.]*k?|\b\d[\d,.]*k?(?: (?:pounds|euros|dollars|quid|grand|thousand|hundred))?\b"


def read_when(message: Message, money: bool = False) -> None:
    """Tells the days that are told of other things than play; they are dates of play no longer. `money` is
    set where the question in hand is of money.
    """
    table = message.speech.table("message_when")
    dated: dict[int, list[Found]] = {}
    for found in dates_of(message, message.speech.table("message_dates")):
        if len(found.days) == 1 and not found.clause.silent:
            dated.setdefault(found.clause.start, []).append(found)
    for clause in message.telling():
        days = sorted(dated.get(clause.start, []), key=lambda found: found.start)
        _hands(message, clause, days)
        _spans(message, clause, days, table)
        if not _money_from(message, clause, days, table, money):
            _money(message, clause, days, table["money"], money)
        _days(message, clause, days, table)
        _weeks(message, clause, table)
        _watering(message, clause, table)
        _tank(message, clause, table)


def _hands(message: Message, clause: Clause, days: list[Found]) -> None:
    """Many hands on one day."""
    people = people_in(message, clause)
    ahead = [
        found
        for found in days
        if found.days[0] >= message.setting.today and not found.weekday and not found.rough
    ]
    if people is None or not ahead:
        return
    count, start, end = people
    message.take(clause, start, end)
    message.take(clause, ahead[0].start, ahead[0].end)
    message.add("means.work_days", [{"date": ahead[0].days[0].isoformat(), "people": count}], clause)


def _spans(message: Message, clause: Clause, days: list[Found], table: Mapping[str, Any]) -> None:
    for first, last in pairwise(days):
        between = clause.text[first.end : last.start].strip()
        if first.weekday or last.weekday or not re.fullmatch(table["spans"]["between"], between):
            continue
        if first.days[0] > last.days[0]:
            continue
        for key in ("no_work", "no_play"):
            if pattern(*table["spans"][key]).search(clause.text):
                until = last.days[0]
                if key == "no_work" and last.rough:
                    # Nobody is there in the last month either.
                    until = until.replace(day=last_day(until.year, until.month))
                span = {"from": first.days[0].isoformat(), "until": until.isoformat()}
                message.add(f"dates.{key}", [span], clause)
                message.take(clause, first.start, last.end)
                return


def _money_from(
    message: Message, clause: Clause, days: list[Found], table: Mapping[str, Any], asked: bool
) -> bool:
    """From when the money is there; of a sum that was asked after, and is "by" a day, it is asked back.
    Whether anything was made of the clause.
    """
    words, between = table["money"]["from"], table["spans"]["between"]
    table = table["money"]
    if pattern(words["not"]).search(clause.text):
        return False
    named = asked or pattern(*table["named"]).search(message.sentences[clause.sentence][1])
    forms = pattern(*words["alone"], *(words["with"] if named else ()), *(words["asked"] if asked else ()))
    for found in days:
        if found.days[0] < message.setting.today or found.weekday:
            continue
        if asked and pattern(words["either"]).search(_marked(found).strip(" .!")):
            _spent_or_come(message, found, words)
            return True
        match = forms.search(_marked(found))
        if match is None:
            continue
        day = found.days[0]
        if found.rough and pattern(words["late"]).search(match[0]):
            day = day.replace(day=last_day(day.year, day.month))
        note = message.say("date", words=found.words, value=say_day(day))
        # The sum is read by others, and may stand before the day.
        sums = list(re.finditer(_SUM, match[0]))
        message.take(clause, match.start() + (sums[-1].end() if sums else 0), found.end)
        message.tell("means.budget_from", day.isoformat(), clause, note=note if found.rough else "")
        after = next((other for other in days if other.start > found.end), None)
        if after is not None and pattern(between).fullmatch(clause.text[found.end : after.start].strip()):
            message.take(clause, after.start, after.end)
            message.tell("means.budget_until", after.days[0].isoformat(), clause)
        return True
    return False


def _spent_or_come(message: Message, found: Found, words: Mapping[str, Any]) -> None:
    day, said = found.days[0], message.words(found.clause)
    shown = say_day(day)
    readings = tuple(
        Reading(str(words[how]).format(day=shown), (Told(key, day.isoformat(), said),))
        for how, key in (("spend", "means.budget_until"), ("come", "means.budget_from"))
    )
    message.take(found.clause, found.start, found.end)
    message.use(found.clause)
    ask = str(words["either-ask"]).format(day=shown)
    message.doubts.append(Doubt(ask, said, "means.budget_until", None, readings))


def _money(
    message: Message, clause: Clause, days: list[Found], table: Mapping[str, Any], asked: bool
) -> None:
    """Until when the money is there."""
    named = asked or pattern(*table["named"]).search(message.sentences[clause.sentence][1])
    forms = pattern(*table["alone"], *(table["with"] if named else ()))
    if pattern(*table["not"]).search(clause.text):
        return
    for found in days:
        before = re.search(r"\bbefore(?: the)?$", clause.text[: found.start].rstrip())
        day = found.days[0] - dt.timedelta(days=1) if before else found.days[0]
        if day >= message.setting.today and not found.weekday and forms.search(_marked(found)):
            note = message.say("date", words=found.words, value=say_day(day))
            message.take(clause, found.start, found.end)
            message.tell("means.budget_until", day.isoformat(), clause, note=note if found.rough else "")
            return


def _marked(found: Found) -> str:
    """The words of a clause with "@" where the date stands."""
    text = found.clause.text
    return " ".join(f"{text[: found.start]} @ {text[found.end :]}".split())


def _days(message: Message, clause: Clause, days: list[Found], table: Mapping[str, Any]) -> None:
    if pattern(*table["days"]["not"]).search(clause.text):
        return
    for key, words in table["days"].items():
        for found in days if key != "not" else ():
            ahead = found.days[0] >= message.setting.today
            free = not message.taken(clause, found.start, found.end)
            if not (ahead and free and pattern(*words).search(_marked(found))):
                continue
            message.take(clause, found.start, found.end)
            # What begins in this month is there already.
            if not (found.rough and found.days[0].month == message.setting.today.month):
                message.tell(key, found.days[0].isoformat(), clause)
            break


def _weeks(message: Message, clause: Clause, table: Mapping[str, Any]) -> None:
    lead = "|".join(table["weeks"]["close"])
    match = pattern(rf"(?:{lead})(?P<n>\w+(?: \w+)?) weeks?").search(clause.text)
    value = number(match["n"], message) if match else None
    if match and value:
        message.take(clause, match.start(), match.end())
        message.tell("dates.can_close_weeks", tidy(value), clause)


def _watering(message: Message, clause: Clause, table: Mapping[str, Any]) -> None:
    """On which days, and in which hours, water may be given."""
    sentence = message.sentences[clause.sentence][1]
    only = pattern(*table["watering"]["only"]).search(sentence)
    if only is None or not re.search(r"water|irrigat|sprinkl|hose", clause.text):
        return
    names = [name[:3] for one in _listed(message, clause) for name in _day_names(message, one)]
    if names:
        message.add("limits.water_days", [day for day in CODES if day in names], clause)
    hours = [span for one in _listed(message, clause) for span in _hours(one.text)]
    if hours and not re.search(r"\b(?:not|never|no)\b", clause.text):
        message.add("limits.water_hours", hours, clause)


def _day_names(message: Message, clause: Clause) -> list[str]:
    days = message.speech.table("message_dates")["forms"]["days"]
    return list(pattern(f"{days}s?").findall(clause.text))


def _listed(message: Message, clause: Clause) -> Iterator[Clause]:
    """A clause, and those right after it that go on with its list of days."""
    yield clause
    after = [one for one in message.clauses if one.sentence == clause.sentence and one.start > clause.start]
    for one in after:
        days = message.speech.table("message_dates")["forms"]["days"]
        goes_on = pattern(rf"(?:and )?{days}s?").match(one.text.strip()) or any(_hours(one.text))
        if not goes_on:
            return
        yield one
        message.use(one)


def _hours(text: str) -> Iterator[dict[str, str]]:
    form = (
        r"(?P<a>\d{1,2})(?:[:.](?P<am>\d\d))? ?(?P<x>am|pm)? ?(?:to|and|till?|until|-) ?"
        r"(?P<b>\d{1,2})(?:[:.](?P<bm>\d\d))? ?(?P<y>am|pm)"
    )
    for match in re.finditer(
        r"(?P<a>\d\d?[:.]\d\d) ?(?:to|and|till?|until|-) ?(?P<b>\d\d?[:.]\d\d)(?! ?[ap]m)", text
    ):
        yield {"from": match["a"].replace(".", ":").zfill(5), "until": match["b"].replace(".", ":").zfill(5)}
    for match in re.finditer(form, text):
        first = int(match["a"]) % 12 + (12 if (match["x"] or match["y"]) == "pm" else 0)
        last = int(match["b"]) % 12 + (12 if match["y"] == "pm" else 0)
        yield {"from": f"{first:02d}:{match['am'] or '00'}", "until": f"{last:02d}:{match['bm'] or '00'}"}


def _tank(message: Message, clause: Clause, table: Mapping[str, Any]) -> None:
    """What a tank or bowser holds is the water of a day, where it is not told how often it is filled."""
    words = "|".join(table["tank"]["words"])
    unit = r"l|lit(?:re|er)s?|gal(?:lon)?s?|m3|cubic met(?:re|er)s?"
    match = pattern(
        rf"(?P<n>\d[\d,]*) ?(?P<unit>{unit})(?: \w+)? (?:{words})",
        rf"(?:{words})(?: \w+)?(?: of)? (?P<m>\d[\d,]*) ?(?P<unit2>{unit})",
    ).search(clause.text)
    if match is None or not pattern("bowsers?", "tankers?", "carts?", "trailers?").search(clause.text):
        return
    value = number(match["n"] or match["m"], message)
    named = match["unit"] or match["unit2"]
    if value:
        code = "gal" if named.startswith("g") else "m3" if named[0] in "mc" else "litre"
        litres = convert(value, code, "litre")
        sentence = message.sentences[clause.sentence][1]
        every = next(
            (n for said, n in table["tank"]["every"].items() if pattern(said).search(sentence)), None
        )
        note = "" if every else table["tank"]["note"]
        message.tell("means.water_litres_day", tidy(round(litres / (every or 1))), clause, note=note)
