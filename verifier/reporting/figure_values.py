"""Values and directions of a sheet as a figure shows them."""

import math
from collections.abc import Mapping

from verifier.reporting.numbers import figure
from verifier.structure.values import Value

_STRENGTH = {"+": 1, "-": 1, "neg": 1, "*": 2, "/": 2, "^": 3}


def shown(amount: Value) -> str:
    """Return a value to four figures, or as an expression where letters stay letters.

    >>> from verifier.structure.values import letter, value
    >>> shown(value(6)), shown(value(2) * letter("P"))
    ('6', '2P')
    """
    if not amount.letters:
        return figure(amount.number())
    if amount.op in ("+", "-") and _is_polynomial(amount):
        return str(amount.exact().expand()).replace("**", "^").replace("*", "").replace("-", "−")
    return _expression(amount, 0)


def alike(one: Value, other: Value, letters: Mapping[str, float]) -> bool:
    """Say whether two values come to the same, letters at their stand-ins."""
    first, second = one.number(letters), other.number(letters)
    return abs(first - second) <= 1e-9 * max(abs(first), abs(second))


def _is_polynomial(amount: Value) -> bool:
    if amount.op in ("num", "letter"):
        return True
    plain = amount.op in ("+", "-", "*", "/", "neg")
    return plain and all(_is_polynomial(part) for part in amount.args)


def with_unit(amount: Value, unit: str) -> str:
    """Return a value with its unit; an expression of letters has none."""
    return shown(amount) if amount.letters else f"{shown(amount)} {unit}"


def difference(last: Value, first: Value, letters: Mapping[str, float], unit: str) -> str:
    """Return a length along an axis as a dimension line shows it, never negative."""
    gap = last - first
    if not gap.letters:
        return f"{figure(abs(gap.number()))} {unit}"
    if gap.number(letters) < 0:
        gap = first - last
    return str(gap.exact()).replace("**", "^").replace("*", "")


def degrees(direction: tuple[Value, Value], letters: Mapping[str, float]) -> float:
    """Return a direction's angle anticlockwise from +x, −180 to 180, at the stand-ins."""
    across, up = (part.number(letters) for part in direction)
    return math.degrees(math.atan2(up, across))


def slope(direction: tuple[Value, Value], letters: Mapping[str, float]) -> str:
    """Return the acute angle to the horizontal as a figure shows it, '' where it is 0 or 90."""
    across, up = direction
    if across.letters or up.letters:
        named = _plain(across)
        return _expression(named, 0) if named is not None else ""
    acute = abs(degrees(direction, letters))
    acute = min(acute, 180 - acute)
    return "" if acute < 0.01 or acute > 89.99 else f"{figure(acute)}°"


def _plain(across: Value) -> Value | None:
    while across.op == "neg":
        across = across.args[0]
    return across.args[0] if across.op in ("cos", "sin") else None


def _expression(amount: Value, strength: int) -> str:
    match amount.op:
        case "num":
            number = amount.args[0]
            whole = number.denominator == 1 or (not amount.letters and _short(number))
            text = figure(float(number)) if whole else f"{number.numerator}/{number.denominator}"
            return f"({text})" if strength > 1 and ("/" in text or "−" in text) else text
        case "letter":
            return str(amount.args[0])
        case "neg":
            text = f"−{_expression(amount.args[0], 2)}"
        case "+" | "-" | "*" | "/" | "^":
            text = _binary(amount)
        case _:
            return f"{amount.op}({_expression(amount.args[0], 0)})"
    return f"({text})" if _STRENGTH[amount.op] < strength else text


def _binary(amount: Value) -> str:
    own = _STRENGTH[amount.op]
    left, right = amount.args
    first = _expression(left, own)
    second = _expression(right, own + (amount.op in "-/^"))
    if amount.op == "*":
        joined = "" if not second[:1].isdigit() else "·"
        return f"{first}{joined}{second}"
    sign = {"+": " + ", "-": " − ", "/": "/", "^": "^"}[amount.op]
    return f"{first}{sign}{second}"


def _short(number: object) -> bool:
    return len(str(float(number))) <= 8  # type: ignore[arg-type]
