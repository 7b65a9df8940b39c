"""The exact solution: rationals, surds, letters and unevaluated trigonometry, as sympy expressions.

Members are solved for as force densities (force over length), so that the equations are as simple
as the coordinates; loads are superposed afterwards, so that their directions stay out of the
elimination. Where the geometry itself has letters or odd angles, these are carried as independent
generators of a field of fractions: the solution is a quotient of determinants, which holds for
whatever the generators stand for as long as the structure is determinate, and that is known.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import AbstractContextManager, nullcontext
from dataclasses import dataclass, field
from typing import Any

import sympy
from sympy.polys.fields import field as field_of_fractions

from verifier.errors import CounterpoiseError
from verifier.statics.assembly import System, assemble, push
from verifier.statics.elimination import Row, back_substitute, reduce
from verifier.statics.freebodies import FreeBodies
from verifier.statics.precise import (
    decimal_numbers,
    enough_digits,
    geometry,
    precise_numbers,
)
from verifier.statics.surds import Surd, surd
from verifier.structure.model import Couple, Structure
from verifier.structure.values import Value

_MOST_GENERATORS = 8
_MOST_TERMS = 8_000
_LONGEST = 60
_LONG_NUMBER = 40
_LONG_LETTERS = 300


@dataclass(frozen=True)
class _Field:
    """Exact numbers for one sheet: made of values, and turned into sympy expressions.

    With `loads` they can also stand for the loads, which then need no superposing.
    """

    of: Callable[[Value], Any]
    to_sympy: Callable[[Any], Any]
    symbolic: bool = False
    loads: bool = False
    dust: float = 0.0
    context: AbstractContextManager[Any] = field(default_factory=nullcontext)


class TooInvolved(CounterpoiseError):
    """An exact solution that would fill pages."""

    def __str__(self) -> str:
        return "the exact solution is too long to write out"


class Budget:
    """Raises `TooInvolved` once coefficients grow past what anyone would read."""

    def __init__(self) -> None:
        self.left = _MOST_TERMS

    def __call__(self, number: Any) -> None:
        """Count a new coefficient's terms."""
        terms = len(number.numer) + len(number.denom) if hasattr(number, "numer") else 1
        self.left -= terms
        if self.left < 0 or terms > _LONGEST:
            raise TooInvolved


class ExactSolution:
    """The exact value of every item of a determinate structure, worked out when first asked for.

    `rows` are the equations (by index) on which the solution rests, None for all.
    """

    def __init__(self, bodies: FreeBodies, rows: tuple[int, ...] | None) -> None:
        self.bodies = bodies
        self.rows = rows
        self._made: dict[str, Any] = {}
        self._solved: tuple[System, Mapping[int, Row], _Field] | None = None
        self._pushes: dict[int, Any] = {}
        self._failed = False

    def item(self, item: str) -> Any:
        """Return an item's exact expression, letters as positive symbols.

        Raises `KeyError` for what is no item of the structure.
        """
        if item not in self._made:
            system, found, numbers = self._solution()
            if item in system.items:
                made = self._unknown(item, system, found, numbers)
            else:
                from verifier.statics.exactcuts import exact_held_pin, exact_internal

                made = exact_held_pin(self.bodies, item, self.item)
                if made is None:
                    made = exact_internal(self.bodies, item, self.item)
                made = tidy(made)
            self._made[item] = made
        return self._made[item]

    def _unknown(self, item: str, system: System, found: Mapping[int, Row], numbers: _Field) -> Any:
        width = len(system.items)
        total = sympy.Integer(0)
        for key, coefficient in found[system.index[item]].items():
            total += numbers.to_sympy(coefficient) * self._pushes[key - width]
        return (
            sympy.factor_terms(total) * self._length(item)
            if numbers.loads
            else tidy(total * self._length(item))
        )

    def _length(self, item: str) -> Any:
        ends = self.bodies.layout.member_ends.get(item)
        if ends is None:
            return sympy.Integer(1)
        one, two = (self.bodies.structure.joints[name] for name in ends)
        across, up = (two.x - one.x).exact(), (two.y - one.y).exact()
        return sympy.sqrt(sympy.factor(sympy.expand(across**2 + up**2)))

    def _solution(self) -> tuple[System, Mapping[int, Row], _Field]:
        if self._failed:
            raise TooInvolved
        if self._solved is None:
            try:
                self._solved = self._solved_over(_field_of(self.bodies))
            except TooInvolved:
                self._failed = any(v.letters for v in geometry(self.bodies.structure))
                if self._failed:
                    raise
                self._solved = self._solved_over(_decimals(self.bodies))
        return self._solved

    def _solved_over(self, numbers: _Field) -> tuple[System, Mapping[int, Row], _Field]:
        layout = self.bodies.layout
        with numbers.context:
            system = assemble(layout, numbers.of, unit=False)
            width = len(system.items)
            pushes = push(layout, numbers.of if numbers.loads else Value.exact, system)
            rows = []
            self._pushes = {0: sympy.Integer(1)} if numbers.loads else {}
            for index, (key, row) in enumerate(zip(system.keys, system.copied(), strict=True)):
                if self.rows is not None and index not in self.rows:
                    continue
                load = pushes.get(key, 0)
                if load != 0 and numbers.loads:
                    row[width] = -load
                elif load != 0:
                    row[width + index] = 1
                    self._pushes[index] = -load
                rows.append(row)
            watch = Budget() if numbers.symbolic else None
            reduced = reduce(rows, width, numbers.dust, watch)
            return system, back_substitute(reduced, width, watch), numbers


def tidy(expression: Any) -> Any:
    """Return an expression in a short form: surds and fractions gathered, letters factored.

    Long numbers stay as they are: nobody reads them, and putting them in order takes minutes.
    """
    if expression.has(sympy.Float):
        return sympy.N(sympy.expand(expression), 15)
    if not expression.free_symbols:
        if sympy.count_ops(expression) > _LONG_NUMBER:
            return expression
        plain = sympy.expand(expression)
        return sympy.radsimp(plain) if plain.has(sympy.Pow) else plain
    if sympy.count_ops(expression) > _LONG_LETTERS:
        return expression
    plain = sympy.expand(expression)
    if not plain.is_polynomial(*plain.free_symbols):
        plain = sympy.cancel(sympy.together(plain))
    return sympy.factor_terms(plain)


def _field_of(bodies: FreeBodies) -> _Field:
    structure = bodies.structure
    letters = any(value.letters for value in geometry(structure))
    if not letters:
        numbers = precise_numbers(structure)
        if numbers.kind == "rational":
            return _Field(numbers.of, _rational)
        if numbers.kind == "surd":
            return _Field(numbers.of, _surd)
    shape = _atoms(geometry(structure))
    everything = shape | _atoms(_loading(structure))
    loads = len(everything) <= _MOST_GENERATORS
    return _symbolic(list(everything if loads else shape), loads)


def _atoms(values: Iterable[Value]) -> dict[Value, None]:
    atoms: dict[Value, None] = {}
    for value in values:
        _gather(value, atoms)
    return atoms


def _loading(structure: Structure) -> Iterator[Value]:
    for load in structure.loads:
        for given in load.resultants():
            if isinstance(given, Couple):
                yield given.moment
            else:
                yield from (given.size, *given.direction, *given.at)


def _decimals(bodies: FreeBodies) -> _Field:
    """Return 60-digit arithmetic, shown to 15 figures, where an exact form is too long."""
    structure = bodies.structure
    digits = decimal_numbers(structure)
    return _Field(digits.of, _decimal, dust=digits.dust, context=enough_digits(digits))


def _decimal(number: Any) -> Any:
    return sympy.Float(str(number), 15)


def _symbolic(atoms: list[Value], loads: bool) -> _Field:
    """Return a field of fractions over letters and every function that is not rational."""
    names = [f"g{index}" for index in range(len(atoms))]
    if len(names) > _MOST_GENERATORS:
        raise TooInvolved
    domain, *generators = field_of_fractions(names, sympy.QQ)
    known = dict(zip(atoms, generators, strict=True))
    back = {sympy.Symbol(name): atom.exact() for name, atom in zip(names, atoms, strict=True)}

    def of(value: Value) -> Any:
        if value in known:
            return known[value]
        plain = surd(value)
        if plain is not None and plain.rational is not None:
            return domain(sympy.QQ(plain.rational.numerator, plain.rational.denominator))
        parts = [of(arg) for arg in value.args]
        match value.op:
            case "+":
                return parts[0] + parts[1]
            case "-":
                return parts[0] - parts[1]
            case "*":
                return parts[0] * parts[1]
            case "/":
                return parts[0] / parts[1]
            case "^":
                return parts[0] ** int(value.args[1].args[0])
        return -parts[0]

    def to_sympy(number: Any) -> Any:
        plain = number.as_expr() if hasattr(number, "as_expr") else sympy.Integer(number)
        return plain.xreplace(back) if plain.free_symbols else plain

    return _Field(of, to_sympy, symbolic=True, loads=loads)


def _gather(value: Value, atoms: dict[Value, None]) -> None:
    plain = surd(value)
    if plain is not None and plain.rational is not None:
        return
    match value.op:
        case "+" | "-" | "*" | "/" | "neg":
            for arg in value.args:
                _gather(arg, atoms)
        case "^" if value.args[1].op == "num" and value.args[1].args[0].denominator == 1:
            _gather(value.args[0], atoms)
        case _:
            atoms[value] = None


def _rational(number: Any) -> Any:
    return sympy.Rational(number.numerator, number.denominator)


def _surd(number: Any) -> Any:
    if not isinstance(number, Surd):
        return _rational(number)
    return sympy.Add(*(_rational(part) * sympy.sqrt(root) for root, part in number.terms.items()))
