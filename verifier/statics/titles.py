"""What a part of a structure is called, and which of two lies further left."""

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from verifier.statics.acting import Point
from verifier.statics.sections import listed

if TYPE_CHECKING:
    from verifier.statics.freebodies import FreeBodies


def title(
    bodies: "FreeBodies", ordered: Sequence[str], cut: Sequence[str], pinned: Sequence[str]
) -> str:
    """Return what a set of joints and bodies is called.

    `cut` are the members that hold it to the rest, `pinned` the joints at which pins do so.
    """
    own = [name for name in ordered if name in bodies.layout.bodies]
    held = {joint for name in own for joint in bodies.line(name).every}
    if cut and not pinned:
        return f"part {side(bodies, ordered)} the cut through {listed(cut)}"
    if cut and pinned and not held.issuperset(set(ordered) - set(own)):
        through = f"{listed(cut)} and hinge {', '.join(pinned)}"
        return f"part {side(bodies, ordered)} the cut through {through}"
    if not own:
        return f"part with {', '.join(ordered)}"
    said = "bodies " + " and ".join(own) if len(own) > 1 else f"body {own[0]}"
    lone = [p for p in ordered if p not in own and not bodies.between(p, own)]
    return said + (f" with {', '.join(lone)}" if lone else "")


def leftness(bodies: "FreeBodies", parts: Iterable[str]) -> tuple[float, float]:
    """Return a key that sorts sets of parts from left to right, then from low to high."""
    x, y = _middle(bodies, parts)
    return round(x / bodies.size, 6), y


def side(bodies: "FreeBodies", chosen: Iterable[str]) -> str:
    """Return on which side of the rest a set of parts lies: `left of`, `below` and so on."""
    inside = set(chosen)
    here = _middle(bodies, inside)
    rest = _middle(bodies, (part for part in bodies.layout.parts if part not in inside))
    across, up = here[0] - rest[0], here[1] - rest[1]
    if abs(across) >= abs(up):
        return "left of" if across < 0 else "right of"
    return "below" if up < 0 else "above"


def _middle(bodies: "FreeBodies", parts: Iterable[str]) -> Point:
    places: list[Point] = []
    for part in parts:
        names = (part,) if part in bodies.joints else bodies.line(part).every
        places += [bodies.points[name] for name in names]
    count = len(places) or 1
    return sum(p[0] for p in places) / count, sum(p[1] for p in places) / count
