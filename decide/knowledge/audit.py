"""Static checks that need the whole knowledge: what no rule can reach, what nobody reads, and what contradicts."""

from __future__ import annotations

import ast
import re
import sys
import tomllib
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import product
from pathlib import Path
from typing import Any, Final

from pydantic import BaseModel

from decide.engine.base import build, check_rule
from decide.engine.language import (
    CRITERIA,
    PLACES,
    READS,
    ROLE,
    SCOPES,
    VERDICTS,
    Condition,
    FactType,
    Rule,
    Template,
)
from decide.engine.written import Numbers, parse_condition, parse_template
from decide.knowledge.compile import SITE_TABLES, all_facts, all_numbers, bent, compile_rule
from decide.knowledge.load import read_knowledge
from decide.knowledge.schema import FIXED_SOURCES, Conditional, RuleRow
from decide.knowledge.schema_care import Supply, TaskTemplate
from decide.knowledge.tables import Knowledge
from decide.measure.numbers import EDGE_CODES, NEEDED
from decide.model.errors import DecideError, KnowledgeError, meant
from decide.model.situation import Offer, Situation, Use, Wishes, Zone
from decide.model.toml_lines import Lines
from decide.model.units import dimension

MOST_COMBINATIONS: Final = 100_000
_NOT: Final[Mapping[str, str]] = {"is": "is not", "is not": "is", "<": ">=", "<=": ">", ">": "<=", ">=": "<"}
_VALUE = re.compile(r"value:([a-z0-9][a-z0-9\-]*)")
_ENDS = re.compile(r"[.?!]$")

Found = Iterator[KnowledgeError]


class _Levels:
    """The levels that a fact may still have; `only` is None where any word will do."""

    def __init__(self, declared: Sequence[str]) -> None:
        self.only: set[str] | None = set(declared) if declared else None
        self.never: set[str] = set()

    def narrow(self, condition: Condition) -> None:
        levels = set(condition.levels or ("true",))
        if condition.op == "is not":
            self.never |= levels
        else:
            self.only = levels if self.only is None else self.only & levels

    def left(self) -> set[str] | None:
        return None if self.only is None else self.only - self.never


def possible(conditions: Sequence[Condition], facts: Mapping[str, FactType]) -> bool:
    """Whether some facts, within their declared levels and ranges, make every one of `conditions` true."""
    levels: dict[str, _Levels] = {}
    orderings: dict[str, list[Condition]] = {}
    for condition in conditions:
        kind = facts[condition.fact]
        if kind.type == "number":
            orderings.setdefault(condition.fact, []).append(condition)
        else:
            declared = ("true", "false") if kind.type == "true" else kind.levels
            levels.setdefault(condition.fact, _Levels(declared)).narrow(condition)
    if any(each.left() == set() for each in levels.values()):
        return False
    indexes = list(dict.fromkeys(c.index for c in conditions if c.index))
    keys: list[list[str]] = []
    for index in indexes:
        held = levels.get(index, _Levels(facts[index].levels))
        left = held.left()
        known = {key for c in conditions if c.index == index for key in c.table}
        keys.append(sorted(known - held.never if left is None else known & left))
    return any(
        all(
            _overlap(facts[name], group, dict(zip(indexes, chosen, strict=True)))
            for name, group in orderings.items()
        )
        for chosen in product(*keys)
    )


def _overlap(kind: FactType, orderings: Iterable[Condition], chosen: Mapping[str, str]) -> bool:
    """Whether a number of three decimals, within the fact's range, keeps all `orderings` for the `chosen` keys."""
    one = 10**PLACES
    low = round(kind.low * one) if kind.low is not None else None
    high = round(kind.high * one) if kind.high is not None else None
    for condition in orderings:
        number = condition.table.get(chosen[condition.index]) if condition.index else condition.number
        if number is None:
            return False
        bound = round(number * one)
        if condition.op in (">", ">="):
            bound += condition.op == ">"
            low = bound if low is None else max(low, bound)
        else:
            bound -= condition.op == "<"
            high = bound if high is None else min(high, bound)
    return low is None or high is None or low <= high


def _negation(condition: Condition) -> list[Condition]:
    """Conditions that hold together exactly where `condition`, of known facts, does not."""
    if condition.op == "in":
        return [replace(condition, op="is not", levels=(level,)) for level in condition.levels]
    return [replace(condition, op=_NOT[condition.op])]  # type: ignore[arg-type]


def _follows(condition: Condition, given: Sequence[Condition], facts: Mapping[str, FactType]) -> bool:
    """Whether `condition` is true wherever all `given` are."""
    known = {name for each in given for name in each.facts}
    return known.issuperset(condition.facts) and not possible([*given, *_negation(condition)], facts)


def _in_words(conditions: Iterable[Condition]) -> str:
    return "; ".join(condition.text for condition in conditions)


def _compiled(
    k: Knowledge, facts: Mapping[str, FactType], numbers: Numbers
) -> tuple[list[Rule], list[KnowledgeError]]:
    rules: list[Rule] = []
    wrong: list[KnowledgeError] = []
    for row in k.rules:
        try:
            made = _with_stretch(
                row, compile_rule(row, facts, numbers, k.where.get(("rule", row.id), "")), facts
            )
            for rule in made:
                check_rule(rule, facts)
        except KnowledgeError as error:
            wrong.append(error)
        else:
            rules += made
    try:
        build(rules, facts)
    except KnowledgeError as error:
        wrong.append(error)
    return rules, wrong


def _with_stretch(row: RuleRow, rule: Rule, facts: Mapping[str, FactType]) -> list[Rule]:
    """A rule with those of its stretch; KnowledgeError where the stretch is measured in what does not fit."""
    try:
        made = bent(row, rule, facts)
    except KnowledgeError:
        raise
    except DecideError as error:
        raise KnowledgeError(
            f"rule {row.id!r}: its stretch: {error.wrong}", where=rule.where, instead=error.instead
        ) from None
    if row.bends is not None:
        unit, own = row.bends.by.rpartition(" ")[2], facts[row.bends.fact].unit
        # A difference of temperatures is converted without the shift that their scales have.
        if unit != own and dimension(own) == "temperature":
            raise KnowledgeError(
                f"rule {row.id!r}: its stretch is in {unit}, and {row.bends.fact} is in {own}",
                where=rule.where,
                instead=f'Write by = "3 {own}"',
            )
    return made


def _unreachable(rules: Sequence[Rule], facts: Mapping[str, FactType]) -> Found:
    dead: set[str] = set()
    for rule in rules:
        if rule.bend_of in dead:
            dead.add(rule.id)
        elif not possible(rule.when, facts):
            dead.add(rule.id)
            yield KnowledgeError(
                f"rule {rule.id!r} can never fire: its conditions exclude one another ({_in_words(rule.when)})",
                where=rule.where,
                instead=f"Make the stretch of {rule.bend_of!r} wider or narrower, or take `bends` out"
                if rule.bend_of
                else "Change or take out one of them",
            )
    givers: dict[str, list[Rule]] = {}
    for rule in rules:
        if rule.then.act == "conclude":
            givers.setdefault(rule.then.target, []).append(rule)
    grown = True
    while grown:
        grown = False
        for rule in rules:
            if rule.id in dead:
                continue
            for condition in rule.when:
                if facts[condition.fact].concluded and all(
                    g.id in dead for g in givers.get(condition.fact, [])
                ):
                    dead.add(rule.id)
                    grown = True
                    yield KnowledgeError(
                        f"rule {rule.id!r} can never fire: no rule that could fire concludes {condition.fact}",
                        where=rule.where,
                        instead="Write a rule that concludes it",
                    )
                    break


def _exceptions(rules: Sequence[Rule], facts: Mapping[str, FactType]) -> Found:
    concluded = {rule.then.target for rule in rules if rule.then.act == "conclude"}
    for rule in rules:
        # A stretch takes its exceptions from its rule.
        if rule.bend_of or not possible(rule.when, facts):
            continue
        for exception in rule.unless:
            label = f"rule {rule.id!r}: exception {exception.name!r}"
            missing = [c.fact for c in exception.when if facts[c.fact].concluded and c.fact not in concluded]
            if missing:
                yield KnowledgeError(f"{label} reads {missing[0]}, which no rule concludes", where=rule.where)
            elif not possible([*rule.when, *exception.when], facts):
                yield KnowledgeError(
                    f"{label} is never true where the rule's own conditions are ({_in_words(exception.when)})",
                    where=rule.where,
                    instead="Change or take out the exception",
                )
            elif all(_follows(condition, rule.when, facts) for condition in exception.when):
                yield KnowledgeError(
                    f"{label} is always true where the rule's own conditions are, so the rule never fires",
                    where=rule.where,
                    instead="Change or take out the exception",
                )


def _conflicts(rules: Sequence[Rule]) -> Found:
    """A rule-out or weak mark against a strong mark of one criterion on the very same conditions, and useless rules."""
    by_body: dict[tuple[str, frozenset[str]], list[Rule]] = {}
    for rule in rules:
        by_body.setdefault((rule.about, frozenset(c.text for c in rule.when)), []).append(rule)
    for group in by_body.values():
        strong = [rule for rule in group if rule.then.grade == "strong"]
        against = [rule for rule in group if rule.adverse]
        for one, other in product(strong, against):
            if one.then.target == other.then.target:
                yield KnowledgeError(
                    f"rules {other.id!r} and {one.id!r} conflict: on the same conditions one "
                    f"{'rules out' if other.then.act == 'rule-out' else f'marks {other.then.grade}'} "
                    f"and the other marks strong {one.then.target!r}",
                    where=one.where,
                    instead="Keep one, or tell their conditions apart",
                )
    by_then: dict[object, list[Rule]] = {}
    for rule in rules:
        by_then.setdefault((rule.about, rule.then), []).append(rule)
    for group in by_then.values():
        for wide, narrow in product(group, repeat=2):
            inside = {c.text for c in wide.when} < {c.text for c in narrow.when}
            if inside and not wide.unless:
                yield KnowledgeError(
                    f"rule {narrow.id!r} never decides: {wide.id!r} says the same on fewer conditions",
                    where=narrow.where,
                    instead="Take one of them out",
                )


def _verdicts(rules: Sequence[Rule], facts: Mapping[str, FactType]) -> Found:
    for about, verdicts in VERDICTS.items():
        deciding = [rule for rule in rules if rule.about == about and rule.then.act == "verdict"]
        first = deciding[0].where if deciding else "rules"
        for verdict in verdicts:
            if verdict not in {rule.then.target for rule in deciding}:
                yield KnowledgeError(f"no rule about {about} gives the verdict {verdict!r}", where=first)
        names = sorted({c.fact for rule in deciding for c in rule.when})
        odd = [name for name in names if not facts[name].levels]
        if odd:
            yield KnowledgeError(
                f"verdict rules read {odd[0]}, which has no list of levels: nobody can show that exactly one holds",
                where=next(rule.where for rule in deciding if any(c.fact == odd[0] for c in rule.when)),
            )
            continue
        if any(rule.unless for rule in deciding):
            yield KnowledgeError(
                f"a verdict rule about {about} has an exception",
                where=deciding[0].where,
                instead="Write a rule of its own",
            )
            continue
        choices = [facts[name].levels for name in names]
        size = 1
        for levels in choices:
            size *= len(levels)
        if size > MOST_COMBINATIONS:
            yield KnowledgeError(
                f"verdict rules about {about} read {size} combinations, too many to try all",
                where=deciding[0].where,
            )
            continue
        yield from _each_once(deciding, names, choices, about)


def _each_once(
    deciding: Sequence[Rule], names: Sequence[str], choices: Sequence[Sequence[str]], about: str
) -> Found:
    seen: set[tuple[str, ...]] = set()
    for chosen in product(*choices):
        held = dict(zip(names, chosen, strict=True))
        true = tuple(
            rule.id
            for rule in deciding
            if all((held[c.fact] in c.levels) != (c.op == "is not") for c in rule.when)
        )
        if len(true) == 1 or true in seen:
            continue
        seen.add(true)
        example = ", ".join(f"{name} {level}" for name, level in held.items())
        if true:
            where = next(rule.where for rule in deciding if rule.id == true[-1])
            said = " and ".join(repr(name) for name in true)
            yield KnowledgeError(
                f"verdict rules {said} hold at once, as at {example}",
                where=where,
                instead="Tell their conditions apart",
            )
        else:
            yield KnowledgeError(
                f"no verdict rule about {about} holds at {example}",
                where=deciding[0].where,
                instead="Write a rule for what is left over",
            )


def _remembered(k: Knowledge, rules: Sequence[Rule]) -> Found:
    givers: dict[str, list[Rule]] = {}
    for rule in rules:
        if rule.then.act == "conclude":
            givers.setdefault(rule.then.target, []).append(rule)

    def leaning(rule: Rule, done: frozenset[str]) -> Iterator[tuple[str, str]]:
        """Values from memory below `rule`, each with the rule that reads it."""
        for condition in rule.when:
            if condition.value:
                levels = {
                    level
                    for c in rule.when
                    if c.fact == condition.index and c.op in ("is", "in")
                    for level in c.levels
                }
                for key, statement in k.values[condition.value].used.items():
                    if statement.seen == "memory" and (not levels or key in levels):
                        yield condition.value + (f"[{key}]" if key else ""), rule.id
            for giver in givers.get(condition.fact, []):
                if giver.id not in done:
                    yield from leaning(giver, done | {giver.id})

    for rule in rules:
        if rule.then.act != "rule-out":
            continue
        if "memory" in rule.sources:
            yield KnowledgeError(
                f"rule {rule.id!r} rules out from memory",
                where=rule.where,
                instead="Mark weak instead, or name a source",
            )
        found = dict.fromkeys(leaning(rule, frozenset({rule.id})))
        if found:
            value, reader = next(iter(found))
            through = "" if reader == rule.id else f" through rule {reader!r}"
            more = f" and {len(found) - 1} more" if len(found) > 1 else ""
            yield KnowledgeError(
                f"rule {rule.id!r} rules out on value:{value}{more}{through}, which is from memory",
                where=rule.where,
                instead="Mark weak instead, or give the value a source",
            )


def _literals(k: Knowledge, facts: Mapping[str, FactType], numbers: Numbers) -> Found:
    for rule in k.rules:
        for text in (*rule.when, *(text for exception in rule.unless for text in exception.when)):
            condition = parse_condition(text, facts, numbers)
            if condition.number and not condition.value:
                yield _own_number(f"rule {rule.id!r}", condition, k.where.get(("rule", rule.id), ""))


def _own_number(what: str, condition: Condition, where: str) -> KnowledgeError:
    return KnowledgeError(
        f"{what} holds a number of its own ({condition.text})",
        where=where,
        instead="Give it a value with its source, and write value:NAME",
    )


@dataclass(frozen=True, slots=True)
class Code:
    """Texts of the package's code: how often each stands there, and the shapes of those that it puts together.

    `roles` are the parts of a programme that code chooses options for.
    """

    texts: Counter[str]
    shapes: tuple[re.Pattern[str], ...]
    roles: frozenset[str] = frozenset()

    def names(self, name: str, given: int = 0) -> bool:
        """Whether code names `name` more than `given` times, or puts it together."""
        return self.texts[name] > given or any(shape.fullmatch(name) for shape in self.shapes)


def read_code() -> Code:
    """The texts of this package's own code; reading them takes a second, so that many audits may share them."""
    texts: Counter[str] = Counter()
    shapes: set[str] = set()
    roles: set[str] = set()
    package = Path(__file__).parent.parent
    for path in sorted(package.rglob("*.py")):
        tree = ast.parse(path.read_text(encoding="utf-8"))
        if path == package / "decision" / "programme.py":
            roles.update(_named_at_top(tree))
        for node in ast.walk(tree):
            if isinstance(node, ast.JoinedStr):
                parts = [str(part.value) if isinstance(part, ast.Constant) else "" for part in node.values]
                if (
                    re.fullmatch(r"[a-z][a-z.\-]+[.\-][a-z.\-]*", parts[0])
                    and parts[0].strip(".") not in SCOPES
                ):
                    shapes.add(r"[a-z0-9.\-]+".join(re.escape(part) for part in _gaps(node, parts)))
            elif isinstance(node, ast.Constant) and isinstance(node.value, str):
                texts[node.value] += 1
    return Code(texts, tuple(re.compile(shape) for shape in sorted(shapes)), frozenset(roles))


def _named_at_top(tree: ast.Module) -> Iterator[str]:
    """The texts to which a module gives names of its own."""
    for node in tree.body:
        if isinstance(node, (ast.Assign, ast.AnnAssign)) and node.value is not None:
            yield from (
                part.value
                for part in ast.walk(node.value)
                if isinstance(part, ast.Constant) and isinstance(part.value, str)
            )


def _gaps(node: ast.JoinedStr, parts: Sequence[str]) -> list[str]:
    """The fixed parts of a text that is put together, with a gap between each two for what is put in."""
    fixed = [""]
    for made, part in zip(node.values, parts, strict=True):
        if isinstance(made, ast.Constant):
            fixed[-1] += part
        else:
            fixed.append("")
    return fixed


def _strings(row: object) -> Iterator[str]:
    if isinstance(row, str):
        yield row
    elif isinstance(row, BaseModel):
        yield from _strings(row.model_dump())
    elif isinstance(row, Mapping):
        for each in row.values():
            yield from _strings(each)
    elif isinstance(row, (list, tuple)):
        for each in row:
            yield from _strings(each)


def _tables(k: Knowledge) -> Iterator[tuple[str, str, Any]]:
    """Rows that hold texts, sources and names of values: table, code, row (rules and values apart)."""
    tables: Mapping[str, Mapping[str, BaseModel]] = {
        "grasses": k.grasses, "mixtures": k.mixtures, "method": k.methods, "variant": k.variants,
        "equipment": k.equipment, "fields": k.fields, "cautions": k.cautions, "needs": k.needs,
        "causes": k.causes, "words": k.words,
        "opening": k.opening, "rescue": k.rescue, "better": k.better, "window": k.windows,
        "task": k.tasks, "watering": k.watering, "year": k.year, "supply": k.supplies,
        "usual": k.usual, "meanwhile": k.meanwhile,
    }  # fmt: skip
    for table, rows in tables.items():
        for code, row in rows.items():
            yield table, code, row
    if k.patches is not None:
        yield "patches", "patches", k.patches
    for question in k.questions:
        yield "question", question.id or question.key, question


def _texts(k: Knowledge, facts: Mapping[str, FactType], numbers: Numbers) -> Found:
    """Holes and conditions outside the rules name what there is; sentences end."""
    for table, code, row in _tables(k):
        where = k.where.get((table, code), "")
        conditions = [
            text
            for part in (row, *getattr(row, "steps", ()))
            for text in (*getattr(part, "when", ()), *getattr(part, "unless", ()))
        ]
        for text in _strings(row):
            if "{" in text and text not in conditions:
                try:
                    parse_template(text, facts, numbers, SCOPES)
                except KnowledgeError as error:
                    yield KnowledgeError(f"{code}: {error.wrong}", where=where, instead=error.instead)
        if table in (
            "cautions",
            "needs",
            "better",
            "task",
            "watering",
            "year",
            "usual",
            "meanwhile",
        ) and not _ENDS.search(row.because if table == "usual" else row.text):
            yield KnowledgeError(
                f"{code}: the text does not end like a sentence",
                where=where,
                instead="End it with a full stop",
            )
        for text in conditions:
            try:
                parse_condition(text, facts, numbers)
            except KnowledgeError as error:
                yield KnowledgeError(f"{code}: {error.wrong}", where=where, instead=error.instead)
    for rule in k.rules:
        where = k.where.get(("rule", rule.id), "")
        for text in (rule.because, *(exception.because for exception in rule.unless)):
            if not _ENDS.search(text):
                yield KnowledgeError(
                    f"rule {rule.id!r}: {text!r} does not end like a sentence",
                    where=where,
                    instead="End it with a full stop",
                )
            if not re.match(r"[A-Z0-9{\"“]", text):
                yield KnowledgeError(
                    f"rule {rule.id!r}: {text!r} does not begin like a sentence",
                    where=where,
                    instead="Begin with a capital",
                )
            if "  " in text or text != text.strip():
                yield KnowledgeError(
                    f"rule {rule.id!r}: {text!r} has spaces too many",
                    where=where,
                    instead="One space between words",
                )


def _templates(rule: Rule) -> tuple[Template, ...]:
    """All that a rule says."""
    return (
        rule.because,
        *(exception.because for exception in rule.unless),
        *([] if rule.sound_if is None else [rule.sound_if]),
    )


def _unread_facts(k: Knowledge, rules: Sequence[Rule], code: Code) -> Found:
    read: set[str] = {ROLE + role for role in code.roles}
    for rule in rules:
        for condition in rule.conditions:
            read.update(condition.facts)
        for template in _templates(rule):
            read.update(template.facts)
    for _, _, row in _tables(k):
        for text in _strings(row):
            read.update(re.findall(r"(?:site|zone|option|step)\.[a-z0-9.\-]*[a-z0-9]", text))
    concluded = {rule.then.target for rule in rules if rule.then.act == "conclude"}
    for name, declared in k.facts.items():
        where = k.where.get(("fact", name), "")
        members = [f"{name}.{member}" for member in declared.members] or [name]
        # Code that measures a fact names it once; where code names it again, it reads it.
        by_code = any(code.names(each, 1 if declared.kind == "measured" else 0) for each in members)
        if not read.intersection(members) and not by_code:
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
        if declared.kind == "measured" and declared.type == "level" and not declared.levels:
            uses = sorted({r.id for r in rules for c in r.conditions if c.fact in members and c.levels})
            if uses and name not in _ANY_WORD:
                yield KnowledgeError(
                    f"fact {name!r} declares no levels, so a misspelt one in rule {uses[0]!r} would not show",
                    where=where,
                    instead='Write levels = ["…"]',
                )


# Facts of open vocabularies (country and region codes), which cannot be listed.
_ANY_WORD: Final = ("site.country", "site.region")


def _unused_values(k: Knowledge, rules: Sequence[Rule], code: Code) -> Found:
    used = set(NEEDED)
    for rule in rules:
        used.update(condition.value for condition in rule.conditions)
        for template in _templates(rule):
            used.update(template.values)
    for _, _, row in _tables(k):
        for text in _strings(row):
            used.add(text)
            used.update(_VALUE.findall(text))
    named = [name for task in k.tasks.values() for name in task.values] + [
        name for stage in k.watering.values() for name in stage.values
    ]
    named += [name for supply in k.supplies.values() for name in supply.values]
    used.update(name.partition("[")[0] for name in named)
    for name, value in k.values.items():
        if name not in used and not code.names(name):
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


def _codes(k: Knowledge, rules: Sequence[Rule], written: Code) -> Found:
    for act, table, rows in (("caution", "cautions", k.cautions), ("need", "needs", k.needs)):
        said = {rule.then.target for rule in rules if rule.then.act == act}
        if act == "caution":
            # A caution stands with a task or stage always, or where a rule gives it.
            rowed = [row for _, _, row in _tables(k) if hasattr(row, "cautions_if")]
            said.update(word for row in rowed for word in row.cautions)
        for rule in rules:
            if rule.then.act == act and rule.then.target not in rows:
                yield KnowledgeError(
                    f"rule {rule.id!r} gives the {act} {rule.then.target!r}, which {table} do not explain",
                    where=rule.where,
                    instead=meant(rule.then.target, rows),
                )
        for code in rows:
            if code not in said and not written.names(code):
                yield KnowledgeError(
                    f"no rule gives the {act} {code!r}",
                    where=k.where.get((table, code), ""),
                    instead="Take it out, or write the rule",
                )


def _parsed(
    row: Conditional, facts: Mapping[str, FactType], numbers: Numbers
) -> tuple[list[Condition], list[Condition]] | None:
    """When a row stands, and what leaves it out; None where a condition cannot be read, which is told elsewhere."""
    try:
        return [parse_condition(text, facts, numbers) for text in row.when], [
            parse_condition(text, facts, numbers) for text in row.unless
        ]
    except KnowledgeError:
        return None


def _plan(k: Knowledge, rules: Sequence[Rule], facts: Mapping[str, FactType], numbers: Numbers) -> Found:
    """Every task can occur: its conditions can hold together, some method and variant has it, and rules give what it waits for."""
    given = {(rule.then.act, rule.then.target) for rule in rules}
    for table, code, row in _tables(k):
        where = k.where.get((table, code), "")
        for word in getattr(row, "cautions_if", ()):
            if ("caution", word) not in given:
                yield KnowledgeError(
                    f"{code}: no rule gives the caution {word!r}, so it is never shown here",
                    where=where,
                    instead="Write it under cautions, or write the rule",
                )
    for code, task in k.tasks.items():
        where = k.where.get(("task", code), "")
        parsed = _parsed(task, facts, numbers)
        if parsed is None:
            continue
        when, unless = parsed
        if not possible(when, facts):
            yield KnowledgeError(
                f"task {code!r} can never occur: its conditions exclude one another ({_in_words(when)})",
                where=where,
                instead="Change or take out one of them",
            )
        elif unless and all(_follows(condition, when, facts) for condition in unless):
            yield KnowledgeError(
                f"task {code!r} can never occur: what leaves it out always holds ({_in_words(unless)})",
                where=where,
                instead="Change when or unless",
            )
        if task.needs and not any(("need", need) in given for need in task.needs):
            yield KnowledgeError(
                f"task {code!r} can never occur: no rule gives the need {task.needs[0]!r}",
                where=where,
                instead="Write the rule, or take the need out",
            )
        if "establish" in task.remedies and not any(
            _has(k, task, method) for method in task.methods or k.methods
        ):
            yield KnowledgeError(
                f"task {code!r} can never occur: no method has its variants and way of being made",
                where=where,
                instead="Change methods, made-from or variants",
            )
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


def _supplies(k: Knowledge, rules: Sequence[Rule], facts: Mapping[str, FactType], numbers: Numbers) -> Found:
    """Every supply can be bought, what it asks ends like a sentence, and each method has something to put in the ground."""
    given = {rule.then.target for rule in rules if rule.then.act == "need"}
    for code, row in k.supplies.items():
        where = k.where.get(("supply", code), "")
        for text in (row.ask, row.ask_size, row.note, row.no_price):
            if text and not _ENDS.search(text):
                yield KnowledgeError(
                    f"{code}: {text!r} does not end like a sentence",
                    where=where,
                    instead="End it with a full stop or a question mark",
                )
        parsed = _parsed(row, facts, numbers)
        if parsed is None:
            continue
        when, unless = parsed
        if not possible(when, facts):
            yield KnowledgeError(
                f"supply {code!r} is never bought: its conditions exclude one another ({_in_words(when)})",
                where=where,
                instead="Change or take out one of them",
            )
        elif unless and all(_follows(condition, when, facts) for condition in unless):
            yield KnowledgeError(
                f"supply {code!r} is never bought: what leaves it out always holds ({_in_words(unless)})",
                where=where,
                instead="Change when or unless",
            )
        if row.needs and not given.intersection(row.needs):
            yield KnowledgeError(
                f"supply {code!r} is never bought: no rule gives the need {row.needs[0]!r}",
                where=where,
                instead="Write the rule, or take the need out",
            )
        if "establish" in row.remedies and not any(
            _has(k, row, method) for method in row.methods or k.methods
        ):
            yield KnowledgeError(
                f"supply {code!r} is never bought: no method has its variants and way of being made",
                where=where,
                instead="Change methods, made-from or variants",
            )
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


def _usual(k: Knowledge, rules: Sequence[Rule], facts: Mapping[str, FactType]) -> Found:
    """Every usual reading can be read: rules about options, or what leads up to them, ask for the fact, and it is one that it can hold."""
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


def _meanwhile(k: Knowledge, rules: Sequence[Rule], facts: Mapping[str, FactType], numbers: Numbers) -> Found:
    """Every row of the meanwhile table can occur, and reads only what is known of a zone and its site."""
    given = {rule.then.target for rule in rules if rule.then.act == "conclude"}
    # A part that is left alone is never spoken of.
    spoken = (
        [parse_condition("zone.decision is not left-alone", facts, numbers)]
        if "zone.decision" in facts
        else []
    )
    for code, row in k.meanwhile.items():
        where = k.where.get(("meanwhile", code), "")
        parsed = _parsed(row, facts, numbers)
        if parsed is None:
            continue
        when, unless = parsed
        if not when:
            yield KnowledgeError(
                f"{code}: has no condition, so it is always said",
                where=where,
                instead='Write when = ["fact is level"]',
            )
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
                f"{code}: reads {far[0]}, but what is done meanwhile reads only {', '.join(READS['zone'])}",
                where=where,
            )
        elif none:
            yield KnowledgeError(
                f"{code}: is never said: no rule concludes {none[0]}",
                where=where,
                instead="Write a rule that concludes it",
            )
        elif not possible([*when, *spoken], facts):
            yield KnowledgeError(
                f"{code}: is never said: its conditions exclude one another ({_in_words(when)})",
                where=where,
                instead="Change or take out one of them",
            )
        elif unless and all(_follows(condition, [*when, *spoken], facts) for condition in unless):
            yield KnowledgeError(
                f"{code}: is never said: what leaves it out always holds ({_in_words(unless)})",
                where=where,
                instead="Change when or unless",
            )
        for condition in (*when, *unless):
            if condition.number and not condition.value:
                yield _own_number(code, condition, where)


def _sound_if(rules: Sequence[Rule]) -> Found:
    """What a verdict rests on ends a sentence that begins with "sound if", and is said of options alone."""
    for rule in rules:
        if rule.sound_if is None or rule.bend_of:
            continue
        text = rule.sound_if.text
        if rule.about != "option":
            yield KnowledgeError(
                f"rule {rule.id!r} is about a {rule.about}, of which `sound-if` is never said",
                where=rule.where,
                instead="Take it out",
            )
        if not re.match(r"[a-z0-9{]", text) or _ENDS.search(text) or "  " in text or text != text.strip():
            yield KnowledgeError(
                f'rule {rule.id!r}: {text!r} does not end a sentence that begins with "sound if"',
                where=rule.where,
                instead="Begin it small, and leave the full stop out",
            )


def _roles(k: Knowledge, rules: Sequence[Rule], code: Code) -> Found:
    """Rules give every part that a programme has, and no other; nothing below the programme asks for one."""
    given = {
        rule.then.target.removeprefix(ROLE): rule for rule in reversed(rules) if rule.layer == "option-role"
    }
    for role, rule in given.items():
        if role not in code.roles:
            yield KnowledgeError(
                f"rule {rule.id!r} gives the role {role!r}, which no programme has",
                where=rule.where,
                instead=meant(role, code.roles),
            )
    for role in sorted(code.roles - set(given)):
        yield KnowledgeError(
            f"no rule gives an option the role {role!r}",
            where=k.where.get(("fact", ROLE + role), "rules"),
            instead=f"Write a rule that concludes {ROLE}{role}",
        )
    for rule in rules:
        early = [name for condition in rule.conditions for name in condition.facts if name.startswith(ROLE)]
        if early and rule.layer != "option-role":
            yield KnowledgeError(
                f"rule {rule.id!r} reads {early[0]}, which is known only once the verdict is",
                where=rule.where,
                instead="Read it only where a role is concluded",
            )


def _asked(k: Knowledge) -> Found:
    """The answers that are said to bring a fact are of keys that there are, and some question asks for one of them."""
    tables: Mapping[str, type[BaseModel]] = {
        **SITE_TABLES,
        "zone": Zone,
        "wishes": Wishes,
        "use": Use,
        "offer": Offer,
    }
    keys = {f"{table}.{key}" for table, model in tables.items() for key in model.model_fields} | set(
        Situation.model_fields
    )
    questions = {question.key for question in k.questions}
    for name, row in k.facts.items():
        where = k.where.get(("fact", name), "")
        for key in row.asked:
            if key not in keys:
                yield KnowledgeError(
                    f"fact {name!r} is asked by {key!r}, which is no key of a situation",
                    where=where,
                    instead=meant(key, questions),
                )
        if row.asked and row.kind != "measured":
            yield KnowledgeError(
                f"fact {name!r} is concluded by rules, so no answer brings it",
                where=where,
                instead="Take `asked` out",
            )
        # A question about a list asks for each part of its rows.
        elif (
            row.asked
            and not questions.intersection((*row.asked, *(key.partition(".")[0] for key in row.asked)))
            and keys.issuperset(row.asked)
        ):
            yield KnowledgeError(
                f"fact {name!r} is asked by {row.asked[0]!r}, and no question asks for it",
                where=where,
                instead="Write the question, or name the key of one",
            )


def _has(k: Knowledge, task: TaskTemplate | Supply, method: str) -> bool:
    """Whether a task may belong to a method: by its list, by what it is made from, and by a variant that the method has."""
    way = k.methods[method]
    return (
        (not task.methods or method in task.methods)
        and (not task.made_from or way.made_from in task.made_from)
        and (not task.variants or bool(set(task.variants) & set(way.variants)))
    )


def _sources(k: Knowledge) -> Found:
    used: set[str] = {statement.source for value in k.values.values() for statement in value.statements}
    for rule in k.rules:
        used.update(rule.sources)
    for _, case, _ in _cases(k):
        used.update(_strings(case.get("sources", ())))
    for table, code, row in _tables(k):
        named = set(_strings(getattr(row, "sources", ())))
        used |= named
        for source in sorted(named - set(k.sources)):
            yield KnowledgeError(
                f"{code}: {source!r} is not a source",
                where=k.where.get((table, code), ""),
                instead=meant(source, k.sources),
            )
    for code in k.sources:
        if code not in used and code not in FIXED_SOURCES:
            yield KnowledgeError(
                f"source {code!r} is never named",
                where=k.where.get(("source", code), ""),
                instead="Take it out",
            )


def _cases(k: Knowledge) -> Iterator[tuple[str, Mapping[str, Any], Lines]]:
    """Cases as written: file, table, lines."""
    for path in sorted((k.folder / "cases").glob("*.toml")):
        text = path.read_text(encoding="utf-8")
        try:
            yield f"cases/{path.name}", tomllib.loads(text), Lines(text)
        except tomllib.TOMLDecodeError as error:
            raise KnowledgeError(f"not TOML: {error}", where=f"cases/{path.name}") from None


def _stale_cases(k: Knowledge) -> Found:
    """Cases name only what there still is: a code that no longer exists would be met for ever, or never."""
    plants = (*k.grasses, *k.mixtures)
    verdicts = tuple(dict.fromkeys(verdict for each in VERDICTS.values() for verdict in each))
    known: Mapping[str, tuple[str, Iterable[str]]] = {
        "cautions": ("caution", k.cautions), "no_cautions": ("caution", k.cautions), "needs": ("need", k.needs),
        "causes": ("cause", k.causes), "sources": ("source", k.sources), "verdict": ("verdict", verdicts),
        "plant": ("grass or mixture", plants), "task": ("task", (*k.tasks, *k.watering)), "method": ("method", k.methods), "variant": ("variant", ("plain", *k.variants)),
    }  # fmt: skip

    def named(table: object, path: tuple[Any, ...]) -> Iterator[tuple[tuple[Any, ...], str, str]]:
        if isinstance(table, Mapping):
            for key, held in table.items():
                if key in known:
                    yield from (((*path, key), key, word) for word in _strings(held))
                elif key != "situation":
                    yield from named(held, (*path, key))
        elif isinstance(table, list):
            for position, held in enumerate(table):
                yield from named(held, (*path, position))

    for file, case, lines in _cases(k):
        for path, key, word in named(case, ()):
            what, names = known[key]
            if word not in names:
                yield KnowledgeError(
                    f"the case is stale: {word!r} is not a {what}",
                    where=f"{file}:{lines.find(path)}",
                    instead=meant(word, names),
                )


def _edges(k: Knowledge) -> Found:
    """Every reason of a window has its sentence, and no sentence stands for nothing."""
    for code in sorted(set(k.edges) ^ set(EDGE_CODES)) if k.edges else ():
        if code in EDGE_CODES:
            yield KnowledgeError(
                f"a window can open, close or be missing by {code!r}, which has no sentence",
                where="edges.toml",
                instead=f"Write [{code}]",
            )
        else:
            yield KnowledgeError(
                f"no window gives the reason {code!r}",
                where=k.where.get(("edge", code), ""),
                instead=meant(code, EDGE_CODES),
            )
    for code, edge in k.edges.items():
        if not _ENDS.search(edge.says):
            yield KnowledgeError(
                f"{code}: the text does not end like a sentence",
                where=k.where.get(("edge", code), ""),
                instead="End it with a full stop",
            )


def _weighing(k: Knowledge) -> Found:
    for criterion in CRITERIA:
        if k.order.count(criterion) != 1:
            yield KnowledgeError(
                f"the order of the criteria names {criterion!r} {k.order.count(criterion)} times",
                where=k.where.get(("order", "order"), "weighing.toml"),
                instead="Name each criterion once",
            )
    for code in k.order:
        if code not in CRITERIA:
            yield KnowledgeError(
                f"the order names {code!r}, which is not a criterion",
                where=k.where.get(("order", "order"), "weighing.toml"),
                instead=meant(code, CRITERIA),
            )
    if k.before_wishes >= len(k.order):
        yield KnowledgeError(
            f"{k.before_wishes} criteria stand before any wish, so no wish moves one",
            where=k.where.get(("order", "order"), "weighing.toml"),
            instead="Write a smaller before-wishes",
        )
    for wish, criterion in k.wishes.items():
        if criterion not in CRITERIA:
            yield KnowledgeError(
                f"wish {wish!r}: {criterion!r} is not a criterion",
                where=k.where.get(("wish", wish), "weighing.toml"),
                instead=meant(criterion, CRITERIA),
            )


def audit(knowledge: Knowledge, code: Code | None = None) -> list[KnowledgeError]:
    """Everything that is wrong with `knowledge` as a whole, in a fixed order; empty where nothing is.

    `code` is what read_code gives; it is read where it is left out.
    """
    code = code or read_code()
    facts, numbers = all_facts(knowledge), all_numbers(knowledge)
    rules, found = _compiled(knowledge, facts, numbers)
    if found:
        # Without the rules that cannot be read, what they use would seem unused.
        return found
    checks = (
        _verdicts(rules, facts),
        _unreachable(rules, facts),
        _exceptions(rules, facts),
        _conflicts(rules),
        _remembered(knowledge, rules),
        _literals(knowledge, facts, numbers),
        _sound_if(rules),
        _roles(knowledge, rules, code),
        _usual(knowledge, rules, facts),
        _asked(knowledge),
        _unread_facts(knowledge, rules, code),
        _unused_values(knowledge, rules, code),
        _codes(knowledge, rules, code),
        _plan(knowledge, rules, facts, numbers),
        _supplies(knowledge, rules, facts, numbers),
        _meanwhile(knowledge, rules, facts, numbers),
        _sources(knowledge),
        _edges(knowledge),
        _weighing(knowledge),
        _stale_cases(knowledge),
        _texts(knowledge, facts, numbers),
    )
    for check in checks:
        found.extend(check)
    return found


def main(arguments: Sequence[str]) -> int:
    """Print every problem of the knowledge in the folders named (or the package's own); 1 where there is any."""
    try:
        found = audit(read_knowledge(*arguments))
    except KnowledgeError as error:
        found = [error]
    for problem in found:
        print(problem)
    print(f"{len(found)} problems" if found else "nothing wrong")
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
