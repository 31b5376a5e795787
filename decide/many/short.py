"""The short advice: the choice for each part of a field with what it rests on, what it costs and what to take
care of, small enough for one line.
"""

from __future__ import annotations

from typing import Final

from pydantic import Field

from decide.answer.ailments import ailments
from decide.answer.assemble import caution_codes, chosen_options, cited, local_words
from decide.answer.findings import causes_found, need_rows, today_rows
from decide.answer.headline import headline
from decide.answer.local_words import row_in_words
from decide.answer.opening import open_now, opening_rows
from decide.answer.option_row import option_row
from decide.answer.proposal_judged import proposal_row
from decide.answer.signs import signs_seen
from decide.answer.teller import Teller
from decide.answer.trust import sure_of, valid_until
from decide.answer.zone_answer import answer_of, field_decision
from decide.decision.consultation import Consultation
from decide.decision.rank import Weighed
from decide.model.advice import Answer, Cited, Doing, Fate, Sure
from decide.model.row import Cost, DayRange, Decision, Hours, Judgement, Row, Verdict
from decide.plan.money import make_money
from decide.plan.shopping import make_shopping
from decide.plan.tasks import make_plan
from decide.questions.unknown import unknown_rows

SCHEMA: Final = "short/1"


class Way(Row):
    """An option that the programme names, with its days and its cost."""

    code: str
    title: str
    verdict: Verdict
    verdict_reason: str
    start: str | None = None
    decide_by: str | None = None
    light_use: DayRange | None = None
    full_play: DayRange | None = None
    dies_by: str | None = Field(default=None, description="median day of the frost that takes it")
    cost: Cost | None = None
    labour_hours: Hours | None = None
    could_rule_out: list[str] = Field(description="facts that are not known and could still rule it out")


class Part(Row):
    """What is said of one part of the field."""

    zone: str
    area_m2: float | None
    decision: Decision
    text: str
    choice: Way | None = None
    stopgap: Way | None = None
    least_bad: Way | None = Field(default=None, description="where nothing is sound; it is not advised")
    rests_on: list[str]
    instead: str
    meanwhile: list[str]
    next_opens: str | None = Field(default=None, description="next real time to begin new grass")
    next_closes: str | None = None


class Care(Row):
    """A danger or legal duty by its short name, and who decides; the whole text is in the full advice."""

    code: str
    name: str
    who_decides: str


class At(Row):
    """A code of the knowledge, and the part of the field where it stands; no part: the whole field."""

    code: str
    zone: str


class Cause(Row):
    """A cause of bare ground."""

    code: str
    zone: str
    sure: bool


class Lives(Row):
    """What lives in the turf of a part, and what law says of treating it."""

    code: str
    zone: str
    treat: str


class Gate(Row):
    """Whether young turf may be opened today."""

    zone: str
    light: str
    full: str
    because: list[str]


class Sign(Row):
    """A sign of failure that was seen."""

    zone: str
    sign: str
    on: str
    do: str
    season: str


class Meant(Row):
    """What somebody means to do, judged."""

    asked: str
    judgement: Judgement
    conditions: list[str]
    against: list[str]
    cautions: list[str]
    better: list[str]


class Total(Row):
    """What one kind of cost comes to, as far as it has a price."""

    kind: str
    low: float | None
    high: float | None
    currency: str


class Short(Row):
    """The short advice on one situation; what it leaves out (plan, reasons, other options) `decide advise`
    gives.
    """

    schema_: str = Field(default=SCHEMA, alias="schema")
    knowledge: Cited
    today: str
    decision: Decision
    sure: Sure
    fate: Fate | None = None
    doing_today: list[Doing] = Field(description="dangers of today, first of all")
    programme: list[Part]
    cautions: list[Care]
    needs: list[At]
    causes: list[Cause]
    ailments: list[Lives]
    open_now: list[Gate]
    opening: list[str] = Field(description="checks that must pass before the ground is opened")
    signs_seen: list[Sign]
    proposals: list[Meant]
    clashes: list[str] = Field(description="what of the plan does not fit")
    plan_decide_by: str | None = None
    money: list[Total]
    unpriced: int = Field(description="so many things have no price yet")
    unknown: list[str] = Field(description="keys of the answers that are missing, the weightiest first")
    valid_until: str

    model_config = Row.model_config | {"populate_by_name": True}


def short_advice(c: Consultation) -> Short:
    """The short advice of a consultation: what it holds is what `advise` says of it, word for word.

    No missing answer is tried: a choice that would be firm is only likely while one is missing.
    """
    t = Teller(c)
    picked = chosen_options(c)
    answers = {zone: answer_of(t, zone, chosen) for zone, chosen in c.chosen.items()}
    plan = make_plan(c, picked)
    shopping = make_shopping(c, picked, plan.tasks)
    money = make_money(c, picked, plan.tasks, shopping, beside=False)
    ways = {w.draft.code: _way(t, w) for w in picked}
    unknown = [row.key for row in unknown_rows(c)]
    sure = sure_of(t, picked)
    if sure.level == "firm" and unknown:
        sure = Sure(level="likely", why=c.knowledge.text("sure-but-missing"))
    by = [way.decide_by for way in ways.values() if way.decide_by]
    short = Short(
        knowledge=cited(c),
        today=c.filled.today.isoformat(),
        decision=field_decision(c, {zone: answer.decision for zone, answer in answers.items()}),
        sure=sure,
        fate=headline(c),
        doing_today=today_rows(t),
        programme=[_part(answer, ways) for answer in answers.values()],
        cautions=[_care(t, code) for code in caution_codes(t, picked, plan, shopping)],
        needs=[At(code=row.code, zone=row.zone) for row in need_rows(t, picked)],
        causes=[Cause(code=row.code, zone=row.zone, sure=row.sure) for row in causes_found(t)],
        ailments=[Lives(code=row.code, zone=row.zone, treat=row.treat) for row in ailments(t)],
        open_now=[
            Gate(zone=row.zone, light=row.light, full=row.full, because=row.because) for row in open_now(c)
        ],
        opening=[row.check for row in opening_rows(t, picked)],
        signs_seen=[
            Sign(zone=row.zone, sign=row.sign, on=row.on, do=row.do, season=row.season)
            for row in signs_seen(c)
        ],
        proposals=_proposals(t),
        clashes=[clash.text for clash in plan.clashes],
        plan_decide_by=plan.decide_by,
        money=[
            Total(kind=row.kind, low=row.low, high=row.high, currency=row.currency) for row in money.totals
        ],
        unpriced=len(money.unknown),
        unknown=unknown,
        valid_until=valid_until(t, by),
    )
    return row_in_words(short, local_words(c), lambda _: True)


def _way(t: Teller, w: Weighed) -> Way:
    row = option_row(t, w, with_odds=False)
    return Way(
        code=row.code,
        title=row.title,
        verdict=row.verdict,
        verdict_reason=row.verdict_reason,
        start=row.start,
        decide_by=row.decide_by,
        light_use=row.light_use,
        full_play=row.full_play,
        dies_by=row.dies_by,
        cost=row.cost,
        labour_hours=row.labour_hours,
        could_rule_out=row.unknown,
    )


def _part(answer: Answer, ways: dict[str, Way]) -> Part:
    return Part(
        zone=answer.zone,
        area_m2=answer.area_m2,
        decision=answer.decision,
        text=answer.text,
        choice=ways.get(answer.option or ""),
        stopgap=ways.get(answer.stopgap or ""),
        least_bad=ways.get(answer.least_bad or ""),
        rests_on=answer.rests_on,
        instead=answer.instead,
        meanwhile=answer.meanwhile,
        next_opens=answer.window.opens if answer.window else None,
        next_closes=answer.window.closes if answer.window else None,
    )


def _care(t: Teller, code: str) -> Care:
    row = t.k.cautions[code]
    return Care(code=code, name=row.name or t.text(row.text, {}), who_decides=row.who_decides)


def _proposals(t: Teller) -> list[Meant]:
    rows = [proposal_row(t, step) for step in t.c.steps]
    return [
        Meant(
            asked=row.asked,
            judgement=row.judgement,
            conditions=row.conditions,
            against=[reason.text for reason in row.reasons if not reason.for_],
            cautions=row.cautions,
            better=row.better,
        )
        for row in rows
    ]
