"""Moments and components worked out in lines of their own, `M1 = 9·1.5 = 13.5`, before a sum.

A sum that has them as plain numbers is right or wrong with them: what is at fault in one is told
where it was worked out.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace

from verifier.checking.derived import bare_number, same
from verifier.checking.faults import Explanation
from verifier.checking.forms import Factor, Form, NotLinear, Reader, Term
from verifier.checking.ledger import half_width
from verifier.checking.names import Unknown, key_of
from verifier.notation.tree import Add, Div, Func, Mul, Name, Num, Relation, Span, shifted, walk

_TURN = re.compile(r"sin|cos|sen|tan|tg|\d\s?/\s?\d|0[.,]\d")
_MOST = 24
_NEAR = 1e-6


@dataclass(frozen=True)
class Worked:
    """A product of numbers: its line, the name it was given, its term and what it is about.

    `force` is whether its unit says that it is one, and no moment.
    """

    line: int
    key: str
    term: Term
    about: str
    force: bool = False


@dataclass(frozen=True)
class Unfolded:
    """A sum with products from above in place of their values, and the lines that follow it."""

    form: Form
    text: str
    begins: tuple[tuple[int, int], ...]  # the column at which a line above begins, and the line
    points: frozenset[str] = frozenset()  # about which the products are said to be
    beside: frozenset[int] = frozenset()  # the columns of those with an arm beside them in the sum

    def place(self, explanation: Explanation) -> tuple[int, Explanation]:
        """Return the line on which an explanation points, 0 for the sum's own, and it there.

        A sign is the sum's own, and so is an arm beside a product, or one left out.
        """
        start, end = explanation.span
        for begins, line in reversed(self.begins):
            if start >= begins:
                turned = explanation.kind in ("component", "angle") and _TURN.search(
                    explanation.expected
                )
                armed = explanation.kind == "lever-arm" and not explanation.key.startswith("no arm")
                if turned or (armed and begins not in self.beside):
                    return line, replace(explanation, span=(start - begins, end - begins))
                return 0, explanation
        return 0, explanation


class WorkedAbove:
    """Keeps the products that a working works out before it uses them."""

    def __init__(self) -> None:
        self.products: list[Worked] = []

    def copied(self) -> "WorkedAbove":
        """Return the state as it is now."""
        other = WorkedAbove()
        other.products = list(self.products)
        return other

    def note(self, relation: Relation, line: int, about: str, reader: Reader) -> None:
        """Take the product of numbers that a relation works out and ends in."""
        first, last = relation.sides[0], relation.sides[-1]
        ends = isinstance(bare_number(last), Num) and len(relation.sides) > 1
        found = isinstance(first, Name) and isinstance(reader.meaning(first), Unknown)
        if not ends or found or len(self.products) >= _MOST:
            return  # F_AB = 7/sin 53° is what a sum gives
        for side in relation.sides[:-1]:
            if not isinstance(side, Mul | Div) or not _reckons(side):
                continue
            try:
                form = reader.form(side)
            except NotLinear:
                continue
            if len(form.terms) == 1 and not form.terms[0].variable:
                key = key_of(first) if isinstance(first, Name) else ""
                unit = getattr(bare_number(last), "unit", None)
                force = unit is not None and unit.kind == "force"
                self.products.append(Worked(line, key, form.terms[0], about, force))
                return

    def unfolded(self, form: Form, line: int, about: str, texts: dict[int, str]) -> Unfolded | None:
        """Return a sum with the products from above in it, None where it has none."""
        text, terms, begins = texts[line], list[Term](), list[tuple[int, int]]()
        points, beside = set[str](), set[int]()
        for term in form.terms:
            found = self._within(term, line, about)
            if found is None:
                terms.append(term)
                continue
            factor, worked = found
            at = len(text) + 1
            text = f"{text}\n{texts[worked.line]}"
            begins.append((at, worked.line))
            terms.append(_put_in(term, factor, worked, at))
            points |= {worked.about} - {""}
            if worked.force or len(terms[-1].factors) > len(worked.term.factors):
                beside.add(at)
        if not begins:
            return None
        sets = frozenset(points), frozenset(beside)
        return Unfolded(Form(tuple(terms)), text, tuple(begins), *sets)

    def _within(self, term: Term, line: int, about: str) -> tuple[Factor, Worked] | None:
        """Return the factor of a term that is the value of a product above, and the product.

        One that is said to be about another point than the sum is not wrong for that, and where
        both parts of a load stand above, it is the sum that takes the wrong one.
        """
        if term.variable or any(isinstance(f.expr, Func) for f in term.factors):
            return None
        for factor in term.factors:
            fits = [one for one in self._like(factor) if one.line < line]
            fits = [one for one in fits if not (one.about and about) or one.about == about]
            fits = [one for one in fits if not self._both_parts(one)]
            if len(fits) == 1:
                return factor, fits[0]
        return None

    def _both_parts(self, one: Worked) -> bool:
        """Tell whether the other part of the same load is worked out as well, by sine or cosine."""
        turned, sizes = _turned(one.term)
        others = (_turned(other.term) for other in self.products if other is not one)
        return bool(turned) and any(
            kind and kind != turned and size == sizes for kind, size in others
        )

    def _like(self, factor: Factor) -> Iterator[Worked]:
        for worked in self.products:
            size, alike = abs(worked.term.coefficient.centre), False
            if isinstance(factor.expr, Name):
                alike = worked.key == key_of(factor.expr)
            elif isinstance(factor.expr, Num):
                half = half_width(factor.expr) + worked.term.coefficient.radius
                alike = abs(abs(factor.quantity.centre) - size) <= half + _NEAR * size
            if alike and factor.power > 0 and same(abs(factor.quantity.centre), size, 0.02):
                yield worked


def _reckons(side: Mul | Div) -> bool:
    """Tell whether a side has two numbers and more to multiply: a force and its arm, say."""
    return sum(isinstance(node, Num | Name | Func) for node in walk(side)) > 1 and not any(
        isinstance(node, Add) for node in walk(side)
    )


def _turned(term: Term) -> tuple[str, tuple[float, ...]]:
    """Return whether a product has a sine or a cosine, '' for none, and its angle and numbers."""
    turns = [f.expr for f in term.factors if isinstance(f.expr, Func)]
    if len(turns) != 1 or turns[0].name not in ("sin", "cos"):
        return "", ()
    rest = sorted(abs(f.quantity.centre) for f in term.factors if not isinstance(f.expr, Func))
    return turns[0].name, (*rest[-1:],)


def _put_in(term: Term, factor: Factor, worked: Worked, at: int) -> Term:
    """Return a term with a product's factors in place of its value."""
    rest = tuple(f for f in term.factors if f is not factor and abs(f.quantity.centre) != 1.0)
    inside = tuple(f._replace(expr=shifted(f.expr, at)) for f in worked.term.factors)
    start, end = worked.term.span
    span: Span = (start + at, end + at)
    return term._replace(factors=(*inside, *rest), span=span)
