"""Signs set against what they belong to: brackets as high as what they hold, scripts at a base.

Units are capitals' heights, y down, as in `layout.py`.
"""

from random import Random

import numpy as np
from numpy.typing import NDArray

Stroke = NDArray[np.float32]
BRACKETS = "()[]|"
_CLOSING = {")": "(", "]": "[", "|": "|"}


def reach_of(strokes: list[Stroke]) -> tuple[float, float]:
    """Return the top and the foot of strokes."""
    rows = (strokes[0] if len(strokes) == 1 else np.concatenate(strokes))[:, 1]
    return float(rows.min()), float(rows.max())


def against(
    held: tuple[float, float], up: bool, share: float, base: float, size: float, rng: Random
) -> float:
    """Return the baseline of a script that is set against the reach of the sign before it.

    A power stands `share` of a sign's height above its foot, an index as far below it as on the
    line; at what is tall, as a fraction in brackets is, a power stands near the top. Both keep a
    little away from the line, without which nobody could read them.
    """
    top, low = held
    tall = max(low - top, 0.5 * size)
    if tall > 1.5 * size:
        over = rng.uniform(0.0, 0.45) * size
        return top + over if up else low - rng.uniform(-0.25, 0.1) * size
    if up:
        return min(low - share * tall, base - 0.3 * size)
    return max(low + share * size, base + min(share, 0.1) * size)


class Fitted:
    """Brackets of one row: stretched, once closed, to what stands between them."""

    def __init__(self, strokes: list[Stroke], rng: Random, chance: float) -> None:
        self.strokes, self.rng, self.chance = strokes, rng, chance
        self.open: list[tuple[str, int, int]] = []

    def seen(self, sign: str, start: int, size: float) -> bool:
        """Note a bracket, drawn from stroke `start` on; say whether a pair was stretched."""
        end = len(self.strokes)
        if self.open and self.open[-1][0] == _CLOSING.get(sign):
            _, first, last = self.open.pop()
            return self._stretched((first, last), (start, end), size)
        if sign in "([|":
            self.open.append((sign, start, end))
        return False

    def _stretched(self, one: tuple[int, int], two: tuple[int, int], size: float) -> bool:
        between = self.strokes[one[1] : two[0]]
        if not between:
            return False
        top, low = reach_of(between)
        if low - top < 1.35 * size or self.rng.random() > self.chance:
            return False
        for start, end in (one, two):
            high, foot = reach_of(self.strokes[start:end])
            goal = top + self.rng.uniform(-0.2, 0.25) * size
            tall = low + self.rng.uniform(-0.25, 0.2) * size - goal
            k = tall / max(foot - high, 0.2)
            for at in range(start, end):
                moved = self.strokes[at].copy()
                moved[:, 1] = goal + (moved[:, 1] - high) * k
                self.strokes[at] = moved
        return True
