"""The tables, read back as a spreadsheet reads them: stable columns, numbers as numbers, and no cell that runs as a formula."""

from __future__ import annotations

import csv
import io

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from papers_samples import FULL, HOSTILE, PLAN, SHOPPING, renamed
from samples import FATE, RESTS_ON, WINDOW

from decide.report.csv_tables import SHOPPING_COLUMNS, TASK_COLUMNS, shopping_csv, tasks_csv


def rows(text: str) -> list[dict[str, str]]:
    """RFC 4180: comma, double quotes, CRLF; the mark at the front is the encoding's, not a cell's."""
    data = text.encode().decode("utf-8-sig")
    return list(csv.DictReader(io.StringIO(data, newline=""), strict=True))


def test_columns_stay_as_they_are() -> None:
    # Others read these by name; a new one goes to the end.
    assert (
        ",".join(TASK_COLUMNS)
        == "code,stage,zone,task,from,until,latest,order_by,every_days,who,hours_low,hours_high,amount,unit,tools,after,done,how,why_then,cautions,sources"
    )
    assert (
        ",".join(SHOPPING_COLUMNS)
        == "code,zone,item,amount,amount_low,unit,packs,pack,order_by,price_low,price_high,currency,prices_of,for_task,how,ask,cautions,sources"
    )
    for text, columns in ((tasks_csv(FULL), TASK_COLUMNS), (shopping_csv(FULL), SHOPPING_COLUMNS)):
        assert text.startswith("\ufeff" + ",".join(columns) + "\r\n")
        assert text.endswith("\r\n")


def test_dangers_of_today_then_loose_cautions_then_every_task() -> None:
    found = rows(tasks_csv(FULL))
    assert [row["stage"] for row in found[:3]] == ["date", "today", "today"]
    assert (found[0]["task"], found[0]["until"]) == (FATE.text, "2026-07-01")
    assert found[1]["cautions"] == "Shut the field today. Who decides: the owner of the ground."
    # By hand: of six cautions three stand with tasks but for the mower's, which does too; two are left.
    assert [row["code"] for row in found if row["stage"] == "take-care"] == ["loose-goals", "backflow"]
    assert [row["code"] for row in found[-len(PLAN) :]] == [row.code for row in PLAN]


def test_the_choices_stand_before_the_tasks_and_before_what_is_bought() -> None:
    # By hand: a choice, its trade and four lines of meanwhile; a choice, one line and a window; a part that is left alone.
    kinds = ["choice", "trade", *["meanwhile"] * 4, "choice", "meanwhile", "window", "choice"]
    found = [row for row in rows(tasks_csv(FULL)) if row["stage"] in set(kinds)]
    assert [row["stage"] for row in found] == kinds
    assert (
        found[0]["task"]
        == "Do this: Perennial ryegrass by thick-cut sod, from 1 June 2026 — sound if the following holds."
    )
    assert found[0]["how"] == " ".join(f"Only if: {condition}." for condition in RESTS_ON)
    assert (found[0]["from"], found[0]["latest"]) == ("2026-06-01", "2026-05-10")
    assert (found[8]["task"], found[8]["from"], found[8]["until"], found[8]["latest"]) == (
        WINDOW.text,
        "2027-04-10",
        "2027-05-02",
        "2027-04-20",
    )
    bought = rows(shopping_csv(FULL))
    assert bought[0]["item"] == FATE.text
    assert [row["item"] for row in bought[1:11]] == [row["task"] for row in found]
    assert bought[1]["how"] == found[0]["how"]
    assert len({row["code"] for row in bought}) == len(bought)


def test_a_task_s_cells() -> None:
    laid = next(row for row in rows(tasks_csv(FULL)) if row["code"] == "lay-sod/goalmouth")
    assert (laid["from"], laid["until"], laid["hours_low"], laid["hours_high"], laid["tools"]) == (
        "2026-06-01",
        "2026-06-02",
        "20.0",
        "34.0",
        "roller; spade",
    )
    assert (
        laid["cautions"]
        == "Lift rolls in pairs. Who decides: whoever is in charge of the work. Have pipes and cables marked. Then dig. Who decides: the line owners."
    )
    fed = next(row for row in rows(tasks_csv(FULL, "us")) if row["code"] == "feed/goalmouth")
    # NIST Handbook 44, appendix C: 1 lb is 0.45359237 kg, so 4.2 kg are 9.26 lb.
    assert (fed["amount"], fed["unit"], fed["done"]) == ("9.26", "lb of nitrogen", "2026-07-01")


def test_a_purchase_s_cells() -> None:
    found = rows(shopping_csv(FULL))
    assert [row["code"] for row in found[11:]] == [row.code for row in SHOPPING]
    found = found[11:]
    assert (
        found[0]["amount"],
        found[0]["amount_low"],
        found[0]["unit"],
        found[0]["packs"],
        found[0]["price_high"],
        found[0]["currency"],
    ) == ("132.5", "126.0", "m2", "3", "2390.0", "EUR")
    assert found[0]["cautions"] == "Lift rolls in pairs. Who decides: whoever is in charge of the work."
    # 1 ft is 0.3048 m: 132.5 m² are 1,426.22 ft².
    assert (rows(shopping_csv(FULL, "us"))[11]["amount"], rows(shopping_csv(FULL, "us"))[11]["unit"]) == (
        "1426.22",
        "ft2",
    )


def test_a_negative_number_stays_a_number_and_words_do_not() -> None:
    odd = FULL.model_copy(
        update={
            "shopping": [
                SHOPPING[0].model_copy(update={"amount": -1.5, "item": "-1.5", "ask": "+1", "pack": "@a"})
            ]
        }
    )
    found = rows(shopping_csv(odd))[-1]
    assert (found["amount"], found["item"], found["ask"], found["pack"]) == ("-1.5", "'-1.5", "'+1", "'@a")


def whole(name: str) -> None:
    advice = renamed(name)
    for text, columns, count in (
        (tasks_csv(advice), TASK_COLUMNS, 1 + 2 + 10 + 2 + len(PLAN)),
        (shopping_csv(advice), SHOPPING_COLUMNS, 1 + 10 + len(SHOPPING)),
    ):
        found = rows(text)
        assert len(found) == count
        for row in found:
            assert set(row) == set(columns)
            assert not any(
                cell is None or cell.lstrip(" ")[:1] in tuple("=+-@\t\r\n＝＋－＠")
                for cell in row.values()
                if cell
            )
            assert not any(letter in cell for cell in row.values() for letter in "\t\r\n\x00\x1b\u202e")


@pytest.mark.parametrize("name", HOSTILE)
def test_hostile_names_are_only_words(name: str) -> None:
    whole(name)


@settings(max_examples=60, deadline=None)
@given(name=st.text(max_size=60))
def test_any_name_keeps_the_tables_whole(name: str) -> None:
    whole(name)
