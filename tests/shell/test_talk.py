"""The conversation as a state machine, with a made-up library: what it asks, keeps, asks back, and does on command."""

from __future__ import annotations

import copy
import datetime as dt
import json
from dataclasses import replace
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from decide.shell import table
from decide.shell.keep import Keeper
from decide.shell.state import Say
from decide.shell.talk import Talk

TODAY = dt.date(2026, 5, 20)
ALL = [
    "none",
    "goalmouths and middle",
    "80",
    "half",
    "soccer, 12 hours a week, September to May, youth",
    "15 September",
    "hose",
    "30 m",
]


@pytest.fixture
def talk(fake: ModuleType) -> Talk:
    """A talk in which the person wants to be asked one thing at a time."""
    talk = Talk(fake.tools(), TODAY)
    talk.hear("ask me")
    return talk


def tell(talk: Talk, *lines: str) -> list[Say]:
    """Says several lines and gives what was said after the last one."""
    said: list[Say] = []
    for line in lines:
        said = talk.hear(line)
    return said


def text(said: list[Say]) -> str:
    return "\n".join(one.text for one in said)


def test_dangers_come_first_and_left_counts_down(talk: Talk) -> None:
    first = talk.prompt()
    assert first.question == "dangers"
    assert first.choices == ("loose goals", "glass", "none of these")
    assert first.left == 5  # hose reach not yet, details not counted
    tell(talk, "none")
    assert talk.prompt().question == "where"
    assert talk.prompt().left == 4


def test_answers_go_into_the_situation_layout(talk: Talk) -> None:
    tell(talk, *ALL)
    months = ["jan", "feb", "mar", "apr", "may", "sep", "oct", "nov", "dec"]
    assert talk.answers == {
        "site": {"dangers": ["none"]},
        "zone": [{"name": "goalmouths", "bare_percent": 80}, {"name": "middle", "bare_percent": 50}],
        "use": [{"sport": "football", "hours_per_week": 12, "months": months, "players": "youth"}],
        "dates": {"play_by": "2026-09-15"},
        "means": {"water": "hand hose", "hose_reach_m": 30},
    }


def test_the_word_that_is_offered_for_advice_brings_it(talk: Talk) -> None:
    said = tell(talk, ALL[0], "more")
    assert "say advice to have it now" in said[-1].text
    assert tell(talk, "advice")[-1].role == "advice"


def test_advice_comes_when_nothing_that_matters_is_left(talk: Talk) -> None:
    said = tell(talk, *ALL)
    assert said[-1].role == "advice"
    assert "Sow the goalmouths now." in said[-1].text
    assert talk.prompt().text == "What next?"
    assert "Say details for more questions" in talk.prompt().hint


def test_today_is_handed_over_but_not_kept(talk: Talk) -> None:
    tell(talk, *ALL)
    assert talk.advice.answers["dates"]["today"] == "2026-05-20"
    assert "today" not in talk.answers["dates"]


def test_zone_questions_name_their_zone(talk: Talk) -> None:
    tell(talk, "none", "goalmouths and middle")
    assert talk.prompt().text == "goalmouths: How much of it is bare ground?"
    tell(talk, "80")
    assert talk.prompt().text == "middle: How much of it is bare ground?"


def test_same_takes_the_answer_of_the_part_before(talk: Talk) -> None:
    tell(talk, "none", "goalmouths and middle", "80", "same")
    assert [zone["bare_percent"] for zone in talk.answers["zone"]] == [80, 80]


def test_dont_know_is_kept_and_asks_on(talk: Talk) -> None:
    tell(talk, "don't know")
    assert talk.answers == {"site": {"dangers": "don't know"}}
    tell(talk, "no idea")
    assert talk.answers["zone"] == [{"name": "whole field"}]


def test_missing_parts_of_a_use_are_asked(talk: Talk) -> None:
    tell(talk, "none", "everywhere", "half", "rugby")
    assert talk.prompt().text == "About rugby: how many hours a week, in which months and adults or youth?"
    tell(talk, "10")
    assert talk.answers["use"] == [{"sport": "rugby-union", "hours_per_week": 10}]
    assert talk.prompt().question == "play-by"


def test_the_rest_of_a_use_takes_not_knowing(talk: Talk) -> None:
    tell(talk, "none", "everywhere", "half", "rugby, youth", "don't know")
    assert talk.answers["use"] == [
        {"sport": "rugby-union", "players": "youth", "hours_per_week": "don't know", "months": "don't know"}
    ]


def test_two_readings_are_asked_back_and_picked(talk: Talk) -> None:
    tell(talk, *ALL[:5], "12/6")
    asked = talk.prompt()
    assert asked.choices == ("12 June 2026 (day first)", "6 December 2026 (month first)")
    assert "play_by" not in talk.answers.get("dates", {})
    tell(talk, "2")
    assert talk.answers["dates"]["play_by"] == "2026-12-06"


def test_an_ask_back_takes_a_fresh_answer_too(talk: Talk) -> None:
    tell(talk, *ALL[:5], "12/6", "15 July")
    assert talk.answers["dates"]["play_by"] == "2026-07-15"


def test_an_ask_back_takes_dont_know_and_back(talk: Talk) -> None:
    tell(talk, *ALL[:5], "12/6", "back")
    assert talk.prompt().question == "play-by"
    tell(talk, "12/6", "don't know")
    assert talk.answers["dates"]["play_by"] == "don't know"


def test_what_is_not_understood_changes_nothing(talk: Talk) -> None:
    before = talk.prompt()
    said = tell(talk, "dragons")
    assert said[0].role == "error"
    assert talk.prompt() == before
    assert talk.answers == {}


def test_back_goes_back_and_keeps_the_rest(talk: Talk) -> None:
    tell(talk, "none", "goalmouths", "80")
    said = tell(talk, "back")
    assert text(said) == "Taken back: Part: goalmouths; 80 % bare."
    assert talk.prompt().question == "how-bare"
    tell(talk, "back")
    assert talk.prompt().question == "where"
    assert tell(talk, "back", "back")[0].text == "This is the first question."


@pytest.mark.slow
@pytest.mark.parametrize(
    "line",
    [
        "change the date",
        "change date",
        "I want to change the deadline",
        "change the day",
        "the date is wrong",
    ],
)
def test_change_the_date(talk: Talk, line: str) -> None:
    tell(talk, *ALL)
    said = tell(talk, line)
    assert text(said) == "You said: 15 September 2026."
    assert talk.prompt().question == "play-by"
    said = tell(talk, "1 October")
    assert talk.answers["dates"]["play_by"] == "2026-10-01"
    assert talk.answers["zone"][0]["bare_percent"] == 80
    assert said[-1].text == "The date is another.\nSay advice to see it whole."
    assert talk.advice.answers["dates"]["play_by"] == "2026-10-01"
    assert tell(talk, "advice")[-1].role == "advice"


@pytest.mark.slow
def test_an_answer_is_changed_in_one_line(talk: Talk) -> None:
    tell(talk, *ALL, "change the date to 1 October")
    assert talk.answers["dates"]["play_by"] == "2026-10-01"


def test_back_gives_up_a_change(talk: Talk) -> None:
    tell(talk, "none", "change the dangers")
    assert tell(talk, "back")[0].text == "It stays as it was."
    assert talk.prompt().question == "where"
    assert talk.answers == {"site": {"dangers": ["none"]}}


@pytest.mark.slow
def test_change_asks_which_zone(talk: Talk) -> None:
    tell(talk, *ALL, "change how bare it is")
    assert talk.prompt().choices == (
        "goalmouths: How much of it is bare ground?",
        "middle: How much of it is bare ground?",
    )
    tell(talk, "2", "20 %")
    assert [zone["bare_percent"] for zone in talk.answers["zone"]] == [80, 20]


@pytest.mark.slow
def test_change_the_goalmouths_bare_share(talk: Talk) -> None:
    tell(talk, *ALL, "change how bare the goalmouths are", "60")
    assert [zone["bare_percent"] for zone in talk.answers["zone"]] == [60, 50]


@pytest.mark.slow
def test_change_in_the_middle_of_the_questions_goes_on_after(talk: Talk) -> None:
    tell(talk, "none", "goalmouths")
    tell(talk, "change the dangers", "glass")
    assert talk.answers["site"]["dangers"] == ["glass"]
    assert talk.prompt().question == "how-bare"


def test_why_do_you_ask(talk: Talk) -> None:
    for line in ("why do you ask?", "why", "Why do you want to know that?"):
        assert text(tell(talk, line)) == "What can hurt people comes before grass."


@pytest.mark.slow
def test_questions_are_answered_from_the_advice(talk: Talk) -> None:
    assert tell(talk, "why not thin sod")[0].text == "Early reply to why_not."
    tell(talk, *ALL)
    assert text(tell(talk, "why?")) == "Reply to why."
    assert text(tell(talk, "why not thin sod?")) == "Reply to why_not."
    assert text(tell(talk, "what do I do this week?")) == "Reply to this_week."
    assert talk.prompt().text == "What next?"


@pytest.mark.slow
def test_a_question_that_may_mean_several_things_is_asked_back_by_number(talk: Talk) -> None:
    tell(talk, *ALL)
    assert tell(talk, "is it the water?") == []
    asked = talk.prompt()
    assert asked.text == "I am not sure what you ask. Do you mean:"
    assert "when and how often to water" in asked.choices
    at = asked.choices.index("when and how often to water") + 1
    assert text(tell(talk, "yes")) == "Which of them? Answer with its number."
    assert talk.prompt() == asked
    assert text(tell(talk, str(at))) == "Reply to when_water."
    assert talk.prompt().text == "What next?"


@pytest.mark.slow
def test_none_of_what_is_offered_is_no_answer_to_anything(talk: Talk) -> None:
    tell(talk, *ALL)
    before = copy.deepcopy(talk.answers)
    for line in ("no", "none of them", "don't know"):
        tell(talk, "is it the water?")
        assert text(tell(talk, line)) == "Then say it in other words."
    tell(talk, "is it the water?")
    assert text(tell(talk, "why not thin sod?")) == "Reply to why_not."
    assert talk.prompt().text == "What next?"
    assert talk.answers == before


def test_before_advice_a_question_is_answered_on_what_was_told(fake: ModuleType) -> None:
    talk = Talk(fake.tools(), TODAY, {"place": {"name": "Dayton"}, "zone": [{"name": "middle"}]})
    asked = talk.prompt()
    said = tell(talk, "when can we play on it?")
    assert text(said) == "On what you have told so far:\nReply to when_can_we_play."
    assert talk.prompt() == asked
    assert talk.advice is None


def test_more_and_less(talk: Talk) -> None:
    tell(talk, *ALL)
    for what in ("more", "plan", "water", "care", "money", "reasons", "all"):
        assert f"ADVICE {what} " in text(tell(talk, what))
    assert "ADVICE first screen" in text(tell(talk, "shorter"))


def test_details_are_offered_and_asked(talk: Talk) -> None:
    tell(talk, *ALL, "details")
    assert talk.prompt().question == "machines"
    tell(talk, "rake")
    said = tell(talk, "100 x 60 m")
    assert talk.answers["field"] == {"area_m2": 6000}
    assert said[-1].text == "The date is another.\nSay advice to see it whole."


def test_advice_on_demand(talk: Talk) -> None:
    said = tell(talk, "none", "that's enough")
    assert said[-1].role == "advice"
    assert talk.prompt().text == "What next?"


def test_units(talk: Talk) -> None:
    tell(talk, *ALL[:7], "units us", "100")
    assert talk.answers["means"]["hose_reach_m"] == 30.48
    assert talk.advice.units == "us"
    said = tell(talk, "units metric")
    assert "metric" in said[-1].text


def test_what_is_meant_to_be_done_is_judged_and_not_kept(talk: Talk) -> None:
    tell(talk, *ALL)
    assert text(tell(talk, "can I roll the goalmouths now?")) == "Reply to can_i_now."
    assert "proposal" not in talk.answers


def test_what_does_a_word_mean(talk: Talk) -> None:
    assert text(tell(talk, "what does sod mean?")) == "Early reply to meaning."


def test_show_answers(talk: Talk) -> None:
    assert text(tell(talk, "show answers")) == "There are no answers yet."
    tell(talk, "none", "goalmouths", "80")
    shown = text(tell(talk, "show answers")).splitlines()
    assert shown[0] == " 1  Is anything dangerous on the field now? none of these"
    assert shown[1] == " 2  Which parts of the field are bad? goalmouths"
    assert shown[2] == " 3  goalmouths: How much of it is bare ground? 80 %"


def test_help_gives_the_questions_own_test_first(talk: Talk) -> None:
    said = tell(talk, "help")
    assert said[0].text == "Walk the field once."
    assert "why not thin sod" in said[1].text
    assert tell(talk, "?")[0].text == "Walk the field once."


def test_start_again_asks_first(talk: Talk) -> None:
    tell(talk, "none", "start again", "no")
    assert talk.answers == {"site": {"dangers": ["none"]}}
    tell(talk, "start again", "yes")
    assert talk.answers == {}
    assert talk.prompt().question == "opening"


def test_leave(talk: Talk) -> None:
    tell(talk, "none", "leave")
    assert talk.done


def test_no_water_but_a_hose_is_asked_back_and_nothing_is_lost(fake: ModuleType) -> None:
    answers: dict[str, Any] = {"means": {"equipment_own": ["hose"]}, "site": {"dangers": ["none"]}}
    talk = Talk(fake.tools(), TODAY, answers)
    tell(talk, *ALL[1:6], "no water")
    assert talk.prompt().choices == ("it can be watered with a hose", "it cannot be watered")
    assert talk.answers["means"]["water"] == "none"
    tell(talk, "1")
    assert talk.answers["means"] == {"equipment_own": ["hose"], "water": "hand hose"}
    assert talk.prompt().question == "hose-reach"


def test_no_water_but_sprinklers_is_never_no_water(talk: Talk) -> None:
    tell(talk, *ALL[:6], "no water but in-ground sprinklers")
    assert talk.answers.get("means", {}).get("water") != "none"


def test_a_date_that_is_past_is_refused_and_one_of_old_is_asked_back(talk: Talk, fake: ModuleType) -> None:
    assert "past" in tell(talk, *ALL[:5], "1 March 2026")[0].text
    assert "dates" not in talk.answers
    old = Talk(fake.tools(), TODAY, {"dates": {"play_by": "2026-03-01"}})
    tell(old, "none")
    assert old.prompt().text == "1 March 2026 is already past. Which day is meant?"
    tell(old, "1")
    assert old.answers["dates"]["play_by"] == "2027-03-01"


def test_bare_and_weeds_beyond_the_whole_are_asked_back(fake: ModuleType) -> None:
    answers: dict[str, Any] = {"zone": [{"name": "middle", "weeds_percent": 60}]}
    talk = Talk(fake.tools(), TODAY, answers)
    tell(talk, "none", "70")
    assert talk.prompt().text == "Bare ground and weeds together make 130 % (middle). Which number is right?"
    tell(talk, "1")
    assert talk.answers["zone"] == [{"name": "middle", "weeds_percent": 30, "bare_percent": 70}]


def test_a_contradiction_may_stand(fake: ModuleType) -> None:
    talk = Talk(fake.tools(), TODAY, {"zone": [{"name": "middle", "weeds_percent": 60}]})
    said = tell(talk, "none", "70", "don't know")
    assert "both stand" in text(said)
    assert talk.prompt().question == "who-plays"


def test_an_error_of_the_library_is_said_and_the_answer_can_be_changed(fake: ModuleType) -> None:
    talk = Talk(fake.tools(), TODAY, {"place": {"name": "nowhere"}})
    said = tell(talk, *ALL)
    assert said[-1].role == "error"
    assert "Name a town" in said[-1].text
    assert talk.advice is None
    tell(talk, "change the date")
    assert talk.prompt().question == "play-by"


def test_resume_asks_first(fake: ModuleType) -> None:
    answers: dict[str, Any] = {"site": {"dangers": ["none"]}, "place": {"name": "York"}}
    talk = Talk(fake.tools(), TODAY, answers, resumed=True)
    assert talk.prompt().text == "There is a talk about York from before, with 1 answer. Go on with it?"
    tell(talk, "yeah")
    assert talk.prompt().question == "where"


def test_resume_can_be_declined_and_the_old_talk_is_put_aside(fake: ModuleType, tmp_path: Path) -> None:
    keeper = Keeper(tmp_path / "talk.json")
    keeper.save({"site": {"dangers": ["none"]}})
    talk = Talk(fake.tools(), TODAY, keeper.load(), kept=keeper, resumed=True)
    tell(talk, "no")
    assert talk.answers == {}
    assert json.loads((tmp_path / "talk-before.json").read_text()) == {"site": {"dangers": ["none"]}}


def test_back_works_after_resuming(fake: ModuleType) -> None:
    talk = Talk(fake.tools(), TODAY, {"site": {"dangers": ["glass"]}}, resumed=True)
    tell(talk, "yes")
    assert text(tell(talk, "back")) == "You said: glass."
    assert talk.prompt().question == "dangers"


def test_every_answer_is_saved_at_once(fake: ModuleType, tmp_path: Path) -> None:
    keeper = Keeper(tmp_path / "deep" / "talk.json")
    talk = Talk(fake.tools(), TODAY, kept=keeper)
    tell(talk, "ask me", "none")
    assert keeper.load() == {"site": {"dangers": ["none"]}}
    tell(talk, "goalmouths")
    assert keeper.load()["zone"] == [{"name": "goalmouths"}]
    assert [path.name for path in (tmp_path / "deep").iterdir()] == ["talk.json"]


def test_save_as_writes_toml_and_never_over_a_file(fake: ModuleType, tmp_path: Path) -> None:
    talk = Talk(fake.tools(), TODAY, kept=Keeper(tmp_path / "talk.json"))
    tell(talk, "ask me", *ALL[:5])
    target = tmp_path / "Our-Field.toml"
    assert text(tell(talk, f"save as {target}")) == f"Saved as {target}."
    assert Keeper(target).load() == talk.answers
    assert "already" in text(tell(talk, f"save as {target}"))


def test_where_saving_fails_it_is_said_once_and_the_talk_goes_on(fake: ModuleType, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    talk = Talk(fake.tools(), TODAY, kept=Keeper(tmp_path / "file" / "talk.json"))
    assert "cannot be saved" in text(tell(talk, "ask me", "none"))
    assert "cannot be saved" not in text(tell(talk, "goalmouths"))
    assert talk.prompt().question == "how-bare"


def test_exact_answers_beat_commands(fake: ModuleType) -> None:
    talk = Talk(fake.tools(), TODAY)
    tell(talk, "ask me", "1")
    assert talk.answers["site"]["dangers"] == ["loose goals"]


def test_hostile_text_is_heard_as_text(talk: Talk) -> None:
    tell(talk, "none", "\x1b[31m[red]corner[/red]\x1b[0m")
    assert "\x1b" not in json.dumps(talk.answers)
    assert tell(talk, "x" * 5000)[0].role == "error"


@pytest.mark.slow
@pytest.mark.parametrize(
    ("line", "kind", "path", "new"),
    [
        ("save the page", "page", "field-page.html", True), ("write the minutes", "notes", "field-notes.md", True),
        ("export the calendar", "calendar", "field-calendar.ics", True), ("print the task list", "tasks", "field-tasks.csv", True),
        ("save the shopping list as ~/To Buy", "shopping", "~/To Buy.csv", True), ("save the page as Pitch.HTML", "page", "Pitch.HTML", True),
    ],
)  # fmt: skip
def test_papers_are_written_where_they_are_wanted(
    fake: ModuleType, line: str, kind: str, path: str, new: bool
) -> None:
    wanted: list[tuple[str, str, bool]] = []

    def write(_: object, kind: str, path: str, new: bool) -> str:
        wanted.append((kind, path, new))
        return path

    talk = Talk(replace(fake.tools(), write_paper=write), fake.TODAY)
    assert "no advice yet" in text(tell(talk, line))
    tell(talk, "ask me", *ALL)
    assert text(tell(talk, line)) == f"Written: {path}"
    assert wanted == [(kind, path, new)]


def test_sprays_without_class_or_date_are_asked_and_read_carefully(fake: ModuleType) -> None:
    import dataclasses

    from decide.parse.question import Question
    from decide.parse.results import AnswerChoice

    sprayed = Question(
        "history.herbicides",
        "sprayed",
        "Was anything sprayed?",
        "Some stop seed.",
        "sprays",
        (AnswerChoice("auxin-phenoxy", ("weed and feed",)), AnswerChoice("unknown", ("some other kind",))),
    )
    library = fake.tools()
    rest = {
        "ask_next": lambda answers, details: sprayed if table.get(answers, sprayed) is None else None,
        "left": lambda answers, details: 1,
    }
    talk = Talk(dataclasses.replace(library, questions=(sprayed,), **rest), TODAY)
    tell(talk, "ask me", "yes")
    assert talk.prompt().text == "What was it for?"
    tell(talk, "weed and feed")
    assert talk.prompt().text == "When was that, roughly?"
    tell(talk, "don't know")
    assert talk.answers["history"]["herbicides"] == [{"class": "auxin-phenoxy", "date": "2026-05-20"}]


LINES = st.sampled_from(
    [*ALL, "back", "change the date", "change", "don't know", "why", "why not sod", "more", "less", "details", "this week", "help", "show answers",
     "start again", "yes", "no", "1", "2", "12/6", "1 March 2026", "no water", "units us", "can I roll it now?", "that's enough", "same", "hose", "everywhere",
     "what does sod mean", "", "???", "save", "glass", "rugby", "all year"]
)  # fmt: skip


@pytest.mark.slow
@settings(max_examples=12, deadline=None)
@given(st.lists(LINES | st.text(max_size=20), max_size=25))
def test_any_sequence_of_lines_keeps_the_talk_alive(fake: ModuleType, lines: list[str]) -> None:
    talk = Talk(fake.tools(), TODAY)
    for line in lines:
        for one in talk.hear(line):
            assert one.text
        prompt = talk.prompt()
        assert prompt.text
        assert "today" not in talk.answers.get("dates", {})
        json.dumps(talk.answers, allow_nan=False)


def test_the_made_up_library_is_there(fake: ModuleType) -> None:
    assert len(fake.QUESTIONS) == 9
