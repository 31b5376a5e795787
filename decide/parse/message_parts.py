"""Finds the parts of a field that a message names, which of them are bad, and which one a fact is about."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from decide.parse.matching import LONGEST_NAME, singular
from decide.parse.message_text import Clause, Message, negated, pattern
from decide.parse.part_names import PartForm, part_forms, standing
from decide.parse.part_scopes import WHOLE, Part, Parts
from decide.parse.plain import words
from decide.parse.speech import Speech


def read_parts(message: Message) -> Parts:
    """The parts that are told to be bad; tells their names."""
    table = message.speech.table("message_parts")
    found: list[Part] = []
    for sentence in range(len(message.sentences)):
        clauses = [one for one in message.clauses if one.sentence == sentence and not one.silent]
        rows = list(
            _with_others([(clause, _named(clause, table, message)) for clause in clauses], found, table)
        )
        bad = _which_bad(rows, table)
        for at, (clause, parts) in enumerate(rows):
            beside = [n for n in (at - 1, at + 1) if 0 <= n < len(rows) and bad[n]]
            beside += [n for n, (other, named) in enumerate(rows) if not named and _bad(other, table)]
            if parts and not bad[at] and _well(clause, table) is not None and not _bad(clause, table):
                message.use(clause)
            if parts and (bad[at] or (beside and _only_names(clause, parts, table))):
                found += parts
    said = tuple(part for clause in message.telling() for part in _named(clause, table, message))
    found = found or list(_alone(message, table))
    kept = _distinct([*found, *_again(message, found, table)], table)
    whole = [
        (clause, match)
        for clause in message.telling()
        for match in pattern(*table["names"]["whole"]).finditer(clause.text)
        if _well(clause, table) is None
        and (
            any(_bad(other, table) for other in message.telling() if other.sentence == clause.sentence)
            or (clause.sentence and match[0] == message.sentences[clause.sentence][1].strip(" .!"))
        )
    ]
    if kept:
        names = list(dict.fromkeys(part.name for part in kept))
        message.add("zone", names, kept[0].clause)
        for part in kept:
            message.use(part.clause)
    elif whole:
        message.tell("zone", [WHOLE], whole[0][0])
        only = Part(whole[0][0], whole[0][1].start(), whole[0][1].end(), WHOLE)
        return Parts((only,), said=said, state=table["state"])
    well = frozenset(
        clause.start
        for clause in message.telling()
        if kept
        and _named(clause, table, message)
        and not any(part.clause.start == clause.start for part in kept)
    )
    elsewhere = frozenset(
        clause.start
        for clause in message.telling()
        if pattern(*table["state"]["elsewhere"]).search(clause.text)
    )
    listed = frozenset(
        clause.start
        for clause in {part.clause for part in kept}
        if _only_names(clause, [part for part in kept if part.clause == clause], table)
    )
    return Parts(tuple(kept), well, elsewhere, said, listed, table["state"])


def _which_bad(rows: Sequence[tuple[Clause, list[Part]]], table: Mapping[str, Any]) -> list[bool]:
    """Whether each clause of a sentence tells of its parts that they are bad."""
    bad = [bool(parts) and _is_bad(clause, parts, table) for clause, parts in rows]
    for at, (clause, parts) in enumerate(rows):
        led = pattern(*table["state"]["except"]).match(clause.text)
        if parts and led and at:
            bad[at] = _well(rows[at - 1][0], table) is not None
        after, named = rows[at + 1] if at + 1 < len(rows) else (clause, parts)
        goes_on = not named and pattern(*table["state"]["goes-on"]).match(after.text)
        if parts and goes_on and _bad(after, table) and _well(clause, table) is None:
            bad[at] = bad[at] or not _spared(clause, table)
    if not any(bad) and any(not parts and _bad(clause, table) for clause, parts in rows):
        # "The penalty areas, each 80 m2, have lost half of the grass": what is bad is named before it.
        last = max((n for n, (clause, parts) in enumerate(rows) if not parts and _bad(clause, table)))
        for at, (clause, parts) in enumerate(rows[:last]):
            bad[at] = bool(parts) and _well(clause, table) is None and not _spared(clause, table)
    return bad


def _alone(message: Message, table: Mapping[str, Any]) -> Iterator[Part]:
    """Parts of a sentence that names parts and tells nothing of them: "Goal ends." is what it is about."""
    things = pattern(*table["grammar"]["anchors"], *table["names"]["fields"])
    for clause in message.telling():
        parts = _named(clause, table, message)
        if parts and not _spared(clause, table) and _only_names(clause, parts, table):
            yield from (part for part in parts if things.fullmatch(part.name) is None)


def _with_others(
    rows: Sequence[tuple[Clause, list[Part]]], found: Sequence[Part], table: Mapping[str, Any]
) -> Iterator[tuple[Clause, list[Part]]]:
    """The clauses with their parts, where "the top one" is another of the kind that was named before it."""
    last = found[-1] if found else None
    for clause, parts in rows:
        match = pattern(*table["state"]["other"]).search(clause.text)
        if match is not None and last is not None:
            inside = [part for part in parts if part.start < match.end() and match.start() < part.end]
            kind = pattern(*table["grammar"]["kinds"]).sub("", last.name).strip()
            single = not kind.endswith("s") or pattern("one", "1").match(last.name)
            kept = [part for part in parts if part not in inside]
            if single and not inside:
                name = f"{match['which'] or match['rest']} {singular(kind)}"
                kept.append(Part(clause, match.start(), match.end(), name))
            last = kept[-1] if kept else last
            yield clause, kept
        else:
            last = parts[-1] if parts else last
            yield clause, parts


def _again(message: Message, found: Sequence[Part], table: Mapping[str, Any]) -> list[Part]:
    """The same parts where they are named again, and something else is told of them."""
    names = {part.name for part in found}
    here = {(part.clause.start, part.start) for part in found}
    return [
        part
        for clause in message.telling()
        for part in (_named(clause, table, message) if names else ())
        if part.name in names and (clause.start, part.start) not in here
    ]


def _named(clause: Clause, table: Mapping[str, Any], message: Message) -> list[Part]:
    """The parts that a clause names, longer names first, each place once."""
    names = table["names"]
    forms = message.speech.ready("parts", _forms)
    objects = [match.span() for match in pattern(*table["state"]["objects"]).finditer(clause.text)]
    taken: list[tuple[int, int]] = [
        (begin - clause.start, end - clause.start)
        for begin, end in message.spans
        if clause.start <= begin < clause.start + len(clause.text)
    ]
    out: list[Part] = list(_where_stood(clause, table, message))
    taken += [(part.start, part.end) for part in out]
    measured = pattern(*names["measures"])
    for form in standing(forms, clause.text):
        for match in form.finditer(clause.text):
            if match[0].startswith("square") and _ends(measured, clause.text[: match.start()]):
                continue
            inside = any(begin < match.end() and match.start() < end for begin, end in taken)
            lead = clause.text[: match.start()]
            grammar = message.speech.table("message_parts")["grammar"]
            if _no_part(match, lead, grammar):
                continue
            if inside or any(begin <= match.start() < end for begin, end in objects):
                continue
            name = _name(match[0], table)
            denied = negated(clause, match.start(), message.speech.table("message"))
            if name and (not denied or _bad(clause, table)):
                taken.append(match.span())
                out.append(Part(clause, match.start(), match.end(), name))
    return _narrowed(sorted(out, key=lambda part: part.start), clause, table, message)


def _no_part(match: re.Match[str], lead: str, grammar: Mapping[str, Any]) -> bool:
    """Whether what stands before words for a place makes them none: a way, a site, or how far a part goes."""
    if _ends(pattern(*grammar["far"]), lead):
        return True
    by_way = match[0].startswith("by ") and _ends(pattern(*grammar["way"]), lead)
    beside = pattern(*grammar["prepositions"]).match(match[0]) is not None
    thing = pattern(*grammar["anchors"]).search(match[0]) is None
    return by_way or (beside and thing and _ends(pattern(*grammar["site"], *grammar["water"]), lead))


def _forms(speech: Speech) -> tuple[PartForm, ...]:
    table = speech.table("message_parts")
    return part_forms(table["grammar"], table["names"])


def _ends(words: re.Pattern[str], text: str) -> bool:
    """Whether a text ends with one of some words."""
    return any(not text[match.end() :].strip(" -") for match in words.finditer(text))


def _where_stood(clause: Clause, table: Mapping[str, Any], message: Message) -> Iterator[Part]:
    """A piece of ground that goes by what stood there: the circle where the stage was."""
    names = table["names"]
    for match in pattern(*names["shaped"]).finditer(clause.text):
        rest = message.text[clause.start + match.end() :].lstrip()
        stood = pattern(names["stood"]).match(rest)
        if stood is not None:
            name = f"{match[0]} {stood[0]}"
            yield Part(clause, match.start(), match.end(), name if len(name) <= LONGEST_NAME else match[0])


def _narrowed(
    parts: Sequence[Part], clause: Clause, table: Mapping[str, Any], message: Message
) -> list[Part]:
    """The parts of a clause, where two that tell one place are one: the middle between the posts."""
    names = table["names"]
    narrows, small = pattern(*names["narrows"]), set(names["narrowed"])
    out: list[Part] = []
    for part in parts:
        last = out[-1] if out else None
        between = clause.text[last.end : part.start] if last is not None else ""
        place = narrows.match(clause.text[part.start : part.end]) or narrows.search(between)
        named = re.findall(
            r"[A-Z][\w']*",
            message.raw[clause.start :][len(clause.text[: part.start]) - len(between) : part.start],
        )
        rest = [word for word in words(between) if word not in small | {one.lower() for one in named}]
        if last is None or place is None or rest:
            out.append(part)
            continue
        name = f"{last.name} {part.name}" if named else _name(clause.text[last.start : part.end], table)
        out[-1] = Part(clause, last.start, part.end, name if len(name) <= LONGEST_NAME else part.name)
    return out


def _name(said: str, table: Mapping[str, Any]) -> str:
    """The person's own words for a part, without the small words before it."""
    row = said.replace("-", " ").split()
    drop = set(table["names"]["drop"])
    while (
        row
        and row[0] in drop
        and row[:2] not in (["in", "goal"], ["in", "goals"])
        and not (row[0] in ("down", "at", "in", "on") and len(row) < 2)
    ):
        row = row[1:]
    name = " ".join(row)
    for form, usual in {**table["names"]["renamed"], **table["loans"]}.items():
        if pattern(form).fullmatch(name.removeprefix("both ")):
            return str(usual)
    return (
        name if len(name) <= LONGEST_NAME else " ".join(word for word in row if word != "the")[:LONGEST_NAME]
    )


def _bad(clause: Clause, table: Mapping[str, Any]) -> bool:
    state = table["state"]
    if pattern(*state["spared"]).search(clause.text):
        return False
    return bool(
        pattern(*state["bad"]).search(clause.text)
        or re.search(r"\d\s?(?:%|percent|per cent|pct)|\d+\s?-\s?\d+$", clause.text)
        or pattern(*state["points"]).search(clause.text)
    )


def _spared(clause: Clause, table: Mapping[str, Any]) -> bool:
    return pattern(*table["state"]["spared"]).search(clause.text) is not None


def _well(clause: Clause, table: Mapping[str, Any]) -> re.Match[str] | None:
    """The word that says that a part is well, where nothing before it takes that back."""
    found = pattern(*table["state"]["good"]).search(clause.text)
    if found is None or pattern(*table["state"]["unwell"]).search(clause.text[: found.start()]):
        return None
    return found


def _is_bad(clause: Clause, parts: Sequence[Part], table: Mapping[str, Any]) -> bool:
    if _well(clause, table) is not None or pattern(*table["state"]["spared"]).search(clause.text):
        return False
    counted = pattern(*table["state"]["counts"])
    area = re.search(r"\d\s?(?:m2|square|sq|(?:[a-z]+ ?)?(?:x|by)\s?\d)", clause.text)
    return bool(area) or _bad(clause, table) or any(counted.search(part.name) for part in parts)


def _only_names(clause: Clause, parts: Sequence[Part], table: Mapping[str, Any]) -> bool:
    """Whether a clause holds names of parts and small words only, as a list has it."""
    rest = clause.text
    for part in reversed(parts):
        rest = rest[: part.start] + rest[part.end :]
    small = {*table["names"]["drop"], "and", "or", "also", "both", "plus"}
    return all(word in small or word.isdigit() for word in words(rest))


def _distinct(found: Sequence[Part], table: Mapping[str, Any]) -> list[Part]:
    """The parts, where two names of one thing are one: the first stands."""
    first: dict[str, str] = {}
    out = []
    for part in found:
        plain = " ".join(singular(word) for word in words(part.name))
        group = next((str(n) for n, names in enumerate(table["names"]["same"]) if part.name in names), plain)
        name = first.setdefault(group, part.name)
        out.append(Part(part.clause, part.start, part.end, name))
    return out
