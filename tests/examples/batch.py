"""Many situation files at once: one row for each part of each field, for a spreadsheet.

    python tests/examples/batch.py FOLDER > choices.csv

A file that cannot be read gives a row that says why; the others go on.
"""

from __future__ import annotations

import csv
import sys
from collections.abc import Iterator
from pathlib import Path

from decide import Adviser, DecideError, read_knowledge, read_situation

HEADER = ["file", "zone", "decision", "start", "matches from", "matches by", "what", "wrong"]


def rows(folder: Path, adviser: Adviser) -> Iterator[list[str]]:
    """The rows of all files of a folder, in the order of their names."""
    for path in sorted(folder.glob("*.toml")):
        try:
            advice = adviser.advise(read_situation(path.read_bytes(), path.name))
        except DecideError as error:
            yield [path.name, "", "", "", "", "", "", str(error)]
            continue
        for choice in advice.programme:
            option = advice.option(choice.option)
            ready = option.full_play if option else None
            days = (
                [option.date("start"), *(ready.date(end) for end in ("early", "late") if ready)]
                if option
                else []
            )
            shown = [day.isoformat() if day else "" for day in days]
            yield [path.name, choice.zone, choice.decision, *[*shown, "", "", ""][:3], choice.text, ""]


def main() -> None:
    adviser = Adviser(read_knowledge())
    out = csv.writer(sys.stdout)
    out.writerow(HEADER)
    out.writerows(rows(Path(sys.argv[1]), adviser))
    adviser.close()


if __name__ == "__main__":
    main()
