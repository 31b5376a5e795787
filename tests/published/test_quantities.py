"""Areas, layers, sod, plugs, sprigs and water against worked examples."""

import pytest

from decide.knowledge.tables import Knowledge
from decide.measure import area, seed, water
from decide.model.units import convert

DEFINED = "arithmetic from definitions"


@pytest.mark.parametrize(
    ("key", "got", "expected", "tolerance", "source"),
    [
        ("top.vol", lambda: area.layer_m3(7140, 6), 42.84, 0.001, DEFINED),
        ("top.tonnes", lambda: area.layer_tonnes(6000, 5, 1.6), 48.0, 0.001, DEFINED),
        ("top.depth", lambda: area.layer_depth_mm(60, 7000, 1.5), 5.714, 0.001, DEFINED),
        ("irr.m3", lambda: water.litres(7140, 25) / 1000, 178.5, 0.001, DEFINED),
        (
            "irr.acre-inch",
            lambda: convert(water.litres(convert(1, "acre", "m2"), 25.4), "litre", "gal"),
            27154.2857,
            0.03,
            "Soils Laboratory Manual, Kansas State University, 2017: 27,154",
        ),
        ("irr.run", lambda: water.run_minutes(0.25 * 25.4, 0.6 * 25.4), 25.0, 0.001, DEFINED),
        ("irr.rate", lambda: water.can_rate(8, 15), 32.0, 0.001, DEFINED),
        (
            "irr.leach",
            lambda: water.leaching_share(0.6, 0.4),
            0.43,
            0.005,
            "Leaching requirement, a calculator for avocado growers, California: 0.43",
        ),
        (
            "irr.96",
            lambda: convert(
                water.sprinkler_rate(convert(4, "gal/min", "l/min"), convert(1600, "ft2", "m2")),
                "mm/h",
                "in/h",
            ),
            0.2406,
            0.001,
            "1 gal a minute on 1 square foot is 96.25 inches an hour",
        ),
        (
            "irr.evenness",
            lambda: water.evenness([10, 8, 9, 7, 12, 10, 8, 11]),
            0.8,
            0.0005,
            "distribution uniformity of the low quarter, definition",
        ),
        (
            "irr.nevada",
            lambda: convert(
                water.litres_to_send(convert(225, "ft2", "m2"), 0.35 * 25.4, 0.85), "litre", "gal"
            ),
            57.75,
            0.05,
            "University of Nevada, Reno Extension: 57.2 printed, 57.75 exact",
        ),
        ("geo.slope", lambda: area.slope_percent(0.30, 20), 1.5, 1e-6, DEFINED),
        ("geo.slope2", lambda: area.slope_percent(0.45, 30), 1.5, 1e-6, DEFINED),
        (
            "geo.crown",
            lambda: area.slope_percent(0.25 / 12, 1),
            2.08,
            0.005,
            "rule body for high schools: 1/4 inch a foot is 2.08 %",
        ),
        ("geo.rect", lambda: area.rectangle(105, 68), 7140, 0, DEFINED),
        ("geo.circle", lambda: area.circle(9.15), 263.022, 0.01, "Laws of the Game, law 1: radius 9.15 m"),
        ("geo.sector", lambda: area.circle(95, 0.25), 7088.2, 0.1, "quarter circle of radius 95 ft"),
        ("geo.football", lambda: area.rectangle(360, 160), 57600, 0, "common rule book size, from memory"),
        ("geo.shoelace", lambda: area.polygon([(0, 0), (50, 0), (60, 40), (10, 45)]), 2150.0, 0.01, DEFINED),
        (
            "geo.goal-area",
            lambda: area.goal_box(7.32, 5.5),
            100.8,
            0.05,
            "Laws of the Game, law 1: 5.5 m each way from the posts",
        ),
        (
            "geo.penalty-area",
            lambda: area.goal_box(7.32, 16.5),
            665.3,
            0.05,
            "Laws of the Game, law 1: 16.5 m each way from the posts",
        ),
        (
            "sprig.bushel",
            lambda: area.bushels_as(0.4, 1.2445),
            0.3214,
            0.002,
            "US bushel 1.2445 cubic feet; a small one of 0.4 from memory",
        ),
        (
            "sprig.georgia",
            lambda: area.bushels_as(400 * 1.2445, 0.32),
            1556,
            1,
            "sod growers' pages: 0.32 cubic feet",
        ),
        ("sprig.litre", lambda: convert(10, "bu/1000ft2", "litre/m2"), 3.7931, 0.002, DEFINED),
        ("sod.rolls", lambda: area.sod_rolls(7140, 1.0, 5), 7497, 0, DEFINED),
        (
            "sod.pallets",
            lambda: area.sod_rolls(2420, 50, 0),
            49,
            0,
            "how-to article on half an acre: 48 2/5 pallets, order 49",
        ),
        (
            "sod.big-rolls",
            lambda: area.sod_rolls(1134 * 9, 12, 5),
            894,
            1,
            "Minnesota practicum: 1,134 square yards and 5 %, 894 rolls of 2 by 6 ft",
        ),
        ("plug.12in", lambda: area.plugs(1000, 1), 1000, 0, "square grid, edges not counted"),
        ("plug.6in", lambda: area.plugs(1000, 0.5), 4000, 0, "square grid"),
        ("plug.18in", lambda: area.plugs(1000, 1.5), 444, 1, "square grid"),
        ("plug.300mm", lambda: area.plugs(100, 0.3), 1111, 1, "square grid"),
        (
            "plug.sod",
            lambda: area.plug_sod(1000, 0.25) / 9,
            6.94,
            0.01,
            "plug table, Texas A&M AgriLife Extension: 7 square yards for 1,000 3-inch plugs",
        ),
        (
            "top.uk-pitch",
            lambda: area.layer_depth_mm(70, 7000, 1.54),
            6.5,
            0.05,
            "British dressing guide: 70 t on a pitch is about 6.5 mm",
        ),
        (
            "water.gallons",
            lambda: convert(1, "gal/1000ft2", "litre/m2") * 623,
            25.4,
            0.02,
            "1 inch on 1,000 square feet is 623 gallons",
        ),
        ("lime", lambda: convert(50, "lb/1000ft2", "kg/ha"), 2441.2, 0.2, DEFINED),
    ],
)
def test_worked(key, got, expected: float, tolerance: float, source: str) -> None:
    assert got() == pytest.approx(expected, abs=tolerance), (key, source)


# Printed answers of published worked examples; where a source rounds on the way, its own rounding is allowed for.
PENN_LAYOUT, PENN_LABEL = (
    "irrigation of sports fields, Penn State Extension",
    "fertilizer labels, Penn State Extension",
)
MINNESOTA_LABEL, SEED_TESTS = (
    "reading a fertilizer bag, University of Minnesota Extension",
    "pure live seed, seed-testing notes",
)


@pytest.mark.parametrize(
    ("key", "got", "printed", "within", "source"),
    [
        (
            "w.fert.ay22.rate",
            lambda: seed.product_rate(0.75, 16),
            4.69,
            0.01,
            "AY-22, Purdue University: 0.75 lb of nitrogen from 16-8-8",
        ),
        (
            "w.fert.ay22.total",
            lambda: 8 * seed.product_rate(0.75, 16),
            37,
            0.02,
            "AY-22, Purdue University: 8,000 square feet, 37 lb printed, 37.5 exact",
        ),
        (
            "w.fert.ctp.n",
            lambda: seed.nutrient_in(1250, 5),
            62.5,
            0.001,
            "worked example of a turf programme: 1,250 lb of 5-10-20",
        ),
        (
            "w.fert.ctp.p2o5",
            lambda: seed.nutrient_in(1250, 10) * 0.4364,
            55,
            0.01,
            "worked example of a turf programme: 125 lb of phosphate, factor 0.44",
        ),
        ("w.pk.umn.n", lambda: seed.nutrient_in(60, 30), 18, 0.001, f"{MINNESOTA_LABEL}: 60 lb of 30-4-4"),
        (
            "w.pk.umn.p",
            lambda: seed.nutrient_in(60, 4) * 0.4364,
            1.1,
            0.05,
            f"{MINNESOTA_LABEL}: 1.056 by its factor",
        ),
        ("w.pk.umn.k", lambda: seed.nutrient_in(60, 4) * 0.8302, 2.0, 0.01, MINNESOTA_LABEL),
        ("w.pk.psu.p", lambda: 20 * 0.4364, 8.8, 0.01, f"{PENN_LABEL}: 20 % phosphate"),
        ("w.pk.psu.k", lambda: 10 * 0.8302, 8.3, 0.01, f"{PENN_LABEL}: 10 % potash"),
        (
            "w.fert.mu.p2o5",
            lambda: seed.nutrient_in(seed.product_rate(1, 10), 24),
            2.4,
            0.001,
            "grow-in, University of Missouri: 10-24-18 at 1 lb of nitrogen",
        ),
        ("w.fert.mu.k2o", lambda: seed.nutrient_in(seed.product_rate(1, 10), 18), 1.8, 0.001, "the same"),
        (
            "w.pls.txdot",
            lambda: seed.pure_live_seed(0.85, 0.75),
            0.64,
            0.005,
            "Texas Department of Transportation",
        ),
        ("w.pls.seed", lambda: 100 * seed.pure_live_seed(0.96, 0.80), 76.8, 0.001, SEED_TESTS),
        ("w.pls.seed.bulk", lambda: seed.bulk_rate(1, 0.768), 1.3, 0.005, SEED_TESTS),
        (
            "w.pls.hard",
            lambda: seed.bulk_rate(3.00, seed.pure_live_seed(0.98, 0.92 + 0.05)),
            3.16,
            0.005,
            f"{SEED_TESTS}: 92 % germinating, 5 % hard, 98 % pure",
        ),
        (
            "w.spread.rut",
            lambda: 0.9 / 2,
            0.45,
            0.001,
            "spreader calibration, Rutgers: 0.9 lb in two directions",
        ),
        (
            "w.plug.tamu",
            lambda: (
                2
                * convert(
                    area.plug_sod(
                        area.plugs(convert(1000, "ft2", "m2"), convert(12, "in", "m")), convert(3, "in", "m")
                    ),
                    "m2",
                    "yd2",
                )
            ),
            14,
            0.01,
            "Texas A&M AgriLife Extension: 7 square yards for 1,000 square feet, doubled for 2,000",
        ),
        (
            "w.irr.nv.gal",
            lambda: convert(
                water.litres_to_send(convert(225, "ft2", "m2"), 0.35 * 25.4, 0.85), "litre", "gal"
            ),
            57.2,
            0.02,
            "University of Nevada, Reno Extension",
        ),
        (
            "w.irr.nv.min",
            lambda: 60 * (water.hours_for(57.75, 3.60) or 0),
            15.9,
            0.02,
            "University of Nevada, Reno Extension: at 3.60 gallons a minute",
        ),
        (
            "w.slope.nfhs",
            lambda: 0.25 * 80,
            20,
            0.001,
            "crowns of fields, Ohio State University: 1/4 inch a foot over 80 ft",
        ),
        (
            "w.core.half",
            lambda: 0.5 / (area.circle(0.25) / 9),
            22,
            0.05,
            "coring of fields, a university's article of 2011: 22 passes of half-inch tines",
        ),
        (
            "w.core.three",
            lambda: 0.5 / (area.circle(0.375) / 9),
            10,
            0.03,
            "the same: 10 passes of three-quarter-inch tines",
        ),
        (
            "w.td.yd3",
            lambda: convert(
                convert(area.layer_m3(convert(1000, "ft2", "m2"), 0.25 * 25.4), "m3", "litre"), "litre", "yd3"
            ),
            0.77,
            0.01,
            "a page on dressing: a quarter inch over 1,000 square feet",
        ),
        (
            "x.td.right",
            lambda: convert(area.layer_m3(convert(1, "acre", "m2"), 0.25 * 25.4), "m3", "yd3"),
            33.6,
            0.001,
            "43,560 × 0.25 / 324; one page prints 10.5, which is wrong",
        ),
        (
            "w.water.psu",
            lambda: convert(water.litres(convert(1000, "ft2", "m2"), 0.25 * 25.4), "litre", "gal"),
            150,
            0.05,
            f"{PENN_LAYOUT}: 150 printed, 156 exact",
        ),
        (
            "w.sprig.bushel",
            lambda: convert(57600, "ft2", "acre") * 400,
            529,
            0.001,
            "arithmetic: 400 bushels an acre on 57,600 square feet",
        ),
        (
            "w.sprig.georgia",
            lambda: area.bushels_as(529 * convert(1, "bu", "litre"), convert(0.32, "ft3", "litre")),
            2057,
            0.001,
            "the same by a bushel of 0.32 cubic feet",
        ),
    ],
)
def test_printed_examples(key, got, printed: float, within: float, source: str) -> None:
    assert got() == pytest.approx(printed, rel=within), (key, source)


def test_sand_of_a_field_at_both_prices(knowledge: Knowledge) -> None:
    """Selecting topdressing material, SportsTurf, 2012: 600 tons at 10 and 30 dollars for 1,000 lb are 12,000 and 36,000 dollars."""
    tonnes = convert(600 * 2000, "lb", "t")
    for name, printed in (("price-sand-us-low", 12_000), ("price-sand-us-high", 36_000)):
        assert tonnes * (knowledge.value(name) or 0) == pytest.approx(printed, rel=1e-6)


LAW_1 = "Laws of the Game, law 1"
# Lengths and widths, least and most, as the rule bodies print them, in the unit that they print.
DIMENSIONS = [
    ("football", (90, 120, 45, 90), "m", LAW_1),
    ("football-international", (100, 110, 64, 75), "m", LAW_1),
    ("football-school-us", (100, 120, 55, 80), "yd", "rules of high-school soccer, United States"),
    ("football-under-8", (40, 40, 30, 30), "yd", "sizes for under 7 and 8, English football association"),
    ("football-under-10", (60, 60, 40, 40), "yd", "under 9 and 10, English football association"),
    ("football-under-12", (80, 80, 50, 50), "yd", "under 11 and 12, English football association"),
    ("football-under-14", (90, 90, 55, 55), "yd", "under 13 and 14, English football association"),
    ("football-under-16", (100, 100, 60, 60), "yd", "under 15 and 16, English football association"),
    ("football-9v9-us", (70, 80, 45, 55), "yd", "9v9, United States soccer"),
    ("american-football", (360, 360, 160, 160), "ft", "rule book of American football, with end zones"),
    ("rugby-union", (94, 100, 68, 70), "m", "Laws of the Game of rugby union, law 1"),
    ("gaelic-games", (130, 145, 80, 90), "m", "official guide of the Gaelic games, part 2"),
    ("field-hockey", (91.4, 91.4, 55, 55), "m", "rules of hockey, the field"),
    (
        "cricket-pitch",
        (20.12, 20.12, 3.05, 3.05),
        "m",
        "dimensions of a cricket pitch, a cricket league in Texas",
    ),
    ("baseball-infield", (90, 90, 90, 90), "ft", "official baseball rules, 2.01"),
    ("youth-ball-infield", (60, 60, 60, 60), "ft", "layouts of youth ball fields"),
    (
        "australian-football",
        (135, 185, 110, 155),
        "m",
        "laws of Australian football, 1.1, as a club prints them",
    ),
    (
        "lacrosse",
        (110, 120, 160 / 3, 60),
        "yd",
        "youth boys rulebook of the national body, United States, 2017, 1.2.1",
    ),
    ("rugby-league", (100, 100, 68, 68), "m", "sports dimensions guide, government of Western Australia"),
    ("softball-infield", (60, 60, 60, 60), "ft", "softball field diagram, fast pitch"),
]


@pytest.mark.parametrize(("field", "sides", "unit", "source"), DIMENSIONS)
def test_fields_are_as_their_rules_say(
    knowledge: Knowledge, field: str, sides: tuple[float, ...], unit: str, source: str
) -> None:
    names = ("field-length-low", "field-length-high", "field-width-low", "field-width-high")
    got = [knowledge.value(name, field) for name in names]
    assert got == pytest.approx([convert(side, unit, "m") for side in sides], rel=1e-9), source


def test_parts_of_a_football_pitch(knowledge: Knowledge) -> None:
    """Law 1: the goal is 7.32 m wide; areas reach 5.5 m and 16.5 m from its posts; the circle has a radius of 9.15 m."""
    for name, hand in (
        ("goal-area", 18.32 * 5.5),
        ("penalty-area", 40.32 * 16.5),
        ("centre-circle-area", 3.14159265 * 9.15**2),
    ):
        assert knowledge.value(name) == pytest.approx(hand, rel=0.001), name
