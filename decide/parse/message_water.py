"""Reads the water of a message: a hose's reach and flow, how often somebody waters, salt, open water near."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any, Final

from decide.model.units import convert
from decide.parse.message_money import number
from decide.parse.message_text import Clause, Message, pattern
from decide.parse.numbers import NumberTrouble, tidy
from decide.parse.rates import read_flow
from decide.parse.results import Understood
from decide.parse.weekdays import CODES
from decide.parse.wording import say_amount

LENGTHS: Final = r"(?:m|mtrs?|met(?:re|er)s?|yds?|yards?|ft|feet|foot|')"
_CODES: Final = {"y": "yd", "f": "ft", "'": "ft", "m": "m"}


def read_water(message: Message, table: Mapping[str, Any]) -> None:
    """Tells what is told of the water, but for its days and hours."""
    _near_water(message, table)
    _flow(message)
    _salts(message)
    _stands(message, table)


def _near_water(message: Message, table: Mapping[str, Any]) -> None:
    near = table["near"]
    water, within = "|".join(near["water"]), "|".join(near["within"])
    amount = rf"(?:(?P<n>\d+) ?(?P<unit>{LENGTHS}|km)|(?P<words>{within}))"
    forms = (
        rf"(?:{water})s? (?:is |are |runs? |lies |just )?(?:about |within |some |roughly )?{amount}",
        rf"{amount} (?:away )?(?:from|to) (?:the |a )?(?:{water})",
    )
    for clause in message.telling():
        match = next((m for form in forms for m in pattern(form).finditer(clause.text)), None)
        if match is None and pattern(rf"(?:{water})s?").search(_around(message, clause)):
            # A distance that stands by itself, after water was named in the sentence.
            match = pattern(
                rf"{amount} (?:away|off)?(?: ?from the (?:field|pitch|ground))?(?: ?(?:maybe|perhaps|or so))?"
            ).fullmatch(clause.text.strip(" .!?") + " ") or pattern(rf"{amount} (?:away|off)").search(
                clause.text
            )
        if match is None:
            continue
        if match["words"]:
            metres = next(
                float(value) for name, value in near["within"].items() if re.fullmatch(name, match["words"])
            )
        else:
            unit = match["unit"]
            code = "km" if unit == "km" else _CODES[unit[:1]]
            metres = convert(float(match["n"]), code, "m")
        message.take(clause, match.start(), match.end())
        note = message.say("near_water", words=match[0].strip(), value=say_amount(round(metres)))
        message.tell("site.near_water_m", tidy(round(metres)), clause, note=note)


def _flow(message: Message) -> None:
    """The reach of the hose, the flow, and how often somebody waters."""
    reach = pattern(
        rf"hose(?:pipe)?s?(?: of| is| reaches)?(?: about)? (?P<a>\d+) ?(?P<ua>{LENGTHS})(?: long)?",
        rf"(?P<b>\d+) ?(?P<ub>{LENGTHS})(?: of)?(?: garden)? hose(?:pipe)?",
        rf"reach(?:es)?(?: about)? (?P<c>\d+) ?(?P<uc>{LENGTHS})",
        rf"it'?s (?:only |about |really |actually )?(?P<d>\d+) ?(?P<ud>{LENGTHS})(?: long)? not \d+",
    )
    flow = pattern(
        r"\d+(?:\.\d+)? ?(?:gpm|lpm|l/min|(?:lit(?:re|er)|gal(?:lon)?)s? (?:a|per) min(?:ute)?)",
        r"\d+ ?(?:l|ltrs?|lit(?:re|er)s?|gal(?:lon)?s?)(?: (?:bucket|can|drum))? in \d+"
        r" ?(?:s|secs?|seconds|min|minutes?)",
        r"\d+ ?(?:l|lit(?:re|er)s?|gal(?:lon)?s?) (?:in (?:a |one |the )?|the |every )min(?:ute)?",
    )
    visits = pattern(
        r"(?P<n>once|twice|(?:one|two|three|four)(?= times?)|\d)"
        r" ?(?:wettings?|waterings?|times?)?(?: a| per| each| every| on)?"
        r" ?(?:week ?days?|day)(?!s? ?(?:a|per))"
    )
    for clause in message.telling():
        match = reach.search(clause.text)
        if match and "hose" in message.sentences[clause.sentence][1]:
            side = next(name for name in "abcd" if match[name])
            amount, unit = match[side], match["u" + side]
            code = _CODES[unit[:1]]
            message.take(clause, match.start(side), match.end("u" + side))
            message.tell("means.hose_reach_m", tidy(round(convert(float(amount), code, "m"), 1)), clause)
        match = flow.search(clause.text)
        if match:
            result = None
            try:
                said = re.sub(r" (?:bucket|can|drum)(?= )", "", match[0])
                result = read_flow(re.sub(r"ltrs?(?!\w)", "l", said), message.setting)
            except NumberTrouble:
                continue
            if isinstance(result, Understood):
                message.take(clause, match.start(), match.end())
                message.tell("means.flow_l_min", result.value, clause)
        match = visits.search(clause.text)
        if (
            match
            and re.search(
                r"water|wetting|sprinkl|pop.?ups|irrigat|retic|timer|tanker|bowser|hose",
                _around(message, clause),
            )
            and not re.search(r"hour|allowed|only", clause.text)
        ):
            value = {"once": 1, "twice": 2}.get(match["n"]) or number(match["n"], message)
            message.tell("means.wettings_weekday", value, clause)


def _around(message: Message, clause: Clause) -> str:
    """What is said up to a clause in its sentence."""
    start, sentence = message.sentences[clause.sentence]
    return sentence[: clause.start - start + len(clause.text)]


def _stands(message: Message, table: Mapping[str, Any]) -> None:
    """How long water stands: from the day of the rain to a later one on which it was still wet."""
    stands = table["stands"]
    days = message.speech.table("message_dates")["forms"]["days"]
    for start, sentence in message.sentences:
        rain = pattern(rf"(?:{'|'.join(stands['rain'])})\b[\w ,']{{0,30}}?\b(?P<day>{days})").search(sentence)
        clause = next((one for one in message.telling() if start <= one.start < start + len(sentence)), None)
        if rain is None or clause is None:
            continue
        rest = sentence[rain.end() :]
        later = list(pattern(days).finditer(rest))
        if len(later) != 1 or not pattern(*stands["wet"]).search(rest):
            continue
        count = (CODES.index(later[0][0][:3]) - CODES.index(rain["day"][:3])) % 7
        if count:
            message.take(clause, 0, len(clause.text))
            message.tell("field.water_stands_hours", 24 * count, clause)


def _salts(message: Message) -> None:
    """The salt of the water: its conductivity in dS/m or mS/cm, and its sodium adsorption ratio."""
    figure = r"(?P<{}>\d{{1,2}}(?:[.,]\d{{1,2}})?)"
    first, second = figure.format("n"), figure.format("m")
    unit = r"(?:ds/m|ms/cm)"
    forms = {
        "means.water_salt_ds_m": rf"{first} ?{unit}|ecw?[ :=]*(?:is |of )?{second}(?= ?(?:{unit}|$))",
        "means.water_sar": rf"sar[ :=]*(?:is |of )?{first}",
    }
    for clause in message.telling():
        for key, form in forms.items():
            match = pattern(form).search(clause.text)
            sentence = message.sentences[clause.sentence][1]
            if match is None or pattern("soil", "ground", "paste", "ece").search(sentence):
                continue
            found = match["n"] or match.groupdict().get("m")
            message.take(clause, match.start(), match.end())
            message.tell(key, tidy(float(str(found).replace(",", "."))), clause)
