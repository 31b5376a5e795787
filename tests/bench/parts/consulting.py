"""One consultation of the demo field in a process that is warm: with each engine, with trials, and as JSON."""

from __future__ import annotations

from collections.abc import Iterator

from decide.answer.planting_calendar import planting_calendar
from decide.engine.durable import available
from decide.facts.complete import fill
from decide.facts.library import Library
from decide.questions.next import Asker
from decide.questions.unknown import tried
from tests.bench.demo import adviser_of, demo, knowledge
from tests.bench.measure import Work, interleaved
from tests.bench.rows import Row

ROUNDS = 5


def rows() -> Iterator[Row]:
    situation, plain = demo().situation, adviser_of("plain")
    whole = adviser_of("both")
    advice = tried(plain.consult(situation))
    library = Library(knowledge())
    planting_calendar(fill(situation, library))

    def trials() -> None:
        c = whole.consult(situation)
        tried(c, Asker(whole, c.filled.today, None))

    def windows() -> None:
        # The tables are read once for all; the season of the place is worked out anew.
        fresh = Library(knowledge())
        vars(fresh).update(
            {name: vars(library)[name] for name in ("tables", "constants") if name in vars(library)}
        )
        planting_calendar(fill(situation, fresh))

    works: dict[str, Work] = {
        "plain": lambda: plain.consult(situation),
        **({"both": lambda: whole.consult(situation)} if available() else {}),
        "advice": lambda: tried(plain.consult(situation)),
        "json": advice.as_json,
        "windows": windows,
    }
    found = interleaved(works, ROUNDS)
    found |= interleaved({"trials": trials}, 3)
    for key, what in (
        ("plain", "consultation, plain evaluator"),
        ("both", "consultation, both engines"),
        ("advice", "advice, plain evaluator"),
        ("trials", "advice with trials, both engines"),
        ("json", "JSON of an advice"),
        ("windows", "windows of a place, worked out anew"),
    ):
        figure = found.get(key)
        beside = "" if figure is None or key == "plain" else f"{figure / found['plain']:.2f} × plain"
        yield Row(f"consult.{key}", what, figure, beside=beside)
