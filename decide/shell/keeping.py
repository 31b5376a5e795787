"""Keeping the answers of a talk after each one, and at the end."""

from __future__ import annotations

from decide.model.errors import DecideError
from decide.shell.state import Say, State

KEPT = "Your answers are kept."


def keep(state: State) -> list[Say]:
    """Keeps the answers; says once where that fails, or where they went."""
    if state.kept is None:
        return []
    try:
        said = state.kept.save(state.answers)
    except DecideError as error:
        if state.saved_badly:
            return []
        state.saved_badly = True
        return [Say(f"Your answers cannot be saved: {error}", "error")]
    state.saved_badly = False
    return [Say(said, "error")] if said else []


def save(state: State) -> list[Say]:
    """Keeps the answers and says where."""
    failed = keep(state) if not state.saved_badly else []
    if state.saved_badly:
        return failed or [Say("Your answers cannot be saved there. Say: save as NAME.", "error")]
    path = getattr(state.kept, "path", None)
    return [*failed, Say(f"Saved{f' in {path}' if path else ''}. That is done after each answer too.")]


def kept(state: State) -> str:
    """Whether the answers are kept, in a sentence."""
    return "Your answers could not be saved." if state.saved_badly else KEPT


def unsaved(state: State) -> list[Say]:
    """The answers themselves where they are on no disk, so that they are not lost with the talk."""
    if not state.saved_badly or not state.answers:
        return []
    import json

    told = json.dumps(state.answers, ensure_ascii=False, indent=1)
    return [
        Say(f"Copy these lines into a file whose name ends in .json to keep your answers:\n{told}", "info")
    ]


def leave(state: State) -> list[Say]:
    """Ends the talk."""
    said = keep(state)
    state.done = True
    return [*said, *unsaved(state), Say(f"{kept(state)} Good luck with the grass.")]
