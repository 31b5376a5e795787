"""The commands in new processes: all that a person or a program waits for who calls once."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from pathlib import Path

from tests.bench.demo import PATH
from tests.bench.measure import best_child, child, until
from tests.bench.rows import Row

LOAD = """
import time
import decide.consult
from decide.cli.files import knowledge_with
start = time.process_time()
knowledge_with(())
print(1000 * (time.process_time() - start))
"""


def rows() -> Iterator[Row]:
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        bare = best_child("-c", "pass", folder=folder)
        version = best_child("-m", "decide", "--version", folder=folder)
        yield Row(
            "commands.version",
            "decide --version",
            version.ms,
            beside=f"{version.ms / bare.ms:.1f} × bare Python",
        )
        talk = ("-m", "decide", "--talk", "talk.json", "--today", "2026-05-20")
        start = min(until(talk, b"Tell me", folder) for _ in range(3))
        yield Row(
            "commands.talk",
            "start of the talk to its first prompt",
            start,
            beside=f"{start / bare.ms:.1f} × bare Python",
        )
        child("-c", LOAD, folder=folder)
        load = min(float(child("-c", LOAD, folder=folder).out) for _ in range(3))
        yield Row("commands.knowledge", "knowledge read by a command", load)
        advise = best_child("-m", "decide", "advise", str(PATH), "--json", folder=folder)
        yield Row(
            "commands.advise",
            "decide advise --json, new process",
            advise.ms,
            beside=f"{advise.ms / bare.ms:.1f} × bare Python",
        )
        yield Row("commands.bytes", "its JSON", len(advise.out) / 1000, "kB")
        every = child("-m", "decide", "advise", str(PATH), "--json", "--all", folder=folder)
        yield Row(
            "commands.all-bytes", "its JSON with --all", None if every.code else len(every.out) / 1000, "kB"
        )
