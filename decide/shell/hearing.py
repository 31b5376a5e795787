"""What one line does in a talk: what it tells is checked, written down and said back; what is doubtful
waits to be asked back; what it asks is answered.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any, Final

from decide.model.errors import DecideError
from decide.parse.declined import say_declined
from decide.parse.echo import say_told
from decide.parse.hear import hear
from decide.parse.heard import Doubt, Heard, Told
from decide.parse.question import Question
from decide.parse.results import DONT_KNOW, Reading
from decide.shell import table, telling
from decide.shell.keeping import keep
from decide.shell.parts import ALL, open_parts
from decide.shell.showing import label, shown
from decide.shell.state import Say, State, Turn
from decide.shell.tools import Answers

_MOST_UNREAD: Final = 12
_PIECE: Final = 60


def heard(state: State, text: str, question: Question | None) -> Heard:
    """What a line says, as the answer to a question and beyond it."""
    asked = question if question is None else _in_words(state, question)
    return hear(text, state.setting(question), state.tools.speech, answers=state.answers, question=asked)


def _in_words(state: State, question: Question) -> Question:
    """The question with its choices also by the words in which they are shown in this country."""
    if not question.choices:
        return question
    here = [state.tools.in_words(choice.shown, state.answers) for choice in question.choices]
    choices = tuple(
        choice if words in choice.say else replace(choice, say=(*choice.say, words))
        for choice, words in zip(question.choices, here, strict=True)
    )
    return replace(question, choices=choices)


def tells(line: Heard) -> bool:
    """Whether something was told, or told to be unknown or no longer true."""
    return bool(line.told or line.unknown or line.clears)


def take(state: State, line: Heard, question: Question | None) -> list[Say]:
    """Writes down what a line tells, and says it back; what is out of its range is refused."""
    before = table.copied(state.answers)
    opening = state.opening
    good: list[Told] = []
    said: list[Say] = []
    for key in line.clears:
        telling.forget(state.answers, key, question.zone if question is not None else None)
    for heard_one in telling.in_order(line.told):
        one = _named(state, heard_one)
        asked = asked_for(question, one.key, one.zone)
        refused = _refused(state, one, asked)
        if refused:
            said.append(Say(refused, "error"))
            continue
        where = _unclear_part(state, one, asked or question)
        if where is not None:
            state.doubts.append(where)
            continue
        telling.tell(state.answers, _placed(one, asked or question), asked)
        good.append(one)
    for key, zone in line.unknown:
        _tell_unknown(state, key, zone, question)
    said += _doubted(state, line, question)
    if state.answers == before and not good and not line.unknown:
        return said
    state.turns.append(Turn(before, state.question, opening))
    if question is not None and question.part is not None and question.part[1] == ALL:
        state.asked_uses.add(question.part[0])
    if state.forced is not None and _answers(state.forced, good, line):
        state.forced = None
    state.opening, state.stale = False, True
    said += _said_back(state, good, line, question)
    said += _dropped_zones(before, state.answers)
    return said + keep(state)


def asked_for(question: Question | None, key: str, zone: str | None) -> Question | None:
    """The question in hand that a key answers: itself, or one of those that were asked in one breath."""
    if question is None:
        return None
    fit = [each for each in (question.asks or (question,)) if each.key == key]
    same = [each for each in fit if zone is None or each.zone is None or each.zone == zone]
    return same[0] if len(same) == 1 or (same and not key.startswith("zone.")) else None


def _answers(question: Question, told: list[Told], line: Heard) -> bool:
    """Whether a line answers a question, or says that the answer is not known or no longer holds."""
    places = [*((one.key, one.zone) for one in told), *line.unknown, *((key, None) for key in line.clears)]
    return any(asked_for(question, key, zone) is not None for key, zone in places)


def _named(state: State, told: Told) -> Told:
    """What was told with the parts by the names that they have already."""
    if (
        told.key == "zone"
        and isinstance(told.value, list)
        and all(isinstance(one, str) for one in told.value)
    ):
        names = [telling.zone_named(state.answers, one) for one in told.value]
        return replace(told, value=list(dict.fromkeys(names)))
    return told if told.zone is None else replace(told, zone=telling.zone_named(state.answers, told.zone))


def _doubted(state: State, line: Heard, question: Question | None) -> list[Say]:
    """Notes what is to be asked back; where no reading of it can be, that is said at once."""
    said: list[Say] = []
    for doubt in line.doubts:
        left, refused = _possible(state, doubt, question)
        if refused and not left.readings:
            said.append(Say(refused, "error"))
        elif left not in state.doubts:
            state.doubts.append(left)
    return said


def _possible(state: State, doubt: Doubt, question: Question | None) -> tuple[Doubt, str]:
    """A doubt without the readings that would be refused where they are picked, and why the first is."""
    why = [
        next(
            (
                wrong
                for one in each.value
                if (wrong := _refused(state, one, asked_for(question, one.key, one.zone)))
            ),
            "",
        )
        if isinstance(each.value, tuple)
        else ""
        for each in doubt.readings
    ]
    readings = tuple(each for each, wrong in zip(doubt.readings, why, strict=True) if not wrong)
    return replace(doubt, readings=readings), next(filter(None, why), "")


def _placed(told: Told, question: Question | None) -> Told:
    """What was told with the part of the field that is in hand, where no other is named."""
    if told.zone is None and told.key.startswith("zone.") and question is not None and question.zone:
        return Told(told.key, told.value, told.words, question.zone, told.note, told.corrects)
    return told


def _unclear_part(state: State, told: Told, question: Question | None) -> Doubt | None:
    """The question which part is meant, where there are several and none is named or in hand."""
    names = [str(zone["name"]) for zone in table.zones(state.answers)]
    if not told.key.startswith("zone.") or len(names) <= 1:
        return None
    whole = told.zone == table.WHOLE_FIELD and table.WHOLE_FIELD not in names
    if not whole and (told.zone is not None or (question is not None and question.zone)):
        return None
    own = state.tools.question(told.key)
    what = f"{label(own)} {shown(own, told.value)}" if own is not None else told.words[:_PIECE]
    each = tuple(Told(told.key, told.value, told.words, name) for name in names)
    readings = (
        Reading("each of them", each),
        *(Reading(one.zone or "", (one,)) for one in each),
    )
    return Doubt(f"Of which part is that true? {what}", told.words, told.key, None, readings)


def _tell_unknown(state: State, key: str, zone: str | None, question: Question | None) -> None:
    asked = asked_for(question, key, zone) or state.tools.question(key)
    if asked is None:
        return
    if zone is not None:
        asked = asked.at(telling.zone_named(state.answers, zone))
    value: Any = DONT_KNOW
    if asked.part is not None and asked.part[1] == ALL:
        row = table.rows_of(state.answers, asked.key, None)[asked.part[0]]
        row.update(dict.fromkeys(open_parts(row), DONT_KNOW))
        return
    if asked.part is not None:
        value = {"class": "unknown", "date": state.today.isoformat()}.get(asked.part[1], DONT_KNOW)
    table.put(state.answers, asked, value)


def _said_back(state: State, told: list[Told], line: Heard, question: Question | None) -> list[Say]:
    """What was taken from a line, by groups, and the pieces of it of which nothing was made."""
    here = question.zone if question is not None else None
    setting = state.setting()
    units = setting.units if setting.units in ("us", "metric") else None
    rows = [_plainly(one, asked_for(question, one.key, one.zone)) for one in told]
    back = say_told(rows, state.tools.speech, units=units, here=here)
    unknown = [_unknown_back(key, asked_for(question, key, zone)) for key, zone in line.unknown]
    said = [Say(one) for one in dict.fromkeys(unknown)]
    if back:
        said.insert(0, Say(f"Noted. {back[0]}" if len(back) == 1 else "\n".join(["Noted.", *back])))
    pieces = [f'"{piece[:_PIECE]}"' for piece in line.unread[:_MOST_UNREAD]]
    if pieces and told:
        more = len(line.unread) - len(pieces)
        rest = f"; and of {more} more piece{'s' * (more > 1)}" if more > 0 else ""
        said.append(Say(f"I made nothing of: {'; '.join(pieces)}{rest}."))
    return said


def declined_back(state: State, line: Heard) -> list[Say]:
    """What is said of what was understood and is not judged here."""
    speech = state.tools.speech
    words = (say_declined(code, speech) for code in line.declined)
    return [Say(state.tools.in_words(one, state.answers), "info") for one in words]


def _plainly(told: Told, question: Question | None) -> Told:
    """What was told of one row of a list, as such a row."""
    part = question.part if question is not None and question.key == told.key else None
    if part is None or isinstance(told.value, list):
        return told
    return replace(told, value=[{part[1]: told.value}])


def _unknown_back(key: str, question: Question | None) -> str:
    if question is not None and question.part and question.part[1] == "date":
        return "Noted: I count from today, the most careful reading."
    if key == "zone":
        return "Then we take the whole field as one."
    return "Noted: you do not know. The advice says whether it matters."


def _dropped_zones(before: Answers, after: Answers) -> list[Say]:
    """The parts of the field, of several, that are named no longer."""
    names, left = ([zone["name"] for zone in table.zones(answers)] for answers in (before, after))
    gone = [name for name in names if name not in left and len(names) > 1 and telling.REST not in left]
    return [Say(f"No longer asked about: {', '.join(gone)}. Say back to keep them.")] if gone else []


def _refused(state: State, told: Told, question: Question | None) -> str:
    """What is wrong with something told, taken alone, such as a number out of range; "" where nothing is."""
    alone: Answers = {}
    part = question.part if question is not None and question.key == told.key else None
    if part is None or isinstance(told.value, list):
        if told.key in ("zone", "history.herbicides", "history.sown", "history.sod_laid"):
            return ""
        telling.tell(alone, told, None)
    elif told.key == "use":
        alone["use"] = [{part[1]: told.value}]
    try:
        state.tools.check(alone)
    except DecideError as error:
        wrong = error.wrong.partition(": ")[2] or error.wrong
        return f"{wrong[:1].upper()}{wrong[1:]}. {error.instead}".strip()
    return ""
