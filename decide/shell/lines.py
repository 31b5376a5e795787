"""The talk in plain lines, for pipes and dumb terminals: one question a line and no escape bytes at all."""

from __future__ import annotations

from dataclasses import replace
from typing import Any, Final, TextIO

from decide.model.words import to_ascii
from decide.parse.plain import bare
from decide.shell.asking import Prompt
from decide.shell.keeping import keep, kept, unsaved
from decide.shell.state import Say
from decide.shell.talk import Talk
from decide.shell.waiting import moment

ADVICE_GIVEN: Final = 0
NO_ADVICE: Final = 1
INTERRUPTED: Final = 130


def as_line(prompt: Prompt) -> str:
    """A prompt as one line: how many may be left, the question, the choices with their numbers."""
    left = f"[about {prompt.left} more] " if prompt.left else ""
    offered = (
        f" ({'; '.join(f'{at} {say}' for at, say in enumerate(prompt.choices, 1))})" if prompt.choices else ""
    )
    hint = f" ({prompt.hint})" if prompt.hint else ""
    return f"{left}{prompt.text}{offered}{hint}"


def utf8(stream: Any) -> bool:
    """Whether a stream takes every letter."""
    return str(getattr(stream, "encoding", "") or "").lower().replace("-", "").replace("_", "") in (
        "utf8",
        "utf8sig",
        "utf16",
        "utf32",
    )


class LineMode:
    """Writes and reads plain lines."""

    def __init__(self, talk: Talk, source: TextIO, sink: TextIO) -> None:
        self.talk = talk
        self.source = source
        self.sink = sink
        self.ascii = not utf8(sink)
        talk.state.page = replace(talk.state.page, colour=False, plain=True)

    def say(self, text: str) -> None:
        """Writes a text and ends the line."""
        plain = bare(text)
        self.sink.write((to_ascii(plain) if self.ascii else plain) + "\n")
        self.sink.flush()

    def tell(self, said: list[Say]) -> None:
        """Writes what is said."""
        for one in said:
            self.say(one.text)

    def converse(self) -> int:
        """Talks until the person leaves or the input ends; the exit code says whether there is advice."""
        talk = self.talk
        self.tell(talk.opening)
        asked: Prompt | None = None
        while not talk.done:
            with moment(self.say):
                prompt = talk.prompt()
            if prompt != asked:
                self.say(as_line(prompt))
                asked = prompt
            talk.ahead()
            try:
                line = self.source.readline()
            except KeyboardInterrupt:
                if self._leaves():
                    return INTERRUPTED if talk.advice is None else ADVICE_GIVEN
                asked = None
                continue
            if not line:
                return self.ended()
            with moment(self.say):
                said = talk.hear(line)
            self.tell(said)
            if any(one.role in ("error", "info", "advice") for one in said) or not said:
                asked = None
        return ADVICE_GIVEN if talk.advice is not None else NO_ADVICE

    def _leaves(self) -> bool:
        self.tell(keep(self.talk.state))
        self.say(f"{kept(self.talk.state)} Leave? (yes or no)")
        try:
            return not self.source.readline().strip().lower().startswith("n")
        except KeyboardInterrupt:
            return True

    def ended(self) -> int:
        """What is said when the input ends, and the exit code."""
        talk = self.talk
        self.tell([*keep(talk.state), *unsaved(talk.state)])
        if talk.advice is not None:
            return ADVICE_GIVEN
        missing = talk.missing()
        self.say(f"The input ended before there was advice. {kept(talk.state)}")
        if missing:
            self.say("Still missing: " + " ".join(missing))
        return NO_ADVICE
