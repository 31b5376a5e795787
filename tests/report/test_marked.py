"""No sentence is stuck in code: with every text of the folders written in marked letters, hardly a word of ours stays as it was."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from html import unescape
from pathlib import Path
from typing import Final

import pytest
from icalendar import Calendar

from decide import Adviser, ask, paper, read_knowledge, read_situation
from decide.knowledge.load import knowledge_folder
from decide.lesson.lines import story_lines
from decide.lesson.story import story
from decide.report.first_screen import first_screen
from decide.report.pages import NAMED
from decide.report.papers import PAPERS
from decide.report.text import render_named
from decide.report.words import spoken
from tests.marked import marked, plain, write_marked
from tests.shared import knowledge

DEMO = (knowledge_folder() / "demo.toml").read_text(encoding="utf-8")
# What the person told comes back as they told it.
TOLD: Final = "Dayton Ohio goalmouths middle wings Goalmouths Middle Wings soccer youth"
# Days and lists are worded by the Unicode locale data of the language, which is English still.
CUSTOMS: Final = "January February March April May June July August September October November December Jan Feb Mar Apr Jun Jul Aug Sep Oct Nov Dec and or"
# Letters of a drawing: parts of the field, months, windows and frost.
LETTERS: Final = "A B C F G J d f"
# The sport and the places of its field are names that are read back, from `fields.toml` and `field_plan.toml`.
FIELDS: Final = "Football football soccer field any match"
# The unit of a table stands in a column of its own, by its symbol.
UNITS: Final = "ft lb"
# Where prices were published, and what for, as the sources have it.
PRICED: Final = "United States USD sod laying"
# Stuck in code, each with why; a word that comes free goes from here. Not looked at, and in English whatever a folder
# says: the talk's own lines (`decide/shell`), what is said back while it listens (`decide/parse`), and mistakes.
STUCK: Final[Mapping[str, str]] = {
    "Place monthly mean c": "a key of the situation that is no fact, so that no meaning stands for it",
    "Climate": "the same",
    "the field is wanted by": "the same",
}  # fmt: skip
QUESTIONS: Final = (
    "why?", "why not sod?", "why not bermudagrass in June?", "what would it take for sod?", "how sure is it?",
    "what if we had 3 more weeks and a hose?", "is sod better than ryegrass?", "when do I feed?", "how much seed?",
    "what does it cost?", "how much water?", "when can we play?", "in plain words", "what matters next?",
    "how many hours of work?", "what must be bought?", "is it safe?", "how deep do I water?",
)  # fmt: skip
# What of a calendar is read.
SHOWN: Final = ("SUMMARY", "DESCRIPTION", "LOCATION", "X-WR-CALNAME")


def left(text: str, published: Iterable[str] = ()) -> set[str]:
    """The runs of words in our own letters that nothing accounts for; codes, and what is `published`, are none."""
    for words in sorted(published, key=len, reverse=True):
        text = text.replace(words, "")
    text = re.sub(r"https?://\S+|\b[A-Za-z0-9]+(?:-[A-Za-z0-9]+)+\b", "", text)
    known = set(f"{TOLD} {CUSTOMS} {LETTERS} {FIELDS} {UNITS} {PRICED}".split()) | {
        word for run in STUCK for word in run.split()
    }
    # What a folder changed of a danger is named by its code.
    known |= knowledge().cautions.keys()
    runs = re.findall(r"[A-Za-z][A-Za-z'’-]*(?: [A-Za-z][A-Za-z'’-]*)*", text)
    return {run for run in runs if not set(run.split()) <= known}


def read_in(kind: str, text: str) -> str:
    """What people read of a paper."""
    if kind == "calendar":
        parts = Calendar.from_ical(text).walk()
        return "\n".join(str(part[name]) for part in parts for name in SHOWN if name in part)
    if kind == "page":
        return unescape(re.sub(r"<style.*?</style>|<[^>]+>", "\n", text, flags=re.S))
    return unescape(text.replace("\\", "")) if kind == "notes" else text


@pytest.fixture(scope="module")
def outputs(tmp_path_factory: pytest.TempPathFactory) -> dict[str, str]:
    folder = write_marked(knowledge_folder(), tmp_path_factory.mktemp("marked"))
    knowledge = read_knowledge(..., folder)
    adviser = Adviser(knowledge, "plain")
    consultation = adviser.consult(read_situation(DEMO))
    advice = adviser.advice(consultation)
    look = {"width": 200, "colour": False, "ascii_only": False, "plain": True, "system": None}
    with spoken(knowledge):
        said = {f"page {name}": render_named(advice, name, **look) for name in (*NAMED, "all")}
        said["first screen"] = first_screen(advice, knowledge)
    for kind in PAPERS:
        for full in (False, True):
            made = paper(kind, advice, knowledge=knowledge, full=full)
            said[f"{kind}, full" if full else kind] = read_in(kind, made)
    said |= {question: ask(consultation, question).text for question in QUESTIONS}
    said["lesson"] = "\n".join(story_lines(story(consultation)))
    adviser.close()
    return said


@pytest.fixture(scope="module")
def published() -> list[str]:
    """What sources are called, and who published them."""
    rows = knowledge().sources.values()
    named = [words for row in rows for words in (row.title, row.publisher, row.year, row.where) if words]
    return [*named, *(code for code in knowledge().sources if "-" not in code)]


@pytest.mark.slow
def test_every_sentence_comes_from_a_folder(outputs: dict[str, str], published: list[str]) -> None:
    assert {name: found for name, text in outputs.items() if (found := left(text, published))} == {}
    everything = plain("\n".join(outputs.values()))
    assert "Danger today: Shut the field today." in everything
    assert sum(len(re.findall(r"[\U0001D5A0-\U0001D5D3]", text)) for text in outputs.values()) > 10_000


@pytest.mark.slow
def test_what_is_stuck_is_stuck_still(outputs: dict[str, str]) -> None:
    text = "\n".join(outputs.values())
    free = [run for run in STUCK if not re.search(rf"(?<![A-Za-z]){run}(?![A-Za-z])", text)]
    assert free == []


def test_a_marked_text_keeps_its_holes_and_is_read_back(tmp_path: Path) -> None:
    assert plain(marked("Begin by {day}, {n} left")) == "Begin by {day}, {n} left"
    assert marked("Begin by {day}") != "Begin by {day}"
    assert left(marked("Begin it now") + " goalmouths 3 Nov 2026") == set()
    assert left("Begin it now") == {"Begin it now"}
