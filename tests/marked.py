"""A language of marked letters: a folder laid over the knowledge in which every sentence is written otherwise, to find what is stuck in code."""

from __future__ import annotations

import re
import tomllib
import unicodedata
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any, Final

import tomlkit

from decide.knowledge.compile import told_facts
from decide.knowledge.load import read_knowledge
from decide.knowledge.tables import Knowledge
from decide.model.work import STEPS
from decide.report.words import CODES, TEXTS

# Keys whose texts people read; all other keys hold codes, conditions, and what people say.
PROSE: Final = frozenset(
    [
        "ask",
        "ask-parts",
        "ask-size",
        "because",
        "check",
        "do",
        "does",
        "help",
        "how",
        "item",
        "leave",
        "look-at",
        "lost-if",
        "meaning",
        "no-price",
        "note",
        "saved-if",
        "say",
        "says",
        "sign",
        "sound-if",
        "steps",
        "tell",
        "text",
        "title",
        "treat",
        "unwatered",
        "who-decides",
        "why",
        "will-be-bare-again-unless",
    ]
)
# Keys that are prose in some files, and codes in others.
ALSO: Final[Mapping[str, frozenset[str]]] = {
    "care/topics.toml": frozenset({"who"}),
    "care/watering.toml": frozenset({"stage"}),
}
CODED: Final[Mapping[str, frozenset[str]]] = {"remedies.toml": frozenset({"says"})}
# Files in which a name is a word that is shown and not one that is read back.
NAMED: Final = ("causes.toml", "cautions.toml", "ailments.toml", "care/events.toml", "care/play.toml", "methods.toml", "grasses.toml", "mixtures.toml", "equipment.toml")  # fmt: skip
# What the talk says of itself; its other words are heard.
TALK: Final[Mapping[str, frozenset[str]]] = {
    "talk/asks-back.toml": frozenset({"ask", "line", "one", "taken", "again", "which", "means"}),
    "talk/declined.toml": frozenset({"text"}),
    "talk/scope.toml": frozenset({"instead"}),
}
# Not texts of ours, or texts that are heard and not said.
LEFT: Final = ("cases/", "talk/", "climate/", "values/", "demo.toml", "sources.toml", "local_words.toml", "local_prices.toml", "source_countries.toml", "parts.toml", "areas.toml", "field_plan.toml", "weighing.toml", "usual.toml", "fields.toml")  # fmt: skip
_HOLE: Final = re.compile(r"(\{[^}]*\})")
_FIRST: Final = {"a": 0x1D5BA, "A": 0x1D5A0}


def marked(text: str) -> str:
    """The text in marked letters; holes stay."""

    def letter(c: str) -> str:
        if "a" <= c <= "z":
            return chr(_FIRST["a"] + ord(c) - ord("a"))
        return chr(_FIRST["A"] + ord(c) - ord("A")) if "A" <= c <= "Z" else c

    return "".join(
        part if _HOLE.fullmatch(part) else "".join(map(letter, part)) for part in _HOLE.split(text)
    )


def plain(text: str) -> str:
    """A marked text as people read it."""
    return unicodedata.normalize("NFKC", text)


def _marked(held: Any, keys: frozenset[str], key: str = "") -> Any:
    if isinstance(held, Mapping):
        # Under "sources" stand the names of publications, by the keys that they are for.
        return {
            name: inner if name == "sources" else _marked(inner, keys, name) for name, inner in held.items()
        }
    if isinstance(held, list):
        return [_marked(inner, keys, key) for inner in held]
    return marked(held) if isinstance(held, str) and key in keys else held


def unworded(knowledge: Knowledge) -> Iterator[tuple[str, str]]:
    """The codes that are said as they stand, each with its kind, because the knowledge has no words for them."""
    told = list(told_facts(knowledge))
    rows = (*(fact.levels for fact in told), *(fact.levels for fact in knowledge.facts.values()))
    levels = {level for levels in rows for level in levels or ()}
    codes = {
        "level": levels | knowledge.fields.keys() | knowledge.wishes.keys(),
        "step": set(STEPS),
        "tool": knowledge.equipment.keys(),
    }
    for kind, names in codes.items():
        yield from ((kind, name) for name in sorted(names) if f"{kind}-{name}" not in knowledge.texts)


def write_marked(knowledge: Path, folder: Path) -> Path:
    """Write the folder that says every sentence of `knowledge`, and every word of the report, in marked letters."""
    for path in sorted(knowledge.rglob("*.toml")):
        name = path.relative_to(knowledge).as_posix()
        if name.startswith(LEFT) and name not in TALK:
            continue
        data = tomllib.loads(path.read_text(encoding="utf-8"))
        if name.startswith("texts/"):
            if name == "texts/language.toml":
                continue
            told: Any = {
                code: marked(row) if isinstance(row, str) else {key: held if key == "by" else marked(held) for key, held in row.items()}
                for code, row in data.items()
            }  # fmt: skip
        else:
            keys = TALK.get(name) or (PROSE | ALSO.get(name, frozenset())) - CODED.get(name, frozenset())
            told = _marked(data, keys | {"name"} if name in NAMED else keys)
        target = folder / name
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_text(tomlkit.dumps(told), encoding="utf-8")
    read = read_knowledge(knowledge)
    named = {f"{kind}-{code}": marked(code.replace("-", " ")) for kind, code in unworded(read)}
    named |= {f"key-{fact.told}": marked(fact.meaning.partition(": ")[0]) for fact in told_facts(read)}
    (folder / "texts" / "named.toml").write_text(tomlkit.dumps(named), encoding="utf-8")
    report = {
        "texts": {
            code: marked(row.text) if row.text else {key: held if key == "by" else marked(held) for key, held in row.model_dump(exclude_defaults=True).items()}
            for code, row in TEXTS.items()
        },
        "codes": {kind: {code: marked(word) for code, word in words.items()} for kind, words in CODES.items() if kind != "paper"},
    }  # fmt: skip
    (folder / "report.toml").write_text(tomlkit.dumps(report), encoding="utf-8")
    return folder
