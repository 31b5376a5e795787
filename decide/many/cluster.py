"""The lines of a batch judged by a Dask cluster that is there already; a worker that dies is made good."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator
from types import TracebackType
from typing import Any, Final

from decide.many.line import Failed, MadeWith, MakeJudge, Record, killed
from decide.many.records import BatchError

_AHEAD: Final = 4
_SECONDS_TO_FIND: Final = 20
# Dask gives a line up when its workers died some times; one that only stood beside the one at fault is
# tried again.
_MOST_TRIES: Final = 2


class Cluster:
    """The workers of a cluster, used as `Crew` uses processes."""

    def __init__(self, make: MakeJudge, address: str) -> None:
        try:
            import distributed

            from decide.many import worker
        except ImportError:
            raise BatchError(
                "--cluster needs the library distributed, which is not installed here",
                instead="Install it with: pip install 'decide-turf[cluster]'. Or leave --cluster out",
            ) from None
        self._library: Any = distributed
        self._worker = worker
        self._make, self._address = make, address
        self._client: Any = None
        self.made_with: MadeWith | None = None

    def __enter__(self) -> Cluster:
        try:
            self._client = self._library.Client(
                self._address, timeout=_SECONDS_TO_FIND, set_as_default=False, name="decide"
            )
        except (OSError, ValueError, TimeoutError) as error:
            raise BatchError(
                f"no cluster answers there: {str(error)[:120]}",
                where=f"--cluster {self._address}",
                instead="Write the address of its scheduler, as tcp://127.0.0.1:8786",
            ) from None
        try:
            self._client.register_plugin(self._worker.WorkerJudge(self._make))
            self.made_with = self._result(self._client.submit(self._worker.made_with, pure=False))
        except BaseException:
            self._client.close()
            raise
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._client.close()

    def judged(self, records: Iterator[Record]) -> Iterator[bytes]:
        """The line for each record, in the order of the records, of which only a few are read ahead."""
        under_way: deque[tuple[Record, Any]] = deque()
        ended = False
        while True:
            while not ended and len(under_way) < self._most():
                record = next(records, None)
                if record is None:
                    ended = True
                else:
                    under_way.append((record, self._submit(record)))
            if not under_way:
                return
            yield self._line(*under_way.popleft())

    def _most(self) -> int:
        return int(_AHEAD * max(1, sum(self._client.nthreads().values())))

    def _submit(self, record: Record) -> Any:
        return self._client.submit(self._worker.line, record, self.made_with, pure=False)

    def _line(self, record: Record, future: Any) -> bytes:
        for tried in range(1, _MOST_TRIES + 1):
            try:
                found: bytes = self._result(future)
                return found
            except self._library.KilledWorker:
                if tried < _MOST_TRIES:
                    future = self._submit(record)
        return killed(record)

    def _result(self, future: Any) -> Any:
        try:
            found = future.result()
        except self._library.KilledWorker:
            raise
        except Exception as error:
            # Whatever the cluster's own machinery says of a lost scheduler, it is no fault of the line.
            raise BatchError(
                f"the cluster failed: {type(error).__name__}: {str(error)[:120]}",
                where=f"--cluster {self._address}",
                instead="The same command goes on where it stopped",
            ) from None
        if isinstance(found, Failed):
            raise BatchError(found.wrong, where=found.where, instead=found.instead)
        return found
