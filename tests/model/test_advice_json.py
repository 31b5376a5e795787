"""The numbers and letters of an advice as JSON has them."""

from __future__ import annotations

import json

import pytest
from pydantic import ValidationError

from decide.model.row import Cost


@pytest.mark.parametrize("number", [float("nan"), float("inf"), float("-inf")])
def test_a_row_holds_no_number_that_json_has_not(number: float) -> None:
    with pytest.raises(ValidationError, match="finite number"):
        Cost(low=number, high=1, currency="", year="", how="")


@pytest.mark.parametrize("word", ["é ½ ₂ “–” \u2028", 'a "word" \\', "\x01\t\n\x7f", "😀"])
def test_letters_are_written_as_they_are(word: str) -> None:
    row = Cost(low=1, high=0.1 + 0.2, currency=word, year="", how="")
    assert row.model_dump_json(indent=1) == json.dumps(row.model_dump(), ensure_ascii=False, indent=1)
