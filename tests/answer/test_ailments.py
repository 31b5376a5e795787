"""What lives in turf that stands: every kind that can be told has its answer, care comes first, and nothing is said of what was not told."""

from __future__ import annotations

from typing import Any

import pytest

from decide.answer.ailments import ailments
from decide.answer.assemble import advice_of
from decide.answer.teller import Teller
from decide.decision.consultation import Consultation
from decide.model.situation import Zone
from decide.model.written import levels_of
from decide.report.text import render
from tests.decision.fields import consulted
from tests.shared import knowledge


def at(zone: dict[str, Any], today: str = "2026-06-10", **tables: Any) -> Consultation:
    """An invented club's field in Leeds, of one part."""
    return consulted(
        {
            "place": {"name": "Leeds", "country": "gb"},
            "dates": {"today": today, "play_by": "2027-06-01"},
            "use": [{"sport": "football"}],
            "zone": [{"name": "whole field", **zone}],
            **tables,
        }
    )


def told(consultation: Consultation) -> list[str]:
    return [row.code for row in ailments(Teller(consultation))]


KINDS = [
    (key, level)
    for key in ("weeds", "pests", "disease_signs")
    for level in levels_of(Zone.model_fields[key].annotation)
    if level != "none"
]


@pytest.mark.parametrize(("key", "level"), KINDS)
def test_each_kind_that_can_be_told_is_answered(key: str, level: str) -> None:
    """A told fact that is dropped without a word is the worst fault."""
    found = ailments(Teller(at({key: [level]})))
    assert len(found) == 1
    row = found[0]
    assert all((row.tell, row.why, row.do, row.sources))


@pytest.mark.parametrize(("zone", "code"), [
    ({"bare_shape": "rounds"}, "rounds-without-a-name"),
    ({"bare_shape": "lifts like carpet"}, "lifts-like-carpet"),
    ({"tug": "lifts"}, "lifts"),
])  # fmt: skip
def test_a_mark_without_a_name_is_answered(zone: dict[str, Any], code: str) -> None:
    assert told(at(zone)) == [code]


def test_what_was_not_told_is_not_spoken_of() -> None:
    assert told(at({})) == []
    assert told(at({"weeds": ["none"], "pests": ["none"], "disease_signs": ["none"]})) == []


def test_a_named_sign_takes_the_place_of_rounds() -> None:
    assert told(at({"bare_shape": "rounds", "disease_signs": ["green rings"]})) == ["fairy-ring"]


def test_a_part_that_is_left_alone_is_not_spoken_of() -> None:
    assert told(at({"keep_off": True, "weeds": ["moss"]})) == []


@pytest.mark.parametrize(("today", "code"), [
    ("2026-06-10", "red-thread"),
    ("2026-12-10", "red-thread-in-the-cold"),
])  # fmt: skip
def test_hunger_disease_is_fed_only_while_the_grass_grows(today: str, code: str) -> None:
    found = ailments(Teller(at({"disease_signs": ["red threads"]}, today)))
    assert [row.code for row in found] == [code]
    assert ("too cold to feed" in found[0].do) == (code == "red-thread-in-the-cold")


# Five to a square foot is where worn turf is harmed: 54 to a square metre.
@pytest.mark.parametrize(("count", "code"), [
    ({"pests_per_ft2": 4}, "few-grubs"), ({"pests_per_ft2": 6}, "grubs"),
    ({"pests_per_m2": 43}, "few-grubs"), ({"pests_per_m2": 65}, "grubs"), ({}, "grubs"),
])  # fmt: skip
def test_a_count_parts_few_from_many_and_silence_is_not_few(count: dict[str, float], code: str) -> None:
    assert told(at({"pests": ["grubs"], **count})) == [code]


def test_where_pesticides_are_barred_no_treatment_is_spoken_of() -> None:
    barred = ailments(Teller(at({"weeds": ["crabgrass"]}, limits={"pesticides": "banned"})))
    free = ailments(Teller(at({"weeds": ["crabgrass"]})))
    assert "barred" in barred[0].treat
    assert "licensed person" in free[0].treat
    assert "licensed person" not in barred[0].treat


@pytest.mark.parametrize(
    "pest", ["grubs", "leatherjackets", "armyworm", "mole crickets", "billbugs", "chinch bugs"]
)
def test_where_pesticides_are_barred_it_is_said_what_may_be_done_without(pest: str) -> None:
    (barred,) = ailments(Teller(at({"pests": [pest]}, limits={"pesticides": "banned"})))
    (free,) = ailments(Teller(at({"pests": [pest]})))
    row = knowledge().ailments[barred.code]
    assert row.without
    assert "barred" in barred.treat
    assert barred.treat.endswith(row.without[-40:])
    assert "pesticide authority" in barred.treat or "Flush" in barred.treat
    assert "licensed person" not in barred.treat
    assert "barred" not in free.treat


def test_standing_turf_is_tended_and_not_called_idle() -> None:
    advice = advice_of(at({"pests": ["worms"]}))
    assert advice.decision == "tend the turf"
    assert advice.fate is not None
    assert advice.fate.level == "yes"
    page = render(advice).lower()
    assert "what lives in the turf" in page
    assert "worm casts." in page
    assert "nothing needs doing" not in page
    assert "why it is bare" not in page


@pytest.mark.parametrize("sign", ["fish-hook tips", "greasy patches", "smoky rings", "winter patches"])
def test_what_nitrogen_feeds_is_not_fed(sign: str) -> None:
    """Nothing in the plan of recovery feeds turf while a disease runs that nitrogen feeds."""
    thin = {"bare_percent": 25, "bare_pattern": "scattered", "grass": [{"grass": "perennial ryegrass"}]}
    feeds = [
        {task.template for task in advice_of(at({**thin, **more})).plan} & {"feed-to-recover"}
        for more in ({}, {"disease_signs": [sign]})
    ]
    assert feeds == [{"feed-to-recover"}, set()]
