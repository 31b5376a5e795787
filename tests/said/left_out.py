"""How questions are read that the examples do not hold: each labelled sentence is left out of them once.

`python -m tests.said.left_out [ask] [held] [examples]` prints for each file: right, right and said how it was taken, asked back with
the truth among the choices or without it, misread, misread but said how it was taken, not understood, and the time for a question.
The phrases of knowledge/talk know many of these sentences, so the rows of `held` are the better measure of them.
"""

import datetime as dt
import sys
import time
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import replace

from decide.parse.asks import read_asks
from decide.parse.examples import Examples, Near, make_examples
from decide.parse.heard import UNCLEAR, Ask
from decide.parse.plain import clean
from decide.parse.results import Setting
from decide.parse.speech import Speech
from tests.said.score import TODAY, found_places, nested, rows, speech

KINDS = ("right", "right, said", "back with it", "back without", "misread", "misread, said", "not understood")


class LeftOut(Examples):
    """The examples without the sentence that is asked about."""

    def near(self, text: str, *, leave_out: bool = True) -> Near:
        return super().near(text, leave_out=True)


def left_out() -> Speech:
    """The speech with examples of which each question leaves itself out."""
    spoken = replace(speech(), _made={})
    ready = spoken.ready("examples", make_examples)
    ready.__class__ = LeftOut
    return spoken


def labelled(name: str) -> Iterator[tuple[str, frozenset[str]]]:
    """The sentences of a file with the intents that are right."""
    if name == "examples":
        for intent, said in speech().table("asks-examples").items():
            yield from ((each, frozenset([intent])) for each in said.splitlines() if each.strip())
        return
    for row in rows("ask", "" if name == "ask" else name):
        meaning = row["meaning"]
        others = [one["intent"] for one in meaning.get("may_intent") or ()]
        yield row["text"], frozenset([meaning["intent"], *others])


def verdict(asks: Sequence[Ask], right: frozenset[str]) -> str:
    """How a sentence was read."""
    if not asks:
        return "not understood"
    if asks[0].intent == UNCLEAR:
        return "back with it" if right & {one.intent for one in asks[0].may} else "back without"
    good = asks[0].intent in right
    return ("right" if good else "misread") + (", said" if asks[0].taken else "")


def main(given: Sequence[str]) -> None:
    spoken = left_out()
    setting = Setting(dt.date.fromisoformat(TODAY), hemisphere="north", country="gb", find_place=found_places)
    for name in [word for word in given if not word.startswith("-")] or ["ask", "held", "examples"]:
        count: Counter[str] = Counter()
        spent = 0.0
        for text, right in labelled(name):
            start = time.perf_counter()
            asks = read_asks(clean(text), setting, spoken, answers=nested({}))
            spent += time.perf_counter() - start
            found = verdict(asks, right)
            count[found] += 1
            if "--show" in given and found not in ("right", "right, said"):
                may = [one.intent for one in asks[0].may] if asks else []
                print(f"  {found}: {text!r} is {sorted(right)}, read {[ask.intent for ask in asks]} {may}")
        whole = sum(count.values())
        shares = ", ".join(f"{kind} {count[kind]} ({100 * count[kind] / whole:.1f} %)" for kind in KINDS)
        print(f"{name}: rows {whole}, {shares}; {1000 * spent / whole:.1f} ms a question")


if __name__ == "__main__":
    main(sys.argv[1:])
