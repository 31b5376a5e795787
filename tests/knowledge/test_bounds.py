"""A folder laid over the knowledge is data: what waits, never ends, leads out of it or is far too large is
refused with a message, at once and in little memory.
"""

from __future__ import annotations

import os
import resource
import subprocess
import sys
import time
from pathlib import Path

import pytest

from decide.cases.bank import read_cases
from decide.knowledge.load import read_knowledge
from decide.model.errors import KnowledgeError
from decide.model.toml_file import toml_file
from decide.model.toml_lines import Lines, TomlError, toml_table
from decide.parse.local import read_local
from decide.parse.speech import read_lands, read_talk

GOOD = Path(__file__).parents[1] / "mistakes" / "good"
DEEP = ".".join(["a"] * 200_000)
# What hurts, by name: the text of club/grasses.toml, and what is said of it.
TEXTS = {
    "20 MB of words": ("word " * 4_000_000, "this has more than 500,000 bytes"),
    "a million words in one line": ("word " * 90_000, "not TOML"),
    "a huge number": ("[rye]\nwear = " + "9" * 5_000, "a number has too many digits"),
    "a huge number of another base": ("[rye]\nwear = 0x" + "f" * 300_000, "a number has too many digits"),
    "deep brackets": ("[rye]\nalso = " + "[" * 100_000 + "]" * 100_000, "the brackets are nested too deeply"),
    "deep tables in a row": ("[rye]\nalso = " + "{a=" * 100_000 + "1" + "}" * 100_000, "nested too deeply"),
    "a deep header": (f"[{DEEP}]\n", "a name has too many parts between dots"),
    "a deep key": (f"[rye]\n{DEEP} = 1\n", "a name has too many parts between dots"),
    "a deep key in quotes": ("[rye]\n" + '"a" . ' * 50_000 + "b = 1", "a name has too many parts"),
    "a deep key within a row": ("[rye]\nalso = {" + "a." * 100_000 + "b = 1}", "a name has too many parts"),
    "a header of blanks": ('["' + " " * 450_000 + 'b"]', "Write name ="),
    "quotes in a note": ("# \"" + '\\"' * 200_000, None),
    "quotes in a text": ("[rye]\nname = '" + '"' * 450_000 + "'", None),
    "blanks in a key": ("[rye]\nname" + " " * 450_000 + '= "rye"', None),
    "many headers": ("".join(f"[a{n}]\n" for n in range(50_000)), "'name' is missing"),
    "many deep headers": ("".join(f"[a{n}{'.b' * 11}]\n" for n in range(15_000)), "is missing"),
    "zeros": ("\0" * 1000, "not TOML"),
    "no text": ("\udcff\udcfe", "this is not UTF-8 text"),
    "no header in a line": ('[rye]\nname="r"\n["rye".x]\n', "rye"),
    "not a number": ("[rye]\nwear = nan", "wear is nan"),
}  # fmt: skip


def laid(tmp_path: Path, text: str) -> Path:
    club = tmp_path / "club"
    club.mkdir()
    (club / "grasses.toml").write_bytes(text.encode("utf-8", "surrogateescape"))
    return club


@pytest.mark.slow
@pytest.mark.parametrize("name", TEXTS)
def test_a_text_made_to_hurt_is_refused_in_a_second(tmp_path, name):
    text, says = TEXTS[name]
    club = laid(tmp_path, text)
    began = time.process_time()
    if says is None:
        read_knowledge(GOOD, club)
    else:
        with pytest.raises(KnowledgeError) as caught:
            read_knowledge(GOOD, club)
        assert says in str(caught.value)
        assert "grasses.toml" in str(caught.value)
        assert len(str(caught.value)) < 2000
    assert time.process_time() - began < 4


def _many(folder: Path, count: int, ending: str, text: bytes = b"") -> None:
    folder.mkdir(exist_ok=True)
    for number in range(count):
        (folder / f"{number}{ending}").write_bytes(text)


def _outside(club: Path) -> Path:
    place = club.parent / "outside.toml"
    place.write_text('[rye]\nwear = "low"', encoding="utf-8")
    return place


def _pipe(path: Path) -> None:
    path.parent.mkdir(exist_ok=True)
    os.mkfifo(path)


# What puts a thing into a folder that is no file of its own.
HURT = {
    "pipe": lambda club: _pipe(club / "grasses.toml"),
    "endless": lambda club: (club / "grasses.toml").symlink_to("/dev/zero"),
    "folder": lambda club: (club / "grasses.toml").mkdir(),
    "link out": lambda club: (club / "grasses.toml").symlink_to(_outside(club)),
    "link to nothing": lambda club: (club / "grasses.toml").symlink_to(club / "nowhere.toml"),
    "link to itself": lambda club: (club / "grasses.toml").symlink_to(club / "grasses.toml"),
    "linked folder": lambda club: (club / "rules").symlink_to(club.parent),
    "pipe of a case": lambda club: _pipe(club / "cases" / "x.toml"),
    "pipe of the talk": lambda club: _pipe(club / "talk" / "x.toml"),
    "deep folders": lambda club: club.joinpath(*["d"] * 60).mkdir(parents=True),
    "many files": lambda club: _many(club / "rules", 1_001, ".toml"),
    "many things": lambda club: _many(club, 5_001, ".txt"),
    "much in all": lambda club: _many(club / "rules", 13, ".toml", b"#" * 499_999),
}
THINGS = {
    "pipe": "this is no plain file", "endless": "this is a link", "folder": "this is no plain file",
    "link out": "this is a link", "link to nothing": "this is a link", "link to itself": "this is a link",
    "linked folder": "this is a link", "pipe of a case": "this is no plain file",
    "pipe of the talk": "this is no plain file", "deep folders": "folders stand too deep",
    "many files": "more than 1,000 files", "many things": "more than 5,000 things",
    "much in all": "more than 1,000 files or 6,000,000 bytes",
}  # fmt: skip


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="this system has no pipes with names")
@pytest.mark.parametrize("name", THINGS)
@pytest.mark.parametrize("keeps", [False, True])
def test_a_thing_that_is_no_file_of_the_folder_is_refused(tmp_path, name, keeps):
    club = tmp_path / "club"
    club.mkdir()
    HURT[name](club)
    with pytest.raises(KnowledgeError, match=THINGS[name]) as caught:
        read_knowledge(GOOD, club, kept=tmp_path / "kept" if keeps else None)
    assert str(club) in str(caught.value)


def test_what_a_program_for_versions_keeps_is_not_looked_at(tmp_path):
    club = laid(tmp_path, '[rye]\nwear = "low"')
    (club / ".versions" / "rules").mkdir(parents=True)
    os.mkfifo(club / ".versions" / "rules" / "x.toml")
    (club / ".hidden.toml").symlink_to("/dev/zero")
    assert read_knowledge(GOOD, club, kept=tmp_path / "kept").grasses["rye"].wear == "low"


@pytest.mark.parametrize("read", [lambda f: read_talk([f]), lambda f: read_lands([f]), lambda f: list(read_cases(f / "cases")), lambda f: read_local([f])])  # fmt: skip
def test_whatever_reads_a_folder_by_itself_waits_for_no_pipe(tmp_path, read):
    for place in ("talk/x.toml", "climate/names.toml", "cases/x.toml", "local_words.toml"):
        (tmp_path / place).parent.mkdir(exist_ok=True)
        os.mkfifo(tmp_path / place)
    with pytest.raises(KnowledgeError, match="this is no plain file"):
        read(tmp_path)


@pytest.mark.slow
@pytest.mark.parametrize("name", ["deep dotted names", "wide names"])
def test_the_worst_text_that_is_still_read_costs_little_memory(tmp_path, name):
    deep = "".join(f"[{n:x}{'.a' * (11)}]\n" for n in range(17_000))
    path = tmp_path / "x.toml"
    path.write_text(
        deep if name == "deep dotted names" else "".join(f"[{n:x}]\n" for n in range(60_000)),
        encoding="utf-8",
    )
    code = f"from decide.model.toml_file import toml_file; from pathlib import Path; toml_file(Path({str(path)!r}))"

    def bounded() -> None:
        resource.setrlimit(resource.RLIMIT_AS, (1_000_000_000, 1_000_000_000))

    run = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, preexec_fn=bounded, check=False
    )
    assert run.returncode == 0, run.stderr


def test_numbers_and_names_within_bounds_are_read():
    told = toml_table(
        'a = 0xff\nb = "0x' + "f" * 500 + '"\nd = [' + ", ".join(["1.5"] * 99) + "]\n" + "# a.b" * 99
    )
    assert told["a"] == 255
    assert len(told["d"]) == 99
    with pytest.raises(TomlError) as caught:
        toml_table("a = 1\n\nb = ]")
    assert caught.value.line == 3


def test_lines_are_found_beside_notes_and_quotes():
    text = '# don\'t\n[a]\nb = "it\'s [" # x [\nc = 1\n["d.e"]\nf = [\n 1, # [ "\n]\ng = 1\n'
    lines = Lines(text)
    assert lines.find(("a", "c")) == 4
    assert lines.find(("d.e", "g")) == 9


def test_a_file_says_how_it_cannot_be_read(tmp_path):
    with pytest.raises(KnowledgeError, match="no such file"):
        toml_file(tmp_path / "x.toml")
