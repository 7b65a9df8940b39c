"""The figure: structure, supports, loads, dimensions and names, or a free body of it.

Everything comes in as plain data (`Structure`, `FreeBody`); what a user wrote is only ever text.
"""

from collections.abc import Collection, Mapping

from verifier.reporting import figure_parts as parts
from verifier.reporting.figure_dimensions import dimensions, named_angles
from verifier.reporting.figure_frame import finished, member_names
from verifier.reporting.figure_free import free_body_scene
from verifier.reporting.figure_loads import Drawn, loads
from verifier.reporting.figure_placing import Placing
from verifier.reporting.figure_plan import Plan
from verifier.reporting.figure_png import to_png
from verifier.reporting.figure_scene import Mark, Point, Scene, bounds
from verifier.reporting.figure_svg import to_svg
from verifier.reporting.figure_text import to_text
from verifier.reporting.figure_words import describe, notes
from verifier.reporting.words import spoken
from verifier.statics.actions import FreeBody
from verifier.structure.model import Structure


def draw_svg(
    structure: Structure,
    free_body: FreeBody | None = None,
    names: Mapping[str, str] | None = None,
    marked: Collection[str] = (),
    about: str | Point | None = None,
) -> str:
    """Return the figure, or a free body of it, as a self-contained SVG document.

    `names` says how the working writes an item, as `{'reaction A x': 'A_x'}`; a name that begins
    with a minus is drawn against the item's positive sense. On a free body the items `marked` are
    underlaid, with their lever arms where `about` gives the moment point, a joint or a place.
    """
    return to_svg(scene(structure, free_body, names, marked, about))


def draw_png(
    structure: Structure,
    free_body: FreeBody | None = None,
    names: Mapping[str, str] | None = None,
    scale: float = 2.0,
    marked: Collection[str] = (),
    about: str | Point | None = None,
) -> bytes:
    """Return the same drawing as PNG, `scale` pixels a point (72 points an inch).

    Raises `UsageError` where matplotlib, the extra `draw`, is not installed.
    """
    return to_png(scene(structure, free_body, names, marked, about), scale)


def draw_text(structure: Structure, width: int = 78) -> str:
    """Return the figure as line art of at most `width` characters a line, then in words."""
    return to_text(structure, width)


def scene(
    structure: Structure,
    free_body: FreeBody | None = None,
    names: Mapping[str, str] | None = None,
    marked: Collection[str] = (),
    about: str | Point | None = None,
) -> Scene:
    """Return the drawing as marks on a page."""
    if free_body is not None:
        return free_body_scene(structure, free_body, names or {}, marked, about)
    plan = Plan(structure, structure.joints)
    steel = [*parts.bodies(plan, structure.bodies), *parts.members(plan, structure.members)]
    held = parts.supports(plan)
    angles, angle_names = named_angles(plan)
    drawn = Drawn(plan)
    loads(plan, drawn, _load_names(structure))
    rings = parts.joints(plan, structure.joints)
    marks: list[Mark] = [*held, *steel, *angles, *drawn.marks, *rings]
    placing = Placing()
    placing.occupy(marks)
    labels = drawn.labels(placing)
    labels += [
        placing.label(at, name, "dimension name", (way,), 4.0) for at, name, way in angle_names
    ]
    labels += [
        placing.label(plan.at[name], name, "name", plan.open_way(plan.at[name]))
        for name in structure.joints
    ]
    labels += member_names(plan, placing, _called(structure))
    marks += labels
    marks += dimensions(plan, list(structure.joints), bounds(marks))
    title = structure.title or spoken().text("Figure")
    return finished(marks, title, describe(structure), notes(structure))


def _load_names(structure: Structure) -> dict[str, str]:
    return {what[1]: name for name, what in structure.calls.items() if what[0] == "load"}


def _called(structure: Structure) -> dict[str, str]:
    return {what[1]: name for name, what in structure.calls.items() if what[0] == "item"}
