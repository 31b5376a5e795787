"""When each grass can be started at a place, by each method that it can be had by: windows with the reason of
every edge.
"""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Iterable, Iterator, Mapping
from typing import Annotated, Final, Literal

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field

from decide.facts.draft import can_be_had, lead_grass
from decide.facts.filled import Filled
from decide.knowledge.speaker import Speaker
from decide.measure import climate as cl
from decide.measure import dates, window
from decide.model.errors import SituationError
from decide.model.units import System, convert

Quality = Literal["good", "fair", "dormant"]
DayText = Annotated[str, Field(pattern=r"^\d\d-\d\d$")]
_listed = BeforeValidator(lambda v: tuple(v) if isinstance(v, list) else v)
NOT_FOR_CLIMATE: Final = "not-for-this-climate"


class Model(BaseModel):
    """A row of the calendar; it does not change."""

    model_config = ConfigDict(extra="forbid", frozen=True)


class Edge(Model):
    """The opening or closing of a window: the day (MM-DD), the code of its reason, and the reason as a
    sentence.
    """

    day: DayText
    code: str
    why: str


class Span(Model):
    """Days of one quality, both ends counted; they may run over the turn of the year, and 365 are the whole
    year.
    """

    quality: Quality
    opens: Edge
    closes: Edge
    days: int


class Printed(Model):
    """A time that a local page prints, beside the computed one; `second` where the page calls it a second
    choice.
    """

    id: str
    opens: DayText
    closes: DayText
    second: bool
    note: str
    sources: Annotated[tuple[str, ...], _listed]


class Named(Model):
    """A code with its name."""

    code: str
    name: str


class Way(Model):
    """Grasses and mixtures, and the methods by which they are started; `marginal` lists those that only just
    fit the climate.
    """

    grasses: Annotated[tuple[Named, ...], _listed]
    methods: Annotated[tuple[Named, ...], _listed]
    marginal: Annotated[tuple[str, ...], _listed]


class Row(Model):
    """Grasses and methods that share their windows here.

    `spans` are in order of opening; where there are none `none_code` and `none_why` say why. `borrowed` marks
    that
    numbers of a near relative stand in. `variant` is plain, or a way to vary the methods.
    """

    ways: Annotated[tuple[Way, ...], _listed]
    variant: str
    variant_name: str
    spans: Annotated[tuple[Span, ...], _listed]
    none_code: str
    none_why: str
    borrowed: bool
    printed: Annotated[tuple[Printed, ...], _listed]


class Frost(Model):
    """Median frost days of the year (MM-DD, empty where there are none) with their doubt in days, and all of
    it in words.

    `doubt_days` is the mean miss of the estimate (0 for a told day), `wide_days` what one estimate in five
    exceeds, `year_days` the standard deviation between years.
    """

    kind: Literal["usual", "some-years", "rare", "always"]
    first: str
    last: str
    doubt_days: float
    wide_days: float
    year_days: float
    says: str


class NotHere(Model):
    """Grasses that have no windows here at all, and why in a sentence."""

    grasses: Annotated[tuple[Named, ...], _listed]
    why: str


class PlantingCalendar(Model):
    """All windows of a place."""

    schema_: Literal["windows/1"] = Field(default="windows/1", alias="schema")
    place: str
    climate: str
    climate_name: str
    hemisphere: str
    units: System
    frost: Frost
    rows: Annotated[tuple[Row, ...], _listed]
    not_here: Annotated[tuple[NotHere, ...], _listed]

    def as_json(self) -> str:
        """The calendar as JSON, the same bytes for the same place and knowledge."""
        return self.model_dump_json(by_alias=True, indent=1) + "\n"


def planting_calendar(filled: Filled, system: System | None = None) -> PlantingCalendar:
    """All windows of the place of a situation; SituationError where no place is known.

    Nothing of it depends on the day. `system` is "metric" or "us"; left out, the country decides.
    """
    if filled.site is None or filled.climate is None:
        raise SituationError(
            "the place is not known, so there are no windows",
            where="situation",
            instead="Write place.name, or place.latitude and place.longitude",
        )
    return _Maker(filled, system or ("us" if filled.us else "metric")).calendar()


def _text(day: int | None) -> str:
    return "" if day is None else "{:02d}-{:02d}".format(*dates.month_and_day(day))


def _unborrowed(found: window.Windows) -> window.Windows:
    """The windows without the mark of borrowed numbers where no number was asked for."""
    return (
        found
        if any(w.why_closes == "heat-before-growth-ends" for w in found.windows)
        else dataclasses.replace(found, borrowed=False)
    )


class _Maker:
    def __init__(self, filled: Filled, system: System) -> None:
        assert filled.site is not None
        assert filled.climate is not None
        self.filled, self.system = filled, system
        self.site, self.climate = filled.site, filled.climate
        self.knowledge = filled.library.knowledge
        self.say = Speaker(self.knowledge, system)

    def calendar(self) -> PlantingCalendar:
        k = self.knowledge
        here = [plant for plant in (*k.planted, *k.mixtures) if self._fit(plant) in ("fits", "marginal")]
        rows = self._rows(here, "plain")
        # Cover is sown over a stand of another season: only where such a stand can be had.
        had = {g.code for row in rows if row.spans for way in row.ways for g in way.grasses}
        for name, variant in k.variants.items():
            over = variant.cover_over
            if over and any(k.grasses[lead_grass(k, plant)].season_type == over for plant in had):
                rows += [row for row in self._rows(variant.grasses, name) if row.spans]
        missing = [plant for plant in k.planted if plant not in here]
        not_here = (
            [NotHere(grasses=self._named(missing), why=self._why(NOT_FOR_CLIMATE, None))] if missing else []
        )
        return PlantingCalendar(
            place=self.filled.place_label or self._spot(),
            climate=self.climate.code,
            climate_name=self.climate.name,
            hemisphere=self.filled.hemisphere,
            units=self.system,
            frost=self._frost(),
            rows=tuple(sorted(rows, key=lambda row: not row.spans)),
            not_here=tuple(not_here),
        )

    def _fit(self, plant: str) -> str:
        """How the grass that leads a plant fits the climate."""
        return self.climate.fit(self.knowledge.grasses[lead_grass(self.knowledge, plant)].climates)[0]

    def _spot(self) -> str:
        climate = self.site.climate
        if climate.latitude is None or climate.longitude is None:
            return ""
        ns, ew = "S" if climate.latitude < 0 else "N", "W" if climate.longitude < 0 else "E"
        return f"{abs(climate.latitude):.2f} {ns}, {abs(climate.longitude):.2f} {ew}"

    def _named(self, plants: Iterable[str]) -> tuple[Named, ...]:
        return tuple(Named(code=plant, name=self.say.plant(plant)) for plant in plants)

    def _rows(self, plants: Iterable[str], variant: str) -> list[Row]:
        """Plants and methods, those with the same windows and the same printed times in one row."""
        k = self.knowledge
        allowed = k.variants[variant].methods if variant != "plain" else tuple(k.methods)
        found: dict[tuple[window.Windows, tuple[Printed, ...], bool], dict[str, list[str]]] = {}
        for plant in plants:
            warm = k.grasses[lead_grass(k, plant)].season_type == "warm"
            for method in k.methods:
                if method in allowed and can_be_had(k, plant, method):
                    key = f"{plant}/{k.methods[method].start}"
                    printed = (
                        tuple(self._printed(key, variant)) if variant in ("plain", "winter-overseed") else ()
                    )
                    same = found.setdefault(
                        (_unborrowed(self.filled.windows(key, variant)), printed, warm), {}
                    )
                    same.setdefault(plant, []).append(method)
        return [
            self._row(all_windows, printed, warm, by_plant, variant)
            for (all_windows, printed, warm), by_plant in found.items()
        ]

    def _row(
        self,
        all_windows: window.Windows,
        printed: tuple[Printed, ...],
        warm: bool,
        by_plant: Mapping[str, list[str]],
        variant: str,
    ) -> Row:
        k = self.knowledge
        ways: dict[tuple[str, ...], list[str]] = {}
        for plant, methods in by_plant.items():
            ways.setdefault(tuple(methods), []).append(plant)
        spans = tuple(self._span(window, warm) for window in all_windows.windows)
        return Row(
            ways=tuple(
                Way(
                    grasses=self._named(plants),
                    methods=tuple(Named(code=m, name=self.say.method(m)) for m in methods),
                    marginal=tuple(p for p in plants if self._fit(p) == "marginal"),
                )
                for methods, plants in ways.items()
            ),
            variant=variant,
            variant_name="" if variant == "plain" else k.variants[variant].name,
            spans=spans,
            none_code=all_windows.empty_why,
            none_why="" if spans else self._why(all_windows.empty_why, None),
            borrowed=all_windows.borrowed,
            printed=printed,
        )

    def _printed(self, key: str, variant: str) -> Iterator[Printed]:
        for row in self.filled.regional(key, variant):
            titles = [
                f"{s.title}. {s.publisher}, {s.year}"
                for s in (self.knowledge.sources[code] for code in row.sources)
            ]
            yield Printed(
                id=row.id,
                opens=row.opens,
                closes=row.closes,
                second=row.quality == "second",
                note=row.note,
                sources=tuple(titles),
            )

    def _span(self, window: window.Window, warm: bool) -> Span:
        opens = Edge(
            day=_text(window.opens),
            code=window.why_opens,
            why=self._why(window.why_opens, window.opens, warm),
        )
        # A window closes on the last day that still counts; what ends it is the day after.
        closes = Edge(
            day=_text(window.closes),
            code=window.why_closes,
            why=self._why(window.why_closes, dates.wrap(window.closes + 1), warm),
        )
        return Span(quality=window.quality, opens=opens, closes=closes, days=window.days)  # type: ignore[arg-type]  # the same words, checked when the advice is made

    def _why(self, code: str, day: int | None, warm: bool = False) -> str:
        """The sentence of a reason, with the figures of the day."""
        row = self.knowledge.edges.get(code)
        if row is None:
            return ""
        numbers = self.filled.library.constants.windows
        weeks = numbers.warm_sod_weeks_most if warm else numbers.sod_weeks
        figures: Mapping[str, str] = {
            "warmth": "" if day is None else self._warmth(self.site.year.normal(day)),
            "last-frost": self._about(self.site.frost.last),
            "first-frost": self._about(self.site.frost.first),
            "weeks": f"{weeks:g}",
        }
        return re.sub(r"\{([^}]*)\}", lambda hole: figures[hole[1]], row.says)

    def _warmth(self, celsius: float) -> str:
        return f"{convert(celsius, 'C', 'F'):.0f} °F" if self.system == "us" else f"{celsius:.0f} °C"

    def _day(self, day: int) -> str:
        return self.filled.library.knowledge.language.day_by_code(_text(day))

    def _about(self, day: int | None) -> str:
        """A frost day with its doubt: never a bare day from averages."""
        if day is None:
            return self.filled.text("frost-rare-day")
        frost = self.site.frost
        off = frost.doubt_days or frost.year_days
        return self.filled.text("frost-about", day=self._day(day), off=f"{off:.0f}")

    def _frost(self) -> Frost:
        frost = self.site.frost
        return Frost(
            kind=frost.kind,  # type: ignore[arg-type]  # a kind of frost
            first=_text(frost.first),
            last=_text(frost.last),
            doubt_days=frost.doubt_days,
            wide_days=frost.wide_days,
            year_days=frost.year_days,
            says=self._frost_in_words(frost),
        )

    def _frost_in_words(self, frost: cl.Frost) -> str:
        if frost.kind == "always":
            return self.filled.text("frost-any-month")
        if frost.first is None or frost.last is None:
            return self.filled.text("frost-some-years" if frost.kind == "some-years" else "frost-rare")
        told = self.filled.situation.place
        known = bool(told.first_frost or told.last_frost)
        days = self.filled.text("frost-days", last=self._day(frost.last), first=self._day(frost.first))
        years = self.filled.text("frost-years-differ", days=f"{frost.year_days:.0f}")
        if known:
            return self.filled.text("frost-told", days=days, years=years)
        if self.filled.weather is not None:
            return self.filled.text("frost-of-weather", days=days, years=years)
        some = f"{self.filled.text('frost-some-years')} " if frost.kind == "some-years" else ""
        return some + self.filled.text(
            "frost-worked-out",
            days=days,
            off=f"{frost.doubt_days:.0f}",
            wide=f"{frost.wide_days:.0f}",
            years=years,
        )
