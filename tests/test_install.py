"""The package installs from a clean checkout, with its knowledge, and without a compiler: slow, run by .ci/run; what it must hold is checked fast."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
import tarfile
import tomllib
import zipfile
from collections.abc import Iterable
from pathlib import Path

import pytest

from tests import packaged

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
    assert "nothing wrong" in run(bin_ / "python", "-I", ROOT / "tests" / "packaged.py", "installed", env=env)


# ---------- what the package must hold ----------
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
TRIED = ("3.11", "3.12", "3.13")


def test_what_the_wheel_must_hold_is_in_the_checkout() -> None:
    for name in packaged.IN_WHEEL:
        assert (ROOT / name.replace("decide/data/", "knowledge/")).is_file(), name
    for name in (*packaged.LICENCES, *packaged.IN_SDIST):
        assert (ROOT / name).is_file(), name
    assert set(packaged.LICENCES) == set(PROJECT["license-files"])


def test_classifiers_name_only_what_was_tried() -> None:
    assert [line for line in PROJECT["classifiers"] if "Python ::" in line] == [
        f"Programming Language :: Python :: {version}" for version in TRIED
    ]
    assert PROJECT["requires-python"] == f">={TRIED[0]}"


def test_every_library_has_a_lowest_version_and_is_one_that_was_decided_on() -> None:
    for line in PROJECT["dependencies"]:
        name, _, rest = line.partition(">=")
        assert rest[:1].isdigit(), line
        assert name.replace("_", "-") in packaged.BROUGHT


def archives(folder: Path, left_out: Iterable[str] = (), more: Iterable[str] = ()) -> tuple[str, str]:
    """A wheel and an sdist of empty files, without some of what they must hold, and with something else."""
    wheel, sdist = folder / "a.whl", folder / "a.tar.gz"
    info = "decide_turf-0.1.0.dist-info"
    names = {*packaged.IN_WHEEL, *(f"{info}/licenses/{name}" for name in packaged.LICENCES), *more} - {
        *left_out
    }
    with zipfile.ZipFile(wheel, "w") as file:
        for name in sorted(names):
            file.writestr(name, "")
        file.writestr(f"{info}/METADATA", "License-Expression: MIT\nRequires-Python: >=3.11\n")
    with tarfile.open(sdist, "w:gz") as file:
        for name in {*packaged.IN_SDIST} - {*left_out}:
            file.addfile(tarfile.TarInfo(f"decide_turf-0.1.0/{name}"))
    return str(wheel), str(sdist)


def test_what_is_missing_or_does_not_belong_in_the_archives_is_found(tmp_path: Path) -> None:
    assert packaged.built(*archives(tmp_path)) == []
    licence = "decide_turf-0.1.0.dist-info/licenses/LICENSE"
    found = packaged.built(
        *archives(tmp_path, ["decide/py.typed", licence, "tests/packaged.py"], ["tests/x.py"])
    )
    assert found == [
        "the wheel lacks decide/py.typed", "the wheel holds tests/x.py", "no licence LICENSE", "the sdist lacks tests/packaged.py",
        "the sdist lacks decide/py.typed",
    ]  # fmt: skip


def test_advices_may_differ_in_engines_alone_and_a_bill_names_what_was_decided_on(tmp_path: Path) -> None:
    def put(name: str, told: object) -> str:
        (tmp_path / name).write_text(json.dumps(told), encoding="utf-8")
        return str(tmp_path / name)

    one = put("1", {"knowledge": {"engines": ["plain"], "digest": "a"}, "decision": "repair"})
    two = put(
        "2",
        {"knowledge": {"engines": ["plain", "durable"], "checked": 9, "digest": "a"}, "decision": "repair"},
    )
    three = put("3", {"knowledge": {"engines": ["plain"], "digest": "a"}, "decision": "wait"})
    assert packaged.same(one, two) == []
    assert packaged.same(one, two, three) == [f"{three} differs from {one}"]
    parts = [{"name": name} for name in ("numpy", "pydantic", "rich")]
    assert packaged.bill(put("bill", {"components": parts})) == []
    assert packaged.bill(put("bill", {"components": [*parts[:2], {"name": "Left_Pad"}]})) == [
        "the bill lacks rich",
        "nobody decided to bring left-pad along",
    ]
