"""The fate of the date wanted, in the words that open the advice."""

from __future__ import annotations

import datetime as dt

from decide.decision.consultation import Consultation
from decide.decision.fate import Ready, ZoneFate, fates, two_dates
from decide.decision.rank import SOUND
from decide.model import advice as out


def headline(c: Consultation) -> out.Fate | None:
    """What becomes of the date; None where no date was told, or every part is left alone."""
    told = c.filled.situation.dates
    by, use, firm = told.play_by, told.first_use or "", told.play_by_firm is True
    if by is None:
        return None
    if c.filled.site is None:
        text = c.knowledge.text("fate-no-place", day=by)
        return out.Fate(by=by.isoformat(), firm=firm, use=use, level="open", zone="", text=text)
    found = fates(c)
    if not found:
        return None
    worst = found[0]
    return out.Fate(
        by=by.isoformat(),
        firm=firm,
        use=use,
        level=worst.level,
        zone=c.zones[worst.zone].name,
        training_from=_iso(worst.training),
        matches_from=_iso(worst.matches),
        zones={c.zones[each.zone].name: each.level for each in found},
        text=_text(c, by, use, found),
    )


def _iso(ready: Ready) -> str | None:
    return ready.late.isoformat() if ready.late is not None and not ready.at_once else None


def _text(c: Consultation, by: dt.date, use: str, found: list[ZoneFate]) -> str:
    say, worst = c.knowledge.text, found[0]
    same = [each for each in found if each.level == worst.level]
    said = _said(c, use, worst)
    if len(same) == len(found):
        return say("fate-head", day=by, said=said)
    return say(
        "fate-head-of-parts",
        day=by,
        parts=[c.zones[each.zone].name for each in same],
        said=said,
    )


def _said(c: Consultation, use: str, worst: ZoneFate) -> str:
    say = c.knowledge.text
    use = say(f"fate-use-{use}") if use else ""
    name = use or say("fate-both-uses")
    wanted, told = worst.wanted, c.filled.situation.dates
    if two_dates(told) and told.matches_by is not None:
        name = say("fate-two-dates", day=told.matches_by)
    begun = _begun(c, worst)
    if worst.level == "yes" and wanted.at_once:
        told_bare = worst.option is not None or c.zone_facts[worst.zone].get("zone.bare-percent") is not None
        said = say("fate-yes-as-it-stands" if told_bare else "fate-bare-not-told", use=name)
    elif worst.level == "yes":
        said = say("fate-yes", use=name, begun=begun)
    elif worst.level == "likely" and worst.wanted_by != "slow-year":
        ready = say("fate-ready-unknown") if wanted.late is None else c.knowledge.language.day(wanted.late)
        said = say("fate-likely", use=name, begun=begun, ready=ready)
    elif worst.level == "likely" and worst.option is not None and worst.option.verdict not in SOUND:
        risky = (
            "fate-likely-after-if-no-risk-comes-true"
            if worst.follows
            else "fate-likely-if-no-risk-comes-true"
        )
        said = say(risky, use=name, begun=begun)
    elif worst.level == "likely" and worst.follows and not worst.walked_on:
        said = say("fate-likely-after", use=name, begun=begun)
    elif worst.level == "likely":
        shut = "fate-likely-after-if-nobody-is-on-it" if worst.follows else "fate-likely-if-nobody-is-on-it"
        said = say(shut, use=name, begun=begun)
    elif worst.level == "partly":
        later = _from(c, worst.matches)
        said = (
            say("fate-partly-after", ready=later, begun=begun)
            if worst.follows
            else say("fate-partly", ready=later)
        )
    else:
        said = _missed(c, name if two_dates(told) else use or say("fate-use-matches"), worst)
    return said


def _begun(c: Consultation, worst: ZoneFate) -> str:
    """When what brings the date is begun, and on what that hangs. It is judged as begun on that day; of a
    later one nobody tried whether it is sound.
    """
    say = c.knowledge.text
    if worst.option is None or not worst.option.draft.new_grass or worst.option.draft.start is None:
        return ""
    start = worst.option.draft.start
    if worst.first:
        return say("fate-begun-once-cleared", cleared=worst.first, day=start)
    return say("fate-begun-after" if worst.follows else "fate-begun", day=start)


def _missed(c: Consultation, use: str, worst: ZoneFate) -> str:
    """That nothing is there by the date, and from when it is."""
    say, wanted = c.knowledge.text, worst.wanted
    if wanted.late is None:
        # Who waits looks again before anything is chosen: a date comes of that.
        waits = worst.option is not None and worst.option.draft.remedy == "wait"
        said = say("fate-no-date-yet" if waits else "fate-no-date", use=use)
    elif worst.follows:
        said = say("fate-no-after", use=use, ready=_from(c, wanted), begun=_begun(c, worst))
    else:
        said = say("fate-no", use=use, ready=_from(c, wanted))
    return f"{said} {say('fate-firm')}" if c.filled.situation.dates.play_by_firm is True else said


def _from(c: Consultation, ready: Ready) -> str:
    if ready.late is None:
        return c.knowledge.text("fate-ready-unknown")
    if ready.middle is None or ready.middle == ready.late:
        return c.knowledge.language.day(ready.late)
    return c.knowledge.text("fate-ready-range", middle=ready.middle, late=ready.late)
