"""Reads sums of money, and the first number of a text, from the clauses of a message."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Any, Final

from decide.parse import numbers
from decide.parse.heard import Doubt
from decide.parse.message_text import Clause, Message, pattern
from decide.parse.numbers import NumberTrouble, tidy
from decide.parse.quantities import decimal_comma_in

_ONES: Final = "a|one|two|three|four|five|six|seven|eight|nine"
_COUNTED: Final = (
    rf"(?:{_ONES}|ten|eleven|twelve|thirteen|fourteen|fifteen|sixteen|seventeen|eighteen|nineteen|twenty|thirty|forty"
    r"|fifty|sixty|seventy|eighty|ninety|hundred|half a|a dozen|a couple of|half a dozen)"
)
# A number of several words, as three hundred, twenty five or two hundred and fifty.
SPOKEN: Final = rf"{_COUNTED}(?:[ -](?:and )?(?:{_COUNTED}|hundred)){{0,5}}"
NUMBER: Final = r"\d{1,3}(?: \d{3})+(?!\d)|\d[\d,.']*(?:\d|(?=\b))|\d"
WORDS: Final = (
    r"(?:a|one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve|thirteen|fourteen|fifteen|sixteen|twenty|thirty|forty|fifty"
    r"|a dozen|a couple of|half a dozen)"
)


def number(text: str, message: Message) -> float | None:
    """The first number of a text, in figures or words; None where it is none."""
    try:
        found = numbers.figure(
            numbers.tokens(text, keep_fillers=True), 0, decimal_comma=decimal_comma_in(message.setting)
        )
    except NumberTrouble:
        return None
    return None if found is None else found[0][0]


def read_money(message: Message, table: Mapping[str, Any]) -> None:
    """Tells the budget and its currency; a sum with a minus is asked back."""
    money = table["money"]
    for clause, low, currency, start, end in _sums(message, money):
        if re.search(r"(?:[-−]|\bminus|\bnegative) ?$", clause.text[:start]) or re.match(
            r" ?-(?!\w|\d)", clause.text[end:]
        ):
            words = message.words(clause)
            message.use(clause)
            text = message.say("money", words=words)
            message.doubts.append(Doubt(text, words, "means.budget"))
            return
        if pattern(*money["context"]["spent"]).search(clause.text[end:]):
            message.told = [one for one in message.told if one.key != "means.budget"]
            words = message.words(clause)
            text = message.say("left")
            message.use(clause)
            message.doubts.append(Doubt(text, words, "means.budget"))
            return
        spare = clause.text[:start] + " " + clause.text[end:]
        if message.value("means.budget_until") is not None:
            # What must be spent by a day is not spent.
            spare = re.sub(r"\b(?:spent|used up) (?=by|before)", "", spare)
        # A second sum is not read, and so is named.
        second = message.value("means.budget") not in (None, tidy(low))
        if second or pattern(*money["context"]["not"]).search(spare):
            continue
        message.take(clause, start, end)
        message.tell("means.budget", tidy(low), clause)
        if currency:
            message.tell("means.currency", currency, clause)
    if message.value("means.budget") is None:
        for phrase, amount in money["fixed"].items():
            for clause in message.telling():
                match = pattern(phrase).search(clause.text)
                if match and message.taken(clause, match.start(), match.end()):
                    # None until a day, which was told, is not none at all.
                    continue
                if match and not pattern(*money["context"]["not"]).search(clause.text[: match.start()]):
                    message.take(clause, match.start(), match.end())
                    message.tell("means.budget", amount, clause)
                    code = _currency("none", message, money)
                    if code and amount:
                        message.tell("means.currency", code, clause)


def _sums(message: Message, money: Mapping[str, Any]) -> Iterator[tuple[Clause, float, str, int, int]]:
    """Sums of money as they stand: with a sign or word for it, or a thousand beside a word of money."""
    signs = sorted((*money["signs"], "$", "r", "rs", "rs."), key=len, reverse=True)
    sign = "|".join(re.escape(one) for one in signs)
    word = "|".join([*money["words"], *(w for w in money["by-country"] if w not in ("none", "$", "r", "rs"))])
    times = "|".join(sorted(money["times"], key=len, reverse=True))
    form = re.compile(
        rf"(?<![\w.])(?:(?P<sign>{sign}) ?)?(?P<n>{NUMBER}|{SPOKEN}(?= (?:{times}|{word})(?!\w)))"
        rf"(?: ?(?:-|to) ?(?P<high>{NUMBER}))?(?: ?(?P<times>{times})(?!\w))?"
        rf"(?: (?P<more>{sign})(?!\w))?(?: (?:us |canadian )?(?P<word>{word})(?!\w))?"
    )
    for clause in message.telling():
        best: tuple[Clause, float, str, int, int] | None = None
        for match in form.finditer(clause.text):
            if (
                message.taken(clause, match.start(), match.end())
                or clause.text[match.end() : match.end() + 1] == "%"
            ):
                continue
            named = match["sign"] or match["more"] or match["word"]
            thousand = match["times"] in ("k", "grand", "thousand", "lakh", "lakhs", "crore", "million")
            context = pattern(*money["context"]["here"]).search(clause.text)
            led = re.search(
                r"\b(?:budget|kitty|funds?)(?: is| of|:| about| around)* ?$", clause.text[: match.start()]
            )
            bare = re.search(r"budget|kitty|funds?\b", clause.text) and not re.match(
                r" ?(?!and\b)[a-z%]+" if led else r" ?[a-z%]+", clause.text[match.end() :]
            )
            if (
                not named
                and not (thousand and context)
                and not (
                    thousand
                    and match["times"] != "million"
                    and not _of_things(clause.text[match.end() :], money)
                )
                and not bare
            ):
                continue
            if match["sign"] == "r" and (
                message.setting.country not in (None, "za") or match.end() - match.start() < 3
            ):
                continue
            value = _amount(match, money, message)
            if value is not None:
                best = (clause, value, _currency(named or "none", message, money), match.start(), match.end())
                yield best


def _amount(match: re.Match[str], money: Mapping[str, Any], message: Message) -> float | None:
    text = match["n"].rstrip(".,")
    value = 1.0 if text in ("a", "an") else number(text, message)
    if text == "half a":
        value = 0.5
    thousands = decimal_comma_in(message.setting) or match["sign"] == "€" or match["more"] == "€"
    if value is not None and re.fullmatch(r"\d{1,3}\.\d{3}", text) and (thousands or _euros(match)):
        value = float(text.replace(".", ""))
    return None if value is None else value * money["times"].get(match["times"] or "", 1)


def _of_things(rest: str, money: Mapping[str, Any]) -> bool:
    """Whether a number is followed by a thing that is counted, and is no sum of money."""
    word = re.match(r" ?([a-z]{2,})", rest)
    return word is not None and pattern(*money["context"]["after"]).fullmatch(word[1]) is None


def _euros(match: re.Match[str]) -> bool:
    return bool(match["word"]) and match["word"].startswith("euro")


def _currency(named: str, message: Message, money: Mapping[str, Any]) -> str:
    country = (message.setting.country or "").lower()
    for table in ("signs", "words"):
        for word, code in money[table].items():
            if named == word or (table == "words" and re.fullmatch(word, named)):
                return str(code)
    for word, codes in money["by-country"].items():
        if named.rstrip(".") == word or re.fullmatch(word.replace("$", r"\$"), named.rstrip(".")):
            fallback = {"$": "USD", "dollars?": "USD", "r": "ZAR"}.get(word, "") if not country else ""
            return str(codes.get(country, fallback))
    return ""
