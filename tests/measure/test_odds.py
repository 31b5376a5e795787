"""Replays by hand on weather made for it, and what must hold of odds whatever the weather."""

import dataclasses
import datetime as dt
import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from decide.measure import dates, growth, odds
from decide.measure.climate import climate_from_means
from decide.measure.numbers import GrowthConstants
from decide.measure.past import Past
from decide.measure.readiness import stage_need
from decide.measure.weather import DailyWeather, record

RYEGRASS = "perennial-ryegrass/seed"
BERMUDA = "common-bermudagrass/seed"


def days_of(first: int, last: int) -> list[dt.date]:
    opens = dt.date(first, 1, 1)
    return [opens + dt.timedelta(days=n) for n in range((dt.date(last, 12, 31) - opens).days + 1)]


def made(first: int, last: int, mean, low=None, rain=None) -> DailyWeather:
    """Weather of whole years by functions of year and day of the year."""
    at = [(d.year, dates.day_of_year(d)) for d in days_of(first, last)]
    means = np.array([mean(y, d) for y, d in at], dtype=float)
    lows = np.array(
        [means[n] - 5 if low is None or low(y, d) is None else low(y, d) for n, (y, d) in enumerate(at)],
        dtype=float,
    )
    rains = np.array([1.0 if rain is None else rain(y, d) for y, d in at], dtype=float)
    return DailyWeather(dt.date(first, 1, 1), lows, 2 * means - lows, rains, "made")


def past_of(weather: DailyWeather, numbers: GrowthConstants, latitude: float = 45.0) -> Past:
    found = record(weather, numbers.weather)
    assert found is not None
    site = numbers.site(climate_from_means(found.means, found.rain, latitude), None, None, found)
    return Past(weather, site, numbers.odds)


def odds_of(past: Past, numbers: GrowthConstants, *planting) -> odds.Odds:
    found = odds.odds(past.site, numbers.plants, numbers.odds, odds.Planting(*planting), past)
    assert found is not None
    return found


# ---------- by hand ----------
def test_one_warmth_all_year_is_arithmetic(numbers) -> None:
    # at 12 C every day gives 12 - 4 = 8 K of cool-season growth, and no winter closes it: need / 8 days, and 2 for seed that
    # is up on day 8, on day 6 in soil of usual warmth. The weeks of print and the cuts ask less.
    past = past_of(made(1991, 2010, lambda y, d: 12.0), numbers)
    need = stage_need(numbers.plants, numbers.rules, RYEGRASS, "full-play", None)
    early, middle, late = (2 + math.ceil(heat / 8) for heat in (446.3, 598, 801.3))
    assert (need.heat_middle, need.heat_late) == pytest.approx((598, 801.32))
    assert early < middle < late
    for days, want in (
        (early - 1, (0, 0, 0)),
        (early, (0, 0, 1)),
        (middle - 1, (0, 0, 1)),
        (middle, (0, 1, 1)),
        (late - 1, (0, 1, 1)),
        (late, (1, 1, 1)),
    ):
        found = odds_of(past, numbers, RYEGRASS, 121, "full-play", days)
        assert (found.ready_least, found.ready, found.ready_most) == want, days
        assert (found.years, found.how, found.killed) == (20, "replayed", 0.0)


def test_every_other_year_is_cold(numbers) -> None:
    # 12 C gives 8 K a day, 8 C gives 4: in the even years the middle need is met in half the time. On normals, 10 C, seed is up
    # on day 10, 4 days later than in soil of usual warmth.
    past = past_of(made(1991, 2010, lambda y, d: 12.0 if y % 2 == 0 else 8.0), numbers)
    middle = numbers.plants.needs[RYEGRASS]["full-play"].heat_middle
    assert odds_of(past, numbers, RYEGRASS, 30, "full-play", 4 + math.ceil(middle / 8)).ready == 0.5
    assert odds_of(past, numbers, RYEGRASS, 30, "full-play", 4 + math.ceil(middle / 4)).ready == 1.0


def _frosty(year: int, day: int) -> float | None:
    """Frost on day 250 in odd years, and on every day from 301 to 90."""
    return -1.0 if (day == 250 and year % 2) or day > 300 or day <= 90 else None


def test_an_early_frost_kills_young_bermudagrass(numbers) -> None:
    # 25 C gives 20 K of warm-season growth a day; sown on day 200, 50 days make 1,000 by day 250 and 101 make 2,020 by
    # day 301. The gate lies at 1,215.
    assert 1000 < numbers.rules.warm_lost < 2020
    past = past_of(made(1991, 2010, lambda y, d: 25.0 if 90 < d <= 300 else 6.0, _frosty), numbers)
    found = odds.replay(past, numbers.plants, odds.Planting(BERMUDA, 200, "full-play", 300))
    assert found is not None
    assert list(found.killed) == [bool(y % 2) for y in found.years]
    # where frost kills it, it is not ready later either
    assert not found.ready[:, found.killed].any()


def test_sod_has_no_winter_gate(numbers) -> None:
    past = past_of(made(1991, 2010, lambda y, d: 25.0 if 90 < d <= 300 else 6.0, _frosty), numbers)
    assert odds_of(past, numbers, "common-bermudagrass/sod", 200, "full-play", 60).killed == 0.0


def test_a_cold_autumn_kills_late_ryegrass(numbers) -> None:
    # sown on day 280; the coldest day lies in January. 9 C gives 5 K a day: over 60 days 300, under the gate of 345;
    # 14 C gives 600, over it. Winter itself (1 C) gives nothing.
    assert 300 < numbers.rules.gate_lost < 600

    def mean(year: int, day: int) -> float:
        if day < 90 or day >= 340:
            return 1.0 if 10 < day < 90 else 0.0
        return 15.0 if day < 280 else 9.0 if year % 4 == 0 else 14.0

    past = past_of(made(1991, 2010, mean), numbers)
    found = odds.replay(past, numbers.plants, odds.Planting(RYEGRASS, 280, "full-play", 300))
    assert found is not None
    assert list(found.killed) == [y % 4 == 0 for y in found.years]


def test_heavy_rain_washes_out_what_the_method_leaves_open(numbers) -> None:
    # 30 mm on the sixth day after the start in every fourth year; 30 mm on day 230 in all others, past the 14 days
    def rain(year: int, day: int) -> float:
        return 30.0 if day == (205 if year % 4 == 0 else 230) else 0.0

    past = past_of(made(1993, 2012, lambda y, d: 20.0, rain=rain), numbers)
    assert odds_of(
        past, numbers, RYEGRASS, 200, "full-play", 60, "broadcast-seed"
    ).washed_out == pytest.approx(5 / 20)
    assert odds_of(past, numbers, RYEGRASS, 200, "full-play", 60, "slit-seed").washed_out == 0.0
    assert (
        odds_of(past, numbers, "kentucky-bluegrass/sod", 200, "full-play", 60, "thin-sod").washed_out is None
    )


def test_without_rain_nothing_is_said_of_washing_out(numbers) -> None:
    past = past_of(made(1993, 2012, lambda y, d: 20.0, rain=lambda y, d: math.nan), numbers)
    assert odds_of(past, numbers, RYEGRASS, 200, "full-play", 60, "broadcast-seed").washed_out is None


def test_a_year_with_many_gaps_is_not_replayed(numbers) -> None:
    whole = made(1991, 2010, lambda y, d: 12.0)
    low = np.array(whole.low)
    at = (dt.date(1995, 6, 1) - whole.first).days
    low[at : at + 30] = np.nan
    past = past_of(DailyWeather(whole.first, low, whole.high, whole.rain), numbers)
    found = odds.replay(past, numbers.plants, odds.Planting(RYEGRASS, 140, "full-play", 90))
    assert found is not None
    assert 1995 not in found.years
    assert len(found.years) == 19


def test_thick_sod_is_ready_at_once(numbers) -> None:
    past = past_of(made(1991, 2010, lambda y, d: 12.0), numbers)
    found = odds_of(past, numbers, "kentucky-bluegrass/thick-sod", 121, "full-play", 3)
    assert (found.ready_least, found.ready, found.ready_most) == (0.0, 1.0, 1.0)


def test_too_few_replayable_years_fall_back_on_averages(numbers) -> None:
    past = past_of(made(1991, 2000, lambda y, d: 12.0), numbers)
    assert odds_of(past, numbers, RYEGRASS, 121, "full-play", 90).how == "replayed"
    found = odds_of(past, numbers, RYEGRASS, 121, "full-play", 3 * 365)
    assert (found.how, found.years, found.washed_out) == ("approximation", None, None)


def test_what_the_model_does_not_know_has_no_odds(numbers) -> None:
    past = past_of(made(1991, 2010, lambda y, d: 12.0), numbers)
    unknown = next(
        key
        for key in growth.STARTS
        if "full-play" not in numbers.plants.needs.get(f"fine-fescue/{key}", {}) and key != "thick-sod"
    )
    assert (
        odds.odds(
            past.site,
            numbers.plants,
            numbers.odds,
            odds.Planting(f"fine-fescue/{unknown}", 121, "full-play", 90),
            past,
        )
        is None
    )
    with pytest.raises(ValueError, match="stage"):
        odds.odds(past.site, numbers.plants, numbers.odds, odds.Planting(RYEGRASS, 121, "soon", 90), past)


# ---------- what must hold ----------
@pytest.fixture(scope="module")
def real(numbers) -> Past:
    """Twenty-four years of noisy weather with a winter."""
    rng = np.random.default_rng(7)
    days = days_of(1981, 2004)
    of_year = np.array([dates.day_of_year(d) for d in days])
    noise = np.zeros(len(days))
    for n in range(1, len(days)):
        noise[n] = 0.7 * noise[n - 1] + rng.normal(0, 2.8)
    mean = 10 + 11 * np.cos(2 * np.pi * (of_year - 200) / 365) + noise
    rain = np.where(rng.random(len(days)) < 0.35, rng.gamma(0.8, 8.0, len(days)), 0.0)
    return past_of(DailyWeather(days[0], mean - 5, mean + 5, rain), numbers)


KEYS = st.sampled_from(
    [
        RYEGRASS,
        BERMUDA,
        "kentucky-bluegrass/seed",
        "tall-fescue/seed",
        "kentucky-bluegrass/sod",
        "kentucky-bluegrass/thick-sod",
        "fine-fescue/seed",
        "hybrid-bermudagrass/sprigs",
    ]
)
STAGES = st.sampled_from(["light-use", "full-play", "full-fixtures", "rooted"])


@given(KEYS, STAGES, st.integers(1, 365), st.integers(0, 500), st.booleans())
def test_shares_lie_between_none_and_all(real, numbers, key, stage, start, days, replayed) -> None:
    found = odds.odds(
        real.site,
        numbers.plants,
        numbers.odds,
        odds.Planting(key, start, stage, days, "broadcast-seed"),
        real if replayed else None,
    )
    if found is None:
        return
    assert 0 <= found.ready_least <= found.ready <= found.ready_most <= 1
    assert 0 <= found.killed <= 1
    assert found.washed_out is None or 0 <= found.washed_out <= 1
    assert (found.years is not None) == (found.how == "replayed")


@given(KEYS, STAGES, st.integers(1, 365), st.integers(0, 400), st.integers(1, 60))
def test_a_later_deadline_takes_no_year_away(real, numbers, key, stage, start, days, more) -> None:
    soon, later = (
        odds.replay(real, numbers.plants, odds.Planting(key, start, stage, d)) for d in (days, days + more)
    )
    if soon is None or later is None:
        return
    both = np.isin(soon.years, later.years)
    assert (soon.ready[:, both] <= later.ready[:, np.isin(later.years, soon.years)]).all()
    guess = [
        odds.approximation(real.site, numbers.plants, numbers.odds, odds.Planting(key, start, stage, d))
        for d in (days, days + more)
    ]
    assert guess[0].ready <= guess[1].ready + 1e-9


@given(
    st.integers(1, 365),
    st.floats(0, 60),
    st.sampled_from(["broadcast-seed", "slit-seed", "hydromulch", "sprigs"]),
)
def test_more_rain_never_washes_out_less(real, numbers, start, more, method) -> None:
    p = odds.Planting(RYEGRASS, start, "full-play", 60, method)
    wetter = Past.__new__(Past)
    wetter.__dict__.update(real.__dict__, rain=real.rain + more)
    dry, wet = odds.replay(real, numbers.plants, p), odds.replay(wetter, numbers.plants, p)
    assert (dry.washed_out <= wet.washed_out).all()


@pytest.mark.slow
@settings(max_examples=15)
@given(st.permutations(range(8)))
def test_the_order_of_the_years_does_not_matter(numbers, order) -> None:
    """A planting that begins and ends in one calendar year, years of one length, and no winter before its end."""
    warmth = [9.0, 10.0, 11.0, 12.0, 13.0, 14.0, 15.0, 16.0]
    first = made(2001, 2012, lambda y, d: warmth[(y - 2001) % 8], rain=lambda y, d: 5.0 * ((y - 2001) % 8))
    again = made(2001, 2012, lambda y, d: warmth[order[(y - 2001) % 8]] if y <= 2008 else warmth[(y - 2001) % 8],
                 rain=lambda y, d: 5.0 * (order[(y - 2001) % 8] if y <= 2008 else (y - 2001) % 8))  # fmt: skip
    p = (RYEGRASS, 100, "full-play", 80, "broadcast-seed")
    one, other = (odds_of(past_of(each, numbers), numbers, *p) for each in (first, again))
    assert dataclasses.replace(one, note="") == dataclasses.replace(other, note="")


def test_the_same_planting_gives_the_same_odds(real, numbers) -> None:
    p = odds.Planting(RYEGRASS, 250, "full-play", 200, "broadcast-seed")
    assert odds.odds(real.site, numbers.plants, numbers.odds, p, real) == odds.odds(
        real.site, numbers.plants, numbers.odds, p, real
    )


def test_a_kinder_start_is_no_worse_by_averages(numbers, site_at) -> None:
    """West Lafayette: the later in autumn ryegrass is sown, the likelier winter takes it (HortScience 35, 2000: seven sowing dates)."""
    site = site_at(40.42, -86.91)
    shares = [
        odds.approximation(
            site,
            numbers.plants,
            numbers.odds,
            odds.Planting("perennial-ryegrass/seed", day, "full-play", 300),
        ).killed
        for day in (244, 274, 288, 305)
    ]
    assert shares[0] == 0.0
    assert shares == sorted(shares)
    assert shares[-1] == 1.0
