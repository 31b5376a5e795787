"""No sentence is stuck in code: with every text of the folders written in marked letters, hardly a word of ours stays as it was."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Final

import pytest

from decide import Adviser, ask, paper, read_knowledge, read_situation
from decide.knowledge.load import knowledge_folder
from decide.report.first_screen import first_screen
from decide.report.text import render_named
from decide.report.words import spoken
from tests.marked import marked, plain, write_marked
from tests.shared import knowledge

DEMO = (knowledge_folder() / "demo.toml").read_text(encoding="utf-8")
# What the person told comes back as they told it.
TOLD: Final = "Dayton Ohio goalmouths middle wings Goalmouths Middle Wings"
# Days are worded by the Unicode locale data, amounts by their unit.
DAYS: Final = "January February March April May June July August September October November December Jan Feb Mar Apr Jun Jul Aug Sep Oct Nov Dec"
UNITS: Final = "ft in lb gallons days day hours hour per of nitrogen week weeks psi"
# Things called by their code, which stands for their name where they have none.
CODED: Final = "Roll Sow Aerate roll sow start hose mower rake roller spade tiller spreader and"
# Where prices were published, and what for, as the sources have it.
PRICED: Final = "United States USD sod laying"
# Stuck in code, each a small thing; a word that comes free goes from here.
STUCK: Final[Mapping[str, str]] = {
    "to": "between two amounts",
    "not advised": "a verdict within a sentence",
    "sound if": "a verdict within a sentence",
}  # fmt: skip


def left(text: str) -> set[str]:
    """The runs of words in our own letters that nothing accounts for."""
    known = set(f"{TOLD} {DAYS} {UNITS} {CODED} {PRICED}".split()) | {
        word for run in STUCK for word in f"{run} {run.capitalize()}".split()
    }
    # What a folder changed of a danger is named by its code.
    known |= knowledge().cautions.keys()
    runs = re.findall(r"[A-Za-z][A-Za-z'’-]*(?: [A-Za-z][A-Za-z'’-]*)*", text)
    return {run for run in runs if not set(run.split()) <= known}


@pytest.fixture(scope="module")
def outputs(tmp_path_factory: pytest.TempPathFactory) -> dict[str, str]:
    folder = write_marked(knowledge_folder(), tmp_path_factory.mktemp("marked"))
    knowledge = read_knowledge(..., folder)
    adviser = Adviser(knowledge, "plain")
    consultation = adviser.consult(read_situation(DEMO))
    advice = adviser.advice(consultation)
    look = {"width": 200, "colour": False, "ascii_only": False, "plain": True, "system": None}
    with spoken(knowledge):
        said = {
            f"page {name}": render_named(advice, name, **look)
            for name in ("week", "plan", "water", "care", "money")
        }
        said["first screen"] = first_screen(advice, knowledge)
    for kind in ("notes", "tasks", "shopping"):
        said[kind] = paper(kind, advice, knowledge=knowledge)
    said["why"] = ask(consultation, "why?").text
    adviser.close()
    return said


def unlike(texts: Iterable[str]) -> set[str]:
    return {run for text in texts for run in left(text)}


@pytest.mark.slow
def test_every_sentence_comes_from_a_folder(outputs: dict[str, str]) -> None:
    assert {name: found for name, text in outputs.items() if (found := left(text))} == {}
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
