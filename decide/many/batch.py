"""A batch: situations in, one line for each out, in their order, by all cores or a cluster; it goes on where
it was stopped.
"""

from __future__ import annotations

import dataclasses
import datetime as dt
import hashlib
import os
from collections.abc import Callable, Iterator, Sequence
from contextlib import closing
from functools import partial
from pathlib import Path
from typing import Any, BinaryIO, Final, NamedTuple

from decide.many.cluster import Cluster
from decide.many.crew import Crew
from decide.many.kept import Kept
from decide.many.line import GOOD, WEATHER, LineJudge, MakeJudge, Record, Setting, weather_told
from decide.many.records import BatchError, Form, parquet_library, records
from decide.many.written import write
from decide.measure.weather_file import MOST_BYTES
from decide.model.files import plain_bytes

MOST_NAMED: Final = 10
STANDARD: Final = "-"
_PIECE: Final = 1 << 20


@dataclasses.dataclass(frozen=True)
class Told:
    """What a batch is told: input and output with their forms ("-" is standard input or output), what holds
    for every line, and who does the work.
    """

    source: str
    out: str
    source_form: Form
    out_form: Form
    setting: Setting
    cores: int = 1
    cluster: str | None = None
    again: bool = False


class Far(NamedTuple):
    """How far a batch is: lines done, of how many (None: nobody knows), bad ones, lines that were done
    before, and the first bad ones by their numbers.
    """

    done: int
    total: int | None
    bad: int
    before: int
    named: tuple[int, ...] = ()


def day_kept(out: str) -> dt.date | None:
    """The day on which a batch that was stopped took place; None where none was."""
    if out == STANDARD:
        return None
    told = Kept(Path(out)).told.get("today")
    return None if told is None else dt.date.fromisoformat(told)


def run(
    told: Told,
    standard_in: BinaryIO,
    standard_out: BinaryIO,
    tell: Callable[[Far], object],
    make: MakeJudge | None = None,
) -> Far:
    """Do a batch, or go on with one that was stopped; `tell` hears of every line that is done.

    BatchError where it cannot be begun or cannot go on. `make` makes the judge of the lines.
    """
    make = make or partial(LineJudge, told.setting)
    if "parquet" in (told.source_form, told.out_form):
        parquet_library()
    kept = None if told.out == STANDARD else Kept(Path(told.out))
    if kept is not None:
        _check_out(Path(told.out), told.source)
        kept.check(again=told.again)
    belongs, total = _known(told)
    if kept is not None:
        kept.compare(belongs)
    with (
        Crew(make, max(1, min(told.cores, told.cores if total is None else total)))
        if told.cluster is None
        else Cluster(make, told.cluster) as crew,
        _opened(told.source, standard_in) as file,
    ):
        made_with = crew.made_with
        assert made_with is not None
        belongs |= made_with._asdict() | {"engines": list(made_with.engines)}
        rows = records(file, told.source_form, _name(told.source))
        if kept is None:
            return _to(standard_out, crew.judged(rows), Far(0, total, 0, 0), tell)
        with kept:
            kept.open(belongs)
            _skip(rows, kept)
            far = Far(kept.done, total, kept.bad, kept.done)
            far = _to(kept, crew.judged(rows), far, tell)
    try:
        write(kept.lines, kept.out, told.out_form)
    except OSError as error:
        raise BatchError(
            f"it cannot be written: {(error.strerror or 'unknown trouble').lower()}; all lines are done and "
            "kept",
            where=told.out,
            instead="Make room there; the same command goes on where it stopped",
        ) from None
    kept.tidy()
    return far


def _to(sink: Any, lines: Iterator[bytes], far: Far, tell: Callable[[Far], object]) -> Far:
    """Write line after line, each whole."""
    with closing(lines):  # type: ignore[type-var]  # they come from a generator
        for line in lines:
            if isinstance(sink, Kept):
                sink.add(line)
            else:
                sink.write(line)
                sink.flush()
            good = GOOD in line[:40]
            named = far.named
            if not good and len(named) < MOST_NAMED:
                named = (*named, int(line[len('{"line":') : line.index(b",")]))
            far = far._replace(done=far.done + 1, bad=far.bad + (not good), named=named)
            tell(far)
    return far


def _skip(rows: Iterator[Record], kept: Kept) -> None:
    """Pass over the records that are done."""
    last = 0
    for _ in range(kept.done):
        record = next(rows, None)
        last = 0 if record is None else record.line
    if last != kept.last:
        raise BatchError(
            "the lines that are done are not the first ones of this input",
            where=str(kept.lines),
            instead="Write --again to do all lines anew",
        )


def _known(told: Told) -> tuple[dict[str, Any], int | None]:
    """What the lines of a batch belong to, and their number; of standard input, which is read only once,
    and of the weather that its lines name nothing is known.
    """
    setting = told.setting
    belongs: dict[str, Any] = {
        "today": setting.today.isoformat(),
        "units": setting.system,
        "form": told.source_form,
    }
    if told.source == STANDARD:
        return belongs | {"input": None}, None
    with _opened(told.source, None) as file:
        digest = _digest(file)
        belongs["input"] = {"bytes": file.tell(), "sha256": digest}
        file.seek(0)
        weather, total = set[str](), 0
        for record in records(file, told.source_form, told.source):
            total += 1
            if WEATHER in record.text and (name := weather_told(record)) is not None:
                weather.add(name)
        belongs["weather"] = _weather(sorted(weather), setting.weather_folder)
        return belongs, total


def _weather(names: Sequence[str], folder: str) -> str | None:
    """What the files of weather that the lines name hold, in one hash; None where they name none."""
    whole = hashlib.sha256()
    for name in names:
        try:
            held = hashlib.sha256(plain_bytes(os.path.join(folder, name), MOST_BYTES)).hexdigest()
        except (OSError, ValueError):
            held = ""
        whole.update(f"{name}\0{held}\0".encode("utf-8", "replace"))
    return whole.hexdigest() if names else None


def _digest(file: BinaryIO) -> str:
    found = hashlib.sha256()
    while piece := file.read(_PIECE):
        found.update(piece)
    return found.hexdigest()


def _check_out(out: Path, source: str) -> None:
    if source != STANDARD and out.exists() and Path(source).exists() and os.path.samefile(out, source):
        raise BatchError("input and output are the same file", where=str(out), instead="Name another output")
    if not out.absolute().parent.is_dir():
        raise BatchError("there is no such folder", where=str(out), instead="Make the folder first")
    if out.is_dir():
        raise BatchError("this is a folder", where=str(out), instead="Name a file in it")


def _name(source: str) -> str:
    return "standard input" if source == STANDARD else source


def _opened(source: str, standard: BinaryIO | None) -> BinaryIO:
    if source == STANDARD:
        assert standard is not None
        return standard
    try:
        return open(source, "rb")
    except OSError as error:
        raise BatchError(
            error.strerror or "cannot be read", where=source, instead="Write the path of the input"
        ) from None
