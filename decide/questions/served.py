"""Whether what is asked serves: facts that rules read and no question brings, keys that nothing reads, and
questions whose answer moves nothing.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from typing import Final

from pydantic import BaseModel

from decide.engine.base import RuleBase
from decide.engine.language import Rule
from decide.engine.plain import truth
from decide.facts.declare import touches
from decide.facts.declared import DECLARED, brought_by
from decide.knowledge.audit_code import Code
from decide.knowledge.audit_texts import answers_for, rows_of, texts_in
from decide.knowledge.audit_values import templates
from decide.knowledge.compile import SITE_TABLES
from decide.knowledge.finding import Finding, Findings, listed
from decide.knowledge.tables import Knowledge
from decide.model.situation import Situation, Zone
from decide.model.work import Proposal

_FACT = re.compile(r"(?:site|sign|zone|option|step)\.[a-z0-9.\-]*[a-z0-9]")
# What is always there, told or not.
_ALWAYS: Final = frozenset({"today"})


def unserved(k: Knowledge, base: RuleBase, code: Code) -> Findings:
    """All that is asked or told for nothing, and what rules read that nobody is asked."""
    yield from _unaskable(k, base)
    yield from _unread(k, base, code)
    yield from _never_wanted(k, base)


def _unaskable(k: Knowledge, base: RuleBase) -> Findings:
    """Facts that answers alone can bring, and no question asks for."""
    read: dict[str, list[str]] = {}
    for rule in base.rules:
        for name in {name for c in rule.conditions for name in c.facts}:
            read.setdefault(name, []).append(rule.id)
    for name in sorted(read):
        missing = _comes_of(k, base, name)
        if missing and not _is_brought(k, base, name):
            ids = sorted(set(read[name]))
            more = f" and {len(ids) - 1} more" if len(ids) > 1 else ""
            yield Finding(
                "unaskable",
                name,
                f"no question brings {name}, which rule {ids[0]!r}{more} reads",
                proof=f"it comes of {missing} alone",
                where=base.rule(ids[0]).where,
                instead=f"Write a question for {missing}",
            )


def _comes_of(k: Knowledge, base: RuleBase, name: str) -> str:
    """The keys whose answers bring a fact; "" where rules conclude it, or it is known without an answer."""
    kind = base.facts[name]
    if kind.concluded or kind.kind == "told":
        return "" if kind.concluded else kind.told
    return ", ".join(sorted(DECLARED.brings(name if name in k.facts else name.rpartition(".")[0]) - _ALWAYS))


def _is_brought(k: Knowledge, base: RuleBase, name: str) -> bool:
    """Whether some question brings a fact that answers bring."""
    kind, asked = base.facts[name], {question.key for question in k.questions}
    if kind.kind != "told":
        return bool(brought_by(k, [name])[name])
    table, _, key = kind.told.rpartition(".")
    # What completes a key may bring what nobody was asked: the country of a town. Which parts there are does
    # not tell what each is like.
    return bool({kind.told, *({table} - {"zone"})} & asked) or _is_asked(DECLARED.brings(key), asked)


def _never_wanted(k: Knowledge, base: RuleBase) -> Findings:
    """What a verdict would rest on by a rule that no missing answer leaves open: it is never said."""
    for rule in base.rules:
        if rule.sound_if is None or rule.bend_of or rule.about != "option":
            continue
        known = {name for name in _grounds(base, rule, frozenset()) if _comes_of(k, base, name)}
        if any(_is_brought(k, base, name) for name in known) or _is_usual(base, rule, known):
            continue
        yield Finding(
            "unsaid",
            f"{rule.id} sound-if",
            f"rule {rule.id!r}: {rule.sound_if.text!r} is never said: no question can make the rule speak",
            proof=f"no question brings {listed(sorted(known)) or 'what it reads'}",
            where=rule.where,
            instead="Take `sound-if` out, or write a question",
        )


def _grounds(base: RuleBase, rule: Rule, seen: frozenset[str]) -> Iterator[str]:
    """The facts that a rule rests on in the end."""
    for name in {name for c in rule.conditions for name in c.facts}:
        if not base.facts[name].concluded:
            yield name
        elif name not in seen:
            for giver in base.rules:
                if giver.then.act == "conclude" and giver.then.target == name:
                    yield from _grounds(base, giver, seen | {name})


def _is_usual(base: RuleBase, rule: Rule, names: Iterable[str]) -> bool:
    """Whether a rule can speak where some facts are as usual: then its verdict names it."""
    for name in names:
        usual = base.facts[name].usual
        readings = [*usual.values()] if isinstance(usual, Mapping) else [] if usual is None else [usual]
        own = [c for c in rule.conditions if c.fact == name and not c.index]
        if any(all(truth(c, {name: reading}) for c in own) for reading in readings):
            return True
    return False


def _is_asked(keys: Iterable[str], asked: Iterable[str]) -> bool:
    held = {*asked}
    return any(touches(held, key) or any(each.partition(".")[0] == key for each in held) for key in keys)


def told_keys() -> Iterator[tuple[str, str]]:
    """The keys that a situation tells, each with the name of its field."""
    tables: Mapping[str, type[BaseModel]] = {**SITE_TABLES, "zone": Zone, "proposal": Proposal}
    for table, model in tables.items():
        for name in model.model_fields:
            yield f"{table}.{name}", name
    for name in Situation.model_fields:
        if name not in tables:
            yield name, name


def _unread(k: Knowledge, base: RuleBase, code: Code) -> Findings:
    """Keys that neither a rule nor a table, a text or code reads, and questions that ask for them."""
    facts = {name for rule in base.rules for c in rule.conditions for name in c.facts}
    facts |= {name for rule in base.rules for template in templates(rule) for name in template.facts}
    for _, _, row in rows_of(k):
        for text in texts_in(row):
            facts.update(_FACT.findall(text))
    told = {base.facts[name].told for name in facts if name in base.facts}
    measured = {key for row in DECLARED.rows for key in (*row.keys, *row.also)}
    unread: set[str] = set()
    for key, name in told_keys():
        if key in told or touches(measured, key) or name in code.judged:
            continue
        unread.add(key)
        yield Finding(
            "key-unread",
            key,
            f"nothing reads the key {key}",
            proof="no rule, table, text, measure or plan names it",
            where="situation",
            instead="Take it out, or write what reads it",
        )
    for question in k.questions:
        if question.key in unread and answers_for(k, "question", question.id or question.key):
            yield Finding(
                "question-idle",
                question.key,
                f"the answer to {question.key} moves nothing",
                proof=f"nothing reads the key {question.key}",
                where=k.where.get(("question", question.id or question.key), ""),
                instead="Take the question out, or write what reads its answer",
            )
