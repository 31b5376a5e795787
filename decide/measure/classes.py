"""Puts a climate into a turf class, with the classes near it and how dry its summers are."""

import dataclasses
from collections.abc import Mapping, Sequence
from typing import Final

from decide.measure import dates, water
from decide.measure.climate import Climate

_NAMES: Final = {
    "cool-semi-arid": "cool-and-dry",
    "cool-transition": "nearer-cool-than-warm",
    "transition": "between-cool-and-warm",
    "warm-transition": "nearer-warm-than-cool",
    "warm-arid": "warm-and-dry",
    "too-cold": "too-cold-for-turf",
}
_DRY_NAMES: Final = {"cool-humid": "cool", "warm-humid": "warm"}
_NEVER_DRY_SUMMERS: Final = ("cool-semi-arid", "warm-arid", "tropical", "too-cold")
_STEP_K: Final = 0.1
_STEPS_A_K: Final = 10
_SHIFTS: Final = ((1, 1), (-1, -1), (1, 0), (-1, 0), (0, 1), (0, -1), (1, -1), (-1, 1))
_WAYS_OF_RAIN: Final = (0, -1, 1)
_KOPPEN_A: Final = 18


@dataclasses.dataclass(frozen=True)
class ClassNumbers:
    """The borders of the turf classes: degrees C, and shares of rain where the name says so.

    `heat` is twice the warmest month plus the coldest, `sum` the warmest plus the coldest.
    """

    too_cold_warmest: float
    tropical_coldest: float
    warm_warmest: float
    warm_coldest: float
    warm_sum: float
    mild_warmest: float
    mild_coldest: float
    mild_cool_warmest: float
    mild_cool_coldest: float
    mild_hottest: float
    cool_transition_heat: float
    transition_heat: float
    warm_transition_heat: float
    dry_warm_warmest: float
    dry_warm_coldest: float
    dry_warm_sum: float
    dry_transition_heat: float
    dry_warm_transition_heat: float
    semi_dry_rain_share: float
    semi_dry_summer_share: float
    dry_summer_share: float
    dry_summer_warm_half: float
    dry_summer_doubt: float
    doubt_c: float
    doubt_rain_share: float
    stretch_c: float


@dataclasses.dataclass(frozen=True)
class ClimateClass:
    """Turf class of a place.

    `neighbour` is the nearest class within the doubt of the table, or None. `apart` holds for each class that
    is near by how many K the months would have to be otherwise (0 for its own). `summers` is dry, rather-dry
    or moist, None where rain or latitude is not known; `summer_rain` is the share of Oudin's need that rain
    meets in the three warmest months, `warm_half` the warm half's share of the year's rain. `koppen` is the
    Köppen class, empty without rain.
    """

    code: str
    neighbour: str | None
    apart: Mapping[str, float]
    summers: str | None
    summer_rain: float | None
    warm_half: float | None
    koppen: str

    @property
    def name(self) -> str:
        """What the advice calls the climate: the class, with its dry summers."""
        return named(self.code, self.summers)

    def fit(self, climates: Mapping[str, str]) -> tuple[str, float | None]:
        """How a grass fits here that by class fits, is marginal or does not last (no), and by how many K the
        place lies beyond what it bears: 0 where it is borne, "near" within the stretch, None farther away.
        """
        if climates[self.code] != "no":
            return climates[self.code], 0.0
        beyond = min((by for code, by in self.apart.items() if climates[code] != "no"), default=None)
        return "no" if beyond is None else "near", beyond


def named(code: str, summers: str | None) -> str:
    """Name of a class whose summers are dry, rather dry or moist."""
    if summers in ("dry", "rather-dry") and code not in _NEVER_DRY_SUMMERS:
        return f"{_DRY_NAMES.get(code, _NAMES.get(code, code))}-with-{summers}-summers"
    return _NAMES.get(code, code)


@dataclasses.dataclass(frozen=True)
class _Spot:
    """Warmest and coldest month (C); the year's rain as a share of Köppen's limit of dryness, and summer rain
    as a share of the need; None where they are not known.
    """

    hot: float
    cold: float
    rain: float | None
    summer: float | None

    def moved(self, hot: float, cold: float, wetter: float) -> "_Spot":
        """The spot with months otherwise by so many K, and more or less rain by a share."""
        warm, least = self.hot + hot, self.cold + cold
        rain, summer = (None if x is None else x * (1 + wetter) for x in (self.rain, self.summer))
        return _Spot(max(warm, least), least, rain, summer)


def _warm_months(hemisphere: str) -> tuple[int, ...]:
    """Months of the warm half of the year, counted from 0."""
    return (3, 4, 5, 6, 7, 8) if hemisphere == "north" else (0, 1, 2, 9, 10, 11)


def koppen(means: Sequence[float], rain: Sequence[float], hemisphere: str) -> str:
    """Köppen-Geiger class of twelve means (C) and rains (mm), January first.

    Rules of Hydrology and Earth System Sciences 11, 2007, 1633-1644 (the 0 C border between C and D).
    """
    summer_months = _warm_months(hemisphere)
    winter_months = [i for i in range(12) if i not in summer_months]
    total, hot, cold = sum(rain), max(means), min(means)
    limit = _dry_limit(means, rain, summer_months)
    if hot < 10:
        return "ET" if hot > 0 else "EF"
    if total < 10 * limit:
        return "B" + ("W" if total < 5 * limit else "S") + ("h" if sum(means) / 12 >= _KOPPEN_A else "k")
    if cold >= _KOPPEN_A:
        driest = min(rain)
        return "Af" if driest >= 60 else "Am" if driest >= 100 - total / 25 else "Aw"
    summer = [rain[i] for i in summer_months]
    winter = [rain[i] for i in winter_months]
    if min(summer) < 40 and min(summer) < max(winter) / 3:
        season = "s"
    elif min(winter) < max(summer) / 10:
        season = "w"
    else:
        season = "f"
    if hot >= 22:
        heat = "a"
    elif sum(m >= 10 for m in means) >= 4:
        heat = "b"
    else:
        heat = "d" if cold < -38 else "c"
    return ("C" if cold > 0 else "D") + season + heat


def _dry_limit(means: Sequence[float], rain: Sequence[float], summer_months: Sequence[int]) -> float:
    """Köppen's dryness threshold: yearly rain under ten times this is dry."""
    total, mean = sum(rain), sum(means) / 12
    summer = sum(rain[i] for i in summer_months)
    if total and summer >= 0.7 * total:
        return 2 * mean + 28
    if total and total - summer >= 0.7 * total:
        return 2 * mean
    return 2 * mean + 14


def dryness(climate: Climate) -> float | None:
    """The year's rain as a share of Köppen's limit, under which a climate is dry (1); None without rain."""
    if not climate.rain:
        return None
    limit = 10 * _dry_limit(climate.means, climate.rain, _warm_months(climate.hemisphere))
    # A limit at or under zero is that of a place too cold to be dry.
    return sum(climate.rain) / limit if limit > 0 else None


def summer_rain(climate: Climate) -> float | None:
    """Rain of the three warmest months in a row as a share of Oudin's need (0.408 Ra (T + 5) / 100, Journal
    of Hydrology 303, 2005); None where rain or latitude is not known.
    """
    if not climate.rain or climate.latitude is None:
        return None
    means = climate.means
    middle = max(range(12), key=lambda i: means[i - 1] + means[i] + means[(i + 1) % 12])
    need = fallen = 0.0
    for i in ((middle - 1) % 12, middle, (middle + 1) % 12):
        sun = water.sun_above_air(climate.latitude, dates.middle_of_month(i + 1))
        need += water.evaporation_of(sun) * max(0.0, means[i] + 5) / 100 * dates.MONTH_LENGTHS[i]
        fallen += climate.rain[i]
    return fallen / need if need > 0 else None


def warm_half(climate: Climate) -> float | None:
    """Share of the year's rain that falls in the warm half; None where the rain is not known."""
    total = sum(climate.rain)
    return sum(climate.rain[i] for i in _warm_months(climate.hemisphere)) / total if total > 0 else None


def _summers(climate: Climate, met: float | None, half: float | None, n: ClassNumbers) -> str | None:
    if met is None or half is None:
        return None
    if climate.coldest >= n.tropical_coldest:
        return "moist"
    for how, doubt in (("dry", 0.0), ("rather-dry", n.dry_summer_doubt)):
        if met < n.dry_summer_share + doubt and half < n.dry_summer_warm_half + doubt:
            return how
    return "moist"


def _ladder(heat: float, cool: str, first: float | None, second: float, third: float) -> str:
    """The class by heat alone, from cool to where warm-season grass leads."""
    if heat >= third:
        return "warm-transition"
    if heat >= second:
        return "transition"
    return "cool-transition" if first is not None and heat >= first else cool


def _code(spot: _Spot, n: ClassNumbers) -> str:
    hot, cold, both, heat = spot.hot, spot.cold, spot.hot + spot.cold, 2 * spot.hot + spot.cold
    dry = spot.rain is not None and spot.rain < 1
    if hot < n.too_cold_warmest:
        code = "too-cold"
    elif cold >= n.tropical_coldest:
        code = "warm-arid" if dry else "tropical"
    elif dry and hot >= n.dry_warm_warmest and cold >= n.dry_warm_coldest and both >= n.dry_warm_sum:
        code = "warm-arid"
    elif not dry and hot >= n.warm_warmest and cold >= n.warm_coldest and both >= n.warm_sum:
        code = "warm-humid"
    elif hot < n.mild_hottest and (
        (hot >= n.mild_warmest and cold >= n.mild_coldest)
        or (hot >= n.mild_cool_warmest and cold >= n.mild_cool_coldest)
    ):
        code = "mild"
    elif dry or _semi_dry(spot, n):
        code = _ladder(heat, "cool-semi-arid", None, n.dry_transition_heat, n.dry_warm_transition_heat)
    else:
        code = _ladder(heat, "cool-humid", n.cool_transition_heat, n.transition_heat, n.warm_transition_heat)
    return code


def _semi_dry(spot: _Spot, n: ClassNumbers) -> bool:
    """Whether turf counts the place as dry though Köppen does not: cold winters, little rain, dry summers."""
    return (
        spot.rain is not None
        and spot.summer is not None
        and spot.cold < n.dry_warm_coldest
        and spot.rain < n.semi_dry_rain_share
        and spot.summer < n.semi_dry_summer_share
    )


def _apart(spot: _Spot, n: ClassNumbers) -> Mapping[str, float]:
    """By how many K the months must be otherwise for each class that is near; rain moves by its own doubt
    for each K of theirs.
    """
    found = {_code(spot, n): 0.0}
    for step in range(1, round(n.stretch_c * _STEPS_A_K) + 1):
        by = step * _STEP_K
        share = min(0.9, by / n.doubt_c * n.doubt_rain_share)
        for a, b in ((0, 0), *_SHIFTS):
            for way in _WAYS_OF_RAIN:
                found.setdefault(_code(spot.moved(a * by, b * by, way * share), n), round(by, 1))
    return found


def climate_class(climate: Climate, numbers: ClassNumbers) -> ClimateClass:
    """Turf class of a climate with all that is near. Where the rain is not known the place is taken as
    humid.
    """
    met, half = summer_rain(climate), warm_half(climate)
    apart = _apart(_Spot(climate.warmest, climate.coldest, dryness(climate), met), numbers)
    (code, _), *others = apart.items()
    name = koppen(climate.means, climate.rain, climate.hemisphere) if climate.rain else ""
    return ClimateClass(
        code,
        next((other for other, by in others if by <= numbers.doubt_c), None),
        apart,
        _summers(climate, met, half, numbers),
        met,
        half,
        name,
    )
