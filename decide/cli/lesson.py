"""The command `lesson`: an advice step by step, exercises from the cases, a rule broken."""

from __future__ import annotations

import sys
from argparse import Namespace
from collections.abc import Iterable
from pathlib import Path

from decide.cli.cases import bank
from decide.cli.files import given, knowledge_with
from decide.cli.page import OK, say, show
from decide.cli.table import COMMANDS
from decide.cli.words import UseError
from decide.consult import Adviser
from decide.decision.consultation import Consultation
from decide.knowledge.load import knowledge_folder
from decide.lesson.breaking import break_rule, broken_lines
from decide.lesson.compare import compare, parting_lines
from decide.lesson.dot import dot
from decide.lesson.exercise_sheet import exercise_sheet
from decide.lesson.exercises import exercises
from decide.lesson.guess import guess
from decide.lesson.lines import lesson_lines
from decide.lesson.make import lesson as lesson_of
from decide.lesson.page import lesson_page
from decide.lesson.steps import Lesson
from decide.model.errors import DecideError
from decide.model.files import write_whole
from decide.shell.lesson_loop import Walk, walk


def lesson(words: Namespace) -> int:
    """The lesson on a situation file, or on the cases of the bank."""
    alone = [
        f"--{name}"
        for name, told in (("exercises", words.exercises), ("break", words.broken))
        if told is not None
    ]
    if alone[1:] or (alone and words.file is not None):
        other = "--exercises" if alone[0] == "--break" else "--break"
        raise UseError(f"{alone[0]} works on the cases of the bank: no file, and not with {other}")
    if not alone:
        return _of_file(words)
    adviser = Adviser(knowledge_with(words.knowledge), "plain")
    cases = bank([knowledge_folder(), *words.knowledge], [words.only])
    if words.broken is not None:
        show_lines(broken_lines(break_rule(adviser, cases, words.broken)))
    else:
        found = exercises(adviser, cases, words.exercises, words.seed, words.level)
        show(exercise_sheet(adviser.knowledge, found, words.seed, answers=words.answers))
    return OK


def show_lines(lines: Iterable[str]) -> None:
    """Print lines."""
    show("\n".join(lines) + "\n")


def consult_file(adviser: Adviser, file: str, units: str | None) -> Consultation:
    """The consultation of a situation file."""
    situation, weather, _ = given(file)
    return adviser.consult(
        situation, system="us" if units == "us" else "metric" if units else None, weather=weather
    )


def _of_file(words: Namespace) -> int:
    file = words.file
    if file is None:
        raise UseError(COMMANDS["lesson"].takes)
    outputs = {
        name: place for name, place in (("--dot", words.dot), ("--page", words.page)) if place is not None
    }
    places = list(outputs.values())
    if places.count("-") > 1 or ("-" not in places and len(set(places)) < len(places)):
        raise UseError("--dot and --page need a place each")
    if file in places and file != "-":
        raise UseError("the situation file would be written over", instead="Name another file")
    adviser = Adviser(knowledge_with(words.knowledge))
    try:
        first = consult_file(adviser, file, words.units)
        if words.other is not None:
            return _compared(first, consult_file(adviser, words.other, words.units), file, words.other)
        whole = lesson_of(first, [] if words.option is None else [words.option])
        for name, place in outputs.items():
            _write(place, dot(whole) if name == "--dot" else _page(first, whole, words))
        if outputs:
            return OK
        in_terminal = not words.all and sys.stdin.isatty() and sys.stdout.isatty()
        if (words.walk or in_terminal) and file != "-":
            return walk(Walk(first, whole, words.seed, guessing=words.guess), sys.stdin, sys.stdout)
        show_lines(_guessed(first, whole, words.seed) if words.guess else lesson_lines(whole))
        return OK
    finally:
        adviser.close()


def _page(first: Consultation, whole: Lesson, words: Namespace) -> str:
    hidden = [guess(first, whole, step.number, words.seed) for step in whole.steps] if words.guess else []
    return lesson_page(whole, hidden)


def _guessed(first: Consultation, whole: Lesson, seed: int) -> Iterable[str]:
    """Every step with its conclusion kept back, and the answers at the end."""
    for step in whole.steps:
        yield from (*guess(first, whole, step.number, seed).lines(), "")
    yield "\nAnswers"
    yield from (f"  {step.number}: {step.concludes} ({step.rule or 'the order'})" for step in whole.steps)


def _compared(one: Consultation, two: Consultation, file: str, other: str) -> int:
    names = (Path(file).stem or "the first", Path(other).stem or "the second")
    show_lines(
        parting_lines(compare(one, two), names if names[0] != names[1] else ("the first", "the second"))
    )
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
