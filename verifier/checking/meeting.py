"""The point in which three forces meet, as a writer works out where it lies: y_O = 0.8/2.8."""

import math
import re
from itertools import product

from verifier.checking.figure import Figure
from verifier.checking.names import Known
from verifier.checking.quantity import Quantity
from verifier.notation.names import canonical
from verifier.notation.tree import Name
from verifier.statics.actions import Action, FreeBody

_HEIGHT = re.compile(r"(?P<axis>[xyzh])_?O")
_THREE = 4
"""The actions on such a body: a load, a force of known direction, and the two parts of a pin."""


def meeting_named(name: Name, figure: Figure) -> Known | None:
    """Return how far the point O lies where three forces on a body meet; None for other names.

    Its distance along x or y is measured from the pin, or from the sheet's own origin.
    """
    said = _HEIGHT.fullmatch(canonical(name.text))
    if said is None or "O" in figure.points:
        return None
    axis = 0 if said["axis"] == "x" else 1
    bodies = (figure.bodies.body(b.name, with_joints=True) for b in figure.structure.bodies)
    found = [met for body in bodies if (met := _meeting(body)) is not None]
    if len(found) != 1:
        return None
    point, pin = found[0]
    from_pin, plain = abs(point[axis] - pin[axis]), abs(point[axis])
    words = "the height of O" if axis else "the distance to O"
    parts = tuple(size for size in (from_pin, plain) if size)
    return Known(Quantity(from_pin), "length", words, parts)


def _meeting(body: FreeBody) -> tuple[tuple[float, float], tuple[float, float]] | None:
    """Return where a load meets the line of the one force of known direction, and the pin."""
    loads = [a for a in body.actions if a.value]
    free = [a for a in body.actions if a.value is None]
    pins = [(a, b) for a, b in product(free, free) if a.at == b.at and a.along < b.along]
    if len(body.actions) != _THREE or len(loads) != 1 or len(pins) != 1:
        return None
    directed = [a for a in free if a not in pins[0]]
    point = _crossing(loads[0], directed[0]) if len(directed) == 1 else None
    return (point, pins[0][0].at) if point is not None else None


def _crossing(one: Action, two: Action) -> tuple[float, float] | None:
    (ax, ay), (bx, by) = one.along, two.along
    turn = ax * by - ay * bx
    if math.isclose(turn, 0.0, abs_tol=1e-9):
        return None
    share = ((two.at[0] - one.at[0]) * by - (two.at[1] - one.at[1]) * bx) / turn
    return (one.at[0] + share * ax, one.at[1] + share * ay)
