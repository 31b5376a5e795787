"""What differs between two states of the knowledge, and how far that can reach."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from decide.cases.outcome import judged_facts
from decide.decision.consultation import Consultation
from decide.engine.language import Fact, Rule
from decide.engine.plain import standing
from decide.knowledge.audit_code import read_code
from decide.knowledge.compile import compile_rules
from decide.knowledge.tables import Knowledge
from decide.measure.numbers import NEEDED

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
    "sources", "facts", "grasses", "mixtures", "methods", "variants", "equipment", "fields", "cautions",
    "needs", "causes", "words", "opening", "rescue", "better", "usual", "meanwhile", "windows", "edges",
    "tasks", "watering", "year", "supplies", "wishes",
)  # fmt: skip


@dataclass(frozen=True)
class Edit:
    """One thing that differs between two states of the knowledge: a rule, a value or a row of another
    table.
    """

    table: str
    name: str
    how: str
    detail: str = ""

    def __str__(self) -> str:
        return f"{self.table} {self.name} {self.how}" + (f" ({self.detail})" if self.detail else "")


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
    """How far edits can reach: whether a consultation under the old knowledge can come out otherwise under
    the new.

    Where only rules were edited, and values that nothing but rules read, nothing moves unless one of these
    rules holds otherwise of something that was judged. Any other edit may move anything.
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
    """Whether an edit is of words alone. Which questions there are bears on the order: what no question can
    bring is not waited for.
    """
    if edit.table == "rule":
        return bool(edit.detail) and set(edit.detail.split(", ")) <= {"because", "sources", "sound_if"}
    return edit.table in _QUIET or (edit.table == "question" and edit.how == "edited")


def _holds(rule: Rule | None, scope: str, facts: Mapping[str, Fact]) -> object:
    """What a rule says of facts: its conclusion with its truth and its open exceptions; None where it says
    nothing.
    """
    if rule is None or rule.about != scope:
        return None
    stand = standing(rule, facts)
    return (
        None
        if stand.fires is False
        else (rule.then, stand.fires, tuple(name for name, lifted in stand.unless if lifted is None))
    )
