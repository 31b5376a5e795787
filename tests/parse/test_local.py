"""Questions in the words of a country. All expectations were written by hand before the first run."""

from __future__ import annotations

from decide.model.files import data_folder
from decide.parse.local import in_country_words, read_local
from decide.parse.question import Question
from decide.parse.results import AnswerChoice

LOCAL = read_local([data_folder()])
ASKED = Question(
    "offer", "offers", "Is there sod in autumn?", "The pitch is worn.", "list",
    (AnswerChoice("sod", ("sod",)), AnswerChoice("seed", ("seed",))), zone="sod corner",
)  # fmt: skip


def test_what_is_shown_is_in_the_words_of_the_country() -> None:
    here = in_country_words(ASKED, "gb", LOCAL)
    assert here.ask == "Is there turf in autumn?"
    assert [choice.shown for choice in here.choices] == ["turf", "seed"]
    there = in_country_words(ASKED, "us", LOCAL)
    assert there.ask == "Is there sod in fall?"
    assert there.why == "The field is worn."


def test_what_is_understood_and_the_name_of_a_part_stay() -> None:
    here = in_country_words(ASKED, "gb", LOCAL)
    assert here.choices[0].say == ("turf", "sod")
    assert here.zone == "sod corner"
    assert in_country_words(ASKED, None, LOCAL) is ASKED
