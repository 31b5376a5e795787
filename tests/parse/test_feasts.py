"""Days that go by a name are those of the country, whether they move or not."""

import datetime as dt
import re

import pytest

from decide.parse.dates import read_date
from decide.parse.feasts import calendar_of, day_called, is_feast, names_of_feasts
from decide.parse.results import NotUnderstood, Setting, Understood
from tests.parse.settings import TALK

TODAY = dt.date(2026, 5, 20)


def setting(country: str | None, past: bool = False) -> Setting:
    return Setting(TODAY, country=country, past=past, talk=TALK)


@pytest.mark.parametrize(
    ("words", "country", "day"),
    [
        ("independence day", "in", dt.date(2026, 8, 15)),
        ("independence day", "us", dt.date(2026, 7, 4)),
        ("independence day", "ke", dt.date(2026, 12, 12)),
        ("independence day", "ng", dt.date(2026, 10, 1)),
        ("independence day", "mx", dt.date(2026, 9, 16)),
        ("merdeka", "my", dt.date(2026, 8, 31)),
        ("victoria day", "ca", dt.date(2027, 5, 24)),  # that of 2026 was two days ago
        ("heritage day", "za", dt.date(2026, 9, 24)),
        ("labour day", "nz", dt.date(2026, 10, 26)),
        # Christmas and Easter are kept on the days of the country.
        ("christmas", "gb", dt.date(2026, 12, 25)),
        ("christmas day", "ru", dt.date(2027, 1, 7)),
        ("easter", "au", dt.date(2027, 3, 28)),
        ("easter", "gb", dt.date(2027, 3, 28)),
        ("easter", "gr", dt.date(2027, 5, 2)),
        ("good friday", "ro", dt.date(2027, 4, 30)),
        # What the calendar of the country lacks.
        ("halloween", "gb", dt.date(2026, 10, 31)),
        ("michaelmas", "gb", dt.date(2026, 9, 29)),
        ("the fourth of july", "us", dt.date(2026, 7, 4)),
        ("easter monday", "us", dt.date(2027, 3, 29)),
        ("whitsun", "gb", dt.date(2026, 5, 24)),
        ("anzac day", None, dt.date(2027, 4, 25)),
    ],
)
def test_the_next_day_of_a_name_is_that_of_the_country(words: str, country: str | None, day: dt.date) -> None:
    assert day_called(words, setting(country)) == day


def test_the_past_looks_back() -> None:
    assert day_called("victoria day", setting("ca", past=True)) == dt.date(2026, 5, 18)
    assert day_called("christmas", setting("gb", past=True)) == dt.date(2025, 12, 25)


def test_a_country_has_only_its_own_days() -> None:
    assert day_called("heritage day", setting("us")) is None
    assert calendar_of("xx", (2026,)) == {}


@pytest.mark.parametrize("country", [None, "gb", "fi"])
def test_a_day_of_which_it_must_be_known_where_is_asked_back(country: str | None) -> None:
    found = read_date("thanksgiving", setting(country))
    assert is_feast("thanksgiving", setting(country))
    assert isinstance(found, NotUnderstood)
    assert found.say.startswith("Which day is that?")


@pytest.mark.parametrize("country", [None, "us", "gb", "in", "za", "ru", "br"])
def test_every_name_is_a_pattern_that_reads_as_a_feast(country: str | None) -> None:
    for name in names_of_feasts(setting(country)):
        re.compile(name)
    known = calendar_of(country or "", (2026,))
    hidden = set(TALK["feasts"]["not"])
    for name, days in known.items():
        if name not in hidden:
            assert is_feast(name, setting(country))
            found = read_date(name, Setting(dt.date(2026, 1, 1), country=country, talk=TALK))
            assert isinstance(found, Understood), (name, found)
            assert found.value in {day.isoformat() for day in days} or len(days) > 1
