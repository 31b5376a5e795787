"""What is known of facts together, made into the space in which rules are proved; and what must be reached
in it: every verdict, and a word for and against each grass by each method.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from functools import partial
from types import MappingProxyType
from typing import Final

from decide.engine.language import CRITERIA, SOFT, VERDICTS, Condition, FactType, Rule
from decide.knowledge.audit_proof import Proofs, proved_of
from decide.knowledge.cells import Column, Formula, In, Order, Space
from decide.knowledge.finding import Finding, Findings, example_in_words
from decide.knowledge.logic import Found
from decide.knowledge.proof import model, possible
from decide.knowledge.schema_audit import MarkedRow
from decide.knowledge.tables import Knowledge
from decide.model.errors import KnowledgeError, meant

# What an option is told by before anything is judged of it.
_GRASS: Final = ("option.grass", "option.lead-grass")
_METHOD: Final = ("option.method", "option.method-open")


def check_relations(k: Knowledge, facts: Mapping[str, FactType]) -> Found:
    """What the audit is told of facts names such as there are."""
    for table, rows in (
        ("column", k.columns),
        ("rising", k.rising),
        ("apart", k.apart),
        ("marked", k.marked),
    ):
        for code, row in rows.items():
            where = k.where.get((table, code), "audit.toml")
            named = [*getattr(row, "facts", ())] or [code, *filter(None, [getattr(row, "by", "")])]
            for name in named[:1] if table == "marked" else named:
                kind = facts.get(name)
                if kind is None:
                    yield KnowledgeError(
                        f"{code}: there is no fact {name!r}", where=where, instead=meant(name, facts)
                    )
                elif table == "rising" and kind.type != "number":
                    yield KnowledgeError(f"{code}: {name} is no number", where=where)
                elif table == "apart" and not kind.concluded:
                    yield KnowledgeError(f"{code}: no rule concludes {name}", where=where)
                elif table == "marked":
                    for level in k.marked[code].levels:
                        if level not in kind.levels:
                            yield KnowledgeError(
                                f"{code} is never {level!r}", where=where, instead=meant(level, kind.levels)
                            )
    for code, row in k.marked.items():
        for criterion in row.criteria:
            if criterion not in CRITERIA:
                yield KnowledgeError(
                    f"{code}: {criterion!r} is not a criterion",
                    where=k.where.get(("marked", code), "audit.toml"),
                    instead=meant(criterion, CRITERIA),
                )


def columns(k: Knowledge) -> Iterator[Column]:
    """Facts that rows of the tables give."""
    for code, row in k.columns.items():
        rows: dict[str, str] = {}
        for table in row.tables:
            for name, held in getattr(k, table).items():
                rows[name] = str(getattr(held, row.column.replace("-", "_"), name))
        yield Column(code, row.by, rows)


def orders(k: Knowledge) -> Iterator[Order]:
    """Numbers of which none is more than the next."""
    for row in k.rising.values():
        yield Order(row.facts)


def space_of(
    k: Knowledge,
    rules: Sequence[Rule],
    facts: Mapping[str, FactType],
    never: Mapping[str, Collection[str]] = MappingProxyType({}),
    more: Iterable[Condition] = (),
) -> Space:
    """The space of some rules; `never` are levels that a fact never has, `more` conditions of other rows."""
    return Space(rules, facts, [*columns(k)], [*orders(k)], never, more)


def _brings(rule: Rule, fact: str, row: MarkedRow) -> bool:
    """Whether a rule brings about a fact's level that stands for rules that fired."""
    if rule.about != fact.partition(".")[0]:
        return False
    if row.by == "rule-out":
        return rule.then.act == "rule-out"
    return rule.adverse and (not row.criteria or rule.then.target in row.criteria)


def check_reached(
    k: Knowledge, rules: Sequence[Rule], facts: Mapping[str, FactType], dead: Iterable[str]
) -> Found:
    """Verdicts that no option or step can have, since nothing brings about what they ask for."""
    live = [rule for rule in rules if rule.id not in set(dead)]
    never = {
        code: row.levels
        for code, row in k.marked.items()
        if not any(_brings(rule, code, row) for rule in live)
    }
    if not never:
        return
    space = space_of(k, rules, facts, never)
    for about, verdicts in VERDICTS.items():
        deciding = [rule for rule in live if rule.about == about and rule.then.act == "verdict"]
        for verdict in verdicts:
            asked = [rule for rule in deciding if rule.then.target == verdict]
            if asked:
                yield from proved_of(
                    f"{about} {verdict}",
                    asked[0].where,
                    partial(_reached, space, about, asked, never),
                )


def _reached(space: Space, about: str, asked: Sequence[Rule], never: Mapping[str, Sequence[str]]) -> Findings:
    if any(possible(space, [space.fires(rule)]) for rule in asked):
        return
    verdict = asked[0].then.target
    lacking = [name for name in never if any(c.fact == name for r in asked for c in r.when)]
    yield Finding(
        "verdict-unreached",
        f"{about} {verdict}",
        f"nothing about {about} is ever {verdict!r}",
        proof=f"no rule that can fire brings about that {lacking[0]} is {' or '.join(never[lacking[0]])}",
        where=asked[0].where,
        instead="Write a rule that does, or take the verdict's rule out",
    )


def check_pairs(k: Knowledge, proofs: Proofs) -> Found:
    """Grasses by methods that no rule speaks for, or none against, by what they are."""
    space = proofs.space
    mine: set[str] = {name for name in (*_GRASS, *_METHOD) if name in space.full}
    if not {"option.grass", "option.method"} <= mine:
        return
    mine |= {code for code, row in k.columns.items() if row.by in mine}
    marks = [
        rule
        for rule in proofs.rules
        if rule.about == "option"
        and rule.then.act in ("mark", "rule-out")
        and rule.id not in proofs.dead
        and any(name in mine for c in rule.when for name in c.facts)
    ]
    sides = {
        "for": [rule for rule in marks if rule.then.grade in SOFT[1:]],
        "against": [rule for rule in marks if rule.adverse],
    }
    for plant in (*k.grasses, *k.mixtures):
        lead = k.grasses.get(plant) or k.grasses[k.mixtures[plant].stands_as]
        for method in k.methods if lead.made_by else ():
            had = method in lead.made_by
            held = [
                level(space, "option.grass", plant),
                level(space, "option.method", method),
                *(
                    [level(space, "option.method-open", "yes" if had else "no")]
                    if "option.method-open" in mine
                    else ()
                ),
            ]
            for side, rules in sides.items():
                if side == "against" or had:
                    where = k.where.get(("grasses" if plant in k.grasses else "mixtures", plant), "")
                    yield from proved_of(
                        f"{plant} {method}",
                        where,
                        partial(_unjudged, space, (plant, method, side), held, rules, where),
                    )


def _unjudged(
    space: Space, of: tuple[str, str, str], held: Sequence[Formula], rules: Iterable[Rule], where: str
) -> Findings:
    if any(possible(space, [*held, space.fires(rule)]) for rule in rules):
        return
    plant, method, side = of
    yield Finding(
        "pair-unjudged",
        f"{plant} {method}",
        f"no rule that reads its grass or method can speak {side} {plant} by {method}",
        proof=f"none fires where {example_in_words(model(space, held) or {}, space.facts)}",
        where=where,
        instead="Write a rule about its grass or its method",
    )


def level(space: Space, fact: str, word: str) -> Formula:
    """The formula of a fact that has one level."""
    return In(fact, space.cell(fact, word))
