"""Rules against rules: what can never fire, what contradicts, what no verdict covers, and what rests on
memory.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from functools import partial
from itertools import combinations

from decide.engine.base import build, check_rule
from decide.engine.language import CRITERIA, ROLE, VERDICTS, Condition, Fact, FactType, Rule
from decide.engine.written import Numbers, parse_condition
from decide.knowledge.audit_proof import proved_of
from decide.knowledge.audit_texts import ENDS
from decide.knowledge.cells import UNKNOWN, In, Space
from decide.knowledge.compile import bent, compile_rule
from decide.knowledge.logic import Found
from decide.knowledge.proof import model
from decide.knowledge.schema import RuleRow
from decide.knowledge.tables import Knowledge
from decide.model.errors import DecideError, KnowledgeError, meant
from decide.model.units import dimension


def compiled(
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


def check_verdicts(rules: Sequence[Rule], facts: Mapping[str, FactType]) -> Found:
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
                f"verdict rules read {odd[0]}, which has no list of levels: nobody can show that "
                "exactly one holds",
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
        yield from proved_of(
            f"verdicts about {about}", first, partial(_each_once, deciding, names, facts, about)
        )


def _each_once(
    deciding: Sequence[Rule], names: Sequence[str], facts: Mapping[str, FactType], about: str
) -> Found:
    """Exactly one verdict holds of all that is known: no two at once, and nothing is left over."""
    space = Space(deciding, facts)
    for one, other in combinations(deciding, 2):
        both = model(space, [space.fires(one), space.fires(other)])
        if both is not None:
            yield KnowledgeError(
                f"verdict rules {one.id!r} and {other.id!r} hold at once, as at {_at(both)}",
                where=other.where,
                instead="Tell their conditions apart",
            )
    known = [In(name, space.full[name] & ~UNKNOWN) for name in names]
    none = model(space, [*known, *map(space.silent, deciding)])
    if none is not None:
        yield KnowledgeError(
            f"no verdict rule about {about} holds at {_at(none)}",
            where=deciding[0].where,
            instead="Write a rule for what is left over",
        )


def _at(example: Mapping[str, Fact]) -> str:
    return ", ".join(f"{name} {level}" for name, level in example.items())


def check_remembered(k: Knowledge, rules: Sequence[Rule]) -> Found:
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


def check_literals(k: Knowledge, facts: Mapping[str, FactType], numbers: Numbers) -> Found:
    for rule in k.rules:
        for text in (*rule.when, *(text for exception in rule.unless for text in exception.when)):
            condition = parse_condition(text, facts, numbers)
            if condition.number and not condition.value:
                yield own_number(f"rule {rule.id!r}", condition, k.where.get(("rule", rule.id), ""))


def own_number(what: str, condition: Condition, where: str) -> KnowledgeError:
    return KnowledgeError(
        f"{what} holds a number of its own ({condition.text})",
        where=where,
        instead="Give it a value with its source, and write value:NAME",
    )


def check_sound_if(rules: Sequence[Rule]) -> Found:
    """What a verdict rests on ends a sentence that begins with "sound if", and is said of options, and of
    what would rule out a step.
    """
    for rule in rules:
        if rule.sound_if is None or rule.bend_of:
            continue
        text = rule.sound_if.text
        if rule.about != "option" and (rule.about, rule.then.act) != ("step", "rule-out"):
            yield KnowledgeError(
                f"rule {rule.id!r} is about a {rule.about}, of which `sound-if` is never said",
                where=rule.where,
                instead="Take it out",
            )
        if not re.match(r"[a-z0-9{]", text) or ENDS.search(text) or "  " in text or text != text.strip():
            yield KnowledgeError(
                f'rule {rule.id!r}: {text!r} does not end a sentence that begins with "sound if"',
                where=rule.where,
                instead="Begin it small, and leave the full stop out",
            )


def check_roles(k: Knowledge, rules: Sequence[Rule]) -> Found:
    """Rules give every role that a shape of the programme names, and no other; nothing below the programme
    asks for one.
    """
    named = k.roles
    given = {
        rule.then.target.removeprefix(ROLE): rule for rule in reversed(rules) if rule.layer == "option-role"
    }
    for role, rule in given.items():
        if role not in named:
            yield KnowledgeError(
                f"rule {rule.id!r} gives the role {role!r}, which no shape of the programme names",
                where=rule.where,
                instead=meant(role, sorted(named)),
            )
    for role in sorted(named - set(given)):
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


def check_weighing(k: Knowledge) -> Found:
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
