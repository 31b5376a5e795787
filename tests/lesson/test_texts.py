"""The sentences of lessons: each that is named, whole or by its kind, stands in the table, and none stands there unnamed."""

from __future__ import annotations

import re
from pathlib import Path
from typing import get_args

from decide.knowledge.tables import Knowledge
from decide.lesson.scenes import Kind
from decide.lesson.steps import How

# What looks like a sentence and is none.
IDS = {"rule-out", "lesson-minutes"}
ROOT = Path(__file__).parents[2]
ENDS = ("essential", "time", "in-time", "lasting", "else-essential", "stood", "risk-end")
KINDS = {
    "lesson-known-": (*get_args(How), "could-fire", "unknown", "speaks", "free"),
    "lesson-role-": ("stopgap", "choice", "least-bad", "after", "instead", "next-best", "asked-for"),
    "lesson-ends-": ENDS,
    "lesson-stands-": ("good", "soft", "open", "weak", "free"),
    "lesson-ruled-out-by-": ("nothing", "the-date", "more"),
    "lesson-fate-": ("yes", "likely", "partly", "no"),
    "story-ask-": (*get_args(Kind), "no-new"),
    "story-hint-": ("look", "order", "verdict", "wish", "like", "date", "cost", "idea"),
    "story-date-": ("wanted", "training", "matches"),
    "story-loser-": ("lead", "fact", "rule", "choice", "way", "so"),
    "story-choice-": ("for", "against", "if"),
    "rule-": (
        "when",
        "and",
        "unless",
        "is",
        "is-not",
        "yes",
        "no",
        "below",
        "at-most",
        "above",
        "at-least",
        "own-number",
    ),
}


def test_the_table_holds_what_is_named_and_no_more(knowledge: Knowledge) -> None:
    written = "".join(
        path.read_text(encoding="utf-8")
        for room in ("lesson", "shell", "cli")
        for path in sorted((ROOT / "decide" / room).rglob("*"))
        if path.suffix in (".py", ".jinja")
    )
    named = set(re.findall(r"""["']((?:lesson|exercise|story|rules?)-[a-z-]+[a-z])["']""", written)) - IDS
    named |= {f"story-{code}" for code in re.findall(r"""\bt\.say\(\s*["']([a-z-]+)["']""", written)}
    named |= {f"{head}{kind}" for head, kinds in KINDS.items() for kind in kinds}
    subjects = {f"rules-of-{path.stem}" for path in (ROOT / "knowledge" / "rules").glob("*.toml")}
    assert named | subjects == {
        code
        for code in knowledge.texts
        if code.startswith(("lesson-", "exercise-", "story-", "rule-", "rules-"))
    }
