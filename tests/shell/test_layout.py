"""A situation file that a person wrote keeps its notes, its order and its layout where answers change."""

from __future__ import annotations

import copy
import tomllib
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from decide.knowledge.load import knowledge_folder
from decide.model.toml_lines import plain_tables
from decide.shell.layout import changed_text

OURS = """\
# Our field, as the committee wrote it down.

[place]            # where we are
name = "Dayton"    # not the other one
country = 'us'

[dates]
play_by = 2027-04-01   # the first match

# The worst part first.
[[zone]]
name = "goalmouths"
bare_percent = 60      # by the photo grid
grass = ["perennial ryegrass"]

# And the middle.
[[zone]]
name = "centre"
bare_percent = 20

[means]
helpers = 4
# end
"""


def told(text: str) -> dict[str, Any]:
    return plain_tables(tomllib.loads(text))


def changed(text: str, change: Any) -> str:
    after = copy.deepcopy(told(text))
    change(after)
    made = changed_text(text, told(text), after)
    assert made is not None
    assert told(made) == after
    return made


def lines_changed(before: str, after: str) -> tuple[list[str], list[str]]:
    old, new = before.splitlines(), after.splitlines()
    return [line for line in old if line not in new], [line for line in new if line not in old]


def test_what_is_not_changed_stays_byte_for_byte() -> None:
    assert changed(OURS, lambda after: None) == OURS
    demo = (knowledge_folder() / "demo.toml").read_text(encoding="utf-8")
    assert changed(demo, lambda after: None) == demo


def test_one_answer_changes_one_line_and_keeps_its_note() -> None:
    made = changed(OURS, lambda after: after["zone"][0].update(bare_percent=70))
    assert lines_changed(OURS, made) == (
        ["bare_percent = 60      # by the photo grid"],
        ["bare_percent = 70      # by the photo grid"],
    )


def test_answers_come_and_go_beside_the_notes() -> None:
    made = changed(OURS, lambda after: (after["means"].update(budget=900), after["place"].pop("country")))
    assert lines_changed(OURS, made) == (["country = 'us'"], ["budget = 900"])
    made = changed(OURS, lambda after: after.update(site={"dangers": ["none"]}))
    assert lines_changed(OURS, made)[0] == []
    for note in (
        "# Our field",
        "# not the other one",
        "# The worst part first.",
        "# And the middle.",
        "# end",
    ):
        assert note in made


def test_a_part_of_the_field_comes_and_another_goes() -> None:
    made = changed(OURS, lambda after: after["zone"].append({"name": "bank", "bare_percent": 30}))
    assert lines_changed(OURS, made)[0] == []
    made = changed(OURS, lambda after: after["zone"].pop(1))
    assert "# by the photo grid" in made
    made = changed(OURS, lambda after: after["zone"].pop(0))
    assert 'name = "centre"\nbare_percent = 20' in made


def test_a_table_in_one_line_stays_in_one_line() -> None:
    text = 'place = { name = "Dayton", country = "us" } # here\n[field]\nlength_m = 100\n'
    assert changed(text, lambda after: after["place"].update(name="Troy")) == text.replace("Dayton", "Troy")


def test_what_neither_side_told_stays() -> None:
    before, after = {"place": {"name": "Dayton"}}, {"place": {"name": "Troy"}}
    text = "[place]\nname = 'Dayton'\n[dates]\ntoday = 2026-05-01\n"
    made = changed_text(text, before, after)
    assert made is not None
    assert tomllib.loads(made)["dates"] == tomllib.loads(text)["dates"]
    assert tomllib.loads(made)["place"] == {"name": "Troy"}


@pytest.mark.parametrize("text", ["a = ", "a = 1\na = 2", "[a]\n[a]\n", "\x00"])
def test_a_text_that_is_none_is_not_guessed_at(text: str) -> None:
    assert changed_text(text, {}, {"a": 1}) is None


WORDS = st.text(alphabet="ab \"'\\#[]{}=.\n\té", max_size=6)
VALUES = st.one_of(WORDS, st.integers(-9, 9), st.booleans(), st.lists(WORDS, max_size=2))
KEYS = st.sampled_from(["name", "bare_percent", "x", "y z"])
TABLES = st.dictionaries(KEYS, VALUES, max_size=3)
ROWS = st.lists(TABLES, max_size=3)
SITUATIONS = st.fixed_dictionaries(
    {}, optional={"place": TABLES, "zone": ROWS, "means": TABLES, "done": ROWS, "field": TABLES}
)


@pytest.mark.slow
@given(SITUATIONS, SITUATIONS)
@settings(max_examples=150, deadline=None)
def test_whatever_changes_is_read_back_or_not_written(before: dict[str, Any], after: dict[str, Any]) -> None:
    import tomlkit

    text = "# note\n" + tomlkit.dumps(before) + "\n# end\n"
    made = changed_text(text, told(text), after)
    if made is not None:
        assert told(made) == after
        assert made.startswith("# note") or not before


@pytest.mark.slow
@given(st.data())
@settings(max_examples=100, deadline=None)
def test_answers_of_the_written_file_change_and_all_its_notes_stay(data: st.DataObject) -> None:
    after = told(OURS)
    for table in ("place", "means", "dates"):
        after[table] |= data.draw(TABLES)
    for row in after["zone"]:
        row |= {key: value for key, value in data.draw(TABLES).items() if key != "name"}
    made = changed_text(OURS, told(OURS), after)
    assert made is not None
    assert told(made) == after
    assert [
        note for note in ("# Our", "# where", "# not", "# The worst", "# And", "# end") if note not in made
    ] == []
