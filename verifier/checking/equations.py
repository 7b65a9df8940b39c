"""Sums and other equations: right, following, or at fault and why."""

import math
from collections.abc import Iterator, Sequence
from contextlib import contextmanager

from verifier.checking import derived, substitution
from verifier.checking.blaming import Blaming
from verifier.checking.drawing import bare_name
from verifier.checking.faults import Explanation
from verifier.checking.faults.base import say
from verifier.checking.forms import Form, NotLinear
from verifier.checking.ledger import Found
from verifier.checking.names import Unknown
from verifier.checking.quantity import Quantity
from verifier.checking.sums import Expected, Fit
from verifier.notation.tree import Expr, Name, Relation


class Equations(Blaming):
    """Judges equations between forces."""

    def _judge_alone(self, relation: Relation, index: int, difference: Form) -> None:
        """Hold a line against the lines above; what is new is taken as given."""
        self._keep_unit(relation, difference)
        implied = self._implied(difference)
        if implied is not None:
            self._accept(difference, implied)
            return
        coefficients = {n: q.centre for n, q in difference.coefficients.items()}
        told = self.ledger.reduce(coefficients, difference.constant.scaled(-1.0))
        if told.left:
            self.judged.notes.append("taken as given")
            self._learn(difference, False)
            self.judged.worsen("agrees")
            return
        explained = self._from_above(relation, index, difference)
        if explained is None:
            self.judged.worsen("undecided")
            self.judged.notes.append("this does not follow from the lines above")
        else:
            self._slip(explained, "the equation above")
        self._learn(difference, True)

    def _keep_unit(self, relation: Relation, difference: Form) -> None:
        """Note the unit of own names that stand alone beside quantities of one unit."""
        written = [unit for unit in relation.units if unit.kind != "angle"]
        if len({unit.dims for unit in written}) != 1 or len(written) < 2:
            return
        for term in difference.terms:
            if term.variable.startswith("?") and not term.factors:
                self.dims.setdefault(term.variable, (written[0].dims, written[0].text))

    def _judge_sum(self, relation: Relation, index: int, difference: Form) -> None:
        if self.alone:
            self._judge_alone(relation, index, difference)
            return
        if _says_nothing(difference):
            self.judged.worsen("agrees")
            return
        strict = self.around.strict(self.context, difference) if index == 0 else []
        failed: set[int] = set()
        found = self._fits(difference, strict, failed)
        if found is None and not (self.context.fresh and index == 0):
            implied = self._implied(difference)
            if implied is not None:
                self._accept(difference, implied)
                return
        if found is None and index == 0 and self.context.fresh:
            elsewhere = self.around.elsewhere(self.context, difference)
            found = self._fits(difference, elsewhere, failed)
        if found is None:
            found = self._fits(difference, self.around.wide(difference), failed)
            if found is not None and index == 0 and self._beside_label(found):
                found = self._astray(found)
        if found is not None:
            self._note_sign(found)
            if found.borrowed and (difference.present or not self._true(difference)):
                self.out.borrowed.add(self.line)
            self._accept(difference, found.carried)
            return
        if self._true(difference):
            if difference.present and any(f.tainted for f in self.ledger.values.values()):
                self.out.borrowed.add(self.line)
            self._accept(difference, False)
            return
        if self._with_rounded(relation, index, strict):
            self._accept(difference, False)
            return
        with_truth = self._with_truth(relation, index, strict)
        if with_truth:
            self._accept(difference, True)
            return
        if not self.context.fresh and substitution.follows(difference, self.forms):
            self._accept(difference, any(not slip.remark for slip in self.out.slips))
            return
        last = derived.loosest(relation.sides[index + 1], self.reader.size_of)
        if index and any(not s.remark for s in self.out.slips) and self._implied(difference, last):
            self._accept(difference, True)  # `V/tan 60° = 0.10` of the working's own 0.0962
            return
        self._fault_in_sum(relation, index, difference, strict)

    def _beside_label(self, found: Fit) -> bool:
        """Tell whether a line says moments about one joint, and fits them about another, say.

        With values that come from a fault that is chance.
        """
        label = self.context.label if self.context.fresh else None
        joint = self.around.joint(label.about) if label is not None else None
        if label is None or label.axis != "moment" or joint is None:
            return False
        return found.expected.axis.about != self.figure.points[joint]

    def _astray(self, found: Fit) -> Fit | None:
        """Take a line for the sum that it fits beside its label; not where that is chance."""
        if found.carried:
            return None
        self.out.astray.add(self.line)
        return found

    def _mirrored(self, relation: Relation, index: int, form: Form) -> bool:
        """Judge two forces set equal by symmetry; tell whether the line is that."""
        sides = relation.sides[index : index + 2]
        if not all(isinstance(side, Name) for side in sides) or len(form.coefficients) != 2:
            return False
        if self.alone or any(name not in self.figure.true for name in form.coefficients):
            return False
        sizes = [
            self._whole_size(side, name)
            for side, name in zip(sides, form.coefficients, strict=True)
        ]
        alike = derived.same(sizes[0], sizes[1], 1e-6) and not self._opposed_bars(form)
        if self._true(form) or alike:
            self.judged.worsen("agrees")
            if self._true(form):
                self._learn(form, False)
            return True
        names = [self.out.called.get(name, name) for name in form.coefficients]
        message = (
            f"{names[0]} and {names[1]} are not equal: the structure with its supports and loads "
            "is not its own mirror image, so symmetry does not say so."
        )
        span = (sides[0].span[0], sides[1].span[1])
        self._slip(
            Explanation("geometry", span, "no symmetry", message, 1.0, key=f"mirror {names}"),
            "by symmetry",
        )
        self._learn(form, True)
        return True

    def _whole_size(self, name: Expr, variable: str) -> float:
        """Return the size of a force, of a pin's reaction named by its joint alone the whole."""
        size = abs(self.figure.true[variable])
        joint = name.sub or name.base if isinstance(name, Name) else ""
        parts = [self.figure.true.get(f"reaction {joint} {axis}") for axis in "xy"]
        if not isinstance(name, Name) or joint not in variable.split() or None in parts:
            return size
        plain = name.base in (joint, "R", "F", "N")
        return math.hypot(*(part or 0.0 for part in parts)) if plain else size

    def _taken_whole(self, relation: Relation, index: int, form: Form) -> bool:
        """Tell equal forces that are each given what they carry together: `A = B = 6·3`."""
        names = relation.sides[: index + 1]
        side = relation.sides[index + 1]
        if not index or self.alone or not all(isinstance(name, Name) for name in names):
            return False
        if self._implied(form) is not None:
            return False  # what a line above comes to
        sizes = [abs(self.figure.true.get(self._meant(name), 0.0)) for name in names]
        first = sizes[0]
        if not first or not all(derived.same(one, first, 1e-6) for one in sizes):
            return False
        share = form.constant.scaled(1 / len(names))
        if not derived.same(abs(share.centre), first, 5e-3):
            return False
        said = [self._written(name) for name in names]
        message = (
            f"{' and '.join(said)} carry this together, each the same: it is "
            f"{say(self.figure, first)} for one."
        )
        told = Explanation(
            "magnitude", side.span, say(self.figure, first), message, 1.0, key=f"whole {said}"
        )
        self._slip(told, "by symmetry")
        self._learn(form, True)
        return True

    def _meant(self, name: Expr) -> str:
        meaning = self.reader.meaning(name) if isinstance(name, Name) else None
        return meaning.variable if isinstance(meaning, Unknown) else ""

    def _opposed_bars(self, form: Form) -> bool:
        """Tell whether one of two bars pulls and the other pushes: a mirror turns neither round."""
        one, other = form.coefficients
        bars = {member.name for member in self.figure.structure.members}
        return {one, other} <= bars and self.figure.true[one] * self.figure.true[other] < 0

    def _note_sign(self, found: Fit) -> None:
        self.drawn |= set(found.expected.coefficients)
        for name in found.expected.coefficients:
            self.drawn_on.setdefault(name, bare_name(found.expected.body))
        kind = "moment" if found.expected.moment else found.expected.axis.words
        if abs(abs(found.scale) - 1) < 1e-6:
            self.context.signs.setdefault(kind, found.scale)

    def _with_rounded(self, relation: Relation, index: int, strict: Sequence[Expected]) -> bool:
        """Tell whether a line is right where a number of the sheet is a value found, rounded."""
        if not any(map(self.reader.may_round, relation.sides[index : index + 2])):
            return False  # read so it is the same
        self.reader.loose = True
        try:
            left, right = self._form(relation.sides[index]), self._form(relation.sides[index + 1])
        finally:
            self.reader.loose = False
        if left is None or right is None:
            return False
        return self._fits(left.minus(right, 1), strict) is not None

    def _with_truth(self, relation: Relation, index: int, strict: Sequence[Expected]) -> bool:
        """Tell whether a line is right once faultily defined names have their true values.

        So have numbers that repeat them.
        """
        with self._true_names() as spoilt:
            if not spoilt:
                return False
            left, right = self._form(relation.sides[index]), self._form(relation.sides[index + 1])
            if left is None or right is None:
                return False
            form = left.minus(right, 1)
            sums = strict or list(self.around.wide(form))
            return self._fits(form, sums) is not None or self._true(form)

    @contextmanager
    def _true_names(self) -> Iterator[bool]:
        """Read faultily defined names, and numbers that repeat them, at their true values.

        What it gives tells whether there are any.
        """
        spoilt = {k: f for k, f in self.ledger.locals.items() if f.tainted and f.truth is not None}
        kept = dict(self.ledger.locals)
        for key, found in spoilt.items():
            truth = Quantity(found.truth or 0.0)
            self.ledger.locals[key] = Found(truth, False, found.line, None, found.kind)
        self.reader.instead = tuple((f.quantity.centre, f.truth or 0.0) for f in spoilt.values())
        try:
            yield bool(spoilt)
        finally:
            self.reader.instead = ()
            self.ledger.locals.clear()
            self.ledger.locals.update(kept)

    def _should_be(self, side: Expr) -> Quantity | None:
        """Return what a side would come to but for names defined faultily above, None without."""
        with self._true_names() as spoilt:
            try:
                return self.reader.evaluate(side) if spoilt else None
            except NotLinear:
                return None


def _says_nothing(form: Form) -> bool:
    """Tell whether an equation holds whatever its forces are: T (4/5)(6) = 4.8 T."""
    sizes = [abs(t.coefficient.centre) for t in form.terms if t.variable]
    noise = 1e-6 * max(sizes, default=0.0)
    return (
        bool(sizes)
        and all(abs(q.centre) <= q.radius + noise for q in form.coefficients.values())
        and abs(form.constant.centre) <= form.constant.radius + 1e-9 * form.size
    )
