"""A folder laid over the knowledge adds and overrides rows key by key, and what it does is told."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from decide.knowledge.audit import audit
from decide.knowledge.load import read_knowledge
from decide.model.errors import KnowledgeError

GOOD = Path(__file__).parents[1] / "mistakes" / "good"


def laid(tmp_path, **files):
    """The small sound knowledge with a folder "club" laid over it, of files by name."""
    folder = tmp_path / "club"
    folder.mkdir()
    for name, text in files.items():
        path = folder / f"{name.replace('__', '/')}.toml"
        path.parent.mkdir(exist_ok=True)
        path.write_text(text, encoding="utf-8")
    return read_knowledge(GOOD, folder)


def told(k, tmp_path):
    return [str(each).replace(str(tmp_path), "DIR") for each in k.overrides]


def test_a_key_is_overridden_and_the_rest_of_the_row_stays(tmp_path):
    k = laid(tmp_path, grasses='[rye]\nwear = "moderate"')
    old = read_knowledge(GOOD).grasses["rye"]
    assert k.grasses["rye"] == old.model_copy(update={"wear": "moderate"})
    assert list(k.grasses) == ["rye", "blue"]
    assert told(k, tmp_path) == ["grass rye: wear moderate instead of high, by DIR/club/grasses.toml:1"]
    assert k.folder_of("grasses", "rye") == "club"
    assert k.folder_of("grasses", "blue") == ""


def test_what_is_written_as_it_stands_is_no_change(tmp_path):
    assert laid(tmp_path, grasses='[rye]\nwear = "high"').overrides == ()


def test_a_number_comes_into_use_for_its_key_alone(tmp_path):
    k = laid(
        tmp_path,
        values__ours='\n[seed-weeks-low]\nsays = [{ key = "blue", value = 63, unit = "day", source = "page" }]',
    )
    assert k.value("seed-weeks-low", "blue") == 9
    assert k.value("seed-weeks-low", "rye") == 6
    value = k.values["seed-weeks-low"]
    assert [(each.key, each.amount, each.used, each.folder) for each in value.statements] == [
        ("blue", 9, True, "club"),
        ("blue", 10, False, ""),
        ("blue", 12, False, ""),
        ("rye", 6, True, ""),
    ]
    assert value.subject == "ours"
    assert told(k, tmp_path) == [
        "value seed-weeks-low: blue: 63 day instead of 12 week, by DIR/club/values/ours.toml:2"
    ]


def test_a_number_is_taken_out_and_another_unit_keeps_the_old_numbers(tmp_path):
    k = laid(
        tmp_path,
        values__ours='[seed-weeks-low]\nunit = "day"\nno-data = ["blue"]\n[comfort]\nsays = [{ value = 20, source = "page" }]',
    )
    assert k.value("seed-weeks-low", "blue") is None
    assert k.value("seed-weeks-low", "rye") == 42
    assert k.value("comfort") == 20
    assert told(k, tmp_path) == [
        "value seed-weeks-low: blue: no data instead of 12 week; unit: day instead of week, by DIR/club/values/ours.toml:1",
        "value comfort: 20 week instead of 30 week, by DIR/club/values/ours.toml:4",
    ]


def test_rules_are_switched_off_replaced_and_added(tmp_path):
    k = laid(
        tmp_path,
        rules__ours='off = ["tight"]\n\n[[rule]]\nid = "comfortable"\nthen = { mark = "risk", grade = "fair" }\n\n'
        '[[rule]]\nid = "ours"\nabout = "zone"\nwhen = ["zone.worn is true"]\nthen = { caution = "soft-fall" }\n'
        'because = "So it is."\nsources = ["page"]\n',
    )
    was = [rule.id for rule in read_knowledge(GOOD).rules]
    assert [rule.id for rule in k.rules] == [*(name for name in was if name != "tight"), "ours"]
    rule = next(rule for rule in k.rules if rule.id == "comfortable")
    assert rule.then["grade"] == "fair"
    assert rule.because == "There are weeks to spare."
    assert told(k, tmp_path) == [
        "rule tight: switched off, by DIR/club/rules/ours.toml:1",
        "rule comfortable: then changed, by DIR/club/rules/ours.toml:3",
        "rule ours: added, by DIR/club/rules/ours.toml:7",
    ]


@pytest.mark.parametrize(
    ("files", "says"),
    [
        (
            {"grasses": '[rye]\nwear = "much"'},
            "DIR/club/grasses.toml:2: rye: wear is 'much'. Write one of: low, moderate or high",
        ),
        (
            {"grasses": '[rey]\nwear = "low"'},
            "DIR/club/grasses.toml:1: rey: 'name' is missing. Write name = …. Write 'rye'?",
        ),
        (
            {"grasses": '[rye]\nfrom = ["hydroseed"]'},
            "DIR/club/grasses.toml:1: rye: 'hydroseed' is not a method. Write one of: broadcast-seed",
        ),
        (
            {"grasses": '[rye]\nwear = "low"\n[rye]\nwear = "high"'},
            "DIR/club/grasses.toml:3: not TOML: Cannot declare ('rye',) twice",
        ),
        (
            {"values__a": "[comfort]\nsays = []", "values__b": "[comfort]\nsays = []"},
            "DIR/club/values/b.toml:1: 'comfort' stands twice. The other is at DIR/club/values/a.toml:1",
        ),
        (
            {"values__a": '[comfort]\nsays = [{ value = 3, source = "pgae" }]'},
            "DIR/club/values/a.toml:1: value 'comfort': there is no source 'pgae'. Write 'page'?",
        ),
        (
            {"rules__a": 'off = ["tigth"]'},
            "DIR/club/rules/a.toml:1: there is no rule 'tigth' to switch off. Write 'tight'?",
        ),
        (
            {"rules__a": 'off = "tight"'},
            'DIR/club/rules/a.toml:1: off is not a list of rules. Write off = ["rule-id"]',
        ),
        (
            {"rules__a": 'off = [["tight"]]'},
            'DIR/club/rules/a.toml:1: off is not a list of rules. Write off = ["rule-id"]',
        ),
        (
            {"rules__a": '[[rule]]\nid = "tight"\nsources = []\n[[rule]]\nid = "tight"\nsources = []'},
            "DIR/club/rules/a.toml:4: rule 'tight' stands twice. The other is at DIR/club/rules/a.toml:1",
        ),
        (
            {"grases": "[rye]"},
            "DIR/club/grases.toml: no table is read from a file of this name. Write 'grasses.toml'?",
        ),
    ],
)
def test_a_mistake_is_told_with_the_folders_own_file_and_line(tmp_path, files, says):
    with pytest.raises(KnowledgeError) as caught:
        laid(tmp_path, **files)
    assert str(caught.value).replace(str(tmp_path), "DIR") == says


def test_the_first_folder_switches_nothing_off(tmp_path):
    (tmp_path / "rules").mkdir()
    (tmp_path / "rules" / "a.toml").write_text('off = ["tight"]', encoding="utf-8")
    for name in ("sources.toml", "weighing.toml"):
        (tmp_path / name).write_bytes((GOOD / name).read_bytes())
    with pytest.raises(KnowledgeError, match="unknown table 'off'"):
        read_knowledge(tmp_path)


@pytest.mark.slow
def test_three_folders_are_read_in_turn_and_dots_are_the_packages_own(tmp_path):
    for name, grade in (("one", "low"), ("two", "moderate")):
        (tmp_path / name).mkdir()
        (tmp_path / name / "grasses.toml").write_text(f'[tall-fescue]\nwear = "{grade}"', encoding="utf-8")
    k = read_knowledge(..., tmp_path / "one", tmp_path / "two")
    assert k.grasses["tall-fescue"].wear == "moderate"
    assert k.folder_of("grasses", "tall-fescue") == "two"
    assert [each.folder for each in k.overrides] == ["one", "two"]
    assert k.digest != read_knowledge(...).digest == read_knowledge().digest


@pytest.fixture
def club(tmp_path):
    """A copy of the worked folder of an association, to be spoiled."""
    return Path(shutil.copytree(Path(__file__).parents[1] / "examples" / "overlay", tmp_path / "club"))


def spoiled(folder, file, find, put):
    path = folder / file
    text = path.read_text(encoding="utf-8")
    assert find in text
    path.write_text(text.replace(find, put), encoding="utf-8")


@pytest.mark.slow
def test_a_grass_that_is_never_ready_and_a_text_that_nothing_says_are_found(club):
    for end in ("early", "late"):
        spoiled(club, "values/ours.toml", f"[weeks-light-use-{end}]", f"[weeks-rooted-{end}]")
    spoiled(club, "texts/ours.toml", "by-folder", 'open-ful = "closed"\nby-folder')
    assert [str(each).replace(str(club), "DIR") for each in audit(read_knowledge(..., club))[0]] == [
        "DIR/grasses.toml:3: grass harbour-fescue: no figure for light use from seed: it will never be chosen. "
        "Write weeks-light-use-early and weeks-light-use-late with the key 'harbour-fescue/seed', or put it "
        "under no-data",
        "DIR/texts/ours.toml:1: text 'open-ful' is read nowhere. Write 'open-full'?",
    ]


@pytest.mark.slow
@pytest.mark.parametrize(
    ("text", "says"),
    [
        ('open-full = "county {gmaes}"', "text 'open-full': there is no hole 'gmaes'; it has none"),
        (
            'by-folder = "by {foldr}"',
            "text 'by-folder': there is no hole 'foldr'; it has 'folder'. Write 'folder'?",
        ),
        (
            'by-folder = { other = "by {folder}" }',
            "text 'by-folder': there is no hole 'n'; it has 'folder'. Write one of: folder",
        ),
    ],
)
def test_a_hole_that_nothing_fills_is_refused_on_reading(club, text, says):
    (club / "texts" / "ours.toml").write_text(text, encoding="utf-8")
    with pytest.raises(KnowledgeError) as caught:
        read_knowledge(..., club)
    assert str(caught.value) == f"{club}/texts/ours.toml:1: {says}"
