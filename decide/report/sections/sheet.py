"""The sheet to hang up: what to do and when in few words, ticks for two weeks, the tests, who decides."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Sequence
from typing import Final

from decide.model.planned import Task, Watering
from decide.model.units import convert
from decide.model.words import capital, first_sentence
from decide.plan.tasks import this_week
from decide.report.blocks import DONE, TO_DO, Line, Span, line
from decide.report.choices import picked
from decide.report.field_svg import drawn
from decide.report.fit import LAST, Form, Piece, fit
from decide.report.phrases import (
    date_of,
    day_of,
    few_days,
    known,
    opening_sentence,
    sentence,
    short_day,
)
from decide.report.poster import (
    MOST_WORDS,
    BigDate,
    MarkedPlan,
    Part,
    Poster,
    WorkLine,
    texts_of,
    words_in,
    words_of,
)
from decide.report.sections import season
from decide.report.sections.cautions import unworded
from decide.report.sections.ground import may_open
from decide.report.sections.plan import most_pressing
from decide.report.sections.sheet_jobs import Group, groups, idle_lines, job_of, lanes_of
from decide.report.telling import Telling
from decide.report.timeline import Row
from decide.report.words import language, say
from decide.report.work_line_svg import work_line

Fewer = Sequence[tuple[int, int, int]]
WEEK: Final = dt.timedelta(days=7)
# No more jobs than these have room on a wall, and no more names of other parts.
MOST_JOBS: Final = 4
_ZONES_NAMED: Final = 4
# What comes back stands in the line of water and mowing, not among the ticks of a week.
_COMES_BACK: Final = ("water-new", "water-young", "water-set", "mow")
# How the ticks of a week grow fewer: the rank of a form, how many there are, and of how many it says how.
_THIS_WEEK: Final = ((20, 16, 3), (44, 6, 2), (60, 5, 1), (74, 5, 0), (84, 4, 0), (90, 3, 0), (94, 2, 0))
_NEXT_WEEK: Final = ((8, 16, 2), (16, 5, 1), (26, 3, 0), (48, 2, 0), (78, 1, 0))
# So many cautions are named where there is no room for all, and so many stages of water.
_NAMED: Final = ((18, 8), (34, 5), (70, 3))
_STAGES: Final = ((0, 99), (12, 6), (22, 4), (40, 3), (64, 2), (80, 1))


def sheet(t: Telling) -> Poster:
    """The whole sheet, in as many words as a wall bears: with fewer of its jobs where there are too many."""
    jobs, idle = groups(t)
    letters = {zone: group.letter for group in jobs for zone in group.zones}
    pieces = _pieces(t, letters)
    for shown in range(min(len(jobs), MOST_JOBS), -1, -1):
        others = (*idle_lines(idle), *_others(jobs[shown:]))
        bare = _poster(t, jobs[:shown], others, letters, {})
        said = fit([forms for *_, forms in pieces], MOST_WORDS - _fixed(bare, pieces), words_of, LAST)
        if said is not None:
            break
    else:
        said = [forms[-1].lines for *_, forms in pieces]
    parts = {code: Part(code, title, lines) for (code, title, _), lines in zip(pieces, said, strict=True)}
    return _poster(t, jobs[:shown], others, letters, parts)


def _others(jobs: Sequence[Group]) -> list[Line]:
    """The parts for whose jobs there is no room."""
    zones = [zone for group in jobs for zone in group.zones]
    if not zones:
        return []
    if len(zones) > _ZONES_NAMED:
        return [line(say("poster-other-parts", n=len(zones)))]
    return [line(Span(f"{language().listed(zones)}: ", "strong"), say("poster-page"))]


def _poster(
    t: Telling, jobs: Sequence[Group], idle: tuple[Line, ...], letters: dict[str, str], parts: dict[str, Part]
) -> Poster:
    a = t.advice
    place = known(a, "place.name")
    sport = a.field_plan.sport if a.field_plan is not None else ""
    today = day_of(known(a, "dates.today"))
    under = [capital(sport.partition(",")[0]), *([today] if today else [])]
    under += [say("valid-until-day", day=day_of(a.valid_until)).rstrip(".")] if a.valid_until else []
    wanted = date_of(known(a, "dates.play_by"))
    fate = parts.pop("fate", None)
    return Poster(
        title=say("poster-title-at", place=place) if place else say("poster-title"),
        under=". ".join(said for said in under if said),
        wanted=None
        if wanted is None
        else BigDate("wanted", say("poster-wanted"), str(wanted.year), short_day(wanted)),
        fate=fate.lines[0].spans if fate is not None and fate.lines else (),
        dangers=parts.pop("today", None),
        jobs=tuple(job_of(t, group) for group in jobs),
        idle=idle,
        line=_line(t, jobs, wanted),
        plan=_plan(t, letters),
        parts=tuple(part for part in parts.values() if part.lines),
        people=tuple(_people(t)),
        ruler=(Span(say("ruler"), "strong"),),
    )


def _fixed(bare: Poster, pieces: Sequence[tuple[str, str, Piece]]) -> int:
    """Words that stand there whatever else is said: with those of the pictures and of the titles."""
    texts = list(texts_of(bare))
    texts += [title for _, title, forms in pieces if forms[0].lines]
    if bare.line.lanes:
        canvas, *_ = work_line(bare.line)
        texts += [shape.said for shape in canvas.shapes if shape.kind == "text"]
    if bare.plan is not None:
        canvas, _ = drawn(bare.plan)
        texts += [shape.said for shape in canvas.shapes if shape.kind == "text"]
    texts += [
        say("plan-title"),
        say("poster-people"),
        *[say("poster-name"), say("poster-number")] * len(bare.people),
    ]
    return sum(map(words_in, texts))


def _line(t: Telling, jobs: Sequence[Group], wanted: dt.date | None) -> WorkLine:
    lanes = [lane for group in jobs for lane in lanes_of(t, group)]
    year = season.timeline(t.advice, t.system)
    today = t.today or (year.today if year is not None else dt.date.min)
    ends = [wanted] if wanted is not None else []
    for lane in lanes:
        ends += [day for day in (lane.start, lane.dies_by) if day is not None]
        for days in (lane.light, lane.full):
            if days is not None:
                ends += [day for day in (days.early, days.late) if day is not None]
    last = max(ends, default=today + 4 * WEEK)
    # A little is left after the last date, so that it is not taken for the end of all.
    last = max(last + (last - today) / 12, today + 4 * WEEK)
    return WorkLine(
        today=today,
        last=last,
        rows=tuple(_windows(t, jobs, today, last)),
        frost_kind=None if year is None else year.frost_kind,
        frosts=() if year is None else year.frosts,
        cold=() if year is None else tuple(row for row in year.cold if row[0] < last and row[1] > today),
        lanes=tuple(lanes),
        wanted=wanted,
    )


def _windows(t: Telling, jobs: Sequence[Group], today: dt.date, last: dt.date) -> list[Row]:
    """The windows of what is put in, those that are alike once, under the letters of their jobs."""
    year = t.advice.season
    if year is None:
        return []
    put_in: dict[str, set[str]] = {}
    for group in jobs:
        codes = [f"{option.code}/" for row in group.options for option in row]
        for window in year.windows:
            ways = (f"/{window.start}/{window.grass}/", f"-{window.start}/{window.grass}/")
            if any(way in code for way in ways for code in codes):
                put_in.setdefault(window.name, set()).add(group.letter)
    rows = []
    for row in season.rows(year):
        stretches = tuple(part for part in row.stretches if part.closes >= today and part.opens <= last)
        letters = sorted({each for name in row.label.split("; ") for each in put_in.get(name, ())})
        if stretches and letters:
            rows.append(Row(" ".join(letters), stretches))
    return rows


def _plan(t: Telling, letters: dict[str, str]) -> MarkedPlan | None:
    plan = t.advice.field_plan
    if plan is None:
        return None
    beside = [part.zone for part in plan.parts if not part.boxes]
    said = [] if plan.size == "told" else [say("plan-usual") if plan.size == "usual" else say("plan-unknown")]
    if beside:
        said.append(say("plan-beside", zones=beside))
    return MarkedPlan(plan, tuple(letters.items()), " ".join(said))


def _people(t: Telling) -> list[str]:
    """Whose names are written down: who opens and shuts, who works, who sprays."""
    who = {task.who for task in t.advice.plan if task.done is None}
    rows = [say("poster-opens"), say("poster-leads")]
    return rows + ([say("poster-sprays")] if "licensed-person" in who else [])


# ---------- what is said more or less fully ----------
def _pieces(t: Telling, letters: dict[str, str]) -> list[tuple[str, str, Piece]]:
    """Each part of the sheet by its code, with its title and its forms, from full to terse."""
    again = {task.code for task in t.week}
    later = [] if t.today is None else this_week(t.advice, t.today + WEEK)
    after = [task for task in later if task.code not in again]
    rows = [
        ("today", say("today-title"), _dangers(t)),
        ("fate", "", _fate(t)),
        ("state", say("how-it-goes"), _state(t)),
        ("tell", say("first-tell"), _first_tell(t)),
        ("season", say("this-season"), _season(t)),
        ("week", say("this-week"), _ticks(t, most_pressing(t), letters, _THIS_WEEK)),
        ("next", say("poster-next-week"), _ticks(t, after, letters, _NEXT_WEEK)),
        ("water", say("poster-water"), _water(t, letters)),
        ("checks", say("poster-checks"), _checks(t)),
        ("care", say("take-care"), _care(t)),
    ]
    return [(code, title, forms) for code, title, forms in rows if forms]


def _dangers(t: Telling) -> Piece:
    rows = t.advice.today
    if not rows:
        return ()

    def said(shorten: Callable[[str], str], who: bool) -> tuple[Line, ...]:
        # Shutting is said once for all of its reasons where these are left out.
        told = dict.fromkeys((shorten(row.text), row.who_decides if who else "") for row in rows)
        return tuple(
            line(Span(text, "strong"), f" {say('who-decides', who=sentence(by))}" if by else "", mark="!")
            for text, by in told
        )

    return (
        Form(0, said(sentence, True)),
        Form(16, said(opening_sentence, True)),
        Form(96, (*said(opening_sentence, False), line(say("poster-who-page")))),
    )


def _fate(t: Telling) -> Piece:
    row = t.advice.fate
    if row is None:
        return ()
    return Form(0, (line(sentence(row.text)),)), Form(52, (line(opening_sentence(row.text)),))


def _state(t: Telling) -> Piece:
    """What was seen and what to do about it today, whether it may open, and what does not fit."""
    seen = [
        line(*t.where([row.zone]), f"{sentence(row.sign)} ", Span(sentence(row.do), "strong"), mark="-")
        for row in t.advice.signs_seen
    ]
    short = [
        line(*t.where([row.zone]), Span(opening_sentence(row.do), "strong"), mark="-")
        for row in t.advice.signs_seen
    ]
    gates = [line(*may_open(t, gate), mark="-") for gate in t.advice.open_now]
    clash = [
        line(
            Span(f"{say('does-not-fit')}: ", "bad"),
            *t.where([row.zone]),
            opening_sentence(row.text),
            mark="!",
        )
        for row in t.advice.clashes
    ]
    if not (seen or gates or clash):
        return ()
    forms = [Form(0, (*seen, *gates, *clash)), Form(62, (*short, *gates, *clash)), Form(98, (*short, *clash))]
    return tuple(form for form in forms if form.lines)


def _first_tell(t: Telling) -> Piece:
    """The question whose answer could change a sheet on which nothing is chosen."""
    asked = next((row.text for row in t.advice.unknown if row.changes_first_choice), "")
    chosen = any(picked(t.advice, answer) for answer in t.advice.programme)
    return () if chosen or not asked else (Form(0, (line(sentence(asked)),)), Form(72, ()))


def _season(t: Telling) -> Piece:
    """What is done this season with parts for which nothing is chosen, and their next window."""
    rows = [answer for answer in t.advice.programme if not picked(t.advice, answer)]
    said = [(answer.zone, answer.window.text) for answer in rows if answer.window is not None]
    said += [(answer.zone, text) for answer in rows for text in answer.meanwhile]
    if not said:
        return ()
    alike: dict[str, list[str]] = {}
    for zone, text in said:
        alike.setdefault(text, []).append(zone)
    whole = tuple(line(*t.where(zones), sentence(text), mark="-") for text, zones in alike.items())
    short = tuple(line(*t.where(zones), opening_sentence(text), mark="-") for text, zones in alike.items())
    return Form(0, whole), Form(14, short), Form(32, short[:3]), Form(54, short[:1]), Form(74, ())


def _ticks(t: Telling, tasks: Sequence[Task], letters: dict[str, str], fewer: Fewer) -> Piece:
    """Work to tick off: with how it is done, by its name alone, and fewer of it."""
    found: dict[str, list[Task]] = {}
    for task in tasks:
        if task.round not in _COMES_BACK and task.done is None:
            found.setdefault(task.task, []).append(task)
    rows = list(found.values())
    if not rows:
        return ()

    def said(n: int, how: int) -> tuple[Line, ...]:
        shown = [_tick(t, same, letters, place < how) for place, same in enumerate(rows[:n])]
        more = [line(say("poster-more", n=len(rows) - n))] if n < len(rows) else []
        return (*shown, *more)

    every = len(rows)
    return tuple(
        Form(rank, said(min(n, every), min(how, every))) for rank, n, how in ((0, every, every), *fewer)
    )


def _tick(t: Telling, same: Sequence[Task], letters: dict[str, str], how: bool) -> Line:
    task = min(same, key=lambda each: each.latest or each.from_)
    where = _letters([each.zone for each in same], letters)
    begins, last = date_of(task.from_), date_of(task.latest or "")
    when = ""
    if last is not None and t.today is not None:
        when = say("poster-today") if last <= t.today else say("poster-by-day", day=short_day(last))
    elif begins is not None and t.today is not None and begins > t.today:
        when = short_day(begins)
    beside = ", ".join(each for each in (where, when) if each)
    said: list[Span | str] = [Span(task.task, "strong"), f" ({beside})" if beside else "", "."]
    if how:
        said.append(f" {opening_sentence(task.text)}")
    return line(*said, mark=DONE if task.done else TO_DO)


def _letters(zones: Sequence[str], letters: dict[str, str]) -> str:
    """The jobs that a task is of, by their letters; nothing where it is of all of them or of the field."""
    named = sorted({letters.get(zone, zone) for zone in zones if zone})
    return "" if not named or set(named) >= set(letters.values()) else ", ".join(named)


def _water(t: Telling, letters: dict[str, str]) -> Piece:
    """Water and mowing, a line for each stage that is still to come."""
    today = t.today.isoformat() if t.today is not None else ""
    stages: dict[tuple[str, str], list[Watering]] = {}
    for row in t.advice.watering:
        if row.until >= today:
            stages.setdefault((row.stage, _dose(t, row)), []).append(row)
    mown: dict[str, list[Task]] = {}
    for task in t.advice.plan:
        if task.round == "mow" and task.done is None and task.until >= today:
            mown.setdefault(task.task, []).append(task)
    lines = [(row[0].from_, _row(stage, row, letters, how)) for (stage, how), row in stages.items()]
    lines += [(row[0].from_, _row(name, row, letters, _often(row[0]))) for name, row in mown.items()]
    rows = [said for _, said in sorted(lines, key=lambda each: each[0])]

    def some(n: int) -> tuple[Line, ...]:
        return (*rows[:n], *([line(say("poster-more", n=len(rows) - n))] if n < len(rows) else []))

    return tuple(Form(rank, some(min(n, len(rows)))) for rank, n in _STAGES) if rows else ()


def _dose(t: Telling, row: Watering) -> str:
    days = round(1 / row.times_a_day) if row.times_a_day else 1
    depth = _depth(t, row.mm_each)
    if days > 1:
        return say("poster-water-seldom", days=days, depth=depth)
    if row.times_a_day <= 1:
        return say("poster-water-daily", depth=depth)
    return say("poster-water-often", n=language().number(row.times_a_day), depth=depth)


def _often(task: Task) -> str:
    return say("poster-every", days=round(task.every_days)) if task.every_days else ""


def _row(name: str, same: Sequence[Task | Watering], letters: dict[str, str], how: str) -> Line:
    begins, ends = date_of(min(row.from_ for row in same)), date_of(max(row.until for row in same))
    span = "" if begins is None or ends is None else few_days(begins, ends)
    where = _letters([row.zone for row in same], letters)
    beside = f" ({where})" if where else ""
    said = f"{', '.join(each for each in (span, how) if each)}."
    return line(Span(f"{name}{beside}: ", "strong"), said, mark="-")


def _depth(t: Telling, mm: float) -> str:
    unit = "in" if t.system == "us" else "mm"
    amount = round(convert(mm, "mm", unit), 2 if t.system == "us" else 1)
    return language().with_unit(language().number(amount), amount, unit)


def _checks(t: Telling) -> Piece:
    """The tests of opening as boxes: what is tested, and what passes for training and for matches."""
    rows = [row for row in t.advice.opening if not row.instrument]
    if not rows:
        return ()
    marked = []
    for row in rows:
        light, full = row.pass_light, row.pass_full
        both = light if light == full else say("poster-marks", light=light, full=full)
        marked.append(line(Span(row.check, "strong"), f" {both}", mark=TO_DO))
    bare = [line(Span(row.check, "strong"), mark=TO_DO) for row in rows]
    return Form(0, tuple(marked)), Form(30, tuple(bare))


def _care(t: Telling) -> Piece:
    """The cautions of this work: the gravest in their own words, and each of the others named."""
    today = {row.code for row in t.advice.today}
    rows = [row for row in t.advice.cautions if row.code not in today]
    if not rows:
        return ()

    def said(who: bool) -> tuple[Line, ...]:
        end = [f" {say('poster-who', who=row.who_decides)}" if who else "" for row in rows]
        return tuple(
            line(Span(first_sentence(row.text).rstrip("."), "strong"), f"{beside}.", mark="!")
            for row, beside in zip(rows, end, strict=True)
        )

    def named(n: int) -> tuple[Line, ...]:
        more = [say("poster-care-more", n=len(rows) - n)] if n < len(rows) else []
        names = [row.name or unworded(row.code).rstrip(".") for row in rows[:n]]
        return tuple(line(name, mark="!") for name in (*names, *more))

    where = line(say("poster-who-page"))
    return (
        Form(0, said(True)),
        Form(2, (*said(False), where)),
        Form(6, (*named(len(rows)), where)),
        *(Form(rank, (*named(min(n, len(rows))), where)) for rank, n in _NAMED),
    )
