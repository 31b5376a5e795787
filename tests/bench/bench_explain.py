"""Prints what explanations cost, in plain evaluations of the same field; nothing here is asserted, for machines differ.

Time is the processor's own, so that other work on the machine weighs on neither side.

One plain evaluation is the whole consultation by the plain engine alone, with the season of the place known. Run from
the checkout: python tests/bench/bench_explain.py
"""

# ruff: noqa: E402

from __future__ import annotations

import functools
import sys
import time
from collections.abc import Callable
from pathlib import Path

sys.path[:0] = [str(Path(__file__).parents[2]), str(Path(__file__).parents[1] / "explain")]

from conftest import DRY, PARTS

from decide.consult import Adviser
from decide.explain import how_sure, matters_next, what_if, would_take
from decide.explain.would_take import every_pair
from decide.knowledge.load import read_knowledge
from decide.model.reading import read_situation
from decide.model.situation import Situation
from decide.questions.answers import as_answers
from decide.questions.next import Asker
from decide.questions.open import open_questions

ROUNDS = 5
OPEN = 30


def spent(work: Callable[[], object], rounds: int = 1) -> float:
    """The quickest of some rounds, in seconds."""
    times = []
    for _ in range(rounds):
        start = time.process_time()
        work()
        times.append(time.process_time() - start)
    return min(times)


def one_plain(adviser: Adviser, situation: Situation) -> float:
    """One plain evaluation of a field, in seconds."""
    adviser.consult(situation)
    return spent(lambda: adviser.consult(situation), ROUNDS)


def of_field(adviser: Adviser, name: str, text: str) -> None:
    """The figures of one field; the yardstick is measured beside each."""
    situation = read_situation(text)
    c = adviser.consult(situation)
    answers, today = as_answers(situation), c.filled.today
    asked = open_questions(adviser.knowledge, answers)[:OPEN]

    def next_of() -> None:
        asker = Asker(adviser, today)
        for each in asked:
            asker.matters(answers, each)

    def ratio(work: Callable[[], object]) -> str:
        before, took, after = one_plain(adviser, situation), spent(work), one_plain(adviser, situation)
        return f"{2 * took / (before + after):.0f} x"

    print(
        f"{name}: one plain evaluation takes {1000 * one_plain(adviser, situation):.0f} ms, {len(c.drafts)} options"
    )
    print(f"  what matters next over {len(asked)} open questions: {ratio(next_of)} (wanted at most 40)")
    for words in ("thick sod", "sprigs"):
        runs, _ = every_pair(c, words)
        took = ratio(functools.partial(every_pair, c, words))
        print(
            f"  least change over single changeable answers and their pairs, {words}: {took} in {runs} runs (wanted at most 120)"
        )
        print(f"  what would it take to use {words}: {ratio(functools.partial(would_take, c, words))}")
    print(f"  what if: {ratio(lambda: what_if(c, {'means.water': 'hand hose'}))}")
    print(f"  how sure: {ratio(lambda: how_sure(c))}")
    print(f"  what matters next, as a text: {ratio(lambda: matters_next(c))}")


def main() -> None:
    adviser = Adviser(read_knowledge(), "plain")
    for name, text in (("dry field", DRY), ("field in parts", PARTS)):
        of_field(adviser, name, text)
    adviser.close()


if __name__ == "__main__":
    main()
