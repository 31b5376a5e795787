"""What one row of the knowledge says of another holds: names, units, ranges and windows; the first fault is
an error.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Iterable, Mapping
from graphlib import CycleError, TopologicalSorter
from typing import Any, Final, get_args

from decide.knowledge.schema import (
    MADE_FROM,
    Row,
)
from decide.knowledge.schema_care import Event, Growth, TaskTemplate, WaterStage, YearTask
from decide.knowledge.tables import Knowledge
from decide.model.climates import CLIMATES
from decide.model.errors import KnowledgeError, meant
from decide.model.planned import Who
from decide.model.situation import OFFER_KINDS, Soil, Water
from decide.model.units import dimension
from decide.model.work import STEPS
from decide.model.written import coded

EDGE_HOLES: Final = ("warmth", "last-frost", "first-frost", "weeks")


def _check_windows(k: Knowledge) -> None:
    """Local windows name what there is and where they hold; reasons of edges have no hole that nobody
    fills.
    """
    for code, row in k.windows.items():
        where = k.where["window", code]
        for words, known, what in ((row.grasses, k.grasses, "grass"), (row.sources, k.sources, "source")):
            for word in words:
                if word not in known:
                    raise KnowledgeError(
                        f"{code}: {word!r} is not a {what}", where=where, instead=meant(word, known)
                    )
        if not row.regions and not row.centre:
            raise KnowledgeError(
                f"{code}: it does not say where it holds",
                where=where,
                instead="Write regions, or centre and radius-km",
            )
        if bool(row.centre) != (row.radius_km is not None) or len(row.centre) not in (0, 2):
            raise KnowledgeError(
                f"{code}: the place is half told",
                where=where,
                instead="Write centre = [latitude, longitude] and radius-km",
            )
        for name, text in (("opens", row.opens), ("closes", row.closes)):
            month, day = (int(part) for part in text.split("-"))
            if day > (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)[month - 1]:
                raise KnowledgeError(
                    f"{code}: {name} is {text!r}, a day that no common year has",
                    where=where,
                    instead="Write month and day, as 08-15",
                )
    for code, edge in k.edges.items():
        for hole in re.findall(r"\{([^}]*)\}", edge.says):
            if hole not in EDGE_HOLES:
                raise KnowledgeError(
                    f"{code}: {{{hole}}} is not a figure of a window",
                    where=k.where["edge", code],
                    instead=meant(hole, EDGE_HOLES),
                )


def check_rows(k: Knowledge) -> None:
    """Names that one table uses of another must be there."""

    def named(table: str, code: str, word: str, known: Iterable[str], what: str) -> None:
        names = list(known)
        if word not in names:
            raise KnowledgeError(
                f"{code}: {word!r} is not a {what}",
                where=k.where.get((table, code), ""),
                instead=meant(word, names),
            )

    for code in k.soils:
        named("soil", code, code, get_args(Soil), "soil")
    for code, grass in k.grasses.items():
        for word in grass.made_by:
            named("grasses", code, word, k.methods, "method")
        for word in grass.climates:
            named("grasses", code, word, CLIMATES, "climate")
        for word in CLIMATES:
            if word not in grass.climates:
                raise KnowledgeError(
                    f"{code}: climates say nothing of {word!r}",
                    where=k.where["grasses", code],
                    instead="Write fits, marginal or no",
                )
        for keys in grass.sources.values():
            for word in keys:
                named("grasses", code, word, k.sources, "source")
        if grass.like:
            kin = {name for name, row in k.grasses.items() if row.season_type == grass.season_type}
            named("grasses", code, grass.like, kin - {code}, "grass of its season")
    for code, mixture in k.mixtures.items():
        named("mixtures", code, mixture.stands_as, k.grasses, "grass")
        for part in mixture.parts:
            named("mixtures", code, part.grass, k.grasses, "grass")
            named("mixtures", code, part.share, k.values, "value")
    for code, method in k.methods.items():
        for keys in method.sources.values():
            for word in keys:
                named("method", code, word, k.sources, "source")
        named("method", code, method.begun_by, STEPS, "step")
        for word in method.offered_as:
            named("method", code, word, OFFER_KINDS, "kind of offer")
        usual = [name for name, row in k.methods.items() if row.usual and row.begun_by == method.begun_by]
        if len(usual) != 1:
            raise KnowledgeError(
                f"{len(usual)} methods are usual where {method.begun_by!r} is told",
                where=k.where["method", code],
                instead="Write usual = true on one of those that it begins",
            )
        for group in method.machines:
            for word in group:
                named("method", code, word, k.equipment, "machine")
    tables: tuple[tuple[str, Mapping[str, Any]], ...] = (
        ("mixtures", k.mixtures), ("variant", k.variants), ("equipment", k.equipment), ("fields", k.fields),
        ("cautions", k.cautions), ("needs", k.needs), ("causes", k.causes), ("opening", k.opening),
        ("rescue", k.rescue), ("better", k.better), ("usual", k.usual), ("meanwhile", k.meanwhile),
        ("ailment", k.ailments),
        ("part", k.parts), ("area", k.areas), ("drawn", k.drawn), ("local-price", k.local_prices),
        ("local-word", k.local_words),
        ("task", k.tasks), ("watering", k.watering), ("year", k.year),
        ("supply", k.supplies), ("growth", k.growth), ("play", k.play), ("water-means", k.water_means),
        ("rootzone", k.rootzones), ("soil", k.soils), ("hands", k.hands), ("failure", k.failure),
        ("reckoned", k.reckoned),
        ("recorded", k.recorded), ("feed-law", k.feed_laws), ("topic", k.topics), ("doing", k.doing),
    )  # fmt: skip
    for table, rows in tables:
        for code, row in rows.items():
            for word in row.sources:
                named(table, code, word, k.sources, "source")
    _check_windows(k)
    for rule in k.rules:
        for word in rule.sources:
            named("rule", rule.id, word, k.sources, "source")
        if not rule.sources:
            raise KnowledgeError(
                f"rule {rule.id!r} has no source",
                where=k.where["rule", rule.id],
                instead='Write sources = ["…"]',
            )
    for code, check in k.opening.items():
        for word in (check.pass_light, check.pass_full, check.least, check.spots, check.holds):
            if word:
                named("opening", code, word, k.values, "value")
        _units(k, "opening", code, (check.holds,), ("time",))
        for word in check.counts:
            named("opening", code, word, (*k.tasks, *STEPS), "task or step")
    for code, sign in k.rescue.items():
        for word in sign.mended_by:
            named("rescue", code, word, (*k.tasks, *STEPS), "task or step")
    _check_plan(k, named)
    _check_supplies(k, named)
    _check_asked(k, named)


def _check_asked(k: Knowledge, named: Callable[[str, str, str, Iterable[str], str], None]) -> None:
    """What answers to questions look up names cautions, checks, signs and tasks that there are."""
    for code, sign in k.rescue.items():
        for word in sign.cautions:
            named("rescue", code, word, k.cautions, "caution")
    for code, topic in k.topics.items():
        for word in topic.cautions:
            named("topic", code, word, k.cautions, "caution")
        for word in topic.checks:
            named("topic", code, word, k.opening, "check")
        for word in topic.signs:
            named("topic", code, word, k.rescue, "sign")
    for code, doing in k.doing.items():
        for word in doing.tasks:
            named("doing", code, word, k.tasks, "task")


def _check_plan(k: Knowledge, named: Callable[[str, str, str, Iterable[str], str], None]) -> None:
    """Tasks, water stages and the year name only what there is, in units that fit, and no task waits for
    itself.
    """
    for code, task in k.tasks.items():
        where = k.where["task", code]
        for words, known, what in (
            (task.methods, k.methods, "method"), (task.variants, ("plain", *k.variants), "variant"),
            (task.made_from, MADE_FROM, "way of being made"), (task.needs, k.needs, "need"),
            (task.tools, k.equipment, "tool"), ([each.task for each in task.after], k.tasks, "task"),
        ):  # fmt: skip
            for word in words:
                named("task", code, word, known, what)
        days = (
            task.from_,
            task.last,
            task.days,
            task.every,
            task.soonest,
            task.keeps,
            task.after_feed,
            task.before_start,
            task.lead,
            *(each.wait for each in task.after),
        )
        _units(k, "task", code, days, ("time",))
        _units(k, "task", code, (task.hours_low, task.hours_high), ("labour", "hour"))
        _units(k, "task", code, (task.feeds,), ("rate",))
        if (task.hours_low is None) != (task.hours_high is None):
            raise KnowledgeError(
                f"{code}: hours have one end only",
                where=where,
                instead="Write hours-low and hours-high, or neither",
            )
        if task.anchor != "today" and (task.soonest or task.before_start or task.lead):
            raise KnowledgeError(
                f"{code}: soonest, before-start and lead are for tasks before the start",
                where=where,
                instead='Write anchor = "today", or take them out',
            )
        if task.starts and task.anchor != "start":
            raise KnowledgeError(
                f"{code}: what starts a plan hangs on another day than the start",
                where=where,
                instead='Write anchor = "start"',
            )
    graph = {code: [each.task for each in task.after] for code, task in k.tasks.items()}
    try:
        tuple(TopologicalSorter(graph).static_order())
    except CycleError as error:
        ring: list[str] = error.args[1]
        raise KnowledgeError(
            f"tasks wait for one another: {' before '.join(ring)}",
            where=k.where["task", ring[0]],
            instead="Take one `after` out",
        ) from None
    _check_closed(k, "event", k.events, set(get_args(Event)) - {"today"}, "day that tasks hang on")
    _check_closed(k, "hands", k.hands, get_args(Who), "person who does work")
    _check_closed(
        k, "water-means", k.water_means, ("not-told", *map(coded, get_args(Water))), "means of watering"
    )
    _check_closed(k, "failure", k.failure, MADE_FROM, "way of being made")
    for code in k.recorded:
        named("recorded", code, code, STEPS, "step")
    for code, growth in k.growth.items():
        named("growth", code, code, get_args(Growth), "way of growing")
        for value in (growth.air, growth.heat):
            if value:
                named("growth", code, value, k.values, "value")
    for code, step in k.play.items():
        _units(k, "play", code, (step.share,), ("share",))
    for code, means in k.water_means.items():
        _units(k, "water-means", code, (means.visit,), ("hour",))
        for word in (*means.tools, *means.brings):
            named("water-means", code, word, k.equipment, "tool")
    for code, part in k.areas.items():
        if part.area:
            _units(k, "area", code, (part.area,), ("area",))
        elif part.field:
            named("area", code, part.field, k.fields, "kind of field")
        elif not part.whole:
            raise KnowledgeError(
                f"{code}: does not say how large the part is",
                where=k.where["area", code],
                instead="Write area = a value, field = a kind of field, or whole = true",
            )
    for code, price in k.local_prices.items():
        named("local-price", code, price.method, k.methods, "method")
        for name in (price.low, price.high):
            named("local-price", code, name, k.values, "value")
    for code, built in k.rootzones.items():
        named("rootzone", code, built.ground, k.facts["site.ground-class"].levels, "class of ground")
    for code, failure in k.failure.items():
        _units(k, "failure", code, (failure.shows,), ("time",))
    for code, stage in k.watering.items():
        _units(k, "watering", code, (stage.share,), ("share",))
        _units(k, "watering", code, (stage.roots, stage.least, stage.most), ("length",))
        _units(
            k,
            "watering",
            code,
            (*stage.wettings.values(), *stage.fewest.values()),
            ("visits",),
        )
        _units(k, "watering", code, tuple(stage.days.values()), ("time",))
    for code, row in k.year.items():
        if row.only_without:
            named("year", code, row.only_without, k.year, "row of the year")
    tables: tuple[tuple[str, Mapping[str, TaskTemplate | WaterStage | YearTask]], ...] = (
        ("task", k.tasks),
        ("watering", k.watering),
        ("year", k.year),
    )
    for table, rows in tables:
        for code, each in rows.items():
            for word in (*each.cautions, *each.cautions_if):
                named(table, code, word, k.cautions, "caution")
            if not each.sources:
                raise KnowledgeError(
                    f"{code}: has no source", where=k.where[table, code], instead='Write sources = ["…"]'
                )


def _check_closed(
    k: Knowledge, table: str, rows: Mapping[str, Row], known: Collection[str], what: str
) -> None:
    """A table that is there has a row for each of a closed list, and no other."""
    for code in rows:
        if code not in known:
            raise KnowledgeError(
                f"{code!r} is not a {what}", where=k.where[table, code], instead=meant(code, known)
            )
    missing = sorted(set(known) - set(rows))
    if rows and missing:
        raise KnowledgeError(
            f"there is no row for the {what} {missing[0]!r}",
            where=k.where[table, next(iter(rows))].rpartition(":")[0],
            instead=f"Write [{missing[0]}]",
        )


# What the low and high values of a kind of amount may measure; no dimension where it takes none.
_MEASURED: Final[Mapping[str, tuple[str, ...]]] = {
    "seed-by-rate": ("rate",), "parts-of-mixture": ("rate",), "sod-area": (), "sprigs-volume": ("cover",),
    "plugs-count": ("length",), "nutrient-rate": ("rate",), "lime-rate": (), "depth-volume": ("length",),
    "mass-rate": ("rate",), "per-area": ("density", "cover"), "area": (), "edge": (), "count": (),
    "measure-first": (),
}  # fmt: skip
_PRICES: Final = ("price", "price-mass", "price-volume", "price-length", "money")


def _check_supplies(k: Knowledge, named: Callable[[str, str, str, Iterable[str], str], None]) -> None:
    """Supplies name only what there is, and the values that their kind of amount takes, in units that fit."""
    for code, row in k.supplies.items():
        where = k.where["supply", code]
        for words, known, what in (
            (row.methods, k.methods, "method"), (row.variants, ("plain", *k.variants), "variant"),
            (row.made_from, MADE_FROM, "way of being made"), (row.extra_for, k.variants, "variant"),
            (row.passes_not_by, k.methods, "method"), (row.needs, k.needs, "need"),
            (row.tasks, k.tasks, "task"), (row.cautions, k.cautions, "caution"),
            (row.cautions_if, k.cautions, "caution"), (row.what, OFFER_KINDS, "kind of offer"),
        ):  # fmt: skip
            for word in words:
                named("supply", code, word, known, what)
        takes = _MEASURED[row.quantity]
        if takes and (row.low is None or row.high is None):
            raise KnowledgeError(
                f"{code}: an amount by {row.quantity} needs two values",
                where=where,
                instead="Write low and high",
            )
        if not takes and (row.low is not None or row.high is not None):
            raise KnowledgeError(
                f"{code}: an amount by {row.quantity} reads neither low nor high",
                where=where,
                instead="Take them out",
            )
        _units(k, "supply", code, (row.low, row.high), takes)
        _units(k, "supply", code, (row.most_once,), ("rate",))
        _units(k, "supply", code, (row.extra, row.spare_low, row.spare_high), ("share",))
        _units(k, "supply", code, (row.density,), ("bulk-density",))
        _units(k, "supply", code, (row.mass,), ("rate",))
        _units(k, "supply", code, (row.size,), ("length",))
        _units(k, "supply", code, (row.passes,), ("count",))
        _units(k, "supply", code, (row.lead,), ("time",))
        for name in (row.analysis, row.bushels):
            if name is not None:
                named("supply", code, name, k.values, "value")
        for price in row.prices:
            _units(k, "supply", code, (price.low, price.high), _PRICES)
        if row.offered and not row.what:
            raise KnowledgeError(
                f"{code}: is bought only where it is offered, and no kind of offer is of it",
                where=where,
                instead='Write what = ["…"]',
            )
        if row.quantity == "measure-first" and not row.ask:
            raise KnowledgeError(
                f"{code}: is to be measured first and does not say how",
                where=where,
                instead='Write ask = "…"',
            )
        if not row.sources:
            raise KnowledgeError(f"{code}: has no source", where=where, instead='Write sources = ["…"]')


def _units(
    k: Knowledge, table: str, code: str, names: Iterable[str | None], dimensions: tuple[str, ...]
) -> None:
    """Values that a row names are there, are named with a key where they are families, and measure what they
    should.
    """
    for written in names:
        if written is None:
            continue
        where = k.where[table, code]
        name, _, index = written.rstrip("]").partition("[")
        if name not in k.values:
            raise KnowledgeError(
                f"{code}: there is no value {name!r}", where=where, instead=meant(name, k.values)
            )
        value = k.values[name]
        if bool(index) != bool(value.by):
            raise KnowledgeError(
                f"{code}: names value {name!r} {'with' if index else 'without'} a key",
                where=where,
                instead=f"Write {name}[…]: it is by {value.by}"
                if value.by
                else f"Write {name}: it is a single number",
            )
        if dimension(value.unit) not in dimensions:
            raise KnowledgeError(
                f"{code}: value {name!r} is in {value.unit}",
                where=where,
                instead=f"Name a value of {' or '.join(dimensions)}",
            )
