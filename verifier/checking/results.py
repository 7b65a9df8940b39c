"""Stated results and claims in words, held against the working and the solution."""

from contextlib import suppress
from dataclasses import dataclass, replace

from verifier.checking import concluded, derived
from verifier.checking.faults import Explanation
from verifier.checking.following import Following, by_truth_alone
from verifier.checking.forms import Form, NotLinear
from verifier.checking.ledger import Found
from verifier.checking.names import ACROSS_OR_UP, Local, Unknown, key_of
from verifier.checking.omitted import Told, omitted
from verifier.checking.quantity import ZERO, Quantity
from verifier.checking.state import Slip, close
from verifier.notation.names import AXES, canonical
from verifier.notation.tree import (
    Div,
    Expr,
    Mark,
    Name,
    Neg,
    Num,
    Relation,
)

_AXES = {"left": "x", "right": "x", "up": "y", "down": "y"}
_PLAIN_SLIP = 1.6
_MADE_GOOD = 0.1
"""What a pass costs where a pin's true value does not follow from the line at fault above it."""
_EARLY = 0.02
"""How far rounding on the way moves a value, as a share of it."""
_HARDLY = 0.05
"""The share of the largest force in a sum below which a force cannot be found from it."""


@dataclass(frozen=True)
class Claimed:
    """A name told with its value: `own` is the force's by its sign, `labelled` by its label.

    `known` is what the working's equations give it (`coarse` is how far rounded numbers in them may
    move it), `truth` the solution's value; None where they say nothing. `loose` is how far the last
    place written may be off.
    """

    relation: Relation
    index: int
    variable: str
    factor: float
    own: Quantity
    labelled: Quantity | None
    sense: float
    marks: tuple[Mark, ...]
    known: Quantity | None
    tainted: bool
    coarse: float
    truth: float | None
    loose: float

    @property
    def side(self) -> Expr:
        """The side that tells the value."""
        return self.relation.sides[self.index + 1]

    @property
    def claim(self) -> Quantity:
        """The value by its label where that is in the sense that follows, else by its sign."""
        if self.labelled is not None and self.known is not None:
            return self.labelled if self.labelled.centre * self.known.centre > 0 else self.own
        return self.own

    @property
    def nearly_true(self) -> bool:
        """Whether early rounding alone may set the value apart from the solution's."""
        return self.truth is not None and close(
            self.claim, Quantity(self.truth, _EARLY * abs(self.truth)), 0.0
        )

    def follows(self, value: Quantity) -> bool:
        """Tell whether a value follows from the working's equations within its rounding."""
        slack = max(self.loose - self.own.radius, self.coarse, 0.0)
        return self.known is not None and close(value, self.known, slack)


class Results(Following):
    """Judges a name with its value, its unit and its sense."""

    def _claim(
        self, relation: Relation, index: int, left: Form, right: Form, marks: tuple[Mark, ...]
    ) -> tuple[str, float, Quantity, tuple[Mark, ...]] | None:
        """Return (variable, factor, value, marks) where a line says name = number."""
        side = relation.sides[index + 1]
        if len(left.terms) != 1 or not left.terms[0].variable or right.coefficients:
            return None
        term = left.terms[0]
        alone = isinstance(relation.sides[index], Name)
        measured = _fraction(side) and derived.bare_unit(side) is not None
        if not alone or not (self._plain(side) or measured):
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
        variable, factor = self._part_told(relation.sides[index], variable, factor, marks)
        zero = next((mark for mark in marks if mark.meaning == "zero-force"), None)
        truth = self.figure.true.get(variable)
        if zero is not None and not value.centre and truth is not None:
            self._zero_claim(variable, truth, replace(zero, span=self._bare(relation.sides[-1])))
            return
        if not self._unit_fits(relation.sides[index + 1], variable, marks):
            return
        sense, own = self._sense(marks, variable), value.scaled(1 / factor)
        told = self.ledger.reduce({variable: 1.0}, ZERO)
        claim = Claimed(
            relation,
            index,
            variable,
            factor,
            own,
            Quantity(sense * abs(own.centre), own.radius) if sense else None,
            sense,
            marks,
            None if told.left else told.rest.scaled(-1.0),
            told.tainted,
            told.coarse,
            truth,
            derived.loosest(relation.sides[index + 1], self.reader.size_of) / abs(factor),
        )
        steps = (
            self._holds,
            self._holds_rounded,
            self._told_other_way,
            self._drawn_unseen,
            self._in_wrong_sense,
            self._taken_as_given,
            self._follows_as_written,
            self._from_function,
            self._from_lost_value,
            self._summed_at_once,
            self._explained_above,
        )
        if not any(step(claim) for step in steps):
            self._wrong(claim)

    def _part_told(
        self, side: Expr, variable: str, factor: float, marks: tuple[Mark, ...]
    ) -> tuple[str, float]:
        """Return the part of a reaction that its way tells: `A = 9 kN up, A = 3 kN to the left`."""
        words, ways = variable.split(), {_AXES[m.meaning] for m in marks if m.meaning in _AXES}
        if not isinstance(side, Name) or words[0] != "reaction" or words[-1] not in ("x", "y"):
            return variable, factor
        axis = canonical(side.text)[-1:] in AXES or side.base in ACROSS_OR_UP
        if axis or len(ways) != 1 or words[-1] in ways or key_of(side) in self.reader.aliases:
            return variable, factor
        other = f"reaction {words[1]} {ways.pop()}"
        return (other, 1.0) if other in self.figure.true else (variable, factor)

    def _holds(self, told: Claimed) -> bool:
        """Take a value that follows or is true, by its label or by its sign.

        What all but cancels follows in either sense: then the label says which is meant.
        """
        ways = [claim for claim in (told.own, told.labelled) if claim is not None]
        for claim in sorted(ways, key=lambda one: one.centre * told.sense < -1e-9):
            follows = told.known is not None and close(claim, told.known, 0.0)
            true = told.truth is not None and by_truth_alone(claim, told.truth)
            if not follows and not true:
                continue
            if told.sense and claim.centre * told.sense < -1e-9:
                self._sense_fault(told.marks, told.variable, claim)
            free = told.variable.startswith("pin ") and told.variable not in self.said
            if free and true and not follows and told.known is not None and told.tainted:
                self.out.against_drawing += _MADE_GOOD
            carried = follows and not true and self._behind_fault(told)
            self._acknowledge(told.variable, claim, carried)
            return True
        return False

    def _behind_fault(self, told: Claimed) -> bool:
        """Tell whether a value comes from a fault; what rounding alone moves does not."""
        return told.tainted or (self._at_fault and not told.nearly_true)

    def _holds_rounded(self, told: Claimed) -> bool:
        """Take a value that only rounding sets apart from what follows, with a remark."""
        if not told.follows(told.claim):
            return False
        assert told.known is not None
        bare, written = self._bare(told.side), self._written(told.side)
        self._slip(concluded.rounded(bare, told.known, written), "", remark=True)
        self._state(told.variable, told.claim, told.tainted)
        return True

    def _told_other_way(self, told: Claimed) -> bool:
        """Take a value that may be told in another sense than its name had above."""
        other = told.own.scaled(-1.0)
        true = told.truth is not None and by_truth_alone(other, told.truth)
        fits = (true or told.follows(other)) and other.centre * told.sense >= 0
        drawn = told.factor < 0  # as written it is counted right, up or in tension
        again = true and drawn and self._told_before(told.variable)
        first = told.relation.sides[told.index]
        across = isinstance(first, Name) and first.base in ACROSS_OR_UP
        anew = (drawn and across) or self._called_anew(first, told.variable)
        again = again or (self.alone and anew and self._told_before(told.variable))
        if not fits or not (again or self._other_way(told.relation, told.index, told.variable)):
            return False
        self._acknowledge(told.variable, other, told.tainted and not true)
        letters = self.reader.letters_of(told.variable)
        own = isinstance(first, Name) and (not letters or key_of(first) in letters)
        own = own and not again
        if true and own and told.known is not None and not told.variable.startswith("pin "):
            name = self.out.called.get(told.variable, told.variable)
            span, written = told.side.span, self._written(told.side)
            wanted = told.known.scaled(told.factor)
            lost = concluded.wrong_result(
                told.variable, name, wanted.scaled(-1.0), wanted, None, (), span, written,
                self.figure,
            )  # fmt: skip
            self.turned_back[told.variable] = Slip(self.line, lost, "the equation above")
        return True

    def _called_anew(self, side: Expr, variable: str) -> bool:
        """Tell whether a force has another name here: `H_A = 3 to the left`, then `A_x = −3`."""
        called = self.out.called.get(variable)
        return isinstance(side, Name) and called is not None and canonical(side.text) != called

    def _told_before(self, variable: str) -> bool:
        """Tell whether a force is told again: `S = 7.5 (C)`, and in a table below AC = −7.5."""
        return variable in self.out.stated and not variable.startswith("pin ")

    def _drawn_unseen(self, told: Claimed) -> bool:
        """Take a size told with an arrow where no sheet and no word says how the force is drawn.

        `0 = −13.3 − A_H ∴ A_H = 13.3 kN →`: drawn to the left, it acts to the right.
        """
        ways = any(mark.meaning in ("left", "right", "up", "down") for mark in told.marks)
        if told.own.centre < 0:
            return False  # a minus beside an arrow is no size
        if not self.alone or not ways or told.variable in self.said or told.known is None:
            return False
        if not told.follows(told.own.scaled(-1.0)):
            return False
        self._acknowledge(told.variable, told.known, told.tainted)
        return True

    def _in_wrong_sense(self, told: Claimed) -> bool:
        """Blame the sense of a value that is right but for it."""
        variable, sense, value = told.variable, told.sense, told.own.centre * told.factor
        arrow = "-" not in variable and variable in self.said and told.own.centre * sense > 0
        if arrow and told.known is not None:
            return False  # number and arrow say the same, as it is drawn: the minus is lost
        again = variable in self.out.stated and value > 0
        if sense and again and told.known is not None and told.follows(told.own.scaled(-1.0)):
            self._sense_fault(told.marks, variable, told.known)
            self._state(variable, told.known, told.tainted)
            return True
        wanted = told.known.centre if told.known is not None else told.truth
        if not sense or wanted is None or not value > 0 > wanted * sense or self.signed:
            return False
        if not derived.same(abs(told.own.centre), abs(wanted), 0.01) or self._only_worked_out(told):
            return False
        self._sense_fault(told.marks, variable, Quantity(wanted))
        self._state(variable, Quantity(sense * abs(wanted)), True)
        return True

    def _only_worked_out(self, told: Claimed) -> bool:
        """Tell whether a line works out what the line above has solved for: its minus is lost.

        `K_H = (−36.6) cos 45°, K_H = 25.9 →`: the arrow goes with the value, which is wrong.
        """
        arrows = all(mark.meaning not in ("tension", "compression") for mark in told.marks)
        form = self.forms[-1][1] if arrows and self.forms and told.known is not None else None
        if form is None or told.variable in self.out.stated or not form.present:
            return False
        left = [term for term in form.terms if not term.side and term.coefficient.centre]
        right = [term for term in form.terms if term.side and term.coefficient.centre]
        solved = len(left) == 1 and left[0].variable == told.variable and not left[0].factors
        return solved and len(right) == 1 and not right[0].variable

    def _taken_as_given(self, told: Claimed) -> bool:
        if told.known is not None or told.truth is not None:
            return False
        self.judged.worsen("agrees" if self.alone else "undecided")
        self.judged.notes.append("taken as given")
        self._state(told.variable, told.claim, False)
        return True

    def _follows_as_written(self, told: Claimed) -> bool:
        """Take a value that follows from what stands above with its rounded numbers."""
        variable, claim = told.variable, told.claim
        if not self._by_forms(variable, claim) and not self._by_rounded(
            told.relation, told.index, variable, claim
        ):
            return False
        self._acknowledge(variable, claim, self._behind_fault(told))
        return True

    def _from_function(self, told: Claimed) -> bool:
        """Take a value that a function of the working's own has there: M(2.5) of `M(x) = …`."""
        if not any(run.gives(told.variable, told.own.centre) for run in self.running):
            return False
        self._acknowledge(told.variable, told.own, True)
        return True

    def _from_lost_value(self, told: Claimed) -> bool:
        """Take a value worked out with another whose sign was lost above: that is the fault."""
        for variable, slip in self.turned_back.items():
            found = self.ledger.values.get(variable)
            if found is None or found.tainted or variable == told.variable:
                continue
            turned = replace(found, quantity=found.quantity.scaled(-1.0), tainted=True)
            self.ledger.values[variable] = turned
            if self._by_forms(told.variable, told.claim):
                self._blame_above(slip)
                self._acknowledge(told.variable, told.claim, True)
                return True
            self.ledger.values[variable] = found
        return False

    def _summed_at_once(self, told: Claimed) -> bool:
        """Take a value that is a sum worked out in one step, or a part of a load."""
        kept = self.judged.status
        summed = self._by_sums(told.relation, told.index)
        if summed is not None and told.known is not None:
            shares = {n: abs(c) for n, c in summed.expected.coefficients.items()}
            if shares.get(told.variable, 0.0) < _HARDLY * max(shares.values(), default=0.0):
                self.judged.status = kept
                return False  # any value fits where a force hardly counts
        if summed is None:
            part = self._is_load_part(told.variable, told.own)
            if part:
                self.judged.worsen("agrees")
            return part
        if told.sense and told.own.centre * told.sense < -1e-9:
            self._sense_fault(told.marks, told.variable, told.own)
        self._state(told.variable, told.own, summed.carried)
        return True

    def _explained_above(self, told: Claimed) -> bool:
        """Leave a value open behind an unread line; blame a sum in one step, or a resultant."""
        if told.known is None and self.unread:
            self.judged.worsen("undecided")  # a line that could not be read may lead to it
            self._state(told.variable, told.claim, False)
            return True
        if told.known is None and self._as_a_sum(told.relation, told.index):
            self._state(told.variable, told.claim, True)
            return True
        form = self._difference(told.relation, told.index)
        if form is None or not self._from_wrong_resultant(form, []):
            return False
        self._state(told.variable, told.claim, True)
        return True

    def _wrong(self, told: Claimed) -> None:
        """Blame a value that nothing above leads to."""
        known, truth, factor = told.known, told.truth, told.factor
        wanted = known if known is not None else Quantity(truth or 0.0)
        explanation = concluded.wrong_result(
            told.variable,
            self.out.called.get(told.variable, told.variable),
            told.claim.scaled(factor),
            known.scaled(factor) if known is not None else None,
            None if truth is None else truth * factor,
            self.forms,
            self._bare(told.side),
            self._written(told.side),
            self.figure,
            derived.unit_slip(told.side, told.claim, wanted),
        )
        explanation = concluded.with_its_minus(explanation, self.text)
        if known is None and explanation.kind == "arithmetic":
            explanation = self._without_one(told) or explanation
        if self.alone and explanation.kind == "unit" and not self._measured_above():
            self.judged.worsen("undecided")
            self.judged.notes.append("the numbers above have no unit to hold this one against")
        else:
            self._slip(explanation, "the equation above" if known is not None else "result")
        self._state(told.variable, told.claim, True)
        if explanation.kind == "unit" and told.claim.centre * wanted.centre > 0:
            # 'H = 103 kN' of 103 kgf: the writer goes on with the number.
            share = wanted.centre / told.claim.centre
            right = Found(told.claim.scaled(share), False, self.line, truth, "force")
            self.ledger.set_value(told.variable, right)

    def _without_one(self, told: Claimed) -> Explanation | None:
        """Return which force a value that no equation leads to leaves out of its sum, if one."""
        form = self._difference(told.relation, told.index)
        if form is None or self.alone or not self.explains:
            return None
        headed = told.index == 0 and (self.context.bodies or self.context.fresh)
        sums = self.around.strict(self.context, form) if headed else []
        name = self.out.called.get(told.variable, told.variable)
        claims = (told.labelled,) if told.labelled else (told.own, told.own.scaled(-1.0))
        value = Told(
            told.variable, name, claims, self._bare(told.side), self._written(told.side),
            self.figure,
        )  # fmt: skip
        return omitted(value, sums or self.around.wide(form), self.ledger.values)

    def _measured_above(self) -> bool:
        """Tell whether a number of the equations above has a unit."""
        factors = (f for _, form in self.forms for term in form.terms for f in term.factors)
        return any(derived.bare_unit(factor.expr) is not None for factor in factors)

    def _acknowledge(self, variable: str, value: Quantity, carried: bool) -> None:
        """Hold a value for right, or for rightly worked from what was wrong before."""
        self.judged.worsen("carried" if carried else "agrees")
        self._state(variable, value, carried)

    def _finish(self, relation: Relation) -> None:
        """Take the value at the end of a chain that starts with a force's name."""
        first = relation.sides[0]
        last = relation.sides[-1]
        if not isinstance(first, Name) or not (self._plain(last) or _fraction(last)):
            return
        meaning = self.reader.meaning(first)
        if self.alone and isinstance(meaning, Local) and len(relation.sides) > 2:
            self._unit_fits(last, f"?{meaning.key}", relation.marks[-1] if relation.marks else ())
        if not isinstance(meaning, Unknown) or (len(relation.sides) == 2 and self.claimed):
            return
        factor = meaning.factor * self.reader.sense(meaning.variable)
        try:
            value = self.reader.form(relation.sides[-1]).constant.scaled(1 / factor)
            before = self.reader.form(relation.sides[-2]).constant.scaled(1 / factor)
        except NotLinear:
            return
        with suppress(NotLinear):  # A_y = 3 − 0.6 T = −0.7 kN ↓
            before = self.reader.evaluate(relation.sides[-2]).scaled(1 / factor)
        marks = relation.marks[-1] if len(relation.marks) == len(relation.sides) else ()
        if len(relation.sides) == 2:
            before = value
        truth = self.figure.true.get(meaning.variable, 0.0)
        if truth and factor < 0 and by_truth_alone(value.scaled(-1.0), truth) and not marks:
            again = self._told_before(meaning.variable)
            value = value.scaled(-1.0) if again else value
        if self._turned_by_equals(relation, meaning.variable, value, marks):
            return
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

    def _turned_by_equals(
        self, relation: Relation, variable: str, value: Quantity, marks: tuple[Mark, ...]
    ) -> bool:
        """Blame `R_y = R = 485`, equal in size by symmetry, where R_y is drawn the other way."""
        truth = self.figure.true.get(variable, 0.0)
        named = len(relation.sides) > 2 and isinstance(relation.sides[1], Name)
        if not named or marks or not truth or variable in self.said or self.alone:
            return False
        if not by_truth_alone(value.scaled(-1.0), truth):
            return False
        last = relation.sides[-1]
        told = concluded.wrong_result(
            variable, self._written(relation.sides[0]), value, None, truth, self.forms,
            self._bare(last), self._written(last), self.figure,
        )  # fmt: skip
        self._slip(told, "result")
        self._state(variable, value, True)
        return True

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
