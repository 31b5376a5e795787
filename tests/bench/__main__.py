"""What the program costs beside its peers, measured in one run: `python -m tests.bench`.

Times are milliseconds of the processor, the quickest of some rounds, the works taking turns; figures of two machines are not to be
compared, ratios are. Nothing here fails on time.
"""

from __future__ import annotations

import argparse
import datetime as dt
import os
import platform
import sys
import time
from collections.abc import Callable, Iterable, Mapping

from tests.bench.aims import AIMS, IN_README
from tests.bench.parts import commands, consulting, engines, growth, many, memory, talking
from tests.bench.readme import block, write
from tests.bench.rows import Row, table

PARTS: Mapping[str, Callable[[], Iterable[Row]]] = {
    "engines": engines.rows,
    "growth": growth.rows,
    "zones": growth.zone_rows,
    "consult": consulting.rows,
    "commands": commands.rows,
    "talk": talking.rows,
    "many": many.rows,
    "memory": memory.rows,
}


def _words() -> argparse.Namespace:
    words = argparse.ArgumentParser(prog="python -m tests.bench", description=__doc__)
    words.add_argument("--only", action="append", choices=PARTS, help="this part alone; may be said again")
    words.add_argument("--write", action="store_true", help="put the figures into the README")
    kind = f"{os.cpu_count()} cores ({platform.machine()}, {platform.system()})"
    words.add_argument(
        "--machine", default=kind, help=f"the kind of machine, as the README names it ({kind})"
    )
    words.add_argument("--date", default=dt.date.today().isoformat(), help="the day of the figures (today)")
    words.add_argument("--python", default=platform.python_version(), help="the version of Python")
    return words.parse_args()


def main() -> int:
    words = _words()
    if words.write and words.only:
        print("--write needs every part: leave --only out", file=sys.stderr)
        return 2
    rows: list[Row] = []
    for part in words.only or PARTS:
        start = time.perf_counter()
        rows += PARTS[part]()
        print(f"{part}: {time.perf_counter() - start:.0f} s", file=sys.stderr, flush=True)
    setting = f"{words.machine}, Python {words.python}, {words.date}"
    print(f"{setting}\n\n{table(rows, AIMS)}")
    if words.write:
        write(block(rows, AIMS, IN_README, setting))
    return 0


if __name__ == "__main__":
    sys.exit(main())
