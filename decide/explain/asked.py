"""Takes a question in plain words: finds which of the explanations it asks for, and of what; nothing said is
passed over.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any, Final

from decide.answer.assemble import advice_of, local_words
from decide.decision.consultation import Consultation
from decide.explain.changes import as_data
from decide.explain.found import Found, find
from decide.explain.how_sure import how_sure
from decide.explain.judgement import say_judgement
from decide.explain.matters import matters_next
from decide.explain.meaning import meaning
from decide.explain.otherwise import Otherwise, read_otherwise
from decide.explain.reasons import Level
from decide.explain.says_who import says_who
from decide.explain.search import Goal
from decide.explain.spoken import say_why
from decide.explain.what_if import what_if
from decide.explain.why import better, why, zone_code
from decide.explain.why_not import best_of, why_not
from decide.explain.would_take import would_take
from decide.model.errors import DecideError
from decide.model.reading import situation_from_dict
from decide.model.wording import listed
from decide.parse.intents import is_proposal, read_proposal
from decide.parse.plain import LONGEST, clean, fold, too_long
from decide.parse.results import AnswerChoice, Setting
from decide.plan.feasible import consult
from decide.questions.answers import as_answers
from decide.questions.next import Asker
from decide.questions.sensitivity import with_plain_engine

CAN_ASK: Final = (
    "You can ask: why; why not thin sod; why is thin sod better than seed; what if we had 3 more weeks and "
    "a hose; what would it take to use sprigs; how sure are you; what matters next; what does thatch mean; "
    "says who; can I roll it now?"
)


@dataclass(frozen=True)
class Question:
    """A question as it was read: its kind, what it is about, what it is held against, and what is taken to be
    otherwise.

    `kind` is why, why-not, better, what-if, would-take, how-sure, next, meaning, says-who, proposal or
    unread.
    """

    kind: str
    about: str = ""
    other: str = ""
    otherwise: Otherwise = field(default_factory=Otherwise)


@dataclass(frozen=True)
class Answered:
    """An answer: the question as read, the text, and the typed result of the explanation that gave it (None
    where it is a text alone).
    """

    question: Question
    text: str
    level: Level
    result: Any = None

    @property
    def understood(self) -> bool:
        """Whether the whole question was read, and what it names was found."""
        return self.question.kind != "unread" and getattr(self.result, "kind", "") != "not-found"

    def as_dict(self) -> dict[str, Any]:
        """The answer as plain tables, for JSON."""
        return {
            "kind": self.question.kind,
            "about": self.question.about,
            "other": self.question.other,
            "changes": as_data(self.question.otherwise.changes),
            "understood": self.understood,
            "level": self.level,
            "text": self.text,
            "result": as_data(self.result),
        }


_OPTION_VERB: Final = (
    r"(?:(?:be able )?to )?(?:be able to )?"
    r"(?:use|lay|sow|plant|have|get|put in|go for|take|choose|do|make|let|allow|for)?\s*"
)
_PATTERNS: Final[tuple[tuple[str, re.Pattern[str]], ...]] = tuple(
    (kind, re.compile(pattern))
    for kind, pattern in (
        (
            "next",
            r"what matters(?: most)?(?: next| now)?"
            r"|what (?:should|shall|must|can) (?:i|we) "
            r"(?:find out|look at|look up|ask|tell you|measure|check)(?: next| first| now)?"
            r"|what (?:else )?(?:do|would) you (?:need|want|like) to know(?: next| first)?"
            r"|what is (?:still )?(?:missing|not known|unknown)"
            r"|which answers? (?:matters?|would help)(?: most| next)?|what to (?:find out|ask) next",
        ),
        (
            "how-sure",
            r"how (?:sure|certain|safe|firm|confident) (?:are you|is (?:this|that|it)|am i|are we)"
            r"(?: (?:of|about) .+)?|how (?:sure|certain|firm)"
            r"|are you (?:sure|certain)(?: (?:of|about) .+)?"
            r"|(?:could|might) (?:this|that|it|you) be wrong|does (?:it|this|that) hold"
            r"|what could change (?:it|this|that|the choice)",
        ),
        (
            "would-take",
            r"what (?:would|will|does|must|should|might) "
            r"(?:it take|have to (?:change|happen|be otherwise)|need to (?:change|happen)|be needed"
            rf"|must change)(?: for us| for me)?(?: before (?:we|i) (?:can|could))? {_OPTION_VERB}"
            r"(?P<a>.+?)(?: to be (?P<goal>sound|advised)"
            r"| (?:become|were|was) (?P<goal2>sound|advised))?"
            rf"|how (?:could|can) (?:we|i) {_OPTION_VERB}(?P<b>.+)"
            rf"|what (?:do|would) (?:we|i) need (?:to change )?{_OPTION_VERB}(?P<c>.+)",
        ),
        (
            "better",
            r"(?:why|how) (?:is |are |would |does |do |should )?(?P<a>.+?) (?:be |is |are )?"
            r"(?:better|ahead|stand(?:s)? (?:before|above)|come(?:s)? before|preferred|rather|beat(?:s)?"
            r"|better off)(?: than| of| over| to)? (?P<b>.+)"
            r"|(?:why )?(?P<c>.+?) (?:instead of|rather than|over|and not|versus|vs\.?|against|or) "
            r"(?P<d>.+)|compare (?P<e>.+?) (?:with|to|and) (?P<f>.+)",
        ),
        (
            "says-who",
            r"says who(?: (?:that )?(?P<a>.+))?|who says(?: so| that| this)?(?:,? (?:that )?(?P<b>.+))?"
            r"|according to wh(?:om|o)(?: (?P<c>.+))?"
            r"|where (?:does|do|is|did) (?:that|this|it|you)"
            r"(?: (?:come|get it|get that|from|have it|written))*(?: from)?"
            r"|where does (?P<d>.+?) come from"
            r"|(?:what(?:'s| is| are) )?(?:your|the) sources?(?: (?:of|for|behind) (?P<e>.+))?"
            r"|sources?(?: (?:of|for) (?P<f>.+))?",
        ),
        (
            "why-not",
            r"(?:why|how come) (?:not|can't (?:i|we)|can (?:i|we) not|isn't it|don't (?:i|we|you)"
            r"|didn't you|aren't you|shouldn't (?:i|we))"
            r"(?: (?:say|take|use|do|have|pick|choose|recommend|advise|just))*(?P<a> .+)?"
            r"|(?:what is|what's) wrong with (?P<b>.+)|what speaks against (?P<c>.+)"
            r"|why is (?P<d>.+?) (?:not (?:advised|sound|on the list|the choice|good|possible)|ruled out"
            r"|risky|bad|wrong)",
        ),
        (
            "why",
            r"why(?: is that| so| that| this(?: one| choice)?| is it)?(?P<a> .+)?"
            r"|(?:give me )?(?:the |your )?reasons?(?: for (?P<b>.+))?|how do you know(?P<c> .+)?|how so"
            r"|explain(?: it| that| the choice)?",
        ),
        (
            "meaning",
            r"what (?:does|do|is meant by)(?: the word)? (?P<a>.+?) mean"
            r"|what(?:'s| is) meant by (?P<b>.+)"
            r"|(?:define|explain|meaning of|what(?:'s| is) the meaning of)(?: the word)? (?P<c>.+)"
            r"|what(?:'s| is| are)(?: an?)? (?P<d>[a-z' \-]{2,40})",
        ),
    )
)
_WHAT_IF: Final = re.compile(
    r"(?:(?:and |but |so )?what (?:if|happens if|changes if|would change if|would happen if"
    r"|would you say if)|(?:what|how) about if|suppose(?: that)?|assume(?: that)?|imagine(?: that)?"
    r"|and if|if)\s+(?P<a>.+)"
)

# What is so, not what somebody does.
_IS_STATE: Final = re.compile(
    r"(?:(?:we|i|you|they|it|there|somebody|the \w+) )?(?:had|have|has|were|was|is|are|got|could|can)\b"
)


def read_question(consultation: Consultation, text: str) -> Question:
    """What a question asks for; its kind is unread where some part of it is not read."""
    said = " ".join(fold(clean(text)).split()).strip(" .!?")
    said = re.sub(r"^(?:please |so |and |but |well |ok |okay |tell me |then )+(?=\w)", "", said)
    if not said or too_long(text):
        return Question("unread")
    match = _WHAT_IF.fullmatch(said)
    if match:
        otherwise = read_otherwise(consultation, match["a"])
        if otherwise.changes and not otherwise.unread:
            return Question("what-if", match["a"], otherwise=otherwise)
        if not otherwise.changes and is_proposal(said) and not _IS_STATE.match(match["a"]):
            return Question("proposal", said)
        return Question("unread", match["a"], otherwise=otherwise)
    for kind, pattern in _PATTERNS:
        found = pattern.fullmatch(said)
        if found is None:
            continue
        groups = [
            group.strip()
            for name, group in found.groupdict().items()
            if group and not name.startswith("goal")
        ]
        if kind == "better" and not _is_comparison(consultation, said, groups):
            continue
        if (
            kind == "meaning"
            and meaning(consultation.knowledge, groups[0]) is None
            and not said.startswith(("what does", "what do", "define", "meaning"))
        ):
            continue
        goals = [group for name, group in found.groupdict().items() if group and name.startswith("goal")]
        other = groups[1] if kind == "better" else goals[0] if goals else ""
        return Question(kind, groups[0] if groups else "", other)
    if is_proposal(said):
        return Question("proposal", said)
    return Question("unread", said)


def _is_comparison(c: Consultation, said: str, groups: list[str]) -> bool:
    """Whether both sides name something that can be an option."""
    return (
        len(groups) == 2
        and all(not find(c, group).nothing for group in groups)
        and not said.startswith("why not")
    )


def ask(consultation: Consultation, text: str, level: Level = 1, asker: Asker | None = None) -> Answered:
    """The answer to a question in plain words; it never raises for any text.

    Where some part of the question is not read, nothing is answered: the text names that part and says what
    can be asked. `asker` keeps what was tried between questions.
    """
    try:
        answered = _answered(consultation, read_question(consultation, text), level, asker)
        return replace(answered, text=local_words(consultation)(answered.text))
    except DecideError as error:
        return Answered(Question("unread", clean(text)[:LONGEST]), str(error), level)


def _answered(c: Consultation, question: Question, level: Level, asker: Asker | None) -> Answered:
    about = question.about
    result: Any
    match question.kind:
        case "why":
            return _why(c, question, level)
        case "why-not":
            if not about:
                return _why(c, question, level)
            return _strange(c, question, level) or Answered(
                question, (result := why_not(c, about, level=level)).text, level, result
            )
        case "better":
            return _better(c, question, level)
        case "what-if":
            result = what_if(c, question.otherwise.changes, level)
            return Answered(question, "\n".join([*question.otherwise.notes, result.text]), level, result)
        case "would-take":
            goal: Goal = "advised" if question.other == "advised" else "sound"
            return _strange(c, question, level) or Answered(
                question, (result := would_take(c, about, goal=goal, level=level)).text, level, result
            )
        case "how-sure":
            result = how_sure(c, level)
        case "next":
            result = matters_next(c, asker, level)
        case "says-who":
            found = find(c, about) if about else Found()
            zone = found.zones[0] if found.zones and not found.strange and found.nothing else None
            result = says_who(c, "" if zone else about, zone, level)
        case "meaning":
            said = meaning(c.knowledge, about)
            return Answered(question, said or f"I have no explanation of {about[:40]!r}.", level)
        case "proposal":
            return _proposal(c, question, level)
        case _:
            return _unread(question, level)
    return Answered(question, result.text, level, result)


def _unread(question: Question, level: Level) -> Answered:
    parts = question.otherwise.unread
    if parts:
        read = (
            ""
            if not question.otherwise.changes
            else " The rest I understood, but I answer only when I have understood it all."
        )
        what = listed([repr(part[:60]) for part in parts])
        how = (
            "Say what would be otherwise, such as: 3 more weeks; a hose; no water; twice a day; 2000 "
            "dollars; 10 hours of work a week; we could shut it; it were loam."
        )
        return Answered(question, f"I could not read {what}.{read} {how}", level)
    said = f"I could not read {question.about[:60]!r}. " if question.about else ""
    return Answered(question, said + CAN_ASK, level)


def _strange(c: Consultation, question: Question, level: Level) -> Answered | None:
    """The answer where some words of an option mean nothing: they are named, not passed over."""
    found = find(c, question.about)
    strange = [word for word in found.strange if word not in _PASSED]
    if not strange or found.nothing:
        return None
    return Answered(
        Question("unread", question.about),
        f"I could not read {listed([repr(word) for word in strange])}. {CAN_ASK}",
        level,
    )


_PASSED: Final = frozenset(
    (
        "be",
        "work",
        "sound",
        "advised",
        "good",
        "allowed",
        "possible",
        "there",
        "them",
        "one",
        "ok",
        "okay",
        "instead",
        "way",
        "any",
        "like",
        "if",
        "when",
        "have",
        "laid",
        "sown",
        "planted",
        "field",
        "pitch",
        "ground",
    )
)


def _why(c: Consultation, question: Question, level: Level) -> Answered:
    found = find(c, question.about) if question.about else Found()
    if not found.nothing:
        strange = _strange(c, question, level)
        result: Any = why_not(c, question.about, level=level)
        return strange or Answered(question, result.text, level, result)
    if found.strange and not found.zones:
        return Answered(
            Question("unread", question.about),
            f"I could not read {' '.join(found.strange)[:60]!r}. {CAN_ASK}",
            level,
        )
    results = tuple(why(c, zone, level) for zone in found.zones or c.zones)
    return Answered(
        question, say_why(c, question.about, level), level, results[0] if len(results) == 1 else results
    )


def _better(c: Consultation, question: Question, level: Level) -> Answered:
    """Compares the best of what either side names, in the zone that is named or the first where both are
    options.
    """
    zones = [*find(c, question.about).zones, *find(c, question.other).zones] or list(c.zones)
    for zone in zones:
        one, two = (
            best_of(c, question.about, zone_code(c, zone)),
            best_of(c, question.other, zone_code(c, zone)),
        )
        if one is None or two is None:
            continue
        if one.draft.code == two.draft.code:
            return Answered(question, "Both words mean the same option here.", level)
        result = better(c, one, two, level)
        turned = "" if result.option == one.draft.code else "It is the other way round. "
        return Answered(question, turned + result.text, level, result)
    missing = [
        words
        for words in (question.about, question.other)
        if all(best_of(c, words, zone) is None for zone in c.zones)
    ]
    return Answered(
        Question("unread", question.about, question.other),
        f"Here {listed([repr(word) for word in missing or [question.about, question.other]])} is no "
        f"option that can be compared. Ask: why not {(missing or [question.other])[0]}?",
        level,
    )


def _proposal(c: Consultation, question: Question, level: Level) -> Answered:
    """A step or an option that somebody means to do, judged by the rules of steps."""
    k = c.knowledge
    sprays = next((row.choices for row in k.questions if row.key == "history.herbicides"), ())
    names = {code: (row.name, *row.also) for table in (k.grasses, k.mixtures) for code, row in _rows(table)}
    answers = as_answers(c.filled.situation)
    setting = Setting(
        c.filled.today,
        hemisphere=c.filled.hemisphere or None,
        country=c.filled.country or None,
        units=c.system,
    )
    proposed = read_proposal(
        question.about, setting, answers, grasses=names,
        methods={code: (row.name, *row.also) for code, row in k.methods.items()},
        sprays=[AnswerChoice(choice.value, tuple(choice.say)) for choice in sprays],
    )  # fmt: skip
    if proposed is None:
        return _unread(Question("unread", question.about), level)
    answers["proposal"] = [proposed.table]
    answers["dates"] = {**answers.get("dates", {}), "today": c.filled.today.isoformat()}
    judged = consult(
        with_plain_engine(c.book),
        situation_from_dict(answers, name="your question"),
        system=c.system,
        weather=c.filled.weather,
    )
    advice = advice_of(judged)
    said = dict.fromkeys(say_judgement(k, row, advice.cautions) for row in advice.proposals)
    proposals = advice.as_dict().get("proposals") or []
    return Answered(
        question,
        "\n".join([*([proposed.note] if proposed.note else []), *(said or [k.text("judgement-none")])]),
        level,
        proposals,
    )


def _rows(table: Mapping[str, Any]) -> list[tuple[str, Any]]:
    return list(table.items())
