"""What to do with each part: its choice with dates, means and reasons, and what is done until then."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from decide.model import advice as model
from decide.model.advice import Option
from decide.model.planned import Watering
from decide.model.words import capital
from decide.report.blocks import Cell, Heading, Line, Span, Style, Table, cell, cited, labelled, line
from decide.report.choices import (
    RESTS_SHOWN,
    STANDBY_SHOWN,
    Role,
    begun_again,
    chief_reasons,
    chosen,
    conditions_in_short,
    decide_words,
    marked,
    meanwhile_words,
    only_late,
    picked,
    put_off,
    role_of,
    short_verdict,
    stands_as,
    verdict_spans,
)
from decide.report.phrases import (
    between,
    day_of,
    estimate,
    hours_words,
    known,
    money,
    opening_sentence,
    price,
    sentence,
    span_of,
)
from decide.report.sections.cautions import beside, of_part
from decide.report.telling import Telling, and_more
from decide.report.words import say, word

_TENTHS: Final = 10

SPEAKS_STYLES: Final[dict[str, Style]] = {
    "strong": "good",
    "fair": "strong",
    "doubtful": "warn",
    "weak": "bad",
    "poor": "bad",
    "lost": "bad",
    "ruled-out": "bad",
}
# The rules that hold what a way costs against the budget.
_BY_BUDGET: Final = ("budget-short", "budget-perhaps", "money-sod-within-budget")
# So short a run of water is not said.
LEAST_HOURS: Final = 0.1


def programme(t: Telling) -> Iterator[Heading | Line]:
    """The choice for each part."""
    for answer in t.advice.programme:
        area = t.area(answer.area_m2)
        yield Heading(answer.zone + (f", {area}" if area else ""))
        options = picked(t.advice, answer)
        if not options:
            yield line(sentence(answer.text), depth=1)
        elif answer.option is None:
            said = opening_sentence(answer.text)
            yield line(Span(said, "bad"), answer.text.removeprefix(said), depth=1)
        for option in options:
            yield from _choice(t, option, role_of(answer, option), begun_again(answer, option))
        if not t.short:
            for n, step in enumerate(answer.how, start=1):
                yield line(sentence(step), depth=1, mark=f"{n}.")
        for said in (answer.instead, *answer.not_chosen, answer.better_than):
            if said:
                yield line(sentence(said), depth=1)
        yield from _standby(t, answer)
        if t.cautions_apart:
            yield from beside(t, dict.fromkeys(code for option in options for code in option.cautions))
        else:
            yield from of_part(t, answer, options)


def _standby(t: Telling, answer: model.Answer) -> Iterator[Line]:
    """What is done with a part until its remedy is possible, and the next real time for new grass."""
    if answer.meanwhile:
        yield line(Span(f"{meanwhile_words(answer)}:", "strong"), depth=1)
        shown = answer.meanwhile[: STANDBY_SHOWN if t.short else None]
        for said in shown:
            yield line(sentence(said), depth=1, mark="-")
        yield from and_more(len(answer.meanwhile) - len(shown), 1)
    if answer.window is not None:
        yield line(sentence(answer.window.text), depth=1)


def _choice(t: Telling, option: Option, role: Role, note: str) -> Iterator[Line]:
    verdict = stands_as(option, role)
    name = (Span(f"{word('role', role)}: ", "strong"), Span(option.title, "strong"), " — ")
    mark = f"={marked(verdict, option.rests_on)}"
    yield line(*name, *verdict_spans(verdict, option.rests_on), ".", depth=1, mark=mark)
    new = option.remedy == "establish"
    for row in t.advice.diagnosis:
        if row.zone == option.zone and row.code == f"remedy-{option.remedy}" and not new:
            yield line(sentence(row.text), depth=2)
    if note:
        yield line(note, depth=2)
    shown = option.rests_on[: RESTS_SHOWN if t.short else None]
    for condition in shown:
        yield line(Span(f"{say('only-if')}: ", "strong"), sentence(condition), depth=2, mark="-")
    yield from and_more(len(option.rests_on) - len(shown), 2)
    yield from _days(t, option, new)
    yield from _money(option, new)
    yield from _work(option, new)
    yield from _water(t, option, new)
    for reason in chief_reasons(option):
        yield reason_line(reason if verdict == option.verdict else only_late(reason), 2)
    for need in t.advice.needs:
        if need.text and need.zone == option.zone and need.code in option.needs:
            yield line(Span(f"{say('needs')}: ", "strong"), sentence(need.text), depth=2, mark="-")


def reason_line(reason: model.Reason, depth: int) -> Line:
    """A reason for or against, with the keys of its sources."""
    label = Span(f"{word('speaks', reason.grade)}: ", SPEAKS_STYLES[reason.grade])
    return line(label, sentence(reason.text), cited(reason.sources), depth=depth, mark="-")


# ---------- days ----------
def _days(t: Telling, option: Option, new: bool) -> Iterator[Line]:
    """From when it bears which use, how likely that is, and until when it lives."""
    if not t.short and option.first_mow is not None:
        cut = between(option.first_mow)
        if option.germination is None:
            yield labelled(say("first-cut"), cut, 2)
        else:
            up = between(option.germination).rstrip(".")
            yield labelled(say("up"), say("up-and-first-cut", up=up, cut=cut), 2)
    if option.light_use is not None or new:
        yield labelled(say("light-use"), between(option.light_use), 2)
    if option.full_play is not None or new:
        yield labelled(say("full-play"), between(option.full_play), 2)
    if not t.short and (option.full_fixtures is not None or new):
        yield labelled(say("full-fixtures"), between(option.full_fixtures), 2)
    if option.odds is not None and _odds_are_told(t, option.odds):
        yield labelled(say("odds"), _odds(option.odds), 2)
    if not t.short and option.readiness_note:
        yield labelled(say("evidence"), option.readiness_note, 2)
    if option.claim:
        yield labelled(say("claim"), sentence(option.claim), 2)
    if option.dies_by:
        span = between(option.dies_between).rstrip(".")
        about = say("lives-about", day=day_of(option.dies_by))
        said = about if option.dies_between is None else say("lives-between", days=span)
        yield labelled(say("lives-until"), said, 2)
    if option.decide_by and put_off(option):
        yield labelled(say("if-put-off"), say("decide-by-latest", day=day_of(option.decide_by)), 2)
    elif option.decide_by:
        yield labelled(say("decide-by"), f"{day_of(option.decide_by)}.", 2)
    if not t.short and option.window:
        yield labelled(say("window"), f"{word('window', option.window)}.", 2)


def _odds_are_told(t: Telling, odds: model.OddsRow) -> bool:
    """An estimate that says "nearly every year" is told already by the slow year's date."""
    sure = round(_TENTHS * odds.ready) == _TENTHS and not round(_TENTHS * odds.killed)
    return not t.short or odds.how == "replayed" or not sure


def _odds(row: model.OddsRow) -> str:
    """In how many years it is ready by the date wanted, and what else the years do to it."""
    years = row.years or 10
    ready, least, most, killed = (
        round(share * years) for share in (row.ready, row.ready_least, row.ready_most, row.killed)
    )
    span = f" ({say('odds-span', least=least, most=most)})" if least != most else ""
    what = say("by-day", what=word("ready-for", row.use), day=day_of(row.by))
    if row.years is None:
        share = say("odds-nearly-all") if ready == years else say("odds-about", ready=ready)
        parts = [say("odds-estimated", what=what, share=f"{share}{span}")]
        if killed:
            parts.append(say("odds-killed-about", killed=killed))
    else:
        parts = [say("odds-replayed", what=what, ready=ready, years=years) + span]
        if killed:
            parts.append(say("odds-killed", killed=killed))
        if row.washed_out and round(row.washed_out * years):
            parts.append(say("odds-washed", washed=round(row.washed_out * years)))
    return "; ".join(parts) + "."


# ---------- means ----------
def _money(option: Option, new: bool) -> Iterator[Line]:
    cost = option.cost
    if cost is not None:
        said = say(
            "cost",
            amount=span_of(estimate(cost.low), estimate(cost.high)),
            currency=money(cost.currency),
            year=cost.year,
            how=cost.how.rstrip("."),
        )
        yield labelled(say("money"), said, 2)
    elif new:
        rules = [rule.partition("--")[0] for reason in option.reasons for rule in reason.rules]
        foreign = any(rule in _BY_BUDGET for rule in rules)
        yield labelled(say("money"), say("cost-foreign") if foreign else say("cost-not-known"), 2)


def _work(option: Option, new: bool) -> Iterator[Line]:
    if option.labour_hours is not None:
        yield labelled(say("work"), say("work-hours", hours=hours_words(option.labour_hours)), 2)
    elif new:
        yield labelled(say("work"), say("work-not-known"), 2)


def water(t: Telling) -> Iterator[Line]:
    """What each choice of new grass takes in water in its first weeks."""
    for option in chosen(t.advice):
        for said in _water(t, option, option.remedy == "establish"):
            text = "".join(span.text for span in said.spans[1:])
            yield line(*t.where([option.zone]), text if t.many else capital(text))


def _water(t: Telling, option: Option, new: bool) -> Iterator[Line]:
    if not new:
        return
    rows = _wettings(t, option)
    if known(t.advice, "means.water") == "none":
        said = say("water-none")
    elif option.water is not None:
        said = _watered(t, option.water, rows[-1].pieces if rows else 1)
    else:
        said = _wetted(rows) if rows else say("water-not-known")
    yield labelled(say("water"), said, 2)


def _wettings(t: Telling, option: Option) -> list[Watering]:
    """The first wettings of new grass in the plan, up to those that somebody must come for day by day."""
    rows = sorted(
        (row for row in t.advice.watering if row.zone == option.zone and row.from_ >= (option.start or "")),
        key=lambda row: row.from_,
    )
    # Sod is soaked on its day; what follows that is what somebody must come for.
    first = next((n for n, row in enumerate(rows) if row.from_ != row.until), len(rows) - 1)
    return rows[: first + 1]


def _wetted(rows: list[Watering]) -> str:
    """How often and how much, where no area is known."""
    figures = [(row.stage, opening_sentence(row.text).rstrip(".")) for row in rows]
    said = "; ".join(f"{stage}: {figure[:1].lower()}{figure[1:]}" for stage, figure in figures)
    return say("wetted", figures=said)


def _watered(t: Telling, water: model.Water, pieces: int) -> str:
    said = say("water-amount", amount=t.litres(water.litres_a_day))
    said += say("visits", n=round(water.visits_a_day))
    if pieces > 1:
        said += say("water-in-parts", n=pieces)
    elif water.hours_a_day is not None and water.hours_a_day >= LEAST_HOURS:
        said += say("water-hours", n=round(water.hours_a_day, 1))
    return f"{said}."


# ---------- for a committee ----------
def put_to_you(t: Telling) -> Iterator[Table | Line]:
    """The choice for each part in a table, with its verdict, dates and money."""
    head = (
        say("part"), say("proposal"), say("verdict"), say("only-if"), say("full-play"), say("decide-by"),
        say("money-known"), say("work"),
    )  # fmt: skip
    yield Table(head, tuple(row for answer in t.advice.programme for row in _asked(t, answer)))
    if t.advice.money is not None and t.advice.money.unknown:
        yield line(say("money-not-whole"))


def _asked(t: Telling, answer: model.Answer) -> Iterator[tuple[Cell, ...]]:
    zone = cell(Span(answer.zone, "strong"))
    options = picked(t.advice, answer)
    for option in options:
        cost, hours, role = option.cost, option.labour_hours, role_of(answer, option)
        sums = say("not-known")
        if cost is not None:
            amount = price(cost.low, cost.high, cost.currency)
            sums = say("cost-in-short", amount=amount, year=cost.year, how=cost.how.rstrip("."))
        said = (
            f"{word('role', role)}: {option.title}",
            short_verdict(stands_as(option, role), option.rests_on),
            conditions_in_short(option.rests_on) or "–",
            between(option.full_play).rstrip("."),
            decide_words(option) or say("no-set-day"),
            sums,
            say("not-known") if hours is None else hours_words(hours),
        )
        yield (zone, *map(cell, said))
    if not options:
        yield (zone, cell(sentence(answer.text)), *[cell("–")] * 6)
