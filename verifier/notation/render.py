"""A tree in plain notation: what a line reads as."""

from verifier.notation.source import PLAIN
from verifier.notation.tree import (
    Add,
    Assumption,
    Div,
    Expr,
    Func,
    Heading,
    Mul,
    Name,
    Neg,
    Num,
    Part,
    Pow,
    Reference,
    Relation,
    Statement,
    Struck,
    SumLabel,
    Unit,
)


def expression(expr: Expr, level: int = 0) -> str:
    """Return an expression in plain notation; `level` 0 sum, 1 product, 2 factor, 3 power."""
    match expr:
        case Num():
            return _number(expr) + _unit(expr.unit)
        case Name():
            base = expr.text.replace(" ", "") if expr.base.isdigit() else expr.base  # the bar 1-5
            return (f"{base}_{expr.sub}" if expr.sub else base) + _unit(expr.unit)
        case Add():
            return _wrap(_sum(expr), level > 0)
        case Neg():
            return _wrap("−" + expression(expr.inner, 1), level > 0)
        case Mul() if len(expr.factors) == 1:
            return f"({expression(expr.factors[0])})" + _unit(expr.unit)
        case Mul():
            first, *rest = expr.factors
            text = "·".join([expression(first, 1), *(expression(f, 2) for f in rest)])
            return _wrap(text + _unit(expr.unit), level > 1)
        case Div():
            text = f"{expression(expr.top, 1)}/{expression(expr.bottom, 2)}" + _unit(expr.unit)
            return _wrap(text, level > 1)
        case Pow():
            base = (
                f"({expression(expr.base)})"
                if isinstance(expr.base, Func) or getattr(expr.base, "unit", None)
                else expression(expr.base, 3)
            )
            return _wrap(f"{base}^{expression(expr.exponent, 3)}", level > 2)
        case Func("rad"):
            return f"{expression(expr.arg, 2)} rad"
        case Func():
            return f"{expr.name}({expression(expr.arg)})"


def _wrap(text: str, needed: bool) -> str:
    return f"({text})" if needed else text


def _sum(expr: Add) -> str:
    out = ""
    for sign, term in expr.terms:
        mark = "−" if sign < 0 else "+"
        text = expression(term, 1)
        out += f" {mark} {text}" if out else ("−" + text if sign < 0 else text)
    return out


def _number(num: Num) -> str:
    text = num.text if num.text.isascii() else num.text.translate(PLAIN)
    plain = text.isascii() and text[:1].isdigit() and not set(text) & set(",\\ '")
    return text if plain and num.unit is None else f"{num.value:.10g}"


def _unit(unit: Unit | None) -> str:
    if unit is None:
        return ""
    return unit.text if unit.text == "°" else f" {unit.text.strip('[]() ')}"


def part(item: Part) -> str:
    """Return one part of a line in plain notation, '' for words that make no claim."""
    match item:
        case Relation():
            return relation(item)
        case SumLabel():
            return label(item)
        case Heading(kind="method"):
            return ""
        case Heading():
            names = ", ".join(item.names)
            side = f", {item.side} part" if item.side else ""
            return f"{item.kind} {names}".strip() + side + ":"
        case Assumption():
            names = ", ".join(expression(name) for name in item.names)
            return " ".join(f"assume {names} {item.mark.meaning}".split())
        case Statement():
            names = ", ".join(expression(n) for n in item.names)
            return f"{names}: {', '.join(m.meaning for m in item.marks)}".removeprefix(": ")
        case Reference():
            return "equations " + ", ".join(item.tags)
        case Struck():
            return ""
        case _:
            return ""


def relation(item: Relation) -> str:
    """Return an equation or chain in plain notation with its marks and number."""
    out = "= " if item.continues else ""
    for index, side in enumerate(item.sides):
        if index:
            out += f" {item.ops[index - 1]} "
        out += expression(side)
        if index < len(item.marks):
            out += "".join(f" ({mark.meaning})" for mark in item.marks[index])
    return out + (f"  ({item.tag})" if item.tag else "")


def label(item: SumLabel) -> str:
    """Return a sum's label in plain notation: `ΣM_P (anticlockwise +):`."""
    if item.axis == "moment":
        core = f"ΣM_{item.about}" if item.about else "ΣM"
    elif item.axis == "along":
        core = f"ΣF {item.direction}".strip()
    else:
        core = f"ΣF_{item.axis}"
    return core + (f" ({item.positive} +):" if item.positive else ":")


def line(parts: tuple[Part, ...]) -> str:
    """Return a whole line in plain notation."""
    return "  ".join(text for text in map(part, parts) if text)
