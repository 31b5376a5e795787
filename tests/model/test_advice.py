"""The advice as a document: its short form, its whole one, and what is read back."""

import json
import pickle
from collections.abc import Iterator

import pytest
from pydantic import ValidationError

from decide.answer.assemble import advice_of
from decide.model.advice import Advice
from decide.questions.unknown import tried
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


def read_back(advice: Advice) -> dict:
    return Advice.model_validate_json(advice.as_json()).as_dict()


def holds_what_it_names(advice: Advice) -> None:
    """What is read of the short form is what the advice says, but for the trace, and for sources that nothing
    in it cites.
    """
    short, whole = read_back(advice), advice.as_dict()
    assert short.keys() == whole.keys()
    assert {key for key in short if short[key] != whole[key]} <= {"trace", "reasons", "sources"}
    assert short["trace"] == []
    assert whole["reasons"].items() <= short["reasons"].items()
    cited = set(_cited(short))
    assert short["sources"] == [row for row in whole["sources"] if row["key"] in cited]
    assert cited <= {row["key"] for row in short["sources"]}


def _cited(held: object) -> Iterator[str]:
    for name, one in held.items() if isinstance(held, dict) else ():
        yield from (one if name == "sources" and all(isinstance(key, str) for key in one) else _cited(one))
    for one in held if isinstance(held, list) else ():
        yield from _cited(one)


@pytest.mark.slow
def test_the_short_form_holds_what_it_names_in_full(advice: Advice) -> None:
    holds_what_it_names(advice)
    short, whole = read_back(advice), json.loads(advice.as_json(full=True))
    kept = {row["code"] for row in short["options"]}
    assert named(short) <= kept
    assert short["options"] == [row for row in whole["options"] if row["code"] in kept]
    assert len(kept) < 20 < len(whole["options"]) == short["options_judged"]
    assert len(advice.as_json()) < len(advice.as_json(full=True)) / 5


MOST_BYTES = 300_000
LARGEST = (
    "step-sowing-september", "step-residues-september", "uk-signs-county-ground", "step-residues-bermuda",
)  # fmt: skip


@pytest.mark.slow
@pytest.mark.parametrize("code", [MANY, "ongoing-ten-signs", *LARGEST])
def test_the_short_form_is_short(code: str) -> None:
    assert len(advice_of(consulted(code)).as_json().encode()) <= MOST_BYTES


@pytest.mark.slow
@pytest.mark.parametrize("code", case_codes())
def test_the_short_form_is_short_and_holds_what_it_names_everywhere(code: str) -> None:
    advice = tried(consulted(code))
    assert len(advice.as_json().encode()) <= MOST_BYTES
    holds_what_it_names(advice)


@pytest.mark.parametrize("code", ["step-residues-bermuda", *sampled(case_codes(), 100)])
def test_what_is_told_together_is_read_back_apart(code: str) -> None:
    holds_what_it_names(advice_of(consulted(code)))


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


@pytest.mark.slow
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
        "anyOf": [{"$ref": "#/$defs/Option"}, {"$ref": "#/$defs/Alike"}]
    }


def test_options_can_be_told_after_the_engines_are_closed() -> None:
    from decide.consult import advise
    from tests.shared import case_of, knowledge

    case = case_of("step-bermuda-june")
    found = advise(case.situation, knowledge(), "plain")
    assert [row.code for row in found.options] == list(found.option_codes)
