"""Dimension lines below and beside a figure, and its named angles."""

import itertools
import math
from collections.abc import Sequence

from verifier.reporting.figure_arrows import arc, arrow
from verifier.reporting.figure_plan import Plan
from verifier.reporting.figure_scene import Box, Label, Mark, Point, Stroke, text_width
from verifier.reporting.figure_values import degrees, difference
from verifier.structure.values import Value

_MOST = 12
_SIZE = 12.0


def dimensions(plan: Plan, joints: Sequence[str], around: Box) -> list[Mark]:
    """Return a row of dimensions below the box `around` and a column to its right."""
    return [*_row(plan, joints, around[3] + 26), *_column(plan, joints, around[2] + 26)]


def _row(plan: Plan, joints: Sequence[str], y: float) -> list[Mark]:
    marks: list[Mark] = []
    low = y
    for start, end, text in _gaps(plan, joints, 0):
        marks += _line((start, y), (end, y))
        fits = text_width(text, _SIZE) < abs(end - start) - 6
        if fits:
            marks.append(Label(((start + end) / 2, y - 4), text, "dimension name"))
            continue
        low = y + 15 if low != y + 15 else y + 29
        marks.append(Label(((start + end) / 2, low), text, "dimension name"))
    return marks


def _column(plan: Plan, joints: Sequence[str], x: float) -> list[Mark]:
    marks: list[Mark] = []
    gaps = _gaps(plan, joints, 1)
    wide = max((text_width(text, _SIZE) for _, _, text in gaps), default=0.0) + 8
    last: dict[int, float] = {}
    for start, end, text in gaps:
        marks += _line((x, start), (x, end))
        y = (start + end) / 2 + 4
        aside = next((n for n in range(4) if abs(last.get(n, math.inf) - y) > _SIZE + 1), 0)
        last[aside] = y
        marks.append(Label((x + 6 + aside * wide, y), text, "dimension name", "start"))
    return marks


def _gaps(plan: Plan, joints: Sequence[str], axis: int) -> list[tuple[float, float, str]]:
    """Return page start, page end and text of each dimension along an axis."""
    places: dict[float, Value] = {}
    for name in joints:
        joint = plan.structure.joints[name]
        places.setdefault(round(plan.at[name][axis], 1), (joint.x, joint.y)[axis])
    order = sorted(places, reverse=axis == 1)
    unit = plan.structure.length_unit
    found = [
        (one, two, difference(places[two], places[one], plan.letters, unit))
        for one, two in itertools.pairwise(order)
    ]
    if len(found) <= _MOST and not _alike(found):
        return found
    if not found:
        return []
    whole = difference(places[order[-1]], places[order[0]], plan.letters, unit)
    text = f"{len(found)} × {found[0][2]} = {whole}" if _alike(found) else whole
    return [(order[0], order[-1], text)]


def _alike(gaps: Sequence[tuple[float, float, str]]) -> bool:
    return len(gaps) > 4 and len({text for _, _, text in gaps}) == 1


def _line(start: Point, end: Point) -> list[Mark]:
    """Return a line with heads and ticks at both ends; heads from outside where it is short."""
    across = abs(end[0] - start[0]) > abs(end[1] - start[1])
    tick = (0.0, 5.0) if across else (5.0, 0.0)
    marks: list[Mark] = [
        Stroke(((p[0] - tick[0], p[1] - tick[1]), (p[0] + tick[0], p[1] + tick[1])), "dimension")
        for p in (start, end)
    ]
    if math.dist(start, end) < 14:
        return [*marks, Stroke((start, end), "dimension")]
    middle = ((start[0] + end[0]) / 2, (start[1] + end[1]) / 2)
    return [*marks, *arrow(middle, start, "dimension", 7), *arrow(middle, end, "dimension", 7)]


def named_angles(plan: Plan) -> tuple[list[Mark], list[tuple[Point, str, Point]]]:
    """Return arcs of the angles that lie between two lines, and where their names want to be.

    The third of each name's parts is the page direction from the corner into the angle.
    """
    marks: list[Mark] = []
    wanted = []
    for count, named in enumerate(plan.structure.angles.values()):
        lines = _from_corner(named.between)
        if lines is None:
            continue
        corner, one, two = lines
        first, last = (_turned(plan, corner, other) for other in (one, two))
        last = first + (last - first + 180) % 360 - 180
        radius = 26.0 + 7.0 * (count % 3)
        at = plan.at[corner]
        marks.append(arc(at, first, last, radius))
        middle = math.radians((first + last) / 2)
        way = (math.cos(middle), -math.sin(middle))
        reach = radius - 4
        wanted.append(((at[0] + way[0] * reach, at[1] + way[1] * reach), named.name, way))
    return marks, wanted


def _from_corner(between: Sequence[str]) -> tuple[str, str, str] | None:
    if len(between) != 4:
        return None
    first, last = between[:2], between[2:]
    shared = set(first) & set(last)
    if len(shared) != 1:
        return None
    corner = shared.pop()
    others = [next(name for name in pair if name != corner) for pair in (first, last)]
    return corner, others[0], others[1]


def _turned(plan: Plan, corner: str, other: str) -> float:
    here, there = plan.structure.joints[corner], plan.structure.joints[other]
    return degrees((there.x - here.x, there.y - here.y), plan.letters)
