"""What a person means by some words: a method, a grass, a remedy, a start, a part of the field."""

from __future__ import annotations

import datetime as dt
import difflib
import re
from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Final

from decide.decision.consultation import Consultation
from decide.knowledge.wording import ENGLISH
from decide.model.written import clean

_REMEDY_WORDS: Final = {
    "recover": ("recover", "recovery", "recovering", "rest", "resting", "let it recover", "let it grow",
                "let it heal", "leave it to recover"),
    "establish": ("establish", "new grass", "reseeding", "resow", "renovate", "renovation", "repair",
                  "make anew", "re-sow", "proper re-sow"),
    "use-less": ("use less", "less use", "less play", "rotate", "rotation", "play less", "fewer hours"),
    "tend": ("tend", "tend the turf", "care for the turf", "care for it"),
    "mend-first": ("mend", "mend first", "mend the cause", "drains", "drainage first", "fix the cause"),
    "move-play": ("move play", "move the goals", "move goals", "move the pitch", "moving play"),
    "call-expert": ("expert", "call an expert", "qualified person", "specialist"),
    "wait": ("wait", "waiting", "do nothing", "doing nothing", "nothing", "later"),
}  # fmt: skip
_MADE_FROM: Final = {
    "seed": ("seed", "seeding", "sow", "sowing", "grass seed"),
    "sod": ("sod", "turf", "turves", "rolls", "sodding"),
    "vegetative": ("plants",),
}
_SMALL: Final = frozenset((
    "why", "not", "the", "a", "an", "of", "on", "in", "at", "by", "to", "with", "and", "or", "we", "i", "it",
    "is", "are", "do", "can", "could", "should", "would", "use", "using", "put", "lay", "plant", "just",
    "now", "then", "about", "from", "for", "here", "this", "that", "grass", "please", "me", "us", "you", "my",
    "our", "go", "instead", "only", "some",
))  # fmt: skip
_SEASONS: Final = {
    "spring": (3, 4, 5),
    "summer": (6, 7, 8),
    "autumn": (9, 10, 11),
    "fall": (9, 10, 11),
    "winter": (12, 1, 2),
}
_MONTHS: Final = {
    name.lower()[:size]: place
    for place in range(1, 13)
    for name in [ENGLISH.month_name(place)]
    for size in (3, len(name))
} | {"sept": 9}


@dataclass(frozen=True)
class Found:
    """What was found in the words: codes of each kind, months of the start, an exact start, and the words
    that meant nothing.
    """

    methods: tuple[str, ...] = ()
    plants: tuple[str, ...] = ()
    remedies: tuple[str, ...] = ()
    variants: tuple[str, ...] = ()
    zones: tuple[str, ...] = ()
    months: tuple[int, ...] = ()
    start: dt.date | None = None
    strange: tuple[str, ...] = ()

    @property
    def nothing(self) -> bool:
        """Whether nothing that can be asked about was found."""
        return not (
            self.methods or self.plants or self.remedies or self.variants or self.months or self.start
        )


def _words(text: str) -> list[str]:
    return re.findall(r"[a-z0-9']+", clean(text).lower().replace("-", " ").replace("’", "'"))


def _singular(word: str) -> str:
    return word[:-1] if len(word) > 4 and word.endswith("s") and not word.endswith("ss") else word


def _phrases(c: Consultation) -> dict[tuple[str, ...], list[tuple[str, str]]]:
    """Every name as its words, with the kinds and codes that it stands for."""
    k = c.knowledge
    table: dict[tuple[str, ...], list[tuple[str, str]]] = {}

    def add(name: str, kind: str, code: str) -> None:
        key = tuple(_singular(word) for word in _words(name))
        if key and (kind, code) not in table.setdefault(key, []):
            table[key].append((kind, code))

    for code, method in k.methods.items():
        for name in (code, method.name, *method.also):
            add(name, "method", code)
        for name in _MADE_FROM[method.made_from]:
            add(name, "method", code)
    for name, code in k.plants.items():
        add(name, "plant", code)
    for code, grass in k.grasses.items():
        for word in {
            word for name in (code, grass.name) for word in _words(name) if len(word) > 5 or word == "rye"
        }:
            add(word, "plant", code)
        short = re.sub(r"grass$", "", code.rpartition("-")[2])
        if short != code.rpartition("-")[2] and len(short) > 2:
            add(short, "plant", code)
    for code, variant in k.variants.items():
        if code != "plain":
            for name in (code, variant.name):
                add(name, "variant", code)
    for code, names in _REMEDY_WORDS.items():
        for name in names:
            add(name, "remedy", code)
    for code, zone in c.zones.items():
        add(zone.name, "zone", code)
    return table


def _month_words(said: list[str], c: Consultation) -> tuple[Found, list[str]]:
    """The start that the words name, and the other words."""
    text = " ".join(said)
    today = c.filled.today
    exact = re.search(r"\b(\d{4}) (\d{1,2}) (\d{1,2})\b", text)
    if exact:
        try:
            return Found(start=dt.date(int(exact[1]), int(exact[2]), int(exact[3]))), _words(
                text.replace(exact[0], " ")
            )
        except ValueError:
            return Found(), said
    months = "|".join(sorted(_MONTHS, key=len, reverse=True))
    dated = re.search(
        rf"\b(\d{{1,2}})(?:st|nd|rd|th)? (?:of )?({months})\b|\b({months}) (\d{{1,2}})(?:st|nd|rd|th)?\b",
        text,
    )
    if dated:
        month, day = _MONTHS[dated[2] or dated[3]], int(dated[1] or dated[4])
        for year in (today.year, today.year + 1):
            try:
                start = dt.date(year, month, day)
            except ValueError:
                continue
            if start >= today:
                return Found(start=start), _words(text.replace(dated[0], " "))
    if re.search(r"\b(?:now|today|at once|straight away)\b", text):
        return Found(start=today), [
            word for word in said if word not in ("now", "today", "once", "straight", "away")
        ]
    found: list[int] = []
    left: list[str] = []
    for place, word in enumerate(said):
        if word in _MONTHS and (
            word != "may"
            or (place > 0 and said[place - 1] in ("in", "by", "until", "of", "early", "mid", "late"))
        ):
            found.append(_MONTHS[word])
        elif word in _SEASONS:
            shift = 6 if c.filled.hemisphere == "south" else 0
            found += [(month + shift - 1) % 12 + 1 for month in _SEASONS[word]]
        else:
            left.append(word)
    return Found(months=tuple(found)), left


def start_in(c: Consultation, text: str) -> Found:
    """The start alone that the words name: months, or a day."""
    return _month_words(_words(text), c)[0]


def find(c: Consultation, text: str) -> Found:
    """What the words mean; the longest names first, then near spellings."""
    found, left = _month_words(_words(text), c)
    table = _phrases(c)
    known = sorted({word for key in table for word in key})
    said = [_mend(_singular(word), known) for word in left]
    hits: dict[str, list[str]] = {"method": [], "plant": [], "remedy": [], "variant": [], "zone": []}
    strange: list[str] = []
    place = 0
    longest = max(map(len, table))
    while place < len(said):
        for size in range(min(longest, len(said) - place), 0, -1):
            meant = table.get(tuple(said[place : place + size]))
            if meant:
                for kind, code in meant:
                    hits[kind].append(code)
                place += size
                break
        else:
            if left[place] not in _SMALL:
                strange.append(left[place])
            place += 1
    return replace(
        found, methods=_once(hits["method"]), plants=_once(hits["plant"]), remedies=_once(hits["remedy"]),
        variants=_once(hits["variant"]), zones=_once(hits["zone"]), strange=tuple(strange),
    )  # fmt: skip


def _mend(word: str, known: list[str]) -> str:
    if word in known or len(word) < 4 or word in _SMALL:
        return word
    close = difflib.get_close_matches(word, known, n=1, cutoff=0.8)
    return close[0] if close else word


def _once(codes: Iterable[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(codes))


def near(word: str, words: Iterable[str]) -> str | None:
    """The word that a slip of the finger meant."""
    close = difflib.get_close_matches(word, list(words), n=1, cutoff=0.8)
    return close[0] if close else None
