"""The HTML page: valid by a strict parser that knows nothing of it, complete, readable by ear and in print, and proof against a user's words."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from itertools import pairwise

import html5lib
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from papers_samples import FULL, HOSTILE, flat, renamed
from samples import ADVICE, INSTEAD, MEANWHILE, RESTS_ON, WINDOW

from decide.model import advice as model
from decide.model.words import printable
from decide.report.html import render_html
from decide.report.poster import words_in
from tests.contrast import LEAST, contrast, palettes
from tests.shared import sampled

HTML = "{http://www.w3.org/1999/xhtml}"
SVG = "{http://www.w3.org/2000/svg}"


def parsed(text: str) -> ET.Element:
    """The page as a tree; html5lib's strict mode raises on anything that the HTML standard calls a parse error."""
    found: ET.Element = html5lib.HTMLParser(strict=True).parse(text)
    return found


def said(text: str) -> str:
    """What a reader gets: every word of the body."""
    body = parsed(text).find(f"{HTML}body")
    assert body is not None
    return flat(" ".join(body.itertext()))


def shape(text: str) -> list[tuple[str, tuple[str, ...]]]:
    return [
        (each.tag, tuple(sorted(each.attrib))) for each in parsed(text).iter() if isinstance(each.tag, str)
    ]


PAGE = render_html(FULL)
STYLE = PAGE.partition("<style>")[2].partition("</style>")[0]


# ---------- valid, alone, and the same each time ----------
def test_it_is_valid_and_stands_alone() -> None:
    tree = parsed(PAGE)
    tags = {each.tag.removeprefix(HTML) for each in tree.iter() if isinstance(each.tag, str)}
    assert not tags & {"script", "link", "img", "iframe", "object", "embed", "form", "input", "base"}
    assert not re.search(r"url\((?!#)|@import|javascript:|https?://(?!www\.w3\.org)", PAGE)
    assert not any(name.startswith("on") for each in tree.iter() for name in each.attrib)
    root = tree if tree.tag == f"{HTML}html" else tree.find(f"{HTML}html")
    assert root is not None
    assert root.get("lang") == "en"
    for link in tree.iter(f"{HTML}a"):
        assert link.get("href", "").startswith("#")


def test_ids_are_unique_and_every_reference_has_its_target() -> None:
    tree = parsed(PAGE)
    ids = [each.get("id") for each in tree.iter() if each.get("id")]
    assert len(ids) == len(set(ids))
    for each in tree.iter():
        for name in ("aria-labelledby", "aria-describedby"):
            assert set((each.get(name) or "").split()) <= set(ids)
        if each.get("href"):
            assert each.get("href", "")[1:] in ids


def test_same_advice_same_page() -> None:
    assert render_html(FULL) == PAGE
    assert render_html(FULL, "us") != PAGE


@pytest.mark.slow
def test_the_picture_of_the_season_is_well_formed_xml() -> None:
    from test_season_picture import advice

    text = render_html(advice())
    found = re.search(r"<svg.*?</svg>", text, re.S)
    assert found
    assert ET.fromstring(found[0]).tag == f"{SVG}svg"
    parsed(text)


# ---------- for ears, eyes and printers ----------
def test_headings_go_down_one_step_at_a_time() -> None:
    levels = [
        int(each.tag[-1])
        for each in parsed(PAGE).iter()
        if isinstance(each.tag, str) and re.fullmatch(HTML + r"h\d", each.tag)
    ]
    assert levels[0] == 1
    assert levels.count(1) == 1
    assert all(after <= before + 1 for before, after in pairwise(levels))


def test_there_are_landmarks_and_every_section_has_a_name() -> None:
    tree = parsed(PAGE)
    for name in ("header", "main", "footer"):
        assert len(list(tree.iter(HTML + name))) == 1
    assert all(each.get("aria-labelledby") or each.get("aria-label") for each in tree.iter(f"{HTML}section"))
    for each in tree.iter(f"{HTML}details"):
        assert next(child.tag for child in each) == f"{HTML}summary"


def test_every_table_has_a_caption_and_every_heading_cell_a_scope() -> None:
    tables = list(parsed(PAGE).iter(f"{HTML}table"))
    assert len(tables) >= 8
    for table in tables:
        assert flat("".join(next(table.iter(f"{HTML}caption")).itertext()))
        heads = [each.get("scope") for each in table.iter(f"{HTML}th")]
        assert set(heads) == {"col", "row"}
        columns = heads.count("col")
        for row in next(table.iter(f"{HTML}tbody")).iter(f"{HTML}tr"):
            assert len(list(row)) == columns


@pytest.mark.parametrize("which", [0, 1, 2])
def test_words_stand_out_from_their_ground(which: int) -> None:
    found = palettes(STYLE)
    assert len(found) == 3
    for ground in ("ground", "head"):
        for name in ("ink", "soft", "good", "warn", "bad", "link"):
            assert contrast(found[which][name], found[which][ground]) >= LEAST, (name, ground)


def test_it_reads_without_style_sheets() -> None:
    # No word is put in by a style sheet, and no word is taken out of the reading order by one.
    assert not re.search(r"(?<![-\w])content:", STYLE)
    assert 'style="' not in PAGE


def test_there_are_boxes_to_tick() -> None:
    folded = PAGE.partition('id="rest"')[2]
    # Seven tasks, one of them done; two things to buy; light and full for each check of two parts.
    assert folded.count("☐") == 6 + 2 + 2 * 2 * 1
    assert PAGE.count("☑") == 1


def test_details_are_folded_and_left_out_of_print_unless_asked() -> None:
    whole = render_html(FULL, full=True)
    assert "<details open" not in PAGE
    assert whole.count(" open>") == PAGE.count("<details ") > 10
    printing = STYLE.partition("@media print")[2]
    assert ".rest, footer { display: none; }" in printing
    assert ".rest.full { display: block;" in printing
    assert 'class="rest full"' in whole
    assert 'class="rest"' in PAGE


@pytest.mark.parametrize(("country", "size"), [("us", "letter"), ("ca", "letter"), ("gb", "A4"), ("", "A4")])
def test_the_paper_is_that_of_the_country(country: str, size: str) -> None:
    known = [*FULL.situation, model.Known(key="place.country", value=country, how="told")]
    assert f"@page {{ size: {size} portrait;" in render_html(FULL.model_copy(update={"situation": known}))


def test_nothing_runs_off_a_phone() -> None:
    # Tables become cards with the name of each column in each cell; no part has a width of its own that a
    # phone has not, and a long word breaks.
    phone = STYLE.partition("@media screen and (max-width")[2].partition("@media screen and (prefers")[0]
    assert "table, tbody, tr, th, td, caption { display: block;" in phone
    assert ".label { display: inline;" in phone
    assert not [width for width in re.findall(r"min-width: ([\d.]+)(?:rem|px)", STYLE) if float(width) < 40]
    assert "overflow-wrap: anywhere" in STYLE
    for row in parsed(PAGE).iter(f"{HTML}tr"):
        for cell in row.iter(f"{HTML}td"):
            label = next(cell.iter(f"{HTML}span"))
            assert (label.get("class"), label.get("aria-hidden")) == ("label", "true")
            assert (label.text or "").endswith(": ")


def test_what_a_section_must_say() -> None:
    words = said(PAGE)
    for sentence in (
        "Even in a slow year it is ready five weeks early.", "Thick sod is dear.", *(f"Only if: {condition}." for condition in RESTS_ON), *MEANWHILE, INSTEAD, WINDOW.text, "Begin by 20 May 2026.", "About every 7 days.", "Done on 1 July 2026.", "Tools: roller and spade.",
        "120 m² and 5% to 10% to spare.", "What soil did it grow on?", "Hire of the roller: no price is known. Ask the hire shop.", "A failed laying costs the sod again and 50 days.",
        "5 mm twice a day. 600 litres each time, 40 minutes of your flow.", "About 6 hours a week.", "Feed in autumn", "the tug test was not done", "may be saved", "Was anything sprayed in the last six months?",
        "Water could not be judged.", "a-page : How a field is kept. A public body, 2019. Seen as an excerpt.",
    ):  # fmt: skip
        assert sentence in words, sentence
    assert "4.2 kg of nitrogen" in words
    assert "9.3 lb of nitrogen" in said(render_html(FULL, "us"))


def test_every_source_has_its_line_and_every_key_leads_to_it() -> None:
    more = FULL.model_copy(
        update={
            "sources": [
                *FULL.sources,
                model.SourceRow(
                    key="memory", title="From memory", publisher="", year="undated", seen="memory", where=""
                ),
            ]
        }
    )
    words = said(render_html(more))
    assert "memory : From memory. undated. From memory, not looked up." in words
    assert render_html(more).count('<a href="#source-a-page">') >= 10
    assert 'id="source-a-page"' in render_html(more)
    assert render_html(more).count('href="#source-memory"') == 0


def test_an_advice_with_nothing_in_it_is_still_a_page() -> None:
    bare = ADVICE.model_copy(
        update={
            key: []
            for key in (
                "today",
                "causes",
                "diagnosis",
                "options",
                "programme",
                "needs",
                "cautions",
                "opening",
                "rescue",
                "proposals",
                "unknown",
                "sources",
                "trace",
                "situation",
            )
        }
    )
    assert "The label, local law and licensed people rule over this page." in said(render_html(bare))


# ---------- a user's words ----------
def plain(name: str) -> str:
    """A harmless name of as many words: how much more a page can say hangs on how many they are."""
    return " ".join(["north"] * words_in(printable(name))) or "-"


@pytest.mark.slow
@pytest.mark.parametrize("name", sampled(HOSTILE, 9))
def test_hostile_names_are_only_words(name: str) -> None:
    text = render_html(renamed(name))
    assert shape(text) == shape(render_html(renamed(plain(name))))
    assert flat(name) in said(text)
    assert not re.search(r"[\x00-\x08\x0b-\x1f\x7f\u202a-\u202e\u2066-\u2069\u200e\u200f]", text)


@pytest.mark.slow
@settings(max_examples=25, deadline=None)
@given(name=st.text(min_size=1, max_size=50).filter(lambda name: printable(name).strip()))
def test_any_name_keeps_the_page_whole(name: str) -> None:
    text = render_html(renamed(name))
    assert shape(text) == shape(render_html(renamed(plain(name))))
    assert flat(name) in said(text)
    text.encode()
