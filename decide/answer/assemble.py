"""A finished consultation → the advice that people and programs read."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterable, Mapping, Sequence
from functools import cached_property
from typing import Any, Final, Literal

from pydantic import BaseModel

from decide.answer.fate import fate_of
from decide.answer.meanwhile import closes, meanwhile_rows, needs_meanwhile, window_of
from decide.answer.opening import open_now, signs_seen
from decide.answer.season import season_of
from decide.decision.consultation import Consultation, JudgedStep
from decide.decision.programme import LASTING, STOPGAP, Chosen
from decide.decision.rank import RANK, RULED_OUT, TIME, USABLE, VERDICT_ORDER, Weighed, first_difference
from decide.engine.language import ADVERSE, CRITERIA, ROLE, Fact, Firing, Rule
from decide.facts.draft import Draft, offers
from decide.facts.progress import sign_facts
from decide.knowledge.speaker import CRITERION_NAMES, STEP_NAMES, VERDICT_NAMES
from decide.measure import dates, growth
from decide.measure.odds import Planting
from decide.model import advice as out
from decide.model.wording import day, show
from decide.model.words import capital, first_sentence
from decide.model.written import coded
from decide.plan.buy import make_money, make_shopping, sources_of
from decide.plan.tasks import make_plan

REMEDY_DECISIONS: Final[Mapping[str, out.Decision]] = {
    "recover": "recover", "use-less": "use less", "mend-first": "mend the cause first", "move-play": "move play",
    "call-expert": "call an expert", "wait": "wait", "carry-on": "carry on",
}  # fmt: skip
MOST_WITH_ODDS: Final = 6
_PLACES: Final = ("none of this grass and start", "from one place", "from two places", "from three places")
# Measured facts that follow from one answer, and the key of that answer.
_ASKED_BY: Final[Mapping[str, str]] = {
    "zone.sprayed": "history.herbicides", "zone.weeks-since": "history.herbicides", "option.weeks-since": "history.herbicides",
    "zone.main-grass": "zone.grass", "zone.main-season-type": "zone.grass", "zone.main-habit": "zone.grass",
    "zone.living-percent": "zone.bare_percent", "zone.area-m2": "field.area_m2", "option.area-m2": "field.area_m2",
    "option.machine": "means.equipment_own", "option.offer": "offer", "zone.hours-resting": "use", "zone.hours-growing": "use",
    "site.hours-peak": "use", "option.visits-short": "means.wettings_weekday", "option.litres-short": "means.flow_l_min",
    "option.spare": "dates.play_by", "site.climate": "place.name", "option.free-days": "use",
}  # fmt: skip
Fired = Sequence[tuple[Rule, Firing]]


class _Maker:
    """Turns one consultation into rows; keeps the sources that are cited on the way."""

    def __init__(self, consultation: Consultation) -> None:
        self.c = consultation
        self.k, self.say, self.types = consultation.knowledge, consultation.say, consultation.types
        self.filled = consultation.filled
        self.cited: set[str] = set()
        # Hundreds of options give the same few reasons, so each sentence is made once.
        self.holes: dict[str, tuple[str, ...]] = {}
        self.said: dict[tuple[str, tuple[Fact | None, ...]], str] = {}

    # ---------- sentences ----------
    def because(self, rule: Rule, facts: Mapping[str, Fact]) -> str:
        if rule.id not in self.holes:
            self.holes[rule.id] = rule.because.facts
        names = self.holes[rule.id]
        key = (rule.id, tuple(facts.get(name) for name in names))
        if key not in self.said:
            self.said[key] = self.say.fill(rule.because, facts, self.types)
        return self.said[key]

    def cite(self, keys: Iterable[str]) -> list[str]:
        found = sorted(set(keys))
        self.cited |= set(found)
        return found

    def reason(self, rule: Rule, firing: Firing, facts: Mapping[str, Fact]) -> out.Reason:
        then = rule.then
        grade = then.grade if then.act == "mark" else "ruled-out"
        return out.Reason(
            **{"for": grade == "strong"}, grade=grade,  # type: ignore[arg-type]
            criterion=then.target if then.act in ("mark", "rule-out") else "",
            text=self.because(rule, facts), rules=[rule.id], sources=self.cite(rule.sources), open=list(firing.open),
        )  # fmt: skip

    def text(self, written: str, facts: Mapping[str, Fact]) -> str:
        """A text of the tables with its holes filled; a sentence whose figures are not known is left out."""
        return self.say.sentences(self.c.book.template(written), facts, self.types)

    # ---------- parts ----------
    def situation(self) -> list[out.Known]:
        clock = {"dates.today"} if self.filled.today_computed else set()
        rows = [
            out.Known(key=key, value=value, how="computed" if key in clock else "told")
            for key, value in _told(self.filled.situation)
        ]
        rows += [
            out.Known(key=key, value=value, how=how, note=note)  # type: ignore[arg-type]
            for key, value, how, note in self.filled.notes
        ]
        return rows

    def caution(self, code: str) -> out.Caution:
        row = self.k.cautions[code]
        return out.Caution(
            code=code,
            text=self.text(row.text, {}),
            who_decides=row.who_decides,
            sources=self.cite(row.sources),
        )

    def cautions(self, fired: Iterable[Rule]) -> list[str]:
        codes = {rule.then.target for rule in fired if rule.then.act == "caution"}
        return sorted(codes, key=lambda code: (self.k.cautions[code].order, code))

    def today(self) -> list[out.Doing]:
        rows: list[out.Doing] = []
        fired = self.c.site_layer.fired.get("site", [])
        for rule, _ in fired:
            if rule.then.act == "conclude" and rule.then.target == "site.close-today":
                rows.append(
                    out.Doing(
                        code="close-today",
                        text=f"Shut the field today. {first_sentence(self.because(rule, self.c.site))}",
                        who_decides="the owner of the ground, or the person in charge on the day",
                    )
                )
        for code in self.cautions(rule for rule, _ in fired):
            row = self.k.cautions[code]
            if row.order == 1:
                rows.append(
                    out.Doing(code=code, text=self.text(row.text, self.c.site), who_decides=row.who_decides)
                )
        return rows

    def causes(self) -> list[out.CauseFound]:
        rows: list[out.CauseFound] = []
        for zone, facts in self.c.zone_facts.items():
            fired = self.c.zone_layer.fired.get(zone, [])
            for code, cause in sorted(self.k.causes.items(), key=lambda item: (item[1].order, item[0])):
                gave = [
                    (rule, firing)
                    for rule, firing in fired
                    if rule.then.act == "conclude" and rule.then.target == cause.fact
                ]
                if not gave:
                    continue
                both = {**self.c.site, **facts}
                rows.append(out.CauseFound(
                    code=code, zone=self.zone_name(zone), text=" ".join(dict.fromkeys(self.because(rule, both) for rule, _ in gave)),
                    sure=not any(firing.open for _, firing in gave), look_at=self.text(cause.look_at, both),
                    bare_again_unless=self.text(cause.bare_again_unless, both), rules=[rule.id for rule, _ in gave],
                    sources=self.cite([*cause.sources, *(key for rule, _ in gave for key in rule.sources)]),
                ))  # fmt: skip
        return rows

    def diagnosis(self) -> list[out.Diagnosis]:
        rows: list[out.Diagnosis] = []
        for zone, facts in self.c.zone_facts.items():
            by_target: dict[str, list[Rule]] = {}
            for rule, _ in self.c.zone_layer.fired.get(zone, []):
                if rule.then.act == "conclude" and not rule.then.target.startswith("zone.cause-"):
                    by_target.setdefault(rule.then.target, []).append(rule)
            both = {**self.c.site, **facts}
            for target, rules in by_target.items():
                rows.append(out.Diagnosis(
                    code=target.removeprefix("zone."), zone=self.zone_name(zone),
                    text=" ".join(dict.fromkeys(self.because(rule, both) for rule in rules)), rules=[rule.id for rule in rules],
                    sources=self.cite(key for rule in rules for key in rule.sources),
                ))  # fmt: skip
        return rows

    def zone_name(self, code: str) -> str:
        return self.c.zones[code].name

    def range(self, draft: Draft, stage: str) -> out.DayRange | None:
        if draft.start is None or self.filled.site is None:
            return None
        ready = self.c.measures.readiness(draft.key, draft.start, draft.zone)[stage]
        if ready.early is None and ready.late is None:
            return None
        # What was begun and is not yet open opens no sooner than today.
        first = self.filled.today if draft.remedy == "carry-on" else draft.start
        early, late = (
            None if d is None else max(first, draft.start + dt.timedelta(days=d)).isoformat()
            for d in (ready.early, ready.late)
        )
        return out.DayRange(early=early, late=late)

    def up(self, draft: Draft) -> tuple[out.DayRange | None, out.DayRange | None]:
        """When it is up and when it is cut first; None where its first winter kills it, for sod nothing comes up."""
        site, season = self.filled.site, self.filled.season
        if draft.start is None or site is None or season is None or not draft.new_grass:
            return None, None
        start = draft.start
        if draft.variant == "dormant":
            window = self.filled.windows(draft.key, "dormant").window_on(dates.day_of_year(start))
            start = (
                start
                if window is None or window.quality != "dormant"
                else dates.date_on_or_after(window.closes, start) + dt.timedelta(days=1)
            )
        elif (
            season.readiness(draft.key, dates.day_of_year(start))["light-use"].winter == "lost"
            and draft.plant not in self.filled.library.constants.plants.warm
        ):
            return None, None
        green, cut = season.up(draft.key, dates.day_of_year(start))

        def span(days: growth.Days) -> out.DayRange | None:
            early, _, late = (None if d is None else (start + dt.timedelta(days=d)).isoformat() for d in days)
            return None if early is None or late is None else out.DayRange(early=early, late=late)

        return None if growth.made_from(growth.split_key(draft.key)[1]) == "sod" else span(green), span(cut)

    def readiness_note(self, draft: Draft) -> str:
        """How many places with published cases stand behind the dates of use; "" where enough do or no day can be worked out."""
        if draft.start is None or self.filled.site is None or not draft.new_grass:
            return ""
        constants = self.filled.library.constants
        ready, places = self.c.measures.readiness(draft.key, draft.start), constants.plants.places[draft.key]
        said = []
        for stage, name in (("light-use", "light use"), ("full-play", "full play")):
            if ready[stage].why == "no-data":
                said.append(f"{name}, no figure was found")
            elif places[stage] < constants.places_enough:
                said.append(f"{name}, {_PLACES[places[stage]]}")
        note = (
            f"Few published cases: {'; '.join(said)}. Go by the checks, not by the calendar." if said else ""
        )
        vigour = self.c.measures.vigour(draft.key, draft.start, draft.zone)
        slow = (
            f"The late days allow for {100 * vigour:.0f}% of full growth, because sun or rain is short here."
            if vigour < 1
            else ""
        )
        return f"{note} {slow}".strip()

    def dies(self, start: dt.date | None) -> tuple[str | None, out.DayRange | None]:
        """The median day of the killing frost from a start on, and its span in about two years of three."""
        frost = self.filled.site.frost if self.filled.site is not None else None
        if start is None or frost is None or frost.killing is None:
            return None, None
        median = dates.date_on_or_after(frost.killing, start)
        doubt = dt.timedelta(days=math.ceil(math.hypot(frost.doubt_days, frost.year_days)))
        return median.isoformat(), out.DayRange(
            early=max(start, median - doubt).isoformat(), late=(median + doubt).isoformat()
        )

    def claim(self, draft: Draft) -> str | None:
        claims = self.filled.library.constants.claims
        if draft.remedy != "establish" or draft.key not in claims:
            return None
        low, high = claims[draft.key]
        weeks = (
            "at once"
            if high == 0
            else f"in {low:g} weeks"
            if low == high
            else f"in {low:g} to {high:g} weeks"
        )
        return f"Sellers and custom say: playable {weeks}. This is a claim, not a date to plan on"

    def decide_by(self, draft: Draft) -> dt.date | None:
        """The last day on which this choice can still be made: the last safe start, less the longest delivery."""
        if draft.remedy == "carry-on":
            return None
        if draft.start is None or self.filled.site is None or draft.variant != "plain":
            return draft.start
        last = self.filled.windows(draft.key, draft.variant).last_day(dates.day_of_year(draft.start))
        end = draft.start if last is None else dates.date_on_or_after(last, draft.start)
        end = self._last_in_time(draft, draft.start, end)
        told = self.filled.situation.offer or []
        lead = max((told[n].lead_days or 0 for n in offers(self.filled, draft) or []), default=0)
        return max(end - dt.timedelta(days=lead), self.filled.today)

    def _last_in_time(self, draft: Draft, start: dt.date, end: dt.date) -> dt.date:
        """The last start up to `end` that is ready by the date wanted as surely as `start` is; `end` without a date or where `start` misses it."""
        play_by = self.filled.situation.dates.play_by
        stage = "light-use" if self.filled.situation.dates.first_use == "training" else "full-play"
        if play_by is None:
            return end

        def met(day: dt.date, part: str) -> bool:
            days = getattr(self.c.measures.readiness(draft.key, day, draft.zone)[stage], part)
            return days is not None and day + dt.timedelta(days=days) <= play_by

        part = next((each for each in ("late", "middle", "early") if met(start, each)), None)
        if part is None:
            return end
        days = (min(end, play_by) - start).days
        return next(
            (day for back in range(days + 1) if met(day := start + dt.timedelta(days=days - back), part)),
            start,
        )

    def odds(self, draft: Draft) -> out.OddsRow | None:
        """The odds of being ready by the date wanted; None without a date, for work without new grass and for winter cover."""
        dates_told, season = self.filled.situation.dates, self.filled.season
        by, start = dates_told.play_by, draft.start
        if (
            by is None
            or start is None
            or start >= by
            or season is None
            or draft.remedy != "establish"
            or draft.variant == "winter-overseed"
        ):
            return None
        stage = "light-use" if dates_told.first_use == "training" else "full-play"
        found = season.odds(
            Planting(draft.key, dates.day_of_year(start), stage, (by - start).days, draft.method)
        )
        if found is None:
            return None
        shares = {
            name: round(getattr(found, name), 3) for name in ("ready", "ready_least", "ready_most", "killed")
        }
        washed = None if found.washed_out is None else round(found.washed_out, 3)
        use: Literal["light use", "full play"] = "light use" if stage == "light-use" else "full play"
        return out.OddsRow(
            by=by.isoformat(),
            use=use,
            years=found.years,
            **shares,
            washed_out=washed,
            how=found.how,
            note=found.note,
        )

    @cached_property
    def with_odds(self) -> frozenset[str]:
        """The options whose odds are worked out: those that the programme names, the next best, and the leading ones of each zone."""
        codes: set[str] = set()
        for zone, chosen in self.c.chosen.items():
            leading = [w for w in self.c.ranked if w.draft.zone == zone and w.verdict in USABLE][
                :MOST_WITH_ODDS
            ]
            codes.update(
                w.draft.code
                for w in (chosen.stopgap, chosen.option, chosen.least_bad, chosen.runner_up, *leading)
                if w is not None
            )
        return frozenset(codes)

    def title(self, draft: Draft) -> str:
        at = {"earliest": "from", "begun": "begun on"}.get(draft.start_kind, "on or about")
        when = f", {at} {day(draft.start)}" if draft.start else ""
        return capital(self.say.way(draft.remedy, draft.plant, draft.method, draft.variant)) + when

    def option(self, w: Weighed) -> out.Option:
        d, facts = w.draft, w.facts
        reasons = [
            self.reason(rule, firing, facts)
            for rule, firing in w.firings
            if rule.then.act in ("mark", "rule-out")
        ]
        reasons.sort(key=lambda r: (r.for_, CRITERIA.index(r.criterion), r.rules))
        grades: dict[str, out.GradeRow] = {}
        marks = {
            (rule.then.target, rule.then.grade or RULED_OUT): rule
            for rule, _ in reversed(w.firings)
            if rule.then.act in ("mark", "rule-out")
        }
        for criterion in self.c.order:
            grade = w.grades[criterion]
            gave = marks.get((criterion, grade))
            grades[criterion] = out.GradeRow(
                grade=grade,  # type: ignore[arg-type]
                reason="" if gave is None else self.because(gave, facts),
                best=w.bests[criterion],  # type: ignore[arg-type]
            )
        rests_on = self.rests_on(w)
        unknown = sorted(
            {name for rule, could in w.could if rule.then.act == "rule-out" for name in could.unknown}
        )
        figure = self.c.figure
        litres, visits = figure(w, "option.litres-day"), figure(w, "option.visits-needed")
        labour = figure(w, "option.labour-hours.low"), figure(w, "option.labour-hours.high")
        cost = self.c.measures.cost(d) if d.remedy == "establish" and d.start is not None else None
        by = self.decide_by(d)
        winter = facts.get("option.first-winter")
        dies_by, dies_between = self.dies(d.start) if winter == "lost" else (None, None)
        germination, first_mow = self.up(d)
        mixture = self.k.mixtures.get(d.plant)
        return out.Option(
            code=d.code, zone=self.zone_name(d.zone), remedy=d.remedy, method=d.method or None,
            grass=d.plant if d.plant in self.k.grasses else None,
            mixture=[out.Part(grass=part.grass, percent_by_weight=self.k.value(part.share) or 0) for part in mixture.parts] if mixture else None,
            variant=d.variant if d.new_grass else None, start=d.start.isoformat() if d.start else None,
            start_kind=d.start_kind if d.start else None, decide_by=by.isoformat() if by else None,
            germination=germination, first_mow=first_mow, readiness_note=self.readiness_note(d),
            light_use=self.range(d, "light-use"), full_play=self.recovery(w) if d.remedy == "recover" else self.range(d, "full-play"), full_fixtures=self.range(d, "full-fixtures"),
            claim=self.claim(d), odds=self.odds(d) if d.code in self.with_odds else None,
            dies_by=dies_by, dies_between=dies_between,
            window=str(facts["option.window"]) if "option.window" in facts else None,
            verdict=w.verdict, verdict_reason=self.verdict_reason(w, grades) + self.part_reason(w), title=self.title(d), grades=grades, reasons=reasons,  # type: ignore[arg-type]
            cautions=self.cautions(rule for rule, _ in w.firings),
            needs=sorted({rule.then.target for rule, _ in w.firings if rule.then.act == "need"}),
            unknown=unknown, rests_on=rests_on,
            water=out.Water(litres_a_day=litres, hours_a_day=figure(w, "option.water-hours-day"), visits_a_day=visits) if litres is not None and visits is not None and self.filled.situation.means.water != "none" else None,
            cost=out.Cost(low=round(cost[0], 2), high=round(cost[1], 2), currency=cost[2], year=cost[3], how=cost[4]) if cost else None,
            labour_hours=out.Hours(low=labour[0], high=labour[1]) if labour[0] is not None and labour[1] is not None else None,
        )  # fmt: skip

    def rests_on(self, w: Weighed) -> list[str]:
        """Under which conditions a verdict holds: what rules that could still speak against it would want otherwise."""
        return self.conditions(w) if w.verdict in USABLE else []

    def conditions(self, w: Weighed) -> list[str]:
        """What every rule that could still speak against an option would want otherwise."""
        heavy = {"risk", "money", *self.c.essential}
        rules = [rule for rule in w.rests_on if rule.then.act == "rule-out" or rule.then.target in heavy]
        said: dict[str, None] = {}
        for rule in rules:
            if rule.sound_if is not None:
                said[_lower(self.say.fill(rule.sound_if, w.facts, self.types))] = None
        asked = [
            ask
            for rule in rules
            if rule.sound_if is None
            for ask in self.questions(
                name for condition in rule.conditions for name in condition.facts if name not in w.facts
            )[:1]
        ]
        return [*said, *(f"this is answered: {ask[:1].lower()}{ask[1:]}" for ask in dict.fromkeys(asked))]

    def verdict_reason(self, w: Weighed, grades: Mapping[str, out.GradeRow]) -> str:
        """What the verdict rests on most: the rule-out, the weak grade, or the answer that is missing."""
        if w.verdict == "ruled-out":
            return next(self.because(rule, w.facts) for rule, _ in w.firings if rule.then.act == "rule-out")
        weak = [criterion for criterion in self.c.order if grades[criterion].grade in ADVERSE]
        if w.verdict == "late":
            return grades[TIME].reason
        if w.verdict == "not-advised":
            return next(
                (
                    grades[criterion].reason
                    for criterion in weak
                    if criterion in self.c.essential and grades[criterion].reason
                ),
                "",
            )
        if w.verdict == "risky":
            return grades["risk"].reason
        asks = self.questions(
            name for rule, found in w.could if rule.then.act == "rule-out" for name in found.unknown
        )
        if w.verdict == "sound" and asks:
            return f"An answer that is still open could rule it out: {asks[0]}"
        if w.verdict == "sound" and weak:
            return grades[weak[0]].reason
        return self.because(self.c.book.rules[w.verdict_rule], w.facts)

    def part_reason(self, w: Weighed) -> str:
        """Why the programme takes an option, for the part that it plays, which by itself would not be usable; "" elsewhere."""
        chosen = self.c.chosen[w.draft.zone]
        if w.verdict in USABLE or (w is not chosen.stopgap and w is not chosen.option):
            return ""
        role = LASTING if w is chosen.option and LASTING in w.roles else STOPGAP
        return f" As a part of the programme: {_lower(next(self.because(rule, w.facts) for rule in self.c.book.rules.values() if rule.then.target == ROLE + role))}"

    def key_of(self, name: str) -> str:
        """The key of the situation whose answer settles a fact; "" where none does."""
        kind = self.types.get(name)
        return (
            kind.told
            if kind is not None and kind.told
            else _ASKED_BY.get(name.rpartition(".")[0], _ASKED_BY.get(name, ""))
        )

    def questions(self, names: Iterable[str]) -> list[str]:
        """The questions whose answers settle some unknown facts, each once, in the order of the talk."""
        asked = {question.key: question for question in self.k.questions}
        found = {key: asked[key] for name in names if (key := self.key_of(name)) in asked}
        return [question.ask for question in sorted(found.values(), key=lambda question: question.order)]

    def recovery(self, w: Weighed) -> out.DayRange | None:
        days = [self.c.figure(w, f"zone.recovery-days.{part}") for part in ("early", "late")]
        if days == [None, None]:
            return None
        early, late = (
            None if d is None else (self.filled.today + dt.timedelta(days=d)).isoformat() for d in days
        )
        return out.DayRange(early=early, late=late)

    def answer(self, zone: str, chosen: Chosen) -> out.Answer:
        """What is said of one zone, with what is done meanwhile and the next real window."""
        answer = self.chosen(zone, chosen)
        answer = answer.model_copy(update={"not_chosen": self.not_chosen(zone, chosen)})
        if not needs_meanwhile(self.c, chosen, answer.decision):
            return answer
        rows, facts = meanwhile_rows(self.c, zone, answer.decision, chosen)
        self.cite(key for row in rows for key in row.sources)
        said = [text for row in rows if (text := self.text(row.text, facts))]
        return answer.model_copy(update={"meanwhile": said, "window": self.window(chosen)})

    def not_chosen(self, zone: str, chosen: Chosen) -> list[str]:
        """Why what the person wished or was offered is not what is told to do, one sentence each."""
        told = {w.draft.code for w in chosen.named}
        said: list[str] = []
        for fact, wanted, name in (
            ("option.wished", "wished", "Your wish"),
            ("option.offer", "offered", "What is offered"),
        ):
            meant = [
                w
                for w in self.c.ranked
                if w.draft.zone == zone and w.draft.remedy == "establish" and w.facts.get(fact) == wanted
            ]
            if not meant or any(w.draft.code in told for w in meant):
                continue
            best = meant[0]
            reason = next((self.because(rule, best.facts) for rule in self._against(best)), "")
            verdict = (
                VERDICT_NAMES[best.verdict]
                if best.verdict not in ("advised", "sound")
                else "sound, and stands behind the choice"
            )
            soonest = min(
                (w for w in meant if w.draft.start is not None),
                key=lambda w: (w.draft.start, w.draft.code),
                default=best,
            )
            now = ""
            if (
                soonest.draft.start is not None
                and best.draft.start is not None
                and soonest.draft.start < best.draft.start
            ):
                grave = next((self.because(rule, soonest.facts) for rule in self._against(soonest)), "")
                now = (
                    f" Begun sooner, on {day(soonest.draft.start)}: {VERDICT_NAMES[soonest.verdict]}. {grave}".rstrip()
                    if grave
                    else ""
                )
            said.append(f"{name}: {_lower(self.title(best.draft))} — {verdict}. {reason}{now}".strip())
        return said

    def _against(self, w: Weighed) -> list[Rule]:
        """The rules against an option, those that its verdict rests on first, then as bad as they are."""
        heavy = {"risk", *self.c.essential}
        rows = [rule for rule, _ in w.firings if rule.adverse or rule.then.grade == "doubtful"]
        return sorted(
            rows,
            key=lambda rule: (
                rule.then.act != "rule-out",
                rule.then.target not in heavy,
                RANK.get(rule.then.grade, -1),
            ),
        )

    def window(self, chosen: Chosen) -> out.Window | None:
        """The next real time for new grass, where the choice begins none."""
        w = window_of(chosen)
        if w is None or w.draft.start is None:
            return None
        last, by = closes(self.c, w), self.decide_by(w.draft)
        until = "" if last is None or last <= w.draft.start else f", until about {day(last)}"
        decide = "" if by is None else f" Decide by {day(by)}."
        full = self.range(w.draft, "full-play")
        light = self.range(w.draft, "light-use")
        days = [
            (name, day(dt.date.fromisoformat(found.late)))
            for name, found in (("training", light), ("matches", full))
            if found is not None and found.late
        ]
        ready = (
            f" In a slow year it bears {' and '.join(f'{name} from {late}' for name, late in days)}."
            if days
            else ""
        )
        return out.Window(
            option=w.draft.code, opens=w.draft.start.isoformat(), closes=last.isoformat() if last else None, decide_by=by.isoformat() if by else None,
            light_use=light, full_play=full,
            text=f"Next real time for new grass: {_lower(self.title(w.draft))}{until}.{decide}{ready}",
        )  # fmt: skip

    def chosen(self, zone: str, chosen: Chosen) -> out.Answer:
        facts = self.c.zone_facts[zone]
        area = self.filled.areas.get(zone)
        name = self.zone_name(zone)
        decision = decision_of(self.c, zone)
        if decision == "left alone":
            return out.Answer(
                zone=name,
                area_m2=area,
                decision=decision,
                option=None,
                text="This part is left alone: no work is proposed here.",
            )
        if _place_is_missing(self.c, zone):
            text = "No grass and no date can be named before the place is known. Name the town, or a bigger one nearby."
            return out.Answer(zone=name, area_m2=area, decision=decision, option=None, text=text)
        if decision == "nothing to do":
            return out.Answer(
                zone=name,
                area_m2=area,
                decision=decision,
                option=None,
                text="Nothing needs doing here that the answers show. Keep up mowing, feeding and rest.",
            )
        if chosen.option is None:
            assert chosen.least_bad is not None
            by = "" if self.filled.situation.dates.play_by is None else " by the date"
            text = f"Nothing sound can be done{by} with what there is. The least bad: {self.title(chosen.least_bad.draft)}."
            # The answer's own window, where it has one, says when to begin.
            next_good = self.next_good(zone) if chosen.after is None else ""
            return out.Answer(
                zone=name,
                area_m2=area,
                decision=decision,
                option=None,
                least_bad=chosen.least_bad.draft.code,
                text=f"{text} {next_good}".strip(),
            )
        draft = chosen.option.draft
        if chosen.stopgap is not None and not draft.new_grass:
            text = (
                f"{self.title(draft)}. Meanwhile, as a stopgap: {_lower(self.title(chosen.stopgap.draft))}."
            )
        elif chosen.stopgap is not None and not chosen.stopgap.draft.new_grass:
            text = f"{self.title(chosen.stopgap.draft)} now; then {_lower(self.title(draft))}."
        elif chosen.stopgap is not None:
            text = f"{self.title(chosen.stopgap.draft)} as a stopgap now; then {_lower(self.title(draft))}, so that it lasts."
        else:
            text = f"{self.title(draft)}.{self.begun_again(draft, facts)}"
        better = ""
        if chosen.runner_up is not None:
            first, one = (
                (chosen.option, "this choice")
                if chosen.stopgap is None or not draft.new_grass
                else (chosen.stopgap, "the stopgap")
            )
            better = f"Next best: {_lower(self.title(chosen.runner_up.draft))}; {self.better_by(first, chosen.runner_up, one)}."
        return out.Answer(
            zone=name, area_m2=area, decision=decision, option=draft.code,
            stopgap=chosen.stopgap.draft.code if chosen.stopgap else None, text=text, better_than=better, rests_on=self.rests_on(chosen.option),
            instead=self.instead(chosen), how=self.how(chosen.stopgap if chosen.stopgap is not None and chosen.stopgap.draft.new_grass else chosen.option),
        )  # fmt: skip

    def better_by(self, w: Weighed, other: Weighed, one: str) -> str:
        """Where the chosen of two ways, called `one`, first parts from the other."""
        place, verdict = first_difference(w, other, self.c.order), VERDICT_NAMES[other.verdict]
        if place == "verdict":
            return (
                f"that one is only {verdict}"
                if VERDICT_ORDER.index(w.verdict) < VERDICT_ORDER.index(other.verdict)
                else f"that one is {verdict}, {one} {VERDICT_NAMES[w.verdict]}"
            )
        plain = {
            "date": f"{one} is ready sooner",
            "cost": f"{one} costs less",
            "code": "the two are level; take whichever suits",
        }
        return plain.get(place) or f"{one} is better on: {CRITERION_NAMES.get(place, place)}"

    def instead(self, chosen: Chosen) -> str:
        """The other side of a trade: what is sooner at a risk, with its dates; "" where there is none."""
        w = chosen.instead
        if w is None or w.draft.start is None:
            return ""
        ready = "" if w.ready is None else f" In a slow year it is ready on {day(w.ready)}."
        if w.verdict == "late":
            return f"If the date can move, a cheaper way: {_lower(self.title(w.draft))}.{ready}"
        weak = next(
            (
                self.because(rule, w.facts)
                for rule, _ in w.firings
                if rule.adverse and rule.then.target in ("risk", "lasts")
            ),
            "",
        )
        return f"If the date weighs more: {_lower(self.title(w.draft))}, {VERDICT_NAMES[w.verdict]}.{ready} {weak}".strip()

    def begun_again(self, draft: Draft, facts: Mapping[str, Fact]) -> str:
        """The share of what was begun that is begun again today, and when that share bears full play in a slow year; "" where none is."""
        share = facts.get("zone.begin-again-percent")
        if draft.remedy != "carry-on" or not isinstance(share, float) or not share:
            return ""
        late = (
            None
            if self.filled.site is None
            else self.c.measures.readiness(draft.key, self.filled.today)["full-play"].late
        )
        by = (
            ""
            if late is None
            else f"; in a slow year that part bears full play by {day(self.filled.today + dt.timedelta(days=late))}"
        )
        return f" About {round(share)}% of it is begun again now{by}."

    def how(self, w: Weighed) -> list[str]:
        """How the work is done, step by step."""
        if w.draft.remedy != "establish":
            return []
        steps = [step.text for step in self.k.methods[w.draft.method].steps if self.c.holds(step, w.facts)]
        if w.draft.variant != "plain":
            steps = [self.k.variants[w.draft.variant].text, *steps]
        said = [self.text(step, w.facts) for step in steps]
        return [step for step in said if step]

    def next_good(self, zone: str) -> str:
        """The next start of an option that is held back by nothing but the date or the means of today."""
        later = [
            w for w in self.c.ranked
            if w.draft.zone == zone and w.draft.start is not None and w.draft.start > self.filled.today
            and w.facts.get("option.window") == "good" and w.bests["fits-place"] not in ADVERSE and w.bests["risk"] not in ADVERSE
        ]  # fmt: skip
        if not later:
            return ""
        first = min(later, key=lambda w: (w.draft.start or dt.date.max, self.c.ranked.index(w)))
        assert first.draft.start is not None
        return f"The next good window opens on about {day(first.draft.start)} ({self.say.plant(first.draft.plant)}, {self.say.method(first.draft.method)})."

    def proposal(self, step: JudgedStep) -> out.ProposalJudged:
        facts = step.facts
        reasons = [
            self.reason(rule, firing, facts)
            for rule, firing in step.firings
            if rule.then.act in ("mark", "rule-out")
        ]
        conditions = [
            self.text(self.k.needs[rule.then.target].text, facts)
            for rule, _ in step.firings
            if rule.then.act == "need"
        ]
        could = [(rule, found) for rule, found in step.could if rule.then.act == "rule-out"]
        fired = [rule for rule, _ in step.firings]
        if step.option is not None:
            w = step.option
            worst = {"risk", *self.c.essential}
            reasons += [
                self.reason(rule, firing, w.facts) for rule, firing in w.firings
                if rule.then.act == "rule-out" or (rule.then.act == "mark" and (rule.then.grade in ADVERSE or step.verdict != "ruled-out") and rule.then.target in worst)
            ]  # fmt: skip
            conditions += [
                self.text(self.k.needs[rule.then.target].text, w.facts)
                for rule, _ in w.firings
                if rule.then.act == "need"
            ]
            fired += [rule for rule, _ in w.firings]
        if step.verdict == "sound-if":
            # A new sowing rests on all that its option rests on; a step on the answers that could still rule it out.
            conditions += self.conditions(step.option) if step.option is not None else []
            conditions += [
                self.say.fill(rule.sound_if, facts, self.types)
                for rule, _ in could
                if rule.sound_if is not None
            ]
            asks = self.questions(
                name for rule, found in could if rule.sound_if is None for name in found.unknown
            )
            conditions += [f"answer first: {ask}" for ask in asks]
        better = (
            [self.text(row.text, facts) for row in self.c.better(step)] if step.verdict != "sound" else []
        )
        chosen = self.c.chosen[step.zone].option
        if (
            step.option is not None
            and step.verdict in ("not-advised", "ruled-out")
            and chosen is not None
            and chosen.draft.code != step.option.draft.code
        ):
            better.append(f"What is advised here: {_lower(self.title(chosen.draft))}.")
        p = step.proposal
        what = STEP_NAMES.get(p.step, p.step.replace("-", " "))
        thing = (
            self.say.plant(self.k.plants.get(coded(p.mixture or p.grass or ""), ""))
            if (p.mixture or p.grass)
            else ""
        )
        if p.kind:
            thing = f"{p.kind.replace('-', ' ')} class"
        where = "" if len(self.c.zones) == 1 else f", {self.zone_name(step.zone)}"
        asked = f"{what} {thing}".strip() + f" on {day(p.start or self.filled.today)}{where}"
        reasons.sort(key=lambda r: (r.for_, r.criterion, r.rules))
        return out.ProposalJudged(
            asked=capital(asked), judgement=step.verdict, conditions=list(dict.fromkeys(conditions)),  # type: ignore[arg-type]
            reasons=list({reason.text: reason for reason in reasons}.values()), cautions=self.cautions(fired), better=list(dict.fromkeys(better)),
        )  # fmt: skip

    def needs(self, picked: Sequence[Weighed]) -> list[out.NeedRow]:
        rows: dict[tuple[str, str], out.NeedRow] = {}

        def add(code: str, zone: str, facts: Mapping[str, Fact]) -> None:
            row = self.k.needs[code]
            rows.setdefault(
                (code, zone),
                out.NeedRow(
                    code=code, zone=zone, text=self.text(row.text, facts), sources=self.cite(row.sources)
                ),
            )

        for rule, _ in self.c.site_layer.fired.get("site", []):
            if rule.then.act == "need":
                add(rule.then.target, "", self.c.site)
        for zone, facts in self.c.zone_facts.items():
            for rule, _ in self.c.zone_layer.fired.get(zone, []):
                if rule.then.act == "need":
                    add(rule.then.target, self.zone_name(zone), {**self.c.site, **facts})
        for w in picked:
            for rule, _ in w.firings:
                if rule.then.act == "need":
                    add(rule.then.target, self.zone_name(w.draft.zone), w.facts)
        return sorted(rows.values(), key=lambda row: (self.k.needs[row.code].order, row.zone, row.code))

    def opening(self, picked: Sequence[Weighed]) -> list[out.OpeningCheck]:
        rows: list[out.OpeningCheck] = []
        new = [w for w in picked if w.draft.new_grass] or list(picked)
        made = {str(w.facts.get("option.made-from", "seed")) for w in new}
        methods = {w.draft.method for w in new}
        facts = new[0].facts if new else {}
        for check in self.k.opening.values():
            if not made & set(check.made_from) or (check.methods and not methods & set(check.methods)):
                continue
            marks = [
                self.k.value(name) if name and not self.k.values[name].by else None
                for name in (check.pass_light, check.pass_full)
            ]
            units = [self.k.values[name].unit if name else "" for name in (check.pass_light, check.pass_full)]
            shown = [
                "" if mark is None else show(mark, unit, self.c.system)
                for mark, unit in zip(marks, units, strict=True)
            ]
            word = {"at-least": "at least ", "at-most": "at most ", "none-may": ""}[check.rule]
            spots = self.k.value(check.spots) if check.spots else None
            rows.append(out.OpeningCheck(
                check=check.check, how=self.text(check.how, facts), n=None if spots is None else round(spots), unit=units[0],
                pass_light=(word + shown[0]) if shown[0] else "not one may fail", pass_full=(word + shown[1]) if shown[1] else "not one may fail",
                instrument=check.who == "instrument", sources=self.cite(check.sources),
            ))  # fmt: skip
        return rows

    def rescue(self, picked: Sequence[Weighed]) -> list[out.RescueSign]:
        new = [w for w in picked if w.draft.new_grass]
        made = {str(w.facts.get("option.made-from")) for w in new}
        facts = new[0].facts if new else {}
        return [
            out.RescueSign(
                sign=self.text(sign.sign, facts),
                look_at=self.text(sign.look_at, facts),
                do=self.text(sign.do, facts),
                sources=self.cite(sign.sources),
            )
            for sign in self.k.rescue.values()
            if made & set(sign.made_from)
        ]

    def trace(self, picked: Sequence[Weighed]) -> list[out.Traced]:
        rows: list[out.Traced] = []

        def add(about: str, fired: Fired, facts: Mapping[str, Fact]) -> None:
            for rule, _ in fired:
                used = {
                    name: facts[name] for condition in rule.when for name in condition.facts if name in facts
                }
                then = rule.then
                said = f"{then.act} {then.target}" + (f" {then.grade}" if then.grade else "")
                rows.append(
                    out.Traced(step=len(rows) + 1, rule=rule.id, about=about, facts=used, concludes=said)
                )

        add("site", self.c.site_layer.fired.get("site", []), self.c.site)
        for sign in self.c.signs:
            add(
                sign.code,
                self.c.sign_layer.fired.get(sign.code, []),
                {**self.c.site, **sign_facts(self.filled, sign, self.c.measures)},
            )
        for zone, facts in self.c.zone_facts.items():
            add(zone, self.c.zone_layer.fired.get(zone, []), {**self.c.site, **facts})
        for w in picked:
            add(w.draft.code, w.firings, w.facts)
            rule = self.c.book.rules[w.verdict_rule]
            rows.append(
                out.Traced(
                    step=len(rows) + 1,
                    rule=rule.id,
                    about=w.draft.code,
                    facts={},
                    concludes=f"verdict {w.verdict}",
                )
            )
        for step in self.c.steps:
            add(f"proposal {step.proposal.step}/{step.zone}", step.firings, step.facts)
        return rows

    def valid_until(self, decide_by: Sequence[str]) -> str:
        """The day on which the advice grows old: after its stated days, or when something must be decided before."""
        today = self.filled.today
        days = self.k.value("advice-days") or 0
        old = (today + dt.timedelta(days=round(days))).isoformat()
        return min([old, *(date for date in decide_by if date > today.isoformat())])

    def sure(self, picked: Sequence[Weighed]) -> out.Sure:
        could: set[str] = {
            name
            for w in picked
            for rule, found in w.could
            if rule.then.act == "rule-out"
            for name in found.unknown
        }
        weak = [w for w in picked if w.verdict not in USABLE]
        if self.filled.site is None:
            return out.Sure(
                level="open", why="The place is not known, so no date could be worked out. Name the town."
            )
        if weak:
            return out.Sure(
                level="open", why="Nothing sound was found for a part of the field; the least bad is named."
            )
        if could:
            return out.Sure(
                level="open",
                why="An answer that is still missing could rule the choice out: "
                + (" ".join(self.questions(could)[:3]) or "see what is not known."),
            )
        open_marks = any(grade == "unknown" for w in picked for grade in w.grades.values())
        if open_marks:
            return out.Sure(
                level="likely",
                why="Nothing that is known speaks against it; some criteria could not be judged from the answers.",
            )
        return out.Sure(
            level="firm",
            why="Every criterion could be judged, and nothing that is still unknown can rule it out.",
        )

    def sources(self) -> list[out.SourceRow]:
        return [
            out.SourceRow(
                key=key,
                title=row.title,
                publisher=row.publisher,
                year=row.year,
                seen=row.seen,
                where=row.where,
            )
            for key, row in sorted(self.k.sources.items())
            if key in self.cited
        ]


def _lower(text: str) -> str:
    keep = text[:2].isupper() or text.split(" ", maxsplit=1)[0] in (
        "Kentucky",
        "St",
        "St.",
        "Japanese",
        "Bermuda",
        "I",
    )
    return text if keep else text[:1].lower() + text[1:]


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


def chosen_options(consultation: Consultation) -> list[Weighed]:
    """The options that the programme names, in the order of the zones."""
    return [w for chosen in consultation.chosen.values() for w in chosen.named]


def _place_is_missing(c: Consultation, zone: str) -> bool:
    """Whether new grass may be called for and none can be named, because nobody told where the field is."""
    return (
        c.filled.site is None
        and c.zone_facts[zone].get("zone.remedy-establish") is not False
        and c.chosen[zone].option is None
    )


def decision_of(c: Consultation, zone: str) -> out.Decision:
    """The decision on a zone."""
    facts, chosen = c.zone_facts[zone], c.chosen[zone]
    if facts.get("zone.left-alone") is True:
        return "left alone"
    if chosen.option is None:
        return "none sound" if _place_is_missing(c, zone) or chosen.least_bad is not None else "nothing to do"
    if chosen.stopgap is not None and chosen.stopgap.draft.new_grass and chosen.option.draft.new_grass:
        return "stopgap then renovate"
    remedy = chosen.option.draft.remedy
    if remedy == "establish":
        return "renovate" if facts.get("zone.kind-renovate") is True else "repair"
    return REMEDY_DECISIONS[remedy]


def field_decision(c: Consultation, decisions: Mapping[str, out.Decision]) -> out.Decision:
    """The decision on the field: that of its largest zone that needs one; zones without an area count as they are listed."""
    working = [
        zone for zone, said in decisions.items() if said not in ("left alone", "nothing to do")
    ] or list(decisions)
    return decisions[
        max(enumerate(working), key=lambda item: (c.filled.areas.get(item[1]) or 0, -item[0]))[1]
    ]


def advice_of(c: Consultation) -> out.Advice:
    """The advice as the contract gives it, made once, but for the questions that it leaves open: `questions.tried` adds them."""
    if c.made is None:
        c.made = make_advice(c)
    return c.made


def make_advice(c: Consultation) -> out.Advice:
    """The advice of a consultation, without the questions that it leaves open: `questions.tried` adds them."""
    m = _Maker(c)
    picked = chosen_options(c)
    answers = [m.answer(zone, chosen) for zone, chosen in c.chosen.items()]
    field = field_decision(c, {zone: answer.decision for zone, answer in zip(c.chosen, answers, strict=True)})
    site_fired = [rule for rule, _ in c.site_layer.fired.get("site", [])]
    zone_fired = [rule for rows in c.zone_layer.fired.values() for rule, _ in rows]
    picked_fired = [rule for w in picked for rule, _ in w.firings]
    step_fired = [
        rule for step in c.steps for rule, _ in [*step.firings, *(step.option.firings if step.option else [])]
    ]
    options = [m.option(w) for w in c.ranked]
    by = [row.decide_by for row in options if row.code in {w.draft.code for w in picked} and row.decide_by]
    trace = m.trace(picked)
    plan = make_plan(c, picked)
    shopping = make_shopping(c, picked, plan.tasks)
    signs = signs_seen(c)
    m.cited |= plan.sources | sources_of(shopping) | {key for sign in signs for key in sign.sources}
    # What the work itself calls for stands beside the rules' cautions.
    codes = {
        *m.cautions([*site_fired, *zone_fired, *picked_fired, *step_fired]),
        *plan.cautions,
        *(code for row in shopping for code in row.cautions),
    }
    return out.Advice(
        fate=fate_of(c),
        knowledge=out.Cited(version=c.knowledge.version, digest=c.knowledge.digest, engines=c.book.judge.names),
        situation=m.situation(), today=m.today(), causes=m.causes(), diagnosis=m.diagnosis(), decision=field,
        essential=[criterion for criterion in c.order if criterion in c.essential],
        options=options, programme=answers, needs=m.needs(picked),
        plan=plan.tasks, weeks=plan.weeks, watering=plan.watering, clashes=plan.clashes, plan_decide_by=plan.decide_by,
        hours_per_week_after_opening=plan.hours, year=plan.year, shopping=shopping, money=make_money(c, picked, plan.tasks, shopping),
        cautions=[m.caution(code) for code in sorted(codes, key=lambda code: (c.knowledge.cautions[code].order, code))],
        open_now=open_now(c), signs_seen=signs, opening=m.opening(picked), rescue=m.rescue(picked), proposals=[m.proposal(step) for step in c.steps],
        unknown=[], sure=m.sure(picked), valid_until=m.valid_until(by),
        season=season_of(c, options), sources=m.sources(), trace=trace,
    )  # fmt: skip
