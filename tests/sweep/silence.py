"""What is bolder without an answer than with it: options that it refuses, choices, and dangers of today that it told of."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Final

from decide.decision.rank import TIME
from decide.engine.language import ADVERSE, Rule
from decide.explain.changes import plain_key
from tests.choosing import Look, Row, Seen, why_worse, without
from tests.sweep import words

SOUND: Final = ("advised", "sound")
REFUSED: Final = ("late", "not-advised", "ruled-out")
TOO_SOON: Final = "start-too-soon"

# Where silence means that there is nothing to be careful of: what is told there is an exception that somebody knows of,
# or a want. Of each key the rules that may speak by its answer alone, or the criterion of which they all speak; whatever
# else speaks by it is bolder in silence.
NOTHING_TOLD: Final[Mapping[str, tuple[frozenset[str], str]]] = {
    "dates.play_by": (frozenset((TIME,)), "a want: who names no date is late for none"),
    "dates.no_play": (
        frozenset((TIME,)),
        "a want: where nobody is shut out, what is sown under play has no day to be ready by",
    ),
    "zone.weeds_percent": (
        frozenset((TIME,)),
        "what is not bare is taken for the turf that carries play over what is sown in it; many weeds are named, and asked for",
    ),
    "field.unbooked_hours_week": (
        frozenset(("stands-use",)),
        "nobody plays without a booking until it is told, and the hours of play are asked for",
    ),
    "means.equipment_broken": (
        frozenset(("machine-missing",)),
        "a machine at hand works until it is said to be broken",
    ),
    "limits.water_hours": (
        frozenset(("bed-dries-in-barred-hours",)),
        "no hours are barred until a rule on watering is told",
    ),
    "field.rootzone": (
        frozenset(("no-grass-on-a-carpet",)),
        "nobody asks how to mend worn turf on a synthetic carpet without saying so, and sand is asked for",
    ),
    "means.water_from": (
        frozenset(("water-comes-later",)),
        "who tells how the field is watered has that water now",
    ),
    "means.water_salt_ds_m": (
        frozenset(("water-too-salty",)),
        "water is read as fresh until somebody says that it is reclaimed or salty, and the advice says so; then its salt is asked for",
    ),
    "means.budget_from": (
        frozenset(("money-comes-later",)),
        "who tells what can be spent has it now",
    ),
}

Found = Iterator[tuple[str, str]]


def base(rule: str) -> str:
    """A rule without the step of its bend."""
    return rule.split("--", maxsplit=1)[0]


def refusing(seen: Seen, row: Row) -> list[Rule]:
    """The rules that refuse an option: what rules it out, else what is bad at both ends in what counts."""
    if row.verdict == "ruled-out":
        return [rule for rule in row.fired.values() if rule.then.act == "rule-out"]
    counts = {TIME} if row.verdict == "late" else seen.essential - {TIME}
    bests = row.weighed.bests
    weak = {criterion for criterion in counts if bests[criterion] in ADVERSE}
    fired = [rule for rule in row.fired.values() if _is_against(rule, weak)]
    # Open ones too, where they are all that makes it bad: with what is usual they are true.
    left = weak - {rule.then.target for rule in fired}
    return [*fired, *(rule for rule in row.weighed.open if _is_against(rule, left))]


def _is_against(rule: Rule, criteria: set[str]) -> bool:
    return rule.then.target in criteria and (rule.then.act == "rule-out" or rule.then.grade in ADVERSE)


def is_named(row: Row, bare: Seen, held: Row, full: Seen) -> bool:
    """Whether a condition that is said of an option is one of the rules that refuse it where the answer is told, or
    what makes that count in which they speak.
    """
    said = {base(rule.id) for rule in bare.c.counting.rests_on(row.weighed)}
    against = refusing(full, held)
    counts = {rule.id for each in against for rule in bare.c.counting.could.get(each.then.target, ())}
    return not said.isdisjoint({base(rule.id) for rule in against} | counts)


def is_nothing(plain: str, held: Row, full: Seen) -> bool:
    """Whether all that refuses an option is what silence may leave out."""
    silent, _ = NOTHING_TOLD.get(plain, (frozenset(), ""))
    against = refusing(full, held)
    return bool(against) and all(not silent.isdisjoint((base(rule.id), rule.then.target)) for rule in against)


def is_nothing_less(plain: str, row: Row, bare: Seen, held: Row, full: Seen) -> bool:
    """Whether an option is less with an answer by nothing but what silence may leave out: what refuses it, else the
    criteria in which it is graded worse or which count there alone.
    """
    silent, _ = NOTHING_TOLD.get(plain, (frozenset(), ""))
    less = {*held.worse_in(row), *(full.essential - bare.essential)}
    return is_nothing(plain, held, full) or (bool(less) and less <= silent)


def starts_later(row: Row, bare: Seen, held: Row, full: Seen) -> bool:
    """Whether nothing but its start is refused: what must come before it is measured of the leading options alone, and
    hangs on what is told. The same way from a later start is then sound, or nobody reads of this start.
    """
    if [rule.id for rule in refusing(full, held)] != [TOO_SOON]:
        return False
    measured = row.code in bare.c.measures.start_short
    later = any(
        other.kind == row.kind and other.verdict in SOUND and other.draft.start > row.draft.start
        for other in full.rows
        if other.draft.start is not None
    )
    return later or not measured


def bolder(look: Look, full: Seen, key: str) -> Found:
    """Without an answer nothing that it refused is sound or advised, unless a condition that is said of it is one of
    the rules that refuse it. No zone has a better choice, and no danger of today is gone.
    """
    plain, bare = plain_key(key), look.at(without(look.answers, key))
    if bare is None:
        return
    for row in bare.rows:
        held = full.by_start.get(row.dated)
        if held is not None and row.verdict in SOUND and held.verdict in REFUSED:
            yield from _against(plain, key, row, bare, held, full)
    yield from _choices(full, bare, plain, key)
    yield from _today(full, bare, plain, key)


def _against(plain: str, key: str, row: Row, bare: Seen, held: Row, full: Seen) -> Found:
    if (
        is_named(row, bare, held, full)
        or is_nothing(plain, held, full)
        or starts_later(row, bare, held, full)
    ):
        return
    why = why_worse(held, row, full, bare)
    yield f"{plain}: {held.verdict} -> {row.verdict}: {why}", f"{row.code} without {key}"


def _choices(full: Seen, bare: Seen, plain: str, key: str) -> Found:
    for zone, chosen in bare.c.chosen.items():
        row = None if chosen.option is None else Row(0, chosen.option)
        if row is None or row.verdict not in SOUND:
            continue
        # a start that fits what is not told is on no other list, and judged all the same
        same = full.by_start.get(row.dated) or Row(-1, full.c.weigh([row.draft])[row.code])
        if same.verdict in REFUSED:
            told = full.c.chosen[zone].option
            for cause, _ in _against(plain, key, row, bare, same, full):
                said = "nothing" if told is None else told.draft.code
                yield f"chosen: {cause}", f"{row.code} without {key}, {said} with it"


def _today(full: Seen, bare: Seen, plain: str, key: str) -> Found:
    """Dangers that silence hides, but for those that are there only by this answer: needles that nobody told."""
    still = words.today(bare.c)
    for code, rules in words.today(full.c).items():
        if code not in still and not any(words.told_by(full.c, rule, plain) for rule in rules):
            yield f"{plain}: today without {code}", f"without {key}"
