"""The calendar file, read back by a parser of RFC 5545 that knows nothing of how it was made."""

from __future__ import annotations

import datetime as dt
import re
from typing import Any

import icalendar
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from papers_samples import FULL, HOSTILE, PLAN, flat, renamed
from samples import FATE, INSTEAD, MEANWHILE, RESTS_ON, WINDOW

from decide.model.advice import Advice
from decide.model.words import printable
from decide.report.ics import calendar_file


def events(advice: Advice) -> list[Any]:
    return list(icalendar.Calendar.from_ical(calendar_file(advice)).walk("VEVENT"))


def summary(advice: Advice, start: str) -> Any:
    return next(event for event in events(advice) if str(event["SUMMARY"]).startswith(start))


def test_lines_are_as_the_standard_wants_them() -> None:
    # RFC 5545, section 3.1: CRLF, and at most 75 octets without it.
    text = calendar_file(FULL)
    assert "\n" not in text.replace("\r\n", "")
    assert text.endswith("END:VCALENDAR\r\n")
    assert max(len(line.encode()) for line in text.split("\r\n")) == 75


def test_what_each_object_must_carry() -> None:
    # RFC 5545, sections 3.6 and 3.6.1: PRODID and VERSION once; UID and DTSTAMP in each event, DTEND after DTSTART.
    whole = icalendar.Calendar.from_ical(calendar_file(FULL))
    assert whole["VERSION"] == "2.0"
    assert whole["PRODID"]
    found = events(FULL)
    assert len({str(event["UID"]) for event in found}) == len(found)
    for event in found:
        assert event["DTSTAMP"].dt == dt.datetime(2026, 5, 1, tzinfo=dt.UTC)
        assert type(event["DTSTART"].dt) is dt.date
        assert event["DTEND"].dt > event["DTSTART"].dt
        assert event["TRANSP"] == "TRANSPARENT"


def test_days_of_tasks() -> None:
    # By hand: the end is the day after the last, since RFC 5545 does not count it.
    laid = summary(FULL, "Lay sod")
    assert (laid["DTSTART"].dt, laid["DTEND"].dt) == (dt.date(2026, 6, 1), dt.date(2026, 6, 3))
    assert laid["SUMMARY"] == "Lay sod (goalmouth)"
    watered = summary(FULL, "Water")
    assert (watered["DTSTART"].dt, watered["DTEND"].dt) == (dt.date(2026, 6, 1), dt.date(2026, 6, 15))
    assert "RRULE" not in watered
    mown = summary(FULL, "Mow")
    assert (mown["DTSTART"].dt, mown["DTEND"].dt) == (dt.date(2026, 6, 15), dt.date(2026, 6, 16))
    assert mown["RRULE"] == {"FREQ": ["DAILY"], "INTERVAL": [7], "UNTIL": [dt.date(2026, 8, 10)]}
    assert summary(FULL, "Last day to decide: goalmouth")["DTSTART"].dt == dt.date(2026, 5, 10)
    assert summary(FULL, "Done: Feed")


def test_one_event_for_each_task_and_its_cautions_in_it() -> None:
    found = {str(event["SUMMARY"]): flat(str(event["DESCRIPTION"])) for event in events(FULL)}
    # The fate of the date, today's dangers, the cautions that no task carries, the choices for three parts, one day to decide by, a window and its last day.
    assert len(found) == len(PLAN) + 9
    text = found["Lay sod (goalmouth)"]
    for sentence in (
        "Take care: Lift rolls in pairs. Who decides: whoever is in charge of the work.", "Take care: Have pipes and cables marked. Then dig. Who decides: the line owners.", "How to lay sod.",
        "The first day that the seller can bring it.", "Tools: roller and spade.", "Work: 20 to 34 hours.", "Sources: a-page.",
    ):  # fmt: skip
        assert sentence in text, sentence
    assert found["What becomes of 1 July 2026"] == FATE.text
    chosen = found["What to do: goalmouth"]
    assert chosen.startswith(
        "Do this: Perennial ryegrass by thick-cut sod, from 1 June 2026 — sound if the following holds. Only if: nothing was sprayed there in the last months."
    )
    for sentence in (
        *(f"Only if: {condition}." for condition in RESTS_ON),
        *(f"Meanwhile, this season: {text}" for text in MEANWHILE),
        INSTEAD,
    ):
        assert sentence in chosen, sentence
    assert summary(FULL, "Next time for new grass: middle")["DTSTART"].dt == dt.date(2027, 4, 10)
    assert summary(FULL, "Last day to decide on new grass: middle")["DTSTART"].dt == dt.date(2027, 4, 20)
    assert found["Next time for new grass: middle"] == WINDOW.text
    assert "Begin by 20 May 2026. Order or ask by 16 May 2026." in found["Mark services"]
    assert (
        "Keep everybody away from the loose goal. Who decides: you, now."
        in found["Today, before anything else"]
    )
    assert (
        "A sprinkler on the main needs a device against backflow. Who decides: the water company."
        in found["Take care, and who decides"]
    )


def test_an_event_keeps_its_name_when_its_day_moves() -> None:
    later = FULL.model_copy(update={
        "plan": [row.model_copy(update={"from_": "2026-06-03", "until": "2026-06-04"}) if row.template == "lay-sod" else row for row in PLAN],
        "situation": [row.model_copy(update={"value": "2026-05-08"}) if row.key == "dates.today" else row for row in FULL.situation],
    })  # fmt: skip
    before, after = summary(FULL, "Lay sod"), summary(later, "Lay sod")
    assert before["UID"] == after["UID"]
    assert before["DTSTART"].dt != after["DTSTART"].dt
    assert after["DTSTAMP"].dt == dt.datetime(2026, 5, 8, tzinfo=dt.UTC)
    other = FULL.model_copy(
        update={
            "situation": [
                row.model_copy(update={"value": "York"}) if row.key == "place.name" else row
                for row in FULL.situation
            ]
        }
    )
    assert summary(other, "Lay sod")["UID"] != before["UID"]


def test_same_advice_same_bytes_and_no_plan_is_still_a_calendar() -> None:
    assert calendar_file(FULL) == calendar_file(FULL)
    bare = FULL.model_copy(
        update={"plan": [], "today": [], "cautions": [], "programme": [], "situation": [], "fate": None}
    )
    assert calendar_file(bare).startswith("BEGIN:VCALENDAR\r\nVERSION:2.0\r\n")
    assert events(bare) == []


def whole(name: str) -> None:
    text = calendar_file(renamed(name))
    assert max(len(line.encode()) for line in text.split("\r\n")) <= 75
    assert "\n" not in text.replace("\r\n", "")
    assert not re.search(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f]", text)
    found = events(renamed(name))
    assert len(found) == len(PLAN) + 9
    laid = next(event for event in found if str(event["SUMMARY"]).startswith("Lay sod"))
    assert flat(str(laid["SUMMARY"])) == flat(f"Lay sod ({printable(name)})")


@pytest.mark.parametrize("name", HOSTILE)
def test_hostile_names_are_only_words(name: str) -> None:
    whole(name)


@pytest.mark.slow
@settings(max_examples=60, deadline=None)
@given(name=st.text(min_size=1, max_size=80).filter(lambda name: printable(name).strip()))
def test_any_name_keeps_the_calendar_whole(name: str) -> None:
    whole(name)
