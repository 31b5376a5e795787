"""The options of a consultation as another diagnosis judges them, each looked at only as far as what differs
reaches.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping
from functools import cached_property

from decide.decision.diagnosis import Diagnosis
from decide.decision.rank import Reading, Weighed, bound, role_facts, verdict_facts
from decide.engine.columns import judge as plain_judge
from decide.engine.language import ROLE, Fact, Subject
from decide.facts.draft import Draft
from decide.plan.fit_reads import START_KEYS, START_QUANTITIES
from decide.questions.again import Moves
from decide.questions.base import Base
from decide.questions.held import Facts, Firm, Said, Touched, differing, fitted_code, otherwise

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
        self.passed_over: set[str] = set()
        self._grounds: dict[tuple[str, frozenset[str]], Facts] = {}
        c = base.c
        # What was measured with its start fitted is kept only where measures are.
        self.rows = {code: row for code, row in base.rows.items() if code in drafts or (moves and row.fitted)}
        before = base.grounds.whole
        self.ground = {zone: {**half.site, **half.zone_facts[zone]} for zone in half.zones}
        self.told = {zone: differing(before[zone], self.ground[zone]) for zone in half.zones}
        usual = {zone: differing(c.usual_facts[zone], half.usual_facts[zone]) for zone in half.zones}
        ground = frozenset[str]().union(*self.told.values())
        self.own, self.mine = self._measured(ground)
        self.names = ground.union(*self.mine.values())
        self.moving = {
            code
            for code, row in self.rows.items()
            if base.options.others or self.told[row.zone] or usual[row.zone] or code in self.mine
        }
        reads = base.options.reads
        self.some = base.options.touched(reads & self.names)
        self.every = base.options.touched(reads & self.names.union(*usual.values()))
        self.fired, self.read = self._fired(), self._read()
        self.moved = otherwise(base.told, self.fired, self.some, self.moving) | otherwise(
            base.usual.by_rule, self.read, self.every, self.moving
        )
        self.moved |= {
            code
            for name, held in base.pending.items()
            if c.is_closed(name) != half.is_closed(name)
            for code in held
            if code in self.rows
        }
        self.moved |= self.rows.keys() if c.essential != half.essential else set()

    def _measured(self, ground: frozenset[str]) -> tuple[Mapping[str, Facts], Mapping[str, frozenset[str]]]:
        """The measures of each option, and the names of those that are others."""
        half, zones = self.half, self.half.zone_facts
        if self.moves is None:
            own = {
                code: half.measures.option(row.w.draft, zones[row.zone]) for code, row in self.rows.items()
            }
            mine = {code: differing(self.rows[code].own, own[code]) for code in own}
            return own, {code: names for code, names in mine.items() if names}
        grounds = self.base.grounds
        moving = grounds.of_options(grounds.moved_by(self.moves.keys, ground))
        if not moving.facts:
            return {code: row.own for code, row in self.rows.items()}, {}
        own, mine = {}, {}
        for code, row in self.rows.items():
            own[code] = found = half.measures.again(row.w.draft, zones[row.zone], row.own, moving)
            if found is not row.own:
                names = {name for name in moving.facts if found.get(name) != row.own.get(name)}
                if names:
                    mine[code] = frozenset(names)
        return own, mine

    @cached_property
    def choice_moves(self) -> bool:
        """Whether anything moves that a choice hangs on."""
        base, half, moves = self.base, self.half, self.moves
        return (
            moves is None
            or bool(base.options.others)
            or bool(self.moved)
            or not self.names.isdisjoint(base.choosing)
            or moves.touch((*START_KEYS, *_READY, *_ORDER_KEYS))
            or not moves.names.isdisjoint(START_QUANTITIES)
            or any(_needs(base.c, zone) != _needs(half, zone) for zone in half.zones)
        )

    def _fired(self) -> Said:
        """The rules that are judged again, by what is told."""
        return self._said(self.some, self.ground, {code: self.rows[code].derived for code in self.moving})

    def _read(self) -> Said:
        """The rules that are judged again, in the usual reading."""
        ground = {zone: {**self.half.usual_facts[zone], **facts} for zone, facts in self.ground.items()}
        return self._said(self.every, ground, self.base.usual.derived)

    def _said(
        self, touched: Touched, ground: Mapping[str, Facts], derived: Mapping[str, Mapping[str, Fact]]
    ) -> Said:
        if not touched.ids:
            return Said(self.half, touched.base, {})
        zones = {zone: touched.read({}, facts) for zone, facts in ground.items()}
        names = touched.of_options
        stands = [name not in touched.targets for name in names]
        one: dict[tuple[str, tuple[Fact | None, ...]], str] = {}
        alike: dict[str, str] = {}
        for code, row in self.rows.items():
            if code in self.moving:
                own, before = self.own[code], derived[code]
                held = tuple(
                    before[name] if stand and name in before else own.get(name)
                    for name, stand in zip(names, stands, strict=True)
                )
                alike[code] = one.setdefault((row.zone, held), code)
        facts = {
            code: zones[zone]
            | {name: fact for name, fact in zip(names, held, strict=True) if fact is not None}
            for (zone, held), code in one.items()
        }
        return Said(self.half, touched.base, facts, alike)

    # ---------- judged ----------
    def judged(self, without_part: bool) -> dict[str, Weighed]:
        """The options that are listed; those that can take no part in the programme are looked at only where
        that is asked for.
        """
        self.passed_over = set() if without_part else self._no_part()
        found = {
            code: dataclasses.replace(self.rows[code].w, roles=frozenset())
            if code in self.passed_over
            else self.rows[code].w
            for code in self.drafts
        }
        # Where the order reads none of what differs about site and zones an option without measures of its
        # own that differ stands as it stood.
        again = self.mine.keys() | self.moved
        if not self.names.isdisjoint(self.base.placing) or self._readies:
            again |= self.moving if not self._readies else self.rows.keys()
        self._again(
            {code: found[code] for code in again if code in found and code not in self.passed_over}, found
        )
        self._conclude({code: w for code, w in found.items() if code not in self.passed_over}, found)
        return found

    @property
    def _readies(self) -> bool:
        """Whether another of the dates of an option is the one that it is ready by."""
        return self.moves is None or self.moves.touch(_READY)

    def fitted(self, drafts: Mapping[str, Draft], short: Mapping[str, int]) -> dict[str, Weighed]:
        """Of some options whose start was fitted those that are kept. What somebody means to do on a day of
        their own was never fitted.
        """
        codes = {fitted_code(code, short[code]): code for code in drafts if code in short}
        there = {
            key: self.rows[key].w
            for key in codes
            if key in self.rows and self.rows[key].w.draft == drafts[codes[key]]
        }
        found = dict(there)
        self._again(there, found)
        self._conclude(dict(found), found)
        return {codes[key]: w for key, w in found.items()}

    def facts(self, code: str) -> Facts:
        """All facts of an option as they are now."""
        row, touched = self.rows[code], self.some.targets
        before = {name: held for name, held in row.derived.items() if name not in touched}
        return {**self.ground[row.zone], **self.own[code], **before, **self.fired.derived.get(code, {})}

    def with_facts(self, w: Weighed) -> Weighed:
        """An option with all its facts as they are now, where it is one of the consultation that stands as it
        stood.
        """
        code = self._codes.get(id(w))
        return (
            w if code is None or code not in self.moving else dataclasses.replace(w, facts=self.facts(code))
        )

    @cached_property
    def _codes(self) -> Mapping[int, str]:
        return {id(row.w): code for code, row in self.rows.items()}

    def _again(self, todo: Mapping[str, Weighed], found: dict[str, Weighed]) -> None:
        """Put in options with their facts as they are now, and graded again where a rule stands otherwise."""
        half = self.half
        for code in todo:
            w = found[code] = dataclasses.replace(todo[code], facts=self.facts(code))
            w.ready, w.cost = half._ready(w), half.figure(w, "option.cost.high")
            if code in self.moved:
                reading = self.base.grading[code]
                if code in self.moving:
                    w.firings, w.could = self.some.merged(self.rows[code].w, self.fired.readings.get(code))
                    reading = Reading(*self.every.merged(reading, self.read.readings.get(code)))
                bound(w, reading, half.is_closed, half.book.quiet)

    def _conclude(self, todo: Mapping[str, Weighed], found: dict[str, Weighed]) -> None:
        """Put in the verdicts and roles anew where a grade, or a fact that their rules read, is another."""
        half = self.half
        verdicts, roles = self.base.ends["option-verdict"], self.base.ends["option-role"]
        moved = {code for code in self.moved if code in todo}
        judged = todo.keys() if self.names & verdicts else moved
        ended = {code: {**self._held(code, verdicts), **self._verdict_facts(found[code])} for code in judged}
        for code, (rule, _) in _each(half, "option-verdict", verdicts, ended).items():
            verdict = half.book.rules[rule].then.target
            if (found[code].verdict, found[code].verdict_rule) != (verdict, rule):
                found[code] = self._mine(code, found)
                found[code].verdict, found[code].verdict_rule = verdict, rule
        parts_of = todo.keys() if self.names & roles else moved
        parts = {code: {**self._held(code, roles), **self._role_facts(found[code])} for code in parts_of}
        for code, (_, derived) in _each(half, "option-role", roles, parts).items():
            held = frozenset(name.removeprefix(ROLE) for name, holds in derived.items() if holds)
            if found[code].roles != held:
                found[code] = self._mine(code, found)
                found[code].roles = held

    def _verdict_facts(self, w: Weighed) -> Facts:
        """What the verdict rules read of an option; kept where its grades are."""
        same = id(w) in self.base.own and self.half.essential == self.base.c.essential
        return self.base.verdict_facts(w) if same else verdict_facts(w, self.half.essential)

    def _role_facts(self, w: Weighed) -> Facts:
        """What the rules of the programme read of an option; kept where its grades are."""
        same = id(w) in self.base.own and self.half.essential == self.base.c.essential
        return self.base.role_facts(w) if same else role_facts(w, self.half.essential)

    def _mine(self, code: str, found: Mapping[str, Weighed]) -> Weighed:
        """An option that may be written to: never that of the consultation itself."""
        w = found[code]
        return dataclasses.replace(w, facts=self.facts(code)) if w is self.rows[code].w else w

    def _held(self, code: str, reads: frozenset[str]) -> Facts:
        """Some facts of an option as they are now."""
        row, again = self.rows[code], self.fired.derived.get(code, {})
        own, found = self.own[code], dict(self._ground_of(row.zone, reads))
        for name in self.base.of_options(reads):
            held: Fact | None = again.get(name)
            if held is None and name not in self.some.targets:
                held = row.derived.get(name)
            if held is None:
                held = own.get(name)
            if held is not None:
                found[name] = held
        return found

    def _ground_of(self, zone: str, reads: frozenset[str]) -> Facts:
        """Some facts of a zone and its site."""
        if (zone, reads) not in self._grounds:
            ground = self.ground[zone]
            self._grounds[zone, reads] = {name: ground[name] for name in reads if name in ground}
        return self._grounds[zone, reads]

    # ---------- what can take no part ----------
    def _no_part(self) -> set[str]:
        """The listed options that can take no part in the programme, whatever else moves: by the rules
        against them that still stand.
        """
        half, reads = self.half, sorted(self.base.ends["option-role"])
        groups: dict[tuple[Firm, tuple[Fact | None, ...]], list[str]] = {}
        firm = self.base.firm(self.some)
        for code in self.moved & self.drafts.keys():
            sure = firm[code]
            ground, own = self.ground[self.drafts[code].zone], self.own[code]
            held = tuple(own.get(name, ground.get(name)) for name in reads)
            groups.setdefault((sure, held), []).append(code)
        subjects: list[Subject] = []
        for number, (sure, held) in enumerate(groups):
            ends, verdicts = self.base.at_best(sure, half.essential)
            known = {name: value for name, value in zip(reads, held, strict=True) if value is not None}
            subjects += [
                Subject(f"{number} {verdict}", {**known, **ends, "option.verdict": verdict})
                for verdict in verdicts
            ]
        judged = plain_judge(half.book.base, "option-role", subjects)
        targets = {rule.then.target for stratum in half.book.base.strata["option-role"] for rule in stratum}
        some = {
            name.partition(" ")[0]
            for name, derived in judged.derived.items()
            if any(derived.get(target) is not False for target in targets)
        }
        return {
            code for number, codes in enumerate(groups.values()) if str(number) not in some for code in codes
        }


def _needs(d: Diagnosis, zone: str) -> frozenset[str]:
    """What the rules of site and zone ask for."""
    rows = (*d.site_layer.fired.get("site", []), *d.zone_layer.fired.get(zone, []))
    return frozenset(rule.then.target for rule, _ in rows if rule.then.act == "need")


def _each(
    half: Diagnosis, layer: str, reads: frozenset[str], facts: Mapping[str, Mapping[str, Fact]]
) -> dict[str, tuple[str, Mapping[str, bool]]]:
    """The first rule of a layer that fires on each option, and what is concluded of it; options that its
    rules read alike are judged once.
    """
    if not facts:
        return {}
    alike: dict[tuple[Fact | None, ...], str] = {}
    stands_for = {code: alike.setdefault(tuple(map(held.get, reads)), code) for code, held in facts.items()}
    judged = plain_judge(half.book.base, layer, [Subject(code, facts[code]) for code in alike.values()])
    first = {firing.subject: firing.rule for firing in reversed(judged.firings)}
    return {code: (first.get(one, ""), judged.derived[one]) for code, one in stands_for.items()}
