"""The work of a batch kept beside its output, so that it goes on after a stop without doing a line twice or
losing one.
"""

from __future__ import annotations

import contextlib
import json
import os
import re
from collections.abc import Mapping
from pathlib import Path
from types import TracebackType
from typing import Any, BinaryIO, Final

from decide.many.line import GOOD
from decide.many.records import BatchError
from decide.model.files import write_whole

_PIECE: Final = 1 << 20
_HEAD: Final = re.compile(rb'\{"line":(\d+)(,"ok":true|,"ok":false)')


class Kept:
    """The lines that are done, in `OUT.part`, and in `OUT.part.json` what they belong to: the input by its
    size and hash, the weather that its lines name, the program and knowledge, the day, units.

    A line is done when it is whole: what a stop tore off is cut.
    """

    def __init__(self, out: Path) -> None:
        self.out = out
        self.lines = out.with_name(f"{out.name}.part")
        self.belongs = out.with_name(f"{out.name}.part.json")
        self._file: BinaryIO | None = None
        self.done = self.bad = self.last = 0

    @property
    def told(self) -> Mapping[str, Any]:
        """What the lines that are there belong to; empty where there are none."""
        try:
            held = json.loads(self.belongs.read_bytes())
        except FileNotFoundError:
            return {}
        except (OSError, ValueError) as error:
            raise BatchError(
                f"cannot be read: {error}", where=str(self.belongs), instead="Write --again to begin anew"
            ) from None
        return held if isinstance(held, dict) else {}

    def check(self, *, again: bool) -> None:
        """BatchError where the output is there already, or lines of which nothing says what they belong to;
        with `again` what is there is taken away.
        """
        if again:
            try:
                self.belongs.unlink(missing_ok=True)
                self.lines.unlink(missing_ok=True)
            except OSError as error:
                raise BatchError(
                    f"it cannot be taken away: {(error.strerror or 'unknown trouble').lower()}",
                    where=str(self.lines),
                    instead="Write another name",
                ) from None
            return
        if self.belongs.exists() and self.lines.exists():
            return
        if self.out.exists():
            # The last stop came when only this was left to be taken away.
            self.belongs.unlink(missing_ok=True)
            raise BatchError(
                "this is there already",
                where=str(self.out),
                instead="Write --again to do it anew, or another name",
            )
        if not self.belongs.exists() and self.lines.exists() and self.lines.stat().st_size:
            raise BatchError(
                "nothing says what these lines belong to",
                where=str(self.lines),
                instead="Write --again to do them anew",
            )

    def open(self, belongs: Mapping[str, Any]) -> None:
        """Go on after the last whole line, or begin; BatchError where what is done belongs to something
        else, naming it.
        """
        self.compare(belongs)
        told = self.told
        try:
            self._file = self.lines.open("a+b")
            _lock(self._file, self.lines)
            if not told:
                self._file.truncate(0)
                write_whole(self.belongs, json.dumps(belongs, indent=1).encode(), mode=0o644)
            self._count()
        except OSError as error:
            raise BatchError(
                error.strerror or "cannot be written", where=str(self.lines), instead="Write another name"
            ) from None

    def compare(self, belongs: Mapping[str, Any]) -> None:
        """BatchError where the lines that are there belong to something else, as far as that is known yet."""
        told = self.told
        changed = [name for name in belongs if told and told.get(name) != belongs[name]]
        if changed:
            raise BatchError(
                f"the lines that are done belong to something else: {', '.join(changed)} changed",
                where=str(self.lines),
                instead="Write --again to do all lines anew, or put back what was",
            )

    def _count(self) -> None:
        """Cut a torn last line, and count the whole ones."""
        assert self._file is not None
        file = self._file
        file.seek(0)
        whole = 0
        for line in file:
            found = _HEAD.match(line)
            if not line.endswith(b"\n") or found is None:
                break
            whole += len(line)
            self.done += 1
            self.bad += found[2] != GOOD
            self.last = int(found[1])
        rest = os.fstat(file.fileno()).st_size - whole
        file.seek(whole)
        if rest and b"\n" in file.read(_PIECE):
            raise BatchError(
                f"line {self.done + 1} is not one of ours",
                where=str(self.lines),
                instead="Write --again to do all lines anew",
            )
        file.truncate(whole)
        file.seek(0, os.SEEK_END)

    def add(self, line: bytes) -> None:
        """Put a whole line behind the others."""
        assert self._file is not None
        try:
            self._file.write(line)
            self._file.flush()
        except OSError as error:
            raise self._full(error) from None

    def close(self) -> None:
        """Put what was written on the disk, and let others at it."""
        if self._file is not None:
            file, self._file = self._file, None
            try:
                file.flush()
                os.fsync(file.fileno())
            except OSError as error:
                raise self._full(error) from None
            finally:
                with contextlib.suppress(OSError):
                    file.close()

    def _full(self, error: OSError) -> BatchError:
        return BatchError(
            f"it cannot be written: {(error.strerror or 'unknown trouble').lower()}; the lines that are done "
            "are kept",
            where=str(self.lines),
            instead="Make room there; the same command goes on where it stopped",
        )

    def __enter__(self) -> Kept:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        try:
            self.close()
        except BatchError:
            # What went wrong first is told.
            if error is None:
                raise

    def tidy(self) -> None:
        """Take away what stood beside the output, which is whole now."""
        self.lines.unlink(missing_ok=True)
        self.belongs.unlink(missing_ok=True)


def _lock(file: BinaryIO, path: Path) -> None:
    """Keep a second run off the same lines while this process lives, where the system has such locks."""
    try:
        import fcntl
    except ImportError:
        return
    try:
        fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        raise BatchError(
            "another run is at work on it", where=str(path), instead="Wait for it, or write another name"
        ) from None
