"""The knowledge that was kept is the knowledge that would be read; where it is not, it is left aside unseen."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from dataclasses import fields, replace
from hashlib import sha256
from pathlib import Path

import pytest

from decide.engine.base import RuleBase
from decide.knowledge import kept as kept_module
from decide.knowledge.compile import compile_rules
from decide.knowledge.load import knowledge_folder, read_knowledge
from decide.knowledge.tables import Knowledge
from decide.model.errors import KnowledgeError

ROOT = Path(__file__).parents[2]
GOOD = ROOT / "tests" / "mistakes" / "good"
CLUB = ROOT / "tests" / "examples" / "overlay"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A small folder of knowledge that may be changed."""
    return Path(shutil.copytree(GOOD, tmp_path / "good"))


@pytest.fixture
def place(tmp_path: Path) -> Path:
    return tmp_path / "user" / "kept"


@pytest.fixture
def strict(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """Counts how often the files were read in earnest."""
    from decide.knowledge import load

    read, counted = load._read, []

    def counting(paths: list[Path]) -> Knowledge:
        counted.append(1)
        return read(paths)

    monkeypatch.setattr(load, "_read", counting)
    return counted


def files(place: Path) -> list[Path]:
    return sorted(place.glob("*"))


def same(one: Knowledge, other: Knowledge) -> None:
    """Every table is equal, in the same order, and so are the rules made of them."""
    for each in fields(Knowledge):
        if each.compare:
            assert getattr(one, each.name) == getattr(other, each.name), each.name
            assert repr(getattr(one, each.name)) == repr(getattr(other, each.name)), each.name
    for rules in fields(RuleBase):
        assert getattr(compile_rules(one), rules.name) == getattr(compile_rules(other), rules.name), (
            rules.name
        )
    assert [list(table) for table in (one.where, one.texts)] == [list(t) for t in (other.where, other.texts)]


@pytest.mark.slow
@pytest.mark.parametrize("over", [(), (CLUB,)])
def test_all_of_the_knowledge_comes_back(over: tuple[Path, ...], place: Path, strict: list[int]) -> None:
    first = read_knowledge(..., *over, kept=place)
    again = read_knowledge(..., *over, kept=place)
    assert strict == [1]
    assert again.compiled is not None
    same(again, first)
    same(again, read_knowledge(..., *over))


def test_order_and_names_of_folders_count(folder: Path, place: Path, tmp_path: Path) -> None:
    one, two = tmp_path / "one", tmp_path / "two"
    for over, name in ((one, "Rye of one"), (two, "Rye of two")):
        over.mkdir()
        (over / "grasses.toml").write_text(f'[rye]\nname = "{name}"\n', encoding="utf-8")
    for given in ((folder,), (folder, one), (folder, one, two), (folder, two, one)) * 2:
        same(read_knowledge(*given, kept=place), read_knowledge(*given))
    assert len(files(place)) == 4


@pytest.mark.slow
def test_a_changed_byte_in_any_file_is_seen(folder: Path, place: Path, strict: list[int]) -> None:
    read_knowledge(folder, kept=place)
    # The cases are no part of it.
    changed = sorted(path for path in folder.rglob("*.toml") if path.parent.name != "cases")
    assert len(changed) > 10
    for path in changed:
        was, counted = path.read_bytes(), len(strict)
        path.write_bytes(was + b"# \n")
        read_knowledge(folder, kept=place)
        assert len(strict) == counted + 1, path.name
        path.write_bytes(was)
        read_knowledge(folder, kept=place)


def test_a_new_file_and_a_file_less_are_seen(folder: Path, place: Path, strict: list[int]) -> None:
    read_knowledge(folder, kept=place)
    (folder / "rules" / "more.toml").write_text("", encoding="utf-8")
    read_knowledge(folder, kept=place)
    (folder / "rules" / "more.toml").unlink()
    read_knowledge(folder, kept=place)
    assert len(strict) == 2


def test_a_mistake_is_said_as_ever_and_never_kept(folder: Path, place: Path) -> None:
    read_knowledge(folder, kept=place)
    path = folder / "grasses.toml"
    path.write_text(
        path.read_text(encoding="utf-8").replace("season-type", "season_type", 1), encoding="utf-8"
    )
    for _ in range(2):
        with pytest.raises(KnowledgeError, match="'season-type' is missing"):
            read_knowledge(folder, kept=place)
    assert len(files(place)) == 1


def test_a_rule_that_cannot_be_made_is_said_where_it_is_made(folder: Path, place: Path) -> None:
    with (folder / "rules" / "bad.toml").open("w", encoding="utf-8") as file:
        file.write(
            '[[rule]]\nid = "bad"\nabout = "site"\nwhen = ["site.nothing is true"]\n'
            'then = { caution = "x" }\nbecause = "So."\nsources = ["memory"]\n'
        )
    knowledge = read_knowledge(folder, kept=place)
    assert files(place) == []
    with pytest.raises(KnowledgeError, match=r"site\.nothing"):
        compile_rules(knowledge)


@pytest.mark.parametrize("hurt", ["cut", "empty", "payload", "digest", "key", "longer", "other", "forged"])
def test_a_hurt_file_is_left_aside_and_made_anew(
    hurt: str, folder: Path, place: Path, strict: list[int]
) -> None:
    first = read_knowledge(folder, kept=place)
    [path] = files(place)
    whole = path.read_bytes()
    head = len(kept_module._HEAD)
    payload = whole[head + 128 :]
    forged = payload.replace(b"decide.engine.language:Rule", b"decide.engine.language:Role")
    path.write_bytes(
        {
            "cut": whole[: len(whole) // 2],
            "empty": b"",
            "payload": whole[:-9] + bytes([whole[-9] ^ 1]) + whole[-8:],
            "digest": whole[: head + 70] + b"0" * 4 + whole[head + 74 :],
            "key": whole[:head] + b"0" * 64 + whole[head + 64 :],
            "longer": whole + b" ",
            "other": b"\x80\x05" + whole[2:],
            "forged": whole[: head + 64] + sha256(forged).hexdigest().encode() + forged,
        }[hurt]
    )
    same(read_knowledge(folder, kept=place), first)
    assert len(strict) == 2
    assert path.read_bytes() == whole
    read_knowledge(folder, kept=place)
    assert len(strict) == 2


def test_a_file_is_read_by_its_owner_alone(folder: Path, place: Path) -> None:
    read_knowledge(folder, kept=place)
    [path] = files(place)
    if os.name == "posix":
        assert path.stat().st_mode & 0o777 == 0o600
        assert place.stat().st_mode & 0o777 == 0o700


@pytest.mark.skipif(not hasattr(os, "getuid"), reason="files have no owners here")
def test_a_file_of_somebody_else_is_left_aside(
    folder: Path, place: Path, strict: list[int], monkeypatch: pytest.MonkeyPatch
) -> None:
    read_knowledge(folder, kept=place)
    mine = os.getuid()
    with monkeypatch.context() as patch:
        patch.setattr(os, "getuid", lambda: mine + 1)
        read_knowledge(folder, kept=place)
    [path] = files(place)
    path.chmod(0o666)
    read_knowledge(folder, kept=place)
    assert len(strict) == 3


@pytest.mark.skipif(not hasattr(os, "O_NOFOLLOW"), reason="links are followed here")
def test_a_link_or_a_folder_in_its_place_is_left_aside(
    folder: Path, place: Path, tmp_path: Path, strict: list[int]
) -> None:
    read_knowledge(folder, kept=place)
    [path] = files(place)
    path.rename(tmp_path / "elsewhere")
    path.symlink_to(tmp_path / "elsewhere")
    read_knowledge(folder, kept=place)
    assert not path.is_symlink()
    path.unlink()
    path.mkdir()
    read_knowledge(folder, kept=place)
    assert len(strict) == 3
    assert path.is_dir()


def test_a_place_that_cannot_be_written_costs_nothing_but_time(folder: Path, tmp_path: Path) -> None:
    (tmp_path / "file").write_bytes(b"")
    for place in (tmp_path / "file", tmp_path / "file" / "below", Path("/dev/null/x"), Path("/proc/none")):
        same(read_knowledge(folder, kept=place), read_knowledge(folder))


def test_what_changes_while_it_is_read_is_not_kept(
    folder: Path, place: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from decide.knowledge import load

    read = load._read

    def slow(paths: list[Path]) -> Knowledge:
        knowledge = read(paths)
        with (folder / "grasses.toml").open("a", encoding="utf-8") as file:
            file.write("# later\n")
        return knowledge

    monkeypatch.setattr(load, "_read", slow)
    read_knowledge(folder, kept=place)
    assert files(place) == []


def test_another_program_another_file(folder: Path, place: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    read_knowledge(folder, kept=place)
    monkeypatch.setattr(kept_module, "VERSION", "9.9.9")
    read_knowledge(folder, kept=place)
    assert len(files(place)) == 2


def test_the_text_of_the_program_is_part_of_the_key() -> None:
    """Every module that has a hand in the tables and the rules lies in a room whose text is looked at."""
    code = (
        "import sys; from pathlib import Path; from decide.knowledge.load import read_knowledge; "
        "from decide.knowledge.compile import compile_rules; compile_rules(read_knowledge(Path(sys.argv[1]))); "
        "print(*sorted({name.split('.')[1] for name in sys.modules if name.startswith('decide.')}))"
    )
    done = subprocess.run(
        [sys.executable, "-c", code, str(GOOD)], capture_output=True, text=True, cwd=ROOT, check=True
    )
    assert done.stdout.split() == sorted(kept_module._ROOMS)


def test_few_files_stay(folder: Path, place: Path) -> None:
    path = folder / "grasses.toml"
    for n in range(7):
        path.write_text(path.read_text(encoding="utf-8") + f"# {n}\n", encoding="utf-8")
        if place.is_dir():
            (place / "mine.txt").write_text("not of this program", encoding="utf-8")
        read_knowledge(folder, kept=place)
    names = [each.name for each in files(place)]
    assert len(names) == 5
    assert "mine.txt" in names


def test_a_copy_with_other_tables_makes_its_own_rules(folder: Path, place: Path) -> None:
    read_knowledge(folder, kept=place)
    knowledge = read_knowledge(folder, kept=place)
    fewer = replace(knowledge, rules=knowledge.rules[1:])
    assert {rule.id for rule in compile_rules(fewer).rules} < {
        rule.id for rule in compile_rules(knowledge).rules
    }


@pytest.mark.slow
def test_two_processes_at_once(folder: Path, place: Path) -> None:
    code = (
        "import sys; from pathlib import Path; from decide.knowledge.load import read_knowledge\n"
        "for _ in range(3): k = read_knowledge(Path(sys.argv[1]), kept=Path(sys.argv[2]))\n"
        "print(k.digest, len(k.compiled.rules))"
    )
    running = [
        subprocess.Popen(
            [sys.executable, "-c", code, str(folder), str(place)],
            stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, cwd=ROOT,
        )
        for _ in range(2)
    ]  # fmt: skip
    said = [process.communicate() for process in running]
    assert [err for _, err in said] == ["", ""]
    knowledge = read_knowledge(folder)
    assert {out.strip() for out, _ in said} == {f"{knowledge.digest} {len(compile_rules(knowledge).rules)}"}
    assert len(files(place)) == 1


def test_the_library_keeps_nothing_unless_asked() -> None:
    assert read_knowledge(knowledge_folder()).compiled is None
