"""How much of a row's unit one of a seller's units is."""

from __future__ import annotations

import pytest

from decide.model.situation import Offer
from decide.plan.offers import per_unit


@pytest.mark.parametrize(
    ("unit", "row", "much"),
    [
        # By definition: 1 ft = 0.3048 m, 1 yd = 3 ft, 1 lb = 0.45359237 kg (NIST Handbook 44, appendix C).
        ("square-metre", "m2", 1),
        ("square-foot", "m2", 0.3048**2),
        ("square-yard", "m2", (3 * 0.3048) ** 2),
        ("1000-ft2", "m2", 1000 * 0.3048**2),
        ("1000ft2", "m2", 1000 * 0.3048**2),
        ("lb", "kg", 0.45359237),
        ("l", "l", 1),
        ("plug", "each", 1),
        ("piece", "each", 1),
        ("each", "each", 1),
        ("yd3", "m3", (3 * 0.3048) ** 3),
        ("square-metre", "kg", None),
        ("bushel", "l", None),
    ],
)
def test_a_sellers_unit_in_that_of_the_row(unit: str, row: str, much: float | None) -> None:
    found = per_unit(Offer.model_validate({"what": "seed", "unit": unit}), row, None)
    assert found == (pytest.approx(much, rel=1e-9) if much is not None else None)


def test_a_tonne_of_sand_is_as_large_as_it_is_dense_and_a_bushel_as_its_seller_says() -> None:
    assert per_unit(Offer.model_validate({"what": "sand", "unit": "t"}), "m3", 1.6) == pytest.approx(1 / 1.6)
    assert per_unit(Offer.model_validate({"what": "sand", "unit": "t"}), "m3", None) is None
    assert (
        per_unit(Offer.model_validate({"what": "sprigs", "unit": "bushel", "bushel_l": 35}), "l", None) == 35
    )
