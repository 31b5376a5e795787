"""What was found before any option is weighed: dangers of today, causes, the diagnosis of each part, and what
is needed.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from decide.answer.teller import Teller
from decide.decision.rank import Weighed
from decide.engine.language import Fact, Rule
from decide.model import advice as out
from decide.model.ground import CauseFound
from decide.model.words import CHANGED, first_sentence


def today_rows(t: Teller) -> list[out.Doing]:
    rows: list[out.Doing] = []
    if CHANGED in t.k.cautions:
        row = t.k.cautions[CHANGED]
        rows.append(out.Doing(code=CHANGED, text=row.text, who_decides=row.who_decides))
    fired = t.c.site_layer.fired.get("site", [])
    for rule, _ in fired:
        if rule.then.act == "conclude" and rule.then.target == "site.close-today":
            rows.append(
                out.Doing(
                    code="close-today",
                    text=t.k.text("answer-shut-today", why=first_sentence(t.because(rule, t.c.site))),
                    who_decides=t.k.text("answer-shut-who"),
                )
            )
    for code in t.cautions(rule for rule, _ in fired):
        row = t.k.cautions[code]
        if row.order == 1:
            rows.append(out.Doing(code=code, text=t.text(row.text, t.c.site), who_decides=row.who_decides))
    return rows


def causes_found(t: Teller) -> list[CauseFound]:
    rows: list[CauseFound] = []
    for zone, facts in t.c.zone_facts.items():
        fired = t.c.zone_layer.fired.get(zone, [])
        for code, cause in sorted(t.k.causes.items(), key=lambda item: (item[1].order, item[0])):
            gave = [
                (rule, firing)
                for rule, firing in fired
                if rule.then.act == "conclude" and rule.then.target == cause.fact
            ]
            if not gave:
                continue
            both = {**t.c.site, **facts}
            rows.append(
                CauseFound(
                    code=code,
                    zone=t.zone_name(zone),
                    text=" ".join(dict.fromkeys(t.because(rule, both) for rule, _ in gave)),
                    sure=not any(firing.open for _, firing in gave),
                    look_at=t.text(cause.look_at, both),
                    bare_again_unless=t.text(cause.bare_again_unless, both),
                    rules=[rule.id for rule, _ in gave],
                    sources=t.cite([*cause.sources, *(key for rule, _ in gave for key in rule.sources)]),
                )
            )
    return rows


def diagnoses(t: Teller) -> list[out.Diagnosis]:
    rows: list[out.Diagnosis] = []
    for zone, facts in t.c.zone_facts.items():
        by_target: dict[str, list[Rule]] = {}
        for rule, _ in t.c.zone_layer.fired.get(zone, []):
            if rule.then.act == "conclude" and not rule.then.target.startswith("zone.cause-"):
                by_target.setdefault(rule.then.target, []).append(rule)
        both = {**t.c.site, **facts}
        for target, rules in by_target.items():
            rows.append(
                out.Diagnosis(
                    code=target.removeprefix("zone."),
                    zone=t.zone_name(zone),
                    text=" ".join(dict.fromkeys(t.because(rule, both) for rule in rules)),
                    rules=[rule.id for rule in rules],
                    sources=t.cite(key for rule in rules for key in rule.sources),
                )
            )
    return rows


def need_rows(t: Teller, picked: Sequence[Weighed]) -> list[out.NeedRow]:
    rows: dict[tuple[str, str], out.NeedRow] = {}

    def add(code: str, zone: str, facts: Mapping[str, Fact]) -> None:
        row = t.k.needs[code]
        rows.setdefault(
            (code, zone),
            out.NeedRow(code=code, zone=zone, text=t.text(row.text, facts), sources=t.cite(row.sources)),
        )

    for rule, _ in t.c.site_layer.fired.get("site", []):
        if rule.then.act == "need":
            add(rule.then.target, "", t.c.site)
    for zone, facts in t.c.zone_facts.items():
        for rule, _ in t.c.zone_layer.fired.get(zone, []):
            if rule.then.act == "need":
                add(rule.then.target, t.zone_name(zone), {**t.c.site, **facts})
    for w in picked:
        for rule, _ in w.firings:
            if rule.then.act == "need":
                add(rule.then.target, t.zone_name(w.draft.zone), w.facts)
    return sorted(rows.values(), key=lambda row: (t.k.needs[row.code].order, row.zone, row.code))
