"""One number of the sweep: its situation judged by every property, and each finding made as small as it can be."""

from __future__ import annotations

import datetime as dt
import random
import resource
import time
import traceback
from collections.abc import Collection
from dataclasses import dataclass, field
from typing import Any, Final

from decide.model.errors import SituationError
from decide.questions.answers import Answers
from tests.shared import adviser
from tests.sweep.properties import PROPERTIES, Finding, Judged
from tests.sweep.situations import ROUND, less, parts_of, situation

# A finding that is smaller by so many looks is small enough.
MOST_LOOKS: Final = 60
KB_IN_MB: Final = 1024


@dataclass
class Row:
    """What was tried on a number, by property, and what does not hold; the seconds of CPU that it took, and the most
    memory that its process has held so far, in MB.
    """

    number: int
    tried: dict[str, int] = field(default_factory=dict)
    found: list[Finding] = field(default_factory=list)
    seconds: float = 0
    memory: float = 0


def found_by(
    name: str, answers: Answers, aim: str | None = None, judged: Judged | None = None
) -> list[Finding]:
    """What a property finds on some answers, with its aim; an exception is a finding."""
    judged = judged or Judged(adviser(), answers)
    try:
        rows = list(PROPERTIES[name].check(judged, aim or ""))
    except SituationError:
        return []
    except Exception as error:
        frame = traceback.extract_tb(error.__traceback__)[-1]
        rows = [(f"{type(error).__name__} in {frame.name}", f"{frame.filename}:{frame.lineno}: {error}")]
    seen: dict[str, str] = {}
    for cause, said in rows:
        seen.setdefault(cause, said)
    return [Finding(name, cause, said, aim or "", answers) for cause, said in seen.items()]


def judge(number: int, only: Collection[str] = ()) -> Row:
    """The properties of a number on its situation. Those that are dear look at one situation in a few."""
    ours = adviser()
    began, row, answers = time.process_time(), Row(number), situation(number)
    judged = Judged(ours, answers)
    for name, prop in PROPERTIES.items():
        # whole rounds of sparse and full situations are left out, and the dear ones look at the same
        if name not in (only or PROPERTIES) or (not only and number // ROUND % prop.every):
            continue
        aims = prop.aims(judged)
        if not aims:
            continue
        aim = random.Random(f"{name}/{number}").choice(aims)
        row.tried[name] = row.tried.get(name, 0) + 1
        row.found += found_by(name, answers, aim, judged)
    row.seconds = time.process_time() - began
    row.memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / KB_IN_MB
    return row


def smaller(finding: Finding, most: int = MOST_LOOKS) -> Finding:
    """The same finding on as few answers as still give it."""
    best, looks, again = finding, 0, True
    while again:
        again = False
        for path in reversed(parts_of(best.answers)):
            if looks >= most or not _there(best.answers, path):
                continue
            looks += 1
            fewer = less(best.answers, path)
            try:
                found = found_by(finding.prop, fewer, finding.aim)
            except Exception:
                continue
            same = next((each for each in found if each.cause == finding.cause), None)
            if same is not None:
                best, again = same, True
        if looks >= most:
            break
    return best


def _there(answers: Answers, path: tuple[Any, ...]) -> bool:
    held: Any = answers
    for part in path:
        try:
            held = held[part]
        except (KeyError, IndexError):
            return False
    return True


def as_toml(answers: Answers) -> str:
    """The answers as a situation file."""
    lines: list[str] = []
    for table, held in answers.items():
        if table == "zone" or (isinstance(held, list) and held and isinstance(held[0], dict)):
            for each in held:
                lines += [f"[[{table}]]", *(f"{key} = {_value(value)}" for key, value in each.items())]
        elif isinstance(held, dict):
            lines += [f"[{table}]", *(f"{key} = {_value(value)}" for key, value in held.items())]
        else:
            lines.insert(0, f"{table} = {_value(held)}")
    return "\n".join(lines) + "\n"


def _value(value: Any) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, str):
        try:
            return str(dt.date.fromisoformat(value))
        except ValueError:
            return '"' + value.replace("\\", "\\\\").replace('"', '\\"') + '"'
    if isinstance(value, list):
        return "[" + ", ".join(map(_value, value)) + "]"
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{key} = {_value(each)}" for key, each in value.items()) + " }"
    return str(value)
