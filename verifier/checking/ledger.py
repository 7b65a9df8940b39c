"""What a working has found so far: values of names, the equations it stands on, and their taint."""

import math
from bisect import bisect_left, bisect_right, insort
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace

from verifier.checking.quantity import Quantity
from verifier.notation.tree import Num

_SAME = 0.02
_ROUNDED = 2e-3
ROUNDINGS = (3, 2)
"""The significant figures to which people round what they put in again."""


@dataclass(frozen=True)
class Found:
    """A value that the working holds for a name: `truth` is what it should have been, if known.

    `tainted` is true where it comes from a fault. `kind` is force, length, angle or plain. `coarse`
    is how far off it may be where values were put in with three figures on the way.
    """

    quantity: Quantity
    tainted: bool = False
    line: int = 0
    truth: float | None = None
    kind: str = "plain"
    coarse: float = 0.0


@dataclass
class Row:
    """An equation in reduced form: Σ coefficient · variable = constant ± radius."""

    pivot: str
    coefficients: dict[str, float]
    constant: float
    radius: float
    tainted: bool
    line: int
    coarse: float = 0.0


@dataclass(frozen=True)
class Reduced:
    """What is left of an equation Σ c·x = rest once everything known is put in."""

    left: dict[str, float]
    rest: Quantity
    tainted: bool
    line: int
    coarse: float


@dataclass
class Ledger:
    """The state of one working while it is followed."""

    values: dict[str, Found] = field(default_factory=dict)
    locals: dict[str, Found] = field(default_factory=dict)
    rows: dict[str, Row] = field(default_factory=dict)
    results: list[float] = field(default_factory=list)

    def copied(self) -> "Ledger":
        """Return the state as it is now, apart from what is learned from here on."""
        rows = {pivot: replace(row, coefficients=dict(row.coefficients))
                for pivot, row in self.rows.items()}  # fmt: skip
        return Ledger(dict(self.values), dict(self.locals), rows, list(self.results))

    def note_result(self, number: float) -> None:
        """Remember an unrounded number of the working: a later written number may round it."""
        insort(self.results, abs(number))

    def gap_to_result(self, number: float, half: float, loose: bool = False) -> float | None:
        """Return how far the farthest earlier result is that rounds to a written number.

        A result that is the very number comes first, except where it is sought `loose`.
        """
        size, far = abs(number), half * (1 + 1e-9)
        first = bisect_left(self.results, size - far)
        near = self.results[first : bisect_right(self.results, size + far, first)]
        if not near:
            return None
        least = min(abs(result - size) for result in near)
        if least <= _SAME * half and not loose:
            return least
        return max(near[-1] - size, size - near[0])

    def has_found(self, number: float) -> bool:
        """Tell whether a number is a value of the working's own names, as written."""
        found = [f.quantity for f in (*self.locals.values(), *self.values.values())]
        return any(abs(abs(q.centre) - number) <= q.radius + 5e-3 * number for q in found)

    def has_own(self, number: float) -> bool:
        """Tell whether a number is a plain value of one of the working's own names."""
        found = [f.quantity for f in self.locals.values() if f.kind in ("plain", "length")]
        return any(abs(abs(q.centre) - number) <= q.radius + 5e-3 * number for q in found)

    def reduce(self, coefficients: dict[str, float], constant: Quantity) -> Reduced:
        """Return an equation Σ c·x = constant with everything known put in."""
        left: dict[str, float] = {}
        rest, tainted, line, coarse = constant, False, 0, 0.0
        noise = 1e-9 * max((abs(c) for c in coefficients.values()), default=0.0)
        for variable, coefficient in coefficients.items():
            found = self.values.get(variable)
            row = self.rows.get(variable)
            if found is not None:
                rest = rest.plus(found.quantity.scaled(-coefficient))
                tainted, line = tainted or found.tainted, max(line, found.line)
                coarse += abs(coefficient) * max(found.coarse, three_figures(found.quantity.centre))
            elif row is not None:
                rest = rest.plus(Quantity(row.constant, row.radius).scaled(-coefficient))
                tainted, line = tainted or row.tainted, max(line, row.line)
                coarse += abs(coefficient) * row.coarse
                for other, part in row.coefficients.items():
                    left[other] = left.get(other, 0.0) - coefficient * part
            else:
                left[variable] = left.get(variable, 0.0) + coefficient
        if any(name in self.values or name in self.rows for name in left):
            more = self.reduce(left, rest)
            return Reduced(
                more.left,
                more.rest,
                tainted or more.tainted,
                max(line, more.line),
                coarse + more.coarse,
            )
        kept = {n: c for n, c in left.items() if abs(c) > noise}
        return Reduced(kept, rest, tainted, line, coarse)

    def by_rounded(
        self, coefficients: Mapping[str, float], constant: float, variable: str
    ) -> Iterator[float]:
        """Yield what Σ c·x + constant = 0 makes of a variable with the others' values rounded."""
        lead = coefficients.get(variable, 0.0)
        others = {n: c for n, c in coefficients.items() if n != variable and c}
        if not lead or not others or any(name not in self.values for name in others):
            return
        for figures in ROUNDINGS:
            parts = (
                part * round_to(self.values[name].quantity.centre, figures)
                for name, part in others.items()
            )
            yield -(constant + sum(parts)) / lead

    def learn(
        self, coefficients: dict[str, float], constant: Quantity, tainted: bool, line: int
    ) -> None:
        """Take an equation Σ c·x = constant into what the working stands on."""
        told = self.reduce(coefficients, constant)
        left = dict(told.left)
        if not left or self._said_before(coefficients, left):
            return
        pivot = max(left, key=lambda name: (abs(left[name]), name))
        lead = left.pop(pivot)
        row = Row(
            pivot,
            {name: value / lead for name, value in left.items()},
            told.rest.centre / lead,
            told.rest.radius / abs(lead),
            tainted or told.tainted,
            line,
            told.coarse / abs(lead),
        )
        for other in self.rows.values():
            part = other.coefficients.pop(pivot, None)
            if part is None:
                continue
            other.constant -= part * row.constant
            other.radius += abs(part) * row.radius
            other.coarse += abs(part) * row.coarse
            other.tainted = other.tainted or row.tainted
            for name, value in row.coefficients.items():
                other.coefficients[name] = other.coefficients.get(name, 0.0) - part * value
        self.rows[pivot] = row
        self._settle(self.rows.values())

    def _said_before(self, coefficients: dict[str, float], left: dict[str, float]) -> bool:
        """Tell whether an equation is one of the rows again, rounded otherwise.

        What is left of it is then the rounding alone, and says nothing of its forces.
        """
        gross = {name: abs(coefficients.get(name, 0.0)) for name in left}
        for variable, coefficient in coefficients.items():
            row = self.rows.get(variable)
            for other, part in row.coefficients.items() if row is not None else ():
                if other in gross:
                    gross[other] += abs(coefficient * part)
        return all(abs(rest) < _ROUNDED * gross[name] for name, rest in left.items())

    def forget_contradicted(self, coefficients: dict[str, float], constant: Quantity) -> None:
        """Drop the latest value that an equation contradicts, so that the equation can hold."""
        told = self.reduce(coefficients, constant)
        known = [name for name in coefficients if name in self.values]
        if told.left or not known or abs(told.rest.centre) <= told.rest.radius:
            return
        del self.values[max(known, key=lambda name: self.values[name].line)]

    def _settle(self, rows: Iterable[Row]) -> None:
        for row in list(rows):
            row.coefficients = {n: c for n, c in row.coefficients.items() if abs(c) > 1e-9}
            if not row.coefficients:
                self.values[row.pivot] = Found(
                    Quantity(row.constant, row.radius),
                    row.tainted,
                    row.line,
                    kind="force",
                    coarse=row.coarse,
                )
                self.note_result(row.constant)
                del self.rows[row.pivot]

    def set_value(self, variable: str, found: Found) -> None:
        """Give a variable the value that the working writes for it."""
        if variable in self.rows:
            row = self.rows.pop(variable)
            self.values[variable] = found
            if row.coefficients:
                rest = Quantity(row.constant - found.quantity.centre, row.radius)
                self.learn(dict(row.coefficients), rest, row.tainted or found.tainted, found.line)
        else:
            self.learn({variable: 1.0}, found.quantity, found.tainted, found.line)
            self.values[variable] = found
        self.note_result(found.quantity.centre)


def half_width(number: Num) -> float:
    """Return half of the interval that rounds to a number as written.

    Trailing zeros of a whole number leave its precision open, but not below three figures.
    """
    half = (number.high - number.low) / 2
    if half <= 0.5 or not number.value:
        return half
    return min(half, max(0.5, 0.5 * 10.0 ** (math.floor(math.log10(abs(number.value))) - 2)))


def round_to(number: float, figures: int) -> float:
    """Return a number rounded to a count of significant figures."""
    return float(f"{number:.{figures - 1}e}")


def three_figures(number: float) -> float:
    """Return half a unit in the third figure of a number: how far rounding to three moves it."""
    return 0.5 * 10.0 ** (math.floor(math.log10(abs(number))) - 2) if number else 0.0


def nearest(ordered: list[float], number: float, within: float) -> float | None:
    """Return the distance from a number to the nearest of an ordered list, None beyond a reach."""
    place = bisect_left(ordered, number)
    gap = ordered[place] - number if place < len(ordered) else math.inf
    if place:
        gap = min(gap, number - ordered[place - 1])
    return gap if gap <= within * (1 + 1e-9) else None
