"""Names that carry the index of a load case, taken without it: R_C,2 is R_C under load 2."""

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import partial

from verifier.checking.names import Dictionary, Local, Unknown, key_of
from verifier.checking.written import Written
from verifier.notation.tree import (
    Add,
    Div,
    Expr,
    Func,
    Mul,
    Name,
    Neg,
    Num,
    Part,
    Pow,
    Relation,
    Statement,
)

_MARKED = re.compile(r"(?P<stem>[^\W\d]\w*?)[,_]?(?P<index>\d|'{1,4})")
MOST_LOADS = 6
_INNER = re.compile(r"(?P<head>[^\W\d])(?P<index>'{1,4})(?P<tail>\w+)")


@dataclass(frozen=True)
class Stems:
    """Takes indices off names; `heads` are the writer's own names that stand without one too."""

    names: Dictionary
    heads: frozenset[str]

    def cut(self, name: Name) -> tuple[Name, str, str] | None:
        """Return a name without the index of its load case, what it is, and the index.

        R_C,2 is R_C, the reaction at C, under load 2. None for a name that carries none.
        """
        if not isinstance(self.names.meanings(name)[0], Local):
            return None
        for base, sub, index in _stems(name):
            stem = replace(name, text=f"{base}_{sub}" if sub else base, base=base, sub=sub)
            match self.names.meanings(stem)[0]:
                case Unknown(variable):
                    return stem, variable, index
                case Local(key) if key in self.heads:
                    return stem, f"?{key}", index
        return None


def _stems(name: Name) -> Iterator[tuple[str, str, str]]:
    whole = _MARKED.fullmatch(name.sub) if name.sub else _MARKED.fullmatch(name.base)
    if whole and name.sub:
        yield name.base, whole["stem"], whole["index"]
    elif whole:
        yield whole["stem"], "", whole["index"]
    if name.sub.isdigit() or (name.sub and not name.sub.strip("'")):
        yield name.base, "", name.sub
    inner = _INNER.fullmatch(name.base)
    if inner:
        yield inner["head"], inner["tail"], inner["index"]
    if name.sub and name.base.endswith("'"):
        stem = name.base.rstrip("'")
        yield stem, name.sub, "'" * (len(name.base) - len(stem))


def bracketed(written: Sequence[Written]) -> Sequence[Written]:
    """Return a working with R(1) and R^(2) for R,1 and R,2 where results are called so."""
    heads: dict[str, set[int]] = {}
    for one in written:
        for part in one.line.parts:
            marked = _marked(part.sides[0], one) if isinstance(part, Relation) else None
            if marked is not None:
                heads.setdefault(key_of(marked[0]), set()).add(marked[1])
    if not any(len(numbers) > 1 for numbers in heads.values()):
        return written

    def change(expr: Expr, one: Written) -> Expr:
        marked = _marked(expr, one)
        if marked is None or len(heads.get(key_of(marked[0]), ())) < 2:
            return expr
        name, number = marked
        return replace(
            name, span=expr.span, text=f"{name.text}({number})", sub=f"{name.sub}{number}"
        )

    return [_changed(one, partial(change, one=one)) for one in written]


def _marked(expr: Expr, one: Written) -> tuple[Name, int] | None:
    """Return the name and the number of R(1) or R^(1); R×3 is a product."""
    match expr:
        case Mul(_, (Name() as name, Num() as number)) | Pow(_, Name() as name, Num() as number):
            between = one.line.whole[name.span[1] : number.span[0]]
            fits = number.value in range(1, MOST_LOADS + 1) and number.unit is None
            if fits and between.strip() in ("(", "^", "^(", "^{("):
                return name, int(number.value)
    return None


def without_index(one: Written, stems: Stems, keys: dict[tuple[str, str], str]) -> Written:
    """Return a line with its names' indices taken off; what they were goes into `keys`."""

    def bare(name: Expr) -> Expr:
        cut = stems.cut(name) if isinstance(name, Name) else None
        if cut is None or not isinstance(name, Name):
            return name
        stem, variable, index = cut
        keys[variable, index] = key_of(name)
        return stem

    return _changed(one, bare)


def _changed(one: Written, change: Callable[[Expr], Expr]) -> Written:
    """Return a line with every expression in it changed, outermost first."""
    parts: list[Part] = []
    for part in one.line.parts:
        if isinstance(part, Relation):
            part = _renamed(part, change)
        elif isinstance(part, Statement):
            names = tuple(change(name) for name in part.names)
            part = replace(part, names=tuple(n for n in names if isinstance(n, Name)))
        parts.append(part)
    return replace(one, line=replace(one.line, parts=tuple(parts)))


def _renamed(relation: Relation, change: Callable[[Expr], Expr]) -> Relation:
    return replace(
        relation,
        sides=tuple(_each(side, change) for side in relation.sides),
        others=tuple(_renamed(other, change) for other in relation.others),
    )


def _each(expr: Expr, change: Callable[[Expr], Expr]) -> Expr:
    changed = change(expr)
    if changed is not expr:
        return changed
    match expr:
        case Add():
            return replace(expr, terms=tuple((s, _each(t, change)) for s, t in expr.terms))
        case Mul():
            return replace(expr, factors=tuple(_each(f, change) for f in expr.factors))
        case Div():
            return replace(expr, top=_each(expr.top, change), bottom=_each(expr.bottom, change))
        case Neg():
            return replace(expr, inner=_each(expr.inner, change))
        case Pow():
            return replace(expr, base=_each(expr.base, change))
        case Func():
            return replace(expr, arg=_each(expr.arg, change))
    return expr
