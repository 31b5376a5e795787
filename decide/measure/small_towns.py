"""Finds towns that the climate table does not list: by name, where they lie and how large they are."""

import collections
import functools
import io
import pathlib
import typing
from collections.abc import Mapping

import numpy as np
import numpy.typing as npt

from decide.measure.climate import Floats, Ints
from decide.measure.place_names import Lines

FILE = "small_towns.npz"


class SmallTowns:
    """The table of small towns of one folder; it is read when first needed, and empty where there is none.

    A small town has no climate cell of its own: its climate is read at its latitude and longitude.
    """

    def __init__(self, folder: str | pathlib.Path) -> None:
        self._file = pathlib.Path(folder) / FILE

    @functools.cached_property
    def _table(self) -> Mapping[str, npt.NDArray[np.generic]]:
        """The arrays of the table; each is read when it is asked for."""
        if not self._file.is_file():
            return collections.defaultdict(lambda: np.zeros(0, np.uint8))
        return typing.cast(
            np.lib.npyio.NpzFile, np.load(io.BytesIO(self._file.read_bytes()), allow_pickle=False)
        )

    @functools.cached_property
    def rows(self) -> Lines:
        """Name, country code and region code of each town, joined by bars."""
        return self._lines_of("text")

    @functools.cached_property
    def _folded(self) -> tuple[Lines, Ints]:
        return self._lines_of("folded_text"), self._rows_of("folded_row")

    @functools.cached_property
    def _other(self) -> tuple[Lines, Ints]:
        return self._lines_of("other_text"), self._rows_of("other_row")

    def _lines_of(self, name: str) -> Lines:
        return Lines(b"\n" + self._table[name].tobytes() + b"\n")

    def _rows_of(self, name: str) -> Ints:
        return np.cumsum(self._table[name].astype(np.int64))

    @functools.cached_property
    def spots(self) -> tuple[Floats, Floats, Floats]:
        """Latitude, longitude and rounded population of each town."""
        latitude, longitude, people = (
            self._table[name].astype(np.int64) for name in ("latitude", "longitude", "pop")
        )
        return latitude / 100.0, longitude / 100.0, 1000 * 2.0 ** (people / 20.0)

    def named(self, word: str) -> list[int]:
        """Rows of the towns with a folded name; where there are none, of those that others call so."""
        return self._found(word, b"|", b"\n") or self._called(word)

    def longer(self, word: str) -> list[int]:
        """Rows of the towns whose folded name goes on after a word."""
        return self._found(word, b" ", b" ")

    def _found(self, word: str, end: bytes, folded_end: bytes) -> list[int]:
        if not word or "|" in word:
            return []
        folded, row = self._folded
        start = word.encode()
        same = self.rows.small.beginning(start + end)
        return [*same, *(int(row[i]) for i in folded.beginning(start + folded_end))]

    def _called(self, word: str) -> list[int]:
        other, row = self._other
        return [int(row[i]) for i in other.beginning(b"%b\n" % word.encode())] if word else []
