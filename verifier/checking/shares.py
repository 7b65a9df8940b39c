"""Finds workings that take one load at a time: which lines are under which loads."""

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import partial
from itertools import combinations

from verifier.checking.context import Surroundings
from verifier.checking.figure import Figure
from verifier.checking.names import Dictionary, Local, Unknown, key_of
from verifier.checking.written import Written
from verifier.notation.tree import (
    Add,
    Div,
    Expr,
    Func,
    Heading,
    Mul,
    Name,
    Neg,
    Num,
    Part,
    Pow,
    Prose,
    Relation,
    Statement,
    Unread,
    walk,
)
from verifier.statics.solution import NoSolution
from verifier.statics.solving import solve
from verifier.structure.loads.distributed import Distributed
from verifier.structure.model import Force, Load
from verifier.structure.values import value

_MARKED = re.compile(r"(?P<stem>[^\W\d]\w*?)[,_]?(?P<index>\d|'{1,4})")
_INNER = re.compile(r"(?P<head>[^\W\d])(?P<index>'{1,4})(?P<tail>\w+)")
UNDER_ONE_LOAD = re.compile(
    r"\b(?:only|alone|by itself|load ?case|due to|effect of|nur|allein\w*|lastfall|infolge"
    r"|seule?s?|uniquement|cas de charge|sous|s[oó]l[oa]s?|solamente|caso de carga|hip[oó]tesis"
    r"|soltanto|caso di carico|condizione di carico|tylko|sam[aoy]?|wyłącznie|przypadek|od)\b",
    re.IGNORECASE,
)
SORTS = {
    "spread": re.compile(
        r"\b(?:UDL|udl|u\.d\.l\.|distributed|uniform|Streckenlast|Gleichlast|charge répartie"
        r"|carga (?:repartida|distribuida)|carico distribuito|obciążenie (?:ciągłe|rozłożone))\b"
    ),
    "couple": re.compile(
        r"\b(?:[Cc]ouple|(?:applied |external )?[Mm]oment(?: load)?|Einzelmoment|Moment|[Mm]omento"
        r"|[Cc]oppia|[Pp]ar)\b"
    ),
    "point": re.compile(
        r"\b(?:[Pp]oint load|[Cc]oncentrated|Einzellast|Einzelkraft"
        r"|charge (?:concentrée|ponctuelle)"
        r"|carga puntual|carico concentrato|siła skupiona)\b"
    ),
}
LOAD = re.compile(
    r"\b\w*(?:[Ll]oad|[Ff]orce|[Ww]eight|[Ll]ast|[Kk]raft|[Cc]harge|[Cc]arg[ao]|[Ff]uerza|[Cc]arico"
    r"|[Ff]orza|[Ss]ił[ay]|[Oo]bciążeni[ea])\b"
)
_NUMBER = re.compile(r"(?<![\w.,])\d+(?:[.,]\d+)?")
_MOST_LOADS = 6
_FEW_LOADS = 4
_NEAR = 1e-6


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


def _heads(written: Sequence[Written]) -> frozenset[str]:
    firsts = (
        part.sides[0] for one in written for part in one.line.parts if isinstance(part, Relation)
    )
    return frozenset(key_of(first) for first in firsts if isinstance(first, Name))


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


def plan_of(written: Sequence[Written], figure: Figure, names: Dictionary) -> Plan | None:
    """Return how a working is split by loads, None where it is not."""
    count = len(groups(figure))
    if not 2 <= count <= _MOST_LOADS:
        return None
    return _by_names(_bracketed(written), figure, names, count) or _by_headings(
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


def _bracketed(written: Sequence[Written]) -> Sequence[Written]:
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
            fits = number.value in range(1, _MOST_LOADS + 1) and number.unit is None
            if fits and between.strip() in ("(", "^", "^(", "^{("):
                return name, int(number.value)
    return None


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
            lines.append(_without_index(one, stems, keys))
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


def _without_index(one: Written, stems: Stems, keys: dict[tuple[str, str], str]) -> Written:
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


def groups(figure: Figure) -> list[tuple[int, ...]]:
    """Return the loads of the sheet by its lines: what one line gives belongs together."""
    found: dict[int, list[int]] = {}
    for at, load in enumerate(figure.structure.loads):
        found.setdefault(load.source, []).append(at)
    return [tuple(places) for places in found.values()]


def under(figure: Figure, chosen: Sequence[int]) -> Figure | None:
    """Return the figure under some of its loads, None where statics does not solve it."""
    sheet = figure.structure
    part = replace(sheet, loads=tuple(sheet.loads[at] for at in chosen))
    solved = solve(part)
    return None if isinstance(solved, NoSolution) else Figure(part, solved.values)


def parted(figure: Figure) -> Figure | None:
    """Return the figure with each trapezoid load as its rectangle and its triangle, if any is."""
    sheet = figure.structure
    loads: list[Load] = []
    for load in sheet.loads:
        loads += _rectangle_and_triangle(load, figure)
    if len(loads) == len(sheet.loads):
        return None
    return Figure(replace(sheet, loads=tuple(loads)), figure.true)


def _rectangle_and_triangle(load: Load, figure: Figure) -> list[Load]:
    ends = figure.intensities(load)
    if not isinstance(load, Distributed) or not load.alike or len(set(ends)) < 2 or 0.0 in ends:
        return [load]
    even, nil = (load.first, load.last)[ends.index(min(ends))], value(0)
    rest = (nil, load.last - even) if ends[0] < ends[1] else (load.first - even, nil)
    rectangle = replace(load, first=even, last=even)
    return [rectangle, replace(load, first=rest[0], last=rest[1], source=-load.source)]


def said_loads(text: str, figure: Figure) -> tuple[int, ...]:
    """Return the loads that a heading names by their sizes; empty where it names none surely."""
    numbers = [float(n.replace(",", ".")) for n in _NUMBER.findall(text)]
    parts = groups(figure)
    found = [
        group
        for group in parts
        if any(abs(n - size) <= _NEAR * size for n in numbers for size in _sizes(group, figure))
    ]
    found = found or [group for group in parts if _in_words(text, group, parts, figure)]
    sure = 0 < len(found) < len(parts) and len(found) <= max(1, len(numbers))
    return tuple(at for group in found for at in group) if sure else ()


def _in_words(
    text: str, group: Sequence[int], parts: Sequence[Sequence[int]], figure: Figure
) -> bool:
    """Tell whether a heading says a load by its sort, the only one such: 'UDL alone', 'couple'."""
    for sort, words in SORTS.items():
        alike = [one for one in parts if _sort(one, figure) == sort]
        if words.search(text) and len(alike) == 1 and tuple(alike[0]) == tuple(group):
            return True
    return False


def _sort(group: Sequence[int], figure: Figure) -> str:
    load = figure.structure.loads[group[0]]
    if figure.intensities(load):
        return "spread"
    return "point" if any(isinstance(part, Force) for part in load.resultants()) else "couple"


def _sizes(group: Sequence[int], figure: Figure) -> list[float]:
    letters = figure.structure.letters
    sizes = []
    for load in (figure.structure.loads[at] for at in group):
        sizes += figure.intensities(load)
        for part in load.resultants():
            size = part.size if isinstance(part, Force) else part.moment
            sizes.append(abs(size.number(letters)))
    return [size for size in sizes if size]


def choices(figure: Figure) -> list[tuple[int, ...]]:
    """Return the groups of loads that a case may be: single ones, and few of few."""
    parts = groups(figure)
    most = len(parts) if len(parts) <= _FEW_LOADS else 2
    return [
        tuple(at for group in chosen for at in group)
        for size in range(1, most)
        for chosen in combinations(parts, size)
    ]
