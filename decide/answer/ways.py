"""Every way that was weighed, told once: by the best of its options, with what speaks against it."""

from __future__ import annotations

from typing import Final

from decide.answer.teller import Teller
from decide.decision.rank import RANK, Weighed
from decide.engine.language import ADVERSE, Firing, Rule
from decide.model import advice as out

# What is said of a way: its remedy, method and verdict, and the keys of what speaks against it.
Said = tuple[str, str, str, tuple[str, ...]]


def ways_of(t: Teller) -> tuple[list[out.WayWeighed], dict[str, out.Reason]]:
    """The ways in the order of their best options, and the reasons that they name, each once."""
    best: dict[tuple[str, str, str, str], Weighed] = {}
    counts: dict[tuple[str, str, str, str], int] = {}
    for w in t.c.ranked:
        way = w.draft.zone, w.draft.remedy, w.draft.method, w.draft.plant
        best.setdefault(way, w)
        counts[way] = counts.get(way, 0) + 1
    reasons = _Reasons(t)
    alike: dict[Said, list[tuple[str, str, str, str]]] = {}
    for way, w in best.items():
        said = w.draft.remedy, w.draft.method, w.verdict, reasons.against(w)
        alike.setdefault(said, []).append(way)
    rows = [
        out.WayWeighed(
            zones=[t.zone_name(zone) for zone in dict.fromkeys(zone for zone, *_ in members)],
            remedy=remedy,
            method=method or None,
            plants=list(dict.fromkeys(plant for *_, plant in members if plant)),
            verdict=verdict,  # type: ignore[arg-type]  # a verdict of the language
            options=sum(counts[way] for way in members),
            against=list(keys),
        )
        for (remedy, method, verdict, keys), group in alike.items()
        for members in _of_like_zones(group)
    ]
    return rows, reasons.rows


def _of_like_zones(ways: list[tuple[str, str, str, str]]) -> list[list[tuple[str, str, str, str]]]:
    """Ways of which the same is said, parted so that each of the zones of a row has each of its plants."""
    plants: dict[str, list[str]] = {}
    for zone, *_, plant in ways:
        plants.setdefault(zone, []).append(plant)
    groups: dict[tuple[str, ...], list[tuple[str, str, str, str]]] = {}
    for way in ways:
        groups.setdefault(tuple(plants[way[0]]), []).append(way)
    return list(groups.values())


class _Reasons:
    """What speaks against ways, each sentence of a rule once, under the rule's name."""

    def __init__(self, t: Teller) -> None:
        self._t = t
        self._key: dict[tuple[str, str, tuple[str, ...]], str] = {}
        self._given: dict[str, int] = {}
        self.rows: dict[str, out.Reason] = {}

    def against(self, w: Weighed) -> tuple[str, ...]:
        """The keys of what speaks against an option, the gravest first."""
        fired = [
            (rule, firing)
            for rule, firing in w.firings
            if rule.then.act == "rule-out" or (rule.then.act == "mark" and rule.then.grade in ADVERSE)
        ]
        fired.sort(key=lambda row: _gravity(row[0]))
        return tuple(self._keyed(rule, firing, w) for rule, firing in fired)

    def _keyed(self, rule: Rule, firing: Firing, w: Weighed) -> str:
        text = self._t.because(rule, w.facts)
        same = rule.id, text, tuple(firing.open)
        if same not in self._key:
            # A rule says another figure of another way: its second sentence is the second of its name.
            count = self._given[rule.id] = self._given.get(rule.id, 0) + 1
            key = self._key[same] = rule.id if count == 1 else f"{rule.id}/{count}"
            self.rows[key] = self._t.reason(rule, firing, w.facts)
        return self._key[same]


_RULED_OUT: Final = -1


def _gravity(rule: Rule) -> tuple[int, str]:
    return (_RULED_OUT if rule.then.act == "rule-out" else RANK[rule.then.grade]), rule.id
