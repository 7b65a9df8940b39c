"""Lever arms: the perpendicular from a moment point to a force's line of action."""

import math

from verifier.reporting.figure_arrows import along, arrow
from verifier.reporting.figure_loads import Drawn
from verifier.reporting.figure_scene import Disc, Stroke
from verifier.reporting.numbers import figure
from verifier.statics.actions import Action

Point = tuple[float, float]


def arm(drawn: Drawn, action: Action, about: Point) -> None:
    """Draw a force's arm about a point of the figure, with the line of action as far as its foot.

    A force through the point has no arm, nor has a couple: then only the point is marked.
    """
    plan = drawn.plan
    centre = plan.page(about)
    drawn.marks.append(Disc(centre, 5.0, "arm"))
    across, up = action.along
    reach = (about[0] - action.at[0]) * across + (about[1] - action.at[1]) * up
    foot = (action.at[0] + reach * across, action.at[1] + reach * up)
    length = math.dist(about, foot)
    end = plan.page(foot)
    if not (across or up) or math.dist(centre, end) < 6:
        return
    way = (across, -up)
    sense = 1.0 if reach >= 0 else -1.0
    line = (plan.page(action.at), along(end, way, 12.0 * sense))
    drawn.marks.append(Stroke(line, "reference"))
    along_part = any(
        abs(w[0] * way[0] + w[1] * way[1]) < 0.1 and (w[0] * to[0] + w[1] * to[1]) > 0
        for to in [(end[0] - centre[0], end[1] - centre[1])]
        for w in plan.ways(centre)
    )
    if along_part:
        centre, end = _aside(drawn, centre, way), _aside(drawn, end, way)
    middle = ((centre[0] + end[0]) / 2, (centre[1] + end[1]) / 2)
    drawn.marks += [*arrow(middle, centre, "arm", 7), *arrow(middle, end, "arm", 7)]
    if not plan.letters:
        text = f"{figure(length)} {plan.structure.length_unit}"
        drawn.wanted.append((middle, text, "arm name", ()))


def _aside(drawn: Drawn, place: Point, way: Point) -> Point:
    """Move an end of the arm off the part that it runs along, and show where it belongs."""
    moved = along(place, way, 22.0)
    drawn.marks.append(Stroke((place, along(moved, way, 4.0)), "arm"))
    return moved
