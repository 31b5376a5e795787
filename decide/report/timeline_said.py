"""A timeline in sentences: for a screen reader, and as the text that stands for the picture."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import groupby
from typing import Final

from decide.model.words import capital
from decide.report.phrases import between_days, month_of
from decide.report.timeline import Bar, Seven, Timeline, whole
from decide.report.words import language, say, word

# From this share of full growth on, a sentence says that grass "grows well". A matter of wording alone.
WELL: Final = 0.5


def sentences(year: Timeline) -> list[str]:
    """All that the picture shows, a thing in each sentence."""
    said = [say("season-year", first=month_of(year.first), last=month_of(year.last))]
    hot, cold = (
        max(year.weeks, key=lambda week: week.mean),
        min(year.weeks, key=lambda week: week.mean),
    )
    said.append(
        say(
            "season-warmth",
            hot=month_of(hot.first),
            warmest=f"{whole(hot.mean)} {year.degree}",
            cold=month_of(cold.first),
            coldest=f"{whole(cold.mean)} {year.degree}",
        )
    )
    said += _short_of_rain(year)
    said.append(_grows(say("season-cool"), year, lambda week: week.cool))
    said.append(_grows(say("season-warm"), year, lambda week: week.warm))
    said += frost_sentences(year)
    for row in year.rows:
        if not row.stretches:
            said.append(say("season-no-window", name=row.label, why=row.why_none))
        for stretch in row.stretches:
            opens, closes = language().day(stretch.opens), language().day(stretch.closes)
            window = say(
                "season-window",
                name=row.label,
                quality=word("window", stretch.quality),
                opens=opens,
                closes=closes,
            )
            said.append(f"{'; '.join((window, *stretch.why))}.")
    said += [_bar(bar) for bar in year.bars]
    if year.deadline is not None:
        said.append(say("season-wanted", day=year.deadline))
    return said


def _short_of_rain(year: Timeline) -> list[str]:
    """When rain is less than turf uses; nothing where one of them is not known."""
    if any(week.rain is None or week.need is None for week in year.weeks):
        return []
    dry = [list(run) for short, run in groupby(year.weeks, key=_is_short) if short]
    return [say("season-dry", months=_months(dry))] if dry else [say("season-wet")]


def _is_short(week: Seven) -> bool:
    return week.rain is not None and week.need is not None and week.rain < week.need


def _months(runs: Sequence[Sequence[Seven]]) -> str:
    """Runs of weeks by their months."""
    spans = [(month_of(run[0].first), month_of(run[-1].first)) for run in runs]
    return language().listed(
        [say("season-in", month=a) if a == b else say("season-from-to", first=a, last=b) for a, b in spans]
    )


def _grows(kind: str, year: Timeline, share: Callable[[Seven], float]) -> str:
    runs = [list(run) for well, run in groupby(year.weeks, key=lambda week: share(week) >= WELL) if well]
    if not runs:
        return say("season-grows-never", kind=kind)
    if len(runs[0]) == len(year.weeks):
        return say("season-grows-always", kind=kind)
    return say("season-grows", kind=kind, months=_months(runs))


def frost_sentences(year: Timeline) -> list[str]:
    """When frost comes."""
    if year.frost_kind == "always":
        return [say("season-frost-always")]
    if year.frost_kind == "rare":
        return [say("season-frost-rare")]
    said = [
        say("season-frost", which=word("frost", which), early=early, late=late)
        for which, early, late in year.frosts
    ]
    if year.frost_kind == "some-years" or not said:
        said.insert(0, say("season-frost-some-years"))
    return said


def _bar(bar: Bar) -> str:
    said = [f"{bar.label}."]
    if bar.start is not None:
        said.append(say("season-starts", day=bar.start))
    said += [f"{capital(word('use', use))}: {between_days(days.early, days.late)}" for use, days in bar.uses]
    if not bar.uses:
        said.append(say("season-undated"))
    if bar.dies_by is not None and bar.dies_between is None:
        said.append(say("season-dies-about", day=bar.dies_by))
    elif bar.dies_between is not None and bar.dies_by is not None:
        span = between_days(bar.dies_between.early, bar.dies_between.late).rstrip(".")
        said.append(say("season-dies-between", days=span))
    return " ".join(said)
