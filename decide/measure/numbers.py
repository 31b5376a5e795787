"""Names every value that the measures read, and gathers them into one frozen set of numbers."""

import dataclasses
from collections.abc import Callable, Mapping
from types import MappingProxyType

from decide.measure import classes, growth, seed, soil, water, wetting, windows
from decide.measure import climate as cl
from decide.measure import weather as daily
from decide.measure.past import OddsNumbers
from decide.model.climates import CLIMATES

# every reason that a window can give, so that the audit can miss its sentence
EDGE_CODES = (*windows.EDGES, *windows.EMPTIES, "not-for-this-climate")

_NEED_STAGES = ("first-cut", "cover", "rooted", "light-use", "full-play")
_WEEK_STAGES = ("cover", "rooted", "light-use", "full-play")
_PARTS = ("early", "middle", "late")
_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_MADE_FROM = ("seed", "sod", "vegetative")

KnowledgeValue = Callable[[str, str], float | None]

_CLIMATE = {
    "place_reach_km": "place-reach",
    "namesake_ratio": "namesake-ratio",
    "lapse_c_per_100_m": "lapse",
    "town_lapse_c_per_100_m": "lapse-towns",
    "town_height_least_m": "town-height-least",
    "town_height_whole_m": "town-height-whole",
    "table_miss_c": "table-miss",
    "height_miss_c": "town-height-miss",
    "spread_start": "spread-start",
    "spread_share": "spread-share",
    "frost_start": "frost-normal",
    "frost_per_degree": "frost-normal-by-latitude",
    "tropics_latitude": "tropics-latitude",
    "frost_tropics": "frost-normal-tropics",
    "killing_frost_below": "killing-frost-below",
    "frost_some_years_band": "frost-some-years",
    "frost_doubt_mean_days": "frost-doubt",
    "frost_doubt_wide_days": "frost-doubt-wide",
    "frost_year_spread_days": "frost-year-spread",
    "latitude_when_unknown": "latitude-when-unknown",
}
_CLASSES = {
    "too_cold_warmest": "class-too-cold",
    "tropical_coldest": "class-tropical",
    "warm_warmest": "class-warm-warmest",
    "warm_coldest": "class-warm-coldest",
    "warm_sum": "class-warm-sum",
    "mild_warmest": "class-mild-warmest",
    "mild_coldest": "class-mild-coldest",
    "mild_cool_warmest": "class-mild-cool-warmest",
    "mild_cool_coldest": "class-mild-cool-coldest",
    "mild_hottest": "class-mild-hottest",
    "cool_transition_heat": "class-cool-transition",
    "transition_heat": "class-transition",
    "warm_transition_heat": "class-warm-transition",
    "dry_warm_warmest": "class-dry-warm-warmest",
    "dry_warm_coldest": "class-dry-warm-coldest",
    "dry_warm_sum": "class-dry-warm-sum",
    "dry_transition_heat": "class-dry-transition",
    "dry_warm_transition_heat": "class-dry-warm-transition",
    "semi_dry_rain_share": "class-semi-dry-rain",
    "semi_dry_summer_share": "class-semi-dry-summer",
    "dry_summer_share": "dry-summer-share",
    "dry_summer_warm_half": "dry-summer-warm-half",
    "dry_summer_doubt": "dry-summer-doubt",
    "doubt_c": "class-doubt",
    "doubt_rain_share": "class-doubt-rain",
    "stretch_c": "class-stretch",
}
_CURVES = {
    "cool_base": "cool-growth-base",
    "cool_full": "cool-growth-full",
    "cool_falls": "cool-growth-falls",
    "cool_stops": "cool-growth-stops",
    "warm_base": "warm-growth-base",
    "warm_full": "warm-growth-full",
    "cool_root_base": "cool-root-base",
    "cool_root_full": "cool-root-full",
    "cool_root_falls": "cool-root-falls",
    "cool_root_stops": "cool-root-stops",
    "warm_root_base": "warm-root-base",
    "warm_root_full": "warm-root-full",
    "germination_stops": "germination-full",
}
_RULES = {
    "year_shift": "year-shift",
    "long_wait_days": "long-wait",
    "long_wait_share": "long-wait-share",
    "gate_coldest_c": "gate-coldest",
    "gate_lost": "gate-lost",
    "gate_safe": "gate-safe",
    "gate_hard_c": "gate-hard",
    "gate_mild_c": "gate-mild",
    "gate_mild_heat": "autumn-close-heat",
    "hardy_limit_c": "ryegrass-hard-winter",
    "warm_lost": "warm-gate-lost",
    "warm_safe": "warm-gate-safe",
    "warm_best": "warm-gate-best",
    "warm_winter_spreads": "warm-winter-spreads",
    "warm_kill_c": "warm-winter-kills",
    "warm_mild_c": "warm-winter-spares",
    "delay_reference": "delay-reference",
    "delay_within_days": "delay-within",
    "delay_early": "delay-early",
    "delay_middle": "delay-middle",
    "delay_late": "delay-late",
    "full_fixtures_share": "full-fixtures-share",
    "weeks_with_winter": "weeks-with-winter",
    "growth_end_c": "growth-end",
    "plug_gap_cm": "plug-gap-usual",
    "thick_sod_days": "thick-sod-ready",
    "mows_light": "opening-mows-light",
    "mows_full": "opening-mows-full",
    "cut_every_days": "every-cut",
    "cut_quick_days": "every-cut-quick",
}
_BY_SEASON = {"least": "growth-least", "usual": "germination-usual", "full": "growing-week-heat"}
_WINDOWS = {
    "stress_below_peak": "stress-below-peak",
    "stress_most_c": "stress-most",
    "stress_least_c": "stress-least",
    "spring_before_frost_days": "spring-before-frost",
    "spring_close_heat": "spring-close-heat",
    "spring_close_peak_c": "spring-close-peak",
    "spring_close_by_peak": "spring-close-by-peak",
    "dormant_opens_c": "dormant-opens",
    "dormant_closes_c": "dormant-closes",
    "maritime_rises_c": "mild-season-opens",
    "maritime_falls_c": "mild-season-ends",
    "maritime_summer_peak_c": "mild-summer-peak",
    "summer_peak_c": "summer-peak",
    "warm_after_frost_days": "warm-after-frost",
    "warm_rises_c": "warm-rises",
    "warm_close_share": "warm-close-share",
    "warm_good_share": "warm-good-share",
    "warm_sod_opens_share": "warm-sod-opens",
    "sod_weeks": "sod-root-weeks",
    "warm_sod_weeks_most": "warm-sod-root-weeks-most",
    "rain_weeks": "rain-fed-weeks",
    "frozen_ground_c": "frozen-ground",
    "overseed_opens_c": "overseed-opens",
    "overseed_peak_c": "overseed-opens-peak",
    "overseed_opens_by_peak": "overseed-opens-by-peak",
    "overseed_closes_c": "overseed-closes",
    "overseed_span_c": "overseed-span",
    "overseed_fair_closes_c": "overseed-fair-closes",
}
_SOIL = {"damping_m": "soil-damping-year", "doubt_c": "soil-doubt"}
_WATER = {
    "day_range_usual": "day-range-usual",
    "efficiency": "irrigation-efficiency",
    "doubt_share": "water-need-doubt",
    "rain_lost_share": "effective-rain-lost",
    "rain_bend_mm": "effective-rain-bend",
    "rain_beyond_share": "effective-rain-beyond",
}
_WET_DAYS = {"cold_mm": "wet-day-rain-cold", "warm_mm": "wet-day-rain-warm", "warm_c": "wet-day-warm"}
_WEATHER = {
    "years_least": "weather-years-least",
    "month_missing": "weather-month-missing",
    "frost_c": "air-frost",
}
_ODDS = {
    "years_least": "odds-years-least",
    "gap_most": "odds-gap-most",
    "growth_days": "odds-growth-days",
    "shift_share": "odds-year-shift-share",
    "frost_c": "air-frost",
    "washout_days": "washout-days",
}
_NUTRIENTS = {
    "phosphorus_in_phosphate": "phosphorus-in-phosphate",
    "potassium_in_potash": "potassium-in-potash",
}
_BY_GRASS = (
    "germination-base", "germination-heat", "germination-days-low", "germination-days-high",
    "seed-waits-for-spring", "warm-close-heat", "warm-good-heat", "warm-sod-roots",
    "warm-after-frost-own",
    *(f"plug-heat-{part}" for part in _PARTS),
)  # fmt: skip

NEEDED: frozenset[str] = frozenset((
    *_CLIMATE.values(), *_CLASSES.values(), *_CURVES.values(), *_RULES.values(), *_WINDOWS.values(),
    *_SOIL.values(), *_WATER.values(), *_WEATHER.values(), *_ODDS.values(), "washout-rain",
    *_NUTRIENTS.values(), *_WET_DAYS.values(), *_BY_GRASS, *_BY_SEASON.values(),
    "soil-planting-depth", "sand-density", "turf-coefficient", "turf-coefficient-month",
    "day-range", "claim-weeks-low",
    "claim-weeks-high", *(f"heat-{stage}-{part}" for stage in _NEED_STAGES for part in _PARTS),
    *(f"floor-{stage}" for stage in _NEED_STAGES),
    *(f"weeks-{stage}-{part}" for stage in _WEEK_STAGES for part in ("early", "late")),
    *(f"places-{stage}" for stage in _NEED_STAGES), "places-enough", "asked-full-play-low",
    "asked-full-play-high", "full-after-light", "readiness-miss",
    "first-cut-after-low", "first-cut-after-high", "sprig-damp-days-low", "sprig-damp-days-high",
))  # fmt: skip


@dataclasses.dataclass(frozen=True)
class Names:
    """Which grasses and methods there are.

    `mixtures` gives the grass that a mixture germinates as, and has its windows as; `like` the grass whose
    window numbers stand in for one without its own.
    """

    cool: tuple[str, ...]
    warm: tuple[str, ...]
    mixtures: Mapping[str, str]
    like: Mapping[str, str]
    methods: tuple[str, ...]

    @property
    def plants(self) -> tuple[str, ...]:
        """All grasses and mixtures."""
        return (*self.cool, *self.warm, *self.mixtures)

    @property
    def keys(self) -> tuple[str, ...]:
        """Every grass or mixture with every start, as growth is measured by it."""
        return tuple(f"{plant}/{start}" for plant in self.plants for start in growth.STARTS)


@dataclasses.dataclass(frozen=True)
class GrowthConstants:
    """All numbers of the measures. `claims` holds sellers' weeks to play (least, most) by grass and start.

    `places_enough` is the number of places with published cases from which nothing is said of how few there
    are.
    """

    climate: cl.ClimateNumbers
    classes: classes.ClassNumbers
    curves: growth.Curves
    rules: growth.GrowthRules
    plants: growth.Plants
    windows: windows.WindowNumbers
    soil: soil.SoilNumbers
    water: water.WaterNumbers
    wet_days: wetting.WetDayNumbers
    weather: daily.WeatherNumbers
    odds: OddsNumbers
    nutrients: seed.NutrientNumbers
    sand_density: float
    claims: Mapping[str, tuple[float, float]]
    places_enough: float

    def site(
        self,
        of: cl.Climate,
        typed_first_frost: int | None = None,
        typed_last_frost: int | None = None,
        record: daily.Record | None = None,
    ) -> growth.Site:
        """A site of this climate, with frost days of the year that the user typed, if any.

        A record of daily weather gives the day-to-day spread and, where none was typed, the frost days and
        their doubt.
        """
        first, last = typed_first_frost, typed_last_frost
        if record is not None:
            first, last = first or record.first_frost, last or record.last_frost
        site = growth.Site(of, self.climate, self.curves, self.rules, first, last)
        if record is not None:
            site.year.spread = record.spread
            typed = typed_first_frost is not None or typed_last_frost is not None
            site.frost = site.frost if typed else daily.frost_of(record, site.frost)
        return site


def constants(knowledge_value: KnowledgeValue, names: Names) -> GrowthConstants:
    """The numbers of the measures from the values of the knowledge folder.

    `knowledge_value(name, key)` gives the number in use, or None without data; the key is "" for a single
    number. Raises ValueError where a number that the measures cannot do without has no data.
    """

    def must(name: str, key: str = "") -> float:
        found = knowledge_value(name, key)
        if found is None:
            place = f" for {key!r}" if key else ""
            raise ValueError(f"value {name!r}{place} has no data: the measures need a number, write one")
        return found

    def named(fields: Mapping[str, str]) -> dict[str, float]:
        return {field: must(name) for field, name in fields.items()}

    def known(name: str, keys: tuple[str, ...]) -> Mapping[str, float]:
        pairs = ((key, knowledge_value(name, key)) for key in keys)
        return MappingProxyType({key: number for key, number in pairs if number is not None})

    low, high = known("claim-weeks-low", names.keys), known("claim-weeks-high", names.keys)
    return GrowthConstants(
        climate=cl.ClimateNumbers(**named(_CLIMATE)),
        classes=classes.ClassNumbers(**named(_CLASSES)),
        curves=growth.Curves(**named(_CURVES)),
        rules=growth.GrowthRules(
            **named(_RULES),
            **{
                f"{field}_{season}": must(name, season)
                for field, name in _BY_SEASON.items()
                for season in ("cool", "warm")
            },
        ),
        plants=_plants(knowledge_value, must, names),
        windows=windows.WindowNumbers(
            **named(_WINDOWS),
            warm_close_heat=known("warm-close-heat", names.warm),
            warm_sod_roots_c=known("warm-sod-roots", names.warm),
            warm_good_heat=known("warm-good-heat", names.warm),
            warm_after_frost_own=known("warm-after-frost-own", names.warm),
            relatives=names.like,
        ),
        soil=soil.SoilNumbers(**named(_SOIL), depth_m=must("soil-planting-depth") / 100),
        water=water.WaterNumbers(
            **named(_WATER),
            day_range=known("day-range", CLIMATES),
            turf_coefficient=MappingProxyType({s: must("turf-coefficient", s) for s in ("cool", "warm")}),
            turf_coefficient_months=MappingProxyType(
                {
                    s: tuple(must("turf-coefficient-month", f"{s}/{month}") for month in _MONTHS)
                    for s in ("cool", "warm")
                }
            ),
        ),
        wet_days=wetting.WetDayNumbers(**named(_WET_DAYS)),
        weather=daily.WeatherNumbers(**named(_WEATHER)),
        odds=OddsNumbers(**named(_ODDS), washout_rain=known("washout-rain", names.methods)),
        nutrients=seed.NutrientNumbers(**named(_NUTRIENTS)),
        sand_density=must("sand-density"),
        claims=MappingProxyType({key: (low[key], high[key]) for key in low if key in high}),
        places_enough=must("places-enough"),
    )


def _plants(value: KnowledgeValue, must: Callable[..., float], names: Names) -> growth.Plants:
    places = MappingProxyType(
        {
            key: MappingProxyType(
                {stage: round(value(f"places-{stage}", key) or 0) for stage in _NEED_STAGES}
            )
            for key in names.keys
        }
    )
    germination: dict[str, growth.Germination] = {}
    for plant in names.plants:
        grass = names.mixtures.get(plant, plant)
        germination[plant] = growth.Germination(
            value("germination-base", grass),
            value("germination-heat", grass),
            value("germination-days-low", grass),
            value("germination-days-high", grass),
            bool(value("seed-waits-for-spring", grass)),
        )
    needs: dict[str, Mapping[str, growth.StageNeed]] = {}
    for key in names.keys:
        stages = {}
        for stage in _NEED_STAGES:
            early, middle, late = (value(f"heat-{stage}-{part}", key) for part in _PARTS)
            # An end without a number lies as far from the middle as the model misses published cases.
            early, late = (middle if end is None else end for end in (early, late))
            floor = value(f"floor-{stage}", key) or 0.0
            least = most = None
            if stage in _WEEK_STAGES:
                least, most = (value(f"weeks-{stage}-{part}", key) for part in ("early", "late"))
            asked = f"asked-{stage}-low", f"asked-{stage}-high"
            low, high = (value(n, key) or 0.0 if stage == "full-play" else 0.0 for n in asked)
            if middle is not None or least is not None:
                usual = None if least is None or most is None else (least + most) / 2
                stages[stage] = growth.StageNeed(early, middle, late, floor, least, usual, most, low, high)
        if stages:
            needs[key] = MappingProxyType(stages)
    gaps: dict[str, growth.GapHeat] = {}
    for grass in names.warm:
        early, middle, late = (value(f"plug-heat-{part}", grass) for part in _PARTS)
        if early is not None and middle is not None and late is not None:
            gaps[grass] = growth.GapHeat(early, middle, late)
    cuts = {
        made: (value("first-cut-after-low", made), value("first-cut-after-high", made)) for made in _MADE_FROM
    }
    return growth.Plants(
        frozenset(names.warm),
        MappingProxyType(needs),
        MappingProxyType(germination),
        MappingProxyType(gaps),
        MappingProxyType(
            {made: (low, high) for made, (low, high) in cuts.items() if low is not None and high is not None}
        ),
        (must("sprig-damp-days-low"), must("sprig-damp-days-high")),
        MappingProxyType({made: must("full-after-light", made) for made in _MADE_FROM}),
        MappingProxyType({made: must("readiness-miss", made) for made in _MADE_FROM}),
        places,
    )
