"""The package installs from a clean checkout, with its knowledge, and without a compiler; slow, run by .ci/run."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
PYTHONS = [name for name in ("python3.11", "python3.12", "python3.13", "python3.14") if shutil.which(name)]


def run(*words: str | Path, env: dict[str, str] | None = None) -> str:
    done = subprocess.run([str(w) for w in words], capture_output=True, text=True, env=env, check=False)
    assert done.returncode == 0, done.stderr[-2000:]
    return done.stdout


def usable(python: str) -> bool:
    return subprocess.run([python, "-c", "import venv"], capture_output=True, check=False).returncode == 0


@pytest.mark.slow
@pytest.mark.parametrize("python", [python for python in PYTHONS if usable(python)] or [sys.executable])
def test_installs_and_advises_without_a_compiler(python: str, tmp_path: Path) -> None:
    env = {key: value for key, value in os.environ.items() if key not in ("PYTHONPATH", "CC", "VIRTUAL_ENV")}
    run(python, "-m", "venv", tmp_path / "venv", env=env)
    bin_ = tmp_path / "venv" / "bin"
    env |= {"PATH": str(bin_), "CC": "no-such-compiler"}
    run(bin_ / "python", "-m", "pip", "install", "--quiet", "--disable-pip-version-check", ROOT, env=env)
    version = run(bin_ / "decide", "--version", env=env)
    assert "only the plain engine is in use" in version
    advice = json.loads(run(bin_ / "decide", "demo", "--json", env=env))
    assert advice["knowledge"]["engines"] == ["plain"]
    assert advice["programme"]
    there = run(
        bin_ / "python",
        "-I",
        "-c",
        "import decide, decide.knowledge.load; print(decide.knowledge.load.knowledge_folder())",
        env=env,
    )
    assert "site-packages/decide/data" in there.replace(os.sep, "/")
    assert not list((tmp_path / "venv").glob("lib/*/site-packages/knowledge"))
