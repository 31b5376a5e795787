"""Reading the uses of a field: the sport, its hours, its months and who plays."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any, Final

from decide.parse.matching import LONGEST_NAME, SMALL, by_number, matching, once
from decide.parse.months import MONTHS_INSIDE, month_number, read_months, runs_until, say_months
from decide.parse.numbers import NumberTrouble
from decide.parse.plain import spaced, words
from decide.parse.rates import read_hours
from decide.parse.results import AnswerChoice, AskBack, NotUnderstood, Reading, Result, Setting, Understood
from decide.parse.uses_told import uses_told
from decide.parse.vocabulary import rows, said_plainly

_MONTHS_BY_COMMA: Final = re.compile(
    r"(?:,|\bfrom\b|\bin\b)?\s*[A-Za-z]{3,9}\s*(?:-|–|to|until|till|through)\s*[A-Za-z]{3,9}(?=\s*(?:,|$))"
)


def read_uses(text: str, setting: Setting, choices: Sequence[AnswerChoice] = (), _unit: str = "") -> Result:
    """Uses of the field as tables; parts that were not said are left out for the talk to ask."""
    if said_plainly(text) in rows(setting, "uses").get("nobody", ()):
        return Understood([])
    numbered = _numbered(text, choices)
    if numbered is not None:
        return numbered
    text = _named(text, choices)
    strict = _strictly(text, setting, choices)
    told = uses_told(text, setting, choices)
    rows_read = len(strict.value) if isinstance(strict, Understood) else 0
    sure = sum(1 for row in told if isinstance(row.get("sport"), str))
    if isinstance(strict, AskBack) and sure == len(told) > 1:
        return _uses(told)
    until = _until(text, setting)
    if until is not None and len(told) <= 1 and not any("months" in row for row in told):
        return _since(until, told or [{}])
    return strict if not told or (rows_read >= len(told)) or isinstance(strict, AskBack) else _uses(told)


def _until(text: str, setting: Setting) -> int | None:
    """The month until which it is played on, where an answer tells that; None where it does not."""
    found = re.search(rows(setting, "uses").get("until", "(?!)"), said_plainly(text))
    return None if found is None else month_number(found["month"])


def _since(last: int, told: Sequence[dict[str, Any]]) -> Result:
    """Asks back since when, of a season of which only the last month is told."""
    return AskBack(
        "Which are the months of play?",
        tuple(
            Reading(say_months(codes), [{**row, "months": codes} for row in told])
            for codes in runs_until(last)
        ),
    )


def _numbered(text: str, choices: Sequence[AnswerChoice]) -> Result | None:
    """The sports that are picked by their numbers; one number alone may be the hours as well."""
    pieces = [piece for piece in re.split(r"[\s,;&+]+|\band\b", text.strip(" .")) if piece]
    picked = [by_number(piece, choices) if piece.isdecimal() else None for piece in pieces]
    sports = [one for one in picked if one is not None]
    if not sports or len(sports) < len(picked):
        return None
    if len(sports) > 1:
        return Understood([{"sport": one.value} for one in sports])
    hours = Reading(
        f"{pieces[0]} hour{'s' * (int(pieces[0]) > 1)} a week", [{"hours_per_week": int(pieces[0])}]
    )
    return AskBack("Which is meant?", (Reading(sports[0].shown, [{"sport": sports[0].value}]), hours))


def _named(text: str, choices: Sequence[AnswerChoice]) -> str:
    """A line with the name of the sport where it opens with the sport's number: "2, 10 hours a week"."""
    opens = re.match(r"\s*(\d{1,2})\s*[,;:)]\s*(?=\S)", text)
    sport = None if opens is None else by_number(opens[1], choices)
    return text if opens is None or sport is None else f"{sport.shown}, {text[opens.end() :]}"


def _strictly(text: str, setting: Setting, choices: Sequence[AnswerChoice]) -> Result:
    """Uses whose parts stand between commas, as the talk's own example has them."""
    uses: list[dict[str, Any]] = []
    for part in [piece for piece in re.split(r";", text) if piece.strip()]:
        use: dict[str, Any] = {}
        rest = part
        months = MONTHS_INSIDE.search(rest) or _MONTHS_BY_COMMA.search(rest)
        if months:
            found = read_months(months[0].strip(" ,"), setting)
            if isinstance(found, Understood):
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
    return _uses(uses)


def _uses(uses: Sequence[dict[str, Any]]) -> Result:
    """The rows of uses, asked back where a sport has two meanings."""
    unsure = next((use["sport"] for use in uses if isinstance(use.get("sport"), tuple)), None)
    if unsure is not None:
        # A word with two meanings has one of them in the whole sentence.
        return AskBack(
            "Which game is meant?",
            tuple(
                Reading(
                    meant.shown,
                    [
                        {**use, "sport": meant.value} if isinstance(use.get("sport"), tuple) else use
                        for use in uses
                    ],
                )
                for meant in unsure
            ),
        )
    return Understood(list(uses))


_YOUTH: Final = spaced(
    "youth youths kids kid children child juniors junior school pupils students u8 u10 u12 u14 u16 under"
)


_ADULT: Final = spaced("adult adults men women seniors senior grown-ups grownups veterans")


def _use_piece(
    word: str,
    use: dict[str, Any],
    uses: list[dict[str, Any]],
    setting: Setting,
    choices: Sequence[AnswerChoice],
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
            hours = read_hours(hours_text, setting)
        except NumberTrouble as trouble:
            return NotUnderstood(str(trouble))
        if not isinstance(hours, Understood):
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
            if not isinstance(months, Understood):
                return NotUnderstood(
                    f"I do not know {word[:LONGEST_NAME]!r} as a sport, hours or months. Say: soccer, "
                    "12 hours a week, September to May, youth."
                )
            use["months"] = once([*use.get("months", []), *months.value])
    if youth or adult:
        use["players"] = "youth" if youth else "adult"
    return None
