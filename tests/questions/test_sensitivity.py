"""Trials: changed answers tried quickly come out as in a whole consultation, in both directions, the programme and its grades too."""

from __future__ import annotations

import copy
import dataclasses
import datetime as dt
from collections.abc import Iterator
from typing import Any

import pytest

from decide.cases.signed import Case
from decide.consult import Adviser
from decide.decision.consultation import Consultation
from decide.decision.diagnosis import diagnose
from decide.facts.declare import touches
from decide.model.errors import SituationError
from decide.model.situation import Situation
from decide.questions import again
from decide.questions import open as open_
from decide.questions import sensitivity as t
from decide.questions.answers import as_answers, as_situation
from decide.questions.base import Base
from decide.questions.effect import NOTHING, Effect
from decide.questions.kept import Kept
from tests.shared import case_of

# Few and many answers, one part and many, grass begun already, a town that nobody named, an owner who is slow, proposals, all halves of the year.
FEW = ("sparse-us-holyoke-slow-yes", "sparse-ie-loose-goals-no-town")
MANY = (
    "sparse-be-ghent-four-zones", "sparse-it-bologna-thin-untold", "sparse-us-houma-sewage-flood", "sparse-au-perth-couch-centre-september", "na-akron-sod-comes-too-late",
    "na-pittsburgh-dished-crown", "ongoing-birds", "ws-overseed-football-kentucky", "uk-own-ideas-turf", "na-duluth-winter",
)  # fmt: skip


def told(c: Consultation) -> dict[str, tuple[Any, ...]]:
    """All that the programme of each zone names, with verdicts, both ends of the grades, and parts."""
    return {
        zone: tuple(
            None if w is None else (w.draft.code, w.verdict, w.grades, w.bests, w.roles, w.ready, w.cost)
            for w in (
                chosen.stopgap,
                chosen.option,
                chosen.least_bad,
                chosen.after,
                chosen.instead,
                chosen.runner_up,
            )
        )
        for zone, chosen in c.chosen.items()
    }


def trials(
    adviser: Adviser, case: Case, most: int, apart: int
) -> Iterator[tuple[open_.Asked, Any, dict[str, Any], Situation]]:
    """Some answers to the open questions of a case, spread over them: of each question at most so many, every so many-th in all."""
    today, answers = case.situation.dates.today, as_answers(case.situation)
    assert today is not None
    place = 0
    for asked in open_.open_questions(adviser.knowledge, answers):
        for value in open_.possible_answers(asked, adviser.base.facts, today)[:most]:
            place += 1
            new = open_.put_answer(answers, asked, value)
            situation = as_situation(new, today)
            if situation is not None and place % apart == 0:
                yield asked, value, new, situation


def done_first(c, zone: str) -> list[tuple[str, str, str] | None]:
    """What the programme of a zone begins with: remedy, method and plant; None for a zone that is not there."""
    chosen = c.chosen.get(zone)
    named = () if chosen is None else (chosen.stopgap, chosen.option, chosen.least_bad)
    return [None if w is None else (w.draft.remedy, w.draft.method, w.draft.plant) for w in named]


def check(adviser: Adviser, case: Case, most: int, apart: int) -> tuple[int, int]:
    """Every trial beside a whole consultation; how many change the choice, and how many do not."""
    plain = t.with_plain_engine(adviser)
    base = Base(plain.consult(case.situation))
    trier = t.Trier(plain, base, case.situation.dates.today or dt.date.min)
    changed = same = 0
    for asked, value, answers, situation in trials(plain, case, most, apart):
        try:
            whole = plain.consult(situation)
        except SituationError:
            assert trier.effect(answers, (asked.key,)) == NOTHING
            continue
        effect = trier.effect(answers, (asked.key,))
        other = Base(whole)
        moved = [zone for zone, first in other.first.items() if base.first.get(zone) != first]
        ways = [zone for zone in moved if done_first(whole, zone) != done_first(base.c, zone)]
        wanted = Effect(bool(moved), bool(other.cautions - base.cautions), len(ways), len(moved) - len(ways))
        assert effect == wanted, (case.code, asked.key, asked.zone, value)
        assert told(trier.judged(situation, (asked.key,))) == told(whole), (
            case.code,
            asked.key,
            asked.zone,
            value,
        )
        changed, same = changed + effect.choice, same + (not effect.choice)
    return changed, same


@pytest.mark.slow
def test_a_quick_trial_says_what_a_whole_consultation_says(adviser: Adviser) -> None:
    """Some answers change the choice, and some do not: both are told as they are."""
    found = [check(adviser, case_of(code), 2, 9) for code in FEW]
    assert sum(changed for changed, _ in found) >= 1
    assert sum(same for _, same in found) >= 5


@pytest.mark.slow
@pytest.mark.parametrize("code", [*FEW, *MANY])
def test_a_quick_trial_says_what_a_whole_consultation_says_of_every_question(
    adviser: Adviser, code: str
) -> None:
    assert sum(check(adviser, case_of(code), 3, 14)) >= 5


def test_the_consultation_itself_is_left_alone(adviser: Adviser) -> None:
    """Trials share options with the consultation that they are held against; nothing of it moves."""
    plain, case = t.with_plain_engine(adviser), case_of("sparse-us-holyoke-slow-yes")
    c = plain.consult(case.situation)
    before = (
        told(c),
        dict(c.measures.start_short),
        [w.draft.code for w in c.ranked],
        {code: copy.deepcopy(w.grades) for code, w in c.weighed.items()},
    )
    trier = t.Trier(plain, Base(c), c.filled.today)
    for asked, _, answers, _ in trials(plain, case, 1, 4):
        trier.effect(answers, (asked.key,))
    assert trier.trials >= 5
    assert trier.whole_trials == 0
    assert before == (
        told(c),
        c.measures.start_short,
        [w.draft.code for w in c.ranked],
        {code: w.grades for code, w in c.weighed.items()},
    )


def test_another_place_is_judged_in_full(adviser: Adviser) -> None:
    plain, case = t.with_plain_engine(adviser), case_of("sparse-us-holyoke-slow-yes")
    base = Base(plain.consult(case.situation))
    trier = t.Trier(plain, base, base.c.filled.today)
    there = {
        **as_answers(case.situation),
        "place": {"name": "Tampa", "country": "us", "region": "Florida"},
    }
    assert trier.effect(there, ("place.name",)).choice
    assert trier.whole_trials == 1


def test_answers_that_cannot_be_do_nothing(adviser: Adviser) -> None:
    plain, case = t.with_plain_engine(adviser), case_of("sparse-us-holyoke-slow-yes")
    trier = t.Trier(plain, Base(plain.consult(case.situation)), case.situation.dates.today or dt.date.min)
    assert (
        trier.effect({**as_answers(case.situation), "means": {"water": "a river"}}, ("means.water",))
        == NOTHING
    )


def test_what_somebody_means_to_do_stays_told(adviser: Adviser) -> None:
    """A step that is meant is a wish for new grass, so trials must know of it too."""
    case = case_of("uk-own-ideas-turf")
    situation = as_situation(as_answers(case.situation), case.situation.dates.today or dt.date.min)
    assert situation is not None
    assert situation.proposal == case.situation.proposal


@pytest.mark.slow
def test_every_option_of_a_trial_is_judged_as_in_a_whole_consultation(adviser: Adviser) -> None:
    """Those that stand as they stood too: both ends of the grades, the verdict with its rule, and the roles."""
    plain, case = t.with_plain_engine(adviser), case_of("na-akron-sod-comes-too-late")
    base = Base(plain.consult(case.situation))
    trier, again_, same = t.Trier(plain, base, base.c.filled.today), 0, 0
    for asked, value, _, situation in trials(plain, case, 2, 9):
        half, moves = trier._half(situation, again.changed_keys(base.c.filled.situation, situation))
        drafts = {draft.code: draft for draft in half.options()}
        stand = {code: draft for code, draft in drafts.items() if base.listed.get(code) == draft}
        kept = Kept(base, half, stand, moves)
        found = kept.weighed({code: code for code in stand})
        whole = half.weigh([*stand.values()])
        for code, w in found.items():
            other, all_of_it = whole[code], kept.whole(w)
            for one, two in ((w, other), (all_of_it, other)):
                assert (one.grades, one.bests, one.verdict, one.verdict_rule, one.roles, one.ready, one.cost) == (
                    two.grades, two.bests, two.verdict, two.verdict_rule, two.roles, two.ready, two.cost
                ), (asked.key, value, code)  # fmt: skip
            assert all_of_it.facts == other.facts, (asked.key, value, code)
            assert (all_of_it.firings, all_of_it.could) == (other.firings, other.could), (asked.key, value)
            assert (all_of_it.open, all_of_it.remote, all_of_it.doubts) == (
                other.open, other.remote, other.doubts
            )  # fmt: skip
            stood = w is base.rows[code].w
            again_, same = again_ + (not stood), same + stood
    assert again_ > 20
    assert same > 20


@pytest.mark.slow
@pytest.mark.parametrize("code", [*FEW, "na-akron-sod-comes-too-late", "sparse-be-ghent-four-zones"])
def test_answers_move_measures_and_starts_of_options_only_where_that_is_declared(
    adviser: Adviser, code: str
) -> None:
    """What the quick trial leans on: outside LIST_KEYS the list of options stays, and outside OPTION_KEYS every measure of an option."""
    plain, case = t.with_plain_engine(adviser), case_of(code)
    base = plain.consult(case.situation)
    drafts = base.options()
    for asked, value, _, situation in trials(plain, case, 3, 1):
        half = diagnose(plain, situation)
        if not touches(again.LIST_KEYS, asked.key) and half.remedies() == base.remedies():
            assert half.options() == drafts, (asked.key, value)
        for draft in () if touches(again.OPTION_KEYS, asked.key) else drafts[:: max(1, len(drafts) // 40)]:
            early = copy.copy(base.measures)
            early.start_short = {}
            mine, theirs = (
                early.option(draft, base.zone_facts[draft.zone]),
                half.measures.option(draft, half.zone_facts[draft.zone]),
            )
            assert mine == theirs, (asked.key, value, draft.code)


def test_what_moves_options_follows_from_what_their_measures_read() -> None:
    """By hand: what somebody would lend, pay or allow moves an option's measures; where it can start hangs on play, work and delivery."""
    assert {
        "means.contractor",
        "means.budget",
        "zone.sun_hours",
        "history.herbicides",
    } <= again.OPTION_KEYS - again.LIST_KEYS
    assert {
        "dates.no_work",
        "dates.no_play",
        "zone.in_play",
        "use",
        "offer",
        "site.owner_agrees",
    } <= again.LIST_KEYS
    assert not again.OPTION_KEYS & {
        "field.soil_ph",
        "zone.thatch_mm",
        "limits.pesticides",
        "site.near_water_m",
    }


def test_an_effect_is_frozen() -> None:
    with pytest.raises(dataclasses.FrozenInstanceError):
        NOTHING.choice = True  # type: ignore[misc]


def test_the_same_told_otherwise_is_tried_once(adviser: Adviser) -> None:
    """A whole number is its decimal, "don't know" is silence, and a list of words has no order."""
    plain, case = t.with_plain_engine(adviser), case_of("sparse-us-holyoke-slow-yes")
    trier = t.Trier(plain, Base(plain.consult(case.situation)), case.situation.dates.today or dt.date.min)
    answers = {key: each for key, each in as_answers(case.situation).items() if key != "means"}
    ways: list[dict[str, Any]] = [
        {"helpers": 12, "equipment_own": ["rake", "spreader"]},
        {"helpers": 12.0, "equipment_own": ["spreader", "rake"], "water": "don't know"},
    ]
    found = {trier.effect({**answers, "means": means}, ("means.helpers",)) for means in ways}
    assert len(found) == 1
    assert trier.trials == 1
