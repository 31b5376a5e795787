"""What a teacher hands out and goes by: a starter sheet of words and facts, and a lesson plan with times;
both Markdown.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Final

from decide.knowledge.tables import Knowledge
from decide.lesson.exercise_sheet import plain
from decide.lesson.story import Scene, Story
from decide.model.words import capital

_MOST_WORDS: Final = 12


def starter_sheet(told: Story) -> str:
    """The field in facts, the words of the trade that the story uses, and the questions to think of first."""
    k = told.knowledge
    known = told.scene(1)
    head = k.text("story-starter-title-at", place=told.place) if told.place else k.text("story-starter-title")
    facts = [line.removeprefix("- ") for line in (*known.tells, *known.more)]
    lines = [f"# {plain(head)}", ""]
    for row in told.danger:
        lines += [f"**{plain(k.text('story-danger', text=row.text, who=row.who))}**", ""]
    lines += [f"## {k.text('story-starter-field')}", "", *(f"- {plain(line)}" for line in facts), ""]
    lines += [f"## {k.text('story-starter-words')}", ""]
    lines += [*(f"- **{plain(word)}**: {plain(meaning)}" for word, meaning in words_of(told)), ""]
    asked = [scene.guess.asks for scene in told.first if scene.guess is not None]
    lines += [f"## {k.text('story-starter-think')}", "", *(f"1. {plain(ask)}" for ask in asked)]
    return "\n".join(lines).rstrip() + "\n"


def words_of(told: Story) -> Iterator[tuple[str, str]]:
    """The words of the trade that a story uses, in the order in which it comes to them, each with its
    meaning.
    """
    text = " ".join(line for scene in told.first for line in (*scene.tells, scene.so)).lower()
    names = [
        (name.lower(), code)
        for code, row in told.knowledge.words.items()
        for name in (code.replace("-", " "), *row.also)
    ]
    found: dict[str, int] = {}
    # The longest first: who reads of thin-cut sod need not be told of cutting.
    for name, code in sorted(names, key=lambda row: (-len(row[0]), row)):
        for match in re.finditer(rf"\b{re.escape(name)}s?\b", text):
            found[code] = min(found.get(code, match.start()), match.start())
        text = re.sub(rf"\b{re.escape(name)}s?\b", lambda match: " " * len(match[0]), text)
    for code in sorted(found, key=found.__getitem__)[:_MOST_WORDS]:
        yield capital(code.replace("-", " ")), told.knowledge.words[code].meaning


# ---------- the lesson plan ----------
def lesson_plan(told: Story) -> str:
    """What is done when, in minutes, with the answers to each vote and the rules behind them."""
    k = told.knowledge
    rows = list(_rows(told))
    lines = [f"# {k.text('story-plan-title', minutes=sum(minutes for minutes, *_ in rows))}", ""]
    lines += [k.text("story-plan-need"), "", k.text("story-plan-head"), "| --- | --- | --- |"]
    lines += [f"| {minutes} | {plain(name)} | {does} |" for minutes, name, does in rows]
    lines += ["", f"## {k.text('story-plan-answers')}", ""]
    for scene in told.first:
        if scene.guess is not None:
            answer = plain(scene.guess.choices[scene.guess.answer])
            said = k.text(
                "story-plan-answer", number=scene.number, asks=plain(scene.guess.asks), answer=answer
            )
            rules = ", ".join(f"`{rule}`" for rule in scene.guess.rules)
            lines.append(f"- {said} {k.text('story-plan-rules', rules=rules) if rules else ''}".rstrip())
    lines += ["", f"## {k.text('story-care')}", ""]
    lines += [f"- {plain(row.text)} {plain(k.text('story-page-who', who=row.who))}" for row in told.care]
    return "\n".join(lines).rstrip() + "\n"


def _rows(told: Story) -> Iterator[tuple[int, str, str]]:
    k = told.knowledge
    yield _minutes(k, "starter"), k.text("story-plan-start-name"), k.text("story-plan-starter")
    for scene in told.first:
        yield _minutes(k, scene.kind), f"{scene.number}. {scene.asks}", _does(k, scene)
    last = told.count
    yield _minutes(k, "change"), f"{last}. {k.text('story-ask-change')}", k.text("story-plan-read")
    rule = deciding_rule(told)
    if rule:
        yield _minutes(k, "break"), k.text("story-plan-break-name"), k.text("story-plan-break", rule=rule)
    yield _minutes(k, "close"), k.text("story-plan-close-name"), k.text("story-plan-close")


def _minutes(k: Knowledge, part: str) -> int:
    return round(k.value("lesson-minutes", part) or 0)


def _does(k: Knowledge, scene: Scene) -> str:
    if scene.guess is not None:
        return plain(k.text("story-plan-guess", asks=scene.guess.asks))
    return k.text("story-plan-read")


def deciding_rule(told: Story) -> str:
    """The rule whose loss a class can look at: the first that decides on the worked loser, else on what the
    ground needs, else on the cause; empty where none does.
    """
    rules = {scene.kind: scene.guess.rules for scene in told.first if scene.guess is not None}
    return next((rules[kind][0] for kind in ("loser", "needs", "cause") if rules.get(kind)), "")
