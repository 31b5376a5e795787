"""The command `many` with real advice: killed and gone on with, on more cores and on a cluster, it gives the same bytes."""

from __future__ import annotations

import datetime as dt
import json
import os
import signal
import subprocess
import sys
import time
import tomllib
from functools import partial
from pathlib import Path
from typing import Any

import pytest

from decide.__main__ import main
from decide.knowledge.load import knowledge_folder
from decide.many.batch import Told, run
from decide.many.line import LineJudge, Record, Setting
from decide.many.records import BatchError
from tests.many import makers

ROOT = Path(__file__).parents[2]
DAY = dt.date(2026, 5, 12)
BAD = b'{"zone": 5}\n{"place": {"name": "York", "name": "York"}}\n'


def situations(every: int) -> bytes:
    """Lines of the case bank, one of so many, and two bad ones among them."""
    lines = []
    for path in sorted((knowledge_folder() / "cases").glob("*.toml"))[::every]:
        told: dict[str, Any] = tomllib.loads(path.read_text(encoding="utf-8"))["situation"]
        lines.append(json.dumps({"id": path.stem, **told}, default=str).encode() + b"\n")
    return b"".join([*lines[:3], BAD, *lines[3:]])


def command(*words: str | Path) -> list[str]:
    return [sys.executable, "-m", "decide", "many", *map(str, words), "--today", "2026-05-12"]


def in_one_process(source: Path) -> bytes:
    judge = LineJudge(Setting(DAY, engines="plain"))
    return b"".join(judge(Record(n, line)) for n, line in enumerate(source.read_bytes().splitlines(), 1))


@pytest.mark.slow
def test_command(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "in.csv").write_text("id,place.name,field.area_m2\n\n1,York,x\n", encoding="utf-8")
    out = tmp_path / "out.jsonl"
    monkeypatch.setattr(
        sys, "argv", ["decide", "many", str(tmp_path / "in.csv"), str(out), "--today", "2026-05-12"]
    )
    assert main() == 1
    assert json.loads(out.read_text(encoding="utf-8")) == {
        "line": 3,
        "ok": False,
        "id": "1",
        "error": [
            {
                "where": "line 3",
                "wrong": "field.area_m2: 'x' is not a number",
                "instead": "Write a plain number; the unit stands in the key's name",
            }
        ],
    }
    assert capfd.readouterr().err.startswith("1 line: 0 with advice, 1 bad (line 3).")
    assert main() == 1
    assert "is there already. Write --again" in capfd.readouterr().err


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (("in.txt", "out.jsonl"), 1, "the ending does not say what this is"),
        (("in.jsonl", "out.jsonl", "--cores", "2", "--cluster", "a"), 2, "--cores and --cluster"),
        (("in.jsonl", "out.jsonl", "--cores", "0"), 2, "--cores is a whole number"),
        (("in.jsonl", "out.jsonl", "--engine", "durable"), 2, "--engine is both or plain"),
        (("in.jsonl",), 2, "many takes input and output"),
        (("gone.jsonl", "out.jsonl"), 1, "gone.jsonl: No such file"),
    ],
)
def test_wrong_words(
    words: tuple[str, ...],
    code: int,
    said: str,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.setattr(sys, "argv", ["decide", "many", *words])
    assert main() == code
    assert said in capsys.readouterr().err


@pytest.mark.slow
def test_killed_again_and_again_it_loses_nothing_and_does_nothing_twice(tmp_path: Path) -> None:
    source, out = tmp_path / "in.jsonl", tmp_path / "out.jsonl"
    source.write_bytes(situations(24))
    part = tmp_path / "out.jsonl.part"
    words = command(source, out, "--cores", "2", "--engine", "plain")
    for _ in range(3):
        before = part.stat().st_size if part.exists() else 0
        process = subprocess.Popen(words, cwd=ROOT, stderr=subprocess.DEVNULL)
        while process.poll() is None and not (part.exists() and part.stat().st_size > before + 5_000):
            time.sleep(0.02)
        process.send_signal(signal.SIGKILL)
        process.wait()
    assert part.exists()
    with part.open("ab") as file:
        file.write(b'{"line":')
    done = subprocess.run(words, cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 1
    assert "were done before" in done.stderr
    assert "2 bad (" in done.stderr or "2 bad." in done.stderr
    assert out.read_bytes() == in_one_process(source)


@pytest.mark.slow
def test_one_core_and_two_give_the_same_bytes(tmp_path: Path) -> None:
    source = tmp_path / "in.jsonl"
    source.write_bytes(situations(30))
    found = set()
    for cores in ("1", "2"):
        words = command(source, "-", "--cores", cores, "--engine", "plain")
        found.add(subprocess.run(words, cwd=ROOT, capture_output=True, check=False).stdout)
    assert found == {in_one_process(source)}


@pytest.mark.slow
def test_a_cluster_gives_the_same_bytes_though_a_worker_is_killed(tmp_path: Path) -> None:
    distributed = pytest.importorskip("distributed")
    source, out = tmp_path / "in.jsonl", tmp_path / "out.jsonl"
    source.write_bytes(situations(24))
    killed = []
    with distributed.LocalCluster(
        n_workers=2, threads_per_worker=1, processes=True, host="127.0.0.1", dashboard_address=None
    ) as cluster:
        pids = [nanny.pid for nanny in cluster.workers.values()]

        def tell(far: Any) -> None:
            if far.done == 3 and not killed:
                killed.append(pids[0])
                os.kill(pids[0], signal.SIGKILL)

        told = Told(
            str(source), str(out), "jsonl", "jsonl", Setting(DAY, engines="plain"),
            cluster=cluster.scheduler_address,
        )  # fmt: skip
        far = run(told, sys.stdin.buffer, sys.stdout.buffer, tell)
        assert killed
        assert far.bad == 2
        assert out.read_bytes() == in_one_process(source)

        # A line that ends whoever works on it is called bad, and those beside it are not.
        source.write_bytes(b"a\n" * 5 + b'{"id":"x","y":"die"}\n' + b"b\n" * 5)
        far = run(
            Told(str(source), str(out), "jsonl", "jsonl", told.setting, cluster=told.cluster, again=True),
            sys.stdin.buffer, sys.stdout.buffer, lambda _: None, makers.Echo,
        )  # fmt: skip
        assert (far.done, far.bad, far.named) == (11, 1, (6,))
        with pytest.raises(BatchError, match="no knowledge"):
            run(
                Told(str(source), str(out), "jsonl", "jsonl", told.setting, cluster=told.cluster, again=True),
                sys.stdin.buffer, sys.stdout.buffer, lambda _: None, partial(makers.never),
            )  # fmt: skip


def test_a_cluster_that_does_not_answer_is_said(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    pytest.importorskip("distributed")
    monkeypatch.setattr("decide.many.cluster._SECONDS_TO_FIND", 0.2)
    told = Told("-", "-", "jsonl", "jsonl", Setting(DAY), cluster="tcp://127.0.0.1:1")
    with pytest.raises(BatchError, match=r"--cluster tcp://127.0.0.1:1: no cluster answers there"):
        run(told, sys.stdin.buffer, sys.stdout.buffer, lambda _: None, makers.Echo)


def test_a_cluster_needs_its_library(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "distributed", None)
    told = Told("-", "-", "jsonl", "jsonl", Setting(DAY), cluster="tcp://127.0.0.1:1")
    with pytest.raises(BatchError, match=r"pip install 'decide-turf\[cluster\]'"):
        run(told, sys.stdin.buffer, sys.stdout.buffer, lambda _: None, makers.Echo)
