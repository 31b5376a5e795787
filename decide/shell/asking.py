"""What a talk asks: the next question that matters, a question back about two answers that cannot both
hold, or a new start.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

from decide.parse.local import in_country_words
from decide.parse.plain import clean
from decide.parse.question import Question
from decide.parse.results import DONT_KNOW, Reading
from decide.shell import table
from decide.shell.advising import advise, next_hint
from decide.shell.conflicts import Conflict, conflicts, edit
from decide.shell.keeping import keep
from decide.shell.parts import missing_part
from decide.shell.showing import count, label
from decide.shell.state import Pending, Say, State

OPENING: Final = "Tell me about your field."
OPENING_HINT: Final = (
    "In your own words: the town, what is wrong and where, who plays, and by when you want it back. "
    'Or say "ask me", and I ask one thing at a time.'
)
_COMMANDS: Final = (
    "don't know", "advice", "back", "help", "why do you ask", "change ", "show answers", "save", "save as ",
    "start again", "leave",
)  # fmt: skip
_WITH_ADVICE: Final = (
    "why", "why not ", "what if ", "what would it take to use ", "how sure are you", "what matters next",
    "says who", "this week", "more", "week", "plan", "water", "care", "money", "reasons", "all", "details",
)  # fmt: skip


@dataclass(frozen=True)
class Prompt:
    """What is asked now: the text, the choices on offer (in their order), and how many questions may be left.

    `left` is an estimate, since an answer can make other questions matter; None where nothing can be
    said.
    """

    text: str
    choices: tuple[str, ...] = ()
    left: int | None = None
    hint: str = ""
    question: str = ""


def prompt(state: State) -> Prompt:
    """What to ask now."""
    if state.pending is not None:
        readings = tuple(reading.say for reading in state.pending.readings)
        return Prompt(state.pending.text, readings, question="back")
    if state.opening:
        return Prompt(OPENING, hint=OPENING_HINT, question="opening")
    question = state.question
    if question is None:
        if state.advice is None:
            return Prompt("Say change and what to change, or leave.", question="result")
        hint = next_hint(state) if state.fresh_advice else "Help says what you can ask."
        return Prompt("What next?", hint=hint, question="result")
    place = state.answers.get("place")
    country = place.get("country") if isinstance(place, dict) else None
    question = in_country_words(question, country, state.tools.speech.local)
    left = None if question.part is not None else state.tools.left(state.answers, state.details)
    return Prompt(
        state.tools.in_words(label(question), state.answers),
        tuple(state.tools.in_words(choice.shown, state.answers) for choice in question.choices),
        max(0, left - 1) if left is not None else None,
        'or "same"' if table.earlier(state.answers, question) is not None else "",
        question.id,
    )


def vocabulary(state: State) -> tuple[str, ...]:
    """Words that may be completed now: choices, and the commands."""
    asked = state.question if state.pending is None else None
    more = tuple(choice.shown for choice in asked.more) if asked is not None else ()
    return (*prompt(state).choices, *more, *(_WITH_ADVICE if state.advice is not None else ()), *_COMMANDS)


def missing(state: State) -> list[str]:
    """What is still to be asked before advice: the question in hand and how many may be left."""
    if state.pending is not None:
        return [state.pending.text]
    if state.opening:
        return ["where the field is, what is wrong with it, and by when you want it back."]
    if state.question is None:
        return []
    left = state.tools.left(state.answers, False)
    return [label(state.question), *([f"And perhaps {left - 1} more."] if left > 1 else [])]


def go_on(state: State) -> list[Say]:
    """Asks back about a contradiction, asks the next question, or gives advice when nothing that matters
    is left.
    """
    for conflict in conflicts(state.answers, state.today):
        if conflict.code not in state.waved:
            _ask_conflict(state, conflict)
            return []
    return next_question(state)


def next_question(state: State) -> list[Say]:
    """Asks the next question, or gives advice when nothing that matters is left."""
    state.opening = False
    if state.forced is not None:
        state.question = state.forced
        return []
    asks = state.details or not state.enough
    first = state.tools.ask_next(state.answers, state.details) if asks else None
    if asks and (first is None or not first.always):
        first = missing_part(state.answers, state.tools.questions, state.asked_uses) or first
    state.question = first
    if state.question is not None:
        return []
    if state.details:
        state.details = False
        return [Say("That was the last of the details."), *advise(state)]
    return advise(state) if state.stale else []


def _ask_conflict(state: State, conflict: Conflict) -> None:
    def settled(edits: Any) -> list[Say]:
        if not edits:
            state.waved.add(conflict.code)
        edit(state.answers, edits)
        dropped = [key for key, value in edits if value is table.DROP]
        again = dropped and len(dropped) == len(edits) and not conflict.code.startswith("water")
        state.forced = _question_of_key(state, dropped[0]) if again else None
        state.stale = True
        return [*keep(state), *go_on(state)]

    def waved() -> list[Say]:
        state.waved.add(conflict.code)
        return [Say("Then both stand for now; the advice may be less sure."), *go_on(state)]

    readings = tuple(Reading(say, edits) for say, edits in conflict.readings)
    state.pending = Pending(conflict.text, readings, settled, waved)


def _question_of_key(state: State, key: str) -> Question | None:
    if key.startswith("zone:"):
        zone, _, inner = key.removeprefix("zone:").rpartition(".")
        found = state.tools.question(f"zone.{'area_m2' if inner == 'share_percent' else inner}")
        return found.at(zone) if found is not None else None
    return state.tools.question(key)


def ask_resume(state: State) -> None:
    """Asks whether to go on with the answers from before."""
    place = state.answers.get("place")
    town = place.get("name") if isinstance(place, dict) else None
    about = f" about {clean(str(town))[:40]}" if town and town != DONT_KNOW else ""
    number = count(state.answers, state.tools.questions)
    many = "1 answer" if number == 1 else f"{number} answers"

    def settled(goes_on: Any) -> list[Say]:
        return [Say("Good. We go on where you stopped."), *go_on(state)] if goes_on else _restart(state)

    state.pending = Pending(
        f"There is a talk{about} from before, with {many}. Go on with it?",
        (Reading("yes", True), Reading("no, start again", False)),
        settled,
        yes_no=True,
        holds=True,
    )


def ask_restart(state: State) -> list[Say]:
    """Asks whether to put the answers aside."""

    def settled(sure: Any) -> list[Say]:
        return _restart(state) if sure else [Say("We go on.")]

    state.pending = Pending(
        "Put these answers aside and start again?",
        (Reading("yes", True), Reading("no", False)),
        settled,
        yes_no=True,
    )
    return []


def _restart(state: State) -> list[Say]:
    said: list[Say] = []
    if state.kept is not None:
        aside = state.kept.set_aside()
        if aside is not None:
            said.append(Say(f"The old answers are in {aside}."))
    for held in (state.answers, state.turns, state.waved, state.doubts, state.asked_uses):
        held.clear()
    state.advice = state.seen = state.forced = state.question = None
    state.stale, state.details, state.enough = True, False, False
    state.opening = True
    return said
