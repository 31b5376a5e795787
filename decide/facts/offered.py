"""The facts of what sellers offer for new grass to come: when it comes, how thick it is, what it grew on."""

from __future__ import annotations

from typing import Final

from decide.facts.declare import Sheet
from decide.facts.new_grass import OFFERED, Here
from decide.measure import seed

ON_OFFER: Final = Sheet[Here]()
OFFERS: Final = ("offer",)


@ON_OFFER.fact("option.offer", keys=OFFERS, values=["thick-sod-least"], of=OFFERED)
def _offer(here: Here) -> str | None:
    if here.draft.start is None:
        return None
    return "not-told" if here.offered is None else "offered" if here.offered else "not-offered"


@ON_OFFER.fact(
    "option.offer-days-short",
    keys=[*OFFERS, "today"],
    values=["thick-sod-least"],
    of=[*OFFERED, "draft.start"],
)
def _offer_days(here: Here) -> float | None:
    offer, start = here.offer, here.draft.start
    if offer is None or offer.lead_days is None or start is None:
        return None
    return offer.lead_days - (start - here.filled.today).days


@ON_OFFER.fact("option.offer-thickness-mm", keys=OFFERS, values=["thick-sod-least"], of=OFFERED)
def _offer_thickness(here: Here) -> float | None:
    return None if here.offer is None else here.offer.thickness_mm


@ON_OFFER.fact(
    "option.offer-grown-on", keys=[*OFFERS, "offer.grown_on"], values=["thick-sod-least"], of=OFFERED
)
def _offer_grown_on(here: Here) -> str | None:
    return None if here.offer is None else here.offer.grown_on


@ON_OFFER.fact("option.offer-treated", keys=OFFERS, values=["thick-sod-least"], of=OFFERED)
def _offer_treated(here: Here) -> str | None:
    if here.offer is None or here.offer.treated is None:
        return None
    return "yes" if here.offer.treated else "no"


@ON_OFFER.fact("option.offer-pls", keys=OFFERS, values=["thick-sod-least"], of=OFFERED)
def _offer_pls(here: Here) -> float | None:
    offer = here.offer
    if offer is None or offer.purity is None or offer.germination is None:
        return None
    return 100 * seed.pure_live_seed(offer.purity / 100, offer.germination / 100)
