"""Which tests pass by which lines: the fast tests run once under coverage, each under its own name."""

from __future__ import annotations

import os
import subprocess
import sys
from collections import Counter
from dataclasses import dataclass
from pathlib import Path

from coverage import CoverageData


@dataclass(frozen=True)
class Passing:
    """The lines by which each test passed, and how many those are of each test."""

    data: CoverageData
    lines: Counter[str]

    def by(self, file: str, lines: range) -> list[str]:
        """The tests that pass by any of the lines of a file, those first that pass by the fewest lines in all; none
        where a line runs at the import alone.
        """
        measured = next((each for each in self.data.measured_files() if each.endswith(f"/{file}")), "")
        passed = self.data.contexts_by_lineno(measured) if measured else {}
        tests = {_test(context) for line in lines for context in passed.get(line, ()) if context}
        return sorted(tests, key=lambda test: (self.lines[test], test))


def read(file: Path) -> Passing:
    """What was measured before."""
    data = CoverageData(str(file))
    data.read()
    lines = Counter[str]()
    for measured in data.measured_files():
        for contexts in data.contexts_by_lineno(measured).values():
            lines.update({_test(context) for context in contexts if context})
    return Passing(data, lines)


def measure(house: Path, tests: tuple[str, ...], file: Path) -> None:
    """Runs the fast tests of a house and keeps in a file what each passes by; RuntimeError where one fails.

    What several tests share is made once, and stands under the name of the first of them.
    """
    # Each test by itself: those of a group bear its name too.
    command = [sys.executable, "-m", "pytest", "--dist=load", "-p", "no:cacheprovider", "--tb=short"]
    command += ["--hypothesis-seed=0", "--cov=decide", "--cov-context=test", "--cov-report=", *tests]
    environment = {
        **os.environ,
        "PYTHONPATH": str(house),
        "PYTHONHASHSEED": "0",
        "COVERAGE_FILE": str(file.resolve()),
    }
    ran = subprocess.run(command, cwd=house, capture_output=True, text=True, check=False, env=environment)
    if ran.returncode:
        raise RuntimeError(f"tests fail without a slip too:\n{ran.stdout}{ran.stderr}")


def _test(context: str) -> str:
    """The test of a context such as "tests/measure/test_soil.py::test_name|setup"."""
    return context.rpartition("|")[0]
