"""The advice as text: screens as a reader sees them, and what must hold of every page."""

from __future__ import annotations

import re
import unicodedata
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from rich.cells import cell_len
from samples import ADVICE, CAUTIONS, FATE, INSTEAD, MEANWHILE, RECOVER, RESTS_ON, SEED, SOD, WINDOW, reason

from decide.model import advice as model
from decide.model.planned import Task, Watering
from decide.model.row import DayRange, Decision, Verdict
from decide.report.choices import chief_reasons, first_reason
from decide.report.markdown import render_markdown
from decide.report.text import render
from decide.report.words import say
from tests.shared import sampled

SCREENS = Path(__file__).parents[1] / "screens"
DEPTHS = ("short", "full", "reasons")
PAGES: tuple[dict[str, bool], ...] = (
    {},
    {"colour": True},
    {"ascii_only": True},
    {"plain": True},
    {"plain": True, "colour": True, "ascii_only": True},
)
ESCAPE = re.compile(r"\x1b\[[0-9;]*m")


def flat(page: str) -> str:
    """A page without colour and layout, to look for sentences in."""
    words = re.sub(r"[-=─═|]{3,}", " ", ESCAPE.sub("", page))
    return " ".join(words.split())


def changed(**parts: Any) -> model.Advice:
    return ADVICE.model_copy(update=parts)


# ---------- screens, written by hand before the page was first printed ----------
@pytest.mark.parametrize(
    ("name", "options"),
    [
        ("advice_short_80", {}),
        ("advice_plain_40", {"width": 40, "plain": True, "ascii_only": True}),
        ("advice_full_80", {"depth": "full"}),
        ("advice_reasons_ascii_80", {"depth": "reasons", "ascii_only": True}),
    ],
)
def test_screen(name: str, options: dict[str, Any]) -> None:
    assert render(ADVICE, **options) == (SCREENS / f"{name}.txt").read_text(encoding="utf-8")


def test_notes_for_a_committee() -> None:
    assert render_markdown(ADVICE, depth="short") == (SCREENS / "advice_notes.txt").read_text(
        encoding="utf-8"
    )


# ---------- every page ----------
@pytest.mark.slow
@pytest.mark.parametrize("depth", DEPTHS)
@pytest.mark.parametrize("width", [20, 40, 59, 60, 80, 132])
@pytest.mark.parametrize("page", sampled(PAGES, 3))
def test_no_line_is_wider_than_the_page_and_nothing_is_cut(
    depth: Any, width: int, page: dict[str, bool]
) -> None:
    said = render(ADVICE, width=width, depth=depth, **page)
    assert max(cell_len(ESCAPE.sub("", line)) for line in said.splitlines()) <= width
    assert "…" not in said
    assert "..." not in said
    assert all(line == line.rstrip() for line in said.splitlines())
    if page.get("ascii_only"):
        assert said.isascii()


@pytest.mark.parametrize("depth", DEPTHS)
@pytest.mark.parametrize("page", PAGES)
def test_every_caution_stands_on_every_page_with_who_decides(depth: Any, page: dict[str, bool]) -> None:
    said = flat(render(ADVICE, width=200, depth=depth, **page))
    for row in CAUTIONS:
        assert row.text in said, row.code
        assert f"Who decides: {row.who_decides}" in said, row.code
    assert say("ruler") in said


@pytest.mark.parametrize("depth", DEPTHS)
def test_every_caution_stands_in_the_notes(depth: Any) -> None:
    said = render_markdown(ADVICE, depth=depth)
    for row in CAUTIONS:
        assert row.text in said, row.code
    assert say("ruler") in said


@pytest.mark.slow
@pytest.mark.parametrize(
    "at",
    ["site", "choice", "stopgap", "least-bad", "two-parts", "proposal", "today", "choice-today", "no-text"],
)
@pytest.mark.parametrize("depth", DEPTHS)
def test_a_caution_is_shown_wherever_it_comes_from(at: str, depth: Any) -> None:
    row = model.Caution(code="deep-water", text="The ditch is deep.", who_decides="the owner", sources=[])
    rows = [] if at == "no-text" else [row]
    first = SOD.model_copy(
        update={
            "cautions": ["deep-water"] if at in ("choice", "choice-today", "two-parts", "no-text") else []
        }
    )
    second = RECOVER.model_copy(update={"cautions": ["deep-water"] if at == "two-parts" else []})
    other = SEED.model_copy(update={"cautions": ["deep-water"] if at in ("stopgap", "least-bad") else []})
    answers = [
        model.Answer(
            zone="goalmouth", area_m2=1, decision="repair", option=None if at == "least-bad" else SOD.code, text="So.",
            stopgap=SEED.code if at == "stopgap" else None, least_bad=SEED.code if at == "least-bad" else None,
        ),
        model.Answer(zone="middle", area_m2=1, decision="recover", option=RECOVER.code, text="So."),
    ]  # fmt: skip
    judged = model.ProposalJudged(
        asked="Roll it", judgement="sound", conditions=[], reasons=[], cautions=["deep-water"], better=[]
    )
    said = flat(render(changed(
        options=[first, second, other], programme=answers, cautions=rows, proposals=[judged] if at == "proposal" else [],
        today=[model.Doing(code="deep-water", text=row.text, who_decides=row.who_decides)] if at.endswith("today") else [],
    ), width=200, depth=depth))  # fmt: skip
    assert said.count("deep water." if at == "no-text" else "The ditch is deep.") == 1


def test_line_mode_has_no_escapes_and_no_boxes() -> None:
    for depth in DEPTHS:
        said = render(ADVICE, depth=depth, plain=True, colour=True)  # type: ignore[arg-type]
        assert not any(unicodedata.category(letter) == "Cc" and letter != "\n" for letter in said)
        assert not re.search(r"[\u2500-\u257f]|^[-=]{3,}$|\|", said, re.MULTILINE)


def test_colour_only_adds_to_the_words() -> None:
    for depth in DEPTHS:
        bright = render(ADVICE, depth=depth, colour=True)  # type: ignore[arg-type]
        assert "\x1b[" in bright
        assert ESCAPE.sub("", bright) == render(ADVICE, depth=depth)  # type: ignore[arg-type]


def test_same_advice_same_bytes_whatever_the_terminal_is(monkeypatch: pytest.MonkeyPatch) -> None:
    before = render(ADVICE, depth="reasons", colour=True)
    for name, value in {
        "NO_COLOR": "1",
        "COLUMNS": "33",
        "TERM": "dumb",
        "FORCE_COLOR": "1",
        "LINES": "4",
    }.items():
        monkeypatch.setenv(name, value)
    assert render(ADVICE, depth="reasons", colour=True) == before


def test_a_deeper_page_holds_all_of_a_shorter_one() -> None:
    pages = [render(ADVICE, width=200, depth=depth, plain=True).splitlines() for depth in DEPTHS]  # type: ignore[arg-type]
    gone = {
        "One more question is open; no answer would change the choice.", "One answer was assumed, not told. The full advice lists what.",
        "    - and 1 more; the full advice lists it.", "  - and 1 more; the full advice lists it.",
    }  # fmt: skip
    assert set(pages[0]) - set(pages[1]) == gone
    assert set(pages[1]) - set(pages[2]) == {
        "Knowledge version 1.2. 2 engines agreed.", "- How a field is kept. A public body, 2019. Seen as an excerpt. page 4",
    }  # fmt: skip


def test_the_short_page_names_no_rule_source_or_key() -> None:
    said = render(ADVICE)
    for code in ("a-page", "a-rule", "sod-dear", "zone.sprayed", "buried-lines", SOD.code, "dates.today"):
        assert code not in said


# ---------- a user's words ----------
HOSTILE = "[red]north[/red] \x1b[31mend\x1b[0m\x07 \u202eeod\u202c\r\nlast [link=x]y"


@pytest.mark.parametrize("depth", DEPTHS)
@pytest.mark.parametrize("page", PAGES)
def test_markup_and_escapes_in_names_are_only_letters(depth: Any, page: dict[str, bool]) -> None:
    answers = [row.model_copy(update={"zone": HOSTILE}) for row in ADVICE.programme[:1]]
    said = render(
        changed(programme=answers, options=[SOD.model_copy(update={"zone": HOSTILE, "title": HOSTILE})]),
        width=200,
        depth=depth,
        **page,
    )
    assert "[red]north[/red] [31mend[0m eod" in ESCAPE.sub("", said)
    assert "last [link=x]y" in ESCAPE.sub("", said)
    left = ESCAPE.sub("", said) if page.get("colour") and not page.get("plain") else said
    assert not any(unicodedata.category(letter) in ("Cc", "Cf") and letter != "\n" for letter in left)


def test_notes_show_a_users_words_as_they_are() -> None:
    name = "<b>*north*</b> | `end` # [a](b) \\"
    answers = [row.model_copy(update={"zone": name}) for row in ADVICE.programme[:1]]
    said = render_markdown(changed(programme=answers), depth="full")
    assert r"### \<b\>\*north\*\</b\> \| \`end\` \# \[a\](b) \\, 120 m²" in said
    assert re.search(r"(?<!\\)[<`]", said) is None


@pytest.mark.slow
@settings(max_examples=40, deadline=None)
@given(
    name=st.text(max_size=60),
    width=st.integers(20, 100),
    depth=st.sampled_from(DEPTHS),
    plain=st.booleans(),
    ascii_only=st.booleans(),
)
def test_any_name_keeps_the_page_whole(
    name: str, width: int, depth: Any, plain: bool, ascii_only: bool
) -> None:
    answers = [row.model_copy(update={"zone": name}) for row in ADVICE.programme]
    advice = changed(
        programme=answers, options=[SOD.model_copy(update={"zone": name, "title": name}), RECOVER]
    )
    said = render(advice, width=width, depth=depth, plain=plain, ascii_only=ascii_only)
    assert max(cell_len(line) for line in said.splitlines()) <= width
    assert not any(unicodedata.category(letter) in ("Cc", "Cf") and letter != "\n" for letter in said)
    said.encode("ascii" if ascii_only else "utf-8")
    render_markdown(advice, depth=depth).encode()


# ---------- words ----------
@pytest.mark.parametrize(
    ("early", "late", "said"),
    [
        ("2026-06-29", "2026-07-20", "between 29 June and 20 July 2026."),
        ("2026-06-03", "2026-06-20", "between 3 and 20 June 2026."),
        ("2026-11-29", "2027-03-20", "between 29 November 2026 and 20 March 2027."),
        ("2026-11-29", "2026-11-29", "about 29 November 2026."),
        ("2026-11-29", None, "not before 29 November 2026; how late is not known."),
        (None, "2026-11-29", "by 29 November 2026 at the latest; how early is not known."),
        (None, None, "no date can be given."),
    ],
)
def test_a_date_is_said_as_a_range(early: str | None, late: str | None, said: str) -> None:
    option = SOD.model_copy(update={"full_play": DayRange(early=early, late=late)})
    assert f"Full play: {said}" in flat(render(changed(options=[option, RECOVER]), width=120))


@pytest.mark.parametrize(
    ("visits", "said"),
    [
        (3.0, "in 3 wettings a day"),
        (1.0, "in 1 wetting a day"),
    ],
)
def test_wettings_are_said_as_a_person_counts_them(visits: float, said: str) -> None:
    option = SOD.model_copy(
        update={"water": model.Water(litres_a_day=200, hours_a_day=None, visits_a_day=visits)}
    )
    assert f"about 200 litres each day without rain in the first weeks, {said}." in flat(
        render(changed(options=[option, RECOVER]))
    )


def wetted(
    stage: str, days: tuple[str, str], text: str, zone: str = "goalmouth", pieces: int = 1
) -> Watering:
    fields = {
        "zone": zone,
        "stage": stage,
        "from": days[0],
        "until": days[1],
        "times_a_day": 1,
        "mm_each": 5,
        "times_a_week": 5,
        "mm_a_week": 25,
        "litres_each": None,
        "litres_a_week": None,
        "minutes_each": None,
        "pieces": pieces,
        "text": text,
    }
    return Watering.model_validate(fields)


def test_where_no_area_is_known_the_first_wettings_are_said() -> None:
    option = SOD.model_copy(update={"water": None})
    rows = [
        wetted("until it holds", ("2026-06-02", "2026-06-14"), "Each day without rain: 2 times, 5 mm each time. Lift a corner."),
        wetted("the day it is laid", ("2026-06-01", "2026-06-01"), "25 mm in one go. Soak it through."),
        wetted("until it is up", ("2026-05-02", "2026-05-12"), "Each day without rain: once, 3 mm each time.", zone="middle"),
        wetted("from holding on", ("2026-06-15", "2026-07-14"), "Without rain: about every 3 days, 9 mm."),
    ]  # fmt: skip
    said = flat(render(changed(options=[option, RECOVER], watering=rows), width=200))
    assert (
        "Water: the day it is laid: 25 mm in one go; until it holds: each day without rain: 2 times, 5 mm each time. Less when it rains."
        in said
    )
    bare = flat(render(changed(options=[option, RECOVER])))
    assert "Water: amount not known." in bare


def test_more_hours_than_a_day_has_are_never_said_but_the_parts_in_which_it_is_begun() -> None:
    option = SOD.model_copy(
        update={"water": model.Water(litres_a_day=36_000, hours_a_day=29.7, visits_a_day=2)}
    )
    rows = [
        wetted("until it holds", ("2026-06-02", "2026-06-14"), "Each day without rain: 2 times.", pieces=4)
    ]
    said = flat(render(changed(options=[option, RECOVER], watering=rows), width=200))
    assert "in 2 wettings a day; more than it can run in a day, so begin 4 parts one after another." in said
    assert "29.7 hours" not in said


def test_a_task_of_watering_says_once_how_often() -> None:
    fields = {
        "code": "water/goalmouth",
        "template": "water",
        "zone": "goalmouth",
        "stage": "grow",
        "task": "Water",
        "text": "Without rain: about every 3 days, 9 mm.",
        "from": "2026-06-15",
        "until": "2026-07-14",
    }
    task = Task.model_validate({**fields, "every_days": 5.0})
    assert "About every 5 days." in flat(render(changed(plan=[task]), depth="full"))
    rows = [wetted("from holding on", ("2026-06-15", "2026-07-14"), task.text)]
    assert "About every 5 days." not in flat(render(changed(plan=[task], watering=rows), depth="full"))


def test_a_need_without_words_is_no_line() -> None:
    blank = [row.model_copy(update={"text": ""}) for row in ADVICE.needs]
    said = render(changed(needs=blank), depth="full")
    assert "Needs:" not in said
    assert "What must come with it" not in said.replace("WHAT MUST COME WITH IT", "What must come with it")


def test_a_budget_held_against_foreign_prices_is_said_without_a_sum() -> None:
    bears = reason("fair", "money", "At low prices your budget bears it.", "budget-perhaps")
    option = SOD.model_copy(update={"cost": None, "reasons": [*SOD.reasons, bears]})
    assert (
        "Money: no local price is known; your budget was held against foreign prices, for size only. Ask for quotes."
        in flat(render(changed(options=[option, RECOVER])))
    )


def test_without_any_water_no_amount_is_called_unknown() -> None:
    none = model.Known(key="means.water", value="none", how="told")
    said = render(
        changed(
            options=[SOD.model_copy(update={"water": None}), RECOVER], situation=[*ADVICE.situation, none]
        )
    )
    assert "Water: there is none here: it lives or dies by the rain." in said


def test_american_pages_speak_in_feet_and_gallons() -> None:
    # NIST Handbook 44, appendix C: 1 ft is 0.3048 m, 1 gallon is 3.785411784 litres. So 120 m² is 1,292 ft², 1,430 l is 378 gal.
    place = model.Known(key="place.country", value="US", how="told")
    for said in (render(changed(situation=[*ADVICE.situation, place])), render(ADVICE, system="us")):
        assert "goalmouth, 1,300 ft²" in said
        assert "about 380 gallons each day without rain" in flat(said)
    assert "goalmouth, 120 m²" in render(changed(situation=[*ADVICE.situation, place]), system="metric")


def test_what_is_not_known_is_said_and_not_left_out() -> None:
    bare = SOD.model_copy(
        update=dict.fromkeys(("light_use", "full_play", "cost", "water", "labour_hours", "claim"))
    )
    said = render(changed(options=[bare, RECOVER]))
    for line in (
        "Light use: no date can be given.",
        "Full play: no date can be given.",
        "Money: not known. Ask for quotes.",
        "Work: hours not known.",
        "Water: amount not known.",
    ):
        assert line in said


# ---------- the fate of the date, conditions, meanwhile ----------
@pytest.mark.parametrize("depth", DEPTHS)
def test_the_fate_of_the_date_is_said_first(depth: Any) -> None:
    lines = [line for line in render(ADVICE, width=200, depth=depth, plain=True).splitlines() if line]
    assert lines[:3] == [
        "Advice for Galway, 1 May 2026",
        FATE.text,
        "In short: goalmouth: repair the worn parts; middle: let the standing grass recover; square [red]: leave it alone.",
    ]
    assert lines[3].startswith("First tell: ")


def test_without_a_date_none_is_spoken_of() -> None:
    answer = model.Answer(
        zone="goalmouth",
        area_m2=120,
        decision="none sound",
        option=None,
        least_bad=SEED.code,
        text="Nothing sound can be done with what there is.",
    )
    undated = [row for row in ADVICE.situation if row.key != "dates.play_by"]
    said = render(changed(decision="none sound", programme=[answer], fate=None, situation=undated))
    assert "In short: nothing sound can be done with what there is; the least bad is named." in flat(said)
    assert "by the date" not in said.split("TODAY")[0]
    assert "nothing sound can be done by the date" in flat(
        render(changed(decision="none sound", programme=[answer]))
    )


def test_a_choice_on_conditions_names_three_in_short_and_all_in_full() -> None:
    short, full = (flat(render(ADVICE, width=200, depth=depth)) for depth in ("short", "full"))  # type: ignore[arg-type]
    for said in (short, full):
        assert "from 1 June 2026 — sound if the following holds." in said
    for n, condition in enumerate(RESTS_ON):
        assert (f"Only if: {condition}." in short) is (n < 3)
        assert f"Only if: {condition}." in full
    assert "could still rule" not in full


@pytest.mark.parametrize(
    ("verdict", "said"),
    [
        ("sound", "sound if the following holds."),
        ("late", "late, and only if the following holds."),
        ("risky", "risky, and only if the following holds."),
    ],
)
def test_conditions_are_said_with_every_verdict_that_has_them(verdict: str, said: str) -> None:
    assert f"— {said}" in flat(
        render(changed(options=[SOD.model_copy(update={"verdict": verdict}), RECOVER]), width=120)
    )


def test_a_choice_and_a_proposal_speak_with_one_voice() -> None:
    lines = render(ADVICE, width=200, plain=True).splitlines()
    assert sum(line.endswith("— sound if the following holds.") for line in lines) == 3
    assert sum(line.strip().startswith("- Only if: ") for line in lines) == 3 + 1


def test_a_proposal_that_is_sound_if_always_says_if_what() -> None:
    judged = model.ProposalJudged(
        asked="Roll it", judgement="sound-if", conditions=[], reasons=[], cautions=[], better=[]
    )
    said = flat(render(changed(proposals=[judged])))
    assert (
        "Roll it — sound if the following holds. - Only if: no answer that is still missing speaks against it."
        in said
    )


def test_a_long_list_of_conditions_of_a_proposal_is_cut_in_the_short_form_alone() -> None:
    judged = model.ProposalJudged(
        asked="Roll it",
        judgement="sound-if",
        conditions=[f"thing {n} holds" for n in range(9)],
        reasons=[],
        cautions=[],
        better=[],
    )
    short, full = (flat(render(changed(proposals=[judged]), depth=depth)) for depth in ("short", "full"))  # type: ignore[arg-type]
    assert "Only if: thing 5 holds. - and 3 more; the full advice lists them." in short
    assert "Only if: thing 8 holds." in full


def test_what_is_done_meanwhile_and_when_new_grass_is_possible() -> None:
    short, full = (flat(render(ADVICE, width=200, depth=depth)) for depth in ("short", "full"))  # type: ignore[arg-type]
    for n, line in enumerate(MEANWHILE):
        assert (f"- {line}" in short) is (n < 3)
        assert f"- {line}" in full
    for said in (short, full):
        assert "Meanwhile, this season: - Train elsewhere" in said
        assert INSTEAD in said
        assert WINDOW.text in said
    idle = ADVICE.programme[2].model_copy(
        update={"decision": "nothing to do", "meanwhile": ["Put divots back."]}
    )
    assert "This season: - Put divots back." in flat(render(changed(programme=[idle])))


def test_what_follows_a_stopgap_and_is_barred_by_the_date_alone_is_late() -> None:
    barred = reason("ruled-out", "ready-in-time", "The date cannot move.")
    answer = model.Answer(
        zone="goalmouth",
        area_m2=120,
        decision="stopgap then renovate",
        option=SEED.code,
        stopgap=SOD.code,
        text="Two steps.",
    )
    late = SEED.model_copy(update={"verdict": "ruled-out", "reasons": [barred]})
    said = flat(render(changed(programme=[answer], options=[SOD, late]), width=120))
    assert "Then: Kentucky bluegrass by broadcast seed, on or about 1 September 2026 — late." in said
    assert "Against: The date cannot move." in said
    more = late.model_copy(update={"reasons": [barred, reason("ruled-out", "chemicals", "Barred.")]})
    assert "— ruled out." in render(changed(programme=[answer], options=[SOD, more]), width=120)


def test_a_last_day_to_decide_after_the_start_counts_for_who_begins_later() -> None:
    said = render(changed(options=[SOD.model_copy(update={"decide_by": "2026-06-20"}), RECOVER]))
    assert "If it is put off: decide by 20 June 2026 at the latest." in said
    assert "Decide by: " not in said
    assert "Decide by: 10 May 2026." in render(ADVICE)


def test_grades_stand_with_both_ends() -> None:
    rows = {
        "ready-in-time": model.GradeRow(grade="lost", best="doubtful", reason="It comes too late."), "risk": model.GradeRow(grade="poor", best="poor", reason="It may die."),
        "money": model.GradeRow(grade="doubtful", best="fair", reason="Ask for quotes."),
    }  # fmt: skip
    reasons = [
        reason("lost", "ready-in-time", "It comes too late."),
        reason("poor", "risk", "It may die."),
        reason("doubtful", "money", "Ask for quotes."),
    ]
    option = SOD.model_copy(update={"verdict": "late", "grades": rows, "reasons": reasons})
    lines = [
        " ".join(line.split())
        for line in render(changed(options=[option, RECOVER]), width=200, depth="reasons").splitlines()
    ]
    assert "ready in time lost doubtful It comes too late." in lines
    assert "risk poor poor It may die." in lines
    assert "money doubtful fair Ask for quotes." in lines
    said = " ".join(lines)
    assert "lost, poor, weak, unknown, doubtful, fair, strong" in said
    for label in ("Against (lost), ready in time: ", "Against (poor), risk: ", "Doubt (doubtful), money: "):
        assert label in said


def test_all_options_that_are_sound_on_conditions_stand_together_with_them() -> None:
    said = flat(render(ADVICE, width=300, depth="full"))
    assert (
        "Sound if the following holds Only if: nothing was sprayed there in the last months; the soil is not salty; the water is not salty; and 1 more."
        in said
    )


def test_what_was_worked_out_is_said_without_codes() -> None:
    rows = [
        model.Known(key="place.region", value="ie-c", how="computed"), model.Known(key="climate", value="cool-humid", how="computed"),
        model.Known(key="place.first_frost", value="11-19", how="computed"), model.Known(key="zone.north-end.keep_off", value=False, how="assumed"),
    ]  # fmt: skip
    answers = [ADVICE.programme[0].model_copy(update={"zone": "North end"})]
    said = flat(
        render(changed(situation=[*ADVICE.situation, *rows], programme=answers), width=200, depth="full")
    )
    for sentence in (
        "Place region: IE-C, worked out.",
        "Climate: cool humid, worked out.",
        "Place first frost: 19 November, worked out.",
        "North end: keep off: no, assumed.",
    ):
        assert sentence in said, sentence


def test_nothing_sound_is_said_first_with_the_least_bad() -> None:
    answer = model.Answer(
        zone="goalmouth",
        area_m2=120,
        decision="none sound",
        option=None,
        least_bad=SEED.code,
        text="Nothing sound can be ready. The next window opens in September.",
    )
    said = render(changed(decision="none sound", programme=[answer]))
    assert "Nothing sound can be ready. The next window opens in September." in flat(said)
    assert "Least bad: Kentucky bluegrass by broadcast seed" in said
    assert "Do this" not in said
    assert said.index("Nothing sound can") < said.index("Least bad:")


def test_a_stopgap_stands_before_what_lasts() -> None:
    answer = model.Answer(
        zone="goalmouth",
        area_m2=120,
        decision="stopgap then renovate",
        option=SEED.code,
        stopgap=SOD.code,
        text="Two steps.",
    )
    said = render(changed(programme=[answer]))
    assert said.index("Stopgap now: Perennial") < said.index("Then: Kentucky")


def test_one_part_alone_is_not_named_again_and_again() -> None:
    said = render(changed(programme=ADVICE.programme[:1], fate=None), depth="full")
    assert "goalmouth:" not in said
    assert "(goalmouth)" not in said


def test_a_cause_of_several_parts_is_said_once() -> None:
    twice = [*ADVICE.causes, ADVICE.causes[0].model_copy(update={"zone": "middle"})]
    said = flat(render(changed(causes=twice)))
    assert said.count("The keeper stands there all week.") == 1
    assert "goalmouth and middle: The keeper stands there all week." in said


def test_untried_questions_are_listed_and_the_rest_counted() -> None:
    rows = [model.UnknownRow(key=f"k{n}", changes_first_choice=None, text=f"Question {n}?") for n in range(9)]
    short, full = render(changed(unknown=rows)), render(changed(unknown=rows), depth="full")
    assert "Question 5?" in short
    assert "Question 6?" not in short
    assert "and 3 more; the full advice lists them." in short
    assert "Question 8?" in full
    assert "more; the" not in full


# ---------- which reasons ----------
def test_chief_reasons_are_the_best_for_and_the_worst_against() -> None:
    # By hand: ready-in-time stands before fits-place in the order of the grades; the one weak mark is money.
    assert [row.text for row in chief_reasons(SOD)] == [
        "Even in a slow year it is ready five weeks early.",
        "It is at home here.",
        "Thick sod is dear.",
    ]


def test_what_rules_out_comes_before_every_weak_mark() -> None:
    rows = [
        reason("weak", "fits-place", "Weak here."),
        reason("ruled-out", "chemicals", "Barred."),
        reason("strong", "money", "Cheap."),
    ]
    option = SOD.model_copy(update={"verdict": "ruled-out", "reasons": rows})
    assert [row.text for row in chief_reasons(option)] == ["Barred.", "Weak here.", "Cheap."]
    assert first_reason(option) == "Barred."


def test_a_risky_option_says_its_risk_first() -> None:
    rows = [reason("weak", "fits-place", "Weak here."), reason("weak", "risk", "Winter may take it.")]
    option = SOD.model_copy(update={"verdict": "risky", "reasons": rows, "unknown": [], "rests_on": []})
    assert first_reason(option) == "Winter may take it."
    assert "Against: Winter may take it." in render(changed(options=[option, RECOVER]))


def test_every_decision_and_verdict_has_its_words() -> None:
    for decision in Decision.__args__:  # type: ignore[attr-defined]
        assert "In short: " in render(changed(decision=decision))
    for verdict in Verdict.__args__:  # type: ignore[attr-defined]
        said = render(
            changed(options=[SOD.model_copy(update={"verdict": verdict, "rests_on": []}), RECOVER]), width=120
        )
        assert f"— {verdict.replace('-', ' ')}." in said
