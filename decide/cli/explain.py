"""The command `explain`: a question about the advice on a field, in plain words."""

from __future__ import annotations

import json
import textwrap
from argparse import Namespace

from decide.cli.files import given, knowledge_with
from decide.cli.page import NO_ADVICE, OK, page, say, show
from decide.consult import Adviser
from decide.explain import ask
from decide.model.words import to_ascii


def explain(words: Namespace) -> int:
    """The answer to a question about the advice on a situation file."""
    situation, weather, note = given(words.file)
    question = " ".join(words.question) or "why"
    shown, told = page(words.width), list[str]()

    def tell(line: str) -> None:
        """Print a line as soon as it stands."""
        told.append(line)
        for part in _wrapped(line, shown.width):
            show((to_ascii(part) if shown.ascii_only else part) + "\n")

    adviser = Adviser(knowledge_with(words.knowledge), "both")
    try:
        c = adviser.consult(situation, system=words.units, weather=weather)
        answered = ask(c, question, words.level, told=None if words.json else tell)
    finally:
        adviser.close()
    if words.json:
        show(json.dumps({"asked": question, **answered.as_dict()}, indent=1, ensure_ascii=True) + "\n")
    else:
        lines = answered.text.splitlines()
        for line in lines[len(told) :] if lines[: len(told)] == told else lines:
            tell(line)
    if note:
        say(note)
    return OK if answered.understood else NO_ADVICE


def _wrapped(line: str, width: int) -> list[str]:
    return textwrap.wrap(line, width, subsequent_indent=" " * (len(line) - len(line.lstrip(" -")))) or [""]
