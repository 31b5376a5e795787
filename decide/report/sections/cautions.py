"""Dangers, legal duties and what must come with a choice: each stands whole once, with who decides."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from decide.model import advice as model
from decide.model.advice import Option
from decide.report.blocks import Line, Span, cited, line
from decide.report.choices import chosen
from decide.report.phrases import opening_sentence, sentence
from decide.report.telling import Telling, decides
from decide.report.words import language, say


def _take_care() -> Span:
    return Span(f"{say('take-care')}: ", "warn")


def unworded(code: str) -> str:
    """A caution that has no words of its own is said by its code."""
    return sentence(code.replace("-", " "))


def _whole(row: model.Caution, depth: int, *before: Span) -> list[Line]:
    said = line(*before, sentence(row.text), depth=depth, mark="!")
    return [said, *decides(row.who_decides, depth + 1)]


def of_part(t: Telling, answer: model.Answer, options: Sequence[Option]) -> Iterator[Line]:
    """The cautions that belong to the choice of this part alone."""
    today = {doing.code for doing in t.advice.today}
    codes = {code for option in options for code in option.cautions} - today
    for row in t.advice.cautions:
        if row.code in codes and t.places[row.code] == [answer.zone]:
            yield from _whole(row, 1, _take_care())
    for code in sorted(codes - set(t.cautions)):
        yield line(_take_care(), unworded(code), depth=1, mark="!")


def in_short(row: model.Caution) -> str:
    """The first sentence of a caution, and who decides."""
    return f"{opening_sentence(row.text)} {say('who-decides', who=sentence(row.who_decides))}"


def beside(t: Telling, codes: Iterable[str]) -> Iterator[Line]:
    """The dangers of a choice, a task or a thing to buy, in their first sentence.

    They stand whole elsewhere on the page.
    """
    for code in codes:
        row = t.cautions.get(code)
        yield line(_take_care(), unworded(code) if row is None else in_short(row), depth=1, mark="!")


def of_proposal(t: Telling, judged: model.ProposalJudged, told: set[str]) -> Iterator[Line]:
    """Each caution of a proposal: whole where it stands for the first time, else its first sentence again."""
    for code in judged.cautions:
        row = t.cautions.get(code)
        if row is None:
            yield line(_take_care(), unworded(code), depth=1, mark="!")
        elif code in told:
            again = say("more-above", text=opening_sentence(row.text))
            yield line(_take_care(), again, depth=1, mark="!")
        else:
            yield from _whole(row, 1, _take_care())


def needs(t: Telling) -> Iterator[Line]:
    """Needs that belong to the site or to a part, not to one choice."""
    with_choice = {(option.zone, code) for option in chosen(t.advice) for code in option.needs}
    by_text: dict[str, list[str]] = {}
    for need in t.advice.needs:
        if need.text and (need.zone, need.code) not in with_choice:
            by_text.setdefault(need.text, []).append(need.zone)
    for text, zones in by_text.items():
        named = [zone for zone in zones if zone]
        some = named and len(named) < len(t.advice.programme)
        yield line(sentence(text) + (t.of(language().listed(named)) if some else ""), mark="-")


def _places(t: Telling, code: str) -> tuple[Span, ...]:
    """The parts that a caution belongs to, where it does not belong to all."""
    zones = t.places.get(code, [])
    return t.where(zones) if len(zones) < len(t.advice.programme) else ()


def field_wide(t: Telling) -> Iterator[Line]:
    """Cautions that belong to the site, to several parts, or to none of the choices.

    Those of proposals stand with them.
    """
    a = t.advice
    said = {doing.code for doing in a.today} | {code for code, zones in t.places.items() if len(zones) == 1}
    said |= {code for judged in a.proposals for code in judged.cautions} - set(t.places)
    with_work = {code for task in a.plan for code in task.cautions}
    for row in a.cautions:
        if row.code in said:
            continue
        if t.short and row.code in with_work and row.code not in t.places:
            # It stands whole beside its task in the full advice.
            yield line(in_short(row), mark="!")
        else:
            yield from _whole(row, 0, *_places(t, row.code))


def whole(t: Telling) -> Iterator[Line]:
    """Every caution whole with who decides, but for those of today, which stand above."""
    today = {doing.code for doing in t.advice.today}
    for row in t.advice.cautions:
        if row.code not in today:
            yield from _whole(row, 0, *_places(t, row.code))
    yield from _without_words(t)


def _without_words(t: Telling) -> Iterator[Line]:
    """The cautions of the choices that have no words of their own."""
    for code in sorted({code for option in chosen(t.advice) for code in option.cautions} - set(t.cautions)):
        yield line(unworded(code), mark="-")


def everything(t: Telling) -> Iterator[Line]:
    """Every caution whole, with who decides and its sources."""
    for row in t.advice.cautions:
        yield line(*_places(t, row.code), sentence(row.text), mark="-")
        who = Span(f"{say('who-decides-label')}: ", "strong")
        yield line(who, sentence(row.who_decides), cited(row.sources), depth=1)
    yield from _without_words(t)
