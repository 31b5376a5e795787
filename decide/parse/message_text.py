"""A message as its clauses, each with its mood, and what has been read from it so far."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import lru_cache
from typing import Any, Final

from decide.parse.heard import Doubt, Told
from decide.parse.plain import fold
from decide.parse.results import Setting
from decide.parse.speech import Speech

_SAME: Final = str.maketrans(
    {
        "’": "'",
        "‘": "'",
        "“": '"',
        "”": '"',
        "–": "-",
        "—": "-",
        "×": "x",
        "−": "-",
        "…": ".",
        "½": "~",
        "¼": "~",
    }
)
_PARTS_OF_ONE: Final = {"½": " 1/2", "¼": " 1/4", "¾": " 3/4"}
_SPACES: Final = re.compile(r"\[[^\]]*\]| \??")
SILENT: Final = frozenset({"question", "supposed", "others"})


def _space(found: re.Match[str]) -> str:
    return found[0] if found[0][0] == "[" else r"[\s-]?" if found[0] == " ?" else r"[\s-]+"


@lru_cache(maxsize=2048)
def pattern(*phrases: str) -> re.Pattern[str]:
    """One pattern of phrases, each a whole run of words; a space stands for any space or hyphen."""
    joined = "|".join(_SPACES.sub(_space, phrase) for phrase in phrases)
    return re.compile(rf"(?<![\w'])(?:{joined})(?!\w)")


@dataclass(frozen=True)
class Clause:
    """A piece of a sentence: its place in the line, its words in small letters, and how they are meant."""

    start: int
    text: str
    sentence: int
    moods: frozenset[str] = frozenset()

    @property
    def silent(self) -> bool:
        """Whether it tells nothing: a question, a supposition, something of other people."""
        return bool(self.moods & SILENT)


@dataclass
class Message:
    """A line that is being read: what it told, what is doubtful, and which clauses were of use."""

    raw: str
    text: str
    clauses: tuple[Clause, ...]
    sentences: tuple[tuple[int, str], ...]
    setting: Setting
    speech: Speech
    told: list[Told] = field(default_factory=list)
    doubts: list[Doubt] = field(default_factory=list)
    unknown: list[tuple[str, str | None]] = field(default_factory=list)
    used: set[int] = field(default_factory=set)
    spans: list[tuple[int, int]] = field(default_factory=list)

    def table(self, name: str) -> Mapping[str, Any]:
        """A table of the vocabulary of messages."""
        found: Mapping[str, Any] = self.speech.table("message").get(name, {})
        return found

    def say(self, code: str, /, **holes: object) -> str:
        """A sentence that is said of what was read, with its holes filled."""
        return str(self.table("say")[code]).format(**holes)

    def tell(self, key: str, value: Any, clause: Clause, *, zone: str | None = None, note: str = "") -> None:
        """Notes what a clause told, once a key and part."""
        self.use(clause)
        if not any((one.key, one.zone) == (key, zone) for one in self.told):
            self.told.append(Told(key, value, self.words(clause), zone, note, "corrects" in clause.moods))

    def add(self, key: str, values: Iterable[Any], clause: Clause, *, zone: str | None = None) -> None:
        """Adds to the list of a key."""
        self.use(clause)
        at = next((n for n, one in enumerate(self.told) if (one.key, one.zone) == (key, zone)), None)
        kept = list(self.told[at].value) if at is not None else []
        kept += [value for value in values if value not in kept]
        row = Told(key, kept, self.words(clause), zone, "", "corrects" in clause.moods)
        if at is None:
            self.told.append(row)
        else:
            self.told[at] = replace(row, words=f"{self.told[at].words}; {row.words}")

    def value(self, key: str, zone: str | None = None) -> Any:
        """What was told of a key so far; None where nothing was."""
        return next((one.value for one in self.told if (one.key, one.zone) == (key, zone)), None)

    def use(self, clause: Clause) -> None:
        """Marks a clause as one of which something was made."""
        self.used.add(clause.start)

    def words(self, clause: Clause) -> str:
        """The clause as it was typed."""
        return self.raw[clause.start : clause.start + len(clause.text)].strip(" ,.;:()")

    def take(self, clause: Clause, start: int, end: int) -> None:
        """Marks words of a clause as read, so that no other reader takes them for something else."""
        self.spans.append((clause.start + start, clause.start + end))

    def taken(self, clause: Clause, start: int, end: int) -> bool:
        """Whether some of these words of a clause were read."""
        first, last = clause.start + start, clause.start + end
        return any(first < stop and begin < last for begin, stop in self.spans)

    def telling(self) -> Iterator[Clause]:
        """The clauses that tell something of the field as it is."""
        return (clause for clause in self.clauses if not clause.silent)


def message_of(line: str, setting: Setting, speech: Speech) -> Message:
    """A cleaned line taken apart."""
    for sign, words in _PARTS_OF_ONE.items():
        line = line.replace(sign, words)
    line = re.sub(r"(?<=\d)[,.](?:-|--|–|—)(?=\W|$)", "", line)
    raw = line.translate(_SAME)
    text = "".join(letter.lower() if len(letter.lower()) == 1 else letter for letter in raw)
    table: Mapping[str, Any] = speech.table("message")
    sentences = tuple(_sentences(text, raw))
    clauses = tuple(
        replace(clause, moods=_moods(clause, sentence, table))
        for number, (start, sentence) in enumerate(sentences)
        for clause in _clauses(sentence, start, number, table)
    )
    return Message(raw, text, clauses, sentences, setting, speech)


def _sentences(text: str, raw: str) -> Iterator[tuple[int, str]]:
    start = 0
    for stop in re.finditer(r"(?<=[.!?;])[\s)]+|[\n]", text):
        before, after = text[start : stop.start()], raw[stop.end() : stop.end() + 1]
        short = re.search(
            r"(?:\b(?:st|co|approx|est|mr|no|vs|sq|ft|u|nr|rs|mt|dr)|\b\d{1,2}\.\d{1,2}|(?<![\d,.£$€])\d{1,2})\.$",
            before,
        )
        if short and not (after.isupper() and not re.search(r"\b(?:st|co|mt)\.$", before)):
            continue
        yield start, text[start : stop.end()]
        start = stop.end()
    if start < len(text):
        yield start, text[start:]


def _clauses(sentence: str, start: int, number: int, table: Mapping[str, Any]) -> Iterator[Clause]:
    """The clauses of a sentence; what stands in brackets is a clause of its own, the rest goes on without."""
    outer = sentence
    for inner in re.finditer(r"\(([^()]*)\)", sentence):
        yield from _parted(inner[1], start + inner.start(1), number, table)
        outer = outer[: inner.start()] + " " * len(inner[0]) + outer[inner.end() :]
    yield from _parted(outer, start, number, table)


def _parted(text: str, start: int, number: int, table: Mapping[str, Any]) -> Iterator[Clause]:
    words = "|".join(table["parting"]["before"])
    cut = re.compile(
        rf",(?!\d{{3}}\b)(?!(?<=\d,)\d{{1,2}}(?![\d,]))\s*|:\s|;\s*|\s-+\s|\.{{2,}}\s*|\s(?=(?:{words})(?!\w))"
    )
    labelled = pattern(*table["labels"]["words"])
    at = 0
    for match in [*cut.finditer(text), None]:
        end = len(text) if match is None else match.start()
        if match is not None and match[0].startswith(":") and labelled.fullmatch(text[at:end].strip()):
            continue
        if text[at:end].strip(" .!?;:-"):
            lead = len(text[at:end]) - len(text[at:end].lstrip())
            yield Clause(start + at + lead, text[at + lead : end], number)
        at = end if match is None else match.end()


def _moods(clause: Clause, sentence: str, table: Mapping[str, Any]) -> frozenset[str]:
    said = clause.text.strip()
    found = {mood for mood, phrases in table["moods"].items() if pattern(*phrases).search(said) is not None}
    asked = said.endswith("?") and pattern(*table["asking"]["tags"]).fullmatch(said.strip(" ?")) is None
    guess = pattern(*table["asking"]["guess"]).search(sentence) is not None
    if asked or guess:
        found.add("question")
    if "plain" in found:
        found -= {"supposed", "others"}
    return frozenset(found - {"plain"})


def negated(clause: Clause, start: int, table: Mapping[str, Any], end: int | None = None) -> bool:
    """Whether the words from `start` on are denied by what stands shortly before them, or straight behind
    their `end`.
    """
    if end is not None and pattern(*table["denying"]["behind"]).match(clause.text[end:].lstrip(" -")):
        return True
    before = clause.text[:start]
    near = " ".join(before.split()[-4:])
    found = list(pattern(*table["denying"]["before"]).finditer(near))
    return bool(found) and pattern(*table["denying"]["but"]).search(near[found[-1].start() :]) is None


def folded(text: str) -> str:
    """A name in the one spelling that tables are looked up by."""
    return fold(text).strip(" .,'")
