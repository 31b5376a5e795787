"""Laws on feeding, by the region of the place: what day of the year is closed to it."""

from __future__ import annotations

import datetime as dt

from decide.facts.filled import Filled, day_of
from decide.knowledge.schema_care import FeedLaw
from decide.measure import dates


def feed_law(filled: Filled) -> FeedLaw | None:
    """What was read of the law on feeding turf in the region of the place; None where none was."""
    return filled.library.knowledge.feed_laws.get(filled.region)


def closed_to_feed(law: FeedLaw, date: dt.date) -> bool:
    """Whether a day lies in the part of the year that a law closes to feeding; its last day is open again."""
    first, opens = day_of(law.closed_from) or 0, day_of(law.closed_until) or 0
    return dates.in_span(dates.day_of_year(date), first, dates.wrap(opens - 1))


def open_again(law: FeedLaw, closed: dt.date) -> dt.date:
    """The first open day after a closed one."""
    return dates.date_on_or_after(day_of(law.closed_until) or 0, closed)
