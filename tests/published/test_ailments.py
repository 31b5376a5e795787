"""Numbers of weeds, insects and diseases against the pages that print them, the source named beside each."""

from typing import Any

import pytest

from decide.knowledge.tables import Knowledge
from decide.model.units import convert
from tests.decision.fields import consulted

PRINTED = [
    ("crabgrass-sprouts-from", 54, "F", "Ohio State University Extension, 2023: seven days at 54 F in the upper inch"),
    ("goosegrass-sprouts-from", 60, "F", "a sports field trade journal: 60 to 65 F"),
    ("annual-bluegrass-sprouts-below", 70, "F", "a US lawn care firm's page: soil below 70 F"),
    ("moss-raked-out", 75, "percent", "Oregon State University Extension: about 75 percent"),
    ("light-feed-nitrogen", 0.5, "lb/1000ft2", "Michigan State University Extension: about half a pound"),
    ("grub-action-level", 5, "count/ft2", "University of Massachusetts Extension: harm at 4 or 5 where animals dig"),
    ("armyworm-action-level", 3, "count/ft2", "a national golf association, 2017: three to four"),
    ("mole-cricket-action-level", 0.5, "count/ft2", "a Florida lawn care firm's page: two to four on four square feet"),
    ("billbug-action-level", 10, "count/ft2", "Pacific Northwest Pest Management Handbooks: 10 to 20 larvae"),
    ("chinch-bug-action-level", 30, "count/ft2", "University of Massachusetts Extension: 30 to 50 nymphs"),
    ("nematode-soil-least", 12, "C", "a UK sports turf adviser's page: above 12 C"),
    ("brown-patch-night", 65, "F", "Kansas State University Extension: above 65 F"),
    ("pythium-night", 68, "F", "University of Illinois Extension: 68 F"),
    ("leaf-spot-mow", 2.5, "in", "Ohio State University: 2.5 to 3 inches"),
]  # fmt: skip


@pytest.mark.parametrize(("name", "printed", "unit", "source"), PRINTED, ids=[row[0] for row in PRINTED])
def test_a_number_is_the_printed_one(
    knowledge: Knowledge, name: str, printed: float, unit: str, source: str
) -> None:
    held = knowledge.value(name)
    assert held is not None
    assert convert(held, knowledge.values[name].unit, unit) == pytest.approx(printed, rel=0.002), source


# Michigan State University, 14 April 2010, of an early spring: soil in the low to middle fifties Fahrenheit, the time of the
# treatment before crabgrass sprouts. A usual year is a little later, and the first of March is six weeks before.
def test_crabgrass_sprouts_in_michigan_from_the_middle_of_april() -> None:
    weeks = weeks_until("crabgrass", "Lansing", "us", "Michigan", "2026-03-01")
    assert weeks is not None
    assert 6 <= weeks <= 9


# Virginia Tech: most winter annuals come from September to November in coastal Virginia.
def test_annual_bluegrass_sprouts_in_coastal_virginia_in_autumn() -> None:
    weeks = weeks_until("annual-bluegrass", "Norfolk", "us", "Virginia", "2026-08-01")
    assert weeks is not None
    assert 5 <= weeks <= 13


def test_where_the_soil_never_crosses_the_limit_no_week_is_told() -> None:
    assert weeks_until("crabgrass", "Singapore", "sg", None, "2026-03-01") is None


def weeks_until(weed: str, town: str, country: str, region: str | None, today: str) -> object:
    place: dict[str, Any] = {"name": town, "country": country}
    if region is not None:
        place["region"] = region
    data = {
        "place": place,
        "dates": {"today": today},
        "zone": [{"name": "whole field", "weeds": ["crabgrass"]}],
    }
    return consulted(data).site.get(f"site.weeks-until-{weed}")
