"""The situation: all that a person tells of place, dates, field, zones, means, limits and wishes, typed and checked."""

from __future__ import annotations

import datetime as dt
import json
import math
import re
import tomllib
import types
import typing
from collections.abc import Iterable, Iterator, Mapping
from typing import Annotated, Any, Final, Literal, get_args, get_origin

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, ValidationError, model_validator

from decide.model.errors import SituationError, meant
from decide.model.toml_lines import Lines, too_deep
from decide.model.units import convert

MOST_BYTES: Final = 1_000_000
MOST_TEXT: Final = 200
DONT_KNOW: Final = "don't know"

Month = Literal["jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"]
MONTHS: Final[tuple[str, ...]] = get_args(Month)
HerbicideClass = Literal[
    "mitosis-short", "mitosis-long", "pyridine-pre", "cellulose-inhibitor", "phenylurea", "hppd", "hppd-pyrazolone",
    "auxin-phenoxy", "auxin-quinoline", "auxin-pyridine", "als", "triazine", "triazinone", "oxadiazole", "chloroacetamide",
    "benzofuran", "accase", "nonselective-systemic", "contact-acid", "fumigant", "growth-regulator", "grub-insecticide",
    "seed-fungicide", "unknown",
]  # fmt: skip
HERBICIDE_CLASSES: Final[tuple[str, ...]] = get_args(HerbicideClass)
Cause = Literal[
    "overuse", "wet-play", "compaction", "drainage", "crown", "layering", "shade", "irrigation-gap", "drought", "insects",
    "disease", "salt", "flood", "herbicide", "winter", "low-fertility", "thatch", "mowing", "annual-bluegrass",
    "spring-transition", "dogs", "vehicles", "goalmouth", "unknown",
]  # fmt: skip
Step = Literal[
    "sow", "overseed", "lay-sod", "sprig", "plug", "fertilise", "spray", "roll", "aerate", "dethatch", "topdress", "till",
    "fill", "water", "cover", "mow", "open-to-play", "lime", "drag", "sand", "move-goals", "clear-snow", "close",
]  # fmt: skip
STEPS: Final[tuple[str, ...]] = get_args(Step)
# Entries of the diary beside the tasks of the plan and the steps.
DIARY: Final = ("delivery", "seed-tag", "inspection", "work-stopped")
Method = Literal["broadcast-seed", "slit-seed", "hydromulch", "thin-sod", "thick-sod", "sprigs", "plugs"]
METHODS: Final[tuple[str, ...]] = get_args(Method)
Equipment = Literal[
    "spreader", "drop-spreader", "slit-seeder", "hydroseeder", "roller", "corer", "drag-mat", "topdresser", "scarifier",
    "tiller", "sod-cutter", "sprig-planter", "mower", "travelling-sprinkler", "hose", "rake", "spade", "fork", "tractor",
    "soil-thermometer", "grow-cover",
]  # fmt: skip
OfferKind = Literal[
    "seed", "sod", "sprigs", "plugs", "hydromulch", "fertilizer", "lime", "sand", "topsoil", "compost", "straw", "mulch", "cover", "hire", "labour",
]  # fmt: skip
OFFER_KINDS: Final[tuple[str, ...]] = get_args(OfferKind)
Wish = Literal["ready-soon", "lasting", "low-cost", "little-work", "little-water", "few-chemicals"]


def clean(text: str) -> str:
    """User text without control characters, at most MOST_TEXT long, so that it can do no harm where it is shown."""
    kept = "".join(c if c.isprintable() else " " for c in text)
    return " ".join(kept.split())[:MOST_TEXT]


def coded(text: str) -> str:
    """A name as a code: lower case, words joined by hyphens."""
    return re.sub(r"[^a-z0-9]+", "-", text.lower().replace(".", "")).strip("-")


def _code(value: object) -> object:
    return coded(clean(value)) if isinstance(value, str) else value


def _text(value: object) -> object:
    return clean(value) if isinstance(value, str) else value


def _day(value: object) -> object:
    """A date is written as a TOML date or as "2026-05-20"."""
    if isinstance(value, dt.datetime):
        return value.date()
    if isinstance(value, str):
        try:
            return dt.date.fromisoformat(value.strip())
        except ValueError:
            raise ValueError("is not a date that can be read one way only; write it as 2026-05-20") from None
    return value


def _month_day(value: object) -> object:
    if isinstance(value, str):
        match = re.fullmatch(r"\s*(\d{1,2})-(\d{1,2})\s*", value)
        if match:
            try:
                dt.date(2001, int(match[1]), int(match[2]))
            except ValueError:
                pass
            else:
                return f"{int(match[1]):02d}-{int(match[2]):02d}"
        raise ValueError('is not a month and day; write it as "10-15" for 15 October')
    return value


def _month(value: object) -> object:
    if isinstance(value, bool):
        return value
    if isinstance(value, int) and 1 <= value <= 12:
        return MONTHS[value - 1]
    if isinstance(value, str):
        return clean(value).lower()[:3]
    return value


Code = Annotated[
    str, BeforeValidator(_code), Field(min_length=1, max_length=60, pattern=r"^[a-z0-9][a-z0-9\-]*$")
]
Text = Annotated[str, BeforeValidator(_text), Field(max_length=MOST_TEXT)]
Day = Annotated[dt.date, BeforeValidator(_day)]
MonthDay = Annotated[str, BeforeValidator(_month_day)]
MonthName = Annotated[Month, BeforeValidator(_month)]
Percent = Annotated[float, Field(ge=0, le=100)]


def _limits(low: float, high: float, step: float, about: str) -> Any:
    return Field(default=None, ge=low, le=high, description=about, json_schema_extra={"step": step})


def _say(about: str) -> Any:
    return Field(default=None, description=about)


_TWINS: Final = (
    ("_f", "_c", "F", "C"), ("_in", "_mm", "in", "mm"), ("_ft2", "_m2", "ft2", "m2"), ("_yd2", "_m2", "yd2", "m2"),
    ("_acre", "_m2", "acre", "m2"), ("_ft", "_m", "ft", "m"), ("_yd", "_m", "yd", "m"), ("_gal_min", "_l_min", "gal/min", "l/min"),
)  # fmt: skip


def _metric(keys: Mapping[str, Any], known: Mapping[str, Any]) -> dict[str, Any]:
    """The same table with every US key replaced by its metric twin."""
    out: dict[str, Any] = {}
    for key, value in keys.items():
        name, amount = key, value
        if key not in known:
            for us, metric, source, target in _TWINS:
                twin = key.removesuffix(us) + metric
                if key.endswith(us) and twin in known:
                    if twin in keys:
                        raise ValueError(f"{key!r} and {twin!r} say the same thing twice; keep one of them")
                    if isinstance(value, (int, float)) and not isinstance(value, bool):
                        amount = round(convert(float(value), source, target), 6)
                    name = twin
                    break
        out[name] = amount
    return out


def _levels(annotation: Any) -> tuple[str, ...]:
    """The words that a field accepts, where it accepts words from a list (of itself or of its items)."""
    if get_origin(annotation) is Literal:
        return tuple(str(a) for a in get_args(annotation))
    for inner in get_args(annotation):
        if inner is not type(None) and (found := _levels(inner)):
            return found
    return ()


class Part(BaseModel):
    """A table of the situation: every key may be left out, and every value may be "don't know"."""

    model_config = ConfigDict(extra="forbid", frozen=True, allow_inf_nan=False, str_max_length=4 * MOST_TEXT)

    @model_validator(mode="before")
    @classmethod
    def _as_written(cls, data: Any) -> Any:
        if not isinstance(data, Mapping):
            return data
        fields = cls.model_fields
        out: dict[str, Any] = {}
        for key, value in _metric(data, fields).items():
            if isinstance(value, str) and clean(value).lower().replace("’", "'") in (
                DONT_KNOW,
                "dont know",
                "do not know",
                "unknown?",
            ):
                continue
            levels = _levels(fields[key].annotation) if key in fields else ()
            if levels:
                by_code = {coded(level): level for level in levels}
                if isinstance(value, str):
                    out[key] = by_code.get(coded(value), value)
                elif isinstance(value, list):
                    out[key] = [
                        by_code.get(coded(item), item) if isinstance(item, str) else item for item in value
                    ]
            if isinstance(value, bool) and key in fields and bool not in _plain_types(fields[key].annotation):
                raise ValueError(f"{key!r} takes no true or false")
            out.setdefault(key, value)
        return out


def _plain_types(annotation: Any) -> set[Any]:
    if get_origin(annotation) in (typing.Union, types.UnionType, Annotated):
        return set().union(*(_plain_types(inner) for inner in get_args(annotation)))
    return {annotation}


class Span(Part):
    """Days from one date to another, both counted."""

    start: Day = Field(alias="from", description="first day")
    until: Day = Field(description="last day")

    @model_validator(mode="after")
    def _in_order(self) -> Span:
        if self.until < self.start:
            raise ValueError(
                f"runs backwards: from {self.start} until {self.until}; write the earlier date first"
            )
        return self


class Place(Part):
    """Where the field lies: a town, coordinates, twelve means, or hemisphere with warmest and coldest month will do."""

    name: Text | None = _say("town")
    country: Code | None = _say("country code of two letters, or the country's name")
    region: Text | None = _say("state, county or country: decides law and words")
    latitude: float | None = _limits(-66, 70, 1, "degrees, south negative")
    longitude: float | None = _limits(-180, 180, 1, "degrees, west negative")
    hemisphere: Literal["north", "south"] | None = _say("half of the earth, where nothing better is known")
    altitude_m: float | None = _limits(-430, 6000, 50, "height of the field above the sea")
    warmest_month_c: float | None = _limits(
        -60, 50, 1, "mean air temperature of the warmest month, where twelve are not known"
    )
    coldest_month_c: float | None = _limits(
        -60, 50, 1, "mean air temperature of the coldest month, where twelve are not known"
    )
    monthly_mean_c: (
        Annotated[list[Annotated[float, Field(ge=-60, le=50)]], Field(min_length=12, max_length=12)] | None
    ) = _say("mean air temperature of January to December")
    monthly_rain_mm: (
        Annotated[list[Annotated[float, Field(ge=0, le=3000)]], Field(min_length=12, max_length=12)] | None
    ) = _say("rain of January to December")
    last_frost: MonthDay | None = _say("usual last frost of spring, month-day")
    first_frost: MonthDay | None = _say("usual first frost of autumn, month-day")
    weather_file: Text | None = _say(
        "file of daily low, high and rain, its path from the situation file's folder"
    )


class Dates(Part):
    """When: today, the date wanted, and the days when nobody may play or work."""

    today: Day | None = _say("the day that the advice is for")
    play_by: Day | None = _say("date by which the field is wanted")
    play_by_firm: bool | None = _say("the date cannot move")
    first_use: Literal["training", "matches"] | None = _say("what is wanted by that date")
    no_play: list[Span] | None = _say("days on which nobody plays")
    no_work: list[Span] | None = _say("days on which no work can be done")
    can_close: Literal["locked", "signs", "no"] | None = _say("how well the ground can be shut")


class Site(Part):
    """Ownership, neighbours and dangers."""

    owner_agrees: bool | None = _say("the owner of the ground agrees to the work")
    weeks_until_yes: float | None = _limits(0, 104, 1, "weeks until the owner's answer is there")
    school: bool | None = _say("school ground")
    public: bool | None = _say("open to the public")
    near_water_m: float | None = _limits(0, 1000, 10, "distance to a stream, pond or drain")
    services_marked: bool | None = _say("buried pipes and cables have been marked")
    goals_anchored: bool | None = _say("every goal is anchored, in use and in store")
    grazed: bool | None = _say("stock graze the ground or eat its clippings")
    in_use_now: bool | None = _say("somebody is playing on it these days")
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
                "none",
            ]
        ]
        | None
    ) = _say("dangers on the ground now")


class Ground(Part):
    """The field as a whole: size, soil, water in the soil, shape."""

    area_m2: float | None = _limits(1, 1_000_000, 100, "area of the field")
    length_m: float | None = _limits(1, 2000, 5, "length of the field")
    width_m: float | None = _limits(1, 2000, 5, "width of the field")
    soil: Literal["sand", "loam", "clay"] | None = _say("soil of the top spade's depth")
    rootzone: Literal["native", "sand cap", "sand built"] | None = _say("what the field was built of")
    topsoil_depth_mm: float | None = _limits(0, 1000, 25, "depth of topsoil")
    drainage: Literal["good", "slow", "poor"] | None = _say("how fast it drains after rain")
    water_stands_hours: float | None = _limits(0, 500, 6, "hours that water stands after heavy rain")
    crown: Literal["sound", "worn", "dished"] | None = _say("the middle against the sides")
    slope_percent: float | None = _limits(0, 100, 1, "steepest slope")
    soil_ph: float | None = _limits(3, 11, 0.5, "pH of the soil test")
    soil_phosphorus: Literal["low", "enough", "high", "untested"] | None = _say("phosphorus of the soil test")
    soil_salt: Literal["none", "some", "high"] | None = _say("salt in the soil")
    lime_g_m2: float | None = _limits(0, 5000, 50, "lime that the report of the soil test asks for")
    sun_hours: float | None = _limits(0, 16, 1, "hours of sun on a clear day in the growing season")


class Use(Part):
    """One use of the field."""

    sport: Code | None = _say("sport")
    months: list[MonthName] | None = _say("months of play")
    hours_per_week: float | None = _limits(0, 112, 2, "hours a week in those months")
    players: Literal["adult", "youth"] | None = _say("who plays")


class Standing(Part):
    """A grass that stands in a zone."""

    grass: Code = Field(description="species")
    share_percent: Percent | None = _say("share of the living cover")
    state: Literal["green", "dormant", "dead"] | None = _say("its state now")


class Zone(Part):
    """A part of the field that gets its own answer."""

    name: Text = Field(description="name of the zone")
    area_m2: float | None = _limits(1, 1_000_000, 50, "area of the zone")
    share_percent: float | None = _limits(0.1, 100, 5, "share of the field")
    keep_off: bool | None = _say("nothing is to be done here")
    in_play: bool | None = _say("it stays in play during the work")
    bare_percent: float | None = _limits(0, 100, 10, "bare ground")
    bare_pattern: Literal["scattered", "solid"] | None = _say("bare spots scattered thin, or solid patches")
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
    ) = _say("shape of the bad ground")
    began: (
        Literal[
            "play weeks", "one wet match", "snow melt", "first heat", "late summer", "after sowing", "after spraying", "flood",
            "spring green-up",
        ]
        | None
    ) = _say("when it began")  # fmt: skip
    screwdriver: Literal["deep", "half", "shallow"] | None = _say(
        "how far a screwdriver goes into moist soil"
    )
    tug: Literal["holds", "lifts", "tears"] | None = _say("what the turf does when it is pulled")
    roots_mm: float | None = _limits(0, 500, 25, "depth of the roots")
    grass: list[Standing] | None = _say("grasses that stand here")
    weeds_percent: float | None = _limits(0, 100, 10, "weeds")
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
                "broadleaf",
                "none",
            ]
        ]
        | None
    ) = _say("kinds of weed")
    thatch_mm: float | None = _limits(0, 150, 5, "thickness of thatch")
    stones: Literal["none", "some", "many"] | None = _say("stones in the top of the bed")
    compaction: Literal["loose", "firm", "hard"] | None = _say("how hard the ground is when moist")
    pests: (
        list[
            Literal[
                "grubs",
                "leatherjackets",
                "armyworm",
                "mole crickets",
                "chinch bugs",
                "birds",
                "rabbits",
                "moles",
                "none",
            ]
        ]
        | None
    ) = _say("pests seen")
    cause: Cause | None = _say("the user's own idea of the cause")
    sun_hours: float | None = _limits(0, 16, 1, "hours of sun on a clear day in the growing season")


class Now(Part):
    """What was seen on the ground, and when."""

    ground: Literal["open", "soft", "waterlogged", "frozen", "snow"] | None = _say("state of the ground")
    soil_temp_c: float | None = _limits(-20, 50, 1, "soil temperature")
    soil_depth_mm: float | None = _limits(10, 300, 10, "depth at which it was read")
    day_temp_c: float | None = _limits(-40, 55, 1, "warmest of the day")
    night_temp_c: float | None = _limits(-50, 45, 1, "coldest of the night")
    rain_24h_mm: float | None = _limits(0, 1000, 5, "rain of the last day")
    flooded_days: float | None = _limits(0, 365, 1, "days under water")


class Sprayed(Part):
    """A weed killer that was used."""

    kind: HerbicideClass = Field(alias="class", description="class of the product")
    date: Day = Field(description="day of use")
    zone: Text | None = _say("zone; all where not told")


class Fed(Part):
    """A feed that was given."""

    date: Day = Field(description="day of use")
    n_g_m2: float | None = _limits(0, 100, 1, "nitrogen")
    zone: Text | None = _say("zone; all where not told")


class Sown(Part):
    """A sowing that was made."""

    grass: Code | None = _say("grass")
    date: Day = Field(description="day of sowing")
    zone: Text | None = _say("zone; all where not told")


class SodLaid(Part):
    """Sod that was laid."""

    thickness_mm: float | None = _limits(5, 100, 5, "thickness of its soil")
    date: Day = Field(description="day of laying")
    zone: Text | None = _say("zone; all where not told")


class History(Part):
    """What was done to the ground; an empty list says that nothing was."""

    herbicides: list[Sprayed] | None = _say("weed killers used in the last year")
    fertilizers: list[Fed] | None = _say("feeds given in the last year")
    sown: list[Sown] | None = _say("sowings of the last year")
    sod_laid: list[SodLaid] | None = _say("sod laid in the last year")


class Means(Part):
    """Water, machines, hands and money."""

    water: Literal["none", "hand hose", "travelling sprinkler", "in-ground sprinklers"] | None = _say(
        "means of watering"
    )
    water_quality: Literal["fresh", "reclaimed", "salty"] | None = _say("kind of water")
    flow_l_min: float | None = _limits(0.5, 5000, 10, "flow: bucket litres by minutes to fill it")
    hose_reach_m: float | None = _limits(0, 500, 10, "reach of the hose")
    wettings_weekday: float | None = _limits(0, 12, 1, "times a weekday that somebody can water")
    wettings_weekend: float | None = _limits(0, 12, 1, "times a weekend day that somebody can water")
    watering_hours_day: float | None = _limits(0, 24, 1, "hours a day that water can run")
    equipment_own: list[Equipment] | None = _say("machines and tools at hand")
    equipment_hire: list[Equipment] | None = _say("machines that can be hired")
    contractor: bool | None = _say("a contractor can be paid")
    helpers: int | None = _limits(0, 200, 1, "people who help")
    work_hours_per_week: float | None = _limits(0, 2000, 4, "hours a week of all hands together")
    licensed_applicator: bool | None = _say("a licensed person sprays")
    budget: float | None = _limits(0, 100_000_000, 500, "money there is")
    currency: Annotated[str, Field(pattern=r"^[A-Z]{3}$")] | None = _say("currency code, as USD")
    wage_per_hour: float | None = _limits(0, 10_000, 5, "what an hour of paid work costs")


class Offer(Part):
    """Something that can be had, as the seller says."""

    what: OfferKind = Field(description="what is offered")
    grass: Code | None = _say("grass")
    mixture: Code | None = _say("mixture")
    thickness_mm: float | None = _limits(5, 100, 5, "thickness of the sod's soil")
    grown_on: Literal["sand", "loam", "silt", "clay", "peat"] | None = _say("soil that the sod was grown on")
    amount: float | None = _limits(0, 1_000_000, 10, "amount")
    unit: Code | None = _say("unit of the amount and the price")
    price: float | None = _limits(0, 1_000_000, 1, "price for one unit")
    lead_days: float | None = _limits(0, 1000, 7, "days from order to delivery")
    purity: Percent | None = _say("percent of pure seed")
    germination: Percent | None = _say("percent that germinates")
    treated: bool | None = _say("treated with a fungicide")
    tool: Equipment | None = _say("machine or tool, where what is hire")
    pack: float | None = _limits(0.001, 100_000, 5, "amount of the unit in one bag, roll, bale or pallet")
    analysis: Annotated[list[Percent], Field(min_length=3, max_length=3)] | None = _say(
        "the three numbers on a bag of fertilizer: N, P2O5, K2O in percent"
    )
    bushel_l: float | None = _limits(1, 100, 1, "litres of the seller's bushel")


class Limits(Part):
    """What law and owner allow; the user's own word beats the tables."""

    pesticides: Literal["allowed", "licensed only", "banned"] | None = _say("weed and pest killers here")
    phosphorus_law: Literal["allowed", "soil test needed", "banned"] | None = _say("phosphorus here")
    water_law: Literal["none", "restricted days", "banned"] | None = _say("watering rules here")


class Wishes(Part):
    """What the person wants first, and what they had in mind."""

    first: list[Wish] | None = _say("wishes, the strongest first")
    grass: Code | None = _say("grass that they had in mind")
    method: Method | None = _say("method that they had in mind")
    avoid: list[Code] | None = _say("grasses or methods to avoid")


class Proposal(Part):
    """A step that the person means to take."""

    step: Step = Field(description="what is to be done")
    zone: Text | None = _say("zone; all where not told")
    method: Method | None = _say("method")
    grass: Code | None = _say("grass")
    mixture: Code | None = _say("mixture")
    start: Day | None = _say("day; today where not told")
    depth_mm: float | None = _limits(0, 1000, 5, "depth or thickness")
    amount: float | None = _limits(0, 100_000, 5, "amount")
    unit: Code | None = _say("unit of the amount, as g-m2 or lb-1000ft2")
    kind: HerbicideClass | None = Field(default=None, alias="class", description="class of the product")
    time_of_day: Literal["before sunrise", "morning", "midday", "afternoon", "evening", "night"] | None = (
        _say("time of day")
    )
    wind: Literal["calm", "breeze", "strong"] | None = _say("wind")
    material: Literal["sand", "topsoil", "compost", "same as field"] | None = _say("material")
    tool: (
        Literal[
            "light roller",
            "heavy roller",
            "vibrating roller",
            "hollow tine",
            "solid tine",
            "slit seeder",
            "scarifier",
            "tiller",
        ]
        | None
    ) = _say("tool")
    mowings: int | None = _limits(0, 100, 1, "mowings since sowing")
    cover_percent: Percent | None = _say("living cover by count")
    tug: Literal["holds", "tears"] | None = _say("what the turf does when it is pulled")
    storm_due: Literal["yes", "no"] | None = _say("heavy rain is forecast")
    height_mm: float | None = _limits(0, 300, 10, "height of the grass now")
    takes_percent: Percent | None = _say("share of the leaf that the cut takes")
    sow_in_weeks: float | None = _limits(0, 60, 2, "weeks from a spray to the next sowing")
    feed: Literal["quick nitrogen", "slow nitrogen", "starter", "potassium only"] | None = _say(
        "kind of feed"
    )
    law_checked: Literal["allowed", "forbidden"] | None = _say(
        "what today's law says of this step here, as you found it"
    )


class Done(Part):
    """Something that was done: a task of the plan, a step, or an entry of the diary."""

    task: Code = Field(
        description="task of the plan, a step as mow or spray, or delivery, seed-tag, inspection, work-stopped"
    )
    date: Day = Field(description="day on which it was done")
    zone: Text | None = _say("zone; all where not told")
    amount: float | None = _limits(0, 1_000_000, 1, "amount")
    unit: Text | None = _say("unit of the amount")
    passed: bool | None = _say("it was found in order")
    by: (
        Literal[
            "owner",
            "groundskeeper",
            "coach",
            "referee",
            "volunteer",
            "contractor",
            "licensed person",
            "council",
        ]
        | None
    ) = _say("who did or decided it: a role, never a name")
    note: Text | None = _say("a note")


class Checked(Part):
    """A check before opening that was made."""

    check: Code = Field(description="check, as tug or cover-count")
    date: Day = Field(description="day of the check")
    zone: Text | None = _say("zone; all where not told")
    value: float | None = _limits(0, 100_000, 1, "what was counted or measured, in the check's own unit")
    passed: bool | None = _say("whether it passed, where nothing is measured")


class Seen(Part):
    """A sign that new grass is failing."""

    sign: Code = Field(description="sign, as washout or damping-off")
    date: Day = Field(description="day on which it was seen")
    zone: Text | None = _say("zone; all where not told")
    extent_percent: float | None = _limits(0, 100, 10, "share of the zone that shows it")


class Ongoing(Part):
    """New grass that was begun and is being tended."""

    zone: Text | None = _say("zone; all where not told")
    method: Method = Field(description="method")
    grass: Code | None = _say("grass")
    mixture: Code | None = _say("mixture")
    variant: Code | None = _say("variant: dormant, winter-overseed or pregerminated; plain where not told")
    start: Day = Field(description="day on which it was sown, laid or planted")
    thickness_mm: float | None = _limits(5, 100, 5, "thickness of the sod's soil")

    @model_validator(mode="after")
    def _one_plant(self) -> Ongoing:
        if (self.grass is None) == (self.mixture is None):
            raise ValueError(
                "names no grass; write grass or mixture, one of them"
                if self.grass is None
                else "names a grass and a mixture; keep one of them"
            )
        if self.thickness_mm is not None and self.method not in ("thin-sod", "thick-sod"):
            raise ValueError(f"thickness_mm is of sod, and the method is {self.method}; take it out")
        return self


WHOLE_FIELD: Final = "whole field"
EVERYWHERE: Final = ("all", "field", "whole-field")


class Situation(Part):
    """All that is known; see the modules' tables for the keys. A field without zones is one zone, "whole field"."""

    place: Place = Place()
    dates: Dates = Dates()
    site: Site = Site()
    field: Ground = Ground()
    use: list[Use] | None = Field(default=None, max_length=24)
    zone: list[Zone] = Field(default_factory=list, max_length=16)
    now: Now = Now()
    history: History = History()
    means: Means = Means()
    offer: list[Offer] | None = Field(default=None, max_length=40)
    limits: Limits = Limits()
    wishes: Wishes = Wishes()
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
            own = set(_metric(field, {**ground, **Zone.model_fields})) - set(ground)
            moved = {
                key: value
                for key, value in field.items()
                if _metric({key: 0}, {**ground, **Zone.model_fields}).keys() & own & set(Zone.model_fields)
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

    @model_validator(mode="after")
    def _no_contradiction(self) -> Situation:
        for wrong in contradictions(self):
            raise ValueError(wrong)
        return self


def contradictions(s: Situation) -> Iterator[str]:
    """What in the situation cannot all be true, in words that say what to change."""
    dates, means = s.dates, s.means
    yield from _contradictions_of_place(s.place)
    for number, offer in enumerate(s.offer or [], 1):
        yield from _contradictions_of_offer(f"offer[{number}]", offer)
    if dates.today and dates.play_by and dates.play_by < dates.today:
        yield f"dates.play_by ({dates.play_by}) lies before dates.today ({dates.today}); write a date still to come"
    if means.water == "none" and means.flow_l_min:
        yield 'means.water is "none" but means.flow_l_min gives a flow; write how the field is watered, or leave the flow out'
    if means.water == "none" and "travelling-sprinkler" in (means.equipment_own or []):
        yield 'means.water is "none" but a travelling sprinkler is at hand; write means.water = "travelling sprinkler", or take it off the list'
    if s.site.dangers and "none" in s.site.dangers and len(s.site.dangers) > 1:
        yield 'site.dangers names dangers and "none"; take one of them out'
    shares = [zone.share_percent for zone in s.zone if zone.share_percent is not None]
    if sum(shares) > 100.5:
        yield f"the zones' share_percent add up to {sum(shares):g}; together they are at most 100"
    if s.field.area_m2 and s.field.length_m and s.field.width_m:
        product = s.field.length_m * s.field.width_m
        if not math.isclose(product, s.field.area_m2, rel_tol=0.25):
            yield (
                f"field.area_m2 ({s.field.area_m2:g}) is far from length times width ({product:g}); "
                "leave one of them out, or check the unit"
            )
    for zone in s.zone:
        parts = (zone.bare_percent or 0) + (zone.weeds_percent or 0)
        if parts > 100:
            yield f"zone {zone.name!r}: bare and weeds together are {parts:g} percent; together they are at most 100"
        if zone.area_m2 and s.field.area_m2 and zone.area_m2 > 1.05 * s.field.area_m2:
            yield f"zone {zone.name!r} ({zone.area_m2:g} m2) is larger than the field ({s.field.area_m2:g} m2); check the unit"
        green = sum(g.share_percent or 0 for g in zone.grass or [])
        if green > 100.5:
            yield f"zone {zone.name!r}: the grasses' shares add up to {green:g}; together they are at most 100"
    names = {coded(zone.name) for zone in s.zone}
    named = (
        [p.zone for p in s.proposal]
        + [h.zone for h in (s.history.herbicides or [])]
        + [h.zone for h in (s.history.sown or [])]
    )
    for name in named:
        if name is not None and coded(name) not in names and coded(name) not in EVERYWHERE:
            yield f"zone {name!r} is not among the zones ({', '.join(zone.name for zone in s.zone)}); write one of those"
    yield from _contradictions_of_record(s, names)


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


def _contradictions_of_record(s: Situation, names: set[str]) -> Iterator[str]:
    """Days to come, zones that there are not, and two programmes in one zone."""
    for name, zone, date in recorded(s):
        if s.dates.today is not None and date > s.dates.today:
            yield f"{name} is of {date}, which lies after dates.today ({s.dates.today}); write a day that has come"
        if zone is not None and coded(zone) not in names and coded(zone) not in EVERYWHERE:
            yield f"{name}: zone {zone!r} is not among the zones ({', '.join(each.name for each in s.zone)}); {meant(coded(zone), names) or 'write one of those'}"
    for each in names:
        rows = [row for row in s.ongoing if of_zone(row.zone, each, names)]
        if len(rows) > 1:
            yield f"two ongoing programmes are told for zone {each!r}; keep the one that stands, and write the other under [[history.sown]]"


def of_zone(told: str | None, zone: str, zones: Iterable[str]) -> bool:
    """Whether what is told of a zone, or of the field where no zone has that name, is about this one."""
    return told is None or coded(told) == zone or (coded(told) in EVERYWHERE and coded(told) not in zones)


# What a price, an amount or a pack may be counted in; a code writes / as -.
OFFER_UNITS: Final = (
    "kg", "g", "lb", "oz", "t", "m2", "ft2", "yd2", "square-metre", "square-foot", "square-yard", "1000-ft2", "1000ft2", "acre", "ha", "m3", "ft3", "yd3", "l", "litre", "gal",
    "bushel", "bu", "m", "ft", "yd", "each", "plug", "piece", "hour", "day", "week", "job", "load", "bag", "bale", "roll", "pallet",
)  # fmt: skip


def _contradictions_of_offer(name: str, offer: Offer) -> Iterator[str]:
    """Keys of an offer that say nothing of what is offered, or lack their unit."""
    if offer.unit is not None and offer.unit not in OFFER_UNITS:
        yield f"{name}.unit is {offer.unit!r}, which is no unit of sale; {meant(offer.unit, OFFER_UNITS) or 'write kg, lb, m2, ft2, m3, l, each, hour or day'}"
    if offer.pack is not None and offer.unit is None:
        yield f'{name}.pack stands without a unit; write unit = "kg" and pack = 25 for a bag of 25 kg'
    for key, value, kinds in (
        ("tool", offer.tool, ("hire",)), ("analysis", offer.analysis, ("fertilizer",)), ("bushel_l", offer.bushel_l, ("sprigs",)),
        ("purity", offer.purity, ("seed", "hydromulch")), ("germination", offer.germination, ("seed", "hydromulch")),
    ):  # fmt: skip
        if value is not None and offer.what not in kinds:
            yield f"{name}.{key} is of {' or '.join(kinds)}, and this offer is of {offer.what}; take it out, or write what = {kinds[0]!r}"
    if offer.what == "hire" and offer.tool is None:
        yield f'{name} is of a hire and names no tool; write tool = "slit seeder" or another'
    if offer.analysis is not None and not 0 < sum(offer.analysis) <= 100:
        yield f"{name}.analysis adds up to {sum(offer.analysis):g} percent; write the three numbers on the bag, as [18, 24, 12]"


def _contradictions_of_place(place: Place) -> Iterator[str]:
    warmest, coldest = place.warmest_month_c, place.coldest_month_c
    if warmest is not None and coldest is not None and warmest < coldest:
        yield f"place.warmest_month_c ({warmest:g}) is colder than place.coldest_month_c ({coldest:g}); change them over"
    if place.monthly_mean_c and (warmest is not None or coldest is not None):
        yield "place.monthly_mean_c says the warmest and the coldest month already; leave warmest_month_c and coldest_month_c out"
    if place.latitude and place.hemisphere and (place.latitude < 0) != (place.hemisphere == "south"):
        yield (
            f"place.latitude ({place.latitude:g}) lies in the {'south' if place.latitude < 0 else 'north'}, but place.hemisphere says {place.hemisphere}; "
            "south is negative, or leave hemisphere out"
        )


def _path(loc: tuple[Any, ...]) -> str:
    text = ""
    for part in loc:
        text += f"[{part + 1}]" if isinstance(part, int) else f".{part}" if text else str(part)
    return text


def _model_at(loc: tuple[Any, ...]) -> type[BaseModel] | None:
    """The model that holds the last name of `loc`."""
    model: type[BaseModel] = Situation
    for part in loc[:-1]:
        if isinstance(part, int):
            continue
        field = model.model_fields.get(str(part)) or next(
            (f for f in model.model_fields.values() if f.alias == part), None
        )
        if field is None:
            return None
        inner = _model_in(field.annotation)
        if inner is None:
            return None
        model = inner
    return model


def _model_in(annotation: Any) -> type[BaseModel] | None:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    for part in get_args(annotation):
        if found := _model_in(part):
            return found
    return None


def _keys(model: type[BaseModel]) -> list[str]:
    return [field.alias or name for name, field in model.model_fields.items()]


def _instead(error: Mapping[str, Any], loc: tuple[Any, ...]) -> tuple[str, str]:
    """What is wrong with one value and what to write instead, in plain words."""
    kind, value, extra = error["type"], error.get("input"), error.get("ctx") or {}
    shown = clean(str(value))[:40] if isinstance(value, (str, int, float, bool, dt.date)) else "this"
    model = _model_at(loc)
    if kind == "extra_forbidden":
        known = _keys(model) if model else []
        twins = [
            key.removesuffix(metric) + us
            for key in known
            for us, metric, _, _ in _TWINS
            if key.endswith(metric)
        ]
        key = str(loc[-1])
        return f"{key!r} is not a key here", meant(key, [*known, *twins]) or "Known keys: " + ", ".join(
            sorted(known)
        )
    if kind == "missing":
        return f"{loc[-1]!r} is missing", "Write it, or leave the whole table out"
    if kind == "literal_error":
        field = model.model_fields.get(str(loc[-1])) if model else None
        words = (
            _levels(field.annotation)
            if field
            else tuple(re.findall(r"'([^']*)'", str(extra.get("expected", ""))))
        )
        return f"{shown!r} is not one of its words", meant(shown, words) or "Write one of: " + ", ".join(
            words
        )
    if kind in ("less_than_equal", "greater_than_equal", "less_than", "greater_than"):
        bound = extra.get("le", extra.get("ge", extra.get("lt", extra.get("gt"))))
        side = "at most" if "less" in kind else "at least"
        unit = str(loc[-1]).rpartition("_")[2]
        return f"{shown} is out of range", f"It is {side} {bound:g}; check the unit ({unit})"
    if kind in ("float_parsing", "float_type", "int_parsing", "int_type", "int_from_float"):
        return f"{shown!r} is not a number", "Write a plain number; the unit stands in the key's name"
    if kind in ("bool_parsing", "bool_type"):
        return f"{shown!r} is neither true nor false", "Write true or false without quotes"
    if kind in ("list_type",):
        return "this takes a list", 'Write it in brackets: ["…", "…"]'
    if kind == "too_long":
        return (
            f"this list has {extra.get('actual_length')} entries",
            f"It may have {extra.get('max_length')}; join those that are alike",
        )
    if kind == "too_short":
        return (
            f"this list has {extra.get('actual_length')} entries",
            f"It needs {extra.get('min_length', extra.get('max_length'))}",
        )
    if kind in ("model_type", "model_attributes_type", "dict_type"):
        return (
            f"{shown!r} stands where a table belongs",
            f"Write [{loc[-1]}] on a line of its own and its keys below",
        )
    if kind == "finite_number":
        return "this is not a finite number", "Write a plain number"
    if kind == "value_error":
        first, _, rest = str(extra.get("error", "")).partition("; ")
        said = first if not isinstance(value, str) else f"{shown!r} {first}"
        return said, (rest[:1].upper() + rest[1:]) if rest else ""
    if kind == "string_pattern_mismatch":
        return f"{shown!r} does not have the right form", "See the key's meaning in the README"
    return f"{shown!r}: {str(error['msg']).lower()}", ""


def situation_from_dict(
    data: Mapping[str, Any], lines: Lines | None = None, name: str = "situation"
) -> Situation:
    """The situation that a nested table gives; SituationError says the first thing that is wrong and its place.

    `lines` gives line numbers where the table was read from a file called `name`.
    """
    try:
        return Situation.model_validate(data)
    except ValidationError as error:
        problems = error.errors(include_url=False)
        first = problems[0]
        loc = tuple(
            part
            for part in first["loc"]
            if not (isinstance(part, str) and ("[" in part or part in ("list", "float")))
        )
        wrong, instead = _instead(first, loc)
        if lines and loc[:2] == ("zone", 0) and ("zone", 0) not in lines.at:
            loc = ("field", *loc[2:])
        line = lines.find(loc) if lines else 0
        where = f"{name}, line {line}" if line else name
        path = _path(loc)
        more = len({p["loc"] for p in problems}) - 1
        tail = f" ({more} more below it)" if more > 0 else ""
        raise SituationError(
            f"{path}: {wrong}" if path else wrong, where=where, instead=(instead + tail).strip()
        ) from None
    except RecursionError:
        raise SituationError(
            "the tables are nested too deeply", where=name, instead="Write the keys as the README lists them"
        ) from None


def read_situation(text: str | bytes, name: str = "situation") -> Situation:
    """The situation that a TOML or JSON text gives; SituationError where it is not one."""
    if len(text) > MOST_BYTES:
        raise SituationError(
            f"this has {len(text):,} bytes",
            where=name,
            instead="A situation file is a few thousand bytes of text",
        )
    if isinstance(text, bytes):
        if b"\0" in text:
            raise SituationError("this is not text", where=name, instead="Write a TOML or JSON file")
        try:
            text = text.decode("utf-8-sig")
        except UnicodeDecodeError:
            raise SituationError("this is not UTF-8 text", where=name, instead="Save it as UTF-8") from None
    if not text.strip():
        raise SituationError(
            "this is empty",
            where=name,
            instead='Write at least [place] name = "…" and what is wrong with the field',
        )
    if too_deep(text):
        raise SituationError(
            "the brackets are nested too deeply",
            where=name,
            instead="Write the keys as the README lists them",
        )
    lines: Lines | None = None
    try:
        if text.lstrip().startswith("{"):
            data = json.loads(text, parse_constant=_no_constant)
        else:
            data = tomllib.loads(text)
            lines = Lines(text)
    except json.JSONDecodeError as error:
        raise SituationError(
            f"this is not JSON: {error.msg}",
            where=f"{name}, line {error.lineno}",
            instead="Check commas and quotes there",
        ) from None
    except tomllib.TOMLDecodeError as error:
        place = re.search(r"line (\d+)", str(error))
        said = re.sub(r"\s*\(at .*\)$", "", str(error))
        raise SituationError(
            f"this is not TOML: {said[:1].lower()}{said[1:]}",
            where=f"{name}, line {place[1]}" if place else name,
            instead='Write key = value, texts in "quotes", dates as 2026-05-20',
        ) from None
    except (ValueError, RecursionError) as error:
        raise SituationError(
            f"this cannot be read: {clean(str(error))}", where=name, instead="Write it as TOML or JSON"
        ) from None
    if not isinstance(data, dict):
        raise SituationError(
            "this is not a table of keys", where=name, instead="Write the keys as the README lists them"
        )
    return situation_from_dict(data, lines, name)


def _no_constant(word: str) -> float:
    raise ValueError(f"{word} is not a number that can be used")
