"""Takes a question in plain words, reads it as the talk does, and answers it."""

from __future__ import annotations

import textwrap
from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Final

from decide.decision.consultation import Consultation
from decide.explain.reasons import Level
from decide.explain.reply import Answered, answers, reply
from decide.explain.speaking import setting_of, speech_of
from decide.parse.asks import read_asks
from decide.parse.heard import UNCLEAR, Ask
from decide.parse.plain import LONGEST, clean, too_long
from decide.parse.speech import Speech
from decide.questions.answers import as_answers
from decide.questions.next import Asker

CAN_ASK: Final = (
    "You can ask: why; why not thin sod; sod or seed; what if we had 3 more weeks and a hose; what would it "
    "take to use sprigs; how sure are you; when can we play; what does it cost; when do we water; what is on "
    "this week; is it safe; what does sound mean; says who; can I roll it now?"
)

# So many lines several answers have together; what is over is asked for again.
_MOST_LINES: Final = 8


def ask(
    consultation: Consultation,
    text: str,
    level: Level = 1,
    asker: Asker | None = None,
    speech: Speech | None = None,
    told: Callable[[str], None] | None = None,
) -> Answered:
    """The answer to a question in plain words; it never raises for any text.

    Where several things are asked each is answered, one after the other, as long as that is short. Where
    several things may be meant, the text asks which; where nothing is read as a question about the field, it
    says what can be asked. `asker` keeps what was tried between questions; whoever
    asks often keeps the `speech` of the knowledge too.
    """
    c, said = consultation, clean(text)
    spoken = speech if speech is not None else speech_of(c.knowledge)
    read = (
        ()
        if too_long(text)
        else read_asks(said, setting_of(c, spoken), spoken, answers=as_answers(c.filled.situation))
    )
    known = [one for one in read if answers(one)]
    if not known:
        asked_back = _asked_back(spoken, next((one for one in read if one.intent == UNCLEAR), None))
        missed = f"I could not read {said[:60]!r} as a question about the field. " if said else ""
        return Answered(Ask("", said[:LONGEST]), asked_back or missed + CAN_ASK, level, understood=False)
    early = told if len(known) == 1 and not known[0].taken else None
    first, *more = (_with_taken(one, reply(c, one, level=level, asker=asker, told=early)) for one in known)
    later = [each.ask.means for each in more if level == 1 and each.ask.means]
    if later and _lines([first, *more]) > _MOST_LINES:
        return replace(first, text=f"{first.text}\nAsk again for: {'; '.join(later)}.")
    return replace(first, text="\n\n".join([first.text, *(each.text for each in more)]))


def _with_taken(ask: Ask, answered: Answered) -> Answered:
    """The answer under a word of how the question was taken, where that may be wrong."""
    return replace(answered, text=f"{ask.taken}\n{answered.text}") if ask.taken else answered


def _lines(answered: Sequence[Answered]) -> int:
    return sum(len(textwrap.wrap(line, 80)) for each in answered for line in each.text.splitlines())


def _asked_back(speech: Speech, ask: Ask | None) -> str:
    """The question back, with its meanings in one line; "" where there are none that are answered here."""
    means = [f"{at}) {one.means}" for at, one in enumerate(filter(answers, ask.may if ask else ()), 1)]
    words = speech.table("asks-back").get("say", {})
    if len(means) < 2:
        return str(words.get("one", "")).format(means=means[0][3:]) if means else ""
    return str(words.get("line", "")).format(choices=f"{', '.join(means[:-1])} or {means[-1]}")
