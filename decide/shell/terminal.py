"""The talk in a full terminal: history, completion, colours that carry no meaning of their own, any width
from 40 columns.
"""

from __future__ import annotations

import os
import shutil
import textwrap
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import replace
from functools import partial
from typing import Any, Final, TextIO

from prompt_toolkit import PromptSession
from prompt_toolkit.completion import CompleteEvent, Completer, Completion
from prompt_toolkit.document import Document
from prompt_toolkit.history import InMemoryHistory
from prompt_toolkit.input import create_input
from prompt_toolkit.output import ColorDepth, create_output
from prompt_toolkit.shortcuts import CompleteStyle

from decide.model.words import to_ascii
from decide.parse.plain import bare, fold
from decide.shell.asking import Prompt
from decide.shell.keeping import keep, kept, unsaved
from decide.shell.lines import ADVICE_GIVEN, INTERRUPTED, NO_ADVICE, utf8
from decide.shell.pager import Pager
from decide.shell.signals import Left
from decide.shell.state import Say
from decide.shell.talk import Talk
from decide.shell.waiting import spinning

NARROWEST: Final = 20
WIDEST: Final = 100
# Rows of a screen: what is believed at least, and what is taken where none are told.
_FEWEST_ROWS: Final = 6
_USUAL_ROWS: Final = 24
# Select Graphic Rendition codes (ECMA-48): dim, bold yellow.
_STYLES: Final = {"note": "2", "error": "1;33", "info": "", "advice": ""}


class _Words(Completer):
    """Completes choices and commands."""

    def __init__(self, talk: Talk) -> None:
        self.talk = talk

    def get_completions(self, document: Document, complete_event: CompleteEvent) -> Iterable[Completion]:  # noqa: ARG002 - its caller names it
        """Words that begin as the line does."""
        typed = document.text_before_cursor.lstrip()
        for word in self.talk.vocabulary():
            if typed and fold(word).startswith(fold(typed)) and fold(word) != fold(typed):
                yield Completion(word, start_position=-len(typed))


class Terminal:
    """Shows the talk on a terminal and reads from its keyboard.

    Where standard output is a file and a person sits at the keyboard, questions go to the terminal and the
    advice to both.
    """

    def __init__(
        self, talk: Talk, source: TextIO, sink: TextIO, screen: TextIO, env: Mapping[str, str]
    ) -> None:
        self.talk = talk
        self.sink = sink
        self.screen = screen
        self.ascii = not utf8(screen)
        self.colour = not env.get("NO_COLOR") and env.get("TERM", "") not in ("", "dumb")
        self.width = self._width()
        output = create_output(stdout=screen, always_prefer_tty=True)
        if hasattr(output, "enable_cpr"):
            output.enable_cpr = False
        keyboard = create_input(source)
        self.pager = Pager(keyboard, output)
        self.typed = ""
        self.session: PromptSession[str] = PromptSession(
            history=InMemoryHistory(),
            completer=_Words(talk),
            complete_while_typing=False,
            complete_style=CompleteStyle.READLINE_LIKE,
            enable_suspend=True,
            enable_history_search=True,
            reserve_space_for_menu=0,
            color_depth=None if self.colour else ColorDepth.DEPTH_1_BIT,
            input=keyboard,
            output=output,
        )

    def _width(self) -> int:
        return max(NARROWEST, min(WIDEST, self._size().columns or 80))

    def _size(self) -> os.terminal_size:
        try:
            return os.get_terminal_size(self.screen.fileno())
        except (OSError, ValueError):
            return shutil.get_terminal_size()

    def _line(self, text: str, style: str = "") -> None:
        plain = to_ascii(bare(text)) if self.ascii else bare(text)
        on, off = (f"\x1b[{style}m", "\x1b[0m") if style and self.colour else ("", "")
        self.screen.write(f"{on}{plain}{off}\n")
        self.screen.flush()

    def _wrapped(self, text: str, first: str = "", rest: str = "") -> Iterator[str]:
        for at, line in enumerate(text.split("\n")):
            if at:
                first = rest
            hang = rest or " " * (len(line) - len(line.lstrip()) + 2 * line.lstrip().startswith("- "))
            yield from textwrap.wrap(
                line, self.width, initial_indent=first, subsequent_indent=hang, break_on_hyphens=False
            ) or [""]

    def tell(self, said: list[Say]) -> None:
        """Shows what is said: notes with an arrow, errors with an exclamation mark, advice as it is laid
        out.
        """
        for one in said:
            if one.role == "advice":
                self._advice(one.text)
                continue
            mark = {"note": "- ", "error": "! "}.get(one.role, "")
            lines = list(self._wrapped(one.text, mark, "  " if mark else ""))
            self._pages(lines, partial(self._line, style=_STYLES[one.role]))

    def _pages(self, lines: list[str], write: Callable[[str], None]) -> None:
        """Writes lines, by screenfuls where they are more than the screen holds."""
        rows = max(_FEWEST_ROWS, self._size().lines or _USUAL_ROWS) - 1
        if len(lines) <= rows:
            for line in lines:
                write(line)
            return
        self.typed = self.pager.show(lines, rows, write)

    def _raw(self, line: str) -> None:
        self.screen.write(f"{to_ascii(line) if self.ascii else line}\n")
        self.screen.flush()

    def _advice(self, text: str) -> None:
        self._pages(["", *text.rstrip("\n").split("\n")], self._raw)
        if self.sink is not self.screen:
            plain = bare(text)
            self.sink.write((plain if utf8(self.sink) else to_ascii(plain)).rstrip("\n") + "\n")
            self.sink.flush()

    def ask(self, prompt: Prompt) -> None:
        """Shows a question with its choices, one a line."""
        self._line("")
        for line in self._wrapped(prompt.text):
            self._line(line, "1")
        for at, say in enumerate(prompt.choices, 1):
            for line in self._wrapped(say, f" {at:>2}  ", "     "):
                self._line(line)
        if prompt.hint:
            for line in self._wrapped(prompt.hint):
                self._line(line, _STYLES["note"])
        if prompt.left:
            self._line(f"(about {prompt.left} more)", _STYLES["note"])

    def converse(self) -> int:
        """Talks until the person leaves; the exit code says whether there is advice."""
        talk = self.talk
        self._resize()
        self.tell(talk.opening)
        while not talk.done:
            self._resize()
            with spinning(self.screen):
                prompt = talk.prompt()
            self.ask(prompt)
            talk.ahead()
            typed, self.typed = self.typed, ""
            try:
                line = self.session.prompt("> ", default=typed)
                with spinning(self.screen):
                    said = talk.hear(line)
            except KeyboardInterrupt:
                if self._leaves():
                    return ADVICE_GIVEN if talk.advice is not None else INTERRUPTED
                continue
            except EOFError:
                self.tell([*keep(talk.state), *unsaved(talk.state), Say(kept(talk.state))])
                break
            self.tell(said)
        return ADVICE_GIVEN if talk.advice is not None else NO_ADVICE

    def _resize(self) -> None:
        self.width = self._width()
        state = self.talk.state
        state.page = replace(state.page, width=self.width, colour=self.colour, plain=False)

    def _leaves(self) -> bool:
        self.tell(keep(self.talk.state))
        self._line(f"{kept(self.talk.state)} Leave? (yes or no)", "1")
        try:
            return not self.session.prompt("> ").strip().lower().startswith("n")
        except (KeyboardInterrupt, EOFError):
            return True

    def on_signal(self, number: int) -> None:
        """Ends the prompt that is open, so that the terminal is put right before the program leaves."""
        apps: list[Any] = [self.session.app, self.pager.session.app]
        app = next((one for one in apps if one.is_running), apps[0])
        loop = getattr(app, "loop", None)
        if app.is_running and loop is not None:
            loop.call_soon_threadsafe(lambda: app.exit(exception=Left(number)))
        else:
            raise Left(number)
