"""The derivation as a graph: DOT for drawing tools, and one HTML page with a picture that a keyboard can walk."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from html import escape
from typing import Final

from decide.lesson.guess import Guess
from decide.lesson.steps import PART_NAMES, Lesson, Part, Step
from decide.model.words import capital, printable

_SHAPES: Final = {
    "choice": "doubleoctagon",
    "fate": "doubleoctagon",
    "verdict": "hexagon",
    "judgement": "hexagon",
}
_WIDE, _HIGH, _ACROSS, _DOWN, _IN_ROW, _LETTERS = 190, 44, 206, 74, 4, 27
_HEAD: Final = 26


# ---------- DOT ----------
def _quoted(*lines: str) -> str:
    """Words as one quoted string of DOT; nothing in them can end it."""
    safe = (printable(line).replace("\\", "\\\\").replace('"', '\\"') for line in lines if line)
    return '"' + "\\n".join(safe) + '"'


def dot(lesson: Lesson) -> str:
    """The derivation in the DOT language: facts are ellipses, rules that fired are boxes, arrows go the way of the reasoning."""
    lines = [
        "digraph lesson {",
        "  rankdir=TB;",
        '  node [fontname="Helvetica", fontsize=10];',
        f"  label={_quoted(f'How it follows: {lesson.place}'.rstrip(': '), lesson.today)};",
    ]
    facts: dict[tuple[str, str], str] = {}
    arrows: list[str] = []
    for step in lesson.steps:
        lines.append(
            f"  s{step.number} [shape={_SHAPES.get(step.part, 'box')}, label={_quoted(f'{step.number}. {step.rule}' if step.rule else f'{step.number}.', step.about, step.concludes)}];"
        )
        for read in step.facts:
            if read.steps:
                arrows += [f"  s{before} -> s{step.number};" for before in read.steps]
                continue
            owner = (
                (step.zone or step.subject)
                if read.name.startswith("zone.")
                else ""
                if read.name.startswith("site.")
                else step.subject
            )
            if (owner, read.name) not in facts:
                facts[owner, read.name] = f"f{len(facts) + 1}"
                lines.append(
                    f"  {facts[owner, read.name]} [shape=ellipse, label={_quoted(read.text, f'({read.source})')}];"
                )
            arrows.append(f"  {facts[owner, read.name]} -> s{step.number};")
    return "\n".join([*lines, *dict.fromkeys(arrows), "}"]) + "\n"


# ---------- the picture ----------
def _places(steps: Sequence[Step]) -> tuple[dict[int, tuple[int, int]], list[tuple[str, int]], int]:
    """Where each step stands (left, top), the heads of the parts with their tops, and the height of all."""
    places: dict[int, tuple[int, int]] = {}
    heads: list[tuple[str, int]] = []
    top = 4
    layer: tuple[Part, int] | None = None
    column = 0
    for step in steps:
        if layer is None or layer[0] != step.part:
            top += _DOWN if layer is not None else 0
            heads.append((PART_NAMES[step.part], top + 16))
            top, column = top + _HEAD, 0
        elif layer != (step.part, step.stratum) or column == _IN_ROW:
            top, column = top + _DOWN, 0
        places[step.number] = 4 + column * _ACROSS, top
        layer, column = (step.part, step.stratum), column + 1
    return places, heads, top + _DOWN


def _cut(text: str) -> tuple[str, str]:
    """Two lines for a box, cut where they are too long."""
    first, rest = "", printable(text)
    while rest and len(first) + len(rest.partition(" ")[0]) < _LETTERS:
        word, _, rest = rest.partition(" ")
        first = f"{first} {word}".strip()
    if not first:
        first, rest = rest[:_LETTERS], rest[_LETTERS:]
    if len(rest) <= _LETTERS:
        return first, rest
    kept = rest[: _LETTERS - 1]
    return first, (kept.rpartition(" ")[0] or kept).rstrip() + "…"


def _svg(lesson: Lesson, hidden: Collection[int]) -> str:
    places, heads, height = _places(lesson.steps)
    width = 4 + _IN_ROW * _ACROSS
    out = [
        f'<svg viewBox="0 0 {width} {height}" width="{width}" height="{height}" role="group" aria-labelledby="picture-title picture-what" xmlns="http://www.w3.org/2000/svg">',
        '<title id="picture-title">The steps as boxes, from the facts at the top to the choice at the bottom</title>',
        '<desc id="picture-what">Each box is a rule that fired; a line goes from a step to each later step that reads what it says. All of it stands in words below.</desc>',
    ]
    for step in lesson.steps:
        left, top = places[step.number]
        for before in dict.fromkeys(number for read in step.facts for number in read.steps):
            x, y = places[before]
            x1, y1, x2, y2 = x + _WIDE // 2, y + _HIGH, left + _WIDE // 2, top
            out.append(f'<path class="line" d="M{x1} {y1} C{x1} {y1 + 22} {x2} {y2 - 22} {x2} {y2}"/>')
    out += [f'<text class="part" x="4" y="{top}">{_says(name)}</text>' for name, top in heads]
    for step in lesson.steps:
        left, top = places[step.number]
        shown = step.about if step.number in hidden else step.concludes
        first, second = _cut(f"{step.number} {shown}")
        # A mark that something is cut is no part of the name.
        below = _says(second.removesuffix("…")) + (
            '<tspan aria-hidden="true">…</tspan>' if second.endswith("…") else ""
        )
        # The name begins with what is seen, so that a voice command finds the box.
        said = f"{step.number} {shown}, a step" + ("" if step.number in hidden else f" on {step.about}")
        out.append(
            f'<a id="node-{step.number}" href="#step-{step.number}" aria-label="{_says(said)}"><rect class="{step.part}" x="{left}" y="{top}" width="{_WIDE}" height="{_HIGH}" rx="5"/>'
            f'<text x="{left + 7}" y="{top + 18}">{_says(first)}</text> <text x="{left + 7}" y="{top + 34}">{below}</text></a>'
        )
    return "\n".join([*out, "</svg>"])


def _says(text: str) -> str:
    return escape(printable(text))


_STYLE: Final = """
:root { --ink: #1b1b1b; --soft: #4d4d4d; --line: #6f6f6f; --ground: #ffffff; --head: #f0f0ec; --good: #14532d; --link: #0b4a75; }
* { box-sizing: border-box; }
html { background: var(--ground); color: var(--ink); font: 100%/1.45 "Liberation Sans", Arial, Helvetica, sans-serif; }
body { margin: 0 auto; max-width: 56rem; padding: 1rem; overflow-wrap: break-word; }
h1 { font-size: 1.7rem; margin: 0 0 .4em; } h2 { font-size: 1.3rem; border-bottom: 2px solid var(--ink); margin: 1.6em 0 .4em; } h3 { font-size: 1.05rem; margin: 0; }
p, ul, ol { margin: .3em 0; }
a { color: var(--link); }
.wide { overflow-x: auto; }
svg text { font-size: 12px; fill: var(--ink); } svg .part { font-weight: bold; font-size: 14px; }
svg rect { fill: var(--head); stroke: var(--line); } svg .choice, svg .fate { stroke: var(--good); stroke-width: 3; } svg .verdict, svg .judgement { stroke-dasharray: 5 2; }
svg .line { fill: none; stroke: var(--line); stroke-width: 1; opacity: .6; }
a:focus-visible, summary:focus-visible { outline: 3px solid var(--link); outline-offset: 2px; }
svg a:focus-visible rect { stroke: var(--link); stroke-width: 4; }
.step { border-top: 1px solid var(--line); padding: .6em 0; }
.step:target { border-left: 5px solid var(--link); padding-left: .7em; }
.go a { display: inline-block; padding: .15em .6em .15em 0; }
.soft { color: var(--soft); font-size: .87em; }
@media screen and (prefers-color-scheme: dark) {
  :root { --ink: #ececea; --soft: #bdbdb8; --line: #9a9a95; --ground: #161817; --head: #262a28; --good: #9fe0b4; --link: #9ccff2; }
}
@media print { .go { display: none; } .step { break-inside: avoid; } html { font-size: 9pt; } }
"""


def lesson_page(lesson: Lesson, guesses: Sequence[Guess] = ()) -> str:
    """One HTML page that stands alone, without a script: the picture, then each step with links back, on and to what it rests on.

    Tab goes from box to box and Enter to its step. With `guesses` each of those steps keeps its conclusion back until it is opened, in the picture too.
    """
    asked = {one.step.number: one for one in guesses}
    title = f"How it follows{f': {lesson.place}' if lesson.place else ''}"
    ends = "".join(
        f'<li><a href="#step-{step.number}">{_says(step.concludes)}</a></li>'
        for step in lesson.steps
        if step.part == "choice"
    )
    choices = (
        f"<details><summary>Show where it ends</summary><ul>{ends}</ul></details>"
        if asked
        else f"<ul>{ends}</ul>"
    )
    return (
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'\">\n"
        f'<meta name="color-scheme" content="light dark">\n<title>{_says(title)}</title>\n<style>{_STYLE}</style>\n</head>\n<body>\n'
        f"<header>\n<h1>{_says(title)}</h1>\n<p>{len(lesson.steps)} steps, from what is known on {_says(lesson.today)} to the choice. "
        "Tab goes from box to box, Enter to the step in words.</p>\n</header>\n<main>\n"
        f'<section aria-labelledby="end-head">\n<h2 id="end-head">Where it ends</h2>\n{choices}\n</section>\n'
        f'<section aria-labelledby="picture-head">\n<h2 id="picture-head">The picture</h2>\n<p><a href="#steps-head">Go to the steps in words</a></p>\n<div class="wide">\n{_svg(lesson, asked)}\n</div>\n</section>\n'
        f'<section aria-labelledby="steps-head">\n<h2 id="steps-head" tabindex="-1">The steps in words</h2>\n{"".join(_sections(lesson, asked))}</section>\n</main>\n</body>\n</html>\n'
    )


def _sections(lesson: Lesson, asked: dict[int, Guess]) -> Iterator[str]:
    for step in lesson.steps:
        facts = "".join(
            f'<li>{_says(read.text)} <span class="soft">({_from(read.steps) or _says(read.source)})</span></li>'
            for read in step.facts
        )
        facts += "".join(
            f"<li>Unless {_says(name.replace('-', ' '))}: {'not known, so the rule stands for now' if holds is None else 'not so'}</li>"
            for name, holds in step.unless
        )
        sources = "".join(f'<li class="soft">{_says(source)}</li>' for source in step.sources)
        said = (
            f"<p><strong>So: {_says(step.concludes)}</strong></p><p>Why: {_says(step.because)}</p>"
            + (f"<p class=\"soft\">Rule: {_says(step.rule)}</p>" if step.rule else "") + (f"<ul>{sources}</ul>" if sources else "")
        )  # fmt: skip
        if step.number in asked:
            offered = "".join(f"<li>{_says(choice)}</li>" for choice in asked[step.number].choices)
            said = f'<p>What follows?</p><ol type="a">{offered}</ol><details><summary>Show the answer</summary>{said}</details>'
        last = len(lesson.steps)
        links = [
            f'<a href="#step-{step.number - 1}">Back to step {step.number - 1}</a>'
            if step.number > 1
            else "",
            f'<a href="#step-{step.number + 1}">On to step {step.number + 1}</a>'
            if step.number < last
            else "",
            f'<a href="#node-{step.number}">Step {step.number} in the picture</a>',
        ]
        yield (
            f'<section class="step" id="step-{step.number}" aria-labelledby="step-{step.number}-head" tabindex="-1">\n'
            f'<h3 id="step-{step.number}-head">Step {step.number}. {_says(capital(step.about))}{f" ({step.role})" if step.role else ""}</h3>\n'
            + (f"<ul>{facts}</ul>\n" if facts else "") + f'{said}\n<p class="go">{"".join(link for link in links if link)}</p>\n</section>\n'
        )  # fmt: skip


def _from(steps: tuple[int, ...]) -> str:
    if not steps:
        return ""
    linked = ", ".join(f'<a href="#step-{number}">{number}</a>' for number in steps)
    return f"from step{'s' if len(steps) > 1 else ''} {linked}"
