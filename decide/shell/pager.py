"""Shows a long text in a terminal a screenful at a time."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any, Final

from prompt_toolkit import PromptSession
from prompt_toolkit.input import Input
from prompt_toolkit.key_binding import KeyBindings, KeyPressEvent
from prompt_toolkit.keys import Keys
from prompt_toolkit.output import Output

HINT: Final = "-- space: on; enter: a line; q: stop -- "
_ON, _LINE, _STOP = "on", "line", "stop"


class Pager:
    """Holds the keys of paging: space goes on, enter shows one line more, q stops; any other letter stops
    and begins what the person types next.
    """

    def __init__(self, source: Input, output: Output) -> None:
        self.session: PromptSession[str] = PromptSession(
            key_bindings=_keys(), erase_when_done=True, input=source, output=output, reserve_space_for_menu=0
        )

    def show(self, lines: Sequence[str], rows: int, write: Callable[[str], None]) -> str:
        """Writes lines, `rows` at a time; gives the letters with which the person goes on typing."""
        shown = 0
        step = rows
        while True:
            for line in lines[shown : shown + step]:
                write(line)
            shown += step
            if shown >= len(lines):
                return ""
            key = self._key()
            if key not in (_ON, _LINE):
                return "" if key == _STOP else key
            step = rows if key == _ON else 1

    def _key(self) -> str:
        try:
            return self.session.prompt(HINT)
        except (KeyboardInterrupt, EOFError):
            return _STOP


def _keys() -> KeyBindings:
    keys = KeyBindings()

    def leads(*names: Any, to: str) -> None:
        def pressed(event: KeyPressEvent) -> None:
            event.app.exit(result=to)

        for name in names:
            keys.add(name)(pressed)

    leads(" ", Keys.PageDown, to=_ON)
    leads(Keys.Enter, Keys.Down, to=_LINE)
    leads("q", Keys.Escape, Keys.ControlC, Keys.ControlD, to=_STOP)

    @keys.add(Keys.Any)
    def _(event: KeyPressEvent) -> None:
        event.app.exit(result=event.data if event.data.isprintable() else _ON)

    return keys
