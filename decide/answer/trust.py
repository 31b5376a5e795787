"""How far the advice can be trusted: what was told and assumed, how sure it is, every rule that fired, the
sources, and when it grows old.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from typing import Any, Final

from pydantic import BaseModel

from decide.answer.teller import Teller
from decide.decision.rank import UNKNOWN, USABLE, Weighed
from decide.engine.language import Fact, Firing, Rule
from decide.facts.sign import sign_facts
from decide.model import advice as out
from decide.model.written import coded

# So many missing answers are named; the rest stand among what is not known.
MOST_ASKED: Final = 3
Fired = Sequence[tuple[Rule, Firing]]


def known_rows(t: Teller) -> list[out.Known]:
    clock = {"dates.today"} if t.filled.today_computed else set()
    rows = [
        out.Known(key=key, value=value, how="computed" if key in clock else "told")
        for key, value in _told(t.filled.situation)
    ]
    rows += [
        out.Known(key=key, value=value, how=how, note=note)  # type: ignore[arg-type]  # the same words, checked when the advice is made
        for key, value, how, note in t.filled.notes
    ]
    return rows


def sure_of(t: Teller, picked: Sequence[Weighed]) -> out.Sure:
    """How sure the choice is, by the first level of the knowledge that holds."""
    could: set[str] = {
        name
        for w in picked
        for rule, found in w.could
        if rule.then.act == "rule-out"
        for name in found.unknown
    }
    facts: dict[str, Fact] = {
        "site.place-known": t.filled.site is not None,
        "site.chosen-usable": all(w.verdict in USABLE for w in picked),
        "site.chosen-could-be-ruled-out": bool(could),
        "site.chosen-unjudged": any(grade == UNKNOWN for w in picked for grade in w.grades.values()),
    }
    row = next(row for row in t.k.sure.values() if t.c.book.holds(row, facts))
    asks = " ".join(t.questions(could)[:MOST_ASKED]) or t.k.text("answer-see-unknown")
    return out.Sure(level=row.level, why=f"{row.says} {asks}" if row.asks else row.says)


def source_rows(t: Teller) -> list[out.SourceRow]:
    return [
        out.SourceRow(
            key=key,
            title=row.title,
            publisher=row.publisher,
            year=row.year,
            seen=row.seen,
            where=row.where,
        )
        for key, row in sorted(t.k.sources.items())
        if key in t.cited
    ]


def trace_rows(t: Teller, picked: Sequence[Weighed]) -> list[out.Traced]:
    rows: list[out.Traced] = []

    def add(about: str, fired: Fired, facts: Mapping[str, Fact]) -> None:
        for rule, _ in fired:
            used = {name: facts[name] for condition in rule.when for name in condition.facts if name in facts}
            then = rule.then
            said = f"{then.act} {then.target}" + (f" {then.grade}" if then.grade else "")
            rows.append(out.Traced(step=len(rows) + 1, rule=rule.id, about=about, facts=used, concludes=said))

    add("site", t.c.site_layer.fired.get("site", []), t.c.site)
    for sign in t.c.signs:
        add(
            sign.code,
            t.c.sign_layer.fired.get(sign.code, []),
            {**t.c.site, **sign_facts(t.filled, sign, t.c.measures)},
        )
    for zone, facts in t.c.zone_facts.items():
        add(zone, t.c.zone_layer.fired.get(zone, []), {**t.c.site, **facts})
    for w in picked:
        add(w.draft.code, w.firings, w.facts)
        rule = t.c.book.rules[w.verdict_rule]
        rows.append(
            out.Traced(
                step=len(rows) + 1,
                rule=rule.id,
                about=w.draft.code,
                facts={},
                concludes=f"verdict {w.verdict}",
            )
        )
    for step in t.c.steps:
        add(f"proposal {step.proposal.step}/{step.zone}", step.firings, step.facts)
    return rows


def valid_until(t: Teller, decide_by: Sequence[str]) -> str:
    """The day on which the advice grows old: after its stated days, or when something must be decided
    before.
    """
    today = t.filled.today
    days = t.k.value("advice-days") or 0
    old = (today + dt.timedelta(days=round(days))).isoformat()
    return min([old, *(date for date in decide_by if date > today.isoformat())])


def _told(model: BaseModel, path: str = "") -> list[tuple[str, Any]]:
    """Every told value of the situation with its key path."""
    rows: list[tuple[str, Any]] = []
    for name, info in type(model).model_fields.items():
        value = getattr(model, name)
        key = f"{path}{info.alias or name}"
        if value is None:
            continue
        if isinstance(value, BaseModel):
            rows += _told(value, f"{key}.")
        elif isinstance(value, list) and value and isinstance(value[0], BaseModel):
            for position, item in enumerate(value, start=1):
                label = coded(getattr(item, "name", "")) if key == "zone" else f"{position}"
                rows += _told(item, f"{key}.{label}.")
        elif value != [] or key not in ("zone", "proposal"):
            rows.append((key, value.isoformat() if isinstance(value, dt.date) else value))
    return rows
