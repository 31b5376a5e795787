"""The real rules on all that one consultation of the demo field asks, in every engine at hand."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import ExitStack

from decide.engine import durable, plain
from decide.engine.base import RuleBase
from decide.engine.language import Subject
from tests.bench.calls import Call
from tests.bench.demo import adviser_of, demo
from tests.bench.measure import Work, interleaved
from tests.bench.peers import clips_engine, columns
from tests.bench.peers.clips_engine import Clips
from tests.bench.peers.generated import Generated, GeneratedThree
from tests.bench.rows import Row

ROUNDS = 5
Ask = Callable[[str, Sequence[Subject]], object]
YARD = "generated-stratum"

WHAT = {
    "generated-rule": "generated Python, a function a rule: firings",
    YARD: "generated Python, a function a stratum: firings",
    "generated-three": "generated Python, three values: open exceptions and could fire too",
    "plain": "decide, plain evaluator (the oracle): every row",
    "ours": "decide, its engine: firings",
    "ours-rows": "decide, its engine: every row",
    "ours-unread": "decide, its engine: judged, no row read",
    "clips-fields": "CLIPS (clipspy), facts field by field: firings",
    "clips-text": "CLIPS (clipspy), facts as a text: firings",
    "clips-could": "CLIPS (clipspy), facts field by field: could fire too",
    "durable": "durable-rules as driven: firings",
}


def ways(base: RuleBase, stack: ExitStack) -> dict[str, Ask]:
    """Each engine at hand by its key; what they hold is given back with `stack`."""
    three = GeneratedThree(base)
    found: dict[str, Ask] = {
        "generated-rule": Generated(base, "rule").fires,
        YARD: Generated(base, "stratum").fires,
        "generated-three": three.rows,
        "plain": lambda layer, subjects: plain.judge(base, layer, subjects),
    }
    judge = columns.judge
    found["ours-unread"] = lambda layer, subjects: judge(base, layer, subjects)
    found["ours"] = lambda layer, subjects: columns.firings(judge(base, layer, subjects))
    found["ours-rows"] = lambda layer, subjects: columns.every_row(judge(base, layer, subjects))
    if clips_engine.available():
        for key, given, could in (
            ("fields", "fields", False),
            ("text", "text", False),
            ("could", "fields", True),
        ):
            peer = Clips(base, given, could)  # type: ignore[arg-type]
            stack.callback(peer.close)
            found[f"clips-{key}"] = peer.both
    if durable.available():
        found["durable"] = stack.enter_context(durable.Durable(base)).judge
    return found


def asked(ask: Ask, calls: Sequence[Call]) -> Work:
    """All calls of one consultation put to an engine."""

    def work() -> None:
        for layer, subjects in calls:
            ask(layer, subjects)

    return work


def rows() -> Iterator[Row]:
    adviser, calls = adviser_of("plain"), demo().calls
    with ExitStack() as stack:
        engines = ways(adviser.base, stack)
        found = interleaved({key: asked(ask, calls) for key, ask in engines.items()}, ROUNDS)
    for key, what in WHAT.items():
        figure = found.get(key)
        beside = "" if figure is None else f"{figure / found[YARD]:.2f} × generated"
        yield Row(f"engines.{key}", what, figure, beside=beside)
