"""Units of measure: exact conversion between them, and how a quantity is shown to a person."""

from __future__ import annotations

from typing import Final, Literal

from decide.model.errors import DecideError, meant

System = Literal["metric", "us"]

INCH: Final = 0.0254
FOOT: Final = 0.3048
YARD: Final = 0.9144
POUND: Final = 0.45359237
GALLON: Final = 3.785411784
BUSHEL: Final = 35.23907016688

# Dimension and factor to the dimension's first unit. International definitions: NIST Handbook 44, appendix C,
# 2023.
_UNITS: Final[dict[str, tuple[str, float]]] = {
    "m": ("length", 1.0), "mm": ("length", 0.001), "cm": ("length", 0.01), "km": ("length", 1000.0),
    "in": ("length", INCH), "ft": ("length", FOOT), "yd": ("length", YARD),
    "mile": ("length", 1760 * YARD), "m2": ("area", 1.0),
    "ha": ("area", 10_000.0), "ft2": ("area", FOOT**2), "yd2": ("area", YARD**2),
    "acre": ("area", 4840 * YARD**2), "in2": ("area", INCH**2), "litre": ("volume", 1.0),
    "m3": ("volume", 1000.0), "gal": ("volume", GALLON), "ft3": ("volume", FOOT**3 * 1000),
    "yd3": ("volume", YARD**3 * 1000), "bu": ("volume", BUSHEL), "kg": ("mass", 1.0), "g": ("mass", 0.001),
    "lb": ("mass", POUND), "oz": ("mass", POUND / 16), "t": ("mass", 1000.0),
    "short-ton": ("mass", 2000 * POUND), "long-ton": ("mass", 2240 * POUND), "g/m2": ("rate", 1.0),
    "kg/ha": ("rate", 0.1), "kg/m2": ("rate", 1000.0),
    "lb/1000ft2": ("rate", POUND * 1000 / (1000 * FOOT**2)),
    "lb/acre": ("rate", POUND * 1000 / (4840 * YARD**2)), "t/ha": ("rate", 100.0), "litre/m2": ("cover", 1.0),
    "bu/acre": ("cover", BUSHEL / (4840 * YARD**2)), "bu/1000ft2": ("cover", BUSHEL / (1000 * FOOT**2)),
    "m3/ha": ("cover", 0.1), "gal/1000ft2": ("cover", GALLON / (1000 * FOOT**2)), "l/min": ("flow", 1.0),
    "gal/min": ("flow", GALLON), "l/h": ("flow", 1 / 60), "l/day": ("supply", 1.0),
    "gal/day": ("supply", GALLON), "m3/day": ("supply", 1000.0), "mm/h": ("speed", 1.0),
    "in/h": ("speed", 25.4), "mm/day": ("rain", 1.0), "in/day": ("rain", 25.4), "mm/week": ("rain-week", 1.0),
    "mm/month": ("rain-month", 1.0), "K": ("heat-step", 1.0), "K-day": ("heat", 1.0),
    "F-day": ("heat", 5 / 9), "K/100m": ("lapse", 1.0), "day": ("time", 1.0), "week": ("time", 7.0),
    "hour": ("hour", 1.0), "min": ("hour", 1 / 60), "month": ("month", 1.0), "year": ("year", 1.0),
    "h/week": ("use", 1.0), "h/year": ("use-year", 1.0), "games/year": ("games", 1.0),
    "percent": ("share", 1.0), "ratio": ("share", 100.0), "kPa": ("pressure", 1.0),
    "MPa": ("pressure", 1000.0), "psi": ("pressure", 6.894757293168), "count": ("count", 1.0),
    "count/m2": ("density", 1.0), "count/ft2": ("density", 1 / FOOT**2), "count/day": ("visits", 1.0),
    "count/kg": ("seeds", 1.0), "count/lb": ("seeds", 1 / POUND), "pH": ("acidity", 1.0),
    "dS/m": ("salt", 1.0), "MJ/m2/day": ("radiation", 1.0), "mol/m2/day": ("light", 1.0),
    "g/cm3": ("bulk-density", 1.0), "money": ("money", 1.0), "money/m2": ("price", 1.0),
    "money/ft2": ("price", 1 / FOOT**2), "money/1000ft2": ("price", 1 / (1000 * FOOT**2)),
    "money/yd2": ("price", 1 / YARD**2), "money/kg": ("price-mass", 1.0),
    "money/lb": ("price-mass", 1 / POUND), "money/t": ("price-mass", 0.001),
    "money/short-ton": ("price-mass", 1 / (2000 * POUND)),
    "money/m3": ("price-volume", 1.0), "money/m": ("price-length", 1.0), "m2/h": ("work", 1.0),
    "h/1000m2": ("labour", 1.0), "gmax": ("hardness", 1.0), "N-m": ("torque", 1.0), "degree": ("angle", 1.0),
    "m/s": ("wind", 1.0), "km/h": ("wind", 1 / 3.6), "mph": ("wind", 0.44704), "kg/person": ("load", 1.0),
    "mm2": ("fine-area", 1.0), "mg/kg": ("trace", 1.0), "dB": ("sound", 1.0), "m3/m3": ("water-share", 1.0),
}  # fmt: skip
_TEMPERATURE: Final = {"C": (1.0, 0.0), "F": (5 / 9, -32.0)}


def is_unit(name: str) -> bool:
    """Whether `name` is a unit that this module knows."""
    return name in _UNITS or name in _TEMPERATURE


def units_of(measured: str) -> tuple[str, ...]:
    """The units of a dimension."""
    return tuple(unit for unit, (held, _) in _UNITS.items() if held == measured)


def dimension(name: str) -> str:
    """The dimension of a unit ("length", "rate", "temperature" …); DecideError where the unit is not
    known.
    """
    if name in _TEMPERATURE:
        return "temperature"
    if name not in _UNITS:
        raise DecideError(f"{name!r} is not a unit", instead=meant(name, [*_UNITS, *_TEMPERATURE]))
    return _UNITS[name][0]


def convert(amount: float, source: str, target: str) -> float:
    """`amount` of unit `source`, in unit `target`; DecideError where the two measure different things."""
    if dimension(source) != dimension(target):
        raise DecideError(f"{source} cannot become {target}", instead=f"Write a unit of {dimension(target)}")
    if source == target:
        return amount
    if source in _TEMPERATURE:
        scale, shift = _TEMPERATURE[source]
        celsius = (amount + shift) * scale
        scale, shift = _TEMPERATURE[target]
        return celsius / scale - shift
    return amount * _UNITS[source][1] / _UNITS[target][1]


US_UNITS: Final = {
    "m": "ft", "mm": "in", "cm": "in", "m2": "ft2", "litre": "gal", "kg": "lb", "g/m2": "lb/1000ft2",
    "C": "F", "l/min": "gal/min", "l/day": "gal/day", "litre/m2": "gal/1000ft2", "mm/week": "in/week",
    "mm/day": "in/day", "kPa": "psi", "MPa": "psi", "money/m2": "money/ft2", "m2/h": "m2/h", "K-day": "F-day",
    "count/kg": "count/lb", "count/m2": "count/ft2", "m3": "yd3", "t": "short-ton",
    "money/t": "money/short-ton", "money/kg": "money/lb",
}  # fmt: skip
