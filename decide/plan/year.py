"""The year that keeps the ground alive after it opens."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from decide.decision.consultation import Consultation
from decide.facts.draft import play_months
from decide.knowledge.schema_care import YearTask
from decide.measure import dates
from decide.measure.window import OPEN_QUALITIES
from decide.model.planned import YearRow
from decide.model.written import MONTHS
from decide.plan.jobs import ONE, Job, When, sentences

Run = tuple[dt.date, dt.date]


@dataclass(frozen=True)
class Month:
    """A month of the year after, or what is left of it: how the grass grows in it, and whether
    there is play.
    """

    first: dt.date
    last: dt.date
    growth: str
    play: str


def opening_day(c: Consultation, events: Mapping[str, When]) -> dt.date:
    """The day from which the year after is counted: that of full play, or of what comes nearest to it."""
    rows = c.knowledge.events
    return min((row.opens, events[name].late) for name, row in rows.items() if row.opens and name in events)[
        1
    ]


def year_rows(c: Consultation, job: Job, opens: dt.date) -> tuple[list[YearRow], set[str]]:
    """The rows of the year after opening, in order of days, and the cautions that stand with them."""
    if job.season is None or c.filled.site is None:
        return [], set()
    facts = dict(job.facts)
    if "option.lead-grass" not in facts and facts.get("zone.main-grass") in c.knowledge.grasses:
        facts["option.lead-grass"] = facts["option.grass"] = facts["zone.main-grass"]
    months = _months(c, job.season, opens)
    rows: list[YearRow] = []
    cautions: set[str] = set()
    found: set[str] = set()
    for key, task in c.knowledge.year.items():
        if task.season not in ("any", job.season) or task.only_without in found or not c.holds(task, facts):
            continue
        runs = _window(c, job, opens) if task.window else _runs(months, task)
        text = sentences(c, task.text, facts)
        rows += [
            YearRow(
                **{"from": first.isoformat()},
                until=last.isoformat(),
                task=task.title,
                text=text,
                sources=sorted(task.sources),
            )
            for first, last in runs
        ]
        if runs:
            found.add(key)
            cautions |= {*task.cautions, *(code for code in task.cautions_if if code in job.cautions)}
    rows.sort(key=lambda row: (row.from_, row.until, row.task))
    return rows, cautions


def _months(c: Consultation, season: str, opens: dt.date) -> list[Month]:
    """The twelve months from a day on, the first from that day."""
    played = play_months(c.filled)
    months: list[Month] = []
    first = opens
    for _ in MONTHS:
        following = (first.replace(day=1) + dt.timedelta(days=32)).replace(day=1)
        play = "unknown" if played is None else "in" if MONTHS[first.month - 1] in played else "out"
        months.append(Month(first, following - ONE, growth_level(c, season, first.replace(day=15)), play))
        first = following
    return months


def growth_level(c: Consultation, season: str, date: dt.date) -> str:
    """How a season type grows on a day of a normal year: none, some, hard or stress."""
    site = c.filled.site
    assert site is not None
    at = dates.day_of_year(date)
    if not site.grows(season, at):
        return "none"
    for level, row in c.knowledge.growth.items():
        air = None if row.air is None else c.knowledge.value(row.air)
        heat = None if row.heat is None else c.knowledge.value(row.heat, season)
        if row.season in ("any", season) and (
            (air is not None and site.year.normal(at) >= air)
            or (heat is not None and site.heat_today(season, at) >= heat)
        ):
            return level
    return "some"


def _runs(months: Sequence[Month], task: YearTask) -> list[Run]:
    """Unbroken runs of the months in which a row holds."""
    runs: list[Run] = []
    for month in months:
        if month.growth not in task.grows or task.play not in ("any", month.play):
            continue
        if runs and runs[-1][1] + ONE == month.first:
            runs[-1] = (runs[-1][0], month.last)
        else:
            runs.append((month.first, month.last))
    return runs


def _ways(c: Consultation, grass: str) -> Sequence[str]:
    """The methods by which a grass is planted; none where it never is, or is not known."""
    row = c.knowledge.grasses.get(grass)
    return () if row is None else row.made_by


def _window(c: Consultation, job: Job, opens: dt.date) -> list[Run]:
    """The next good (else fair) days to sow or plant the grass again, from the opening on."""
    draft, here = job.draft, dates.day_of_year(opens)
    standing = job.facts.get("zone.main-grass")
    if draft.new_grass:
        windows = c.filled.windows(draft.key, draft.variant)
    elif isinstance(standing, str) and (ways := _ways(c, standing)):
        windows = c.filled.windows(f"{standing}/{c.knowledge.methods[ways[0]].start}")
    else:
        return []
    for quality in OPEN_QUALITIES:
        now = windows.window_on(here)
        window = now if now is not None and now.quality == quality else windows.next_opening(here, (quality,))
        if window is not None:
            first = opens if window is now else dates.date_on_or_after(window.opens, opens)
            return [(first, dates.date_on_or_after(window.closes, first))]
    return []
