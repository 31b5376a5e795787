"""What a folder laid over the knowledge takes from a danger or a duty is said with every advice, in every
output, and by the audit.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from decide.consult import Adviser
from decide.explain import ask
from decide.facts.lifted import MOST_NAMED, _Grave, lifted, lifted_lines, with_changes_said
from decide.knowledge.load import knowledge_folder, read_knowledge
from decide.knowledge.tables import Knowledge, Override
from decide.many.short import short_advice
from decide.model.errors import KnowledgeError
from decide.model.reading import read_situation
from decide.model.words import CHANGED
from decide.report.first_screen import first_screen
from decide.report.papers import PAPERS, paper
from decide.report.text import render, render_named
from tests.shared import knowledge

DEMO = (knowledge_folder() / "demo.toml").read_bytes()


def laid(folder: Path, **files: str) -> Knowledge:
    for name, text in files.items():
        path = folder / f"{name.replace('__', '/')}.toml"
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    return read_knowledge(..., folder)


# Each way to take from a danger or a duty: the file and its text, with what is said of it.
WAYS = (
    ("rules/a", 'off = ["trip-hazards-on-the-ground"]', "rule trip-hazards-on-the-ground is off"),
    ("rules/b", 'off = ["spray-mitosis-long-seed"]', "rule spray-mitosis-long-seed is off"),
    ("rules/c", 'off = ["shut-holes"]', "rule shut-holes is off"),
    ("rules/d", 'off = ["option-ruled-out"]', "rule option-ruled-out is off"),
    (
        "rules/e",
        '[[rule]]\nid = "goals-loose"\nwhen = ["site.dangers.loose-goals is true", "site.school is true"]',
        "rule goals-loose is changed",
    ),
    (
        "rules/f",
        '[[rule]]\nid = "glass-on-the-ground"\n[[rule.unless]]\nname = "ours"\nwhen = ["site.school is true"]\n'
        'because = "Ours."',
        "rule glass-on-the-ground is changed",
    ),
    (
        "rules/g",
        '[[rule]]\nid = "needles-on-the-ground"\nthen = { conclude = "site.close-today" }',
        "rule needles-on-the-ground is changed",
    ),
    (
        "rules/h",
        '[[rule]]\nid = "ours"\nabout = "site"\nwhen = ["site.school is true"]\n'
        'then = { conclude = "site.close-today" }\nbecause = "Ours."\nsources = ["own-rule"]',
        "rule ours is added",
    ),
    (
        "cautions",
        '[loose-goals]\ntext = "All is well."\n[glass]\nwho-decides = "nobody"\n[holes]\norder = 9',
        "caution holes is changed",
    ),
    (
        "values/a",
        '[wait-label-mitosis-long-low]\nsays = [{ value = 1, unit = "week", source = "own-rule" }]',
        "number wait-label-mitosis-long-low is changed",
    ),
    # A number, and a fact, that nothing but a risk mark reads.
    (
        "values/b",
        '[mow-share-most]\nsays = [{ value = 80, unit = "percent", source = "own-rule" }]',
        "number mow-share-most is changed",
    ),
    ("rules/k", 'off = ["step-sod-unrooted-by-pull"]', "rule step-sod-unrooted-by-pull is off"),
    ("care/tasks", "[mow-to-recover]\ncautions = []", "mow-to-recover is changed"),
    ("texts/a", 'answer-shut-today = "Fine. {why}"', "the wording of 3 dangers and duties is changed"),
    # What marks a way as a risk, how the order reads silence, and what is understood of what people say.
    ("rules/i", 'off = ["residue-and-seed"]', "rule residue-and-seed is off"),
    (
        "rules/j",
        '[[rule]]\nid = "ryegrass-into-gray-leaf-spot"\nthen = { mark = "risk", grade = "fair" }',
        "rule ryegrass-into-gray-leaf-spot is changed",
    ),
    ("usual", "[site.slope-percent]\nis = 0", "usual reading site.slope-percent is changed"),
    (
        "talk/message_facts",
        '[anchored]\nkey = "site.goals_anchored"\nvalue = true\nsay = ["loose goals?"]\n'
        '[wings-well]\nkey = "site.dangers"\nvalue = "none"\nsay = ["glass"]\nlist = true',
        "3 rows of words that tell of dangers and duties are changed",
    ),
    (
        "questions",
        '[[question]]\nid = "dangers"\nchoices = [{ value = "none", say = ["glass"] }]',
        "3 rows of words that tell of dangers and duties are changed",
    ),
)
# What takes from none.
MEANT = (
    '[[rule]]\nid = "goals-loose"\nbecause = "A goal is loose here."',
    'off = ["sod-buys-time-only"]',
    '[[rule]]\nid = "ours"\nabout = "site"\nwhen = ["site.school is true"]\n'
    'then = { caution = "loose-goals" }\nbecause = "Ours."\nsources = ["own-rule"]',
)


@pytest.mark.slow
def test_what_is_taken_from_a_danger_or_a_duty_is_found(tmp_path: Path) -> None:
    k = laid(tmp_path, **{name.replace("/", "__"): text for name, text, _ in WAYS})
    said = {line.removeprefix("said with every advice: ") for line in lifted_lines(k)}
    assert said == {each for _, _, says in WAYS for each in says.split("; ")}
    assert with_changes_said(k).cautions[CHANGED].text.endswith(f"{len(said) - MOST_NAMED} more rows.")


def test_what_takes_from_none_is_not_named(tmp_path: Path) -> None:
    k = laid(tmp_path, **{f"rules__{place}": text for place, text in enumerate(MEANT)})
    assert len(k.overrides) == len(MEANT)
    assert lifted(k) == []
    assert with_changes_said(k) is k


def test_what_people_say_of_nothing_grave_is_not_named(tmp_path: Path) -> None:
    files = {
        "talk__message_facts": '[ours]\nkey = "means.helpers"\nvalue = 20\nsay = ["the usual crowd"]',
        "talk__echo": '[ours]\ntext = "So it is."',
        "usual": "[site.helpers]\nis = 4",
        "questions": '[[question]]\nid = "dangers"\nask = "Is there a danger?"',
    }
    k = laid(tmp_path, **files)
    assert len(k.overrides) == len(files)
    assert lifted(k) == []


def test_a_translation_is_said_once_and_without_codes(tmp_path: Path) -> None:
    k = knowledge()
    rows = [
        f'[{code}]\nname = "Achtung"\ntext = "Achtung: {code}."\nwho-decides = "der Platzwart"'
        for code in k.cautions
    ]
    needs = [f'[{code}]\ntext = "Es braucht {code}."' for code in k.needs]
    over = laid(tmp_path, cautions="\n".join(rows), needs="\n".join(needs))
    said = f"the wording of {len(k.cautions) + len(k.needs)} dangers and duties is changed"
    assert lifted_lines(over) == [f"said with every advice: {said}"]
    assert (
        with_changes_said(over).cautions[CHANGED].text == f"This advice rests on changed knowledge: {said}."
    )


@pytest.mark.slow
def test_what_was_kept_knows_of_words_of_the_talk_that_came_later(tmp_path: Path) -> None:
    (tmp_path / "club").mkdir()
    assert lifted(read_knowledge(..., tmp_path / "club", kept=tmp_path / "kept")) == []
    (tmp_path / "club" / "talk").mkdir()
    words = '[ours]\nkey = "site.goals_anchored"\nvalue = true\nsay = ["goals"]'
    (tmp_path / "club" / "talk" / "message_facts.toml").write_text(words)
    for _ in range(2):
        k = read_knowledge(..., tmp_path / "club", kept=tmp_path / "kept")
        assert lifted_lines(k) == [
            "said with every advice: 1 row of words that tell of dangers and duties is changed"
        ]


@pytest.mark.slow
def test_it_stands_in_every_output(tmp_path: Path) -> None:
    club = tmp_path / "club"
    with_all = {
        "rules__a": 'off = ["goals-to-be-anchored", "shut-holes"]',
        "cautions": '[holes]\ntext = "Fine."',
    }
    adviser = Adviser(laid(club, **with_all), "plain")
    c = adviser.consult(read_situation(DEMO))
    advice = adviser.advice(c)
    says = "rests on changed knowledge"
    named = "rule shut-holes is off"
    assert advice.today[0].code == CHANGED
    whole = [advice.as_json(full=True), short_advice(c).model_dump_json(), render(advice)]
    whole += [render_named(advice, name) for name in ("more", "all")]
    screens = [first_screen(advice, adviser.knowledge, naming="command", width=width) for width in (40, 80)]
    papers = {kind: paper(kind, advice) for kind in PAPERS}
    longer = [paper(kind, advice, full=True) for kind in ("page", "notes")]
    for text in [*whole, *screens, *papers.values(), *longer]:
        flat = " ".join(text.replace("\n ", "").replace("\r", "").replace(",\\", ",").split())
        assert says in flat or "changed knowledge" in flat, text[:200]
    for text in whole:
        assert named in " ".join(text.split())
    assert says in ask(c, "is it safe to play today").text


def test_no_folder_takes_the_words_for_it(tmp_path: Path) -> None:
    with pytest.raises(KnowledgeError, match="the hole 'what' is missing; it says what was changed"):
        laid(tmp_path, texts__a='changed-knowledge = "All is well."')


def test_the_package_alone_says_nothing() -> None:
    assert lifted(knowledge()) == []


@pytest.mark.parametrize(
    ("keys", "said"),
    [
        ((("old-grass", "4", "2"),), "number"),
        ((("own-grass", "", "2"),), None),
        ((("old-grass", "4", "2"), ("own-grass", "", "2")), "number"),
    ],
)
def test_a_number_that_was_there_is_changed_whatever_is_added_beside_it(
    keys: tuple[tuple[str, str, str], ...], said: str | None
) -> None:
    """A grass of the folder's own, which had no number, takes nothing from a danger."""
    grave = _Grave([], {})
    grave.values.add("wait")
    assert (
        grave.touched(knowledge(), Override("value", "wait", "changed", keys, "club", "club/wait.toml:1"))
        == said
    )
    other = Override("value", "other", "changed", (("old-grass", "4", "2"),), "club", "club/other.toml:1")
    assert grave.touched(knowledge(), other) is None
