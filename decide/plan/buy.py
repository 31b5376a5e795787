"""Choice → what to buy, with the arithmetic shown, and the money that is known: prices told or dated, work, hire, and what failure would cost."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Final, Literal

from decide.decision.consultation import Consultation
from decide.decision.rank import USABLE, Weighed
from decide.facts.draft import OFFERED_PLANTS, offers
from decide.knowledge.schema_care import Price, Supply
from decide.knowledge.tables import Statement
from decide.measure import area, dates, seed
from decide.measure.windows import OPEN_QUALITIES
from decide.model import advice as out
from decide.model.errors import DecideError
from decide.model.situation import Offer
from decide.model.units import convert, is_unit
from decide.model.wording import day, exactly, number, show
from decide.model.words import capital
from decide.model.written import coded
from decide.plan.jobs import Job as Part
from decide.plan.jobs import read_value as amount

NUTRIENTS: Final = ("nitrogen", "phosphate", "potash")
NITROGEN: Final = "kg of nitrogen"
# What the rows of the shopping list are counted in, as the table of units names them.
_UNITS: Final[Mapping[str, str]] = {
    "kg": "kg",
    "m2": "m2",
    "m3": "m3",
    "l": "litre",
    "m": "m",
    "each": "count",
}
_SOLD_BY: Final[Mapping[str, str]] = {
    "square-metre": "m2", "square-foot": "ft2", "square-yard": "yd2", "l": "litre", "bushel": "bu", "plug": "count", "piece": "count", "each": "count",
}  # fmt: skip
_SOLD_IN_LOTS: Final[Mapping[str, float]] = {"1000-ft2": 1000, "1000ft2": 1000}
# Work that a firm, a laboratory or a service does is not paid by the hour of one's own hands.
_OWN_HANDS: Final = ("volunteer", "owner")
_KINDS: Final[tuple[Literal["material", "hire", "labour", "contractor", "water"], ...]] = (
    "material",
    "hire",
    "labour",
    "contractor",
    "water",
)


@dataclass(frozen=True)
class _Amount:
    """How much of one supply one part wants, low and high, and the sentences that show the arithmetic."""

    low: float
    high: float
    unit: str
    said: str
    after: tuple[str, ...] = ()
    used: tuple[str, ...] = ()


@dataclass(frozen=True)
class _Lot:
    """One supply for one part: its amount, the offer that it is bought by, the tasks that use it."""

    key: str
    supply: Supply
    part: Part
    offer: Offer | None
    amount: _Amount
    tasks: tuple[out.Task, ...]
    item: str


@dataclass
class _Known:
    """A cost, and where it is from."""

    cost: out.Cost
    sources: list[str] = field(default_factory=list)


def make_shopping(
    consultation: Consultation, options: Sequence[Weighed], tasks: Sequence[out.Task]
) -> list[out.Purchase]:
    """What to buy for the options that are chosen, in the order of the knowledge. `tasks` is their plan, or nothing. Pure."""
    return _Buyer(consultation, tasks).shopping(options)


def make_money(
    consultation: Consultation,
    options: Sequence[Weighed],
    tasks: Sequence[out.Task],
    shopping: Sequence[out.Purchase],
) -> out.Money:
    """What is known of the cost: by kind and currency, options side by side, the cost of failure, and what has no price. Pure."""
    return _Buyer(consultation, tasks).money(options, shopping)


def sources_of(shopping: Iterable[out.Purchase]) -> frozenset[str]:
    """The sources that a shopping list names."""
    return frozenset(source for row in shopping for source in row.sources)


class _Buyer:
    """Works out one shopping list and its money."""

    def __init__(self, consultation: Consultation, tasks: Sequence[out.Task]) -> None:
        self.c, self.k, self.filled = consultation, consultation.knowledge, consultation.filled
        self.tasks = tasks
        self.by_code = {task.code: task for task in tasks}
        self.told = self.filled.situation.offer or []
        self.quantities: Mapping[str, Callable[[Supply, Part, Offer | None, Sequence[out.Task]], _Amount | None]] = {
            "seed-by-rate": self._seed, "parts-of-mixture": self._mixture, "sod-area": self._sod, "sprigs-volume": self._sprigs, "plugs-count": self._plugs,
            "nutrient-rate": self._feed, "lime-rate": self._lime, "depth-volume": self._depth, "mass-rate": self._mass, "per-area": self._per_area,
            "area": self._sod, "edge": self._edge, "count": self._count,
        }  # fmt: skip

    # ---------- words ----------
    def q(self, value: float, unit: str, low: float | None = None) -> str:
        """An amount as it stands in the arithmetic, in the reader's units."""
        return exactly(value, _UNITS.get(unit, unit), self.c.system, low)

    def text(self, written: str, part: Part) -> str:
        return self.c.say.sentences(self.c.book.template(written), part.facts, self.c.types)

    def value(self, written: str | None, part: Part, unit: str) -> float | None:
        return None if written is None else amount(self.c, written, part.facts, unit)

    def pair(self, supply: Supply, part: Part, unit: str) -> tuple[float, float] | None:
        low, high = self.value(supply.low, part, unit), self.value(supply.high, part, unit)
        return None if low is None or high is None else (min(low, high), max(low, high))

    # ---------- parts ----------
    def part(self, w: Weighed) -> Part:
        zone, chosen = w.draft.zone, self.c.chosen[w.draft.zone]
        fired = [
            rule
            for rule, _ in (
                *self.c.site_layer.fired.get("site", []),
                *self.c.zone_layer.fired.get(zone, []),
                *w.firings,
            )
        ]
        return Part(
            zone, self.c.zones[zone].name, w, chosen.stopgap is not None and chosen.option is w, self.filled.areas.get(zone), w.facts,
            frozenset(rule.then.target for rule in fired if rule.then.act == "need"), frozenset(rule.then.target for rule in fired if rule.then.act == "caution"),
        )  # fmt: skip

    def parts(self, options: Sequence[Weighed]) -> list[Part]:
        """The chosen options; what is only the least bad is not bought for."""
        return [self.part(w) for w in options if self.c.chosen[w.draft.zone].least_bad is not w]

    def _holds(self, supply: Supply, part: Part) -> bool:
        draft = part.draft
        if draft.remedy not in supply.remedies or (
            supply.needs and not part.needs.intersection(supply.needs)
        ):
            return False
        if draft.new_grass and (
            (supply.methods and draft.method not in supply.methods) or (supply.made_from and part.made_from not in supply.made_from)
            or (supply.variants and draft.variant not in supply.variants)
        ):  # fmt: skip
            return False
        if supply.offered and not any(offer.what in supply.what for offer in self.told):
            return False
        return self.c.holds(supply, part.facts)

    def _ground(self, supply: Supply, part: Part) -> Part:
        """The part with the ground that a supply is for: all of it, or the share of it that a fact tells."""
        share = None if supply.share is None else part.facts.get(supply.share)
        if not isinstance(share, float) or part.area is None:
            return part
        return replace(part, area=area.share_of(part.area, share))

    def _linked(self, supply: Supply, part: Part) -> list[out.Task]:
        """The tasks of the plan that use a supply."""
        codes = [f"{key}/{place}" for key in supply.tasks for place in (part.code, "field")]
        return [self.by_code[code] for code in codes if code in self.by_code]

    # ---------- offers ----------
    def _per(self, offer: Offer, unit: str, density: float | None) -> float | None:
        """How much of a row's unit one of the seller's units is; None where that was not told."""
        if offer.unit is None:
            return None
        name, times = _SOLD_BY.get(offer.unit, offer.unit), 1.0
        if offer.unit in _SOLD_IN_LOTS:
            name, times = "ft2", _SOLD_IN_LOTS[offer.unit]
        if name == "bu":
            if offer.bushel_l is None:
                return None
            name, times = "litre", offer.bushel_l
        if not is_unit(name):
            return None
        try:
            return convert(times, name, _UNITS[unit])
        except DecideError:
            pass
        if density is None or unit != "m3":
            return None
        try:
            return convert(times, name, "t") / density
        except DecideError:
            return None

    def _offer(self, supply: Supply, part: Part) -> Offer | None:
        """The seller to count by: the cheapest for one unit where prices are told, else the first."""
        if part.draft.remedy == "establish" and any(kind in OFFERED_PLANTS for kind in supply.what):
            fitting = [
                self.told[n]
                for n in offers(self.filled, part.draft) or []
                if self.told[n].what in supply.what
            ]
            fitting += [
                offer for offer in self.told if offer.what in supply.what and offer.what not in OFFERED_PLANTS
            ]
        else:
            fitting = [offer for offer in self.told if offer.what in supply.what]
        if supply.quantity == "nutrient-rate":
            fitting = [
                offer
                for offer in fitting
                if offer.analysis is not None
                and offer.analysis[0] > 0
                and (offer.analysis[1] == 0) != supply.phosphate
            ]
        if supply.kind == "contractor":
            fitting = [
                offer for offer in fitting if self._per(offer, "m2", None) is not None or offer.unit == "job"
            ]
        best: Offer | None = None
        cheapest = math.inf
        for offer in fitting:
            each = next(
                (
                    per
                    for unit in _UNITS
                    if (per := self._per(offer, unit, self.value(supply.density, part, "g/cm3"))) is not None
                ),
                None,
            )
            price = offer.price / each if offer.price is not None and each else math.inf
            if best is None or price < cheapest:
                best, cheapest = offer, price
        return best

    # ---------- amounts ----------
    def _rate(self, supply: Supply, part: Part) -> tuple[float, float, str] | None:
        """Kilograms for a rate over the part, low and high, and the arithmetic."""
        rates = self.pair(supply, part, "g/m2")
        if rates is None or part.area is None:
            return None
        low, high = (seed.seed_kg(rate, part.area) for rate in rates)
        return (
            low,
            high,
            f"{self.q(part.area, 'm2')} × {self.q(rates[1], 'g/m2', rates[0])} = {self.q(high, 'kg', low)}",
        )

    def _seed(
        self, supply: Supply, part: Part, offer: Offer | None, _tasks: Sequence[out.Task]
    ) -> _Amount | None:
        counted = self._rate(supply, part)
        if counted is None:
            return None
        low, high, said = counted
        after: list[str] = []
        extra = self.value(supply.extra, part, "percent")
        if extra and part.draft.variant == "dormant":
            low, high = area.with_spare(low, extra), area.with_spare(high, extra)
            said += f"; dormant seed takes {number(extra)}% more: {self.q(high, 'kg', low)}"
        purity, germination = self.k.value("seed-purity-good"), self.k.value("seed-germination-good")
        if purity is not None and germination is not None:
            good = seed.pure_live_seed(purity / 100, germination / 100)
            if (
                offer is not None
                and offer.purity is not None
                and offer.germination is not None
                and offer.purity * offer.germination > 0
            ):
                live = seed.pure_live_seed(offer.purity / 100, offer.germination / 100)
                kilos = good * low, good * high
                low, high = (seed.of_other_seed(kg, live, good) for kg in (low, high))
                said += (
                    f" of good seed, {self.q(kilos[1], 'kg', kilos[0])} of it alive ({number(purity)}% pure × {number(germination)}% up); "
                    f"÷ ({offer.purity / 100:.2f} × {offer.germination / 100:.2f}) of this seed = {self.q(high, 'kg', low)}"
                )
            else:
                after.append(
                    f"Counted for good seed, {number(purity)}% pure and {number(germination)}% germinating; poorer seed takes more."
                )
        after += self._passes(supply, part, high)
        after += self._patches(supply, part)
        return _Amount(low, high, "kg", said, tuple(after))

    def _passes(self, supply: Supply, part: Part, high: float) -> list[str]:
        """The setting for crossing passes."""
        passes = self.value(supply.passes, part, "count")
        if not passes or part.area is None or part.draft.method == "hydromulch":
            return []
        each = 1000 * high / part.area / passes
        return [
            f"Spread it in {number(passes)} crossing passes: set the spreader for {self.q(each, 'g/m2')} each way at the most."
        ]

    def _patches(self, supply: Supply, part: Part) -> list[str]:
        """What the bare patches alone would take, where they can be told from turf that is kept."""
        bare = self.c.zones[part.zone].bare_percent
        if (
            supply.patches_low is None
            or bare is None
            or part.area is None
            or self.k.patches is None
            or not self.c.holds(self.k.patches, part.facts)
        ):
            return []
        rates = self.value(supply.patches_low, part, "g/m2"), self.value(supply.patches_high, part, "g/m2")
        if rates[0] is None or rates[1] is None:
            return []
        ground = area.share_of(part.area, bare)
        low, high = (seed.seed_kg(rate, ground) for rate in rates if rate is not None)
        return [
            f"For the bare patches alone, {number(bare)}% of it, {self.q(high, 'kg', low)} at the rate of bare ground."
        ]

    def _mixture(
        self, supply: Supply, part: Part, offer: Offer | None, tasks: Sequence[out.Task]
    ) -> _Amount | None:
        whole = self._seed(supply, part, offer, tasks)
        mixture = self.k.mixtures.get(part.draft.plant)
        if whole is None or mixture is None:
            return whole
        shares = [(row.grass, self.k.value(row.share) or 0.0) for row in mixture.parts]
        words = [
            f"{number(share)}% {self.c.say.plant(grass)}, {self.q(whole.high * share / 100, 'kg')}"
            for grass, share in shares
        ]
        return replace(whole, after=(f"By weight {'; '.join(words)}.", *whole.after))

    def _spare(self, supply: Supply, part: Part, least: float) -> tuple[float, float, str]:
        """An amount with the spare of the row, and its words."""
        low, high = (
            self.value(supply.spare_low, part, "percent") or 0.0,
            self.value(supply.spare_high, part, "percent") or 0.0,
        )
        said = (
            f" and {number(low)} to {number(high)}% to spare"
            if low != high
            else f" and {number(high)}% to spare"
            if high
            else ""
        )
        return area.with_spare(least, low), area.with_spare(least, high), said

    def _sod(
        self, supply: Supply, part: Part, _offer: Offer | None, _tasks: Sequence[out.Task]
    ) -> _Amount | None:
        if part.area is None:
            return None
        low, high, spare = self._spare(supply, part, part.area)
        after: list[str] = []
        mass = self.value(supply.mass, part, "kg/m2")
        if mass is not None:
            after.append(
                f"It weighs about {show(mass * high, 'kg', self.c.system)}: ask how many lorries that is."
            )
        return _Amount(
            low, high, "m2", f"{self.q(part.area, 'm2')}{spare} = {self.q(high, 'm2', low)}", tuple(after)
        )

    def _sprigs(
        self, supply: Supply, part: Part, _offer: Offer | None, _tasks: Sequence[out.Task]
    ) -> _Amount | None:
        rates = self.pair(supply, part, "litre/m2")
        if rates is None or part.area is None:
            return None
        litres = [rate * part.area for rate in rates]
        low, high = (volume / 1000 for volume in litres)
        spread = self.q(rates[1], "litre/m2", rates[0])
        if self.c.system == "us":
            least, most = (convert(rate, "litre/m2", "bu/1000ft2") for rate in rates)
            spread = exactly(most, "bu/1000ft2", "us", least)
        said = f"{self.q(part.area, 'm2')} × {spread} = {self.q(high, 'm3', low)} of loose sprigs"
        after: list[str] = []
        if supply.bushels is not None:
            sizes = sorted(
                (
                    convert(each.amount, self.k.values[supply.bushels].unit, "litre")
                    for each in self.k.values[supply.bushels].used.values()
                ),
                reverse=True,
            )
            ends = [sizes[0], sizes[-1]] if sizes else []
            counts = [
                f"{math.ceil(area.bushels_as(litres[1], size)):,} bushels of {self._bushel(size)}"
                for size in ends
            ]
            after.append(f"That is {' or '.join(counts)} at the high rate, as the seller counts.")
        return _Amount(low, high, "m3", said, tuple(after))

    def _bushel(self, litres: float) -> str:
        """The size of a bushel as its sellers give it."""
        return (
            exactly(convert(litres, "litre", "ft3"), "ft3")
            if self.c.system == "us"
            else self.q(litres, "litre")
        )

    def _plugs(
        self, supply: Supply, part: Part, _offer: Offer | None, _tasks: Sequence[out.Task]
    ) -> _Amount | None:
        spacing = self.pair(supply, part, "m")
        if spacing is None or part.area is None:
            return None
        many, few = area.plugs(part.area, spacing[0]), area.plugs(part.area, spacing[1])
        near, far = (self.q(1000 * gap, "mm") for gap in spacing)
        said = (
            f"{self.q(part.area, 'm2')} in a grid of {near} is {many:,}, of {far} is {few:,}"
            if many != few
            else f"{self.q(part.area, 'm2')} in a grid of {near} is {many:,}"
        )
        after: list[str] = []
        size = self.value(supply.size, part, "m")
        if size is not None:
            after.append(
                f"Cut {self.q(1000 * size, 'mm')} wide from sod, they take {self.q(area.plug_sod(many, size), 'm2', area.plug_sod(few, size))} of it."
            )
        return _Amount(few, many, "each", said, tuple(after))

    def _feed(
        self, supply: Supply, part: Part, offer: Offer | None, tasks: Sequence[out.Task]
    ) -> _Amount | None:
        given = [task for task in tasks if task.unit == NITROGEN and task.amount is not None]
        if given:
            kilos = sum(task.amount or 0.0 for task in given)
            said = f"{self.q(kilos, 'kg')} of nitrogen" + (
                f" in {len(given)} feeds" if len(given) > 1 else ""
            )
            rate = self.value(supply.high, part, "g/m2")
            if (
                part.area is not None
                and rate is not None
                and math.isclose(kilos, seed.seed_kg(rate, part.area), rel_tol=0.01)
            ):
                said = f"{self.q(part.area, 'm2')} × {self.q(rate, 'g/m2')} = {said}"
        else:
            counted = self._rate(supply, part)
            if counted is None or tasks:
                return None
            _, kilos, said = counted
            said += " of nitrogen"
        if kilos <= 0:
            return None
        if offer is not None and offer.analysis is not None:
            numbers: tuple[float, ...] = tuple(offer.analysis)
        elif supply.analysis is not None:
            usual = [self.k.value(supply.analysis, nutrient) for nutrient in NUTRIENTS]
            if any(each is None for each in usual):
                return None
            numbers = tuple(each or 0.0 for each in usual)
        else:
            return _Amount(
                kilos,
                kilos,
                "kg",
                said,
                ("This is nitrogen. Of the feed itself: this × 100 ÷ the first number on the bag.",),
            )
        product = seed.product_rate(kilos, numbers[0])
        label = "-".join(number(each) for each in numbers)
        said += f" ÷ {number(numbers[0])}% = {self.q(product, 'kg')} of {label}"
        after: list[str] = []
        phosphate, potash = seed.nutrient_in(product, numbers[1]), seed.nutrient_in(product, numbers[2])
        n = self.filled.library.constants.nutrients
        held = [
            f"{self.q(oxide, 'kg')} of {name}, which is {self.q(element, 'kg')} of {plain}"
            for oxide, name, element, plain in (
                (phosphate, "phosphate (P2O5)", seed.phosphorus(phosphate, n), "phosphorus"), (potash, "potash (K2O)", seed.potassium(potash, n), "potassium"),
            ) if oxide > 0
        ]  # fmt: skip
        if held:
            after.append(f"It holds {'; '.join(held)}.")
        return _Amount(product, product, "kg", said, tuple(after))

    def _lime(
        self, supply: Supply, part: Part, _offer: Offer | None, _tasks: Sequence[out.Task]
    ) -> _Amount | None:
        rate = self.filled.situation.field.lime_g_m2
        if not rate or part.area is None:
            return None
        kilos = seed.seed_kg(rate, part.area)
        after: list[str] = []
        most = self.value(supply.most_once, part, "g/m2")
        if most is not None and rate > most:
            after.append(
                f"On standing turf no more than {self.q(most, 'g/m2')} in one go: {math.ceil(round(rate / most, 6))} goes, months apart. Dug into a bed it may go on at once."
            )
        return _Amount(
            kilos,
            kilos,
            "kg",
            f"{self.q(part.area, 'm2')} × {self.q(rate, 'g/m2')} of the soil report = {self.q(kilos, 'kg')}",
            tuple(after),
        )

    def _depth(
        self, supply: Supply, part: Part, _offer: Offer | None, _tasks: Sequence[out.Task]
    ) -> _Amount | None:
        depth = self.pair(supply, part, "mm")
        if depth is None or part.area is None:
            return None
        low, high = (area.layer_m3(part.area, each) for each in depth)
        after: list[str] = []
        density = self.value(supply.density, part, "g/cm3")
        if density is not None:
            tonnes = [area.layer_tonnes(part.area, each, density) for each in depth]
            after.append(f"That weighs {self.q(tonnes[1], 't', tonnes[0])} at {number(density)} t a m³.")
        return _Amount(
            low,
            high,
            "m3",
            f"{self.q(part.area, 'm2')} × {self.q(depth[1], 'mm', depth[0])} = {self.q(high, 'm3', low)}",
            tuple(after),
        )

    def _mass(
        self, supply: Supply, part: Part, _offer: Offer | None, _tasks: Sequence[out.Task]
    ) -> _Amount | None:
        counted = self._rate(supply, part)
        return None if counted is None else _Amount(counted[0], counted[1], "kg", counted[2])

    def _per_area(
        self, supply: Supply, part: Part, _offer: Offer | None, _tasks: Sequence[out.Task]
    ) -> _Amount | None:
        assert supply.high is not None
        by_volume = self.k.values[supply.high.partition("[")[0]].unit != "count/m2"
        rates = self.pair(supply, part, "litre/m2" if by_volume else "count/m2")
        if rates is None or part.area is None:
            return None
        unit, each = ("l", "litre/m2") if by_volume else ("each", "count/m2")
        low, high = (rate * part.area for rate in rates)
        if not by_volume:
            low, high = float(math.ceil(round(low, 6))), float(math.ceil(round(high, 6)))
        return _Amount(
            low,
            high,
            unit,
            f"{self.q(part.area, 'm2')} × {self.q(rates[1], each, rates[0])} = {self.q(high, unit, low)}",
        )

    def _edge(
        self, supply: Supply, part: Part, _offer: Offer | None, _tasks: Sequence[out.Task]
    ) -> _Amount | None:
        if part.area is None:
            return None
        edge = area.square_edge(part.area)
        low, high, spare = self._spare(supply, part, edge)
        return _Amount(
            low,
            high,
            "m",
            f"round a square of {self.q(part.area, 'm2')} it is {self.q(edge, 'm')}{spare}: {self.q(high, 'm', low)}",
        )

    @staticmethod
    def _count(_supply: Supply, _part: Part, _offer: Offer | None, _tasks: Sequence[out.Task]) -> _Amount:
        return _Amount(1.0, 1.0, "each", "one for the whole field")

    # ---------- lots ----------
    def lots(self, part: Part, *, planned: bool = True) -> list[_Lot]:
        """What one part wants: of each group the first row that holds and has an amount."""
        found: list[_Lot] = []
        groups: set[str] = set()
        for key, supply in self.k.supplies.items():
            if supply.group in groups or supply.quantity == "measure-first" or not self._holds(supply, part):
                continue
            tasks = self._linked(supply, part)
            if planned and self.tasks and supply.tasks and not tasks:
                continue
            offer = self._offer(supply, part)
            ground = self._ground(supply, part)
            quantity = self.quantities[supply.quantity](supply, ground, offer, tasks)
            if quantity is None:
                continue
            if supply.group is not None:
                groups.add(supply.group)
            item = self.text(supply.item, part)
            if supply.quantity == "nutrient-rate" and supply.analysis is None and offer is None:
                item += ", counted as nitrogen"
            found.append(_Lot(key, supply, ground, offer, quantity, tuple(tasks), item))
        return found

    def merged(self, options: Sequence[Weighed]) -> list[list[_Lot]]:
        """Lots of the same thing from the same seller, of all parts that want it; one order, one rounding up."""
        found: dict[tuple[object, ...], list[_Lot]] = {}
        for part in self.parts(options):
            for lot in self.lots(part):
                seller = None if lot.offer is None else self.told.index(lot.offer)
                found.setdefault(
                    (list(self.k.supplies).index(lot.key), part.later, lot.item, seller, lot.amount.unit), []
                ).append(lot)
        return [
            lots for _, lots in sorted(found.items(), key=lambda item: (item[0][1], item[0][0], item[0][2]))
        ]

    # ---------- rows ----------
    def shopping(self, options: Sequence[Weighed]) -> list[out.Purchase]:
        """The rows of what is bought as material."""
        left: dict[int, float] = {}
        return [
            self.purchase(lots, left) for lots in self.merged(options) if lots[0].supply.kind == "material"
        ]

    def _sum(self, lots: Sequence[_Lot]) -> tuple[float, float]:
        if lots[0].supply.once:
            return max(lot.amount.low for lot in lots), max(lot.amount.high for lot in lots)
        return sum(lot.amount.low for lot in lots), sum(lot.amount.high for lot in lots)

    def purchase(self, lots: Sequence[_Lot], left: dict[int, float]) -> out.Purchase:
        """One row; `left` is what is over of each seller's packs after the rows before it."""
        first = lots[0]
        supply, unit, offer = first.supply, first.amount.unit, first.offer
        low, high = self._sum(lots)
        # The row holds what is ordered, so packs are counted from the same figure.
        low, high = round(low, 3), round(high, 3)
        sentences, ask = (
            self._said(lots, low, high),
            [self.text(supply.ask, first.part)] if supply.ask else [],
        )
        packs, pack = None, ""
        per = (
            None if offer is None else self._per(offer, unit, self.value(supply.density, first.part, "g/cm3"))
        )
        size = None
        if offer is not None and per is not None:
            size = (
                offer.pack * per
                if offer.pack is not None
                else per
                if supply.bushels is not None and offer.bushel_l is not None
                else None
            )
        if size:
            seller = self.told.index(offer) if offer is not None else -1
            over = left.get(seller, 0.0)
            packs = seed.packs(max(0.0, high - over), size)
            left[seller] = over + packs * size - high
            pack = f"{supply.pack} of {self._bushel(1000 * size) if supply.bushels is not None else self.q(size, unit)}"
            sentences.append(
                f"{packs:,} × {pack}."
                if packs
                else f"What is left of the same {supply.pack} above is enough."
            )
        elif supply.ask_size:
            ask.append(supply.ask_size)
        if offer is not None and per is not None and offer.amount is not None and offer.amount * per < high:
            ask.append(
                f"The seller has only {self.q(offer.amount * per, unit)}: where is the rest to come from?"
            )
        uses = sorted((task for lot in lots for task in lot.tasks), key=lambda task: (task.from_, task.code))
        known = self._cost(lots, low, high, packs, size) if packs != 0 else None
        cautions = {
            *supply.cautions,
            *(code for lot in lots for code in supply.cautions_if if code in lot.part.cautions),
        }
        several = len(lots) > 1
        return out.Purchase(
            code=f"{first.key}/{'+'.join(lot.part.code for lot in lots)}", supply=first.key, zone="" if several else first.part.name,
            item=first.item, amount=high, amount_low=low if low < high else None, unit=unit, packs=packs, pack=pack,
            how=" ".join(sentences), ask=" ".join(ask), for_task=uses[0].code if uses else "", order_by=self._order_by(lots, uses),
            cost=known.cost if known else None, cautions=sorted(cautions, key=lambda code: (self.k.cautions[code].order, code)),
            sources=sorted({*supply.sources, *(known.sources if known else ())}),
        )  # fmt: skip

    def _said(self, lots: Sequence[_Lot], low: float, high: float) -> list[str]:
        """The arithmetic of all parts, then what is said of the whole."""
        first = lots[0]
        if len(lots) == 1 or first.supply.once:
            sentences = [f"{capital(first.amount.said)}.", *first.amount.after]
        else:
            sentences = [f"{lot.part.name}: {lot.amount.said}." for lot in lots]
            sentences.append(f"Together {self.q(high, first.amount.unit, low)}.")
            whole = self._whole(lots)
            same = set.intersection(*(set(lot.amount.after) for lot in lots))
            sentences += (
                [line for line in first.amount.after if line in same] if whole is None else whole.after
            )
            sentences += [
                f"{lot.part.name}: {line}"
                for lot in lots
                for line in lot.amount.after
                if line not in same and whole is None
            ]
        return [*sentences, *([first.supply.note] if first.supply.note else [])]

    def _whole(self, lots: Sequence[_Lot]) -> _Amount | None:
        """The amount of all parts as if they were one; None where they differ in more than their area."""
        first = lots[0]
        if first.supply.patches_low is not None or any(lot.part.area is None for lot in lots):
            return None
        part = replace(first.part, area=sum(lot.part.area or 0.0 for lot in lots))
        made = self.quantities[first.supply.quantity](
            first.supply, part, first.offer, [task for lot in lots for task in lot.tasks]
        )
        alike = (
            made is not None
            and math.isclose(made.high, self._sum(lots)[1], rel_tol=0.001)
            and math.isclose(made.low, self._sum(lots)[0], rel_tol=0.001)
        )
        return made if alike else None

    def _order_by(self, lots: Sequence[_Lot], uses: Sequence[out.Task]) -> str | None:
        """The day of first use less the time until delivery: what the seller told, else the usual."""
        first = lots[0]
        if not uses:
            return None
        lead = (
            first.offer.lead_days
            if first.offer is not None and first.offer.lead_days is not None
            else self.value(first.supply.lead, first.part, "day")
        )
        if lead is None:
            return None
        last = dt.date.fromisoformat(uses[0].from_) - dt.timedelta(days=math.ceil(lead))
        return max(last, self.filled.today).isoformat()

    # ---------- money ----------
    def currency(self) -> str:
        """Told, or that of the country; nothing where neither is known."""
        return self.c.measures.currency() or ""

    def _cost(
        self,
        lots: Sequence[_Lot],
        low: float,
        high: float,
        packs: int | None = None,
        size: float | None = None,
    ) -> _Known | None:
        """The cost of an amount: by the seller's own price, else by dated published prices of the country."""
        first = lots[0]
        offer, unit, part = first.offer, first.amount.unit, first.part
        density = self.value(first.supply.density, part, "g/cm3")
        if offer is not None and offer.price is not None:
            if offer.unit == "job":
                return _Known(
                    out.Cost(
                        low=round(offer.price, 2),
                        high=round(offer.price, 2),
                        currency=self.currency(),
                        year=str(self.filled.today.year),
                        how="the seller's price for the whole job",
                    )
                )
            per = self._per(offer, unit, density)
            if per:
                ends = low * offer.price / per, high * offer.price / per
                if packs is not None and size is not None:
                    ends = (
                        min(packs, seed.packs(low, size)) * size * offer.price / per,
                        packs * size * offer.price / per,
                    )
                return _Known(
                    out.Cost(
                        low=round(ends[0], 2),
                        high=round(ends[1], 2),
                        currency=self.currency(),
                        year=str(self.filled.today.year),
                        how="the price that you were told",
                    )
                )
        if first.supply.quantity == "nutrient-rate" and first.supply.analysis is None and offer is None:
            return None
        for price in first.supply.prices:
            if (
                price.country == self.filled.country
                and (known := self._published(price, first, low, high, density)) is not None
            ):
                return known
        return self._local(lots, low, high)

    def _local(self, lots: Sequence[_Lot], low: float, high: float) -> _Known | None:
        """The cost of the grass itself, or of a contractor's work, by the prices of a square metre that are printed in the country of the place."""
        first = lots[0]
        supply, unit, areas = first.supply, first.amount.unit, [lot.part.area for lot in lots]
        if not (supply.main or supply.kind == "contractor") or first.part.facts.get("zone.in-play") is True:
            return None
        draft, contractor = first.part.draft, supply.kind == "contractor"
        each, rows = (
            self.c.measures.local_price(draft, contractor),
            self.c.measures.local_rows(draft, contractor),
        )
        if each is None or rows is None or (unit != "m2" and None in areas):
            return None
        # Seed is priced by the lawn that it is for, sod and work by what is ordered.
        ends = (low, high) if unit == "m2" else (sum(area for area in areas if area is not None),) * 2
        cost = out.Cost(
            low=round(ends[0] * each[0], 2),
            high=round(ends[1] * each[1], 2),
            currency=each[2],
            year=each[3],
            how=each[4],
        )
        return _Known(cost, sorted({row.source for row in rows}))

    def _statement(self, written: str, part: Part) -> Statement | None:
        name, _, index = written.rstrip("]").partition("[")
        used = self.k.values[name].used
        return used.get(index) or used.get(str(part.facts.get(index, "")) if index else "")

    def _published(
        self, price: Price, lot: _Lot, low: float, high: float, density: float | None
    ) -> _Known | None:
        """The cost by two dated prices; none that is remembered or of our own making counts."""
        ends = [self._statement(name, lot.part) for name in (price.low, price.high)]
        if any(end is None or not end.published_price for end in ends):
            return None
        known = [end for end in ends if end is not None]
        unit = {"kg": "money/kg", "m2": "money/m2", "m3": "money/m3", "m": "money/m"}.get(lot.amount.unit)
        if unit is None:
            return None
        each: list[float] = []
        for end in known:
            try:
                each.append(convert(end.amount, self.k.values[end.value].unit, unit))
            except DecideError:
                if density is None:
                    return None
                each.append(convert(end.amount, self.k.values[end.value].unit, "money/t") * density)
        years, places = (
            sorted({end.year for end in known}),
            list(dict.fromkeys(end.place for end in known if end.place)),
        )
        how = "published prices" + (f", {' and '.join(places)}" if places else "")
        cost = out.Cost(
            low=round(low * min(each), 2), high=round(high * max(each), 2), currency=known[0].currency, year=years[0] if len(years) == 1 else f"{years[0]}-{years[-1]}", how=how,
        )  # fmt: skip
        return _Known(cost, sorted({end.source for end in known}))

    def _one_price(self, lot: _Lot) -> str:
        """The one dated price where the other end of the range has none."""
        for price in lot.supply.prices:
            for name in (price.low, price.high) if price.country == self.filled.country else ():
                found = self._statement(name, lot.part)
                if found is not None and found.published_price:
                    unit = self.k.values[found.value].unit
                    return f"One is {found.currency} {show(found.amount, unit, self.c.system)} ({found.place}, {found.year}). "
        return ""

    def money(self, options: Sequence[Weighed], shopping: Sequence[out.Purchase]) -> out.Money:
        """Everything that is known of the money."""
        rows: list[out.MoneyRow] = []
        unknown: list[str] = []
        for row in shopping:
            supply = self.k.supplies[row.supply]
            if row.cost is not None:
                rows.append(_money(row.item, row.zone, "material", row.cost))
            elif supply.no_price and row.packs != 0:
                unknown.append(
                    f"{row.item}{'' if not row.zone or len(self.c.zones) == 1 else f', {row.zone}'}: no price is known. {supply.no_price}".rstrip()
                )
        parts = self.parts(options)
        for lots in self.merged(options):
            if lots[0].supply.kind != "contractor":
                continue
            known = self._cost(lots, *self._sum(lots))
            zone = lots[0].part.name if len(lots) == 1 else ""
            if known is not None:
                cost = known.cost.model_copy(
                    update={"how": f"{known.cost.how}; in place of buying it and doing it yourselves"}
                )
                rows.append(_money(lots[0].item, zone, "contractor", cost))
            else:
                where = f", {zone}" if zone and len(self.c.zones) > 1 else ""
                unknown.append(
                    f"{lots[0].item}{where}: no range of dated prices is known. {self._one_price(lots[0])}{lots[0].supply.no_price}"
                )
        unknown += [said for part in parts if (said := self._by_size(part))]
        for part in parts:
            if part.area is None and part.draft.remedy == "establish":
                unknown.append(f"The area of {part.name} is not known: measure it, and the amounts follow.")
        unknown += list(
            dict.fromkeys(
                supply.ask
                for part in parts
                for supply in self.k.supplies.values()
                if supply.quantity == "measure-first" and self._holds(supply, part)
            )
        )
        self._hire(parts, rows, unknown)
        self._labour(rows, unknown)
        return out.Money(
            rows=rows, totals=_totals(rows), unknown=list(dict.fromkeys(unknown)),
            compared=[row for zone in self.c.zones for row in self._compared(zone)],
            failure=[self._failure(part) for part in parts if part.draft.remedy == "establish" and part.draft.start is not None],
        )  # fmt: skip

    def _by_size(self, part: Part) -> str:
        """That the budget was held against prices of another country, where no price of the place is known."""
        if "option.budget-short.low" not in part.facts or "option.cost.low" in part.facts:
            return ""
        year, rates = self.k.value("cost-year", part.draft.method), self.k.value("currency-year")
        where = f", {part.name}" if len(self.c.zones) > 1 else ""
        way = capital(self.c.say.method(part.draft.method))
        dated = (
            "" if year is None or rates is None else f" of {year:.0f} at the exchange rates of {rates:.0f}"
        )
        return f"{way}{where}: no dated price of your country is known. Your budget was held against prices of the United States{dated}, for size only. Ask for quotes."

    def _hire(self, parts: Sequence[Part], rows: list[out.MoneyRow], unknown: list[str]) -> None:
        """Machines of the plan that are not at hand and can be hired, each once, for the days that its tasks take."""
        means = self.filled.situation.means
        own = {coded(tool) for tool in means.equipment_own or []}
        hired = {coded(tool) for tool in means.equipment_hire or []} | {
            coded(offer.tool) for offer in self.told if offer.what == "hire" and offer.tool is not None
        }
        days: dict[str, int] = {}
        for task in self.tasks:
            for tool in task.needs:
                if tool in hired and tool not in own:
                    days[tool] = max(days.get(tool, 0), self._days(task, parts))
        for tool, count in sorted(days.items()):
            name = self.k.equipment[tool].name if tool in self.k.equipment else tool.replace("-", " ")
            prices = [
                offer
                for offer in self.told
                if offer.what == "hire"
                and offer.tool is not None
                and coded(offer.tool) == tool
                and offer.price is not None
            ]
            each = [
                (offer.price or 0.0)
                * {"day": count, "week": math.ceil(count / 7), "job": 1, "each": 1}[offer.unit]
                for offer in prices
                if offer.unit in ("day", "week", "job", "each")
            ]
            if each:
                rows.append(out.MoneyRow(
                    what=f"hire of the {name}", zone="", kind="hire", low=round(min(each), 2), high=round(max(each), 2), currency=self.currency(),
                    year=str(self.filled.today.year), how=f"the price that you were told, {_count(count, 'day')}",
                ))  # fmt: skip
            else:
                unknown.append(
                    f"Hire of the {name}, {_count(count, 'day')}: no price is known. Ask the hire shop, with delivery."
                )

    def _days(self, task: out.Task, parts: Sequence[Part]) -> int:
        """Days of work that a task takes in one go."""
        template = self.k.tasks.get(task.template)
        part = next(
            (
                part
                for part in parts
                if task.code in (f"{task.template}/{part.code}", f"{task.template}/field")
            ),
            None,
        )
        held = self.value(template.days, part, "day") if template is not None and part is not None else None
        return 1 if held is None else max(1, math.ceil(held))

    def _labour(self, rows: list[out.MoneyRow], unknown: list[str]) -> None:
        """Hours of one's own hands by the plan, at the wage that was told."""
        hours = [task.hours for task in self.tasks if task.hours is not None and task.who in _OWN_HANDS]
        low, high = sum(each.low for each in hours), sum(each.high for each in hours)
        if high <= 0:
            return
        said = f"{number(round(low))} to {number(round(high))} hours of work by the plan"
        wage = self.filled.situation.means.wage_per_hour
        if wage is None:
            unknown.append(f"Work: {said}. No wage was told, so it is not counted in money.")
            return
        rows.append(out.MoneyRow(
            what="work by the hour", zone="", kind="labour", low=round(low * wage, 2), high=round(high * wage, 2), currency=self.currency(), year=str(self.filled.today.year),
            how=f"{said} × {number(wage)}",
        ))  # fmt: skip

    def _main(self, part: Part, kind: str = "material") -> tuple[_Lot, _Known | None] | None:
        """What the grass itself comes as, or the contractor's work, with its cost."""
        for lot in self.lots(part, planned=False):
            if (lot.supply.main and kind == "material") or lot.supply.kind == kind == "contractor":
                return lot, self._cost([lot], lot.amount.low, lot.amount.high)
        return None

    def _compared(self, zone: str) -> list[out.Compared]:
        """The choice, its stopgap, the next best and the first usable option of each other method, side by side."""
        chosen = self.c.chosen[zone]
        found = [
            w
            for w in (chosen.stopgap, chosen.option, chosen.runner_up)
            if w is not None and w.draft.remedy == "establish"
        ]
        methods = {w.draft.method for w in found}
        for w in self.c.ranked:
            if (
                w.draft.zone == zone
                and w.draft.remedy == "establish"
                and w.draft.start is not None
                and w.verdict in USABLE
                and w.draft.method not in methods
            ):
                methods.add(w.draft.method)
                found.append(w)
        return [self._compare(w) for w in found] if len(found) > 1 else []

    def _compare(self, w: Weighed) -> out.Compared:
        part = self.part(w)
        main = self._main(part, "contractor") if self.filled.situation.means.contractor else None
        if main is None or main[1] is None:
            main = self._main(part)
        known = main[1].cost if main is not None and main[1] is not None else None
        hours = [w.facts.get(f"option.labour-hours.{end}") for end in ("low", "high")]
        late = (
            self.c.measures.readiness(w.draft.key, w.draft.start, w.draft.zone)["full-play"].late
            if w.draft.start is not None and self.filled.site is not None
            else None
        )
        draft = w.draft
        title = capital(self.c.say.way(draft.remedy, draft.plant, draft.method, draft.variant))
        return out.Compared(
            option=draft.code, zone=part.name, title=title, verdict=w.verdict,  # type: ignore[arg-type]
            low=known.low if known else None, high=known.high if known else None, currency=known.currency if known else "",
            hours=out.Hours(low=hours[0], high=hours[1]) if isinstance(hours[0], float) and isinstance(hours[1], float) else None,
            full_play_late=(draft.start + dt.timedelta(days=late)).isoformat() if draft.start is not None and late is not None else None,
        )  # fmt: skip

    def _failure(self, part: Part) -> out.Failure:
        """What it costs when the new grass fails: the same material again, and the days until it can be put in again."""
        draft, start = part.draft, part.draft.start
        assert start is not None
        main = self._main(part)
        word = {"seed": "sowing", "sod": "laying", "vegetative": "planting"}[part.made_from]
        what = main[0].item if main is not None else self.c.say.plant(draft.plant)
        known = main[1].cost if main is not None and main[1] is not None else None
        stuff = draft.method if part.made_from == "vegetative" else part.made_from
        if known is not None:
            costs = f"about {_span(known.low, known.high)} {known.currency or 'in your money'} for the {stuff} again"
        elif main is not None:
            costs = f"the {stuff} again ({self.q(main[0].amount.high, main[0].amount.unit)}, at a price that is not known)"
        else:
            costs = f"the {stuff} again"
        noticed = self._noticed(part)
        days, when = None, " When it can be done again is not known without the place."
        if self.filled.site is not None and noticed is not None:
            seen = start + dt.timedelta(days=noticed)
            windows = self.filled.windows(draft.key, draft.variant)
            at = dates.day_of_year(seen)
            if windows.quality_on(at) in OPEN_QUALITIES or (
                draft.variant == "dormant" and windows.quality_on(at) == "dormant"
            ):
                days, when = (
                    noticed,
                    f" It is seen after {_count(noticed, 'day')}, and the window is then still open: sow, lay or plant again at once.",
                )
            elif (following := windows.next_opening(at)) is not None:
                again = dates.date_on_or_after(following.opens, seen)
                days = (again - start).days
                when = f" The next window opens on about {day(again)}."
            else:
                when = " No other window of this grass opens here."
        lost = "" if days is None else f" and {_count(max(1, round(days / 7)), 'week')}"
        return out.Failure(
            zone=part.name, what=what, low=known.low if known else None, high=known.high if known else None, currency=known.currency if known else "",
            days_lost=days, text=f"A failed {word} costs {costs}{lost}, work, hire and water not counted.{when}",
        )  # fmt: skip

    def _noticed(self, part: Part) -> int | None:
        """Days from the start until it shows that the grass has failed: seed not up, sod not held, sprigs not green."""
        if part.made_from == "seed":
            found = self.k.value("germination-days-high", str(part.facts.get("option.lead-grass", "")))
        elif part.made_from == "sod":
            weeks = self.value("sod-unrooted-weeks", part, "week")
            found = None if weeks is None else weeks * 7
        else:
            found = self.k.value("sprig-damp-days-high")
        return None if found is None else math.ceil(found)


def _money(
    what: str, zone: str, kind: Literal["material", "hire", "labour", "contractor", "water"], cost: out.Cost
) -> out.MoneyRow:
    return out.MoneyRow(
        what=what,
        zone=zone,
        kind=kind,
        low=cost.low,
        high=cost.high,
        currency=cost.currency,
        year=cost.year,
        how=cost.how,
    )


def _totals(rows: Sequence[out.MoneyRow]) -> list[out.MoneyRow]:
    """One row for each kind and currency."""
    found: list[out.MoneyRow] = []
    for kind in _KINDS:
        for currency in sorted({row.currency for row in rows if row.kind == kind}):
            held = [row for row in rows if row.kind == kind and row.currency == currency]
            years = sorted({year for row in held for year in row.year.split("-")})
            found.append(out.MoneyRow(
                what=kind, zone="", kind=kind, low=round(sum(row.low or 0 for row in held), 2), high=round(sum(row.high or 0 for row in held), 2), currency=currency,
                year=years[0] if len(years) == 1 else f"{years[0]}-{years[-1]}", how=f"sum of {_count(len(held), 'price')}",
            ))  # fmt: skip
    return found


def _span(low: float, high: float) -> str:
    ends = [number(float(f"{end:.2g}")) for end in (low, high)]
    return ends[0] if ends[0] == ends[1] else f"{ends[0]} to {ends[1]}"


def _count(times: int, word: str) -> str:
    return f"1 {word}" if times == 1 else f"{times} {word}s"
