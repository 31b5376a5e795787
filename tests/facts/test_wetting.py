"""How ground is watered at a stage: soil, weather, hands; and what holds of the water of every plan."""

import datetime as dt
import itertools
from functools import partial
from types import SimpleNamespace
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from decide.answer.assemble import advice_of
from decide.decision.consultation import Consultation
from decide.facts.wetting import Dose, Spell, first_dose, first_spell, hours_a_day, spell
from decide.model.planned import Watering
from decide.model.reading import situation_from_dict
from decide.report.text import render
from tests.shared import adviser

D = dt.date.fromisoformat
PLACES = (
    ("Sandusky", "us"), ("Perth", "au"), ("Leeds", "gb"), ("Galway", "ie"), ("Fresno", "us"), ("São Paulo", "br"),
    ("Pune", "in"), ("Pretoria", "za"), ("Dunedin", "nz"), ("Boise", "us"), ("Tampa", "us"),
)  # fmt: skip


def consulted(
    place: tuple[str, str], today: str, means: dict[str, Any], method: str = "", soil: str = "",
    area: float | None = None,
) -> Consultation:  # fmt: skip
    zone: dict[str, Any] = {"name": "middle", "bare_percent": 80, "bare_pattern": "solid"}
    data: dict[str, Any] = {
        "place": {"name": place[0], "country": place[1]},
        "dates": {"today": today},
        "zone": [zone | ({"area_m2": area} if area else {})],
        "use": [{"sport": "football", "players": "adult"}],
        "means": means,
    }
    if method:
        data["wishes"] = {"method": method}
    if soil:
        data["field"] = {"soil": soil}
    return adviser().consult(situation_from_dict(data))


def dose(
    made_from: str, method: str, soil: str, today: str, place: tuple[str, str], **means: float | str
) -> Dose:
    c = consulted(place, today, dict(means), soil=soil)
    found = first_dose(
        c.filled, made_from, {"option.method": method}, D(today), "middle", partial(first_spell, c.filled)
    )
    assert found is not None
    return found


@pytest.mark.parametrize(
    ("soil", "goes"),
    # Perth in February: a turf grower's page prints 5 mm three times a day on sand; clay one fewer.
    [("sand", 3), ("loam", 3), ("clay", 2)],
)
def test_sod_in_heat_is_wetted_by_soil(soil: str, goes: int) -> None:
    found = dose("sod", "thin-sod", soil, "2026-02-05", ("Perth", "au"), water="in-ground sprinklers")
    assert found.goes == goes
    assert 2.5 <= found.each <= 5.01


def test_hands_that_come_once_give_more_at_a_time_as_far_as_it_bears_it() -> None:
    three = dose("sod", "thin-sod", "loam", "2026-02-05", ("Perth", "au"), water="hand hose")
    # Two is the least that sod bears in heat, whatever the hands.
    once = dose(
        "sod", "thin-sod", "loam", "2026-02-05", ("Perth", "au"), water="hand hose", wettings_weekday=1
    )
    assert (three.goes, once.goes) == (3, 2)
    assert once.each > three.each
    assert once.depth <= three.depth


def test_sod_in_a_cool_month_is_wetted_once() -> None:
    found = dose("sod", "thin-sod", "loam", "2026-11-05", ("Leeds", "gb"), water="hand hose")
    assert (found.goes, round(found.each, 2)) == (1, 2.54)


def test_sod_is_kept_wet_for_two_weeks_in_heat_and_four_in_the_cold() -> None:
    for place, today, most in ((("Perth", "au"), "2026-02-02", 14), (("Leeds", "gb"), "2026-10-20", 28)):
        c = consulted(place, today, {"water": "in-ground sprinklers"}, "thin-sod", area=200)
        rows = [row for row in advice_of(c).watering if row.stage == "until it holds"]
        assert rows
        for row in rows:
            assert (D(row.until) - D(row.from_)).days + 1 <= most


MEANS = st.fixed_dictionaries(
    {"water": st.sampled_from(["hand hose", "travelling sprinkler", "in-ground sprinklers"])},
    optional={
        "flow_l_min": st.sampled_from([10, 20, 60, 400]),
        "wettings_weekday": st.sampled_from([0, 1, 2, 4]),
        "watering_hours_day": st.sampled_from([2, 8]),
    },
)


@pytest.mark.slow
@settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))
@given(
    place=st.sampled_from(PLACES),
    today=st.dates(dt.date(2026, 1, 5), dt.date(2026, 12, 20)),
    means=MEANS,
    method=st.sampled_from(["", "broadcast-seed", "thin-sod", "thick-sod", "sprigs", "plugs"]),
    soil=st.sampled_from(["", "sand", "clay"]),
    area=st.sampled_from([None, 150, 1200, 6000]),
)
def test_the_water_of_every_plan_can_be_given_and_is_said_alike(
    place: tuple[str, str],
    today: dt.date,
    means: dict[str, Any],
    method: str,
    soil: str,
    area: float | None,
) -> None:
    c = consulted(place, today.isoformat(), means, method, soil, area)
    advice = advice_of(c)
    words = render(advice, depth="full", width=10_000)
    there = hours_a_day(c.filled)
    assert there is not None
    stages = {row.stage: key for key, row in c.knowledge.watering.items()}
    new = [o for o in advice.options if o.remedy == "establish"]
    for row in advice.watering:
        stage = c.knowledge.watering[stages[row.stage]]
        # A month's mean of rain excuses no wetting of what has not set.
        if stage.rain == "days" and stage.kind != "once":
            assert "rain brings what it uses" not in row.text
        assert ("rain brings what it uses" in row.text) <= (row.times_a_week == 0)
        assert ("Deep and seldom" in row.text) <= (row.mm_each * max(1, row.text.count("goes")) >= 2)
        assert row.mm_a_week == pytest.approx(row.times_a_week * row.mm_each, rel=0.02, abs=0.2)
        if row.litres_each is not None and row.litres_a_week is not None:
            assert row.litres_a_week == pytest.approx(row.times_a_week * row.litres_each, rel=0.02, abs=50)
        if row.minutes_each is not None:
            goes = max(1.0, row.times_a_day)
            assert row.minutes_each * goes / 60 / row.pieces <= there + 0.05
    if any(row.stage == "until it holds" for row in advice.watering):
        assert "rain covers" not in words
    _later_waterings_are_no_smaller(c, advice.watering)
    _weeks_add_up(advice.weeks, advice.watering)
    chosen = {w.draft.code for z in c.chosen.values() for w in z.named if z.least_bad is not w}
    for option in new:
        if option.code in chosen and option.water is not None and option.water.hours_a_day is not None:
            rained = c.weighed[option.code].facts.get("option.rain-waters-it") is True
            assert rained or option.water.hours_a_day <= there + 0.01


def _later_waterings_are_no_smaller(c: Consultation, rows: list[Watering]) -> None:
    kinds = {row.stage: row.kind for row in c.knowledge.watering.values()}
    for _, each in itertools.groupby(rows, key=lambda row: row.zone):
        before = 0.0
        for row in each:
            # The soaking stands for itself, and what is kept wet begins anew.
            if kinds[row.stage] != "once":
                assert kinds[row.stage] == "wet" or row.mm_each >= before - 0.06
                before = row.mm_each


def _weeks_add_up(weeks: list[Any], rows: list[Watering]) -> None:
    """Litres of a week are those of its wettings, day by day."""
    for week in weeks:
        if week.litres is None:
            continue
        days = [D(week.monday) + dt.timedelta(days=n) for n in range(7)]
        total = sum(
            (row.litres_a_week or 0) / (1 if row.from_ == row.until else 7)
            for row in rows
            for day in days
            if D(row.from_) <= day <= D(row.until)
        )
        assert week.litres == pytest.approx(total, rel=0.01, abs=10)


@pytest.mark.parametrize(
    ("high", "weather"), [(14.9, "cool"), (15, "mild"), (24.9, "mild"), (25, "hot"), (30, "hot")]
)
def test_a_bed_is_hot_from_its_limit_up_and_cool_only_below_its_own(high: float, weather: str) -> None:
    """By the usual highest of the day: half the day's range above its mean."""
    limits = {"hot-seed-day": 25.0, "cool-bed-day": 15.0}
    year = SimpleNamespace(normal=lambda day: high - 4)
    water = SimpleNamespace(reference=lambda day: 3.0, day_range=lambda day: 8.0)
    filled: Any = SimpleNamespace(
        season=SimpleNamespace(
            site=SimpleNamespace(year=year, climate=SimpleNamespace(rain=())), water=water
        ),
        latitude=50.0,
        library=SimpleNamespace(number=limits.get),
    )
    found = spell(filled, D("2026-05-01"), D("2026-05-04"))
    assert found == Spell(lost=3.0, dry=1.0, weather=weather)
