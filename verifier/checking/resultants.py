"""Resultants of spread loads as the writer works them out: a wrong one is told where it stands."""

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import combinations, product

from verifier.checking.derived import bare_number, same
from verifier.checking.faults import Explanation
from verifier.checking.faults.base import say
from verifier.checking.figure import Figure
from verifier.checking.forms import Form, NotLinear, Reader, Term
from verifier.checking.stretches import Ends, stretches
from verifier.notation.tree import Add, Div, Expr, Mul, Name, Num, Relation, Span, walk

_NEAR = 1e-3
_MOST, _FEW, _FACTORS, _WHOLE = 8, 4, 2, 3
_SLIP = 0.02


@dataclass(frozen=True)
class Total:
    """A product `w · L` that is not its load's resultant: where it stands, and what is right."""

    line: int
    span: Span
    value: float
    right: float
    words: str
    tapers: bool
    arms: tuple[tuple[float, float], ...] = ()  # as the writer's extent has them, and right


@dataclass(frozen=True)
class Spread:
    """A spread load: its words, its resultant, and its ends (x1, y1, w1, x2, y2, w2)."""

    words: str
    value: float
    ends: Ends


class Resultants:
    """Takes what a working says its spread loads come to; nothing is blamed before it is used."""

    def __init__(self, figure: Figure) -> None:
        self.figure = figure
        self.loads = [
            Spread(a.label or a.item, abs(a.value), a.spread)
            for a in figure.bodies.whole().actions
            if a.spread is not None and a.value
        ]
        self.found: dict[tuple[Ends, tuple[float, float]], list[tuple[float, float]]] = {}
        self.totals: list[Total] = []
        self.others: list[float] = []
        spread = {load.value for load in self.loads}
        single = [datum.value for datum in figure.loads if datum.value not in spread][:_FEW]
        self.single = tuple(single)
        picked = (combinations(single, count) for count in range(1, len(single) + 1))
        self.added = tuple({sum(some) for sums in picked for some in sums}) if self.loads else ()

    def copied(self) -> "Resultants":
        """Return the state as it is now."""
        other = Resultants.__new__(Resultants)
        other.figure, other.loads, other.added = self.figure, self.loads, self.added
        other.single, other.found = self.single, self.found
        other.totals, other.others = list(self.totals), list(self.others)
        return other

    def note(self, relation: Relation, line: int, reader: Reader, turns: bool = True) -> None:
        """Take the products of a relation that holds no force, and of a sum that turns nothing."""
        if not self.loads or len(self.totals) >= _MOST:
            return
        for side in relation.sides:
            if not isinstance(side, Mul | Div) and (turns or not isinstance(side, Add)):
                self._note_turning(side, line, reader)
                continue
            try:
                form = reader.form(side)
            except NotLinear:
                continue
            alone = not isinstance(side, Add)
            if alone and (form.coefficients or len(form.terms) != 1):
                continue
            for term in form.terms if not alone else form.terms[:1]:
                if term.variable or (not alone and len(term.factors) != _FACTORS):
                    continue
                value = abs(term.coefficient.centre)
                total = self._wrong(term, value, side, line) or self._onward(term, value)
                slip = self._slip_in(relation, side, value, line) if alone else None
                self.totals += [one for one in (total, slip) if one is not None]
                self.others.append(value)

    def _note_turning(self, side: Expr, line: int, reader: Reader) -> None:
        """Take from a sum of moments what an even load comes to in it: 3(8)(4), or 2·6·3."""
        if not isinstance(side, Add):
            return
        try:
            terms = reader.form(side).terms
        except NotLinear:
            return
        for term, load in ((t, one) for t in terms for one in self.loads if not t.variable):
            for value in self._turning(term, load):
                total = Total(line, term.span, value, load.value, load.words, False)
                if total not in self.totals:
                    self.totals.append(total)

    def _turning(self, term: Term, load: Spread) -> Iterator[float]:
        """Yield what an even load comes to on another stretch, or with another intensity."""
        x1, y1, weight, x2, y2, last = load.ends
        weight, own = abs(weight), math.dist((x1, y1), (x2, y2))
        if abs(last) != weight or not same(weight * own, load.value, _NEAR):
            return
        along = ((y2 - y1) / own, (x1 - x2) / own)  # a load across its line, as most are
        size, factors = abs(term.coefficient.centre), [abs(f.effect.centre) for f in term.factors]
        parts = (combinations(factors, count) for count in range(1, len(factors[:_MOST])))
        own_size = any(same(math.prod(p), load.value, _NEAR) for some in parts for p in some)
        alike = (same(f, one, _NEAR) for f in factors for one in self.single)
        if len(factors) <= _FACTORS and any(alike):
            return  # another load with its arm
        for about in self.figure.points.values():
            for long, arm in self._stretches(load, along, about):
                value = weight * long
                if own_size or not same(size, value * arm, _NEAR):
                    continue
                if any(same(f, one, _NEAR) for f in factors for one in (long, value)):
                    yield value
            across = ((x1 + x2) / 2 - about[0], (y1 + y2) / 2 - about[1])
            arm = abs(across[0] * along[1] - across[1] * along[0])
            if len(factors) == _WHOLE and same(factors[1], own) and arm and same(factors[2], arm):
                yield factors[0] * own

    def _stretches(
        self, load: Spread, along: tuple[float, float], about: tuple[float, float]
    ) -> list[tuple[float, float]]:
        """Return the other stretches of a load, found once: their lengths and arms."""
        if (load.ends, about) not in self.found:
            self.found[load.ends, about] = [*stretches(self.figure, load.ends, along, about)]
        return self.found[load.ends, about]

    def _onward(self, term: Term, value: float) -> Total | None:
        """Return what a product with a wrong resultant in it comes to: `14·3.5 = 49`."""
        for total in self.totals:
            if any(same(abs(f.quantity.centre), total.value, _NEAR) for f in term.factors):
                right = value * total.right / total.value
                return replace(total, value=value, right=right, arms=())
        return None

    def _slip_in(self, relation: Relation, side: Expr, value: float, line: int) -> Total | None:
        """Return a resultant whose product is right and what it is said to come to is not."""
        after = relation.sides[relation.sides.index(side) + 1 :][:1]
        number = bare_number(after[0]) if after else None
        load = next((one for one in self.loads if same(value, one.value, _NEAR)), None)
        if load is None or not isinstance(number, Num) or same(abs(number.value), value, _SLIP):
            return None
        return Total(line, number.span, abs(number.value), value, load.words, False)

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
            known = self._is_length(length)
            plain = all(any(same(s, one, _NEAR) for s in sizes) for one in (peak, length))
            high = 2 * length  # of a load that tapers to nothing: half its peak times its length
            long = not known and measure and min(first, last) == 0 and self._is_length(high)
            if long and all(any(same(s, one, _NEAR) for s in sizes) for one in (peak, high)):
                arms = self._thirds(load, high)
                return Total(line, term.span, value, load.value, load.words, False, arms)
            if len(sizes) < 2 or not known or not (plain or letters):
                continue
            if same(first, last) and any(same(length, part) for part in self._lengths(load, peak)):
                continue  # what lies on a part of the length
            tapers = min(first, last) == 0
            arms = () if tapers or not same(first, last) else self._arms(load, length)
            return Total(line, term.span, value, load.value, load.words, tapers, arms)
        return None

    def _is_length(self, length: float) -> bool:
        return any(same(length, d.value, _NEAR) for d in self.figure.lengths)

    def _thirds(self, load: Spread, length: float) -> tuple[tuple[float, float], ...]:
        """Return the arms that a load that tapers has about the joints if it is that long."""
        x1, y1, first, x2, y2, _ = load.ends
        top, foot = ((x1, y1), (x2, y2)) if first else ((x2, y2), (x1, y1))
        found = set()
        for end in (p for p in self.figure.points.values() if same(math.dist(p, top), length)):
            for axis in (0, 1):
                own = top[axis] + (end[axis] - top[axis]) / 3
                true = top[axis] + (foot[axis] - top[axis]) / 3
                found |= {
                    (abs(own - p[axis]), abs(true - p[axis])) for p in self.figure.points.values()
                }
        return tuple(sorted(pair for pair in found if min(pair) > 0))

    def _lengths(self, load: Spread, peak: float) -> Iterator[float]:
        """Yield the lengths between joints under an even load, in the measure of the load."""
        x1, y1, _, x2, y2, _ = load.ends
        whole = math.dist((x1, y1), (x2, y2))
        scale = load.value / peak / whole
        under = [
            point
            for point in self.figure.points.values()
            if abs(math.dist(point, (x1, y1)) + math.dist(point, (x2, y2)) - whole) < 1e-9 * whole
        ]
        yield from (scale * math.dist(a, b) for a, b in combinations(under, 2))

    def _arms(self, load: Spread, length: float) -> tuple[tuple[float, float], ...]:
        """Return the arms that an even load has about the joints if it lies on another stretch.

        Each stands beside the right one: `4(5)(2.5)` is all of one slip.
        """
        x1, y1, _, x2, y2, _ = load.ends
        found = set()
        points = self.figure.points.values()
        for one, two in combinations(points, 2):
            if not same(math.dist(one, two), length, _NEAR):
                continue
            for axis, true in ((0, (x1 + x2) / 2), (1, (y1 + y2) / 2)):
                middle = (one[axis] + two[axis]) / 2
                found |= {(abs(middle - p[axis]), abs(true - p[axis])) for p in points}
        return tuple(sorted(pair for pair in found if min(pair) > 0))

    def mended(self, form: Form) -> Iterator[tuple[Total, Form]]:
        """Yield a form as it would be with one wrong resultant put right."""
        for total in self.totals:
            terms = [self._mended(term, total) for term in form.terms]
            if any(new is not old for new, old in zip(terms, form.terms, strict=True)):
                yield total, Form(tuple(terms))
            for arm, right in total.arms:
                moved = [self._moved(term, total, arm, right) for term in form.terms]
                if any(new is not old for new, old in zip(moved, form.terms, strict=True)):
                    yield total, Form(tuple(moved))

    @staticmethod
    def _moved(term: Term, total: Total, arm: float, right: float) -> Term:
        """Return a term with the resultant of the writer's stretch put where the load's own is."""
        if term.variable or not same(abs(term.coefficient.centre), total.value * arm, _NEAR):
            return term
        share = total.right * right / (total.value * arm)
        return term._replace(coefficient=term.coefficient.scaled(share))

    def _mended(self, term: Term, total: Total) -> Term:
        for factor in term.factors if not term.variable else ():
            size = abs(factor.quantity.centre)
            for rest in (0.0, *self.others, *self.added):
                if size and same(size - rest, total.value, _NEAR) and factor.power > 0:
                    share = (rest + total.right) / size
                    return term._replace(coefficient=term.coefficient.scaled(share))
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
