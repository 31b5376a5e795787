"""Reads what a person answers to one question: a small grammar of its own, one function for each kind of
answer.
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Final

from decide.parse.amounts import read_length, read_number
from decide.parse.answer_rows import about, by_rows
from decide.parse.areas import read_area
from decide.parse.choices import HALF_SURE, is_hedged, is_whole_list, read_choice, read_list, read_yes_no
from decide.parse.dates import read_date
from decide.parse.dates_counted import with_year
from decide.parse.dates_told import dates_told
from decide.parse.guards import guarded
from decide.parse.loose import lengths_joined, loosely
from decide.parse.matching import SMALL, by_number, matching
from decide.parse.mending import clauses, mended, no_answer
from decide.parse.money import read_money
from decide.parse.months import read_months
from decide.parse.numbers import NumberTrouble, tidy
from decide.parse.places import read_place
from decide.parse.plain import LONGEST, clean, fold, too_long, words
from decide.parse.question import Question
from decide.parse.results import (
    AnswerChoice,
    AskBack,
    Elsewhere,
    NotUnderstood,
    Reading,
    Result,
    Setting,
    Understood,
    Unknown,
)
from decide.parse.spoken_amounts import ask_how_much, in_metres, still_said, without_asides
from decide.parse.spoken_list import read_named
from decide.parse.sprays import read_sprays
from decide.parse.uses import read_uses
from decide.parse.vocabulary import all_plainly, any_of, pattern_of, phrases, rows, said_plainly, words_of
from decide.parse.vocabulary import found as found_in
from decide.parse.wording import SAY_UNIT, say_amount, say_value
from decide.parse.zones import read_zones


def read_answer(question: Question, line: str, setting: Setting) -> Result:
    """What `line` says as answer to a question, a bold answer only where the whole line bears it. Never
    raises for any text.
    """
    if too_long(line) or not (plain := clean(line)):
        return read(question.kind, line, setting)
    text, _ = mended(plain, setting)
    return guarded(question, _read_answer(question, text, setting), text, setting)


def _read_answer(question: Question, text: str, setting: Setting) -> Result:
    """What a cleaned line says: what the tables know of its answers goes before the grammar of its kind."""
    choices = (*question.choices, *question.more)
    said = said_plainly(text)
    offered = _on_offer(question, text, setting)
    if offered is not None:
        return offered
    found = by_rows(question.id, said, setting, choices, question.unit)
    if found is not None:
        agreed = _agreed(found, text, setting) if question.kind == "yesno" else found
        return _never_bold(question, agreed, said, setting)
    if is_unknown(text, setting):
        return Unknown()
    far = about(setting, question.id).get("far")
    if far is not None and said in phrases(setting, "empty"):
        return AskBack(rows(setting, "far")["back"], _far(far, question.unit, setting))
    if no_answer(said, setting) or (question.kind == "place" and is_no_place(text, setting)):
        return NotUnderstood("")
    if question.kind == "list" and not is_whole_list(text, setting, choices):
        return read_named(question.id, text, setting, choices) or NotUnderstood("")
    result = _of_kind(question, text, setting)
    if isinstance(result, NotUnderstood):
        result = _measured(question, text, setting) or result
    return _never_bold(question, _settled(question, result, setting), said, setting)


def _measured(question: Question, text: str, setting: Setting) -> Result | None:
    """A choice that is told by an amount with its unit: a screwdriver that goes in an inch."""
    table = about(setting, question.id).get("measured")
    found = (
        None if table is None or still_said(text, setting) is None else loosely(text, table["unit"], setting)
    )
    if table is None or not isinstance(found, Understood) or "steps" not in table:
        return found
    step = next(one for one in table["steps"] if found.value <= one.get("most", found.value))
    return Understood(step["is"])


def _never_bold(question: Question, result: Result, said: str, setting: Setting) -> Result:
    """What a half-sure line says of a question of safety: its cautious answer, whatever else it holds."""
    cautious = about(setting, question.id).get("hedge")
    if cautious is None or not is_hedged(said, setting, safety=True):
        return result
    unread = isinstance(result, NotUnderstood) and len(said.split()) <= _SENTENCE
    bold = isinstance(result, Understood) and result.value is not cautious
    return _cautious(cautious, setting) if unread or bold else result


def _cautious(value: bool, setting: Setting) -> Understood:
    return Understood(value, rows(setting, "hedge").get("note-yes" if value else "note", ""))


def _far(far: float, unit: str, setting: Setting) -> tuple[Reading, ...]:
    """The readings of "none" to a distance: nothing as far as counts, or nothing that is in sight."""
    talk = rows(setting, "far")
    yes = Reading(talk["yes"].format(far=say_amount(far, SAY_UNIT.get(unit, unit))), far)
    return yes, Reading(talk["no"], Elsewhere(talk["then"]))


def _on_offer(question: Question, text: str, setting: Setting) -> Result | None:
    """The answer where the line is, letter for letter, one that the question offers, or its number."""
    if question.kind not in ("choice", "yesno"):
        return None
    numbered = by_number(text, question.choices) if question.kind == "choice" else None
    if numbered is not None:
        return Understood(numbered.value)
    said = said_plainly(text)
    every = (*question.choices, *question.more)
    exact = [choice for choice in every if said in all_plainly(choice.say)]
    return Understood(exact[0].value) if len(exact) == 1 and said not in phrases(setting, "hedge") else None


def _agreed(found: Result, text: str, setting: Setting) -> Result:
    """What a row says of a yes or no, unless the line's own yes or no says the other."""
    if not isinstance(found, Understood) or not isinstance(found.value, bool):
        return found
    plain = read_yes_no(text, setting)
    opens = isinstance(plain, Understood) and words(text)[0] in words_of(setting, "yes") | words_of(
        setting, "no"
    )
    if opens and isinstance(plain, Understood) and plain.value is not found.value:
        return HALF_SURE
    return found


def _of_kind(question: Question, text: str, setting: Setting) -> Result:
    """What the grammar of the kind reads of a line, an amount without what is said round it."""
    unit = question.unit
    if question.kind == "date":
        text = with_year(fold(text))
    if question.kind in _AMOUNTS:
        told = still_said(text, setting)
        if told is None:
            return AskBack(ask_how_much(setting), ())
        text = without_asides(told, setting)
        if unit == "m":
            text = lengths_joined(text)
            return in_metres(text, setting, lambda plain: _in_clauses(question, plain, setting))
    return _in_clauses(question, text, setting)


def _in_clauses(question: Question, text: str, setting: Setting) -> Result:
    """What the grammar of the kind reads in a line, else in the one clause of it that it can read."""
    choices, unit = (*question.choices, *question.more), question.unit
    result = read(question.kind, text, setting, choices=choices, unit=unit)
    if question.kind not in _BY_CLAUSE or not isinstance(result, NotUnderstood):
        return result
    pieces = clauses(text)
    heard = [(piece, read(question.kind, piece, setting, choices=choices, unit=unit)) for piece in pieces]
    good = [(piece, one) for piece, one in heard if isinstance(one, Understood)]
    if good and all(one.value == good[0][1].value for _, one in good):
        rest = tuple(piece for piece in pieces if piece != good[0][0])
        return replace(good[0][1], unread=rest)
    if len(good) > 1 and question.kind in _BY_CLAUSE:
        return AskBack("Which is meant?", tuple(Reading(piece, one.value) for piece, one in good[:4]))
    back = [one for _, one in heard if isinstance(one, AskBack)]
    if len(back) == 1 and not good:
        return back[0]
    if question.kind == "date":
        return _dates(question, text, setting) or result
    found = loosely(text, unit, setting) if unit and question.kind in ("number", "length") else None
    return result if found is None else found


def _dates(question: Question, text: str, setting: Setting) -> Result | None:
    """The one date of a sentence, with what it is for; two are kept where one is for training and one for
    matches, else asked back.
    """
    found, said = list(dates_told(text, setting)), said_plainly(text)
    if len(found) == 1 and isinstance(found[0][2], AskBack):
        return found[0][2]
    table = about(setting, question.id)
    roles, vague = table.get("roles", {}), table.get("which-day", {})
    if (
        len(found) == 1
        and not any(map(str.isdigit, found[0][1]))
        and not found_in(vague.get("unless", "(?!)"), found[0][1])
        and found_in(vague.get("when", "(?!)"), said)
    ):
        return AskBack(vague["back"], ())
    days: dict[str, str] = {}
    for clause, _, result in found:
        if isinstance(result, Understood):
            fits = [role for role, pattern in roles.items() if any_of((pattern,)).search(clause)]
            days.setdefault(str(result.value), fits[0] if len(fits) == 1 else "")
    if len(days) == 1:
        ((day, role),) = days.items()
        return Understood(day, also={"dates.first_use": role} if role else {})
    by_role = {role: day for day, role in days.items()}
    if (
        len(days) == 2
        and {"training", "matches"} == set(by_role)
        and by_role["training"] < by_role["matches"]
    ):
        return Understood(
            by_role["training"],
            also={"dates.first_use": "training", "dates.matches_by": by_role["matches"]},
        )
    if days:
        return AskBack(
            "By which of these days is it wanted?",
            tuple(
                Reading(f"{named} ({clause})", one.value)
                for clause, named, one in found[:4]
                if isinstance(one, Understood)
            ),
        )
    return None


def _settled(question: Question, result: Result, setting: Setting) -> Result:
    """A half-sure yes, or the two ends of a range, as the tables say that they are to be taken."""
    table = about(setting, question.id)
    if result == HALF_SURE and "hedge" in table:
        return _cautious(table["hedge"], setting)
    if question.key.startswith("dates.") and question.kind == "date" and isinstance(result, Understood):
        return result if str(result.value) >= setting.today.isoformat() else NotUnderstood("That day is past")
    if isinstance(result, AskBack) and result.ends and len(result.readings) == 2 and "range" in table:
        low, high = sorted(result.readings, key=lambda one: float(one.value))
        if table["range"] == "middle":
            middle = tidy((float(low.value) + float(high.value)) / 2)
            if float(high.value) - float(low.value) > table["range-most"]:
                return result
            return Understood(middle, f"I take the middle, {say_value(middle, question.unit)}.")
        taken = high if table["range"] == "high" else low
        return Understood(taken.value, f"I take the {table['range']}er end, {taken.say}.")
    return result


# Half-sure words of a longer line are hardly about the question.
_SENTENCE: Final = 12
_AMOUNTS: Final = frozenset({"number", "length", "area", "money"})
_BY_CLAUSE: Final = _AMOUNTS | {"date"}


def is_unknown(text: str, setting: Setting) -> bool:
    """Whether the answer says in any usual way that the person does not know."""
    said = said_plainly(re.sub(r"[,;.!]|(?<=\w)\?", " ", text))
    return said in phrases(setting, "unknown") or pattern_of(setting, "unknown").fullmatch(said) is not None


def is_no_place(text: str, setting: Setting) -> bool:
    """Whether a line is a common word where a town is asked for: "no" is near in its letters to some town."""
    said = said_plainly(text)
    if any(
        said in phrases(setting, name) for name in ("yes", "no", "hedge", "either", "empty", "everything")
    ):
        return True
    small = words_of(setting, "yes") | words_of(setting, "no") | words_of(setting, "no-place")
    return all(word in small for word in words(said))


def read(
    kind: str,
    line: str,
    setting: Setting,
    *,
    choices: Sequence[AnswerChoice] = (),
    unit: str = "",
) -> Result:
    """What `line` says as answer of a kind; never raises for any text."""
    if too_long(line):
        return NotUnderstood(f"That is longer than {LONGEST} letters. Say it in a few words.")
    text = clean(line)
    if not text:
        return NotUnderstood('I heard nothing. Write an answer, or "don\'t know".')
    if is_unknown(text, setting):
        return Unknown()
    try:
        return _READERS.get(kind, _free_text)(text, setting, choices, unit)
    except NumberTrouble as trouble:
        return NotUnderstood(str(trouble))


def _date(text: str, setting: Setting, _choices: Sequence[AnswerChoice], _unit: str) -> Result:
    return read_date(text, setting)


def _months(text: str, setting: Setting, _choices: Sequence[AnswerChoice], _unit: str) -> Result:
    return read_months(text, setting)


def _free_text(text: str, _setting: Setting, choices: Sequence[AnswerChoice], _unit: str) -> Result:
    numbered = by_number(text, choices) if choices else None
    return Understood(numbered.value if numbered is not None else text[:200])


_Reader = Callable[[str, Setting, Sequence[AnswerChoice], str], Result]
_READERS: Final[dict[str, _Reader]] = {
    "choice": read_choice, "number": read_number, "area": read_area, "length": read_length,
    "money": read_money, "date": _date, "months": _months, "place": read_place, "yesno": read_yes_no,
    "list": read_list, "text": _free_text, "zones": read_zones, "uses": read_uses, "sprays": read_sprays,
}  # fmt: skip
KINDS: Final = tuple(_READERS)


def pick(line: str, readings: Sequence[Reading]) -> Reading | None:
    """The reading that a person picks, by its number, its words or a near spelling; None where none is
    meant.
    """
    if too_long(line):
        return None
    text = clean(line)
    options = [AnswerChoice(at, (reading.say,)) for at, reading in enumerate(readings)]
    numbered = by_number(text, options)
    if numbered is not None:
        return readings[int(numbered.value)]
    said = fold(text)
    same = [reading for reading in readings if fold(reading.say) == said]
    if len(same) == 1:
        return same[0]
    row = set(words(text)) - SMALL
    inside = [reading for reading in readings if row and row <= set(words(reading.say))]
    if len(inside) == 1:
        return inside[0]
    found = matching(text, options, _NOWHERE)
    return readings[int(found[0].value)] if len(found) == 1 else None


_NOWHERE: Final = Setting(today=dt.date(2000, 1, 1))
