"""Solving the equilibrium equations: floats where they are safe, else exact numbers."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from verifier.statics.assembly import Key, System, assemble, push
from verifier.statics.elimination import Reduced, Row, back_substitute, reduce
from verifier.statics.layout import Layout
from verifier.statics.precise import Numbers, enough_digits, precise_numbers
from verifier.structure.values import Value

_SAFE = 1e-6


@dataclass(frozen=True)
class Outcome:
    """What elimination found: the values (None where they are not unique or not possible).

    `free` are items that equilibrium leaves open; `idle` is how many equations hold by
    themselves; `consistent` is false where the loads set something in motion. `numbers` tells
    which numbers decided, None for floats; `rows` which equations, None for all.
    """

    values: Mapping[str, float] | None
    system: System
    free: tuple[str, ...] = ()
    idle: int = 0
    consistent: bool = True
    numbers: Numbers | None = None
    rows: tuple[int, ...] | None = None


def solve_equations(layout: Layout, size: float) -> Outcome:
    """Return the solution; `size` is the extent of the figure, for scaling moments.

    Floats decide only where every pivot is far from zero; otherwise the whole elimination is done
    again with exact numbers (or 60 digits), so that rank never hangs on rounding.
    """
    quick = _with_floats(layout, size)
    return quick if quick is not None else _with_precision(layout)


def _with_floats(layout: Layout, size: float) -> Outcome | None:
    letters = layout.structure.letters

    def number(value: Value) -> float:
        made = value.number(letters)
        return 0.0 if abs(made) < 1e-15 else made

    system = assemble(layout, lambda value: value.number(letters), unit=True)
    rows = system.copied()
    width = len(system.items)
    if len(rows) != width:
        return None
    scales = _scaled(rows, system, layout, size)
    pushes = push(layout, number, system)
    heavy = [
        abs(pushes.get(key, 0.0)) / scale for key, scale in zip(system.keys, scales, strict=True)
    ]
    largest = max(heavy, default=0.0) or 1.0
    for key, row, scale in zip(system.keys, rows, scales, strict=True):
        if pushes.get(key):
            row[width] = -pushes[key] / scale / largest
    reduced = reduce(rows, width, 1e-13)
    if reduced.free or reduced.weakest < _SAFE:
        return None
    found = back_substitute(reduced, width)
    turns = {touch.item for touch in layout.touches if touch.axis == "turn"}
    values = {}
    for column, item in enumerate(system.items):
        share = found[column].get(width, 0.0)
        unit = largest * (size if item in turns else 1.0)
        values[item] = 0.0 if abs(share) < 1e-13 else rounded(share * unit)
    return Outcome(values, system)


def _scaled(rows: list[Row], system: System, layout: Layout, size: float) -> list[float]:
    """Divide moment equations, and count fixing moments, in units of the figure's extent."""
    turns = {system.index[touch.item] for touch in layout.touches if touch.axis == "turn"}
    scales = []
    for key, row in zip(system.keys, rows, strict=True):
        scale = size if key[1] == "turn" else 1.0
        for column in row:
            row[column] = row[column] / scale * (size if column in turns else 1.0)
        scales.append(scale)
    return scales


def _with_precision(layout: Layout) -> Outcome:
    numbers = precise_numbers(layout.structure)
    with enough_digits(numbers):
        system = assemble(layout, numbers.of, unit=False)
        pushes = push(layout, lambda value: _known(value, numbers, layout), system)
        rows = _prepared(system, numbers)
        width = len(system.items)
        for row, index in zip(rows, range(len(rows)), strict=True):
            row[width + index] = 1
        reduced = reduce(rows, width, numbers.dust)
        forces = [-pushes.get(key, 0) for key in system.keys]
        consistent = _consistent(reduced, width, forces)
        free = tuple(system.items[column] for column in reduced.free)
        if free or not consistent:
            return Outcome(None, system, free, len(reduced.leftover), consistent, numbers)
        found = back_substitute(reduced, width)
        values = _valued(layout, system, found, forces)
        chosen = reduced.rows if reduced.leftover else None
        return Outcome(values, system, (), len(reduced.leftover), True, numbers, chosen)


def _known(value: Value, numbers: Numbers, layout: Layout) -> Any:
    made = numbers.of(value)
    return value.number(layout.structure.letters) if made is None else made


def _prepared(system: System, numbers: Numbers) -> list[Row]:
    rows = system.copied()
    if not numbers.dust:
        return rows
    for row in rows:
        largest = max((abs(part) for part in row.values()), default=0) or 1
        for column in [c for c, part in row.items() if abs(part) < largest * numbers.dust]:
            del row[column]
    return rows


def _consistent(reduced: Reduced, width: int, forces: list[Any]) -> bool:
    for row in reduced.leftover:
        parts = [
            float(coefficient * forces[key - width])
            for key, coefficient in row.items()
            if key >= width
        ]
        if abs(sum(parts)) > 1e-9 * sum(abs(part) for part in parts):
            return False
    return True


def _valued(
    layout: Layout, system: System, found: Mapping[int, Row], forces: list[Any]
) -> dict[str, float]:
    width = len(system.items)
    lengths = member_lengths(layout)
    values = {}
    for column, item in enumerate(system.items):
        total: Any = 0
        for key, coefficient in found[column].items():
            total = total + coefficient * forces[key - width]
        values[item] = rounded(float(total) * lengths.get(item, 1.0))
    return values


def rounded(value: float) -> float:
    """Return a value without the dust of its last digits: 14.4 for 14.399999999999999."""
    return float(f"{value:.13g}") + 0.0


def member_lengths(layout: Layout) -> dict[str, float]:
    """Return each member's length as a float."""
    structure = layout.structure
    lengths = {}
    for name, (start, end) in layout.member_ends.items():
        a, b = structure.point(start), structure.point(end)
        lengths[name] = ((a[0] - b[0]) ** 2 + (a[1] - b[1]) ** 2) ** 0.5
    return lengths


def pushes_on(layout: Layout, system: System) -> dict[Key, float]:
    """Return the known loads' share in each equation, as floats."""
    letters = layout.structure.letters
    return push(layout, lambda value: value.number(letters), system)
