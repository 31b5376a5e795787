"""The programme of a zone, chosen by hand-made roles: the answer, what goes before it, what follows, and what stands beside."""

from __future__ import annotations

import itertools
import random

import pytest

from decide.decision.programme import (
    AFTER,
    ANSWER,
    CARRIES,
    CHEAPER,
    DEAR,
    FOLLOWED,
    LASTING,
    RESORT,
    STOPGAP,
    Chosen,
    choose,
)
from tests.decision.made import made

ROLES = (ANSWER, RESORT, STOPGAP, LASTING, AFTER, CARRIES, FOLLOWED, DEAR, CHEAPER)
BLUE, RYE, FESCUE = "kentucky-bluegrass", "perennial-ryegrass", "tall-fescue"


def test_of_no_options_nothing_is_chosen():
    assert choose([]) == Chosen(None)
    assert choose([]).named == choose([]).told == []


def test_the_first_that_may_be_the_answer_is_chosen_and_the_next_way_named():
    risky, first, same, next_ = (
        made(FESCUE, roles=[RESORT]),
        made(BLUE, roles=[ANSWER, LASTING]),
        made(BLUE, start=7, roles=[ANSWER, LASTING]),
        made(RYE, roles=[ANSWER]),
    )
    assert choose([first, same, next_]) == Chosen(first, runner_up=next_)
    assert choose([risky, first]) == Chosen(first, runner_up=risky)
    assert choose([first, same]) == Chosen(first)


def test_what_does_not_last_is_followed_by_what_does():
    rye, blue = made(RYE, roles=[ANSWER, STOPGAP]), made(BLUE, start=90, verdict="late", roles=[LASTING])
    chosen = choose([rye, blue])
    assert (chosen.stopgap, chosen.option) == (rye, blue)
    assert chosen.named == [rye, blue]


def test_what_lasts_and_is_in_time_too_stands_in_place_of_what_does_not_last():
    rye, blue = made(RYE, roles=[ANSWER, STOPGAP]), made(BLUE, roles=[ANSWER, LASTING])
    assert choose([rye, blue]) == Chosen(blue, runner_up=rye)


def test_nothing_follows_that_starts_no_later_or_has_not_the_ground_to_itself():
    rye = made(RYE, roles=[ANSWER, STOPGAP])
    assert choose([rye, made(BLUE, roles=[LASTING])]) == Chosen(rye)
    assert choose([rye, made(BLUE, start=90, roles=[LASTING], option__free_short_light=5.0)]) == Chosen(rye)
    second = made(FESCUE, start=120, roles=[LASTING], option__free_short_light=-5.0)
    assert choose(
        [rye, made(BLUE, start=90, roles=[LASTING], option__free_short_light=5.0), second]
    ) == Chosen(second, stopgap=rye)


def test_where_nothing_may_be_the_answer_a_stopgap_goes_before_what_lasts():
    rye, blue = (
        made(RYE, verdict="not-advised", roles=[STOPGAP]),
        made(BLUE, start=90, verdict="late", roles=[LASTING]),
    )
    assert choose([rye, blue]) == choose([blue, rye]) == Chosen(blue, stopgap=rye)


def test_what_lasts_though_late_is_set_against_what_is_sooner_at_a_risk():
    risky, blue = made(FESCUE, verdict="risky", roles=[RESORT]), made(BLUE, verdict="late", roles=[LASTING])
    chosen = choose([risky, blue])
    assert (chosen.option, chosen.instead) == (blue, risky)


def test_a_date_that_cannot_move_is_met_at_a_risk_and_what_lasts_is_named_after():
    risky, blue = (
        made(FESCUE, verdict="risky", roles=[RESORT]),
        made(BLUE, verdict="ruled-out", roles=[LASTING]),
    )
    assert choose([risky, blue]) == Chosen(risky, after=blue)
    assert choose([blue]) == Chosen(None, least_bad=blue, after=blue)


def test_where_nothing_may_be_chosen_the_least_bad_and_the_next_real_window_are_named():
    bad, worse, later = (
        made(RYE, verdict="not-advised"),
        made(FESCUE, verdict="ruled-out"),
        made(BLUE, start=200, verdict="ruled-out", roles=[AFTER]),
    )
    assert choose([bad, worse, later]) == Chosen(None, least_bad=bad, after=later)
    assert choose([bad, worse]) == Chosen(None, least_bad=bad)
    assert choose([bad, worse, later]).named == [bad]
    assert choose([bad, worse, later]).told == [bad, later]


@pytest.mark.parametrize("remedy", ["recover", "use-less", "mend-first", "call-expert", "wait"])
def test_an_answer_without_new_grass_stands_alone_unless_grass_follows_it(remedy):
    answer, rye, blue = (
        made(remedy=remedy, roles=[ANSWER]),
        made(RYE, verdict="not-advised", roles=[STOPGAP]),
        made(BLUE, start=200, roles=[AFTER]),
    )
    assert choose([answer, rye, blue]) == Chosen(answer)
    answer = made(remedy=remedy, roles=[ANSWER, FOLLOWED])
    assert choose([answer, rye, blue]) == Chosen(answer, stopgap=rye, after=blue)
    assert choose([answer]) == Chosen(answer)


def test_what_carries_play_on_bare_ground_goes_before_new_grass():
    less, blue = (
        made(remedy="use-less", roles=[ANSWER, CARRIES, FOLLOWED]),
        made(BLUE, start=90, verdict="late", roles=[LASTING]),
    )
    assert choose([less, blue]) == Chosen(blue, stopgap=less)
    assert choose([less]) == Chosen(less)


def test_new_grass_that_is_under_way_needs_nothing_after_it():
    begun, blue = (
        made(RYE, remedy="carry-on", start=-20, roles=[ANSWER]),
        made(BLUE, start=90, roles=[LASTING]),
    )
    assert choose([begun, blue]) == Chosen(begun)


def test_beside_a_dear_answer_stands_one_that_is_cheaper_and_later():
    dear, cheap = (
        made(BLUE, method="thin-sod", roles=[ANSWER, LASTING, DEAR]),
        made(BLUE, start=90, verdict="late", roles=[LASTING, CHEAPER]),
    )
    assert choose([dear, cheap]) == Chosen(dear, instead=cheap)
    assert choose([made(BLUE, roles=[ANSWER, LASTING]), cheap]).instead is None


def test_whatever_the_roles_what_is_chosen_is_on_the_list_and_has_a_part_to_take():
    dice = random.Random(11)
    seen = set()
    for _ in range(3000):
        ranked = [
            made(dice.choice((BLUE, RYE, FESCUE)), remedy=dice.choice(("establish", "establish", "recover", "use-less")), start=30 * n + dice.choice((0, 7)),
                 verdict=dice.choice(("advised", "risky", "late", "ruled-out")), roles=[role for role in ROLES if dice.random() < 0.2])
            for n in range(dice.randint(1, 4))
        ]  # fmt: skip
        dice.shuffle(ranked)
        chosen = choose(ranked)
        seen.add(
            tuple(
                getattr(chosen, part) is not None
                for part in ("option", "stopgap", "least_bad", "after", "instead")
            )
        )
        assert all(any(w is each for each in ranked) for w in chosen.told)
        assert (chosen.option is None) == (chosen.least_bad is not None)
        if chosen.option is not None:
            assert chosen.option.roles & {ANSWER, RESORT, STOPGAP, LASTING}
        if chosen.stopgap is not None:
            assert chosen.stopgap.roles & {ANSWER, STOPGAP}
        if chosen.runner_up is not None and chosen.option is not None:
            assert chosen.runner_up.way[:3] != chosen.option.way[:3]
        if any(ANSWER in w.roles for w in ranked):
            assert chosen.option is not None
    assert len(seen) > 5, seen


def test_what_is_named_stands_in_the_order_of_doing():
    parts = {
        part: made(f"grass-{part}")
        for part in ("stopgap", "option", "least_bad", "after", "instead", "runner_up")
    }
    chosen = Chosen(**parts)
    assert chosen.named == [parts["stopgap"], parts["option"], parts["least_bad"]]
    assert chosen.told == list(parts.values())
    for one, other in itertools.pairwise(chosen.told):
        assert one is not other
