"""The minutes in pieces, each in forms from full to terse: proposal, cost, what else, risks, who decides."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Sequence
from operator import itemgetter
from typing import Final, get_args

from decide.model import advice as model
from decide.model.advice import Option
from decide.model.planned import Task, hours_to_do
from decide.model.row import Judgement
from decide.model.words import capital
from decide.report.blocks import Heading, Line, Span, headed, line
from decide.report.choices import (
    begun_again,
    chief_reasons,
    decide_day,
    picked,
    role_of,
    stands_as,
    without_start,
)
from decide.report.fit import Form, Piece
from decide.report.phrases import (
    date_of,
    day_of,
    hours_words,
    known,
    opening_sentence,
    price,
    sentence,
    short_days,
)
from decide.report.sections.brief import water_of_a_week
from decide.report.sections.brief_choice import Alike, alike
from decide.report.sections.opening import FATE_STYLES
from decide.report.telling import Telling
from decide.report.words import language, say, word

# Pieces in their order, each under a heading where one begins with it.
Headed = list[tuple[Heading | None, Piece]]
# What somebody has to say yes to, or to ask for, before the ground is touched.
_ASKED: Final = ("ready", "order")
_GRAVITY: Final[tuple[Judgement, ...]] = get_args(Judgement)
_AGAINST: Final = ("ruled-out", "lost", "poor", "weak", "doubtful")
# Where all of more parts than this are meant, no names are said.
_FEW_PARTS: Final = 3


def title(t: Telling) -> str:
    """The title of the page: the place and the day."""
    place = known(t.advice, "place.name")
    named = say("minutes-for", place=place) if place else say("minutes")
    return f"{named}, {day_of(t.today.isoformat())}" if t.today else named


def minutes(t: Telling, crowded: bool = False) -> Headed:
    """The whole page: what cannot wait, the proposal, its cost, what else, risks, decisions.

    Where it is `crowded`, parts stand together by their decision, whatever the grass and the days.
    """
    return [
        *_section("", danger(t), fate(t), under_way(t)),
        *_section(say("proposal"), *proposals(t, crowded)),
        *_section(say("what-it-costs"), cost(t)),
        *_section(say("what-else"), others(t)),
        *_section(say("risks"), risks(t), care(t)),
        *_section(say("to-be-decided"), decisions(t)),
        *_section("", last(t)),
    ]


def _section(name: str, *pieces: Piece) -> Headed:
    said = [piece for piece in pieces if piece]
    return [(Heading(name, 1) if name and n == 0 else None, piece) for n, piece in enumerate(said)]


def _piece(*forms: tuple[int, Sequence[Line]]) -> Piece:
    """A piece of its forms, each with its rank; none where the fullest says nothing."""
    return tuple(Form(rank, tuple(lines)) for rank, lines in forms) if forms[0][1] else ()


def _parts(t: Telling, zones: Sequence[str]) -> str:
    """The names of parts; all of many are told as such."""
    every = len(zones) == len(t.advice.programme) and len(zones) > _FEW_PARTS
    return say("every-part") if every else language().listed(zones)


def _of(t: Telling, zones: Sequence[str]) -> str:
    """Some parts of several, behind what is said of them."""
    named = list(dict.fromkeys(zone for zone in zones if zone))
    some = t.many and named and len(named) < len(t.advice.programme)
    return f" ({_parts(t, named)})" if some else ""


# ---------- what cannot wait ----------
def danger(t: Telling) -> Piece:
    """What must be done or kept off today, with who decides."""
    rows = t.advice.today
    names = {row.code: row.name for row in t.advice.cautions if row.name and len(rows) > 1}
    texts = [
        f"{capital(names[row.code])}: {opening_sentence(row.text)}"
        if row.code in names
        else opening_sentence(row.text)
        for row in rows
    ]
    whole = [_dangerous(sentence(row.text), row.who_decides) for row in rows]
    short = [_dangerous(text, row.who_decides) for text, row in zip(texts, rows, strict=True)]
    every = "; ".join(dict.fromkeys(row.who_decides for row in rows if row.who_decides))
    merged = [_dangerous(" ".join(dict.fromkeys(texts)), every)] if rows else []
    return _piece((0, whole), (62, list(dict.fromkeys(short))), (86, merged))


def _dangerous(text: str, who: str) -> Line:
    decides = f" {say('who-decides', who=sentence(who))}" if who else ""
    return headed(say("today-short"), text, decides)


def under_way(t: Telling) -> Piece:
    """New grass that is under way: what was seen, what to do, and whether it may open."""
    signs = t.advice.signs_seen
    gates: dict[str, list[str]] = {}
    for gate in t.advice.open_now:
        gates.setdefault(say("may-open", light=gate.light, full=gate.full), []).append(gate.zone)
    where = {said: Span(f"{_parts(t, zones)}: ", "strong") for said, zones in gates.items() if t.many}
    may = [line(where.get(said, ""), said, mark="-") for said in gates]

    def rows(short: bool) -> Iterator[Line]:
        for row in signs:
            do = opening_sentence(row.do) if short else sentence(row.do)
            seen = say("seen-on", sign=row.sign.rstrip("."), day=day_of(row.on))
            yield line(*t.where([row.zone]), f"{sentence(seen)} {say('do-today')}: {do}", mark="-")

    seen = "; ".join(dict.fromkeys(f"{row.sign.rstrip('.')}{_of(t, [row.zone])}" for row in signs))
    named = [line(say("signs-seen", signs=seen), mark="-")] if signs else []
    return _piece((0, [*rows(False), *may]), (44, [*rows(True), *may]), (64, [*named, *may]))


def fate(t: Telling) -> Piece:
    """What becomes of the date that is wanted."""
    row = t.advice.fate
    if row is None:
        return ()
    first = Span(opening_sentence(row.text), FATE_STYLES[row.level])
    return _piece((0, [line(first, row.text.removeprefix(first.text))]), (60, [line(first)]))


# ---------- the proposal ----------
def proposals(t: Telling, crowded: bool = False) -> list[Piece]:
    """What is done with each part; parts with the same answer stand together."""
    return [_proposal(t, group) for group in _groups(t, crowded)]


def _groups(t: Telling, crowded: bool) -> list[Alike]:
    """The parts put together by what is proposed, whatever the decision is called."""
    found: dict[tuple[object, ...], list[Alike]] = {}
    for group in alike(t):
        first, options = group.answers[0], group.options[0]
        same: tuple[object, ...] = tuple((o.title, o.verdict, o.full_play) for o in options) or (first.text,)
        if crowded:
            same = (first.decision, *(o.verdict for o in options))
        found.setdefault(same, []).append(group)
    return [
        Alike(
            tuple(answer for group in groups for answer in group.answers),
            tuple(options for group in groups for options in group.options),
        )
        for groups in found.values()
    ]


def _proposal(t: Telling, group: Alike) -> Piece:
    full = ((0, 3, 2, True), (15, 2, 1, True), (25, 1, 1, True), (34, 1, 0, True))
    terse = ((52, 1, 0, False), (68, 0, 0, False))
    return _piece(
        *((rank, list(_ways(t, group, shown, why, both))) for rank, shown, why, both in (*full, *terse))
    )


def _ways(t: Telling, group: Alike, conditions: int, reasons: int, both: bool) -> Iterator[Line]:
    answer = group.answers[0]
    name = (Span(f"{_parts(t, group.zones)}: ", "strong"),) if t.many else ()
    if not group.options[0]:
        one = len({each.text for each in group.answers}) == 1
        said = answer.text if one else capital(word("decision", answer.decision))
        text = sentence(said) if both else opening_sentence(said)
        yield line(*name, " ".join([text, *_until_then(answer, conditions)]), mark="-")
    for place, option in enumerate(group.options[0]):
        role = role_of(answer, option)
        stands = stands_as(option, role)
        verdict = _verdict(stands, group.rests_on(place), conditions)
        if len({options[place].title for options in group.options}) > 1:
            decided = Span(capital(word("decision", answer.decision)), "strong")
            yield line(*name, decided, f" — {verdict}", mark="-")
            continue
        # What is proposed though it is not sound is never without its reason, while there is any room.
        why = max(reasons, int(conditions > 0 and stands not in ("advised", "sound")))
        before = [opening_sentence(answer.text)] if role == "least-bad" else []
        before += [] if role == "do" else [f"{word('role', role)}:"]
        after = [begun_again(answer, option), _days(option, both), *_why(t, option, why)]
        after += _until_then(answer, conditions) if place + 1 == len(group.options[0]) else []
        way = Span(option.title, "strong")
        rest = "".join(f" {text}" for text in (verdict, *after) if text)
        yield line(*name, "".join(f"{text} " for text in before), way, f" —{rest}", mark="-")


def _verdict(verdict: str, rests_on: Sequence[str], most: int) -> str:
    """A verdict with the first of its conditions, and how many more there are."""
    name = language().verdict(verdict)
    if not rests_on:
        return sentence(name)
    more = len(rests_on) - most
    end = [say("and-more-conditions", n=more)] if more > 0 else []
    held = "; ".join([*rests_on[:most], *end]) if most else say("conditions-counted", n=len(rests_on))
    if verdict == "sound":
        return sentence(say("sound-if", conditions=held))
    return sentence(say("and-only-if", verdict=name, conditions=held))


def _days(option: Option, both: bool) -> str:
    """From when it bears which use; matches alone where there is little room."""
    if option.full_play is None:
        return say("no-day") if option.remedy == "establish" else ""
    light, full = (
        "" if days is None else short_days(date_of(days.early or ""), date_of(days.late or ""))
        for days in (option.light_use if both else None, option.full_play)
    )
    uses = ((say("training"), light), (say("matches"), full))
    said = "; ".join(f"{use} {days}" for use, days in uses if days)
    return sentence(capital(said)) if said else say("no-day")


def _why(t: Telling, option: Option, most: int) -> list[str]:
    """Why it is proposed: what the part needs, else the first reasons."""
    code = f"remedy-{option.remedy}"
    needs = [row.text for row in t.advice.diagnosis if row.zone == option.zone and row.code == code]
    reasons = [reason.text for reason in chief_reasons(option)]
    found = reasons if option.remedy == "establish" else needs or reasons
    return [opening_sentence(text) for text in found[:most]]


def _until_then(answer: model.Answer, most: int) -> Iterator[str]:
    """What is done meanwhile where nothing is chosen, and the next real time for new grass."""
    if answer.option is None:
        yield from map(opening_sentence, answer.meanwhile[: max(0, most - 1)])
    if answer.window is not None:
        yield opening_sentence(answer.window.text)


# ---------- cost ----------
def cost(t: Telling) -> Piece:
    """Money that is known, what has no price, hours and water."""
    sums = t.advice.money
    totals = [
        say("total", kind=word("kind", row.kind), price=price(row.low, row.high, row.currency), year=row.year)
        for row in (sums.totals if sums else [])
    ]
    areas = sums.to_measure if sums else []
    texts = [text for text in (sums.unknown if sums else []) if ": " in text and text not in areas]
    unpriced = [name for text in texts if (name := text.partition(":")[0]) != say("work")]
    takes = [*areas, *_takes(t)]
    if not (totals or unpriced or takes):
        return _piece((0, [line(say("nothing-to-pay"))]))

    def said(names: int) -> list[Line]:
        more = len(unpriced) - names
        some = [*unpriced[:names], *([say("and-more-conditions", n=more)] if more > 0 else [])]
        without = []
        if unpriced:
            counted = say("unpriced-counted", n=len(unpriced))
            without = [say("no-price-for", names="; ".join(some)) if names else counted]
        rows = (*totals, *(without or ([] if totals else [say("no-price-known")])), *takes)
        return [line(" ".join(sentence(capital(text)) for text in rows))]

    return _piece((0, said(len(unpriced))), (28, said(3)), (50, said(0)))


def _takes(t: Telling) -> list[str]:
    """Hours and water, and the weeks for which the hands are too few."""
    hours, water = hours_to_do(t.advice.plan), water_of_a_week(t)
    over = sum(bool(week.hours_short or week.visits_short) for week in t.advice.weeks)
    return [
        *([say("work-to-opening", hours=hours_words(hours))] if hours is not None else []),
        *([say("weeks-over", n=over)] if over else []),
        *([say("water-most", amount=water)] if water else []),
    ]


# ---------- what else ----------
def others(t: Telling) -> Piece:
    """What else was looked at, and why it is not proposed."""
    told: dict[str, list[str]] = {}
    for answer in t.advice.programme:
        for text in (answer.instead, *answer.not_chosen, answer.better_than):
            if text:
                told.setdefault(text.rstrip("."), []).append(answer.zone)
    # The other side of a trade comes before what was wished and the next best, whatever the part.
    instead = [text for text in told if any(text == row.instead.rstrip(".") for row in t.advice.programme)]
    ordered = [*instead, *(text for text in told if text not in instead)]
    rows = [line(sentence(text + _of(t, told[text])), mark="-") for text in ordered]
    ideas = [line(text, mark="-") for text in _ideas(t)]
    ways = [line(Span(f"{name}: ", "strong"), text, mark="-") for name, text in _ways_left(t, " ".join(told))]
    short = [
        line(sentence(opening_sentence(text).rstrip(".") + _of(t, told[text])), mark="-") for text in ordered
    ]
    forms = ((0, rows, 3, 4, 3), (18, rows, 2, 3, 2), (30, rows, 2, 2, 0), (45, rows, 1, 1, 0))
    terse = ((56, short, 1, 1, 0), (84, short, 1, 0 if ideas else 1, 0))

    def meant(most: int) -> list[Line]:
        more = len(ideas) - most
        return [*ideas[:most], *([line(say("more-ideas", n=more), mark="-")] if more > 0 else [])]

    return _piece(
        *(
            (rank, [*meant(own), *said[:most], *ways[:left]])
            for rank, said, own, most, left in (*forms, *terse)
        )
    )


def _ideas(t: Telling) -> list[str]:
    """What somebody means to do, with its judgement and the first condition or reason of it."""
    judged: dict[tuple[str, str, str], list[str]] = {}
    # What is not advised comes first.
    for row in sorted(t.advice.proposals, key=lambda row: -_GRAVITY.index(row.judgement)):
        zone = next((each.zone for each in t.advice.programme if row.asked.endswith(f", {each.zone}")), "")
        only_if = row.judgement == "sound-if"
        why = (row.conditions or [say("unasked")])[0] if only_if else _against(row.reasons)
        judged.setdefault((row.asked.removesuffix(f", {zone}"), row.judgement, why), []).append(zone)
    return [
        f"{asked}{_of(t, zones)}: "
        + (
            sentence(say("sound-if", conditions=say("idea-only-if", what=why.rstrip("."))))
            if verdict == "sound-if"
            else f"{sentence(language().verdict(verdict))} {opening_sentence(why)}".strip()
        )
        for (asked, verdict, why), zones in judged.items()
    ]


def _ways_left(t: Telling, told: str) -> Iterator[tuple[str, str]]:
    """Each other way that was judged, by its first option, with what speaks most against it."""
    chosen = [option for answer in t.advice.programme for option in picked(t.advice, answer)]
    seen = {(option.remedy, option.method) for option in chosen}
    for option in t.advice.options:
        way, name = (option.remedy, option.method), without_start(option)
        against = option.verdict_reason or _against(option.reasons)
        if way in seen or not against or name[1:] in told:
            continue
        seen.add(way)
        yield name, f"{sentence(language().verdict(option.verdict))} {opening_sentence(against)}"


def _against(reasons: Sequence[model.Reason]) -> str:
    """The gravest that speaks against something; "" where nothing does."""
    return next((row.text for grade in _AGAINST for row in reasons if row.grade == grade), "")


# ---------- risks ----------
def risks(t: Telling) -> Piece:
    """What does not fit, what makes it bare again, how sure it is, what a failure costs."""
    a = t.advice
    clash = [
        headed(say("does-not-fit"), *t.where([row.zone]), opening_sentence(row.text), style="bad", mark="-")
        for row in a.clashes
    ]
    again = dict.fromkeys(opening_sentence(row.bare_again_unless) for row in a.causes)
    bare = [line(text, mark="-") for text in again if text]
    could = [row.text for row in a.unknown if row.changes_first_choice]
    sure = headed(say("how-sure"), f"{word('sure', a.sure.level)}. {opening_sentence(a.sure.why)}", mark="-")

    def asked(most: int) -> Line:
        if not could:
            return sure
        more = f" {say('more-questions', n=len(could) - most)}" if len(could) > most else ""
        return headed(say("could-change-choice"), " ".join(map(sentence, could[:most])), more, mark="-")

    worst = sorted(a.money.failure, key=lambda row: -(row.high or 0.0))[:1] if a.money else []
    fails, short = (
        [headed(say("if-it-fails"), said(row.text), mark="-") for row in worst]
        for said in (sentence, opening_sentence)
    )
    return _piece(
        (0, [*clash, *bare[:3], asked(3), *fails]),
        (22, [*clash, *bare[:2], asked(2), *short]),
        (42, [*clash[:2], *bare[:1], asked(1), *short]),
        (64, [*clash[:1], *bare[:1], asked(1)]),
    )


def care(t: Telling) -> Piece:
    """Every caution by its name, under the one who decides; those of today stand whole above.

    Where there is no other room, of several who decide the first is named.
    """
    today = {row.code for row in t.advice.today}
    rows = [row for row in t.advice.cautions if row.code not in today]

    def said(deciding: Callable[[str], str]) -> Line:
        found: dict[str, list[str]] = {}
        for row in rows:
            name = row.name or opening_sentence(row.text).rstrip(".")
            found.setdefault(deciding(row.who_decides), []).append(name)
        every = (f"{', '.join(names)} ({who})" if who else ", ".join(names) for who, names in found.items())
        return headed(say("take-care-and-who"), sentence("; ".join(every)), style="warn", mark="-")

    return _piece((0, [said(str)]), (90, [said(_first_of)])) if rows else ()


def _first_of(who: str) -> str:
    return re.split(r"[,;]", who)[0]


# ---------- decisions ----------
def decisions(t: Telling) -> Piece:
    """What is decided by when and by whom, in the order of the days.

    Where there is little room the openings of the ground stand as one, on the day of the first.
    """
    by_day = itemgetter(0)
    other, opening = sorted(_decided(t), key=by_day), sorted(_openings(t), key=by_day)
    one = [(opening[0][0], say("decide-openings"), opening[0][2])] if opening[1:] else opening

    def said(most: int) -> list[Line]:
        whole = len(other) + len(opening) <= most
        kept = sorted([*other, *opening] if whole else [*other[: most - len(one)], *one], key=by_day)
        return [
            line(Span(f"{day_of(day)}: ", "strong"), f"{what} — {who}.", mark="-") for day, what, who in kept
        ]

    return _piece((0, said(9)), (40, said(7)), (50, said(5)), (60, said(4)), (80, said(3)))


def _decided(t: Telling) -> Iterator[tuple[str, str, str]]:
    """Days, what is decided but for the openings, and who decides it."""
    a = t.advice
    by = decide_day(a)
    if by:
        yield by, say("decide-proposal"), say("this-meeting")
    yield from _by_task(t, ((task.latest, task) for task in a.plan if task.round in _ASKED))
    windows: dict[str, list[str]] = {}
    for answer in a.programme:
        if answer.window is not None and answer.window.decide_by:
            windows.setdefault(answer.window.decide_by, []).append(answer.zone)
    for day, zones in windows.items():
        yield day, say("event-window") + _of(t, zones), say("this-meeting")


def _openings(t: Telling) -> Iterator[tuple[str, str, str]]:
    """The days on which the owner may open parts of the ground."""
    opens = (task for task in t.advice.plan if task.stage == "open" and task.who == "owner")
    yield from _by_task(t, ((task.from_, task) for task in opens if task.round not in _ASKED))


def _by_task(t: Telling, dated: Iterable[tuple[str | None, Task]]) -> Iterator[tuple[str, str, str]]:
    """Tasks on their days, the same of several parts together."""
    found: dict[tuple[str, str, str], list[Task]] = {}
    for day, task in dated:
        if day is not None and task.done is None and task.who:
            found.setdefault((day, task.task, task.who), []).append(task)
    for (day, name, who), same in found.items():
        yield day, name + _of(t, [task.zone for task in same]), word("who", who)


def last(t: Telling) -> Piece:
    """What rules over the page, until when it holds, and where the rest stands."""
    until = f" {say('valid-until-day', day=day_of(t.advice.valid_until))}" if t.advice.valid_until else ""
    return _piece((0, [line(say("ruler"), until, f" {say('rest-of-minutes')}")]))
