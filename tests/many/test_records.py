"""Files of each form are read line by line; what is wrong with one line costs no other, and never much memory."""

from __future__ import annotations

import io
import tracemalloc
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from decide.many.line import Record
from decide.many.records import BatchError, Form, form_of, records
from decide.model.errors import SituationError


def read(text: str | bytes, form: Form = "jsonl") -> list[Record]:
    return list(records(io.BytesIO(text.encode() if isinstance(text, str) else text), form, "it"))


def csv(*rows: str, head: str = "id,place.name") -> list[tuple[int, str]]:
    return [(each.line, each.wrong or each.text.decode()) for each in read("\n".join([head, *rows]), "csv")]


def test_blank_lines_count_and_are_passed_over() -> None:
    assert read("\n{}\r\n  \n[1]") == [Record(2, b"{}"), Record(4, b"[1]")]
    assert read("") == []
    assert read("\ufeff\n{}") == [Record(2, b"{}")]


class Endless(io.RawIOBase):
    """So many bytes of one line, a short line, and a row again, never in memory at once."""

    def __init__(self, before: bytes, size: int, after: bytes) -> None:
        self.left, self.parts = size, [each for each in (before, None, after) if each != b""]

    def readable(self) -> bool:
        return True

    def readinto(self, into: Any) -> int:
        if not self.parts:
            return 0
        if self.parts[0] is None:
            n = min(len(into), self.left)
            into[:n] = b"x" * n
            self.left -= n
            if not self.left:
                self.parts.pop(0)
            return n
        said = self.parts.pop(0)
        assert said is not None
        into[: len(said)] = said
        return len(said)


@pytest.mark.parametrize(
    ("form", "before"), [("jsonl", b""), ("csv", b"place.name\n"), ("csv", b'place.name\n"')]
)
def test_a_line_of_20_mb_is_bad_and_takes_no_memory(form: Form, before: bytes) -> None:
    file: Any = io.BufferedReader(Endless(before, 20_000_000, b"\nYork\n"))
    tracemalloc.start()
    found = list(records(file, form, "it"))
    most = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert "more than 1,000,000 bytes" in found[0].wrong
    assert len(found) == 2
    assert not found[1].wrong
    assert most < 5_000_000


def test_marks_between_cells_and_breaks_within_them() -> None:
    assert csv("a,York", ",", "b,") == [(2, '{"id":"a","place":{"name":"York"}}'), (4, '{"id":"b"}')]
    assert csv("a;York", head="id;place.name")[0][1] == '{"id":"a","place":{"name":"York"}}'
    assert csv("a\tYork", head="id\tplace.name")[0][1] == '{"id":"a","place":{"name":"York"}}'
    assert csv('a,"Yo\nrk"', "b,Dayton") == [
        (2, '{"id":"a","place":{"name":"Yo\\nrk"}}'),
        (4, '{"id":"b","place":{"name":"Dayton"}}'),
    ]
    assert csv('a,"say ""York"""')[0][1] == '{"id":"a","place":{"name":"say \\"York\\""}}'


def test_a_quote_that_stays_open_costs_its_own_line() -> None:
    many = [f"{n},York" for n in range(100)]
    found = csv('x,"York', *many)
    assert "quote is not closed" in found[0][1]
    assert [line for line, _ in found] == list(range(2, 103))
    assert sum("quote" in said for _, said in found) == 1
    # Two stray quotes close each other round rows of their own.
    found = csv('x,"York', "y,Dayton", 'z,Leeds"', "a,York")
    assert [line for line, _ in found] == [2, 3, 4, 5]
    assert [said.startswith("{") for _, said in found] == [False, True, True, True]


def test_rows_of_another_width() -> None:
    assert csv("a")[0][1] == '{"id":"a"}'
    assert csv("a,York,,")[0][1].startswith("{")
    assert csv("a,York,x")[0][1] == "this row has 3 cells and the head 2"


def test_bytes_that_are_no_text() -> None:
    found = read(b"place.name\nYo\xffrk\nYo\0rk\nYork\n", "csv")
    assert [each.wrong for each in found] == ["this is not UTF-8 text", "this is not text", ""]
    for head in (b"", b"place\xff.name\n", b"\0", "place.name\nYork".encode("utf-16"), b'"place.name\nYork'):
        with pytest.raises(BatchError):
            read(head, "csv")
    with pytest.raises(SituationError, match="'town' is no key"):
        read("town\nYork", "csv")


def test_forms_go_by_endings() -> None:
    assert [form_of(name, None) for name in ("a.CSV", "a.ndjson", "-", "b.parquet")] == [
        "csv", "jsonl", "jsonl", "parquet",
    ]  # fmt: skip
    assert form_of("a", "csv") == "csv"
    with pytest.raises(BatchError, match=r"a\.txt: the ending does not say what this is"):
        form_of("a.txt", None)


def parquet(tmp_path: Path, **columns: Any) -> Iterator[Record]:
    arrow = pytest.importorskip("pyarrow")
    from pyarrow import parquet

    path = tmp_path / "it.parquet"
    parquet.write_table(arrow.table({name.replace("__", "."): held for name, held in columns.items()}), path)
    with path.open("rb") as file:
        yield from records(file, "parquet", "it")


def test_parquet_with_tables_in_tables_and_dotted_names(tmp_path: Path) -> None:
    rows = list(
        parquet(
            tmp_path,
            id=["a", None],
            place=[{"name": "York", "altitude_m": None}, None],
            zone=[[{"name": "wings", "bare_percent": 5.0}], []],
            field__area_m2=[7500.0, float("nan")],
            use__1__months=["apr; may", None],
        )
    )
    assert rows == [
        Record(
            1,
            b'{"id":"a","place":{"name":"York"},"zone":[{"name":"wings","bare_percent":5.0}],'
            b'"field":{"area_m2":7500.0},"use":[{"months":["apr","may"]}]}',
        ),
        Record(2, b'{"zone":[]}'),
    ]


def test_what_is_no_parquet_is_refused(tmp_path: Path) -> None:
    pytest.importorskip("pyarrow")
    with pytest.raises(BatchError, match="it: this is no Parquet file"):
        read(b"PAR1 or not", "parquet")
    with pytest.raises(SituationError, match="'town' is no key"):
        list(parquet(tmp_path, town=["York"]))


def test_parquet_needs_its_library(monkeypatch: pytest.MonkeyPatch) -> None:
    import sys

    monkeypatch.setitem(sys.modules, "pyarrow.parquet", None)
    with pytest.raises(BatchError, match=r"pip install 'decide-turf\[many\]'"):
        read(b"", "parquet")
