"""A lesson in a terminal: one step at a time, forth and back, with guessing first; plain lines, no escape
bytes.
"""

from __future__ import annotations

from typing import Final, TextIO

from decide.decision.consultation import Consultation
from decide.lesson.guess import Guess, guess
from decide.lesson.lines import concluded_lines, known_lines, source_lines
from decide.lesson.steps import Lesson, Step, how_known, section_name
from decide.model.errors import DecideError, nearest
from decide.model.words import to_ascii
from decide.parse.plain import clean
from decide.shell.lines import bare, utf8

HELP: Final = """\
next (or Enter)   the next step           back      the step before
guess             hide what follows, and choose: then a, b, c or d
facts             what this step read     rule      its rule, in full
source            where the rule is from  jump N    go to step N
list              all steps, a line each  quit      leave"""
_WORDS: Final = {
    "": "next", "n": "next", "next": "next", "+": "next", "on": "next", "forward": "next", "b": "back",
    "back": "back", "p": "back", "-": "back", "previous": "back", "g": "guess", "guess": "guess",
    "f": "facts", "facts": "facts", "r": "rule", "rule": "rule", "why": "rule", "s": "source",
    "source": "source", "sources": "source", "j": "jump", "jump": "jump", "go": "jump", "step": "jump",
    "l": "list", "list": "list", "h": "help", "help": "help", "?": "help", "q": "quit", "quit": "quit",
    "exit": "quit", "leave": "quit", "bye": "quit",
}  # fmt: skip


class Walk:
    """Where the class stands in a lesson; each line that is heard gives the lines to show."""

    def __init__(
        self, consultation: Consultation, lesson: Lesson, seed: int = 0, *, guessing: bool = False
    ) -> None:
        self.c, self.lesson, self.seed = consultation, lesson, seed
        self.at = 1
        self.open: Guess | None = None
        self.guessing = guessing
        self.done = False
        self.right = self.asked = 0

    @property
    def step(self) -> Step:
        """The step where the class stands."""
        return self.lesson.step(self.at)

    def opening(self) -> list[str]:
        """The first lines: what this is, how to go on, and the first step."""
        place = f" at {self.lesson.place}" if self.lesson.place else ""
        return [f"How the advice{place} follows: {len(self.lesson.steps)} steps.", HELP, "", *self._arrive()]

    def _arrive(self) -> list[str]:
        head = (
            [section_name(self.c.knowledge, self.step.section).upper()]
            if self.at == 1 or self.lesson.step(self.at - 1).section != self.step.section
            else []
        )
        if self.guessing:
            return [*head, *self._ask()]
        self.open = None
        return [*head, *known_lines(self.c.knowledge, self.step), *self._told()]

    def _ask(self) -> list[str]:
        self.open = guess(self.c, self.lesson, self.at, self.seed)
        return self.open.lines()

    def _told(self) -> list[str]:
        return concluded_lines(self.c.knowledge, self.step)

    def hear(self, line: str) -> list[str]:
        """What a line of the class gives."""
        said = clean(line).strip().lower()
        if self.open is not None and said:
            truth = self.open.said(said)
            if truth is not None:
                self.open = None
                self.asked += 1
                self.right += truth
                return ["That is it." if truth else "No. Look at the facts again.", *self._told()]
        word, _, rest = said.partition(" ")
        if word.isdigit():
            word, rest = "jump", word
        command = _WORDS.get(word)
        if command is None:
            close = nearest(word, _WORDS)
            return [
                f"{word!r} is no command here. {f'Do you mean {_WORDS[close]}? ' if close else ''}Say "
                "help for all of them."
            ]
        return list(getattr(self, f"_{command}")(rest.strip()))

    # ---------- commands ----------
    def _next(self, _: str) -> list[str]:
        if self.open is not None:
            self.open = None
            return ["The answer:", *self._told()]
        if self.at == len(self.lesson.steps):
            return [
                "This is the last step.",
                *(f"  {choice}" for choice in self.lesson.choices),
                *self._score(),
            ]
        self.at += 1
        return self._arrive()

    def _back(self, _: str) -> list[str]:
        if self.at == 1:
            return ["This is the first step."]
        self.at -= 1
        return self._arrive()

    def _guess(self, _: str) -> list[str]:
        return self._ask()

    def _facts(self, _: str) -> list[str]:
        return [f"  {read.text} ({how_known(self.c.knowledge, read)})" for read in self.step.facts] or [
            "  This step reads no fact."
        ]

    def _rule(self, _: str) -> list[str]:
        if self.open is not None:
            return ["Guess first, or say next to see the answer."]
        if not self.step.rule:
            return [
                "  No rule: this follows from the order of the verdicts and grades.",
                f"  {self.step.because}",
            ]
        rule = self.c.book.rules[self.step.rule]
        lines = [f"  Rule {rule.id}"]
        lines += [f"    when {condition.text}" for condition in rule.when]
        lines += [
            f"    unless {exception.name}: {' and '.join(one.text for one in exception.when)}"
            for exception in rule.unless
        ]
        return [*lines, f"    then {self.step.concludes}", f"    because {self.step.because}"]

    def _source(self, _: str) -> list[str]:
        if self.open is not None:
            return ["Guess first, or say next to see the answer."]
        return source_lines(self.c.knowledge, self.step)

    def _jump(self, rest: str) -> list[str]:
        if not rest.isdigit():
            return [f"Say jump and a number from 1 to {len(self.lesson.steps)}."]
        try:
            self.at = self.lesson.step(int(rest)).number
        except DecideError as error:
            return [str(error)]
        return self._arrive()

    def _list(self, _: str) -> list[str]:
        seen = self.at - (self.open is not None)
        left = len(self.lesson.steps) - seen
        return [
            *(f"{step.number:4d}  {step.about}: {step.concludes}" for step in self.lesson.steps[:seen]),
            *([f"      and {left} more to come"] if left else []),
        ]

    def _help(self, _: str) -> list[str]:
        return [HELP]

    def _quit(self, _: str) -> list[str]:
        self.done = True
        return self._score()

    def _score(self) -> list[str]:
        return [f"Guessed right: {self.right} of {self.asked}."] if self.asked else []


def walk(walker: Walk, source: TextIO, sink: TextIO) -> int:
    """Walk a lesson until the class leaves or the input ends; the exit code."""
    ascii_only = not utf8(sink)

    def say(lines: list[str]) -> None:
        for line in lines:
            plain = bare(line)
            sink.write((to_ascii(plain) if ascii_only else plain) + "\n")
        sink.flush()

    say(walker.opening())
    while not walker.done:
        sink.write("> ")
        sink.flush()
        try:
            line = source.readline()
        except KeyboardInterrupt:
            break
        if not line:
            break
        say(walker.hear(line))
    return 0
