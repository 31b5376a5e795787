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
from samples import ADVICE, CAUTIONS, RECOVER, SEED, SOD, reason

from decide import advice as model
from decide.report import text
from decide.report.notes import render_markdown
from decide.report.text import chief_reasons, first_reason, render
from tests.shared import sampled

SCREENS = Path(__file__).parents[1] / "screens"
DEPTHS = ("short", "full", "reasons")
PAGES: tuple[dict[str, bool], ...] = ({}, {"colour": True}, {"ascii_only": True}, {"plain": True}, {"plain": True, "colour": True, "ascii_only": True})
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
    assert render_markdown(ADVICE, depth="short") == (SCREENS / "advice_notes.txt").read_text(encoding="utf-8")


# ---------- every page ----------
@pytest.mark.parametrize("depth", DEPTHS)
@pytest.mark.parametrize("width", [20, 40, 59, 60, 80, 132])
@pytest.mark.parametrize("page", sampled(PAGES, 3))
def test_no_line_is_wider_than_the_page_and_nothing_is_cut(depth: Any, width: int, page: dict[str, bool]) -> None:
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
    assert text.RULER in said


@pytest.mark.parametrize("depth", DEPTHS)
def test_every_caution_stands_in_the_notes(depth: Any) -> None:
    said = render_markdown(ADVICE, depth=depth)
    for row in CAUTIONS:
        assert row.text in said, row.code
    assert text.RULER in said


@pytest.mark.slow
@pytest.mark.parametrize("at", ["site", "choice", "stopgap", "least-bad", "two-parts", "proposal", "today", "choice-today", "no-text"])
@pytest.mark.parametrize("depth", DEPTHS)
def test_a_caution_is_shown_wherever_it_comes_from(at: str, depth: Any) -> None:
    row = model.Caution(code="deep-water", text="The ditch is deep.", who_decides="the owner", sources=[])
    rows = [] if at == "no-text" else [row]
    first = SOD.model_copy(update={"cautions": ["deep-water"] if at in ("choice", "choice-today", "two-parts", "no-text") else []})
    second = RECOVER.model_copy(update={"cautions": ["deep-water"] if at == "two-parts" else []})
    other = SEED.model_copy(update={"cautions": ["deep-water"] if at in ("stopgap", "least-bad") else []})
    answers = [
        model.Answer(
            zone="goalmouth", area_m2=1, decision="repair", option=None if at == "least-bad" else SOD.code, text="So.",
            stopgap=SEED.code if at == "stopgap" else None, least_bad=SEED.code if at == "least-bad" else None,
        ),
        model.Answer(zone="middle", area_m2=1, decision="recover", option=RECOVER.code, text="So."),
    ]  # fmt: skip
    judged = model.ProposalJudged(asked="Roll it", judgement="sound", conditions=[], reasons=[], cautions=["deep-water"], better=[])
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
    for name, value in {"NO_COLOR": "1", "COLUMNS": "33", "TERM": "dumb", "FORCE_COLOR": "1", "LINES": "4"}.items():
        monkeypatch.setenv(name, value)
    assert render(ADVICE, depth="reasons", colour=True) == before


def test_a_deeper_page_holds_all_of_a_shorter_one() -> None:
    pages = [render(ADVICE, width=200, depth=depth, plain=True).splitlines() for depth in DEPTHS]  # type: ignore[arg-type]
    gone = {"One more question is open; no answer would change the choice.", "One answer was assumed, not told. The full advice lists what."}
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
    said = render(changed(programme=answers, options=[SOD.model_copy(update={"zone": HOSTILE, "title": HOSTILE})]), width=200, depth=depth, **page)
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
@given(name=st.text(max_size=60), width=st.integers(20, 100), depth=st.sampled_from(DEPTHS), plain=st.booleans(), ascii_only=st.booleans())
def test_any_name_keeps_the_page_whole(name: str, width: int, depth: Any, plain: bool, ascii_only: bool) -> None:
    answers = [row.model_copy(update={"zone": name}) for row in ADVICE.programme]
    advice = changed(programme=answers, options=[SOD.model_copy(update={"zone": name, "title": name}), RECOVER])
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
    option = SOD.model_copy(update={"full_play": model.DayRange(early=early, late=late)})
    assert f"Full play: {said}" in flat(render(changed(options=[option, RECOVER]), width=120))


@pytest.mark.parametrize(
    ("visits", "said"),
    [(3.0, "in 3 visits a day"), (1.0, "in 1 visit a day"), (0.33, "one visit every 3 days"), (0.5, "one visit every 2 days"), (2.5, "in 2.5 visits a day")],
)
def test_visits_are_said_as_a_person_counts_them(visits: float, said: str) -> None:
    option = SOD.model_copy(update={"water": model.Water(litres_a_day=200, hours_a_day=None, visits_a_day=visits)})
    assert f"about 200 litres a day in the first weeks, {said}." in flat(render(changed(options=[option, RECOVER])))


def test_no_water_is_not_said_as_a_figure() -> None:
    option = SOD.model_copy(update={"water": model.Water(litres_a_day=0, hours_a_day=None, visits_a_day=0)})
    said = flat(render(changed(options=[option, RECOVER])))
    assert "Water: in a normal year rain covers what it needs." in said
    assert " 0 litres" not in said


def test_american_pages_speak_in_feet_and_gallons() -> None:
    # NIST Handbook 44, appendix C: 1 ft is 0.3048 m, 1 gallon is 3.785411784 litres. So 120 m² is 1,292 ft², 1,430 l is 378 gal.
    place = model.Known(key="place.country", value="US", how="told")
    for said in (render(changed(situation=[*ADVICE.situation, place])), render(ADVICE, system="us")):
        assert "goalmouth, 1,300 ft²" in said
        assert "about 380 gallons a day" in flat(said)
    assert "goalmouth, 120 m²" in render(changed(situation=[*ADVICE.situation, place]), system="metric")


def test_what_is_not_known_is_said_and_not_left_out() -> None:
    bare = SOD.model_copy(update=dict.fromkeys(("light_use", "full_play", "cost", "water", "labour_hours", "claim")))
    said = render(changed(options=[bare, RECOVER]))
    for line in ("Light use: no date can be given.", "Full play: no date can be given.", "Money: not known. Ask for quotes.", "Work: hours not known.", "Water: amount not known."):
        assert line in said


def test_nothing_sound_is_said_first_with_the_least_bad() -> None:
    answer = model.Answer(zone="goalmouth", area_m2=120, decision="none sound", option=None, least_bad=SEED.code, text="Nothing sound can be ready. The next window opens in September.")
    said = render(changed(decision="none sound", programme=[answer]))
    assert "Nothing sound can be ready. The next window opens in September." in flat(said)
    assert "Least bad: Kentucky bluegrass by broadcast seed" in said
    assert "Do this" not in said
    assert said.index("Nothing sound can") < said.index("Least bad:")


def test_a_stopgap_stands_before_what_lasts() -> None:
    answer = model.Answer(zone="goalmouth", area_m2=120, decision="stopgap then renovate", option=SEED.code, stopgap=SOD.code, text="Two steps.")
    said = render(changed(programme=[answer]))
    assert said.index("Stopgap now: Perennial") < said.index("Then: Kentucky")


def test_one_part_alone_is_not_named_again_and_again() -> None:
    said = render(changed(programme=ADVICE.programme[:1]), depth="full")
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
    assert [row.text for row in chief_reasons(SOD)] == ["Even in a slow year it is ready five weeks early.", "It is at home here.", "Thick sod is dear."]


def test_what_rules_out_comes_before_every_weak_mark() -> None:
    rows = [reason("weak", "fits-place", "Weak here."), reason("ruled-out", "chemicals", "Barred."), reason("strong", "money", "Cheap.")]
    option = SOD.model_copy(update={"verdict": "ruled-out", "reasons": rows})
    assert [row.text for row in chief_reasons(option)] == ["Barred.", "Weak here.", "Cheap."]
    assert first_reason(option) == "Barred."


def test_a_risky_option_says_its_risk_first() -> None:
    rows = [reason("weak", "fits-place", "Weak here."), reason("weak", "risk", "Winter may take it.")]
    option = SOD.model_copy(update={"verdict": "risky", "reasons": rows, "unknown": []})
    assert first_reason(option) == "Winter may take it."
    assert "Against: Winter may take it." in render(changed(options=[option, RECOVER]))


def test_every_decision_and_verdict_has_its_words() -> None:
    for decision in model.Decision.__args__:  # type: ignore[attr-defined]
        assert "In short: " in render(changed(decision=decision))
    for verdict in model.Verdict.__args__:  # type: ignore[attr-defined]
        said = render(changed(options=[SOD.model_copy(update={"verdict": verdict}), RECOVER]), width=120)
        assert f"— {verdict.replace('-', ' ')}." in said
