"""How one person writes numbers, names, units and angles."""

from __future__ import annotations

import math
import random
from fractions import Fraction

from .labels import MEMBER_WORDS
from .problem import Act, Problem
from .style import Style
from .text import T

FORCE_WORDS = {
    "kN": ["kN"],
    "N": ["N"],
    "kip": ["kip", "k", "kips"],
    "lbf": ["lb", "lbf"],
    "kgf": ["kgf"],
}
MOMENT_WORDS = {
    "kN": ["kNm", "kN·m", "kN m", "kN.m"],
    "N": ["Nm", "N·m", "N m", "N.m"],
    "kip": ["kip-ft", "k-ft", "kip·ft"],
    "lbf": ["lb-ft", "lb·ft", "ft-lb"],
    "kgf": ["kgf·m", "kgf m"],
}
ARROWS = {0: "→", 90: "↑", 180: "←", 270: "↓"}
ASCII_ARROWS = {0: "right", 90: "up", 180: "left", 270: "down"}
GREEK = {
    "θ": ["θ", "α", "β", "γ", "φ", "δ"],
    "α": ["α", "β", "γ", "δ", "φ", "θ"],
    "theta": ["theta", "alpha", "beta", "gamma", "phi", "delta"],
    r"\theta": [r"\theta", r"\alpha", r"\beta", r"\gamma", r"\phi", r"\delta"],
}


def significant(x: float, figures: int) -> float:
    if x == 0 or not math.isfinite(x):
        return 0.0
    return round(x, figures - 1 - math.floor(math.log10(abs(x))))


def snapped(x: float) -> tuple[float | None, Fraction, bool]:
    """The simple fraction, or multiple of the root of two, that a person would see in a number."""
    if x == 0:
        return 0.0, Fraction(0), False
    for root in (False, True):
        y = x / math.sqrt(2) if root else x
        near = Fraction(y).limit_denominator(6 if root else 32)
        close = abs(float(near) - y) < (1e-6 if root else 3e-4) * abs(y)
        if close and (abs(near.numerator) < 40 or near.denominator == 1):
            return float(near) * (math.sqrt(2) if root else 1.0), near, root
    return None, Fraction(0), False


class Dress:
    """Writes the small parts; every number comes back with the value that it was written as."""

    def __init__(self, p: Problem, s: Style, rng: random.Random, sense: dict[str, int]) -> None:
        self.p, self.s, self.sense = p, s, sense
        self.minus = "-" if s.ascii or s.latex or rng.random() < 0.3 else "−"
        self.force_unit = rng.choice(FORCE_WORDS[p.units[0]])
        self.moment_unit = rng.choice(MOMENT_WORDS[p.units[0]])
        if p.units[1] not in ("m", "ft"):
            self.moment_unit = f"{p.units[0]}·{p.units[1]}"
        if s.cyrillic and p.units == ("kN", "m"):
            self.force_unit, self.moment_unit = "кН", "кН·м"
        if s.ascii:
            self.moment_unit = self.moment_unit.replace("·", "-")
        self.greek = list(GREEK[s.angle_name])
        self.angle_names: dict[float, str] = {}
        self.angle_values: dict[float, float] = {}
        self.half = rng.choice(["frac", "dec"])
        self.clash = self._clashing()
        self.ways: tuple[str, ...] = ()
        self.plain_names = self._plain_names() if s.plain_names else {}
        for name, (_, deg) in p.angles.items():
            self.angle_names[round(deg, 4)] = name
            self.angle_values[round(deg, 4)] = deg
            self.greek = [g for g in self.greek if g.strip("\\") != name and g != name]

    # ---- numbers
    def text(self, x: float, places: int = 4) -> str:
        t = f"{abs(x):.{places}f}"
        if "." in t:
            t = t.rstrip("0").rstrip(".")
        if self.s.tail_zero and "." not in t and t != "0" and len(t) < 3:
            t += ".0"
        return self._dress_number(t, x < 0 and t != "0")

    def _dress_number(self, t: str, negative: bool) -> str:
        if self.s.thousands and not self.s.comma:
            whole, point, rest = t.partition(".")
            if whole.isdigit():
                t = f"{int(whole):,}{point}{rest}"
        if self.s.bare_point and t.startswith("0."):
            t = t[1:]
        if self.s.spaces:
            whole, point, rest = t.partition(".")
            if whole.isdigit() and len(whole) > 3:
                t = f"{int(whole):,}".replace(",", " ") + point + rest
        if self.s.comma:
            t = t.replace(".", "{,}" if self.s.latex else ",")
        return (self.minus if negative else "") + t

    def signed_plain(self, t: str, negative: bool) -> str:
        return self._dress_number(t, negative)

    def plain(self, t: str) -> str:
        """Digits that are settled already, in this person's dress."""
        return self._dress_number(t, False)

    def given(self, x: float) -> tuple[T, float]:
        """A force of the sheet, as it stands there."""
        if self.p.letters:
            return T(self.lettered(x, self.p.letters[0])), x
        return T(self.text(x)), round(x, 4)

    def result_value(self, x: float) -> float:
        if self.p.letters:
            value = snapped(x)[0]
            return significant(x, 3) if value is None else value
        if (exact := self.fraction(x)) is not None:
            return float(exact)
        if self.s.decimals is not None and abs(x) >= 1:
            return round(x, self.s.decimals)
        return significant(x, self.s.figures)

    def fraction(self, x: float) -> Fraction | None:
        """The fraction that an exact person leaves standing: thirds, sixths, sevenths, ninths."""
        if not self.s.fractions or self.p.letters:
            return None
        near = Fraction(x).limit_denominator(12)
        exact = abs(float(near) - x) < 1e-9 * abs(x) and near.denominator in (3, 6, 7, 9, 11, 12)
        return near if exact and abs(near.numerator) < 200 else None

    def result(self, x: float, moment: bool = False) -> str:
        """A worked-out number, to this person's figures (trailing zeros kept by some)."""
        v = self.result_value(x)
        if self.p.letters:
            return self.lettered(v, self.moment_letters() if moment else self.p.letters[0])
        if v == 0:
            return "0"
        if (exact := self.fraction(x)) is not None:
            return self._dress_number(f"{abs(exact.numerator)}/{exact.denominator}", x < 0)
        digits = (
            self.s.decimals
            if self.s.decimals is not None and abs(x) >= 1
            else max(0, self.s.figures - 1 - math.floor(math.log10(abs(v))))
        )
        return self._dress_number(f"{abs(v):.{digits}f}", v < 0)

    # ---- letters
    def lettered(self, x: float, letter: str) -> str:
        """A multiple of a letter as people write it: 2P, P/3, 5Pa/3, 0.943P."""
        minus = self.minus if x < 0 else ""
        value, near, root = snapped(x)
        if root:
            letter = (
                r"\sqrt{2}" if self.s.latex else "sqrt(2)*" if self.s.ascii else "√2"
            ) + letter
        if value is not None:
            n, d = abs(near.numerator), near.denominator
            top = letter if n == 1 else f"{n}{letter}"
            if n == 0:
                return "0"
            if d == 1:
                return minus + top
            return minus + (rf"\frac{{{top}}}{{{d}}}" if self.s.latex else f"{top}/{d}")
        return minus + self._dress_number(f"{significant(abs(x), 3):g}", False) + letter

    def length(self, x: float) -> str:
        if self.p.letters is None:
            return self.text(round(x, 4))
        return self.lettered(x, self.p.letters[1])

    def moment_letters(self) -> str:
        assert self.p.letters
        force, length = self.p.letters
        if force == "wL":
            return "wL^2" if self.s.ascii or self.s.latex else "wL²"
        return force + length

    # ---- names
    def _clashing(self) -> bool:
        return any(j in ("R", "A") and False for j in self.p.joints) or "R" in self.p.joints

    def _plain_names(self) -> dict[str, str]:
        """Single letters for what there is one of: T or S, N, H and V, M."""
        p = self.p
        if p.inner_at or p.letters or p.calls or len(p.bodies) > 1:
            return {}
        out: dict[str, str] = {}
        if len(p.bars()) == 1:
            a, b = p.bars()[0]
            out[f"{a}-{b}"] = "T" if p.cables else "S"
        rollers = [j for kind, j, _ in p.supports if kind == "roller"]
        if len(rollers) == 1:
            out[f"reaction {rollers[0]}"] = "N" if p.units[0] != "N" else "R"
        pins = [(kind, j) for kind, j, _ in p.supports if kind != "roller"]
        bodied = {j for js in p.bodies.values() for j in js}
        mine = [(kind, j) for kind, j in pins if j in bodied] if bodied else pins
        if len(mine) == 1 and len(pins) <= 1 + len(p.bars()):
            kind, j = mine[0]
            resultant = self.s.reaction_dress in ("R_Ax", "A_x", "Ax") and "R" not in p.joints
            x, y = ("R_x", "R_y") if resultant else ("H", "V")
            out |= {f"reaction {j} x": x, f"reaction {j} y": y}
            if kind == "fixed":
                out[f"reaction {j} moment"] = "M"
        taken = set(p.joints) | set(p.load_names.values()) | set(p.angles)
        return {} if taken & set(out.values()) else out

    def name(self, key: str) -> str:
        if key in self.plain_names:
            return self.plain_names[key]
        for called, item in self.p.calls.items():
            if item == key:
                return self._sub(called)
        if "-" in key and not key.startswith(("reaction", "pin")):
            return self._sub(self.s.member_dress.replace("AB", key.replace("-", "")))
        words = key.split()
        joint = words[1]
        if words[0] in ("shear", "moment", "axial"):
            return {"shear": "V", "moment": "M", "axial": "N"}[words[0]] + "_" + words[2]
        if words[-1] == "moment":
            return f"M_{joint}" if "_" in self.s.reaction_dress else f"M{joint}"
        if words[0] == "reaction" and len(words) == 2:
            return self._roller(joint)
        return self._component(self.s.reaction_dress, joint, words[2])

    def _component(self, dress: str, joint: str, axis: str) -> str:
        v = axis == "y"
        if self.clash and dress.startswith("R"):
            dress = "A_x"
        forms = {
            "A_x": f"{joint}_{axis}",
            "Ax": f"{joint}{axis}",
            "R_Ax": f"R_{joint}{axis}",
            "RAx": f"R{joint}{axis}",
            "A_{x}": f"{joint}_{{{axis}}}",
            "H_A": f"{'V' if v else 'H'}_{joint}",
            "HA": f"{'V' if v else 'H'}{joint}",
            "X_A": f"{'Y' if v else 'X'}_{joint}",
            "A_H": f"{joint}_{'V' if v else 'H'}",
            "AH": f"{joint}{'V' if v else 'H'}",
            "F_Ax": f"F_{joint}{axis}",
            "A_h": f"{joint}_{'v' if v else 'h'}",
            "R_A,x": f"R_{joint},{axis}",
            "H_a": f"{'V' if v else 'H'}_{joint.lower()}",
        }
        return self._sub(forms[dress])

    def _sub(self, name: str) -> str:
        if not self.s.latex or "_" not in name or "{" in name:
            return name
        head, tail = name.split("_", 1)
        return f"{head}_{{{tail}}}" if len(tail) > 1 else name

    def _roller(self, joint: str) -> str:
        deg = next(d for k, j, d in self.p.supports if j == joint and k == "roller") % 360
        dress = self.s.roller_dress
        if dress in ("R_A", "RA", "A") and not (self.clash and dress != "A"):
            return self._sub(dress.replace("A", joint))
        if deg % 180 == 0:
            return self._component(self.s.reaction_dress, joint, "x")
        if deg % 180 == 90:
            return self._component(self.s.reaction_dress, joint, "y")
        return f"N_{joint}" if self.clash else f"R_{joint}"

    # ---- units and senses
    def unit(self, key: str) -> str:
        moment = key.split()[-1] == "moment" or key.startswith("moment")
        word = self.moment_unit if moment else self.force_unit
        if self.s.units == "none" or self.p.letters:
            return ""
        if self.s.units == "square":
            return f" [{word}]"
        if self.s.latex:
            return r"\,\mathrm{" + word.replace("·", r"\cdot ") + "}"
        return f" {word}"

    def member_word(self, tension: bool) -> str:
        if self.s.member_label == "latex":
            return r"\ (\text{T})" if tension else r"\ (\text{C})"
        return MEMBER_WORDS[self.s.member_label][0 if tension else 1]

    def arrow(self, key: str, act: Act, positive: bool) -> str:
        """The way in which a reaction acts, where it is along an axis; a moment's turn."""
        turned = self.sense.get(key, 1)
        if self.ways:
            return self._way(turned, act, positive)
        if act.slope is None:
            if self.s.ascii:
                return "ccw" if (turned > 0) == positive else "cw"
            return "↺" if (turned > 0) == positive else "↻"
        deg = round((act.slope.deg + (0 if (turned > 0) == positive else 180)) % 360)
        table = ASCII_ARROWS if self.s.ascii else ARROWS
        return table.get(deg, "")

    def _way(self, turned: int, act: Act, positive: bool) -> str:
        """The way in words: right, up, left, down, anticlockwise, clockwise."""
        if act.slope is None:
            return self.ways[4 if (turned > 0) == positive else 5]
        deg = round((act.slope.deg + (0 if (turned > 0) == positive else 180)) % 360)
        return self.ways[deg // 90] if deg % 90 == 0 else ""

    # ---- angles
    def degrees(self, deg: float) -> tuple[str, float]:
        figures = self.s.degree_figures
        v = round(deg, figures)
        if abs(deg - round(deg, 0)) < 1e-6:
            v, figures = round(deg), 0
        t = self._dress_number(f"{v:.{figures}f}", False)
        sign = (r"^\circ" if self.s.latex else "°") if self.s.degree_sign or self.s.latex else ""
        return t + sign, float(v)

    def trig(self, fn: str, inner: str, named: bool) -> str:
        if self.s.latex:
            inner = r"\theta" if inner == "theta" else inner
            return rf"\{fn} {inner}"
        fn = self.s.sine if fn == "sin" else fn
        if self.s.trig_bracket or (self.s.ascii and not self.s.trig_space):
            return f"{fn}({inner})"
        if named and self.s.ascii:
            return f"{fn} {inner}"
        return f"{fn} {inner}" if self.s.trig_space else f"{fn}{inner}"
