"""Prints how long a talk keeps a person waiting; nothing here is asserted, for machines differ.

Seconds by the clock, and of the processor in brackets, so that other work on the machine can be told from the program's own. The
first prompt and the talk are run as a person would meet them: a new process, then one answer after the other, with a pause for reading or without one.

Run from the checkout: python tests/bench/bench_talk.py [--reading 8]
"""

# ruff: noqa: E402

from __future__ import annotations

import argparse
import datetime as dt
import subprocess
import sys
import time
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path[:0] = [str(ROOT)]

from decide.knowledge.load import knowledge_folder
from decide.shell.library import tools_of
from decide.shell.talk import Talk

TODAY = dt.date(2026, 5, 20)
LINES = (
    "ask me",
    "Dayton, Ohio",
    "goalmouths 80 % bare, solid",
    "15 August, matches, fixed",
    "none, all goals are anchored, nobody plays",
    "soccer, 12 hours a week, September to May, youth",
    "signs only, and play can stop",
    "ryegrass, a tenth weeds, nothing sprayed",
    "none of these",
)
PATIENCE = 20


def first_prompt() -> float:
    """Seconds from the start of a process to its first line, the quickest of three."""
    found = []
    for _ in range(3):
        start = time.perf_counter()
        with subprocess.Popen(
            [sys.executable, "-m", "decide", "--today", TODAY.isoformat()],
            stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, cwd=ROOT,
        ) as process:  # fmt: skip
            assert process.stdout is not None
            process.stdout.readline()
            found.append(time.perf_counter() - start)
            process.kill()
    return min(found)


def talked(reading: float) -> list[tuple[str, float, float]]:
    """What was answered, with the seconds until the next prompt: by the clock, and of the processor."""
    talk = Talk(tools_of(knowledge_folder(), TODAY), TODAY)
    talk.prompt()
    rows: list[tuple[str, float, float]] = []
    lines = iter(LINES)
    for _ in range(PATIENCE):
        time.sleep(reading)
        line = next(lines, "don't know")
        clock, spent = time.perf_counter(), time.process_time()
        talk.hear(line)
        prompt = talk.prompt()
        rows.append(
            (f"{line} -> {prompt.question}", time.perf_counter() - clock, time.process_time() - spent)
        )
        if talk.advice is not None:
            break
        if reading:
            talk.ahead()
    return rows


def main() -> None:
    words = argparse.ArgumentParser(description=__doc__)
    words.add_argument("--reading", type=float, default=0.0, help="seconds that the person reads each prompt")
    reading = words.parse_args().reading
    print(f"first prompt: {first_prompt():.2f} s")
    rows = talked(reading)
    for said, clock, spent in rows:
        print(f"  {clock:6.2f} s ({spent:5.2f} s)  {said}")
    waits = sorted(clock for _, clock, _ in rows[1:-1])
    print(f"next question: median {waits[len(waits) // 2]:.2f} s, longest {waits[-1]:.2f} s")
    print(f"last answer to first screen: {rows[-1][1]:.2f} s ({rows[-1][2]:.2f} s)")


if __name__ == "__main__":
    main()
