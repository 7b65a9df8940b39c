"""Forces and couples on a free body, and what they put into its sums."""

from __future__ import annotations

import math
from dataclasses import dataclass

XY = tuple[float, float]


def fmt(x: float) -> str:
    """A sheet's number, at most four decimals, no trailing zeros."""
    text = f"{x:.4f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


@dataclass(frozen=True)
class Slope:
    """The line of a force: legs (dx, dy) where a figure shows them, else the angle itself."""

    deg: float  # direction, anticlockwise from +x
    legs: XY | None = None  # |dx|, |dy|

    @property
    def axis(self) -> bool:
        return (
            min(abs(math.cos(math.radians(self.deg))), abs(math.sin(math.radians(self.deg)))) < 1e-9
        )

    @property
    def acute(self) -> float:
        """Angle with the horizontal, 0 to 90 degrees."""
        d = math.radians(self.deg)
        return math.degrees(math.atan2(abs(math.sin(d)), abs(math.cos(d))))


@dataclass(frozen=True)
class Act:
    """One action on a free body: a force at a point along a direction, or a couple (slope None)."""

    key: str  # item of design §3, or "load …" / "couple …" / "dist …"
    kind: str  # load react member pin couple dist moment inner
    point: XY
    slope: Slope | None
    value: float | None = None  # a given value (magnitude along slope; a couple anticlockwise)
    parts: tuple[float, ...] = ()  # a distributed load's (w, length) or (½, w, length)
    body: str = ""
    turn: int = 1  # a couple drawn clockwise by convention: -1


@dataclass(frozen=True)
class Dist:
    a: str
    b: str
    w1: float
    w2: float
    deg: float = 270.0
    on_plan: bool = False


def direction_words(deg: float) -> str:
    named = {0: "right", 90: "up", 180: "left", 270: "down"}
    return named.get(round(deg) if abs(deg - round(deg)) < 1e-9 else -1, f"at {fmt(deg)}")


def effect(a: Act, kind: str, at: XY, turned: int = 1) -> float:
    """What a unit of the action puts into a sum along x, along y, or about a point (ccw)."""
    if a.slope is None:
        return float(turned * a.turn) if kind == "M" else 0.0
    d = math.radians(a.slope.deg)
    ux, uy = math.cos(d) * turned, math.sin(d) * turned
    ux, uy = (0.0 if abs(ux) < 1e-12 else ux), (0.0 if abs(uy) < 1e-12 else uy)
    if kind == "x":
        return ux
    if kind == "y":
        return uy
    v = (a.point[0] - at[0]) * uy - (a.point[1] - at[1]) * ux
    return 0.0 if abs(v) < 1e-9 else v
