"""What is declared is read: facts, values, cautions and needs, and the answers that bring a fact."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final

from decide.engine.language import (
    ROLE,
    Rule,
    Template,
)
from decide.knowledge.audit_code import Code
from decide.knowledge.audit_texts import (
    answers_for,
    rows_of,
    texts_in,
)
from decide.knowledge.logic import Found
from decide.knowledge.tables import Knowledge
from decide.measure.numbers import NEEDED
from decide.model.errors import KnowledgeError, meant

_VALUE = re.compile(r"value:([a-z0-9][a-z0-9\-]*)")


def templates(rule: Rule) -> tuple[Template, ...]:
    """All that a rule says."""
    return (
        rule.because,
        *(exception.because for exception in rule.unless),
        *([] if rule.sound_if is None else [rule.sound_if]),
    )


def check_unread_facts(k: Knowledge, rules: Sequence[Rule], code: Code) -> Found:
    read: set[str] = {ROLE + role for role in k.roles}
    for rule in rules:
        for condition in rule.conditions:
            read.update(condition.facts)
        for template in templates(rule):
            read.update(template.facts)
    for _, _, row in rows_of(k):
        for text in texts_in(row):
            read.update(re.findall(r"(?:site|zone|option|step)\.[a-z0-9.\-]*[a-z0-9]", text))
    concluded = {rule.then.target for rule in rules if rule.then.act == "conclude"}
    for name, declared in k.facts.items():
        where = k.where.get(("fact", name), "")
        members = [f"{name}.{member}" for member in declared.members] or [name]
        # Code that measures a fact names it once; where code names it again, it reads it.
        by_code = any(code.names(each, 1 if declared.kind == "measured" else 0) for each in members)
        if not read.intersection(members) and not by_code and answers_for(k, "fact", name):
            yield KnowledgeError(
                f"fact {name!r} is declared but never read",
                where=where,
                instead="Take it out, or write the rule that reads it",
            )
        if declared.kind != "measured" and not concluded.intersection(members):
            yield KnowledgeError(
                f"fact {name!r} is derived but no rule concludes it",
                where=where,
                instead="Take it out, or write the rule",
            )
        if (
            declared.kind == "measured"
            and declared.type == "level"
            and not (declared.levels or declared.levels_of)
        ):
            uses = sorted({r.id for r in rules for c in r.conditions if c.fact in members and c.levels})
            if uses and name not in _ANY_WORD:
                yield KnowledgeError(
                    f"fact {name!r} declares no levels, so a misspelt one in rule {uses[0]!r} would not show",
                    where=where,
                    instead='Write levels = ["…"]',
                )


# Facts of open vocabularies (country and region codes), which cannot be listed.
_ANY_WORD: Final = ("site.country", "site.region")


def check_unused_values(k: Knowledge, rules: Sequence[Rule], code: Code) -> Found:
    used = set(NEEDED)
    for rule in rules:
        used.update(condition.value for condition in rule.conditions)
        for template in templates(rule):
            used.update(template.values)
    for _, _, row in rows_of(k):
        for text in texts_in(row):
            used.add(text)
            used.update(_VALUE.findall(text))
    named = [name for task in k.tasks.values() for name in task.values] + [
        name for stage in k.watering.values() for name in stage.values
    ]
    named += [name for supply in k.supplies.values() for name in supply.values]
    named += [row.shows for row in k.failure.values()]
    used.update(name.partition("[")[0] for name in named)
    for name, value in k.values.items():
        if name not in used and not code.names(name) and answers_for(k, "value", name):
            yield KnowledgeError(
                f"value {name!r} is never used",
                where=value.where,
                instead="Take it out, or write what reads it",
            )
        for statement in value.statements:
            if statement.used and statement.source == "own-rule" and not (statement.why or statement.note):
                label = f" for {statement.key!r}" if statement.key else ""
                yield KnowledgeError(
                    f"value {name!r}{label} is our own choice and does not say from what",
                    where=value.where,
                    instead='Write note = "…" beside it',
                )
    for name in sorted(NEEDED - set(k.values)):
        yield KnowledgeError(f"code reads value {name!r}, which there is not", instead=meant(name, k.values))


def check_codes(k: Knowledge, rules: Sequence[Rule], written: Code) -> Found:
    for act, table, rows in (("caution", "cautions", k.cautions), ("need", "needs", k.needs)):
        said = {rule.then.target for rule in rules if rule.then.act == act}
        if act == "caution":
            # A caution stands with a task or stage always, or where a rule gives it.
            rowed = [row for _, _, row in rows_of(k) if hasattr(row, "cautions_if")]
            said.update(word for row in rowed for word in row.cautions)
        for rule in rules:
            if rule.then.act == act and rule.then.target not in rows:
                yield KnowledgeError(
                    f"rule {rule.id!r} gives the {act} {rule.then.target!r}, which {table} do not explain",
                    where=rule.where,
                    instead=meant(rule.then.target, rows),
                )
        for code in rows:
            if code not in said and not written.names(code) and answers_for(k, table, code):
                yield KnowledgeError(
                    f"no rule gives the {act} {code!r}",
                    where=k.where.get((table, code), ""),
                    instead="Take it out, or write the rule",
                )


def check_unasked(k: Knowledge) -> Found:
    """What nobody is asked for the sake of a fact are keys of questions, and the fact is one that answers can
    bring.
    """
    questions = {question.key for question in k.questions}
    for name, row in k.facts.items():
        where = k.where.get(("fact", name), "")
        for key in row.unasked:
            if key not in questions and key.partition(".")[0] not in questions:
                yield KnowledgeError(
                    f"fact {name!r} is not asked by {key!r}, for which there is no question anyway",
                    where=where,
                    instead=meant(key, questions),
                )
        if row.unasked and row.kind != "measured":
            yield KnowledgeError(
                f"fact {name!r} is concluded by rules, so no answer brings it",
                where=where,
                instead="Take `unasked` out",
            )


def check_together(k: Knowledge) -> Found:
    """What is asked in one breath are keys of questions, each in one row, and of several it has words."""
    questions, seen = {question.key: question for question in k.questions}, dict[str, str]()
    for code, row in k.together.items():
        where = k.where.get(("group", code), "")
        for key in (*row.asks, *row.no):
            if key not in questions:
                yield KnowledgeError(
                    f"{code}: there is no question {key!r}", where=where, instead=meant(key, questions)
                )
        for key in row.asks:
            if seen.setdefault(key, code) != code:
                yield KnowledgeError(
                    f"{code}: {key!r} is asked by {seen[key]!r} already",
                    where=where,
                    instead="Take it out of one",
                )
        if len(row.asks) > 1 and not (row.ask and row.why and row.help):
            yield KnowledgeError(
                f"{code}: several things are asked, and there are no words for it",
                where=where,
                instead="Write ask, why and help",
            )
        if row.ask_parts and "{parts}" not in row.ask_parts:
            yield KnowledgeError(
                f"{code}: the text for several parts does not name them", where=where, instead="Write {parts}"
            )
