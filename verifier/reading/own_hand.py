"""A page is written in one hand: doubtful signs are held against those that the page shows surely.

Where two readings of a line differ in a sign, the ink is likelier to be what this hand draws so
elsewhere; less is told where the page has sure examples of one of the two alone. Shapes alone
count, as the network sees them before it has heard much of the line around them; what is written
elsewhere, and whether it is right, does not.

A sign's shape is taken to lie about a place of the hand's own, and that place about one that all
hands share (Ioffe, 'Probabilistic linear discriminant analysis', 2006): the more examples, the
more is known of the hand's own place.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from verifier.reading import index_level
from verifier.reading.hand_tokens import SPACE, Token, tokens
from verifier.reading.hand_views import Groups, Heard, Scored, Told, ordered
from verifier.reading.hand_weights import alike

_SURE = 0.75  # an example's sign
_SAME = 3  # columns within which two readings speak of the same ink
_BEHIND = 6.0  # nats by which a reading may fall behind and still be held against the page
# chosen on the fitting hands: the directions are no independent witnesses
_WEIGHT, _MOST = 0.08, 16.0
_ONE_SHOWN = 0.4  # of it where the page shows one of the two signs alone
Shape = NDArray[np.float64]
Place = tuple[int, Token, int]
"""A stream, a sign, and the column where it stands."""


@dataclass(frozen=True)
class Likeness:
    """How shapes are compared: along `turn` (seen, D), hands differ by `between` (D,), ink by 1.

    `usual` holds where a sign at a level lies in all hands together (D,).
    """

    turn: Shape
    between: Shape
    usual: dict[tuple[str, int], Shape]

    def told(self, shapes: NDArray[np.float32], token: Token, column: int) -> Shape | None:
        """Return where a sign in a column of the streams lies from its usual place."""
        usual = self.usual.get(kind_of(token))
        if usual is None:
            return None
        return np.asarray(between_columns(shapes, column) @ self.turn - usual, np.float64)

    def gain(self, shape: Shape, mean: Shape, count: float) -> float:
        """Return by how many nats a shape is likelier in a hand with such examples than in any."""
        known = self.between / (self.between + 1 / count)
        own = 1 + self.between * (1 - known)
        every = 1 + self.between
        nats = shape**2 / every - (shape - known * mean) ** 2 / own + np.log(every / own)
        return float(nats.sum() / 2)


def between_columns(shapes: NDArray[np.float32], column: int) -> Shape:
    """Return the shape (seen,) at a column of the streams, which are twice as fine."""
    at = min(max((column - 0.5) / 2, 0.0), len(shapes) - 1.0)
    left = min(int(at), max(0, len(shapes) - 2))
    right = min(left + 1, len(shapes) - 1)
    return np.asarray(shapes[left] + (at - left) * (shapes[right] - shapes[left]), np.float64)


@dataclass(frozen=True)
class Example:
    """A sure sign: its line, stream and column, how sure it is, and its shape (D,)."""

    line: int
    stream: int
    column: int
    sure: float
    shape: Shape


def settled(lines: Sequence[Heard]) -> list[list[Scored]]:
    """Return the readings of a page's lines, likeliest first, its own hand's shapes considered."""
    found = [ordered(line.groups) for line in lines]
    groups = [line.groups for line in lines]
    likeness = _likeness()
    page: dict[str, list[Example]] = {}
    for number, (line, own) in enumerate(zip(lines, found, strict=True)):
        for token, example in examples(likeness, line, own, number):
            page.setdefault(token.sign, []).append(example)
    for number, line in enumerate(lines):
        groups[number] = _held(likeness, page, number, line, found[number])
        if groups[number] is not line.groups:
            found[number] = ordered(groups[number])
    return index_level.settled(found, groups)


def examples(
    likeness: Likeness, line: Heard, found: Sequence[Scored], number: int = 0
) -> Iterator[tuple[Token, Example]]:
    """Yield the signs of a line that are read surely; `found` are its readings in order."""
    near = [one for one in found if one.score > found[0].score - _BEHIND]
    if not near:
        return
    shares = np.exp([one.score - found[0].score for one in near])
    shares /= shares.sum()
    by_numbers = {told.numbers: told for group in line.groups.values() for told in group}
    ways = [_signs(by_numbers[one.numbers]) for one in near]
    for place in ways[0]:
        stream, token, column = place
        same = [any(_agrees(place, other) for other in way) for way in ways]
        sure = float(shares @ same)
        shape = likeness.told(line.shapes, token, column) if sure > _SURE else None
        if shape is not None:
            yield token, Example(number, stream, column, sure, shape)


def _signs(told: Told) -> list[Place]:
    """Return the signs of a reading: stream, token and column."""
    return [
        (stream, token, column)
        for stream in (0, 1)
        for n, column in zip(told.numbers[stream], told.at[stream], strict=True)
        if (token := tokens(stream)[n]) is not None and token.sign != SPACE
    ]


def _agrees(place: Place, other: Place) -> bool:
    """Return whether another reading has the same sign there."""
    near = abs(place[2] - other[2]) <= _SAME
    return near and place[0] == other[0] and place[1].sign == other[1].sign


def _held(
    likeness: Likeness, page: dict[str, list[Example]], number: int, line: Heard,
    found: list[Scored],
) -> Groups:  # fmt: skip
    """Hold a line's readings against the page wherever they differ from its likeliest one."""
    if len(found) < 2 or found[1].score < found[0].score - _BEHIND:
        return line.groups
    every = [told for group in line.groups.values() for told in group]
    first = next(told for told in every if told.numbers == found[0].numbers)
    known: dict[Place, float | None] = {}

    def alone(stream: int, token: Token, column: int) -> float | None:
        key = stream, token, column
        if key not in known:
            known[key] = _gain(likeness, page, number, line, key)
        return known[key]

    def gained(told: Told) -> float:
        total = 0.0
        for stream, (own, at), (other, there) in changes(first, told):
            here, new = alone(stream, own, at), alone(stream, other, there)
            share = 1.0 if here is not None and new is not None else _ONE_SHOWN
            more = (new or 0.0) - (here or 0.0)
            total += _WEIGHT * share * min(max(more, -_MOST), _MOST)
        return total

    return {
        key: [replace(told, liked=told.liked + gained(told)) for told in group]
        for key, group in line.groups.items()
    }


def _gain(
    likeness: Likeness, page: dict[str, list[Example]], number: int, line: Heard,
    place: Place,
) -> float | None:  # fmt: skip
    """Return how much more a sign looks like the page's own examples of it; None without any."""
    stream, token, column = place
    shape = likeness.told(line.shapes, token, column)
    others = [
        one
        for one in page.get(token.sign, ())
        if one.line != number or one.stream != stream or abs(one.column - column) > _SAME
    ]
    if shape is None or not others:
        return None
    sure = np.array([one.sure for one in others])
    mean = sure @ np.array([one.shape for one in others]) / sure.sum()
    return likeness.gain(shape, mean, float(sure.sum()))


Put = tuple[Token, int]


def changes(first: Told, told: Told) -> list[tuple[int, Put, Put]]:
    """Return where a reading has other signs than the first: stream, sign and column of both.

    A stream in which one of them has more signs tells nothing.
    """
    out = []
    for stream in (0, 1):
        one, other = first.numbers[stream], told.numbers[stream]
        if one == other or len(one) != len(other):
            continue
        for k in range(len(one)):
            a, b = tokens(stream)[one[k]], tokens(stream)[other[k]]
            if a is not None and b is not None and a.sign != b.sign:
                out.append((stream, (a, first.at[stream][k]), (b, told.at[stream][k])))
    return out


def kind_of(token: Token) -> tuple[str, int]:
    """Return a sign and whether it stands on the line (0), low (1) or raised (2)."""
    return token.sign, token.level % 3


@lru_cache(maxsize=1)
def _likeness() -> Likeness:
    held = alike()
    kinds = zip(held["signs"].tolist(), held["levels"].tolist(), strict=True)
    places = held["usual"].astype(np.float64)
    return Likeness(
        held["turn"].astype(np.float64),
        held["between"].astype(np.float64),
        dict(zip(kinds, places, strict=True)),
    )
