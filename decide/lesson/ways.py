"""The scenes of the ways: what could be done, what falls out and why, what is left, the choice, a loser, the
date.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from typing import Final

from decide.answer.assemble import advice_of
from decide.decision.consultation import Consultation
from decide.decision.rank import LIKE_TO_LIKE, RANK, SOUND, TIME, WISH, Weighed, first_difference
from decide.engine.language import ADVERSE, CRITERIA, Rule
from decide.explain.found import find
from decide.explain.reasons import Reason
from decide.explain.why import against, in_order, verdict_words
from decide.explain.why_not import best_of, why_not
from decide.lesson.guess import Guess, drawn
from decide.lesson.telling import Fallen, Telling
from decide.lesson.told import Told
from decide.model.errors import DecideError
from decide.model.words import capital, first_sentence

_MOST_GROUPS: Final = {"ruled-out": 2, "late": 1, "not-advised": 2}
_MOST_KINDS: Final = 4
_MOST_FOR: Final = 2
_MOST_AGAINST: Final = 2
_MOST_IF: Final = 3
_LEVEL: Final = "code"
# What to look at, by the place of the order where two ways part.
_HINTS: Final = {
    "verdict": "hint-verdict", WISH: "hint-wish", LIKE_TO_LIKE: "hint-like", "date": "hint-date",
    "cost": "hint-cost", "cost-class": "hint-cost",
}  # fmt: skip
_FATES: Final = ("yes", "likely", "partly", "no")


# ---------- what is told from ----------
def loser_of(c: Consultation, zone: str) -> Weighed | None:
    """The way of new grass whose loss is worked through; None where there is none.

    It is the one that somebody wished or was offered, else the best that is not made as the choice is (of the
    same grass first), else the best by another method.
    """
    chosen = c.chosen[zone]
    main = chosen.option or chosen.least_bad
    if main is None:
        return None
    named = {w.draft.code for w in chosen.told if w is not chosen.runner_up}
    rows = [
        w
        for w in c.ranked
        if w.draft.zone == zone and w.draft.remedy == "establish" and w.draft.code not in named
    ]
    rows = [w for w in rows if w.way[:3] != main.way[:3]]
    rows = [w for w in rows if w.draft.open] or rows
    made, method = main.facts.get("option.made-from"), main.draft.method
    for wanted in (
        lambda w: w.facts.get("option.wished") == "wanted" or w.facts.get("option.offer") == "offered",
        lambda w: w.facts.get("option.made-from") != made and w.draft.plant == main.draft.plant,
        lambda w: w.facts.get("option.made-from") != made,
        lambda w: w.draft.method != method,
    ):
        found = next(filter(wanted, rows), None)
        if found is not None:
            return found
    return next(iter(rows), None)


def named_way(c: Consultation, zone: str, words: str) -> Weighed:
    """The best way of a part that some words name; DecideError where there is none, or it is told to do."""
    nothing = words not in c.weighed and find(c, words).nothing
    w = None if nothing else c.weighed.get(words) or best_of(c, words, zone)
    if w is None or w.draft.code not in c.weighed:
        raise DecideError(
            f"{words!r} is none of the ways", where="lesson", instead="Name a method or a grass, as thick sod"
        )
    if any(w is each for each in c.chosen[zone].named):
        raise DecideError(f"{words!r} is told to do", where="lesson", instead="Name a way that lost")
    return w


def fallen_out(c: Consultation, zone: str) -> list[Fallen]:
    """The ways that fall out, by the rule that speaks most against them: the largest groups of each kind."""
    out: dict[tuple[str, str], tuple[Rule, Weighed, int]] = {}
    usable = _usable(c, zone)
    for w in c.ranked:
        if w.draft.zone != zone or w.verdict in usable:
            continue
        rule = _gravest(c, w)
        if rule is not None:
            key = w.verdict, rule.bend_of or rule.id
            first = out.get(key, (rule, w, 0))
            out[key] = first[0], first[1], first[2] + 1
    found: list[Fallen] = []
    for verdict, most in _MOST_GROUPS.items():
        rows = sorted(
            (row for key, row in out.items() if key[0] == verdict), key=lambda row: (-row[2], row[0].id)
        )
        found += [Fallen(rule, first, count, verdict) for rule, first, count in rows[:most]]
    return found


def _usable(c: Consultation, zone: str) -> set[str]:
    """The verdicts with which a way of a zone is left: late only where the choice is late itself."""
    option = c.chosen[zone].option
    return {*SOUND, "risky", *(["late"] if option is not None and option.verdict == "late" else [])}


def _lead(t: Telling) -> Weighed | None:
    """What is left and told to do first in the order: the choice, else its stopgap; None where neither is
    left.
    """
    usable = _usable(t.c, t.zone)
    told = (t.chosen.option, t.chosen.stopgap)
    return next((w for w in told if w is not None and w.verdict in usable), None)


def _gravest(c: Consultation, w: Weighed) -> Rule | None:
    """The rule that speaks most against a way: that rules it out, else the worst mark on what its verdict
    looks at.
    """
    rules = [rule for rule, _ in w.firings if rule.adverse]
    if w.verdict == "ruled-out":
        return next((rule for rule in rules if rule.then.act == "rule-out"), None)
    counts = {TIME} if w.verdict == "late" else c.essential - {TIME}
    heavy = [rule for rule in rules if rule.then.target in counts]
    return min(heavy, key=lambda rule: RANK.get(rule.then.grade, 0), default=None)


# ---------- scenes ----------
def tried(t: Telling) -> Told | None:
    """Every way that is weighed."""
    if not t.ranked:
        return None
    new = [w.draft for w in t.ranked if w.draft.remedy == "establish"]
    plants, methods = list(dict.fromkeys(d.plant for d in new)), list(dict.fromkeys(d.method for d in new))
    beside = list(dict.fromkeys(w.draft.remedy for w in t.ranked if w.draft.remedy != "establish"))
    tells = [t.say("ways-lead")]
    if new:
        tells.append(
            t.say(
                "ways-new",
                n=len(new),
                plants=len(plants),
                methods=len(methods),
                days=len({d.start for d in new}),
            )
        )
    if beside:
        tells.append(t.say("ways-beside", remedies=[t.c.say.remedy(code) for code in beside]))
    more = [
        *([t.say("ways-plants", plants=[t.c.say.plant(code) for code in plants])] if new else []),
        *([t.say("ways-methods", methods=[t.c.say.method(code) for code in methods])] if new else []),
    ]
    rules = sum(rule.about == "option" for rule in t.c.book.base.rules)
    return Told(t.say("ask-ways"), tells, t.say("ways-so", n=len(t.ranked), rules=rules), more)


def out(t: Telling) -> Told | None:
    """What falls out, and the rules that speak against most of it."""
    usable = _usable(t.c, t.zone)
    gone = [w for w in t.ranked if w.verdict not in usable]
    if not gone:
        return None
    tells = [t.say("out-lead", n=len(gone), all=len(t.ranked))]
    for group in t.fallen:
        because = first_sentence(t.because(group.first, group.rule))
        tells.append(
            t.say(
                "out-group",
                n=group.count,
                verdict=t.k.language.verdict(group.verdict),
                because=because,
                way=t.title(group.first),
            )
        )
    rest = len(gone) - sum(group.count for group in t.fallen)
    if rest:
        tells.append(t.say("out-rest", n=rest))
    left_over = len(t.ranked) - len(gone)
    so = t.say("out-so", n=left_over) if left_over else t.say("left-none-so")
    return Told(t.say("ask-out"), tells, so)


def _kinds(t: Telling) -> list[Weighed]:
    """The best of each kind of way that is left."""
    usable = _usable(t.c, t.zone)
    kinds: dict[tuple[str, ...], Weighed] = {}
    for w in t.ranked:
        if w.verdict in usable:
            kinds.setdefault(w.way, w)
    return list(kinds.values())


def _shown_kinds(t: Telling) -> list[Weighed]:
    """The kinds that are named, the choice among them, by the alphabet, which gives nothing away."""
    lead = _lead(t)
    own = [] if lead is None else [lead]
    rest = [w for w in _kinds(t) if not own or w.way != own[0].way]
    return sorted([*own, *rest][:_MOST_KINDS], key=lambda w: t.way(w).lower())


def left(t: Telling) -> Told | None:
    """What is left, and by what the order is made."""
    if not t.ranked:
        return None
    kinds, shown = _kinds(t), _shown_kinds(t)
    if not kinds:
        return Told(t.say("ask-left"), [t.say("left-none")], t.say("left-none-so"))
    rows = [f"- {capital(t.way(w))}: {t.k.language.verdict(w.verdict)}." for w in shown]
    more = len(kinds) - len(shown)
    tells = [
        t.say("left-lead"),
        *rows,
        *([t.k.text("and-more", n=more)] if more > 0 else []),
    ]
    if len(kinds) > 1:
        tells.append(t.say("left-order", criteria=[t.k.language.criterion(one) for one in t.c.order]))
    return Told(t.say("ask-left"), tells, t.say("left-so", n=len(kinds)))


def choice(t: Telling) -> Told:
    """The choice with what speaks for it and against it, and what it rests on."""
    (end,) = (step for step in t.steps("choice") if step.section == "choice")
    if t.main is None:
        return Told(t.say("ask-choice"), [end.because], f"{end.concludes}.")
    reasons = sorted(
        t.tell.reasons(t.main), key=lambda r: (r.target not in t.c.essential, -RANK.get(r.grade, -1))
    )
    plain = [r for r in reasons if r.speaks_for]
    weak = sorted((r for r in reasons if not r.speaks_for), key=lambda r: RANK.get(r.grade, -1))
    rests = list(t.tell.rests_on(t.main)) if t.chosen.option is not None else []
    tells = [
        *(_for(t, "choice-for", r) for r in plain[:_MOST_FOR]),
        *(_for(t, "choice-against", r) for r in weak[:_MOST_AGAINST]),
    ]
    if rests:
        tells += [t.say("choice-if"), *(f"- {capital(text)}." for text in rests[:_MOST_IF])]
        tells += [t.k.text("and-more", n=len(rests) - _MOST_IF)] if len(rests) > _MOST_IF else []
    programme = t.chosen.stopgap is not None or t.chosen.after is not None or t.chosen.option is None
    tells += [end.because] if programme else []
    before = _before(t)
    tells += [before] if before else []
    more = [f"{capital(text)}." for text in rests[_MOST_IF:]]
    return Told(t.say("ask-choice"), tells, f"{end.concludes}.", more, _guess_choice(t))


def _before(t: Telling) -> str:
    """What stands next, and why the choice stands before it; empty where nothing stands next."""
    name = t.c.zones[t.zone].name
    return next((row.better_than for row in advice_of(t.c).programme if row.zone == name), "")


def _for(t: Telling, code: str, r: Reason) -> str:
    return t.say(
        code,
        criterion=t.k.language.criterion(r.target),
        grade=t.k.language.grade(r.grade),
        because=first_sentence(r.text),
    )


def _guess_choice(t: Telling) -> Guess | None:
    """The choice among other kinds that are left; what is level with it in all is no wrong answer."""
    main = _lead(t)
    if main is None:
        return None
    parted = {
        w.draft.code: first_difference(main, w, t.c.order) for w in _shown_kinds(t) if w.way != main.way
    }
    # The heading of a later step says that the loser lost.
    lost = t.loser.way if t.loser is not None else None
    others = [w for w in _shown_kinds(t) if parted.get(w.draft.code, _LEVEL) != _LEVEL and w.way != lost]
    if not others:
        return None
    place = parted[min(others, key=t.ranked.index).draft.code]
    hint = (
        t.say("hint-order", what=t.k.language.criterion(place)) if place in CRITERIA else t.say(_HINTS[place])
    )
    wrong = [t.here(capital(t.way(w))) for w in others]
    rules = [main.verdict_rule, *(step.rule for step in t.steps("choice") if step.section == "part")]
    return drawn(t.seed, t.say("guess-choice"), t.here(capital(t.way(main))), wrong, hint, rules)


def loser(t: Telling) -> Told | None:
    """One way that lost, from the facts to the verdict."""
    if t.loser is None:
        return _not_asked_for(t)
    w = t.loser
    tells = [t.say("loser-lead", way=capital(t.title(w)))]
    if t.main is not None and w.verdict == t.main.verdict and w.verdict in _usable(t.c, t.zone):
        place, so = in_order(t.c, t.main, w)
        reasons = _gave(t, w, place)
        for head, rows in (("loser-choice", _gave(t, t.main, place)), ("loser-way", reasons)):
            tells += [_for(t, head, r) for r in rows[:1]]
        return Told(t.say("ask-loser", way=t.way(w)), tells, so, guess=_guess_loser(t, w, place, reasons))
    against_it = _decisive(t, w)
    for r in against_it[:2]:
        wanted: dict[str, list[str]] = {}
        for each in r.when:
            if each.changes:
                wanted.setdefault(each.now, []).append(each.wanted)
        tells += [t.say("loser-fact", now=now, wanted=asked) for now, asked in wanted.items()]
        tells.append(_for(t, "loser-rule", r))
    so = t.say("loser-so", way=capital(t.way(w)), because=verdict_words(t.c, w))
    lost_on = against_it[0].target if against_it else ""
    return Told(t.say("ask-loser", way=t.way(w)), tells, so, guess=_guess_loser(t, w, lost_on, against_it))


def _gave(t: Telling, w: Weighed, place: str) -> list[Reason]:
    """The reasons that gave a way its grade on a criterion; none where the two part elsewhere."""
    return [r for r in t.tell.reasons(w) if r.target == place and r.grade == w.grades[place]]


def _decisive(t: Telling, w: Weighed) -> list[Reason]:
    """The reasons that a verdict rests on: what rules the way out, else what is weak and must hold."""
    rows = [r for r in against(t.tell, w) if r.grade in ("ruled-out", *ADVERSE)]
    out = [r for r in rows if r.grade == "ruled-out"]
    counts = {TIME} if w.verdict == "late" else t.c.essential
    return out or [r for r in rows if r.target in counts] or rows


def _guess_loser(t: Telling, w: Weighed, lost_on: str, reasons: Sequence[Reason]) -> Guess | None:
    """On which criterion it lost, among those on which nothing speaks against it."""
    if lost_on not in CRITERIA or not reasons:
        return None
    weak = {r.target for r in against(t.tell, w)}
    wrong = [capital(t.k.language.criterion(one)) for one in t.c.order if one != lost_on and one not in weak]
    held = next((each for each in reasons[0].when if each.changes), reasons[0].when[0])
    hint, rules = t.say("hint-look", facts=held.now), [r.rule for r in reasons if r.target == lost_on]
    return drawn(t.seed, t.say("guess-loser"), capital(t.k.language.criterion(lost_on)), wrong, hint, rules)


def _not_asked_for(t: Telling) -> Told | None:
    """Why no new grass is weighed, where none is."""
    if t.c.left_alone(t.zone) or any(w.draft.remedy == "establish" for w in t.ranked):
        return None
    if t.c.filled.site is None and "establish" in t.c.remedies().get(t.zone, []):
        return Told(t.say("ask-no-new"), [t.k.text("answer-no-place")], t.say("no-place-so"))
    told = why_not(t.c, t.c.say.remedy("establish"), t.c.zones[t.zone].name)
    lines = [line.strip() for line in told.text.splitlines() if line.strip()]
    if told.kind != "not-proposed" or not lines:
        return None
    return Told(t.say("ask-no-new"), lines[1:] or lines, lines[0])


def date(t: Telling) -> Told | None:
    """What becomes of the date wanted."""
    fate = advice_of(t.c).fate
    if fate is None:
        return None
    steps = t.steps("date")
    dates = [
        t.say(f"date-{use}", day=_day(t, iso))
        for use, iso in (("training", fate.training_from), ("matches", fate.matches_from))
        if iso is not None
    ]
    tells = [t.say("date-wanted", day=_day(t, fate.by)), *dates]
    if not steps:
        return Told(t.say("ask-date"), tells, fate.text)
    head, _, right = steps[0].concludes.partition(": ")
    wrong = [t.k.text(f"lesson-fate-{level}") for level in _FATES if level != fate.level]
    guess = drawn(t.seed, t.say("guess-date", by=head), right, wrong, " ".join(tells))
    return Told(t.say("ask-date"), tells, fate.text, guess=guess)


def _day(t: Telling, iso: str) -> str:
    return t.k.language.day(dt.date.fromisoformat(iso))
