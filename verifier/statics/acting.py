"""Touches and loads of a layout as actions: floats, in the senses of `actions.py`."""

import math
from collections.abc import Sequence
from dataclasses import replace

from verifier.statics.actions import Action
from verifier.statics.layout import Known, Layout, Touch
from verifier.statics.spread import resultant, shared_spread, spread_of
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
        things: tuple[Touch | Known, ...] = (*layout.touches, *layout.knowns)
        self.sources: dict[int, tuple[Touch | Known, ...]] = {
            id(self.of(thing)): (thing,) for thing in things
        }
        self._wholes: dict[int, Action | None] = {}

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

    def loads(self, knowns: Sequence[Known]) -> list[Action]:
        """Return known loads as actions; two shares of one member's load become that load."""
        by_load: dict[int, list[Known]] = {}
        for known in knowns:
            by_load.setdefault(id(known.load), []).append(known)
        actions = []
        for shares in by_load.values():
            whole = self._whole(shares) if len(shares) == 2 else None
            actions += [whole] if whole else [self.of(known) for known in shares]
        return actions

    def _whole(self, shares: list[Known]) -> Action | None:
        load = shares[0].load
        if id(load) not in self._wholes:
            made = None
            spread = shared_spread(load, self.number)
            if spread is not None and spread[2] * spread[5] >= 0:
                size, at = resultant(spread)
                label = str(getattr(load, "label", ""))
                made = replace(
                    self.of(shares[0]), item=label, label=label, at=at, value=size, joint="",
                    spread=spread,
                )  # fmt: skip
                self.sources[id(made)] = tuple(shares)
            self._wholes[id(load)] = made
        return self._wholes[id(load)]

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
