"""Fields in which a sheet is solved exactly: rationals, surds, fractions of letters, decimals."""

from collections.abc import Callable, Iterable, Iterator
from contextlib import AbstractContextManager, nullcontext
from dataclasses import dataclass, field
from typing import Any

import sympy
from sympy.polys.fields import field as field_of_fractions

from verifier.errors import CounterpoiseError
from verifier.statics.precise import (
    decimal_numbers,
    enough_digits,
    geometry,
    precise_numbers,
)
from verifier.statics.surds import Surd
from verifier.statics.surdvalues import surd
from verifier.structure.model import Couple, Structure
from verifier.structure.values import ARITHMETIC, Value

_MOST_GENERATORS = 8
_MOST_TERMS = 8_000
_LONGEST = 60


@dataclass(frozen=True)
class ExactField:
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


def field_for(structure: Structure) -> ExactField:
    """Return the simplest exact numbers that hold a sheet's geometry.

    Raises `TooInvolved` for more letters and odd angles than anyone would follow.
    """
    letters = any(value.letters for value in geometry(structure))
    if not letters:
        numbers = precise_numbers(structure)
        if numbers.kind == "rational":
            return ExactField(numbers.of, _rational)
        if numbers.kind == "surd":
            return ExactField(numbers.of, _surd)
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


def decimal_field(structure: Structure) -> ExactField:
    """Return 60-digit arithmetic, shown to 15 figures, where an exact form is too long."""
    digits = decimal_numbers(structure)
    return ExactField(digits.of, _decimal, dust=digits.dust, context=enough_digits(digits))


def _decimal(number: Any) -> Any:
    return sympy.Float(str(number), 15)


def _symbolic(atoms: list[Value], loads: bool) -> ExactField:
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
        if value.op == "^":
            return of(value.args[0]) ** int(value.args[1].args[0])
        return ARITHMETIC[value.op](*(of(arg) for arg in value.args))

    def to_sympy(number: Any) -> Any:
        plain = number.as_expr() if hasattr(number, "as_expr") else sympy.Integer(number)
        return plain.xreplace(back) if plain.free_symbols else plain

    return ExactField(of, to_sympy, symbolic=True, loads=loads)


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
