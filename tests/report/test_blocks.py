"""One grammar for every drawing: the same blocks, which hold no advice, as text, as HTML and as Markdown."""

from __future__ import annotations

import ast
import datetime as dt
from pathlib import Path

import html5lib
import pytest
from markdown_it import MarkdownIt
from papers_samples import FULL, flat

from decide.report import html, markdown, text
from decide.report.blocks import (
    DONE,
    TO_DO,
    Group,
    Heading,
    Page,
    Section,
    Span,
    Table,
    cell,
    cited,
    labelled,
    line,
    paragraphs,
    spans,
    tick,
)
from decide.report.pages import notes, printed, told
from decide.report.poster import BigDate, Part, Poster, Printed, WorkLine

REPORT = Path(__file__).parents[2] / "decide" / "report"
PAGE = Page(
    "A <page>",
    (line("It begins ", Span("here", "strong"), "."),),
    (
        Section(
            "one",
            "First & last",
            (
                Heading("A part"),
                line("Do it.", cited(["a-key", "b-key"]), mark="1."),
                line("Who decides: you", depth=1),
                line("Then that.", mark="2."),
                labelled("Money", "none"),
                Table(
                    ("Thing", "How"),
                    ((cell("Seed"), paragraphs(["Weigh it.", "", "Spread it."], ["a-key"])),),
                    "To get",
                    "buy",
                ),
                Group(
                    "small",
                    (line("Small.", mark="-"), line(Span("a-key", "strong"), mark="-", anchor="a-key")),
                ),
            ),
        ),
    ),
)
LISTED = (
    line("To do", mark=TO_DO),
    line("Ready", mark=DONE),
)
CHECK = Table(("Found", "Write"), ((cell("Depth"), (spans(tick(False)),)),), "Check", blank=1)
SHEET = Poster(
    title="Plan & <field>", under="Today", wanted=BigDate("wanted", "Wanted", "2026", "1 Jul"), fate=(), dangers=None, jobs=(), idle=(),
    line=WorkLine(dt.date(2026, 5, 1), dt.date(2026, 7, 1), (), None, (), (), (), None), plan=None, parts=(Part("week", "This week", LISTED),), people=("Opens it",),
)  # fmt: skip
PRINTED = Printed(SHEET, ((Section("checks", "Tests", (CHECK,)),),), PAGE, "letter", full=False)


def test_as_text() -> None:
    assert text.draw(PAGE.in_order(), width=30, plain=True) == (
        "A <page>\nIt begins here.\n\nFirst & last\n\nA part\n1. Do it.\n  Who decides: you\n2. Then that.\n  Money: none\n"
        "- Thing: Seed\n  How: Weigh it. Spread it.\n- Small.\n- a-key\n"
    )


def test_as_markdown() -> None:
    drawn = markdown.draw(PAGE.in_order())
    assert drawn.startswith(
        "# A \\<page\\>\n\nIt begins **here**.\n\n## First \\& last\n\n### A part\n\n- Do it.\n  - Who"
    )
    assert "| Thing | How |\n| --- | --- |\n| Seed | Weigh it. Spread it. |" in drawn
    assert "<" not in "".join(
        token.content for token in MarkdownIt().parse(drawn) if token.type == "html_block"
    )


def test_as_html() -> None:
    drawn = html.draw(PRINTED)
    tree = html5lib.HTMLParser(strict=True, namespaceHTMLElements=False).parse(drawn)
    body = tree.find("body")
    assert body is not None
    heads = [
        (each.tag, "".join(each.itertext())) for each in body.iter() if each.tag in ("h1", "h2", "h3", "h4")
    ]
    assert heads == [
        ("h1", "Plan & <field>"), ("h2", "This week"), ("h2", "Who decides"), ("h2", "Tests"), ("h2", "The whole advice"), ("h3", "First & last"), ("h4", "A part"),
    ]  # fmt: skip
    assert "size: letter portrait" in drawn
    first = next(body.iter("ol"))
    assert [flat("".join(item.itertext())) for item in first] == [
        "Do it. [a-key, b-key]Who decides: you",
        "Then that.Money: none",
    ]
    # Only a key that has its line on the page is led to.
    assert [each.get("href") for each in first.iter("a")] == ["#source-a-key"]
    assert 'id="source-a-key"' in drawn
    assert (drawn.count("☐"), drawn.count("☑"), drawn.count('class="blank"')) == (2, 1, 1)
    assert "<p>Weigh it.</p><p>Spread it.</p>" in drawn


@pytest.mark.parametrize("depth", ["short", "full", "reasons"])
def test_a_deeper_page_has_more_sections(depth: str) -> None:
    page = told(FULL, depth)  # type: ignore[arg-type]  # pytest knows no literals
    codes = [section.code for section in page.sections]
    assert len(codes) == len(set(codes))
    assert ("sources" in codes, "grades" in codes) == (depth != "short", depth == "reasons")
    assert [section.code for section in notes(FULL, "full").sections][:2] == ["today", "put"]
    codes = [section.code for section in printed(FULL).rest.sections]
    assert len(codes) == len(set(codes))


def test_no_drawing_reads_the_advice() -> None:
    """What a drawing imports of the advice is its name alone, to hand it on to the pages."""
    for name in ("text", "html", "markdown", "timeline_said", "timeline_letters", "timeline_svg", "drawing"):
        tree = ast.parse((REPORT / f"{name}.py").read_text(encoding="utf-8"))
        used = [node for node in ast.walk(tree) if isinstance(node, ast.Attribute)]
        assert not [
            node.attr for node in used if isinstance(node.value, ast.Name) and node.value.id == "advice"
        ], name
        sources = {node.module for node in ast.walk(tree) if isinstance(node, ast.ImportFrom)}
        assert not {each for each in sources if each and each.startswith("decide.report.sections")}, name
