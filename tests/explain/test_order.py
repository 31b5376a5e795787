"""The order of the options is re-derived by hand from the printed advice: wish, verdict, grades at both ends, like to like, date, cost, the usual cost of the method, code."""

from __future__ import annotations

import json
from typing import Any

import pytest

from decide.answer.assemble import advice_of
from decide.consult import Adviser
from decide.decision.consultation import Consultation
from decide.facts.draft import lead_grass
from decide.knowledge.tables import Knowledge
from decide.questions.sensitivity import with_plain_engine
from tests.shared import case_of

VERDICTS = ["advised", "sound", "risky", "late", "not-advised", "ruled-out"]
DEAR = [None, "cheap", "low", "middle", "dear", "dearest"]
GRADES = ["lost", "poor", "weak", "unknown", "doubtful", "fair", "strong"]
# A wish for a grass, for a way, for other things first; parts; a place that nobody named; training first; a budget.
CASES = (
    "sparse-dk-odense-wants-bermuda", "plan-ohio-slit-seed", "plan-york-school-ryegrass", "sparse-be-ghent-four-zones", "sparse-us-joplin-small-budget", "sparse-us-eugene-training-first",
    "na-ann-arbor-thin-bluegrass-september", "sparse-ie-loose-goals-no-town",
)  # fmt: skip


def plant_of(option: dict[str, Any]) -> str:
    """The grass or mixture, as it stands in the option's code."""
    return str(option["code"].split("/")[3]) if option["method"] else ""


def told(advice: dict[str, Any], key: str) -> Any:
    """What the advice says that was told under a key."""
    return next((row["value"] for row in advice["situation"] if row["key"] == key), None)


def is_wished(option: dict[str, Any], advice: dict[str, Any]) -> bool:
    """Whether it is the grass and the way that the person had in mind, and at least sound."""
    asked, way = (
        str(held).replace(" ", "-").lower() if (held := told(advice, f"wishes.{key}")) else None
        for key in ("grass", "method")
    )
    meant = (asked or way) and asked in (None, plant_of(option)) and way in (None, option["method"])
    return bool(meant) and option["verdict"] in VERDICTS[:2]


def place(option: dict[str, Any], advice: dict[str, Any], like: bool) -> tuple[Any, ...]:
    """Where an option stands, by what is printed of it alone; `like` says that it is the grass that stands there."""
    verdict, wish = VERDICTS.index(option["verdict"]), is_wished(option, advice)
    rows = option["grades"].values()
    early = option["remedy"] != "recover" and told(advice, "dates.first_use") == "training"
    ready = option["light_use"] if early else option["full_play"]
    cost = option["cost"]
    return (
        0 if wish else verdict, not wish, verdict, [-GRADES.index(row["grade"]) for row in rows], [-GRADES.index(row["best"]) for row in rows], not like,
        (ready or {}).get("late") or "9999", cost["high"] if cost else float("inf"), DEAR.index(option["cost_class"]), option["code"],
    )  # fmt: skip


def likes(c: Consultation, knowledge: Knowledge) -> set[str]:
    """The options whose grass is the main one that stands in their zone, by the table of mixtures."""
    standing = {code: facts.get("zone.main-grass") for code, facts in c.zone_facts.items()}
    return {
        w.draft.code
        for w in c.ranked
        if w.draft.remedy == "establish" and lead_grass(knowledge, w.draft.plant) == standing[w.draft.zone]
    }


@pytest.mark.slow
@pytest.mark.parametrize("code", CASES)
def test_the_printed_order_follows_from_what_is_printed(adviser: Adviser, code: str) -> None:
    c = with_plain_engine(adviser).consult(case_of(code).situation)
    advice = json.loads(advice_of(c).model_dump_json(by_alias=True))
    assert [list(option["grades"]) for option in advice["options"][:1]] == [list(c.order)] * len(
        advice["options"][:1]
    )
    like = likes(c, adviser.knowledge)
    given = [option["code"] for option in advice["options"]]
    by_hand = [
        option["code"]
        for option in sorted(
            advice["options"], key=lambda option: place(option, advice, option["code"] in like)
        )
    ]
    assert given == by_hand


@pytest.mark.slow
def test_the_wish_is_among_them(adviser: Adviser) -> None:
    """Of the cases above one holds a wish that is sound, and all hold options that are no wish."""
    found = set()
    for code in CASES[:3]:
        advice = json.loads(
            advice_of(with_plain_engine(adviser).consult(case_of(code).situation)).model_dump_json(
                by_alias=True
            )
        )
        found |= {is_wished(option, advice) for option in advice["options"]}
    assert found == {True, False}
