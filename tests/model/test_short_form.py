"""Rows that say the same stand once in the short form, and are read back each by itself."""

import json
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import ValidationError

from decide.answer.assemble import advice_of
from decide.model.advice import Advice
from decide.model.short_form import reasons_again, shortened, single, single_codes
from tests.shared import consulted

PARTED = "step-residues-bermuda"
TASKS = st.builds(
    lambda zone, task, hours: {
        "code": f"{task}/{zone}",
        "zone": zone,
        "hours": hours,
        "text": f"How to {task}.",
        "after": [],
    },
    st.sampled_from(["north", "south", "middle"]),
    st.sampled_from(["cut", "feed"]),
    st.sampled_from([None, 0.5, 2.0]),
)


def document(**told: Any) -> dict[str, Any]:
    lists = (
        "causes",
        "ailments",
        "diagnosis",
        "needs",
        "options",
        "programme",
        "plan",
        "watering",
        "proposals",
    )
    rest = ("hours_per_week_after_opening", "weeks", "sources", "trace")
    return {**{name: [] for name in (*lists, *rest)}, "reasons": {}, "money": None, **told}


@given(st.lists(TASKS, max_size=12))
def test_rows_of_parts_come_back_in_their_order(rows: list[dict[str, Any]]) -> None:
    short = shortened(document(plan=rows))["plan"]
    assert single(short) == rows
    assert len(short) == len({row["text"] for row in rows})


@given(st.lists(TASKS.map(lambda row: row["code"]), max_size=12))
def test_codes_of_a_week_come_back_in_their_order(codes: list[str]) -> None:
    short = shortened(document(weeks=[{"tasks": codes}]))["weeks"][0]["tasks"]
    assert single_codes(short) == codes
    assert all(one.partition("/")[0] != two.partition("/")[0] for one, two in pairwise(short))


def test_a_rule_that_says_another_figure_has_another_key() -> None:
    one, two = ({"rules": ["r"], "text": text} for text in ("It needs 3.", "It needs 4."))
    grade = {"grade": "weak", "reason": "It needs 4.", "best": "weak"}
    rows = [
        {"zone": "a", "code": "a/x", "reasons": [one], "grades": {}},
        {"zone": "b", "code": "b/x", "reasons": [two, one], "grades": {"work": grade}},
    ]
    short = shortened(document(options=rows))
    assert short["reasons"] == {"r": one, "r/2": two}
    assert short["options"][1]["reasons"] == ["r/2", "r"]
    assert short["options"][1]["grades"] == {"work": {**grade, "reason": "r/2"}}
    assert reasons_again(short)["options"] == rows


def short_document() -> dict[str, Any]:
    found: dict[str, Any] = json.loads(advice_of(consulted(PARTED)).as_json())
    return found


def test_a_document_that_was_spoilt_says_where() -> None:
    for spoil, said in (
        (lambda held: held["plan"][_alike(held)].update(rows=[-1] * 9), "as long as `zones`"),
        (lambda held: held["plan"][_alike(held)]["rows"].__setitem__(0, 10_000), "places from 0 to"),
        (lambda held: held["plan"].append(held["plan"][_alike(held)]), "two rows at place"),
        (lambda held: held["plan"][_alike(held)].pop("zones"), "zones: Field required"),
        (lambda held: held["proposals"][0]["reasons"].append("nothing"), "'nothing' is no key of `reasons`"),
    ):
        held = short_document()
        spoil(held)
        with pytest.raises(ValidationError, match=said):
            Advice.model_validate(held)


def _alike(held: dict[str, Any]) -> int:
    return next(n for n, row in enumerate(held["plan"]) if "same" in row)
