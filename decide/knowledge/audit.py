"""Static checks that need the whole knowledge: what no rule can reach, what nobody reads, and what
contradicts.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path
from types import EllipsisType

from decide.knowledge.audit_code import Code, read_code
from decide.knowledge.audit_found import (
    PROVED,
    SERVED,
    Stands,
    all_rows,
    check_columns,
    counted,
    proved,
    standing,
    told,
)
from decide.knowledge.audit_plants import check_names, check_ready
from decide.knowledge.audit_review import check_reviewed, check_reviews
from decide.knowledge.audit_rows import check_meanwhile, check_plan, check_supplies, check_usual
from decide.knowledge.audit_rules import (
    check_literals,
    check_remembered,
    check_roles,
    check_sound_if,
    check_verdicts,
    check_weighing,
    compiled,
)
from decide.knowledge.audit_space import check_relations, space_of
from decide.knowledge.audit_texts import (
    check_added_texts,
    check_edges,
    check_sources,
    check_stale_cases,
    check_texts,
)
from decide.knowledge.audit_unsaid import check_unsaid, conditions_in
from decide.knowledge.audit_values import (
    check_codes,
    check_together,
    check_unasked,
    check_unread_facts,
    check_unused_values,
)
from decide.knowledge.cells import Space
from decide.knowledge.compile import all_facts, all_numbers
from decide.knowledge.finding import Finding
from decide.knowledge.load import read_knowledge
from decide.knowledge.tables import Knowledge
from decide.model.errors import KnowledgeError

More = Callable[[Knowledge], Iterable[KnowledgeError]]


def audit(
    knowledge: Knowledge, code: Code | None = None, more: More | None = None
) -> tuple[list[KnowledgeError], Stands]:
    """Everything that is wrong with `knowledge` as a whole, in a fixed order, empty where nothing is;
    and what is found and stands with a reason.

    `code` is what read_code gives; it is read where it is left out. What `more` finds comes first.
    """
    found = [*(more(knowledge) if more else ()), *_found(knowledge, code)]
    return standing(knowledge, found, (*PROVED, *(SERVED if more else ())))


def _found(knowledge: Knowledge, code: Code | None) -> list[KnowledgeError]:
    """All that the tables alone show."""
    code = code or read_code()
    facts, numbers = all_facts(knowledge), all_numbers(knowledge)
    rules, found = compiled(knowledge, facts, numbers)
    if found:
        # Without the rules that cannot be read, what they use would seem unused.
        return found
    related = [*check_relations(knowledge, facts)]
    more = [*conditions_in(knowledge, facts, numbers)]
    # Relations that name what there is not say nothing of the facts.
    space = Space(rules, facts, more=more) if related else space_of(knowledge, rules, facts, more=more)
    checks = (
        check_verdicts(rules, facts),
        related or proved(knowledge, rules, facts, space),
        check_columns(code, set(all_rows())),
        check_remembered(knowledge, rules),
        check_literals(knowledge, facts, numbers),
        check_sound_if(rules),
        check_roles(knowledge, rules),
        check_usual(knowledge, rules, facts),
        check_unasked(knowledge),
        check_together(knowledge),
        check_unread_facts(knowledge, rules, code),
        check_unused_values(knowledge, rules, code),
        check_codes(knowledge, rules, code),
        check_plan(knowledge, rules, numbers, space),
        check_supplies(knowledge, rules, numbers, space),
        check_meanwhile(knowledge, rules, numbers, space),
        check_unsaid(knowledge, code, numbers, space),
        check_sources(knowledge),
        check_reviewed(knowledge, rules),
        check_edges(knowledge),
        check_ready(knowledge),
        check_names(knowledge),
        check_added_texts(knowledge),
        check_weighing(knowledge),
        check_stale_cases(knowledge),
        check_texts(knowledge, facts, numbers),
    )
    for check in checks:
        found.extend(check)
    return found


def main(
    folders: Sequence[str | Path | EllipsisType],
    more: More | None = None,
    beside: Callable[[Knowledge], Iterable[str]] | None = None,
    proof: bool = False,
    today: dt.date | None = None,
) -> int:
    """Print what later folders override, and every problem of the knowledge in `folders` (as read_knowledge
    takes them), with what `more` finds; `beside` tells what is no problem and must be known; how many
    findings stand with a reason, each in full with `proof`; and, where `today` is given, a warning of numbers
    past their review.

    1 where there is any problem, and 0 where there is none.
    """
    stands: Stands = ()
    try:
        knowledge = read_knowledge(*folders)
        for override in knowledge.overrides:
            print(override)
        for line in beside(knowledge) if beside else ():
            print(line)
        found, stands = audit(knowledge, None, more)
        for late in check_reviews(knowledge, today) if today else ():
            print(f"warning: {late}")
    except KnowledgeError as error:
        found = [error]
    for problem in found:
        print(problem)
        if isinstance(problem, Finding) and problem.proof:
            print(f"  proof: {problem.proof}")
    # Whoever looks at a folder of their own need not hear of what stands in ours.
    for line in told(stands) if proof else counted(stands) if len(folders) == 1 else ():
        print(line)
    print(f"{len(found)} problems" if found else "nothing wrong")
    return 1 if found else 0
