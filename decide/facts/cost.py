"""What an option costs: by the seller's price, else by dated prices of the place; and its cost in the money
of the budget.
"""

from __future__ import annotations

from typing import Final

from babel.numbers import get_territory_currencies

from decide.facts.draft import Draft, lead_grass, offers
from decide.facts.filled import Filled
from decide.facts.library import Library
from decide.knowledge.schema_care import LocalPrice
from decide.knowledge.tables import Statement
from decide.measure import seed
from decide.model.errors import DecideError
from decide.model.situation import Offer
from decide.model.units import convert

# Low, high, currency, year, and how it was found.
Priced = tuple[float, float, str, str, str]
# What a cost rests on; the values of local prices stand in their table.
COST_KEYS: Final = ("areas", "offer", "country", "means.currency")
COST_VALUES: Final = (
    "thick-sod-least", "seed-rate-new-low", "seed-rate-new-high", "cost-installed-low", "cost-installed-high",
    "cost-material-low", "cost-material-high", "cost-year", "price-seed-us-low", "price-seed-us-high",
    "price-old-years",
)  # fmt: skip


def budget_currency(filled: Filled) -> str | None:
    """The currency of the budget: told, else that of the country."""
    told = filled.situation.means.currency
    if told is not None or not filled.country:
        return told
    return next(iter(get_territory_currencies(filled.country.upper(), filled.today)), None)


def cost(filled: Filled, draft: Draft) -> Priced | None:
    """What it costs: by the seller's price, else by dated prices that are printed in the country of the
    place; reckoned once for all its starts.
    """
    key = "cost", *_priced_by(draft)
    if key not in filled.prices:
        filled.prices[key] = _cost(filled, draft)
    found: Priced | None = filled.prices[key]
    return found


def _priced_by(draft: Draft) -> tuple[str, ...]:
    """All of an option that its price hangs on."""
    return draft.zone, draft.method, draft.plant, draft.variant, draft.planted_as


def _cost(filled: Filled, draft: Draft) -> Priced | None:
    area = filled.areas.get(draft.zone)
    if area is None:
        return None
    return _offered(filled, draft, area) or _printed(filled, draft, area, _is_hired(filled))


def _is_hired(filled: Filled) -> bool:
    """Whether a contractor was told."""
    return filled.situation.means.contractor is True


def _offered(filled: Filled, draft: Draft, area: float) -> Priced | None:
    """The cost by the price of the first offer that has one."""
    told, money = filled.situation.offer or [], budget_currency(filled)
    for position in offers(filled, draft) or []:
        ends = _by_offer(filled, told[position], draft, area)
        if ends is not None and money is not None:
            return *ends, money, str(filled.today.year), filled.text("facts-price-offered")
    return None


def _printed(filled: Filled, draft: Draft, area: float, hired: bool) -> Priced | None:
    """The cost by dated prices that are printed in the country of the place, done by a contractor or not."""
    if filled.country == "us":
        return _us_printed(filled, draft, area, hired)
    each = local_price(filled, draft, hired)
    return None if each is None else (each[0] * area, each[1] * area, *each[2:])


def _local(filled: Filled, draft: Draft, contractor: bool) -> LocalPrice | None:
    """What is known of local prices of a method, done by a contractor or not; of its plain variant alone."""
    rows = filled.library.knowledge.local_prices.values() if draft.variant == "plain" else ()
    return next((row for row in rows if (row.method, row.contractor) == (draft.method, contractor)), None)


def local_rows(filled: Filled, draft: Draft, contractor: bool) -> tuple[Statement, Statement] | None:
    """The low and the high price of a square metre in a country outside the United States.

    Only where both are printed with their year and in one money.
    """
    row = _local(filled, draft, contractor)
    if row is None:
        return None
    low, high = (filled.library.statement(value, filled.country) for value in (row.low, row.high))
    if low is None or high is None or low.currency != high.currency:
        return None
    return (low, high) if low.published_price and high.published_price else None


def local_price(filled: Filled, draft: Draft, contractor: bool) -> Priced | None:
    """The price of a square metre outside the United States, with its place, money and year."""
    row, rows = _local(filled, draft, contractor), local_rows(filled, draft, contractor)
    if row is None or rows is None:
        return None
    low, high = rows
    years, places = sorted({low.year, high.year}), dict.fromkeys((low.place, high.place))
    how = filled.text("facts-price-local", what=row.of, places=" and ".join(places))
    year = "-".join(years)
    return low.amount, high.amount, low.currency, year, filled.with_age(how, year)


def budget_ends(filled: Filled, draft: Draft, budget: float, own_hands: bool) -> tuple[float, float] | None:
    """The ends of a cost in the money of the budget; None where they are not known, or where an answer that
    is missing could take them over the budget.

    A contractor is one way more: where the work can be done with `own_hands` too, the low end is what is
    bought for it. Where nobody told of a contractor and own hands cannot do it for sure, it may cost what one
    asks; and an area that is only the usual one may be larger.
    """
    told = filled.situation.means.contractor
    own, hired = (_in_budget_money(filled, draft, by) for by in (False, True))
    ends = hired if told else own
    if ends is None:
        return None
    low, high = ends
    if told and own_hands and own is not None:
        low = min(low, own[0])
    least = low
    if told is None and not own_hands and hired is not None:
        least, high = max(low, hired[0]), max(high, hired[1])
    open_ = least > budget or draft.zone in filled.assumed_areas
    return None if open_ and low <= budget else (low, high)


def _in_budget_money(filled: Filled, draft: Draft, hired: bool) -> tuple[float, float] | None:
    """The ends of a cost in the money of the budget, by dated rates of exchange: to judge its size, never to
    be shown; reckoned once for all starts of an option.

    Where no price of the place is known, those of the United States stand in for it.
    """
    key = "hired" if hired else "own", *_priced_by(draft)
    if key not in filled.prices:
        filled.prices[key] = _exchanged(filled, draft, hired)
    found: tuple[float, float] | None = filled.prices[key]
    return found


def _exchanged(filled: Filled, draft: Draft, hired: bool) -> tuple[float, float] | None:
    area, mine = filled.areas.get(draft.zone), budget_currency(filled)
    if area is None or mine is None:
        return None
    offered = _offered(filled, draft, area)
    priced = offered or _printed(filled, draft, area, hired) or _us_cost(filled, draft, area, hired)
    if priced is None:
        return None
    spare = _spare(filled, draft, hired and offered is None)
    priced = priced[0] * spare[0], priced[1] * spare[1], *priced[2:]
    if mine == priced[2]:
        # Prices of laying are those of gardens; a field cannot cost less than the sod alone.
        gardens = offered is None and filled.country != "us"
        alone = local_price(filled, draft, False) if gardens else None
        bought = _spare(filled, draft, False)[0] * area
        low = priced[0] if alone is None or alone[2] != mine else min(priced[0], alone[0] * bought)
        return low, priced[1]
    here, there = (filled.library.number("currency-per-dollar", code.lower()) for code in (mine, priced[2]))
    return None if here is None or there is None else (priced[0] * here / there, priced[1] * here / there)


def _spare(filled: Filled, draft: Draft, hired: bool) -> tuple[float, float]:
    """What is bought for each part of the area, low and high: of sod more is ordered than is laid; who lays
    it for a price has that in it.
    """
    library = filled.library
    if library.knowledge.methods[draft.method].made_from != "sod" or _by_contractor(
        filled, draft.method, hired
    ):
        return 1.0, 1.0
    ends = (library.number(f"sod-spare-{end}") for end in ("low", "high"))
    low, high = (1 + (0.0 if end is None else end) / 100 for end in ends)
    return low, high


def _us_printed(filled: Filled, draft: Draft, area: float, hired: bool) -> Priced | None:
    """The cost by prices that are printed with their year in the United States: of seed by its grass, else of
    the method.
    """
    method, contractor = draft.method, _by_contractor(filled, draft.method, hired)
    if filled.library.knowledge.methods[method].made_from == "seed" and not contractor:
        return _us_seed(filled, draft, area)
    kind = "installed" if contractor else "material"
    ends = [filled.library.statement(f"cost-{kind}-{end}", method) for end in ("low", "high")]
    if not all(end is not None and end.published_price for end in ends):
        return None
    return _us_cost(filled, draft, area, hired)


def _us_seed(filled: Filled, draft: Draft, area: float) -> Priced | None:
    """The cost of the seed by the printed prices of each of its grasses and the rates of new turf."""
    ends = ("low", "high")
    rates = [filled.library.number(f"seed-rate-new-{end}", draft.plant) for end in ends]
    prices = [price_of_plant(filled.library, f"price-seed-us-{end}", draft.plant) for end in ends]
    found: list[float] = []
    stated: list[Statement] = []
    for rate, parts in zip(rates, prices, strict=True):
        if rate is None or parts is None:
            return None
        stated += [row for _, row in parts]
        found.append(seed.seed_kg(rate, area) * sum(share * row.amount for share, row in parts))
    year = "-".join(sorted({row.year for row in stated}))
    how = filled.text("facts-price-material", known=filled.text("facts-price-published"))
    return min(found), max(found), "USD", year, filled.with_age(how, year)


def price_of_plant(library: Library, value: str, plant: str) -> list[tuple[float, Statement]] | None:
    """The printed prices of a plant, each with its share of the whole: a mixture is priced by its grasses;
    None where one of them has no price with its year.
    """
    shares = [(plant, 100.0)]
    mixture = library.knowledge.mixtures.get(plant)
    if mixture is not None:
        shares = [(part.grass, library.number(part.share) or 0.0) for part in mixture.parts]
    total = sum(share for _, share in shares)
    rows = [(share / total, library.statement(value, grass)) for grass, share in shares]
    found = [(share, row) for share, row in rows if row is not None and row.published_price]
    return found if len(found) == len(rows) else None


def _by_contractor(filled: Filled, method: str, hired: bool) -> bool:
    """Whether a contractor does the work: `hired`, or because it can be done in no other way."""
    library = filled.library
    return hired or (
        library.knowledge.methods[method].by_hand == "no"
        and library.number("cost-material-low", method) is None
    )


def _us_cost(filled: Filled, draft: Draft, area: float, hired: bool) -> Priced | None:
    """The cost by prices of the United States."""
    number, method = filled.library.number, draft.method
    by_contractor = _by_contractor(filled, method, hired)
    kind = "installed" if by_contractor else "material"
    low, high = number(f"cost-{kind}-low", method), number(f"cost-{kind}-high", method)
    year = number("cost-year", method)
    if low is None or high is None or year is None:
        return None
    ends = [filled.library.statement(f"cost-{kind}-{end}", method) for end in ("low", "high")]
    printed = all(end is not None and end.published_price for end in ends)
    known = filled.text("facts-price-published") if printed else filled.text("facts-price-estimated")
    if by_contractor:
        how = filled.text("facts-price-contractor", known=known)
    else:
        how = filled.text("facts-price-material", known=known)
    return low * area, high * area, "USD", f"{year:.0f}", filled.with_age(how, f"{year:.0f}")


def _by_offer(filled: Filled, offer: Offer, draft: Draft, area: float) -> tuple[float, float] | None:
    """Both ends of the cost by the price of an offer; None where it cannot be reckoned."""
    if offer.price is None or offer.unit is None:
        return None
    unit = offer.unit.replace("square-metre", "m2").replace("square-foot", "ft2")
    try:
        if offer.what == "sod":
            price = offer.price / convert(1, unit, "m2") * area
            return price, price
        if offer.what == "seed":
            lead = lead_grass(filled.library.knowledge, draft.plant)
            low, high = (filled.library.number(f"seed-rate-new-{end}", lead) for end in ("low", "high"))
            if low is None or high is None:
                return None
            each = offer.price / convert(1, unit, "kg")
            return each * seed.seed_kg(low, area), each * seed.seed_kg(high, area)
    except DecideError:
        return None
    return None
