"""A row appended to a situation file changes no earlier byte, is read back as it was told, and no text breaks out of its quotes."""

from __future__ import annotations

import datetime as dt
import os
import string
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from decide.__main__ import main
from decide.decision.diagnosis import diagnose
from decide.facts.record import Entry, appended, merged, record, table_of
from decide.model.errors import SituationError
from decide.model.reading import read_situation, situation_from_dict
from decide.model.written import clean
from tests.shared import adviser, knowledge

TODAY = dt.date(2026, 9, 20)
FILE = b"""# our field
[place]
name = "York"
[dates]
today = 2026-09-20   # the day we asked
[[zone]]
name = "Goalmouth"
bare_percent = 60
[[zone]]
name = "Wing"
"""


def add(data: bytes, what: str, on: dt.date = TODAY, **told: object) -> bytes:
    return appended(data, knowledge(), Entry(what, on, **told), "field.toml", TODAY)  # type: ignore[arg-type]


hostile = st.one_of(
    st.text(max_size=300), st.text(alphabet="\"\\'[]{}=#\n\r\t\x00\x1b\x7f\u2028\ud800 ab", max_size=80)
)


@settings(max_examples=60, deadline=None)
@given(note=hostile)
def test_a_note_stays_inside_its_quotes(note: str) -> None:
    after = add(FILE, "mow", note=note)
    assert after.startswith(FILE)
    found = read_situation(after)
    assert [row.note for row in found.done] == [clean(note)]
    assert found.model_copy(update={"done": []}) == read_situation(FILE)


newlines = st.sampled_from(["\n", "\r\n"])
tails = st.sampled_from(
    [
        "",
        "\n",
        "\n\n",
        "# end",
        "# end\n",
        "   \n",
        '[[done]]\ntask = "spray"\ndate = 2026-09-01',
        "note_less = 1",
    ]
)


@settings(max_examples=80, deadline=None)
@given(
    tail=tails, newline=newlines, what=st.sampled_from(["mow", "tug", "washout", "delivery", "cover-count"]),
    days=st.integers(0, 300), zone=st.sampled_from([None, "Goalmouth", "wing"]),
)  # fmt: skip
def test_appending_never_changes_earlier_bytes(
    tail: str, newline: str, what: str, days: int, zone: str | None
) -> None:
    data = (FILE.decode() + tail).replace("\n", newline).encode()
    on = TODAY - dt.timedelta(days=days)
    told = {"tug": {"passed": True}, "cover-count": {"amount": 78.0}}.get(what, {})
    try:
        before = read_situation(data)
    except SituationError:
        with pytest.raises(SituationError):
            add(data, what, on, zone=zone, **told)
        return
    after = add(data, what, on, zone=zone, **told)
    assert after[: len(data)] == data
    found = read_situation(after)
    rows = [*found.done[len(before.done) :], *found.check, *found.seen]
    assert [(row.date, row.zone) for row in rows] == [(on, zone)]
    if newline == "\r\n":
        assert after.count(b"\n") == after.count(b"\r\n")


def test_rows_follow_one_another() -> None:
    data = FILE
    for day in range(1, 6):
        data = add(data, "mow", dt.date(2026, 9, day), zone="Goalmouth", by="groundskeeper")
    assert [row.date.day for row in read_situation(data).done] == [1, 2, 3, 4, 5]


@pytest.mark.parametrize(
    ("what", "table", "code"),
    [
        ("mow", "done", "mow"), ("Open to play", "done", "open-to-play"), ("order-seed", "done", "order-seed"), ("seed tag", "done", "seed-tag"),
        ("tug", "check", "tug"), ("Damping off", "seen", "damping-off"),
    ],
)  # fmt: skip
def test_where_a_word_belongs(what: str, table: str, code: str) -> None:
    assert table_of(knowledge(), what) == (table, code)


@pytest.mark.parametrize(
    ("what", "told", "row"),
    [
        ("sow", {"grass": "Perennial ryegrass", "zone": "Wing"}, {"method": "broadcast-seed", "grass": "perennial-ryegrass", "zone": "Wing"}),
        ("sow", {"grass": "bluegrass with ryegrass", "method": "slit seed"}, {"method": "slit-seed", "mixture": "bluegrass-with-ryegrass"}),
        ("lay-thick-sod", {"grass": "tall fescue", "amount": 1.5, "unit": "in"}, {"method": "thick-sod", "grass": "tall-fescue", "thickness_mm": 38.1}),
        ("sow-dormant", {"grass": "kentucky bluegrass", "method": "broadcast-seed"}, {"method": "broadcast-seed", "grass": "kentucky-bluegrass", "variant": "dormant"}),
        ("sprigs", {"grass": "hybrid bermudagrass"}, {"method": "sprigs", "grass": "hybrid-bermudagrass"}),
    ],
)  # fmt: skip
def test_what_begins_new_grass_is_ongoing(what: str, told: dict[str, Any], row: dict[str, Any]) -> None:
    (found,) = read_situation(add(FILE, what, dt.date(2026, 9, 7), **told)).ongoing
    assert found.start == dt.date(2026, 9, 7)
    assert found.model_dump(exclude_none=True, exclude={"start"}) == row


@pytest.mark.parametrize(
    ("what", "told", "says"),
    [
        ("sow", {}, "begins new grass, and which grass is not told"), ("sow", {"grass": "rye gras"}, "no grass or mixture here"),
        ("sow", {"grass": "tall fescue", "method": "by hand"}, "--method 'by hand' is none"), ("sow", {"grass": "tall fescue", "method": "thin sod"}, "--method 'thin sod' is none of sow"), ("sow", {"grass": "tall fescue", "unit": "mm"}, "--unit stands without --amount"), ("sow", {"grass": "tall fescue", "by": "owner"}, "--by does not belong to a start"),
        ("sow", {"grass": "tall fescue", "amount": 3.0}, "--amount does not belong"), ("mow", {"grass": "tall fescue"}, "--grass does not belong to a thing done"),
        ("sow-dormant", {"grass": "tall fescue"}, "the method is not told"),
    ],
)  # fmt: skip
def test_a_start_that_cannot_be_is_said(what: str, told: dict[str, Any], says: str) -> None:
    with pytest.raises(SituationError, match=says):
        add(FILE, what, **told)


def test_a_sowing_written_by_hand_without_its_grass_is_refused() -> None:
    table = {
        "place": {"name": "York", "country": "gb"},
        "dates": {"today": "2026-06-10"},
        "field": {"bare_percent": 60},
        "done": [{"task": "sow-broadcast", "date": "2026-05-20"}],
    }
    with pytest.raises(
        SituationError, match=r"done\[1\].task: 'sow-broadcast' begins new grass.* start = 2026-05-20"
    ):
        adviser().consult(situation_from_dict(table))
    table["ongoing"] = [{"method": "broadcast-seed", "grass": "perennial ryegrass", "start": "2026-05-20"}]
    assert diagnose(adviser(), situation_from_dict(table)).filled.situation.done


def test_no_word_belongs_to_two_tables() -> None:
    k = knowledge()
    from decide.facts.progress import known_entries

    tables = [set(known_entries(k)), set(k.opening), set(k.rescue)]
    assert not tables[0] & tables[1]
    assert not tables[1] & tables[2]
    assert not tables[0] & tables[2]


def test_a_figure_is_kept_in_the_unit_of_its_check() -> None:
    # 4 in = 101.6 mm (NIST Handbook 44).
    assert read_situation(add(FILE, "roots", amount=4.0, unit="in")).check[0].value == 101.6
    assert read_situation(add(FILE, "washout", amount=30.0, unit="%")).seen[0].extent_percent == 30


@pytest.mark.parametrize(
    ("what", "told", "says"),
    [
        ("washot", {}, "'washot' is nothing that can be written down. Write 'washout'?"),
        (
            "mow",
            {"zone": "Goalmuth"},
            "field.toml: zone 'Goalmuth' is not among the zones (Goalmouth, Wing). Write 'Goalmouth'?",
        ),
        (
            "tug",
            {},
            "the check 'tug' has no outcome. Write --amount with what was counted or measured, or --passed yes or no",
        ),
        ("washout", {"passed": True}, "--passed does not belong to a sign. Take it out"),
        ("tug", {"passed": True, "note": "x"}, "--note does not belong to a check. Take it out"),
        ("roots", {"amount": 4.0, "unit": "kg"}, "--unit kg: kg cannot become mm. roots is told in mm"),
        ("mow", {"unit": "kg"}, "--unit stands without --amount. Write both, or neither"),
        ("mow", {"by": "somebody by name"}, None),
        ("washout", {"amount": 130.0}, None),
    ],
)
def test_what_cannot_be_written_is_said(what: str, told: dict[str, object], says: str | None) -> None:
    with pytest.raises(SituationError) as error:
        add(FILE, what, **told)
    if says is not None:
        assert str(error.value) == says


def test_a_day_to_come_is_refused() -> None:
    with pytest.raises(SituationError, match=r"2026-09-21 lies after dates\.today in the file"):
        add(FILE, "mow", dt.date(2026, 9, 21))


def test_json_and_lists_in_brackets_are_refused_whole() -> None:
    with pytest.raises(SituationError, match="Keep the situation as TOML"):
        add(b'{"dates": {"today": "2026-09-20"}}', "mow")
    with pytest.raises(SituationError, match=r"Write its rows as \[\[done\]\]"):
        add(b'done = [{task = "mow", date = 2026-09-01}]\n[dates]\ntoday = 2026-09-20\n', "mow")


def test_the_file_is_replaced_in_one_step_or_not_at_all(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = tmp_path / "field.toml"
    file.write_bytes(FILE)
    file.chmod(0o640)
    record(file, knowledge(), Entry("mow", TODAY), TODAY)
    assert file.read_bytes().startswith(FILE)
    assert file.stat().st_mode & 0o777 == 0o640
    held = file.read_bytes()

    def fails(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "replace", fails)
    with pytest.raises(SituationError, match="nothing was changed"):
        record(file, knowledge(), Entry("mow", TODAY), TODAY)
    assert file.read_bytes() == held
    assert [path.name for path in tmp_path.iterdir()] == ["field.toml"]


def test_a_link_stays_a_link(tmp_path: Path) -> None:
    file, link = tmp_path / "real.toml", tmp_path / "link.toml"
    file.write_bytes(FILE)
    link.symlink_to(file)
    record(link, knowledge(), Entry("mow", TODAY), TODAY)
    assert link.is_symlink()
    assert len(read_situation(file.read_bytes()).done) == 1


def test_a_record_beside_the_situation_is_added_to_it() -> None:
    both = merged(
        read_situation(FILE), b'[[done]]\ntask = "mow"\ndate = 2026-09-10\nzone = "Wing"\n', "record.toml"
    )
    assert [row.zone for row in both.done] == ["Wing"]
    for wrong, says in (
        (b"[[don]]\n", "record.toml: don"), (b'[[done]]\ntask = "mow"\ndate = 2026-09-30\n', "lies after dates.today"), (b"\xff", "UTF-8"), (b"[[", "not TOML"),
    ):  # fmt: skip
        with pytest.raises(SituationError, match=says):
            merged(read_situation(FILE), wrong, "record.toml")


@pytest.mark.slow
def test_the_command(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    file = tmp_path / "field.toml"
    file.write_bytes(FILE.replace(b"2026-09-20", b"2024-09-20"))

    def run(*words: str) -> int:
        monkeypatch.setattr("sys.argv", ["decide", "record", str(file), *words])
        return main()

    assert run("mow", "--on", "2024-09-01", "--by", "volunteer", "--note", "first cut") == 0
    assert 'by = "volunteer"' in capsys.readouterr().out
    held = file.read_bytes()
    assert run("mow", "--on", "01/09/2024") == 2
    assert run("mow", "--amount", "much") == 2
    assert run("tug", "--passed", "maybe") == 2
    assert run("mow", "--wher", "x") == 2
    assert run() == 2
    assert run("mowe", "--on", "2024-09-01") == 1
    assert "Write 'mow'?" in capsys.readouterr().err
    assert file.read_bytes() == held


def test_every_letter_of_the_keyboard_is_kept() -> None:
    note = string.printable.strip()
    assert read_situation(add(FILE, "mow", note=note)).done[0].note == clean(note)
