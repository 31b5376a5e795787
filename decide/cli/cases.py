"""The command `cases`: runs cases of the bank, and says what of each is not met."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Sequence
from pathlib import Path

from decide.cases.bank import consult_case, read_cases, unmet
from decide.cases.signed import Case
from decide.cli.files import knowledge_with
from decide.cli.page import NO_ADVICE, OK, show
from decide.consult import Adviser
from decide.knowledge.audit_texts import check_stale_cases
from decide.knowledge.bounds import check_folders
from decide.knowledge.load import knowledge_folder
from decide.model.errors import DecideError, meant


def cases(words: Namespace) -> int:
    """0 where every case that was run is met, 1 where one is not."""
    adviser, failed = Adviser(knowledge_with(words.knowledge), "plain"), 0
    held = bank([knowledge_folder(), *words.knowledge], words.names)
    codes = {case.code for case in held}
    for problem in check_stale_cases(adviser.knowledge):
        if Path(problem.where.rpartition(":")[0]).stem in codes:
            raise problem
    for case in held:
        wrong = unmet(case, consult_case(adviser, case))
        failed += bool(wrong)
        show("".join([f"{'not met' if wrong else 'met'}: {case.code}\n", *(f"  {line}\n" for line in wrong)]))
    adviser.close()
    show(f"{len(held)} cases, {failed} not met\n")
    return NO_ADVICE if failed else OK


def bank(folders: Sequence[Path | str], names: Sequence[str]) -> list[Case]:
    """The cases of folders of knowledge whose names hold all the words; of two of a name that of the later
    folder.

    DecideError where there are none.
    """
    check_folders([Path(folder) for folder in folders])
    places = [Path(folder) / "cases" for folder in folders]
    found = {case.code: case for place in places if place.is_dir() for case in read_cases(place)}
    held = [case for code, case in found.items() if all(name in code for name in names)]
    if not held:
        raise DecideError(
            f"no case has {' and '.join(map(repr, names))} in its name"
            if any(names)
            else "there are no cases",
            where=", ".join(map(str, places)),
            instead=(meant(names[0], found) if names else "")
            or "Write a part of a case's name, or leave it out",
        )
    return held
