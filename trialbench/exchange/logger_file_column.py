"""A column of cells that is kept in parts; cells that were plain numbers stay in their lines."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Sequence
from itertools import accumulate, chain, islice
from typing import overload


class InLines(Sequence[str]):
    """The cells at one place of these lines, cut out again when they are asked for."""

    __slots__ = ("_delimiter", "_lines", "_place")

    def __init__(self, lines: Sequence[str], delimiter: str, place: int) -> None:
        self._lines, self._delimiter, self._place = lines, delimiter, place

    def __len__(self) -> int:
        return len(self._lines)

    @overload
    def __getitem__(self, which: int) -> str: ...
    @overload
    def __getitem__(self, which: slice) -> list[str]: ...
    def __getitem__(self, which: int | slice) -> str | list[str]:
        if isinstance(which, slice):
            return [line.split(self._delimiter)[self._place] for line in self._lines[which]]
        return self._lines[which].split(self._delimiter)[self._place]


class Column(Sequence[str]):
    """Parts one after the other, from `start` to `stop`. A plain slice is a view of the same."""

    __slots__ = ("_ends", "_parts", "_start", "_stop")

    def __init__(
        self, parts: Sequence[Sequence[str]], start: int = 0, stop: int | None = None
    ) -> None:
        self._parts = parts
        self._ends = list(accumulate(map(len, parts)))
        whole = self._ends[-1] if self._ends else 0
        self._start, self._stop = start, whole if stop is None else stop

    def __len__(self) -> int:
        return self._stop - self._start

    @overload
    def __getitem__(self, which: int) -> str: ...
    @overload
    def __getitem__(self, which: slice) -> Sequence[str]: ...
    def __getitem__(self, which: int | slice) -> str | Sequence[str]:
        if isinstance(which, slice):
            places = range(len(self))[which]
            if places.step != 1:
                return [self[place] for place in places]
            begin = self._start + places.start
            return Column(self._parts, begin, begin + len(places))
        place = self._start + range(len(self))[which]
        part = bisect_right(self._ends, place)
        return self._parts[part][place - (self._ends[part - 1] if part else 0)]

    def __iter__(self) -> Iterator[str]:
        return islice(chain.from_iterable(self._parts), self._start, self._stop)
