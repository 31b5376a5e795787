"""What a teacher hands out: the starter sheet, the lesson plan with its times, and rules in words."""

from __future__ import annotations

import re

import pytest
from markdown_it import MarkdownIt

from decide.consult import Adviser
from decide.decision.consultation import Consultation
from decide.lesson.rules_said import rules_lines
from decide.lesson.starter import deciding_rule, lesson_plan, starter_sheet, words_of
from decide.lesson.story import Story
from decide.model.errors import DecideError

from .reading import grade

pytestmark = pytest.mark.slow
Told = tuple[Consultation, Story]


def heads(text: str) -> list[str]:
    tokens = MarkdownIt().parse(text)
    return [tokens[place + 1].content for place, token in enumerate(tokens) if token.type == "heading_open"]


def test_the_starter_sheet_holds_words_and_facts_and_no_answer(each: Told) -> None:
    _, told = each
    sheet = starter_sheet(told)
    assert [head.partition(":")[0] for head in heads(sheet)] == [
        "Starter sheet",
        "The field",
        "Words",
        "Think first",
    ]
    assert 5 <= len(list(words_of(told))) <= 12
    for word, meaning in words_of(told):
        assert told.knowledge.words[word.lower().replace(" ", "-")].meaning == meaning
    for scene in told.first:
        if scene.guess is not None:
            assert scene.guess.asks in sheet
            assert scene.so not in sheet
    for row in told.danger:
        assert row.who.split(",")[0] in sheet


def test_the_plan_has_times_that_add_up_to_a_lesson(each: Told) -> None:
    """Between 40 and 60 minutes, each step once, in order."""
    _, told = each
    plan = lesson_plan(told)
    rows = re.findall(r"^\| (\d+) \| (.*?) \| .* \|$", plan, flags=re.M)
    total = sum(int(minutes) for minutes, _ in rows)
    assert heads(plan)[0] == f"Lesson plan: {total} minutes"
    assert 40 <= total <= 60
    assert [name for _, name in rows if name[0].isdigit()] == [
        f"{scene.number}. {scene.asks}" for scene in told.scenes
    ]


def test_the_plan_answers_each_vote_with_the_rules_behind_it(each: Told) -> None:
    c, told = each
    plan = lesson_plan(told)
    for scene in told.first:
        if scene.guess is not None:
            line = next(line for line in plan.splitlines() if line.startswith(f"- Step {scene.number}."))
            assert scene.guess.choices[scene.guess.answer] in line
            assert all(f"`{rule}`" in line for rule in scene.guess.rules)
    assert deciding_rule(told) in c.book.rules
    assert f"--break {deciding_rule(told)}`" in plan
    assert all(row.who.split(",")[0] in plan for row in told.care)


# ---------- rules in words ----------
def test_subjects_hold_every_rule_once(adviser: Adviser) -> None:
    lines = list(rules_lines(adviser, "subjects"))
    own = [rule for rule in adviser.base.rules if not rule.bend_of]
    assert lines[0].startswith(f"{len(own)} rules in ")
    counts = [int(n) if n != "one" else 1 for n in re.findall(r": (\d+|one) rules?\.", "\n".join(lines[1:]))]
    assert sum(counts) == len(own)
    assert len(counts) == len({rule.subject for rule in own})


def test_a_rule_in_words_by_hand(adviser: Adviser) -> None:
    said = "\n".join(rules_lines(adviser, "goalmouth-by-name"))
    assert said.startswith(
        "Rule: goalmouth-by-name\n  When: What kind of part its own name tells: hot spot\n"
    )
    assert "  And: Bare ground: more than 5%" in said
    assert "  Unless shape is another: Shape of the bad ground: low ground, " in said
    assert "  So: The ground is bare through wear in front of the goal: yes" in said


def test_every_rule_can_be_said(adviser: Adviser) -> None:
    """Each with its conditions, what follows, why and its sources, and without a hole left open."""
    text = "\n".join(rules_lines(adviser, "all"))
    assert text.count("Rule: ") == sum(not rule.bend_of for rule in adviser.base.rules)
    assert "{" not in text
    for rule in adviser.base.rules[::25]:
        lines = list(rules_lines(adviser, rule.id))
        assert sum(line.startswith(("  When: ", "  And: ")) for line in lines) == len(rule.when)
        assert sum(line.startswith("  Unless ") for line in lines) == len(rule.unless)
        assert sum(line.startswith("  Source: ") for line in lines) == len(rule.sources)


def test_subjects_read_easily(adviser: Adviser) -> None:
    for code in adviser.knowledge.texts:
        if code.startswith("rules-of-"):
            assert grade(adviser.knowledge.text(code)) <= 9, code


def test_no_such_subject(adviser: Adviser) -> None:
    with pytest.raises(DecideError, match="climate"):
        list(rules_lines(adviser, "climat"))
