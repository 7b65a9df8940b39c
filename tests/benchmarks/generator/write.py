"""A person writes the plan down: every value comes from the operands as written."""

from __future__ import annotations

import math
import random
from dataclasses import dataclass, field

from .closing import by_symmetry, closing_check, frame, whole_reaction
from .dress import Dress, significant
from .plan import Step, Term, wanted_keys
from .problem import Act, Problem
from .style import CW_LABELS, HEADINGS, LABELS, Style
from .text import T


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
class Writer:
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
        self.skip_zeros = self.rng.random() < 0.8

    # ---- the page
    def page(self, steps: list[Step]) -> T:
        if self.s.prose:
            self.doc.append(
                T(
                    self.rng.choice(
                        [self.p.title, "Solution", "Working:", "Free body diagram drawn on sheet."]
                    )
                )
            )
        if self.s.declare:
            self.doc += [T(line) for line in self.declarations(steps)]
        if self.p.load_names:
            sep = "; " if self.s.comma else ", "
            given = [
                f"{n} = {self.d.given(abs(self.p.loads[int(k.split()[1])][1]))[0].s}{self.d.unit(k)}"
                for k, n in self.p.load_names.items()
            ]
            self.doc.append(T(sep.join(given)))
        self.definitions(steps)
        last: tuple[str, ...] | None = None
        for i, step in enumerate(steps):
            lead = T()
            if step.body != last or step.inspection:
                head = self.heading(step) or (self.plain_heading(step) if self.headed else "")
                if head:
                    self.headed = True
                    if self.inline and not step.inspection and head.endswith(":"):
                        lead = T(head + " ")
                    elif not step.inspection:
                        self.doc.append(T(head))
            last = None if step.inspection else (step.pair or step).body
            self.step(i, step, lead)
        if self.s.check:
            closing_check(self)
        if self.s.resultant:
            whole_reaction(self)
        if self.s.restate:
            self.restate()
        return frame(self, self.doc)

    def heading(self, step: Step) -> str:
        s = self.s
        match step.body[0]:
            case "whole":
                return s.whole
            case "joint":
                return HEADINGS[s.heading].format(j=step.body[1])
            case "section":
                part = set(step.body[1:])
                cut = [m for m in self.p.bars() if (m[0] in part) != (m[1] in part)]
                side = self._side(part)
                names = ", ".join(a + b for a, b in cut)
                return self.rng.choice(
                    [
                        f"Section through {names}; {side} part",
                        f"Cut {names}, {side} part:",
                        f"Section a-a through {names}, {side} part:",
                    ]
                )
            case "body":
                return (
                    f"FBD of {step.body[1]}:"
                    if s.heading != "none"
                    else f"{step.body[1].capitalize()}:"
                )
            case "cut":
                return f"Cut at {step.body[2]}, {step.body[3]} part:"
        return ""

    def plain_heading(self, step: Step) -> str:
        """What somebody writes who heads bodies only where it would not be clear otherwise."""
        return f"Joint {step.body[1]}:" if step.body[0] == "joint" else "Whole structure:"

    def _side(self, part: set[str]) -> str:
        inside = sum(self.p.joints[j][0] for j in part) / len(part)
        outside = [x for j, (x, _) in self.p.joints.items() if j not in part]
        return "left" if inside < sum(outside) / len(outside) else "right"

    def declarations(self, steps: list[Step]) -> list[str]:
        bars = sorted({k for s in steps for k in s.unknowns if "-" in k})
        pulls = [self.d.name(k) for k in bars if self.sense.get(k, 1) > 0]
        pushes = [self.d.name(k) for k in bars if self.sense.get(k, 1) < 0]
        out = []
        if bars and not pushes:
            out.append(
                self.rng.choice(["Assume all members in tension.", "All bars assumed in tension"])
            )
        elif bars:
            if pulls:
                out.append(f"Assume {', '.join(pulls)} in tension")
            out.append(f"Assume {', '.join(pushes)} in compression")
        for s in steps:
            for k in s.unknowns:
                act = next(t.act for t in s.terms if t.act.key == k)
                if "-" in k or act.kind not in ("react",):
                    continue
                word = self.d.arrow(k, act, True)
                if word and not any(self.d.name(k) + " " in o for o in out):
                    plain = {
                        "→": "to the right",
                        "←": "to the left",
                        "↑": "up",
                        "↓": "down",
                        "left": "to the left",
                        "right": "to the right",
                    }.get(word, word)
                    out.append(f"Assume {self.d.name(k)} {plain}")
        return out

    # ---- angles
    def definitions(self, steps: list[Step]) -> None:
        if self.s.trig != "named":
            return
        for s in steps:
            for one in (s, s.pair):
                for t in one.terms if one else []:
                    if (
                        t.fn
                        and t.act.slope
                        and t.act.slope.legs
                        and round(t.act.slope.acute, 4) not in self.d.angle_names
                    ):
                        self.define(t)

    def define(self, t: Term) -> None:
        assert t.act.slope
        assert t.act.slope.legs
        if not self.d.greek:
            return
        name = self.d.greek.pop(0)
        key = round(t.act.slope.acute, 4)
        dx, dy = t.act.slope.legs
        if self.slip.where == "definition" and self.slip.step == len(self.d.angle_values):
            if self.slip.how == "dx":
                dx = self.slip.amount
            else:
                dy = self.slip.amount
        text, value = self.d.degrees(math.degrees(math.atan2(dy, dx)))
        if self.s.latex:
            text, value = self.d.degrees(math.degrees(math.atan2(dy, dx)))
        ratio = f"{self.d.text(dy)}/{self.d.text(dx)}"
        fn = {"tan": "tan⁻¹", "arctan": "arctan", "atan": "atan"}[self.s.define]
        if self.s.latex:
            fn = r"\tan^{-1}"
        fault = (
            "fault"
            if self.slip.where == "definition" and self.slip.step == len(self.d.angle_values)
            else ""
        )
        body = T(f"{fn}({ratio})").tag(fault) + f" = {text}"
        self.d.angle_names[key] = name
        self.d.angle_values[key] = value
        self.doc.append(T(f"{name} = ") + body.tag(f"definition:{key}"))

    def angle(self, t: Term) -> tuple[T, float]:
        """cos or sin as written, with what it is worth."""
        assert t.act.slope is not None
        assert t.fn is not None
        legs, fn = t.act.slope.legs, t.fn
        key = round(t.slope_deg, 4)
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
            return T(f"{self.d.text(leg)}/{self.d.text(hyp)}"), leg / hyp
        if abs(whole - round(whole)) < 1e-9 and all(abs(x - round(x)) < 1e-9 for x in legs):
            root = (
                rf"\sqrt{{{round(whole)}}}"
                if self.s.latex
                else (f"sqrt({round(whole)})" if self.s.ascii else f"√{round(whole)}")
            )
            return T(f"{self.d.text(leg)}/{root}"), leg / hyp
        h = round(hyp, 3)
        return T(f"{self.d.text(leg)}/{self.d.text(h)}"), leg / h

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
                return (T(shown) if v >= 0 else T(self.d.minus) + shown), None, v
        return T(self.d.name(a.key)), a.key, 1.0

    def carried(self, a: Act, v: float, own: bool) -> tuple[str, float]:
        """A found value as put in later: as it stands, with a figure less, or from the calculator."""
        shown = self.s.substitute != "name" or self.s.steps in ("chain", "expr", "gather chain")
        settled = self.s.carry != "same" and shown and not self.p.letters and a.key in self.full
        if own and v and settled:
            figures = 4 if self.s.carry == "finer" else 3
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

    def _resultant(self, parts: tuple[float, ...]) -> tuple[T, str | None, float]:
        worth = math.prod(parts)
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
            half = {"frac": "1/2", "dec": self.d.text(0.5)}[self.d.half]
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
            and compound
            and t.act.value is not None
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
        return Piece(sign, body, key, sign * worth, t)

    def _with_ratio(self, body: T, ratio: T, number: bool) -> T:
        s = self.s
        if ratio.s[0].isdigit():
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
            return " + ".join(self.d.text(x) for x in t.pieces)
        return self.d.length(t.arm / unit)

    def _with_arm(self, body: T, t: Term, unit: float, number: bool, has_ratio: bool) -> T:
        s = self.s
        plain = self.arm_text(t, unit)
        a = self._with_unit(T(plain), "length")
        if s.product == "paren" and "+" in plain:
            return body + "(" + a + ")"
        if "+" in plain:
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

    def common_panel(self, step: Step) -> float:
        """The panel length, where this person divides a moment sum through by it."""
        arms = [t.arm for t in step.terms]
        if not self.s.panels or step.axis != "M" or self.p.letters or self.s.units == "all":
            return 1.0
        if any(a is None for a in arms):
            return 1.0
        least = min(a for a in arms if a is not None)
        whole = [(a or 0) / least for a in arms]
        if abs(least - 1) < 1e-9 or any(abs(w - round(w)) > 1e-6 or w > 6.5 for w in whole):
            return 1.0
        return least

    # ---- sums
    def label(self, step: Step) -> tuple[str, int]:
        pair = LABELS[self.s.sum_label]
        if step.axis == "x":
            return pair[0], 1
        if step.axis == "y":
            return pair[1], 1
        text, flip = pair[2], 1
        if self.s.moment_positive == "cw":
            if self.s.sum_label in CW_LABELS:
                text, flip = CW_LABELS[self.s.sum_label], -1
            elif self.s.sum_label not in ("bare", "us after", "us arrows", "german", "ascii words"):
                flip = -1
        return text.replace("{a}", step.point), flip

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

    def equation(self, pieces: list[Piece], target: str | None = None) -> T:
        s = self.s
        if s.form == "balance":
            left, right = [q for q in pieces if q.sign > 0], [q for q in pieces if q.sign < 0]
            if left and right:
                return self.signed(left) + " = " + self.signed(right, -1)
        if s.form == "isolate" and target is not None:
            mine = [q for q in pieces if q.term.act.key == target]
            rest = [q for q in pieces if q.term.act.key != target]
            if mine and rest:
                turn = mine[0].sign
                return self.signed(mine, turn) + " = " + self.signed(rest, -turn)
        if s.form == "zero left":
            return "0 = " + self.signed(pieces)
        return self.signed(pieces) + " = 0"

    def step(self, i: int, step: Step, lead: T) -> None:
        if step.pair is not None:
            from .pairs import write_pair

            write_pair(self, i, step, lead)
            return
        if step.symmetry:
            by_symmetry(self, i, step, lead)
            return
        if step.inspection:
            self.values[step.target] = 0.0
            self.doc.append(T(self.s.inspection.format(name=self.d.name(step.target))))
            return
        label, flip = self.label(step)
        target = (step.target,)
        self.panel = self.common_panel(step)
        pieces = self.ordered([self.piece(t, flip, False, target) for t in step.terms])
        valued = self.without_zeros(
            self.ordered([self.piece(t, flip, True, target) for t in step.terms])
        )
        if self.s.substitute == "value":
            pieces = self.without_zeros(pieces)
        mine = [q for q in valued if q.key == step.target]
        rest = [q for q in valued if q.key != step.target]
        c, k = sum(q.worth for q in mine), sum(q.worth for q in rest)
        if abs(c) < 1e-9:
            self.dropped = True
            return
        head = lead + T(label).tag(f"label:{i}") if label else lead
        if not rest and len(pieces) == 1 and simple_zero(mine):
            self.values[step.target] = 0.0
            self.doc.append(head + T(f"{self.d.name(step.target)} = 0").tag(f"sum:{i}"))
            return
        named = any(
            q.key not in (None, step.target) or q.term.act.key in self.p.load_names for q in pieces
        )
        show = [self.equation(pieces, step.target).tag(f"sum:{i}")]
        if self.s.substitute == "name then value" and named:
            show.append(self.equation(valued, step.target))
        solo = self.s.form == "solve" and len(mine) == 1 and rest
        work = self.solution(i, step, mine, rest, c, k, solo)
        self.lines(head, work if solo else show + work, i)

    def lines(self, head: T, statements: list[T], i: int) -> None:
        text = head + T.join(self.s.connect, statements).tag(f"line:{i}")
        self.doc.append(text)

    def solution(
        self,
        i: int,
        step: Step,
        mine: list[Piece],
        rest: list[Piece],
        c: float,
        k: float,
        solo: bool,
    ) -> list[T]:
        how = "chain" if solo and self.s.steps not in ("chain", "expr") else self.s.steps
        name = self.d.name(step.target)
        lone = len(mine) == 1
        slip = self.slip if self.slip.step == i else Slip()
        simple = lone and abs(abs(c) - 1) < 1e-12
        trivial = simple and len(rest) == 1
        if how in ("gather", "gather chain") and not simple and rest:
            return self.gathered(i, step, mine, rest, c, k, slip, how == "gather chain")
        if (
            how in ("chain", "expr")
            and lone
            and rest
            and not (
                trivial and how == "chain" and not rest[0].term.fn and rest[0].term.arm is None
            )
        ):
            expr, x = self.moved(mine[0], rest, slip)
            if len(rest) == 1 and rest[0].term.mark:
                expr = expr.tag("wide")
            if how == "chain":
                tail = self.conclude(i, step, x, slip)
                return [T(f"{name} = ") + expr + self.s.chain + tail]
            return [T(f"{name} = ") + expr, T(f"{name} = ") + self.conclude(i, step, x, slip)]
        x = -k / c
        if slip.where == "expr":
            x = -x if slip.how == "sign" else -k * c
        return [
            T(f"{name} = ")
            + self.conclude(i, step, x, slip, "fault" if slip.where == "expr" else "")
        ]

    def moved(self, mine: Piece, rest: list[Piece], slip: Slip) -> tuple[T, float]:
        """The unknown's value as an expression: known terms over the unknown's coefficient."""
        turn = -mine.sign
        k = sum(q.worth for q in rest) * turn
        wrong_sign = slip.where == "expr" and slip.how == "sign"
        if wrong_sign:
            turn, k = -turn, -k
        top = self.signed(rest, turn)
        under: list[T] = []
        c = 1.0
        if mine.term.fn is not None:
            ratio, v = self.angle(mine.term)
            under.append(T("(") + ratio + ")" if "/" in ratio.s else ratio)
            c *= v
        if mine.term.arm is not None:
            under.append(self._with_unit(T(self.d.length(mine.term.arm / self.panel)), "length"))
            c *= round(mine.term.arm / self.panel, 4)
        many = len(rest) > 1 or bool(rest[0].term.arm is not None and self.s.product != "paren")
        if not under:
            return top.tag("fault" if slip.where == "expr" else ""), k
        if self.s.latex:
            expr = T(r"\frac{") + top + "}{" + T.join(r" \cdot ", under) + "}"
        else:
            bottom = (
                under[0]
                if len(under) == 1
                else T("(") + T.join(self.times.get(self.s.product, "·"), under) + ")"
            )
            worded = self.s.units == "all" or (self.p.letters and len(bottom.s) > 1)
            if len(under) == 1 and worded and mine.term.arm is not None:
                bottom = T("(") + bottom + ")"
            many = many or "/" in top.s
            many = many or (not self.s.degree_sign and ("sin" in top.s or "cos" in top.s))
            expr = (T("(") + top + ")" if many else top) + "/" + bottom
            if slip.where == "expr" and slip.how == "multiply":
                op = "·" if not self.s.ascii else "*"
                expr = (T("(") + top + ")" if many else top) + op + bottom
        if slip.where == "expr" and slip.how == "multiply":
            return expr.tag("fault"), k * c
        return expr.tag("fault" if slip.where == "expr" else ""), k / c

    def gathered(
        self,
        i: int,
        step: Step,
        mine: list[Piece],
        rest: list[Piece],
        c: float,
        k: float,
        slip: Slip,
        chain: bool,
    ) -> list[T]:
        name = self.d.name(step.target)
        turn = 1 if c > 0 else -1
        arms = mine[0].term.arm is not None
        ctext, cval = self.number(abs(c), "length" if arms else "")
        right = -k * turn
        if slip.where == "expr" and slip.how == "sign":
            right = -right
        ktext, kval = self.number(right, "moment" if step.axis == "M" else "force")
        mark = "fault" if slip.where == "expr" and slip.how == "sign" else ""
        left = T(f"{ctext} {name}" if not self.s.latex else f"{ctext}\\,{name}")
        if chain and len(rest) + sum(q.term.arm is not None for q in rest) > 1:
            body = self.signed(rest, -turn if not mark else turn)
            first = left + " = " + body.tag(mark) + " = " + T(ktext)
        else:
            first = left + " = " + T(ktext).tag(mark)
        x = kval / cval
        if slip.where == "expr" and slip.how == "multiply":
            x = kval * cval
            return [first, T(f"{name} = ") + self.conclude(i, step, x, slip, "fault")]
        return [first, T(f"{name} = ") + self.conclude(i, step, x, slip)]

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

    def conclude(self, i: int, step: Step, x: float, slip: Slip, mark: str = "") -> T:
        """The value with unit and sense; the value is kept as written."""
        key = step.target
        if abs(x) < 2e-3 * self.scale and abs(self.p.truth.get(key, 1.0)) < 1e-6 * self.scale:
            self.values[key] = 0.0
            return T("0").tag(mark)
        if slip.where == "value":
            x = slip.amount
        if slip.where == "result":
            x = x * slip.amount
        v = self.d.result_value(x)
        self.values[key] = v
        self.full[key] = x
        if v == 0:
            return T("0").tag(mark)
        fault = "fault" if slip.where == "result" else ""
        unit = self.d.unit(key)
        if slip.where == "unit":
            unit = slip.how
        moment = "moment" in key
        number = T(self.d.result(x, moment)).tag(mark, fault)
        if self.s.strikes and self.rng.random() < 0.15 and slip.where == "" and not self.p.letters:
            number = T(f"~~{self.d.result(x * self.rng.choice([0.7, 1.4, 10, 1.1]))}~~ ") + number
        out = number + T(unit).tag("fault" if slip.where == "unit" else "")
        return self.sense_label(step, key, out, v, unit, slip).tag("result")

    def sense_label(self, step: Step, key: str, out: T, v: float, unit: str, slip: Slip) -> T:
        act = next(t.act for t in step.terms if t.act.key == key)
        flipped = slip.where == "label"
        fault = "fault" if flipped else ""
        size = T(self.d.result(abs(v), act.slope is None))
        if act.kind == "member":
            word = self.d.member_word((v * self.sense.get(key, 1) > 0) != flipped)
            if not word:
                return out
            if v < 0 and self.s.member_form == "arrow":
                arrow = r" \rightarrow " if self.s.latex else (" -> " if self.s.ascii else " → ")
                return out + arrow + size + unit + T(word).tag(fault)
            if v < 0 and self.s.member_form == "then":
                return out + ", i.e. " + size + unit + T(word).tag(fault)
            return out + T(word).tag(fault)
        if act.kind in ("react", "moment") and self.s.reaction_arrow != "none":
            arrow = self.d.arrow(key, act, (v > 0) != flipped)
            if not arrow:
                return out
            bracket = self.s.reaction_arrow == "brackets" or self.s.ascii
            shown = T(f" ({arrow})" if bracket else f" {arrow}").tag(fault)
            if v < 0 and not bracket:
                return out + ", i.e. " + size + unit + shown
            return out + shown
        return out

    def restate(self) -> None:
        parts = []
        for key in wanted_keys(self.p):
            if key not in self.values:
                continue
            v = self.values[key]
            text = f"{self.d.name(key)} = {self.d.result(v, 'moment' in key) if v else '0'}{self.d.unit(key) if v else ''}"
            if "-" in key and v and not key.startswith(("reaction", "pin")):
                text += self.d.member_word(v * self.sense.get(key, 1) > 0)
            parts.append(text)
        sep = "; " if self.s.comma else self.rng.choice([", ", "; "])
        if not parts:
            return
        lead = self.rng.choice(["Results: ", "So ", "Answer: ", ""])
        self.doc.append(T(lead + sep.join(parts)))


def simple_zero(mine: list[Piece]) -> bool:
    """Whether the sum says outright that its one force is nothing."""
    return len(mine) == 1 and mine[0].term.fn is None and mine[0].term.arm is None
