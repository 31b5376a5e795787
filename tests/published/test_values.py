"""The numbers that rules compare with, against what published sources print of them."""

from __future__ import annotations

import csv

import pytest

from decide.model.units import convert
from tests.mutation.planted import Planted, Planter
from tests.mutation.survey import by_figures
from tests.published.figures import FIGURES, Figure, figures, unmet
from tests.shared import adviser

KNOWN = figures()
# Codes of what is nobody's publication.
OWN = {"own-rule", "common-practice", "memory", "calculated", "definition"}


@pytest.mark.parametrize("name", KNOWN, ids=lambda name: f"{name[0]}[{name[1]}]")
def test_the_number_in_use_is_what_is_published(name: tuple[str, str]) -> None:
    knowledge = adviser().knowledge
    value, key = name
    used = knowledge.statement(value, key)
    assert used is not None
    source = unmet(KNOWN[name], used.amount, knowledge.values[value].unit, used.source)
    assert not source, (
        [(each.low, each.high, each.unit, each.source) for each in KNOWN[name]],
        [convert(used.amount, knowledge.values[value].unit, each.unit) for each in KNOWN[name]],
    )


def test_each_figure_names_a_publication_and_where_it_stands_and_none_stands_twice() -> None:
    known = adviser().knowledge.sources
    rows = [figure for held in KNOWN.values() for figure in held]
    assert [figure for figure in rows if figure.source not in known or figure.source in OWN] == []
    assert all(figure.where and figure.low <= figure.high for figure in rows)
    with FIGURES.open(encoding="utf-8", newline="") as file:
        lines = [tuple(row[:6]) for row in csv.reader(file)]
    assert len(set(lines)) == len(lines) == len(rows) + 1


@pytest.mark.slow
def test_each_number_is_one_that_rules_compare_with() -> None:
    read = {(each.number.value, each.number.key) for each in Planter(adviser()).values() if each.number}
    assert read >= KNOWN.keys()


@pytest.mark.slow
def test_a_number_a_fifth_off_is_noticed_unless_the_printed_range_is_wide() -> None:
    planter = Planter(adviser())
    planted: list[Planted] = list(planter.values())
    found = by_figures(planter.book.knowledge, planted)
    assert found["mow-height-high[manilagrass] times 1.2"] == "published: tb-california-mowing"
    assert found["hours-growing-cool[good] times 1.2"] == ""
    assert "hand-area[sprigs] times 0.8" not in found


@pytest.mark.parametrize(
    ("amount", "unit", "holds"),
    [(25, "mm", True), (1, "in", True), (24, "mm", False), (50, "mm", True), (54, "mm", False)],
)
def test_a_figure_holds_within_its_range_but_for_rounding(amount: float, unit: str, holds: bool) -> None:
    assert Figure("depth", "", 1, 2, "in", "some-page", "a table").holds(amount, unit) is holds


def test_a_warmth_holds_to_the_degree() -> None:
    warmth = Figure("warmth", "", 70, 70, "F", "some-page", "a table")
    assert [warmth.holds(c, "C") for c in (20, 21, 22)] == [False, True, False]


def test_the_source_named_as_used_counts_before_others() -> None:
    one, other = (Figure("days", "", n, n, "day", f"page-{n}", "a table") for n in (10, 20))
    assert unmet([one, other], 10, "day", "page-10") == ""
    assert unmet([one, other], 10, "day", "page-20") == "page-20"
    assert unmet([one, other], 10, "day", "own-rule") == ""
    assert unmet([one, other], 15, "day", "own-rule") == "page-10"
