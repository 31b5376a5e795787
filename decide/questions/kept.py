"""The options of a consultation as another diagnosis judges them, each looked at only as far as what differs
reaches.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping
from functools import cached_property, partial

from decide.decision.diagnosis import Diagnosis
from decide.decision.rank import Weighed
from decide.engine.columns import Column
from decide.engine.language import Fact
from decide.facts.draft import Draft
from decide.plan.fit_reads import START_KEYS, START_QUANTITIES
from decide.questions.again import Moves
from decide.questions.base import Base
from decide.questions.held import Facts, differing
from decide.questions.sets import Sets, by_number, fitted_code, grades_of

# The answer that says which of the dates of an option is the one that it is ready by.
_READY: tuple[str, ...] = ("dates.first_use",)
_ORDER_KEYS: tuple[str, ...] = ("wishes.first",)


class Kept:
    """The options of a consultation as another diagnosis judges them; `drafts` are those of them that are
    listed again.

    `moves` says what the answers that differ move; without it every measure of an option is measured again.
    """

    def __init__(self, base: Base, half: Diagnosis, drafts: Mapping[str, Draft], moves: Moves | None) -> None:
        self.base, self.half, self.drafts, self.moves = base, half, drafts, moves
        c = base.c
        # What was measured with its start fitted is kept only where measures are.
        self.rows = {code: row for code, row in base.rows.items() if code in drafts or (moves and row.fitted)}
        before = base.grounds.whole
        self.ground = {zone: {**half.site, **half.zone_facts[zone]} for zone in half.zones}
        # The facts of each zone that differ, and of each option.
        self.differ = {zone: differing(before[zone], self.ground[zone]) for zone in half.zones}
        ground = frozenset[str]().union(*self.differ.values())
        self.own, self.mine = self._measured(ground)
        self.names = ground.union(*self.mine.values())
        self.judged = self._judged(
            self.names.union(*(differing(c.usual_facts[z], half.usual_facts[z]) for z in half.zones))
        )
        self._known: dict[int, tuple[Weighed, int]] = {}
        self._whole: dict[int, Weighed] = {}

    def _measured(self, ground: frozenset[str]) -> tuple[Mapping[str, Facts], Mapping[str, frozenset[str]]]:
        """The measures of each option, and the names of those that are others."""
        half, zones = self.half, self.half.zone_facts
        own, mine = {code: row.own for code, row in self.base.rows.items()}, dict[str, frozenset[str]]()
        if self.moves is None:
            rows = self.rows.values()
            again = half.measures.options([row.w.draft for row in rows], zones)
            for code, found in zip(self.rows, again, strict=True):
                if names := differing(own[code], found):
                    own[code], mine[code] = found, names
            return own, mine
        grounds = self.base.grounds
        moving = grounds.of_options(grounds.moved_by(self.moves.keys, ground))
        if moving.facts and self.rows:
            drafts, before = zip(*((row.w.draft, row.own) for row in self.rows.values()), strict=True)
            for code, found in zip(
                self.rows, half.measures.again(drafts, zones, before, moving), strict=True
            ):
                row = self.rows[code]
                names = frozenset(name for name in moving.facts if found.get(name) != row.own.get(name))
                if names:
                    own[code], mine[code] = found, names
        return own, mine

    # ---------- judged ----------
    def _judged(self, usual: frozenset[str]) -> Sets:
        """What is said of the options where some facts differ, and in the usual reading some more."""
        base, half = self.base, self.half
        told = base.told_columns.over({name: self._column(name, self.ground) for name in self.names})
        whole = {zone: {**half.usual_facts[zone], **facts} for zone, facts in self.ground.items()}
        read = base.usual_columns.over({name: self._column(name, whole) for name in usual})
        return Sets(half, told, read, base.c.without, base.judged)

    def _column(self, name: str, ground: Mapping[str, Facts]) -> Column:
        """Who holds which value of a fact."""
        column: dict[Fact, int] = {}
        of_all = {zone: facts.get(name) for zone, facts in ground.items()}
        if not name.startswith("option."):
            for zone, group in self.base.zones.items():
                if (held := of_all[zone]) is not None:
                    column[held] = column.get(held, 0) | group
            return column
        for n, (code, row) in enumerate(self.base.rows.items()):
            held = self.own[code].get(name)
            if held is None:
                held = of_all[row.zone]
            if held is not None:
                column[held] = column.get(held, 0) | 1 << n
        return column

    @cached_property
    def _here(self) -> int:
        """The options that are judged."""
        places = self.base.places
        return sum(1 << places[code] for code in self.rows)

    @cached_property
    def choice_moves(self) -> bool:
        """Whether anything moves that a choice hangs on."""
        base, half, moves = self.base, self.half, self.moves
        return (
            moves is None
            or base.bent
            or bool(self._graded | self._here & self.judged.ruled_otherwise(base.judged))
            or not self.names.isdisjoint(base.choosing)
            or moves.touch((*START_KEYS, *_READY, *_ORDER_KEYS))
            or not moves.names.isdisjoint(START_QUANTITIES)
            or any(_needs(base.c, zone) != _needs(half, zone) for zone in half.zones)
        )

    @cached_property
    def _graded(self) -> int:
        """The options whose grades, verdict or roles are others."""
        return self._here & self.judged.graded_otherwise(self.base.judged)

    @cached_property
    def _again(self) -> int:
        """The options of which anything differs that the order or the shapes of a programme read."""
        base, found = self.base, self._graded
        if self.moves is None or self.moves.touch(_READY):
            return self._here
        for name in base.placing & self.judged.told.concluded.keys():
            found |= self.judged.concluded_otherwise(base.judged, name)
        if not self.names.isdisjoint(base.placing):
            for zone, names in self.differ.items():
                found |= base.zones.get(zone, 0) if names else 0
            for code in self.mine:
                found |= 1 << base.places[code]
        return found & self._here

    @cached_property
    def _anew(self) -> Mapping[int, Weighed]:
        """These options with what the order and the shapes read, by number."""
        group, ends, base = self._again, self.judged.ends, self.base
        worst, best = grades_of(ends.worst, group), grades_of(ends.best, group)
        rules, roles = by_number(self.judged.first, group), by_number(self.judged.roles, group)
        codes = [*base.rows]
        found: dict[int, Weighed] = {}
        for n, grades in worst.items():
            code, rule = codes[n], rules[n][0]
            w = found[n] = Weighed(
                base.rows[code].w.draft,
                self._placing(n, code),
                grades=grades,
                bests=best[n],
                verdict=self.half.book.rules[rule].then.target,
                verdict_rule=rule,
                roles=frozenset(roles[n]),
            )
            w.ready, w.cost = self.half._ready(w), self.half.figure(w, "option.cost.high")
        return found

    def _placing(self, n: int, code: str) -> Facts:
        """What the order and the shapes of a programme read of an option."""
        own, ground = self.own[code], self.ground[self.base.rows[code].zone]
        found = self.judged.derived(n)
        for name in self.base.placing:
            held = own.get(name, ground.get(name))
            if held is not None and name not in found:
                found[name] = held
        return found

    def weighed(self, codes: Mapping[str, str]) -> dict[str, Weighed]:
        """Options by their own codes, each with the code of its row; those that stand as they stood are the
        same ones.
        """
        found: dict[str, Weighed] = {}
        for code, key in codes.items():
            n = self.base.places[key]
            w = found[code] = self._anew.get(n) or self.base.rows[key].w
            self._known[id(w)] = w, n
        return found

    def fitted(self, drafts: Mapping[str, Draft], short: Mapping[str, int]) -> dict[str, Weighed]:
        """Of some options whose start was fitted those that are kept. What somebody means to do on a day of
        their own was never fitted.
        """
        keys = {code: fitted_code(code, short[code]) for code in drafts if code in short}
        there = {
            code: key
            for code, key in keys.items()
            if key in self.rows and self.rows[key].w.draft == drafts[code]
        }
        return self.weighed(there)

    def whole(self, w: Weighed) -> Weighed:
        """An option with all its facts and rules as they are now, where it is one of the consultation."""
        if id(w) not in self._known:
            return w
        n = self._known[id(w)][1]
        if n not in self._whole:
            code, half, judged = [*self.base.rows][n], self.half, self.judged
            facts = {**self.ground[w.draft.zone], **self.own[code], **judged.derived(n)}
            found = dataclasses.replace(
                w,
                facts=facts,
                firings=partial(judged.told.fired_on, n),
                could=partial(judged.told.could_on, n),
                open=[],
                remote=[],
                doubts=[],
            )
            found.open, found.remote, found.doubts = half.open_of(found, judged.usual, n)
            self._whole[n] = found
        return self._whole[n]


def _needs(d: Diagnosis, zone: str) -> frozenset[str]:
    """What the rules of site and zone ask for."""
    rows = (*d.site_layer.fired.get("site", []), *d.zone_layer.fired.get(zone, []))
    return frozenset(rule.then.target for rule, _ in rows if rule.then.act == "need")
