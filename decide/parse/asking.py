"""What the tables of knowledge/talk know of questions, made ready for reading: kinds, names, one spelling."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Final

from decide.parse.phrases import Line, Phrase, Vocabulary, phrase
from decide.parse.plain import fold, spaced
from decide.parse.speech import Speech

# The files with kinds of questions, and the one with what is out of scope; on a level, the first goes before.
_KINDS: Final = ("asks-talk", "asks-choice", "asks-work", "asks-play")
# The class of the words of which one stands in any question.
QUERY: Final = "q-any"
_OUT_OF_SCOPE: Final = "out_of_scope"
_NAMED: Final = ("grasses", "methods", "equipment")
_SHORTEST_MENDED: Final = 5
# From this length on one wrong letter is taken for a slip: shorter words are too often words of their own.
_SURE_LENGTH: Final = 7
_LETTERS: Final = "abcdefghijklmnopqrstuvwxyz"
_WORD: Final = re.compile(r"[0-9]{1,2}(?:st|nd|rd|th)\b|[0-9]+(?:[.,/][0-9]+)*|[a-z0-9]+(?:'[a-z]+)?")
_SIGNS: Final = {"$": "dollars", "£": "pounds", "€": "euros"}
_SIGNED: Final = re.compile(r"([$£€]) ?([0-9][0-9.,]*(?: ?k\b)?)")
_SHORT: Final = (
    ("n't", " not"), ("'re", " are"), ("'ve", " have"), ("'ll", " will"), ("'m", " am"), ("'d", " would"),
)  # fmt: skip
_IS: Final = spaced(
    "it that what when how where who why there he she here this something everything nothing somebody someone"
)


@dataclass(frozen=True)
class Names:
    """Values of a slot with the phrases for each, by their first words."""

    first: Mapping[str, tuple[tuple[Phrase, Any], ...]]

    @staticmethod
    def of(rows: Mapping[Any, Sequence[str]], where: str, vocabulary: Vocabulary) -> Names:
        """The names of some values; of two with one name the first has it."""
        ready = [(phrase(each, where), value) for value, said in rows.items() for each in said]
        return Names(vocabulary.by_head((each, (each, value)) for each, value in ready))

    def all(self, line: Line) -> Iterator[tuple[int, int, Any]]:
        """The values that are named, in the order said, each with where it stands; the longest name holds."""
        free = 0
        for at, word in enumerate(line.words):
            if at < free:
                continue
            best: tuple[int, Any] | None = None
            for ready, value in (*self.first.get(word, ()), *self.first.get("", ())):
                end = max(line.ends(ready, at), default=at)
                if end > at and (best is None or end > best[0]):
                    best = (end, value)
            if best is not None:
                free = best[0]
                yield at, best[0], best[1]

    def heaviest(self, line: Line) -> Any:
        """The value with the longest name in the line; None where there is none."""
        found = [(start - end, start, value) for start, end, value in self.all(line)]
        return min(found, key=lambda one: one[:2])[2] if found else None


@dataclass(frozen=True)
class Way:
    """One way in which something is asked: phrases that all must stand in the words, in any order, and the
    slots that they set; a `faint` one counts only in what is put as a question, and weighs less;
    one that `queries` wants some word of a question besides.
    """

    say: tuple[Phrase, ...]
    slots: Mapping[str, Any] = field(default_factory=dict)
    faint: bool = False
    queries: bool = False


@dataclass(frozen=True)
class Kind:
    """One intent: the ways to ask it, phrases that forbid it, and what it names."""

    intent: str
    ways: tuple[Way, ...]
    no: tuple[Phrase, ...] = ()
    takes: tuple[str, ...] = ()
    slots: Mapping[str, Names] = field(default_factory=dict)
    tells: bool = False
    danger: bool = False
    outside: bool = False
    talk: bool = False
    after: bool = False
    short: int = 0


@dataclass(frozen=True)
class Asking:
    """All that is known of how questions are put; `ways` by a word or a class that each of them needs."""

    kinds: tuple[Kind, ...]
    vocabulary: Vocabulary
    names: Mapping[str, Names]
    same: Mapping[str, str]
    lead: frozenset[str]
    heads: frozenset[str]
    anywhere: tuple[Phrase, ...]
    plainly: tuple[Phrase, ...]
    telling: tuple[Phrase, ...]
    known: frozenset[str]
    stems: tuple[str, ...]
    dated: frozenset[str]
    made_by: Mapping[str, tuple[str, ...]]
    ways: Mapping[str, tuple[tuple[int, Way], ...]]
    outside: tuple[tuple[Phrase, Mapping[str, Any]], ...] = ()
    tails: tuple[Phrase, ...] = ()

    def line(self, words: Sequence[str]) -> Line:
        """Words as a line that phrases are sought in: it begins at its first word, and after words that say
        nothing.
        """
        bare = next((at for at, word in enumerate(words) if word not in self.lead), 0)
        return Line(words, self.vocabulary, (0, bare))

    def open_ways(self, line: Line) -> Iterator[tuple[Kind, Way]]:
        """The ways that may be in a line, in the order of their kinds."""
        found: dict[int, tuple[int, Way]] = {}
        for word in dict.fromkeys(("", *line.words)):
            for place, way in self.ways.get(word, ()):
                found[id(way)] = (place, way)
        for place, way in sorted(found.values(), key=lambda one: one[0]):
            yield self.kinds[place], way

    def sentences(self, text: str) -> list[tuple[tuple[str, ...], bool]]:
        """The sentences of a text in the plain form of the phrases, and whether each is put as a question."""
        out: list[tuple[tuple[str, ...], bool]] = []
        pieces = re.split(r"((?:[.!?;]+(?=\s|$)|\n|\s-+\s))", fold(text))
        for said, stop in zip(pieces[::2], [*pieces[1::2], ""], strict=False):
            words = self.plain(said)
            if words:
                out.append((words, "?" in stop))
        return out

    def plain(self, said: str) -> tuple[str, ...]:
        """Folded text as words in their plain form: shortenings written out, slips of the finger mended."""
        said = _SIGNED.sub(lambda found: f"{found[2]} {_SIGNS[found[1]]}", said)
        said = said.replace("%", " percent ").replace("&", " and ").replace('"', " ")
        out: list[str] = []
        for word in _WORD.findall(said):
            out += self.written_out(word)
        mended = " ".join(self._mended(word) for word in out).split()
        return tuple(
            "until" if word == "till" and self._day_follows(mended, at) else word
            for at, word in enumerate(mended)
        )

    def _day_follows(self, words: Sequence[str], at: int) -> bool:
        """Whether a word stands before a day: "till Easter" is no work on the ground."""
        after = words[at + 1 : at + 4]
        return any(word in self.dated or word[:1].isdigit() for word in after)

    def written_out(self, word: str) -> list[str]:
        """A word with its shortening written out, or the word that is said for it."""
        if word in ("can't", "cannot"):
            return ["can", "not"]
        if word == "won't":
            return ["will", "not"]
        if word == "let's":
            return ["let", "us"]
        for tail, full in _SHORT:
            if word.endswith(tail):
                return (word[: -len(tail)] + full).split()
        head, mark, _ = word.partition("'")
        if mark:
            return [head, "is"] if head in _IS else [head]
        return self.same.get(word, word).split()

    def _mended(self, word: str) -> str:
        """The known word that is one slip of the finger away, where there is just one."""
        if word in self.known or len(word) < _SHORTEST_MENDED or not word.isalpha():
            return word
        if (word.endswith("s") and word[:-1] in self.known) or word.startswith(self.stems):
            return word
        cuts = [(word[:at], word[at:]) for at in range(1, len(word) + 1)]
        near = {
            *(head + tail[1:] for head, tail in cuts if tail),
            *(head + tail[1] + tail[0] + tail[2:] for head, tail in cuts if len(tail) > 1),
            *(head + letter + tail for head, tail in cuts for letter in _LETTERS),
            *(
                head + letter + tail[1:]
                for head, tail in cuts
                if tail and len(word) >= _SURE_LENGTH
                for letter in _LETTERS
            ),
        } & self.known
        return near.pop() if len(near) == 1 else word


def make_asking(speech: Speech) -> Asking:
    """The tables of questions made ready; KnowledgeError where a phrase of them is not well written."""
    words, slots = speech.table("asks-words"), dict(speech.table("asks-slots"))
    made_by = slots.pop("made-by", {})
    seen = speech.table("asks-seen")
    options = {code: list(said) for code, said in slots.get("option", {}).items()}
    for table in _NAMED:
        for code, names in getattr(speech, table).items():
            said = [code.replace("-", " "), *(_plain_name(name) for name in names)]
            options[code] = [*options.get(code, ()), *said]
    slots["option"] = options
    slots["grass"] = {code: options[code] for code in speech.grasses}
    slots["method"] = {code: options[code] for code in speech.methods}
    slots["word"] = {code: tuple(map(_plain_name, names)) for code, names in speech.words.items()}
    slots |= {name: seen.get(name, {}) for name in ("sign", "check", "passed")}
    classes = {name: list(said) for name, said in words.get("classes", {}).items()}
    for name, rows in slots.items():
        classes.setdefault(name, [each for said in rows.values() for each in said])
    vocabulary = Vocabulary(classes, str(words.get("small", {}).get("words", "")).split())
    kinds = tuple(_kinds(speech, seen, vocabulary))
    return Asking(
        kinds,
        vocabulary,
        {name: Names.of(rows, name, vocabulary) for name, rows in slots.items()},
        words.get("same", {}),
        spaced(str(words.get("lead", {}).get("words", ""))),
        spaced(str(words.get("asking", {}).get("head", ""))),
        tuple(phrase(each) for each in words.get("asking", {}).get("anywhere", ())),
        tuple(phrase(each) for each in words.get("asking", {}).get("plainly", ())),
        tuple(phrase(each) for each in words.get("asking", {}).get("telling", ())),
        frozenset(_known(vocabulary, kinds, words, "word")),
        tuple(sorted(set(_known(vocabulary, kinds, words, "begins")) - {""})),
        spaced(str(words.get("dates", {}).get("words", ""))),
        {step: tuple(methods) for step, methods in made_by.items()},
        _by_word(kinds, vocabulary),
        tuple(
            (phrase(each["is"]), {key: value for key, value in each.items() if key != "is"})
            for each in speech.table("asks-if").get("supposed", {}).get("say", ())
        ),
        tuple(phrase(each) for each in speech.table("asks-if").get("tail", {}).get("say", ())),
    )


def _by_word(kinds: Sequence[Kind], vocabulary: Vocabulary) -> dict[str, tuple[tuple[int, Way], ...]]:
    """The ways by the words of which one must stand in a line: those of the piece with the fewest, telling
    ones before small ones.
    """
    out: dict[str, list[tuple[int, Way]]] = {}
    for place, kind in enumerate(kinds):
        for way in kind.ways:
            keys = [vocabulary.heads((piece,)) for each in way.say for piece in each]
            telling = [key for key in keys if key]
            best = min(
                telling, key=lambda key: (bool(key & vocabulary.small), len(key)), default=frozenset([""])
            )
            for word in best:
                out.setdefault(word, []).append((place, way))
    return {word: tuple(ways) for word, ways in out.items()}


def _plain_name(name: str) -> str:
    return re.sub(r"[^a-z0-9 ]", " ", fold(name).replace("-", " ")).strip()


def _kinds(speech: Speech, seen: Mapping[str, Any], vocabulary: Vocabulary) -> Iterator[Kind]:
    for name, row in speech.table("scope").items():
        fixed = {"topic": row["topic"], "instead": row["instead"]}
        yield Kind(
            _OUT_OF_SCOPE,
            tuple(_way({"is": each, **fixed}, name) for each in row["say"]),
            tuple(phrase(each, name) for each in row.get("not", ())),
            danger=bool(row.get("danger", False)),
            outside=True,
        )
    for table in _KINDS:
        for intent, row in speech.table(table).items():
            say = list(row.get("say", ()))
            if intent == "sign_seen":
                say += [{"is": each, "sign": code} for code, said in seen["sign"].items() for each in said]
            if intent == "check_result":
                say += [{"is": each, "check": code} for code, said in seen["check"].items() for each in said]
            yield Kind(
                intent,
                (
                    *(_way(each, intent) for each in say),
                    *(_way(each, intent, faint=True) for each in row.get("ask", ())),
                ),
                tuple(phrase(each, intent) for each in row.get("not", ())),
                tuple(row.get("takes", ())),
                {
                    name: Names.of(rows, f"{intent}.{name}", vocabulary)
                    for name, rows in row.get("slots", {}).items()
                },
                bool(row.get("tells", False)),
                talk=table == "asks-talk",
                after=bool(row.get("after", False)),
                short=int(row.get("short", 0)),
            )


def _way(each: Any, where: str, *, faint: bool = False) -> Way:
    row = {"is": each} if isinstance(each, str) else each
    parts = str(row["is"]).split(" + ")
    said = tuple(phrase(part, where) for part in parts if part != f"{{{QUERY}}}")
    return Way(said, {key: value for key, value in row.items() if key != "is"}, faint, len(said) < len(parts))


def _known(
    vocabulary: Vocabulary, kinds: Sequence[Kind], words: Mapping[str, Any], piece: str
) -> Iterator[str]:
    """Every word that stands in some phrase, or every beginning of words."""
    for said in vocabulary.classes.values():
        for each in said:
            yield from _literal(each, piece)
    for kind in kinds:
        for way in kind.ways:
            for each in way.say:
                yield from _literal(each, piece)
    if piece == "word":
        yield from vocabulary.small
        yield from words.get("same", {})
        yield from spaced(str(words.get("lead", {}).get("words", "")))


def _literal(pieces: Phrase, kind: str) -> Iterator[str]:
    for piece in pieces:
        if piece.kind == kind:
            yield piece.text
        for inner in piece.inner:
            yield from _literal(inner, kind)
