"""The README's own commands and outputs hold: run with --write to put today's outputs in.

python tests/test_readme.py --write
"""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
README = ROOT / "README.md"
BLOCK = re.compile(r"<!-- (output|screen): (.+?) -->\n```text\n(.*?)```\n", re.S)


def real(kind: str, what: str) -> str:
    """What the block should hold: the output of a command, or a checked screen."""
    if kind == "screen":
        return (ROOT / what).read_text(encoding="utf-8").rstrip() + "\n"
    done = subprocess.run(
        [sys.executable, "-m", "decide", *what.split()], capture_output=True, cwd=ROOT, check=True
    )
    return done.stdout.decode()


def agreed(text: str) -> str:
    """The text without the line that counts engines: where one cannot be built the README still holds."""
    return "\n".join(line for line in text.split("\n") if not line.startswith("Knowledge version"))


@pytest.mark.slow
def test_outputs_are_today_s() -> None:
    blocks = BLOCK.findall(README.read_text(encoding="utf-8"))
    assert len(blocks) >= 2
    for kind, what, held in blocks:
        assert agreed(held) == agreed(real(kind, what)), (
            f"{what} has changed: python tests/test_readme.py --write"
        )


@pytest.mark.slow
def test_python_example_runs() -> None:
    code = re.findall(r"```python\n(.*?)```", README.read_text(encoding="utf-8"), re.S)
    assert code
    for block in code:
        done = subprocess.run(
            [sys.executable, "-c", block], capture_output=True, text=True, cwd=ROOT, check=True
        )
        assert done.stdout.strip()


def test_first_paragraph_states_the_job() -> None:
    first = README.read_text(encoding="utf-8").split("\n\n")[1]
    for word in ("responsible", "worn", "playable turf by a date", "water, machines, hands and money"):
        assert word in first


def test_test_command_is_what_ci_calls() -> None:
    assert "python -m pytest" in README.read_text(encoding="utf-8")
    assert "python -m pytest\n" in (ROOT / ".ci" / "run").read_text(encoding="utf-8")


if __name__ == "__main__" and "--write" in sys.argv:
    text = README.read_text(encoding="utf-8")
    new = BLOCK.sub(lambda m: f"<!-- {m[1]}: {m[2]} -->\n```text\n{real(m[1], m[2])}```\n", text)
    README.write_text(new, encoding="utf-8")
