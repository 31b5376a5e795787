"""The plan and the shopping list as CSV tables (RFC 4180), for a spreadsheet."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence
from typing import Final

from decide.model.advice import Advice
from decide.model.planned import Purchase, Task
from decide.model.units import System, convert
from decide.model.words import printable
from decide.report.part_notes import part_notes
from decide.report.phrases import known, opening_sentence, sentence, system_of
from decide.report.words import say, word

# Without this mark spreadsheets take UTF-8 for an old code page and break every name with an accent.
BOM: Final = "\ufeff"
TASK_COLUMNS: Final = (
    "code",
    "stage",
    "zone",
    "task",
    "from",
    "until",
    "latest",
    "order_by",
    "every_days",
    "who",
    "hours_low",
    "hours_high",
    "amount",
    "unit",
    "tools",
    "after",
    "done",
    "how",
    "why_then",
    "cautions",
    "sources",
)
SHOPPING_COLUMNS: Final = (
    "code",
    "zone",
    "item",
    "amount",
    "amount_low",
    "unit",
    "packs",
    "pack",
    "order_by",
    "price_low",
    "price_high",
    "currency",
    "prices_of",
    "for_task",
    "how",
    "ask",
    "cautions",
    "sources",
)
_FORMULA: Final = frozenset("=+-@＝＋－＠")
_US: Final = {"kg": "lb", "m2": "ft2", "m3": "yd3", "l": "gal", "m": "ft"}

Cell = str | int | float | None


def tasks_csv(advice: Advice, system: System | None = None) -> str:
    """One row for each task; dates are ISO, numbers plain.

    Before them stand the fate of the date, the dangers of today, the choices and the cautions that no task
    carries.
    """
    today = known(advice, "dates.today")
    carried = {code for task in advice.plan for code in task.cautions}
    rows: list[dict[str, Cell]] = []
    if advice.fate is not None:
        rows.append({"code": "fate", "stage": "date", "task": advice.fate.text, "until": advice.fate.by})
    rows += [
        {
            "code": row.code,
            "stage": "today",
            "task": row.text,
            "from": today,
            "until": today,
            "cautions": f"{sentence(row.text)}{_who(row.who_decides)}",
        }
        for row in advice.today
    ]
    rows += [
        {
            "code": note.code,
            "stage": note.kind,
            "zone": note.zone,
            "task": note.text,
            "from": note.first,
            "until": note.last,
            "latest": note.decide_by,
            "how": " ".join(note.conditions()),
        }
        for note in part_notes(advice)
    ]
    rows += [
        {
            "code": row.code,
            "stage": "take-care",
            "task": opening_sentence(row.text),
            "cautions": _caution(advice, row.code),
            "sources": "; ".join(row.sources),
        }
        for row in advice.cautions
        if row.code not in carried
    ]
    rows += [_task(advice, task, system or system_of(advice)) for task in advice.plan]
    return _csv(TASK_COLUMNS, rows)


def shopping_csv(advice: Advice, system: System | None = None) -> str:
    """One row for each thing to buy, amounts in the reader's units.

    Before them stand the fate of the date and the choices that it is bought for.
    """
    rows: list[dict[str, Cell]] = []
    if advice.fate is not None:
        rows.append({"code": "fate", "item": advice.fate.text})
    rows += [
        {
            "code": note.code,
            "zone": note.zone,
            "item": note.text,
            "order_by": note.decide_by,
            "how": " ".join(note.conditions()),
        }
        for note in part_notes(advice)
    ]
    units = system or system_of(advice)
    return _csv(SHOPPING_COLUMNS, [*rows, *(_purchase(advice, row, units) for row in advice.shopping)])


def _task(advice: Advice, task: Task, system: System) -> dict[str, Cell]:
    amount, unit = _amount(task.amount, task.unit, system)
    return {
        "code": task.code,
        "stage": task.stage,
        "zone": task.zone,
        "task": task.task,
        "from": task.from_,
        "until": task.until,
        "latest": task.latest,
        "order_by": task.order_by,
        "every_days": task.every_days,
        "who": word("who", task.who),
        "hours_low": task.hours.low if task.hours else None,
        "hours_high": task.hours.high if task.hours else None,
        "amount": amount,
        "unit": unit,
        "tools": "; ".join(task.needs),
        "after": "; ".join(task.after),
        "done": task.done,
        "how": task.text,
        "why_then": task.why_then,
        "cautions": _cautions(advice, task.cautions),
        "sources": "; ".join(task.sources),
    }


def _purchase(advice: Advice, row: Purchase, system: System) -> dict[str, Cell]:
    cost = row.cost
    amount, unit = _amount(row.amount, row.unit, system)
    return {
        "code": row.code,
        "zone": row.zone,
        "item": row.item,
        "amount": amount,
        "amount_low": _amount(row.amount_low, row.unit, system)[0],
        "unit": unit,
        "packs": row.packs,
        "pack": row.pack,
        "order_by": row.order_by,
        "price_low": cost.low if cost else None,
        "price_high": cost.high if cost else None,
        "currency": cost.currency if cost else "",
        "prices_of": cost.year if cost else "",
        "for_task": row.for_task,
        "how": row.how,
        "ask": row.ask,
        "cautions": _cautions(advice, row.cautions),
        "sources": "; ".join(row.sources),
    }


def _amount(amount: float | None, unit: str, system: System) -> tuple[float | None, str]:
    """An amount and its unit as the reader's system has them.

    A unit with more words keeps them ("kg of nitrogen").
    """
    first, _, rest = unit.partition(" ")
    if amount is None or system == "metric" or first not in _US:
        return amount, unit
    return round(
        convert(amount, "litre" if first == "l" else first, _US[first]), 2
    ), f"{_US[first]} {rest}".strip()


def _cautions(advice: Advice, codes: Iterable[str]) -> str:
    return " ".join(_caution(advice, code) for code in codes)


def _caution(advice: Advice, code: str) -> str:
    row = next((row for row in advice.cautions if row.code == code), None)
    return sentence(code.replace("-", " ")) if row is None else f"{sentence(row.text)}{_who(row.who_decides)}"


def _who(who: str) -> str:
    return f" {say('who-decides', who=sentence(who))}" if who else ""


def _cell(value: Cell) -> Cell:
    """Numbers stay numbers.

    Words lose control characters, and a cell that a spreadsheet would run as a formula gets a ' before it.
    """
    if not isinstance(value, str):
        return value
    said = printable(value)
    return f"'{said}" if said.lstrip()[:1] in _FORMULA and said.strip() else said


def _csv(columns: Sequence[str], rows: Sequence[dict[str, Cell]]) -> str:
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(columns)
    for row in rows:
        writer.writerow([_cell(row.get(name)) for name in columns])
    return BOM + out.getvalue()
