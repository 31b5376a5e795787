"""Rules in words, without a field: what each asks for, what it says and why, by the subjects of knowledge."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Final

from decide.decision.rulebook import Rulebook
from decide.engine.language import Condition, Rule, Template
from decide.explain.reasons import source_words
from decide.knowledge.speaker import Speaker
from decide.model.errors import DecideError, meant
from decide.model.units import System
from decide.model.words import capital, first_sentence

_SHORT: Final = re.compile("[,;:]")
ALL: Final = "all"
SUBJECTS: Final = "subjects"
_OPS: Final[Mapping[str, str]] = {
    "<": "rule-below", "<=": "rule-at-most", ">": "rule-above", ">=": "rule-at-least", "is": "rule-is",
    "in": "rule-is", "is not": "rule-is-not",
}  # fmt: skip


class RuleTeller:
    """Says rules in words and in one system of units."""

    def __init__(self, book: Rulebook, system: System = "metric") -> None:
        self.book, self.k, self.types = book, book.knowledge, book.base.facts
        self.say, self.system = Speaker(self.k, system), system

    # ---------- parts of a rule ----------
    def meaning(self, fact: str) -> str:
        """What a fact is, in a few words."""
        return self.types[fact].meaning.split(";")[0] if fact in self.types else fact.replace("-", " ")

    def condition(self, one: Condition) -> str:
        """What a condition asks for."""
        kind, said = self.types[one.fact], self.k.text
        if one.op in ("<", "<=", ">", ">="):
            if one.index:
                wanted = said(
                    "rule-own-number", value=self.k.values[one.value].meaning, of=self.meaning(one.index)
                )
            else:
                wanted = self.say.fact(kind, one.number if one.number is not None else 0.0)
        elif one.levels:
            wanted = self.k.language.listed([self.say.fact(kind, level) for level in one.levels], "or")
        else:
            return said("rule-yes" if one.op == "is" else "rule-no", fact=capital(self.meaning(one.fact)))
        return said(_OPS[one.op], fact=capital(self.meaning(one.fact)), wanted=wanted)

    def filled(self, template: Template) -> str:
        """A sentence with each figure that is the same everywhere, and with the name of each that is not."""
        words: list[str] = []
        for part in template.parts:
            if isinstance(part, str):
                words.append(part)
                continue
            kind, name, index = part
            key = index.removeprefix("=") if index.startswith("=") else ""
            said = self.say.value(name, key) if kind == "value" and (key or not index) else None
            meant_by = self.meaning(name) if kind == "fact" else self.k.values[name].meaning
            words.append(said or f"[{_SHORT.split(meant_by)[0]}]")
        return capital(self.k.language.one_system("".join(words), self.system))

    def then(self, rule: Rule) -> str:
        """What a rule says."""
        then, k = rule.then, self.k
        match then.act:
            case "conclude":
                return k.text("lesson-concludes", fact=capital(self.meaning(then.target)))
            case "rule-out":
                return k.text("lesson-rules-out", criterion=k.language.criterion(then.target))
            case "mark":
                return k.text(
                    "lesson-marks",
                    criterion=capital(self.k.language.criterion(then.target)),
                    grade=self.k.language.grade(then.grade),
                )
            case "caution":
                return k.text("lesson-cautions", text=self._named(k.cautions[then.target].text))
            case "need":
                return k.text("lesson-needs", text=self._named(k.needs[then.target].text))
            case _:
                return k.text("lesson-verdict", verdict=k.language.verdict(then.target))

    def _named(self, text: str) -> str:
        return first_sentence(self.filled(self.book.template(text)))

    def lines(self, rule: Rule) -> Iterator[str]:
        """A rule in words."""
        k = self.k
        yield k.text("lesson-rule", rule=rule.id)
        yield from (
            f"  {k.text('rule-when' if not at else 'rule-and', what=self.condition(one))}"
            for at, one in enumerate(rule.when)
        )
        for exception in rule.unless:
            asked = k.language.listed([self.condition(one) for one in exception.when])
            yield f"  {k.text('rule-unless', name=exception.name.replace('-', ' '), what=asked)}"
        yield f"  {k.text('lesson-so', concludes=self.then(rule))}"
        yield f"  {k.text('lesson-why', because=self.filled(rule.because))}"
        yield from (f"  {k.text('lesson-source', source=source_words(k, key))}" for key in rule.sources)

    def subject(self, name: str) -> str:
        """What a subject is called."""
        code = f"rules-of-{name}"
        return self.k.text(code) if code in self.k.texts else capital(name.replace("-", " ")) + "."


def rule_lines(book: Rulebook, rule: Rule, system: System = "metric") -> Iterator[str]:
    """One rule in words."""
    yield from RuleTeller(book, system).lines(rule)


def rules_lines(book: Rulebook, word: str, system: System = "metric") -> Iterator[str]:
    """The subjects (`subjects`), the rules of one, one rule by its name, or `all`; DecideError for any other
    word.
    """
    tell = RuleTeller(book, system)
    by_subject: dict[str, list[Rule]] = {}
    for rule in book.base.rules:
        if not rule.bend_of:
            by_subject.setdefault(rule.subject, []).append(rule)
    if word == SUBJECTS:
        count = sum(map(len, by_subject.values()))
        yield book.knowledge.text("rules-head", n=count, subjects=len(by_subject))
        for name, rows in sorted(by_subject.items()):
            yield book.knowledge.text("rules-row", subject=name, n=len(rows), about=tell.subject(name))
        return
    if word in book.rules:
        yield from tell.lines(book.rules[word])
        return
    if word != ALL and word not in by_subject:
        raise DecideError(
            f"there is no subject and no rule {word!r}",
            where="lesson",
            instead=f"{meant(word, [*by_subject, *book.rules])}. --rules subjects lists the subjects",
        )
    for name in sorted(by_subject) if word == ALL else [word]:
        yield book.knowledge.text(
            "rules-row", subject=name, n=len(by_subject[name]), about=tell.subject(name)
        )
        for rule in by_subject[name]:
            yield ""
            yield from tell.lines(rule)
        yield ""
