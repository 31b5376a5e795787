"""The steps that give an option its verdict and its part in the programme, on its grades at both ends."""

from __future__ import annotations

from collections.abc import Mapping, Set
from typing import Final

from decide.decision.rank import Weighed, verdict_facts
from decide.engine.language import Fact, Rule
from decide.explain.reasons import ends_words, part_facts, part_rules
from decide.lesson.chain import SITE, Chain
from decide.lesson.steps import Read, Section, Step

_ENDS: Final = (
    "option.essential", "option.time", "option.in-time", "option.lasting", "option.else-essential",
    "option.stood", "option.risk-end",
)  # fmt: skip


def verdict_step(chain: Chain, code: str, w: Weighed) -> None:
    """The rule that gives an option its verdict."""
    rule = chain.c.book.rules[w.verdict_rule]
    step = _judged_step(
        chain,
        "verdict",
        code,
        w,
        rule,
        {**w.facts, **verdict_facts(w, chain.c.essential, chain.c.counting.perhaps)},
    )
    chain.verdicts[code] = step.number


def part_steps(chain: Chain, code: str, w: Weighed, only: Set[str] | None) -> None:
    """The rules that let an option take its part in the programme; all that it could take where none is
    `only` wanted.
    """
    facts = part_facts(chain.c, w)
    for rule in part_rules(chain.c, w):
        if only is None or rule.id in only:
            step = _judged_step(chain, "part", code, w, rule, facts)
            chain.parts[code, rule.id] = step.number


def _judged_step(
    chain: Chain, section: Section, code: str, w: Weighed, rule: Rule, facts: Mapping[str, Fact]
) -> Step:
    names = dict.fromkeys(name for condition in rule.when for name in condition.facts if name in facts)
    reads = [_read(chain, code, w, name, facts[name]) for name in names]
    return chain.fired(section, code, chain.about(w), rule, facts, reads, w.draft.zone)


def _read(chain: Chain, code: str, w: Weighed, name: str, value: Fact) -> Read:
    """A fact that rules of verdict or programme read of an option, with the marks that give it."""
    k = chain.c.knowledge
    if name == "option.verdict":
        text = k.text("lesson-the-verdict", verdict=k.language.verdict(str(value)))
        return Read(name, value, text, "derived", (chain.verdicts[code],))
    if name == "option.silence":
        return Read(name, value, _silence(chain, w, value), "derived")
    if name in _ENDS:
        text = _ends_said(chain, w, name, str(value))
    elif name == "option.ruled-out-by":
        text = k.text("lesson-ruled-out-by", what=k.text(f"lesson-ruled-out-by-{value}"))
    elif name == "option.rule-out":
        text = chain.said(name, value)
    else:
        return chain.read(name, value, code, w.draft.zone)
    return Read(name, value, text, "derived", _behind(chain, code, name))


def _silence(chain: Chain, w: Weighed, value: Fact) -> str:
    """What was not told, and whether it could speak against an option."""
    k = chain.c.knowledge
    if value == "speaks":
        return k.text("lesson-silence-speaks", usual="; ".join(chain.tell.rests_on(w)[:2]))
    return k.text("lesson-silence-nothing")


def _ends_said(chain: Chain, w: Weighed, name: str, level: str) -> str:
    """How some criteria stand, both ends of each, and what the best end wants."""
    k = chain.c.knowledge
    rows: list[str] = []
    for criterion in chain.looks_at[name] if level != "free" else ():
        worst, best = w.grades[criterion], w.bests[criterion]
        wants = chain.tell.hangs_on(w, criterion)[:1] if worst != best else ()
        row = f"{k.language.criterion(criterion)} {ends_words(k, worst, best)}"
        rows.append(
            k.text("lesson-ends-only-if", row=row, best=ends_words(k, best, best), wants=wants[0])
            if wants
            else row
        )
    each = f" ({'; '.join(rows)})" if rows else ""
    head = k.text(f"lesson-ends-{name.removeprefix('option.')}")
    return f"{head}: {k.text(f'lesson-stands-{level}')}{each}"


def _behind(chain: Chain, code: str, name: str) -> tuple[int, ...]:
    """The marks that give a fact about grades: the rule-outs, or all on its criteria."""
    steps = [chain.steps[number - 1] for number in chain.marks.get(code, [])]
    if name in ("option.rule-out", "option.ruled-out-by"):
        return tuple(step.number for step in steps if step.act == "rule-out")
    wanted = chain.looks_at[name]
    asked = [
        number
        for one in sorted(chain.c.essential.intersection(wanted))
        for number in chain.given(SITE, f"site.essential-{one}")
    ]
    return tuple(sorted({*asked, *(step.number for step in steps if step.target in wanted)}))
