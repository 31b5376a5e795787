"""How people speak of a field: the questions and names of the tables, and the vocabulary of the talk, by
subject.
"""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Final, TypeVar

from decide.model.errors import KnowledgeError
from decide.parse.question import Question

FOLDER: Final = "talk"
Names = Mapping[str, tuple[str, ...]]
_Made = TypeVar("_Made")


@dataclass(frozen=True)
class Speech:
    """What is known of how people speak.

    `questions` in their order; codes of grasses, methods and equipment with the names they go by; `talk` the
    tables of knowledge/talk by file: what words mean, as data.
    """

    questions: tuple[Question, ...] = ()
    grasses: Names = field(default_factory=dict)
    methods: Names = field(default_factory=dict)
    equipment: Names = field(default_factory=dict)
    talk: Mapping[str, Mapping[str, Any]] = field(default_factory=dict)
    _made: dict[str, Any] = field(default_factory=dict, compare=False, repr=False)

    def question(self, name: str) -> Question | None:
        """The question of an id or a key."""
        return next((q for q in self.questions if name in (q.id, q.key)), None)

    def table(self, name: str) -> Mapping[str, Any]:
        """A file of knowledge/talk by its name without the ending; empty where there is none."""
        return self.talk.get(name, {})

    def ready(self, name: str, make: Callable[[Speech], _Made]) -> _Made:
        """Tables made ready for reading by `make`, once for this speech: it takes longer than a line."""
        if name not in self._made:
            self._made[name] = make(self)
        made: _Made = self._made[name]
        return made


def read_talk(folders: Sequence[Path]) -> dict[str, dict[str, Any]]:
    """The vocabulary of the talk in some folders of knowledge: a later folder adds rows, and replaces those
    of the same name.
    """
    found: dict[str, dict[str, Any]] = {}
    for folder in folders:
        for path in sorted((folder / FOLDER).glob("*.toml")):
            try:
                rows = tomllib.loads(path.read_text(encoding="utf-8"))
            except (OSError, ValueError) as error:
                raise KnowledgeError(f"it cannot be read: {error}", where=str(path)) from None
            found.setdefault(path.stem, {}).update(rows)
    return found
