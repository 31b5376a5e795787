"""Nine explanations of an advice, each with the data behind its text: pure functions over a consultation.

`why` a choice is the choice · `why_not` something else · `better` than another · `what_if` some answers were
others · `would_take` to make an option sound · `how_sure` the choice is · what `matters_next` · `meaning` of
a word · `says_who`. Each takes a level from 1 (words) to 3 (rules, their names and sources); the data are the
same at every level. `reply` answers what was read as a question, in eight lines at most; `ask` reads it.
"""

from __future__ import annotations

from decide.explain.asked import CAN_ASK, ask
from decide.explain.changes import Change, as_data
from decide.explain.found import Found, find
from decide.explain.how_sure import HowSure, Tip, how_sure
from decide.explain.matters import MattersNext, Missing, matters_next
from decide.explain.meaning import meaning
from decide.explain.otherwise import Otherwise, read_otherwise
from decide.explain.reasons import Compared, Explanation, Held, Level, Placed, Reason, Said
from decide.explain.reply import Answered, answers, reply, reply_early
from decide.explain.says_who import Cited, SaysWho, Stated, says_who
from decide.explain.spoken import say_why, say_why_not
from decide.explain.what_if import WhatIf, what_if
from decide.explain.why import better, why
from decide.explain.why_not import why_not
from decide.explain.would_take import Way, WouldTake, would_take

__all__ = [
    "CAN_ASK", "Answered", "Change", "Cited", "Compared", "Explanation", "Found", "Held", "HowSure",
    "Level", "MattersNext", "Missing", "Otherwise", "Placed", "Reason", "Said", "SaysWho", "Stated", "Tip",
    "Way", "WhatIf", "WouldTake", "answers", "as_data", "ask", "better", "find", "how_sure", "matters_next",
    "meaning", "read_otherwise", "reply", "reply_early", "say_why", "say_why_not", "says_who", "what_if",
    "why", "why_not", "would_take",
]  # fmt: skip
