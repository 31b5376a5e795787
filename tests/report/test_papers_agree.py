"""Minutes, calendar, tasks and shopping list of one advice name the same days, verdicts and jobs."""

from __future__ import annotations

import csv
import io
import re
from dataclasses import replace
from typing import Any

import pytest
import vobject
from papers_samples import FULL, PLAN, flat

from decide.answer.assemble import advice_of
from decide.knowledge.texts import TextRow
from decide.model.advice import Advice
from decide.model.words import capital
from decide.report.choices import picked, role_of, stands_as
from decide.report.papers import paper
from decide.report.phrases import day_of
from decide.report.words import word
from tests.shared import BANK, LANGUAGE, case_codes, consulted

SOME = ("sparse-ie-dublin-may-renovation", "uk-october-stopgap", "ongoing-sod-seams-drying")


def table(advice: Advice, kind: Any) -> list[dict[str, str]]:
    text = paper(kind, advice).removeprefix("\ufeff")
    return list(csv.DictReader(io.StringIO(text, newline=""), strict=True))


def apart(advice: Advice) -> list[str]:
    """What one paper says and another says otherwise."""
    minutes = paper("notes", advice).replace("\\", "")
    events = vobject.readOne(paper("calendar", advice)).contents.get("vevent", [])
    tasks, bought = table(advice, "tasks"), table(advice, "shopping")
    return [
        *decided_apart(minutes, events, tasks), *jobs_apart(minutes, events, tasks), *bought_apart(bought, tasks),
        *verdicts_apart(advice, minutes, events, tasks),
    ]  # fmt: skip


def decided_apart(minutes: str, events: list[Any], tasks: list[dict[str, str]]) -> list[str]:
    """The day by which the choices are made."""
    said = re.search(r"^- \*\*(.+):\*\* Yes or no to this proposal", minutes, re.MULTILINE)
    day = said[1] if said else None
    held = [
        day_of(event.dtstart.value.isoformat())
        for event in events
        if event.summary.value == "Decide what to do"
    ]
    rows = [day_of(row["Date"]) for row in tasks if row["What"] == "Decide what to do"]
    # Without a day the choices stand on today, and the minutes put them to the meeting as they are.
    found = [
        f"{where}: decided on {other}, in the minutes on {day}"
        for where, others in (("calendar", held), ("tasks", rows))
        for other in others
        if day and other != day
    ]
    return found + ([] if held or not rows else ["the calendar has no choices"])


def jobs_apart(minutes: str, events: list[Any], tasks: list[dict[str, str]]) -> list[str]:
    """Each job of the list stands in the calendar with its days; what is put to the meeting stands in both."""
    texts = [flat(event.description.value) for event in events]
    jobs = [row for row in tasks if row["Who"] and not row["Done on"]]
    found = [
        f"not in the calendar: {row['What']}"
        for row in jobs
        if not any(flat(f": {row['What'].lstrip(chr(39))}") in text for text in texts)
    ]
    listed = minutes.rsplit("## To decide", maxsplit=1)[-1]
    for day, what in re.findall(r"^- \*\*(.+?):\*\* (.+?)(?: \([^()]*\))? — ", listed, re.MULTILINE):
        same = [row for row in jobs if row["What"] == what]
        dates = {day_of(row[name]) for row in same for name in ("Date", "Begin at the latest") if row[name]}
        if same and day not in dates:
            found.append(f"{what}: {day} in the minutes, {sorted(dates)} in the tasks")
    return found


def bought_apart(bought: list[dict[str, str]], tasks: list[dict[str, str]]) -> list[str]:
    """What is bought for a job is ordered before the job ends."""
    found = []
    for row in bought:
        job = row["For"].rpartition(": ")[0]
        ends = [other["Until"] or other["Date"] for other in tasks if job and other["What"] == job]
        if row["Order by"] and ends and row["Order by"] > max(ends):
            found.append(f"{row['Thing']}: ordered by {row['Order by']}, {job} ends on {max(ends)}")
    return found


def verdicts_apart(advice: Advice, minutes: str, events: list[Any], tasks: list[dict[str, str]]) -> list[str]:
    """Each choice stands in all three with the verdict that the programme gives it."""
    texts = {
        "minutes": flat(minutes.replace("*", "")),
        "calendar": flat(" ".join(event.description.value for event in events)),
        "tasks": flat(" ".join(row["How"] for row in tasks)),
    }
    found = []
    for answer in advice.programme:
        for option in picked(advice, answer):
            verdict = LANGUAGE.verdict(stands_as(option, role_of(answer, option)))
            said = flat(f"{option.title} — {verdict}")
            # Where there are too many parts for a page, the minutes say of each its decision alone.
            decided = flat(f"{capital(word('decision', answer.decision))} — {verdict}")
            found += [
                f"{where}: not {said}"
                for where, text in texts.items()
                if said not in text and (where != "minutes" or decided not in text)
            ]
    return found


@pytest.mark.slow
@pytest.mark.parametrize(
    "code",
    [
        pytest.param(code, marks=() if code in SOME else BANK)
        for n, code in enumerate(case_codes())
        if code in SOME or n % 8 == 5
    ],
)
def test_the_papers_of_a_case_agree(code: str) -> None:
    assert apart(advice_of(consulted(code))) == []


def test_the_papers_of_the_sample_agree() -> None:
    assert apart(FULL) == []


def test_papers_that_differ_are_found(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("decide.report.ics.decide_day", lambda advice: "2026-05-03")
    monkeypatch.setattr(
        "decide.report.sections.minutes.language",
        lambda: replace(LANGUAGE, texts={**LANGUAGE.texts, "verdict-advised": TextRow(text="unsound")}),
    )
    late = FULL.model_copy(
        update={
            "shopping": [row.model_copy(update={"order_by": "2026-07-02"}) for row in FULL.shopping[:1]],
            "plan": PLAN,
        }
    )
    assert apart(late) == [
        "calendar: decided on 3 May 2026, in the minutes on 10 May 2026",
        "Thick-cut sod: ordered by 2026-07-02, Lay sod ends on 2026-06-02",
        "minutes: not Let the standing grass recover — advised",
    ]
