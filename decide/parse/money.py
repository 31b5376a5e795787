"""Reading a sum of money: about 2 grand, 1.5k, £500."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Any, Final

from decide.parse import numbers
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
from decide.parse.vocabulary import rows
from decide.parse.wording import say_amount

_POUNDS: Final = "pounds"
_WEIGHTS: Final = ("kg", "g", "lb", "oz", "t")
_WRITE: Final = 'Give a rough sum, such as 300, £500 or 2 grand; or "don\'t know".'


def read_money(text: str, setting: Setting, choices: Sequence[AnswerChoice] = (), _unit: str = "") -> Result:
    """A sum: about 2 grand, 1.5k, £500.

    A range gives its lower end, since advice never leans on money that is not there.
    """
    said = fold(text).strip(" .!?")
    talk = rows(setting, "money")
    if said in talk.get("none", ()):
        return Understood(Sum(0.0))
    chosen = [choice for choice in choices if any(fold(phrase) == said for phrase in choice.say)]
    if len(chosen) == 1:
        value = chosen[0].value
        return Understood(Sum(float(value)) if isinstance(value, (int, float)) else value)
    if re.search(r"\b(?:few|several|some|many)\b(?! money)", said):
        raise NumberTrouble('Give a rough sum, such as 300 or 2 grand; or "don\'t know".')
    kept, currency = _money_words(said, talk)
    found = numbers.span(kept, decimal_comma=decimal_comma_in(setting))
    if found is None or found[2] != len(kept):
        raise NumberTrouble(_WRITE)
    low, high, _ = found
    if low.unit in _WEIGHTS:
        return NotUnderstood("That is a weight. This asks for money, such as 500 or 2 grand.")
    if low.unit:
        raise NumberTrouble(_WRITE)
    country = (setting.country or "").lower()
    if currency == _POUNDS and country != "gb":
        return _pounds(max(low.values))
    code = {"$": _here(talk, "dollars", country), _POUNDS: "GBP"}.get(currency or "", currency)
    code = _here(talk, code, country) if code in talk.get("here", {}) else code
    # No money has three decimals: "1.500" is one thousand five hundred wherever it is said.
    amount = max(low.values)
    if high is not None:
        amount = min(_same_size(amount, high.values[0]), high.values[0])
    if code is None and 0 < amount < talk.get("bare-below", 0):
        sums = (amount * 100, amount * 1000, amount)
        return AskBack(talk["bare-back"], tuple(Reading(say_amount(each), Sum(each)) for each in sums))
    return Understood(
        Sum(amount, code), "" if high is None else f"I take the lower end, {say_amount(amount)}."
    )


def _here(talk: Mapping[str, Any], name: str | None, country: str) -> str | None:
    """The currency that a word means in a country."""
    table: Mapping[str, str] = talk.get("here", {}).get(name or "", {})
    return table.get(country, table.get(""))


def _money_words(said: str, talk: Mapping[str, Any]) -> tuple[list[Token], str | None]:
    """The number in an answer without the words for money, and the currency that was said first.

    "pounds" is money only where no other currency was said.
    """
    plain = re.sub(rf"\b(?:{talk.get('passed-over', '(?!)')})\b", " ", said)
    plain = re.sub(r"\br ?(?=\d)", " rand ", plain).replace("/-", " ")
    for word, times in talk.get("times", {}).items():
        match = re.search(rf"\b(\d+(?:\.\d+)?) ?{word}\b", plain)
        if match is not None:
            plain = plain[: match.start()] + str(round(float(match[1]) * times)) + plain[match.end() :]
    row = numbers.tokens(re.sub(r"(?<=[0-9])(?=k\b)", " ", plain))
    shared = {name: name for name in talk.get("here", {}) if name != "dollars"}
    known = {**talk.get("names", {}), **shared}
    names = [known.get(token.text) for token in row]
    pounds = [token.text in ("pound", "pounds") for token in row]
    kept = [
        token
        for token, name, pound in zip(row, names, pounds, strict=True)
        if name is None and not pound and (token.kind, token.text) != ("stop", ".")
    ]
    named = next((name for name in names if name is not None), None)
    return kept, named or (_POUNDS if any(pounds) else None)


def _pounds(amount: float) -> AskBack:
    """Pounds are money or weight where the country does not tell."""
    weight = Elsewhere(
        "This asks how much money there is, not a weight. Give a rough sum, such as 500 or 2 grand."
    )
    return AskBack(
        "Is that money or weight?",
        (
            Reading(f"£{say_amount(amount)}, money", Sum(amount, "GBP")),
            Reading(f"{say_amount(amount)} lb, weight", weight),
        ),
    )


def _same_size(low: float, high: float) -> float:
    """The lower end of a range of which only the upper end said "thousand": 1-2k."""
    return low * 1000 if low < 100 <= high and high >= max(1000, low * 1000) else low
