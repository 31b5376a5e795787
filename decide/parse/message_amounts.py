"""Reads the amounts of a message: money, people, how much is bare, sizes, height and heat."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from typing import Any, Final

from decide.model.units import convert
from decide.parse.heard import Doubt, Told
from decide.parse.message_money import NUMBER, WORDS, number, read_money
from decide.parse.message_parts import Parts
from decide.parse.message_text import Clause, Message, negated, pattern
from decide.parse.message_water import LENGTHS, read_water
from decide.parse.numbers import tidy
from decide.parse.results import Reading
from decide.parse.wording import SAY_UNIT, say_amount

_AREAS: Final = {
    r"acres?": "acre", r"ha|hectares?": "ha", r"(?:square|sq\.?) ?(?:met(?:re|er)s?|m)|m2|m²|sqm": "m2",
    r"(?:square|sq\.?) ?(?:feet|ft|foot)|ft2|sqft": "ft2", r"(?:square|sq\.?) ?(?:yards?|yds?)": "yd2",
}  # fmt: skip
_LEAST_HEIGHT_M: Final = 100


def read_amounts(message: Message, parts: Parts) -> None:
    """Tells every amount that is read."""
    table = message.speech.table("message_amounts")
    _height(message)
    read_water(message, table)
    _sizes(message, parts)
    read_money(message, table)
    _people(message, table)
    _heat(message, table)
    _bare(message, parts)
    _thatch(message, parts)
    _sun(message, parts)
    _insects(message, parts)
    _acidity(message)


def _say(message: Message, name: str, **holes: object) -> str:
    return str(message.table("say")[name]).format(**holes)


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
    with_them = pattern(
        rf"(?:of (?:my|his|her|our|the) \w+ )?and (?:he|him|she|her|i|{one})(?: and (?:he|she|i|{one}))*"
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
            beside = len(re.findall(r"\band\b", also[0])) if also is not None and ended else 0
            return int(value) + more + beside, match.start(), match.end()
    return None


def _bare(message: Message, parts: Parts) -> None:
    table = message.speech.table("message_parts")["bare"]
    bare, living, weedy = ("|".join(table[name]) for name in ("words", "living", "weedy"))
    fill = rf"(?:(?:{'|'.join(table['fill'])}) ?){{0,3}}"
    shares = "|".join(table["shares"])
    figure = rf"(?P<n>\d{{1,3}}|{WORDS})(?: ?(?:-|to) ?(?P<high>\d{{1,3}}))? ?(?:%|per ?cent|pct|pro[cz]ent)"
    some = rf"{figure}|(?P<words>{shares})"
    before, after = (
        rf"(?:{some}) ?{fill} ?(?P<what>{bare}|{living}|{weedy})(?!\w)",
        rf"(?P<what>{bare}|{weedy}) ?{fill} ?(?:{some})",
    )
    for clause in message.telling():
        if _each(message, parts, clause):
            continue
        match = next(
            (m for form in (before, after) for m in re.finditer(rf"(?<!\w)(?:{form})", clause.text)), None
        )
        halves = re.search(
            rf"(?:^|(?:it'?s|is|about|field|pitch|and) )half [\w ]+?,? half (?:{bare})(?!\w)", clause.text
        )
        mixed = re.search(rf"50[-/ ]50 (?:grass|green) and (?:{bare})(?!\w)", clause.text)
        if match is not None and parts.names_at(clause, match.start()):
            # The half that is named is a part, and no share of anything.
            match = None
        if halves or mixed:
            _tell_bare(message, parts, clause, 50, (halves or mixed)[0])  # type: ignore[index]
        elif match is not None and not message.taken(clause, match.start(), match.end()):
            _matched(message, parts, clause, match, table)
        else:
            _loose(message, parts, clause, table)


def _matched(
    message: Message, parts: Parts, clause: Clause, match: re.Match[str], table: Mapping[str, Any]
) -> None:
    """Tells a share with its word: so much bare, green or weedy."""
    living, weedy = ("|".join(table[name]) for name in ("living", "weedy"))
    value = number(match["n"], message) if match["n"] else _share(match["words"], table["shares"])
    if value is None:
        return
    if match["high"]:
        value = (value + float(match["high"])) / 2
    if value > 100:
        return
    if re.fullmatch(weedy, match["what"]):
        for zone in parts.at(clause, "zone.weeds_percent"):
            message.tell("zone.weeds_percent", tidy(value), clause, zone=zone)
    elif re.fullmatch(living, match["what"]):
        if pattern(*table["asleep"]).search(message.sentences[clause.sentence][1]):
            return
        note = _say(message, "living", words=match[0].strip(), value=say_amount(round(100 - value)))
        _tell_bare(message, parts, clause, 100 - value, match[0], note)
    else:
        _tell_bare(message, parts, clause, value, match[0], "" if match["n"] else None)


def _each(message: Message, parts: Parts, clause: Clause) -> bool:
    """Tells parts of one clause that have each a share of their own; whether they have."""
    here = sorted(
        (part for part in parts.named if part.clause.start == clause.start), key=lambda one: one.start
    )
    shares = list(re.finditer(r"(?<![\d.-])(\d{1,3}) ?(?:%|percent|per cent|pct)(?! ?weed)", clause.text))
    if len(here) < 2 or len(here) != len(shares) or any(int(share[1]) > 100 for share in shares):
        return False
    behind = all(part.end <= share.start() for part, share in zip(here, shares, strict=True))
    before = all(share.end() <= part.start for part, share in zip(here, shares, strict=True))
    if behind:
        parted = all(share.end() <= part.start for share, part in zip(shares, here[1:], strict=False))
    else:
        parted = all(part.end <= share.start() for part, share in zip(here, shares[1:], strict=False))
    if not (behind or before) or not parted:
        return False
    for part, share in zip(here, shares, strict=True):
        message.tell("zone.bare_percent", tidy(float(share[1])), clause, zone=part.name)
    return True


def _share(words: str, shares: Mapping[str, float]) -> float:
    return next(value for name, value in shares.items() if re.fullmatch(name, words))


def _tell_bare(
    message: Message, parts: Parts, clause: Clause, value: float, words: str, note: str | None = None
) -> None:
    if note is None:
        note = _say(message, "share", words=words.strip(), value=say_amount(round(value)))
    for zone in parts.at(clause, "zone.bare_percent"):
        message.tell("zone.bare_percent", tidy(round(value, 1)), clause, zone=zone, note=note)


def _loose(message: Message, parts: Parts, clause: Clause, table: Mapping[str, Any]) -> None:
    """A share beside a part without a word for bare, or a word that custom has an amount for."""
    here = [part for part in parts.named if part.clause.start == clause.start]
    percent = re.search(
        r"(?<![\d.])(\d{1,3}) ?(?:%|percent|per cent|pct)(?! ?(?:weed|clay|sand|slope|shade|off))",
        clause.text,
    )
    told_before = any(one.key == "zone.bare_percent" for one in message.told)
    span = re.fullmatch(r"(?:about |say |maybe )?(\d{1,2}) ?(?:-|to) ?(\d{1,2})", clause.text.strip(" .!"))
    listed = re.fullmatch(
        r"(?:the )?(?P<part>[a-z][\w -]+?) (?:about |at )?(?P<n>\d{1,3})(?: ?(?:%|percent))?",
        clause.text.strip(" .!"),
    )
    shares = "|".join(table["shares"])
    alone = re.fullmatch(
        rf"(?:about |maybe )?(?:(\d{{1,3}}) ?(?:%|per ?cent|pct|pro[cz]ent)|({shares}))"
        r"(?: of (?:it|them|each)(?: all)?| each)?",
        clause.text.strip(" .!"),
    )
    after_bare = re.search(
        rf"(?<!\w)(?:{'|'.join(table['words'])})(?!\w)", message.sentences[clause.sentence][1]
    )
    later = clause.start > message.sentences[clause.sentence][0]
    weedy = _weeds_before(message, clause, table)
    if alone and weedy is not None:
        value = float(alone[1]) if alone[1] else _share(alone[2], table["shares"])
        for zone in parts.at(clause, "zone.bare_percent") if value <= 100 else ():
            message.tell("zone.weeds_percent", tidy(value), clause, zone=zone)
    elif alone and after_bare and (later or " of " in clause.text):
        value = float(alone[1]) if alone[1] else _share(alone[2], table["shares"])
        _tell_bare(message, parts, clause, value, clause.text.strip(" ."))
    elif here and listed and after_bare and len(here) == 1 and int(listed["n"]) <= 100:
        _tell_bare(message, parts, clause, float(listed["n"]), listed["n"], "")
    elif here and percent and told_before and int(percent[1]) <= 100:
        _tell_bare(message, parts, clause, float(percent[1]), percent[0], "")
    elif span and any(part.clause.sentence == clause.sentence for part in parts.named):
        value = (int(span[1]) + int(span[2])) / 2
        _tell_bare(message, parts, clause, value, clause.text.strip(" ."), None)
    else:
        near = [part for part in parts.named if part.clause.sentence == clause.sentence]
        inside = here or (near and _goes_on(message, clause))
        for phrase, value in [*(table["vague-in"].items() if inside else ()), *table["vague"].items()]:
            match = pattern(phrase).search(clause.text)
            other = match and _other_gone(clause, match, table, bool(here))
            if match and not other and not message.taken(clause, match.start(), match.end()):
                if near or not parts.named:
                    _tell_bare(message, parts, clause, value, match[0])
                return


def _other_gone(clause: Clause, match: re.Match[str], table: Mapping[str, Any], part: bool) -> bool:
    """Whether what is gone is no grass: the money, the stand."""
    lead = clause.text[: match.start()]
    if re.search(rf"(?<!\w)(?:{'|'.join(table['goes'])})\W*$", lead):
        return True
    before = re.findall(r"[\w']+", lead)[-1:]
    plain = part or not before or not match[0].endswith("gone")
    return not plain and pattern(*table["subjects"]).fullmatch(before[0]) is None


def _goes_on(message: Message, clause: Clause) -> bool:
    """Whether a clause goes on about what was named just before it: "just red dust"."""
    goes_on = message.speech.table("message_parts")["state"]["goes-on"]
    return pattern(*goes_on).match(clause.text) is not None


def _weeds_before(message: Message, clause: Clause, table: Mapping[str, Any]) -> re.Match[str] | None:
    """The weeds that the clause just before speaks of, and of no bare ground: a share alone is theirs."""
    before = [
        one for one in message.telling() if one.sentence == clause.sentence and one.start < clause.start
    ]
    if not before or pattern(*table["words"]).search(before[-1].text):
        return None
    return pattern(*table["weedy"]).search(before[-1].text)


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
        for zone in parts.at(clause, "zone.sun_hours"):
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
        for zone in parts.at(clause, "zone.pests_per_m2"):
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
        for zone in parts.at(clause, "zone.thatch_mm"):
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


def _sizes(message: Message, parts: Parts) -> None:
    """Sides and areas: of a part where the clause names one, else of the field."""
    number_ = r"(\d+(?:[.,]\d{1,2}(?!\d))?)"
    no = r"(?!\w|,\d| ?(?:l|lit|gal|kg|bags?|rolls?|hours?|times|of)\b)"
    side = rf"{number_} ?({LENGTHS})?"
    sides = re.compile(rf"(?<![\w.,]){side} ?(?:x|by) ?{side}{no}")
    local = message.speech.table("message_amounts")["areas"]
    areas = "|".join([*_AREAS, *local])
    sizes = message.speech.table("message_parts")["sizes"]
    longest, fields = sizes["longest-m"], [*sizes["fields"], *sizes["pronouns"]]
    half, many = r"( and a half)?", rf"(\d/\d(?: of an?)?|{NUMBER}|half an|an?|{WORDS})"
    area = re.compile(rf"(?<![\w./]){many}{half} ?({areas}){half}(?!\w)")
    for clause in message.telling():
        here = [part for part in parts.named if part.clause.start == clause.start]
        same = [part for part in parts.named if part.clause.sentence == clause.sentence]
        match = sides.search(clause.text)
        if match and not message.taken(clause, match.start(), match.end()):
            _two_sides(message, clause, match, here or same, parts)
            continue
        found = area.search(clause.text)
        if found is None or message.taken(clause, found.start(), found.end()):
            continue
        total = re.search(r"out of (?:about )?(\w+)", clause.text)
        fraction = re.match(r"(\d)/([2-9])", found[1])
        count = 0.5 if found[1] == "half an" else number(found[1], message)
        count = int(fraction[1]) / int(fraction[2]) if fraction else count
        if count is None or re.search(r"\b(?:price|cost|per|each|a)\b $", clause.text[: found.start()]):
            continue
        count += 0.5 if found[2] or found[4] else 0
        unit = next((code for form, code in _AREAS.items() if re.fullmatch(form, found[3])), "")
        own = next((size for form, size in local.items() if re.fullmatch(form, found[3])), 0)
        value = convert(count, unit, "m2") if unit else count * own
        note = "" if unit else _say(message, "area", words=found[0].strip(), value=say_amount(round(value)))
        message.take(clause, found.start(), found.end())
        whole = any(part.name == "whole field" for part in here)
        if here and not whole:
            for part in here[:1]:
                message.tell("zone.area_m2", tidy(round(value, 1)), clause, zone=part.name)
        elif total is None and value <= longest**2 and not pattern(*fields).search(clause.text):
            if len(parts.names) == 1 and parts.names[0] != "whole field":
                message.tell("zone.area_m2", tidy(round(value, 1)), clause, zone=parts.names[0])
        elif total is None and not pattern("each", "apiece").search(clause.text) and not _places(clause):
            message.tell("field.area_m2", tidy(round(value, 1)), clause, note=note)
        elif total is not None and unit:
            _of_whole(message, parts, clause, unit, value, total)


def _of_whole(
    message: Message, parts: Parts, clause: Clause, unit: str, value: float, total: re.Match[str]
) -> None:
    """So much bad out of so much: the area of the field, and the share that is bare."""
    whole = number(total[1], message)
    if whole and convert(whole, unit, "m2") > value:
        area = convert(whole, unit, "m2")
        message.tell("field.area_m2", tidy(round(area, 1)), clause)
        _tell_bare(message, parts, clause, 100 * value / area, clause.text)


def _places(clause: Clause) -> re.Match[str] | None:
    return pattern(r"(?P<n>\d|two|three|four|both) (?:areas|places|patches|spots|goal ?mouths|goals)").search(
        clause.text
    )


def _two_sides(message: Message, clause: Clause, match: re.Match[str], here: list[Any], parts: Parts) -> None:
    sizes = message.speech.table("message_parts")["sizes"]
    longest = sizes["longest-m"]
    unit = {"y": "yd", "f": "ft", "'": "ft", "m": "m"}.get((match[4] or match[2] or "")[:1], "")
    first, second = (float(match[n].replace(",", ".")) for n in (1, 3))
    if not (math.isfinite(first) and math.isfinite(second)):
        return
    metric = message.setting.units == "metric" and message.setting.country not in ("us", None)
    if not unit and not metric:
        words = match[0].strip()
        readings = []
        for name in ("m", "yd"):
            a, b = (tidy(round(convert(value, name, "m"), 2)) for value in (first, second))
            told = (Told("field.length_m", max(a, b), words), Told("field.width_m", min(a, b), words))
            readings.append(Reading(f"{words} {SAY_UNIT[name]}", told))
        message.use(clause)
        message.take(clause, match.start(), match.end())
        if not here or max(first, second) > longest:
            text = _say(message, "unit", words=words)
            message.doubts.append(Doubt(text, message.words(clause), "field.length_m", None, tuple(readings)))
        return
    a, b = (round(convert(value, unit or "m", "m"), 2) for value in (first, second))
    message.take(clause, match.start(), match.end())
    said = parts.beside(clause)
    short = min(a, b) < sizes["shortest-m"]
    of_field = pattern(*sizes["fields"]).search(said) or (
        not (short and parts.names) and pattern(*sizes["pronouns"]).search(said)
    )
    named = any(part.clause.start == clause.start for part in here)
    narrow = short and (named or pattern(*sizes["its"]).match(said.strip()))
    if here and (max(a, b) <= longest or (narrow and (not of_field or not named))):
        for part in here[:1]:
            area = tidy(round(a * b * _counted(message, clause, part.name), 1))
            message.tell("zone.area_m2", area, clause, zone=part.name)
        return
    if (max(a, b) <= longest or narrow) and not of_field:
        if len(parts.names) == 1:
            message.tell("zone.area_m2", tidy(round(a * b, 1)), clause, zone=parts.names[0])
        return
    message.tell("field.length_m", tidy(max(a, b)), clause)
    message.tell("field.width_m", tidy(min(a, b)), clause)


def _counted(message: Message, clause: Clause, name: str) -> float:
    """How many of a part a size is told of: of each of both, or of one."""
    places = _places(clause)
    if places:
        return {"both": 2.0}.get(places["n"], number(places["n"], message) or 1)
    sentence = message.sentences[clause.sentence][1]
    each = pattern(*message.speech.table("message_parts")["sizes"]["each"]).search(sentence)
    both = pattern("both", "two", "2(?= [a-z]+s\\b)", "either end", "each end").search(sentence)
    return 2 if each and both and name.endswith("s") else 1


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
        note = "" if called else _say(message, "altitude", words=match[0])
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
