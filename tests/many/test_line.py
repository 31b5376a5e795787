"""One line in, one line out: what the short advice holds is what the whole advice says, and nothing that a line holds stops the work."""

from __future__ import annotations

import datetime as dt
import json
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from decide.answer.assemble import advice_of
from decide.many.line import LineJudge, Record, Setting, bad_line, killed
from decide.many.short import short_advice
from decide.model.advice import Advice
from decide.model.errors import SituationError
from tests.shared import case_codes, consulted

TODAY = dt.date(2026, 5, 12)


@pytest.fixture(scope="module")
def judge() -> LineJudge:
    return LineJudge(Setting(TODAY, engines="plain"))


def answer(judge: LineJudge, text: str | bytes, line: int = 7) -> dict[str, Any]:
    said = judge(Record(line, text.encode("utf-8", "surrogatepass") if isinstance(text, str) else text))
    assert said.endswith(b"\n")
    assert said.count(b"\n") == 1
    found: dict[str, Any] = json.loads(said)
    assert found["line"] == line
    return found


def agrees(code: str) -> Advice:
    """The whole advice on a case, which the short one repeats."""
    c = consulted(code)
    whole, short = advice_of(c), short_advice(c)
    assert short.knowledge == whole.knowledge
    assert short.decision == whole.decision
    assert short.fate == whole.fate
    assert short.doing_today == whole.today
    assert [row.code for row in short.cautions] == [row.code for row in whole.cautions]
    assert [(row.code, row.zone) for row in short.needs] == [(row.code, row.zone) for row in whole.needs]
    assert [(row.code, row.zone, row.sure) for row in short.causes] == [
        (row.code, row.zone, row.sure) for row in whole.causes
    ]
    assert [(row.code, row.zone, row.treat) for row in short.ailments] == [
        (row.code, row.zone, row.treat) for row in whole.ailments
    ]
    assert [(r.zone, r.light, r.full, r.because) for r in short.open_now] == [
        (r.zone, r.light, r.full, r.because) for r in whole.open_now
    ]
    assert short.opening == [row.check for row in whole.opening]
    assert [row.do for row in short.signs_seen] == [row.do for row in whole.signs_seen]
    assert [(r.asked, r.judgement, r.conditions, r.cautions, r.better) for r in short.proposals] == [
        (r.asked, r.judgement, r.conditions, r.cautions, r.better) for r in whole.proposals
    ]
    assert whole.money is not None
    assert [(r.kind, r.low, r.high, r.currency) for r in short.money] == [
        (r.kind, r.low, r.high, r.currency) for r in whole.money.totals
    ]
    assert short.unpriced == len(whole.money.unknown)
    assert short.clashes == [clash.text for clash in whole.clashes]
    assert (short.plan_decide_by, short.valid_until) == (whole.plan_decide_by, whole.valid_until)
    if short.sure != whole.sure:
        assert (whole.sure.level, short.sure.level) == ("firm", "likely")
    for part, row in zip(short.programme, whole.programme, strict=True):
        assert (part.zone, part.decision, part.text, part.rests_on, part.meanwhile) == (
            row.zone, row.decision, row.text, row.rests_on, row.meanwhile,
        )  # fmt: skip
        for way, name in (
            (part.choice, row.option),
            (part.stopgap, row.stopgap),
            (part.least_bad, row.least_bad),
        ):
            option = whole.option(name)
            assert (way is None) == (option is None)
            if way is not None and option is not None:
                for field in (
                    "code",
                    "title",
                    "verdict",
                    "verdict_reason",
                    "start",
                    "decide_by",
                    "light_use",
                    "full_play",
                    "dies_by",
                    "cost",
                    "labour_hours",
                ):
                    assert getattr(way, field) == getattr(option, field), field
                assert way.could_rule_out == option.unknown
    return whole


@pytest.mark.slow
def test_short_advice_says_what_the_whole_says() -> None:
    codes = case_codes()
    for code in codes[:: max(1, len(codes) // 6)]:
        agrees(code)


@pytest.mark.slow
def test_short_advice_says_what_the_whole_says_of_every_case() -> None:
    for code in case_codes():
        agrees(code)


@pytest.mark.slow
def test_day_of_the_batch_is_taken_where_none_is_told(judge: LineJudge) -> None:
    for dates in ({}, {"today": None}, {"today": "don't know"}):
        assert answer(judge, json.dumps({"dates": dates}))["today"] == "2026-05-12"
    assert answer(judge, '{"dates": {"today": "2026-06-01"}}')["today"] == "2026-06-01"
    assert answer(judge, "{}")["today"] == "2026-05-12"
    late = answer(judge, '{"dates": {"play_by": "2026-05-11"}}')
    assert late["error"][0]["wrong"] == "dates.play_by (2026-05-11) lies before dates.today (2026-05-12)"


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "this is not JSON"),
        ("{", "this is not JSON"),
        ("[]", "not a table of keys"),
        ("1" * 5000, "cannot be read"),
        ('{"field": {"area_m2": 1e400}}', "not a finite number"),
        ('{"field": {"area_m2": NaN}}', "NaN is not a number"),
        ('{"place": {"name": "York", "name": "Dayton"}}', "'name' is said twice"),
        ('{"zone": [], "zone": []}', "'zone' is said twice"),
        ('{"a":' * 3000, "nested too deeply"),
        ("[" * 100_000, "nested too deeply"),
        (b'{"place": "\xff"}', "not UTF-8"),
        (b'{"place": "\0"}', "not text"),
        (b" " * 1_000_001, "more than 1,000,000 bytes"),
        ('{"id": [1]}', "id is neither text nor a whole number"),
        ('{"id": true}', "id is neither text nor a whole number"),
        ('{"zone": {"name": "a"}}', "this takes a list"),
        ('{"dates": 5}', "stands where a table belongs"),
        ('{"place": {"weather_file": "/dev/zero"}}', "place.weather_file"),
        ('{"place": {"weather_file": "gone.csv"}}', "place.weather_file: gone.csv"),
        ('{"place": {"name": "\\ud800"}, "x": 1}', "'x' is not a key"),
    ],
)
def test_bad_lines_are_reported(text: str | bytes, said: str, judge: LineJudge) -> None:
    found = answer(judge, text)
    assert not found["ok"]
    assert said in found["error"][0]["wrong"]
    assert found["error"][0]["where"].startswith("line 7")


def test_id_comes_back(judge: LineJudge) -> None:
    assert answer(judge, '{"id": 12}')["id"] == "12"
    assert answer(judge, '{"id": "a\\u0007\\ud800b"}')["id"] == "a b"
    assert answer(judge, '{"id": "x", "y": 1}')["id"] == "x"
    assert "id" not in answer(judge, "{}")


def test_everything_wrong_is_named_up_to_a_measure() -> None:
    found = json.loads(bad_line(3, None, [SituationError(str(n)) for n in range(30)]))
    assert [row["wrong"] for row in found["error"][-2:]] == ["19", "10 more things are wrong"]


def test_a_fault_of_the_program_is_one_line(judge: LineJudge, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(judge.adviser, "consult", lambda *_, **__: 1 // 0)
    found = answer(judge, '{"id": "x"}')
    assert "the program failed here (ZeroDivisionError)" in found["error"][0]["wrong"]
    assert found["id"] == "x"


def test_the_line_of_a_killer_names_it() -> None:
    assert json.loads(killed(Record(4, b'{"id": "x"}')))["id"] == "x"
    assert "id" not in json.loads(killed(Record(4, b"\xff")))


@settings(max_examples=60, deadline=None)
@given(
    st.binary(max_size=200) | st.text(max_size=100).map(lambda text: text.encode("utf-8", "surrogatepass"))
)
def test_any_bytes_give_one_line(judge: LineJudge, text: bytes) -> None:
    answer(judge, text)
