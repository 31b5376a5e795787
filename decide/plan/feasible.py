"""What fits before it is chosen: for the leading options the first start that all preparation leaves room
for.
"""

from __future__ import annotations

import dataclasses
import datetime as dt
from collections.abc import Callable, Iterator
from typing import Final

from decide.decision.consultation import Consultation
from decide.decision.rank import Weighed
from decide.decision.rulebook import Rulebook, check_names
from decide.facts.draft import Draft
from decide.measure.weather import DailyWeather
from decide.model.situation import Situation
from decide.model.units import System
from decide.plan.starts import first_start

# Each round may bring other options to the front; the last round's leaders are taken as they are.
ROUNDS: Final = 6


def consult(
    book: Rulebook,
    situation: Situation,
    *,
    system: System | None = None,
    without: frozenset[str] = frozenset(),
    weather: DailyWeather | None = None,
) -> Consultation:
    """The consultation on a situation, its choices made of starts that fit; SituationError where it cannot be
    read.
    """
    filled = book.fill(situation, weather)
    check_names(filled)
    c = Consultation(book, filled, system or ("us" if filled.us else "metric"), without)
    fitted(c)
    c.check()
    return c


def fitted(c: Consultation, start_of: Callable[[Consultation, Weighed], dt.date] | None = None) -> None:
    """Measure by how many days the starts of the leading options come too soon, add the starts that fit, and
    choose again. `start_of` gives the first start of an option, where that is not worked out anew.
    """
    start_of = start_of or first_start
    for _ in range(ROUNDS):
        late: list[Draft] = []
        moved: list[Draft] = []
        for w in _leading(c):
            start = start_of(c, w)
            assert w.draft.start is not None
            short = max(0, (start - w.draft.start).days)
            c.measures.start_short[w.draft.code] = short
            if short:
                late.append(w.draft)
                moved.append(dataclasses.replace(w.draft, start=start))
        new = [draft for draft in moved if draft.code not in c.weighed]
        for draft in new:
            c.measures.start_short[draft.code] = 0
        if not late:
            return
        c.drafts += new
        c.weighed.update(c.weigh([*late, *new]))
        c.rank()


def _leading(c: Consultation) -> Iterator[Weighed]:
    """The options of new grass that a person would read of, and whose start was not measured yet."""
    seen: set[str] = set()
    for chosen in c.chosen.values():
        for w in chosen.told:
            code = w.draft.code
            if (
                w.draft.remedy == "establish"
                and w.draft.start is not None
                and code not in c.measures.start_short
                and code not in seen
            ):
                seen.add(code)
                yield w
