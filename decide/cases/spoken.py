"""A rule on both sides: of what it speaks in a signed situation, and with which answers it is silent."""

from __future__ import annotations

import copy
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Annotated, Any, Final

from pydantic import ConfigDict, Field, ValidationError, model_validator

from decide.cases.decided import Edited, Looked, families
from decide.cases.pairs import put
from decide.cases.regraded import ruled_of
from decide.cases.signed import Case, Expected, Picks, Row, wrong_row
from decide.decision.consultation import Consultation
from decide.decision.rulebook import Rulebook
from decide.decision.steps import JudgedStep, step_verdict_facts
from decide.engine.columns import Columns
from decide.engine.language import Conclusion
from decide.model.errors import KnowledgeError, SituationError, nearest
from decide.model.reading import situation_from_dict
from decide.model.toml_file import toml_file
from decide.model.toml_lines import Lines

# The key of a change that says of which other thing, beside the keys of a situation.
OF: Final = "of"
# So many consultations are kept: rows that follow each other share some.
_KEPT: Final = 4


class Of(Picks):
    """What a rule speaks of: options as of any case, a step by its word, a sign by its code, or a part. Where
    a step is named, a rule about options speaks of the option that the step is.
    """

    step: str | None = None
    sign: str | None = None


class Spoken(Row):
    """A rule, and what it says (`mark risk weak`) of something in the situation of the file with some other
    answers (`with`), and with the answers of each change of `also` beside these; with those of each change of
    `silent` it does not say so, and nothing untold could make it. A change may name something else by `of`.
    """

    model_config = ConfigDict(extra="forbid", frozen=True, populate_by_name=True)

    rule: str
    signed: str = Field(min_length=20)
    sources: list[str] = Field(min_length=1)
    says: str
    of: Of = Of()
    told: Annotated[dict[str, Any], Field(default_factory=dict, alias="with")]
    also: list[dict[str, Any]] = Field(default_factory=list)
    silent: list[dict[str, Any]] = Field(min_length=1)

    @model_validator(mode="after")
    def _changes_differ(self) -> Spoken:
        changes = [{}, *self.also, *self.silent]
        if any(one == other for n, one in enumerate(changes) for other in changes[:n]):
            raise ValueError("a change stands twice, or changes nothing")
        return self


@dataclass(frozen=True)
class Heard:
    """A rule in one situation: of what it is asked, what it would say, and whether it does."""

    row: Spoken
    where: str
    change: Mapping[str, Any]
    case: Case
    speaks: bool

    @property
    def of(self) -> Of:
        return Of.model_validate(self.change.get(OF, self.row.of))


def read_spoken(path: Path, name: str) -> list[Heard]:
    """The rules on both sides of a file called `name`; KnowledgeError says what is wrong, and the line."""
    text, data = toml_file(path, name)
    lines = Lines(text)
    return [
        heard
        for n, row in enumerate(data.get("rule", []))
        for heard in _heard(row, f"{name}:{lines.find(('rule', n)) or 1}", data, lines, name)
    ]


def spoken_in(folder: Path, only: str = "") -> Iterator[Heard]:
    """The rules on both sides of all files of a folder, in the order of their names."""
    for path in sorted(folder.glob("*.toml")):
        if only in path.stem:
            yield from read_spoken(path, f"cases/{path.name}")


def _heard(row: Any, where: str, data: Mapping[str, Any], lines: Lines, name: str) -> Iterator[Heard]:
    try:
        made = Spoken.model_validate(row)
        for n, change in enumerate([{}, *made.also, *made.silent]):
            told = copy.deepcopy(dict(data.get("situation", {})))
            for key, held in {**made.told, **change}.items():
                if key != OF:
                    put(told, key, held, where)
            case = Case(
                code=where,
                title=made.rule,
                signed=made.signed,
                sources=made.sources,
                situation=situation_from_dict(told, lines.within("situation"), name),
                expect=Expected.model_validate({}),
            )
            heard = Heard(made, where, change, case, speaks=n <= len(made.also))
            _ = heard.of
            yield heard
    except ValidationError as error:
        raise wrong_row(error, Spoken, where) from None
    except SituationError as error:
        raise SituationError(error.wrong, where=where, instead=error.instead) from None


class Listener:
    """Hears rules in situations: one that comes again soon is consulted once."""

    def __init__(self, book: Rulebook) -> None:
        self.book = book
        # The latest last.
        self._looked: dict[str, Looked] = {}

    def unmet(self, heard: Heard) -> str:
        """What is not as signed, in words; empty where all is. KnowledgeError names an unknown rule."""
        rule = heard.row.rule
        if rule not in self.book.rules:
            near = ", ".join(nearest(rule, self.book.rules))
            raise KnowledgeError(f"there is no rule {rule!r}", where=heard.where, instead=f"Near: {near}")
        speaks, could = self.ask(heard)
        if not self._meant(self._look(heard), self.book.rules[rule].layer, heard.of):
            does = "has nothing to speak of"
        elif heard.speaks:
            does = "" if speaks else "is silent"
        else:
            does = "speaks" if speaks else "could speak" if could else ""
        with_ = ", ".join(f"{key} = {held}" for key, held in heard.change.items()) or "as told"
        return does and f"{heard.where}: {rule} {does} ({heard.row.says}; {with_}; of {heard.of})"

    def notices(self, heard: Heard, edited: Edited) -> bool:
        """Whether what is signed is not so where some rules are otherwise."""
        speaks, could = self.ask(heard, edited)
        return speaks != heard.speaks or (could and not heard.speaks)

    def ask(self, heard: Heard, edited: Edited | None = None) -> tuple[bool, bool]:
        """Whether the rule, or its stretch, says what is signed of something that is meant, and whether it
        could if something untold were told.
        """
        looked, edited = self._look(heard), edited or Edited()
        says = could = False
        for id in self._families[heard.row.rule]:
            rule = edited.rules.get(id, self.book.rules[id])
            if id in edited.without or _in_words(rule.then) != heard.row.says:
                continue
            group = self._meant(looked, rule.layer, heard.of)
            ruled = ruled_of(self._judged(looked, rule.layer, heard.of), rule)
            if ruled is not None:
                says |= bool(ruled.true & group)
                could |= bool(ruled.unknown & group)
        return says, could

    def _look(self, heard: Heard) -> Looked:
        key = heard.case.situation.model_dump_json()
        looked = self._looked.pop(key, None) or Looked(self.book, heard.case)
        self._looked[key] = looked
        if len(self._looked) > _KEPT:
            del self._looked[next(iter(self._looked))]
        return looked

    @cached_property
    def _families(self) -> Mapping[str, list[str]]:
        return families(self.book.base.rules)

    def _judged(self, looked: Looked, layer: str, of: Of) -> Columns:
        """What rules of a layer judge, of which some is meant."""
        if layer == "step-verdict":
            most = looked.c.essential
            rows = [
                {**step.facts, **step_verdict_facts(most, step.firings, step.could, step.option)}
                for step in _steps(looked.c)
            ]
            return Columns([str(n) for n in range(len(rows))], rows)
        return looked.columns["step-option" if _of_step(layer, of) else layer][0]

    def _meant(self, looked: Looked, layer: str, of: Of) -> int:
        """Of what was judged in a layer that which is meant, as a set."""
        c, fits = looked.c, [True]
        if _of_step(layer, of):
            options = [(step, step.option) for step in _steps(c) if step.option is not None]
            fits = [of.step == step.facts.get("step.step") and of.match(w) for step, w in options]
        elif layer.startswith("option"):
            fits = [of.match(w) for w in c.weighed.values()]
        elif layer.startswith("step"):
            fits = [of.step in (None, step.facts.get("step.step")) for step in _steps(c)]
        elif layer == "sign":
            fits = [of.sign in (None, sign.code) for sign in c.signs if sign.mended is None]
        elif layer == "zone":
            fits = [of.zone in (None, zone) for zone in c.zone_facts]
        return sum(1 << n for n, fit in enumerate(fits) if fit)


def _steps(c: Consultation) -> list[JudgedStep]:
    return [*c.steps, *c.opening_steps.values()]


def _of_step(layer: str, of: Of) -> bool:
    return layer == "option" and of.step is not None


def _in_words(then: Conclusion) -> str:
    return " ".join(filter(None, (then.act, then.target, then.grade)))
