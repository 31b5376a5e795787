"""What the advice leaves open: the missing answers that bear on it, the weightiest first."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from decide.answer.assemble import advice_of, local_words
from decide.decision.consultation import Consultation
from decide.knowledge.schema import Question
from decide.model.advice import Advice, Sure, UnknownRow
from decide.model.written import coded
from decide.questions.answers import Answers, as_answers
from decide.questions.next import ORIENTING, Asker
from decide.questions.open import Asked, open_questions
from decide.questions.weights import FAR, ORIENTS, PAID, weights

MOST_UNKNOWN: Final = 8


MOST_UNKNOWN_TRIED: Final = 12


# ---------- what the advice leaves open ----------
def unknown_rows(
    consultation: Consultation, asker: Asker | None = None, tries: int = MOST_UNKNOWN_TRIED
) -> list[UnknownRow]:
    """The open questions that bear on rules about what is told that could still fire, the weightiest first.

    With an asker the weightiest are tried, so that the row says whether its answer could change the first
    choice, and those that could come first; without one, and of those beyond so many `tries`, that stays
    None.
    """
    c, answers = consultation, as_answers(consultation.filled.situation)
    if asker is not None:
        asker.keep(c)
    weight = weights(c)
    found: list[tuple[int, int, Asked, str]] = [
        (PAID, question.order, Asked(question, None, (question.key,)), said)
        for question, said in _not_said(c)
    ]
    for asked in open_questions(c.knowledge, answers):
        rank = weight.get((asked.key, "" if asked.zone is None else coded(asked.zone)))
        if rank is not None:
            found.append(
                (
                    ORIENTS if rank == FAR and asked.key in ORIENTING else rank,
                    asked.question.order,
                    asked,
                    "",
                )
            )
    found.sort(key=lambda row: row[:2])
    rows: list[UnknownRow] = []
    for at, (_, _, asked, said) in enumerate(found[: MOST_UNKNOWN if asker is None else MOST_UNKNOWN_TRIED]):
        if sum(row.changes_first_choice is True for row in rows) < MOST_UNKNOWN:
            rows.append(_row(c, answers, asked, said, asker if at < tries else None))
    rows.sort(key=lambda row: {True: 0, None: 1, False: 2}[row.changes_first_choice])
    return rows[:MOST_UNKNOWN]


def tried(consultation: Consultation, asker: Asker | None = None, tries: int = MOST_UNKNOWN_TRIED) -> Advice:
    """The advice with the questions that it leaves open; with an asker, which of them could change the first
    choice, and so how sure it is. What was not tried, because only so many `tries` were left, is taken as if
    it could.
    """
    advice, rows = advice_of(consultation), unknown_rows(consultation, asker, tries)
    sure = advice.sure
    short = asker is not None and tries < len(rows)
    if sure.level == "firm" and any(
        row.changes_first_choice or (short and row.changes_first_choice is None) for row in rows
    ):
        sure = Sure(level="likely", why=consultation.knowledge.text("sure-but-missing"))
    here = local_words(consultation)
    rows = [row.model_copy(update={"text": here(row.text)}) for row in rows]
    return advice.model_copy(update={"unknown": rows, "sure": sure})


def _row(c: Consultation, answers: Answers, asked: Asked, said: str, asker: Asker | None) -> UnknownRow:
    named = asked.zone is not None and len(c.zones) > 1
    inside = asked.key.removeprefix("zone.")
    return UnknownRow(
        key=f"zone.{coded(asked.zone or '')}.{inside}" if named else asked.key,
        changes_first_choice=None if asker is None or said else asker.changes_choice(answers, asked),
        text=said or (f"{asked.zone}: {asked.question.ask}" if named else asked.question.ask),
    )


def _not_said(c: Consultation) -> Iterator[tuple[Question, str]]:
    """What was told in part: a thing is on offer, and a rule about it waits for something that the seller can
    say.
    """
    question = next((each for each in c.knowledge.questions if each.key == "offer"), None)
    if question is None or not c.filled.situation.offer:
        return
    offered = [w for w in c.weighed.values() if w.facts.get("option.offer") == "offered"]
    waits = dict.fromkeys(name for w in offered for _, could in w.could for name in could.unknown)
    missing = [
        c.types[name].meaning.split(";")[0]
        for name in waits
        if any(key.startswith("offer.") for key in c.book.brought_by[name])
    ]
    if missing:
        yield question, f"{question.ask} Still missing: {c.knowledge.language.listed(missing)}."
