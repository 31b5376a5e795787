"""Reads one answer to several questions that were asked in one breath: each piece of it for the question it
answers.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from decide.parse.answer_rows import about
from decide.parse.answers import is_unknown, read_answer
from decide.parse.choices import is_hedged
from decide.parse.heard import Doubt, Told
from decide.parse.message_text import pattern
from decide.parse.part_names import part_forms, standing
from decide.parse.plain import fold
from decide.parse.question import Question
from decide.parse.results import AskBack, FieldShare, Reading, Result, Setting, Sum, Understood
from decide.parse.speech import Speech
from decide.parse.vocabulary import said_plainly

TABLE: Final = "several"
_NEVER: Final = r"(?!)"
# A name of a part has hardly more words.
_NAME: Final = 3
_AMOUNTS: Final = frozenset({"number", "length"})
_TEN: Final = 10
# A number with hardly more than its unit.
_AMOUNT: Final = r"(?:about |around |roughly )?\d+(?:\.\d+)?(?: ?[a-z%]+){0,2}"
_YES_OR_NO: Final = r"yes|no|yep|yeah|nope|nobody|y|n"
_GAP: Final = re.compile(r"[\s-]+")
# The kinds of questions that are answered in words, or by the number of a choice.
_WORDS: Final = frozenset({"choice", "list", "yesno"})

Place = tuple[str, str | None]


@dataclass(frozen=True)
class Several:
    """What an answer tells of several questions: of each what was told, and those that the person cannot
    answer; and parts of the field that were named and are none that was told.
    """

    told: tuple[Told, ...] = ()
    unknown: tuple[Place, ...] = ()
    doubts: tuple[Doubt, ...] = ()


def read_several(
    text: str,
    setting: Setting,
    speech: Speech,
    question: Question,
    before: Iterable[Told] = (),
    names: Sequence[str] = (),
) -> Several:
    """What a line tells of the questions in `question.asks`; `before` is what was read of it already and
    stands, `names` are the parts of the field that were told.
    """
    asks, talk = question.asks, speech.table(TABLE)
    if is_unknown(text, setting):
        return Several(unknown=tuple((each.key, each.zone) for each in asks))
    pieces = talk.get("pieces", {})
    said = fold(text).strip(" .!")
    if re.fullmatch(pieces.get("nothing", _NEVER), said):
        return Several(_nothing(asks, text))
    if any(each.kind == "zones" for each in asks):
        return Several(_of_parts_named(said, setting, asks, pieces, [one.key for one in before]))
    held = {(one.key, one.zone) for one in before}
    parts = _parts(said, pieces)
    if re.fullmatch(pieces.get("row", _NEVER), said):
        parts = said.split()
    in_order = _in_order(parts, asks, setting)
    if in_order and not held:
        return Several(in_order)
    amounts = _amounts(parts, asks, pieces, setting)
    if amounts is not None and not held:
        return amounts
    nothing = pieces.get("nothing", _NEVER)
    first = asks[0]
    opens = first.no is not None and bool(parts) and re.fullmatch(nothing, parts[0]) is not None
    found = dict[Place, Told]()
    zones = list(dict.fromkeys(each.zone for each in asks if each.zone is not None))
    others = _others(parts, list(dict.fromkeys([*names, *zones])), setting) if zones else {}
    doubts = tuple(
        _doubt(part, name, names or zones, asks, setting, talk)
        for part, name in others.items()
        if not any(part in fold(one.words) for one in before)
    )
    back: list[tuple[str, Question, AskBack]] = []
    for part, meant in _meant([part for part in parts if part not in others], zones, pieces, setting):
        if re.fullmatch(nothing, part) is None:
            here = tuple(each for each in asks if each.zone is None or each.zone in meant)
            bare = _without(part, zones, pieces, setting)
            for told in _of_piece(part, bare, here, setting, talk):
                found.setdefault((told.key, told.zone), told)
            back += _asked_back(part, bare, here, setting)
    doubts += tuple(_settle(back, found))
    if opens:
        # A plain no that more follows is said of what was asked first, and of nothing else.
        found = {(first.key, first.zone): _told(first, first.no, parts[0]), **found}
    return Several(tuple(told for place, told in found.items() if place not in held), doubts=doubts)


def is_of_several(text: str, speech: Speech) -> bool:
    """Whether a line has several pieces of more words than one, so that each may answer a question of its
    own.
    """
    parts = _parts(fold(text).strip(" .!"), speech.table(TABLE).get("pieces", {}))
    return len({part for part in parts if len(part.split()) > 1}) > 1


def _parts(said: str, pieces: Mapping[str, Any]) -> list[str]:
    """The pieces of a line of which each may answer a question of its own."""
    return [part.strip() for part in re.split(pieces.get("split", r"[;,]"), said) if part and part.strip()]


def _others(parts: Iterable[str], zones: Sequence[str], setting: Setting) -> dict[str, str]:
    """The pieces that begin with the name of a part of the field that was not told, each with that name."""
    words = setting.talk.get("message_parts", {})
    forms = part_forms(words["grammar"], words["names"]) if words else ()
    small = pattern(*words["names"]["drop"], "and") if words else pattern()
    found: dict[str, str] = {}
    for part in parts:
        if any(_names(zone, part, setting) for zone in zones):
            continue
        starts = _starts(small, part)
        match = next(
            (m for form in standing(forms, part) for at in starts if (m := form.match(part, at))), None
        )
        if match is not None:
            found[part] = match[0]
    return found


def _starts(small: re.Pattern[str], part: str) -> list[int]:
    """Where a name may begin in a piece: behind all small words before it, behind fewer, at its start."""
    starts = [0]
    while (word := small.match(part, starts[-1])) and (gap := _GAP.match(part, word.end())):
        starts.append(gap.end())
    return starts[::-1]


def _doubt(
    part: str,
    name: str,
    zones: Sequence[str],
    asks: Iterable[Question],
    setting: Setting,
    talk: Mapping[str, Any],
) -> Doubt:
    """Whether a part that was named is one of its own: then it has what the piece tells."""
    own = {each.key: each.at(name) for each in asks if each.zone is not None}
    told = tuple(_of_piece(part, _without(part, [name], {}, setting), own.values(), setting, talk))
    text = str(talk.get("pieces", {}).get("other", "")).format(name=name)
    added = Told("zone", [*zones, name], part)
    return Doubt(text, part, "zone", None, (Reading(name, (added, *told)),))


def _nothing(asks: tuple[Question, ...], text: str) -> tuple[Told, ...]:
    """What a plain "no" to all of it tells; where it tells nothing of any, it answers the first yes or no."""
    told = tuple(_told(each, each.no, text) for each in asks if each.no is not None)
    first = next((each for each in asks if each.kind == "yesno"), None)
    return told or (() if first is None else (_told(first, False, text),))


def _of_piece(
    words: str, part: str, asks: Iterable[Question], setting: Setting, talk: Mapping[str, Any]
) -> Iterable[Told]:
    """What one piece tells of the questions that it may speak of."""
    asks = tuple(asks)
    answered = [_value(part, each, setting, talk) if each.kind == "yesno" else None for each in asks]
    good_news = any(value is True for value in answered)
    for each, plain in zip(asks, answered, strict=True):
        # "The goals are anchored" is near in its words to "goals not anchored".
        other = each.kind != "yesno" and not good_news
        value = _value(part, each, setting, talk) if other else plain
        if value is not None:
            yield _told(each, value, words)
            also = _also(part, each, setting)
            yield from (_told(other, also[other.key], words) for other in asks if other.key in also)


def _of_parts_named(
    said: str, setting: Setting, asks: tuple[Question, ...], pieces: Mapping[str, Any], before: list[str]
) -> tuple[Told, ...]:
    """Parts of the field named one after the other, each with what is said of it: "wings half, middle thin".
    Nothing where it is said in sentences that were understood already.
    """
    named, *others = sorted(asks, key=lambda each: each.kind != "zones")
    amount = pieces.get("amount", _NEVER)
    names: list[str] = []
    last: list[str] = []
    told: dict[Place, Told] = {}
    for part in re.split(pieces.get("split", r"[;,]"), said):
        bare = " ".join(re.sub(amount, " ", part).split())
        if bare:
            value = _read(bare, named, setting)
            if not isinstance(value, list) or (before and len(bare.split()) > _NAME):
                return ()
            last = value
            names += [name for name in value if name not in names]
        for match in re.finditer(amount, part):
            for each in others:
                value = _read(match[0], each, setting)
                for name in last if value is not None else ():
                    told.setdefault((each.key, name), Told(each.key, value, part.strip(), name))
    return (Told(named.key, names, said), *told.values()) if names else ()


def _meant(
    parts: list[str], zones: list[str], pieces: Mapping[str, Any], setting: Setting
) -> Iterable[tuple[str, frozenset[str]]]:
    """Each piece with the parts of the field that it speaks of: those it names, else those named last, else
    all.
    """
    named = [frozenset(zone for zone in zones if _names(zone, part, setting)) for part in parts]
    # "The touchline" is the far touchline where no other part ends so.
    ends = [fold(zone).split()[-1] for zone in zones]
    last_words = {zone: end for zone, end in zip(zones, ends, strict=True) if ends.count(end) == 1}
    named = [
        mine or frozenset(zone for zone, end in last_words.items() if _stands(end, part))
        for mine, part in zip(named, parts, strict=True)
    ]
    spoken = frozenset[str]().union(*named)
    last = frozenset(zones)
    for part, mine in zip(parts, named, strict=True):
        if mine:
            last = mine
        elif re.search(pieces.get("rest", _NEVER), part):
            last = frozenset(zones) - spoken
        elif re.search(pieces.get("every", _NEVER), part):
            last = frozenset(zones)
        yield part, last


def _names(zone: str, part: str, setting: Setting) -> bool:
    """Whether a piece names a part of the field, by its name or another word for the same."""
    return any(_stands(name, part) for name in _called(zone, setting))


def _called(zone: str, setting: Setting) -> set[str]:
    """The name of a part with the other words for the same."""
    words = setting.talk.get("message_parts", {}).get("names", {}).get("same", ())
    return {zone, *(name for same in words if zone in same for name in same)}


def _stands(name: str, part: str) -> bool:
    return re.search(rf"\b{_stem(name)}s?\b", part) is not None


def _stem(name: str) -> str:
    return re.escape(fold(name).removesuffix("s"))


def _without(part: str, zones: Sequence[str], pieces: Mapping[str, Any], setting: Setting) -> str:
    """A piece without the words that say which parts of the field it speaks of."""
    for zone in zones:
        for name in sorted(_called(zone, setting), key=len, reverse=True):
            part = re.sub(rf"(?:\b(?:in|at|on) )?\b(?:the )?{_stem(name)}s?\b", " ", part)
    for name in ("rest", "every") if zones else ():
        part = re.sub(pieces.get(name, _NEVER), " ", part)
    return re.sub(r"^[\s:=-]+(?:(?:is|are|about)\b)?", "", part).strip()


def _in_order(parts: list[str], asks: tuple[Question, ...], setting: Setting) -> tuple[Told, ...]:
    """The pieces as answers to the questions in their order, where there are as many and each one answers."""
    if len(parts) != len(asks) or len(parts) < 2:
        return ()
    both = list(zip(parts, asks, strict=True))
    if any(each.kind == "yesno" and not re.fullmatch(_YES_OR_NO, part) for part, each in both):
        return ()
    told: list[Told] = []
    for part, each in both:
        value = _read(part, each, setting)
        if value is None:
            return ()
        told.append(_told(each, value, part))
    return tuple(told)


def _amounts(
    parts: Sequence[str], asks: tuple[Question, ...], pieces: Mapping[str, Any], setting: Setting
) -> Several | None:
    """What bare amounts tell where one amount was asked, of one part of the field or of several: one is that
    of all, as many as there are parts are theirs in order, and of any other number none is taken. None where
    the line is of another form.
    """
    asked = [each for each in asks if each.kind not in _WORDS]
    if not asked or any(each.key != asked[0].key or each.kind not in _AMOUNTS for each in asked):
        return None
    bare = [_without(part, [], pieces, setting) for part in parts]
    bare = [" ".join(re.sub(pieces.get("every", _NEVER), " ", part).split()) for part in bare]
    if not all(re.fullmatch(_AMOUNT, part) for part in bare):
        return None
    results = [read_answer(asked[0], part, setting) for part in bare]
    if not all(isinstance(one, (Understood, AskBack)) for one in results):
        return None
    if len(bare) == 1 and isinstance(results[0], AskBack):
        readings = tuple(
            Reading(one.say, tuple(_told(each, one.value, parts[0]) for each in asked))
            for one in results[0].readings
        )
        return Several(doubts=(Doubt(results[0].text, parts[0], asked[0].key, asked[0].zone, readings),))
    if len(bare) == 1:
        values = [_plain_value(results[0], bare[0])] * len(asked)
    else:
        # A small number is of a hundred where the one beside it is.
        as_they_stand = all(isinstance(one, Understood) for one in results)
        sure = len(bare) == len(asked) and (as_they_stand or any(map(_of_a_hundred, results)))
        values = [_plain_value(one, part) for one, part in zip(results, bare, strict=True)] if sure else []
    told = zip(asked, values, parts if len(bare) > 1 else [*parts] * len(asked), strict=False)
    return Several(tuple(_told(each, value, part) for each, value, part in told if value is not None))


def _asked_back(
    part: str, bare: str, asks: Iterable[Question], setting: Setting
) -> Iterator[tuple[str, Question, AskBack]]:
    """The amount of a piece that may mean two, with the questions that it answers."""
    for each in asks if re.fullmatch(_AMOUNT, bare) else ():
        result = read_answer(each, bare, setting) if each.kind in _AMOUNTS else None
        if isinstance(result, AskBack):
            yield part, each, result


def _settle(back: Iterable[tuple[str, Question, AskBack]], found: dict[Place, Told]) -> Iterator[Doubt]:
    """An amount that may mean two is taken as it stands beside one of its kind that may not; else it is asked
    back.
    """
    sure = {key for (key, _), told in found.items() if _of_a_hundred(told)}
    for part, each, result in back:
        first = result.readings[0] if result.readings else None
        if each.key in sure and first is not None and str(first.value) in part:
            found.setdefault((each.key, each.zone), _told(each, first.value, part))
        elif (each.key, each.zone) not in found:
            readings = tuple(Reading(one.say, (_told(each, one.value, part),)) for one in result.readings)
            yield Doubt(result.text, part, each.key, each.zone, readings)


def _of_a_hundred(given: Result | Told) -> bool:
    """Whether a number is none of ten."""
    value = given.value if isinstance(given, (Understood, Told)) else None
    return isinstance(value, (int, float)) and value > _TEN


def _plain_value(result: Result, part: str) -> Any:
    """The value of an amount: of one that is asked back, that which it has as it stands."""
    if isinstance(result, AskBack):
        stands = [one.value for one in result.readings if str(one.value) == part]
        return stands[0] if stands else None
    return result.value if isinstance(result, Understood) else None


def _value(part: str, asked: Question, setting: Setting, talk: Mapping[str, Any]) -> Any:
    """What a piece tells of one question; None where it tells nothing of it."""
    patterns = talk.get(asked.key)
    if patterns is not None and "about" in patterns:
        rest = " ".join(re.sub(patterns["about"], " ", part).split())
        return _read(rest or part, asked, setting) if re.search(patterns["about"], part) else None
    if patterns is None:
        return None if asked.kind == "yesno" or not part else _read(part, asked, setting)
    if re.search(patterns.get("no", _NEVER), part):
        return False if asked.kind == "yesno" else asked.no
    if asked.kind == "yesno":
        if re.search(patterns.get("yes", _NEVER), part) is None:
            return None
        # Half sure is the cautious answer where there is one, else it is asked again.
        hedged = is_hedged(said_plainly(part), setting, safety=True)
        return about(setting, asked.id).get("hedge") if hedged else True
    return _read(part, asked, setting)


def _read(part: str, asked: Question, setting: Setting) -> Any:
    """The value of a piece taken as an answer to one question; None where it is none. Choices bear no numbers
    where several things are asked, so that a number picks none.
    """
    if part.strip(" .").isdecimal() and asked.kind in _WORDS:
        return None
    result = read_answer(asked, part, setting)
    return result.value if isinstance(result, Understood) else None


def _also(part: str, asked: Question, setting: Setting) -> Mapping[str, Any]:
    """What a thing of a list tells of other questions: a goal that is loose is not anchored."""
    result = read_answer(asked, part, setting) if asked.kind == "list" else None
    return result.also if isinstance(result, Understood) else {}


def _told(asked: Question, value: Any, words: str) -> Told:
    key = asked.key
    if isinstance(value, FieldShare):
        key, value = key.replace("area_m2", "share_percent"), value.percent
    return Told(key, value.amount if isinstance(value, Sum) else value, words, asked.zone)
