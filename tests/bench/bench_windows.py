"""Prints what the windows of a place cost beside one consultation; nothing here is asserted, for machines differ.

Run from the checkout: python tests/bench/bench_windows.py
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))
ROUNDS = 7


def best(work: Callable[[], object]) -> float:
    """The quickest of some rounds, in milliseconds."""
    times = []
    for _ in range(ROUNDS):
        start = time.perf_counter()
        work()
        times.append(1000 * (time.perf_counter() - start))
    return min(times)


def main() -> None:
    from decide.answer.planting_calendar import planting_calendar
    from decide.consult import Adviser
    from decide.facts.complete import fill
    from decide.facts.library import Library
    from decide.knowledge.load import knowledge_folder, read_knowledge
    from decide.model.reading import read_situation
    from decide.report.windows_text import render_windows

    knowledge = read_knowledge()
    situation = read_situation((knowledge_folder() / "demo.toml").read_bytes())
    kept = Library(knowledge)
    planting_calendar(fill(situation, kept))

    def fresh() -> None:
        # The tables are read once for all; the season of the place is worked out anew.
        library = Library(knowledge)
        library.__dict__["tables"] = kept.tables
        library.__dict__["constants"] = kept.constants
        planting_calendar(fill(situation, library))

    adviser = Adviser(knowledge, "plain")
    adviser.consult(situation)

    def consult() -> None:
        adviser.library = Library(knowledge)
        adviser.library.__dict__["tables"] = kept.tables
        adviser.library.__dict__["constants"] = kept.constants
        adviser.consult(situation)

    ours, theirs = best(fresh), best(consult)
    held = fill(situation, kept)
    again, page = best(lambda: planting_calendar(held)), best(lambda: render_windows(planting_calendar(held)))
    print(
        f"all windows of a place, worked out anew: {ours:.0f} ms, {ours / theirs:.2f} x one plain consultation ({theirs:.0f} ms); wanted below 1"
    )
    print(f"the same once the season is known: {again:.1f} ms; with its page {page:.1f} ms")
    adviser.close()


if __name__ == "__main__":
    main()
