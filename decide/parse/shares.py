"""Reading a share of the whole: 80 %, half, a third, 3 in 4, all of it, none."""

from __future__ import annotations

import re
from typing import Final

from decide.parse import numbers
from decide.parse.counted import bare_steps
from decide.parse.matching import SMALL
from decide.parse.numbers import NumberTrouble, tidy
from decide.parse.plain import fold, spaced, words
from decide.parse.quantities import one_of, whole
from decide.parse.results import (
    AskBack,
    NotUnderstood,
    Reading,
    Result,
    Setting,
)
from decide.parse.wording import say_amount

_SHARE_TOPIC: Final = spaced(
    "bare gone worn dirt soil mud muddy weed weeds weedy lost missing dead empty field pitch zone "
    "ground here there it earth dust sand brown has have with rest"
)


_SHARE_LIVING: Final = spaced("grass green alive living left covered cover good fine remaining still")


_ALL: Final = frozenset(
    {"all", "everything", "whole", "completely", "entirely", "fully", "totally", "wholly"}
)


# So said, the share is that of the grass: "a quarter still has grass", "a third grass, the rest is mud".
_STILL: Final = (
    r"\b(?:still (?:has|have|is|got|with|green|alive|grass)|(?:has|have|with) (?:some )?(?:grass|green)"
    r"|(?:the )?rest(?: of it)?(?: is)? (?:bare|mud|dirt|soil|earth|gone|dust|sand))\b"
)


_NOTHING: Final = frozenset({"none", "nothing", "zero", "no", "not"})


def read_percent(text: str, setting: Setting) -> Result:
    """A share from 0 to 100: 80 %, half, a third, 3 in 4, all of it, none."""
    said = fold(text).strip(" .!;,").replace("per cent", "percent")
    row = words(said)
    if re.search(r"\bnone of (?:that|those|these|this|them)\b", said):
        # It denies what was spoken of, and is no amount.
        raise NumberTrouble('About how much of it? Say half, a third, 3 in 4, or 80 %; or "don\'t know".')
    if re.fullmatch(r"[1-9]", said):
        # Tenths are told so as well, and the number of a choice.
        return AskBack(
            "Of a hundred, or of ten?",
            (
                Reading(f"{said} %", int(said)),
                Reading(f"{said} of ten, so {10 * int(said)} %", 10 * int(said)),
            ),
        )
    stepped = bare_steps(text, setting)
    if stepped:
        ends = sorted({min(stepped), max(stepped)})
        return one_of(ends, "percent", most=100, ends=len(ends) > 1)
    living = any(word in _SHARE_LIVING for word in row)
    core = " ".join(
        word
        for word in re.sub(r"[?]", "", said).split()
        if word.strip(".,;") not in (_SHARE_TOPIC | _SHARE_LIVING)
    )
    core_words = [word for word in words(core) if word not in SMALL]
    values: list[float]
    if (
        core_words
        and all(word in _ALL or word in ("almost", "nearly", "pretty", "much", "lot") for word in core_words)
        and set(core_words) & _ALL
    ):
        values = [100.0]
    elif (
        core_words
        and core_words[0] in _NOTHING
        and all(word in (*_NOTHING, "at", "all", "any") for word in core_words)
    ):
        values = [0.0]
    elif core_words and core_words[0] in (
        "most",
        "mostly",
        "few",
        "bit",
        "little",
        "many",
        "lots",
        "several",
    ):
        raise NumberTrouble('About how much of it? Say half, a third, 3 in 4, or 80 %; or "don\'t know".')
    else:
        values = _shares(core, setting)
    values = [value for value in values if 0 <= value <= 100] or values
    if any(value > 100 for value in values):
        return NotUnderstood('A share is at most 100 %. Say half, a third, or 80 %; or "don\'t know".')
    if living and len(values) == 1 and re.search(_STILL, said):
        return one_of([100 - values[0]], "percent", most=100)
    if living and values != [50.0]:
        pairs = [(value, 100 - value) for value in values]
        return AskBack(
            "Is that the share asked for, or the share of good grass?",
            tuple(
                reading
                for value, other in pairs[:1]
                for reading in (
                    Reading(f"{say_amount(value)} % of what was asked", tidy(value)),
                    Reading(
                        f"{say_amount(value)} % good grass, so {say_amount(other)} % of what was asked",
                        tidy(other),
                    ),
                )
            ),
        )
    return one_of(values, "percent", most=100, ends=re.search(r"\d\D+\d", said) is not None)


def _shares(core: str, setting: Setting) -> list[float]:
    match = re.fullmatch(
        r"(?:about |around |roughly )?([a-z0-9.]+) (?:in|out of|of)(?: every| the| my| your)? ([a-z0-9]+)"
        r"(?: parts| steps| paces)?",
        core,
    ) or re.search(
        r"\b([a-z]+|\d+) (?:in|out of)(?: every)? ([a-z]+|\d+)(?= (?:is|are|was|were|plants?|tufts?)\b)", core
    )
    if match:
        above, below = (
            numbers.figure(numbers.tokens(match[1]), 0),
            numbers.figure(numbers.tokens(match[2]), 0),
        )
        if above and below and below[0][0] > 0 and above[0][0] <= below[0][0]:
            return [100 * above[0][0] / below[0][0]]
    row = [
        token for token in numbers.tokens(core) if token.text not in ("of", "the", "part", "parts", "whole")
    ]
    low, high = whole(row, setting)
    values: list[float] = []
    for one in (low, high):
        if one is None:
            continue
        if one.unit not in ("", "percent"):
            raise NumberTrouble('Say how much of it: half, a third, 3 in 4, or 80 %; or "don\'t know".')
        for value in one.values:
            digits = any(token.kind == "number" for token in row)
            slash = any(token.text == "/" for token in row)
            worded = not digits or slash
            if slash and value > 1:
                raise NumberTrouble(
                    'A share is at most the whole. Say half, a third, 3 in 4, or 80 %; or "don\'t know".'
                )
            if one.unit == "percent":
                values.append(value)
            elif value <= 1 and worded:
                values.append(100 * value)
            elif 0 < value < 1 and value.is_integer() is False:
                fraction_word = any(token.kind == "word" for token in row)
                values += [100 * value] if fraction_word else [100 * value, value]
            else:
                values.append(value)
    return values
