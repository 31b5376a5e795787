"""The tables say what their sources print: each figure here was read in the publication named beside it."""

from __future__ import annotations

import math
import tomllib
from pathlib import Path
from typing import Any

import pytest

from decide.model.units import convert

KNOWLEDGE = Path(__file__).resolve().parents[2] / "knowledge"
MINE = (
    "grasses",
    "seed",
    "mixtures",
    "sod",
    "vegetative",
    "care",
    "labour",
    "costs",
    "fields",
    "opening",
    "mowing",
    "climate",
    "chemicals",
    "means",
    "supplies",
    "condition",
    "plan",
    "steps",
    "timing",
)


def table(name: str) -> dict[str, Any]:
    """A file of the knowledge folder, as TOML has it."""
    return tomllib.loads((KNOWLEDGE / f"{name}.toml").read_text(encoding="utf-8"))


VALUES: dict[str, dict[str, Any]] = {
    name: row for file in MINE for name, row in table(f"values/{file}").items()
}


def rows(name: str, key: str = "") -> list[dict[str, Any]]:
    """All that sources say of a value for `key`."""
    return [row for row in VALUES[name]["says"] if row.get("key", "") == key]


def in_use(name: str, key: str = "", unit: str = "") -> float:
    """The number in use, in `unit` (else in the value's own)."""
    found = rows(name, key)
    row = found[0] if len(found) == 1 else next(row for row in found if row.get("use"))
    return convert(row["value"], row.get("unit", VALUES[name]["unit"]), unit or VALUES[name]["unit"])


def said(name: str, source: str, key: str = "", unit: str = "") -> list[float]:
    """What one source says, in `unit`."""
    return [
        convert(row["value"], row.get("unit", VALUES[name]["unit"]), unit or VALUES[name]["unit"])
        for row in rows(name, key)
        if row["source"] == source
    ]


LB = "lb/1000ft2"
PRINTED = [
    # Seeding rates (safe sports fields), Cornell University: Kentucky bluegrass 1-3, ryegrass 4-6, tall fescue 6-8 lb per 1,000 sq. ft.
    ("seed-rate-new-low", "kentucky-bluegrass", "tb-cornell-rates", LB, 1),
    ("seed-rate-new-high", "kentucky-bluegrass", "tb-cornell-rates", LB, 3),
    ("seed-rate-new-low", "perennial-ryegrass", "tb-cornell-rates", LB, 4),
    ("seed-rate-new-high", "perennial-ryegrass", "tb-cornell-rates", LB, 6),
    ("seed-rate-new-low", "tall-fescue", "tb-cornell-rates", LB, 6),
    ("seed-rate-new-high", "tall-fescue", "tb-cornell-rates", LB, 8),
    ("seed-rate-new-low", "bluegrass-with-ryegrass", "tb-cornell-rates", LB, 3),
    ("seed-rate-new-high", "bluegrass-with-ryegrass", "tb-cornell-rates", LB, 4),
    # Planting times and rates, University of California, 2017: ryegrass 6-9, bluegrass 2-3, tall fescue 8-10, annual ryegrass 7-9 lb.
    ("seed-rate-new-low", "perennial-ryegrass", "tb-california-sowing", LB, 6),
    ("seed-rate-new-high", "perennial-ryegrass", "tb-california-sowing", LB, 9),
    ("seed-rate-new-high", "tall-fescue", "tb-california-sowing", LB, 10),
    ("seed-rate-new-low", "annual-ryegrass", "tb-california-sowing", LB, 7),
    # Crop Science 44, 2004: bermudagrass 12-49, zoysiagrass 49-98 kg/ha.
    ("seed-rate-new-low", "common-bermudagrass", "tb-bermuda-zoysia-seed-2004", "kg/ha", 12),
    ("seed-rate-new-high", "japanese-zoysiagrass", "tb-bermuda-zoysia-seed-2004", "kg/ha", 98),
    # Seeding During the Play Season, Ohio State University, 2017: ryegrass can germinate in 3 days.
    ("germination-days-low", "perennial-ryegrass", "tb-ohio-in-season", "day", 3),
    # Choosing the best time for seeding mixtures, 2008: bluegrass 7-28 days.
    ("germination-days-high", "kentucky-bluegrass", "tb-wisconsin-mixture-dates", "day", 28),
    # Crop Science 42, 2002: seeded bermudagrasses -5.6 to -7.6, vegetative fairway types -5.9 to -8.4 C.
    # Longer exposure durations increase freeze damage, Crop Science: hardiest vegetative -10.3, hardier seeded -8.3 C.
    # HortScience 2012: manilagrass cultivars -5.7 to -9.8 C.
    # Salinity tolerance turfgrass, table 1, 2013: classes end at 3, 6 and 10 dS/m.
    # Turf Growers Association of Western Australia: couch at least 5 h of direct sun, kikuyu 5 to 6.
    ("sun-hours-least", "common-bermudagrass", "tb-light-western-australia", "hour", 5),
    ("sun-hours-least", "kikuyugrass", "tb-light-western-australia", "hour", 5),
    # E0018, Michigan State University, 2015: cool-season fields 1.5 to 2.5 inches, 3.5 to 5 lb of nitrogen a year.
    ("mow-height-low", "kentucky-bluegrass", "tb-michigan-fields", "in", 1.5),
    ("mow-height-high", "kentucky-bluegrass", "tb-michigan-fields", "in", 2.5),
    ("nitrogen-year-high", "kentucky-bluegrass", "tb-michigan-fields", LB, 5),
    # Constructing Better Athletic Fields, Louisiana State University, 2005: at least 400-600 bushels an acre.
    ("sprig-rate-low", "hybrid-bermudagrass", "tb-louisiana-fields", "bu/acre", 400),
    ("sprig-rate-high", "common-bermudagrass", "tb-louisiana-fields", "bu/acre", 600),
    # Sprigs, a sod grower's page: a bushel of 0.32 cubic feet.
    ("sprig-bushel", "georgia", "tb-sprig-seller-a", "ft3", 0.32),
    # Law 1 as answered by New Zealand Rugby: 94-100 m long, 68-70 m wide.
    ("field-length-low", "rugby-union", "tb-rugby-law-1", "m", 94),
    ("field-length-high", "rugby-union", "tb-rugby-law-1", "m", 100),
    ("field-width-low", "rugby-union", "tb-rugby-law-1", "m", 68),
    ("field-width-high", "rugby-union", "tb-rugby-law-1", "m", 70),
    # Fertigrasen, Austrian consumer association, 2009: standard sod at most 20 mm.
    ("sod-thickness-high", "thin-sod", "tb-austria-sod-test", "mm", 20),
    # Overseeding for the transition zone, University of Tennessee, 2010: acceptable above 70 % cover.
    ("opening-cover-light", "", "tb-tennessee-overseed", "percent", 70),
    # Seeding a New Lawn, North Carolina: 2-3 times a day for 15-20 days.
    ("wettings-low", "", "tb-north-carolina-seeding", "count/day", 2),
    ("wettings-high", "", "tb-north-carolina-seeding", "count/day", 3),
    # Hydroseeding and Hydromulching Fact Sheet, USDA: no more than 30 minutes in the tank.
    ("tank-minutes-most", "", "tb-hydroseed-facts", "min", 30),
    # How much perennial ryegrass/Kentucky bluegrass in a mix?, Purdue University: ryegrass at most 10 % by weight.
    ("mixture-share-bluegrass-rich-ryegrass", "", "tb-purdue-mixture", "percent", 10),
    # Fall seeding, Iowa State University, 2009: 5 % for more than 70 % bluegrass; 15 % became about half of the stand.
    ("mixture-share-bluegrass-rich-ryegrass", "", "tb-iowa-mixture", "percent", 5),
    # Fertilization of established lawns, table 2, University of Florida: pounds of nitrogen a year, north to south: bahiagrass 2-4, bermudagrass 3-7, St. Augustinegrass 2-6, zoysiagrass 3-6.
    ("nitrogen-year-low", "common-bermudagrass", "tb-florida-feeding", LB, 3),
    ("nitrogen-year-high", "hybrid-bermudagrass", "tb-florida-feeding", LB, 7),
    ("nitrogen-year-low", "bahiagrass", "tb-florida-feeding", LB, 2),
    ("nitrogen-year-high", "bahiagrass", "tb-florida-feeding", LB, 4),
    ("nitrogen-year-low", "st-augustinegrass", "tb-florida-feeding", LB, 2),
    ("nitrogen-year-high", "st-augustinegrass", "tb-florida-feeding", LB, 6),
    ("nitrogen-year-low", "manilagrass", "tb-florida-feeding", LB, 3),
    ("nitrogen-year-high", "manilagrass", "tb-florida-feeding", LB, 6),
    # Bermudagrass on athletic fields, Louisiana State University, 2006: 200 to 250 lb an acre.
    ("nitrogen-year-low", "hybrid-bermudagrass", "tb-louisiana-feeding-2006", "lb/acre", 200),
    ("nitrogen-year-high", "hybrid-bermudagrass", "tb-louisiana-feeding-2006", "lb/acre", 250),
    # Growing lawns in shaded areas, a garden page, Australia: plugs of creeping grasses 6 to 12 inches apart.
    ("plug-spacing-low", "kikuyugrass", "tb-plugs-australia", "in", 6),
    ("plug-spacing-high", "centipedegrass", "tb-plugs-australia", "in", 12),
    # Weed Technology 30, 2016: 40 weeks at least by label; cover less by 93 percent or more at 8 and 20 weeks.
    ("wait-cellulose-high", "", "opt-cellulose-overseed-2016", "week", 40),
    ("wait-cellulose-low", "", "opt-cellulose-overseed-2016", "week", 20),
    # Congress of sport engineering, 2024: 70 to 85 Gmax asked of natural football pitches.
    ("opening-hardness-least", "", "pr-hardness-systems-2024", "gmax", 70),
    ("opening-hardness-most", "", "pr-hardness-systems-2024", "gmax", 85),
    # British pitch standards: 40 percent living cover at least in the entry grade.
    ("living-for-play-sowing", "", "tb-uk-pitch-standards", "percent", 40),
    # Grass seed germination rates, a lawn care guide, United States: annual ryegrass 5-10, zoysiagrass 14-21 days.
    ("germination-days-low", "annual-ryegrass", "tb-germination-lawn-page", "day", 5),
    ("germination-days-high", "annual-ryegrass", "tb-germination-lawn-page", "day", 10),
    ("germination-days-low", "japanese-zoysiagrass", "tb-germination-lawn-page", "day", 14),
    # The art of topdressing, 2017: an eighth to a quarter of an inch a time.
    ("dressing-depth-low", "", "st-art-of-topdressing-2017", "in", 0.125),
    # How long laying sod takes, consumer pages: 500 to 700 and 2,000 to 2,500 square feet a day for a novice alone.
    ("sod-person-day-most", "", "opt-sod-labour", "ft2", 700),
    ("sod-person-day-most", "", "opt-sod-labour", "ft2", 2000),
    # Renovating lawns, Minnesota: with half of it weeds or dead a lawn is made anew, later edge.
    ("living-stand", "", "st-renovating-lawns-minnesota", "percent", 50),
    # British pitch standards, entry grade: 40 percent.
    ("new-plants-below", "", "tb-uk-pitch-standards", "percent", 40),
    # Landscaping pages on mowing: half an hour an acre on a ride-on, three hours an acre walking.
    ("work-mow-low", "", "pl-mow-an-acre", "h/1000m2", 0.12),
    ("work-mow-high", "", "pl-push-mow-an-acre", "h/1000m2", 0.74),
    # By hand rake 1,500 square feet of thatch in 3 hours, a garden diary.
    ("work-thatch-high", "", "pl-thatch-by-hand-blog", "h/1000m2", 22),
    # A rugby posts check: 45 minutes at least.
    ("work-goals-low", "", "pl-posts-check", "hour", 0.75),
    # Tall fescue monograph, Oregon State University: slow below 10 to 12 C of the topsoil.
    ("soil-min-germination", "tall-fescue", "opt-tall-fescue-monograph", "C", 10),
    # A seed merchant's page, England, 2012: soil above 4 C.
    ("soil-min-germination", "perennial-ryegrass", "opt-seed-soil-warmth-england", "C", 4),
    # Sports volunteers' experiences survey, New Zealand, 2007: half give four hours a week or less.
    ("helper-hours", "", "pl-volunteer-hours-new-zealand", "h/week", 4),
    # Sprig furrows of 1.5 inches.
    ("sprig-depth-most", "", "pl-sprig-furrows-a", "in", 1.5),
    # U.S. Standard Atmosphere, 1976: 6.5 K for each kilometre.
    ("lapse", "", "ms-standard-atmosphere-1976", "K/100m", 0.65),
]  # fmt: skip


@pytest.mark.parametrize(("name", "key", "source", "unit", "printed"), PRINTED)
def test_row_holds_the_printed_figure(name: str, key: str, source: str, unit: str, printed: float) -> None:
    assert any(math.isclose(found, printed, rel_tol=1e-9) for found in said(name, source, key, unit))


def test_in_season_ryegrass_in_both_units() -> None:
    # Seeding During the Play Season, Ohio State University, 2017, prints 8-10 lb as 40-50 g/m2.
    assert in_use("seed-rate-worn-low", "perennial-ryegrass") == pytest.approx(40, rel=0.025)
    assert in_use("seed-rate-worn-high", "perennial-ryegrass") == pytest.approx(50, rel=0.025)


def test_bluegrass_rate_in_both_units() -> None:
    # The same note prints 2-3 lb of bluegrass as 10-15 g/m2.
    assert in_use("seed-rate-new-low", "kentucky-bluegrass") == pytest.approx(10, rel=0.025)
    assert in_use("seed-rate-new-high", "kentucky-bluegrass") == pytest.approx(15, rel=0.025)


def test_pure_live_seed_of_the_page() -> None:
    # Seeding rates, Cornell University: 0.95 x 0.85 = 0.81.
    assert in_use("seed-purity-good", unit="ratio") * in_use(
        "seed-germination-good", unit="ratio"
    ) == pytest.approx(0.81, abs=0.005)


def test_sprig_review_in_both_units() -> None:
    # HortTechnology 27, 2017: 218-653 bushels an acre, that is 5-15 bushels per 1,000 sq. ft.
    assert in_use("sprig-rate-high", "hybrid-bermudagrass", "bu/1000ft2") == pytest.approx(15, rel=0.01)
    assert said("sprig-rate-low", "tb-sprig-rates-2017", "common-bermudagrass", "bu/1000ft2") == [
        pytest.approx(5, rel=0.01)
    ]


def test_bushels() -> None:
    # NIST Handbook 44: the bushel is 2,150.42 cubic inches. A sod grower's page: 67.5 bushels in a cubic yard.
    assert in_use("sprig-bushel", "official") == pytest.approx(2150.42 * 0.016387064, rel=1e-4)
    assert convert(1, "yd3", "litre") / in_use("sprig-bushel", "compressed") == pytest.approx(67.5, rel=1e-6)


def test_plugs_of_san_antonio() -> None:
    # Plug table, Texas A&M AgriLife: 3-inch plugs 12 inches apart take 7 square yards of sod per 1,000 sq. ft. (6.94 exactly).
    share = (in_use("plug-size") / in_use("plug-spacing-low", "st-augustinegrass")) ** 2
    assert convert(1000, "ft2", "yd2") * share == pytest.approx(7, rel=0.01)


def test_plug_counts() -> None:
    # A plug seller's table: 4,000 plugs at 6 inches and 1,000 at 12 inches per 1,000 sq. ft.
    for name, printed in (("plug-spacing-low", 4000), ("plug-spacing-high", 1000)):
        side = in_use(name, "japanese-zoysiagrass", "ft")
        assert 1000 / side**2 == pytest.approx(printed)


def test_starter_of_missouri() -> None:
    # Aggressive Bermudagrass Grow-In, University of Missouri: 1 lb N, 2.4 lb P2O5 and 1.8 lb K2O from 10 lb of 10-24-18.
    nutrient = {
        key: said("starter-analysis", "tb-missouri-grow-in", key)[0]
        for key in ("nitrogen", "phosphate", "potash")
    }
    product = in_use("starter-nitrogen", unit=LB) / (nutrient["nitrogen"] / 100)
    assert product == pytest.approx(10)
    assert product * nutrient["phosphate"] / 100 == pytest.approx(2.4)
    assert product * nutrient["potash"] / 100 == pytest.approx(1.8)


def test_city_prices_of_sprigs_and_sod() -> None:
    # City of Deer Park, Texas, 2019: the same four fields cost 52,908.90 dollars in sprigs and 288,600 in sod.
    area = convert(288_600 / 6, "yd2", "m2")
    assert in_use("cost-installed-low", "sprigs") * area == pytest.approx(52_908.90, rel=0.005)
    assert in_use("cost-installed-low", "thin-sod") * area == pytest.approx(288_600, rel=0.005)


def test_hydroseeding_price() -> None:
    # A contractor's price page, February 2022: 0.10 to 0.25 dollars a square foot.
    assert in_use("cost-installed-low", "hydromulch", "money/ft2") == pytest.approx(0.10)
    assert in_use("cost-installed-high", "hydromulch", "money/ft2") == pytest.approx(0.25)


def test_football_pitch_in_yards() -> None:
    # Laws of the Game, Law 1: 90-120 m is printed as 100-130 yd, 45-90 m as 50-100 yd.
    for name, printed in (
        ("field-length-low", 100),
        ("field-length-high", 130),
        ("field-width-low", 50),
        ("field-width-high", 100),
    ):
        assert in_use(name, "football", "yd") == pytest.approx(printed, rel=0.02)


def test_american_football_area() -> None:
    # American football rule text: 360 by 160 ft is 57,600 sq. ft.
    area = in_use("field-length-high", "american-football", "ft") * in_use(
        "field-width-high", "american-football", "ft"
    )
    assert area == pytest.approx(57_600)


def test_goal_and_penalty_areas() -> None:
    # Law 1: goal 7.32 m wide, goal area 5.5 m to each side and deep, penalty area 16.5 m, centre circle radius 9.15 m.
    assert in_use("goal-area") == pytest.approx((7.32 + 11) * 5.5, abs=0.1)
    assert in_use("penalty-area") == pytest.approx((7.32 + 33) * 16.5, abs=0.5)
    assert in_use("centre-circle-area") == pytest.approx(math.pi * 9.15**2, abs=0.5)


def test_sowing_temperature_in_both_scales() -> None:
    # Constructing Better Athletic Fields, Louisiana, 2005: 70 F at 2 inches.
    assert in_use("germination-soil-least", "common-bermudagrass", "F") == pytest.approx(70)


def test_mass_of_sod() -> None:
    # A sod farm's page: 2,500 lb on a pallet of 450 sq. ft.; another pallet of a ton holds 500.
    assert in_use("sod-mass", "thin-sod") == pytest.approx(
        convert(2500, "lb", "kg") / convert(450, "ft2", "m2"), rel=0.02
    )


def test_facts_of_common_practice() -> None:
    # Common practice, no source: kept beside the published figures.
    given = [
        ("seed-rate-new-low", "kentucky-bluegrass", LB, 1),
        ("seed-treated-days-low", "", "day", 7), ("seed-treated-days-high", "", "day", 10),
        ("starter-analysis", "nitrogen", "percent", 18), ("starter-analysis", "phosphate", "percent", 24), ("starter-analysis", "potash", "percent", 12),
        ("thatch-seen-most", "", "in", 2), ("first-mow-low", "tall-fescue", "in", 2), ("first-mow-high", "tall-fescue", "in", 2.5),
        ("first-mow-low", "seashore-paspalum", "mm", 25), ("first-mow-high", "hybrid-bermudagrass", "mm", 40),
        ("wettings-hot-low", "", "count/day", 4), ("wettings-hot-high", "", "count/day", 7),
    ]  # fmt: skip
    for name, key, unit, number in given:
        assert said(name, "common-practice", key, unit) == [pytest.approx(number)], name


def test_shares_of_a_mixture_make_a_hundred() -> None:
    for code, mixture in table("mixtures").items():
        assert sum(in_use(part["share"]) for part in mixture["parts"]) == pytest.approx(100), code


def test_californian_levels() -> None:
    # Two lists of the University of California, 2017, in three steps; where no second source speaks against them.
    grasses = table("grasses")
    listed = {
        "kentucky-bluegrass": {
            "heat": "low",
            "cold": "high",
            "drought": "low",
            "shade": "moderate",
            "salt": "low",
            "wear": "moderate",
        },
        "tall-fescue": {
            "cold": "moderate",
            "drought": "moderate",
            "shade": "moderate",
            "salt": "moderate",
            "wear": "high",
        },
        "common-bermudagrass": {
            "heat": "high",
            "cold": "low",
            "drought": "high",
            "shade": "low",
            "salt": "high",
            "wear": "high",
        },
        "seashore-paspalum": {
            "heat": "high",
            "cold": "low",
            "drought": "moderate",
            "shade": "moderate",
            "salt": "high",
            "wear": "moderate",
        },
        "st-augustinegrass": {
            "heat": "high",
            "cold": "low",
            "drought": "moderate",
            "shade": "high",
            "salt": "high",
            "wear": "moderate",
        },
        "buffalograss": {
            "heat": "high",
            "cold": "moderate",
            "drought": "high",
            "shade": "low",
            "salt": "low",
            "wear": "low",
        },
    }
    for code, levels in listed.items():
        assert {name: grasses[code][name] for name in levels} == levels


def test_one_row_in_use_and_says_why() -> None:
    for name, value in VALUES.items():
        for key in {row.get("key", "") for row in value["says"]}:
            found = rows(name, key)
            chosen = [row for row in found if row.get("use")]
            assert len(found) == 1 or (len(chosen) == 1 and chosen[0].get("why")), f"{name} {key}"
