"""An advice speaks of no country, no sport and no grass that it is not about, in any of its outputs."""

from __future__ import annotations

import datetime as dt
import random
import re
from collections.abc import Iterator
from functools import cache
from html import unescape
from typing import Any, Final

import pytest
from babel import Locale

from decide.consult import Adviser
from decide.explain import ask
from decide.knowledge.tables import Knowledge
from decide.model.advice import Advice
from decide.model.reading import situation_from_dict
from decide.report.papers import PAPERS, paper
from decide.report.text import render
from tests import voice
from tests.shared import BANK, adviser, knowledge

SEED: Final = 11
SITUATIONS: Final = 24
FAST: Final = 2

TOWNS: Final = (
    ("Leeds", "gb"), ("Cork", "ie"), ("Perth", "au"), ("Dunedin", "nz"), ("Johannesburg", "za"),
    ("Boise", "us"), ("Macon", "us"), ("Guelph", "ca"), ("Hamburg", "de"), ("Lyon", "fr"), ("Madrid", "es"),
    ("Rome", "it"), ("Odense", "dk"), ("Osaka", "jp"), ("Pune", "in"), ("Nairobi", "ke"), ("Campinas", "br"),
    ("Mendoza", "ar"), ("Muscat", "om"), ("Singapore", "sg"), ("Lisbon", "pt"), ("Zwolle", "nl"),
)  # fmt: skip
SPORTS: Final = {
    "football": ("goalmouths", "centre"),
    "rugby-union": ("halfway", "north end"),
    "cricket": ("outfield", "boundary"),
    "baseball": ("outfield", "left side"),
    "hockey": ("centre", "goal area"),
    "american-football": ("between the hashes", "sideline"),
}
# Words of one sport, with the sports that may hear them.
SPORT_WORDS: Final = {
    r"\binfields?\b|\bhome plate\b|\bpitcher|\bbaseball\b|\bsoftball\b": ("baseball", "softball"),
    r"\bwickets?\b|\bbowlers?\b|\bcricket\b(?! mole)": ("cricket",),
    r"\bscrums?\b|\blineouts?\b|\brugby\b": ("rugby-union", "rugby-league"),
    r"\bcreases?\b|\blacrosse\b": ("lacrosse", "cricket"),
    r"\bhurling\b|\bGaelic\b": ("gaelic",),
    r"\bkeeper's line\b|\bsoccer\b": ("football", "hockey", "gaelic"),
    r"\bAmerican football\b|\bgridiron\b": ("american-football",),
}
# What is of a country, by how it is said; a grass or a game that is called after one is no country.
GRASS_NAMES: Final = r"American football|Australian football|Kentucky bluegrass|Japanese zoysiagrass|Texas bluegrass|English ryegrass"
AMBIGUOUS: Final = (
    "Georgia",
    "Jersey",
    "Chad",
    "Mali",
    "Togo",
    "Guinea",
    "Turkey",
    "World",
    "Outlying Oceania",
)
OF_COUNTRIES: Final = {
    "us": (
        r"\bUnited States|\bAmericans?\b|\bUS\b|\bEPA\b|\bOSHA\b|\b(?:Alabama|Arizona|Arkansas|California|Carolinas?"
        r"|Colorado|Connecticut|Delaware|Florida|Idaho|Illinois|Indiana|Iowa|Kansas|Kentucky|Louisiana|Maine|Maryland"
        r"|Massachusetts|Michigan|Minnesota|Mississippi|Missouri|Montana|Nebraska|Nevada|New York|New Jersey|Ohio"
        r"|Oklahoma|Oregon|Pennsylvania|Tennessee|Texas|Utah|Vermont|Virginia|Wisconsin|Wyoming)\b"
    ),
    "gb": r"\bBrit(?:ain|ish)\b|\bEng(?:land|lish)\b|\bScot(?:land|tish)\b|\bWales\b|\bWelsh\b|\bUK\b",
    "ie": r"\bIreland\b|\bIrish\b",
    "au": r"\bAustralian?\b|\bQueensland\b|\bNew South Wales\b|\bTasmania\b",
    "nz": r"\bNew Zealand\b|\bAuckland\b",
    "za": r"\bSouth Africa",
    "ca": r"\bCanad(?:a|ian)\b|\bOntario\b|\bQuebec\b",
    "de": r"\bGerman",
    "fr": r"\bFrench\b|\bFrance\b",
    "jp": r"\bJapan",
    "nl": r"\bDutch\b|\bNetherlands\b|\bLow Countries\b",
    "dk": r"\bDanish\b|\bDenmark\b",
}  # fmt: skip
TOGETHER: Final = {"gb": {"ie"}, "ie": {"gb"}, "us": {"ca"}, "ca": {"us"}, "nl": {"de"}}
QUESTIONS: Final = ("why", "why not tall fescue", "why not bermudagrass")


def situation(number: int) -> dict[str, Any]:
    """A sparse situation, drawn by its number alone."""
    draw = random.Random(f"{SEED}/{number}")
    town, country = TOWNS[number % len(TOWNS)]
    sport = draw.choice(list(SPORTS))
    today = dt.date(2026, 1, 10) + dt.timedelta(draw.randrange(360))
    return {
        "place": {"name": town, "country": country} | ({"region": "Georgia"} if town == "Macon" else {}),
        "dates": {"today": today, "play_by": today + dt.timedelta(draw.randrange(60, 330))},
        "use": [{"sport": sport}],
        "zone": [{"name": draw.choice(SPORTS[sport]), "bare_percent": draw.choice((30, 50, 80, 100))}],
    }


def outputs(made: Adviser, told: dict[str, Any]) -> tuple[Advice, dict[str, str]]:
    """Everything that is handed out on a situation, without the list of the sources."""
    c = made.consult(situation_from_dict(told))
    advice = made.advice(c)
    said = {"text": voice.Finished(advice, voice.full_text(advice)).body}
    said["short"] = render(advice, width=10_000, plain=True)
    for kind in PAPERS:
        text = paper(kind, advice)
        if kind == "calendar":
            # A long line is folded, in the middle of a word too (RFC 5545, 3.1).
            text = re.sub(r"\r?\n[ \t]", "", text)
        if kind == "page":
            # A picture breaks its lines where there is no more room, in the middle of a name too.
            text = re.sub(r"<svg.*?</svg>", _in_one_line, text, flags=re.S)
            text = unescape(re.sub(r"<style.*?</style>|<[^>]+>", "\n", text, flags=re.S))
        said[kind] = re.split(r"\n(?:#+ )?Sources\b", text)[0]
    said |= {question: ask(c, question).text for question in QUESTIONS}
    return advice, said


def _in_one_line(picture: re.Match[str]) -> str:
    return " ".join(re.sub(r"<[^>]+>", " ", picture[0]).split())


def sentences(text: str) -> Iterator[str]:
    for row in text.splitlines():
        yield from re.split(r"(?<=[.!?]) ", row)


@cache
def _countries() -> dict[str, str]:
    names = Locale.parse("en").territories
    return {code.lower(): name for code, name in names.items() if len(code) == 2 and name not in AMBIGUOUS}


def _living(advice: Advice) -> set[str]:
    """The grasses that live in the climate of the place; all where it is not known."""
    climate = next((str(row.value) for row in advice.situation if row.key == "climate"), "")
    return {code for code, row in knowledge().grasses.items() if row.climates.get(climate, "fits") != "no"}


def foreign(advice: Advice, country: str, sport: str, said: dict[str, str]) -> list[str]:
    """What speaks of another country or of another sport, as sentences with where they stand."""
    wrong: list[str] = []
    own = TOGETHER.get(country, set()) | {country}
    of_countries = {code: pattern for code, pattern in OF_COUNTRIES.items() if code not in own} | {
        code: rf"\b{re.escape(name)}\b"
        for code, name in _countries().items()
        if code not in {*own, *OF_COUNTRIES}
    }
    patterns = [*of_countries.values()]
    patterns += [words for words, sports in SPORT_WORDS.items() if sport not in sports]
    every = re.compile("|".join(f"(?:{pattern})" for pattern in patterns))
    for place, text in said.items():
        for sentence in sentences(text):
            # Keys of sources and of rules are codes, and a grass called after a country is none of it.
            said_of = re.sub(rf"{GRASS_NAMES}|\b[a-z0-9]+(?:-[a-z0-9]+)+\b", "", sentence)
            if (found := every.search(said_of)) and "table of places" not in sentence:
                wrong.append(f"{place}: {found[0]!r} in {sentence.strip()[:200]!r}")
    finished = voice.Finished(advice, said["text"])
    # A condition names a grass only where that grass lives: "no kikuyugrass stands there" is a riddle in Leeds.
    kept = {
        code
        for option in advice.options
        if option.grass
        for code in [option.grass]
        if option.verdict in voice.USABLE
    }
    for named in finished.named:
        for condition in named.option.rests_on:
            wrong += [
                f"a condition speaks of {name}: {condition!r}"
                for name, codes in voice.grasses_in(condition).items()
                if not codes & (kept | _living(advice))
            ]
    for check in (voice.other_grass, voice.sport_not_told, voice.law_of_another_place):
        wrong += check(finished)
    return list(dict.fromkeys(wrong))


@pytest.mark.slow
@pytest.mark.parametrize(
    "number", [pytest.param(n, marks=() if n < FAST else BANK) for n in range(SITUATIONS)]
)
def test_nothing_foreign(number: int) -> None:
    told = situation(number)
    advice, said = outputs(adviser(), told)
    assert foreign(advice, told["place"]["country"], told["use"][0]["sport"], said) == []


@pytest.mark.slow
def test_what_is_foreign_is_found() -> None:
    """The check itself finds a planted country, law, sport and sign of a state."""
    told = situation(0)
    advice, said = outputs(adviser(), told)
    for planted in (
        "Missouri lays it in July.",
        "In Kenya it is cut.",
        "Rope off the infield.",
        "German figures.",
    ):
        assert foreign(advice, "gb", "football", said | {"text": said["text"] + f"\n{planted}"}), planted


# ---------- the knowledge itself ----------
def _place_bound(k: Knowledge) -> Iterator[tuple[str, str, str]]:
    """The sentences of rules, each with the conditions under which it is said."""
    for rule in k.rules:
        when = " ".join(str(condition) for condition in rule.when)
        yield rule.id, rule.because, when


def test_no_rule_names_a_country_without_asking_for_it() -> None:
    named = re.compile("|".join(OF_COUNTRIES.values()))
    wrong = [
        (code, because)
        for code, because, when in _place_bound(knowledge())
        if named.search(re.sub(GRASS_NAMES, "", because))
        and "site.country" not in when
        and "site.region" not in when
    ]
    assert wrong == []
