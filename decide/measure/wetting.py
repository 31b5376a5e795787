"""Works out how many days of a month are wet, from its rain and warmth."""

import dataclasses
import math

# However cold a month is, a wet day brings something.
_LEAST_RAIN_MM = 1.0


@dataclasses.dataclass(frozen=True)
class WetDayNumbers:
    """Rain that makes a day wet, mm: in a month at the freezing point, and in one of a mean of `warm_c`."""

    cold_mm: float
    warm_mm: float
    warm_c: float


def wet_share(rain_mm: float, days: int, mean_c: float, numbers: WetDayNumbers) -> float:
    """Share of a month's days with 1 mm of rain or more [0..1[, from its rain, length and mean temperature.

    1 - exp(-rain a day / rain of a wet day), the form in which water balance models of the globe spread a
    month's rain over its days; what a wet day brings grows with warmth in a straight line. Fitted to printed
    normals of three towns: 36 months, `tests/published/test_wet_days.py` says how far each is missed.
    """
    if days <= 0 or rain_mm < 0:
        raise ValueError(f"rain {rain_mm} mm in {days} days: write rain of 0 or more in a month of days")
    slope = (numbers.warm_mm - numbers.cold_mm) / numbers.warm_c
    each = max(_LEAST_RAIN_MM, numbers.cold_mm + slope * mean_c)
    return 1 - math.exp(-rain_mm / days / each)
