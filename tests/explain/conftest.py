"""Two invented fields, judged once by the plain engine for all tests of explanations."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from decide.consult import Adviser
from decide.decision.consultation import Consultation
from decide.model.reading import read_situation

sys.path.insert(0, str(Path(__file__).parent))

# A school field without water, half worn in solid patches, wanted in late August.
DRY = """
[place]
name = "York"
country = "gb"
[dates]
today = 2026-05-12
play_by = 2026-08-25
play_by_firm = true
first_use = "training"
can_close = "locked"
no_play = [{from = 2026-05-12, until = 2026-08-25}]
[site]
school = true
in_use_now = false
goals_anchored = true
dangers = ["none"]
[field]
length_m = 90
width_m = 55
soil = "loam"
drainage = "slow"
bare_percent = 60
bare_pattern = "solid"
grass = [{grass = "perennial ryegrass", share_percent = 100, state = "green"}]
[[use]]
sport = "football"
months = ["sep", "oct", "nov", "dec", "jan", "feb", "mar", "apr"]
hours_per_week = 6
players = "youth"
[means]
water = "none"
[history]
herbicides = []
"""
# A club field in New England: worn goalmouths, a thin middle, and a cricket square that nobody touches.
PARTS = """
[place]
name = "Boston"
country = "us"
region = "Massachusetts"
[dates]
today = 2026-08-20
play_by = 2027-04-10
play_by_firm = false
first_use = "matches"
[site]
dangers = ["none"]
goals_anchored = true
[field]
length_m = 100
width_m = 60
soil = "loam"
[[use]]
sport = "soccer"
months = ["sep", "oct", "nov", "apr", "may", "jun"]
hours_per_week = 8
players = "youth"
[[zone]]
name = "goalmouths"
share_percent = 5
bare_percent = 90
bare_pattern = "solid"
[[zone]]
name = "middle"
share_percent = 30
bare_percent = 15
bare_pattern = "scattered"
grass = [{grass = "kentucky-bluegrass", share_percent = 100, state = "green"}]
[[zone]]
name = "cricket square"
share_percent = 5
keep_off = true
[means]
water = "in-ground sprinklers"
[history]
herbicides = []
"""


@pytest.fixture(scope="session")
def dry(adviser: Adviser) -> Consultation:
    return adviser.consult(read_situation(DRY))


@pytest.fixture(scope="session")
def parts(adviser: Adviser) -> Consultation:
    return adviser.consult(read_situation(PARTS))


@pytest.fixture(scope="session")
def watered(adviser: Adviser) -> Consultation:
    """The dry field with sprinklers in the ground and somebody there all day."""
    return adviser.consult(
        read_situation(DRY.replace('water = "none"', 'water = "in-ground sprinklers"\nwettings_weekday = 6'))
    )
