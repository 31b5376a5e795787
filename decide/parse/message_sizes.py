"""Reads the sides and areas that a message tells of the field and of its parts."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from decide.model.units import convert
from decide.parse.each_place import NUMBERS, PAIR, count_of
from decide.parse.heard import Doubt, Told
from decide.parse.message_bare import tell_bare
from decide.parse.message_money import NUMBER, WORDS, number
from decide.parse.message_text import Clause, Message, pattern
from decide.parse.message_water import LENGTHS
from decide.parse.numbers import tidy
from decide.parse.part_scopes import WHOLE, Parts
from decide.parse.results import Reading
from decide.parse.wording import SAY_UNIT, say_amount

_AREAS: Final = {
    r"acres?": "acre", r"ha|hectares?": "ha", r"(?:square|sq\.?) ?(?:met(?:re|er)s?|m)|m2|m²|sqm": "m2",
    r"(?:square|sq\.?) ?(?:feet|ft|foot)|ft2|sqft": "ft2", r"(?:square|sq\.?) ?(?:yards?|yds?)": "yd2",
}  # fmt: skip
# Words of a clause that only adds to the one before it.
_FEW: Final = 2


@dataclass(frozen=True)
class _Size:
    """A size as it stands in a clause: its words, and the square metres that it may mean, by unit."""

    clause: Clause
    start: int
    words: str
    areas: tuple[tuple[str, float], ...]
    sided: bool = False  # two sides, which are those of one place


def read_sizes(message: Message, parts: Parts) -> None:
    """Tells sides and areas: of the part that they stand by, else of the field."""
    number_ = r"(\d+(?:[.,]\d{1,2}(?!\d))?)"
    no = r"(?!\w|,\d| ?(?:l|lit|gal|kg|bags?|rolls?|hours?|times|of)\b)"
    side = rf"{number_} ?({LENGTHS})?"
    sides = re.compile(rf"(?<![\w.,]){side} ?(?:x|by) ?{side}{no}")
    local = message.speech.table("message_amounts")["areas"]
    areas = "|".join([*_AREAS, *local])
    half, many = r"( and a half)?", rf"(\d/\d(?: of an?)?|{NUMBER}|half an|an?|{WORDS})"
    area = re.compile(rf"(?<![\w./]){many}{half} ?({areas}){half}(?!\w)")
    for clause in message.telling():
        for match in sides.finditer(clause.text):
            if not message.taken(clause, match.start(), match.end()):
                _two_sides(message, clause, match, parts)
        for match in area.finditer(clause.text):
            if not message.taken(clause, match.start(), match.end()):
                _area(message, clause, match, parts)


def _area(message: Message, clause: Clause, found: re.Match[str], parts: Parts) -> None:
    """Tells one area with its unit."""
    local = message.speech.table("message_amounts")["areas"]
    sizes = message.speech.table("message_parts")["sizes"]
    longest, fields = sizes["longest-m"], [*sizes["fields"], *sizes["pronouns"]]
    total = re.search(r"out of (?:about )?(\w+)", clause.text)
    fraction = re.match(r"(\d)/([2-9])", found[1])
    count = 0.5 if found[1] == "half an" else number(found[1], message)
    count = int(fraction[1]) / int(fraction[2]) if fraction else count
    if count is None or re.search(r"\b(?:price|cost|per|each|a)\b $", clause.text[: found.start()]):
        return
    count += 0.5 if found[2] or found[4] else 0
    unit = next((code for form, code in _AREAS.items() if re.fullmatch(form, found[3])), "")
    own = next((size for form, size in local.items() if re.fullmatch(form, found[3])), 0)
    value = convert(count, unit, "m2") if unit else count * own
    note = "" if unit else message.say("area", words=found[0].strip(), value=say_amount(round(value)))
    here = [part for part in parts.named if part.clause.start == clause.start]
    size = _Size(clause, found.start(), found[0].strip(), (("", value),))
    if (here and not any(part.name == WHOLE for part in here)) or (
        total is None and value <= longest**2 and not pattern(*fields).search(clause.text)
    ):
        _of_part(message, parts, size)
    elif total is None and not _each(message, clause) and not _places(clause):
        message.tell("field.area_m2", tidy(round(value, 1)), clause, note=note)
    elif total is not None and unit:
        _of_whole(message, parts, clause, unit, value, total)
    message.take(clause, found.start(), found.end())


def _of_whole(
    message: Message, parts: Parts, clause: Clause, unit: str, value: float, total: re.Match[str]
) -> None:
    """So much bad out of so much: the area of the field, and the share that is bare."""
    whole = number(total[1], message)
    if whole and convert(whole, unit, "m2") > value:
        area = convert(whole, unit, "m2")
        message.tell("field.area_m2", tidy(round(area, 1)), clause)
        tell_bare(message, parts, clause, 100 * value / area, clause.text)


def _two_sides(message: Message, clause: Clause, match: re.Match[str], parts: Parts) -> None:
    """Tells two sides: of a part where they are short or stand by it, else of the field."""
    sizes = message.speech.table("message_parts")["sizes"]
    longest, words = sizes["longest-m"], match[0].strip()
    unit = {"y": "yd", "f": "ft", "'": "ft", "m": "m"}.get((match[4] or match[2] or "")[:1], "")
    metric = message.setting.units == "metric" and message.setting.country not in ("us", None)
    units = (unit,) if unit else ("m",) if metric else ("m", "yd")
    first, second = (float(match[n].replace(",", ".")) for n in (1, 3))
    if not math.isfinite(first * second):
        return
    meant = [
        (name, round(convert(first, name, "m"), 2), round(convert(second, name, "m"), 2)) for name in units
    ]
    areas = tuple((name, convert(first, name, "m") * convert(second, name, "m")) for name in units)
    size = _Size(clause, match.start(), words, areas, sided=True)
    message.take(clause, match.start(), match.end())
    here = any(part.clause.sentence == clause.sentence for part in parts.named)
    long, short = max(meant[0][1:]), min(meant[0][1:]) < sizes["shortest-m"]
    said = parts.beside(clause)
    of_field = pattern(*sizes["fields"]).search(said) or (
        not (short and parts.names) and pattern(*sizes["pronouns"]).search(said)
    )
    named = any(part.clause.start == clause.start for part in parts.named)
    narrow = short and (named or pattern(*sizes["its"]).match(said.strip()))
    narrow = narrow or (here and _each(message, clause))
    if (here and (long <= longest or (narrow and (not of_field or not named)))) or (
        (long <= longest or narrow) and not of_field
    ):
        _of_part(message, parts, size)
        return
    told = [
        (Told("field.length_m", tidy(max(a, b)), words), Told("field.width_m", tidy(min(a, b)), words))
        for _, a, b in meant
    ]
    if len(told) == 1:
        for one in told[0]:
            message.tell(one.key, one.value, clause)
        return
    readings = tuple(
        Reading(f"{words} {SAY_UNIT[name]}", each) for name, each in zip(units, told, strict=True)
    )
    _ask(message, clause, message.say("unit", words=words), "field.length_m", None, readings)


def _of_part(message: Message, parts: Parts, size: _Size) -> None:
    """Tells the size of the part that it stands by, or of the only one; of several of a name, of each of
    them. Where their number, or the unit, is not told it is asked back.
    """
    clause = size.clause
    part = parts.nearest(clause, size.start)
    names = [part.name] if part is not None else list(parts.names) if len(parts.names) == 1 else []
    if part is not None and part.clause.start != clause.start and _each(message, clause):
        names = [name for name in parts.at(clause, "zone.area_m2") if name]
    for name in names:
        if name != WHOLE:
            _of_name(message, size, name)


def _of_name(message: Message, size: _Size, name: str) -> None:
    """Tells the size of the places of one name."""
    clause, places = size.clause, _count(message, size.clause, name)
    each = size.sided or _each(message, clause) is not None
    key, counts = "zone.area_m2", [places] if places else list(range(1, len(NUMBERS) + 1))
    told = {
        (unit, count): _told_of(name, area * (count if each else 1), count if each else 1, size.words)
        for unit, area in size.areas
        for count in counts
    }
    if not each or (places and len(size.areas) == 1):
        for one in next(iter(told.values())):
            assumed = one.key == key and each and places == PAIR != _number_said(message, clause, name)
            note = message.say("pair", part=name) if assumed else ""
            message.tell(one.key, one.value, clause, zone=name, note=note)
    elif len(size.areas) > 1:
        readings = tuple(
            Reading(f"{size.words} {SAY_UNIT[unit]}", told[unit, places or 1]) for unit, _ in size.areas
        )
        _ask(message, clause, message.say("unit", words=size.words), key, name, readings)
    else:
        readings = tuple(Reading(NUMBERS[count - 1], each) for (_, count), each in told.items())
        text = message.say("places", part=name, words=size.words)
        _ask(message, clause, text, key, name, readings)


def _told_of(name: str, area: float, places: int, words: str) -> tuple[Told, ...]:
    """The area of a part, with the number of its places where its name alone does not tell it."""
    one = Told("zone.area_m2", tidy(round(area, 1)), words, name)
    return (one, Told("zone.places", places, words, name)) if places > PAIR else (one,)


def _ask(
    message: Message, clause: Clause, text: str, key: str, zone: str | None, readings: Sequence[Reading]
) -> None:
    message.use(clause)
    if not any((one.key, one.zone) == (key, zone) for one in message.doubts):
        message.doubts.append(Doubt(text, message.words(clause), key, zone, tuple(readings)))


def _places(clause: Clause) -> re.Match[str] | None:
    return pattern(r"(?P<n>\d|two|three|four|both) (?:areas|places|patches|spots|goal ?mouths|goals)").search(
        clause.text
    )


def _each(message: Message, clause: Clause) -> re.Match[str] | None:
    """What says that a size is that of each of several."""
    each = message.speech.table("message_parts")["sizes"]["each"]
    return next(
        (found for one in _beside(message, clause) if (found := pattern(*each).search(one.text))), None
    )


def _beside(message: Message, clause: Clause) -> Iterator[Clause]:
    """A clause, and the one after it where that is a word or two: "150 square metres, each"."""
    yield clause
    after = [one for one in message.clauses if one.sentence == clause.sentence and one.start > clause.start]
    yield from (one for one in after[:1] if len(one.text.split()) <= _FEW)


def _number_said(message: Message, clause: Clause, name: str) -> int | None:
    """How many places of a name a message tells."""
    counts = message.speech.table("message_parts")["sizes"]["numbers"]
    places = _places(clause)
    if places:
        return PAIR if places["n"] == "both" else int(number(places["n"], message) or 1)
    if name.endswith("s") and pattern("(?:each|either|both) (?:ends?|sides?)").search(clause.text):
        return PAIR
    own, told_by_name = count_of(name, message.speech)
    if told_by_name:
        return own
    sentence, kind = message.sentences[clause.sentence][1], rf"(?:(?!and)[\w']+ )?{re.escape(name)}"
    told = (
        int(n)
        for form, n in counts.items()
        if pattern(rf"(?:{form}) {kind}", rf"{kind} at (?:{form})", rf"(?:{form}) of").search(sentence)
    )
    return next(told, None)


def _count(message: Message, clause: Clause, name: str) -> int | None:
    """How many places a name stands for: told, or two of what a pitch has two of; None where that is open."""
    said, sizes = _number_said(message, clause, name), message.speech.table("message_parts")["sizes"]
    if said == 1 and _each(message, clause) and not pattern("one", "1", "a", "single").match(name):
        # "In front of goal, 6 x 4 m each": a singular that stands for each of its kind.
        return PAIR if pattern(*sizes["pairs"]).search(name) else 1
    return said or count_of(name, message.speech)[0]
