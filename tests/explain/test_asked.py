"""Questions in plain words: what they are read as, that no half of them is passed over, and that no words break it."""

from __future__ import annotations

import datetime as dt
import json
import subprocess
import sys
import textwrap
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from decide.explain import ask, read_otherwise
from decide.explain.speaking import setting_of, speech_of
from decide.knowledge.load import knowledge_folder
from decide.parse.asks import read_asks
from decide.parse.plain import clean
from decide.questions.answers import as_answers

DEMO = str(knowledge_folder() / "demo.toml")
ROOT = Path(__file__).parents[2]


@pytest.fixture(scope="module")
def spoken(parts):
    return speech_of(parts.knowledge)


@pytest.mark.slow
@pytest.mark.parametrize(
    ("words", "intent", "slots"),
    [
        ("why", "why", {}),
        ("Why?", "why", {}),
        ("why thin sod in the goalmouths", "why", {"option": "thin-sod", "zone": "goalmouths"}),
        ("why not thin sod?", "why_not", {"option": "thin-sod"}),
        ("what's wrong with seed", "why_not", {"option": "seed"}),
        ("why is bermuda not advised", "why_not", {"option": "common-bermudagrass"}),
        ("thin sod or slit seed?", "compare", {"a": "thin-sod", "b": "slit-seed"}),
        ("compare sod with seed", "compare", {"a": "sod", "b": "seed"}),
        ("how sure are you?", "how_sure", {}),
        ("what does thatch mean", "meaning", {"word": "thatch"}),
        ("says who", "says_who", {}),
    ],
)
def test_questions_are_read_as_the_talk_reads_them(parts, words, intent, slots):
    told = ask(parts, words)
    assert (told.ask.intent, dict(told.ask.slots)) == (intent, slots)
    assert told.understood


# Today is 20 August 2026 there and the date wanted 10 April 2027; the changes are written by hand.
@pytest.mark.parametrize(
    ("words", "changes"),
    [
        ("3 more weeks and a hose", {"dates.play_by": "2027-05-01", "means.water": "hand hose"}),
        (
            "we had three more weeks, a hose and 5 helpers",
            {"dates.play_by": "2027-05-01", "means.water": "hand hose", "means.helpers": 5},
        ),
        ("two weeks less", {"dates.play_by": "2027-03-27"}),
        ("we opened a week later", {"dates.play_by": "2027-04-17"}),
        ("we had until 15 June", {"dates.play_by": "2027-06-15"}),
        ("the date were 1 May 2027", {"dates.play_by": "2027-05-01"}),
        ("the date could move", {"dates.play_by_firm": False}),
        ("it was only for training", {"dates.first_use": "training"}),
        ("we had no water", {"means.water": "none"}),
        ("in-ground sprinklers", {"means.water": "in-ground sprinklers"}),
        ("it was watered by a travelling sprinkler", {"means.water": "travelling sprinkler"}),
        ("somebody could water twice a day", {"means.wettings_weekday": 2.0}),
        ("twice a day", {"means.wettings_weekday": 2.0}),
        ("the budget were 500", {"means.budget": 500.0}),
        ("2000 dollars", {"means.budget": 2000.0}),
        ("10 hours of work a week", {"means.work_hours_per_week": 10.0}),
        ("10 hours a week", {"means.work_hours_per_week": 10.0}),
        ("we only played 4 hours a week", {"use.hours_per_week": 4.0}),
        ("we could shut it", {"zone.in_play": False, "dates.can_close": "locked"}),
        ("we couldn't shut it", {"zone.in_play": True, "dates.can_close": "no"}),
        (
            "nobody played for 8 weeks",
            {
                "zone.in_play": False,
                "dates.can_close": "locked",
                "dates.no_play": [{"from": "2026-08-20", "until": "2026-10-15"}],
            },
        ),
        ("it were loam", {"field.soil": "loam"}),
        ("the soil were clay", {"field.soil": "clay"}),
        ("we could hire a slit seeder", {"means.equipment_hire": ["slit seeder"]}),
        ("we had a slit seeder", {"means.equipment_own": ["slit seeder"]}),
        ("a contractor", {"means.contractor": True}),
        ("we could buy sod", {"offer": [{"what": "sod"}]}),
        ("20% bare in the goalmouths", {"zone.goalmouths.bare_percent": 20.0}),
        ("6 hours of sun", {"zone.sun_hours": 6.0}),
        ("the water could run 3 hours a day", {"means.watering_hours_day": 3.0}),
        ("watering was banned", {"limits.water_law": "banned"}),
        ('means.water = "none"', {"means.water": "none"}),
    ],
)
def test_changes_are_read(parts, words, changes):
    said = read_otherwise(parts, words)
    assert (dict(said.changes), said.unread) == (changes, ())


@pytest.mark.slow
@pytest.mark.parametrize(
    ("words", "unread"),
    [
        ("purple elephants", ("purple elephants",)),
        ("a hose and purple elephants", ("purple elephants",)),
        ("3 more weeks and 9 dragons", ("9 dragons",)),
        ("a hose and no water", ("no water",)),
        ("more time", ("more time",)),
    ],
)
def test_what_is_not_read_of_a_supposition_is_named(parts, words, unread):
    assert read_otherwise(parts, words).unread == unread
    told = ask(parts, f"what if we had {words}")
    assert all(part in told.text for part in unread)


@pytest.mark.slow
@pytest.mark.parametrize("words", ["blah", "", "purple elephants", "x" * 5000])
def test_what_is_no_question_is_said_to_be_none(parts, words):
    told = ask(parts, words)
    assert not told.understood
    assert "You can ask" in told.text


@pytest.mark.slow
def test_of_several_questions_that_are_too_long_together_the_first_is_answered_and_the_others_named(parts):
    told = ask(parts, "what does it cost and when can we play")
    assert "quotes" in told.text
    assert told.text.endswith("\nAsk again for: when you can play on it.")
    told = ask(parts, "When can we play on it? What does it cost?")
    assert "matches between" in told.text
    assert told.text.endswith("\nAsk again for: what it costs.")
    assert sum(len(textwrap.wrap(line, 80)) for line in told.text.splitlines()) <= 9


@pytest.mark.slow
def test_several_questions_with_short_answers_are_all_answered(parts):
    told = ask(parts, "what does thatch mean? how deep do I till")
    assert told.text.startswith("Thatch:")
    assert "\n\n" in told.text
    assert "Ask again" not in told.text


@pytest.mark.slow
def test_a_question_that_may_mean_several_things_is_asked_back_with_them(parts):
    told = ask(parts, "is it the water?")
    assert not told.understood
    assert told.text.startswith("I am not sure what you ask. Do you mean 1) ")
    assert "when and how often to water" in told.text
    assert "why it is bare" in told.text
    assert "how much" in ask(parts, "how much water it needs").ask.means


def test_a_reading_that_may_be_wrong_is_said_with_the_answer(parts):
    told = ask(parts, "how short could the lads trim it")
    assert told.understood
    assert told.text.startswith("I took that as: how short to mow.\n")


@pytest.mark.slow
@settings(max_examples=20, deadline=None)
@given(
    st.text(max_size=80)
    | st.sampled_from(["why ", "what if ", "what would it take to use ", "says who ", "why is "]).flatmap(
        lambda head: st.text(max_size=40).map(lambda tail: head + tail)
    )
)
def test_no_words_break_the_reading(parts, spoken, words):
    text = clean(words)
    read_asks(text, setting_of(parts, spoken), spoken, answers=as_answers(parts.filled.situation))


@pytest.mark.slow
@pytest.mark.parametrize(
    "words",
    [
        "why \x1b[31m",
        "what if " + "a hose and " * 60,
        "x" * 5000,
        "what if it were in Nowhereville",
        "what if the budget were -5",
        "what if 400 helpers",
        "what if today were 31 February",
    ],
)
def test_bad_questions_are_answered_in_words(parts, words):
    told = ask(parts, words)
    assert told.text
    assert "\x1b" not in told.text


def test_a_place_is_read(dry):
    changes = dict(read_otherwise(dry, "it were in Boston, Massachusetts, US").changes)
    assert changes.get("place.country", "us") == "us"
    assert not changes or round(changes["place.latitude"]) == 42


@pytest.mark.slow
def test_a_proposal_is_judged_in_every_part(parts):
    told = ask(parts, "can we roll it now?")
    assert told.ask.intent == "can_i_now"
    assert {row["step"] if "step" in row else row["asked"] for row in told.result}
    assert len(told.result) >= 2


@pytest.mark.slow
def test_better_goes_criterion_by_criterion(dry):
    told = ask(dry, "seed or sprigs", level=2)
    assert [row.criterion for row in told.result.criteria] == list(dry.order)
    for row in told.result.criteria:
        assert row.one == dry.weighed[told.result.option].grades[row.criterion]


@pytest.mark.slow
def test_every_kind_is_plain_data(parts):
    for words in (
        "why",
        "why not thin sod",
        "seed or sod",
        "what if we had no water",
        "says who",
        "what does thatch mean",
        "can I roll it now",
    ):
        table = ask(parts, words).as_dict()
        assert json.loads(json.dumps(table)) == table
        assert table["text"]


def run(*words: str) -> subprocess.CompletedProcess:
    return subprocess.run(
        [sys.executable, "-m", "decide", "explain", *words],
        capture_output=True,
        text=True,
        cwd=ROOT,
        encoding="utf-8",
        check=False,
    )


@pytest.mark.slow
def test_the_command():
    told = run(DEMO, "what if we had no water?", "--json")
    assert told.returncode == 0, told.stderr
    table = json.loads(told.stdout)
    assert table["kind"] == "what_if"
    assert table["slots"]["changes"] == {"means.water": "none"}
    assert table["result"]["zones"][0]["parted"]
    said = run(DEMO, "blub")
    assert said.returncode == 1
    assert "You can ask" in said.stdout
    assert "Traceback" not in said.stderr


@pytest.mark.slow
@pytest.mark.parametrize(
    ("words", "wrong"),
    [
        ((), "takes a situation file"),
        ((DEMO, "why", "--level", "4"), "--level is 1, 2 or 3"),
        ((DEMO, "why", "--jsn"), "--json"),
        (("nowhere.toml", "why"), "nowhere.toml"),
    ],
)
def test_wrong_use_is_said(words, wrong):
    told = run(*words)
    assert told.returncode in (1, 2)
    assert wrong in told.stderr
    assert "Traceback" not in told.stderr


@pytest.mark.parametrize(
    ("words", "months"),
    [
        ("why not seed in October?", {10}),
        ("Why not perennial ryegrass in winter?", {12, 1, 2}),
        ("why can't we seed in September", {9}),
        ("why not seed in autumn?", {9, 10, 11}),
    ],
)
def test_a_start_that_is_named_is_the_one_that_is_answered(dry, words, months):
    """The months of the question are not dropped: what is told begins in one of them."""
    told = ask(dry, words)
    assert told.ask.intent == "why_not"
    assert told.result.kind != "chosen"
    assert dt.date.fromisoformat(told.result.option.rpartition("/")[2]).month in months


def test_a_month_beside_the_question_is_no_start(dry):
    said = ask(dry, "why not sod, since we play in October?").result
    assert said.option == ask(dry, "why not sod?").result.option
