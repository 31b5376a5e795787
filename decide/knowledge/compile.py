"""Knowledge → rule base: told facts from the situation's own fields, declared facts, and every rule parsed
and checked.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Annotated, Any, Final, Literal, Union, get_args, get_origin

from pydantic import BaseModel

from decide.engine.base import RuleBase, build
from decide.engine.language import (
    CRITERIA,
    READS,
    Act,
    Conclusion,
    Condition,
    FactType,
    Rule,
    Unless,
    rounded,
)
from decide.engine.written import Numbers, parse_condition, parse_template
from decide.knowledge.schema import FactRow, RuleRow
from decide.knowledge.tables import Knowledge
from decide.model.errors import KnowledgeError, meant
from decide.model.situation import Dates, Ground, Limits, Means, Now, Place, Site, Zone
from decide.model.units import convert, is_unit
from decide.model.work import History, Proposal
from decide.model.written import Of, coded

_ENDS_OF_RANGE: Final = 2

SITE_TABLES: Final[Mapping[str, type[BaseModel]]] = {
    "place": Place, "dates": Dates, "site": Site, "field": Ground, "now": Now, "history": History,
    "means": Means, "limits": Limits,
}  # fmt: skip
_SUFFIXES: Final[Mapping[str, str]] = {
    "percent": "percent", "mm": "mm", "m2": "m2", "m": "m", "c": "C", "hours": "hour", "l-min": "l/min",
    "days": "day", "hours-day": "hour", "g-m2": "g/m2", "ph": "pH", "week": "h/week", "weeks": "week",
    "per-m2": "count/m2", "ds-m": "dS/m",
}  # fmt: skip
_COUNTS: Final = ("helpers", "wettings-weekday", "wettings-weekend", "mowings")
# Told keys that code turns into measured facts of another name, and rules never read as they stand.
_NOT_FACTS: Final = (
    "water_salt_ds_m",
    "water_drop",
    "water_litres_day",
    "games_per_week",
    "play_hours_week",
    "unbooked_hours_week",
    "can_close_weeks",
    "zone.soil",
    "zone.drainage",
    "zone.water_stands_hours",
    "water_days",
    "name",
    "today",
    "play_by",
    "no_play",
    "no_work",
    "monthly_mean_c",
    "monthly_rain_mm",
    "grass",
    "zone",
    "start",
    "kind",
    "mixture",
    "method",
    "step",
)


def _inner(annotation: Any) -> tuple[Any, bool]:
    """The plain type of a field without None and Annotated, and whether it is a list of that type."""
    if get_origin(annotation) is Annotated:
        return _inner(get_args(annotation)[0])
    if get_origin(annotation) in (Union, type(int | None)):
        return _inner(next(a for a in get_args(annotation) if a is not type(None)))
    if get_origin(annotation) is list:
        return _inner(get_args(annotation)[0])[0], True
    return annotation, False


def _unit(name: str) -> str:
    if name in _COUNTS:
        return "count"
    if name in ("budget", "wage-per-hour"):
        return "money"
    longest = ("hours-day", "l-min", "g-m2", "per-m2", "ds-m")
    for suffix in (*longest, *(s for s in _SUFFIXES if s not in longest)):
        if name == suffix or name.endswith(f"-{suffix}"):
            return _SUFFIXES[suffix]
    if name.startswith("weeks-"):
        return "week"
    return "degree" if name in ("latitude", "longitude") else "count"


def _bounds(field: Any) -> tuple[float | None, float | None, float | None]:
    low = next((m.ge for m in field.metadata if hasattr(m, "ge")), None)
    high = next((m.le for m in field.metadata if hasattr(m, "le")), None)
    extra = field.json_schema_extra if isinstance(field.json_schema_extra, dict) else {}
    step = extra.get("step")
    return low, high, float(step) if isinstance(step, (int, float)) else None


def _told(knowledge: Knowledge, scope: str, path: str, model: type[BaseModel]) -> Iterator[FactType]:
    for key, field in model.model_fields.items():
        if key in _NOT_FACTS or f"{path}.{key}" in _NOT_FACTS:
            continue
        plain, listed = _inner(field.annotation)
        name = f"{scope}.{key.replace('_', '-')}"
        told = f"{path}.{key}"
        about = knowledge.language.key(told) or field.description or key
        of = Of.mark(field)
        if of is not None or get_origin(plain) is Literal:
            levels = (
                tuple(getattr(knowledge, of.table))
                if of is not None
                else tuple(coded(str(level)) for level in get_args(plain))
            )
            if listed:
                for level in levels:
                    yield FactType(f"{name}.{level}", "told", "true", f"{about}: {level}", told=told)
            else:
                yield FactType(name, "told", "level", about, levels=levels, told=told)
        elif plain is bool:
            yield FactType(name, "told", "true", about, told=told)
        elif plain in (float, int) and not listed:
            low, high, step = _bounds(field)
            yield FactType(
                name,
                "told",
                "number",
                about,
                unit=_unit(key.replace("_", "-")),
                low=low,
                high=high,
                step=step,
                told=told,
            )
        elif plain is str and not listed:
            yield FactType(name, "told", "level", about, told=told)


def told_facts(knowledge: Knowledge) -> Iterator[FactType]:
    """The facts that the situation's own fields give."""
    for path, model in SITE_TABLES.items():
        yield from _told(knowledge, "site", path, model)
    yield from _told(knowledge, "zone", "zone", Zone)
    yield from _told(knowledge, "step", "proposal", Proposal)


def _declared(knowledge: Knowledge, name: str, row: FactRow, where: str) -> Iterator[FactType]:
    if row.type == "number":
        if not is_unit(row.unit):
            raise KnowledgeError(f"fact {name!r} has unit {row.unit!r}, which is not a unit", where=where)
        if row.range and (len(row.range) != _ENDS_OF_RANGE or row.range[0] > row.range[1]):
            raise KnowledgeError(
                f"fact {name!r} has a reversed range", where=where, instead="Write range = [low, high]"
            )
    elif row.unit or row.range:
        raise KnowledgeError(f"fact {name!r} is no number but has a unit or a range", where=where)
    if row.kind in ("derived", "diagnosis") and row.type != "true":
        raise KnowledgeError(
            f"fact {name!r} is concluded, so it can only be true", where=where, instead='Write type = "true"'
        )
    low, high = (float(row.range[0]), float(row.range[1])) if row.range else (None, None)
    step = None if row.step is None else float(row.step)
    levels = (*(code for table in row.levels_of for code in getattr(knowledge, table)), *row.levels)
    for full in [f"{name}.{member}" for member in row.members] or [name]:
        yield FactType(full, row.kind, row.type, row.meaning, row.unit, levels, low, high, step)


def all_facts(knowledge: Knowledge) -> dict[str, FactType]:
    """Every fact by name: told ones from the situation's fields, the others as declared."""
    facts = {fact.name: fact for fact in told_facts(knowledge)}
    for name, row in knowledge.facts.items():
        where = knowledge.where.get(("fact", name), "")
        if name.partition(".")[0] not in READS:
            raise KnowledgeError(
                f"fact {name!r} is of no scope",
                where=where,
                instead="Write site., zone., option. or step. before it",
            )
        for fact in _declared(knowledge, name, row, where):
            if fact.name in facts:
                raise KnowledgeError(
                    f"fact {fact.name!r} is told in the situation, or declared twice",
                    where=where,
                    instead="Take it out",
                )
            facts[fact.name] = fact
    _with_usual(facts, knowledge)
    return facts


def all_numbers(knowledge: Knowledge) -> Numbers:
    """The numbers in use, by value name."""
    return Numbers(
        units={name: value.unit for name, value in knowledge.values.items()},
        single={name: value.used[""].amount for name, value in knowledge.values.items() if not value.by},
        tables={
            name: {key: s.amount for key, s in value.used.items()}
            for name, value in knowledge.values.items()
            if value.by
        },
    )


def _conclusion(row: RuleRow, where: str) -> Conclusion:
    then = dict(row.then)
    grade = then.pop("grade", "")
    if len(then) != 1:
        raise KnowledgeError(
            f"rule {row.id!r} says {len(then)} things", where=where, instead="One conclusion a rule; split it"
        )
    (act, target), *_ = then.items()
    acts = get_args(Act)
    if act not in acts:
        raise KnowledgeError(
            f"rule {row.id!r}: {act!r} is not a conclusion", where=where, instead=meant(act, acts)
        )
    if grade and act != "mark":
        raise KnowledgeError(f"rule {row.id!r}: only a mark has a grade", where=where)
    if act in ("mark", "rule-out"):
        spoken = coded(target)
        if spoken in CRITERIA:
            target = spoken
    return Conclusion(act, target, grade)  # type: ignore[arg-type]  # acts by the keys of a row


def compile_rule(row: RuleRow, facts: Mapping[str, FactType], numbers: Numbers, where: str = "") -> Rule:
    """The rule that a row writes, with every condition and text parsed."""
    reads = READS[row.about]
    try:
        return Rule(
            id=row.id,
            about=row.about,
            when=tuple(parse_condition(text, facts, numbers) for text in row.when),
            then=_conclusion(row, where),
            because=parse_template(row.because, facts, numbers, reads),
            sources=row.sources,
            unless=tuple(
                Unless(
                    exception.name,
                    tuple(parse_condition(text, facts, numbers) for text in exception.when),
                    parse_template(exception.because, facts, numbers, reads),
                )
                for exception in row.unless
            ),
            where=where,
            subject=re.sub(r"^rules/|\.toml:\d+$", "", where),
            sound_if=parse_template(row.sound_if, facts, numbers, reads) if row.sound_if else None,
        )
    except KnowledgeError as error:
        if error.where:
            raise
        raise KnowledgeError(f"rule {row.id!r}: {error.wrong}", where=where, instead=error.instead) from None


# The grades of a stretch, from the limit outwards, by what the rule itself says.
_BENDS: Final[Mapping[str, tuple[str, ...]]] = {
    "rule-out": ("weak", "doubtful"),
    "weak": ("doubtful", "fair"),
    "poor": ("weak", "doubtful"),
    "doubtful": ("fair",),
}
_NEAR: Final = " It is close to the limit."
_FURTHER: Final[Mapping[str, int]] = {"<": 1, "<=": 1, ">": -1, ">=": -1}
_OTHER_SIDE: Final[Mapping[str, str]] = {"<": ">=", "<=": ">", ">": "<=", ">=": "<"}


def _moved(condition: Condition, by: float, op: str | None = None) -> Condition:
    """A comparison with its limit moved by so much in the fact's unit, and another operator where one is
    given.
    """
    if by == 0 and op is None:
        return condition
    said = condition.text if op is None else condition.text.replace(f" {condition.op} ", f" {op} ", 1)
    text = said if by == 0 else f"{said} {'+' if by > 0 else '-'} {abs(by):g}"
    number = None if condition.number is None else rounded(condition.number + by)
    return replace(
        condition,
        op=op or condition.op,  # type: ignore[arg-type]  # an operator of the language
        text=text,
        number=number,
        table={key: rounded(limit + by) for key, limit in condition.table.items()},
    )


def bent(row: RuleRow, rule: Rule, facts: Mapping[str, FactType]) -> list[Rule]:
    """A rule with the softer ones of the stretch before its limit: of equal widths, the gravest next to the
    limit.
    """
    if row.bends is None:
        return [rule]
    grades = _BENDS.get("rule-out" if rule.then.act == "rule-out" else rule.then.grade, ())
    if rule.unless:
        grades = tuple(grade for grade in grades if grade != "fair")
    at = [n for n, c in enumerate(rule.when) if c.fact == row.bends.fact and c.op in _FURTHER]
    amount = re.fullmatch(r"(\d+(?:\.\d+)?) (\S+)", row.bends.by)
    if len(at) != 1 or not grades or amount is None:
        unit = facts[row.bends.fact].unit if row.bends.fact in facts else "day"
        raise KnowledgeError(
            f"rule {row.id!r}: its stretch does not fit",
            where=rule.where,
            instead=(
                f"`bends` stands on a rule-out or a mark below fair with one limit of {row.bends.fact}, as "
                f'{{ fact = "{row.bends.fact}", by = "3 {unit}" }}'
            ),
        )
    limit = rule.when[at[0]]
    if amount[2] != facts[limit.fact].unit and not is_unit(amount[2]):
        raise KnowledgeError(
            f"rule {row.id!r}: {amount[2]!r} is not a unit",
            where=rule.where,
            instead=f'Write by = "3 {facts[limit.fact].unit}"',
        )
    whole = (
        float(amount[1])
        if amount[2] == facts[limit.fact].unit
        else convert(float(amount[1]), amount[2], facts[limit.fact].unit)
    )
    if row.bends.beyond:
        limit = _moved(limit, -whole * _FURTHER[limit.op])
        rule = replace(rule, when=(*rule.when[: at[0]], limit, *rule.when[at[0] + 1 :]))
    width = whole / len(grades) * _FURTHER[limit.op]
    made: list[Rule] = [rule]
    for n, grade in enumerate(grades):
        inside, outside = _moved(limit, width * n, _OTHER_SIDE[limit.op]), _moved(limit, width * (n + 1))
        when = (*rule.when[: at[0]], outside, inside, *rule.when[at[0] + 1 :])
        because = replace(rule.because, text=rule.because.text + _NEAR, parts=(*rule.because.parts, _NEAR))
        then = Conclusion("mark", rule.then.target, grade)
        made.append(
            replace(
                rule,
                id=f"{rule.id}--{grade}",
                when=when,
                then=then,
                because=because,
                bend_of=rule.id,
                sound_if=rule.sound_if if grade == "weak" else None,
            )
        )
    return made


def compile_rules(knowledge: Knowledge) -> RuleBase:
    """The rule base of `knowledge`; KnowledgeError names the first rule that is wrong."""
    if knowledge.compiled is not None:
        return knowledge.compiled
    facts, numbers = all_facts(knowledge), all_numbers(knowledge)
    rules: list[Rule] = []
    for row in knowledge.rules:
        rule = compile_rule(row, facts, numbers, knowledge.where.get(("rule", row.id), ""))
        rules += bent(row, rule, facts)
    return build(rules, facts)


def _with_usual(facts: dict[str, FactType], knowledge: Knowledge) -> None:
    """Put in how the order reads facts that nobody told; KnowledgeError where the reading is none of the
    fact's.
    """
    for name, row in knowledge.usual.items():
        where = knowledge.where.get(("usual", name), "")
        if name not in facts:
            raise KnowledgeError(f"there is no fact {name!r}", where=where, instead=meant(name, facts))
        kind, held = facts[name], row.is_
        if row.quiet:
            facts[name] = replace(kind, quiet=True)
            continue
        readings = list(held.values()) if isinstance(held, dict) else [held]
        if isinstance(held, dict) != bool(row.by) or (row.by and row.by not in facts):
            raise KnowledgeError(
                f"{name} is read by the level of {row.by or 'nothing'!r}",
                where=where,
                instead='Write by = "site.climate" and is = { level = reading, … }, or one reading',
            )
        wrong = [each for each in readings if not _can_hold(kind, each)]
        if wrong:
            held = ", ".join(kind.levels) or f"a number in {kind.unit}"
            raise KnowledgeError(
                f"{name} is never {wrong[0]!r}",
                where=where,
                instead=f"Write {'true or false' if kind.type == 'true' else held}",
            )
        facts[name] = replace(
            kind,
            usual={
                level: rounded(float(each)) if isinstance(each, (int, float)) else each
                for level, each in held.items()
            }
            if isinstance(held, dict)
            else held
            if isinstance(held, (bool, str))
            else rounded(float(held or 0)),
            usual_by=row.by,
        )


def _can_hold(kind: FactType, held: object) -> bool:
    if kind.type == "true":
        return isinstance(held, bool)
    if kind.type == "level":
        return isinstance(held, str) and held in (kind.levels or (held,))
    return isinstance(held, (int, float)) and not isinstance(held, bool)
