"""How names of towns are compared: folded to one spelling, without what kind of place they name."""

import collections
import difflib
import functools
import re
import typing
import unicodedata
from collections.abc import Iterator, Sequence

import numpy as np
import numpy.typing as npt

# so many letters of a line are sorted by
_HEAD = 8
_MOST_LONGER = 3
_MOST_CLOSE = 6
_ALIKE = 0.75


_MARKS = re.compile("[\u0300-\u036f]+")


_LETTERS = {
    "æ": "ae", "œ": "oe", "ø": "o", "ð": "d", "đ": "d", "ħ": "h", "ı": "i", "ł": "l", "ə": "e", "þ": "th",
    ".": " ", "-": " ", "–": " ", "—": " ", "'": "", "’": "", "‘": "", "ʻ": "", "ʼ": "", "`": "", "´": "",
}  # fmt: skip


_LETTER = re.compile("[" + "".join(map(re.escape, _LETTERS)) + "]")


_SHORT = {"st": "saint", "ste": "sainte", "mt": "mount", "ft": "fort"}


_SHORTENED = re.compile(r"\b(st|ste|mt|ft) +(?=\w)")


_TOWN_WORDS = "city|town|village|borough|parish|municipality|township"


_AREA_WORDS = "district|county|state|province|region"


_WITH_KIND = re.compile(
    rf"(?:the )?(?:(?P<before>{_TOWN_WORDS}|{_AREA_WORDS}) of )?(?:the )?(?P<name>.+?)"
    rf"(?: (?P<after>{_TOWN_WORDS}|{_AREA_WORDS}))?"
)


def fold(text: str) -> str:
    """Text without accents, case, dots and doubled spaces, "St" written out, for comparing names."""
    plain = _MARKS.sub("", unicodedata.normalize("NFKD", text)).casefold()
    plain = " ".join(_LETTER.sub(lambda found: _LETTERS[found[0]], _MARKS.sub("", plain)).split())
    return _SHORTENED.sub(lambda found: _SHORT[found[1]] + " ", plain)


class Lines(Sequence[str]):
    """The lines of a text that begins and ends with a line break; a line is read when it is asked for, for
    of a hundred thousand a few are.
    """

    def __init__(self, text: bytes) -> None:
        self.text = text

    def __len__(self) -> int:
        return len(self._breaks) - 1

    @functools.cached_property
    def small(self) -> "Lines":
        """The same lines in small letters, those beyond ASCII as they are."""
        same = Lines(self.text.lower())
        same._breaks = self._breaks
        return same

    @functools.cached_property
    def _breaks(self) -> npt.NDArray[np.intp]:
        return np.flatnonzero(np.frombuffer(self.text, np.uint8) == ord("\n"))

    @functools.cached_property
    def _sorted(self) -> tuple[npt.NDArray[np.uint64], npt.NDArray[np.intp]]:
        """The first letters of the lines as numbers in their order, and the line of each."""
        letters = np.frombuffer(self.text + bytes(_HEAD), np.uint8)
        heads = np.lib.stride_tricks.sliding_window_view(letters, _HEAD)[self._breaks[:-1] + 1]
        keys = np.ascontiguousarray(heads).view(">u8").ravel().astype(np.uint64)
        order = np.argsort(keys)
        return keys[order], order

    def beginning(self, start: bytes) -> list[int]:
        """Numbers of the lines that begin so; a line break at the end of `start` ends the line there."""
        keys, order = self._sorted
        head = start[:_HEAD]
        least, most = (int.from_bytes(head.ljust(_HEAD, fill), "big") for fill in (b"\0", b"\xff"))
        first = np.searchsorted(keys, np.uint64(least), "left")
        last = np.searchsorted(keys, np.uint64(most), "right")
        may_be = np.sort(order[first:last]).tolist()
        return [n for n in may_be if self.text.startswith(start, self._breaks[n] + 1)]

    @typing.overload
    def __getitem__(self, at: int) -> str: ...
    @typing.overload
    def __getitem__(self, at: slice) -> list[str]: ...
    def __getitem__(self, at: int | slice) -> str | list[str]:
        if isinstance(at, slice):
            return [self[n] for n in range(len(self))[at]]
        n = range(len(self))[at]
        return self.text[self._breaks[n] + 1 : self._breaks[n + 1]].decode("utf-8")

    def __iter__(self) -> Iterator[str]:
        return iter(self.text.decode("utf-8").split("\n")[1:-1])


def without_kind(word: str) -> tuple[str, bool]:
    """A folded name without what kind of place it is, and whether that is an area: "city of york" is
    "york".
    """
    found = _WITH_KIND.fullmatch(word)
    if not found:
        return word, False
    return found["name"], any(
        kind in _AREA_WORDS.split("|") for kind in (found["before"], found["after"]) if kind
    )


class CloseNames:
    """Names to find near spellings in: of a hundred thousand only those are compared letter by letter that
    have enough letters in common.
    """

    def __init__(self, names: Sequence[str]) -> None:
        self._names = names
        self._letters = np.frombuffer("".join(f"{name}\n" for name in names).encode("utf-32-le"), np.uint32)
        ends = np.flatnonzero(self._letters == ord("\n"))
        self._starts = np.concatenate((np.zeros(1, np.int64), ends[:-1] + 1)) if len(ends) else ends
        self._lengths = ends - self._starts
        self._counts: dict[str, npt.NDArray[np.int16]] = {}

    def near(self, word: str) -> list[str]:
        """Names close to a folded word: first among those with its first letter, then among all of similar
        length.
        """
        if not word or not self._names:
            return []
        # No more than these letters can be in the same order in both.
        common = sum(np.minimum(self._count(letter), n) for letter, n in collections.Counter(word).items())
        enough = 2.0 * common / (self._lengths + len(word)) >= _ALIKE
        apart = np.abs(self._lengths - len(word))
        begins = self._letters[self._starts] == ord(word[0])
        for pool in (begins & (apart <= _MOST_LONGER), apart <= 1):
            names = {self._names[at] for at in np.flatnonzero(enough & pool).tolist()}
            got = difflib.get_close_matches(word, sorted(names), n=_MOST_CLOSE, cutoff=_ALIKE)
            if got:
                return got
        return []

    def _count(self, letter: str) -> npt.NDArray[np.int16]:
        """How often a letter stands in each name."""
        if letter not in self._counts:
            here = self._letters == ord(letter)
            self._counts[letter] = np.add.reduceat(here, self._starts, dtype=np.int16)
        return self._counts[letter]
