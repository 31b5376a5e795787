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
    def _table(self) -> tuple[tuple[bytes, ...], tuple[Ints, Ints], Floats, Floats, Floats]:
        if not self._there:
            nothing = np.zeros(0)
            none = np.zeros(0, np.int64)
            return (b"\n", b"\n", b"\n"), (none, none), nothing, nothing, nothing
        table = self._packed.read(FILE)
        return (
            tuple(b"\n" + table[name].tobytes() + b"\n" for name in ("text", "folded_text", "other_text")),
            (
                np.cumsum(table["folded_row"].astype(np.int64)),
                np.cumsum(table["other_row"].astype(np.int64)),
            ),
            table["latitude"].astype(np.int64) / 100.0,
            table["longitude"].astype(np.int64) / 100.0,
            1000 * 2.0 ** (table["pop"].astype(np.int64) / 20.0),
        )

    @functools.cached_property
    def rows(self) -> list[str]:
        """Name, country code and region code of each town, joined by bars."""
        return self._table[0][0].decode("utf-8").split("\n")[1:-1]

    @functools.cached_property
    def _small(self) -> bytes:
        return self._table[0][0].lower()

    @property
    def spots(self) -> tuple[Floats, Floats, Floats]:
        """Latitude, longitude and rounded population of each town."""
        return self._table[2:]

    def named(self, word: str) -> list[int]:
        """Rows of the towns with a folded name; where there are none, of those that others call so."""
        return self._found(word, b"|", b"\n") or self._called(word)

    def longer(self, word: str) -> list[int]:
        """Rows of the towns whose folded name goes on after a word."""
        return self._found(word, b" ", b" ")

    def _found(self, word: str, end: bytes, folded_end: bytes) -> list[int]:
        if not word or "|" in word:
            return []
        (_, folded, _), (row, _), *_ = self._table
        start = b"\n%b" % word.encode()
        return [*lines(self._small, start + end), *(int(row[i]) for i in lines(folded, start + folded_end))]

    def _called(self, word: str) -> list[int]:
        (_, _, other), (_, row), *_ = self._table
        return [int(row[i]) for i in lines(other, b"\n%b\n" % word.encode())] if word else []
