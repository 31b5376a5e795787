"""The fate of the date wanted: whether training and matches can be held by it, as the programme of each zone
makes it.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import Final, Literal

from decide.decision.consultation import Consultation
from decide.decision.programme import Chosen
from decide.decision.rank import SOUND, Weighed
from decide.engine.language import Fact
from decide.model.situation import Dates

Level = Literal["yes", "likely", "partly", "no"]
By = Literal["slow-year", "most-years", "no"]
# From the worst to the best.
_BY: Final[tuple[By, ...]] = ("no", "most-years", "slow-year")
_STAGES: Final = {"training": "light-use", "matches": "full-play"}


@dataclass(frozen=True)
class Ready:
    """From when a zone bears a use in a middling and in a slow year; None where no date can be given.
    `at_once` is turf that bears it now.
    """

    middle: dt.date | None = None
    late: dt.date | None = None
    at_once: bool = False

    def by(self, date: dt.date) -> By:
        """Whether it is there by a date: in a slow year too, in most years, or not."""
        if self.at_once or (self.late is not None and self.late <= date):
            return "slow-year"
        return "most-years" if self.middle is not None and self.middle <= date else "no"


@dataclass(frozen=True)
class ZoneFate:
    """What becomes of the date in one zone: for the use wanted first, from when each use is there, and how
    surely what is wanted is there by its date.

    `option` is what brings it. `walked_on` is new grass with people on it before it bears feet, `follows`
    such as is no part of what is done now, and `first` what must have come of that before it is begun.
    """

    zone: str
    level: Level
    training: Ready
    matches: Ready
    option: Weighed | None
    wanted: Ready
    wanted_by: By
    walked_on: bool = False
    follows: bool = False
    first: str = ""


def two_dates(told: Dates) -> bool:
    """Whether training and matches are wanted, each by a date of its own."""
    return told.first_use == "training" and told.matches_by is not None


def fates(c: Consultation) -> list[ZoneFate]:
    """The fate of the date in each zone that is worked on, the worst first; empty where no date was told or
    no place is known.
    """
    by = c.filled.situation.dates.play_by
    if by is None or c.filled.site is None:
        return []
    found = [_zone(c, code, chosen, by) for code, chosen in c.chosen.items() if not c.left_alone(code)]
    levels = [row.level for row in c.knowledge.fates.values()]
    return sorted(found, key=lambda fate: -levels.index(fate.level))


def _zone(c: Consultation, code: str, chosen: Chosen, by: dt.date) -> ZoneFate:
    lead = chosen.option
    after = chosen.after if lead is None or not lead.draft.new_grass else None
    rows = [w for w in (chosen.stopgap, lead, after) if w is not None]
    own = [w for w in (chosen.stopgap, lead) if w is not None]
    brings = {use: [_ready(c, code, w, use) for w in rows] for use in _STAGES}
    told = c.filled.situation.dates
    training = _brought(brings["training"], len(own), by, c, code)
    matches = _brought(brings["matches"], len(own), told.matches_by or by, c, code)
    both = two_dates(told)
    matches_by = matches.by(told.matches_by or by)
    # Where each use has its date, the one that is missed by more counts.
    train = told.first_use == "training" and not (both and _BY.index(matches_by) < _BY.index(training.by(by)))
    wanted, wanted_by = (training, training.by(by)) if train else (matches, matches_by)
    # What stands there already bears it: what is sown later brings the date no nearer.
    grown = [] if wanted.at_once else [w for w in rows if w.draft.new_grass]
    # Of two that are sown the one that brings the use is what the date hangs on.
    made = brings["training" if train else "matches"]
    option = next((w for w, ready in zip(rows, made, strict=True) if w in grown and ready == wanted), None)
    option = option or next(iter(grown or rows), None)
    follows = option is not None and option is after and option is not chosen.stopgap
    first = c.knowledge.remedies[lead.draft.remedy].clears if follows and lead is not None else ""
    walked_on = any(_is_walked_on(w) for w in grown)
    facts: dict[str, Fact] = {
        "zone.wanted-use": "matches" if both else told.first_use or "matches",
        "zone.wanted-use-by": wanted_by,
        "zone.training-by": training.by(by),
        "zone.walked-on": walked_on,
        "zone.new-grass-sound": all(w.verdict in SOUND for w in grown),
        "zone.hangs-on-first": bool(first),
    }
    level = next(row.level for row in c.knowledge.fates.values() if c.book.holds(row, facts))
    return ZoneFate(code, level, training, matches, option, wanted, wanted_by, walked_on, follows, first)


def _is_walked_on(w: Weighed) -> bool:
    """Whether people are to be on it before it bears light use, so that the day hangs on shutting it."""
    short = w.facts.get("option.free-short-light")
    return isinstance(short, float) and short > 0


def _brought(rows: list[Ready], own: int, by: dt.date, c: Consultation, code: str) -> Ready:
    """When a use is there: by what is done now, the first `own` of the rows, where that meets the date; what
    only follows hangs on more.
    """
    now = _first(rows[:own], c, code) if own else None
    return now if now is not None and now.by(by) != "no" else _first(rows, c, code)


def _first(rows: list[Ready], c: Consultation, code: str) -> Ready:
    """The soonest of what the programme brings; turf that bears play now needs none of it."""
    if not rows:
        return Ready(at_once=_bears_play(c, code))
    at_once = [row for row in rows if row.at_once]
    return (
        at_once[0]
        if at_once
        else min(rows, key=lambda row: (row.late or dt.date.max, row.middle or dt.date.max))
    )


def _bears_play(c: Consultation, code: str) -> bool:
    """Whether turf is told to be good enough to play on, or nothing is told against it."""
    living, least = c.zone_facts[code].get("zone.living-percent"), c.knowledge.value("cover-for-play")
    return not isinstance(living, float) or least is None or living >= least


def _ready(c: Consultation, code: str, w: Weighed, use: str) -> Ready:
    """When one option bears a use; turf that is told to be dense enough bears both with care while it
    recovers.
    """
    if w.draft.remedy == "recover":
        days = [c.figure(w, f"zone.recovery-days.{part}") for part in ("early", "late")]
        first, last = (None if each is None else c.filled.today + dt.timedelta(days=each) for each in days)
        middle = None if first is None or last is None else first + (last - first) / 2
        return Ready(middle, last, at_once=_bears_play(c, code))
    if not w.draft.new_grass:
        # Turf that is tended stands; of what another remedy leaves, nothing is known but what was told.
        stands = w.draft.remedy == "tend" or isinstance(c.zone_facts[code].get("zone.living-percent"), float)
        return Ready(at_once=stands and _bears_play(c, code))
    if w.draft.start is None:
        return Ready()
    found = c.measures.readiness(w.draft.key, w.draft.start, code)[_STAGES[use]]
    middle, late = (
        None if days is None else w.draft.start + dt.timedelta(days=days)
        for days in (found.middle, found.late)
    )
    return Ready(middle, late)
