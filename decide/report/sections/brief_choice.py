"""The choice on the first screen, parts with the same answer put together; and what somebody means to do."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from decide.model import advice as model
from decide.model.advice import Option
from decide.model.row import Decision, Judgement
from decide.model.words import capital
from decide.report.blocks import Line, Span, headed, line
from decide.report.choices import (
    VERDICT_STYLES,
    first_reason,
    marked,
    picked,
    put_off,
    role_of,
    stands_as,
)
from decide.report.fit import LAST, Form, Piece
from decide.report.phrases import date_of, day_of, opening_sentence, sentence, short_days
from decide.report.telling import Tell, Telling
from decide.report.words import language, word

_IDLE: Final[tuple[Decision, ...]] = ("nothing to do", "left alone")
# The title of these says all; of the others it does not say what is mended, moved or asked.
_SAID_BY_TITLE: Final = ("establish", "recover", "carry-on")
# So many names of parts are said where there is little room.
SOME_PARTS: Final = 3


@dataclass(frozen=True)
class Alike:
    """Parts that get the same answer, and what is said of one or the other of them."""

    answers: tuple[model.Answer, ...]
    options: tuple[tuple[Option, ...], ...]

    @property
    def zones(self) -> tuple[str, ...]:
        """The names of the parts."""
        return tuple(answer.zone for answer in self.answers)

    @property
    def idle(self) -> bool:
        """Whether nothing is done there."""
        return self.answers[0].decision in _IDLE

    def rests_on(self, place: int) -> list[str]:
        """What the option at a place rests on, in one part or the other."""
        return list(dict.fromkeys(said for row in self.options for said in row[place].rests_on))


def alike(t: Telling) -> list[Alike]:
    """The parts put together by the same choice, those with work first."""
    found: dict[tuple[object, ...], list[tuple[model.Answer, tuple[Option, ...]]]] = {}
    for answer in t.advice.programme:
        options = tuple(picked(t.advice, answer))
        roles = [role_of(answer, option) for option in options]
        said = tuple(
            (option.title, role, stands_as(option, role), option.full_play)
            for option, role in zip(options, roles, strict=True)
        )
        key = (answer.decision, said, "" if options else answer.text)
        found.setdefault(key, []).append((answer, options))
    groups = [Alike(tuple(row[0] for row in rows), tuple(row[1] for row in rows)) for rows in found.values()]
    return sorted(groups, key=lambda group: group.idle)


@dataclass(frozen=True)
class _Depth:
    """How much of a choice is said: so many conditions and names of parts, and which days of use."""

    rank: int
    conditions: int
    names: int
    days: tuple[str, ...]


_DEPTHS: Final = (
    _Depth(0, 2, LAST, ("light", "full")),
    _Depth(30, 1, LAST, ("full",)),
    _Depth(54, 0, SOME_PARTS, ("full",)),
    _Depth(70, 0, SOME_PARTS, ()),
)


def choice(t: Telling, tell: Tell, group: Alike) -> Piece:
    """What is done with parts that get the same answer: verdict, conditions, days."""
    if not group.options[0]:
        said = sentence(group.answers[0].text)
        label = named_parts(t, tell, group.zones, LAST)
        fewer = named_parts(t, tell, group.zones, SOME_PARTS)
        whole, short = headed(label, said, mark="-"), headed(fewer, opening_sentence(said), mark="-")
        return Form(0, (whole,)), Form(30, (short,))
    return tuple(
        Form(depth.rank, tuple(_way(t, tell, group, place, depth) for place in range(len(group.options[0]))))
        for depth in _DEPTHS
    )


def named_parts(t: Telling, tell: Tell, zones: Sequence[str], most: int) -> str:
    """The names of parts; so many at most."""
    if len(zones) == len(t.advice.programme) and len(zones) > SOME_PARTS:
        return tell("screen-all-parts")
    if len(zones) <= most:
        return language().listed(zones)
    return tell("screen-some-parts", names=", ".join(zones[: most - 1]), n=len(zones) - most + 1)


def _way(t: Telling, tell: Tell, group: Alike, place: int, depth: _Depth) -> Line:
    answer, option = group.answers[0], group.options[0][place]
    role = role_of(answer, option)
    stands, rests_on = stands_as(option, role), group.rests_on(place)
    parts, as_ = named_parts(t, tell, group.zones, depth.names), word("role", role)
    label = parts if role == "do" else tell("screen-part-as", parts=parts, role=f"{as_[0].lower()}{as_[1:]}")
    said = [
        opening_sentence(answer.text) if role == "least-bad" else "",
        sentence(option.title),
        _beside(t, tell, [row[place] for row in group.options], depth.conditions),
    ]
    verdict = _verdict(tell, stands, rests_on, depth.conditions)
    after = [_days(tell, option, depth.days)]
    if depth.conditions:
        unsound = stands not in ("advised", "sound")
        after.insert(0, _why_all_the_same(tell, option) if unsound else "")
        if option.decide_by and not put_off(option):
            after.append(tell("screen-decide-by", day=day_of(option.decide_by)))
    if depth.conditions > 1 and answer.window is not None and place + 1 == len(group.options[0]):
        after.append(opening_sentence(answer.window.text))
    return headed(
        label,
        " ".join(text for text in said if text),
        " ",
        Span(verdict, VERDICT_STYLES[marked(stands, rests_on)]),
        "".join(f" {text}" for text in after if text),
        mark="-",
    )


def _why_all_the_same(tell: Tell, option: Option) -> str:
    """What speaks against a choice that is not sound, and why the programme takes it all the same."""
    mark = tell("answer-part", why="").strip()
    against, taken, part = option.verdict_reason.partition(mark)
    said = opening_sentence(against.strip() or first_reason(option)) if against or not taken else ""
    return " ".join(
        text for text in (said, f"{mark} {opening_sentence(part.strip())}" if taken else "") if text
    )


def _beside(t: Telling, tell: Tell, options: Sequence[Option], most: int) -> str:
    """What is mended, moved, asked or fought, where the title of the choice does not say it."""
    remedy, zones = options[0].remedy, [option.zone for option in options]
    if remedy in _SAID_BY_TITLE or not most:
        return ""
    if remedy == "tend":
        names = list(dict.fromkeys(row.name for row in t.advice.ailments if row.zone in zones))
        return tell("screen-ails", names="; ".join(names)) if names else ""
    if remedy == "mend-first":
        found = [row.bare_again_unless for row in t.advice.causes if row.zone in zones]
    else:
        code = f"remedy-{remedy}"
        found = [row.text for row in t.advice.diagnosis if row.zone in zones and row.code == code]
    said = list(dict.fromkeys(map(opening_sentence, found)))
    more = [tell("screen-more-causes", n=len(said) - most)] if len(said) > most else []
    return " ".join([*said[:most], *more])


def _verdict(tell: Tell, verdict: str, rests_on: Sequence[str], shown: int) -> str:
    name = capital(language().verdict(verdict))
    if not rests_on:
        return tell("screen-verdict", verdict=name)
    some, left = "; ".join(rests_on[:shown]), len(rests_on) - shown
    if not shown:
        conditions = tell("screen-conditions", n=len(rests_on))
    elif left > 0:
        conditions = tell("screen-conditions-and-more", some=some, n=left)
    else:
        conditions = some
    if verdict == "sound":
        return tell("screen-sound-if", conditions=conditions)
    return tell("screen-and-only-if", verdict=name, conditions=conditions)


def _days(tell: Tell, option: Option, uses: Sequence[str]) -> str:
    if not uses:
        return ""
    light, full = (
        "" if days is None else short_days(date_of(days.early or ""), date_of(days.late or ""))
        for days in (option.light_use, option.full_play)
    )
    if light and full and "light" in uses and light != full:
        return tell("screen-light-and-full", light=light, full=full)
    if full:
        return tell("screen-full", full=full)
    return tell("screen-no-days") if option.remedy == "establish" else ""


def others(tell: Tell, groups: Sequence[Alike]) -> Piece:
    """The parts for which there is no room on the screen."""
    zones = [zone for group in groups for zone in group.zones]
    return (Form(0, (line(tell("screen-other-parts", n=len(zones)), mark="-"),)),) if zones else ()


def ideas(t: Telling, tell: Tell) -> Piece:
    """What the person means to do, each with its judgement."""
    judged: dict[tuple[str, Judgement], list[str]] = {}
    for row in t.advice.proposals:
        zone = next((each.zone for each in t.advice.programme if row.asked.endswith(f", {each.zone}")), "")
        judged.setdefault((row.asked.removesuffix(f", {zone}"), row.judgement), []).append(zone)
    rows = [
        tell("screen-idea", asked=_idea(t, tell, asked, zones), judgement=_judged(tell, judgement))
        for (asked, judgement), zones in judged.items()
    ]
    if not rows:
        return ()

    def said(n: int) -> Line:
        more = len(rows) - n
        end = tell("screen-more-ideas", n=more) if more else tell("screen-why-ideas")
        return headed(tell("screen-ideas"), sentence("; ".join(rows[:n])), f" {end}")

    counted = headed(tell("screen-ideas"), tell("screen-ideas-counted", n=len(rows)))
    forms = [Form(rank, (said(n),)) for rank, n in ((0, len(rows)), (35, 2), (45, 1)) if n <= len(rows)]
    return *forms, Form(60, (counted,))


def _judged(tell: Tell, judgement: Judgement) -> str:
    return tell("screen-sound-on-conditions") if judgement == "sound-if" else language().verdict(judgement)


def _idea(t: Telling, tell: Tell, asked: str, zones: Sequence[str]) -> str:
    named = [zone for zone in zones if zone]
    parts = named_parts(t, tell, named, SOME_PARTS) if named and len(named) < len(t.advice.programme) else ""
    return f"{asked}, {parts}" if parts else asked
