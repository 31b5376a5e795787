"""The house keeps its measures: modules and classes of one job each, imports that run one way, and each library in its place."""

from __future__ import annotations

import ast

from tests import house

MOST_MODULE_LINES, MOST_CLASS_LINES = 500, 300


def test_modules_are_short() -> None:
    assert [name for name, path, _ in house.modules() if house.lines_of(path) > MOST_MODULE_LINES] == []


def test_classes_are_short() -> None:
    assert [each for each in house.classes() if each.lines > MOST_CLASS_LINES] == []


def test_no_modules_need_each_other_round() -> None:
    assert house.circles() == []


def test_no_module_takes_a_private_name_of_another() -> None:
    assert house.private_across() == []


def test_only_its_own_module_names_the_second_engine_s_library() -> None:
    named = {
        name
        for name, _, tree in house.modules()
        for node in ast.walk(tree)
        if isinstance(node, ast.Constant) and isinstance(node.value, str)
        if "durable_rules" in node.value or "durable-rules" in node.value
    }
    assert named == {"decide.engine.durable"}


def test_every_module_begins_with_what_it_is_for() -> None:
    assert [name for name, _, tree in house.modules() if not (ast.get_docstring(tree) or "").strip()] == []


def test_the_measures_see_what_is_wrong(tmp_path) -> None:
    """A house with each fault, measured by the same functions."""
    room = tmp_path / "decide"
    room.mkdir()
    (room / "one.py").write_text(
        "from decide.two import _hidden\n\n\nclass Long:\n" + "    x = 1\n" * 301, encoding="utf-8"
    )
    (room / "two.py").write_text("from decide import one\n\n_hidden = 1\n" + "\n" * 500, encoding="utf-8")
    assert house.circles(tmp_path) == [["decide.one", "decide.two"]]
    assert house.private_across(tmp_path) == ["decide.one: _hidden of decide.two"]
    assert [each.name for each in house.classes(tmp_path) if each.lines > MOST_CLASS_LINES] == [
        "decide.one.Long"
    ]
    assert [
        name for name, path, _ in house.modules(tmp_path) if house.lines_of(path) > MOST_MODULE_LINES
    ] == ["decide.two"]
