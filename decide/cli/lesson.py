"""The command `lesson`: an advice told as a story, sheets for a class, rules in words, a rule broken."""

from __future__ import annotations

import sys
from argparse import Namespace
from collections.abc import Iterable
from pathlib import Path
from typing import Final

from decide.cases.signed import Case
from decide.cli.cases import bank
from decide.cli.files import given, knowledge_with
from decide.cli.page import OK, page, say, show
from decide.cli.table import COMMANDS
from decide.cli.words import UseError
from decide.consult import Adviser
from decide.decision.consultation import Consultation
from decide.knowledge.load import knowledge_folder
from decide.lesson.breaking import breaking, broken_here, change_lines, end_line, rule_head, without
from decide.lesson.compare import compare, parting_lines
from decide.lesson.dot import dot
from decide.lesson.exercise_sheet import exercise_sheet
from decide.lesson.exercises import exercises
from decide.lesson.lines import sheet_lines, story_lines, wrapped
from decide.lesson.page import lesson_page
from decide.lesson.rules_said import rules_lines
from decide.lesson.starter import lesson_plan, starter_sheet
from decide.lesson.story import Story, story
from decide.model.errors import DecideError
from decide.model.files import write_whole
from decide.model.words import to_ascii
from decide.shell.lesson_loop import Walk, walk

# So many cases that come out otherwise are enough to talk about, and so many judged take some seconds.
_ENOUGH: Final = 3
_MOST_JUDGED: Final = 4
_EVERY: Final = 2


def lesson(words: Namespace) -> int:
    """The lesson on a situation file, on the cases of the bank, or on the rules."""
    rows = (("exercises", words.exercises), ("break", words.broken), ("rules", words.rules))
    alone = [f"--{name}" for name, told in rows if told is not None]
    if alone[1:]:
        raise UseError(f"{alone[0]} does not go with {alone[1]}")
    if words.file is not None and alone in (["--exercises"], ["--rules"]):
        raise UseError(f"{alone[0]} takes no file")
    if words.file is not None:
        return _of_file(words)
    if not alone:
        raise UseError(COMMANDS["lesson"].takes)
    adviser = Adviser(knowledge_with(words.knowledge), "plain")
    if words.rules is not None:
        show_lines(rules_lines(adviser, words.rules, "us" if words.units == "us" else "metric"), words.width)
        return OK
    cases = bank([knowledge_folder(), *words.knowledge], [words.only])
    if words.broken is not None:
        _break(adviser, cases, words)
    else:
        found = exercises(adviser, cases, words.exercises, words.seed, words.level)
        show(exercise_sheet(adviser.knowledge, found, words.seed, answers=words.answers))
    return OK


def show_lines(lines: Iterable[str], width: int | None = None) -> None:
    """Print lines, no wider than the page."""
    shown = page(width)
    for line in wrapped(map(to_ascii, lines) if shown.ascii_only else lines, shown.width):
        show(f"{line}\n")


def consult_file(
    adviser: Adviser, file: str, units: str | None, without_rules: frozenset[str] = frozenset()
) -> Consultation:
    """The consultation of a situation file."""
    situation, weather, _ = given(file)
    return adviser.consult(
        situation,
        system="us" if units == "us" else "metric" if units else None,
        weather=weather,
        without=without_rules,
    )


def _break(adviser: Adviser, cases: list[Case], words: Namespace) -> None:
    """Each case that comes out otherwise as soon as it is found, with how far it is on a terminal."""
    k, shown = adviser.knowledge, 0
    stops = (None, None) if words.all else (_ENOUGH, _MOST_JUDGED)
    found = breaking(adviser, cases, words.broken, *stops)
    broken = next(found)
    show_lines(rule_head(adviser, words.broken), words.width)
    for broken in found:
        for change in broken.changes[shown:]:
            show_lines(change_lines(k, change), words.width)
        shown = len(broken.changes)
        if broken.looked_at % _EVERY == 0 and sys.stderr.isatty():
            say(k.text("lesson-break-progress", looked=broken.looked_at, cases=broken.cases))
    show_lines([end_line(broken)], words.width)


# ---------- of a file ----------
def _of_file(words: Namespace) -> int:
    file = words.file
    outputs = {
        name: place for name, place in (("--dot", words.dot), ("--page", words.page)) if place is not None
    }
    places = list(outputs.values())
    if places.count("-") > 1 or ("-" not in places and len(set(places)) < len(places)):
        raise UseError("--dot and --page need a place each")
    if file in places and file != "-":
        raise UseError("the situation file would be written over", instead="Name another file")
    if words.broken is not None and file == "-":
        raise UseError("--break judges the file twice", instead="Name a file")
    adviser = Adviser(knowledge_with(words.knowledge), "both" if words.broken is None else "plain")
    if sys.stderr.isatty():
        say(adviser.knowledge.text("lesson-moment"))
    try:
        first = consult_file(adviser, file, words.units)
        if words.broken is not None:
            other = consult_file(adviser, file, words.units, without(adviser, words.broken))
            show_lines(broken_here(first, other, words.broken), words.width)
            return OK
        if words.other is not None:
            return _compared(first, consult_file(adviser, words.other, words.units), words)
        return _told(story(first, words.part, words.seed, words.option), words, outputs)
    finally:
        adviser.close()


def _told(told: Story, words: Namespace, outputs: dict[str, str]) -> int:
    """The story in the form that is asked for."""
    for name, place in outputs.items():
        _write(place, dot(told) if name == "--dot" else lesson_page(told, guessing=words.guess))
    if words.starter:
        show(starter_sheet(told))
    if words.plan:
        show(lesson_plan(told))
    if outputs or words.starter or words.plan:
        return OK
    in_terminal = not words.all and sys.stdin.isatty() and sys.stdout.isatty()
    if (words.walk or in_terminal) and words.file != "-":
        return walk(Walk(told, guessing=words.guess), sys.stdin, sys.stdout, page(words.width).width)
    show_lines(sheet_lines(told) if words.guess else story_lines(told, opened=words.all), words.width)
    return OK


def _compared(one: Consultation, two: Consultation, words: Namespace) -> int:
    names = (Path(words.file).stem or "the first", Path(words.other).stem or "the second")
    two_names = names if names[0] != names[1] else ("the first", "the second")
    show_lines(parting_lines(compare(one, two), two_names), words.width)
    return OK


def _write(place: str, text: str) -> None:
    if place == "-":
        show(text)
        return
    target = Path(place)
    if target.is_dir() or not target.name:
        raise DecideError("this is a folder", where=place, instead="Name a file")
    try:
        write_whole(target, text.encode("utf-8", "replace"), 0o644)
    except (OSError, ValueError) as error:
        raise DecideError(
            getattr(error, "strerror", None) or "it cannot be written",
            where=place,
            instead="Name a file in a folder of yours",
        ) from None
    say(f"Written: {place}")
