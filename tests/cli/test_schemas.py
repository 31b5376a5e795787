"""The JSON Schemas: as the models are, held by an independent validator, and no looser than the reader where a document is plainly wrong."""

from __future__ import annotations

import copy
import datetime as dt
import json
import tomllib
from collections.abc import Iterator
from functools import cache
from importlib.resources import files
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from decide import SituationError, situation_from_dict
from decide.cli.schemas import DIALECT, SCHEMAS, schema_text
from decide.facts.record import merged
from decide.many.line import LineJudge, Record, Setting
from decide.model.units import convert
from decide.model.written import us_keys
from tests.shared import BANK, CASE_FOLDER, adviser, case_codes, case_of, sampled

jsonschema = pytest.importorskip("jsonschema", reason="jsonschema comes with the extra `test`")
FOLDER = files("decide").joinpath("schemas")
DEMO = tomllib.loads((CASE_FOLDER.parent / "demo.toml").read_text(encoding="utf-8"))


def validator(of: str) -> Any:
    """An independent reading of the file that travels with the package, formats counted."""
    schema = json.loads(FOLDER.joinpath(f"{of}.json").read_text(encoding="utf-8"))
    return jsonschema.Draft202012Validator(
        schema, format_checker=jsonschema.Draft202012Validator.FORMAT_CHECKER
    )


SITUATION, ADVICE, MANY, RECORD = (validator(of) for of in ("situation", "advice", "many", "record"))


def plain(held: Any) -> Any:
    """A TOML table as JSON has it."""
    if isinstance(held, dt.time):
        return held.strftime("%H:%M")
    if isinstance(held, dt.date):
        return held.isoformat()
    if isinstance(held, dict):
        return {key: plain(inner) for key, inner in held.items()}
    return [plain(inner) for inner in held] if isinstance(held, list) else held


def wrong(check: Any, document: Any) -> list[str]:
    return [
        f"{'.'.join(map(str, each.absolute_path))}: {each.message[:200]}"
        for each in check.iter_errors(document)
    ]


@cache
def line_judge() -> LineJudge:
    return LineJudge(Setting(dt.date(2026, 5, 12), engines="plain"))


def taken(document: dict[str, Any]) -> bool:
    try:
        situation_from_dict(document)
    except SituationError:
        return False
    return True


@pytest.mark.parametrize("of", SCHEMAS)
def test_the_file_in_the_package_is_what_the_models_say_and_is_a_schema(of: str) -> None:
    text = FOLDER.joinpath(f"{of}.json").read_text(encoding="utf-8")
    assert text == schema_text(of), "python tests/promises.py"
    schema = json.loads(text)
    assert schema["$schema"] == DIALECT
    jsonschema.Draft202012Validator.check_schema(schema)


def test_no_file_lies_there_that_no_command_makes() -> None:
    assert {path.name for path in FOLDER.iterdir()} == {f"{of}.json" for of in SCHEMAS}


def test_every_situation_of_the_bank_is_as_the_schema_says() -> None:
    found = {
        code: wrong(SITUATION, plain(tomllib.loads((CASE_FOLDER / f"{code}.toml").read_text(encoding="utf-8"))["situation"]))
        for code in case_codes()
    }  # fmt: skip
    assert {code: said for code, said in found.items() if said} == {}
    assert len(found) > 300
    assert wrong(SITUATION, plain(DEMO)) == []


@pytest.mark.parametrize("code", sampled(["step-bermuda-june", *case_codes()[::10]], 1000, str))
def test_advice_in_both_forms_and_the_line_are_as_the_schemas_say(code: str) -> None:
    """One case in the fast run; every tenth case of the bank in the slow one."""
    consultation = adviser().consult(case_of(code).situation)
    advice = adviser().advice(consultation)
    for full in (False, True):
        told = json.loads(advice.as_json(full=full))
        assert wrong(ADVICE, told) == []
        assert wrong(ADVICE, told | {"no_such_key": 1}) != []
        assert wrong(ADVICE, {key: held for key, held in told.items() if key != "programme"}) != []


def test_lines_of_a_batch_are_as_the_schema_says() -> None:
    judge = line_judge()
    york = {"place": {"name": "York", "country": "gb"}, "field": {"bare_percent": 60}, "id": 7}
    told = [
        json.loads(judge(Record(n, json.dumps(table).encode())))
        for n, table in enumerate((york, {"field": {"x": 1}}), 1)
    ]
    assert [line["ok"] for line in told] == [True, False]
    for line in told:
        assert wrong(MANY, line) == []
        assert wrong(MANY, line | {"ok": not line["ok"]}) != []
        assert wrong(MANY, line | {"no_such_key": 1}) != []
        assert wrong(MANY, {key: held for key, held in line.items() if key != "line"}) != []


@pytest.mark.parametrize("code", [pytest.param(code, marks=BANK) for code in case_codes()[5::10]])
def test_lines_of_the_bank_are_as_the_schema_says(code: str) -> None:
    judge = line_judge()
    table = plain(tomllib.loads((CASE_FOLDER / f"{code}.toml").read_text(encoding="utf-8"))["situation"])
    line = json.loads(judge(Record(1, json.dumps(table).encode())))
    assert line["ok"]
    assert wrong(MANY, line) == []


# ---------- documents that are wrong ----------
WHOLE = plain(DEMO) | {
    "place": {"name": "York", "country": "gb", "monthly_mean_f": [50.0] * 12, "latitude": "don't know", "altitude_ft": 100},
    "use": [{"sport": "soccer", "months": [9, "oct"], "hours_per_week": 8}],
    "limits": {"water_days": ["mon"], "water_hours": [{"from": "18:00", "until": "10:00"}]},
    "now": {"soil_temp_f": 55, "rain_24h_in": 1},
    "done": [{"task": "mow", "date": "2026-07-01", "by": "volunteer"}],
    "check": [{"check": "tug", "date": "2026-07-01", "passed": True}],
    "seen": [{"sign": "washout", "date": "2026-07-01", "extent_percent": 30}],
    "ongoing": [{"zone": "middle", "method": "slit-seed", "grass": "perennial-ryegrass", "start": "2026-06-20"}],
}  # fmt: skip


def test_the_document_that_is_made_wrong_below_is_right() -> None:
    assert wrong(SITUATION, WHOLE) == []
    situation_from_dict(WHOLE)


def places(held: Any, path: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    """The path of every table and value."""
    yield path
    inner = held.items() if isinstance(held, dict) else enumerate(held) if isinstance(held, list) else ()
    for key, deep in inner:
        yield from places(deep, (*path, key))


def at(held: Any, path: tuple[Any, ...]) -> Any:
    for key in path:
        held = held[key]
    return held


TABLES = [path for path in places(WHOLE) if isinstance(at(WHOLE, path), dict)]
VALUES = [path for path in places(WHOLE) if path and not isinstance(at(WHOLE, path), (dict, list))]
NUMBERS = [path for path in VALUES if isinstance(at(WHOLE, path), (int, float)) and not isinstance(at(WHOLE, path), bool) and path[-2] != "months"]  # fmt: skip
DAYS = [path for path in VALUES if path[-1] in ("date", "start", "today", "play_by")]


@settings(max_examples=60, deadline=None)
@given(st.data())
def test_what_is_plainly_wrong_is_refused_by_schema_and_reader(data: st.DataObject) -> None:
    document = copy.deepcopy(WHOLE)
    kind = data.draw(
        st.sampled_from(
            [
                "unknown key",
                "a table for a value",
                "a value for a table",
                "out of range",
                "no date",
                "no word",
            ]
        )
    )
    if kind == "unknown key":
        table = at(document, data.draw(st.sampled_from(TABLES)))
        key = data.draw(
            st.text("abcdefghijklmnopqrstuvwxyz_", min_size=1, max_size=12).filter(
                lambda key: key not in known_keys()
            )
        )
        table[key] = 1
    elif kind == "a table for a value":
        path = data.draw(st.sampled_from(VALUES))
        at(document, path[:-1])[path[-1]] = data.draw(st.sampled_from([{}, {"a": 1}, [[1]], [{}]]))
    elif kind == "a value for a table":
        path = data.draw(st.sampled_from([path for path in TABLES if path]))
        at(document, path[:-1])[path[-1]] = data.draw(st.sampled_from([1, "text", True, 2.5]))
    elif kind == "out of range":
        path = data.draw(st.sampled_from(NUMBERS))
        at(document, path[:-1])[path[-1]] = data.draw(st.sampled_from([-1e9, 1e12]))
    elif kind == "no date":
        path = data.draw(st.sampled_from(DAYS))
        at(document, path[:-1])[path[-1]] = data.draw(
            st.sampled_from(["12/6/2026", "tomorrow", "2026-13-01", "2026-02-30", ""])
        )
    else:
        path = data.draw(
            st.sampled_from(
                [
                    ("done", 0, "by"),
                    ("limits", "water_days", 0),
                    ("use", 0, "months", 0),
                    ("zone", 0, "bare_pattern"),
                ]
            )
        )
        at(document, path[:-1])[path[-1]] = data.draw(st.sampled_from(["no such word", "zzz", 13, 0]))
    assert wrong(SITUATION, document) != [], (kind, document)
    assert not taken(document), (kind, document)


def known_keys() -> set[str]:
    return {
        key
        for table in (SITUATION.schema, *SITUATION.schema["$defs"].values())
        for key in table["properties"]
    }


LIMITED = [
    (name, key, next(each for each in row["anyOf"] if "maximum" in each))
    for name, table in SITUATION.schema["$defs"].items()
    for key, row in table["properties"].items()
    if any("maximum" in each for each in row.get("anyOf", ()))
]


@pytest.mark.parametrize(
    ("table", "key", "row"), LIMITED, ids=lambda held: held if isinstance(held, str) else ""
)
def test_the_limits_are_those_of_the_reader(table: str, key: str, row: dict[str, float]) -> None:
    """A number well past a limit is refused by both; one well inside is taken by both."""
    where = {
        "Place": "place", "Dates": "dates", "Site": "site", "Ground": "field", "Zone": "zone", "Use": "use", "Now": "now", "Means": "means",
        "Offer": "offer", "Proposal": "proposal", "Ongoing": "ongoing", "Done": "done", "Checked": "check", "Seen": "seen",
    }.get(table)  # fmt: skip
    if where is None:
        pytest.skip("a table inside another: held by the property above")
    needed = {
        "Zone": {"name": "a"}, "Offer": {"what": "seed"}, "Proposal": {"step": "sow"}, "Done": {"task": "mow", "date": "2026-05-01"},
        "Ongoing": {"method": "slit-seed", "grass": "tall-fescue", "start": "2026-05-01"}, "Checked": {"check": "tug", "date": "2026-05-01"},
        "Seen": {"sign": "washout", "date": "2026-05-01"},
    }.get(table, {})  # fmt: skip
    low, high = row["minimum"], row["maximum"]
    span = high - low
    for amount, good in (
        (low + span / 2, True),
        (high + span / 50 + 1e-3, False),
        (low - span / 50 - 1e-3, False),
    ):
        number = round(amount) if row["type"] == "integer" and good else amount
        one = {**needed, key: number}
        of_list = any(each.get("type") == "array" for each in SITUATION.schema["properties"][where]["anyOf"])
        document = {where: [one] if of_list else one}
        assert (wrong(SITUATION, document) == []) is good, (document, wrong(SITUATION, document))
        if not good:
            assert not taken(document), document


def test_a_record_is_as_its_schema_says() -> None:
    base = situation_from_dict(
        {"place": {"name": "York", "country": "gb"}, "dates": {"today": dt.date(2026, 7, 20)}}
    )
    good = '[[done]]\ntask = "mow"\ndate = 2026-07-01\n[[check]]\ncheck = "tug"\ndate = 2026-07-02\npassed = true\n'
    assert len(merged(base, good.encode(), "record").done) == 1
    assert wrong(RECORD, plain(tomllib.loads(good))) == []
    for bad in (
        good + "when = 3\n",
        good.replace("2026-07-01", '"soon"'),
        '[done]\ntask = "mow"\n',
        "[[seen]]\n",
    ):
        assert wrong(RECORD, plain(tomllib.loads(bad))) != []
        with pytest.raises(SituationError):
            merged(base, bad.encode(), "record")


# ---------- US keys ----------
@pytest.mark.parametrize(
    "key", ["lime_g_ft2", "lime_g_acre", "pests_per_acre", "pests_per_yd2", "water_salt_ds_ft"]
)
def test_a_ratio_has_no_twin_that_is_converted_the_wrong_way(key: str) -> None:
    table = "means" if key.startswith("water") else "field"
    with pytest.raises(SituationError, match=f"'{key}' is not a key here") as caught:
        situation_from_dict({table: {key: 5}})
    assert f"Write '{key}'" not in str(caught.value)


def test_every_us_key_of_the_schema_is_read_as_its_metric_one() -> None:
    from decide.model.situation import Ground

    found = {us_key: (key, us, metric) for us_key, key, us, metric in us_keys(Ground.model_fields)}
    known = SITUATION.schema["$defs"]["Ground"]["properties"]
    for us_key, (key, us, metric) in found.items():
        assert us_key in known
        inside = known[key]["anyOf"][0]["maximum"] / 2
        read = getattr(situation_from_dict({"field": {us_key: convert(inside, metric, us)}}).field, key)
        assert read == pytest.approx(inside, rel=1e-5)
    assert len(found) >= 8
