"""What later folders do to the words by which people are understood, which the talk reads by itself."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any, Final

from decide.knowledge.bounds import hidden
from decide.knowledge.tables import How, Override
from decide.model.toml_file import toml_file
from decide.model.toml_lines import Lines

TALK: Final = "talk"


def talk_overrides(folders: Sequence[Path]) -> list[Override]:
    """The rows of the talk that later folders add or replace, by "FILE/ROW"; `was` are the keys that the row
    told before and tells now ("" where it tells none). KnowledgeError where a file cannot be read.
    """
    found: list[Override] = []
    for layer, folder in enumerate(folders):
        for path in sorted((folder / TALK).glob("*.toml")) if layer else ():
            if hidden(path.name):
                continue
            name = f"{folder}/{TALK}/{path.name}"
            text, now = toml_file(path, name)
            before = _before(folders[:layer], path.name)
            lines = Lines(text)
            for row, held in now.items():
                if before.get(row) != held:
                    how: How = "changed" if row in before else "added"
                    where = f"{name}:{lines.find((row,))}"
                    keys = (("", "", ""),) if row in before else ()
                    was = (_key_of(before.get(row)), _key_of(held))
                    code = f"{path.stem}/{row}"
                    found.append(Override(TALK, code, how, keys, folder.resolve().name, where, was))
    return found


def _before(folders: Sequence[Path], name: str) -> dict[str, Any]:
    """The rows of a file as the folders before have them."""
    rows: dict[str, Any] = {}
    for folder in folders:
        path = folder / TALK / name
        if path.exists():
            rows.update(toml_file(path)[1])
    return rows


def _key_of(row: Any) -> str:
    key = row.get("key", "") if isinstance(row, Mapping) else ""
    return key if isinstance(key, str) else ""
