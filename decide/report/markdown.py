"""The advice as Markdown, for the minutes of a committee: what is put to it first, then all that the text says."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final

from decide.model import advice as model
from decide.model.advice import Advice
from decide.model.units import System
from decide.model.words import printable
from decide.report.blocks import Block, Grid, Heading, Line, Picture, Span
from decide.report.choices import conditions_in_short, decide_words, short_verdict, stands_as
from decide.report.phrases import between, estimate, price, sentence, span_of
from decide.report.season_picture import season_sentences
from decide.report.text import Depth, _Talk

_SPECIAL: Final = re.compile(r"([\\`*_{}\[\]<>#|~&$])")
_LEADING: Final = re.compile(r"^(?:([-+=])|(\d+)([.)])(?=\s|$))")


def render_markdown(advice: Advice, *, depth: Depth = "full", system: System | None = None) -> str:
    """The advice as Markdown (CommonMark with tables). A user's words are only ever words in it."""
    return _markdown(_Notes(advice, depth, system).blocks())


class _Notes(_Talk):
    """The text of the advice with a table for the committee after its first lines."""

    def _today(self) -> None:
        super()._today()
        self._head("What is put to you")
        rows = tuple(row for answer in self.a.programme for row in self._asked(answer))
        self.out.append(
            Grid(
                ("Part", "Proposal", "Verdict", "Only if", "Full play", "Decide by", "Money known", "Work"),
                rows,
            )
        )
        left = [] if self.a.money is None else self.a.money.unknown
        if left:
            self._line("The money is not whole. What has no price, and whom to ask, stands with what to buy.")

    def _asked(self, answer: model.Answer) -> list[tuple[Span, ...]]:
        zone = Span(answer.zone, "strong")
        rows: list[tuple[Span, ...]] = []
        for option in self._picked(answer):
            cost, hours = option.cost, option.labour_hours
            money = (
                "not known"
                if cost is None
                else f"{price(cost.low, cost.high, cost.currency)}, prices of {cost.year} ({cost.how.rstrip('.')})"
            )
            work = (
                "not known"
                if hours is None
                else f"{span_of(estimate(hours.low), estimate(hours.high))} hours"
            )
            full = between(option.full_play).rstrip(".")
            by = decide_words(option) or "no set day"
            role = self._role(answer, option)
            verdict = short_verdict(stands_as(option, role), option.rests_on)
            rests_on = conditions_in_short(option.rests_on) or "–"
            rows.append(
                (
                    zone,
                    *(
                        Span(said)
                        for said in (f"{role}: {option.title}", verdict, rests_on, full, by, money, work)
                    ),
                )
            )
        return rows or [(zone, Span(sentence(answer.text)), *[Span("–")] * 6)]


# ---------- from blocks to Markdown ----------
def _inline(text: str) -> str:
    return _SPECIAL.sub(r"\\\1", printable(text))


def _escaped(text: str) -> str:
    """Words that begin a line, as Markdown shows them literally: no emphasis, links, lists, code or HTML out of a user's text."""
    return _LEADING.sub(lambda m: f"\\{m[1]}" if m[1] else f"{m[2]}\\{m[3]}", _inline(text).lstrip())


def _emphasised(spans: Sequence[Span]) -> str:
    said: list[str] = []
    for span in spans:
        part = _inline(span.text) if said else _escaped(span.text)
        core = part.strip()
        if span.style and core:
            before, after = part[: len(part) - len(part.lstrip())], part[len(part.rstrip()) :]
            part = f"{before}**{core}**{after}"
        if part:
            said.append(part)
    return "".join(said)


def _markdown(blocks: Sequence[Block]) -> str:
    out: list[str] = []
    base: int | None = None
    for block in blocks:
        if isinstance(block, Line) and (block.mark or block.depth):
            base = block.depth if base is None else base
            out.append(f"{'  ' * max(0, block.depth - base)}- {_emphasised(block.spans)}")
            continue
        base = None
        if isinstance(block, Heading):
            out += ["", f"{'#' * (block.level + 1)} {_escaped(block.text)}", ""]
        elif isinstance(block, Line):
            out += ["", _emphasised(block.spans), ""]
        elif isinstance(block, Picture):
            out += ["", *(f"- {_escaped(said)}" for said in season_sentences(block.advice, block.system)), ""]
        else:
            out += [
                "",
                f"| {' | '.join(_escaped(head) for head in block.head)} |",
                f"|{' --- |' * len(block.head)}",
            ]
            out += [f"| {' | '.join(_emphasised([cell]) for cell in row)} |" for row in block.rows]
            out.append("")
    return re.sub(r"\n{3,}", "\n\n", "\n".join(out)).strip("\n") + "\n"
