"""Reads what a person means to do, such as "can I roll it now?", as a proposal that the library judges."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from decide.parse import numbers
from decide.parse.dates import read_date
from decide.parse.months import say_day
from decide.parse.plain import fold, words
from decide.parse.results import AnswerChoice, AskBack, Setting, Understood

Answers = dict[str, Any]

_ASKED: Final = re.compile(
    r"(?:so |but |and |then |ok |okay )?(?:can|could|may|might|shall|should|do|must) "
    r"(?:i|we|you|one|he|she|they|somebody|it|the \w+)\b.*"
    r"|is it (?:ok|okay|fine|safe|all right|alright|time|good|wise|sensible|worth|possible|allowed|too \w+"
    r"|a good idea|a good time) (?:\w+ )?(?:to|for) .+"
    r"|(?:what if|what about|how about|suppose|would it be \w+(?: \w+)?) (?:i|we|to)?.*"
    r"|i (?:want|mean|plan|would like|intend|am going) to .+|(?:can|may) the field be \w+.*"
)
_STEPS: Final[tuple[tuple[str, str], ...]] = (
    (
        "open-to-play",
        r"open(?:ed)?(?: (?:it|the \w+|them))?(?: up)?(?: (?:to|for) (?:play|use|training|matches))?"
        r"|play(?: on| a match| matches| games)?|train(?: on)?|use (?:it|the field)"
        r"|let (?:them|people|the team\w*) (?:play|on|train)",
    ),
    ("move-goals", r"(?:move|shift|turn) (?:the |our )?goals?"),
    ("clear-snow", r"(?:clear|plough|plow|shovel|remove|sweep) (?:the |off )?snow"),
    ("overseed", r"over-?seed|over-?sow"),
    (
        "lay-sod",
        r"(?:lay|put down|use|buy|roll out|plant|install) (?:\w+[- ]?(?:cut )?)?(?:sod|turf|turves)"
        r"|re-?turf|re-?sod|sod(?: (?:it|the))",
    ),
    ("sprig", r"sprig|(?:plant|lay|put in|spread) (?:some )?(?:sprigs|runners|stolons)"),
    ("plug", r"(?:plant|put in|set) (?:some )?plugs|plug (?:it|the)"),
    ("topdress", r"top-?dress|top dress"),
    ("sand", r"(?:put|spread|add|bring|throw) (?:on |some |more )*sand|sand (?:it|the)"),
    ("dethatch", r"dethatch|de-thatch|scarify|power rake|rake out"),
    ("aerate", r"aerate|aerify|core|spike|hollow-?tine|tine|fork it|punch holes"),
    (
        "fertilise",
        r"fertili[sz]e|feed|(?:put down|spread|add|use|give) (?:some |more )*(?:fertili[sz]er|feed|nitrogen)",
    ),
    ("lime", r"lime|spread lime|put down lime"),
    (
        "spray",
        r"spray|(?:use|put down|apply) (?:a |some )*"
        r"(?:weed ?killer|herbicide|weed and feed|crabgrass preventer|pre-?emergent)|kill (?:the )?weeds",
    ),
    ("roll", r"roll(?!\s*out)"),
    ("till", r"till|rotavate|rotovate|dig (?:it )?(?:over|up)|plough|plow|cultivate"),
    ("fill", r"fill|level(?: it| out)?|raise"),
    ("drag", r"drag|harrow|mat it"),
    ("cover", r"cover"),
    ("water", r"water|irrigate|sprinkle"),
    ("mow", r"mow|cut (?:it|the (?:grass|field|new grass))"),
    ("close", r"shut|close|lock"),
    ("sow", r"re-?seed|seed|sow|(?:put down|spread|throw|broadcast) (?:some |more |the |grass )*seed"),
)
_TIMES: Final = (
    ("before-sunrise", r"before (?:sunrise|dawn)|very early"),
    ("morning", r"in the morning|this morning|mornings"),
    ("midday", r"at (?:noon|midday|lunch)|in the midday|midday"),
    ("afternoon", r"in the afternoon|this afternoon"),
    ("evening", r"in the evening|this evening|after work|evenings"), ("night", r"at night|tonight|overnight"),
)  # fmt: skip
_WHEN: Final = re.compile(
    r"\b(?P<when>now|right now|today|tomorrow|already|yet|straight away|this week(?:end)?|next week|"
    r"(?:in|on|by|after|from|at the|until) "
    r"(?:(?:an?|one|two|three|four|five|six|seven|eight|nine|ten|twelve|[0-9]+) "
    r"(?:day|week|month|fortnight)s?|[a-z0-9/.\-]+(?: (?:of )?[a-z0-9]+){0,2})|"
    r"(?:early|mid|late|end of|the end of|next|this)[ -][a-z]+|[0-9]{1,2}(?:st|nd|rd|th)? [a-z]+"
    r"|[a-z]+ [0-9]{1,2}(?:st|nd|rd|th)?|[0-9]{4}-[0-9]{2}-[0-9]{2})$"
)
_TOOLS: Final = (
    ("heavy roller", r"heavy roller"), ("vibrating roller", r"vibrating roller"),
    ("light roller", r"light roller"), ("hollow tine", r"hollow[- ]tine"),
    ("solid tine", r"solid[- ]tine|spike"), ("slit seeder", r"slit[- ]seeder"),
)  # fmt: skip
_MATERIALS: Final = (("sand", r"\bsand\b"), ("topsoil", r"\btopsoil\b"), ("compost", r"\bcompost\b"))


_SHORT_WORD: Final = 5
_SEEDING: Final = ("broadcast-seed", "slit-seed", "hydromulch")
# The steps that put in grass, and the methods that each may name.
_MADE_BY: Final = {
    "sow": _SEEDING, "overseed": _SEEDING, "lay-sod": ("thin-sod", "thick-sod"), "sprig": ("sprigs",),
    "plug": ("plugs",),
}  # fmt: skip


def is_proposal(text: str) -> bool:
    """Whether the line asks about something that the person means to do."""
    said = fold(text).strip(" .?!")
    return _ASKED.fullmatch(said) is not None and _step(said) is not None


def _step(said: str) -> tuple[str, str] | None:
    body = re.sub(
        r"^(?:so |but |and |then |ok |okay )?(?:can|could|may|might|shall|should|do|must) "
        r"(?:i|we|you|one|he|she|they|somebody|it|the \w+)\b(?: be)? ?",
        "",
        said,
    )
    for step, pattern in _STEPS:
        if re.match(
            rf"(?:still |already |just |now |safely |please |have to |need to )*(?:{pattern})\b", body
        ):
            return step, body
    for step, pattern in _STEPS:
        if re.search(rf"\b(?:{pattern})\b", body):
            return step, body
    return None


@dataclass(frozen=True)
class Proposed:
    """A proposal in the layout of the situation file, and what was taken for granted."""

    table: dict[str, Any]
    note: str = ""


def read_proposal(
    text: str,
    setting: Setting,
    answers: Answers,
    *,
    grasses: Mapping[str, Sequence[str]],
    methods: Mapping[str, Sequence[str]],
    sprays: Sequence[AnswerChoice] = (),
) -> Proposed | None:
    """The step, zone, method, grass, day, depth and class that were said; None where no step is seen."""
    said = " ".join(fold(text).strip(" .?!").split())
    found = _step(said)
    if found is None:
        return None
    step, body = found
    table: dict[str, Any] = {"step": step}
    zones = answers.get("zone")
    for zone in zones if isinstance(zones, list) else []:
        name = fold(str(zone.get("name", ""))) if isinstance(zone, dict) else ""
        called = rf"{re.escape(name.removesuffix('s'))}s?\b"
        if name and re.search(rf"\b{called}", said):
            table["zone"] = str(zone["name"])
            body = re.sub(rf"\b(?:in|on|at)? ?(?:the )?{called}", " ", body)
    body = " ".join(body.split())
    for code, pattern in _TIMES:
        if re.search(rf"\b(?:{pattern})\b", body):
            table["time_of_day"] = code
            body = " ".join(re.sub(rf"\b(?:{pattern})\b", " ", body).split())
            break
    _put_first(table, "tool", (code for code, pattern in _TOOLS if re.search(pattern, body)))
    if step in ("topdress", "fill"):
        _put_first(table, "material", (code for code, pattern in _MATERIALS if re.search(pattern, body)))
    _depth(body, table)
    if step in _MADE_BY:
        grass, method = _named(body, grasses), _named(body, methods)
        _put_first(table, "grass", [grass] if grass else [])
        _put_first(table, "method", [method] if method in _MADE_BY[step] else [])
    if step == "spray":
        _put_first(table, "class", (choice.value for choice in sprays if _is_named(choice, body)))
    return Proposed(table, _day(body, table, setting))


def _put_first(table: dict[str, Any], key: str, values: Iterable[Any]) -> None:
    for value in values:
        table[key] = value
        return


def _is_named(choice: AnswerChoice, body: str) -> bool:
    """Whether some words for a choice stand in a text; short ones stand in too many."""
    return any(fold(phrase) in body for phrase in choice.say if len(phrase) > _SHORT_WORD)


def _day(body: str, table: dict[str, Any], setting: Setting) -> str:
    match = _WHEN.search(body)
    phrase = match["when"] if match else ""
    while phrase:
        if phrase in (
            "now",
            "right now",
            "today",
            "already",
            "yet",
            "straight away",
            "this week",
            "this weekend",
        ):
            break
        result = read_date(re.sub(r"^(?:on|by|after|from|until) ", "", phrase), setting)
        if isinstance(result, Understood):
            table["start"] = result.value
            return ""
        if isinstance(result, AskBack):
            table["start"] = result.readings[0].value
            return f"I take {result.readings[0].say}."
        _, _, phrase = phrase.partition(" ")
    table["start"] = setting.today.isoformat()
    return "" if match else f"I take today, {say_day(setting.today)}."


def _depth(body: str, table: dict[str, Any]) -> None:
    match = re.search(
        r"((?:[0-9][0-9.,/ ]*|half an?|an?|one|two|three) ?(?:mm|cm|inch(?:es)?|in))(?: deep| thick| of)",
        body,
    )
    if match:
        try:
            found = numbers.quantity(numbers.tokens(match[1]))
            if found is not None and found[0].unit:
                table["depth_mm"] = numbers.tidy(numbers.in_unit(found[0], "mm")[0])
        except numbers.NumberTrouble:
            return


def _named(body: str, table: Mapping[str, Sequence[str]]) -> str | None:
    """The code whose longest name stands in the text."""
    row = " " + " ".join(words(body)) + " "
    best: tuple[int, str] | None = None
    for code, names in table.items():
        for name in (code.replace("-", " "), *names):
            phrase = " ".join(words(name))
            if phrase and f" {phrase} " in row and (best is None or len(phrase) > best[0]):
                best = (len(phrase), code)
    return best[1] if best else None
