"""The conversation as a state machine without a terminal: a prompt goes out, a line comes in, things are said."""

from __future__ import annotations

import datetime as dt
import difflib
import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any, Final, Literal, Protocol

from decide.model.errors import DecideError
from decide.parse.answers import is_unknown, pick, read
from decide.parse.choices import read_yes_no
from decide.parse.intents import is_proposal, read_proposal
from decide.parse.months import say_day
from decide.parse.plain import clean, fold, too_long, words
from decide.parse.results import (
    DONT_KNOW,
    AskBack,
    Elsewhere,
    NotUnderstood,
    Reading,
    Result,
    Setting,
    Understood,
    Unknown,
)
from decide.shell import commands, sheet
from decide.shell.tools import Answers, Question, Tools, View

Role = Literal["note", "error", "advice", "info"]
WHOLE_FIELD: Final = sheet.WHOLE_FIELD
MOST_LISTED: Final = 60
FEW_LEFT: Final = 10


@dataclass(frozen=True)
class Say:
    """Something said to the person, and what it is: a note, an error, advice, or information asked for."""

    text: str
    role: Role = "note"


@dataclass(frozen=True)
class Prompt:
    """What is asked now: the text, the choices on offer (in their order), and how many questions may be left.

    `left` is an estimate, since an answer can make other questions matter; it is None where it is more than a few.
    """

    text: str
    choices: tuple[str, ...] = ()
    left: int | None = None
    hint: str = ""
    question: str = ""


class Kept(Protocol):
    """Where the answers are kept."""

    def save(self, answers: Answers) -> None: ...

    def save_as(self, name: str, answers: Answers) -> object: ...

    def set_aside(self) -> object: ...


@dataclass(frozen=True)
class _Pending:
    """A question back, with its readings and what each does; `fresh` lets a new answer to the question be heard."""

    text: str
    readings: tuple[Reading, ...]
    then: Callable[[Any], list[Say]]
    unknown: Callable[[], list[Say]] | None = None
    fresh: bool = False
    yes_no: bool = False


_ALIASES: Final = {
    "date": "play-by", "deadline": "play-by", "day": "play-by", "when": "play-by", "hours": "who-plays", "sport": "who-plays",
    "months": "who-plays", "money": "budget", "zones": "where", "parts": "where", "areas": "where", "zone": "where",
    "place": "town", "city": "town", "location": "town", "tap": "flow", "bucket": "flow", "sprays": "sprayed", "spray": "sprayed",
    "herbicide": "sprayed", "weedkiller": "sprayed", "size": "field-size", "bare": "how-bare", "use": "who-plays", "play": "who-plays",
    "watering": "water", "hose": "hose-reach", "pipes": "services", "cables": "services", "coin": "thatch", "animals": "grazed",
}  # fmt: skip
_PAPER: Final = re.compile(
    r"(?P<kind>\w+)(?: list| table)?(?: (?:as|to|in|under) (?P<path>.+))?", re.IGNORECASE
)
# What a paper is called, its kind and the ending of its file.
_PAPERS: Final = {
    "page": ("page", ".html"), "sheet": ("page", ".html"), "notes": ("notes", ".md"), "minutes": ("notes", ".md"), "calendar": ("calendar", ".ics"),
    "task": ("tasks", ".csv"), "plan": ("tasks", ".csv"), "shopping": ("shopping", ".csv"),
}  # fmt: skip
HELP: Final = (
    'Answer in your own words, or with the number of a choice. "Don\'t know" is always a good answer.\n'
    "You can also say: back; change the date; why do you ask; show answers; what does sod mean; "
    "can I roll it now?; units metric or units us; save; save as NAME; start again; leave.\n"
    "Say advice to have it at once, on what you have told so far.\n"
    "When there is advice: why; why not thin sod; why is sod better than seed; what if we had a hose; "
    "what would it take to use sod; how sure are you; what matters next; says who; this week; more; less; details; "
    "save the page, the notes, the calendar, the plan or the shopping list."
)


class Talk:
    """One conversation about one field.

    `answers` is the nested table of a situation file and may hold answers from before; `kept` writes it down after
    each answer; `resumed` asks first whether to go on with them. Nothing is read from clock, environment or disk.
    """

    def __init__(
        self,
        tools: Tools,
        today: dt.date,
        answers: Answers | None = None,
        *,
        kept: Kept | None = None,
        units: str | None = None,
        resumed: bool = False,
        page: View | None = None,
    ) -> None:
        self.tools = tools
        self.today = today
        self.answers: Answers = answers if answers is not None else {}
        self.kept = kept
        self.units = units
        self.advice: Any = None
        self.depth = 0
        self.done = False
        self.page = page if page is not None else View()
        self._history: list[tuple[Question, Answers]] = []
        self._pending: _Pending | None = None
        self._forced: Question | None = None
        self._details = False
        self._waved: set[str] = set()
        self._question: Question | None = None
        self._saved_badly = False
        self._stale = True
        self._enough = False
        self._fresh = True
        self.opening: list[Say] = []
        if resumed and self.answers:
            self._ask_resume()
        else:
            try:
                self.opening = self._next()
            except DecideError as error:
                self.opening = [Say(f"That does not work: {error}", "error")]

    # What is asked ----------------------------------------------------------------------------------------------------

    def prompt(self) -> Prompt:
        """What to ask now."""
        if self._pending is not None:
            return Prompt(
                self._pending.text,
                tuple(reading.say for reading in self._pending.readings),
                None,
                question="back",
            )
        question = self._question
        if question is None:
            if self.advice is None:
                return Prompt("Say change and what to change, or leave.", question="result")
            return Prompt(
                "What next?",
                (),
                None,
                self._next_hint() if self._fresh else "Help says what you can ask.",
                "result",
            )
        left = None if question.part is not None else self.tools.left(self.answers, self._details)
        left = left if left is not None and left <= FEW_LEFT else None
        return Prompt(
            sheet.label(question),
            tuple(choice.shown for choice in question.choices),
            left,
            'or "same"' if self._earlier(question) is not None else "",
            question.id,
        )

    def vocabulary(self) -> tuple[str, ...]:
        """Words that may be completed now: choices, and the commands."""
        shown = self.prompt().choices
        more = (
            tuple(choice.shown for choice in self._question.more)
            if self._question is not None and self._pending is None
            else ()
        )
        fixed = (
            "don't know",
            "back",
            "help",
            "why do you ask",
            "change ",
            "show answers",
            "save",
            "save as ",
            "start again",
            "leave",
        )
        late = (
            (
                "why",
                "why not ",
                "what if ",
                "what would it take to use ",
                "how sure are you",
                "what matters next",
                "says who",
                "this week",
                "more",
                "less",
                "details",
            )
            if self.advice is not None
            else ()
        )
        return (*shown, *more, *late, *fixed)

    def missing(self) -> list[str]:
        """What is still to be asked before advice: the question in hand and how many may be left."""
        if self._pending is not None:
            return [self._pending.text]
        if self._question is None:
            return []
        left = self.tools.left(self.answers, False)
        text = [sheet.label(self._question)]
        if left > 1:
            text.append(f"And perhaps {left - 1} more.")
        return text

    def setting(self, question: Question | None = None) -> Setting:
        """What the reading of an answer may lean on now."""
        place = self.answers.get("place")
        place = place if isinstance(place, dict) else {}
        hemisphere = place.get("hemisphere")
        latitude = place.get("latitude")
        if hemisphere not in ("north", "south") and isinstance(latitude, (int, float)):
            hemisphere = "south" if latitude < 0 else "north"
        country = place.get("country")
        country = country.lower() if isinstance(country, str) and country != DONT_KNOW else None
        units = self.units or {None: None, "us": "us", "gb": None}.get(country, "metric")
        return Setting(
            self.today,
            hemisphere=hemisphere if hemisphere in ("north", "south") else None,
            country=country,
            units=units,
            past=question is not None and question.key.startswith("history."),
            named_areas=self.tools.named_areas() if question is not None and question.kind == "area" else {},
            find_place=self.tools.find_place,
        )

    def view(self) -> View:
        """How texts are to look now."""
        return replace(self.page, units=self.units or "")

    # What is heard ----------------------------------------------------------------------------------------------------

    def hear(self, line: str) -> list[Say]:
        """Takes one line from the person and gives what is to be said; never raises for any line."""
        if too_long(line):
            return [Say("That is too long. Say it in a few words.", "error")]
        text = clean(line)
        if not text:
            return [Say('I heard nothing. Write an answer, or "don\'t know", or help.', "error")]
        self._fresh = False
        try:
            return self._hear(text)
        except DecideError as error:
            return [Say(f"That does not work: {error}", "error")]

    def _hear(self, text: str) -> list[Say]:
        exact = self._exact_choice(text)
        if not exact:
            command = commands.match(text)
            if (
                command is not None
                and command.name == "ask"
                and (self.advice is not None or not is_proposal(text))
            ):
                return self._command(command)
            if is_proposal(text):
                return self._proposal(text)
            if command is not None and self._obeys(command, text):
                return self._command(command)
        if self._pending is not None:
            return self._settle(self._pending, text)
        if self._question is not None:
            return self._answer(self._question, text)
        return self._after_result(text)

    def _exact_choice(self, text: str) -> bool:
        """Whether the line is word for word one of the answers on offer, which then beats any command."""
        said = fold(text).strip(" .!")
        if self._pending is not None:
            return any(fold(reading.say) == said for reading in self._pending.readings)
        if self._question is None:
            return False
        return any(fold(phrase) == said for choice in self._question.choices for phrase in choice.say)

    def _obeys(self, command: commands.Command, text: str) -> bool:
        if command.name == "same":
            return self._question is not None and self._pending is None and self._question.zone is not None
        if (
            command.name == "mean"
            and self._question is not None
            and self._question.kind in ("zones", "text", "place")
        ):
            return text.lower().startswith(("what", "define", "explain", "meaning"))
        return True

    def _command(self, command: commands.Command) -> list[Say]:
        name, rest = command.name, command.rest
        if name == "why" and (self.advice is None or (self._question is not None and not rest)):
            name = "why-ask"
        handlers: dict[str, Callable[[], list[Say]]] = {
            "why-ask": self._why_ask,
            "why": lambda: self._explain(lambda: self.tools.why(self._advised(), rest)),
            "why-not": lambda: self._explain(lambda: self.tools.why_not(self._advised(), rest)),
            "ask": lambda: self._explain(lambda: self.tools.explain(self._advised(), rest)),
            "week": lambda: self._explain(lambda: self.tools.this_week(self._advised(), self.view())),
            "more": self._more,
            "less": self._less,
            "details": self._ask_details,
            "help": self._help,
            "save": self._save,
            "save-as": lambda: self._save_as(rest),
            "paper": lambda: self._explain(lambda: self._paper(rest)),
            "leave": self._leave,
            "units": lambda: self._units(rest),
            "restart": self._ask_restart,
            "show": self._show,
            "back": self._back,
            "change": lambda: self._change(rest),
            "mean": lambda: self._mean(rest),
            "advise": self._enough_said,
            "repeat": lambda: [],
            "same": self._same,
        }
        return handlers[name]()

    def _settle(self, pending: _Pending, text: str) -> list[Say]:
        chosen = pick(text, pending.readings)
        if chosen is None and pending.yes_no:
            result = read_yes_no(text, self.setting())
            if isinstance(result, Understood):
                chosen = pending.readings[0 if result.value else 1]
        if chosen is not None:
            if isinstance(chosen.value, Elsewhere):
                self._pending = None
                return [Say(chosen.value.say)]
            self._pending = None
            return pending.then(chosen.value)
        if is_unknown(text) and pending.unknown is not None:
            self._pending = None
            return pending.unknown()
        if pending.fresh and self._question is not None:
            question = self._question
            result = read(
                question.kind,
                text,
                self.setting(question),
                choices=(*question.choices, *question.more),
                unit=question.unit,
            )
            if isinstance(result, (Understood, AskBack)):
                self._pending = None
                return self._take(question, result)
        numbers = (
            " or ".join(str(at) for at in range(1, len(pending.readings) + 1))
            if len(pending.readings) < 4
            else f"a number from 1 to {len(pending.readings)}"
        )
        return [Say(f"Answer {'yes or no' if pending.yes_no else numbers}.", "error")]

    def _answer(self, question: Question, text: str) -> list[Say]:
        result = read(
            question.kind,
            text,
            self.setting(question),
            choices=(*question.choices, *question.more),
            unit=question.unit,
        )
        return self._take(question, result)

    def _take(self, question: Question, result: Result) -> list[Say]:
        if isinstance(result, NotUnderstood):
            return [Say(result.say, "error")]
        if isinstance(result, AskBack):
            self._pending = _Pending(
                result.text,
                result.readings,
                lambda value: self._accept(question, value, ""),
                lambda: self._accept(question, DONT_KNOW, ""),
                True,
            )
            return []
        if isinstance(result, Unknown):
            return self._accept(question, DONT_KNOW, "")
        return self._accept(question, result.value, result.note)

    def _accept(self, question: Question, value: Any, note: str) -> list[Say]:
        refused = self._refused(question, value)
        if refused:
            return [Say(refused, "error")]
        said: list[Say] = []
        before = sheet.copied(self.answers)
        if value == DONT_KNOW:
            value = (
                {"class": "unknown", "date": self.today.isoformat()}.get(question.part[1], DONT_KNOW)
                if question.part
                else DONT_KNOW
            )
            said.append(Say("Noted: you do not know. The advice says whether it matters."))
            if question.part and question.part[1] == "date":
                said = [Say("Noted: I count from today, the most careful reading.")]
            if question.key == "zone":
                said = [Say("Then we take the whole field as one.")]
        elif question.kind != "yesno":
            shown = sheet.shown(question, value)
            said.append(
                Say(f"Noted. {note}" if note and shown in note else f"Noted: {shown}. {note}".strip())
            )
        dropped = [zone["name"] for zone in sheet.zones(before)] if question.key == "zone" else []
        self._history.append((question, before))
        sheet.put(self.answers, question, value)
        gone = [
            name
            for name in dropped
            if name not in [zone["name"] for zone in sheet.zones(self.answers)] and len(dropped) > 1
        ]
        if gone:
            said.append(Say(f"No longer asked about: {', '.join(gone)}. Say back to keep them."))
        self._forced = None
        self._stale = True
        said += self._keep()
        return said + self._go_on()

    def _refused(self, question: Question, value: Any) -> str:
        """What is wrong with an answer taken alone, such as a number out of range; "" where nothing is."""
        alone: Answers = {}
        if question.part is None:
            sheet.put(alone, question, value)
        elif question.key == "use":
            alone["use"] = [{question.part[1]: value}]
        try:
            self.tools.check(alone)
        except DecideError as error:
            wrong = error.wrong.partition(": ")[2] or error.wrong
            return f"{wrong[:1].upper()}{wrong[1:]}. {error.instead}".strip()
        return ""

    def _go_on(self) -> list[Say]:
        """Asks back about a contradiction, asks the next question, or gives advice when nothing that matters is left."""
        conflict = next(
            (c for c in sheet.conflicts(self.answers, self.today) if c.code not in self._waved), None
        )
        if conflict is not None:
            self._ask_conflict(conflict)
            return []
        return self._next()

    def _next(self) -> list[Say]:
        if self._forced is not None:
            self._question = self._forced
            return []
        self._question = sheet.missing_part(self.answers, self.tools.questions)
        if self._question is None:
            wanted = self._details or not self._enough
            self._question = self.tools.ask_next(self.answers, self._details) if wanted else None
        if self._question is not None:
            return []
        if self._details:
            self._details = False
            return [Say("That was the last of the details."), *self._advise()]
        return self._advise() if self._stale else []

    def _ask_conflict(self, conflict: sheet.Conflict) -> None:
        def settled(edits: Any) -> list[Say]:
            if not edits:
                self._waved.add(conflict.code)
            sheet.edit(self.answers, edits)
            dropped = [key for key, value in edits if value is sheet.DROP]
            again = (
                dropped
                and all(value is sheet.DROP for _, value in edits)
                and not conflict.code.startswith("water")
            )
            self._forced = self._question_of_key(dropped[0]) if again else None
            self._stale = True
            return [*self._keep(), *self._go_on()]

        def waved() -> list[Say]:
            self._waved.add(conflict.code)
            return [Say("Then both stand for now; the advice may be less sure."), *self._go_on()]

        self._pending = _Pending(
            conflict.text, tuple(Reading(say, edits) for say, edits in conflict.readings), settled, waved
        )

    def _question_of_key(self, key: str) -> Question | None:
        if key.startswith("zone:"):
            zone, _, inner = key.removeprefix("zone:").rpartition(".")
            inner = "area_m2" if inner == "share_percent" else inner
            found = self.tools.question(f"zone.{inner}")
            return found.at(zone) if found is not None else None
        return self.tools.question(key)

    # Advice -----------------------------------------------------------------------------------------------------------

    def _advised(self) -> Any:
        """The advice on the answers as they are now."""
        if self.advice is None or self._stale:
            self.advice = self.tools.advise(sheet.for_advice(self.answers, self.today), self.units)
            self._stale = False
        return self.advice

    def _advise(self) -> list[Say]:
        try:
            advice = self._advised()
        except DecideError as error:
            self.advice = None
            return [Say(f"I cannot advise on that yet: {error}", "error")]
        self._fresh = True
        return [Say(self.tools.show(advice, self.depth, self.view()), "advice")]

    def _enough_said(self) -> list[Say]:
        """Gives advice on what is known, though questions are left."""
        self._enough, self._details, self._pending, self._forced, self._question = (
            True,
            False,
            None,
            None,
            None,
        )
        return self._advise()

    def _next_hint(self) -> str:
        left = self.tools.left(self.answers, True)
        offer = " Say details for more questions and a closer plan; stop when you like." if left else ""
        return f"Ask why, why not, this week, more; change an answer; save the page; leave.{offer}"

    def _after_result(self, text: str) -> list[Say]:
        if is_unknown(text):
            return [Say('Say "this week" for what to do first, or leave.')]
        result = read_yes_no(text, self.setting())
        if isinstance(result, Understood) and result.value and self.tools.left(self.answers, True):
            return self._ask_details()
        if isinstance(result, Understood) and not result.value:
            return [Say("Good. Your answers are kept. Say leave when you are done.")]
        return [Say("I did not understand. " + self._next_hint(), "error")]

    def _explain(self, make: Callable[[], str]) -> list[Say]:
        if self.advice is None and self._question is not None:
            return [Say("There is no advice yet. Answer on, or say advice to have it now.", "error")]
        return [Say(make(), "info")]

    def _more(self) -> list[Say]:
        if self.advice is None:
            return [Say("There is no advice yet. Answer on, or say advice to have it now.", "error")]
        self.depth += 1
        return [Say(self.tools.show(self._advised(), self.depth, self.view()), "advice")]

    def _less(self) -> list[Say]:
        self.depth = 0
        if self.advice is None:
            # "Advice" alone asks for the short answer; before there is one it is the word that brings it.
            return self._enough_said()
        return [Say(self.tools.show(self._advised(), 0, self.view()), "advice")]

    def _ask_details(self) -> list[Say]:
        if self.advice is None and self._question is not None and not self._details:
            return [
                Say("First the questions that can change the choice; the details come after them.", "note")
            ]
        self._pending = None
        self._details = True
        self._question = self.tools.ask_next(self.answers, True)
        if self._question is None:
            self._details = False
            return [Say("There are no more questions.")]
        return []

    def _proposal(self, text: str) -> list[Say]:
        sprayed = self.tools.question("history.herbicides")
        proposed = read_proposal(
            text,
            self.setting(),
            self.answers,
            grasses=self.tools.grasses,
            methods=self.tools.methods,
            sprays=(*sprayed.choices, *sprayed.more) if sprayed else (),
        )
        if proposed is None:
            return [Say("What would you do? Ask such as: can I roll it now?", "error")]
        asked = sheet.for_advice(self.answers, self.today)
        asked["proposal"] = [proposed.table]
        try:
            advice = self.tools.advise(asked, self.units)
        except DecideError as error:
            return [Say(f"I cannot judge that yet: {error}", "error")]
        noted = [Say(proposed.note)] if proposed.note else []
        return [*noted, Say(self.tools.judgement(advice), "info")]

    # Commands ---------------------------------------------------------------------------------------------------------

    def _why_ask(self) -> list[Say]:
        if self._question is None:
            return [Say("I ask nothing now. Say why for the reasons of the advice.")]
        return [Say(self._question.why, "info")]

    def _help(self) -> list[Say]:
        own = self._question.help if self._question is not None and self._pending is None else ""
        return [*([Say(own, "info")] if own else []), Say(HELP, "info")]

    def _mean(self, rest: str) -> list[Say]:
        word = clean(rest).strip(" '\"?")
        meaning = self.tools.meaning(word)
        if meaning is None:
            return [Say(f"I have no explanation of {word[:40]!r}.", "error")]
        return [Say(meaning, "info")]

    def _keep(self) -> list[Say]:
        if self.kept is None:
            return []
        try:
            self.kept.save(self.answers)
        except DecideError as error:
            if self._saved_badly:
                return []
            self._saved_badly = True
            return [Say(f"Your answers cannot be saved: {error}", "error")]
        self._saved_badly = False
        return []

    def _save(self) -> list[Say]:
        failed = self._keep() if not self._saved_badly else []
        if self._saved_badly:
            return failed or [Say("Your answers cannot be saved there. Say: save as NAME.", "error")]
        path = getattr(self.kept, "path", None)
        return [Say(f"Saved{f' in {path}' if path else ''}. That is done after each answer too.")]

    def _save_as(self, rest: str) -> list[Say]:
        name = clean(rest).strip(" '\"")
        if not name or self.kept is None:
            return [Say("Say the name of a file, such as: save as my-field.toml", "error")]
        path = self.kept.save_as(name, self.answers)
        return [Say(f"Saved as {path}.")]

    def _paper(self, rest: str) -> str:
        """Writes one paper of the advice: where the person says, and never over a file; else beside the talk."""
        asked = _PAPER.fullmatch(rest)
        assert asked is not None
        kind, ending = next(paper for key, paper in _PAPERS.items() if fold(asked["kind"]).startswith(key))
        named = (asked["path"] or "").strip(" '\"")
        if named and not named.lower().endswith(ending):
            named += ending
        beside = str(getattr(self.kept, "path", None) or "field").removesuffix(".toml").removesuffix(".json")
        return f"Written: {self.tools.write_paper(self._advised(), kind, named or f'{beside}-{kind}{ending}', bool(named))}"

    def _leave(self) -> list[Say]:
        said = self._keep()
        self.done = True
        return [
            *said,
            Say(
                "Your answers are kept. Good luck with the grass."
                if not self._saved_badly
                else "Good luck with the grass."
            ),
        ]

    def _units(self, rest: str) -> list[Say]:
        word = fold(rest)
        if word in ("us", "american", "imperial", "feet", "inches"):
            self.units = "us"
        elif word in ("metric", "metres", "meters", "si"):
            self.units = "metric"
        else:
            return [Say("Say units metric or units us.", "error")]
        self._stale = True
        shown = (
            [Say(self.tools.show(self._advised(), self.depth, self.view()), "advice")]
            if self.advice is not None and self._question is None
            else []
        )
        return [
            Say(f"Units: {'feet, inches, pounds' if self.units == 'us' else 'metres, litres, kilograms'}."),
            *shown,
        ]

    def _show(self) -> list[Say]:
        rows = sheet.answered(self.answers, self.tools.questions)[:MOST_LISTED]
        if not rows:
            return [Say("There are no answers yet.")]
        return [
            Say(
                "\n".join(
                    f"- {sheet.label(question)} {sheet.shown(question, sheet.get(self.answers, question))}"
                    for question in rows
                ),
                "info",
            )
        ]

    def _back(self) -> list[Say]:
        if self._pending is not None and self._pending.fresh:
            self._pending = None
            return []
        self._pending = None
        if self._history:
            question, before = self._history.pop()
            shown = sheet.get(self.answers, question)
            self.answers.clear()
            self.answers.update(before)
        else:
            rows = sheet.answered(self.answers, self.tools.questions)
            if not rows:
                return [Say("This is the first question.")]
            question = rows[-1]
            shown = sheet.get(self.answers, question)
        self._forced = self._question = question
        self._stale = True
        said = [Say(f"You said: {sheet.shown(question, shown)}.")] if shown is not None else []
        return [*said, *self._keep()]

    def _same(self) -> list[Say]:
        question = self._question
        assert question is not None
        value = self._earlier(question)
        if value is None:
            return [Say("There is no part before this one with an answer.", "error")]
        if question.key == "zone.grass" and isinstance(value, list):
            zone = sheet.zone_of(self.answers, question.zone)
            if zone is not None:
                zone["grass"] = [dict(row) for row in value if isinstance(row, dict)]
            value = [row["grass"] for row in value if isinstance(row, dict)]
        return self._accept(question, value, "")

    def _earlier(self, question: Question) -> Any:
        """The answer that the last part before this one has to the same question, or None."""
        if question.zone is None or question.part is not None:
            return None
        names = [zone["name"] for zone in sheet.zones(self.answers)]
        before = names[: names.index(question.zone)] if question.zone in names else names
        told = (sheet.get(self.answers, replace(question, zone=name)) for name in reversed(before))
        return next((value for value in told if value is not None), None)

    def _change(self, rest: str) -> list[Say]:
        rest = fold(rest).strip(" .")
        rest = " ".join(
            word
            for word in rest.split()
            if word not in ("the", "my", "answer", "to", "about", "question", "on", "of", "our")
        )
        if not rest:
            return [*self._show(), Say("Say change and a word of the answer, such as: change the date.")]
        found = self._find(rest)
        if not found:
            return [Say(f"I find no question about {rest[:40]!r}. Say show answers to see them.", "error")]
        if len(found) == 1:
            return self._reopen(found[0])
        self._pending = _Pending(
            "Which answer shall we change?",
            tuple(Reading(sheet.label(question), question) for question in found[:6]),
            self._reopen,
        )
        return []

    def _reopen(self, question: Question) -> list[Say]:
        self._pending = None
        self._forced = self._question = question
        value = sheet.get(self.answers, question)
        return [] if value is None else [Say(f"You said: {sheet.shown(question, value)}.")]

    def _find(self, rest: str) -> list[Question]:
        """The questions that some words are about, the best ones only."""
        row = words(rest)
        names = [zone["name"] for zone in sheet.zones(self.answers)]
        zone = next(
            (name for name in names if fold(name) in rest or fold(name).removesuffix("s") in rest), None
        )
        if zone is not None:
            inside = set(words(zone))
            row = [word for word in row if word.removesuffix("'s") not in inside and word not in inside]
        scores: dict[str, float] = {}
        for question in self.tools.questions:
            own = [*words(question.id), *words(question.key.rpartition(".")[2])]
            asked = words(question.ask)
            score = 0.0
            for word in row:
                if _ALIASES.get(word) == question.id:
                    score += 5
                if any(_alike(word, other) for other in own):
                    score += 3
                elif any(_alike(word, other) for other in asked):
                    score += 1
            if score and sheet.answered(self.answers, (question,)):
                score += 0.5
            if score:
                scores[question.id] = score
        if not scores:
            return []
        best = max(scores.values())
        found: list[Question] = []
        for question in self.tools.questions:
            if scores.get(question.id, 0) < best:
                continue
            if question.key.startswith("zone."):
                found += [question.at(name) for name in ([zone] if zone else names or [WHOLE_FIELD])]
            else:
                found.append(question)
        return found

    # Beginnings -------------------------------------------------------------------------------------------------------

    def _ask_resume(self) -> None:
        place = self.answers.get("place")
        town = place.get("name") if isinstance(place, dict) else None
        about = f" about {clean(str(town))[:40]}" if town and town != DONT_KNOW else ""
        number = sheet.count(self.answers, self.tools.questions)
        many = "1 answer" if number == 1 else f"{number} answers"

        def settled(goes_on: Any) -> list[Say]:
            if goes_on:
                return [Say("Good. We go on where you stopped."), *self._go_on()]
            return self._restart()

        self._pending = _Pending(
            f"There is a talk{about} from before, with {many}. Go on with it?",
            (Reading("yes", True), Reading("no, start again", False)),
            settled,
            yes_no=True,
        )

    def _ask_restart(self) -> list[Say]:
        def settled(sure: Any) -> list[Say]:
            return self._restart() if sure else [Say("We go on.")]

        self._pending = _Pending(
            "Put these answers aside and start again?",
            (Reading("yes", True), Reading("no", False)),
            settled,
            yes_no=True,
        )
        return []

    def _restart(self) -> list[Say]:
        said: list[Say] = []
        if self.kept is not None:
            aside = self.kept.set_aside()
            if aside is not None:
                said.append(Say(f"The old answers are in {aside}."))
        self.answers.clear()
        self._history.clear()
        self._waved.clear()
        self.advice, self._stale, self._forced, self._details, self.depth, self._enough = (
            None,
            True,
            None,
            False,
            0,
            False,
        )
        return [*said, *self._next()]


def _alike(word: str, other: str) -> bool:
    a, b = word.removesuffix("'s").removesuffix("s"), other.removesuffix("s")
    if len(a) < 3 or a in ("are", "was", "has", "for", "and", "not", "how", "what", "which"):
        return False
    return a == b or (len(a) > 4 and difflib.SequenceMatcher(None, a, b).ratio() >= 0.85)


def say_today(today: dt.date) -> str:
    """The line that says which day the talk takes for today."""
    return f"Today is {say_day(today)}."
