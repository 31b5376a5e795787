"""A batch goes on where it was stopped, with every line once and in its order, and says why where it cannot."""

from __future__ import annotations

import csv
import datetime as dt
import io
import json
from pathlib import Path
from typing import Any

import pytest

from decide.many.batch import Far, Told, day_kept, run
from decide.many.kept import Kept
from decide.many.line import LineJudge, Record, Setting
from decide.many.progress import progress, span, summary
from decide.many.records import BatchError, Form
from decide.many.written import Line, write
from tests.many import makers

DAY = dt.date(2026, 5, 12)


def told(tmp_path: Path, out: str = "out.jsonl", source: str = "in.jsonl", **more: Any) -> Told:
    forms: dict[str, Form] = {"source_form": "jsonl", "out_form": "jsonl"}
    return Told(
        str(tmp_path / source) if source != "-" else "-",
        str(tmp_path / out) if out != "-" else "-",
        setting=Setting(more.pop("today", DAY)),
        **(forms | more),
    )


def done(what: Told, given: bytes = b"") -> tuple[Far, bytes, list[Far]]:
    out, heard = io.BytesIO(), list[Far]()
    far = run(what, io.BytesIO(given), out, heard.append, makers.Echo)
    return far, out.getvalue(), heard


def lines(path: Path) -> list[int]:
    return [json.loads(line)["line"] for line in path.read_bytes().splitlines()]


def stop_after(tmp_path: Path, many: int, torn: bytes = b"", **more: Any) -> None:
    """What a kill leaves behind after so many lines."""

    class StopError(Exception):
        pass

    def tell(far: Far) -> None:
        if far.done - far.before == many:
            raise StopError

    with pytest.raises(StopError):
        run(told(tmp_path, **more), io.BytesIO(), io.BytesIO(), tell, makers.Echo)
    with (tmp_path / "out.jsonl.part").open("ab") as file:
        file.write(torn)


@pytest.mark.slow
def test_it_goes_on_after_the_last_whole_line(tmp_path: Path) -> None:
    (tmp_path / "in.jsonl").write_text("a\n\nwrong\nb\n" + "c\n" * 20, encoding="utf-8")
    whole = [1, *range(3, 25)]
    stop_after(tmp_path, 2)
    assert not (tmp_path / "out.jsonl").exists()
    assert lines(tmp_path / "out.jsonl.part") == [1, 3]
    assert day_kept(str(tmp_path / "out.jsonl")) == DAY
    stop_after(tmp_path, 3, torn=b'{"line":7,"ok":tr')
    far, _, heard = done(told(tmp_path))
    assert lines(tmp_path / "out.jsonl") == whole
    assert far == Far(23, 23, 1, 5)
    assert heard[0] == Far(6, 23, 1, 5)
    assert sorted(path.name for path in tmp_path.iterdir()) == ["in.jsonl", "out.jsonl"]
    assert day_kept(str(tmp_path / "out.jsonl")) is None


@pytest.mark.slow
def test_what_changed_is_named(tmp_path: Path) -> None:
    source = tmp_path / "in.jsonl"
    source.write_text("a\nb\nc\n", encoding="utf-8")
    stop_after(tmp_path, 1)
    with pytest.raises(BatchError, match=r"belong to something else: today changed. Write --again"):
        done(told(tmp_path, today=dt.date(2026, 6, 1)))
    source.write_text("a\nb\nd\n", encoding="utf-8")
    with pytest.raises(BatchError, match="input changed"):
        done(told(tmp_path))
    far, _, _ = done(told(tmp_path, again=True))
    assert (far.done, far.before) == (3, 0)
    with pytest.raises(BatchError, match=r"this is there already. Write --again"):
        done(told(tmp_path))
    assert done(told(tmp_path, again=True))[0].done == 3


@pytest.mark.slow
@pytest.mark.parametrize("form", ["jsonl", "csv"])
def test_weather_that_changed_is_named(tmp_path: Path, form: Form) -> None:
    """Lines that are done with other weather are not gone on with."""
    weather = tmp_path / "weather.csv"
    weather.write_text("date,tmin\n2026-05-01,3\n", encoding="utf-8")
    if form == "csv":
        text = f"id,place.weather_file\n1,{weather}\n2,\n3,{weather}\n"
    else:
        row = json.dumps({"place": {"weather_file": str(weather)}})
        text = f'{row}\n{{"place": 5, "said": "weather_file"}}\nweather_file\n'
    source = f"in.{form}"
    (tmp_path / source).write_text(text, encoding="utf-8")
    stop_after(tmp_path, 1, source=source, source_form=form)
    weather.write_text("date,tmin\n2026-05-01,4\n", encoding="utf-8")
    with pytest.raises(BatchError, match=r"belong to something else: weather changed. Write --again"):
        done(told(tmp_path, source=source, source_form=form))
    weather.unlink()
    with pytest.raises(BatchError, match="weather changed"):
        done(told(tmp_path, source=source, source_form=form))
    weather.write_text("date,tmin\n2026-05-01,3\n", encoding="utf-8")
    assert done(told(tmp_path, source=source, source_form=form))[0] == Far(3, 3, 0, 1)


@pytest.mark.slow
def test_lines_that_are_not_ours_are_left_alone(tmp_path: Path) -> None:
    (tmp_path / "in.jsonl").write_text("a\nb\nc\n", encoding="utf-8")
    part = tmp_path / "out.jsonl.part"
    part.write_text("mine\n", encoding="utf-8")
    with pytest.raises(BatchError, match="nothing says what these lines belong to"):
        done(told(tmp_path))
    part.unlink()
    stop_after(tmp_path, 1, torn=b"mine\n")
    with pytest.raises(BatchError, match="line 2 is not one of ours"):
        done(told(tmp_path))
    part.write_bytes(b'{"line":2,"ok":true}\n')
    with pytest.raises(BatchError, match="are not the first ones of this input"):
        done(told(tmp_path))


@pytest.mark.slow
def test_two_runs_do_not_mix(tmp_path: Path) -> None:
    pytest.importorskip("fcntl")
    (tmp_path / "in.jsonl").write_text("a\n", encoding="utf-8")
    with Kept(tmp_path / "out.jsonl") as kept:
        kept.open({})
        with pytest.raises(BatchError, match="another run is at work on it"):
            done(told(tmp_path))


@pytest.mark.slow
def test_standard_input_and_output(tmp_path: Path) -> None:
    far, out, _ = done(told(tmp_path, "-", "-"), b"a\nwrong\n")
    assert (far.done, far.bad, far.total, far.named) == (2, 1, None, (2,))
    assert [json.loads(line)["line"] for line in out.splitlines()] == [1, 2]


def test_places_that_cannot_be(tmp_path: Path) -> None:
    (tmp_path / "in.jsonl").write_text("a\n", encoding="utf-8")
    for what, said in (
        (told(tmp_path, source="gone.jsonl"), "No such file"),
        (told(tmp_path, out="in.jsonl"), "input and output are the same file"),
        (told(tmp_path, out="gone/out.jsonl"), "there is no such folder"),
        (told(tmp_path, out="."), "this is a folder"),
    ):
        with pytest.raises(BatchError, match=said):
            done(what)


@pytest.mark.slow
def test_forms_of_output(tmp_path: Path) -> None:
    judge = LineJudge(Setting(DAY, engines="plain"))
    two = {
        "place": {"name": "York", "country": "gb"},
        "zone": [{"name": "=wings", "bare_percent": 70}, {"name": "ends"}],
    }
    said = [
        judge(Record(n, text)) for n, text in enumerate((json.dumps(two).encode(), b'{"id":"x","y":1}'), 1)
    ]
    (tmp_path / "part").write_bytes(b"".join(said))
    write(tmp_path / "part", tmp_path / "out.csv", "csv")
    with (tmp_path / "out.csv").open(encoding="utf-8-sig", newline="") as file:
        good, bad = csv.DictReader(file)
    advice = json.loads(said[0])
    assert good["line"] == "1"
    assert good["programme.zone"] == "'=wings | ends"
    assert good["programme.choice.start"].split(" | ")[0] == advice["programme"][0]["choice"]["start"]
    assert good["cautions.code"].split(" | ") == [row["code"] for row in advice["cautions"]]
    assert good["knowledge.digest"] == advice["knowledge"]["digest"]
    assert (bad["ok"], bad["id"], bad["programme.zone"]) == ("false", "x", "")
    assert bad["error.wrong"] == "y: 'y' is not a key here"

    parquet = pytest.importorskip("pyarrow.parquet")
    write(tmp_path / "part", tmp_path / "out.parquet", "parquet")
    rows = parquet.read_table(tmp_path / "out.parquet").to_pylist()
    assert [row["ok"] for row in rows] == [True, False]
    assert rows[0]["programme"][0]["choice"]["start"] == advice["programme"][0]["choice"]["start"]
    assert [row["code"] for row in rows[0]["cautions"]] == [row["code"] for row in advice["cautions"]]
    assert rows[1]["error"][0]["wrong"] == "y: 'y' is not a key here"
    # Nothing that a line says is left out of either form.
    assert set(advice) <= {*rows[0]}
    assert {name.partition(".")[0] for name in good} == {*rows[0]} >= set(Line.model_fields)


def test_progress_and_summary() -> None:
    assert progress(Far(1204, 10_000, 3, 204), 1000) == "1,204 of 10,000 lines, 3 bad, 2 h 26 min left"
    assert progress(Far(5, None, 0, 0), 10) == "5 lines"
    assert summary(Far(10, 10, 2, 4, (7, 9)), 12) == (
        "10 lines: 8 with advice, 2 bad (line 7, 9). 12 s; 4 were done before, 0.5 lines a second."
    )
    assert summary(Far(0, 0, 0, 0), 0) == "0 lines: 0 with advice, 0 bad. 0 s."
    assert "(line 1, 2 and 3 more)" in summary(Far(5, 5, 5, 0, (1, 2)), 1)
    assert [span(s) for s in (59, 60, 3600, 90_000)] == ["59 s", "1 min 0 s", "1 h 0 min", "1 d 1 h"]
