"""Angles whose definition may be what is wrong, noted where a use of one is at fault."""

import re

from verifier.checking.faults import Explanation
from verifier.checking.forms import Factor, Form
from verifier.checking.ledger import Found
from verifier.checking.names import key_of
from verifier.checking.state import State
from verifier.notation.tree import Expr, Func, Name, Num

_UPRIGHT = re.compile(
    r"\b(?:vertical\w*|wall|upright|mast|post|vertikal\w*|senkrecht\w*|lotrecht\w*|wand|mur"
    r"|parete|pared|verticale?|pion\w*|ścian\w*)\b",
    re.IGNORECASE,
)
_LEVEL = re.compile(
    r"\b(?:horizont\w*|slopes?|inclin\w*|neigung\w*|waa?gr?e?recht\w*|pente|pend\w*|orizzont\w*"
    r"|poziom\w*|nachyl\w*|floor|ground|boden|sol|suelo)\b",
    re.IGNORECASE,
)


_NEAR = 0.06
"""Degrees by which a rounded angle may be off."""


class Suspected(State):
    """Notes which definitions of angles the faults below may come of."""

    def _doubt_definition(self, explanation: Explanation, form: Form) -> None:
        """Note that a faulty angle in a term may come from its name's definition above."""
        for term in form.terms:
            for factor in term.factors:
                if not isinstance(factor.expr, Func) or not _inside(factor.expr, explanation):
                    continue
                key = self._angle_in(factor.expr)
                found = self.ledger.locals.get(key)
                if found is None or found.kind != "angle" or not self._may_be_wrong(found, factor):
                    continue
                slope = found.quantity.centre
                if explanation.kind == "component" and not self.figure.is_slope(slope):
                    said = _LEVEL.search(self.texts.get(found.line, "")) is not None
                    sure = said and self.figure.is_slope(90 - slope)  # no line stands so to level
                    self.out.doubted.setdefault(key, (self._as_drawn(90 - slope), sure))
                elif (
                    explanation.kind == "angle"
                    and explanation.angle is not None
                    and not self.figure.is_slope(slope)
                ):
                    truth = self._as_drawn(explanation.angle)
                    self.out.doubted.setdefault(key, (truth, True))

    def _as_drawn(self, degrees: float) -> float:
        """Return the figure's own angle for one that was rounded."""
        near = min(self.figure.drawn_angles, key=lambda a: abs(a - degrees), default=degrees)
        return near if abs(near - degrees) < 0.06 else degrees

    def _angle_in(self, turn: Func) -> str:
        """Return the name of the angle in a sine, say, or of the one that its number repeats."""
        if isinstance(turn.arg, Name):
            return key_of(turn.arg)
        if not isinstance(turn.arg, Num):
            return ""
        low, high = turn.arg.low, turn.arg.high
        angles = ((k, f) for k, f in self.ledger.locals.items() if f.kind == "angle")
        return next((key for key, f in angles if low <= f.quantity.centre <= high), "")

    def _may_be_wrong(self, found: Found, factor: Factor) -> bool:
        """Tell whether a wrong use of an angle may come of how it was defined.

        One that is said to stand to the wall is no slope; a number is put in as it is meant, unless
        its definition is at fault anyway or no angle of the figure is of that size.
        """
        said = self.texts.get(found.line, "")
        if _UPRIGHT.search(said):
            return False
        named = isinstance(factor.expr, Func) and isinstance(factor.expr.arg, Name)
        strange = not any(abs(a - found.quantity.centre) < _NEAR for a in self.figure.drawn_angles)
        return named or found.tainted or strange or _LEVEL.search(said) is not None


def _inside(expr: Expr, explanation: Explanation) -> bool:
    return explanation.span[0] <= expr.span[0] and expr.span[1] <= explanation.span[1]
