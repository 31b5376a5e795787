"""Rows that are made when they are first read: hundreds of options are judged, and few are looked at."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Sequence
from typing import Any, Final, Generic, TypeVar, overload

T = TypeVar("T")
U = TypeVar("U")


class Made(Sequence[T], Generic[T]):
    """Rows under their codes, in order, each made once, when it is first read; else a list like any other.

    Pickled or copied deeply it is a plain list of all its rows.
    """

    def __init__(self, codes: Iterable[str], make: Callable[[str], T]) -> None:
        self._place = {code: place for place, code in enumerate(codes)}
        self.codes: Final = tuple(self._place)
        self._make = make
        self._rows: dict[str, T] = {}

    def row(self, code: str) -> T | None:
        """The row of a code, without making others; None where there is none."""
        if code not in self._place:
            return None
        if code not in self._rows:
            self._rows[code] = self._make(code)
        return self._rows[code]

    def of(self, codes: Collection[str]) -> list[T]:
        """The rows of some codes, in the order of all; codes that have no row are left out."""
        known = sorted({code for code in codes if code in self._place}, key=self._place.__getitem__)
        return [self._known(code) for code in known]

    def changed(self, change: Callable[[T], U]) -> Made[U]:
        """The same rows, each changed when it is first read."""
        return Made(self.codes, lambda code: change(self._known(code)))

    def _known(self, code: str) -> T:
        row = self.row(code)
        assert row is not None
        return row

    def __len__(self) -> int:
        return len(self.codes)

    @overload
    def __getitem__(self, at: int) -> T: ...
    @overload
    def __getitem__(self, at: slice) -> list[T]: ...
    def __getitem__(self, at: int | slice) -> T | list[T]:
        if isinstance(at, slice):
            return [self._known(code) for code in self.codes[at]]
        return self._known(self.codes[at])

    def __eq__(self, other: object) -> bool:
        return isinstance(other, list | Made) and list(self) == list(other)

    __hash__ = None  # type: ignore[assignment]  # as a list

    def __repr__(self) -> str:
        return repr(list(self))

    def __reduce__(self) -> tuple[Any, ...]:
        return list, (list(self),)
