"""Reading what has parts of its own: the place, the zones, the uses of the field, what was sprayed."""

from __future__ import annotations

import difflib
import re
from collections.abc import Sequence
from typing import Any, Final

from decide.parse.amounts import hours_a_week
from decide.parse.choices import (
    LONGEST_NAME,
    MOST_ITEMS,
    SMALL,
    by_number,
    key_of,
    listed,
    matching,
    once,
    read_list,
)
from decide.parse.numbers import NumberTrouble
from decide.parse.plain import fold, spaced, words
from decide.parse.results import Answer, AskBack, Choice, Elsewhere, NotUnderstood, Reading, Result, Setting
from decide.parse.when import MONTHS_INSIDE, read_date, read_months

_COUNTRIES: Final = {
    "uk": "gb", "u.k.": "gb", "united kingdom": "gb", "great britain": "gb", "britain": "gb", "england": "gb",
    "scotland": "gb", "wales": "gb", "northern ireland": "gb", "gb": "gb", "usa": "us", "us": "us", "u.s.": "us",
    "u.s.a.": "us", "united states": "us", "america": "us", "australia": "au", "new zealand": "nz", "nz": "nz",
    "ireland": "ie", "canada": "ca", "south africa": "za",
}  # fmt: skip


_DEGREES: Final = r"([-+−]?\d{1,3}(?:[.,]\d{1,6})?)\s*(?:°|º|deg(?:rees?)?)?\s*(?:(\d{1,2}(?:[.,]\d{1,4})?)\s*['′’]\s*)?(?:(\d{1,2}(?:[.,]\d{1,4})?)\s*(?:\"|″|”|\'\')\s*)?"
_SPOT: Final = re.compile(
    rf"(?:lat(?:itude)?\.?\s*[:=]?\s*)?{_DEGREES}(n(?:orth)?|s(?:outh)?)?\s*(?:[,;/ ]|and)\s*"
    rf"(?:lon(?:g(?:itude)?)?\.?\s*[:=]?\s*)?{_DEGREES}(e(?:ast)?|w(?:est)?)?(?:\s*,\s*([^,\d]+))?",
    re.IGNORECASE,
)
_WRITE_SPOT: Final = "Write the latitude, then the longitude, such as 53.96, -1.08 or 53.96 N, 1.08 W; or name the nearest town."


def read_spot(text: str) -> Result | None:
    """Coordinates in degrees, or degrees, minutes and seconds, latitude first, a country after them; None where it is anything else."""
    said = _SPOT.fullmatch(" ".join(text.split()))
    if said is None:
        only_numbers = re.fullmatch(
            r"(?:[-+−\d\s.,;/°º'′’\"″”]|\b(?:n|s|e|w|north|south|east|west)\b)*", text, re.IGNORECASE
        )
        return (
            NotUnderstood(f"I cannot read that as a place. {_WRITE_SPOT}")
            if only_numbers and re.search(r"\d", text)
            else None
        )
    if said[9] is not None and fold(said[9]).strip(" .") not in _COUNTRIES:
        return NotUnderstood(f"I do not know the country {said[9].strip()[:LONGEST_NAME]!r}. {_WRITE_SPOT}")
    found: dict[str, Any] = {}
    for name, first, most, sides in (
        ("latitude", 1, 90, ("north", "south")),
        ("longitude", 5, 180, ("east", "west")),
    ):
        degrees, minutes, seconds = (
            float((part or "0").replace(",", ".").replace("−", "-"))
            for part in said.group(first, first + 1, first + 2)
        )
        side = (said[first + 3] or "").lower()
        if minutes >= 60 or seconds >= 60 or (side and said[first][0] in "-−"):
            return NotUnderstood(f"I cannot read that {name}. {_WRITE_SPOT}")
        below = said[first][0] in "-−" or (side != "" and side[0] == sides[1][0])
        size = abs(degrees) + minutes / 60 + seconds / 3600
        if size > most:
            return NotUnderstood(f"A {name} goes from -{most} to {most} degrees. {_WRITE_SPOT}")
        found[name] = round(-size if below else size, 4)
    if said[9] is not None:
        found["country"] = _COUNTRIES[fold(said[9]).strip(" .")]
    return Answer(found, f"I take {say_spot(found['latitude'], found['longitude'])}.")


def say_spot(latitude: float, longitude: float) -> str:
    """Coordinates in words."""
    return f"{abs(latitude):.2f} degrees {'south' if latitude < 0 else 'north'}, {abs(longitude):.2f} degrees {'west' if longitude < 0 else 'east'}"


def read_place(text: str, setting: Setting, _choices: Sequence[Choice] = (), _unit: str = "") -> Result:
    """A town as a table with name and country, or coordinates; several places of one name are asked back."""
    said = re.sub(
        r"^(?:we(?:'re| are)? (?:in|near|from)|in|near|close to|just outside|outside|the town of|it's|it is)\s+",
        "",
        text,
        flags=re.IGNORECASE,
    ).strip(" .!")
    spot = read_spot(said)
    if spot is not None:
        return spot
    if len(said) > 80 or not re.search(r"[^\W\d_]", said):
        return NotUnderstood(
            'Name the nearest town, and the state or country, such as York, UK, or latitude and longitude, such as 53.96, -1.08; or "don\'t know".'
        )
    if setting.find_place is not None:
        name = said
        tail = re.search(r",\s*([^,]+)$", said)
        if tail and fold(tail[1]) in _COUNTRIES:
            name = said[: tail.start()] + ", " + _COUNTRIES[fold(tail[1])].upper()
        found = list(setting.find_place(name))
        if not found:
            return NotUnderstood(
                f'I do not find a town called {said[:LONGEST_NAME]!r}. Name a larger town near it, and the country; or "don\'t know".'
            )
        near = [place for place in found if place.get("near")]
        tables = [
            (
                {key: value for key, value in place.items() if key not in ("say", "near")},
                str(place.get("say", place["name"])),
            )
            for place in found[:6]
        ]
        if len(tables) == 1 and not near:
            return Answer(tables[0][0], f"I take {tables[0][1]}.")
        text_back = (
            "I do not know that name. Is it one of these?" if near else "There are several. Which one?"
        )
        none = Reading("none of these", Elsewhere("Name a larger town near it, and the country."))
        return AskBack(text_back, (*(Reading(say, table) for table, say in tables), none))
    parts = [part.strip() for part in said.split(",") if part.strip()]
    place: dict[str, Any] = {"name": parts[0][:LONGEST_NAME]}
    if len(parts) > 1 and fold(parts[-1]) in _COUNTRIES:
        place["country"] = _COUNTRIES[fold(parts[-1])]
        parts = parts[:-1]
    if len(parts) > 1:
        place["region"] = parts[-1][:LONGEST_NAME]
    return Answer(place)


_ZONE_NOISE: Final = spaced(
    "the a an is are it's its bare thin thinning worn worst bad weedy weeds weed wet muddy mud dead gone brown patchy in on at of "
    "both two our mostly mainly around near just also really very all too and completely pretty quite with full where grass no "
    "there we have has got been looks look was were to out dying poor damaged ruined hard compacted i think"
)
_WHOLE: Final = re.compile(
    r"(?:the )?(?:whole (?:field|pitch|thing|lot|place|ground)|everywhere|all over(?: it)?|all of it|everything|entire (?:field|pitch)|"
    r"(?:the )?(?:field|pitch|lot|ground)|it(?:'s| is)? all(?: [a-z]+)?|all)"
)
_ZONE_NAMES: Final = {
    "goalmouth": "goalmouths", "goal mouth": "goalmouths", "goal mouths": "goalmouths", "goal area": "goalmouths",
    "goal areas": "goalmouths", "goals": "goalmouths", "goal": "goalmouths", "goalmouths": "goalmouths", "center": "middle",
    "centre": "middle", "centre circle": "centre circle", "center circle": "centre circle", "wing": "wings", "flanks": "wings",
    "sidelines": "touchlines", "sideline": "touchlines", "touchline": "touchlines", "touch line": "touchlines",
    "penalty areas": "penalty areas", "penalty area": "penalty areas",
}  # fmt: skip


def read_zones(text: str, setting: Setting, choices: Sequence[Choice] = (), _unit: str = "") -> Result:
    """The names of the parts of the field that were named, as a list of texts; "whole field" where all of it is meant."""
    said = fold(text).strip(" .!")
    if re.fullmatch(r"[0-9 ,]+", said) and choices:
        return read_list(text, setting, choices)
    pieces = [
        piece.strip(" .!'\"")
        for piece in re.split(r",|;|\+|&|/|\.\s|\band\b|\bplus\b|\balso\b|\bas well as\b|\bbut\b", said)
    ]
    out: list[str] = []
    whole = False
    for piece in pieces:
        if not piece:
            continue
        bare = re.sub(r"\b(?:is|are|it's|looks?)\b.*$", "", piece).strip()
        if _WHOLE.fullmatch(piece) or (bare and _WHOLE.fullmatch(bare)):
            whole = True
            continue
        kept = [word for word in re.findall(r"[^\s]+", piece) if word.strip(".,'\"") not in _ZONE_NOISE]
        while kept and re.fullmatch(r"[0-9]+%?|percent|half|third|%", kept[0]):
            kept = kept[1:]
        name = " ".join(kept).strip(" -'\".,:!?")
        name = re.sub(r"[^\w' .\-]", "", name).strip()
        if not name or not re.search(r"[^\W\d_]", name):
            continue
        known = _zone_name(name, choices)
        name = known or _ZONE_LEAD.sub("", re.sub(r"[^\w' .\-]", "", bare or piece)).strip() or name
        if len(name) > LONGEST_NAME:
            return NotUnderstood(
                "Name the places in a word or two each, such as: goalmouths, middle, wet corner."
            )
        if name not in out:
            out.append(name)
    if len(out) > MOST_ITEMS:
        return NotUnderstood(f"That is more than {MOST_ITEMS} places. Join the ones that look alike.")
    if whole and not out:
        return Answer(["whole field"])
    if whole:
        return AskBack(
            "The whole field, or the places named?",
            (Reading("the whole field as one", ["whole field"]), Reading(", ".join(out), out)),
        )
    if not out:
        if any(word in _ZONE_NOISE for word in words(said)) and re.search(
            r"\b(?:all|everything|bare|thin|worn|weedy|muddy|dead|brown)\b", said
        ):
            return Answer(["whole field"], "I take the whole field.")
        return NotUnderstood(
            "Name the places that are bad, such as: goalmouths, middle, wet corner; or the whole field."
        )
    return Answer(out)


_ZONE_LEAD: Final = re.compile(
    r"^(?:(?:the|a|an|our|both|two|all|all of|around|near|in|at|on|mostly|mainly|also) )+"
)


def _zone_name(name: str, choices: Sequence[Choice]) -> str:
    """The usual name of a place on the field, or "" where the person's own words are to stand."""
    for choice in choices:
        if isinstance(choice.value, str) and any(key_of(phrase) == key_of(name) for phrase in choice.say):
            return choice.value
    if name in _ZONE_NAMES:
        return _ZONE_NAMES[name]
    if len(name) >= 6 and " " not in name:
        close = difflib.get_close_matches(
            name, [known for known in _ZONE_NAMES if " " not in known], n=1, cutoff=0.85
        )
        if close:
            return _ZONE_NAMES[close[0]]
    return ""


_MONTHS_BY_COMMA: Final = re.compile(
    r"(?:,|\bfrom\b|\bin\b)?\s*[A-Za-z]{3,9}\s*(?:-|–|to|until|till|through)\s*[A-Za-z]{3,9}(?=\s*(?:,|$))"
)


def read_uses(text: str, setting: Setting, choices: Sequence[Choice] = (), _unit: str = "") -> Result:
    """Uses of the field as tables; parts that were not said are left out for the talk to ask."""
    said = fold(text).strip(" .!")
    if said in ("nobody", "no one", "none", "nothing", "not used", "no"):
        return Answer([])
    uses: list[dict[str, Any]] = []
    for part in [piece for piece in re.split(r";", text) if piece.strip()]:
        use: dict[str, Any] = {}
        rest = part
        months = MONTHS_INSIDE.search(rest) or _MONTHS_BY_COMMA.search(rest)
        if months:
            found = read_months(months[0].strip(" ,"), setting)
            if isinstance(found, Answer):
                use["months"] = found.value
                before = re.sub(r"\b(?:in|from|during|for|over)\s*$", "", rest[: months.start()].rstrip())
                rest = before + "," + rest[months.end() :]
        for piece in re.split(r",|\band\b(?! a half)", rest):
            word = piece.strip()
            if not word:
                continue
            trouble = _use_piece(word, use, uses, setting, choices)
            if trouble is not None:
                return trouble
        uses.append(use)
    uses = [use for use in uses if use]
    if not uses:
        return NotUnderstood("Name the sport, such as soccer or rugby; then I ask for hours and months.")
    if not all("sport" in use for use in uses):
        return NotUnderstood(
            "Begin with the sport, such as: soccer, 12 hours a week, September to May, youth."
        )
    unsure = next((use["sport"] for use in uses if isinstance(use["sport"], tuple)), None)
    if unsure is not None:
        # A word with two meanings has one of them in the whole sentence.
        return AskBack(
            "Which game is meant?",
            tuple(
                Reading(
                    meant.shown,
                    [
                        {**use, "sport": meant.value if isinstance(use["sport"], tuple) else use["sport"]}
                        for use in uses
                    ],
                )
                for meant in unsure
            ),
        )
    return Answer(uses)


_YOUTH: Final = spaced(
    "youth youths kids kid children child juniors junior school pupils students u8 u10 u12 u14 u16 under"
)
_ADULT: Final = spaced("adult adults men women seniors senior grown-ups grownups veterans")


def _use_piece(
    word: str, use: dict[str, Any], uses: list[dict[str, Any]], setting: Setting, choices: Sequence[Choice]
) -> Result | None:
    row = words(word)
    if any(letter.isdigit() for letter in word) or "hours" in row or "hour" in row:
        without = " ".join(w for w in row if w in _YOUTH | _ADULT)
        hours_text = re.sub(rf"\b(?:{'|'.join(sorted(_YOUTH | _ADULT))})\b", "", word, flags=re.IGNORECASE)
        sport = (
            matching(re.sub(r"[0-9].*$", "", hours_text), choices, setting)
            if re.match(r"[^0-9]*[a-zA-Z]{4}", hours_text)
            else []
        )
        if 1 <= len(sport) <= 4:
            use["sport"] = sport[0].value if len(sport) == 1 else tuple(sport)
            hours_text = re.sub(r"^[^0-9]*", "", hours_text)
        try:
            hours = hours_a_week(hours_text, setting)
        except NumberTrouble as trouble:
            return NotUnderstood(str(trouble))
        if not isinstance(hours, Answer):
            return NotUnderstood(
                "Put commas between the parts: soccer, 12 hours a week, September to May, youth."
            )
        use["hours_per_week"] = hours.value
        if without:
            use["players"] = "youth" if set(without.split()) & _YOUTH else "adult"
        return None
    youth, adult = set(row) & _YOUTH, set(row) & _ADULT
    sport_text = " ".join(
        w
        for w in row
        if w not in _YOUTH | _ADULT and w not in ("training", "matches", "games", "teams", "team", "club")
    )
    if sport_text and not set(sport_text.split()) <= SMALL:
        found = matching(sport_text, choices, setting)
        if 1 <= len(found) <= 4:
            if "sport" in use:
                uses.append(dict(use))
                use.clear()
            use["sport"] = found[0].value if len(found) == 1 else tuple(found)
        else:
            months = read_months(sport_text, setting)
            if not isinstance(months, Answer):
                return NotUnderstood(
                    f"I do not know {word[:LONGEST_NAME]!r} as a sport, hours or months. Say: soccer, 12 hours a week, September to May, youth."
                )
            use["months"] = once([*use.get("months", []), *months.value])
    if youth or adult:
        use["players"] = "youth" if youth else "adult"
    return None


def read_sprays(text: str, setting: Setting, choices: Sequence[Choice] = (), _unit: str = "") -> Result:
    """Sprays as tables of class and date, as far as they were said; [] for nothing sprayed."""
    said = fold(text).strip(" .!")
    if said in (
        "no",
        "none",
        "nothing",
        "never",
        "nope",
        "not that i know",
        "nothing at all",
        "no sprays",
        "no spray",
        "nothing sprayed",
    ):
        return Answer([])
    if said in ("yes", "y", "yep", "yeah", "something", "we did", "there was"):
        return Answer([{}])
    numbered = by_number(text, choices)
    if numbered is not None:
        return Answer([{"class": numbered.value}])
    past = Setting(setting.today, setting.hemisphere, setting.country, setting.units, past=True)
    spray: dict[str, Any] = {}
    rest = said
    note = ""
    when = re.search(
        r"(?:^|\s|,)((?:in|on|last|early|late|mid|about|around|end of|[0-9a-z]+ (?:days?|weeks?|months?) ago|yesterday|today)\b.*|[0-9]{4}-[0-9]{2}-[0-9]{2})$",
        said,
    )
    if when:
        date = read_date(re.sub(r"^(?:in|on)\s+", "", when[1]), past)
        if isinstance(date, AskBack):
            head = said[: when.start()].strip(" ,")
            found = matching(head, choices, setting) if head else []
            klass = {"class": found[0].value} if len(found) == 1 else {}
            return AskBack(
                date.text, tuple(Reading(r.say, [{**klass, "date": r.value}]) for r in date.readings)
            )
        if isinstance(date, Answer):
            spray["date"], note = date.value, re.sub(r":.*", ".", date.note)
            rest = said[: when.start()].strip(" ,")
    if rest:
        found = matching(rest, choices, setting)
        if len(found) == 1:
            spray["class"] = found[0].value
        elif 2 <= len(found) <= 4:
            return AskBack(
                "Which kind is meant?", tuple(Reading(c.shown, [{**spray, "class": c.value}]) for c in found)
            )
        elif not spray or set(words(rest)) - SMALL - {"yes", "sprayed", "we", "something"}:
            return NotUnderstood(
                f'I do not know that kind of spray. Answer no, or say what it was for: {listed(choices)}; or "don\'t know".'
            )
    return Answer([spray], note)
