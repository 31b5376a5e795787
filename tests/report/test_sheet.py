"""The sheet that is hung up: few words, all cautions of its work, pictures that can be read, and two pages behind it."""

from __future__ import annotations

import datetime as dt
import re
import xml.etree.ElementTree as ET
from collections.abc import Iterator
from typing import Any

import html5lib
import pytest
from papers_samples import FULL, flat, renamed
from rich.cells import cell_len

from decide.answer.assemble import advice_of
from decide.model import advice as model
from decide.model.advice import Advice
from decide.model.field_plan import Box, FieldPlan, PartDrawn
from decide.report.field_svg import drawn, plan_said
from decide.report.html import render_html
from decide.report.pages import printed
from decide.report.poster import MOST_WORDS, Lane, MarkedPlan, WorkLine, words_in
from decide.report.timeline import Days, Row, Stretch
from decide.report.work_line_svg import line_said, work_line
from tests.shared import BANK, case_codes, consulted

# So many words fit on a printed page at the size in which the two pages behind the sheet are set: measured, 1,054
# of them took five sixths of a Letter page.
PAGE_BEARS = 1100
FEW = ("york-school-closed-summer", "au-melbourne-oval-change")


def tree(advice: Advice) -> ET.Element:
    found: ET.Element = html5lib.HTMLParser(strict=True, namespaceHTMLElements=False).parse(
        render_html(advice)
    )
    return found


def seen(part: ET.Element) -> Iterator[str]:
    """What the eye meets on paper: without what is for ears, for phones, and without a picture's title."""
    names = (part.get("class") or "").split()
    if part.tag.rpartition("}")[2] in ("title", "desc", "style") or {"narrow-only", "label", "named"} & set(
        names
    ):
        return
    yield part.text or ""
    for child in part:
        yield from seen(child)
        yield child.tail or ""
        yield " "


def front(advice: Advice) -> str:
    """The words of page one."""
    whole = tree(advice)
    header = next(whole.iter("header"))
    sheet = next(each for each in whole.iter("section") if each.get("id") == "sheet")
    return flat(" ".join((*seen(header), *seen(sheet))))


def behind(advice: Advice) -> list[str]:
    """The words of the pages behind it."""
    found = [each for each in tree(advice).iter("div") if each.get("class") == "behind"]
    return [flat(" ".join(seen(each))) for each in found]


def unsaid(advice: Advice) -> list[str]:
    """What the three printed pages leave out of cautions: each stands on the last of them with who decides."""
    said = " ".join(behind(advice))
    gone = []
    for row in (*advice.today, *advice.cautions):
        first = flat(row.text).partition(". ")[0].rstrip(".")
        if first not in said or flat(row.who_decides).rstrip(".") not in said:
            gone.append(row.code)
    poster = front(advice)
    named = sum((row.name or row.code.replace("-", " ")) in poster for row in advice.cautions)
    more = re.search(r"and (\d+) more In full, and who decides", poster)
    today = {row.code for row in advice.today}
    if more and int(more[1]) + named < len([row for row in advice.cautions if row.code not in today]):
        gone.append("not counted on the sheet")
    return gone


def crowded(parts: int) -> Advice:
    """An advice for a field of so many parts, each with work of its own."""
    sod = FULL.options[0]
    names = [f"part number {n}" for n in range(parts)]
    options = [
        sod.model_copy(update={"zone": name, "code": f"{name}/{sod.code}", "title": f"{sod.title} {n}", "start": f"2026-06-{n + 1:02}"})
        for n, name in enumerate(names)
    ]  # fmt: skip
    answers = [
        FULL.programme[0].model_copy(update={"zone": option.zone, "option": option.code})
        for option in options
    ]
    tasks = [
        task.model_copy(update={"zone": name, "code": f"{task.template}/{name}"})
        for task in FULL.plan if task.zone for name in names
    ]  # fmt: skip
    return FULL.model_copy(update={"options": options, "programme": answers, "plan": tasks})


# ---------- few words, and nothing lost ----------
def test_page_one_says_little_and_what_matters() -> None:
    said = front(FULL)
    assert words_in(said) <= MOST_WORDS
    for words in (
        "Turf plan: Galway", "Wanted 2026 1 Jul", "Today, before anything else", "Shut the field today. Who decides: the owner of the ground.", "By 1 July 2026 (goalmouth): training yes",
        "Perennial ryegrass by thick-cut sod", "Sound if 4 things hold: page 2.", "Start 2026 1 Jun", "Training 2026 8 Jun to 22 Jun", "Matches 2026 29 Jun to 20 Jul", "This week", "☐ Mark services (by 20 May). How to mark services.",
        "Water and mow", "1–14 Jun, 2 × a day, 5 mm.", "15 Jun–10 Aug, every 7 days.", "A date is not a test: it opens when these pass", "Tug test", "Who decides", "Opens and shuts it name number", "Take care",
        "Does not fit: goalmouth: Three days are missing before the start.", "May it open today? Light use", "The label, local law and licensed people rule over this page.",
    ):  # fmt: skip
        assert words in said, words


@pytest.mark.slow
@pytest.mark.parametrize("parts", [0, 1, 4, 9, 16])
def test_page_one_bears_any_number_of_parts(parts: int) -> None:
    advice = crowded(parts)
    assert words_in(front(advice)) <= MOST_WORDS
    assert unsaid(advice) == []


def test_each_caution_stands_on_the_pages_with_who_decides() -> None:
    assert unsaid(FULL) == []
    assert unsaid(renamed("a part with rather a long name of its own")) == []


def test_a_caution_that_goes_is_missed(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("decide.report.sections.behind._dangers", lambda told: ())
    assert "sod-weight" in unsaid(FULL)


def test_many_long_cautions_keep_their_first_sentence_and_who_decides() -> None:
    long = [
        model.Caution(code=f"c-{n}", name=f"danger {n}", text=f"Keep off number {n}. {'It is so. ' * 20}", who_decides=f"owner {n}", sources=[])
        for n in range(30)
    ]  # fmt: skip
    advice = FULL.model_copy(update={"cautions": long, "plan": [], "shopping": []})
    assert unsaid(advice) == []
    assert max(map(words_in, behind(advice))) <= PAGE_BEARS


def test_two_pages_stand_behind_it_and_each_fits_its_page() -> None:
    pages = behind(FULL)
    assert len(pages) == 2
    assert max(map(words_in, pages)) <= PAGE_BEARS
    for words in ("Even in a slow year it is ready five weeks early.", "Only if: nothing was sprayed there in the last months; the soil is not salty", "Thick-cut sod", "126 to 132 m²", "10 May 2026", "1,210 to 2,390 euros", "A failed laying costs the sod again and 50 days."):  # fmt: skip
        assert words in pages[0], words
    for words in ("Pull a handful of leaves.", "at most 1 lifts", "Sod lifts. Keep off and water.", "Who decides: the maker's manual."):  # fmt: skip
        assert words in pages[1], words


def test_the_same_order_of_today_stands_once_where_its_reasons_are_left_out() -> None:
    shut = FULL.today[0]
    today = [
        shut.model_copy(update={"text": f"Shut the field today. {why * 12}"})
        for why in ("Glass lies there. ", "A hole is open. ")
    ]
    advice = FULL.model_copy(update={"today": today})
    assert front(advice).count("Shut the field today.") == 1
    assert behind(advice)[1].count("Shut the field today.") == 2


def test_where_nothing_is_chosen_the_sheet_asks_and_says_what_to_do_this_season() -> None:
    advice = crowded(0).model_copy(
        update={
            "programme": [
                FULL.programme[1].model_copy(update={"option": None, "text": "Nothing can be named yet."})
            ]
        }
    )
    said = front(advice)
    for words in ("middle: Nothing can be named yet.", "First tell Was anything sprayed in the last six months?", "This season Next real time for new grass: Kentucky bluegrass by broadcast seed"):  # fmt: skip
        assert words in said, words
    assert "Cut hours until it thickens." in said


def test_the_second_page_says_where_nothing_lasting_is_chosen() -> None:
    first = FULL.programme[0]
    answer = first.model_copy(
        update={"option": None, "stopgap": first.option, "text": "No lasting grass by then."}
    )
    advice = FULL.model_copy(update={"programme": [answer, *FULL.programme[1:]]})
    assert "Stopgap now: Perennial ryegrass by thick-cut sod" in front(advice)
    assert "No lasting grass by then." in behind(advice)[0]


def test_each_job_of_the_plan_stands_on_the_second_page() -> None:
    said = behind(FULL)[0]
    for task in FULL.plan:
        assert (task.task in said) == (task.done is None), task.code


def _sampled() -> list[Any]:
    return [
        pytest.param(code, marks=() if code in FEW else BANK)
        for n, code in enumerate(case_codes())
        if code in FEW or n % 11 == 0
    ]


@pytest.mark.slow
@pytest.mark.parametrize("code", _sampled())
def test_a_case_of_the_bank_fits_its_three_pages(code: str) -> None:
    advice = advice_of(consulted(code))
    assert words_in(front(advice)) <= MOST_WORDS
    assert max(map(words_in, behind(advice))) <= PAGE_BEARS
    assert unsaid(advice) == []


# ---------- the drawn line ----------
LINE = WorkLine(
    today=dt.date(2026, 7, 6), last=dt.date(2027, 7, 1),
    rows=(Row("A", (Stretch("good", dt.date(2026, 8, 1), dt.date(2026, 9, 20), ()), Stretch("fair", dt.date(2026, 9, 21), dt.date(2026, 10, 9), ()))),),
    frost_kind="usual", frosts=(), cold=((dt.date(2026, 10, 20), dt.date(2026, 11, 20), False), (dt.date(2026, 11, 21), dt.date(2027, 3, 20), True)),
    lanes=(
        Lane("A", "goalmouths, sod", dt.date(2026, 7, 8), dt.date(2026, 7, 12), Days(dt.date(2026, 8, 1), dt.date(2026, 8, 17)), Days(dt.date(2026, 8, 8), dt.date(2026, 9, 6)), None),
        Lane("B", "middle, seed", dt.date(2026, 7, 6), dt.date(2026, 10, 24), None, Days(None, dt.date(2027, 6, 11)), dt.date(2027, 6, 20)),
    ),
    wanted=dt.date(2026, 10, 10),
)  # fmt: skip


@pytest.mark.parametrize("narrow", [False, True])
@pytest.mark.parametrize("wanted", ["2026-07-07", "2026-10-10", "2027-06-29", "2028-01-01", ""])
def test_words_of_the_line_do_not_touch_and_can_be_read(narrow: bool, wanted: str) -> None:
    from dataclasses import replace

    day = dt.date.fromisoformat(wanted) if wanted else None
    canvas, wide, high = work_line(replace(LINE, wanted=day), narrow=narrow)
    spots: list[tuple[float, float, float, float, str]] = []
    for shape in canvas.shapes:
        if shape.kind != "text":
            continue
        assert shape.size >= 11
        long = cell_len(shape.said) * shape.size * 0.5
        left = {"start": shape.x, "middle": shape.x - long / 2, "end": shape.x - long}[shape.anchor]
        assert left >= 0, shape.said
        assert left + long <= wide, shape.said
        assert 0 < shape.y < high
        here = (left, left + long, shape.y - shape.size * 0.7, shape.y, shape.said)
        for other in spots:
            apart = here[1] <= other[0] or other[1] <= here[0] or here[3] <= other[2] or other[3] <= here[2]
            assert apart, (here, other)
        spots.append(here)


def test_the_line_is_said_for_ears_and_shows_each_kind_of_day_by_its_pattern() -> None:
    assert line_said(LINE) == (
        "Today is 6 July 2026. A, goalmouths, sod: prepared from 8 July 2026; begun on 12 July 2026; training between 1 and 17 August 2026; "
        "matches between 8 August and 6 September 2026. B, middle, seed: prepared from 6 July 2026; begun on 24 October 2026; "
        "matches by 11 June 2027 at the latest; how early is not known; frost takes it about 20 June 2027. Play is wanted by 10 October 2026."
    )
    canvas, *_ = work_line(LINE)
    fills = {shape.fill for shape in canvas.shapes if shape.kind == "rect"}
    assert {
        canvas.fill(name)
        for name in ("prepare", "care", "training", "maybe", "window", "fair", "frost", "may-frost")
    } <= fills


def test_matches_are_never_drawn_as_sure_before_the_late_day() -> None:
    canvas, wide, _ = work_line(LINE)
    sure = min(shape.x for shape in canvas.shapes if shape.kind == "rect" and shape.fill == "#1a1a1a")
    # 6 September is day 62 of 361 on an axis from 64 to 710.
    assert abs(sure - (64 + (wide - 74) * 62 / 361)) < 1


# ---------- the plan of the field ----------
def plan(*names: str, shape: str = "rectangle", boxes: tuple[float, ...] = (0, 100, 0, 100)) -> MarkedPlan:
    box = Box(along_from=boxes[0], along_to=boxes[1], across_from=boxes[2], across_to=boxes[3])
    parts = [PartDrawn(zone=name, boxes=[box] if name != "behind the bank" else []) for name in names]
    found = FieldPlan.model_validate(
        {"sport": "football pitch", "shape": shape, "length_m": 100, "width_m": 50, "size": "told", "goals": True, "parts": parts}
    )  # fmt: skip
    letters = tuple((name, letter) for name, letter in zip(names, "ABC", strict=False))
    return MarkedPlan(found, letters, "")


def test_the_plan_is_in_proportion_and_says_what_it_shows() -> None:
    canvas, high = drawn(plan("middle", "behind the bank"))
    outline = next(shape for shape in canvas.shapes if shape.kind == "path")
    wide, tall = re.fullmatch(r"M12 12h([\d.]+)v([\d.]+)h.*", outline.d).groups()  # type: ignore[union-attr]
    assert float(wide) == 2 * float(tall)
    assert high == float(tall) + 24
    assert (
        plan_said(plan("middle", "behind the bank"))
        == "football pitch middle, A. Not drawn: behind the bank."
    )


def test_each_letter_has_a_pattern_of_its_own_and_stands_on_it() -> None:
    canvas, _ = drawn(plan("one", "two", "three"))
    assert [shape.said for shape in canvas.shapes if shape.kind == "text"] == ["A", "B", "C"]
    looks = {(each.side, each.lines, each.ink) for each in canvas.patterns}
    assert len(looks) == len(canvas.patterns)


@pytest.mark.parametrize("name", ['</text><script>alert("x")</script>', "a & b", "\x1b[31mred", "\u202eevil"])
def test_a_user_s_words_are_only_words_on_the_sheet(name: str) -> None:
    given = renamed(name)
    found = plan(name).plan
    text = render_html(given.model_copy(update={"field_plan": found}))
    parsed = html5lib.HTMLParser(strict=True, namespaceHTMLElements=False).parse(text)
    assert not list(parsed.iter("script"))
    assert "\x1b" not in text
    assert "\u202e" not in text


def test_same_advice_same_sheet() -> None:
    assert printed(FULL) == printed(FULL)
