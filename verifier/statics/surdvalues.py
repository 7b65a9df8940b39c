"""A sheet's values as exact numbers with square roots, where they are such."""

from fractions import Fraction

from verifier.statics.surds import Surd, root_of
from verifier.structure.values import ARITHMETIC, Value


def surd(value: Value) -> Surd | None:
    """Return a sheet's value as an exact number, None for letters and other irrationals."""
    match value.op:
        case "num":
            return Surd({1: value.args[0]})
        case "letter":
            return None
        case "sin" | "cos" | "tan":
            return _trig(value.op, value.args[0])
        case "asin" | "acos" | "atan":
            return None
    parts = [part for part in map(surd, value.args) if part is not None]
    if len(parts) < len(value.args):
        return None
    match value.op, parts:
        case "sqrt", [square]:
            return root_of(square)
        case "^", [base, exponent]:
            return _power(base, exponent)
        case "/", [_, divisor] if not divisor:
            return None
    made: Surd = ARITHMETIC[value.op](*parts)
    return made


def _power(base: Surd, exponent: Surd) -> Surd | None:
    power = exponent.rational
    if power is None or power.denominator > 2 or abs(power) > 16:
        return None
    if power < 0 and not base:
        return None
    stem = base if power.denominator == 1 else root_of(base)
    if stem is None:
        return None
    made = Surd({1: Fraction(1)})
    for _ in range(abs(power.numerator)):
        made = made * stem
    return made.inverse() if power < 0 else made


def _trig(name: str, degrees: Value) -> Surd | None:
    pair = _turned(degrees)
    if pair is None:
        return None
    if name == "tan":
        return pair[1] / pair[0] if pair[0] else None
    return pair[0] if name == "cos" else pair[1]


def _turned(degrees: Value) -> tuple[Surd, Surd] | None:
    """Return (cos, sin) of an angle in degrees where both are exact numbers."""
    match degrees.op:
        case "num":
            return _fifteens(degrees.args[0])
        case "neg":
            pair = _turned(degrees.args[0])
            return None if pair is None else (pair[0], -pair[1])
        case "+" | "-":
            one, two = _turned(degrees.args[0]), _turned(degrees.args[1])
            if one is None or two is None:
                return None
            sine = two[1] if degrees.op == "+" else -two[1]
            return one[0] * two[0] - one[1] * sine, one[1] * two[0] + one[0] * sine
        case "asin" | "acos" | "atan":
            return _inverse(degrees.op, degrees.args[0])
    return None


def _inverse(name: str, argument: Value) -> tuple[Surd, Surd] | None:
    ratio = surd(argument)
    if ratio is None:
        return None
    if name == "atan":
        long = root_of(ratio * ratio + 1)
        return None if long is None else (1 / long, ratio / long)
    other = root_of(1 - ratio * ratio)
    if other is None:
        return None
    return (other, ratio) if name == "asin" else (ratio, other)


def _fifteens(degrees: Fraction) -> tuple[Surd, Surd] | None:
    if degrees.denominator != 1 or degrees % 15:
        return None
    cosine = {
        0: {1: Fraction(1)},
        15: {6: Fraction(1, 4), 2: Fraction(1, 4)},
        30: {3: Fraction(1, 2)},
        45: {2: Fraction(1, 2)},
        60: {1: Fraction(1, 2)},
        75: {6: Fraction(1, 4), 2: Fraction(-1, 4)},
        90: {},
    }

    def of(turn: int) -> Surd:
        turn %= 360
        turn = min(turn, 360 - turn)
        return Surd(cosine[turn]) if turn <= 90 else -Surd(cosine[180 - turn])

    whole = int(degrees)
    return of(whole), of(whole - 90)
