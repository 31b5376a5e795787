"""The case bank: its cases read, and what is signed of a situation and not met."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from decide.answer.assemble import advice_of, local_words
from decide.answer.headline import headline
from decide.answer.opening import open_now
from decide.answer.signs import signs_seen
from decide.answer.zone_answer import decision_of, field_decision
from decide.cases.pairs import Pair
from decide.cases.signed import (
    Case,
    Expected,
    TaskExpected,
    VerdictExpected,
    ZoneExpected,
    wrong_row,
)
from decide.cases.steps_signed import ANY, step_signed
from decide.decision.consultation import Consultation
from decide.decision.rulebook import Rulebook
from decide.knowledge.audit_texts import case_files
from decide.knowledge.known import check_known
from decide.knowledge.tables import Knowledge
from decide.model.advice import Advice
from decide.model.errors import KnowledgeError, SituationError, nearest
from decide.model.reading import in_words, keys_of, model_at, path_of, situation_from_dict, told_loc
from decide.model.toml_file import toml_file
from decide.model.toml_lines import Lines
from decide.model.written import coded
from decide.plan.feasible import consult
from decide.questions.unknown import unknown_rows
from decide.report.text import render

# So many of the questions that an advice leaves open are counted as asked first.
FIRST_ASKED = 3
REFUSED = frozenset({"not-advised", "ruled-out"})


def read_cases(folder: Path, only: str = "") -> Iterator[Case]:
    """The cases of a folder in the order of their names; KnowledgeError names the file that is wrong."""
    for path in sorted(folder.glob("*.toml")):
        if not only or only in path.stem:
            yield from read_file(path, f"cases/{path.name}")


def read_case(path: Path, name: str) -> Case:
    """The first case of a file called `name`, as `read_file` has it."""
    return read_file(path, name)[0]


def read_file(path: Path, name: str) -> list[Case]:
    """The case of a file called `name`, where something is signed of it, and those of its pairs;
    KnowledgeError and SituationError say what is wrong, and the line.
    """
    text, data = toml_file(path, name)
    lines = Lines(text)
    told, pairs, rules = data.pop("situation", {}), data.pop("pair", []), data.pop("rule", [])
    cases: list[Case] = []
    if "expect" in data or not (pairs or rules):
        situation = situation_from_dict(told, lines.within("situation"), name)
        cases.append(_made({**data, "code": path.stem, "situation": situation}, lines, name))
    for n, row in enumerate(pairs, start=1):
        cases += _of_pair(row, n, path.stem, data, told, lines, name)
    return cases


def _of_pair(
    row: Any, n: int, stem: str, data: dict[str, Any], told: dict[str, Any], lines: Lines, name: str
) -> Iterator[Case]:
    """The two cases of a pair, the `n`-th of its file."""
    where = f"{name}:{lines.find(('pair', n - 1)) or 1}"
    try:
        pair = Pair.model_validate(row)
    except ValidationError as error:
        raise wrong_row(error, Pair, where, f"pair {n}") from None
    for side, situation, expect in pair.sides(told, where):
        try:
            made = situation_from_dict(situation, lines.within("situation"), name)
        except SituationError as error:
            raise SituationError(
                f"pair {n}{side}: {error.wrong}", where=where, instead=error.instead
            ) from None
        yield _made(
            {
                "code": f"{stem}:{n}{side}",
                "title": data.get("title"),
                "signed": pair.signed,
                "sources": pair.sources,
                "situation": made,
                "expect": expect,
            },
            lines,
            name,
        )


def _made(data: dict[str, Any], lines: Lines, name: str) -> Case:
    try:
        case = Case.model_validate(data)
    except ValidationError as error:
        raise _in_words(error, lines, name) from None
    for row in case.expect.plan:
        if not row.absent and row.start is None and row.until is None and row.latest is None:
            raise KnowledgeError(
                f"expect.plan: task {row.task!r} has no day",
                where=name,
                instead="Write from, until or latest, or absent = true",
            )
    return case


def _in_words(error: ValidationError, lines: Lines, name: str) -> KnowledgeError:
    """The first thing that is wrong with a case."""
    first = error.errors(include_url=False)[0]
    loc = told_loc(first)
    wrong, instead = in_words(first, loc, Case)
    if first["type"] == "extra_forbidden" and (model := model_at(loc, Case)):
        known = keys_of(model)
        near = "plant" if loc[-1] in ("grass", "mixture") else nearest(str(loc[-1]), known)
        instead = (f"Write {near!r}. " if near in known else "") + "Known: " + ", ".join(known)
        loc, wrong = loc[:-1], f"{loc[-1]!r} is not a key here"
    where = f"{name}:{lines.find(first['loc']) or 1}"
    return KnowledgeError(f"{path_of(loc)}: {wrong}" if loc else wrong, where=where, instead=instead)


def wrong_cases(knowledge: Knowledge) -> Iterator[KnowledgeError]:
    """What is wrong with the cases of the folders of the knowledge, file by file."""
    for name, path in case_files(knowledge):
        try:
            for case in read_file(path, name):
                check_known(knowledge, case.situation)
        except SituationError as error:
            where = name if error.where == "situation" else error.where
            yield KnowledgeError(error.wrong, where=where, instead=error.instead)
        except KnowledgeError as error:
            yield error


def fired_rules(c: Consultation) -> set[str]:
    """Every rule that fired in a consultation."""
    found = {
        rule.id
        for layer in (c.site_layer, c.sign_layer, c.zone_layer)
        for rows in layer.fired.values()
        for rule, _ in rows
    }
    found |= {rule.id for w in c.weighed.values() for rule, _ in w.firings} | {
        w.verdict_rule for w in c.weighed.values()
    }
    for step in c.steps:
        found |= {rule.id for rule, _ in step.firings} | {step.verdict_rule}
        if step.option is not None:
            found |= {rule.id for rule, _ in step.option.firings} | {step.option.verdict_rule}
    return found


def _one_of(held: str, want: str | list[str]) -> bool:
    return held in ([want] if isinstance(want, str) else want)


def unmet(case: Case, c: Consultation) -> list[str]:
    """What the case expects and the advice does not give, in words."""
    return [*unmet_in_outcome(case.expect, c), *unmet_in_advice(case.expect, c)]


def unmet_in_outcome(expect: Expected, c: Consultation) -> Iterator[str]:
    """What is not met of all that can be read of a consultation before its advice is put into words."""
    yield from _unmet_decisions(expect, c)
    for want in expect.zones:
        yield from _unmet_zone(want, c)
    for row in expect.verdicts:
        yield from _unmet_verdict(row, c)
    causes = {name for facts in c.zone_facts.values() for name, held in facts.items() if held is True}
    yield from (
        f"cause {code!r} is missing"
        for code in expect.causes
        if code not in c.knowledge.causes or c.knowledge.causes[code].fact not in causes
    )
    yield from (
        f"cause {code!r} is named" for code in expect.no_causes if c.knowledge.causes[code].fact in causes
    )
    yield from _unmet_proposals(expect, c)
    yield from _unmet_progress(expect, c)
    if expect.asks:
        first = [row.key for row in unknown_rows(c)][:FIRST_ASKED]
        asked = [f"zone.{key.rpartition('.')[2]}" if key.startswith("zone.") else key for key in first]
        if not set(expect.asks) & set(asked):
            yield f"asks {asked}, signed one of {expect.asks}"


def unmet_in_advice(expect: Expected, c: Consultation) -> Iterator[str]:
    """What is not met of cautions, needs, the plan and words, for which the advice is made."""
    if expect.cautions or expect.no_cautions or expect.needs or expect.no_needs or expect.today:
        advice = advice_of(c)
        for name, want, rows in (
            ("caution", expect.cautions, advice.cautions),
            ("need", expect.needs, advice.needs),
            ("today", expect.today, advice.today),
        ):
            held = {row.code for row in rows}
            yield from (f"{name} {code!r} is missing" for code in want if code not in held)
        given = {caution.code for caution in advice.cautions}
        yield from (f"caution {code!r} is given" for code in expect.no_cautions if code in given)
        needed = {need.code for need in advice.needs}
        yield from (f"need {code!r} is given" for code in expect.no_needs if code in needed)
    if expect.sure and advice_of(c).sure.level not in expect.sure:
        sure = advice_of(c).sure
        yield f"sure is {sure.level!r} ({sure.why}), signed {expect.sure}"
    for task in expect.plan:
        yield from _unmet_task(task, advice_of(c))
    yield from _unmet_words(expect, c)


def _unmet_decisions(expect: Expected, c: Consultation) -> Iterator[str]:
    if expect.decision is not None:
        held = field_decision(c, {zone: decision_of(c, zone) for zone in c.zones})
        if held != expect.decision:
            yield f"decision is {held!r}, signed {expect.decision!r}"
    if expect.fate:
        found = headline(c)
        level = found.level if found is not None else "none"
        if level not in expect.fate:
            yield f"fate is {level!r} ({found.text if found else ''}), signed {expect.fate}"


def _unmet_zone(want: ZoneExpected, c: Consultation) -> Iterator[str]:
    code = coded(want.zone) if want.zone else next(iter(c.zones))
    chosen, decision = c.chosen[code], decision_of(c, code)
    if not _one_of(decision, want.decision):
        taken = ", ".join(w.draft.code for w in chosen.named)
        yield f"zone {code}: decision is {decision!r} ({taken}), signed {want.decision!r}"
    for name, picks, held in (
        ("choice", want.choice, chosen.option),
        ("stopgap", want.stopgap, chosen.stopgap),
    ):
        if picks is not None and (held is None or not picks.match(held)):
            yield f"zone {code}: {name} is {held.draft.code if held else None!r}, signed {picks}"
    for picks in want.refuse:
        yield from (
            f"zone {code}: {held.draft.code!r} is told, signed never {picks}"
            for held in (chosen.stopgap, chosen.option)
            if held is not None and picks.match(held)
        )


def _unmet_verdict(row: VerdictExpected, c: Consultation) -> Iterator[str]:
    met = [w for w in c.ranked if row.option.match(w)]
    if not met and not set(row.verdict) <= REFUSED:
        yield f"no option matches {row.option}"
    for w in met if row.every else met[:1]:
        late = w.verdict == "late" and (
            "not-advised" in row.verdict
            or ("risky" in row.verdict and c.filled.situation.dates.play_by_firm is not True)
        )
        if w.verdict not in row.verdict and not late:
            yield f"{w.draft.code} is {w.verdict}, signed {row.verdict}"
        for criterion, grade in row.grades.items():
            if w.grades[coded(criterion)] != grade:
                yield f"{w.draft.code}: {criterion} is {w.grades[coded(criterion)]!r}, signed {grade!r}"


def _unmet_proposals(expect: Expected, c: Consultation) -> Iterator[str]:
    if not expect.proposals:
        return
    for number, (step, want) in enumerate(zip(c.steps, expect.proposals, strict=False), start=1):
        signed = step_signed(want)
        if signed.verdict not in (step.verdict, ANY):
            advice = advice_of(c).proposals[number - 1]
            reasons = "; ".join(reason.text for reason in advice.reasons[:3])
            yield (
                f"proposal {number} ({advice.asked}) is {step.verdict!r}, "
                f"signed {signed.verdict!r}: {reasons}"
            )
        yield from (f"proposal {number} ({step.proposal.step}): {wrong}" for wrong in signed.unmet(step))
    if len(c.steps) != len(expect.proposals):
        yield f"{len(c.steps)} proposals are judged, signed {len(expect.proposals)}"


def _unmet_progress(expect: Expected, c: Consultation) -> Iterator[str]:
    """What of the signs that were seen, and of opening, is not as it was signed."""
    seen = signs_seen(c) if expect.signs else []
    for told in expect.signs:
        seasons = [
            row.season
            for here, row in zip(c.signs, seen, strict=True)
            if here.sign == told.sign and (not told.zone or here.zone == coded(told.zone))
        ]
        if told.season not in seasons:
            yield f"sign {told.sign!r}: season is {seasons}, signed {told.season!r}"
    zones = open_now(c) if expect.open else []
    if expect.open and not zones:
        yield "no zone is to be opened"
    for gate in expect.open:
        for zone in zones:
            here = not gate.zone or coded(zone.zone) == coded(gate.zone)
            if here and (zone.light, zone.full) != (gate.light, gate.full):
                yield (
                    f"open {zone.zone}: light {zone.light!r}, full {zone.full!r}, "
                    f"signed {gate.light!r}, {gate.full!r}: {zone.because}"
                )


def _unmet_words(expect: Expected, c: Consultation) -> Iterator[str]:
    """What of the words is not as it was signed."""
    if not expect.says and not expect.never:
        return
    advice = advice_of(c)
    said = plain_words(render(advice.model_copy(update={"unknown": unknown_rows(c)}), width=10_000))
    # Signed in the words of the texts, read in those of the place.
    here = local_words(c)
    yield from (
        f"none of {row.any_of} is said"
        for row in expect.says
        if not any(plain_words(word) in said or plain_words(here(word)) in said for word in row.any_of)
    )
    told = plain_words(
        " ".join(
            text
            for answer in advice.programme
            for text in (
                answer.text,
                answer.instead,
                *answer.meanwhile,
                answer.window.text if answer.window else "",
            )
        )
    )
    yield from (
        f"{word!r} is told to do"
        for word in expect.never
        if plain_words(word) in told or plain_words(here(word)) in told
    )


def plain_words(text: str) -> str:
    """A text in small letters with single blanks, for finding words in it."""
    return " ".join(text.lower().split())


def _unmet_task(want: TaskExpected, advice: Advice) -> Iterator[str]:
    """What a signed task and the plan do not agree on."""
    zone = coded(want.zone) if want.zone else ""
    found = [
        task for task in advice.plan if task.template == want.task and (not zone or coded(task.zone) == zone)
    ]
    if want.absent:
        if found:
            yield f"task {want.task!r} is there, from {found[0].from_}, signed absent"
        return
    if not found:
        yield f"task {want.task!r} is missing"
        return
    task = found[0]
    for name, day, held in (
        ("from", want.start, task.from_),
        ("until", want.until, task.until),
        ("latest", want.latest, task.latest),
    ):
        if day is None:
            continue
        off = None if held is None else (dt.date.fromisoformat(held) - day).days
        if off is None or abs(off) > want.within:
            yield f"task {want.task!r}: {name} is {held}, signed {day} within {want.within} days"


def consult_case(book: Rulebook, case: Case, without: frozenset[str] = frozenset()) -> Consultation:
    """The consultation of a case."""
    return consult(book, case.situation, without=without)
