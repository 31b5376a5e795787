"""What is done with a part this season until its real remedy is possible, and the next real time for new
grass.
"""

from __future__ import annotations

from typing import Final

from decide.decision.consultation import Consultation
from decide.decision.programme import Chosen
from decide.decision.rank import SOUND
from decide.engine.language import Fact
from decide.knowledge.schema import MeanwhileRow

MOST_ROWS: Final = 5


def standby_facts(c: Consultation, zone: str, decision: str, chosen: Chosen) -> dict[str, Fact]:
    """What the rows of the meanwhile table read: site and zone, the decision, and the days until new grass
    may be begun.
    """
    facts: dict[str, Fact] = {**c.site, **c.zone_facts[zone], "zone.decision": decision.replace(" ", "-")}
    start = next(
        (
            w.draft.start
            for w in (chosen.option, chosen.after, chosen.least_bad)
            if w is not None and w.draft.new_grass and w.draft.start is not None
        ),
        None,
    )
    if start is not None:
        facts["zone.wait-days"] = float((start - c.filled.today).days)
    return facts


def meanwhile_rows(
    c: Consultation, zone: str, decision: str, chosen: Chosen
) -> tuple[list[MeanwhileRow], dict[str, Fact]]:
    """The rows of the table that hold for a zone, the first first, and the facts that fill their holes."""
    facts = standby_facts(c, zone, decision, chosen)
    held = [
        row
        for row in sorted(c.knowledge.meanwhile.values(), key=lambda row: row.order)
        if c.holds(row, facts)
    ]
    return held[:MOST_ROWS], facts


def needs_meanwhile(c: Consultation, chosen: Chosen, decision: str) -> bool:
    """Whether a season lies between today and the remedy: no grass now, a late one, one that waits, or
    nothing to do at all.
    """
    if decision == "left alone":
        return False
    grass = chosen.stopgap or chosen.option
    if grass is None or not grass.draft.new_grass or grass.draft.start is None:
        return True
    wait = c.knowledge.value("meanwhile-wait") or 0
    return grass.verdict not in SOUND or (grass.draft.start - c.filled.today).days > wait
