"""The advice once more in few and plain words: what becomes of the date, what is done, what comes first, and
what the words of the trade in it mean.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Final

from decide.explain.reply.about import About, Reply
from decide.explain.reply.days import first_tasks
from decide.model.words import capital, first_sentence

_MOST_PARTS: Final = 3
_MOST_WORDS: Final = 3


def plainer(a: About) -> Reply:
    """The date, the choice of each part, the first task, and words in them that a newcomer may not know."""
    fate = [first_sentence(a.advice.fate.text)] if a.advice.fate is not None else []
    parts = [f"{a.where(answer.zone)}{answer.text}" for answer in a.parts[:_MOST_PARTS]]
    first = [
        a.text("reply-plain-first", task=task.task, day=a.day(task.from_)) for task in first_tasks(a)[:1]
    ]
    danger = [first_sentence(doing.text) for doing in a.advice.today[:1]]
    return Reply((*danger, *fate, *parts, *first, *_words(a)))


def _words(a: About) -> Iterator[str]:
    """What the verdicts mean, and the words of the trade in the names of what is chosen, the longest
    first.
    """
    options = [option for answer in a.parts if (option := a.option(answer)) is not None]
    titles = " ".join(option.title for option in options).lower()
    found: dict[str, str] = {a.k.language.verdict(option.verdict): option.verdict for option in options}
    trade = {
        name: code
        for code, row in a.k.words.items()
        for name in (code.replace("-", " "), *row.also)
        if re.search(rf"\b{re.escape(name.lower())}\b", titles)
    }
    found |= {name: trade[name] for name in sorted(trade, key=len, reverse=True)}
    known = [(name, row) for name, code in found.items() if (row := a.k.words.get(code)) is not None]
    for name, row in known[:_MOST_WORDS]:
        yield a.text("reply-plain-word", word=capital(name), meaning=first_sentence(row.meaning))
