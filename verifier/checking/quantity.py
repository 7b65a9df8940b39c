"""A number with the half-width of the interval that it stands for."""

import math
from typing import NamedTuple

_TINY = 1e-9


class Quantity(NamedTuple):
    """A centre and a radius ≥ 0: every value in [centre − radius, centre + radius] is meant."""

    centre: float
    radius: float = 0.0

    def plus(self, other: "Quantity") -> "Quantity":
        """Return the sum of two intervals."""
        return Quantity(self.centre + other.centre, self.radius + other.radius)

    def times(self, other: "Quantity") -> "Quantity":
        """Return the product of two intervals (an enclosure)."""
        a, b = self.centre, other.centre
        spread = abs(a) * other.radius + abs(b) * self.radius + self.radius * other.radius
        return Quantity(a * b, spread)

    def scaled(self, factor: float) -> "Quantity":
        """Return the interval multiplied by an exact number."""
        return Quantity(self.centre * factor, self.radius * abs(factor))

    def inverse(self) -> "Quantity":
        """Return 1/x; raises `ZeroDivisionError` where the interval holds zero."""
        if abs(self.centre) <= self.radius:
            raise ZeroDivisionError("division by an interval that holds zero")
        spread = self.radius / (abs(self.centre) * (abs(self.centre) - self.radius))
        return Quantity(1.0 / self.centre, spread)

    def power(self, exponent: float) -> "Quantity":
        """Return x to an exact exponent; raises `ValueError` where that is not a real number."""
        if abs(exponent) > 16 or (self.centre == 0 and exponent < 0):
            raise ValueError("a power out of range")
        result = self.centre**exponent
        if isinstance(result, complex) or not math.isfinite(result):
            raise ValueError("a power that is no real number")
        slope = abs(exponent * self.centre ** (exponent - 1)) if self.centre else 0.0
        return Quantity(result, slope * self.radius)

    def holds(self, number: float, scale: float = 0.0) -> bool:
        """Tell whether a number is meant, within float noise relative to `scale`."""
        noise = _TINY * max(abs(self.centre), abs(number), scale)
        return abs(self.centre - number) <= self.radius + noise


EXACT_ONE = Quantity(1.0)
ZERO = Quantity(0.0)


def function(name: str, argument: Quantity) -> Quantity:
    """Return a function of an interval: sin cos tan (degrees), asin acos atan, sqrt, abs, rad.

    Raises `ValueError` where it has no value and `ZeroDivisionError` at a pole.
    """
    x, r = argument
    if name == "sqrt":
        if x < 0:
            raise ValueError("the root of a negative number")
        root = math.sqrt(x)
        return Quantity(root, r / (2 * root) if root else math.sqrt(r))
    if name == "abs":
        return Quantity(abs(x), r)
    if name == "rad":
        return Quantity(math.degrees(x), math.degrees(r))
    if name in ("asin", "acos"):
        value = math.degrees(math.asin(x) if name == "asin" else math.acos(x))
        slope = 1.0 / math.sqrt(max(1.0 - x * x, 1e-6))
        return Quantity(value, math.degrees(r * slope))
    if name == "atan":
        return Quantity(math.degrees(math.atan(x)), math.degrees(r / (1 + x * x)))
    angle, spread = math.radians(x), math.radians(r)
    match name:
        case "sin":
            return Quantity(math.sin(angle), abs(math.cos(angle)) * spread + spread * spread)
        case "cos":
            return Quantity(math.cos(angle), abs(math.sin(angle)) * spread + spread * spread)
        case "tan":
            if abs(math.cos(angle)) < 1e-12:
                raise ZeroDivisionError("the tangent of a right angle")
            return Quantity(math.tan(angle), spread / math.cos(angle) ** 2)
    raise ValueError(f"no function {name}")
