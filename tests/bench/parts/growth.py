"""How time grows with rules, options and parts of a field: 1.0 is linear, more is worse."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import ExitStack

from decide.engine.base import RuleBase
from decide.questions.unknown import tried
from tests.bench.calls import Call, more_rules, more_subjects, with_more_facts
from tests.bench.demo import adviser_of, demo, in_zones
from tests.bench.measure import Work, interleaved
from tests.bench.parts.engines import asked, ways
from tests.bench.rows import Row

ROUNDS = 2
TIMES = (1, 2, 4)
ZONES = (1, 2, 4, 8, 16)
ENGINES = {
    "generated-stratum": "generated Python, a function a stratum",
    "plain": "decide, plain evaluator",
    "ours": "decide, its engine",
    "clips-fields": "CLIPS (clipspy)",
    "durable": "durable-rules",
}
Grown = Callable[[int], tuple[RuleBase, Sequence[Call]]]


def _grown(kind: str, words: str, of: Grown) -> Iterator[Row]:
    """For each engine how four times the work compares with four times the time."""
    works: dict[str, Work] = {}
    with ExitStack() as stack:
        for times in TIMES:
            base, calls = of(times)
            engines = ways(base, stack)
            works |= {f"{key} {times}": asked(engines[key], calls) for key in ENGINES if key in engines}
        found = interleaved(works, ROUNDS)
    last = TIMES[-1]
    for key, what in ENGINES.items():
        figure, beside = None, ""
        if f"{key} 1" in found:
            figure = found[f"{key} {last}"] / (last * found[f"{key} 1"])
            beside = " → ".join(f"{found[f'{key} {n}']:.0f}" for n in TIMES) + " ms"
        yield Row(f"growth.{kind}-{key}", f"{words} × {last}: {what}", figure, "× linear", beside)


def rows() -> Iterator[Row]:
    base, calls = adviser_of("plain").base, demo().calls
    yield from _grown("rules", "rules", lambda n: (more_rules(base, n), with_more_facts(calls, n)))
    yield from _grown("options", "options", lambda n: (base, more_subjects(calls, n)))


def zone_rows() -> Iterator[Row]:
    adviser = adviser_of("plain")
    fields = {str(n): in_zones(n) for n in ZONES}
    found = interleaved(
        {n: lambda field=field: tried(adviser.consult(field)) for n, field in fields.items()}, 2, warm=False
    )
    for n in ZONES:
        took = found[str(n)]
        options = len(adviser.consult(fields[str(n)]).drafts)
        beside = f"{took / (n * found['1']):.2f} × linear, {options} options"
        yield Row(
            f"zones.{n}", f"advice on {n} part{'s' * (n > 1)}, unknown rows, plain", took, beside=beside
        )
    most, half = ZONES[-1], ZONES[-2]
    figure = found[str(most)] / (most / half * found[str(half)])
    yield Row("zones.last", f"{most} parts beside {half}, for each part", figure, "×")
