"""Feeds a target, input after input, within bounds of time and memory, and keeps what must not be."""

from __future__ import annotations

import contextlib
import random
import resource
import signal
import time
import traceback
from dataclasses import dataclass, field

from tests.fuzz.targets import TARGETS, FoundError

MOST_CPU_S = 1.0
HANG_CPU_S = 10.0
# So many inputs go before those that are told of: patterns are made when first used.
WARM = 8
MOST_MEMORY = 4_000_000_000


class HangError(Exception):
    """An input that is read without end."""


@dataclass
class Outcome:
    """How many inputs were fed, what was wrong by its place in the code with the first input that shows it, and the longest time."""

    target: str
    fed: int = 0
    wrong: dict[str, tuple[int, str]] = field(default_factory=dict)
    times: dict[str, int] = field(default_factory=dict)
    longest_s: float = 0.0
    memory_mb: float = 0.0

    def lines(self) -> list[str]:
        head = f"{self.target}: {self.fed:,} inputs, {len(self.wrong)} kinds of wrong, longest {self.longest_s:.2f} s of CPU, {self.memory_mb:.0f} MB"
        return [
            head,
            *(
                f"  {self.times[kind]} × {kind}\n    input {at}: {shown}"
                for kind, (at, shown) in self.wrong.items()
            ),
        ]


def run(target: str, count: int, seed: int, first: int = 0, seconds: float | None = None) -> Outcome:
    """Feed `count` inputs, or as many as there is CPU time for; input n of a seed is always the same."""
    feed, outcome = TARGETS[target], Outcome(target)
    # What is read once does not count as the first input's.
    for number in range(WARM):
        with contextlib.suppress(Exception):
            feed(random.Random(f"{target}/warm/{number}"))
    signal.signal(signal.SIGVTALRM, _hang)
    resource.setrlimit(resource.RLIMIT_AS, (MOST_MEMORY, resource.getrlimit(resource.RLIMIT_AS)[1]))
    # A run that is ended early tells what it did all the same.
    stop: list[int] = []
    ended = signal.signal(signal.SIGTERM, lambda signum, _: stop.append(signum))
    began = time.process_time()
    for number in range(first, first + count):
        if (seconds is not None and time.process_time() - began > seconds) or stop:
            break
        before, shown = time.process_time(), ""
        signal.setitimer(signal.ITIMER_VIRTUAL, HANG_CPU_S)
        try:
            shown = feed(random.Random(f"{target}/{seed}/{number}"))
        except FoundError as found:
            _keep(
                outcome,
                str(found).split(":")[0][:200]
                if target != "grammar"
                else f"{str(found).rpartition('cannot be picked')[2][:120]}",
                number,
                str(found),
            )
        except Exception as error:
            frame = traceback.extract_tb(error.__traceback__)[-1]
            kind = f"{type(error).__name__} at {frame.filename.rpartition('/decide/')[2]}:{frame.lineno}: {str(error)[:120]}"
            _keep(outcome, kind, number, "".join(traceback.format_exception(error)[-6:])[-1500:])
        finally:
            signal.setitimer(signal.ITIMER_VIRTUAL, 0)
        took = time.process_time() - before
        outcome.longest_s = max(outcome.longest_s, took)
        if took > MOST_CPU_S:
            _keep(outcome, f"longer than {MOST_CPU_S:g} s of CPU", number, f"{took:.1f} s: {shown[:300]}")
        outcome.fed += 1
    signal.signal(signal.SIGTERM, ended)
    outcome.memory_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1000
    return outcome


def _keep(outcome: Outcome, kind: str, number: int, shown: str) -> None:
    outcome.wrong.setdefault(kind, (number, shown))
    outcome.times[kind] = outcome.times.get(kind, 0) + 1


def _hang(_: int, __: object) -> None:
    raise HangError
