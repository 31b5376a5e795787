"""Prints what the engines cost beside one another; nothing here is asserted, for machines differ.

Run from the checkout: python tests/bench/bench_engine.py
"""

# ruff: noqa: E402

from __future__ import annotations

import json
import sys
import time
from collections.abc import Callable, Sequence
from pathlib import Path

sys.path[:0] = [str(Path(__file__).parents[2]), str(Path(__file__).parents[1] / "engine")]

from random_bases import subjects_of
from small import base as small_base
from small import caution

from decide.engine import durable, plain
from decide.engine.base import RuleBase
from decide.engine.language import LAYERS, Subject
from decide.knowledge.compile import compile_rules
from decide.knowledge.load import read_knowledge
from decide.model.errors import KnowledgeError

GRASSES = ("rye", "rye-old", "blue", "zoysia")


def best(run: Callable[[], object], rounds: int = 7) -> float:
    """The quickest of some rounds, in milliseconds."""
    times = []
    for _ in range(rounds):
        start = time.perf_counter()
        run()
        times.append(time.perf_counter() - start)
    return min(times) * 1000


def raw(base: RuleBase, layer: str, subjects: Sequence[Subject]) -> Callable[[], object]:
    """The same rulesets and facts given to the C engine with answers left unread: its own share of the time."""
    engine = durable._load()
    compiled = durable.Durable(base)
    batches = []
    for stratum in compiled._compiled(layer):
        for ruleset in stratum.rulesets:
            held = [
                {n: durable.encoded(n, v, base.facts.get(n)) for n, v in s.facts.items()} for s in subjects
            ]
            facts = [{"sid": "raw", "id": f"f{p}", "n": p, **ruleset._seen(h)} for p, h in enumerate(held)]
            batches.append((ruleset._handle, json.dumps(facts)))

    def run() -> None:
        for handle, text in batches:
            _, state = engine.assert_facts(handle, text)
            message = engine.start_action_for_state(handle, state)
            while message:
                message = engine.complete_and_start_action(handle, state)
            engine.delete_state(handle, "raw")

    return run


def compare(title: str, base: RuleBase, layer: str, subjects: Sequence[Subject]) -> None:
    fired = len(plain.judge(base, layer, subjects).firings)
    with durable.Durable(base) as engine:
        first = best(lambda: engine.judge(layer, subjects), rounds=1)
        whole = best(lambda: engine.judge(layer, subjects))
    own = best(raw(base, layer, subjects))
    simple = best(lambda: plain.judge(base, layer, subjects))
    rules = sum(len(stratum) for stratum in base.strata[layer])
    print(
        f"{title:24} {rules:4} rules x {len(subjects):3} subjects, {fired:5} firings: "
        f"plain {simple:7.1f} ms, engine {whole:7.1f} ms ({whole / simple:.1f} x plain, {whole / own:.1f} x the C engine alone), "
        f"first run with compiling {first:7.1f} ms"
    )


def main() -> None:
    rules = [
        caution(
            f"r{n}",
            "option",
            f"option.weeks {('<', '<=', '>', '>=')[n % 4]} {n % 50} week",
            f"option.grass in {{{GRASSES[n % 4]}, {GRASSES[(n + 1) % 4]}}}",
            *(["option.weeks > value:time[option.grass]"] if n % 5 == 0 else []),
            unless={"x": [f"zone.bare > {n % 97} percent"]} if n % 7 == 0 else None,
        )
        for n in range(400)
    ]
    base = small_base(*rules)
    subjects = [
        Subject(
            f"s{n}",
            {"option.weeks": float(n % 60), "option.grass": GRASSES[n % 4], "zone.bare": float(n % 100)},
        )
        for n in range(60)
    ]
    compare("400 made-up rules", base, "option", subjects)
    try:
        real = compile_rules(read_knowledge())
    except KnowledgeError as error:
        print(f"the knowledge cannot be read: {error}")
        return
    for layer in LAYERS:
        many = 400 if layer.startswith("option") else 10
        subjects = [Subject(f"s{n}", subjects_of(real, layer, n, most=1)[0].facts) for n in range(many)]
        compare(f"real rules, {layer}", real, layer, subjects)


if __name__ == "__main__":
    main()
