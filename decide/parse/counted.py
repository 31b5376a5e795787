"""Counts that a story tells: steps that were bare, turns of a day, groups with hours each, tanks filled."""

from __future__ import annotations

import re
from typing import Any, Final

from decide.parse import numbers
from decide.parse.numbers import NumberTrouble, Quantity
from decide.parse.plain import fold
from decide.parse.results import Setting
from decide.parse.vocabulary import found, rows, said_plainly

_NEVER: Final = r"(?!)"
_NUMBER: Final = (
    r"(?:\d+(?:\.\d+)?|(?:twenty|thirty|forty|fifty|sixty|seventy|eighty|ninety)(?:[ -]\w+)?|an?|one|two"
    r"|three|four|five|six|seven|eight|nine|ten|eleven|twelve|thirteen|fourteen|fifteen|sixteen|eighteen)"
)


def figure_of(said: str) -> float | None:
    """The number that some words are; None where they are none."""
    if said in ("a", "an"):
        return 1.0
    try:
        row = numbers.tokens(said)
    except NumberTrouble:
        return None
    one = numbers.figure(row, 0)
    return one[0][0] if one is not None and one[1] == len(row) and len(one[0]) == 1 else None


def bare_steps(text: str, setting: Setting) -> list[float]:
    """The shares, in percent, of some steps of which so many were bare: "ten steps, seven the first".
    Empty where the line tells no such count.
    """
    table, said = _table(setting), said_plainly(text)
    steps = re.search(rf"\b(?P<of>{_NUMBER}) (?:\w+ )?(?:{table.get('steps', _NEVER)})\b", said)
    named = re.search(rf"\b(?:{table.get('steps', _NEVER)})\b", said)
    if named is None:
        return []
    whole = figure_of(steps["of"]) if steps is not None else None
    if whole is None or whole < 2:
        whole = float(table.get("steps-of", 10))
    rest = said if steps is None else said[: steps.start()] + " , " + said[steps.end() :]
    again, nth = table.get("again", _NEVER), table.get("nth", _NEVER)
    rest = re.sub(rf"\b{_NUMBER} (?:{again})\b|\b(?:{nth})\b", " ", rest)
    if found(table.get("living", _NEVER), rest):
        return []
    each = re.finditer(rf"\b(?!an?\b){_NUMBER}\b(?! ?(?:%|percent|per cent))", rest)
    counts = [figure_of(match[0]) for match in each]
    if not counts or any(one is None or one > whole for one in counts):
        return []
    return [100 * one / whole for one in counts if one is not None]


def turns_named(text: str, setting: Setting) -> int:
    """How many turns of a day a line names, without those that it denies: 2 for "me before work, the
    caretaker at noon, nobody at night"; 0 where it leaves open which.
    """
    table = _table(setting)
    if found(table.get("open", _NEVER), said_plainly(text)):
        return 0
    named: set[str] = set()
    for clause in re.split(r",|;|\.\s|\band\b|\bthen\b|\bbut\b|\bplus\b", fold(text)):
        said = said_plainly(clause)
        if said and not found(table.get("denied", _NEVER), said):
            here = {name for name, pattern in table.get("turns", {}).items() if found(pattern, said)}
            if here and found("only|just", said):
                return len(here)
            named |= here
    return len(named)


def hours_of_groups(said: str, setting: Setting) -> float | None:
    """The hours of several groups with so many each: 6 for "six classes with one hour each"; None where
    the words tell no such thing, less than 0 where more comes on top whose hours are not told.
    """
    groups = _table(setting).get("groups", _NEVER)
    match = re.search(
        rf"\b(?P<count>{_NUMBER})(?: \w+)? (?:{groups})(?P<between>(?:[ ,]+(?!and\b)\w+){{0,3}}?)[ ,]+"
        rf"(?:of |with |at |for |x )?"
        rf"(?P<hours>{_NUMBER}|half an)(?P<half> and a half)? ?-?(?:hours?|hrs?|h)\b(?P<half2> and a half)?"
        rf"(?P<each> (?:each|apiece|a time|every time|a piece|a go|per \w+))?",
        said,
    )
    if match is None or not (match["each"] or not match["between"].strip(" ,")):
        return None
    count, one = figure_of(match["count"]), 0.5 if match["hours"] == "half an" else figure_of(match["hours"])
    if found(_table(setting).get("on-top", _NEVER), said[match.end() :]):
        return -1.0
    half = 0.5 if match["half"] or match["half2"] else 0.0
    return None if count is None or one is None else count * (one + half)


def filled(text: str, setting: Setting) -> float | None:
    """The litres of a tank times its fillings a day: 2000 for "the thousand litre cube, two times"."""
    table, said = _table(setting), said_plainly(text)
    times = re.findall(rf"\b(once|twice|thrice|(?:{_NUMBER}) (?:{table.get('fillings', _NEVER)}))\b", said)
    sizes = _volumes(said)
    if len(times) != 1 or len(sizes) != 1 or found(table.get("open", _NEVER), said):
        return None
    count = {"once": 1.0, "twice": 2.0, "thrice": 3.0}.get(times[0]) or figure_of(times[0].split()[0])
    return None if count is None else sizes[0] * count


def _volumes(said: str) -> list[float]:
    out: list[float] = []
    said = re.sub(r"(?:^|(?<=[,;.] )|(?<=the )|(?<=our ))(?=(?:hundred|thousand) )", "a ", said)
    try:
        row = numbers.tokens(said, keep_fillers=True)
        at = 0
        while at < len(row):
            one = numbers.quantity(row, at)
            if one is None:
                at += 1
                continue
            amount, at = one
            if amount.unit in ("litre", "gal", "m3"):
                out += list(numbers.in_unit(Quantity(amount.values[:1], amount.unit), "litre"))
    except NumberTrouble:
        return []
    return out


def _table(setting: Setting) -> Any:
    return rows(setting, "counted")
