"""Conversions of units against printed factors and a reference library."""

import pytest

from decide.model.units import convert
from tests.shared import reference

NIST = "NIST Special Publication 811, 2008, appendix B"


@pytest.mark.parametrize(
    ("amount", "source", "target", "expected"),
    [
        (1, "acre", "m2", 4046.8564224),
        (1, "lb", "kg", 0.45359237),
        (1, "gal", "litre", 3.785411784),
        (1, "bu", "litre", 35.23907017),
        (1, "yd3", "m3", 0.764554857984),
        (1, "ft3", "m3", 0.028316846592),
        (1, "in", "mm", 25.4),
        (1, "gal/min", "l/min", 3.785411784),
        (1, "oz", "g", 28.349523125),
        (1, "lb/acre", "kg/ha", 1.120851156),
        (1, "lb/1000ft2", "kg/ha", 48.82427636),
        (50, "F", "C", 10.0),
        (18, "F-day", "K-day", 10.0),
        (1, "psi", "kPa", 6.894757293),
        (300, "psi", "MPa", 2.068427188),
    ],
)
def test_printed_factors(amount: float, source: str, target: str, expected: float) -> None:
    assert convert(amount, source, target) == pytest.approx(expected, rel=1e-8), NIST


@pytest.mark.slow
@pytest.mark.parametrize(
    ("amount", "ours", "to", "theirs", "target"),
    [
        (3.7, "acre", "m2", "acre", "m**2"),
        (12, "ft2", "m2", "foot**2", "m**2"),
        (5, "yd2", "m2", "yard**2", "m**2"),
        (9, "kg/ha", "g/m2", "kilogram/hectare", "g/m**2"),
        (7, "gal", "litre", "gallon", "liter"),
        (2.5, "bu", "litre", "bushel", "liter"),
        (44, "psi", "kPa", "psi", "kPa"),
        (8, "oz", "g", "ounce", "gram"),
    ],
)
def test_as_the_reference_library(amount: float, ours: str, to: str, theirs: str, target: str) -> None:
    pint = reference("pint")

    expected = pint.UnitRegistry().Quantity(amount, theirs).to(target).magnitude
    # the reference library counts an acre in survey feet: two parts in a million
    assert convert(amount, ours, to) == pytest.approx(expected, rel=5e-6)


@pytest.mark.parametrize(("f", "c"), [(32, 0), (212, 100), (-40, -40), (68, 20)])
def test_temperatures(f: float, c: float) -> None:
    assert convert(f, "F", "C") == pytest.approx(c)
    assert convert(c, "C", "F") == pytest.approx(f)
