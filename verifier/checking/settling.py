"""Own names that a line without a force settles: 540 T = 3 150 000, and what is said next."""

from verifier.checking import concluded, derived
from verifier.checking.angles import Angles
from verifier.checking.forms import Form
from verifier.checking.ledger import Found, three_figures
from verifier.checking.names import key_of
from verifier.checking.quantity import Quantity
from verifier.checking.state import LONE, close
from verifier.notation.tree import Name, Num, Relation

_ROUNDED = 1e-3
"""How far a weight may be rounded: 22 (9.81) = 215.8."""
_SOON = 3
"""Within how many lines a value is held against the line that settled it."""


class Settling(Angles):
    """Takes plain numbers from lines that hold one own name."""

    def _settles(self, form: Form, loose: set[str]) -> bool:
        """Take a length or other plain number from a line that holds no force but one own name."""
        if len(loose) != 1 or set(form.coefficients) != loose or self.context.fresh:
            return False
        (name,) = loose
        coefficient = form.coefficients[name].centre
        gross = sum(abs(t.coefficient.centre) for t in form.terms if t.variable)
        if not form.constant.centre and abs(coefficient) < _ROUNDED * gross:
            self.judged.worsen("agrees")  # `5/10.3 T = 0.4856 T` says nothing of T
            return True
        if name[1:] in self.forces and LONE.fullmatch(name[1:]) and not self.alone:
            return False  # 'R_y taken downwards' is a force
        if not coefficient or f"?{name}" in self.ledger.rows or self._force_like(form):
            return False
        value = form.constant.scaled(-1.0 / coefficient)
        self.ledger.locals[name[1:]] = Found(value, False, self.line)
        self.settled[name[1:]] = self.line
        self.judged.worsen("agrees")
        return True

    def _contradicts(self, name: Name, relation: Relation, value: Quantity) -> bool:
        """Tell whether a name's value is not what the line above gives for it, and say so."""
        before = self.ledger.locals.get(key_of(name))
        line = self.settled.pop(key_of(name), None)
        side = relation.sides[-1]
        number = isinstance(derived.bare_number(side), Num) and len(relation.sides) == 2
        if before is None or line is None or before.line != line or not number:
            return False
        slack = three_figures(before.quantity.centre)
        if self.line - line > _SOON or close(value, before.quantity, slack):
            return False
        told = concluded.wrong_result(
            key_of(name), name.text, value, before.quantity, None, (), self._bare(side),
            self._written(side), self.figure,
        )  # fmt: skip
        self._slip(told, "the equation above")
        return True

    def _force_like(self, form: Form) -> bool:
        """Tell whether a line weighs loads: some number in it is one of the sheet's."""
        sizes = [abs(f.quantity.centre) for t in form.terms for f in t.factors]
        found = [abs(f.quantity.centre) for f in self.out.stated.values()]
        known = [d.value for d in self.figure.loads]
        weighs = len([t for t in form.terms if not t.variable and t.coefficient.centre]) > 1
        known += [value for value in found if value] if weighs else []
        return any(derived.same(s, value, _ROUNDED) for s in sizes for value in known)
