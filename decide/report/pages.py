"""The pages of an advice: which sections stand on each, in which order, and under which headings."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from functools import cache
from typing import Final

from decide.model.advice import Advice
from decide.model.errors import DecideError
from decide.model.units import System
from decide.report.blocks import Block, Group, Heading, Page, Section, line
from decide.report.fit import LAST, Lines, fit
from decide.report.phrases import known
from decide.report.poster import Printed
from decide.report.sections import (
    behind,
    cautions,
    checks,
    choice,
    ground,
    minutes,
    opening,
    plan,
    proposals,
    reasons,
    season,
    sheet,
    shopping,
    tables,
    trust,
)
from decide.report.telling import Depth, Telling, telling
from decide.report.words import say, word


def told(advice: Advice, depth: Depth, system: System | None = None) -> Page:
    """The advice in lines: "short" on one page, "full" with every option, "reasons" with rules and trace."""
    t = telling(advice, depth, system)
    return _page(t, [_today(t), *_sections(t)])


def notes(advice: Advice, depth: Depth, system: System | None = None) -> Page:
    """As told, with what is put to a committee before all else but the dangers of today."""
    t = telling(advice, depth, system)
    put = Section("put", say("put-to-you"), tuple(choice.put_to_you(t)))
    return _page(t, [_today(t), put, *_sections(t)])


def minuted(
    advice: Advice, system: System | None, most: int, words: Callable[[Iterable[Block]], int]
) -> list[Block]:
    """The minutes of a committee in at most so many words, as `words` counts them in a drawing.

    Where nothing fits, the tersest forms stand, however many words they take: no caution is left out.
    """
    t = telling(advice, "short", system)
    title = Heading(minutes.title(t), 0)

    @cache
    def height(lines: Lines) -> int:
        return words(lines)

    for crowded in (False, True):
        parts = minutes.minutes(t, crowded)
        pieces = [piece for _, piece in parts]
        heads = [title, *(head for head, _ in parts if head is not None)]
        fitted = fit(pieces, most - words(heads), height, LAST)
        if fitted is not None:
            break
    said = fitted or [piece[-1].lines for piece in pieces]
    blocks: list[Block] = [title]
    for (head, _), lines in zip(parts, said, strict=True):
        blocks += [*([head] if head is not None else []), *lines]
    return blocks


def named(advice: Advice, name: str, system: System | None = None) -> Page:
    """One page of the advice by its name: "more" or "all", or one of `NAMED`; DecideError for another."""
    if name in ("more", "all"):
        return told(advice, "full" if name == "all" else "short", system)
    if name not in NAMED:
        listed = ", ".join(["more", *NAMED, "all"])
        raise DecideError(f"the advice has no page {name!r}", instead=f"Write one of: {listed}")
    t = telling(advice, "full", system)
    return _page(t, NAMED[name](t), opened=name == "reasons")


def printed(advice: Advice, system: System | None = None, *, full: bool = False) -> Printed:
    """The advice to print: a sheet to hang up and two pages behind it; every section stands folded after."""
    t = telling(advice, "full", system, cautions_apart=True)
    two = tuple(_kept(rows) for rows in (behind.second(t), behind.third(t)))
    size = word("paper", known(advice, "place.country"), say("paper-usual"))
    return Printed(sheet.sheet(t), two, _page(t, _printed(t)), size, full)


def _page(t: Telling, sections: Iterable[Section], opened: bool = True) -> Page:
    return Page(opening.title(t), tuple(opening.opening(t)) if opened else (), _kept(sections))


def _kept(sections: Iterable[Section]) -> tuple[Section, ...]:
    """The sections that have something to say."""
    return tuple(section for section in sections if section.blocks)


def _today(t: Telling) -> Section:
    return Section("today", say("today-title"), tuple(opening.today(t)))


def _picture(t: Telling) -> tuple[Block, ...]:
    year = season.timeline(t.advice, t.system)
    return () if year is None else (year,)


def _sections(t: Telling) -> Iterator[Section]:
    yield Section("goes", say("how-it-goes"), tuple(ground.how_it_goes(t)))
    yield Section("why-bare", say("why-bare"), tuple(ground.causes(t)))
    yield Section("ails", say("what-ails"), tuple(ground.ailments(t)))
    yield Section("choice", say("what-to-do"), tuple(choice.programme(t)))
    yield Section("plan", say("what-when"), tuple(plan.plan(t)))
    yield Section("needs", say("must-come-with"), tuple(cautions.needs(t)))
    buy = say("to-buy") if t.advice.shopping else say("money")
    yield Section("buy", buy, tuple(shopping.shopping(t)))
    yield Section("care", say("take-care"), tuple(cautions.field_wide(t)))
    yield Section("ideas", say("you-mean"), tuple(proposals.proposals(t)))
    yield Section("unknown", say("what-is-unknown"), tuple(trust.unknown(t)))
    yield Section("trust", say("how-far-to-trust"), tuple(trust.trust(t)))
    if t.short:
        return
    yield Section("season", say("season-title"), _picture(t))
    yield Section("diagnosis", say("each-part-needs"), tuple(ground.diagnosis(t)))
    yield Section("options", say("all-options"), tuple(reasons.options(t)))
    yield Section("opening", say("checks-title"), tuple(checks.checks(t)))
    yield Section("rescue", say("goes-wrong"), tuple(checks.rescue(t)))
    yield Section("assumed", say("what-assumed"), tuple(trust.assumed(t)))
    if t.depth == "reasons":
        yield Section("grades", say("grades-title"), tuple(reasons.grades(t)))
        yield Section("rules", say("rules-title"), tuple(reasons.rules(t)))
        yield Section("trace", say("trace-title"), tuple(reasons.trace(t)))
    yield Section("sources", say("sources"), tuple(trust.sources(t)))
    yield Section("remember", say("remember"), (trust.ruler(),))


def _week(t: Telling) -> Iterator[Section]:
    yield _today(t)
    yield Section("week", say("this-week"), tuple(plan.week(t)))


def _plan(t: Telling) -> Iterator[Section]:
    yield Section("plan", say("what-when"), tuple(plan.plan(t)) or (line(say("no-plan")),))
    yield Section("needs", say("must-come-with"), tuple(cautions.needs(t)))


def _water(t: Telling) -> Iterator[Section]:
    rows = tuple(plan.water(t)) or (line(say("no-water")),)
    yield Section("water", say("water"), (*choice.water(t), *rows))


def _care(t: Telling) -> Iterator[Section]:
    yield _today(t)
    every = tuple(cautions.whole(t)) or (line(say("no-care")),)
    yield Section("care", say("take-care-and-who"), (*every, trust.ruler()))


def _money(t: Telling) -> Iterator[Section]:
    buy = say("to-buy") if t.advice.shopping else say("money")
    yield Section("buy", buy, tuple(shopping.shopping(t)) or (line(say("no-money")),))


def _reasons(t: Telling) -> Iterator[Section]:
    yield Section("why-bare", say("why-bare"), tuple(ground.causes(t)))
    yield Section("ails", say("what-ails"), tuple(ground.ailments(t)))
    yield Section("choice", say("what-to-do-and-why"), tuple(choice.programme(t)))
    yield Section("ideas", say("you-mean"), tuple(proposals.proposals(t)))
    yield Section("unknown", say("what-is-unknown"), tuple(trust.unknown(t)))
    yield Section("trust", say("how-far-to-trust"), tuple(trust.trust(t)))


# The pages that the first screen names, beside the short and the full advice.
NAMED: Final[Mapping[str, Callable[[Telling], Iterator[Section]]]] = {
    "week": _week,
    "plan": _plan,
    "water": _water,
    "care": _care,
    "money": _money,
    "reasons": _reasons,
}


def _printed(t: Telling) -> Iterator[Section]:
    yield Section("goes", say("how-it-goes"), tuple(ground.how_it_goes(t)))
    yield Section("why-bare", say("why-bare"), tuple(ground.causes(t)))
    yield Section("ails", say("what-ails"), tuple(ground.ailments(t)))
    yield Section("choice", say("what-to-do-and-why"), tuple(choice.programme(t)))
    yield Section("plan", say("what-when"), tuple(tables.plan(t)))
    yield Section("buy", say("what-to-buy"), tuple(tables.shopping(t)))
    yield Section("money", say("money"), tuple(shopping.money(t)))
    yield Section("needs", say("must-come-with"), tuple(cautions.needs(t)))
    yield Section("care", say("take-care-and-who"), tuple(cautions.everything(t)))
    yield Section("ideas", say("you-mean"), tuple(proposals.proposals(t)))
    yield Section("opening", say("checks-title"), tuple(checks.checks_to_tick(t)))
    yield Section("rescue", say("goes-wrong"), tuple(checks.rescue(t)))
    yield Section("unknown", say("what-is-unknown"), tuple(trust.unknown(t)))
    yield Section("trust", say("how-far-to-trust"), tuple(trust.trust(t)))
    yield Section("season", say("season-title"), _picture(t))
    yield Section("diagnosis", say("each-part-needs"), tuple(ground.diagnosis(t)))
    small = tuple(reasons.options(t))
    yield Section("options", say("all-options"), (Group("small", small),) if small else ())
    yield Section("assumed", say("what-assumed"), tuple(trust.assumed(t)))
    yield Section("sources", say("sources-and-seen"), tuple(trust.sources_by_key(t)))
