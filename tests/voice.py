"""Finished advice and its full text → the contradictions between them that a groundskeeper would stumble over.

Every check gives one sentence for each contradiction, and the sentence names both sides. A check stays silent where a
part is not there or is worded in a way that it does not know: a false alarm is worse than a miss.
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache, cached_property
from typing import Any, Final

from decide.answer.local_words import in_words_of
from decide.engine.language import CRITERIA, GRADES
from decide.model.advice import Advice, Answer, Option
from decide.model.planned import Task, Watering
from decide.model.row import DayRange
from decide.model.words import first_sentence
from decide.model.written import coded
from decide.report.text import render
from tests.shared import LANGUAGE, knowledge

WIDE: Final = 5_000
USABLE: Final = ("advised", "sound", "risky", "late")
VERDICTS: Final = (*USABLE, "not-advised", "ruled-out")
FIRST_WEEKS: Final = dt.timedelta(days=28)
# Less than this beyond the rain is a figure that nobody acts on.
LEAST_MM_A_WEEK: Final = 2.0
# A bed that lies open longer than this is packed by rain and grown over by weeds before it is sown.
OPEN_BED_DAYS: Final = 56
DAY_MINUTES: Final = 24 * 60
GROWN: Final = ("seed", "vegetative")

Found = Iterator[str]


def full_text(advice: Advice) -> str:
    """The full text report with one line for each paragraph, which is what the checks read."""
    return render(advice, width=WIDE, depth="full", plain=True)


def contradictions(advice: Advice, text: str) -> list[str]:
    """Every contradiction of the advice and its full text, each once, in the order of the kinds."""
    return [sentence for sentences in by_kind(advice, text).values() for sentence in sentences]


def by_kind(advice: Advice, text: str) -> dict[str, list[str]]:
    """The contradictions under the name of their kind; kinds without any are left out."""
    f = Finished(advice, text)
    found = {
        kind: list(dict.fromkeys(sentence for check in checks for sentence in check(f)))
        for kind, checks in KINDS.items()
    }
    return {kind: sentences for kind, sentences in found.items() if sentences}


# ---------- what all checks look at ----------
@dataclass(frozen=True)
class Named:
    """One option that the programme names in a zone; `later` is the one that follows a stopgap."""

    answer: Answer
    option: Option
    later: bool

    @property
    def zone(self) -> str:
        return self.answer.zone

    @property
    def least_bad(self) -> bool:
        """Whether it is only named for want of anything sound; nothing is planned for it."""
        return self.option.code == self.answer.least_bad

    @property
    def new_grass(self) -> bool:
        return self.option.remedy == "establish"

    @property
    def made_from(self) -> str:
        """seed, sod, vegetative, or "" where nothing is put in."""
        method = knowledge().methods.get(self.option.method or "")
        return str(method.made_from) if method is not None else ""


@dataclass(frozen=True)
class Finished:
    """An advice and its text, with what the checks ask for again and again."""

    advice: Advice
    text: str

    @cached_property
    def said(self) -> str:
        """The whole text with single spaces, in small letters."""
        return one_line(self.text).casefold()

    def has(self, text: str) -> bool:
        """Whether the text says a sentence, in any case of letters and with or without its stop."""
        return one_line(text).rstrip(".").casefold() in self.said

    @cached_property
    def body(self) -> str:
        """The text without its list of sources, whose titles are not ours."""
        return re.split(r"(?im)^sources$", self.text)[0]

    @cached_property
    def told(self) -> dict[str, Any]:
        return {row.key: row.value for row in self.advice.situation if row.how == "told"}

    @cached_property
    def known(self) -> dict[str, list[Any]]:
        """Every value of a key, told ones first."""
        found: dict[str, list[Any]] = {}
        for row in self.advice.situation:
            found.setdefault(row.key, []).append(row.value)
        return found

    @cached_property
    def named(self) -> list[Named]:
        """The options that the programme names, in the order of zones and of doing."""
        rows: list[Named] = []
        for answer in self.advice.programme:
            for code in (answer.stopgap, answer.option, answer.least_bad):
                option = self.advice.option(code)
                if option is not None:
                    rows.append(Named(answer, option, later=bool(answer.stopgap) and code == answer.option))
        return rows

    @cached_property
    def planned(self) -> list[Named]:
        """The named options that have a plan."""
        return [n for n in self.named if not n.least_bad]

    def tasks(self, n: Named) -> list[Task]:
        """The tasks of the zone of a named option that belong to it, those of the whole field left out."""
        return [
            task
            for task in self.advice.plan
            if task.zone == n.zone and task.code.endswith("/then") == n.later
        ]

    def start_day(self, n: Named) -> dt.date | None:
        """The day on which the plan sows, lays or plants it; the choice's own day where the plan has none."""
        rows = [task.from_ for task in self.tasks(n) if is_start(task)]
        held = min(rows, default=n.option.start)
        return None if held is None else date(held)

    def watering(self, n: Named) -> list[Watering]:
        """The stages of watering of its zone, from its own start on and before what follows it."""
        start = self.start_day(n)
        then = next(
            (self.start_day(m) for m in self.planned if m.zone == n.zone and m.later and not n.later), None
        )
        return [
            row
            for row in self.advice.watering
            if row.zone == n.zone
            and (start is None or date(row.from_) >= start)
            and (then is None or date(row.from_) < then)
        ]

    def work(self, n: Named) -> list[str]:
        """The steps of the work, if they are of this option: of a stopgap of new grass, else of the choice."""
        stopgap = self.advice.option(n.answer.stopgap)
        code = stopgap.code if stopgap is not None and stopgap.remedy == "establish" else n.answer.option
        return n.answer.how if n.option.code == code else []

    def usable(self, zone: str) -> list[Option]:
        return [option for option in self.advice.options if option.zone == zone and option.verdict in USABLE]

    def spans(self, key: str) -> list[tuple[dt.date, dt.date]]:
        """The told spans of days under a key such as dates.no_work."""
        found: dict[str, dict[str, dt.date]] = {}
        for name, value in self.told.items():
            if name.startswith(f"{key}."):
                number, _, end = name.removeprefix(f"{key}.").partition(".")
                found.setdefault(number, {})[end] = date(str(value))
        return [(ends["from"], ends["until"]) for ends in found.values() if {"from", "until"} <= set(ends)]

    @cached_property
    def play_by(self) -> dt.date | None:
        held = self.told.get("dates.play_by")
        return None if held is None else date(str(held))

    @cached_property
    def today(self) -> dt.date | None:
        held = self.known.get("dates.today")
        return None if not held else date(str(held[0]))

    @cached_property
    def fate(self) -> Any:
        return getattr(self.advice, "fate", None)

    def wanted(self, option: Option) -> DayRange | None:
        """The days of the use that is wanted first."""
        if option.remedy != "recover" and self.told.get("dates.first_use") == "training":
            return option.light_use
        return option.full_play

    def reader_texts(self, n: Named) -> list[tuple[str, str]]:
        """The sentences that a reader meets as instructions for a named option, each with its place."""
        rows = [(f"task {task.task!r}", f"{task.task}. {task.text}") for task in self.tasks(n)]
        rows += [("how it is done", step) for step in self.work(n)]
        rows += [(f"watering {row.stage!r}", row.text) for row in self.watering(n)]
        return [(place, sentence) for place, text in rows for sentence in sentences_of(text)]


def date(text: str) -> dt.date:
    return dt.date.fromisoformat(text)


def one_line(text: str) -> str:
    return " ".join(text.split())


def sentences_of(text: str) -> list[str]:
    return [part.strip() for part in re.split(r"(?<=[.!?])(?<!\bSt\.)\s+", text) if part.strip()]


def says(pattern: str, text: str) -> bool:
    return re.search(pattern, text, re.IGNORECASE) is not None


def is_start(task: Task) -> bool:
    template = knowledge().tasks.get(task.template)
    return template is not None and template.starts


def shown(iso: str | None) -> str:
    return "no day" if iso is None else LANGUAGE.day(date(iso))


def counted(number: float, word: str) -> str:
    return f"{number:g} {word}" if number == 1 else f"{number:g} {word}s"


# ---------- 1. headline, programme and text ----------
_REMEDIES: Final[Mapping[str, str]] = {
    "recover": "recover",
    "repair": "establish",
    "renovate": "establish",
    "stopgap then renovate": "establish",
    "use less": "use-less",
    "mend the cause first": "mend-first",
    "move play": "move-play",
    "call an expert": "call-expert",
    "wait": "wait",
    "tend the turf": "tend",
    "carry on": "carry-on",
}
_WITHOUT_CHOICE: Final = ("none sound", "left alone", "nothing to do")
# Words by which a headline is known, whatever else it says.
_HEADLINES: Final[Mapping[str, str]] = {
    "recover": r"recover",
    "repair": r"\brepair",
    "renovate": r"anew|renovat",
    "stopgap then renovate": r"stopgap",
    "use less": r"use it less|less use|fewer hours|rotate",
    "mend the cause first": r"\bmend",
    "move play": r"move play|move the play",
    "call an expert": r"qualified|expert",
    "wait": r"\bwait\b",
    "tend the turf": r"\btend",
    "carry on": r"carry on|go on with",
    "none sound": r"nothing sound|least bad",
    "left alone": r"alone",
    "nothing to do": r"nothing needs",
}


def headline_of_no_zone(f: Finished) -> Found:
    """The decision on the field is that of one of its zones, and not idle where a zone has work."""
    decisions = [answer.decision for answer in f.advice.programme]
    if decisions and f.advice.decision not in decisions:
        yield f"The field's decision is {f.advice.decision!r}, and no zone has it: {', '.join(map(repr, decisions))}."
    busy = [answer for answer in f.advice.programme if answer.decision not in ("left alone", "nothing to do")]
    if busy and f.advice.decision in ("left alone", "nothing to do"):
        yield f"The field's decision is {f.advice.decision!r}, and {busy[0].zone} is to {busy[0].decision!r}."


def decision_against_choice(f: Finished) -> Found:
    """A decision, and the option that stands for it, say the same remedy."""
    for answer in f.advice.programme:
        said = f"{answer.zone}: the decision is {answer.decision!r}"
        for code in (answer.option, answer.stopgap, answer.least_bad):
            option = f.advice.option(code)
            if code and option is None:
                yield f"{said}, and the option {code!r} that it names is not among the options."
            elif option is not None and option.zone != answer.zone:
                yield f"{said}, and the option {code!r} that it names is of the zone {option.zone!r}."
        chosen, stopgap = f.advice.option(answer.option), f.advice.option(answer.stopgap)
        if answer.decision == "stopgap then renovate" and not answer.stopgap:
            yield f"{said}, and no stopgap is named."
        new = [option for option in (chosen, stopgap) if option is not None and option.remedy == "establish"]
        if len(new) == 2 and answer.decision != "stopgap then renovate":
            yield f"{said}, and new grass is named twice, as a stopgap too: {new[1].title}."
        if answer.decision in _WITHOUT_CHOICE and answer.option:
            yield f"{said}, and the programme still chooses {answer.option!r}."
        if answer.decision in _REMEDIES and not answer.option:
            yield f"{said}, and the programme chooses nothing for it."
        remedies = {option.remedy for option in (chosen, stopgap) if option is not None}
        if chosen is not None and answer.decision in _REMEDIES and _REMEDIES[answer.decision] not in remedies:
            yield f"{said}, and the chosen option's remedy is {chosen.remedy!r} ({chosen.title})."


def choice_judged_unfit(f: Finished) -> Found:
    """What the programme says to do is not refused in the same breath."""
    for n in f.planned:
        # By itself it is refused, and the advice says why the programme takes it all the same.
        taken = "As a part of the programme:" in n.option.verdict_reason
        if n.option.verdict not in USABLE and not taken:
            yield (
                f"{n.zone}: the programme says to do {n.option.title!r}, and the same option is judged "
                f"{LANGUAGE.verdict(n.option.verdict)}."
            )


def headline_in_text(f: Finished) -> Found:
    """The first line of the text says the decision of the advice, and of each zone where they differ."""
    line = next((line for line in f.text.splitlines() if line.startswith("In short:")), "")
    several = len({answer.decision for answer in f.advice.programme}) > 1
    parts: list[tuple[str, str, str]] = []
    if several:
        for answer in f.advice.programme:
            own = re.search(rf"(?:^In short: |; ){re.escape(answer.zone)}: ([^;]*)", line)
            if own:
                parts.append((answer.zone, answer.decision, own[1]))
    elif line:
        parts.append(("the field", f.advice.decision, line))
    for place, decision, said in parts:
        if decision not in _HEADLINES or says(_HEADLINES[decision], said):
            continue
        other = next((name for name, words in _HEADLINES.items() if says(words, said)), None)
        if other is not None:
            yield (
                f"{place}: the decision is {decision!r}, and the headline says {said.removeprefix('In short: ')!r}, "
                f"which is {other!r}."
            )


def choice_missing_in_text(f: Finished) -> Found:
    """Each option that the programme names stands in the text under its title."""
    for n in f.named:
        if not f.has(n.option.title):
            yield f"{n.zone}: the programme names {n.option.title!r}, and the text does not."


def _as_said(word: str) -> set[str]:
    """A word as it stands in the knowledge, and as each country says it."""
    rows = knowledge().local_words.values()
    countries = {country for row in rows for country in row.countries}
    return {word, *(in_words_of(rows, country)(word) for country in countries)}


def answer_of_another_choice(f: Finished) -> Found:
    """The answer's own words name the grass, the method and the start of what it chooses."""
    k = knowledge()
    for n in f.planned:
        if not n.new_grass:
            continue
        code = plant_code(n.option)
        words = [k.grasses[code].name if code in k.grasses else k.mixtures[code].name] if code else []
        words += [k.methods[n.option.method].name] if n.option.method in k.methods else []
        words += [shown(n.option.start)] if n.option.start else []
        said = n.answer.text.casefold()
        missing = [word for word in words if not any(each.casefold() in said for each in _as_said(word))]
        if missing and n.answer.text:
            yield (
                f"{n.zone}: the answer says {first_sentence(n.answer.text)!r}, and the option that it names is "
                f"{n.option.title!r}: {missing[0]!r} is not in it."
            )


def plant_code(option: Option) -> str:
    """The code of the grass or mixture of an option, out of its own code."""
    k = knowledge()
    return next((part for part in option.code.split("/") if part in k.grasses or part in k.mixtures), "")


def next_best_against_grades(f: Finished) -> Found:
    """What is said of the next best option is what its verdict, grades and dates say."""
    rank = {grade: place for place, grade in enumerate(GRADES)}
    for answer in f.advice.programme:
        chosen, match = (
            f.advice.option(answer.option),
            re.fullmatch(r"Next best: (.+?); (.+?)\.?", answer.better_than),
        )
        if match is not None and "the stopgap" in match[2]:
            chosen = f.advice.option(answer.stopgap)
        if chosen is None or match is None:
            continue
        other = next(
            (
                o
                for o in f.advice.options
                if o.zone == answer.zone and o.title.casefold() == match[1].casefold()
            ),
            None,
        )
        if other is None:
            continue
        said, how = f"{answer.zone}: next best is {other.title!r}", match[2]
        if other.code == chosen.code:
            yield f"{said}, and that is the choice itself."
            continue
        if other.verdict not in USABLE:
            yield f"{said}, and it is judged {LANGUAGE.verdict(other.verdict)}."
        if (only := re.search(r"that one is only ([\w ]+)", how)) and (
            LANGUAGE.verdict(other.verdict) != only[1]
            or VERDICTS.index(chosen.verdict) >= VERDICTS.index(other.verdict)
        ):
            yield (
                f"{said} because it is only {only[1]}, and it is judged {LANGUAGE.verdict(other.verdict)} where the "
                f"choice is {LANGUAGE.verdict(chosen.verdict)}."
            )
        if better := re.search(r"better on: ([\w ]+)", how):
            criterion = next((code for code in CRITERIA if LANGUAGE.criterion(code) == better[1]), "")
            grades = [
                option.grades[criterion].grade for option in (chosen, other) if criterion in option.grades
            ]
            if len(grades) == 2 and all(g in rank for g in grades) and rank[grades[0]] < rank[grades[1]]:
                yield (
                    f"{said} because the choice is better on {better[1]}, and there the choice is {grades[0]} and the "
                    f"other {grades[1]}."
                )
        late = [
            held.late if (held := f.wanted(option)) is not None and held.late else ""
            for option in (chosen, other)
        ]
        if "ready sooner" in how and all(late) and late[0] > late[1]:
            yield (
                f"{said} because the choice is ready sooner, and the choice is ready by {shown(late[0])} and the other "
                f"by {shown(late[1])}."
            )


# ---------- 2. water ----------
def rain_covers_but_watered(f: Finished) -> Found:
    """Where the choice says that rain covers what it needs, the plan has no water to bring in the first weeks."""
    for n in f.planned:
        if not says_rain_covers(n.option):
            continue
        start = f.start_day(n)
        for row in f.watering(n):
            if row.mm_a_week >= LEAST_MM_A_WEEK and (start is None or date(row.from_) < start + FIRST_WEEKS):
                yield (
                    f"{n.zone}: the choice says that in a normal year rain covers what it needs, and the plan brings "
                    f"{row.mm_a_week:g} mm a week "
                    f"beyond rain in the stage {row.stage!r} from {shown(row.from_)}."
                )


def says_rain_covers(option: Option) -> bool:
    """Whether a reason of the option says so; its line on water names the plan's wettings."""
    return any(says(r"rain covers", reason.text) for reason in option.reasons)


def watered_but_rain_covers(f: Finished) -> Found:
    """Where the choice asks for water in the first weeks, the plan does not say that rain is enough."""
    for n in f.planned:
        water, start = n.option.water, f.start_day(n)
        if water is None or water.litres_a_day < 1 or start is None:
            continue
        rows = [row for row in f.watering(n) if date(row.from_) < start + FIRST_WEEKS]
        if rows and all(row.mm_a_week <= 0 for row in rows):
            yield (
                f"{n.zone}: the choice asks for {water.litres_a_day:g} litres a day in the first weeks, and the plan "
                "says for all of them that rain covers it."
            )


def rain_covers_but_visits_lack(f: Finished) -> Found:
    """Nobody is lacking to water what rain waters; said once, of the first week."""
    told: set[str] = set()
    for week in f.advice.weeks:
        if not week.visits_short:
            continue
        first = date(week.monday)
        rows = [
            row
            for row in f.advice.watering
            if date(row.from_) <= first + dt.timedelta(days=6) and date(row.until) >= first
        ]
        zones = {row.zone for row in rows}
        choices = [n for n in f.planned if n.zone in zones]
        if choices and not zones <= told and all(says_rain_covers(n.option) for n in choices):
            told |= zones
            yield (
                f"{', '.join(sorted(zones))}: the choice says that rain covers what it needs, and in the week of "
                f"{shown(week.monday)} {counted(week.visits_short, 'visit')} to water cannot be made."
            )


def rain_covers_but_how_wets(f: Finished) -> Found:
    """Steps of the work that wet so many times a day do not stand under 'rain covers what it needs'."""
    for n in f.planned:
        for step in f.work(n) if says_rain_covers(n.option) else []:
            if wets_daily(step):
                yield f"{n.zone}: the choice says that rain covers what it needs, and the work says {step!r}"


def wets_daily(step: str) -> bool:
    """Whether a step of the work wets so many times a day, come rain or not."""
    return says(r"\b(wet|water|damp)\b.*\btimes a day\b", step) and not says(
        r"without rain|rain does not|no rain|dry day", step
    )


def watering_row_against_itself(f: Finished) -> Found:
    """A stage of watering says that rain is enough only where it brings nothing; its task keeps its pace."""
    for row in f.advice.watering:
        if says(r"rain covers", row.text) and row.mm_a_week >= LEAST_MM_A_WEEK:
            yield (
                f"{row.zone}: the stage {row.stage!r} brings {row.mm_a_week:g} mm a week beyond rain, and its text "
                "says that rain covers what it uses."
            )
    stages = {(row.zone, row.text): row for row in f.advice.watering}
    for task in f.advice.plan:
        pace = re.search(r"about every (\d+) days", task.text)
        if (
            (task.zone, task.text) in stages
            and pace
            and task.every_days is not None
            and abs(task.every_days - int(pace[1])) >= 0.5
        ):
            # The report rounds the days between.
            often = (
                "every day" if round(task.every_days) == 1 else f"about every {round(task.every_days)} days"
            )
            if often != pace[0]:
                yield f"{task.zone}: the text of {task.task!r} waters {pace[0]}, and the task itself {often}."


def watered_without_water(f: Finished) -> Found:
    """Where there is no water, no task tells anybody to water every day."""
    if f.told.get("means.water") != "none":
        return
    for n in f.planned:
        rows = {f"Water {row.stage}" for row in f.watering(n) if row.times_a_day >= 1}
        for task in f.tasks(n):
            if task.task in rows:
                yield (
                    f"{n.zone}: there is no water here, and the plan has the task {task.task!r} from "
                    f"{shown(task.from_)} ({first_sentence(task.text)})"
                )
        for step in f.work(n):
            if wets_daily(step):
                yield f"{n.zone}: there is no water here, and the work says {step!r}"


def reason_against_water(f: Finished) -> Found:
    """The reasons of the choice and its line on water do not part."""
    for n in f.planned:
        if n.option.water is None:
            continue
        for reason in n.option.reasons:
            if says(r"rain (falls )?short by|rain falls .* short", reason.text) and says_rain_covers(
                n.option
            ):
                yield f"{n.zone}: the choice says that rain covers what it needs, and a reason says {reason.text!r}"
            if says(r"rain covers", reason.text) and n.option.water.litres_a_day >= 1:
                yield (
                    f"{n.zone}: the choice asks for {n.option.water.litres_a_day:g} litres a day, and a reason says "
                    f"{reason.text!r}"
                )


# ---------- 3. opening ----------
def dates_out_of_order(f: Finished) -> Found:
    """Start, first green, first cut, light use, full play and full list follow one another, at both ends."""
    for n in f.named:
        o = n.option
        start = DayRange(early=o.start, late=o.start) if o.start else None
        pairs = [
            ("the start", start, "light use", o.light_use),
            ("light use", o.light_use, "full play", o.full_play),
            ("full play", o.full_play, "the full list", o.full_fixtures),
            ("the first green", o.germination, "the first cut", o.first_mow),
        ]
        if n.made_from in GROWN:
            pairs += [
                ("the first green", o.germination, "light use", o.light_use),
                ("the first cut", o.first_mow, "light use", o.light_use),
            ]
        for before, one, after, two in pairs:
            for end in ("early", "late"):
                first, last = (getattr(span, end) if span is not None else None for span in (one, two))
                if first is not None and last is not None and last < first:
                    yield (
                        f"{n.zone}: {after} is given from {shown(last)} ({end}), and {before} only on {shown(first)} "
                        f"({o.title})."
                    )


def _opening(f: Finished, n: Named, use: str) -> Task | None:
    """The task that opens a part to light use, full play, or what has recovered."""
    return next(
        (
            task
            for task in f.tasks(n)
            if task.stage == "open" and task.template.startswith("open-") and use in task.template
        ),
        None,
    )


def plan_opens_apart(f: Finished) -> Found:
    """The plan opens on the days that the choice names: not before its early day, and not only after its late one."""
    for n in f.planned:
        for use, span in (
            ("light", n.option.light_use),
            ("full", n.option.full_play),
            ("recovered", n.option.full_play),
        ):
            task = _opening(f, n, use)
            if task is None or span is None or task.done is not None:
                continue
            if span.early is not None and task.from_ < span.early:
                yield (
                    f"{n.zone}: the plan has {task.task!r} from {shown(task.from_)}, and the choice names "
                    f"{shown(span.early)} at the earliest."
                )
            if span.late is not None and task.from_ > span.late:
                yield (
                    f"{n.zone}: the plan has {task.task!r} only from {shown(task.from_)}, and the choice names "
                    f"{shown(span.late)} at the latest."
                )


def plan_opens_out_of_order(f: Finished) -> Found:
    """The plan opens to light use before full play, and grown turf not before its first cut."""
    for n in f.planned:
        light, full = _opening(f, n, "light"), _opening(f, n, "full")
        if light is not None and full is not None and full.from_ < light.from_:
            yield (
                f"{n.zone}: the plan has {full.task!r} from {shown(full.from_)}, and {light.task!r} only from "
                f"{shown(light.from_)}."
            )
        cut = next((task for task in f.tasks(n) if task.template == "first-cut"), None)
        if light is not None and cut is not None and n.made_from in GROWN and cut.from_ > light.from_:
            yield (
                f"{n.zone}: the plan has {light.task!r} from {shown(light.from_)}, and {cut.task!r} only from "
                f"{shown(cut.from_)}."
            )


def cuts_without_time(f: Finished) -> Found:
    """The cuts that an opening check asks for can be made by the days that the plan opens on, at its own pace."""
    check = next((row for row in f.advice.opening if says(r"\bcuts?\b", row.check)), None)
    for n in f.planned if check is not None else []:
        cut, often = (
            next((task for task in f.tasks(n) if task.template == name), None)
            for name in ("first-cut", "cut-often")
        )
        if (
            n.made_from not in GROWN
            or n.option.first_mow is None
            or not n.option.first_mow.early
            or often is None
            or not often.every_days
        ):
            continue
        first = max(
            date(n.option.first_mow.early),
            date(cut.from_) if cut is not None and cut.done is None and n.new_grass else dt.date.min,
        )
        for use, span, mark in (
            ("light use", n.option.light_use, check.pass_light),
            ("full play", n.option.full_play, check.pass_full),
        ):
            asked = re.search(r"\d+", mark)
            if asked is None or span is None or span.early is None:
                continue
            task = _opening(f, n, use.split()[0])
            opens = span.early if task is None else task.from_
            made = max(0, (date(opens) - first).days // round(often.every_days) + 1)
            if made < int(asked[0]):
                yield (
                    f"{n.zone}: {use} is given from {shown(opens)}, and the check {check.check!r} wants {mark} "
                    "cuts: from the first on "
                    f"{LANGUAGE.day(first)}, one every {round(often.every_days)} days, there are {made}."
                )


def hours_before_opening(f: Finished) -> Found:
    """Hours of play are not given before the first day of opening, where new grass is all that a zone gets."""
    for row in f.advice.hours_per_week_after_opening:
        here = [n for n in f.planned if n.zone == row.zone]
        spans = [span for n in here for span in (n.option.light_use, n.option.full_play) if span is not None]
        early = [span.early for span in spans if span.early]
        if early and all(n.new_grass for n in here) and row.from_ < min(early):
            yield (
                f"{row.zone}: {row.hours:g} hours of play a week are given from {shown(row.from_)}, and it opens on "
                f"{shown(min(early))} at the earliest."
            )


def gates_out_of_order(f: Finished) -> Found:
    """Today's gates: what may not carry light use may not carry matches."""
    for gate in f.advice.open_now:
        if gate.full == "yes" and gate.light != "yes":
            yield f"{gate.zone}: it may open to full play today, and for light use the answer is {gate.light!r}."


# ---------- 4. law ----------
_SPRAYS: Final = (
    r"\bspray(s|ed|ing)?\b|\bweed[- ]?killers?\b|\bherbicides?\b|\bpre-emergents?\b|"
    r"\btreated by a licensed|\blicensed person (may treat|treats)|weeds killed"
)
_NO_SPRAY: Final = (
    r"\b(no|not|never|without|none|barred|before any|instead of|seldom)\b|"
    "clear of the spray|hydromulch|fibre|for the spray"
)


def _sprays(text: str) -> str:
    """The first sentence of a text that tells to use a weed or pest killer; "" where none does."""
    return next(
        (part for part in sentences_of(text) if says(_SPRAYS, part) and not says(_NO_SPRAY, part)), ""
    )


def sprayed_where_barred(f: Finished) -> Found:
    """Where weed and pest killers are barred, nothing in plan, needs, work, shopping or shown reasons asks for one."""
    barred = (
        any(row.code == "pesticides-barred" for row in f.advice.cautions)
        or f.told.get("limits.pesticides") == "banned"
    )
    if not barred:
        return
    rows = [
        (f"the task {task.task!r}", f"{task.task}. {task.text}")
        for task in f.advice.plan
        if task.done is None and "hydro" not in task.template
    ]
    rows += [
        (f"a step of the work in {answer.zone}", step)
        for answer in f.advice.programme
        for step in (*answer.how, *getattr(answer, "meanwhile", []))
    ]
    rows += [("the shopping list", f"{row.item}. {row.how}") for row in f.advice.shopping]
    rows += [(f"the need {need.code!r}", need.text) for need in f.advice.needs]
    rows += [
        ("a reason of the choice", reason.text)
        for n in f.planned
        for reason in n.option.reasons
        if f.has(reason.text)
    ]
    for place, text in rows:
        if found := _sprays(text):
            yield f"Weed and pest killers are barred here, and {place} says {found!r}"


_BAG: Final = re.compile(r"\b(\d+)%?(?:-|, )(\d+)%?(?:-|, )(\d+)\b")


def _phosphate(text: str) -> str:
    """The three numbers of the first bag in a text that holds phosphate; "" where none does."""
    return next(
        (
            match[0]
            for match in _BAG.finditer(text)
            if int(match[2]) > 0 and sum(map(int, match.groups())) <= 100
        ),
        "",
    )


def phosphorus_where_barred(f: Finished) -> Found:
    """Where phosphorus is banned, or the soil test found enough, no bag with phosphate is bought or named."""
    why = ""
    if f.told.get("limits.phosphorus_law") == "banned":
        why = "Phosphorus is banned here"
    elif f.told.get("field.soil_phosphorus") in ("enough", "high"):
        why = "The soil test found phosphorus enough"
    if not why:
        return
    for row in f.advice.shopping:
        if bag := _phosphate(row.how):
            yield f"{why}, and {row.item!r} of the shopping list is reckoned from a bag of {bag}."
    for answer in f.advice.programme:
        for step in answer.how:
            if bag := _phosphate(step):
                yield f"{why}, and the work in {answer.zone} names a bag of {bag} ({first_sentence(step)})"


def feed_bought_and_used_apart(f: Finished) -> Found:
    """The bag that the work names and the bag that is bought are of one kind: with phosphate, or without."""
    if any(_phosphate(row.how) for row in f.advice.shopping):
        return
    bare = [row for row in f.advice.shopping if says(r"without phosphate", row.item)]
    for answer in f.advice.programme if bare else []:
        for step in answer.how:
            if bag := _phosphate(step):
                yield (
                    f"{answer.zone}: the shopping list has {bare[0].item!r}, and the work names a bag of {bag} "
                    f"({first_sentence(step)})"
                )


def watered_where_barred(f: Finished) -> Found:
    """Where watering is banned or bound to days, each daily watering says so."""
    law = f.told.get("limits.water_law")
    if law not in ("banned", "restricted days"):
        return
    warned = any(row.code == "water-law" for row in f.advice.cautions)
    for row in f.advice.watering:
        if (
            row.mm_a_week >= LEAST_MM_A_WEEK
            and not warned
            and not says(r"barred|allowed|leave for", row.text)
        ):
            yield (
                f"{row.zone}: watering is {'banned' if law == 'banned' else 'allowed on some days only'}, and the "
                f"stage {row.stage!r} waters {row.times_a_day:g} times a day without a word on it."
            )


def work_on_barred_days(f: Finished) -> Found:
    """No start and no day of work lies where nobody may work."""
    for first, last in f.spans("dates.no_work"):
        span = f"From {LANGUAGE.day(first)} to {LANGUAGE.day(last)} no work can be done"
        for n in f.planned:
            if n.option.remedy == "establish" and n.option.start and first <= date(n.option.start) <= last:
                yield f"{span}, and {n.zone} is to start on {shown(n.option.start)}."
        for task in f.advice.plan:
            if task.done is None and first <= date(task.from_) and date(task.until) <= last:
                yield f"{span}, and {task.task!r} ({task.zone or 'the field'}) is set for {shown(task.from_)}."
        if f.told.get("means.water") == "in-ground sprinklers":
            continue
        for row in f.advice.watering:
            daily = row.times_a_day >= 1 and row.mm_a_week >= LEAST_MM_A_WEEK
            if (
                daily
                and date(row.from_) <= last
                and date(row.until) >= first
                and not any(clash.zone == row.zone for clash in f.advice.clashes)
            ):
                yield (
                    f"{span}, and {row.zone} is to be watered every day from {shown(row.from_)} to {shown(row.until)}."
                )


# The closed seasons that the rules on feeding name, as month and day.
_CLOSED: Final[Mapping[str, tuple[tuple[int, int], tuple[int, int]]]] = {
    "us-ny": ((12, 1), (4, 1)),
    "us-vt": ((10, 15), (4, 1)),
    "us-nj": ((11, 15), (3, 1)),
    "us-md": ((11, 15), (3, 1)),
    "us-ma": ((12, 1), (3, 1)),
    "us-pa": ((12, 15), (3, 1)),
}


def fed_in_closed_season(f: Finished) -> Found:
    """No feed is set wholly inside the months that the law of the place closes."""
    region = next((str(value) for value in f.known.get("place.region", []) if str(value) in _CLOSED), "")
    if not region or not any(row.code == "fertilizer-closed-season" for row in f.advice.cautions):
        return
    opens, closes = _CLOSED[region]
    for task in f.advice.plan:
        template = knowledge().tasks.get(task.template)
        inside = [
            (d.month, d.day) >= opens or (d.month, d.day) < closes
            for d in (date(task.from_), date(task.until))
        ]
        short = (date(task.until) - date(task.from_)).days < 100
        if (
            template is not None
            and template.feeds
            and task.done is None
            and all(inside)
            and short
            and task.amount != 0
        ):
            yield (
                f"{task.zone or 'The field'}: {task.task!r} is set for {shown(task.from_)}, and a caution says that "
                f"part of the year is closed to feed here (day {opens[1]} of month {opens[0]} to day {closes[1]} of "
                f"month {closes[0]})."
            )


# ---------- 5. needs and conditions ----------
# What meets a need that no task and no supply of its own stands for: words of a task, a step, a purchase or a check.
_MEETS: Final[Mapping[str, str]] = {
    "moist-soil": r"moist soil|soil is moist|after (good )?rain",
    "hire-machine": r"book the machine|contractor|hire",
    "find-grower": r"order|grower|quotes",
    "licensed-applicator": r"licensed",
    "fence-or-barrier": r"\brope|fence|net\b",
    "less-play-first": r"fewer hours|less use|use it less|hours off|move (the )?(drills|goals|play)",
    "soil-test": r"soil (sample|test)",
    "soil-test-for-phosphorus": r"soil (sample|test)",
    "kick-and-twist-test": r"kick and twist",
    "light-watering-too": r"\bwet(ted)?\b|water",
    "more-short-wettings": r"times a day|\d times|hands or a timer|set a timer",
    "sow-weekly-before-games": r"every week|each week|before each game|weekly",
    "frost-seed-in-lots": r"honeycomb|lots|frozen open",
    "recovery-care": r"feed the standing|mow on",
    "ask-for-new-turf-water": r"watering rule|water office|water authority",
}


def needs_without_row(f: Finished) -> Found:
    """Each need of a chosen option is explained in the needs of its zone, and each need stands in the text."""
    rows = {(need.zone, need.code) for need in f.advice.needs}
    for n in f.named:
        for code in n.option.needs:
            if (n.zone, code) not in rows and ("", code) not in rows:
                yield f"{n.zone}: the choice needs {code!r}, and the advice does not say what that is."
    for need in f.advice.needs:
        if not f.has(need.text):
            yield f"{need.zone or 'The field'}: the advice has the need {need.code!r}, and the text does not say it."


def needs_unmet(f: Finished) -> Found:
    """Each need of a planned choice is met somewhere: by a task, a step of the work, a purchase or an opening check."""
    k = knowledge()
    zones = {n.zone for n in f.planned}
    for need in f.advice.needs:
        if (need.zone and need.zone not in zones) or not f.advice.plan:
            continue
        tasks = {code for code, row in k.tasks.items() if need.code in row.needs}
        supplies = {code for code, row in k.supplies.items() if need.code in row.needs}
        here = [task for task in f.advice.plan if not task.zone or not need.zone or task.zone == need.zone]
        if any(task.template in tasks for task in here) or any(
            row.supply in supplies for row in f.advice.shopping
        ):
            continue
        if not tasks and not supplies and need.code not in _MEETS:
            continue
        words = [f"{task.task}. {task.text}" for task in here] + [
            step for a in f.advice.programme if not need.zone or a.zone == need.zone for step in a.how
        ]
        words += [f"{row.item}. {row.how}" for row in f.advice.shopping] + [
            f"{row.check}. {row.how}" for row in f.advice.opening
        ]
        pattern = _MEETS.get(need.code, "")
        if pattern and any(says(pattern, text) for text in words):
            continue
        yield (
            f"{need.zone or 'The field'}: the choice needs {first_sentence(need.text)!r}, and neither the plan, the "
            "work, the shopping nor the checks have it."
        )


def conditions_promised(f: Finished) -> Found:
    """'Sound if the following holds' is followed by something."""
    for judged in f.advice.proposals:
        if judged.judgement == "sound-if" and not [text for text in judged.conditions if text.strip()]:
            yield f"{judged.asked!r} is judged sound if what follows holds, and nothing follows."


def conditions_unsaid(f: Finished) -> Found:
    """What a choice rests on, its other side and the next window stand in the text, and the window is its option's."""
    for answer in f.advice.programme:
        window = getattr(answer, "window", None)
        rows = [("rests on", text) for text in getattr(answer, "rests_on", [])]
        rows += [
            ("has the other side", getattr(answer, "instead", "")),
            ("has the next window", window.text if window is not None else ""),
        ]
        for what, text in rows:
            if text and not f.has(text):
                yield f"{answer.zone}: the answer {what} {text!r}, and the text does not say it."
        option = f.advice.option(window.option) if window is not None else None
        if window is not None and option is None:
            yield f"{answer.zone}: the next window is of {window.option!r}, and that is not among the options."
        elif window is not None and option is not None and window.full_play not in (None, option.full_play):
            yield (
                f"{answer.zone}: the next window gives full play by {shown(window.full_play.late)} and its option by "
                f"{shown(option.full_play.late if option.full_play else None)} ({option.title})."
            )
        elif window is not None and option is not None and option.start and option.start != window.opens:
            yield (
                f"{answer.zone}: the next window begins on {shown(window.opens)}, and its option on "
                f"{shown(option.start)} ({option.title})."
            )


def lists_promised(f: Finished) -> Found:
    """What the text points to is there: open questions, the least bad, what another text lists."""
    if says(r"see what is not known", f.said) and not f.advice.unknown:
        yield "A choice points to 'what is not known, below', and the advice has no open question."
    if says(r"the full advice (lists|says)", f.body):
        yield "The full text points to 'the full advice' for the rest, and it is the full advice."
    for answer in f.advice.programme:
        if (
            answer.decision == "none sound"
            and answer.least_bad is None
            and says(r"least bad is named", f.said)
        ):
            yield f"{answer.zone}: the headline says that the least bad is named, and none is ({answer.text})"


# ---------- 6. what does not fit ----------
def start_that_does_not_fit(f: Finished) -> Found:
    """The programme starts on a day on which its own plan can start."""
    for n in f.planned:
        for clash in f.advice.clashes:
            if (
                clash.zone != n.zone
                or not n.option.start
                or not clash.first_start
                or clash.first_start <= n.option.start
            ):
                continue
            if "too soon" in clash.text and shown(n.option.start) in clash.text:
                others = [
                    o
                    for o in f.usable(n.zone)
                    if o.start and o.start >= clash.first_start and way(o) == way(n.option)
                ]
                beside = f" ({others[0].title!r} is usable and fits)" if others else ""
                yield (
                    f"{n.zone}: the programme starts on {shown(n.option.start)}, and the plan says that this is "
                    f"{counted(clash.days_short, 'day')} too soon and fits on {shown(clash.first_start)}{beside}."
                )


def way(option: Option) -> tuple[str, str | None, str, str | None]:
    return option.remedy, option.method, plant_code(option), option.variant


def clash_that_another_has_not(f: Finished) -> Found:
    """A clash that is not of the start stands only where no usable option of the zone begins on a day that fits."""
    for clash in f.advice.clashes:
        if "too soon" in clash.text or not clash.first_start:
            continue
        chosen = [n for n in f.planned if n.zone == clash.zone and n.new_grass]
        for n in chosen[:1]:
            others = [
                o
                for o in f.usable(clash.zone)
                if o.start and o.start >= clash.first_start and way(o) == way(n.option)
            ]
            if others:
                yield (
                    f"{clash.zone}: the plan says {first_sentence(clash.text)!r}, and {others[0].title!r} is usable "
                    "and has not got it."
                )


def plan_starts_on_another_day(f: Finished) -> Found:
    """The plan starts new grass on the day that the programme names, unless it says why not."""
    for n in f.planned:
        start = f.start_day(n)
        if (
            n.new_grass
            and n.option.start
            and start
            and start != date(n.option.start)
            and not any(clash.zone == n.zone for clash in f.advice.clashes)
        ):
            yield (
                f"{n.zone}: the programme starts on {shown(n.option.start)}, and the plan on {LANGUAGE.day(start)} without "
                "saying why."
            )


def bed_left_open(f: Finished) -> Found:
    """Ground is not loosened, tilled, levelled or filled many weeks before it is sown, laid or planted."""
    for n in f.planned:
        start = f.start_day(n)
        if start is None or not n.new_grass:
            continue
        for task in f.tasks(n):
            gap = (start - date(task.until)).days
            if (
                task.done is None
                and task.stage == "bed"
                and says(r"\b(loosen|till|fill|level)", task.task)
                and gap > OPEN_BED_DAYS
            ):
                yield (
                    f"{n.zone}: {task.task!r} is set for {shown(task.from_)}, and it is sown, laid or planted only on "
                    f"{LANGUAGE.day(start)}, {gap} days later."
                )


def wetting_longer_than_the_day(f: Finished) -> Found:
    """A day can hold the wettings of a day, or the stage says how much of the ground the water keeps up."""
    for row in f.advice.watering:
        minutes = (row.minutes_each or 0.0) * max(1.0, row.times_a_day)
        if minutes > DAY_MINUTES and not re.search(r"hours (a day )?at your flow", row.text):
            yield (
                f"{row.zone}: the stage {row.stage!r} wants {minutes / 60:.0f} hours of water on one day, and a day "
                "has 24."
            )
    parts = {row.zone for row in f.advice.watering if "at your flow: begin" in row.text}
    for n in f.planned:
        if n.option.water is not None and (n.option.water.hours_a_day or 0.0) > 24 and n.zone not in parts:
            yield f"{n.zone}: the choice wants {n.option.water.hours_a_day:.0f} hours of water a day, and a day has 24."


def hours_short_though_another_fits(f: Finished) -> Found:
    """No choice takes more hours than there are in a week while another usable new start stays within them."""
    for n in f.planned:
        start, labour = f.start_day(n), n.option.labour_hours
        if start is None or labour is None or not n.new_grass:
            continue
        week = next(
            (w for w in f.advice.weeks if date(w.monday) <= start <= date(w.monday) + dt.timedelta(days=6)),
            None,
        )
        if (
            week is None
            or not week.hours_short
            or week.hours_there_are is None
            or labour.high <= week.hours_there_are
        ):
            continue
        if any("At a slow pace it takes" in reason.text for reason in n.option.reasons):
            continue
        others = [
            o
            for o in f.usable(n.zone)
            if o.remedy == "establish"
            and o.labour_hours is not None
            and o.labour_hours.high <= week.hours_there_are
        ]
        if others:
            yield (
                f"{n.zone}: the choice takes up to {labour.high:g} hours of work and a week has "
                f"{week.hours_there_are:g}, and {others[0].title!r} is usable and takes up to "
                f"{others[0].labour_hours.high:g}."
            )


def contractors_hours_counted_as_yours(f: Finished) -> Found:
    """A week is not too full of work that somebody else is paid to do."""
    if f.told.get("means.contractor") is not True:
        return
    for week in f.advice.weeks:
        first = date(week.monday)
        theirs = [
            task
            for task in f.advice.plan
            if task.who == "contractor"
            and task.hours is not None
            and week.hours_short
            and first <= date(task.from_)
            and date(task.until) <= first + dt.timedelta(days=6)
            and task.hours.high >= week.hours_short
            and week.hours.high >= task.hours.high
        ]
        if theirs:
            yield (
                f"The week of {shown(week.monday)} is {week.hours_short:g} hours too full, and a contractor does "
                f"{theirs[0].task!r} with up to {theirs[0].hours.high:g} of them."
            )


def start_in_closed_window(f: Finished) -> Found:
    """What is to be done does not start while its own window is said to be closed."""
    for n in f.planned:
        # Thick sod brings its bed with it; the reasons then say that it is outside the usual times.
        owned = any("outside the usual times" in reason.text for reason in n.option.reasons)
        if (
            n.new_grass
            and n.option.window == "closed"
            and n.option.verdict in ("advised", "sound")
            and not owned
        ):
            yield (
                f"{n.zone}: {n.option.title!r} is judged {LANGUAGE.verdict(n.option.verdict)}, and its window is said to "
                "be closed then."
            )


# ---------- 7. use and dangers ----------
_LESS_USE: Final = (
    r"(less|fewer) (use|hours|play)\b|use it less|hours off|\bmove (the )?(goals|drills|play)|shift the pitch|"
    r"cut (or move )?the hours|cut(ting)? hours|training (off|elsewhere|on one hard)"
)


def grass_without_less_use(f: Finished) -> Found:
    """'No grass is advised without less use' stands only under a choice that also says less use."""
    for n in f.planned:
        if not n.new_grass:
            continue
        said = [
            reason.text for reason in n.option.reasons if says(r"without (less use|fewer hours)", reason.text)
        ]
        said += [
            row.text
            for row in f.advice.diagnosis
            if row.zone == n.zone and row.code == "remedy-use-less" and says(_LESS_USE, row.text)
        ]
        if not said:
            continue
        stopgap = f.advice.option(n.answer.stopgap)
        if stopgap is not None and stopgap.remedy in ("use-less", "move-play"):
            continue
        answers = [
            n.answer.text,
            *getattr(n.answer, "rests_on", []),
            *getattr(n.answer, "meanwhile", []),
            *(need.text for need in f.advice.needs if need.zone in ("", n.zone)),
            *(row.text for row in f.advice.cautions if row.code in n.option.cautions),
        ]
        answers += [f"{task.task}. {task.text}" for task in f.advice.plan if task.zone in ("", n.zone)]
        if not any(says(_LESS_USE, text) for text in answers):
            yield (
                f"{n.zone}: the choice is {n.option.title!r}, and {one_line(said[0])!r} stands with it, but neither "
                "the answer, the needs nor the plan says less use."
            )


_KEEP_OFF: Final = (
    r"keeps? (everybody|people|anybody) off (?!until it is dry)|\bkeep it shut\b|nobody crosses"
)


def shut_though_in_play(f: Finished) -> Found:
    """What stays in play, cannot be shut, or may be played on meanwhile is not to be shut as well."""
    # a stopgap's rope stands until what follows it too
    fenced = {n.zone for n in f.planned if "fence-or-barrier" in n.option.needs}
    for n in f.planned:
        why = ""
        if f.told.get(f"zone.{coded(n.zone)}.in_play") is True:
            why = "it was told that this part stays in play"
        elif f.told.get("dates.can_close") == "no" and n.zone not in fenced:
            why = "it was told that the ground cannot be shut"
        elif played := [
            reason.text
            for reason in n.option.reasons
            if says(r"can be played on with care meanwhile", reason.text)
        ]:
            why = f"a reason says {played[0]!r}"
        elif (
            getattr(f.fate, "zone", "") == n.zone
            and says(r"turf that stands there bears", f.fate.text)
            and any(task.until > f.fate.by for task in f.tasks(n) if task.template == "shut-it")
        ):
            why = f"the fate of the date says {f.fate.text!r}"
        if not why:
            continue
        rows = [
            (f"the task {task.task!r}", part)
            for task in f.tasks(n)
            for part in sentences_of(f"{task.task}. {task.text}")
        ]
        rows += [("a need", need.text) for need in f.advice.needs if need.zone == n.zone]
        rows += [("the work", step) for step in f.work(n)]
        seen: set[str] = set()
        for place, text in rows:
            if place not in seen and says(_KEEP_OFF, text):
                seen.add(place)
                yield f"{n.zone}: {why}, and {place} says {text!r}"


def opened_while_shut(f: Finished) -> Found:
    """What is to be shut today is not judged fit to be opened today."""
    shut = next((doing for doing in f.advice.today if doing.code == "close-today"), None)
    if shut is None or f.today is None:
        return
    for judged in f.advice.proposals:
        if (
            not judged.asked.lower().startswith("open to play")
            or LANGUAGE.day(f.today) not in judged.asked
            or judged.judgement not in ("sound", "sound-if")
        ):
            continue
        dangers = [
            doing.code.replace("-", " ").rstrip("s")
            for doing in f.advice.today
            if doing.code != "close-today"
        ]
        if judged.judgement == "sound" or not any(
            danger in text.lower() for text in judged.conditions for danger in dangers
        ):
            yield (
                f"Today says {first_sentence(shut.text)!r}, and {judged.asked!r} is judged "
                f"{LANGUAGE.verdict(judged.judgement)} without a word on it."
            )
    for gate in f.advice.open_now:
        if "yes" in (gate.light, gate.full):
            yield (
                f"Today says {first_sentence(shut.text)!r}, and {gate.zone} may open today: light use {gate.light}, "
                f"full play {gate.full}."
            )


_DANGER_CODES: Final[Mapping[str, str]] = {"fill": "unknown-fill"}


def dangers_unsaid(f: Finished) -> Found:
    """Each danger that was told is met in the advice; all of today and each caution stand in the text."""
    told = f.told.get("site.dangers")
    codes = {row.code for row in f.advice.today} | {row.code for row in f.advice.cautions}
    for danger in told if isinstance(told, list) else []:
        if danger != "none" and _DANGER_CODES.get(danger, coded(danger)) not in codes:
            yield f"The danger {danger!r} was told, and neither today's list nor the cautions have it."
    for doing in f.advice.today:
        if not f.has(doing.text):
            yield f"Today's list has {first_sentence(doing.text)!r}, and the text does not say it."
        elif doing.who_decides and not f.has(doing.who_decides):
            yield (
                f"Today's list says that {doing.who_decides!r} decides on {first_sentence(doing.text)!r}, and the text "
                "does not."
            )
    for caution in f.advice.cautions:
        if not f.has(first_sentence(caution.text)):
            yield f"The advice has the caution {first_sentence(caution.text)!r}, and the text does not say it."


# ---------- 8. left over from another grass, place or use ----------
_ASIDE: Final = r"\b(not|never|no|nor|unlike|instead)\b"


@cache
def _grass_names() -> tuple[tuple[str, frozenset[str]], ...]:
    """Names of grasses with the codes that they may mean, whole names before bare family names."""
    names: dict[str, set[str]] = {}
    for code, row in knowledge().grasses.items():
        names.setdefault(row.name, set()).add(code)
    for code, row in knowledge().grasses.items():
        names.setdefault(row.name.split()[-1], set()).add(code)
    return tuple(
        (name, frozenset(codes)) for name, codes in sorted(names.items(), key=lambda item: -len(item[0]))
    )


def grasses_in(text: str) -> dict[str, frozenset[str]]:
    """The grasses that a text names, with the codes that each may mean. Annual bluegrass is a weed here."""
    rest, found = re.sub(r"annual bluegrass", " ", text, flags=re.IGNORECASE), {}
    for name, codes in _grass_names():
        rest, times = re.subn(rf"\b{re.escape(name)}\b", " ", rest, flags=re.IGNORECASE)
        if times:
            found[name] = codes
    return found


def _grasses_of(option: Option | None) -> set[str]:
    if option is None:
        return set()
    return {option.grass} if option.grass else {part.grass for part in option.mixture or []}


def other_grass(f: Finished) -> Found:
    """The work and the plan of a zone speak only of grasses that stand, are chosen or are next best there."""
    for n in f.planned:
        zone = coded(n.zone)
        standing = [
            coded(str(value))
            for key, value in f.told.items()
            if re.fullmatch(rf"zone\.{re.escape(zone)}\.grass\.\d+\.grass", key)
        ]
        allowed = {knowledge().plants.get(name, name) for name in standing}
        for code in (n.answer.option, n.answer.stopgap):
            allowed |= _grasses_of(f.advice.option(code))
        allowed |= {code for codes in grasses_in(n.answer.better_than).values() for code in codes}
        for place, sentence in f.reader_texts(n):
            if says(_ASIDE, sentence):
                continue
            strange = [name for name, codes in grasses_in(sentence).items() if not codes & allowed]
            if strange:
                yield (
                    f"{n.zone}: {place} speaks of {strange[0]} ({sentence!r}), and that grass neither stands nor is "
                    "chosen there."
                )


def other_thickness_of_sod(f: Finished) -> Found:
    """Where thick sod is laid nothing speaks of thin sod or of its tug, and the other way round."""
    for n in f.planned:
        if n.option.method not in ("thin-sod", "thick-sod") or not n.new_grass:
            continue
        thick = n.option.method == "thick-sod"
        strange = r"\bthin(-cut)? sod\b|\bthe tug must\b" if thick else r"\bthick(-cut)? sod\b"
        rows = f.reader_texts(n)
        cautions = {row.code: row.text for row in f.advice.cautions}
        rows += [
            (f"the caution of {task.task!r}", first_sentence(cautions[code]))
            for task in f.tasks(n)
            for code in task.cautions
            if code in cautions
        ]
        for place, sentence in rows:
            if says(strange, sentence):
                yield f"{n.zone}: {n.option.method.replace('-', ' ')} is laid, and {place} says {sentence!r}"


_PLACES_OF_LAW: Final[Mapping[str, str]] = {
    "New York": "us-ny",
    "Vermont": "us-vt",
    "New Jersey": "us-nj",
    "Maryland": "us-md",
    "Massachusetts": "us-ma",
    "Pennsylvania": "us-pa",
    "Florida": "us-fl",
    "Connecticut": "us-ct",
    "Maine": "us-me",
    "Minnesota": "us-mn",
    "Wisconsin": "us-wi",
    "Michigan": "us-mi",
    "Illinois": "us-il",
    "Washington": "us-wa",
    "California": "us-ca",
    "Utah": "us-ut",
    "Texas": "us-tx",
    "Arizona": "us-az",
    "Ontario": "ca-on",
    "France": "fr",
}
_LAW: Final = (
    r"\b(allows?|bars?|limits?|forbids?)\b|\b(law|act|statute) of\b|\b(text|law|act)s? (seen|read)\b"
)


def law_of_another_place(f: Finished) -> Found:
    """No sentence gives the law of a state or country in which the field does not lie."""
    here = {
        coded(str(value))
        for key in ("place.region", "place.country", "place.name")
        for value in f.known.get(key, [])
    }
    if not here:
        return
    for line in f.body.splitlines():
        for sentence in sentences_of(line):
            if not says(_LAW, sentence):
                continue
            named = {
                name: code for name, code in _PLACES_OF_LAW.items() if re.search(rf"\b{name}\b", sentence)
            }
            if named and not any(code in here or coded(name) in here for name, code in named.items()):
                yield (
                    f"The field lies in {', '.join(sorted(here))}, and the text gives the law of {next(iter(named))}: "
                    f"{sentence!r}"
                )


_NO_GOALS: Final = frozenset({"baseball", "softball", "cricket"})
_SPORT_WORDS: Final[Mapping[str, tuple[str, ...]]] = {
    r"\bwickets?\b|\bbowlers?\b": ("cricket",),
    r"\binfields?\b|\boutfields?\b|\bhome plate\b|\bpitcher's mound\b": ("baseball", "softball", "cricket"),
    r"\bscrums?\b|\blineouts?\b": ("rugby", "rugby-union", "rugby-league"),
    r"\bcreases?\b": ("lacrosse", "cricket"),
}


def sport_not_told(f: Finished) -> Found:
    """Plan, work, needs and cautions speak of no sport, and of no goals, that the told use has not got."""
    sports = {str(value) for key, value in f.told.items() if re.fullmatch(r"use\.\d+\.sport", key)}
    if not sports:
        return
    rows = [(f"the task {task.task!r}", f"{task.task}. {task.text}") for task in f.advice.plan]
    rows += [("the work", step) for answer in f.advice.programme for step in answer.how]
    rows += [("a need", need.text) for need in f.advice.needs] + [
        ("a caution", row.text) for row in f.advice.cautions
    ]
    rows += [("the year after", row.text) for row in f.advice.year] + [
        ("what a part needs", row.text) for row in f.advice.diagnosis
    ]
    wrong = {pattern: ok for pattern, ok in _SPORT_WORDS.items() if not sports & set(ok)}
    goals = "site.goals_anchored" in f.told or says(
        "goal", str(f.told.get("site.dangers", "")) + " ".join(a.zone for a in f.advice.programme)
    )
    if sports <= _NO_GOALS and not goals:
        wrong[r"\bgoals?\b|\bgoal ?mouths?\b"] = ()
    for pattern in wrong:
        for place, text in rows:
            own = text
            for answer in f.advice.programme:
                own = re.sub(re.escape(answer.zone), " ", own, flags=re.IGNORECASE)
            if match := re.search(pattern, own, re.IGNORECASE):
                yield (
                    f"The field is used for {', '.join(sorted(sports))}, and {place} speaks of {match[0]!r}: "
                    f"{first_sentence(text)!r}"
                )
                break


_MONTHS: Final = (
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
)
_SEASONS: Final[Mapping[str, int]] = {"spring": 4, "summer": 7, "autumn": 10, "winter": 1}
_MONTH: Final = rf"(?:(?:in|on|of|by|to|and|from|until|since|about|early|late|\d) )({'|'.join(_MONTHS)})\b"
_SEASON: Final = r"\b(spring|summer|autumn|winter)(?:-sown)?\b"
_PAIRS: Final = (
    re.compile(rf"{_SEASON}(?: [\w-]+){{0,4}}? {_MONTH}", re.I),
    re.compile(rf"{_MONTH}(?: \d+)?(?: [\w-]+){{0,2}}? {_SEASON}", re.I),
)


def season_of_the_other_half(f: Finished) -> Found:
    """A season that is named beside a month is the season of that month in this half of the earth."""
    told = [str(value) for value in f.known.get("place.hemisphere", [])]
    latitude = f.known.get("place.latitude", [])
    south = "south" in told or bool(latitude and float(latitude[0]) < 0)
    if not told and not latitude:
        return
    for line in f.body.splitlines():
        for sentence in sentences_of(line):
            for number, pattern in enumerate(_PAIRS):
                for match in pattern.finditer(sentence):
                    season, month = (match[1], match[2]) if number == 0 else (match[2], match[1])
                    middle = _SEASONS[season.lower()] + (6 if south else 0)
                    apart = (_MONTHS.index(month.capitalize()) + 1 - middle) % 12
                    if min(apart, 12 - apart) > 2:
                        yield (
                            f"The field lies in the {'south' if south else 'north'}, and the text puts "
                            f"{season.lower()} beside {month.capitalize()}: {sentence!r}"
                        )


# ---------- 9. the date ----------
_LATE: Final = (
    r"\blate\b|\blater\b|not ready|not be ready|cannot be|\bafter the date\b|slow year[^.]*\bnot\b|\bmiss(es)?\b|"
    r"not by\b|\bnot before\b|not in a slow year|matches not|: no,|does not close up by|must wait until|before it bears"
)


def date_unspoken(f: Finished) -> Found:
    """A date that was told is spoken of; its fate, where the advice has one, is of that date and stands in the text."""
    if f.play_by is None:
        return
    if not f.has(LANGUAGE.day(f.play_by)) and not says(r"the date (that )?you want", f.said):
        yield f"The field is wanted by {LANGUAGE.day(f.play_by)}, and the text does not speak of that date."
    if f.fate is None:
        return
    by = getattr(f.fate, "by", None)
    if by is not None and str(by) != f.play_by.isoformat():
        yield f"The field is wanted by {LANGUAGE.day(f.play_by)}, and the fate that is told is of {by}."
    text = one_line(str(getattr(f.fate, "text", "")))
    if not f.has(text):
        yield f"The fate of {LANGUAGE.day(f.play_by)} is {text!r}, and the text does not say it."


def date_not_told(f: Finished) -> Found:
    """Where no date was told, no headline and no answer speaks of 'the date'."""
    if f.play_by is not None or "dates.play_by" in f.known:
        return
    headline = next((line for line in f.text.splitlines() if line.startswith("In short:")), "")
    for place, text in [
        ("the headline", headline),
        *((f"the answer for {answer.zone}", answer.text) for answer in f.advice.programme),
    ]:
        if says(r"\b(by|before|after) the date\b", text):
            yield f"No date was told, and {place} speaks of one: {text!r}"


def decided_after_the_start(f: Finished) -> Found:
    """What starts on a day is decided on before it."""
    for n in f.planned:
        o = n.option
        # Another part may be decided on by that day.
        of_another = any(m.option.decide_by == o.decide_by for m in f.planned if m is not n)
        said = o.decide_by is not None and not of_another and f.has(f"Decide by: {shown(o.decide_by)}")
        if n.new_grass and o.start and o.decide_by and o.decide_by > o.start and said:
            yield (
                f"{n.zone}: the choice starts on {shown(o.start)}, and it is to be decided on by {shown(o.decide_by)}, "
                "after it has begun."
            )


def _first_use(f: Finished) -> list[tuple[Named, DayRange]]:
    """What is first ready in each zone, with the days of the use that is wanted: the stopgap where there is one.

    Turf that recovers may bear training all the while, so that its dates say nothing of training. Where the choice is
    to use standing turf less or to mend its ground, that turf may bear play at once.
    """
    training = f.told.get("dates.first_use") == "training"
    dated = [n for n in f.planned if n.new_grass or (n.option.remedy == "recover" and not training)]
    rows = [
        (n, f.wanted(n.option))
        for n in dated
        if not n.later and all(m in dated for m in f.planned if m.zone == n.zone)
    ]
    return [(n, span) for n, span in rows if span is not None]


def _level(f: Finished, zone: str) -> str:
    """The fate of the date in a zone; that of the field where zones have none of their own."""
    zones = getattr(f.fate, "zones", {})
    return str(zones.get(zone, zones.get(coded(zone), getattr(f.fate, "level", "") if not zones else "")))


_LEVELS: Final = ("yes", "likely", "partly", "no")


def fate_against_dates(f: Finished) -> Found:
    """The fate of the date is what the dates of the choices make of it, zone by zone and for the worst of them."""
    if f.play_by is None or f.fate is None:
        return
    by, said = f.play_by.isoformat(), f"the fate of {LANGUAGE.day(f.play_by)}"
    # Turf that is dense enough bears play with care while it recovers, whatever the days of its closing up.
    for n, span in [each for each in _first_use(f) if each[0].new_grass]:
        level = _level(f, n.zone)
        if level == "yes" and n.new_grass and n.option.verdict == "late":
            yield f"{n.zone}: {said} is 'yes', and {n.option.title!r} is judged late."
        if level == "yes" and span.late is not None and span.late > by:
            yield (
                f"{n.zone}: {said} is 'yes', and {n.option.title!r} is ready by {shown(span.late)} only, at the late "
                "end."
            )
        if level == "likely" and span.early is not None and span.early > by:
            yield (
                f"{n.zone}: {said} is 'likely', and {n.option.title!r} is ready on {shown(span.early)} at the earliest."
            )
        if level == "no" and span.late is not None and span.late <= by:
            yield f"{n.zone}: {said} is 'no', and {n.option.title!r} is ready by {shown(span.late)} at the latest."
    for clash in f.advice.clashes:
        if _level(f, clash.zone) == "yes" and says(r"not ready by", clash.text):
            yield f"{clash.zone}: {said} is 'yes', and the plan says {sentences_of(clash.text)[-1]!r}"
    first = f.told.get("dates.first_use", "")
    if getattr(f.fate, "use", first) != first:
        yield f"What is wanted first is {first or 'not told'}, and {said} is told for {f.fate.use or 'no use'}."
    for use, stage in (("training", "light_use"), ("matches", "full_play")):
        iso = getattr(f.fate, f"{use}_from", None)
        answers = [answer for answer in f.advice.programme if answer.zone == getattr(f.fate, "zone", "")]
        windows = [
            window.option for answer in answers if (window := getattr(answer, "window", None)) is not None
        ]
        here = [n.option for n in f.planned if n.answer in answers and n.new_grass]
        here += [option for code in windows if (option := f.advice.option(code)) is not None]
        late = [
            date(span.late) for option in here if (span := getattr(option, stage)) is not None and span.late
        ]
        if iso is not None and late and min(abs((date(iso) - other).days) for other in late) > 1:
            yield (
                f"{f.fate.zone}: {said} gives {use} from {shown(iso)}, and the programme gives it from "
                f"{' or '.join(map(LANGUAGE.day, late))} at the late end."
            )
    zones = [level for level in getattr(f.fate, "zones", {}).values() if level in _LEVELS]
    worst = max(zones, key=_LEVELS.index, default=f.fate.level)
    if worst != f.fate.level:
        yield f"For the field {said} is {f.fate.level!r}, and in its worst zone it is {worst!r}."


def lateness_unsaid(f: Finished) -> Found:
    """A choice that is not, or not surely, ready by the date says so in its answer or in the fate of the date."""
    if f.play_by is None:
        return
    by, fate = f.play_by.isoformat(), str(getattr(f.fate, "text", ""))
    for n, span in _first_use(f):
        if says(_LATE, n.answer.text) or says(_LATE, fate) or span.late is None or span.late <= by:
            continue
        if not n.new_grass and _level(f, n.zone) == "yes":
            continue
        if span.early is not None and span.early > by:
            yield (
                f"{n.zone}: the field is wanted by {LANGUAGE.day(f.play_by)}, and the choice is ready on {shown(span.early)} at "
                "the earliest, but neither its answer nor the fate of the date says so."
            )
        elif not any(says(_LATE, reason.text) and f.has(reason.text) for reason in n.option.reasons):
            yield (
                f"{n.zone}: the field is wanted by {LANGUAGE.day(f.play_by)}, and the choice may be ready only on "
                f"{shown(span.late)}, but neither its answer, the fate of the date nor a reason says so."
            )


def reasons_against_dates(f: Finished) -> Found:
    """'Ready so many days before the date' agrees with the dates that are given."""
    for n in f.planned if f.play_by is not None else []:
        span = f.wanted(n.option)
        for reason in n.option.reasons if span is not None else []:
            said = re.search(r"[Ee]ven in a slow year .*?(\d[\d,]*) days? before the date", reason.text)
            if said and span is not None and span.late is not None and f.play_by is not None:
                spare = (f.play_by - date(span.late)).days
                if abs(spare - int(said[1].replace(",", ""))) > 1:
                    yield (
                        f"{n.zone}: a reason says {reason.text!r}, and the late day given is {shown(span.late)}, "
                        f"{spare} days before {LANGUAGE.day(f.play_by)}."
                    )


# ---------- 10. texts ----------
def _own_strings(f: Finished) -> Iterator[tuple[str, str]]:
    """The texts of the advice that people read, each with its place."""
    a = f.advice
    yield from (
        ("an answer", x)
        for answer in a.programme
        for x in (answer.text, answer.better_than, *answer.how)
        if x
    )
    yield from (("a task", f"{x.task}. {x.text}") for x in a.plan)
    yield from (("a watering", x.text) for x in a.watering)
    yield from (("a clash", x.text) for x in a.clashes)
    yield from (("a purchase", f"{x.item}. {x.how}") for x in a.shopping)
    yield from (("a caution", x.text) for x in a.cautions)
    yield from (("a need", x.text) for x in a.needs)
    yield from (("today", x.text) for x in a.today)
    yield from (("a cause", x) for row in a.causes for x in (row.text, row.look_at, row.bare_again_unless))
    yield from (("a diagnosis", x.text) for x in a.diagnosis)
    yield from (("a reason", reason.text) for n in f.named for reason in n.option.reasons)
    yield from (
        ("a proposal", x)
        for row in a.proposals
        for x in (row.asked, *row.conditions, *row.better, *(r.text for r in row.reasons))
    )
    yield from (("a sign", x) for row in a.rescue for x in (row.sign, row.look_at, row.do))
    yield from (("the year after", x.text) for x in a.year)
    yield from (("a check", f"{x.check}. {x.how}") for x in a.opening)
    yield from (("hours of play", x.text) for x in a.hours_per_week_after_opening)


def _read(f: Finished) -> Iterator[tuple[str, str]]:
    """Every line of the text without the sources, then the texts of the advice that may not all be in it."""
    yield from (("the text", line.strip()) for line in f.body.splitlines() if line.strip())
    yield from _own_strings(f)


def _spoiled(f: Finished, pattern: str, what: str, flags: int = 0) -> Found:
    """One sentence for each different match of a pattern, with where it stands."""
    seen: set[str] = set()
    for place, text in _read(f):
        for match in re.finditer(pattern, text, flags):
            if match[0] not in seen:
                seen.add(match[0])
                around = text[max(0, match.start() - 40) : match.end() + 40]
                yield f"{what}: {match[0]!r} in {place}, where it says {around!r}"


def empty_values(f: Finished) -> Found:
    """No value of the program stands where a word is meant; "None before a storm." is a sentence."""
    yield from _spoiled(
        f,
        r"(?<![.!?:] )(?<!^)(?<!- )\bNone\b|\bNone(?=[.,;)]|$)|\b(nan|NaN|null|True|False)\b",
        "A bare value is shown to people",
    )


def doubled_words(f: Finished) -> Found:
    """A word stands once; "0.3 in in a month" has two words that only look alike."""
    yield from _spoiled(
        f, r"(?<!\d )\b(?!that\b|had\b)([A-Za-z]{2,}) \1\b", "A word stands twice", re.IGNORECASE
    )


_COUNTED: Final = "days|hours|weeks|months|years|litres|gallons|visits|times|places|people|helpers|metres|bags|rolls|things|questions"


def wrong_plurals(f: Finished) -> Found:
    """One is one; a range that ends in one is left alone."""
    yield from _spoiled(
        f, rf"(?<![\d.,])(?<!to )(?<!× )\b1 (?:{_COUNTED})\b", "One of a thing is said as many"
    )
    yield from _spoiled(
        f,
        r"(?<![\d.,])\b(?:[2-9]|\d\d+) (?:day|hour|week|visit|litre|gallon)(?=[.,;)]|$)",
        "Many of a thing are said as one",
    )


def empty_sentences(f: Finished) -> Found:
    yield from _spoiled(
        f,
        r"(?<!\.)\.\.(?!\.)|\. \.(?!\.)| [.,;](?=\s|$)|,\.|;\.|:\.|, ,|\(\s*\)|: ;",
        "A sentence is empty or broken",
    )
    for place, text in _own_strings(f):
        if not text.strip(" ."):
            yield f"A text is empty: {place} has no words, and it is listed."
    for task in f.advice.plan:
        if not task.text.strip():
            yield f"A text is empty: the task {task.task!r} says nothing of how it is done, and it is listed."


def double_spaces(f: Finished) -> Found:
    for place, text in _own_strings(f):
        if "  " in text:
            yield (
                f"Two spaces stand together in {place}, where it says "
                f"{text[max(0, text.index('  ') - 30) : text.index('  ') + 30]!r}"
            )


def open_braces(f: Finished) -> Found:
    yield from _spoiled(f, r"\{[^}]*\}?|\}", "A hole is not filled")


@cache
def _codes() -> frozenset[str]:
    """Codes of more than one word that are not also English."""
    k = knowledge()
    codes = {
        *k.grasses,
        *k.mixtures,
        *k.methods,
        *k.cautions,
        *k.needs,
        *k.tasks,
        *k.supplies,
        *k.equipment,
        *(rule.id for rule in k.rules),
    }
    codes |= {level for row in k.facts.values() for level in getattr(row, "levels", None) or ()}
    english = {"cool-season", "warm-season", "cool-spring", "pre-emergent", "take-all", "in-play", "grow-in"}
    return frozenset(code for code in codes if "-" in code) - english


def codes_shown(f: Finished) -> Found:
    """Codes are for programs: people read words."""
    own = {coded(str(value)) for value in f.told.values() if isinstance(value, str)}
    names = " ".join(str(value) for key, value in f.told.items() if key.endswith((".name", ".zone")))
    zones = {coded(answer.zone) for answer in f.advice.programme if "-" in coded(answer.zone)}
    for line in f.body.splitlines():
        for word in re.findall(r"(?<![\w/.-])[a-z][a-z0-9]*(?:-[a-z0-9]+)+(?![\w/-])", line):
            if word in names:
                continue
            if (
                word in _codes()
                or word in zones
                or (re.fullmatch(r"[a-z]{2}-[a-z]{2,3}|[a-z]{2}-\d\d", word) and word in own | _computed(f))
            ):
                yield f"A code is shown to people where words are meant: {word!r} in {line.strip()[:90]!r}"
        for word in re.findall(r"\b(?:zone|option|site|step|value)[.:][a-z][\w.-]+", line):
            yield f"The name of a fact is shown to people: {word!r} in {line.strip()[:90]!r}"


def _computed(f: Finished) -> set[str]:
    return {str(row.value) for row in f.advice.situation if row.how != "told" and isinstance(row.value, str)}


Check = Callable[[Finished], Iterable[str]]
KINDS: Final[Mapping[str, Sequence[Check]]] = {
    "1 headline and programme": (
        headline_of_no_zone,
        decision_against_choice,
        choice_judged_unfit,
        headline_in_text,
        choice_missing_in_text,
        answer_of_another_choice,
        next_best_against_grades,
    ),
    "2 water": (
        rain_covers_but_watered,
        watered_but_rain_covers,
        rain_covers_but_visits_lack,
        rain_covers_but_how_wets,
        watering_row_against_itself,
        watered_without_water,
        reason_against_water,
    ),
    "3 opening": (
        dates_out_of_order,
        plan_opens_apart,
        plan_opens_out_of_order,
        cuts_without_time,
        hours_before_opening,
        gates_out_of_order,
    ),
    "4 law": (
        sprayed_where_barred,
        phosphorus_where_barred,
        feed_bought_and_used_apart,
        watered_where_barred,
        work_on_barred_days,
        fed_in_closed_season,
    ),
    "5 needs and conditions": (
        needs_without_row,
        needs_unmet,
        conditions_promised,
        conditions_unsaid,
        lists_promised,
    ),
    "6 what does not fit": (
        start_that_does_not_fit,
        clash_that_another_has_not,
        plan_starts_on_another_day,
        bed_left_open,
        wetting_longer_than_the_day,
        hours_short_though_another_fits,
        contractors_hours_counted_as_yours,
        start_in_closed_window,
    ),
    "7 use and dangers": (grass_without_less_use, shut_though_in_play, opened_while_shut, dangers_unsaid),
    "8 left over": (
        other_grass,
        other_thickness_of_sod,
        law_of_another_place,
        sport_not_told,
        season_of_the_other_half,
    ),
    "9 the date": (
        date_unspoken,
        date_not_told,
        decided_after_the_start,
        fate_against_dates,
        lateness_unsaid,
        reasons_against_dates,
    ),
    "10 texts": (
        empty_values,
        doubled_words,
        wrong_plurals,
        empty_sentences,
        double_spaces,
        open_braces,
        codes_shown,
    ),
}
