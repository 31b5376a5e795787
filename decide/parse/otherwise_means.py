"""Reads machines, offers, helpers, money, hours, wettings and shares that would be otherwise."""

from __future__ import annotations

import re

from decide.parse import numbers
from decide.parse.amounts import read_number
from decide.parse.matching import key_of
from decide.parse.money import read_money
from decide.parse.otherwise_reader import CAN, HOURS_OF_USE, LEAD, NOT, Found, Reader, code_of, told
from decide.parse.rates import read_hours
from decide.parse.results import AskBack, Result, Sum, Understood
from decide.parse.shares import read_percent


def machines(r: Reader, said: str) -> Found:
    """Machines that the club would own or hire."""
    match = re.fullmatch(
        r"(?:(?:we|i|they)\s+)?(?P<hire>(?:could|can)?\s*(?:hire|hired|rent|rented|borrow|borrowed)\s+)?"
        r"(?:had\s+|have\s+|owned\s+|own\s+|bought\s+)?(?:an?|the|some|our own)?\s*(?P<what>.+)",
        said,
    )
    if match is None:
        return None
    wanted = key_of(match["what"])
    codes = [
        code
        for code, names in r.speech.equipment.items()
        if any(key_of(name) == wanted for name in (code.replace("-", " "), *names))
    ]
    # a hose and sprinklers are means of watering before they are tools
    if len(codes) != 1 or codes[0] in ("hose", "travelling-sprinkler"):
        return None
    key = "means.equipment_hire" if match["hire"] else "means.equipment_own"
    held = told(r.answers, "means", key.partition(".")[2]) or []
    return {
        key: [
            *held,
            *(
                [codes[0].replace("-", " ")]
                if code_of(codes[0]) not in {code_of(str(each)) for each in held}
                else []
            ),
        ]
    }, ""


def offers(r: Reader, said: str) -> Found:
    """What could be bought that cannot be bought now."""
    match = re.fullmatch(
        rf"{CAN}(?:buy|get|find|bought|got)\s+(?:some\s+)?"
        r"(?P<what>sod|seed|sprigs|plugs|turf|turves|hydromulch)(?: here| near(?: us| here| by)?)?"
        r"|(?P<also>sod|seed|sprigs|plugs|turf|turves) could be had",
        said,
    )
    if match is None:
        return None
    what = {"turf": "sod", "turves": "sod"}.get(
        match["what"] or match["also"], match["what"] or match["also"]
    )
    held = r.answers.get("offer")
    held = held if isinstance(held, list) else []
    return {"offer": [*held, *([] if any(row.get("what") == what for row in held) else [{"what": what}])]}, ""


def people(_: Reader, said: str) -> Found:
    """Helpers, more or in all, and a contractor."""
    match = re.fullmatch(
        r"(?P<n>[a-z0-9]+)\s+(?P<more>more\s+)?(?:helpers?|volunteers?|hands|people)"
        r"(?: to help| who helped?| helping)?",
        said,
    )
    if match and match["n"] not in ("more", "some", "many"):
        count = (
            0.0
            if match["n"] == "no"
            else (numbers.figure(numbers.tokens(match["n"]), 0) or ((None,), 0))[0][0]
        )
        if count is None:
            return None
        return {"means.helpers": {"plus": int(count)} if match["more"] else int(count)}, ""
    if re.fullmatch(
        r"(?:an?|the) contractor(?: (?:did|does|could do) (?:it|the work))?"
        rf"|{CAN}(?:pay|paid|hire|hired|afford|use|used) (?:an? )?contractor",
        said,
    ):
        return {"means.contractor": True}, ""
    if re.fullmatch(rf"no contractor|{NOT} (?:pay|afford|hire) an? contractor", said):
        return {"means.contractor": False}, ""
    if re.fullmatch(
        r"(?:an?|the) licen[sc]ed (?:person|sprayer|applicator)(?: (?:sprayed|did the spraying))?", said
    ):
        return {"means.licensed_applicator": True}, ""
    return None


def money(r: Reader, said: str) -> Found:
    """The money that there would be."""
    match = re.fullmatch(
        r"(?:(?:the|our|a) )?(?:budget|money)(?: we have)? (?:was|were|is|of|to be|rose to|fell to)\s+"
        r"(?P<sum>.+)|(?:spend|spent|could spend|can spend|pay|could pay)\s+(?P<pay>.+)",
        said,
    )
    core = (match["sum"] or match["pay"]) if match else said
    more = re.search(r"\bmore\b|\bextra\b", core)
    less = re.search(r"\bless\b", core)
    core = re.sub(r"\b(?:more|extra|less)\b", " ", core)
    money_words = re.search(
        r"[$£€]|\b(?:dollars?|bucks?|pounds?|quid|euros?|grand|money|budget|usd|gbp|eur)\b", core
    )
    if match is None and not money_words:
        return None
    result = read_money(" ".join(core.split()), r.setting)
    if isinstance(result, AskBack):
        result = next(
            (Understood(reading.value) for reading in result.readings if isinstance(reading.value, Sum)),
            result,
        )
    if not isinstance(result, Understood) or not isinstance(result.value, Sum):
        return None
    amount = float(result.value.amount)
    if more or less:
        return {"means.budget": {"plus": amount if more else -amount}}, result.note
    return {"means.budget": max(0.0, amount)}, result.note


def hours(r: Reader, said: str) -> Found:
    """Hours of sun, of watering, of use or of work."""
    if re.search(r"\bof sun\b|\bsun(?:light|shine)?\b", said):
        match = re.fullmatch(r"(.+?) hours?(?: a day)? of sun(?:light|shine)?(?: a day)?", said)
        return _number(r, "zone.sun_hours", match[1] if match else "", "hour")
    match = re.fullmatch(r"(?:the )?water (?:could|can) run (?:for )?(.+?)(?: hours?)(?: a day)?", said)
    if match:
        return _number(r, "means.watering_hours_day", match[1], "hour")
    if not re.search(r"\bhours?\b.*\bweek|\bhours?\b.*\b(?:work|play)", said):
        return None
    play = re.search(
        r"\b(?:of (?:play|use|games|matches|training)|play|played|plays|used|carried|use)\b", said
    )
    work = re.search(r"\b(?:of (?:work|help)|worked|work|help)\b", said)
    core = re.sub(
        r"\b(?:of (?:play|use|games|matches|training|work|help)|play(?:ed|s)?|used|carried|worked|work"
        r"|help|use|for|to)\b",
        " ",
        said,
    )
    core = LEAD.sub("", " ".join(core.split()))
    result: Result = read_hours(core if "week" in core else f"{core} a week", r.setting)
    if not isinstance(result, Understood):
        return None
    if play and not work:
        return {HOURS_OF_USE: float(result.value)}, ""
    return {
        "means.work_hours_per_week": float(result.value)
    }, "" if work else "I take it as hours of work. For hours of play say: 10 hours of play a week."


def wettings(r: Reader, said: str) -> Found:
    """How often a day it would be watered, or how much flows."""
    match = re.fullmatch(
        rf"(?:{CAN}(?:water|wet|come|came|watered)(?: it)?\s+)?(?P<n>once|twice|thrice|[a-z0-9]+ times)"
        r"(?: (?:a|per|each|every|on a|on each) (?:day|weekday))(?: to water)?",
        said,
    )
    if match:
        result = read_number(f"{match['n']} a day", r.setting, unit="count/day")
        return (
            ({"means.wettings_weekday": float(result.value)}, "") if isinstance(result, Understood) else None
        )
    if re.fullmatch(r"(?:nobody|no one) (?:could|can) water(?: it)?|no one to water|nobody to water", said):
        return {"means.wettings_weekday": 0.0}, ""
    if re.search(r"(?:litres?|liters?|gallons?|l) (?:a|per|in a) min", said):
        return _number(r, "means.flow_l_min", said, "l/min")
    return None


def shares(r: Reader, said: str) -> Found:
    """Percentages of a zone, and its thatch."""
    match = re.fullmatch(
        r"(?P<n>.+?)\s+(?:of (?:it|the \w+)\s+)?(?:was |were |is )?(?P<what>bare|weeds?|weedy|gone|worn)",
        said,
    )
    if match:
        result = read_percent(match["n"], r.setting)
        key = "zone.weeds_percent" if match["what"].startswith("weed") else "zone.bare_percent"
        return ({key: float(result.value)}, "") if isinstance(result, Understood) else None
    match = re.fullmatch(r"(?P<n>.+?) (?:of )?thatch", said)
    return _number(r, "zone.thatch_mm", match["n"], "mm") if match else None


def _number(r: Reader, key: str, said: str, unit: str) -> Found:
    result = read_number(said, r.setting, unit=unit) if said else None
    return (
        ({key: float(result.value)}, "")
        if isinstance(result, Understood) and isinstance(result.value, (int, float))
        else None
    )
