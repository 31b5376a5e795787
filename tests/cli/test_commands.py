"""The commands: what they print, how they fail, and what they load."""

from __future__ import annotations

import io
import json
import subprocess
import sys
from pathlib import Path

import pytest

from decide.__main__ import main
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


@pytest.mark.parametrize("words", [("lesson", "--help"), ("lesson", "-h"), ("help", "lesson")])
def test_help_of_a_command_is_its_own_lines(
    words: tuple[str, ...], monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(sys, "argv", ["decide", *words])
    assert main() == 0
    lines = capsys.readouterr().out.splitlines()
    assert lines[0].startswith("decide lesson FILE ")
    assert any(line.startswith("decide lesson --break RULE") for line in lines)
    assert not any(line.startswith("decide ") and not line.startswith("decide lesson") for line in lines)


@pytest.mark.parametrize("words", [("--help",), ("help",), ("audit", "--help"), ("no-such", "--help")])
def test_help_names_every_command(
    words: tuple[str, ...], monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(sys, "argv", ["decide", *words])
    assert main() == 0
    assert "decide audit" in capsys.readouterr().out


@pytest.mark.slow
def test_same_input_same_bytes() -> None:
    one, two = decide("advise", "-", "--json", data=SMALL), decide("advise", "-", "--json", data=SMALL)
    assert one.returncode == 0
    assert one.stdout == two.stdout
    assert json.loads(one.stdout)["schema"] == "advice/1"


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


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["advice", "x"], "Write 'advise'?"), (["advise"], "one situation file"), (["advise", "x", "--jsn"], "--json"),
        (["advise", "no-such-file.toml"], "No such file"), (["advise", "-", "--width", "9"], "20 to 400"), (["advise", "-", "--units", "us2"], "metric or us"),
    ],
)  # fmt: skip
def test_wrong_use_says_what_to_write(
    words: list[str], said: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(sys, "argv", ["decide", *words])
    assert main() in (1, 2)
    assert said in capsys.readouterr().err


@pytest.mark.slow
def test_schemas_are_json_schemas() -> None:
    for words in ([], ["situation"]):
        schema = json.loads(decide("schema", *words).stdout)
        assert schema["type"] == "object"
        assert schema["properties"]
