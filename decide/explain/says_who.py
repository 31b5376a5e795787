"""Says who: behind a statement, a rule or a number, the source with its date, how it was seen, and what other
sources say.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from decide.answer.assemble import advice_of
from decide.answer.meanwhile import meanwhile_rows, needs_meanwhile
from decide.answer.zone_answer import decision_of
from decide.decision.consultation import Consultation
from decide.engine.language import Fact, Rule
from decide.explain.found import near
from decide.explain.reasons import (
    Level,
    Said,
    Teller,
    by_folder,
    part_facts,
    part_rules,
    said_of,
    source_words,
    usual_firings,
)
from decide.explain.runs import facts_of
from decide.explain.why import runner_up, zone_code
from decide.knowledge.tables import Knowledge
from decide.model.words import capital
from decide.model.written import clean

MOST_SHOWN = 6
_SMALL = frozenset(
    [
        "a",
        "an",
        "the",
        "of",
        "on",
        "in",
        "at",
        "by",
        "to",
        "is",
        "are",
        "be",
        "it",
        "that",
        "this",
        "and",
        "or",
        "not",
        "for",
        "from",
        "with",
        "you",
        "your",
        "says",
        "said",
        "who",
        "what",
        "where",
        "does",
        "do",
        "so",
        "as",
        "has",
        "have",
    ]
)


@dataclass(frozen=True)
class Cited:
    """A source: title, publisher, year, and how it was seen (opened, excerpt, memory, own)."""

    key: str
    title: str
    publisher: str
    year: str
    seen: str
    where: str


@dataclass(frozen=True)
class Stated:
    """A statement with its sources: what kind it is (rule, meanwhile, value, ailment, caution, need), its
    name, and the numbers that it rests on.

    Each number comes with what every source says of it, the one in use marked. `folder` is the name of the
    folder over the knowledge by which it stands as it does, "" where that is the knowledge's own.
    """

    kind: str
    name: str
    text: str
    sources: tuple[Cited, ...]
    numbers: tuple[Said, ...] = ()
    folder: str = ""


@dataclass(frozen=True)
class SaysWho:
    """The statements that the words mean, the best match first; none where nothing is meant."""

    text: str
    found: tuple[Stated, ...]


def says_who(
    consultation: Consultation, words: str = "", zone: str | None = None, level: Level = 1
) -> SaysWho:
    """Who says so: sources of the statements that some words mean, or of every reason for the choice where
    there are none.

    `words` may be the name of a rule, a value, a caution or a source, or words out of a statement. Level 1
    gives the sources, 2 the numbers with what each source says, 3 the names of rules and sources. DecideError
    where there is no such zone.
    """
    c = consultation
    asked = clean(words).strip(" '\"?.!")
    zones = [zone_code(c, zone)] if zone is not None else list(c.zones)
    rows = list(_all(c, zones))
    found = _meant(c, rows, asked) if asked else [row for row in rows if row.kind == "rule"]
    if not found:
        return SaysWho(
            c.knowledge.text("source-not-found", asked=repr(asked[:60])),
            (),
        )
    shown = found if level > 1 or not asked else found[:MOST_SHOWN]
    lines = [
        line
        for row in shown[: None if level > 1 else 2 * MOST_SHOWN]
        for line in _lines(c.knowledge, row, level)
    ]
    return SaysWho("\n".join(lines), tuple(found))


def cited(k: Knowledge, key: str) -> Cited:
    """A source by its key."""
    row = k.sources[key]
    return Cited(key, row.title, row.publisher, row.year, row.seen, row.where)


# ---------- what is stated ----------
_TABLES: Final[Mapping[str, str]] = {"caution": "cautions", "need": "needs"}


def _stated(
    k: Knowledge, kind: str, name: str, text: str, sources: Iterable[str], numbers: tuple[Said, ...] = ()
) -> Stated:
    """A statement, with its sources, and by which folder it stands."""
    folder = k.folder_of(_TABLES.get(kind, kind), name.partition("--")[0])
    return Stated(kind, name, text, tuple(cited(k, key) for key in sources), numbers, folder)


def _all(c: Consultation, zones: Sequence[str]) -> Iterator[Stated]:
    """Every statement of the advice about some zones: the reasons of the choice and its rival, the ground,
    cautions, needs.
    """
    tell, seen = Teller(c), set[str]()

    def of_rule(rule: Rule, facts: dict[str, Fact]) -> Iterator[Stated]:
        if rule.id not in seen:
            seen.add(rule.id)
            reason = tell.reason(rule, facts)
            numbers = tuple(dict.fromkeys(said for held in reason.when for said in held.numbers))
            yield _stated(c.knowledge, "rule", rule.id, reason.text, rule.sources, numbers)

    for zone in zones:
        chosen = c.chosen[zone]
        rival = runner_up(c, zone, chosen)
        for w in (*chosen.told, *([rival] if rival is not None and rival not in chosen.told else [])):
            for rule, _ in w.firings:
                if rule.then.act in ("mark", "rule-out"):
                    yield from of_rule(rule, dict(w.facts))
            for rule, _ in usual_firings(c, w):
                yield from of_rule(rule, {**c.usual_facts[zone], **w.facts})
            for rule in part_rules(c, w):
                yield from of_rule(rule, part_facts(c, w))
        yield from _meanwhile(c, zone)
        for rule, _ in (*c.zone_layer.fired.get(zone, []), *c.site_layer.fired.get("site", [])):
            yield from of_rule(rule, facts_of(c, zone))
    for ailment in advice_of(c).ailments:
        lines = (ailment.why, ailment.tell, ailment.do, ailment.leave, ailment.treat)
        said = " ".join(line for line in lines if line)
        yield _stated(c.knowledge, "ailment", ailment.code, said, c.knowledge.ailments[ailment.code].sources)
    for caution in advice_of(c).cautions:
        row = c.knowledge.cautions.get(caution.code)
        if row is not None:
            yield _stated(c.knowledge, "caution", caution.code, caution.text, row.sources)
    for need in advice_of(c).needs:
        own = c.knowledge.needs.get(need.code)
        if own is not None:
            yield _stated(c.knowledge, "need", need.code, need.text, own.sources)


def _meanwhile(c: Consultation, zone: str) -> Iterator[Stated]:
    """What is said to be done with a zone until its remedy is possible."""
    chosen, decision = c.chosen[zone], decision_of(c, zone)
    if not needs_meanwhile(c, chosen, decision):
        return
    rows, facts = meanwhile_rows(c, zone, decision, chosen)
    names = {id(row): name for name, row in c.knowledge.meanwhile.items()}
    for row in rows:
        said = c.say.sentences(c.book.template(row.text), facts, c.types)
        yield _stated(c.knowledge, "meanwhile", names[id(row)], said, row.sources)


def _of_value(c: Consultation, name: str) -> Stated:
    row = c.knowledge.values[name]
    numbers = tuple(said_of(c.knowledge, said, c.system) for said in row.statements)
    sources = dict.fromkeys(said.source for said in row.statements)
    return _stated(c.knowledge, "value", name, row.meaning, sources, numbers)


def _meant(c: Consultation, rows: Sequence[Stated], asked: str) -> list[Stated]:
    """The statements that some words mean: by name first, then by the words that they share."""
    k, code = c.knowledge, asked.lower().replace(" ", "-").replace("_", "-")
    named = [row for row in rows if row.name == code or code in {source.key for source in row.sources}]
    if code in k.values:
        named.append(_of_value(c, code))
    if not named and code in c.book.rules:
        rule = c.book.rules[code]
        text = "".join(part if isinstance(part, str) else "…" for part in rule.because.parts)
        values = [condition.value for condition in rule.conditions if condition.value]
        numbers = tuple(said for name in values for said in _of_value(c, name).numbers)
        named.append(_stated(k, "rule", rule.id, text, rule.sources, numbers))
    if named:
        return named
    wanted = _telling(asked)
    if not wanted:
        return []
    every = [*rows, *(_of_value(c, name) for name in k.values)]
    vocabulary = {word for row in every for word in _telling(row.text)}
    wanted = {word if word in vocabulary else near(word, vocabulary) or word for word in wanted}
    scored = [(len(wanted & _telling(row.text)), place, row) for place, row in enumerate(every)]
    best = max(score for score, _, _ in scored)
    if best == 0 or 2 * best < len(wanted) or (len(wanted) > 1 and 2 * best == len(wanted)):
        return []
    return [row for score, _, row in sorted(scored, key=lambda each: (-each[0], each[1])) if score == best]


def _telling(text: str) -> set[str]:
    words = "".join(letter if letter.isalnum() else " " for letter in text.lower()).split()
    return {
        word[:-1] if len(word) > 4 and word.endswith("s") else word
        for word in words
        if word not in _SMALL and len(word) > 1
    }


# ---------- in words ----------
def _lines(k: Knowledge, row: Stated, level: Level) -> Iterator[str]:
    yield f"- {capital(row.text)}"
    if row.kind != "value" or level == 1:
        for source in (
            row.sources
            if row.kind != "value"
            else [s for s in row.sources if any(n.used and s.title in n.source for n in row.numbers)]
        ):
            yield (
                "    Says: "
                f"{source_words(k, source.key)}."
                f"{f' {source.where}' if level > 2 and source.where.startswith('http') else ''}"
            )
    if row.folder:
        yield f"    {capital(by_folder(k, row.folder))}."
    if level > 1:
        for said in row.numbers:
            key = f" ({said.key.replace('-', ' ')})" if said.key else ""
            yield f"    {capital(k.values[said.value].meaning.split(';')[0])}{key}: {said.text(k)}."
    if level > 2:
        yield (
            f"    {capital(row.kind)}: {row.name}. Sources: "
            f"{', '.join(source.key for source in row.sources)}."
        )
