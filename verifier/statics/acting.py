"""Touches and loads of a layout as actions: floats, in the senses of `actions.py`."""

import math

from verifier.statics.actions import Action
from verifier.statics.layout import Known, Layout, Touch
from verifier.statics.spread import spread_of
from verifier.structure.model import Couple
from verifier.structure.values import Value

Point = tuple[float, float]
_AXES: dict[str, Point] = {"x": (1.0, 0.0), "y": (0.0, 1.0)}
_DUST = 1e-15


class Acting:
    """Makes each action of a structure once."""

    def __init__(self, layout: Layout) -> None:
        self.letters = layout.structure.letters
        self.points: dict[str, Point] = {
            name: layout.structure.point(name) for name in layout.structure.joints
        }
        self.touches = {touch: self._touch(touch) for touch in layout.touches}
        self.knowns = {id(known): self._known(known) for known in layout.knowns}

    def number(self, value: Value) -> float:
        """Return a value of the sheet as a float, letters at their stand-ins."""
        return value.number(self.letters)

    def unit(self, direction: tuple[Value, Value]) -> Point:
        """Return a direction of the sheet as floats, without the dust of cos 90° and the like."""
        x, y = self.number(direction[0]), self.number(direction[1])
        return (0.0 if abs(x) < _DUST else x, 0.0 if abs(y) < _DUST else y)

    def of(self, thing: Touch | Known) -> Action:
        """Return the action of a touch or a known load."""
        return self.touches[thing] if isinstance(thing, Touch) else self.knowns[id(thing)]

    def _touch(self, touch: Touch) -> Action:
        here = self.points[touch.joint]
        turn = 0.0
        along: Point = (0.0, 0.0)
        if touch.reaction is not None:
            along = self.unit(touch.reaction.direction)
        elif touch.axis == "turn":
            turn = float(touch.sign)
        elif touch.axis:
            x, y = _AXES[touch.axis]
            along = (touch.sign * x + 0.0, touch.sign * y + 0.0)
        else:
            there = self.points[touch.other]
            length = math.dist(here, there) or 1.0
            along = ((there[0] - here[0]) / length, (there[1] - here[1]) / length)
        return Action(touch.item, touch.kind, here, along, turn, joint=touch.joint)

    def _known(self, known: Known) -> Action:
        given = known.given
        if isinstance(given, Couple):
            moment = self.number(given.moment)
            turn = -1.0 if moment < 0 else 1.0
            return Action(
                given.label, "couple", self.points[given.at], (0.0, 0.0), turn, abs(moment),
                given.label, given.at,
            )  # fmt: skip
        at = (self.number(given.at[0]), self.number(given.at[1]))
        return Action(
            given.label, "load", at, self.unit(given.direction), 0.0, self.number(given.size),
            given.label, known.joint, spread_of(known.load, given, self.number),
        )  # fmt: skip
