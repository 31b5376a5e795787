"""Columns with dotted names say what nested keys say."""

from __future__ import annotations

import datetime as dt
import io
import json
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from decide.many.columns import columns_of, table_from
from decide.many.records import records
from decide.model.errors import SituationError


def table(row: dict[str, Any], *, comma: bool = False) -> dict[str, Any]:
    return table_from(columns_of(list(row), "head"), row.values(), comma=comma)


def test_cells_are_read_as_their_keys_want() -> None:
    assert table(
        {
            "id": "0042",
            "place.name": "1860",
            "place.country": "",
            "place.altitude_ft": "120.5",
            "place.monthly_mean_c": "1; 2; 3.5",
            "dates.play_by": "2026-09-01",
            "dates.play_by_firm": "YES",
            "dates.no_play.1.from": "2026-07-01",
            "dates.no_play.1.until": "2026-07-09",
            "zone.1.name": "goalmouths",
            "zone.1.bare_percent": " 80 ",
            "zone.1.grass": "perennial ryegrass; annual bluegrass",
            "zone.1.weeds": "clover;moss",
            "zone.2.name": "wings",
            "zone.2.grass.1.grass": "couch",
            "zone.2.grass.1.share_percent": "60",
            "history.herbicides": "None",
            "history.sown.1.date": "2026-04-01",
            "means.contractor": "no",
            "means.helpers": "3",
            "use.1.months": "apr; may",
            "site.dangers": "don't know",
            "# remark": "call them",
            "": "",
        }
    ) == {
        "id": "0042",
        "place": {"name": "1860", "altitude_ft": 120.5, "monthly_mean_c": [1, 2, 3.5]},
        "dates": {
            "play_by": "2026-09-01",
            "play_by_firm": True,
            "no_play": [{"from": "2026-07-01", "until": "2026-07-09"}],
        },
        "zone": [
            {
                "name": "goalmouths",
                "bare_percent": 80,
                "grass": [{"grass": "perennial ryegrass"}, {"grass": "annual bluegrass"}],
                "weeds": ["clover", "moss"],
            },
            {"name": "wings", "grass": [{"grass": "couch", "share_percent": 60}]},
        ],
        "history": {"herbicides": [], "sown": [{"date": "2026-04-01"}]},
        "means": {"contractor": False, "helpers": 3},
        "use": [{"months": ["apr", "may"]}],
        "site": {"dangers": "don't know"},
    }


def test_a_decimal_comma_is_read_where_commas_part_no_cells() -> None:
    assert table({"field.area_m2": "7500,5"}, comma=True) == {"field": {"area_m2": 7500.5}}
    assert table({"field.area_m2": "0,125"}, comma=True) == {"field": {"area_m2": 0.125}}
    assert table({"field.area_m2": "7500,5"}) == {"field": {"area_m2": "7500,5"}}
    with pytest.raises(SituationError, match="'7,500' can be read as thousands and as a fraction"):
        table({"field.area_m2": "7,500"}, comma=True)


def test_values_with_types_stay_what_they_are() -> None:
    assert table(
        {
            "dates.play_by": dt.datetime(2026, 9, 1, 5),
            "zone.1.bare_percent": float("nan"),
            "means.budget": 5.5,
        }
    ) == {"dates": {"play_by": "2026-09-01"}, "means": {"budget": 5.5}}


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("zone.1.bare_percnt", "'zone.1.bare_percnt' is no key. Write 'bare_percent'?"),
        ("plaice.name", "'plaice.name' is no key. Write 'place'?"),
        ("zone.bare_percent", "lacks the number of its row. Write zone.1 for the first"),
        ("zone.0.name", "lacks the number of its row"),
        ("zone.²", "lacks the number of its row"),
        ("zone.99999.name", "lacks the number of its row"),
        ("place", "'place' is a whole table"),
        ("zone.1", "'zone.1' is a whole row"),
        ("place.name.x", "goes on after its key"),
        ("field.name", "'field.name' is no key"),
    ],
)
def test_a_wrong_name_is_refused(name: str, said: str) -> None:
    with pytest.raises(SituationError) as caught:
        columns_of([name], "head")
    assert said in str(caught.value)


def test_a_head_that_says_things_twice_is_refused() -> None:
    with pytest.raises(SituationError, match=r"'place.name' is there twice"):
        columns_of(["place.name", "place.name"], "head")
    with pytest.raises(SituationError, match="say the same in two ways"):
        columns_of(["zone.1.grass", "zone.1.grass.1.grass"], "head")
    with pytest.raises(SituationError, match="no column is a key"):
        columns_of(["# a", ""], "head")


def test_rows_that_cannot_be_meant_are_refused() -> None:
    with pytest.raises(SituationError, match=r"zone.2 is told and zone.1 is not"):
        table({"zone.1.name": "", "zone.2.name": "wings"})
    with pytest.raises(SituationError, match="beside a list that is told whole"):
        table({"history.sown": "none", "history.sown.1.date": "2026-04-01"})
    with pytest.raises(SituationError, match="told in two ways"):
        table({"history.sown.1.date": "2026-04-01", "history.sown": "none"})
    with pytest.raises(SituationError, match=r"'some' is not 'none'. Write none where"):
        table({"history.sown": "some"})


def test_the_table_of_the_readme_is_one() -> None:
    text = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")
    rows = text.split("```text\nid,", 1)[1].split("```", 1)[0]
    (found,) = records(io.BytesIO(f"id,{rows}".encode()), "csv", "README.md")
    assert json.loads(found.text) == {
        "id": "12",
        "place": {"name": "York", "country": "gb"},
        "dates": {"play_by": "2026-09-12"},
        "field": {"area_m2": 7500},
        "zone": [{"name": "goalmouths", "bare_percent": 80}, {"name": "wings", "bare_percent": 5}],
    }


# What people write into cells: no control characters, and never only blanks.
words = st.text(st.characters(exclude_categories=["C", "Z"]), min_size=1, max_size=12).filter(
    lambda text: not text.lower().startswith(("don", "do")) and ";" not in text
)
amounts = st.floats(1, 90, allow_nan=False).map(lambda value: round(value, 2)) | st.integers(1, 90)
zones = st.fixed_dictionaries(
    {"name": words}, optional={"bare_percent": amounts, "in_play": st.booleans(), "weeds": st.lists(words, min_size=1, max_size=3)}
)  # fmt: skip
situations = st.fixed_dictionaries(
    {"zone": st.lists(zones, min_size=1, max_size=3)},
    optional={
        "id": words,
        "place": st.fixed_dictionaries({"name": words}),
        "dates": st.fixed_dictionaries({"play_by": st.dates().map(str)}),
        "field": st.fixed_dictionaries({"area_m2": amounts}),
    },
)


def flat(value: Any, path: str = "") -> dict[str, str]:
    """The cells of a nested table."""
    if isinstance(value, dict):
        return {
            k: v for key, each in value.items() for k, v in flat(each, f"{path}.{key}".strip(".")).items()
        }
    if isinstance(value, list) and value and isinstance(value[0], dict):
        return {k: v for n, each in enumerate(value, 1) for k, v in flat(each, f"{path}.{n}").items()}
    if isinstance(value, list):
        return {path: "; ".join(value)}
    return {path: str(value).lower() if isinstance(value, bool) else str(value)}


def quoted(cell: str) -> str:
    return '"' + cell.replace('"', '""') + '"' if set(cell) & set(',;"\t') else cell


@settings(max_examples=150, deadline=None)
@given(st.lists(situations, min_size=1, max_size=4))
def test_csv_and_json_lines_say_the_same(rows: list[dict[str, Any]]) -> None:
    cells = [flat(row) for row in rows]
    head = list(dict.fromkeys(name for row in cells for name in row))
    text = "\r\n".join(
        [",".join(head), *(",".join(quoted(row.get(name, "")) for name in head) for row in cells), ""]
    )
    found = list(records(io.BytesIO(text.encode("utf-8-sig")), "csv", "fields.csv"))
    assert [(each.line, each.wrong) for each in found] == [(n, "") for n in range(2, len(rows) + 2)]
    assert [json.loads(each.text) for each in found] == rows
