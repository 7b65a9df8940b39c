"""A letter that stands in every term of an equation: `B·6δ − 9·4δ = 0` holds whatever it is."""

from collections.abc import Iterator
from dataclasses import replace

from verifier.checking.forms import Reader
from verifier.checking.names import Local, key_of
from verifier.notation.tree import Add, Div, Expr, Mul, Name, Neg, Num, Relation, walk


def without_common(relation: Relation, reader: Reader) -> Relation:
    """Return a relation without the small own letters that all its terms have as a factor.

    Only letters without a value: lengths that cancel, a virtual turn.
    """
    if not any(name.base[:1].islower() for name in relation.named):
        return relation
    sides = [side for side in relation.sides if not (isinstance(side, Num) and not side.value)]
    terms = [term for side in sides for term in _terms(side)]
    if len(terms) < 2:
        return relation
    found = [{key_of(name) for name in _factors(term)} for term in terms]
    for key in sorted(set.intersection(*found)):
        if _is_free(key, terms, reader):
            relation = replace(
                relation,
                sides=tuple(_divided(side, key) for side in relation.sides),
                others=(),
            )
    return relation


def _is_free(key: str, terms: list[Expr], reader: Reader) -> bool:
    small = key[:1].islower() and key not in ("i", "j", "k")
    if not small or key in reader.aliases or key in reader.ledger.locals:
        return False
    nodes = [[n for n in walk(t) if isinstance(n, Name) and key_of(n) == key] for t in terms]
    once = all(len(here) == 1 for here in nodes)
    return once and isinstance(reader.names.meanings(nodes[0][0])[0], Local)


def _terms(side: Expr) -> Iterator[Expr]:
    match side:
        case Add():
            for _, term in side.terms:
                yield from _terms(term)
        case Neg():
            yield from _terms(side.inner)
        case _:
            yield side


def _factors(term: Expr) -> Iterator[Name]:
    """Yield the names that multiply a term of several factors."""
    match term:
        case Mul():
            for factor in term.factors:
                yield from [factor] if isinstance(factor, Name) else _factors(factor)
        case Div():
            yield from [term.top] if isinstance(term.top, Name) else _factors(term.top)
        case Neg():
            yield from _factors(term.inner)


def _divided(expr: Expr, key: str) -> Expr:
    match expr:
        case Add():
            return replace(expr, terms=tuple((s, _divided(t, key)) for s, t in expr.terms))
        case Neg():
            return replace(expr, inner=_divided(expr.inner, key))
        case Div():
            return replace(expr, top=_divided(expr.top, key))
        case Name() if key_of(expr) == key:
            return Num(expr.span, "1", 1.0, 1.0, 1.0)
        case Mul():
            kept = tuple(f for f in expr.factors if not (isinstance(f, Name) and key_of(f) == key))
            if len(kept) < len(expr.factors):
                return (
                    kept[0] if len(kept) == 1 and expr.unit is None else replace(expr, factors=kept)
                )
            return replace(expr, factors=tuple(_divided(f, key) for f in expr.factors))
    return expr
