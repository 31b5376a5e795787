"""Code with one mistake each, and the test that notices it: tests run on a copy of the house."""

from __future__ import annotations

import ast
import copy
import re
import shutil
import subprocess
import sys
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

HOUSE: Final = Path(__file__).parents[2]
# The rooms in which Python computes what is judged, each with the tests that are asked first, long ones too.
ROOMS: Final = {
    "decision": ("tests/decision", "tests/test_choosing.py", "tests/test_judgements.py"),
    "facts": ("tests/facts", "tests/test_judgements.py"),
    "plan": ("tests/plan", "tests/test_judgements.py"),
    "measure": ("tests/measure", "tests/test_judgements.py"),
    "answer": ("tests/answer", "tests/test_consult.py"),
}
# What is asked where they notice nothing: other rooms that lean on these, and the fast tests of the bank.
OTHERS: Final = (
    "tests/answer", "tests/facts", "tests/plan", "tests/decision", "tests/report", "tests/questions", "tests/explain",
    "tests/cases", "tests/examples/test_examples.py", "tests/published", "tests/parse", "tests/test_consult.py",
)  # fmt: skip
SECONDS: Final = 900
# What pytest ends with where nothing failed.
_PASSED: Final = 0
_FLIPPED: Final[dict[type[ast.cmpop], type[ast.cmpop]]] = {
    ast.Lt: ast.LtE, ast.LtE: ast.Lt, ast.Gt: ast.GtE, ast.GtE: ast.Gt, ast.Eq: ast.NotEq, ast.NotEq: ast.Eq,
    ast.In: ast.NotIn, ast.NotIn: ast.In, ast.Is: ast.IsNot, ast.IsNot: ast.Is,
}  # fmt: skip
_OTHER: Final = {"min": "max", "max": "min", "any": "all", "all": "any"}


@dataclass(frozen=True)
class Slip:
    """A mistake in a module: its name (where by function, what, and which of those alike), its line, and which
    node it changes and how.
    """

    root: Path
    file: str
    name: str
    what: str
    line: int
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
    for place, node in enumerate(ast.walk(tree)):
        for n, (what, _) in enumerate(_changes(node)):
            name = f"{path}: {inside.get(id(node), 'module')}: {what}"
            alike[name] += 1
            of = f" ({alike[name]})" if alike[name] > 1 else ""
            yield Slip(root, path, name + of, what, getattr(node, "lineno", 0), place, n)


def _functions(tree: ast.AST, name: str = "") -> Iterator[tuple[str, ast.AST]]:
    """Each node by the function or class it stands in."""
    for node in ast.iter_child_nodes(tree):
        named = isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef)
        inner = ".".join(filter(None, (name, node.name))) if named else name  # type: ignore[attr-defined]
        if inner:
            yield inner, node
        yield from _functions(node, inner)


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


def noticed(slip: Slip, house: Path, known: str = "") -> str:
    """The first test that fails in the copy with a slip, the known one first, then those of its room, then the
    others; "late" where they do not end in time, "" where all pass. RuntimeError where that test fails without
    the slip too.
    """
    file = house / slip.file
    right = file.read_text(encoding="utf-8")
    file.write_text(slip.text, encoding="utf-8")
    try:
        of_it = ((known,) * bool(known), ROOMS[Path(slip.file).parts[1]], OTHERS)
        found = next((test for tests in filter(None, of_it) if (test := _failing(house, tests))), "")
    finally:
        file.write_text(right, encoding="utf-8")
    if "::" in found and _failing(house, (found,)):
        raise RuntimeError(f"{found} fails without a slip too")
    return found


def still_noticed(slip: Slip, house: Path, test: str) -> bool:
    """Whether a test still fails in the copy with a slip."""
    file = house / slip.file
    right = file.read_text(encoding="utf-8")
    file.write_text(slip.text, encoding="utf-8")
    try:
        return bool(_failing(house, (test,)))
    finally:
        file.write_text(right, encoding="utf-8")


def _failing(house: Path, tests: Sequence[str]) -> str:
    command = [
        sys.executable,
        "-m",
        "pytest",
        "-n",
        "0",
        "-x",
        "-q",
        "-p",
        "no:cacheprovider",
        "--tb=no",
        "-rfE",
        *tests,
    ]
    if any("::" in test for test in tests):
        command += ["-m", "slow or not slow"]
    environment = {"PYTHONPATH": str(house), "DECIDE_KEPT": "no"}
    try:
        ran = subprocess.run(
            command, cwd=house, capture_output=True, text=True, check=False, timeout=SECONDS, env=environment
        )
    except subprocess.TimeoutExpired:
        return "late"
    if ran.returncode == _PASSED:
        return ""
    found = re.search(r"^(?:FAILED|ERROR) (tests/[^ \n]+(?:\[.*?\](?= - |$))?)", ran.stdout, re.MULTILINE)
    # Where nothing can be collected the module itself does not load.
    return found[1] if found else tests[0]
