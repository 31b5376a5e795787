"""Until when an option must be decided, and the next real time for new grass."""

from __future__ import annotations

import datetime as dt

from decide.answer.days import ready_range
from decide.answer.teller import Teller, lower_first
from decide.decision.consultation import Consultation
from decide.decision.programme import Chosen
from decide.decision.rank import Weighed, role_facts
from decide.facts.draft import Draft, offers
from decide.measure import dates
from decide.model import advice as out


def decide_by_of(t: Teller, draft: Draft) -> dt.date | None:
    """The last day on which this choice can still be made: the last safe start, less the longest delivery."""
    if draft.remedy == "carry-on":
        return None
    if draft.start is None or t.filled.site is None or draft.variant != "plain":
        return draft.start
    last = t.filled.windows(draft.key, draft.variant).last_day(dates.day_of_year(draft.start))
    end = draft.start if last is None else dates.date_on_or_after(last, draft.start)
    end = last_in_time(t, draft, draft.start, end)
    told = t.filled.situation.offer or []
    lead = max((told[n].lead_days or 0 for n in offers(t.filled, draft) or []), default=0)
    return max(end - dt.timedelta(days=lead), t.filled.today)


def last_in_time(t: Teller, draft: Draft, start: dt.date, end: dt.date) -> dt.date:
    """The last start up to `end` that is ready by the date wanted as surely as `start` is; `end` without a
    date or where `start` misses it.
    """
    play_by = t.filled.situation.dates.play_by
    stage = "light-use" if t.filled.situation.dates.first_use == "training" else "full-play"
    if play_by is None:
        return end

    def met(day: dt.date, part: str) -> bool:
        days = getattr(t.c.measures.readiness(draft.key, day, draft.zone)[stage], part)
        return days is not None and day + dt.timedelta(days=days) <= play_by

    part = next((each for each in ("late", "middle", "early") if met(start, each)), None)
    if part is None:
        return end
    days = (min(end, play_by) - start).days
    return next(
        (day for back in range(days + 1) if met(day := start + dt.timedelta(days=days - back), part)),
        start,
    )


def next_window(t: Teller, chosen: Chosen) -> out.Window | None:
    """The next real time for new grass, where the choice begins none."""
    w = window_of(chosen)
    if w is None or w.draft.start is None:
        return None
    last, by = closes(t.c, w), decide_by_of(t, w.draft)
    until = "" if last is None or last <= w.draft.start else t.k.text("window-until", day=last)
    decide = "" if by is None else t.k.text("window-decide", day=by)
    full = ready_range(t, w.draft, "full-play")
    light = ready_range(t, w.draft, "light-use")
    uses = []
    if light is not None and light.late:
        uses.append(t.k.text("window-training", day=dt.date.fromisoformat(light.late)))
    if full is not None and full.late:
        uses.append(t.k.text("window-matches", day=dt.date.fromisoformat(full.late)))
    ready = t.k.text("window-bears", uses=uses) if uses else ""
    return out.Window(
        option=w.draft.code,
        opens=w.draft.start.isoformat(),
        closes=last.isoformat() if last else None,
        decide_by=by.isoformat() if by else None,
        light_use=light,
        full_play=full,
        text=t.k.text(
            "window-next", way=lower_first(t.title(w.draft)), until=until, decide=decide, bears=ready
        ),
    )


def next_good(t: Teller, zone: str) -> str:
    """The next start of an option that is held back by nothing but the date or the means of today."""
    row = t.k.next_window
    later = [
        w
        for w in t.c.ranked
        if w.draft.zone == zone
        and w.draft.start is not None
        and w.draft.start > t.filled.today
        and row is not None
        and t.c.holds(row, {**w.facts, **role_facts(w, t.c.essential)})
    ]
    if not later:
        return ""
    first = min(later, key=lambda w: (w.draft.start or dt.date.max, t.c.ranked.index(w)))
    assert first.draft.start is not None
    return t.k.text(
        "window-next-good",
        day=first.draft.start,
        grass=t.say.plant(first.draft.plant),
        method=t.say.method(first.draft.method),
    )


def window_of(chosen: Chosen) -> Weighed | None:
    """The new grass that comes next where the choice itself begins none now."""
    if chosen.option is not None and chosen.option.draft.new_grass:
        return None
    return chosen.after


def closes(c: Consultation, w: Weighed) -> dt.date | None:
    """The last day of the window in which an option starts; None where it lies in none."""
    if c.filled.site is None or w.draft.start is None:
        return None
    window = c.filled.windows(w.draft.key, w.draft.variant).window_on(dates.day_of_year(w.draft.start))
    return (
        None
        if window is None or window.quality not in ("good", "fair")
        else dates.date_on_or_after(window.closes, w.draft.start)
    )
