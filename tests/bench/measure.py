"""Measures work by the processor's own time and by the memory that it holds, so that other work on the machine weighs on no figure."""

from __future__ import annotations

import os
import resource
import subprocess
import sys
import time
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import NamedTuple

ROOT = Path(__file__).parents[2]
Work = Callable[[], object]


def spent(work: Work) -> float:
    """Milliseconds of the processor that one run of `work` takes."""
    start = time.process_time()
    work()
    return 1000 * (time.process_time() - start)


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


def child(*words: str, folder: Path, stdin: bytes = b"") -> Ran:
    """Runs Python with these words in a new process; whatever the program keeps for its user goes under `folder`."""
    env = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    env |= {"XDG_CACHE_HOME": str(folder), "HOME": str(folder), "PYTHONPATH": str(ROOT)}
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    done = subprocess.run(
        [sys.executable, *words], input=stdin, capture_output=True, cwd=folder, env=env, check=False
    )
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    took = after.ru_utime - before.ru_utime + after.ru_stime - before.ru_stime
    return Ran(1000 * took, done.stdout, done.returncode)


def best_child(*words: str, folder: Path, rounds: int = 3, stdin: bytes = b"") -> Ran:
    """The quickest of some new processes, after one that is not counted: it may keep what the next ones find.

    RuntimeError where the program fails: the time of a failure is no figure.
    """
    child(*words, folder=folder, stdin=stdin)
    found = [child(*words, folder=folder, stdin=stdin) for _ in range(rounds)]
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
