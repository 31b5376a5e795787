"""The commands: what they print, how they fail, and what they load."""

from __future__ import annotations

import datetime as dt
import importlib
import io
import json
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from decide.__main__ import main
from decide.cli.table import COMMANDS
from decide.cli.words import UseError, read
from decide.model.reading import read_situation

ROOT = Path(__file__).parents[2]
SMALL = '[place]\nname = "York"\ncountry = "gb"\n[dates]\ntoday = 2026-05-12\n[field]\nbare_percent = 30\n'


def decide(*words: str, data: str | bytes = "") -> subprocess.CompletedProcess[bytes]:
    given = data.encode() if isinstance(data, str) else data
    return subprocess.run(
        [sys.executable, "-m", "decide", *words], input=given, capture_output=True, cwd=ROOT, check=False
    )


def test_version_loads_no_terminal_library() -> None:
    code = (
        "import sys; sys.argv = ['decide', '--version']; import decide.__main__ as m; m.main(); "
        "print([n for n in ('prompt_toolkit', 'rich', 'numpy', 'pydantic') if n in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, cwd=ROOT, check=True)
    assert done.stdout.strip().endswith("[]")
    assert "engines:" in done.stdout


def run(monkeypatch: pytest.MonkeyPatch, *words: str) -> int:
    monkeypatch.setattr(sys, "argv", ["decide", *words])
    return main()


@pytest.mark.parametrize("words", [("lesson", "--help"), ("lesson", "x", "-h"), ("help", "lesson")])
def test_help_of_a_command_names_its_words(
    words: tuple[str, ...], monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(monkeypatch, *words) == 0
    out = capsys.readouterr().out
    assert out.startswith("usage: decide lesson ")
    for option in COMMANDS["lesson"].options:
        assert option.name in out


@pytest.mark.parametrize("words", [("--help",), ("-h",), ("help",)])
def test_help_names_every_command(
    words: tuple[str, ...], monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(monkeypatch, *words) == 0
    out = capsys.readouterr().out
    assert {line.split()[0] for line in out.splitlines() if line.startswith("    ") and line[4] != " "} >= {
        *COMMANDS
    }


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish", "tcsh"])
def test_completion_knows_every_command_and_option(
    shell: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(monkeypatch, "completion", shell) == 0
    out = capsys.readouterr().out
    for command in COMMANDS.values():
        assert command.name in out
        for option in command.options:
            assert option.name.removeprefix("--") in out


@pytest.mark.skipif(shutil.which("bash") is None, reason="needs bash")
def test_bash_reads_its_completion(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(monkeypatch, "completion", "bash") == 0
    script = (
        capsys.readouterr().out
        + "\nCOMP_WORDS=(decide advise --qu); COMP_CWORD=2; _shtab_decide; echo ${COMPREPLY[@]}\n"
    )
    done = subprocess.run(["bash"], input=script, capture_output=True, text=True, check=True)
    assert done.stdout.split() == ["--quick"]


def test_every_row_of_the_table_has_its_function() -> None:
    for command in COMMANDS.values():
        module, _, function = command.home.partition(":")
        assert callable(getattr(importlib.import_module(f"decide.cli.{module}"), function))
        names = [option.name for option in command.options]
        assert len(set(names)) == len(names)


# Words of a command, and what they come to.
READ: list[tuple[str, list[str], dict[str, object]]] = [
    ("advise", ["a.toml", "--width=60", "--json"], {"file": "a.toml", "width": 60, "json": True, "engine": "both"}),
    ("advise", ["--json", "--", "-a.toml"], {"file": "-a.toml", "json": True}),
    ("advise", ["-", "--knowledge", "one", "--knowledge=two"], {"file": "-", "knowledge": ["one", "two"]}),
    ("advise", ["a", "--show", "plan"], {"file": "a", "show": "plan", "full": False}),
    ("explain", ["a", "why", "--level", "2", "not", "sod"], {"file": "a", "question": ["why", "not", "sod"], "level": 2}),
    ("explain", ["a", "--", "--why"], {"question": ["--why"]}),
    ("record", ["a", "mow", "--on", "2026-05-20", "--amount=-3", "--passed", "no"], {"what": ["mow"], "on": dt.date(2026, 5, 20), "amount": -3.0, "passed": False}),
    ("lesson", ["--break", "x", "--with=b"], {"file": None, "broken": "x", "other": "b", "seed": 0}),
    ("talk", [], {"talk": None, "lines": False, "knowledge": []}),
]  # fmt: skip


@pytest.mark.parametrize(("name", "words", "wanted"), READ)
def test_words_are_named(name: str, words: list[str], wanted: dict[str, object]) -> None:
    found = vars(read(COMMANDS[name], words))
    assert {key: found[key] for key in wanted} == wanted


@pytest.mark.parametrize("word", ["-1", "1.5", "", "²", "9999999999"])
def test_numbers_are_whole_numbers(word: str) -> None:
    with pytest.raises(UseError, match="--seed"):
        read(COMMANDS["lesson"], [f"--seed={word}"])


@pytest.mark.slow
def test_same_input_same_bytes() -> None:
    one, two = decide("advise", "-", "--json", data=SMALL), decide("advise", "-", "--json", data=SMALL)
    assert one.returncode == 0
    assert one.stdout == two.stdout
    assert json.loads(one.stdout)["schema"] == "advice/2"


@pytest.mark.slow
def test_json_holds_every_option_where_all_are_asked_for() -> None:
    short, whole = (
        json.loads(decide("advise", "-", "--json", *more, "--quick", "--engine", "plain", data=SMALL).stdout)
        for more in ((), ("--all",))
    )
    assert len(short["options"]) < len(whole["options"]) == short["options_judged"]
    assert {row["code"] for row in short["options"]} <= {row["code"] for row in whole["options"]}


def test_all_is_for_json_alone() -> None:
    done = decide("advise", "-", "--all", data=SMALL)
    assert done.returncode == 2
    assert b"Write --json --all" in done.stderr


def test_json_situation_gives_the_same_as_toml() -> None:
    data = {
        "place": {"name": "York", "country": "gb"},
        "dates": {"today": "2026-05-12"},
        "field": {"bare_percent": 30},
    }
    assert read_situation(json.dumps(data)) == read_situation(SMALL)


# Each input, and words that its message must hold. Written by hand.
BAD: list[tuple[str, str | bytes, list[str]]] = [
    ("unknown key", '[place]\nnaem = "York"\n', ["line 2", "naem", "'name'"]),
    ("out of range", "[field]\nbare_percent = 400\n", ["line 2", "400", "at most 100"]),
    ("two readings of a date", '[dates]\ntoday = "12/6"\n', ["line 2", "2026-05-20"]),
    ("play by before today", "[dates]\ntoday = 2026-05-12\nplay_by = 2026-01-01\n", ["play_by", "before", "still to come"]),
    ("unit mix-up", "[field]\nlength_m = 100\nwidth_m = 60\narea_m2 = 64600\n", ["area_m2", "length times width", "unit"]),
    ("contradiction", '[means]\nwater = "none"\nflow_l_min = 20\n', ["means.water", "flow"]),
    ("empty", "", ["empty", "[place]"]),
    ("binary", b"\x00\x01\x02\xff", ["not text"]),
    ("not utf-8", b"name = \"\xff\xfe\"", ["UTF-8"]),
    ("ten megabytes", "#" * 10_000_000, ["bytes"]),
    ("nested bomb", "a = " + "[" * 5000 + "]" * 5000, ["nested too deeply"]),
    ("json bomb", "{\"a\": " + "[" * 5000 + "]" * 5000 + "}", ["nested too deeply"]),
    ("not toml", "what is this", ["line 1", "not TOML"]),
    ("nan", "[field]\nsun_hours = nan\n", ["line 2", "finite"]),
    ("no such town", '[place]\nname = "Yorkk"\n[dates]\ntoday = 2026-05-12\n', ["Yorkk", "York"]),
    ("towns of one name", '[place]\nname = "Springfield"\n[dates]\ntoday = 2026-05-12\n', ["several towns", "Illinois"]),
    ("no such grass", '[dates]\ntoday = 2026-05-12\n[wishes]\ngrass = "blugrass"\n', ["blugrass", "bluegrass"]),
    ("us and metric twice", "[field]\nlength_m = 100\nlength_ft = 300\n", ["twice"]),
    ("table for a text", 'place = "York"\n', ["[place]"]),
    ("backward span", "[dates]\nno_play = [{from = 2026-05-01, until = 2026-04-01}]\n", ["backwards"]),
]  # fmt: skip


class Given:
    """Standard input that holds bytes."""

    def __init__(self, data: bytes) -> None:
        self.buffer = io.BytesIO(data)


@pytest.mark.slow
@pytest.mark.parametrize(("name", "data", "words"), BAD, ids=[name for name, *_ in BAD])
def test_bad_input_is_a_message(
    name: str,
    data: str | bytes,
    words: list[str],
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.setattr(sys, "argv", ["decide", "advise", "-"])
    monkeypatch.setattr(sys, "stdin", Given(data.encode() if isinstance(data, str) else data))
    code = main()
    out, said = capsys.readouterr()
    assert code == 1
    assert out == ""
    assert "Traceback" not in said
    assert said.count("\n") <= 2
    for word in words:
        assert word in said


@pytest.mark.slow
def test_markup_and_escapes_in_names_are_shown_and_harmless() -> None:
    data = SMALL.replace(
        "[field]\nbare_percent = 30", '[[zone]]\nname = "[red]\\u001b[31mend[/red]"\nbare_percent = 30'
    )
    done = decide("advise", "-", "--quick", data=data)
    assert done.returncode == 0
    assert b"\x1b" not in done.stdout
    assert b"[red]" in done.stdout


def test_bad_input_from_a_real_pipe() -> None:
    done = decide("advise", "-", data=b"\x00\x01\xff")
    assert (done.returncode, done.stdout) == (1, b"")
    assert b"Traceback" not in done.stderr
    assert b"not text" in done.stderr


# Wrong words, and the whole of what is said. Written by hand.
WRONG: list[tuple[list[str], str]] = [
    (["advice", "x"], "'advice' is not a command. Write 'advise'? `decide --help` lists them"),
    (["--frob"], "'--frob' is not a command. `decide --help` lists them"),
    (["help", "advice"], "'advice' is not a command. Write 'advise'?"),
    (["advise"], 'advise takes one situation file, or "-" for standard input'),
    (["advise", "a", "b"], 'advise takes one situation file, or "-" for standard input'),
    (["advise", "x", "--jsn"], "'--jsn' is not an option of advise. Write '--json'?"),
    (["advise", "x", "--jsn=3"], "'--jsn' is not an option of advise. Write '--json'?"),
    (["advise", "x", "--json=3"], "--json takes no word"),
    (["advise", "x", "--width"], "--width needs a word after it"),
    (["advise", "-", "--width", "9"], "--width is a number of columns from 20 to 400"),
    (["advise", "-", "--show", "wages"], "--show is more, week, plan, water, care, money or reasons"),
    (["advise", "-", "--units", "us2"], "--units is metric or us"),
    (["advise", "-", "--engine", "durable"], "--engine is both or plain"),
    (["explain", "x", "--level", "4"], "--level is 1, 2 or 3"),
    (["record", "x"], "record takes a situation file and what is to be written down: decide record field.toml mow"),
    (["record", "x", "mow", "--on", "1/9/2024"], "--on 1/9/2024 is not a date that can be read one way only. Write it as 2026-05-20"),
    (["record", "x", "mow", "--amount", "much"], "--amount much is not a number. Write a plain number, and its unit after --unit"),
    (["record", "x", "mow", "--passed", "so"], "--passed is yes or no"),
    (["schema", "field"], "schema takes nothing or one word. Write one of: advice, many, record, situation"),
    (["completion", "sh"], "completion takes the name of a shell: bash, zsh, fish, tcsh"),
    (["--talk"], "--talk needs a word after it"),
    (["talk", "--colour"], "'--colour' is not an option of talk. Write one of: --knowledge, --lines, --talk, --today, --units"),
    (["--today", "12/6"], "--today 12/6 is not a date that can be read one way only. Write it as 2026-05-20"),
    (["audit", "x"], "audit takes no other words"),
]  # fmt: skip


@pytest.mark.parametrize(("words", "said"), WRONG)
def test_wrong_use_says_what_to_write(
    words: list[str], said: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(monkeypatch, *words) == 2
    assert capsys.readouterr() == ("", f"decide: {said}\n")


@pytest.mark.slow
@pytest.mark.parametrize("command", ["advise", "explain", "windows", "record", "lesson"])
def test_a_file_that_is_not_there_is_said(
    command: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(monkeypatch, command, "no-such-file.toml", *(["mow"] if command == "record" else [])) == 1
    assert "no-such-file.toml: No such file" in capsys.readouterr().err


def test_every_command_that_reads_knowledge_takes_a_folder_of_it() -> None:
    without = {
        command.name
        for command in COMMANDS.values()
        if "--knowledge" not in [option.name for option in command.options]
    }
    assert without == {"completion", "help", "new", "schema", "version"}


@pytest.mark.parametrize(
    "words",
    [
        ["advise", "-"], ["explain", "-"], ["windows", "-"], ["record", "x", "mow"], ["lesson", "-"], ["audit"], ["sources"], ["cases"], ["demo"],
        ["changed", "--situations", "-", "-"],
    ],
)  # fmt: skip
def test_a_folder_of_knowledge_that_is_not_there_is_said(
    words: list[str], monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(sys, "stdin", Given(SMALL.encode()))
    assert run(monkeypatch, *words, "--knowledge", "nowhere") == 1
    assert "nowhere: there is no such folder" in "".join(capsys.readouterr())


@pytest.mark.slow
def test_schemas_are_json_schemas() -> None:
    for words in ([], ["situation"]):
        schema = json.loads(decide("schema", *words).stdout)
        assert schema["type"] == "object"
        assert schema["properties"]
