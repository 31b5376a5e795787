"""The memory of a process over 2,000 consultations: `python -m tests.bench.parts.memory plain` is one such process."""

from __future__ import annotations

import sys
import tempfile
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from decide.consult import Adviser
from decide.engine.durable import available
from decide.engine.judge import Engines
from tests.bench.demo import knowledge, slight, varied
from tests.bench.measure import child, resident_mb
from tests.bench.rows import Row

EARLY, LATE = 200, 2_000
# A field with much to weigh takes long; so many consultations of it show what one of them leaves behind.
HEAVY_EVERY = 20


def held(engines: Engines) -> tuple[float, float]:
    """Megabytes that the process holds after the early and the late consultation, each of another field."""
    adviser = Adviser(knowledge(), engines)
    early = 0.0
    for number in range(1, LATE + 1):
        adviser.consult((slight if number % HEAVY_EVERY else varied)(number))
        if number == EARLY:
            early = resident_mb()
    return early, resident_mb()


def rows() -> Iterator[Row]:
    kinds = ["plain", *(["both"] if available() else [])]
    with tempfile.TemporaryDirectory() as folder, ThreadPoolExecutor() as pool:
        # Memory is no time: the processes may run beside one another.
        ran = dict(
            zip(
                kinds,
                pool.map(lambda kind: child("-m", __name__, kind, folder=Path(folder)), kinds),
                strict=True,
            )
        )
    for kind in ("plain", "both"):
        words = "plain evaluator" if kind == "plain" else "both engines"
        figure, beside = None, ""
        if kind in ran:
            early, late = map(float, ran[kind].out.split())
            figure, beside = late / early, f"{early:.0f} → {late:.0f} MB"
        yield Row(
            f"memory.{kind}",
            f"memory after {LATE:,} consultations beside {EARLY}, {words}",
            figure,
            "×",
            beside,
        )


if __name__ == "__main__":
    print(*held(sys.argv[1]))  # type: ignore[arg-type]
