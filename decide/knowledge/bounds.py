"""What a folder laid over the knowledge may be: a few files of data within itself, and nothing that leads out
of it, waits or never ends.
"""

from __future__ import annotations

import os
import stat
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Final

from decide.model.errors import KnowledgeError
from decide.model.files import data_folder
from decide.model.toml_file import MOST_BYTES

MOST_THINGS: Final = 5_000
MOST_FILES: Final = 1_000
MOST_IN_ALL: Final = 6_000_000
MOST_FOLDERS_DEEP: Final = 8
ENDING: Final = ".toml"


def check_folders(folders: Sequence[Path]) -> None:
    """KnowledgeError where one of the folders, but for the package's own, holds what no folder of knowledge
    holds.
    """
    for folder in folders:
        if folder != data_folder() and folder.is_dir():
            _check(folder)


def hidden(name: str) -> bool:
    """Whether a folder is none of the knowledge's, such as that of a program that keeps versions."""
    return name.startswith(".")


def _check(folder: Path) -> None:
    things = files = size = 0
    for entry, shown, deep in _walk(folder, str(folder), 0):
        things += 1
        if things > MOST_THINGS:
            raise KnowledgeError(
                f"this folder holds more than {MOST_THINGS:,} things",
                where=str(folder),
                instead="Name a folder that holds files of knowledge alone",
            )
        if deep > MOST_FOLDERS_DEEP:
            raise KnowledgeError(
                "folders stand too deep in one another", where=shown, instead="Put its files further up"
            )
        if not entry.name.endswith(ENDING):
            if entry.is_symlink() and entry.is_dir():
                raise _link(shown)
            continue
        if entry.is_symlink():
            raise _link(shown)
        held = entry.stat(follow_symlinks=False)
        if not stat.S_ISREG(held.st_mode):
            raise KnowledgeError(
                "this is no plain file", where=shown, instead=f"Name nothing else with the ending {ENDING}"
            )
        files, size = files + 1, size + held.st_size
        if held.st_size > MOST_BYTES:
            raise KnowledgeError(
                f"this has more than {MOST_BYTES:,} bytes",
                where=shown,
                instead="Write its rows into several files",
            )
        if files > MOST_FILES or size > MOST_IN_ALL:
            raise KnowledgeError(
                f"this folder has more than {MOST_FILES:,} files or {MOST_IN_ALL:,} bytes",
                where=str(folder),
                instead="Lay several smaller folders one over another",
            )


def _link(shown: str) -> KnowledgeError:
    return KnowledgeError(
        "this is a link, and a folder of knowledge is read only from within itself",
        where=shown,
        instead="Put a copy of the file in its place",
    )


def _walk(path: Path | str, shown: str, deep: int) -> Iterator[tuple[os.DirEntry[str], str, int]]:
    """What stands in a folder and in those within it, links not followed, with how it is shown."""
    try:
        with os.scandir(path) as entries:
            found = sorted(_some(entries), key=lambda entry: entry.name)
    except OSError as error:
        raise KnowledgeError(
            (error.strerror or "it cannot be read").lower(), where=shown, instead="See that it may be read"
        ) from None
    for entry in found:
        if hidden(entry.name):
            continue
        within = f"{shown}/{entry.name}"
        yield entry, within, deep
        if entry.is_dir(follow_symlinks=False) and not entry.name.endswith(ENDING):
            yield from _walk(entry.path, within, deep + 1)


def _some(entries: Iterator[os.DirEntry[str]]) -> Iterator[os.DirEntry[str]]:
    for count, entry in enumerate(entries):
        if count > MOST_THINGS:
            return
        yield entry
