"""The graph: DOT read back by a strict reader of its own, the page by an HTML parser; a user's words stay words."""

from __future__ import annotations

import re
from collections import Counter
from itertools import pairwise

import html5lib
import pytest

from decide.decision.consultation import Consultation
from decide.lesson.dot import dot
from decide.lesson.guess import guess
from decide.lesson.make import lesson
from decide.lesson.page import lesson_page
from decide.lesson.steps import Lesson

# The DOT language, for as far as it is used: https://graphviz.org/doc/info/lang.html; a backslash takes the next letter with it.
TOKEN = re.compile(r'\s*("(?:[^"\\]|\\.)*"|[A-Za-z_][A-Za-z_0-9]*|-?\d+(?:\.\d+)?|->|[{}\[\];,=])')


def read_dot(text: str) -> tuple[dict[str, dict[str, str]], list[tuple[str, str]]]:
    """Nodes with their attributes, and edges; AssertionError where the text is not one digraph of statements."""
    tokens: list[str] = []
    at = 0
    text = text.rstrip()
    while at < len(text):
        match = TOKEN.match(text, at)
        assert match, f"no token at {text[at : at + 40]!r}"
        tokens.append(match[1])
        at = match.end()
    assert tokens[0] == "digraph"
    assert tokens[2] == "{"
    assert tokens[-1] == "}"
    nodes: dict[str, dict[str, str]] = {}
    edges: list[tuple[str, str]] = []
    rest = tokens[3:-1]
    while rest:
        end = rest.index(";")
        statement, rest = rest[:end], rest[end + 1 :]
        if len(statement) == 3 and statement[1] == "->":
            edges.append((statement[0], statement[2]))
        elif len(statement) == 3 and statement[1] == "=":
            continue
        else:
            assert statement[1] == "["
            assert statement[-1] == "]"
            inside = statement[2:-1]
            rows = [inside[place : place + 3] for place in range(0, len(inside), 4)]
            assert all(len(row) == 3 and row[1] == "=" for row in rows)
            assert all(comma == "," for comma in inside[3::4])
            if statement[0] != "node":
                assert statement[0] not in nodes
                nodes[statement[0]] = {key: value for key, _, value in rows}
    return nodes, edges


def test_dot_holds_every_step_and_every_dependence(whole: Lesson) -> None:
    nodes, edges = read_dot(dot(whole))
    assert {name for name in nodes if name.startswith("s")} == {f"s{step.number}" for step in whole.steps}
    assert all(one in nodes and two in nodes for one, two in edges)
    wanted = {
        (f"s{before}", f"s{step.number}")
        for step in whole.steps
        for read in step.facts
        for before in read.steps
    }
    assert {edge for edge in edges if edge[0].startswith("s")} == wanted
    given = sum(1 for step in whole.steps for read in step.facts if not read.steps)
    assert 0 < len([edge for edge in edges if edge[0].startswith("f")]) <= given
    assert len(set(edges)) == len(edges)


def test_dot_has_no_circle(whole: Lesson) -> None:
    _, edges = read_dot(dot(whole))
    assert all(int(one[1:]) < int(two[1:]) for one, two in edges if one.startswith("s"))
    assert not [two for _, two in edges if two.startswith("f")]


def test_reader_of_dot_refuses_what_is_broken(whole: Lesson) -> None:
    for broken in (dot(whole).replace('"', "", 1), dot(whole).replace("];", ";", 1), dot(whole)[:-3]):
        with pytest.raises((AssertionError, ValueError)):
            read_dot(broken)


def test_hostile_words_stay_words_in_dot(hostile: Consultation) -> None:
    nodes, edges = read_dot(dot(lesson(hostile)))
    assert edges
    assert all(re.fullmatch(r"[sf]\d+", name) for name in nodes)
    assert any("alert(1)" in node["label"] for node in nodes.values())


def _parsed(page: str) -> tuple[list[tuple[str, dict[str, str], str]], list[object]]:
    parser = html5lib.HTMLParser(namespaceHTMLElements=False)
    tree = parser.parse(page)
    rows = []
    for element in tree.iter():
        if isinstance(element.tag, str):
            rows.append((element.tag.rpartition("}")[2], dict(element.attrib), "".join(element.itertext())))
    return rows, parser.errors


def test_page_is_sound_and_can_be_walked(whole: Lesson) -> None:
    rows, errors = _parsed(lesson_page(whole))
    assert errors == []
    ids = Counter(attributes["id"] for _, attributes, _ in rows if "id" in attributes)
    assert [name for name, count in ids.items() if count > 1] == []
    links = [attributes["href"] for tag, attributes, _ in rows if tag == "a"]
    assert all(link.startswith("#") and link[1:] in ids for link in links)
    for step in whole.steps:
        assert f"step-{step.number}" in ids
        assert f"#step-{step.number}" in links
        assert f"#node-{step.number}" in links
    assert "script" not in {tag for tag, _, _ in rows}
    assert not [name for _, attributes, _ in rows for name in attributes if name.startswith("on")]
    for one, two in pairwise(range(1, len(whole.steps) + 1)):
        assert links.count(f"#step-{two}") >= 2, (one, two)


def test_picture_has_words_for_those_who_do_not_see_it(whole: Lesson) -> None:
    rows, _ = _parsed(lesson_page(whole))
    pictures = [attributes for tag, attributes, _ in rows if tag == "svg"]
    assert len(pictures) == 1
    names = {
        attributes["id"]
        for tag, attributes, text in rows
        if tag in ("title", "desc") and "id" in attributes and text
    }
    assert set(pictures[0]["aria-labelledby"].split()) <= names
    boxes = [
        attributes
        for tag, attributes, _ in rows
        if tag == "a" and attributes.get("id", "").startswith("node-")
    ]
    assert len(boxes) == len(whole.steps)
    assert all(step.concludes in box["aria-label"] for step, box in zip(whole.steps, boxes, strict=True))


def test_page_says_all_that_a_step_says(whole: Lesson) -> None:
    rows, _ = _parsed(lesson_page(whole))
    body = next(text for tag, _, text in rows if tag == "body")
    for step in whole.steps:
        assert step.because in body
        assert all(read.text in body for read in step.facts)
        assert all(source in body for source in step.sources)


def test_boxes_do_not_lie_on_each_other(whole: Lesson) -> None:
    rows, _ = _parsed(lesson_page(whole))
    boxes = [
        tuple(int(attributes[key]) for key in ("x", "y", "width", "height"))
        for tag, attributes, _ in rows
        if tag == "rect"
    ]
    assert len(boxes) == len(whole.steps)
    for place, (x, y, wide, high) in enumerate(boxes):
        assert all(
            x + wide <= left or left + width <= x or y + high <= top or top + height <= y
            for left, top, width, height in boxes[place + 1 :]
        )


def test_hostile_words_stay_words_on_the_page(hostile: Consultation) -> None:
    page = lesson_page(lesson(hostile))
    rows, errors = _parsed(page)
    assert errors == []
    assert "<script" not in page
    assert "alert(1)" in next(text for tag, _, text in rows if tag == "body")


def test_guessed_page_keeps_conclusions_in_details(field: Consultation, whole: Lesson) -> None:
    page = lesson_page(whole, [guess(field, whole, step.number) for step in whole.steps])
    rows, errors = _parsed(page)
    assert errors == []
    closed = [attributes for tag, attributes, _ in rows if tag == "details"]
    assert len(closed) == len(whole.steps) + 1
    assert all("open" not in attributes for attributes in closed)
    boxes = [
        attributes["aria-label"]
        for tag, attributes, _ in rows
        if tag == "a" and attributes.get("id", "").startswith("node-")
    ]
    assert not [box for step, box in zip(whole.steps, boxes, strict=True) if step.concludes in box]


def test_same_bytes(field: Consultation, whole: Lesson) -> None:
    assert lesson_page(lesson(field)) == lesson_page(whole)
    assert dot(lesson(field)) == dot(whole)
