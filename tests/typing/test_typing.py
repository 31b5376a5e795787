"""The types that the package shows to a strict checker: what an embedder may rely on, and what is refused."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from importlib.resources import files
from pathlib import Path

import pytest

import decide

HERE = Path(__file__).parent
MARK = re.compile(r"# E: ([a-z-]+)")


def checked(path: Path) -> set[tuple[int, str]]:
    """Line and kind of each error that mypy finds in a file, checked strictly, as one that imports the library."""
    done = subprocess.run(
        [sys.executable, "-m", "mypy", "--strict", "--config-file", os.devnull, "--no-error-summary", "--follow-imports", "silent", str(path)],
        capture_output=True, text=True, check=False, cwd=HERE.parents[1], env={**os.environ, "MYPYPATH": str(HERE.parents[1])},
    )  # fmt: skip
    errors = re.findall(rf"{path.name}:(\d+): error: .*\[([a-z-]+)\]$", done.stdout, re.MULTILINE)
    assert len(errors) == done.stdout.count(": error: "), done.stdout
    assert done.returncode in (0, 1), done.stdout + done.stderr
    return {(int(line), kind) for line, kind in errors}


def test_the_package_says_that_it_is_typed() -> None:
    assert files("decide").joinpath("py.typed").is_file()


def test_every_public_name_is_used_by_the_embedder() -> None:
    text = (HERE / "embedder.py").read_text(encoding="utf-8")
    named = set(re.findall(r"\w+", text))
    # An engine that differs and knowledge that is broken are errors like any other to who embeds.
    assert set(decide.__all__) - named == {"EngineError", "KnowledgeError"}


@pytest.mark.slow
def test_an_embedder_is_checked_strictly_and_a_mistake_is_found() -> None:
    pytest.importorskip("mypy", reason="mypy comes with the extra `test`")
    assert checked(HERE / "embedder.py") == set()
    lines = (HERE / "mistakes.py").read_text(encoding="utf-8").splitlines()
    marked = {(n, found[1]) for n, line in enumerate(lines, 1) if (found := MARK.search(line))}
    assert len(marked) >= 13
    assert checked(HERE / "mistakes.py") == marked
