"""A line in a talk, taken as a whole: as the answer to what is asked back or asked, and as whatever else it
tells or asks.
"""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from dataclasses import replace

from decide.parse.answers import is_unknown, pick
from decide.parse.choices import read_yes_no
from decide.parse.heard import Ask, Doubt, Heard, Told
from decide.parse.plain import fold
from decide.parse.question import Question
from decide.parse.results import Elsewhere, Reading, Understood
from decide.parse.several import is_of_several, read_several
from decide.shell import advising, table
from decide.shell.asking import go_on, next_question
from decide.shell.hearing import declined_back, heard, take, tells
from decide.shell.parts import ALL, missing_part
from decide.shell.state import Pending, Say, State
from decide.shell.tools import EXAMPLE
from decide.shell.wishes import fulfil, of_advice, steers

# So many readings are named by their numbers.
_FEW = 3
# "September to the end of May" has so many words.
_MONTHS = 6
# So many pieces of a line that answer what is asked together are no accident.
_SEVERAL = 2
# Several answers to one line have so many lines of so many columns together; what is over is asked for again.
_MOST_LINES, _WIDTH = 8, 80


def _is_on_offer(state: State, text: str) -> bool:
    """Whether the line is word for word one of the answers on offer, which then is no question."""
    said = fold(text).strip(" .!")
    asked = state.question
    return asked is not None and any(
        fold(phrase) == said for choice in asked.choices for phrase in choice.say
    )


def listen(state: State, text: str) -> list[Say]:
    """Takes a line that answers what is asked, or tells or asks something else."""
    if state.pending is not None:
        return _settle(state, state.pending, text)
    if _two_games(state, text):
        return miss(state, "One game at a time, please: how many hours a week, in which months, and who?")
    line, question = _meant(state, text)
    if line.asks and _is_on_offer(state, text):
        line = replace(line, asks=())
    if tells(line) or line.doubts or line.asks or line.declined:
        return _act(state, line, question)
    return _nothing_heard(state, text, line)


def _meant(state: State, text: str) -> tuple[Heard, Question | None]:
    """What a line says, as the answer to the question in hand; where it is none, to others that are open."""
    line, question = heard(state, text, state.question), state.question
    if not (tells(line) or line.asks or line.doubts or line.declined):
        return _of_use(state, text) or _of_others(state, text) or (line, question)
    if question is not None and tells(line) and not line.asks and not line.doubts:
        other = _of_others(state, text)
        if other is not None and len(other[0].told) > len(line.told):
            return other
    return line, question


def _nothing_heard(state: State, text: str, line: Heard) -> list[Say]:
    """What is said to a line that tells and asks nothing."""
    if state.opening:
        return _no_opening(state, text)
    if state.question is None:
        return advising.after_advice(state, text)
    named = fold(text).strip(" .!?")
    if state.advice is not None and named in advising.SECTIONS:
        return advising.section(state, named)
    return miss(state, line.miss or _hint(state.question))


def _of_use(state: State, text: str) -> tuple[Heard, Question] | None:
    """A line that tells hours or months of the use of which they are still missing, whatever is asked; None
    where it does not.
    """
    question = missing_part(state.answers, state.tools.questions)
    if question is None or question.part is None or question.part[1] != ALL:
        return None
    asked = state.question is not None and state.question.part == question.part
    line = heard(state, f"{text} hours a week" if asked and text.isdecimal() else text, question)
    rows = [row for one in line.told if one.key == "use" for row in one.value]
    # A month alone may be one in which the ground is shut, unless it is all that is said; one word, the day
    # that is wanted, unless months are asked.
    short = (1 if asked else 2) <= len(text.split()) <= _MONTHS
    plain = any("hours_per_week" in row for row in rows) or (bool(rows) and short)
    back = [one for doubt in line.doubts for reading in doubt.readings for one in reading.value]
    since = [row for one in back if one.key == "use" for row in one.value if "months" in row]
    return (line, question) if plain or (since and (asked or len(text.split()) > _FEW - 1)) else None


def _of_others(state: State, text: str) -> tuple[Heard, Question] | None:
    """A line that answers two or more of the questions that are asked together elsewhere; None where it
    answers none of them, or one alone, which may as well be meant for the question in hand.
    """
    if not is_of_several(text, state.tools.speech):
        return None
    names = [str(zone["name"]) for zone in table.zones(state.answers)]
    most, best = _SEVERAL - 1, None
    for breath in state.tools.breaths:
        asks = tuple(
            each.at(names[0]) if each.key.startswith("zone.") else each
            for each in breath.asks
            if each.key != "zone" and (len(names) == 1 or not each.key.startswith("zone."))
        )
        if len(asks) < _SEVERAL:
            continue
        question = replace(breath, asks=asks)
        found = read_several(text, state.setting(), state.tools.speech, question)
        # A bare yes, no or number is meant for what is asked.
        pieces = {one.words for one in found.told if len(one.words.split()) > 1}
        if len(pieces) > most:
            most, best = len(pieces), question
    return None if best is None else (heard(state, text, best), best)


def _two_games(state: State, text: str) -> bool:
    """Whether hours are told of two games in one line where one is asked about."""
    asked, question = state.question, state.tools.question("use")
    if asked is None or question is None or asked.part is None or asked.part[1] != ALL:
        return False
    sports = {row.get("sport") for row in table.rows_of(state.answers, "use", None)}
    said = f" {fold(text)} "
    named = [
        choice.value
        for choice in (*question.choices, *question.more)
        if choice.value in sports and any(f" {fold(word)} " in said.replace(",", " ") for word in choice.say)
    ]
    return len(named) > 1


def tells_alone(state: State, text: str) -> bool:
    """Whether a line tells something of the field by itself, whatever is asked."""
    line = heard(state, text, None)
    return tells(line) or bool(line.doubts) or any("number" in ask.slots for ask in line.asks)


def _act(state: State, line: Heard, question: Question | None) -> list[Say]:
    """Keeps what is told, goes on, and answers what is asked."""
    wishes = [ask for ask in line.asks if steers(ask.intent)]
    said: list[Say] = []
    if tells(line) or line.doubts:
        said += take(state, line, question)
    said += declined_back(state, line)
    if (tells(line) or line.doubts) and not wishes:
        said += _onward(state)
    said += _answered(state, line)
    state.missed = ""
    return said


def _answered(state: State, line: Heard) -> list[Say]:
    """The answers to what is asked, as long as they are short; what is unclear is asked back at the end."""
    said: list[Say] = []
    later: list[str] = []
    for ask in line.asks:
        if ask.may:
            _ask_which(state, ask)
            continue
        answer = fulfil(state, ask, line)
        if said and ask.means and _lines([*said, *answer]) > _MOST_LINES:
            later.append(ask.means)
            continue
        said += answer
        if state.done:
            break
    return [*said, *([Say(f"Ask again for: {'; '.join(later)}.")] if later else [])]


def _lines(said: Sequence[Say]) -> int:
    return sum(len(textwrap.wrap(line, _WIDTH)) for each in said for line in each.text.splitlines())


def _ask_which(state: State, ask: Ask) -> None:
    """Asks back which of several things is asked; any other line is heard as it is."""
    words = state.tools.speech.table("asks-back")["say"]

    def dropped() -> list[Say]:
        state.pending = None
        return [Say(words["again"])]

    def other(text: str) -> list[Say]:
        result = read_yes_no(text, state.setting())
        if isinstance(result, Understood) and result.value:
            return miss(state, words["which"])
        if isinstance(result, Understood) or fold(text).strip(" .!") in words["none"]:
            return dropped()
        state.pending = None
        return listen(state, text)

    may = [each for each in ask.may if state.advice is not None or not of_advice(each.intent)]
    state.pending = Pending(
        words["ask"],
        tuple(Reading(each.means, each) for each in may or ask.may),
        lambda chosen: fulfil(state, chosen, Heard()),
        dropped,
        free=other,
    )


def _onward(state: State) -> list[Say]:
    if state.doubts and state.pending is None:
        ask_doubt(state)
        return []
    return go_on(state)


def ask_doubt(state: State) -> None:
    """Asks back about the first of the doubts."""
    doubt = state.doubts.pop(0)
    question = state.tools.question(doubt.key) if doubt.key else None
    if question is not None and doubt.zone is not None:
        question = question.at(doubt.zone)
    if state.question is not None and question is not None and state.question.key == question.key:
        question = state.question

    def taken(line: Heard) -> list[Say]:
        state.pending = None
        return [*take(state, line, question), *_next_after_doubt(state)]

    def unknown() -> list[Say]:
        return taken(Heard(unknown=((doubt.key, doubt.zone),)) if doubt.key else Heard())

    state.pending = Pending(
        doubt.text,
        doubt.readings,
        lambda value: taken(Heard(told=_told_of(doubt, value))),
        unknown,
        question=question,
        drop=lambda: [Say("We leave that open."), *_next_after_doubt(state)],
    )


def _told_of(doubt: Doubt, value: object) -> tuple[Told, ...]:
    """What a reading of a doubt tells."""
    if isinstance(value, tuple):
        return value
    return (Told(doubt.key, value, doubt.words, doubt.zone),)


def _next_after_doubt(state: State) -> list[Say]:
    if state.doubts:
        ask_doubt(state)
        return []
    return go_on(state)


def _settle(state: State, pending: Pending, text: str) -> list[Say]:
    """Takes the answer to a question back; a line that tells or asks something else is heard too."""
    chosen = pick(text, pending.readings)
    if chosen is None and (pending.yes_no or len(pending.readings) == 1):
        result = read_yes_no(text, state.setting())
        if isinstance(result, Understood) and (pending.yes_no or result.value):
            chosen = pending.readings[0 if result.value else 1]
    if chosen is not None:
        return _chosen(state, pending, chosen)
    if is_unknown(text, state.setting()) and pending.unknown is not None:
        state.pending = None
        return pending.unknown()
    if pending.free is not None:
        wish = next((ask for ask in heard(state, text, None).asks if steers(ask.intent)), None)
        return pending.free(text) if wish is None else fulfil(state, wish, Heard())
    return _not_chosen(state, pending, text)


def _not_chosen(state: State, pending: Pending, text: str) -> list[Say]:
    if pending.holds:
        state.held = text
        return miss(state, "First this: answer yes or no. What you wrote is kept and read after it.")
    none = read_yes_no(text, state.setting())
    if pending.question is not None and isinstance(none, Understood) and not none.value:
        state.pending, state.missed = None, ""
        return [Say("Then say it in other words.")] if state.question is not None else go_on(state)
    line = heard(state, text, pending.question or state.question)
    if tells(line) or line.asks or line.doubts or line.declined:
        return _beside(state, pending, line)
    if state.missed and pending.drop is not None:
        state.pending, state.missed = None, ""
        return pending.drop()
    many = len(pending.readings)
    numbers = " or ".join(map(str, range(1, many + 1))) if many <= _FEW else f"a number from 1 to {many}"
    ask = "Say it in other words" if not many else f"Answer {'yes or no' if pending.yes_no else numbers}"
    return miss(state, f"{ask}.")


def _chosen(state: State, pending: Pending, chosen: Reading) -> list[Say]:
    state.pending, state.missed = None, ""
    said = [Say(chosen.value.say)] if isinstance(chosen.value, Elsewhere) else pending.then(chosen.value)
    if state.held and state.pending is None:
        line, state.held = state.held, ""
        said += listen(state, line)
    return said


def _beside(state: State, pending: Pending, line: Heard) -> list[Say]:
    """A line that was not the answer to a question back: it may settle it, or leave it open."""
    asked = pending.question
    settled = asked is not None and any(one.key == asked.key for one in line.told)
    again = asked is not None and any(one.key == asked.key for one in line.doubts)
    state.pending = None
    if any(steers(ask.intent) for ask in line.asks):
        state.pending = pending if line.asks[0].intent == "go_back" and not tells(line) else None
        return _act(state, line, asked or state.question)
    said = _act(state, line, asked or state.question)
    waits = tells(line) and not settled and not again
    if (waits and state.pending is None and not state.done and pending.drop is not None) or (
        not tells(line) and not line.doubts and state.pending is None and not state.done
    ):
        state.pending = pending
    return said


def _no_opening(state: State, text: str) -> list[Say]:
    """What is said to a first message that tells nothing: an example, and then one question at a time."""
    asked = state.tools.speech.table("shell").get("one-by-one", {}).get("say", ())
    if is_unknown(text, state.setting()) or fold(text).strip(" .!?") in asked or state.missed:
        state.opening, state.missed = False, ""
        return [Say("Then one question at a time."), *next_question(state)]
    return miss(state, f"I did not get that. Say it like this: {EXAMPLE}")


def miss(state: State, say: str) -> list[Say]:
    """Says that nothing was understood: never the same line twice in a row."""
    if say == state.missed:
        say = 'Still not clear to me. "Don\'t know" goes on; "help" says what I can read.'
    state.missed = say
    return [Say(say, "error")]


def _hint(question: Question) -> str:
    example = next((choice.shown for choice in question.choices), "")
    return f"I did not get that. {f'Say such as: {example}.' if example else 'Say it in other words.'}"


def same(state: State) -> list[Say]:
    """Takes the answer that the part before has."""
    question = state.question
    assert question is not None
    value = table.earlier(state.answers, question)
    if value is None:
        return [Say("There is no part before this one with an answer.", "error")]
    told = Told(question.key, value, "same", question.zone)
    return _act(state, Heard(told=(told,)), question)
