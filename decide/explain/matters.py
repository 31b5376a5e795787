"""What matters next: the missing answers that could change the choice, the weightiest first."""

from __future__ import annotations

from dataclasses import dataclass

from decide.decision.consultation import Consultation
from decide.explain.reasons import Level
from decide.questions.answers import as_answers
from decide.questions.next import Asker
from decide.questions.unknown import unknown_rows


@dataclass(frozen=True)
class Missing:
    """A missing answer: its key, the question, and whether some answer could change the first choice (None:
    not tried).
    """

    key: str
    ask: str
    changes_choice: bool | None


@dataclass(frozen=True)
class MattersNext:
    """The missing answers, those that could change the choice first; `next` is the question to answer first,
    if any matters.
    """

    text: str
    next: str
    missing: tuple[Missing, ...]


def matters_next(consultation: Consultation, asker: Asker | None = None, level: Level = 1) -> MattersNext:
    """Which answer to find out next. With an asker of its own that is kept, nothing is tried twice."""
    c = consultation
    asker = asker if asker is not None else Asker(c.book, c.filled.today, c.filled.weather)
    rows = tuple(Missing(row.key, row.text, row.changes_first_choice) for row in unknown_rows(c, asker))
    first = asker.next_question(as_answers(c.filled.situation))
    lines: list[str] = []
    if first is not None:
        where = f" ({first.zone})" if first.zone is not None and len(c.zones) > 1 else ""
        lines.append(
            c.knowledge.text("next-find-out", where=where, ask=first.question.ask, why=first.question.why)
        )
        if level > 1 and first.question.help:
            lines.append(first.question.help)
    tipping = [row for row in rows if row.changes_choice]
    if tipping:
        lines += [
            c.knowledge.text("next-could-change"),
            *(f"- {row.ask}{f' [{row.key}]' if level > 2 else ''}" for row in tipping),
        ]
    elif first is None:
        lines.append(c.knowledge.text("next-nothing"))
    others = [row for row in rows if not row.changes_choice]
    if others and level > 1:
        lines += [
            c.knowledge.text("next-bear-only"),
            *(f"- {row.ask}{f' [{row.key}]' if level > 2 else ''}" for row in others),
        ]
    return MattersNext("\n".join(lines), first.key if first is not None else "", rows)
