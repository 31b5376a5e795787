"""The JSON of an advice: written fast, and letter for letter as Python's own encoder writes the same tables."""

from __future__ import annotations

import json

import pytest
from pydantic import ValidationError

from decide.consult import Adviser
from decide.knowledge.load import knowledge_folder
from decide.model.reading import read_situation
from decide.model.row import Cost


@pytest.mark.slow
def test_the_letters_are_those_of_the_plain_encoder(adviser: Adviser) -> None:
    """The lines end between rows; no sentence has an end of line of its own."""
    advice = adviser.advise(read_situation((knowledge_folder() / "demo.toml").read_bytes()))
    written = json.dumps(
        advice.as_dict(full=True), ensure_ascii=False, separators=(",", ":"), allow_nan=False
    )
    assert advice.as_json(full=True).replace("\n", "") == written


@pytest.mark.parametrize("number", [float("nan"), float("inf"), float("-inf")])
def test_a_row_holds_no_number_that_json_has_not(number: float) -> None:
    with pytest.raises(ValidationError, match="finite number"):
        Cost(low=number, high=1, currency="", year="", how="")


@pytest.mark.parametrize("word", ["é ½ ₂ “–” \u2028", 'a "word" \\', "\x01\t\n\x7f", "😀"])
def test_letters_are_written_as_they_are(word: str) -> None:
    row = Cost(low=1, high=0.1 + 0.2, currency=word, year="", how="")
    assert row.model_dump_json(indent=1) == json.dumps(row.model_dump(), ensure_ascii=False, indent=1)
