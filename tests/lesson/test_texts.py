"""The sentences of lessons: each that is named, whole or by its kind, stands in the table, and none stands there unnamed."""

from __future__ import annotations

import re
from pathlib import Path
from typing import get_args

from decide.knowledge.tables import Knowledge
from decide.lesson.steps import How, Section

ROOT = Path(__file__).parents[2]
ENDS = ("essential", "time", "in-time", "lasting", "else-essential", "stood", "risk-end", "worst-other")
KINDS = {
    "lesson-section-": get_args(Section),
    "lesson-known-": (*get_args(How), "could-fire", "unknown", "speaks", "free"),
    "lesson-role-": ("stopgap", "choice", "least-bad", "after", "instead", "next-best", "asked-for"),
    "lesson-ends-": ENDS,
    "lesson-stands-": ("good", "soft", "open", "weak", "free"),
    "lesson-ruled-out-by-": ("nothing", "the-date", "more"),
    "lesson-fate-": ("yes", "likely", "partly", "no"),
}


def test_the_table_holds_what_is_named_and_no_more(knowledge: Knowledge) -> None:
    written = "".join(
        path.read_text(encoding="utf-8")
        for room in ("lesson", "shell", "cli")
        for path in sorted((ROOT / "decide" / room).rglob("*"))
        if path.suffix in (".py", ".jinja")
    )
    named = set(re.findall(r"""["']((?:lesson|exercise)-[a-z-]+[a-z])["']""", written))
    named |= {f"{head}{kind}" for head, kinds in KINDS.items() for kind in kinds}
    assert named == {code for code in knowledge.texts if code.startswith(("lesson-", "exercise-"))}
