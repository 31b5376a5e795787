"""The questions of the talk: each goes to a key that is there, in the order and with the limits that the talk needs.

The limits (never ask for soil temperature, slope in percent, …) and the reading grade of 8 are common practice, no
source; the grade is that of Flesch and Kincaid's formula (1975), from memory.
"""

from __future__ import annotations

import datetime as dt
import re
import tomllib
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest

from decide.knowledge.tables import Knowledge
from decide.model.reading import situation_from_dict
from decide.parse.answers import KINDS, read
from decide.parse.hear import hear
from decide.parse.question import SEVERAL, Question
from decide.parse.results import AnswerChoice, Setting, Understood
from decide.shell import table
from decide.shell.library import tools_of
from decide.shell.parts import missing_part
from decide.shell.showing import answered, shown
from decide.shell.talk import Talk
from decide.shell.tools import Tools
from tests.parse.settings import TALK

ROOT = Path(__file__).parents[2]
TODAY = dt.date(2026, 5, 20)
ROWS: list[dict[str, Any]] = tomllib.loads(
    (ROOT / "knowledge" / "questions.toml").read_text(encoding="utf-8")
)["question"]
NEVER = (
    "soil_temp",
    "slope",
    "climate",
    "latitude",
    "longitude",
    "purity",
    "phosphorus",
    "humid",
    "wishes.method",
    "wishes.grass",
    "person",
)
ALWAYS = {
    "site.dangers", "site.in_use_now", "dates.play_by_firm", "dates.can_close", "zone.in_play", "site.school", "site.public", "history.herbicides",
    "site.services_marked", "site.near_water_m", "site.grazed",
}  # fmt: skip
SAMPLES = {
    "date": "15 September", "months": "September to May", "number": "10", "length": "10 m", "area": "500 m2", "money": "500", "yesno": "yes",
    "zones": "goalmouths", "uses": "soccer, 12 hours a week, September to May, youth", "sprays": "no", "place": "York, UK", "text": "nothing",
}  # fmt: skip


@pytest.fixture(scope="module")
def tools() -> Tools:
    return tools_of(ROOT / "knowledge", TODAY)


def test_ids_keys_and_orders_are_each_used_once() -> None:
    for name in ("id", "key", "order"):
        assert len({row[name] for row in ROWS}) == len(ROWS), name
    assert [row["order"] for row in ROWS] == sorted(row["order"] for row in ROWS)


def test_town_trouble_and_date_come_first_then_danger_then_who_plays(tools: Tools) -> None:
    rows = tomllib.loads((ROOT / "knowledge" / "together.toml").read_text(encoding="utf-8"))["group"]
    core = sorted((row for row in rows.values() if row.get("core")), key=lambda row: row["order"])
    keys = [key for row in core for key in row["asks"]]
    wanted = [
        "place.name", "zone", "zone.bare_percent", "dates.play_by", "dates.first_use", "dates.play_by_firm", "site.dangers", "site.goals_anchored",
        "site.in_use_now", "use", "dates.can_close", "zone.in_play", "zone.grass", "history.herbicides", "site.school",
    ]  # fmt: skip
    places = [keys.index(key) for key in wanted]
    assert places == sorted(places)
    assert set(keys) >= ALWAYS
    assert max(row["order"] for row in core) < min(
        row["order"] for row in rows.values() if not row.get("core")
    )


@pytest.mark.slow
def test_of_each_breath_an_answer_like_its_own_example_is_read_whole(tools: Tools) -> None:
    """What the help says that one may say is understood."""
    answers: dict[str, Any] = {"place": {"name": "Dayton", "country": "us", "region": "Ohio"}}
    rows = tomllib.loads((ROOT / "knowledge" / "together.toml").read_text(encoding="utf-8"))["group"]
    for code in ("when", "danger", "ground", "water", "hands", "money"):
        row = rows[code]
        asks = tuple(
            q.with_no(row.get("no", {}).get(key))
            for key in row["asks"]
            for q in tools.questions
            if q.key == key
        )
        example = re.search(r"Say: ([^.]+)\.", row["help"])
        assert example is not None, code
        heard = hear(
            example[1], Setting(TODAY, "north", "us", "us", find_place=tools.find_place), tools.speech, answers=answers,
            question=Question("", code, row["ask"], row["why"], SEVERAL, asks=asks),
        )  # fmt: skip
        told = {one.key for one in heard.told} | {one.key for one in heard.doubts}
        assert told >= set(row["asks"]), (code, heard)


def test_what_is_always_asked_is_always_asked() -> None:
    assert {row["key"] for row in ROWS if row.get("always")} == ALWAYS


def test_what_no_volunteer_knows_is_never_asked() -> None:
    for row in ROWS:
        for word in NEVER:
            assert word not in row["key"], row["key"]
    thatch = next(row for row in ROWS if row["key"] == "zone.thatch_mm")
    assert "coin" in thatch["ask"]
    assert not any("your name" in row["ask"].lower() or "exact" in row["ask"].lower() for row in ROWS)


def test_kinds_units_and_only_ifs_are_known() -> None:
    keys = {row["key"] for row in ROWS}
    for row in ROWS:
        assert row["kind"] in KINDS
        assert (row["kind"] in ("number", "length", "area")) == bool(row.get("unit")), row["id"]
        for only in row.get("only-if", []):
            assert only["key"] in keys


def test_a_date_is_asked_with_what_it_is_for_and_whether_it_can_move(tools: Tools) -> None:
    """Nothing may be ruled out by a date that could have moved, and nobody is asked whether no date is fixed."""
    answers: dict[str, Any] = {
        "place": {"name": "Dayton", "country": "us", "region": "Ohio"},
        "zone": [{"name": "a", "bare_percent": 50, "bare_pattern": "solid"}],
        "site": {"dangers": ["none"], "goals_anchored": True, "in_use_now": False},
        "use": [],
    }

    def asked() -> tuple[str, tuple[str, ...]]:
        question = tools.ask_next(answers, False)
        assert question is not None
        return question.id, tuple(each.key for each in question.asks)

    assert asked() == ("when", ("dates.play_by", "dates.first_use", "dates.play_by_firm"))
    answers["dates"] = {"play_by": "2026-09-15"}
    assert asked() == ("when", ("dates.first_use", "dates.play_by_firm"))
    answers["dates"]["first_use"] = "matches"
    assert asked() == ("date-firm", ())
    answers["dates"] = {"play_by": "don't know"}
    assert asked() == ("shut", ("dates.can_close", "zone.in_play"))


def _values(row: dict[str, Any]) -> list[Any]:
    choices = tuple(AnswerChoice(choice["value"], tuple(choice["say"])) for choice in row.get("choices", []))
    if row["kind"] == "choice":
        return [choice.value for choice in choices]
    if row["kind"] == "list":
        return [[choice.value] for choice in choices]
    result = read(
        row["kind"],
        SAMPLES[row["kind"]],
        Setting(TODAY, "north", "gb", "metric", talk=TALK),
        choices=choices,
        unit=row.get("unit", ""),
    )
    assert isinstance(result, Understood), (row["id"], result)
    if row.get("unit") == "mm":
        return [10]
    return [result.value]


@pytest.mark.parametrize("row", ROWS, ids=[row["id"] for row in ROWS])
def test_every_answer_is_taken_by_the_situation(row: dict[str, Any]) -> None:
    for value in [*_values(row), "don't know"]:
        answers: dict[str, Any] = {}
        question = Question(
            row["key"],
            row["id"],
            row["ask"],
            row["why"],
            row["kind"],
            zone="whole field" if row["key"].startswith("zone.") else None,
        )
        table.put(answers, question, value)
        situation_from_dict(table.for_advice(answers, TODAY))
        assert table.get(answers, question) is not None


@pytest.mark.parametrize("row", [row for row in ROWS if row.get("choices")], ids=lambda row: row["id"])
def test_every_choice_is_understood_by_its_own_words(row: dict[str, Any], tools: Tools) -> None:
    question = tools.question(row["id"])
    assert question is not None
    setting = Setting(TODAY, "north", "gb", "metric", talk=TALK)
    assert 2 <= len(question.choices) <= 12
    assert len(question.choices) + len(question.more) >= len(row["choices"])
    for choice in question.choices:
        for phrase in choice.say:
            result = read(
                row["kind"], phrase, setting, choices=(*question.choices, *question.more), unit=question.unit
            )
            assert isinstance(result, Understood) or phrase in ("yes", "no", "football"), (phrase, result)
            if row["kind"] == "choice" and isinstance(result, Understood):
                assert result.value == choice.value, phrase
            if row["kind"] == "list" and isinstance(result, Understood):
                assert result.value == [choice.value], phrase


def syllables(word: str) -> int:
    groups = len(re.findall(r"[aeiouy]+", word.lower()))
    silent = (
        word.lower().endswith(("e", "es", "ed"))
        and not word.lower().endswith(("le", "ted", "ded"))
        and groups > 1
    )
    return max(1, groups - silent)


def grade(text: str) -> float:
    words = re.findall(r"[A-Za-z']+", text)
    sentences = max(1, len(re.findall(r"[.!?:;](?:\s|$)", text)))
    return 0.39 * len(words) / sentences + 11.8 * sum(map(syllables, words)) / len(words) - 15.59


def test_the_counter_of_reading_grades_tells_easy_from_hard() -> None:
    assert grade("The cat sat on the mat. The dog ran.") < 1
    assert (
        grade(
            "Institutional considerations necessitate comprehensive reconsideration of organizational responsibilities."
        )
        > 14
    )


@pytest.mark.parametrize("part", ["ask", "why", "help"])
def test_questions_read_at_grade_8_or_under(part: str) -> None:
    texts = [row[part] for row in ROWS if row.get(part)]
    assert grade(" ".join(texts)) <= 8
    hard = [text for text in texts if grade(text) > 11]
    assert hard == []


def test_first_question_needs_no_library(tools: Tools, fake: ModuleType) -> None:
    talk = Talk(tools, TODAY)
    assert talk.prompt().question == "opening"
    talk.hear("ask me")
    assert talk.prompt().question == "town"
    limit = tomllib.loads((ROOT / "knowledge" / "together.toml").read_text(encoding="utf-8"))["limit"]
    assert tools.left({}, False) == limit["most"] + 1  # the town comes before the limit
    assert talk.prompt().left == limit["most"]


@pytest.mark.slow
def test_a_talk_with_the_real_library_comes_to_advice(tools: Tools) -> None:
    talk = Talk(tools, TODAY)
    for line in (
        "ask me",
        "Dayton, Ohio",
        "goalmouths half bare, solid",
        "15 September, matches, fixed",
        "none, all goals are anchored, nobody plays",
        "soccer, 12 hours a week, September to May, youth",
    ):
        assert all(said.role != "error" for said in talk.hear(line)), line
    said = talk.hear("that's enough")
    assert said[-1].role == "advice"
    assert "goalmouths" in said[-1].text.lower()
    assert talk.hear("what does sod mean?")[0].text.startswith("Sod: ")
    assert talk.hear("can I roll the goalmouths now?")[-1].role == "info"
    assert talk.hear("this week")[0].text
    # An answer that was cut is told whole first.
    assert "There is more" not in talk.hear("more")[0].text
    said = talk.hear("more")
    assert len(said[0].text) > 500


@pytest.mark.slow
def test_an_answer_out_of_range_is_refused_at_once(tools: Tools) -> None:
    talk = Talk(tools, TODAY, units="metric")
    talk.hear("change the thatch")
    said = talk.hear("10 m")
    assert said[0].role == "error"
    assert said[0].text == "10000 is out of range. It is at most 150; check the unit (mm)"
    assert talk.prompt().question == "thatch"
    assert talk.hear("10 mm")[0].text == "Noted. Part: whole field; thatch 10 mm"


def test_a_class_from_a_label_is_understood_though_not_listed(tools: Tools) -> None:
    question = tools.question("sprayed")
    assert question is not None
    assert "an oxadiazole" not in [choice.shown for choice in question.choices]
    result = read(
        "sprays", "oxadiazole two weeks ago", Setting(TODAY), choices=(*question.choices, *question.more)
    )
    assert isinstance(result, Understood)
    assert result.value == [{"date": "2026-05-06", "class": "oxadiazole"}]


@pytest.mark.slow
def test_parts_are_asked_about_in_one_breath(tools: Tools) -> None:
    talk = Talk(tools, TODAY)
    for line in ("ask me", "Dayton, Ohio", "goalmouths, middle"):
        talk.hear(line)
    assert "goalmouths and middle" in talk.prompt().text
    talk.hear("the same everywhere, half, solid")
    assert [zone["bare_percent"] for zone in talk.answers["zone"]] == [50, 50]
    assert [zone["bare_pattern"] for zone in talk.answers["zone"]] == ["solid", "solid"]


def test_two_towns_of_one_name_are_asked_back(tools: Tools) -> None:
    found = tools.find_place
    assert found is not None
    result = read("place", "Springfield", Setting(TODAY, find_place=found))
    assert len(getattr(result, "readings", ())) >= 3
    one = read("place", "York, UK", Setting(TODAY, find_place=found))
    assert isinstance(one, Understood)
    assert one.value["country"] == "gb"


def test_a_goalmouth_is_an_area(tools: Tools) -> None:
    areas = tools.named_areas()
    result = read("area", "two goalmouths", Setting(TODAY, named_areas=areas), unit="m2")
    assert isinstance(result, Understood)
    assert result.value == pytest.approx(2 * 18.32 * 5.5, abs=0.5)  # two goal areas of 18.32 x 5.5 m, Law 1


def test_coordinates_stand_for_the_town(tools: Tools) -> None:
    question = tools.question("place.name")
    assert question is not None
    result = read("place", "53.35 N, 6.26 W, Ireland", Setting(TODAY))
    assert isinstance(result, Understood)
    answers: dict[str, Any] = {"place": {"name": "York", "country": "gb", "altitude_m": 40}}
    table.put(answers, question, result.value)
    assert answers["place"] == {"latitude": 53.35, "longitude": -6.26, "country": "ie", "altitude_m": 40}
    assert shown(question, table.get(answers, question)) == "53.35 degrees north, 6.26 degrees west"
    assert question in answered(answers, (question,))


def test_words_name_one_question_each_and_areas_are_values_that_have_a_number(knowledge: Knowledge) -> None:
    words = [word for row in ROWS for word in row.get("words", ())]
    assert len(words) == len(set(words)) > 20
    named = {value for row in ROWS for value in row.get("areas", {}).values()}
    assert {"goal-area", "penalty-area"} <= named
    assert all(knowledge.value(value) for value in named)


def test_a_line_that_answers_what_is_asked_elsewhere_is_taken_for_that(tools: Tools) -> None:
    answers: dict[str, Any] = {
        "place": {"name": "Dayton", "country": "us", "latitude": 39.76, "longitude": -84.19},
        "zone": [{"name": "middle", "bare_percent": 30}],
        "use": [{"sport": "football", "hours_per_week": 10, "months": ["sep"], "players": "adult"}],
    }
    talk = Talk(tools, TODAY, answers)
    question = tools.question("zone.bare_pattern")
    assert question is not None
    talk.state.question = question.at("middle")
    talk.hear("nothing dangerous, goals are in sockets, nobody is on it")
    assert talk.answers["site"] == {"dangers": ["none"], "goals_anchored": True, "in_use_now": False}
    talk.state.question = question.at("middle")
    talk.hear("can be shut with rope, play can stop")
    assert talk.answers["dates"]["can_close"] == "signs"
    assert talk.answers["zone"][0]["in_play"] is False
    assert "bare_pattern" not in talk.answers["zone"][0]


def test_hours_of_two_games_are_asked_one_at_a_time(tools: Tools) -> None:
    uses = [{"sport": "cricket"}, {"sport": "football"}]
    talk = Talk(tools, TODAY, {"place": {"name": "Dayton", "country": "us"}, "use": uses})
    talk.state.question = missing_part(talk.answers, tools.questions)
    said = talk.hear("cricket 15 hours in summer, football 10 hours from march to september")
    assert said[0].role == "error"
    assert talk.answers["use"] == [{"sport": "cricket"}, {"sport": "football"}]
