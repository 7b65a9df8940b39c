"""What the writer takes back: 'wrong, should be …', and the line that is written anew."""

from collections.abc import Sequence

from verifier.checking.names import key_of
from verifier.checking.written import Written
from verifier.notation.tree import Func, Mark, Name, Prose, Relation, walk


def withdrawn_parts(written: Sequence[Written]) -> frozenset[int]:
    """Return the identities of the relations that the writer takes back.

    A result said anew takes back the one above it; a sum written anew, in the line that takes one
    back or in those below it, takes back the last sum of the same forces with what it gave.
    """
    found: set[int] = set()
    before: list[Relation] = []
    above: list[Relation] = []
    anew = 0  # how many lines may still write the sum anew that is taken back
    for one in written:
        relations = [part for part in one.line.parts if isinstance(part, Relation)]
        first = next((p for p in one.line.parts if not isinstance(p, Prose)), None)
        taken_back = isinstance(first, Mark) and first.meaning == "wrong"
        anew = _LINES_ANEW if taken_back else anew - 1
        if taken_back:
            found |= {id(r) for one in relations for r in _said_above(one, above)}
        if anew > 0 and relations:
            found |= _said_with(before, next(filter(_is_sum, relations), None))
        last = before[-1] if before else None
        for part in one.line.parts:
            if isinstance(part, Relation):
                if any(m.meaning == "wrong" for marks in part.marks for m in marks):
                    found.add(id(part))
                last = part
            elif isinstance(part, Mark) and part.meaning == "wrong" and last is not None:
                found.add(id(last))
        before += relations
        above = relations or above
    return frozenset(found)


_LINES_ANEW = 3


def _said_above(anew: Relation, above: list[Relation]) -> list[Relation]:
    """Return what gave a name its value that is given anew: only values where that is one."""
    name = _result_of(anew)
    same = [r for r in above if name and _result_of(r) == name]
    values = [r for r in same if len(_names(r)) == 1]
    return values if values and len(_names(anew)) == 1 else same


def _said_with(before: list[Relation], sum_: Relation | None) -> set[int]:
    """Return the last sum of the same forces as one written anew, and what was found with it."""
    forces = _names(sum_) if sum_ is not None else frozenset()
    same = [i for i, one in enumerate(before) if forces and _is_sum(one) and _names(one) == forces]
    if not same:
        return set()
    found, spoilt = {id(before[same[-1]])}, set(forces)
    for one in before[same[-1] + 1 :]:
        if spoilt & _names(one) and _result_of(one):
            found.add(id(one))
            spoilt.add(_result_of(one))
    return found


def _is_sum(relation: Relation) -> bool:
    """Tell whether a relation is no result alone: `−4 V_A + 20 = 0`, and not `V_A = 5`."""
    return not _result_of(relation) and bool(_names(relation))


def _names(relation: Relation) -> frozenset[str]:
    """Return the names of a relation, those of angles left out."""
    turned = {node for f in relation.nodes if isinstance(f, Func) for node in walk(f.arg)}
    return frozenset(key_of(name) for name in relation.named if name not in turned)


def _result_of(relation: Relation) -> str:
    """Return the key of the name that a relation gives a value, '' for other relations."""
    first = relation.sides[0]
    return key_of(first) if isinstance(first, Name) else ""
