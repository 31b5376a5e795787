"""Properties of choosing that hold of any situation, each a function that lists in words where it does not hold.

The harness sees a consultation only through `Seen`, `Row` and `Look`; where modules move, those three are mended.
"""

from __future__ import annotations

import copy
import datetime as dt
import json
import random
import re
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any, Final

from decide.answer.assemble import advice_of
from decide.consult import Adviser
from decide.decision.consultation import Consultation
from decide.engine.language import CRITERIA, GRADES, Rule
from decide.explain.changes import KEYS, plain_key, value_of, with_changes
from decide.model import advice as out
from decide.model.errors import SituationError
from decide.model.reading import situation_from_dict
from decide.model.situation import Situation
from decide.model.written import coded
from decide.questions.answers import Answers, as_answers
from decide.questions.open import Asked, possible_answers
from decide.questions.sensitivity import with_plain_engine
from tests.explain.few import mutants, values_of
from tests.shared import case_codes, case_of

# From the best to the worst. A program that has not all of these words is judged by those that it has.
VERDICTS: Final = ("advised", "sound", "risky", "late", "not-advised", "ruled-out")
USABLE: Final = ("advised", "sound", "risky")
REFUSED: Final = ("late", "not-advised", "ruled-out")
# Place and day are always known. Wants are no answers about the world: who leaves one out does not want them all.
NEVER_TAKEN: Final = ("place", "wishes", "proposal", "record", "ongoing", "done", "check", "seen")
NEVER_TAKEN_KEYS: Final = (
    "dates.today",
    "zone.name",
    "zone.keep_off",
    "means.currency",
    "means.wage_per_hour",
)
WHOLE_TABLES: Final = ("use", "offer")
# Answers with parts of their own, of which no few readings stand for all.
WITH_PARTS: Final = (*WHOLE_TABLES, "zone.grass", "history.herbicides")
EQUIPMENT: Final = ("means.equipment_own", "means.equipment_hire")
# One answer under two names: what is told in one way is tried in the other.
SAME_AS: Final[Mapping[str, str]] = {"field.length_m": "field.area_m2", "field.width_m": "field.area_m2"}
# Readings of a number that are tried before an apparent breach is believed.
MOST_TO_CONFIRM: Final = 24
WATERS: Final = ("none", "hand hose", "in-ground sprinklers")
CLOSING: Final = ("no", "signs", "locked")
# Facts that a day turns: what is known of today speaks for some days only, a start before which its work cannot
# be done is none, frost thins or kills what is sown a day later, and the day on which a season of play ends gives months of rest.
TURNED_IN_A_DAY: Final = frozenset(
    ("option.days-from-today", "option.start-short", "option.first-winter", "option.free-days")
)
# Law and frost may close a door in a day: words in the facts and numbers that a rule reads which rules out.
LAW_OR_FROST: Final = frozenset(("law", "label", "frost", "winter", "country", "pesticides"))

Kind = tuple[str, str, str, str, str]
Way = tuple[str, str, str, str]


# ---------- what is seen of a consultation ----------
@dataclass(frozen=True)
class Row:
    """One option of a consultation, judged."""

    place: int
    weighed: Any

    @property
    def draft(self) -> Any:
        return self.weighed.draft

    @property
    def code(self) -> str:
        return str(self.draft.code)

    @property
    def kind(self) -> Kind:
        """Zone, remedy, method, plant and variant: the option without its start."""
        d = self.draft
        return d.zone, d.remedy, d.method, d.plant, d.variant

    @property
    def way(self) -> Way:
        return self.kind[:4]

    @property
    def dated(self) -> tuple[Kind, dt.date | None]:
        return self.kind, self.draft.start

    @property
    def verdict(self) -> str:
        return str(self.weighed.verdict)

    @property
    def rank(self) -> int:
        """The place of its verdict, 0 for the best."""
        return VERDICTS.index(self.verdict)

    @property
    def refused(self) -> bool:
        return self.verdict in REFUSED

    @property
    def grades(self) -> Mapping[str, str]:
        return self.weighed.grades  # type: ignore[no-any-return]

    def worse_in(self, better: Row) -> list[str]:
        """The criteria in which it is graded worse than another row."""
        return [
            name for name in CRITERIA if GRADES.index(self.grades[name]) < GRADES.index(better.grades[name])
        ]

    @cached_property
    def fired(self) -> Mapping[str, Rule]:
        """The rules that grade it or rule it out."""
        return {rule.id: rule for rule, _ in self.weighed.firings if rule.then.act in ("mark", "rule-out")}

    def graded_by(self, criterion: str) -> list[str]:
        """The rules that give it its grade on a criterion."""
        return sorted(
            rule.id
            for rule in self.fired.values()
            if rule.then.target == criterion
            and (rule.then.act == "rule-out" or rule.then.grade == self.grades[criterion])
        )


class Seen:
    """A finished consultation: its options in order, by start, and the best of each kind."""

    def __init__(self, consultation: Consultation) -> None:
        self.c = consultation
        self.rows = [Row(place, w) for place, w in enumerate(consultation.ranked)]
        self.by_start = {row.dated: row for row in self.rows}
        self.best: dict[Kind, Row] = {}
        self.first: dict[str, Row] = {}
        for row in self.rows:
            self.best.setdefault(row.kind, row)
            if row.verdict in USABLE:
                self.first.setdefault(row.draft.zone, row)

    @property
    def chosen(self) -> list[Row]:
        """What the programme tells to do, stopgaps too; not the least bad of what is refused."""
        named = [w for each in self.c.chosen.values() for w in (each.stopgap, each.option) if w is not None]
        return [row for row in self.rows if any(row.weighed is w for w in named)]

    def conditions(self, row: Row) -> tuple[str, ...]:
        """The phrases that a verdict rests on. Looked for in the advice where the weighed option does not hold them."""
        held = getattr(row.weighed, "rests_on", None)
        if held is None and "rests_on" in out.Option.model_fields:
            held = next(
                (
                    getattr(option, "rests_on", ())
                    for option in advice_of(self.c).options
                    if option.code == row.code
                ),
                (),
            )
        return tuple(str(getattr(phrase, "id", phrase)) for phrase in held or ())

    @property
    def essential(self) -> frozenset[str]:
        return frozenset(getattr(self.c, "essential", ()))

    def moved(self, rows: Sequence[Row], days: int) -> list[Row]:
        """The same options started so many days later, listed or not."""
        drafts = [replace(row.draft, start=row.draft.start + dt.timedelta(days=days)) for row in rows]
        weighed = self.c.weigh(drafts)
        return [Row(-1, weighed[draft.code]) for draft in drafts]


class Look:
    """One situation by name, to be judged again with other answers by the plain engine alone."""

    def __init__(self, adviser: Adviser, name: str, situation: Situation) -> None:
        # a copy for each situation, which keeps what the variations of that one have in common
        self.adviser, self.name = with_plain_engine(adviser), name
        self.answers = as_answers(situation)
        self.answers.pop("proposal", None)

    def at(self, answers: Answers) -> Seen | None:
        """What is seen with some answers; None where they contradict each other."""
        try:
            return Seen(self.adviser.consult(situation_from_dict(answers)))
        except SituationError:
            return None

    @cached_property
    def full(self) -> Seen | None:
        return self.at(self.answers)

    @property
    def today(self) -> dt.date:
        return dt.date.fromisoformat(self.answers["dates"]["today"])


@dataclass(frozen=True, repr=False)
class Violation:
    """One place where a property does not hold, in words, with what it seems to come from."""

    broken: str
    situation: str
    asked: str
    option: str
    one: str
    other: str
    cause: str

    def __str__(self) -> str:
        return f"{self.broken}: {self.situation}: {self.asked}: {self.option}: {self.one}; {self.other} [{self.cause}]"

    __repr__ = __str__


def by_cause(found: Iterable[Violation], examples: int = 1) -> Iterator[str]:
    """A line for each broken property and cause, the most frequent first, and some examples of it."""
    found = list(found)
    for (broken, cause), times in Counter((v.broken, v.cause) for v in found).most_common():
        ours = [v for v in found if (v.broken, v.cause) == (broken, cause)]
        yield f"{times} x {broken} [{cause}], in {len({v.situation for v in ours})} situations"
        yield from (
            f"    {v.situation}: {v.asked}: {v.option}: {v.one}; {v.other}" for v in _spread(ours, examples)
        )


def _spread(found: Sequence[Violation], most: int) -> list[Violation]:
    """Some of the violations, of as many situations as can be."""
    first = {v.situation: v for v in reversed(found)}
    return list(first.values())[::-1][:most]


def why_worse(worse: Row, better: Row, worse_in: Seen | None = None, better_in: Seen | None = None) -> str:
    """By what one row is judged worse than another: rules that speak against it there alone, else what differs."""
    criteria = worse.worse_in(better)
    against = sorted(
        rule.id for rule in worse.fired.values()
        if rule.id not in better.fired
        and (
            rule.then.act == "rule-out"
            or (rule.then.target in criteria and rule.then.grade == worse.grades[rule.then.target])
        )
    )  # fmt: skip
    if not against:
        # graded alike at the worst end, but surely so in one of them and perhaps in the other
        low = GRADES[: GRADES.index("unknown")]
        against = sorted(
            rule.id for rule in worse.fired.values() if rule.id not in better.fired and rule.then.grade in low
        )
    if against:
        return ", ".join(against)
    lost = sorted(
        rule.id
        for rule in better.fired.values()
        if rule.id not in worse.fired and rule.then.target in criteria
    )
    if lost:
        return "without " + ", ".join(lost)
    added = sorted(
        (worse_in.essential if worse_in else frozenset())
        - (better_in.essential if better_in else frozenset())
    )
    if added:
        return "essential there: " + ", ".join(added)
    if criteria:
        return "graded worse: " + ", ".join(criteria)
    one, two = (getattr(row.weighed, "verdict_rule", "") for row in (worse, better))
    return f"verdict rule {one} instead of {two}"


# ---------- answers and their readings ----------
def answered_keys(answers: Mapping[str, Any]) -> list[str]:
    """The answers that could have been left out, each by its key; those of a zone with the zone's code."""
    found: list[str] = [key for key in WHOLE_TABLES if answers.get(key) is not None]
    for table, held in answers.items():
        if isinstance(held, Mapping) and table not in NEVER_TAKEN:
            found += [f"{table}.{key}" for key in held]
    for zone in answers.get("zone") or []:
        if zone.get("keep_off") is not True:
            found += [f"zone.{coded(zone['name'])}.{key}" for key in zone]
    keys = (
        SAME_AS.get(key, key)
        for key in found
        if plain_key(key) not in NEVER_TAKEN_KEYS and plain_key(key) in KEYS
    )
    return sorted(dict.fromkeys(keys))


def without(answers: Answers, key: str) -> Answers:
    """The answers with one of them not told, nor told in another way."""
    return with_changes(answers, {key: None})


def told(answers: Answers, key: str) -> Any:
    """What was told under a key, or the same thing under its other names."""
    held = value_of(answers, key)
    field = answers.get("field", {})
    if held is None and key == "field.area_m2" and "length_m" in field and "width_m" in field:
        return field["length_m"] * field["width_m"]
    return held


def reading(answers: Answers, key: str, value: Any) -> Answers:
    """The answers with one more told, and nothing else touched: a reading that contradicts the others stays one."""
    read = copy.deepcopy(answers)
    parts = key.split(".")
    if len(parts) == 1:
        read[key] = value
        return read
    if parts[0] == "zone":
        tables = [zone for zone in read.get("zone") or [] if coded(str(zone["name"])) == parts[1]]
    else:
        tables = [read.setdefault(parts[0], {})]
    for table in tables:
        table[parts[-1]] = copy.deepcopy(value)
    return read


@dataclass(frozen=True)
class Readings:
    """What a missing answer may have been. `some` is tried first, `more` before a breach is believed.

    `whole` says that they stand for every answer that there is; else they are a few of them.
    """

    some: tuple[Any, ...]
    more: tuple[Any, ...]
    whole: bool


def readings(look: Look, key: str, most: int) -> Readings:
    """The told answer, the ends, and so many others that questions or facts name for a key."""
    knowledge, types = look.adviser.knowledge, look.adviser.base.facts
    plain, zone = plain_key(key), key.split(".")[1] if key.count(".") == 2 else None
    question = next((q for q in knowledge.questions if q.key == plain), None)
    kind = next((k for k in types.values() if k.told == plain and k.name.count(".") == 1), None)
    named = (
        []
        if question is None
        else possible_answers(Asked(question, zone, tuple(plain.split("."))), types, look.today)
    )
    usual = getattr(kind, "usual", None)
    usuals = list(usual.values()) if isinstance(usual, Mapping) else [] if usual is None else [usual]
    held = told(look.answers, key)
    # questions list the machines that clubs have; a file may name any
    every = [machines(look.adviser)] if plain in EQUIPMENT else []
    others = [*every, *named, *([] if kind is None else values_of(kind)), *usuals]
    found: dict[str, Any] = {}
    for value in [held, *others]:
        if value is not None:
            found.setdefault(json.dumps(_plain(value), sort_keys=True, default=str), value)
    values = list(found.values())
    if plain == "history.herbicides":
        # no question lists what may have been sprayed: nothing, and two sprays of three weeks ago, stand for it
        date = (look.today - dt.timedelta(days=21)).isoformat()
        values += [[], *([{"class": spray, "date": date}] for spray in ("mitosis-long", "unknown"))]
    more = values[most:]
    if kind is not None and kind.type == "number" and kind.low is not None and kind.high is not None:
        apart = (kind.high - kind.low) / MOST_TO_CONFIRM
        more += [kind.low + apart * n for n in range(1, MOST_TO_CONFIRM)]
    if question is not None and question.kind == "date":
        more += [(look.today + dt.timedelta(days=days)).isoformat() for days in range(7, 365, 14)]
    # No few dates stand for all: there is always a later one.
    whole = bool(others) and plain not in WITH_PARTS and (question is None or question.kind != "date")
    return Readings(tuple(values[:most]), tuple(more), whole)


def machines(adviser: Adviser) -> list[str]:
    """Every machine that some method takes."""
    return sorted(
        {tool for method in adviser.knowledge.methods.values() for group in method.machines for tool in group}
    )


def _plain(value: Any) -> Any:
    """A value by which two ways to write the same answer are told to be one."""
    if isinstance(value, str):
        return coded(value)
    return float(value) if isinstance(value, int) and not isinstance(value, bool) else value


def say(value: Any) -> str:
    return value if isinstance(value, str) else json.dumps(value, default=str)


# ---------- (a) and (b): a missing answer ----------
# Whether all that an answer has against an option is what silence may leave out: by its key, the option without the
# answer and with it.
Nothing = Callable[[str, Row, Seen, Row, Seen], bool]


def missing_answer(
    look: Look, key: str, most: int = 5, nothing: Nothing = lambda *_: False
) -> list[Violation]:
    """Breaches where one answer is not told, but for `nothing`.

    An option that is refused, and a way that stands first, under every reading is so without the answer. No option
    is advised that is less under some reading, nor sound without a condition that is refused under some reading.
    """
    less = without(look.answers, key)
    bare, choice = look.at(less), readings(look, key, most)
    if bare is None:
        return []
    seen = _under(look, less, key, choice.some)
    found = bolder(look, key, bare, seen, nothing)
    return found + (lost_everywhere(look, key, bare, seen, choice.more) if choice.whole and seen else [])


def lost_everywhere(
    look: Look, key: str, bare: Seen, seen: Mapping[str, Seen], more: Iterable[Any]
) -> list[Violation]:
    """What holds under every reading and is lost without the answer, unless further readings lift the breach."""

    def lost() -> list[Violation]:
        return refused_everywhere(look, key, bare, seen) + first_everywhere(look, key, bare, seen)

    less, seen = without(look.answers, key), dict(seen)
    found = lost()
    for value in more:
        if not found:
            break
        seen |= _under(look, less, key, [value])
        found = lost()
    return found


def _under(look: Look, less: Answers, key: str, values: Iterable[Any]) -> dict[str, Seen]:
    """What is seen under each reading that contradicts nothing."""
    tried = {say(value): look.at(reading(less, key, value)) for value in values}
    return {value: seen for value, seen in tried.items() if seen is not None}


def refused_everywhere(look: Look, key: str, bare: Seen, seen: Mapping[str, Seen]) -> list[Violation]:
    """Options that are refused under every reading at their best start, and not without the answer."""
    found: list[Violation] = []
    for kind, row in bare.best.items():
        others = {value: each.best.get(kind) for value, each in seen.items()}
        rows = {value: other for value, other in others.items() if other is not None}
        if row.refused or len(rows) < len(seen) or not all(other.refused for other in rows.values()):
            continue
        # where a reading lists the very start that is not refused now, it tells most
        value, worst = next(
            (
                (value, other)
                for value, each in seen.items()
                if (other := each.by_start.get(row.dated)) is not None
            ),
            next(iter(rows.items())),
        )
        said = f"refused under every reading, as {worst.verdict} with {value}"
        cause = f"{plain_key(key)}: {why_worse(worst, row, seen[value], bare)}"
        found.append(
            Violation(
                "refused under every reading", look.name, f"without {key}", row.code, row.verdict, said, cause
            )
        )
    return found


def first_everywhere(look: Look, key: str, bare: Seen, seen: Mapping[str, Seen]) -> list[Violation]:
    """Ways that stand first of a zone's usable options under every reading, and not without the answer."""
    found: list[Violation] = []
    for zone in bare.c.zones:
        firsts = [each.first.get(zone) for each in seen.values()]
        ways = {None if row is None else row.way for row in firsts}
        row, now = firsts[0], bare.first.get(zone)
        if len(ways) != 1 or row is None or (now is not None and now.way == row.way):
            continue
        said = "nothing is usable" if now is None else f"{now.code} is first ({now.verdict})"
        same = next((other for other in bare.rows if other.way == row.way), None)
        cause = f"{plain_key(key)}: " + ("not listed" if same is None else why_worse(same, row, bare))
        found.append(
            Violation(
                "first under every reading",
                look.name,
                f"without {key}",
                row.code,
                f"first under every reading ({row.verdict})",
                said,
                cause,
            )
        )
    return found


def bolder(
    look: Look, key: str, bare: Seen, seen: Mapping[str, Seen], nothing: Nothing = lambda *_: False
) -> list[Violation]:
    """Options advised without the answer and less under a reading, or sound with no condition and refused under one."""
    found: list[Violation] = []
    for row in bare.rows:
        if row.verdict not in ("advised", "sound"):
            continue
        under = [
            (value, each, other)
            for value, each in seen.items()
            if (other := each.by_start.get(row.dated)) is not None
        ]
        if not under:
            continue
        value, each, worst = max(under, key=lambda rows: rows[2].rank)
        if row.verdict == "advised" and worst.rank > row.rank:
            broken = "advised, and less under a reading"
        elif row.verdict == "sound" and worst.refused and not bare.conditions(row):
            broken = "sound with no condition, and refused under a reading"
        else:
            continue
        if nothing(plain_key(key), row, bare, worst, each):
            continue
        cause = f"{plain_key(key)}: {why_worse(worst, row, each, bare)}"
        found.append(
            Violation(
                broken,
                look.name,
                f"without {key}",
                row.code,
                row.verdict,
                f"{worst.verdict} with {value}",
                cause,
            )
        )
    return found


# ---------- (c) more of a means ----------
def more_of(look: Look, rng: random.Random) -> Iterator[tuple[str, dict[str, Any]]]:
    """Changes that give more of what is told, one at a time: what it is, and the answers that are other."""
    answers = look.answers
    for key, factor, added in (
        ("means.budget", 2, 1000), ("means.flow_l_min", 2, 0), ("means.wettings_weekday", 1, 1),
        ("means.wettings_weekend", 1, 1), ("means.watering_hours_day", 1, 2), ("means.helpers", 1, 2),
        ("means.work_hours_per_week", 1, 8),
    ):  # fmt: skip
        held = value_of(answers, key)
        if held is not None:
            yield f"{key} from {held:g} to {held * factor + added:g}", {key: held * factor + added}
    if value_of(answers, "means.contractor") is False:
        yield "a contractor", {"means.contractor": True}
    for key in EQUIPMENT:
        held = value_of(answers, key)
        free = [tool for tool in machines(look.adviser) if held is not None and tool not in held]
        if free:
            tool = rng.choice(free)
            yield f"{key} with a {tool} more", {key: [*held, tool]}
    for key, steps in (("means.water", WATERS), ("dates.can_close", CLOSING)):
        held = value_of(answers, key)
        if held in steps[:-1]:
            step = steps[steps.index(held) + 1]
            yield f"{key} from {held} to {step}", {key: step}


def more_means(look: Look, rng: random.Random, most: int = 99) -> list[Violation]:
    """Options whose verdict is worse at the same start with more of a means, or their readiness with a later date."""
    full, found = look.full, list[Violation]()
    if full is None:
        return found
    rows = list(more_of(look, rng))
    for what, changes in rng.sample(rows, min(most, len(rows))):
        richer = look.at(with_changes(look.answers, changes))
        for row, other in _pairs(full, richer):
            # Only of the leading options is it measured whether all that comes before a start leaves room for it.
            if other.rank > row.rank and "start-too-soon" not in other.fired:
                cause = f"{next(iter(changes))}: {why_worse(other, row, richer, full)}"
                found.append(
                    Violation(
                        "more of a means is worse",
                        look.name,
                        what,
                        row.code,
                        row.verdict,
                        f"then {other.verdict}",
                        cause,
                    )
                )
    return found + later_date(look, rng.choice((1, 7, 30)))


def later_date(look: Look, days: int) -> list[Violation]:
    """Options that are graded worse in being ready in time where the date wanted is later."""
    full, held = look.full, value_of(look.answers, "dates.play_by")
    if full is None or held is None:
        return []
    later = (dt.date.fromisoformat(held) + dt.timedelta(days=days)).isoformat()
    found: list[Violation] = []
    for row, other in _pairs(full, look.at(reading(look.answers, "dates.play_by", later))):
        one, two = row.grades["ready-in-time"], other.grades["ready-in-time"]
        if row.verdict == other.verdict == "ruled-out":
            # What rules it out tells; how bad the date would be beside that is nobody's question.
            continue
        if GRADES.index(two) < GRADES.index(one):
            cause = f"dates.play_by: {_by(row, 'ready-in-time')} -> {_by(other, 'ready-in-time')}"
            found.append(
                Violation(
                    "a later date is worse",
                    look.name,
                    f"play_by {days} days later",
                    row.code,
                    f"ready-in-time {one}",
                    f"then {two}",
                    cause,
                )
            )
    return found


def _pairs(one: Seen, other: Seen | None) -> Iterator[tuple[Row, Row]]:
    """The options with a start that both consultations list."""
    if other is not None:
        yield from ((row, other.by_start[row.dated]) for row in one.rows if row.dated in other.by_start)


# ---------- (d) a day's move ----------
def steps_apart(one: str, other: str) -> int:
    """Steps between two grades. "unknown" is no step between known ones: it does not mean a little better than weak."""
    known = [grade for grade in GRADES if grade != "unknown"]
    steps = abs(GRADES.index(one) - GRADES.index(other))
    return abs(known.index(one) - known.index(other)) if one in known and other in known else steps


def _by(row: Row, criterion: str) -> str:
    """The rules that give a grade; with a question mark those that only could, where no other does."""
    could = (
        f"{rule.id}?"
        for rule in getattr(row.weighed, "rests_on", ())
        if isinstance(rule, Rule) and rule.then.target == criterion
    )
    return "+".join(row.graded_by(criterion) or sorted(could)) or "no rule"


def is_law_or_frost(rule: Rule) -> bool:
    """Whether a rule rules out by law, by a label, or by frost."""
    words = {
        word
        for condition in rule.when
        for word in re.split(r"[^a-z]+", f"{condition.fact} {condition.value}")
    }
    return rule.then.act == "rule-out" and bool(words & LAW_OR_FROST)


def is_turned(rule: Rule, row: Row, other: Row) -> bool:
    """Whether a rule reads a fact that the day turned: measured once, or no longer the same by more than a day."""
    conditions = [*rule.when, *(condition for exception in rule.unless for condition in exception.when)]
    read = {condition.fact for condition in conditions} & TURNED_IN_A_DAY
    free = [each.weighed.facts.get("option.free-days") for each in (row, other)]
    rested = isinstance(free[0], float) and isinstance(free[1], float) and abs(free[0] - free[1]) <= 1
    return bool(read - {"option.free-days"}) or ("option.free-days" in read and not rested)


def cliffs(look: Look, what: str, broken: str, row: Row, other: Row) -> list[Violation]:
    """Grades of one option that a day moves by more than one step, where no law and no frost enters."""
    found: list[Violation] = []
    for criterion in CRITERIA:
        one, two = row.grades[criterion], other.grades[criterion]
        entering = [
            rule
            for here, there in ((row, other), (other, row))
            for rule in here.fired.values()
            if rule.id not in there.fired and rule.then.target == criterion
        ]
        if steps_apart(one, two) <= 1 or any(
            is_law_or_frost(rule) or is_turned(rule, row, other) for rule in entering
        ):
            continue
        cause = f"{criterion} {one} -> {two}: {_by(row, criterion)} -> {_by(other, criterion)}"
        found.append(Violation(broken, look.name, what, row.code, f"{criterion} {one}", f"then {two}", cause))
    return found


def a_day_later(look: Look) -> list[Violation]:
    """Cliffs between today and tomorrow, told dates fixed: an earliest start moves along, every other start stays."""
    full, tomorrow = look.full, (look.today + dt.timedelta(days=1)).isoformat()
    then = look.at(reading(look.answers, "dates.today", tomorrow))
    if full is None or then is None:
        return []
    earliest = {row.kind: row for row in then.rows if row.draft.start_kind == "earliest"}
    found: list[Violation] = []
    for row in full.rows:
        other = earliest.get(row.kind) if row.draft.start_kind == "earliest" else then.by_start.get(row.dated)
        # days without work may move the earliest start by more than a day
        if other is not None and (row.draft.start is None or (other.draft.start - row.draft.start).days <= 1):
            found += cliffs(look, f"today on {tomorrow}", "today's cliff", row, other)
    return found


def a_start_later(look: Look, rng: random.Random, most: int = 40) -> list[Violation]:
    """Cliffs between a start and the day after it, for some of the options with new grass."""
    full, found = look.full, list[Violation]()
    if full is None:
        return found
    rows = [row for row in full.rows if row.draft.remedy == "establish" and row.draft.start is not None]
    some = rng.sample(rows, min(most, len(rows)))
    for row, other in zip(some, full.moved(some, 1), strict=True):
        found += cliffs(look, f"started on {other.draft.start}", "a start's cliff", row, other)
    return found


# ---------- (e) thinning ----------
def thin(situation: Situation, rng: random.Random, keep: float) -> Situation:
    """A situation of which each answer is kept by that chance; place, today and wants are always kept."""
    answers = as_answers(situation)
    for key in answered_keys(answers):
        if rng.random() >= keep:
            answers = without(answers, key)
    return situation_from_dict(answers)


def thinner(look: Look, rng: random.Random, keep: float = 0.5) -> list[Violation]:
    """Where the advice on a thinned situation contradicts that on the full one."""
    full = look.full
    try:
        fewer = as_answers(thin(situation_from_dict(look.answers), rng, keep))
    except SituationError:
        return []
    thinned = look.at(fewer)
    if full is None or thinned is None:
        return []
    gone = [key for key in answered_keys(look.answers) if key not in answered_keys(fewer)]
    return contradictions(full, thinned, look.name, f"without {', '.join(gone) or 'nothing'}")


def contradictions(full: Seen, thinned: Seen, name: str, asked: str) -> list[Violation]:
    """What the fuller advice refuses is not advised in the thinner, nor what it rules out chosen with no condition."""
    found: list[Violation] = []
    for row, other in _pairs(thinned, full):
        if row.verdict == "advised" and other.verdict in ("not-advised", "ruled-out"):
            cause = why_worse(other, row, full, thinned)
            found.append(
                Violation(
                    "advised on fewer answers",
                    name,
                    asked,
                    row.code,
                    "advised",
                    f"{other.verdict} with all of them",
                    cause,
                )
            )
    for row in thinned.chosen:
        best = full.by_start.get(row.dated) or full.best.get(row.kind)
        if best is not None and best.verdict == "ruled-out" and not thinned.conditions(row):
            cause = why_worse(best, row, full, thinned)
            found.append(
                Violation(
                    "chosen on fewer answers with no condition",
                    name,
                    asked,
                    row.code,
                    row.verdict,
                    "ruled-out with all of them",
                    cause,
                )
            )
    return found


# ---------- situations ----------
def bank() -> list[str]:
    """The cases that tell much: those that are sparse on purpose are left out."""
    return [code for code in case_codes() if not code.startswith("sparse-")]


def look_at(adviser: Adviser, code: str) -> Look:
    """A case of the bank as it stands, without its proposals."""
    return Look(adviser, code, case_of(code).situation)


def random_look(adviser: Adviser, seed: int) -> Look:
    """A situation from a seed: a case of the bank, every second time with some of its told answers changed.

    Where the change contradicts what is told it is the case as it stands.
    """
    rng = random.Random(seed)
    codes = case_codes()
    place = codes.index(rng.choice(bank()))
    changed = next(mutants(adviser, 1, seed, slice(place, place + 1)), None) if seed % 2 else None
    return (
        look_at(adviser, codes[place])
        if changed is None
        else Look(adviser, changed[0], changed[1].filled.situation)
    )


def violations(look: Look, rng: random.Random, keys: int = 3, most: int = 5) -> list[Violation]:
    """Every property on one situation, with so many of its answers left out in turn and so many readings of each."""
    answered = answered_keys(look.answers)
    found = [
        v for key in rng.sample(answered, min(keys, len(answered))) for v in missing_answer(look, key, most)
    ]
    found += more_means(look, rng)
    found += a_day_later(look) + a_start_later(look, rng)
    return found + thinner(look, rng, 0.7) + thinner(look, rng, 0.3)
