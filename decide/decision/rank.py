"""Grades at both ends, verdict facts and the order: each option is judged on named criteria, and the order
can be re-derived by hand.

What nobody told is read at both ends. The worst end counts every rule that fired and every rule that could
still fire; the best end counts what fired. A fact with a usual reading (knowledge/usual.toml) is read so:
what that makes bad counts as bad, and where it makes good, the verdict names it as something that it rests
on.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Final, Generic, TypeVar, get_args, overload

from decide.engine.language import ADVERSE, CRITERIA, GRADES, CouldFire, Fact, Firing, Judged, Rule
from decide.facts.draft import Draft
from decide.knowledge.schema import CostClass
from decide.knowledge.tables import Knowledge

RANK: Final = {grade: place for place, grade in enumerate(GRADES)}
VERDICT_ORDER: Final = ("advised", "sound", "risky", "late", "not-advised", "ruled-out")
LIKE_TO_LIKE: Final = "the grass that stands there"
WISH: Final = "your wish"
SOUND: Final = ("advised", "sound")
USABLE: Final = ("advised", "sound", "risky", "late")
UNKNOWN: Final = "unknown"
RULED_OUT: Final = "lost"
COST_CLASSES: Final[tuple[str, ...]] = get_args(CostClass)


T = TypeVar("T")


class Lazy(Generic[T]):
    """A list that may be given as what makes it: it is made when somebody first reads it."""

    def __set_name__(self, owner: type, name: str) -> None:
        self._place = f"_{name}"

    @overload
    def __get__(self, holder: None, owner: type) -> Callable[[], list[T]]: ...
    @overload
    def __get__(self, holder: object, owner: type) -> list[T]: ...
    def __get__(self, holder: object | None, owner: type) -> list[T] | Callable[[], list[T]]:
        if holder is None:
            # The default of the field.
            return list
        held: list[T] | Callable[[], list[T]] = holder.__dict__[self._place]
        if callable(held):
            held = holder.__dict__[self._place] = held()
        return held

    def __set__(self, holder: object, given: list[T] | Callable[[], list[T]]) -> None:
        holder.__dict__[self._place] = given


@dataclass
class Weighed:
    """An option with everything that was found about it.

    `grades` holds the worst end of each criterion in the order's reading, `bests` the best end; `remote`
    names the rules that only an unusual reading of something untold would make speak against it, `doubts`
    those that it would make doubt it.
    """

    draft: Draft
    facts: Mapping[str, Fact]
    firings: Lazy[tuple[Rule, Firing]] = Lazy()
    could: Lazy[tuple[Rule, CouldFire]] = Lazy()
    grades: dict[str, str] = field(default_factory=dict)
    bests: dict[str, str] = field(default_factory=dict)
    open: Lazy[Rule] = Lazy()
    remote: Lazy[Rule] = Lazy()
    doubts: Lazy[Rule] = Lazy()
    verdict: str = ""
    verdict_rule: str = ""
    roles: frozenset[str] = frozenset()
    ready: dt.date | None = None
    cost: float | None = None

    @property
    def ruled_out(self) -> str:
        """none, could-fire or fired."""
        if any(rule.then.act == "rule-out" for rule, _ in self.firings):
            return "fired"
        return "could-fire" if any(rule.then.act == "rule-out" for rule, _ in self.could) else "none"

    @property
    def way(self) -> tuple[str, str, str, str]:
        """What it is, whenever it starts: remedy, method, grass, variant."""
        d = self.draft
        return d.remedy, d.method, d.plant, d.variant

    def follows(self, stopgap: Weighed) -> bool:
        """Whether it starts after a stopgap and has the ground to itself until it bears light use, for as far
        as is known.
        """
        short = self.facts.get("option.free-short-light")
        starts = (
            self.draft.start is not None
            and stopgap.draft.start is not None
            and self.draft.start > stopgap.draft.start
        )
        return starts and not (isinstance(short, float) and short > 0)

    @property
    def only_late(self) -> bool:
        """Whether nothing but the date wanted rules it out."""
        return all(
            rule.then.target == "ready-in-time" for rule, _ in self.firings if rule.then.act == "rule-out"
        )

    @property
    def rests_on(self) -> list[Rule]:
        """The rules against it that an answer could still make or keep true, the gravest first."""
        rows = {rule.id: rule for rule in (*self.open, *self.remote)}
        return sorted(
            rows.values(),
            key=lambda rule: (
                rule.then.act != "rule-out",
                rule in self.remote,
                RANK.get(rule.then.grade, -1),
            ),
        )


def worst(grades: Iterable[str]) -> str:
    """The worst of some grades in the order of GRADES; unknown where there is none."""
    return min(grades, key=RANK.__getitem__, default=UNKNOWN)


def best(grades: Iterable[str]) -> str:
    """The best of some grades; unknown where there is none."""
    return max(grades, key=RANK.__getitem__, default=UNKNOWN)


def grade_of(rule: Rule) -> str:
    """The grade that a mark gives, or what rules out."""
    return RULED_OUT if rule.then.act == "rule-out" else rule.then.grade


def is_hanging(rule: Rule, open_: Sequence[str], closed: Callable[[str], bool]) -> bool:
    """Whether an answer could still show that one of the open exceptions lifts the rule."""
    return any(
        not closed(name)
        for exception in rule.unless
        if exception.name in open_
        for condition in exception.when
        for name in condition.facts
    )


@dataclass
class Reading:
    """The rules that fired and could fire on one option."""

    firings: list[tuple[Rule, Firing]] = field(default_factory=list)
    could: list[tuple[Rule, CouldFire]] = field(default_factory=list)


def readings(judged: Judged, rules: Mapping[str, Rule], names: Iterable[str]) -> dict[str, Reading]:
    """What was judged of some subjects, by subject, each with its rule."""
    found = {name: Reading() for name in names}
    for firing in judged.firings:
        found[firing.subject].firings.append((rules[firing.rule], firing))
    for could in judged.could:
        found[could.subject].could.append((rules[could.rule], could))
    return found


def bound(w: Weighed, usual: Reading, closed: Callable[[str], bool], quiet: frozenset[str]) -> None:
    """Put in the grades of an option at both ends, and the rules that stand open.

    `usual` are the rules that fired and could fire on it in the usual reading of what is not told. A rule
    that hangs on a fact which no answer can bring (`closed`) does not stand open: it is as if it were not
    there. The order is silent on `quiet` facts.
    """
    sure: dict[str, list[str]] = {criterion: [] for criterion in CRITERIA}
    maybe: dict[str, list[str]] = {criterion: [] for criterion in CRITERIA}
    for rule, firing in usual.firings:
        if rule.then.act == "mark":
            hanging = is_hanging(rule, firing.open, lambda name: closed(name) or name in quiet)
            (maybe if hanging else sure)[rule.then.target].append(rule.then.grade)
    for rule, could in usual.could:
        if rule.then.act in ("mark", "rule-out") and waits(could, closed, quiet):
            maybe[rule.then.target].append(grade_of(rule))
    for rule, _ in usual.firings:
        # What rules out grades its criterion only where no mark says how bad it is.
        if rule.then.act == "rule-out" and not sure[rule.then.target]:
            sure[rule.then.target].append(RULED_OUT)
    w.open, w.remote, w.doubts = standing_open(Reading(w.firings, w.could), usual, closed, quiet)
    w.grades = {
        criterion: worst([*sure[criterion], *maybe[criterion], *([] if sure[criterion] else [UNKNOWN])])
        for criterion in CRITERIA
    }
    w.bests = {
        criterion: worst(sure[criterion]) if sure[criterion] else best([*maybe[criterion], UNKNOWN])
        for criterion in CRITERIA
    }


def waits(could: CouldFire, closed: Callable[[str], bool], quiet: frozenset[str] = frozenset()) -> bool:
    """Whether a rule hangs on facts that answers can bring."""
    return bool(could.unknown) and not any(closed(name) or name in quiet for name in could.unknown)


def standing_open(
    told: Reading, usual: Reading, closed: Callable[[str], bool], quiet: frozenset[str]
) -> tuple[list[Rule], list[Rule], list[Rule]]:
    """The rules that an answer could still make or keep true of an option, as `bound` puts them in: those
    against it in the usual reading; of the others those against it, and those that would doubt it.
    """
    fired = {rule.id for rule, firing in told.firings if not firing.open}
    here = {rule.id: rule for rule, _ in usual.firings if rule.adverse and rule.id not in fired}
    for rule, could in usual.could:
        if rule.adverse and waits(could, closed, quiet):
            here[rule.id] = rule
    usually = {rule.id for rule, _ in usual.firings}
    # What is usual lifts some rules that fire: what is not leaves them.
    away = [
        *(rule for rule, could in told.could if rule.id not in here and waits(could, closed)),
        *(
            rule
            for rule, firing in told.firings
            if rule.id not in usually and is_hanging(rule, firing.open, closed)
        ),
    ]
    return (
        list(here.values()),
        [rule for rule in away if rule.adverse],
        [rule for rule in away if rule.then.act == "mark" and rule.then.grade == "doubtful"],
    )


LEVELS: Final = (("good", ("fair", "strong")), ("soft", (UNKNOWN, "doubtful")))


def end_of(worst_end: str, best_end: str) -> str:
    """How two ends of a grade stand together: good, soft (unknown or doubtful), open (bad at the worst end
    alone) or weak (bad at both).
    """
    if best_end in ADVERSE:
        return "weak"
    return next((name for name, grades in LEVELS if worst_end in grades), "open")


def _ends(w: Weighed, criteria: Iterable[str]) -> str:
    names = list(criteria)
    if not names:
        return "good"
    return end_of(worst(w.grades[name] for name in names), worst(w.bests[name] for name in names))


TIME: Final = "ready-in-time"


def verdict_facts(
    w: Weighed, essential: frozenset[str], perhaps: frozenset[str] = frozenset()
) -> dict[str, Fact]:
    """What the verdict rules of options read: whether it is ruled out, how the criteria that count stand at
    both ends, and what is silent; of those that an answer could make essential (`perhaps`) too.
    """
    others = [
        criterion for criterion in CRITERIA if criterion not in essential and criterion not in ("risk", TIME)
    ]
    # Money counts where no budget was told too: what it costs must be borne.
    heavy = {"risk", "money", *essential, *perhaps}
    most = _ends(w, [criterion for criterion in CRITERIA if criterion in essential and criterion != TIME])
    time, risk = _ends(w, [TIME]) if TIME in essential else "free", _ends(w, ["risk"])
    soft = "soft" in (most, time) or worst(w.grades[criterion] for criterion in others) in ADVERSE
    silent = any(rule.then.target in heavy for rule in w.remote) or any(
        rule.then.target in essential | perhaps for rule in w.doubts
    )
    # What is bad in a criterion that may come to count hangs on that answer, even where it is surely bad.
    hangs = "open" in (most, time, risk) or _ends(w, perhaps) in ("open", "weak")
    return {
        "option.rule-out": w.ruled_out,
        "option.essential": most,
        "option.time": time,
        "option.risk-end": risk,
        "option.open": "some" if hangs else "none",
        "option.soft": "some" if soft else "none",
        "option.silence": "speaks" if silent else "none",
    }


def role_facts(w: Weighed, essential: frozenset[str]) -> dict[str, Fact]:
    """What the rules of the programme read: the verdict, and how it would stand if it need not be in time, or
    need not last.
    """
    return {
        "option.verdict": w.verdict,
        "option.ruled-out-by": "nothing" if w.ruled_out != "fired" else "the-date" if w.only_late else "more",
        "option.in-time": _ends(w, [TIME]),
        "option.lasting": _ends(w, ["lasts"]),
        "option.else-essential": _ends(
            w,
            [
                criterion
                for criterion in CRITERIA
                if criterion in essential and criterion not in (TIME, "lasts", "stands-use")
            ],
        ),
        "option.stood": _ends(w, ["stands-use"]) if "stands-use" in essential else "good",
        "option.risk-end": _ends(w, ["risk"]),
        "option.place-end": _ends(w, ["fits-place"]),
    }


def criteria_order(knowledge: Knowledge, wishes: Sequence[str]) -> tuple[str, ...]:
    """The criteria that stand before any wish, then those of the wishes, then the others in the
    stated order.
    """
    wished = [knowledge.wishes[wish] for wish in wishes if wish in knowledge.wishes]
    return tuple(dict.fromkeys([*knowledge.order[: knowledge.before_wishes], *wished, *knowledge.order]))


def goes_first(weighed: Weighed) -> bool:
    """Whether a rule puts it before options that are judged alike."""
    return weighed.facts.get("option.goes-first") is True


def is_wished(weighed: Weighed) -> bool:
    """Whether it is what the person had in mind, and sound."""
    return weighed.facts.get("option.wished") == "wished" and weighed.verdict in SOUND


def sort_key(weighed: Weighed, order: Sequence[str]) -> tuple[object, ...]:
    """Where an option stands: verdict, a sound wish, the worst ends in order, the best ends, what goes first
    by rule, date, cost, the usual cost of the method, code.
    """
    verdict = VERDICT_ORDER.index(weighed.verdict)
    return (
        verdict if not is_wished(weighed) else 0,
        not is_wished(weighed),
        verdict,
        tuple(-RANK[weighed.grades[criterion]] for criterion in order),
        tuple(-RANK[weighed.bests[criterion]] for criterion in order),
        not goes_first(weighed),
        weighed.ready or dt.date.max,
        weighed.cost if weighed.cost is not None else float("inf"),
        _dearness(weighed),
        weighed.draft.code,
    )


def first_difference(better: Weighed, other: Weighed, order: Sequence[str]) -> str:
    """The first place in the order where two options differ: WISH, "verdict", a criterion, LIKE_TO_LIKE,
    "date", "cost", "cost-class" or "code".
    """
    if is_wished(better) != is_wished(other):
        return WISH
    if better.verdict != other.verdict:
        return "verdict"
    for ends in ("grades", "bests"):
        one, two = getattr(better, ends), getattr(other, ends)
        for criterion in order:
            if one[criterion] != two[criterion]:
                return criterion
    if goes_first(better) != goes_first(other):
        return LIKE_TO_LIKE
    figures = (
        ("date", better.ready, other.ready),
        ("cost", better.cost, other.cost),
        ("cost-class", _dearness(better), _dearness(other)),
    )
    return next((place for place, one, two in figures if one != two), "code")


def _dearness(weighed: Weighed) -> int:
    """How dear the method usually is, where no sum parts two ways; what plants nothing costs least."""
    held = weighed.facts.get("option.cost-class")
    return 1 + COST_CLASSES.index(held) if isinstance(held, str) else 0


def ends_at(better: Weighed, other: Weighed, criterion: str) -> tuple[str, str]:
    """The grades by which one option stands before another on a criterion: the worst ends where these differ,
    else the best ends.
    """
    pair = better.grades[criterion], other.grades[criterion]
    return pair if pair[0] != pair[1] else (better.bests[criterion], other.bests[criterion])
