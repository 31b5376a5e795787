"""The commands `lesson` and `changed`: reads their words, does what they ask, and gives the exit code."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Final

from decide.cases.bank import Case, read_cases
from decide.cases.changed import Given, changed_lines, compare_knowledge, compare_situations, difference_lines
from decide.consult import Adviser
from decide.decision.consultation import Consultation
from decide.knowledge.load import knowledge_folder, read_knowledge
from decide.knowledge.tables import Knowledge
from decide.model.errors import DecideError, meant
from decide.model.files import write_whole

if TYPE_CHECKING:
    from decide.measure.weather import DailyWeather
    from decide.model.situation import Situation

OK, WRONG_USE = 0, 2
Reader = Callable[[str], "tuple[Situation, DailyWeather | None, str]"]
Show = Callable[[str], None]
_LESSON_FLAGS: Final = ("--guess", "--all", "--walk", "--answers")
_LESSON_NAMED: Final = (
    "--with",
    "--option",
    "--dot",
    "--page",
    "--exercises",
    "--seed",
    "--level",
    "--break",
    "--only",
    "--units",
)
_CHANGED_FLAGS: Final = ("--json", "--situations")
_CHANGED_NAMED: Final = ("--only",)


class Misuse(Exception):  # noqa: N818 - it is said to the person, and is no fault of the program
    """Words of a command that cannot be meant."""


@dataclass(frozen=True)
class Words:
    """The words of a command, sorted: flags that are set, named words, and the plain ones."""

    flags: frozenset[str]
    named: Mapping[str, str]
    plain: tuple[str, ...]

    def whole(self, name: str, least: int, otherwise: int) -> int:
        """A whole number that was named; Misuse where it is none."""
        said = self.named.get(name)
        if said is None:
            return otherwise
        if not said.isdecimal() or len(said) > 9 or int(said) < least:
            raise Misuse(f"{name} is a whole number from {least} up")
        return int(said)


def sort_words(command: str, words: Iterable[str], flags: Iterable[str], named: Iterable[str]) -> Words:
    """Sort the words of a command; Misuse, with the nearest, for an option that it does not have."""
    known_flags, known_named = tuple(flags), tuple(named)
    found: set[str] = set()
    values: dict[str, str] = {}
    plain: list[str] = []
    rest = list(words)
    while rest:
        word = rest.pop(0)
        if word in known_flags:
            found.add(word)
        elif word in known_named:
            if not rest:
                raise Misuse(f"{word} needs a word after it")
            values[word] = rest.pop(0)
        elif word.startswith("-") and word != "-":
            raise Misuse(
                f"{word!r} is not an option of {command}. {meant(word, [*known_flags, *known_named])}"
            )
        else:
            plain.append(word)
    return Words(frozenset(found), values, tuple(plain))


def _bank(folder: Path, only: str) -> list[Case]:
    cases = list(read_cases(folder, only))
    if not cases:
        raise DecideError(
            "no case has such a name" if only else "there are no cases",
            where=str(folder),
            instead="Write a part of a case's name, or leave --only out",
        )
    return cases


# ---------- lesson ----------
def lesson_command(words: list[str], read: Reader, show: Show) -> int:
    """`decide lesson`: exit code 0; Misuse and DecideError are for the caller to say."""
    given = sort_words("lesson", words, _LESSON_FLAGS, _LESSON_NAMED)
    only = given.named.get("--only", "")
    alone = [name for name in ("--exercises", "--break") if name in given.named]
    if len(alone) == 2 or (alone and given.plain):
        raise Misuse(
            f"{alone[0]} works on the cases of the bank: no file, and not with {'--exercises' if alone[0] == '--break' else '--break'}"
        )
    if "--exercises" in given.named:
        return _exercises(given, only, show)
    if "--break" in given.named:
        from decide.lesson.breaking import break_rule, broken_lines

        adviser = Adviser(read_knowledge(), "plain")
        show(
            _lines(
                broken_lines(
                    break_rule(adviser, _bank(knowledge_folder() / "cases", only), given.named["--break"])
                )
            )
        )
        return OK
    if len(given.plain) != 1:
        raise Misuse(
            'lesson takes one situation file, or "-" for standard input; or --exercises N, or --break RULE'
        )
    return _file_lesson(given, read, show)


def _exercises(given: Words, only: str, show: Show) -> int:
    from decide.lesson.exercises import Grade, exercises, sheet

    count, seed, level = (
        given.whole("--exercises", 1, 1),
        given.whole("--seed", 0, 0),
        given.whole("--level", 1, 0),
    )
    grades: dict[int, Grade | None] = {0: None, 1: 1, 2: 2, 3: 3}
    if level not in grades:
        raise Misuse("--level is 1, 2 or 3")
    adviser = Adviser(read_knowledge(), "plain")
    found = exercises(adviser, _bank(knowledge_folder() / "cases", only), count, seed, grades[level])
    show(sheet(found, seed, answers="--answers" in given.flags))
    return OK


def _file_lesson(given: Words, read: Reader, show: Show) -> int:
    from decide.lesson.graph import dot, lesson_page
    from decide.lesson.guess import guess
    from decide.lesson.steps import lesson, lesson_lines
    from decide.shell.lesson_loop import Walk, walk

    units = given.named.get("--units")
    if units not in (None, "metric", "us"):
        raise Misuse("--units is metric or us")
    file, seed = given.plain[0], given.whole("--seed", 0, 0)
    outputs = {name: given.named[name] for name in ("--dot", "--page") if name in given.named}
    if list(outputs.values()).count("-") > 1 or (
        "-" not in outputs.values() and len(set(outputs.values())) < len(outputs)
    ):
        raise Misuse("--dot and --page need a place each")
    if file in outputs.values() and file != "-":
        raise Misuse("the situation file would be written over. Name another file")
    adviser = Adviser(read_knowledge())
    try:
        first = _consult(adviser, file, read, units)
        if "--with" in given.named:
            return _compared(
                first,
                _consult(adviser, given.named["--with"], read, units),
                (file, given.named["--with"]),
                show,
            )
        whole = lesson(first, [given.named["--option"]] if "--option" in given.named else [])
        hidden = "--guess" in given.flags
        for name, path in outputs.items():
            text = (
                dot(whole)
                if name == "--dot"
                else lesson_page(
                    whole, [guess(first, whole, step.number, seed) for step in whole.steps] if hidden else []
                )
            )
            _write(path, text, show)
        if outputs:
            return OK
        walked = "--walk" in given.flags or (
            "--all" not in given.flags and file != "-" and sys.stdin.isatty() and sys.stdout.isatty()
        )
        if walked and file != "-":
            return walk(Walk(first, whole, seed, guessing=hidden), sys.stdin, sys.stdout)
        if hidden:
            show(
                _lines(
                    line
                    for step in whole.steps
                    for line in (*guess(first, whole, step.number, seed).lines(), "")
                )
            )
            show(
                _lines(
                    [
                        "Answers",
                        *(
                            f"  {step.number}: {step.concludes} ({step.rule or 'the order'})"
                            for step in whole.steps
                        ),
                    ]
                )
            )
            return OK
        show(_lines(lesson_lines(whole)))
        return OK
    finally:
        adviser.close()


def _consult(adviser: Adviser, file: str, read: Reader, units: str | None) -> Consultation:
    situation, weather, _ = read(file)
    return adviser.consult(situation, system=units, weather=weather)  # type: ignore[arg-type]


def _compared(one: Consultation, two: Consultation, files: tuple[str, str], show: Show) -> int:
    from decide.lesson.compare import compare, parting_lines

    names = (Path(files[0]).stem or "the first", Path(files[1]).stem or "the second")
    show(
        _lines(
            parting_lines(compare(one, two), names if names[0] != names[1] else ("the first", "the second"))
        )
    )
    return OK


def _lines(lines: Iterable[str]) -> str:
    return "\n".join(lines) + "\n"


def _write(path: str, text: str, show: Show) -> None:
    if path == "-":
        show(text)
        return
    target = Path(path)
    if target.is_dir() or not target.name:
        raise DecideError("this is a folder", where=path, instead="Name a file")
    try:
        write_whole(target, text.encode("utf-8", "replace"), 0o644)
    except (OSError, ValueError) as error:
        raise DecideError(
            getattr(error, "strerror", None) or "it cannot be written",
            where=path,
            instead="Name a file in a folder of yours",
        ) from None
    print(f"Written: {path}", file=sys.stderr)


# ---------- changed ----------
def changed_command(words: list[str], read: Reader, show: Show) -> int:
    """`decide changed`: exit code 0; Misuse and DecideError are for the caller to say."""
    given = sort_words("changed", words, _CHANGED_FLAGS, _CHANGED_NAMED)
    as_json = "--json" in given.flags
    if "--situations" in given.flags:
        if len(given.plain) != 2:
            raise Misuse("changed --situations takes two situation files")
        adviser = Adviser(read_knowledge(), "plain")
        found = compare_situations(*(_consult(adviser, file, read, None) for file in given.plain))
        show(found.as_json() + "\n" if as_json else _lines(difference_lines(found)))
        return OK
    folders = [word for word in given.plain if Path(word).is_dir()]
    files = [word for word in given.plain if word not in folders]
    if not 1 <= len(folders) <= 2:
        raise Misuse(
            "changed takes one or two folders with knowledge, the old one first, and situation files after them; or --situations A B"
        )
    new_folder = Path(folders[1]) if len(folders) == 2 else knowledge_folder()
    old, new = read_knowledge(folders[0]), read_knowledge(new_folder)
    result = compare_knowledge(
        Adviser(old, "plain"),
        Adviser(new, "plain"),
        _situations(files, read, new_folder, old, given.named.get("--only", "")),
    )
    show(result.as_json() + "\n" if as_json else _lines(changed_lines(result)))
    return OK


def _situations(files: list[str], read: Reader, folder: Path, old: Knowledge, only: str) -> Iterator[Given]:
    """The files that are named, then the cases of the new knowledge, or of the old where the new has none."""
    for file in files:
        situation, weather, _ = read(file)
        yield Given(file, situation, weather)
    bank = next(
        (
            place
            for place in (folder / "cases", old.folder / "cases", knowledge_folder() / "cases")
            if place.is_dir()
        ),
        folder / "cases",
    )
    for case in _bank(bank, only):
        yield Given(case.code, case.situation)
