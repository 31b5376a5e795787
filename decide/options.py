"""The options of a zone: remedy, and for new grass method × grass × start date; made from tables and windows, never judged here."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from decide.fill import Filled, zone_of
from decide.measure import dates
from decide.measure.windows import Windows
from decide.read import Knowledge
from decide.situation import MONTHS, coded, of_zone

REMEDIES: Final = ("carry-on", "recover", "establish", "use-less", "mend-first", "move-play", "call-expert", "wait")
MOST_ROWS: Final = 400
START_KINDS: Final = {
    "broadcast-seed": "seed", "slit-seed": "seed", "hydromulch": "seed", "thin-sod": "sod", "thick-sod": "thick-sod",
    "sprigs": "sprigs", "plugs": "plugs",
}  # fmt: skip
# The steps that put new grass into ground, and the method that is usual for each; overseeding into play begins no programme.
BEGINNINGS: Final[Mapping[str, str]] = {"sow": "broadcast-seed", "lay-sod": "thin-sod", "sprig": "sprigs", "plug": "plugs"}
OPEN: Final = ("good", "fair")
# Remedies whose grass is new: put in now, or begun already and carried on with.
NEW_GRASS: Final = ("establish", "carry-on")
# What an offer of planting material is of, and the start that it serves.
OFFERED_PLANTS: Final[Mapping[str, str]] = {"seed": "seed", "hydromulch": "seed", "sod": "sod", "sprigs": "sprigs", "plugs": "plugs"}


@dataclass(frozen=True, slots=True)
class Draft:
    """An option before it is judged. `plant` is a grass or a mixture; `open` is False where it cannot be had that way."""

    zone: str
    remedy: str
    method: str = ""
    plant: str = ""
    variant: str = "plain"
    start: dt.date | None = None
    start_kind: str = "none"
    open: bool = True

    @property
    def code(self) -> str:
        """Stable, lower-case, hyphenated."""
        words = [self.zone, self.remedy, self.method, self.plant, self.variant if self.variant != "plain" else ""]
        return "/".join([*(word for word in words if word), *([self.start.isoformat()] if self.start else [])])

    @property
    def key(self) -> str:
        """Grass and start, as the growth measures name them."""
        return f"{self.plant}/{START_KINDS[self.method]}"

    @property
    def new_grass(self) -> bool:
        """Whether it is of new grass, put in now or begun already."""
        return self.remedy in NEW_GRASS


def lead_grass(knowledge: Knowledge, plant: str) -> str:
    """The grass that a stand of `plant` will behave like."""
    return knowledge.mixtures[plant].stands_as if plant in knowledge.mixtures else plant


def begun(filled: Filled, zone: str) -> Draft | None:
    """The new grass that was begun in a zone, as an option whose start has passed; None where nothing was."""
    plants = filled.library.knowledge.plants
    for row in filled.situation.ongoing:
        if of_zone(row.zone, zone, filled.zones):
            plant = plants[coded(row.mixture or row.grass or "")]
            return Draft(zone, "carry-on", row.method, plant, row.variant or "plain", row.start, "begun")
    return None


def can_be_had(knowledge: Knowledge, plant: str, method: str) -> bool:
    """Whether a grass or mixture can be had for a method."""
    return method in knowledge.grasses[lead_grass(knowledge, plant)].made_by


def play_months(filled: Filled) -> set[str] | None:
    """Months with play, or None where no use is told."""
    uses = filled.situation.use
    if uses is None or all(use.months is None for use in uses):
        return None
    return {month for use in uses for month in use.months or []}


def is_free(filled: Filled, zone: str, day: dt.date) -> bool | None:
    """Whether nobody is to play in the zone on that day; None where nothing is told of it."""
    if zone_of(filled, zone).in_play is True:
        return False
    if any(span.start <= day <= span.until for span in filled.situation.dates.no_play or []):
        return True
    if zone_of(filled, zone).in_play is False:
        return True
    months = play_months(filled)
    if months is None:
        return None
    return MONTHS[day.month - 1] not in months


def can_work(filled: Filled, day: dt.date) -> bool:
    """Whether work is allowed on that day."""
    return not any(span.start <= day <= span.until for span in filled.situation.dates.no_work or [])


def _first(filled: Filled, day: dt.date, last: dt.date) -> dt.date | None:
    """The first day from `day` to `last` on which work is allowed."""
    while day <= last:
        if can_work(filled, day):
            return day
        day += dt.timedelta(days=1)
    return None


def _first_free(filled: Filled, zone: str, day: dt.date, last: dt.date) -> dt.date | None:
    """The first day from `day` to `last` on which work is allowed and nobody plays."""
    while day <= last:
        if can_work(filled, day) and is_free(filled, zone, day):
            return day
        day += dt.timedelta(days=1)
    return None


def delivery_days(filled: Filled, draft: Draft) -> int:
    """Days until seed, sod or plants can be there: what the quickest fitting seller says, else what is usual for the method."""
    told = filled.situation.offer or []
    leads = [lead for n in offers(filled, draft) or [] if (lead := told[n].lead_days) is not None]
    return math.ceil(min(leads) if leads else filled.library.number("lead-order", draft.method) or 0)


def owner_days(filled: Filled) -> int:
    """Days until the owner's answer is there, as told; 0 where the owner agrees or nobody told."""
    site = filled.situation.site
    return 0 if site.owner_agrees is True or site.weeks_until_yes is None else math.ceil(7 * site.weeks_until_yes)


def _rainy_days(filled: Filled, draft: Draft, all_windows: Windows, there: dt.date) -> Iterator[dt.date]:
    """Where nobody can water: in each open window the first day on which usual rain covers what turf uses."""
    season = filled.library.knowledge.grasses[lead_grass(filled.library.knowledge, draft.plant)].season_type
    for window in all_windows.windows:
        if window.quality not in OPEN:
            continue
        opens = there if window.holds(dates.day_of_year(there)) else dates.date_on_or_after(window.opens, there)
        closes = dates.date_on_or_after(window.closes, opens)
        day = opens
        while day <= closes:
            short = filled.rain_short(dates.day_of_year(day), season)
            if short is not None and short <= 0:
                first = _first(filled, day, closes)
                if first is not None:
                    yield first
                break
            day += dt.timedelta(days=7)


def starts(filled: Filled, draft: Draft) -> list[tuple[dt.date, str]]:
    """The start days of one grass and method: the earliest, each opening within a year, the first day without play in each window, and the last safe day.

    The earliest is the first day on which what is sown or laid can be there; the last safe day stands even where it cannot.
    """
    today = filled.today
    year = today + dt.timedelta(days=364)
    there = today + dt.timedelta(days=max(delivery_days(filled, draft), owner_days(filled)))
    earliest = _first(filled, there, year)
    if earliest is None:
        return []
    found: dict[dt.date, str] = {earliest: "earliest"}
    if filled.site is None:
        return [(earliest, "earliest")]
    all_windows = filled.windows(draft.key, draft.variant)
    here = dates.day_of_year(today)
    for window in all_windows.windows:
        if window.quality not in OPEN and not (window.quality == "dormant" and draft.variant == "dormant"):
            continue
        opens = today if window.holds(here) else dates.date_on_or_after(window.opens, today)
        closes = dates.date_on_or_after(window.closes, opens)
        if closes < there:
            opens = dates.date_on_or_after(window.opens, there)
            closes = dates.date_on_or_after(window.closes, opens)
        day = _first(filled, max(opens, there), closes)
        if day is not None:
            found.setdefault(day, "window-opening")
        free = _first_free(filled, draft.zone, max(opens, there), closes)
        if free is not None and free <= year:
            found.setdefault(free, "window-opening")
    if filled.situation.means.water == "none":
        for day in _rainy_days(filled, draft, all_windows, there):
            found.setdefault(day, "window-opening")
    last = all_windows.last_day(here)
    if last is not None and draft.variant == "plain":
        end = dates.date_on_or_after(last, today)
        if can_work(filled, end):
            found.setdefault(end, "last-safe")
    return sorted((day, kind) for day, kind in found.items() if day <= year)


def _establish(filled: Filled, zone: str, winter_overseed: bool) -> Iterator[Draft]:
    knowledge = filled.library.knowledge
    climate = filled.climate.code if filled.climate else None
    known: dict[tuple[str, str, int], list[tuple[dt.date, str]]] = {}

    def starts_of(draft: Draft) -> list[tuple[dt.date, str]]:
        """Ways to sow a grass that are there on the same day share their starts."""
        key = (draft.key, draft.variant, delivery_days(filled, draft))
        if key not in known:
            known[key] = starts(filled, draft)
        return known[key]

    for plant in (*knowledge.grasses, *knowledge.mixtures):
        lead = lead_grass(knowledge, plant)
        # A grass that does not last in this climate gets one row, and may still cover one winter.
        lasts = climate is None or knowledge.grasses[lead].climates[climate] != "no"
        if not lasts:
            yield Draft(zone, "establish", knowledge.grasses[lead].made_by[0], plant)
        for method in knowledge.methods:
            if not can_be_had(knowledge, plant, method):
                if plant in knowledge.grasses and lasts:
                    yield Draft(zone, "establish", method, plant, open=False)
                continue
            draft = Draft(zone, "establish", method, plant)
            if lasts:
                for day, kind in starts_of(draft):
                    yield Draft(zone, "establish", method, plant, "plain", day, kind)
            for code, variant in knowledge.variants.items():
                if code == "plain" or method not in variant.methods or plant not in variant.grasses or filled.site is None:
                    continue
                if (code == "winter-overseed" and not winter_overseed) or (code != "winter-overseed" and not lasts):
                    continue
                varied = Draft(zone, "establish", method, plant, code)
                yield from _varied(filled, varied, starts_of(varied))


def _varied(filled: Filled, draft: Draft, possible: Sequence[tuple[dt.date, str]]) -> Iterator[Draft]:
    """The possible starts of a variant: only in its own window, pre-germinated seed only now."""
    for day, kind in possible:
        quality = filled.windows(draft.key, draft.variant).quality_on(dates.day_of_year(day))
        wanted = {"dormant": ("dormant",), "winter-overseed": OPEN, "pregerminated": OPEN}[draft.variant]
        if quality in wanted and (draft.variant != "pregerminated" or kind == "earliest"):
            yield Draft(draft.zone, "establish", draft.method, draft.plant, draft.variant, day, kind)
            if draft.variant == "winter-overseed":
                return


_FIT_ORDER: Final = ("fits", "marginal", "no")
_KIND_ORDER: Final = ("earliest", "window-opening", "last-safe", "none")


def make_options(filled: Filled, remedies: Mapping[str, Sequence[str]], warm_standing: Mapping[str, bool]) -> list[Draft]:
    """The options of every zone with the remedies that its diagnosis names, at most MOST_ROWS in all.

    Where there would be more, each zone keeps its share: remedies without new grass first, then grasses by how the
    tables fit them to the climate, and of each grass and method the earliest starts.
    """
    drafts: dict[str, list[Draft]] = {}
    for zone, wanted in remedies.items():
        rows = drafts.setdefault(zone, [])
        for remedy in REMEDIES:
            if remedy == "establish" and filled.site is None:
                # Without a place there is no climate and no date: any grass named would be a guess.
                continue
            if remedy in wanted and remedy == "carry-on":
                under_way = begun(filled, zone)
                rows += [] if under_way is None else [under_way]
            elif remedy in wanted and remedy == "establish":
                rows += _establish(filled, zone, warm_standing.get(zone, False))
            elif remedy in wanted:
                rows.append(Draft(zone, remedy))
    if sum(map(len, drafts.values())) > MOST_ROWS:
        share = MOST_ROWS // len(drafts)
        drafts = {zone: _thinned(filled, rows, share) for zone, rows in drafts.items()}
    return [draft for rows in drafts.values() for draft in rows]


def _thinned(filled: Filled, rows: Sequence[Draft], most: int) -> list[Draft]:
    """At most `most` of the rows of one zone, in their order."""
    knowledge = filled.library.knowledge
    climate = filled.climate.code if filled.climate else None
    turn: dict[tuple[str, str, str, str], int] = {}
    ranks: list[tuple[object, ...]] = []
    for place, row in enumerate(rows):
        if row.remedy != "establish":
            ranks.append((0, place))
            continue
        fit = knowledge.grasses[lead_grass(knowledge, row.plant)].climates[climate] if climate else "fits"
        group = (row.plant, row.method, row.variant, row.start_kind)
        turn[group] = turn.get(group, 0) + 1
        closed = 0 if row.open else 1
        ranks.append((1, closed, _FIT_ORDER.index(fit), turn[group], _KIND_ORDER.index(row.start_kind), place))
    kept = sorted(range(len(rows)), key=ranks.__getitem__)[:most]
    return [rows[place] for place in sorted(kept)]


def wished(filled: Filled, draft: Draft) -> str:
    """Whether the person had this grass or method in mind, or wants to avoid it."""
    wishes = filled.situation.wishes
    names = filled.library.knowledge.plants
    avoid = {names.get(word, word) for word in wishes.avoid or []}
    if draft.plant in avoid or draft.method in avoid:
        return "avoid"
    asked = names.get(wishes.grass, wishes.grass) if wishes.grass else None
    if asked is None and wishes.method is None:
        return "neither"
    if asked in (None, draft.plant) and wishes.method in (None, draft.method):
        return "wished"
    return "neither"


def offers(filled: Filled, draft: Draft) -> list[int] | None:
    """Positions of the offers that fit the option; None where nobody told of offers."""
    told = filled.situation.offer
    if told is None or (told and not any(offer.what in OFFERED_PLANTS for offer in told)):
        return None
    names = filled.library.knowledge.plants
    least = filled.library.number("thick-sod-least")
    fitting = []
    for position, offer in enumerate(told):
        kind = OFFERED_PLANTS.get(offer.what)
        ours = START_KINDS[draft.method].removeprefix("thick-")
        if kind != ours or (offer.what == "hydromulch" and draft.method != "hydromulch"):
            continue
        plant = offer.mixture or offer.grass
        if plant is not None and names.get(coded(plant), plant) != draft.plant:
            continue
        if offer.thickness_mm is not None and least is not None:
            thick = offer.thickness_mm >= least
            if thick != (draft.method == "thick-sod"):
                continue
        fitting.append(position)
    return fitting
