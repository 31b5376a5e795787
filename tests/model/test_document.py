"""A document as JSON text, one row a line."""

import json
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from decide.model.document import json_text

VALUES = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False, allow_infinity=False) | st.text(),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(), inner, max_size=3),
    max_leaves=12,
)


@given(st.dictionaries(st.text(), VALUES, max_size=4))
def test_it_is_json_of_what_it_was_given(tables: dict[str, object]) -> None:
    assert json.loads(json_text(tables)) == tables


def test_a_row_stands_on_a_line() -> None:
    tables = {
        "schema": "x/1",
        "rows": [{"a": 1, "b": [2, 3]}, {"a": 4}],
        "none": [],
        "by": {"k": [5], "é": {}},
    }
    assert json_text(tables) == (
        '{\n"schema":"x/1",\n"rows":[\n{"a":1,"b":[2,3]},\n{"a":4}\n],\n"none":[],\n"by":{\n"k":[5],\n"é":{}\n}\n}\n'
    )


@pytest.mark.parametrize("number", [math.nan, math.inf])
def test_a_number_that_json_does_not_have_is_an_error(number: float) -> None:
    with pytest.raises(ValueError, match="JSON"):
        json_text({"rows": [{"a": number}]})
