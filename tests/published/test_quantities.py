"""Areas, layers, sod, plugs, sprigs and water against worked examples."""

import pytest

from decide.measure import area, water
from decide.units import convert

DEFINED = "arithmetic from definitions"


@pytest.mark.parametrize(
    ("key", "got", "expected", "tolerance", "source"),
    [
        ("top.vol", lambda: area.layer_m3(7140, 6), 42.84, 0.001, DEFINED),
        ("top.tonnes", lambda: area.layer_tonnes(6000, 5, 1.6), 48.0, 0.001, DEFINED),
        ("top.depth", lambda: area.layer_depth_mm(60, 7000, 1.5), 5.714, 0.001, DEFINED),
        ("irr.m3", lambda: water.litres(7140, 25) / 1000, 178.5, 0.001, DEFINED),
        ("irr.acre-inch", lambda: convert(water.litres(convert(1, "acre", "m2"), 25.4), "litre", "gal"), 27154.2857, 0.03, "Soils Laboratory Manual, Kansas State University, 2017: 27,154"),
        ("irr.run", lambda: water.run_minutes(0.25 * 25.4, 0.6 * 25.4), 25.0, 0.001, DEFINED),
        ("irr.rate", lambda: water.can_rate(8, 15), 32.0, 0.001, DEFINED),
        ("irr.96", lambda: convert(water.sprinkler_rate(convert(4, "gal/min", "l/min"), convert(1600, "ft2", "m2")), "mm/h", "in/h"), 0.2406, 0.001, "1 gal a minute on 1 square foot is 96.25 inches an hour"),
        ("irr.evenness", lambda: water.evenness([10, 8, 9, 7, 12, 10, 8, 11]), 0.8, 0.0005, "distribution uniformity of the low quarter, definition"),
        ("irr.nevada", lambda: convert(water.litres_to_send(convert(225, "ft2", "m2"), 0.35 * 25.4, 0.85), "litre", "gal"), 57.75, 0.05, "University of Nevada, Reno Extension: 57.2 printed, 57.75 exact"),
        ("geo.slope", lambda: area.slope_percent(0.30, 20), 1.5, 1e-6, DEFINED),
        ("geo.slope2", lambda: area.slope_percent(0.45, 30), 1.5, 1e-6, DEFINED),
        ("geo.crown", lambda: area.slope_percent(0.25 / 12, 1), 2.08, 0.005, "rule body for high schools: 1/4 inch a foot is 2.08 %"),
        ("geo.rect", lambda: area.rectangle(105, 68), 7140, 0, DEFINED),
        ("geo.circle", lambda: area.circle(9.15), 263.022, 0.01, "Laws of the Game, law 1: radius 9.15 m"),
        ("geo.sector", lambda: area.circle(95, 0.25), 7088.2, 0.1, "quarter circle of radius 95 ft"),
        ("geo.football", lambda: area.rectangle(360, 160), 57600, 0, "common rule book size, from memory"),
        ("geo.shoelace", lambda: area.polygon([(0, 0), (50, 0), (60, 40), (10, 45)]), 2150.0, 0.01, DEFINED),
        ("geo.goal-area", lambda: area.goal_box(7.32, 5.5), 100.8, 0.05, "Laws of the Game, law 1: 5.5 m each way from the posts"),
        ("geo.penalty-area", lambda: area.goal_box(7.32, 16.5), 665.3, 0.05, "Laws of the Game, law 1: 16.5 m each way from the posts"),
        ("sprig.bushel", lambda: area.bushels_as(0.4, 1.2445), 0.3214, 0.002, "US bushel 1.2445 cubic feet; a small one of 0.4 from memory"),
        ("sprig.georgia", lambda: area.bushels_as(400 * 1.2445, 0.32), 1556, 1, "sod growers' pages: 0.32 cubic feet"),
        ("sprig.litre", lambda: convert(10, "bu/1000ft2", "litre/m2"), 3.7931, 0.002, DEFINED),
        ("sod.rolls", lambda: area.sod_rolls(7140, 1.0, 5), 7497, 0, DEFINED),
        ("sod.pallets", lambda: area.sod_rolls(2420, 50, 0), 49, 0, "how-to article on half an acre: 48 2/5 pallets, order 49"),
        ("sod.big-rolls", lambda: area.sod_rolls(1134 * 9, 12, 5), 894, 1, "Minnesota practicum: 1,134 square yards and 5 %, 894 rolls of 2 by 6 ft"),
        ("plug.12in", lambda: area.plugs(1000, 1), 1000, 0, "square grid, edges not counted"),
        ("plug.6in", lambda: area.plugs(1000, 0.5), 4000, 0, "square grid"),
        ("plug.18in", lambda: area.plugs(1000, 1.5), 444, 1, "square grid"),
        ("plug.300mm", lambda: area.plugs(100, 0.3), 1111, 1, "square grid"),
        ("plug.sod", lambda: area.plug_sod(1000, 0.25) / 9, 6.94, 0.01, "plug table, Texas A&M AgriLife Extension: 7 square yards for 1,000 3-inch plugs"),
        ("top.uk-pitch", lambda: area.layer_depth_mm(70, 7000, 1.54), 6.5, 0.05, "British dressing guide: 70 t on a pitch is about 6.5 mm"),
        ("water.gallons", lambda: convert(1, "gal/1000ft2", "litre/m2") * 623, 25.4, 0.02, "1 inch on 1,000 square feet is 623 gallons"),
        ("lime", lambda: convert(50, "lb/1000ft2", "kg/ha"), 2441.2, 0.2, DEFINED),
    ],
)
def test_worked(key, got, expected: float, tolerance: float, source: str) -> None:
    assert got() == pytest.approx(expected, abs=tolerance), (key, source)
