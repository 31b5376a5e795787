"""Two talks on one file, a full disk, a folder that cannot be written: it is said, and nothing is lost."""

from __future__ import annotations

import errno
import io
import json
import os
import sys
import tomllib
from pathlib import Path
from types import ModuleType

import pytest

from decide.model import files
from decide.shell import run
from decide.shell.keep import Keeper, KeepError, load
from decide.shell.lines import LineMode
from decide.shell.talk import Talk
from tests.shell.fake_talk import TODAY

NOTES = '# ours\n[place]\nname = "Dayton" # here\n\n[dates]\ntoday = 2026-05-20\nplay_by = 2027-04-01\n'


def said(talk: Talk, *lines: str) -> str:
    return "\n".join(one.text for line in lines for one in talk.hear(line))


def full(monkeypatch: pytest.MonkeyPatch, number: int = errno.ENOSPC) -> None:
    """From now on nothing can be written."""

    def fails(_: int) -> None:
        raise OSError(number, os.strerror(number))

    monkeypatch.setattr(files.os, "fsync", fails)


# ---------- two talks ----------
def test_the_second_talk_on_a_file_goes_on_beside_the_first(fake: ModuleType, tmp_path: Path) -> None:
    path = tmp_path / "talk.json"
    one, two = Keeper(path), Keeper(path)
    first = Talk(fake.tools(), TODAY, one.load(), kept=one)
    second = Talk(fake.tools(), TODAY, two.load(), kept=two)
    assert "Another talk" not in said(first, "ask me", "glass")
    heard = said(second, "ask me", "none")
    assert f"Another talk has written into {path} since. It is left as it is" in heard
    assert load(path) == {"site": {"dangers": ["glass"]}}
    beside = tmp_path / "talk-beside.json"
    assert load(beside) == {"site": {"dangers": ["none"]}}
    assert "Another talk" not in said(second, "goalmouths")
    assert load(beside)["zone"] == [{"name": "goalmouths"}]
    assert "Another talk" not in said(first, "goalmouths")
    assert load(path)["site"] == {"dangers": ["glass"]}


def test_each_of_many_talks_on_a_file_keeps_its_own(tmp_path: Path) -> None:
    keepers = [Keeper(tmp_path / "ours.toml") for _ in range(5)]
    for keeper in keepers:
        keeper.load()
    for number in range(3):
        for at, keeper in enumerate(keepers):
            keeper.save({"means": {"helpers": at, "budget": number}})
    assert len({keeper.path for keeper in keepers}) == 5
    assert [load(keeper.path)["means"]["helpers"] for keeper in keepers] == list(range(5))


def test_a_file_that_is_written_by_hand_meanwhile_is_left_as_it_is(tmp_path: Path) -> None:
    path = tmp_path / "ours.toml"
    path.write_text(NOTES)
    keeper = Keeper(path)
    answers = keeper.load()
    path.write_text(NOTES.replace("Dayton", "Troy"))
    answers["place"]["name"] = "Xenia"
    assert "is left as it is" in keeper.save(answers)
    assert "Troy" in path.read_text()
    assert "Xenia" in keeper.path.read_text()
    assert "# here" in keeper.path.read_text()


def test_a_file_that_went_away_is_written_again(tmp_path: Path) -> None:
    keeper = Keeper(tmp_path / "talk.json")
    keeper.save({"means": {"helpers": 1}})
    keeper.path.unlink()
    assert keeper.save({"means": {"helpers": 2}}) == ""
    assert load(keeper.path) == {"means": {"helpers": 2}}


# ---------- notes ----------
def test_a_written_file_that_a_talk_is_held_on_keeps_its_notes(fake: ModuleType, tmp_path: Path) -> None:
    path = tmp_path / "ours.toml"
    path.write_text(NOTES)
    path.chmod(0o640)
    out = io.StringIO()
    run(
        talk=str(path), lines=True, stdin=io.StringIO("yes\nnone\n"), stdout=out, env={"HOME": str(tmp_path)},
        today=TODAY, make_tools=lambda day: fake.tools(),
    )  # fmt: skip
    text = path.read_text()
    assert text.startswith(NOTES.rstrip("\n"))
    assert tomllib.loads(text)["site"] == {"dangers": ["none"]}
    assert path.stat().st_mode & 0o777 == 0o640


def test_a_copy_of_a_written_file_has_its_notes(fake: ModuleType, tmp_path: Path) -> None:
    (tmp_path / "ours.toml").write_text(NOTES)
    copy = tmp_path / "copy.toml"
    run(
        start=str(tmp_path / "ours.toml"), lines=True, stdin=io.StringIO(f"none\nsave as {copy}\n"),
        stdout=io.StringIO(), env={"HOME": str(tmp_path)}, make_tools=lambda day: fake.tools(),
    )  # fmt: skip
    assert (tmp_path / "ours.toml").read_text() == NOTES
    assert copy.read_text().startswith(NOTES.rstrip("\n"))
    assert tomllib.loads(copy.read_text())["site"] == {"dangers": ["none"]}


def test_where_notes_cannot_stay_the_old_file_does(tmp_path: Path) -> None:
    path = tmp_path / "ours.toml"
    path.write_text("# ours\n[[zone]]\nname = 'a'\n[[zone]]\nname = 'b'\n")
    keeper = Keeper(path)
    answers = keeper.load()
    answers["zone"].reverse()
    assert f"The file as it was is in {tmp_path / 'ours-before.toml'}" in keeper.save(answers)
    assert "# ours" in (tmp_path / "ours-before.toml").read_text()
    assert load(path) == answers


# ---------- what cannot be written ----------
@pytest.mark.slow
@pytest.mark.parametrize("number", [errno.ENOSPC, errno.EROFS, errno.EACCES, errno.EDQUOT, errno.EIO])
def test_a_disk_that_takes_no_more_loses_nothing(
    fake: ModuleType, tmp_path: Path, monkeypatch, number
) -> None:
    keeper = Keeper(tmp_path / "talk.json")
    talk = Talk(fake.tools(), TODAY, keeper.load(), kept=keeper)
    said(talk, "ask me", "glass")
    before = keeper.path.read_bytes()
    with monkeypatch.context() as patch:
        full(patch, number)
        heard = said(talk, "goalmouths")
        assert f"Your answers cannot be saved: {keeper.path}: it cannot be written" in heard
        assert os.strerror(number).lower() in heard
        assert keeper.path.read_bytes() == before
        assert [path.name for path in tmp_path.iterdir()] == ["talk.json"]
        left = said(talk, "leave")
    assert "Your answers could not be saved." in left
    assert "are kept" not in left
    told = json.loads(left[left.index("{") : left.rindex("}") + 1])
    assert told == talk.answers
    assert told["zone"] == [{"name": "goalmouths"}]


def test_a_disk_with_room_again_is_written(fake: ModuleType, tmp_path: Path, monkeypatch) -> None:
    keeper = Keeper(tmp_path / "talk.json")
    talk = Talk(fake.tools(), TODAY, keeper.load(), kept=keeper)
    with monkeypatch.context() as patch:
        full(patch)
        said(talk, "ask me", "glass")
    said(talk, "goalmouths")
    assert load(keeper.path) == talk.answers
    assert "Your answers are kept." in said(talk, "leave")


def test_the_end_of_the_input_shows_answers_that_are_on_no_disk(
    fake: ModuleType, tmp_path: Path, monkeypatch
) -> None:
    keeper = Keeper(tmp_path / "talk.json")
    talk = Talk(fake.tools(), TODAY, keeper.load(), kept=keeper)
    full(monkeypatch)
    out = io.StringIO()
    LineMode(talk, io.StringIO("ask me\nglass\n"), out).converse()
    assert '"glass"' in out.getvalue()
    assert "are kept" not in out.getvalue()


def test_a_copy_that_cannot_be_written_leaves_the_other_file_whole(
    fake: ModuleType, tmp_path: Path, monkeypatch
) -> None:
    target = tmp_path / "x.toml"
    target.write_text("# theirs\n")
    keeper = Keeper(tmp_path / "talk.json")
    full(monkeypatch)
    with pytest.raises(KeepError, match="no space left on device"):
        keeper.save_as(str(target), {"a": 1}, over=True)
    assert target.read_text() == "# theirs\n"


# ---------- files made to hurt ----------
@pytest.mark.parametrize(
    "text",
    [
        b"\xff\xfe", b"[" * 100_000, b'{"a":' * 5_000, b"a = " + b"[" * 5_000, b"a = " + b"9" * 5_000, b'{"a": NaN}',
        b"[" + b"a." * 5_000 + b"b]", b"x" * 1_000_001, b"{}]", b"a = 0x" + b"f" * 100_000, b'{"a": 1' + b"0" * 5_000 + b"}",
    ],
)  # fmt: skip
@pytest.mark.parametrize("name", ["talk.json", "talk.toml"])
def test_a_saved_talk_made_to_hurt_is_refused(tmp_path: Path, text: bytes, name: str) -> None:
    path = tmp_path / name
    path.write_bytes(text)
    with pytest.raises(KeepError, match=r"no answers that can be read|far too large"):
        Keeper(path).load()
    assert path.read_bytes() == text


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ('{"zone": [{"bare_percent": 3}]}', "a part of the field has no name"),
        ('{"use": [{"sport": ["football"]}]}', "sport in use is no word"),
        ('{"offer": [{"what": {}}]}', "what in offer is no word"),
        ('{"zone": [{"name": "x", "grass": [{"grass": [[]]}]}]}', "grass in zone is no word"),
        ('{"zone": {"name": "x"}}', "zone is one table and must be a list"),
        ('{"place": "Dayton"}', "place is no table of answers"),
        ('{"done": ["mow"]}', "done is no table of answers"),
    ],
)
def test_a_saved_talk_of_another_shape_is_refused(tmp_path: Path, text: str, says: str) -> None:
    (tmp_path / "talk.json").write_text(text)
    with pytest.raises(KeepError, match=says):
        Keeper(tmp_path / "talk.json").load()


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("t.json", '{"field": {"length_m": 1e309}}'),
        ("t.json", '{"use": [{"months": [{"hours_per_week": -1e309}]}]}'),
        ("t.json", '{"field": {"length_m": 1%s}}' % ("0" * 400)),
        ("t.toml", "[field]\nlength_m = inf"),
        ("t.toml", "[[use]]\nhours_per_week = nan"),
    ],
)
def test_a_number_that_none_is_is_refused(tmp_path: Path, name: str, text: str) -> None:
    (tmp_path / name).write_text(text)
    with pytest.raises(KeepError, match="holds a number that cannot be used"):
        load(tmp_path / name)


@pytest.mark.slow
def test_what_a_saved_talk_holds_is_shown_fit_for_a_terminal(fake: ModuleType) -> None:
    answers = {
        "zone": [{"name": "goal\x85mouths\x1b[31m"}],
        "use": [{"sport": {"a": {"b": 1}}, "months": [["may"], {"c": [2]}], "players": [{}]}],
    }
    talk = Talk(fake.tools(), TODAY, answers, resumed=True)
    for line in ("yes", "what did I say", "thin", "change the use"):
        said = [one.text for one in talk.hear(line)]
        asked = talk.prompt()
        for text in [*said, asked.text, *asked.choices, asked.hint]:
            assert all(row.isprintable() for row in text.split("\n")), text
    assert [one.text for one in talk.hear("what did I say") if "mouths" in one.text]


def test_what_nobody_knows_is_an_answer(tmp_path: Path) -> None:
    (tmp_path / "talk.json").write_text('{"use": "don\'t know", "offer": "don\'t know"}')
    assert Keeper(tmp_path / "talk.json").load() == {"use": "don't know", "offer": "don't know"}


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="this system has no pipes with names")
def test_a_pipe_and_a_device_are_no_talk(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "talk.json")
    (tmp_path / "zero.json").symlink_to("/dev/zero")
    for name in ("talk.json", "zero.json"):
        with pytest.raises(KeepError, match="this is no plain file"):
            Keeper(tmp_path / name).load()


def test_a_talk_that_goes_wrong_says_whether_answers_are_kept(
    fake: ModuleType, tmp_path: Path, monkeypatch
) -> None:
    def wrong(*_: object) -> None:
        raise RuntimeError("\x1b[31mred")

    monkeypatch.setattr(LineMode, "converse", wrong)
    out = io.StringIO()
    code = run(talk=str(tmp_path / "t.json"), lines=True, stdin=io.StringIO(), stdout=out, env={}, make_tools=lambda day: fake.tools())  # fmt: skip
    assert code == 70
    assert "\x1b" not in out.getvalue()
    assert "RuntimeError" in out.getvalue()
    assert sys.exc_info() == (None, None, None)
