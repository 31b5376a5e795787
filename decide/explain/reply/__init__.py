"""Answers to what is asked of field and advice: one function for each kind of question, each in at most eight
lines, taken from the advice and never from new knowledge.

`reply` answers over a consultation, `reply_early` what can be answered before there is one.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, Final

from decide.answer.assemble import local_words
from decide.decision.consultation import Consultation
from decide.explain.changes import as_data
from decide.explain.meaning import meaning as word_meaning
from decide.explain.reasons import Level
from decide.explain.reply import days, judged, money, plain, play, reasons, safety, scope, water, work
from decide.explain.reply.about import About, Reply, fitted, meant
from decide.knowledge.tables import Knowledge
from decide.model.errors import DecideError
from decide.model.words import capital
from decide.parse.heard import Ask
from decide.questions.next import Asker

REPLIES: Final[Mapping[str, Callable[[About], Reply]]] = {
    "why": reasons.why, "why_not": reasons.why_not, "why_bare": reasons.why_bare,
    "compare": reasons.compare, "what_if": reasons.what_if,
    "what_would_it_take": reasons.what_would_it_take, "how_sure": reasons.how_sure,
    "next_question": reasons.next_question, "meaning": reasons.meaning, "says_who": reasons.says_who,
    "can_i_now": judged.can_i_now, "cost": money.cost, "cheaper": money.cheaper,
    "shopping_list": money.shopping_list, "when_mow": work.when_mow, "mow_height": work.mow_height,
    "when_water": water.when_water, "how_much_water": water.how_much_water,
    "seed_amount": work.seed_amount, "feed": work.feed, "weed_control": work.weed_control,
    "how_to_do": work.how_to_do, "this_week": days.this_week, "what_first": days.what_first,
    "when_to_start": days.when_to_start, "when_can_we_play": play.when_can_we_play,
    "how_much_play": play.how_much_play, "ready_check": play.ready_check, "is_it_safe": safety.is_it_safe,
    "keep_off": safety.keep_off, "sign_seen": safety.sign_seen, "plan_b": safety.plan_b,
    "progress": play.progress, "who_to_call": safety.who_to_call, "out_of_scope": scope.out_of_scope,
    "plainer": plain.plainer,
}  # fmt: skip


_TOPICS: Final = ("of", "about", "topic")


@dataclass(frozen=True)
class Answered:
    """An answer: what was asked as it was read, the text, and the typed explanation behind it (None where it
    is a text alone).

    `understood` says whether the whole question was read, and what it names was found.
    """

    ask: Ask
    text: str
    level: Level
    result: Any = None
    understood: bool = True

    def as_dict(self) -> dict[str, Any]:
        """The answer as plain tables, for JSON."""
        return {
            "kind": self.ask.intent,
            "slots": as_data(dict(self.ask.slots)),
            "understood": self.understood,
            "level": self.level,
            "text": self.text,
            "result": as_data(self.result),
        }


def answers(ask: Ask) -> bool:
    """Whether a question is one that is answered here, from the advice; others belong to the talk itself."""
    return ask.intent in REPLIES


def reply(
    c: Consultation,
    ask: Ask,
    *,
    level: Level = 1,
    asker: Asker | None = None,
    told: Callable[[str], None] | None = None,
) -> Answered:
    """The answer to a question over a consultation; it never raises for anything that was asked.

    Level 1 keeps to eight lines of eighty columns, or gives all of them with the slot "whole"; from level 2
    on the whole explanation is given. `asker`
    keeps what was tried between questions. `told` is given the lines of an answer that takes a while as soon
    as they stand, its first lines before the others are known; they begin the text, which holds them all.
    """
    local = local_words(c)
    if not answers(ask):
        text = c.knowledge.text("reply-not-here", words=ask.words[:60])
        return Answered(ask, local(text), level, understood=False)
    try:
        early = None if told is None else (lambda line: told(local(line)))
        made = REPLIES[ask.intent](About(c, ask, level, asker, early))
    except DecideError as error:
        return Answered(ask, str(error), level, understood=False)
    whole = level > 1 or ask.slots.get("whole") is True
    if whole:
        text = "\n".join(line for line in (*made.said, made.caution) if line)
    else:
        made = Reply(tuple(map(local, made.said)), local(made.caution), made.result, made.understood)
        text = fitted(made, c.knowledge.text("reply-more"))
    return Answered(ask, local(text) if whole else text, level, made.result, made.understood)


def reply_early(k: Knowledge, ask: Ask) -> str:
    """What can be said of a question before there is any advice: words, dangers, whom to call; for the rest,
    that the field must be known first.
    """
    slots = ask.slots
    if ask.intent == "meaning":
        held = slots.get("word") or ask.words
        words = list(held) if isinstance(held, (list, tuple)) else [held]
        said = [text for word in words if (text := word_meaning(k, str(word))) is not None]
        return "\n".join(said) or k.text("reply-no-word", word=str(words[0])[:40])
    names = {code: row.also for code, row in k.topics.items()}
    heard = [meant(str(held), names) for held in (*map(slots.get, _TOPICS), ask.words) if held]
    topic = "hurt" if "hurt" in heard else next((code for code in heard if code), "")
    if ask.intent == "out_of_scope" and topic != "hurt":
        instead = slots.get("instead")
        text = k.text("reply-scope", topic=str(slots.get("topic") or ask.words)[:60])
        return (
            f"{text} {k.text('reply-scope-instead', instead=str(instead).rstrip('.'))}" if instead else text
        )
    if topic and (ask.intent in ("is_it_safe", "who_to_call") or topic == "hurt"):
        return _early(k, ask, topic)
    return k.text("reply-early")


def _early(k: Knowledge, ask: Ask, topic: str) -> str:
    """What is known of a topic without any field: its caution and who decides, or whom to call."""
    row = k.topics[topic]
    if topic == "hurt":
        return row.say
    if ask.intent == "who_to_call":
        return k.text("reply-call", who=row.who or k.cautions[row.cautions[0]].who_decides)
    plain = next((each for code in row.cautions if "{" not in (each := k.cautions[code]).text), None)
    who = plain.who_decides if plain is not None else row.who
    said = [
        k.text("reply-safe", topic=capital(topic.replace("-", " "))),
        row.say,
        plain.text if plain else "",
    ]
    return " ".join([*(text for text in said if text), k.text("judgement-who-decides", who=who)])
