"""A consultation → its lesson: site, signs, zones, options, verdicts, parts, choices, the date, and what
the person means to do.
"""

from __future__ import annotations

from collections.abc import Sequence

from decide.decision.consultation import Consultation
from decide.decision.diagnosis import Layer
from decide.explain import why_not
from decide.explain.reasons import usual_firings
from decide.explain.why import placed, zone_name
from decide.facts.sign import sign_facts
from decide.lesson.chain import SITE, Chain, Shown
from decide.lesson.ends import choice_step, fate_step
from decide.lesson.ideas import idea_steps
from decide.lesson.judged import part_steps, verdict_step
from decide.lesson.steps import Lesson
from decide.model.errors import DecideError, meant


def lesson(
    consultation: Consultation, named: Sequence[str] = (), against: Sequence[tuple[str, str]] = ()
) -> Lesson:
    """The steps of a consultation: site, zones, options, verdicts, choices, then what the person means to do.

    Of the options only those that the programme names and those `named` (by code, or in words such as "thick
    sod") are stepped through; of those in `against` (an option and a rule) that rule alone. DecideError where
    a name is that of no option.
    """
    c = consultation
    chain = Chain(c, options_shown(c, named))
    _ground(chain)
    _options(chain)
    for code, rule in against:
        _alone(chain, code, rule)
    for zone in c.zones:
        choice_step(chain, zone)
    fate_step(chain)
    idea_steps(chain)
    return Lesson(
        c.filled.place_label or c.filled.situation.place.name or "",
        c.filled.today.isoformat(),
        tuple(chain.steps),
        tuple(step.concludes for step in chain.steps if step.section == "choice"),
        c.knowledge,
    )


def options_shown(c: Consultation, named: Sequence[str] = ()) -> dict[str, Shown]:
    """The options of a lesson by code, each with its part in the programme."""
    k = c.knowledge
    shown: dict[str, Shown] = {}
    for chosen in c.chosen.values():
        for w, role in (
            (chosen.stopgap, "stopgap"), (chosen.option, "choice"), (chosen.least_bad, "least-bad"),
            (chosen.after, "after"), (chosen.instead, "instead"), (chosen.runner_up, "next-best"),
        ):  # fmt: skip
            if w is not None:
                shown.setdefault(w.draft.code, Shown(w, k.text(f"lesson-role-{role}")))
    for name in named:
        code = name if name in c.weighed else why_not(c, name).option
        if code not in c.weighed:
            raise DecideError(
                f"{name!r} is none of the options", where="lesson", instead=meant(name, c.weighed)
            )
        shown.setdefault(code, Shown(c.weighed[code], k.text("lesson-role-asked-for")))
    return shown


def _ground(chain: Chain) -> None:
    """The rules about site, signs and zones."""
    c, k = chain.c, chain.c.knowledge
    chain.layer("site", c.site_layer, {SITE: c.site}, {SITE: k.text("lesson-the-site")})
    signs = [sign for sign in c.signs if sign.mended is None]
    chain.layer(
        "sign",
        c.sign_layer,
        {sign.code: {**c.site, **sign_facts(c.filled, sign, c.measures)} for sign in signs},
        {sign.code: k.text("lesson-the-sign", sign=sign.sign.replace("-", " ")) for sign in signs},
        {sign.code: sign.zone for sign in signs},
    )
    zones = {code: {**c.site, **facts} for code, facts in c.zone_facts.items()}
    names = {code: zone_name(c, code) for code in zones}
    chain.layer("zone", c.zone_layer, zones, names, {code: code for code in zones})


def _alone(chain: Chain, code: str, rule: str) -> None:
    """One rule that fired on an option that is not stepped through."""
    if code in chain.shown:
        return
    w = chain.c.weighed[code]
    rows = [row for row in (*w.firings, *usual_firings(chain.c, w)) if row[0].id == rule]
    chain.layer(
        "option",
        Layer(fired={code: rows}),
        {code: {**chain.c.usual_facts[w.draft.zone], **w.facts}},
        {code: chain.about(w)},
        {code: w.draft.zone},
    )


def _options(chain: Chain) -> None:
    """The rules about the options that are shown, their verdicts, and the parts that they may take."""
    c = chain.c
    options = {code: shown.weighed for code, shown in chain.shown.items()}
    # What nobody told is read as usual in the grades, so the rules that fire only by that are steps too.
    chain.layer(
        "option",
        Layer(fired={code: [*w.firings, *usual_firings(c, w)] for code, w in options.items()}),
        {code: {**c.usual_facts[w.draft.zone], **w.facts} for code, w in options.items()},
        {code: chain.about(w) for code, w in options.items()},
        {code: w.draft.zone for code, w in options.items()},
    )
    for code, w in options.items():
        verdict_step(chain, code, w)
    used: dict[str, set[str]] = {}
    for zone in c.zones:
        for row in placed(c, zone):
            if row.reason is not None:
                used.setdefault(row.option, set()).add(row.reason.rule)
    asked_for = c.knowledge.text("lesson-role-asked-for")
    for code, shown in chain.shown.items():
        part_steps(chain, code, shown.weighed, None if shown.role == asked_for else used.get(code, set()))
