"""The tables, read back as a spreadsheet reads them: plain heads, numbers as numbers, and no cell that runs as a formula."""

from __future__ import annotations

import csv
import io
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from papers_samples import FULL, HOSTILE, MONEY, PLAN, SHOPPING, renamed
from samples import FATE, INSTEAD, MEANWHILE, RESTS_ON, WINDOW

from decide.model.planned import MoneyRow
from decide.model.row import Hours
from decide.report.csv_tables import shopping_csv, tasks_csv
from decide.report.sections.shopping import as_sold
from decide.report.telling import telling

TASK_HEAD = [
    "Date",
    "Until",
    "Begin at the latest",
    "What",
    "Where",
    "Who",
    "Hours",
    "Tools",
    "Done on",
    "How",
    "Take care, and who decides",
]
SHOPPING_HEAD = [
    "Thing",
    "Amount",
    "Unit",
    "Packs",
    "For",
    "Order by",
    "Price, if known",
    "Ask",
    "Take care, and who decides",
    "Worked out from",
]
RULER = "The label, local law and licensed people rule over this page."


def rows(text: str) -> list[dict[str, str]]:
    """RFC 4180: comma, double quotes, CRLF; the mark at the front is the encoding's, not a cell's."""
    data = text.encode().decode("utf-8-sig")
    return list(csv.DictReader(io.StringIO(data, newline=""), strict=True))


def test_heads_are_plain_words() -> None:
    for text, head in ((tasks_csv(FULL), TASK_HEAD), (shopping_csv(FULL), SHOPPING_HEAD)):
        assert list(rows(text)[0]) == head
        assert text.startswith("\ufeff")
        assert text.endswith("\r\n")


# ---------- tasks ----------
def test_everything_stands_on_its_day() -> None:
    # By hand: 1 May: two dangers, a sign, what does not fit, five lines of meanwhile, the other side of the trade, the marking; then the order, and so on.
    found = rows(tasks_csv(FULL))
    dated = [row for row in found if row["Date"]]
    assert [row["Date"] for row in dated] == sorted(row["Date"] for row in dated)
    assert [row["What"] for row in dated if row["Date"] == "2026-05-01"] == [
        *["Today, before anything else"] * 2, "Sod lifts", "Does not fit", "The other side of the trade", *["Meanwhile, this season"] * 5, "What to do", "Mark services",
    ]  # fmt: skip
    assert found[0]["How"] == "Shut the field today."
    assert found[0]["Take care, and who decides"] == "Who decides: the owner of the ground."
    assert [row["What"] for row in dated if row["Date"] > "2026-05-10"] == [
        "Lay sod",
        "Water",
        "Mow",
        "Open to play",
        "The date wanted",
        "Feed",
        "Next time for new grass",
    ]
    wanted = dated[-3]
    assert (wanted["Date"], wanted["How"]) == ("2026-07-01", FATE.text)
    window = dated[-1]
    assert (
        window["Date"],
        window["Until"],
        window["Begin at the latest"],
        window["Where"],
        window["How"],
    ) == ("2027-04-10", "2027-05-02", "2027-04-20", "middle", WINDOW.text)
    # By hand: today says the loose goal, tasks carry three, the mower's too; one is left.
    assert [(row["What"], row["Take care, and who decides"]) for row in found if not row["Date"]] == [
        (
            "Take care",
            "A sprinkler on the main needs a device against backflow. Who decides: the water company.",
        ),
        ("Remember", RULER),
    ]


def test_the_choices_stand_on_the_day_by_which_they_are_made() -> None:
    # By hand: the plan must begin by 10 May; the square is left alone, so that nothing is decided there.
    decide = [row for row in rows(tasks_csv(FULL)) if row["What"] == "Decide what to do"]
    assert [(row["Date"], row["Where"]) for row in decide] == [
        ("2026-05-10", "goalmouth"),
        ("2026-05-10", "middle"),
    ]
    left = next(row for row in rows(tasks_csv(FULL)) if row["What"] == "What to do")
    assert (left["Date"], left["Where"], left["How"]) == (
        "2026-05-01",
        "square [red]",
        "This part is left alone.",
    )
    assert decide[0]["How"] == (
        f"Do this: Perennial ryegrass by thick-cut sod, from 1 June 2026 — sound if the following holds. Decide by 10 May 2026. Only if: {'; '.join(RESTS_ON)}."
    )
    texts = [row["How"] for row in rows(tasks_csv(FULL))]
    for said in (INSTEAD, *MEANWHILE):
        assert said in texts


def test_a_task_s_cells() -> None:
    laid = next(row for row in rows(tasks_csv(FULL)) if row["What"] == "Lay sod")
    assert laid == {
        "Date": "2026-06-01", "Until": "2026-06-02", "Begin at the latest": "", "What": "Lay sod", "Where": "goalmouth", "Who": "Any of you", "Hours": "20 to 34",
        "Tools": "roller and spade", "Done on": "", "How": "How to lay sod.",
        "Take care, and who decides": "Lift rolls in pairs. Who decides: whoever is in charge of the work. Have pipes and cables marked. Then dig. Who decides: the line owners.",
    }  # fmt: skip
    marked = next(row for row in rows(tasks_csv(FULL)) if row["What"] == "Mark services")
    assert (marked["Begin at the latest"], marked["How"]) == (
        "2026-05-20",
        "How to mark services. Order or ask by 16 May 2026.",
    )
    mown = next(row for row in rows(tasks_csv(FULL)) if row["What"] == "Mow")
    assert mown["How"] == "How to mow. About every 7 days."
    fed = next(row for row in rows(tasks_csv(FULL, "us")) if row["What"] == "Feed")
    # NIST Handbook 44, appendix C: 1 lb is 0.45359237 kg, so 4.2 kg are 9.26 lb; two figures are told.
    assert (fed["How"], fed["Done on"]) == ("How to feed. 9.3 lb of nitrogen.", "2026-07-01")


def test_the_same_job_in_two_parts_is_one_row() -> None:
    elsewhere = PLAN[2].model_copy(update={"code": "lay-sod/middle", "zone": "middle"})
    both = FULL.model_copy(update={"plan": [*PLAN, elsewhere]})
    laid = [row for row in rows(tasks_csv(both)) if row["What"] == "Lay sod"]
    assert [(row["Where"], row["Hours"]) for row in laid] == [("goalmouth and middle", "40 to 68")]
    other = elsewhere.model_copy(update={"from_": "2026-06-02"})
    apart = [
        row
        for row in rows(tasks_csv(FULL.model_copy(update={"plan": [*PLAN, other]})))
        if row["What"] == "Lay sod"
    ]
    assert [row["Where"] for row in apart] == ["goalmouth", "middle"]


def test_hours_of_which_no_figure_is_worth_a_word() -> None:
    short = PLAN[2].model_copy(update={"hours": Hours(low=0.02, high=0.15)})
    laid = next(
        row for row in rows(tasks_csv(FULL.model_copy(update={"plan": [short]}))) if row["What"] == "Lay sod"
    )
    assert laid["Hours"] == "under half an hour"


# ---------- shopping ----------
def test_for_what_and_where_a_thing_is_bought() -> None:
    both = SHOPPING[1].model_copy(
        update={"code": "feed/goalmouth+middle", "zone": "", "for_task": "feed/goalmouth"}
    )
    other = SHOPPING[1].model_copy(
        update={"code": "rope/goalmouth+far-end", "zone": "", "for_task": "no-such/task"}
    )
    found = rows(shopping_csv(FULL.model_copy(update={"shopping": [both, other]})))
    assert [row["For"] for row in found[:2]] == ["Feed: goalmouth and middle", "the field"]


def test_a_purchase_s_cells() -> None:
    found = rows(shopping_csv(FULL))
    # What is ordered on a day stands before what is not.
    assert [row["Thing"] for row in found] == [
        *(row.item for row in SHOPPING),
        "Settle first, then pay",
        "Remember",
    ]
    assert found[0] == {
        # By hand: 132.5 m² are 133 whole ones.
        "Thing": "Thick-cut sod", "Amount": "133", "Unit": "m²", "Packs": "3 × pallet of 45 m²", "For": "Lay sod: goalmouth", "Order by": "2026-05-10",
        "Price, if known": "1,210 to 2,390 euros, prices of 2024", "Ask": "What soil did it grow on?",
        "Take care, and who decides": "Lift rolls in pairs. Who decides: whoever is in charge of the work.", "Worked out from": "120 m² and 5% to 10% to spare.",
    }  # fmt: skip
    assert found[-2]["Ask"].endswith(f"Only if: {'; '.join(RESTS_ON)}.")
    assert found[-1]["Take care, and who decides"] == RULER


def test_whom_to_ask_for_a_price_and_what_is_hired() -> None:
    hire = MoneyRow(
        what="hire of the roller",
        zone="",
        kind="hire",
        low=40,
        high=40,
        currency="EUR",
        year="told",
        how="the price that you were told, 2 days",
    )
    money = MONEY.model_copy(update={
        "unknown": ["Starter feed, goalmouth: no price is known. Ask a farm merchant."], "to_get": ["Soil for the hollow: measure it first."], "rows": [*MONEY.rows, hire],
    })  # fmt: skip
    found = {row["Thing"]: row for row in rows(shopping_csv(FULL.model_copy(update={"money": money})))}
    assert found["Starter feed"]["Price, if known"] == "No price is known. Ask a farm merchant."
    assert found["Soil for the hollow"]["Ask"] == "Measure it first."
    assert found["Hire of the roller"]["Price, if known"] == "about 40 euros"


def test_a_thing_for_a_stopgap_and_for_what_follows_it_names_its_part_once() -> None:
    row = SHOPPING[1].model_copy(update={"code": "feed/goalmouth+goalmouth/then", "zone": ""})
    found = rows(shopping_csv(FULL.model_copy(update={"shopping": [row]})))
    assert (found[0]["Thing"], found[0]["For"]) == ("Starter feed", "goalmouth")


@pytest.mark.parametrize(
    ("amount", "unit", "system", "sold"),
    [
        # By hand, each rounded up: tenths below one, halves below ten, whole ones to a hundred, three figures above.
        (0.49, "kg", "metric", (0.5, "kg")), (0.98, "kg", "metric", (1, "kg")), (8.859, "kg", "metric", (9, "kg")), (5.2, "kg", "metric", (5.5, "kg")), (10.16, "kg", "metric", (11, "kg")),
        (132.5, "m2", "metric", (133, "m²")), (1183.2, "m", "metric", (1190, "m")), (2, "each", "metric", (2, "")), (0.2, "each", "metric", (1, "")), (3, "kg", "metric", (3, "kg")),
        # 1 ft is 0.3048 m and 1 lb 0.45359237 kg: 1,426.2 ft² and 13.2 lb.
        (132.5, "m2", "us", (1430, "ft²")), (6, "kg", "us", (14, "lb")), (2, "each", "us", (2, "")),
    ],
)  # fmt: skip
def test_amounts_as_they_are_sold(amount: float, unit: str, system: Any, sold: tuple[float, str]) -> None:
    row = SHOPPING[0].model_copy(update={"amount": amount, "unit": unit})
    assert as_sold(telling(FULL, "full", system), row) == sold


@given(amount=st.floats(0.01, 1e6), unit=st.sampled_from(["kg", "m2", "m3", "l", "m", "each"]))
def test_never_less_is_asked_for_than_is_needed(amount: float, unit: str) -> None:
    row = SHOPPING[0].model_copy(update={"amount": amount, "unit": unit})
    sold, _ = as_sold(telling(FULL, "full", "metric"), row)
    assert amount * (1 - 1e-5) <= sold <= max(amount * 1.12, amount + 0.5 + 0.5 * (unit == "each"))


# ---------- cells ----------
def test_a_negative_number_stays_a_number_and_words_do_not() -> None:
    odd = FULL.model_copy(
        update={
            "shopping": [
                SHOPPING[0].model_copy(update={"amount": -2, "item": "-1.5", "ask": "+1", "how": "@a"})
            ]
        }
    )
    found = rows(shopping_csv(odd))[0]
    assert (found["Amount"], found["Thing"], found["Ask"], found["Worked out from"]) == (
        "-2",
        "'-1.5",
        "'+1",
        "'@a.",
    )


def whole(name: str) -> None:
    advice = renamed(name)
    # By hand: two dangers, a sign, a clash, the date, three choices, a trade, five lines of meanwhile, a window, the jobs, one loose caution, the last line.
    for text, head, count in (
        (tasks_csv(advice), TASK_HEAD, 2 + 1 + 1 + 1 + 3 + 1 + 5 + 1 + len(PLAN) + 1 + 1),
        (shopping_csv(advice), SHOPPING_HEAD, len(SHOPPING) + 2),
    ):
        found = rows(text)
        assert len(found) == count
        for row in found:
            assert list(row) == head
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
