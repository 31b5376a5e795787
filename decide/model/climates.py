"""The turf classes of climate by code, from cool to hot."""

from typing import Final

CLIMATES: Final = (
    "cool-humid",
    "cool-semi-arid",
    "cool-transition",
    "transition",
    "warm-transition",
    "mild",
    "warm-humid",
    "warm-arid",
    "tropical",
    "too-cold",
)
