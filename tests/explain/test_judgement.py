"""The judgement of what somebody means to do, line by line."""

from __future__ import annotations

import pytest

from decide.explain.judgement import say_judgement
from decide.knowledge.tables import Knowledge
from decide.model.advice import Caution, ProposalJudged, Reason


def judged(**told: object) -> ProposalJudged:
    row = {
        "asked": "Roll the goalmouths today",
        "judgement": "sound",
        "conditions": [],
        "reasons": [],
        "cautions": [],
        "better": [],
    }
    return ProposalJudged.model_validate({**row, **told})


@pytest.mark.parametrize(
    ("judgement", "conditions", "said"),
    [
        ("sound", [], "Yes, that is sound."),
        ("sound-if", ["the ground is moist"], "Yes, but only if:\n- the ground is moist"),
        ("sound-if", [], "Perhaps. An answer that is missing could still speak against it."),
        ("not-advised", [], "Better not."),
        ("ruled-out", [], "No."),
    ],
)
def test_the_verdict_comes_first(
    knowledge: Knowledge, judgement: str, conditions: list[str], said: str
) -> None:
    row = judged(judgement=judgement, conditions=conditions)
    assert say_judgement(knowledge, row, []) == f"Roll the goalmouths today:\n{said}"


def test_reasons_what_is_better_and_cautions_follow(knowledge: Knowledge) -> None:
    reasons = [Reason(for_=speaks, text=text, rules=[], sources=[]) for speaks, text in (
        (True, "It is dry."), (False, "Wet soil packs."), (True, "It is level."), (True, "It is cheap."),
    )]  # fmt: skip
    cautions = [
        Caution(code="pipes", text="Ask where the pipes lie.", who_decides="the owner", sources=[]),
        Caution(code="dust", text="Keep out of the dust.", who_decides="", sources=[]),
        Caution(code="other", text="Not of this.", who_decides="", sources=[]),
    ]
    row = judged(
        judgement="not-advised",
        reasons=reasons,
        better=["Wait two dry days."],
        cautions=["pipes", "dust", "gone"],
    )
    assert say_judgement(knowledge, row, cautions).splitlines()[1:] == [
        "Better not.",
        "Against it: Wet soil packs.",
        "For it: It is dry.",
        "For it: It is level.",
        "Better: Wait two dry days.",
        "Mind: Ask where the pipes lie. Who decides: the owner.",
        "Mind: Keep out of the dust.",
    ]
