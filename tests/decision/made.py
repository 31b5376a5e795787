"""Options made by hand: with the facts, grades, verdict and roles that a test wants, and all else alike."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping

from decide.decision.rank import Weighed
from decide.engine.language import CRITERIA, Fact
from decide.facts.draft import Draft

DAY = dt.date(2026, 5, 25)


def made(
    plant: str = "perennial-ryegrass",
    *,
    remedy: str = "establish",
    method: str = "broadcast-seed",
    start: int | None = 0,
    verdict: str = "sound",
    roles: Iterable[str] = (),
    grades: Mapping[str, str] | None = None,
    bests: Mapping[str, str] | None = None,
    ready: int | None = None,
    cost: float | None = None,
    **facts: Fact,
) -> Weighed:
    """An option, fair in everything but what is named; `start` and `ready` count days. `option__wished="wished"` is a fact."""
    new = remedy in ("establish", "carry-on")
    draft = Draft(
        "a",
        remedy,
        method if new else "",
        plant if new else "",
        start=DAY + dt.timedelta(days=start) if new and start is not None else None,
    )
    told = {name.replace("__", ".").replace("_", "-"): held for name, held in facts.items()}
    worst = {**dict.fromkeys(CRITERIA, "fair"), **(grades or {})}
    return Weighed(
        draft, told, grades=worst, bests={**worst, **(bests or {})}, verdict=verdict, roles=frozenset(roles),
        ready=None if ready is None else DAY + dt.timedelta(days=ready), cost=cost,
    )  # fmt: skip
