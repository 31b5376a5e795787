"""Keeping the answers of a talk after each one, and at the end."""

from __future__ import annotations

from decide.model.errors import DecideError
from decide.shell.state import Say, State


def keep(state: State) -> list[Say]:
    """Keeps the answers; says once where that fails."""
    if state.kept is None:
        return []
    try:
        state.kept.save(state.answers)
    except DecideError as error:
        if state.saved_badly:
            return []
        state.saved_badly = True
        return [Say(f"Your answers cannot be saved: {error}", "error")]
    state.saved_badly = False
    return []


def save(state: State) -> list[Say]:
    """Keeps the answers and says where."""
    failed = keep(state) if not state.saved_badly else []
    if state.saved_badly:
        return failed or [Say("Your answers cannot be saved there. Say: save as NAME.", "error")]
    path = getattr(state.kept, "path", None)
    return [Say(f"Saved{f' in {path}' if path else ''}. That is done after each answer too.")]


def leave(state: State) -> list[Say]:
    """Ends the talk."""
    said = keep(state)
    state.done = True
    kept = "" if state.saved_badly else "Your answers are kept. "
    return [*said, Say(f"{kept}Good luck with the grass.")]
