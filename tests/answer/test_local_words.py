"""An advice is said in the words of the reader's country, and codes and the person's own words stay."""

from __future__ import annotations

import pytest

from decide.answer.assemble import advice_of, make_advice
from decide.answer.local_words import in_words_of
from decide.answer.own_sources import of_country
from tests.shared import consulted, knowledge

SAID = (
    "Lay sod in autumn. Sod of common bermudagrass (thin-sod), or Kentucky bluegrass. Kentucky bluegrass sod."
)


@pytest.mark.parametrize(
    ("country", "words"),
    [
        (
            "gb",
            "Lay turf in autumn. Turf of common bermudagrass (thin-sod), or smooth-stalked meadow-grass. "
            "Smooth-stalked meadow-grass turf.",
        ),
        (
            "au",
            "Lay turf in autumn. Turf of common couch (thin-sod), or Kentucky bluegrass. Kentucky bluegrass turf.",
        ),
        (
            "us",
            "Lay sod in fall. Sod of common bermudagrass (thin-sod), or Kentucky bluegrass. Kentucky bluegrass sod.",
        ),
        ("de", SAID),
        ("", SAID),
    ],
)
def test_words_of_a_country(country: str, words: str) -> None:
    assert in_words_of(knowledge().local_words.values(), country)(SAID) == words


def test_own_words_stay() -> None:
    here = in_words_of(knowledge().local_words.values(), "us", ["the old pitch"])
    assert here("Rope off the old pitch, not the new pitch.") == "Rope off the old pitch, not the new field."


def test_no_word_is_replaced_by_one_that_is_replaced() -> None:
    for country in {code for row in knowledge().local_words.values() for code in row.countries}:
        here = in_words_of(knowledge().local_words.values(), country)
        rows = [row for row in knowledge().local_words.values() if country in row.countries]
        for said in (said for row in rows for said in row.say.values()):
            assert here(said) == said, country


def test_only_sentences_change() -> None:
    """The codes of an advice are the same in every country; its words are not."""
    c = consulted("au-adelaide-couch-with-annual-bluegrass")
    plain, here = make_advice(c), advice_of(c)
    assert [row.code for row in here.options] == [row.code for row in plain.options]
    assert [row.grass for row in here.options] == [row.grass for row in plain.options]
    assert {row.key for row in here.sources} == {row.key for row in plain.sources}
    assert here.situation == plain.situation
    assert any("bermudagrass" in reason.text for row in plain.options for reason in row.reasons)
    assert not any("bermudagrass" in reason.text for row in here.options for reason in row.reasons)


def test_sources_of_the_country_first() -> None:
    """Known by publisher, title or address; the others keep their order behind them."""
    k = knowledge()
    own = of_country(k.sources, k.source_countries, "au")
    here = advice_of(consulted("au-adelaide-couch-with-annual-bluegrass"))
    assert any(own(row.key) for row in here.sources)
    for keys in (
        [row.key for row in here.sources],
        *(reason.sources for row in here.options for reason in row.reasons),
    ):
        assert keys == sorted(keys, key=lambda key: (not own(key), key))


@pytest.mark.parametrize(
    ("key", "country"),
    [("opt-phosphorus-nj-2024", "us"), ("cs-pitch-ireland", "ie"), ("re-annual-meadow-grass-gma", "gb")],
)
def test_country_of_a_source(key: str, country: str) -> None:
    k = knowledge()
    assert [code for code in k.source_countries if of_country(k.sources, k.source_countries, code)(key)] == [
        country
    ]
