"""Which of the answers on offer some words may mean: by number, by words, by a near spelling."""

from __future__ import annotations

import difflib
import itertools
import re
from collections.abc import Sequence
from functools import cached_property, lru_cache
from typing import Any, Final

from decide.parse.near import Near
from decide.parse.plain import fold, spaced, words
from decide.parse.results import AnswerChoice, Setting
from decide.parse.vocabulary import rows

MOST_ITEMS: Final = 12


LONGEST_NAME: Final = 40
_SHORT: Final = 4
# What is so little less like than the likest may be meant as well.
_BESIDE: Final = 0.03


_NEGATIONS: Final = frozenset(
    {"no", "not", "without", "never", "nothing", "none", "neither", "nor", "cannot", "nobody", "except"}
)


_BARE_NEGATIONS: Final = spaced(
    "isnt arent wasnt werent dont doesnt didnt hasnt havent cant couldnt wont wouldnt shouldnt"
)


SMALL: Final = spaced(
    "a an the some of on in at by to with and we i it is are was our my there have has got from only just "
    "mostly mainly its it's we've i've think they about for really quite very use used using get can"
)


_SAME_WORDS: Final = {
    "turves": "sod", "turfs": "sod", "turf": "sod", "sods": "sod", "spigot": "tap", "faucet": "tap",
    "hosepipe": "hose", "hosepipes": "hose", "hoses": "hose", "aerator": "corer", "aerators": "corer",
    "lawnmower": "mower", "soccer": "soccer", "gray": "grey", "traveling": "travelling",
    "traveler": "traveller", "sprinklers": "sprinkler", "goals": "goal", "goalmouths": "goalmouth",
    "mould": "mold", "fertiliser": "fertilizer", "tyres": "tire", "tyre": "tire", "tires": "tire",
    "autumn": "autumn", "clippings": "clipping", "ground": "ground", "inground": "in ground",
    "in-ground": "in ground", "colour": "color", "pop-up": "popup", "pop-ups": "popup", "popups": "popup",
    "dandelions": "dandelion", "syringes": "needle", "syringe": "needle", "metre": "meter", "metres": "meter",
    "organisation": "organization",
}  # fmt: skip


_ORDINALS: Final = (
    "first",
    "second",
    "third",
    "fourth",
    "fifth",
    "sixth",
    "seventh",
    "eighth",
    "ninth",
    "tenth",
)


@lru_cache(maxsize=8192)
def key_of(phrase: str) -> tuple[str, ...]:
    """The telling words of a phrase, one spelling for both sides of the ocean."""
    out: list[str] = []
    for word in words(phrase.replace("in-ground", "in ground").replace("pop-up", "popup")):
        if word in SMALL and word not in ("in", "no"):
            continue
        same = _SAME_WORDS.get(word, word)
        out.extend(same.split())
    while out and out[0] == "in" and len(out) > 1 and out[1] != "ground":
        out.pop(0)
    return tuple(singular(word) for word in out)


def singular(word: str) -> str:
    if len(word) > 3 and word.endswith("ies"):
        return word[:-3] + "y"
    if len(word) > 3 and word.endswith("s") and not word.endswith("ss") and not word.endswith("us"):
        return word[:-1]
    return word


class _Offered:
    """The answers on offer by their words, each row of words made ready once: they are the same for every
    line.
    """

    def __init__(self, said: tuple[tuple[str, ...], ...]) -> None:
        rows = [dict.fromkeys(filter(None, map(key_of, phrases))) for phrases in said]
        # The telling words of each phrase, and the place of its choice.
        self.keys = tuple((key, at) for at, row in enumerate(rows) for key in row)
        self.vocabulary = frozenset(word for key, _ in self.keys for word in key)

    @cached_property
    def words(self) -> Near:
        """The telling words, to find near spellings among."""
        return Near(sorted(self.vocabulary))

    @cached_property
    def phrases(self) -> Near:
        """The phrases, in the order of their keys."""
        return Near([" ".join(key) for key, _ in self.keys])


@lru_cache(maxsize=256)
def _offered(said: tuple[tuple[str, ...], ...]) -> _Offered:
    return _Offered(said)


def _on_offer(choices: Sequence[AnswerChoice]) -> _Offered:
    return _offered(
        tuple(
            (*choice.say, choice.value.replace("-", " ")) if isinstance(choice.value, str) else choice.say
            for choice in choices
        )
    )


def phrases_of(choices: Sequence[AnswerChoice]) -> list[tuple[tuple[str, ...], AnswerChoice]]:
    """The telling words of each phrase of the choices, with its choice."""
    return [(key, choices[at]) for key, at in _on_offer(choices).keys]


@lru_cache(maxsize=4096)
def _folded(phrases: tuple[str, ...]) -> frozenset[str]:
    return frozenset(map(fold, phrases))


def negated(word: str) -> bool:
    return word in _NEGATIONS or word.endswith("n't") or word in _BARE_NEGATIONS


def by_number(text: str, choices: Sequence[AnswerChoice]) -> AnswerChoice | None:
    said = fold(text).strip(" .)!(")
    match = re.fullmatch(r"(?:number |no\.? ?|nr\.? ?|option |choice |answer |#)?([0-9]{1,2})[.)]?", said)
    if match:
        place = int(match[1])
        return choices[place - 1] if 1 <= place <= len(choices) else None
    match = re.fullmatch(r"(?:the )?([a-z]+)(?: one| option| choice)?", said)
    if match:
        if match[1] in _ORDINALS and _ORDINALS.index(match[1]) < len(choices):
            return choices[_ORDINALS.index(match[1])]
        if match[1] == "last" and choices:
            return choices[-1]
    return None


def listed(choices: Sequence[AnswerChoice]) -> str:
    shown = [choice.shown for choice in choices]
    return "; ".join(shown[:MOST_ITEMS])


def distinct(found: Sequence[AnswerChoice]) -> list[AnswerChoice]:
    out: list[AnswerChoice] = []
    for choice in found:
        if choice not in out:
            out.append(choice)
    return out


def inside(key: tuple[str, ...], said: tuple[str, ...]) -> int:
    """The place of `key` as a run of words in `said`, or -1."""
    for at in range(len(said) - len(key) + 1):
        if said[at : at + len(key)] == key:
            return at
    return -1


def matching(text: str, choices: Sequence[AnswerChoice], setting: Setting) -> list[AnswerChoice]:
    """The choices that a text may mean: whole phrases first, then phrases within it, then near spellings."""
    offered = _on_offer(choices)
    phrases = [(key, choices[at]) for key, at in offered.keys]
    plain = fold(text).strip(" .!?,;")
    named = distinct([choice for choice in choices if plain in _folded(choice.say)])
    if len(named) == 1:
        return named
    said = key_of(text)
    if not said:
        return []
    exact = distinct([choice for key, choice in phrases if key == said])
    if exact:
        return _for_country(said, exact, setting)
    mended = tuple(_mend(word, offered) for word in said)
    exact = distinct([choice for key, choice in phrases if key == mended])
    if exact:
        return _for_country(mended, exact, setting)
    found: list[AnswerChoice] = []
    for clause in re.split(r"[,;]|\bbut\b|\bonly\b|\bthough\b|\bjust\b", fold(text)):
        key = key_of(clause)
        # In a long clause a slip is less likely than a word that only looks like one of these.
        near = tuple(_mend(word, offered) for word in key) if len(key) <= _SHORT else key
        found += _in_clause(near, phrases, setting)
    if found:
        return distinct(found)
    if any(negated(word) for word in words(text)):
        return []
    if all(word in offered.vocabulary for word in mended):
        subset = distinct([choice for key, choice in phrases if set(mended) <= set(key)])
        if subset:
            return subset
    # Of several words each must be near: "first frost" is not "first heat".
    least = 0.78 if len(said) == 1 else 0.86
    alike = offered.phrases.ratios(" ".join(said), least - _BESIDE)
    scored = sorted(alike, key=lambda pair: (-pair[0], pair[1]))
    if not scored or scored[0][0] < least:
        return []
    best = scored[0][0]
    return distinct([phrases[at][1] for ratio, at in scored if ratio >= best - _BESIDE])


def _mend(word: str, offered: _Offered) -> str:
    """The known word that a slip of the finger meant; short words and negations stay."""
    if word in offered.vocabulary or len(word) < 4 or negated(word) or word.isdigit():
        return word
    close = offered.words.close(word, 0.8)
    if close is None or len(close) < 4:
        return word
    same_start = close[0] == word[0] and abs(len(close) - len(word)) <= 2
    return close if same_start or difflib.SequenceMatcher(None, word, close).ratio() >= 0.88 else word


def _in_clause(
    said: tuple[str, ...], phrases: Sequence[tuple[tuple[str, ...], AnswerChoice]], setting: Setting
) -> list[AnswerChoice]:
    hits: list[tuple[int, int, AnswerChoice]] = []
    for key, choice in phrases:
        at = inside(key, said) if key[0] in said else -1
        if at >= 0:
            hits.append((at, at + len(key), choice))
    longest = [
        (start, end, choice)
        for start, end, choice in hits
        if not any(s <= start and end <= e and (e - s) > (end - start) for s, e, _ in hits)
    ]
    covered = {place for start, end, _ in longest for place in range(start, end)}
    if any(negated(word) for place, word in enumerate(said) if place not in covered):
        return []
    out: list[AnswerChoice] = []
    for (start, end), group in itertools.groupby(
        sorted(longest, key=lambda h: (h[0], h[1])), key=lambda h: (h[0], h[1])
    ):
        out += _for_country(said[start:end], [choice for _, _, choice in group], setting)
    return out


def _for_country(said: tuple[str, ...], found: list[AnswerChoice], setting: Setting) -> list[AnswerChoice]:
    """Which of the choices a word means in the country, where it means several."""
    table = rows(setting, "sports").get(" ".join(said))
    if table is None:
        return found
    country = (setting.country or "").lower()
    wanted = table.get(country, table.get("else", ()) if country else table.get("", ()))
    kept = [choice for value in wanted for choice in found if choice.value == value]
    return kept or found


def once(values: list[Any]) -> list[Any]:
    out: list[Any] = []
    for value in values:
        if value not in out:
            out.append(value)
    return out


def matching_exact(text: str, choices: Sequence[AnswerChoice]) -> AnswerChoice | None:
    key = key_of(text)
    found = distinct([choice for phrase, choice in phrases_of(choices) if phrase == key]) if key else []
    return found[0] if len(found) == 1 and len(key) > 1 else None
