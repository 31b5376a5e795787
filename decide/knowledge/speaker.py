"""Facts, values and codes in plain words, in the units of the reader."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Final

from decide.engine.language import Fact, FactType, Template
from decide.knowledge.tables import Knowledge
from decide.measure.dates import MONTH_CODES
from decide.model.units import System

# estimates from here on have two figures
_TWO_FIGURES_FROM: Final = 100


class Speaker:
    """Says facts, values and codes in words; holds the knowledge and the system of units."""

    def __init__(self, knowledge: Knowledge, system: System = "metric") -> None:
        self.knowledge = knowledge
        self.system: System = system
        self.language = knowledge.language
        self.unknown_figure = knowledge.text("figure-unknown")

    def plant(self, code: str) -> str:
        """The name of a grass or mixture."""
        k = self.knowledge
        if code in k.grasses:
            return k.grasses[code].name
        return k.mixtures[code].name if code in k.mixtures else code.replace("-", " ")

    def method(self, code: str) -> str:
        """The name of a method."""
        return self.knowledge.methods[code].name if code in self.knowledge.methods else code.replace("-", " ")

    def remedy(self, code: str) -> str:
        """What a remedy is called."""
        return self.knowledge.text(f"remedy-{code}")

    def step(self, code: str) -> str:
        """What a step is called."""
        return self.language.named("step", code)

    def way(self, remedy: str, plant: str, method: str, variant: str) -> str:
        """What an option does, without its date: "perennial ryegrass by seed drilled in", or the remedy
        alone.
        """
        if remedy not in ("establish", "carry-on"):
            return self.remedy(remedy)
        named = "" if variant == "plain" else f" ({self.knowledge.variants[variant].name})"
        say = self.knowledge.text
        way = say("way-new-grass", plant=self.plant(plant), method=self.method(method) + named)
        return way if remedy == "establish" else say("way-carried-on", way=way)

    def level(self, name: str, code: str) -> str:
        """A level of a fact in words."""
        k = self.knowledge
        if code in k.grasses or code in k.mixtures:
            return self.plant(code)
        if code in k.methods:
            return self.method(code)
        if name.endswith("month") and code in MONTH_CODES:
            return self.language.month_name(MONTH_CODES.index(code) + 1)
        if code in k.equipment:
            return k.equipment[code].name
        if name.endswith(("country", "region")):
            return code.upper()
        if name == "step.step":
            return self.step(code)
        return self.language.named("level", code)

    def fact(self, kind: FactType | None, value: Fact) -> str:
        """A fact's value in words."""
        if isinstance(value, bool):
            return self.knowledge.text("yes" if value else "no")
        if isinstance(value, str):
            return self.level(kind.name if kind else "", value)
        return self.language.show(
            self._round(value, kind.unit if kind else "count"), kind.unit if kind else "count", self.system
        )

    @staticmethod
    def _round(value: float, unit: str) -> float:
        """Figures that are estimates are not shown finer than they are known."""
        if unit in ("K-day", "litre", "money"):
            return float(f"{value:.2g}") if abs(value) >= _TWO_FIGURES_FROM else round(value)
        if unit == "mm":
            return value
        if unit in ("C", "percent", "day"):
            return round(value)
        return round(value, 1)

    def value(self, name: str, key: str = "") -> str | None:
        """A value in use in words, in its own unit; None where there is no data."""
        statement = self.knowledge.statement(name, key)
        return (
            None
            if statement is None
            else self.language.show(statement.amount, self.knowledge.values[name].unit, self.system)
        )

    def fill(self, template: Template, facts: Mapping[str, Fact], types: Mapping[str, FactType]) -> str:
        """The text of a template with its holes filled; an unknown fact is said to be unknown."""
        words: list[str] = []
        for part in template.parts:
            if isinstance(part, str):
                words.append(part)
                continue
            kind, name, index = part
            if kind == "fact":
                held = facts.get(name)
                words.append(self.unknown_figure if held is None else self._said(name, held, types))
            else:
                key = index[1:] if index.startswith("=") else facts.get(index) if index else ""
                said = (
                    self.value(name, key if isinstance(key, str) else "")
                    if not index or isinstance(key, str)
                    else None
                )
                words.append(said if said is not None else self.unknown_figure)
        return _capital(self.language.ranged("".join(words)))

    def sentences(self, template: Template, facts: Mapping[str, Fact], types: Mapping[str, FactType]) -> str:
        """The text of a template as `fill` gives it, without the sentences whose figures are not known."""
        said = self.fill(template, facts, types)
        if self.unknown_figure not in said:
            return said
        return " ".join(part for part in re.split(r"(?<=[.!?]) ", said) if self.unknown_figure not in part)

    def _said(self, name: str, held: Fact, types: Mapping[str, FactType]) -> str:
        """A signed measure is said without its sign: the sentence around it says which way it goes."""
        kind = types.get(name)
        if isinstance(held, float) and held < 0 and kind is not None and kind.unit not in ("C", "F"):
            held = -held
        return self.fact(kind, held)


def _capital(text: str) -> str:
    """Every sentence with a capital: a name filled in at its head may have none."""
    return re.sub(r"(^|[.!?] )([^\W\d_])", lambda match: match[1] + match[2].upper(), text)
