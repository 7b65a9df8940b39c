"""What every drawing has around it: a title, notes, and the names that members bear."""

from collections.abc import Mapping

from verifier.reporting.figure_placing import Placing
from verifier.reporting.figure_plan import Plan
from verifier.reporting.figure_scene import Label, Mark, Scene, bounds, on_page


def member_names(plan: Plan, placing: Placing, called: Mapping[str, str]) -> list[Mark]:
    """Return the names that members bear, beside their middles."""
    marks: list[Mark] = []
    for member in plan.structure.members:
        if member.name in called:
            (ax, ay), (bx, by) = plan.at[member.start], plan.at[member.end]
            middle = ((ax + bx) / 2, (ay + by) / 2)
            marks.append(placing.label(middle, called[member.name], "reaction name", (), 5.0))
    return marks


def finished(marks: list[Mark], title: str, tells: list[str], below: list[str]) -> Scene:
    """Return marks as a page: its title above, its notes below, what it tells for those who hear.

    Long lines of notes go on in a further row.
    """
    left, top, _, bottom = bounds(marks)
    head = Label((left, top - 20), _short(title, 90), "title", "start")
    foot = [
        Label((left, bottom + 24 + 16 * row), _short(line, 110), "note", "start")
        for row, line in enumerate(below[:8])
    ]
    return on_page([head, *marks, *foot], title, ". ".join(tells))


def _short(text: str, most: int) -> str:
    return text if len(text) <= most else text[: most - 1] + "…"
