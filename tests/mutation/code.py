"""Code with one mistake each, and the test that notices it: tests run on a copy of the house."""

from __future__ import annotations

import ast
import copy
import importlib.util
import random
import re
import shutil
import subprocess
import sys
from collections import Counter
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from tests.mutation.passing import Passing

HOUSE: Final = Path(__file__).parents[2]
# The rooms in which Python computes what is judged, each with its own tests.
ROOMS: Final = {
    "decision": ("tests/decision", "tests/test_choosing.py", "tests/test_judgements.py"),
    "facts": ("tests/facts", "tests/test_judgements.py"),
    "plan": ("tests/plan", "tests/test_judgements.py"),
    "measure": ("tests/measure", "tests/test_judgements.py"),
    "answer": ("tests/answer", "tests/test_consult.py"),
}
# All whose fast tests are asked: those rooms, others that lean on them, and the bank.
TESTS: Final = (
    "tests/answer", "tests/decision", "tests/facts", "tests/measure", "tests/plan", "tests/report", "tests/explain",
    "tests/cases", "tests/published", "tests/test_choosing.py", "tests/test_consult.py", "tests/test_judgements.py",
)  # fmt: skip
# How many of them are asked first, and how long one alone and many together may take.
FIRST: Final = 25
SECONDS_OF_ONE: Final = 60
SECONDS: Final = 1800
_TEST: Final = r"(tests/[^ \n\[]+(?:\[.*?\](?= |$))?)"
# What pytest ends with where nothing failed.
_PASSED: Final = 0
_FLIPPED: Final[dict[type[ast.cmpop], type[ast.cmpop]]] = {
    ast.Lt: ast.LtE, ast.LtE: ast.Lt, ast.Gt: ast.GtE, ast.GtE: ast.Gt, ast.Eq: ast.NotEq, ast.NotEq: ast.Eq,
    ast.In: ast.NotIn, ast.NotIn: ast.In, ast.Is: ast.IsNot, ast.IsNot: ast.Is,
}  # fmt: skip
_OTHER: Final = {"min": "max", "max": "min", "any": "all", "all": "any"}


@dataclass(frozen=True)
class Slip:
    """A mistake in a module: its name (where by function, what, and which of those alike), its line, the lines of
    the statement around it, and which node it changes and how.
    """

    root: Path
    file: str
    name: str
    what: str
    line: int
    lines: range
    node: int
    change: int

    @property
    def text(self) -> str:
        """The text of the module with the mistake."""
        tree = ast.parse((self.root / self.file).read_text(encoding="utf-8"))
        node = next(each for at, each in enumerate(ast.walk(tree)) if at == self.node)
        _, change = [*_changes(node)][self.change]
        return ast.unparse(ast.fix_missing_locations(_Put(node, change).visit(tree))) + "\n"


def slips(file: Path, root: Path = HOUSE) -> Iterator[Slip]:
    """Every slip of a module: a comparison turned, + for -, min for max, one off, a `not` left out."""
    tree = ast.parse(file.read_text(encoding="utf-8"))
    path, alike = file.relative_to(root).as_posix(), Counter[str]()
    inside = {id(node): name for name, node in _functions(tree)}
    around = dict(_statements(tree))
    for place, node in enumerate(ast.walk(tree)):
        for n, (what, _) in enumerate(_changes(node)):
            name = f"{path}: {inside.get(id(node), 'module')}: {what}"
            alike[name] += 1
            of = f" ({alike[name]})" if alike[name] > 1 else ""
            yield Slip(
                root,
                path,
                name + of,
                what,
                getattr(node, "lineno", 0),
                around.get(id(node), range(0)),
                place,
                n,
            )


def _functions(tree: ast.AST, name: str = "") -> Iterator[tuple[str, ast.AST]]:
    """Each node by the function or class it stands in."""
    for node in ast.iter_child_nodes(tree):
        named = isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef)
        inner = ".".join(filter(None, (name, node.name))) if named else name  # type: ignore[attr-defined]
        if inner:
            yield inner, node
        yield from _functions(node, inner)


def _statements(tree: ast.AST, lines: range = range(0)) -> Iterator[tuple[int, range]]:
    """The lines of the statement in which each node stands: of one that holds others those of its head."""
    for node in ast.iter_child_nodes(tree):
        inner = lines
        if isinstance(node, ast.stmt):
            body = getattr(node, "body", None)
            last = max(node.lineno, body[0].lineno - 1) if body else node.end_lineno or node.lineno
            inner = range(node.lineno, last + 1)
        yield id(node), inner
        yield from _statements(node, inner)


class _Put(ast.NodeTransformer):
    """Puts one node in the place of another."""

    def __init__(self, old: ast.AST, new: ast.AST) -> None:
        self._old, self._new = old, new

    def visit(self, node: ast.AST) -> ast.AST:
        return self._new if node is self._old else super().generic_visit(node)


def _changes(node: ast.AST) -> Iterator[tuple[str, ast.AST]]:
    """What a node could be by a slip, with what the slip is called."""
    if isinstance(node, ast.Compare) and len(node.ops) == 1 and type(node.ops[0]) in _FLIPPED:
        flipped = copy.deepcopy(node)
        flipped.ops = [_FLIPPED[type(node.ops[0])]()]
        yield f"{ast.unparse(node)} as {ast.unparse(flipped)}", flipped
    elif isinstance(node, ast.BinOp) and isinstance(node.op, ast.Add | ast.Sub):
        turned = copy.deepcopy(node)
        turned.op = ast.Sub() if isinstance(node.op, ast.Add) else ast.Add()
        yield f"{ast.unparse(node)} as {ast.unparse(turned)}", turned
    elif isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in _OTHER:
        other = copy.deepcopy(node)
        other.func = ast.Name(_OTHER[node.func.id], ast.Load())
        yield f"{ast.unparse(node)} as {_OTHER[node.func.id]}", other
    elif isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.Not):
        yield f"{ast.unparse(node)} without not", node.operand
    elif isinstance(node, ast.Constant) and type(node.value) is int:
        yield f"{ast.unparse(node)} as {node.value + 1}", ast.Constant(node.value + 1)


def all_slips() -> list[Slip]:
    """The slips of all rooms, in order."""
    return [
        slip
        for room in ROOMS
        for file in sorted((HOUSE / "decide" / room).glob("*.py"))
        for slip in slips(file)
    ]


def sampled(made: Sequence[Slip], count: int, seed: int) -> list[Slip]:
    """So many of the slips by lot. Each has its own lot by its name: where the code changes the others stay."""
    return sorted(made, key=lambda slip: random.Random(f"{seed} {slip.name}").random())[:count]


def house_copied(into: Path) -> Path:
    """A copy of the house, in which slips are made."""
    for folder in ("decide", "knowledge", "tests"):
        shutil.copytree(HOUSE / folder, into / folder, ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copy(HOUSE / "pyproject.toml", into)
    return into


def noticed(slip: Slip, house: Path, passing: Passing, known: str = "") -> str:
    """The first test that fails in the copy with a slip: the known one, then those that pass by its line, and where
    these are few (it runs at the import, or once for many tests) those of its room; "" where all pass.
    """
    if known and still_noticed(slip, house, known) and all_pass(house, [known]):
        return known
    near = passing.by(slip.file, slip.lines)
    room = ROOMS[Path(slip.file).parts[1]] if len(near) < FIRST else ()
    with _made(slip, house):
        asked = filter(None, (near[:FIRST], near[FIRST:], room))
        return next((test for tests in asked if (test := _failing(house, tests))), "")


def still_noticed(slip: Slip, house: Path, test: str) -> bool:
    """Whether a test still fails in the copy with a slip."""
    with _made(slip, house):
        return not all_pass(house, [test])


def all_pass(house: Path, tests: Sequence[str]) -> bool:
    """Whether the tests are there and pass."""
    return not _failing(house, tests)


@contextmanager
def _made(slip: Slip, house: Path) -> Iterator[None]:
    """The copy with a slip."""
    file = house / slip.file
    right = file.read_text(encoding="utf-8")
    _written(file, slip.text)
    try:
        yield
    finally:
        _written(file, right)


def _written(file: Path, text: str) -> None:
    """A module anew, without what was compiled of it: of two of one length, written within a second, Python would
    run the first.
    """
    file.write_text(text, encoding="utf-8")
    Path(importlib.util.cache_from_source(str(file))).unlink(missing_ok=True)


def _failing(house: Path, tests: Sequence[str]) -> str:
    """The first of the tests that fails or does not end in time, "" where all pass."""
    command = [
        sys.executable,
        "-m",
        "pytest",
        "-n",
        "0",
        "-x",
        "-vv",
        "-p",
        "no:cacheprovider",
        "--tb=no",
        "-rfE",
    ]
    command += ["--hypothesis-seed=0", *tests]
    if any("::" in test for test in tests):
        command += ["-m", "slow or not slow"]
    environment = {"PYTHONPATH": str(house), "DECIDE_KEPT": "no", "PYTHONHASHSEED": "0"}
    seconds = SECONDS_OF_ONE if len(tests) == 1 and "::" in tests[0] else SECONDS
    try:
        ran = subprocess.run(
            command, cwd=house, capture_output=True, text=True, check=False, timeout=seconds, env=environment
        )
    except subprocess.TimeoutExpired as late:
        # The last one begun is the one that does not end.
        begun = re.findall(rf"^{_TEST}", (late.stdout or b"").decode(), re.MULTILINE)
        return begun[-1] if begun else tests[0]
    if ran.returncode == _PASSED:
        return ""
    found = re.search(rf"^(?:FAILED|ERROR) {_TEST}", ran.stdout, re.MULTILINE)
    # Where nothing can be collected the module itself does not load.
    return found[1] if found else tests[0]
