"""All that is proved of the knowledge together, and what of it stands with a reason."""

from __future__ import annotations

from collections import Counter
from collections.abc import Container, Iterable, Iterator, Mapping, Sequence
from typing import Final

from decide.engine.language import FactType, Rule
from decide.knowledge.audit_code import Code
from decide.knowledge.audit_proof import Proofs
from decide.knowledge.audit_space import check_pairs, check_reached
from decide.knowledge.audit_texts import answers_for
from decide.knowledge.cells import Space
from decide.knowledge.finding import Finding, Findings
from decide.knowledge.schema import Row
from decide.knowledge.schema_audit import KINDS, StandingRow
from decide.knowledge.tables import Knowledge
from decide.model.errors import KnowledgeError

# The kinds that are looked for in rules, and in what is asked.
SERVED: Final = ("unaskable", "key-unread", "question-idle", "choices-alike")
PROVED: Final = tuple(kind for kind in KINDS if kind not in (*SERVED, "past-review"))


def proved(
    k: Knowledge, rules: Sequence[Rule], facts: Mapping[str, FactType], space: Space
) -> list[KnowledgeError]:
    """What is found of rules by proof, in a fixed order."""
    proofs = Proofs(rules, space)
    groups = [(code, row.facts, k.where.get(("apart", code), "")) for code, row in k.apart.items()]
    return [
        *proofs.never_fires(),
        *proofs.exceptions(),
        *proofs.conflicts(),
        *proofs.conditions(),
        *proofs.apart(groups),
        *check_reached(k, rules, facts, proofs.dead),
        *check_pairs(k, proofs),
    ]


Stands = Sequence[tuple[Finding, StandingRow]]


def check_columns(code: Code, tables: Iterable[type[Row]]) -> Findings:
    """Columns of tables that no code reads."""
    for table in sorted(tables, key=lambda each: each.__name__):
        for name, column in table.model_fields.items():
            called = {name, column.alias or name}
            if not called & code.attributes and not any(map(code.names, called)):
                yield Finding(
                    "column-unread",
                    f"{table.__name__} {name}",
                    f"nothing reads the column {column.alias or name} of {table.__name__}",
                    instead="Take it out, or write what reads it",
                )


def all_rows(row: type[Row] = Row) -> Iterator[type[Row]]:
    """Every kind of row that a table of the knowledge has."""
    for each in row.__subclasses__():
        if each.__module__.startswith("decide.knowledge."):
            yield each
            yield from all_rows(each)


def standing(
    k: Knowledge, found: Iterable[KnowledgeError], looked_for: Container[str]
) -> tuple[list[KnowledgeError], Stands]:
    """What of some findings is wrong, and what stands with its reason. A reason that stands for nothing is
    wrong too, where its kind was `looked_for`.
    """
    rows = [(code, row, of) for code, row in k.standing.items() for of in row.of]
    wrong: list[KnowledgeError] = []
    stands: list[tuple[Finding, StandingRow]] = []
    used: set[tuple[str, str]] = set()
    for each in found:
        held = next((r for r in rows if isinstance(each, Finding) and _is_of(each, r[1], r[2])), None)
        if held is None or not isinstance(each, Finding):
            wrong.append(each)
        else:
            stands.append((each, held[1]))
            used.add((held[0], held[2]))
    for code, row, of in rows:
        if row.kind in looked_for and (code, of) not in used and answers_for(k, "standing", code):
            wrong.append(
                KnowledgeError(
                    f"{code}: {of!r} is not found any more among {KINDS[row.kind]}",
                    where=k.where.get(("standing", code), ""),
                    instead="Take it out",
                )
            )
    return wrong, stands


def _is_of(each: Finding, row: StandingRow, of: str) -> bool:
    """Whether a reason is of a finding; a name that ends in a star stands for all that begin so."""
    return each.kind == row.kind and (
        each.of.startswith(of.removesuffix("*")) if of.endswith("*") else each.of == of
    )


def counted(stands: Stands) -> Iterator[str]:
    """How many findings of each kind stand."""
    counts: Counter[str] = Counter(each.kind for each, _ in stands)
    for kind, says in KINDS.items():
        if counts[kind]:
            yield f"{says}: {counts[kind]} {'stands' if counts[kind] == 1 else 'stand'} with a reason"


def told(stands: Stands) -> Iterator[str]:
    """Each finding that stands, with its proof and the reason."""
    for each, row in stands:
        yield f"{each.where}: {each.wrong}"
        if each.proof:
            yield f"  proof: {each.proof}"
        yield f"  stands: {row.because}"
