"""What many tests share: the knowledge folder, an adviser on it and the case bank, read once a process; and samples of long lists."""

from collections.abc import Callable, Iterable
from functools import cache
from importlib.util import find_spec
from pathlib import Path
from typing import Any

import pytest

from decide.cases.bank import consult_case, fired_rules, read_cases
from decide.cases.signed import Case
from decide.consult import Adviser
from decide.decision.consultation import Consultation
from decide.knowledge.load import knowledge_folder, read_knowledge
from decide.knowledge.plants import names_of
from decide.knowledge.tables import Knowledge
from decide.knowledge.wording import own_language
from decide.measure.numbers import Names

CASE_FOLDER = knowledge_folder() / "cases"
# The words that every room shares.
LANGUAGE = own_language()


# Long tests of the whole bank share one worker, which holds its consultations.
BANK = (pytest.mark.slow, pytest.mark.xdist_group("bank"))
REFERENCE = "it comes with the extra `reference`"
PEERS = "it comes with the extra `peers`"


def reference(name: str) -> Any:
    """A reference library that a test holds the program against; the test is skipped where it is not installed."""
    return pytest.importorskip(name, reason=f"{name} is not installed: {REFERENCE}")


def weather_files() -> tuple[Path | None, pytest.MarkDecorator]:
    """Where an installed package carries files of daily weather, and the mark for tests that need them; it is never imported."""
    spec = find_spec("aquacrop")
    folder = Path(next(iter(spec.submodule_search_locations or [""]))) / "data" if spec is not None else None
    return folder, pytest.mark.skipif(folder is None, reason=f"aquacrop is not installed: {REFERENCE}")


def sampled(rows: Iterable[Any], each: int, named: Callable[[Any], str] | None = None) -> list[Any]:
    """Parameters of which the fast run takes every `each`-th; .ci/run takes all."""
    return [
        pytest.param(row, id=named(row) if named else None, marks=pytest.mark.slow if n % each else ())
        for n, row in enumerate(rows)
    ]


@cache
def case_codes() -> list[str]:
    """The names of the bank's cases, for parameters: no case is read while tests are only listed. Files of
    pairs alone are left out.
    """
    return sorted(path.stem for path in CASE_FOLDER.glob("*.toml") if "\n[expect" in path.read_text("utf-8"))


@cache
def pair_files() -> list[Path]:
    """The files of the bank that hold pairs."""
    return sorted(path for path in CASE_FOLDER.glob("*.toml") if "\n[[pair]]" in path.read_text("utf-8"))


@cache
def case_of(code: str) -> Case:
    found = [case for case in read_cases(CASE_FOLDER, code) if case.code == code]
    assert len(found) == 1
    return found[0]


@cache
def consulted(code: str) -> Consultation:
    """What the plain engine makes of a case, judged once a process; nothing of it is to be changed."""
    return consult_case(adviser(), case_of(code))


@cache
def fired(code: str) -> frozenset[str]:
    """The rules that fire in a case."""
    return frozenset(fired_rules(consulted(code)))


@cache
def knowledge() -> Knowledge:
    return read_knowledge()


@cache
def names() -> Names:
    """The grasses, mixtures and methods of the knowledge, as the measures name them."""
    return names_of(knowledge())


@cache
def adviser() -> Adviser:
    return Adviser(knowledge(), "plain")
