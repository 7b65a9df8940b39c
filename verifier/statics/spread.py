"""Distributed loads: where they lie, and what of them acts on a piece of a body."""

from collections.abc import Callable
from typing import Any

from verifier.structure.model import Force, Load
from verifier.structure.values import Value

Spread = tuple[float, float, float, float, float, float]
"""Ends and intensities (x1, y1, w1, x2, y2, w2), the intensities per length between the ends."""


def resultant(spread: Spread) -> tuple[float, tuple[float, float]]:
    """Return the size of a linearly varying load and the point through which it acts.

    Where the two ends cancel (size 0) the point is the middle.
    """
    x1, y1, w1, x2, y2, w2 = spread
    length = ((x2 - x1) ** 2 + (y2 - y1) ** 2) ** 0.5
    total = (w1 + w2) / 2 * length
    share = (w1 + 2 * w2) / (3 * (w1 + w2)) if w1 + w2 else 0.5
    return total, (x1 + share * (x2 - x1), y1 + share * (y2 - y1))


def between(spread: Spread, start: float, end: float) -> Spread:
    """Return the part of a load between two shares (0 to 1) of the way along it."""
    x1, y1, w1, x2, y2, w2 = spread

    def along(first: float, last: float, share: float) -> float:
        return first + share * (last - first)

    return (
        along(x1, x2, start), along(y1, y2, start), along(w1, w2, start),
        along(x1, x2, end), along(y1, y2, end), along(w1, w2, end),
    )  # fmt: skip


def shared_spread(load: Load, number: Callable[[Value], float]) -> Spread | None:
    """Return where a load lies that is shared between a two-force member's joints, else None."""
    if hasattr(load, "spread") or not hasattr(load, "first_at"):
        return None
    shape: Any = load
    (x1, y1), (x2, y2) = shape.first_at, shape.last_at
    plan = number(shape.on_plan)
    w1, w2 = number(shape.first) * plan, number(shape.last) * plan
    return number(x1), number(y1), w1, number(x2), number(y2), w2


def spread_of(load: Load, given: Force, number: Callable[[Value], float]) -> Spread | None:
    """Return where the part of a load that `given` stands for lies, None if it is not spread.

    A load kind that is spread offers `spread()`: (x1, y1, w1, x2, y2, w2) as `Value`s. It has two
    resultants where its sense changes on the way: one for each of its two triangles.
    """
    lies = getattr(load, "spread", None)
    if lies is None:
        return None
    x1, y1, w1, x2, y2, w2 = (number(part) for part in lies())
    parts = load.resultants()
    if len(parts) == 1:
        return x1, y1, w1, x2, y2, w2
    return (x1, y1, w1, x2, y2, 0.0) if given == parts[0] else (x1, y1, 0.0, x2, y2, w2)
