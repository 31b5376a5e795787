"""Phrases that people type, with what they mean. All expectations were written by hand before the first run.

Unit conversions: NIST Handbook 44, appendix C, 2023 (acre 4,046.8564224 m², yard 0.9144 m, foot 0.3048 m,
inch 25.4 mm, US gallon 3.785411784 litres). The words are common practice, no source.
"""

from __future__ import annotations

import datetime as dt
import time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from decide.parse.answers import KINDS, pick, read, say_value
from decide.parse.plain import LONGEST, clean, fold, spaced
from decide.parse.results import (
    Answer,
    AskBack,
    Choice,
    Elsewhere,
    Money,
    NotUnderstood,
    Reading,
    Setting,
    Share,
    Unknown,
)

TODAY = dt.date(2026, 5, 20)  # a Wednesday
NOWHERE = Setting(TODAY)
NORTH = Setting(TODAY, hemisphere="north", country="gb", units="metric")
SOUTH = Setting(TODAY, hemisphere="south", country="au", units="metric")
METRIC = Setting(TODAY, units="metric")
US = Setting(TODAY, hemisphere="north", country="us", units="us")
PAST = Setting(TODAY, hemisphere="north", past=True)

WATER = (
    Choice("none", ("nothing", "no water", "no hose", "rain only")),
    Choice("hand hose", ("a hose by hand", "a hose", "hand hose", "hosepipe")),
    Choice("travelling sprinkler", ("a travelling sprinkler", "a rain gun", "sprinkler on wheels")),
    Choice("in-ground sprinklers", ("in-ground sprinklers", "pop-up sprinklers", "sprinklers in the ground")),
)
SPORTS = (
    Choice("football", ("football (soccer)", "soccer", "football", "association football")),
    Choice("american-football", ("American football", "football", "gridiron")),
    Choice("rugby-union", ("rugby", "rugby union")),
    Choice("australian-football", ("Australian football", "football", "footy")),
    Choice("gaelic-games", ("Gaelic games", "hurling", "Gaelic football", "football")),
)
DANGERS = (
    Choice("loose goals", ("loose goals", "goals not anchored")),
    Choice("glass", ("glass", "broken glass")),
    Choice("holes", ("holes", "ruts")),
    Choice("needles", ("needles", "syringes")),
    Choice("flood water", ("flood water", "flood")),
    Choice("none", ("none of these",)),
)
SPRAYS = (
    Choice(
        "auxin-phenoxy",
        ("weed killer for lawns", "dandelion killer", "broadleaf weed killer", "weed and feed"),
    ),
    Choice("nonselective-systemic", ("something that kills all plants", "total weed killer")),
    Choice("unknown", ("something that stops seeds coming up", "crabgrass preventer")),
)


def money(amount: float, currency: str | None = None) -> Answer:
    return Answer(Money(amount, currency))


def values(result: object) -> object:
    """The value of an answer, the list of readings of an ask-back, or the class of anything else."""
    if isinstance(result, Answer):
        return result.value
    if isinstance(result, AskBack):
        return [reading.value for reading in result.readings]
    return type(result)


NUMBERS = [
    ("number", "percent", "80", NOWHERE, 80),
    ("number", "percent", "80%", NOWHERE, 80),
    ("number", "percent", "about 80 per cent", NOWHERE, 80),
    ("number", "percent", "half", NOWHERE, 50),
    ("number", "percent", "half bare", NOWHERE, 50),
    ("number", "percent", "a third", NOWHERE, 33.333),
    ("number", "percent", "two thirds of it", NOWHERE, 66.667),
    ("number", "percent", "three quarters", NOWHERE, 75),
    ("number", "percent", "3/4", NOWHERE, 75),
    ("number", "percent", "¾", NOWHERE, 75),
    ("number", "percent", "3 in 4", NOWHERE, 75),
    ("number", "percent", "one in ten", NOWHERE, 10),
    ("number", "percent", "all of it", NOWHERE, 100),
    ("number", "percent", "completely bare", NOWHERE, 100),
    ("number", "percent", "none", NOWHERE, 0),
    ("number", "percent", "not at all", NOWHERE, 0),
    ("number", "percent", "0.5", NOWHERE, [50, 0.5]),
    ("number", "percent", "20 to 30", NOWHERE, [20, 30]),
    ("number", "percent", "a third grass", NOWHERE, [33.333, 66.667]),
    ("number", "percent", "140", NOWHERE, NotUnderstood),
    ("number", "percent", "most of it", NOWHERE, NotUnderstood),
    ("number", "h/week", "12", NOWHERE, 12),
    ("number", "h/week", "twelve hours a week", NOWHERE, 12),
    ("number", "h/week", "an hour and a half", NOWHERE, 1.5),
    ("number", "h/week", "two and a half hours", NOWHERE, 2.5),
    ("number", "h/week", "90 minutes", NOWHERE, 1.5),
    ("number", "h/week", "1 h 30", NOWHERE, 1.5),
    ("number", "h/week", "2 hours a day", NOWHERE, [10, 14]),
    ("number", "h/week", "52 hours a month", NOWHERE, 12),
    ("number", "h/week", "200", NOWHERE, NotUnderstood),
    ("number", "h/week", "3 matches", NOWHERE, NotUnderstood),
    ("number", "count/day", "twice", NOWHERE, 2),
    ("number", "count/day", "once a day", NOWHERE, 1),
    ("number", "count/day", "three times", NOWHERE, 3),
    ("number", "count/day", "never", NOWHERE, 0),
    ("number", "count/day", "every other day", NOWHERE, 0.5),
    ("number", "count/day", "once or twice", NOWHERE, [1, 2]),
    ("number", "count/day", "twice a week", NOWHERE, NotUnderstood),
    ("number", "count", "just me", NOWHERE, 1),
    ("number", "count", "a dozen people", NOWHERE, 12),
    ("number", "count", "a couple of volunteers", NOWHERE, 2),
    ("number", "count", "nobody", NOWHERE, 0),
    ("number", "count", "twenty-five", NOWHERE, 25),
    ("number", "count", "a hundred and twenty", NOWHERE, 120),
    ("number", "count", "2.5", NOWHERE, NotUnderstood),
    ("number", "l/min", "10 litres in 40 seconds", NOWHERE, 15),
    ("number", "l/min", "a 10 litre bucket takes half a minute", NOWHERE, 20),
    ("number", "l/min", "15 l/min", NOWHERE, 15),
    ("number", "l/min", "900 l/h", NOWHERE, 15),
    ("number", "l/min", "4 gallons per minute", US, 15.142),
    ("number", "l/min", "2 gallons in 30 s", NORTH, 18.184),  # imperial gallon, 4.54609 litres
    ("number", "l/min", "20", NORTH, 20),
    ("number", "l/min", "20", NOWHERE, [20, 75.708]),
    ("number", "pH", "pH 6.5", NOWHERE, 6.5),
    ("number", "pH", "65", NOWHERE, NotUnderstood),
    ("number", "hour", "about six hours", NOWHERE, 6),
    ("number", "hour", "2 days", NOWHERE, NotUnderstood),
    ("number", "count", "2e9", NOWHERE, NotUnderstood),
    ("number", "count", "9**9**9", NOWHERE, NotUnderstood),
    ("number", "count", "1/0", NOWHERE, NotUnderstood),
    ("number", "count", "-4", NOWHERE, NotUnderstood),
    ("number", "count", "9" * 300, NOWHERE, NotUnderstood),
    ("number", "count", "__import__('os').system('true')", NOWHERE, NotUnderstood),
]
AREAS = [
    ("area", "m2", "7,140 m²", NOWHERE, 7140),
    ("area", "m2", "7140 square metres", NOWHERE, 7140),
    ("area", "m2", "7 140 m2", NOWHERE, 7140),
    ("area", "m2", "3/4 acre", NOWHERE, 3035.142),
    ("area", "m2", "half an acre", NOWHERE, 2023.428),
    ("area", "m2", "a quarter of an acre", NOWHERE, 1011.714),
    ("area", "m2", "one and a half acres", NOWHERE, 6070.285),
    ("area", "m2", "1 1/2 acres", NOWHERE, 6070.285),
    ("area", "m2", "an acre", NOWHERE, 4046.856),
    ("area", "m2", "0.7 ha", NOWHERE, 7000),
    ("area", "m2", "0,7 hectare", NOWHERE, 7000),
    ("area", "m2", "100 x 60 yd", NOWHERE, 5016.764),
    ("area", "m2", "100 yards by 60 yards", NOWHERE, 5016.764),
    ("area", "m2", "100m x 60m", NOWHERE, 6000),
    ("area", "m2", "100×60 m", NOWHERE, 6000),
    ("area", "m2", "100 x 60", NOWHERE, [6000, 5016.764]),
    ("area", "m2", "100 x 60", NORTH, 6000),
    ("area", "m2", "1.500 m2", NOWHERE, [1500, 1.5]),
    ("area", "m2", "500", NOWHERE, [500, 46.452]),
    ("area", "m2", "500", US, 46.452),
    ("area", "m2", "1,000 sq ft", NOWHERE, 92.903),
    ("area", "m2", "a third of the field", NOWHERE, Share(33.333)),
    ("area", "m2", "20 %", NOWHERE, Share(20)),
    ("area", "m2", "5 kg", NOWHERE, NotUnderstood),
    ("area", "m2", "0 m2", NOWHERE, NotUnderstood),
    ("area", "m2", "10 x 10 x 10", NOWHERE, NotUnderstood),
    ("length", "m", "30 m", NOWHERE, 30),
    ("length", "m", "100 feet", NOWHERE, 30.48),
    ("length", "m", "fifty yards", NOWHERE, 45.72),
    ("length", "m", "30", NOWHERE, [30, 9.144]),
    ("length", "m", "30", US, 9.144),
    ("length", "m", "6'6\"", NOWHERE, 1.981),
    ("length", "mm", "half an inch", NOWHERE, 12.7),
    ("length", "mm", "1 cm", NOWHERE, 10),
    ("length", "mm", "10", NORTH, 10),
    ("length", "mm", "none", NOWHERE, 0),
    ("length", "m", "2 hours", NOWHERE, NotUnderstood),
]
SUMS = [
    ("about 2 grand", NOWHERE, Money(2000)),
    ("2k", NOWHERE, Money(2000)),
    ("1.5k", NOWHERE, Money(1500)),
    ("£500", NOWHERE, Money(500, "GBP")),
    ("500 quid", NOWHERE, Money(500, "GBP")),
    ("$2,500", US, Money(2500, "USD")),
    ("$2,500", SOUTH, Money(2500, "AUD")),
    ("two thousand five hundred euros", NOWHERE, Money(2500, "EUR")),
    ("a couple of thousand", NOWHERE, Money(2000)),
    ("500 to 1000", NOWHERE, Money(500)),
    ("1-2k", NOWHERE, Money(1000)),
    ("nothing", NOWHERE, Money(0)),
    ("€1.500", NOWHERE, [Money(1500, "EUR"), Money(1.5, "EUR")]),
    ("500 pounds", NORTH, Money(500, "GBP")),
    ("500 kg", NOWHERE, NotUnderstood),
    ("a few hundred", NOWHERE, NotUnderstood),
    ("lots", NOWHERE, NotUnderstood),
]
DAYS = [
    ("2026-09-15", NOWHERE, "2026-09-15"),
    ("15 September", NOWHERE, "2026-09-15"),
    ("September 15th, 2027", NOWHERE, "2027-09-15"),
    ("the 3rd of March", NOWHERE, "2027-03-03"),
    ("15.9.2026", NOWHERE, "2026-09-15"),
    ("mid September", NOWHERE, "2026-09-15"),
    ("mid-Setpember", NOWHERE, "2026-09-15"),
    ("end of August", NOWHERE, "2026-08-31"),
    ("by the end of February", NOWHERE, "2027-02-28"),
    ("early September", NOWHERE, "2026-09-05"),
    ("in five weeks", NOWHERE, "2026-06-24"),
    ("5 weeks from now", NOWHERE, "2026-06-24"),
    ("in a fortnight", NOWHERE, "2026-06-03"),
    ("in two months", NOWHERE, "2026-07-20"),
    ("in 5-6 weeks", NOWHERE, ["2026-06-24", "2026-07-01"]),
    ("12/6", NOWHERE, ["2026-06-12", "2026-12-06"]),
    ("12/6/26", NOWHERE, ["2026-06-12", "2026-12-06"]),
    ("25/12", NOWHERE, "2026-12-25"),
    ("12/25/2026", NOWHERE, "2026-12-25"),
    ("6/6", NOWHERE, "2026-06-06"),
    ("next spring", NORTH, "2027-03-01"),
    ("next spring", SOUTH, "2026-09-01"),
    ("next spring", NOWHERE, ["2027-03-01", "2026-09-01"]),
    ("September", NOWHERE, "2026-09-01"),
    ("next September", NOWHERE, ["2026-09-01", "2027-09-01"]),
    ("tomorrow", NOWHERE, "2026-05-21"),
    ("Saturday", NOWHERE, "2026-05-23"),
    ("next Saturday", NOWHERE, ["2026-05-23", "2026-05-30"]),
    ("Christmas", NOWHERE, "2026-12-25"),
    ("29 February", NOWHERE, "2028-02-29"),
    ("30 February", NOWHERE, NotUnderstood),
    ("31/31", NOWHERE, NotUnderstood),
    ("2999-01-01", NOWHERE, NotUnderstood),
    ("when the grass is green", NOWHERE, NotUnderstood),
    ("in a few weeks", NOWHERE, NotUnderstood),
    ("full sun", NOWHERE, NotUnderstood),
    ("two weeks ago", PAST, "2026-05-06"),
    ("last month", PAST, "2026-04-30"),
    ("in April", PAST, "2026-04-30"),
    ("October", PAST, "2025-10-31"),
]
MONTHS = [
    ("September to May", NOWHERE, ["jan", "feb", "mar", "apr", "may", "sep", "oct", "nov", "dec"]),
    ("Sep-May", NOWHERE, ["jan", "feb", "mar", "apr", "may", "sep", "oct", "nov", "dec"]),
    (
        "all year but July",
        NOWHERE,
        ["jan", "feb", "mar", "apr", "may", "jun", "aug", "sep", "oct", "nov", "dec"],
    ),
    (
        "all year round except July and August",
        NOWHERE,
        ["jan", "feb", "mar", "apr", "may", "jun", "sep", "oct", "nov", "dec"],
    ),
    ("April, May and June", NOWHERE, ["apr", "may", "jun"]),
    ("from April until June", NOWHERE, ["apr", "may", "jun"]),
    ("summer", NORTH, ["jun", "jul", "aug"]),
    ("summer", SOUTH, ["jan", "feb", "dec"]),
    ("summer", NOWHERE, [["jun", "jul", "aug"], ["jan", "feb", "dec"]]),
    ("never", NOWHERE, []),
    ("when it rains", NOWHERE, NotUnderstood),
]
CHOICES = [
    ("2", WATER, NOWHERE, "hand hose"),
    ("2.", WATER, NOWHERE, "hand hose"),
    ("the second one", WATER, NOWHERE, "hand hose"),
    ("we've got a hose", WATER, NOWHERE, "hand hose"),
    ("hosepipe", WATER, NOWHERE, "hand hose"),
    ("no hose", WATER, NOWHERE, "none"),
    ("popup sprinkers", WATER, NOWHERE, "in-ground sprinklers"),
    ("sprinklers", WATER, NOWHERE, ["travelling sprinkler", "in-ground sprinklers"]),
    ("no water but in-ground sprinklers", WATER, NOWHERE, ["none", "in-ground sprinklers"]),
    ("we don't have a hose", WATER, NOWHERE, NotUnderstood),
    ("7", WATER, NOWHERE, NotUnderstood),
    ("a helicopter", WATER, NOWHERE, NotUnderstood),
    ("soccer", SPORTS, NOWHERE, "football"),
    ("football", SPORTS, NOWHERE, ["football", "american-football"]),
    ("football", SPORTS, US, "american-football"),
    ("football", SPORTS, NORTH, "football"),
    ("football", SPORTS, SOUTH, ["australian-football", "football"]),
    ("rugby", SPORTS, NOWHERE, "rugby-union"),
]
LISTS = [
    ("glass and loose goals", ["glass", "loose goals"]),
    ("1, 3", ["loose goals", "holes"]),
    ("broken glas", ["glass"]),
    ("none", ["none"]),
    ("nothing", ["none"]),
    ("holes, holes and ruts", ["holes"]),
    ("glass but no needles", ["glass"]),
    ("dragons", NotUnderstood),
]
YES_NO = [
    ("yes", True), ("y", True), ("Yep, it is", True), ("of course", True), ("no", False), ("nope", False), ("not yet", False),
    ("we don't", False), ("yes and no", NotUnderstood), ("banana", NotUnderstood),
]  # fmt: skip
UNKNOWNS = [
    "don't know", "Don’t know", "dunno", "no idea", "No idea, sorry", "not sure", "skip", "I have no idea", "we never measured that",
    "haven't a clue", "I'm not sure about that",
]  # fmt: skip
ZONES = [
    ("goalmouths", ["goalmouths"]),
    ("the two goalmouths are bare and the middle is thin", ["goalmouths", "middle"]),
    ("goal mouths, sidelines", ["goalmouths", "touchlines"]),
    ("it's all bare", ["whole field"]),
    ("everywhere", ["whole field"]),
    ("wet corner by the oak", ["wet corner by the oak"]),
    ("!!!", NotUnderstood),
]


@pytest.mark.parametrize(("kind", "unit", "said", "setting", "means"), NUMBERS + AREAS)
def test_numbers_and_areas(kind: str, unit: str, said: str, setting: Setting, means: object) -> None:
    assert values(read(kind, said, setting, unit=unit)) == means


@pytest.mark.parametrize(("said", "setting", "means"), SUMS)
def test_money(said: str, setting: Setting, means: object) -> None:
    assert values(read("money", said, setting)) == means


def test_pounds_are_money_or_weight() -> None:
    result = read("money", "500 pounds", NOWHERE)
    assert isinstance(result, AskBack)
    first, second = (reading.value for reading in result.readings)
    assert first == Money(500, "GBP")
    assert isinstance(second, Elsewhere)


@pytest.mark.parametrize(("said", "setting", "means"), DAYS)
def test_dates(said: str, setting: Setting, means: object) -> None:
    assert values(read("date", said, setting)) == means


@pytest.mark.parametrize(("said", "setting", "means"), MONTHS)
def test_months(said: str, setting: Setting, means: object) -> None:
    assert values(read("months", said, setting)) == means


@pytest.mark.parametrize(("said", "choices", "setting", "means"), CHOICES)
def test_choices(said: str, choices: tuple[Choice, ...], setting: Setting, means: object) -> None:
    assert values(read("choice", said, setting, choices=choices)) == means


@pytest.mark.parametrize(("said", "means"), LISTS)
def test_lists(said: str, means: object) -> None:
    assert values(read("list", said, NOWHERE, choices=DANGERS)) == means


@pytest.mark.parametrize(("said", "means"), YES_NO)
def test_yes_and_no(said: str, means: object) -> None:
    assert values(read("yesno", said, NOWHERE)) == means


@pytest.mark.parametrize("said", UNKNOWNS)
@pytest.mark.parametrize("kind", KINDS)
def test_dont_know_is_taken_by_every_kind(kind: str, said: str) -> None:
    assert read(kind, said, NOWHERE, choices=WATER) == Unknown()


@pytest.mark.parametrize(("said", "means"), ZONES)
def test_zones(said: str, means: object) -> None:
    assert values(read("zones", said, NOWHERE)) == means


def test_uses_in_one_line() -> None:
    said = "soccer, 12 hours a week, September to May, youth"
    months = ["jan", "feb", "mar", "apr", "may", "sep", "oct", "nov", "dec"]
    expected = {"sport": "football", "hours_per_week": 12, "months": months, "players": "youth"}
    assert values(read("uses", said, NOWHERE, choices=SPORTS)) == [expected]


def test_uses_by_parts_and_several() -> None:
    assert values(read("uses", "kids soccer", NOWHERE, choices=SPORTS)) == [
        {"sport": "football", "players": "youth"}
    ]
    assert values(read("uses", "soccer and rugby", NOWHERE, choices=SPORTS)) == [
        {"sport": "football"},
        {"sport": "rugby-union"},
    ]
    assert values(read("uses", "nobody", NOWHERE, choices=SPORTS)) == []


ALL_YEAR = ["jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"]
ALL_YEAR_LINES = (
    "soccer all year 15 hours a week adults", "soccer, year round, 15 hours, adults", "soccer 15 hours a week all the year adults",
    "adults soccer the whole year 15 hours a week", "soccer, every month, 15 hours a week, adults",
    "soccer 15 hours a week every month of the year adults", "soccer all year-round, 15 hours weekly, men",
    "soccer 15 h a week throughout the year, adults", "soccer all twelve months 15 hours a week adults", "soccer year-long 15 hours a week adults",
)  # fmt: skip


@pytest.mark.parametrize("said", ALL_YEAR_LINES)
def test_a_use_all_year_has_twelve_months(said: str) -> None:
    expected = {"sport": "football", "hours_per_week": 15, "months": ALL_YEAR, "players": "adult"}
    assert values(read("uses", said, NOWHERE, choices=SPORTS)) == [expected]


def test_months_are_found_wherever_they_stand_in_the_sentence() -> None:
    winter = ["apr", "may", "jun", "jul", "aug", "sep"]
    summer = ["jan", "feb", "mar", "oct", "nov", "dec"]
    for said in (
        "rugby 6 hours a week april to september adults",
        "rugby april to september 6 hours a week adults",
    ):
        assert values(read("uses", said, NOWHERE, choices=SPORTS)) == [
            {"sport": "rugby-union", "hours_per_week": 6, "months": winter, "players": "adult"}
        ]
    two = "rugby 6 hours a week april to september adults; soccer 8 hours a week october to march kids"
    assert values(read("uses", two, NOWHERE, choices=SPORTS)) == [
        {"sport": "rugby-union", "hours_per_week": 6, "months": winter, "players": "adult"},
        {"sport": "football", "hours_per_week": 8, "months": summer, "players": "youth"},
    ]
    halves = "rugby, 6 hours a week, september to november and february to april, youth"
    assert values(read("uses", halves, NOWHERE, choices=SPORTS)) == [
        {
            "sport": "rugby-union",
            "hours_per_week": 6,
            "months": ["feb", "mar", "apr", "sep", "oct", "nov"],
            "players": "youth",
        }
    ]
    but = "soccer all year but july and august 15 hours a week adults"
    assert values(read("uses", but, NOWHERE, choices=SPORTS)) == [
        {
            "sport": "football",
            "hours_per_week": 15,
            "months": [month for month in ALL_YEAR if month not in ("jul", "aug")],
            "players": "adult",
        }
    ]


def test_a_game_with_two_meanings_is_asked_back_and_the_rest_is_kept() -> None:
    result = read("uses", "football, year round, 6 hours", NOWHERE, choices=SPORTS)
    assert isinstance(result, AskBack)
    rest = {"months": ALL_YEAR, "hours_per_week": 6}
    assert [reading.value for reading in result.readings] == [
        [{"sport": sport, **rest}] for sport in ("football", "american-football")
    ]
    assert values(
        read("uses", "football, year round, 6 hours", Setting(TODAY, country="us"), choices=SPORTS)
    ) == [{"sport": "american-football", **rest}]


@pytest.mark.parametrize(
    "said",
    ["every month", "all the year", "the whole year", "year round", "all year long", "throughout the year"],
)
def test_the_whole_year_in_other_words(said: str) -> None:
    assert values(read("months", said, NOWHERE)) == ALL_YEAR


def test_several_places_of_one_area_are_added_up() -> None:
    assert values(read("area", "2 x 60 m2", METRIC, unit="m2")) == 120
    assert values(read("area", "two of 60 m²", METRIC, unit="m2")) == 120
    assert values(read("area", "20 x 6 m", METRIC, unit="m2")) == 120


def test_a_spray_in_a_month_names_its_day_once() -> None:
    result = read("sprays", "weed and feed in april", NOWHERE, choices=SPRAYS)
    assert isinstance(result, Answer)
    assert result.value == [{"class": "auxin-phenoxy", "date": "2026-04-30"}]
    assert result.note == "I take the end of the month."


def test_shown_figures_are_not_finer_than_what_was_said() -> None:
    assert say_value(33.333, "percent") == "33 %"
    assert say_value(304.8, "m") == "305 metres"
    assert say_value(201.52, "m2") == "202 m²"
    assert say_value(2.5, "h/week") == "2.5 hours a week"
    assert say_value(7.62, "m") == "7.62 metres"


def test_a_named_corner_keeps_its_name() -> None:
    assert values(read("zones", "the wet corner", NOWHERE)) == ["wet corner"]
    assert values(read("zones", "corners", NOWHERE)) == ["corners"]


def test_sprays() -> None:
    assert values(read("sprays", "no", NOWHERE, choices=SPRAYS)) == []
    assert values(read("sprays", "yes", NOWHERE, choices=SPRAYS)) == [{}]
    said = "weed and feed two weeks ago"
    assert values(read("sprays", said, NOWHERE, choices=SPRAYS)) == [
        {"class": "auxin-phenoxy", "date": "2026-05-06"}
    ]
    assert values(read("sprays", "crabgrass preventer", NOWHERE, choices=SPRAYS)) == [{"class": "unknown"}]
    assert values(read("sprays", "purple rain", NOWHERE, choices=SPRAYS)) is NotUnderstood


def test_places_without_a_table_and_with_two_of_one_name() -> None:
    assert values(read("place", "York, UK", NOWHERE)) == {"name": "York", "country": "gb"}
    two = [
        {"name": "Springfield", "country": "us", "region": "mo", "say": "Springfield, Missouri"},
        {"name": "Springfield", "country": "us", "region": "il", "say": "Springfield, Illinois"},
    ]
    setting = Setting(TODAY, find_place=lambda name: two if name == "Springfield" else [])
    result = read("place", "Springfield", setting)
    assert isinstance(result, AskBack)
    assert [reading.say for reading in result.readings[:2]] == [
        "Springfield, Missouri",
        "Springfield, Illinois",
    ]
    assert pick("Illinois", result.readings) == result.readings[1]
    assert values(read("place", "Atlantis", setting)) is NotUnderstood


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("53.96, -1.08", (53.96, -1.08)), ("53.96 N, 1.08 W", (53.96, -1.08)), ("lat 53.96 lon -1.08", (53.96, -1.08)), ("53,96 -1,08", (53.96, -1.08)),
        # fifty-seven sixtieths of a degree are 0.95, five are 0.0833
        ("53°57'N 1°5'W", (53.95, -1.0833)), ("37° 48' 36\" S, 144° 57' 36\" E", (-37.81, 144.96)), ("-33.87 151.21", (-33.87, 151.21)), ("1.35 north and 103.8 east", (1.35, 103.8)),
        ("we are near 53.96, -1.08", (53.96, -1.08)),
    ],
)  # fmt: skip
def test_coordinates(said: str, wanted: tuple[float, float]) -> None:
    assert values(read("place", said, NOWHERE)) == {"latitude": wanted[0], "longitude": wanted[1]}


def test_coordinates_with_a_country_are_told_back() -> None:
    result = read("place", "53.96, -1.08, UK", NOWHERE)
    assert isinstance(result, Answer)
    assert result.value == {"latitude": 53.96, "longitude": -1.08, "country": "gb"}
    assert result.note == "I take 53.96 degrees north, 1.08 degrees west."
    assert say_value(result.value) == "53.96 degrees north, 1.08 degrees west"


@pytest.mark.parametrize(
    "said",
    [
        "95, 10",
        "10, 200",
        "53.96",
        "53°75'N 1°5'W",
        "-53 S, 10 E",
        "10 E, 53 N",
        "53, 1, Narnia",
        "5, 6, 7",
        "- , -",
    ],
)
def test_what_is_no_coordinates_is_refused(said: str) -> None:
    result = read("place", said, NOWHERE)
    assert isinstance(result, NotUnderstood)
    assert "53.96, -1.08" in result.say


def test_named_areas_come_from_the_caller() -> None:
    setting = Setting(TODAY, named_areas={"goalmouth": 100.0})
    assert values(read("area", "a goalmouth", setting, unit="m2")) == 100
    assert values(read("area", "two goalmouths", setting, unit="m2")) == 200
    assert values(read("area", "a goalmouth", NOWHERE, unit="m2")) is NotUnderstood


READINGS = (
    Reading("12 June 2026 (day first)", "2026-06-12"),
    Reading("6 December 2026 (month first)", "2026-12-06"),
)


@pytest.mark.parametrize(
    ("said", "at"), [("1", 0), ("2", 1), ("the second", 1), ("June", 0), ("december", 1), ("Day first", 0)]
)
def test_a_reading_is_picked(said: str, at: int) -> None:
    assert pick(said, READINGS) == READINGS[at]


@pytest.mark.parametrize("said", ["2026", "neither", "3", ""])
def test_no_reading_is_picked(said: str) -> None:
    assert pick(said, READINGS) is None


@pytest.mark.parametrize(
    ("typed", "kept"),
    [
        ("\x1b[31mred\x1b[0m", "red"),
        ("\x1b]0;owned\x07York", "York"),
        ("Yo\x00r\u202ek\u200b", "York"),
        ("a\tb\n c", "a b c"),
        ("\x9b31mYork", "York"),
        ("[red]York[/red]", "[red]York[/red]"),
    ],
)
def test_escapes_and_controls_are_stripped(typed: str, kept: str) -> None:
    assert clean(typed) == kept


def test_length_is_bounded() -> None:
    assert len(clean("x" * 100_000)) == LONGEST
    assert values(read("text", "x" * (LONGEST + 1), NOWHERE)) is NotUnderstood


def test_folding_keeps_fractions_apart_from_whole_numbers() -> None:
    assert fold("3½ m²") == "3 1/2 m2"


ANY = (
    st.text(max_size=60)
    | st.text(alphabet="0123456789.,/x% €£$-apm'\"", max_size=30)
    | st.from_regex(r"[0-9]{1,4}[./-][0-9]{1,4}([./-][0-9]{1,4})?", fullmatch=True)
)
WORDS = st.lists(
    st.sampled_from(
        sorted(
            spaced(
                "half a third 3/4 acre x by 100 60 yd m2 about 2 grand k mid end of September next spring in five weeks 12/6 not no but "
                "all year July to hose sprinklers glass and loose goals pounds € 1.500 1,5 every other day twice ago last 10 litres seconds"
            )
        )
    ),
    max_size=9,
).map(" ".join)


@settings(max_examples=150, deadline=None)
@given(
    st.sampled_from(KINDS),
    ANY | WORDS,
    st.sampled_from(["", "percent", "h/week", "count/day", "count", "l/min", "mm", "m", "pH", "hour"]),
)
def test_reading_never_raises_and_stays_bounded(kind: str, said: str, unit: str) -> None:
    for choices in ((), WATER, SPRAYS):
        result = read(kind, said, NORTH, choices=choices, unit=unit)
        assert isinstance(result, (Answer, Unknown, AskBack, NotUnderstood))
        if isinstance(result, AskBack):
            assert 2 <= len(result.readings) <= 7
        if isinstance(result, NotUnderstood):
            assert 0 < len(result.say) < 700
            assert "\x1b" not in result.say
        if isinstance(result, Answer) and isinstance(result.value, str):
            assert len(result.value) <= LONGEST
        if isinstance(result, Answer) and isinstance(result.value, float):
            assert 0 <= result.value < 1e18


@settings(max_examples=100, deadline=None)
@given(st.dates(min_value=dt.date(2020, 1, 1), max_value=dt.date(2035, 12, 31)))
def test_a_written_date_is_read_back(day: dt.date) -> None:
    name = f"{day.day} {day.strftime('%B')} {day.year}"
    assert values(read("date", name, NOWHERE)) == day.isoformat()
    assert values(read("date", day.isoformat(), NOWHERE)) == day.isoformat()


@settings(max_examples=60, deadline=None)
@given(st.integers(min_value=0, max_value=999_999_999))
def test_a_plain_count_is_read_back(number: int) -> None:
    assert values(read("number", str(number), NOWHERE, unit="count")) == number
    assert values(read("number", f"{number:,}", NOWHERE, unit="count")) == number


@pytest.mark.parametrize(
    "said",
    ["a " * 200, "1 " * 200, "and " * 100, "-" * 400, "0x" * 200, "in " * 130, "half " * 80, "9," * 200],
)
@pytest.mark.parametrize("kind", KINDS)
def test_hostile_repetition_is_quick(kind: str, said: str) -> None:
    before = time.perf_counter()
    read(kind, said, NOWHERE, choices=WATER, unit="percent")
    assert time.perf_counter() - before < 0.5
