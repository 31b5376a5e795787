"""Areas and amounts: laws and errors."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from decide.measure import area
from decide.model.units import convert

SIZE = st.floats(0.1, 500)


@given(SIZE, SIZE)
def test_rectangle_as_a_polygon(length: float, width: float) -> None:
    corners = [(0.0, 0.0), (length, 0.0), (length, width), (0.0, width)]
    assert area.polygon(corners) == pytest.approx(area.rectangle(length, width))
    assert area.polygon(corners[::-1]) == pytest.approx(area.polygon(corners))


@given(SIZE, SIZE)
def test_units_of_area(length: float, width: float) -> None:
    feet = area.rectangle(convert(length, "m", "ft"), convert(width, "m", "ft"))
    assert convert(feet, "ft2", "m2") == pytest.approx(area.rectangle(length, width))


@given(st.floats(1, 1e4), st.floats(0, 50), st.floats(1, 2))
def test_layers_come_back(m2: float, depth: float, density: float) -> None:
    assert area.layer_depth_mm(area.layer_tonnes(m2, depth, density), m2, density) == pytest.approx(
        depth, abs=1e-9
    )


@given(st.floats(1, 1e4), st.floats(0.05, 1), st.floats(1.01, 3))
def test_wider_plugs_are_fewer(m2: float, spacing: float, wider: float) -> None:
    assert area.plugs(m2, spacing * wider) <= area.plugs(m2, spacing)


@given(st.floats(1, 1e4), st.floats(0.2, 40), st.floats(0, 20))
def test_rolls_cover_the_ground(m2: float, roll: float, spare: float) -> None:
    assert area.sod_rolls(m2, roll, spare) * roll >= m2 * (1 - 1e-6)


def test_gap_between_plugs() -> None:
    assert area.plug_gap(30, 7.5) == 22.5
    assert area.plug_gap(5, 7.5) == 0


def test_shares() -> None:
    assert area.share_of(7140, 25) == 1785
    assert area.with_spare(100, 5) == pytest.approx(105)


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: area.rectangle(0, 5), "length 0"),
        (lambda: area.rectangle(5, -1), "width -1"),
        (lambda: area.rectangle(float("nan"), 1), "length nan"),
        (lambda: area.circle(0), "radius"),
        (lambda: area.polygon([(0, 0), (1, 1)]), "three corners"),
        (lambda: area.plugs(100, 0), "spacing"),
        (lambda: area.share_of(100, 120), "120 percent"),
        (lambda: area.bushels_as(1, 0), "bushel"),
        (lambda: area.layer_depth_mm(1, 0, 1.5), "area"),
        (lambda: area.slope_percent(1, 0), "run"),
    ],
)
def test_wrong_numbers_are_named(call, words: str) -> None:
    with pytest.raises(ValueError, match=words):
        call()
