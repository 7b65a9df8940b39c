"""Lines trimmed as people trim them: nothing twice, long ones wrapped, LaTeX in its own signs."""

from __future__ import annotations

import re

from .closing import cut
from .text import T

REPEATED = re.compile(r" = ([^=\n]+)(?= = \1(?![\w.,·×*∙(]))")
TEX = {
    "×": r"\times ",
    "·": r"\cdot ",
    "∙": r"\cdot ",
    "²": "^2",
    "≈": r"\approx ",
    "⇒": r"\Rightarrow ",
    "−": "-",
    "√": r"\sqrt",
}


def translated(line: T) -> T:
    """A line in LaTeX's signs, its marks moved along."""
    at, out = [0], ""
    for char in line.s:
        out += TEX.get(char, char)
        at.append(len(out))
    return T(out, tuple((m, at[a], at[b]) for m, a, b in line.marks))


def terse(statements: list[T]) -> list[T]:
    """Nobody writes `A = 12 = 12` or says the same twice in a row."""
    out: list[T] = []
    for one in statements:
        while (again := REPEATED.search(one.s)) and not marked(one, again.start(), again.end()):
            one = cut(one, 0, again.start()) + cut(one, again.end(), len(one.s))
        if out and one.s.startswith(out[-1].s) and not marked(out[-1], 0, len(out[-1].s)):
            out.pop()
        out.append(one)
    return out


def marked(line: T, a: int, b: int) -> bool:
    """Whether a planted fault lies in this piece."""
    return any(m in ("fault", "first", "wide") and x < b and y > a for m, x, y in line.marks)


def wrapped(line: T) -> T:
    """A long line broken before a sign, as people do at the edge of the paper."""
    if len(line.s) < 64 or "\n" in line.s:
        return line
    for at in range(44, len(line.s) - 12):
        sign = line.s[at : at + 3] in (" + ", " − ", " - ", " = ")
        level = line.s[:at].count("(") == line.s[:at].count(")")
        if sign and level:
            return cut(line, 0, at) + "\n    " + cut(line, at + 1, len(line.s))
    return line
