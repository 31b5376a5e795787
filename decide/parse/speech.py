"""How people speak of a field: the questions and names of the tables, and the vocabulary of the talk, by
subject.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Final, TypeVar

from decide.model.toml_file import toml_file
from decide.parse.question import Question

FOLDER: Final = "talk"
LANDS: Final = Path("climate") / "names.toml"
# Countries whose regions go by short forms, and such whose regions have the names of towns.
SHORT_FORMS: Final = ("AU", "CA", "US")
TOWN_NAMES: Final = ("NZ",)
Names = Mapping[str, tuple[str, ...]]
_Made = TypeVar("_Made")


@dataclass(frozen=True)
class Speech:
    """What is known of how people speak.

    `questions` in their order; codes of grasses, methods, equipment and words of the trade with the names
    they go by; `talk` the tables of knowledge/talk by file: what words mean, as data; `lands` countries and
    their regions by name: the country's code, and the region's name ("" where a country is meant); `local`
    what words of the texts are called in a country.
    """

    questions: tuple[Question, ...] = ()
    grasses: Names = field(default_factory=dict)
    methods: Names = field(default_factory=dict)
    equipment: Names = field(default_factory=dict)
    words: Names = field(default_factory=dict)
    talk: Mapping[str, Mapping[str, Any]] = field(default_factory=dict)
    lands: Mapping[str, tuple[str, str]] = field(default_factory=dict)
    local: Mapping[str, Mapping[str, Any]] = field(default_factory=dict)
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
            found.setdefault(path.stem, {}).update(toml_file(path)[1])
    return found


def read_lands(folders: Sequence[Path]) -> dict[str, tuple[str, str]]:
    """Countries and regions by name in small letters, regions also by their short form (OH, NSW)."""
    found: dict[str, tuple[str, str]] = {}
    for folder in folders:
        path = folder / LANDS
        if not path.exists():
            continue
        table = toml_file(path)[1]
        for code, names in table.get("countries", {}).items():
            found |= {name.strip().casefold(): (code.lower(), "") for name in names}
        for code, regions in table.get("regions", {}).items():
            for short, names in regions.items():
                names_and_short = [*names, *([short] if short.isalpha() and code in SHORT_FORMS else [])]
                for name in names_and_short:
                    if code not in TOWN_NAMES:
                        found[name.casefold()] = (code.lower(), names[0])
    return found
