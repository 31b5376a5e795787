"""Scores the published decisions: `python tests/published/decisions/score.py [--only WORD] [--csv FILE] [--verbose]`.

A statement passes when all its checks hold. It is half met when at least half of them hold and no refusal among them
is broken, else it fails. A broken refusal in a statement of strength must is a defect.
"""

from __future__ import annotations

import argparse
import csv
import sys
import tomllib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final, Literal

# Last, so that a decide that is put first stays first.
sys.path.append(str(Path(__file__).parents[3]))

from decide.answer.planting_calendar import PlantingCalendar, planting_calendar
from decide.consult import Adviser
from decide.facts.complete import fill
from decide.model.reading import read_situation
from tests.published.decisions.reading import Reading
from tests.published.decisions.situations import CASES, REFUSALS, Case, Check
from tests.shared import adviser

Result = Literal["pass", "half", "fail", "error"]

STATEMENTS: Final = Path(__file__).with_name("statements.toml")
ENOUGH: Final = 0.95


@dataclass(frozen=True)
class Source:
    """A publication, and how it was seen."""

    title: str
    publisher: str
    year: str
    seen: str


@dataclass(frozen=True)
class Statement:
    """What a publication says to decide, in our own words."""

    id: str
    topic: str
    strength: Literal["must", "should"]
    statement: str
    source: str
    place: str
    doubt: str = ""


@dataclass(frozen=True)
class Scored:
    """How an advice meets one statement."""

    statement: Statement
    result: Result
    failed: tuple[Check, ...] = ()
    note: str = ""
    trouble: str = ""

    @property
    def broken_refusal(self) -> bool:
        return any(check.kind in REFUSALS for check in self.failed)

    @property
    def why(self) -> str:
        return self.trouble or " | ".join(map(str, self.failed))

    def row(self) -> dict[str, object]:
        """The line of the table."""
        s = self.statement
        head = {"id": s.id, "topic": s.topic, "strength": s.strength, "result": self.result}
        return {**head, "broken_refusal": self.broken_refusal, "failed": self.why, "note": self.note}


def read_statements() -> tuple[dict[str, Source], dict[str, Statement]]:
    tables = tomllib.loads(STATEMENTS.read_text(encoding="utf-8"))
    statements = [Statement(**row) for row in tables["statement"]]
    return {code: Source(**row) for code, row in tables["source"].items()}, {s.id: s for s in statements}


def read_advice(case: Case, judge: Adviser) -> Reading:
    """The advice on the situation of a case, ready to be read."""
    situation = read_situation(case.situation)

    def windows() -> PlantingCalendar:
        return planting_calendar(fill(situation, judge.library), "metric")

    return Reading(judge.advise(situation), windows)


def result_of(checks: Sequence[Check], failed: Sequence[Check]) -> Result:
    """Pass, half or fail, by the rule at the head of this file."""
    if not failed:
        return "pass"
    broken = any(check.kind in REFUSALS for check in failed)
    return "half" if 2 * len(failed) <= len(checks) and not broken else "fail"


def score(statement: Statement, case: Case, judge: Adviser) -> Scored:
    reading = read_advice(case, judge)
    failed = tuple(check for check in case.checks if not check.holds(reading))
    return Scored(statement, result_of(case.checks, failed), failed, case.note)


def score_all(only: str) -> Iterator[Scored]:
    """Every statement whose id holds the word; one that cannot be judged is an error and does not end the run."""
    _, statements = read_statements()
    for code, case in CASES.items():
        if only in code:
            try:
                yield score(statements[code], case, adviser())
            except Exception as trouble:
                yield Scored(statements[code], "error", (), case.note, f"{type(trouble).__name__}: {trouble}")


def line(strength: str, rows: Sequence[Scored]) -> str:
    """The score of one strength in a line."""
    passed, half = (sum(row.result == result for row in rows) for result in ("pass", "half"))
    percent = 100 * passed / (len(rows) or 1)
    return f"{strength} {passed}/{len(rows)} pass ({percent:.0f} %), {half} half, {len(rows) - passed - half} fail"


def write_table(rows: Sequence[Scored], path: Path) -> None:
    with path.open("w", newline="", encoding="utf-8") as file:
        table = csv.DictWriter(file, list(rows[0].row()))
        table.writeheader()
        table.writerows(row.row() for row in rows)


def main() -> int:
    parser = argparse.ArgumentParser(description="Score the published decisions on the adviser.")
    parser.add_argument("--only", default="", metavar="WORD", help="only statements whose id holds this")
    parser.add_argument("--csv", type=Path, metavar="FILE", help="write a table")
    parser.add_argument("--verbose", action="store_true", help="print each statement")
    asked = parser.parse_args()
    rows: list[Scored] = []
    for row in score_all(asked.only):
        rows.append(row)
        if asked.verbose:
            print(f"{row.result:5} {row.statement.strength:6} {row.statement.id}: {row.why}", flush=True)
    if asked.csv and rows:
        write_table(rows, asked.csv)
    must = [row for row in rows if row.statement.strength == "must"]
    should = [row for row in rows if row.statement.strength == "should"]
    broken = sum(row.broken_refusal for row in must)
    print(f"{line('must', must)}; {line('should', should)}; {broken} broken refusals in must")
    passed = sum(row.result == "pass" for row in must)
    return 0 if rows and passed >= ENOUGH * len(must) and not broken else 1


if __name__ == "__main__":
    sys.exit(main())
