"""Which forces touch which part: the bare incidence behind free bodies and equations.

A part is a body, or a joint that is held in equilibrium on its own. A joint with one body and
nothing else but supports and loads is no part: what acts there acts on the body.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TypeVar

from verifier.statics.actions import ActionKind
from verifier.structure.model import Couple, Force, Load, Reaction, Structure


@dataclass(frozen=True)
class Touch:
    """An unknown acting on a part at a joint.

    `other` is the part at its far end: a member's far joint, a pin's body or joint. `axis` is 'x',
    'y' or 'turn' for a pin or fixing, with `sign` −1 where the item's positive value pushes the
    part the other way; `reaction` gives the direction of a support's force.
    """

    item: str
    kind: ActionKind
    part: str
    joint: str
    other: str = ""
    axis: str = ""
    sign: int = 1
    reaction: Reaction | None = None


@dataclass(frozen=True)
class Known:
    """A known force or couple, the part that it acts on, and the load statement it belongs to."""

    part: str
    given: Force | Couple
    load: Load
    joint: str = ""


class Layout:
    """The parts of a structure and what touches each of them."""

    def __init__(self, structure: Structure) -> None:
        self.structure = structure
        self.on_bodies = _bodies_at(structure)
        self.on_members = _members_at(structure)
        self.home = {
            joint: bodies[0]
            for joint, bodies in self.on_bodies.items()
            if len(bodies) == 1 and joint not in self.on_members
        }
        held = {support.joint for support in structure.supports} | {
            given.on
            for load in structure.loads
            for given in load.resultants()
            if isinstance(given, Force)
        }
        self.joints = tuple(
            name
            for name in structure.joints
            if name not in self.home
            and (name in self.on_bodies or name in self.on_members or name in held)
        )
        self.used = tuple(
            name for name in structure.joints if name in self.joints or name in self.home
        )
        self.bodies = tuple(body.name for body in structure.bodies)
        self.parts = (*self.joints, *self.bodies)
        self.member_ends = {member.name: (member.start, member.end) for member in structure.members}
        self.touches = (*self._supports(), *self._members(), *self._pins())
        self.knowns = self._knowns()
        self.turning = frozenset(self.bodies) | {
            touch.part for touch in self.touches if touch.axis == "turn"
        } | {known.part for known in self.knowns if isinstance(known.given, Couple)}  # fmt: skip
        self.by_part: Mapping[str, tuple[Touch, ...]] = _grouped(self.parts, self.touches)
        self.knowns_by_part: Mapping[str, tuple[Known, ...]] = _grouped(self.parts, self.knowns)

    def part_at(self, joint: str) -> str:
        """Return the part on which a force at a joint acts: the joint, or the body it lies on."""
        return self.home.get(joint, joint)

    @property
    def items(self) -> tuple[str, ...]:
        """The unknowns, reactions first, then members, then pin forces."""
        return tuple(dict.fromkeys(touch.item for touch in self.touches))

    def _turning_part(self, joint: str, on: str | None = None) -> str:
        if on is not None and on in self.bodies:
            return on
        bodies = self.on_bodies.get(joint, ())
        return bodies[0] if bodies else joint

    def _supports(self) -> list[Touch]:
        touches = []
        for support in self.structure.supports:
            for reaction in support.reactions():
                if reaction.turns:
                    part, axis = self._turning_part(reaction.joint), "turn"
                    touches.append(Touch(reaction.item, "fixing", part, reaction.joint, "", axis))
                else:
                    part = self.part_at(reaction.joint)
                    touches.append(
                        Touch(reaction.item, "reaction", part, reaction.joint, reaction=reaction)
                    )
        return touches

    def _members(self) -> list[Touch]:
        return [
            Touch(name, "member", near, near, other=far)
            for name, (start, end) in self.member_ends.items()
            for near, far in ((start, end), (end, start))
        ]

    def _pins(self) -> list[Touch]:
        return [
            Touch(f"pin {joint} {axis} on {body}", "pin", part, joint, other, axis, sign)
            for joint in self.joints
            for body in self.on_bodies.get(joint, ())
            for axis in ("x", "y")
            for part, other, sign in ((body, joint, 1), (joint, body, -1))
        ]

    def _knowns(self) -> tuple[Known, ...]:
        knowns = []
        for load in self.structure.loads:
            for given in load.resultants():
                if isinstance(given, Couple):
                    part, joint = self._turning_part(given.at, given.on), given.at
                elif given.on in self.bodies and given.on not in self.structure.joints:
                    part, joint = given.on, ""
                else:
                    part, joint = self.part_at(given.on), given.on
                knowns.append(Known(part, given, load, joint))
        return tuple(knowns)


def _bodies_at(structure: Structure) -> dict[str, tuple[str, ...]]:
    found: dict[str, tuple[str, ...]] = {}
    for body in structure.bodies:
        for joint in dict.fromkeys(body.points):
            found[joint] = (*found.get(joint, ()), body.name)
    return found


def _members_at(structure: Structure) -> dict[str, tuple[str, ...]]:
    found: dict[str, tuple[str, ...]] = {}
    for member in structure.members:
        for joint in (member.start, member.end):
            found[joint] = (*found.get(joint, ()), member.name)
    return found


_T = TypeVar("_T", Touch, Known)


def _grouped(parts: tuple[str, ...], things: tuple[_T, ...]) -> dict[str, tuple[_T, ...]]:
    found: dict[str, list[_T]] = {part: [] for part in parts}
    for thing in things:
        found.setdefault(thing.part, []).append(thing)
    return {part: tuple(some) for part, some in found.items()}
