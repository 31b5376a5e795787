"""What folders laid over the knowledge changed of its dangers and duties: it is said with every advice."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Any, Final, NamedTuple

from decide.engine.language import ADVERSE
from decide.facts.declared import DECLARED
from decide.knowledge.compile import told_facts
from decide.knowledge.rule_words import facts_in, parted, values_in, words_of
from decide.knowledge.schema import CautionRow, RuleRow
from decide.knowledge.tables import Knowledge, Override
from decide.knowledge.talk_words import TALK
from decide.model.words import CHANGED

MOST_NAMED: Final = 8
# What a rule does that may keep somebody from harm, from a breach of law or from what cannot work.
_GRAVE: Final = frozenset({"caution", "rule-out", "need", "verdict"})
_SHUT: Final = "site.close-today"
# The criterion by which a way is a risk; and the grade that is as good as ruled out, whatever the criterion.
_RISK, _LOST = "risk", "lost"
# Tables of which every change counts, and keys that count in any table.
_TABLES: Final = frozenset({"cautions", "needs", "opening", "rescue", "feed-law", "bar", "topic", "fact"})
_KEYS: Final = frozenset({"cautions", "cautions-if", "needs", "lead-offer"})
# What a rule, or a usual reading, says of itself beside what it judges.
_SAID: Final = frozenset({"because", "sources", "sound-if"})
# Keys that hold words for people and judge nothing; a change of these alone is one of wording.
_WORDING: Final = frozenset((
    "name", "text", "who-decides", "check", "how", "sign", "look-at", "do", "saved-if", "lost-if", "title",
    "why", "tell", "meaning", "because", "sources", "item", "no-price", "ask", "ask-size", "note", "who",
    "say",
))  # fmt: skip
# Keys of a question by which an answer is understood.
_ANSWERED: Final = frozenset({"key", "kind", "choices", "words", "choices-from", "unit", "areas", "only-if"})
# Words of the talk in which answers are said back, and none is understood.
_SAID_BACK: Final = frozenset({"echo"})
# Texts by which a field is shut.
_TEXTS: Final = ("answer-shut-today", "answer-shut-who")
_COUNTED: Final = (f"{CHANGED}-wording", f"{CHANGED}-talk")


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
    before = [_words(each.was) for each in k.overrides if each.table == "rule" and each.was]
    grave = _Grave([*map(_rule, k.rules), *before], {fact.name: fact.told for fact in told_facts(k)})
    found = (
        (f"{CHANGED}-{kind}", each.code)
        for each in k.overrides
        if (kind := grave.touched(k, each)) is not None
    )
    return list(dict.fromkeys(found))


def _said(k: Knowledge) -> list[str]:
    """The same in words: each row by its code, but changes of wording and of words of the talk once, by their
    number, for a folder that is a translation changes all of them.
    """
    rows = lifted(k)
    many = Counter(text for text, _ in rows if text in _COUNTED)
    named = [k.text(text, code=code) for text, code in rows if text not in _COUNTED]
    return [*named, *(k.text(text, n=n) for text, n in many.items())]


def with_changes_said(k: Knowledge) -> Knowledge:
    """The knowledge with a caution more, where folders changed its dangers or duties."""
    rows = _said(k)
    if not rows:
        return k
    named = rows[:MOST_NAMED]
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
    return [f"said with every advice: {each}" for each in _said(k)]


class _Grave:
    """All that the grave rules, and those that mark a risk, rest on: the facts that they read, those that
    these are made of, and the numbers.
    """

    def __init__(self, rules: Iterable[_Rule], told: Mapping[str, str]) -> None:
        left = list(rules)
        self.facts: set[str] = {_SHUT}
        self.values: set[str] = set()
        self.keys: set[str] = set()
        grew = True
        while grew:
            now = [rule for rule in left if self.has(rule)]
            left = [rule for rule in left if rule not in now]
            self.facts.update(*(rule.facts for rule in now))
            self.values.update(*(rule.values for rule in now))
            grew = bool(now)
        # What the measured ones among them are measured of.
        self.read = set(self.facts)
        self._measured()
        self.keys.update(told[name] for name in self.read if name in told)

    def _measured(self) -> None:
        todo, seen = list(self.facts), set[str]()
        while todo:
            name = todo.pop()
            row = DECLARED.by_name.get(name) or DECLARED.by_name.get(name.rpartition(".")[0])
            if row is not None and row.names[0] not in seen:
                seen.add(row.names[0])
                todo += row.facts
                self.read.update(row.facts)
                self.values.update(row.values)
                self.keys.update(row.keys, row.also)

    def has(self, rule: _Rule) -> bool:
        return bool(rule.acts & _GRAVE or rule.concludes & self.facts or any(map(_warns, rule.acts)))

    def tells(self, key: str) -> bool:
        """Whether what is told of a key bears on them."""
        return any(
            key == held or key.startswith(f"{held}.") or held.startswith(f"{key}.") for held in self.keys
        )

    def touched(self, k: Knowledge, each: Override) -> str | None:
        """How a change is said; None where no danger and no duty rests on it."""
        keys = {key for key, _, _ in each.keys}
        if each.table == "rule":
            return self._rule(k, each, keys)
        if each.table == TALK:
            return self._talk(each)
        if each.table == "usual":
            # One that was not there speaks where there was silence.
            grave = each.code in self.read and (each.how == "added" or keys - _SAID)
            return "usual" if grave else None
        return self._row(k, each, keys) if each.how == "changed" else None

    def _row(self, k: Knowledge, each: Override, keys: set[str]) -> str | None:
        """The same of a row that was there."""
        if each.table == "value":
            # A number that there was not, as of a grass of the folder's own, changes none.
            return "number" if each.code in self.values and any(old for _, old, _ in each.keys) else None
        if each.table == "question":
            asked = next((row.key for row in k.questions if each.code in (row.id, row.key)), "")
            return "talk" if keys & _ANSWERED and self.tells(asked) else None
        if each.table == "text":
            return "wording" if each.code in _TEXTS else None
        work: Mapping[str, Any] = {
            "task": k.tasks,
            "supply": k.supplies,
            "watering": k.watering,
            "year": k.year,
        }
        careful = each.code in work.get(each.table, {}) and work[each.table][each.code].cautions
        if not (each.table in _TABLES or keys & _KEYS or careful):
            return None
        return "wording" if keys <= _WORDING else "caution" if each.table == "cautions" else "row"

    def _talk(self, each: Override) -> str | None:
        """The same of words by which people are understood; such as tell of no key may bear on any."""
        told = [key for key in each.was if key]
        if each.code.partition("/")[0] in _SAID_BACK or (told and not any(map(self.tells, told))):
            return None
        return "talk"

    def _rule(self, k: Knowledge, each: Override, keys: set[str]) -> str | None:
        if each.how == "off":
            return "off" if self.has(_words(each.was)) else None
        if each.how == "changed":
            now = next((_as_kept(row) for row in k.rules if row.id == each.code), ())
            # Of exceptions that read what they read before only the words are others.
            said = _SAID | {"unless"} if now == each.was else _SAID
            return "rule" if keys - said and self.has(_words(each.was)) else None
        rule = next((_rule(row) for row in k.rules if row.id == each.code), None)
        return "added" if rule is not None and rule.concludes & self.facts else None


def _warns(act: str) -> bool:
    """Whether a rule marks a way as a risk, or as good as ruled out."""
    criterion, _, grade = act.partition("/")
    return grade == _LOST or (criterion == _RISK and grade in ADVERSE)


def _rule(row: RuleRow) -> _Rule:
    return _words(_as_kept(row))


def _as_kept(row: RuleRow) -> tuple[str, ...]:
    return words_of(row.then, parted([row.when, *(each.when for each in row.unless)]))


def _words(words: tuple[str, ...]) -> _Rule:
    """A rule of the words that `words_of` keeps of it."""
    acts = frozenset(word for word in words[0].split() if word)
    return _Rule(acts, facts_in(words[1:2]), facts_in(words[2:]), values_in(words[2:]))
