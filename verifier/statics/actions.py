"""What acts on a free body: the plain data that statics hands to checking.

All numbers are floats in the sheet's units (letters at their stand-ins), x right, y up,
anticlockwise positive.
"""

from dataclasses import dataclass
from typing import Literal

ActionKind = Literal["reaction", "member", "pin", "load", "couple", "fixing", "cut"]


@dataclass(frozen=True)
class Action:
    """One force or couple on a free body.

    `item` is the unknown's name (design §3: `reaction A x`, `A-B`, `pin C x on deck`,
    `shear at K` …) or, for a known load, its label. A force acts at `at` along the unit vector
    `along` (its positive sense on THIS free body: a member pulls on a joint, so `along` points
    from the joint into the member); a couple has `along == (0, 0)` and `turn` +1 or −1, the sense
    in which the item's positive value turns this free body. `value` is the known size of a load or
    couple along that sense, None for an unknown. `joint` is where it acts ('' between joints).
    `spread` tells a distributed load's two ends and intensities (x1, y1, w1, x2, y2, w2), its
    action being the resultant.
    """

    item: str
    kind: ActionKind
    at: tuple[float, float]
    along: tuple[float, float]
    turn: float = 0.0
    value: float | None = None
    label: str = ""
    joint: str = ""
    spread: tuple[float, float, float, float, float, float] | None = None

    def component(self, direction: tuple[float, float]) -> float:
        """Return what one unit of this action contributes to the sum along a unit vector."""
        return self.along[0] * direction[0] + self.along[1] * direction[1]

    def moment(self, about: tuple[float, float]) -> float:
        """Return what one unit contributes to the anticlockwise moment about a point."""
        arm = (self.at[0] - about[0], self.at[1] - about[1])
        return self.turn + arm[0] * self.along[1] - arm[1] * self.along[0]


@dataclass(frozen=True)
class FreeBody:
    """A part of the structure with everything that acts on it from outside.

    `name` is what a report calls it ('whole structure', 'joint Q', 'body deck', 'part left of the
    cut through QR, PR'); `parts` the joints and bodies inside it; `cut` the member or body items
    that the cut goes through.
    """

    name: str
    parts: frozenset[str]
    actions: tuple[Action, ...]
    cut: tuple[str, ...] = ()
