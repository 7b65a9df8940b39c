"""Steps of a sheet with letters: the sums in exact symbols."""

from collections.abc import Callable, Iterator, Mapping
from typing import Any

import sympy

from verifier.statics.exact import TooInvolved, tidy
from verifier.statics.exactcuts import (
    Shares,
    known_shares,
    line_of,
    outward,
    piece_shares,
    raw_shares,
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
        for item, share, over in self._shares(one):
            plain = tidy(share)
            if plain == 0:
                continue
            sign = -1 if plain.could_extract_minus_sign() else 1
            size = sympy.factor_terms(sign * plain)
            head = sympy.Symbol(symbol(item)) if item else sympy.Integer(1)
            terms.append((not item, sign, expression(head * size / over)))
        terms.sort(key=lambda term: term[0])
        text = joined([(sign, written) for _, sign, written in terms]) + " = 0"
        results = tuple(f"{symbol(item)} = {self._result(item)}" for item in gives)
        return Step(one.body.name, one.name, text, results)

    def _result(self, item: str) -> str:
        try:
            return expression(self.exact(item))
        except TooInvolved as reason:
            return f"({reason})"

    def _shares(self, one: Sum) -> Iterator[tuple[str, Any, Any]]:
        """Yield each term of a sum: an unknown's item or '' for a load, its factor, a divisor.

        A member's length stays a divisor, so that no root gets among the factors.
        """
        if one.cut is not None:
            for item, share in self._of_piece(one):
                yield item, share, sympy.Integer(1)
            return
        origin = self._origin(one.of if one.about is not None else "")
        for action in one.body.actions:
            things = self.bodies.acting.sources.get(id(action))
            if things is None:
                x, y = (sympy.Integer(int(part)) for part in action.along)
                yield action.item, self._along(one, (x, y, sympy.Integer(0))), sympy.Integer(1)
            elif isinstance(things[0], Touch):
                raw, over = raw_shares(self.bodies, things[0], origin)
                yield action.item, self._along(one, raw), over
            else:
                shares = [
                    self._along(one, known_shares(thing, origin))
                    for thing in things
                    if isinstance(thing, Known)
                ]
                yield "", sympy.Add(*shares), sympy.Integer(1)

    def _along(self, one: Sum, shares: Shares) -> Any:
        x, y, turn = shares
        if one.about is not None:
            return turn
        if one.direction == (1.0, 0.0):
            return x
        if one.direction == (0.0, 1.0):
            return y
        touch = next(t for t in self.bodies.layout.touches if t.item == one.of)
        across, up, _ = line_of(self.bodies, touch)
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
