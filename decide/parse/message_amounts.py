"""Reads the amounts of a message: money, people, how much is bare, sizes, height and heat."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any, Final

from decide.model.units import convert
from decide.parse.message_bare import read_bare
from decide.parse.message_money import NUMBER, WORDS, number, read_money
from decide.parse.message_sizes import read_sizes
from decide.parse.message_text import Clause, Message, negated, pattern
from decide.parse.message_water import read_water
from decide.parse.numbers import tidy
from decide.parse.part_scopes import Parts

_LEAST_HEIGHT_M: Final = 100


def read_amounts(message: Message, parts: Parts) -> None:
    """Tells every amount that is read."""
    table = message.speech.table("message_amounts")
    _height(message)
    read_water(message, table)
    read_sizes(message, parts)
    read_money(message, table)
    _people(message, table)
    _heat(message, table)
    read_bare(message, parts)
    _thatch(message, parts)
    _sun(message, parts)
    _insects(message, parts)
    _acidity(message)


def _people(message: Message, table: Mapping[str, Any]) -> None:
    for clause in message.telling():
        found = people_in(message, clause)
        if found is not None:
            count, start, end = found
            message.take(clause, start, end)
            message.tell("means.helpers", count, clause)
            continue
        for phrase, fixed in table["people"]["fixed"].items():
            if pattern(phrase).search(clause.text):
                message.tell("means.helpers", fixed, clause)


def people_in(message: Message, clause: Clause) -> tuple[int, int, int] | None:
    """How many people help, by a clause, with the place of the words; None where it tells none."""
    people = message.speech.table("message_amounts")["people"]
    if pattern(*people["not"]).search(clause.text) or pattern(*people["fewer"]).search(message.text):
        return None
    nouns, between = "|".join(people["nouns"]), "|".join(people["between"])
    count = rf"(?P<n>\d{{1,3}}|{WORDS})"
    workers, tools = "|".join(people["workers"]), "|".join(people["tools"])
    work = "|".join(people["work"])
    alone = r"(?=\s*(?:$|[.,;!]|with|in all|all told|and (?:we|have|all)\b))"
    one = rf"(?:me|myself|(?:my|his|her|our) {people['kin']})"
    forms = (
        (1, rf"{one} and (?:(?:his|her|their|my|our) )?{count} (?:(?:{between}) ){{0,2}}(?:{nouns})"),
        (0, rf"{count} (?:(?:{between}) ){{0,2}}(?:{nouns})"),
        (0, rf"{count} [a-z]+ (?:{workers})"),
        (0, rf"(?:{'|'.join(people['crew'])}) {count}"),
        (0, rf"(?:helpers|volunteers|people|crew|hands|staff)[: ]+{count}(?! (?:hours|%))"),
        (0, rf"(?:we are|we're) (?:only |just |about |some )?(?!a\b|one\b){count}{alone}"),
        (0, rf"{count} (?:(?:{between}) ){{0,2}}\w+ (?:who )?(?:will|can|could|to|ready to) (?:{work})"),
        (0, rf"{count} (?:(?:{between}) ){{0,2}}\w+ (?:with|bringing) (?:their |some |own )*(?:{tools})"),
    )
    them = rf"(?:he|him|she|her|i|{one})"
    with_them = pattern(
        rf"(?:of (?:my|his|her|our|the) \w+ )?(?:and|plus) {them}(?: and (?:he|she|i|{one}))*"
    )
    for more, form in forms:
        match = pattern(form).search(clause.text)
        value = number(match["n"], message) if match else None
        if match is None or value is None or message.taken(clause, match.start(), match.end()):
            continue
        if not negated(clause, match.start(), message.speech.table("message")):
            rest = message.text[clause.start + match.end() :].lstrip()
            also = with_them.match(rest)
            ended = also is not None and (
                re.match(r"\W*$|[^\w ]", rest[also.end() :]) or not clause.text[: match.start()].strip()
            )
            beside = len(re.findall(r"\b(?:and|plus)\b", also[0])) if also is not None and ended else 0
            return int(value) + more + beside, match.start(), match.end()
    return None


def _sun(message: Message, parts: Parts) -> None:
    """How many hours of sun a part has in a day."""
    count = rf"(?P<n>\d{{1,2}}(?:\.\d)?|{WORDS})"
    forms = (
        rf"{count} hours? (?:of )?(?:the |full |direct )?sun(?:light|shine)?",
        rf"sun(?:light|shine)?\b[\w ]{{0,30}}? {count} hours?(?! (?:after|before|of work))",
    )
    for clause in message.telling():
        match = next((m for form in forms for m in pattern(form).finditer(clause.text)), None)
        value = number(match["n"], message) if match else None
        if match is None or value is None or message.taken(clause, match.start(), match.end()):
            continue
        message.take(clause, match.start(), match.end())
        for zone in parts.at(clause, "zone.sun_hours", match.start()):
            message.tell("zone.sun_hours", tidy(value), clause, zone=zone)


def _insects(message: Message, parts: Parts) -> None:
    """How many grubs were counted on an area, where some were named before."""
    form = pattern(
        r"(?P<n>\d{1,4}) ?(?:\w+ ){0,2}?(?:per|a|an|the|each|every|in a|to the) ?"
        r"(?P<unit>square (?:met(?:re|er)|foot|ft)|sq\.? ?(?:m|ft)|m2|m²)"
    )
    facts = message.speech.table("message_facts").values()
    named = pattern(*(words for row in facts if row["key"] == "zone.pests" for words in row["say"]))
    for clause in message.telling():
        match = form.search(clause.text)
        if match is None or not named.search(message.text[: clause.start + len(clause.text)]):
            continue
        unit = "count/ft2" if "f" in match["unit"] else "count/m2"
        value = convert(float(match["n"]), unit, "count/m2")
        message.take(clause, match.start(), match.end())
        for zone in parts.at(clause, "zone.pests_per_m2", match.start()):
            message.tell("zone.pests_per_m2", tidy(round(value)), clause, zone=zone)


def _thatch(message: Message, parts: Parts) -> None:
    """How thick the felt of dead stems is."""
    thick = pattern(
        rf"(?P<n>\d+(?:\.\d+)?|an|{WORDS}) ?(?P<unit>mm|cm|inch(?:es)?|in) (?:of |thick )?(?:felt|thatch)"
    )
    for clause in message.telling():
        match = thick.search(clause.text)
        value = (1.0 if match["n"] == "an" else number(match["n"], message)) if match else None
        if match is None or value is None or message.taken(clause, match.start(), match.end()):
            continue
        unit = "in" if match["unit"].startswith("in") else match["unit"]
        message.take(clause, match.start(), match.end())
        for zone in parts.at(clause, "zone.thatch_mm", match.start()):
            message.tell("zone.thatch_mm", tidy(round(convert(value, unit, "mm"), 1)), clause, zone=zone)


def _acidity(message: Message) -> None:
    """The pH of the soil, where a figure from 3 to 10 stands behind the word."""
    form = pattern(
        r"ph(?: (?:was|is|of|at|about|around|=|came out at|test|tests|tested))*[ :=]*"
        r"(?P<n>10|[3-9](?:[.,]\d{1,2})?)"
    )
    for clause in message.telling():
        match = form.search(clause.text)
        if match is not None and not re.search(r"water|bore|well\b", clause.text):
            message.take(clause, match.start(), match.end())
            message.tell("field.soil_ph", tidy(float(match["n"].replace(",", "."))), clause)


def _height(message: Message) -> None:
    """The height above the sea, where it stands alone or is called so."""
    form = re.compile(
        rf"(?<![\w.])({NUMBER}) ?(m|met(?:re|er)s?|ft|feet)"
        r"(?: (?:up|elevation|altitude|high up|(?:above|over) (?:the )?sea(?: level)?|asl))?(?!\w)"
    )
    for clause in message.telling():
        match = form.search(clause.text)
        if match is None:
            continue
        up = re.search(r"\bat (?:about |around |roughly |some |nearly )?$", clause.text[: match.start()])
        beside = re.match(r" ?(?:x|by)\b", clause.text[match.end() :])
        word = re.search(r"elevation|altitude|(?:above|over) (?:the )?sea|asl|\bup\b", clause.text)
        called = word or (up and not beside)
        alone = match[0].strip() == clause.text.strip(" .!")
        value = number(match[1].rstrip(".,"), message)
        if value is None or not (called or alone):
            continue
        metres = convert(value, "ft" if match[2].startswith("f") else "m", "m")
        if metres < _LEAST_HEIGHT_M:
            continue
        message.take(clause, match.start(), match.end())
        note = "" if called else message.say("altitude", words=match[0])
        message.tell("place.altitude_m", tidy(round(metres, 1)), clause, note=note)


def _heat(message: Message, table: Mapping[str, Any]) -> None:
    form = pattern(
        rf"(?P<n>\d{{2,3}}) ?(?P<unit>°? ?[cf])?(?: degrees)? (?:{'|'.join(table['heat']['now'])})"
    )
    for clause in message.telling():
        match = form.search(clause.text)
        if match is None or message.taken(clause, match.start(), match.end()) or "out of" in clause.text:
            continue
        value = float(match["n"])
        hot = (match["unit"] or "").endswith("f") or message.setting.country == "us"
        degrees = convert(value, "F", "C") if hot and value > 50 else value
        if 25 <= degrees <= 55 and re.fullmatch(r"(?:it'?s )?\d{2,3}.{0,14}", clause.text.strip(" .!")):
            message.tell("now.day_temp_c", tidy(round(degrees, 1)), clause)
