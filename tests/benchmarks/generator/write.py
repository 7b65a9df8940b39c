"""A person writes the plan down: every value comes from the operands as written."""

from __future__ import annotations

import math

from .closing import by_symmetry, closing_check, frame, whole_reaction
from .dress import significant
from .hand import Piece, Slip
from .headed import Headed
from .labels import CW_LABELS, LABELS
from .plan import Step, Term, wanted_keys
from .text import T

__all__ = ["Slip", "Writer"]


class Writer(Headed):
    """Writes a whole page: headings, definitions, sums, results, and what comes at the end."""

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
                f"{n} = {self.d.given(self.p.load_size(k))[0].s}{self.d.unit(k)}"
                for k, n in self.p.load_names.items()
            ]
            self.doc.append(T(sep.join(given)))
        if self.s.lumps and not self.p.letters and not self.s.latex:
            self.resultants(steps)
        self.definitions(steps)
        last: tuple[str, ...] | None = None
        same: tuple[str, ...] | None = None
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
            before = len(self.doc)
            self.step(i, step, lead)
            beside = i > 0 and step.axis in "xy" and steps[i - 1].axis in "xy" and not lead
            if (
                self.s.joins
                and beside
                and len(self.doc) == before + 1
                and same == step.body
                and not step.inspection
            ):
                joint = self.rng.choice(["; ", ";  "])
                if "\n" not in self.doc[-1].s + self.doc[-2].s:
                    self.doc[-2:] = [self.doc[-2] + joint + self.doc[-1]]
            same = None if step.pair or step.symmetry or step.inspection else step.body
        if self.s.check:
            closing_check(self)
        if self.s.resultant:
            whole_reaction(self)
        if self.s.restate:
            self.restate()
        return frame(self, self.doc)

    def resultants(self, steps: list[Step]) -> None:
        """Distributed loads worked out to one force each, before the sums."""
        done = set()
        for step in steps:
            for act in step.acts:
                if act.kind == "dist" and act.key not in done and step.body[0] != "cut":
                    done.add(act.key)
                    parts = act.parts
                    text = self.number(math.prod(parts))[0]
                    op = self.times.get(self.s.product, " × ")
                    shown = op.join(self.d.text(x) for x in parts)
                    lead = self.rng.choice(["Resultant of load: ", "Total load = ", "Resultant = "])
                    self.doc.append(T(f"{lead}{shown} = {text}{self.d.unit('load')}"))

    def definitions(self, steps: list[Step]) -> None:
        if self.s.trig != "named":
            return
        for s in steps:
            for one in (s, s.pair):
                for t in one.terms if one else []:
                    if (
                        t.fn
                        and not t.across
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

    def common_panel(self, step: Step) -> float:
        """The panel length, where this person divides a moment sum through by it."""
        arms = [t.arm for t in step.terms if not t.mark]
        if not self.s.panels or step.axis != "M" or self.p.letters or self.s.units == "all":
            return 1.0
        if not arms or any(a is None for a in arms):
            return 1.0
        least = min(a for a in arms if a is not None)
        whole = [(a or 0) / least for a in arms]
        if abs(least - 1) < 1e-9 or any(abs(w - round(w)) > 1e-6 or w > 6.5 for w in whole):
            return 1.0
        misread = [t.arm / least for t in step.terms if t.mark and t.arm is not None]
        if any(abs(2 * w - round(2 * w)) > 1e-6 for w in misread):
            return 1.0  # nobody divides by a panel that the arms are no multiples of
        return least

    # ---- sums
    def label(self, step: Step) -> tuple[str, int]:
        pair = LABELS[self.s.sum_label]
        if step.axis == "⊥":
            bar = "-".join((step.point[0], step.point[1:])) if len(step.point) > 2 else step.point
            if self.s.latex:
                return rf"\sum F_{{\perp {bar}}} = 0: \quad ", 1
            if self.s.ascii:
                return f"Sum of forces perpendicular to {bar} = 0: ", 1
            words = self.s.sum_label.startswith("uk")
            return (f"Resolving perpendicular to {bar}: " if words else f"ΣF⊥{bar} = 0: "), 1
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
        self.spoken = [q for q in pieces if q.key != step.target] if named else []
        work = self.solution(i, step, mine, rest, c, k, solo)
        if solo:
            work = [work[0].tag(f"sum:{i}"), *work[1:]]
        statements = work if solo else show + work
        if (
            self.s.corrects
            and not self.p.letters
            and self.rng.random() < 0.1
            and self.slip.step != i
            and self.full.get(step.target)
        ):
            wrong = T(f"{self.d.name(step.target)} = {self.d.result(self.full[step.target] * 1.3)}")
            self.lines(head, [*statements[:-1], wrong + self.d.unit(step.target)], i)
            self.doc.append(self.rng.choice(self.again) + statements[-1])
            return
        self.lines(head, statements, i)

    def lines(self, head: T, statements: list[T], i: int) -> None:
        text = head + T.join(self.s.connect, statements).tag(f"line:{i}")
        self.doc.append(text)

    def restate(self) -> None:
        parts = []
        for key in wanted_keys(self.p):
            if key not in self.values:
                continue
            v = self.values[key]
            shown = self.d.result(v, "moment" in key) if v else "0"
            unit = self.d.unit(key) if v else ""
            if (
                self.s.kilo
                and self.p.units[0] == "N"
                and self.s.units == "results"
                and "moment" not in key
            ):
                kilo = significant(v / 1000, 3)
                if abs(kilo) >= 1:
                    digits = 2 if abs(kilo) < 10 else 1
                    shown, unit = self.d.signed_plain(f"{abs(kilo):.{digits}f}", kilo < 0), " kN"
            text = f"{self.d.name(key)} = {shown}{unit}"
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
