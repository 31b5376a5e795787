"""Explanations are true: what is removed changes the conclusion, what is put otherwise lets in, what is least is least.

Each check runs over a fast sample, and over thousands of situations in the slow sweep. Nothing here is copied from output:
the checks judge again what the explanation says, by rules and facts alone.
"""

from __future__ import annotations

import copy
import datetime as dt
import itertools
import random
from collections.abc import Iterator

import pytest
from few import Few, mutants

from decide.consult import Adviser
from decide.decision.consultation import Consultation
from decide.decision.rank import VERDICT_ORDER, Weighed
from decide.engine.language import GRADES, Fact, Subject
from decide.engine.plain import judge, standing, truth
from decide.explain import Change, Explanation, Held, Reason, why, would_take
from decide.explain.runs import Runs, weigh_fitted
from decide.explain.why_not import explained, why_not
from decide.knowledge.load import read_knowledge
from decide.questions.answers import as_answers, as_situation
from decide.questions.choice import choice_of
from decide.questions.next import Asker
from decide.questions.open import open_questions, put_answer

FAST = {"each": 1, "seed": 1, "cases": slice(0, None, 6)}
# Situations a case: run by .ci/run, and by `python tests/explain/test_truth.py`, which passes five thousand.
SWEEP, WHOLE = 2, 32
MOST_VALUES = 60


# ---------- because ----------
def weighed_with(
    c: Consultation, w: Weighed, facts: dict[str, Fact] | None = None, without: frozenset[str] = frozenset()
) -> Weighed:
    """An option weighed again with other facts, or with a rule switched off."""
    again = copy.copy(c)
    again.without = without
    if facts is not None:
        again.facts_of = lambda _: [facts]  # type: ignore[method-assign]
        # What is told of site and zone is read once for all options of a zone.
        again._ground = lambda: {w.draft.zone: facts}  # type: ignore[method-assign]
    return again.weigh([w.draft])[w.draft.code]


def known(c: Consultation, reason: Reason, zone: str, facts: dict[str, Fact]) -> dict[str, Fact]:
    """The facts that a reason stands on: with what is taken as usual where it says so."""
    return {**c.usual_facts[zone], **facts} if reason.usual else facts


def check_because(c: Consultation, told: Explanation) -> int:
    """Every reason of an explanation fired, and carries its conclusion alone or beside another reason that is named."""
    if told.kind != "chosen":
        return 0
    w = c.weighed[told.option]
    for reason in told.reasons:
        rule = c.book.rules[reason.rule]
        assert standing(rule, known(c, reason, told.zone, dict(w.facts))).fires is True, reason.rule
        if reason.target.startswith("zone.remedy-"):
            judged = judge(
                c.book.base,
                "zone",
                [Subject("one", {**c.site, **_measured(c, told.zone)})],
                frozenset([reason.rule]),
            )
            still = judged.derived["one"].get(reason.target) is True
            others = [
                other for other in told.reasons if other.target == reason.target and other.rule != reason.rule
            ]
            assert not still or others, (reason.rule, "still concluded, and no other support is named")
            continue
        after = weighed_with(c, w, without=frozenset([reason.rule]))
        one, two = (
            (w.grades[reason.target], w.bests[reason.target]),
            (after.grades[reason.target], after.bests[reason.target]),
        )
        if (
            one == two
            and reason.grade != "ruled-out"
            and not any(lifted is None for _, lifted in reason.exceptions)
        ):
            others = [
                other for other in told.reasons if other.target == reason.target and other.rule != reason.rule
            ]
            # Another reason gives the same grade or a worse one, or a rule that stands open does.
            worse = [
                other
                for other in others
                if other.grade == "ruled-out" or GRADES.index(other.grade) <= GRADES.index(reason.grade)
            ]
            open_ = [rule for rule in w.open if rule.then.target == reason.target]
            assert worse or open_, (reason.rule, reason.grade, one)
    return len(told.reasons)


def _measured(c: Consultation, zone: str) -> dict[str, Fact]:
    """The facts of a zone before its rules ran."""
    return {name: value for name, value in c.zone_facts[zone].items() if not c.types[name].concluded}


# ---------- why not ----------
def tips(c: Consultation, held: Held) -> list[Fact | None]:
    """Values of a fact for which a condition is otherwise than it is."""
    kind = c.types[held.fact]
    if held.bound is not None and isinstance(held.value, float):
        values: list[Fact] = [held.bound, held.bound + 0.001, held.bound - 0.001]
    elif kind.levels:
        values = list(kind.levels)
    elif kind.type == "true" or isinstance(held.value, bool):
        values = [True, False]
    else:
        values = ["something-else"]
    return [value for value in values if value != held.value]


def check_why_not(c: Consultation, w: Weighed) -> bool:
    """The conditions named against an option hold, and with the nearest of each put otherwise the option stands better.

    It may fail to stand better only where what was put otherwise makes another rule fire, which reads that very fact.
    """
    told = explained(c, w)
    if told.kind not in ("lost", "ruled-out") or not told.failed:
        return False
    usual = {**c.usual_facts[told.zone], **told.facts}
    conditions = {
        condition.text: condition for reason in told.reasons for condition in c.book.rules[reason.rule].when
    }
    for reason in told.reasons:
        facts = known(c, reason, told.zone, dict(told.facts))
        assert standing(c.book.rules[reason.rule], facts).fires is True
        for held in reason.lifts:
            assert held.holds is True
            assert facts[held.fact] == held.value
    named = {reason.rule for reason in told.reasons if reason.lifts and reason.lifts[0] in told.failed}
    choices = [
        [
            (held.fact, value)
            for value in tips(c, held)
            if truth(conditions[held.condition], {**usual, held.fact: value}) is False
        ]
        for held in told.failed
    ]
    assert all(choices), [
        held.condition for held, values in zip(told.failed, choices, strict=True) if not values
    ]
    in_the_way: set[str] = set()
    before = {rule.id for rule, _ in w.firings}
    for combination in itertools.islice(itertools.product(*choices), 24):
        facts = {
            name: value
            for name, value in told.facts.items()
            if not (c.types[name].concluded and c.types[name].scope == "option")
        } | dict(combination)
        fired = {
            firing.rule
            for firing in judge(c.book.base, "option", [Subject("one", {**usual, **facts})]).firings
        }
        derived = {name for name, _ in combination if c.types[name].concluded}
        if not derived and not (named & fired):
            if VERDICT_ORDER.index(weighed_with(c, w, facts).verdict) < VERDICT_ORDER.index(w.verdict):
                return True
        elif derived and all(
            standing(c.book.rules[rule], {**usual, **dict(combination)}).fires is not True for rule in named
        ):
            return True
        moved = {name for name, _ in combination}
        in_the_way |= {
            rule
            for rule in fired - before
            if {name for condition in c.book.rules[rule].conditions for name in condition.facts} & moved
        }
        in_the_way |= {rule for rule in fired if rule not in named and c.book.rules[rule].adverse}
    assert in_the_way, (w.draft.code, [held.condition for held in told.failed])
    return False


def check_not_proposed(c: Consultation, zone: str) -> int:
    """Conditions named for a remedy that is not proposed really fail, and made true they give it, but for exceptions that are named."""
    checked = 0
    for words in ("waiting", "let it recover", "move the goals", "call an expert", "mend the cause"):
        told = why_not(c, words, zone)
        if told.kind != "not-proposed":
            continue
        assert all(held.holds is not True for held in told.failed)
        for reason in told.reasons:
            rule = c.book.rules[reason.rule]
            made = dict(told.facts)
            for condition in rule.when:
                if truth(condition, made) is not True:
                    kind = c.types[condition.fact]
                    if condition.index and made.get(condition.index) not in condition.table:
                        made[condition.index] = next(iter(condition.table))
                    bound = (
                        condition.table[str(made[condition.index])] if condition.index else condition.number
                    )
                    values: list[Fact] = (
                        [True, False]
                        if kind.type == "true"
                        else list(kind.levels)
                        if kind.levels
                        else [bound, bound + 0.001, bound - 0.001]
                        if bound is not None
                        else list(condition.levels)
                    )
                    assert any(
                        truth(condition, {**made, condition.fact: value}) is True for value in values
                    ), condition.text
                    made[condition.fact] = next(
                        value for value in values if truth(condition, {**made, condition.fact: value}) is True
                    )
            fires = standing(rule, made)
            lifted = [name for name, holds in fires.unless if holds is True]
            assert fires.fires is True or lifted, reason.rule
            checked += 1
    return checked


def explain_all(rows: Iterator[tuple[str, Few]]) -> tuple[int, int, int, int]:
    """Checks every situation; how many, and how many reasons, options let in and remedies were looked at."""
    situations = reasons = let_in = remedies = 0
    rng = random.Random(7)
    for _, c in rows:
        situations += 1
        for zone in c.zones:
            reasons += check_because(c, why(c, zone))
            if situations % 8 == 0:
                remedies += check_not_proposed(c, zone)
        others = [w for w in c.ranked if w.verdict in ("late", "not-advised", "ruled-out", "risky")]
        for w in rng.sample(others, min(2, len(others))):
            let_in += check_why_not(c, w)
    return situations, reasons, let_in, remedies


@pytest.mark.slow
def test_explanations_are_true(adviser):
    situations, reasons, let_in, remedies = explain_all(mutants(adviser, **FAST))
    assert situations >= 20
    assert reasons > 100
    assert let_in > 10
    assert remedies > 5


@pytest.mark.slow
def test_explanations_are_true_everywhere(adviser):
    check_everywhere(adviser, SWEEP, 100, slice(None, None, 2))


def check_everywhere(adviser, each: int, least: int, cases: slice = slice(None)) -> None:
    situations, reasons, let_in, remedies = explain_all(mutants(adviser, each, 2, cases))
    assert situations >= least
    assert let_in > situations / 3
    print(f"{situations} situations, {reasons} reasons, {let_in} options let in, {remedies} remedies")


# ---------- the least change ----------
ASKED = ("thin sod", "thick sod", "sprigs", "hydromulch", "slit seed")


def a_step_less(c: Consultation, change: Change) -> dict | None:
    """The same answer one declared step nearer to what is now; None where it is no number, or where that is what is now."""
    kind = next(
        (kind for kind in c.types.values() if kind.told == change.key and kind.type == "number"), None
    )
    if change.key == "dates.play_by":
        after, before = dt.date.fromisoformat(change.after), dt.date.fromisoformat(change.before)
        less = after - dt.timedelta(days=7 if after > before else -7)
        return None if (less - before).days * (after - before).days <= 0 else {change.key: less.isoformat()}
    if kind is None or kind.step is None or kind.low is None:
        return None
    before = kind.low if change.before is None else change.before
    less = change.after - kind.step * (1 if change.after > before else -1)
    return None if (less - before) * (change.after - before) <= 0 else {change.key: less}


def _way(code: str) -> tuple[str, str, str, str]:
    """Zone, method, plant and variant of an option of new grass, by its code."""
    zone, _, method, plant, *rest = code.split("/")
    return zone, method, plant, rest[0] if len(rest) == 2 else "plain"


def check_would_take(c: Consultation, words: str) -> str:
    """A way that is named does it, judged anew in full; no proper part of it does, nor the same with one step less."""
    told = would_take(c, words)
    for way in told.ways:
        changes = way.as_changes
        other = Runs(c).whole(changes)
        drafts = [
            d
            for d in [*other.drafts, *c.drafts]
            if (d.zone, d.method, d.plant, d.variant) == _way(way.option)
        ]
        w = weigh_fitted(other, other, drafts)[way.option]
        assert VERDICT_ORDER.index(w.verdict) <= VERDICT_ORDER.index("sound")
        assert w.verdict == way.verdict
        lesser = [
            dict(part)
            for size in range(len(changes))
            for part in itertools.combinations(changes.items(), size)
        ]
        lesser += [
            {**changes, **less} for change in way.changes if (less := a_step_less(c, change)) is not None
        ]
        for part in lesser:
            again = Runs(c).half(part)
            if again is not None:
                drafts = [
                    d
                    for d in [*again.options(), w.draft]
                    if d.zone == told.zone
                    and (d.method, d.plant, d.variant) == (w.draft.method, w.draft.plant, w.draft.variant)
                ]
                good = [
                    x
                    for x in weigh_fitted(c, again, drafts).values()
                    if VERDICT_ORDER.index(x.verdict) <= VERDICT_ORDER.index("sound")
                ]
                assert not good or "establish" not in again.remedies().get(told.zone, []), (changes, part)
    return told.kind


@pytest.mark.slow
def test_the_least_change_is_enough_and_nothing_less_is(dry, parts):
    kinds = [check_would_take(dry, "thick sod"), check_would_take(parts, "plugs")]
    assert "found" in kinds


@pytest.mark.slow
def test_the_least_change_everywhere(adviser):
    kinds: dict[str, int] = {}
    rows = list(mutants(adviser, 1, 3, slice(3, None, 40)))
    for number, (_, c) in enumerate(rows):
        whole = adviser.consult(c.filled.situation)
        # of the ways in turn the first that is not sound as things are
        for turn in range(3):
            words = ASKED[(number + turn) % len(ASKED)]
            kind = check_would_take(whole, words)
            if kind != "already":
                break
        kinds[kind] = kinds.get(kind, 0) + 1
    print(kinds)
    assert kinds.get("found", 0) >= 1


# ---------- does not matter ----------
def every_value(c: Consultation, key: str, question) -> list:
    """All declared values of an answer: each choice, or each step of its range."""
    if question.kind == "yesno":
        return [True, False]
    if question.choices and question.kind == "choice":
        return [choice.value for choice in question.choices]
    kind = next((kind for kind in c.types.values() if kind.told == key and kind.type == "number"), None)
    if kind is None or kind.low is None or kind.high is None:
        return []
    count = int((kind.high - kind.low) / (kind.step or 1))
    apart = max(1, count // MOST_VALUES)
    return [kind.low + (kind.step or 1) * n for n in range(0, count + 1, apart)] + [kind.high]


def check_passed_over(c: Consultation, most: int) -> int:
    """A question that is said not to matter changes no first choice, whatever of its declared values is answered."""
    asker = Asker(c.book, c.filled.today)
    answers = as_answers(c.filled.situation)
    first = {zone: choice_of(chosen) for zone, chosen in c.chosen.items()}
    checked = 0
    for asked in open_questions(c.knowledge, answers):
        values = every_value(c, asked.key, asked.question)
        if checked >= most or not values or asker.matters(answers, asked) is not False:
            continue
        checked += 1
        for value in values:
            situation = as_situation(put_answer(answers, asked, value), c.filled.today)
            if situation is None:
                continue
            other = c.book.consult(situation)
            assert {zone: choice_of(chosen) for zone, chosen in other.chosen.items()} == first, (
                asked.key,
                value,
            )
    return checked


@pytest.mark.slow
def test_what_does_not_matter_changes_nothing(dry):
    assert check_passed_over(dry, 2) == 2


@pytest.mark.slow
def test_what_does_not_matter_changes_nothing_anywhere(adviser):
    rows = list(mutants(adviser, 1, 4, slice(0, None, 130)))
    assert sum(check_passed_over(adviser.consult(c.filled.situation), 3) for _, c in rows) >= 3


if __name__ == "__main__":
    check_everywhere(Adviser(read_knowledge(), "plain"), WHOLE, 5000)
