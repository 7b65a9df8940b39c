"""From a sum to its unknown: rearranging, gathering, working out, and saying in which sense."""

from __future__ import annotations

from .hand import Hand, Piece, Slip
from .plan import Step
from .text import T


class Solver(Hand):
    """Solves a written sum from the operands as written."""

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
        nothing = abs(k) < 1.5e-3 * max((abs(q.worth) for q in rest), default=0.0)
        if how in ("gather", "gather chain") and not simple and rest and not nothing:
            return self.gathered(i, step, mine, rest, c, k, slip, how == "gather chain")
        if (
            how in ("chain", "expr")
            and lone
            and rest
            and (abs(k) > 1e-9 or any(q.term.mark for q in rest))
            and not (
                trivial and how == "chain" and not rest[0].term.fn and rest[0].term.arm is None
            )
        ):
            expr, x = self.moved(mine[0], rest, slip)
            if len(rest) == 1 and rest[0].term.mark:
                expr = expr.tag("wide")
            if how == "chain":
                shown = self.in_names(mine[0], slip)
                expr = shown + " = " + expr if shown else expr
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

    def in_names(self, mine: Piece, slip: Slip) -> T:
        """The same expression with names for what is known, before the numbers go in."""
        if not self.s.chain_names or slip.where == "expr" or not self.spoken:
            return T()
        expr = self.moved(mine, self.spoken, Slip())[0]
        marked = len(self.spoken) == 1 and self.spoken[0].term.mark
        return expr.tag("wide") if marked else expr

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

    def conclude(self, i: int, step: Step, x: float, slip: Slip, mark: str = "") -> T:
        """The value with unit and sense; the value is kept as written."""
        key = step.target
        nothing = abs(self.p.truth.get(key, 1.0)) < 1e-6 * self.scale
        if nothing and abs(x) < 2e-3 * self.scale:
            # More than the last figure of the operands: nobody careful would call it nothing.
            self.dropped = self.dropped or abs(x) > 5e-4 * self.scale
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

    def bare(self, slip: Slip) -> bool:
        """Whether a negative result is stated by its size, the sense telling the rest."""
        return self.s.size_only and self.s.steps == "short" and slip.where == ""

    def sense_label(self, step: Step, key: str, out: T, v: float, unit: str, slip: Slip) -> T:
        act = next(t.act for t in step.terms if t.act.key == key)
        flipped = slip.where == "label"
        fault = "fault" if flipped else ""
        size = T(self.d.result(abs(v), act.slope is None))
        if act.kind == "member":
            word = self.d.member_word((v * self.sense.get(key, 1) > 0) != flipped)
            if not word:
                return out
            if v < 0 and self.bare(slip):
                return size + unit + word
            if v < 0 and self.s.member_form == "arrow":
                arrow = r" \rightarrow " if self.s.latex else (" -> " if self.s.ascii else " → ")
                return out + arrow + size + unit + T(word).tag(fault)
            if v < 0 and self.s.member_form == "then":
                return out + f", {self.ie} " + size + unit + T(word).tag(fault)
            return out + T(word).tag(fault)
        if act.kind in ("react", "moment") and self.s.reaction_arrow != "none":
            arrow = self.d.arrow(key, act, (v > 0) != flipped)
            if not arrow:
                return out
            bracket = self.s.reaction_arrow == "brackets" or self.s.ascii
            shown = T(f" ({arrow})" if bracket else f" {arrow}").tag(fault)
            if v < 0 and self.bare(slip):
                return size + unit + shown
            if v < 0 and not bracket:
                return out + f", {self.ie} " + size + unit + shown
            return out + shown
        return out
