"""Letters that people give to loads and put in without a value: `P cos 60° = 10·0.5 = 5 kN`."""

from collections.abc import Iterator, Sequence
from itertools import pairwise

from verifier.checking.forms import Reader
from verifier.checking.ledger import Found
from verifier.checking.names import Local, Unknown, key_of
from verifier.checking.quantity import Quantity
from verifier.checking.written import Written
from verifier.notation.build import undress
from verifier.notation.tree import Add, Div, Expr, Func, Mul, Name, Num, Pow, Relation, walk
from verifier.structure.model import Couple

_FORCES, _RESULTANTS, _PULLS, _SPREAD, _COUPLES = "FP", "QWG", "STK", "qwp", "M"
"""Q, W and G may be the resultant of a spread load where there is one, S and T a bar's force."""
_TOLD = {(1, 0): _FORCES + _RESULTANTS, (1, -1): _SPREAD, (1, 1): _COUPLES}
_FIRST = ("", "0", "1")


def loads_ahead(written: Sequence[Written], reader: Reader) -> Iterator[tuple[str, Found]]:
    """Yield the own letters that are put in for the only load of their sort: `P cos 60° = 5 kN`.

    Only those that no line gives a value: what stands alone on a side is found or defined there.
    """
    sizes = _only_loads(reader)
    put_in: dict[str, Name] = {}
    given: set[str] = set()
    yield from _told_later(written, reader)
    for one in written if sizes else ():
        for relation in (part for part in one.line.parts if isinstance(part, Relation)):
            given |= {key_of(side) for side in relation.sides if isinstance(side, Name)}
            put_in |= {key_of(name): name for name in relation.named}
    for key in sorted(put_in.keys() - given):
        letter, _, number = key.partition("_")
        size = sizes.get(letter) if number in _FIRST else None
        if size and _is_open(put_in[key], reader):
            kind = "plain" if letter in _SPREAD + _COUPLES else "force"
            yield key, Found(Quantity(size), False, 0, None, kind)


def _told_later(written: Sequence[Written], reader: Reader) -> Iterator[tuple[str, Found]]:
    """Yield a load's letter that is told behind its first use: `… − P·2 = 0,  P = 10 kN`.

    So are intensities, couples and what a spread load comes to: `q = 4 kN/m`, `Q = 4·2.1 = 8.4 kN`.
    """
    used: set[str] = set()
    true = reader.figure.true.values()
    for relation in (p for one in written for p in one.line.parts if isinstance(p, Relation)):
        first, last = relation.sides[0], relation.sides[-1]
        unit = last.unit if isinstance(last, Num) else None
        numbers = not any(isinstance(n, Name) for side in relation.sides[1:] for n in walk(side))
        if isinstance(first, Name) and " " in first.text:  # where Q = 8.4 kN
            letter = first.text.split()[-1]
            first = Name(first.span, letter, *undress(letter))
        if unit is not None and isinstance(first, Name) and isinstance(last, Num) and numbers:
            letters, sizes = _TOLD.get(unit.dims, ""), _sizes(reader, unit.dims)
            size = reader.quantity(last).centre
            load = any(abs(one - size) <= 1e-6 * size for one in sizes)
            force = unit.dims == (1, 0) and any(abs(abs(v) - size) < 1e-6 * size for v in true)
            told = key_of(first) in used and first.base in tuple(letters)
            if told and load and not force and _is_open(first, reader):
                kind = "force" if unit.dims == (1, 0) else "plain"
                yield key_of(first), Found(Quantity(size), False, 0, None, kind)
        used |= {key_of(name) for name in relation.named}


def _sizes(reader: Reader, dims: tuple[int, int]) -> list[float]:
    """Return the sizes of the sheet's loads that have such a unit; a spread one's total too."""
    found = []
    for load in () if reader.figure.structure.letters else reader.figure.structure.loads:
        ends = reader.figure.intensities(load)
        for acts in load.resultants():
            if dims == (1, 1) and isinstance(acts, Couple):
                found.append(abs(acts.moment.number({})))
            elif dims == (1, 0) and not isinstance(acts, Couple):
                found.append(abs(acts.size.number({})))
        found += [abs(end) for end in ends or ()] if dims == (1, -1) else []
    return found


def letters_put_in(written: Sequence[Written], reader: Reader) -> Iterator[tuple[str, Found]]:
    """Yield the own letters that no line gives, by the numbers in their places: `q·h = 0.25·8`.

    Only those that the sheet gives: a length of the figure or a load.
    """
    relations = [p for one in written for p in one.line.parts if isinstance(p, Relation)]
    given = {key_of(s) for relation in relations for s in relation.sides if isinstance(s, Name)}
    found: dict[str, set[float]] = {}
    names: dict[str, Name] = {}
    for one, two in (pair for relation in relations for pair in pairwise(relation.sides)):
        places = _places(one, two) if not isinstance(one, Name) else None
        for name, value in places or ():
            found.setdefault(key_of(name), set()).add(value)
            names[key_of(name)] = name
    for key in sorted(found.keys() - given - reader.ledger.locals.keys()):
        (size, *others) = found[key]
        own = isinstance(reader.meaning(names[key]), Local)
        if own and not others and (reader.figure.is_length(size) or reader.figure.is_datum(size)):
            kind = "length" if reader.figure.is_length(size) else "plain"
            yield key, Found(Quantity(size), False, 0, None, kind)


def _places(one: Expr, two: Expr) -> list[tuple[Name, float]] | None:
    """Return the names of one side with the numbers in their places in another of that build."""
    if isinstance(one, Name) and isinstance(two, Num):
        return [(one, two.value)]
    if isinstance(one, Num) and isinstance(two, Num):
        return [] if one.value == two.value else None
    if isinstance(one, Func) and isinstance(two, Num | Func):
        return []  # F cos 60° = 2.4·0.5
    pairs: list[tuple[Expr, Expr]] = []
    match one, two:
        case Add(), Add() if [s for s, _ in one.terms] == [s for s, _ in two.terms]:
            pairs = [(a, b) for (_, a), (_, b) in zip(one.terms, two.terms, strict=True)]
        case Mul(), Mul() if len(one.factors) == len(two.factors):
            pairs = [*zip(one.factors, two.factors, strict=True)]
        case Div(), Div():
            pairs = [(one.top, two.top), (one.bottom, two.bottom)]
        case Pow(), Pow():
            pairs = [(one.base, two.base), (one.exponent, two.exponent)]
    found = [_places(*pair) for pair in pairs]
    told = [places for places in found if places is not None]
    whole = bool(found) and len(told) == len(found)
    return [place for places in told for place in places] if whole else None


def _is_open(name: Name, reader: Reader) -> bool:
    """Tell whether a letter may be a load's: the sheet lacks it, or has a pin at a joint P."""
    meaning = reader.meaning(name)
    pinned = len(reader.figure.reactions.get(name.text, ())) > 1 and not name.sub
    return isinstance(meaning, Local) or (pinned and isinstance(meaning, Unknown))


def _only_loads(reader: Reader) -> dict[str, float]:
    """Return the letters that people give to loads, with the size of the only load of that sort."""
    sheet = reader.figure.structure
    forces: dict[int, float] = {}
    couples: dict[int, float] = {}
    spread: dict[int, float] = {}
    for load in sheet.loads if not sheet.letters else ():
        ends = reader.figure.intensities(load)
        acts = load.resultants()[0] if not ends else None
        if isinstance(acts, Couple):
            couples[load.source] = abs(acts.moment.number({}))
        elif acts is not None:
            forces[load.source] = abs(acts.size.number({}))
        else:
            spread[load.source] = max(*ends, spread.get(load.source, 0.0))
    letters = _FORCES + ("" if spread else _RESULTANTS) + ("" if sheet.members else _PULLS)
    called = {letters: forces, _COUPLES: couples, _SPREAD: spread}
    only = {letters: sum(sizes.values()) for letters, sizes in called.items() if len(sizes) == 1}
    return {letter: size for letters, size in only.items() for letter in letters}
