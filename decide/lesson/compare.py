"""Two situations side by side: the first rule at which they part, the facts that make it so, and where
each ends.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Final

from decide.decision.consultation import Consultation
from decide.decision.rank import Weighed
from decide.engine.language import ADVERSE, Fact, Rule
from decide.explain.reasons import Held, Teller, part_facts, part_rules, source_words, usual_firings
from decide.explain.why import title
from decide.knowledge.tables import Knowledge
from decide.lesson.chain import conclusion
from decide.lesson.make import lesson
from decide.lesson.steps import Section
from decide.model.words import capital

_MOST_SHOWN: Final = 12
_NOT: Final = 3
_LAYERS: Final[tuple[Section, ...]] = ("site", "zone", "option", "part")


@dataclass(frozen=True)
class PartingRule:
    """One rule that fires in one of the two situations only.

    `fires` says in which: 1 or 2. `conditions` are its conditions whose truth differs, in the first and in
    the second; `because` is its reason where it fires.
    """

    section: Section
    about: str
    rule: str
    fires: int
    conditions: tuple[tuple[Held, Held], ...]
    concludes: str
    because: str
    sources: tuple[str, ...]


@dataclass(frozen=True)
class Parting:
    """Two situations: the first rule where they part, the first that bears most on the choice, all that
    differ, and both choices.

    Zones are the same where they have the same name, or where each situation has one alone. Of the options
    the choices of both are compared, each with the same start where both have it, else with the best.
    """

    first: PartingRule | None
    decisive: PartingRule | None
    all: tuple[PartingRule, ...]
    choices: tuple[tuple[str, ...], tuple[str, ...]]
    knowledge: Knowledge = field(repr=False, compare=False)

    @property
    def same_choice(self) -> bool:
        """Whether both end in the same words."""
        return self.choices[0] == self.choices[1]


# The rules that fire on a subject, and its facts.
_Side = tuple[list[Rule], Mapping[str, Fact]]


@dataclass(frozen=True)
class _Pair:
    """One subject in both situations; an option may be on one list only."""

    section: Section
    about: str
    rows: tuple[_Side, _Side]


def compare(one: Consultation, two: Consultation) -> Parting:
    """Where two consultations part. Both must stand on the same knowledge."""
    both = (one, two)
    places = {
        rule.id: (stratum, place)
        for rows in one.book.base.strata.values()
        for stratum, row in enumerate(rows)
        for place, rule in enumerate(row)
    }
    found: list[tuple[tuple[int, int, int, int], PartingRule]] = []
    for at, pair in enumerate(_pairs(one, two)):
        rules = [{rule.id: rule for rule in fired} for fired, _ in pair.rows]
        for name in rules[0].keys() ^ rules[1].keys():
            where = 0 if name in rules[0] else 1
            rule, facts = rules[where][name], pair.rows[where][1]
            told = [Teller(c) for c in both]
            held = [
                (told[0].held(c, pair.rows[0][1]), told[1].held(c, pair.rows[1][1])) for c in rule.conditions
            ]
            stratum, place = places[rule.id]
            found.append(((_LAYERS.index(pair.section), stratum, at, place), PartingRule(
                pair.section, pair.about, name, where + 1,
                tuple(row for row in held if row[0].holds != row[1].holds),
                conclusion(both[where], rule, facts),
                both[where].say.fill(rule.because, facts, both[where].types),
                tuple(source_words(one.knowledge, key) for key in rule.sources),
            )))  # fmt: skip
    ordered = [row for _, row in sorted(found, key=lambda item: item[0])]
    choices = (lesson(one).choices, lesson(two).choices)
    bearing = [row for row in ordered if _bears(one, row) < _NOT] if choices[0] != choices[1] else []
    decisive = min(bearing, key=lambda row: _bears(one, row), default=None)
    return Parting(ordered[0] if ordered else None, decisive, tuple(ordered), choices, one.knowledge)


def _bears(c: Consultation, row: PartingRule) -> int:
    """How much a rule bears on the choice: it names a remedy or rules out, it speaks against or gives a
    part, it marks otherwise, or it does not.
    """
    then = c.book.rules[row.rule].then
    if then.act == "rule-out" or then.target.startswith(("zone.remedy-", "zone.left-alone")):
        return 0
    if row.section == "part":
        return 1
    return _NOT if then.act != "mark" else 1 if then.grade in ADVERSE else 2


def _pairs(one: Consultation, two: Consultation) -> Iterator[_Pair]:
    yield _Pair("site", "the site", (_ground(one, "site", "site"), _ground(two, "site", "site")))
    shared = [(code, code) for code in one.zones if code in two.zones]
    if not shared and len(one.zones) == len(two.zones) == 1:
        shared = [(next(iter(one.zones)), next(iter(two.zones)))]
    for left, right in shared:
        yield _Pair("zone", one.zones[left].name, (_ground(one, "zone", left), _ground(two, "zone", right)))
    for left, right in shared:
        for w in _unique([*one.chosen[left].named, *two.chosen[right].named]):
            mine, theirs = _like(one, left, w), _like(two, right, w)
            if mine is not None and theirs is not None:
                about = capital(title(one, w.draft))
                yield _Pair("option", about, (_graded(one, mine), _graded(two, theirs)))
                yield _Pair(
                    "part",
                    about,
                    (
                        (part_rules(one, mine), part_facts(one, mine)),
                        (part_rules(two, theirs), part_facts(two, theirs)),
                    ),
                )


def _ground(c: Consultation, layer: str, code: str) -> _Side:
    """The rules that fire on the site or a zone."""
    fired = (c.site_layer if layer == "site" else c.zone_layer).fired.get(code, [])
    return [rule for rule, _ in fired], {**c.site, **c.zone_facts.get(code, {})}


def _graded(c: Consultation, w: Weighed) -> _Side:
    """The rules that fire on an option, by what is known and by what is taken as usual."""
    return [rule for rule, _ in (*w.firings, *usual_firings(c, w))], {
        **c.usual_facts[w.draft.zone],
        **w.facts,
    }


def _way(w: Weighed) -> tuple[str, str, str, str]:
    return w.draft.remedy, w.draft.method, w.draft.plant, w.draft.variant


def _unique(rows: list[Weighed]) -> list[Weighed]:
    return list({(*_way(w), w.draft.start): w for w in reversed(rows)}.values())[::-1]


def _like(c: Consultation, zone: str, w: Weighed) -> Weighed | None:
    """The same option with the same start, else the best-ranked of its way; None where it is on no list."""
    rows = [other for other in c.ranked if other.draft.zone == zone and _way(other) == _way(w)]
    return next((other for other in rows if other.draft.start == w.draft.start), rows[0] if rows else None)


# ---------- text ----------
def _parted_lines(k: Knowledge, row: PartingRule, names: tuple[str, str]) -> list[str]:
    """A rule at which two situations part, in lines."""
    head = k.text("lesson-parts-at", about=capital(row.about), rule=row.rule, where=names[row.fires - 1])
    lines: list[str] = []
    for one, two in row.conditions:
        lines += [
            f"{names[0]}: {one.now}",
            f"{names[1]}: {two.now}",
            k.text("lesson-asks-for", wanted=one.wanted),
        ]
    if not row.conditions:
        lines.append(k.text("lesson-number-of-its-own"))
    lines += [
        k.text("lesson-so", concludes=row.concludes),
        k.text("lesson-why", because=row.because),
        *(k.text("lesson-source", source=source) for source in row.sources),
    ]
    return [f"  {head}", *(f"    {line}" for line in lines)]


def parting_lines(parting: Parting, names: tuple[str, str]) -> Iterator[str]:
    """A comparison of two situations in lines; `names` are what the two are called."""
    k = parting.knowledge
    if parting.first is None:
        yield k.text("lesson-same-way")
    else:
        yield k.text("lesson-part-first")
        yield from _parted_lines(k, parting.first, names)
        if parting.decisive is not None and parting.decisive != parting.first:
            yield k.text("lesson-bears-most")
            yield from _parted_lines(k, parting.decisive, names)
    yield k.text("lesson-end-in")
    for name, choices in zip(names, parting.choices, strict=True):
        yield from (f"  {name}: {choice}" for choice in choices)
    rest = [row for row in parting.all if row not in (parting.first, parting.decisive)]
    if rest:
        yield k.text("lesson-other-rules")
        yield from (
            f"  {capital(row.about)}: {row.rule} ({names[row.fires - 1]}): {row.concludes}"
            for row in rest[:_MOST_SHOWN]
        )
        if len(rest) > _MOST_SHOWN:
            yield f"  {k.text('lesson-and-more', n=len(rest) - _MOST_SHOWN)}"
