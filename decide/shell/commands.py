"""The plain-language commands that are heard at any time: back, change the date, why, this week, save the
page, leave.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final

from decide.parse.plain import fold


@dataclass(frozen=True)
class Command:
    """A command and the words that came with it."""

    name: str
    rest: str = ""


_COMMANDS: Final[tuple[tuple[str, str], ...]] = (
    (
        "why-ask",
        r"why (?:do|are|would|did) (?:you|u) (?:ask|asking|want|need)(?: .*)?|why this(?: question)?"
        r"|why is (?:this|that) asked|what for|why the question|why does (?:it|that|this) matter",
    ),
    (
        "ask",
        r"(?P<a>(?:(?:and |but |so )?what (?:if|happens if|would happen if|changes if)|suppose(?: that)?"
        r"|what would it take|what must change|how (?:could|can) (?:we|i) use|how (?:sure|certain)"
        r"|are you (?:sure|certain)|could (?:this|that|it|you) be wrong|what matters"
        r"|what should (?:i|we) find out|what is (?:still )?missing|says who|who says"
        r"|where does (?:that|this|it) come from|compare) ?.*"
        r"|why (?:is |are )?.+ (?:better|ahead|rather) (?:than|of) .+"
        r"|why .+ (?:instead of|rather than) .+)",
    ),
    (
        "why-not",
        r"(?:why|how come) (?:not|can't i|can i not|isn't it|aren't|is it not|didn't you|don't you)"
        r"(?: (?:say|take|use|do|have|pick|choose|recommend|advise|i))*(?P<a> .+)?"
        r"|(?:what is|what's) wrong with(?P<b> .+)|what speaks against(?P<c> .+)",
    ),
    (
        "why",
        r"why(?: is that| so| that| this one| is it|)(?P<a> .+)?|(?:give me )?(?:the |your )?reasons?"
        r"|how do you know(?P<b> .+)?|how so",
    ),
    (
        "week",
        r"(?:what (?:to do|do i do|must i do|should i do|now|is there to do) )?(?:in )?this week"
        r"(?:'s (?:work|tasks|plan|jobs))?|what (?:now|next|do i do now|should i do now)"
        r"|(?:show )?this week",
    ),
    (
        "more",
        r"more|tell me more|show (?:me )?more|(?:show )?(?:the )?(?:full|whole) (?:plan|advice|answer)"
        r"|all of it please",
    ),
    (
        "less",
        r"less|shorter|in short|(?:show )?(?:the )?short (?:answer|advice|page)"
        r"|(?:show )?(?:the )?(?:result|advice|answer)(?: again)?",
    ),
    (
        "details",
        r"details|(?:ask |give )?(?:me )?(?:the )?(?:detail|more) questions|details for the plan"
        r"|ask (?:on|more)|go on asking",
    ),
    ("help", r"help(?: me)?|\?+|what can i (?:say|do|type)|commands|how does this work|h"),
    (
        "paper",
        r"(?:save|write|make|print|export|give me) (?:me )?(?:the |a |my )?"
        r"(?P<a>(?:page|sheet|notes|minutes|calendar|tasks?(?: list| table)?|plan|shopping(?: list)?)"
        r"(?: (?:as|to|in|under) .+)?)",
    ),
    (
        "save-as",
        r"(?:save|keep|write|export|store) (?:it |this |the answers |the talk |all )?(?:as|to|in|under)"
        r"(?P<a> .+)",
    ),
    ("save", r"save(?: it| this| the answers| the talk| my answers)?|keep (?:it|this|my answers)"),
    (
        "leave",
        r"leave|quit|exit|bye|good ?bye|stop|end|i(?:'m| am) done|see you"
        r"|that's (?:it|all) for (?:now|today)|:q!?|q",
    ),
    (
        "units",
        r"(?:use |show |change |set |in |switch to )*(?:the )?units?(?: to| in)?(?P<a> [a-z]+)?"
        r"(?: units)?|(?:use |show |in |switch to )(?P<b>metric|us|american|imperial|feet|metres|meters)"
        r"(?: units)?|metric|us units",
    ),
    (
        "restart",
        r"(?:start|begin) (?:again|over|afresh|anew|a new talk)|new talk|reset|from the start|restart",
    ),
    (
        "show",
        r"(?:show|list|what are|see|what were) (?:me )?(?:my |the |all )*(?:answers|talk)(?: so far)?"
        r"|answers|what (?:did i say|do you know|have i (?:said|told you))(?: so far)?|summary",
    ),
    (
        "back",
        r"(?:go |one |step |take me )*back(?: one)?(?: step)?|previous(?: question)?|undo|oops"
        r"|last question(?: again)?",
    ),
    (
        "change",
        r"(?:i (?:want|would like|need) to |let me |please )*"
        r"(?:change|correct|edit|alter|redo|fix|update)(?: my answer(?:s)?(?: (?:to|on|about|for))?)?"
        r"(?P<a> .+)?|(?:the |my )(?P<b>.+) (?:is|was|were|are) wrong",
    ),
    (
        "mean",
        r"what (?:does|do|is meant by)(?: the word)? (?P<a>.+?) mean\??"
        r"|what(?:'s| is| are)(?: meant by)?(?: an?| the)? (?P<b>[a-z' \-]{2,40})"
        r"|(?:define|explain|meaning of)(?: the word)? (?P<c>.+)"
        r"|(?:what's|what is) the meaning of (?P<d>.+)",
    ),
    (
        "advise",
        r"(?:give (?:me )?(?:the |your )?|show (?:me )?(?:the |your )?)?(?:advice|advise(?: me)?|result)"
        r"(?: now| please)?|that(?:'s| is) (?:enough|all(?: i know)?)|enough|just tell me|go ahead"
        r"|i know no more",
    ),
    (
        "repeat",
        r"(?:say|ask|show) (?:it |that |the question )?again|repeat(?: the question| that| it)?"
        r"|what was the question|pardon|sorry\?",
    ),
    (
        "same",
        r"(?:the )?same(?: again| as (?:before|the last(?: one)?|above|there)| here| there)?|ditto"
        r"|as before|likewise",
    ),
)
_READY: Final = tuple((name, re.compile(pattern)) for name, pattern in _COMMANDS)


_APOSTROPHES: Final = re.compile(r"\b(that|what|it|isn|can|don|aren|didn)(s|t)\b")


def match(text: str) -> Command | None:
    """The command that a line gives; None where it is an answer."""
    said = " ".join(fold(text).split()).strip(" .!")
    if not said.strip("?"):
        return Command("help") if said else None
    plain = _APOSTROPHES.sub(r"\1'\2", said.rstrip("?").strip())
    for name, pattern in _READY:
        found = pattern.fullmatch(plain)
        if found is not None:
            rest = next((group for group in found.groups() if group), "")
            return Command(name, _own_words(text, rest.strip()))
    return None


def _own_words(text: str, rest: str) -> str:
    """`rest` as the person wrote it, capitals and all: file names keep theirs."""
    if not rest:
        return ""
    tail = (
        text.strip().rstrip("?.! ")
        if not rest.endswith((".toml", ".json", ".html", ".md", ".ics", ".csv"))
        else text.strip()
    )
    return tail[-len(rest) :].strip() if fold(tail).endswith(rest) and len(fold(tail)) == len(tail) else rest
