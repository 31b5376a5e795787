"""Takes a question in plain words, reads it as the talk does, and answers it."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from decide.decision.consultation import Consultation
from decide.explain.reasons import Level
from decide.explain.reply import Answered, answers, reply
from decide.explain.speaking import setting_of, speech_of
from decide.parse.asks import read_asks
from decide.parse.heard import Ask
from decide.parse.plain import LONGEST, clean, too_long
from decide.parse.speech import Speech
from decide.questions.answers import as_answers
from decide.questions.next import Asker

CAN_ASK: Final = (
    "You can ask: why; why not thin sod; sod or seed; what if we had 3 more weeks and a hose; what would it "
    "take to use sprigs; how sure are you; when can we play; what does it cost; when do we water; what is on "
    "this week; is it safe; what does sound mean; says who; can I roll it now?"
)


def ask(
    consultation: Consultation,
    text: str,
    level: Level = 1,
    asker: Asker | None = None,
    speech: Speech | None = None,
) -> Answered:
    """The answer to a question in plain words; it never raises for any text.

    Where several things are asked each is answered, one after the other. Where nothing is read as a question
    about the field, the text says what can be asked. `asker` keeps what was tried between questions; whoever
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
        missed = f"I could not read {said[:60]!r} as a question about the field. " if said else ""
        return Answered(Ask("", said[:LONGEST]), missed + CAN_ASK, level, understood=False)
    first, *more = (reply(c, one, level=level, asker=asker) for one in known)
    return replace(first, text="\n\n".join([first.text, *(each.text for each in more)]))
