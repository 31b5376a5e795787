"""What to buy and the money that is known: a line for each thing, and at greater depth its arithmetic."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Final

from decide.model.planned import Compared, MoneyRow, Purchase
from decide.model.row import Cost
from decide.model.units import convert
from decide.report.blocks import Line, Span, Table, cell, line
from decide.report.choices import short_verdict
from decide.report.phrases import day_of, hours_of, price, sentence
from decide.report.sections.cautions import beside
from decide.report.telling import Telling
from decide.report.words import language, say, word

THINGS_SHOWN: Final = 6
# The units of a purchase that are called otherwise where they are reckoned.
_UNITS: Final = {"l": "litre", "each": "count"}
_SOLD_IN_US: Final = {"kg": "lb", "m2": "ft2", "m3": "yd3", "l": "gal", "m": "ft"}
_SIGNS: Final = {"m2": "m²", "m3": "m³", "ft2": "ft²", "yd3": "yd³", "each": ""}
_HALVES_BELOW: Final = 10


def shopping(t: Telling) -> Iterator[Line | Table]:
    """What to buy, with the money."""
    rows = t.advice.shopping
    for row in rows[: THINGS_SHOWN if t.short else None]:
        yield line(Span(row.item, "strong"), f": {bought(t, row)}", mark="-")
        if not t.short:
            yield line(sentence(row.how), depth=1)
            if row.cost is not None:
                yield line(price_words(row.cost), depth=1)
            if row.ask:
                yield line(Span(f"{say('ask')}: ", "strong"), sentence(row.ask), depth=1)
            yield from beside(t, row.cautions)
    if t.short and len(rows) > THINGS_SHOWN:
        yield line(say("and-more-things", more=len(rows) - THINGS_SHOWN), mark="-")
    if rows or not t.short:
        yield from money(t)


def price_words(cost: Cost) -> str:
    """What a thing costs, how that is known, and of which year it is."""
    return say("price", price=price(cost.low, cost.high, cost.currency), how=cost.how, year=cost.year)


def amount(t: Telling, row: Purchase) -> str:
    """How much of a thing is bought, in whole packs where the seller's are known."""
    said = language().exactly(row.amount, _UNITS.get(row.unit, row.unit), t.system, row.amount_low)
    return f"{said}, {language().number(row.packs)} × {row.pack}" if row.packs else said


def as_sold(t: Telling, row: Purchase) -> tuple[float, str]:
    """How much of a thing is asked for in a shop, with its unit: never less than is needed.

    Rounded up to whole units, to halves below ten and to tenths below one; above a hundred to three figures.
    """
    amount, unit = row.amount, row.unit
    if t.system == "us" and unit in _SOLD_IN_US:
        amount, unit = convert(amount, _UNITS.get(unit, unit), _SOLD_IN_US[unit]), _SOLD_IN_US[unit]
    step = 0.1 if amount < 1 else 0.5 if amount < _HALVES_BELOW else max(1, 10 ** (len(str(int(amount))) - 3))
    if row.unit == "each":
        step = 1
    # What is whole but for a rounding error of the reckoning stays as it is.
    found = math.ceil(round(amount / step, 6)) * step
    return (int(found) if found == int(found) else round(found, 1)), _SIGNS.get(unit, unit)


def bought(t: Telling, row: Purchase) -> str:
    """How much of a thing is bought, for which part, and by when it is ordered."""
    said = amount(t, row)
    if row.zone and t.many:
        said = say("bought-for", amount=said, zone=row.zone)
    return say("bought-by", bought=said, day=day_of(row.order_by)) if row.order_by else f"{said}."


def money(t: Telling) -> Iterator[Line | Table]:
    """Totals by kind.

    At greater depth every row, what has no price, and options side by side; and what failure would cost.
    """
    sums = t.advice.money
    if sums is None:
        return
    if sums.totals:
        totals = "; ".join(
            say(
                "total",
                kind=word("kind", row.kind),
                price=price(row.low, row.high, row.currency),
                year=row.year,
            )
            for row in sums.totals
        )
        yield line(Span(f"{say('known-so-far')}: ", "strong"), say("ask-for-quotes", totals=totals))
    if t.short:
        if sums.unknown:
            yield line(say("no-price-yet", n=len(sums.unknown)))
    else:
        yield from (_money_row(t, row) for row in sums.rows)
        if sums.unknown:
            yield line(Span(f"{say('without-price')}:", "strong"))
        yield from (line(sentence(text), depth=1, mark="-") for text in sums.unknown)
        yield from _side_by_side(t, sums.compared)
    dearest = sorted(sums.failure, key=lambda failed: -(failed.high or 0.0))[:1]
    for failed in dearest if t.short else sums.failure:
        where = t.where([failed.zone])
        yield line(Span(f"{say('if-it-fails')}: ", "warn"), *where, sentence(failed.text))


def _money_row(t: Telling, row: MoneyRow) -> Line:
    said = say(
        "money-row",
        what=row.what + (f", {row.zone}" if row.zone and t.many else ""),
        price=price(row.low, row.high, row.currency),
        kind=word("kind", row.kind),
        how=row.how,
        year=row.year,
    )
    return line(said, depth=1, mark="-")


def _side_by_side(t: Telling, compared: Sequence[Compared]) -> Iterator[Line | Table]:
    if not compared:
        return
    yield line(Span(f"{say('other-ways')}:", "strong"))
    rows = []
    for row in compared:
        option = t.advice.option(row.option)
        name = row.title + (f", {row.zone}" if t.many else "")
        said = (
            short_verdict(row.verdict, option.rests_on if option is not None else ()),
            price(row.low, row.high, row.currency),
            say("not-known") if row.hours is None else hours_of(row.hours),
            day_of(row.full_play_late) if row.full_play_late else say("not-known"),
        )
        rows.append((cell(Span(name, "strong")), *map(cell, said)))
    head = (say("way"), say("verdict"), say("money"), say("hours-of-work"), say("full-play-latest"))
    yield Table(head, tuple(rows))
