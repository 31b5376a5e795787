"""Answers to what is asked: each is held against the advice's own fields, keeps to eight lines, and carries its caution."""

from __future__ import annotations

import datetime as dt
import textwrap
from typing import Any

import pytest

from decide.answer.assemble import advice_of
from decide.consult import Adviser
from decide.decision.consultation import Consultation
from decide.explain.changes import KEYS
from decide.explain.reply import REPLIES, Answered, reply, reply_early
from decide.explain.reply.about import About, Reply, due, fitted, meant
from decide.explain.reply.days import span_of
from decide.explain.runs import Runs
from decide.model.advice import Advice
from decide.model.reading import read_situation
from decide.model.situation import Situation
from decide.model.words import first_sentence
from decide.parse.heard import Ask
from decide.shell.advising import CUT
from tests.shared import LANGUAGE, knowledge

# Little is told: a British goalmouth without water, and a field in Ohio with a hose.
SPARSE = """
[place]
name = "Leeds"
country = "gb"
[dates]
today = 2026-05-20
play_by = 2026-08-29
[[use]]
sport = "football"
[[zone]]
name = "goalmouths"
bare_percent = 80
[means]
water = "none"
"""
HOSE = """
[place]
name = "Dayton"
country = "us"
region = "Ohio"
[dates]
today = 2026-05-20
play_by = 2026-08-29
[field]
length_m = 100
width_m = 60
bare_percent = 60
[[use]]
sport = "soccer"
[means]
water = "hand hose"
"""
ASKED: tuple[tuple[str, dict[str, Any]], ...] = (
    *((intent, {}) for intent in sorted(REPLIES) if intent != "next_question"),
    ("cost", {"of": "labour"}), ("cost", {"of": "failure"}), ("cost", {"of": "per area"}),
    ("cost", {"of": "nothing"}), ("cost", {"of": "sod"}), ("cost", {"enough": 50}),
    ("cheaper", {"without": "sod"}), ("cheaper", {"with": "seed"}), ("shopping_list", {"of": "rope"}),
    ("mow_height", {"height_mm": 51}), ("how_much_water", {"check": "5 mm"}), ("when_water", {"of": "sod"}),
    ("seed_amount", {"check": "50 lb"}), ("seed_amount", {"about": "coated seed"}),
    ("seed_amount", {"about": "overseed"}), ("feed", {"check": "15-5-10"}), ("weed_control", {"weed": "clover"}),
    ("how_to_do", {"step": "sow"}), ("how_to_do", {"step": "dethatch"}), ("this_week", {"span": "weekend"}),
    ("this_week", {"span": "fortnight", "hours": 2}), ("this_week", {"span": "overdue"}),
    ("what_first", {"a": "test-soil", "b": "sow"}), ("when_to_start", {"option": "sod"}),
    ("when_to_start", {"about": "latest"}), ("when_can_we_play", {"case": "slow"}),
    ("how_much_play", {"about": "wet"}), ("ready_check", {"check": "tug"}), ("is_it_safe", {"of": "goals"}),
    ("is_it_safe", {"of": "hard ground"}), ("is_it_safe", {"of": "mushrooms"}), ("sign_seen", {"sign": "washout"}),
    ("sign_seen", {"sign": "goals-loose"}), ("plan_b", {"of": "date"}), ("progress", {"key": "means.water"}),
    ("who_to_call", {"about": "sewage"}), ("why", {"option": "till"}), ("why", {"option": "start date"}),
    ("why_not", {"option": "thick-sod"}), ("why_not", {"option": "play during growth"}),
    ("compare", {"a": "sod", "b": "seed"}), ("compare", {"a": "first choice", "b": "second choice"}),
    ("what_if", {"outside": {"rain": "none"}}), ("meaning", {"word": "sound"}), ("says_who", {"claim": "law"}),
    ("out_of_scope", {"topic": "artificial turf", "instead": "grass"}),
)  # fmt: skip


@pytest.fixture(scope="module")
def sparse(adviser: Adviser) -> Consultation:
    return adviser.consult(read_situation(SPARSE))


@pytest.fixture(scope="module")
def hose(adviser: Adviser) -> Consultation:
    return adviser.consult(read_situation(HOSE))


def said(c: Consultation, intent: str, **slots: Any) -> Answered:
    return reply(c, Ask(intent, intent.replace("_", " "), slots))


def day(iso: str | None) -> str:
    """A day as a reply says it, the year left out where it is this one (2026 in all samples)."""
    assert iso is not None
    date = dt.date.fromisoformat(iso)
    return LANGUAGE.day_of_year(date) if date.year == 2026 else LANGUAGE.day(date)


def lines(text: str) -> list[str]:
    return [
        part
        for line in text.split("\n")
        for part in textwrap.wrap(line, 80, subsequent_indent=" " * (len(line) - len(line.lstrip(" -"))))
        or [""]
    ]


def option(a: Advice, zone: str = "") -> Any:
    row = a.option(a.choice(zone).option)
    assert row is not None
    return row


@pytest.mark.slow
@pytest.mark.parametrize("field", ["sparse", "hose", "parts"])
def test_every_answer_keeps_to_eight_lines_and_has_no_hole(
    request: pytest.FixtureRequest, field: str
) -> None:
    c = request.getfixturevalue(field)
    for intent, slots in ASKED:
        text = said(c, intent, **slots).text
        assert text.strip(), (intent, slots)
        assert len(lines(text)) <= 8, (intent, slots, text)
        assert "{" not in text, (intent, slots, text)
        assert "an unknown figure" not in text, (intent, slots, text)
        assert not text.rstrip().endswith(":"), (intent, slots, text)


@pytest.mark.slow
def test_the_same_question_gives_the_same_bytes(sparse: Consultation) -> None:
    for intent, slots in ASKED:
        assert said(sparse, intent, **slots).text == said(sparse, intent, **slots).text


# ---------- dates and amounts are the advice's own ----------
def test_who_asks_for_more_of_how_sure_it_is_has_every_missing_answer_tried(
    sparse: Consultation, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The first answer promises it, and the talk asks for the whole of an answer that says so."""

    def tried(*_: object) -> None:
        raise RuntimeError("tried")

    monkeypatch.setattr(Runs, "alters", tried)
    assert "tried, say more." in said(sparse, "how_sure").text.splitlines()[0]
    assert CUT in said(sparse, "how_sure").text
    with pytest.raises(RuntimeError, match="tried"):
        said(sparse, "how_sure", whole=True)


def test_mowing_is_told_by_the_days_and_heights_of_the_advice(sparse: Consultation) -> None:
    text = said(sparse, "when_mow").text
    first = option(advice_of(sparse)).first_mow
    assert f"between {day(first.early)} and {day(first.late)}" in text
    low = sparse.say.value("first-mow-low", "perennial-ryegrass")
    assert low is not None
    assert f"{low.removesuffix(' mm')} to" in text
    assert "Who decides: the maker's manual" in text


def test_play_is_told_by_all_three_dates_and_who_opens(sparse: Consultation) -> None:
    text, row = said(sparse, "when_can_we_play").text, option(advice_of(sparse))
    for held in (row.light_use, row.full_play, row.full_fixtures):
        assert f"between {day(held.early)} and {day(held.late)}" in text
    assert "Who decides: the owner" in text
    slow = said(sparse, "when_can_we_play", case="slow").text
    assert f"by {day(row.full_play.late)} in a slow year" in slow
    assert day(row.full_play.early) not in slow


def test_another_date_is_judged_with_that_date(sparse: Consultation) -> None:
    text = said(sparse, "when_can_we_play", date="2026-06-10").text
    assert "By 10 June 2026: no" in text


def test_without_a_date_the_answer_says_so(adviser: Adviser) -> None:
    c = adviser.consult(read_situation(SPARSE.replace("play_by = 2026-08-29\n", "")))
    assert "You told me no date" in said(c, "when_can_we_play").text
    assert "no budget" in said(c, "cost").text


def test_money_is_that_of_the_advice(sparse: Consultation) -> None:
    text, money = said(sparse, "cost").text, advice_of(sparse).money
    assert money is not None
    total = money.totals[0]
    assert f"{round(total.low or 0)} to {round(total.high or 0)} GBP" in text
    assert total.year in text
    assert "ask for quotes" in text
    assert said(sparse, "cost", of="failure").text.startswith(money.failure[0].text[:40])
    assert "does not cover" in said(sparse, "cost", enough=1).text
    assert "comes on top" in said(sparse, "cost", enough=10_000).text


def test_what_costs_less_is_cheaper_and_never_ruled_out(parts: Consultation) -> None:
    told = said(parts, "cheaper")
    a = advice_of(parts)
    rows = told.result or []
    for row in rows:
        assert row.verdict not in ("ruled-out", "not-advised")
        own = next((each for each in a.money.compared if each.option == a.choice(row.zone).option), None)  # type: ignore[union-attr]
        assert own is None or (row.high or 0) < (own.high or 0)


def test_the_shopping_list_has_every_amount_and_the_first_day_to_order(sparse: Consultation) -> None:
    text, rows = said(sparse, "shopping_list").text, advice_of(sparse).shopping
    first = min(row.order_by for row in rows if row.order_by)
    assert f"By {day(first)}" in text
    assert "5.91 to 8.86 kg" in text
    assert "102 m" in said(sparse, "shopping_list", of="rope").text
    assert "not on the list" in said(sparse, "shopping_list", of="purple paint").text


def test_seed_that_is_there_is_held_against_what_is_needed(sparse: Consultation) -> None:
    assert "it is enough" in said(sparse, "seed_amount", check="50 lb").text
    assert "more at least" in said(sparse, "seed_amount", check="1 kg").text
    assert "lower rate only" in said(sparse, "seed_amount", check="7 kg").text


def test_feed_by_the_numbers_on_the_bag(sparse: Consultation) -> None:
    # 0.98 kg of nitrogen by a bag that holds 20 in a hundred is 4.9 kg of feed.
    assert "4.9 kg" in said(sparse, "feed", check="20-5-10").text
    assert "Who decides: the label" in said(sparse, "feed").text


def test_where_there_is_no_water_nothing_is_said_to_be_watered(sparse: Consultation) -> None:
    text = said(sparse, "when_water").text
    assert "no water here" in text
    assert "times a day" not in text


def test_water_is_that_of_the_stage(hose: Consultation) -> None:
    row = advice_of(hose).watering[0]
    assert row.text[:40] in said(hose, "when_water").text
    # 10 mm on 6,000 m² is 60,000 litres, which is 16,000 gallons to two figures.
    assert "16,000 gallons" in said(hose, "how_much_water", check="10 mm").text


def test_the_week_has_the_tasks_of_its_days(sparse: Consultation) -> None:
    a = advice_of(sparse)
    text = said(sparse, "this_week").text.lower()
    today = [task for task in a.plan if task.from_ == "2026-05-20"]
    assert all(task.task.lower() in text for task in today)
    assert "who decides" in text
    weekend = said(sparse, "this_week", span="weekend").text
    assert weekend.startswith("23 to 24 May:")
    assert said(sparse, "this_week", span="overdue").text == "Nothing of the plan is late today."


@pytest.mark.parametrize(
    ("span", "first", "last"),
    [
        ("", "2026-05-20", "2026-05-26"),
        ("today", "2026-05-20", "2026-05-20"),
        ("tomorrow", "2026-05-21", "2026-05-21"),
        ("weekend", "2026-05-23", "2026-05-24"),
        ("saturday", "2026-05-23", "2026-05-23"),
        ("wednesday", "2026-05-20", "2026-05-20"),
        ("fortnight", "2026-05-20", "2026-06-02"),
        ("until 2026-06-08", "2026-05-20", "2026-06-08"),
        ("until 8 june", "2026-05-20", "2026-06-08"),
    ],
)
def test_spans_are_read(sparse: Consultation, span: str, first: str, last: str) -> None:
    a = About(sparse, Ask("this_week", span, {"span": span}))
    assert span_of(a) == (dt.date.fromisoformat(first), dt.date.fromisoformat(last))


def test_what_is_still_open_by_the_weekend_is_due_then(sparse: Consultation) -> None:
    found = due(advice_of(sparse).plan, dt.date(2026, 5, 23), dt.date(2026, 5, 24))
    assert "test-soil" in {task.template for task in found}
    assert all(task.from_ <= "2026-05-24" for task in found)


def test_danger_comes_first(sparse: Consultation) -> None:
    text = said(sparse, "what_first").text
    assert text.startswith(advice_of(sparse).today[0].text[:30])
    order = said(sparse, "what_first", a="sow", b="test-soil").text
    assert order.startswith("Send a soil sample first (20 May), then Sow, rake in, roll (26 May)")


def test_the_start_and_the_last_day_for_it(sparse: Consultation) -> None:
    row = option(advice_of(sparse))
    text = said(sparse, "when_to_start").text
    assert f"begin on {day(row.start)}" in text
    assert day(row.decide_by) in text
    assert said(sparse, "when_to_start", about="latest").text.startswith(f"Decide by {day(row.decide_by)}")


def test_checks_carry_their_marks(sparse: Consultation) -> None:
    text = said(sparse, "ready_check").text
    assert "at least 85%" in text
    assert "Who decides: the owner" in text
    tug = next(row for row in advice_of(sparse).opening if row.check == "Tug test")
    assert tug.how[:40] in said(sparse, "ready_check", check="tug").text


# ---------- danger ----------
@pytest.mark.parametrize(
    "of", ["goals", "hard ground", "feed", "spray", "grazing", "mushrooms", "opening", "law", "", "purple"]
)
def test_safety_is_never_a_yes(sparse: Consultation, of: str) -> None:
    text = said(sparse, "is_it_safe", of=of).text
    assert "cannot call it safe" in text
    assert "Who decides" in text
    assert not text.lower().startswith("yes")


def test_the_hurt_come_first(sparse: Consultation) -> None:
    for told in (said(sparse, "out_of_scope", topic="medical"), said(sparse, "is_it_safe", of="swallowed")):
        assert told.text.startswith("Call the emergency number")
    early = reply_early(knowledge(), Ask("out_of_scope", "kid has swallowed feed", {"topic": "medical"}))
    assert "emergency" in early


def test_a_sign_says_what_to_do_and_its_caution(sparse: Consultation) -> None:
    text = said(sparse, "sign_seen", sign="goals-loose").text
    assert text.startswith("Do today: Nobody near it.")
    assert "Who decides: you, now" in text
    every = {code: said(sparse, "sign_seen", sign=code) for code in knowledge().rescue}
    assert all(told.understood and told.text.startswith("Do today:") for told in every.values())
    assert not said(sparse, "sign_seen", sign="purple").understood


def test_whom_to_call_names_nobody(sparse: Consultation) -> None:
    for code in knowledge().topics:
        text = said(sparse, "who_to_call", about=code).text
        assert text.startswith("Call"), code
    assert "emergency" in said(sparse, "who_to_call", about="hurt").text


def test_topics_name_answers_that_there_are() -> None:
    for code, row in knowledge().topics.items():
        assert set(row.known) <= set(KEYS), code
        assert row.who or row.cautions, code
    assert set(knowledge().doing) >= {"sow", "lay-sod", "till", "mow", "roll", "fertilise"}
    assert "zone" in Situation.model_fields


# ---------- reasons ----------
def test_why_gives_the_choice_its_verdict_and_what_is_next(sparse: Consultation) -> None:
    answer = advice_of(sparse).choice("goalmouths")
    text = said(sparse, "why").text
    assert text.startswith(answer.text)
    assert "Sound:" in text


def test_what_is_not_read_of_a_supposition_is_named(sparse: Consultation) -> None:
    told = reply(
        sparse,
        Ask(
            "what_if", "what if we had a hose and purple elephants", {"changes": {"means.water": "hand hose"}}
        ),
    )
    assert "purple elephants" in told.text
    minus = reply(sparse, Ask("what_if", "what if the budget were -5", {"changes": {"means.budget": 5.0}}))
    assert not minus.understood or "cannot reckon" in minus.text
    assert minus.result is None


def test_changes_are_counted_from_what_was_told(sparse: Consultation) -> None:
    told = said(sparse, "what_if", changes={"dates.play_by": {"plus_days": 21}})
    assert told.result.changes[0].after == "2026-09-19"
    assert "19 September 2026 instead of 29 August 2026" in told.text


def test_a_step_is_judged_with_its_caution_apart(sparse: Consultation) -> None:
    told = said(sparse, "can_i_now", step="roll")
    assert told.text.startswith("Roll on 20 May 2026")
    assert told.result
    assert not said(sparse, "can_i_now", step="juggle").understood


@pytest.mark.parametrize(
    "word",
    ["sound", "advised", "risky", "late", "not advised", "ruled out", "light use", "full play", "decide by", "window", "claim", "likely",
     "stopgap", "least bad", "firm", "open", "slow year", "sound if", "next best"],
)  # fmt: skip
def test_every_word_of_a_verdict_is_explained(sparse: Consultation, word: str) -> None:
    told = said(sparse, "meaning", word=word)
    assert told.understood, word
    assert told.text.lower().startswith(word.replace("-", " "))
    assert reply_early(knowledge(), Ask("meaning", word, {"word": word})) != knowledge().text("reply-early")


def test_a_word_that_is_none_is_not_explained_by_another(sparse: Consultation) -> None:
    assert not said(sparse, "meaning", word="xylophone").understood


# ---------- parts ----------
def test_the_worst_part_answers_where_none_is_named(parts: Consultation) -> None:
    assert said(parts, "why").text.startswith("Goalmouths: ")
    assert said(parts, "why", zone="middle").text.startswith("Middle: ")


# ---------- the frame ----------
def test_only_what_fits_is_said_and_the_caution_stays() -> None:
    long = "This is a sentence of some length that takes up room. " * 12
    text = fitted(Reply(("The answer.", long, "- one", "- two"), "Mind: this. Who decides: you."), "- more")
    assert text.startswith("The answer.")
    assert text.endswith("Who decides: you.")
    assert len(lines(text)) <= 8
    assert all(line.endswith((".", "more")) for line in text.split("\n"))


def test_what_is_meant_is_found_by_whole_words() -> None:
    names = {"a": ("match",), "b": ("mower",)}
    assert meant("the match", names) == "a"
    assert meant("Mower", names) == "b"
    assert meant("zzz", names) == ""


def test_what_belongs_to_the_talk_is_not_answered_here(sparse: Consultation) -> None:
    told = reply(sparse, Ask("go_back", "back", {}))
    assert not told.understood


def test_plain_words_say_date_choice_and_first_task_and_explain_themselves(sparse: Consultation) -> None:
    text = said(sparse, "plainer").text
    advice = advice_of(sparse)
    assert advice.fate is not None
    assert first_sentence(advice.fate.text) in text
    assert advice.programme[0].text in text
    assert "Begin with this: " in text
    assert " means: " in text
    assert len(lines(text)) <= 8


def test_what_did_not_fit_is_told_whole_when_asked_for(parts: Consultation) -> None:
    short, whole = said(parts, "this_week").text, said(parts, "this_week", whole=True).text
    assert parts.knowledge.text("reply-more") in short
    assert parts.knowledge.text("reply-more") not in whole
    assert len(lines(whole)) > 8
