"""Trials: a situation with some answers changed, and whether the first choices of a finished consultation still stand."""

from __future__ import annotations

import copy
import datetime as dt
from collections.abc import Iterable, Mapping
from functools import cached_property
from typing import TYPE_CHECKING, Any, Final

from decide.engine.judge import Judge
from decide.engine.language import Fact, Subject
from decide.errors import SituationError
from decide.measure.weather import DailyWeather
from decide.situation import DONT_KNOW, Situation, situation_from_dict
from decide.weigh import VERDICT_ORDER, Chosen, Weighed, choose, criteria_order, sort_key

if TYPE_CHECKING:
    from decide.consult import Adviser, Consultation, Diagnosis, Layer

Answers = dict[str, Any]
# Answers that measures of options and their starts read; all others bear on options only through facts of site and zone.
OPTION_KEYS: Final = frozenset({
    "place.name", "zone", "use", "offer", "dates.play_by", "dates.first_use", "dates.no_play", "dates.no_work",
    "field.area_m2", "zone.area_m2", "zone.in_play", "zone.grass", "zone.sun_hours", "means.water", "means.wettings_weekday", "means.flow_l_min",
    "means.watering_hours_day", "means.equipment_own", "means.equipment_hire", "means.contractor", "means.work_hours_per_week",
    "means.budget", "wishes.first", "history.herbicides",
})  # fmt: skip
_BY_AREA: Final = (
    "option.area-m2", "option.litres-", "option.water-hours-day", "option.labour-hours.", "option.work-weeks", "option.cost.", "option.budget-short.",
)  # fmt: skip
_BY_GROWTH: Final = ("option.light-use-days.late", "option.full-play-days.late", "option.spare", "option.free-short-")
# Of these, the ones that can be tried quickly, with the facts of options that they move (each name stands for all that begin so).
MOVES: Final[Mapping[str, tuple[str, ...]]] = {
    "dates.first_use": ("option.spare.",), "means.wettings_weekday": ("option.visits-short", "option.litres-short"),
    "means.flow_l_min": ("option.litres-short", "option.water-hours-day"), "means.watering_hours_day": ("option.litres-short",),
    "means.equipment_own": ("option.machine",), "means.equipment_hire": ("option.machine",),
    "means.contractor": ("option.machine", "option.cost.", "option.budget-short."), "means.work_hours_per_week": ("option.work-weeks",),
    "field.area_m2": _BY_AREA, "zone.area_m2": _BY_AREA, "means.budget": ("option.budget-short.",), "offer": ("option.offer", "option.cost.", "option.budget-short."), "wishes.first": (),
    "zone.sun_hours": _BY_GROWTH, "means.water": ("option.visits-short", "option.litres-short", "option.water-hours-day", *_BY_GROWTH),
    "dates.play_by": ("option.spare", "option.free-"), "zone.in_play": ("option.free-",), "zone.grass": ("option.matches-standing",),
}  # fmt: skip
# And of these, the ones that change what is listed: starts on days without play, and winter grass over a warm-season one.
RELISTED: Final = ("zone.in_play", "zone.grass")


def with_plain_engine(adviser: Adviser) -> Adviser:
    """The same adviser with the plain engine alone: trials need no second opinion, the advice itself is checked by both.

    What trials on one situation have in common is measured once and kept with it.
    """
    plain = copy.copy(adviser)
    plain.measured = {}
    if adviser.judge.names != ["plain"]:
        plain.judge = Judge(adviser.base, "plain")
    return plain


def as_answers(situation: Situation) -> Answers:
    """A situation as the nested table that it could have been read from."""
    out: Answers = situation.model_dump(mode="json", by_alias=True, exclude_none=True)
    return {key: value for key, value in out.items() if value != {} and (value != [] or key not in ("zone", "proposal"))}


def as_situation(answers: Mapping[str, Any], today: dt.date) -> Situation | None:
    """The situation that the answers give on a day, without proposals; None where they cannot be read."""
    out: Answers = copy.deepcopy({key: value for key, value in answers.items() if key != "proposal"})
    dates = out.get("dates")
    out["dates"] = {**(dates if isinstance(dates, dict) else {}), "today": today.isoformat()}
    if out.get("zone") == DONT_KNOW:
        del out["zone"]
    history = out.get("history")
    sprays = history.get("herbicides") if isinstance(history, dict) else None
    for spray in sprays if isinstance(sprays, list) else ():
        if isinstance(spray, dict):
            for key, careful in (("class", "unknown"), ("date", today.isoformat())):
                if spray.get(key) in (None, DONT_KNOW):
                    spray[key] = careful
    try:
        return situation_from_dict(out)
    except SituationError:
        return None


Choice = tuple[tuple[str, str] | None, ...]


def choice_of(chosen: Chosen) -> Choice:
    """What a zone is told first, as codes with their verdicts: the stopgap, the option, the least bad."""
    return tuple(None if w is None else (w.draft.code, w.verdict) for w in (chosen.stopgap, chosen.option, chosen.least_bad))


def own_cautions(w: Weighed) -> set[str]:
    return {rule.then.target for rule, _ in w.firings if rule.then.act == "caution"}


def cautions_of(layer: Layer) -> set[str]:
    return {rule.then.target for rows in layer.fired.values() for rule, _ in rows if rule.then.act == "caution"}


class Base:
    """A consultation that trials are compared with, and what of it could still move.

    A rule that fired, with no exception open, fires whatever else becomes known. So an option that such rules hold
    under the verdict of the first choice cannot overtake it, and is not judged again.
    """

    def __init__(self, consultation: Consultation) -> None:
        self.c = consultation
        self._best: dict[tuple[str, frozenset[str], frozenset[str]], dict[str, str]] = {}

    @cached_property
    def first(self) -> dict[str, Choice]:
        """The first choice of each zone with its verdict."""
        return {zone: choice_of(chosen) for zone, chosen in self.c.chosen.items()}

    @cached_property
    def cautions(self) -> set[str]:
        """The cautions of site and zones, and of the first choices."""
        found = cautions_of(self.c.site_layer) | cautions_of(self.c.zone_layer)
        return found.union(*(own_cautions(w) for chosen in self.c.chosen.values() for w in chosen.named))

    @cached_property
    def live(self) -> frozenset[str]:
        """The facts that could still move a rule about an option: unknown ones in rules that could fire or stand open."""
        names: set[str] = set()
        for w in self.c.weighed.values():
            for rule, could in w.could:
                names.update(could.unknown)
                names.update(name for exception in rule.unless for condition in exception.when for name in condition.facts)
            for rule, firing in w.firings:
                for exception in rule.unless:
                    if exception.name in firing.open:
                        names.update(name for condition in exception.when for name in condition.facts)
        return frozenset(names)

    @cached_property
    def read(self) -> frozenset[str]:
        """The facts that some rule about an option reads."""
        strata = self.c.adviser.base.strata["option"]
        return frozenset(name for stratum in strata for rule in stratum for condition in rule.conditions for name in condition.facts)

    def differing(self, other: Diagnosis) -> frozenset[str]:
        """The facts of site and zones that are other ones, or known in one only, in another diagnosis."""
        pairs = [(self.c.site, other.site), *((self.c.zone_facts[code], other.zone_facts[code]) for code in self.c.zones)]
        return frozenset(name for mine, theirs in pairs for name in mine.keys() | theirs.keys() if mine.get(name) != theirs.get(name))

    def is_weighed_alike(self, half: Diagnosis, differing: Iterable[str]) -> bool:
        """Whether no rule and no figure of an option can move, where only these facts of site and zones differ.

        Rules are three-valued, so a fact that becomes known moves only rules that it left undecided.
        """
        known = self.c.site.keys() | {name for facts in self.c.zone_facts.values() for name in facts}
        moves = (name.startswith("zone.recovery-days") or (name in self.read and (name in known or name in self.live)) for name in differing)
        return self.c.remedies() == half.remedies() and self.c.essential == half.essential and not any(moves)

    def overtakes(self, half: Diagnosis, moved: frozenset[str], cautions: bool = True, relisted: bool = False) -> bool:
        """Whether another diagnosis, in which only the facts `moved` differ, gives a zone another first choice or, where asked for, a caution."""
        moved = moved | self._concluded(moved)
        listed = self.c.drafts if half.remedies() == self.c.remedies() and not relisted else half.options()
        still = {draft.code for draft in listed}
        if any(w.draft.code not in still for chosen in self.c.chosen.values() for w in chosen.named):
            return True
        order = criteria_order(half.knowledge, half.filled.situation.wishes.first or [])
        again = list(half.weigh([w.draft for chosen in self.c.chosen.values() for w in chosen.named]).values())
        verdicts = {w.draft.code: w.verdict for w in again}
        if any(verdicts[w.draft.code] != w.verdict for chosen in self.c.chosen.values() for w in chosen.named):
            return True
        if cautions and set[str]().union(*map(own_cautions, again)) - self.cautions:
            return True
        drafts = [draft for draft in listed if draft.code not in self.c.weighed]
        for zone, chosen in self.c.chosen.items():
            named = chosen.named
            if not named:
                continue
            codes = {w.draft.code for w in named}
            least = max(VERDICT_ORDER.index(w.verdict) for w in named)
            if any(w.grades["lasts"] == "weak" for w in [*named, *again] if w.draft.code in codes):
                # what does not last is followed by what does, which may be any option, also one that is only too late
                least = len(VERDICT_ORDER)
            if (zone, half.essential, moved) not in self._best:
                self._best[zone, half.essential, moved] = self._at_best(zone, half, moved)
            at_best = self._best[zone, half.essential, moved]
            drafts += [draft for draft in listed if draft.code in at_best and (draft.code in codes or VERDICT_ORDER.index(at_best[draft.code]) <= least)]
        others = half.weigh([draft for draft in drafts if draft.code not in verdicts])
        ranked = sorted([*again, *others.values()], key=lambda w: sort_key(w, order))
        return any(choice_of(choose([w for w in ranked if w.draft.zone == zone])) != first for zone, first in self.first.items())

    def _concluded(self, moved: frozenset[str]) -> frozenset[str]:
        """The derived facts of options that rest on facts that moved."""
        names: set[str] = set()
        for stratum in self.c.adviser.base.strata["option"]:
            for rule in stratum:
                if rule.then.act == "conclude" and any(name in moved or name in names for c in rule.conditions for name in c.facts):
                    names.add(rule.then.target)
        return frozenset(names)

    def _at_best(self, zone: str, half: Diagnosis, moved: frozenset[str]) -> dict[str, str]:
        """The best verdict that each option of a zone can get, by the verdict rules, while the rules that are firm keep firing."""
        firm: dict[str, bool] = {}
        subjects: list[Subject] = []
        for w in self.c.weighed.values():
            if w.draft.zone != zone:
                continue
            weak: set[str] = set()
            out = "none"
            for rule, firing in w.firings:
                if rule.then.act not in ("mark", "rule-out") or (rule.then.act == "mark" and rule.then.grade != "weak") or firing.open:
                    continue
                if rule.id not in firm:
                    firm[rule.id] = not any(name in moved for condition in rule.conditions for name in condition.facts)
                if firm[rule.id]:
                    out = "fired" if rule.then.act == "rule-out" else out
                    weak.add(rule.then.target)
            best: dict[str, Fact] = {
                "option.rule-out": out,
                "option.worst-essential": "weak" if weak & half.essential else "strong",
                "option.risk-grade": "weak" if "risk" in weak else "strong",
                "option.worst-other": "weak" if weak - half.essential - {"risk"} else "strong",
            }
            subjects.append(Subject(w.draft.code, best))
        judged = half.adviser.judge.judge("option-verdict", subjects)
        return {firing.subject: half.adviser.rules[firing.rule].then.target for firing in judged.firings}


class Trier:
    """Runs changed answers against one finished consultation, judging again only what the change can touch; counts what it ran.

    `adviser` is one with the plain engine.
    """

    def __init__(self, adviser: Adviser, base: Base, today: dt.date, weather: DailyWeather | None = None) -> None:
        self.adviser, self.base, self.today, self.weather = adviser, base, today, weather
        self.trials = self.whole_trials = 0

    def alters(self, answers: Mapping[str, Any], keys: Iterable[str], cautions: bool = True) -> bool:
        """Whether answers that differ in `keys` alone change a first choice or, where asked for, add a caution.

        Answers that contradict each other, or that cannot be read, change nothing.
        """
        situation = as_situation(answers, self.today)
        if situation is None:
            return False
        keys = tuple(keys)
        self.trials += 1
        try:
            half = self.adviser.diagnose(situation, self.weather)
            if cautions and (cautions_of(half.site_layer) | cautions_of(half.zone_layer)) - self.base.cautions:
                return True
            if all(key not in OPTION_KEYS or key in MOVES for key in keys):
                differing = self.base.differing(half)
                if not any(key in OPTION_KEYS for key in keys) and self.base.is_weighed_alike(half, differing):
                    return False
                return self.base.overtakes(half, differing.union(*(self._moved(key) for key in keys)), cautions, any(key in RELISTED for key in keys))
            self.whole_trials += 1
            tried = Base(self.adviser.consult(situation, weather=self.weather))
        except SituationError:
            return False
        return tried.first != self.base.first or (cautions and bool(tried.cautions - self.base.cautions))

    def _moved(self, key: str) -> frozenset[str]:
        """The facts of options that an answer moves, by name."""
        return frozenset(name for name in self.adviser.base.facts if name.startswith(MOVES.get(key, ())))
