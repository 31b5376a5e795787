"""How sure the reading of a question is: what the phrases found is held against the nearest examples, and
where they do not agree, it is asked back.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Final

from decide.parse.ask_slots import Said, slots_of
from decide.parse.asking import Asking, Kind
from decide.parse.examples import Near, make_examples
from decide.parse.heard import UNCLEAR, Ask
from decide.parse.phrases import Hit
from decide.parse.plain import fold

_TABLE: Final = "asks-back"
_DECLINED: Final = "out_of_scope"
# How sure a reading is: the share of the words that its phrases name, so many times, and how far the examples
# are ahead of what they speak for next. From the first limit on it is answered with a word of how it was
# taken, from the second on without. Set by leaving out one labelled sentence after the other (tests/said).
_PHRASES: Final = 0.8
_LIKELY: Final = 0.35
_SURE: Final = 0.9
# Phrases that name so much of the words need no more than to be the examples' first.
_WHOLE: Final = 0.8
# Without a phrase the examples alone must be so near, and so far ahead; from so near on it may be asked back.
_ALONE: Final = 0.6
_AHEAD: Final = 0.5
_NEAR: Final = 0.2
_NEAR_TOLD: Final = 0.4
# From so near on the examples hold the words themselves, and say which of the kinds in them is meant.
_SAME: Final = 0.95
# Where no example is so near, less than this share of the words is a stray word and asks nothing.
_FAR: Final = 0.1
_STRAY: Final = 0.5
# So many meanings are offered at most, none of less than this belief.
_MOST: Final = 3
_LEAST: Final = 0.04


@dataclass(frozen=True)
class Read:
    """A kind that stands in some words: the phrase that was found, the slots that it sets, and the share of
    the words that it names (0 to 1).
    """

    kind: Kind
    hit: Hit
    fixed: Mapping[str, Any] = field(default_factory=dict)
    share: float = 0.0


def weighed(
    read: Read, beside: Mapping[str, Read], said: Said, asked: str, *, plainly: bool = False
) -> Ask | None:
    """What the phrases found in the words `asked`, as it is to be taken: as it is, with a word of how it was
    taken, or asked back with what else stands in the words; None where a stray word is all that was found.
    What is said `plainly` is taken as it is.
    """
    if read.kind.danger or plainly:
        return _ask(read, said)
    near = said.speech.ready("examples", make_examples).near(asked)
    if near.nearest < _FAR and read.share < _STRAY:
        return None
    if near.nearest >= _SAME:
        read = beside.get(near.ranked()[0], read)
    intent = read.kind.intent
    others = (share for name, share in near.shares.items() if name != intent)
    ahead = near.shares.get(intent, 0.0) - max(others, default=0.0)
    sure = _PHRASES * read.share + ahead
    ranked = near.ranked()[:_MOST]
    if sure >= _LIKELY and (intent in ranked or not _meanings(said).get(intent, {}).get("careful")):
        whole = read.share >= _WHOLE and ranked[:1] == [intent]
        return _ask(read, said, sure=whole or sure >= _SURE)
    return _asked_back(read, beside, said, near)


def named(said: Said) -> Ask | None:
    """What is asked in the very words in which a meaning is offered; None for any other words."""
    words = fold(said.text).strip(" .?!")
    intent = next(
        (intent for intent, row in _meanings(said).items() if fold(str(row.get("means", ""))) == words), ""
    )
    kind = _kind(said.asking, intent)
    return None if kind is None else _ask(Read(kind, _NO_HIT), said)


def guessed(said: Said, words: str, asked: bool) -> Ask | None:
    """What words without any known phrase ask by the examples alone; None where nothing is near enough, which
    takes more where they are not `asked` like a question.
    """
    near = said.speech.ready("examples", make_examples).near(words)
    if near.nearest < (_NEAR if asked else _NEAR_TOLD):
        return None
    first, second, *_ = (*near.ranked(), "", "")
    row = _meanings(said).get(first, {})
    ahead = near.shares[first] - near.shares.get(second, 0.0)
    kind = _kind(said.asking, first)
    if near.nearest >= _ALONE and ahead >= _AHEAD and not row.get("careful") and kind and not kind.tells:
        return _ask(Read(kind, _NO_HIT), said, sure=False)
    return _asked_back(None, {}, said, near)


_NO_HIT: Final = Hit(0.0, 0)


def _asked_back(read: Read | None, beside: Mapping[str, Read], said: Said, near: Near) -> Ask:
    """The question back with the meanings that are likeliest, what the phrases found first."""
    meanings = _meanings(said)
    belief = {
        intent: near.shares.get(intent, 0.0) + _PHRASES * (beside[intent].share if intent in beside else 0.0)
        for intent in {*near.shares, *beside}
        if meanings.get(intent, {}).get("means")
    }
    first = "" if read is None else read.kind.intent
    ranked = sorted(belief, key=lambda intent: (intent != first, -belief[intent], intent))
    offered = [one for one in ranked if one == first or belief[one] >= _LEAST][:_MOST]
    # What is answered is offered before what only can be declined.
    offered.sort(key=lambda intent: intent == _DECLINED)
    may = []
    for intent in offered:
        found = read if read is not None and read.kind.intent == intent else beside.get(intent)
        kind = _kind(said.asking, intent)
        if found is None and kind is not None:
            found = Read(kind, _NO_HIT)
        if found is not None:
            may.append(_ask(found, said))
    return Ask(UNCLEAR, said.text, may=tuple(may))


def _ask(read: Read, said: Said, *, sure: bool = True) -> Ask:
    slots = slots_of(read.kind, read.hit, read.fixed, said)
    means = str(_meanings(said).get(read.kind.intent, {}).get("means", ""))
    taken = (
        ""
        if sure or read.kind.outside or not means
        else str(_meanings(said)["say"]["taken"]).format(means=means)
    )
    return Ask(read.kind.intent, said.text, slots, taken, means)


def _kind(asking: Asking, intent: str) -> Kind | None:
    return next((kind for kind in asking.kinds if kind.intent == intent and not kind.outside), None) or next(
        (kind for kind in asking.kinds if kind.intent == intent), None
    )


def _meanings(said: Said) -> Mapping[str, Mapping[str, Any]]:
    return said.speech.table(_TABLE)
