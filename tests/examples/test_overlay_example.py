"""The worked folder of an invented association, laid over the knowledge: what it changes shows in advice, audit and explanation."""

from __future__ import annotations

import functools
from pathlib import Path

import pytest

from decide.consult import Adviser
from decide.decision.consultation import Consultation
from decide.explain.says_who import says_who
from decide.knowledge.audit import audit, main
from decide.knowledge.load import knowledge_folder, read_knowledge
from decide.model.reading import read_situation
from decide.report.text import render

FOLDER = Path(__file__).parent / "overlay"
DEMO = (knowledge_folder() / "demo.toml").read_text(encoding="utf-8")


@functools.cache
def laid_over() -> Adviser:
    return Adviser(read_knowledge(..., FOLDER), "plain")


@functools.cache
def consulted(text: str = DEMO) -> Consultation:
    return laid_over().consult(read_situation(text))


@pytest.mark.slow
def test_the_whole_is_sound_and_the_audit_says_what_is_overridden(capsys):
    assert main([..., FOLDER]) == 0
    said = capsys.readouterr().out.replace(str(FOLDER), "DIR").splitlines()
    assert said[-1] == "nothing wrong"
    for line in (
        "grass harbour-fescue: added, by DIR/grasses.toml:3",
        "grass kentucky-bluegrass: wear high instead of moderate, by DIR/grasses.toml:21",
        "machine beach-harrow: added, by DIR/equipment.toml:1",
        "value starter-nitrogen: 3 g/m2 instead of 1 lb/1000ft2, by DIR/values/ours.toml:31",
        "value price-sod-us-low: kentucky-bluegrass: 4 money/m2, by DIR/values/ours.toml:35",
        "rule sod-buys-time-only: switched off, by DIR/rules/ours.toml:2",
        "rule climate-fits: because changed, by DIR/rules/ours.toml:5",
        "rule harbour-fescue-is-at-hand: added, by DIR/rules/ours.toml:10",
        "text by-folder: changed, by DIR/texts/ours.toml:1",
    ):
        assert line in said


@pytest.mark.slow
def test_the_advice_follows_the_folder():
    said = " ".join(render(laid_over().advise(read_situation(DEMO)), depth="full").split())
    assert "Kentucky bluegrass has stood for years on grounds of the association." in said
    assert "Spread 0.61 lb per 1,000 ft² of nitrogen" in said
    assert "858 to 1,124 US dollars (material; published prices, Ohio, 2026)" in said


def test_a_rule_that_is_switched_off_fires_no_more(adviser):
    fired = {rule.id for rule, _ in consulted().chosen["goalmouths"].option.firings}
    before = adviser.consult(read_situation(DEMO)).chosen["goalmouths"].option
    assert "sod-buys-time-only" in {rule.id for rule, _ in before.firings}
    assert "sod-buys-time-only" not in fired
    assert "wear-high" in fired


def test_the_grass_of_the_folder_is_one_among_the_others():
    c = consulted(
        DEMO.replace(
            'grass = "Kentucky bluegrass"\n\n[[proposal]]', 'grass = "our own fescue"\n\n[[proposal]]'
        )
    )
    ours = [w for w in c.ranked if w.draft.plant == "harbour-fescue" and w.draft.method == "slit-seed"]
    assert ours
    assert ours[0].facts["option.wished"] == "wished"
    assert ours[0].ready is not None
    assert ours[0].facts["option.never-ready"] == "no"
    assert "harbour-fescue-is-at-hand" in {rule.id for rule, _ in ours[0].firings}


def test_the_machine_of_the_folder_will_do():
    """The demo hires its slit seeder; without it, slit seeding hangs on the harrow of the association."""
    bare = DEMO.replace('"slit seeder", ', "")
    lent = bare.replace('"mower", "rake"', '"beach harrow", "rake"')

    def can(text: str) -> str:
        w = next(w for w in consulted(text).ranked if w.draft.method == "slit-seed")
        return w.grades["can-be-done"]

    assert can(bare) in ("weak", "poor", "lost")
    assert can(lent) not in ("weak", "poor", "lost")


def test_an_explanation_says_by_whom():
    assert (
        "As the Harbour Clubs Association has it (folder overlay)."
        in says_who(consulted(), "climate-fits").text
    )
    said = says_who(consulted(), "starter-nitrogen", level=2).text
    assert (
        "0.61 lb per 1,000 ft² (A rule of this project, with its reason beside it, as the Harbour Clubs"
        in said
    )
    assert "; our own; in use)" in said
    assert "folder overlay" not in says_who(consulted(), "lasts-spreading").text


@pytest.mark.slow
def test_the_knowledge_without_the_folder_is_as_it_was(knowledge):
    assert knowledge.overrides == ()
    assert audit(read_knowledge(...))[0] == []
