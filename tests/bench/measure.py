"""Measures work by the processor's own time and by the memory that it holds, so that other work on the machine weighs on no figure."""

from __future__ import annotations

import gc
import os
import resource
import subprocess
import sys
import time
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import NamedTuple

ROOT = Path(__file__).parents[2]
Work = Callable[[], object]


def spent(work: Work) -> float:
    """Milliseconds of the processor that one run of `work` takes, collecting its own rubbish and nobody else's."""
    gc.collect()
    gc.freeze()
    start = time.process_time()
    work()
    took = time.process_time() - start
    gc.unfreeze()
    return 1000 * took


def best(work: Work, rounds: int = 3) -> float:
    """The quickest of some rounds, in milliseconds of the processor."""
    return min(spent(work) for _ in range(rounds))


def interleaved(works: Mapping[str, Work], rounds: int, warm: bool = True) -> dict[str, float]:
    """The quickest of some rounds of each work, in milliseconds; the works take turns, so that none has the quiet hour for itself.

    With `warm` each is run once before, uncounted: what is compiled once for all consultations is not part of one.
    """
    if warm:
        for work in works.values():
            work()
    found: dict[str, list[float]] = {name: [] for name in works}
    for _ in range(rounds):
        for name, work in works.items():
            found[name].append(spent(work))
    return {name: min(times) for name, times in found.items()}


class Ran(NamedTuple):
    """What a child process took (milliseconds of the processor, user and system, its own children too), and what it printed."""

    ms: float
    out: bytes
    code: int


def _environment(folder: Path) -> dict[str, str]:
    env = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    return env | {"XDG_CACHE_HOME": str(folder), "HOME": str(folder), "PYTHONPATH": str(ROOT)}


def _children() -> float:
    """Milliseconds of the processor that all ended children of this process took."""
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return 1000 * (used.ru_utime + used.ru_stime)


def child(*words: str, folder: Path) -> Ran:
    """Runs Python with these words in a new process; whatever the program keeps for its user goes under `folder`."""
    before = _children()
    done = subprocess.run(
        [sys.executable, *words],
        stdin=subprocess.DEVNULL,
        capture_output=True,
        cwd=folder,
        env=_environment(folder),
        check=False,
    )
    return Ran(_children() - before, done.stdout, done.returncode)


def until(words: Sequence[str], said: bytes, folder: Path) -> float:
    """Milliseconds of the processor that a new process takes until it has printed a line with `said`; it is ended then."""
    before = _children()
    with subprocess.Popen(
        [sys.executable, *words],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        cwd=folder,
        env=_environment(folder),
    ) as process:
        assert process.stdout is not None
        found = any(said in line for line in process.stdout)
        process.kill()
    if not found:
        raise RuntimeError(f"python {' '.join(words)} ended before it said {said.decode()!r}")
    return _children() - before


def best_child(*words: str, folder: Path, rounds: int = 3) -> Ran:
    """The quickest of some new processes, after one that is not counted: it may keep what the next ones find.

    RuntimeError where the program fails: the time of a failure is no figure.
    """
    child(*words, folder=folder)
    found = [child(*words, folder=folder) for _ in range(rounds)]
    if any(each.code for each in found):
        raise RuntimeError(f"python {' '.join(words)} ended with {found[0].code}")
    return min(found, key=lambda each: each.ms)


def resident_mb() -> float:
    """The memory that this process holds now, in megabytes; the most that it ever held where the system does not say."""
    status = Path("/proc/self/status")
    if status.exists():
        for line in status.read_text(encoding="ascii").splitlines():
            if line.startswith("VmRSS:"):
                return int(line.split()[1]) / 1024
    most = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return most / (1024 * 1024 if sys.platform == "darwin" else 1024)
