"""What the package's own code names of the knowledge."""

from __future__ import annotations

import ast
import re
from collections import Counter
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import product
from pathlib import Path
from typing import Final

from decide.engine.language import (
    SCOPES,
)
from decide.model.written import coded

# A name is put together of what was put together at most so often.
_DEEP: Final = 3
_LONGEST_WORD: Final = 40
# Rooms that read and keep answers, whatever they are for.
CARRY: Final = ("model", "parse", "shell", "questions")


@dataclass(frozen=True, slots=True)
class Code:
    """Texts of the package's code: how often each stands there, and the shapes of those that it puts
    together; `attributes` are what it reads of objects, and `judged` those that not only rooms which carry
    answers read. `joined` are all shapes, those too that begin with what is put in, `words` are texts
    that may be put in, and `templates` those of the templates; `modules` are of each module that judges the
    attributes that it reads, and its texts.
    """

    texts: Counter[str]
    shapes: tuple[re.Pattern[str], ...]
    attributes: frozenset[str] = frozenset()
    judged: frozenset[str] = frozenset()
    joined: tuple[re.Pattern[str], ...] = ()
    words: frozenset[str] = frozenset()
    templates: frozenset[str] = frozenset()
    modules: tuple[tuple[frozenset[str], frozenset[str]], ...] = ()

    def names(self, name: str, given: int = 0) -> bool:
        """Whether code names `name` more than `given` times, or puts it together."""
        return self.texts[name] > given or any(shape.fullmatch(name) for shape in self.shapes)

    def tells(self, attribute: str, words: Collection[str]) -> bool:
        """Whether a module that judges by an attribute names one of some words."""
        return any(attribute in reads and not texts.isdisjoint(words) for reads, texts in self.modules)

    def can_say(self, name: str, words: Collection[str], depth: int = 0) -> bool:
        """Whether code names `name`, or puts it together of its own texts and of some words."""
        put_in = name in self.templates or (depth > 0 and (name in words or name in self.words))
        return (
            put_in
            or self.texts[name] > 0
            or (
                depth < _DEEP
                and any(
                    all(self.can_say(part, words, depth + 1) for part in found.groups())
                    for shape in self.joined
                    if (found := shape.fullmatch(name))
                )
            )
        )


def read_code() -> Code:
    """The texts of this package's own code and templates; reading them takes a second, so that many audits
    may share them.
    """
    texts: Counter[str] = Counter()
    shapes: set[str] = set()
    attributes: set[str] = set()
    judged: set[str] = set()
    package = Path(__file__).parent.parent
    trees = {path: ast.parse(path.read_text(encoding="utf-8")) for path in sorted(package.rglob("*.py"))}
    named = _named(trees.values())
    joined: set[str] = set()
    modules: list[tuple[frozenset[str], frozenset[str]]] = []
    for path, tree in trees.items():
        reads = path.relative_to(package).parts[0] not in CARRY
        mine: tuple[set[str], set[str]] = set(), set()
        for node in ast.walk(tree):
            if isinstance(node, ast.Attribute) and isinstance(node.ctx, ast.Load):
                mine[0].add(node.attr)
            if isinstance(node, ast.JoinedStr):
                parts = [str(part.value) if isinstance(part, ast.Constant) else "" for part in node.values]
                joined.update(_joined(node, named))
                if (
                    re.fullmatch(r"[a-z][a-z.\-]+[.\-][a-z.\-]*", parts[0])
                    and parts[0].strip(".") not in SCOPES
                ):
                    shapes.add(r"[a-z0-9.\-]+".join(re.escape(part) for part in _gaps(node, parts)))
            elif isinstance(node, ast.Constant) and isinstance(node.value, str):
                texts[node.value] += 1
                mine[1].add(node.value)
        attributes |= mine[0]
        if reads:
            judged |= mine[0]
            modules.append((frozenset(mine[0]), frozenset(mine[1])))
    words = {coded(text) for text in texts if len(text) < _LONGEST_WORD}
    return Code(
        texts,
        tuple(re.compile(shape) for shape in sorted(shapes)),
        frozenset(attributes),
        frozenset(judged),
        tuple(re.compile(shape) for shape in sorted(joined)),
        frozenset(words),
        frozenset(
            text
            for path in package.rglob("*.jinja")
            for text in re.findall(r'"([^"\n]*)"', path.read_text(encoding="utf-8"))
        ),
        tuple(modules),
    )


def _named(trees: Iterable[ast.Module]) -> Mapping[str, frozenset[str]]:
    """The texts that names of modules stand for."""
    found: dict[str, frozenset[str]] = {}
    for tree in trees:
        for node in tree.body:
            target = node.target if isinstance(node, ast.AnnAssign) else None
            if isinstance(target, ast.Name) and isinstance(node, ast.AnnAssign):
                held = node.value.value if isinstance(node.value, ast.Constant) else None
                if isinstance(held, str):
                    found[target.id] = found.get(target.id, frozenset()) | {held}
    return found


def _joined(node: ast.JoinedStr, named: Mapping[str, frozenset[str]]) -> Iterator[str]:
    """The shapes of a text that is put together of small letters, names of modules read."""
    choices: list[list[str]] = []
    for part in node.values:
        if isinstance(part, ast.Constant):
            choices.append([re.escape(str(part.value))])
        elif isinstance(part, ast.FormattedValue) and isinstance(part.value, ast.Name):
            choices.append([*map(re.escape, sorted(named.get(part.value.id, ())))] or ["(.+)"])
        else:
            choices.append(["(.+)"])
    for chosen in product(*choices):
        shape = "".join(chosen)
        if re.fullmatch(r"(?:[a-z0-9.\-]|\\|\(\.\+\))*[a-z0-9](?:[a-z0-9.\-]|\\|\(\.\+\))*", shape):
            yield shape


def _gaps(node: ast.JoinedStr, parts: Sequence[str]) -> list[str]:
    """The fixed parts of a text that is put together, with a gap between each two for what is put in."""
    fixed = [""]
    for made, part in zip(node.values, parts, strict=True):
        if isinstance(made, ast.Constant):
            fixed[-1] += part
        else:
            fixed.append("")
    return fixed
