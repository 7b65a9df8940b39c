"""Finds workings that take one load at a time: which lines are under which loads."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from verifier.checking.context import Surroundings
from verifier.checking.figure import Figure
from verifier.checking.loadgroups import LOAD, UNDER_ONE_LOAD, groups, said_loads
from verifier.checking.names import Dictionary, Unknown, key_of
from verifier.checking.stems import MOST_LOADS, Stems, bracketed, without_index
from verifier.checking.written import Written
from verifier.notation.tree import (
    Heading,
    Name,
    Part,
    Prose,
    Relation,
    Statement,
    Unread,
    walk,
)


@dataclass(frozen=True)
class Case:
    """The figure under some of its loads; `index` is what the names of its lines carry."""

    index: str
    figure: Figure
    names: Dictionary
    around: Surroundings


@dataclass(frozen=True)
class Plan:
    """A working under one load after the other, its names without their indices.

    `owner` says to which case a line belongs, `keys` what the writer's names with an index are,
    `headings` what stands over a case; `own` are names that say nothing of the figure.
    """

    written: tuple[Written, ...]
    owner: dict[int, str]
    keys: dict[tuple[str, str], str]
    headings: dict[str, str]
    own: tuple[str, ...] = ()


def _heads(written: Sequence[Written]) -> frozenset[str]:
    firsts = (
        part.sides[0] for one in written for part in one.line.parts if isinstance(part, Relation)
    )
    return frozenset(key_of(first) for first in firsts if isinstance(first, Name))


def plan_of(written: Sequence[Written], figure: Figure, names: Dictionary) -> Plan | None:
    """Return how a working is split by loads, None where it is not."""
    count = len(groups(figure))
    if not 2 <= count <= MOST_LOADS:
        return None
    return _by_names(bracketed(written), figure, names, count) or _by_headings(
        written, figure, names
    )


def _by_names(
    written: Sequence[Written], figure: Figure, names: Dictionary, count: int
) -> Plan | None:
    stems = Stems(names, _heads(written))
    found = {one.line.number: _indices(one, stems) for one in written}
    parts = {(v, i) for of in found.values() for v, i in of}
    indices = sorted({i for _, i in parts})
    often = {v for v in {v for v, _ in parts} if len({i for w, i in parts if w == v}) > 1}
    if not often or len(indices) > count:
        return None
    if not any(_adds_up(one, names, often) for one in written):
        return None
    own = tuple(sorted(v[1:] for v in often if v.startswith("?")))
    plan = replace(_split(written, found, stems), own=own)
    # R₁, R₂ and R say nothing by themselves: they may be any two forces and their sum.
    told = [h for h in plan.headings.values() if UNDER_ONE_LOAD.search(h) or said_loads(h, figure)]
    return None if own and len(told) < 2 else plan


def _by_headings(written: Sequence[Written], figure: Figure, names: Dictionary) -> Plan | None:
    """Return the plan of a working whose headings name a load each, its names being the same."""
    owner: dict[int, str] = {}
    headings: dict[str, str] = {}
    chosen: set[tuple[int, ...]] = set()
    stated: dict[str, set[str]] = {}
    lines, current = list[Written](), ""
    heads = {one.line.number: head for one in written if (head := _head_of_case(one))}
    said = _loads_of(heads, figure)
    for one in written:
        text, head = one.line.text, heads.get(one.line.number, "")
        loads = said.get(one.line.number, ())
        if loads:
            if loads in chosen:
                return None
            chosen.add(loads)
            current = str(len(chosen))
            headings[current] = head
            if head == text:
                lines.append(_as_words(one))
                continue
        firsts = {_force_of(name, names) for name in _firsts(one)}
        earlier = {key for index, keys in stated.items() if index != current for key in keys}
        if current and firsts & stated.get(current, set()) & earlier:
            current = ""
        if current:
            owner[one.line.number] = current
            stated.setdefault(current, set()).update(firsts)
        lines.append(one)
    whole = len(stated) > 1 and set.intersection(*stated.values())
    return Plan(tuple(lines), owner, {}, headings) if whole and not current else None


def _head_of_case(one: Written) -> str:
    """Return what stands before a line's equations where it says that one load acts, else ''."""
    starts = (part.span[0] for part in one.line.parts if isinstance(part, Relation))
    head = one.line.text[: min(starts, default=None)]
    return head if UNDER_ONE_LOAD.search(head) and "=" not in head else ""


def _loads_of(heads: dict[int, str], figure: Figure) -> dict[int, tuple[int, ...]]:
    """Return the loads that heads name; the one that names none surely has what is left."""
    said = {number: said_loads(head, figure) for number, head in heads.items()}
    unsaid = [number for number, loads in said.items() if not loads and LOAD.search(heads[number])]
    left = [group for group in groups(figure) if group not in said.values()]
    if len(unsaid) == len(left) == 1 < len(said):
        said[unsaid[0]] = left[0]
    return said


def _force_of(name: Name, names: Dictionary) -> str:
    """Return the force that a name is likeliest to be, else its key: A and A_y may be one."""
    meaning = names.meanings(name)[0]
    return meaning.variable if isinstance(meaning, Unknown) else key_of(name)


def _firsts(one: Written) -> Iterator[Name]:
    """Yield the names to which a line gives a value."""
    for part in one.line.parts:
        if isinstance(part, Relation) and len(part.sides) > 1 and isinstance(part.sides[0], Name):
            yield part.sides[0]


def _indices(one: Written, stems: Stems) -> list[tuple[str, str]]:
    cuts = [stems.cut(name) for name in _names_of(one)]
    return [(cut[1], cut[2]) for cut in cuts if cut is not None]


def _names_of(one: Written) -> Iterator[Name]:
    for part in one.line.parts:
        if isinstance(part, Relation):
            for side in part.sides:
                yield from (node for node in walk(side) if isinstance(node, Name))
        elif isinstance(part, Statement):
            yield from part.names


def _adds_up(one: Written, names: Dictionary, often: set[str]) -> bool:
    """Tell whether a line gives a whole result of which there are parts."""
    for part in one.line.parts:
        first = part.sides[0] if isinstance(part, Relation) else None
        if isinstance(first, Name):
            meaning = names.meanings(first)[0]
            whole = meaning.variable if isinstance(meaning, Unknown) else f"?{key_of(first)}"
            if whole in often:
                return True
    return False


def _split(
    written: Sequence[Written], found: dict[int, list[tuple[str, str]]], stems: Stems
) -> Plan:
    owner: dict[int, str] = {}
    keys: dict[tuple[str, str], str] = {}
    headings: dict[str, str] = {}
    lines: list[Written] = []
    current, said, waiting = "", "", list[int]()
    for one in written:
        number, indices = one.line.number, {i for _, i in found[one.line.number]}
        relations = any(isinstance(part, Relation) for part in one.line.parts)
        if len(indices) == 1:
            current = indices.pop()
            owner[number] = current
            if said:
                headings.setdefault(current, said)
            for at in waiting:
                owner[lines[at].line.number] = current
                lines[at] = _as_words(lines[at])
            said, waiting = "", []
            lines.append(without_index(one, stems, keys))
            continue
        if not relations or UNDER_ONE_LOAD.search(one.line.text):
            said, waiting = one.line.text, [*waiting, len(lines)]
        elif not indices and current and _goes_on(one):
            owner[number] = current
        else:
            current, said, waiting = "", "", []
        lines.append(one)
    return Plan(tuple(lines), owner, keys, headings)


def _goes_on(one: Written) -> bool:
    """Tell whether a line begins with '=': it goes on with the line above."""
    first = next((p for p in one.line.parts if isinstance(p, Relation)), None)
    return first is not None and first.continues


def _as_words(one: Written) -> Written:
    """Return a heading 'only the 5 kN load:' with what could not be read in it as words."""
    parts: tuple[Part, ...] = tuple(
        Prose(part.span) if isinstance(part, Unread) else part for part in one.line.parts
    )
    if any(isinstance(part, Heading) for part in parts):
        return one
    if UNDER_ONE_LOAD.search(one.line.text):
        parts = tuple(Prose(part.span) for part in parts)
    return replace(one, line=replace(one.line, parts=parts))
