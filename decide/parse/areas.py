"""Reading an area: 3/4 acre, 100 x 60 yd, a goalmouth, half of the field."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from typing import Final

from decide.measure.area import circle
from decide.model.units import convert, dimension
from decide.parse import numbers
from decide.parse.matching import singular
from decide.parse.numbers import NumberTrouble, Quantity, Token, tidy
from decide.parse.plain import fold, words
from decide.parse.quantities import whole
from decide.parse.results import (
    AnswerChoice,
    AskBack,
    FieldShare,
    NotUnderstood,
    Reading,
    Result,
    Setting,
    Understood,
)
from decide.parse.shares import read_percent
from decide.parse.wording import SAY_UNIT, say_amount

_NO_AREA: Final = NotUnderstood("An area is more than 0. Write it as 7,140 m², 3/4 acre or 100 x 60 yd.")
_MOST_READINGS: Final = 4
_CIRCLE: Final = "circle|circular|round"
_SIDE_UNIT: Final = r"(?:metres?|meters?|m|yards?|yds?|yd|feet|foot|ft)"
_ACROSS: Final = r"(?:wide|long|across|deep|in (?:length|width)|one way|the other(?: way)?)"
_ONE_SIDE: Final = (
    rf"(?:about |around |roughly |some )?(?P<{{0}}>\d+(?:\.\d+)?) ?(?P<u{{0}}>{_SIDE_UNIT})? {_ACROSS}"
)
_SIDES: Final = re.compile(
    rf"(?:its |it is |it's )?{_ONE_SIDE.format('one')}[ ,]*(?:and |by |x )?{_ONE_SIDE.format('two')}"
    rf"(?:[ ,]+(?:in |all in )?(?P<all>{_SIDE_UNIT}))?(?:[,.] .*)?"
)
_OVAL: Final = "oval|ellipse"


def read_area(
    text: str, setting: Setting, _choices: Sequence[AnswerChoice] = (), _unit: str = "m2"
) -> Result:
    """An area in m²: 3/4 acre, 100 x 60 yd, a goalmouth; a share of the field comes back as FieldShare."""
    said = fold(text).strip(" .!")
    said, text = _by_sides(said, text)
    named = _named_area(said, setting) or _of_pieces(text, setting) or _round(said, setting)
    if named is not None:
        return named
    row = [
        Token("sign", "x") if token.text in ("by", "times") else token
        for token in numbers.tokens(text)
        if token.text not in ("big", "large", "long", "wide", "area")
    ]
    crossed = _crossed(row, setting)
    if crossed is not None:
        return crossed
    if _is_share(said, row):
        share = read_percent(text, setting)
        return Understood(FieldShare(float(share.value))) if isinstance(share, Understood) else share
    values = _areas(row, setting)
    if any(value <= 0 for _, value in values):
        return _NO_AREA
    if len(values) == 1:
        return Understood(tidy(values[0][1]))
    readings = tuple(Reading(shown, tidy(value)) for shown, value in values[:_MOST_READINGS])
    return AskBack("Which area is meant?", readings)


def _by_sides(said: str, text: str) -> tuple[str, str]:
    """A length and a width told one after the other, as two sides: "68 wide, 105 long, in metres"."""
    match = _SIDES.fullmatch(said)
    if match is None:
        return said, text
    unit = match["uone"] or match["utwo"] or match["all"] or ""
    plain = f"{match['one']} x {match['two']} {unit}".strip()
    return plain, plain


def _of_pieces(text: str, setting: Setting) -> Result | None:
    """The sum of pieces that are joined by "plus", as an L has them; None where it is one piece, the first
    trouble where one is not read.
    """
    pieces = [piece for piece in re.split(r"\s*(?:\+|\bplus\b)\s*", text) if piece]
    if len(pieces) == 1:
        return None
    total = 0.0
    for piece in pieces:
        read = read_area(piece, setting)
        if not isinstance(read, Understood) or not isinstance(read.value, (int, float)):
            return read if not isinstance(read, Understood) else _NO_AREA
        total += read.value
    return Understood(tidy(total), f"Together I take {say_amount(round(total))} m².")


def _round(said: str, setting: Setting) -> Result | None:
    """A circle by its width or radius, or an oval by its two widths; None where it is neither."""
    found = re.search(rf"\b(?:{_CIRCLE}|{_OVAL})\b", said)
    sides = re.sub(
        rf"\b(?:{_CIRCLE}|{_OVAL}|a|an|the|of|is|it|in|with|wide|across|diameter|radius)\b", " ", said
    )
    if found is None or not re.search(r"\d", sides):
        return None
    if " x " in sides.replace("by", "x").replace("×", "x"):
        box = read_area(sides, setting)
        if not isinstance(box, Understood):
            return box
        area = float(box.value) * math.pi / 4
    else:
        width, _ = whole(list(numbers.tokens(sides)), setting)
        if not width.unit:
            return NotUnderstood("Write the unit too, as a circle 18 m across.")
        if dimension(width.unit) != "length":
            return None
        across = numbers.in_unit(Quantity(width.values, width.unit), "m")[0]
        area = circle(across if "radius" in said else across / 2)
    return Understood(tidy(area), f"As a round shape I take {say_amount(round(area, 1))} m².")


def _crossed(row: list[Token], setting: Setting) -> Result | None:
    """Two sides, or so many places of one area; None where it is neither."""
    cross = [at for at, token in enumerate(row) if token.text == "x"]
    of = [at for at, token in enumerate(row) if token.text == "of"]
    if len(cross) == 1:
        left, right = row[: cross[0]], row[cross[0] + 1 :]
        return _several(left, right, setting) or _sides(left, right, setting)
    several = _several(row[: of[0]], row[of[0] + 1 :], setting) if len(of) == 1 and of[0] > 0 else None
    if several is None and cross:
        raise NumberTrouble("Write two sides only, such as 100 x 60 m.")
    return several


def _is_share(said: str, row: list[Token]) -> bool:
    """Whether a share of the field is meant, and no area of its own."""
    if any(token.text in ("percent", "%") for token in row):
        return True
    if re.search(r"\bof (?:the|it|our|this|whole|everything)\b", said):
        return True
    found = numbers.figure(row, 0) if 0 < len(row) <= 2 and row[0].kind == "word" else None
    return found is not None and not numbers.unit_at(row, found[1])[0] and found[0][0] <= 1


def _areas(row: list[Token], setting: Setting) -> list[tuple[str, float]]:
    """The areas that an answer may mean, as they are shown and in m²; both systems where none is known."""
    low, high = whole(row, setting)
    if high is not None and low.unit != high.unit:
        raise NumberTrouble("Write one area, such as 3/4 acre or 7,140 m².")
    usual = {"metric": ("m2",), "us": ("ft2",)}.get(setting.units or "", ("m2", "ft2"))
    return [
        (say_amount(value, SAY_UNIT.get(unit, unit)), convert_area(value, unit))
        for one in (low, high)
        if one is not None
        for unit in ((one.unit,) if one.unit else usual)
        for value in one.values
    ]


def convert_area(amount: float, unit: str) -> float:
    """`amount` of an area unit in m²; NumberTrouble where the unit is none of area."""
    return numbers.in_unit(Quantity((amount,), unit), "m2")[0]


def _several(left: list[Token], right: list[Token], setting: Setting) -> Result | None:
    """So many places of one area, such as 2 x 60 m²; None where it is anything else."""
    if not left or not right or numbers.figure(left, 0) is None:
        return None
    try:
        (count, each), (low, high) = whole(left, setting), whole(right, setting)
        if (
            each is not None
            or high is not None
            or count.unit
            or not low.unit
            or len(count.values) > 1
            or len(low.values) > 1
        ):
            return None
        area = count.values[0] * convert_area(low.values[0], low.unit)
    except NumberTrouble:
        return None
    return Understood(tidy(area)) if area > 0 and count.values[0] == int(count.values[0]) else None


def _sides(left: list[Token], right: list[Token], setting: Setting) -> Result:
    a, _ = whole(left, setting)
    b, _ = whole(right, setting)
    unit_a, unit_b = a.unit or b.unit, b.unit or a.unit
    if len(a.values) > 1 or len(b.values) > 1:
        raise NumberTrouble("Write the two sides without dots or commas, such as 100 x 60 m.")
    if unit_a:
        area = (
            numbers.in_unit(Quantity(a.values, unit_a), "m")[0]
            * numbers.in_unit(Quantity(b.values, unit_b), "m")[0]
        )
        if area <= 0:
            return _NO_AREA
        return Understood(tidy(area))
    product = a.values[0] * b.values[0]
    if product <= 0:
        return _NO_AREA
    if setting.units == "metric":
        return Understood(tidy(product))
    pair = ("ft", "yd") if setting.units == "us" else ("m", "yd")
    return AskBack(
        "Which unit is meant?",
        tuple(
            Reading(
                f"{say_amount(a.values[0])} x {say_amount(b.values[0])} {SAY_UNIT[name]}",
                tidy(product * convert(1, name, "m") ** 2),
            )
            for name in pair
        ),
    )


def _named_area(said: str, setting: Setting) -> Result | None:
    for name, area in setting.named_areas.items():
        key = [singular(word) for word in words(name)]
        row = [singular(word) for word in words(said)]
        row = [
            word
            for word in row
            if word not in ("about", "size", "of", "the", "like", "just", "whole", "roughly", "around")
        ]
        if len(row) < len(key) or row[-len(key) :] != key:
            continue
        lead = row[: -len(key)]
        count = 1.0
        if lead in ([], ["a"], ["an"], ["one"]):
            count = 1.0
        elif lead == ["both"]:
            count = 2.0
        else:
            found = numbers.figure(numbers.tokens(" ".join(lead)), 0)
            if found is None or found[1] != len(numbers.tokens(" ".join(lead))):
                continue
            count = found[0][0]
        if count > 0:
            return Understood(tidy(count * area), f"I take {say_amount(count * area)} m².")
    return None
