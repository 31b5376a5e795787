"""The first screen: its length whatever the field, what it never leaves out, and that it says nothing against the advice."""

from __future__ import annotations

import datetime as dt
import re
from pathlib import Path

import pytest
from rich.cells import cell_len
from samples import ADVICE

from decide.cli.table import PAGES
from decide.decision.consultation import Consultation
from decide.model import advice as model
from decide.model.errors import DecideError
from decide.model.reading import situation_from_dict
from decide.questions.unknown import tried
from decide.report.blocks import line
from decide.report.choices import picked, role_of, stands_as
from decide.report.first_screen import first_screen, most_lines
from decide.report.fit import LAST, Form, fit
from decide.report.pages import NAMED
from decide.report.phrases import opening_sentence
from decide.report.text import render_named
from decide.shell.advising import SECTIONS
from tests import voice
from tests.shared import LANGUAGE, adviser, case_codes, consulted, knowledge, sampled

SHAPES: tuple[dict[str, object], ...] = (
    {"width": 80},
    {"width": 80, "plain": True, "ascii_only": True},
    {"width": 40, "plain": True},
    {"width": 40, "colour": True, "naming": "command"},
    {"width": 60},
)
SCREENS = Path(__file__).parents[1] / "screens"
ESCAPE = re.compile(r"\x1b\[[0-9;]*m")
# Fields that ask most of a screen: many dangers, many parts, much that the person means to do, work under way.
HARD = (
    "uk-dangers-owner-says-no", "step-residues-september", "uk-own-ideas-ground", "life-kansas-many-signs",
    "za-johannesburg-kikuyu", "eu-munich-frozen", "ongoing-two-sods-lexington-october",
    "us-olympia-wet-field-december",
)  # fmt: skip
SOME = sorted({*case_codes()[3::11], *HARD})
# What these look for is left to the other pages by design: the screen counts it and says where it stands.
ELSEWHERE = ("dangers_unsaid", "needs_without_row", "conditions_unsaid")


def flat(text: str) -> str:
    return " ".join(re.sub(r"(?m)^[-!] ", "", ESCAPE.sub("", text)).split())


def screen(advice: model.Advice, **shape: object) -> str:
    return first_screen(advice, knowledge(), **shape)  # type: ignore[arg-type]  # the shapes above are options of it


def advised(code: str) -> tuple[Consultation, model.Advice]:
    return consulted(code), tried(consulted(code))


@pytest.mark.slow
@pytest.mark.parametrize("code", sampled(SOME, 8))
def test_whatever_the_field_it_stays_one_screen_and_leaves_out_nothing_that_decides(code: str) -> None:
    _, advice = advised(code)
    for shape in SHAPES:
        said = screen(advice, **shape)
        lines = ESCAPE.sub("", said).splitlines()
        width = shape["width"]
        assert isinstance(width, int)
        assert len(lines) <= {80: 20, 60: 25, 40: 30}[width], shape
        assert max(map(cell_len, lines)) <= width, shape
        assert all(row == row.rstrip() for row in lines)
        assert said == screen(advice, **shape)
        if shape.get("plain"):
            assert "\x1b" not in said
        if shape.get("ascii_only"):
            assert said.isascii()
        _keeps(advice, flat(said))


def _keeps(advice: model.Advice, said: str) -> None:
    """What a screen of any size says."""
    if advice.today:
        assert "Danger today: " in said
        dangers = [opening_sentence(row.text) for row in advice.today]
        kept = [text for text in dangers if text in said]
        assert kept
        assert len(kept) == len(dangers) or re.search(r"\d+ more, and who decides: see care", said)
        assert "ho decides: " in said
    if advice.fate is not None:
        assert opening_sentence(advice.fate.text) in said
    elif not any(row.key == "dates.play_by" for row in advice.situation):
        assert "No date was told" in said
    others = re.search(r"\d+ more parts?: see more", said)
    for answer in advice.programme:
        for option in picked(advice, answer):
            verdict = LANGUAGE.verdict(stands_as(option, role_of(answer, option))).capitalize()
            assert others or (option.title in said and verdict in said), option.code
            if option.rests_on:
                assert others or re.search(r"Sound if |, and only if ", said), option.code
    assert "see care" in said or not advice.cautions or len(advice.cautions) == len(advice.today)
    assert advice.money is None or not advice.money.rows or "It takes: " in said
    assert re.search(r"(Say|[Rr]est:) .*\bplan\b", said)


@pytest.mark.slow
@pytest.mark.parametrize(
    ("end", "says"),
    [
        ("until", "your money must be spent by 30 September 2026"),
        ("from", "no money before 30 September 2026"),
    ],
)
def test_the_day_of_the_money_stands_beside_the_sums(end: str, says: str) -> None:
    dates = {"today": dt.date(2026, 8, 20), "play_by": dt.date(2027, 4, 1)}
    means = {"water": "hand hose", "budget": 1200, "currency": "GBP", f"budget_{end}": dt.date(2026, 9, 30)}
    told = {"place": {"name": "York", "country": "gb"}, "dates": dates, "means": means}
    told["zone"] = [{"name": "goalmouths", "bare_percent": 80}]
    made = adviser()
    advice = made.advice(made.consult(situation_from_dict(told)))
    for shape in SHAPES:
        assert says in flat(screen(advice, **shape)), shape


@pytest.mark.slow
@pytest.mark.parametrize("code", sampled(SOME, 8))
def test_it_says_nothing_against_the_advice_and_nothing_in_codes(code: str) -> None:
    """The checker of the full advice, but for what the screen leaves to other pages; what the full advice itself is told
    of is its own affair.
    """
    _, advice = advised(code)
    full = voice.Finished(advice, voice.full_text(advice))
    checks = [check for rows in voice.KINDS.values() for check in rows if check.__name__ not in ELSEWHERE]
    for width in (80, voice.WIDE):
        said = screen(advice, width=width, plain=True)
        if "more parts: see more" in said.replace("\n", " "):
            continue
        brief = voice.Finished(advice, said)
        for check in checks:
            known = set(check(full))
            assert [found for found in check(brief) if found not in known] == [], check.__name__


def test_parts_with_the_same_choice_are_said_once() -> None:
    _, advice = advised("life-kansas-many-signs")
    said = flat(screen(advice, width=80))
    assert said.count("Tend the turf that stands.") == 1
    assert "every part: " in said
    _, advice = advised("nz-dunedin-winter-wait")
    assert "grubby end, peeling side and stream end: Mend the cause first." in flat(screen(advice, width=80))


def test_whoever_is_called_stands_before_the_stopgap_beside_it_each_with_its_verdict() -> None:
    _, advice = advised("us-olympia-wet-field-december")
    said = flat(screen(advice, width=80))
    first, beside = "centre: Call a qualified person.", "centre, meanwhile, as a stopgap: Perennial ryegrass"
    assert said.index(first) < said.index(beside)
    assert "Not advised. The cause is still there, so it will be bare again." in said


@pytest.mark.parametrize(
    ("name", "shape"),
    [
        ("advice_first_80", {"width": 80}),
        ("advice_first_plain_40", {"width": 40, "plain": True, "ascii_only": True}),
    ],
)
def test_screen(name: str, shape: dict[str, object]) -> None:
    """Screens of an invented field, read aloud before they were kept."""
    assert screen(ADVICE, **shape) == (SCREENS / f"{name}.txt").read_text(encoding="utf-8")


def test_every_page_that_is_named_is_there() -> None:
    for naming in ("talk", "command"):
        said = flat(screen(ADVICE, width=200, naming=naming))
        for name in ("more", "plan", "water", "care", "money", "reasons"):
            assert name in said
            assert render_named(ADVICE, name).strip()
    for name in set(
        re.findall(
            r"[Ss]ee (\w+)",
            " ".join(
                row.text for code, row in knowledge().texts.items() if code.startswith(("screen-", "moved-"))
            ),
        )
    ):
        assert render_named(ADVICE, name).strip()


def test_the_talk_and_the_command_know_every_page_and_no_other() -> None:
    assert ("more", *NAMED) == PAGES
    assert (*PAGES, "all") == SECTIONS
    with pytest.raises(DecideError, match="the advice has no page 'wages'"):
        render_named(ADVICE, "wages")


def test_care_holds_every_caution_whole_with_who_decides() -> None:
    said = flat(render_named(ADVICE, "care", width=200, plain=True))
    for row in (*ADVICE.today, *ADVICE.cautions):
        assert row.text in said
        assert row.who_decides in said


@pytest.mark.parametrize(("width", "most"), [(200, 20), (80, 20), (60, 25), (40, 30), (20, 60)])
def test_how_many_lines_there_are(width: int, most: int) -> None:
    assert most_lines(width) == most


# ---------- fitting ----------
def piece(*forms: tuple[int, int]) -> tuple[Form, ...]:
    """A piece whose forms have a rank and take so many lines."""
    return tuple(Form(rank, tuple(line(str(n)) for n in range(height))) for rank, height in forms)


@pytest.mark.parametrize(
    ("pieces", "most", "heights"),
    [
        ([piece((0, 3), (10, 1)), piece((0, 3), (20, 1))], 6, [3, 3]),
        ([piece((0, 3), (10, 1)), piece((0, 3), (20, 1))], 5, [1, 3]),
        ([piece((0, 3), (10, 1)), piece((0, 3), (20, 1))], 2, [1, 1]),
        # The first step was not enough and the second more than enough: the first is taken back.
        ([piece((0, 2), (10, 1)), piece((0, 5), (20, 1))], 4, [2, 1]),
        # A form that takes no less is passed over.
        ([piece((0, 3), (10, 3), (20, 2))], 2, [2]),
    ],
)
def test_fitting(pieces: list[tuple[Form, ...]], most: int, heights: list[int]) -> None:
    found = fit(pieces, most, len, LAST)
    assert found is not None
    assert [len(lines) for lines in found] == heights


def test_what_cannot_be_fitted_is_said_so() -> None:
    rows = [piece((0, 3), (10, 2), (60, 1))]
    assert fit(rows, 1, len, 50) is None
    assert fit(rows, 1, len, LAST) is not None


@pytest.mark.parametrize("dangers", [True, False])
def test_a_week_without_tasks_is_not_idle_where_a_danger_is_to_be_seen_to(dangers: bool) -> None:
    """Whatever page says that nothing falls in this week."""
    c, told = advised("sparse-gb-leeds-goalmouths-no-water")
    after = (c.filled.today + dt.timedelta(days=8)).isoformat()
    later = [row for row in told.plan if row.from_ > after]
    assert later
    danger = model.Doing(code="shut-the-field", text="Shut the field today.")
    advice = told.model_copy(update={"plan": later, "today": [danger] if dangers else []})
    for page in (screen(advice), *(render_named(advice, name, width=80) for name in ("week", "plan"))):
        assert ("Nothing else has to be done this week" in flat(page)) == dangers
        assert ("Nothing has to be done this week" in flat(page)) != dangers
