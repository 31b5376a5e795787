"""Seed arithmetic: laws and errors."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from decide.measure import seed

SHARE = st.floats(0.01, 1)


@given(st.floats(0, 100), SHARE, SHARE)
def test_bag_seed_is_never_less_than_live_seed(rate: float, purity: float, germination: float) -> None:
    live = seed.pure_live_seed(purity, germination)
    assert seed.bulk_rate(rate, live) >= rate - 1e-9
    assert seed.bulk_rate(rate, live) * live == pytest.approx(rate)


@given(st.dictionaries(st.sampled_from("abcdef"), st.floats(1, 100), min_size=1), st.data())
def test_seed_shares_are_shares(weights: dict[str, float], data: st.DataObject) -> None:
    counts = {g: data.draw(st.floats(1e4, 1e7)) for g in weights}
    shares = seed.seed_shares(weights, counts)
    assert shares is not None
    assert sum(shares.values()) == pytest.approx(1)
    assert all(0 < s <= 1 for s in shares.values())


def test_unknown_seed_count_gives_no_shares() -> None:
    assert seed.seed_shares({"a": 1, "b": 2}, {"a": 10.0, "b": None}) is None
    assert seed.seed_shares({}, {}) is None


@given(st.floats(0, 1e5), st.floats(0.1, 1e3))
def test_packs_hold_the_amount_and_not_one_too_many(amount: float, pack: float) -> None:
    count = seed.packs(amount, pack)
    assert count * pack >= amount * (1 - 1e-8) - 1e-6
    assert (count - 1) * pack < amount or count == 0


@given(st.floats(0, 50), st.floats(0.5, 60))
def test_product_holds_the_nutrient(rate: float, percent: float) -> None:
    assert seed.nutrient_in(seed.product_rate(rate, percent), percent) == pytest.approx(rate)


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: seed.pure_live_seed(98, 0.9), "purity 98"),
        (lambda: seed.pure_live_seed(0.9, -0.1), "germination"),
        (lambda: seed.bulk_rate(5, 0), "no live seed"),
        (lambda: seed.product_rate(1, 0), "percent on the bag"),
        (lambda: seed.packs(1, 0), "size of the pack"),
    ],
)
def test_wrong_numbers_are_named(call, words: str) -> None:
    with pytest.raises(ValueError, match=words):
        call()
