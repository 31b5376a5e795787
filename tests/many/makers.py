"""Judges that cost nothing, for tests of what carries lines to them and back: some lines end their process."""

from __future__ import annotations

import os
import signal
import time
from pathlib import Path

from decide.many.line import MadeWith, Record, bad_line
from decide.model.errors import KnowledgeError, SituationError


class Echo:
    """Answers with the number of the line; `die` ends the process, `die once FILE` the first time, `slow` takes
    a moment, and `wrong` is bad."""

    made_with = MadeWith("0", "echo", ("plain",))

    def __call__(self, record: Record) -> bytes:
        text = record.text.decode()
        if record.wrong:
            return bad_line(record.line, None, [SituationError(record.wrong, instead=record.instead)])
        if "die once" in text:
            mark = Path(text.rpartition("die once ")[2].rstrip('"}'))
            if not mark.exists():
                mark.write_text("seen", encoding="utf-8")
                os.kill(os.getpid(), signal.SIGKILL)
        elif "die" in text:
            os.kill(os.getpid(), signal.SIGKILL)
        if "slow" in text:
            time.sleep(0.2)
        if "wrong" in text:
            return bad_line(record.line, None, [SituationError("this is wrong", where=f"line {record.line}")])
        return b'{"line":%d,"ok":true}\n' % record.line

    def close(self) -> None:
        pass


def never() -> Echo:
    raise KnowledgeError("no knowledge", where="there", instead="Write some")


def dies() -> Echo:
    os._exit(9)
