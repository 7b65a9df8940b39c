"""One piece of a body cut through: what acts on it, and the faces of the cut."""

from collections.abc import Iterable
from dataclasses import dataclass, replace

from verifier.statics.acting import Acting
from verifier.statics.actions import Action, FreeBody
from verifier.statics.bodylines import BodyLine
from verifier.statics.layout import Known, Layout, Touch
from verifier.statics.spread import Spread, between, resultant
from verifier.statics.stubs import Point

FIRST = frozenset({"before", "left", "lower", "below"})
LAST = frozenset({"after", "right", "upper", "above"})


@dataclass(frozen=True)
class Cut:
    """A cut through a body at the point `where`, `place` along its line.

    `after` tells that it runs just after the place, so that what acts at the place itself is on
    the first piece; `first` that the first piece is meant; `said` names the place in items.
    """

    body: str
    line: BodyLine
    where: Point
    place: float
    first: bool
    after: bool
    said: str

    def holds(self, distance: float) -> bool:
        """Return whether what acts at a distance along the line acts on this piece."""
        slack = 1e-9 * (self.line.distances[-1] or 1.0)
        early = distance < self.place - slack or (self.after and distance <= self.place + slack)
        return early == self.first

    @property
    def joints(self) -> tuple[str, ...]:
        """The body's joints on this piece."""
        return tuple(joint for joint, distance in self.line.all_joints if self.holds(distance))

    @property
    def tangent(self) -> Point:
        """The unit vector along the body at the cut."""
        return self.line.tangent(self.place, self.after)

    @property
    def turn(self) -> float:
        """The sense in which a sagging moment turns this piece: +1 anticlockwise."""
        rises = self.tangent[0] if abs(self.tangent[0]) > 1e-9 else self.tangent[1]
        return 1.0 if (rises > 0) == self.first else -1.0


def touching(cut: Cut, layout: Layout, taken: Iterable[str]) -> list[Touch]:
    """Return the unknowns on a piece, its joints among `taken` included in it."""
    joints = frozenset(cut.joints)
    parts = [cut.body, *(joint for joint in cut.joints if joint in frozenset(taken))]
    inside = frozenset(parts)
    return [
        touch
        for part in parts
        for touch in layout.by_part[part]
        if touch.joint in joints and touch.other not in inside
    ]


def pressing(
    cut: Cut, layout: Layout, acting: Acting, taken: Iterable[str]
) -> list[tuple[Known, tuple[float, float]]]:
    """Return the known loads on a piece, each with the shares of its length that it keeps."""
    parts = [cut.body, *(joint for joint in cut.joints if joint in frozenset(taken))]
    found = []
    for part in parts:
        for known in layout.knowns_by_part[part]:
            action = acting.of(known)
            if action.spread is None:
                kept = (0.0, 1.0) if cut.holds(cut.line.place(action.at)) else (0.0, 0.0)
            else:
                kept = _kept(action.spread, cut)
            if kept[1] - kept[0] > 1e-12:
                found.append((known, kept))
    return found


def piece(cut: Cut, layout: Layout, acting: Acting, taken: Iterable[str]) -> FreeBody:
    """Return the free body of a piece; `taken` are the joints that it may take in."""
    taken = tuple(taken)
    actions = [acting.of(touch) for touch in touching(cut, layout, taken)]
    for known, kept in pressing(cut, layout, acting, taken):
        action = acting.of(known)
        if action.spread is not None and kept != (0.0, 1.0):
            spread = between(action.spread, *kept)
            size, at = resultant(spread)
            action = replace(action, at=at, value=size, spread=spread)
        actions.append(action)
    names = tuple(f"{what} at {cut.said}" for what in ("axial", "shear", "moment"))
    return FreeBody(
        f"part of {cut.body} {_word(cut)} {cut.said}",
        frozenset(cut.joints),
        (*actions, *_faces(cut, names)),
        names,
    )


def _kept(spread: Spread, cut: Cut) -> tuple[float, float]:
    """Return the shares between which a spread load lies on the piece."""
    start, end = cut.line.place(spread[:2]), cut.line.place(spread[3:5])
    if start == end:
        return (0.0, 1.0) if cut.holds(start) else (0.0, 0.0)
    share = min(1.0, max(0.0, (cut.place - start) / (end - start)))
    share = round(share) if min(share, 1 - share) < 1e-12 else share
    return (0.0, share) if (start < end) == cut.first else (share, 1.0)


def _faces(cut: Cut, names: tuple[str, ...]) -> tuple[Action, ...]:
    """Return what the other piece does to this one, in the senses of design §3."""
    x, y = cut.tangent
    n = (x, y) if cut.first else (-x + 0.0, -y + 0.0)
    axial, shear, moment = names
    return (
        Action(axial, "cut", cut.where, n),
        Action(shear, "cut", cut.where, (n[1], -n[0] + 0.0)),
        Action(moment, "cut", cut.where, (0.0, 0.0), cut.turn),
    )


def _word(cut: Cut) -> str:
    x, y = cut.tangent
    if abs(x) > 1e-9:
        return "left of" if (x > 0) == cut.first else "right of"
    return "below" if (y > 0) == cut.first else "above"
