"""Answers on what somebody means to do: judged by the rules of steps, as a proposal of the situation is."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

from decide.answer.assemble import advice_of
from decide.answer.teller import Teller
from decide.decision.consultation import Consultation
from decide.explain.judgement import verdict_lines
from decide.explain.reply.about import About, Reply
from decide.model.reading import situation_from_dict
from decide.model.situation import Situation
from decide.model.work import STEPS, Proposal
from decide.plan.feasible import consult
from decide.questions.answers import as_answers
from decide.questions.sensitivity import with_plain_engine

_GRAVEST: Final = ("ruled-out", "not-advised", "sound-if", "sound")
_MOST_ASKED: Final = 3
_KEYS: Final = frozenset(field.alias or name for name, field in Proposal.model_fields.items())


def can_i_now(a: About) -> Reply:
    """Whether a step is right on a day; today where none was said."""
    table = {key: value for key, value in a.ask.slots.items() if key in _KEYS and value is not None}
    if a.day_slot() is not None:
        table["start"] = str(a.day_slot())
    if a.ask.slots.get("time_of_day"):
        table["time_of_day"] = a.slot("time_of_day").replace("-", " ")
    if table.get("step") not in STEPS:
        return Reply((a.text("reply-step-unknown", step=a.slot("step") or a.ask.words),), understood=False)
    return judged(a, table)


def judged(a: About, table: Mapping[str, Any]) -> Reply:
    """A proposal judged in the situation as it is; a part that was named is its part."""
    row = {"start": a.today.isoformat(), **table}
    if a.named is not None:
        row["zone"] = a.named.zone
    else:
        row.pop("zone", None)
    answers = as_answers(a.c.filled.situation)
    answers["proposal"] = [row]
    answers["dates"] = {**answers.get("dates", {}), "today": a.today.isoformat()}
    situation: Situation = situation_from_dict(answers, name="your question")
    made = consult(with_plain_engine(a.c.book), situation, system=a.c.system, weather=a.c.filled.weather)
    advice = advice_of(made)
    result = advice.as_dict().get("proposals") or []
    if not advice.proposals:
        return Reply((a.text("judgement-none"),), result=result)
    # Over several parts the gravest judgement is told, not the first.
    told = min(advice.proposals, key=lambda each: _GRAVEST.index(each.judgement))
    head, *rest = verdict_lines(a.k, told)
    held = {caution.code: caution for caution in advice.cautions}
    minds = [a.mind(held[code]) for code in told.cautions if code in held]
    first = f"{told.asked}: {head}" if told.asked else head
    missing = _missing(made) if told.judgement == "sound-if" and not told.conditions else ()
    return Reply((first, *missing, *rest, *_taken(a, table), *minds[1:]), minds[0] if minds else "", result)


def _missing(made: Consultation) -> tuple[str, ...]:
    """The questions whose answers could still speak against what is meant."""
    tell = Teller(made)
    names = [name for step in made.steps for _, could in step.could for name in could.unknown]
    return tuple(f"- {ask}" for ask in tell.questions(names)[:_MOST_ASKED])


def _taken(a: About, table: Mapping[str, Any]) -> tuple[str, ...]:
    """The day that is taken where none was said."""
    return () if "start" in table else (a.text("reply-taken-today", day=a.day(a.today)),)
