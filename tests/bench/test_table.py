"""The table says of each figure whether its aim is met, and the README's section is filled from it."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.bench.aims import AIMS, IN_README
from tests.bench.parts.engines import WHAT
from tests.bench.readme import BLOCK, MOST_LINES, README, block, write
from tests.bench.rows import Aim, Row, table, verdict

ROWS = (
    Row("engines.ours", "our engine", 8.0),
    Row("engines.theirs", "another", 4.0),
    Row("many.fields", "fields", None, "/s"),
)
BY_KEY = {row.key: row for row in ROWS}


@pytest.mark.parametrize(
    ("aim", "said"),
    [
        (Aim(8), "met"),
        (Aim(7.9), "not met"),
        (Aim(8, least=True), "met"),
        (Aim(8.1, least=True), "not met"),
        (Aim(2, times="engines.theirs"), "met"),
        (Aim(1.9, times="engines.theirs"), "not met"),
        (Aim(2.1, times="engines.theirs", least=True), "not met"),
        (Aim(1, times="not measured"), "–"),
        (Aim(1, times="many.fields"), "–"),
        (None, "–"),
    ],
)
def test_an_aim_is_met_or_not(aim: Aim | None, said: str) -> None:
    assert verdict(ROWS[0], aim, BY_KEY) == said


def test_nothing_measured_meets_nothing() -> None:
    assert verdict(ROWS[2], Aim(1), BY_KEY) == "–"


def test_the_table() -> None:
    text = table(ROWS, {"engines.ours": Aim(1, times="engines.theirs", called="another")})
    lines = text.splitlines()
    assert "8.00 ms" in lines[2]
    assert lines[2].endswith("≤ 1 × another  not met")
    assert lines[4] == ""
    assert "–" in lines[5]


def test_aims_name_rows_that_there_are() -> None:
    named = {each.times for each in AIMS.values() if each.times} | set(IN_README)
    assert all(key.partition(".")[2] in WHAT for key in named if key.startswith("engines."))
    assert {each.partition(".")[0] for each in (*AIMS, *named)} <= {
        "engines", "growth", "zones", "memory", "consult", "commands", "talk", "many",
    }  # fmt: skip


def test_the_section_is_written_in_place_of_the_one_before(tmp_path: Path) -> None:
    path = tmp_path / "README.md"
    path.write_text("# A\n\n<!-- fast -->\nold\n<!-- /fast -->\n\n# B\n", encoding="utf-8")
    text = block(ROWS, {"engines.ours": Aim(9)}, ["engines.ours", "many.fields"], "a machine, a day")
    write(text, path)
    now = path.read_text(encoding="utf-8")
    assert "old" not in now
    assert "| our engine | 8.00 ms | ≤ 9: met |" in now
    assert "a machine, a day" in now
    assert now.startswith("# A\n\n<!-- fast -->\n")
    assert now.endswith("<!-- /fast -->\n\n# B\n")
    with pytest.raises(KeyError):
        block(ROWS, {}, ["talk.longest"], "")


def test_a_readme_without_its_marks_is_left_alone(tmp_path: Path) -> None:
    path = tmp_path / "README.md"
    path.write_text("# A\n", encoding="utf-8")
    with pytest.raises(ValueError, match="not one"):
        write("new", path)
    assert path.read_text(encoding="utf-8") == "# A\n"


def test_the_readme_s_section_is_short_and_filled() -> None:
    found = BLOCK.findall(README.read_text(encoding="utf-8"))
    assert len(found) == 1
    # The heading and the empty line under it count; the two marks are not seen.
    assert 2 + len(found[0].splitlines()) - 2 <= MOST_LINES
    assert found[0].count("|") == 4 * (2 + len(IN_README))
