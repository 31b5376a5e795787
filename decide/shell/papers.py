"""Papers of the advice and copies of the answers, written where the person stands, under the name of the
field, and over no file unless the person says so.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Final

from decide.model.errors import DecideError
from decide.parse.choices import read_yes_no
from decide.parse.plain import clean, fold
from decide.parse.results import DONT_KNOW, Reading, Understood
from decide.shell import table
from decide.shell.advising import NO_ADVICE, advised
from decide.shell.state import Pending, Say, State

_PAPER: Final = re.compile(
    r"(?P<kind>\w+)(?: list| table)?(?: (?:as|to|in|under) (?P<path>.+))?", re.IGNORECASE
)
# What a paper is called, its kind and the ending of its file.
_PAPERS: Final = {
    "page": ("page", ".html"), "sheet": ("page", ".html"), "notes": ("notes", ".md"),
    "minutes": ("notes", ".md"), "calendar": ("calendar", ".ics"), "task": ("tasks", ".csv"),
    "plan": ("tasks", ".csv"), "shopping": ("shopping", ".csv"),
}  # fmt: skip
_LONGEST_NAME: Final = 40


def field_name(state: State) -> str:
    """The name of the field for its files: the town's, in small letters, digits and hyphens."""
    town = table.at(state.answers, "place.name")
    said = fold(town) if isinstance(town, str) and town != DONT_KNOW else ""
    return re.sub(r"[^a-z0-9]+", "-", said).strip("-")[:_LONGEST_NAME] or "field"


def write_paper(state: State, rest: str) -> list[Say]:
    """Writes one paper of the advice: "page", or "plan as NAME"."""
    asked = _PAPER.fullmatch(rest)
    if asked is None or not any(fold(asked["kind"]).startswith(key) for key in _PAPERS):
        return [Say("Say which paper: the page, the notes, the calendar, the plan or the shopping list.")]
    kind, ending = next(paper for key, paper in _PAPERS.items() if fold(asked["kind"]).startswith(key))
    named = (asked["path"] or "").strip(" '\"")
    return _write_paper(state, kind, ending, named or f"{field_name(state)}-{kind}")


def _write_paper(state: State, kind: str, ending: str, name: str) -> list[Say]:
    if state.advice is None and (state.question is not None or state.opening):
        return [NO_ADVICE]
    advice = advised(state)
    path = name if name.lower().endswith(ending) else name + ending

    def written(new: bool) -> list[Say]:
        return [Say(f"Written: {state.tools.write_paper(advice, kind, path, new)}", "info")]

    return _never_over(state, path, written, lambda other: _write_paper(state, kind, ending, other))


def save_as(state: State, rest: str) -> list[Say]:
    """Writes a copy of the answers under a name."""
    name = clean(rest).strip(" '\"")
    if not name or state.kept is None:
        return [Say("Say the name of a file, such as: save as my-field.toml", "error")]
    path = name if name.lower().endswith((".toml", ".json")) else f"{name}.toml"
    kept = state.kept

    def written(new: bool) -> list[Say]:
        return [Say(f"Saved as {kept.save_as(path, state.answers, over=not new)}.")]

    return _never_over(state, path, written, lambda other: save_as(state, other))


def _never_over(
    state: State, path: str, write: Callable[[bool], list[Say]], under: Callable[[str], list[Say]]
) -> list[Say]:
    """Writes a file, or asks first where there is one: replace it, or another name."""
    try:
        return write(True)
    except DecideError as error:
        if not state.tools.there(path):
            return [Say(f"That does not work: {error}", "error")]

    def chosen(replace: bool) -> list[Say]:
        return write(False) if replace else _ask_name(state, under)

    state.pending = Pending(
        f"There is already a file {path}. Replace it, or write under another name?",
        (Reading("replace it", True), Reading("another name", False)),
        chosen,
        _not_written,
        free=_named(state, under),
    )
    return []


def _ask_name(state: State, under: Callable[[str], list[Say]]) -> list[Say]:
    state.pending = Pending(
        "Under which name?", (), lambda _: _not_written(), _not_written, free=_named(state, under)
    )
    return []


def _named(state: State, under: Callable[[str], list[Say]]) -> Callable[[str], list[Say]]:
    """Takes a line for the name of a file; "no" for not writing one."""

    def named(text: str) -> list[Say]:
        meant = read_yes_no(text, state.setting())
        if isinstance(meant, Understood) and meant.value:
            return [Say("Say 1 to replace it, or another name.", "error")]
        state.pending = None
        return _not_written() if isinstance(meant, Understood) else under(text)

    return named


def _not_written() -> list[Say]:
    return [Say("Then nothing is written.")]
