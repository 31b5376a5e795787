"""Finds the uses of a field in a sentence: for each sport the hours, months and players told beside it."""

from __future__ import annotations

import itertools
import re
from collections.abc import Sequence
from dataclasses import replace
from typing import Any, Final

from decide.parse import numbers
from decide.parse.clock import days_named, read_span
from decide.parse.counted import hours_of_groups
from decide.parse.matching import matching
from decide.parse.months import MONTH_CODES, MONTHS_INSIDE, SEASONS, month_number, read_months
from decide.parse.numbers import NumberTrouble
from decide.parse.rates import HOURS_IN_A_WEEK
from decide.parse.results import AnswerChoice, Setting, Understood
from decide.parse.vocabulary import any_of, rows, said_plainly

_NEVER: Final = "(?!)"
_HOURS: Final = re.compile(
    r"(?<![\w.-])(?P<low>\d+(?:\.\d+)?|[a-z]+(?![a-z]))(?: ?(?:-|to|or) ?(?P<high>\d+(?:\.\d+)?|[a-z]+))?"
    r" ?(?:ish|odd|plus)? ?"
    r"(?:of )?(?:man )?(?:hours?|hrs?|h)(?![a-z])(?P<per> ?(?:a|per|each|every|/) ?(?:day|week|month|year))?"
)
_BARE: Final = re.compile(
    r"(?:about|around|maybe|roughly|say) (\d+)(?:ish)?(?![\w.])(?! ?(?:%|percent|years?|weeks?))"
)
_FIGURE: Final = (
    r"(?<![\w.:])(?<!u)(?<!under )(?:\d+|one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve)\b"
    r"(?! ?(?:teams?|sides?|pitches|fields|am|pm|years?|s\b|:))"
)
_SEASON: Final = r"\b(?:in|through|over|during|all|every) (?:the )?{0}\b|\b{0} (?:and|to) \w+|^\W*{0}\b"
_MONTH: Final = r"(?:jan|feb|mar|apr|may|jun|jul|aug|sept?|oct|nov|dec)[a-z]*"
# Months and nothing else, as an answer to which they are: August; March, April and May.
_MONTHS_ALONE: Final = re.compile(rf"(?:only |just )?{_MONTH}(?:(?: ?, ?| ?& ?| and )+{_MONTH})*(?: only)?")


def uses_told(text: str, setting: Setting, choices: Sequence[AnswerChoice]) -> list[dict[str, Any]]:
    """A row for each sport that a sentence names, with what it tells of it; one without a sport where it
    tells only hours, months or players. A sport of two meanings stands as a tuple of choices.
    """
    said = said_plainly(text)
    spans = _sports(said, setting, choices)
    sure = {sport for _, _, sport in spans if isinstance(sport, str)}
    spans = [(start, end, _settled(sport, sure)) for start, end, sport in spans]
    out: list[dict[str, Any]] = []
    if not spans:
        row = _row(said, setting)
        return [row] if row else []
    cuts = [0, *(_cut(said, one[1], two[0]) for one, two in itertools.pairwise(spans)), len(said)]
    for (start, end, sport), left, right in zip(spans, cuts[:-1], cuts[1:], strict=True):
        rest = said[left:start] + " , " + said[end:right]
        row = {"sport": sport, **_row(rest, setting)}
        same = next((held for held in out if held["sport"] == sport), None)
        if same is not None and not set(row) & set(same) - {"sport", "players"}:
            same.update(row)
        else:
            out.append(row)
    _lend(out)
    _each(said, out)
    if len(spans) > len(out) and len(re.findall(_FIGURE, said)) > sum("hours_per_week" in row for row in out):
        # Two games of one kind, of which only one told its hours with the word: the sum is asked.
        for row in out:
            row.pop("hours_per_week", None)
    return out


def _sports(said: str, setting: Setting, choices: Sequence[AnswerChoice]) -> list[tuple[int, int, Any]]:
    """Where each sport stands, with its code, or the choices that it may mean."""
    names: list[tuple[str, Any]] = []
    for pattern, code in rows(setting, "uses").get("sports", {}).items():
        names.append((pattern, code))
    for choice in choices:
        names += [(re.escape(said_plainly(phrase)).replace(r"\ ", " "), None) for phrase in choice.say]
    found: list[tuple[int, int, Any]] = []
    for pattern, code in sorted(names, key=lambda pair: -len(pair[0])):
        for match in any_of((pattern,)).finditer(said):
            if any(match.start() < end and start < match.end() for start, end, _ in found):
                continue
            if re.search(r"\b(?:no|not|without|never)(?: any)? $", said[: match.start()]):
                continue
            meant = code or _meant(match[0], setting, choices)
            if meant is not None:
                found.append((match.start(), match.end(), meant))
    return sorted(found, key=lambda one: one[0])


def _meant(word: str, setting: Setting, choices: Sequence[AnswerChoice]) -> Any:
    fits = matching(word, choices, setting)
    if not fits or len(fits) > 4:
        return None
    return fits[0].value if len(fits) == 1 else tuple(fits)


def _settled(sport: Any, sure: set[str]) -> Any:
    """A sport of several meanings as the one of them that the sentence names besides."""
    if isinstance(sport, tuple):
        named = [choice.value for choice in sport if choice.value in sure]
        return named[0] if len(named) == 1 else sport
    return sport


def _cut(said: str, start: int, end: int) -> int:
    """Where what is said of one sport ends and of the next begins: at the last comma, "and" or "then"."""
    between = said[start:end]
    places = [match.start() for match in re.finditer(r"[,;.]|\band\b|\bthen\b|\bplus\b", between)]
    return start + (places[-1] if places else 0)


def _row(said: str, setting: Setting) -> dict[str, Any]:
    """What a piece of a sentence tells of one use."""
    talk = rows(setting, "uses")
    out: dict[str, Any] = {}
    months = _months(said, setting)
    if months:
        out["months"] = months
    for players in ("youth", "adult"):
        if any_of((talk.get(players, _NEVER),)).search(said):
            out["players"] = players
            break
    bare = any_of((talk.get("ages", _NEVER),)).sub(" ", said)
    hours = _hours(bare, setting)
    if hours is not None:
        out["hours_per_week"] = hours
    else:
        games = any_of((talk.get("games", _NEVER),)).search(bare)
        count = _figure(games["count"]) if games is not None else None
        if count is not None:
            out["games_per_week"] = count
    return out


def _hours(said: str, setting: Setting) -> float | int | None:
    """The hours a week of a piece; None where none or several are told."""
    together = hours_of_groups(said, setting)
    if together is not None and together < 0:
        return None
    if together is not None:
        return numbers.tidy(together) if together <= HOURS_IN_A_WEEK else None
    values: list[float] = []
    for match in _HOURS.finditer(said):
        figures = [_figure(part) for part in (match["low"], match["high"]) if part]
        if not figures or None in figures:
            continue
        value = sum(one for one in figures if one is not None) / len(figures)
        per = (match["per"] or "").strip()
        if per.endswith(("day", "year")):
            continue
        values.append(value * 12 / 52 if per.endswith("month") else value)
    if not values:
        span = read_span(said)
        if span is not None:
            return numbers.tidy(span * max(1, days_named(said)))
        loose = _BARE.search(said)
        values = [float(loose[1])] if loose is not None else []
    values = [value for value in values if 0 < value <= HOURS_IN_A_WEEK]
    return numbers.tidy(values[0]) if len(values) == 1 else None


def _figure(text: str) -> float | None:
    if text in ("couple", "a", "an"):
        return 2.0 if text == "couple" else 1.0
    try:
        row = numbers.tokens(text)
    except NumberTrouble:
        return None
    found = numbers.figure(row, 0)
    return found[0][0] if found is not None and found[1] == len(row) else None


def _months(said: str, setting: Setting) -> list[str]:
    """The months that a piece names: in runs, one by one, or by their season."""
    short = re.sub(rf"\b({_MONTH}) ?/ ?({_MONTH})\b", r"\1 to \2", said)
    match = MONTHS_INSIDE.search(short)
    if match is not None:
        found = read_months(match[0].strip(" ,"), setting)
        if isinstance(found, Understood):
            return list(found.value)
    seasons = [season for season in SEASONS if re.search(_SEASON.format(season), said)]
    # Who says "fall" lives in the north.
    here = (
        setting if setting.hemisphere else replace(setting, hemisphere="north" if "fall" in seasons else None)
    )
    if seasons and here.hemisphere in ("north", "south"):
        found = read_months(" and ".join(dict.fromkeys(seasons)), here)
        return list(found.value) if isinstance(found, Understood) else []
    alone = _MONTHS_ALONE.fullmatch(said.strip(" .,"))
    named = re.findall(rf"\b({_MONTH})\b" if alone else rf"\bin ({_MONTH})\b(?! \d)", said)
    single = [month_number(word) for word in named]
    return [MONTH_CODES[month - 1] for month in sorted({one for one in single if one is not None})]


def _each(said: str, out: list[dict[str, Any]]) -> None:
    """Hours that are told last for each of several sports hold for those named before it."""
    told = [row["hours_per_week"] for row in out if "hours_per_week" in row]
    if len(told) == 1 and len(out) > 1 and re.search(r"(?:hours?|hrs?|h) (?:each|apiece)\b", said):
        for row in out:
            row.setdefault("hours_per_week", told[0])


def _lend(out: list[dict[str, Any]]) -> None:
    """Players told of one of several sports of one sentence hold for those named beside it without any."""
    told = {row["players"] for row in out if "players" in row}
    if len(told) == 1 and "players" in out[0]:
        for row in out:
            row.setdefault("players", next(iter(told)))
