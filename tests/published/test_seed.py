"""Seed and fertilizer arithmetic against worked examples."""

import pytest

from decide.measure import seed
from decide.model.units import convert

DEFINED = "arithmetic from definitions"
PLS = "pure live seed = purity x germination, seed-testing definition"


@pytest.mark.parametrize(
    ("key", "got", "expected", "tolerance", "source"),
    [
        ("pls.1", lambda: seed.pure_live_seed(0.98, 0.90), 0.882, 1e-6, PLS),
        ("pls.2", lambda: seed.bulk_rate(5, seed.pure_live_seed(0.95, 0.85)), 6.192, 0.001, PLS),
        (
            "pls.3",
            lambda: seed.seed_kg(seed.bulk_rate(30, seed.pure_live_seed(0.97, 0.88)), 7140),
            250.94,
            0.05,
            PLS,
        ),
        (
            "pls.cornell",
            lambda: seed.pure_live_seed(0.95, 0.85),
            0.81,
            0.005,
            "Seeding rates, Cornell University: 0.95 x 0.85 = 0.81",
        ),
        (
            "pls.texas",
            lambda: seed.bulk_rate(1, seed.pure_live_seed(0.85, 0.75)),
            1.569,
            0.01,
            "Texas Department of Transportation example; printed 1.56",
        ),
        (
            "seed.count",
            lambda: seed.seeds_per_area(2, 1.4e6) / 1000 / 144,
            19.44,
            0.01,
            "seed count from memory",
        ),
        ("fert.10-10-10", lambda: seed.product_rate(1, 10) * 40, 400, 0.01, DEFINED),
        ("fert.18-24-12", lambda: seed.product_rate(1, 24), 4.1667, 0.001, DEFINED),
        ("fert.bags", lambda: seed.packs(seed.product_rate(5, 20) * 7140 / 1000, 25), 8, 0, DEFINED),
        ("fert.urea", lambda: seed.product_rate(25, 46) * 0.714, 38.8, 0.02, DEFINED),
        (
            "fert.16-8-8",
            lambda: seed.product_rate(0.75, 16),
            4.69,
            0.005,
            "AY-22, Purdue University: 4.69 lb",
        ),
        (
            "fert.25-pct",
            lambda: seed.product_rate(0.9, 25),
            3.6,
            1e-9,
            "Rutgers Cooperative Extension worked example: 3.6 lb",
        ),
        (
            "fert.bags-45-acres",
            lambda: seed.packs(seed.product_rate(0.9, 25) * 45 * 43.56, 50),
            142,
            0,
            "worked example of a turf programme: 142 bags of 50 lb",
        ),
        (
            "fert.10-24-18",
            lambda: seed.product_rate(1, 10) * 43.56,
            436,
            0.5,
            "Aggressive bermudagrass grow-in, University of Missouri: 436 lb an acre",
        ),
    ],
)
def test_worked(key, got, expected: float, tolerance: float, source: str) -> None:
    assert got() == pytest.approx(expected, abs=tolerance), (key, source)


@pytest.mark.parametrize(
    ("key", "got", "expected", "tolerance"),
    [
        ("fert.k", lambda n: seed.potassium(1, n), 2 * 39.098 / (2 * 39.098 + 15.999), 0.0002),
        ("fert.p", lambda n: seed.phosphorus(1, n), 2 * 30.974 / (2 * 30.974 + 5 * 15.999), 0.0002),
        ("fert.k-elem", lambda n: seed.potassium(seed.nutrient_in(50, 50), n), 20.75, 0.02),
        ("fert.penn-p", lambda n: seed.phosphorus(20, n), 8.8, 0.1),
        ("fert.penn-k", lambda n: seed.potassium(10, n), 8.3, 0.05),
    ],
)
def test_elements(numbers, key, got, expected: float, tolerance: float) -> None:
    """Standard atomic weights (IUPAC): P 30.974, O 15.999, K 39.098; 20 % and 10 % printed by Penn State."""
    assert got(numbers.nutrients) == pytest.approx(expected, abs=tolerance)


def test_shares_by_weight_and_by_seeds() -> None:
    """70 % ryegrass by weight, by hand: 70 x 0.25 = 17.5 against 30 x 1.5 = 45, so 28 % of the seeds.

    Seed counts a pound of Seeding rates, Cornell University: bluegrass 1.5 million, ryegrass 0.25 million.
    """
    weights, counts = (
        {"kentucky-bluegrass": 30, "perennial-ryegrass": 70},
        {"kentucky-bluegrass": 1.5e6, "perennial-ryegrass": 0.25e6},
    )
    shares = seed.seed_shares(weights, counts)
    assert shares is not None
    assert shares["perennial-ryegrass"] == pytest.approx(0.28, abs=1e-9)


def test_unit_of_the_rate_does_not_matter() -> None:
    live = seed.pure_live_seed(0.9, 0.8)
    assert convert(seed.bulk_rate(5, live), "lb/1000ft2", "g/m2") == pytest.approx(
        seed.bulk_rate(convert(5, "lb/1000ft2", "g/m2"), live)
    )
