"""Reading where the field is: a town with its country, or coordinates."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Any, Final

from decide.parse.matching import LONGEST_NAME
from decide.parse.plain import fold
from decide.parse.results import (
    OF_FINDING,
    AnswerChoice,
    AskBack,
    Elsewhere,
    NotUnderstood,
    Reading,
    Result,
    Setting,
    Understood,
)
from decide.parse.wording import say_spot

COUNTRIES: Final = {
    "uk": "gb", "u.k.": "gb", "united kingdom": "gb", "great britain": "gb", "britain": "gb", "england": "gb",
    "scotland": "gb", "wales": "gb", "northern ireland": "gb", "gb": "gb", "usa": "us", "us": "us",
    "u.s.": "us", "u.s.a.": "us", "united states": "us", "america": "us", "australia": "au",
    "new zealand": "nz", "nz": "nz", "ireland": "ie", "canada": "ca", "south africa": "za",
}  # fmt: skip


_DEGREES: Final = (
    r"([-+−]?\d{1,3}(?:[.,]\d{1,6})?)\s*(?:°|º|deg(?:rees?)?)?\s*(?:(\d{1,2}(?:[.,]\d{1,4})?)\s*['′’]\s*)?"
    r"(?:(\d{1,2}(?:[.,]\d{1,4})?)\s*(?:\"|″|”|\'\')\s*)?"
)
_SPOT: Final = re.compile(
    rf"(?:lat(?:itude)?\.?\s*[:=]?\s*)?{_DEGREES}(n(?:orth)?|s(?:outh)?)?\s*(?:[,;/ ]|and)\s*"
    rf"(?:lon(?:g(?:itude)?)?\.?\s*[:=]?\s*)?{_DEGREES}(e(?:ast)?|w(?:est)?)?(?:\s*,\s*([^,\d]+))?",
    re.IGNORECASE,
)
_WRITE_SPOT: Final = (
    "Write the latitude, then the longitude, such as 53.96, -1.08 or 53.96 N, 1.08 W; or name the nearest "
    "town."
)


def read_spot(text: str) -> Result | None:
    """Coordinates in degrees, or degrees, minutes and seconds, latitude first, a country after them; None
    where it is anything else.
    """
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
    if said[9] is not None and fold(said[9]).strip(" .") not in COUNTRIES:
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
        found["country"] = COUNTRIES[fold(said[9]).strip(" .")]
    return Understood(found, f"I take {say_spot(found['latitude'], found['longitude'])}.")


def likeliest(found: Sequence[Mapping[str, Any]], country: str | None) -> list[Mapping[str, Any]]:
    """The places of a name, those of the told country first; where all are of one country, without those
    that have a far larger namesake.
    """
    ordered = sorted(found, key=lambda place: bool(country) and place.get("country") != country)
    main = [place for place in ordered if not place.get("lesser")]
    alone = len({place.get("country") for place in ordered}) == 1
    return main if alone and main else ordered


_BETWEEN: Final = re.compile(
    r"(?:.*\b)?between (?P<one>[^,]+?) and (?P<two>[^,]+?)"
    r"(?:[, ]+(?:and |but )?(?:a (?:bit|little|touch) |slightly |much |rather )?"
    r"(?:nearer|closer|near|close)(?: to)? (?P<near>.+))?",
    re.IGNORECASE,
)


def _between(said: str, setting: Setting) -> Result | None:
    """The town of two that a field between them is nearer to; asked back where that is not said."""
    match = _BETWEEN.fullmatch(said)
    if match is None or setting.find_place is None:
        return None
    ends = [match["one"].strip(), match["two"].strip()]
    near = fold(match["near"] or "").strip(" .!")
    nearer = [end for end in ends if near and fold(end).startswith(near.split(",")[0])]
    found = [read_place(end, setting) for end in ends]
    if len(nearer) == 1:
        lands = {one.value.get("country") for one in found if isinstance(one, Understood)}
        wanted = read_place(match["near"], setting)
        here = wanted.readings if isinstance(wanted, AskBack) else ()
        same = [one for one in here if isinstance(one.value, Mapping) and one.value.get("country") in lands]
        return Understood(same[0].value, f"I take {same[0].say}.") if len(same) == 1 else wanted
    readings = [
        Reading(end, one.value) for end, one in zip(ends, found, strict=True) if isinstance(one, Understood)
    ]
    return AskBack("Which of the two is nearer?", tuple(readings)) if readings else None


def read_place(text: str, setting: Setting, _choices: Sequence[AnswerChoice] = (), _unit: str = "") -> Result:
    """A town as a table with name and country, or coordinates; several places of one name are asked back."""
    said = re.sub(
        r"^(?:we(?:'re| are)? (?:in|near|from)|in|near|close to|just outside|outside|the town of|it's"
        r"|it is)\s+",
        "",
        text,
        flags=re.IGNORECASE,
    ).strip(" .!")
    spot = read_spot(said)
    if spot is not None:
        return spot
    between = _between(said, setting)
    if between is not None:
        return between
    if len(said) > 80 or not re.search(r"[^\W\d_]", said):
        return NotUnderstood(
            "Name the nearest town, and the state or country, such as York, UK, or latitude and "
            'longitude, such as 53.96, -1.08; or "don\'t know".'
        )
    if setting.find_place is not None:
        name = said
        tail = re.search(r",\s*([^,]+)$", said)
        if tail and fold(tail[1]) in COUNTRIES:
            name = said[: tail.start()] + ", " + COUNTRIES[fold(tail[1])].upper()
        found = list(setting.find_place(name))
        if not found:
            return NotUnderstood(
                f"I do not find a town called {said[:LONGEST_NAME]!r}. Name a larger town near it, and "
                'the country; or latitude and longitude; or "don\'t know".'
            )
        near = [place for place in found if place.get("near")]
        found = likeliest(found, setting.country)
        tables = [
            (
                {key: value for key, value in place.items() if key not in OF_FINDING},
                str(place.get("say", place["name"])),
            )
            for place in found[:6]
        ]
        if len(tables) == 1 and not near:
            return Understood(tables[0][0], f"I take {tables[0][1]}.")
        text_back = (
            "I do not know that name. Is it one of these?" if near else "There are several. Which one?"
        )
        none = Reading("none of these", Elsewhere("Name a larger town near it, and the country."))
        return AskBack(text_back, (*(Reading(say, table) for table, say in tables), none))
    parts = [part.strip() for part in said.split(",") if part.strip()]
    place: dict[str, Any] = {"name": parts[0][:LONGEST_NAME]}
    if len(parts) > 1 and fold(parts[-1]) in COUNTRIES:
        place["country"] = COUNTRIES[fold(parts[-1])]
        parts = parts[:-1]
    if len(parts) > 1:
        place["region"] = parts[-1][:LONGEST_NAME]
    return Understood(place)
