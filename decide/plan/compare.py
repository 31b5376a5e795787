"""Options side by side by cost, work and date, and what a failure of each would cost."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Sequence

from decide.decision.consultation import Consultation
from decide.decision.rank import USABLE, Weighed
from decide.measure import dates
from decide.measure.window import OPEN_QUALITIES
from decide.model.planned import Compared, Failure, Task
from decide.model.row import Cost, Hours
from decide.model.words import capital
from decide.plan.jobs import ONE, WEEK, Job, job_of, read_value
from decide.plan.lots import Lot, lots_of
from decide.plan.offers import exact
from decide.plan.prices import cost_of


def compared(c: Consultation, zone: str, tasks: Sequence[Task]) -> list[Compared]:
    """The choice, its stopgap, the next best and the first usable option of each other method, side
    by side.
    """
    chosen = c.chosen[zone]
    found = [
        w
        for w in (chosen.stopgap, chosen.option, chosen.runner_up)
        if w is not None and w.draft.remedy == "establish"
    ]
    methods = {w.draft.method for w in found}
    for w in c.ranked:
        draft = w.draft
        if (
            draft.zone == zone
            and draft.remedy == "establish"
            and draft.start is not None
            and w.verdict in USABLE
            and draft.method not in methods
        ):
            methods.add(draft.method)
            found.append(w)
    return [_beside(c, w, tasks) for w in found] if len(found) > 1 else []


def _main(
    c: Consultation, job: Job, tasks: Sequence[Task], *, contractor: bool = False
) -> tuple[Lot, Cost | None] | None:
    """What the grass itself comes as, or the contractor's work, with its cost."""
    for lot in lots_of(c, job, tasks, planned=False):
        if lot.supply.kind == "contractor" if contractor else lot.supply.main:
            known = cost_of(c, [lot], lot.amount.low, lot.amount.high)
            return lot, None if known is None else known.cost
    return None


def _beside(c: Consultation, w: Weighed, tasks: Sequence[Task]) -> Compared:
    job, draft = job_of(c, w), w.draft
    main = _main(c, job, tasks, contractor=True) if c.filled.situation.means.contractor else None
    if main is None or main[1] is None:
        main = _main(c, job, tasks)
    cost = None if main is None else main[1]
    low, high = (w.facts.get(f"option.labour-hours.{end}") for end in ("low", "high"))
    late = None
    if draft.start is not None and c.filled.site is not None:
        late = c.measures.readiness(draft.key, draft.start, draft.zone)["full-play"].late
    return Compared(
        option=draft.code,
        zone=job.name,
        title=capital(c.say.way(draft.remedy, draft.plant, draft.method, draft.variant)),
        verdict=w.verdict,  # type: ignore[arg-type]  # a verdict rule has no other target
        low=cost.low if cost else None,
        high=cost.high if cost else None,
        currency=cost.currency if cost else "",
        hours=Hours(low=low, high=high) if isinstance(low, float) and isinstance(high, float) else None,
        full_play_late=(draft.start + late * ONE).isoformat()
        if draft.start is not None and late is not None
        else None,
    )


def failure_of(c: Consultation, job: Job, start: dt.date, tasks: Sequence[Task]) -> Failure:
    """What it costs when new grass fails: the same material again, and the days until it can be put
    in again.
    """
    main, k = _main(c, job, tasks), c.knowledge
    cost = None if main is None else main[1]
    row = k.failure[job.made_from]
    stuff = row.stuff or c.say.method(job.draft.method)
    if cost is not None:
        costs = k.text(
            "money-fails-cost",
            amount=_about(c, cost.low, cost.high),
            currency=cost.currency or k.text("money-yours"),
            stuff=stuff,
        )
    elif main is not None:
        amount = exact(c, main[0].amount.high, main[0].amount.unit)
        costs = k.text("money-fails-amount", stuff=stuff, amount=amount)
    else:
        costs = k.text("money-fails-stuff", stuff=stuff)
    days, when = _again(c, job, start)
    lost = "" if days is None else k.text("money-fails-weeks", n=max(1, round(days / WEEK)))
    return Failure(
        zone=job.name,
        what=main[0].item if main is not None else c.say.plant(job.draft.plant),
        low=cost.low if cost else None,
        high=cost.high if cost else None,
        currency=cost.currency if cost else "",
        days_lost=days,
        text=f"{k.text('money-fails', work=row.work, costs=f'{costs}{lost}')} {when}",
    )


def _about(c: Consultation, low: float, high: float) -> str:
    """A range of money to two figures."""
    ends = [c.knowledge.language.number(float(f"{end:.2g}")) for end in (low, high)]
    return ends[0] if ends[0] == ends[1] else c.knowledge.text("money-range", low=ends[0], high=ends[1])


def _again(c: Consultation, job: Job, start: dt.date) -> tuple[int | None, str]:
    """Days from the start until it can be done again once it has failed, None where that is not known, and
    the same in words.
    """
    noticed, k, draft = _noticed(c, job), c.knowledge, job.draft
    if c.filled.site is None or noticed is None:
        return None, k.text("money-again-unknown")
    seen = start + noticed * ONE
    windows = c.filled.windows(draft.key, draft.variant)
    at = dates.day_of_year(seen)
    quality = windows.quality_on(at)
    if quality in OPEN_QUALITIES or quality in k.variants[draft.variant].starts_in:
        return noticed, k.text("money-again-at-once", n=noticed)
    following = windows.next_opening(at)
    if following is None:
        return None, k.text("money-again-never")
    again = dates.date_on_or_after(following.opens, seen)
    return (again - start).days, k.text("money-again-next-window", opens=again)


def _noticed(c: Consultation, job: Job) -> int | None:
    """Days from the start until it shows that the grass has failed: seed not up, sod not held, sprigs not
    green.
    """
    found = read_value(c, c.knowledge.failure[job.made_from].shows, job.facts, "day")
    return None if found is None else math.ceil(round(found, 6))
