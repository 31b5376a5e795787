"""`decide new` gives skeletons that can be read, and `decide cases` runs what a folder of knowledge adds."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from decide.__main__ import main
from decide.cases.decided import judging_rules
from tests.shared import adviser, case_of

ROOT = Path(__file__).parents[2]


def run(monkeypatch: pytest.MonkeyPatch, *words: str | Path) -> int:
    monkeypatch.setattr(sys, "argv", ["decide", *map(str, words)])
    return main()


@pytest.mark.slow
def test_a_rule_and_a_case_pass_the_audit_as_they_are(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(monkeypatch, "new", "rule", "washes-on-our-bank", "--write", tmp_path) == 0
    assert run(monkeypatch, "new", "case", "river-bank", "--write", tmp_path) == 0
    assert capsys.readouterr().err.splitlines() == [
        f"Written: {tmp_path}/rules/washes-on-our-bank.toml",
        f"Written: {tmp_path}/cases/river-bank.toml",
    ]
    assert run(monkeypatch, "audit", "--knowledge", tmp_path) == 0
    assert capsys.readouterr().out == (
        f"rule washes-on-our-bank: added, by {tmp_path}/rules/washes-on-our-bank.toml:2\nnothing wrong\n"
    )
    assert run(monkeypatch, "cases", "river", "--knowledge", tmp_path) == 0
    assert capsys.readouterr().out == "met: river-bank\n1 cases, 0 not met\n"


@pytest.mark.slow
def test_a_value_lacks_nothing_but_a_reader(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(monkeypatch, "new", "value", "our-bank-slope", "--write", tmp_path) == 0
    assert run(monkeypatch, "audit", "--knowledge", tmp_path) == 1
    added, wrong, count = capsys.readouterr().out.splitlines()
    assert added.startswith("value our-bank-slope: added")
    assert "'our-bank-slope' is never used" in wrong
    assert count == "1 problems"


@pytest.mark.slow
def test_what_is_not_met_is_said(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    run(monkeypatch, "new", "case", "river-bank", "--write", tmp_path)
    path = tmp_path / "cases" / "river-bank.toml"
    path.write_text(
        path.read_text(encoding="utf-8").replace('["repair", "renovate"]', '"recover"'), encoding="utf-8"
    )
    capsys.readouterr()
    assert run(monkeypatch, "cases", "river", "--knowledge", tmp_path) == 1
    first, second, last = capsys.readouterr().out.splitlines()
    assert first == "not met: river-bank"
    assert "signed 'recover'" in second
    assert last == "1 cases, 1 not met"


@pytest.mark.slow
def test_the_audit_warns_of_rules_that_no_case_decides(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Of a bank of one case: it decides some rules and not others, and the audit finds nothing wrong."""
    case = case_of("sparse-us-temple-twelve-hours")
    monkeypatch.setattr("decide.cli.cases.bank", lambda folders, names: [case])
    assert run(monkeypatch, "audit", "--cases") == 0
    lines = capsys.readouterr().out.splitlines()
    warned = lines[lines.index("nothing wrong") + 1 :]
    assert all(line.startswith("warning: ") and "no case decides the rule" in line for line in warned)
    rules = {line.partition("no case decides the rule ")[2].partition(";")[0] for line in warned}
    assert rules < set(judging_rules(adviser()))


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["rule"], "new takes rule, value or case, and a name for it"), (["grass", "x"], "new takes rule, value or case"),
        (["rule", "Our Bank"], "'Our Bank' is not a name. Write small letters, digits and hyphens"),
    ],
)  # fmt: skip
def test_wrong_words_are_said(
    words: list[str], said: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(monkeypatch, "new", *words) == 2
    assert said in capsys.readouterr().err


def test_nothing_is_written_over(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(monkeypatch, "new", "rule", "ours", "--write", tmp_path) == 0
    held = (tmp_path / "rules" / "ours.toml").read_bytes()
    assert run(monkeypatch, "new", "rule", "ours", "--write", tmp_path) == 1
    assert "it is there already" in capsys.readouterr().err
    assert (tmp_path / "rules" / "ours.toml").read_bytes() == held


@pytest.mark.slow
def test_no_case_of_such_a_name_is_said(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(monkeypatch, "cases", "no-such-case") == 1
    assert "no case has 'no-such-case' in its name" in capsys.readouterr().err
