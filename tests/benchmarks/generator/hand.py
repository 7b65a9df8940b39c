"""One person's hand: how a single term of a sum comes onto the page, and what it is worth."""

from __future__ import annotations

import math
import random
from dataclasses import dataclass, field

from .dress import Dress, significant
from .plan import Term
from .problem import Act, Problem
from .style import Style
from .text import T

ROMAN = ["", "I", "II", "III", "IV", "V", "VI", "VII", "VIII", "IX"]


@dataclass
class Slip:
    """A planted fault that is not in a term: in what step, where, and how."""

    step: int = -1
    where: str = ""  # result, expr, label, unit, definition
    how: str = ""
    amount: float = 0.0


@dataclass
class Piece:
    """A term as written: sign, body, whose unknown it is, and what it is worth with its sign."""

    sign: int
    body: T
    key: str | None
    worth: float
    term: Term


@dataclass
class Hand:
    p: Problem
    s: Style
    rng: random.Random
    sense: dict[str, int]
    slip: Slip = field(default_factory=Slip)
    values: dict[str, float] = field(default_factory=dict)
    full: dict[str, float] = field(default_factory=dict)
    doc: list[T] = field(default_factory=list)
    dropped: bool = False

    def __post_init__(self) -> None:
        self.d = Dress(self.p, self.s, self.rng, self.sense)
        self.merge = self.rng.random() < 0.4
        self.inline = self.rng.random() < 0.3
        self.negative_first = self.rng.random() < 0.3
        self.pad = self.rng.random() < 0.9
        self.times = {
            "times": self.rng.choice(["×", " × "]),
            "dot": self.rng.choice(["·", " · ", "∙"]),
            "star": self.rng.choice(["*", " * "]),
            "x": " x ",
            "cdot": r" \cdot ",
        }
        self.slope_form = self.rng.choice(["bracket", "plain"])
        self.scale = max(abs(v) for v in self.p.truth.values())
        self.numbered = 0
        self.panel = 1.0
        self.headed = False
        self.set_fractions = self.rng.choice(["frac", "tfrac", ""])
        self.spoken: list[Piece] = []
        self.skip_zeros = self.rng.random() < 0.8
        self.sincos: dict[float, dict[str, float]] = {}
        self.ie = "i.e."
        self.again = ["wrong, should be ", "Wrong! should be "]

    def mark(self, number: int) -> str:
        """The sign of an equation: (1), (I) or (a)."""
        match self.s.tags:
            case "I" if number < 21:
                tens = "X" * (number // 10)
                return f"({tens}{ROMAN[number % 10]})"
            case "a" if number < 27:
                return f"({'abcdefghijklmnopqrstuvwxyz'[number - 1]})"
        return f"({number})"

    # ---- the page
    def angle(self, t: Term) -> tuple[T, float]:
        """cos or sin as written, with what it is worth."""
        assert t.act.slope is not None
        assert t.fn is not None
        legs, fn = t.act.slope.legs, t.fn
        key = round(t.slope_deg, 4)
        if key in self.sincos and self.s.trig == "named":
            name = self.d.angle_names[key]
            return T(self.d.trig(fn, name, True)), self.sincos[key][fn]
        if t.theta is None and legs is not None and self.s.trig in ("slope", "decimal"):
            return self._slope(legs, fn)
        if key in self.d.angle_names and (self.s.trig == "named" or legs is None):
            value = self.d.angle_values[key]
            return T(self.d.trig(fn, self.d.angle_names[key], True)), getattr(math, fn)(
                math.radians(value)
            )
        text, value = self.d.degrees(t.slope_deg)
        return T(self.d.trig(fn, text, False)), getattr(math, fn)(math.radians(value))

    def _slope(self, legs: tuple[float, float], fn: str) -> tuple[T, float]:
        leg = legs[0] if fn == "cos" else legs[1]
        hyp = math.hypot(*legs)
        if self.s.trig == "decimal":
            v = round(leg / hyp, 3 if self.s.figures == 3 else 4)
            return T(self.d.text(v)), v
        whole = round(legs[0] ** 2 + legs[1] ** 2, 6)
        if abs(hyp - round(hyp, 2)) < 1e-9:
            return self.over(self.d.text(leg), self.d.text(hyp)), leg / hyp
        if (
            whole < 600
            and abs(whole - round(whole)) < 1e-9
            and all(abs(x - round(x)) < 1e-9 for x in legs)
        ):
            root = (
                rf"\sqrt{{{round(whole)}}}"
                if self.s.latex
                else (f"sqrt({round(whole)})" if self.s.ascii else f"√{round(whole)}")
            )
            return self.over(self.d.text(leg), root), leg / hyp
        h = round(hyp, 3)
        return self.over(self.d.text(leg), self.d.text(h)), leg / h

    def over(self, top: str, bottom: str) -> T:
        """A fraction of a slope triangle."""
        if self.s.latex and self.set_fractions:
            return T(rf"\{self.set_fractions}{{{top}}}{{{bottom}}}")
        return T(f"{top}/{bottom}")

    # ---- terms
    def force(self, t: Term, values: bool, target: tuple[str, ...]) -> tuple[T, str | None, float]:
        a = t.act
        if a.value is not None:
            parts = t.parts if t.parts is not None else a.parts
            if parts and t.value is None:
                return self._resultant(parts)
            v = abs(a.value) if t.value is None else t.value
            if a.key in self.p.load_names and not values and t.value is None:
                return T(self.p.load_names[a.key]), None, v
            text, v = self.d.given(v)
            if a.slope is None and self.p.letters:
                return T(self.d.result(v, True)), None, v
            if a.slope is None:
                return self._with_unit(text, "moment"), None, v
            return self._with_unit(text, "force"), None, v
        if a.key in self.values and a.key not in target:
            v = self.values[a.key] if t.value is None else t.value
            if values or self.s.substitute == "value" or t.value is not None:
                shown, v = self.carried(a, v, t.value is None)
                if "/" in shown and not self.p.letters and (t.fn or t.arm is not None):
                    shown = f"({shown})"
                worded = T(shown) if v >= 0 else T(self.d.minus) + shown
                if self.s.tongue:
                    worded = self._with_unit(worded, "moment" if a.slope is None else "force")
                return worded, None, v
        return T(self.d.name(a.key)), a.key, 1.0

    def carried(self, a: Act, v: float, own: bool) -> tuple[str, float]:
        """A found value put in later: as it stands, a figure shorter, or from the calculator."""
        shown = self.s.substitute != "name" or self.s.steps in ("chain", "expr", "gather chain")
        settled = self.s.carry != "same" and shown and not self.p.letters and a.key in self.full
        if own and v and settled:
            figures = {"finer": 4, "rough": 2}.get(self.s.carry, 3)
            x = self.full[a.key] if self.s.carry == "finer" else v
            w = significant(x, figures)
            digits = max(0, figures - 1 - math.floor(math.log10(abs(w))))
            return self.d.plain(f"{abs(w):.{digits}f}"), w
        return self.d.result(abs(v), a.slope is None), v

    def _with_unit(self, text: T, what: str) -> T:
        if self.s.units != "all" or self.p.letters:
            return text
        word = {
            "force": self.d.force_unit,
            "length": self.p.units[1],
            "moment": self.d.moment_unit,
        }[what]
        return text + " " + word

    def lumped(self, worth: float) -> bool:
        """Whether a distributed load goes into the sums as one number, worked out before."""
        return self.s.lumps and not self.p.letters and abs(worth) > 0

    def number(self, x: float, what: str = "") -> tuple[str, float]:
        """A number on the way: exact where short, else to one figure more than results."""
        if self.p.letters and what:
            force, length = self.p.letters
            letter = {"length": length, "force": force, "moment": self.d.moment_letters()}[what]
            v = self.d.result_value(x)
            return self.d.lettered(v, letter), v
        if abs(x - round(x, 3)) < 1e-9 and len(f"{abs(round(x, 3)):g}") <= 6:
            return self.d.text(round(x, 3)), round(x, 3)
        figures = max(4, self.s.figures)
        v = float(f"{x:.{figures - 1}e}")
        return self.d.text(v, max(0, figures - 1 - math.floor(math.log10(abs(v))))), v

    def _resultant(self, parts: tuple[float, ...]) -> tuple[T, str | None, float]:
        worth = math.prod(parts)
        if self.lumped(worth):
            return T(self.number(worth)[0]), None, self.number(worth)[1]
        if self.p.letters:
            n = self.d.length(parts[1])
            load = "w" if parts[0] == 1 else self.d.lettered(parts[0], "w")
            plain = self.s.product == "paren" and "/" not in n and not n[0].isdigit()
            if plain:
                return T(load + n), None, worth
            if self.s.product == "paren":
                return T(f"{load}({n})"), None, worth
            return T(f"{load}{self.times[self.s.product]}{n}"), None, worth
        if len(parts) == 3:
            w, n = self.d.text(parts[1]), self.d.text(parts[2])
            half = {"frac": "½" if self.s.half_sign else "1/2", "dec": self.d.text(0.5)}[
                self.d.half
            ]
            if self.s.half_sign and self.d.half == "frac":
                op = "" if self.s.product == "paren" else self.times[self.s.product]
                inner = f"({w})({n})" if not op else f"{op}{w}{op}{n}"
                return T("½" + inner), None, worth
            if self.s.product == "paren":
                return (
                    T(f"({half})({w})({n})" if self.d.half == "frac" else f"{half}({w})({n})"),
                    None,
                    worth,
                )
            op = self.times[self.s.product]
            if self.d.half == "frac":
                return T(f"{w}{op}{n}/2"), None, worth
            return T(f"{half}{op}{w}{op}{n}"), None, worth
        w, n = self.d.text(parts[0]), self.d.text(parts[1])
        if self.s.tongue and self.s.units == "all":
            w = f"{w} {self.d.force_unit}/{self.p.units[1]}"
            n = f"{n} {self.p.units[1]}"
            if self.s.product == "paren":
                return T(f"({w})({n})"), None, worth
        if self.s.product == "paren":
            return T(f"{w}({n})"), None, worth
        return T(f"{w}{self.times[self.s.product]}{n}"), None, worth

    def piece(self, t: Term, flip: int, values: bool, target: tuple[str, ...]) -> Piece:
        body, key, worth = self.force(t, values, target)
        sign = t.sign * flip
        compound = t.fn is not None or t.arm is not None
        if body.s.startswith(self.d.minus) and worth < 0:
            if self.merge:
                body, worth, sign = T(body.s[len(self.d.minus) :]), -worth, -sign
            else:
                body = T("(") + body + ")"
        number = key is None
        if (
            self.s.units == "all"
            and (self.s.product == "paren" or not self.s.tongue)
            and compound
            and (t.act.value is not None or (number and bool(self.s.tongue)))
            and not (t.parts or t.act.parts)
        ):
            body = T("(") + body + ")"
        if t.fn is not None:
            ratio, c = self.angle(t)
            worth *= c
            body = self._with_ratio(body, ratio, number)
        if t.arm is not None:
            unit = self.panel
            body = self._with_arm(body, t, unit, number, t.fn is not None)
            worth *= round(t.arm / unit, 4)
            if self.s.premultiplies and number and not self.p.letters and self.s.units != "all":
                text, value = self.number(abs(worth))
                sign = sign if worth > 0 else -sign
                body, worth = T(text), value
        return Piece(sign, body, key, sign * worth, t)

    def _with_ratio(self, body: T, ratio: T, number: bool) -> T:
        s = self.s
        if ratio.s[0].isdigit() or ratio.s[0] == "." or "frac{" in ratio.s:
            before = s.trig_place == "before" and not number
            if s.trig == "decimal" and not number and s.product == "paren":
                return ratio + (" " if self.pad else "") + body
            if s.product == "paren":
                return (T("(") + ratio + ")" + body) if before else (body + "(" + ratio + ")")
            op = self.times[s.product]
            inner = ratio if s.trig == "decimal" else T("(") + ratio + ")"
            return inner + op + body if before else body + op + inner
        if s.product in ("dot", "star") and s.trig_bracket:
            return body + self.times[s.product].strip() + ratio
        return body + " " + ratio

    def arm_text(self, t: Term, unit: float) -> str:
        """An arm as one length, or as the sum of the distances that it spans."""
        assert t.arm is not None
        if t.pieces and self.s.sum_arms and unit == 1.0 and not self.p.letters:
            if self.s.tongue and len(t.pieces) > 2 and max(t.pieces) - min(t.pieces) < 1e-9:
                op = self.times.get(self.s.product, "×").strip()
                return f"{len(t.pieces)}{op}{self.d.text(t.pieces[0])}"
            each = f" {self.p.units[1]}" if self.s.tongue and self.s.units == "all" else ""
            return f"{each} + ".join(self.d.text(x) for x in t.pieces)
        return self.d.length(t.arm / unit)

    def _with_arm(self, body: T, t: Term, unit: float, number: bool, has_ratio: bool) -> T:
        s = self.s
        if unit != 1.0 and t.arm is not None and abs(t.arm / unit - 1) < 1e-9:
            return body
        plain = self.arm_text(t, unit)
        a = self._with_unit(T(plain), "length")
        joined = "+" in plain or any(o in plain for o in "×·*∙x")
        if s.product == "paren" and joined:
            return body + "(" + a + ")"
        if joined and not self.p.letters:
            return body + self.times[s.product] + "(" + a + ")"
        if s.product == "paren":
            if not number and not has_ratio and s.coefficient and s.units != "all":
                return a + " " + body
            if body.s.endswith(("°", "θ", "α", "β", "γ", "φ", "δ")) or (
                has_ratio and body.s[-1] not in ")"
            ):
                return body + " (" + a + ")"
            return body + "(" + a + ")"
        op = self.times[s.product]
        if not number and not has_ratio and s.coefficient:
            return a + op + body if self.rng.random() < 0.0 or s.unknown_first else a + " " + body
        return body + op + a

    def without_zeros(self, pieces: list[Piece]) -> list[Piece]:
        """Most people leave out a force that they have found to be nothing."""
        if not self.skip_zeros or len(pieces) < 3:
            return pieces
        kept = [
            q
            for q in pieces
            if q.term.mark or q.key is not None or self.values.get(q.term.act.key, 1.0) != 0.0
        ]
        return kept if len(kept) > 1 else pieces

    def ordered(self, pieces: list[Piece]) -> list[Piece]:
        if self.s.order == "unknowns first":
            return sorted(pieces, key=lambda q: q.key is None)
        if self.s.order == "known first":
            return sorted(pieces, key=lambda q: q.key is not None)
        return pieces

    def signed(self, pieces: list[Piece], turn: int = 1) -> T:
        out = T()
        for i, q in enumerate(pieces):
            body = q.body.tag(*([q.term.mark] if q.term.mark else [])).tag(f"term:{q.term.act.key}")
            minus = q.sign * turn < 0
            gap = " " if self.pad else ""
            if i == 0:
                unit = T(self.d.minus) + body if minus else body
                out = out + (unit.tag("signed") if q.term.mark else unit)
                continue
            unit = T(f"{self.d.minus if minus else '+'}{gap}") + body
            out = out + gap + (unit.tag("signed") if q.term.mark else unit)
        return out if out else T("0")
