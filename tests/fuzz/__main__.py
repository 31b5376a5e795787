"""`python -m tests.fuzz [TARGET …] --count N --seed S`: exit code 1 where anything was wrong."""

from __future__ import annotations

import argparse
import sys

from tests.fuzz.run import run
from tests.fuzz.targets import TARGETS


def main() -> int:
    parser = argparse.ArgumentParser(prog="python -m tests.fuzz", description=__doc__)
    parser.add_argument(
        "targets", nargs="*", default=list(TARGETS), metavar="TARGET", help=", ".join(TARGETS)
    )
    parser.add_argument("--count", type=int, default=1000, help="inputs of each target")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument(
        "--first", type=int, default=0, help="the number of the first input, to see one again"
    )
    parser.add_argument("--seconds", type=float, default=None, help="CPU time of each target at most")
    told = parser.parse_args()
    wrong = False
    for target in told.targets:
        outcome = run(target, told.count, told.seed, told.first, told.seconds)
        print("\n".join(outcome.lines()), flush=True)
        wrong = wrong or bool(outcome.wrong)
    return 1 if wrong else 0


sys.exit(main())
