"""Whose angle a wrong `arctan(0.9/0.45)` may be: that of the bar with one of its two sides."""

import math
from collections.abc import Iterator

from verifier.checking.derived import same
from verifier.checking.figure import Figure
from verifier.notation.tree import Div, Expr, Func, Num, walk

_SAME = 1e-6
_SIDES = {"atan": ("rise", "run"), "asin": ("rise", "length"), "acos": ("run", "length")}


def by_sides(side: Expr, figure: Figure) -> list[float]:
    """Return the angles, in degrees, of bars that have one side of the triangle as written."""
    if not isinstance(side, Func) or side.name not in _SIDES or not isinstance(side.arg, Div):
        return []
    top, bottom = (_number(part) for part in (side.arg.top, side.arg.bottom))
    sizes = (1.0, *figure.structure.letters.values())
    above, below = _SIDES[side.name]
    found = []
    for degrees, sides in _triangles(figure):
        for size in sizes:
            held = [top and same(top * size, sides[above], _SAME)]
            held.append(bottom and same(bottom * size, sides[below], _SAME))
            if any(held):
                found.append(degrees)
    return found


def whose_angle(degrees: float, figure: Figure) -> str:
    """Return in brackets whose angle it is, '' where nothing or more than one thing has it."""
    words = {datum.words for datum in figure.angles if same(datum.value, degrees, _SAME)}
    return f" ({words.pop()})" if len(words) == 1 else ""


def _number(part: Expr) -> float | None:
    numbers = [abs(node.value) for node in walk(part) if isinstance(node, Num)]
    return numbers[0] if len(numbers) == 1 else None


def _triangles(figure: Figure) -> Iterator[tuple[float, dict[str, float]]]:
    """Yield each inclined bar's angle to the horizontal, and to the vertical, with its triangle."""
    for member in figure.structure.members:
        (x1, y1), (x2, y2) = figure.points[member.start], figure.points[member.end]
        across, up, long = abs(x2 - x1), abs(y2 - y1), math.dist((x1, y1), (x2, y2))
        if across and up:
            rise = math.degrees(math.atan2(up, across))
            yield rise, {"rise": up, "run": across, "length": long}
            yield 90 - rise, {"rise": across, "run": up, "length": long}
