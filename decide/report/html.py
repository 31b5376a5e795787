"""The advice as one HTML page: a sheet to print and hang up first, then every detail; no script, no other file."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from html import escape
from typing import Final

from decide.model import advice as model
from decide.model.advice import Advice, Option
from decide.model.units import System, convert
from decide.model.wording import listed, number
from decide.model.words import capital, printable
from decide.plan.tasks import this_week
from decide.report.blocks import Block, Grid, Heading, Line, Picture, Span
from decide.report.choices import (
    ONLY_IF,
    VERDICT_STYLES,
    conditions_in_short,
    decide_words,
    marked,
    short_verdict,
    stands_as,
    without_start,
)
from decide.report.phrases import (
    between,
    date_of,
    day_of,
    day_span,
    estimate,
    opening_sentence,
    price,
    sentence,
    span_of,
)
from decide.report.season_picture import season_svg
from decide.report.text import RULER, SEEN, STAGES, STANDBY_SHOWN, WHO, _Talk

BOX: Final = '<span class="box" aria-hidden="true">☐</span>'
DONE: Final = '<span class="box" aria-hidden="true">☑</span>'
# More parts than this have no column of their own in the table of checks.
MOST_PARTS: Final = 3

_STYLE: Final = """
:root { --ink: #1b1b1b; --soft: #4d4d4d; --line: #8a8a8a; --ground: #ffffff; --head: #f0f0ec; --good: #14532d; --warn: #6b3f00; --bad: #8a1515; --link: #0b4a75; }
* { box-sizing: border-box; }
html { background: var(--ground); color: var(--ink); font: 100%/1.45 "Liberation Sans", Arial, Helvetica, sans-serif; }
body { margin: 0 auto; max-width: 64rem; padding: 1rem; overflow-wrap: break-word; }
h1, h2, h3 { line-height: 1.2; margin: 1.2em 0 .4em; }
h1 { font-size: 1.7rem; margin-top: 0; }
h2 { font-size: 1.3rem; border-bottom: 2px solid var(--ink); padding-bottom: .15em; margin-top: 1.8em; }
h3 { font-size: 1.05rem; }
p { margin: .3em 0; }
ul, ol { margin: .3em 0; padding-left: 1.4em; }
li { margin: .15em 0; }
.in { margin-left: 1.4em; }
a { color: var(--link); }
.good { color: var(--good); } .warn { color: var(--warn); } .bad { color: var(--bad); }
.soft, .source { color: var(--soft); font-size: .85em; }
.box { font-family: "DejaVu Sans", "Segoe UI Symbol", "Apple Symbols", sans-serif; font-size: 1.15em; line-height: 1; }
.ticks { list-style: none; padding-left: 0; }
.ticks li { padding-left: 1.6em; text-indent: -1.6em; }
.ticks li > * { text-indent: 0; }
.danger { border: 3px solid var(--bad); padding: .2em .8em .5em; margin: .6em 0; }
.danger h3 { margin-top: .3em; color: var(--bad); }
.wide { overflow-x: auto; margin: .6em 0 1em; }
table { border-collapse: collapse; width: 100%; }
.plan, .buy, .checks, .choices { min-width: 44rem; }
.plan th:nth-child(1) { width: 16%; } .plan td:nth-child(2) { width: 15%; } .plan td:nth-child(4) { width: 15%; } .plan td:nth-child(5) { width: 22%; }
.buy th:nth-child(1) { width: 18%; } .buy td:nth-child(2) { width: 12%; } .buy td:nth-child(3) { width: 10%; } .buy td:nth-child(5) { width: 20%; }
caption { text-align: left; font-weight: bold; padding: .3em 0; }
.named { position: absolute; width: 1px; height: 1px; overflow: hidden; clip-path: inset(50%); white-space: nowrap; }
th, td { border: 1px solid var(--line); padding: .3em .45em; text-align: left; vertical-align: top; overflow-wrap: break-word; }
thead th { background: var(--head); }
td p, th p { margin: 0 0 .25em; }
td.blank { min-width: 6.5rem; } td.blank p { white-space: nowrap; }
svg { max-width: 100%; height: auto; }
figure { margin: .5em 0; }
nav ul { columns: 3 11rem; }
footer { margin-top: 2em; border-top: 2px solid var(--ink); padding-top: .5em; }
@media screen and (prefers-color-scheme: dark) {
  :root { --ink: #ececea; --soft: #bdbdb8; --line: #7a7a76; --ground: #161817; --head: #262a28; --good: #9fe0b4; --warn: #f2c879; --bad: #ffb3a9; --link: #9ccff2; }
}
@media print {
  @page { margin: 11mm; }
  :root { --ink: #000; --soft: #222; --line: #555; --ground: #fff; --head: #eee; --good: #000; --warn: #000; --bad: #000; --link: #000; }
  html { font-size: 9pt; line-height: 1.3; }
  body { max-width: none; padding: 0; }
  nav { display: none; }
  a { text-decoration: none; }
  h1 { font-size: 14pt; } h2 { font-size: 12pt; margin-top: 1.2em; } h3 { font-size: 10pt; }
  h1, h2, h3, caption { break-after: avoid; }
  li, tr, figure, .danger { break-inside: avoid; }
  tbody tr:first-child { break-before: avoid; }
  li:has(li) { break-inside: auto; }
  .wide { overflow: visible; }
  table { font-size: 8.4pt; line-height: 1.22; }
  th, td { padding: .18em .35em; }
  .plan, .buy, .checks, .choices { min-width: 0; }
  td.blank { min-width: 0; }
  .small { columns: 2; column-gap: 6mm; font-size: 7.8pt; line-height: 1.2; }
  header p { margin: 0; }
  .sheet { font-size: 8.7pt; line-height: 1.18; break-after: page; }
  .sheet h2 { display: none; } .sheet h3 { margin: .4em 0 .1em; } .sheet .wide { margin: .3em 0; }
  .sheet .two { columns: 2; column-gap: 6mm; margin: 0; }
  .sheet li { margin: .05em 0; }
  .sheet table { font-size: 8.2pt; }
}
"""


def page(advice: Advice, system: System | None = None) -> str:
    """One HTML page that stands alone: it reads without style sheets, prints on A4 and Letter, and says all that the full text says.

    `system` is "metric" or "us"; left out, the country of the advice decides. A user's words are only ever words.
    """
    return _Page(advice, system).html()


@dataclass(frozen=True)
class _Cited(Span):
    """Keys of the sources behind the words before it."""

    keys: tuple[str, ...] = ()


@dataclass
class _Node:
    """A line and the lines that stand under it."""

    line: Line
    under: list[_Node] = field(default_factory=list)


def _says(text: str) -> str:
    return escape(printable(text))


def _slug(text: str) -> str:
    return re.sub(r"[^A-Za-z0-9.-]+", "-", text) or "part"


class _Page(_Talk):
    """Lays one advice out as HTML; what no table says better is said by the blocks of the text."""

    def __init__(self, advice: Advice, system: System | None) -> None:
        super().__init__(advice, "full", system)
        self.cautions = {row.code: row for row in advice.cautions}
        self.known_sources = {row.key for row in advice.sources}
        self.regions = 0

    def html(self) -> str:
        """The whole page."""
        title, *first = self._blocks(self._opening_words)
        assert isinstance(title, Heading)
        opening = "\n".join(f"<p>{self._spans(line.spans)}</p>" for line in first if isinstance(line, Line))
        sheet = self._sheet()
        sections = [(name, heading, body) for name, heading, body in self._sections() if body]
        contents = "".join(
            f'<li><a href="#{name}">{_says(heading)}</a></li>' for name, heading, _ in sections
        )
        details = "\n".join(
            f'<section id="{name}" aria-labelledby="{name}-head">\n<h2 id="{name}-head">{_says(heading)}</h2>\n{body}\n</section>'
            for name, heading, body in sections
        )
        return (
            '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n<meta name="viewport" content="width=device-width, initial-scale=1">\n'
            "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'\">\n"
            f'<meta name="color-scheme" content="light dark">\n<title>{_says(title.text)}</title>\n<style>{_STYLE}</style>\n</head>\n<body>\n'
            f"<header>\n<h1>{_says(title.text)}</h1>\n{opening}\n</header>\n<main>\n{sheet}\n"
            f'<nav aria-labelledby="contents-head">\n<h2 id="contents-head">More on this page</h2>\n<ul>{contents}</ul>\n</nav>\n{details}\n</main>\n'
            f"<footer>\n<p><strong>{_says(RULER)}</strong></p>\n</footer>\n</body>\n</html>\n"
        )

    def _sections(self) -> list[tuple[str, str, str]]:
        """Every section after the sheet: its name, its heading and its body."""
        return [
            ("goes", "How it goes", self._said(self._how_it_goes)),
            ("why-bare", "Why it is bare", self._said(self._causes)),
            ("choice", "What to do, and why", self._said(self._programme)),
            ("plan", "What to do when", self._plan_tables()),
            ("buy", "What to buy", self._buy_table()),
            ("money", "Money", self._said(self._all_money, first="")),
            ("needs", "What must come with it", self._said(self._field_needs)),
            ("care", "Take care, and who decides", self._care()),
            ("ideas", "What you mean to do", self._said(self._proposals)),
            ("opening", "Checks before it is opened", self._checks_table()),
            ("rescue", "When it goes wrong", self._rescue_table()),
            ("unknown", "What is not known", self._said(self._unknown)),
            ("trust", "How far to trust this", self._said(self._trust)),
            ("season", "The season", self._said(self._season)),
            ("diagnosis", "What each part needs", self._said(self._diagnosis)),
            (
                "options",
                "All options, and the first reason for each verdict",
                _small(self._said(self._options)),
            ),
            ("assumed", "What was assumed or worked out", self._said(self._assumed)),
            ("sources", "Sources, and how each was seen", self._source_list()),
        ]

    # ---------- the sheet ----------
    def _sheet(self) -> str:
        parts = [
            self._dangers(),
            self._state(),
            self._choice_table(),
            self._standby_list(),
            self._to_do(),
            self._to_get(),
            self._cares(),
            f"<p><strong>{_says(RULER)}</strong>{self._valid()} What each line rests on stands on the pages after this.</p>",
        ]
        body = "\n".join(part for part in parts if part)
        return f'<section class="sheet" id="sheet" aria-labelledby="sheet-head">\n<h2 id="sheet-head">On one sheet</h2>\n{body}\n</section>'

    def _valid(self) -> str:
        return f" Valid until {_says(day_of(self.a.valid_until))}." if self.a.valid_until else ""

    def _dangers(self) -> str:
        rows = "".join(
            f"<li><strong>{_says(sentence(row.text))}</strong>{self._who(row.who_decides)}</li>"
            for row in self.a.today
        )
        return (
            f'<div class="danger">\n<h3>Today, before anything else</h3>\n<ol>{rows}</ol>\n</div>'
            if rows
            else ""
        )

    def _state(self) -> str:
        """What was seen and what to do about it today, and whether each part may open."""
        rows = [
            f"<li>{self._spans(self._where([row.zone]))}{_says(sentence(row.sign))} <strong>Do today:</strong> {_says(sentence(row.do))}</li>"
            for row in self.a.signs_seen
        ]
        rows += [
            f"<li>{self._spans(self._where([row.zone]))}May it open today? Light use: <strong>{_says(row.light)}</strong>. Full play: <strong>{_says(row.full)}</strong>.</li>"
            for row in self.a.open_now
        ]
        return f"<h3>How it goes</h3>\n<ul>{''.join(rows)}</ul>" if rows else ""

    @staticmethod
    def _who(who: str) -> str:
        return f" Who decides: {_says(sentence(who))}" if who else ""

    def _choice_table(self) -> str:
        rows: list[list[str]] = []
        for answer in self.a.programme:
            area = self._area(answer.area_m2)
            name = _says(answer.zone) + (f' <span class="soft">{_says(area)}</span>' if area else "")
            picked = self._picked(answer)
            for option in picked:
                role = self._role(answer, option)
                stands = stands_as(option, role)
                verdict = f'<span class="{VERDICT_STYLES[marked(stands, option.rests_on)]}">{_says(short_verdict(stands, option.rests_on))}</span>'
                choice = f"{_says(role)}: <strong>{_says(without_start(option))}</strong> ({verdict}). {_says(self._begun_again(answer, option))}".rstrip()
                if option.rests_on:
                    choice += f" {_says(ONLY_IF)}{_says(sentence(conditions_in_short(option.rests_on)))}"
                rows.append(
                    [
                        name,
                        choice,
                        _says(day_of(option.start)) if option.start else "–",
                        self._days_of(option.light_use),
                        self._days_of(option.full_play),
                        _says(decide_words(option)) or "–",
                    ]
                )
            if not picked:
                rows.append([name, _says(sentence(answer.text)), "–", "–", "–", "–"])
            elif answer.option is None:
                rows[-1][1] = f"{_says(opening_sentence(answer.text))} {rows[-1][1]}"
        return self._table(
            "The choice for each part",
            ["Part", "Do this", "Start", "Light use", "Full play", "Decide by"],
            rows,
            "choices",
        )

    def _standby_list(self) -> str:
        """The other side of each trade, what is done this season meanwhile, and the next real time for new grass."""
        rows: list[str] = []
        for answer in self.a.programme:
            said = [
                answer.instead,
                *answer.meanwhile[:STANDBY_SHOWN],
                answer.window.text if answer.window is not None else "",
            ]
            rows += [
                f"<li>{self._spans(self._where([answer.zone]))}{_says(sentence(text))}</li>"
                for text in said
                if text
            ]
        return f'<h3>Meanwhile, this season</h3>\n<ul class="two">{"".join(rows)}</ul>' if rows else ""

    @staticmethod
    def _days_of(days: model.DayRange | None) -> str:
        said = between(days).rstrip(".")
        return "–" if days is None else _says(capital(said))

    def _to_do(self) -> str:
        if not self.a.plan:
            return ""
        today = date_of(self._known("dates.today"))
        week = this_week(self.a, today) if today is not None else []
        clashes = "".join(
            f'<p><strong class="bad">Does not fit:</strong> {self._spans(self._where([clash.zone]))}{_says(sentence(clash.text))}</p>'
            for clash in self.a.clashes
        )
        now = "".join(
            f"<li>{self._tick(task)} <strong>{_says(task.task)}</strong>{_says(self._of(task))}, {_says(self._when(task))}.</li>"
            for task in week
        )
        said = (
            f'{clashes}<ul class="ticks two">{now}</ul>'
            if now
            else f"{clashes}<p>Nothing has to be done this week.</p>"
        )
        self.out = []
        self._next_dates(week)
        dates = [block for block in self.out if isinstance(block, Line) and block.mark]
        later = "".join(f"<li>{self._spans(line.spans)}</li>" for line in dates)
        return f"<h3>This week</h3>\n{said}" + (
            f'\n<h3>The next dates</h3>\n<ul class="two">{later}</ul>' if later else ""
        )

    @staticmethod
    def _tick(task: model.Task) -> str:
        return f'{DONE}<span class="named">Done: </span>' if task.done else BOX

    def _to_get(self) -> str:
        rows = []
        for row in self.a.shopping:
            rows.append(f"<li>{BOX} <strong>{_says(row.item)}</strong>: {_says(self._bought(row))}</li>")
        return f'<h3>To get</h3>\n<ul class="ticks two">{"".join(rows)}</ul>' if rows else ""

    def _cares(self) -> str:
        """Each caution in its first sentence with who decides; those of today stand whole above, all stand whole after the sheet."""
        today = {row.code for row in self.a.today}
        rows = [
            f"<li><strong>{_says(opening_sentence(row.text))}</strong>{self._who(row.who_decides)}</li>"
            for row in self.a.cautions if row.code not in today
        ]  # fmt: skip
        return f'<h3>Take care</h3>\n<ul class="two">{"".join(rows)}</ul>' if rows else ""

    # ---------- tables of the details ----------
    def _plan_tables(self) -> str:
        if not self.a.plan:
            return ""
        self.out = []
        for clash in self.a.clashes:
            self._line(
                Span("Does not fit: ", "bad"), *self._where([clash.zone]), sentence(clash.text), mark="!"
            )
        if self.a.plan_decide_by:
            self._field("Begin by", f"{day_of(self.a.plan_decide_by)}, to keep these dates.", 0)
        parts = [self._flow(self.out)]
        for stage, title in STAGES.items():
            rows = [self._task_row(task) for task in self.a.plan if task.stage == stage]
            if rows:
                parts.append(
                    self._table(title, ["Task", "When", "How", "Who, with what", "Take care"], rows, "plan")
                )
        parts.append(self._said(self._weeks, first=""))
        if self.a.watering:
            rows = [self._water_row(row) for row in self.a.watering]
            parts.append(
                "<h3>Water by stage</h3>"
                + self._table("Water by stage", ["Stage", "When", "How"], rows, named=True)
            )
        parts.append(self._said(self._after, first=""))
        return "\n".join(part for part in parts if part)

    def _after(self) -> None:
        """Hours of play after opening, and the year after, as the text says them."""
        whole, self.a = self.a, self.a.model_copy(update={"watering": []})
        self._tending()
        self.a = whole

    def _task_row(self, task: model.Task) -> list[str]:
        when = [f"{day_span(task.from_, task.until)}."]
        if task.latest is not None and task.latest != task.from_:
            when.append(f"Begin by {day_of(task.latest)}.")
        if task.order_by is not None and task.order_by != task.latest:
            when.append(f"Order or ask by {day_of(task.order_by)}.")
        if task.every_days is not None and task.from_ != task.until and not self._says_how_often(task):
            when.append(
                "Every day."
                if round(task.every_days) == 1
                else f"About every {number(round(task.every_days))} days."
            )
        if task.done:
            when.append(f"Done on {day_of(task.done)}.")
        who = [f"{capital(WHO.get(task.who, task.who))}."] if task.who else []
        if task.hours is not None and task.hours.high > 0:
            who.append(f"{capital(span_of(estimate(task.hours.low), estimate(task.hours.high)))} hours.")
        if task.needs:
            who.append(f"Tools: {listed([tool.replace('-', ' ') for tool in task.needs])}.")
        how = [sentence(task.text), task.why_then]
        if task.amount is not None:
            amount = convert(task.amount, "kg", "lb") if self.system == "us" else task.amount
            how.append(
                f"{estimate(amount)} {task.unit.replace('kg', 'lb') if self.system == 'us' else task.unit}."
            )
        name = f"{self._tick(task)} {_says(task.task + self._of(task))}"
        return [
            name,
            _paragraphs(when),
            _paragraphs(how) + self._keys(task.sources),
            _paragraphs(who),
            self._beside(task.cautions),
        ]

    def _beside(self, codes: Iterable[str]) -> str:
        """The cautions of a task or a thing to buy, in their first sentence, with who decides."""
        said = []
        for code in codes:
            row = self.cautions.get(code)
            first, who = (
                (sentence(code.replace("-", " ")), "")
                if row is None
                else (opening_sentence(row.text), self._who(row.who_decides))
            )
            said.append(f'<p><strong class="warn">{_says(first)}</strong>{who}</p>')
        return "".join(said) or "–"

    def _water_row(self, row: model.Watering) -> list[str]:
        self.out = []
        whole, self.a = (
            self.a,
            self.a.model_copy(update={"watering": [row], "hours_per_week_after_opening": [], "year": []}),
        )
        self._tending()
        self.a = whole
        line = next(block for block in self.out if isinstance(block, Line))
        name = capital(row.stage) + (f" ({row.zone})" if self.many and row.zone else "")
        return [
            _says(name),
            _says(day_span(row.from_, row.until)),
            _says(line.spans[-1].text.removeprefix(f"{capital(row.stage)}. ")) + self._keys(row.sources),
        ]

    def _all_money(self) -> None:
        if self.a.money is not None:
            self._money(self.a.money, short=False)

    def _buy_table(self) -> str:
        rows = []
        for row in self.a.shopping:
            how = [sentence(row.how)]
            if row.cost is not None:
                how.append(
                    f"Price: {price(row.cost.low, row.cost.high, row.cost.currency)}, {row.cost.how}, {row.cost.year}."
                )
            if row.ask:
                how.append(f"Ask: {sentence(row.ask)}")
            name = row.item + (f" ({row.zone})" if self.many and row.zone else "")
            rows.append(
                [
                    f"{BOX} {_says(name)}",
                    _says(self._bought(row.model_copy(update={"zone": "", "order_by": None}))),
                    _says(day_of(row.order_by)) if row.order_by else "–",
                    _paragraphs(how) + self._keys(row.sources),
                    self._beside(row.cautions),
                ]
            )
        return (
            self._table(
                "To buy or to have delivered",
                ["Thing", "How much", "Order by", "The arithmetic, and what to ask", "Take care"],
                rows,
                "buy",
            )
            if rows
            else ""
        )

    def _care(self) -> str:
        rows = []
        for row in self.a.cautions:
            zones = self.places.get(row.code, [])
            where = self._spans(self._where(zones if len(zones) < len(self.a.programme) else ()))
            rows.append(
                f"<li>{where}{_says(sentence(row.text))}<p><strong>Who decides:</strong> {_says(sentence(row.who_decides))}</p>{self._keys(row.sources)}</li>"
            )
        known = {code for option in self._chosen() for code in option.cautions} - set(self.cautions)
        rows += [f"<li>{_says(sentence(code.replace('-', ' ')))}</li>" for code in sorted(known)]
        return f"<ul>{''.join(rows)}</ul>" if rows else ""

    def _checks_table(self) -> str:
        if not self.a.opening:
            return ""
        zones = [answer.zone for answer in self.a.programme if self._picked(answer)]
        columns = (
            [f"Found in {zone}" for zone in zones]
            if self.many and 1 < len(zones) <= MOST_PARTS
            else ["Found"]
        )
        ticks = f"<p>{BOX} light use</p><p>{BOX} full play</p>"
        rows = []
        for check in self.a.opening:
            name = check.check + (" (with an instrument)" if check.instrument else "")
            spots = f" Do it at {check.n} places." if check.n and str(check.n) not in check.how else ""
            rows.append(
                [
                    _says(name),
                    _says(sentence(check.how) + spots) + self._keys(check.sources),
                    _says(check.pass_light),
                    _says(check.pass_full),
                    *[ticks] * len(columns),
                ]
            )
        said = "<p>A date is not a test. It opens when the checks pass. Write what you found and the day, and tick what it is good for.</p>"
        return said + self._table(
            "Opening checks",
            ["Check", "How", "Light use", "Full play", *columns],
            rows,
            "checks",
            blank=len(columns),
        )

    def _rescue_table(self) -> str:
        rows = [
            [
                _says(sentence(row.sign)),
                _says(sentence(row.look_at)),
                _says(sentence(row.do)) + self._keys(row.sources),
            ]
            for row in self.a.rescue
        ]
        return (
            self._table("Signs that it fails, and what to do", ["Sign", "Look at", "Do"], rows)
            if rows
            else ""
        )

    def _source_list(self) -> str:
        rows = []
        for row in self.a.sources:
            by = sentence(", ".join(part for part in (row.publisher, row.year) if part))
            seen = capital(SEEN.get(row.seen, row.seen))
            rows.append(
                f'<li id="source-{_slug(row.key)}"><strong>{_says(row.key)}</strong>: {_says(sentence(row.title))} {_says(by)} {_says(sentence(seen))} {_says(row.where)}</li>'
            )
        return _small(f"<ul>{''.join(rows)}</ul>") if rows else ""

    # ---------- from blocks to HTML ----------
    def _reason(self, reason: model.Reason, depth: int) -> None:
        super()._reason(reason, depth)
        line = self.out[-1]
        assert isinstance(line, Line)
        self.out[-1] = Line(
            (*line.spans, _Cited("", "", tuple(reason.sources))), line.depth, line.mark, line.more
        )

    def _zone_cautions(self, answer: model.Answer, picked: Sequence[Option]) -> None:  # noqa: ARG002
        """Beside the choice in their first sentence: they stand whole under "Take care"."""
        self._cautions_of(dict.fromkeys(code for option in picked for code in option.cautions))

    def _blocks(self, say: Callable[[], None]) -> list[Block]:
        self.out = []
        say()
        return self.out

    def _said(self, say: Callable[[], None], first: str | None = None) -> str:
        """What a part of the text says, as HTML; its own first heading is dropped, since the section has one."""
        blocks = self._blocks(say)
        if first is None and blocks and isinstance(blocks[0], Heading):
            blocks = blocks[1:]
        return self._flow(blocks)

    def _flow(self, blocks: Sequence[Block]) -> str:
        out: list[str] = []
        lines: list[Line] = []
        caption = ""
        for block in [*blocks, None]:
            if isinstance(block, Line):
                lines.append(block)
                continue
            if lines:
                out.append(self._nested(_tree(lines)))
                lines = []
            if isinstance(block, Heading):
                caption = block.text
                out.append(f"<h{block.level + 1}>{_says(block.text)}</h{block.level + 1}>")
            elif isinstance(block, Grid):
                rows = [
                    [self._plain(cell) if n == 0 else self._spans([cell]) for n, cell in enumerate(row)]
                    for row in block.rows
                ]
                out.append(self._table(caption or "Figures", list(block.head), rows, named=True))
            elif isinstance(block, Picture):
                svg = season_svg(block.advice, block.system)
                out.append(
                    f"<figure>\n{svg}<figcaption>A normal year at the place, and where the leading options stand in it.</figcaption>\n</figure>"
                    if svg
                    else ""
                )
        return "\n".join(out)

    def _nested(self, nodes: Sequence[_Node]) -> str:
        """Marked lines as lists, others as paragraphs, what stands under a line inside it."""
        out: list[str] = []
        kind = ""
        for node in nodes:
            mark = node.line.mark
            wanted = "" if not mark else "ol" if mark[0].isdigit() else "ul"
            if wanted != kind:
                out.append((f"</{kind}>" if kind else "") + (f"<{wanted}>" if wanted else ""))
                kind = wanted
            under = self._nested(node.under)
            said = self._spans(node.line.spans)
            if wanted:
                out.append(f"<li>{said}{under}</li>")
            else:
                out.append(f"<p>{said}</p>" + (f'<div class="in">{under}</div>' if under else ""))
        return "".join(out) + (f"</{kind}>" if kind else "")

    def _spans(self, spans: Iterable[Span]) -> str:
        return "".join(
            self._keys(span.keys) if isinstance(span, _Cited) else self._span(span) for span in spans
        )

    @staticmethod
    def _span(span: Span) -> str:
        said = _says(span.text)
        if not span.style or not span.text.strip():
            return said
        kind = "" if span.style == "strong" else f' class="{span.style}"'
        return f"<strong{kind}>{said}</strong>"

    @staticmethod
    def _plain(span: Span) -> str:
        return _says(span.text)

    def _keys(self, keys: Iterable[str]) -> str:
        named = [
            f'<a href="#source-{_slug(key)}">{_says(key)}</a>' if key in self.known_sources else _says(key)
            for key in keys
        ]
        return f' <span class="source">[{", ".join(named)}]</span>' if named else ""

    def _table(
        self,
        caption: str,
        head: Sequence[str],
        rows: Sequence[Sequence[str]],
        kind: str = "",
        *,
        named: bool = False,
        blank: int = 0,
    ) -> str:
        """A table with a caption and a heading for each column and row; it scrolls by itself where the screen is narrow.

        `named` hides the caption where a heading above says the same; `blank` columns at the end are to be written in.
        """
        self.regions += 1
        label = f"table-{self.regions}"
        heads = "".join(f'<th scope="col">{_says(name)}</th>' for name in head)
        body = []
        for row in rows:
            cells = [
                f'<td class="blank">{cell}</td>' if n >= len(row) - blank else f"<td>{cell}</td>"
                for n, cell in enumerate(row)
            ]
            body.append(f'<tr><th scope="row">{row[0]}</th>{"".join(cells[1:])}</tr>')
        shown = ' class="named"' if named else ""
        return (
            f'<div class="wide" role="region" aria-labelledby="{label}" tabindex="0">\n<table{f" class={chr(34)}{kind}{chr(34)}" if kind else ""}>\n'
            f'<caption id="{label}"{shown}>{_says(caption)}</caption>\n<thead><tr>{heads}</tr></thead>\n<tbody>\n'
            + "\n".join(body)
            + "\n</tbody>\n</table>\n</div>"
        )


def _small(body: str) -> str:
    """A long list that is printed small, in two columns."""
    return f'<div class="small">{body}</div>' if body else ""


def _paragraphs(texts: Iterable[str]) -> str:
    return "".join(f"<p>{_says(said)}</p>" for said in texts if said) or "–"


def _tree(lines: Sequence[Line]) -> list[_Node]:
    """Lines as a tree: each stands under the last line before it that is less deep."""
    top: list[_Node] = []
    path: list[_Node] = []
    for line in lines:
        node = _Node(line)
        while path and path[-1].line.depth >= line.depth:
            path.pop()
        (path[-1].under if path else top).append(node)
        path.append(node)
    return top
