"""What a stated value may follow from, the unit that it should have, and nought by inspection."""

import re
from itertools import combinations

from verifier.checking import derived
from verifier.checking.equations import Equations
from verifier.checking.faults import Explanation
from verifier.checking.faults.base import say
from verifier.checking.forms import Form, Term
from verifier.checking.ledger import three_figures
from verifier.checking.names import key_of
from verifier.checking.quantity import ZERO, Quantity
from verifier.checking.state import close
from verifier.checking.sums import Fit
from verifier.notation.tree import (
    Add,
    Expr,
    Func,
    Mark,
    Name,
    Num,
    Relation,
    walk,
)

_FEW_FORMS = 5
_ONE_SLIP = 1.3
_ON_BODY = re.compile(
    r"\s*[,(]?\s*(?:\w+ )?\b(?:on|auf|am|an|sur|su|sul|sobre|en|na) "
    r"(?:the |den? |die |la |le |el |il )?\w",
    re.IGNORECASE,
)
_FORCES_ONLY = frozenset(("tension", "compression", "left", "right", "up", "down"))
_SENTENCE, _NEAR_BY = re.compile(r"[;.]\s"), 60

_LOADS = re.compile(
    r"\b(?:loads?|applied|Last(?:en)?|belastung|charges?|cargas?|carichi|carico|obciążeni\w+)\b",
    re.I,
)


class Following(Equations):
    """Tells what a stated value follows from and how it is measured."""

    def _plain(self, side: Expr) -> bool:
        """Tell whether a side is a finished value: a number, or with letters a plain multiple."""
        side = derived.bare_number(side)
        if isinstance(side, Num):
            return True
        if not self.figure.structure.letters or (isinstance(side, Name) and self._is_force(side)):
            return False
        letters = [node.text for node in walk(side) if isinstance(node, Name)]
        if len(letters) > len(set(letters)):
            return False  # w(L/2)(L/4): still to be worked out
        return not any(
            isinstance(node, Add)
            or (isinstance(node, Func) and node.name != "sqrt")
            or (isinstance(node, Name) and self._is_force(node))
            for node in walk(side)
        )

    def _is_true(self, term: Term, value: Quantity) -> bool:
        """Tell whether a name's value is the true one."""
        truth = self.figure.true.get(term.variable)
        claim = value.scaled(1 / term.coefficient.centre)
        return truth is not None and by_truth_alone(claim, truth)

    @property
    def _at_fault(self) -> bool:
        """Whether some line above is at fault: without one nothing is carried."""
        return any(not slip.remark for slip in self.out.slips)

    def _other_way(self, relation: Relation, index: int, variable: str) -> bool:
        """Tell whether a value may be told in another sense than the name had above.

        A pin's force is told on a body by name; `B_x = −3` may be B's part along x, drawn left;
        `F_CG = −3` says that F, the push in CG, is 3.
        """
        if variable.startswith("pin "):
            before = self.text[: relation.sides[index].span[0]]
            behind = self.text[relation.sides[index + 1].span[1] :]
            sentence = _SENTENCE.split(before)[-1]
            return bool(_ON_BODY.search(sentence[-_NEAR_BY:]) or _ON_BODY.match(behind))
        name = relation.sides[index]
        if not isinstance(name, Name):
            return False
        letters = self.reader.letters_of(variable)
        _, drawn = self.reader.aliases.get(key_of(name), (variable, 1.0))
        turned = name.sub[-1:] in ("x", "y") and self.reader.sense(variable) * drawn < 0
        turned = turned and not self.context.fresh  # what a sum gives is in the sum's sense
        return turned or (bool(letters) and key_of(name) not in letters)

    def _is_load_part(self, variable: str, value: Quantity) -> bool:
        """Tell whether a line gives a load's own part: 'Loads: C_h = 0.6 kN' is no pin force."""
        if not variable.startswith(("pin ", "reaction ")) or not _LOADS.search(self.text):
            return False
        joint, axis = variable.split()[1:3] if variable.count(" ") > 1 else ("", "")
        letters = self.figure.structure.letters
        return any(
            derived.same(
                abs(value.centre),
                abs(f.size.number(letters) * f.direction["xy".index(axis)].number(letters)),
                5e-3,
            )
            for f in self.figure.forces
            if f.on == joint and axis in ("x", "y") and value.centre
        )

    def _by_forms(self, variable: str, claim: Quantity) -> bool:
        """Tell whether a value follows from an equation above as it was written, rounded."""
        for _, form in reversed(self.forms[-12:]):
            coefficient = form.coefficients.get(variable)
            if coefficient is None or not coefficient.centre:
                continue
            total = form.constant
            for name, quantity in form.coefficients.items():
                found = self.ledger.values.get(name)
                if name != variable and found is not None:
                    total = total.plus(quantity.times(found.quantity))
                elif name != variable:
                    break
            else:
                value = total.scaled(-1.0 / coefficient.centre)
                if close(claim, value, 0.0):
                    return True
        return self._at_fault and self._by_two_forms(variable, claim)

    def _by_two_forms(self, variable: str, claim: Quantity) -> bool:
        """Tell whether a value follows, after a fault, from two equations above taken together."""
        rows = [
            ({n: q.centre for n, q in form.coefficients.items() if q.centre}, form.constant.centre)
            for _, form in self.forms[-_FEW_FORMS:]
        ]
        for (one, c1), (two, c2) in combinations(rows, 2):
            other = one.keys() - {variable}
            if one.keys() != two.keys() or variable not in one or len(other) != 1:
                continue
            (name,) = other
            turn = one[variable] * two[name] - two[variable] * one[name]
            if abs(turn) < 1e-6:
                continue
            value = (c2 * one[name] - c1 * two[name]) / turn
            if close(claim, Quantity(value), three_figures(value)):
                return True
        return False

    def _by_rounded(self, relation: Relation, index: int, variable: str, claim: Quantity) -> bool:
        """Tell whether a value follows from the values found above, rounded before use."""
        equations = [
            ({n: q.centre for n, q in form.coefficients.items()}, form.constant.centre)
            for _, form in reversed(self.forms[-12:])
        ]
        form = self._difference(relation, index)
        if form is not None:
            sums = self.around.strict(self.context, form) if index == 0 else []
            equations += [(expected.coefficients, expected.load) for expected in sums]
        return any(
            abs(claim.centre - value) <= claim.radius + 1e-9 * abs(value)
            for coefficients, constant in equations
            for value in self.ledger.by_rounded(coefficients, constant, variable)
        )

    def _difference(self, relation: Relation, index: int) -> Form | None:
        """Return one side of a relation less the next, None where one is no sum of forces."""
        left, right = self._form(relation.sides[index]), self._form(relation.sides[index + 1])
        return left.minus(right, 1) if left is not None and right is not None else None

    def _by_sums(self, relation: Relation, index: int) -> Fit | None:
        """Return how a stated value is an equilibrium sum worked out in one step, if it is."""
        form = self._difference(relation, index)
        if form is None:
            return None
        sums = [*self.around.strict(self.context, form), *self.around.wide(form)]
        found = self._fits(form, sums)
        if found is not None and index == 0 and self._beside_label(found):
            found = self._astray(found)
        if found is not None:
            self.judged.worsen("carried" if found.carried else "agrees")
        return found

    def _as_a_sum(self, relation: Relation, index: int) -> bool:
        """Explain a stated value as an equilibrium sum with one slip, where one accounts for it."""
        form = self._difference(relation, index)
        if form is None or not self.explains:
            return False
        strict = self.around.strict(self.context, form) if index == 0 else []
        best, _ = self._diagnose(relation, index, form, strict)
        told = best.explanations if best is not None else ()
        side = derived.bare_number(relation.sides[index + 1])
        final = getattr(side, "unit", None) is not None or any(relation.marks)
        kinds = ("sign", "magnitude") if final else ("sign",)
        if best is None or best.cost > _ONE_SLIP or len(told) != 1 or told[0].kind in kinds:
            return False
        self._slip(told[0], best.expected.where)
        return True

    def _unit_fits(self, side: Expr, variable: str, marks: tuple[Mark, ...] = ()) -> bool:
        """Hold a result's unit against what the item is measured in; tell whether it fits."""
        number = derived.bare_number(side)
        unit = getattr(number, "unit", None)
        turns = variable.endswith(" moment") or variable.startswith("moment ")
        own = variable.startswith("?")
        if own and not (unit is not None and self._is_force_by(marks)):
            return self._own_unit_fits(number, variable)
        if unit is None or unit.dims == ((1, 1) if turns else (1, 0)):
            return True
        if unit.kind == "mass" and self.kilos:
            return True
        if self.reader.per_length and unit.dims == (1, -1):
            return True
        if unit.kind == "angle":
            self.judged.worsen("agrees")
            return False  # `PA: 63.4°` says which way the bar lies
        name = self.out.called.get(variable, variable[own:])
        what = "a moment, a force times a length" if turns else "a force"
        wanted = self.figure.structure.force_unit
        wanted += f" {self.figure.structure.length_unit}" if turns else ""
        self._slip(
            Explanation(
                "unit",
                unit.span,
                wanted,
                f"{name} is {what}; {unit.text} is no unit of that.",
                1.0,
                key=f"unit {variable}",
            ),
            "result",
        )
        return False

    def _is_force_by(self, marks: tuple[Mark, ...]) -> bool:
        """Tell whether a value is a force's by its label, or by the sum of forces it stands in."""
        label = self.context.label if self.context.fresh else None
        summed = self.alone and label is not None and label.axis != "moment"
        return summed or any(mark.meaning in _FORCES_ONLY for mark in marks)

    def _own_unit_fits(self, number: Expr, variable: str) -> bool:
        """Hold the unit of an own name's value against the one unit of its equation."""
        unit, known = getattr(number, "unit", None), self.dims.get(variable)
        if unit is None or known is None or unit.dims == known[0]:
            return True
        if unit.kind == "mass" and self.kilos:
            return True
        name = variable[1:]
        message = f"{name} is in {known[1]} by its equation; {unit.text} is no unit of that."
        key = f"unit {variable}"
        self._slip(Explanation("unit", unit.span, known[1], message, 1.0, key=key), "result")
        return False

    def _zero_claim(self, variable: str, truth: float, mark: Mark) -> None:
        name = self.out.called.get(variable, variable)
        scale = max((abs(v) for v in self.figure.true.values()), default=1.0)
        if abs(truth) <= 1e-9 * scale:
            self.judged.worsen("agrees")
            self._state(variable, ZERO, False)
            return
        unit = "" if self.figure.structure.letters else f" {self.figure.structure.force_unit}"
        wanted = f"{say(self.figure, truth)}{unit}"
        if "-" in variable:
            sense = "tension" if truth > 0 else "compression"
            wanted = f"{say(self.figure, abs(truth))}{unit} ({sense})"
        self._slip(
            Explanation(
                "missing-force",
                mark.span,
                wanted,
                f"{name} is not zero: {wanted} is needed for equilibrium.",
                1.2,
                key=f"zero {variable}",
            ),
            "by inspection",
        )
        self._state(variable, ZERO, True)


def by_truth_alone(claim: Quantity, truth: float) -> bool:
    """Tell whether a value is the true one to three figures."""
    return close(claim, Quantity(truth), three_figures(truth) if truth else 0.0)
