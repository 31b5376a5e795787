"""What is said of one part of the field: the decision, what goes before and after it, the next best, and how
the work is done.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping

from decide.answer.meanwhile import meanwhile_rows, needs_meanwhile
from decide.answer.next_window import next_good, next_window
from decide.answer.teller import Teller, lower_first
from decide.decision.consultation import Consultation
from decide.decision.programme import Chosen
from decide.decision.rank import RANK, SOUND, VERDICT_ORDER, WISH, Weighed, first_difference
from decide.engine.language import CRITERIA, Fact, Rule
from decide.facts.draft import Draft
from decide.model import advice as out
from decide.model.row import Decision


def answer_of(t: Teller, zone: str, chosen: Chosen) -> out.Answer:
    """What is said of one zone, with what is done meanwhile and the next real window."""
    answer = chosen_answer(t, zone, chosen)
    answer = answer.model_copy(update={"not_chosen": not_chosen(t, zone, chosen)})
    if not needs_meanwhile(t.c, chosen, answer.decision):
        return answer
    rows, facts = meanwhile_rows(t.c, zone, answer.decision, chosen)
    t.cite(key for row in rows for key in row.sources)
    said = [text for row in rows if (text := t.text(row.text, facts))]
    return answer.model_copy(update={"meanwhile": said, "window": next_window(t, chosen)})


def not_chosen(t: Teller, zone: str, chosen: Chosen) -> list[str]:
    """Why what the person wished or was offered is not what is told to do, one sentence each."""
    told = {w.draft.code for w in chosen.named}
    said: list[str] = []
    for fact, wanted, name in (
        ("option.wished", "wished", t.k.text("answer-your-wish")),
        ("option.offer", "offered", t.k.text("answer-what-is-offered")),
    ):
        meant = [
            w
            for w in t.c.ranked
            if w.draft.zone == zone and w.draft.remedy == "establish" and w.facts.get(fact) == wanted
        ]
        if not meant or any(w.draft.code in told for w in meant):
            continue
        best = meant[0]
        reason = next((t.because(rule, best.facts) for rule in against(t, best)), "")
        verdict = (
            t.k.language.verdict(best.verdict)
            if best.verdict not in SOUND
            else t.k.text("answer-behind-the-choice")
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
            grave = next((t.because(rule, soonest.facts) for rule in against(t, soonest)), "")
            now = (
                t.k.text(
                    "answer-begun-sooner",
                    day=soonest.draft.start,
                    verdict=t.k.language.verdict(soonest.verdict),
                    why=grave,
                )
                if grave
                else ""
            )
        told_first = f"{name}: {lower_first(t.title(best.draft))} — {verdict}."
        said.append(" ".join(filter(None, (told_first, reason, now))))
    return said


def against(t: Teller, w: Weighed) -> list[Rule]:
    """The rules against an option, those that its verdict rests on first, then as bad as they are."""
    heavy = {"risk", *t.c.essential}
    rows = [rule for rule, _ in w.firings if rule.adverse or rule.then.grade == "doubtful"]
    return sorted(
        rows,
        key=lambda rule: (
            rule.then.act != "rule-out",
            rule.then.target not in heavy,
            RANK.get(rule.then.grade, -1),
        ),
    )


def chosen_answer(t: Teller, zone: str, chosen: Chosen) -> out.Answer:
    facts = t.c.zone_facts[zone]
    area = t.filled.areas.get(zone)
    name = t.zone_name(zone)
    decision = decision_of(t.c, zone)
    if decision == "left alone":
        return out.Answer(
            zone=name,
            area_m2=area,
            decision=decision,
            option=None,
            text=t.k.text("answer-left-alone"),
        )
    if place_is_missing(t.c, zone):
        text = t.k.text("answer-no-place")
        return out.Answer(zone=name, area_m2=area, decision=decision, option=None, text=text)
    if decision == "nothing to do":
        return out.Answer(
            zone=name,
            area_m2=area,
            decision=decision,
            option=None,
            text=t.k.text(
                "answer-nothing-to-do"
                if facts.get("zone.bare-percent") is not None
                else "answer-bare-not-told"
            ),
        )
    if chosen.option is None:
        assert chosen.least_bad is not None
        way = t.title(chosen.least_bad.draft)
        dated = t.filled.situation.dates.play_by is not None
        text = (
            t.k.text("answer-none-sound-by-the-date", way=way)
            if dated
            else t.k.text("answer-none-sound", way=way)
        )
        # The answer's own window, where it has one, says when to begin.
        later = next_good(t, zone) if chosen.after is None else ""
        return out.Answer(
            zone=name,
            area_m2=area,
            decision=decision,
            option=None,
            least_bad=chosen.least_bad.draft.code,
            text=f"{text} {later}".strip(),
        )
    draft = chosen.option.draft
    if chosen.stopgap is not None and not draft.new_grass:
        text = t.k.text(
            "answer-with-stopgap", way=t.title(draft), stopgap=lower_first(t.title(chosen.stopgap.draft))
        )
    elif chosen.stopgap is not None and not chosen.stopgap.draft.new_grass:
        text = t.k.text(
            "answer-carried-then", first=t.title(chosen.stopgap.draft), way=lower_first(t.title(draft))
        )
    elif chosen.stopgap is not None:
        text = t.k.text(
            "answer-stopgap-then", first=t.title(chosen.stopgap.draft), way=lower_first(t.title(draft))
        )
    else:
        text = f"{t.title(draft)}. {begun_again(t, draft, facts)}".strip()
    better = ""
    if chosen.runner_up is not None:
        first, one = (
            (chosen.option, t.k.text("answer-this-choice"))
            if chosen.stopgap is None or not draft.new_grass
            else (chosen.stopgap, t.k.text("answer-the-stopgap"))
        )
        better = t.k.text(
            "answer-next-best",
            way=lower_first(t.title(chosen.runner_up.draft)),
            why=better_by(t, first, chosen.runner_up, one),
        )
    return out.Answer(
        zone=name,
        area_m2=area,
        decision=decision,
        option=draft.code,
        stopgap=chosen.stopgap.draft.code if chosen.stopgap else None,
        runner_up=chosen.runner_up.draft.code if chosen.runner_up else None,
        text=text,
        better_than=better,
        rests_on=t.rests_on(chosen.option),
        instead=instead_of(t, chosen),
        how=work_steps(
            t,
            chosen.stopgap
            if chosen.stopgap is not None and chosen.stopgap.draft.new_grass
            else chosen.option,
        ),
    )


def better_by(t: Teller, w: Weighed, other: Weighed, one: str) -> str:
    """Where the chosen of two ways, called `one`, first parts from the other."""
    place, verdict = first_difference(w, other, t.c.order), t.k.language.verdict(other.verdict)
    if place == "verdict":
        return (
            t.k.text("answer-only", verdict=verdict)
            if VERDICT_ORDER.index(w.verdict) < VERDICT_ORDER.index(other.verdict)
            else t.k.text(
                "answer-other-verdict", other=verdict, one=one, verdict=t.k.language.verdict(w.verdict)
            )
        )
    plain = {
        WISH: t.k.text("answer-better-on", one=one, criterion=t.k.text("answer-better-on-wish")),
        "date": t.k.text("answer-sooner", one=one),
        "cost": t.k.text("answer-cheaper", one=one),
        "cost-class": t.k.text("answer-cheaper", one=one),
        "code": t.k.text("answer-level"),
    }
    return plain.get(place) or t.k.text(
        "answer-better-on", one=one, criterion=t.k.language.criterion(place) if place in CRITERIA else place
    )


def instead_of(t: Teller, chosen: Chosen) -> str:
    """The other side of a trade: what is sooner at a risk, with its dates; "" where there is none."""
    w = chosen.instead
    if w is None or w.draft.start is None:
        return ""
    ready = "" if w.ready is None else t.k.text("answer-slow-year", day=w.ready)
    if w.verdict == "late":
        return f"{t.k.text('answer-cheaper-way', way=lower_first(t.title(w.draft)))} {ready}".strip()
    weak = next(
        (
            t.because(rule, w.facts)
            for rule, _ in w.firings
            if rule.adverse and rule.then.target in ("risk", "lasts")
        ),
        "",
    )
    said = t.k.text(
        "answer-sooner-way", way=lower_first(t.title(w.draft)), verdict=t.k.language.verdict(w.verdict)
    )
    return " ".join(part for part in (said, ready, weak) if part)


def begun_again(t: Teller, draft: Draft, facts: Mapping[str, Fact]) -> str:
    """The share of what was begun that is begun again today, and when that share bears full play in a slow
    year; "" where none is.
    """
    share = facts.get("zone.begin-again-percent")
    if draft.remedy != "carry-on" or not isinstance(share, float) or not share:
        return ""
    late = (
        None if t.filled.site is None else t.c.measures.readiness(draft.key, t.filled.today)["full-play"].late
    )
    if late is None:
        return t.k.text("answer-again", percent=round(share))
    by = t.filled.today + dt.timedelta(days=late)
    return t.k.text("answer-again-by", percent=round(share), day=by)


def work_steps(t: Teller, w: Weighed) -> list[str]:
    """How the work is done, step by step."""
    if w.draft.remedy != "establish":
        return []
    steps = [step.text for step in t.k.methods[w.draft.method].steps if t.c.holds(step, w.facts)]
    if w.draft.variant != "plain":
        steps = [t.k.variants[w.draft.variant].text, *steps]
    said = [t.text(step, w.facts) for step in steps]
    return [step for step in said if step]


def place_is_missing(c: Consultation, zone: str) -> bool:
    """Whether new grass may be called for and none can be named, because nobody told where the field is."""
    return (
        c.filled.site is None
        and c.zone_facts[zone].get("zone.remedy-establish") is not False
        and c.chosen[zone].option is None
    )


def decision_of(c: Consultation, zone: str) -> Decision:
    """The decision on a zone."""
    facts, chosen = c.zone_facts[zone], c.chosen[zone]
    if c.left_alone(zone):
        return "left alone"
    if chosen.option is None:
        return "none sound" if place_is_missing(c, zone) or chosen.least_bad is not None else "nothing to do"
    if chosen.stopgap is not None and chosen.stopgap.draft.new_grass and chosen.option.draft.new_grass:
        return "stopgap then renovate"
    remedy = c.knowledge.remedies[chosen.option.draft.remedy]
    return next(row.says for row in remedy.decisions if c.book.holds(row, facts))


def field_decision(c: Consultation, decisions: Mapping[str, Decision]) -> Decision:
    """The decision on the field: that of its largest zone that needs one; zones without an area count as they
    are listed.
    """
    working = [
        zone for zone, said in decisions.items() if said not in ("left alone", "nothing to do")
    ] or list(decisions)
    return decisions[
        max(enumerate(working), key=lambda item: (c.filled.areas.get(item[1]) or 0, -item[0]))[1]
    ]
