"""The command `changed`: what moved between two folders of knowledge, or between two situations."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Iterator
from pathlib import Path

from decide.cases.changed import Given, changed_lines, compare_knowledge, compare_situations, difference_lines
from decide.cli.cases import bank
from decide.cli.files import given, knowledge_with
from decide.cli.lesson import consult_file, show_lines
from decide.cli.page import OK, show
from decide.cli.table import COMMANDS
from decide.cli.words import UseError
from decide.consult import Adviser
from decide.knowledge.load import knowledge_folder, read_knowledge
from decide.knowledge.tables import Knowledge


def changed(words: Namespace) -> int:
    """What moved, and by which rule."""
    if words.situations:
        return _situations(words)
    folders = [place for place in words.places if Path(place).is_dir()]
    if not folders or folders[2:]:
        raise UseError(COMMANDS["changed"].takes)
    old, over = read_knowledge(folders[0]), words.knowledge
    new = read_knowledge(folders[1], *over) if folders[1:] else knowledge_with(over)
    files = [place for place in words.places if place not in folders]
    result = compare_knowledge(
        Adviser(old, "plain"), Adviser(new, "plain"), _fields(files, old, new, over, words.only)
    )
    if words.json:
        show(result.as_json() + "\n")
    else:
        show_lines(changed_lines(result))
    return OK


def _situations(words: Namespace) -> int:
    try:
        one, two = words.places
    except ValueError:
        raise UseError("changed --situations takes two situation files") from None
    adviser = Adviser(knowledge_with(words.knowledge), "plain")
    found = compare_situations(consult_file(adviser, one, None), consult_file(adviser, two, None))
    if words.json:
        show(found.as_json() + "\n")
    else:
        show_lines(difference_lines(found))
    return OK


def _fields(files: list[str], old: Knowledge, new: Knowledge, more: list[str], only: str) -> Iterator[Given]:
    """The files that are named, then the cases of the new knowledge, or of the old where the new has none."""
    for file in files:
        situation, weather, _ = given(file)
        yield Given(file, situation, weather)
    places: list[Path | str] = [new.folder, *more]
    if not any((Path(place) / "cases").is_dir() for place in places):
        places = [old.folder if (old.folder / "cases").is_dir() else knowledge_folder()]
    for case in bank(places, [only]):
        yield Given(case.code, case.situation)
