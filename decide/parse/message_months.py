"""Reads in which months the field is played on."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Any

from decide.parse.heard import Doubt, Told
from decide.parse.message_text import Clause, Message, pattern
from decide.parse.months import MONTH_CODES, month_number, read_months, runs_until, say_months
from decide.parse.results import Reading, Understood

_Uses = list[dict[str, Any]]


def read_months_of_use(message: Message, uses: _Uses, clauses: Mapping[str, Sequence[Clause]]) -> None:
    """Gives the uses their months; where only the last one is told, the first is asked back."""
    forms, own = message.speech.table("message_dates")["forms"], message.speech.table("message_use")["months"]
    month, season = forms["months"], forms["seasons"]
    one = rf"(?:{own['part']})?(?:{month})(?! \d)"
    runs = (
        rf"(?:from )?{one} ?(?:{own['to']}) ?{one}",
        rf"between {one} and {one}",
        rf"{season} and {season}",
        rf"(?:{own['through']}) {season}",
        "all year(?: round)?",
    )
    for clause in message.telling():
        match = next((m for run in runs for m in pattern(run).finditer(clause.text)), None)
        if match is not None and not _of_play(match, clause, own):
            continue
        if match is None:
            _until(message, uses, clauses, clause, one)
            continue
        months = [] if message.taken(clause, match.start(), match.end()) else _read(match[0], message, own)
        for use in _meant(uses, clauses, clause) if months else ():
            told = {*use.get("months", ()), *months}
            use["months"] = [code for code in MONTH_CODES if code in told]
            message.use(clause)
            message.take(clause, match.start(), match.end())
    _rest(message, uses, clauses)


def _read(said: str, message: Message, own: Mapping[str, Any]) -> list[str]:
    """The months of a run of months or seasons."""
    plain = re.sub(rf"\b{own['part']}", " ", re.sub(r"\btil\b", "till", said))
    plain = pattern(rf"(?:{own['through']})(?! year)").sub(" ", plain.replace("through to", "to"))
    result = read_months(" ".join(plain.split()), message.setting)
    return list(result.value) if isinstance(result, Understood) and result.value else []


def _meant(uses: _Uses, clauses: Mapping[str, Sequence[Clause]], clause: Clause) -> Sequence[dict[str, Any]]:
    """The uses that a clause with months is about: that of its sport, else of its sentence, else the only
    one.
    """
    here = [use for use in uses if any(one.start == clause.start for one in clauses[use["sport"]])]
    here = here if len(here) == 1 else []
    here = here or [
        use for use in uses if any(one.sentence == clause.sentence for one in clauses[use["sport"]])
    ]
    here = here[:1] if len(uses) == 1 or len(here) == 1 else here if len(here) == len(uses) else []
    return here or (uses if len(uses) == 1 else [])


def _of_play(match: re.Match[str], clause: Clause, own: Mapping[str, Any]) -> bool:
    """Whether months that stand in a clause are those of play: a season needs a word for it, and a run none
    for rest.
    """
    if match[0].startswith(tuple(own["lone"])):
        return _plays(clause, own)
    return pattern(*own["rests"]).search(clause.text) is None


def _plays(clause: Clause, own: Mapping[str, Any]) -> bool:
    """Whether a clause tells that the field is played on, and of no play that is to come."""
    return (
        pattern(*own["play"]).search(clause.text) is not None
        and pattern(*own["not"]).search(clause.text) is None
    )


def _until(
    message: Message, uses: _Uses, clauses: Mapping[str, Sequence[Clause]], clause: Clause, month: str
) -> None:
    """Asks back since when it is played on, where a clause tells only until when."""
    own = message.speech.table("message_use")["months"]
    day = r"(?:the )?(?:\d{1,2}(?:st|nd|rd|th)?(?: of)? )?"
    found = pattern(
        rf"(?:{own['until']}) {day}(?P<one>{month})", rf"(?:{own['ends']}) {day}(?P<two>{month})"
    ).search(clause.text)
    here = list(_meant(uses, clauses, clause))
    if found is None or not here or not _plays(clause, own) or any("months" in use for use in here):
        return
    if message.taken(clause, found.start(), found.end()):
        return
    last = month_number((found["one"] or found["two"]).split()[-1])
    if last is None:
        return
    readings = []
    for codes in runs_until(last):
        rows = [{**use, "months": codes} if use in here else use for use in uses]
        readings.append(Reading(say_months(codes), (Told("use", rows, message.words(clause)),)))
    message.use(clause)
    message.take(clause, found.start(), found.end())
    text = message.say("since", words=message.words(clause))
    message.doubts.append(Doubt(text, message.words(clause), "use", None, tuple(readings)))


def _rest(message: Message, uses: list[dict[str, Any]], clauses: Mapping[str, Sequence[Clause]]) -> None:
    """The months that one sport leaves to another: cricket the rest."""
    told = [use for use in uses if "months" in use]
    open_ = [use for use in uses if "months" not in use]
    if len(told) == 1 and len(open_) == 1:
        rest = pattern("the rest(?: of the year)?", "otherwise", "the other months")
        for clause in (one for one in clauses[open_[0]["sport"]] if rest.search(one.text)):
            message.use(clause)
            open_[0]["months"] = [code for code in MONTH_CODES if code not in told[0]["months"]]
