"""A job: one chosen option on its way into a plan, and what the rows of the tables say for it."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Final, NamedTuple

from decide.decision.consultation import Consultation
from decide.decision.diagnosis import SITE
from decide.decision.rank import Weighed
from decide.engine.language import Fact
from decide.facts.draft import Draft
from decide.knowledge.schema_care import Supply, TaskTemplate
from decide.model.units import convert

ONE: Final = dt.timedelta(days=1)
WEEK: Final = 7
STANDING: Final = "standing"


class When(NamedTuple):
    """A day that work hangs on, as soon and as late as it may come."""

    early: dt.date
    late: dt.date


@dataclass(frozen=True)
class Job:
    """One chosen option of one zone on its way into a plan: `later` marks the renovation that follows a
    stopgap.
    """

    zone: str
    name: str
    w: Weighed
    later: bool
    area: float | None
    facts: Mapping[str, Fact]
    needs: frozenset[str]
    cautions: frozenset[str]

    @property
    def draft(self) -> Draft:
        """The option."""
        return self.w.draft

    @property
    def code(self) -> str:
        """Stable from run to run: the zone, and whether it is the renovation after a stopgap."""
        return f"{self.zone}/then" if self.later else self.zone

    @property
    def season(self) -> str | None:
        """Season type of the grass that is to grow; None where it is not known."""
        name = "option.season-type" if self.draft.new_grass else "zone.main-season-type"
        return str(self.facts[name]) if name in self.facts else None

    @property
    def made_from(self) -> str:
        """seed, sod, vegetative, or standing where no new grass is put in."""
        return str(self.facts.get("option.made-from", STANDING))


def job_of(c: Consultation, w: Weighed) -> Job:
    """The job of an option, with the needs and cautions that the rules gave it."""
    zone, chosen = w.draft.zone, c.chosen[w.draft.zone]
    layers = (*c.site_layer.fired.get(SITE, []), *c.zone_layer.fired.get(zone, []), *w.firings)

    def targets(act: str) -> frozenset[str]:
        return frozenset(rule.then.target for rule, _ in layers if rule.then.act == act)

    return Job(
        zone=zone,
        name=c.zones[zone].name,
        w=w,
        later=chosen.stopgap is not None and chosen.option is w,
        area=c.filled.areas.get(zone),
        facts=w.facts,
        needs=targets("need"),
        cautions=targets("caution"),
    )


def jobs_of(c: Consultation, options: Iterable[Weighed]) -> list[Job]:
    """The jobs of the chosen options; what is only the least bad is neither planned nor bought for."""
    return [job_of(c, w) for w in options if c.chosen[w.draft.zone].least_bad is not w]


def suits(job: Job, row: TaskTemplate | Supply) -> bool:
    """Whether a row is of the remedy, of the way in which new grass is made, and of a need that came with the
    choice.

    A row that names no method, variant or need is of all.
    """
    draft = job.draft
    if draft.remedy not in row.remedies:
        return False
    if row.needs and not job.needs.intersection(row.needs):
        return False
    return not draft.new_grass or (
        (not row.methods or draft.method in row.methods)
        and (not row.made_from or job.made_from in row.made_from)
        and (not row.variants or draft.variant in row.variants)
    )


def read_value(c: Consultation, written: str | None, facts: Mapping[str, Fact], unit: str) -> float | None:
    """The number of a value as a row names it ("name", "name[fact]" or "name[key]"), in `unit`; None without
    data.
    """
    if written is None:
        return None
    name, _, index = written.rstrip("]").partition("[")
    known = c.knowledge.values[name]
    key = index if index in known.used else str(facts.get(index, "")) if index else ""
    held = c.knowledge.value(name, key)
    return None if held is None else convert(held, known.unit, unit)


def unit_of(c: Consultation, written: str) -> str:
    """The unit of a value as a row names it."""
    return c.knowledge.values[written.partition("[")[0]].unit


def days_of(c: Consultation, written: str | None, job: Job) -> int:
    """Whole days of a value that a row names; none where it names none or has no data."""
    held = read_value(c, written, job.facts, "day")
    return 0 if held is None else math.ceil(round(held, 6))


def sentences(c: Consultation, written: str, facts: Mapping[str, Fact]) -> str:
    """A text of the tables with its holes filled; a sentence whose figures are not known is left out."""
    return c.say.sentences(c.book.template(written), facts, c.types)


def shown(c: Consultation, held: float, unit: str) -> str:
    """An amount in the reader's units."""
    return c.knowledge.language.show(held, unit, c.system)


def cautions_for(
    c: Consultation, always: Sequence[str], if_given: Sequence[str], jobs: Iterable[Job]
) -> list[str]:
    """The cautions that stand with a row, the gravest first: those of every use, and those that the rules
    gave a job.
    """
    codes = {*always, *(code for job in jobs for code in if_given if code in job.cautions)}
    return sorted(codes, key=lambda code: (c.knowledge.cautions[code].order, code))
