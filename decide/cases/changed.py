"""What changed: two states of the knowledge over the case bank, or two situations, and which rules moved the answers."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass
from typing import Any, Final

from decide.answer.zone_answer import decision_of, field_decision
from decide.consult import Adviser
from decide.decision.consultation import Consultation, Layer
from decide.decision.fate import fates
from decide.decision.programme import Chosen
from decide.decision.rank import Weighed, role_facts, verdict_facts
from decide.engine.language import Fact, Rule, Subject
from decide.engine.plain import standing
from decide.facts.progress import sign_facts
from decide.knowledge.audit_code import read_code
from decide.knowledge.compile import compile_rules
from decide.knowledge.tables import Knowledge
from decide.measure.numbers import NEEDED
from decide.measure.weather import DailyWeather
from decide.model.errors import DecideError, KnowledgeError
from decide.model.situation import Situation
from decide.model.wording import listed
from decide.questions.sensitivity import as_answers, cautions_of, own_cautions

# Tables that hold words, the plan and what to buy: they move no decision, choice or verdict.
_QUIET: Final = (
    "sources",
    "words",
    "better",
    "meanwhile",
    "rescue",
    "watering",
    "year",
    "supplies",
    "patches",
)
_TABLES: Final = (
    "sources", "facts", "grasses", "mixtures", "methods", "variants", "equipment", "fields", "cautions", "needs", "causes", "words", "opening",
    "rescue", "better", "usual", "meanwhile", "windows", "edges", "tasks", "watering", "year", "supplies", "wishes",
)  # fmt: skip
_MOST_SHOWN: Final = 5


@dataclass(frozen=True)
class Edit:
    """One thing that differs between two states of the knowledge: a rule, a value or a row of another table."""

    table: str
    name: str
    how: str
    detail: str = ""

    def __str__(self) -> str:
        return f"{self.table} {self.name} {self.how}" + (f" ({self.detail})" if self.detail else "")


@dataclass(frozen=True)
class Move:
    """One answer that moved: what it is an answer to, of which part or option, and both answers ("" where there is none)."""

    what: str
    about: str
    before: str
    after: str

    def __str__(self) -> str:
        if self.what in ("cause", "caution", "need"):
            return f"{self.what} {self.before or self.after} {'is gone' if self.before else 'comes in'}"
        return f"{self.what}{f' of {self.about}' if self.about else ''}: {self.before or 'none'} → {self.after or 'none'}"


@dataclass(frozen=True)
class Outcome:
    """What a consultation comes to, as codes: per zone decision, programme (with the verdicts) and fate of the date, every verdict, cautions, needs,
    causes, proposals.
    """

    decision: str
    decisions: Mapping[str, str]
    choices: Mapping[str, str]
    fates: Mapping[str, str]
    verdicts: Mapping[str, str]
    cautions: frozenset[str]
    needs: frozenset[str]
    causes: frozenset[str]
    proposals: Mapping[str, str]


@dataclass(frozen=True)
class CaseChange:
    """One situation whose answers moved, and by what.

    `rules` are the edited rules that fired differently; `values` the edited values that measures read, where no such
    rule did; `followed` the other rules that fired differently because of them.
    """

    case: str
    moves: tuple[Move, ...]
    rules: tuple[str, ...]
    values: tuple[str, ...] = ()
    followed: tuple[str, ...] = ()


@dataclass(frozen=True)
class Changed:
    """Two states of the knowledge, what was edited between them, and the cases that moved among all that were looked at."""

    old: str
    new: str
    edits: tuple[Edit, ...]
    cases: tuple[CaseChange, ...]
    looked_at: int
    failed: tuple[tuple[str, str], ...] = ()

    def as_json(self) -> str:
        """The result for programs."""
        return json.dumps(
            {"schema": "changed/1", **asdict(self)}, ensure_ascii=False, indent=1, sort_keys=True
        )


@dataclass(frozen=True)
class Difference:
    """Two situations: the answers in which they differ, what moved, and the rules that fired in one of them only."""

    told: tuple[Move, ...]
    moves: tuple[Move, ...]
    rules: tuple[str, ...]

    def as_json(self) -> str:
        """The result for programs."""
        return json.dumps(
            {"schema": "changed-situations/1", **asdict(self)}, ensure_ascii=False, indent=1, sort_keys=True
        )


# ---------- outcomes ----------
def outcome(c: Consultation) -> Outcome:
    """What a consultation comes to, without the plan and the texts of the advice."""
    decisions = {zone: decision_of(c, zone) for zone in c.zones}
    field = field_decision(c, decisions)
    picked = [w for chosen in c.chosen.values() for w in chosen.named]
    site_zone = [
        rule for layer in (c.site_layer, c.zone_layer) for rows in layer.fired.values() for rule, _ in rows
    ]
    steps = [rule for step in c.steps for rule, _ in step.firings]
    own = [rule for w in picked for rule, _ in w.firings]
    return Outcome(
        field, decisions, {zone: programme_of(chosen) for zone, chosen in c.chosen.items()}, {fate.zone: fate.level for fate in fates(c)}, {code: w.verdict for code, w in c.weighed.items()},
        frozenset(cautions_of(c.site_layer) | cautions_of(c.zone_layer)).union(
            *map(own_cautions, picked), (rule.then.target for rule in steps if rule.then.act == "caution")
        ),
        frozenset(rule.then.target for rule in (*site_zone, *own) if rule.then.act == "need"),
        frozenset(rule.then.target.removeprefix("zone.cause-") for rule in site_zone if rule.then.target.startswith("zone.cause-")),
        {f"{number} {step.proposal.step}/{step.zone}": step.verdict for number, step in enumerate(c.steps, start=1)},
    )  # fmt: skip


def programme_of(chosen: Chosen) -> str:
    """The programme of a zone as codes with verdicts, in the order of doing."""

    def said(w: Weighed) -> str:
        return f"{w.draft.code} ({w.verdict})"

    head = ", then ".join(map(said, chosen.named))
    beside = [
        f"{word} {said(w)}"
        for word, w in (("after it", chosen.after), ("or instead", chosen.instead))
        if w is not None
    ]
    return "; ".join([*([head] if head else []), *beside])


def moves(before: Outcome, after: Outcome) -> tuple[Move, ...]:
    """Every answer in which two outcomes differ: decisions and choices first, verdicts last."""
    rows: list[Move] = []
    if before.decision != after.decision:
        rows.append(Move("decision", "the field", before.decision, after.decision))
    pairs = (
        ("decision", before.decisions, after.decisions), ("choice", before.choices, after.choices), ("fate", before.fates, after.fates),
        ("judgement", before.proposals, after.proposals), ("verdict", before.verdicts, after.verdicts),
    )  # fmt: skip
    for at, (what, one, two) in enumerate(pairs):
        rows += [
            Move(what, name, one.get(name, ""), two.get(name, ""))
            for name in dict.fromkeys([*one, *two])
            if one.get(name, "") != two.get(name, "")
        ]
        if at == 2:
            for word, left, right in (
                ("cause", before.causes, after.causes),
                ("caution", before.cautions, after.cautions),
                ("need", before.needs, after.needs),
            ):
                rows += [
                    Move(word, "", name if name in left else "", name if name in right else "")
                    for name in sorted(left ^ right)
                ]
    return tuple(rows)


def _layers(c: Consultation) -> Iterator[tuple[str, Layer]]:
    yield from (("site", c.site_layer), ("sign", c.sign_layer), ("zone", c.zone_layer))


def firings(c: Consultation) -> frozenset[tuple[str, str, tuple[str, ...]]]:
    """Every firing of a consultation: rule, subject, and the exceptions that are open; in the usual reading of what was not told too."""
    found = {
        (rule.id, f"{name} {subject}", firing.open)
        for name, layer in _layers(c)
        for subject, rows in layer.fired.items()
        for rule, firing in rows
    }
    for code, w in c.weighed.items():
        found |= {(rule.id, code, firing.open) for rule, firing in w.firings} | {(w.verdict_rule, code, ())}
    for code, reading in c._usual_readings(c.weighed.values()).items():
        found |= {(rule.id, f"{code} as usual", firing.open) for rule, firing in reading.firings}
    parts = c._judge(
        "option-role",
        [Subject(code, {**w.facts, **role_facts(w, c.essential)}) for code, w in c.weighed.items()],
    )
    found |= {
        (rule.id, f"{code} in the programme", firing.open)
        for code, rows in parts.fired.items()
        for rule, firing in rows
    }
    for number, step in enumerate(c.steps):
        found |= {(rule.id, f"idea {number} {step.zone}", firing.open) for rule, firing in step.firings} | {
            (step.verdict_rule, f"idea {number} {step.zone}", ())
        }
        if step.option is not None:
            found |= {
                (rule.id, f"idea {number} {step.zone} option", firing.open)
                for rule, firing in step.option.firings
            }
    return frozenset(found)


def fired_differently(one: Consultation, two: Consultation) -> frozenset[str]:
    """The rules that fired in one of two consultations otherwise than in the other."""
    return frozenset(rule for rule, _, _ in firings(one) ^ firings(two))


def judged_facts(c: Consultation) -> Iterator[tuple[str, Mapping[str, Fact]]]:
    """The facts of everything that rules judged, by the scope of the rules, and those with what is taken as usual; verdicts of steps are not among them."""
    yield "site", c.site
    for zone, facts in c.zone_facts.items():
        usual = c.usual_facts[zone]
        yield "site", {**{name: value for name, value in usual.items() if name.startswith("site.")}, **c.site}
        yield "zone", {**usual, **c.site, **facts}
    for sign in c.signs:
        if sign.mended is None:
            yield "sign", {**c.site, **sign_facts(c.filled, sign, c.measures)}
    for facts in c.zone_facts.values():
        yield "zone", {**c.site, **facts}
    for w in c.weighed.values():
        yield from _judged_option(c, w)
    for step in c.steps:
        yield "step", step.facts
        if step.option is not None:
            yield from _judged_option(c, step.option)


def _judged_option(c: Consultation, w: Weighed) -> Iterator[tuple[str, Mapping[str, Fact]]]:
    yield "option", {**w.facts, **verdict_facts(w, c.essential), **role_facts(w, c.essential)}
    yield "option", {**c.usual_facts[w.draft.zone], **w.facts}


# ---------- the knowledge ----------
def edits(old: Knowledge, new: Knowledge) -> tuple[Edit, ...]:
    """What differs between two states of the knowledge: rules, then values, then the other tables."""
    rows: list[Edit] = []
    before, after = {rule.id: rule for rule in old.rules}, {rule.id: rule for rule in new.rules}
    for name in dict.fromkeys([*before, *after]):
        one, two = before.get(name), after.get(name)
        if one is None or two is None:
            rows.append(Edit("rule", name, "added" if one is None else "removed"))
        elif one != two:
            parts = [part for part in type(one).model_fields if getattr(one, part) != getattr(two, part)]
            rows.append(Edit("rule", name, "edited", ", ".join(parts)))
    for name in dict.fromkeys([*old.values, *new.values]):
        first, second = old.values.get(name), new.values.get(name)
        if first is None or second is None:
            rows.append(Edit("value", name, "added" if first is None else "removed"))
            continue
        said: list[str] = []
        for key in dict.fromkeys([*first.used, *second.used]):
            amounts = [value.used.get(key) for value in (first, second)]
            shown = [
                f"{held.amount:.12g} {value.unit}" if held is not None else "no number"
                for held, value in zip(amounts, (first, second), strict=True)
            ]
            if shown[0] != shown[1]:
                said.append(f"{f'{key}: ' if key else ''}{shown[0]} → {shown[1]}")
        if said or first.unit != second.unit or first.by != second.by:
            rows.append(Edit("value", name, "edited", "; ".join(said)))
    for table in _TABLES:
        left, right = getattr(old, table), getattr(new, table)
        for name in dict.fromkeys([*left, *right]):
            if left.get(name) != right.get(name):
                rows.append(
                    Edit(
                        table,
                        name,
                        "added" if name not in left else "removed" if name not in right else "edited",
                    )
                )
    asked, asks = ({question.key: question for question in knowledge.questions} for knowledge in (old, new))
    for name in dict.fromkeys([*asked, *asks]):
        if asked.get(name) != asks.get(name):
            rows.append(
                Edit(
                    "question",
                    name,
                    "added" if name not in asked else "removed" if name not in asks else "edited",
                )
            )
    if (old.order, old.before_wishes) != (new.order, new.before_wishes):
        rows.append(Edit("weighing", "order", "edited"))
    return tuple(rows)


class Reach:
    """How far edits can reach: whether a consultation under the old knowledge can come out otherwise under the new.

    Where only rules were edited, and values that nothing but rules read, nothing moves unless one of these rules holds
    otherwise of something that was judged. Any other edit may move anything.
    """

    def __init__(self, old: Knowledge, new: Knowledge, found: Sequence[Edit]) -> None:
        self.edits = [edit for edit in found if not _is_quiet(edit)]
        values = {edit.name for edit in self.edits if edit.table == "value"}
        self.before, self.after = (
            {rule.id: rule for rule in compile_rules(knowledge).rules} for knowledge in (old, new)
        )
        edited = {edit.name for edit in self.edits if edit.table == "rule"}
        # A rule with a stretch before its limit stands for several.
        self.rules: dict[str, set[str]] = {
            rule.id: set()
            for rules in (self.before, self.after)
            for rule in rules.values()
            if {rule.id, rule.bend_of} & edited
        }
        for rules in (self.before, self.after):
            for name, rule in rules.items():
                read = {condition.value for condition in rule.conditions} & values
                if read:
                    self.rules.setdefault(name, set()).update(read)
        elsewhere = values & NEEDED
        if values - elsewhere:
            code = read_code()
            rows = repr(
                [
                    getattr(knowledge, table)
                    for knowledge in (old, new)
                    for table in _TABLES
                    if table not in _QUIET
                ]
            )
            elsewhere = elsewhere | {name for name in values if code.names(name) or name in rows}
        self.measured = frozenset(elsewhere)
        other = any(edit.table not in ("rule", "value", "cautions", "needs") for edit in self.edits)
        verdicts = any(
            rule.layer == "step-verdict"
            for name in self.rules
            for rule in (self.before.get(name), self.after.get(name))
            if rule is not None
        )
        self.anything = other or verdicts or bool(self.measured)

    def touches(self, c: Consultation) -> bool:
        """Whether a consultation under the old knowledge can come out otherwise under the new."""
        if self.anything:
            return True
        for scope, facts in judged_facts(c):
            for name in self.rules:
                if _holds(self.before.get(name), scope, facts) != _holds(self.after.get(name), scope, facts):
                    return True
        return False


def _is_quiet(edit: Edit) -> bool:
    """Whether an edit is of words alone. Which questions there are bears on the order: what no question can bring is not waited for."""
    if edit.table == "rule":
        return bool(edit.detail) and set(edit.detail.split(", ")) <= {"because", "sources", "sound_if"}
    return edit.table in _QUIET or (edit.table == "question" and edit.how == "edited")


def _holds(rule: Rule | None, scope: str, facts: Mapping[str, Fact]) -> object:
    """What a rule says of facts: its conclusion with its truth and its open exceptions; None where it says nothing."""
    if rule is None or rule.about != scope:
        return None
    stand = standing(rule, facts)
    return (
        None
        if stand.fires is False
        else (rule.then, stand.fires, tuple(name for name, lifted in stand.unless if lifted is None))
    )


@dataclass(frozen=True)
class Given:
    """One situation to be looked at, by name."""

    name: str
    situation: Situation
    weather: DailyWeather | None = None


def compare_knowledge(old: Adviser, new: Adviser, given: Iterable[Given]) -> Changed:
    """What moved in some situations between two states of the knowledge, and by which edits.

    A situation that one of them cannot read is listed as failed, with the reason.
    """
    found = edits(old.knowledge, new.knowledge)
    reach = Reach(old.knowledge, new.knowledge, found)
    rows: list[CaseChange] = []
    failed: list[tuple[str, str]] = []
    looked = 0
    for one in given:
        looked += 1
        if not reach.edits:
            continue
        try:
            before = _consulted(old, one)
            if not reach.touches(before):
                continue
            after = _consulted(new, one)
        except DecideError as error:
            failed.append((one.name, str(error)))
            continue
        moved = moves(outcome(before), outcome(after))
        if moved:
            rows.append(_by(one.name, moved, fired_differently(before, after), reach))
    return Changed(old.knowledge.digest, new.knowledge.digest, found, tuple(rows), looked, tuple(failed))


def _consulted(adviser: Adviser, one: Given) -> Consultation:
    try:
        return adviser.consult(one.situation, weather=one.weather)
    except KeyError as error:
        # Knowledge whose verdict rules leave a gap gives an option no verdict; only the audit proves that they do not.
        raise KnowledgeError(
            f"no verdict rule holds for {error.args[0]}",
            where=str(adviser.knowledge.folder),
            instead="Exactly one must hold for each; decide audit says which is missing",
        ) from None


def _by(case: str, moved: tuple[Move, ...], differ: frozenset[str], reach: Reach) -> CaseChange:
    rules = tuple(sorted(differ & set(reach.rules)))
    values = {value for name in rules for value in reach.rules[name]}
    if not rules:
        values |= reach.measured
    return CaseChange(case, moved, rules, tuple(sorted(values)), tuple(sorted(differ - set(rules))))


# ---------- two situations ----------
def _flat(answers: Any, path: str = "") -> dict[str, str]:
    if isinstance(answers, Mapping):
        rows: dict[str, str] = {}
        for key, value in answers.items():
            rows.update(_flat(value, f"{path}.{key}" if path else str(key)))
        return rows
    if isinstance(answers, list) and answers and isinstance(answers[0], Mapping):
        rows = {}
        for place, value in enumerate(answers, start=1):
            rows.update(_flat(value, f"{path}.{value.get('name', place)}"))
        return rows
    if isinstance(answers, bool):
        return {path: "yes" if answers else "no"}
    return {path: ", ".join(map(str, answers)) if isinstance(answers, list) else str(answers)}


def compare_situations(one: Consultation, two: Consultation) -> Difference:
    """Two situations under the same knowledge: where the answers differ, what moved, and which rules fired differently.

    Zones are the same zone where they have the same name.
    """
    left, right = _flat(as_answers(one.filled.situation)), _flat(as_answers(two.filled.situation))
    told = tuple(
        Move("answer", key, left.get(key, ""), right.get(key, ""))
        for key in dict.fromkeys([*left, *right])
        if left.get(key) != right.get(key)
    )
    return Difference(told, moves(outcome(one), outcome(two)), tuple(sorted(fired_differently(one, two))))


# ---------- text ----------
def _moved_lines(moved: Sequence[Move], indent: str) -> Iterator[str]:
    main = [move for move in moved if move.what != "verdict"]
    minor = [move for move in moved if move not in main]
    for move in main:
        yield f"{indent}{move}"
    for move in minor[:_MOST_SHOWN]:
        yield f"{indent}{move}"
    if len(minor) > _MOST_SHOWN:
        yield f"{indent}and {len(minor) - _MOST_SHOWN} more verdicts"


def changed_lines(result: Changed) -> Iterator[str]:
    """A comparison of two states of the knowledge in lines of plain text."""
    if not result.edits:
        yield "The two states of the knowledge say the same. Nothing moved."
        return
    yield f"Between the two, {len(result.edits)} thing{'s' if len(result.edits) > 1 else ''} changed:"
    yield from (f"  {edit}" for edit in result.edits)
    yield ""
    some = len(result.cases)
    yield f"{some or 'None'} of {result.looked_at} situations moved{':' if some else '.'}"
    for case in result.cases:
        yield f"  {case.case}"
        yield from _moved_lines(case.moves, "    ")
        by = [*(f"rule {name}" for name in case.rules), *(f"value {name}" for name in case.values)]
        yield f"    by {listed(by)}" if by else "    by the other tables named above"
        if case.followed:
            yield f"    then these fired otherwise too: {', '.join(case.followed[:_MOST_SHOWN])}" + (
                f" and {len(case.followed) - _MOST_SHOWN} more" if len(case.followed) > _MOST_SHOWN else ""
            )
    for name, why in result.failed:
        yield f"  {name} could not be looked at: {why}"


def difference_lines(result: Difference) -> Iterator[str]:
    """A comparison of two situations in lines of plain text."""
    if not result.told:
        yield "The two situations are the same."
        return
    yield "The answers differ in:"
    yield from (
        f"  {move.about}: {move.before or 'not told'} → {move.after or 'not told'}" for move in result.told
    )
    yield "This moves:" if result.moves else "This moves nothing."
    yield from _moved_lines(result.moves, "  ")
    if result.rules:
        yield f"Rules that fired in one of the two only, or on other things: {len(result.rules)}"
        yield from (f"  {name}" for name in result.rules)
