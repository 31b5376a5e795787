"""The advice as text to read: for a terminal, for plain lines and screen readers; its blocks are what the page and the notes say too."""

from __future__ import annotations

import datetime as dt
import io
import math
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final, Literal, get_args

from rich import box
from rich.cells import cell_len
from rich.console import Console
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from decide.knowledge.speaker import CRITERION_NAMES
from decide.model import advice as model
from decide.model.advice import Advice, Option
from decide.model.units import System, convert
from decide.model.wording import exactly, listed, number
from decide.model.words import capital, printable, to_ascii
from decide.model.written import coded
from decide.plan.tasks import this_week
from decide.report.blocks import TAKE_CARE, Block, Grid, Heading, Line, Picture, Span, Style
from decide.report.choices import (
    ONLY_IF,
    RESTS_SHOWN,
    THEN,
    VERDICT_STYLES,
    alike,
    chief_reasons,
    first_reason,
    marked,
    meanwhile_words,
    only_late,
    put_off,
    short_verdict,
    stands_as,
    verdict_spans,
    without_start,
)
from decide.report.phrases import (
    MONEY,
    between,
    date_of,
    day_of,
    day_span,
    days_of,
    estimate,
    key_in_words,
    odds_said,
    opening_sentence,
    plural,
    price,
    sentence,
    span_of,
    system_of,
    value_in_words,
    value_said,
    visits_said,
)

Depth = Literal["short", "full", "reasons"]

LIST_BELOW: Final = 60
NARROWEST: Final = 20
SHORT_LIST: Final = 6
WEEK_LIST: Final = 5
REASONS_SHUT: Final = 4
RULER: Final = "The label, local law and licensed people rule over this page."

_COLOURS: Final = {"": "", "strong": "bold", "good": "bold green", "warn": "bold yellow", "bad": "bold red"}
_DECISIONS: Final = {
    "recover": "let the standing grass recover", "repair": "repair the worn parts", "renovate": "make the surface anew",
    "stopgap then renovate": "a stopgap now, lasting grass later", "use less": "use it less, or rotate",
    "mend the cause first": "mend the cause first", "move play": "move play off the worn place",
    "call an expert": "call a qualified person", "wait": "wait", "carry on": "carry on with what was begun",
    "none sound": "nothing sound can be done by the date; the least bad is named", "left alone": "leave it alone",
    "nothing to do": "nothing needs doing that the answers show",
}  # fmt: skip
_NONE_SOUND_UNDATED: Final = "nothing sound can be done with what there is; the least bad is named"
_GROUPS: Final = {
    "advised": "Advised", "sound": "Sound", "sound-if": "Sound if the following holds", "risky": "Risky", "late": "Late", "not-advised": "Not advised", "ruled-out": "Ruled out",
}  # fmt: skip
STANDBY_SHOWN: Final = 3
UNASKED: Final = "no answer that is still missing speaks against it"
# The rules that hold what a way costs against the budget.
_BY_BUDGET: Final = ("budget-short", "budget-perhaps", "money-sod-within-budget")
_MARKS: Final = {
    "advised": "✓",
    "sound": "✓",
    "sound-if": "?",
    "risky": "!",
    "late": "!",
    "not-advised": "✗",
    "ruled-out": "✗",
}
_ASCII_MARKS: Final = {**_MARKS, "advised": "+", "sound": "+", "not-advised": "x", "ruled-out": "x"}
# A start that lies in none of its windows is said so; the reasons say what lets it stand.
_WINDOWS: Final = {"closed": "outside the usual times"}
_SPEAKS: Final = {
    "strong": "For",
    "fair": "Fair",
    "doubtful": "Doubt",
    "weak": "Against",
    "poor": "Against",
    "lost": "Against",
    "ruled-out": "Rules it out",
}
_SPEAKS_STYLE: Final[dict[str, Style]] = {
    "strong": "good", "fair": "strong", "doubtful": "warn", "weak": "bad", "poor": "bad", "lost": "bad", "ruled-out": "bad",
}  # fmt: skip
_GRADE_STYLE: Final[dict[str, Style]] = {
    "strong": "good",
    "fair": "",
    "doubtful": "warn",
    "unknown": "warn",
    "weak": "bad",
    "poor": "bad",
    "lost": "bad",
}
SEEN: Final = {
    "opened": "opened and read", "excerpt": "seen as an excerpt", "memory": "from memory, not looked up", "own": "our own",
}  # fmt: skip
STAGES: Final = {
    "before": "Before anything is touched", "clear": "Clear", "bed": "Bed", "establish": "Establish", "grow": "Grow", "open": "Open", "keep": "Keep alive",
}  # fmt: skip
WHO: Final = {
    "volunteer": "any of you", "licensed-person": "a licensed person", "contractor": "a contractor, or whoever has the machine", "owner": "the owner, or whom the owner names",
    "laboratory": "you take it, a laboratory tests it", "utility-service": "you call, the marking service marks",
}  # fmt: skip
_KINDS: Final = {
    "material": "material",
    "hire": "hire",
    "labour": "work",
    "contractor": "a contractor instead",
    "water": "water",
}
_LEVELS: Final = {"firm": "Firm", "likely": "Likely", "open": "Open"}


def render(
    advice: Advice, *, width: int = 80, depth: Depth = "short", colour: bool = False, ascii_only: bool = False,
    plain: bool = False, system: System | None = None,
) -> str:  # fmt: skip
    """The advice as text of at most `width` columns (never under 20).

    `depth` is "short" (one page), "full" (also every option, checks, rescue, sources) or "reasons" (also grades, rules
    and trace). `plain` is the line mode: no escape bytes, no boxes, one thing after another. `system` is "metric" or
    "us"; left out, the country of the advice decides.
    """
    blocks = _Talk(advice, depth, system).blocks()
    page = _Page(max(width, NARROWEST), colour and not plain, ascii_only, plain)
    return page.show(blocks)


class _Talk:
    """Says one advice as headings, lines and tables, in the order in which it is read."""

    def __init__(self, advice: Advice, depth: Depth, system: System | None) -> None:
        self.a, self.depth = advice, depth
        self.system: System = system or system_of(advice)
        self.many = len(advice.programme) > 1
        self.places = self._caution_places()
        self.out: list[Block] = []

    def blocks(self) -> list[Block]:
        """Everything that is said at this depth."""
        self._opening_words()
        self._today()
        self._how_it_goes()
        self._causes()
        self._programme()
        self._plan()
        self._field_needs()
        self._to_buy()
        self._cautions()
        self._proposals()
        self._unknown()
        self._trust()
        if self.depth != "short":
            self._season()
            self._diagnosis()
            self._options()
            self._checks()
            self._rescue()
            self._assumed()
        if self.depth == "reasons":
            self._grades()
            self._rules()
            self._trace()
        if self.depth != "short":
            self._sources()
            self._head("Remember")
            self._line(Span(RULER, "strong"))
        return self.out

    def week(self, on: dt.date) -> list[Block]:
        """Only what is to be done in the seven days from a day."""
        for doing in self.a.today:
            self._line(Span("Today: ", "bad"), sentence(doing.text), mark="!")
            self._decides(doing.who_decides, 1)
        due = this_week(self.a, on)
        for task in due:
            self._task(task)
        if not due and not self.a.today:
            self._line("Nothing has to be done this week.")
        return self.out

    # ---------- small helpers ----------
    def _head(self, text: str, level: int = 1) -> None:
        self.out.append(Heading(text, level))

    def _line(self, *spans: Span | str, depth: int = 0, mark: str = "", more: int = 0) -> None:
        self.out.append(Line(tuple(Span(s) if isinstance(s, str) else s for s in spans), depth, mark, more))

    def _field(self, label: str, text: str, depth: int = 1) -> None:
        self._line(Span(f"{label}: ", "strong"), text, depth=depth)

    def _known(self, key: str) -> str:
        return next((str(row.value) for row in self.a.situation if row.key == key), "")

    def _caution_places(self) -> dict[str, list[str]]:
        """For each caution, the zones whose choice it belongs to; a caution is printed in full once."""
        found: dict[str, list[str]] = {}
        for answer in self.a.programme:
            for option in self._picked(answer):
                for code in option.cautions:
                    places = found.setdefault(code, [])
                    if answer.zone not in places:
                        places.append(answer.zone)
        return found

    def _picked(self, answer: model.Answer) -> list[Option]:
        """The options that a zone's answer names, in the order of doing."""
        found = [self.a.option(code) for code in (answer.stopgap, answer.option, answer.least_bad)]
        return [option for option in found if option is not None]

    def _caution(self, row: model.Caution, depth: int, *before: Span) -> None:
        self._line(*before, sentence(row.text), depth=depth, mark="!")
        self._decides(row.who_decides, depth + 1)

    def _decides(self, who: str, depth: int, more: int = 0) -> None:
        if who:
            self._line(f"Who decides: {sentence(who)}", depth=depth, more=more)

    # ---------- the short form ----------
    def _opening_words(self) -> None:
        place, today = self._known("place.name"), self._known("dates.today")
        title = "Advice" + (f" for {place}" if place else "") + (f", {day_of(today)}" if today else "")
        self._head(title, 0)
        short = self._decision(self.a.decision)
        if len({answer.decision for answer in self.a.programme}) > 1:
            short = "; ".join(
                f"{answer.zone}: {self._decision(answer.decision)}" for answer in self.a.programme
            )
        if self.a.fate is not None:
            style: Style = {"yes": "good", "likely": "good", "partly": "warn", "no": "bad", "open": "warn"}[
                self.a.fate.level
            ]  # type: ignore[assignment]
            said = opening_sentence(self.a.fate.text)
            self._line(Span(said, style), self.a.fate.text.removeprefix(said))
        self._line(Span("In short: ", "strong"), sentence(short))
        asked = next((row for row in self.a.unknown if row.changes_first_choice), None)
        if asked is not None:
            self._line(Span("First tell: ", "strong"), f"{asked.text} It could change the choice.")

    def _decision(self, decision: model.Decision) -> str:
        """A decision in words; where no date was told none is spoken of."""
        dated = self.a.fate is not None or bool(self._known("dates.play_by"))
        return _NONE_SOUND_UNDATED if decision == "none sound" and not dated else _DECISIONS[decision]

    def _today(self) -> None:
        if not self.a.today:
            return
        self._head("Today, before anything else")
        for n, doing in enumerate(self.a.today, start=1):
            self._line(Span(sentence(doing.text)), mark=f"{n}.")
            self._decides(doing.who_decides, 1, more=len(f"{n}. ") - 2)

    def _how_it_goes(self) -> None:
        """New grass that is under way: signs that were seen, what to do today, and what still keeps it shut."""
        if not self.a.signs_seen and not self.a.open_now:
            return
        self._head("How it goes")
        for row in self.a.signs_seen:
            style: Style = (
                "bad" if row.season == "lost" else "warn" if row.season == "may be saved" else "good"
            )
            season = {
                "lost": "the season of this start is lost",
                "not in danger": "the season is not in danger",
            }.get(row.season, f"the season {row.season}")
            self._line(
                *self._where([row.zone]),
                Span(f"{row.sign.rstrip('.')}, seen on {day_of(row.on)}: "),
                Span(f"{season}.", style),
                mark="-",
            )
            self._line(f"Look at this: {sentence(row.look_at)}", depth=1)
            self._line(Span("Do today: ", "strong"), sentence(row.do), depth=1)
            self._line(
                sentence(row.because if self.depth != "short" else row.because.partition(" Saved if: ")[0]),
                depth=1,
            )
        for gate in self.a.open_now:
            light, full = (Span(said, "good" if said == "yes" else "bad") for said in (gate.light, gate.full))
            self._line(
                *self._where([gate.zone]),
                "May it open today? Light use: ",
                light,
                ". Full play: ",
                full,
                ". A date is not a test.",
                mark="-",
            )
            shown = gate.because if self.depth != "short" else gate.because[-REASONS_SHUT:]
            for reason in shown:
                self._line(sentence(reason), depth=1, mark="-")
            if len(shown) < len(gate.because):
                self._line(
                    f"and {len(gate.because) - len(shown)} more; the full advice lists them.",
                    depth=1,
                    mark="-",
                )
            if gate.checks and self.depth != "short":
                rows = tuple(
                    (
                        Span(check.check, "strong"),
                        Span(day_of(check.on)),
                        Span(check.found),
                        Span(check.light),
                        Span(check.full),
                    )
                    for check in gate.checks
                )
                self.out.append(Grid(("Check", "On", "Found", "Light use", "Full play"), rows))

    def _causes(self) -> None:
        if not self.a.causes:
            return
        self._head("Why it is bare")
        same: dict[tuple[str, str, str, bool], list[str]] = {}
        for cause in self.a.causes:
            same.setdefault((cause.bare_again_unless, cause.text, cause.look_at, cause.sure), []).append(
                cause.zone
            )
        for (unless, text, look_at, sure), zones in same.items():
            self._line(Span(sentence(unless), "strong"), mark="-")
            self._line(*self._where(zones), sentence(text), depth=1)
            self._line(f"Look at this: {sentence(look_at)}", depth=1)
            if not sure:
                self._line("This is not certain: an answer that is missing could speak against it.", depth=1)

    def _where(self, zones: Sequence[str]) -> tuple[Span, ...]:
        """The parts that a sentence is about, where the field has several."""
        named = list(dict.fromkeys(zone for zone in zones if zone))
        return (Span(f"{listed(named)}: ", "strong"),) if self.many and named else ()

    def _programme(self) -> None:
        self._head("What to do")
        for answer in self.a.programme:
            area = self._area(answer.area_m2)
            self._head(answer.zone + (f", {area}" if area else ""), 2)
            picked = self._picked(answer)
            if not picked:
                self._line(sentence(answer.text), depth=1)
            elif answer.option is None:
                said = opening_sentence(answer.text)
                self._line(Span(said, "bad"), answer.text.removeprefix(said), depth=1)
            for option in picked:
                self._choice(option, self._role(answer, option), self._begun_again(answer, option))
            if self.depth != "short":
                for n, step in enumerate(answer.how, start=1):
                    self._line(sentence(step), depth=1, mark=f"{n}.")
            if answer.instead:
                self._line(sentence(answer.instead), depth=1)
            for said in answer.not_chosen:
                self._line(sentence(said), depth=1)
            if answer.better_than:
                self._line(sentence(answer.better_than), depth=1)
            self._standby(answer)
            self._zone_cautions(answer, picked)

    def _standby(self, answer: model.Answer) -> None:
        """What is done with a part until its remedy is possible, and the next real time for new grass."""
        if answer.meanwhile:
            self._line(Span(f"{meanwhile_words(answer)}:", "strong"), depth=1)
            shown = answer.meanwhile[: STANDBY_SHOWN if self.depth == "short" else None]
            for said in shown:
                self._line(sentence(said), depth=1, mark="-")
            self._and_more(len(answer.meanwhile) - len(shown), 1)
        if answer.window is not None:
            self._line(sentence(answer.window.text), depth=1)

    def _and_more(self, count: int, depth: int) -> None:
        """How many lines of a list only the full advice has."""
        if count:
            self._line(
                f"and {count} more; the full advice lists {'it' if count == 1 else 'them'}.",
                depth=depth,
                mark="-",
            )

    @staticmethod
    def _begun_again(answer: model.Answer, option: Option) -> str:
        """What the answer adds to the name of what is carried on: the part that is begun again, and when it bears play."""
        return (
            answer.text.removeprefix(f"{option.title}.").strip()
            if option.remedy == "carry-on" and option.code == answer.option
            else ""
        )

    @staticmethod
    def _role(answer: model.Answer, option: Option) -> str:
        if option.code == answer.stopgap:
            return "Stopgap now"
        if option.code == answer.least_bad:
            return "Least bad"
        return THEN if answer.stopgap else "Do this"

    def _choice(self, option: Option, role: str, note: str) -> None:
        verdict = stands_as(option, role)
        self._line(
            Span(f"{role}: ", "strong"),
            Span(option.title, "strong"),
            " — ",
            *verdict_spans(verdict, option.rests_on),
            ".",
            depth=1,
            mark=f"={marked(verdict, option.rests_on)}",
        )
        new = option.remedy == "establish"
        for row in self.a.diagnosis:
            if row.zone == option.zone and row.code == f"remedy-{option.remedy}" and not new:
                self._line(sentence(row.text), depth=2)
        if note:
            self._line(note, depth=2)
        self._conditions(option.rests_on)
        if self.depth != "short" and option.first_mow is not None:
            up = "" if option.germination is None else f"{between(option.germination).rstrip('.')}; "
            self._field(
                "Up" if up else "First cut",
                f"{up}{'first cut ' if up else ''}{between(option.first_mow)}",
                2,
            )
        if option.light_use is not None or new:
            self._field("Light use", between(option.light_use), 2)
        if option.full_play is not None or new:
            self._field("Full play", between(option.full_play), 2)
        if self.depth != "short" and (option.full_fixtures is not None or new):
            self._field("Full fixture list", between(option.full_fixtures), 2)
        odds = option.odds
        # An estimate that says "nearly every year" is told already by the slow year's date.
        if odds is not None and (
            self.depth != "short"
            or odds.how == "replayed"
            or round(10 * odds.ready) < 10
            or round(10 * odds.killed)
        ):
            self._field("Odds", odds_said(odds), 2)
        if self.depth != "short" and option.readiness_note:
            self._field("Evidence", option.readiness_note, 2)
        if option.claim:
            self._field("Claim", sentence(option.claim), 2)
        if option.dies_by:
            said = (
                f"about {day_of(option.dies_by)}."
                if option.dies_between is None
                else f"some day {between(option.dies_between).rstrip('.')} in two years of three."
            )
            self._field("It lives until", f"{said} Then frost takes it.", 2)
        if option.decide_by and put_off(option):
            self._field("If it is put off", f"decide by {day_of(option.decide_by)} at the latest.", 2)
        elif option.decide_by:
            self._field("Decide by", f"{day_of(option.decide_by)}.", 2)
        if self.depth != "short" and option.window:
            self._field("Window", f"{_WINDOWS.get(option.window, option.window)}.", 2)
        self._means(option, new)
        for reason in chief_reasons(option):
            self._reason(reason if verdict == option.verdict else only_late(reason), 2)
        for need in self.a.needs:
            if need.text and need.zone == option.zone and need.code in option.needs:
                self._line(Span("Needs: ", "strong"), sentence(need.text), depth=2, mark="-")

    def _conditions(self, rests_on: Sequence[str]) -> None:
        """What a verdict rests on, in the words in which a proposal lists its conditions."""
        shown = rests_on[: RESTS_SHOWN if self.depth == "short" else None]
        for condition in shown:
            self._line(Span(ONLY_IF, "strong"), sentence(condition), depth=2, mark="-")
        self._and_more(len(rests_on) - len(shown), 2)

    def _reason(self, reason: model.Reason, depth: int) -> None:
        self._line(
            Span(f"{_SPEAKS[reason.grade]}: ", _SPEAKS_STYLE[reason.grade]),
            sentence(reason.text),
            depth=depth,
            mark="-",
        )

    def _means(self, option: Option, new: bool) -> None:
        cost = option.cost
        if cost is not None:
            money = MONEY.get(cost.currency, cost.currency)
            amount = span_of(estimate(cost.low), estimate(cost.high))
            self._field(
                "Money",
                f"{amount} {money} at prices of {cost.year} ({cost.how.rstrip('.')}). Ask for quotes.",
                2,
            )
        elif new:
            judged = any(
                rule.partition("--")[0] in _BY_BUDGET for reason in option.reasons for rule in reason.rules
            )
            self._field(
                "Money",
                f"{'no local price is known; your budget was held against foreign prices, for size only' if judged else 'not known'}. Ask for quotes.",
                2,
            )
        if option.labour_hours is not None:
            hours = option.labour_hours
            self._field("Work", f"{span_of(estimate(hours.low), estimate(hours.high))} hours.", 2)
        elif new:
            self._field("Work", "hours not known.", 2)
        if new and self._known("means.water") == "none":
            self._field("Water", "there is none here: it lives or dies by the rain.", 2)
        elif option.water is not None:
            self._field(
                "Water",
                self._wetted(option) if new and option.water.litres_a_day < 1 else self._water(option.water),
                2,
            )
        elif new:
            self._field("Water", "amount not known.", 2)

    def _wetted(self, option: Option) -> str:
        """The first wettings of new grass where the rain of a normal year covers what turf uses: a new bed dries between the rains."""
        rows = sorted(
            (row for row in self.a.watering if row.zone == option.zone and row.from_ >= (option.start or "")),
            key=lambda row: row.from_,
        )
        # Sod is soaked on its day; what follows that is what somebody must come for.
        first = next((n for n, row in enumerate(rows) if row.from_ != row.until), len(rows) - 1)
        figures = [(row.stage, opening_sentence(row.text).rstrip(".")) for row in rows[: first + 1]]
        said = "; ".join(f"{stage}: {figure[:1].lower()}{figure[1:]}" for stage, figure in figures)
        if not said:
            return "on days without rain it is wetted until it holds. Less when it rains."
        return f"{said}. Less when it rains; in a normal year rain brings the rest."

    def _water(self, water: model.Water) -> str:
        if water.litres_a_day < 1:
            return "in a normal year rain covers what it needs."
        amount, unit = (
            (convert(water.litres_a_day, "l/day", "gal/day"), "gallons")
            if self.system == "us"
            else (water.litres_a_day, "litres")
        )
        said = f"about {estimate(amount)} {unit} each day without rain in the first weeks{visits_said(water.visits_a_day)}"
        if water.hours_a_day is not None and water.hours_a_day >= 0.1:
            hours = number(round(water.hours_a_day, 1))
            said += f", {hours} {plural('hour', hours)} a day in all"
        return f"{said}."

    def _area(self, area_m2: float | None) -> str:
        if area_m2 is None:
            return ""
        return (
            f"{estimate(convert(area_m2, 'm2', 'ft2'))} ft²"
            if self.system == "us"
            else f"{estimate(area_m2)} m²"
        )

    def _zone_cautions(self, answer: model.Answer, picked: Sequence[Option]) -> None:
        codes = {code for option in picked for code in option.cautions}
        said_today = {doing.code for doing in self.a.today}
        rows = {row.code: row for row in self.a.cautions}
        for row in self.a.cautions:
            if row.code in codes - said_today and self.places[row.code] == [answer.zone]:
                self._caution(row, 1, TAKE_CARE)
        for code in sorted(codes - set(rows) - said_today):
            self._line(TAKE_CARE, sentence(code.replace("-", " ")), depth=1, mark="!")

    # ---------- the plan ----------
    def _plan(self) -> None:
        """What does not fit, this week and the next dates; with more depth every task, the weeks, water, play and the year after."""
        if not self.a.plan:
            return
        self._head("What to do when")
        for clash in self.a.clashes:
            self._line(
                Span("Does not fit: ", "bad"), *self._where([clash.zone]), sentence(clash.text), mark="!"
            )
        today = date_of(self._known("dates.today"))
        week = this_week(self.a, today) if today is not None else []
        self._week(week)
        if self.depth == "short":
            self._next_dates(week)
            return
        if self.a.plan_decide_by:
            self._field("Begin by", f"{day_of(self.a.plan_decide_by)}, to keep these dates.", 0)
        for stage, title in STAGES.items():
            tasks = [task for task in self.a.plan if task.stage == stage]
            if tasks:
                self._head(title, 2)
            for task in tasks:
                self._task(task)
        self._weeks()
        self._tending()

    def _week(self, week: Sequence[model.Task]) -> None:
        """The tasks of seven days, in a few lines."""
        self._line(Span("This week:", "strong") if week else "Nothing has to be done this week.")
        shown = week
        if self.depth == "short":
            # What cannot wait until next week comes first, then work on the ground, then what may be done ahead.
            end = max((task.from_ for task in week), default="")
            shown = sorted(
                week,
                key=lambda task: (
                    task.latest is None or task.latest > end,
                    task.latest is not None or task.stage == "before",
                    task.from_,
                ),
            )[:WEEK_LIST]
        for task in shown:
            self._line(Span(task.task, "strong"), self._of(task), f", {self._when(task)}.", depth=1, mark="-")
        if len(shown) < len(week):
            self._line(f"and {len(week) - len(shown)} more; the full advice lists them.", depth=1, mark="-")

    def _next_dates(self, week: Sequence[model.Task]) -> None:
        """The first task of each stage that is still to come, opening above all."""
        told = {task.code for task in week}
        rows: list[model.Task] = []
        for stage in STAGES:
            later = [
                task
                for task in self.a.plan
                if task.stage == stage and task.code not in told and task.done is None
            ]
            opening = [task for task in later if task.template.startswith("open-")]
            rows += (
                opening
                or [task for task in later if task.latest is not None]
                or [task for task in later if task.every_days is None]
                or later
            )[:1]
        if rows:
            self._line(Span("Then:", "strong"))
        for task in sorted(rows, key=lambda task: task.from_):
            self._line(
                f"{day_span(task.from_, task.until)}: ",
                Span(task.task, "strong"),
                self._of(task),
                ".",
                depth=1,
                mark="-",
            )

    def _of(self, task: model.Task) -> str:
        return f" ({task.zone})" if self.many and task.zone else ""

    @staticmethod
    def _when(task: model.Task) -> str:
        if task.latest is not None and task.order_by == task.latest:
            return f"by {day_of(task.latest)} at the latest"
        return day_span(task.from_, task.until)

    def _task(self, task: model.Task) -> None:
        if task.done is not None:
            self._line(
                Span(f"Done on {day_of(task.done)}: ", "good"),
                Span(task.task, "strong"),
                f"{self._of(task)}.",
                mark="-",
            )
            return
        days = day_span(task.from_, task.until)
        self._line(
            Span(f"{days}: ", "strong"),
            Span(task.task, "strong"),
            f"{self._of(task)}. ",
            sentence(task.text),
            mark="-",
        )
        notes = [task.why_then]
        if task.latest is not None and task.latest != task.from_:
            notes.append(f"Begin by {day_of(task.latest)}.")
        if task.every_days is not None and task.from_ != task.until and not self._says_how_often(task):
            notes.append(
                "Every day."
                if round(task.every_days) == 1
                else f"About every {number(round(task.every_days))} days."
            )
        if task.who:
            notes.append(f"Who: {WHO.get(task.who, task.who)}.")
        if task.hours is not None and task.hours.high > 0:
            notes.append(f"Work: {span_of(estimate(task.hours.low), estimate(task.hours.high))} hours.")
        if task.amount is not None:
            amount = convert(task.amount, "kg", "lb") if self.system == "us" else task.amount
            notes.append(
                f"{estimate(amount)} {task.unit.replace('kg', 'lb') if self.system == 'us' else task.unit}."
            )
        if task.needs:
            notes.append(f"Tools: {listed([tool.replace('-', ' ') for tool in task.needs])}.")
        self._line(" ".join(note for note in notes if note), depth=1)
        self._cautions_of(task.cautions)

    def _says_how_often(self, task: model.Task) -> bool:
        """Whether the text of a task says it already, as that of watering does: so many times a day, and only where it is dry."""
        return any(row.text == task.text and row.zone == task.zone for row in self.a.watering)

    def _cautions_of(self, codes: Iterable[str]) -> None:
        """The dangers of a task or of a thing to buy, in their first sentence; they stand whole elsewhere on the page."""
        rows = {row.code: row for row in self.a.cautions}
        for code in codes:
            if code in rows:
                self._line(
                    TAKE_CARE,
                    f"{opening_sentence(rows[code].text)} Who decides: {sentence(rows[code].who_decides)}",
                    depth=1,
                    mark="!",
                )
            else:
                self._line(TAKE_CARE, sentence(code.replace("-", " ")), depth=1, mark="!")

    def _weeks(self) -> None:
        if not self.a.weeks:
            return
        over = [week for week in self.a.weeks if week.hours_short or week.visits_short]
        self._head("Work and water by the week", 2)
        helpers = self._known("means.helpers")
        for week in over:
            said = f"Week of {day_of(week.monday)}: "
            if week.hours_short:
                said += f"{estimate(week.hours.high)} hours of work at the slow end, {estimate(week.hours_short)} more than there are. "
            if week.visits_short:
                visits = number(week.visits_short)
                said += f"{visits} {plural('visit', visits)} to water that nobody can make."
            self._line(Span("Too much: ", "bad"), said.strip(), mark="!")
        if over and helpers not in ("", "0"):
            self._line(f"Hours are of one person; {helpers} {plural('helper', helpers)} share them.")
        wet, timed = any(week.litres for week in self.a.weeks), any(week.water_hours for week in self.a.weeks)
        head = ["Week of", "Hours of work"]
        head += [f"Water, {'gallons' if self.system == 'us' else 'litres'}"] if wet else []
        head += ["Hours of water"] if timed else []
        rows: list[tuple[Span, ...]] = []
        for week in self.a.weeks:
            cells = [
                Span(day_of(week.monday), "strong"),
                Span(span_of(estimate(week.hours.low), estimate(week.hours.high))),
            ]
            litres = (
                convert(week.litres, "litre", "gal") if self.system == "us" and week.litres else week.litres
            )
            cells += [Span(estimate(litres) if litres else "none")] if wet else []
            cells += [Span(estimate(week.water_hours) if week.water_hours else "none")] if timed else []
            rows.append(tuple(cells))
        self.out.append(Grid(tuple(head), tuple(rows)))

    def _tending(self) -> None:
        """Water by stage, hours of play after opening, and the year after."""
        if self.a.watering:
            self._head("Water by stage", 2)
        for row in self.a.watering:
            each = ""
            if row.litres_each is not None:
                amount, unit = (
                    (convert(row.litres_each, "litre", "gal"), "gallons")
                    if self.system == "us"
                    else (row.litres_each, "litres")
                )
                each = f" {estimate(amount)} {unit} each time" + (
                    f", {estimate(row.minutes_each)} minutes of your flow." if row.minutes_each else "."
                )
            self._line(
                Span(f"{day_span(row.from_, row.until)}: ", "strong"),
                *self._where([row.zone]),
                f"{capital(row.stage)}. {row.text}{each}",
                mark="-",
            )
        if self.a.hours_per_week_after_opening:
            self._head("Hours of play after opening", 2)
        for play in self.a.hours_per_week_after_opening:
            self._line(
                Span(f"From {day_of(play.from_)}: ", "strong"), *self._where([play.zone]), play.text, mark="-"
            )
        if self.a.year:
            self._head("The year after", 2)
        same: dict[tuple[str, str], list[str]] = {}
        for year in self.a.year:
            same.setdefault((year.task, year.text), []).append(day_span(year.from_, year.until))
        for (title, text), spans in same.items():
            self._line(Span(f"{title}: ", "strong"), f"{sentence(text)} ({'; '.join(spans)}.)", mark="-")

    def _field_needs(self) -> None:
        """Needs that belong to the site or to a zone, not to one choice."""
        chosen = {
            (option.zone, code)
            for answer in self.a.programme
            for option in self._picked(answer)
            for code in option.needs
        }
        rest = [need for need in self.a.needs if need.text and (need.zone, need.code) not in chosen]
        if not rest:
            return
        self._head("What must come with it")
        by_text: dict[str, list[str]] = {}
        for need in rest:
            by_text.setdefault(need.text, []).append(need.zone)
        for text, zones in by_text.items():
            named = [zone for zone in zones if zone]
            where = (
                f" ({listed(named)})" if self.many and named and len(named) < len(self.a.programme) else ""
            )
            self._line(sentence(text) + where, mark="-")

    def _cautions(self) -> None:
        """Cautions that belong to the site, to several parts, or to none of the choices; those of proposals stand with them."""
        said = {doing.code for doing in self.a.today} | {
            code for code, zones in self.places.items() if len(zones) == 1
        }
        said |= {code for judged in self.a.proposals for code in judged.cautions} - set(self.places)
        rest = [row for row in self.a.cautions if row.code not in said]
        if not rest:
            return
        self._head("Take care")
        with_work = {code for task in self.a.plan for code in task.cautions}
        for row in rest:
            zones = self.places.get(row.code, [])
            if self.depth == "short" and row.code in with_work and not zones:
                # It stands whole beside its task in the full advice.
                self._line(f"{opening_sentence(row.text)} Who decides: {sentence(row.who_decides)}", mark="!")
                continue
            self._caution(row, 0, *(self._where(zones) if len(zones) < len(self.a.programme) else ()))

    def _proposals(self) -> None:
        if not self.a.proposals:
            return
        self._head("What you mean to do")
        same: list[list[model.ProposalJudged]] = []
        for judged in self.a.proposals:
            alike = [group for group in same if group[0].model_copy(update={"asked": judged.asked}) == judged]
            if alike:
                alike[0].append(judged)
            else:
                same.append([judged])
        told = {doing.code for doing in self.a.today} | set(self.places)
        for group in same:
            first = group[0]
            for judged in group:
                held = judged.conditions if judged.judgement == "sound-if" else ()
                verdict = "sound" if judged.judgement == "sound-if" else judged.judgement
                self._line(
                    Span(judged.asked, "strong"),
                    " — ",
                    *verdict_spans(verdict, held or (judged.judgement == "sound-if") * (UNASKED,)),
                    ".",
                    mark=f"={judged.judgement}",
                )
            self._judged(first)
            self._proposal_cautions(first, told)
            told |= set(first.cautions)

    def _judged(self, judged: model.ProposalJudged) -> None:
        """Why, on what conditions, and what would be better."""
        order = ("ruled-out", "lost", "poor", "weak", "doubtful", "strong", "fair")
        reasons = sorted(judged.reasons, key=lambda reason: order.index(reason.grade))
        for reason in reasons if self.depth != "short" else reasons[:3]:
            self._reason(reason, 1)
        only = judged.judgement == "sound-if"
        conditions = judged.conditions or [UNASKED] * only
        shown = conditions[: SHORT_LIST if self.depth == "short" else None]
        for condition in shown:
            self._line(Span(ONLY_IF if only else "Needs: ", "strong"), sentence(condition), depth=1, mark="-")
        self._and_more(len(conditions) - len(shown), 1)
        for better in judged.better:
            self._line(Span("Better: ", "good"), sentence(better), depth=1, mark="-")

    def _proposal_cautions(self, judged: model.ProposalJudged, told: set[str]) -> None:
        """Each caution of a proposal: whole where it stands for the first time, else its first sentence again."""
        rows = {row.code: row for row in self.a.cautions}
        for code in judged.cautions:
            if code not in rows:
                self._line(TAKE_CARE, sentence(code.replace("-", " ")), depth=1, mark="!")
            elif code in told:
                self._line(TAKE_CARE, f"{opening_sentence(rows[code].text)} (More above.)", depth=1, mark="!")
            else:
                self._caution(rows[code], 1, TAKE_CARE)

    def _unknown(self) -> None:
        rows = self.a.unknown
        if not rows:
            return
        self._head("What is not known")
        could = [row for row in rows if row.changes_first_choice is True]
        untried = [row for row in rows if row.changes_first_choice is None]
        settled = [row for row in rows if row.changes_first_choice is False]
        short = self.depth == "short"
        self._questions("This could change the choice:", could)
        self._questions(
            "Whether this could change the choice was not tried out:", untried, SHORT_LIST if short else None
        )
        if short and settled:
            number_of = "One more question is" if len(settled) == 1 else f"{len(settled)} more questions are"
            self._line(f"{number_of} open; no answer would change the choice.")
        else:
            self._questions("No answer to this would change the choice:", settled)

    def _questions(self, title: str, rows: Sequence[model.UnknownRow], most: int | None = None) -> None:
        if not rows:
            return
        self._line(title)
        shown = rows if most is None else rows[:most]
        for row in shown:
            self._line(sentence(row.text), depth=1, mark="-")
        if len(shown) < len(rows):
            self._line(f"and {len(rows) - len(shown)} more; the full advice lists them.", depth=1, mark="-")

    def _trust(self) -> None:
        a = self.a
        self._head("How far to trust this")
        level = Span(
            f"{_LEVELS[a.sure.level]}. ",
            {"firm": "good", "likely": "warn", "open": "warn"}[a.sure.level],  # type: ignore[arg-type]
        )
        self._line(level, sentence(a.sure.why))
        assumed = sum(row.how == "assumed" for row in a.situation)
        if assumed and self.depth == "short":
            what = "One answer was" if assumed == 1 else f"{assumed} answers were"
            self._line(f"{what} assumed, not told. The full advice lists what.")
        if a.valid_until:
            self._line(f"Valid until {day_of(a.valid_until)}. After that, ask again.")
        engines = f" {len(a.knowledge.engines)} engines agreed." if len(a.knowledge.engines) > 1 else ""
        digest = f" ({a.knowledge.digest})" if self.depth == "reasons" else ""
        self._line(f"Knowledge version {a.knowledge.version}{digest}.{engines}")
        self._line(Span(RULER, "strong"))

    # ---------- the full form ----------
    # ---------- what to buy ----------
    def _to_buy(self) -> None:
        """What to buy and the money that is known: a line for each thing, and at greater depth its arithmetic."""
        rows, money = self.a.shopping, self.a.money
        short = self.depth == "short"
        known = money is not None and any(
            (money.rows, money.totals, money.unknown, money.compared, money.failure)
        )
        if not rows and (short or not known):
            return
        self._head("To buy" if rows else "Money")
        for row in rows[:SHORT_LIST] if short else rows:
            self._line(Span(row.item, "strong"), f": {self._bought(row)}", mark="-")
            if not short:
                self._line(sentence(row.how), depth=1)
                if row.cost is not None:
                    self._line(
                        f"Price: {price(row.cost.low, row.cost.high, row.cost.currency)}, {row.cost.how}, {row.cost.year}.",
                        depth=1,
                    )
                if row.ask:
                    self._line(Span("Ask: ", "strong"), sentence(row.ask), depth=1)
                self._cautions_of(row.cautions)
        if short and len(rows) > SHORT_LIST:
            self._line(
                f"and {len(rows) - SHORT_LIST} more; the full advice lists them, with the arithmetic.",
                mark="-",
            )
        if money is not None:
            self._money(money, short)

    def _bought(self, row: model.Purchase) -> str:
        unit = {"l": "litre", "each": "count"}.get(row.unit, row.unit)
        said = exactly(row.amount, unit, self.system, row.amount_low)
        if row.packs:
            said += f", {row.packs:,} × {row.pack}"
        if row.zone and self.many:
            said += f", for {row.zone}"
        return said + (f"; order by {day_of(row.order_by)}." if row.order_by else ".")

    def _money(self, money: model.Money, short: bool) -> None:
        """Totals by kind; at greater depth every row, what has no price, options side by side; and what failure would cost."""
        if money.totals:
            said = "; ".join(
                f"{_KINDS[row.kind]} {price(row.low, row.high, row.currency)}, prices of {row.year}"
                for row in money.totals
            )
            self._line(Span("Known so far: ", "strong"), f"{said}. Ask for quotes.")
        if short:
            if money.unknown:
                how_many = "One thing has" if len(money.unknown) == 1 else f"{len(money.unknown)} things have"
                self._line(f"{how_many} no price yet; the full advice says whom to ask.")
        else:
            for row in money.rows:
                self._line(
                    f"{row.what}{f', {row.zone}' if row.zone and self.many else ''}: {price(row.low, row.high, row.currency)} ({_KINDS[row.kind]}; {row.how}, {row.year}).",
                    depth=1,
                    mark="-",
                )
            if money.unknown:
                self._line(Span("Without a price, or not counted:", "strong"))
            for text in money.unknown:
                self._line(sentence(text), depth=1, mark="-")
            self._side_by_side(money.compared)
        dearest = sorted(money.failure, key=lambda failed: -(failed.high or 0.0))[:1]
        for failed in dearest if short else money.failure:
            self._line(Span("If it fails: ", "warn"), *self._where([failed.zone]), sentence(failed.text))

    def _side_by_side(self, compared: Sequence[model.Compared]) -> None:
        if not compared:
            return
        self._line(Span("The same ground by other ways, grass alone:", "strong"))
        rows: list[tuple[Span, ...]] = []
        for row in compared:
            hours = (
                "not known"
                if row.hours is None
                else span_of(estimate(row.hours.low), estimate(row.hours.high))
            )
            option = self.a.option(row.option)
            cells = [
                short_verdict(row.verdict, option.rests_on if option is not None else ()),
                price(row.low, row.high, row.currency),
                hours,
                day_of(row.full_play_late) if row.full_play_late else "not known",
            ]
            rows.append(
                (
                    Span(f"{row.title}{f', {row.zone}' if self.many else ''}", "strong"),
                    *(Span(cell) for cell in cells),
                )
            )
        self.out.append(
            Grid(("Way", "Verdict", "Money", "Hours of work", "Full play at the latest"), tuple(rows))
        )

    def _season(self) -> None:
        if self.a.season is not None:
            self._head("The season")
            self.out.append(Picture(self.a, self.system))

    def _diagnosis(self) -> None:
        if not self.a.diagnosis:
            return
        self._head("What each part needs")
        same: dict[str, list[str]] = {}
        for row in self.a.diagnosis:
            same.setdefault(row.text, []).append(row.zone)
        for text, zones in same.items():
            self._line(*self._where(zones), sentence(text), mark="-")

    def _options(self) -> None:
        if not self.a.options:
            return
        self._head("All options, and the first reason for each verdict")
        for verdict, title in _GROUPS.items():
            options = [
                option for option in self.a.options if marked(option.verdict, option.rests_on) == verdict
            ]
            if not options:
                continue
            self._head(title, 2)
            by_reason: dict[str, dict[tuple[str, str], list[str]]] = {}
            for same in alike(options):
                starts = days_of([option.start for option in same if option.start])
                named = by_reason.setdefault(first_reason(same[0]), {})
                named.setdefault((without_start(same[0]), starts), []).append(same[0].zone)
            for why, named in by_reason.items():
                self._line(Span(sentence(why), "strong"))
                for (title_, starts), zones in named.items():
                    where = f" ({listed(zones)})" if self.many else ""
                    self._line(f"{title_}{f': {starts}' if starts else ''}{where}", depth=1, mark="-")

    def _checks(self) -> None:
        if not self.a.opening:
            return
        self._head("Checks before it is opened")
        self._line("A date is not a test. It opens when the checks pass.")
        rows = []
        for check in self.a.opening:
            name = check.check + (" (with an instrument)" if check.instrument else "")
            spots = f" Do it at {check.n} places." if check.n and str(check.n) not in check.how else ""
            rows.append(
                (
                    Span(name, "strong"),
                    Span(sentence(check.how) + spots),
                    Span(check.pass_light),
                    Span(check.pass_full),
                )
            )
        self.out.append(Grid(("Check", "How", "Light use", "Full play"), tuple(rows)))

    def _rescue(self) -> None:
        if not self.a.rescue:
            return
        self._head("When it goes wrong")
        rows = tuple(
            (Span(sentence(row.sign), "strong"), Span(sentence(row.look_at)), Span(sentence(row.do)))
            for row in self.a.rescue
        )
        self.out.append(Grid(("Sign", "Look at", "Do"), rows))

    def _assumed(self) -> None:
        rows = [row for row in self.a.situation if row.how != "told"]
        if not rows:
            return
        self._head("What was assumed or worked out")
        for row in rows:
            note = (
                f" ({row.note.replace('-', ' ') if row.key == 'climate' else row.note})" if row.note else ""
            )
            self._line(
                f"{self._key(row.key)}: {value_in_words(row.key, row.value)}, {'assumed' if row.how == 'assumed' else 'worked out'}{note}.",
                mark="-",
            )

    def _key(self, key: str) -> str:
        """A key of the situation in words, a part by its own name."""
        names = {coded(answer.zone): answer.zone for answer in self.a.programme}
        parts = key.split(".")
        if len(parts) > 2 and parts[0] == "zone" and parts[1] in names:
            return f"{names[parts[1]]}: {' '.join(parts[2:]).replace('_', ' ')}"
        return key_in_words(key)

    def _sources(self) -> None:
        if not self.a.sources:
            return
        self._head("Sources")
        for row in self.a.sources:
            key = f"[{row.key}] " if self.depth == "reasons" else ""
            by = ", ".join(part for part in (row.publisher, row.year) if part)
            where = f" {row.where}" if row.where else ""
            self._line(
                f"{key}{sentence(row.title)} {sentence(by)} {capital(SEEN.get(row.seen, row.seen))}.{where}",
                mark="-",
            )

    # ---------- the reasons ----------
    def _chosen(self) -> list[Option]:
        return [option for answer in self.a.programme for option in self._picked(answer)]

    def _grades(self) -> None:
        if self._chosen():
            self._head("Grades of the choice")
            self._line(
                f"From the worst to the best: {', '.join(get_args(model.Grade))}. What nobody told is read at both ends. Options stand in the order of a sound wish, the verdict, the worst ends in this order of criteria, the best ends, like with like, the date, the cost."
            )
        for option in self._chosen():
            self._head(option.title + (f" ({option.zone})" if self.many else ""), 2)
            rows = tuple(
                (
                    Span(CRITERION_NAMES.get(name, name), "strong"), Span(row.grade, _GRADE_STYLE[row.grade]), Span(row.best, _GRADE_STYLE[row.best]),
                    Span(row.reason or "No rule spoke."),
                )
                for name, row in option.grades.items()
            )  # fmt: skip
            self.out.append(Grid(("Criterion", "At worst", "At best", "Reason"), rows))

    def _rules(self) -> None:
        chosen = [option for option in self._chosen() if option.reasons]
        if chosen:
            self._head("Rules behind the grades")
        for option in chosen:
            self._head(option.title + (f" ({option.zone})" if self.many else ""), 2)
            for reason in option.reasons:
                criterion = CRITERION_NAMES.get(reason.criterion, reason.criterion)
                grade = "" if reason.grade == "ruled-out" else f" ({reason.grade})"
                label = f"{_SPEAKS[reason.grade]}{grade}{f', {criterion}' if criterion else ''}: "
                self._line(Span(label, _SPEAKS_STYLE[reason.grade]), sentence(reason.text), mark="-")
                self._line(
                    f"Rules: {', '.join(reason.rules)}. Sources: {', '.join(reason.sources) or 'none'}.",
                    depth=1,
                )
                if reason.open:
                    self._line(f"Not known: {', '.join(reason.open)}.", depth=1)

    def _trace(self) -> None:
        if not self.a.trace:
            return
        self._head("How it followed, step by step")
        for row in self.a.trace:
            facts = ", ".join(f"{name} = {value_said(value)}" for name, value in row.facts.items())
            self._line(
                f"{row.step}. {row.rule}, about {row.about}: {facts + ' → ' if facts else ''}{row.concludes}"
            )


def render_week(
    advice: Advice,
    on: dt.date,
    *,
    width: int = 80,
    ascii_only: bool = False,
    plain: bool = True,
    system: System | None = None,
) -> str:
    """The work of the seven days from a day, each task with how it is done, who does it and its dangers; dangers of today first."""
    blocks = _Talk(advice, "full", system).week(on)
    return _Page(max(width, NARROWEST), False, ascii_only, plain).show(blocks)


@dataclass(frozen=True)
class Standing:
    """One thing that is said of a part beside its tasks: its choice, the other side of a trade, what is done meanwhile, or the next window."""

    kind: Literal["choice", "trade", "meanwhile", "window"]
    code: str
    zone: str
    text: str
    rests_on: tuple[str, ...] = ()
    first: str | None = None
    last: str | None = None
    decide_by: str | None = None


def standings(advice: Advice) -> list[Standing]:
    """What the programme says of each part, for papers that hold rows: in full, in the order of the parts."""
    talk, found = _Talk(advice, "full", None), list[Standing]()
    for place, answer in enumerate(advice.programme, start=1):
        zone = answer.zone
        if answer.option is None:
            found.append(Standing("choice", f"choice/{place}", zone, sentence(answer.text)))
        for n, option in enumerate(talk._picked(answer), start=1):
            role = talk._role(answer, option)
            verdict = "".join(span.text for span in verdict_spans(stands_as(option, role), option.rests_on))
            found.append(
                Standing(
                    "choice",
                    f"choice/{place}/{n}",
                    zone,
                    f"{role}: {option.title} — {verdict}.",
                    tuple(option.rests_on),
                    option.start,
                    None,
                    option.decide_by,
                )
            )
        if answer.instead:
            found.append(Standing("trade", f"trade/{place}", zone, sentence(answer.instead)))
        found += [
            Standing("meanwhile", f"meanwhile/{place}/{n}", zone, sentence(said))
            for n, said in enumerate(answer.meanwhile, start=1)
        ]
        if answer.window is not None:
            w = answer.window
            found.append(
                Standing(
                    "window", f"window/{place}", zone, sentence(w.text), (), w.opens, w.closes, w.decide_by
                )
            )
    return found


# ---------- layout ----------
LONG_WORD: Final = 16
GAP: Final = 3
_RULED_ASCII: Final = box.Box("    \n    \n -- \n    \n    \n    \n    \n    \n", ascii=True)


class _Page:
    """Lays blocks out on a page of a width, with or without colour, boxes and letters beyond ASCII."""

    def __init__(self, width: int, colour: bool, ascii_only: bool, plain: bool) -> None:
        self.width, self.ascii_only, self.plain = width, ascii_only, plain
        self.buffer = io.StringIO()
        # An empty environment: what is printed depends on the arguments alone.
        self.console = Console(
            file=self.buffer, width=width, height=1000, force_terminal=colour, color_system="standard" if colour else None,
            no_color=not colour, force_jupyter=False, force_interactive=False, legacy_windows=False, markup=False, emoji=False, highlight=False,
            soft_wrap=False, _environ={},
        )  # fmt: skip

    def show(self, blocks: Iterable[Block]) -> str:
        """The finished page; lines end without spaces."""
        for block in blocks:
            if isinstance(block, Heading):
                self._heading(block)
            elif isinstance(block, Line):
                self._line(block)
            elif isinstance(block, Picture):
                self._picture(block)
            else:
                widths = self._widths(block)
                if self.plain or self.width < LIST_BELOW or not widths:
                    self._list(block)
                else:
                    self._table(block, widths)
        lines = [
            re.sub(r"(?: |\x1b\[[0-9;]*m)+$", lambda end: end[0].replace(" ", ""), line)
            for line in self.buffer.getvalue().split("\n")
        ]
        return re.sub(r"\n{3,}", "\n\n", "\n".join(lines)).strip("\n") + "\n"

    def _say(self, text: str) -> str:
        text = printable(text)
        return to_ascii(text) if self.ascii_only else text

    def _text(self, spans: Iterable[Span]) -> Text:
        text = Text(overflow="fold")
        for span in spans:
            text.append(self._say(span.text), style=_COLOURS[span.style])
        return text

    def _put(self, text: Text, left: int = 0) -> None:
        self.console.print(Padding(text, (0, 0, 0, min(left, self.width // 3))))

    def _heading(self, heading: Heading) -> None:
        self.console.print()
        if heading.level == 2 or self.plain:
            self._put(self._text([Span(heading.text, "strong")]))
            return
        # The title and the names of parts hold a user's words, which stay as written; section names are our own.
        said = heading.text if heading.level == 0 else heading.text.upper()
        self._put(self._text([Span(said, "strong")]))
        rule = (
            ("=" if heading.level == 0 else "-") if self.ascii_only else ("═" if heading.level == 0 else "─")
        )
        self._put(Text(rule * self.width))

    def _mark(self, mark: str) -> str:
        if mark.startswith("="):
            if self.plain:
                return ""
            return (_ASCII_MARKS if self.ascii_only else _MARKS)[mark[1:]]
        return "" if mark == "!" and self.plain else mark

    def _line(self, line: Line) -> None:
        mark = self._mark(line.mark)
        left = line.depth * 2 + line.more
        if not mark:
            self._put(self._text(line.spans), left)
            return
        row = Table.grid(padding=0)
        row.add_column(width=cell_len(mark) + 1, no_wrap=True)
        row.add_column(overflow="fold")
        style: Style = (
            VERDICT_STYLES.get(line.mark[1:], "")
            if line.mark.startswith("=")
            else ("bad" if mark == "!" or mark[0].isdigit() else "")
        )
        row.add_row(self._text([Span(mark, style)]), self._text(line.spans))
        self.console.print(Padding(row, (0, 0, 0, min(left, self.width // 3))))

    def _picture(self, picture: Picture) -> None:
        from decide.report.season_picture import season_text

        for line in season_text(
            picture.advice,
            width=self.width,
            ascii_only=self.ascii_only,
            plain=self.plain,
            system=picture.system,
        ):
            self._put(Text(line))

    def _list(self, grid: Grid) -> None:
        for row in grid.rows:
            for name, cell in zip(grid.head, row, strict=True):
                first = name == grid.head[0]
                self._line(Line((Span(f"{name}: ", "strong"), cell), 0 if first else 1, "-" if first else ""))

    def _widths(self, grid: Grid) -> list[int]:
        """A width for each column that breaks no common word; none where the page is too narrow for that."""
        columns = [[head, *(self._say(row[n].text) for row in grid.rows)] for n, head in enumerate(grid.head)]
        least = [
            min(LONG_WORD, max(cell_len(word) for cell in cells for word in cell.split() or [""]))
            for cells in columns
        ]
        want = [math.isqrt(max(cell_len(cell) for cell in cells)) for cells in columns]
        spare = self.width - sum(least) - GAP * (len(columns) - 1)
        if spare < 0:
            return []
        given = [spare * share // sum(want) for share in want]
        given[want.index(max(want))] += spare - sum(given)
        return [first + more for first, more in zip(least, given, strict=True)]

    def _table(self, grid: Grid, widths: Sequence[int]) -> None:
        table = Table(
            box=_RULED_ASCII if self.ascii_only else box.SIMPLE_HEAD,
            show_edge=False,
            pad_edge=False,
            leading=1,
        )
        for head, width in zip(grid.head, widths, strict=True):
            table.add_column(self._text([Span(head, "strong")]), overflow="fold", width=width)
        for row in grid.rows:
            table.add_row(*(self._text([cell]) for cell in row))
        self.console.print(table)
