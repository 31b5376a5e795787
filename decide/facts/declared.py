"""All declared facts together: which answers move and bring them, and which values they read."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from decide.facts.complete import COMPLETED
from decide.facts.declare import Declarations
from decide.facts.new_grass import COMING, NEW
from decide.facts.offered import ON_OFFER
from decide.facts.sign import PROGRESS, SIGN
from decide.facts.site import SITE
from decide.facts.start import PLANT, START
from decide.facts.step import STEP
from decide.facts.zone import ZONE
from decide.knowledge.tables import Knowledge

DECLARED: Final = Declarations(
    COMPLETED, SITE, ZONE, PLANT, START, NEW, COMING, ON_OFFER, STEP, SIGN, PROGRESS
)


def values_read(knowledge: Knowledge) -> frozenset[str]:
    """The values that some measurement reads: declared, or named by a table that it reads."""
    return DECLARED.values | table_values(knowledge)


def table_values(knowledge: Knowledge) -> frozenset[str]:
    """The values that the tables of areas and of local prices name for a measurement to read."""
    areas = {row.area for row in knowledge.areas.values() if row.area}
    return frozenset(areas).union(*({row.low, row.high} for row in knowledge.local_prices.values()))


def brought_by(knowledge: Knowledge, facts: Iterable[str]) -> dict[str, frozenset[str]]:
    """The keys of questions whose answers can bring each of some facts that is measured.

    The place is named only where nothing else brings it: what is measured of the place and of its year comes
    with it.
    """
    questions = {question.key for question in knowledge.questions}
    found: dict[str, frozenset[str]] = {}
    for full in facts:
        name = full if full in knowledge.facts else full.rpartition(".")[0]
        keys = DECLARED.brings(name)
        asked = {
            key
            for key in keys
            if key in questions
            or (key.partition(".")[0] in questions and "." in key and not key.startswith("zone."))
        }
        if name in knowledge.facts:
            asked -= {*knowledge.facts[name].unasked}
        place = {key for key in questions if key.partition(".")[0] in keys} if not asked else set()
        found[full] = frozenset(asked | place)
    return found
