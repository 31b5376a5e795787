"""Every published case that tells a time, against the range of the model with its place left out: none is left out because it misses.

Held out with a place are its cases and every floor and printed span that came from it. Where no other place tells of a grass, start and
stage, the model has no figure without it; such rows are counted apart and stand in the total. Print the table with:
python tests/published/test_ranges.py
"""

from __future__ import annotations

import dataclasses
import math
import statistics
import sys
from collections.abc import Iterator, Sequence
from pathlib import Path
from types import MappingProxyType
from typing import Literal

import pytest

sys.path.insert(0, str(Path(__file__).parents[2]))
from decide.knowledge.load import knowledge_folder, read_knowledge
from decide.knowledge.plants import constants_of
from decide.knowledge.tables import Knowledge
from decide.measure import growth, readiness
from decide.measure.growth import Site
from decide.measure.numbers import GrowthConstants
from decide.measure.places import Tables
from tests.published.test_calibration import FULL, TIMED, Case, SiteAt, fitted, read_cases

Answer = Literal["inside", "outside", "no figure"]
# From where the floors and printed spans come that are read from one of the cases' own places.
FROM = {
    "ms-field-builder-indiana": ("Greencastle", "Veedersburg"), "ms-fields-louisiana-2005": ("Baton Rouge",),
    "ms-months-to-play-cornell": ("Ithaca",), "ms-pitch-diary-england": ("Midlands",),
    "ms-tall-fescue-field-2012": ("University Park",), "ms-rest-after-seeding-2020": ("Midlands",),
}  # fmt: skip
PLUG_CM = {
    "3 in plugs at 12": 22.9,
    "4 in plugs at 12": 20.3,
    "4 in plugs at 18": 35.6,
    "3 in plugs at 18": 38.1,
}


def timed(cases: Sequence[Case]) -> list[Case]:
    """All cases that tell on which day, by which day or not before which day something was reached."""
    return [c for c in cases if c.outcome in (*TIMED, "emergence") and c.days and c.day]


def heat_from_up(case: Case, site: Site, plants: growth.Plants) -> float:
    """Heat (K-day) that a case had from when its seed was up, later than in the published sowings, brought to full cover."""
    wait = readiness.late_up(site, plants, case.name, case.day) or 0
    days = max(0, round(case.days or 0) - wait)
    return site.heat(growth.heat_kind(plants, case.name), case.day + wait, days) / case.share


def middle(rows: Sequence[tuple[Case, float]]) -> float | None:
    """The median of the places, each place counted once."""
    places = sorted({case.place for case, _ in rows})
    each = [statistics.median(x for case, x in rows if case.place == place) for place in places]
    return statistics.median(each) if each else None


def misses(rows: Sequence[tuple[Case, float]]) -> dict[str, float]:
    """By how much the heat of each case misses that of the other places of its group, as a factor above 1."""
    found = {}
    for case, heat in rows:
        alike = [
            r
            for r in rows
            if (r[0].name, r[0].outcome) == (case.name, case.outcome) and r[0].place != case.place
        ]
        need = middle(alike)
        if need:
            found[case.key] = math.exp(abs(math.log(heat / need)))
    return found


def two_in_three(factors: Sequence[float]) -> float:
    """The factor within which two in three lie."""
    return sorted(factors)[math.ceil(2 * len(factors) / 3) - 1]


ENOUGH = 9  # cases from which a kind of start has a miss of its own; the others take that of all


def measured(rows: Sequence[tuple[Case, float]]) -> dict[str, float]:
    """The miss by what a stand is made from."""
    found = misses(rows)
    made = {case.key: readiness.made_from(case.start) for case, _ in rows}
    kinds = {
        kind: [f for key, f in found.items() if made[key] == kind] for kind in ("seed", "sod", "vegetative")
    }
    return {
        kind: two_in_three(own if len(own) >= ENOUGH else list(found.values())) for kind, own in kinds.items()
    }


@dataclasses.dataclass(frozen=True)
class Row:
    case: Case
    days: tuple[int | None, int | None, int | None]
    answer: Answer


class Held:
    """The model without one place."""

    def __init__(self, cases: Sequence[Case], site_at: SiteAt, k: Knowledge, n: GrowthConstants) -> None:
        self.k, self.n, self.site_at = k, n, site_at
        self.heats = [(c, heat_from_up(c, site_at(*c.spot), n.plants)) for c in fitted(cases, n.plants)]

    def _kept(self, name: str, key: str, place: str, held: float) -> float:
        said = self.k.values[name].used.get(key)
        taken = said is not None and any(place.startswith(p) for p in FROM.get(said.source, ()))
        return 0.0 if taken else held

    def without(self, case: Case, wide: bool) -> tuple[Site, growth.Plants] | None:
        """Site and plants with a case's place left out; None where nothing else tells of its grass, start and stage. Not `wide`:
        as before this was measured: heat from the start, ends as published, 1.25 of the middle where one place is left.
        """
        plants, key, stage = self.n.plants, case.name, case.outcome
        others = [row for row in self.heats if row[0].place != case.place]
        alike = [row for row in others if (row[0].name, row[0].outcome) == (key, stage)]
        need = plants.needs.get(key, {}).get(stage)
        places = plants.places.get(key, {}).get(stage, 0)
        if need is not None and need.heat_middle is not None and places:
            usual = middle(alike)
            if usual is None:
                return None
            heats = [heat for _, heat in alike]
            alone = len({c.place for c, _ in alike}) < 2
            need = dataclasses.replace(
                need,
                heat_early=min(heats),
                heat_middle=usual,
                heat_late=max(*heats, 1.25 * usual) if alone else max(heats),
            )
        if need is not None:
            need = dataclasses.replace(
                need,
                floor_weeks=self._kept(f"floor-{stage}", key, case.place, need.floor_weeks),
                asked_low=self._kept("asked-full-play-low", key, case.place, need.asked_low) if wide else 0.0,
                asked_high=self._kept("asked-full-play-high", key, case.place, need.asked_high)
                if wide
                else 0.0,
            )
            needs = {**plants.needs, key: MappingProxyType({**plants.needs[key], stage: need})}
            plants = dataclasses.replace(plants, needs=MappingProxyType(needs))
        site = self.site_at(*case.spot)
        if wide:
            plants = dataclasses.replace(plants, miss=MappingProxyType(measured(others)))
            rules = site.rules
        else:
            rules = dataclasses.replace(site.rules, usual_cool=3.7, usual_warm=11.5)
            plants = dataclasses.replace(
                plants,
                full_after=MappingProxyType(dict.fromkeys(plants.full_after, 0.0)),
                miss=MappingProxyType(dict.fromkeys(plants.miss, 1.0)),
            )
        return growth.Site(site.climate, site.numbers, site.curves, rules), plants

    def row(self, case: Case, wide: bool = True) -> Row:
        none = (None, None, None)
        if case.outcome == "emergence":
            return self._emergence(case)
        found = self.without(case, wide)
        if found is None:
            return Row(case, none, "no figure")
        site, plants = found
        gap = next((cm for said, cm in PLUG_CM.items() if said in case.note), None)
        got = readiness.readiness(site, plants, case.name, case.day, case.outcome, gap)
        if got.why == "no-data":
            return Row(case, none, "no figure")
        return Row(case, (got.early, got.middle, got.late), _answer(case, got.early, got.late))

    def _emergence(self, case: Case) -> Row:
        green = readiness.first_green(self.site_at(*case.spot), self.n.plants, case.name, case.day)
        if green[0] is None:
            return Row(case, green, "no figure")
        return Row(case, green, _answer(case, green[0], green[2]))


def _answer(case: Case, early: int | None, late: int | None) -> Answer:
    seen = (case.days or 0) / case.share
    after = early is not None and early <= seen
    before = late is None or seen <= late
    if case.bound == "by":
        return "inside" if after else "outside"
    if case.bound == "not-before":
        return "inside" if before else "outside"
    return "inside" if after and before else "outside"


def table(cases: Sequence[Case], held: Held) -> Iterator[str]:
    rows = [(held.row(case), held.row(case, wide=False)) for case in timed(cases)]
    for row, narrow in rows:
        case = row.case
        seen = {"by": "by", "not-before": "from"}.get(case.bound, "at")
        ends = "/".join("-" if d is None else str(d) for d in row.days)
        part = f" ({case.value} % of {FULL:.0f})" if case.share < 1 else ""
        yield f"{case.key:9}{case.name:34}{case.outcome:11}{seen:5}{case.days:4.0f}{part:14} {ends:14} {row.answer:10} weather alone: {narrow.answer}"
    for label, which in (("range with the miss and the printed spans", 0), ("weather alone, as before", 1)):
        count = {a: sum(pair[which].answer == a for pair in rows) for a in ("inside", "outside", "no figure")}
        told = count["inside"] + count["outside"]
        yield f"{label}: {count['inside']} inside, {count['outside']} outside, {count['no figure']} without a figure, of {len(rows)}; of those with a figure {count['inside'] / told:.0%}"


@pytest.fixture(scope="module")
def cases() -> list[Case]:
    return read_cases()


@pytest.fixture(scope="module")
def held(cases, site_at, numbers) -> Held:
    return Held(cases, site_at, read_knowledge(), numbers)


@pytest.mark.slow
def test_every_timed_row_is_in_the_table(cases, held) -> None:
    lines = list(table(cases, held))
    print("\n".join(lines))
    assert len(lines) == len(timed(cases)) + 2


def test_the_miss_in_use_is_the_measured_one(held, numbers) -> None:
    assert len(misses(held.heats)) == 21
    for made, factor in measured(held.heats).items():
        assert factor == pytest.approx(numbers.plants.miss[made], abs=0.05), made


def test_the_usual_warmth_of_sowings_is_the_measured_one(cases, site_at, numbers) -> None:
    for season, held_c in (("cool", numbers.rules.usual_cool), ("warm", numbers.rules.usual_warm)):
        normals = [
            site_at(*case.spot).year.normal(case.day) for case in fitted(cases, numbers.plants)
            if case.start == "seed" and growth.season_of(numbers.plants, case.plant) == season
        ]  # fmt: skip
        assert statistics.median(normals) == pytest.approx(held_c, abs=0.3), season


def _main() -> None:
    k = read_knowledge()
    n = constants_of(k)
    tables, sites = Tables(knowledge_folder() / "climate", n.climate), {}

    def site_at(latitude: float, longitude: float) -> Site:
        return sites.setdefault((latitude, longitude), n.site(tables.climate_at(latitude, longitude)))

    cases = read_cases()
    print("\n".join(table(cases, Held(cases, site_at, k, n))))


if __name__ == "__main__":
    _main()
