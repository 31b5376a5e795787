"""The checker of contradictions names each kind that is planted into a good advice, and finds none in the case bank."""

from __future__ import annotations

import datetime as dt
import functools
import random
import re
from collections.abc import Callable
from types import SimpleNamespace
from typing import Any, Final

import pytest

from decide.model import advice as out
from decide.model.advice import Advice
from decide.model.planned import Clash, PlayHours, Purchase, Task, Watering, Week
from decide.model.row import DayRange, Hours
from decide.model.watched import OpenNow
from decide.questions.unknown import tried
from tests import voice
from tests.shared import BANK, LANGUAGE, case_codes, consulted
from tests.voice import Finished, contradictions, full_text

BASE: Final = "york-school-closed-summer"
SAMPLE: Final = 6
SEED: Final = 20
CODES: Final = random.Random(3).sample(case_codes(), len(case_codes()) // 2)
FAST: Final = frozenset(random.Random(SEED).sample(CODES, SAMPLE))

Change = Callable[[Advice], Advice]


@functools.cache
def advised(code: str) -> tuple[Advice, str]:
    """The advice of a case as a person gets it, and its full text."""
    advice = tried(consulted(code))
    return advice, full_text(advice)


# ---------- the bank ----------
@pytest.mark.slow
@pytest.mark.parametrize("code", [pytest.param(code, marks=() if code in FAST else BANK) for code in CODES])
def test_no_contradiction(code: str) -> None:
    assert contradictions(*advised(code)) == []


# ---------- planted contradictions ----------
def changed(row: Any, **update: Any) -> Any:
    return row.model_copy(update=update)


def with_answer(**update: Any) -> Change:
    return lambda a: changed(a, programme=[changed(a.programme[0], **update), *a.programme[1:]])


def with_option(**update: Any) -> Change:
    """The chosen option with other values; a value that is a function is given the option."""

    def change(a: Advice) -> Advice:
        code = a.programme[0].option

        def new(o: out.Option) -> out.Option:
            return changed(
                o, **{name: value(o) if callable(value) else value for name, value in update.items()}
            )

        return changed(a, options=[new(o) if o.code == code else o for o in a.options])

    return change


def with_task(template: str, **update: Any) -> Change:
    return lambda a: changed(a, plan=[changed(t, **update) if t.template == template else t for t in a.plan])


def with_start(**update: Any) -> Change:
    """The task that sows, lays or plants, whichever way the case is answered."""
    return lambda a: changed(a, plan=[changed(t, **update) if voice.is_start(t) else t for t in a.plan])


def with_told(key: str, value: Any) -> Change:
    return lambda a: changed(
        a,
        situation=[
            *(row for row in a.situation if row.key != key),
            out.Known(key=key, value=value, how="told"),
        ],
    )


def without(key: str) -> Change:
    return lambda a: changed(a, situation=[row for row in a.situation if row.key != key])


def more(field: str, *rows: Any) -> Change:
    return lambda a: changed(a, **{field: [*getattr(a, field), *rows]})


def both(*changes: Change) -> Change:
    return lambda a: functools.reduce(lambda held, change: change(held), changes, a)


def with_fate(**values: Any) -> Change:
    """A fate of the date as any object that has its names, so that the contract may still grow."""

    def change(a: Advice) -> Advice:
        made = changed(a)
        object.__setattr__(made, "fate", SimpleNamespace(by=by(a).isoformat(), zones={}, text="", **values))
        return made

    return change


def chosen(a: Advice) -> out.Option:
    option = a.option(a.programme[0].option)
    assert option is not None
    return option


def by(a: Advice) -> dt.date:
    return dt.date.fromisoformat(next(str(row.value) for row in a.situation if row.key == "dates.play_by"))


def later(iso: str | None, days: int) -> str:
    assert iso is not None
    return (dt.date.fromisoformat(iso) + dt.timedelta(days=days)).isoformat()


def moved(field: str, early: int, late: int) -> Callable[[out.Option], DayRange]:
    """The days of an option moved by so many days at either end."""

    def move(o: out.Option) -> DayRange:
        span = getattr(o, field)
        return DayRange(early=later(span.early, early), late=later(span.late, late))

    return move


def reason(text: str) -> Callable[[out.Option], list[out.Reason]]:
    return lambda o: [
        *o.reasons,
        out.Reason(
            **{"for": False}, grade="weak", criterion="stands-use", text=text, rules=["none"], sources=[]
        ),
    ]  # type: ignore[arg-type]


def rain_covers(a: Advice) -> Advice:
    water = out.Water(litres_a_day=0.0, hours_a_day=None, visits_a_day=0.0)
    return with_option(water=water, reasons=reason("In a normal year rain covers what turf uses then."))(a)


def watered(**update: Any) -> Change:
    """The first stage of watering, from the day of the start on."""

    def change(a: Advice) -> Advice:
        o = chosen(a)
        row = Watering(
            **{"from": o.start},
            zone=o.zone,
            stage="until it is up",
            until=later(o.start, 14),
            times_a_day=2.0,
            mm_each=2.0,
            times_a_week=6.0,
            mm_a_week=12.0,
            litres_each=5000.0,
            litres_a_week=30000.0,
            minutes_each=30.0,
            text="Each day without rain: 2 times, 2 mm each time.",
        )  # type: ignore[arg-type]
        return changed(a, watering=[changed(row, **update)])

    return change


def week_of_the_start(**update: Any) -> Change:
    def change(a: Advice) -> Advice:
        start = dt.date.fromisoformat(chosen(a).start or "")
        row = Week(
            monday=(start - dt.timedelta(days=start.weekday())).isoformat(),
            tasks=[],
            hours=Hours(low=5, high=200),
            hours_there_are=20.0,
            hours_short=None,
        )
        return changed(a, weeks=[changed(row, **update)])

    return change


def too_soon(a: Advice) -> Advice:
    o = chosen(a)
    start = dt.date.fromisoformat(o.start or "")
    fits = f"The first start that fits is {LANGUAGE.day(start + dt.timedelta(days=1))}."
    text = f"The choice starts on {LANGUAGE.day(start)}, and that is 1 day too soon. {fits}"
    return changed(
        a, clashes=[Clash(zone=o.zone, tasks=[], days_short=1, first_start=later(o.start, 1), text=text)]
    )


def quicker_rival(a: Advice) -> Advice:
    """Another usable way that is within the hours, beside a choice that is not."""
    o = chosen(a)
    rival = changed(
        o,
        code="whole-field/establish/slit-seed/perennial-ryegrass/2026-05-15",
        method="slit-seed",
        title="A rival",
        labour_hours=Hours(low=2, high=8),
    )
    return changed(
        with_option(labour_hours=Hours(low=20, high=60))(a),
        options=[*with_option(labour_hours=Hours(low=20, high=60))(a).options, rival],
    )


def open_today(judgement: str) -> Change:
    def change(a: Advice) -> Advice:
        today = dt.date.fromisoformat(next(str(row.value) for row in a.situation if row.key == "dates.today"))
        judged = out.ProposalJudged(
            asked=f"Open to play on {LANGUAGE.day(today)}",
            judgement=judgement,
            conditions=["The owner says yes."],
            reasons=[],
            cautions=[],
            better=[],
        )  # type: ignore[arg-type]
        shut = [
            out.Doing(code="close-today", text="Shut the field today. A foot in a hole breaks an ankle."),
            out.Doing(code="holes", text="Mark each hole."),
        ]
        return changed(a, proposals=[judged], today=shut)

    return change


def barred(a: Advice) -> Advice:
    row = out.Caution(
        code="pesticides-barred",
        text="Weed and pest killers are barred on this ground.",
        who_decides="today's law",
        sources=[],
    )
    return changed(a, cautions=[*a.cautions, row])


def bought(item: str, how: str) -> Purchase:
    return Purchase(
        code="x/whole-field", supply="starter", zone="whole field", item=item, amount=1.0, unit="kg", how=how
    )


def need(code: str, text: str) -> out.NeedRow:
    return out.NeedRow(code=code, zone="whole field", text=text, sources=[])


def gate(light: str, full: str) -> OpenNow:
    return OpenNow(zone="whole field", light=light, full=full, because=[], checks=[])  # type: ignore[arg-type]


def task(a: Advice, template: str) -> Task:
    return next(t for t in a.plan if t.template == template)


def closed_winter(a: Advice) -> Advice:
    row = out.Caution(
        code="fertilizer-closed-season",
        text="Part of the year is closed to fertilizer here.",
        who_decides="today's law",
        sources=[],
    )
    fed = with_task("starter-feed", from_="2026-12-20", until="2026-12-20")
    return both(with_told("place.region", "us-ny"), more("cautions", row), fed)(a)


def bed_early(a: Advice) -> Advice:
    day_before = later(chosen(a).start, -100)
    bed = changed(
        task(a, "look-and-photo"), stage="bed", task="Loosen the bed", from_=day_before, until=day_before
    )
    return changed(a, plan=[*a.plan, bed])


def thick(a: Advice) -> Advice:
    o = chosen(a)
    code = o.code.replace(o.method or "", "thick-sod")
    sod = changed(o, code=code, method="thick-sod")
    look = changed(task(a, "look-and-photo"), text="White roots show? The tug must hold before any foot.")
    return changed(with_answer(option=code)(a), options=[sod, *a.options], plan=[*a.plan, look])


def half_south(a: Advice) -> Advice:
    return both(
        with_told("place.latitude", -33.0), with_task("look-and-photo", text="Spring weeds come up in May.")
    )(a)


def recovering(a: Advice) -> Advice:
    return with_option(
        reasons=reason(
            "It does not close up by the date, but with 75% of living turf it can be played on with care meanwhile."
        )
    )(a)


def next_best_of_its_own(a: Advice) -> Advice:
    title = chosen(a).title
    return with_answer(
        better_than=f"Next best: {title[0].lower()}{title[1:]}; the two are level; take whichever suits."
    )(a)


def next_best_worse_graded(a: Advice) -> Advice:
    other = next(
        o
        for o in a.options
        if o.zone == "whole field" and o.verdict in voice.USABLE and o.code != chosen(a).code
    )
    strong = changed(other, grades={**other.grades, "work": changed(other.grades["work"], grade="strong")})
    weak = with_option(grades=lambda o: {**o.grades, "work": changed(o.grades["work"], grade="weak")})(a)
    options = [strong if o.code == other.code else o for o in weak.options]
    title = f"{other.title[0].lower()}{other.title[1:]}"
    return with_answer(better_than=f"Next best: {title}; this choice is better on: work.")(
        changed(weak, options=options)
    )


LATE_BY: Final = 400
READ_THE_TEXT: Final = frozenset(
    {
        "law_of_another_place",
        "season_of_the_other_half",
        "sprayed_where_barred",
        "codes_shown",
        "open_braces",
        "empty_values",
        "doubled_words",
        "wrong_plurals",
        "empty_sentences",
    }
)
GRASS_LINE: Final = "Of bermudagrass ask for hulled seed."
PLANTED: Final[list[tuple[str, Change, str]]] = [
    # 1. headline, programme, text
    ("headline_of_no_zone", lambda a: changed(a, decision="recover"), "no zone has it"),
    ("decision_against_choice", with_answer(decision="recover"), "remedy is 'establish'"),
    ("decision_against_choice", with_answer(option=None), "chooses nothing"),
    ("decision_against_choice", with_answer(decision="nothing to do"), "still chooses"),
    ("decision_against_choice", with_answer(decision="stopgap then renovate"), "no stopgap"),
    ("decision_against_choice", with_answer(option="whole-field/none"), "not among the options"),
    ("choice_judged_unfit", with_option(verdict="not-advised"), "judged not advised"),
    (
        "answer_of_another_choice",
        with_answer(text="Tall fescue by thin-cut sod, from 1 June 2026."),
        "perennial ryegrass",
    ),
    ("next_best_against_grades", next_best_of_its_own, "the choice itself"),
    ("next_best_against_grades", next_best_worse_graded, "better on work"),
    # 2. water
    ("rain_covers_but_watered", both(rain_covers, watered()), "12 mm a week"),
    (
        "watered_but_rain_covers",
        both(
            with_option(water=out.Water(litres_a_day=900.0, hours_a_day=None, visits_a_day=2.0)),
            watered(mm_a_week=0.0),
        ),
        "900 litres",
    ),
    (
        "rain_covers_but_visits_lack",
        both(rain_covers, watered(mm_a_week=0.0), week_of_the_start(visits_short=3.0)),
        "3 visits",
    ),
    (
        "rain_covers_but_how_wets",
        both(rain_covers, with_answer(how=["Wet the top 2 to 3 times a day."])),
        "2 to 3 times a day",
    ),
    (
        "watering_row_against_itself",
        watered(text="In a normal year rain covers what it uses."),
        "rain covers what it uses",
    ),
    (
        "watering_row_against_itself",
        both(
            watered(text="Without rain: about every 3 days, 8 mm."),
            with_task("seed-not-up", text="Without rain: about every 3 days, 8 mm.", every_days=1.2),
        ),
        "every day",
    ),
    (
        "watered_without_water",
        both(with_told("means.water", "none"), watered(), with_answer(how=["Water 3 times a day."])),
        "there is no water here",
    ),
    (
        "reason_against_water",
        both(rain_covers, with_option(reasons=reason("Rain falls 12 mm short by then."))),
        "12 mm short",
    ),
    # 3. opening
    ("dates_out_of_order", with_option(full_play=moved("light_use", -20, -20)), "full play is given"),
    ("dates_out_of_order", with_option(light_use=moved("first_mow", -3, -3)), "the first cut only"),
    ("dates_out_of_order", with_option(light_use=moved("germination", -3, -3)), "the first green only"),
    ("plan_opens_apart", with_task("open-light", from_="2026-05-20"), "at the earliest"),
    ("plan_opens_apart", with_task("open-full", from_="2027-05-20"), "at the latest"),
    ("plan_opens_out_of_order", with_task("open-full", from_="2026-05-20"), "'Open to light use"),
    ("plan_opens_out_of_order", with_task("first-cut", from_="2027-05-20"), "'First cut'"),
    (
        "cuts_without_time",
        both(with_task("cut-often", every_days=30.0), with_option(light_use=moved("light_use", 0, 1))),
        "one every 30 days",
    ),
    (
        "hours_before_opening",
        more(
            "hours_per_week_after_opening",
            PlayHours(**{"from": "2026-05-16"}, zone="whole field", hours=4, text="Light use."),
        ),
        "16 May 2026",
    ),  # type: ignore[arg-type]
    ("gates_out_of_order", more("open_now", gate("not yet", "yes")), "'not yet'"),
    # 4. law
    (
        "sprayed_where_barred",
        both(barred, with_task("look-and-photo", text="Have the weeds sprayed.")),
        "Have the weeds sprayed",
    ),
    (
        "sprayed_where_barred",
        both(barred, more("shopping", bought("weed killer", "For all of it."))),
        "the shopping list",
    ),
    (
        "phosphorus_where_barred",
        both(
            with_told("limits.phosphorus_law", "banned"),
            more("shopping", bought("Starter fertilizer", "1 kg of 18-24-12.")),
        ),
        "18-24-12",
    ),
    (
        "feed_bought_and_used_apart",
        both(
            lambda a: changed(a, shopping=[bought("Feed without phosphate", "1 kg of nitrogen.")]),
            with_answer(how=["From a bag such as 18%, 24%, 12%."]),
        ),
        "without phosphate",
    ),
    ("watered_where_barred", both(with_told("limits.water_law", "banned"), watered()), "watering is banned"),
    (
        "work_on_barred_days",
        both(
            with_told("dates.no_work.1.from", "2026-05-01"), with_told("dates.no_work.1.until", "2026-06-30")
        ),
        "no work can be done",
    ),
    ("fed_in_closed_season", closed_winter, "closed to feed"),
    # 5. needs
    ("needs_without_row", with_option(needs=["lime"]), "does not say what that is"),
    ("needs_unmet", more("needs", need("less-play-first", "Take hours off this ground.")), "Take hours off"),
    (
        "conditions_promised",
        more(
            "proposals",
            out.ProposalJudged(
                asked="Roll it", judgement="sound-if", conditions=[], reasons=[], cautions=[], better=[]
            ),
        ),
        "nothing follows",
    ),
    # 6. what does not fit
    ("start_that_does_not_fit", too_soon, "1 day too soon"),
    (
        "plan_starts_on_another_day",
        both(lambda a: changed(a, clashes=[]), with_start(from_="2026-09-01")),
        "1 September 2026",
    ),
    ("bed_left_open", bed_early, "100 days later"),
    ("wetting_longer_than_the_day", watered(minutes_each=900.0), "a day has 24"),
    (
        "hours_short_though_another_fits",
        both(quicker_rival, week_of_the_start(hours_short=30.0)),
        "is usable and takes up to",
    ),
    (
        "contractors_hours_counted_as_yours",
        both(
            with_told("means.contractor", True),
            with_start(who="contractor"),
            week_of_the_start(hours_short=5.0),
        ),
        "a contractor does",
    ),
    ("start_in_closed_window", with_option(window="closed", verdict="sound"), "closed then"),
    # 7. use and dangers
    (
        "grass_without_less_use",
        with_option(reasons=reason("No grass is advised without less use.")),
        "says less use",
    ),
    ("shut_though_in_play", with_told("zone.whole-field.in_play", True), "stays in play"),
    ("shut_though_in_play", with_told("dates.can_close", "no"), "cannot be shut"),
    ("shut_though_in_play", recovering, "played on with care"),
    ("opened_while_shut", open_today("sound"), "Shut the field today"),
    ("opened_while_shut", open_today("sound-if"), "Shut the field today"),
    ("dangers_unsaid", with_told("site.dangers", ["glass"]), "'glass' was told"),
    # 8. left over
    ("other_grass", with_answer(how=[GRASS_LINE]), "speaks of bermudagrass"),
    ("other_thickness_of_sod", thick, "thick sod is laid"),
    (
        "law_of_another_place",
        with_task("look-and-photo", text="Vermont allows no fertilizer on turf then."),
        "the law of Vermont",
    ),
    ("sport_not_told", with_task("look-and-photo", text="Cover the wicket first."), "'wicket'"),
    ("sport_not_told", both(with_told("use.1.sport", "baseball"), without("site.goals_anchored")), "goal"),
    ("season_of_the_other_half", half_south, "beside May"),
    # 9. the date
    (
        "date_not_told",
        both(without("dates.play_by"), with_answer(text="Nothing can be done by the date.")),
        "No date was told",
    ),
    (
        "fate_against_dates",
        both(with_fate(level="yes"), with_option(light_use=moved("light_use", 0, LATE_BY))),
        "'yes'",
    ),
    ("fate_against_dates", with_fate(level="no"), "'no'"),
    ("fate_against_dates", with_fate(level="yes", use="matches"), "is told for matches"),
    (
        "fate_against_dates",
        with_fate(level="likely", zone="whole field", matches_from="2029-05-01"),
        "1 May 2029",
    ),
    ("lateness_unsaid", with_option(light_use=moved("light_use", LATE_BY, LATE_BY)), "at the earliest"),
    ("lateness_unsaid", with_option(light_use=moved("light_use", 0, LATE_BY)), "may be ready only"),
    (
        "reasons_against_dates",
        with_option(reasons=reason("Even in a slow year it is ready 3 days before the date you want.")),
        "3 days",
    ),
    # 10. texts
    ("empty_values", with_task("look-and-photo", text="Spread None of it."), "None"),
    ("doubled_words", with_task("look-and-photo", text="Look at the the photo."), "the the"),
    ("wrong_plurals", with_task("look-and-photo", text="Wait 1 days."), "1 days"),
    ("wrong_plurals", with_task("look-and-photo", text="It takes 3 day."), "3 day"),
    ("empty_sentences", with_task("look-and-photo", text="Look.. Then go."), ".."),
    ("empty_sentences", with_task("look-and-photo", text=""), "says nothing"),
    ("double_spaces", with_task("look-and-photo", text="Look  twice."), "Two spaces"),
    ("open_braces", with_task("look-and-photo", text="Take {value:rate}."), "{value:rate}"),
    ("codes_shown", with_task("look-and-photo", text="Sow perennial-ryegrass."), "perennial-ryegrass"),
    ("codes_shown", with_task("look-and-photo", text="Look at zone.sun-hours first."), "zone.sun-hours"),
]


def found_by(check: str, advice: Advice, text: str) -> list[str]:
    return list(getattr(voice, check)(Finished(advice, text)))


@pytest.mark.slow
@pytest.mark.parametrize(
    ("check", "change", "words"), [pytest.param(*row, id=f"{n}-{row[0]}") for n, row in enumerate(PLANTED)]
)
def test_planted(check: str, change: Change, words: str) -> None:
    advice, text = advised(BASE)
    wrong = change(advice)
    # To write a report takes longer than to check it, and most checks do not look at it.
    said = full_text(wrong) if check in READ_THE_TEXT else text
    before = found_by(check, advice, text)
    new = [sentence for sentence in found_by(check, wrong, said) if sentence not in before]
    assert any(words in sentence for sentence in new), new


@pytest.mark.slow
def test_all_kinds_are_told_together() -> None:
    advice, _ = advised(BASE)
    wrong = both(with_told("dates.can_close", "no"), with_task("look-and-photo", text="Wait 1 days."))(advice)
    found = contradictions(wrong, full_text(wrong))
    assert any("cannot be shut" in sentence for sentence in found)
    assert any("'1 days'" in sentence for sentence in found)
    assert len(found) == len(set(found))


# What a text leaves out or says otherwise: the advice is left as it is, and its text is not that of it.
MISSING: Final[list[tuple[str, Change, str]]] = [
    (
        "headline_in_text",
        both(lambda a: changed(a, decision="recover"), with_answer(decision="recover")),
        "which is 'renovate'",
    ),
    (
        "choice_missing_in_text",
        with_option(title="Manilagrass by plugs, on or about 3 July 2026"),
        "Manilagrass",
    ),
    ("needs_without_row", more("needs", need("lime", "Lime at the rate of the soil test.")), "'lime'"),
    (
        "dangers_unsaid",
        more("today", out.Doing(code="glass", text="Shut it until it is clear.")),
        "Shut it until it is clear",
    ),
    (
        "dangers_unsaid",
        more(
            "cautions",
            out.Caution(
                code="fuel",
                text="Keep flames away from the spill.",
                who_decides="the fire service",
                sources=[],
            ),
        ),
        "Keep flames away",
    ),
    ("date_unspoken", with_fate(level="likely"), "The fate"),
]


@pytest.mark.slow
@pytest.mark.parametrize(
    ("check", "change", "words"), [pytest.param(*row, id=f"{n}-{row[0]}") for n, row in enumerate(MISSING)]
)
def test_text_of_another_advice(check: str, change: Change, words: str) -> None:
    advice, text = advised(BASE)
    wrong = change(advice)
    if hasattr(wrong, "fate") and isinstance(wrong.fate, SimpleNamespace):
        wrong.fate.text = "Training can begin by then, most likely."
    new = [
        sentence for sentence in found_by(check, wrong, text) if sentence not in found_by(check, advice, text)
    ]
    assert any(words in sentence for sentence in new), new


def test_date_that_the_text_forgets() -> None:
    advice, text = advised(BASE)
    cut = re.sub(r"(?i)the date (that )?you want", "then", text).replace(LANGUAGE.day(by(advice)), "then")
    assert any(
        "does not speak of that date" in sentence for sentence in voice.date_unspoken(Finished(advice, cut))
    )


def test_each_check_is_planted() -> None:
    """A check that nothing planted can wake would say nothing of the bank."""
    checks = {check.__name__ for checks in voice.KINDS.values() for check in checks}
    named = {row[0] for row in (*PLANTED, *MISSING)}
    apart = ["clash_that_another_has_not", "conditions_unsaid", "decided_after_the_start", "lists_promised"]
    assert sorted(checks - named) == apart


def test_lists_that_the_text_promises() -> None:
    advice, text = advised(BASE)
    promises = [
        "See what is not known, below.",
        "and 3 more; the full advice lists them.",
        "The least bad is named.",
    ]
    wrong = with_answer(decision="none sound", option=None, least_bad=None)(changed(advice, unknown=[]))
    found = " ".join(voice.lists_promised(Finished(wrong, "\n".join([*promises, text]))))
    assert "no open question" in found
    assert "it is the full advice" in found
    assert "none is" in found


def test_decided_after_the_start() -> None:
    advice, text = advised(BASE)
    wrong = with_option(decide_by=lambda o: later(o.start, 60))(advice)
    assert not list(voice.decided_after_the_start(Finished(wrong, text)))
    said = f"Decide by: {voice.shown(chosen(wrong).decide_by)}.\n{text}"
    assert any(
        "after it has begun" in sentence for sentence in voice.decided_after_the_start(Finished(wrong, said))
    )


def test_clash_that_another_has_not() -> None:
    advice, _ = advised(BASE)
    o = chosen(advice)
    clash = Clash(
        zone=o.zone,
        tasks=[],
        days_short=3,
        first_start=later(o.start, 9),
        text="New ground must be wetted every day, and on 3 days no work is allowed. Start later.",
    )
    rival = changed(o, code=f"{o.code}-later", start=later(o.start, 9), title="The same, nine days later")
    wrong = changed(advice, clashes=[clash], options=[*advice.options, rival])
    assert any(
        "is usable and has not got it" in sentence
        for sentence in voice.clash_that_another_has_not(Finished(wrong, full_text(wrong)))
    )


def test_conditions_that_the_text_forgets() -> None:
    advice, text = advised(BASE)
    answer = SimpleNamespace(zone="whole field", rests_on=["The soil is a loam."], instead="", window=None)
    wrong = SimpleNamespace(programme=[answer], option=advice.option)
    found = list(voice.conditions_unsaid(Finished(wrong, text)))  # type: ignore[arg-type]
    assert found == ["whole field: the answer rests on 'The soil is a loam.', and the text does not say it."]


def test_a_sentence_that_begins_with_none_is_one() -> None:
    advice, _ = advised(BASE)
    wrong = with_task("look-and-photo", text="Two thin coats. None before a storm.")(advice)
    assert not any("storm" in sentence for sentence in voice.empty_values(Finished(wrong, full_text(wrong))))
