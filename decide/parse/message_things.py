"""Reads machines, grasses, what can be had, ways in mind, and what was done before."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterator, Mapping
from functools import lru_cache
from typing import Any, Final

from decide.parse.message_dates import Found, dates_of
from decide.parse.message_money import number
from decide.parse.message_text import Clause, Message, negated, pattern
from decide.parse.numbers import tidy
from decide.parse.part_scopes import Parts
from decide.parse.speech import Speech

_Named = tuple[Clause, str, int, int]
_YEAR_DAYS: Final = 366
_LIST_WORDS: Final = 3  # a clause of so few words is one of a list
_NEAR: Final = 40  # letters between a machine and what is said of it


def read_things(message: Message, parts: Parts) -> None:
    """Tells machines, history, goods, wishes and grasses, in that order: a grass that was sown stands in the
    history, one that is wished for among the wishes.
    """
    table = message.speech.table("message_amounts")
    grasses = list(grasses_of(message, table))
    _past(message, parts, table, grasses)
    _goods(message, table)
    _wishes(message, table, grasses)
    _grasses(message, parts, table, grasses)
    _machines(message, table)
    _unknown(message)


def _machines(message: Message, table: Mapping[str, Any]) -> None:
    machines = table["machines"]
    names = machine_names(message, machines)
    own: list[tuple[Clause, str]] = []
    for clause in message.telling():
        off = pattern(*machines["not"]).search(clause.text)
        hired = pattern(*machines["hire"]).search(clause.text)
        sentence = message.sentences[clause.sentence][1]
        has = pattern(*machines["have"]).search(sentence)
        for name in sorted(names, key=len, reverse=True):
            match = pattern(name).search(clause.text)
            if match is None or message.taken(clause, match.start(), match.end()):
                continue
            broken = pattern(*machines["broken"]).search(clause.text)
            if broken and not hired and abs(broken.start() - match.start()) < _NEAR:
                message.take(clause, match.start(), match.end())
                message.add("means.equipment_broken", [names[name]], clause)
                own.append((clause, names[name]))
                continue
            denied = negated(clause, match.start(), message.speech.table("message"))
            if denied or (off and abs(off.start() - match.start()) < _NEAR):
                continue
            message.take(clause, match.start(), match.end())
            if hired:
                message.add("means.equipment_hire", [names[name]], clause)
            elif (
                has
                or len(clause.text.split()) <= _LIST_WORDS
                or re.search(rf"\b(?:a|an|one|\d) (?:\w+ )?{name}", clause.text)
            ):
                own.append((clause, names[name]))
    for clause, code in own:
        message.add("means.equipment_own", [code], clause)
    if own:
        for clause in message.telling():
            near = any(other.sentence == clause.sentence for other, _ in own)
            if near and pattern(*machines["water"]).search(clause.text):
                message.add("means.equipment_own", ["hose"], clause)


def machine_names(message: Message, machines: Mapping[str, Any]) -> dict[str, str]:
    """Phrases for machines with their codes; what waters is read apart."""
    names = dict(machines["also"])
    for code, said in message.speech.equipment.items():
        if code not in ("hose", "travelling-sprinkler"):
            for name in said:
                names.setdefault(_phrase(name) + "s?", code)
    return names


def things_beside(message: Message, clause: Clause, before: Clause | None) -> Iterator[str]:
    """The things of a clause that stand in one list with a machine, and are none that is known, nor water;
    the list may have begun in the clause before.
    """
    machines = message.speech.table("message_amounts")["machines"]
    known = pattern(*machine_names(message, machines))
    pieces = [piece for piece in re.split(machines["parted"], clause.text) if piece.strip()]
    begun = before is not None and before.sentence == clause.sentence and known.search(before.text)
    if not begun and not any(known.search(piece) for piece in pieces):
        return
    thing = re.compile(machines["thing"])
    for piece in (piece.strip(" .!") for piece in pieces):
        if thing.fullmatch(piece) and not known.search(piece) and is_thing(piece, message.speech):
            yield piece


def is_thing(piece: str, speech: Speech) -> bool:
    """Whether a piece of a list of machines may be one: what waters is told by itself."""
    return pattern(*speech.table("message_amounts")["machines"]["waters"]).search(piece) is None


@lru_cache(maxsize=4096)
def _phrase(name: str) -> str:
    """A name as a phrase to look for."""
    return re.escape(name.lower()).replace(r"\ ", " ").replace(r"\-", "-")


def _grasses(message: Message, parts: Parts, table: Mapping[str, Any], grasses: list[_Named]) -> None:
    """The grasses that stand on the field; a clause that speaks of seed, sale or wishes tells none."""
    grass = table["grass"]
    found: list[tuple[Clause, str]] = []
    for clause, code, start, end in grasses:
        laid = pattern(*grass["laid"]).search(clause.text)
        rest = clause.text[:start] + " " + clause.text[end:]
        if message.taken(clause, start, end) or (pattern(*grass["not"]).search(rest) and not laid):
            continue
        if not negated(clause, start, message.speech.table("message"), end):
            found.append((clause, code))
    for clause, code, start, end in grasses:
        if (clause, code) in found:
            message.take(clause, start, end)
    for clause, _ in found:
        here = list(dict.fromkeys(code for other, code in found if other.sentence == clause.sentence))
        # Beside another grass these are its weeds.
        here = [code for code in here if code not in grass["weeds"]] or here
        for zone in parts.at(clause, "zone.grass"):
            message.add("zone.grass", [{"grass": code} for code in here], clause, zone=zone)


def grasses_of(message: Message, table: Mapping[str, Any]) -> Iterator[_Named]:
    """The grasses that are named, with their places, longer names first."""
    country = (message.setting.country or "").lower()
    names: dict[str, str] = {}
    for word, countries in table["grass"]["by-country"].items():
        names[word] = countries.get(country, "")
    for code, said in message.speech.grasses.items():
        for name in said:
            names.setdefault(_phrase(name), code)
    names |= dict(table["grass"]["also"].items())
    longest = sorted(names, key=len, reverse=True)
    for clause in message.telling():
        taken: list[tuple[int, int]] = []
        for name in longest:
            for match in pattern(name).finditer(clause.text):
                if any(begin < match.end() and match.start() < end for begin, end in taken):
                    continue
                taken.append(match.span())
                if names[name]:
                    yield clause, names[name], match.start(), match.end()


def _goods(message: Message, table: Mapping[str, Any]) -> None:
    goods = table["goods"]
    units = "|".join(goods["units"])
    for clause in message.telling():
        if pattern(*goods["not"]).search(clause.text):
            continue
        sentence = message.sentences[clause.sentence][1]
        amount = None
        for what, words in goods.items():
            if what not in ("seed", "sod", "sprigs", "plugs"):
                continue
            said = "|".join(words)
            amount = pattern(
                rf"(?P<n>\d+|a|two|three|four|five|six|ten) ?(?P<unit>{units})(?: of)? (?:[\w-]+ )?(?:{said})"
            ).search(clause.text)
            match = amount or pattern(said).search(clause.text)
            if match is None or negated(clause, match.start(), message.speech.table("message")):
                continue
            if not pattern(*goods["have"]).search(sentence if amount else clause.text):
                continue
            row: dict[str, Any] = {"what": what}
            later = amount or pattern(rf"(?P<n>\d+) (?P<unit>{units})").search(sentence)
            if later:
                value = number(later["n"], message)
                unit = next(
                    code for form, code in goods["units"].items() if re.fullmatch(form, later["unit"])
                )
                row |= {"amount": tidy(value), "unit": unit} if value is not None else {}
            message.add("offer", [row], clause)
            message.take(clause, match.start(), match.end())


def _wishes(message: Message, table: Mapping[str, Any], grasses: list[_Named]) -> None:
    """A grass or a way that the person has in mind."""
    wish = pattern(*table["grass"]["wish"])
    for clause in message.telling():
        against = pattern(
            "against", "not", "don'?t", "never", "instead of", "know", "wonder\\w*", "better", "whether"
        )
        if not wish.search(clause.text) or against.search(clause.text):
            continue
        for other, code, start, end in grasses:
            if other.start == clause.start:
                message.take(clause, start, end)
                message.tell("wishes.grass", code, clause)
        for method, words in table["methods"].items():
            match = pattern(*words).search(clause.text)
            if match and re.search(
                rf"(?<!\w)(?:{'|'.join(table['grass']['wish'])})", clause.text[: match.start()]
            ):
                message.take(clause, match.start(), match.end())
                message.tell("wishes.method", method, clause)
                break


def _past(message: Message, parts: Parts, table: Mapping[str, Any], grasses: list[_Named]) -> None:
    """Sprays, sowings and sod of the last year."""
    past = table["past"]
    dated = list(dates_of(message, message.speech.table("message_dates"), past=True))
    for clause in message.telling():
        text = clause.text
        if pattern(*past["sprayed-not"]).search(text):
            message.tell("history.herbicides", [], clause)
            continue
        if pattern(*past["old"]).search(text):
            continue
        sprayed, sown, laid = (pattern(*past[name]).search(text) for name in ("sprayed", "sown", "laid"))
        day = _day(message, clause, dated, past)
        zones = [name for name in parts.at(clause, "zone.tug") if name]
        where = {"zone": zones[0]} if len(zones) == 1 and zones[0] != "whole field" else {}
        done = sprayed and (re.search(r"spray(?:ed|ing)|treated|put|used|applied", text) or day)
        if done and sprayed and not negated(clause, sprayed.start(), message.speech.table("message")):
            row: dict[str, Any] = {"class": _class(text, past)}
            row |= {"date": day} if day else {}
            here = any(part.clause.start == clause.start for part in parts.named)
            message.add("history.herbicides", [{**row, **(where if here else {})}], clause)
            message.take(clause, 0, len(text))
        elif laid and day:
            message.add("history.sod_laid", [{"date": day, **where}], clause)
        elif sown and day:
            named = [(code, start, end) for other, code, start, end in grasses if other.start == clause.start]
            kind = {"grass": named[0][0]} if named else {}
            for _, start, end in named:
                message.take(clause, start, end)
            message.add("history.sown", [{**kind, "date": day, **where}], clause)


def _class(text: str, past: Mapping[str, Any]) -> str:
    return next((name for name, words in past["classes"].items() if pattern(*words).search(text)), "unknown")


def _day(message: Message, clause: Clause, dated: list[Found], past: Mapping[str, Any]) -> str:
    """The one day of the last year that a clause names."""
    days = [
        found.days[0]
        for found in dated
        if found.clause.start == clause.start
        and len(found.days) == 1
        and not (
            found.rough and pattern(*past["onward"]).search(clause.text[: found.start].rstrip()[-_NEAR:])
        )
    ]
    today = message.setting.today
    days = days or [
        found.days[0]
        for found in dated
        if found.clause.sentence == clause.sentence and len(found.days) == 1 and not found.rough
    ]
    near = [day for day in days if dt.timedelta(0) <= today - day <= dt.timedelta(days=_YEAR_DAYS)]
    return near[0].isoformat() if near else ""


def _unknown(message: Message) -> None:
    """What the person says that they do not know."""
    for clause in message.telling():
        for key, words in message.table("unknown")["keys"].items():
            lead = "|".join(message.table("unknown")["lead"])
            if pattern(rf"(?:{lead}) (?:{words})").search(clause.text):
                message.use(clause)
                message.unknown.append((key, None))
