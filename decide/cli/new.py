"""The command `new`: a skeleton of a rule, a value or a case, with its keys explained."""

from __future__ import annotations

import re
from argparse import Namespace
from pathlib import Path
from typing import Final

from decide.cli.page import OK, say, show
from decide.cli.table import COMMANDS
from decide.cli.words import UseError
from decide.model.errors import DecideError
from decide.model.files import write_whole

PLACES: Final = {"rule": "rules", "value": "values", "case": "cases"}
_NAME: Final = re.compile(r"[a-z][a-z0-9]*(-[a-z0-9]+)*")


def new(words: Namespace) -> int:
    """Prints the skeleton, or writes it into its place in a folder of knowledge."""
    if words.kind not in PLACES:
        raise UseError(COMMANDS["new"].takes)
    if not _NAME.fullmatch(words.name):
        raise UseError(
            f"{words.name!r} is not a name", instead="Write small letters, digits and hyphens, as seed-on-ice"
        )
    text = (Path(__file__).parent / "skeletons" / f"{words.kind}.toml").read_text(encoding="utf-8")
    text = text.replace("NAME", words.name)
    if words.write is None:
        show(text)
        return OK
    target = Path(words.write) / PLACES[words.kind] / f"{words.name}.toml"
    if target.exists():
        raise DecideError(
            "it is there already", where=str(target), instead="Name it otherwise, or edit the file"
        )
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        write_whole(target, text.encode(), 0o644)
    except OSError as error:
        raise DecideError(
            error.strerror or "it cannot be written", where=str(target), instead="Name a folder of yours"
        ) from None
    say(f"Written: {target}")
    return OK
