"""What DEVELOPERS.md calls stable is still there: names of the library, commands, options, exit codes, keys; and what went says so."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from decide import Adviser, EngineError, KnowledgeError, read_knowledge
from decide.model.version import KNOWLEDGE_FORM
from tests.promises import promised
from tests.shared import knowledge

WRITTEN = json.loads((Path(__file__).parent / "promises.json").read_text(encoding="utf-8"))


@pytest.mark.parametrize("of", WRITTEN)
def test_nothing_that_was_promised_has_gone(of: str) -> None:
    """What is new is written down with `python tests/promises.py`; what goes is warned of for a minor version first."""
    now = promised()[of]
    assert sorted(set(WRITTEN[of]) - set(now)) == []
    assert sorted(set(now) - set(WRITTEN[of])) == [], "python tests/promises.py"


def test_the_engine_that_went_is_refused_with_what_to_write_instead() -> None:
    with pytest.raises(EngineError, match=r"'durable' is no choice of engines. Write \"both\""):
        Adviser(knowledge(), "durable")  # type: ignore[arg-type]  # what went is the test


# ---------- the form of a folder of knowledge ----------
@pytest.mark.parametrize(
    ("text", "said"),
    [
        (f"[folder]\nform = {KNOWLEDGE_FORM + 1}\n", f"folder.toml:2: this folder is written in form {KNOWLEDGE_FORM + 1}, and form {KNOWLEDGE_FORM} is read here. Use a newer version of decide"),
        ("[folder]\nform = 0\n", "folder.toml:2: form is 0. Write form = 1"),
        ('[folder]\nform = "1"\n', "folder.toml:2: form is '1'. Write form = 1"),
        ("[folder]\nform = true\n", "folder.toml:2: form is True. Write form = 1"),
        ("[folder]\nfrom = 1\n", "folder.toml:2: unknown key 'from'. Write 'form'?"),
        ("folder = 1\n", "folder.toml: folder is no table. Write [folder]"),
        ("[folders]\nform = 1\n", "folder.toml:1: unknown table 'folders'. Write [folder]"),
    ],
)  # fmt: skip
def test_a_folder_of_another_form_is_refused_before_its_tables_are_read(
    tmp_path: Path, text: str, said: str
) -> None:
    (tmp_path / "folder.toml").write_text(text, encoding="utf-8")
    # A mistake of the tables themselves would be another matter: they may be of a form that is not known.
    (tmp_path / "grasses.toml").write_text("[rye]\nno-such-key = 1\n", encoding="utf-8")
    with pytest.raises(KnowledgeError) as caught:
        read_knowledge(..., tmp_path)
    assert said in str(caught.value)


@pytest.mark.slow
def test_a_folder_says_its_form_or_nothing(tmp_path: Path) -> None:
    (tmp_path / "folder.toml").write_text(f"[folder]\nform = {KNOWLEDGE_FORM}\n", encoding="utf-8")
    assert read_knowledge(..., tmp_path).overrides == ()
