"""Pairs of situations: both sides of a limit, written once, and what stands behind the verdict on a step."""

from __future__ import annotations

from pathlib import Path

import pytest

from decide.cases.bank import consult_case, read_file, unmet
from decide.cases.steps_signed import step_signed
from decide.model.errors import DecideError
from tests.shared import adviser

FILE = """
title = "Club in Dayton, Ohio: a roller"
signed = "Written for a test."
sources = ["common-practice"]
[situation.place]
name = "Dayton"
country = "us"
region = "Ohio"
[situation.dates]
today = 2026-05-06
[[situation.zone]]
name = "pitch"
bare_percent = 5
[situation.now]
ground = "open"
"""
PAIR = """
[[pair]]
signed = "Footprints that stay say that a roller packs the ground."
sources = ["common-practice"]
with.proposal = [{ step = "roll", tool = "light roller" }]
key = "now.ground"
values = ["open", "soft"]
expect = [{ proposals = ["sound; risk strong"] }, { proposals = ["not-advised; risk weak"] }]
"""


def _cases(tmp_path: Path, text: str) -> list[str]:
    path = tmp_path / "rolling.toml"
    path.write_text(FILE + text, encoding="utf-8")
    return [
        row for case in read_file(path, "rolling.toml") for row in unmet(case, consult_case(adviser(), case))
    ]


def test_both_sides_are_cases_of_their_own(tmp_path: Path) -> None:
    path = tmp_path / "rolling.toml"
    path.write_text(FILE + PAIR, encoding="utf-8")
    one, two = read_file(path, "rolling.toml")
    assert (one.code, two.code) == ("rolling:1a", "rolling:1b")
    assert (one.situation.now.ground, two.situation.now.ground) == ("open", "soft")
    assert one.signed.startswith("Footprints")
    assert _cases(tmp_path, PAIR) == []


def test_what_is_not_met_of_a_side_is_said(tmp_path: Path) -> None:
    wrong = _cases(
        tmp_path, PAIR.replace("risk strong", "risk none; needs core-after-heavy-roller; no machine-guards")
    )
    assert wrong == [
        "proposal 1 (roll): risk is 'strong', signed 'none'",
        "proposal 1 (roll): 'core-after-heavy-roller' is missing",
        "proposal 1 (roll): 'machine-guards' is given",
    ]


def test_an_answer_can_be_left_untold_and_put_into_a_part(tmp_path: Path) -> None:
    path = tmp_path / "rolling.toml"
    text = PAIR.replace('key = "now.ground"', 'key = "zone.bare_percent"').replace(
        '["open", "soft"]', '[40, "untold"]'
    )
    path.write_text(FILE + text, encoding="utf-8")
    one, two = read_file(path, "rolling.toml")
    assert (one.situation.zone[0].bare_percent, two.situation.zone[0].bare_percent) == (40, None)


@pytest.mark.parametrize(
    ("find", "put", "says"),
    [
        ('["open", "soft"]', '["soft", "soft"]', "a pair on now.ground holds one thing twice"),
        ('key = "now.ground"', 'kee = "now.ground"', "Known: signed, sources, with, key, values, expect"),
        ('key = "now.ground"', 'key = "title.ground.state"', "title"),
        ('"soft"', '"muddy"', "pair 1b"),
        ("risk weak", "risk bad", "'bad' is not known here"),
        ("not-advised; risk weak", "wrong; risk weak", "'wrong' is not known here"),
    ],
)
def test_what_is_wrong_with_a_pair_is_told_in_its_place(
    tmp_path: Path, find: str, put: str, says: str
) -> None:
    path = tmp_path / "rolling.toml"
    path.write_text(FILE + PAIR.replace(find, put), encoding="utf-8")
    with pytest.raises(DecideError) as caught:
        read_file(path, "rolling.toml")
    assert says in str(caught.value)
    assert "rolling.toml" in str(caught.value)


def test_a_line_of_what_is_signed_is_read_whole() -> None:
    signed = step_signed("sound-if; risk none; lasts ruled-out; needs one two; warns three; no four")
    assert signed.verdict == "sound-if"
    assert signed.grades == (("risk", "none"), ("lasts", "ruled-out"))
    assert (signed.needs, signed.warns, signed.no) == ({"one", "two"}, {"three"}, {"four"})
