"""The words of an advice, as each output says them: what is wrong in them, and which danger one of them leaves out."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping
from functools import cache, cached_property
from html import unescape
from typing import Final

from decide.decision.consultation import Consultation
from decide.engine.language import Rule
from decide.lesson.lines import story_lines
from decide.lesson.story import story
from decide.many.short import Short, short_advice
from decide.model.advice import Advice
from decide.model.words import first_sentence
from decide.model.written import coded
from decide.questions.answers import Answers
from decide.report.first_screen import first_screen
from decide.report.papers import PAPERS, paper
from decide.report.text import render
from tests import voice

# Dangers that are told by another key than that of the dangers, by hand: the key, what is told, and the caution.
HAZARDS: Final = (
    ("site.goals_anchored", False, "anchor-every-goal"),
    ("site.in_use_now", True, "play-going-on"),
    ("means.water", "bowser", "bowser-weight"),
    ("means.water", "travelling sprinkler", "backflow"),
    ("means.water", "in-ground sprinklers", "backflow"),
)
DANGERS: Final = {"fill": "unknown-fill"}
# Outputs that have all cautions.
WHOLE: Final = ("text", "page", "notes", "screen", "narrow", "tasks", "calendar", "short")
# First screens, at their widths: they have all dangers of today and the gravest of the other cautions, and count the rest.
FIRST: Final = {"first screen": 80, "narrow first screen": 40}
# Checks that take their words from the full text, apart from those of what the advice says against itself.
TEXTS: Final = "10 texts"


def one_line(text: str) -> str:
    return " ".join(text.split())


def plain_page(page: str) -> str:
    """The words of a page, each label of a picture in a line of its own."""
    return unescape(re.sub(r"<style.*?</style>|<script.*?</script>|<[^>]+>", "\n", page, flags=re.S))


class Said:
    """What an advice says in each output, each made once."""

    def __init__(self, advice: Advice, c: Consultation) -> None:
        self.advice, self.c = advice, c

    @cached_property
    def finished(self) -> voice.Finished:
        return voice.Finished(self.advice, voice.full_text(self.advice))

    @cached_property
    def against(self) -> dict[str, list[str]]:
        """What the checker of contradictions finds, by kind."""
        return voice.by_kind(self.advice, self.finished.text)

    @cached_property
    def short(self) -> Short:
        return short_advice(self.c)

    @cached_property
    def papers(self) -> dict[str, str]:
        return _papers(self)

    @cached_property
    def lines(self) -> dict[str, str]:
        """Every output as one line of small letters, as it is read."""
        every = {"text": self.finished.text, **self.papers}
        every["calendar"] = _unfolded(every["calendar"])
        return {name: one_line(text).casefold() for name, text in every.items()}


def _unfolded(calendar: str) -> str:
    """A calendar without the breaks of its lines, and its signs as they are read."""
    whole = re.sub(r"\r?\n ", "", calendar)
    return re.sub(r"\\([,;nN\\])", lambda found: " " if found[1] in "nN" else found[1], whole)


def _papers(said_of: Said) -> dict[str, str]:
    """Every output but the full text, without its list of sources, whose titles are not ours."""
    advice = said_of.advice
    said = {kind: paper(kind, advice) for kind in PAPERS}
    said["page"] = plain_page(said["page"])
    said["screen"] = render(advice, width=voice.WIDE, plain=True)
    said["narrow"] = render(advice, width=80)
    said |= {
        name: first_screen(advice, said_of.c.knowledge, width=width, plain=True)
        for name, width in FIRST.items()
    }
    said = {name: re.split(r"\n(?:#+ )?Sources\b", text)[0] for name, text in said.items()}
    said["json"] = "\n".join(_strings(advice.as_dict()))
    said["short"] = "\n".join(_strings(json.loads(said_of.short.model_dump_json(by_alias=True))))
    return said


def _strings(value: object) -> Iterator[str]:
    """The sentences of some JSON: what has a space in it is meant to be read."""
    if isinstance(value, str):
        yield from [value] if " " in value else []
    elif isinstance(value, dict | list):
        for each in value.values() if isinstance(value, dict) else value:
            yield from _strings(each)


# ---------- dangers ----------
def today(c: Consultation) -> dict[str, list[Rule]]:
    """The dangers of today, each with the rules that gave it."""
    found: dict[str, list[Rule]] = {}
    for rule, _ in c.site_layer.fired.get("site", []):
        then = rule.then
        if then.act == "caution" and c.knowledge.cautions[then.target].order == 1:
            found.setdefault(then.target, []).append(rule)
        elif then.act == "conclude" and then.target == "site.close-today":
            found.setdefault("close-today", []).append(rule)
    return found


def told_by(c: Consultation, rule: Rule, key: str) -> bool:
    """Whether a rule fires by what is told under a key: not where the key would only lift it."""
    kinds = (c.types.get(condition.fact) for condition in rule.when)
    return any(kind is not None and kind.told == key for kind in kinds)


def dangers(said: Said, answers: Answers) -> Iterator[tuple[str, str]]:
    """Dangers that are told and have no caution, and cautions that an output leaves out."""
    told = [DANGERS.get(each, coded(each)) for each in (answers.get("site") or {}).get("dangers") or []]
    told += [
        code
        for key, value, code in HAZARDS
        if (answers.get(key.split(".")[0]) or {}).get(key.split(".")[1]) == value
    ]
    advice, short = said.advice, said.short
    codes = {row.code: row for row in advice.cautions} | {row.code: row for row in advice.today}
    for code in told:
        if code != "none" and code not in codes:
            yield f"no caution {code}", f"told: {code}"
    names = {row.code: row.name for row in advice.cautions}
    for code, row in codes.items():
        today = code in {each.code for each in advice.today}
        for name in (*WHOLE, *(FIRST if today else ())):
            if not _stands(first_sentence(row.text), names.get(code, ""), said.lines[name]):
                yield f"{name}: without {code}", first_sentence(row.text)
    yield from _counted(said)
    yield from _bought(said)
    for name, ours, theirs in (
        ("short cautions", [row.code for row in short.cautions], [row.code for row in advice.cautions]),
        ("short today", [row.code for row in short.doing_today], [row.code for row in advice.today]),
        ("JSON cautions", [row["code"] for row in advice.as_dict()["cautions"]], [row.code for row in advice.cautions]),
    ):  # fmt: skip
        if ours != theirs:
            yield f"{name} differ", f"{ours} and {theirs}"


def _counted(said: Said) -> Iterator[tuple[str, str]]:
    """First screens that leave out cautions and do not say how many there are."""
    today = {row.code for row in said.advice.today}
    rows = [row for row in said.advice.cautions if row.code not in today]
    tell = said.c.knowledge.text
    for name in FIRST:
        line = said.lines[name]
        left = sum(one_line(first_sentence(row.text)).rstrip(".").casefold() not in line for row in rows)
        counts = (
            tell(code, n=n)
            for code in ("screen-more-cautions", "screen-cautions")
            for n in range(left, len(rows) + 1)
        )
        if left and not any(one_line(count).casefold() in line for count in counts):
            yield f"{name}: cautions that it does not count", f"{left} of {len(rows)}"


def _bought(said: Said) -> Iterator[tuple[str, str]]:
    """Things to buy whose cautions the list leaves out."""
    rows = {row.code: row for row in said.advice.cautions}
    for code in dict.fromkeys(code for item in said.advice.shopping for code in item.cautions):
        row = rows.get(code)
        if row is None or not _stands(first_sentence(row.text), row.name, said.lines["shopping"]):
            yield f"shopping: without {code}", code


def _stands(sentence: str, name: str, text: str) -> bool:
    said = one_line(sentence).rstrip(".").casefold()
    return said in text or bool(name and name.casefold() in text)


# ---------- texts ----------
_WRONG: Final[Mapping[str, str]] = {
    "an empty value": r"(?<![.!?:] )(?<!^)(?<!- )\bNone\b|\b(?:nan|NaN|null|True|False|inf)\b",
    "a word twice": r"(?i:(?<!\d )\b(?!that\b|had\b)([a-z]{2,}) \1\b)",
    "one as many": rf"(?<![\d.,–-])(?<!to )(?<!× )(?<!\d )\b1 (?:{voice._COUNTED}|hands|options|parts|games|cuts|visits|loads|rows|areas|cautions|ways)\b",
    "many as one": r"(?<![\d.,])\b(?:[2-9]|\d\d+) (?:day|hour|week|visit|litre|gallon)(?=[.,;)]|$)",
    "a broken sentence": r"(?<!\.)\.\.(?!\.)| [.,;](?=\s|$)|,\.|;\.|:\.|, ,|\(\s*\)|: ;|\?\.|!\.",
    "a hole": r"\{[^}]*\}",
}  # fmt: skip
_DOUBLE_SPACE: Final = r"(?<=\w[.,;]|\w\w)  +(?=\w)"
# Outputs whose lines are laid out with spaces, or whose marks are not of the sentences.
_LAID_OUT: Final = ("narrow", "screen", *FIRST, "page", "notes", "tasks", "shopping", "calendar")


@cache
def _patterns() -> dict[str, re.Pattern[str]]:
    return {what: re.compile(pattern) for what, pattern in _WRONG.items()}


def wrong_in(text: str, spaces: bool = False) -> Iterator[tuple[str, str]]:
    """What is wrong in a text, and where it stands."""
    patterns = _patterns() | ({"two spaces": re.compile(_DOUBLE_SPACE)} if spaces else {})
    for line in text.splitlines():
        for what, pattern in patterns.items():
            for match in pattern.finditer(line):
                around = line[max(0, match.start() - 50) : match.end() + 40].strip()
                yield f"{what}: {match[0]!r}", around


def lesson_text(c: Consultation) -> str:
    """The story of an advice, opened down to its rules."""
    return "\n".join(story_lines(story(c), opened=True))


def spoiled(said: Said) -> Iterator[tuple[str, str]]:
    """Holes, doubled words and wrong numbers in every output, and the texts of the advice that may stand in none."""
    seen: set[str] = set()
    for sentence in said.against.get(TEXTS, []):
        yield re.sub(r"\d+", "N", sentence.split(" in ")[0]), sentence
    for name, text in said.papers.items():
        # a calendar breaks its lines within words
        whole = re.sub(r"\r?\n ", "", text) if name == "calendar" else text
        for what, around in wrong_in(whole, name not in _LAID_OUT):
            if what not in seen:
                seen.add(what)
                yield f"{name}: {what}", around


def against_itself(said: Said) -> Iterator[tuple[str, str]]:
    """What the checker of contradictions finds, but for the texts."""
    for kind, sentences in said.against.items():
        if kind != TEXTS:
            for sentence in sentences:
                yield f"{kind}: {re.sub(r'[0-9]+', 'N', sentence)[:70]}", sentence
