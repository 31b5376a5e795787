"""The situation: all that a person tells of place, dates, field, zones, means, limits and wishes, typed and
checked.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Mapping
from typing import Annotated, Any, Final, Literal, get_args

from pydantic import Field, model_validator

from decide.model.spans import Hours, Span, WorkDay
from decide.model.work import Checked, Done, History, Ongoing, Proposal, Seen
from decide.model.written import (
    CauseName,
    Code,
    Day,
    MachineName,
    MethodName,
    MonthDay,
    MonthName,
    Part,
    Percent,
    PlantName,
    Text,
    between,
    coded,
    known,
    metric,
    told,
)

OfferKind = Literal[
    "seed", "sod", "sprigs", "plugs", "hydromulch", "fertilizer", "lime", "sand", "topsoil", "compost",
    "straw", "mulch", "cover", "hire", "labour",
]  # fmt: skip
OFFER_KINDS: Final[tuple[str, ...]] = get_args(OfferKind)
Water = Literal["none", "hand hose", "bowser", "travelling sprinkler", "in-ground sprinklers"]
Soil = Literal["sand", "loam", "clay", "silt", "peat", "chalk"]
Drainage = Literal["good", "slow", "poor"]
Weekday = Literal["mon", "tue", "wed", "thu", "fri", "sat", "sun"]
Wish = Literal["ready-soon", "lasting", "low-cost", "little-work", "little-water", "few-chemicals"]


class Place(Part):
    """Where the field lies: a town, coordinates, twelve means, or hemisphere with warmest and coldest month
    will do.
    """

    name: Text | None = told("town")
    country: Code | None = told("country code of two letters, or the country's name")
    region: Text | None = told("state, county or country: decides law and words")
    latitude: float | None = between(-66, 70, 1, "degrees, south negative")
    longitude: float | None = between(-180, 180, 1, "degrees, west negative")
    hemisphere: Literal["north", "south"] | None = told("half of the earth, where nothing better is known")
    altitude_m: float | None = between(-430, 6000, 50, "height of the field above the sea")
    warmest_month_c: float | None = between(
        -60, 50, 1, "mean air temperature of the warmest month, where twelve are not known"
    )
    coldest_month_c: float | None = between(
        -60, 50, 1, "mean air temperature of the coldest month, where twelve are not known"
    )
    monthly_mean_c: (
        Annotated[list[Annotated[float, Field(ge=-60, le=50)]], Field(min_length=12, max_length=12)] | None
    ) = told("mean air temperature of January to December")
    monthly_rain_mm: (
        Annotated[list[Annotated[float, Field(ge=0, le=3000)]], Field(min_length=12, max_length=12)] | None
    ) = told("rain of January to December")
    last_frost: MonthDay | None = told("usual last frost of spring, month-day")
    first_frost: MonthDay | None = told("usual first frost of autumn, month-day")
    weather_file: Text | None = told(
        "file of daily low, high and rain, its path from the situation file's folder"
    )


class Dates(Part):
    """When: today, the date wanted, and the days when nobody may play or work."""

    today: Day | None = told("the day that the advice is for")
    play_by: Day | None = told("date by which the field is wanted")
    play_by_firm: bool | None = told("the date cannot move")
    first_use: Literal["training", "matches"] | None = told("what is wanted by that date")
    matches_by: Day | None = told("date by which matches are wanted, where training is wanted before")
    no_play: list[Span] | None = told("days on which nobody plays")
    no_work: list[Span] | None = told("days on which no work can be done")
    can_close: Literal["locked", "signs", "no"] | None = told("how well the ground can be shut")
    can_close_weeks: float | None = between(0, 104, 1, "weeks for which it can be shut at most")

    @model_validator(mode="before")
    @classmethod
    def _two_dates(cls, data: Any) -> Any:
        """A date of matches alone is the date wanted; beside another date it says that training comes
        first.
        """
        if not isinstance(data, Mapping):
            return data
        data = known(data)
        if data.get("matches_by") is None:
            return data
        if data.get("play_by") is not None:
            return {"first_use": "training", **data}
        told = {key: value for key, value in data.items() if key != "matches_by"}
        return {"first_use": "matches", "play_by": data["matches_by"], **told}


class Site(Part):
    """Ownership, neighbours and dangers."""

    owner_agrees: bool | None = told("the owner of the ground agrees to the work")
    weeks_until_yes: float | None = between(0, 104, 1, "weeks until the owner's answer is there")
    school: bool | None = told("school ground")
    public: bool | None = told("open to the public")
    near_water_m: float | None = between(0, 1000, 10, "distance to a stream, pond or drain")
    services_marked: bool | None = told("buried pipes and cables have been marked")
    goals_anchored: bool | None = told("every goal is anchored, in use and in store")
    grazed: bool | None = told("stock graze the ground or eat its clippings")
    in_use_now: bool | None = told("somebody is playing on it these days")
    dangers: (
        list[
            Literal[
                "loose goals",
                "glass",
                "holes",
                "needles",
                "flood water",
                "sewage",
                "fuel",
                "bare wires",
                "fill",
                "trip hazards",
                "sprinkler heads",
                "none",
            ]
        ]
        | None
    ) = told("dangers on the ground now")


class Ground(Part):
    """The field as a whole: size, soil, water in the soil, shape."""

    area_m2: float | None = between(1, 1_000_000, 100, "area of the field")
    length_m: float | None = between(1, 2000, 5, "length of the field")
    width_m: float | None = between(1, 2000, 5, "width of the field")
    shape: Literal["rectangle", "oval"] | None = told("shape that the length and the width are of")
    soil: Soil | None = told("soil of the top spade's depth")
    rootzone: Literal["native", "sand cap", "sand built", "synthetic"] | None = told(
        "what the field was built of"
    )
    topsoil_depth_mm: float | None = between(0, 1000, 25, "depth of topsoil")
    drainage: Drainage | None = told("how fast it drains after rain")
    water_stands_hours: float | None = between(0, 500, 6, "hours that water stands after heavy rain")
    crown: Literal["sound", "worn", "dished"] | None = told("the middle against the sides")
    slope_percent: float | None = between(0, 100, 1, "steepest slope")
    soil_ph: float | None = between(3, 11, 0.5, "pH of the soil test")
    soil_phosphorus: Literal["low", "enough", "high", "untested"] | None = told("phosphorus of the soil test")
    soil_test_date: Day | None = told("day of the soil test")
    soil_salt: Literal["none", "some", "high"] | None = told("salt in the soil")
    lime_g_m2: float | None = between(0, 5000, 50, "lime that the report of the soil test asks for")
    sun_hours: float | None = between(0, 16, 1, "hours of sun on a clear day in the growing season")
    play_hours_week: float | None = between(
        0, 112, 2, "hours a week of all play together, where nobody told them of each use"
    )
    unbooked_hours_week: float | None = between(0, 112, 2, "hours a week of play that nobody booked")


class Use(Part):
    """One use of the field."""

    sport: Code | None = told("sport")
    months: list[MonthName] | None = told("months of play")
    hours_per_week: float | None = between(0, 112, 2, "hours a week in those months")
    games_per_week: float | None = between(0, 60, 1, "games a week, where nobody told hours")
    players: Literal["adult", "youth"] | None = told("who plays")


class Standing(Part):
    """A grass that stands in a zone."""

    grass: Code = Field(description="species")
    share_percent: Percent | None = told("share of the living cover")
    state: Literal["green", "dormant", "dead"] | None = told("its state now")


class Zone(Part):
    """A part of the field that gets its own answer."""

    name: Text = Field(description="name of the zone")
    area_m2: float | None = between(1, 1_000_000, 50, "area of the part")
    share_percent: float | None = between(0.1, 100, 5, "share of the field")
    places: int | None = between(1, 100, 1, "separate places of that name, which share the area")
    keep_off: bool | None = told("nothing is to be done here")
    in_play: bool | None = told("it stays in play during the work")
    bare_percent: float | None = between(0, 100, 10, "bare ground")
    bare_pattern: Literal["scattered", "solid"] | None = told("bare spots scattered thin, or solid patches")
    bare_shape: (
        Literal[
            "follows play",
            "low ground",
            "shadow",
            "arc",
            "straight edge",
            "lifts like carpet",
            "rounds",
            "small spots",
            "even",
        ]
        | None
    ) = told("shape of the bad ground")
    began: (
        Literal[
            "play weeks",
            "one wet match",
            "snow melt",
            "first heat",
            "late summer",
            "after sowing",
            "after spraying",
            "flood",
            "spring green-up",
            "event",
        ]
        | None
    ) = told("when it began")
    screwdriver: Literal["deep", "half", "shallow"] | None = told(
        "how far a screwdriver goes into moist soil"
    )
    tug: Literal["holds", "lifts", "tears"] | None = told("what the turf does when it is pulled")
    roots_mm: float | None = between(0, 500, 25, "depth of the roots")
    grass: list[Standing] | None = told("grasses that stand here")
    water_drop: Literal["sinks", "stays"] | None = told(
        "what a drop of water does in ten seconds on dry soil of the core"
    )
    weeds_percent: float | None = between(0, 100, 10, "weeds")
    weeds: (
        list[
            Literal[
                "annual bluegrass",
                "knotweed",
                "goosegrass",
                "crabgrass",
                "sedge",
                "clover",
                "moss",
                "quackgrass",
                "rushes",
                "broadleaf",
                "none",
            ]
        ]
        | None
    ) = told("kinds of weed")
    thatch_mm: float | None = between(0, 150, 5, "thickness of thatch")
    stones: Literal["none", "some", "many"] | None = told("stones in the top of the bed")
    compaction: Literal["loose", "firm", "hard"] | None = told("how hard the ground is when moist")
    pests: (
        list[
            Literal[
                "grubs",
                "leatherjackets",
                "armyworm",
                "mole crickets",
                "chinch bugs",
                "billbugs",
                "worms",
                "birds",
                "digging animals",
                "rabbits",
                "moles",
                "none",
            ]
        ]
        | None
    ) = told("pests seen")
    pests_per_m2: float | None = between(0, 5000, 10, "grubs or insects counted in a square metre")
    disease_signs: (
        list[
            Literal[
                "red threads",
                "orange dust",
                "straw spots",
                "smoky rings",
                "fish-hook tips",
                "greasy patches",
                "matted patches",
                "winter patches",
                "leaf spots",
                "dead rounds at green-up",
                "bronze rounds",
                "green rings",
                "none",
            ]
        ]
        | None
    ) = told("signs of disease seen")
    cause: CauseName | None = told("the user's own idea of the cause")
    soil: Soil | None = told("soil of the top spade's depth, where it is not that of the field")
    drainage: Drainage | None = told("how fast it drains after rain, where it is not as the field does")
    water_stands_hours: float | None = between(
        0, 500, 6, "hours that water stands after heavy rain, where it is not as on the field"
    )
    sun_hours: float | None = between(0, 16, 1, "hours of sun on a clear day in the growing season")


class Now(Part):
    """What was seen on the ground, and when."""

    ground: Literal["open", "soft", "waterlogged", "frozen", "snow"] | None = told("state of the ground")
    soil_temp_c: float | None = between(-20, 50, 1, "soil temperature")
    soil_depth_mm: float | None = between(10, 300, 10, "depth at which it was read")
    day_temp_c: float | None = between(-40, 55, 1, "warmest of the day")
    night_temp_c: float | None = between(-50, 45, 1, "coldest of the night")
    rain_24h_mm: float | None = between(0, 1000, 5, "rain of the last day")
    flooded_days: float | None = between(0, 365, 1, "days under water")


class Means(Part):
    """Water, machines, hands and money."""

    water: Water | None = told("means of watering")
    water_quality: Literal["fresh", "reclaimed", "salty"] | None = told("kind of water")
    water_salt_ds_m: float | None = between(0, 60, 0.5, "salt of the water by its test, ECw in dS/m")
    water_sar: float | None = between(0, 100, 1, "sodium of the water by its test, SAR")
    flow_l_min: float | None = between(0.5, 5000, 10, "flow: bucket litres by minutes to fill it")
    water_litres_day: float | None = between(
        0, 2_000_000, 500, "litres of water that there are in a day: of a tank, a bowser or a well"
    )
    water_from: Day | None = told("first day on which there is water, where there is none before")
    hose_reach_m: float | None = between(0, 500, 10, "reach of the hose")
    wettings_weekday: float | None = between(0, 12, 1, "times a weekday that somebody can water")
    wettings_weekend: float | None = between(0, 12, 1, "times a weekend day that somebody can water")
    watering_hours_day: float | None = between(0, 24, 1, "hours a day that water can run")
    equipment_own: list[MachineName] | None = told("machines and tools at hand")
    equipment_hire: list[MachineName] | None = told("machines that can be hired")
    equipment_broken: list[MachineName] | None = told("machines at hand that do not work now")
    contractor: bool | None = told("a contractor can be paid")
    helpers: int | None = between(0, 200, 1, "people who help")
    work_hours_per_week: float | None = between(0, 2000, 4, "hours a week of all hands together")
    work_days: Annotated[list[WorkDay], Field(max_length=60)] | None = told(
        "days on which many hands come together, beside the hours of a usual week"
    )
    licensed_applicator: bool | None = told("a licensed person sprays")
    budget: float | None = between(0, 100_000_000, 500, "money there is")
    budget_from: Day | None = told("first day on which there is money, where there is none before")
    budget_until: Day | None = told("last day on which the money may be spent")
    currency: Annotated[str, Field(pattern=r"^[A-Z]{3}$")] | None = told("currency code, as USD")
    wage_per_hour: float | None = between(0, 10_000, 5, "what an hour of paid work costs")


class Offer(Part):
    """Something that can be had, as the seller says."""

    what: OfferKind = Field(description="what is offered")
    grass: PlantName | None = told("grass")
    mixture: PlantName | None = told("mixture")
    thickness_mm: float | None = between(5, 100, 5, "thickness of the sod's soil")
    grown_on: Literal["sand", "loam", "silt", "clay", "peat"] | None = told("soil that the sod was grown on")
    amount: float | None = between(0, 1_000_000, 10, "amount")
    unit: Code | None = told("unit of the amount and the price")
    price: float | None = between(0, 1_000_000, 1, "price for one unit")
    lead_days: float | None = between(0, 1000, 7, "days from order to delivery")
    purity: Percent | None = told("percent of pure seed")
    germination: Percent | None = told("percent that germinates")
    treated: bool | None = told("treated with a fungicide")
    tool: MachineName | None = told("machine or tool, where what is hire")
    pack: float | None = between(0.001, 100_000, 5, "amount of the unit in one bag, roll, bale or pallet")
    analysis: Annotated[list[Percent], Field(min_length=3, max_length=3)] | None = told(
        "the three numbers on a bag of fertilizer: N, P2O5, K2O in percent"
    )
    bushel_l: float | None = between(1, 100, 1, "litres of the seller's bushel")


class Limits(Part):
    """What law and owner allow; the user's own word beats the tables."""

    pesticides: Literal["allowed", "licensed only", "banned"] | None = told("weed and pest killers here")
    phosphorus_law: Literal["allowed", "soil test needed", "banned"] | None = told("phosphorus here")
    water_law: Literal["none", "restricted days", "banned"] | None = told("watering rules here")
    water_days: list[Weekday] | None = told("days of the week on which watering is allowed")
    water_hours: Annotated[list[Hours], Field(max_length=8)] | None = told(
        "hours of the day in which watering is allowed"
    )
    new_turf_excepted: bool | None = told("new turf may be watered every day all the same")

    @model_validator(mode="before")
    @classmethod
    def _limited(cls, data: Any) -> Any:
        """Days that are named are a rule on watering, where none was told."""
        if not isinstance(data, Mapping):
            return data
        data = known(data)
        return {"water_law": "restricted days", **data} if data.get("water_days") else data


class Wishes(Part):
    """What the person wants first, and what they had in mind."""

    first: list[Wish] | None = told("wishes, the strongest first")
    grass: PlantName | None = told("grass that they had in mind")
    method: MethodName | None = told("method that they had in mind")
    avoid: list[Code] | None = told("grasses or methods to avoid")


WHOLE_FIELD: Final = "whole field"
EVERYWHERE: Final = ("all", "field", "whole-field")


class Situation(Part):
    """All that is known; see the modules' tables for the keys. A field without zones is one zone, "whole
    field".
    """

    # Constructed, not read: reading would build each table's model before it is known to be wanted.
    place: Place = Place.model_construct()
    dates: Dates = Dates.model_construct()
    site: Site = Site.model_construct()
    field: Ground = Ground.model_construct()
    use: list[Use] | None = Field(default=None, max_length=24)
    zone: list[Zone] = Field(default_factory=list, max_length=16)
    now: Now = Now.model_construct()
    history: History = History.model_construct()
    means: Means = Means.model_construct()
    offer: list[Offer] | None = Field(default=None, max_length=40)
    limits: Limits = Limits.model_construct()
    wishes: Wishes = Wishes.model_construct()
    proposal: list[Proposal] = Field(default_factory=list, max_length=60)
    ongoing: list[Ongoing] = Field(default_factory=list, max_length=16)
    done: list[Done] = Field(default_factory=list, max_length=2000)
    check: list[Checked] = Field(default_factory=list, max_length=1000)
    seen: list[Seen] = Field(default_factory=list, max_length=400)

    @model_validator(mode="before")
    @classmethod
    def _one_zone(cls, data: Any) -> Any:
        if not isinstance(data, Mapping):
            return data
        out = dict(data)
        field = out.get("field")
        if isinstance(field, Mapping):
            ground = Ground.model_fields
            own = set(metric(field, {**ground, **Zone.model_fields})) - set(ground)
            moved = {
                key: value
                for key, value in field.items()
                if metric({key: 0}, {**ground, **Zone.model_fields}).keys() & own & set(Zone.model_fields)
            }
            if moved:
                if out.get("zone"):
                    key = sorted(moved)[0]
                    raise ValueError(
                        f"[field] {key} belongs to a zone, and zones are given; write it under [[zone]]"
                    )
                out["field"] = {key: value for key, value in field.items() if key not in moved}
                out["zone"] = [{"name": WHOLE_FIELD, **moved}]
        if not out.get("zone"):
            out["zone"] = [{"name": WHOLE_FIELD}]
        if isinstance(out["zone"], list):
            names = [
                coded(z.get("name", ""))
                for z in out["zone"]
                if isinstance(z, Mapping) and isinstance(z.get("name"), str)
            ]
            twice = [name for name in names if names.count(name) > 1]
            if twice:
                raise ValueError(f"two zones are called {twice[0]!r}; give each its own name")
        return out


def recorded(s: Situation) -> Iterator[tuple[str, str | None, dt.date]]:
    """Every row of the record: its name, its zone, and its day."""
    for number, done in enumerate(s.done, 1):
        yield f"done[{number}]", done.zone, done.date
    for number, check in enumerate(s.check, 1):
        yield f"check[{number}]", check.zone, check.date
    for number, seen in enumerate(s.seen, 1):
        yield f"seen[{number}]", seen.zone, seen.date
    for number, begun in enumerate(s.ongoing, 1):
        yield f"ongoing[{number}]", begun.zone, begun.start


def of_zone(told: str | None, zone: str, zones: Iterable[str]) -> bool:
    """Whether what is told of a zone, or of the field where no zone has that name, is about this one."""
    return told is None or coded(told) == zone or (coded(told) in EVERYWHERE and coded(told) not in zones)
