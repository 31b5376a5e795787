"""The two pages behind the sheet that hangs: reasons, amounts and money, what to watch for, every caution."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from decide.model import advice as model
from decide.model.advice import Option
from decide.model.planned import Round, Task
from decide.report.blocks import Block, Line, Section, Span, Table, cell, labelled, line
from decide.report.choices import (
    begun_again,
    chief_reasons,
    picked,
    role_of,
    stands_as,
    verdict_spans,
    without_start,
)
from decide.report.fit import LAST, Form, Piece, fit
from decide.report.phrases import date_of, few_days, opening_sentence, price, sentence, short_date
from decide.report.poster import words_of
from decide.report.sections.cautions import unworded
from decide.report.sections.opening import first_tell
from decide.report.sections.plan import begin_by, overloaded
from decide.report.sections.sheet_jobs import Group, groups
from decide.report.sections.shopping import amount
from decide.report.telling import Telling
from decide.report.words import language, say, word

# What a printed page bears at the size in which it is set.
REASONS_MOST: Final = 470
DATES_MOST: Final = 330
CARE_MOST: Final = 560
# Cautions and signs together; the tests stand beside them.
THIRD_MOST: Final = 800
# What of a plan is left out first where there is no room: the last of these.
_ROUNDS: Final[tuple[Round, ...]] = (
    "order", "ground", "start", "open-light", "open-full", "ready", "feed", "mow", "water-new", "water-young",
    "water-set", "care", "look", "rest",
)  # fmt: skip
# So many conditions are said where there is no room for all.
_RESTS: Final = 4


def second(t: Telling) -> Iterator[Section]:
    """Reasons, all dates, amounts and money."""
    jobs, _ = groups(t)
    yield Section("why", say("behind-why"), tuple(_fitted(_reasons(t, jobs), REASONS_MOST)))
    yield Section("dates", say("behind-dates"), tuple(_fitted([_dates(t, jobs)], DATES_MOST)))
    yield Section("amounts", say("behind-amounts"), tuple(_amounts(t)))


def third(t: Telling) -> Iterator[Section]:
    """The tests and how they are done, signs of failure, and every caution with who decides."""
    dangers = tuple(_fitted([_dangers(t)], CARE_MOST))
    room = THIRD_MOST - words_of(dangers)
    yield Section("tests", say("behind-tests"), tuple(_tests(t)))
    yield Section("watch", say("behind-watch"), tuple(_fitted([_signs(t)], room)))
    yield Section("dangers", say("take-care-and-who"), dangers)


def _fitted(pieces: Sequence[Piece], most: int) -> Iterator[Line]:
    """The fullest forms within so many words; the tersest where none fits."""
    kept = [piece for piece in pieces if piece]
    said = fit(kept, most, words_of, LAST) or [piece[-1].lines for piece in kept]
    for lines in said:
        yield from lines


# ---------- reasons ----------
def _reasons(t: Telling, jobs: Sequence[Group]) -> list[Piece]:
    pieces: list[Piece] = []
    causes = list(dict.fromkeys(row.bare_again_unless for row in t.advice.causes))
    if causes:
        whole = tuple(line(sentence(text), mark="-") for text in causes)
        pieces.append((Form(0, whole), Form(60, whole[:2])))
    for group in jobs:
        pieces += [_way(group, place) for place in range(len(group.options[0]))]
        pieces.append(_beside(group))
    idle = [answer for answer in t.advice.programme if not picked(t.advice, answer)]
    pieces += [_unchosen(answer) for answer in idle]
    asked = tuple(first_tell(t))
    pieces.append((Form(0, asked),) if asked else ())
    return pieces


def _way(group: Group, place: int) -> Piece:
    answer, option = group.answers[0], group.options[0][place]
    role = role_of(answer, option)
    stands = stands_as(option, role)
    rests = list(dict.fromkeys(said for row in group.options for said in row[place].rests_on))
    as_ = "" if role == "do" else f"{word('role', role)}: "
    head = line(
        Span(f"{group.letter}  {language().listed(group.zones)}. {as_}{without_start(option)}: ", "strong"),
        *verdict_spans(stands, ()),
        ".",
    )
    only = [labelled(say("only-if"), sentence("; ".join(rests)))] if rests else []
    reasons = _why(option)
    better = [line(sentence(answer.better_than), depth=1)] if answer.better_than and not place else []
    few = [
        labelled(
            say("only-if"),
            sentence("; ".join([*rests[:_RESTS], say("behind-more-in-full", n=len(rests) - _RESTS)])),
        )
    ]
    return (
        Form(0, (head, *reasons, *better, *only)),
        Form(20, (head, *reasons, *only)),
        Form(44, (head, *reasons[:2], *(few if len(rests) > _RESTS else only))),
        Form(80, (head, *(few if len(rests) > _RESTS else only))),
        Form(95, (head,)),
    )


def _why(option: Option) -> list[Line]:
    return [
        line(Span(f"{word('speaks', reason.grade, '')}: ", "soft"), sentence(reason.text), depth=1, mark="-")
        for reason in chief_reasons(option)
    ]


def _beside(group: Group) -> Piece:
    """The other side of a trade, what is done meanwhile, the next window, what was wished and not chosen."""
    texts: list[str] = []
    for answer, options in zip(group.answers, group.options, strict=True):
        # Where nothing lasting is chosen the answer says so; of what is carried on, what is begun again.
        texts += [answer.text] if answer.option is None else [begun_again(answer, row) for row in options]
        texts += [answer.instead, answer.window.text if answer.window is not None else ""]
    meanwhile = list(dict.fromkeys(said for answer in group.answers for said in answer.meanwhile))
    said = [line(sentence(text), depth=1) for text in dict.fromkeys(texts) if text]
    season = [labelled(say("meanwhile"), " ".join(map(sentence, meanwhile)))] if meanwhile else []
    short = [labelled(say("meanwhile"), " ".join(map(opening_sentence, meanwhile[:3])))] if meanwhile else []
    if not (said or season):
        return ()
    return Form(0, (*said, *season)), Form(34, (*said, *short)), Form(70, tuple(said)), Form(90, ())


def _unchosen(answer: model.Answer) -> Piece:
    head = Span(f"{answer.zone}: ", "strong")
    more = [line(sentence(text), depth=1) for text in answer.meanwhile]
    window = [line(sentence(answer.window.text), depth=1)] if answer.window is not None else []
    return (
        Form(0, (line(head, sentence(answer.text)), *window, *more)),
        Form(50, (line(head, opening_sentence(answer.text)), *window)),
        Form(92, (line(head, opening_sentence(answer.text)),)),
    )


# ---------- dates ----------
def _dates(t: Telling, jobs: Sequence[Group]) -> Piece:
    """Every job of the plan that is not done, once for all its parts, in the order of the days."""
    letters = {zone: group.letter for group in jobs for zone in group.zones}
    found: dict[tuple[str, str], list[Task]] = {}
    for task in t.advice.plan:
        if task.done is None:
            found.setdefault((task.task, letters.get(task.zone, task.zone)), []).append(task)
    rows = sorted(found.values(), key=lambda same: min(task.from_ for task in same))
    if not rows:
        return ()

    def said(rounds: Sequence[str]) -> tuple[Line, ...]:
        kept = [same for same in rows if same[0].round in rounds]
        left = len(rows) - len(kept)
        end = [line(say("behind-more-in-full", n=left))] if left else []
        return (*(_date(t, same, letters) for same in kept), *end)

    return (
        Form(0, said(_ROUNDS)),
        Form(20, said(_ROUNDS[:-1])),
        Form(40, said(_ROUNDS[:-2])),
        Form(60, said(_ROUNDS[:5])),
    )


def _date(t: Telling, same: Sequence[Task], letters: dict[str, str]) -> Line:
    first, last = min(task.from_ for task in same), max(task.until for task in same)
    where = sorted({letters.get(task.zone, task.zone) for task in same if task.zone})
    beside = f" ({', '.join(where)})" if t.many and where else ""
    begins, ends = date_of(first), date_of(last)
    days = "" if begins is None or ends is None else few_days(begins, ends)
    year = f" {last[:4]}" if t.today is not None and ends is not None and ends.year != t.today.year else ""
    return line(Span(f"{days}{year}: ", "strong"), f"{same[0].task}{beside}", mark="-")


# ---------- amounts and money ----------
def _amounts(t: Telling) -> Iterator[Block]:
    yield from begin_by(t)
    yield from overloaded(t)
    rows = [
        (
            cell(Span(row.item + t.of(row.zone), "strong")),
            cell(amount(t, row)),
            cell(short_date(row.order_by) if row.order_by else "–"),
            cell("–" if row.cost is None else price(row.cost.low, row.cost.high, row.cost.currency)),
        )
        for row in t.advice.shopping
    ]
    if rows:
        head = (say("thing"), say("how-much"), say("order-by"), say("price-column"))
        # Without a single price, its column would say nothing.
        wide = len(head) if any(row.cost is not None for row in t.advice.shopping) else len(head) - 1
        yield Table(head[:wide], tuple(row[:wide] for row in rows), say("to-buy-caption"), "short")
    sums = t.advice.money
    if sums is None:
        return
    totals = [
        say("behind-total", kind=word("kind", row.kind), price=price(row.low, row.high, row.currency))
        for row in sums.totals
    ]
    if totals:
        yield line(
            Span(f"{say('known-so-far')}: ", "strong"), say("ask-for-quotes", totals="; ".join(totals))
        )
    if sums.unknown:
        names = [text.partition(":")[0] for text in sums.unknown]
        yield line(Span(f"{say('without-price')}: ", "strong"), sentence("; ".join(names)))
    for failed in sorted(sums.failure, key=lambda each: -(each.high or 0.0))[:1]:
        where = t.where([failed.zone])
        yield line(Span(f"{say('if-it-fails')}: ", "warn"), *where, sentence(failed.text))


# ---------- what to watch for ----------
def _tests(t: Telling) -> Iterator[Block]:
    rows = [row for row in t.advice.opening if not row.instrument]
    if not rows:
        return
    yield line(say("checks-rule-and-write"))
    head = (say("check"), say("how"), say("light-use"), say("full-play"))
    yield Table(
        head,
        tuple(
            (
                cell(Span(row.check, "strong")),
                cell(opening_sentence(row.how)),
                cell(row.pass_light),
                cell(row.pass_full),
            )
            for row in rows
        ),
        kind="short",
    )


def _signs(t: Telling) -> Piece:
    """Each sign that it fails with what is done."""
    rows = t.advice.rescue
    if not rows:
        return ()

    def said(whole: bool) -> tuple[Line, ...]:
        do = sentence if whole else opening_sentence
        return tuple(line(Span(f"{sentence(row.sign)} ", "strong"), do(row.do), mark="-") for row in rows)

    def some(n: int) -> tuple[Line, ...]:
        more = [line(say("behind-more-in-full", n=len(rows) - n))] if n < len(rows) else []
        return (*said(False)[:n], *more)

    fewer = ((30, len(rows)), (34, 24), (38, 18), (42, 14), (46, 10), (50, 6))
    return Form(0, said(True)), *(Form(rank, some(min(n, len(rows)))) for rank, n in fewer)


def _dangers(t: Telling) -> Piece:
    """Every danger of today and every caution, with who decides: whole, or in its first sentence where a page
    cannot hold that.
    """
    codes = {row.code for row in t.advice.cautions}
    today = [row for row in t.advice.today if row.code not in codes]
    rows: list[model.Doing | model.Caution] = [*today, *t.advice.cautions]
    if not rows:
        return ()

    def said(whole: int) -> tuple[Line, ...]:
        return tuple(
            line(
                sentence(row.text) if place < whole else opening_sentence(row.text),
                Span(
                    f" {say('who-decides', who=sentence(row.who_decides))}" if row.who_decides else "", "soft"
                ),
                mark="!",
            )
            for place, row in enumerate(rows)
        )

    unsaid = sorted({code for task in t.advice.plan for code in task.cautions} - set(t.cautions))
    more = tuple(line(unworded(code), mark="!") for code in unsaid)
    every = len(rows)
    return tuple(
        Form(rank, (*said(min(kept, every)), *more))
        for rank, kept in ((0, every), (20, 12), (30, 8), (40, 4), (50, 0))
    )
