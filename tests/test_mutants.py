"""Wrong judgements planted in a copy of the house: the tests that must notice each do notice it."""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from tests.mutants import MUTANTS, Mutant

pytestmark = pytest.mark.slow

HOUSE = Path(__file__).parents[1]
TESTS_FAILED = 1


def _holders(mutant: Mutant) -> list[Path]:
    files = [*(HOUSE / "decide").rglob("*.py"), *(HOUSE / "knowledge").rglob("*.toml")]
    return [path for path in files for _ in range(path.read_text(encoding="utf-8").count(mutant.right))]


def _ran(house: Path, tests: tuple[str, ...]) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-m", "pytest", "-n", "0", "-x", "-m", "slow or not slow", *tests]
    return subprocess.run(
        command, cwd=house, capture_output=True, text=True, check=False, env={"PYTHONPATH": ""}
    )


def _copied(house: Path) -> None:
    for folder in ("decide", "knowledge", "tests"):
        shutil.copytree(HOUSE / folder, house / folder, ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copy(HOUSE / "pyproject.toml", house)


def test_nothing_is_noticed_where_nothing_is_planted(tmp_path: Path) -> None:
    _copied(tmp_path)
    ran = _ran(tmp_path, tuple(sorted({test for mutant in MUTANTS for test in mutant.tests})))
    assert ran.returncode == 0, ran.stdout[-2000:] + ran.stderr[-2000:]


@pytest.mark.parametrize("mutant", MUTANTS, ids=lambda mutant: mutant.name)
def test_is_noticed(mutant: Mutant, tmp_path: Path) -> None:
    (holder,) = _holders(mutant)
    _copied(tmp_path)
    planted = tmp_path / holder.relative_to(HOUSE)
    text = planted.read_text(encoding="utf-8")
    planted.write_text(text.replace(mutant.right, mutant.wrong), encoding="utf-8")
    ran = _ran(tmp_path, mutant.tests)
    assert ran.returncode == TESTS_FAILED, f"nothing notices it:\n{ran.stdout[-2000:]}{ran.stderr[-2000:]}"


def test_there_are_no_fewer_than_were_found_to_survive() -> None:
    assert len({mutant.name for mutant in MUTANTS}) >= 14
