"""A short hand for pages that follow no plan of sums: numbers, units and words of one person."""

from __future__ import annotations

import math
import random
from dataclasses import replace

from .problem import Problem
from .scribe import Scribe
from .style import Style
from .text import T


class Short:
    """Writes numbers as one person does, and keeps lines with their marks."""

    def __init__(self, p: Problem, style: Style, rng: random.Random) -> None:
        if style.latex:
            style = replace(
                style, latex=False, tex="", product="dot", angle_name="θ", member_label="(T)"
            )
        self.w = Scribe(p, style, rng, dict.fromkeys(p.truth, 1))
        self.p, self.s, self.rng, self.tongue = p, style, rng, self.w.tongue
        self.lines: list[T] = []
        self.op = {"paren": "·", "times": "×", "dot": "·", "star": "*"}[style.product]
        if rng.random() < 0.5:
            self.op = f" {self.op} "

    def n(self, x: float) -> str:
        """A given number."""
        return self.w.d.text(round(abs(x), 4))

    def r(self, x: float) -> tuple[str, float]:
        """A result, to this person's figures, with the value that it is written as."""
        figures = self.s.figures
        if abs(x) < 1e-9:
            return "0", 0.0
        v = float(f"{x:.{figures - 1}e}")
        digits = max(0, figures - 1 - math.floor(math.log10(abs(v))))
        return self.w.d.signed_plain(f"{abs(v):.{digits}f}", v < 0), v

    def unit(self, key: str) -> str:
        return self.w.d.unit(key)

    def times(self, *parts: str) -> str:
        if self.s.product == "paren" and len(parts) > 1:
            return parts[0] + "".join(f"({x})" for x in parts[1:])
        return self.op.join(parts)

    def add(self, line: T | str) -> None:
        self.lines.append(line if isinstance(line, T) else T(line))

    def doc(self) -> T:
        return T.join("\n", self.lines)

    @property
    def minus(self) -> str:
        return self.w.d.minus
