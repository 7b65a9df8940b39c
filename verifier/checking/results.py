"""Stated results and claims in words, held against the working and the solution."""

import re
from dataclasses import replace
from itertools import combinations

from verifier.checking import concluded, derived
from verifier.checking.equations import Equations
from verifier.checking.faults import Explanation
from verifier.checking.faults.base import tidy
from verifier.checking.forms import Form, NotLinear, Term
from verifier.checking.ledger import three_figures
from verifier.checking.names import Unknown, key_of
from verifier.checking.quantity import ZERO, Quantity
from verifier.checking.state import close
from verifier.checking.sums import Fit
from verifier.notation.tree import (
    Add,
    Div,
    Expr,
    Func,
    Mark,
    Name,
    Neg,
    Num,
    Relation,
    walk,
)

_FEW_FORMS = 5
_PLAIN_SLIP = 1.6
_ONE_SLIP = 1.3
_ON_BODY = re.compile(
    r"\s*[,(]?\s*(?:\w+ )?\b(?:on|auf|am|an|sur|su|sul|sobre|en|na) "
    r"(?:the |den? |die |la |le |el |il )?\w",
    re.IGNORECASE,
)

_LOADS = re.compile(
    r"\b(?:loads?|applied|Last(?:en)?|belastung|charges?|cargas?|carichi|carico|obciążeni\w+)\b",
    re.I,
)


class Results(Equations):
    """Judges a name with its value, its unit and its sense."""

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

    def _claim(
        self, relation: Relation, index: int, left: Form, right: Form, marks: tuple[Mark, ...]
    ) -> tuple[str, float, Quantity, tuple[Mark, ...]] | None:
        """Return (variable, factor, value, marks) where a line says name = number."""
        side = relation.sides[index + 1]
        if len(left.terms) != 1 or not left.terms[0].variable or right.coefficients:
            return None
        term = left.terms[0]
        alone = isinstance(relation.sides[index], Name)
        if not alone or not self._plain(side):
            return None
        if term.variable.startswith("?") and not self.alone:
            return None
        if self.context.fresh and index == 0 and not isinstance(derived.bare_number(side), Num):
            return None
        if self.context.fresh and index == 0:
            form = left.minus(right, 1)
            strict = self.around.strict(self.context, form)
            if not marks and self._fits(form, strict) is not None:
                return None
            sense = self._sense(marks, term.variable)
            at_odds = sense * right.constant.centre * term.coefficient.centre < 0
            asks = at_odds or (self.explains and not self._is_true(term, right.constant))
            best = self._diagnose(relation, index, form, strict)[0] if asks else None
            copied = best is not None and all(e.kind == "magnitude" for e in best.explanations)
            result = bool(marks) or getattr(derived.bare_number(side), "unit", None) is not None
            if best is not None and 0.5 < best.cost <= _PLAIN_SLIP and not (copied and result):
                return None
        return term.variable, term.coefficient.centre, right.constant, marks

    def _is_true(self, term: Term, value: Quantity) -> bool:
        """Tell whether a name's value is the true one."""
        truth = self.figure.true.get(term.variable)
        claim = value.scaled(1 / term.coefficient.centre)
        return truth is not None and by_truth_alone(claim, truth)

    def _result(
        self,
        relation: Relation,
        index: int,
        variable: str,
        factor: float,
        value: Quantity,
        marks: tuple[Mark, ...],
    ) -> None:
        """Judge a name with its value against the working's equations and the solution."""
        as_written = value.scaled(1 / factor)
        zero = next((mark for mark in marks if mark.meaning == "zero-force"), None)
        truth = self.figure.true.get(variable)
        if zero is not None and not value.centre and truth is not None:
            self._zero_claim(variable, truth, replace(zero, span=self._bare(relation.sides[-1])))
            return
        if not self._unit_fits(relation.sides[index + 1], variable):
            return
        sense = self._sense(marks, variable)
        labelled = Quantity(sense * abs(as_written.centre), as_written.radius) if sense else None
        told = self.ledger.reduce({variable: 1.0}, ZERO)
        tainted, known = told.tainted, None if told.left else told.rest.scaled(-1.0)
        side = relation.sides[index + 1]
        loose = derived.loosest(side) * abs(1 / factor) - as_written.radius
        slack = max(loose, told.coarse, 0.0)
        for claim in (as_written, labelled):
            if claim is None:
                continue
            by_working = known is not None and close(claim, known, 0.0)
            by_truth = truth is not None and by_truth_alone(claim, truth)
            if not by_working and not by_truth:
                continue
            if sense and claim.centre * sense < -1e-9:
                self._sense_fault(marks, variable, claim)
            tainted_here = by_working and not by_truth and (tainted or self._at_fault)
            self.judged.worsen("carried" if tainted_here else "agrees")
            self._state(variable, claim, tainted_here)
            return
        claim = (
            labelled
            if labelled is not None and known is not None and (labelled.centre * known.centre > 0)
            else as_written
        )
        if known is not None and close(claim, known, slack):
            self._slip(
                concluded.rounded(self._bare(side), known, self._written(side)), "", remark=True
            )
            self._state(variable, claim, tainted)
            return
        other = as_written.scaled(-1.0)
        true = truth is not None and by_truth_alone(other, truth)
        follows = known is not None and close(other, known, slack)
        fits = (true or follows) and other.centre * sense >= 0
        if fits and self._other_way(relation, index, variable):
            self.judged.worsen("carried" if tainted and not true else "agrees")
            self._state(variable, other, tainted and not true)
            return
        again = variable in self.out.stated and as_written.centre * factor > 0
        if sense and again and known is not None and close(other, known, slack):
            self._sense_fault(marks, variable, known)
            self._state(variable, known, tainted)
            return
        wanted = known.centre if known is not None else truth
        said = sense and wanted is not None and value.centre > 0 > wanted * sense
        said = said and not self.signed
        if said and wanted is not None and derived.same(abs(as_written.centre), abs(wanted), 0.01):
            self._sense_fault(marks, variable, Quantity(wanted))
            self._state(variable, Quantity(sense * abs(wanted)), True)
            return
        if known is None and truth is None:
            self.judged.worsen("agrees" if self.alone else "undecided")
            self.judged.notes.append("taken as given")
            self._state(variable, claim, False)
            return
        if self._by_forms(variable, claim) or self._by_rounded(relation, index, variable, claim):
            spoilt = tainted or self._at_fault
            self.judged.worsen("carried" if spoilt else "agrees")
            self._state(variable, claim, spoilt)
            return
        summed = self._by_sums(relation, index)
        if summed is not None:
            if sense and as_written.centre * sense < -1e-9:
                self._sense_fault(marks, variable, as_written)
            self._state(variable, as_written, summed.carried)
            return
        if self._is_load_part(variable, as_written):
            self.judged.worsen("agrees")
            return
        if known is None and self.unread:
            self.judged.worsen("undecided")  # a line that could not be read may lead to it
            self._state(variable, claim, False)
            return
        if known is None and self._as_a_sum(relation, index):
            self._state(variable, claim, True)
            return
        left, right = self._form(relation.sides[index]), self._form(relation.sides[index + 1])
        form = left.minus(right, 1) if left is not None and right is not None else None
        if form is not None and self._from_wrong_resultant(form, []):
            self._state(variable, claim, True)
            return
        explanation = concluded.wrong_result(
            variable,
            self.out.called.get(variable, variable),
            claim.scaled(factor),
            known.scaled(factor) if known is not None else None,
            None if truth is None else truth * factor,
            self.forms,
            self._bare(side),
            self._written(side),
            self.figure,
            derived.unit_slip(side, claim, known if known is not None else Quantity(truth or 0.0)),
        )
        self._slip(explanation, "the equation above" if known is not None else "result")
        self._state(variable, claim, True)

    def _other_way(self, relation: Relation, index: int, variable: str) -> bool:
        """Tell whether a value may be told in another sense than the name had above.

        A pin's force is told on a body by name; `B_x = −3` may be B's part along x, drawn left;
        `F_CG = −3` says that F, the push in CG, is 3.
        """
        if variable.startswith("pin "):
            before = self.text[: relation.sides[index].span[0]]
            behind = self.text[relation.sides[index + 1].span[1] :]
            return bool(_ON_BODY.search(before[-24:]) or _ON_BODY.match(behind))
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
        left, right = self._form(relation.sides[index]), self._form(relation.sides[index + 1])
        if left is not None and right is not None:
            sums = self.around.strict(self.context, left.minus(right, 1)) if index == 0 else []
            equations += [(expected.coefficients, expected.load) for expected in sums]
        return any(
            abs(claim.centre - value) <= claim.radius + 1e-9 * abs(value)
            for coefficients, constant in equations
            for value in self.ledger.by_rounded(coefficients, constant, variable)
        )

    @property
    def _at_fault(self) -> bool:
        """Whether some line above is at fault: without one nothing is carried."""
        return any(not slip.remark for slip in self.out.slips)

    def _by_sums(self, relation: Relation, index: int) -> Fit | None:
        """Return how a stated value is an equilibrium sum worked out in one step, if it is."""
        left, right = self._form(relation.sides[index]), self._form(relation.sides[index + 1])
        if left is None or right is None:
            return None
        form = left.minus(right, 1)
        sums = [*self.around.strict(self.context, form), *self.around.wide(form)]
        found = self._fits(form, sums)
        if found is not None:
            self.judged.worsen("carried" if found.carried else "agrees")
        return found

    def _as_a_sum(self, relation: Relation, index: int) -> bool:
        """Explain a stated value as an equilibrium sum with one slip, where one accounts for it."""
        left, right = self._form(relation.sides[index]), self._form(relation.sides[index + 1])
        if left is None or right is None or not self.explains:
            return False
        form = left.minus(right, 1)
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

    def _unit_fits(self, side: Expr, variable: str) -> bool:
        """Hold a result's unit against what the item is measured in; tell whether it fits."""
        number = derived.bare_number(side)
        unit = getattr(number, "unit", None)
        turns = variable.endswith(" moment") or variable.startswith("moment ")
        if variable.startswith("?"):
            return self._own_unit_fits(number, variable)
        if unit is None or unit.dims == ((1, 1) if turns else (1, 0)):
            return True
        if self.reader.per_length and unit.dims == (1, -1):
            return True
        name = self.out.called.get(variable, variable)
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

    def _own_unit_fits(self, number: Expr, variable: str) -> bool:
        """Hold the unit of an own name's value against the one unit of its equation."""
        unit, known = getattr(number, "unit", None), self.dims.get(variable)
        if unit is None or known is None or unit.dims == known[0]:
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
        self._slip(
            Explanation(
                "missing-force",
                mark.span,
                tidy(truth),
                f"{name} is not zero: {tidy(truth)} is needed for equilibrium.",
                1.2,
                key=f"zero {variable}",
            ),
            "by inspection",
        )
        self._state(variable, ZERO, True)

    def _finish(self, relation: Relation) -> None:
        """Take the value at the end of a chain that starts with a force's name."""
        first = relation.sides[0]
        last = relation.sides[-1]
        if not isinstance(first, Name) or not (self._plain(last) or _fraction(last)):
            return
        meaning = self.reader.meaning(first)
        if not isinstance(meaning, Unknown) or (len(relation.sides) == 2 and self.claimed):
            return
        factor = meaning.factor * self.reader.sense(meaning.variable)
        try:
            value = self.reader.form(relation.sides[-1]).constant.scaled(1 / factor)
            before = self.reader.form(relation.sides[-2]).constant.scaled(1 / factor)
        except NotLinear:
            return
        marks = relation.marks[-1] if len(relation.marks) == len(relation.sides) else ()
        if len(relation.sides) == 2:
            before = value
        sense = self._sense(marks, meaning.variable)
        self.sizes = self.sizes or (sense < 0 < value.centre * factor)
        if sense and before.centre * sense < -1e-9:
            self._sense_fault(marks, meaning.variable, before)
        elif sense:
            value = Quantity(sense * abs(value.centre), value.radius)
        elif marks and derived.same(abs(value.centre), abs(before.centre), 1e-6):
            value = before
        tainted = self.judged.status in ("fault", "carried")
        if self._unit_fits(relation.sides[-1], meaning.variable):
            self._state(meaning.variable, value, tainted)

    def _of_other_part(self, relation: Relation) -> bool:
        """Take `A 19 up, 6 left` as both parts of the reaction at A; False for any other value."""
        marks = relation.marks[0] if relation.marks else ()
        words = self.subject.split()
        if len(marks) != 1 or marks[0].meaning not in ("up", "down", "left", "right"):
            return False
        if len(words) != 3 or words[0] != "reaction" or words[2] not in ("x", "y"):
            return False
        other = f"reaction {words[1]} {'y' if words[2] == 'x' else 'x'}"
        if self._sense(marks, self.subject) or other not in self.figure.true:
            return False
        try:
            value = self.reader.evaluate(relation.sides[0])
        except NotLinear:
            return False
        sense = self.figure.claimed_sense(other, marks[0].meaning)
        if sense and by_truth_alone(value.scaled(sense), self.figure.true[other]):
            self.judged.worsen("agrees")
            self.out.called.setdefault(other, f"{words[1]}_{other[-1]}")
            self._state(other, value.scaled(sense), False)
            return True
        return False


def _fraction(side: Expr) -> bool:
    """Tell whether a side is left as a fraction of whole numbers: 70/3, −70/3."""
    side = side.inner if isinstance(side, Neg) else side
    parts = (side.top, side.bottom) if isinstance(side, Div) else ()
    return bool(parts) and all(isinstance(p, Num) and p.value == int(p.value) for p in parts)


def by_truth_alone(claim: Quantity, truth: float) -> bool:
    """Tell whether a value is the true one to three figures."""
    return close(claim, Quantity(truth), three_figures(truth) if truth else 0.0)
