"""An even load taken over another stretch of its line: its length with its own middle."""

import math
from collections.abc import Iterator
from itertools import combinations

from verifier.checking.figure import Figure

Ends = tuple[float, float, float, float, float, float]
_NOTHING = 1e-9


def stretches(
    figure: Figure, ends: Ends, along: tuple[float, float], about: tuple[float, float]
) -> Iterator[tuple[float, float]]:
    """Yield the length of each other stretch between joints, and the arm of its middle.

    `ends` are those of the load, `along` the direction in which it acts, `about` the point.
    """
    x1, y1, _, x2, y2, _ = ends
    whole = math.dist((x1, y1), (x2, y2))
    on_line = [
        (x, y)
        for x, y in figure.points.values()
        if abs((x - x1) * (y2 - y1) - (y - y1) * (x2 - x1)) <= _NOTHING * whole * whole
    ]
    for one, other in combinations(on_line, 2):
        length = math.dist(one, other)
        across = ((one[0] + other[0]) / 2 - about[0], (one[1] + other[1]) / 2 - about[1])
        arm = abs(across[0] * along[1] - across[1] * along[0])
        if arm > _NOTHING and abs(length - whole) > _NOTHING * whole:
            yield length, arm
