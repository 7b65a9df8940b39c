"""Angles that the writer defines by a sine, cosine or tangent: sin α = 0,8; tan β = 3/4."""

import math
from dataclasses import replace

from verifier.checking import derived, drawn
from verifier.checking.claims import Claims
from verifier.checking.faults import Explanation
from verifier.checking.faults.base import say, tidy
from verifier.checking.figure import SENSES
from verifier.checking.forms import NotLinear
from verifier.checking.ledger import Found, half_width
from verifier.checking.names import Known, Local, key_of
from verifier.checking.quantity import Quantity, function
from verifier.checking.termwise import odd_term, rounds_each
from verifier.notation.tree import Expr, Func, Mark, Name, Num, Pow, Relation, Unit, walk

_INVERSE = {"sin": "asin", "cos": "acos", "tan": "atan"}
_NEAR = 0.3
_NO_ROUNDING = 0.25
"""What changes a number by more than this share is no rounding: 0.75 = 1."""


def _spread(ratio: str, value: Quantity) -> float:
    """Return how far, in radians, an angle may be off whose ratio is known to `value.radius`."""
    number, radius = value
    if ratio == "tan":
        return radius / (1 + number * number)
    # Near one the curve is flat: the angle moves by the root of what the ratio does.
    return radius / max(math.sqrt(max(1 - number * number, 0.0)), math.sqrt(radius), 1e-9)


class Angles(Claims):
    """Takes an angle's value from its sine, cosine or tangent; compares plain numbers."""

    def _by_ratio(self, relation: Relation) -> bool:
        """Take `sin α = 0,8` or `s = sin α = 0,8` for a letter without a value; False for others.

        A second ratio makes the angle no vaguer than the first; one that is at odds with it is left
        to be judged as a line of its own.
        """
        first, *rest = relation.sides
        if isinstance(first, Name) and len(rest) > 1 and isinstance(rest[0], Func):
            tail = relation.marks[1:] if relation.marks else ()
            self._by_ratio(replace(relation, sides=tuple(rest), ops=relation.ops[1:], marks=tail))
            return False
        name = self._named_angle(first)
        if name is None or not rest:
            return False
        self.reader.prefer_lengths = True
        try:
            values = [self._as_rounded(first, side, self.reader.evaluate(side)) for side in rest]
        except NotLinear:
            return False
        finally:
            self.reader.prefer_lengths = False
        assert isinstance(first, Func)
        before = self.ledger.locals.get(key_of(name))
        meant, angle = (self._angle(first.name, v, before) for v in (values[0], values[-1]))
        if meant is None or angle is None:
            return False
        for index in range(1, len(rest)):
            self._numbers(relation, index, values[index - 1], values[index], ())
        self._take(name, relation, meant, angle)
        self._keep_ratio(first.name, key_of(name), values[-1])
        return True

    def _by_squares(self, relation: Relation) -> bool:
        """Judge `BC² = 0.8² + 1.2² = 2.08`: the square of a length, whatever else BC may be."""
        first, *rest = relation.sides
        if not isinstance(first, Pow) or not isinstance(first.base, Name) or self.context.fresh:
            return False
        options = self.names.meanings(first.base)
        drawn = any(isinstance(one, Known) and one.kind == "length" for one in options)
        self.reader.prefer_lengths = True
        try:
            told = [self.reader.evaluate(side) for side in rest]
            values = [self.reader.evaluate(first) if drawn else told[0], *told]
        except NotLinear:
            return False
        finally:
            self.reader.prefer_lengths = False
        for index in range(len(rest)):
            self._numbers(relation, index, values[index], values[index + 1], ())
        self.judged.worsen("agrees")
        return True

    def _as_rounded(self, first: Expr, side: Expr, value: Quantity) -> Quantity:
        """Return a ratio as far off as the figure's nearest that rounds to its digits."""
        number = derived.bare_number(side)
        if not isinstance(first, Func) or not isinstance(number, Num):
            return value
        half, size = half_width(number), abs(value.centre)
        true = (abs(getattr(math, first.name)(math.radians(a))) for a in self.figure.drawn_angles)
        gaps = [abs(ratio - size) for ratio in true if abs(ratio - size) <= half * (1 + 1e-9)]
        gap = min(gaps, default=0.0)
        return Quantity(value.centre, max(value.radius, 1.01 * gap if gap > 1e-9 else 0.0))

    def _keep_ratio(self, ratio: str, key: str, value: Quantity) -> None:
        """Keep a written ratio beside its angle: cos α is put in as it was rounded."""
        found = self.ledger.locals[key]
        truth = None
        if found.truth is not None:
            truth = getattr(math, ratio)(math.radians(found.truth))
        if value.radius:
            self.ledger.locals[f"{ratio} {key}"] = Found(value, found.tainted, self.line, truth)

    def _widen_ratios(self, key: str, angle: Quantity) -> None:
        """Let a kept ratio be as far off as the angle's own digits: tan φ = 0,1054 ⇒ φ = 6,02°."""
        for ratio in _INVERSE:
            kept = self.ledger.locals.get(f"{ratio} {key}")
            if kept is None:
                continue
            told = function(ratio, angle)
            gap = abs(told.centre - kept.quantity.centre) + told.radius
            wide = Quantity(kept.quantity.centre, max(kept.quantity.radius, gap))
            self.ledger.locals[f"{ratio} {key}"] = replace(kept, quantity=wide)

    def _named_angle(self, side: object) -> Name | None:
        """Return the letter in `sin α` where its value is the working's own, or to come."""
        if not isinstance(side, Func) or side.name not in _INVERSE:
            return None
        name = side.arg
        if not isinstance(name, Name) or not isinstance(self.reader.meaning(name), Local):
            return None
        found = self.ledger.locals.get(key_of(name))
        return name if found is None or found.kind == "angle" else None

    @staticmethod
    def _angle(ratio: str, value: Quantity, found: Found | None) -> Quantity | None:
        """Return the angle in degrees, with what was known of it before; None where they clash."""
        if ratio != "tan" and abs(value.centre) > 1:
            return None
        number = value.centre
        degrees = math.degrees(getattr(math, _INVERSE[ratio])(number))
        angle = Quantity(degrees, math.degrees(_spread(ratio, value)))
        if found is None:
            return angle
        before = found.quantity
        turned = {"sin": 180 - degrees, "cos": -degrees, "tan": degrees + 180}[ratio]
        for option in (degrees, turned):
            if abs(option - before.centre) <= _NEAR + angle.radius + before.radius:
                same = Quantity(option, angle.radius)
                return min(before, same, key=lambda one: one.radius)
        if found.kind == "angle" and ratio == "cos" and number < 0:
            flipped = 180 - before.centre
            return Quantity(flipped, before.radius) if abs(flipped - degrees) <= _NEAR else None
        return None

    def _take(self, name: Name, relation: Relation, meant: Quantity, angle: Quantity) -> None:
        """Give the letter its angle; hold what was `meant` against the figure if its legs are."""
        first, side = relation.sides[0], relation.sides[1]
        assert isinstance(first, Func)
        key = key_of(name)
        told = replace(relation, sides=(name, Func(side.span, _INVERSE[first.name], side)))
        known = self.reader.meaning(name)
        truth = drawn.true_value(name, known, told, meant, self.figure, self.distrust, self.ledger)
        wrong = truth is not None and abs(meant.centre - truth) > meant.radius + 1e-9
        if wrong and truth is not None:
            written = self._written(side)
            self._slip(
                drawn.wrong_geometry(name, known, side, meant, truth, written, self.figure),
                "the figure",
            )
        right = self._should_be(told.sides[1]) if truth is None else None
        if right is not None and abs(right.centre - meant.centre) > meant.radius + 1e-9:
            wrong, truth = True, right.centre
        self.judged.worsen("agrees")
        before = self.ledger.locals.get(key)
        tainted = wrong or self.judged.status == "fault" or bool(before and before.tainted)
        if before is not None and truth is None:
            truth = before.truth
        target = truth if truth is not None else meant.centre
        self.ledger.locals[key] = Found(angle, tainted, self.line, target, "angle")

    @staticmethod
    def _apart(first: Expr, second: Expr) -> bool:
        """Tell whether two numbers have units of different dimensions: they are told apart."""
        units = [getattr(derived.bare_number(side), "unit", None) for side in (first, second)]
        return None not in units and len({unit.dims for unit in units if unit}) > 1

    def _weighed(self, expr: Expr, left: Quantity, right: Quantity) -> bool:
        """Tell whether a mass times g comes to the weight beside it: newtons, whatever the sheet's.

        `W = 1200(9.81) = 11.77 kN` is right where the sheet is in kilonewtons, and so is 11 770 N.
        """
        if not self._times_gravity(expr):
            return False
        numbers = [node for node in walk(expr) if isinstance(node, Num)]
        if any(number.unit and number.unit.dims[0] for number in numbers):
            return False
        newtons = left.scaled(1.0 / self.reader.force_scale)
        gap = abs(newtons.centre - right.centre)
        return gap <= newtons.radius + right.radius + 1e-9 * abs(right.centre)

    def _times_gravity(self, expr: Expr) -> bool:
        """Tell whether a side holds g, by its letter or its size."""
        own = self.ledger.locals.get("g")
        told = own.quantity.centre if own is not None else 9.81
        if "g" in self.figure.structure.lets:
            told = self.figure.structure.lets["g"].number(self.figure.structure.letters)
        return any(
            (isinstance(node, Name) and node.text == "g")
            or (isinstance(node, Num) and (9.78 <= node.value <= 9.83 or node.value == told))
            for node in walk(expr)
        )

    def _bare_before(self, first: Expr, second: Expr, left: Quantity) -> bool:
        """Tell whether bare numbers come to what a number in this working's own unit says."""
        number = derived.bare_number(second)
        unit = getattr(number, "unit", None)
        if not isinstance(number, Num) or unit is None or unit.kind == "angle":
            return False
        if any(getattr(node, "unit", None) is not None for node in walk(first)):
            return False
        force, length = unit.dims
        sheet = self.reader.force_scale**force * self.reader.length_scale**length
        own = self.reader.plain**force * self.long**length
        if own == 1.0 or not derived.same(unit.factor / sheet, own, 1e-9):
            return False
        half = (number.high - number.low) / 2
        return abs(abs(left.centre) - number.value) <= left.radius + half + 1e-9 * number.value

    def _sheets_unit(self, unit: Unit) -> str:
        """Return the sheet's own unit of what a unit measures."""
        sheet, (force, length) = self.figure.structure, unit.dims
        said = {(1, 0): "{f}", (0, 1): "{l}", (1, 1): "{f} {l}", (1, -1): "{f}/{l}"}
        pattern = said.get((force, length), "")
        return pattern.format(f=sheet.force_unit, l=sheet.length_unit)

    def _numbers(
        self,
        relation: Relation,
        index: int,
        left: Quantity,
        right: Quantity,
        marks: tuple[Mark, ...],
    ) -> None:
        """Hold two numbers that are said to be equal against each other."""
        gap = abs(left.centre - right.centre)
        allowed = left.radius + right.radius + 1e-9 * max(abs(left.centre), abs(right.centre), 1e-9)
        turned = any(mark.meaning in SENSES for mark in marks)
        if self._weighed(relation.sides[index], left, right):
            self.judged.worsen("agrees")
            return
        if gap <= allowed or (turned and abs(abs(left.centre) - abs(right.centre)) <= allowed):
            self.judged.worsen("agrees")
            self.ledger.note_result(left.centre)
            return
        if self._each_rounded(relation, index):
            self.judged.worsen("agrees")
            return
        side = relation.sides[index + 1]
        if self._apart(relation.sides[index], side):
            return
        if self._bare_before(relation.sides[index], side, left):
            self.judged.worsen("agrees")
            return
        loose = derived.loosest(side, self.reader.size_of)
        rounding = loose > 0 and gap <= left.radius + max(right.radius, loose)
        if relation.ops[index : index + 1] == ("=",) and right.centre:
            rounding = rounding and gap <= _NO_ROUNDING * abs(left.centre)
        said = self.text[relation.sides[index].span[1] : side.span[0]]
        if rounding and not right.centre and set(said) & set("≈~≃≅"):
            self.judged.worsen("agrees")  # a check that comes out near enough
            return
        jump = derived.unit_slip(side, right, left)
        lettered = any(isinstance(node, Name) for node in walk(relation.sides[index]))
        wanted = say(self.figure, left.centre) if lettered else tidy(left.centre)
        other = derived.wrong_way(relation.sides[index], side, left, right)
        unit = derived.bare_unit(side)
        if other is not None and unit is not None:
            number = derived.bare_number(side)
            size = number.value if isinstance(number, Num) else right.centre
            jump = jump or other
            wanted = f"{tidy(size * left.centre / right.centre)} {unit.text}"
        elif jump and unit is not None:
            wanted += f" {self._sheets_unit(unit)}"
        key = f"arithmetic {self.line} {index}"
        odd = None if rounding or jump else self._term_at_odds(relation, index, key)
        explanation = odd or Explanation(
            "unit" if jump else "rounding" if rounding else "arithmetic",
            jump or self._bare(side),
            wanted,
            f"{self._written(relation.sides[index])} comes to {wanted}, not {self._written(side)}.",
            1.0,
            key=key,
        )
        self._slip(explanation, "arithmetic", remark=rounding)

    def _each_rounded(self, relation: Relation, index: int) -> bool:
        """Tell whether a sum is the one before it, each of its terms worked out and rounded."""
        left, right = (self._form(side) for side in relation.sides[index : index + 2])
        return left is not None and right is not None and rounds_each(left, right)

    def _term_at_odds(self, relation: Relation, index: int, key: str) -> Explanation | None:
        """Return the one term of a sum that is not that of the side before, None for more."""
        left, right = (self._form(side) for side in relation.sides[index : index + 2])
        if left is None or right is None:
            return None
        return odd_term(left, right, self.text, key, self.figure)
