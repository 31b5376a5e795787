"""Rows that are made when they are first read."""

import copy
import pickle

from hypothesis import given
from hypothesis import strategies as st

from decide.model.made import Made

CODES = st.lists(st.text(min_size=1, max_size=4), unique=True, max_size=8)


def counted(codes: list[str]) -> tuple[Made[str], list[str]]:
    """Rows of some codes, and the codes of those that were made."""
    asked: list[str] = []

    def make(code: str) -> str:
        asked.append(code)
        return f"<{code}>"

    return Made(codes, make), asked


@given(CODES, st.integers(-9, 9), st.integers(-9, 9))
def test_it_reads_as_a_list_does(codes: list[str], low: int, high: int) -> None:
    rows, _ = counted(codes)
    plain = [f"<{code}>" for code in codes]
    assert rows == plain
    assert plain == rows
    assert [*rows, "more"] == [*plain, "more"]
    assert len(rows) == len(plain)
    assert rows[low:high] == plain[low:high]
    assert repr(rows) == repr(plain)
    assert (rows != plain[1:]) is bool(plain)


@given(CODES, st.sets(st.text(min_size=1, max_size=4), max_size=8))
def test_only_what_is_read_is_made_and_once(codes: list[str], wanted: set[str]) -> None:
    rows, asked = counted(codes)
    assert len(rows) == len(codes)
    found = rows.of(wanted)
    assert found == [f"<{code}>" for code in codes if code in wanted]
    assert asked == [code for code in codes if code in wanted]
    assert rows.of(wanted) == found
    list(rows)
    assert sorted(asked) == sorted(codes)


def test_a_change_waits_until_a_row_is_read() -> None:
    rows, asked = counted(["a", "b"])
    louder = rows.changed(str.upper)
    assert not asked
    assert louder.row("b") == "<B>"
    assert asked == ["b"]
    assert louder.row("c") is None


def test_what_leaves_the_process_is_a_plain_list() -> None:
    rows, _ = counted(["a", "b"])
    for other in (pickle.loads(pickle.dumps(rows.changed(str))), copy.deepcopy(rows)):
        assert type(other) is list
        assert other == rows
