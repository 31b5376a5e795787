"""What an error offers instead: a name that holds the word whole before one that is only spelled alike."""

from decide.model.errors import meant

GRASSES = ("annual-ryegrass", "perennial-ryegrass", "wiregrass", "tall-fescue", "kikuyugrass")
MANY = tuple(f"word-{n}" for n in range(20))


def test_a_word_of_a_name_brings_every_name_that_holds_it() -> None:
    assert meant("ryegrass", GRASSES) == "Write 'annual-ryegrass' or 'perennial-ryegrass'?"
    assert meant("fescue", GRASSES) == "Write 'tall-fescue'?"


def test_a_slip_brings_the_nearest() -> None:
    assert meant("kikuyugras", GRASSES) == "Write 'kikuyugrass'?"


def test_what_is_like_nothing_brings_a_short_list_or_nothing() -> None:
    assert meant("zz", GRASSES) == "Write one of: " + ", ".join(sorted(GRASSES))
    assert meant("zz", MANY) == ""
    assert meant("", MANY) == ""
