"""Resultants of spread loads as the writer works them out: a wrong one is told where it stands."""

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import combinations, product

from verifier.checking.derived import same
from verifier.checking.faults import Explanation
from verifier.checking.faults.base import say
from verifier.checking.figure import Figure
from verifier.checking.forms import Form, NotLinear, Reader, Term
from verifier.notation.tree import Div, Expr, Mul, Name, Relation, Span, walk

_NEAR = 1e-3
_MOST = 8


@dataclass(frozen=True)
class Total:
    """A product `w · L` that is not its load's resultant: where it stands, and what is right."""

    line: int
    span: Span
    value: float
    right: float
    words: str
    tapers: bool


@dataclass(frozen=True)
class Spread:
    """A spread load: its words, its resultant, and its ends (x1, y1, w1, x2, y2, w2)."""

    words: str
    value: float
    ends: tuple[float, float, float, float, float, float]


class Resultants:
    """Takes what a working says its spread loads come to; nothing is blamed before it is used."""

    def __init__(self, figure: Figure) -> None:
        self.figure = figure
        self.loads = [
            Spread(a.label or a.item, abs(a.value), a.spread)
            for a in figure.bodies.whole().actions
            if a.spread is not None and a.value
        ]
        self.totals: list[Total] = []
        self.others: list[float] = []

    def copied(self) -> "Resultants":
        """Return the state as it is now."""
        other = Resultants.__new__(Resultants)
        other.figure, other.loads = self.figure, self.loads
        other.totals, other.others = list(self.totals), list(self.others)
        return other

    def note(self, relation: Relation, line: int, reader: Reader) -> None:
        """Take the products of a relation that holds no force."""
        if not self.loads or len(self.totals) >= _MOST:
            return
        for side in relation.sides:
            if not isinstance(side, Mul | Div):
                continue
            try:
                form = reader.form(side)
            except NotLinear:
                continue
            if form.coefficients or len(form.terms) != 1:
                continue
            value = abs(form.constant.centre)
            total = self._wrong(form.terms[0], value, side, line)
            if total is not None:
                self.totals.append(total)
            self.others.append(value)

    def _wrong(self, term: Term, value: float, side: Expr, line: int) -> Total | None:
        if any(same(value, part, _NEAR) for load in self.loads for part in _parts(load)):
            return None
        sizes = [abs(f.effect.centre) for f in term.factors if f.quantity.centre]
        letters = any(isinstance(node, Name) for node in walk(side))
        for load, measure in product(self.loads, (1.0, 0.0)):
            x1, y1, first, x2, y2, last = load.ends
            whole = math.dist((x1, y1), (x2, y2))
            first, last = abs(first), abs(last)
            on_plan = whole / abs(x2 - x1) if abs(x2 - x1) > 1e-9 else 1.0
            peak = max(first, last) * (1.0 if measure else on_plan)
            length = value / peak if peak else 0.0
            known = any(same(length, d.value, _NEAR) for d in self.figure.lengths)
            plain = all(any(same(s, one, _NEAR) for s in sizes) for one in (peak, length))
            if len(sizes) < 2 or not known or not (plain or letters):
                continue
            if same(first, last) and any(same(length, part) for part in self._lengths(load, peak)):
                continue  # what lies on a part of the length
            tapers = min(first, last) == 0
            return Total(line, side.span, value, load.value, load.words, tapers)
        return None

    def _lengths(self, load: Spread, peak: float) -> Iterator[float]:
        """Yield the lengths between joints under an even load, in the measure of the load."""
        x1, y1, _, x2, y2, _ = load.ends
        whole = math.dist((x1, y1), (x2, y2))
        scale = load.value / peak / whole
        under = [
            point
            for point in self.figure.points.values()
            if abs((x2 - x1) * (point[1] - y1) - (y2 - y1) * (point[0] - x1)) < 1e-9 * whole
        ]
        yield from (scale * math.dist(a, b) for a, b in combinations(under, 2))

    def mended(self, form: Form) -> Iterator[tuple[Total, Form]]:
        """Yield a form as it would be with one wrong resultant put right."""
        for total in self.totals:
            terms = [self._mended(term, total) for term in form.terms]
            if any(new is not old for new, old in zip(terms, form.terms, strict=True)):
                yield total, Form(tuple(terms))

    def _mended(self, term: Term, total: Total) -> Term:
        for factor in term.factors:
            size = abs(factor.quantity.centre)
            for rest in (0.0, *self.others):
                if size and same(size - rest, total.value, _NEAR) and factor.power > 0:
                    share = (rest + total.right) / size
                    return replace(term, coefficient=term.coefficient.scaled(share))
        return term

    def explained(self, total: Total) -> Explanation:
        """Return the fault of a wrong resultant."""
        right, wrong = say(self.figure, total.right), say(self.figure, total.value)
        message = f"{total.words} comes to {right} in all, not {wrong}."
        if total.tapers:
            message = (
                f"{total.words} comes to {right} in all, not {wrong}: a load that grows from "
                "nothing is half its peak times its length."
            )
        return Explanation(
            "magnitude", total.span, right, message, 1.0, key=f"resultant {total.words}"
        )


def _parts(load: Spread) -> Iterator[float]:
    """Yield what a load comes to, and the parts into which people split one that varies."""
    yield load.value
    _, _, first, _, _, last = load.ends
    low = min(abs(first), abs(last))
    if low and first * last > 0 and low != max(abs(first), abs(last)):
        share = 2 * low / (abs(first) + abs(last))
        yield load.value * share
        yield load.value * (1 - share)
