"""Equations between vectors, `A + 3.6 i − 1.3 j = 0`: split into one for each direction."""

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace

from verifier.checking.forms import Reader
from verifier.checking.names import Local, key_of
from verifier.notation.build import undress
from verifier.notation.tree import Add, Div, Expr, Mul, Name, Neg, Num, Relation, Span, Unit, walk

Parts = tuple[Expr | None, Expr | None, Expr | None]
"""A vector's parts along x, along y and square to the page; None for one that is nil."""

_UNITS = {"i": 0, "î": 0, "j": 1, "ĵ": 1, "k": 2, "k̂": 2}
_DOTS, _CROSSES = "·•∙", ("×", "\\times", "⨯", " x ")
_SQUARE = 2
_ARROW = re.compile(r"\\(?:vec|overrightarrow|mathbf|boldsymbol|bm)\s*\{?\s*$")


class Vectors:
    """Knows the vectors that a working defines; `own` holds their parts by the names' keys.

    `plane` tells whether the working has vectors in the plane: its k is square to the page then.
    """

    def __init__(self, reader: Reader) -> None:
        self.reader = reader
        self.own: dict[str, Parts] = {}
        self.twofold: set[str] = set()
        self.text = ""
        self.bold = False
        self.plane = True
        self.unit: Unit | None = None

    def copied(self, reader: Reader) -> "Vectors":
        """Return what is known so far, apart from what is defined from here on."""
        other = Vectors(reader)
        other.own, other.twofold = dict(self.own), set(self.twofold)
        other.plane = self.plane
        return other

    def named(self, relation: Relation) -> Name | None:
        """Return the writer's own name that a relation gives a vector, None for any other."""
        first = relation.sides[0]
        if not isinstance(first, Name) or len(relation.sides) < 2 or key_of(first) in _UNITS:
            return None
        if self._reaction(first) is not None or self.of_side(relation.sides[-1]) is None:
            return None
        return first

    def keep(self, name: Name, parts: Parts) -> None:
        """Take a vector's parts under its name, `loads F` under F as well.

        Where its parts are shares of a force of that name, `T⃗ = T (0.6 i + 0.8 j)`, only the name
        with an arrow is the vector.
        """
        key = key_of(name)
        self.own[key] = parts
        if any(key_of(one) == key for part in parts if part is not None for one in _names(part)):
            self.twofold.add(key)
        letter = name.text.split()[-1]
        if letter != name.text:
            self.own[key_of(Name(name.span, letter, *undress(letter)))] = parts

    def split(self, relation: Relation) -> Iterator[tuple[str, Relation]]:
        """Yield the equations along x, along y and of moments that an equation of vectors makes.

        Nothing where it is none, or where a side is a number other than nought.
        """
        if not any(self._of_name(name, True) for name in relation.named):
            return
        found = [self.of_side(side, whole=True) for side in relation.sides]
        if any(found) and all(one is None or one[:2] == (None, None) for one in found):
            # `r × F = −5 A_y + 4 A_x`: a moment told without its k
            bare = [_without_k(side) for side in relation.sides]
            found = [one or (None, None, s) for one, s in zip(found, bare, strict=True)]
        vectors = [one for one in found if one is not None]
        nil = all(
            one is not None or (isinstance(side, Num) and side.value == 0)
            for one, side in zip(found, relation.sides, strict=True)
        )
        for axis, name in enumerate(("x", "y", "moment")) if nil and vectors else ():
            if any(one[axis] is not None for one in vectors):
                sides = tuple(
                    (one[axis] if one is not None else None) or _nought(side.span)
                    for one, side in zip(found, relation.sides, strict=True)
                )
                yield name, replace(relation, sides=sides, marks=(), others=())

    def of_side(self, side: Expr, whole: bool = False) -> Parts | None:
        """Return the parts of a side's vector, None for a number; a unit at its end holds for all.

        `whole` takes a reaction's name for both its parts.
        """
        written = (node.unit for node in _names(side) if key_of(node) in _UNITS)
        self.unit = next((unit for unit in written if unit is not None), None)
        return self.parts(side, whole)

    def parts(self, expr: Expr, whole: bool = False) -> Parts | None:
        """Return a vector's parts, None for a number."""
        match expr:
            case Name():
                return self._of_name(expr, not whole)
            case Neg():
                inner = self.parts(expr.inner, whole)
                return inner and _each(inner, lambda part: Neg(expr.span, part))
            case Div():
                top = self.parts(expr.top, whole)
                return top and _each(top, lambda part: Div(expr.span, part, expr.bottom, expr.unit))
            case Add():
                return self._sum(expr, whole)
            case Mul():
                return self._product(expr, whole)
        return None

    def _of_name(self, name: Name, plain: bool) -> Parts | None:
        """Return a unit vector, a vector of the working's own, or both parts of a reaction."""
        key = key_of(name)
        plainly = key in self.own and (self.bold or key not in self.twofold)
        if plainly or (key in self.own and self._has_arrow(name)):
            return self.own[key]
        if not self.plane and _UNITS.get(key) == _SQUARE:
            return None  # k is some number here: no i or j stands beside it
        if key in _UNITS and isinstance(self.reader.names.meanings(name)[0], Local):
            if key in self.reader.ledger.locals or key in self.reader.aliases:
                return None
            one, at = Num(name.span, "1", 1.0, 1.0, 1.0, self.unit), _UNITS[key]
            return (one if at == 0 else None, one if at == 1 else None, one if at == 2 else None)
        return None if plain else self._reaction(name)

    def _has_arrow(self, name: Name) -> bool:
        return _ARROW.search(self.text[: name.span[0]]) is not None or "\u20d7" in name.text

    def _reaction(self, name: Name) -> Parts | None:
        joint = next((j for j in (name.sub, name.base) if j in self.reader.figure.points), "")
        items = self.reader.figure.reactions.get(joint, [])
        along = [one for _, one, turns in items if not turns]
        if len(along) != 2 or name.sub not in ("", joint) or name.base == "M":
            return None
        across, up = (replace(name, base=joint, sub=axis) for axis in "xy")
        return across, up, None

    def _boldly(self, factors: Sequence[Expr], whole: bool) -> list[Parts | None]:
        """Return the parts of what stands beside vectors: of T beside them the vector T."""
        kept, self.bold = self.bold, True
        found = [self.parts(factor, whole) for factor in factors]
        self.bold = kept
        return found

    def _sum(self, expr: Add, whole: bool) -> Parts | None:
        found = [(sign, self.parts(term, whole)) for sign, term in expr.terms]
        if any(one is None for _, one in found) and any(one for _, one in found):
            bold = self._boldly([term for _, term in expr.terms], whole)
            found = [(sign, one) for (sign, _), one in zip(expr.terms, bold, strict=True)]
        if any(one is None for _, one in found):
            return None
        parts: list[Expr | None] = []
        for axis in range(3):
            terms = tuple((sign, p) for sign, one in found if one and (p := one[axis]) is not None)
            parts.append(Add(expr.span, terms) if terms else None)
        return parts[0], parts[1], parts[2]

    def _product(self, expr: Mul, whole: bool) -> Parts | None:
        found = [self.parts(factor) for factor in expr.factors]
        if whole and len(found) == 2 and sum(map(bool, found)) == 1:  # r × R_A
            found = [self.parts(factor, whole) for factor in expr.factors]
        if len(found) == 2 and sum(map(bool, found)) == 1 and self._crossed(expr):  # r × T
            found = self._boldly(expr.factors, whole)
        numbers = tuple(f for f, one in zip(expr.factors, found, strict=True) if one is None)
        vectors = [one for one in found if one is not None]
        if len(vectors) == 1:
            return _each(vectors[0], lambda part: _times(expr, (*numbers, part)))
        if len(vectors) == 2 and not self._dotted(expr, found):
            (ax, ay, _), (bx, by, _) = vectors
            terms = [
                (sign, _times(expr, (*numbers, one, two)))
                for sign, one, two in ((1, ax, by), (-1, ay, bx))
                if one is not None and two is not None
            ]
            return (None, None, Add(expr.span, tuple(terms))) if terms else None
        return None

    def _crossed(self, expr: Mul) -> bool:
        """Tell whether two factors are multiplied by a cross."""
        one, two = expr.factors
        return any(cross in self.text[one.span[1] : two.span[0]] for cross in _CROSSES)

    def _dotted(self, expr: Mul, found: list[Parts | None]) -> bool:
        """Tell whether two vectors are multiplied by a point: their product is a number."""
        one, two = (f for f, is_one in zip(expr.factors, found, strict=True) if is_one is not None)
        return any(dot in self.text[one.span[1] : two.span[0]] for dot in _DOTS)


def _without_k(side: Expr) -> Expr:
    """Return a moment without the unit vector behind it, which was read as kips: `−12.8 k`."""
    if isinstance(side, Neg):
        return replace(side, inner=_without_k(side.inner))
    kips = isinstance(side, Num) and side.unit is not None and side.unit.text == "k"
    return replace(side, unit=None) if kips and isinstance(side, Num) else side


def _names(expr: Expr) -> Iterator[Name]:
    return (node for node in walk(expr) if isinstance(node, Name))


def _each(parts: Parts, change: Callable[[Expr], Expr]) -> Parts:
    x, y, z = (None if part is None else change(part) for part in parts)
    return x, y, z


def _times(expr: Mul, factors: tuple[Expr, ...]) -> Expr:
    """Return a product without its ones, with their unit."""
    ones = [f for f in factors if isinstance(f, Num) and f.text == "1"]
    unit = next((one.unit for one in ones if one.unit is not None), expr.unit)
    kept = tuple(f for f in factors if f not in ones)
    if not kept:
        return replace(ones[0], span=expr.span, unit=unit)
    if unit is not None and any(getattr(n, "unit", None) for f in kept for n in walk(f)):
        unit = None
    return kept[0] if len(kept) == 1 and unit is None else Mul(expr.span, kept, unit)


def _nought(span: Span) -> Num:
    return Num((span[1], span[1]), "0", 0.0, 0.0, 0.0)
