"""Reading a sum of money: about 2 grand, 1.5k, £500."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final

from decide.parse import numbers
from decide.parse.matching import matching
from decide.parse.numbers import NumberTrouble, Token
from decide.parse.plain import fold
from decide.parse.quantities import decimal_comma_in
from decide.parse.results import (
    AnswerChoice,
    AskBack,
    Elsewhere,
    NotUnderstood,
    Reading,
    Result,
    Setting,
    Sum,
    Understood,
)
from decide.parse.wording import SAY_CURRENCY, say_amount

_DOLLARS: Final = {"us": "USD", "ca": "CAD", "au": "AUD", "nz": "NZD", "sg": "SGD"}


_MONEY_WORDS: Final = {
    "$": "$", "dollar": "$", "dollars": "$", "bucks": "$", "buck": "$", "£": "GBP", "quid": "GBP", "€": "EUR",
    "euro": "EUR", "euros": "EUR", "eur": "EUR", "gbp": "GBP", "usd": "USD", "aud": "AUD", "nzd": "NZD",
    "cad": "CAD", "zar": "ZAR", "rand": "ZAR", "rands": "ZAR", "chf": "CHF", "francs": "CHF", "sek": "SEK",
    "nok": "NOK", "dkk": "DKK", "pln": "PLN", "inr": "INR", "rupees": "INR", "jpy": "JPY", "yen": "JPY",
    "sgd": "SGD", "hkd": "HKD",
}  # fmt: skip


def read_money(text: str, setting: Setting, choices: Sequence[AnswerChoice] = (), _unit: str = "") -> Result:
    """A sum: about 2 grand, 1.5k, £500; a range gives its lower end, since advice never leans on money not
    there.
    """
    said = fold(text).strip(" .!?")
    if said in (
        "nothing",
        "none",
        "no money",
        "zero",
        "nil",
        "0",
        "no",
        "no budget",
        "not a penny",
        "not a cent",
        "broke",
    ):
        return Understood(Sum(0.0))
    if not any(letter.isdigit() for letter in said) and choices:
        found_choice = matching(text, choices, setting)
        if len(found_choice) == 1:
            value = found_choice[0].value
            return Understood(Sum(float(value))) if isinstance(value, (int, float)) else Understood(value)
    if re.search(r"\b(?:few|several|some|many)\b(?! money)", said):
        raise NumberTrouble('Give a rough sum, such as 300 or 2 grand; or "don\'t know".')
    said = re.sub(r"\b(?:money|budget|cash|to spend|in the bank|of it|left)\b", " ", said)
    row = numbers.tokens(re.sub(r"(?<=[0-9])(?=k\b)", " ", said))
    currency: str | None = None
    pounds = False
    kept: list[Token] = []
    for token in row:
        name = _MONEY_WORDS.get(token.text)
        if name is not None:
            currency = currency or name
        elif token.text in ("pound", "pounds"):
            pounds = True
        elif token.kind == "stop" and token.text == ".":
            continue
        else:
            kept.append(token)
    found = numbers.span(kept, decimal_comma=decimal_comma_in(setting))
    if found is None or found[2] != len(kept):
        raise NumberTrouble('Give a rough sum, such as 300, £500 or 2 grand; or "don\'t know".')
    low, high, _ = found
    if low.unit in ("kg", "g", "lb", "oz", "t"):
        return NotUnderstood("That is a weight. This asks for money, such as 500 or 2 grand.")
    if low.unit:
        raise NumberTrouble('Give a rough sum, such as 300, £500 or 2 grand; or "don\'t know".')
    country = (setting.country or "").lower()
    if currency == "$":
        currency = _DOLLARS.get(country, "USD")
    if pounds and currency is None:
        if country == "gb":
            currency = "GBP"
        else:
            weight = Elsewhere(
                "This asks how much money there is, not a weight. Give a rough sum, such as 500 or 2 grand."
            )
            return AskBack(
                "Is that money or weight?",
                (
                    Reading(f"£{say_amount(low.values[0])}, money", Sum(low.values[0], "GBP")),
                    Reading(f"{say_amount(low.values[0])} lb, weight", weight),
                ),
            )
    if len(low.values) > 1:
        sign = SAY_CURRENCY.get(currency or "", "")
        return AskBack(
            "Which sum is meant?",
            tuple(Reading(f"{sign}{say_amount(v)}", Sum(v, currency)) for v in low.values),
        )
    first = low.values[0]
    if high is not None:
        if first < 100 <= high.values[0] and high.values[0] >= 1000 and first * 1000 <= high.values[0]:
            first *= 1000
        note = f"I take the lower end, {say_amount(min(first, high.values[0]))}."
        return Understood(Sum(min(first, high.values[0]), currency), note)
    return Understood(Sum(first, currency))
