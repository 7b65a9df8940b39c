"""Text that remembers where its parts lie, so that the truth of a plant has exact columns."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

Mark = tuple[str, int, int]


class T:
    """A piece of text with named marks `(name, start, end)`; adding shifts the marks."""

    __slots__ = ("marks", "s")

    def __init__(self, s: str = "", marks: tuple[Mark, ...] = ()) -> None:
        self.s = s
        self.marks = marks

    def __add__(self, other: T | str) -> T:
        if isinstance(other, str):
            return T(self.s + other, self.marks)
        n = len(self.s)
        moved = tuple((m, a + n, b + n) for m, a, b in other.marks)
        return T(self.s + other.s, self.marks + moved)

    def __radd__(self, other: str) -> T:
        return T(other) + self

    def __bool__(self) -> bool:
        return bool(self.s)

    def tag(self, *names: str) -> T:
        """Mark the whole piece."""
        return T(self.s, self.marks + tuple((n, 0, len(self.s)) for n in names if n))

    @staticmethod
    def join(sep: str, parts: Iterable[T | str]) -> T:
        out: T | None = None
        for part in parts:
            piece = T(part) if isinstance(part, str) else part
            out = piece if out is None else out + sep + piece
        return out if out is not None else T()


@dataclass(frozen=True)
class Place:
    """A line from 1, columns from 0, end excluded."""

    line: int
    start: int
    end: int


def places(doc: T, name: str) -> list[Place]:
    """Where the marks of that name lie in a text of several lines, a place for every line."""
    starts = [0]
    for k, char in enumerate(doc.s):
        if char == "\n":
            starts.append(k + 1)
    found = []
    for mark, a, b in doc.marks:
        if mark != name:
            continue
        for number, begin in enumerate(starts, 1):
            stop = starts[number] - 1 if number < len(starts) else len(doc.s)
            if begin <= b and a < stop and max(a, begin) < min(b, stop):
                found.append(Place(number, max(a, begin) - begin, min(b, stop) - begin))
    return found
