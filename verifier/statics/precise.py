"""Numbers where rank must not hang on rounding: exact where possible, else 60 digits."""

from collections.abc import Callable, Iterable
from contextlib import AbstractContextManager, nullcontext
from dataclasses import dataclass
from fractions import Fraction
from importlib import import_module
from typing import Any

from verifier.statics.surds import Surd, primes
from verifier.statics.surdvalues import surd
from verifier.structure.model import Structure
from verifier.structure.values import Value

_DIGITS = 60
_DUST = 1e-40
_MOST_PRIMES = 3  # a number over k of them has up to 2^k terms


@dataclass(frozen=True)
class Numbers:
    """How to make numbers of a sheet's values; `dust` is 0 for exact ones."""

    kind: str
    of: Callable[[Value], Any]
    dust: float


def precise_numbers(structure: Structure) -> Numbers:
    """Return fractions, else surds, else 60-digit floats (letters at their stand-ins).

    The choice hangs on the geometry alone; a load that does not fit comes as a plain float.
    """
    shapes = [_exactly(value, structure) for value in geometry(structure)]
    if all(shape is not None for shape in shapes):
        exact = [shape for shape in shapes if shape is not None]
        if all(shape.rational is not None for shape in exact):
            return Numbers("rational", lambda value: _fraction(value, structure), 0.0)
        if (
            len({p for shape in exact for root in shape.terms for p in primes(root)})
            <= _MOST_PRIMES
        ):
            return Numbers("surd", lambda value: _exactly(value, structure), 0.0)
    return decimal_numbers(structure)


def decimal_numbers(structure: Structure) -> Numbers:
    """Return 60-digit floats, letters at their stand-ins."""
    return Numbers("digits", lambda value: _digits(value, structure), _DUST)


def geometry(structure: Structure) -> Iterable[Value]:
    """Yield every value that enters the matrix: coordinates and support directions."""
    for joint in structure.joints.values():
        yield joint.x
        yield joint.y
    for support in structure.supports:
        for reaction in support.reactions():
            if not reaction.turns:
                yield from reaction.direction


def _exactly(value: Value, structure: Structure) -> Surd | None:
    return surd(_plain(value, structure)) if value.letters else surd(value)


def _fraction(value: Value, structure: Structure) -> Fraction | None:
    made = _exactly(value, structure)
    return None if made is None else made.rational


def _plain(value: Value, structure: Structure) -> Value:
    """Return a value with its letters put in as their stand-ins."""
    if value.op == "letter":
        return Value("num", (Fraction(structure.letters[value.args[0]]),))
    if value.op == "num":
        return value
    return Value(value.op, tuple(_plain(arg, structure) for arg in value.args))


def _digits(value: Value, structure: Structure) -> Any:
    mp = _digit_maker()

    def function(name: str, argument: Any) -> Any:
        if name == "sqrt":
            return mp.sqrt(argument)
        if name in ("sin", "cos", "tan"):
            return getattr(mp, name)(mp.radians(argument))
        return mp.degrees(getattr(mp, name)(argument))

    return value.worked_out(
        lambda number: mp.mpf(number.numerator) / number.denominator,
        lambda name: mp.mpf(structure.letters[name]),
        function,
    )


def enough_digits(numbers: Numbers) -> AbstractContextManager[Any]:
    """Return the context in which arithmetic on these numbers keeps its digits."""
    if numbers.kind != "digits":
        return nullcontext()
    context: AbstractContextManager[Any] = _digit_maker().workdps(_DIGITS)
    return context


def _digit_maker() -> Any:
    """Return mpmath, which comes with sympy but loads without it."""
    return import_module("mpmath")
