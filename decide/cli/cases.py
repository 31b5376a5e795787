"""The command `cases`: runs cases of the bank, and says what of each is not met."""

from __future__ import annotations

from argparse import Namespace
from pathlib import Path

from decide.cases.bank import consult_case, read_cases, unmet
from decide.cli.files import knowledge_with
from decide.cli.page import NO_ADVICE, OK, show
from decide.consult import Adviser
from decide.knowledge.load import knowledge_folder
from decide.model.errors import DecideError, meant


def cases(words: Namespace) -> int:
    """0 where every case that was run is met, 1 where one is not."""
    knowledge = knowledge_with(words.knowledge)
    folders = [
        folder / "cases" for folder in dict.fromkeys([knowledge_folder(), *map(Path, words.knowledge)])
    ]
    found = [case for folder in folders if folder.is_dir() for case in read_cases(folder)]
    held = [case for case in found if all(name in case.code for name in words.names)]
    if not held:
        raise DecideError(
            f"no case has {' and '.join(map(repr, words.names))} in its name",
            instead=meant(words.names[0], [case.code for case in found]) or "Write a part of a case's name",
        )
    adviser = Adviser(knowledge, "plain")
    failed = 0
    for case in held:
        wrong = unmet(case, consult_case(adviser, case))
        failed += bool(wrong)
        show(f"{case.code}: {'met' if not wrong else 'not met'}. {case.title}\n")
        show("".join(f"  {line}\n" for line in wrong))
    adviser.close()
    show(f"{len(held)} cases, {failed} not met\n")
    return NO_ADVICE if failed else OK
