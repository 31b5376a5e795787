"""The fate of the date wanted, in the words that open the advice."""

from __future__ import annotations

import datetime as dt

from decide.decision.consultation import Consultation
from decide.decision.fate import Ready, ZoneFate, fates
from decide.decision.rank import SOUND
from decide.model import advice as out
from decide.model.wording import day, listed


def headline(c: Consultation) -> out.Fate | None:
    """What becomes of the date; None where no date was told, or every part is left alone."""
    told = c.filled.situation.dates
    by, use, firm = told.play_by, told.first_use or "", told.play_by_firm is True
    if by is None:
        return None
    if c.filled.site is None:
        text = (
            f"By {day(by)}: nobody can say before the place is known. Name the town, or a bigger one nearby."
        )
        return out.Fate(by=by.isoformat(), firm=firm, use=use, level="open", zone="", text=text)
    found = fates(c)
    if not found:
        return None
    worst = found[0]
    return out.Fate(
        by=by.isoformat(), firm=firm, use=use, level=worst.level, zone=c.zones[worst.zone].name,
        training_from=_iso(worst.training), matches_from=_iso(worst.matches), zones={c.zones[each.zone].name: each.level for each in found},
        text=_text(c, by, use, found),
    )  # fmt: skip


def _iso(ready: Ready) -> str | None:
    return ready.late.isoformat() if ready.late is not None and not ready.at_once else None


def _text(c: Consultation, by: dt.date, use: str, found: list[ZoneFate]) -> str:
    worst = found[0]
    same = [each for each in found if each.level == worst.level]
    where = (
        ""
        if len(found) == 1
        else f" ({listed([c.zones[each.zone].name for each in same])})"
        if len(same) < len(found)
        else ""
    )
    name = use or "training and matches"
    head = f"By {day(by)}{where}: "
    start = worst.option.draft.start if worst.option is not None and worst.option.draft.new_grass else None
    # It is judged as begun on that day; of a later one nobody tried whether it is sound.
    begun = "" if start is None else f", begun on {day(start)}"
    if worst.level == "yes":
        at_once = worst.matches.at_once if use != "training" else worst.training.at_once
        return (
            f"{head}yes, the turf that stands there bears {name} with care."
            if at_once
            else f"{head}yes for {name}{begun}, in a slow year too."
        )
    if (
        worst.level == "likely"
        and (worst.training if use == "training" else worst.matches).by(by) == "slow-year"
    ):
        walked = worst.option is not None and worst.option.verdict in SOUND
        return f"{head}likely for {name}{begun}, if {'nobody is on it before it bears feet' if walked else 'the risks named with it do not come true'}."
    if worst.level == "likely":
        return f"{head}likely for {name}{begun}, but not in a slow year: then from {_from(worst.training if use == 'training' else worst.matches)}."
    if worst.level == "partly":
        return f"{head}training yes, matches not: those from {_from(worst.matches)}."
    ready = worst.training if use == "training" else worst.matches
    firm = (
        " The date cannot move, so nothing sound meets it: find other ground for what falls before the grass is ready."
        if c.filled.situation.dates.play_by_firm is True
        else ""
    )
    if ready.late is None:
        return f"{head}no, not for {use or 'matches'}, and no date can be given.{firm}"
    return f"{head}no, not for {use or 'matches'}. What is named here is ready from {_from(ready)}.{firm}"


def _from(ready: Ready) -> str:
    if ready.late is None:
        return "a day that nobody can name yet"
    if ready.middle is None or ready.middle == ready.late:
        return day(ready.late)
    return f"{day(ready.middle)} in a middling year, {day(ready.late)} in a slow one"
