"""Numbers, unknowns and exact expressions as a person writes them."""

import re
from fractions import Fraction
from typing import Any

from verifier.statics.sections import short
from verifier.structure.model import Structure

_SUPERSCRIPTS = str.maketrans("0123456789", "⁰¹²³⁴⁵⁶⁷⁸⁹")
_WAYS = {"x": ("right", "left"), "y": ("up", "down"), "moment": ("anticlockwise", "clockwise")}


def number(value: float, digits: int = 4) -> str:
    """Return a number in full where that is short, else to some significant figures.

    >>> number(-16.9), number(2 / 3), number(1730.0), number(14.399999999999999)
    ('−16.9', '0.6667', '1730', '14.4')
    """
    if abs(value) < 1e-300:
        return "0"
    short_text = f"{value:.12g}"
    plain = f"{value:.{digits}g}"
    if "e" not in short_text and len(short_text.replace("-", "").replace(".", "")) <= 6:
        plain = short_text
    elif 10 ** (digits - 1) <= abs(value) < 1e7:
        plain = f"{value:.0f}"
    return plain.replace("-", "−")


def ratio(share: float) -> str:
    """Return a component's share as a simple fraction, '' where it is none.

    >>> ratio(12 / 13), ratio(0.5), ratio(0.601815)
    ('12/13', '1/2', '')
    """
    simple = Fraction(share).limit_denominator(200)
    if simple and abs(float(simple) - share) < 1e-12:
        return str(simple)
    return ""


def symbol(item: str) -> str:
    """Return the letter that a person would give an item.

    >>> symbol("reaction A x"), symbol("reaction A"), symbol("P-R"), symbol("pin C x on deck")
    ('A_x', 'R_A', 'PR', 'C_x,deck')
    """
    words = item.split()
    match words:
        case ["reaction", joint]:
            return f"R_{joint}"
        case ["reaction", joint, "moment"]:
            return f"M_{joint}"
        case ["reaction", joint, axis]:
            return f"{joint}_{axis}"
        case ["pin", joint, axis, "on", body]:
            return f"{joint}_{axis},{body}"
        case ["axial" | "shear" | "moment" as kind, "at", *place]:
            return {"axial": "N_", "shear": "V_", "moment": "M_"}[kind] + " ".join(place)
    return short(item)


def sense(structure: Structure, item: str, value: float) -> str:
    """Return which way an item's value acts, '' where it is zero or has no such word."""
    if not value:
        return ""
    words = item.split()
    match words:
        case ["axial", "at", *_]:
            return "tension" if value > 0 else "compression"
        case ["shear" | "moment", "at", *_]:
            return ""
        case ["reaction", _]:
            return _along(structure, item, value)
        case ["reaction", _, axis] | ["pin", _, axis, *_]:
            return _WAYS[axis][value < 0]
    return "tension" if value > 0 else "compression"


def _along(structure: Structure, item: str, value: float) -> str:
    from verifier.statics.motion import direction_word

    for support in structure.supports:
        for reaction in support.reactions():
            if reaction.item == item:
                x, y = (part.number(structure.letters) * value for part in reaction.direction)
                return direction_word((x, y))
    return ""


def unit_of(structure: Structure, item: str) -> str:
    """Return the unit of an item: a force, or a moment."""
    if item.endswith(" moment") or item.startswith("moment at "):
        return f"{structure.force_unit} {structure.length_unit}"
    return structure.force_unit


def expression(exact: Any) -> str:
    """Return a sympy expression as text: products with ·, powers raised, angles in degrees."""
    from sympy.printing.str import StrPrinter

    class Printer(StrPrinter):  # type: ignore[misc]
        """Writes angles in degrees."""

        def _print_Function(self, expr: Any) -> str:
            import sympy

            name = type(expr).__name__
            degrees = expr.args[0] * 180 / sympy.pi
            if name in ("sin", "cos", "tan") and degrees.is_Rational:
                return f"{name}({number(float(degrees), 8)}°)"
            return f"{name}({self._print(expr.args[0])})"

    text = Printer().doprint(exact)
    text = re.sub(r"\*\*(\d+)", lambda match: match[1].translate(_SUPERSCRIPTS), text)
    text = re.sub(r"sqrt\((\w+)\)", r"√\1", text).replace("sqrt(", "√(")
    return text.replace("**", "^").replace("*", "·").replace("-", "−")
