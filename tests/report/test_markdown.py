"""The notes: what a committee reads, and a user's words kept from acting as Markdown; read back by a parser of CommonMark with tables."""

from __future__ import annotations

import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from markdown_it import MarkdownIt
from papers_samples import FULL, HOSTILE, flat, renamed
from samples import FATE

from decide.model.words import printable
from decide.report.markdown import render_markdown
from tests.shared import sampled

PARSER = MarkdownIt("commonmark").enable("table")


def shape(text: str) -> list[str]:
    """Every part that Markdown makes of the text, but for the words themselves."""
    found: list[str] = []
    for token in PARSER.parse(text):
        found.append(f"{token.type} {token.tag}")
        found += [child.type for child in token.children or [] if child.type not in ("text", "text_special")]
    return found


def said(text: str) -> str:
    """The words as a reader of the rendered notes sees them."""
    out = []
    for token in PARSER.parse(text):
        out.append(
            "".join(child.content if child.type != "softbreak" else " " for child in token.children or [])
        )
    return flat(" ".join(out))


NOTES = render_markdown(FULL)


def test_what_is_put_to_the_committee_comes_first() -> None:
    # By hand: dangers of today stand before it, all else after it.
    heads = re.findall(r"^## (.*)$", NOTES, re.MULTILINE)
    assert heads[:3] == ["Today, before anything else", "What is put to you", "How it goes"]
    # The fate of the date stands before any heading but the title.
    assert said(NOTES.split("\n## ")[0]).startswith(f"Advice for Galway, 1 May 2026 {FATE.text} In short:")
    row = (
        "| **goalmouth** | Do this: Perennial ryegrass by thick-cut sod, from 1 June 2026 | sound if "
        "| nothing was sprayed there in the last months; the soil is not salty; the water is not salty; and 1 more | between 29 June and 20 July 2026 | 10 May 2026 "
        "| 1,210 to 2,390 euros, prices of 2024 (the price on offer, without work) | 20 to 34 hours |"
    )  # fmt: skip
    assert row in NOTES.splitlines()
    assert "The money is not whole." in NOTES


@pytest.mark.parametrize("sentence", [
    "Mark services.", "How to lay sod.", "Thick-cut sod: 126 to 132 m², 3 × pallet of 45 m², for goalmouth; order by 10 May 2026.", "120 m² and 5% to 10% to spare.", "Hire of the roller: no price is known. Ask the hire shop.",
    "A failed laying costs the sod again and 50 days.", "material 1,210 to 2,390 euros, prices of 2024", "Guards on. Engine off before you clear it.", "Who decides: the maker's manual.",
    "Once, while it grows.", "About 6 hours a week.", "How a field is kept. A public body, 2019. Seen as an excerpt.", "Three days are missing before the start.",
])  # fmt: skip
def test_the_notes_say(sentence: str) -> None:
    assert sentence in said(NOTES)


def test_options_stand_side_by_side_in_a_table() -> None:
    assert "| Way | Verdict | Money | Hours of work | Full play at the latest |" in NOTES
    assert (
        "| **Perennial ryegrass by thick-cut sod, goalmouth** | sound if | 1,210 to 2,390 euros | 20 to 34 | 20 July 2026 |"
        in NOTES
    )


def test_notes_hold_no_html_link_picture_or_code() -> None:
    kinds = set(shape(NOTES))
    assert not {
        kind
        for kind in kinds
        if kind.split(" ", maxsplit=1)[0]
        in ("html_block", "html_inline", "link_open", "image", "code_inline", "code_block", "fence", "hr")
    }


@pytest.mark.parametrize("name", sampled(HOSTILE, 9))
def test_hostile_names_are_only_words(name: str) -> None:
    text = render_markdown(renamed(name))
    assert shape(text) == shape(render_markdown(renamed("north")))
    assert flat(name) in said(text)


@pytest.mark.slow
@settings(max_examples=40, deadline=None)
@given(name=st.text(min_size=1, max_size=50).filter(lambda name: printable(name).strip()))
def test_any_name_keeps_the_notes_whole(name: str) -> None:
    text = render_markdown(renamed(name))
    assert shape(text) == shape(render_markdown(renamed("north")))
    assert flat(name) in said(text)
    text.encode()
