"""What is understood and not judged here is said by name: heard beside what is told, and never taken for an answer."""

from __future__ import annotations

import re

import pytest

from decide.parse.declined import declined, say_declined
from tests.said.score import heard, speech

# Each line was written before its first run; "" is what must not be declined.
LINES = [
    ("we have 2000 now and another 1000 next year", "money-later-years"),
    ("500 a year for three years", "money-later-years"),
    ("20 hours a week all year", ""),
    ("nobody is there on mondays", "weekdays-away"),
    ("nobody plays on mondays", ""),
    ("there's a hydrant by the gate", "leave-for-a-hydrant"),
    ("rugby tears it up far worse than soccer", "sport-by-sport-wear"),
    ("rugby and soccer play on it", ""),
    ("it's been the driest spring for years", "dry-year"),
    ("it died in the dry summer last year", ""),
    ("the soil is dry", ""),
    ("we can borrow the corer but only for one weekend", "machine-hours"),
    ("we can borrow a corer", ""),
    ("they play under floodlights", "floodlights"),
    ("it was flooded", ""),
    ("is it covered by the insurance, the club secretary worries", "insurance"),
    ("straight bare stripes where the van drove", ""),
]


@pytest.mark.parametrize(("text", "code"), LINES)
def test_it_is_known_by_its_words(text: str, code: str) -> None:
    assert [one for one, _ in declined(text, speech())] == ([code] if code else [])


def test_it_is_heard_beside_an_answer_and_is_neither_unread_nor_a_miss() -> None:
    line = heard(
        {"kind": "answer", "question": "machines-hire", "text": "a corer, the corer only for one weekend"}
    )
    assert [(one.key, one.value) for one in line.told] == [("means.equipment_hire", ["corer"])]
    assert line.declined == ("machine-hours",)
    alone = heard({"kind": "answer", "question": "how-bare", "text": "there are floodlights"})
    assert (alone.told, alone.unread, alone.miss, alone.declined) == ((), (), "", ("floodlights",))


def test_a_question_declines_nothing() -> None:
    line = heard({"kind": "answer", "question": "how-bare", "text": "what if this is a very dry year?"})
    assert line.declined == ()


def test_each_row_has_its_words_and_one_short_text() -> None:
    for code, row in speech().table("declined").items():
        re.compile(row["when"])
        re.compile(row.get("unless", ""))
        assert 20 < len(say_declined(code, speech())) < 160, code
