"""Days that go by a name are those of the country, whether they move or not."""

import datetime as dt

import pytest

from decide.parse.feasts import day_called, feasts_of

TODAY = dt.date(2026, 5, 20)
NAMES = {"merdeka(?: day)?": ["national day"], "independence day": ["independence day", "national day"]}


@pytest.mark.parametrize(
    ("words", "country", "day"),
    [
        ("independence day", "in", dt.date(2026, 8, 15)),
        ("independence day", "us", dt.date(2026, 7, 4)),
        ("merdeka", "my", dt.date(2026, 8, 31)),
        ("victoria day", "ca", dt.date(2027, 5, 24)),  # that of 2026 was two days ago
        ("heritage day", "za", dt.date(2026, 9, 24)),
        ("labour day", "nz", dt.date(2026, 10, 26)),
    ],
)
def test_the_next_day_of_a_name_is_that_of_the_country(words: str, country: str, day: dt.date) -> None:
    assert day_called(words, country, TODAY, NAMES, past=False) == day


def test_the_past_looks_back() -> None:
    assert day_called("victoria day", "ca", TODAY, NAMES, past=True) == dt.date(2026, 5, 18)


def test_a_country_has_only_its_own_days() -> None:
    assert day_called("heritage day", "us", TODAY, NAMES, past=False) is None
    assert feasts_of("xx", (2026,)) == {}
