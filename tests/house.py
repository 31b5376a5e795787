"""Measures the house: lines by room, the longest modules and classes, circles and imports that climb: `python tests/house.py`."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import NamedTuple

ROOT = Path(__file__).parents[1]


class Long(NamedTuple):
    """A class or a module with its lines."""

    lines: int
    name: str


@cache
def modules(root: Path = ROOT) -> tuple[tuple[str, Path, ast.Module], ...]:
    """Every module of the program with its dotted name, read once."""
    paths = sorted((root / "decide").rglob("*.py"))
    names = (
        ".".join(path.relative_to(root).with_suffix("").parts).removesuffix(".__init__") for path in paths
    )
    return tuple(
        (name, path, ast.parse(path.read_text(encoding="utf-8")))
        for name, path in zip(names, paths, strict=True)
    )


def lines_of(path: Path) -> int:
    return len(path.read_text(encoding="utf-8").splitlines())


def classes(root: Path = ROOT) -> list[Long]:
    """Every class, the longest first."""
    found = [
        Long((node.end_lineno or node.lineno) - node.lineno + 1, f"{name}.{node.name}")
        for name, _, tree in modules(root)
        for node in ast.walk(tree)
        if isinstance(node, ast.ClassDef)
    ]
    return sorted(found, reverse=True)


def private_across(root: Path = ROOT) -> list[str]:
    """Imports of a name with an underscore from another module."""
    return [
        f"{name}: {alias.name} of {node.module}"
        for name, _, tree in modules(root)
        for node in ast.walk(tree)
        if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("decide")
        for alias in node.names
        if alias.name.startswith("_")
    ]


def imports(root: Path = ROOT) -> dict[str, set[str]]:
    """The modules that each module imports, type-only imports and those inside functions too."""
    names = {name for name, _, _ in modules(root)}
    found: dict[str, set[str]] = {}
    for name, _, tree in modules(root):
        wanted = found.setdefault(name, set())
        for node in ast.walk(tree):
            if isinstance(node, ast.ImportFrom) and node.module:
                each = {f"{node.module}.{alias.name}" for alias in node.names}
                wanted |= (each & names) or ({node.module} & names)
    return found


def circles(root: Path = ROOT) -> list[list[str]]:
    """Sets of modules that import each other round."""
    graph = imports(root)

    def reach(start: str) -> set[str]:
        seen: set[str] = set()
        todo = list(graph.get(start, ()))
        while todo:
            one = todo.pop()
            if one not in seen:
                seen.add(one)
                todo += graph.get(one, ())
        return seen

    reached = {name: reach(name) for name in graph}
    left = {name for name in graph if name in reached[name]}
    found: list[list[str]] = []
    while left:
        one = min(left)
        ring = {other for other in left if other in reached[one] and one in reached[other]}
        found.append(sorted(ring))
        left -= ring
    return found


def show(root: Path = ROOT) -> Iterator[str]:
    """The structure in lines."""
    sizes = sorted((Long(lines_of(path), name) for name, path, _ in modules(root)), reverse=True)
    rooms: dict[str, int] = {}
    for each in sizes:
        room = each.name.split(".")[1] if each.name.count(".") else "decide"
        rooms[room] = rooms.get(room, 0) + each.lines
    yield f"{len(sizes)} modules, {sum(each.lines for each in sizes)} lines; {sum(each.lines > 500 for each in sizes)} over 500"
    yield "rooms: " + ", ".join(
        f"{room} {lines}" for room, lines in sorted(rooms.items(), key=lambda pair: -pair[1])
    )
    yield "longest modules: " + ", ".join(f"{each.name} {each.lines}" for each in sizes[:12])
    yield "longest classes: " + ", ".join(f"{each.name} {each.lines}" for each in classes(root)[:12])
    rings = circles(root)
    yield f"circles: {len(rings)}, of {sum(map(len, rings))} modules" + "".join(
        f"\n  {' '.join(ring)}" for ring in rings
    )
    yield f"private names across modules: {len(private_across(root))}"


if __name__ == "__main__":
    import sys

    print("\n".join(show(Path(sys.argv[1]) if len(sys.argv) > 1 else ROOT)))
