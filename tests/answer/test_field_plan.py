"""The plan of the field: outline told or usual, and each part where its name says."""

from __future__ import annotations

import tomllib

from decide.answer.field_plan import field_plan
from decide.model.field_plan import FieldPlan
from decide.model.reading import situation_from_dict
from tests.shared import adviser

SOCCER = '[[use]]\nsport = "football"\n'


def plan(*names: str, more: str = SOCCER) -> FieldPlan:
    zones = "".join(f'[[zone]]\nname = "{name}"\n' for name in names)
    told = tomllib.loads(f"dates.today = 2026-05-01\n{more}{zones}")
    return field_plan(adviser().consult(situation_from_dict(told)))


def where(found: FieldPlan) -> dict[str, list[tuple[float, ...]]]:
    return {part.zone: [tuple(box.model_dump().values()) for box in part.boxes] for part in found.parts}


def test_a_plural_lies_at_both_ends_and_singulars_share_them_out() -> None:
    both = where(plan("goalmouths"))["goalmouths"]
    apart = where(plan("north goalmouth", "south goalmouth"))
    assert len(both) == 2
    assert [apart["north goalmouth"], apart["south goalmouth"]] == [both[:1], both[1:]]


def test_every_box_lies_on_the_field_and_what_no_name_tells_has_none() -> None:
    named = ("middle", "wings", "gate corner", "town end", "rest", "centre circle", "in-goal areas")
    found = where(plan("behind the clubhouse", *named))
    assert found.pop("behind the clubhouse") == []
    for boxes in found.values():
        assert boxes
        for a, b, left, right in boxes:
            assert 0 <= a < b <= 100
            assert 0 <= left < right <= 100


def test_a_told_size_goes_before_the_usual_one_and_no_sport_has_none() -> None:
    told = plan("middle", more=f"[field]\nlength_m = 90\nwidth_m = 45\n{SOCCER}")
    assert (told.length_m, told.width_m, told.size) == (90, 45, "told")
    usual = plan("middle")
    # Law 1 of the game: 90 to 120 m by 45 to 90 m.
    assert (usual.length_m, usual.width_m, usual.size) == (105, 67.5, "usual")
    unknown = plan("middle", more="")
    assert (unknown.length_m, unknown.size, unknown.sport, unknown.goals) == (None, "unknown", "", False)
    oval = plan("whole field", more='[[use]]\nsport = "australian-football"\n')
    assert oval.shape == "oval"
