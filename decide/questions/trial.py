"""The whole consultation of a situation of which only some answers differ from one that was judged: order,
programme and the starts that fit are made anew where something moves that they hang on.
"""

from __future__ import annotations

import copy
import dataclasses
import datetime as dt
from collections.abc import Mapping, Sequence
from typing import Any, Final

from decide.decision.consultation import Consultation
from decide.decision.diagnosis import Diagnosis
from decide.decision.programme import PLACES, Chosen, choose
from decide.decision.rank import Weighed, criteria_order, sort_key
from decide.facts.draft import Draft
from decide.plan.feasible import fitted
from decide.plan.fit_reads import START_KEYS, START_QUANTITIES
from decide.plan.starts import first_start
from decide.questions.again import Moves
from decide.questions.base import Base
from decide.questions.kept import Kept

_PLACES: Final = (*PLACES, "runner_up")


def judged_again(base: Base, half: Diagnosis, moves: Moves | None) -> Consultation:
    """The whole consultation of another diagnosis of the same zones.

    `moves` says what the answers that differ move; without it all of the options is measured again.
    """
    listed = base.listed_by(half, moves)
    stand = (
        listed
        if listed is base.listed
        else {code: d for code, d in listed.items() if base.listed.get(code) == d}
    )
    kept = Kept(base, half, stand, moves)
    if moves is not None and listed is base.listed and not kept.choice_moves:
        return _same(base, half)
    fresh = [d for code, d in listed.items() if code not in kept.drafts]
    other = _Tried(base, half, listed, kept, moves)
    other.start({**kept.weighed({code: code for code in kept.drafts}), **half.weigh(fresh)})
    return other


def _same(base: Base, half: Diagnosis) -> Consultation:
    """The consultation of a diagnosis that moves nothing of the options."""
    c = base.c
    other: Consultation = object.__new__(Consultation)
    other.__dict__.update(half.__dict__)
    other.measures = copy.copy(half.measures)
    other.measures.start_short = dict(c.measures.start_short)
    other.drafts, other.weighed, other.order, other.steps = [*c.drafts], dict(c.weighed), c.order, []
    other.ranked, other.chosen = [*c.ranked], dict(c.chosen)
    return other


def _start_of(base: Base, c: Consultation, w: Weighed, moves: Moves | None) -> dt.date:
    """The first start of an option; looked for once where no answer that it hangs on is another."""
    if moves is None or starts_move(moves):
        return first_start(c, w)
    zone = w.draft.zone
    layers = (*c.site_layer.fired.get("site", []), *c.zone_layer.fired.get(zone, []), *w.firings)
    needs = frozenset(rule.then.target for rule, _ in layers if rule.then.act == "need")
    key = (w.draft, needs, *(w.facts.get(name) for name in base.start_facts))
    if key not in base.starts:
        base.starts[key] = first_start(c, w)
    return base.starts[key]


def starts_move(moves: Moves) -> bool:
    """Whether some first start hangs on an answer that is another, beside facts."""
    return not moves.names.isdisjoint(START_QUANTITIES) or moves.touch(START_KEYS)


class _Tried(Consultation):
    """A consultation from its first half on: the order, the programme, and the starts that fit."""

    def __init__(
        self, base: Base, half: Diagnosis, listed: Mapping[str, Draft], kept: Kept, moves: Moves | None
    ) -> None:
        self.__dict__.update(half.__dict__)
        self._base, self._kept, self._moves_of, self._listed_of = base, kept, moves, listed
        self.measures = copy.copy(half.measures)
        self.measures.start_short = {}
        self.drafts, self.steps = list(listed.values()), []
        self.order = criteria_order(half.knowledge, half.filled.situation.wishes.first or [])
        self.made = None

    def start(self, weighed: Mapping[str, Weighed]) -> None:
        """Put the options in order, choose from them, and fit their starts."""
        self.weighed = {code: weighed[code] for code in self._listed_of}
        self.rank()
        fitted(self, lambda _, w: _start_of(self._base, self, w, self._moves_of))

    def rank(self) -> None:
        base, same = self._base, self.order == self._base.c.order
        key = {
            code: base.sort_key(w) if same and id(w) in base.own else sort_key(w, self.order)
            for code, w in self.weighed.items()
        }
        self.ranked = [self.weighed[code] for code in sorted(key, key=key.__getitem__)]
        by_zone: dict[str, list[Weighed]] = {code: [] for code in self.zones}
        for w in self.ranked:
            by_zone[w.draft.zone].append(w)
        shapes = self.knowledge.shapes.values()
        self.chosen = {
            code: self._with_facts(choose(rows, shapes, self.book.holds)) for code, rows in by_zone.items()
        }

    def _with_facts(self, chosen: Chosen) -> Chosen:
        """What is chosen, each option with the facts of this situation."""
        new = {id(w): self._kept.whole(w) for w in chosen.told}
        self.weighed.update({w.draft.code: w for w in new.values()})
        places: dict[str, Any] = {
            place: new[id(w)] for place in _PLACES if (w := getattr(chosen, place)) is not None
        }
        return dataclasses.replace(chosen, **places)

    def weigh(self, drafts: Sequence[Draft]) -> dict[str, Weighed]:
        # Of what somebody means to do the start was never looked at.
        short = self.measures.start_short
        found = self._kept.fitted({draft.code: draft for draft in drafts if draft.code in short}, short)
        new = [draft for draft in drafts if draft.code not in found]
        return {**found, **(super().weigh(new) if new else {})}
