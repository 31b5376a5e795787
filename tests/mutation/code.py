"""Code with one mistake each, and whether the tests of its room notice it: they run on a copy of the house."""

from __future__ import annotations

import ast
import copy
import shutil
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Final

HOUSE: Final = Path(__file__).parents[2]
# The rooms in which Python computes what is judged, each with the tests that run for it.
ROOMS: Final = {
    "decision": ("tests/decision", "tests/test_choosing.py", "tests/test_judgements.py"),
    "facts": ("tests/facts", "tests/test_judgements.py"),
    "plan": ("tests/plan", "tests/test_judgements.py"),
    "measure": ("tests/measure", "tests/test_judgements.py"),
    "answer": ("tests/answer", "tests/test_consult.py"),
}
SECONDS: Final = 300
# What pytest ends with where nothing failed.
_PASSED: Final = 0
_FLIPPED: Final[dict[type[ast.cmpop], type[ast.cmpop]]] = {
    ast.Lt: ast.LtE, ast.LtE: ast.Lt, ast.Gt: ast.GtE, ast.GtE: ast.Gt, ast.Eq: ast.NotEq, ast.NotEq: ast.Eq,
    ast.In: ast.NotIn, ast.NotIn: ast.In, ast.Is: ast.IsNot, ast.IsNot: ast.Is,
}  # fmt: skip
_OTHER: Final = {"min": "max", "max": "min", "any": "all", "all": "any"}


@dataclass(frozen=True)
class Slip:
    """A mistake in a module: where, what, and the module's text with it."""

    file: str
    line: int
    what: str
    text: str

    @property
    def name(self) -> str:
        return f"{self.file}:{self.line}: {self.what}"


def slips(file: Path, root: Path = HOUSE) -> Iterator[Slip]:
    """Every slip of a module: a comparison turned, + for -, min for max, one off, a `not` left out."""
    tree = ast.parse(file.read_text(encoding="utf-8"))
    for place, node in enumerate(ast.walk(tree)):
        for n, (what, _) in enumerate(_changes(node)):
            other = copy.deepcopy(tree)
            twin = next(each for at, each in enumerate(ast.walk(other)) if at == place)
            _, change = [*_changes(twin)][n]
            changed = _Put(twin, change).visit(other)
            text = ast.unparse(ast.fix_missing_locations(changed)) + "\n"
            yield Slip(file.relative_to(root).as_posix(), getattr(node, "lineno", 0), what, text)


class _Put(ast.NodeTransformer):
    """Puts one node in the place of another."""

    def __init__(self, old: ast.AST, new: ast.AST) -> None:
        self._old, self._new = old, new

    def visit(self, node: ast.AST) -> ast.AST:
        return self._new if node is self._old else super().generic_visit(node)


def _changes(node: ast.AST) -> Iterator[tuple[str, ast.AST]]:
    """What a node could be by a slip, with what the slip is called."""
    new = copy.deepcopy(node)
    if isinstance(new, ast.Compare) and len(new.ops) == 1:
        if type(new.ops[0]) in _FLIPPED:
            before = ast.unparse(node)
            new.ops = [_FLIPPED[type(new.ops[0])]()]
            yield f"{before} as {ast.unparse(new)}", new
    elif isinstance(new, ast.BinOp) and isinstance(new.op, ast.Add | ast.Sub):
        before = ast.unparse(node)
        new.op = ast.Sub() if isinstance(new.op, ast.Add) else ast.Add()
        yield f"{before} as {ast.unparse(new)}", new
    elif isinstance(new, ast.Call) and isinstance(new.func, ast.Name) and new.func.id in _OTHER:
        new.func.id = _OTHER[new.func.id]
        yield f"{ast.unparse(node)} as {new.func.id}", new
    elif isinstance(new, ast.UnaryOp) and isinstance(new.op, ast.Not):
        yield f"{ast.unparse(node)} without not", new.operand
    elif isinstance(new, ast.Constant) and type(new.value) is int:
        new.value += 1
        yield f"{ast.unparse(node)} as {new.value}", new


def all_slips() -> list[Slip]:
    """The slips of all rooms, in order."""
    return [
        slip
        for room in ROOMS
        for file in sorted((HOUSE / "decide" / room).glob("*.py"))
        for slip in slips(file)
    ]


def house_copied(into: Path) -> Path:
    """A copy of the house, in which slips are made."""
    for folder in ("decide", "knowledge", "tests"):
        shutil.copytree(HOUSE / folder, into / folder, ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copy(HOUSE / "pyproject.toml", into)
    return into


def noticed(slip: Slip, house: Path, seconds: int = SECONDS) -> bool:
    """Whether a test of the slip's room fails in the copy, or does not end in time."""
    file = house / slip.file
    right = file.read_text(encoding="utf-8")
    file.write_text(slip.text, encoding="utf-8")
    tests = ROOMS[Path(slip.file).parts[1]]
    command = [sys.executable, "-m", "pytest", "-n", "0", "-x", "-q", "-p", "no:cacheprovider", *tests]
    environment = {"PYTHONPATH": str(house), "DECIDE_KEPT": "no"}
    try:
        ran = subprocess.run(
            command, cwd=house, capture_output=True, check=False, timeout=seconds, env=environment
        )
    except subprocess.TimeoutExpired:
        return True
    finally:
        file.write_text(right, encoding="utf-8")
    return ran.returncode != _PASSED
