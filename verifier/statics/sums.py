"""An equilibrium sum of a free body written out as a person writes it."""

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from verifier.statics.actions import Action, FreeBody
from verifier.statics.equations import equation, moment
from verifier.statics.pieces import Cut
from verifier.statics.spread import Spread, resultant
from verifier.statics.wording import number, ratio, symbol

Point = tuple[float, float]
_AXES: dict[str, Point] = {"ΣF_x": (1.0, 0.0), "ΣF_y": (0.0, 1.0)}


@dataclass(frozen=True)
class Sum:
    """One sum of a free body: along `direction`, or moments about `about`; `name` is its label.

    `of` names the joint at the moment point, the item that a sum runs across, or the internal force
    that a sum of a piece gives; `cut` then tells how the piece was cut.
    """

    body: FreeBody
    name: str
    direction: Point = (0.0, 0.0)
    about: Point | None = None
    of: str = ""
    cut: Cut | None = None

    def terms(self) -> dict[str, float]:
        """Return the coefficient of each unknown item."""
        found = (
            equation(self.body, self.direction)
            if self.about is None
            else moment(self.body, self.about)
        )[0]
        largest = max((abs(part) for part in found.values()), default=0.0)
        return {item: part for item, part in found.items() if abs(part) > 1e-9 * largest}

    def text(self, known: Mapping[str, float]) -> str:
        """Return the sum as an equation; items in `known` are put in with their values."""
        unknown: list[tuple[int, str]] = []
        given: list[tuple[int, str]] = []
        for action in self.body.actions:
            value = action.value if action.value is not None else known.get(action.item)
            for sign, written in self._written(action, value):
                (unknown if value is None else given).append((sign, written))
        return joined([*unknown, *given]) + " = 0"

    def _written(self, action: Action, value: float | None) -> Iterator[tuple[int, str]]:
        if value == 0:
            return
        if action.spread is not None and value is not None:
            for size, at in _blocks(action.spread):
                yield from self._shares(action, at, size, 1)
            return
        size = symbol(action.item) if value is None else number(abs(value))
        yield from self._shares(
            action, action.at, size, -1 if value is not None and value < 0 else 1
        )

    def _shares(self, action: Action, at: Point, size: str, sign: int) -> Iterator[tuple[int, str]]:
        x, y = action.along
        if self.about is None:
            share = x * self.direction[0] + y * self.direction[1]
            if abs(share) > 1e-12:
                yield (
                    _signed(share, sign),
                    size + _component(share, _across(action, self.direction)),
                )
            return
        if action.turn:
            yield _signed(action.turn, sign), size
            return
        arm_x, arm_y = at[0] - self.about[0], at[1] - self.about[1]
        near = 1e-9 * (abs(arm_x) + abs(arm_y))
        if abs(arm_x * y - arm_y * x) <= near:
            return
        for part, arm, upright in ((y, arm_x, True), (-x, arm_y, False)):
            if abs(part) > 1e-12 and abs(arm) > near:
                yield (
                    _signed(part * arm, sign),
                    f"{size}{_component(part, upright)} ({number(abs(arm))})",
                )


def along_x(body: FreeBody) -> Sum:
    """Return the sum of horizontal forces."""
    return Sum(body, "ΣF_x", _AXES["ΣF_x"])


def along_y(body: FreeBody) -> Sum:
    """Return the sum of upright forces."""
    return Sum(body, "ΣF_y", _AXES["ΣF_y"])


def about(body: FreeBody, name: str, point: Point) -> Sum:
    """Return the moments about a point."""
    return Sum(body, f"ΣM_{name}" if name else f"ΣM about ({_pair(point)})", about=point, of=name)


def across(body: FreeBody, item: str, direction: Point) -> Sum:
    """Return the sum of forces across the line of an item."""
    return Sum(body, f"ΣF across {symbol(item)}", direction, of=item)


def joined(terms: list[tuple[int, str]]) -> str:
    """Return signed terms as a sum, '0' for none."""
    text = ""
    for sign, term in terms:
        if not text:
            text = term if sign > 0 else f"−{term}"
        else:
            text += f" + {term}" if sign > 0 else f" − {term}"
    return text or "0"


def _pair(point: Point) -> str:
    return f"{number(point[0])}, {number(point[1])}"


def _signed(share: float, sign: int) -> int:
    return sign if share > 0 else -sign


def _across(action: Action, direction: Point) -> bool | None:
    """Return whether a share along a direction is a sine of the action's slope, None for others."""
    if direction == (1.0, 0.0):
        return False
    return True if direction == (0.0, 1.0) else None


def _component(share: float, upright: bool | None) -> str:
    """Return the factor of a component: nothing, a fraction, or a sine or cosine of the slope."""
    size = abs(share)
    if abs(size - 1) < 1e-12:
        return ""
    simple = ratio(size)
    if simple:
        return f" ({simple})"
    if upright is None:
        return f" cos {number(math.degrees(math.acos(min(1.0, size))))}°"
    slope = math.degrees(math.asin(min(1.0, size)) if upright else math.acos(min(1.0, size)))
    return f" {'sin' if upright else 'cos'} {number(slope)}°"


def _blocks(spread: Spread) -> Iterator[tuple[str, Point]]:
    """Yield a load's resultant as written: a rectangle, a triangle, or one of each."""
    x1, y1, w1, x2, y2, w2 = spread
    length = number(math.hypot(x2 - x1, y2 - y1))
    low = min(w1, w2, key=abs)
    if low:
        yield f"{number(low)} ({length})", resultant((x1, y1, low, x2, y2, low))[1]
    if w1 != w2:
        rest = (x1, y1, w1 - low, x2, y2, w2 - low)
        yield f"½ ({number(max(rest[2], rest[5], key=abs))}) ({length})", resultant(rest)[1]
