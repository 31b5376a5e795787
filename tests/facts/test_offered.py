"""What a seller tells of seed and sod, as rules read it; what nobody told stays unknown."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest

from decide.decision.diagnosis import diagnose
from decide.facts.draft import planted
from decide.model.reading import situation_from_dict
from tests.decision.fields import SHUT
from tests.shared import adviser

START = dt.date(2026, 8, 20)  # a hundred days after today


def facts(method: str, *offers: dict[str, Any], start: dt.date | None = START) -> dict[str, Any]:
    """What is offered of Kentucky bluegrass by a method, with a start."""
    here = diagnose(adviser(), situation_from_dict({**SHUT, "offer": list(offers)}))
    draft = planted(here.knowledge, "whole-field", method, "kentucky-bluegrass", start=start)
    found = here.measures.option(draft, here.zone_facts["whole-field"])
    return {name.removeprefix("option."): value for name, value in found.items() if "option.offer" in name}


SEED = {"what": "seed", "grass": "kentucky bluegrass"}
SOD = {"what": "sod", "grass": "kentucky bluegrass", "thickness_mm": 15}


@pytest.mark.parametrize(("lead", "short"), [(130, 30), (100, 0), (70, -30)])
def test_days_short_are_those_of_the_delivery_after_the_start(lead: int, short: int) -> None:
    assert facts("broadcast-seed", {**SEED, "lead_days": lead})["offer-days-short"] == short


def test_pure_live_seed_is_the_share_that_is_pure_and_germinates() -> None:
    """Of 100 kg that are 90 % pure, of which 80 % germinate, 72 kg live."""
    assert facts("broadcast-seed", {**SEED, "purity": 90, "germination": 80})["offer-pls"] == pytest.approx(
        72
    )


@pytest.mark.parametrize("half", [{"purity": 90}, {"germination": 80}])
def test_half_a_label_tells_no_pure_live_seed(half: dict[str, int]) -> None:
    assert "offer-pls" not in facts("broadcast-seed", {**SEED, **half})


def test_sod_is_as_thick_and_from_the_soil_that_its_grower_says() -> None:
    told = facts("thin-sod", {**SOD, "grown_on": "clay"})
    assert (told["offer"], told["offer-thickness-mm"], told["offer-grown-on"]) == ("offered", 15, "clay")


@pytest.mark.parametrize(("treated", "said"), [(True, "yes"), (False, "no")])
def test_seed_is_treated_where_the_label_says_so(treated: bool, said: str) -> None:
    assert facts("broadcast-seed", {**SEED, "treated": treated})["offer-treated"] == said


def test_what_a_seller_does_not_say_is_unknown() -> None:
    assert facts("broadcast-seed", SEED) == {"offer": "offered"}


def test_of_what_nobody_offers_nothing_is_known_but_that() -> None:
    assert facts("thin-sod", {**SEED, "lead_days": 10, "purity": 90, "germination": 80}) == {
        "offer": "not-offered"
    }
    assert facts("broadcast-seed", {**SEED, "lead_days": 10}, start=None) == {}
