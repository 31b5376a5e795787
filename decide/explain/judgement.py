"""The judgement of what a person means to do, in plain words."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

_JUDGED: Final = {
    "sound": "Yes, that is sound.",
    "sound-if": "Yes, but only if:",
    "not-advised": "Better not.",
    "ruled-out": "No.",
}


def say_judgement(advice: Mapping[str, Any]) -> list[str]:
    """The judgement of the last proposal of an advice, in lines: verdict, conditions, reasons, what is better."""
    judged = advice.get("proposals") or []
    if not judged:
        return ["I cannot judge that."]
    last = judged[-1]
    verdict = str(last.get("judgement", "")).replace(" ", "-")
    lines = [f"{last['asked']}:" if last.get("asked") else "", _JUDGED.get(verdict, verdict)]
    conditions = [f"- {text}" for text in last.get("conditions", [])]
    if verdict == "sound-if" and not conditions:
        lines[-1] = "Perhaps. An answer that is missing could still speak against it."
    lines += conditions
    against = [reason.get("text", "") for reason in last.get("reasons", []) if not reason.get("for")]
    speaks = [reason.get("text", "") for reason in last.get("reasons", []) if reason.get("for")]
    lines += [f"Against it: {text}" for text in against]
    lines += [f"For it: {text}" for text in speaks[:2]]
    lines += [f"Better: {text}" for text in _texts(last.get("better"))]
    cautions = {row.get("code"): row for row in advice.get("cautions", [])}
    for code in last.get("cautions", []):
        row = cautions.get(code)
        if row:
            who = f" Who decides: {row['who_decides']}." if row.get("who_decides") else ""
            lines.append(f"Mind: {row.get('text', code)}{who}")
    return [line for line in lines if line]


def _texts(value: Any) -> list[str]:
    if isinstance(value, str):
        return [value] if value else []
    return [str(item) for item in value or []]
