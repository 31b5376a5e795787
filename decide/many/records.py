"""The situations of a batch, one after another, from JSON Lines, CSV or Parquet; whatever a file holds, only
a few lines of it are in memory.
"""

from __future__ import annotations

import csv
import io
import json
from collections import deque
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any, BinaryIO, Final, Literal, get_args

from decide.many.columns import Column, columns_of, table_from
from decide.many.line import Record, too_long
from decide.model.errors import DecideError, SituationError
from decide.model.reading import MOST_BYTES

Form = Literal["jsonl", "csv", "parquet"]
FORMS: Final[tuple[str, ...]] = get_args(Form)
_ENDINGS: Final[dict[str, Form]] = {
    ".jsonl": "jsonl",
    ".ndjson": "jsonl",
    ".csv": "csv",
    ".parquet": "parquet",
}
_PIECE: Final = 65_536
# A cell may hold breaks of line, and a quote that is never closed must not swallow the rows below it.
MOST_LINES_A_ROW: Final = 40
MARKS: Final = (",", ";", "\t")
_ROWS_AT_ONCE: Final = 64


class BatchError(DecideError):
    """A batch that cannot be begun, or cannot go on."""


def form_of(name: str, told: Form | None) -> Form:
    """The form of a file: by its ending, or as told where it has none of those; "-" is JSON Lines."""
    if name == "-":
        return "jsonl"
    ending = Path(name).suffix.lower()
    if ending in _ENDINGS:
        return _ENDINGS[ending]
    if told is None:
        raise BatchError(
            "the ending does not say what this is",
            where=name,
            instead=f"Name it with one of {', '.join(_ENDINGS)}, or write --format {'|'.join(FORMS)}",
        )
    return told


def records(file: BinaryIO, form: Form, name: str) -> Iterator[Record]:
    """The records of a file in their order. BatchError where it cannot be read at all; what is wrong with one
    line is in its record.
    """
    return {"jsonl": _of_json_lines, "csv": _of_csv, "parquet": _of_parquet}[form](file, name)


# ---------- JSON Lines ----------
def _lines(file: BinaryIO) -> Iterator[tuple[int, bytes, bool]]:
    """Each line with its number, without its break, and whether it is too long; then only its beginning."""
    number = 0
    while piece := file.readline(MOST_BYTES + 2):
        number += 1
        long = not piece.endswith(b"\n") and len(piece) > MOST_BYTES
        rest = piece
        while rest and not rest.endswith(b"\n"):
            rest = file.readline(_PIECE)
        yield number, piece[:_PIECE] if long else piece.rstrip(b"\r\n"), long


def _of_json_lines(file: BinaryIO, _: str) -> Iterator[Record]:
    """A record for each line that is not blank."""
    for number, line, long in _lines(file):
        if long:
            yield _too_long(number)
        elif line.strip() and line != b"\xef\xbb\xbf":
            yield Record(number, line)


def _too_long(line: int) -> Record:
    error = too_long("")
    return Record(line, b"", error.wrong, error.instead)


# ---------- CSV ----------
def _of_csv(file: BinaryIO, name: str) -> Iterator[Record]:
    """A record for each row that has a filled cell; its line is that on which it begins, the head being 1."""
    lines = _lines(file)
    head = next(lines, None)
    if head is None or head[2] or b"\0" in head[1]:
        raise BatchError(
            "this has no head of names",
            where=name,
            instead="Save it as CSV in UTF-8, its first line the keys",
        )
    try:
        said = head[1].decode("utf-8-sig")
    except UnicodeDecodeError:
        raise BatchError("this is not UTF-8 text", where=name, instead="Save it as CSV in UTF-8") from None
    mark = max(MARKS, key=said.count)
    cells = _cells(said, mark)
    if cells is None:
        raise BatchError("a quote in the head is not closed", where=name, instead="Put the head on one line")
    columns = columns_of(cells, f"{name}, line 1")
    ahead: deque[tuple[int, bytes, bool]] = deque()
    while row := ahead.popleft() if ahead else next(lines, None):
        number, line, long = row
        if long:
            yield _too_long(number)
            continue
        record = _row(number, line, columns, mark)
        if record is not None and record.wrong == _OPEN:
            record = _row_of_several(row, lines, ahead, columns, mark)
        if record is not None:
            yield record


_OPEN: Final = "a quote is not closed, or something follows it"


def _row_of_several(
    first: tuple[int, bytes, bool],
    lines: Iterator[tuple[int, bytes, bool]],
    ahead: deque[tuple[int, bytes, bool]],
    columns: Sequence[Column | None],
    mark: str,
) -> Record | None:
    """The row whose cells go on over the next lines, where these make a whole row; else its first line is
    bad, and the others stay `ahead`.
    """
    number, whole, _ = first
    for taken in range(MOST_LINES_A_ROW):
        if taken == len(ahead):
            more = next(lines, None)
            if more is None:
                break
            ahead.append(more)
        _, line, long = ahead[taken]
        whole += b"\n" + line
        if long or len(whole) > MOST_BYTES:
            break
        record = _row(number, whole, columns, mark, exact=True)
        if record is None or record.wrong != _OPEN:
            if (record is not None and record.wrong) or _swallows(whole, columns, mark):
                break
            for _ in range(taken + 1):
                ahead.popleft()
            return record
    return Record(number, b"", _OPEN, "Close it, write a quote within a cell twice, or take it out")


def _swallows(rows: bytes, columns: Sequence[Column | None], mark: str) -> bool:
    """Whether lines that quotes join look like rows of their own, so that the quotes are slips of the pen."""
    counts = [line.count(mark.encode()) for line in rows.split(b"\n")]
    most = len(columns) - 1
    return sum(counts) > most and max(counts[1:]) >= most


def _row(
    number: int, line: bytes, columns: Sequence[Column | None], mark: str, *, exact: bool = False
) -> Record | None:
    """The record of a row; None where no cell is filled. `exact`: it must have as many cells as the head."""
    try:
        if b"\0" in line:
            raise SituationError("this is not text", instead="Save it as CSV in UTF-8")
        cells = _cells(line.decode("utf-8"), mark)
        if cells is None:
            raise SituationError(_OPEN)
        if not any(cell.strip() for cell in cells):
            return None
        beyond = cells[len(columns) :]
        if any(cell.strip() for cell in beyond) or (exact and len(cells) != len(columns)):
            raise SituationError(
                f"this row has {len(cells)} cells and the head {len(columns)}",
                instead='Put a cell that holds the mark between cells in "quotes"',
            )
        table = table_from(columns, cells, comma=mark != ",")
    except UnicodeDecodeError:
        return Record(number, b"", "this is not UTF-8 text", "Save it as CSV in UTF-8")
    except SituationError as error:
        return Record(number, b"", error.wrong, error.instead)
    return Record(number, _json(table))


def _cells(line: str, mark: str) -> list[str] | None:
    """The cells of a row; None where a quote stays open."""
    if '"' not in line:
        return line.split(mark)
    try:
        rows = list(csv.reader(io.StringIO(line, newline=""), delimiter=mark, strict=True))
    except csv.Error:
        return None
    return rows[0] if len(rows) == 1 else None


def _json(table: dict[str, Any]) -> bytes:
    return json.dumps(table, ensure_ascii=False, separators=(",", ":")).encode("utf-8", "replace")


# ---------- Parquet ----------
def _of_parquet(file: BinaryIO, name: str) -> Iterator[Record]:
    """A record for each row, from 1."""
    arrow = parquet_library()
    try:
        source = arrow.parquet.ParquetFile(file)
        names = source.schema_arrow.names
    except (arrow.ArrowException, OSError) as error:
        raise BatchError(f"this is no Parquet file: {str(error)[:80]}", where=name) from None
    columns = columns_of(names, name, whole=True)
    number = 0
    try:
        for batch in source.iter_batches(batch_size=_ROWS_AT_ONCE):
            for row in batch.to_pylist():
                number += 1
                yield _of_values(number, columns, [row[each] for each in names])
    except (arrow.ArrowException, OSError) as error:
        raise BatchError(f"row {number + 1} cannot be read: {str(error)[:80]}", where=name) from None


def _of_values(number: int, columns: Sequence[Column | None], cells: Sequence[Any]) -> Record:
    try:
        return Record(number, _json(table_from(columns, cells)))
    except SituationError as error:
        return Record(number, b"", error.wrong, error.instead)


def parquet_library() -> Any:
    """pyarrow, with its part for Parquet; BatchError where it is not installed."""
    try:
        import pyarrow.parquet
    except ImportError:
        raise BatchError(
            "Parquet needs pyarrow, which is not installed here",
            instead="Install it with: pip install 'decide-turf[many]'. Or give JSON Lines or CSV",
        ) from None
    return pyarrow
