"""What is asked is read with what it names; an answer is never taken for a question, nor a question for an answer."""

import datetime as dt
from collections import Counter

import pytest

from decide.model.errors import KnowledgeError
from decide.parse.asks import read_asks
from decide.parse.heard import UNCLEAR
from decide.parse.otherwise import counted
from decide.parse.phrases import Line, Vocabulary, phrase
from decide.parse.plain import fold
from decide.parse.results import Setting
from tests.said.left_out import labelled, left_out, verdict
from tests.said.score import found_places, heard, nested, rows, speech, table

TODAY = dt.date(2026, 5, 20)  # a Wednesday
TOLD = nested({})  # goalmouths, middle and wings


def asked(text, country="gb", answers=TOLD, question=None):
    """The kinds and slots that a line is read as."""
    setting = Setting(TODAY, hemisphere="north", country=country, find_place=found_places)
    read = read_asks(text, setting, speech(), answers=answers, question=question)
    return [(ask.intent, dict(ask.slots)) for ask in read]


# Written by hand from the table of tests/said and what a step, a part and a day are.
@pytest.mark.parametrize(
    ("text", "intent", "slots"),
    [
        ("can we roll the middle tomorrow?", "can_i_now", {"step": "roll", "zone": "middle", "date": "2026-05-21"}),
        ("may I lay thick sod on 3 June", "can_i_now", {"step": "lay-sod", "method": "thick-sod", "date": "2026-06-03"}),
        ("can I put 5 mm of sand on", "can_i_now", {"step": "sand", "depth_mm": 5}),
        ("can we sow tall fescue in two weeks", "can_i_now", {"step": "sow", "grass": "tall-fescue", "date": "2026-06-03"}),
        ("can I top-dress with sand 5 mm deep", "can_i_now", {"step": "topdress", "material": "sand", "depth_mm": 5}),
        ("can I aerate mid September", "can_i_now", {"step": "aerate", "date": "2026-09-15"}),
        ("should I water in the evening", "when_water", {"time_of_day": "evening"}),
        ("could we play on it on 1 June", "can_i_now", {"step": "open-to-play", "date": "2026-06-01"}),
        ("why not thin sod", "why_not", {"option": "thin-sod"}),
        ("sod or seed", "compare", {"a": "sod", "b": "seed"}),
        ("how much is the turf", "cost", {"of": "sod"}),
        ("is 1500 enough", "cost", {"enough": 1500}),
        ("whats 50 mm in inches", "change_units", {"convert": "50 mm in in"}),
        ("2 inches ok?", "mow_height", {"height_mm": 51}),
        ("is 15-5-10 any use on young grass", "feed", {"check": "15-5-10"}),
        ("the tug test failed", "check_result", {"check": "tug", "passed": False}),
        ("screwdriver goes in easy now", "check_result", {"check": "screwdriver", "passed": True}),
        ("the pigeons are eating the seed", "sign_seen", {"sign": "birds"}),
        ("we sowed the wings yesterday", "done_record", {"step": "sow", "date": "2026-05-19", "zone": "wings"}),
        ("change answer 14", "go_back", {"number": 14}),
        ("what does thatch mean", "meaning", {"word": "thatch"}),
        ("save it as Park2026.toml", "save_paper", {"name": "Park2026.toml", "kind": "file"}),
    ],
)  # fmt: skip
def test_a_question_is_read_with_what_it_names(text, intent, slots):
    [(found, named), *more] = asked(text)
    assert (found, more) == (intent, [])
    assert slots.items() <= named.items()


@pytest.mark.parametrize(
    ("text", "changes"),
    [
        ("what if we had 3 more weeks", {"dates.play_by": {"plus_days": 21}}),
        ("what if there was another 1500 on top", {"means.budget": {"plus": 1500}}),
        ("suppose we had ten helpers and a hose", {"means.helpers": 10, "means.water": "hand hose"}),
        ("what if we only train on it, no games", {"dates.first_use": "training"}),
        ("what if the date moved to 1 October", {"dates.play_by": "2026-10-01"}),
        ("what if we water only at weekends", {"means.wettings_weekday": 0, "means.wettings_weekend": 1}),
    ],
)
def test_what_would_be_otherwise_is_read_as_keys(text, changes):
    [(intent, slots)] = asked(text)
    assert (intent, slots["changes"]) == ("what_if", changes)


def test_what_has_no_key_is_named_and_not_guessed():
    [(_, slots)] = asked("what if it doesn't rain")
    assert slots == {"outside": {"rain": "none"}}
    [(_, slots)] = asked("what if the moon were cheese")
    assert slots == {"outside": {"the moon were cheese": "not read"}}


def test_what_counts_from_an_answer_is_counted_only_where_there_is_one():
    changes = {"dates.play_by": {"plus_days": 21}, "means.budget": {"plus": -500}, "means.helpers": 3}
    assert counted(changes, {"dates.play_by": dt.date(2026, 8, 1), "means.budget": 300}) == {
        "dates.play_by": "2026-08-22", "means.budget": 0, "means.helpers": 3,
    }  # fmt: skip
    assert counted(changes, {}) == {"means.helpers": 3}


def test_several_questions_in_one_line_are_all_read():
    assert [intent for intent, _ in asked("when can I mow and how much feed do I put on?")] == [
        "when_mow", "feed",
    ]  # fmt: skip


def test_where_somebody_is_hurt_that_comes_first():
    intent, slots = asked("how much seed? a boy has swallowed some of the fertiliser")[0]
    assert (intent, slots["topic"]) == ("out_of_scope", "medical")
    assert "emergency" in slots["instead"]
    assert asked("a child swallowed some weedkiller", question=speech().question("budget"), answers={})


# Each could be an answer to the question, and some begin with a word of a question.
@pytest.mark.parametrize(
    ("question", "text"),
    [
        ("water", "what we have is a hose"), ("can-close", "can't be shut"), ("began", "no idea why"),
        ("wet-spots", "when it rains"), ("play-by", "is it the 12th? yes"), ("machines", "a roller"),
        ("grass", "which is mostly rye"), ("helpers", "who knows, maybe four"), ("where", "all of it"),
        ("budget", "if they pay, 2000"), ("sprayed", "weed and feed in april"), ("goals-anchored", "some"),
        ("weeds", "clover"), ("pesticides", "spray if you must"), ("school", "is a school"),
    ],
)  # fmt: skip
def test_an_answer_is_no_question(question, text):
    assert asked(text, question=speech().question(question)) == []


@pytest.mark.parametrize(
    ("question", "text", "intent"),
    [
        ("licensed", "why do i need one", "why_question"), ("thatch", "whats thatch", "meaning"),
        ("budget", "go back", "go_back"), ("weeds", "do we need to get rid of them first", "weed_control"),
        ("how-bare", "help", "help"), ("sun", "just tell me what to do", "advice_now"),
    ],
)  # fmt: skip
def test_a_question_is_no_answer(question, text, intent):
    assert [found for found, _ in asked(text, question=speech().question(question))] == [intent]


@pytest.mark.parametrize(
    "text",
    [
        "",
        "   ",
        "...",
        "42",
        "blah blah",
        "the goalmouths are bare and we have a hose",
        "é" * 300,
        "???!" * 80,
    ],
)
def test_what_asks_nothing_gives_nothing_or_help(text):
    assert [intent for intent, _ in asked(text, answers={})] in ([], ["help"])


@pytest.mark.slow
@pytest.mark.parametrize("kind", ["opening", "answer", "trap"])
def test_what_is_told_gives_no_kind_that_its_meaning_has_not(kind):
    def kinds(row):
        meaning = row["meaning"]
        more = [each["intent"] if isinstance(each, dict) else each for each in _list(meaning.get("also"))]
        may = [each["intent"] for each in _list(meaning.get("may_intent"))]
        return {meaning.get("intent"), *more, *may}

    wrong = [
        (row["text"], ask.intent)
        for row in rows(kind)
        for ask in heard(row).asks
        if not {ask.intent, *(each.intent for each in ask.may)} & kinds(row)
    ]
    assert wrong == []


def _list(value):
    return [] if value is None else value if isinstance(value, list) else [value]


@pytest.mark.slow
def test_the_corpus_of_questions_is_read():
    found = table("ask")
    assert found["kind read"] >= 95
    assert found["kind and slots read"] >= 90
    assert found["misread"] <= 1


# ---------- the second opinion ----------
def test_examples_stand_under_one_intent_that_there_is_a_name_for():
    examples, meanings = speech().table("asks-examples"), speech().table("asks-back")
    said = [fold(each) for sentences in examples.values() for each in sentences.splitlines()]
    assert len(said) == len(set(said))
    assert set(examples) - set(meanings) == {"chat"}
    assert min(len(sentences.splitlines()) for sentences in examples.values()) >= 15


def test_what_is_offered_is_read_in_the_words_in_which_it_is_offered():
    for intent, row in speech().table("asks-back").items():
        if "means" in row:
            assert [found for found, _ in asked(row["means"])] == [intent], row["means"]


# Written by hand from what the words may mean, before the first run.
@pytest.mark.parametrize(
    ("text", "among"),
    [
        ("seed or sod when", {"compare", "when_to_start"}),
        ("and the ones for the grass, how far down", {"mow_height"}),
        ("what about the little ones on it", {"how_much_play", "is_it_safe"}),
    ],
)
def test_what_may_mean_several_things_is_asked_back_with_them(text, among):
    setting = Setting(TODAY, hemisphere="north", country="gb", find_place=found_places)
    [ask] = read_asks(text, setting, speech(), answers=TOLD)
    assert ask.intent == UNCLEAR
    assert among & {each.intent for each in ask.may}
    assert 2 <= len(ask.may) <= 3
    assert all(each.means for each in ask.may)


def test_a_reading_that_may_be_wrong_says_how_it_was_taken():
    setting = Setting(TODAY, hemisphere="north", country="gb", find_place=found_places)
    [ask] = read_asks("how short could the lads trim it", setting, speech(), answers=TOLD)
    assert (ask.intent, ask.taken) == ("mow_height", "I took that as: how short to mow.")
    [ask] = read_asks("how often do I mow", setting, speech(), answers=TOLD)
    assert (ask.intent, ask.taken) == ("when_mow", "")


def test_a_word_of_a_table_in_a_line_like_no_question_asks_nothing():
    assert asked("purple monkey dishwasher") == []


def test_where_an_answer_is_waited_for_nothing_is_guessed():
    zone = speech().question("where")
    assert asked("tuna can test, how full", question=zone) == []
    assert [intent for intent, _ in asked("what next", question=zone)] == ["this_week"]


@pytest.mark.slow
def test_of_labelled_sentences_that_are_left_out_few_are_misread():
    spoken = left_out()
    setting = Setting(TODAY, hemisphere="north", country="gb", find_place=found_places)
    found = Counter(
        verdict(read_asks(text, setting, spoken, answers=TOLD), right) for text, right in labelled("held")
    )
    whole = sum(found.values())
    assert found["misread"] <= 0.025 * whole
    assert found["misread"] + found["misread, said"] <= 0.09 * whole
    assert found["right"] + found["right, said"] + found["back with it"] >= 0.65 * whole


# ---------- the language of phrases ----------
WORDS = Vocabulary({"mow": ["mow*", "cut (it|the grass)"], "when": ["when", "how soon"]}, ["the", "it"])


@pytest.mark.parametrize(
    ("wanted", "text", "weight"),
    [
        ("{when} ... {mow}", "when can i mow", 2.0),
        ("{when} ... {mow}", "how soon do we cut it", 3.25),
        ("^ mow", "please mow", None),
        ("mow $", "when to mow", 1.5),
        ("(a|the|) field", "the field", 1.25),
        ("mow <tool>", "mow with a scythe", 1.0),
    ],
)
def test_a_phrase_is_found_by_its_words(wanted, text, weight):
    hit = Line(text.split(), WORDS).find(phrase(wanted))
    assert (None if hit is None else hit.weight) == weight


def test_a_name_is_caught():
    hit = Line(["what", "does", "stolon", "mean"], WORDS).find(phrase("what does <word> mean"))
    assert hit is not None
    assert hit.names == {"word": "stolon"}


@pytest.mark.parametrize("text", ["", "(a|b", "a)"])
def test_a_phrase_that_is_not_well_written_is_said(text):
    with pytest.raises(KnowledgeError, match=r"bracket|empty"):
        phrase(text, "knowledge/talk/asks-work.toml")


def test_a_class_that_is_not_there_is_said():
    with pytest.raises(KnowledgeError, match="'nothing'"):
        Vocabulary({"mow": ["{nothing} mow"]})
