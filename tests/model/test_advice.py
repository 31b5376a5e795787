"""The advice as a document: its short form, its whole one, and what is read back."""

import json
import pickle

import pytest
from pydantic import ValidationError

from decide.answer.assemble import advice_of
from decide.model.advice import Advice
from decide.model.document import json_text
from decide.report.papers import PaperError, paper
from decide.report.text import render_named
from tests.report.samples import ADVICE
from tests.shared import case_codes, consulted, sampled

MANY = "us-tucson-overseed-and-back"


def named(document: dict) -> set[str]:
    """Each code of an option that a document says, beside those of its options."""
    rest = {key: held for key, held in document.items() if key not in ("options", "ways", "plan", "money")}
    found: set[str] = set()
    todo: list[object] = [rest]
    while todo:
        one = todo.pop()
        if isinstance(one, dict):
            found |= {
                code
                for key, code in one.items()
                if key in ("option", "stopgap", "least_bad", "runner_up") and isinstance(code, str)
            }
            todo += one.values()
        elif isinstance(one, list):
            todo += one
    return found


@pytest.fixture(scope="module")
def advice() -> Advice:
    return advice_of(consulted(MANY))


def test_the_short_form_holds_what_it_names_in_full(advice: Advice) -> None:
    short, whole = json.loads(advice.as_json()), json.loads(advice.as_json(full=True))
    assert short.keys() == whole.keys()
    assert {key for key in short if short[key] != whole[key]} == {"options"}
    kept = {row["code"] for row in short["options"]}
    assert named(short) <= kept
    assert short["options"] == [row for row in whole["options"] if row["code"] in kept]
    assert len(kept) < 20 < len(whole["options"]) == short["options_judged"]
    assert len(advice.as_json()) < len(advice.as_json(full=True)) / 5


MOST_BYTES = 300_000


@pytest.mark.parametrize("code", [MANY, "ongoing-ten-signs"])
def test_the_short_form_is_short(code: str) -> None:
    assert len(advice_of(consulted(code)).as_json().encode()) <= MOST_BYTES


@pytest.mark.parametrize("code", sampled(case_codes(), 100))
def test_what_is_told_of_options_is_short_everywhere(code: str) -> None:
    """The plan of a field of many parts may be long; what is told of its options is not."""
    told = advice_of(consulted(code)).as_dict()
    rows = {key: told[key] for key in ("options", "ways", "against")}
    assert len(json_text(rows).encode()) <= MOST_BYTES


def test_the_whole_form_holds_every_option(advice: Advice) -> None:
    whole = json.loads(advice.as_json(full=True))
    assert [row["code"] for row in whole["options"]] == [w.draft.code for w in consulted(MANY).ranked]
    assert whole["options"] == json.loads(advice.model_dump_json(by_alias=True))["options"]


def test_one_option_alone_is_told_when_it_is_asked_for(advice: Advice) -> None:
    code = consulted(MANY).ranked[-1].draft.code
    row = advice.option(code)
    assert row is not None
    assert row.code == code
    assert row == advice.options[-1]
    assert advice.option("nowhere/mow") is None
    assert advice.option(None) is None
    assert list(advice.option_codes) == [row.code for row in advice.options]


def test_both_forms_are_read_back(advice: Advice) -> None:
    whole = Advice.model_validate_json(advice.as_json(full=True))
    assert whole == advice
    assert whole.as_json(full=True) == advice.as_json(full=True)
    short = Advice.model_validate_json(advice.as_json())
    assert short.as_json() == advice.as_json()
    assert pickle.loads(pickle.dumps(advice)) == advice


def test_what_the_short_form_left_out_is_not_passed_over(advice: Advice) -> None:
    """The papers for the work need no more; those that tell of every option say that they cannot be made."""
    short = Advice.model_validate_json(advice.as_json())
    assert short.is_short
    assert not advice.is_short
    for kind in ("calendar", "tasks", "shopping"):
        assert paper(kind, short) == paper(kind, advice)
    look = {"width": 80, "colour": False, "ascii_only": False, "plain": False, "system": None}
    for page in ("more", "week", "plan", "money"):
        assert render_named(short, page, **look) == render_named(advice, page, **look)
    with pytest.raises(ValueError, match="of 302 options; make it again"):
        short.as_json(full=True)
    for kind in ("page", "notes"):
        with pytest.raises(PaperError, match=f"the {kind}: .*without most of its options"):
            paper(kind, short)


def test_a_document_of_the_form_before_says_what_to_do() -> None:
    old = ADVICE.as_dict() | {"schema": "advice/1"}
    with pytest.raises(ValidationError, match=r"form 'advice/1', and 'advice/2' is read here; make it again"):
        Advice.model_validate(old)
    assert Advice.model_json_schema(by_alias=True)["properties"]["options"]["items"] == {
        "$ref": "#/$defs/Option"
    }


def test_options_can_be_told_after_the_engines_are_closed() -> None:
    from decide.consult import advise
    from tests.shared import case_of, knowledge

    case = case_of("step-bermuda-june")
    found = advise(case.situation, knowledge(), "plain")
    assert [row.code for row in found.options] == list(found.option_codes)
