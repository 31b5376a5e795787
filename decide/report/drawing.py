"""Shapes and words on a canvas, drawn as one SVG element that needs no colour, no script and no font."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Literal

from markupsafe import Markup
from rich.cells import cell_len

Anchor = Literal["start", "middle", "end"]
# Greys and one green, each at least 4.5 to 1 against white, so that all reads on a grey printer too.
INK: Final = "#1a1a1a"
SOFT: Final = "#595959"
GREEN: Final = "#1b5e20"
WHITE: Final = "#ffffff"
GRID: Final = "#c4c4c4"
# The least size of words, in the units of the canvas, which is drawn no smaller than it is.
LEAST: Final = 11.0


@dataclass(frozen=True)
class Text:
    """Words that stand on `y`."""

    x: float
    y: float
    said: str
    size: float
    fill: str
    anchor: Anchor
    strong: bool
    kind: Literal["text"] = "text"


@dataclass(frozen=True)
class Rect:
    """A rectangle."""

    x: float
    y: float
    width: float
    height: float
    fill: str
    edge: str
    kind: Literal["rect"] = "rect"


@dataclass(frozen=True)
class Path:
    """A line or a shape by its path."""

    d: str
    width: float
    ink: str
    dash: str
    fill: str
    kind: Literal["path"] = "path"


@dataclass(frozen=True)
class Pattern:
    """A fill that tells one kind of ground or day from another without colour.

    `lines` are paths on a square of `side`, drawn in `ink`.
    """

    name: str
    side: float
    lines: str
    ink: str
    width: float
    ground: str = WHITE


def wide(said: str, size: float) -> float:
    """About how wide words are in a sans-serif face; rather too much than too little."""
    return cell_len(said) * size * 0.56


class Canvas:
    """Shapes and words, one after another; `name` keeps its ids apart from those of other drawings.

    Words that are laid over the lines of a row are held back until `laid`.
    """

    def __init__(self, name: str, patterns: Sequence[Pattern] = ()) -> None:
        self.name, self.patterns = name, tuple(patterns)
        self.shapes: list[Text | Rect | Path] = []
        self._over: list[Text | Rect | Path] = []

    def fill(self, pattern: str) -> str:
        """The fill of a pattern of this drawing."""
        return f"url(#{self.name}-{pattern})"

    def words(
        self, x: float, y: float, said: str, size: float = LEAST, *, anchor: Anchor = "start",
        fill: str = INK, strong: bool = False,
    ) -> None:  # fmt: skip
        """Words that stand on `y`."""
        self.shapes.append(Text(round(x, 1), round(y, 1), said, size, fill, anchor, strong))

    def words_over(
        self, x: float, middle: float, said: str, anchor: Anchor = "start", ink: str = INK,
        ground: str = WHITE,
    ) -> None:  # fmt: skip
        """Words with a ground of their own, laid over all lines of the row."""
        size = wide(said, LEAST)
        left = {"start": x, "middle": x - size / 2, "end": x - size}[anchor]
        self._over.append(Rect(round(left - 2, 1), middle - 6, round(size + 4, 1), 12, ground, "none"))
        self._over.append(Text(round(x, 1), middle + 4, said, LEAST, ink, anchor, False))

    def box(self, x: float, y: float, width: float, height: float, fill: str, edge: str = "none") -> None:
        """A rectangle."""
        self.shapes.append(Rect(round(x, 1), round(y, 1), round(width, 1), round(height, 1), fill, edge))

    def path(self, d: str, width: float = 1, ink: str = INK, dash: str = "", fill: str = "none") -> None:
        """A line or a shape by its path."""
        self.shapes.append(Path(d, width, ink, dash, fill))

    def laid(self) -> None:
        """Lays the words over what is drawn so far."""
        self.shapes += self._over
        self._over = []

    def svg(self, width: float, height: float, title: str, said: str, shown: str = "") -> Markup:
        """The finished element with a title and a description for ears; `shown` is its class."""
        # The text for a screen makes canvases too, to count their words, and needs no templates.
        from decide.report.templating import environment

        template = environment().get_template("drawing.svg.jinja")
        size = {"width": width, "height": height}
        return Markup(template.render(canvas=self, title=title, said=said, shown=shown, **size))
