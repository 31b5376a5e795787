"""The README's section on speed: some rows of the table, with the machine, the day and the Python that they were measured with."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from pathlib import Path

from tests.bench.measure import ROOT
from tests.bench.rows import Aim, Row, cells

README = ROOT / "README.md"
BLOCK = re.compile(r"<!-- fast -->\n.*?<!-- /fast -->\n", re.S)
MOST_LINES = 12


def block(rows: Sequence[Row], aims: Mapping[str, Aim], shown: Sequence[str], setting: str) -> str:
    """The section between its marks; `setting` names machine, day and Python. KeyError for a row that is not there."""
    by_key = {row.key: row for row in rows}
    found = {row.key: each for row, each in zip(rows, cells(rows, aims), strict=True)}
    body = [found[by_key[key].key] for key in shown]
    lines = [
        f"Milliseconds of the processor on the demo field, {setting}; `python -m tests.bench` prints all, with other engines beside.",
        "",
        "| what | measured | wanted |",
        "| --- | --- | --- |",
        *(
            f"| {what} | {measured} | {f'{aim}: {met}' if aim else ''} |"
            for what, measured, _, aim, met in body
        ),
    ]
    return "\n".join(["<!-- fast -->", *lines, "<!-- /fast -->", ""])


def write(text: str, path: Path = README) -> None:
    """Puts the section in place of the one that stands there; ValueError where its marks are not there once."""
    old = path.read_text(encoding="utf-8")
    new, count = BLOCK.subn(lambda _: text, old)
    if count != 1:
        raise ValueError(
            f"{path.name} has {count} sections between <!-- fast --> and <!-- /fast -->, not one"
        )
    path.write_text(new, encoding="utf-8")
