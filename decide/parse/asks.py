"""Reads what a person asks or wishes: the kind of question, and what it names."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, Final

from decide.parse.ask_slots import Said, slots_of
from decide.parse.asking import QUERY, Asking, Kind, Way, make_asking
from decide.parse.asks_weighed import Read, guessed, named, weighed
from decide.parse.heard import UNCLEAR, Ask
from decide.parse.phrases import Hit, Line
from decide.parse.question import Question
from decide.parse.results import Setting
from decide.parse.speech import Speech

# How heavy a second question must be beside the first, and how many are taken from one line.
_BESIDE: Final = 1.0
_MOST: Final = 3
# The share of a line's words that a command of the talk must name where an answer is waited for.
_MOST_OF_IT: Final = 0.8
# What danger weighs more than all else.
_FIRST: Final = 100.0
# What words for what the program does not do weigh more: they say what is asked better than "how much" does.
_OUTSIDE: Final = 1.5
# So many words without a verb that tells are a question cut short: "seed rate", "dogs and fertiliser".
_TERSE: Final = 6
# The classes of what a question names besides what it asks.
_SLOTS: Final = ("option", "part", "month", "day", "number", "amount")
# What a faint way of asking weighs, beside one that is told apart by its words.
_FAINT: Final = 0.8


@dataclass(frozen=True)
class _Found:
    """What was found in some words, and beside it whatever other kinds stand in them."""

    read: Read
    line: Line
    asked: bool
    weight: float
    beside: Mapping[str, Read]

    @property
    def kind(self) -> Kind:
        """The kind that was found."""
        return self.read.kind


def read_asks(
    text: str,
    setting: Setting,
    speech: Speech,
    *,
    answers: Mapping[str, Any],
    question: Question | None = None,
) -> tuple[Ask, ...]:
    """What a cleaned line asks, the most wanted first; empty where it only tells or answers."""
    asking = speech.ready("asking", make_asking)
    sentences = asking.sentences(text)
    if not sentences:
        return (Ask("help", text),) if text.strip(" .!") and not text.strip(" .?!") else ()
    whole = tuple(word for words, _ in sentences for word in words)
    line = asking.line(whole)
    offered = named(Said(text, line, setting, speech, asking, answers))
    if offered is not None:
        return (offered,)
    told = question is None and bool(answers.get("zone"))
    found = [
        one for words, marked in _clauses(sentences) for one in _best(asking, words, marked, told, len(whole))
    ]
    if not found and len(sentences) > 1 and told:
        found = list(_best(asking, whole, any(marked for _, marked in sentences), told, len(whole)))
    kept = _kept(found)

    def said_in(one: _Found, alone: bool) -> Said:
        if alone:
            return Said(text, line, setting, speech, asking, answers)
        return Said(" ".join(one.line.words), one.line, setting, speech, asking, answers)

    def slots(one: _Found) -> Mapping[str, Any]:
        return slots_of(one.kind, one.read.hit, one.read.fixed, said_in(one, False))

    # Several questions are answered as they were asked, danger first.
    kept = [one for one in found if one in kept or _asks_more(one, kept, slots)]
    kept.sort(key=lambda one: not one.kind.danger)
    if not kept:
        if not told:
            return ()
        marked = any(marked for _, marked in sentences)
        put = _is_asked(asking, line, marked, told)
        guess = guessed(Said(text, line, setting, speech, asking, answers), text, put)
        return () if guess is None else (guess,)
    asks: list[Ask] = []
    for one in kept:
        said = said_in(one, len(kept) == 1)
        # Of all the words a phrase names less than of its own sentence.
        part = _unnamed(one.line) / (_unnamed(said.line) or 1.0)
        beside = {intent: replace(read, share=read.share * part) for intent, read in one.beside.items()}
        read = replace(one.read, share=one.read.share * part)
        ask = weighed(read, beside, said, said.text, plainly=one.read.kind.talk and not told)
        asks += [] if ask is None else [ask]
    clear = [ask for ask in asks if ask.intent != UNCLEAR]
    return (*clear, *[ask for ask in asks if ask.intent == UNCLEAR][:1])


def _asks_more(one: _Found, kept: Sequence[_Found], slots: Callable[[_Found], Mapping[str, Any]]) -> bool:
    """Whether a question of a kind that is answered already names something else: another day or step."""
    same = [other for other in kept if other.kind.intent == one.kind.intent and other.asked]
    if not same or not one.asked or not one.kind.takes or len(kept) >= _MOST:
        return False
    own, other = slots(one), slots(same[0])
    return not own.items() <= other.items() and not other.items() <= own.items()


def _clauses(sentences: Sequence[tuple[tuple[str, ...], bool]]) -> Iterator[tuple[tuple[str, ...], bool]]:
    """The sentences, parted where a second question begins after "and"."""
    heads = ("what", "when", "how", "why", "where", "who", "which", "can", "should", "is", "do", "will")
    for words, marked in sentences:
        start = 0
        for at in range(3, len(words) - 2):
            if words[at] == "and" and words[at + 1] in heads and words[start] in heads:
                yield words[start:at], marked
                start = at + 1
        yield words[start:], marked


def _best(asking: Asking, words: tuple[str, ...], marked: bool, told: bool, of: int) -> Iterator[_Found]:
    """The kind whose phrases name most of some words; none where they only tell or answer."""
    line = asking.line(words)
    asked = _is_asked(asking, line, marked, told)
    terse = told and not asked and _is_terse(asking, line, of)
    best: tuple[float, Read] | None = None
    beside: dict[str, Read] = {}
    shut: dict[int, bool] = {}
    weighs = _unnamed(line) or 1.0
    for kind, way in asking.open_ways(line):
        if shut.get(id(kind)) or not _open(kind, way, asked, told, terse, of):
            continue
        plain, hit = _weigh(line, way, terse)
        if hit is None:
            continue
        weight = plain + (_FIRST if kind.danger else _OUTSIDE if kind.outside else 0.0)
        share = min(1.0, plain / weighs)
        known = beside.get(kind.intent)
        better = best is None or weight > best[0]
        if not better and known is not None and known.share >= share:
            continue
        if id(kind) not in shut:
            shut[id(kind)] = any(map(line.find, kind.no))
        if shut[id(kind)] or not (asked or told or kind.danger or weight >= _MOST_OF_IT * line.weighs()):
            continue
        read = Read(kind, hit, way.slots, share)
        if known is None or known.share < share:
            beside[kind.intent] = read
        if better:
            best = (weight, read)
    if best is not None:
        yield _Found(best[1], line, asked, best[0], beside)


def _is_asked(asking: Asking, line: Line, marked: bool, told: bool) -> bool:
    """Whether words are put as a question; more is needed where an answer is expected."""
    if not told:
        return any(map(line.find, asking.plainly))
    bare = next((word for word in line.words if word not in asking.lead), line.words[0])
    return (
        marked
        or bare in asking.heads
        or line.words[0] in asking.heads
        or any(map(line.find, asking.anywhere))
    )


def _unnamed(line: Line) -> float:
    """What the words weigh that name no part, way, grass, day or figure: these are slots of any question."""
    free = set(range(len(line.words)))
    for name in _SLOTS:
        for at in range(len(line.words)):
            free -= set(range(at, max(line.of_class(name, at), default=at)))
    return sum(line.weigh(at) for at in free)


def _is_terse(asking: Asking, line: Line, of: int) -> bool:
    """Whether words, out of so many, are a question cut short."""
    return of <= _TERSE and not any(map(line.find, asking.telling))


def _weigh(line: Line, way: Way, terse: bool) -> tuple[float, Hit | None]:
    """How heavy a way stands in a line, and the place of its first phrase; nothing where it does not. Where
    words are terse, no word of a question is waited for.
    """
    total, first = 0.0, None
    if way.queries and not terse and not line.has(QUERY):
        return total, first
    for each in way.say:
        hit = line.find(each)
        if hit is None:
            return 0.0, None
        first = first or hit
        total += hit.weight
    return total * (_FAINT if way.faint else 1.0), first


def _open(kind: Kind, way: Way, asked: bool, told: bool, terse: bool, of: int) -> bool:
    """Whether something may be asked so at all at this place of the talk."""
    if kind.danger:
        return True
    if kind.short and of > kind.short:
        return False
    if kind.tells:
        return told and way.faint == asked
    if way.faint:
        return asked or terse or (kind.talk and told)
    return told or asked or (kind.talk and not kind.after)


def _kept(found: Sequence[_Found]) -> list[_Found]:
    """What is asked, each kind once: danger, then a question, then what is told, by weight."""
    asks = [one for one in found if not one.kind.tells] or list(found)
    out: dict[str, _Found] = {}
    for one in sorted(asks, key=lambda one: (not one.kind.danger, not one.asked, -one.weight)):
        out.setdefault(one.kind.intent, one)
    first, *rest = out.values() if out else (None,)
    if first is None:
        return []
    return [first, *(one for one in rest if one and one.asked and one.weight >= _BESIDE)][:_MOST]
