"""How far words stand out from their ground: the contrast of colours as a published formula gives it."""

from __future__ import annotations

import re

# For words, success criterion 1.4.3 of the Web Content Accessibility Guidelines 2.1 (W3C), 2018.
LEAST = 4.5


def palettes(style: str) -> list[dict[str, str]]:
    """The named colours of each `:root` of a style sheet, as #rrggbb."""
    return [
        {
            name: value if len(value) == 7 else "#" + "".join(c * 2 for c in value[1:])
            for name, value in re.findall(r"--([a-z]+): (#[0-9a-f]+)", colours)
        }
        for colours in re.findall(r":root \{([^}]*)\}", style)
    ]


def contrast(one: str, other: str) -> float:
    """The ratio of two colours, from 1 to 21."""
    high, low = sorted((_light(one), _light(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def _light(colour: str) -> float:
    # Relative luminance, as the same guidelines define it.
    parts = [int(colour[n : n + 2], 16) / 255 for n in (1, 3, 5)]
    linear = [part / 12.92 if part <= 0.03928 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]
