"""The graph read back by a strict reader of its own, the page by an HTML parser; a user's words stay words."""

from __future__ import annotations

import re
from collections import Counter

import html5lib
import pytest

from decide.decision.consultation import Consultation
from decide.lesson.dot import dot
from decide.lesson.page import lesson_page
from decide.lesson.story import Story, story
from tests.contrast import LEAST, contrast, palettes

pytestmark = pytest.mark.slow
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


def test_dot_holds_every_step_and_every_dependence(told: Story) -> None:
    nodes, edges = read_dot(dot(told))
    assert {name for name in nodes if name.startswith("s")} == {
        f"s{step.number}" for step in told.whole.steps
    }
    assert all(one in nodes and two in nodes for one, two in edges)
    wanted = {
        (f"s{before}", f"s{step.number}")
        for step in told.whole.steps
        for read in step.facts
        for before in read.steps
    }
    assert {edge for edge in edges if edge[0].startswith("s")} == wanted
    given = sum(1 for step in told.whole.steps for read in step.facts if not read.steps)
    assert 0 < len([edge for edge in edges if edge[0].startswith("f")]) <= given
    assert len(set(edges)) == len(edges)


def test_dot_has_no_circle(told: Story) -> None:
    _, edges = read_dot(dot(told))
    assert all(int(one[1:]) < int(two[1:]) for one, two in edges if one.startswith("s"))
    assert not [two for _, two in edges if two.startswith("f")]


def test_reader_of_dot_refuses_what_is_broken(told: Story) -> None:
    for broken in (dot(told).replace('"', "", 1), dot(told).replace("];", ";", 1), dot(told)[:-3]):
        with pytest.raises((AssertionError, ValueError)):
            read_dot(broken)


def test_hostile_words_stay_words_in_dot(hostile: Consultation) -> None:
    nodes, edges = read_dot(dot(story(hostile)))
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


def _flat(text: str) -> str:
    return " ".join(text.split())


@pytest.mark.parametrize("guessing", [False, True])
def test_page_is_sound_and_can_be_walked(told: Story, guessing: bool) -> None:
    rows, errors = _parsed(lesson_page(told, guessing=guessing))
    assert errors == []
    ids = Counter(attributes["id"] for _, attributes, _ in rows if "id" in attributes)
    assert [name for name, count in ids.items() if count > 1] == []
    links = [attributes["href"] for tag, attributes, _ in rows if tag == "a"]
    assert links
    assert all(link.startswith("#") and link[1:] in ids for link in links)
    for scene in told.scenes:
        assert f"#step-{scene.number}" in links
    assert {"script", "iframe", "img", "link"}.isdisjoint(tag for tag, _, _ in rows)
    assert not [name for _, attributes, _ in rows for name in attributes if name.startswith("on")]


def test_the_page_says_its_language_and_its_title(told: Story) -> None:
    rows, _ = _parsed(lesson_page(told))
    (page,) = (attributes for tag, attributes, _ in rows if tag == "html")
    assert page["lang"] == "en"
    title, head = (_flat(next(text for tag, _, text in rows if tag == name)) for name in ("title", "h1"))
    assert title == head


@pytest.mark.parametrize("which", [0, 1])
def test_words_stand_out_from_their_ground(told: Story, which: int) -> None:
    found = palettes(lesson_page(told).partition("<style>")[2].partition("</style>")[0])
    assert len(found) == 2
    for ground in ("ground", "head"):
        for name in ("ink", "soft", "good", "link", "danger"):
            assert contrast(found[which][name], found[which][ground]) >= LEAST, (name, ground)


def test_in_print_the_steps_stand_and_what_is_for_a_screen_is_left_out(told: Story) -> None:
    page = lesson_page(told)
    printing = page.partition("@media print")[2].partition("</style>")[0]
    assert "nav, .hint { display: none; }" in printing
    assert "details:not([open]) { display: none; }" in printing
    assert ".step { break-inside: avoid; }" in printing
    # The answers that a class may choose from are printed, though each is shut.
    assert ".choices details { display: block; }" in printing
    rows, _ = _parsed(page)
    (hint,) = (text for tag, attributes, text in rows if tag == "p" and attributes.get("class") == "hint")
    assert "Tab" in hint


def test_headings_go_down_one_by_one(told: Story) -> None:
    rows, _ = _parsed(lesson_page(told))
    levels = [int(tag[1]) for tag, _, _ in rows if re.fullmatch(r"h[1-6]", tag)]
    assert levels[0] == 1
    assert levels.count(1) == 1
    assert set(levels[1:]) == {2, 3}
    assert levels[1] == 2
    heads = [_flat(text) for tag, _, text in rows if tag == "h2"]
    assert all(any(scene.asks in head for head in heads) for scene in told.scenes)


def test_everything_that_opens_says_what_it_opens_and_is_shut(told: Story) -> None:
    rows, _ = _parsed(lesson_page(told))
    opened = [attributes for tag, attributes, _ in rows if tag == "details"]
    names = [_flat(text) for tag, _, text in rows if tag == "summary"]
    assert len(opened) == len(names) > len(told.whole.steps)
    assert all(names)
    assert all("open" not in attributes for attributes in opened)


def test_sections_are_named_by_their_heads(told: Story) -> None:
    rows, _ = _parsed(lesson_page(told))
    ids = {attributes["id"]: _flat(text) for _, attributes, text in rows if "id" in attributes}
    named = [attributes["aria-labelledby"] for tag, attributes, _ in rows if tag in ("section", "nav")]
    assert named
    assert all(ids[name] for name in named)
    assert len({"html", "header", "nav", "main", "footer"} & {tag for tag, _, _ in rows}) == 5


def test_page_says_all_that_the_rules_say(told: Story) -> None:
    """Facts, rule and conclusion stand inside one another, each with its source."""
    rows, _ = _parsed(lesson_page(told))
    boxes = {
        attributes["id"]: _flat(text)
        for _, attributes, text in rows
        if attributes.get("id", "").startswith("rule-")
    }
    assert len(boxes) == len(told.whole.steps)
    for step in told.whole.steps:
        box = boxes[f"rule-{told.named(step.number)}"]
        wanted = (step.because, step.concludes, step.rule, *step.sources, *(read.text for read in step.facts))
        at = [box.find(_flat(each)) for each in wanted]
        assert min(at) >= 0, (step.rule, wanted)
    body = _flat(next(text for tag, _, text in rows if tag == "body"))
    for row in (*told.danger, *told.care):
        assert _flat(row.text) in body
        assert _flat(row.who) in body


def test_a_guess_opens_to_its_hint_and_hides_the_step(told: Story) -> None:
    rows, errors = _parsed(lesson_page(told, guessing=True))
    assert errors == []
    hidden = [
        _flat(text)
        for tag, attributes, text in rows
        if tag == "details" and attributes.get("class") == "answer"
    ]
    asked = [scene for scene in told.first if scene.guess is not None]
    assert asked
    for scene in asked:
        assert scene.guess is not None
        assert sum(_flat(scene.so) in text for text in hidden) == 1
        section = next(
            _flat(text) for _, attributes, text in rows if attributes.get("id") == f"step-{scene.number}"
        )
        assert section.count(_flat(scene.guess.hint)) >= len(scene.guess.choices) - 1
        assert section.index(_flat(scene.guess.asks)) < section.index(_flat(scene.so))


def test_hostile_words_stay_words_on_the_page(hostile: Consultation) -> None:
    page = lesson_page(story(hostile))
    rows, errors = _parsed(page)
    assert errors == []
    assert "<script" not in page
    assert "alert(1)" in next(text for tag, _, text in rows if tag == "body")


def test_same_bytes(field: Consultation, told: Story) -> None:
    assert lesson_page(story(field)) == lesson_page(told)
    assert dot(story(field)) == dot(told)
