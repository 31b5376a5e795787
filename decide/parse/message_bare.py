"""Reads how much of the parts that a message names is bare, or full of weeds."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Any

from decide.parse.message_money import WORDS, number
from decide.parse.message_text import Clause, Message, pattern
from decide.parse.numbers import tidy
from decide.parse.part_scopes import Parts
from decide.parse.wording import say_amount


def read_bare(message: Message, parts: Parts) -> None:
    """Tells the shares that are bare or full of weeds, each of the part that it stands by."""
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
        halves = re.search(
            rf"(?:^|(?:it'?s|is|about|field|pitch|and) )half [\w ]+?,? half (?:{bare})(?!\w)", clause.text
        )
        mixed = re.search(rf"50[-/ ]50 (?:grass|green) and (?:{bare})(?!\w)", clause.text)
        found = list(_shares(parts, clause, (before, after)))
        if halves or mixed:
            tell_bare(message, parts, clause, 50, (halves or mixed)[0])  # type: ignore[index]
        elif found and not message.taken(clause, found[0].start(), found[0].end()):
            for match in found:
                _matched(message, parts, clause, match, table)
        else:
            _loose(message, parts, clause, table)


def _shares(parts: Parts, clause: Clause, forms: tuple[str, ...]) -> Iterator[re.Match[str]]:
    """The first share of each part of a clause, of those that the forms find."""
    about: set[str | None] = set()
    spans: list[tuple[int, int]] = []
    for match in (one for form in forms for one in re.finditer(rf"(?<!\w)(?:{form})", clause.text)):
        # The half that is named is a part, and no share of anything.
        if parts.names_at(clause, match.start()):
            continue
        here = set(parts.at(clause, "zone.bare_percent", match.start())) or {None}
        crossed = any(start < match.end() and match.start() < end for start, end in spans)
        if crossed or about & here:
            continue
        about |= here
        spans.append(match.span())
        yield match


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
        for zone in parts.at(clause, "zone.weeds_percent", match.start()):
            message.tell("zone.weeds_percent", tidy(value), clause, zone=zone)
    elif re.fullmatch(living, match["what"]):
        if pattern(*table["asleep"]).search(message.sentences[clause.sentence][1]):
            return
        note = message.say("living", words=match[0].strip(), value=say_amount(round(100 - value)))
        tell_bare(message, parts, clause, 100 - value, match[0], note, match.start())
    else:
        note_of = "" if match["n"] else None
        tell_bare(message, parts, clause, value, match[0], note_of, match.start())


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


def tell_bare(
    message: Message,
    parts: Parts,
    clause: Clause,
    value: float,
    words: str,
    note: str | None = None,
    place: int | None = None,
) -> None:
    """Tells that so many percent are bare, of the parts beside a place of a clause; without a note the words
    are said back with the share that they were taken for.
    """
    if note is None:
        note = message.say("share", words=words.strip(), value=say_amount(round(value)))
    for zone in parts.at(clause, "zone.bare_percent", place):
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
        tell_bare(message, parts, clause, value, clause.text.strip(" ."))
    elif here and listed and after_bare and len(here) == 1 and int(listed["n"]) <= 100:
        tell_bare(message, parts, clause, float(listed["n"]), listed["n"], "")
    elif here and percent and told_before and int(percent[1]) <= 100:
        tell_bare(message, parts, clause, float(percent[1]), percent[0], "", percent.start())
    elif span and any(part.clause.sentence == clause.sentence for part in parts.named):
        value = (int(span[1]) + int(span[2])) / 2
        tell_bare(message, parts, clause, value, clause.text.strip(" ."), None)
    else:
        near = [part for part in parts.named if part.clause.sentence == clause.sentence]
        inside = here or (near and _goes_on(message, clause))
        for phrase, value in [*(table["vague-in"].items() if inside else ()), *table["vague"].items()]:
            match = pattern(phrase).search(clause.text)
            other = match and _other_gone(clause, match, table, bool(here))
            if match and not other and not message.taken(clause, match.start(), match.end()):
                if near or not parts.named:
                    tell_bare(message, parts, clause, value, match[0], None, match.start())
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
