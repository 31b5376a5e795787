"""Explanations are written for a volunteer: the reading grade of every text at level 1, over the case bank, and no names of rules in it.

The grade is that of Flesch and Kincaid (US Navy research branch report 8-75, 1975): 0.39 x words a sentence + 11.8 x
syllables a word - 15.59. Syllables are counted by groups of vowels. Names of grasses and ways stay in; a template is
graded with a short word in each hole.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from statistics import mean

import pytest

from decide.cases.signed import Case
from decide.consult import Adviser
from decide.decision.consultation import Consultation
from decide.engine.language import Template
from decide.explain import how_sure, matters_next, what_if, why, why_not
from tests.shared import case_codes, case_of

MOST_ON_AVERAGE = 8.0
MOST_ALONE = 10.0
# A text of fewer words has no grade to speak of: one long word moves it by several.
LEAST_WORDS = 12


def syllables(word: str) -> int:
    """Vowel groups, without the silent e at the end; at least one."""
    word = word.lower()
    count = len(re.findall(r"[aeiouy]+", word))
    if word.endswith("e") and not word.endswith(("le", "ee", "ye")) and count > 1:
        count -= 1
    if word.endswith("ed") and not word.endswith(("ted", "ded")) and count > 1:
        count -= 1
    return max(1, count)


def grade(text: str) -> float:
    """The reading grade of a text."""
    sentences = [part for part in re.split(r"[.!?]+(?:\s|$)", text) if re.search(r"[a-z]", part)]
    row = re.findall(r"[A-Za-z']+", text)
    if not sentences or not row:
        return 0.0
    return 0.39 * len(row) / len(sentences) + 11.8 * sum(map(syllables, row)) / len(row) - 15.59


def test_the_count_is_that_of_printed_examples():
    """The cat sat on the mat: six words of one syllable, one sentence, 0.39 x 6 + 11.8 - 15.59 = -1.45."""
    assert grade("The cat sat on the mat.") == pytest.approx(-1.45)
    assert [
        syllables(word)
        for word in ("grass", "water", "seeded", "rooted", "table", "made", "establish", "irrigation")
    ] == [1, 2, 2, 2, 2, 1, 3, 4]


def own_words(template: Template) -> str:
    """The text of a template with one short word for each hole."""
    return "".join(part if isinstance(part, str) else "ten" for part in template.parts)


def test_no_reason_is_hard_to_read(adviser: Adviser):
    texts = {rule.id: own_words(rule.because) for rule in adviser.base.rules}
    texts |= {
        f"{rule.id}/{exception.name}": own_words(exception.because)
        for rule in adviser.base.rules
        for exception in rule.unless
    }
    grades = {name: grade(text) for name, text in texts.items() if len(text.split()) >= LEAST_WORDS}
    hard = {name: round(value, 1) for name, value in grades.items() if value > MOST_ALONE}
    assert hard == {}
    assert mean(grades.values()) <= MOST_ON_AVERAGE


def texts_of(c: Consultation) -> list[str]:
    """The explanations of a consultation at level 1."""
    found = [why(c, zone).text for zone in c.zones]
    found += [why_not(c, words).text for words in ("thin sod", "seed", "waiting")]
    found.append(what_if(c, {"means.water": "hand hose", "means.wettings_weekday": 2}).text)
    return found


def lined(text: str) -> str:
    """A text of lines as sentences: each line is one or more of its own."""
    return re.sub(r"(?<![.!?])\n", ".\n", re.sub(r"\n\s*-?\s*", "\n", text))


def check(adviser: Adviser, cases: Iterable[Case]) -> tuple[float, list[tuple[float, str]]]:
    ids = [rule.id for rule in adviser.base.rules if rule.id.count("-") > 1]
    grades: list[tuple[float, str]] = []
    for case in cases:
        c = adviser.consult(case.situation)
        for text in texts_of(c):
            assert not [rule for rule in ids if rule in text]
            said = lined(text)
            if len(said.split()) >= LEAST_WORDS:
                grades.append((grade(said), said))
    return mean(value for value, _ in grades), sorted(grades, reverse=True)


@pytest.mark.slow
def test_explanations_read_easily(adviser):
    average, grades = check(adviser, map(case_of, case_codes()[::24]))
    assert average <= MOST_ON_AVERAGE
    assert grades[0][0] <= MOST_ALONE, grades[0]


@pytest.mark.slow
def test_explanations_all_over_the_bank_read_easily(adviser):
    average, grades = check(adviser, map(case_of, case_codes()[3::12]))
    print(f"{len(grades)} texts, grade {average:.1f} on average, {grades[0][0]:.1f} at most")
    assert average <= MOST_ON_AVERAGE
    assert grades[0][0] <= MOST_ALONE, grades[0]


@pytest.mark.slow
def test_how_sure_and_what_matters_read_easily(dry):
    for text in (how_sure(dry).text, matters_next(dry).text):
        assert grade(lined(text)) <= MOST_ALONE
