"""A written expression as a sum of terms, each a number times at most one force variable."""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property, reduce
from typing import NamedTuple

from verifier.checking.figure import Figure
from verifier.checking.ledger import Ledger, half_width
from verifier.checking.names import Dictionary, Known, Local, Meaning, Unknown, key_of
from verifier.checking.quantity import EXACT_ONE, ZERO, Quantity, function
from verifier.notation.tree import Add, Div, Expr, Func, Mul, Name, Neg, Num, Pow, Span, Unit, walk
from verifier.units import STANDARD_GRAVITY

NAMES_OF = "= "
_COARSEST = 0.06
_AGAIN = 0.02
_ROUNDS = 0.02
"""By how much a value found may be rounded to a number that the sheet has as well."""
_GRAVITIES = 4e-4
"""By how much the weights of a kilogram differ that people take: 9.80665 N and 9.81 N."""
_NIL = 1e-9


class NotLinear(Exception):
    """An expression that is no sum of numbers times single variables; `why` is for reports."""

    def __init__(self, why: str) -> None:
        super().__init__(why)
        self.why = why


class Factor(NamedTuple):
    """One written factor of a term: its value, its place, and +1 above or −1 below the line."""

    quantity: Quantity
    expr: Expr
    power: int = 1

    @property
    def effect(self) -> Quantity:
        """What the factor multiplies its term by."""
        return self.quantity if self.power > 0 else self.quantity.inverse()


class Term(NamedTuple):
    """A term of a sum: `coefficient` holds its sign and all its numbers.

    `variable` is the force variable in it ('' for a plain number); `side` the side of the relation
    on which it stands; `sign` the sign as written there.
    """

    span: Span
    sign: int
    coefficient: Quantity
    variable: str
    factors: tuple[Factor, ...]
    side: int = 0
    name: Name | None = None


@dataclass(frozen=True)
class Form:
    """A sum of terms, with what they come to."""

    terms: tuple[Term, ...]

    @cached_property
    def coefficients(self) -> dict[str, Quantity]:
        """Each variable's whole coefficient."""
        found: dict[str, Quantity] = {}
        for term in self.terms:
            if term.variable:
                found[term.variable] = found.get(term.variable, ZERO).plus(term.coefficient)
        return found

    @cached_property
    def present(self) -> dict[str, Quantity]:
        """The coefficients that are not zero."""
        return {n: q for n, q in self.coefficients.items() if abs(q.centre) > _NIL * (1 + q.radius)}

    @cached_property
    def exact(self) -> str:
        """The first variable whose coefficient is not zero and without a doubt, '' without one."""
        return next((name for name, q in self.present.items() if q.radius == 0), "")

    @cached_property
    def constant(self) -> Quantity:
        """The sum of the terms without a variable."""
        total = ZERO
        for term in self.terms:
            if not term.variable:
                total = total.plus(term.coefficient)
        return total

    @cached_property
    def size(self) -> float:
        """The largest term without a variable: the scale of its float noise."""
        return max((abs(t.coefficient.centre) for t in self.terms if not t.variable), default=0.0)

    def minus(self, other: "Form", side: int) -> "Form":
        """Return this form less another one that stands on side `side`."""
        moved = tuple(
            Term(t.span, t.sign, t.coefficient.scaled(-1.0), t.variable, t.factors, side, t.name)
            for t in other.terms
        )
        return Form(self.terms + moved)


class Reader:
    """Turns trees into forms with the names of one figure and the values of one working."""

    def __init__(self, figure: Figure, names: Dictionary, ledger: Ledger) -> None:
        self.figure = figure
        self.names = names
        self.ledger = ledger
        self.senses: dict[str, float] = {}
        self.aliases: dict[str, tuple[str, float]] = {}
        self.force_scale = 1.0
        self.length_scale = 1.0
        self.prefer_lengths = False
        self.inner: frozenset[str] = frozenset()
        self.cut: dict[str, str] = {}
        self.beside: dict[str, str] = {}
        self.per_length = False
        self.lone = True
        self.plain = 1.0
        self.long = 1.0
        self.loose = False
        self.line = 0
        self.asked: dict[str, int] = {}
        self.met: dict[tuple[str, str, str], tuple[str, float] | None] | None = None
        self.instead: tuple[tuple[float, float], ...] = ()

    def form(self, expr: Expr) -> Form:
        """Return an expression as a form; raises `NotLinear` where that cannot be."""
        self.met = {}
        try:
            return Form(tuple(self._expand(expr, 1, ())))
        except (ZeroDivisionError, OverflowError, ValueError) as error:
            raise NotLinear(str(error)) from None
        finally:
            self.met = None

    def evaluate(self, expr: Expr) -> Quantity:
        """Return a number: names at the working's values; raises `NotLinear` without one."""
        try:
            return self._number(expr)
        except (ZeroDivisionError, OverflowError, ValueError) as error:
            raise NotLinear(str(error)) from None

    def meaning(self, name: Name) -> Meaning:
        """Return what a name is taken to be here."""
        options = self.names.meanings(name)
        local, first = options[-1], options[0]
        if self.beside and isinstance(first, Unknown) and first.variable in self.beside:
            plain = name.sub and first.variable.endswith(f" at {name.sub}")  # no V_C,left
            return Unknown(self.beside[first.variable], first.factor) if plain else first
        if self.per_length and name.base == "t" and isinstance(options[0], Unknown):
            return self._coefficient(options[0]) if self.figure.member_ends else local
        if isinstance(local, Local):
            self.asked.setdefault(local.key, self.line)
            if local.key in self.aliases:
                own = Unknown(*self.aliases[local.key])
                per_length = self.per_length and name.base == "t" and self.figure.member_ends
                return self._coefficient(own) if per_length else own
        if isinstance(local, Local) and local.key in self.ledger.locals:
            return local
        if isinstance(local, Local) and len(options) == 1 and local.key in self.cut:
            return Unknown(self.cut[local.key])
        for option in options if self.inner else ():
            if isinstance(option, Unknown) and option.variable in self.inner:
                pin = option.variable.startswith("pin ")
                if not pin or str(getattr(options[0], "variable", "")).startswith("pin "):
                    return option
        if self.prefer_lengths:
            for option in options:
                if isinstance(option, Known) and option.kind == "length":
                    return option
        return options[0]

    def _coefficient(self, force: Unknown) -> Unknown:
        """Return a member's force as its tension coefficient: per unit of its length."""
        ends = {item: ends for ends, item in self.figure.member_ends.items()}
        if force.variable not in ends:
            return force
        return Unknown(force.variable, force.factor / self.figure.length(*ends[force.variable]))

    def sense(self, variable: str) -> float:
        """Return +1 where a name's positive is the tool's own, −1 where it is drawn against it."""
        self.asked.setdefault(variable, self.line)
        return self.senses.get(variable, 1.0)

    def letters_of(self, variable: str) -> list[str]:
        """Return the writer's own names that stand for a force."""
        self.asked.setdefault(NAMES_OF + variable, self.line)
        return [key for key, (stands_for, _) in self.aliases.items() if stands_for == variable]

    def quantity(self, number: Num, turned: bool = False) -> Quantity:
        """Return a written number in the sheet's units with the interval it stands for.

        One that is `turned` is an angle: a load of 14 kN does not make 14.0° exact.
        """
        value, half, reach = self._reach(number)
        if half <= 0:
            return Quantity(value)
        turned = turned or (number.unit is not None and number.unit.kind == "angle")
        given = self.figure.is_drawn if turned else self.figure.is_datum
        if not self.loose and given(abs(value)):
            return Quantity(value)
        gap = self.ledger.gap_to_result(value, reach, self.loose)
        rounds = gap is not None and gap <= _ROUNDS * abs(value)
        if self.loose and not rounds and given(abs(value)):
            return Quantity(value)
        digits = number.digits
        if digits < 2 and half >= 0.5 * self.size_of(number.unit):
            return Quantity(value)
        widest = 1.01 * gap if gap is not None and gap <= _COARSEST * abs(value) else 0.0
        if digits >= 3:
            return Quantity(value, max(half, widest))
        near = self.figure.gap_to_value(value, half)
        if near is None and turned:
            near = self.figure.gap_to_angle(value, half)
        if near is None or near > _COARSEST * abs(value) / 2:
            near = 0.0
        return Quantity(value, max(widest, 1.01 * near))

    def _reach(self, number: Num) -> tuple[float, float, float]:
        """Return a number in the sheet's units, its half width, and how far a result may be off."""
        size = self.size_of(number.unit)
        half = half_width(number) * size
        if number.unit is not None and number.unit.kind != "angle" and self._weighs(number.unit):
            half += _GRAVITIES * abs(number.value * size)
        value = number.value * size
        if number.digits < 2:
            return value, half, half
        whole = (number.high - number.low) / 2 * size
        return value, half, max(half, min(whole, _COARSEST * abs(value)))

    def may_round(self, expr: Expr) -> bool:
        """Tell whether a number written in an expression may be a result above, rounded."""
        reached = (self._reach(node) for node in walk(expr) if isinstance(node, Num))
        return any(
            half > 0 and self.ledger.gap_to_result(value, reach, True) is not None
            for value, half, reach in reached
        )

    def size_of(self, unit: Unit | None) -> float:
        """Return what a written unit is worth in the sheet's units; 1 without one."""
        if unit is None or unit.kind == "angle":
            return 1.0 if unit is None else unit.factor
        force, length = unit.dims
        return unit.factor / (self.force_scale**force * self.length_scale**length)

    def _weighs(self, unit: Unit) -> bool:
        """Tell whether a unit takes the weight of a kilogram where the sheet's does not."""
        force, _ = unit.dims
        return bool(force) and _of_kilogram(unit.factor) != _of_kilogram(self.force_scale)

    def _expand(self, expr: Expr, sign: int, outer: tuple[Factor, ...]) -> Iterator[Term]:
        match expr:
            case Add():
                for own, term in expr.terms:
                    yield from self._expand(term, sign * own, outer)
            case Neg():
                yield from self._expand(expr.inner, -sign, outer)
            case Div() if self._splits(expr.top):
                below = Factor(self._number(expr.bottom), expr.bottom, -1)
                yield from self._expand(expr.top, sign, (*outer, below))
            case Mul() if (inner := self._sum_inside(expr)) is not None:
                rest = [f for f in expr.factors if f is not inner]
                factors = tuple(f for part in rest for f in self._flatten(part, 1))
                yield from self._expand(inner, sign, (*outer, *factors))
            case _:
                yield self._term(expr, sign, outer)

    def _splits(self, expr: Expr) -> bool:
        return isinstance(expr, Add) or (
            isinstance(expr, Mul) and self._sum_inside(expr) is not None
        )

    def _sum_inside(self, product: Mul) -> Expr | None:
        for factor in product.factors:
            if isinstance(factor, Add) and self._holds_variable(factor):
                return factor
        sums = [f for f in product.factors if isinstance(f, Add)]
        return sums[0] if len(sums) == 1 and self._holds_loads(sums[0]) else None

    def _holds_loads(self, inner: Add) -> bool:
        loads = [datum.value for datum in self.figure.loads]
        return all(
            isinstance(term, Num) and any(abs(term.value - load) < 1e-9 for load in loads)
            for _, term in inner.terms
        )

    def _holds_variable(self, expr: Expr) -> bool:
        return any(isinstance(n, Name) and self._variable(n) is not None for n in walk(expr))

    def _variable(self, name: Name) -> tuple[str, float] | None:
        """Return the force that a name stands for, asked once while a form is made."""
        if self.met is None:
            return self._stands_for(name)
        place = (name.base, name.sub, name.text)
        if place not in self.met:
            self.met[place] = self._stands_for(name)
        return self.met[place]

    def _stands_for(self, name: Name) -> tuple[str, float] | None:
        match self.meaning(name):
            case Unknown(variable, factor):
                return variable, factor * self.sense(variable)
            case Local(key) if key not in self.ledger.locals and not self._letters_of_run(name):
                return f"?{key}", self.sense(f"?{key}")
        return None

    def _letters_of_run(self, name: Name) -> list[Name]:
        """Return the letters of a run such as WL or Pab, [] unless each has a value here."""
        run = name.base
        if name.sub or not 1 < len(run) < 5 or not (run.isalpha() and run == name.text):
            return []
        at = name.span[0]
        letters = [Name((at + i, at + i + 1), one, one) for i, one in enumerate(run)]
        known = all(
            isinstance(m, Known) or (isinstance(m, Local) and m.key in self.ledger.locals)
            for m in map(self.meaning, letters)
        )
        return letters if known else []

    def _term(self, expr: Expr, sign: int, outer: tuple[Factor, ...]) -> Term:
        factors = (*self._flatten(expr, 1), *outer)
        total = Quantity(float(sign))
        variable, written = "", list[Factor]()
        name: Name | None = None
        for factor in factors:
            here = self._variable(factor.expr) if isinstance(factor.expr, Name) else None
            if here is None:
                total = total.times(factor.effect)
                written.append(factor)
            elif variable or factor.power < 0:
                total = total.times(
                    Factor(self._number(factor.expr), factor.expr, factor.power).effect
                )
                written.append(factor)
            elif isinstance(factor.expr, Name):
                variable, name = here[0], factor.expr
                total = total.scaled(here[1])
        if self.plain != 1.0 or self.long != 1.0:
            total = self._in_own_units(expr, variable, total)
        if not math.isfinite(total.centre):
            raise NotLinear("a number out of range")
        return Term(expr.span, sign, total, variable, tuple(written), 0, name)

    def _in_own_units(self, expr: Expr, variable: str, total: Quantity) -> Quantity:
        """Return what a term comes to where the writer's bare numbers are in units of his own."""
        if not variable and not self._measured(expr, 0):
            total = total.scaled(self.plain)
            if self.plain != 1.0 and _of_kilogram(self.plain * self.force_scale) != _of_kilogram(
                self.force_scale
            ):
                total = Quantity(total.centre, total.radius + _GRAVITIES * abs(total.centre))
        turns = variable.endswith(" moment") or variable.startswith("moment ")
        above = expr.top if not self.lone and isinstance(expr, Div) else expr
        alone = not self.lone and isinstance(expr, Name | Num)
        if not turns and not alone and not self._measured(above, 1):
            total = total.scaled(self.long)
        return total

    def _measured(self, expr: Expr, place: int) -> bool:
        """Tell whether a term's forces (0) or lengths (1) are in units of their own already."""
        if (self.plain, self.long)[place] == 1.0:
            return True
        kind = ("force", "length")[place]
        for node in walk(expr):
            unit = getattr(node, "unit", None)
            if unit is not None and unit.kind != "angle" and unit.dims[place]:
                return True
            if isinstance(node, Name):
                meaning = self.meaning(node)
                if isinstance(meaning, Known) and meaning.kind == ("load", "length")[place]:
                    return True
                key = meaning.key if isinstance(meaning, Local) else ""
                if key in self.ledger.locals and self.ledger.locals[key].kind == kind:
                    return True
        return False

    def _flatten(self, expr: Expr, power: int) -> Iterator[Factor]:
        match expr:
            case Mul():
                for factor in expr.factors:
                    yield from self._flatten(factor, power)
                if expr.unit is not None and not any(
                    getattr(f, "unit", None) for f in expr.factors
                ):
                    yield Factor(Quantity(self.size_of(expr.unit)), replace_span(expr), power)
            case Div():
                yield from self._flatten(expr.top, power)
                yield from self._flatten(expr.bottom, -power)
                if (unit := _of_fraction(expr)) is not None:
                    place = Num((expr.span[1],) * 2, "", 1.0, 1.0, 1.0)
                    yield Factor(Quantity(self.size_of(unit)), place, power)
            case Neg():
                yield Factor(Quantity(-1.0), Num(expr.span, "−", -1.0, -1.0, -1.0), 1)
                yield from self._flatten(expr.inner, power)
            case Name() if self._variable(expr) is not None:
                yield Factor(EXACT_ONE, expr, power)
            case Name() if letters := self._letters_of_run(expr):
                for letter in letters:
                    yield Factor(self._value(letter), letter, power)
            case _:
                yield Factor(self._number(expr), expr, power)

    def _number(self, expr: Expr) -> Quantity:
        match expr:
            case Num():
                return self._written(expr)
            case Name():
                return self._value(expr)
            case Add():
                total = ZERO
                for sign, term in expr.terms:
                    total = total.plus(self._number(term).scaled(sign))
                return total
            case Mul():
                product = EXACT_ONE
                for factor in self._flatten_numbers(expr):
                    product = product.times(factor)
                return product
            case Div():
                unit = _of_fraction(expr)
                share = self._number(expr.top).times(self._number(expr.bottom).inverse())
                return share if unit is None else share.scaled(self.size_of(unit))
            case Neg():
                return self._number(expr.inner).scaled(-1.0)
            case Pow():
                return self._number(expr.base).power(self._number(expr.exponent).centre)
            case Func():
                if isinstance(expr.arg, Name):
                    kept = self.ledger.locals.get(f"{expr.name} {key_of(expr.arg)}")
                    if kept is not None and isinstance(self.meaning(expr.arg), Local):
                        return kept.quantity
                if isinstance(expr.arg, Num) and expr.name in ("sin", "cos", "tan"):
                    return function(expr.name, self._written(expr.arg, True))
                return function(expr.name, self._number(expr.arg))

    def _written(self, number: Num, turned: bool = False) -> Quantity:
        """Return a number, or what it should be where it repeats one that is wrong."""
        if not self.instead:
            return self.quantity(number, turned)
        near = (right for wrong, right in self.instead if _repeats(number, wrong))
        right = next(near, None)
        return self.quantity(number, turned) if right is None else Quantity(right)

    def _flatten_numbers(self, expr: Mul) -> Iterator[Quantity]:
        for factor in expr.factors:
            yield self._number(factor)
        if expr.unit is not None and not any(getattr(f, "unit", None) for f in expr.factors):
            yield Quantity(self.size_of(expr.unit))

    def _value(self, name: Name) -> Quantity:
        match self.meaning(name):
            case Known(quantity):
                return quantity
            case Local(key):
                if key in self.ledger.locals:
                    return self.ledger.locals[key].quantity
                if letters := self._letters_of_run(name):
                    return reduce(Quantity.times, map(self._value, letters))
                own = self.ledger.values.get(f"?{key}")
                if own is not None:
                    return own.quantity.scaled(self.sense(f"?{key}"))
                raise NotLinear(f"no value for {name.text} yet")
            case Unknown(variable, factor):
                found = self.ledger.values.get(variable)
                if found is None:
                    raise NotLinear(f"no value for {name.text} yet")
                return found.quantity.scaled(factor * self.sense(variable))


def replace_span(expr: Mul) -> Num:
    """Return a neutral number that stands at the end of a product, where its unit is written."""
    end = expr.span[1]
    return Num((end, end), "", 1.0, 1.0, 1.0)


def _repeats(number: Num, value: float) -> bool:
    """Tell whether a number is a value written again, rounded: a 3 is not 2.646."""
    near = abs(number.value - value) <= _AGAIN * abs(value)
    return near and number.low <= value <= number.high


def _of_fraction(expr: Div) -> Unit | None:
    """Return the unit that a whole fraction is in, `143/12 kN` or `(143/12) kN`; None without."""
    inside = any(getattr(node, "unit", None) for node in walk(expr) if node is not expr)
    return None if inside else expr.unit


def _of_kilogram(newtons: float) -> bool:
    """Tell whether a unit is the weight of a kilogram, or a power of ten of it."""
    power = math.log10(newtons / STANDARD_GRAVITY)
    return abs(power - round(power)) < 1e-9
