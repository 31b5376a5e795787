"""The story of four fields: about a dozen steps, each standing on the rules that the engine fired, easy to read."""

from __future__ import annotations

import pytest

from decide.answer.assemble import advice_of
from decide.consult import Adviser
from decide.decision.consultation import Consultation
from decide.engine.language import Rule
from decide.explain.runs import Runs
from decide.lesson.lines import care_lines, scene_lines, sheet_lines, story_lines, wrapped
from decide.lesson.story import Scene, Story, story
from decide.lesson.turns import turns
from decide.model.errors import DecideError
from decide.model.reading import read_situation
from decide.model.words import first_sentence
from tests.shared import LANGUAGE, case_of

from .conftest import SPARSE
from .reading import grade, syllables

pytestmark = pytest.mark.slow
Told = tuple[Consultation, Story]
# The steps that each of them has, in their order.
BONES = ("known", "counts", "cause", "needs", "ways", "out", "left", "choice", "loser", "date", "change")


def words(scene: Scene) -> str:
    return "\n".join((scene.asks, *(line.removeprefix("- ") for line in scene.tells), scene.so))


def of(told: Story, kind: str) -> Scene:
    return next(scene for scene in told.scenes if scene.kind == kind)


# ---------- its shape ----------
def test_about_a_dozen_steps_in_order(each: Told) -> None:
    _, told = each
    kinds = [scene.kind for scene in told.scenes]
    assert [kind for kind in kinds if kind in BONES] == list(BONES)
    assert 11 <= told.count == len(kinds) <= 14
    assert [scene.number for scene in told.scenes] == list(range(1, len(kinds) + 1))


def test_every_firing_stands_in_one_place(each: Told) -> None:
    """Nothing that the derivation holds is left out, and nothing is told twice."""
    _, told = each
    placed = [step.number for scene in told.scenes for step in scene.steps]
    placed += [step.number for step in told.care_steps]
    assert sorted(placed) == [step.number for step in told.whole.steps]
    assert len(set(told.names.values())) == len(told.whole.steps)


def test_every_rule_of_the_story_fired_in_the_consultation(each: Told) -> None:
    c, told = each
    for step in told.whole.steps:
        if step.rule:
            rule = c.book.rules[step.rule]
            assert (step.act, step.target) == (rule.then.act, rule.then.target)
            assert step.source_keys == rule.sources
    for scene in told.first:
        if scene.guess is not None:
            assert set(scene.guess.rules) <= {step.rule for step in scene.steps}, scene.kind


def test_short_lines_and_few_words(each: Told) -> None:
    """The story without its cautions is read aloud in about seven minutes, at 150 words a minute."""
    _, told = each
    assert sum(len(words(scene).split()) for scene in told.scenes) <= 1100
    for scene in told.scenes:
        assert len(scene.tells) <= 12, scene.kind
        assert all(len(line) <= 330 for line in (*scene.tells, scene.so)), scene.kind


def test_a_class_of_seventeen_can_read_it(each: Told) -> None:
    """Flesch and Kincaid's grade of the whole walk and of each step."""
    _, told = each
    assert grade("\n".join(map(words, told.scenes))) <= 6
    for scene in told.scenes:
        assert grade(words(scene)) <= 8, (scene.kind, grade(words(scene)))


def test_the_counter_by_hand() -> None:
    # Worked in an encyclopedia's article on the formula, read in an excerpt: 13 words, 24 syllables, grade 11.3.
    example = "The Australian platypus is seemingly a hybrid of a mammal and reptilian creature."
    assert sum(map(syllables, example.rstrip(".").split())) == 24
    assert round(grade(example), 1) == 11.3
    words = ("little", "made", "nation", "special", "the", "bare")
    assert [syllables(word) for word in words] == [2, 1, 2, 2, 1, 1]
    assert grade("The cat sat on the mat.") == pytest.approx(0.39 * 6 + 11.8 - 15.59)
    assert grade("The cat: it sat\non the mat") == pytest.approx(0.39 * 3.5 + 11.8 - 15.59)


# ---------- what it says ----------
def test_the_causes_are_those_of_the_advice(each: Told) -> None:
    c, told = each
    scene = of(told, "cause")
    found = [row for row in advice_of(c).causes if row.zone == told.part]
    assert found
    assert all(first_sentence(row.text) in words(scene) for row in found)
    assert scene.so == found[0].bare_again_unless
    assert {rule for row in found for rule in row.rules} <= {step.rule for step in scene.steps}


def test_remedies_are_those_that_are_weighed(each: Told) -> None:
    c, told = each
    zone = next(code for code, held in c.zones.items() if held.name == told.part)
    scene = of(told, "needs")
    for code in c.remedies()[zone]:
        assert c.say.remedy(code) in words(scene).lower()
        called = [step for step in scene.steps if step.target == f"zone.remedy-{code}"]
        assert called or "still missing" in words(scene)


def test_counts_of_ways_add_up(each: Told) -> None:
    """What falls out and what is left are all that were weighed, counted from the verdicts."""
    c, told = each
    zone = next(code for code, held in c.zones.items() if held.name == told.part)
    rows = [w for w in c.weighed.values() if w.draft.zone == zone]
    assert f"{len(rows)} ways are each judged" in of(told, "ways").so
    bad = [w for w in rows if w.verdict in ("late", "not-advised", "ruled-out")]
    assert of(told, "out").tells[0].startswith(f"{len(bad)} of {len(rows)} ways fall out")
    assert f"{len(rows) - len(bad)} ways are left" in of(told, "out").so


def test_each_group_that_falls_out_is_struck_by_its_rule(each: Told) -> None:
    c, told = each
    scene = of(told, "out")
    assert scene.steps
    for step in scene.steps:
        w = c.weighed[step.subject]
        rule: Rule = c.book.rules[step.rule]
        assert rule.adverse
        assert rule.id in {one.id for one, _ in w.firings}
        assert LANGUAGE.verdict(w.verdict) in words(scene)
        if w.verdict == "ruled-out":
            assert rule.then.act == "rule-out"
        elif w.verdict == "late":
            assert rule.then.target == "ready-in-time"
        else:
            assert rule.then.target in c.essential - {"ready-in-time"}


def test_the_choice_is_that_of_the_advice(each: Told) -> None:
    c, told = each
    zone = next(code for code, held in c.zones.items() if held.name == told.part)
    scene = of(told, "choice")
    (end,) = (step for step in scene.steps if step.section == "choice")
    assert end.zone == zone
    assert scene.so == f"{end.concludes}."
    main = c.chosen[zone].option
    assert main is not None
    assert main.verdict_rule in {step.rule for step in scene.steps if step.subject == main.draft.code}


def test_what_nobody_told_is_never_said_to_be_told(adviser: Adviser) -> None:
    told = story(adviser.consult(read_situation(SPARSE)))
    scene = of(told, "untold")
    assert any("hire" in line for line in scene.tells)
    rows = [read for step in told.whole.steps for read in step.facts if read.how in ("usual", "assumed")]
    assert rows
    assert all(any(read.text in line for line in scene.more) for read in rows)


def test_every_told_fact_is_there(each: Told) -> None:
    """Each told value of the situation is said in the first step or in what it opens to."""
    c, told = each
    text = " ".join((*told.scene(1).tells, *told.scene(1).more)).lower()
    facts = [kind for kind in c.types.values() if kind.kind == "told" and kind.type != "true"]
    zone = next(code for code, held in c.zones.items() if held.name == told.part)
    given = {row.key for row in advice_of(c).situation if row.how == "told"}
    for kind in facts:
        value = {**c.site, **c.zone_facts[zone]}.get(kind.name)
        key = kind.told.replace("zone.", f"zone.{zone}.")
        if key in given and value is not None and kind.name not in ("site.country", "site.region"):
            assert c.say.fact(kind, value).lower() in text, key


# ---------- what would change it ----------
def test_each_turn_is_proved_by_judging_again(each: Told) -> None:
    c, told = each
    zone = next(code for code, held in c.zones.items() if held.name == told.part)
    found, tried = turns(c, zone)
    assert tried
    for turn in found:
        assert any(turn.answer in line for line in of(told, "change").tells)
        other = Runs(c).whole({turn.key: turn.value})
        one, two = c.chosen[zone], other.chosen[zone]
        codes = [
            [w.draft.code if w is not None else "" for w in (each.stopgap, each.option or each.least_bad)]
            for each in (one, two)
        ]
        assert codes[0] != codes[1], turn


# ---------- cautions ----------
def test_all_cautions_of_the_advice_with_who_decides(each: Told) -> None:
    c, told = each
    care = "\n".join(care_lines(told))
    for row in advice_of(c).cautions:
        assert row.text in care
        assert row.who_decides in care
    for form in (story_lines(told), story_lines(told, opened=True), sheet_lines(told)):
        assert care in "\n".join(form)
    for row in advice_of(c).today:
        assert row.text in "\n".join(story_lines(told))[:2000]
        assert row.who_decides in "\n".join(story_lines(told))[:2000]


# ---------- parts, ways, lines ----------
def test_another_part_and_another_loser(adviser: Adviser, field: Consultation) -> None:
    assert story(field, "kept square").part == "kept square"
    named = story(field, way="hydromulch")
    assert "hydromulch" in of(named, "loser").asks
    with pytest.raises(DecideError, match="no zone"):
        story(field, "grandstand")
    with pytest.raises(DecideError, match="none of the ways"):
        story(field, way="concrete")


@pytest.mark.parametrize("code", ["uk-foul-flood", "step-cover-warm", "sparse-ie-loose-goals-no-town"])
def test_a_field_of_which_there_is_little_to_tell(adviser: Adviser, code: str) -> None:
    c = adviser.consult(case_of(code).situation)
    told = story(c)
    assert told.scenes[0].kind == "known"
    assert told.scenes[-1].kind == "change"
    assert all(scene.tells and scene.so for scene in told.scenes)
    assert {row.text for row in told.danger} == {row.text for row in advice_of(c).today}


@pytest.mark.parametrize("width", [40, 80])
def test_no_line_is_wider_than_asked(told: Story, width: int) -> None:
    for form in (story_lines(told), story_lines(told, opened=True), sheet_lines(told)):
        assert max(map(len, wrapped(form, width))) <= width


def test_opened_it_holds_every_rule_fact_and_source(told: Story) -> None:
    text = "\n".join(story_lines(told, opened=True))
    for step in told.whole.steps:
        assert step.concludes in text
        assert step.because in text
        assert all(read.text in text for read in step.facts)
        assert all(source in text for source in step.sources)


def test_same_words_again(field: Consultation, told: Story) -> None:
    assert list(story_lines(story(field))) == list(story_lines(told))
    assert "\n".join(scene_lines(told, told.scene(1))) in "\n".join(story_lines(told))
