"""Why not: what the words mean, that the failed conditions really decide, and that no words break it."""

from __future__ import annotations

import datetime as dt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from decide.decision.rank import sort_key
from decide.engine.plain import standing
from decide.explain import Held, find, why_not
from decide.model.errors import DecideError

ASKED = (
    "thin sod in July",
    "bluegrass",
    "bermuda",
    "sprigs",
    "hydroseeding",
    "1 September",
    "St Augustine",
    "plugs",
    "waiting",
    "let it recover",
    "thick sod now",
)


@pytest.mark.parametrize(
    ("words", "kind", "codes"),
    [
        ("thin sod", "methods", {"thin-sod"}),
        ("why not thin-cut sod?", "methods", {"thin-sod"}),
        ("thik sodd", "methods", {"thick-sod"}),
        ("turf", "methods", {"thin-sod", "thick-sod"}),
        ("seed", "methods", {"broadcast-seed", "slit-seed", "hydromulch"}),
        ("slit seeding", "methods", {"slit-seed", "broadcast-seed", "hydromulch"}),
        ("Kentucky bluegrass", "plants", {"kentucky-bluegrass"}),
        ("smooth-stalked meadow grass", "plants", {"kentucky-bluegrass"}),
        ("bermuda", "plants", {"common-bermudagrass", "hybrid-bermudagrass"}),
        ("zoysia", "plants", {"japanese-zoysiagrass"}),
        ("waiting", "remedies", {"wait"}),
        ("do nothing", "remedies", {"wait"}),
        ("let it recover", "remedies", {"recover"}),
        ("move the goals", "remedies", {"move-play"}),
    ],
)
def test_words_are_found(dry, words, kind, codes):
    assert codes <= set(getattr(find(dry, words), kind))
    if kind != "methods" or words != "slit seeding":
        assert len(getattr(find(dry, words), kind)) <= len(codes) + 1


@pytest.mark.parametrize(
    ("words", "months", "start"),
    [
        ("sod in July", (7,), None),
        ("sod in may", (5,), None),
        ("we may sow", (), None),
        ("seed in autumn", (9, 10, 11), None),
        ("seed on 1 September", (), dt.date(2026, 9, 1)),
        ("seed on September 1st", (), dt.date(2026, 9, 1)),
        ("seed on 3 March", (), dt.date(2027, 3, 3)),
        ("seed on 2026-10-02", (), dt.date(2026, 10, 2)),
        ("seed now", (), dt.date(2026, 5, 12)),
        ("seed on 31 February", (2,), None),
    ],
)
def test_starts_are_found(dry, words, months, start):
    found = find(dry, words)
    assert (found.start, found.months) == (start, months)


def test_zones_are_found_and_answered(parts):
    assert find(parts, "sod in the goalmouths").zones == ("goalmouths",)
    assert why_not(parts, "sod in the goalmouths").zone == "goalmouths"
    assert why_not(parts, "sod", "goalmouths").zone == "goalmouths"
    with pytest.raises(DecideError, match="no zone"):
        why_not(parts, "sod", "nowhere")


def test_a_month_that_no_start_falls_in_is_weighed_all_the_same(dry):
    told = why_not(dry, "thin sod in July")
    assert "/thin-sod/" in told.option
    assert told.option.endswith("2026-07-01")
    assert told.option not in dry.weighed
    assert told.verdict


def test_of_all_that_fits_the_best_ranked_is_taken(dry):
    told = why_not(dry, "slit seed perennial ryegrass")
    fitting = [
        w for w in dry.ranked if w.draft.method == "slit-seed" and w.draft.plant == "perennial-ryegrass"
    ]
    assert told.option == fitting[0].draft.code
    assert all(sort_key(fitting[0], dry.order) <= sort_key(w, dry.order) for w in fitting)


def tipped(held: Held) -> object:
    """A value of the fact for which the condition does not hold."""
    if isinstance(held.value, bool):
        return not held.value
    if held.bound is not None:
        op = held.condition.split()[1]
        return held.bound + {"<": 0.0, "<=": 0.001, ">": 0.0, ">=": -0.001}[op]
    words = held.condition.split(maxsplit=2)
    return words[2].removeprefix("not ") if words[2].startswith("not ") else "something-else"


@pytest.mark.parametrize("words", ASKED)
def test_every_reason_against_holds_and_falls_with_the_condition_that_is_named(dry, adviser, words):
    told = why_not(dry, words)
    if told.kind not in ("lost", "ruled-out"):
        assert told.kind in ("not-proposed", "chosen")
        return
    assert told.reasons or told.verdict in ("advised", "sound", "risky")
    for reason in told.reasons:
        rule = adviser.rules[reason.rule]
        facts = {**dry.usual_facts[told.zone], **told.facts} if reason.usual else told.facts
        assert standing(rule, facts).fires is True
        assert reason.lifts
        for held in reason.lifts:
            assert facts[held.fact] == held.value
            assert standing(rule, {**facts, held.fact: tipped(held)}).fires is False, (
                reason.rule,
                held.condition,
            )


def test_answering_as_the_explanation_says_lifts_the_rule(dry, watered):
    """Without water sod is weak in what can be done; the told condition is named, and with sprinklers the rule is silent."""
    told = why_not(dry, "thin sod Kentucky bluegrass")
    by_water = [
        reason
        for reason in told.reasons
        if any(held.fact == "site.water" and held.told for held in reason.lifts)
    ]
    assert by_water
    assert "means of watering: none" in told.text
    after = watered.weighed[told.option]
    assert not {reason.rule for reason in by_water} & {rule.id for rule, _ in after.firings}


def test_a_grass_of_another_climate_is_ruled_out_for_the_place(dry):
    """St. Augustinegrass is a grass of warm, humid places (A&M extension pages: it dies in hard winters); York is cool."""
    told = why_not(dry, "St Augustine seed")
    assert told.kind == "ruled-out"
    assert "fits-place" in {reason.target for reason in told.reasons}
    assert "cannot be changed" in told.text


def test_a_way_that_a_grass_cannot_be_had(dry):
    """Kentucky bluegrass is sold as seed and sod, not as sprigs (common practice, no source)."""
    told = why_not(dry, "Kentucky bluegrass sprigs")
    assert (told.kind, told.verdict) == ("ruled-out", "ruled-out")
    assert "method-not-open" in {reason.rule for reason in told.reasons}
    mixture = why_not(dry, "tall fescue with bluegrass sprigs")
    assert mixture.kind == "not-made"
    assert "broadcast seed" in mixture.text


def test_a_remedy_that_the_diagnosis_does_not_name(dry, adviser):
    told = why_not(dry, "let it recover")
    assert told.kind == "not-proposed"
    assert {"zone.living-percent", "zone.bare-pattern"} <= {held.fact for held in told.failed}
    rule = adviser.rules["recover-by-itself"]
    assert standing(rule, told.facts).fires is False
    mended = {**told.facts, "zone.living-percent": 80.0, "zone.bare-pattern": "scattered"}
    assert standing(rule, mended).fires is True


def test_every_failed_condition_of_a_remedy_really_fails(parts):
    for words in ("waiting", "let it recover", "call an expert", "mend the cause", "move the goals"):
        for zone in ("goalmouths", "middle"):
            told = why_not(parts, words, zone)
            if told.kind == "not-proposed":
                assert told.failed
                assert all(held.holds is not True for held in told.failed)


def test_what_is_chosen_is_said_to_be_the_choice(dry):
    chosen = dry.chosen["whole-field"].option
    assert chosen is not None
    told = (
        why_not(dry, f"{chosen.draft.method} {chosen.draft.plant} on {chosen.draft.start}")
        if chosen.draft.remedy == "establish"
        else why_not(dry, "use less")
    )
    assert (told.kind, told.option) == ("chosen", chosen.draft.code)


def test_ground_that_is_kept_off_is_left_alone(parts):
    assert why_not(parts, "seed", "cricket square").kind == "left-alone"


def test_words_that_mean_nothing_are_asked_back(dry):
    told = why_not(dry, "xyzzy")
    assert told.kind == "not-found"
    assert "xyzzy" in told.text
    assert "broadcast seed" in told.text


def test_deeper_levels_add_lines_and_leave_the_data_alone(dry):
    one, two, three = (why_not(dry, "thin sod", level=level) for level in (1, 2, 3))
    assert len(one.text) < len(two.text) < len(three.text)
    assert one.reasons == two.reasons == three.reasons
    assert "the rule asks for" not in one.text
    assert "the rule asks for" in two.text
    assert "Source: " not in two.text
    assert "Source: " in three.text


SCRAPS = (
    "why", "not", "sod", "seed", "bermuda", "july", "may", "31", "february", "2026", "02", "30", "wait", "sprigs", "dormant",
    "goalmouths", "now", "\x1b[0m", "'", "?", "é", "９",
)  # fmt: skip


@pytest.mark.slow
@settings(max_examples=40, deadline=None, derandomize=True)
@given(st.lists(st.sampled_from(SCRAPS), max_size=6).map(" ".join))
def test_no_words_break_it(parts, words):
    told = why_not(parts, words)
    assert told.text
    assert "\x1b" not in told.text
