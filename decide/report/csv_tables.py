"""The tasks and the shopping list as CSV tables (RFC 4180), laid out as a person would lay them out."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Iterator, Sequence
from typing import Final

from decide.model.advice import Advice
from decide.model.planned import Purchase
from decide.model.units import System
from decide.model.words import CHANGED, capital, printable
from decide.report.choices import decide_day, put_off_words
from decide.report.part_notes import PartNote, part_notes
from decide.report.phrases import hours_of, price, sentence
from decide.report.same_work import hours_told, how_words, same_work
from decide.report.sections.shopping import as_sold
from decide.report.telling import Telling, telling
from decide.report.words import language, say, word

# Without this mark spreadsheets take UTF-8 for an old code page and break every name with an accent.
BOM: Final = "\ufeff"
_FORMULA: Final = frozenset("=+-@＝＋－＠")

Cell = str | float | None
Row = Sequence[Cell]


def tasks_csv(advice: Advice, system: System | None = None) -> str:
    """One row for each job, by its date: what, where, who, hours, tools, and a place to write when it was
    done.

    What cannot wait, the choices, what is done meanwhile and the cautions that no job carries stand among
    them. Dates are ISO, so that a spreadsheet sorts them.
    """
    head = (
        say("date"), say("until"), say("at-the-latest"), say("what"), say("where"), say("who-does-it"),
        say("hours-head"), say("tools-head"), say("done-head"), say("how"), say("take-care-and-who"),
    )  # fmt: skip
    t = telling(advice, "full", system)
    rows = sorted([*_before(t), *_work(t)], key=lambda row: str(row[0]))
    return _csv(head, [*rows, *_loose_cautions(t)])


def shopping_csv(advice: Advice, system: System | None = None) -> str:
    """One row for each thing to buy, in the order in which it is ordered: amounts in the reader's units,
    rounded up as things are sold.

    After them stand what else has to be had, and what is settled before anything is paid.
    """
    head = (
        say("thing"), say("amount"), say("unit"), say("packs"), say("for-what"), say("order-by"),
        say("price-if-known"), say("ask"), say("take-care-and-who"), say("worked-out-from"),
    )  # fmt: skip
    t = telling(advice, "full", system)
    rows = sorted(advice.shopping, key=lambda row: row.order_by or "9999")
    bought = [_purchase(t, row) for row in rows]
    return _csv(head, [*_changed(t), *bought, *_also(t), *_first_settle(t)])


# ---------- tasks ----------
def _before(t: Telling) -> Iterator[Row]:
    """What is no job of the plan: dangers, signs, what does not fit, the date, the choices, the meantime."""
    a, today = t.advice, t.today.isoformat() if t.today else ""
    for row in a.today:
        yield _told(today, say("today-title"), "", sentence(row.text), _who(row.who_decides))
    for seen in a.signs_seen:
        yield _told(today, seen.sign, seen.zone, f"{say('do-today')}: {sentence(seen.do)}")
    for clash in a.clashes:
        yield _told(today, say("does-not-fit"), clash.zone, sentence(clash.text))
    if a.fate is not None:
        yield _told(a.fate.by, say("date-wanted"), "", a.fate.text)
    for note in part_notes(a):
        yield _noted(today, note, decide_day(a) or today)


def _noted(today: str, note: PartNote, by: str) -> Row:
    """What is said of some parts, on the day on which it counts."""
    where = language().listed(note.zones)
    if note.kind == "window":
        days = (note.first or "", note.last, note.decide_by)
        return (*days, say("event-window"), where, "", "", "", "", note.text, "")
    if note.kind == "meanwhile":
        return _told(today, note.label, where, note.text)
    if note.kind == "trade":
        return _told(today, say("other-side"), where, note.text)
    if note.label:
        return _told(today, note.label, where, note.text)
    off = put_off_words(note.first, note.decide_by)
    how = " ".join([note.text, *([off] if off else []), *note.conditions()])
    return (by, None, by, say("event-decide"), where, "", "", "", "", how, "")


def _told(day: str, what: str, where: str, how: str, care: str = "") -> Row:
    return (day, None, None, what, where, "", "", "", "", how, care)


def _work(t: Telling) -> Iterator[Row]:
    for work in same_work(t.advice.plan):
        task = work.task
        yield (
            task.from_,
            task.until if task.until != task.from_ else None,
            task.latest,
            task.task,
            language().listed(work.zones) or say("the-field"),
            capital(word("who", task.who)) if task.who else "",
            hours_told(work, hours_of),
            language().listed([language().named("tool", tool) for tool in work.tools]),
            task.done,
            how_words(t, work),
            _cautions(t, work.cautions),
        )


def _loose_cautions(t: Telling) -> Iterator[Row]:
    """The cautions that no job carries, and what rules over the list."""
    carried = {code for task in t.advice.plan for code in task.cautions} | {
        row.code for row in t.advice.today
    }
    loose = [code for code in t.cautions if code not in carried]
    for code in loose:
        yield _told("", say("take-care"), "", "", _cautions(t, [code]))
    yield _told("", say("remember"), "", "", say("ruler"))


# ---------- shopping ----------
def _purchase(t: Telling, row: Purchase) -> tuple[Cell, ...]:
    amount, unit = as_sold(t, row)
    cost = row.cost
    known = "" if cost is None else say(
        "price-of-year", price=price(cost.low, cost.high, cost.currency), year=cost.year
    )  # fmt: skip
    return (
        row.item,
        amount,
        unit,
        f"{row.packs} × {row.pack}" if row.packs else row.pack,
        _for_what(t, row),
        row.order_by,
        known or _no_price(t, row),
        row.ask,
        _cautions(t, row.cautions),
        sentence(row.how),
    )


def _for_what(t: Telling, row: Purchase) -> str:
    """The job that a thing is bought for, and the parts."""
    jobs = row.code.partition("/")[2].split("+")
    zones = list(dict.fromkeys(_part(t.advice, code.partition("/")[0]) for code in jobs))
    where = row.zone or (language().listed(zones) if all(zones) else "") or say("the-field")
    job = next((task.task for task in t.advice.plan if task.code == row.for_task), "")
    return f"{job}: {where}" if job else where


def _part(advice: Advice, code: str) -> str:
    """The name of the part of a code, as its options tell it; "" where it has none."""
    first = next((each for each in advice.option_codes if each.partition("/")[0] == code), None)
    option = advice.option(first)
    return "" if option is None else option.zone


def _no_price(t: Telling, row: Purchase) -> str:
    """What is said of a thing that has no price: whom to ask."""
    names = (row.item, f"{row.item}, {row.zone}")
    texts = t.advice.money.unknown if t.advice.money is not None else []
    return next((capital(text.partition(": ")[2]) for text in texts if text.partition(": ")[0] in names), "")


def _changed(t: Telling) -> Iterator[Row]:
    """That the advice rests on changed knowledge, which is no thing to buy and stands in every paper."""
    if CHANGED in t.cautions:
        yield (say("take-care"), None, "", "", "", None, "", "", _caution(t, CHANGED), "")


def _also(t: Telling) -> Iterator[Row]:
    """What is hired, and what is measured before its amount is known."""
    sums = t.advice.money
    for hired in [row for row in sums.rows if row.kind == "hire"] if sums else []:
        known = price(hired.low, hired.high, hired.currency)
        yield (capital(hired.what), None, "", "", hired.zone, None, known, sentence(hired.how), "", "")
    for text in (*sums.to_measure, *sums.to_get) if sums else ():
        what, _, said = text.partition(": ")
        yield (what, None, "", "", "", None, "", capital(said), "", "")


def _first_settle(t: Telling) -> Iterator[Row]:
    """What each choice rests on, so that nothing is paid for before it is settled; and what rules."""
    for note in part_notes(t.advice):
        if note.kind == "choice" and note.rests_on:
            said = " ".join([note.text, *note.conditions()])
            yield (say("settle-first"), None, "", "", language().listed(note.zones), None, "", said, "", "")
    yield (say("remember"), None, "", "", "", None, "", "", say("ruler"), "")


# ---------- cells ----------
def _cautions(t: Telling, codes: Iterable[str]) -> str:
    return " ".join(_caution(t, code) for code in codes)


def _caution(t: Telling, code: str) -> str:
    row = t.cautions.get(code)
    if row is None:
        return sentence(code.replace("-", " "))
    return " ".join(filter(None, (sentence(row.text), _who(row.who_decides))))


def _who(who: str) -> str:
    return say("who-decides", who=sentence(who)) if who else ""


def _cell(value: Cell) -> Cell:
    """Numbers stay numbers.

    Words lose control characters, and a cell that a spreadsheet would run as a formula gets a ' before it.
    """
    if not isinstance(value, str):
        return value
    said = printable(value)
    return f"'{said}" if said.lstrip()[:1] in _FORMULA and said.strip() else said


def _csv(head: Row, rows: Iterable[Row]) -> str:
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    for row in (head, *rows):
        writer.writerow([_cell(cell) for cell in row])
    return BOM + out.getvalue()
