"""What published sources say of the numbers that rules compare with: `values.csv`, transcribed from the sources by hand."""

from __future__ import annotations

import csv
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Final

from decide.model.units import convert, dimension

FIGURES: Final = Path(__file__).parent / "values.csv"
# What a number loses where it is turned into another unit and rounded there: a share of it, of a warmth one degree.
ROUNDING: Final = 0.05
DEGREE: Final = 1.0


@dataclass(frozen=True)
class Figure:
    """What one source prints of a value for a key: a figure, or the range from `low` to `high`."""

    value: str
    key: str
    low: float
    high: float
    unit: str
    source: str
    where: str

    def holds(self, amount: float, unit: str) -> bool:
        """Whether an amount in some unit is what is printed, but for rounding."""
        said = convert(amount, unit, self.unit)
        if dimension(self.unit) == "temperature":
            return self.low - DEGREE <= said <= self.high + DEGREE
        return self.low * (1 - ROUNDING) <= said <= self.high * (1 + ROUNDING)


@cache
def figures() -> Mapping[tuple[str, str], tuple[Figure, ...]]:
    """All that is printed of each value and key."""
    found: dict[tuple[str, str], list[Figure]] = {}
    with FIGURES.open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            figure = Figure(**{**row, "low": float(row["low"]), "high": float(row["high"])})  # type: ignore[arg-type]
            found.setdefault((figure.value, figure.key), []).append(figure)
    return {key: tuple(held) for key, held in found.items()}


def unmet(known: Sequence[Figure], amount: float, unit: str, used: str) -> str:
    """The source that an amount does not meet, "" where it meets one: of the source named as used, where that prints
    something, one of its figures; else one of any source.
    """
    asked = [figure for figure in known if figure.source == used] or known
    return "" if any(figure.holds(amount, unit) for figure in asked) else asked[0].source
