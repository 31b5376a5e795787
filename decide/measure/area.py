"""Areas of fields and their parts, and amounts of sod, plugs, sprigs and dressing for an area."""

import math
from collections.abc import Sequence

from decide.measure.seed import WHOLE_PERCENT, packs

_LEAST_CORNERS = 3


def _positive(name: str, number: float) -> float:
    if not number > 0:
        raise ValueError(f"{name} {number}: write a number above 0")
    return number


def rectangle(length: float, width: float) -> float:
    """Area of a rectangle in the square of the unit given."""
    return _positive("length", length) * _positive("width", width)


def circle(radius: float, turn: float = 1.0) -> float:
    """Area of a circle, or of the given share of a full turn of it."""
    return turn * math.pi * _positive("radius", radius) ** 2


def oval(length: float, width: float) -> float:
    """Area of an ellipse by its length and its width, in the square of the unit given."""
    return math.pi / 4 * rectangle(length, width)


def polygon(corners: Sequence[tuple[float, float]]) -> float:
    """Area within corners given in order (shoelace formula)."""
    if len(corners) < _LEAST_CORNERS:
        raise ValueError("an area needs at least three corners")
    pairs = zip(corners, [*corners[1:], corners[0]], strict=True)
    return abs(sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in pairs)) / 2


def goal_box(goal_width: float, reach: float) -> float:
    """Area of a goal or penalty area: as wide as the goal and a reach on both sides, as deep as the reach."""
    return (_positive("goal width", goal_width) + 2 * _positive("reach", reach)) * reach


def slope_percent(fall: float, run: float) -> float:
    """Slope in percent of a fall over a run, both in one unit."""
    return 100 * fall / _positive("run", run)


def share_of(area: float, percent: float) -> float:
    """The part of an area that a percentage stands for."""
    if not 0 <= percent <= WHOLE_PERCENT:
        raise ValueError(f"{percent} percent: write a number from 0 to 100")
    return area * percent / WHOLE_PERCENT


def with_spare(amount: float, percent: float) -> float:
    """An amount with a percentage to spare."""
    return amount * (1 + percent / WHOLE_PERCENT)


def sod_rolls(area_m2: float, roll_m2: float, spare_percent: float) -> int:
    """Whole rolls, slabs or pallets of sod for an area, with some to spare."""
    return packs(with_spare(area_m2, spare_percent), roll_m2)


def plugs(area_m2: float, spacing_m: float) -> int:
    """Plugs on a square grid for an area, edges not counted."""
    return math.ceil(round(area_m2 / _positive("spacing", spacing_m) ** 2, 6))


def plug_gap(spacing: float, plug: float) -> float:
    """Bare gap between the edges of plugs, in the unit given; 0 where they touch."""
    return max(0.0, spacing - plug)


def plug_sod(count: int, plug_m: float) -> float:
    """Area of sod, m2, that so many square plugs are cut from."""
    return count * plug_m**2


def bushels_as(volume_litres: float, bushel_litres: float) -> float:
    """Bushels of a given size in a volume: sellers' bushels differ fourfold, so the size must be asked."""
    return volume_litres / _positive("bushel", bushel_litres)


def layer_m3(area_m2: float, depth_mm: float) -> float:
    """Volume of a layer of dressing, soil or sand, m3."""
    return area_m2 * depth_mm / 1000


def layer_tonnes(area_m2: float, depth_mm: float, density_t_m3: float) -> float:
    """Mass of a layer, t, from its bulk density."""
    return layer_m3(area_m2, depth_mm) * density_t_m3


def layer_depth_mm(tonnes: float, area_m2: float, density_t_m3: float) -> float:
    """Depth, mm, that a mass makes on an area."""
    return tonnes / _positive("density", density_t_m3) / _positive("area", area_m2) * 1000


def square_edge(area_m2: float, places: int = 1) -> float:
    """Length, m, of the edges of so many like squares that share an area: no rectangles have less."""
    return 4 * math.sqrt(_positive("area", area_m2) * places)
