"""The season: what is put into it, and its picture in letters, sentences and SVG. Pictures were drawn by hand first."""

from __future__ import annotations

import datetime as dt
import re
import subprocess
import sys
import xml.etree.ElementTree as ET
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from rich.cells import cell_len
from samples import ADVICE, RECOVER, SEED, SOD

from decide.consult import Adviser
from decide.measure.window import Window, Windows
from decide.model import advice as model
from decide.model.reading import read_situation
from decide.model.row import DayRange
from decide.model.seasons import FrostDays, Leading, NoWindow, Season, SeasonWeek, SeasonWindow
from decide.report.markdown import render_markdown
from decide.report.season_picture import season_sentences, season_svg, season_text
from decide.report.text import render

SCREENS = Path(__file__).parents[1] / "screens"
# By month, January first: mean in C, and cool- and warm-season growth as a share of full growth.
MEAN = (4, 4, 6, 8, 11, 14, 16, 16, 14, 11, 7, 5)
COOL = (0, 0, 0.25, 0.5, 0.75, 1, 1, 1, 0.75, 0.5, 0.25, 0)
WARM = (0, 0, 0, 0, 0, 0.1, 0.25, 0.25, 0, 0, 0, 0)

# Millimetres a week: rain, and what turf uses.
RAIN = (30, 25, 22, 18, 18, 19, 20, 24, 25, 30, 30, 32)
NEED = (2, 4, 8, 13, 18, 21, 20, 17, 11, 6, 3, 1)


def weeks(first: str, count: int = 53) -> list[SeasonWeek]:
    """Weeks that each take the figures of the month in which they begin."""
    days = [dt.date.fromisoformat(first) + dt.timedelta(days=7 * n) for n in range(count)]
    return [
        SeasonWeek(
            first=d.isoformat(),
            mean_c=MEAN[d.month - 1],
            growth_cool=COOL[d.month - 1],
            growth_warm=WARM[d.month - 1],
            rain_mm=RAIN[d.month - 1],
            need_mm=NEED[d.month - 1],
        )
        for d in days
    ]


def window(
    quality: str,
    opens: str,
    closes: str,
    name: str = "Perennial ryegrass, thick sod",
    why: tuple[str, str] = ("another-window", "another-window"),
) -> SeasonWindow:
    return SeasonWindow.model_validate({
        "grass": name.split(",", maxsplit=1)[0].lower().replace(" ", "-"), "start": "thick-sod", "name": name, "quality": quality, "opens": opens, "closes": closes,
        "why_opens": why[0], "why_closes": why[1],
    })  # fmt: skip


def leading(option: model.Option, role: str, name: str) -> Leading:
    return Leading.model_validate({"option": option.code, "zone": option.zone, "role": role, "name": name})


SEASON = Season(
    today="2026-05-01", first_day="2026-05-01", last_day="2027-04-30", weeks=weeks("2026-05-01"), frost_kind="usual",
    first_frost=FrostDays(early="2026-10-16", median="2026-11-04", late="2026-11-23"),
    last_frost=FrostDays(early="2027-03-27", median="2027-04-15", late="2027-05-04"),
    windows=[
        window("good", "2026-03-15", "2026-06-11", why=("roots-in-time", "another-window")), window("fair", "2026-06-12", "2026-10-31"),
        window("dormant", "2026-11-01", "2027-02-10", why=("another-window", "ground-frozen")), window("good", "2027-03-15", "2027-06-11", why=("roots-in-time", "another-window")),
    ],
    deadline="2026-07-25",
    leading=[leading(SOD, "chosen", "Perennial ryegrass by thick-cut sod"), leading(RECOVER, "chosen", "Let the standing grass recover")],
)  # fmt: skip


def advice(
    season: Season | None = SEASON, options: list[model.Option] | None = None, **parts: Any
) -> model.Advice:
    return ADVICE.model_copy(
        update={
            "season": None if season is None else season.model_copy(update=parts),
            "options": options or ADVICE.options,
        }
    )


def row(lines: list[str], label: str) -> str:
    """The cells of the first row with that label, without the room that the label takes."""
    return next(line[11:] for line in lines if line.startswith(label))


# ---------- letters ----------
# A column is seven days from 1 May: June begins in column 4 (day 31), July in 8, August in 13, September in 17, October in
# 21, November in 26, December in 30, January in 35, February in 39, March in 43, April in 47; 30 April is column 52.
EXPECTED = f"""\
           2026                               2027
Month      May Jun Jul  Aug Sep Oct  Nov Dec  Jan Feb Mar Apr
Dates      t           D
Mean °C    11  14  16   16  14  11   7   5    4   4   6   8
Warmth     {"▅" * 5}{"▇" * 4}{"█" * 9}{"▇" * 4}{"▅" * 5}{"▃" * 4}{"▂" * 4}{"▁" * 9}{"▂" * 4}{"▃" * 5}
Rain mm    18  19  20   24  25  30   30  32   30  25  22  18
Use mm     18  21  20   17  11  6    3   1    2   4   8   13
Cool grass {"▆" * 5}{"█" * 13}{"▆" * 4}{"▄" * 5}{"▂" * 4}{" " * 13}{"▂" * 4}{"▄" * 5}
Warm grass {" " * 5}{"▁" * 4}{"▂" * 9}
Frost      ?{"·" * 11}│{"·" * 11}{"?" * 6}{"F" * 17}{"?" * 6}

Perennial ryegrass, thick sod
Window     {"G" * 6}{"f" * 20}{"d" * 15}{"·" * 4}{"G" * 8}
  good 15 Mar to 11 Jun 2026; fair 12 Jun to 31 Oct 2026; dormant 1 Nov 2026 to
  10 Feb 2027; good 15 Mar to 11 Jun 2027

Chosen (goalmouth): Perennial ryegrass by thick-cut sod
Light use      sLLL    │
Full play      s---PPPP│

Chosen (middle): Let the standing grass recover. No date can be given.

G good, f fair, d dormant, · closed; F frost, ? frost may come; s start, L light
  use, P full play.
A column is a week. t: today, 1 May 2026. D: play is wanted by 25 July 2026.
Rain, Use: mm a week of rain, and of water that turf uses.
Cool grass, Warm grass: how fast cool-season and warm-season grass grows.
The first frost comes between 16 October 2026 and 23 November 2026 in about two
  years of three.
The last frost comes between 27 March 2027 and 4 May 2027 in about two years of
  three.
All days are estimates for a normal year.
"""


def test_the_picture_in_letters() -> None:
    assert "\n".join(season_text(advice())) + "\n" == EXPECTED


SOUTH = advice(
    today="2026-11-20", first_day="2026-11-01", last_day="2027-10-31", weeks=weeks("2026-11-01"), deadline="2027-03-06",
    first_frost=FrostDays(early="2027-05-20", median="2027-05-30", late="2027-06-10"),
    last_frost=FrostDays(early="2027-08-20", median="2027-08-30", late="2027-09-10"),
    windows=[
        window("fair", "2026-10-01", "2027-01-15", "Bermuda grass, sprigs", ("frost-past", "heat-before-growth-ends")),
        window("good", "2027-03-01", "2027-05-15", "Perennial ryegrass, seed", ("summer-heat-past", "thin-before-winter")),
        window("fair", "2027-05-16", "2027-06-05", "Perennial ryegrass, seed", ("another-window", "heat-before-winter")),
    ],
    options=[
        SOD.model_copy(update={
            "code": "a", "start": "2026-12-01", "light_use": DayRange(early="2026-12-20", late="2027-01-10"),
            "full_play": DayRange(early="2027-01-20", late=None), "dies_by": "2027-06-10",
        }),
        SOD.model_copy(update={
            "code": "b", "start": "2027-03-10", "light_use": DayRange(early="2027-05-01", late="2027-06-10"),
            "full_play": DayRange(early="2027-09-01", late="2027-12-01"),
        }),
    ],
)  # fmt: skip
SOUTH = SOUTH.model_copy(update={"season": SOUTH.season.model_copy(update={  # type: ignore[union-attr]
    "leading": [Leading(option=code, zone="goalmouth", role=role, name=name) for code, role, name in (  # type: ignore[arg-type]
        ("a", "stopgap", "Bermuda grass by sprigs"), ("b", "chosen", "Perennial ryegrass by slit seeding"),
    )],
})})  # fmt: skip


@pytest.mark.parametrize(
    ("name", "options"),
    [
        ("season-80", {}),
        ("season-40-ascii", {"width": 40, "ascii_only": True}),
        ("season-lines-72", {"width": 72, "plain": True}),
    ],
)
def test_screen(name: str, options: dict[str, Any]) -> None:
    assert "\n".join(season_text(SOUTH, **options)) + "\n" == (SCREENS / f"{name}.txt").read_text(
        encoding="utf-8"
    )


def test_in_ascii_growth_is_told_in_tenths_and_warmth_by_its_numbers() -> None:
    lines = season_text(advice(), ascii_only=True)
    assert (
        row(lines, "Cool grass")
        == "7" * 5 + "9" * 13 + "7" * 4 + "5" * 5 + "2" * 4 + "." * 13 + "2" * 4 + "5" * 5
    )
    assert row(lines, "Warm grass") == "." * 5 + "1" * 4 + "2" * 9 + "." * 35
    assert row(lines, "Mean C").startswith("11  14  16   16")
    assert not any(line.startswith("Warmth") for line in lines)
    assert row(lines, "Frost").startswith("?...........|...")
    assert "".join(lines).isascii()


def test_us_units() -> None:
    # 11 C is 51.8 F, 14 C 57.2 F, 16 C 60.8 F.
    lines = season_text(advice(), system="us")
    assert row(lines, "Mean °F").startswith("52  57  61   61")
    assert "61 °F" in " ".join(season_sentences(advice(), "us"))


def test_on_forty_columns_a_column_is_two_weeks() -> None:
    # 53 weeks make 27 columns. June begins on day 31, in column 2; July on day 61, in column 4; August (92) in 6,
    # September (123) in 8, October (153) in 10, November (184) in 13, December (214) in 15, January (245) in 17,
    # February (276) in 19, March (304) in 21, April (335) in 23. The deadline, day 85, is in column 6.
    lines = season_text(advice(), width=40)
    assert row(lines, "Month") == "M J J A S O  N D J F M A"
    assert row(lines, "Dates") == "t     D"
    # The middle of column 2 is 5 June, of column 3 19 June; of column 12 23 October, of 13 6 November; of 20 12 February.
    assert row(lines, "Window") == "G" * 3 + "f" * 10 + "d" * 7 + "·" * 3 + "G" * 4


@pytest.mark.parametrize("width", [20, 39, 40, 52, 63, 64, 80, 100])
@pytest.mark.parametrize("ascii_only", [False, True])
@pytest.mark.parametrize("plain", [False, True])
def test_no_line_is_too_wide(width: int, ascii_only: bool, plain: bool) -> None:
    long = leading(
        SOD, "chosen", "Averyveryverylongwordthatnobodywouldeverwrite by 芝生芝生芝生芝生芝生芝生 sod"
    )
    said = season_text(advice(leading=[long]), width=width, ascii_only=ascii_only, plain=plain)
    assert said
    assert max(map(cell_len, said)) <= width
    assert all(line == line.rstrip() for line in said)


def test_a_day_after_the_picture_is_an_arrow_at_its_end() -> None:
    late = SOD.model_copy(
        update={
            "full_play": DayRange(early="2027-04-01", late="2027-08-01"),
            "light_use": DayRange(early="2027-03-05", late=None),
        }
    )
    lines = season_text(advice(options=[late, RECOVER], deadline="2027-07-01"))
    # Start in column 4. Light use from 5 March, day 308, column 44; full play from 1 April, day 335, column 47.
    assert row(lines, "Light use") == "    s" + "-" * 39 + "L" * 8 + ">"
    assert row(lines, "Full play") == "    s" + "-" * 42 + "P" * 5 + ">"
    assert row(lines, "Dates") == "t" + " " * 51 + ">"
    assert "light use not before 5 Mar 2027" in season_svg(advice(options=[late, RECOVER]))


def test_a_stopgap_that_frost_takes_and_one_of_which_only_the_late_day_is_known() -> None:
    # Frost takes it on 20 November, day 203, column 29. Ready by 29 June, day 59, column 8; it starts in column 4.
    short = SOD.model_copy(
        update={
            "dies_by": "2026-11-20",
            "light_use": DayRange(early=None, late="2026-06-29"),
            "full_play": None,
        }
    )
    given = advice(options=[short, RECOVER], leading=[leading(short, "stopgap", "Ryegrass by sod")])
    lines = season_text(given)
    assert "Stopgap (goalmouth): Ryegrass by sod" in lines
    assert row(lines, "Light use") == "    sLLLL   │" + " " * 16 + "x"
    assert any("x frost takes it" in line for line in lines)
    assert "It lives until about 20 November 2026; then frost takes it." in " ".join(season_sentences(given))
    assert "frost takes it about 20 Nov 2026" in season_svg(given)


def test_a_window_of_a_few_days_is_still_seen() -> None:
    # 6 to 8 September are days 128 to 130: column 18, whose middle is 7 September; 4 and 5 September hold no middle.
    assert (
        row(season_text(advice(windows=[window("fair", "2026-09-04", "2026-09-05")])), "Window").count("f")
        == 1
    )


def test_the_same_windows_and_the_same_dates_stand_once() -> None:
    two = [
        window("good", "2026-06-12", "2026-06-20", name)
        for name in ("Perennial ryegrass, seed", "Tall fescue, seed")
    ]
    other = SOD.model_copy(update={"code": "middle/x", "zone": "middle"})
    lines = season_text(
        advice(
            windows=two,
            options=[SOD, other],
            leading=[leading(SOD, "chosen", "Sod"), leading(other, "chosen", "Sod")],
        )
    )
    assert "Perennial ryegrass, seed; Tall fescue, seed" in lines
    assert "Chosen (goalmouth and middle): Sod" in lines
    assert sum(line.startswith("Full play") for line in lines) == 1


def test_a_runner_up_without_a_date_is_left_out_and_many_are_too() -> None:
    lines = season_text(advice(leading=[leading(SOD, "chosen", "Sod"), leading(SEED, "runner-up", "Seed")]))
    assert not any("Runner-up" in line for line in lines)
    rows = [
        SOD.model_copy(update={"code": f"{n}", "zone": f"part {n}", "start": f"2026-06-{n + 1:02d}"})
        for n in range(11)
    ]
    said = season_text(
        advice(
            options=rows,
            leading=[leading(option, "runner-up" if n else "chosen", "Sod") for n, option in enumerate(rows)],
        )
    )
    assert [line for line in said if line.startswith(("Chosen", "Runner-up"))] == ["Chosen (part 0): Sod"]


# ---------- other places ----------
def test_tropics_have_no_frost_and_one_window() -> None:
    given = advice(
        frost_kind="rare", first_frost=None, last_frost=None,
        windows=[window("good", "2026-05-01", "2027-04-30", "Bermuda grass, sprigs", ("no-cold-season", "no-cold-season"))],
    )  # fmt: skip
    lines = season_text(given)
    assert row(lines, "Frost") == "rare"
    assert row(lines, "Window") == "G" * 53
    assert not any("frost may come" in line for line in lines)
    assert "Frost is rare here." in season_sentences(given)
    assert "F frost" not in season_svg(given)


def test_frost_in_some_years_is_never_shown_as_sure() -> None:
    given = advice(frost_kind="some-years")
    assert "F" not in row(season_text(given), "Frost")
    assert row(season_text(given), "Frost").count("?") == 1 + 6 + 17 + 6
    assert "Frost comes in some years only." in season_sentences(given)
    none = advice(frost_kind="some-years", first_frost=None, last_frost=None)
    assert row(season_text(none), "Frost") == "in some years"
    assert "Frost: in some years only" in season_svg(none)
    assert not any("frost may come" in said for said in (*season_text(none), season_svg(none)))


def test_frost_all_year() -> None:
    given = advice(frost_kind="always", first_frost=None, last_frost=None)
    assert row(season_text(given), "Frost") == "F" * 53
    assert "Frost can come at any time of the year here." in season_sentences(given)


def test_the_south_has_its_frost_in_the_middle_of_the_picture() -> None:
    # From 1 November 2026. First frost 20 May to 10 June, last 20 August to 10 September 2027. Middles of columns are
    # 4 November and each seventh day after: 19 May is column 28, 26 May 29, 9 June 31, 16 June 32, 18 August 41,
    # 25 August 42, 8 September 44, 15 September 45.
    given = advice(
        today="2026-11-20", first_day="2026-11-01", last_day="2027-10-31", weeks=weeks("2026-11-01"), deadline=None, leading=[],
        first_frost=FrostDays(early="2027-05-20", median="2027-05-30", late="2027-06-10"),
        last_frost=FrostDays(early="2027-08-20", median="2027-08-30", late="2027-09-10"), windows=[window("fair", "2026-10-01", "2027-01-15")],
    )  # fmt: skip
    lines = season_text(given)
    assert row(lines, "Frost") == "·" * 29 + "?" * 3 + "F" * 10 + "?" * 3 + "·" * 8
    # 13 January is the middle of column 10, 20 January of 11: the window runs over the turn of the year.
    assert row(lines, "Window") == "f" * 11 + "·" * 42
    # 20 November is day 19, column 2; November to October, the first of January in column 8 (day 61).
    assert row(lines, "Dates") == "  t"
    assert row(lines, "") == "2026    2027"
    assert not any("D: play" in line for line in lines)


def test_nothing_leads_and_no_window() -> None:
    none = NoWindow(grass="bermudagrass", start="seed", name="Bermuda grass, seed", why="too-cold")
    given = advice(windows=[], leading=[], no_window=[none])
    lines = season_text(given)
    assert "Bermuda grass, seed: no window, because it is too cold here." in lines
    assert row(lines, "Warmth")
    assert not any("s start" in line or "G good" in line for line in lines)
    ET.fromstring(season_svg(given))


def test_without_a_place_there_is_no_season() -> None:
    given = advice(None)
    assert (season_text(given), season_sentences(given), season_svg(given)) == ([], [], "")


# ---------- sentences ----------
def test_sentences() -> None:
    assert season_sentences(advice()) == [
        "This is a normal year, from May 2026 to April 2027. All days are estimates.",
        "It is warmest in July 2026, with a mean of about 16 °C, and it is coldest in January 2027, with a mean of about 4 °C.",
        "Rain is less than turf uses in June 2026.",
        "Cool-season grass grows at half its full speed or more from May 2026 to October 2026 and in April 2027.",
        "Warm-season grass never grows at half its full speed here.",
        "The first frost comes between 16 October 2026 and 23 November 2026 in about two years of three.",
        "The last frost comes between 27 March 2027 and 4 May 2027 in about two years of three.",
        "Perennial ryegrass, thick sod: good from about 15 March 2026 to about 11 June 2026; new roots form soon enough by then.",
        "Perennial ryegrass, thick sod: fair from about 12 June 2026 to about 31 October 2026.",
        "Perennial ryegrass, thick sod: dormant from about 1 November 2026 to about 10 February 2027; after it, the ground is frozen.",
        "Perennial ryegrass, thick sod: good from about 15 March 2027 to about 11 June 2027; new roots form soon enough by then.",
        "Chosen (goalmouth): Perennial ryegrass by thick-cut sod. It starts on 1 June 2026. Light use: between 8 and 22 June 2026. "
        "Full play: between 29 June and 20 July 2026.",
        "Chosen (middle): Let the standing grass recover. No date can be given.",
        "Play is wanted by 25 July 2026.",
    ]  # fmt: skip


def test_line_mode_and_narrow_pages_have_sentences_alone() -> None:
    said = " ".join(season_text(advice(), plain=True, width=100))
    assert " ".join(said.split()) == " ".join(season_sentences(advice()))
    assert " ".join(" ".join(season_text(advice(), width=39)).split()) == " ".join(season_sentences(advice()))
    assert not re.search("[▁-█│·]", said)


def test_every_reason_of_a_window_has_words() -> None:
    from decide.report.words import CODES

    codes = set(re.findall(r"[a-z]+(?:-[a-z]+)+", (Window.__doc__ or "").partition("codes:")[2]))
    assert len(codes) > 15
    assert codes - {"another-window"} <= set(CODES["opens"]) | set(CODES["closes"])
    assert set(
        re.findall(r"[a-z]+(?:-[a-z]+)+", (Windows.__doc__ or "").partition("Codes:")[2].partition(".")[0])
    ) == set(CODES["no-window"])


# ---------- SVG ----------
SVG = "{http://www.w3.org/2000/svg}"


def test_svg_is_well_formed_and_says_what_it_shows() -> None:
    drawn = ET.fromstring(season_svg(advice()))
    assert drawn.get("role") == "img"
    named = {child.get("id"): child.text or "" for child in drawn}
    title, said = ((named[part]) for part in (drawn.get("aria-labelledby") or "").split())
    assert title == "The season at Galway: May 2026 to April 2027"
    for sentence in season_sentences(advice()):
        assert sentence in said
    assert "25 July 2026" in said


@pytest.mark.parametrize("narrow", [False, True])
def test_svg_needs_nothing_from_outside_and_ends_within_its_page(narrow: bool) -> None:
    said = season_svg(advice(), narrow=narrow)
    assert not re.search(
        r"<script|<style|<image|<foreignObject|href|@import|on[a-z]+=|http(?!://www.w3.org/2000/svg)", said
    )
    drawn = ET.fromstring(said)
    wide, high = map(float, (drawn.get("viewBox") or "").split()[2:])
    for text in drawn.iter(f"{SVG}text"):
        size, x = float(text.get("font-size") or 0), float(text.get("x") or 0)
        long = cell_len(text.text or "") * size * 0.56
        left = {"start": x, "middle": x - long / 2, "end": x - long}[text.get("text-anchor") or "start"]
        assert left >= 0, text.text
        assert left + long <= wide, text.text
        assert 0 < float(text.get("y") or 0) < high
        # It is drawn no smaller than it is: 720 where there is room, 350 on a phone of 390 pixels.
        assert size >= 11
    for box in drawn.iter(f"{SVG}rect"):
        assert float(box.get("x") or 0) + float(box.get("width") or 0) <= wide


LATE = SOD.model_copy(update={
    "full_play": DayRange(early="2027-04-01", late="2027-08-01"), "light_use": DayRange(early="2027-03-05", late=None), "dies_by": "2026-11-20",
})  # fmt: skip
LONG = "Kentucky bluegrass with a good deal of perennial ryegrass and a little fine fescue for the shade under the trees by thick-cut sod"
PICTURES = {
    "plain": advice(),
    "late": advice(options=[LATE, RECOVER], deadline="2027-04-28"),
    "two years": advice(
        last_day="2028-04-30",
        weeks=weeks("2026-05-01", 105),
        deadline="2028-04-30",
        leading=[leading(SOD, "chosen", LONG)],
    ),
    "deadline after it": advice(deadline="2029-04-30", today="2026-05-31"),
    "south": SOUTH,
    "nothing": advice(
        windows=[], leading=[], frost_kind="rare", first_frost=None, last_frost=None, deadline=None
    ),
}


@pytest.mark.parametrize("narrow", [False, True])
@pytest.mark.parametrize("name", PICTURES)
def test_no_two_words_of_the_svg_lie_on_one_another_and_no_line_runs_over_one(
    name: str, narrow: bool
) -> None:
    spots: list[tuple[float, float, float, float, str]] = []
    drawn = ET.fromstring(season_svg(PICTURES[name], narrow=narrow))
    wide = float((drawn.get("viewBox") or "").split()[2])
    for part in drawn:
        if part.tag == f"{SVG}text":
            size, x, y = (float(part.get(key) or 0) for key in ("font-size", "x", "y"))
            long = cell_len(part.text or "") * size * 0.5
            left = {"start": x, "middle": x - long / 2, "end": x - long}[part.get("text-anchor") or "start"]
            assert left >= 0, part.text
            assert left + long <= wide, part.text
            spots.append((left, left + long, y - size * 0.7, y, part.text or ""))
        for n, one in enumerate(spots[:-1] if part.tag == f"{SVG}text" else []):
            other = spots[-1]
            assert one[1] <= other[0] or other[1] <= one[0] or one[3] <= other[2] or other[3] <= one[2], (
                n,
                one[4],
                other[4],
            )
        line = re.fullmatch(r"M([\d.]+) ([\d.]+)v([\d.]+)", part.get("d") or "")
        if line:
            x, y, length = map(float, line.groups())
            assert not [
                said
                for left, right, top, foot, said in spots
                if left < x < right and top < y + length and y < foot
            ]


def test_svg_tells_kinds_of_days_apart_by_pattern() -> None:
    drawn = ET.fromstring(season_svg(advice()))
    fills = {box.get("fill") for box in drawn.iter(f"{SVG}rect") if box.get("stroke") not in (None, "none")}
    # good, fair, dormant, frost, frost may come, light use, full play, rain
    assert len(fills) == 8


def test_a_user_s_words_are_only_words_in_the_svg() -> None:
    hostile = '</text><script>alert("x")</script>\x1b[31m & \u202e'
    option = SOD.model_copy(update={"zone": hostile})
    given = advice(options=[option], leading=[leading(option, "chosen", "Sod")])
    given = given.model_copy(update={"situation": [model.Known(key="place.name", value=hostile, how="told")]})
    said = season_svg(given)
    drawn = ET.fromstring(said)
    assert not list(drawn.iter(f"{SVG}script"))
    assert "\x1b" not in said
    assert "\u202e" not in said
    assert "\x1b" not in "".join(season_text(given))


# ---------- where it is shown ----------
def test_the_full_page_shows_it_and_the_short_one_does_not() -> None:
    assert "THE SEASON" in render(advice(), depth="full")
    assert (
        row(render(advice(), depth="full").splitlines(), "Window")
        == "G" * 6 + "f" * 20 + "d" * 15 + "·" * 4 + "G" * 8
    )
    assert "THE SEASON" not in render(advice())
    assert "THE SEASON" not in render(advice(None), depth="full")
    said = render(advice(), depth="full", plain=True, width=400)
    for sentence in season_sentences(advice()):
        assert sentence in said
    notes = render_markdown(advice())
    assert "Play is wanted by 25 July 2026." in notes
    assert "▁" not in notes


@pytest.mark.slow
def test_the_command_draws_it_and_says_so_where_it_cannot() -> None:
    def ran(data: str) -> str:
        words = [
            sys.executable,
            "-m",
            "decide",
            "advise",
            "-",
            "--season",
            "--quick",
            "--engine",
            "plain",
            "--width",
            "72",
        ]
        return subprocess.run(
            words,
            input=data.encode(),
            capture_output=True,
            cwd=Path(__file__).parents[2],
            check=True,
            env={"PYTHONIOENCODING": "utf-8"},
        ).stdout.decode()

    drawn = ran("[place]\n" + DAYTON + "\n[dates]\ntoday = 2026-07-20\n").splitlines()
    assert row(drawn, "Month").startswith("Jul Aug Sep")
    assert max(map(cell_len, drawn)) <= 72
    assert (
        ran("[dates]\ntoday = 2026-07-20\n")
        == "No season can be shown before the place is known. Write place.name.\n"
    )


# ---------- what is put into it ----------
FLAT = "monthly_mean_c = [15, 15, 15, 15, 15, 15, 15, 15, 15, 15, 15, 15]\nmonthly_rain_mm = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31]\nlatitude = 45"
DAYTON = 'name = "Dayton"\nregion = "Ohio"\ncountry = "us"'
SYDNEY = 'name = "Sydney"\ncountry = "au"'
SINGAPORE = 'name = "Singapore"'


def season(adviser: Adviser, place: str, today: str, more: str = "") -> Season:
    told = f"[place]\n{place}\n[dates]\ntoday = {today}\n{more}\n[field]\nbare_percent = 90\n"
    found = adviser.advise(read_situation(told)).season
    assert found is not None
    return found


@pytest.mark.slow
def test_a_flat_year_is_flat(adviser: Adviser) -> None:
    # 15 C in every month and one mm of rain on every day: seven mm a week, whatever the week.
    made = season(adviser, FLAT, "2026-02-10")
    # A year from this month on, longer where a leading option is ready later.
    assert made.first_day == "2026-02-01"
    assert made.last_day >= "2027-01-31"
    assert {week.mean_c for week in made.weeks} == {15.0}
    assert {week.rain_mm for week in made.weeks} == {7.0}
    assert len({week.growth_cool for week in made.weeks}) == 1
    assert 0 < made.weeks[0].growth_warm < made.weeks[0].growth_cool <= 1


@pytest.mark.slow
@pytest.mark.parametrize("place", [DAYTON, SYDNEY, SINGAPORE])
@pytest.mark.parametrize("today", ["2026-01-31", "2026-07-20", "2027-12-01", "2028-02-29"])
def test_every_axis_is_whole_and_ordered(adviser: Adviser, place: str, today: str) -> None:
    made = season(adviser, place, today)
    assert made.first_day == today[:8] + "01"
    first, last = dt.date.fromisoformat(made.first_day), dt.date.fromisoformat(made.last_day)
    assert (last + dt.timedelta(days=1)).day == 1
    assert 364 <= (last - first).days <= 730
    assert [week.first for week in made.weeks] == [
        (first + dt.timedelta(days=7 * n)).isoformat() for n in range((last - first).days // 7 + 1)
    ]
    for week in made.weeks:
        assert 0 <= week.growth_cool <= 1
        assert 0 <= week.growth_warm <= 1
    by_key: dict[tuple[str, str], list[SeasonWindow]] = {}
    for one in made.windows:
        assert one.opens <= one.closes
        assert one.opens <= made.last_day
        assert one.closes >= made.first_day
        by_key.setdefault((one.grass, one.start), []).append(one)
    for spans in by_key.values():
        # A grass has one quality on a day.
        assert all(a.closes < b.opens for a, b in pairwise(spans))
    for frost in (made.first_frost, made.last_frost):
        if frost is not None:
            assert frost.early < frost.median < frost.late
            assert frost.median >= made.first_day


@pytest.mark.slow
def test_north_and_south_and_the_tropics(adviser: Adviser) -> None:
    north, south, tropics = (season(adviser, place, "2026-01-10") for place in (DAYTON, SYDNEY, SINGAPORE))
    warmest = [max(made.weeks, key=lambda week: week.mean_c).first[5:7] for made in (north, south)]
    assert warmest[0] in ("07", "08")
    assert warmest[1] in ("01", "02", "12")
    assert north.first_frost is not None
    assert north.first_frost.median[5:7] == "10"
    assert tropics.frost_kind == "rare"
    assert tropics.first_frost is None
    assert tropics.last_frost is None


@pytest.mark.slow
def test_a_typed_frost_day_keeps_the_spread_of_the_years(adviser: Adviser) -> None:
    # A typed day has no doubt of the estimate; years differ by a standard deviation of 14 days (frost-year-spread).
    made = season(adviser, DAYTON + '\nfirst_frost = "10-20"', "2026-06-01")
    assert made.first_frost == FrostDays(early="2026-10-06", median="2026-10-20", late="2026-11-03")
    # Computed: the root of 12² + 14² is 18.4, so 19 days on either side.
    computed = season(adviser, DAYTON, "2026-06-01").first_frost
    assert computed is not None
    assert (dt.date.fromisoformat(computed.late) - dt.date.fromisoformat(computed.early)).days == 38


@pytest.mark.slow
def test_the_axis_runs_on_to_a_late_deadline_but_not_beyond_two_years(adviser: Adviser) -> None:
    assert season(adviser, DAYTON, "2026-07-20", "play_by = 2027-09-10").last_day == "2027-09-30"
    assert season(adviser, DAYTON, "2026-07-20", "play_by = 2030-09-10").last_day == "2028-06-30"
    assert season(adviser, DAYTON, "2026-07-20", "play_by = 2026-09-10").last_day >= "2027-06-30"


def test_without_a_place_the_advice_has_none(adviser: Adviser) -> None:
    found = adviser.advise(read_situation("[dates]\ntoday = 2026-05-12\n[field]\nbare_percent = 90\n"))
    assert found.season is None
    assert '"season":null' in found.as_json()


@pytest.mark.slow
def test_leading_options_are_of_the_advice_and_have_their_windows(adviser: Adviser) -> None:
    found = adviser.advise(
        read_situation(
            f"[place]\n{DAYTON}\n[dates]\ntoday = 2026-07-20\nplay_by = 2027-05-01\n[field]\nbare_percent = 90\n"
        )
    )
    made = found.season
    assert made is not None
    chosen = [one for one in made.leading if one.role in ("chosen", "stopgap", "least-bad")]
    assert [one.option for one in chosen] == [
        code
        for answer in found.programme
        for code in (answer.stopgap, answer.option, answer.least_bad)
        if code
    ]
    shown = {one.grass for one in made.windows} | {one.grass for one in made.no_window}
    plants = [one.option.split("/")[3] for one in made.leading if "/establish/" in one.option]
    assert set(plants) == shown
    assert made.deadline == "2027-05-01"
