"""Inputs made of a seed corpus: pieces are cut, doubled, swapped, joined and replaced by what hurts readers."""

from __future__ import annotations

import json
import random
from collections.abc import Sequence

# What has broken readers of text somewhere.
NASTY = (
    "", " ", "\n", "\r\n", "\t", "\0", "\x1b[31m", "\x1b]0;x\x07", "\x85", "\u2028", "\u202e", "\u200b", "\ufeff", "\udcff", "é", "ß", "İ",
    "ǆ", "½", "²", "٣", "四", "∞", "−5", "--", "'", '"', '"""', "'''", "\\", "`", "|", "<b>", "</script>", "&amp;", "=1+1", "@x", "{x}", "{{", "%s",
    "%", "${x}", "[[", "]]", "{", "}", "[", "]", "#", ",", ";", ":", "0", "-0", "00", "1e309", "-1e309", "1e-400", "nan", "inf", "-inf", "NaN",
    "Infinity", "null", "true", "false", "9" * 20, "9" * 400, "9" * 5000, "0x" + "f" * 20, "1_000", "1,000", "1.000,5", "1/0", "0/0", "1-2-3",
    "0000-00-00", "9999-12-31", "2026-02-30", "2026-13-01", "25:61", "99:99", "31/02/2026", "29 feb", "13/13", "1 to 2 to 3", "between", "not",
    "don't know", "no idea", "yes", "no", "same", "all", "none", "1", "2", "3", "10", "back", "undo", "why", "help", "leave", "save as x", "%n",
    "../../etc/passwd", "/dev/zero", "con", "a" * 300, "(" * 60, ")" * 60, "a." * 60, "€", "£5", "$", "¥1", "1 kg/ha", "m2", "°F", "100 °C", "-300 F",
    "1000000 km", "1e5 acres", "0 m", "half", "a third", "two thirds of nothing", "minus two", "last never", "in 9999 weeks", "10000 years ago",
)  # fmt: skip


def text(draw: random.Random, corpus: Sequence[str], most: int = 2_000) -> str:
    """A text made of one or two of the corpus."""
    made = draw.choice(corpus)
    for _ in range(draw.choice((0, 1, 1, 2, 2, 3, 5))):
        made = _text_step(draw, made, corpus)
    return made[:most]


def _text_step(draw: random.Random, held: str, corpus: Sequence[str]) -> str:
    kind = draw.randrange(9)
    at, to = sorted((draw.randint(0, len(held)), draw.randint(0, len(held))))
    if kind == 0:
        return held[:at] + held[to:]
    if kind == 1:
        return held[:to] + held[at:]
    if kind == 2:
        return held[:at] + draw.choice(NASTY) + held[at:]
    if kind == 3:
        return held[:at] + draw.choice(NASTY) + held[to:]
    if kind == 4:
        other = draw.choice(corpus)
        return held[:at] + other[draw.randint(0, len(other)) :]
    words = held.split(" ")
    place = draw.randrange(len(words))
    if kind == 5:
        words[place] = draw.choice(draw.choice(corpus).split(" "))
    elif kind == 6:
        draw.shuffle(words)
    elif kind == 7:
        words[place] = draw.choice(NASTY)
    else:
        words[place] = "".join(
            map(
                chr,
                (
                    draw.choice((33, 40, 48, 65, 97, 160, 0x300, 0x4E00, 0x1F600)) + draw.randrange(26)
                    for _ in range(4)
                ),
            )
        )
    return " ".join(words)


def data(draw: random.Random, corpus: Sequence[bytes], most: int = 60_000) -> bytes:
    """Bytes made of some of the corpus, by lines, by values and by bytes."""
    made = draw.choice(corpus)
    for _ in range(draw.choice((1, 1, 2, 3, 4))):
        made = _data_step(draw, made, corpus)
    return made[:most]


def _data_step(draw: random.Random, held: bytes, corpus: Sequence[bytes]) -> bytes:
    kind = draw.randrange(8)
    at = draw.randint(0, len(held))
    to = min(len(held), at + draw.choice((1, 3, 20, 400)))
    nasty = draw.choice(NASTY).encode("utf-8", "surrogateescape" if draw.random() < 0.5 else "replace")
    if kind == 0:
        return held[:at] + held[to:]
    if kind == 1:
        return held[:to] + held[at:]
    if kind == 2:
        return held[:at] + nasty + held[to:]
    if kind == 3:
        return held[:at] + bytes([draw.randrange(256)]) + held[at + 1 :]
    lines = held.split(b"\n")
    place = draw.randrange(len(lines))
    if kind == 4:
        lines[place] = draw.choice(draw.choice(corpus).split(b"\n"))
    elif kind == 5:
        lines.insert(place, draw.choice(lines))
    else:
        key, mark, _ = lines[place].partition(b"=" if b"=" in lines[place] else b",")
        lines[place] = key + mark + (nasty if kind == 6 else _value(draw))
    return b"\n".join(lines)


def _value(draw: random.Random) -> bytes:
    """A value of another kind than belongs there."""
    value = draw.choice((
        0, -1, 1e308, 10**18, 10**30, "", "x", "don't know", [], [[]], ["x"] * 40, {}, {"a": {"b": 1}}, True, "2026-02-29", 12.5, "1" * 300,
        draw.choice(NASTY),
    ))  # fmt: skip
    if isinstance(value, dict):
        return b" { a = { b = 1 } }" if value else b" {}"
    return b" " + json.dumps(value).encode("utf-8", "replace")
