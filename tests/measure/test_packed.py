"""What is read of the packed tables one row at a time is what unpacking them whole gives."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from decide.knowledge.load import knowledge_folder
from decide.measure.packed import Packed, months_of_cell, unpack_months
from decide.measure.place_names import Lines

FOLDER = knowledge_folder() / "climate"


@pytest.mark.parametrize("file", ["places.npz", "climate_grid.npz"])
def test_the_months_of_one_cell(file: str) -> None:
    table = Packed(FOLDER).read(file)
    mean, rain = unpack_months(table)
    for n in (0, 1, 4711, len(mean) - 1):
        one = months_of_cell(table, n)
        assert np.array_equal(one[0], mean[n])
        assert np.array_equal(one[1], rain[n])


@given(st.lists(st.text(st.characters(exclude_characters="\n", codec="utf-8"), max_size=5), min_size=1))
def test_lines_are_as_if_all_were_read(rows: list[str]) -> None:
    read = Lines("\n".join(["", *rows, ""]).encode())
    assert len(read) == len(rows)
    assert [*read] == rows == [read[n] for n in range(len(rows))] == read[:]
    assert read[-1] == rows[-1]
