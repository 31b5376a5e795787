"""Finds the dates in a message, and reads the one by which play is wanted."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, Final

from decide.parse import weekdays
from decide.parse.dates import last_day, read_date
from decide.parse.feasts import is_feast, names_of_feasts
from decide.parse.heard import Doubt, Told
from decide.parse.message_text import Clause, Message, pattern
from decide.parse.months import say_day
from decide.parse.results import AskBack, Reading, Setting, Understood

# Where some shapes stand among those that dates_of looks for.
_WEEKEND: Final = 1
_ROUGH: Final = (10, 11)
_COUNTED: Final = 12
_DAY_NAMED: Final = 13
_ORDINALS: Final = (
    "first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth", "eleventh",
    "twelfth", "thirteenth", "fourteenth", "fifteenth", "sixteenth", "seventeenth", "eighteenth",
    "nineteenth", "twentieth", "twenty[ -]first", "twenty[ -]second", "twenty[ -]third", "twenty[ -]fourth",
    "twenty[ -]fifth", "twenty[ -]sixth", "twenty[ -]seventh", "twenty[ -]eighth", "twenty[ -]ninth",
    "thirtieth", "thirty[ -]first",
)  # fmt: skip
_MONTH_FIRST: Final = ("us",)
_LEAD: Final = 16  # letters before a date that say how it is meant
_FRAGMENT: Final = 4  # a clause of so few words is a piece of a list
_UNSURE_ORDER: Final = ("ca", "ph")


@dataclass(frozen=True)
class Found:
    """A date as it stands in a clause: its words, where, and the days that it may mean."""

    clause: Clause
    start: int
    end: int
    words: str
    days: tuple[dt.date, ...]
    rough: bool = False
    weekday: bool = False


def read_dates(message: Message) -> None:
    """Tells by when play is wanted, and for what; a date with two readings is asked back."""
    table = message.speech.table("message_dates")
    ahead = [
        found
        for found in dates_of(message, table)
        if not _in_months(found, table)
        and max(found.days) >= message.setting.today
        and not message.taken(found.clause, found.start, found.end)
    ]
    wanted = [found for found in ahead if _is_wanted(found, table, message)]
    key, clause = "dates.play_by", None
    sure = [found for found in wanted if "corrects" in found.clause.moods] or wanted
    firsts = sorted(
        sure, key=lambda found: (_weight(found, table), found.rough, found.clause.start, found.days)
    )
    if not firsts:
        _perhaps(message, ahead, table)
        return
    first = firsts[0]
    sooner = next(
        (found for found in firsts if _for_training(found, table) and found.days < first.days), None
    )
    if sooner is not None and _for_matches(first, table):
        first = sooner
    clause = first.clause
    message.take(clause, first.start, first.end)
    if len(first.days) > 1:
        words = message.words(clause)
        readings = tuple(
            Reading(say_day(day), (Told(key, day.isoformat(), words),)) for day in first.days[:3]
        )
        message.use(clause)
        season = pattern(table["forms"]["seasons"]).fullmatch(first.words)
        text = message.say("season" if season else "day", words=first.words)
        message.doubts.append(Doubt(text, words, key, None, readings))
        return
    note = ""
    if first.rough or not any(letter.isdigit() for letter in first.words) or "/" in first.words:
        note = message.say("date", words=first.words, value=say_day(first.days[0]))
    message.tell(key, first.days[0].isoformat(), clause, note=note)
    sentence = message.sentences[clause.sentence][1]
    if _for_training(first, table):
        message.tell("dates.first_use", "training", clause)
        later = next(
            (found for found in sure if _for_matches(found, table) and found.days > first.days), None
        )
        if later is not None and len(later.days) == 1:
            message.tell("dates.matches_by", later.days[0].isoformat(), later.clause)
    elif _for_matches(first, table) or pattern(*table["roles"]["first-match"]).search(sentence):
        message.tell("dates.first_use", "matches", clause)


def _in_months(found: Found, table: Mapping[str, Any]) -> bool:
    """Whether a month is the first or last of a run of months: they are those of the play."""
    month, text = table["forms"]["months"], found.clause.text
    to = r"(?:through to|up to|to|till?|until|through|thru|-)"
    part = r"(?:the )?(?:(?:very )?(?:early|mid|middle of|late|end of|start of|beginning of)[ -](?:the )?)?"
    after = re.match(rf" ?{to} ?{part}{month}(?! \d)", text[found.end :])
    before = re.search(rf"{month} ?{to} ?(?:the )?(?:end of |mid )?$", text[: found.start])
    whole = found.rough or not re.search(r"\d", found.words)
    between = re.search(rf"\bbetween (?:{part}{month} and )?{part}?$", text[: found.start])
    return whole and (after is not None or before is not None or between is not None)


def _perhaps(message: Message, ahead: Sequence[Found], table: Mapping[str, Any]) -> None:
    """Asks back whether the first day that is named, and is the day of nothing else, is the wanted one."""
    for found in ahead:
        rest = found.clause.text[: found.start] + " " + found.clause.text[found.end :]
        season = pattern(table["forms"]["seasons"]).search(found.words)
        roles = table["roles"]
        other = pattern(*roles["other"], *roles["never"], *roles["aside"], *roles["past"]).search(rest)
        counted = re.search(r"\b(?:days?|weeks?|fortnights?|months?)\b", found.words)
        if found.clause.silent or found.weekday or counted or season or other or len(found.days) > 1:
            continue
        if _lasts(found, table) or _goes_on(found, table) or not _follows(found, table, message):
            continue
        if (
            found.rough
            and rest.strip(" ,.!?")
            and not re.search(r"\b(?:for|by|before)(?: the)?$", found.clause.text[: found.start].rstrip())
        ):
            continue
        words = message.words(found.clause)
        told = Told("dates.play_by", found.days[0].isoformat(), words)
        text = message.say("by", value=say_day(found.days[0]))
        message.use(found.clause)
        message.doubts.append(Doubt(text, words, told.key, None, (Reading(say_day(found.days[0]), (told,)),)))
        return


def _for_training(found: Found, table: Mapping[str, Any]) -> bool:
    return pattern(*table["roles"]["training"]).search(found.clause.text) is not None


def _for_matches(found: Found, table: Mapping[str, Any]) -> bool:
    return pattern(*table["roles"]["matches"]).search(found.clause.text) is not None


def _weight(found: Found, table: Mapping[str, Any]) -> int:
    """How surely it is the wanted date: 0 the surest."""
    strong = pattern(*table["roles"]["matches"], *table["roles"]["training"], *table["roles"]["still"])
    if strong.search(found.clause.text):
        return 0
    return 1 if pattern(*table["roles"]["wanted"]).search(found.clause.text) else 2


def _is_wanted(found: Found, table: Mapping[str, Any], message: Message) -> bool:
    """Whether a date is the one by which play is wanted."""
    roles, text = table["roles"], found.clause.text
    if found.clause.silent or re.search(r"\b(?:every|each|most)$", text[: found.start].rstrip()):
        return False
    rest = text[: found.start] + " " + text[found.end :]
    other = pattern(*roles["other"]).search(rest)
    if (other and not pattern(*roles["still"]).search(rest)) or pattern(*roles["never"]).search(rest):
        return False
    if _is_past(found, table) or _lasts(found, table) or _goes_on(found, table):
        return False
    alone = not re.sub(r"\b(?:so|on|from|by|about|around|the|for|it'?s|say)\b", " ", rest).strip(" ,.!")
    if alone:
        return other is None and not found.rough and _follows(found, table, message)
    if found.rough and not pattern(*roles["rough"]).search(rest):
        return False
    if found.weekday and (not pattern(*roles["days"]).search(rest) or _each_week(found, table, message)):
        return False
    if pattern(*roles["wanted"]).search(rest):
        return True
    lead = text[: found.start].rstrip()
    if pattern(*roles["aside"]).search(rest):
        return False
    short = len(rest.split()) <= _FRAGMENT and re.search(
        rf"(?<!\w)(?:{'|'.join(roles['at'])})(?: the)?$", lead
    )
    if short or re.search(rf"(?<!\w)(?:{'|'.join(roles['before'])})(?: the)?$", lead):
        return other is None
    return False


def _is_past(found: Found, table: Mapping[str, Any]) -> bool:
    """Whether the verb before a date tells of what has been, and nothing in the clause of what is to come."""
    verbs = list(pattern(*table["roles"]["past"]).finditer(found.clause.text[: found.start]))
    ahead = pattern(*table["roles"]["ahead"]).search(found.clause.text)
    return bool(verbs) and ahead is None


def _lasts(found: Found, table: Mapping[str, Any]) -> bool:
    """Whether a season or month is a time through which something lasts, and no day by which it is wanted."""
    lead = found.clause.text[: found.start].rstrip()
    if not found.rough or not pattern(*table["roles"]["lasting"]).search(lead[-_LEAD:]):
        return False
    return not (
        re.search(r"\bfor(?: the)?$", lead) and pattern(*table["roles"]["ahead"]).search(found.clause.text)
    )


def _each_week(found: Found, table: Mapping[str, Any], message: Message) -> bool:
    """Whether a day of the week is one of several of its sentence: they are those of every week."""
    days = pattern(rf"{table['forms']['days']}s?").findall(message.sentences[found.clause.sentence][1])
    return len(set(days)) > 1 and pattern(*table["roles"]["ahead"]).search(found.clause.text) is None


def _goes_on(found: Found, table: Mapping[str, Any]) -> bool:
    """Whether a day is the one until which the field is played on."""
    lead = found.clause.text[: found.start].rstrip()
    return pattern(*table["roles"]["going"]).search(lead) is not None


def _follows(found: Found, table: Mapping[str, Any], message: Message) -> bool:
    """Whether a date that stands by itself goes on from words of play, or from mere pieces of a list: after
    any other statement it is the date of that.
    """
    before = [
        one
        for one in message.clauses
        if one.sentence == found.clause.sentence and one.start < found.clause.start
    ]
    if not before or pattern(*table["roles"]["wanted"]).search(" ".join(one.text for one in before)):
        return True
    return all(len(one.text.split()) <= _FRAGMENT for one in before)


def dates_of(message: Message, table: Mapping[str, Any], past: bool = False) -> Iterator[Found]:
    """Every date that stands in a clause, the longest form at each place."""
    forms = table["forms"]
    month, season, day, count = forms["months"], forms["seasons"], forms["days"], forms["counts"]
    part = (
        r"(?:(?:the )?(?:very )?(?:early|mid|middle of|late|end of|start of|beginning of"
        r"|first half of|second half of)[ -](?:the )?)"
    )
    year = r"(?:,? (?:20\d\d|next year|this year))?"
    which, ordinal, of_month = weekdays.COUNT_WORD, "|".join(_ORDINALS), rf"(?:{month}|(?:next|this) month)"
    named = "|".join(f"(?:the )?(?:{one})(?: weekend)?" for one in names_of_feasts(message.setting))
    shapes = (
        named,
        rf"(?:the )?{which} weekend (?:of|in) {of_month}|(?:at the|this|for the) weekend",
        rf"(?:the )?{which} (?:week (?:of|in) {month}|{day} (?:of|in) {of_month})",
        rf"(?:the )?(?:{ordinal})(?: day)? of {month}{year}(?! weekend)|{month} the (?:{ordinal}){year}",
        r"\d{4}-\d{2}-\d{2}",
        rf"(?:the )?\d{{1,2}}(?:st|nd|rd|th)?(?: of)? {month}{year}",
        rf"{month}\.? (?:the )?\d{{1,2}}(?:st|nd|rd|th)?(?![\d%]|,\d| ?(?:hours|hrs|am|pm)){year}",
        r"\d{1,2}/\d{1,2}(?:/\d{2,4})?(?![\d/])",
        r"\d{1,2}\.\d{1,2}\.(?:\d{2,4})?",
        rf"{part}(?:next |this )?(?:{month}|{season})(?: start)?{year}",
        rf"(?:next |this |last )?{month}(?: next year| 20\d\d)?(?! \d)",
        rf"(?:next |this |last )?{season}(?: next year| 20\d\d)?(?! ball)",
        rf"(?:in |within )?{count} (?:days?|weeks?|fortnights?|months?)(?:' time| time| from now| ago)*",
        rf"(?:next |this |last |a fortnight on )?{day}(?: week(?![a-z]))?",
        r"the \d{1,2}(?:st|nd|rd|th)(?! (?:(?!and|at|we|is|if|for|it|they|but|so|or|please|when|i)[a-z]+))",
        r"next (?:week|month)|last (?:week|month|night)|tomorrow|yesterday|today|tonight|this morning",
    )
    for clause in message.clauses:
        taken: list[tuple[int, int]] = []
        for number, shape in enumerate(shapes):
            for match in pattern(shape).finditer(clause.text):
                if any(begin < match.end() and match.start() < end for begin, end in taken):
                    continue
                ahead = re.match(r" (?:until|till?|to|before) ", clause.text[match.end() :])
                if (
                    number == _COUNTED
                    and not ahead
                    and not re.match(r"(?:in|within) |.*(?:time|from now|ago)$", match[0])
                ):
                    continue
                found = _days(match[0], message.setting, table, past)
                if not found:
                    continue
                taken.append(match.span())
                rough = number in _ROUGH or (number == _WEEKEND and match[0].endswith("weekend"))
                weekday = number == _DAY_NAMED
                yield Found(clause, match.start(), match.end(), match[0], found, rough, weekday)


def _days(words: str, setting: Setting, table: Mapping[str, Any], past: bool) -> tuple[dt.date, ...]:
    """The days that some words may mean; empty where they mean none."""
    if words in table["roles"]["figures"]:
        return ()
    asked = replace(setting, past=past)
    name = words.removesuffix(" weekend")
    if is_feast(name, asked) and not is_feast(words, asked):
        words = name
    elif re.fullmatch(r"(?:at the|this|for the) weekend", words):
        return () if past else (weekdays.coming_saturday(setting.today),)
    words = _in_figures(words)
    words = {"sun": "sunday", "sat": "saturday"}.get(words, words)
    on_from = re.fullmatch(r"a fortnight on (\w+)", words)
    if on_from:
        days = _days(on_from[1], setting, table, past)
        return tuple(day + dt.timedelta(days=14) for day in days)
    later_week = re.fullmatch(r"(\w+) week", words)
    if later_week:
        days = _days(later_week[1], setting, table, past)
        return tuple(day + dt.timedelta(days=7) for day in days)
    later = words.endswith(" next year") or (
        not past and words.startswith("next ") and _month(words[5:], setting) == setting.today.month
    )
    said = words.removesuffix(" next year").removesuffix(" this year").removesuffix(" start").strip(" .,")
    said = (
        re.sub(r"^last night$", "yesterday", said)
        .replace("tonight", "today")
        .replace("this morning", "today")
    )
    slash = re.fullmatch(r"(\d{1,2})/(\d{1,2})(?:/(\d{2,4}))?", said)
    if slash and setting.country and setting.country not in _UNSURE_ORDER:
        first, second = int(slash[1]), int(slash[2])
        month, day = (first, second) if setting.country in _MONTH_FIRST else (second, first)
        if 1 <= month <= 12 and 1 <= day <= 31 and not slash[3]:
            return (_next(month, day, setting.today, past),)
    dotted = re.fullmatch(r"(\d{1,2})\.(\d{1,2})", said)
    if dotted and 1 <= int(dotted[2]) <= 12:
        return (_next(int(dotted[2]), int(dotted[1]), setting.today, past),)
    result = read_date(said, asked)
    if isinstance(result, Understood):
        found = dt.date.fromisoformat(str(result.value))
        if later and found.year == setting.today.year:
            found = _next(found.month, found.day, found + dt.timedelta(days=1), False)
        return (found,)
    if isinstance(result, AskBack):
        return tuple(dt.date.fromisoformat(str(one.value)) for one in result.readings)
    return ()


def _in_figures(words: str) -> str:
    """A day of a month in words, as figures: the second of June, June the twenty-first."""
    for form in (
        r"(?:the )?(?P<day>[a-z -]+?)(?: day)? of (?P<month>.+)",
        r"(?P<month>[a-z]+) the (?P<day>[a-z -]+)",
    ):
        match = re.fullmatch(form, words)
        for place, name in enumerate(_ORDINALS) if match else ():
            if re.fullmatch(name, match["day"]):  # type: ignore[index]
                return f"{place + 1} {match['month']}"  # type: ignore[index]
    return words


def _month(name: str, setting: Setting) -> int | None:
    first = read_date(f"1 {name}", replace(setting, past=False))
    return dt.date.fromisoformat(str(first.value)).month if isinstance(first, Understood) else None


def _next(month: int, day: int, today: dt.date, past: bool) -> dt.date:
    """The next such day from today on, or the last one where the past is meant."""
    day = min(day, last_day(today.year, month))
    found = dt.date(today.year, month, day)
    if past and found > today:
        return dt.date(today.year - 1, month, min(day, last_day(today.year - 1, month)))
    if not past and found < today:
        return dt.date(today.year + 1, month, min(day, last_day(today.year + 1, month)))
    return found
