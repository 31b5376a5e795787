"""The forward chain of a consultation as steps in order: each rule that fired, the facts that it read, and what it says."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any, Final, Literal

from pydantic import BaseModel

from decide.answer.assemble import advice_of
from decide.decision.consultation import Consultation, Layer
from decide.decision.rank import Weighed, role_facts, verdict_facts
from decide.engine.language import ADVERSE, CRITERIA, Fact, Rule
from decide.engine.plain import conjunction
from decide.explain import why_not
from decide.explain.reasons import (
    Placed,
    Teller,
    ends_words,
    part_facts,
    part_rules,
    source_words,
    usual_firings,
)
from decide.explain.why import in_order, passed, placed, title, zone_name
from decide.facts.draft import Draft
from decide.facts.progress import sign_facts
from decide.knowledge.speaker import CRITERION_NAMES, VERDICT_NAMES
from decide.model.errors import DecideError, meant
from decide.model.wording import day
from decide.model.words import capital, first_sentence

How = Literal["told", "computed", "assumed", "usual", "derived"]
Part = Literal["site", "sign", "zone", "option", "verdict", "part", "choice", "fate", "idea", "judgement"]
PART_NAMES: Final[Mapping[Part, str]] = {
    "site": "The whole site", "sign": "Signs that were seen", "zone": "Each part of the field", "option": "The ways to mend it",
    "verdict": "The verdict on each way", "part": "The part that each way may take", "choice": "The choice", "fate": "What becomes of the date",
    "idea": "What you mean to do", "judgement": "The verdict on what you mean to do",
}  # fmt: skip
HOW_WORDS: Final[Mapping[How, str]] = {
    "told": "told", "computed": "worked out", "assumed": "assumed", "usual": "nobody told; taken as usual", "derived": "no rule says otherwise",
}  # fmt: skip
FATE_WORDS: Final[Mapping[str, str]] = {
    "yes": "yes, in a slow year too", "likely": "likely, but not in a slow year", "partly": "for training yes, for matches not", "no": "no",
}  # fmt: skip
# What verdicts and parts read, in words, and how it can stand.
_ENDS: Final[Mapping[str, str]] = {
    "option.essential": "What matters most here", "option.time": "The date", "option.in-time": "Being ready in time", "option.lasting": "Lasting",
    "option.else-essential": "What else matters most here", "option.stood": "Standing the use", "option.risk-end": "The risk", "option.worst-other": "All else",
}  # fmt: skip
_STANDS: Final[Mapping[str, str]] = {
    "good": "good", "soft": "doubtful or not known", "open": "open, weak at its worst end alone", "weak": "weak", "free": "free, no date was told",
}  # fmt: skip
_SITE: Final = "site"
_RULED_OUT: Final[Mapping[str, str]] = {
    "nothing": "nothing",
    "the-date": "the date alone",
    "more": "more than the date",
}


@dataclass(frozen=True)
class Read:
    """One fact that a step read: in words, how it is known, and the steps that gave it (none for what was there at the start)."""

    name: str
    value: Fact
    text: str
    how: How
    steps: tuple[int, ...] = ()

    @property
    def source(self) -> str:
        """How it is known, in words."""
        if not self.steps:
            return (
                {
                    "could-fire": "a missing answer decides",
                    "unknown": "no rule marks it",
                    "speaks": "nobody told",
                    "free": "nobody told",
                }.get(str(self.value), HOW_WORDS[self.how])
                if self.how == "derived"
                else HOW_WORDS[self.how]
            )
        return f"from step{'s' if len(self.steps) > 1 else ''} {', '.join(map(str, self.steps))}"


@dataclass(frozen=True)
class Step:
    """One rule that fired on one subject.

    `subject` is its code and `about` its name in words. `facts` are all that the rule's conditions read; `unless` its
    exceptions with their truth (False: does not hold; None: not known, so the rule stands for now). `rule` is empty in
    the choice of a zone and in the fate of the date, which follow from the order and the days and from no rule.
    """

    number: int
    part: Part
    stratum: int
    subject: str
    about: str
    rule: str
    act: str
    target: str
    grade: str
    facts: tuple[Read, ...]
    unless: tuple[tuple[str, bool | None], ...]
    because: str
    sources: tuple[str, ...]
    source_keys: tuple[str, ...]
    concludes: str
    role: str = ""
    zone: str = ""

    @property
    def key(self) -> tuple[str, str, str]:
        """What makes it this step: part, subject and rule."""
        return self.part, self.subject, self.rule


@dataclass(frozen=True)
class Lesson:
    """The steps of one consultation in the order of the engine, and the choices that they end in."""

    place: str
    today: str
    steps: tuple[Step, ...]
    choices: tuple[str, ...]

    def step(self, number: int) -> Step:
        """The step of a number; DecideError where there is none."""
        if not 1 <= number <= len(self.steps):
            raise DecideError(
                f"there is no step {number}",
                where="lesson",
                instead=f"Write a number from 1 to {len(self.steps)}",
            )
        return self.steps[number - 1]

    def chain(self, number: int) -> tuple[int, ...]:
        """The steps that a step rests on, itself the last."""
        found: set[int] = set()
        todo = [number]
        while todo:
            one = todo.pop()
            if one not in found:
                found.add(one)
                todo += [before for read in self.step(one).facts for before in read.steps]
        return tuple(sorted(found))


def lesson(consultation: Consultation, named: Sequence[str] = ()) -> Lesson:
    """The steps of a consultation: site, zones, options, verdicts, choices, then what the person means to do.

    Of the options only those that the programme names and those `named` (by code, or in words such as "thick sod") are
    stepped through. DecideError where a name is that of no option.
    """
    return _Maker(consultation, named).lesson()


def options_shown(c: Consultation, named: Sequence[str] = ()) -> dict[str, tuple[Weighed, str]]:
    """The options of a lesson by code, each with its part in the programme."""
    shown: dict[str, tuple[Weighed, str]] = {}
    for chosen in c.chosen.values():
        for w, role in (
            (chosen.stopgap, "stopgap"), (chosen.option, "choice"), (chosen.least_bad, "least bad"), (chosen.after, "what comes after"),
            (chosen.instead, "the other side"), (chosen.runner_up, "next best"),
        ):  # fmt: skip
            if w is not None:
                shown.setdefault(w.draft.code, (w, role))
    for name in named:
        code = name if name in c.weighed else why_not(c, name).option
        if code not in c.weighed:
            raise DecideError(
                f"{name!r} is none of the options", where="lesson", instead=meant(name, c.weighed)
            )
        shown.setdefault(code, (c.weighed[code], "asked for"))
    return shown


def conclusion(c: Consultation, rule: Rule, facts: Mapping[str, Fact]) -> str:
    """What a rule says where it fires, in words."""
    then, k = rule.then, c.knowledge
    match then.act:
        case "conclude":
            return f"{capital(c.types[then.target].meaning.split(';')[0])}: yes"
        case "rule-out":
            return f"Ruled out on “{CRITERION_NAMES[then.target]}”"
        case "mark":
            return f"{capital(CRITERION_NAMES[then.target])}: {then.grade}"
        case "caution":
            return f"Take care: {first_sentence(c.say.fill(c.book.template(k.cautions[then.target].text), facts, c.types))}"
        case "need":
            return f"Comes with it: {first_sentence(c.say.fill(c.book.template(k.needs[then.target].text), facts, c.types))}"
        case _:
            return f"Verdict: {VERDICT_NAMES[then.target]}"


class _Maker:
    """Builds the steps one after another; knows which step gave which derived fact."""

    def __init__(self, c: Consultation, named: Sequence[str]) -> None:
        self.c = c
        self.steps: list[Step] = []
        self.shown = options_shown(c, named)
        self.notes: dict[str, How] = {
            key: "assumed" if how == "assumed" else "computed" for key, _, how, _ in c.filled.notes
        }
        self.given: dict[tuple[str, str], list[int]] = {}
        self.marks: dict[str, list[int]] = {}
        self.verdicts: dict[str, int] = {}
        self.parts: dict[tuple[str, str], int] = {}
        self.tell = Teller(c)
        self.places = {
            rule.id: (stratum, place)
            for rows in c.book.base.strata.values()
            for stratum, row in enumerate(rows)
            for place, rule in enumerate(row)
        }

    def lesson(self) -> Lesson:
        c = self.c
        self._layer("site", c.site_layer, {_SITE: c.site}, {_SITE: "the site"})
        open_signs = [sign for sign in c.signs if sign.mended is None]
        signs = {sign.code: {**c.site, **sign_facts(c.filled, sign, c.measures)} for sign in open_signs}
        self._layer(
            "sign",
            c.sign_layer,
            signs,
            {sign.code: f"the sign {sign.sign.replace('-', ' ')}" for sign in open_signs},
            {sign.code: sign.zone for sign in open_signs},
        )
        zones = {code: {**c.site, **facts} for code, facts in c.zone_facts.items()}
        self._layer(
            "zone",
            c.zone_layer,
            zones,
            {code: zone_name(c, code) for code in zones},
            {code: code for code in zones},
        )
        # What nobody told is read as usual in the grades, so the rules that fire only by that are steps too.
        options = {code: {**c.usual_facts[w.draft.zone], **w.facts} for code, (w, _) in self.shown.items()}
        about = {code: self._about(w) for code, (w, _) in self.shown.items()}
        found = Layer(fired={code: [*w.firings, *usual_firings(c, w)] for code, (w, _) in self.shown.items()})
        self._layer(
            "option", found, options, about, {code: w.draft.zone for code, (w, _) in self.shown.items()}
        )
        for code, (w, _) in self.shown.items():
            self._verdict(code, w)
        used = {
            (row.option, row.reason.rule)
            for zone in c.zones
            for row in placed(c, zone)
            if row.reason is not None
        }
        for code, (w, role) in self.shown.items():
            self._parts(
                code,
                w,
                None if role == "asked for" else frozenset(rule for option, rule in used if option == code),
            )
        for zone in c.zones:
            self._choice(zone)
        self._fate()
        self._ideas()
        choices = tuple(step.concludes for step in self.steps if step.part == "choice")
        return Lesson(
            c.filled.place_label or c.filled.situation.place.name or "",
            c.filled.today.isoformat(),
            tuple(self.steps),
            choices,
        )

    def _about(self, w: Weighed) -> str:
        named = title(self.c, w.draft)
        return named if len(self.c.zones) == 1 else f"{zone_name(self.c, w.draft.zone)}: {named}"

    # ---------- layers ----------
    def _layer(
        self,
        part: Part,
        layer: Layer,
        facts: Mapping[str, Mapping[str, Fact]],
        about: Mapping[str, str],
        zones: Mapping[str, str] | None = None,
    ) -> None:
        """The firings of a layer, stratum by stratum, in each by subject and then by rule, as the engine fires them."""
        rows = [
            (self.places[rule.id][0], place, self.places[rule.id][1], subject, rule)
            for place, subject in enumerate(facts) for rule, _ in layer.fired.get(subject, [])
        ]  # fmt: skip
        for stratum, _, _, subject, rule in sorted(rows, key=lambda row: row[:3]):
            zone = (zones or {}).get(subject, "")
            step = self._fired(part, stratum, subject, about[subject], rule, facts[subject], zone)
            if rule.then.act == "conclude":
                self.given.setdefault((zone if part == "sign" else subject, rule.then.target), []).append(
                    step.number
                )
            elif rule.then.act in ("mark", "rule-out"):
                self.marks.setdefault(subject, []).append(step.number)

    def _fired(
        self,
        part: Part,
        stratum: int,
        subject: str,
        about: str,
        rule: Rule,
        facts: Mapping[str, Fact],
        zone: str,
    ) -> Step:
        names = dict.fromkeys(name for condition in rule.when for name in condition.facts if name in facts)
        reads = tuple(self._read(name, facts[name], subject, zone) for name in names)
        unless = tuple((exception.name, conjunction(exception.when, facts)) for exception in rule.unless)
        return self._add(
            part, stratum, subject, about, rule.id, (rule.then.act, rule.then.target, rule.then.grade), reads, unless,
            self.c.say.fill(rule.because, facts, self.c.types), rule.sources, conclusion(self.c, rule, facts), zone,
        )  # fmt: skip

    def _add(
        self, part: Part, stratum: int, subject: str, about: str, rule: str, then: tuple[str, str, str], reads: tuple[Read, ...],
        unless: tuple[tuple[str, bool | None], ...], because: str, keys: tuple[str, ...], concludes: str, zone: str,
    ) -> Step:  # fmt: skip
        role = self.shown[subject][1] if subject in self.shown else ""
        sources = tuple(source_words(self.c.knowledge, key) for key in keys)
        step = Step(
            len(self.steps) + 1,
            part,
            stratum,
            subject,
            about,
            rule,
            *then,
            reads,
            unless,
            because,
            sources,
            keys,
            concludes,
            role,
            zone,
        )
        self.steps.append(step)
        return step

    # ---------- facts ----------
    def _said(self, name: str, value: Fact) -> str:
        kind = self.c.types[name]
        return f"{capital(kind.meaning.split(';')[0])}: {self.c.say.fact(kind, value)}"

    def _read(self, name: str, value: Fact, subject: str, zone: str) -> Read:
        kind = self.c.types[name]
        text = self._said(name, value)
        scope = kind.scope
        owner = _SITE if scope == "site" else zone if scope == "zone" else subject
        steps = tuple(self.given.get((owner, name), ()))
        if steps:
            return Read(name, value, text, "derived", steps)
        if (
            subject in self.shown
            and name in self.c.usual_facts[zone]
            and name not in self.shown[subject][0].facts
        ):
            return Read(name, value, text, "usual")
        if kind.concluded:
            return Read(name, value, text, "derived" if value is False else "computed")
        if kind.kind != "told":
            return Read(name, value, text, "computed")
        return Read(name, value, text, self._how(kind.told, zone))

    def _how(self, told: str, zone: str) -> How:
        """How a told fact is known: as it was noted where it was filled in, else told where the situation has it."""
        table, _, key = told.partition(".")
        noted = self.notes.get(f"zone.{zone}.{key}" if table == "zone" else told)
        if noted is not None:
            return noted
        situation = self.c.filled.situation
        holder: Any = (
            self.c.zones.get(zone)
            if table == "zone"
            else None
            if table == "proposal"
            else getattr(situation, table, None)
        )
        if table == "proposal" or (isinstance(holder, BaseModel) and getattr(holder, key, None) is not None):
            return "told"
        return "computed"

    # ---------- verdicts and choices ----------
    def _verdict(self, code: str, w: Weighed) -> None:
        c = self.c
        held = verdict_facts(w, c.essential)
        rule = c.book.rules[w.verdict_rule]
        names = dict.fromkeys(name for condition in rule.when for name in condition.facts)
        facts = {**w.facts, **held}
        because = c.say.fill(rule.because, facts, c.types)
        step = self._add(
            "verdict", self.places[rule.id][0], code, self._about(w), rule.id, ("verdict", rule.then.target, ""), tuple(self._judged(code, w, name, facts[name]) for name in names if name in facts),
            (), because, rule.sources, conclusion(c, rule, facts), w.draft.zone,
        )  # fmt: skip
        self.verdicts[code] = step.number

    def _parts(self, code: str, w: Weighed, only: frozenset[str] | None) -> None:
        """The rules that let an option take its part in the programme; all that it could take where none is `only` wanted."""
        c, facts = self.c, part_facts(self.c, w)
        for rule in part_rules(c, w):
            if only is None or rule.id in only:
                names = dict.fromkeys(
                    name for condition in rule.when for name in condition.facts if name in facts
                )
                unless = tuple(
                    (exception.name, conjunction(exception.when, facts)) for exception in rule.unless
                )
                step = self._add(
                    "part", self.places[rule.id][0], code, self._about(w), rule.id, ("conclude", rule.then.target, ""), tuple(self._judged(code, w, name, facts[name]) for name in names),
                    unless, c.say.fill(rule.because, facts, c.types), rule.sources, conclusion(c, rule, facts), w.draft.zone,
                )  # fmt: skip
                self.parts[code, rule.id] = step.number

    # ---------- what is judged of an option ----------
    def _judged(self, code: str, w: Weighed, name: str, value: Fact) -> Read:
        """A fact that rules of verdict or programme read of an option, with the marks that give it."""
        if name == "option.verdict":
            return Read(
                name, value, f"The verdict: {VERDICT_NAMES[str(value)]}", "derived", (self.verdicts[code],)
            )
        if name in _ENDS:
            return Read(
                name, value, self._ends_said(w, name, str(value)), "derived", self._behind(code, name)
            )
        if name == "option.silence":
            wants = "; ".join(self.tell.rests_on(w)[:2])
            speaks = (
                f"if it were not as usual, it could speak against this (usual is: {wants})"
                if value == "speaks"
                else "nothing of it could speak against this"
            )
            return Read(name, value, f"What was not told: {speaks}", "derived")
        if name == "option.ruled-out-by":
            return Read(
                name,
                value,
                f"What rules it out: {_RULED_OUT[str(value)]}",
                "derived",
                self._behind(code, name),
            )
        if name == "option.rule-out":
            return Read(name, value, self._said(name, value), "derived", self._behind(code, name))
        return self._read(name, value, code, w.draft.zone)

    @cached_property
    def looks_at(self) -> Mapping[str, tuple[str, ...]]:
        """The criteria that each fact about grades looks at, in the order that counts here: those that alone can turn it."""
        found: dict[str, tuple[str, ...]] = {}
        for criterion in self.c.order:
            grades = {one: "weak" if one == criterion else "strong" for one in CRITERIA}
            w = Weighed(Draft("", ""), {}, grades=grades, bests=grades)
            for name, value in {
                **verdict_facts(w, self.c.essential),
                **role_facts(w, self.c.essential),
            }.items():
                found[name] = (*found.get(name, ()), *([criterion] if value == "weak" else []))
        return found

    def _ends_said(self, w: Weighed, name: str, level: str) -> str:
        """How some criteria stand, both ends of each, and what the best end wants."""
        rows: list[str] = []
        for criterion in self.looks_at[name] if level != "free" else ():
            worst, best = w.grades[criterion], w.bests[criterion]
            if name == "option.worst-other" and worst not in ADVERSE:
                continue
            wants = self.tell.hangs_on(w, criterion)[:1] if worst != best else ()
            wanted = f", and {ends_words(best, best)} only if {wants[0]}" if wants else ""
            rows.append(f"{CRITERION_NAMES[criterion]} {ends_words(worst, best)}{wanted}")
        each = f" ({'; '.join(rows)})" if rows else ""
        return f"{_ENDS[name]}: {_STANDS[level]}{each}"

    def _behind(self, code: str, name: str) -> tuple[int, ...]:
        """The marks that give a fact about grades: the rule-outs, or all on its criteria."""
        steps = [self.steps[number - 1] for number in self.marks.get(code, [])]
        if name in ("option.rule-out", "option.ruled-out-by"):
            return tuple(step.number for step in steps if step.act == "rule-out")
        wanted = self.looks_at[name]
        asked = [
            number
            for one in sorted(self.c.essential.intersection(wanted))
            for number in self.given.get((_SITE, f"site.essential-{one}"), ())
        ]
        return tuple(sorted({*asked, *(step.number for step in steps if step.target in wanted)}))

    # ---------- choices ----------
    def _choice(self, zone: str) -> None:
        c, chosen = self.c, self.c.chosen[zone]
        rows: list[Read] = []
        programme = placed(c, zone)
        for row in programme:
            steps = [
                self.verdicts[row.option],
                *([self.parts[row.option, row.reason.rule]] if row.reason is not None else []),
            ]
            rows.append(
                Read(
                    f"verdict of {row.option}",
                    row.verdict,
                    f"{capital(row.title)}: {VERDICT_NAMES[row.verdict]}",
                    "derived",
                    tuple(steps),
                )
            )
        target = ""
        main = chosen.option or chosen.least_bad
        if main is None:
            left = c.zone_facts[zone].get("zone.left-alone")
            if left is True:
                rows.append(self._read("zone.left-alone", left, zone, zone))
            said, because = (
                ("It is left alone", "It is kept off on purpose.")
                if left is True
                else ("Nothing needs doing", "No rule says that it needs a remedy.")
            )
        else:
            target = main.draft.code
            remedy = f"zone.remedy-{main.draft.remedy}"
            if c.zone_facts[zone].get(remedy) is True:
                rows.append(self._read(remedy, True, zone, zone))
            said, because = (
                self._ends_in({row.place: row for row in programme}, main),
                self._chosen_for(programme, zone, main),
            )
        if len(c.zones) > 1:
            said = f"{capital(zone_name(c, zone))}: {said[:1].lower() + said[1:] if said.startswith(('It is', 'Nothing')) else said}"
        self._add(
            "choice",
            0,
            zone,
            zone_name(c, zone),
            "",
            ("choose", target, ""),
            tuple(rows),
            (),
            because,
            (),
            said,
            zone,
        )

    def _ends_in(self, programme: Mapping[str, Placed], main: Weighed) -> str:
        """The programme of a zone in one sentence."""
        gap, after, instead = (programme.get(place) for place in ("stopgap", "after", "instead"))
        said = title(self.c, main.draft)
        if "least bad" in programme:
            said = f"nothing sound; the least bad is: {said}"
        if gap is not None:
            grass = self.shown[gap.option][0].draft.new_grass
            said = (
                f"{gap.title}{' as a stopgap' if grass else ''}, then {said}"
                if main.draft.new_grass
                else f"{said}, and meanwhile {gap.title} as a stopgap"
            )
        said += f"; after it {after.title}" if after is not None else ""
        return capital(said + (f"; or instead {instead.title}" if instead is not None else ""))

    def _chosen_for(self, programme: Sequence[Placed], zone: str, main: Weighed) -> str:
        """Why the programme is this one: what the parts of it say, else the order."""
        c, chosen = self.c, self.c.chosen[zone]
        parts = [
            row.reason.text
            for row in programme
            if row.place in ("stopgap", "choice", "after", "instead") and row.reason is not None
        ]
        if chosen.option is None:
            return " ".join(
                ["Every way is ruled out or not advised. This one stands first among them.", *parts]
            )
        if len(parts) > 1:
            return " ".join(dict.fromkeys(parts))
        if chosen.runner_up is not None:
            return passed(c, chosen.runner_up) or in_order(c, main, chosen.runner_up)[1]
        return "It stands first: the verdict comes first, then the grades in the order of the wishes, then the date, then the cost."

    def _fate(self) -> None:
        """What becomes of the date wanted, from the choices and their days."""
        c, by = self.c, self.c.filled.situation.dates.play_by
        fate = advice_of(c).fate
        if fate is None or by is None or fate.level == "open":
            return
        zone = next(code for code, held in c.zones.items() if held.name == fate.zone)
        choice = tuple(step.number for step in self.steps if step.part == "choice" and step.subject == zone)
        use = fate.use or "matches, for nobody told what is wanted first"
        rows = (
            Read("site.days-to-play-by", by.isoformat(), f"The date wanted: {day(by)}", self._how("dates.play_by", zone)),
            Read("dates.first_use", use, f"It is wanted for: {use}", self._how("dates.first_use", zone) if fate.use else "usual"),
            Read("choice", fate.zone, f"The choice{f' for {fate.zone}' if len(c.zones) > 1 else ''}", "derived", choice),
        )  # fmt: skip
        self._add(
            "fate",
            0,
            zone,
            "the date",
            "",
            ("fate", fate.level, ""),
            rows,
            (),
            fate.text,
            (),
            f"By {day(by)}: {FATE_WORDS[fate.level]}",
            zone,
        )

    # ---------- what the person means to do ----------
    def _ideas(self) -> None:
        c = self.c
        for number, judged in enumerate(c.steps, start=1):
            subject = f"idea-{number}/{judged.zone}"
            what = c.say.level("step.step", judged.proposal.step)
            about = f"{what}, {zone_name(c, judged.zone)}"
            if judged.option is not None:
                # A proposal to put in grass is held to the rules of its option too.
                held = [
                    (rule, firing)
                    for rule, firing in judged.option.firings
                    if rule.then.act in ("rule-out", "mark", "need")
                ]
                self._layer(
                    "idea",
                    Layer(fired={subject: held}),
                    {subject: judged.option.facts},
                    {subject: about},
                    {subject: judged.zone},
                )
            self._layer(
                "idea",
                Layer(fired={subject: judged.firings}),
                {subject: judged.facts},
                {subject: about},
                {subject: judged.zone},
            )
            rule = c.book.rules[judged.verdict_rule]
            own = [step for step in self.steps if step.subject == subject]
            facts = {**judged.facts, **c._step_verdict_facts(judged.firings, judged.could, judged.option)}
            names = dict.fromkeys(
                name for condition in rule.when for name in condition.facts if name in facts
            )
            behind = {
                "step.rule-out": [step.number for step in own if step.act == "rule-out"], "step.need": [step.number for step in own if step.act == "need"],
                "step.worst": [step.number for step in own if step.act == "mark" and step.grade == facts.get("step.worst")],
            }  # fmt: skip
            reads = tuple(
                Read(name, facts[name], self._said(name, facts[name]), "derived", tuple(behind.get(name, ())))
                for name in names
            )
            self._add(
                "judgement", self.places[rule.id][0], subject, about, rule.id, ("verdict", rule.then.target, ""), reads, (),
                c.say.fill(rule.because, facts, c.types), rule.sources, conclusion(c, rule, facts), judged.zone,
            )  # fmt: skip


# ---------- text ----------
def step_lines(step: Step, *, hide: bool = False) -> list[str]:
    """A step in lines of plain text; `hide` keeps back what it says and why."""
    lines = [f"Step {step.number}. {capital(step.about)}{f' ({step.role})' if step.role else ''}"]
    if step.facts:
        lines.append("  Known:")
    lines += [f"    {read.text} ({read.source})" for read in step.facts]
    for name, holds in step.unless:
        lines.append(
            f"    Unless {name.replace('-', ' ')}: {'not known, so the rule stands for now' if holds is None else 'not so'}"
        )
    if hide:
        return lines
    if step.rule:
        lines.append(f"  Rule: {step.rule}")
    lines += [f"  So: {step.concludes}", f"  Why: {step.because}"]
    return lines


def source_lines(step: Step) -> list[str]:
    """The sources of a step in lines."""
    return [f"  Source: {source}" for source in step.sources] or [
        "  No source: this follows from the steps before."
    ]


def lesson_lines(whole: Lesson) -> Iterator[str]:
    """Every step of a lesson in lines, part by part."""
    place = f" at {whole.place}" if whole.place else ""
    yield f"How it follows{place}, step by step: {len(whole.steps)} steps."
    part = ""
    for step in whole.steps:
        if step.part != part:
            part = step.part
            yield ""
            yield PART_NAMES[step.part].upper()
        yield ""
        yield from step_lines(step)
        yield from source_lines(step)
