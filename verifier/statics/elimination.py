"""Sparse Gaussian elimination over any numbers that add, multiply, divide and know zero.

Rows are dicts from column to coefficient; columns from `width` on are right-hand sides. With
floats, pivots are chosen by size within their row (threshold pivoting) and then by sparsity
(H. M. Markowitz, 1957), and `weakest` tells how far the matrix is from losing rank.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

Row = dict[int, Any]
"""Column → coefficient; absent columns are zero."""

Watch = Callable[[Any], None] | None

_GOOD = 1e-4


@dataclass(frozen=True)
class Reduced:
    """A matrix in echelon form.

    `pivots` are (column, row) in order of elimination, `rows` the places of those rows as handed
    in; `leftover` the rows that have lost all their coefficients, right-hand sides kept; `free` the
    columns without a pivot. `weakest` is the smallest pivot relative to rows of size one (1.0 for
    exact numbers).
    """

    pivots: tuple[tuple[int, Row], ...]
    leftover: tuple[Row, ...]
    free: tuple[int, ...]
    weakest: float
    rows: tuple[int, ...]


def reduce(rows: list[Row], width: int, dust: float, watch: Watch = None) -> Reduced:
    """Return the echelon form of rows; they are changed in place.

    With `dust` 0 the numbers are exact and a coefficient is zero when it is falsy. Otherwise also
    when it has cancelled to `dust` of what it was, or when it is below 10 · `dust` in rows that
    began at size one. `watch` is shown every new coefficient, and may raise to stop.
    """
    work = _Work(rows, width, dust, watch)
    pivots = []
    chosen = []
    weakest = 1.0
    while work.active:
        index, column, strength = work.choose()
        if index < 0:
            break
        weakest = min(weakest, strength)
        pivots.append((column, rows[index]))
        chosen.append(index)
        work.clear(index, column)
    taken = {column for column, _ in pivots}
    leftover = tuple(rows[index] for index in sorted(work.active | work.spent))
    free = tuple(column for column in range(width) if column not in taken)
    return Reduced(tuple(pivots), leftover, free, weakest, tuple(chosen))


class _Work:
    """The rows still to be eliminated, and which of them have a coefficient in each column."""

    def __init__(self, rows: list[Row], width: int, dust: float, watch: Watch = None) -> None:
        self.rows, self.width, self.dust, self.watch = rows, width, dust, watch
        self.active = set(range(len(rows)))
        self.spent: set[int] = set()
        self.columns: dict[int, set[int]] = {}
        self.counts = [0] * len(rows)
        for index, row in enumerate(rows):
            for column in row:
                if column < width:
                    self.columns.setdefault(column, set()).add(index)
                    self.counts[index] += 1

    def choose(self) -> tuple[int, int, float]:
        """Return the best row, its pivot column and the pivot's size; row −1 when none is left."""
        fallback = (-1, -1, 0.0)
        for index in sorted(self.active, key=lambda i: (self.counts[i], i)):
            column, strength = self._pivot(self.rows[index])
            if column < 0:
                self.active.discard(index)
                self.spent.add(index)
            elif strength >= _GOOD:
                return index, column, strength
            elif strength > fallback[2]:
                fallback = (index, column, strength)
        return fallback

    def _pivot(self, row: Row) -> tuple[int, float]:
        inside = [column for column in row if column < self.width]
        if not self.dust:
            if not inside:
                return -1, 0.0
            return min(inside, key=lambda c: (len(self.columns[c]), c)), 1.0
        sizes = {column: abs(row[column]) for column in inside}
        largest = max(sizes.values(), default=0.0)
        if largest < 10 * self.dust:
            return -1, 0.0
        fit = [column for column in inside if sizes[column] >= 0.2 * largest]
        column = min(fit, key=lambda c: (len(self.columns[c]), -sizes[c], c))
        return column, sizes[column]

    def clear(self, index: int, column: int) -> None:
        """Take a pivot row out of all other rows."""
        pivot_row = self.rows[index]
        self.active.discard(index)
        for other in pivot_row:
            if other < self.width:
                self.columns[other].discard(index)
        pivot = pivot_row[column]
        for touched in sorted(self.columns[column]):
            self._subtract(touched, pivot_row, column, self.rows[touched][column] / pivot)

    def _subtract(self, index: int, pivot_row: Row, column: int, factor: Any) -> None:
        row = self.rows[index]
        for key, coefficient in pivot_row.items():
            if key == column:
                self._drop(row, index, key)
                continue
            step = factor * coefficient
            before = row.get(key)
            after = -step if before is None else before - step
            if self.dust and before is not None and abs(after) <= self.dust * abs(step):
                after = 0
            if not after:
                if before is not None:
                    self._drop(row, index, key)
            else:
                row[key] = after
                if self.watch is not None:
                    self.watch(after)
                if before is None and key < self.width:
                    self.columns.setdefault(key, set()).add(index)
                    self.counts[index] += 1

    def _drop(self, row: Row, index: int, key: int) -> None:
        del row[key]
        if key < self.width:
            self.columns[key].discard(index)
            self.counts[index] -= 1


def back_substitute(reduced: Reduced, width: int, watch: Watch = None) -> Mapping[int, Row]:
    """Return each pivot column's unknown in terms of right-hand sides and free columns.

    Right-hand sides are known constants on the far side of the equation: row · x = rhs.
    """
    found: dict[int, Row] = {}
    for column, row in reversed(reduced.pivots):
        total: Row = {}
        for key, coefficient in row.items():
            if key == column:
                continue
            if key >= width:
                _add(total, key, coefficient)
            elif key in found:
                for inner, share in found[key].items():
                    _add(total, inner, -coefficient * share)
                    if watch is not None:
                        watch(total[inner])
            else:
                _add(total, key, -coefficient)
        pivot = row[column]
        found[column] = {key: part / pivot for key, part in total.items() if part}
    return found


def null_space(rows: list[Row], width: int, dust: float) -> list[Row]:
    """Return vectors that the rows send to zero, one for each free column; rows are used up."""
    reduced = reduce(rows, width, dust)
    known = back_substitute(reduced, width)
    vectors = []
    for free in reduced.free:
        vector: Row = {column: parts[free] for column, parts in known.items() if parts.get(free)}
        vector[free] = 1
        vectors.append(vector)
    return vectors


def transposed(rows: list[Row], width: int) -> list[Row]:
    """Return the rows of the transposed matrix, right-hand sides left out."""
    columns: list[Row] = [{} for _ in range(width)]
    for index, row in enumerate(rows):
        for column, coefficient in row.items():
            if column < width:
                columns[column][index] = coefficient
    return columns


def _add(total: Row, key: int, part: Any) -> None:
    before = total.get(key)
    total[key] = part if before is None else before + part
