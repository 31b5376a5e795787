"""How long the talk thinks between an answer and the next question, and over questions about its advice."""

from __future__ import annotations

import datetime as dt
import statistics
import time
from collections.abc import Iterator

from decide.explain import how_sure, matters_next, what_if, would_take
from decide.shell.embedded import open_talk
from decide.shell.talk import Talk
from tests.bench.demo import adviser_of, demo
from tests.bench.measure import best, spent
from tests.bench.rows import Row

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
READING_S = 3.0


def heard(talk: Talk, line: str) -> float:
    """Milliseconds of the processor between a line and the next prompt."""

    def work() -> None:
        talk.hear(line)
        talk.prompt()

    return spent(work)


def talked(reading: float) -> tuple[Talk, list[float]]:
    """A talk up to its advice, with what each answer took; `reading` seconds are left for looking ahead before each."""
    talk = open_talk(TODAY)
    talk.prompt()
    waits: list[float] = []
    for n in range(PATIENCE):
        waits.append(heard(talk, LINES[n] if n < len(LINES) else "don't know"))
        if talk.advice is not None:
            return talk, waits
        if reading:
            talk.ahead()
            time.sleep(reading)
    raise RuntimeError(f"the talk gave no advice after {PATIENCE} answers")


def rows() -> Iterator[Row]:
    talk, waits = talked(0)
    # The first answer waits for the knowledge, the last one for the advice.
    between = waits[1:-1]
    yield Row(
        "talk.longest", "answer → next question, longest", max(between), beside=f"{len(between)} answers"
    )
    yield Row("talk.middle", "answer → next question, middle", statistics.median(between))
    yield Row("talk.screen", "last answer → first screen", waits[-1])
    yield Row(
        "talk.sure-first", '"how sure are you" in the talk, first words', heard(talk, "how sure are you")
    )
    _, read = talked(READING_S)
    between = read[1:-1]
    yield Row(
        "talk.read-longest",
        f"answer → next question after {READING_S:.0f} s of reading, longest",
        max(between),
    )
    yield Row(
        "talk.read-middle",
        f"answer → next question after {READING_S:.0f} s of reading, middle",
        statistics.median(between),
    )

    adviser, situation = adviser_of("plain"), demo().situation
    c = adviser.consult(situation)
    one = best(lambda: adviser.consult(situation))
    for key, what, work in (
        ("sure", '"how sure are you", every answer tried', lambda: how_sure(c)),
        ("matters", "what matters next", lambda: matters_next(c)),
        ("if", '"what if we had no water"', lambda: what_if(c, {"means.water": "none"})),
        ("take", '"what would it take to use sprigs"', lambda: would_take(c, "sprigs")),
    ):
        took = spent(work)
        yield Row(f"talk.{key}", what, took, beside=f"{took / one:.1f} × plain consultation")
