"""How sure the reading of a question is: what the phrases found is held against the nearest examples, and
where they do not agree, it is asked back.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
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
# A belief in a meaning is what the examples say and, so many times, the share of the words that its phrases
# name. Few words say little: so much of what the examples say counts of itself, and more with each word.
_PHRASES: Final = 0.7
_FEW: Final = 0.4
_EACH: Final = 0.06
# Words for what the program does not do say more of what is asked than the question that is put with them.
_OUTSIDE: Final = 0.5
# What a meaning is ahead of the next says how sure it is: from the first limit on it is answered with a word
# of how it was taken, from the last on without; what is written down or can hurt needs more, and so does what
# no phrase names. Set by leaving out one labelled sentence after the other (tests/said/left_out.py).
_LIKELY: Final = 0.25
_CAREFUL: Final = 0.4
_ALONE: Final = 0.7
_SURE: Final = 0.9
# Phrases that name so much of the words need no more than to be the examples' first.
_WHOLE: Final = 0.8
# Without a phrase the examples must be so near; what is not put as a question must be so likely.
_NEAR: Final = 0.15
_TOLD: Final = 0.7
# From so near on the examples hold the words themselves, and say which of the kinds in them is meant.
_SAME: Final = 0.95
# Where no example is so near, less than this share of the words is a stray word and asks nothing.
_FAR: Final = 0.1
_STRAY: Final = 0.5
# So many meanings are offered at most, none of less than this belief or less than this share of the first.
_MOST: Final = 3
_LEAST: Final = 0.04
_BESIDE: Final = 0.15


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
    return _chosen(beside, said, near)


def _chosen(beside: Mapping[str, Read], said: Said, near: Near) -> Ask | None:
    """The likeliest meaning where it is far enough ahead, of two that are kin one of them, or else the
    question back; None where nothing can be offered.
    """
    belief = _beliefs(beside, near, len(said.line.words))
    ranked = sorted(belief, key=lambda intent: (-belief[intent], intent))
    first, second, third = (*ranked, "", "", "")[:3]
    ahead = belief[first] - belief.get(second, 0.0)
    read = _read(first, beside, said)
    needs = _needs(first, beside, said, read)
    if ahead < needs:
        if belief[first] + belief.get(second, 0.0) - belief.get(third, 0.0) >= needs:
            kin = _kin(said, first, second, beside)
            taken = _read(kin, beside, said) if kin else None
            if taken is not None:
                return _ask(taken, said, sure=False)
        return _asked_back(ranked, belief, beside, said)
    assert read is not None
    # A command of the talk that is all that was said needs no word of how it was taken.
    command = read.kind.talk and read.share >= 1.0
    whole = command or (read.share >= _WHOLE and near.ranked()[:1] == [first])
    return _ask(read, said, sure=whole or ahead >= _SURE)


def _beliefs(beside: Mapping[str, Read], near: Near, words: int) -> dict[str, float]:
    counts = min(1.0, _FEW + _EACH * words)
    belief = {intent: counts * share for intent, share in near.shares.items()}
    for intent, read in beside.items():
        named = _PHRASES * read.share + (_OUTSIDE if read.kind.outside else 0.0)
        belief[intent] = belief.get(intent, 0.0) + named
    if near.nearest >= _SAME:
        belief[near.intent] += 1.0
    return belief


def _needs(intent: str, beside: Mapping[str, Read], said: Said, read: Read | None) -> float:
    """How far ahead a meaning must be to be answered; more than can be where it must be asked back."""
    careful = bool(_meanings(said).get(intent, {}).get("careful"))
    if read is None:
        return math.inf
    if intent in beside:
        return _CAREFUL if careful else _LIKELY
    told = read.kind.tells and intent not in _meanings(said).get("alone", {}).get("intents", ())
    return math.inf if told or read.kind.outside else max(_ALONE, _CAREFUL if careful else 0.0)


def _kin(said: Said, first: str, second: str, beside: Mapping[str, Read]) -> str:
    """Which of two meanings is answered: of kin the likelier, or what goes before where the words name it; ""
    where they are no kin.
    """
    rows = said.speech.table(_TABLE).get("kin", {}).get("rows", ())
    row = next((row for row in rows if {first, second} == set(row["of"])), None)
    if row is None:
        return ""
    before = str(row.get("before", ""))
    return before if before in beside else first


def _read(intent: str, beside: Mapping[str, Read], said: Said) -> Read | None:
    if intent in beside:
        return beside[intent]
    kind = _kind(said.asking, intent)
    return None if kind is None else Read(kind, _NO_HIT)


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
    if near.nearest < _NEAR or (not asked and max(near.shares.values()) < _TOLD):
        return None
    return _chosen({}, said, near)


_NO_HIT: Final = Hit(0.0, 0)


def _asked_back(
    ranked: Sequence[str], belief: Mapping[str, float], beside: Mapping[str, Read], said: Said
) -> Ask | None:
    """The question back with the meanings that are likeliest."""
    least = max(_LEAST, _BESIDE * belief[ranked[0]])
    meanings = _meanings(said)
    offered = [one for one in ranked if belief[one] >= least and meanings.get(one, {}).get("means")][:_MOST]
    # What is answered is offered before what only can be declined.
    offered.sort(key=lambda intent: intent == _DECLINED)
    found = (_read(intent, beside, said) for intent in offered)
    may = tuple(_ask(each, said) for each in found if each is not None)
    return Ask(UNCLEAR, said.text, may=may) if may else None


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
