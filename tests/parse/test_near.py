"""Near spellings among words: the same as comparing every word, letter by letter."""

from __future__ import annotations

import difflib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from decide.parse.near import Near

WORDS = ("sod", "sand", "sandy", "sprinkler", "sprinklers", "travelling", "aaaaaaa", "aaaa", "hose", "hosé", "in ground", "ground in", "ÿÿÿ", "")  # fmt: skip
SAID = st.one_of(st.text("aáeghinprsuvý ", max_size=12), st.text(max_size=8), st.sampled_from(WORDS))


@given(SAID, st.lists(SAID, max_size=8), st.sampled_from((0.5, 0.75, 0.8, 0.86, 1.0)))
def test_the_nearest_is_that_of_all(word: str, among: list[str], least: float) -> None:
    every = [*WORDS, *among]
    close = difflib.get_close_matches(word, every, n=1, cutoff=least)
    assert Near(every).close(word, least) == (close[0] if close else None)


@given(SAID, st.lists(SAID, max_size=8), st.sampled_from((0.5, 0.75, 0.8, 0.86, 1.0)))
def test_none_is_left_out_that_is_so_like(word: str, among: list[str], least: float) -> None:
    every = [*WORDS, *among]
    found = {at: ratio for ratio, at in Near(every).ratios(word, least)}
    for at, other in enumerate(every):
        ratio = difflib.SequenceMatcher(None, word, other).ratio()
        assert found.get(at, ratio) == ratio
        assert ratio < least or at in found


@pytest.mark.parametrize(("word", "least"), [("sprinkler", 0.8), ("x", 0.8), ("aaaaaaa", 0.5)])
def test_what_shares_too_few_letters_is_not_compared(
    word: str, least: float, monkeypatch: pytest.MonkeyPatch
) -> None:
    known, compared = Near(WORDS), []
    whole = difflib.SequenceMatcher

    def counted(*told: str) -> difflib.SequenceMatcher[str]:
        compared.append(told[-1])
        return whole(*told)

    monkeypatch.setattr("decide.parse.near.difflib.SequenceMatcher", counted)
    assert len(list(known.ratios(word, least))) == len(compared) < len(WORDS) / 2
