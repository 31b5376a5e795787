"""What runs on the workers of a Dask cluster; only there and in `cluster` is the library distributed seen."""

from __future__ import annotations

import threading
from typing import Any, Final

from distributed import WorkerPlugin, get_worker

from decide.many.line import Failed, Judge, MadeWith, MakeJudge, Record
from decide.model.errors import DecideError

NAME: Final = "decide-many"


class WorkerJudge(WorkerPlugin):
    """What a worker keeps between lines: its judge, made when the first line comes."""

    name = NAME

    def __init__(self, make: MakeJudge) -> None:
        self._make = make
        self._judge: Judge | None = None
        self._one_at_a_time: Any = None

    def setup(self, worker: object) -> None:
        """Called by the cluster where the worker begins, or begins again."""
        del worker
        self._one_at_a_time = threading.Lock()

    def teardown(self, worker: object) -> None:
        """Called by the cluster where the worker ends."""
        del worker
        if self._judge is not None:
            self._judge.close()

    def made_with(self) -> MadeWith:
        """What the advice of this worker is made with."""
        with self._one_at_a_time:
            return self._held().made_with

    def line(self, record: Record, made_with: MadeWith) -> bytes | Failed:
        """The line for a record; Failed where this worker has another program or knowledge."""
        with self._one_at_a_time:
            judge = self._held()
            if judge.made_with != made_with:
                return Failed(
                    f"the workers of the cluster differ: {_said(made_with)} and {_said(judge.made_with)}",
                    instead="Install the same version, engines and knowledge on each",
                )
            return judge(record)

    def _held(self) -> Judge:
        if self._judge is None:
            self._judge = self._make()
        return self._judge


def made_with() -> MadeWith | Failed:
    """What the worker's advice is made with; Failed where its knowledge cannot be read."""
    try:
        return _judge_here().made_with()
    except DecideError as error:
        return Failed(error.wrong, error.where, error.instead)


def line(record: Record, made_with: MadeWith) -> bytes | Failed:
    """The line for a record."""
    try:
        return _judge_here().line(record, made_with)
    except DecideError as error:
        return Failed(error.wrong, error.where, error.instead)


def _judge_here() -> WorkerJudge:
    found: WorkerJudge = get_worker().plugins[NAME]
    return found


def _said(made_with: MadeWith) -> str:
    return f"{made_with.version} {made_with.digest} ({', '.join(made_with.engines)})"
