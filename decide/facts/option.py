"""The facts of each option; what many have in common is measured once."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping, Sequence
from functools import cached_property
from itertools import repeat
from typing import Any, Final

from decide.facts.declare import Facts, Moving, measure_rows
from decide.facts.draft import Draft, days_off
from decide.facts.filled import Filled
from decide.facts.new_grass import COMING, NEW, Common, Here
from decide.facts.offered import ON_OFFER
from decide.facts.site import site_facts
from decide.facts.start import PLANT, START, Plant, Start, growth_share
from decide.measure import dates, readiness

# A grass and what goes into the ground, a day, the variant, and the share of full growth.
StartKey = tuple[str, dt.date, str, float]


class Measures(Common):
    """What does not change between zones is measured once for each grass, method and start."""

    def __init__(self, filled: Filled) -> None:
        super().__init__(filled)
        self._plant: dict[tuple[str, str], Facts] = {}
        held = (filled.held(key) for key in START_KEYS)
        rests_on = tuple(tuple(each) if isinstance(each, list) else each for each in held)
        self._dated: dict[StartKey, Facts] = filled.measured.setdefault(rests_on, {})
        self._vigour: dict[tuple[str, dt.date, str], float] = {}

    @cached_property
    def measured_site(self) -> Facts:
        """The measured facts of the site."""
        return site_facts(self.filled, {})

    def of_plant(self, plant: str, method: str) -> Facts:
        """Facts of a grass and method wherever and whenever it is used."""
        self._measure_plants([(plant, method)])
        return self._plant[plant, method]

    def _measure_plants(self, ways: Iterable[tuple[str, str]]) -> None:
        missing = {way: Plant(self.filled, *way) for way in ways if way not in self._plant}
        PLANT.measure_all([*missing.values()])
        self._plant.update((way, here.facts) for way, here in missing.items())

    def readiness(
        self, key: str, start: dt.date, zone: str | None = None
    ) -> Mapping[str, readiness.Readiness]:
        """Readiness by stage of a grass and start on a day; of a zone with the light and water that
        it has.
        """
        assert self.filled.season is not None
        share = 1.0 if zone is None else self.vigour(key, start, zone)
        off = days_off(self.filled, start)
        return self.filled.season.readiness(key, dates.day_of_year(start), share, off)

    def vigour(self, key: str, start: dt.date, zone: str) -> float:
        """The share of full growth that a zone allows a grass after a start, as `growth_share` has it."""
        if (key, start, zone) not in self._vigour:
            self._vigour[key, start, zone] = growth_share(self.filled, key, start, zone)
        return self._vigour[key, start, zone]

    def option(self, draft: Draft, zone: Mapping[str, Any]) -> Facts:
        """All facts about an option beside those of its zone and site."""
        return self.options([draft], {draft.zone: zone})[0]

    def options(self, drafts: Sequence[Draft], zones: Mapping[str, Mapping[str, Any]]) -> list[Facts]:
        """All facts about each option beside those of its zone and site; what is alike for several is
        measured once.

        Grass that was begun counts its readiness from its own start; its means and machines are past.
        """
        rows = [Here(self.filled, draft, self, self.measured_site, zones[draft.zone]) for draft in drafts]
        for here in rows:
            here.facts["option.remedy"] = here.draft.remedy
        new = [here for here in rows if here.draft.new_grass]
        self._measure_plants((here.draft.plant, here.draft.method) for here in new)
        for here, dated in zip(new, self._of_starts([here.draft for here in new]), strict=True):
            here.facts.update(self._plant[here.draft.plant, here.draft.method])
            here.facts.update(dated)
        NEW.measure_all(new)
        coming = [here for here in new if here.draft.remedy != "carry-on"]
        COMING.measure_all(coming)
        ON_OFFER.measure_all(coming)
        for here in new:
            if here.draft.remedy == "carry-on":
                here.facts = {name: fact for name, fact in here.facts.items() if name not in PAST}
        return [here.facts for here in rows]

    def _of_starts(self, drafts: Sequence[Draft]) -> list[Facts]:
        """Facts of the grass and start of each draft: temperatures, heat, window, winter, readiness; none
        where it has no start.
        """
        keys: list[StartKey | None] = []
        missing: dict[StartKey, Start] = {}
        for draft in drafts:
            if draft.start is None:
                keys.append(None)
                continue
            begun = draft.remedy == "carry-on" or self.filled.season is None
            share = 1.0 if begun else self.vigour(draft.key, draft.start, draft.zone)
            key = draft.key, draft.start, draft.variant, share
            keys.append(key)
            if key not in self._dated and key not in missing:
                season = str(self._plant[draft.plant, draft.method]["option.season-type"])
                missing[key] = Start(self.filled, draft.key, draft.start, draft.variant, season, share)
        START.measure_all([*missing.values()])
        self._dated.update((key, start.facts) for key, start in missing.items())
        return [{} if key is None else self._dated[key] for key in keys]

    def again(
        self,
        drafts: Sequence[Draft],
        zones: Mapping[str, Mapping[str, Any]],
        before: Sequence[Facts],
        moving: Moving,
    ) -> list[Facts]:
        """The same where only some answers differ: what is not `moving` stands as it stood `before`."""
        found = [*before]
        if not moving.facts:
            return found
        begun = [n for n, draft in enumerate(drafts) if draft.remedy == "carry-on"]
        for n, facts in zip(begun, self.options([drafts[n] for n in begun], zones), strict=True):
            found[n] = facts
        coming = [n for n, draft in enumerate(drafts) if draft.new_grass and draft.remedy != "carry-on"]
        new = [drafts[n] for n in coming]
        if moving.of_plant or moving.of_start:
            self._measure_plants((draft.plant, draft.method) for draft in new)
        dated = self._of_starts(new) if moving.of_start else repeat(Facts())
        rows: list[Here] = []
        for n, draft, of_start in zip(coming, new, dated, strict=False):
            facts = {name: held for name, held in before[n].items() if name not in moving.facts}
            if moving.of_plant:
                facts.update(self._plant[draft.plant, draft.method])
            facts.update(of_start)
            found[n] = facts
            rows.append(Here(self.filled, draft, self, self.measured_site, zones[draft.zone], facts))
        measure_rows(moving.rows, rows)
        return found


# What is past once grass is begun.
PAST: Final = ("option.machine", "option.days-from-today")
# All of a situation that the facts of a grass and start rest on, beside the share of full growth.
START_KEYS: Final = tuple(dict.fromkeys(key for row in START.order for key in (*row.keys, *row.also)))
