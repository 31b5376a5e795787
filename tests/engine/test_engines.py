"""The laws that both engines keep, each by hand."""

from __future__ import annotations

import pytest
from small import WORN, base, caution, concludes, fired, subject

from decide.engine import durable, plain


@pytest.fixture(
    params=[
        pytest.param(plain.judge, id="plain"),
        pytest.param(
            durable.judge,
            id="durable",
            marks=pytest.mark.skipif(not durable.available(), reason="durable-rules is not installed here"),
        ),
    ]
)
def judge(request):
    return request.param


@pytest.fixture
def holds(judge):
    def holds(text, **facts):
        """Whether the rule whose only condition is `text` fires, about the scope that the text's first word names."""
        about = text.partition(".")[0]
        return bool(judge(base(caution("one", about, text)), about, [subject(**facts)]).firings)

    return holds


@pytest.mark.parametrize(
    ("text", "number", "expected"),
    [
        ("site.cold < 0", -0.001, True),
        ("site.cold < 0", 0.0, False),
        ("site.cold <= 0", 0.0, True),
        ("site.cold <= 0", 0.001, False),
        ("site.cold > 0", 0.0, False),
        ("site.cold > 0", 0.001, True),
        ("site.cold >= 0", 0.0, True),
        ("site.cold >= 0", -0.001, False),
        ("site.cold > 0.1 C", 0.1, False),
        ("site.cold > -2.675 C", -2.674, True),
        ("site.cold > -2.675 C", -2.675, False),
        ("site.cold < 1000000 C", 999999.999, True),
        ("site.cold < 1000000 C", 1000000.0, False),
    ],
)
def test_orderings_at_their_bound(holds, text, number, expected):
    assert holds(text, site__cold=number) is expected


@pytest.mark.parametrize(
    ("text", "level", "expected"),
    [
        ("zone.grass is rye", "rye", True),
        ("zone.grass is rye", "rye-old", False),
        ("zone.grass is rye-old", "rye", False),
        ("zone.grass is not rye", "rye", False),
        ("zone.grass is not rye", "rye-old", True),
        ("zone.grass in {rye, blue}", "blue", True),
        ("zone.grass in {rye, blue}", "zoysia", False),
    ],
)
def test_levels_are_compared_whole(holds, text, level, expected):
    assert holds(text, zone__grass=level) is expected


@pytest.mark.parametrize(
    ("text", "told", "expected"),
    [
        ("is true", True, True),
        ("is true", False, False),
        ("is not true", True, False),
        ("is not true", False, True),
    ],
)
def test_truths(holds, text, told, expected):
    assert holds(f"zone.sunny {text}", zone__sunny=told) is expected


@pytest.mark.parametrize(
    "text",
    [
        "site.cold < 0",
        "zone.grass is rye",
        "zone.grass is not rye",
        "zone.grass in {rye}",
        "zone.sunny is true",
        "zone.sunny is not true",
    ],
)
def test_nothing_fires_on_an_absent_fact(holds, text):
    assert holds(text) is False


@pytest.mark.parametrize(
    ("facts", "expected"),
    [
        ({"zone__bare": 20.0}, True),
        ({"zone__bare": 5.0, "zone__sunny": True, "zone__grass": "rye"}, True),
        ({"zone__bare": 5.0, "zone__sunny": False}, False),
        ({"zone__bare": 5.0, "zone__grass": "blue"}, False),
        ({"zone__bare": 5.0, "zone__sunny": True}, None),
        ({"zone__sunny": False}, None),
        ({}, None),
    ],
)
def test_a_derived_fact_is_unknown_while_a_rule_could_give_it_and_lifts_only_when_it_is_false(
    judge, facts, expected
):
    rules = base(
        *WORN, caution("care", "zone", "site.fenced is true", unless={"whole": ["zone.worn is not true"]})
    )
    judged = judge(rules, "zone", [subject(**facts, site__fenced=True)])
    assert judged.derived["it"].get("zone.worn") is expected
    assert (("care", "it") in fired(judged)) is (expected is not False)


@pytest.mark.parametrize(
    ("facts", "expected"),
    [
        ({"zone__sunny": True}, {"zone.cause-overuse": False}),
        ({"zone__bare": 1.0}, {"zone.cause-overuse": True}),
        ({}, {}),
    ],
)
def test_a_lifted_diagnosis_that_somebody_asks_for_is_false(judge, facts, expected):
    rules = base(
        concludes("cause", "zone.cause-overuse", "zone.bare > 0", unless={"sun": ["zone.sunny is true"]}),
        caution(
            "care", "zone", "site.fenced is true", unless={"no-cause": ["zone.cause-overuse is not true"]}
        ),
    )
    assert judge(rules, "zone", [subject(**facts)]).derived["it"] == expected
