"""An invented club's field in York, judged once by the plain engine for all tests of lessons."""

from __future__ import annotations

import pytest

from decide.cases.signed import Case
from decide.consult import Adviser
from decide.decision.consultation import Consultation
from decide.knowledge.load import knowledge_folder
from decide.lesson.make import lesson
from decide.lesson.steps import Lesson
from decide.lesson.story import Story, story
from decide.model.reading import read_situation
from tests.shared import case_of

FIELD = """
[place]
name = "York"
country = "gb"
[dates]
today = 2026-05-12
play_by = 2026-09-12
first_use = "matches"
can_close = "locked"
no_play = [{from = 2026-05-12, until = 2026-09-11}]
[site]
goals_anchored = true
dangers = ["holes"]
[field]
length_m = 90
width_m = 55
soil = "loam"
drainage = "good"
[[use]]
sport = "football"
months = ["sep", "oct", "nov", "mar", "apr"]
hours_per_week = 6
players = "youth"
[[zone]]
name = "goalmouths"
area_m2 = 200
bare_percent = 90
bare_pattern = "solid"
bare_shape = "follows play"
began = "play weeks"
grass = [{grass = "perennial ryegrass", share_percent = 100, state = "green"}]
[[zone]]
name = "kept square"
area_m2 = 300
keep_off = true
[means]
water = "in-ground sprinklers"
wettings_weekday = 4
equipment_own = ["mower", "rake", "spreader", "roller"]
[history]
herbicides = []
[[proposal]]
step = "roll"
zone = "goalmouths"
tool = "heavy roller"
"""
# Town, sport, part, date and no more.
SPARSE = """
[place]
name = "Leeds"
country = "gb"
[dates]
today = 2026-05-12
play_by = 2026-09-05
[[use]]
sport = "football"
[[zone]]
name = "goalmouths"
bare_percent = 80
"""
WARM = """
[place]
name = "Macon"
region = "Georgia"
country = "us"
[dates]
today = 2026-05-20
play_by = 2026-08-20
[[use]]
sport = "soccer"
[[zone]]
name = "whole field"
bare_percent = 60
grass = [{grass = "bermudagrass", share_percent = 100, state = "green"}]
"""
DRY = FIELD.replace('water = "in-ground sprinklers"\nwettings_weekday = 4\n', 'water = "none"\n')
# Cases of every kind of answer, few enough to be quick.
FEW = (
    "ie-gaelic-field",
    "na-hartford-school-april",
    "plan-georgia-recover",
    "step-cover-warm",
    "uk-foul-flood",
    "ws-pune-monsoon-sprigs",
    "na-boston-shade",
    "uk-october-stopgap",
)


def demo() -> str:
    """The demo field."""
    return (knowledge_folder() / "demo.toml").read_text(encoding="utf-8")


@pytest.fixture(scope="session")
def field(adviser: Adviser) -> Consultation:
    return adviser.consult(read_situation(FIELD))


@pytest.fixture(scope="session")
def dry(adviser: Adviser) -> Consultation:
    return adviser.consult(read_situation(DRY))


@pytest.fixture(scope="session")
def hostile(adviser: Adviser) -> Consultation:
    """The field with a part whose name would break out of quotes, tags and lines."""
    name = r"\"];</title><script>alert(1)</script>{x} \\ -> \n"
    return adviser.consult(read_situation(FIELD.replace('"goalmouths"', f'"{name}"')))


@pytest.fixture(scope="session")
def whole(field: Consultation) -> Lesson:
    return lesson(field)


@pytest.fixture(scope="session")
def told(field: Consultation) -> Story:
    return story(field)


@pytest.fixture(scope="session", params=["york", "sparse", "warm", "demo"])
def each(request: pytest.FixtureRequest, adviser: Adviser) -> tuple[Consultation, Story]:
    """Four fields: one told at length, one of which hardly anything is told, one in the south, the demo field."""
    texts = {"york": FIELD, "sparse": SPARSE, "warm": WARM, "demo": demo()}
    c = adviser.consult(read_situation(texts[request.param]))
    return c, story(c)


@pytest.fixture(scope="session")
def few() -> list[Case]:
    return [case_of(code) for code in sorted(FEW)]
