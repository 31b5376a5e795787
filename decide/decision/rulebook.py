"""Knowledge made ready for many consultations: compiled rules, engines, numbers and climate tables."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from decide.engine.base import RuleBase
from decide.engine.judge import Engines, Judge
from decide.engine.language import (
    SCOPES,
    Condition,
    Fact,
    FactType,
    Rule,
    Template,
)
from decide.engine.plain import conjunction
from decide.engine.written import parse_condition, parse_template
from decide.facts.complete import fill
from decide.facts.declared import brought_by
from decide.facts.filled import Filled
from decide.facts.library import Library
from decide.facts.lifted import with_changes_said
from decide.facts.progress import (
    check_record,
)
from decide.knowledge.compile import all_numbers, compile_rules
from decide.knowledge.known import check_known
from decide.knowledge.schema import Conditional
from decide.knowledge.tables import Knowledge
from decide.measure.weather import DailyWeather
from decide.model.situation import Situation


class Rulebook:
    """Knowledge made ready for many consultations: compiled rules, engines, numbers, climate tables. Holds no
    situation.
    """

    def __init__(self, knowledge: Knowledge, engines: Engines = "both") -> None:
        self.knowledge = knowledge = with_changes_said(knowledge)
        self.base: RuleBase = compile_rules(knowledge)
        self.rules: Mapping[str, Rule] = {rule.id: rule for rule in self.base.rules}
        self.judge = Judge(self.base, engines)
        self.usual: Mapping[str, FactType] = {
            name: kind for name, kind in self.base.facts.items() if kind.usual is not None
        }
        self.library = Library(knowledge)
        self.quiet = frozenset(name for name, kind in self.base.facts.items() if kind.quiet)
        self.asked = frozenset(question.key for question in knowledge.questions)
        self.brought_by = brought_by(knowledge, self.base.facts)
        # Set where many answers are tried on one situation, so that what they have in common is measured
        # once.
        self.measured: dict[tuple[Any, ...], dict[Any, Any]] | None = None
        self._numbers = all_numbers(knowledge)
        self._conditions: dict[str, Condition] = {}
        self._templates: dict[str, Template] = {}

    def fill(self, situation: Situation, weather: DailyWeather | None) -> Filled:
        filled = fill(situation, self.library, weather)
        if self.measured is not None:
            filled.measured = self.measured
        return filled

    def template(self, text: str) -> Template:
        """A text of the tables, parsed once; it may name facts of every scope."""
        if text not in self._templates:
            self._templates[text] = parse_template(text, self.base.facts, self._numbers, SCOPES)
        return self._templates[text]

    def condition(self, text: str) -> Condition:
        """A condition of a table, parsed once."""
        if text not in self._conditions:
            self._conditions[text] = parse_condition(text, self.base.facts, self._numbers)
        return self._conditions[text]

    def holds(self, row: Conditional, facts: Mapping[str, Fact]) -> bool:
        """Whether a row of the tables stands: all of its `when` hold, and not all of its `unless`."""
        return self._all(row.when, facts) and not (row.unless and self._all(row.unless, facts))

    def _all(self, conditions: Sequence[str], facts: Mapping[str, Fact]) -> bool:
        return conjunction([self.condition(text) for text in conditions], facts) is True

    def close(self) -> None:
        """Give back what the engines hold."""
        self.judge.close()


def check_names(filled: Filled) -> None:
    """SituationError where the situation, or its record, names what the knowledge has not."""
    check_known(filled.library.knowledge, filled.situation)
    check_record(filled)
