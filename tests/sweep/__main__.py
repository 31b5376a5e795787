"""Judges designed and random situations and prints what does not hold: `python -m tests.sweep --count 1000`.

Numbers run on from `--seed`; a run that was stopped goes on with the number that it said last. Memory does not grow with
the count: of each cause a few findings are kept, and all are counted.
"""

from __future__ import annotations

import argparse
import multiprocessing
import sys
from collections import Counter
from functools import partial

from tests.sweep.judge import Row, as_toml, judge, smaller
from tests.sweep.properties import PROPERTIES, Finding

KEPT, SAID_EVERY = 2, 25
MILLION, DAY = 1_000_000, 86_400


class Tally:
    """What was tried and found so far, with a few findings of each cause."""

    def __init__(self) -> None:
        self.tried: Counter[str] = Counter()
        self.wrong: Counter[str] = Counter()
        self.causes: Counter[tuple[str, str]] = Counter()
        self.kept: dict[tuple[str, str], list[tuple[int, Finding]]] = {}
        self.numbers, self.seconds = 0, 0.0
        # The most that a process had held once the first were judged, and since.
        self.warm = self.most = 0.0

    def add(self, row: Row) -> list[Finding]:
        """Count a number in; the findings that are the first of their causes."""
        number, found, new = row.number, row.found, list[Finding]()
        self.numbers, self.seconds = self.numbers + 1, self.seconds + row.seconds
        self.most = max(self.most, row.memory)
        if self.numbers <= SAID_EVERY:
            self.warm = self.most
        self.tried.update(row.tried)
        self.wrong.update({finding.prop for finding in found})
        for finding in found:
            cause = (finding.prop, finding.cause)
            if cause not in self.causes:
                new.append(finding)
            self.causes[cause] += 1
            rows = self.kept.setdefault(cause, [])
            if len(rows) < KEPT:
                rows.append((number, finding))
        return new

    def table(self) -> str:
        rows = [
            f"{name:16} {self.tried[name]:9,} tried {self.wrong[name]:7,} wrong"
            for name in PROPERTIES
            if self.tried[name]
        ]
        each = self.seconds / max(self.numbers, 1)
        rows += [
            f"{self.numbers:,} situations, {each:.2f} s of CPU each; a million: {each * MILLION / DAY:.1f} days of one core",
            f"most memory of a process: {self.warm:.0f} MB after {SAID_EVERY}, {self.most:.0f} MB in all",
        ]
        return "\n".join(rows)


def _words() -> argparse.Namespace:
    words = argparse.ArgumentParser(prog="python -m tests.sweep", description=__doc__)
    words.add_argument("--count", type=int, default=200, help="so many situations (200)")
    words.add_argument("--seed", type=int, default=0, help="the first number (0)")
    words.add_argument("--cores", type=int, default=1, help="so many processes (1)")
    words.add_argument(
        "--only",
        action="append",
        choices=PROPERTIES,
        default=[],
        help="this property alone; may be said again",
    )
    words.add_argument("--as-found", action="store_true", help="do not make the findings smaller")
    return words.parse_args()


def main() -> int:
    words, tally = _words(), Tally()
    numbers = range(words.seed, words.seed + words.count)
    with multiprocessing.get_context("spawn").Pool(words.cores) as pool:
        for done, row in enumerate(pool.imap(partial(judge, only=tuple(words.only)), numbers), 1):
            for finding in tally.add(row):
                # said at once: a long run may be stopped
                print(f"{row.number}: {finding.prop}: {finding.cause}: {finding.said}", file=sys.stderr)
            if done % SAID_EVERY == 0:
                print(
                    f"{done} judged, {sum(tally.wrong.values())} wrong; next: --seed {row.number + 1}",
                    file=sys.stderr,
                    flush=True,
                )
    for (name, cause), times in tally.causes.most_common():
        number, finding = tally.kept[name, cause][0]
        least = finding if words.as_found else smaller(finding)
        print(f"{times} x {name}: {cause}, first in {number}\n  {least.said}\n  aim: {least.aim}")
        print("    " + as_toml(least.answers).replace("\n", "\n    "))
    print(tally.table())
    return 1 if tally.wrong else 0


if __name__ == "__main__":
    sys.exit(main())
