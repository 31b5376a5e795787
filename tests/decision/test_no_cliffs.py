"""A tenth of a degree does not move a verdict by more than one step, nor turn the season of the first grass without a border near."""

import datetime as dt

import pytest

from decide import situation_from_objects
from decide.consult import Adviser

STEPS = {"ruled-out": 0, "not-advised": 1, "risky": 2, "late": 2, "sound": 3, "advised": 4}
# Warmest and coldest month in tenths, through the borders of the classes from cool to warm.
LINES = [((242, 252), 0), ((260, 268), 20), ((270, 276), 20), ((250, 254), 75)]


def _at(adviser: Adviser, warmest: float, coldest: float):
    """The best verdict of each way, the season of the first grass, and the class, with sprinklers on a bare field."""
    place = {"warmest_month_c": warmest, "coldest_month_c": coldest, "hemisphere": "north", "latitude": 40}
    made = adviser.consult(
        situation_from_objects(
            place=place, dates={"today": dt.date(2026, 2, 15)}, means={"water": "in-ground sprinklers"},
            zone=[{"name": "whole field", "bare_percent": 60}],
        )
    )  # fmt: skip
    ways = [w for w in made.ranked if w.draft.remedy == "establish"]
    best: dict[tuple[str, str, str], int] = {}
    for w in ways:
        key = (w.draft.plant, w.draft.method, w.draft.variant)
        best[key] = max(best.get(key, 0), STEPS[w.verdict])
    return best, ways[0].facts["option.season-type"], made.filled.climate


@pytest.mark.slow
@pytest.mark.parametrize(("warmest", "coldest"), LINES)
def test_a_tenth_of_a_degree(adviser: Adviser, warmest: tuple[int, int], coldest: int) -> None:
    before = None
    for tenth in range(warmest[0], warmest[1] + 1):
        here = _at(adviser, tenth / 10, coldest / 10)
        if before is not None:
            both = before[0].keys() | here[0].keys()
            far = [key for key in both if abs(before[0].get(key, 0) - here[0].get(key, 0)) > 1]
            assert not far, f"at {tenth / 10} and {coldest / 10} C"
            assert here[1] == before[1] or here[2].neighbour is not None
        before = here
