"""Answers on water: when and how often, and how much that is in millimetres, litres and minutes."""

from __future__ import annotations

from typing import Final

from decide.explain.reply.about import About, Reply
from decide.explain.reply.judged import judged
from decide.explain.reply.work import quantity
from decide.model import advice as out
from decide.model.planned import Watering
from decide.model.units import convert
from decide.model.words import capital

_LAWS: Final = ("water-law", "reclaimed-water", "seedling-blight", "frequent-water-ends", "backflow")
_DEPTHS: Final = ("mm", "in", "cm")
_VOLUMES: Final = ("litre", "gal", "m3")


def when_water(a: About) -> Reply:
    """When and how often it is watered now, or first, and what follows; a time of day is judged."""
    if a.slot("time_of_day"):
        return judged(a, {"step": "water", "time_of_day": a.slot("time_of_day").replace("-", " ")})
    other = _of_other(a)
    if other:
        return Reply((other,), a.caution(_LAWS))
    for answer in a.parts:
        rows = _stages(a, answer)
        if rows:
            said = [
                a.text("reply-water", where=a.where(answer.zone) if place == 0 else "", stage=row.stage,
                       days=a.days(row.from_, row.until), text=row.text)
                for place, row in enumerate(rows[:2])
            ]  # fmt: skip
            return Reply(tuple(said), a.caution(_LAWS), rows)
    return _dry(a)


def _of_other(a: About) -> str:
    """How sod is watered first, where sod was asked after and none is in the plan."""
    if a.slot("of") not in ("sod", "thin-sod", "thick-sod") or any(
        "sod" in row.code for row in a.advice.plan
    ):
        return ""
    stage = next(row for row in a.k.watering.values() if "sod" in row.made_from)
    return a.c.say.sentences(a.c.book.template(stage.text), a.facts(a.parts[0]), a.c.types)


def _stages(a: About, answer: out.Answer) -> list[Watering]:
    """The stages of a part that are not over."""
    today = a.today.isoformat()
    return [row for row in a.advice.watering if row.zone == answer.zone and row.until >= today]


def _dry(a: About) -> Reply:
    """Where nothing is watered: that there is no water, or that none is planned."""
    dry = a.c.site.get("site.water") == "none"
    for answer in a.parts:
        tasks = [task for task in a.advice.plan if task.zone == answer.zone and task.template in a.k.watering]
        if tasks:
            text = f"{a.where(answer.zone)}{tasks[0].text}"
            days = a.text("reply-until", stage=tasks[0].task, day=a.day(tasks[0].until))
            return Reply((text, days), a.caution(_LAWS))
    head = "reply-no-water" if dry else "reply-not-watered"
    return Reply((a.text(head, where=a.where(a.parts[0].zone)), *_turf(a)), a.caution(_LAWS))


def _turf(a: About) -> list[str]:
    """What the year after says of water."""
    return [row.text for row in a.advice.year if "water" in row.task.lower()][:1]


def how_much_water(a: About) -> Reply:
    """How much water one wetting and one week take; an amount that was named held against it."""
    for answer in a.parts:
        rows = _stages(a, answer)
        if not rows:
            continue
        row = rows[0]
        said = [*_checked(a, answer, row), _amount(a, answer, row)]
        if row.litres_each is None:
            said.append(a.text("reply-water-no-area"))
        elif row.minutes_each is None:
            said.append(a.text("reply-water-no-flow"))
        said.append(row.text)
        return Reply(tuple(said), a.caution(_LAWS), row)
    return _dry(a)


def _amount(a: About, answer: out.Answer, row: Watering) -> str:
    """One wetting in depth, and in litres and minutes where they are known."""
    bits = [a.k.language.show(row.mm_each, "mm", a.c.system)]
    if row.litres_each is not None:
        bits.append(a.k.language.show(row.litres_each, "litre", a.c.system))
    if row.minutes_each is not None:
        bits.append(a.text("reply-minutes", n=a.k.language.number(float(f"{row.minutes_each:.2g}"))))
    week = a.k.language.show(row.litres_a_week, "litre", a.c.system) if row.litres_a_week else ""
    return a.text(
        "reply-water-amount",
        where=a.where(answer.zone),
        stage=capital(row.stage),
        each=", ".join(bits),
        week=a.text("reply-water-week", week=week) if week else "",
    )


def _checked(a: About, answer: out.Answer, row: Watering) -> list[str]:
    """A depth in litres and minutes, or a tank in wettings."""
    found = quantity(a.slot("check"))
    if found is None:
        return []
    amount, unit = found
    unit = {"l": "litre", "gallon": "gal"}.get(unit, unit)
    if unit in _DEPTHS and answer.area_m2:
        litres = convert(amount, unit, "mm") * answer.area_m2
        flow = a.told("means.flow_l_min")
        minutes = (
            [a.text("reply-minutes", n=a.k.language.number(float(f"{litres / float(flow):.2g}")))]
            if flow
            else []
        )
        said = ", ".join([a.k.language.show(litres, "litre", a.c.system), *minutes])
        return [
            a.text(
                "reply-water-depth", depth=a.k.language.exactly(amount, unit), zone=answer.zone, amount=said
            )
        ]
    if unit in _VOLUMES and row.litres_each:
        goes = convert(amount, unit, "litre") / row.litres_each
        times = a.k.language.number(float(f"{goes:.2g}"))
        return [
            a.text("reply-water-tank", tank=a.k.language.exactly(amount, unit), zone=answer.zone, times=times)
        ]
    return []
