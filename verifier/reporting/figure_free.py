"""A free body: the part cut free, with everything that acts on it from outside."""

import itertools
from collections.abc import Collection, Mapping

from verifier.reporting import figure_parts as parts
from verifier.reporting.figure_arms import arm
from verifier.reporting.figure_arrows import along, row, unit
from verifier.reporting.figure_dimensions import dimensions
from verifier.reporting.figure_frame import finished
from verifier.reporting.figure_loads import LONG, Drawn, angle_mark
from verifier.reporting.figure_placing import Placing
from verifier.reporting.figure_plan import Plan, body_line
from verifier.reporting.figure_scene import Disc, Mark, Point, Scene, Stroke, bounds
from verifier.reporting.figure_values import alike, shown, with_unit
from verifier.reporting.figure_words import describe_free
from verifier.reporting.numbers import figure
from verifier.reporting.words import spoken
from verifier.statics.actions import Action, FreeBody
from verifier.structure.model import Body, Structure

_STUB = 34.0
_TALL = 40.0


def free_body_scene(
    structure: Structure,
    free_body: FreeBody,
    names: Mapping[str, str],
    marked: Collection[str] = (),
    about: str | Point | None = None,
) -> Scene:
    """Return the drawing of a free body.

    `names` says how the working writes its unknowns. The actions of the items `marked` are
    underlaid, and where `about` (a joint or a point of the figure) is given, their lever arms
    about it are drawn.
    """
    whole = [body for body in structure.bodies if body.name in free_body.parts]
    piece = _piece(structure, free_body)
    shown = _shown(structure, free_body, whole)
    centre = structure.point(about) if isinstance(about, str) else about
    extra = [action.at for action in free_body.actions] + ([centre] if centre else [])
    plan = Plan(structure, shown, extra)
    marks: list[Mark] = parts.bodies(plan, whole)
    if piece:
        marks += _bar(plan, piece)
    inside = [m for m in structure.members if {m.start, m.end} <= free_body.parts]
    marks += parts.members(plan, inside)
    particle = len(free_body.parts) == 1 and len(shown) == 1
    drawn = Drawn(plan, 76.0 if particle else LONG)
    _spreads(drawn, free_body, names)
    arrows = [_act(drawn, action, free_body, names) for action in free_body.actions]
    if particle and not plan.letters:
        for tail, way in filter(None, arrows):
            angle_mark(drawn, tail, way)
    heavy: list[Mark] = []
    for action, drawn_as in zip(free_body.actions, arrows, strict=True):
        if action.item in marked and drawn_as:
            tail, way = drawn_as
            heavy.append(Stroke((tail, along(tail, way, drawn.long)), "marked"))
            if centre:
                arm(drawn, action, centre)
    rings = _rings(plan, shown, free_body)
    placing = Placing()
    placing.occupy([*marks, *drawn.marks, *rings])
    labels = drawn.labels(placing)
    told = [*shown, *([about] if isinstance(about, str) and about not in shown else [])]
    labels += [
        placing.label(plan.at[name], name, "name", plan.open_way(plan.at[name])) for name in told
    ]
    marks = [*heavy, *marks, *drawn.marks, *rings, *labels]
    if len(shown) > 1:
        marks += dimensions(plan, shown, bounds(marks))
    title = spoken()("page.free_body", body=spoken().phrase(free_body.name))
    called = [_named(structure, action, names)[0] for action in free_body.actions]
    return finished(marks, title, describe_free(free_body, called), [])


def _shown(structure: Structure, free_body: FreeBody, whole: list[Body]) -> list[str]:
    """Return the joints that lie on what is drawn, in the sheet's order."""
    on = {name for body in whole for name in body.points}
    on |= {name for name in structure.joints if name in free_body.parts}
    on |= {action.joint for action in free_body.actions if action.joint in structure.joints}
    faces = {action.at for action in free_body.actions if action.kind == "cut"}
    if faces:
        on |= {name for name in structure.joints if structure.point(name) in faces}
    return [name for name in structure.joints if name in on]


def _piece(structure: Structure, free_body: FreeBody) -> list[Point]:
    """Return the outline of a body's piece, from its far end to the cut, if it is one."""
    faces = [action for action in free_body.actions if action.kind == "cut"]
    if not faces:
        return []
    for body in structure.bodies:
        line = body_line(structure, body)
        kept = [name for name in line if name in free_body.parts]
        if kept and len(kept) == len(free_body.parts & set(structure.joints)):
            points = [structure.point(name) for name in kept]
            first = line[0] in free_body.parts
            return [*points, faces[0].at] if first else [faces[0].at, *points]
    return []


def _bar(plan: Plan, points: list[Point]) -> list[Mark]:
    places = tuple(plan.page(point) for point in points)
    for start, end in itertools.pairwise(places):
        plan.take_line(start, end)
    return parts.bars([places])


def _rings(plan: Plan, shown: list[str], free_body: FreeBody) -> list[Mark]:
    """Return a ring at joints that are free bodies or pins, a dot elsewhere."""
    pins = {action.joint for action in free_body.actions if action.kind in ("pin", "member")}
    marks: list[Mark] = []
    for name in shown:
        ring = name in free_body.parts or name in pins
        marks.append(Disc(plan.at[name], 3.6 if ring else 1.7, "hinge" if ring else "point"))
    return marks


def _act(
    drawn: Drawn, action: Action, free_body: FreeBody, names: Mapping[str, str]
) -> tuple[Point, Point] | None:
    """Draw an action; return the tail and direction of a straight arrow."""
    plan = drawn.plan
    at = plan.page(action.at)
    text, sign = _named(plan.structure, action, names)
    style = "reaction" if action.value is None else "load"
    if action.spread is not None:
        return None
    if action.turn:
        drawn.turn(at, action.turn * sign > 0, text, style)
        return None
    way = (action.along[0] * sign, -action.along[1] * sign)
    if action.kind == "member" and len(free_body.parts) > 1:
        out = (action.along[0], -action.along[1])
        end = along(at, out, _STUB)
        drawn.marks.append(Stroke((along(at, out, 4.0), end), "member"))
        plan.take_line(at, end)
        at = end
    pull = action.kind in ("member", "cut") and sign > 0
    tail, tip = drawn.push(at, way, text, style, pull=pull)
    return tail, unit(tail, tip)


def _spreads(drawn: Drawn, free_body: FreeBody, names: Mapping[str, str]) -> None:
    """Draw the distributed loads, below all else; those on one line stand on one another."""
    spread = [action for action in free_body.actions if action.spread is not None]
    lines = [_ends(action) for action in spread]
    for number, action in enumerate(spread):
        below = sum(_overlap(lines[number], line) for line in lines[:number])
        above = sum(_overlap(lines[number], line) for line in lines[number + 1 :])
        text = _named(drawn.plan.structure, action, names)[0]
        _spread(drawn, action, text, below * _TALL, (below + above) * _TALL)


def _ends(action: Action) -> tuple[Point, Point]:
    assert action.spread is not None
    x1, y1, _, x2, y2, _ = action.spread
    return (x1, y1), (x2, y2)


def _overlap(one: tuple[Point, Point], other: tuple[Point, Point]) -> bool:
    """Say whether two stretches lie on one line and share more than a point."""
    (ax, ay), (bx, by) = other
    along_x, along_y = bx - ax, by - ay
    square = along_x**2 + along_y**2 or 1.0
    shares = []
    for x, y in one:
        if abs((x - ax) * along_y - (y - ay) * along_x) > 1e-6 * square:
            return False
        shares.append(((x - ax) * along_x + (y - ay) * along_y) / square)
    return max(shares) > 1e-6 and min(shares) < 1 - 1e-6


def _spread(drawn: Drawn, action: Action, text: str, lift: float, top: float) -> None:
    """Draw a distributed load `lift` off its line; its name wants a place beyond `top`."""
    plan = drawn.plan
    assert action.spread is not None
    w1, w2 = action.spread[2], action.spread[5]
    most = max(abs(w1), abs(w2)) or 1.0
    way = (action.along[0], -action.along[1])
    back = (-way[0], -way[1])
    ends = [plan.page(end) for end in _ends(action)]
    first, last = (along(end, back, lift) for end in ends)
    drawn.marks += row(first, last, (_TALL * w1 / most, _TALL * w2 / most), way, 5.5)
    for end in ends:
        plan.take(end, back)
    middle = ((ends[0][0] + ends[1][0]) / 2, (ends[0][1] + ends[1][1]) / 2)
    middle = along(middle, back, top + _TALL * 0.75)
    drawn.wanted.append((middle, text, "load name", (back,)))


def _named(structure: Structure, action: Action, names: Mapping[str, str]) -> tuple[str, int]:
    """Return what an action is called, and −1 where it is drawn against its positive sense."""
    if action.value is None:
        text = names.get(action.item) or usual_name(action.item)
        if text[:1] in "-−":
            return text[1:].strip(), -1
        return text, 1
    sign = -1 if action.value < 0 else 1
    if action.spread is not None:
        return _intensities(structure, action), 1
    unit_name = structure.force_unit
    if action.turn:
        unit_name += f" {structure.length_unit}"
    for load in structure.loads:
        size = getattr(load, "size", None) or getattr(load, "moment", None)
        if load.label in (action.item, action.label) and size is not None and size.letters:
            return with_unit(size, unit_name).removeprefix("−"), sign
    return f"{figure(abs(action.value))} {unit_name}", sign


def _intensities(structure: Structure, action: Action) -> str:
    for load in structure.loads:
        first, last = getattr(load, "first", None), getattr(load, "last", None)
        if load.label in (action.item, action.label) and first is not None and last is not None:
            if not (first.letters or last.letters):
                break
            if alike(first, last, structure.letters):
                return shown(first)
            return f"{shown(first)}{spoken().text(' to ')}{shown(last)}"
    assert action.spread is not None
    w1, w2 = action.spread[2], action.spread[5]
    unit_name = f"{structure.force_unit}/{structure.length_unit}"
    if abs(w1 - w2) < 1e-9 * max(abs(w1), abs(w2)):
        return f"{figure(w1)} {unit_name}"
    return f"{figure(w1)}{spoken().text(' to ')}{figure(w2)} {unit_name}"


def usual_name(item: str) -> str:
    """Return how a textbook writes an item.

    >>> usual_name("reaction A x"), usual_name("P-R"), usual_name("moment at K")
    ('A_x', 'F_PR', 'M_K')
    """
    match item.split():
        case ["reaction", joint, "moment"]:
            return f"M_{joint}"
        case ["reaction", joint, axis]:
            return f"{joint}_{axis}"
        case ["reaction", joint]:
            return f"R_{joint}"
        case ["pin", joint, axis, "on", *_]:
            return f"{joint}_{axis}"
        case ["axial" | "shear" | "moment" as what, "at", joint]:
            return f"{ {'axial': 'N', 'shear': 'V', 'moment': 'M'}[what] }_{joint}"
    start, _, end = item.partition("-")
    return f"F_{start}{end}" if len(start) == len(end) == 1 else f"F_{item}"
