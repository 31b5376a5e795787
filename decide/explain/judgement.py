"""The judgement of what a person means to do, in plain words."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from decide.knowledge.tables import Knowledge
from decide.model.advice import Caution, ProposalJudged

_MOST_FOR: Final = 2


def say_judgement(k: Knowledge, judged: ProposalJudged, cautions: Sequence[Caution]) -> str:
    """A judgement in lines: verdict, conditions, reasons, what is better, and those `cautions` that it
    names.
    """
    asked = [f"{judged.asked}:"] if judged.asked else []
    return "\n".join([*asked, *verdict_lines(k, judged), *caution_lines(k, judged, cautions)])


def verdict_lines(k: Knowledge, judged: ProposalJudged) -> list[str]:
    """The verdict, its conditions, the reasons and what is better."""
    unsure = judged.judgement == "sound-if" and not judged.conditions
    lines = [
        k.text("judgement-perhaps") if unsure else k.text(f"judgement-{judged.judgement}"),
        *(f"- {text}" for text in judged.conditions),
    ]
    against = [reason.text for reason in judged.reasons if not reason.for_]
    speaks = [reason.text for reason in judged.reasons if reason.for_]
    lines += [k.text("judgement-against", text=text) for text in against]
    lines += [k.text("judgement-for", text=text) for text in speaks[:_MOST_FOR]]
    lines += [k.text("judgement-better", text=text) for text in judged.better]
    return [line for line in lines if line]


def caution_lines(k: Knowledge, judged: ProposalJudged, cautions: Sequence[Caution]) -> list[str]:
    """Those of some cautions that a judgement names, each with who decides."""
    held = {row.code: row for row in cautions}
    lines = []
    for row in (held[code] for code in judged.cautions if code in held):
        who = k.text("judgement-who-decides", who=row.who_decides) if row.who_decides else ""
        lines.append(k.text("judgement-mind", text=row.text) + (f" {who}" if who else ""))
    return lines
