"""The equilibrium equations of every part as sparse rows, over whatever numbers are asked for."""

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from verifier.statics.elimination import Row
from verifier.statics.layout import Layout, Touch
from verifier.structure.model import Couple
from verifier.structure.values import Value, value

Key = tuple[str, str]
"""An equation: a part and 'x', 'y' or 'turn' (moments about the part's `centre`)."""


@dataclass(frozen=True)
class System:
    """Rows of `Σ coefficient · unknown`, one for each of `keys`, over the unknowns `items`.

    An item's value is its unknown times its `scale`: exact work solves for a member's force over
    its length, so that the coefficients stay as simple as the coordinates.
    """

    items: tuple[str, ...]
    keys: tuple[Key, ...]
    rows: list[Row]
    centres: dict[str, str]

    @property
    def index(self) -> dict[str, int]:
        """The column of each item."""
        return {item: column for column, item in enumerate(self.items)}

    def copied(self) -> list[Row]:
        """Return the rows, free to be used up."""
        return [dict(row) for row in self.rows]


def assemble(layout: Layout, of: Callable[[Value], Any], unit: bool) -> System:
    """Return the system with coefficients made by `of` from the sheet's values.

    With `unit` members act along unit vectors (floats); without it along the plain difference of
    their joints' coordinates.
    """
    items = layout.items
    index = {item: column for column, item in enumerate(items)}
    places = {name: (of(j.x), of(j.y)) for name, j in layout.structure.joints.items()}
    centres = {body.name: body.points[0] for body in layout.structure.bodies}
    keys: list[Key] = []
    rows: list[Row] = []
    for part in layout.parts:
        centre = places[centres.get(part, part)]
        axes = ("x", "y", "turn") if part in layout.turning else ("x", "y")
        made: dict[str, Row] = {axis: {} for axis in axes}
        for touch in layout.by_part[part]:
            column = index[touch.item]
            for axis, coefficient in _coefficients(touch, places, centre, of, unit).items():
                if axis in made and coefficient:
                    made[axis][column] = made[axis].get(column, 0) + coefficient
        for axis, row in made.items():
            keys.append((part, axis))
            rows.append(row)
    return System(items, tuple(keys), rows, centres)


def _coefficients(
    touch: Touch, places: dict[str, Any], centre: Any, of: Callable[[Value], Any], unit: bool
) -> dict[str, Any]:
    if touch.axis == "turn":
        return {"turn": of(value(touch.sign))}
    here = places[touch.joint]
    x: Any
    y: Any
    if touch.reaction is not None:
        x, y = (of(part) for part in touch.reaction.direction)
    elif touch.axis:
        sign, none = of(value(touch.sign)), of(value(0))
        x, y = (sign, none) if touch.axis == "x" else (none, sign)
    else:
        there = places[touch.other]
        x, y = there[0] - here[0], there[1] - here[1]
        if unit:
            length = math.hypot(x, y) or 1.0
            x, y = x / length, y / length
    turn = (here[0] - centre[0]) * y - (here[1] - centre[1]) * x
    return {"x": x, "y": y, "turn": turn}


def push(layout: Layout, of: Callable[[Value], Any], system: System) -> dict[Key, Any]:
    """Return the known loads' share in each equation that has one, as `of` makes it."""
    joints = layout.structure.joints
    total: dict[Key, Any] = {}

    def add(key: Key, part: Any) -> None:
        total[key] = total[key] + part if key in total else part

    for known in layout.knowns:
        given = known.given
        if isinstance(given, Couple):
            add((known.part, "turn"), of(given.moment))
            continue
        size = of(given.size)
        x, y = (size * of(part) for part in given.direction)
        add((known.part, "x"), x)
        add((known.part, "y"), y)
        if known.part in system.centres:
            centre = joints[system.centres[known.part]]
            arm = (of(given.at[0] - centre.x), of(given.at[1] - centre.y))
            add((known.part, "turn"), arm[0] * y - arm[1] * x)
    return total
