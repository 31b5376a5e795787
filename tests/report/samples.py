"""Advice made by hand, so that screens do not depend on the knowledge; all of it is invented, in an invented club."""

from __future__ import annotations

from decide.model import advice as model
from decide.model.ground import CauseFound
from decide.model.row import Cost, DayRange, Hours
from decide.model.watched import OpeningCheck, RescueSign


def reason(grade: str, criterion: str, text: str, rule: str = "a-rule") -> model.Reason:
    """A reason of one rule and one source."""
    fields = {
        "for": grade == "strong",
        "grade": grade,
        "criterion": criterion,
        "text": text,
        "rules": [rule],
        "sources": ["a-page"],
    }
    return model.Reason.model_validate(fields)


def grades(**given: str) -> dict[str, model.GradeRow]:
    """Grades by criterion; underscores stand for hyphens."""
    return {
        name.replace("_", "-"): model.GradeRow.model_validate(
            {
                "grade": grade,
                "best": grade,
                "reason": f"The reason for {grade}." if grade != "unknown" else "",
            }
        )
        for name, grade in given.items()
    }


RESTS_ON = [
    "nothing was sprayed there in the last months",
    "the soil is not salty",
    "the water is not salty",
    "quotes stay within your budget",
]
MEANWHILE = [
    "Train elsewhere until it is laid.",
    "Move the goals each week.",
    "Rope off the worst of it.",
    "Count the hours and write them down.",
]
FATE = model.Fate(
    by="2026-07-01", firm=False, use="matches", level="partly", zone="goalmouth", training_from="2026-06-22", matches_from="2026-07-20", zones={"goalmouth": "partly", "middle": "yes"},
    text="By 1 July 2026 (goalmouth): training yes, matches not: those from 9 July 2026 in a middling year, 20 July 2026 in a slow one.",
)  # fmt: skip
WINDOW = model.Window(
    option="goalmouth/establish/broadcast-seed/kentucky-bluegrass/2026-09-01-later", opens="2027-04-10", closes="2027-05-02", decide_by="2027-04-20",
    text="Next real time for new grass: Kentucky bluegrass by broadcast seed, on or about 10 April 2027, until about 2 May 2027. Decide by 20 April 2027.",
)  # fmt: skip
INSTEAD = "If the date weighs more: perennial ryegrass by thin-cut sod, on or about 1 June 2026, risky. In a slow year it is ready on 28 June 2026."
SOD = model.Option(
    code="goalmouth/establish/thick-sod/perennial-ryegrass/2026-06-01", zone="goalmouth", remedy="establish", method="thick-sod",
    grass="perennial-ryegrass", variant="plain", start="2026-06-01", start_kind="earliest", decide_by="2026-05-10",
    light_use=DayRange(early="2026-06-08", late="2026-06-22"), full_play=DayRange(early="2026-06-29", late="2026-07-20"),
    full_fixtures=DayRange(early="2026-08-01", late=None), claim="Sellers and custom say: playable at once. This is a claim",
    window="fair", verdict="sound", title="Perennial ryegrass by thick-cut sod, from 1 June 2026",
    grades=grades(ready_in_time="strong", fits_place="strong", money="weak", water="unknown"),
    reasons=[
        reason("weak", "money", "Thick sod is dear.", "sod-dear"),
        reason("fair", "work", "It takes a weekend.", "work-middling"),
        reason("strong", "fits-place", "It is at home here.", "fits"),
        reason("strong", "ready-in-time", "Even in a slow year it is ready five weeks early.", "ready"),
    ],
    cautions=["sod-weight", "buried-lines"], needs=["rope"], unknown=["zone.sprayed"], rests_on=RESTS_ON,
    water=model.Water(litres_a_day=1430, hours_a_day=1.5, visits_a_day=2),
    cost=Cost(low=1210, high=2390, currency="EUR", year="2024", how="the price on offer, without work"),
    labour_hours=Hours(low=20, high=34),
)  # fmt: skip
SEED = model.Option(
    code="goalmouth/establish/broadcast-seed/kentucky-bluegrass/2026-09-01", zone="goalmouth", remedy="establish",
    method="broadcast-seed", grass="kentucky-bluegrass", variant="plain", start="2026-09-01", start_kind="window",
    decide_by="2026-09-20", verdict="not-advised", title="Kentucky bluegrass by broadcast seed, on or about 1 September 2026",
    grades=grades(ready_in_time="weak", fits_place="strong"), reasons=[reason("weak", "ready-in-time", "It is not ready by the date.")],
    cautions=["birds"], needs=[],
)  # fmt: skip
SEED_LATER = SEED.model_copy(
    update={
        "code": f"{SEED.code}-later",
        "start": "2027-04-10",
        "title": "Kentucky bluegrass by broadcast seed, on or about 10 April 2027",
    }
)
RECOVER = model.Option(
    code="middle/recover", zone="middle", remedy="recover", verdict="advised", title="Let the standing grass recover",
    grades=grades(money="strong"), reasons=[reason("strong", "money", "It costs little.")], cautions=["buried-lines"], needs=[],
)  # fmt: skip
CAUTIONS = [
    model.Caution(
        code="loose-goals",
        text="Keep everybody away from the loose goal.",
        who_decides="you, now",
        sources=["a-page"],
    ),
    model.Caution(
        code="buried-lines",
        text="Have pipes and cables marked. Then dig.",
        who_decides="the line owners",
        sources=["a-page"],
    ),
    model.Caution(
        code="sod-weight",
        text="Lift rolls in pairs.",
        who_decides="whoever is in charge of the work",
        sources=["a-page"],
    ),
    model.Caution(
        code="feed-law",
        text="Feeding is bound by law here. Look up today's law.",
        who_decides="state and local law",
        sources=["a-page"],
    ),
    model.Caution(
        code="backflow",
        text="A sprinkler on the main needs a device against backflow.",
        who_decides="the water company",
        sources=["a-page"],
    ),
]
ADVICE = model.Advice.model_validate({
    "knowledge": model.Cited(version="1.2", digest="0a1b2c", engines=["plain", "durable"]),
    "situation": [
        model.Known(key="place.name", value="Galway", how="told"), model.Known(key="dates.today", value="2026-05-01", how="told"), model.Known(key="dates.play_by", value="2026-07-01", how="told"),
        model.Known(key="field.area_m2", value=7000.0, how="assumed", note="middle of the published sizes"),
    ],
    "today": [
        model.Doing(code="close-today", text="Shut the field today.", who_decides="the owner of the ground"),
        model.Doing(code="loose-goals", text="Keep everybody away from the loose goal.", who_decides="you, now"),
    ],
    "causes": [
        CauseFound(
            code="goalmouth", zone="goalmouth", text="The keeper stands there all week.", sure=False, look_at="Draw the bare shapes on a plan.",
            bare_again_unless="It will be bare again in a few weeks unless the goals go on moving.", rules=["c"], sources=["a-page"],
        ),
    ],
    "diagnosis": [
        model.Diagnosis(code="remedy-recover", zone="middle", text="It needs rest, feed and water.", rules=["d"], sources=["a-page"]),
        model.Diagnosis(code="kind-repair", zone="goalmouth", text="The bare patch is solid.", rules=["d"], sources=["a-page"]),
    ],
    "decision": "repair", "fate": FATE, "options": [SOD, RECOVER, SEED, SEED_LATER],
    "programme": [
        model.Answer(
            zone="goalmouth", area_m2=120, decision="repair", option=SOD.code, text=f"{SOD.title}.", better_than="Next best: thin-cut sod; it is ready later.",
            rests_on=RESTS_ON, meanwhile=MEANWHILE, instead=INSTEAD,
        ),
        model.Answer(zone="middle", area_m2=2000, decision="recover", option=RECOVER.code, text="Let the standing grass recover.", meanwhile=["Cut hours until it thickens."], window=WINDOW),
        model.Answer(zone="square [red]", area_m2=None, decision="left alone", option=None, text="This part is left alone."),
    ],
    "needs": [
        model.NeedRow(code="rope", zone="goalmouth", text="A rope that keeps people off.", sources=["a-page"]),
        model.NeedRow(code="rota", zone="", text="A list of who waters on which day.", sources=["a-page"]),
    ],
    "cautions": CAUTIONS,
    "opening": [
        OpeningCheck(check="Tug test", how="Pull a handful of leaves.", n=10, unit="count", pass_light="at most 1 lifts", pass_full="not one may fail", instrument=False, sources=["a-page"]),
    ],
    "rescue": [RescueSign(sign="Sod lifts", look_at="Are there roots?", do="Keep off and water.", sources=["a-page"])],
    "proposals": [
        model.ProposalJudged(
            asked="Feed on 1 May 2026, goalmouth", judgement="sound-if", conditions=["the soil is moist"],
            reasons=[reason("fair", "risk", "Little and often is safer.")], cautions=["feed-law", "buried-lines"], better=["Split it into two feeds."],
        ),
        model.ProposalJudged(
            asked="Feed on 1 May 2026, middle", judgement="sound-if", conditions=["the soil is moist"],
            reasons=[reason("fair", "risk", "Little and often is safer.")], cautions=["feed-law", "buried-lines"], better=["Split it into two feeds."],
        ),
    ],
    "unknown": [
        model.UnknownRow(key="zone.sprayed", changes_first_choice=True, text="Was anything sprayed in the last six months?"),
        model.UnknownRow(key="zone.thatch_mm", changes_first_choice=False, text="How thick is the felt?"),
    ],
    "sure": model.Sure(level="likely", why="Water could not be judged."),
    "valid_until": "2026-05-10",
    "sources": [model.SourceRow(key="a-page", title="How a field is kept", publisher="A public body", year="2019", seen="excerpt", where="page 4")],
    "trace": [model.Traced(step=1, rule="fits", about=SOD.code, facts={"option.grass": "perennial-ryegrass"}, concludes="mark fits-place strong")],
})  # fmt: skip
