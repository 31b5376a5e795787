"""Tables against rules: tasks, supplies and what is done meanwhile can all occur, usual readings can
be read.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from functools import partial
from typing import Final

from decide.engine.language import READS, Condition, FactType, Rule
from decide.engine.written import Numbers, parse_condition
from decide.knowledge.audit_proof import proved_of
from decide.knowledge.audit_rules import (
    own_number,
)
from decide.knowledge.audit_texts import ENDS, rows_of
from decide.knowledge.cells import Space
from decide.knowledge.logic import Found, conditions_of, never
from decide.knowledge.schema import AilmentRow, MeanwhileRow
from decide.knowledge.schema_care import Supply, TaskTemplate
from decide.knowledge.tables import Knowledge
from decide.model.errors import KnowledgeError, meant


def _happens(
    k: Knowledge,
    row: TaskTemplate | Supply,
    otherwise: str,
    where: str,
    given: Collection[str],
    numbers: Numbers,
    space: Space,
) -> Found:
    """A task or supply can be called for: its conditions can hold together, rules give a need of its, and a
    method has it. `otherwise` heads what is said where it cannot; `given` are the needs that rules give.
    """
    read = conditions_of(row, space.facts, numbers)
    if read is None:
        return
    named = {
        "option.remedy": row.remedies, "option.method": row.methods, "option.made-from": row.made_from,
        "option.variant": row.variants,
    }  # fmt: skip
    made_for = [space.among(fact, words) for fact, words in named.items() if words]
    if wrong := never(space, *read, made_for=made_for):
        yield KnowledgeError(f"{otherwise}: {wrong[0]}", where=where, instead=wrong[1])
    if row.needs and not any(need in given for need in row.needs):
        yield KnowledgeError(
            f"{otherwise}: no rule gives the need {row.needs[0]!r}",
            where=where,
            instead="Write the rule, or take the need out",
        )
    if "establish" in row.remedies and not any(_has(k, row, method) for method in row.methods or k.methods):
        yield KnowledgeError(
            f"{otherwise}: no method has its variants and way of being made",
            where=where,
            instead="Change methods, made-from or variants",
        )


def check_plan(k: Knowledge, rules: Sequence[Rule], numbers: Numbers, space: Space) -> Found:
    """Every task can occur: its conditions can hold together, some method and variant has it, and rules give
    what it waits for.
    """
    cautions = {rule.then.target for rule in rules if rule.then.act == "caution"}
    given = {rule.then.target for rule in rules if rule.then.act == "need"}
    for table, code, row in rows_of(k):
        where = k.where.get((table, code), "")
        for word in getattr(row, "cautions_if", ()):
            if word not in cautions:
                yield KnowledgeError(
                    f"{code}: no rule gives the caution {word!r}, so it is never shown here",
                    where=where,
                    instead="Write it under cautions, or write the rule",
                )
    for code, task in k.tasks.items():
        where = k.where.get(("task", code), "")
        otherwise = f"task {code!r} can never occur"
        happens = partial(_happens, k, task, otherwise, where, given, numbers, space)
        yield from proved_of(f"task {code!r}", where, happens)
    started = {
        (method, variant)
        for task in k.tasks.values()
        if task.starts
        for method in task.methods or k.methods
        for variant in task.variants or ("plain",)
        if _has(k, task, method)
    }
    for method, way in k.methods.items():
        for variant in way.variants if k.tasks else ():
            if (method, variant) not in started:
                yield KnowledgeError(
                    f"no task starts {method!r} in the variant {variant!r}",
                    where=k.where.get(("method", method), ""),
                    instead="Write a task with starts = true",
                )


def check_supplies(k: Knowledge, rules: Sequence[Rule], numbers: Numbers, space: Space) -> Found:
    """Every supply can be bought, what it asks ends like a sentence, and each method has something to put in
    the ground.
    """
    given, facts = {rule.then.target for rule in rules if rule.then.act == "need"}, space.facts
    for code, row in k.supplies.items():
        where = k.where.get(("supply", code), "")
        for text in (row.ask, row.ask_size, row.note, row.no_price):
            if text and not ENDS.search(text):
                yield KnowledgeError(
                    f"{code}: {text!r} does not end like a sentence",
                    where=where,
                    instead="End it with a full stop or a question mark",
                )
        if row.share is not None and (row.share not in facts or facts[row.share].unit != "percent"):
            yield KnowledgeError(
                f"{code}: share = {row.share!r} is no fact in percent",
                where=where,
                instead='Write one, as share = "zone.bare-percent"',
            )
        otherwise = f"supply {code!r} is never bought"
        happens = partial(_happens, k, row, otherwise, where, given, numbers, space)
        yield from proved_of(f"supply {code!r}", where, happens)
    for method, way in k.methods.items():
        for variant in way.variants if k.supplies else ():
            if not any(
                row.main and _has(k, row, method) and variant in (row.variants or way.variants)
                for row in k.supplies.values()
            ):
                yield KnowledgeError(
                    f"nothing is bought for {method!r} in the variant {variant!r}",
                    where=k.where.get(("method", method), ""),
                    instead="Write a supply with main = true",
                )


def check_usual(k: Knowledge, rules: Sequence[Rule], facts: Mapping[str, FactType]) -> Found:
    """Every usual reading can be read: rules about options, or what leads up to them, ask for the fact, and
    it is one that it can hold.
    """
    read = {
        name
        for rule in rules
        if rule.about in ("site", "zone", "option")
        for condition in rule.conditions
        for name in condition.facts
    }
    hung = {row.by for row in k.usual.values() if row.by}
    place = {name: n for n, name in enumerate(facts)}
    for name, row in k.usual.items():
        kind, where = facts[name], k.where.get(("usual", name), "")
        if kind.concluded:
            yield KnowledgeError(
                f"{name} is concluded by rules, so it has no usual reading",
                where=where,
                instead="Give the facts below it one",
            )
        elif name not in read and name not in hung:
            yield KnowledgeError(
                f"no rule reads {name}, so its usual reading is for nothing",
                where=where,
                instead="Take it out",
            )
        if row.quiet:
            if row.is_ is not None or row.by:
                yield KnowledgeError(
                    f"{name} is quiet and has a usual reading too", where=where, instead="Keep one of the two"
                )
            continue
        if row.by:
            by = facts[row.by]
            known = {"site": ("site",), "zone": ("site", "zone")}.get(kind.scope, ())
            if by.scope not in known or (row.by in k.usual and place[row.by] > place[name]):
                yield KnowledgeError(
                    f"{name} is read by {row.by}, which is not known before it",
                    where=where,
                    instead="Name a fact of the site, or one told before it",
                )
                continue
            for level in row.is_ if isinstance(row.is_, dict) else ():
                if by.levels and level not in by.levels:
                    yield KnowledgeError(
                        f"{name} is read by {row.by}, which is never {level!r}",
                        where=where,
                        instead=meant(level, by.levels),
                    )
        elif kind.type == "number" and not isinstance(row.is_, (str, dict)):
            held = float(row.is_ or 0)
            if (kind.low is not None and held < kind.low) or (kind.high is not None and held > kind.high):
                yield KnowledgeError(
                    f"{name} is never {held:g}",
                    where=where,
                    instead=f"It lies between {kind.low:g} and {kind.high:g} {kind.unit}"
                    if kind.low is not None and kind.high is not None
                    else "",
                )


# A part that is left alone is never spoken of.
SPOKEN: Final = "zone.decision is not left-alone"
_SPOKEN_OF: Final = {"meanwhile": "what is done meanwhile", "ailment": "what ails the turf"}


def check_meanwhile(k: Knowledge, rules: Sequence[Rule], numbers: Numbers, space: Space) -> Found:
    """Every row of what is done meanwhile and of what ails the turf can occur, and reads only what is known
    of a zone and its site.
    """
    given = {rule.then.target for rule in rules if rule.then.act == "conclude"}
    rows: list[tuple[str, str, MeanwhileRow | AilmentRow]] = [
        *(("meanwhile", code, row) for code, row in k.meanwhile.items()),
        *(("ailment", code, row) for code, row in k.ailments.items()),
    ]
    for table, code, row in rows:
        where = k.where.get((table, code), "")
        read = conditions_of(row, space.facts, numbers)
        if read is None:
            continue
        if not read[0]:
            yield KnowledgeError(
                f"{code}: has no condition, so it is always said",
                where=where,
                instead='Write when = ["fact is level"]',
            )
        said = partial(_said, space, (table, code, where), *read, given, numbers)
        yield from proved_of(code, where, said)
        for condition in (*read[0], *read[1]):
            if condition.number and not condition.value:
                yield own_number(code, condition, where)


def _said(
    space: Space, of: tuple[str, str, str], when: Sequence[Condition], unless: Sequence[Condition],
    given: Collection[str], numbers: Numbers,
) -> Found:  # fmt: skip
    facts = space.facts
    table, code, where = of
    spoken = [parse_condition(SPOKEN, facts, numbers)] if "zone.decision" in facts else []
    far = [
        name
        for condition in (*when, *unless)
        for name in condition.facts
        if facts[name].scope not in READS["zone"]
    ]
    none = [
        condition.fact
        for condition in when
        if facts[condition.fact].concluded and condition.fact not in given
    ]
    if far:
        yield KnowledgeError(
            f"{code}: reads {far[0]}, but {_SPOKEN_OF[table]} reads only {', '.join(READS['zone'])}",
            where=where,
        )
    elif none:
        yield KnowledgeError(
            f"{code}: is never said: no rule concludes {none[0]}",
            where=where,
            instead="Write a rule that concludes it",
        )
    elif wrong := never(space, when, unless, spoken):
        yield KnowledgeError(f"{code}: is never said: {wrong[0]}", where=where, instead=wrong[1])


def _has(k: Knowledge, task: TaskTemplate | Supply, method: str) -> bool:
    """Whether a task may belong to a method: by its list, by what it is made from, and by a variant that the
    method has.
    """
    way = k.methods[method]
    return (
        (not task.methods or method in task.methods)
        and (not task.made_from or way.made_from in task.made_from)
        and (not task.variants or bool(set(task.variants) & set(way.variants)))
    )
