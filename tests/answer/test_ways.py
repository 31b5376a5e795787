"""Every way once, with what speaks against it."""

import pytest

from decide.answer.assemble import advice_of
from decide.decision.rank import USABLE
from tests.shared import case_codes, consulted, sampled

MANY = "us-tucson-overseed-and-back"
AGAINST = ("ruled-out", "lost", "poor", "weak")


@pytest.mark.slow
@pytest.mark.parametrize("code", sampled(case_codes(), 40))
def test_each_way_stands_once_by_its_best_option(code: str) -> None:
    advice = advice_of(consulted(code))
    first: dict[tuple[str, str, str | None, str], str] = {}
    for w in consulted(code).ranked:
        zone = consulted(code).zones[w.draft.zone].name
        first.setdefault((zone, w.draft.remedy, w.draft.method or None, w.draft.plant), w.draft.code)
    told = [
        ((zone, row.remedy, row.method, plant), row)
        for row in advice.ways
        for zone in row.zones
        for plant in row.plants or [""]
    ]
    assert sorted(map(repr, first)) == sorted(repr(way) for way, _ in told)
    assert sum(row.options for row in advice.ways) == len(advice.options) == advice.options_judged
    for way, row in told:
        option = advice.option(first[way])
        assert option is not None
        assert option.verdict == row.verdict
        speaks = [(reason.grade, reason.text) for reason in option.reasons if reason.grade in AGAINST]
        given = [(advice.reasons[key].grade, advice.reasons[key].text) for key in row.against]
        assert sorted(given) == sorted(speaks)
        assert [AGAINST.index(grade) for grade, _ in given] == sorted(
            AGAINST.index(grade) for grade, _ in given
        )


def test_each_reason_stands_once_and_is_named() -> None:
    advice = advice_of(consulted(MANY))
    said = [(row.rules, row.text, row.open) for row in advice.reasons.values()]
    assert len({repr(row) for row in said}) == len(said) > 0
    assert {key for row in advice.ways for key in row.against} == set(advice.reasons)
    for key, reason in advice.reasons.items():
        assert key.partition("/")[0] == reason.rules[0]


def test_a_way_that_is_refused_says_why() -> None:
    advice = advice_of(consulted(MANY))
    refused = [row for row in advice.ways if row.verdict not in USABLE]
    assert refused
    assert all(row.against for row in refused)
