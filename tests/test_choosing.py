"""A missing answer, more means, a day's delay and fewer answers never make the choice bolder than what is known.

`python tests/test_choosing.py N` runs N random situations by hand and prints what does not hold, by cause.
"""

from __future__ import annotations

import datetime as dt
import itertools
import random
import sys
from collections.abc import Iterator
from types import SimpleNamespace

import pytest

from decide.engine.language import CRITERIA, GRADES
from decide.facts.draft import Draft
from tests import shared
from tests.choosing import (
    Look,
    Row,
    Seen,
    Violation,
    a_day_later,
    a_start_later,
    answered_keys,
    bolder,
    by_cause,
    cliffs,
    contradictions,
    first_everywhere,
    look_at,
    missing_answer,
    more_means,
    random_look,
    readings,
    refused_everywhere,
    steps_apart,
    thin,
    thinner,
    violations,
)

# Cases that are quick to judge; the fast run takes these, the slow one situations from seeds, so many in each test;
# more of them are run by hand.
FAST = ("plan-york-school-ryegrass", "ws-georgia-thin-hybrid-bermuda-may")
TOLD = "york-school-closed-summer"
SEEDS, EACH = 18, 3
SLICES = [
    pytest.param(FAST, id="fast"),
    *(
        pytest.param(range(n, n + EACH), id=f"seeds-{n}", marks=pytest.mark.slow)
        for n in range(0, SEEDS, EACH)
    ),
]
DAY = dt.date(2026, 9, 1)


def looks(rows: tuple[str, ...] | range) -> Iterator[tuple[Look, random.Random]]:
    """Each situation of a slice with dice of its own, so that the order of tests changes nothing."""
    for row in rows:
        look = look_at(shared.adviser(), row) if isinstance(row, str) else random_look(shared.adviser(), row)
        yield look, random.Random(f"{look.name} {row}")


def hold(found: list[Violation]) -> None:
    """Fail with what does not hold, by cause, the most frequent first."""
    if found:
        pytest.fail("\n".join([f"{len(found)} breaches", *by_cause(found, 2)]), pytrace=False)


# ---------- the properties ----------
@pytest.mark.parametrize("rows", SLICES)
def test_a_missing_answer_makes_nothing_bolder(rows):
    some, most = (1, 2) if rows == FAST else (4, 5)
    found: list[Violation] = []
    for look, dice in looks(rows):
        keys = answered_keys(look.answers)
        found += [
            v for key in dice.sample(keys, min(some, len(keys))) for v in missing_answer(look, key, most)
        ]
    hold(found)


@pytest.mark.parametrize("rows", SLICES)
def test_more_of_a_means_is_never_worse(rows):
    # the first case has means enough told for the fast run, which takes a few of them
    some, most = (rows[:1], 3) if rows == FAST else (rows, 99)
    hold([v for look, dice in looks(some) for v in more_means(look, dice, most)])


@pytest.mark.parametrize("rows", SLICES)
def test_a_day_moves_a_grade_by_one_step_at_most(rows):
    hold([v for look, dice in looks(rows) for v in (*a_day_later(look), *a_start_later(look, dice))])


@pytest.mark.parametrize("rows", SLICES)
def test_fewer_answers_do_not_contradict_all_of_them(rows):
    hold(
        [
            v
            for look, dice in looks(rows)
            for keep in ((0.5,) if rows == FAST else (0.8, 0.5, 0.2))
            for v in thinner(look, dice, keep)
        ]
    )


# ---------- the harness itself: made-up rows, so that a fault is known to be seen ----------
def row(
    verdict: str, method: str = "thin-sod", fires: tuple[SimpleNamespace, ...] = (), **grades: str
) -> SimpleNamespace:
    marks = dict.fromkeys(CRITERIA, "fair") | {
        name.replace("_", "-"): grade for name, grade in grades.items()
    }
    return SimpleNamespace(
        draft=Draft("a", "establish", method, "tall-fescue", start=DAY),
        verdict=verdict,
        grades=marks,
        firings=[(rule, None) for rule in fires],
        rests_on=[],
        facts={},
    )


def rule(name: str, act: str, target: str, grade: str = "", reads: str = "option.window") -> SimpleNamespace:
    return SimpleNamespace(
        id=name,
        then=SimpleNamespace(act=act, target=target, grade=grade),
        when=[SimpleNamespace(fact=reads, value="")],
        unless=(),
    )


def seen(*rows: SimpleNamespace, chosen: SimpleNamespace | None = None) -> Seen:
    return Seen(
        SimpleNamespace(
            ranked=list(rows), zones={"a": None}, chosen={"a": SimpleNamespace(stopgap=None, option=chosen)}
        )
    )  # type: ignore[arg-type]


LOOK = SimpleNamespace(name="made up")


def test_what_is_refused_under_every_reading_is_missed_where_it_is_not_refused():
    readings = {"yes": seen(row("late")), "no": seen(row("ruled-out"))}
    assert len(refused_everywhere(LOOK, "site.school", seen(row("sound")), readings)) == 1
    assert refused_everywhere(LOOK, "site.school", seen(row("not-advised")), readings) == []
    assert (
        refused_everywhere(LOOK, "site.school", seen(row("sound")), {**readings, "no": seen(row("risky"))})
        == []
    )


def test_what_is_first_under_every_reading_is_missed_where_it_is_not_first():
    readings = {
        "yes": seen(row("sound"), row("risky", "plugs")),
        "no": seen(row("late", "plugs"), row("advised")),
    }
    assert (
        len(first_everywhere(LOOK, "site.school", seen(row("sound", "plugs"), row("sound")), readings)) == 1
    )
    assert len(first_everywhere(LOOK, "site.school", seen(row("late")), readings)) == 1
    assert first_everywhere(LOOK, "site.school", seen(row("risky"), row("risky", "plugs")), readings) == []


@pytest.mark.parametrize(
    ("bare", "under", "times"),
    [
        ("advised", "sound", 1),
        ("advised", "ruled-out", 1),
        ("advised", "advised", 0),
        ("sound", "risky", 0),
        ("sound", "late", 1),
        ("risky", "ruled-out", 0),
    ],
)
def test_a_verdict_is_bolder_than_its_worst_reading(bare, under, times):
    assert (
        len(
            bolder(
                LOOK, "site.school", seen(row(bare)), {"yes": seen(row("advised")), "no": seen(row(under))}
            )
        )
        == times
    )


def test_a_condition_makes_a_sound_option_honest():
    said = row("sound")
    said.rests_on = ["sound if the school agrees"]
    assert bolder(LOOK, "site.school", seen(said), {"no": seen(row("late"))}) == []


def test_a_cliff_names_the_rules_on_both_sides_and_law_and_frost_are_none():
    good, bad = rule("in-time", "mark", "risk", "strong"), rule("too-late", "rule-out", "risk")
    before, after = (
        Row(0, row("sound", fires=(good,), risk="strong")),
        Row(0, row("sound", fires=(bad,), risk="weak")),
    )
    (found,) = cliffs(LOOK, "a day on", "cliff", before, after)
    assert "in-time -> too-late" in found.cause
    frost = rule("frosted", "rule-out", "risk", reads="option.first-winter")
    assert cliffs(LOOK, "a day on", "cliff", before, Row(0, row("sound", fires=(frost,), risk="weak"))) == []
    assert cliffs(LOOK, "a day on", "cliff", before, Row(0, row("sound", risk="fair"))) == []


def test_steps_between_grades_do_not_count_the_unknown():
    known = [grade for grade in GRADES if grade != "unknown"]
    assert all(steps_apart(one, two) == 1 for one, two in itertools.pairwise(known))
    assert steps_apart("strong", "weak") > 1
    assert steps_apart("unknown", "strong") > 1


def test_fewer_answers_contradict_all_of_them_where_they_advise_what_is_refused():
    refused, chosen = seen(row("ruled-out")), row("advised")
    found = contradictions(refused, seen(chosen, chosen=chosen), "made up", "without all")
    assert [v.broken for v in found] == [
        "advised on fewer answers",
        "chosen on fewer answers with no condition",
    ]
    sound = row("sound")
    sound.rests_on = ["sound if water is there"]
    assert contradictions(refused, seen(sound, chosen=sound), "made up", "without all") == []


def test_thinning_keeps_place_day_and_wants():
    situation = shared.case_of(TOLD).situation
    assert thin(situation, random.Random(1), 1) == situation
    bare = thin(situation, random.Random(1), 0)
    assert (bare.place, bare.dates.today, bare.wishes) == (
        situation.place,
        situation.dates.today,
        situation.wishes,
    )
    assert answered_keys(look_at(shared.adviser(), TOLD).answers)
    assert (bare.means.water, bare.use, bare.dates.play_by) == (None, None, None)
    assert [zone.name for zone in bare.zone] == [zone.name for zone in situation.zone]


def test_readings_begin_with_what_is_told_and_have_the_ends():
    look = look_at(shared.adviser(), TOLD)
    water = readings(look, "means.water", 9)
    assert water.some[0] == look.answers["means"]["water"]
    assert {"none", "in-ground sprinklers"} <= set(water.some)
    assert water.whole
    bare = readings(look, "zone.whole-field.bare_percent", 9)
    assert {0, 100} <= set(bare.some)
    assert len(bare.more) > 10
    assert not readings(look, "use", 9).whole


def run_by_hand(count: int) -> None:
    """Random situations one after another; what does not hold is printed by cause at the end."""
    found: list[Violation] = []
    for seed in range(count):
        look = random_look(shared.adviser(), seed)
        mine = violations(look, random.Random(seed))
        found += mine
        print(f"{seed}: {look.name}: {len(mine)}", flush=True)
    print(f"\n{len(found)} breaches in {count} situations")
    print("\n".join(by_cause(found, 2)))


if __name__ == "__main__":
    run_by_hand(int(sys.argv[1]) if len(sys.argv) > 1 else 20)
