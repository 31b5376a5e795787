"""The calendar file, read back by a parser of RFC 5545 that knows nothing of how it was made."""

from __future__ import annotations

import datetime as dt
import re
from pathlib import Path
from typing import Any

import pytest
import vobject
from hypothesis import given, settings
from hypothesis import strategies as st
from papers_samples import FULL, HOSTILE, PLAN, flat, renamed
from samples import FATE, INSTEAD, MEANWHILE, RESTS_ON, WINDOW

from decide.answer.assemble import advice_of
from decide.model.advice import Advice
from decide.model.planned import Task
from decide.model.words import printable
from decide.report.ics import calendar_file
from decide.report.papers import write_papers
from decide.report.phrases import day_of, day_span
from decide.report.rounds import rounds
from tests.shared import BANK, case_codes, consulted

# By hand: seven kinds of work with a job each; today, the choices, the next window.
EVENTS = len(PLAN) + 3
SOME = ("york-school-closed-summer", "sparse-ca-moncton-thin-without-a-number", "uk-october-stopgap")


def events(advice: Advice) -> list[Any]:
    return list(vobject.readOne(calendar_file(advice)).contents.get("vevent", []))


def event(advice: Advice, start: str) -> Any:
    return next(event for event in events(advice) if event.summary.value.startswith(start))


def days(event: Any) -> tuple[dt.date, dt.date]:
    """The first day of an event and the day after its last: RFC 5545 does not count the end."""
    return event.dtstart.value, event.dtend.value


def triggers(event: Any) -> list[dt.timedelta]:
    return [alarm.trigger.value for alarm in event.contents.get("valarm", [])]


def said(event: Any) -> str:
    return flat(event.description.value)


def at(advice: Advice, key: str, value: str) -> Advice:
    rows = [row.model_copy(update={"value": value}) if row.key == key else row for row in advice.situation]
    return advice.model_copy(update={"situation": rows})


def with_plan(*rows: Task) -> Advice:
    return FULL.model_copy(update={"plan": list(rows)})


# ---------- the format ----------
def test_lines_are_as_the_standard_wants_them() -> None:
    # RFC 5545, section 3.1: CRLF, and at most 75 octets without it.
    text = calendar_file(FULL)
    assert "\n" not in text.replace("\r\n", "")
    assert text.endswith("END:VCALENDAR\r\n")
    assert max(len(line.encode()) for line in text.split("\r\n")) == 75


def test_what_each_object_must_carry() -> None:
    # RFC 5545, sections 3.6 and 3.6.1: PRODID and VERSION once; UID and DTSTAMP in each event, DTEND after DTSTART.
    whole = vobject.readOne(calendar_file(FULL))
    assert whole.version.value == "2.0"
    assert whole.prodid.value
    found = events(FULL)
    assert len({event.uid.value for event in found}) == len(found) == EVENTS
    for event in found:
        assert event.dtstamp.value == dt.datetime(2026, 5, 1, tzinfo=event.dtstamp.value.tzinfo)
        assert type(event.dtstart.value) is dt.date
        assert event.dtend.value > event.dtstart.value
        assert event.transp.value == "TRANSPARENT"
        assert event.description.value


def test_days_have_no_time_zone_and_reminders_count_from_the_day() -> None:
    # RFC 5545, section 3.3.4 (a DATE has no zone), 3.6.6 and 3.3.6: an alarm of display has a trigger as a duration.
    text = calendar_file(FULL)
    assert "TZID" not in text
    assert "DTSTART;VALUE=DATE:20260601" in text
    # By hand: the marking must be asked for by 20 May, the event begins on 1 May; it rings on the 19th at nine.
    assert "TRIGGER:P18DT9H\r\n" in text
    assert text.count("ACTION:DISPLAY") == text.count("BEGIN:VALARM") > 0


# ---------- days ----------
def test_days_of_work() -> None:
    assert days(event(FULL, "Lay sod")) == (dt.date(2026, 6, 1), dt.date(2026, 6, 3))
    assert event(FULL, "Lay sod").summary.value == "Lay sod (goalmouth)"
    watered = event(FULL, "Water")
    assert days(watered) == (dt.date(2026, 6, 1), dt.date(2026, 6, 15))
    assert "rrule" not in watered.contents
    mown = event(FULL, "Mow")
    assert days(mown) == (dt.date(2026, 6, 15), dt.date(2026, 6, 16))
    assert set(mown.rrule.value.split(";")) == {"FREQ=DAILY", "INTERVAL=7", "UNTIL=20260810"}
    # What may begin on any day of three weeks stands on the first; the text says until when.
    opened = event(FULL, "Open to play")
    assert days(opened) == (dt.date(2026, 6, 29), dt.date(2026, 6, 30))
    assert "29 June to 20 July 2026: Open to play (goalmouth)." in said(opened)
    fed = event(FULL, "Done: Feed")
    assert said(fed).startswith("Done on 1 July 2026: Feed (goalmouth).")
    assert triggers(fed) == []


def test_a_reminder_rings_on_the_day_before_the_last_one() -> None:
    nine = dt.timedelta(hours=9)
    assert triggers(event(FULL, "Mark services")) == [dt.timedelta(days=18) + nine]
    # The sod is ordered from the 2nd, by the 10th at the latest.
    assert triggers(event(FULL, "Order sod")) == [dt.timedelta(days=7) + nine]
    # The choices stand on the day on which the plan must begin, the 10th, and nothing earlier is left of it.
    decide = event(FULL, "Decide what to do")
    assert days(decide)[0] == dt.date(2026, 5, 10)
    assert triggers(decide) == [nine]
    window = event(FULL, "Next time for new grass (middle)")
    assert days(window)[0] == dt.date(2027, 4, 10)
    assert triggers(window) == [dt.timedelta(days=9) + nine]
    assert said(window) == flat(f"middle: {WINDOW.text} Decide by 20 April 2027.")


def test_what_comes_back_is_expanded_to_its_days() -> None:
    # By hand: every seventh day from 15 June to 10 August are nine.
    found = list(event(FULL, "Mow").getrruleset(addRDate=True))
    assert [day.date() for day in found] == [
        dt.date(2026, 6, 15) + n * dt.timedelta(days=7) for n in range(9)
    ]


def test_daily_and_rarer_water_of_one_kind_is_daily() -> None:
    water = next(row for row in PLAN if row.template == "water")
    soak = water.model_copy(
        update={"code": "soak/goalmouth", "template": "soak", "task": "Soak", "until": water.from_}
    )
    both = event(with_plan(soak, water), "Water the new grass")
    assert days(both) == (dt.date(2026, 6, 1), dt.date(2026, 6, 15))
    assert "rrule" not in both.contents


# ---------- one for a job ----------
def test_a_job_in_several_parts_is_one_event_that_names_them() -> None:
    elsewhere = [row.model_copy(update={"zone": "middle", "code": f"{row.template}/middle"}) for row in PLAN]
    both = with_plan(*PLAN, *elsewhere)
    assert len(events(both)) == EVENTS
    laid = event(both, "Lay sod")
    assert laid.summary.value == "Lay sod (goalmouth and middle)"
    assert "1 to 2 June 2026: Lay sod (goalmouth and middle). How to lay sod." in said(laid)
    # By hand: 20 to 34 hours in each of two parts.
    assert "Work: 40 to 68 hours." in said(laid)
    assert said(laid).count("Lift rolls in pairs.") == 1


def test_jobs_of_one_kind_stand_together_and_keep_their_days() -> None:
    first = PLAN[3].model_copy(
        update={
            "code": "cut/goalmouth",
            "template": "cut",
            "task": "First cut",
            "text": "Cut it.",
            "every_days": None,
            "until": "2026-06-15",
        }
    )
    mown = event(with_plan(first, *PLAN), "Mow")
    assert len(events(with_plan(first, *PLAN))) == EVENTS
    assert "15 June 2026: First cut (goalmouth). Cut it." in said(mown)
    assert "15 June to 10 August 2026: Mow (goalmouth). How to mow." in said(mown)


@pytest.mark.parametrize(("start", "more"), [("2026-06-20", 0), ("2026-09-15", 1)])
def test_starts_of_some_weeks_are_one_and_a_later_one_has_events_of_its_own(start: str, more: int) -> None:
    # By hand: the sample starts on 1 June; four weeks are the limit.
    option = FULL.options[0].model_copy(
        update={"code": "middle/new", "zone": "middle", "start": start, "decide_by": None}
    )
    answers = [
        row.model_copy(update={"option": "middle/new"}) if row.zone == "middle" else row
        for row in FULL.programme
    ]
    laid = PLAN[2].model_copy(
        update={"code": "lay-sod/middle", "zone": "middle", "from_": start, "until": start}
    )
    both = FULL.model_copy(
        update={"options": [*FULL.options, option], "programme": answers, "plan": [*PLAN, laid]}
    )
    assert len(events(both)) == EVENTS + more


def test_what_stands_in_an_event() -> None:
    text = said(event(FULL, "Lay sod"))
    for sentence in (
        "Take care: Lift rolls in pairs. Who decides: whoever is in charge of the work.", "Take care: Have pipes and cables marked. Then dig. Who decides: the line owners.", "How to lay sod.",
        "Tools: roller and spade.", "Work: 20 to 34 hours.", "Who: any of you.",
    ):  # fmt: skip
        assert sentence in text, sentence
    assert "Order or ask by 16 May 2026. Begin by 20 May 2026." in said(event(FULL, "Mark services"))
    chosen = said(event(FULL, "Decide what to do"))
    assert chosen.startswith(
        "Begin by: 10 May 2026, to keep these dates. goalmouth: Do this: Perennial ryegrass by thick-cut sod, from 1 June 2026 — sound if the following holds. Decide by 10 May 2026."
    )
    assert flat(f"Only if: {'; '.join(RESTS_ON)}.") in chosen
    assert INSTEAD in chosen
    today = said(event(FULL, "Today, before anything else"))
    for sentence in (
        "Keep everybody away from the loose goal. Who decides: you, now.", FATE.text, *(f"Meanwhile, this season: goalmouth: {text}" for text in MEANWHILE),
        "goalmouth: Sod lifts. Do today: Keep off and water.", "Does not fit: goalmouth: Three days are missing before the start.",
        "A sprinkler on the main needs a device against backflow. Who decides: the water company.", "The label, local law and licensed people rule over this page.",
    ):  # fmt: skip
        assert flat(sentence) in today, sentence


# ---------- a later export ----------
def test_an_event_keeps_its_name_when_its_days_or_answers_move_and_is_a_later_revision() -> None:
    later = at(FULL, "dates.today", "2026-05-08").model_copy(update={
        "plan": [row.model_copy(update={"from_": "2026-06-03", "until": "2026-06-04", "text": "Another way."}) if row.template == "lay-sod" else row for row in PLAN],
        "programme": [*FULL.programme, FULL.programme[-1].model_copy(update={"zone": "wet corner"})],
    })  # fmt: skip
    before, after = event(FULL, "Lay sod"), event(later, "Lay sod")
    assert before.uid.value == after.uid.value
    assert days(before) != days(after)
    assert after.dtstamp.value - before.dtstamp.value == dt.timedelta(days=7)
    assert int(after.sequence.value) - int(before.sequence.value) == 7
    assert {event.uid.value for event in events(later)} == {event.uid.value for event in events(FULL)}


def test_another_place_has_other_names() -> None:
    other = {event.uid.value for event in events(at(FULL, "place.name", "York"))}
    assert not other & {event.uid.value for event in events(FULL)}


def test_a_file_of_another_name_is_of_another_field_of_the_town(tmp_path: Path) -> None:
    def names(file: str) -> set[str]:
        write_papers(FULL, None, {"calendar": str(tmp_path / file)})
        text = (tmp_path / file).read_text(encoding="utf-8")
        return {event.uid.value for event in vobject.readOne(text).contents["vevent"]}

    assert names("top.ics") == names("top.ics")
    assert not names("top.ics") & names("lower.ics")


def test_same_advice_same_bytes_and_no_plan_is_still_a_calendar() -> None:
    assert calendar_file(FULL) == calendar_file(FULL)
    bare = FULL.model_copy(
        update={
            "plan": [],
            "today": [],
            "cautions": [],
            "programme": [],
            "situation": [],
            "fate": None,
            "signs_seen": [],
            "clashes": [],
        }
    )
    assert calendar_file(bare).startswith("BEGIN:VCALENDAR\r\nVERSION:2.0\r\n")
    assert events(bare) == []


# ---------- every advice ----------
def unfit(advice: Advice) -> list[str]:
    """What is wrong with the calendar of an advice: jobs in no event or in two, too many events."""
    found = events(advice)
    texts = [said(event) for event in found]
    wrong = []
    for task in advice.plan:
        on = f"Done on {day_of(task.done)}" if task.done else day_span(task.from_, task.until)
        holds = [
            text
            for text in texts
            if flat(f"{on}: {task.task}") in text and (task.done or flat(task.text) in text)
        ]
        if len(holds) != 1:
            wrong.append(f"{task.code} stands in {len(holds)} events")
    kept = [row.code for row in rounds(advice)]
    if len(kept) != len(set(kept)) or sum(
        len(work.tasks) for row in rounds(advice) for work in row.works
    ) != len(advice.plan):
        wrong.append("a task is in no round, or two rounds have one name")
    starts = len({row.place for row in rounds(advice)} | {0})
    windows = len({answer.window.opens for answer in advice.programme if answer.window})
    if len(found) > 16 * starts + windows:
        wrong.append(f"{len(found)} events")
    return wrong


@pytest.mark.slow
@pytest.mark.parametrize(
    "code",
    [
        pytest.param(code, marks=() if code in SOME else BANK)
        for n, code in enumerate(case_codes())
        if code in SOME or n % 4 == 1
    ],
)
def test_every_job_of_a_case_lies_in_one_event_and_there_are_few(code: str) -> None:
    assert unfit(advice_of(consulted(code))) == []


def test_every_job_of_the_sample_lies_in_one_event() -> None:
    assert unfit(FULL) == []


def whole(name: str) -> None:
    text = calendar_file(renamed(name))
    assert max(len(line.encode()) for line in text.split("\r\n")) <= 75
    assert "\n" not in text.replace("\r\n", "")
    assert not re.search(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f]", text)
    found = events(renamed(name))
    assert len(found) == EVENTS
    laid = next(event for event in found if event.summary.value.startswith("Lay sod"))
    assert flat(laid.summary.value) == flat(f"Lay sod ({printable(name)})")


@pytest.mark.slow
@pytest.mark.parametrize("name", HOSTILE)
def test_hostile_names_are_only_words(name: str) -> None:
    whole(name)


@pytest.mark.slow
@settings(max_examples=60, deadline=None)
@given(name=st.text(min_size=1, max_size=80).filter(lambda name: printable(name).strip()))
def test_any_name_keeps_the_calendar_whole(name: str) -> None:
    whole(name)
