"""The scenes of a story up to what the ground needs, and the table of all but the last in their order."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Final, Literal

from decide.answer.assemble import advice_of
from decide.explain.reasons import source_words
from decide.lesson import ways
from decide.lesson.guess import Guess, drawn
from decide.lesson.situation_said import ground_lines, more_lines, zone_line, zone_lines, zone_more_lines
from decide.lesson.steps import Read, Step, how_known
from decide.lesson.telling import Telling
from decide.lesson.told import Told
from decide.model.words import capital, first_sentence

Kind = Literal[
    "known", "untold", "counts", "signs", "cause", "needs", "ways", "out", "left", "choice", "loser", "date",
    "idea", "others", "change",
]  # fmt: skip
_FIRST: Final = 4
_MOST_HINTED: Final = 3
_MOST_IDEAS: Final = 5
_VERDICTS: Final = ("sound", "sound-if", "not-advised", "ruled-out")


def known(t: Telling) -> Told:
    """What was told of the field and of the part."""
    ground, part = list(ground_lines(t.c)), zone_lines(t.c, t.zone)
    more = [*zone_more_lines(t.c, t.zone), *more_lines(t.c)]
    shown = part[:_FIRST] or [t.k.text("exercise-nothing-known")]
    tells = [*ground, t.say("part", part=t.c.zones[t.zone].name), *(f"- {capital(line)}." for line in shown)]
    behind = [*(f"{capital(line)}." for line in part[_FIRST:]), *more]
    return Told(t.say("ask-known"), tells, t.say("known-so", n=len(ground) + len(part) + len(more)), behind)


def untold(t: Telling) -> Told | None:
    """What nobody told and is taken as usual, or was filled in."""
    reads: dict[str, Read] = {}
    for step in t.whole.steps:
        if step.zone in ("", t.zone):
            reads.update({read.name: read for read in step.facts if read.how in ("usual", "assumed")})
    if not reads:
        return None
    rows = [read.text for read in reads.values()]
    more = []
    for name, read in reads.items():
        row = t.k.usual.get(name)
        why = row.because if row is not None else ""
        sources = (
            t.k.language.listed([source_words(t.k, key) for key in row.sources]) if row is not None else ""
        )
        more.append(
            " ".join(part for part in (f"{read.text}.", why, f"({sources})" if sources else "") if part)
        )
    left = len(rows) - _FIRST
    tells = [
        t.say("untold-lead"),
        *(f"- {row}." for row in rows[:_FIRST]),
        *([t.k.text("and-more", n=left)] if left > 0 else []),
    ]
    return Told(t.say("ask-untold"), tells, t.say("untold-so"), more)


def counts(t: Telling) -> Told | None:
    """The criteria that must hold here, and why each does."""
    steps = t.steps("counts")
    if not steps:
        return None
    rows = {step.target.removeprefix("site.essential-"): step for step in steps}
    tells = [
        t.say("counts-lead"),
        *(
            f"- {capital(t.k.language.criterion(one))}: {first_sentence(rows[one].because)}"
            for one in t.c.order
            if one in rows
        ),
    ]
    return Told(t.say("ask-counts"), tells, t.say("counts-so"))


def signs(t: Telling) -> Told | None:
    """What was seen on grass that was begun, and what the rules make of it."""
    steps = t.steps("signs")
    if not steps:
        return None
    tells = list(dict.fromkeys(f"- {capital(step.about)}: {step.because}" for step in steps))
    return Told(t.say("ask-signs"), tells, f"{steps[-1].concludes}.")


def cause(t: Telling) -> Told:
    """Why the ground is bare, what to look at, and when it will be bare again."""
    found = [row for row in advice_of(t.c).causes if row.zone == t.c.zones[t.zone].name]
    if not found:
        return Told(t.say("ask-cause"), [t.say("cause-none")], t.say("cause-none-so"))
    first = found[0]
    names = [t.k.causes[row.code].name for row in found]
    tells = [f"- {capital(name)}: {first_sentence(row.text)}" for name, row in zip(names, found, strict=True)]
    tells.append(t.say("cause-look", look=first.look_at))
    return Told(t.say("ask-cause"), tells, first.bare_again_unless, guess=_guess_cause(t, names[0]))


def _guess_cause(t: Telling, right: str) -> Guess | None:
    steps = t.steps("cause")
    given = {step.target for step in steps}
    wrong = [row.name for row in t.k.causes.values() if row.fact not in given]
    fact = next(row.fact for row in t.k.causes.values() if row.name == right)
    deciding = next(step for step in steps if step.target == fact)
    rules = [step.rule for step in steps if step.target == fact]
    return drawn(t.seed, t.say("guess-cause"), right, wrong, _look(t, deciding), rules)


def _look(t: Telling, step: Step) -> str:
    """The hint of a step: the facts at the root of its rule."""
    roots = [
        read for number in t.whole.chain(step.number) for read in t.whole.step(number).facts if not read.steps
    ]
    facts = dict.fromkeys(f"{read.text} ({how_known(t.k, read)})" for read in roots if read.how != "derived")
    return t.say("hint-look", facts="; ".join(list(facts)[:_MOST_HINTED] or [step.about]))


def needs(t: Telling) -> Told:
    """Which remedies are weighed on this part: what the rules call for, and what an open answer could."""
    called = {step.target.removeprefix("zone.remedy-"): step for step in t.steps("needs")}
    weighed = t.c.remedies().get(t.zone, [])
    if not weighed:
        return Told(t.say("ask-needs"), [t.say("needs-none")], t.say("needs-none-so"))
    names = [t.c.say.remedy(code) for code in weighed]
    tells = [
        f"- {capital(name)}: "
        f"{first_sentence(called[code].because) if code in called else t.say('needs-open')}"
        for code, name in zip(weighed, names, strict=True)
    ]
    asked = next((code for code in weighed if code in called), None)
    guess = None
    if asked is not None:
        wrong = [t.c.say.remedy(code) for code in t.k.remedies if code not in (*called, *weighed, "carry-on")]
        right, step = t.c.say.remedy(asked), called[asked]
        guess = drawn(t.seed, t.say("guess-needs"), right, wrong, _look(t, step), [step.rule])
    return Told(t.say("ask-needs"), tells, t.say("needs-so", n=len(weighed)), guess=guess)


def idea(t: Telling) -> Told | None:
    """What somebody means to do, judged by the same rules."""
    rows = advice_of(t.c).proposals
    if not rows:
        return None
    said: dict[tuple[str, str], list[str]] = {}
    for row in rows:
        why = next((reason.text for reason in row.reasons), "") or next(iter(row.conditions), "")
        what, comma, part = row.asked.rpartition(", ") if len(t.c.zones) > 1 else (row.asked, "", "")
        verdict = f"{t.k.language.verdict(row.judgement)}.{f' {first_sentence(why)}' if why else ''}"
        said.setdefault((what, verdict), []).extend([part] if comma else [])
    tells = [
        f"- {what}{f' ({t.k.language.listed(parts)})' if parts else ''}: {verdict}"
        for (what, verdict), parts in said.items()
    ]
    asked = rows[0]
    wrong = [t.k.language.verdict(code) for code in _VERDICTS if code != asked.judgement]
    guess = None
    if len(rows) == 1:
        ask, rules = t.say("guess-idea", idea=asked.asked), [step.verdict_rule for step in t.c.steps]
        guess = drawn(t.seed, ask, t.k.language.verdict(asked.judgement), wrong, t.say("hint-idea"), rules)
    shown, more = tells[:_MOST_IDEAS], tells[_MOST_IDEAS:]
    shown += [t.k.text("and-more", n=len(more))] if more else []
    return Told(t.say("ask-idea"), shown, t.say("idea-so"), [line.removeprefix("- ") for line in more], guess)


def others(t: Telling) -> Told | None:
    """What the other parts of the field come to."""
    ends = [step for step in t.steps("others") if step.section == "choice"]
    if not ends:
        return None
    facts = [zone_line(t.c, step.zone) for step in ends]
    return Told(t.say("ask-others"), [f"- {step.concludes}." for step in ends], t.say("others-so"), facts)


SCENES: Final[Mapping[Kind, Callable[[Telling], Told | None]]] = {
    "known": known, "untold": untold, "counts": counts, "signs": signs, "cause": cause, "needs": needs,
    "ways": ways.tried, "out": ways.out, "left": ways.left, "choice": ways.choice, "loser": ways.loser,
    "date": ways.date, "idea": idea, "others": others,
}  # fmt: skip
