"""What folders laid over the knowledge changed of its dangers and duties: it is said with every advice."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Any, Final, NamedTuple

from decide.facts.declared import DECLARED
from decide.knowledge.rule_words import facts_in, values_in, words_of
from decide.knowledge.schema import CautionRow, RuleRow
from decide.knowledge.tables import Knowledge, Override
from decide.model.words import CHANGED

MOST_NAMED: Final = 8
# What a rule does that may keep somebody from harm, from a breach of law or from what cannot work.
_GRAVE: Final = frozenset({"caution", "rule-out", "need", "verdict"})
_SHUT: Final = "site.close-today"
# Tables of which every change counts, and keys that count in any table.
_TABLES: Final = frozenset({"cautions", "needs", "opening", "rescue", "feed-law", "bar", "topic", "fact"})
_KEYS: Final = frozenset({"cautions", "cautions-if", "needs", "lead-offer"})
# What a rule says of itself beside what it judges.
_SAID: Final = frozenset({"because", "sources", "sound-if"})
# Texts by which a field is shut.
_TEXTS: Final = ("answer-shut-today", "answer-shut-who")


class _Rule(NamedTuple):
    """A rule as it stands or stood: what it does, the facts that it concludes, and all that it reads."""

    acts: frozenset[str]
    concludes: frozenset[str]
    facts: frozenset[str]
    values: frozenset[str]


def lifted(k: Knowledge) -> list[tuple[str, str]]:
    """What later folders changed or took away that a danger, a duty or a rule-out rests on: the text that
    says it and the code of the row, each once, in the order of the folders.
    """
    if not k.overrides:
        return []
    grave = _Grave([*map(_rule, k.rules), *(_words(each.was) for each in k.overrides if each.was)])
    found = (
        (f"{CHANGED}-{kind}", each.code)
        for each in k.overrides
        if (kind := grave.touched(k, each)) is not None
    )
    return list(dict.fromkeys(found))


def with_changes_said(k: Knowledge) -> Knowledge:
    """The knowledge with a caution more, where folders changed its dangers or duties."""
    rows = lifted(k)
    if not rows:
        return k
    named = [k.text(text, code=code) for text, code in rows[:MOST_NAMED]]
    more = [k.text(f"{CHANGED}-more", n=len(rows) - MOST_NAMED)] if len(rows) > MOST_NAMED else []
    caution = CautionRow.model_validate(
        {
            "name": k.text(f"{CHANGED}-name"),
            "text": k.text(CHANGED, what="; ".join([*named, *more])),
            "who-decides": k.text(f"{CHANGED}-who"),
            "order": 1,
            "sources": ["own-rule"],
        }
    )
    said = replace(k, cautions={**k.cautions, CHANGED: caution})
    if k.compiled is not None:
        said.keep(k.compiled)
    return said


def lifted_lines(k: Knowledge) -> list[str]:
    """All that `lifted` finds, in words, a line each."""
    return [f"said with every advice: {k.text(text, code=code)}" for text, code in lifted(k)]


class _Grave:
    """All that the grave rules rest on: the facts that they read, those that these are made of, and the
    numbers.
    """

    def __init__(self, rules: Iterable[_Rule]) -> None:
        left = list(rules)
        self.facts: set[str] = {_SHUT}
        self.values: set[str] = set()
        grew = True
        while grew:
            now = [rule for rule in left if rule.acts & _GRAVE or rule.concludes & self.facts]
            left = [rule for rule in left if rule not in now]
            self.facts.update(*(rule.facts for rule in now))
            self.values.update(*(rule.values for rule in now))
            grew = bool(now)
        self._measured()

    def _measured(self) -> None:
        todo, seen = list(self.facts), set[str]()
        while todo:
            name = todo.pop()
            row = DECLARED.by_name.get(name) or DECLARED.by_name.get(name.rpartition(".")[0])
            if row is not None and row.names[0] not in seen:
                seen.add(row.names[0])
                todo += row.facts
                self.values.update(row.values)

    def has(self, rule: _Rule) -> bool:
        return bool(rule.acts & _GRAVE or rule.concludes & self.facts)

    def touched(self, k: Knowledge, each: Override) -> str | None:
        """How a change is said; None where no danger and no duty rests on it."""
        keys = {key for key, _, _ in each.keys}
        if each.table == "rule":
            return self._rule(k, each, keys)
        if each.how == "added":
            return None
        if each.table == "value":
            # A number that there was not, as of a grass of the folder's own, changes none.
            return "number" if each.code in self.values and any(old for _, old, _ in each.keys) else None
        if each.table == "text":
            return "text" if each.code in _TEXTS else None
        if each.table == "cautions":
            return "caution"
        work: Mapping[str, Any] = {
            "task": k.tasks,
            "supply": k.supplies,
            "watering": k.watering,
            "year": k.year,
        }
        careful = each.code in work.get(each.table, {}) and work[each.table][each.code].cautions
        return "row" if each.table in _TABLES or keys & _KEYS or careful else None

    def _rule(self, k: Knowledge, each: Override, keys: set[str]) -> str | None:
        if each.how == "off":
            return "off" if self.has(_words(each.was)) else None
        if each.how == "changed":
            return "rule" if keys - _SAID and self.has(_words(each.was)) else None
        rule = next((_rule(row) for row in k.rules if row.id == each.code), None)
        return "added" if rule is not None and rule.concludes & self.facts else None


def _rule(row: RuleRow) -> _Rule:
    return _words(words_of(row.then, [*row.when, *(word for each in row.unless for word in each.when)]))


def _words(words: tuple[str, ...]) -> _Rule:
    """A rule of the words that `words_of` keeps of it."""
    acts = frozenset(word for word in words[0].split() if word)
    return _Rule(acts, facts_in(words[1:2]), facts_in(words[2:]), values_in(words[2:]))
