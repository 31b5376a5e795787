"""What the advice leaves open: the missing answers that bear on it, the weightiest first."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from decide.answer.assemble import advice_of, local_words
from decide.decision.consultation import Consultation
from decide.decision.diagnosis import Diagnosis
from decide.knowledge.schema import Question
from decide.model.advice import Advice, Sure, UnknownRow
from decide.model.wording import listed
from decide.model.written import coded
from decide.questions.answers import Answers, as_answers
from decide.questions.next import ORIENTING, Asker
from decide.questions.open import Asked, open_questions

MOST_UNKNOWN: Final = 8


MOST_UNKNOWN_TRIED: Final = 12


# How much hangs on an open question: somebody may soon pay for what is offered; a rule stands open in the
# order; a remedy may be another; it tells where and how the field is; only an unusual answer could change
# anything.
_PAID, _OPEN, _REMEDY, _ORIENTS, _FAR = range(5)


# ---------- what the advice leaves open ----------
def unknown_rows(consultation: Consultation, asker: Asker | None = None) -> list[UnknownRow]:
    """The open questions that bear on rules about what is told that could still fire, the weightiest first.

    With an asker the weightiest are tried, so that the row says whether its answer could change the first
    choice, and those that could come first; without one that stays None.
    """
    c, answers = consultation, as_answers(consultation.filled.situation)
    if asker is not None:
        asker.keep(c)
    weight = _weights(c)
    found: list[tuple[int, int, Asked, str]] = [
        (_PAID, question.order, Asked(question, None, (question.key,)), said)
        for question, said in _not_said(c)
    ]
    for asked in open_questions(c.knowledge, answers):
        rank = weight.get((asked.key, "" if asked.zone is None else coded(asked.zone)))
        if rank is not None:
            found.append(
                (
                    _ORIENTS if rank == _FAR and asked.key in ORIENTING else rank,
                    asked.question.order,
                    asked,
                    "",
                )
            )
    found.sort(key=lambda row: row[:2])
    rows: list[UnknownRow] = []
    for _, _, asked, said in found[: MOST_UNKNOWN if asker is None else MOST_UNKNOWN_TRIED]:
        if sum(row.changes_first_choice is True for row in rows) < MOST_UNKNOWN:
            rows.append(_row(c, answers, asked, said, asker))
    rows.sort(key=lambda row: {True: 0, None: 1, False: 2}[row.changes_first_choice])
    return rows[:MOST_UNKNOWN]


def tried(consultation: Consultation, asker: Asker | None = None) -> Advice:
    """The advice with the questions that it leaves open; with an asker, which of them could change the first
    choice, and so how sure it is.
    """
    advice, rows = advice_of(consultation), unknown_rows(consultation, asker)
    sure = advice.sure
    if sure.level == "firm" and any(row.changes_first_choice for row in rows):
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


def _weights(c: Consultation) -> dict[tuple[str, str], int]:
    """What hangs on each question, by its key and, where it is about a zone, the zone's code."""
    weight: dict[tuple[str, str], int] = {}
    for name, zone, rank in _undecided(c):
        for key in asked_for(c, name, zone):
            weight.setdefault((key, zone if key.startswith("zone.") else ""), _FAR)
        for key in asked_for(c, name, zone, usually=True) if rank < _FAR else ():
            place = key, zone if key.startswith("zone.") else ""
            weight[place] = min(rank, weight[place])
    return weight


def _undecided(c: Consultation) -> Iterator[tuple[str, str, int]]:
    """The unknown facts in rules that could fire or stand open, with their zone and the weight of what hangs
    on them.

    What stands open in the order of the options weighs most, then which remedies a part may have; unusual
    readings come last.
    """
    chosen = [w for each in c.chosen.values() for w in each.told]
    for w in chosen:
        zone, open_, usual = w.draft.zone, {rule.id for rule in w.open}, c.usual_facts[w.draft.zone]
        for rule, could in w.could:
            # What is read as usual leaves a rule open only where nothing else of it is unknown. Where the
            # order is silent on a fact, the choice rests on it all the same.
            real = [name for name in could.unknown if name not in usual] or could.unknown
            yield from (
                (
                    name,
                    zone,
                    _OPEN
                    if name in real
                    and (rule.id in open_ or (rule.then.target in c.essential and name in c.book.quiet))
                    else _FAR,
                )
                for name in could.unknown
            )
        for rule, firing in w.firings:
            names = [
                name
                for each in rule.unless
                if each.name in firing.open
                for condition in each.when
                for name in condition.facts
            ]
            yield from (
                (name, zone, _OPEN if rule.id in open_ else _FAR) for name in names if name not in w.facts
            )
    for zone in c.zones:
        for rule, could in c.zone_layer.could.get(zone, []):
            near = rule.then.target.startswith("zone.kind-") or rule.then.target in (
                "zone.new-grass-asked",
                "zone.remedy-recover",
            )
            yield from (
                (name, zone, _REMEDY if near and name not in c.usual_facts[zone] else _FAR)
                for name in could.unknown
            )
    for _, could in c.site_layer.could.get("site", []):
        yield from ((name, "", _FAR) for name in could.unknown)


def asked_for(c: Diagnosis, name: str, zone: str, usually: bool = False) -> frozenset[str]:
    """The keys whose answers bring an unknown fact: its own, or those of what it is concluded from.

    With `usually` those are left out that bring only what is read as usual until somebody tells otherwise.
    """
    usual = c.usual_facts.get(zone, {}) if usually else {}
    found: set[str] = set()
    todo, seen = [name], {name}
    while todo:
        kind = c.types[todo.pop()]
        if kind.concluded:
            layer = (
                c.site_layer.could.get("site", [])
                if kind.scope == "site"
                else c.zone_layer.could.get(zone, [])
            )
            rows = [could.unknown for rule, could in layer if rule.then.target == kind.name]
            more = {
                one for unknown in rows for one in ([one for one in unknown if one not in usual] or unknown)
            } - seen
            todo, seen = [*todo, *more], seen | more
        elif keys := (kind.told,) if kind.told else c.book.brought_by[kind.name]:
            found.update(keys)
        elif c.filled.site is None:
            # What is measured of the place and of its year comes with the place.
            found.add("place.name")
    return frozenset(found)


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
        yield question, f"{question.ask} Still missing: {listed(missing)}."
