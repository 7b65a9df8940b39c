"""What is at fault in an equation that no sum of any free body fits."""

import re
from collections.abc import Sequence
from dataclasses import replace

from verifier.checking import derived, substitution
from verifier.checking.context import INNER
from verifier.checking.divided import multiplied
from verifier.checking.drawing import Drawing
from verifier.checking.faults import Explanation
from verifier.checking.faults.base import say
from verifier.checking.forms import Form
from verifier.checking.othershare import other_share
from verifier.checking.pairing import Diagnosis, Manner
from verifier.checking.sine_rule import odd_angle
from verifier.checking.state import Slip
from verifier.checking.stated_place import given_above, instead
from verifier.checking.sums import Expected
from verifier.checking.tallies import loads_alone, product_above, tallied
from verifier.checking.termwise import put_in
from verifier.findings import Certainty
from verifier.notation.tree import (
    Relation,
    Span,
)

_AS_GOOD = 0.2
_ABOVE = 0.25
"""How much more it may cost to explain a product above than its value in the sum."""
_CHEAPER = 0.02
_NO_LABEL = 2.3
_ELSEWHERE, _NOT_HEADED = 0.25, 0.5
_FAR_FETCHED = 2.3
_BARE = 0.05
"""What it costs to take a body without its joints, on which reactions and bars act through pins."""
_NOT_ONE, _UNHEADED = 1.6, 0.9
"""What no single slip costs, and how much cheaper a cut that no heading names must be."""
_BETWEEN = 0.3
"""What it costs to take a line for a sum of the piece between two cuts of a body."""


_OTHER_PART = 0.25
"""What it costs to take the part of a section that its heading does not name."""
_ROUNDED = 2e-3
_FIXING = re.compile(r"reaction \S+ moment")


class Blaming(Drawing):
    """Explains equations that do not hold."""

    def _implied(self, form: Form, slack: float = 0.0) -> bool | None:
        """Return None where a line does not follow from the working, else whether from a fault.

        `slack` is how far it may be off beyond what its numbers stand for.
        """
        coefficients = {n: q.centre for n, q in form.coefficients.items()}
        told = self.ledger.reduce(coefficients, form.constant.scaled(-1.0))
        rest = told.rest
        if told.left:
            return None
        spread = sum(q.radius * abs(self._value(n)) for n, q in form.coefficients.items())
        noise = 1e-9 * max([form.size, *(abs(c * self._value(n)) for n, c in coefficients.items())])
        if abs(rest.centre) > rest.radius + told.coarse + spread + noise + slack:
            return None
        return told.tainted and not self._true(form)

    def _accept(self, form: Form, carried: bool) -> None:
        self.judged.worsen("carried" if carried else "agrees")
        self._learn(form, carried)

    def _learn(self, form: Form, tainted: bool) -> None:
        self.forms.append((self.line, form))
        if _is_rounding(form):
            return
        coefficients = {n: q.centre for n, q in form.coefficients.items() if q.centre}
        if tainted:
            self.ledger.forget_contradicted(coefficients, form.constant.scaled(-1.0))
        if len(coefficients) == 1:
            (name,) = coefficients
            if name in self.ledger.values:
                value = form.constant.scaled(-1.0 / coefficients[name])
                kept = self.ledger.values[name]
                self.ledger.values[name] = replace(kept, quantity=value, line=self.line)
        if coefficients:
            self.ledger.learn(coefficients, form.constant.scaled(-1.0), tainted, self.line)

    def _fault_in_sum(
        self, relation: Relation, index: int, form: Form, strict: Sequence[Expected]
    ) -> None:
        if self._from_wrong_resultant(form, strict):
            self._learn(form, True)
            return
        if self._from_lost_sign(form, strict):
            self._learn(form, True)
            return
        if len(form.coefficients) == 1 and self.running:
            ((name, lead),) = form.coefficients.items()
            value = form.constant.centre / (lead.centre or 1.0)
            if any(run.gives(name, value) for run in self.running):
                self._accept(form, True)  # as a function above has it
                return
        self.out.against_drawing += self._against_drawing(form, strict)
        if not self.explains:
            mark = Explanation("algebra", relation.span, "", "", 1.0, key=f"{self.line} {index}")
            self._slip(mark, "")
            self._learn(form, True)
            return
        if self._mislabelled(relation, index, form, strict):
            self._learn(form, True)
            return
        odd = odd_angle(relation, self.reader, self.figure, self.text)
        if odd is not None:
            self._slip(odd, "the sine rule")
            self._learn(form, True)
            return
        share = other_share(relation, index, self.reader, self.figure, self.text)
        if share is not None:
            self._slip(share, "the components")
            self._learn(form, True)
            return
        explained = None
        if not (self.context.fresh and index == 0):
            explained = self._from_above(relation, index, form)
        best, second = self._diagnose(relation, index, form, strict)
        if best is not None and not best.explanations:
            self._accept(form, False)  # term by term it is right: 4 cos 30° is 3.464 of the sheet
            return
        if explained is None and best is not None and best.cost > _FAR_FETCHED:
            explained = self._does_not_follow(relation, index, form)
        above = self._blamed_above(relation, index, form, strict, best)
        above = above or self._placed_above(form, best) or self._tallied_above(form, best)
        above = above or self._worked_out_above(form, best)
        if above:
            self.judged.worsen("carried")
        elif explained is not None and (best is None or explained.cost <= best.cost):
            self._slip(explained, "the equation above")
        elif best is not None and not self.blames and self._unclear(best, form):
            self.judged.worsen("undecided")
            self.out.unclear.add(self.line)
            self.judged.notes.append("no sum of any free body comes near this line")
        elif best is not None:
            certainty: Certainty = "proved"
            if second is not None and second.cost < best.cost + _AS_GOOD:
                certainty = "best explanation"
            told: set[str] = set()
            for explanation in best.explanations:
                if certainty == "best explanation" and second is not None:
                    explanation = _or_else(explanation, second)
                self._doubt_definition(explanation, form)
                explanation = self._against_first(explanation, form, best.expected)
                if explanation.key not in told:
                    self._slip(explanation, best.expected.where, certainty)
                told.add(explanation.key)
        else:
            self.judged.worsen("undecided")
        self._learn(form, True)

    def _from_wrong_resultant(self, form: Form, strict: Sequence[Expected]) -> bool:
        """Tell whether a line is right but for a resultant that was worked out wrongly above."""
        for total, right in self.resultants.mended(form):
            fits = self._fits(right, strict or self.around.wide(right)) is not None
            if fits or self._true(right) or self._implied(right) is not None:
                self._blame_above(Slip(total.line, self.resultants.explained(total), "the load"))
                return True
        return False

    def _from_lost_sign(self, form: Form, strict: Sequence[Expected]) -> bool:
        """Tell whether a line is right with a value as it was told above, against its name's sense.

        `−A_x + 4 = 0 ⇒ A_x = −4` may tell A_x in the axis' sense; who then takes `−(−4)` for −A_x
        has lost a sign there.
        """
        for variable, slip in self.turned_back.items():
            found = self.ledger.values.get(variable)
            if found is None or found.tainted:
                continue
            turned = replace(found, quantity=found.quantity.scaled(-1.0), tainted=True)
            self.ledger.values[variable] = turned
            sums = strict or list(self.around.wide(form))
            fits = self._fits(form, sums)
            if (fits is not None and fits.carried) or self._holds_so(form, variable):
                self._blame_above(slip)
                return True
            self.ledger.values[variable] = found
        return False

    def _holds_so(self, form: Form, variable: str) -> bool:
        """Tell whether an equation that holds a force is right at the working's own values."""
        values = self.ledger.values
        if variable not in form.coefficients or any(n not in values for n in form.coefficients):
            return False
        parts = [q.times(values[n].quantity) for n, q in form.coefficients.items()]
        total = form.constant
        for part in parts:
            total = total.plus(part)
        slack = max(total.radius, 2e-3 * max(abs(part.centre) for part in parts))
        return abs(total.centre) <= slack

    def _blamed_above(
        self,
        relation: Relation,
        index: int,
        form: Form,
        strict: Sequence[Expected],
        best: Diagnosis | None,
    ) -> bool:
        """Tell what is at fault in products of lines above, where the sum is right but for them."""
        label = self.context.label if self.context.fresh else None
        point = label.about if label is not None else ""
        whole = multiplied(relation, index, self.reader)
        unfolded = self.worked.unfolded(whole or form, self.line, point, self.texts)
        if best is None or unfolded is None:
            return False
        self.text, text = unfolded.text, self.text
        try:
            other, _ = self._diagnose(relation, index, unfolded.form, strict)
        finally:
            self.text = text
        if other is None or other.cost > best.cost + _ABOVE:
            return False
        about = other.expected.axis.words.removeprefix("moments about ")
        if unfolded.points - {about}:
            return False
        placed = [unfolded.place(one) for one in other.explanations]
        if not placed or any(line == 0 or "\n" in e.message for line, e in placed):
            return False
        for line, explanation in placed:
            self._blame_above(Slip(line, explanation, other.expected.where))
        return True

    def _tallied_above(self, form: Form, best: Diagnosis | None) -> bool:
        """Tell what is at fault in a line above that sums the loads up."""
        tally = tallied(best, form, self.tallies) if best is not None else None
        summed = self._form(tally.side) if tally is not None else None
        if best is None or tally is None or summed is None:
            return False
        if not derived.same(abs(summed.constant.centre), tally.value, 5e-3):
            return any(not slip.remark for slip in self.out.slips)  # told there
        if tally.line >= self.line:
            return False
        text = self.texts[tally.line]
        manner = Manner(text, tally.side.span, "", 0.0, self.out.called)
        found = self.pairing.diagnose(summed, [(loads_alone(best.expected), manner, 0.0)], _AS_GOOD)
        if not found or not found[0].explanations or found[0].cost > _FAR_FETCHED:
            return False
        for told in found[0].explanations:
            self._blame_above(Slip(tally.line, told, best.expected.where))
        return True

    def _worked_out_above(self, form: Form, best: Diagnosis | None) -> bool:
        """Tell of a spread load's wrong total at the line above that works it out."""
        if best is None or len(best.explanations) != 1:
            return False
        (told,) = best.explanations
        made = product_above(told, form, self.products, self.line)
        if made is None:
            return False
        wanted = instead(self.text[slice(*told.span)], told.expected)
        slip = replace(told, span=made.side.span, expected=wanted)
        self._blame_above(Slip(made.line, slip, best.expected.where))
        return True

    def _placed_above(self, form: Form, best: Diagnosis | None) -> bool:
        """Tell of a wrong arm at the sentence above that gives it already."""
        if best is None or len(best.explanations) != 1 or not best.expected.moment:
            return False
        (told,) = best.explanations
        point = best.expected.axis.words.removeprefix("moments about ")
        place = given_above(told, form, self.texts, self.line, point, self._is_fixed(point))
        if place is None or place[0] not in self.out.lines:
            return False
        line, span = place
        wanted = instead(self.text[slice(*told.span)], told.expected)
        above = replace(told, span=span, expected=wanted)
        self._blame_above(Slip(line, above, best.expected.where))
        return True

    def _is_fixed(self, point: str) -> bool:
        """Tell whether a point is the one fixed support of the figure."""
        fixed = [name.split()[1] for name in self.figure.true if _FIXING.fullmatch(name)]
        return fixed == [point]

    def _from_above(self, relation: Relation, index: int, form: Form) -> Explanation | None:
        """Return how a line went wrong that should follow from the equations above, or None."""
        left, right = (self._form(side) for side in relation.sides[index : index + 2])
        told = (
            put_in(left, right, self.ledger.values, self.text) if left and right else None,
            substitution.put_wrongly(form, self.forms, self.text, self.figure),
            derived.explain(form, relation, index, self.forms, self.ledger, self.text, self.figure),
        )
        return min((one for one in told if one is not None), key=lambda e: e.cost, default=None)

    def _unclear(self, best: Diagnosis, form: Form) -> bool:
        """Tell whether a line that nothing heads differs from every sum in more than one thing."""
        headed = bool(self.context.bodies) or (self.context.fresh and self.context.label)
        own = any(" at " in name or name.endswith(" moment") for name in form.coefficients)
        return not headed and not own and best.cost > _NO_LABEL

    def _does_not_follow(self, relation: Relation, index: int, form: Form) -> Explanation | None:
        """Return that a line contradicts the lines above, where no single term says why."""
        coefficients = {n: q.centre for n, q in form.coefficients.items()}
        told = self.ledger.reduce(coefficients, form.constant.scaled(-1.0))
        side = relation.sides[index + 1]
        if told.left or len(coefficients) != 1 or side.span[0] >= side.span[1]:
            return None
        ((name, coefficient),) = coefficients.items()
        value = say(self.figure, self._value(name) * abs(coefficient))
        said = self.out.called.get(name, name)
        return Explanation(
            "algebra",
            side.span,
            value,
            f"The equations above give {said} = {value}; this side comes to something else.",
            _FAR_FETCHED,
            key=f"follow {name} {self.line}",
        )

    def _diagnose(
        self, relation: Relation, index: int, form: Form, strict: Sequence[Expected]
    ) -> tuple[Diagnosis | None, Diagnosis | None]:
        label = self.context.label if self.context.fresh else None
        sums = [(expected, 0.0) for expected in self.around.interrupted(self.context, form)]
        other = {body.name for body in self.context.bodies[1:] if self.context.sided}
        sums += [(e, _OTHER_PART * (e.body.name in other)) for e in strict]
        sums += [(expected, 0.0) for expected in self.around.across(self.context, form)]
        away = _NOT_HEADED if self.context.bodies else _ELSEWHERE if strict else 0.0
        sums += [(e, away) for e in self.around.elsewhere(self.context, form)]
        if label is None:
            sums += [(e, away + _BETWEEN) for e in self.around.between(form)]
        if sums and not self.around.hold((expected for expected, _ in sums), form):
            sums += [(e, away) for e in self.around.holding(self.context, form)]
        sums = sums or [(expected, 0.0) for expected in self.around.wide(form)]
        inner = {name for name in form.coefficients if name.startswith(INNER)}
        if any(inner <= expected.coefficients.keys() for expected, _ in sums):
            # M_E acts on a piece cut at E alone, whatever the heading says
            sums = [one for one in sums if inner <= one[0].coefficients.keys()]
        if label is None:  # a sum in which none of its forces has a part is not what is meant
            near = [one for one in sums if form.coefficients.keys() & one[0].coefficients.keys()]
            sums = near or sums
        asked = self._asked(relation, index, sums)
        self.pairing.drawn = frozenset(self.drawn)
        found = self.pairing.diagnose(form, asked.values(), _AS_GOOD)
        if found and found[0].cost > _NOT_ONE and not self.context.bodies:
            parts = [(e, away) for e in self.around.holding(self.context, form) if e.body.cut]
            again = self.pairing.diagnose(
                form, self._asked(relation, index, parts).values(), _AS_GOOD
            )
            found = again if again and again[0].cost < found[0].cost - _UNHEADED else found
        whole = multiplied(relation, index, self.reader) if found and found[0].cost else None
        if whole is not None:
            turning = [one for one in asked.values() if one[0].moment]
            again = self.pairing.diagnose(whole, turning, _AS_GOOD)
            found = again if again and again[0].cost < found[0].cost - _CHEAPER else found
        others = [d for d in found[1:] if d.explanations != found[0].explanations]
        return (found[0] if found else None), (others[0] if others else None)

    def _asked(
        self, relation: Relation, index: int, sums: Sequence[tuple[Expected, float]]
    ) -> dict[object, tuple[Expected, Manner, float]]:
        """Return each sum that a line may be with how it is written and what it costs to take."""
        label = self.context.label if self.context.fresh else None
        span = relation.span if len(relation.sides) == 2 else self._pair_span(relation, index)
        bodies = {expected.body.name for expected, _ in sums}
        asked: dict[object, tuple[Expected, Manner, float]] = {}
        for expected, penalty in sums:
            kind = "moment" if expected.moment else expected.axis.words
            manner = Manner(
                self.text,
                span,
                label.positive if label is not None else "",
                self.context.signs.get(kind, 0.0),
                self.out.called,
            )
            if f"{expected.body.name} with its joints" in bodies:
                penalty += _BARE
            asked.setdefault((expected.where, expected.axis.about), (expected, manner, penalty))
        return asked

    @staticmethod
    def _pair_span(relation: Relation, index: int) -> Span:
        return (relation.sides[index].span[0], relation.sides[index + 1].span[1])


def _or_else(explanation: Explanation, second: Diagnosis) -> Explanation:
    """Name the other account of a line that explains it about as well."""
    if len(second.explanations) != 1:
        return explanation
    other = second.explanations[0]
    if (other.kind, other.span) == (explanation.kind, explanation.span):
        return explanation
    return replace(
        explanation, message=f"{explanation.message} Or else ({other.kind}): {other.message}"
    )


def _is_rounding(form: Form) -> bool:
    """Tell whether an equation is the same forces on either side: T (0.8575/0.8824) = 0.9718 T.

    What is left of it is rounding, and would say that they are nil.
    """
    gross: dict[str, float] = {}
    for term in form.terms:
        gross[term.variable] = gross.get(term.variable, 0.0) + abs(term.coefficient.centre)
    return not form.constant.centre and all(
        abs(q.centre) <= max(q.radius, _ROUNDED * gross[name])
        for name, q in form.coefficients.items()
    )
