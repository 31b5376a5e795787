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
    adviser = Adviser(knowledge_with(words.knowledge), "both")
    try:
        told = ask(adviser.consult(situation, system=words.units, weather=weather), question, words.level)
    finally:
        adviser.close()
    if words.json:
        show(json.dumps({"asked": question, **told.as_dict()}, indent=1, ensure_ascii=True) + "\n")
    else:
        shown = page(words.width)
        text = (
            "\n".join(part for line in told.text.splitlines() for part in _wrapped(line, shown.width)) + "\n"
        )
        show(to_ascii(text) if shown.ascii_only else text)
    if note:
        say(note)
    return OK if told.understood else NO_ADVICE


def _wrapped(line: str, width: int) -> list[str]:
    return textwrap.wrap(line, width, subsequent_indent=" " * (len(line) - len(line.lstrip(" -")))) or [""]
