"""What no output can ever say: sentences that no code names, forms of a number that the language has not,
rows that never hold, and rows that are never the first to hold.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import partial
from typing import Final

from decide.engine.language import Condition, FactType
from decide.engine.written import Numbers, parse_condition
from decide.knowledge.audit_code import Code
from decide.knowledge.audit_proof import proved_of
from decide.knowledge.audit_rows import SPOKEN
from decide.knowledge.audit_texts import answers_for, conditionals, rows_of
from decide.knowledge.cells import Space
from decide.knowledge.finding import Finding, Findings, listed
from decide.knowledge.logic import Found, conditions_of, in_words, never
from decide.knowledge.proof import core, possible
from decide.knowledge.schema import Conditional
from decide.knowledge.tables import Knowledge
from decide.knowledge.texts import FORMS, forms_of

# Tables whose rows are told of their conditions by themselves.
_TOLD: Final = ("task", "supply", "meanwhile", "ailment")


def conditions_in(k: Knowledge, facts: Mapping[str, FactType], numbers: Numbers) -> Iterator[Condition]:
    """All conditions of the tables beside the rules."""
    for _, _, row in rows_of(k):
        for part in conditionals(row):
            for conditions in conditions_of(part, facts, numbers) or ():
                yield from conditions
    if "zone.decision" in facts:
        yield parse_condition(SPOKEN, facts, numbers)


def check_unsaid(k: Knowledge, code: Code, numbers: Numbers, space: Space) -> Found:
    """All that is written to be said and never is."""
    yield from _sentences(k, code)
    yield from _parts(k, numbers, space)
    yield from _behind(k, numbers, space)


def _sentences(k: Knowledge, code: Code) -> Findings:
    rules = {where for (table, _), where in k.where.items() if table == "rule"}
    words = {
        *(level for row in k.facts.values() for level in row.levels),
        *(name.partition(".")[2] for name in k.facts),
        *(code for table, code in k.where if table not in ("text", "rule")),
        # The files of rules are named as their subjects.
        *(where.partition(".toml")[0].rpartition("/")[2] for where in rules),
    }
    # Those are told of as what no folder can add.
    added = {each.code for each in k.overrides if (each.table, each.how) == ("text", "added")}
    has = forms_of(k.language.locale)
    for name, row in k.texts.items():
        where = k.where.get(("text", name), "")
        if not answers_for(k, "text", name):
            continue
        if name not in added and not code.can_say(name, words):
            yield Finding(
                "unsaid",
                name,
                f"text {name!r} is said nowhere",
                proof="no code names it or puts its name together",
                where=where,
                instead="Take it out",
            )
        for form in FORMS:
            if getattr(row, form) and form not in has:
                yield Finding(
                    "unsaid",
                    f"{name} {form}",
                    f"text {name!r}: the form {form!r} is never chosen",
                    proof=f"numbers have the forms {listed(sorted(has))} in {k.language.locale}",
                    where=where,
                    instead="Take it out",
                )


def _parts(k: Knowledge, numbers: Numbers, space: Space) -> Found:
    """Rows and parts of rows whose conditions never hold together, or not with what they are for."""
    for table, code, row in rows_of(k):
        where = k.where.get((table, code), "")
        for part in conditionals(row) if table not in _TOLD and answers_for(k, table, code) else ():
            yield from proved_of(code, where, partial(_part, (table, code, where), row, part, numbers, space))


def _part(
    of: tuple[str, str, str], row: object, part: Conditional, numbers: Numbers, space: Space
) -> Findings:
    table, code, where = of
    read = conditions_of(part, space.facts, numbers)
    if read is None:
        return
    step = getattr(row, "step", ())
    made_for = [space.among("step.step", (step,) if isinstance(step, str) else step)] if step else []
    if table == "method":
        made_for.append(space.among("option.method", (code,)))
    if wrong := never(space, *read, made_for=made_for):
        yield Finding("unsaid", code, f"{code}: never holds: {wrong[0]}", where=where, instead=wrong[1])


def _behind(k: Knowledge, numbers: Numbers, space: Space) -> Found:
    """Rows of which the first that holds is taken, and that hold only where one before them does."""
    tables: list[tuple[str, Sequence[tuple[str, str, Conditional]]]] = [
        *(
            (table, [(code, code, row) for code, row in sorted(rows.items(), key=lambda each: each[1].order)])
            for table, rows in (("fate", k.fates), ("sure", k.sure))
        ),
        *(
            ("remedy", [(code, row.says, row) for row in remedy.decisions])
            for code, remedy in k.remedies.items()
        ),
    ]
    for table, rows in tables:
        for n, (code, _, _) in enumerate(rows):
            where = k.where.get((table, code), "")
            yield from proved_of(code, where, partial(_hidden, rows[: n + 1], where, numbers, space))


def _hidden(
    rows: Sequence[tuple[str, str, Conditional]], where: str, numbers: Numbers, space: Space
) -> Findings:
    """The last of some rows, where it is never the first that holds."""
    read = [conditions_of(row, space.facts, numbers) for _, _, row in rows]
    held = [each for each in read if each is not None]
    if len(held) < len(rows):
        return
    last, before = space.stands(*held[-1]), [space.stands_not(*each) for each in held[:-1]]
    if possible(space, [last]) and not possible(space, [last, *before]):
        names = core(space, [last], before)
        wheres = (f"{rows[n][1]} where {in_words(held[n][0]) or 'nothing bars it'}" for n in names)
        code, called, _ = rows[-1]
        yield Finding(
            "unsaid",
            called if called == code else f"{code} {called}",
            f"{code}: {called!r} is never taken: wherever it holds "
            f"{' or '.join(repr(rows[n][1]) for n in names)} holds before it",
            proof=" / ".join(wheres),
            where=where,
            instead="Put it before, or tell their conditions apart",
        )
