"""The loads of a sheet taken one at a time: their groups, and how a heading names them."""

import re
from collections.abc import Sequence
from dataclasses import replace
from itertools import combinations

from verifier.checking.figure import Figure
from verifier.statics.solution import NoSolution
from verifier.statics.solving import solve
from verifier.structure.loads.distributed import Distributed
from verifier.structure.model import Force, Load
from verifier.structure.values import value

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
_FEW_LOADS = 4
_NEAR = 1e-6


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


def alike_named(text: str, figure: Figure) -> bool:
    """Tell whether a heading's numbers are sizes of some of the loads, several alike among them."""
    numbers = [float(n.replace(",", ".")) for n in _NUMBER.findall(text)]
    sizes = [_sizes(group, figure) for group in groups(figure)]
    said = [any(abs(n - s) <= _NEAR * s for n in numbers for s in of) for of in sizes]
    return any(said) and not all(said)


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
