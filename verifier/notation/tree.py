"""The tree of a written line. Spans are 0-based characters of the line as typed, end excluded.

Nothing here knows what is right: names are kept as written, with their dress taken off.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Literal, cast

Span = tuple[int, int]


@dataclass(frozen=True)
class Unit:
    """A written unit: `factor` to newtons, metres, kilograms, degrees …; `dims` (force, length).

    `kind` is force, length, moment, force-per-length, mass, gravity (m/s², N/kg), angle or other.
    """

    span: Span
    text: str
    kind: str
    factor: float
    dims: tuple[int, int]


@dataclass(frozen=True)
class Num:
    """A number as written: `value`, and `[low, high]`, the interval that rounds to it."""

    span: Span
    text: str
    value: float
    low: float
    high: float
    unit: Unit | None = None

    @cached_property
    def digits(self) -> int:
        """How many figures it is written with, zeros in front aside."""
        return sum(map(str.isdigit, self.text.lstrip("0.,")))


@dataclass(frozen=True)
class Name:
    """A written name.

    `base` and `sub` are its dress taken off as far as the writing itself shows: F_{AB} and F_AB →
    ('F', 'AB'), A_y → ('A', 'y'), S₁ → ('S', '1'), PR → ('PR', '').
    """

    span: Span
    text: str
    base: str
    sub: str = ""
    unit: Unit | None = None


class Compound:
    """What holds other expressions."""

    @cached_property
    def inside(self) -> tuple["Expr", ...]:
        """Everything inside it, outermost first."""
        return tuple(_below([*reversed(_parts(cast("Expr", self)))]))


@dataclass(frozen=True)
class Add(Compound):
    """A sum; `terms` are (sign, expression), sign ±1 as written before each term."""

    span: Span
    terms: tuple[tuple[int, "Expr"], ...]


@dataclass(frozen=True)
class Mul(Compound):
    """A product of factors, implicit or written out; `unit` follows the whole product."""

    span: Span
    factors: tuple["Expr", ...]
    unit: Unit | None = None


@dataclass(frozen=True)
class Div(Compound):
    """A quotient, written as a slash, a stacked fraction or ÷."""

    span: Span
    top: "Expr"
    bottom: "Expr"
    unit: Unit | None = None


@dataclass(frozen=True)
class Neg(Compound):
    """A minus in front of one operand (not of a term in a sum: see `Add`)."""

    span: Span
    inner: "Expr"


@dataclass(frozen=True)
class Pow(Compound):
    """A power."""

    span: Span
    base: "Expr"
    exponent: "Expr"


@dataclass(frozen=True)
class Func(Compound):
    """A function: sin cos tan of degrees, asin acos atan giving degrees, sqrt, abs.

    An argument written in radians is `Func('rad', …)` inside, which gives its degrees.
    """

    span: Span
    name: str
    arg: "Expr"


Expr = Num | Name | Add | Mul | Div | Neg | Pow | Func

MarkMeaning = Literal[
    "tension", "compression", "up", "down", "left", "right", "clockwise", "anticlockwise",
    "zero-force", "inspection", "symmetry", "check", "wrong",
]  # fmt: skip


@dataclass(frozen=True)
class Mark:
    """A label beside a value or a line: (T), Druck, ↑, ✓, 'by inspection' and so on."""

    span: Span
    text: str
    meaning: MarkMeaning


@dataclass(frozen=True)
class Heading:
    """Which free body the lines below are about.

    `kind`: joint, section, body, whole, reactions, method (words without a body) . `names` are the
    joints, members or bodies that it names, as written; `side` left, right, upper, lower or ''.
    A section without names but with a side is the part kept of the section named before.
    """

    span: Span
    kind: str
    names: tuple[str, ...] = ()
    side: str = ""


@dataclass(frozen=True)
class SumLabel:
    """A sum's label: `axis` x, y, moment, or along (then `degrees` or `direction` says which).

    `about` is the moment point as written; `positive` right, left, up, down, anticlockwise or
    clockwise where the writer declared it; `at` the joint or body that the label itself names.
    """

    span: Span
    axis: str
    about: str = ""
    positive: str = ""
    degrees: float | None = None
    direction: str = ""
    at: str = ""


@dataclass(frozen=True)
class Relation:
    """An equation or chain: `sides` joined by `ops` ('=', '≈', '⇒', '→' …), one fewer.

    '⇒'-like operators start a new equation inside a line and are split off by the parser, so
    `ops` are '=' or '≈'. `marks[i]` belong to `sides[i]`. `tag` is an equation number '(1)'.
    `continues` is true where the line starts with '='. `closing` is true for an equation that was
    introduced as a check. `others` are other readings that the same writing allows, as in
    `20/2 sin 45°` (half of twenty times the sine, or twenty over twice the sine), in `= 14 (1)`
    (a product, or the number of the equation), in `- A_x = 3` (a minus, or a list) and in `1,500`
    where nothing decides: a line is right if one of its readings is.

    A balance with `= 0` left out gets it: op '=' and a `Num` 0 of empty span and text at the end.
    A restated value (`F = −16.2 → 16.2 kN (C)`) is a relation of one side that `continues`.
    """

    span: Span
    sides: tuple[Expr, ...]
    ops: tuple[str, ...]
    marks: tuple[tuple[Mark, ...], ...] = ()
    tag: str = ""
    continues: bool = False
    closing: bool = False
    others: tuple["Relation", ...] = ()

    @cached_property
    def nodes(self) -> tuple[Expr, ...]:
        """Everything in the sides, outermost first."""
        return tuple(node for side in self.sides for node in walk(side))

    @cached_property
    def named(self) -> tuple[Name, ...]:
        """The names in the sides, in the order written."""
        return tuple(node for node in self.nodes if isinstance(node, Name))

    @cached_property
    def units(self) -> tuple[Unit, ...]:
        """The units in the sides, in the order of what has them."""
        found = (getattr(node, "unit", None) for node in self.nodes)
        return tuple(unit for unit in found if unit is not None)


@dataclass(frozen=True)
class Assumption:
    """A declared sense: 'assume QR in compression', 'A_y up' — one `Mark` for each name."""

    span: Span
    names: tuple[Name, ...]
    mark: Mark


@dataclass(frozen=True)
class Statement:
    """A claim in words about names: 'GH = 0 by inspection', 'PR is in tension'."""

    span: Span
    names: tuple[Name, ...]
    marks: tuple[Mark, ...]


@dataclass(frozen=True)
class Reference:
    """A pointer to numbered equations: 'sub (1) into (2)', '(1) − (2)'."""

    span: Span
    tags: tuple[str, ...]


@dataclass(frozen=True)
class Prose:
    """Words that make no claim."""

    span: Span


@dataclass(frozen=True)
class Struck:
    """A crossed-out part; it is not judged."""

    span: Span
    inner: tuple["Part", ...] = ()


@dataclass(frozen=True)
class Unread:
    """A part without meaning: understanding stopped at column `at`, for `reason`.

    `slip` is the label of a known syntax slip ('unbalanced bracket' …) or ''.
    """

    span: Span
    at: int
    reason: str
    slip: str = ""


Part = (
    Heading
    | SumLabel
    | Relation
    | Assumption
    | Statement
    | Reference
    | Prose
    | Struck
    | Unread
    | Mark
)


@dataclass(frozen=True)
class Line:
    """One written line: its parts in order, and what it reads as in plain notation.

    `above` holds the lines (number, text) whose writing is read with this one: a sum that runs over
    lines. Spans are columns of `whole`.
    """

    number: int
    text: str
    parts: tuple[Part, ...] = ()
    reads_as: str = ""
    page: int | None = None
    above: tuple[tuple[int, str], ...] = ()

    @cached_property
    def whole(self) -> str:
        """The text with that of the lines read with it in front."""
        return "\n".join((*(text for _, text in self.above), self.text))


@dataclass(frozen=True)
class Names:
    """The names that a working may use, as plain strings (no values, no answers).

    `joints`, `bodies`, `members` ('A-B' pairs), `letters` (lets, angles, calls, letters that stay).
    `units` are the sheet's (force, length).
    """

    joints: frozenset[str] = frozenset()
    bodies: frozenset[str] = frozenset()
    members: frozenset[tuple[str, str]] = frozenset()
    letters: frozenset[str] = frozenset()
    units: tuple[str, str] = ("N", "m")
    extra: frozenset[str] = field(default_factory=frozenset)


def walk(expr: Expr) -> Iterator[Expr]:
    """Yield an expression and everything inside it, outermost first."""
    if isinstance(expr, Num | Name):
        return iter((expr,))
    return iter((expr, *expr.inside))


def _below(left: list[Expr]) -> Iterator[Expr]:
    """Yield expressions, the last first, each with everything inside it."""
    while left:
        node = left.pop()
        yield node
        if not isinstance(node, Num | Name):
            left.extend(reversed(_parts(node)))


def _parts(expr: Expr) -> tuple[Expr, ...]:
    match expr:
        case Add():
            return tuple(term for _, term in expr.terms)
        case Mul():
            return expr.factors
        case Div():
            return expr.top, expr.bottom
        case Neg():
            return (expr.inner,)
        case Pow():
            return expr.base, expr.exponent
        case Func():
            return (expr.arg,)
    return ()


def moved(expr: Expr, at: int) -> Expr:
    """Return an expression with all its spans empty at column `at`.

    For a side that is taken over from the line above: its places mean nothing in this line.
    """
    return _placed(expr, lambda _: (at, at))


def shifted(expr: Expr, by: int) -> Expr:
    """Return an expression as it stands where its line begins `by` columns further on."""
    return _placed(expr, lambda span: (span[0] + by, span[1] + by))


def _placed(expr: Expr, place: Callable[[Span], Span]) -> Expr:
    span = place(expr.span)
    match expr:
        case Add():
            terms = tuple((sign, _placed(term, place)) for sign, term in expr.terms)
            return replace(expr, span=span, terms=terms)
        case Mul():
            factors = tuple(_placed(factor, place) for factor in expr.factors)
            return replace(expr, span=span, factors=factors)
        case Div():
            top, bottom = _placed(expr.top, place), _placed(expr.bottom, place)
            return replace(expr, span=span, top=top, bottom=bottom)
        case Neg():
            return replace(expr, span=span, inner=_placed(expr.inner, place))
        case Pow():
            base, exponent = _placed(expr.base, place), _placed(expr.exponent, place)
            return replace(expr, span=span, base=base, exponent=exponent)
        case Func():
            return replace(expr, span=span, arg=_placed(expr.arg, place))
        case _:
            return replace(expr, span=span)
