"""What DEVELOPERS.md shows holds: its rule in ten minutes is run word for word, and it names every room and every key of a case."""

from __future__ import annotations

import re
import shlex
import sys
from pathlib import Path

import pytest

from decide.__main__ import main
from decide.cases.signed import Expected

ROOT = Path(__file__).parent.parent
TEXT = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
FILES = re.findall(r"<!-- file: (.+?) -->\n```toml\n(.*?)```", TEXT, re.S)
RUN = re.search(r"<!-- run -->\n```sh\n(.*?)```\n\n```text\n(.*?)```", TEXT, re.S)


@pytest.mark.slow
def test_a_rule_in_ten_minutes(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    for name, text in FILES:
        path = tmp_path / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    assert len(FILES) == 4
    assert RUN is not None
    monkeypatch.chdir(tmp_path)
    for line in RUN[1].splitlines():
        monkeypatch.setattr(sys, "argv", shlex.split(line))
        assert main() == 0, line
    out = capsys.readouterr().out
    assert out.startswith(RUN[2])
    assert "bank-by-the-river" in out
    assert "It bears on 1 of these, and one comes out\notherwise.\n" in out


def test_every_room_is_named() -> None:
    rooms = {
        path.name for path in (ROOT / "decide").iterdir() if path.is_dir() and path.name != "__pycache__"
    }
    named = set(re.findall(r"`([a-z]+)/`", TEXT))
    assert rooms <= named


def test_every_key_of_a_case_is_named() -> None:
    for key in Expected.model_fields:
        assert f"`{key}`" in TEXT, key
