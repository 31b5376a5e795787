"""Amounts of US keys, however they are written, and keys that stand twice."""

from decimal import Decimal
from typing import Any

import pytest

from decide.model.errors import SituationError
from decide.model.reading import read_situation, situation_from_dict


# 75,000 ft2 by 0.09290304 m2 each.
@pytest.mark.parametrize("amount", [75000, 75000.0, "75000", " 75000 ", "7.5e4", Decimal(75000)])
def test_an_amount_of_a_us_key_is_converted_however_it_is_written(amount: object) -> None:
    assert situation_from_dict({"field": {"area_ft2": amount}}).field.area_m2 == pytest.approx(6967.728)


def test_a_list_of_amounts_is_converted() -> None:
    """Twelve months of 32 °F and one inch; a month in text like the others."""
    place = situation_from_dict(
        {"place": {"monthly_mean_f": [32] * 11 + ["50"], "monthly_rain_in": [1.0] * 12}}
    ).place
    assert place.monthly_mean_c == [0.0] * 11 + [10.0]
    assert place.monthly_rain_mm == [25.4] * 12


@pytest.mark.parametrize(
    ("amount", "said"),
    [("a lot", "'a lot' is not a number"), ("nan", "not a finite number"), (True, "takes no true or false")],
)
def test_what_is_no_amount_is_still_an_error(amount: object, said: str) -> None:
    with pytest.raises(SituationError, match=said):
        situation_from_dict({"field": {"area_ft2": amount}})


def test_not_known_is_not_converted() -> None:
    assert situation_from_dict({"field": {"area_ft2": "don't know"}}).field.area_m2 is None


@pytest.mark.parametrize(("text", "path"), [
    ('{"field": {"bare_percent": 4, "bare_percent": 40}}', "field.bare_percent"),
    ('{"field": {"bare_percent": 40, "bare_percent": 40}}', "field.bare_percent"),
    ('{"zone": [{"name": "a"}, {"name": "b", "grass": ["x"], "grass": []}]}', r"zone\[2\].grass"),
    ('{"field": {"area_m2": 1, "area_m2": 2}, "field": {}}', "field"),
])  # fmt: skip
def test_a_key_that_stands_twice_in_json_is_named_with_its_place(text: str, path: str) -> None:
    with pytest.raises(SituationError, match=f"^field.json: {path} stands twice. Keep the one") as caught:
        read_situation(text, "field.json")
    assert caught.value.where == "field.json"


def test_one_key_in_two_tables_is_not_twice() -> None:
    zones: list[dict[str, Any]] = [{"name": "a", "bare_percent": 4}, {"name": "b", "bare_percent": 40}]
    text = '{"zone": [{"name": "a", "bare_percent": 4}, {"name": "b", "bare_percent": 40}]}'
    assert read_situation(text) == situation_from_dict({"zone": zones})


def test_an_advice_is_no_situation() -> None:
    with pytest.raises(SituationError, match=r"this is an advice \(advice/1\).*from which it was made"):
        read_situation('{"schema": "advice/1", "options": []}')
