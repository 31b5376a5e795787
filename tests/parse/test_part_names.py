"""Forms of the names of parts: none is passed over that stands in a text, and few are made ready for one that
names no part.
"""

from __future__ import annotations

import json
from pathlib import Path

from decide.parse.message_text import pattern
from decide.parse.part_names import part_forms, standing
from tests.parse.test_asks import speech

SAID = Path(__file__).parents[1] / "said" / "opening.jsonl"
TABLE = speech().table("message_parts")
FORMS = part_forms(TABLE["grammar"], TABLE["names"])


def test_every_form_that_stands_in_a_line_is_looked_for() -> None:
    lines = [json.loads(line)["text"].casefold() for line in SAID.open(encoding="utf-8")]
    lines += [
        "from the far goalmouth to the halfway line",
        "both goals at either end",
        "the corner by the gate",
    ]
    found = 0
    for line in lines:
        looked_for = list(standing(FORMS, line))
        for form in FORMS:
            if pattern(form.form).search(line):
                found += 1
                assert pattern(form.form) in looked_for, (line, form.form[:80])
    assert found > len(lines) // 2


def test_a_line_that_names_no_part_asks_for_few() -> None:
    long = [pattern(form.form) for form in FORMS if len(form.form) > 5_000]
    looked_for = list(standing(FORMS, "about sixty percent"))
    assert len(long) > 4
    assert len([each for each in long if each in looked_for]) == 1
