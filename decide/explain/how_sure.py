"""How sure: does the first choice hold over every answer that is missing, over pairs of them, and over the
numbers that sources dispute?
"""

from __future__ import annotations

import copy
import itertools
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any, Final, Literal

from decide.decision.consultation import Consultation
from decide.decision.rank import Weighed
from decide.decision.rulebook import Rulebook
from decide.engine.judge import Judge
from decide.engine.language import Fact, Rule
from decide.engine.plain import standing
from decide.explain.changes import Change, change_of
from decide.explain.reasons import Level, Said, said_of
from decide.explain.runs import Runs, facts_of
from decide.explain.what_if import Stand, stand_of, stand_words
from decide.explain.why import runner_up, zone_name
from decide.facts.declared import values_read
from decide.facts.library import Library
from decide.knowledge.compile import all_numbers, bent, compile_rule
from decide.knowledge.tables import Statement
from decide.measure.numbers import NEEDED
from decide.model.errors import DecideError
from decide.model.words import capital
from decide.model.written import coded
from decide.questions.answers import as_answers
from decide.questions.open import Asked, open_questions, possible_answers
from decide.questions.sensitivity import with_plain_engine

MOST_SINGLE_RUNS: Final = 400
MOST_PAIR_RUNS: Final = 40
MOST_PAIR_KEYS: Final = 6
MOST_TIPS: Final = 5
_VALUES_IN_PAIRS: Final = 3


@dataclass(frozen=True)
class Tip:
    """What would tip a first choice: one missing answer, a pair of them, or another source's number; and what
    it would be then.

    Only the first few tips are judged in full: of the others it is known that they tip, and `zone`, `before`
    and `after` are empty.
    """

    kind: Literal["answer", "pair", "number"]
    changes: tuple[Change, ...]
    number: Said | None
    zone: str
    before: Stand | None
    after: Stand | None
    text: str


@dataclass(frozen=True)
class HowSure:
    """How far the first choices hold.

    `held` are the keys of missing answers that tip nothing whatever they are, `not_tried` those whose answers
    cannot be run through (lists of parts, places, texts). `pairs` and `pairs_run` count pairs of answers that
    tip nothing alone; `disputed` are the values of which another source's number was tried, with their keys.
    Numbers inside the growth model are not tried.
    """

    text: str
    holds: bool
    zones: tuple[Stand, ...]
    tips: tuple[Tip, ...]
    held: tuple[str, ...]
    not_tried: tuple[str, ...]
    pairs: int
    pairs_run: int
    disputed: tuple[tuple[str, str], ...]


def how_sure(
    consultation: Consultation, level: Level = 1, told: Callable[[str], None] | None = None
) -> HowSure:
    """Whether each zone's first choice and its verdict hold over what is not known and over what sources
    dispute.

    Every choice of a missing answer is run, and both ends and the middle of a declared range; then pairs of
    answers that tip nothing alone and bear on rules about the choice or its rival that could still fire;
    then, for each value that such a rule reads and that several sources give, the numbers of the others.
    `told` is given each line of the text as soon as it stands: the first at once, the others as they are
    found.
    """
    return _result(_Search(consultation, level, told))


@dataclass(frozen=True)
class _Open:
    """A missing answer with the values that stand for all."""

    asked: Asked
    key: str
    values: tuple[Any, ...]


class _Search:
    """What was found so far, and said of it."""

    def __init__(self, c: Consultation, level: Level, told: Callable[[str], None] | None = None) -> None:
        self.c, self.level, self._told = c, level, told
        self.runs = Runs(c)
        self.answers = as_answers(c.filled.situation)
        self.zones = {zone: stand_of(c, zone, decided=False) for zone in c.zones}
        self.tips: list[Tip] = []
        self.lines: list[str] = []

    def say(self, *lines: str) -> None:
        """Put lines under what was said."""
        for line in "\n".join(lines).split("\n") if lines else ():
            self.lines.append(line)
            if self._told is not None:
                self._told(line)

    def found(self, tip: Tip) -> None:
        """Keep what would tip a choice, and say it; at the first level only the first few of a kind."""
        before = sum(each.kind == tip.kind for each in self.tips)
        self.tips.append(tip)
        if not before:
            self.say(self.c.knowledge.text(_HEADS[tip.kind]))
        if self.level > 1 or before < MOST_TIPS:
            self.say(*_lines_of(tip, self.level))

    def all_found(self, kind: str) -> None:
        """Say of how many of a kind no more is said."""
        more = sum(tip.kind == kind for tip in self.tips) - MOST_TIPS
        if self.level == 1 and more > 0:
            self.say(self.c.knowledge.text("and-more", n=more))


_HEADS: Final = {"answer": "sure-one-answer", "pair": "sure-two-answers", "number": "sure-sources-differ"}


def _lines_of(tip: Tip, level: Level) -> Iterator[str]:
    """What would tip a choice, with its source and its keys as deep as is asked for."""
    yield f"- {tip.text}"
    if tip.number is not None and level > 1:
        yield f"    Source: {tip.number.text}."
    if level > 2:
        keys = ", ".join(change.key for change in tip.changes)
        yield f"    Value: {tip.number.value}[{tip.number.key}]." if tip.number else f"    Keys: {keys}."


def _result(s: _Search) -> HowSure:
    """All three searches, in words."""
    for zone, stand in s.zones.items():
        where = f"{capital(zone_name(s.c, zone))}: " if len(s.zones) > 1 else ""
        s.say(f"{where}{capital(stand_words(s.c.knowledge, stand))}.")
    open_, not_tried = _open(s)
    held: list[_Open] = []
    for each in open_:
        tipping = next(
            (
                value
                for value in each.values
                if s.runs.count < MOST_SINGLE_RUNS and s.runs.alters({each.key: value})
            ),
            None,
        )
        if tipping is None:
            held.append(each)
        else:
            _tip(s, "answer", {each.key: tipping})
    s.all_found("answer")
    pairs, pairs_run = _pairs(s, held)
    s.all_found("pair")
    disputed = tuple(_disputed(s))
    s.all_found("number")
    if not s.tips:
        s.say(s.c.knowledge.text("sure-holds"))
    s.say(*_tried(s, held, not_tried, pairs, pairs_run, disputed))
    return HowSure(
        "\n".join(s.lines), not s.tips, tuple(s.zones.values()),
        tuple(s.tips), tuple(each.key for each in held), tuple(not_tried), pairs, pairs_run, disputed,
    )  # fmt: skip


# ---------- answers ----------
def _open(s: _Search) -> tuple[list[_Open], list[str]]:
    found: list[_Open] = []
    not_tried: list[str] = []
    for asked in open_questions(s.c.knowledge, s.answers):
        key = (
            asked.key if asked.zone is None else f"zone.{coded(asked.zone)}.{asked.key.removeprefix('zone.')}"
        )
        values = tuple(possible_answers(asked, s.c.types, s.c.filled.today))
        if values:
            found.append(_Open(asked, key, values))
        else:
            not_tried.append(key)
    return found, not_tried


def _tip(s: _Search, kind: Literal["answer", "pair"], changes: dict[str, Any]) -> None:
    """Say what some answers would make of each zone that they move; only the first few are judged in full."""
    said = tuple(change_of(s.c, s.answers, key, value) for key, value in changes.items())
    what = s.c.knowledge.language.listed([change.text for change in said])
    if len(s.tips) >= MOST_TIPS:
        s.found(
            Tip(
                kind,
                said,
                None,
                "",
                None,
                None,
                s.c.knowledge.text("sure-another-choice", what=capital(what)),
            )
        )
        return
    try:
        other = s.runs.first_choices(changes)
    except DecideError:
        return
    _moved(s, kind, said, None, what, other)


def _moved(
    s: _Search,
    kind: Literal["answer", "pair", "number"],
    said: tuple[Change, ...],
    number: Said | None,
    what: str,
    other: Consultation,
) -> None:
    for zone, before in s.zones.items():
        after = stand_of(other, zone, decided=False)
        if (before.option, before.verdict, before.stopgap) != (
            after.option,
            after.verdict,
            after.stopgap,
        ):
            where = f"{zone_name(s.c, zone)}: " if len(s.zones) > 1 else ""
            s.found(
                Tip(
                    kind,
                    said,
                    number,
                    zone,
                    before,
                    after,
                    s.c.knowledge.text(
                        "sure-then", what=capital(what), then=f"{where}{stand_words(s.c.knowledge, after)}"
                    ),
                )
            )


def _pairs(s: _Search, held: Sequence[_Open]) -> tuple[int, int]:
    """Run pairs of answers that bear on what could still fire for the choice or its rival; how many there
    are, how many were run.
    """
    live = _live(s)
    bearing = [each for each in held if _gives(s, each) & live][:MOST_PAIR_KEYS]
    rows = [
        {one.key: a, two.key: b}
        for one, two in itertools.combinations(bearing, 2)
        for a, b in itertools.product(one.values[:_VALUES_IN_PAIRS], two.values[:_VALUES_IN_PAIRS])
    ]
    tipped: set[tuple[str, ...]] = set()
    for row in rows[:MOST_PAIR_RUNS]:
        if tuple(row) not in tipped and s.runs.alters(row):
            tipped.add(tuple(row))
            _tip(s, "pair", row)
    return len(rows), min(len(rows), MOST_PAIR_RUNS)


def _near(s: _Search) -> Iterator[Weighed]:
    """All that the programme of each zone names, and the option that stands next."""
    for zone, chosen in s.c.chosen.items():
        rival = runner_up(s.c, zone, chosen)
        yield from chosen.told
        if rival is not None and rival not in chosen.told:
            yield rival


def _live(s: _Search) -> set[str]:
    """The unknown facts of rules that could still fire for the choice or its rival, or for their ground."""
    rows = [
        s.c.site_layer.could.get("site", []),
        *(s.c.zone_layer.could.get(zone, []) for zone in s.zones),
        *(w.could for w in _near(s)),
    ]
    names = {name for row in rows for _, could in row for name in could.unknown}
    for w in _near(s):
        for rule, firing in w.firings:
            names |= {
                name
                for exception in rule.unless
                if exception.name in firing.open
                for condition in exception.when
                for name in condition.facts
            }
    return names


def _gives(s: _Search, each: _Open) -> set[str]:
    """The facts that become known by an answer."""
    found: set[str] = set()
    for value in each.values[:2]:
        half = s.runs.half({each.key: value})
        if half is None:
            continue
        found |= half.site.keys() - s.c.site.keys()
        for zone in s.zones:
            found |= half.zone_facts[zone].keys() - s.c.zone_facts[zone].keys()
        for w in _near(s):
            found |= half.measures.option(w.draft, half.zone_facts[w.draft.zone]).keys() - w.facts.keys()
    return found


# ---------- numbers ----------
def _disputed(s: _Search) -> Iterator[tuple[str, str]]:
    """Try the numbers of the other sources, value by value; yields what was tried."""
    k = s.c.knowledge
    for name, key in _read(s):
        row = k.values[name]
        used = row.used.get(key)
        others = [
            said
            for said in row.statements
            if said.key == key and used is not None and said.amount != used.amount
        ]
        for amount in dict.fromkeys(said.amount for said in others):
            said = next(each for each in others if each.amount == amount)
            book = with_number(s.c.book, said)
            if _could_move(s, book, name):
                other = s.runs.with_rules(book)
                number = replace(said_of(k, said, s.c.system), used=False)
                assert used is not None
                what = k.text(
                    "sure-other-number",
                    meaning=row.meaning.split(";")[0],
                    key=f" ({key.replace(chr(45), chr(32))})" if key else "",
                    new=number.amount,
                    old=s.c.knowledge.language.show(used.amount, row.unit, s.c.system),
                )
                _moved(s, "number", (), number, what, other)
        if others:
            yield name, key


def _read(s: _Search) -> list[tuple[str, str]]:
    """The values, with their keys, that a rule reads which fired or could fire for the choice, its rival or
    their ground.
    """
    found: dict[tuple[str, str], None] = {}

    def add(rules: Sequence[Rule], facts: dict[str, Fact]) -> None:
        for rule in rules:
            for condition in rule.conditions:
                key = facts.get(condition.index) if condition.index else ""
                if condition.value and isinstance(key, str):
                    found[condition.value, key] = None

    add(
        [
            rule
            for rule, _ in (
                *s.c.site_layer.fired.get("site", []),
                *s.c.site_layer.could.get("site", []),
            )
        ],
        dict(s.c.site),
    )
    for zone in s.zones:
        add(
            [
                rule
                for rule, _ in (
                    *s.c.zone_layer.fired.get(zone, []),
                    *s.c.zone_layer.could.get(zone, []),
                )
            ],
            facts_of(s.c, zone),
        )
    for w in _near(s):
        add([rule for rule, _ in (*w.firings, *w.could)], dict(w.facts))
    return sorted(found)


def _could_move(s: _Search, book: Rulebook, name: str) -> bool:
    """Whether some rule that reads a value stands otherwise to anything that was judged; always so where a
    measure reads it too.
    """
    if name in NEEDED or name in values_read(book.knowledge):
        return True
    for rule in s.c.book.base.rules:
        if not any(condition.value == name for condition in rule.conditions):
            continue
        new = book.rules[rule.id]
        if rule.about == "option":
            own = [(w.draft.zone, w.facts) for w in s.c.weighed.values()]
        else:
            own = [(zone, facts_of(s.c, zone)) for zone in s.zones]
        # What nobody told is read as usual in the order.
        subjects = [facts for zone, held in own for facts in (held, {**s.c.usual_facts[zone], **held})]
        if rule.layer == "option-role" or any(
            standing(rule, facts).fires is not standing(new, facts).fires for facts in subjects
        ):
            return True
    return False


# ---------- in words ----------
def _tried(
    s: _Search,
    held: Sequence[_Open],
    not_tried: Sequence[str],
    pairs: int,
    pairs_run: int,
    disputed: Sequence[tuple[str, str]],
) -> list[str]:
    """What was tried, and what was not."""
    k, lines = s.c.knowledge, list[str]()
    lines.append(
        k.text(
            "sure-tried",
            answers=k.text("sure-tried-answers", n=len(held)),
            pairs=k.text("sure-tried-pairs", n=pairs_run),
            numbers=k.text("sure-tried-numbers", n=len(disputed)),
        )
    )
    if pairs > pairs_run:
        lines.append(k.text("sure-pairs-left", n=pairs - pairs_run))
    if s.level > 1:
        asks = {each.key: each.asked.question.ask for each in held}
        lines += (
            [
                k.text("sure-answers-idle"),
                *(f"- {ask}" for ask in dict.fromkeys(asks.values())),
            ]
            if held
            else []
        )
        lines += (
            [k.text("sure-not-run"), *(f"- {key}" for key in not_tried)] if not_tried and s.level > 2 else []
        )
        rows_ = [s.c.knowledge.values[name].meaning.split(";")[0] for name, _ in disputed]
        lines += (
            [
                k.text("sure-numbers-tried"),
                *(f"- {meaning}" for meaning in dict.fromkeys(rows_)),
            ]
            if rows_
            else []
        )
        lines.append(k.text("sure-inside-model"))
    return lines


def with_number(book: Rulebook, said: Statement) -> Rulebook:
    """The same book, plain engine alone, with another source's number in use."""
    k, name = book.knowledge, said.value
    row = k.values[name]
    value = replace(row, used={**row.used, said.key: replace(said, used=True)})
    other = copy.copy(with_plain_engine(book))
    other.knowledge = replace(k, values={**k.values, name: value})
    numbers = all_numbers(other.knowledge)
    rows = {each.id: each for each in k.rules}
    read = {
        rule.bend_of or rule.id: rule.where
        for rule in book.base.rules
        if any(condition.value == name for condition in rule.conditions)
    }
    new = {
        rule.id: rule
        for id, where in read.items()
        for rule in bent(rows[id], compile_rule(rows[id], book.base.facts, numbers, where), book.base.facts)
    }
    strata = {
        layer: tuple(tuple(new.get(rule.id, rule) for rule in stratum) for stratum in rows_)
        for layer, rows_ in book.base.strata.items()
    }
    other.base = replace(
        book.base, rules=tuple(new.get(rule.id, rule) for rule in book.base.rules), strata=strata
    )
    other.rules = {rule.id: rule for rule in other.base.rules}
    other.judge = Judge(other.base, "plain")
    other._numbers, other._conditions, other._templates = numbers, {}, {}
    if name in NEEDED or name in values_read(book.knowledge):
        other.library, other.measured = Library(other.knowledge), None
        # the tables of places and climate rest on no such number, and are slow to read
        other.library.__dict__["tables"] = book.library.tables
    return other
