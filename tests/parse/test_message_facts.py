"""Facts that one phrase tells: the owner's word, where it is given whole and where it is not."""

from __future__ import annotations

import pytest

from tests.parse.said_in_message import heard


@pytest.mark.parametrize(
    "text",
    [
        "The council owns it and agrees.", "Owned by the council, who agree.", "The council, who own it, have agreed.",
        "The parish council owns the ground and is happy with the work.", "The farmer who owns the field agrees.",
        "It belongs to the school and the school agrees.", "Town owns it and is on board.",
        "The trust that owns the ground consents.", "Parish council owns the field, agrees.", "The owner agrees to it.",
        "The county owns it and said yes.", "The university has given us the go ahead.",
    ],
)  # fmt: skip
def test_the_owner_who_agrees_is_heard(text: str) -> None:
    found = {one.key: one.value for one in heard(f"York, UK. Bare goalmouths. {text}").told}
    assert found["site.owner_agrees"] is True


@pytest.mark.parametrize(
    "text",
    [
        "Owner has agreed to the work but not to closing it.", "The council owns it and agrees if we pay.",
        "The council owns it and has not agreed yet.", "The council owns it and does not agree.",
        "The council owns it and will agree in March.", "The council owns it and agrees with us that it is bad.",
        "The council owns it and agrees only to seeding.", "The council owns it and agrees but only to overseeding.",
        "The owner agrees but only if nothing is sprayed.", "The council owns it, and they are not happy.",
        "The council owns it and rarely agrees.", "The council owns it and might agree.",
    ],
)  # fmt: skip
def test_half_a_yes_is_none_and_is_named_back(text: str) -> None:
    line = heard(f"York, UK. Bare goalmouths. {text}")
    assert "site.owner_agrees" not in {one.key for one in line.told}
    assert line.unread


@pytest.mark.parametrize(
    "text",
    [
        "One goalpost is loose.", "The goals are a bit wobbly.", "Loose goalposts.", "A crossbar has come loose.",
        "Both uprights are very shaky.", "The goal frame feels unsteady.", "Our goals are loose.", "Rickety goals.",
    ],
)  # fmt: skip
def test_a_goal_that_does_not_stand_firm_is_a_danger_and_is_not_anchored(text: str) -> None:
    found = {one.key: one.value for one in heard(f"York, UK. Bare goalmouths. {text}").told}
    assert found["site.dangers"] == ["loose goals"]
    assert found["site.goals_anchored"] is False


@pytest.mark.parametrize(
    "text", ["The goals are not loose.", "The goalposts are firm.", "No loose goals.", "A loose net."]
)
def test_goals_that_stand_firm_are_no_danger(text: str) -> None:
    assert "site.dangers" not in {one.key for one in heard(f"York, UK. Bare goalmouths. {text}").told}


@pytest.mark.parametrize(
    "text", ["Somebody found a broken bottle by the north goal.", "Smashed bottles behind the goal.", "A bottle was broken there."]
)  # fmt: skip
def test_a_broken_bottle_is_glass(text: str) -> None:
    found = {one.key: one.value for one in heard(f"York, UK. Bare goalmouths. {text}").told}
    assert found["site.dangers"] == ["glass"]
