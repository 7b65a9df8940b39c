"""What the second writer puts down before the sums: angles, lengths, loads resolved."""

from __future__ import annotations

import math

from .dress import significant
from .hand import Piece
from .plan import Step, Term
from .small_words import AGAIN, IE
from .text import T
from .tongues import TONGUES
from .write import Writer


class Preparing(Writer):
    """Defines angles by their sine and cosine or by three joints, and resolves loads first."""

    def __post_init__(self) -> None:
        super().__post_init__()
        self.tongue = TONGUES[self.s.tongue]
        self.ie = IE[self.s.tongue]
        if self.s.latex:
            self.ie = rf"\text{{{self.ie}}}"
        self.again = AGAIN[self.s.tongue]
        if self.s.way_words:
            self.d.ways = self.tongue.ways
        self.met: set[str] = set()
        self.parts: dict[tuple[str, str], tuple[str, str, float]] = {}
        self.count = 0
        self.said: list[str] = []
        self.letter = ""

    def of(self, options: tuple[str, ...], habit: int) -> str:
        return options[habit % len(options)]

    def define(self, t: Term) -> None:
        if self.s.defs != "sincos":
            self.define_angle(t)
            return
        assert t.act.slope is not None
        assert t.act.slope.legs is not None
        if not self.d.greek:
            return
        key = round(t.act.slope.acute, 4)
        name = self.d.greek.pop(0)
        dx, dy = t.act.slope.legs
        wrong = self.slip.where == "definition" and self.slip.step == len(self.d.angle_values)
        if wrong and self.slip.how == "dx":
            dx = self.slip.amount
        elif wrong:
            dy = self.slip.amount
        fault = "fault" if wrong else ""
        hyp = math.hypot(dx, dy)
        figures = 3 if self.s.figures == 3 else 4
        if self.s.lengths_first and not self.p.letters:
            hyp = significant(hyp, 4)
        ratios = []
        worth = {}
        for fn, leg in (("sin", dy), ("cos", dx)):
            v = round(leg / hyp, figures)
            worth[fn] = v
            exact = abs(hyp - round(hyp, 2)) < 1e-9
            word = self.d.trig(fn, name, True)
            if exact:
                worth[fn] = leg / hyp
                ratios.append(f"{word} = {self.d.text(leg)}/{self.d.text(hyp)}")
            elif self.s.lengths_first and not self.p.letters:
                ratios.append(f"{word} = {self.d.text(leg)}/{self.d.text(hyp)} = {self.d.text(v)}")
            else:
                ratios.append(f"{word} = {self.d.text(v)}")
        sep = "; " if self.s.comma else ", "
        self.d.angle_names[key] = name
        self.d.angle_values[key] = math.degrees(math.atan2(dy, dx))
        self.sincos[key] = worth
        if self.s.lengths_first and not self.p.letters and t.act.kind == "member":
            bar = t.act.key.replace("-", "")
            bar = f"l_{bar}" if bar.isdigit() else bar
            root = f"√({self.d.text(dx)}² + {self.d.text(dy)}²)"
            text = f"{bar} = {root} = {self.d.text(hyp)} {self.p.units[1]}"
            self.doc.append(T(text).tag(f"length:{key}", fault))
        self.doc.append(T(sep.join(ratios)).tag(f"definition:{key}", fault))

    def define_angle(self, t: Term) -> None:
        assert t.act.slope is not None
        assert t.act.slope.legs is not None
        if not self.d.greek:
            return
        name = self.d.greek.pop(0)
        key = round(t.act.slope.acute, 4)
        dx, dy = t.act.slope.legs
        wrong = self.slip.where == "definition" and self.slip.step == len(self.d.angle_values)
        if wrong and self.slip.how == "dx":
            dx = self.slip.amount
        elif wrong:
            dy = self.slip.amount
        text, value = self.d.degrees(math.degrees(math.atan2(dy, dx)))
        ratio = f"{self.d.text(dy)}/{self.d.text(dx)}"
        fault = "fault" if wrong else ""
        self.d.angle_names[key] = name
        self.d.angle_values[key] = value
        if self.s.define in ("arctan", "atan"):
            word = {"tg": "arctg", "tan": "arctan"}[self.s.tangent]
            body = T(f"{word}({ratio})").tag(fault) + f" = {text}"
            self.doc.append((T(f"{name} = ") + body).tag(f"definition:{key}"))
            return
        body = T(f"{self.s.tangent} {name} = ") + T(ratio).tag(fault)
        if dx and self.s.figures == 3:
            body = body + f" = {self.d.text(round(dy / dx, 4))}"
        self.doc.append((body + f" ⇒ {name} = {text}").tag(f"definition:{key}"))

    def angles(self, steps: list[Step]) -> None:
        """The slopes that the sums will use, each as an angle of the figure at its corner."""
        done: set[float] = set()
        for step in steps:
            for t in step.terms + (step.pair.terms if step.pair else []):
                slope = t.act.slope
                if t.act.kind != "member" or t.fn is None or slope is None or not slope.legs:
                    continue
                key = round(slope.acute, 4)
                corner = self.corner(t.act.key)
                if key in done or (corner or "").isdigit() or t.theta is not None or corner is None:
                    continue
                done.add(key)
                dx, dy = slope.legs
                text, _ = self.d.degrees(slope.acute)
                fn = {"tg": "arctg", "tan": "arctan"}[self.s.tangent]
                ratio = f"{self.d.text(dy)}/{self.d.text(dx)}"
                self.doc.append(T(f"∠{corner} = {fn}({ratio}) = {text}"))

    def corner(self, bar: str) -> str | None:
        """The angle between a bar and a level one that meets it, by its three joints."""
        a, b = bar.split("-")
        slope = self.p.slope_between(a, b).acute
        for c, d in self.p.bars():
            for at, far in ((c, d), (d, c)):
                if at not in (a, b) or self.p.joints[c][1] != self.p.joints[d][1]:
                    continue
                other = b if at == a else a
                one, two = self.p.slope_between(at, far), self.p.slope_between(at, other)
                between = abs((one.deg - two.deg + 180) % 360 - 180)
                if abs(between - slope) < 1e-6:
                    return f"{far}{at}{other}"
        return None

    def resolve(self, steps: list[Step]) -> None:
        """The slanted loads' components worked out before any sum."""
        taken = {self.d.name(k) for k in self.p.truth}
        for step in steps:
            for t in step.terms + (step.pair.terms if step.pair else []):
                key, slope = t.act.key, t.act.slope
                if (
                    t.act.kind != "load"
                    or t.fn is None
                    or t.act.parts
                    or (key, "cos") in self.parts
                ):
                    continue
                if step.axis in "⊥∥" or slope is None or slope.legs is not None:
                    continue
                size = abs(t.act.value or 0.0)
                given = self.p.load_names.get(key, f"F{int(key.split()[1]) + 1}")
                names = [f"{given}{'_' if given.isalpha() else ''}{axis}" for axis in "xy"]
                if taken & set(names) or any(given == self.d.name(k) for k in self.p.truth):
                    continue
                texts = []
                shown = given if key in self.p.load_names else self.d.text(size)
                for fn, name in zip(("cos", "sin"), names, strict=True):
                    plain = Term(1, t.act, fn)
                    ratio, c = self.angle(plain)
                    text, v = self.number(size * c)
                    op = self.times.get(self.s.product, "·") if self.s.product != "paren" else " "
                    self.parts[key, fn] = (name, text, v)
                    texts.append(f"{name} = {shown}{op}{ratio.s} = {text}{self.d.unit('load')}")
                if self.rng.random() < 0.5:
                    self.doc += [T(x) for x in texts]
                else:
                    self.doc.append(T(("; " if self.s.comma else ", ").join(texts)))

    def piece(self, t: Term, flip: int, values: bool, target: tuple[str, ...]) -> Piece:
        part = self.parts.get((t.act.key, t.fn or "")) if t.theta is None else None
        if part is None or t.value is not None:
            return self.squared(t, flip) or super().piece(t, flip, values, target)
        name, text, v = part
        worded = self.s.resolves == "names" and not values
        body, worth = T(name if worded else text), v
        if t.arm is not None:
            body = self._with_arm(body, t, self.panel, not worded, False)
            worth *= round(t.arm / self.panel, 4)
        sign = t.sign * flip
        return Piece(sign, body, None, sign * worth, t)

    def squared(self, t: Term, flip: int) -> Piece | None:
        """w·L²/2 (or /3, /6) for a spread load that begins or ends at the moment point."""
        parts = t.parts or t.act.parts
        if not self.s.squares or t.act.kind != "dist" or t.arm is None or self.p.letters:
            return None
        if self.s.lumps or self.s.premultiplies or self.panel != 1.0:
            return None
        n = parts[-1]
        w = parts[-2]
        tri = len(parts) == 3
        ratio = t.arm / n
        by = next(
            (
                k
                for k in ((3, 6) if tri else (2,))
                if abs(ratio * (0.5 if tri else 1) - 1 / k) < 1e-3
            ),
            None,
        )
        if by is None:
            return None
        square = f"{self.d.text(n)}{'^2' if self.s.ascii else '²'}"
        op = "·" if self.s.product == "paren" else self.times[self.s.product]
        sign = t.sign * flip
        body = T(f"{self.d.text(w)}{op}{square}/{by}")
        return Piece(sign, body, None, sign * w * n * n / by, t)
