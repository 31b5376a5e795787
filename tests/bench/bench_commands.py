"""Prints what the commands cost, as ratios to plainer work in the same run; nothing here is asserted, for machines differ.

Run from the checkout: python tests/bench/bench_commands.py
"""

from __future__ import annotations

import os
import pty
import select
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))
ROUNDS = 7

BARE = """
import prompt_toolkit
session = prompt_toolkit.PromptSession()
print("ready", flush=True)
session.prompt("> ")
print("Noted", flush=True)
"""
LIBRARY = """
import sys
from decide.consult import Adviser
from decide.knowledge.load import read_knowledge, knowledge_folder
from decide.model.situation import read_situation
situation = read_situation((knowledge_folder() / "demo.toml").read_bytes())
adviser = Adviser(read_knowledge(), "plain")
adviser.consult(situation)
"""


def median(times: list[float]) -> float:
    return sorted(times)[len(times) // 2]


def timed(work: Callable[[], object], rounds: int = ROUNDS) -> float:
    """The median time of some rounds, in milliseconds."""
    times: list[float] = []
    for _ in range(rounds):
        start = time.perf_counter()
        work()
        times.append(1000 * (time.perf_counter() - start))
    return median(times)


def run(*words: str) -> None:
    subprocess.run(
        [sys.executable, *words], cwd=ROOT, check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
    )


def until_accepted(*words: str, wait_for: bytes, then: bytes) -> float:
    """Milliseconds from the start of a program in a terminal until an answer at its first prompt has been taken."""
    start = time.perf_counter()
    pid, fd = pty.fork()
    if pid == 0:
        os.chdir(ROOT)
        os.environ["TERM"] = "xterm"
        os.execv(sys.executable, [sys.executable, *words])
    seen, sent = b"", False
    end = time.monotonic() + 20
    while time.monotonic() < end:
        if select.select([fd], [], [], 0.05)[0]:
            try:
                piece = os.read(fd, 65536)
            except OSError:
                break
            seen += piece
            if b"\x1b[6n" in piece:
                os.write(fd, b"\x1b[1;1R")
        if not sent and wait_for in seen:
            os.write(fd, b"none\r")
            sent, seen = True, b""
        elif sent and then in seen:
            break
    spent = 1000 * (time.perf_counter() - start)
    os.close(fd)
    os.waitpid(pid, 0)
    return spent


def main() -> None:
    # Installed packages have their bytecode; the checkout is to be measured with its own.
    os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
    from decide.consult import Adviser
    from decide.engine.durable import available
    from decide.knowledge.load import knowledge_folder, read_knowledge
    from decide.model.reading import read_situation

    version, bare = timed(lambda: run("-m", "decide", "--version")), timed(lambda: run("-c", "pass"))
    print(f"decide --version: {version:.0f} ms, {version / bare:.1f} x the bare interpreter ({bare:.0f} ms)")

    with tempfile.TemporaryDirectory() as folder:

        def talk() -> float:
            path = Path(folder) / "talk.json"
            path.unlink(missing_ok=True)
            return until_accepted("-m", "decide", "--talk", str(path), wait_for=b"dangerous", then=b"Noted")

        ours = median([talk() for _ in range(ROUNDS)])
    theirs = median([until_accepted("-c", BARE, wait_for=b"ready", then=b"Noted") for _ in range(ROUNDS)])
    print(
        f"start to the first answer accepted: {ours:.0f} ms, {ours / theirs:.2f} x the bare prompt library ({theirs:.0f} ms); wanted at most 1.5 x"
    )

    cold, library = timed(lambda: run("-m", "decide", "demo", "--quick")), timed(lambda: run("-c", LIBRARY))
    print(
        f"cold advice: {cold:.0f} ms, {cold / library:.2f} x interpreter, imports, knowledge and one plain consultation ({library:.0f} ms)"
    )

    print(f"the same with missing answers tried: {timed(lambda: run('-m', 'decide', 'demo'), 3):.0f} ms")
    knowledge = read_knowledge()
    situation = read_situation((knowledge_folder() / "demo.toml").read_bytes())
    names = ["plain", "both"] if available() else ["plain"]
    found: dict[str, float] = {}
    for name in names:
        adviser = Adviser(knowledge, name)  # type: ignore[arg-type]
        adviser.consult(situation)
        found[name] = timed(lambda adviser=adviser: adviser.consult(situation))
        adviser.close()
    line = ", ".join(f"{name} {ms:.0f} ms" for name, ms in found.items())
    print(f"one consultation, warm: {line}")
    if "both" in found:
        print(f"both engines: {found['both'] / found['plain']:.2f} x plain alone; wanted at most 1.3 x")
    print(f"reading the knowledge: {timed(read_knowledge, 3):.0f} ms")


if __name__ == "__main__":
    main()
