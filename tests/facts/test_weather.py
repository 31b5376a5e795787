"""Daily weather and observations in the advice: what is typed wins, then the station's years, then the table."""

from __future__ import annotations

import datetime as dt
import json
import math
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

from decide import DailyWeather, SituationError, advise, situation_from_dict
from decide.answer.assemble import advice_of
from decide.consult import Adviser
from decide.decision.consultation import Consultation
from decide.measure import dates
from decide.measure.climate import climate_from_warmest_coldest
from decide.report.text import render

ROOT = Path(__file__).parents[2]
TODAY = dt.date(2026, 5, 12)


def weather(first: int, last: dt.date, warmer: float = 0.0) -> DailyWeather:
    """Days of a noisy year about 10 C with a frosty winter, from a first of January."""
    opens = dt.date(first, 1, 1)
    days = [opens + dt.timedelta(days=n) for n in range((last - opens).days + 1)]
    rng = np.random.default_rng(11)
    of_year = np.array([dates.day_of_year(d) for d in days])
    mean = 10 + warmer + 8 * np.cos(2 * np.pi * (of_year - 200) / 365) + rng.normal(0, 3, len(days))
    rain = np.where(rng.random(len(days)) < 0.4, rng.gamma(0.8, 6.0, len(days)), 0.0)
    return DailyWeather(opens, mean - 5, mean + 5, rain, "a station")


LONG = weather(2004, dt.date(2025, 12, 31))


def consult(adviser: Adviser, given: DailyWeather | None = None, **tables) -> Consultation:
    data = {
        "place": {"name": "York", "country": "gb"}, "dates": {"today": TODAY.isoformat(), "play_by": "2026-09-01", "first_use": "matches"},
        "field": {"bare_percent": 60, "bare_pattern": "solid", "area_m2": 500}, "means": {"water": "hand hose"},
    }  # fmt: skip
    for name, table in tables.items():
        data[name] = {**data.get(name, {}), **table}
    return adviser.consult(situation_from_dict(data), weather=given)


def known(c: Consultation, key: str) -> tuple[object, str, str] | None:
    return next(((row.value, row.how, row.note) for row in advice_of(c).situation if row.key == key), None)


# ---------- the order of trust ----------
@pytest.mark.slow
def test_many_years_stand_in_place_of_the_table(adviser) -> None:
    plain, given = consult(adviser), consult(adviser, LONG)
    site, record = given.filled.site, adviser.library.record(LONG)
    assert record is not None
    assert site.climate.means == record.means
    assert site.climate.rain == record.rain
    assert site.climate.latitude == plain.filled.site.climate.latitude
    assert (site.year.spread, site.frost.first, site.frost.last) == (
        record.spread,
        record.first_frost,
        record.last_frost,
    )
    assert site.climate.day_range == pytest.approx([10] * 12)
    assert site.climate.means != plain.filled.site.climate.means
    value, how, note = known(given, "weather")
    assert (value, how) == ("a station", "computed")
    assert "22 years of daily weather, 2004-2025" in note
    assert [row.note for row in advice_of(given).situation if row.key == "place.monthly_mean_c"] == [
        "22 years of daily weather, 2004-2025"
    ]
    assert "median of 22 years" in known(given, "place.first_frost")[2]


@pytest.mark.slow
def test_typed_means_and_typed_frost_stand_above_the_years(adviser) -> None:
    typed = [3, 4, 6, 9, 12, 15, 17, 17, 14, 10, 6, 4]
    c = consult(
        adviser,
        LONG,
        place={"latitude": 54.0, "longitude": -1.0, "monthly_mean_c": typed, "first_frost": "10-20"},
    )
    assert list(c.filled.site.climate.means) == typed
    assert c.filled.site.frost.first == dates.day_of_year(dt.date(2001, 10, 20))
    assert "your own monthly means stand above it" in known(c, "weather")[2]


@pytest.mark.slow
def test_few_years_leave_the_climate_to_the_table(adviser) -> None:
    plain, given = consult(adviser), consult(adviser, weather(2020, dt.date(2025, 12, 31), warmer=4))
    assert given.filled.site.climate == plain.filled.site.climate
    assert "fewer than 10 whole years" in known(given, "weather")[2]
    assert given.filled.season.past is None


def test_years_alone_make_a_climate_without_a_town(adviser) -> None:
    c = consult(adviser, LONG, place={"name": None, "country": None, "hemisphere": "north"})
    assert c.filled.site is not None
    assert c.filled.season.past is not None


@pytest.mark.slow
def test_other_years_are_another_season(adviser) -> None:
    one, other = consult(adviser, LONG), consult(adviser, weather(2004, dt.date(2025, 12, 31), warmer=2))
    assert one.filled.season is not other.filled.season
    assert consult(adviser, LONG).filled.season is one.filled.season
    assert consult(adviser).filled.season is not one.filled.season


@pytest.mark.slow
def test_a_file_that_was_not_read_is_said(adviser) -> None:
    with pytest.raises(SituationError, match=r"place\.weather_file \(station\.csv\) was not read.*weather="):
        consult(adviser, place={"weather_file": "station.csv"})
    assert consult(adviser, LONG, place={"weather_file": "station.csv"}).filled.weather is LONG


@pytest.mark.slow
def test_one_call_takes_weather(adviser) -> None:
    situation = situation_from_dict(
        {
            "place": {"name": "York", "country": "gb"},
            "dates": {"today": "2026-05-12"},
            "field": {"bare_percent": 30},
        }
    )
    assert any(
        row.key == "weather" for row in advise(situation, adviser.knowledge, "plain", weather=LONG).situation
    )


# ---------- observations ----------
@pytest.mark.slow
def test_the_last_day_of_the_file_is_what_is_seen(adviser) -> None:
    recent = weather(2025, TODAY - dt.timedelta(days=1))
    c = consult(adviser, recent)
    read = recent.on(TODAY - dt.timedelta(days=1))
    assert c.site["site.rain-24h-mm"] == round(read.rain, 1)
    assert c.site["site.day-temp-c"] == round(read.high, 1)
    assert c.site["site.night-temp-c"] == round(read.low, 1)
    assert known(c, "now.rain_24h_mm")[1:] == ("computed", "daily weather of 2026-05-11")
    assert "site.rain-24h-mm" not in consult(adviser, weather(2025, TODAY - dt.timedelta(days=2))).site


@pytest.mark.slow
def test_what_is_typed_wins_over_the_file(adviser) -> None:
    recent = weather(2025, TODAY)
    c = consult(adviser, recent, now={"rain_24h_mm": 77, "day_temp_c": 31, "night_temp_c": 21})
    assert (c.site["site.rain-24h-mm"], c.site["site.day-temp-c"], c.site["site.night-temp-c"]) == (
        77,
        31,
        21,
    )
    assert c.site["site.air-c-now"] == 26
    assert known(c, "now.rain_24h_mm")[1] == "told"


def fired(c: Consultation) -> set[str]:
    """The rules that fired of site, options and steps."""
    found = {rule.id for rule, _ in c.site_layer.fired.get("site", [])}
    found |= {rule.id for w in c.weighed.values() for rule, _ in w.firings}
    return found | {rule.id for step in c.steps for rule, _ in step.firings}


@pytest.mark.slow
def test_rain_of_the_last_day_warns(adviser) -> None:
    rules = [
        r.id
        for r in adviser.rules.values()
        if r.about == "site" and any("site.rain-24h-mm" in x.facts for x in r.when)
    ]
    assert rules
    assert not set(rules) & fired(consult(adviser, now={"rain_24h_mm": 0}))
    assert set(rules) & fired(consult(adviser, now={"rain_24h_mm": 40}))


@pytest.mark.slow
def test_a_cold_soil_thermometer_wins_over_the_estimate(adviser) -> None:
    """The estimate for York in the middle of May is above 10 C; a reading of 4 is under what ryegrass starts at."""
    plain, cold = consult(adviser), consult(adviser, now={"soil_temp_c": 4, "soil_depth_mm": 50})
    now = [
        code
        for code, w in cold.weighed.items()
        if w.draft.start_kind == "earliest" and w.draft.key.endswith("/seed")
    ]
    assert now
    for code in now:
        assert cold.weighed[code].facts["option.soil-c"] == 4
        assert plain.weighed[code].facts["option.soil-c"] > 10
    rules = [
        r.id
        for r in adviser.rules.values()
        if r.about == "option" and any("site.soil-temp-c" in x.facts for x in r.when)
    ]
    assert rules
    assert set(rules) & fired(cold)
    assert not set(rules) & fired(plain)


@pytest.mark.slow
def test_hot_day_and_warm_night_reach_the_steps(adviser) -> None:
    asked = [
        {"step": "lay-sod", "grass": "perennial-ryegrass", "time_of_day": "midday"},
        {"step": "water", "time_of_day": "evening"},
    ]
    names = {
        name: [
            r.id for r in adviser.rules.values() if r.about == "step" and any(name in x.facts for x in r.when)
        ]
        for name in ("site.day-temp-c", "site.night-temp-c")
    }

    def with_now(day: float, night: float) -> set[str]:
        data = {"place": {"name": "York", "country": "gb"}, "dates": {"today": TODAY.isoformat()}, "field": {"bare_percent": 60},
                "now": {"day_temp_c": day, "night_temp_c": night}, "proposal": asked}  # fmt: skip
        return fired(adviser.consult(situation_from_dict(data)))

    hot, mild = with_now(34, 24), with_now(15, 6)
    for rules in names.values():
        assert set(rules) & hot
        assert not set(rules) & mild


@pytest.mark.parametrize("depth_mm", [100, 200, 300])
def test_a_deeper_reading_is_brought_to_the_seed(numbers_of_soil, depth_mm) -> None:
    """A cosine year of 6 about 10 C: at depth z the wave is A exp(-z/d) cos(w(t - t0) - z/d), d = 2.24 m (soil physics textbook)."""
    from decide.measure.climate import Year
    from decide.measure.soil import at_planting_depth

    constants = numbers_of_soil
    year = Year(climate_from_warmest_coldest(16, 4, "north", 54.0), constants.climate)
    day, d = 105, constants.soil.damping_m

    def wave(z: float) -> float:
        return 10 + 6 * math.exp(-z / d) * math.cos(2 * math.pi * (day - 197) / 365 - z / d)

    found = at_planting_depth(year, day, 9.0, depth_mm / 1000, constants.soil)
    assert found == pytest.approx(9.0 + wave(0.05) - wave(depth_mm / 1000), abs=0.05)
    # in April the ground warms from above: deeper means colder, so the reading goes up
    assert found > 9.0


@pytest.fixture
def numbers_of_soil(adviser):
    return adviser.library.constants


@pytest.mark.slow
def test_the_depth_of_the_reading_is_used_and_told(adviser) -> None:
    here, deep = (consult(adviser, now={"soil_temp_c": 9, "soil_depth_mm": mm}) for mm in (50, 300))
    assert here.site["site.soil-temp-c"] == 9
    assert deep.site["site.soil-temp-c"] > 9
    assert known(here, "soil temperature") is None
    assert "300 mm brought to 50 mm" in known(deep, "soil temperature")[2]
    assert known(deep, "now.soil_temp_c")[:2] == (9, "told")
    assert consult(adviser, now={"soil_temp_c": 9}).site["site.soil-temp-c"] == 9


# ---------- odds in the advice ----------
@pytest.mark.slow
def test_leading_options_have_odds(adviser) -> None:
    c = consult(adviser, LONG)
    with_odds = [option for option in advice_of(c).options if option.odds is not None]
    assert with_odds
    for option in with_odds:
        row = option.odds
        assert (row.by, row.use, row.how) == ("2026-09-01", "full play", "replayed")
        assert row.years >= 20
        assert 0 <= row.ready_least <= row.ready <= row.ready_most <= 1
    named = [
        chosen.option
        for chosen in c.chosen.values()
        if chosen.option is not None and chosen.option.draft.remedy == "establish"
    ]
    assert all(
        advice_of(c).option(w.draft.code).odds is not None
        for w in named
        if w.draft.start < dt.date(2026, 9, 1)
    )


@pytest.mark.slow
def test_without_daily_weather_the_odds_are_an_estimate(adviser) -> None:
    rows = [option.odds for option in advice_of(consult(adviser)).options if option.odds is not None]
    assert rows
    assert all((row.how, row.years, row.washed_out) == ("approximation", None, None) for row in rows)
    assert all("averages" in row.note for row in rows)


@pytest.mark.slow
def test_training_is_wanted_sooner_than_matches(adviser) -> None:
    matches = {
        o.code: o.odds
        for o in advice_of(consult(adviser, LONG, dates={"play_by": "2026-07-10"})).options
        if o.odds
    }
    training = {
        o.code: o.odds
        for o in advice_of(
            consult(adviser, LONG, dates={"play_by": "2026-07-10", "first_use": "training"})
        ).options
        if o.odds
    }
    both = matches.keys() & training.keys()
    assert both
    assert all(training[code].ready >= matches[code].ready for code in both)
    assert all(row.use == "light use" for row in training.values())


@pytest.mark.slow
def test_no_date_no_odds(adviser) -> None:
    assert all(
        option.odds is None for option in advice_of(consult(adviser, LONG, dates={"play_by": None})).options
    )


@pytest.mark.slow
def test_the_page_says_years(adviser) -> None:
    text = " ".join(render(advice_of(consult(adviser, LONG)), width=400).split())
    assert "Odds: ready for matches by 1 September 2026 in " in text
    assert " years of daily weather" in text
    estimate = " ".join(render(advice_of(consult(adviser)), width=400, depth="full").split())
    assert "estimated from averages, not from daily weather" in estimate


@pytest.mark.slow
def test_odds_are_no_fact_of_an_option(adviser) -> None:
    """Odds are a figure beside the grades: rules judge by the early and late dates."""
    c = consult(adviser)
    assert c.weighed
    assert not any("odds" in name for w in c.weighed.values() for name in w.facts)


# ---------- the command ----------
SMALL = '[place]\nname = "York"\ncountry = "gb"\nweather_file = "{}"\n[dates]\ntoday = 2026-05-12\nplay_by = 2026-09-01\n[field]\nbare_percent = 60\n'


def run(path: Path, *words: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "decide", "advise", str(path), *words],
        capture_output=True,
        text=True,
        cwd=ROOT,
        check=False,
    )


@pytest.mark.slow
def test_the_command_reads_the_file_beside_the_situation(tmp_path) -> None:
    days = [LONG.first + dt.timedelta(days=n) for n in range(len(LONG.low))]
    lines = [
        f"{d},{low:.1f},{high:.1f},{rain:.1f}"
        for d, low, high, rain in zip(days, LONG.low, LONG.high, LONG.rain, strict=True)
    ]
    (tmp_path / "station.csv").write_text("\n".join(["date,min,max,rain", *lines]), encoding="utf-8")
    (tmp_path / "field.toml").write_text(SMALL.format("station.csv"), encoding="utf-8")
    done = run(tmp_path / "field.toml", "--json")
    assert done.returncode == 0, done.stderr
    advice = json.loads(done.stdout)
    assert any(option["odds"] and option["odds"]["how"] == "replayed" for option in advice["options"])
    assert str(tmp_path) not in done.stdout


@pytest.mark.slow
@pytest.mark.parametrize(("name", "data", "said"), [
    ("gone.csv", None, "place.weather_file: gone.csv: No such file"),
    ("bad.csv", b"date,min,max\n2001-05-01,9,2\n", "bad.csv, line 2: the high of 2001-05-01"),
    (".", None, "place.weather_file: .:"),
])  # fmt: skip
def test_a_bad_file_is_said_with_its_line(tmp_path, name, data, said) -> None:
    if data is not None:
        (tmp_path / name).write_bytes(data)
    (tmp_path / "field.toml").write_text(SMALL.format(name), encoding="utf-8")
    done = run(tmp_path / "field.toml")
    assert done.returncode == 1
    assert said in done.stderr
    assert "Traceback" not in done.stderr
