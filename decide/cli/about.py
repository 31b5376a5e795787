"""The commands about the program itself: version, sources, schema, audit, completion and help."""

from __future__ import annotations

import datetime as dt
from argparse import ArgumentParser, Namespace
from collections.abc import Iterator
from contextlib import suppress
from typing import TYPE_CHECKING

from decide.cli.page import OK, show
from decide.cli.table import COMMANDS, DOES, MORE, SHELLS
from decide.cli.words import UseError, help_parser, whole_parser
from decide.model.errors import KnowledgeError, meant
from decide.model.version import VERSION

if TYPE_CHECKING:
    from decide.knowledge.tables import Knowledge


def version(_: Namespace) -> int:
    """The version, and the engines in use."""
    from decide.engine.durable import NAME, available

    second = (
        f"{NAME} (forward chaining) checks what is shown: site, signs, parts, the options told, steps"
        if available()
        else f"{NAME} is not installed: only the plain engine is in use"
    )
    show(f"decide {VERSION}\nengines: the plain evaluator judges all; {second}\n")
    return OK


def sources(words: Namespace) -> int:
    """Every publication, and the sentences that travel with the climate's data."""
    from decide.cli.files import knowledge_with
    from decide.knowledge.load import knowledge_folder

    for key, source in sorted(knowledge_with(words.knowledge).sources.items()):
        show(f"{key}: {source.title}. {source.publisher}, {source.year} ({source.seen})\n")
    show((knowledge_folder() / "climate" / "README.md").read_text(encoding="utf-8") + "\n")
    return OK


def schema(words: Namespace) -> int:
    """A JSON Schema: of the advice, of a situation, of a line of `decide many`, of a record."""
    from decide.cli.schemas import SCHEMAS, schema_file

    of = words.of or "advice"
    if of not in SCHEMAS:
        raise UseError(COMMANDS["schema"].takes, instead=meant(of, SCHEMAS))
    show(schema_file(of).read_text(encoding="utf-8"))
    return OK


def audit(words: Namespace) -> int:
    """Every problem of the knowledge; with the cases a warning of each rule that none decides, which is no
    problem; with the values those that decide most.
    """
    from decide.cases.bank import wrong_cases
    from decide.facts.lifted import lifted_lines
    from decide.knowledge.audit import main
    from decide.knowledge.audit_code import read_code
    from decide.knowledge.compile import compile_rules
    from decide.questions.alike import alike
    from decide.questions.served import unserved
    from decide.report.words import wrong_words

    def more(knowledge: Knowledge) -> Iterator[KnowledgeError]:
        yield from wrong_words(knowledge)
        yield from wrong_cases(knowledge)
        with suppress(KnowledgeError):  # a rule that cannot be read is told by the audit itself
            base, read = compile_rules(knowledge), read_code()
            yield from unserved(knowledge, base, read)
            yield from alike(knowledge, base, read)

    code = main([..., *words.knowledge], more, lifted_lines, words.proof, dt.date.today())
    if not (words.cases or words.values) or code != OK:
        return code
    from decide.cases.decided import undecided_lines
    from decide.cases.reach import Reach, reach_lines, read_by_code
    from decide.cli import cases
    from decide.cli.files import given, knowledge_with
    from decide.consult import Adviser
    from decide.knowledge.load import knowledge_folder
    from decide.plan.feasible import consult

    adviser = Adviser(knowledge_with(words.knowledge), "plain")
    bank = cases.bank([knowledge_folder(), *words.knowledge], [words.only] if words.only else [])
    if words.cases:
        for line in undecided_lines(adviser, bank):
            show(f"warning: {line}\n")
    if words.values:
        reach, read = Reach(), read_by_code(adviser.knowledge, read_code())
        fields = [(each.situation, each.weather) for each in map(given, words.field)]
        for situation, weather in [*((case.situation, None) for case in bank), *fields]:
            reach.add(consult(adviser, situation, weather=weather), read)
        for line in reach_lines(adviser.knowledge, reach, words.values):
            show(f"{line}\n")
    return code


def completion(words: Namespace) -> int:
    """A script that makes a shell complete the commands."""
    import shtab

    if words.shell not in SHELLS:
        raise UseError(COMMANDS["completion"].takes)
    whole = whole_parser(COMMANDS.values(), DOES, MORE, shtab.FILE, COMMANDS["talk"])
    show(shtab.complete(whole, words.shell) + "\n")
    return OK


def help_(words: Namespace) -> int:
    """What a command takes, or the list of commands."""
    if words.command is None:
        show(whole_parser(COMMANDS.values(), DOES, MORE, {}).format_help())
        return OK
    if words.command not in COMMANDS:
        raise UseError(f"{words.command!r} is not a command", instead=meant(words.command, COMMANDS))
    command = COMMANDS[words.command]
    show(help_parser(command, ArgumentParser(prog=f"decide {command.name}"), {}).format_help())
    return OK
