"""Mistakes are planted as they would be written, and found where a case looks."""

from __future__ import annotations

import ast
import json
import random
import tomllib
from collections import Counter
from functools import cache
from pathlib import Path

import pytest
from coverage import CoverageData

from decide.cases.bank import read_cases
from decide.cases.spoken import Heard, Listener, spoken_in
from decide.knowledge.load import knowledge_folder
from tests.mutation import code, passing
from tests.mutation.planted import Planted, Planter
from tests.mutation.survey import by_figures, by_rules, survey
from tests.shared import CASE_FOLDER, adviser

NOTICED: dict[str, str] = json.loads((Path(__file__).parent / "noticed.json").read_text(encoding="utf-8"))
SLIPS: dict[str, str] = json.loads((Path(__file__).parent / "slips.json").read_text(encoding="utf-8"))
REASONS = tomllib.loads((Path(__file__).parent / "reasons.toml").read_text(encoding="utf-8"))
CASES_IN_CI = 40
NUMBERS_IN_CI = 30
# Of the mistakes of the fixed samples so many are noticed at least.
NOTICED_LEAST = 0.9
PARTS = 4
RULE_PARTS = 12
# No row can sign these on both sides, each with the reason.
UNSIGNED = {
    "essential-place": "its one fact is true or open: no answer makes it silent",
    "essential-can-be-done": "its one fact is true or open: no answer makes it silent",
    "essential-money": "its one fact is true or open: no answer makes it silent",
    "asked-by-pattern": "its one fact has two levels, and is open where it is not told; a case of its own decides it",
}


@cache
def _planted() -> dict[str, Planted]:
    planter = Planter(adviser())
    return {each.name: each for each in (*planter.rules(), *planter.values())}


@pytest.mark.slow
def test_every_rule_is_planted_with_mistakes_and_names_are_unique() -> None:
    planter = Planter(adviser())
    rules = [*planter.rules()]
    assert len({each.name for each in rules}) == len(rules)
    touched = frozenset[str]().union(*(each.edited.ids for each in rules))
    assert touched == adviser().rules.keys()
    kinds = Counter(each.kind for each in rules)
    assert kinds["off"] == sum(
        rule.then.act != "verdict" and not rule.bend_of for rule in adviser().rules.values()
    )
    assert kinds.keys() == {"off", "condition", "exception", "limit", "conclusion"}


@pytest.mark.slow
def test_a_limit_is_moved_by_a_fifth_and_its_stretch_with_it() -> None:
    planted = _planted()[
        "open-thin-cover-as-counted: 'step.cover-percent < value:opening-cover-light' times 0.8"
    ]
    rules = planted.edited.rules
    assert [rules["open-thin-cover-as-counted"].when[1].number] == [pytest.approx(0.8 * 70)]
    stretch = rules["open-thin-cover-as-counted--doubtful"]
    assert min(c.number for c in stretch.when if c.number is not None) == pytest.approx(0.8 * 70)


@pytest.mark.slow
def test_what_goes_by_whole_steps_moves_by_one_at_least() -> None:
    moved = _planted()["open-seed-mown-too-seldom: 'step.mowings < value:opening-mows-light' times 1.2"]
    before = adviser().rules["open-seed-mown-too-seldom"].when[1].number
    after = moved.edited.rules["open-seed-mown-too-seldom"].when[1].number
    assert before is not None
    assert after is not None
    step = adviser().base.facts["step.mowings"].step or 0
    assert after - before == pytest.approx(max(step, 0.2 * before))


@pytest.mark.slow
def test_a_number_is_another_in_all_rules_that_read_it() -> None:
    rules = _planted()["turf-worth-keeping times 1.2"].edited.rules
    assert {"till-living-turf", "fill-on-living-turf", "nonselective-on-good-turf"} <= rules.keys()


@pytest.mark.slow
def test_cases_notice_what_they_look_at_and_nothing_else() -> None:
    cases = [case for case in read_cases(CASE_FOLDER, "both-sides-mechanical") if ":6" in case.code]
    names = ["roll-with-vibration: off", "roll-heavy: off", "till-in-play: off"]
    found = survey(adviser(), cases, [_planted()[name] for name in names])
    assert found == {
        "roll-with-vibration: off": "both-sides-mechanical:6b",
        "roll-heavy: off": "both-sides-mechanical:6a",
        "till-in-play: off": "",
    }


@pytest.mark.slow
def test_what_cases_noticed_they_notice_still() -> None:
    """A fixed slice: the cases by which most was noticed."""
    known = {name: case for name, case in NOTICED.items() if case and name in _planted()}
    chosen = [case for case, _ in Counter(known.values()).most_common(CASES_IN_CI)]
    asked = {name: case for name, case in known.items() if case in chosen}
    cases = [case for case in read_cases(knowledge_folder() / "cases") if case.code in chosen]
    found = survey(adviser(), cases, [_planted()[name] for name in asked], asked)
    assert [name for name, case in found.items() if not case] == []


# ---------- rules on both sides ----------
@cache
def _rows() -> list[Heard]:
    return [*spoken_in(CASE_FOLDER, "rules-")]


@pytest.mark.slow
def test_every_rule_is_signed_on_both_sides() -> None:
    signed = {row.row.rule for row in _rows()}
    written = {rule.id for rule in adviser().base.rules if not rule.bend_of}
    assert signed <= written
    assert written - signed == UNSIGNED.keys()


@pytest.mark.slow
@pytest.mark.parametrize("part", range(RULE_PARTS))
def test_rules_speak_and_are_silent_as_signed_and_every_mistake_in_them_is_noticed(part: int) -> None:
    """All of them but those that stand with a reason: a mistake that no row notices is one that nobody would see."""
    mine = {*sorted({row.row.rule for row in _rows()})[part::RULE_PARTS]}
    rows = [row for row in _rows() if row.row.rule in mine]
    listener = Listener(adviser())
    assert [*filter(None, map(listener.unmet, rows))] == []
    planted = [each for each in Planter(adviser()).rules() if each.edited.ids & mine]
    found = by_rules(adviser(), rows, planted)
    left = {name for name, where in found.items() if not where}
    assert left - REASONS.keys() == set()
    assert 1 - len(left) / len(found) >= NOTICED_LEAST


@pytest.mark.slow
def test_of_a_sample_of_numbers_a_fifth_off_nearly_all_are_noticed() -> None:
    """By what is published of them, or by rules that are signed on both sides."""
    planted = random.Random(0).sample([*Planter(adviser()).values()], NUMBERS_IN_CI)
    found = by_figures(adviser().knowledge, planted)
    found |= by_rules(adviser(), _rows(), [each for each in planted if not found.get(each.name)])
    left = [each.name for each in planted if not found.get(each.name)]
    assert 1 - len(left) / len(planted) >= NOTICED_LEAST, left


# ---------- code ----------
SOURCE = """
def most(a, b):
    if not a:
        return b + 1
    return max(a, b) if a <= b else None
"""


def test_slips_of_code_are_each_one_change(tmp_path: Path) -> None:
    file = tmp_path / "some.py"
    file.write_text(SOURCE, encoding="utf-8")
    made = {slip.what: slip for slip in code.slips(file, tmp_path)}
    assert made.keys() == {
        "not a without not", "b + 1 as b - 1", "1 as 2", "max(a, b) as min", "a <= b as a < b",
    }  # fmt: skip
    for slip in made.values():
        assert ast.dump(ast.parse(slip.text)) != ast.dump(ast.parse(SOURCE))
    assert "min(a, b) if a <= b" in made["max(a, b) as min"].text
    assert (made["1 as 2"].name, made["1 as 2"].line) == ("some.py: most: 1 as 2", 4)
    assert made["not a without not"].lines == range(3, 4)


def test_where_the_code_changes_the_rest_of_a_sample_stays() -> None:
    made = code.all_slips()
    sample = code.sampled(made, 60, 7)
    assert len({slip.name for slip in sample}) == 60
    assert code.sampled([slip for slip in made if slip != sample[30]], 59, 7) == [*sample[:30], *sample[31:]]
    assert code.sampled(made, 60, 8) != sample


def test_the_tests_that_pass_by_fewest_lines_are_asked_first(tmp_path: Path) -> None:
    data = CoverageData(str(tmp_path / "map"))
    for context, lines in (
        ("", [1, 2]),
        ("t.py::a|run", [3, 4, 5]),
        ("t.py::b[x|y]|run", [4]),
        ("t.py::c|setup", [3]),
    ):
        data.set_context(context)
        data.add_lines({"/copy/some.py": lines})
    data.write()
    passed = passing.read(tmp_path / "map")
    assert passed.by("some.py", range(4, 5)) == ["t.py::b[x|y]", "t.py::a"]
    assert passed.by("some.py", range(3, 4)) == ["t.py::c", "t.py::a"]
    assert passed.by("some.py", range(1, 3)) == passed.by("other.py", range(1, 9)) == []


TESTS = """
from decide.measure.some import most

def test_of_nothing():
    assert most(0, 4) == 5

def test_of_two():
    assert most(1, 2) == 2

def test_wrong():
    assert most(1, 2) == 3
"""


@pytest.mark.slow
def test_a_slip_is_noticed_by_a_test_that_passes_without_it(tmp_path: Path) -> None:
    files = {"decide/measure/some.py": SOURCE, "tests/test_some.py": TESTS, "pyproject.toml": ""}
    # What is asked of the room is there, and notices nothing.
    files |= dict.fromkeys(
        ("tests/measure/test_room.py", "tests/test_judgements.py"), "def test_room(): pass"
    )
    for name, text in files.items():
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_text(text, encoding="utf-8")
    made = {slip.what: slip for slip in code.slips(tmp_path / "decide/measure/some.py", tmp_path)}
    none, two, wrong = (f"tests/test_some.py::test_{name}" for name in ("of_nothing", "of_two", "wrong"))

    def passed_by(*tests: str) -> passing.Passing:
        """A map in which the tests pass by every line."""
        data = CoverageData(no_disk=True)
        for test in tests:
            data.set_context(f"{test}|run")
            data.add_lines({"/copy/decide/measure/some.py": range(1, 9)})
        return passing.Passing(data, Counter(tests))

    near = passed_by(none, two)
    assert code.noticed(made["max(a, b) as min"], tmp_path, near) == two
    assert code.noticed(made["b + 1 as b - 1"], tmp_path, near, two) == none
    assert code.noticed(made["a <= b as a < b"], tmp_path, near) == ""
    # One that was noticed by a test that is gone is asked anew.
    assert code.noticed(made["1 as 2"], tmp_path, near, "tests/test_some.py::test_gone") == none
    # One that fails in any case notices nothing.
    assert code.noticed(made["a <= b as a < b"], tmp_path, near, wrong) == ""
    assert code.still_noticed(made["max(a, b) as min"], tmp_path, two)
    assert not code.still_noticed(made["max(a, b) as min"], tmp_path, none)
    assert code.all_pass(tmp_path, [none, two])
    assert not code.all_pass(tmp_path, [none, "tests/test_some.py::test_gone"])
    assert (tmp_path / "decide/measure/some.py").read_text(encoding="utf-8") == SOURCE


@pytest.mark.slow
def test_of_a_sample_of_slips_nearly_all_are_noticed_and_the_rest_has_reasons() -> None:
    left = {name for name, test in SLIPS.items() if not test}
    assert 1 - len(left) / len(SLIPS) >= NOTICED_LEAST
    assert left <= REASONS.keys()
    assert SLIPS.keys() - {slip.name for slip in code.all_slips()} == set(), (
        "these lines are otherwise now: python -m tests.mutation code --sample 60 --seed 7 --write"
    )


@pytest.mark.slow
@pytest.mark.parametrize("part", range(PARTS))
def test_the_tests_that_noticed_slips_notice_them_still(part: int, tmp_path: Path) -> None:
    house = code.house_copied(tmp_path)
    made = {slip.name: slip for slip in code.all_slips()}
    noticed = [(name, test) for name, test in sorted(SLIPS.items()) if test][part::PARTS]
    assert code.all_pass(house, [*dict.fromkeys(test for _, test in noticed)])
    assert [name for name, test in noticed if not code.still_noticed(made[name], house, test)] == []
