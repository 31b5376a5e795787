"""Rules on both sides: what is not as signed is said; whether all are met tests/mutation asks, together with the mistakes in them."""

from __future__ import annotations

from pathlib import Path

import pytest

from decide.cases.spoken import Listener, read_spoken
from decide.model.errors import KnowledgeError
from tests.shared import adviser

FIELD = """title = "a club in Columbus"
[situation.place]
name = "Columbus"
region = "us-oh"
[situation.dates]
today = 2026-08-20
[[situation.zone]]
name = "pitch"
area_m2 = 300
bare_percent = 45
[[rule]]
rule = "{rule}"
signed = "What has stood in the shed need not be hired."
sources = ["common-practice"]
says = "mark can-be-done strong"
of = {{ method = "{method}" }}
with = {{ "means.equipment_own" = ["mower", "spreader", "rake", "drag-mat"] }}
silent = [{silent}]
"""
HIRED = '{ "means.equipment_own" = ["mower"], "means.equipment_hire" = ["spreader", "rake", "drag-mat"] }'


def _unmet(
    folder: Path, rule: str = "machine-owned", method: str = "broadcast-seed", silent: str = HIRED
) -> str:
    path = folder / "rules-means.toml"
    path.write_text(FIELD.format(rule=rule, method=method, silent=silent))
    listener = Listener(adviser())
    return "\n".join(filter(None, map(listener.unmet, read_spoken(path, path.name))))


def test_a_rule_is_met_where_it_speaks_and_is_silent(tmp_path: Path) -> None:
    assert _unmet(tmp_path) == ""


PROPOSED = """title = "a club in Birmingham"
[situation.place]
name = "Birmingham"
country = "us"
region = "us-al"
[situation.dates]
today = 2026-12-15
[[situation.zone]]
name = "outfield"
area_m2 = 6000
bare_percent = 20
bare_pattern = "scattered"
grass = [{ grass = "common bermudagrass", state = "green" }]
[[rule]]
rule = "window-closed"
signed = "Winter cover that comes more than a week from now is not covered by what is seen today."
sources = ["common-practice"]
says = "mark risk weak"
with = { "proposal" = [{ step = "overseed", grass = "perennial ryegrass", start = 2026-12-23 }] }
of = { step = "overseed" }
silent = [{ "proposal" = [{ step = "overseed", grass = "perennial ryegrass", start = 2026-12-22 }] }]
"""


def test_a_rule_about_options_is_heard_of_the_way_that_a_step_proposes(tmp_path: Path) -> None:
    path = tmp_path / "rules-timing.toml"
    path.write_text(PROPOSED)
    listener, rows = Listener(adviser()), read_spoken(path, path.name)
    assert [*map(listener.unmet, rows)] == ["", ""]
    path.write_text(PROPOSED.replace('of = { step = "overseed" }', 'of = { step = "lay-sod" }'))
    told = [*map(listener.unmet, read_spoken(path, path.name))]
    assert ["has nothing to speak of" in each for each in told] == [True, True]


def test_what_is_not_met_is_said_with_the_change(tmp_path: Path) -> None:
    found = _unmet(tmp_path, silent='{ "zone.area_m2" = 310 }')
    assert found == (
        "rules-means.toml:11: machine-owned speaks (mark can-be-done strong; zone.area_m2 = 310; "
        "of method broadcast-seed)"
    )


def test_a_rule_is_not_silent_of_what_is_not_there(tmp_path: Path) -> None:
    found = _unmet(tmp_path, silent='{ of = { method = "nothing" } }')
    assert "machine-owned has nothing to speak of" in found


@pytest.mark.parametrize(
    ("silent", "wrong", "instead"),
    [
        ("", "silent: List should have at least 1 item after validation, not 0", "Known: rule, signed"),
        ("{ }", "Value error, a change stands twice, or changes nothing", "Known: rule, signed"),
        ('{ "zone.area_m2.x" = 3 }', "'zone.area_m2.x' is no key of a situation", "zone.bare_percent"),
        ('{ of = { way = "sprigs" } }', "way: Extra inputs are not permitted", "Known: rule, signed"),
    ],
)
def test_what_cannot_be_read_is_said(tmp_path: Path, silent: str, wrong: str, instead: str) -> None:
    with pytest.raises(KnowledgeError) as error:
        _unmet(tmp_path, silent=silent)
    assert (error.value.wrong, error.value.where) == (wrong, "rules-means.toml:11")
    assert instead in (error.value.instead or "")


def test_a_rule_that_is_not_there_is_named(tmp_path: Path) -> None:
    with pytest.raises(KnowledgeError, match="there is no rule 'machine-ownd'"):
        _unmet(tmp_path, rule="machine-ownd")


STEP = FIELD.replace('of = {{ method = "{method}" }}', 'of = {{ step = "{method}" }}')


@pytest.mark.parametrize(
    ("rule", "says", "told", "silent"),
    [
        (
            "zone-kept-off",
            "rule-out fits-place",
            '"zone.keep_off" = true, "proposal" = [{ step = "lay-sod", method = "thin-sod", grass = "tall fescue" }]',
            '{ "zone.keep_off" = false }',
        ),
        (
            "step-ruled-out",
            "verdict ruled-out",
            '"now.ground" = "waterlogged", "proposal" = [{ step = "lay-sod", method = "thin-sod", grass = "tall fescue" }]',
            '{ "now.ground" = "open" }',
        ),
    ],
)
def test_a_rule_on_the_option_of_a_step_and_on_its_verdict_is_heard_of_that_step(
    tmp_path: Path, rule: str, says: str, told: str, silent: str
) -> None:
    path = tmp_path / "rules-steps.toml"
    text = STEP.format(rule=rule, method="lay-sod", silent=silent)
    text = text.replace("mark can-be-done strong", says)
    text = "\n".join(f"with = {{ {told} }}" if row.startswith("with") else row for row in text.splitlines())
    path.write_text(text)
    listener, rows = Listener(adviser()), read_spoken(path, path.name)
    assert [*filter(None, map(listener.unmet, rows))] == []
    path.write_text(text.replace('step = "lay-sod" }\nwith', 'step = "mow" }\nwith'))
    assert "has nothing to speak of" in listener.unmet(read_spoken(path, path.name)[0])
