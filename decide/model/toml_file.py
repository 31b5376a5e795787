"""A file of TOML of the knowledge: plain, within bounds, and read whole, or told what is wrong with it."""

from __future__ import annotations

from pathlib import Path
from typing import Any, Final

from decide.model.errors import KnowledgeError
from decide.model.files import plain_bytes
from decide.model.toml_lines import TomlError, toml_table

MOST_BYTES: Final = 500_000


def toml_file(path: Path, name: str = "") -> tuple[str, dict[str, Any]]:
    """The text and the tables of a file, which goes by `name` in what is said of it; KnowledgeError where it
    cannot be read.
    """
    name = name or str(path)
    try:
        data = plain_bytes(path, MOST_BYTES)
    except OSError as error:
        raise KnowledgeError(
            (error.strerror or "cannot be read").lower(),
            where=name,
            instead="Put a file of text there, or take it away",
        ) from None
    if len(data) > MOST_BYTES:
        raise KnowledgeError(
            f"this has more than {MOST_BYTES:,} bytes",
            where=name,
            instead="Write its rows into several files",
        )
    try:
        text = data.decode()
    except UnicodeDecodeError:
        raise KnowledgeError("this is not UTF-8 text", where=name, instead="Save it as UTF-8") from None
    # As text is read everywhere: one kind of line end.
    text = text.replace("\r\n", "\n").replace("\r", "\n")
    try:
        return text, toml_table(text)
    except TomlError as error:
        raise KnowledgeError(
            f"not TOML: {error.said}", where=f"{name}:{error.line}" if error.line else name
        ) from None
