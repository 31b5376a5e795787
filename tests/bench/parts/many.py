"""Fields a second where many are judged at once, over fields of the case bank."""

from __future__ import annotations

import json
import tempfile
import time
import tomllib
from collections.abc import Iterator, Sequence
from pathlib import Path

from decide.cli.table import COMMANDS
from decide.knowledge.load import knowledge_folder
from tests.bench.measure import best_child, child
from tests.bench.rows import Row

FEW, MANY = 8, 56
WORKERS = ("--workers", "--processes", "--cores", "--jobs")


def lines(count: int) -> bytes:
    """So many fields of the case bank, evenly over it, as JSON Lines."""
    paths = sorted((knowledge_folder() / "cases").glob("*.toml"))
    picked = [paths[n * len(paths) // count] for n in range(count)]
    tables = [tomllib.loads(path.read_text(encoding="utf-8"))["situation"] for path in picked]
    return b"".join(json.dumps(each, default=str).encode() + b"\n" for each in tables)


def _run(folder: Path, name: str, *more: str) -> Sequence[str]:
    out = folder / f"{name}.out.jsonl"
    out.unlink(missing_ok=True)
    return ("-m", "decide", "many", str(folder / f"{name}.jsonl"), str(out), "--again", *more)


def rows() -> Iterator[Row]:
    fields = cores = None
    if "many" in COMMANDS:
        workers = next((o.name for o in COMMANDS["many"].options if o.name in WORKERS), "")
        with tempfile.TemporaryDirectory() as name:
            folder = Path(name)
            for title, count in (("few", FEW), ("many", MANY)):
                (folder / f"{title}.jsonl").write_bytes(lines(count))
            one = (workers, "1") if workers else ()
            few = best_child(*_run(folder, "few", *one), folder=folder, rounds=1)
            some = best_child(*_run(folder, "many", *one), folder=folder, rounds=1)
            fields = (MANY - FEW) / ((some.ms - few.ms) / 1000)
            if workers:
                took = {}
                for count in ("1", "2"):
                    start = time.perf_counter()
                    child(*_run(folder, "many", workers, count), folder=folder)
                    took[count] = time.perf_counter() - start
                cores = took["1"] / took["2"]
    yield Row(
        "many.fields",
        "decide many, short advice: fields a second and core",
        fields,
        "/s",
        f"{MANY} fields of the case bank",
    )
    yield Row("many.cores", "decide many, two processes beside one, by the clock", cores, "×")
