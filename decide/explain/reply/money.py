"""Answers on money and buying: what it costs, what costs less, what is bought."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Final

from decide.answer.teller import lower_first
from decide.explain.found import find
from decide.explain.reply.about import About, Reply
from decide.explain.reply.work import amount
from decide.model import advice as out
from decide.model.planned import Compared, MoneyRow, Purchase, hours_to_do
from decide.model.units import convert
from decide.model.words import capital

_KINDS: Final = {
    "labour": "labour",
    "work": "labour",
    "water": "water",
    "hire": "hire",
    "contractor": "contractor",
}


# ---------- cost ----------
def cost(a: About) -> Reply:
    """What it costs as far as prices are known: in all, of one part, of one kind, of a way, of a failure."""
    of = a.slot("of").lower()
    if of in _COSTS_OF:
        return _COSTS_OF[of](a)
    if of in _KINDS:
        return _of_kind(a, _KINDS[of])
    if of and not find(a.c, of).nothing:
        return _of_way(a, of)
    return _in_all(a)


def _in_all(a: About) -> Reply:
    """All that has a price, what has none, and the hours of work."""
    money, zone = a.advice.money, a.named if a.many else None
    if money is None:
        return Reply((a.text("reply-no-cost"),), a.text("reply-quotes"))
    where = a.where(zone.zone) if zone is not None else ""
    totals = money.totals if zone is None else [row for row in money.rows if row.zone == zone.zone]
    said = [_enough(a, totals)] if a.slot("enough") else []
    if totals:
        rows = [
            a.text("reply-cost-row", what=_named(a, row, zone is not None), price=_price(a, row))
            for row in totals
        ]
        how = totals[0].how if zone is not None else _how(money.rows)
        said.append(a.text("reply-cost", where=where, rows="; ".join(rows)))
        said.append(a.text("reply-cost-dated", year=totals[0].year, how=how))
    else:
        said.append(a.text("reply-cost-unknown", where=where))
    if a.told("means.budget") is None:
        said.append(a.text("reply-no-budget"))
    said.append(_hours(a))
    if money.unknown:
        said.append(a.text("reply-cost-open", n=len(money.unknown), first=money.unknown[0]))
    return Reply(tuple(said), a.text("reply-quotes"), money)


def _how(rows: Iterable[MoneyRow]) -> str:
    return next((row.how for row in rows if row.low is not None), "")


def _named(a: About, row: MoneyRow, own: bool) -> str:
    return row.what if own else a.text(f"reply-kind-{row.kind}")


def _price(a: About, row: MoneyRow) -> str:
    return a.price(row.low or 0.0, row.high or 0.0, row.currency)


def _enough(a: About, totals: Sequence[MoneyRow]) -> str:
    """A sum that was named beside the known prices; it never says that it is enough while prices are open."""
    have = float(a.slot("enough"))
    known = [row for row in totals if row.low is not None and row.high is not None]
    if not known:
        return a.text("reply-enough-unknown")
    low, high = sum(row.low or 0.0 for row in known), sum(row.high or 0.0 for row in known)
    word = "reply-sum-over" if have >= high else "reply-sum-within" if have >= low else "reply-sum-under"
    return a.text(
        word,
        have=a.price(have, have, known[0].currency, exact=True),
        price=a.price(low, high, known[0].currency),
    )


def _hours(a: About) -> str:
    """The hours of work that are still to do."""
    hours = hours_to_do(a.advice.plan)
    return "" if hours is None else a.text("reply-work-in-all", n=round(hours.high, 1), hours=a.hours(hours))


def _of_failure(a: About) -> Reply:
    rows = a.advice.money.failure if a.advice.money is not None else []
    for answer in a.parts:
        for row in rows:
            if row.zone == answer.zone:
                return Reply((f"{a.where(row.zone)}{row.text}",), a.text("reply-quotes"))
    return Reply((a.text("reply-no-failure"),))


def _of_nothing(a: About) -> Reply:
    """What comes of leaving it: the cause goes on."""
    answer = a.parts[0]
    causes = [row for row in a.advice.causes if row.zone == answer.zone]
    said = [
        a.text("reply-cost-of-nothing", where=a.where(answer.zone)),
        *(row.bare_again_unless for row in causes[:2]),
    ]
    return Reply(tuple(said), a.caution([], "who-opens-and-closes"))


def _per_area(a: About) -> Reply:
    for answer in a.parts:
        option = a.option(answer)
        if option is None or option.cost is None or not answer.area_m2:
            continue
        unit = "ft2" if a.c.system == "us" else "m2"
        area = convert(answer.area_m2, "m2", unit)
        ends = [
            a.k.language.number(float(f"{end / area:.2g}")) for end in (option.cost.low, option.cost.high)
        ]
        price = a.text("money-range", low=ends[0], high=ends[1])
        said = a.text(
            "reply-per-area",
            where=a.where(answer.zone),
            price=price,
            currency=option.cost.currency,
            unit="ft²" if unit == "ft2" else "m²",
        )
        return Reply(
            (said, a.text("reply-cost-dated", year=option.cost.year, how=option.cost.how)),
            a.text("reply-quotes"),
        )
    return Reply((a.text("reply-no-area"),), a.text("reply-quotes"))


def _of_kind(a: About, kind: str) -> Reply:
    money = a.advice.money
    rows = [row for row in (money.rows if money is not None else []) if row.kind == kind]
    if rows:
        said = [a.text("reply-cost-row", what=capital(row.what), price=_price(a, row)) for row in rows]
        return Reply(
            (*(f"{text}." for text in said), a.text("reply-cost-dated", year=rows[0].year, how=rows[0].how)),
            a.text("reply-quotes"),
        )
    hours = _hours(a) if kind == "labour" else ""
    return Reply((*([hours] if hours else []), a.text(f"reply-no-price-{kind}")), a.text("reply-quotes"))


def _of_way(a: About, words: str) -> Reply:
    """What a way costs that is named, in the part that is meant."""
    for answer in a.parts:
        w = a.way(answer, words)
        option = a.advice.option(w.draft.code) if w is not None else None
        if option is None:
            continue
        said = [f"{a.where(answer.zone)}{option.title}: {a.k.language.verdict(option.verdict)}."]
        if option.cost is None:
            said.append(a.text("reply-way-no-cost"))
        else:
            said.insert(
                0,
                a.text(
                    "reply-way-cost",
                    where=a.where(answer.zone),
                    price=a.price(option.cost.low, option.cost.high, option.cost.currency),
                ),
            )
            said.append(a.text("reply-cost-dated", year=option.cost.year, how=option.cost.how))
        return Reply(tuple(said), a.text("reply-quotes"), option)
    return Reply((a.text("reply-no-way", way=words),))


_COSTS_OF: Final[Mapping[str, Callable[[About], Reply]]] = {
    "failure": _of_failure, "nothing": _of_nothing, "doing nothing": _of_nothing, "per area": _per_area,
}  # fmt: skip


# ---------- what costs less ----------
def cheaper(a: About) -> Reply:
    """What costs less than the choice, with its verdict; never a way that is ruled out."""
    for slot in ("with", "only"):
        if a.slot(slot) and not find(a.c, a.slot(slot)).nothing:
            return _of_way(a, a.slot(slot))
    without = find(a.c, a.slot("without")) if a.slot("without") else None
    money = a.advice.money
    for answer in a.parts:
        option = a.option(answer)
        rows = [row for row in (money.compared if money is not None else []) if row.zone == answer.zone]
        rows = [
            row for row in rows if row.low is not None and row.verdict not in ("ruled-out", "not-advised")
        ]
        own = next((row for row in rows if option is not None and row.option == option.code), None)
        other = [row for row in rows if option is None or row.option != option.code]
        if without is not None:
            other = [row for row in other if not _uses(a, row, without.methods)]
        elif own is not None:
            other = [row for row in other if (row.high or 0.0) < (own.high or 0.0)]
        most = a.slot("most")
        if most:
            other = [row for row in other if (row.low or 0.0) <= float(most)]
        if not other:
            continue
        lines = "\n".join(
            _compared(a, row) for row in sorted(other, key=lambda row: (row.high or 0.0, row.option))[:2]
        )
        head = a.text("reply-cheaper", where=a.where(answer.zone))
        now = [a.text("reply-cheaper-now", price=_compared_price(a, own))] if own is not None else []
        return Reply((head, lines, *now), a.text("reply-quotes"), other)
    answer = a.parts[0]
    none = a.text("reply-nothing-cheaper", where=a.where(answer.zone), choice=answer.text)
    saves = [a.text("reply-cheaper-saves")]
    return Reply((none, *saves), a.text("reply-quotes"))


def _uses(a: About, row: Compared, methods: Sequence[str]) -> bool:
    option = a.advice.option(row.option)
    return option is not None and option.method in methods


def _compared_price(a: About, row: Compared) -> str:
    return a.price(row.low or 0.0, row.high or 0.0, row.currency)


def _compared(a: About, row: Compared) -> str:
    option = a.advice.option(row.option)
    rests = option.rests_on if option is not None else []
    verdict = a.k.language.verdict(row.verdict)
    if row.verdict in ("sound", "advised") and rests:
        verdict = a.text("reply-if", verdict=verdict, what=rests[0])
    ready = a.text("reply-matches-by", day=a.day(row.full_play_late)) if row.full_play_late else ""
    return a.text(
        "reply-compared", title=row.title, price=_compared_price(a, row), verdict=verdict, ready=ready
    )


# ---------- what is bought ----------
def shopping_list(a: About) -> Reply:
    """What to buy or order, how much, and by when; one thing with its arithmetic where it is named."""
    rows = _once(a.advice.shopping, a.named)
    of = a.slot("of").lower().replace("-", " ")
    if of:
        found = [row for row in rows if of in row.item.lower() or of in row.supply.replace("-", " ")]
        if not found:
            return Reply((a.text("reply-not-on-list", what=of),))
        row = found[0]
        by = a.text("reply-by", day=a.day(row.order_by)) if row.order_by else ""
        return Reply((f"{_bought(a, row)}{by}.", row.how, row.ask), a.caution(row.cautions))
    if not rows:
        return Reply((a.text("reply-nothing-to-buy"),))
    by_day: dict[str, list[str]] = {}
    for row in sorted(rows, key=lambda row: row.order_by or "9"):
        held = by_day.setdefault(row.order_by or "", [])
        held.append(lower_first(_bought(a, row)) if held or row.order_by else _bought(a, row))
    lines = [
        f"- {a.text('reply-order-by', day=a.day(day)) if day else ''}{'; '.join(items)}."
        for day, items in by_day.items()
    ]
    return Reply((a.text("reply-buy"), "\n".join(lines)), a.text("reply-tag"), rows)


def _once(rows: Sequence[Purchase], zone: out.Answer | None) -> list[Purchase]:
    """What is bought, each thing once where several parts need the same one."""
    kept: dict[tuple[str, str], Purchase] = {}
    for row in rows:
        if zone is None or row.zone in (zone.zone, ""):
            kept.setdefault((row.supply, row.how), row)
    return list(kept.values())


def _bought(a: About, row: Purchase) -> str:
    said = a.text("reply-bought", item=row.item, amount=amount(a, row))
    if row.zone and a.many and row.unit != "each":
        said += a.text("reply-in", zone=row.zone)
    return said
