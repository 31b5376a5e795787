"""Exercise sheets from the case bank: situations in plain words with questions and, for the teacher, answers with rule and source."""

from __future__ import annotations

import random
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any, Final, Literal

from decide.answer.zone_answer import decision_of
from decide.cases.bank import Case, consult_case
from decide.consult import Adviser
from decide.decision.consultation import Consultation
from decide.decision.rank import Weighed
from decide.explain.reasons import Reason, Teller, source_words
from decide.explain.why import against, title, zone_name
from decide.knowledge.speaker import REMEDY_NAMES, STEP_NAMES, VERDICT_NAMES
from decide.lesson.steps import Lesson, lesson
from decide.model.errors import DecideError
from decide.model.situation import Situation
from decide.model.wording import MONTH_NAMES, day, listed
from decide.model.words import capital, printable
from decide.questions.sensitivity import with_plain_engine

Grade = Literal[1, 2, 3]
# The most steps that a choice rests on in levels 1 and 2. Of 165 choices of the bank 53 rest on no more than the first, 53 on more than the second.
MOST_STEPS: Final[tuple[int, int]] = (13, 16)
LEVEL_WORDS: Final = f"level 1 rests on at most {MOST_STEPS[0]} steps, level 2 on {MOST_STEPS[0] + 1} to {MOST_STEPS[1]}, level 3 on more"
_MONTHS: Final = {name[:3].lower(): name for name in MONTH_NAMES}


@dataclass(frozen=True)
class Answer:
    """One question with its answer, and the rules and sources behind it."""

    question: str
    answer: str
    rules: tuple[str, ...]
    sources: tuple[str, ...]


@dataclass(frozen=True)
class Exercise:
    """A situation in plain words, the part of the field that is asked about, and its questions with answers.

    `steps` is how many steps the choice rests on, and gives the level.
    """

    case: str
    level: Grade
    steps: int
    zone: str
    given: tuple[str, ...]
    questions: tuple[Answer, ...]
    signed: str


def exercises(
    adviser: Adviser, cases: Sequence[Case], count: int, seed: int, level: Grade | None = None
) -> tuple[Exercise, ...]:
    """`count` exercises of a level (of any where none is asked for), the same for the same seed and bank.

    Cases are drawn in an order that the seed gives and judged until there are enough. DecideError where the bank holds fewer.
    """
    if count < 1:
        raise DecideError(f"{count} exercises cannot be made", where="lesson", instead="Ask for 1 or more")
    plain = with_plain_engine(adviser)
    drawn = sorted(cases, key=lambda case: case.code)
    random.Random(seed).shuffle(drawn)
    found: list[Exercise] = []
    for case in drawn:
        if len(found) == count:
            break
        one = exercise(consult_case(plain, case), case)
        if one is not None and level in (None, one.level):
            found.append(one)
    if len(found) < count:
        asked = f" of level {level}" if level is not None else ""
        raise DecideError(
            f"the bank holds only {len(found)} exercises{asked}",
            where="lesson",
            instead=f"Ask for at most {len(found)}",
        )
    return tuple(found)


def exercise(c: Consultation, case: Case) -> Exercise | None:
    """The exercise of a case; None where no part of it has a choice to be asked about."""
    whole = lesson(c)
    zone = max(
        (code for code, chosen in c.chosen.items() if chosen.named),
        key=lambda code: c.filled.areas.get(code) or 0,
        default=None,
    )
    if zone is None:
        return None
    choice = next(step for step in whole.steps if step.part == "choice" and step.subject == zone)
    size = len(whole.chain(choice.number))
    rows = tuple(_questions(c, whole, zone))
    return Exercise(
        case.code, _level(size), size, zone_name(c, zone), tuple(situation_lines(c)), rows, case.signed
    )


def _level(size: int) -> Grade:
    return 1 if size <= MOST_STEPS[0] else 2 if size <= MOST_STEPS[1] else 3


# ---------- questions ----------
def _questions(c: Consultation, whole: Lesson, zone: str) -> Iterator[Answer]:
    chosen = c.chosen[zone]
    main = chosen.option or chosen.least_bad
    assert main is not None
    causes = [
        step
        for step in whole.steps
        if step.part == "zone" and step.subject == zone and step.target.startswith("zone.cause-")
    ]
    looks = {row.fact: row for row in c.knowledge.causes.values()}
    first = next((step for step in causes if step.target in looks), None)
    if first is not None:
        row = looks[first.target]
        facts = {**c.site, **c.zone_facts[zone]}
        look = c.say.fill(c.book.template(row.look_at), facts, c.types)
        yield Answer(
            "Why is it bare? What would you look at to be sure?",
            f"The likely cause is {row.name}. Look at this: {look}",
            (first.rule,),
            _cited(c, (*row.sources, *first.source_keys)),
        )
    remedy = [
        step
        for step in whole.steps
        if step.subject == zone and step.target == f"zone.remedy-{main.draft.remedy}"
    ]
    because = " ".join(dict.fromkeys(step.because for step in remedy))
    decision = decision_of(c, zone)
    named = REMEDY_NAMES[main.draft.remedy]
    said = (
        f"{capital(named)}."
        if decision in {row.says for each in c.knowledge.remedies.values() for row in each.decisions}
        else f"{capital(decision)}: {named}."
    )
    keys = tuple(key for step in remedy for key in step.source_keys)
    yield Answer(
        "What does this part of the field need? Name the remedy.",
        f"{said} {because}".strip(),
        tuple(step.rule for step in remedy),
        _cited(c, keys),
    )
    if main.draft.remedy == "establish":
        verdict = next(
            step for step in whole.steps if step.part == "verdict" and step.subject == main.draft.code
        )
        stopgap = f" Until then: {title(c, chosen.stopgap.draft)}." if chosen.stopgap is not None else ""
        best = [
            step
            for step in whole.steps
            if step.part == "option"
            and step.subject == main.draft.code
            and step.act == "mark"
            and step.target in c.essential
        ]
        why = " ".join(dict.fromkeys(step.because for step in best[:2]))
        yield Answer(
            "Which grass, by which method, and when would you start?",
            f"{capital(title(c, main.draft))} ({VERDICT_NAMES[main.verdict]}).{stopgap} {why}".strip(), (*(step.rule for step in best[:2]), verdict.rule),
            _cited(c, tuple(key for step in best[:2] for key in step.source_keys)),
        )  # fmt: skip
    if chosen.after is not None and chosen.after.draft.new_grass:
        part = next(
            (step for step in whole.steps if step.part == "part" and step.subject == chosen.after.draft.code),
            None,
        )
        yield Answer(
            "When is the next real time for new grass, and for which?", f"{capital(title(c, chosen.after.draft))}.{f' {part.because}' if part else ''}",
            () if part is None else (part.rule,), () if part is None else part.sources,
        )  # fmt: skip
    needs = [step for step in whole.steps if step.subject in (zone, main.draft.code) and step.act == "need"]
    if needs:
        said = " ".join(dict.fromkeys(step.concludes.removeprefix("Comes with it: ") for step in needs))
        yield Answer(
            "What must come with it, so that it works?",
            said,
            tuple(step.rule for step in needs),
            _cited(c, tuple(key for step in needs for key in step.source_keys)),
        )
    other = _barred(c, zone, main)
    if other is not None:
        w, reason = other
        yield Answer(
            f"Somebody proposes: {title(c, w.draft)}. Why is it {VERDICT_NAMES[w.verdict]}?",
            reason.text,
            (reason.rule,),
            reason.sources,
        )


def _barred(c: Consultation, zone: str, main: Weighed) -> tuple[Weighed, Reason] | None:
    """The best-ranked way of another kind that is ruled out or not advised, with the gravest reason against it."""
    tell = Teller(c)
    for verdict in ("ruled-out", "not-advised"):
        # What cannot be had at all teaches least.
        for w in sorted(c.ranked, key=lambda w: not w.draft.open):
            d = w.draft
            if (
                d.zone == zone
                and w.verdict == verdict
                and (d.remedy, d.method, d.plant) != (main.draft.remedy, main.draft.method, main.draft.plant)
            ):
                reasons = against(tell, w)
                if reasons:
                    return w, reasons[0]
    return None


def _cited(c: Consultation, keys: Sequence[str]) -> tuple[str, ...]:
    return tuple(source_words(c.knowledge, key) for key in dict.fromkeys(keys))


# ---------- the situation in words ----------
def situation_lines(c: Consultation) -> Iterator[str]:
    """What a case tells, in plain words, one thing a line."""
    s = c.filled.situation
    place = c.filled.place_label or s.place.name
    if place:
        yield f"The ground is at {place}."
    yield f"Today is {day(c.filled.today)}."
    if s.dates.play_by is not None:
        firm = {True: " That date cannot move.", False: " That date can move.", None: ""}[
            s.dates.play_by_firm
        ]
        yield f"It is wanted for {s.dates.first_use or 'play'} by {day(s.dates.play_by)}.{firm}"
    for span in s.dates.no_play or []:
        yield f"Nobody plays from {day(span.start)} until {day(span.until)}."
    for use in s.use or []:
        months = f" in {listed([_MONTHS.get(month, month) for month in use.months])}" if use.months else ""
        hours = f", {use.hours_per_week:g} hours a week" if use.hours_per_week is not None else ""
        yield f"In use for {(use.sport or 'play').replace('-', ' ')}{months}{hours}{f' ({use.players})' if use.players else ''}."
    yield from _told(c, s)
    for code, zone in c.zones.items():
        known = [
            f"{_meaning(c, kind.name)}: {c.say.fact(kind, c.zone_facts[code][kind.name])}"
            for kind in c.types.values()
            if kind.kind == "told"
            and kind.scope == "zone"
            and kind.name in c.zone_facts[code]
            and _worth(c.zone_facts[code][kind.name])
            and _given(zone, kind.told)
        ]
        grasses = [
            f"{c.say.plant(str(one.grass).replace(' ', '-').lower())}{f' ({one.state})' if one.state else ''}"
            for one in zone.grass or []
        ]
        known += [f"grass: {listed(grasses)}"] if grasses else []
        yield f"{capital(zone.name)}: {'; '.join(known) if known else 'nothing more is known'}."
    for spray in s.history.herbicides or []:
        yield f"Sprayed on {day(spray.date)}: {spray.kind.replace('-', ' ')}."
    for wish in s.wishes.first or []:
        yield f"They wish first: {wish}."
    for proposal in s.proposal:
        what = STEP_NAMES.get(proposal.step.replace(" ", "-"), proposal.step)
        yield f"They mean to do this: {what}{f' ({proposal.zone})' if proposal.zone else ''}{f' on {day(proposal.start)}' if proposal.start else ''}."


def _told(c: Consultation, s: Situation) -> Iterator[str]:
    """The told facts of the site, those that come as lists gathered in one line."""
    gathered: dict[str, list[str]] = {}
    for kind in c.types.values():
        value = c.site.get(kind.name)
        if (
            kind.kind != "told"
            or kind.scope != "site"
            or value is None
            or kind.told.startswith(("place.", "dates."))
            or not _given(s, kind.told)
        ):
            continue
        head, colon, level = _meaning(c, kind.name).partition(": ")
        if colon:
            gathered.setdefault(head, []).extend([level.replace("-", " ")] if value is True else [])
        elif kind.told == "means.budget" and s.means.currency:
            yield f"{capital(head)}: {c.say.fact(kind, value)} {s.means.currency.upper()}."
        elif kind.told != "means.currency":
            yield f"{capital(head)}: {c.say.fact(kind, value)}."
    for head, levels in gathered.items():
        if levels:
            yield f"{capital(head)}: {listed(levels)}."


def _given(holder: Any, told: str) -> bool:
    """Whether a key was told by the person."""
    table, _, key = told.rpartition(".")
    part = getattr(holder, table, None) if isinstance(holder, Situation) else holder
    return getattr(part, key, None) is not None


def _meaning(c: Consultation, name: str) -> str:
    return c.types[name].meaning.split(";")[0]


def _worth(value: Any) -> bool:
    """Whether a fact is worth a word: members of lists that are not there are not."""
    return value is not False


# ---------- the sheet ----------
def _plain(text: str) -> str:
    """Words as Markdown that says just them."""
    safe = printable(text)
    for sign in "\\`*_[]<>#|~":
        safe = safe.replace(sign, f"\\{sign}")
    return safe


def sheet(found: Sequence[Exercise], seed: int, *, answers: bool = False) -> str:
    """The exercises as Markdown; with `answers` each question is followed by its answer, its rules and its sources."""
    lines = [
        f"# Exercises{' with answers' if answers else ''}",
        "",
        f"Sheet {seed}. The levels go by how many steps the choice rests on: {LEVEL_WORDS}.",
        "",
    ]
    for number, one in enumerate(found, start=1):
        lines += [f"## Exercise {number} (level {one.level})", ""]
        lines += [
            *(f"- {_plain(line)}" for line in one.given),
            "",
            f"Questions about this part: {_plain(one.zone)}",
            "",
        ]
        for letter, row in zip("abcdef", one.questions, strict=False):
            lines.append(f"**{letter})** {_plain(row.question)}")
            lines.append("")
            if answers:
                lines.append(f"> {_plain(row.answer)}")
                lines.append(">")
                lines += [f"> Rule: {', '.join(f'`{rule}`' for rule in row.rules)}", ">"] if row.rules else []
                lines += [f"> Source: {_plain(source)}  " for source in row.sources]
                lines.append("")
        if answers:
            lines += [
                f"The case is `{one.case}`. A specialist signs: {_plain(one.signed)} The choice rests on {one.steps} steps.",
                "",
            ]
    return "\n".join(lines).rstrip() + "\n"
