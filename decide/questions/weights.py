"""How much hangs on each open question, by the rules that wait for its answer: nothing is tried."""

from __future__ import annotations

from collections.abc import Iterator

from decide.decision.consultation import Consultation
from decide.decision.diagnosis import Diagnosis

# How much hangs on an open question: somebody may soon pay for what is offered; a rule stands open in the
# order; a remedy may be another; it tells where and how the field is; only an unusual answer could change
# anything.
PAID, OPEN, REMEDY, ORIENTS, FAR = range(5)


def weights(c: Consultation) -> dict[tuple[str, str], int]:
    """What hangs on each question, by its key and, where it is about a zone, the zone's code."""
    weight: dict[tuple[str, str], int] = {}
    for name, zone, rank in undecided(c):
        for key in asked_for(c, name, zone):
            weight.setdefault((key, zone if key.startswith("zone.") else ""), FAR)
        for key in asked_for(c, name, zone, usually=True) if rank < FAR else ():
            place = key, zone if key.startswith("zone.") else ""
            weight[place] = min(rank, weight[place])
    return weight


def undecided(c: Consultation) -> Iterator[tuple[str, str, int]]:
    """The unknown facts in rules that could fire or stand open, with their zone and the weight of what hangs
    on them.

    What stands open in the order of the options weighs most, then which remedies a part may have; unusual
    readings come last.
    """
    chosen = [w for each in c.chosen.values() for w in each.told]
    for w in chosen:
        zone, open_, usual = w.draft.zone, {rule.id for rule in w.open}, c.usual_facts[w.draft.zone]
        for rule, could in w.could:
            # What is read as usual leaves a rule open only where nothing else of it is unknown. Where the
            # order is silent on a fact, the choice rests on it all the same.
            real = [name for name in could.unknown if name not in usual] or could.unknown
            yield from (
                (
                    name,
                    zone,
                    OPEN
                    if name in real
                    and (rule.id in open_ or (rule.then.target in c.essential and name in c.book.quiet))
                    else FAR,
                )
                for name in could.unknown
            )
        for rule, firing in w.firings:
            names = [
                name
                for each in rule.unless
                if each.name in firing.open
                for condition in each.when
                for name in condition.facts
            ]
            yield from (
                (name, zone, OPEN if rule.id in open_ else FAR) for name in names if name not in w.facts
            )
    for zone in c.zones:
        for rule, could in c.zone_layer.could.get(zone, []):
            near = rule.then.target.startswith("zone.kind-") or rule.then.target in (
                "zone.new-grass-asked",
                "zone.remedy-recover",
            )
            yield from (
                (name, zone, REMEDY if near and name not in c.usual_facts[zone] else FAR)
                for name in could.unknown
            )
    for _, could in c.site_layer.could.get("site", []):
        yield from ((name, "", FAR) for name in could.unknown)


def asked_for(c: Diagnosis, name: str, zone: str, usually: bool = False) -> frozenset[str]:
    """The keys whose answers bring an unknown fact: its own, or those of what it is concluded from.

    With `usually` those are left out that bring only what is read as usual until somebody tells otherwise.
    """
    usual = c.usual_facts.get(zone, {}) if usually else {}
    found: set[str] = set()
    todo, seen = [name], {name}
    while todo:
        kind = c.types[todo.pop()]
        if kind.concluded:
            layer = (
                c.site_layer.could.get("site", [])
                if kind.scope == "site"
                else c.zone_layer.could.get(zone, [])
            )
            rows = [could.unknown for rule, could in layer if rule.then.target == kind.name]
            more = {
                one for unknown in rows for one in ([one for one in unknown if one not in usual] or unknown)
            } - seen
            todo, seen = [*todo, *more], seen | more
        elif keys := (kind.told,) if kind.told else c.book.brought_by[kind.name]:
            found.update(keys)
        elif c.filled.site is None:
            # What is measured of the place and of its year comes with the place.
            found.add("place.name")
    return frozenset(found)
