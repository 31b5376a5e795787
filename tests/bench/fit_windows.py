"""Makes the fitted numbers of the windows anew from the published edges: `python tests/bench/fit_windows.py`.

Each number is tried over its range on the edges that it moves; places held out take no part. Cost: mean days off, each edge
counted once and as at most 30 days.
"""

import dataclasses
from collections.abc import Callable, Mapping, Sequence

from decide.measure import dates
from decide.measure.numbers import GrowthConstants
from tests.published.edges import COOL, FAR, Published, computed, constants, published, site_of


@dataclasses.dataclass(frozen=True)
class Table:
    """Days off of each row at each value tried."""

    rows: Sequence[Published]
    values: Sequence[float]
    off: Mapping[tuple[str, float], float]

    def cost(self, value: float, but: str = "") -> float:
        """Mean days off at a value, without the rows of one place."""
        found = [self.off[row.key, value] for row in self.rows if row.place != but]
        return sum(found) / len(found)

    def left_out(self) -> float:
        """Mean days off of each place at the value that is best for the others."""
        found: list[float] = []
        for place in sorted({row.place for row in self.rows}):
            best = min(self.values, key=lambda v, but=place: self.cost(v, but))  # type: ignore[misc]
            found += [self.off[row.key, best] for row in self.rows if row.place == place]
        return sum(found) / len(found)


@dataclasses.dataclass(frozen=True)
class Fit:
    """A fitted number: its field, whether of the windows or of the growth rules, the values tried, the edges it moves."""

    name: str
    values: Sequence[float]
    which: str
    takes: Callable[[Published], bool]
    of_rules: bool = False

    @property
    def used(self) -> float:
        own = getattr(constants().rules if self.of_rules else constants().windows, self.name)
        return float(own["common-bermudagrass"] if hasattr(own, "keys") else own)

    def numbers(self, value: float) -> GrowthConstants:
        """The numbers in use with this one changed; of bermudagrass where it goes by grass."""
        numbers = constants()
        part = numbers.rules if self.of_rules else numbers.windows
        own = getattr(part, self.name)
        new = (
            {**own, "common-bermudagrass": value, "hybrid-bermudagrass": value}
            if hasattr(own, "keys")
            else value
        )
        changed = dataclasses.replace(part, **{self.name: new})
        return dataclasses.replace(numbers, **{"rules" if self.of_rules else "windows": changed})

    def table(self) -> Table:
        """Days off of every edge that took part, at every value."""
        rows = [r for r in published() if not r.held_out and self.takes(r) and getattr(r, self.which)]
        off = {}
        for value in self.values:
            numbers = self.numbers(value)
            for row in rows:
                site = site_of(row.at)
                site = numbers.site(site.climate) if self.of_rules else site
                got = computed(row, numbers, site)[self.which == "closes"]
                miss = FAR if got is None else abs(dates.days_apart(got, getattr(row, self.which)))
                off[row.key, value] = float(min(FAR, miss))
        return Table(rows, self.values, off)


def _started(row: Published) -> bool:
    return row.season == "warm" and row.start != "sod" and row.grass not in ("buffalograss", "bahiagrass")


def _bermuda(row: Published) -> bool:
    return _started(row) and row.grass.endswith("bermudagrass")


FITS = (
    Fit("gate_mild_heat", range(280, 560, 20), "closes", lambda r: r.season == "autumn", True),
    Fit("gate_hard_c", range(-14, 0, 2), "closes", lambda r: r.season == "autumn", True),
    Fit("gate_mild_c", range(-6, 5), "closes", lambda r: r.season == "autumn", True),
    Fit("spring_before_frost_days", range(4, 30, 2), "opens", lambda r: r.season == "spring"),
    Fit("spring_close_heat", range(330, 630, 20), "closes", lambda r: r.season == "spring"),
    Fit("spring_close_by_peak", range(-20, 50, 10), "closes", lambda r: r.season == "spring"),
    Fit("overseed_opens_c", (19, 20, 20.5, 21, 21.5, 22, 22.5, 23, 24), "opens", lambda r: r.season == "overseed"),
    Fit("overseed_opens_by_peak", (0, 0.2, 0.3, 0.4, 0.5, 0.6, 0.8), "opens", lambda r: r.season == "overseed"),
    Fit("overseed_closes_c", (16, 17, 17.5, 18, 18.5, 19, 19.5, 20), "closes", lambda r: r.season == "overseed" and r.quality == "best"),
    Fit("warm_after_frost_days", range(28, 56, 2), "opens", _started),
    Fit("warm_good_heat", range(1500, 2500, 50), "closes", lambda r: _bermuda(r) and r.quality == "best"),
    Fit("warm_close_heat", range(1100, 1900, 50), "closes", lambda r: _bermuda(r) and r.quality == "open"),
    Fit("warm_close_share", (0.2, 0.3, 0.4, 0.5, 0.6, 0.8, 1), "closes", lambda r: _started(r) and r.quality == "open"),
    Fit("warm_good_share", (0.5, 0.6, 0.7, 0.8, 0.9, 1), "closes", lambda r: _started(r) and r.quality == "best"),
    Fit("warm_mild_c", (-4, -3, -2, -1, -0.5, 0, 1, 2, 4), "closes", lambda r: _started(r) and r.quality == "open", True),
    Fit("warm_sod_opens_share", (0.05, 0.1, 0.15, 0.2, 0.25, 0.3, 0.4), "opens", lambda r: r.start == "sod" and r.grass not in COOL),
)  # fmt: skip


def main() -> None:
    """Each fitted number: in use, best, its cost in the fit and leaving a place out, and the values that fit as well."""
    for fit in FITS:
        table = fit.table()
        best = min(fit.values, key=table.cost)
        alike = [value for value in fit.values if table.cost(value) <= table.cost(best) + 0.5]
        print(
            f"{fit.name:26} in use {fit.used:g}, best {best:g} (alike {min(alike):g} to {max(alike):g}): "
            f"{table.cost(best):.1f} days off, {table.left_out():.1f} leaving a place out, {len(table.rows)} edges"
        )


if __name__ == "__main__":
    main()
