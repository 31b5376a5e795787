"""Finds towns that the climate table does not list: by name, where they lie and how large they are."""

import functools
import pathlib

import numpy as np

from decide.measure.climate import Floats, Ints
from decide.measure.packed import Packed
from decide.measure.place_names import lines

FILE = "small_towns.npz"


class SmallTowns:
    """The table of small towns of one folder; it is read when first needed, and empty where there is none.

    A small town has no climate cell of its own: its climate is read at its latitude and longitude.
    """

    def __init__(self, folder: str | pathlib.Path) -> None:
        self._there = (pathlib.Path(folder) / FILE).is_file()
        self._packed = Packed(folder)

    @functools.cached_property
    def _table(self) -> tuple[bytes, bytes, Ints, Floats, Floats, Floats]:
        if not self._there:
            nothing = np.zeros(0)
            return b"\n", b"\n", np.zeros(0, np.int64), nothing, nothing, nothing
        table = self._packed.read(FILE)
        return (
            b"\n" + table["text"].tobytes() + b"\n",
            b"\n" + table["folded_text"].tobytes() + b"\n",
            np.cumsum(table["folded_row"].astype(np.int64)),
            table["latitude"].astype(np.int64) / 100.0,
            table["longitude"].astype(np.int64) / 100.0,
            1000 * 2.0 ** (table["pop"].astype(np.int64) / 20.0),
        )

    @functools.cached_property
    def rows(self) -> list[str]:
        """Name, country code and region code of each town, joined by bars."""
        return self._table[0].decode("utf-8").split("\n")[1:-1]

    @functools.cached_property
    def _small(self) -> bytes:
        return self._table[0].lower()

    @property
    def spots(self) -> tuple[Floats, Floats, Floats]:
        """Latitude, longitude and rounded population of each town."""
        return self._table[3:]

    def named(self, word: str) -> list[int]:
        """Rows of the towns with a folded name."""
        return self._found(word, b"|", b"\n")

    def longer(self, word: str) -> list[int]:
        """Rows of the towns whose folded name goes on after a word."""
        return self._found(word, b" ", b" ")

    def _found(self, word: str, end: bytes, folded_end: bytes) -> list[int]:
        if not word or "|" in word:
            return []
        _, folded, row, *_ = self._table
        start = b"\n%b" % word.encode()
        return [*lines(self._small, start + end), *(int(row[i]) for i in lines(folded, start + folded_end))]
