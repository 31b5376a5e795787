"""Processes that judge the lines of a batch on all cores; one that dies is replaced, its line done again."""

from __future__ import annotations

import gc
import multiprocessing as mp
import signal
from collections import deque
from collections.abc import Iterator
from dataclasses import dataclass
from multiprocessing.connection import Connection, wait
from types import TracebackType
from typing import Any, Final

from decide.many.line import Failed, MadeWith, MakeJudge, Record, killed
from decide.many.records import BatchError
from decide.model.errors import DecideError

MOST_DEATHS: Final = 2
"""So often a line may end the process that works on it before it is called bad."""
_MOST_FAILED_STARTS: Final = 3
_AHEAD: Final = 16
_SECONDS_TO_END: Final = 5


@dataclass
class _Job:
    at: int
    record: Record
    deaths: int = 0


class _Worker:
    """One process, with the job that it was given."""

    def __init__(self, make: MakeJudge) -> None:
        # Spawned and not forked, so that it is the same on every system and holds no file of ours open.
        context = mp.get_context("spawn")
        self.connection, theirs = context.Pipe()
        self.process = context.Process(target=_work, args=(theirs, make), daemon=True)
        self.process.start()
        theirs.close()
        self.ready = False
        self.job: _Job | None = None

    def end(self, *, at_once: bool) -> None:
        """Let it end: of itself when it finds nobody at the other end, or at once."""
        self.connection.close()
        if at_once:
            self.process.kill()
        self.process.join(_SECONDS_TO_END)
        if self.process.is_alive():
            self.process.kill()
            self.process.join()


class Crew:
    """So many processes with a judge each. `made_with` is known once the first is ready; BatchError or the
    error of the knowledge where none can be.
    """

    def __init__(self, make: MakeJudge, cores: int) -> None:
        self._make = make
        self._failed_starts = 0
        self._workers: list[_Worker] = []
        self.made_with: MadeWith | None = None
        self._again: deque[_Job] = deque()
        self._done: dict[int, bytes] = {}
        self._cores = cores

    def __enter__(self) -> Crew:
        try:
            self._workers += [_Worker(self._make) for _ in range(self._cores)]
            while self.made_with is None:
                self._hear()
        except BaseException:
            self._end(at_once=True)
            raise
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._end(at_once=kind is not None)

    def judged(self, records: Iterator[Record]) -> Iterator[bytes]:
        """The line for each record, in the order of the records, of which only a few are read ahead."""
        given = written = 0
        ended = False
        while True:
            while written in self._done:
                yield self._done.pop(written)
                written += 1
            for worker in [each for each in self._workers if each.ready and each.job is None]:
                job = self._again.popleft() if self._again else None
                if job is None and not ended and given - written < _AHEAD * self._cores:
                    record = next(records, None)
                    ended = record is None
                    if record is not None:
                        job = _Job(given, record)
                        given += 1
                if job is None:
                    break
                self._give(worker, job)
            if ended and written == given:
                return
            if written not in self._done:
                self._hear()

    def _give(self, worker: _Worker, job: _Job) -> None:
        worker.job = job
        try:
            worker.connection.send(job.record)
        except OSError:
            self._bury(worker)

    def _hear(self) -> None:
        """Take what the processes have to say, once one has."""
        by_connection: dict[Any, _Worker] = {
            each.connection: each for each in self._workers if not each.ready or each.job is not None
        }
        for connection in wait(list(by_connection)):
            worker = by_connection[connection]
            try:
                said = worker.connection.recv()
            except (EOFError, OSError):
                self._bury(worker)
                continue
            if isinstance(said, Failed):
                raise BatchError(said.wrong, where=said.where, instead=said.instead)
            if isinstance(said, MadeWith):
                worker.ready, self.made_with, self._failed_starts = True, said, 0
            elif worker.job is not None:
                self._done[worker.job.at] = said
                worker.job = None

    def _bury(self, worker: _Worker) -> None:
        """Put a new process in the place of one that died, and its job back."""
        worker.end(at_once=True)
        if not worker.ready:
            self._failed_starts += 1
            if self._failed_starts >= _MOST_FAILED_STARTS:
                raise BatchError(
                    f"the processes end before they begin (exit code {worker.process.exitcode})",
                    instead="Give fewer with --cores; each needs about 300 MB of memory",
                )
        if (job := worker.job) is not None:
            job.deaths += 1
            if job.deaths >= MOST_DEATHS:
                self._done[job.at] = killed(job.record)
            else:
                self._again.appendleft(job)
        self._workers[self._workers.index(worker)] = _Worker(self._make)

    def _end(self, *, at_once: bool) -> None:
        for worker in self._workers:
            worker.connection.close()
        for worker in self._workers:
            worker.end(at_once=at_once)


def _work(connection: Connection, make: MakeJudge) -> None:
    """What a process does: make its judge once, then line after line until nobody asks."""
    # The first process decides what an interrupt from the keyboard means.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    try:
        judge = make()
    except DecideError as error:
        connection.send(Failed(error.wrong, error.where, error.instead))
        return
    # What was read stays to the end: no need to look through it for rubbish after every few lines.
    gc.collect()
    gc.freeze()
    try:
        connection.send(judge.made_with)
        while True:
            connection.send(judge(connection.recv()))
    except (EOFError, OSError):
        return
    finally:
        judge.close()
