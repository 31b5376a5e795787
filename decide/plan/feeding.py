"""Nitrogen of the plan: what was fed, and how much of each feed a year still allows."""

from __future__ import annotations

import datetime as dt
import math

from decide.decision.consultation import Consultation
from decide.facts.law import closed_to_feed, feed_law, open_again
from decide.model.planned import Clash
from decide.model.situation import of_zone
from decide.plan.jobs import Job, read_value, shown
from decide.plan.placing import DatedTask
from decide.plan.waits import Node, code_of


def keep_law(c: Consultation, placed: dict[Node, DatedTask]) -> list[Clash]:
    """Take feeds out of the days that the law closes; a clash for each that is left out or cut."""
    law, found = feed_law(c.filled), list[Clash]()
    if law is None:
        return found
    for node, row in list(placed.items()):
        if row.task.feeds is None or row.done is not None:
            continue
        open_days = [date for date in row.times if not closed_to_feed(law, date)]
        if len(open_days) == len(row.times):
            continue
        code = "plan-feed-closed-days" if open_days else "plan-feed-closed"
        found.append(
            Clash(
                zone=row.job.name,
                tasks=[code_of(node)],
                days_short=len(row.times) - len(open_days),
                first_start=None,
                text=c.knowledge.text(
                    code, task=row.task.title, place=law.name, opens=open_again(law, row.times[-1])
                ),
            )
        )
        if open_days:
            row.times, row.first, row.last = open_days, open_days[0], open_days[-1]
            continue
        del placed[node]
        for other in placed.values():
            other.after = [each for each in other.after if each != node]
    return found


class Feeding:
    """The feeds of each zone with their nitrogen in g/m2: those told and recorded, and then those of the plan
    as they are added.
    """

    def __init__(self, c: Consultation) -> None:
        self._c = c
        self._by_zone: dict[str, list[tuple[dt.date, float]]] = {}

    def last(self, job: Job) -> dt.date | None:
        """The day of the last feed of a job's ground; None where none is known."""
        return max((date for date, _ in self._feeds(job)), default=None)

    def nitrogen(self, row: DatedTask) -> tuple[float, str] | None:
        """Nitrogen of a task in all, g/m2, within what a year allows beside what was given; and a sentence
        where it is cut.

        None for a task that feeds nothing. What is given counts for the feeds that follow.
        """
        c, k = self._c, self._c.knowledge
        asked = read_value(c, row.task.feeds, row.job.facts, "g/m2")
        if asked is None:
            return None
        if row.done is not None:
            return asked * len(row.times), ""
        law = feed_law(c.filled)
        dose = None if law is None else read_value(c, law.dose, row.job.facts, "g/m2")
        each = asked if dose is None else min(asked, dose)
        grass = row.job.facts.get("option.lead-grass", row.job.facts.get("zone.main-grass"))
        most = k.value("nitrogen-year-high", grass) if isinstance(grass, str) and grass in k.grasses else None
        feeds, given, days = self._feeds(row.job), 0.0, k.value("nitrogen-year-days") or math.inf
        for date in row.times:
            year = sum(n for fed, n in feeds if 0 <= (date - fed).days < days)
            left = each if most is None else max(0.0, min(each, most - year))
            feeds.append((date, left))
            given += left
        wanted = each * len(row.times)
        if most is None or given >= wanted - 1e-9:
            if law is None or each >= asked:
                return wanted, ""
            return wanted, k.text("plan-feed-dose", place=law.name, dose=shown(c, each, "g/m2"))
        cap = shown(c, most, "g/m2")
        if given <= 0:
            return 0.0, k.text("plan-feed-left-out", cap=cap)
        return given, k.text("plan-feed-cut", given=shown(c, given, "g/m2"), cap=cap)

    def _feeds(self, job: Job) -> list[tuple[dt.date, float]]:
        """The feeds told, and those that the record says were done, at their task's own dose.

        A step of feeding that is no task of the plan has no dose: it counts for the waits alone. What is
        told and
        recorded on one day counts once.
        """
        if job.zone not in self._by_zone:
            filled, k = self._c.filled, self._c.knowledge
            feeds = [
                (fed.date, fed.n_g_m2 or 0.0)
                for fed in filled.situation.history.fertilizers or []
                if of_zone(fed.zone, job.zone, filled.zones)
            ]
            for row in filled.situation.done:
                task, step = k.tasks.get(row.task), k.recorded.get(row.task)
                dosed = None if task is None else task.feeds
                if (
                    (dosed is not None or (step is not None and step.feeds))
                    and row.passed is not False
                    and of_zone(row.zone, job.zone, filled.zones)
                    and row.date not in {date for date, _ in feeds}
                ):
                    feeds.append((row.date, read_value(self._c, dosed, job.facts, "g/m2") or 0.0))
            self._by_zone[job.zone] = feeds
        return self._by_zone[job.zone]
