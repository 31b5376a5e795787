"""Reads what somebody supposes to be otherwise, "what if we had ten helpers rather than two", as changes."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from decide.parse import numbers
from decide.parse.asking import Asking
from decide.parse.dates import read_date
from decide.parse.heard import Told
from decide.parse.message import read_message
from decide.parse.otherwise import read_changes
from decide.parse.otherwise_reader import code_of
from decide.parse.phrases import Line
from decide.parse.results import Setting, Understood
from decide.parse.speech import Speech

# A bare figure of this size or more, beside no unit, can only be money.
_MONEY_FROM: Final = 100
_PARTS: Final = frozenset({"and", "but", "plus", "also"})
_MORE: Final = re.compile(
    r"(?:.* )?(?:another|extra|additional) (?P<n>[0-9.,]+|[a-z]+)(?: (?P<what>[a-z]+))?(?: more)?(?: on top)?"
    r"|(?:.* )?(?P<n2>[0-9.,]+|[a-z]+) (?:more|extra)(?: (?P<what2>[a-z]+))?(?: on top)?"
)
_ONLY: Final = re.compile(
    r"(?:(?:it|that|we|i|the budget|budget|had|have|was|were|is|only|just|got)\b ?)*([0-9.,]+)"
)
_PEOPLE: Final = re.compile(
    r"(?:.* )?(?P<n>[0-9]+|[a-z]+) (?P<more>more |extra )?"
    r"(?:helpers?|volunteers?|parents?|dads?|mums?|people|hands|lads|players)\b.*"
)
_OFTEN: Final = re.compile(
    r"(?:.* )?water\w*(?: it)? (?P<n>once|twice|[a-z0-9]+ times)(?: (?:a|per|each|every) day)?"
)
_DATE: Final = re.compile(
    r"(?:.* )?(?:date|day|deadline|match|opening|ready|start|opener|season|final)\b(?: [a-z]+){0,4}? "
    r"(?:to|until|till|by|on|was|were|is|for|came) (?:be )?(?P<day>.+)|it (?:was|were) (?P<day2>.+)"
)


@dataclass(frozen=True)
class Supposed:
    """What would be otherwise: keys with values, and what the situation has no key for."""

    changes: Mapping[str, Any]
    outside: Mapping[str, Any]


def read_supposed(
    words: Sequence[str], asking: Asking, setting: Setting, speech: Speech, answers: Mapping[str, Any]
) -> Supposed:
    """The changes that the words of a supposition mean, part by part; what is not read stands in `outside` by
    its words.
    """
    core = _core(words, asking)
    changes: dict[str, Any] = {}
    outside: dict[str, Any] = {}
    for part in (core,) if _whole(core, asking) else _parts(core):
        said = " ".join(part)
        found = read_changes(said, setting, speech, answers)
        if found.changes and not found.unread:
            changes |= found.changes
            continue
        known, other = _as_told(asking.line(part), asking)
        known = known or _counted(said, setting)
        if not known and not other:
            heard = read_message(said, setting, speech, answers=answers)
            known = {_key(one): one.value for one in heard.told}
        changes |= known
        outside |= other or ({} if known else {said: "not read"})
    return Supposed(changes, outside)


def _core(words: Sequence[str], asking: Asking) -> tuple[str, ...]:
    """The words of a supposition without those that open it and without what only asks what comes of it."""
    line = asking.line(words)
    start = next((max(ends) for at in range(len(words)) if (ends := line.of_class("what-if", at))), 0)
    if not start and "if" in words:
        start = list(words).index("if") + 1
    rest = words[start:]
    after = asking.line(rest)
    cut = next(
        (at for at in range(2, len(rest)) if any(after.ends(tail, at) for tail in asking.tails)), len(rest)
    )
    return tuple(rest[:cut])


def _whole(core: Sequence[str], asking: Asking) -> bool:
    """Whether the words are one saying, though "and" stands in them."""
    return "and" not in core or bool(_as_told(asking.line(core), asking)[0])


def _parts(words: Sequence[str]) -> Iterator[tuple[str, ...]]:
    part: list[str] = []
    for word in (*words, "and"):
        if word not in _PARTS:
            part.append(word)
        elif part:
            yield tuple(part)
            part = []


def _as_told(line: Line, asking: Asking) -> tuple[dict[str, Any], dict[str, Any]]:
    """What a saying of the tables means; the one with the most words holds."""
    best = max(
        ((hit.weight, row) for said, row in asking.outside if (hit := line.find(said)) is not None),
        key=lambda one: one[0],
        default=(0.0, {}),
    )[1]
    return dict(best.get("changes", {})), dict(best.get("outside", {}))


def _counted(said: str, setting: Setting) -> dict[str, Any]:
    """Sums, helpers, wettings and days that are said in a way of their own."""
    match = _PEOPLE.fullmatch(said)
    count = _number(match["n"]) if match else None
    if match and count is not None:
        return {"means.helpers": {"plus": int(count)} if match["more"] else int(count)}
    match = _MORE.fullmatch(said)
    count = _number(match["n"] or match["n2"]) if match else None
    if count is not None and count >= _MONEY_FROM:
        return {"means.budget": {"plus": count}}
    match = _ONLY.fullmatch(said)
    count = _number(match[1]) if match else None
    if count is not None and count >= _MONEY_FROM:
        return {"means.budget": count}
    match = _OFTEN.fullmatch(said)
    if match:
        count = {"once": 1.0, "twice": 2.0}.get(match["n"]) or _number(match["n"].removesuffix(" times"))
        return {} if count is None else {"means.wettings_weekday": count}
    match = _DATE.fullmatch(said)
    found = read_date(match["day"] or match["day2"], setting) if match else None
    return {"dates.play_by": str(found.value)} if isinstance(found, Understood) else {}


def _number(word: str) -> float | None:
    try:
        found = numbers.figure(numbers.tokens(word), 0)
    except numbers.NumberTrouble:
        return None
    return None if found is None else found[0][0]


def _key(one: Told) -> str:
    """The key of what was told, with the code of its part."""
    if one.zone is None or not one.key.startswith("zone."):
        return one.key
    return f"zone.{code_of(one.zone)}.{one.key.removeprefix('zone.')}"
