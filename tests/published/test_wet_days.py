"""Days with 1 mm of rain or more, from month's rain and warmth, against printed normals and one record.

Source of the first three: Climate of world cities, Malaysian Meteorological Department, normals of 1961 to 1990, seen
as excerpts that do not name the towns. The fourth is a daily record of Seattle, 2012 to 2015 (public data of the United
States, taken from the open-source collection vega_datasets 0.9.0), counted by us. The rain of a wet day was laid under
these months, so the towns are no test of it; they show how far each month is missed, and on which side.
"""

import pytest

from decide.measure import dates
from decide.measure.wetting import wet_share
from tests.shared import adviser

# Mean of the month, rain, days of 1 mm or more; January to December.
TOWNS = {
    "first": "4.55 86 15, 4.75 66 11, 6.15 63 12, 7.9 51 10, 10.35 61 12, 13.25 50 10, 15.15 52 9, 14.75 69 11, "
    "12.55 73 11, 10 84 13, 6.45 73 12, 5.25 88 13",
    "second": "0.5 44 10, 1.5 40 8, 5.5 51 10, 9 52 10, 13.5 61 10, 16.5 70 10, 18.5 63 9, 18.5 65 9, 15 48 7, "
    "10 51 8, 5 59 10, 1.5 54 10",
    "third": "0.6 49.3 8, 3.1 44.4 7, 7.6 49.5 8, 12.65 58.8 9, 17.3 70.7 10, 20.15 90.4 10, 21.8 66.4 7, 21.7 51.2 6, "
    "18.35 51.4 6, 13.2 40.3 6, 7.5 54.3 9, 2.55 57.5 9",
    "Seattle": "5.5 116.5 14.2, 7 104.6 14.4, 8.6 151.6 15.5, 10.7 93.9 12.8, 14.5 51.9 6.2, 17.3 33.2 6, "
    "20.1 12.1 1.8, 20.4 40.9 4.2, 17.1 58.9 5.8, 12.9 125.9 12.5, 7.9 160.6 15, 5.8 155.7 18",
}


def misses() -> dict[str, list[tuple[float, float]]]:
    """Mean of each month, and computed less printed wet days."""
    numbers = adviser().library.constants.wet_days
    found: dict[str, list[tuple[float, float]]] = {}
    for town, text in TOWNS.items():
        rows = [[float(word) for word in row.split()] for row in text.split(", ")]
        found[town] = [
            (mean, days * wet_share(rain, days, mean, numbers) - printed)
            for days, (mean, rain, printed) in zip(dates.MONTH_LENGTHS, rows, strict=True)
        ]
    return found


def test_printed_wet_days(capsys: pytest.CaptureFixture[str]) -> None:
    found = misses()
    every = [miss for rows in found.values() for _, miss in rows]
    with capsys.disabled():
        for town, rows in found.items():
            print(f"\nwet days, {town}: " + " ".join(f"{miss:+.1f}" for _, miss in rows), end="")
        print(f"\nwet days, 48 months: mean {sum(every) / 48:+.2f}, worst {max(every, key=abs):+.1f}")
    # A bed dries on the days that are left: in the months in which beds are wetted no more wet days are
    # counted than there were. In wet winters there are some too many.
    growing = [miss for rows in found.values() for mean, miss in rows if mean >= 10]
    assert sum(growing) / len(growing) <= -0.5
    assert max(growing) <= 2.5
    assert max(map(abs, every)) <= 4.5
