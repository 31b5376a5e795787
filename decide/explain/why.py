"""Why this choice, and why one option stands before another."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from decide.decision.consultation import Consultation
from decide.decision.programme import Chosen
from decide.decision.rank import LIKE_TO_LIKE, RANK, RULED_OUT, WISH, Weighed, first_difference, sort_key
from decide.engine.language import ADVERSE, ANSWER, CRITERIA, LASTING, ROLE
from decide.engine.plain import standing
from decide.explain.reasons import (
    Compared,
    Explanation,
    Level,
    Placed,
    Reason,
    Teller,
    ends_words,
    part_facts,
)
from decide.facts.draft import Draft
from decide.knowledge.tables import Knowledge
from decide.model.errors import DecideError, meant
from decide.model.words import capital
from decide.model.written import coded

MOST_CONDITIONS: Final = 3
_BEFORE: Final = {"ruled-out": 0, "lost": 1, "poor": 2, "weak": 3, "doubtful": 4, "fair": 5, "strong": 6}


def title(c: Consultation, draft: Draft) -> str:
    """An option in words."""
    way = c.say.way(draft.remedy, draft.plant, draft.method, draft.variant)
    return way if draft.start is None else c.knowledge.text("way-start", way=way, day=draft.start)


def zone_name(c: Consultation, code: str) -> str:
    """The zone's own name."""
    return c.zones[code].name


def zone_code(c: Consultation, zone: str | None) -> str:
    """The code of a zone that is named; the first where none is. DecideError where there is no such zone."""
    if zone is None or not zone.strip():
        return next(iter(c.zones))
    if coded(zone) not in c.zones:
        raise DecideError(f"there is no zone {zone!r}", where="why", instead=meant(coded(zone), c.zones))
    return coded(zone)


def verdict_words(c: Consultation, w: Weighed) -> str:
    """The verdict with the reason of its rule."""
    because = c.say.fill(c.book.rules[w.verdict_rule].because, w.facts, c.types)
    weak = [
        c.knowledge.language.criterion(criterion)
        for criterion in c.order
        if criterion in c.essential and w.bests[criterion] in ADVERSE
    ]
    named = f" ({', '.join(weak)})" if w.verdict == "not-advised" and weak else ""
    return f"{capital(c.knowledge.language.verdict(w.verdict))}. {because}{named}"


# The places of a programme, with the parts that let an option stand there, the first first.


def placed(c: Consultation, zone: str) -> tuple[Placed, ...]:
    """Every option that the programme of a zone names, in the order of doing, with the rule that lets it
    stand there.
    """
    chosen, tell = c.chosen[zone], Teller(c)
    rows = (
        ("stopgap", "stopgap", chosen.stopgap), ("choice", "option", chosen.option),
        ("least bad", "least_bad", chosen.least_bad), ("after", "after", chosen.after),
        ("instead", "instead", chosen.instead), ("next best", "runner_up", chosen.runner_up),
    )  # fmt: skip
    found: list[Placed] = []
    for place, at, w in rows:
        if w is not None:
            reason = tell.part(w, *chosen.said_by.get(at, ()))
            found.append(Placed(place, w.draft.code, title(c, w.draft), w.verdict, reason))
    return tuple(found)


def place_words(c: Consultation, chosen: Chosen, row: Placed) -> str:
    """A place of the programme in words, with what its rule says of it."""
    grass = chosen.option is not None and chosen.option.draft.new_grass
    carries = chosen.stopgap is not None and not chosen.stopgap.draft.new_grass
    text = c.knowledge.text
    meanwhile = text("place-until-then") if grass else text("place-meanwhile")
    after = text("place-lasts-after") if grass else text("place-grass-after")
    heads = {
        "stopgap": text("place-until-grass-bears") if carries else meanwhile,
        "after": text("place-next-time") if chosen.option is None else after,
        "instead": text("place-other-side"),
    }
    verdict = f" ({c.knowledge.language.verdict(row.verdict)})" if row.place == "instead" else ""
    return (
        f"{heads[row.place]}: {row.title}{verdict}.{f' {row.reason.text}' if row.reason is not None else ''}"
    )


def rests_words(k: Knowledge, verdict: str, rests_on: Sequence[str], most: int | None) -> list[str]:
    """Under which conditions a verdict holds, in lines; at most so many."""
    shown = list(rests_on[:most])
    more = [k.text("and-more", n=len(rests_on) - len(shown))] if len(rests_on) > len(shown) else []
    head = k.text("why-only-if", verdict=k.language.verdict(verdict))
    return [head, *(f"- {text}." for text in shown), *more] if shown else []


def _sorted(reasons: Sequence[Reason], order: Sequence[str], for_: bool) -> list[Reason]:
    own = [reason for reason in reasons if reason.speaks_for is for_]
    return sorted(
        own, key=lambda r: (-_BEFORE[r.grade] if for_ else _BEFORE[r.grade], order.index(r.target), r.rule)
    )


def why(consultation: Consultation, zone: str | None = None, level: Level = 1) -> Explanation:
    """Why a zone's choice is the choice: its place in the programme, what the zone needs, then the reasons
    for and against it by criterion.

    `level` 1 is words only; 2 adds each rule's conditions with the facts; 3 adds sources and what each says.
    The data are the same at every level. DecideError where there is no such zone.
    """
    c, code = consultation, zone_code(consultation, zone)
    chosen, tell = c.chosen[code], Teller(c)
    facts = {**c.site, **c.zone_facts[code]}
    name = zone_name(c, code)
    w = chosen.option or chosen.least_bad
    if w is None:
        kind = "left-alone" if facts.get("zone.left-alone") is True else "nothing"
        fired = c.zone_layer.fired.get(code, [])
        reasons = tuple(
            tell.reason(rule, facts, firing.open)
            for rule, firing in fired
            if rule.then.target == "zone.left-alone"
        )
        said = c.knowledge.text("why-left-alone") if kind == "left-alone" else c.knowledge.text("why-nothing")
        return Explanation(
            "\n".join(
                [f"{capital(name)}: {said}", *(line for r in reasons for line in tell.lines(r, level))]
            ),
            kind,
            code,
            reasons=reasons,
            facts=facts,
        )
    programme, rests_on = placed(c, code), tell.rests_on(w) if chosen.option is not None else ()
    lines = [
        f"{capital(name)}: {title(c, w.draft)}. {verdict_words(c, w)}",
        *rests_words(c.knowledge, w.verdict, rests_on, MOST_CONDITIONS if level == 1 else None),
    ]
    if chosen.option is None:
        lines.append(c.knowledge.text("why-least-bad"))
    own = next((row.reason for row in programme if row.place == "choice"), None)
    if own is not None and ANSWER not in w.roles:
        lines += [own.text, *tell.lines(own, level)[1:]]
    for row in programme:
        if row.place in ("stopgap", "after", "instead"):
            lines += [
                place_words(c, chosen, row),
                *(tell.lines(row.reason, level)[1:] if row.reason is not None else []),
            ]
    needs = tuple(
        tell.reason(rule, facts, firing.open)
        for rule, firing in c.zone_layer.fired.get(code, [])
        if rule.then.target == f"zone.remedy-{w.draft.remedy}"
    )
    reasons = tell.reasons(w)
    for head, rows in (
        (c.knowledge.text("why-ground-needs"), list(needs)),
        (c.knowledge.text("why-for"), _sorted(reasons, c.order, True)),
        (c.knowledge.text("why-against"), _sorted(reasons, c.order, False)),
    ):
        if rows:
            lines += [head, *(line for reason in rows for line in tell.lines(reason, level))]
    if not reasons:
        lines.append(c.knowledge.text("why-no-rule"))
    other = runner_up(c, code, chosen)
    if other is not None:
        lines.append(passed(c, other) or better(c, w, other).text)
    return Explanation(
        "\n".join(lines), "chosen", code, w.draft.code, w.verdict, (*needs, *reasons),
        other="" if other is None else other.draft.code, facts=w.facts, rests_on=rests_on,
        programme=programme,
    )  # fmt: skip


def passed(c: Consultation, w: Weighed) -> str:
    """Why an option that stands before the choice in the order is not the choice; empty where it does not
    stand before it.
    """
    chosen = c.chosen[w.draft.zone]
    choice = chosen.option
    if choice is None or w in chosen.named or sort_key(choice, c.order) <= sort_key(w, c.order):
        return ""
    tell, head = Teller(c), c.knowledge.text("why-before", option=capital(title(c, w.draft)))
    if ANSWER in w.roles and LASTING not in w.roles and w.draft.remedy == "establish":
        return c.knowledge.text(
            "why-does-not-last",
            head=head,
            choice=capital(title(c, choice.draft)),
            and_in_time=" and is in time too" if ANSWER in choice.roles else "",
        )
    if ANSWER not in w.roles:
        facts = part_facts(c, w)
        failing = [
            [
                tell.held(condition, facts)
                for condition, holds in standing(rule, facts).when
                if holds is not True
            ]
            for rule in tell.giving(ROLE + ANSWER)
        ]
        nearest = min(
            (rows for rows in failing if rows and all(held.changes for held in rows)),
            key=lambda rows: (len(rows), sum(held.gap for held in rows)),
            default=[],
        )
        could = (
            c.knowledge.text("why-could-be", what="; and ".join(held.needed(c.knowledge) for held in nearest))
            if nearest
            else ""
        )
        return c.knowledge.text("why-not-by-itself", head=head, could=could)
    return c.knowledge.text("why-goes-with", head=head, choice=title(c, choice.draft))


def runner_up(c: Consultation, zone: str, chosen: Chosen) -> Weighed | None:
    """The next other way: the runner-up, else the first in order that is another remedy, method or grass than
    what is told.
    """
    if chosen.runner_up is not None or chosen.option is None:
        return chosen.runner_up
    told = {w.way[:3] for w in chosen.told}
    others = (w for w in c.ranked if w.draft.zone == zone and w.way[:3] not in told)
    return next((w for w in others if w.verdict != "ruled-out"), None)


def weighed(c: Consultation, option: Weighed | str) -> Weighed:
    """An option by its code; DecideError where there is none."""
    if isinstance(option, Weighed):
        return option
    if option not in c.weighed:
        raise DecideError(f"there is no option {option!r}", where="better", instead=meant(option, c.weighed))
    return c.weighed[option]


def better(consultation: Consultation, a: Weighed | str, b: Weighed | str, level: Level = 1) -> Explanation:
    """Why one of two options stands before the other: the first place in the order where they differ, then
    every criterion.

    Takes options or their codes; DecideError for a code that there is not. At level 1 it says the deciding
    place, and in one line each the criteria on which either is ahead; level 2 goes through all of them with
    their reasons, level 3 to the rules and sources. The data are the same at every level.
    """
    c, one, two = consultation, weighed(consultation, a), weighed(consultation, b)
    if sort_key(two, c.order) < sort_key(one, c.order):
        one, two = two, one
    place, said = in_order(c, one, two)
    tell = Teller(c)
    reasons: tuple[Reason, ...] = ()
    if place == "verdict":
        reasons = tuple(r for r in against(tell, two) if r.grade in ("ruled-out", *ADVERSE))[:1]
    elif place in CRITERIA:
        reasons = tuple(
            r for w in (one, two) for r in tell.reasons(w) if r.target == place and _gave(r, w, place)
        )
    criteria = tuple(_on(tell, criterion, one, two) for criterion in c.order)
    lines = [
        " ".join(
            [
                said,
                *dict.fromkeys(reason.text for reason in reasons),
                *(
                    text
                    for row in criteria
                    if row.criterion == place
                    for text in _hang_words(c.knowledge, row)[: 2 if level == 1 else None]
                ),
            ]
        )
    ]
    if level == 1:
        for ahead, head in ((1, c.knowledge.text("order-ahead")), (-1, c.knowledge.text("order-behind"))):
            rows = [
                c.knowledge.language.criterion(row.criterion)
                for row in criteria
                if _lead(row) == ahead and row.criterion != place
            ]
            lines += [f"{head}: {c.knowledge.language.listed(rows)}."] if rows else []
    else:
        for row in criteria:
            lines.append(
                c.knowledge.text(
                    "order-on",
                    criterion=capital(c.knowledge.language.criterion(row.criterion)),
                    one=ends_words(c.knowledge, row.one, row.best_one),
                    other=ends_words(c.knowledge, row.other, row.best_other),
                )
            )
            lines += [f"    {text}" for text in _hang_words(c.knowledge, row)]
            for whose, given in (
                ("order-this", row.reasons_one),
                ("order-other", row.reasons_other),
            ):
                for reason in given:
                    head, *deeper = tell.lines(reason, level)
                    lines += [f"    {c.knowledge.text(whose)}: {reason.text}", *deeper] if head else []
    return Explanation(
        "\n".join(lines),
        "compared",
        one.draft.zone,
        one.draft.code,
        one.verdict,
        reasons,
        other=two.draft.code,
        place=place,
        facts=one.facts,
        criteria=criteria,
    )


def _on(tell: Teller, criterion: str, one: Weighed, two: Weighed) -> Compared:
    given = [tuple(r for r in tell.reasons(w) if r.target == criterion) for w in (one, two)]
    hangs = [
        tell.hangs_on(w, criterion) if w.grades[criterion] != w.bests[criterion] else () for w in (one, two)
    ]
    return Compared(
        criterion, one.grades[criterion], two.grades[criterion], given[0], given[1], one.bests[criterion],
        two.bests[criterion], hangs[0], hangs[1],
    )  # fmt: skip


def _hang_words(k: Knowledge, row: Compared) -> list[str]:
    """What the best ends of two grades want, in sentences."""
    rows = (
        ("order-hangs-this", row.one, row.best_one, row.hangs_one),
        ("order-hangs-other", row.other, row.best_other, row.hangs_other),
    )
    return [
        k.text(whose, ends=ends_words(k, best, best), what=list(hangs))
        for whose, _, best, hangs in rows
        if hangs
    ]


def _lead(row: Compared) -> int:
    """1 where the first is ahead, -1 where the other is, 0 where they are level: by the worst ends, then by
    the best.
    """
    one, other = (RANK[row.one], RANK[row.best_one]), (RANK[row.other], RANK[row.best_other])
    return (one > other) - (one < other)


def in_order(c: Consultation, one: Weighed, two: Weighed) -> tuple[str, str]:
    """The first place in the order where the first of two options stands before the second, and a sentence
    that says so.
    """
    place = first_difference(one, two, c.order)
    if place == "verdict":
        how = c.knowledge.text(
            "order-verdict",
            one=c.knowledge.language.verdict(one.verdict),
            other=c.knowledge.language.verdict(two.verdict),
        )
    elif place == WISH:
        how = c.knowledge.text("order-wish")
    elif place == LIKE_TO_LIKE:
        how = c.knowledge.text("order-like")
    elif place == "date":
        how = c.knowledge.text("order-sooner") if one.ready else c.knowledge.text("order-dates")
        if one.ready is not None and two.ready is not None:
            how = c.knowledge.text("order-both-dates", one=one.ready, other=two.ready)
        elif one.ready is not None:
            how = c.knowledge.text("order-one-date", day=one.ready)
    elif place == "cost":
        how = c.knowledge.text("order-cost") if two.cost is not None else c.knowledge.text("order-one-cost")
    elif place == "cost-class":
        how = c.knowledge.text("order-cost-class")
    elif place == "code":
        how = c.knowledge.text("order-level")
    else:
        mine, other = (ends_words(c.knowledge, w.grades[place], w.bests[place]) for w in (one, two))
        how = c.knowledge.text(
            "order-criterion", criterion=c.knowledge.language.criterion(place), one=mine, other=other
        )
    return place, c.knowledge.text(
        "order-before", one=capital(title(c, one.draft)), other=title(c, two.draft), how=how
    )


def _gave(reason: Reason, w: Weighed, criterion: str) -> bool:
    return reason.grade in (w.grades[criterion], w.bests[criterion]) or (
        reason.grade == "ruled-out" and w.grades[criterion] == RULED_OUT
    )


def against(tell: Teller, w: Weighed) -> list[Reason]:
    """What speaks against an option, the gravest first."""
    rows = [reason for reason in tell.reasons(w) if not reason.speaks_for]
    return sorted(rows, key=lambda r: (_BEFORE[r.grade], r.target not in tell.c.essential, r.rule))
