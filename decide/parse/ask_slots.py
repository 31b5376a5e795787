"""Reads what a question names: parts, ways, steps, days, amounts, and what would be otherwise."""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from decide.model.units import convert
from decide.parse import numbers
from decide.parse.asking import Asking, Kind
from decide.parse.dates import read_date
from decide.parse.matching import singular
from decide.parse.phrases import Hit, Line
from decide.parse.plain import fold
from decide.parse.results import Setting, Understood
from decide.parse.speech import Speech
from decide.parse.supposed import read_supposed

_LONGEST_DATE: Final = 5
# From here on an amount is said back in whole numbers.
_WHOLE_FROM: Final = 10
_DAYS_IN: Final = {"day": 1, "week": 7, "fortnight": 14, "month": 30}
_NO_DAY: Final = frozenset({"today", "now", "straight", "asap"})


@dataclass(frozen=True)
class Said:
    """The words that slots are read from, with all that their reading leans on."""

    text: str
    line: Line
    setting: Setting
    speech: Speech
    asking: Asking
    answers: Mapping[str, Any]


Slots = dict[str, Any]


def slots_of(kind: Kind, hit: Hit, fixed: Mapping[str, Any], said: Said) -> Slots:
    """The slots of a kind that some words fill."""
    out: Slots = {}
    for name, names in kind.slots.items():
        value = names.heaviest(said.line)
        if value is not None:
            out[name] = value
    for name in kind.takes:
        if name in out:
            continue
        reader = _READERS.get(name)
        value = reader(said) if reader else _named(name, said)
        if value is not None and value != {}:
            out[name] = value
    own = _OWN.get(kind.intent)
    if own is not None:
        out |= own(said)
    return {**out, **fixed, **hit.names}


def _named(name: str, said: Said) -> Any:
    names = said.asking.names.get(name)
    return None if names is None else names.heaviest(said.line)


# ---------- parts of the field ----------
def _zone(said: Said) -> str | None:
    """The part that is named: by its own name, or by a name that parts of fields have."""
    words = [singular(word) for word in said.line.words]
    best: tuple[int, str] | None = None
    for row in said.answers.get("zone") or []:
        name = str(row.get("name", "")) if isinstance(row, Mapping) else ""
        wanted = [singular(word) for word in said.asking.plain(fold(name))]
        for at in range(len(words)):
            if wanted and words[at : at + len(wanted)] == wanted and (not best or len(wanted) > best[0]):
                best = (len(wanted), name)
    if best is not None:
        return best[1]
    for at in range(len(words)):
        ends = said.line.of_class("part", at)
        if ends:
            name = " ".join(said.line.words[at : max(ends)]).removeprefix("the ")
            return _known_part(name, said)
    return None


def _known_part(name: str, said: Said) -> str:
    """A part by the name that it was told under, where that says the same."""
    own = {singular(word) for word in name.split()}
    same = _GOALS if own & _GOALS else own
    for row in said.answers.get("zone") or []:
        told = str(row.get("name", "")) if isinstance(row, Mapping) else ""
        if len(own) == 1 and {singular(word) for word in fold(told).split()} & same:
            return told
    return name


_GOALS: Final = frozenset({"goal", "goalmouth"})


# ---------- days ----------
def _windows(words: Sequence[str], telling: frozenset[str]) -> Iterator[str]:
    """The runs of words that hold a figure or a word of a date, from each place the longest first."""
    for at in range(len(words)):
        for length in range(min(_LONGEST_DATE, len(words) - at), 0, -1):
            run = words[at : at + length]
            if any(word[:1].isdigit() or word in telling for word in run):
                yield " ".join(run)


def _date(said: Said, *, past: bool = False) -> str | None:
    """The first day that is named; None where today is meant or no day is said."""
    setting = dataclasses.replace(said.setting, past=past)
    words = _WEEKEND.sub("saturday", " ".join(_day_words(said.text))).split()
    for window in _windows(words, said.asking.dated):
        if window in _NO_DAY or re.fullmatch(
            r"[0-9.,/]+|may|sun|mar|(?:the |a )?(?:days?|weeks?|months?)", window
        ):
            continue
        if window.split()[0] in ("may", "march") and len(window.split()) == 1:
            continue
        found = read_date(window, setting)
        if isinstance(found, Understood):
            return str(found.value)
    return None


_WEEKEND: Final = re.compile(r"\b(?:at |on |over )?(?:this |the |next )?week ?end\b")


def _day_words(text: str) -> list[str]:
    return re.findall(r"[0-9]+(?:[./-][0-9]+)*(?:st|nd|rd|th)?|[a-z]+", fold(text).replace("'", ""))


def _days(said: Said) -> int | None:
    """How many days are said, in days."""
    for number, unit in _amounts(said):
        if unit in _DAYS_IN:
            return round(number * _DAYS_IN[unit])
    return None


# ---------- amounts ----------
def _amounts(said: Said) -> Iterator[tuple[float, str]]:
    """The amounts that are said, each with its unit, "" where it has none."""
    try:
        row = numbers.tokens(re.sub(r"\b(?:an?) (?=inch|hour|week|day|litre|kilo)", "1 ", fold(said.text)))
    except numbers.NumberTrouble:
        return
    at = 0
    while at < len(row):
        try:
            found = numbers.figure(row, at)
        except numbers.NumberTrouble:
            return
        if found is None:
            at += 1
            continue
        end = found[1]
        unit, after = numbers.unit_at(row, end)
        yield found[0][0], unit
        at = max(after, end, at + 1)


def _height(said: Said) -> float | int | None:
    for number, unit in _amounts(said):
        if unit in ("mm", "cm", "in", "ft", "m"):
            return numbers.tidy(round(numbers.in_unit(numbers.Quantity((number,), unit), "mm")[0]))
    return None


def _plain_number(said: Said) -> float | int | None:
    return next((numbers.tidy(number) for number, unit in _amounts(said) if unit in ("", "percent")), None)


def _hours(said: Said) -> float | int | None:
    return next((numbers.tidy(number) for number, unit in _amounts(said) if unit == "hour"), None)


def _times(said: Said) -> int | None:
    words = said.line.words
    for word, count in (("once", 1), ("twice", 2), ("thrice", 3)):
        if word in words:
            return count
    match = re.search(
        r"\b(\w+) (?:times|days|nights|evenings|sessions|games|matches) (?:a|per|each) (?:week|day)",
        " ".join(words),
    )
    if match:
        try:
            found = numbers.figure(numbers.tokens(match[1]), 0)
        except numbers.NumberTrouble:
            return None
        return None if found is None else round(found[0][0])
    return None


def _check(said: Said) -> str | None:
    """An amount that is held up to be checked, in short units: 25 mm a week, 50 lb."""
    for number, unit in _amounts(said):
        if not unit:
            continue
        short = {"litre": "l", "in": "mm"}.get(unit, unit)
        amount = convert(number, "in", "mm") if unit == "in" else number
        each = re.search(r"\b(?:a|per|each|every) (week|day)\b", fold(said.text))
        amount = round(amount) if amount >= _WHOLE_FROM else amount
        return (
            f"{numbers.tidy(amount)} {short}{f' a {each[1]}' if each and unit not in ('week', 'day') else ''}"
        )
    return None


# ---------- what one kind alone has ----------
def _steps(said: Said) -> Slots:
    """The steps that were done, with their day."""
    text = " ".join(said.line.words)
    found = list(dict.fromkeys(code for _, _, code in said.asking.names["done-step"].all(said.line)))
    day = _date(said, past=True)
    more: Slots = {"date": day} if day else {}
    if re.search(r"\b(?:arrived|turned up|delivered|delivery|is here)\b", text):
        more["step"] = "delivery"
    elif re.search(r"\b(?:bag|label|tag) says\b", text):
        more["step"] = "seed-tag"
        share = _plain_number(said)
        if share is not None:
            more["germination"] = share
    elif re.search(r"\b(?:were|was) (?:going|supposed|meant|due) to\b", text):
        return {"not_done": True}
    elif len(found) == 1:
        more["step"] = found[0]
    elif found:
        more["steps"] = found
    return more


def _sides(said: Said) -> Slots:
    """The two sides of a comparison."""
    rows = list(said.asking.names["option"].all(said.line))
    months = [word for at, word in enumerate(said.line.words) if said.line.of_class("month", at)]
    if not rows and len(months) >= 2:
        return {"a": f"start in {months[0]}", "b": f"start in {months[1]}"}
    values = list(dict.fromkeys(value for _, _, value in rows))
    if len(values) >= 2:
        return {"a": values[0], "b": values[1]}
    return {"a": values[0]} if values else {}


def _proposed(said: Said) -> Slots:
    """What is put in or on: grass and method where the step makes grass, depth, and the kind of spray."""
    names, line = said.asking.names, said.line
    step = names["step"].heaviest(line)
    out: Slots = {}
    made_by = said.asking.made_by.get(step, ())
    if made_by:
        grass, method = names["grass"].heaviest(line), names["method"].heaviest(line)
        out |= {"grass": grass} if grass else {}
        out |= {"method": method} if method in made_by else {}
    if step == "spray":
        question = said.speech.question("history.herbicides")
        words = f" {' '.join(line.words)} "
        found = next(
            (
                choice.value
                for choice in (question.choices if question else ())
                if any(f" {' '.join(said.asking.plain(fold(each)))} " in words for each in choice.say)
            ),
            None,
        )
        out |= {"class": found} if found else {}
    if re.search(
        r"\b(?:deep|depth|thick|thickness|of (?:sand|compost|topsoil|soil))\b", " ".join(line.words)
    ):
        depth = _height(said)
        out |= {"depth_mm": depth} if depth is not None else {}
    return out


def _order(said: Said) -> Slots:
    """The two steps whose order is asked."""
    values = list(dict.fromkeys(value for _, _, value in said.asking.names["step"].all(said.line)))
    return {"a": values[0], "b": values[1]} if len(values) >= 2 else {}


def _enough(said: Said) -> Slots:
    words = said.line.words
    if not {"enough", "cover", "do"} & set(words):
        return {}
    found = _plain_number(said)
    return {} if found is None or found < 20 else {"enough": found}


def _passed(said: Said) -> Slots:
    more: Slots = {}
    verdict = said.asking.names["passed"].heaviest(said.line)
    if verdict is not None:
        more["passed"] = verdict == "yes"
    number = _plain_number(said)
    if number is not None:
        more["value"] = number
    return more


def _convert(said: Said) -> Slots:
    match = re.search(r"\b(?:in|into|to) ([a-z]+)$", " ".join(said.line.words))
    unit = numbers.UNITS.get(match[1]) if match else None
    amount = next(((n, u) for n, u in _amounts(said) if u), None)
    if unit is None or amount is None:
        return {}
    return {"convert": f"{numbers.tidy(amount[0])} {amount[1]} in {unit}"}


def _amount_checked(said: Said) -> Slots:
    found = _check(said)
    return {} if found is None else {"check": found}


def _feed_checked(said: Said) -> Slots:
    match = re.search(r"\b([0-9]{1,2})[- ]([0-9]{1,2})[- ]([0-9]{1,2})\b", fold(said.text))
    if match:
        return {"check": "-".join(match.groups())}
    if re.match(r"(?:if )?(?:no|without|skip) (?:the )?(?:feed|fertilizer)", " ".join(said.line.words)):
        return {"amount": 0}
    return {}


def _span(said: Said) -> Slots:
    words = said.line.words
    text = " ".join(words)
    more: Slots = {}
    hours = _hours(said)
    if hours is not None:
        more["hours"] = hours
    if re.search(r"\b(?:behind|overdue|late)\b", text):
        return more | {"span": "overdue"}
    match = re.search(
        r"\b(?:until|till|between now and|from now to) (?:the )?(.+?)(?: (?:bearing|what|given|since)\b|$)",
        text,
    )
    if match:
        day = _date(dataclasses.replace(said, text=match[1]))
        return more | {"span": f"until {day or match[1]}"}
    for word in ("weekend", "fortnight", "month", "tomorrow", "today", "tonight", *_WEEKDAYS, "week"):
        if word in words:
            return more | {"span": {"tomorrow": "day", "today": "day", "tonight": "day"}.get(word, word)}
    return more | {"span": "week"}


_WEEKDAYS: Final = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")


def _saved(said: Said) -> Slots:
    """The name under which something is to be saved, as the person wrote it."""
    match = re.search(
        r"\b(?:save|export|write|keep|store)\b.*?\b(?:as|to|under|in)\s+(\S+)$", said.text.strip(" .!?"), re.I
    )
    if match is None or fold(match[1]) in (
        "pdf",
        "csv",
        "html",
        "file",
        "phone",
        "calendar",
        "diary",
        "page",
    ):
        return {}
    return {"name": match[1]}


def _supposed(said: Said) -> Slots:
    """What would be otherwise, and what of it the situation has no key for."""
    talk = said.setting if said.setting.talk else dataclasses.replace(said.setting, talk=said.speech.talk)
    found = read_supposed(said.line.words, said.asking, talk, said.speech, said.answers)
    out: Slots = {"changes": dict(found.changes)} if found.changes else {}
    return out | ({"outside": dict(found.outside)} if found.outside else {})


def _number_of(said: Said) -> Slots:
    match = re.fullmatch(
        r"(?:change|redo|edit|correct|amend|fix|alter)(?: answer| question| number)* ([0-9]+)",
        " ".join(said.line.words),
    )
    return {"number": int(match[1])} if match else {}


_READERS: Final[Mapping[str, Callable[[Said], Any]]] = {
    "zone": _zone, "date": _date, "days": _days, "height_mm": _height, "hours": _hours, "times": _times,
}  # fmt: skip
_OWN: Final[Mapping[str, Callable[[Said], Slots]]] = {
    "compare": _sides, "what_first": _order, "cost": _enough, "check_result": _passed,
    "change_units": _convert, "how_much_water": _amount_checked, "seed_amount": _amount_checked,
    "feed": _feed_checked, "this_week": _span, "save_paper": _saved, "go_back": _number_of,
    "done_record": _steps, "what_if": _supposed, "can_i_now": _proposed,
}  # fmt: skip
