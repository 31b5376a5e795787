"""The questions of an exercise with their answers, each with the rules and sources behind it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from decide.answer.zone_answer import decision_of
from decide.decision.consultation import Consultation
from decide.decision.rank import Weighed
from decide.explain.reasons import Reason, Teller, source_words
from decide.explain.why import against, title
from decide.lesson.steps import Lesson, Step
from decide.model.words import capital


@dataclass(frozen=True)
class ExerciseQuestion:
    """One question with its answer, and the rules and sources behind it."""

    question: str
    answer: str
    rules: tuple[str, ...]
    sources: tuple[str, ...]


def questions(c: Consultation, whole: Lesson, zone: str) -> Iterator[ExerciseQuestion]:
    """What is asked about a zone: the cause, the remedy, the grass, the next time, what comes with it,
    what speaks against another.
    """
    main = c.chosen[zone].option or c.chosen[zone].least_bad
    assert main is not None
    yield from _cause(c, whole, zone)
    yield _remedy(c, whole, zone, main)
    if main.draft.remedy == "establish":
        yield _grass(c, whole, zone, main)
    yield from _next_time(c, whole, zone)
    yield from _needs(c, whole, zone, main)
    yield from _other_way(c, zone, main)


def _asked(
    c: Consultation, question: str, answer: str, steps: Sequence[Step], keys: Sequence[str]
) -> ExerciseQuestion:
    sources = tuple(source_words(c.knowledge, key) for key in dict.fromkeys(keys))
    return ExerciseQuestion(question, answer, tuple(step.rule for step in steps), sources)


def _keys(steps: Sequence[Step]) -> tuple[str, ...]:
    return tuple(key for step in steps for key in step.source_keys)


def _reasons(steps: Sequence[Step]) -> str:
    return " ".join(dict.fromkeys(step.because for step in steps))


def _cause(c: Consultation, whole: Lesson, zone: str) -> Iterator[ExerciseQuestion]:
    k = c.knowledge
    causes = {row.fact: row for row in k.causes.values()}
    for step in whole.steps:
        if step.section == "zone" and step.subject == zone and step.target in causes:
            row = causes[step.target]
            look = c.say.fill(c.book.template(row.look_at), {**c.site, **c.zone_facts[zone]}, c.types)
            answer = k.text("exercise-cause-is", cause=row.name, look=look)
            yield _asked(c, k.text("exercise-cause"), answer, [step], (*row.sources, *step.source_keys))
            return


def _remedy(c: Consultation, whole: Lesson, zone: str, main: Weighed) -> ExerciseQuestion:
    target = f"zone.remedy-{main.draft.remedy}"
    steps = [step for step in whole.steps if step.subject == zone and step.target == target]
    decision, named = decision_of(c, zone), c.say.remedy(main.draft.remedy)
    plain = decision in {row.says for each in c.knowledge.remedies.values() for row in each.decisions}
    said = f"{capital(named)}." if plain else f"{capital(decision)}: {named}."
    answer = f"{said} {_reasons(steps)}".strip()
    return _asked(c, c.knowledge.text("exercise-remedy"), answer, steps, _keys(steps))


def _grass(c: Consultation, whole: Lesson, zone: str, main: Weighed) -> ExerciseQuestion:
    k, stopgap = c.knowledge, c.chosen[zone].stopgap
    own = [step for step in whole.steps if step.subject == main.draft.code]
    verdict = next(step for step in own if step.section == "verdict")
    marks = [step for step in own if step.section == "option" and step.act == "mark"]
    best = [step for step in marks if step.target in c.essential][:2]
    said = f"{capital(title(c, main.draft))} ({c.knowledge.language.verdict(main.verdict)})."
    until = k.text("exercise-until-then", option=title(c, stopgap.draft)) if stopgap is not None else ""
    answer = " ".join(part for part in (said, until, _reasons(best)) if part)
    return _asked(c, k.text("exercise-grass"), answer, [*best, verdict], _keys(best))


def _next_time(c: Consultation, whole: Lesson, zone: str) -> Iterator[ExerciseQuestion]:
    after = c.chosen[zone].after
    if after is None or not after.draft.new_grass:
        return
    own = [step for step in whole.steps if step.section == "part" and step.subject == after.draft.code][:1]
    answer = " ".join([f"{capital(title(c, after.draft))}.", *(step.because for step in own)])
    yield _asked(c, c.knowledge.text("exercise-next-time"), answer, own, _keys(own))


def _needs(c: Consultation, whole: Lesson, zone: str, main: Weighed) -> Iterator[ExerciseQuestion]:
    steps = [step for step in whole.steps if step.subject in (zone, main.draft.code) and step.act == "need"]
    if steps:
        head = c.knowledge.text("lesson-needs", text="")
        answer = " ".join(dict.fromkeys(step.concludes.removeprefix(head) for step in steps))
        yield _asked(c, c.knowledge.text("exercise-needs"), answer, steps, _keys(steps))


def _other_way(c: Consultation, zone: str, main: Weighed) -> Iterator[ExerciseQuestion]:
    other = _barred(c, zone, main)
    if other is not None:
        w, reason = other
        asked = c.knowledge.text(
            "exercise-other", option=title(c, w.draft), verdict=c.knowledge.language.verdict(w.verdict)
        )
        yield ExerciseQuestion(asked, reason.text, (reason.rule,), reason.sources)


def _barred(c: Consultation, zone: str, main: Weighed) -> tuple[Weighed, Reason] | None:
    """The best-ranked way of another kind that is ruled out or not advised, with the gravest reason
    against it.
    """
    tell = Teller(c)
    chosen = main.draft.remedy, main.draft.method, main.draft.plant
    for verdict in ("ruled-out", "not-advised"):
        # What cannot be had at all teaches least.
        for w in sorted(c.ranked, key=lambda w: not w.draft.open):
            d = w.draft
            if d.zone == zone and w.verdict == verdict and (d.remedy, d.method, d.plant) != chosen:
                reasons = against(tell, w)
                if reasons:
                    return w, reasons[0]
    return None
