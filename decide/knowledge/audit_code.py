"""What the package's own code names of the knowledge."""

from __future__ import annotations

import ast
import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from decide.engine.language import (
    SCOPES,
)

# Rooms that read and keep answers, whatever they are for.
CARRY: Final = ("model", "parse", "shell", "questions")


@dataclass(frozen=True, slots=True)
class Code:
    """Texts of the package's code: how often each stands there, and the shapes of those that it puts
    together; `attributes` are what it reads of objects, and `judged` those that not only rooms which carry
    answers read.
    """

    texts: Counter[str]
    shapes: tuple[re.Pattern[str], ...]
    attributes: frozenset[str] = frozenset()
    judged: frozenset[str] = frozenset()

    def names(self, name: str, given: int = 0) -> bool:
        """Whether code names `name` more than `given` times, or puts it together."""
        return self.texts[name] > given or any(shape.fullmatch(name) for shape in self.shapes)


def read_code() -> Code:
    """The texts of this package's own code; reading them takes a second, so that many audits may
    share them.
    """
    texts: Counter[str] = Counter()
    shapes: set[str] = set()
    attributes: set[str] = set()
    judged: set[str] = set()
    package = Path(__file__).parent.parent
    for path in sorted(package.rglob("*.py")):
        tree = ast.parse(path.read_text(encoding="utf-8"))
        reads = path.relative_to(package).parts[0] not in CARRY
        for node in ast.walk(tree):
            if isinstance(node, ast.Attribute) and isinstance(node.ctx, ast.Load):
                attributes.add(node.attr)
                judged.update([node.attr] if reads else [])
            if isinstance(node, ast.JoinedStr):
                parts = [str(part.value) if isinstance(part, ast.Constant) else "" for part in node.values]
                if (
                    re.fullmatch(r"[a-z][a-z.\-]+[.\-][a-z.\-]*", parts[0])
                    and parts[0].strip(".") not in SCOPES
                ):
                    shapes.add(r"[a-z0-9.\-]+".join(re.escape(part) for part in _gaps(node, parts)))
            elif isinstance(node, ast.Constant) and isinstance(node.value, str):
                texts[node.value] += 1
    return Code(
        texts, tuple(re.compile(shape) for shape in sorted(shapes)), frozenset(attributes), frozenset(judged)
    )


def _gaps(node: ast.JoinedStr, parts: Sequence[str]) -> list[str]:
    """The fixed parts of a text that is put together, with a gap between each two for what is put in."""
    fixed = [""]
    for made, part in zip(node.values, parts, strict=True):
        if isinstance(made, ast.Constant):
            fixed[-1] += part
        else:
            fixed.append("")
    return fixed
