"""An advice made by hand with everything that the papers lay out: plan, water, shopping, money, checks; all of it is invented."""

from __future__ import annotations

import re
from typing import Any

from samples import ADVICE, CAUTIONS, RECOVER, SOD

from decide.model import advice as model
from decide.model.planned import (
    Clash,
    Compared,
    Failure,
    Money,
    MoneyRow,
    PlayHours,
    Purchase,
    Task,
    Watering,
    Week,
    YearRow,
)
from decide.model.row import Cost, Hours
from decide.model.watched import OpenNow, SignSeen
from decide.model.words import printable


def task(code: str, zone: str, stage: str, days: tuple[str, str], **more: Any) -> Task:
    template = code.partition("/")[0]
    fields = {
        "code": code,
        "template": template,
        "zone": zone,
        "stage": stage,
        "task": template.replace("-", " ").capitalize(),
        "text": f"How to {template.replace('-', ' ')}.",
        "from": days[0],
        "until": days[1],
    }
    return Task.model_validate({**fields, **more})


PLAN = [
    task("mark-services/field", "", "before", ("2026-05-01", "2026-05-01"), latest="2026-05-20", order_by="2026-05-16", who="utility-service", cautions=["buried-lines"], sources=["a-page"], round="ready"),
    task("order-sod/goalmouth", "goalmouth", "before", ("2026-05-02", "2026-05-02"), order_by="2026-05-10", hours=Hours(low=0.5, high=1), round="order"),
    task(
        "lay-sod/goalmouth", "goalmouth", "establish", ("2026-06-01", "2026-06-02"), round="start", who="volunteer", needs=["roller", "spade"], hours=Hours(low=20, high=34),
        cautions=["sod-weight", "buried-lines"], sources=["a-page"], why_then="The first day that the seller can bring it.", after=["order-sod/goalmouth"],
    ),
    task("mow/goalmouth", "goalmouth", "grow", ("2026-06-15", "2026-08-10"), every_days=7.2, who="volunteer", cautions=["mower"], amount=None, round="mow"),
    task("water/goalmouth", "goalmouth", "grow", ("2026-06-01", "2026-06-14"), every_days=1.0, round="water-new"),
    task("feed/goalmouth", "goalmouth", "grow", ("2026-07-01", "2026-07-01"), amount=4.2, unit="kg of nitrogen", done="2026-07-01", cautions=["feed-law"], round="feed"),
    task("open-to-play/goalmouth", "goalmouth", "open", ("2026-06-29", "2026-07-20"), who="owner", round="open-light"),
]  # fmt: skip
SHOPPING = [
    Purchase(
        code="sod/goalmouth", supply="sod", zone="goalmouth", item="Thick-cut sod", amount=132.5, amount_low=126, unit="m2", packs=3, pack="pallet of 45 m²",
        how="120 m² and 5% to 10% to spare", ask="What soil did it grow on?", for_task="lay-sod/goalmouth", order_by="2026-05-10",
        cost=Cost(low=1210, high=2390, currency="EUR", year="2024", how="the price on offer"), cautions=["sod-weight"], sources=["a-page"],
    ),
    Purchase(code="feed/goalmouth", supply="feed", zone="goalmouth", item="Starter feed", amount=6, unit="kg", how="120 m² at 50 g", cautions=["feed-law"], sources=["a-page"]),
]  # fmt: skip
MONEY = Money(
    rows=[MoneyRow(what="Thick-cut sod", zone="goalmouth", kind="material", low=1210, high=2390, currency="EUR", year="2024", how="the price on offer")],
    totals=[MoneyRow(what="material", zone="", kind="material", low=1210, high=2390, currency="EUR", year="2024", how="sum of 1 price")],
    unknown=["Hire of the roller: no price is known. Ask the hire shop."],
    compared=[Compared(option=SOD.code, zone="goalmouth", title="Perennial ryegrass by thick-cut sod", verdict="sound", low=1210, high=2390, currency="EUR", hours=Hours(low=20, high=34), full_play_late="2026-07-20")],
    failure=[Failure(zone="goalmouth", what="Thick-cut sod", low=1210, high=2390, currency="EUR", days_lost=50, text="A failed laying costs the sod again and 50 days.")],
)  # fmt: skip
FULL = ADVICE.model_copy(update={
    "plan": PLAN, "shopping": SHOPPING, "money": MONEY, "plan_decide_by": "2026-05-10",
    "cautions": [*CAUTIONS, model.Caution(code="mower", text="Guards on. Engine off before you clear it.", who_decides="the maker's manual", sources=["a-page"])],
    "weeks": [Week(monday="2026-06-01", tasks=["lay-sod/goalmouth"], hours=Hours(low=20, high=34), hours_there_are=24, hours_short=10, litres=1400, water_hours=1.5, visits=2)],
    "watering": [Watering.model_validate({"zone": "goalmouth", "stage": "until it holds", "from": "2026-06-01", "until": "2026-06-14", "times_a_day": 2, "mm_each": 5, "times_a_week": 6, "mm_a_week": 30, "litres_each": 600, "litres_a_week": 3600, "minutes_each": 40, "text": "5 mm twice a day.", "sources": ["a-page"]})],
    "clashes": [Clash(zone="goalmouth", tasks=["lay-sod/goalmouth"], days_short=3, first_start="2026-06-04", text="Three days are missing before the start.")],
    "hours_per_week_after_opening": [PlayHours.model_validate({"zone": "goalmouth", "from": "2026-07-20", "hours": 6, "text": "About 6 hours a week."})],
    "year": [YearRow.model_validate({"from": "2026-09-01", "until": "2026-10-31", "task": "Feed in autumn", "text": "Once, while it grows.", "sources": ["a-page"]})],
    "open_now": [OpenNow(zone="goalmouth", light="not yet", full="not yet", because=["the tug test was not done"], checks=[])],
    "signs_seen": [SignSeen(zone="goalmouth", sign="Sod lifts", on="2026-06-20", look_at="Are there roots?", do="Keep off and water.", season="may be saved", because="it has three weeks left", sources=["a-page"])],
})  # fmt: skip

HOSTILE = (
    "<script>alert(1)</script>", "</title></style><b onload=x>", "a\" onmouseover=\"x", "&amp; &#60;i&#62;", "]]><!--", "*a* _b_ `c` [d](e) ![f](g)", "# h", "- li", "1. li", "| a | b |", "\\|", "a\\",
    "```", "===", "~~~", "> q", "<b>x", "    code", "\tcode", "x\r\nBEGIN:VEVENT\r\nSUMMARY:y", "a;b,c\\n:d", "END:VCALENDAR", "=1+1", "+1", "-1", "@SUM(1)", "\t=1", "\r=1", " =1", "＝1",
    "a\"b,c\nd", "'=1", "\u202eevil\u202c", "\u200f\u2066x", "x\x00\x1b[31my\x07", "א ב", "日本語 " * 20, "é" * 80, "\ufeffx", "\u2028x", "&", "$x$", "https://x.example/?a=1&b=2", "x" * 300, "~a~",
)  # fmt: skip


def renamed(name: str) -> model.Advice:
    """The advice with a user's own words for its first part, its place, a note and an idea."""
    other = {"zone": name}
    sod = SOD.model_copy(update={"zone": name, "code": SOD.code})

    def changed(rows: Any) -> list[Any]:
        return [row.model_copy(update=other) if row.zone == "goalmouth" else row for row in rows]

    return FULL.model_copy(update={
        "options": [sod, RECOVER, *[row.model_copy(update=other) for row in ADVICE.options[2:]]], "programme": changed(ADVICE.programme), "plan": changed(PLAN), "shopping": changed(SHOPPING),
        "causes": changed(ADVICE.causes), "diagnosis": changed(ADVICE.diagnosis), "needs": changed(ADVICE.needs), "watering": changed(FULL.watering), "clashes": changed(FULL.clashes),
        "hours_per_week_after_opening": changed(FULL.hours_per_week_after_opening), "open_now": changed(FULL.open_now), "signs_seen": changed(FULL.signs_seen),
        "money": MONEY.model_copy(update={"rows": changed(MONEY.rows), "compared": changed(MONEY.compared), "failure": changed(MONEY.failure)}),
        "situation": [row.model_copy(update={"value": name}) if row.key == "place.name" else row.model_copy(update={"note": name}) if row.note else row for row in ADVICE.situation],
        "proposals": [row.model_copy(update={"asked": f"{name} on 1 May 2026"}) for row in ADVICE.proposals],
    })  # fmt: skip


def flat(said: str) -> str:
    """Words without layout, to look for sentences in."""
    return " ".join(re.sub(r"[\u2500-\u257f]+", " ", printable(said)).split())
