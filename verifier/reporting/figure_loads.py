"""Loads as given: arrows, turning arrows and rows of arrows, with what they are called."""

import math
from collections.abc import Sequence
from typing import Any

from verifier.reporting.figure_arrows import along, arc, arrow, row, turning
from verifier.reporting.figure_placing import Placing
from verifier.reporting.figure_plan import Plan
from verifier.reporting.figure_scene import Mark, Point, Stroke
from verifier.reporting.figure_values import alike, shown, slope, with_unit
from verifier.reporting.numbers import figure
from verifier.reporting.words import spoken
from verifier.structure.model import Couple, Force, Load
from verifier.structure.values import Value

LONG = 50.0
_TALL = 40.0
Wanted = tuple[Point, str, str, tuple[Point, ...]]
"""A label still to be placed: where, text, style, preferred page directions."""


class Drawn:
    """Marks drawn so far and labels still wanted, so that labels find room among all marks."""

    def __init__(self, plan: Plan, long: float = LONG) -> None:
        self.plan = plan
        self.long = long
        self.marks: list[Mark] = []
        self.wanted: list[Wanted] = []

    def push(
        self, at: Point, way: Point, text: str, style: str = "load", *, pull: bool = False
    ) -> tuple[Point, Point]:
        """Draw an arrow that acts at a page place along a page direction; return its ends.

        It comes from behind, with its tip at the place, or leaves the place where the way there
        is clearer or `pull` asks for it.
        """
        back = (-way[0], -way[1])
        leaves = pull and self.plan.is_free(at, way)
        if not self.plan.is_free(at, back):
            leaves = self.plan.clearance(at, way) > self.plan.clearance(at, back)
        outer = way if leaves else back
        gap = 6.0
        near, far = along(at, outer, gap), along(at, outer, gap + self.long)
        self.plan.take(at, outer)
        tail, tip = (near, far) if leaves else (far, near)
        self.marks += arrow(tail, tip, style)
        if text:
            self.wanted.append((far, text, f"{style} name", (outer,)))
        return tail, tip

    def turn(self, at: Point, anticlockwise: bool, text: str, style: str = "load") -> None:
        """Draw a turning arrow about a page place."""
        self.marks += turning(at, anticlockwise, style)
        if text:
            ways = (*self.plan.open_way(at), (0.7, -0.7))
            self.wanted.append((along(at, ways[0], 22.0), text, f"{style} name", ways))

    def labels(self, placing: Placing) -> list[Mark]:
        """Return the wanted labels, placed."""
        return [placing.label(at, text, style, ways) for at, text, style, ways in self.wanted]


def loads(plan: Plan, drawn: Drawn, names: dict[str, str]) -> None:
    """Draw every load of the structure; `names` maps a loaded joint to what the figure calls it."""
    structure = plan.structure
    spread = [load for load in structure.loads if hasattr(load, "first_at")]
    most = max((_most(load, plan) for load in spread), default=0.0) or 1.0
    lifts = _lifts(spread, plan)
    for load, lift in zip(spread, lifts, strict=True):
        _spread(plan, drawn, load, most, lift)
    _spread_labels(plan, drawn, spread, most, lifts)
    for load in structure.loads:
        if hasattr(load, "first_at"):
            continue
        for one in load.resultants():
            if isinstance(one, Force):
                _force(plan, drawn, load, one, names)
            else:
                _couple(plan, drawn, one)


def _force(plan: Plan, drawn: Drawn, load: Load, force: Force, names: dict[str, str]) -> None:
    across, up = (part.number(plan.letters) for part in force.direction)
    size, sign = _positive(force.size)
    text = with_unit(size, plan.structure.force_unit)
    mass: Value | None = getattr(load, "mass", None)
    if mass is not None:
        unit = "lb" if plan.structure.force_unit in ("lbf", "kip") else "kg"
        text = with_unit(mass, unit)
    named = names.get(force.on)
    text = f"{named} = {text}" if named and named != text else text
    tail, _ = drawn.push(plan.at[force.on], (across * sign, -up * sign), text)
    written = slope(force.direction, plan.letters)
    if written:
        angle_mark(drawn, tail, (across * sign, -up * sign), written)


def angle_mark(drawn: Drawn, tail: Point, way: Point, written: str = "") -> None:
    """Mark the angle of an arrow (page direction) to the horizontal, unless it is 0 or 90."""
    turned = math.degrees(math.atan2(-way[1], way[0]))
    acute = min(abs(turned), 180 - abs(turned))
    if acute < 0.01 or acute > 89.99:
        return
    level = 0.0 if abs(turned) < 90 else math.copysign(180.0, turned)
    side = 1.0 if level == 0 else -1.0
    if drawn.plan.is_free(tail, (side, 0.0)) or written:
        drawn.marks.append(Stroke((tail, along(tail, (side, 0.0), 36.0)), "reference"))
    drawn.marks.append(arc(tail, level, turned, 24.0))
    middle = math.radians((level + turned) / 2)
    inward = (math.cos(middle), -math.sin(middle))
    text = written or f"{figure(acute)}°"
    drawn.wanted.append((along(tail, inward, 22.0), text, "dimension name", (inward,)))


def _couple(plan: Plan, drawn: Drawn, couple: Couple) -> None:
    size, sign = _positive(couple.moment)
    unit = f"{plan.structure.force_unit} {plan.structure.length_unit}"
    drawn.turn(plan.at[couple.at], sign > 0, with_unit(size, unit))


def _lifts(spread: Sequence[Any], plan: Plan) -> list[float]:
    """Return how far each row of arrows stays off its line: rows on one line are stacked."""
    below: dict[tuple[str, int], dict[int, int]] = {}
    lifts = []
    for load in spread:
        sources = below.setdefault((load.on, _degrees(load, plan)), {})
        lifts.append(5.5 + (_TALL + 3) * sources.setdefault(load.source, len(sources)))
    return lifts


def _degrees(load: Any, plan: Plan) -> int:
    across, up = (part.number(plan.letters) for part in load.direction)
    return round(math.degrees(math.atan2(up, across)))


def _spread(plan: Plan, drawn: Drawn, load: Any, most: float, lift: float) -> None:
    first, last = plan.at[load.start], plan.at[load.end]
    across, up = (part.number(plan.letters) for part in load.direction)
    way = (across, -up)
    sizes = _heights(load, plan, most)
    drawn.marks += row(first, last, sizes, way, lift)
    side = (-across, up)
    for at in (first, last):
        plan.take(at, side)


def _spread_labels(
    plan: Plan, drawn: Drawn, spread: Sequence[Any], most: float, lifts: Sequence[float]
) -> None:
    unit = f"{plan.structure.force_unit}/{plan.structure.length_unit}"
    pieces: dict[int, list[tuple[Any, float]]] = {}
    for load, lift in zip(spread, lifts, strict=True):
        pieces.setdefault(load.source, []).append((load, lift))
    for some in pieces.values():
        (first, lift), (last, _) = some[0], some[-1]
        across, up = (part.number(plan.letters) for part in first.direction)
        out = (-across, up)
        plain = spoken().text(" on plan") if first.on_plan.number(plan.letters) != 1 else ""
        tops = (
            along(plan.at[first.start], out, lift + _heights(first, plan, most)[0]),
            along(plan.at[last.end], out, lift + _heights(last, plan, most)[1]),
        )
        if alike(first.first, last.last, plan.letters):
            middle = ((tops[0][0] + tops[1][0]) / 2, (tops[0][1] + tops[1][1]) / 2)
            text = f"{with_unit(first.first, unit)}{plain}"
            drawn.wanted.append((middle, text, "load name", (out,)))
            continue
        for top, amount in zip(tops, (first.first, last.last), strict=True):
            if shown(amount) != "0":
                text = f"{with_unit(amount, unit)}{plain}"
                drawn.wanted.append((top, text, "load name", (out,)))


def _heights(load: Any, plan: Plan, most: float) -> tuple[float, float]:
    first, last = (one.number(plan.letters) for one in (load.first, load.last))
    return (_TALL * first / most, _TALL * last / most)


def _most(load: Any, plan: Plan) -> float:
    return max(abs(float(one.number(plan.letters))) for one in (load.first, load.last))


def _positive(size: Value) -> tuple[Value, int]:
    if size.op == "neg" or (size.op == "num" and size.args[0] < 0):
        return -size, -1
    return size, 1
