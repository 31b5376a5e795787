"""The library call that does the whole in one."""

from __future__ import annotations

import pytest

from decide.model.reading import read_situation

FIELD = """
[place]
name = "York"
country = "gb"
[dates]
today = 2026-05-12
play_by = 2026-08-25
[site]
dangers = ["none"]
[[zone]]
name = "goalmouths"
bare_percent = 90
[[zone]]
name = "middle"
bare_percent = 25
bare_pattern = "scattered"
"""


@pytest.mark.slow
def test_one_call_names_the_questions_that_it_leaves_open_without_trying_them(adviser):
    rows = adviser.advise(read_situation(FIELD)).unknown
    keys = [row.key for row in rows]
    assert "zone.goalmouths.bare_pattern" in keys
    # told, and only for a field under water
    assert not {"zone.middle.bare_pattern", "dates.play_by", "now.flooded_days"} & set(keys)
    assert [row.changes_first_choice for row in rows] == [None] * len(rows)
