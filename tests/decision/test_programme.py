"""The programme of a zone, chosen by hand-made roles: the answer, what goes before it, what follows, and what stands beside."""

from __future__ import annotations

import itertools
import random

import pytest

from decide.decision import programme
from decide.decision.programme import Chosen
from decide.decision.rank import Weighed
from tests.decision.made import made
from tests.shared import adviser

ROLES = sorted(adviser().knowledge.roles)
BLUE, RYE, FESCUE = "kentucky-bluegrass", "perennial-ryegrass", "tall-fescue"


def choose(ranked: list[Weighed]) -> Chosen:
    return programme.choose(ranked, adviser().knowledge.shapes.values(), adviser().holds)


def test_of_no_options_nothing_is_chosen():
    assert choose([]) == Chosen(None)
    assert choose([]).named == choose([]).told == []


def test_the_first_that_may_be_the_answer_is_chosen_and_the_next_way_named():
    risky, first, same, next_ = (
        made(FESCUE, roles=["resort"]),
        made(BLUE, roles=["answer", "lasting"]),
        made(BLUE, start=7, roles=["answer", "lasting"]),
        made(RYE, roles=["answer"]),
    )
    assert choose([first, same, next_]) == Chosen(first, runner_up=next_)
    assert choose([risky, first]) == Chosen(first, runner_up=risky)
    assert choose([first, same]) == Chosen(first)


def test_what_does_not_last_is_followed_by_what_does():
    rye, blue = (
        made(RYE, roles=["answer", "stopgap"]),
        made(BLUE, start=90, verdict="late", roles=["lasting"]),
    )
    chosen = choose([rye, blue])
    assert (chosen.stopgap, chosen.option) == (rye, blue)
    assert chosen.named == [rye, blue]


def test_what_lasts_and_is_in_time_too_stands_in_place_of_what_does_not_last():
    rye, blue = made(RYE, roles=["answer", "stopgap"]), made(BLUE, roles=["answer", "lasting"])
    assert choose([rye, blue]) == Chosen(blue, runner_up=rye)


def test_nothing_follows_that_starts_no_later_or_has_not_the_ground_to_itself():
    rye = made(RYE, roles=["answer", "stopgap"])
    assert choose([rye, made(BLUE, roles=["lasting"])]) == Chosen(rye)
    assert choose([rye, made(BLUE, start=90, roles=["lasting"], option__free_short_light=5.0)]) == Chosen(rye)
    second = made(FESCUE, start=120, roles=["lasting"], option__free_short_light=-5.0)
    assert choose(
        [rye, made(BLUE, start=90, roles=["lasting"], option__free_short_light=5.0), second]
    ) == Chosen(second, stopgap=rye)


def test_where_nothing_may_be_the_answer_a_stopgap_goes_before_what_lasts():
    rye, blue = (
        made(RYE, verdict="not-advised", roles=["stopgap"]),
        made(BLUE, start=90, verdict="late", roles=["lasting"]),
    )
    assert choose([rye, blue]) == choose([blue, rye]) == Chosen(blue, stopgap=rye)


def test_what_lasts_though_late_is_set_against_what_is_sooner_at_a_risk():
    risky, blue = (
        made(FESCUE, verdict="risky", roles=["resort"]),
        made(BLUE, verdict="late", roles=["lasting"]),
    )
    chosen = choose([risky, blue])
    assert (chosen.option, chosen.instead) == (blue, risky)


def test_a_date_that_cannot_move_is_met_at_a_risk_and_what_lasts_is_named_after():
    risky, blue = (
        made(FESCUE, verdict="risky", roles=["resort"]),
        made(BLUE, verdict="ruled-out", roles=["lasting"]),
    )
    assert choose([risky, blue]) == Chosen(risky, after=blue)
    assert choose([blue]) == Chosen(None, least_bad=blue, after=blue)


def test_where_nothing_may_be_chosen_the_least_bad_and_the_next_real_window_are_named():
    bad, worse, later = (
        made(RYE, verdict="not-advised"),
        made(FESCUE, verdict="ruled-out"),
        made(BLUE, start=200, verdict="ruled-out", roles=["after-mending"]),
    )
    assert choose([bad, worse, later]) == Chosen(None, least_bad=bad, after=later)
    assert choose([bad, worse]) == Chosen(None, least_bad=bad)
    assert choose([bad, worse, later]).named == [bad]
    assert choose([bad, worse, later]).told == [bad, later]


@pytest.mark.parametrize("remedy", ["recover", "use-less", "mend-first", "call-expert", "wait"])
def test_an_answer_without_new_grass_stands_alone_unless_grass_follows_it(remedy):
    answer, rye, blue = (
        made(remedy=remedy, roles=["answer"]),
        made(RYE, verdict="not-advised", roles=["stopgap"]),
        made(BLUE, start=200, roles=["after-mending"]),
    )
    assert choose([answer, rye, blue]) == Chosen(answer)
    answer = made(remedy=remedy, roles=["answer", "followed"])
    assert choose([answer, rye, blue]) == Chosen(answer, stopgap=rye, after=blue)
    assert choose([answer]) == Chosen(answer)


def test_what_carries_play_on_bare_ground_goes_before_new_grass():
    less, blue = (
        made(remedy="use-less", roles=["answer", "carries", "followed"]),
        made(BLUE, start=90, verdict="late", roles=["lasting"]),
    )
    assert choose([less, blue]) == Chosen(blue, stopgap=less)
    assert choose([less]) == Chosen(less)


def test_new_grass_that_is_under_way_needs_nothing_after_it():
    begun, blue = (
        made(RYE, remedy="carry-on", start=-20, roles=["answer"]),
        made(BLUE, start=90, roles=["lasting"]),
    )
    assert choose([begun, blue]) == Chosen(begun)


def test_beside_a_dear_answer_stands_one_that_is_cheaper_and_later():
    dear, cheap = (
        made(BLUE, method="thin-sod", roles=["answer", "lasting", "dear"]),
        made(BLUE, start=90, verdict="late", roles=["lasting", "cheaper-later"]),
    )
    assert choose([dear, cheap]) == Chosen(dear, instead=cheap)
    assert choose([made(BLUE, roles=["answer", "lasting"]), cheap]).instead is None


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
            assert chosen.option.roles & {"answer", "resort", "stopgap", "lasting"}
        if chosen.stopgap is not None:
            assert chosen.stopgap.roles & {"answer", "stopgap"}
        if chosen.runner_up is not None and chosen.option is not None:
            assert chosen.runner_up.way[:3] != chosen.option.way[:3]
        if any("answer" in w.roles for w in ranked):
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
