"""The knowledge as it was last read, kept in a file of the user's, so that the next start need not read and
check every table again.

A kept file holds plain data alone. It is used only where it was made of the same bytes, in the same folders,
by the same program; where it is torn, changed, somebody else's or cannot be had, the tables are read as ever
and nothing is said of it.
"""

from __future__ import annotations

import contextlib
import os
import re
import stat
import sys
from collections.abc import Callable, Iterator, Sequence
from hashlib import sha256
from pathlib import Path
from typing import TYPE_CHECKING, Final

import pydantic
from pydantic_core import from_json, to_json

from decide.knowledge.bounds import hidden
from decide.knowledge.pack import PackError, pack, unpack
from decide.model.errors import KnowledgeError
from decide.model.files import write_whole
from decide.model.version import VERSION

if TYPE_CHECKING:
    from decide.knowledge.tables import Knowledge

_HEAD: Final = b"knowledge of decide, as read 1\n"
_HEX: Final = 64
_MOST_BYTES: Final = 64_000_000
_MOST_FILES: Final = 4
_NAME: Final = re.compile(r"knowledge-[0-9a-f]{64}\.json")
# The rooms that say what the tables are and make them of the files.
_ROOMS: Final = ("engine", "knowledge", "model")
# What stands in a folder beside its tables, and is read elsewhere.
BESIDE: Final = ("demo.toml", "cases/", "climate/", "talk/")
# Of a later folder it is kept what it did to the words of the talk.
LATER: Final = ("demo.toml", "cases/", "climate/")


def kept_or_read(folders: Sequence[Path], kept: Path, read: Callable[[], Knowledge]) -> Knowledge:
    """The knowledge of `folders` from the folder `kept`, or else as `read` gives it, which is then kept."""
    try:
        key = _key(folders)
    except OSError:
        return read()
    path = kept / f"knowledge-{key}.json"
    found = _found(path, key)
    if found is not None:
        return found
    knowledge = read()
    # A mistake, or a folder that cannot be written, is told or borne elsewhere. What changed while it was
    # read may be half old and half new.
    with contextlib.suppress(OSError, PackError, KnowledgeError):
        payload = _payload(knowledge)
        if _key(folders) == key:
            kept.mkdir(mode=0o700, parents=True, exist_ok=True)
            write_whole(path, b"".join((_HEAD, key.encode(), _digest(payload), payload)))
            _tidy(kept, path)
    return knowledge


def _payload(knowledge: Knowledge) -> bytes:
    """The knowledge with the rules made of it, as bytes."""
    from decide.knowledge.compile import compile_rules

    base = compile_rules(knowledge)
    knowledge.keep(base)
    return to_json(pack((knowledge, base)))


def _digest(payload: bytes) -> bytes:
    return sha256(payload).hexdigest().encode()


def _found(path: Path, key: str) -> Knowledge | None:
    """The knowledge of a kept file; None where there is none that can be used."""
    try:
        data = _own_bytes(path)
    except OSError:
        return None
    start = len(_HEAD) + 2 * _HEX
    payload = data[start:]
    if data[:start] != b"".join((_HEAD, key.encode(), _digest(payload))):
        return None
    # A whole file may still be another's work; of no shape that it has may the start fail.
    try:
        knowledge, base = unpack(from_json(payload))
        knowledge.keep(base)
    except Exception:
        return None
    with contextlib.suppress(OSError):
        os.utime(path)
    found: Knowledge = knowledge
    return found


def _own_bytes(path: Path) -> bytes:
    """The bytes of a plain file that is the user's own and that nobody else may write; OSError for any
    other.
    """
    flags = (
        os.O_RDONLY | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_BINARY", 0) | getattr(os, "O_NONBLOCK", 0)
    )
    with open(os.open(path, flags), "rb") as file:
        held = os.fstat(file.fileno())
        if not stat.S_ISREG(held.st_mode) or held.st_size > _MOST_BYTES:
            raise OSError("no plain file")
        if hasattr(os, "getuid") and (
            held.st_uid != os.getuid() or held.st_mode & (stat.S_IWGRP | stat.S_IWOTH)
        ):
            raise OSError("not the user's own")
        return file.read()


def _tidy(kept: Path, newest: Path) -> None:
    """Leave the few files that were used last."""
    files = [path for path in kept.iterdir() if _NAME.fullmatch(path.name) and path != newest]
    files.sort(key=lambda path: path.lstat().st_mtime, reverse=True)
    for path in files[_MOST_FILES - 1 :]:
        path.unlink()


# ---------- what it hangs on ----------
def _key(folders: Sequence[Path]) -> str:
    """What tells this knowledge, read by this program, from any other."""
    told = [VERSION, pydantic.VERSION, *map(str, sys.version_info[:2])]
    digest = sha256("\n".join(told).encode())
    house = Path(__file__).parents[1]
    for room in _ROOMS:
        sources = _files(house / room, ".py")
        if not sources:
            raise FileNotFoundError(f"the program's own text is not in {house}")
        for name, path in sources:
            _add(digest.update, f"{room}/{name}", path)
    for layer, folder in enumerate(folders):
        # A folder goes by its own name in what is said of it.
        digest.update(f"\n{folder}\n{folder.resolve().name}\n".encode(errors="surrogateescape"))
        for name, path in _files(folder, ".toml", LATER if layer else BESIDE):
            _add(digest.update, name, path)
    return digest.hexdigest()


def _add(update: Callable[[bytes], None], name: str, path: str) -> None:
    with open(path, "rb") as file:
        data = file.read()
    update(f"\n{name} {len(data)}\n".encode(errors="surrogateescape"))
    update(data)


def _files(folder: Path, ending: str, beside: Sequence[str] = BESIDE) -> list[tuple[str, str]]:
    """The files of a folder by their names in it, with their paths, without what is read elsewhere."""
    return sorted(_walk(str(folder), "", ending, beside, set()))


def _walk(
    path: str, before: str, ending: str, beside: Sequence[str], seen: set[tuple[int, int]]
) -> Iterator[tuple[str, str]]:
    held = os.stat(path)
    # A link may lead back to where it stands.
    if (held.st_dev, held.st_ino) in seen:
        return
    seen.add((held.st_dev, held.st_ino))
    with os.scandir(path) as entries:
        for entry in entries:
            name = f"{before}{entry.name}"
            if hidden(entry.name):
                continue
            if entry.is_dir():
                if f"{name}/" not in beside and entry.name != "__pycache__":
                    yield from _walk(entry.path, f"{name}/", ending, beside, seen)
            elif name.endswith(ending) and name not in beside:
                yield name, entry.path
