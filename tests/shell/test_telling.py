"""What a line tells is written down key by key, joined with what was told before, and taken back whole."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from itertools import pairwise
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest

from decide.model.errors import SituationError
from decide.parse.heard import UNCLEAR, Ask, Doubt, Heard, Told
from decide.parse.results import DONT_KNOW, Reading
from decide.shell import answering, changing, table, telling
from decide.shell.keep import Keeper
from decide.shell.talk import Talk

TODAY = dt.date(2026, 5, 20)


def told(key: str, value: Any, zone: str | None = None, corrects: bool = False) -> Told:
    return Told(key, value, "words", zone, corrects=corrects)


def written(*rows: Told, before: dict[str, Any] | None = None) -> dict[str, Any]:
    answers = dict(before or {})
    for row in telling.in_order(rows):
        telling.tell(answers, row, None)
    return answers


@pytest.fixture
def hears(monkeypatch: pytest.MonkeyPatch) -> dict[str, Heard]:
    """Lines with what they are heard to say; every other line is read as ever."""
    lines: dict[str, Heard] = {}
    real = answering.heard
    monkeypatch.setattr(
        answering, "heard", lambda state, text, asked: lines.get(text) or real(state, text, asked)
    )
    return lines


def test_a_part_that_is_not_there_yet_is_added() -> None:
    assert written(told("zone.bare_percent", 80, "goalmouths"), told("zone", ["middle"])) == {
        "zone": [{"name": "middle"}, {"name": "goalmouths", "bare_percent": 80}]
    }


def test_a_part_is_known_by_near_names() -> None:
    before = {"zone": [{"name": "goalmouths"}]}
    assert written(told("zone.bare_percent", 80, "the goal mouth"), before=before)["zone"] == [
        {"name": "goalmouths", "bare_percent": 80}
    ]


def test_the_whole_field_becomes_the_rest_when_a_part_is_named() -> None:
    before = {"zone": [{"name": table.WHOLE_FIELD, "bare_percent": 20}]}
    assert written(told("zone", ["goalmouths"]), before=before)["zone"] == [
        {"name": telling.REST, "bare_percent": 20},
        {"name": "goalmouths"},
    ]
    assert written(told("zone", ["goalmouths"]), before={"zone": [{"name": table.WHOLE_FIELD}]})["zone"] == [
        {"name": "goalmouths"}
    ]


def test_lists_are_joined_and_none_gives_way() -> None:
    before = {"site": {"dangers": ["none"]}, "means": {"equipment_own": ["rake"]}}
    assert written(
        told("site.dangers", ["glass"]), told("means.equipment_own", ["hose", "rake"]), before=before
    ) == {"site": {"dangers": ["glass"]}, "means": {"equipment_own": ["rake", "hose"]}}


def test_a_correction_replaces_a_list() -> None:
    before = {"site": {"dangers": ["glass"]}}
    assert written(told("site.dangers", ["holes"], corrects=True), before=before) == {
        "site": {"dangers": ["holes"]}
    }


def test_rows_about_the_same_sport_are_one() -> None:
    before = {"use": [{"sport": "football", "hours_per_week": 12}]}
    assert written(told("use", [{"sport": "football", "players": "youth"}]), before=before)["use"] == [
        {"sport": "football", "hours_per_week": 12, "players": "youth"}
    ]
    assert len(written(told("use", [{"sport": "cricket"}]), before=before)["use"]) == 2
    assert written(told("use", [{"players": "adult"}], corrects=True), before=before)["use"] == [
        {"sport": "football", "hours_per_week": 12, "players": "adult"}
    ]


def test_another_town_takes_the_place_of_all_of_the_old_one() -> None:
    before = {"place": {"name": "Lincoln", "country": "us", "latitude": 40.8, "altitude_m": 360}}
    after = written(told("place.country", "gb"), told("place.name", "Lincoln"), before=before)
    assert after["place"] == {"altitude_m": 360, "name": "Lincoln", "country": "gb"}


def test_several_things_in_one_line_are_kept_and_taken_back_together(
    fake: ModuleType, hears: dict[str, Heard]
) -> None:
    talk = Talk(fake.tools(), TODAY)
    hears["our field"] = Heard(
        (
            told("zone", ["goalmouths"]),
            told("zone.bare_percent", 80, "goalmouths"),
            told("means.water", "none"),
        )
    )
    said = talk.hear("our field")
    assert talk.answers["means"] == {"water": "none"}
    assert "80 % bare" in said[0].text
    assert talk.prompt().question == "dangers"
    talk.hear("back")
    assert talk.answers == {}
    assert talk.prompt().question == "opening"


def test_a_doubt_is_asked_back_once_and_then_left_open(fake: ModuleType, hears: dict[str, Heard]) -> None:
    talk = Talk(fake.tools(), TODAY)
    readings = (Reading("12 June", (told("dates.play_by", "2026-06-12"),)), Reading("6 December", ()))
    hears["12/6"] = Heard(doubts=(Doubt("Which day?", "12/6", "dates.play_by", None, readings),))
    talk.hear("12/6")
    assert talk.prompt().text == "Which day?"
    assert talk.hear("dragons")[0].role == "error"
    assert talk.hear("more dragons")[0].text == "We leave that open."
    assert talk.prompt().question == "dangers"
    talk.hear("12/6")
    talk.hear("1")
    assert talk.answers["dates"] == {"play_by": "2026-06-12"}


def test_none_of_the_readings_is_no_answer(fake: ModuleType, hears: dict[str, Heard]) -> None:
    talk = Talk(fake.tools(), TODAY, {"place": {"name": "York"}})
    readings = (Reading("12 June", (told("dates.play_by", "2026-06-12"),)), Reading("6 December", ()))
    hears["12/6"] = Heard(doubts=(Doubt("Which day?", "12/6", "dates.play_by", None, readings),))
    talk.hear("12/6")
    assert talk.hear("no")[0].text == "Then say it in other words."
    assert "dates" not in talk.answers


def test_a_reading_that_would_be_refused_is_not_offered(fake: ModuleType, hears: dict[str, Heard]) -> None:
    def check(answers: dict[str, Any]) -> None:
        if answers.get("means", {}).get("helpers", 0) > 200:
            raise SituationError("means.helpers: it is out of range", instead="It is at most 200")

    talk = Talk(replace(fake.tools(), check=check), TODAY)
    many = [Reading(str(n), (told("means.helpers", n),)) for n in (900, 20, 40_000)]
    hears["some"] = Heard(doubts=(Doubt("Which is meant?", "some", "means.helpers", None, tuple(many)),))
    talk.hear("some")
    assert talk.prompt().choices == ("20",)
    talk.hear("1")
    assert talk.answers["means"] == {"helpers": 20}
    hears["none"] = Heard(doubts=(Doubt("Which is meant?", "none", "means.helpers", None, tuple(many[::2])),))
    assert [(one.role, one.text) for one in talk.hear("none")] == [
        ("error", "It is out of range. It is at most 200")
    ]
    assert talk.prompt().question == "dangers"


def test_more_of_an_advice_is_offered_only_where_there_is_one(
    fake: ModuleType, hears: dict[str, Heard]
) -> None:
    talk = Talk(fake.tools(), TODAY)
    may = (Ask("longer", "it", means="more detail"), Ask("when_water", "it", means="when to water"))
    hears["it"] = Heard(asks=(Ask(UNCLEAR, "it", may=may),))
    talk.hear("it")
    assert talk.prompt().choices == ("when to water",)
    talk.hear("no")
    talk.hear("advice")
    talk.hear("it")
    assert talk.prompt().choices == ("more detail", "when to water")


def test_a_doubt_takes_not_knowing(fake: ModuleType, hears: dict[str, Heard]) -> None:
    talk = Talk(fake.tools(), TODAY)
    hears["12/6"] = Heard(doubts=(Doubt("Which day?", "12/6", "dates.play_by"),))
    talk.hear("12/6")
    talk.hear("don't know")
    assert talk.answers["dates"] == {"play_by": DONT_KNOW}


def test_what_is_true_of_a_part_is_asked_back_where_none_is_named(
    fake: ModuleType, hears: dict[str, Heard]
) -> None:
    answers = {"zone": [{"name": "goalmouths"}, {"name": "middle"}]}
    talk = Talk(fake.tools(), TODAY, answers)
    hears["bare"] = Heard((told("zone.bare_percent", 80),))
    talk.hear("bare")
    assert talk.prompt().choices == ("each of them", "goalmouths", "middle")
    talk.hear("1")
    assert [zone["bare_percent"] for zone in talk.answers["zone"]] == [80, 80]


def test_what_no_part_can_have_is_refused_before_a_part_is_asked(
    fake: ModuleType, hears: dict[str, Heard]
) -> None:
    def check(answers: dict[str, Any]) -> None:
        if any(zone.get("bare_percent") == 800 for zone in answers["zone"]):
            raise SituationError("zone[0].bare_percent: 800 is out of range", instead="It is at most 100")

    parts = {"zone": [{"name": "goalmouths"}, {"name": "middle"}]}
    talk = Talk(replace(fake.tools(), check=check), TODAY, parts)
    hears["bare"] = Heard((told("zone.bare_percent", 800),))
    assert "800 is out of range" in talk.hear("bare")[0].text
    assert talk.state.pending is None


def test_the_same_line_is_never_said_twice_in_a_row(fake: ModuleType) -> None:
    talk = Talk(fake.tools(), TODAY, {"site": {"dangers": ["none"]}, "zone": [{"name": "middle"}]})
    said = [talk.hear("dragons")[0].text for _ in range(4)]
    assert all(one != other for one, other in pairwise(said))
    assert "Don't know" in said[1]


def test_what_was_not_read_is_said(fake: ModuleType, hears: dict[str, Heard]) -> None:
    talk = Talk(fake.tools(), TODAY)
    hears["x"] = Heard((told("means.water", "none"),), unread=("the moon is blue",))
    assert 'I made nothing of: "the moon is blue".' in [one.text for one in talk.hear("x")]


def test_every_piece_that_was_not_read_is_said(fake: ModuleType, hears: dict[str, Heard]) -> None:
    talk = Talk(fake.tools(), TODAY)
    pieces = tuple(f"piece {at}" for at in range(14))
    hears["x"] = Heard((told("means.water", "none"),), unread=pieces)
    said = next(one.text for one in talk.hear("x") if one.text.startswith("I made nothing of"))
    assert all(f'"{one}"' in said for one in pieces[:12])
    assert said.endswith("and of 2 more pieces.")


def test_a_line_may_tell_and_ask(fake: ModuleType, hears: dict[str, Heard]) -> None:
    talk = Talk(fake.tools(), TODAY)
    hears["x"] = Heard((told("means.water", "none"),), asks=(Ask("advice_now", "x"),))
    said = talk.hear("x")
    assert talk.answers["means"] == {"water": "none"}
    assert said[-1].role == "advice"


def test_a_message_before_the_old_talk_is_settled_is_kept_for_after(
    fake: ModuleType, hears: dict[str, Heard], tmp_path: Path
) -> None:
    keeper = Keeper(tmp_path / "talk.json")
    keeper.save({"site": {"dangers": ["none"]}})
    talk = Talk(fake.tools(), TODAY, keeper.load(), kept=keeper, resumed=True)
    hears["our field"] = Heard((told("means.water", "none"),))
    assert "answer yes or no" in talk.hear("our field")[0].text
    talk.hear("no")
    assert talk.answers == {"means": {"water": "none"}}


def test_numbered_answers_can_be_changed(fake: ModuleType) -> None:
    talk = Talk(fake.tools(), TODAY)
    for line in ("ask me", "none", "goalmouths", "80", "change 3"):
        talk.hear(line)
    assert talk.prompt().text == "goalmouths: How much of it is bare ground?"
    assert "no answer 9" in talk.hear("change 9")[0].text


def test_a_paper_is_written_over_a_file_only_where_the_person_says_so(fake: ModuleType) -> None:
    from dataclasses import replace

    from decide.model.errors import DecideError

    there, wrote = {"dayton-page.html"}, []

    def write(_: object, __: str, path: str, new: bool) -> str:
        if new and path in there:
            raise DecideError(f"{path} is already there")
        wrote.append(path)
        return path

    tools = replace(fake.tools(), write_paper=write, there=lambda path: path in there)
    talk = Talk(tools, TODAY, {"place": {"name": "Dayton"}})
    for line in ("advice", "save the page"):
        talk.hear(line)
    assert talk.prompt().choices == ("replace it", "another name")
    talk.hear("no")
    assert wrote == []
    talk.hear("save the page")
    talk.hear("for-the-shed")
    talk.hear("save the page")
    talk.hear("1")
    assert wrote == ["for-the-shed.html", "dayton-page.html"]


def test_what_was_done_goes_into_the_record(fake: ModuleType, hears: dict[str, Heard]) -> None:
    from dataclasses import replace

    def row(_: object, entry: dict[str, Any]) -> tuple[str, dict[str, Any]]:
        return "done", {"task": entry["what"], "date": entry["on"].isoformat()}

    talk = Talk(replace(fake.tools(), record_row=row), TODAY)
    hears["mowed"] = Heard(asks=(Ask("done_record", "mowed", {"step": "mow", "date": "2026-05-18"}),))
    assert talk.hear("mowed")[0].text == "Written down: mow, 18 May 2026."
    assert talk.answers["done"] == [{"task": "mow", "date": "2026-05-18"}]


def test_choices_are_shown_and_heard_in_the_words_of_the_country(fake: ModuleType) -> None:
    from dataclasses import replace

    tools = replace(fake.tools(), in_words=lambda text, _: text.replace("soccer", "fitba"))
    talk = Talk(
        tools, TODAY, {"site": {"dangers": ["none"]}, "zone": [{"name": "middle", "bare_percent": 80}]}
    )
    assert talk.prompt().choices == ("fitba", "rugby")


def test_hours_and_months_of_play_are_heard_whatever_is_asked(fake: ModuleType) -> None:
    talk = Talk(fake.tools(), TODAY, {"use": [{"sport": "soccer"}]})
    talk.state.question = talk.state.tools.question("zone.bare_percent")
    talk.hear("kids, 10 hours a week, April to October")
    assert talk.answers["use"][0]["hours_per_week"] == 10
    assert talk.answers["use"][0]["players"] == "youth"


def test_after_advice_was_wanted_a_change_asks_nothing(fake: ModuleType) -> None:
    talk = Talk(fake.tools(), TODAY)
    for line in ("ask me", "glass", "goalmouths", "80", "soccer", "advice"):
        talk.hear(line)
    talk.hear("change the town to Dayton")
    assert talk.prompt().question in ("result", "back")


def test_the_new_answer_may_stand_behind_is(fake: ModuleType) -> None:
    talk = Talk(fake.tools(), TODAY, {"dates": {"play_by": "2026-09-05"}, "zone": [{"name": "goalmouths"}]})
    changing.change(talk.state, "no the date is 12 September")
    assert talk.answers["dates"]["play_by"] == "2026-09-12"


def test_a_part_is_known_by_the_end_of_its_name() -> None:
    before = {"zone": [{"name": "far touchline"}, {"name": "middle"}]}
    assert telling.zone_named(before, "touchline") == "far touchline"
    both = {"zone": [{"name": "far touchline"}, {"name": "near touchline"}]}
    assert telling.zone_named(both, "touchline") == "touchline"
    assert telling.zone_named(before, "line") == "line"
