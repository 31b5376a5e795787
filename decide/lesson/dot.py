"""The derivation of an advice in the DOT language, for drawing tools."""

from __future__ import annotations

from typing import Final

from decide.lesson.steps import Read, Step, how_known
from decide.lesson.story import Story
from decide.model.words import printable

_SHAPES: Final = {
    "choice": "doubleoctagon",
    "fate": "doubleoctagon",
    "verdict": "hexagon",
    "judgement": "hexagon",
}


def _quoted(*lines: str) -> str:
    """Words as one quoted string of DOT; nothing in them can end it."""
    safe = (printable(line).replace("\\", "\\\\").replace('"', '\\"') for line in lines if line)
    return '"' + "\\n".join(safe) + '"'


def dot(told: Story) -> str:
    """The derivation in the DOT language: facts are ellipses, rules that fired are boxes, arrows go the
    way of the reasoning. The steps are called as in the story.
    """
    k, lesson = told.knowledge, told.whole
    title = (
        k.text("story-head-at", place=told.place, n=told.count)
        if told.place
        else k.text("story-head", n=told.count)
    )
    lines = [
        "digraph lesson {",
        "  rankdir=TB;",
        '  node [fontname="Helvetica", fontsize=10];',
        f"  label={_quoted(title, lesson.today)};",
    ]
    facts: dict[tuple[str, str], str] = {}
    arrows: list[str] = []
    for step in lesson.steps:
        number = f"{told.named(step.number)} {step.rule}".strip()
        label = _quoted(number, step.about, step.concludes)
        lines.append(f"  s{step.number} [shape={_SHAPES.get(step.section, 'box')}, label={label}];")
        for read in step.facts:
            if read.steps:
                arrows += [f"  s{before} -> s{step.number};" for before in read.steps]
                continue
            fact = _owner(step, read), read.name
            if fact not in facts:
                facts[fact] = f"f{len(facts) + 1}"
                label = _quoted(read.text, f"({how_known(k, read, told.named)})")
                lines.append(f"  {facts[fact]} [shape=ellipse, label={label}];")
            arrows.append(f"  {facts[fact]} -> s{step.number};")
    return "\n".join([*lines, *dict.fromkeys(arrows), "}"]) + "\n"


def _owner(step: Step, read: Read) -> str:
    """Whose fact it is: that of the zone, of the one site, or of the subject of the step."""
    if read.name.startswith("zone."):
        return step.zone or step.subject
    return "" if read.name.startswith("site.") else step.subject
