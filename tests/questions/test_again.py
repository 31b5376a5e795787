"""A diagnosis that takes over what no changed answer reads is the whole diagnosis, and a trial by it gives the whole consultation's choice."""

from __future__ import annotations

import copy
import datetime as dt
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from decide.consult import Adviser
from decide.decision.diagnosis import Diagnosis, diagnose
from decide.explain.how_sure import with_number
from decide.model.errors import SituationError
from decide.model.reading import situation_from_dict
from decide.model.situation import Situation
from decide.questions import open as open_
from decide.questions.again import Again, changed_keys
from decide.questions.answers import as_answers, as_situation
from decide.questions.base import Base
from decide.questions.sensitivity import Trier, with_plain_engine
from tests.questions.test_sensitivity import told
from tests.shared import case_codes, case_of

TODAY = dt.date(2026, 7, 20)
OPENINGS: tuple[dict[str, Any], ...] = (
    {"place": {"name": "Dayton", "country": "us", "region": "Ohio"}},
    {"place": {"name": "Leeds", "country": "gb"}, "limits": {"water_days": ["mon", "thu"]}},
    {"place": {"name": "Perth", "country": "au"}, "means": {"water": "none"}},
    {"place": {"hemisphere": "north"}},
)
PARTS = (("goalmouths",), ("goalmouths", "middle"), ("whole field",))


def seen(d: Diagnosis) -> tuple[Any, ...]:
    """All that a diagnosis found."""
    layers = [
        (
            {name: rows for name, rows in layer.fired.items() if rows},
            {name: rows for name, rows in layer.could.items() if rows},
            layer.derived,
        )
        for layer in (d.site_layer, d.sign_layer, d.zone_layer)
    ]
    return d.site, d.zone_facts, d.usual_facts, layers, d.remedies(), d.essential


def compared(plain: Adviser, trier: Trier, situation: Situation, where: object) -> None:
    """The quick trial of a situation beside the whole consultation."""
    try:
        half = diagnose(plain, situation)
    except SituationError:
        with pytest.raises(SituationError):
            trier.half(situation)
        return
    assert seen(trier.half(situation)) == seen(half), where
    assert told(trier.judged(situation, ())) == told(plain.consult(situation)), where


@st.composite
def changed(draw: st.DrawFn, adviser: Adviser, answers: dict[str, Any], most: int) -> dict[str, Any]:
    """Answers with some open questions answered anyhow."""
    for _ in range(draw(st.integers(1, most))):
        asked = draw(st.sampled_from(open_.open_questions(adviser.knowledge, answers)))
        values = open_.possible_answers(asked, adviser.base.facts, TODAY)
        if values:
            answers = open_.put_answer(answers, asked, draw(st.sampled_from(values)))
    return answers


def drawn_field(data: st.DataObject, adviser: Adviser) -> dict[str, Any]:
    """A field of which some things are told."""
    answers: dict[str, Any] = copy.deepcopy(data.draw(st.sampled_from(OPENINGS)))
    bare = st.sampled_from([5, 40, 80])
    answers["zone"] = [
        {"name": name, "bare_percent": data.draw(bare)} for name in data.draw(st.sampled_from(PARTS))
    ]
    return data.draw(changed(adviser, answers, 12))


def check_field(data: st.DataObject, adviser: Adviser, trials: int) -> None:
    plain = with_plain_engine(adviser)
    before = drawn_field(data, plain)
    situation = as_situation(before, TODAY)
    if situation is None:
        return
    try:
        base = Base(plain.consult(situation))
    except SituationError:
        return
    trier = Trier(plain, base, TODAY)
    for _ in range(trials):
        after = data.draw(changed(plain, before, 2))
        other = as_situation(after, TODAY)
        if other is not None:
            compared(plain, trier, other, (before, after))


@pytest.mark.slow
@settings(max_examples=2, deadline=None, derandomize=True, suppress_health_check=list(HealthCheck))
@given(st.data())
def test_a_trial_of_any_field_says_what_a_whole_consultation_says(
    adviser: Adviser, data: st.DataObject
) -> None:
    check_field(data, adviser, 2)


@pytest.mark.slow
@settings(max_examples=40, deadline=None, suppress_health_check=list(HealthCheck))
@given(st.data())
def test_a_trial_of_many_fields_says_what_a_whole_consultation_says(
    adviser: Adviser, data: st.DataObject
) -> None:
    check_field(data, adviser, 6)


@pytest.mark.slow
@pytest.mark.parametrize("code", case_codes()[::16])
def test_a_trial_of_a_case_says_what_a_whole_consultation_says(adviser: Adviser, code: str) -> None:
    """One answer to every so many-th open question, and one answer taken back."""
    plain, case = with_plain_engine(adviser), case_of(code)
    today, answers = case.situation.dates.today or TODAY, as_answers(case.situation)
    trier = Trier(plain, Base(plain.consult(case.situation)), today)
    place = 0
    for asked in open_.open_questions(plain.knowledge, answers):
        for value in open_.possible_answers(asked, plain.base.facts, today):
            place += 1
            other = as_situation(open_.put_answer(answers, asked, value), today)
            if other is not None and place % 23 == 0:
                compared(plain, trier, other, (asked.key, asked.zone, value))
    for table in ("means", "history", "now", "site", "wishes"):
        held = {key: each for key, each in answers.items() if key != table}
        other = as_situation(held, today)
        if other is not None:
            compared(plain, trier, other, f"without {table}")


@pytest.mark.slow
@pytest.mark.parametrize("code", ["na-akron-sod-comes-too-late", "sparse-be-ghent-four-zones"])
def test_another_number_in_a_rule_gives_what_a_whole_consultation_gives(adviser: Adviser, code: str) -> None:
    plain, case = with_plain_engine(adviser), case_of(code)
    trier = Trier(plain, Base(plain.consult(case.situation)), case.situation.dates.today or TODAY)
    tried = 0
    for row in plain.knowledge.values.values():
        others = [
            said
            for said in row.statements
            if said.key in row.used and said.amount != row.used[said.key].amount
        ]
        if not others or not any(
            each.value == row.name for rule in plain.base.rules for each in rule.conditions
        ):
            continue
        book = with_number(plain, others[0])
        tried += 1
        if tried % 4 == 0:
            whole = with_number(plain, others[0])
            assert told(trier.with_rules(book)) == told(Adviser.consult(whole, case.situation)), row.name
    assert tried >= 8


def test_what_no_answer_reads_is_taken_over(adviser: Adviser) -> None:
    """The rules of a site that reads nothing of an answer are not asked again: their rows are the same ones."""
    plain = with_plain_engine(adviser)
    before = {
        "place": {"name": "Dayton", "country": "us", "region": "Ohio"},
        "zone": [{"name": "goalmouths", "bare_percent": 80}, {"name": "middle", "bare_percent": 10}],
    }
    situation = as_situation(before, TODAY)
    assert situation is not None
    c = plain.consult(situation)
    after = as_situation(
        {**before, "zone": [{**before["zone"][0], "thatch_mm": 30}, before["zone"][1]]}, TODAY
    )
    assert after is not None
    half = Trier(plain, Base(c), TODAY).half(after)
    assert isinstance(half, Again)
    assert half.site_layer.fired["site"] is c.site_layer.fired["site"]
    assert half.zone_layer.fired["middle"] is c.zone_layer.fired["middle"]
    assert half.zone_facts["goalmouths"]["zone.thatch-mm"] == 30


def test_the_keys_that_differ_are_named_with_their_tables() -> None:
    one = situation_from_dict({"zone": [{"name": "middle"}], "means": {"helpers": 3}, "use": []})
    two = situation_from_dict(
        {"zone": [{"name": "middle", "bare_percent": 12}], "means": {"helpers": 3.0, "water": "none"}}
    )
    assert changed_keys(one, two) == {"zone.bare_percent", "means.water", "use"}
    assert changed_keys(one, one) == frozenset()
