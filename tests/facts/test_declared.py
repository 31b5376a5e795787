"""Declared facts: each reads what it declares and nothing else, and every declaration that is broken is caught."""

from __future__ import annotations

import copy
import dataclasses
import datetime as dt
from collections.abc import Iterator
from functools import cache
from types import SimpleNamespace

import pytest

from decide.consult import Adviser
from decide.decision.diagnosis import diagnose
from decide.engine.language import SCOPES
from decide.facts import start
from decide.facts.complete import COMPLETED as COMPLETING
from decide.facts.cost import budget_currency
from decide.facts.declare import Declarations, Declared
from decide.facts.declared import DECLARED
from decide.knowledge.tables import Knowledge
from decide.measure.numbers import NEEDED
from decide.model.reading import situation_from_dict
from decide.model.situation import Situation
from tests import shared
from tests.facts.reads import COMPLETED, SHARE, Reads, reads_of, undeclared

# Cases that read nearly all that is declared.
SAMPLE = (
    "ongoing-birds", "ongoing-early-play-goalmouth", "ongoing-seedlings-frosted", "ongoing-sod-seams-drying", "ongoing-washed-out-seed", "all-but-sprays-muncie", "au-adelaide-salt", "na-janesville-spring-for-football", "plan-ohio-slit-seed", "sparse-br-campinas-turf-over-budget", "sparse-dk-odense-wants-bermuda", "step-cover-warm", "uk-october-stopgap", "all-told-columbus-sod-by-spring", "au-geelong-ban", "au-melbourne-squares-on-a-budget", "eu-vlissingen-salt-and-sand", "na-minneapolis-clay-sod-on-sand", "step-thermometer-april",
    "key-gb-stoke-games-and-kickabouts", "key-us-toledo-one-big-weekend", "step-hempstead-december", "us-burlington-soil-test-too-old", "us-yuma-well-of-four",
)  # fmt: skip
# What is declared, and no case of the sample reads.
UNREAD = {
    ("step.grass", "proposal"): "the option that a proposal amounts to is made of it before",
    ("step.season-type", "proposal"): "the option that a proposal amounts to is made of it before",
    ("step.weeks-since", "proposal"): "no case of the sample means to do something on sprayed ground",
    ("step.weeks-since", "today"): "no case of the sample means to do something on sprayed ground",
    ("zone.main-grass", "areas"): "two parts without a grass beside two with one",
    ("zone.main-grass", "zone.keep_off"): "a part without a grass beside one with a grass",
    ("option.water-hours-day", "means.water"): "the dose reads it too",
    ("option.money-days-wait", "offer"): "money that comes later",
    ("option.money-days-wait", "lead-order"): "money that comes later",
    ("option.money-days-wait", "thick-sod-least"): "money that comes later",
    ("dose", "sprig-wettings-hot"): "sprigs in hot weather",
    ("dose", "sprig-wettings-mild"): "sprigs",
    ("dose", "sprig-wettings-cool"): "sprigs",
}


@cache
def read(code: str) -> dict[tuple[str, ...], Reads]:
    return reads_of(shared.adviser(), shared.case_of(code), DECLARED)


def together(codes: tuple[str, ...]) -> dict[tuple[str, ...], Reads]:
    found: dict[tuple[str, ...], Reads] = {}
    for code in codes:
        for names, reads in read(code).items():
            found.setdefault(names, set()).update(reads)
    return found


def inputs() -> Iterator[tuple[Declared, str, str]]:
    """Each input of each measurement; what completes the situation is put in before anything is measured."""
    for row in DECLARED.rows[len(COMPLETING.rows) :]:
        for kind in ("keys", "also", "facts", "values"):
            for name in getattr(row, kind):
                yield row, kind, name


def without(row: Declared, kind: str, name: str) -> tuple[Declarations, Declared]:
    """The declarations with one input of one of them taken out."""
    broken = dataclasses.replace(row, **{kind: tuple(each for each in getattr(row, kind) if each != name)})
    other = copy.copy(DECLARED)
    other.by_name = {each: broken if held is row else held for each, held in DECLARED.by_name.items()}
    return other, broken


def found_out(declared: Declarations, reads: dict[tuple[str, ...], Reads]) -> set[tuple[str, str]]:
    """What the measurements read and do not declare."""
    rows = {row.names: row for row in declared.by_name.values()}
    return {each for names, held in reads.items() for each in undeclared(declared, rows[names], held)}


@pytest.mark.slow
@pytest.mark.parametrize("code", SAMPLE)
def test_a_measurement_reads_nothing_that_it_does_not_declare(code: str) -> None:
    assert found_out(DECLARED, read(code)) == set()


@pytest.mark.slow
@pytest.mark.parametrize("code", shared.case_codes()[::4])
def test_a_measurement_reads_nothing_that_it_does_not_declare_on_other_cases(code: str) -> None:
    assert found_out(DECLARED, reads_of(shared.adviser(), shared.case_of(code), DECLARED)) == set()


@pytest.mark.parametrize(
    ("row", "kind", "name"),
    [
        pytest.param(*each, id=f"{each[0].names[0]}-{each[2]}", marks=pytest.mark.slow if n % 8 else ())
        for n, each in enumerate(inputs())
        if n % 8 == 0 or n % 2
    ],
)
def test_a_broken_declaration_is_caught(row: Declared, kind: str, name: str) -> None:
    """Each declared input taken out in turn: the checker reports it, for some case reads it."""
    other, _ = without(row, kind, name)
    of = DECLARED.by_name.get(name)
    wrong = found_out(other, together(SAMPLE))
    caught = (
        bool(wrong)
        if of is not None and of.quantity and kind == "facts" and name != SHARE
        else name in {each[1] for each in wrong}
    )
    assert caught != ((row.names[0], name) in UNREAD)


def test_what_is_measured_before_anything_is_judged_is_declared(
    adviser: Adviser, knowledge: Knowledge
) -> None:
    """A measured fact that is not declared comes of judging: no consultation knows it before."""
    names = [name for row in DECLARED.rows if not row.quantity for name in row.names]
    assert len(names) == len(set(names))
    judged = {name for name, row in knowledge.facts.items() if row.kind == "measured"} - set(names)
    assert "option.verdict" in judged
    half = diagnose(adviser, shared.case_of(SAMPLE[0]).situation)
    for draft in half.options():
        own = half.measures.option(draft, half.zone_facts[draft.zone])
        assert not judged & {*half.site, *half.zone_facts[draft.zone], *own}


def test_what_is_declared_is_there(adviser: Adviser, knowledge: Knowledge) -> None:
    """Keys are keys of the situation or complete them, facts are facts or quantities, values are values."""
    tables = Situation.model_fields
    for row in DECLARED.rows:
        for key in (*row.keys, *row.also):
            assert key.partition(".")[0] in tables or key in COMPLETED, key
        for name in row.facts:
            assert name in DECLARED.by_name or name in adviser.base.facts, name
            assert name.partition(".")[0] in SCOPES or DECLARED.by_name[name].quantity
    assert knowledge.values.keys() >= DECLARED.values
    assert not DECLARED.values <= NEEDED


# ---------- what follows from the declarations, by hand ----------
def test_an_answer_moves_what_rests_on_it_by_whatever_way() -> None:
    by_contractor = DECLARED.moved_by("means.contractor")
    assert {"option.machine", "option.cost", "option.budget-short"} <= by_contractor
    assert "option.hours-short" not in by_contractor
    by_grass = DECLARED.moved_by("zone.grass")
    assert {"zone.main-grass", "zone.heat-now", "zone.recovery-spare", "option.matches-standing"} <= by_grass
    assert "option.window" not in by_grass
    assert {"option.spare-full", "option.free-short-light"} <= DECLARED.moved_by("zone.sun_hours")
    assert "site.climate" in DECLARED.moved_by("place.altitude_m")


def test_only_what_is_asked_brings_a_fact(adviser: Adviser) -> None:
    brought = adviser.brought_by
    assert brought["option.budget-short.high"] == {"means.budget", "means.contractor", "zone.area_m2"}
    assert brought["zone.recovery-days.late"] == {"zone.grass"}
    assert brought["option.offer-grown-on"] == {"offer.grown_on"}
    assert brought["site.climate"] == {"place.name"}
    assert brought["option.verdict"] == frozenset()


def test_machines_are_as_far_away_as_the_farthest_of_them(adviser: Adviser) -> None:
    """Of two machines that are needed, one owned and one hired are hired; one that nobody has is missing."""

    methods = adviser.knowledge.methods
    two = next(code for code, row in methods.items() if len(row.machines) > 1)
    first, second = (group[0] for group in methods[two].machines[:2])

    def source(**means: object) -> str | None:
        said = {"dates": {"today": "2026-05-12"}, "zone": [{"name": "field"}], "means": means}
        return start.machine(start.Plant(adviser.fill(situation_from_dict(said), None), "", two))

    assert source(equipment_own=[first, second], equipment_hire=[], contractor=False) == "own"
    assert source(equipment_own=[first], equipment_hire=[second], contractor=False) == "hire"
    assert source(equipment_own=[first], equipment_hire=[], contractor=True) == "contractor"
    assert source(equipment_own=[], equipment_hire=[second], contractor=True) == "contractor"
    assert source(equipment_own=[first], equipment_hire=[], contractor=False) == "missing"
    assert source(equipment_own=[first]) is None


def test_light_and_water_that_are_short_slow_growth_together(
    adviser: Adviser, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Half the sun and half the water leave a quarter of the growth, not a half; by hand."""
    said = {
        "dates": {"today": "2026-05-12"}, "place": {"name": "York", "country": "gb"},
        "zone": [{"name": "field", "sun_hours": 2}], "means": {"water": "none"},
    }  # fmt: skip
    filled = adviser.fill(situation_from_dict(said), None)
    numbers = {"growth-share-least": 0.1, "sun-hours-least": 4.0}
    monkeypatch.setattr(
        filled,
        "library",
        SimpleNamespace(number=lambda name, key="": numbers[name], knowledge=filled.library.knowledge),
    )
    monkeypatch.setattr(filled, "rain_short", lambda day, season: 14.0)
    monkeypatch.setattr(filled, "need_mm_a_day", lambda day, season: 4.0)
    assert start.growth_share(filled, "perennial-ryegrass/seed", dt.date(2026, 5, 12), "field") == 0.25


@pytest.mark.parametrize(
    ("field", "ground"),
    [({"rootzone": "sand cap", "drainage": "poor"}, "sand"), ({"rootzone": "sand built"}, "sand"), ({"drainage": "poor"}, "poor"),
     ({"rootzone": "native", "drainage": "slow"}, "slow"), ({}, None)],
)  # fmt: skip
def test_ground_is_sand_where_it_is_capped_or_built_of_sand(
    adviser: Adviser, field: dict[str, str], ground: str | None
) -> None:
    said = {"dates": {"today": "2026-05-12"}, "zone": [{"name": "field"}], "field": field}
    assert diagnose(adviser, situation_from_dict(said)).site.get("site.ground-class") == ground


@pytest.mark.parametrize(
    ("country", "told", "money"),
    [("gb", None, "GBP"), ("de", None, "EUR"), ("us", None, "USD"), ("gb", "EUR", "EUR"), ("", None, None)],
)
def test_money_is_that_of_the_country_unless_another_is_told(
    adviser: Adviser, country: str, told: str | None, money: str | None
) -> None:
    said = {
        "dates": {"today": "2026-05-12"}, "zone": [{"name": "field"}],
        "place": {"country": country} if country else {}, "means": {"currency": told} if told else {},
    }  # fmt: skip
    assert budget_currency(adviser.fill(situation_from_dict(said), None)) == money
