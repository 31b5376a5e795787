"""The minutes on one page and the whole notes; a user's words kept from acting as Markdown; read back by a parser of CommonMark with tables."""

from __future__ import annotations

import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from markdown_it import MarkdownIt
from papers_samples import FULL, HOSTILE, PLAN, flat, renamed, task
from samples import FATE

from decide.answer.assemble import advice_of
from decide.model import advice as model
from decide.model.advice import Advice
from decide.model.words import printable
from decide.report.markdown import MOST_WORDS, render_markdown, render_minutes
from tests.shared import BANK, case_codes, consulted, sampled

PARSER = MarkdownIt("commonmark").enable("table")


def shape(text: str) -> list[str]:
    """Every part that Markdown makes of the text, but for the words themselves."""
    found: list[str] = []
    for token in PARSER.parse(text):
        found.append(f"{token.type} {token.tag}")
        found += [child.type for child in token.children or [] if child.type not in ("text", "text_special")]
    return found


def said(text: str) -> str:
    """The words as a reader of the rendered notes sees them."""
    out = []
    for token in PARSER.parse(text):
        out.append(
            "".join(child.content if child.type != "softbreak" else " " for child in token.children or [])
        )
    return flat(" ".join(out))


NOTES = render_markdown(FULL)


def test_what_is_put_to_the_committee_comes_first() -> None:
    # By hand: dangers of today stand before it, all else after it.
    heads = re.findall(r"^## (.*)$", NOTES, re.MULTILINE)
    assert heads[:3] == ["Today, before anything else", "What is put to you", "How it goes"]
    # The fate of the date stands before any heading but the title.
    assert said(NOTES.split("\n## ", maxsplit=1)[0]).startswith(
        f"Advice for Galway, 1 May 2026 {FATE.text} In short:"
    )
    row = (
        "| **goalmouth** | Do this: Perennial ryegrass by thick-cut sod, from 1 June 2026 | sound if "
        "| nothing was sprayed there in the last months; the soil is not salty; the water is not salty; and 1 more | between 29 June and 20 July 2026 | 10 May 2026 "
        "| 1,210 to 2,390 euros, prices of 2024 (the price on offer, without work) | 20 to 34 hours |"
    )  # fmt: skip
    assert row in NOTES.splitlines()
    assert "The money is not whole." in NOTES


@pytest.mark.parametrize("sentence", [
    "Mark services.", "How to lay sod.", "Thick-cut sod: 126 to 132 m², 3 × pallet of 45 m², for goalmouth; order by 10 May 2026.", "120 m² and 5% to 10% to spare.", "Hire of the roller: no price is known. Ask the hire shop.",
    "A failed laying costs the sod again and 50 days.", "material 1,210 to 2,390 euros, prices of 2024", "Guards on. Engine off before you clear it.", "Who decides: the maker's manual.",
    "Once, while it grows.", "About 6 hours a week.", "How a field is kept. A public body, 2019. Seen as an excerpt.", "Three days are missing before the start.",
])  # fmt: skip
def test_the_notes_say(sentence: str) -> None:
    assert sentence in said(NOTES)


def test_options_stand_side_by_side_in_a_table() -> None:
    assert "| Way | Verdict | Money | Hours of work | Full play at the latest |" in NOTES
    assert (
        "| **Perennial ryegrass by thick-cut sod, goalmouth** | sound if | 1,210 to 2,390 euros | 20 to 34 | 20 July 2026 |"
        in NOTES
    )


def test_notes_hold_no_html_link_picture_or_code() -> None:
    kinds = set(shape(NOTES))
    assert not {
        kind
        for kind in kinds
        if kind.split(" ", maxsplit=1)[0]
        in ("html_block", "html_inline", "link_open", "image", "code_inline", "code_block", "fence", "hr")
    }


# ---------- the minutes ----------
MINUTES = render_minutes(FULL)
HEADS = ["Proposal", "What it costs", "Looked at too, and why not", "Risks", "To decide, by when, by whom"]
SOME = ("uk-dangers-owner-says-no", "sparse-ca-moncton-thin-without-a-number", "au-newcastle-buffalo-park")


def words(text: str) -> int:
    """Words as a counter of words counts them, the signs of Markdown too."""
    return len(text.split())


def part(text: str, head: str) -> str:
    """What stands under a heading, as it is read."""
    return said(text.partition(f"## {head}\n")[2].partition("\n## ")[0])


def test_the_minutes_are_a_page_in_the_order_of_a_meeting() -> None:
    assert words(MINUTES) <= MOST_WORDS == 450
    assert re.findall(r"^## (.*)$", MINUTES, re.MULTILINE) == HEADS
    assert MINUTES.startswith("# For the committee: Galway, 1 May 2026\n")


def test_what_cannot_wait_and_the_date_come_first() -> None:
    top = said(MINUTES.split("\n## ")[0])
    for sentence in (
        "Today: Shut the field today. Who decides: the owner of the ground.", "Today: Keep everybody away from the loose goal. Who decides: you, now.",
        FATE.text, "goalmouth: Sod lifts, seen on 20 June 2026. Do today: Keep off and water.", "May it open today? Light use not yet, full play not yet.",
    ):  # fmt: skip
        assert sentence in top, sentence


def test_what_is_put_to_the_meeting() -> None:
    proposal = part(MINUTES, "Proposal")
    assert (
        "goalmouth: Perennial ryegrass by thick-cut sod, from 1 June 2026 — sound if nothing was sprayed there in the last months; and 3 more. Training"
        in proposal
    )
    assert "matches 29 Jun to 20 Jul 2026." in proposal
    assert "middle: Let the standing grass recover — advised." in proposal
    assert "square [red]: This part is left alone." in proposal
    # By hand, of the sample: 20 to 34 hours and the 0.5 to 1 of ordering, told in two figures.
    assert part(MINUTES, "What it costs") == (
        "Material 1,210 to 2,390 euros, prices of 2024. 1 thing has no price yet. 20 to 35 hours of work. 1 week has more work than hands. Up to 1,400 litres of water a week."
    )
    risks = part(MINUTES, "Risks")
    for sentence in (
        "Does not fit: goalmouth: Three days are missing before the start.", "It will be bare again in a few weeks unless the goals go on moving.",
        "This could change the choice: Was anything sprayed in the last six months?", "If it fails: A failed laying costs the sod again and 50 days.",
    ):  # fmt: skip
        assert sentence in risks, sentence
    # By hand: the plan begins by the 10th, marking is asked for by the 20th, the owner opens, the window is decided on next spring.
    assert part(MINUTES, "To decide, by when, by whom").split("The label")[0].split(". ") == [
        "10 May 2026: Yes or no to this proposal — this committee", "20 May 2026: Mark services — you call, the marking service marks",
        "29 June 2026: Open to play (goalmouth) — the owner, or whom the owner names", "20 April 2027: Next time for new grass (middle) — this committee", "",
    ]  # fmt: skip
    assert said(MINUTES).endswith(
        "The label, local law and licensed people rule over this page. Valid until 10 May 2026. The full advice has each caution whole, and the rest."
    )


def test_where_there_is_little_room_the_openings_stand_on_the_day_of_the_first() -> None:
    orders = [
        task(f"order-{n}/field", "", "before", ("2026-05-02", "2026-05-02"), latest=f"2026-05-{n}", who="volunteer", round="order")
        for n in range(12, 22)
    ]  # fmt: skip
    later = task(
        "open-fully/middle", "middle", "open", ("2026-09-01", "2026-09-30"), who="owner", round="open-full"
    )
    text = part(render_minutes(FULL.model_copy(update={"plan": [*PLAN, *orders, later]})), HEADS[-1])
    assert "29 June 2026: First opening, and each later one, when its tests pass — the owner, or" in text
    assert "10 May 2026: Yes or no to this proposal — this committee" in text
    assert "Open fully" not in text


def test_cautions_stand_under_who_decides_by_their_names() -> None:
    named = FULL.model_copy(
        update={
            "cautions": [row.model_copy(update={"name": row.code.replace("-", " ")}) for row in FULL.cautions]
        }
    )
    alike = [
        row.model_copy(update={"who_decides": "the owner"}) if row.code in ("feed-law", "mower") else row
        for row in named.cautions
    ]
    text = part(render_minutes(named.model_copy(update={"cautions": alike})), "Risks")
    assert (
        "Take care, and who decides: buried lines (the line owners); sod weight (whoever is in charge of the work); feed law, mower (the owner); backflow (the water company)."
        in text
    )
    # Without a name the first sentence stands for it.
    assert "Feeding is bound by law here (state and local law)" in part(MINUTES, "Risks")


def test_parts_with_one_answer_are_one_line_and_bad_ideas_come_first() -> None:
    both = FULL.model_copy(update={
        "programme": [*FULL.programme, FULL.programme[-1].model_copy(update={"zone": "wet end"})],
        "proposals": [*FULL.proposals, model.ProposalJudged(asked="Roll on 1 May 2026, middle", judgement="not-advised", conditions=[], reasons=[], cautions=[], better=[])],
    })  # fmt: skip
    text = render_minutes(both)
    assert "square [red] and wet end: This part is left alone." in part(text, "Proposal")
    assert part(text, HEADS[2]).startswith("Roll on 1 May 2026 (middle): not advised.")


def told_in_short(advice: Advice) -> list[str]:
    """What the minutes of an advice leave out that no page may leave out, and whether they are a page."""
    text = render_minutes(advice)
    heard = said(text)
    today = {row.code for row in advice.today}
    wanted = [
        *(row.who_decides for row in advice.today),
        *(answer.zone for answer in advice.programme if 1 < len(advice.programme) <= 3),
    ]
    wanted += [
        row.name or row.text.split(". ")[0].rstrip(".") for row in advice.cautions if row.code not in today
    ]
    wanted += [re.split("[,;]", row.who_decides)[0] for row in advice.cautions if row.code not in today]
    wanted += ["The label, local law and licensed people rule over this page."]
    wanted += [advice.fate.text.split(". ")[0].rstrip(".")] if advice.fate else []
    gone = [f"not said: {said}" for said in wanted if flat(said) not in heard]
    gone += [] if words(text) <= MOST_WORDS else [f"{words(text)} words"]
    return gone


@pytest.mark.slow
@pytest.mark.parametrize(
    "code",
    [
        pytest.param(code, marks=() if code in SOME else BANK)
        for n, code in enumerate(case_codes())
        if code in SOME or n % 6 == 3
    ],
)
def test_the_minutes_of_a_case_are_a_page_and_lose_no_caution(code: str) -> None:
    assert told_in_short(advice_of(consulted(code))) == []


def test_much_to_say_is_still_a_page() -> None:
    # Twelve parts, each with its own answer, 25 cautions and five dangers.
    parts = [
        row.model_copy(
            update={
                "zone": f"part {n}",
                "text": f"Part {n} is left alone. It is so because of its own reasons.",
            }
        )
        for n, row in enumerate(FULL.programme[-1:] * 10)
    ]
    cautions = [
        row.model_copy(update={"code": f"{row.code}-{n}", "name": f"care {n}{row.code[:2]}"})
        for n in range(5)
        for row in FULL.cautions[1:]
    ]
    dangers = [
        row.model_copy(
            update={
                "code": f"{row.code}-{n}",
                "text": f"Keep off number {n}. Then look at it, and ask somebody who knows what it is.",
            }
        )
        for n in range(3)
        for row in FULL.today
    ]
    much = FULL.model_copy(
        update={
            "programme": [*FULL.programme[:2], *parts],
            "cautions": [FULL.cautions[0], *cautions],
            "today": dangers,
        }
    )
    assert told_in_short(much) == []
    assert told_in_short(FULL) == []


def test_little_to_say_is_a_page_too() -> None:
    bare = FULL.model_copy(update={
        "plan": [], "today": [], "cautions": [], "programme": FULL.programme[-1:], "situation": [], "fate": None, "signs_seen": [], "clashes": [], "money": None, "causes": [],
        "open_now": [], "proposals": [], "unknown": [], "options": [], "weeks": [], "valid_until": "", "plan_decide_by": None,
    })  # fmt: skip
    assert said(render_minutes(bare)) == (
        "For the committee Proposal This part is left alone. What it costs Nothing that is known has to be paid for. Risks How sure: Likely. Water could not be judged. "
        "The label, local law and licensed people rule over this page. The full advice has each caution whole, and the rest."
    )


# ---------- any words ----------
@pytest.mark.parametrize("name", sampled(HOSTILE, 9))
def test_hostile_names_are_only_words(name: str) -> None:
    text = render_markdown(renamed(name))
    assert shape(text) == shape(render_markdown(renamed("north")))
    assert flat(name) in said(text)
    short = render_minutes(renamed(name))
    # The place and a part bear the name; its own words are not ours to cut.
    assert words(short) <= MOST_WORDS + 4 * words(name)
    assert {
        kind for kind in shape(short) if "html" in kind or "link" in kind or "image" in kind or "code" in kind
    } == set()
    assert flat(name) in said(short)


@pytest.mark.slow
@settings(max_examples=40, deadline=None)
@given(name=st.text(min_size=1, max_size=50).filter(lambda name: printable(name).strip()))
def test_any_name_keeps_the_notes_whole(name: str) -> None:
    text = render_markdown(renamed(name))
    assert shape(text) == shape(render_markdown(renamed("north")))
    assert flat(name) in said(text)
    short = render_minutes(renamed(name))
    assert words(short) <= MOST_WORDS
    assert {
        kind for kind in shape(short) if "html" in kind or "link" in kind or "image" in kind or "code" in kind
    } == set()
    assert flat(name) in said(short)
    text.encode()
