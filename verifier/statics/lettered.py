"""Steps of a sheet with letters: the sums in exact symbols."""

from collections.abc import Callable, Iterator, Mapping
from typing import Any

import sympy

from verifier.statics.exact import tidy
from verifier.statics.exactcuts import (
    Shares,
    direction_of,
    known_shares,
    outward,
    piece_shares,
    touch_shares,
)
from verifier.statics.freebodies import FreeBodies
from verifier.statics.layout import Known, Touch
from verifier.statics.solution import Step
from verifier.statics.sums import Sum, joined
from verifier.statics.wording import expression, symbol

Vector = tuple[Any, Any]


class Lettered:
    """Writes sums with every unknown under its letter; `exact` gives an item's expression."""

    def __init__(self, bodies: FreeBodies, exact: Callable[[str], Any]) -> None:
        self.bodies = bodies
        self.exact = exact

    def step(self, one: Sum, known: Mapping[str, float], gives: tuple[str, ...]) -> Step:
        """Return a sum as a step that gives some items."""
        terms = []
        for item, share in self._shares(one):
            plain = tidy(share)
            if plain == 0:
                continue
            sign = -1 if plain.could_extract_minus_sign() else 1
            size = tidy(sign * plain)
            head = sympy.Symbol(symbol(item)) if item else sympy.Integer(1)
            terms.append((not item, sign, expression(head * size)))
        terms.sort(key=lambda term: term[0])
        text = joined([(sign, written) for _, sign, written in terms]) + " = 0"
        results = tuple(f"{symbol(item)} = {expression(self.exact(item))}" for item in gives)
        return Step(one.body.name, one.name, text, results)

    def _shares(self, one: Sum) -> Iterator[tuple[str, Any]]:
        """Yield each term of a sum: an unknown's item with its factor, or '' with a load."""
        if one.cut is not None:
            yield from self._of_piece(one)
            return
        origin = self._origin(one.of if one.about is not None else "")
        for action in one.body.actions:
            things = self.bodies.acting.sources.get(id(action))
            if things is None:
                x, y = (sympy.Integer(int(part)) for part in action.along)
                yield action.item, self._along(one, (x, y, sympy.Integer(0)))
                continue
            shares = [self._along(one, self._of(thing, origin)) for thing in things]
            yield "" if action.value is not None else action.item, sympy.Add(*shares)

    def _of(self, thing: Touch | Known, origin: Vector) -> Shares:
        if isinstance(thing, Touch):
            return touch_shares(self.bodies, thing, origin)
        return known_shares(thing, origin)

    def _along(self, one: Sum, shares: Shares) -> Any:
        x, y, turn = shares
        if one.about is not None:
            return turn
        if one.direction == (1.0, 0.0):
            return x
        if one.direction == (0.0, 1.0):
            return y
        touch = next(t for t in self.bodies.layout.touches if t.item == one.of)
        across, up = direction_of(self.bodies, touch)
        return y * across - x * up

    def _of_piece(self, one: Sum) -> Iterator[tuple[str, Any]]:
        assert one.cut is not None
        origin = self._origin(one.cut.said)
        n = outward(self.bodies, one.cut)
        kind = one.of.partition(" ")[0]
        against = one.name in ("ΣF_x", "ΣF_y") and sum(_facing(one)) < 0
        sign = -1 if against else 1
        for item, (x, y, turn) in piece_shares(self.bodies, one.cut, origin):
            match kind:
                case "axial":
                    yield item, sign * (x * n[0] + y * n[1])
                case "shear":
                    yield item, sign * (x * n[1] - y * n[0])
                case _:
                    yield item, turn
        yield one.of, sympy.Integer(int(one.cut.turn) if kind == "moment" else sign)

    def _origin(self, joint: str) -> Vector:
        if not joint:
            return sympy.Integer(0), sympy.Integer(0)
        place = self.bodies.structure.joints[joint]
        return place.x.exact(), place.y.exact()


def _facing(one: Sum) -> tuple[float, float]:
    """Return the positive sense of the internal force that a sum of a piece gives."""
    return next(action.along for action in one.body.actions if action.item == one.of)
