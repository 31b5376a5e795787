"""The fate of the date: in a slow year too, in most years, for training alone, or not; and the words that open the advice."""

from __future__ import annotations

import datetime as dt
import itertools

import pytest

from decide.answer.assemble import advice_of
from decide.decision.fate import Ready, fates
from decide.model.reading import situation_from_dict
from tests.decision.fields import SHUT, changed, consulted, shut
from tests.shared import adviser

D = dt.date.fromisoformat
MIDDLE, LATE = D("2026-08-01"), D("2026-08-20")
# Dates wanted of the field that is shut, from one that nothing meets to one that all meets.
LEVELS = ("yes", "likely", "partly", "no")
WANTED = ("2026-05-20", "2026-06-20", "2026-07-05", "2026-09-20", "2026-11-01")


@pytest.mark.parametrize(
    ("ready", "by", "level"),
    [
        (Ready(MIDDLE, LATE), "2026-08-20", "slow-year"), (Ready(MIDDLE, LATE), "2026-08-19", "most-years"), (Ready(MIDDLE, LATE), "2026-08-01", "most-years"),
        (Ready(MIDDLE, LATE), "2026-07-31", "no"), (Ready(MIDDLE, None), "2027-01-01", "most-years"), (Ready(None, LATE), "2026-08-19", "no"),
        (Ready(), "2027-01-01", "no"), (Ready(at_once=True), "2026-05-12", "slow-year"),
    ],
)  # fmt: skip
def test_a_use_is_there_by_a_date(ready, by, level):
    assert ready.by(D(by)) == level


@pytest.mark.parametrize(
    "tables",
    [{"dates": {"play_by": None}}, {"place": {"name": None, "country": None}}],
    ids=["no-date", "no-place"],
)
def test_without_a_date_or_a_place_no_zone_has_a_fate(tables):
    assert fates(consulted(changed(SHUT, **tables))) == []


def test_without_a_date_nothing_is_said_of_one():
    assert advice_of(consulted(changed(SHUT, dates={"play_by": None}))).fate is None


def test_a_date_that_was_told_without_a_place_is_not_dropped():
    fate = advice_of(consulted(changed(SHUT, place={"name": None, "country": None}))).fate
    assert fate is not None
    assert (fate.level, fate.zone, fate.by) == ("open", "", SHUT["dates"]["play_by"])
    assert fate.text.endswith(
        "nobody can say before the place is known. Name the town, or a bigger one nearby."
    )


@pytest.mark.parametrize("first_use", ["training", "matches"])
def test_the_level_follows_from_the_days_of_what_is_chosen(first_use):
    for by in WANTED:
        c = shut(by, first_use)
        (fate,) = fates(c)
        wanted = fate.training if first_use == "training" else fate.matches
        level = {"slow-year": "yes", "most-years": "likely", "no": "no"}[wanted.by(D(by))]
        if level == "no" and first_use == "matches" and fate.training.by(D(by)) != "no":
            level = "partly"
        assert fate.level == level
        assert fate.option is not None
        assert fate.option.draft.start is not None
        assert fate.option.draft.start < fate.training.middle <= fate.training.late <= fate.matches.late
        assert fate.training.middle <= fate.matches.middle <= fate.matches.late


@pytest.mark.parametrize("first_use", ["training", "matches"])
def test_a_later_date_is_never_worse_and_training_is_never_later_than_matches(first_use):
    found = [LEVELS.index(fates(shut(by, first_use))[0].level) for by in WANTED]
    assert found == sorted(found, reverse=True)
    assert {LEVELS[0], LEVELS[-1]} <= {LEVELS[each] for each in found}
    if first_use == "matches":
        assert all(
            one <= other
            for one, other in zip(
                [LEVELS.index(fates(shut(by, "training"))[0].level) for by in WANTED], found, strict=True
            )
        )


def test_the_words_say_the_level_the_use_and_the_day():
    said = {}
    for by, first_use in itertools.product(WANTED, ("training", "matches")):
        fate = advice_of(shut(by, first_use)).fate
        assert fate is not None
        assert (fate.by, fate.level, fate.use) == (by, fates(shut(by, first_use))[0].level, first_use)
        day = f"{D(by).day} {D(by):%B} {D(by).year}"
        assert fate.text.startswith(f"By {day}: ")
        assert fate.text.endswith(".")
        said.setdefault(fate.level, fate.text.removeprefix(f"By {day}: "))
        if fate.level == "yes":
            assert f"yes for {first_use}" in fate.text
        if fate.level in ("no", "partly"):
            wanted = (
                fate.training_from if fate.level == "no" and first_use == "training" else fate.matches_from
            )
            assert wanted is not None
            assert wanted > by
            assert f"{D(wanted).day} {D(wanted):%B}" in fate.text
    assert {level: text.split()[0].rstrip(",") for level, text in said.items()} == {
        level: "training" if level == "partly" else level for level in said
    }
    assert {"yes", "no"} <= set(said)


def test_a_date_that_cannot_move_is_said_to_be_missed():
    soft, firm = (
        advice_of(
            consulted(
                changed(SHUT, dates={"play_by": "2026-05-20", "first_use": "matches", "play_by_firm": firm})
            )
        ).fate
        for firm in (False, True)
    )
    assert soft is not None
    assert firm is not None
    assert (soft.level, firm.level, soft.firm, firm.firm) == ("no", "no", False, True)
    assert "cannot move" in firm.text
    assert "cannot move" not in soft.text


def zones(*rows: dict) -> dict:
    return changed(SHUT, zone=list(rows), dates={"first_use": "matches"})


def test_parts_that_are_kept_off_have_no_fate_and_the_worst_part_speaks_first():
    bare = {"name": "goalmouths", "area_m2": 200, "bare_percent": 90, "bare_pattern": "solid"}
    sound = {
        "name": "wings",
        "area_m2": 4000,
        "bare_percent": 0,
        "grass": [{"grass": "perennial ryegrass", "share_percent": 100, "state": "green"}],
    }
    square = {"name": "square", "area_m2": 500, "keep_off": True}
    data = changed(zones(sound, bare, square), dates={"play_by": "2026-05-20"})
    c = consulted(data)
    found = fates(c)
    assert [fate.zone for fate in found] == ["goalmouths", "wings"]
    assert [fate.level for fate in found] == ["no", "yes"]
    assert found[1].matches.at_once
    fate = advice_of(c).fate
    assert fate is not None
    assert (fate.zone, fate.zones) == ("goalmouths", {"goalmouths": "no", "wings": "yes"})
    assert "goalmouths" in fate.text.partition(":")[0]


def test_turf_that_is_told_to_be_dense_bears_play_at_once_and_bare_ground_does_not():
    told = {
        "name": "whole field",
        "bare_pattern": "scattered",
        "grass": [{"grass": "perennial ryegrass", "share_percent": 100, "state": "green"}],
    }
    (dense,) = fates(consulted(zones({**told, "bare_percent": 5})))
    (bare,) = fates(consulted(zones({**told, "bare_percent": 95, "bare_pattern": "solid"})))
    assert (dense.level, dense.matches.at_once) == ("yes", True)
    assert not bare.matches.at_once


# What is known of the date and the grass, from the best to the worst, and what it means to whoever has a match that day.
LEVEL_OF = [
    ("matches", "slow-year", "slow-year", True, False, "yes"),
    ("matches", "slow-year", "slow-year", False, False, "likely"),
    ("matches", "slow-year", "slow-year", True, True, "likely"),
    ("matches", "most-years", "slow-year", True, False, "likely"),
    ("matches", "no", "slow-year", True, False, "partly"),
    ("matches", "no", "most-years", True, False, "partly"),
    ("matches", "no", "no", True, False, "no"),
    ("training", "slow-year", "slow-year", True, False, "yes"),
    ("training", "most-years", "most-years", True, False, "likely"),
    ("training", "no", "no", True, False, "no"),
]


@pytest.mark.parametrize(("use", "wanted", "training", "sound", "walked", "level"), LEVEL_OF)
def test_a_yes_is_for_a_slow_year_without_a_risk_and_training_alone_is_half_of_it(
    use, wanted, training, sound, walked, level
):
    facts = {
        "zone.wanted-use": use, "zone.wanted-use-by": wanted, "zone.training-by": training,
        "zone.new-grass-sound": sound, "zone.walked-on": walked, "zone.hangs-on-first": False,
    }  # fmt: skip
    found = [row.level for row in adviser().knowledge.fates.values() if adviser().holds(row, facts)]
    assert found[0] == level
    hanging = facts | {"zone.hangs-on-first": True}
    found = [row.level for row in adviser().knowledge.fates.values() if adviser().holds(row, hanging)]
    assert found[0] == ("likely" if level == "yes" else level)


def test_the_levels_of_the_fate_stand_from_the_best_to_the_worst():
    assert tuple(row.level for row in adviser().knowledge.fates.values()) == LEVELS


def test_where_each_use_has_its_date_the_one_that_is_missed_by_more_counts():
    levels = ("no", "most-years", "slow-year")
    found, play_by = set(), "2026-07-05"
    for matches_by in ("2026-07-06", "2026-07-25", "2026-08-20", "2027-06-01"):
        told = {"play_by": play_by, "first_use": "training", "matches_by": matches_by}
        c = consulted(changed(SHUT, dates=told, wishes={"avoid": ["thick-sod", "thin-sod"]}))
        (fate,) = fates(c)
        uses = (fate.training.by(D(play_by)), fate.matches.by(D(matches_by)))
        assert fate.wanted_by == min(uses, key=levels.index)
        assert ("matches" in advice_of(c).fate.text) == (uses[0] != "no" or fate.level == "no")
        found.add((uses[0] == fate.wanted_by, fate.level == "partly"))
    assert {one for one, _ in found} == {True, False}


def test_turf_that_bears_play_is_not_told_as_begun_with_what_is_sown_later():
    """Asleep in a southern July, awake in November: what is sown the autumn after brings that date no nearer."""
    data = {
        "place": {"name": "Dunedin", "country": "nz"},
        "dates": {"today": "2026-07-04", "play_by": "2026-11-01", "can_close": "signs"},
        "field": {
            "area_m2": 5000,
            "bare_percent": 20,
            "bare_pattern": "scattered",
            "grass": [{"grass": "perennial ryegrass", "share_percent": 100, "state": "dormant"}],
        },
        "now": {"ground": "soft"},
        "use": [{"sport": "rugby"}],
    }
    advice = advice_of(adviser().consult(situation_from_dict(data)))
    assert advice.fate is not None
    assert "begun on" not in advice.fate.text
    assert [answer.decision for answer in advice.programme] == ["wait"]
    assert all(answer.stopgap is None for answer in advice.programme)


def _wet_school_field(by: str) -> dict:
    """A school's rugby field in Hereford on which water stands for two days: somebody who knows drains comes first."""
    return {
        "place": {"name": "Hereford", "country": "gb"},
        "dates": {"today": "2026-11-30", "play_by": by},
        "site": {"school": True},
        "field": {"area_m2": 7000, "soil": "clay"},
        "use": [{"sport": "rugby", "months": ["sep", "oct", "nov", "dec", "jan", "feb", "mar"], "hours_per_week": 8}],
        "zone": [{"name": "field", "bare_percent": 40, "water_stands_hours": 48}],
    }  # fmt: skip


@pytest.mark.parametrize("by", ["2027-06-15", "2027-07-01", "2027-09-01", "2027-05-20"])
def test_a_date_that_hangs_on_what_must_come_first_says_so(by):
    c = consulted(_wet_school_field(by))
    (fate,), chosen = fates(c), c.chosen["field"]
    assert (chosen.option.draft.remedy, chosen.stopgap) == ("call-expert", None)
    assert (fate.option, fate.follows) == (chosen.after, True)
    text = advice_of(c).fate.text
    assert fate.level != "yes"
    assert ", begun on" not in text
    assert "if the qualified person who is called first clears the way and new grass is begun on" in text


def test_a_stopgap_that_brings_the_date_is_begun_whatever_is_mended_beside_it():
    data = _wet_school_field("2027-09-01")
    c = consulted({**data, "dates": {**data["dates"], "today": "2026-09-05"}})
    assert c.chosen["field"].stopgap is fates(c)[0].option
    assert ", begun on 8 September 2026" in advice_of(c).fate.text


def test_of_ground_that_is_waited_for_the_date_is_said_to_come_later():
    """Sleeping kikuyu in Ballarat of which nobody can say yet what comes back."""
    data = {
        "place": {"name": "Ballarat", "country": "au"},
        "dates": {"today": "2026-09-14", "play_by": "2027-04-03", "first_use": "matches"},
        "field": {"area_m2": 15000},
        "use": [{"sport": "australian football", "hours_per_week": 14}],
        "zone": [
            {
                "name": "centre square",
                "area_m2": 2500,
                "bare_percent": 60,
                "bare_pattern": "scattered",
                "grass": [{"grass": "kikuyugrass", "share_percent": 70, "state": "dormant"}],
            }
        ],
    }
    c = consulted(data)
    assert c.chosen["centre-square"].option.draft.remedy == "wait"
    assert advice_of(c).fate.level == "no"
    assert "a date can be given when it has been looked at again" in advice_of(c).fate.text
