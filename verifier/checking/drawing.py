"""The senses in which forces are drawn and labelled, where a line is at odds with them."""

from collections.abc import Sequence
from dataclasses import replace

from verifier.checking.faults import Explanation
from verifier.checking.forms import Form
from verifier.checking.names import Unknown, key_of
from verifier.checking.quantity import Quantity
from verifier.checking.sums import Expected
from verifier.checking.suspected import Suspected
from verifier.notation.tree import Name, Relation
from verifier.statics.actions import FreeBody

_OTHER_BODY, _OTHER_SENSE = 12.0, 1.0
"""The price of a sense against the first sum of a force: of a pin on a body, of another."""


class Drawing(Suspected):
    """Tells what is drawn or labelled the other way from what is wrong."""

    def _mislabelled(
        self, relation: Relation, index: int, form: Form, strict: Sequence[Expected]
    ) -> bool:
        """Blame the label where the size is right, for a writer of sizes with (T) or (C).

        Whoever wrote `AE = 20 (C)` before means by `FD = 15/0.6 = 25 (T)` a size as well.
        """
        name = relation.sides[0]
        marks = relation.marks[-1] if len(relation.marks) == len(relation.sides) else ()
        if not self.sizes or index or not marks or not isinstance(name, Name):
            return False
        meaning = self.reader.meaning(name)
        variable = meaning.variable if isinstance(meaning, Unknown) else ""
        sense = self._sense(marks, variable) if variable else 0.0
        turned = _turned(form, variable)
        if not sense or self._fits(turned, strict or self.around.wide(turned)) is None:
            return False
        size = abs(form.constant.centre)
        lead = abs(form.coefficients[variable].centre) if variable in form.coefficients else 0.0
        if not lead or self.figure.true.get(variable, 0.0) * sense >= 0:
            return False
        self._sense_fault(marks, variable, Quantity(-sense * size / lead))
        return True

    def _against_drawing(self, form: Form, strict: Sequence[Expected]) -> float:
        """Return the price of a sense under which the first line of a force is wrong.

        Whoever finds a positive value in a sum that is right with the force turned round drew it
        that way, and what is at odds with that comes later.
        """
        fresh = [t.variable for t in form.terms if t.variable and t.name is not None]
        fresh = [v for v in fresh if v not in self.drawn and v not in self.ledger.values]
        if len(fresh) != 1 or fresh[0] in self.ledger.rows:
            return 0.0
        (variable,) = fresh
        letters = self.reader.letters_of(variable)
        if variable in self.said:
            return 0.0
        turned = _turned(form, variable)
        found = self._fits(turned, strict or self.around.wide(turned))
        if found is None or found.carried:
            return 0.0
        own = next(t for t in form.terms if t.variable == variable)
        meaning = self.reader.meaning(own.name) if own.name is not None else None
        factor = meaning.factor if isinstance(meaning, Unknown) else 1.0
        lead = own.coefficient.centre * factor * self.reader.sense(variable)
        rest = form.constant.centre + sum(
            q.centre * self._value(n) for n, q in form.coefficients.items() if n != variable
        )
        if not lead or -rest / lead <= 0:
            return 0.0
        if variable.startswith("pin "):
            return _OTHER_BODY
        letter = own.name is not None and key_of(own.name) in letters
        pushing = own.name is not None and key_of(own.name) in self.pushing
        if pushing and self.reader.sense(variable) > 0:
            return _OTHER_SENSE  # 8.7 kN (C) comes of a bar drawn pushing
        return _OTHER_SENSE if letter or variable.startswith("reaction ") else 0.0

    def _against_first(
        self, explanation: Explanation, form: Form, expected: Expected
    ) -> Explanation:
        """Call a wrong sign of a pin force what it is: the same sense on both bodies."""
        body = bare_name(expected.body)
        if explanation.kind != "sign":
            return explanation
        for term in form.terms:
            inside = explanation.span[0] <= term.span[0] and term.span[1] <= explanation.span[1]
            first = self.drawn_on.get(term.variable, body)
            if inside and term.variable.startswith("pin ") and first != body:
                name = term.name.text if term.name is not None else "This pin force"
                message = (
                    f"{name} was drawn on the other body first; on this one it acts the opposite "
                    "way, equal and opposite."
                )
                key = f"both at {term.variable.split()[1]}"
                return replace(explanation, kind="inconsistent", message=message, key=key)
        return explanation


def bare_name(body: FreeBody) -> str:
    """Return what a body is called, with its joints or without."""
    return body.name.removesuffix(" with its joints")


def _turned(form: Form, variable: str) -> Form:
    """Return a form with one force turned round."""
    told = [
        t._replace(coefficient=t.coefficient.scaled(-1.0)) if t.variable == variable else t
        for t in form.terms
    ]
    return Form(tuple(told))
