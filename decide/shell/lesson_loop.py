"""A lesson in a terminal: one step of the story at a time, forth and back, opening down to the rules, with
guessing first; plain lines, no escape bytes.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final, TextIO

from decide.lesson.guess import Guess
from decide.lesson.lines import (
    behind_lines,
    care_lines,
    guess_lines,
    head_line,
    opening_lines,
    row_lines,
    scene_lines,
    source_lines,
    wrapped,
)
from decide.lesson.starter import words_of
from decide.lesson.steps import Step
from decide.lesson.story import Scene, Story
from decide.model.errors import DecideError, nearest
from decide.model.words import to_ascii
from decide.parse.plain import bare, clean
from decide.shell.lines import utf8

HELP: Final = """\
next (or Enter): the next step. back: the one before. jump N: step N. list: all so far.
open: the rules behind a step. rule 4.1: one of them in full. source: where they are from.
guess: be asked first, or no more. words: words of the trade. care: the cautions. quit: leave."""
_WORDS: Final = {
    "": "next", "n": "next", "next": "next", "+": "next", "on": "next", "forward": "next",
    "back": "back", "p": "back", "-": "back", "previous": "back", "g": "guess", "guess": "guess",
    "o": "open", "open": "open", "f": "open", "facts": "open", "rules": "open", "r": "rule", "rule": "rule",
    "why": "rule", "s": "source", "source": "source", "sources": "source", "j": "jump", "jump": "jump",
    "go": "jump", "step": "jump", "l": "list", "list": "list", "w": "words", "words": "words",
    "care": "care", "cautions": "care", "h": "help", "help": "help", "?": "help", "q": "quit",
    "quit": "quit", "exit": "quit", "leave": "quit", "bye": "quit",
}  # fmt: skip
_TRIES: Final = 2


class Walk:
    """Where the class stands in a story; each line that is heard gives the lines to show."""

    def __init__(self, told: Story, *, guessing: bool = False) -> None:
        self.told, self.k = told, told.knowledge
        self.at = 1
        self.open: Guess | None = None
        self.tries = 0
        self.guessing = guessing
        self.done = False
        self.right = self.asked = 0

    @property
    def scene(self) -> Scene:
        """The step where the class stands."""
        return self.told.scene(self.at)

    def opening(self) -> list[str]:
        """The first lines: what this is, how to go on, and the first step."""
        return [*opening_lines(self.told), self.k.text("story-how"), "", *self._arrive()]

    def _arrive(self) -> list[str]:
        """The step, or its question where the class guesses first."""
        scene, self.open, self.tries = self.scene, None, 0
        if self.guessing and scene.guess is not None:
            self.open = scene.guess
            return [head_line(self.told, scene), *guess_lines(scene), self.k.text("story-guess-first")]
        return [head_line(self.told, scene), *self._told()]

    def _told(self) -> list[str]:
        rows = len(self.scene.steps)
        behind = [f"  {self.k.text('story-behind', n=rows)}"] if rows else []
        return [*scene_lines(self.told, self.scene), *behind]

    def hear(self, line: str) -> list[str]:
        """What a line of the class gives."""
        said = clean(line).strip().lower()
        truth = self.open.said(said) if self.open is not None and said else None
        if truth is not None:
            return self._guessed(truth)
        word, _, rest = said.partition(" ")
        if word.isdigit():
            word, rest = "jump", word
        elif word.partition(".")[0].isdigit() or word.startswith("c."):
            word, rest = "rule", word
        if len(word) == 1 and word in "abcd":
            return [self.k.text("story-not-asked")]
        command = _WORDS.get(word)
        if command is None:
            close = nearest(word, _WORDS)
            return [
                f"{word!r} is no command here. {f'Do you mean {_WORDS[close]}? ' if close else ''}Say "
                "help for all of them."
            ]
        return list(getattr(self, f"_{command}")(rest.strip()))

    def _guessed(self, truth: bool) -> list[str]:
        assert self.open is not None
        self.tries += 1
        if not truth and self.tries < _TRIES:
            return [self.k.text("story-again", hint=self.open.hint)]
        self.asked += 1
        self.right += truth and self.tries == 1
        answer = self.open.choices[self.open.answer]
        self.open = None
        said = [self.k.text("story-right")] if truth else [self.k.text("story-wrong")]
        return [*said, self.k.text("story-guess-answer", answer=answer), *self._told()]

    # ---------- commands ----------
    def _next(self, _: str) -> list[str]:
        if self.open is not None:
            answer = self.open.choices[self.open.answer]
            self.open = None
            return [self.k.text("story-guess-answer", answer=answer), *self._told()]
        if self.at == self.told.count:
            return [self.k.text("story-last"), *care_lines(self.told), *self._score()]
        self.at += 1
        return self._arrive()

    def _back(self, _: str) -> list[str]:
        if self.at == 1:
            return [self.k.text("story-first")]
        self.at -= 1
        return self._arrive()

    def _guess(self, _: str) -> list[str]:
        self.guessing = not self.guessing
        self.open = None
        return [self.k.text("story-told-already" if self.guessing else "story-no-more-guess")]

    def _open(self, rest: str) -> list[str]:
        if rest:
            return self._rule(rest)
        if self.open is not None:
            return [self.k.text("story-guess-first")]
        return list(behind_lines(self.told, self.scene)) or [self.k.text("story-nothing-behind")]

    def _rule(self, rest: str) -> list[str]:
        if self.open is not None:
            return [self.k.text("story-guess-first")]
        steps = self.scene.steps if not rest else self._named(rest)
        if not steps:
            return [self.k.text("story-nothing-behind")]
        (step, *_) = steps
        return list(row_lines(self.told, step))

    def _named(self, name: str) -> tuple[Step, ...]:
        """The step of a name such as 4.1, of a scene that was told already."""
        told = [
            *(step for scene in self.told.first[: self.at] for step in scene.steps),
            *self.told.care_steps,
        ]
        return tuple(step for step in told if self.told.named(step.number).lower() == name)

    def _source(self, _: str) -> list[str]:
        if self.open is not None:
            return [self.k.text("story-guess-first")]
        lines = dict.fromkeys(line for step in self.scene.steps for line in source_lines(self.k, step))
        return list(lines) or [self.k.text("story-nothing-behind")]

    def _jump(self, rest: str) -> list[str]:
        if not rest.isdigit():
            return [f"Say jump and a number from 1 to {self.told.count}."]
        try:
            self.told.scene(int(rest) if int(rest) != self.told.count else 1)
        except DecideError as error:
            return [str(error)]
        self.at = int(rest)
        return self._arrive()

    def _list(self, _: str) -> list[str]:
        seen = self.at - (self.open is not None)
        left = self.told.count - seen
        rows = [self.told.scene(number) for number in range(1, seen + 1)]
        return [
            *(f"{scene.number}. {scene.asks} {scene.so}" for scene in rows),
            *([self.k.text("story-left-to-come", n=left)] if left else []),
        ]

    def _words(self, _: str) -> list[str]:
        return [f"- {word}: {meaning}" for word, meaning in words_of(self.told)]

    def _care(self, _: str) -> list[str]:
        return list(care_lines(self.told))

    def _help(self, _: str) -> list[str]:
        return HELP.splitlines()

    def _quit(self, _: str) -> list[str]:
        self.done = True
        return self._score()

    def _score(self) -> list[str]:
        return [self.k.text("story-score", right=self.right, asked=self.asked)] if self.asked else []


def walk(walker: Walk, source: TextIO, sink: TextIO, width: int) -> int:
    """Walk a story until the class leaves or the input ends; the exit code."""
    ascii_only = not utf8(sink)

    def say(lines: Iterable[str]) -> None:
        # Letters that are spelled out are longer, so that comes first.
        shown = (to_ascii(bare(line)) if ascii_only else bare(line) for line in lines)
        for line in wrapped(shown, width):
            sink.write(line + "\n")
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
