"""The figure and its solution as judging needs them: floats, looked up by what was written."""

import math
from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property
from itertools import combinations, pairwise

from verifier.checking.ledger import nearest
from verifier.statics import FreeBodies
from verifier.statics.actions import Action, FreeBody
from verifier.structure.model import Couple, Force, Load, Structure

Point = tuple[float, float]

SENSES = {
    "tension": 1.0, "compression": -1.0, "right": 1.0, "left": -1.0, "up": 1.0, "down": -1.0,
    "anticlockwise": 1.0, "clockwise": -1.0,
}  # fmt: skip
_GRAZING = 1e-4
"""The share of a force, or of its distance, that a rounded angle leaves where it has no part.

Half a hundredth of a degree, as in 126.87 for 90 + atan(3/4).
"""
_AXIS_OF = {"right": 0, "left": 0, "up": 1, "down": 1}


def _turns(variable: str) -> bool:
    return variable.endswith(" moment") or variable.startswith("moment ")


@dataclass(frozen=True)
class Datum:
    """A number that the sheet gives: what it is in words, and its value in the sheet's units."""

    words: str
    value: float
    kind: str


class Figure:
    """A structure with its true values, indexed for judging.

    `true` maps every item to its value (empty where statics found none).
    """

    def __init__(self, structure: Structure, values: Mapping[str, float]) -> None:
        self.structure = structure
        self.true = values
        self.bodies = FreeBodies(structure)
        self.points: dict[str, Point] = {name: structure.point(name) for name in structure.joints}
        self._twins = self._pin_twins()

    def variable(self, item: str) -> tuple[str, float]:
        """Return the variable that an item is, and its sign: opposite pin forces are one.

        So are inner forces on both sides of a joint where nothing makes them jump.
        """
        if item.endswith((", left", ", right")) and item not in self._twins:
            self._twins[item] = (self._either_side(item), 1.0)
        return self._twins.get(item, (item, 1.0))

    def _either_side(self, item: str) -> str:
        plain = item.rpartition(",")[0]
        try:
            jump = abs(self.true[item] - self.true[plain])
        except KeyError:
            return item
        return item if jump > 1e-9 * max(1.0, abs(self.true[item])) else plain

    def _pin_twins(self) -> dict[str, tuple[str, float]]:
        twins: dict[str, tuple[str, float]] = {}
        busy = {support.joint for support in self.structure.supports}
        busy |= {end for member in self.structure.members for end in (member.start, member.end)}
        busy |= {force.on for force in self.forces}
        for joint in self.structure.joints:
            holders = [body.name for body in self.structure.bodies if joint in body.points]
            if len(holders) == 2 and joint not in busy:
                for axis in "xy":
                    first, second = (f"pin {joint} {axis} on {name}" for name in holders)
                    twins[second] = (first, -1.0)
            elif len(holders) == 1 and joint not in self.bodies.joints:
                for axis in "xy":
                    if f"reaction {joint} {axis}" in self.true:
                        twins[f"pin {joint} {axis} on {holders[0]}"] = (
                            f"reaction {joint} {axis}",
                            1.0,
                        )
        return twins

    @cached_property
    def forces(self) -> tuple[Force, ...]:
        """The known forces of the sheet."""
        return tuple(
            part
            for load in self.structure.loads
            for part in load.resultants()
            if isinstance(part, Force)
        )

    @cached_property
    def couples(self) -> tuple[Couple, ...]:
        """The known couples of the sheet."""
        return tuple(
            part
            for load in self.structure.loads
            for part in load.resultants()
            if isinstance(part, Couple)
        )

    @cached_property
    def member_ends(self) -> dict[frozenset[str], str]:
        """Each member's item by its two joints."""
        return {frozenset((m.start, m.end)): m.name for m in self.structure.members}

    @cached_property
    def reactions(self) -> dict[str, list[tuple[str, Point, bool]]]:
        """Each supported joint's unknowns: (item, direction, turns)."""
        letters = self.structure.letters
        found: dict[str, list[tuple[str, Point, bool]]] = {}
        for support in self.structure.supports:
            for one in support.reactions():
                direction = (one.direction[0].number(letters), one.direction[1].number(letters))
                found.setdefault(one.joint, []).append((one.item, direction, one.turns))
        return found

    @cached_property
    def along(self) -> dict[str, Point]:
        """The direction of each reaction's positive value."""
        return {
            item: direction
            for unknowns in self.reactions.values()
            for item, direction, turns in unknowns
            if not turns
        }

    def scale(self, variable: str) -> float:
        """Return the largest true value of a force's kind: of the forces, or of the moments."""
        kind = _turns(variable)
        return max((abs(v) for name, v in self.true.items() if _turns(name) == kind), default=0.0)

    def claimed_sense(self, variable: str, meaning: str, body: str = "") -> float:
        """Return the sign of a force's own value that a word claims, 0 where it claims none.

        A direction of a pin force claims something only on the body that the line is about.
        """
        if variable.startswith(("shear at ", "moment at ")):
            return 0.0  # either face of the cut may be meant
        if variable.startswith("reaction ") and meaning in ("tension", "compression"):
            return 0.0  # 'pulls to the left': the side is what is claimed
        claimed = SENSES.get(meaning, 0.0)
        if variable.startswith("pin "):
            if variable.endswith(f" on {body}"):
                return claimed
            item = variable.rpartition(" on ")[0] + f" on {body}"
            return -claimed if self.variable(item)[0] == variable and item != variable else 0.0
        along = self.along.get(variable)
        if along is None and "-" in variable and meaning in _AXIS_OF:
            return 0.0  # a bar that pushes up at one end pushes down at the other
        if along is None or meaning not in _AXIS_OF:
            return claimed
        part = along[_AXIS_OF[meaning]]
        return 0.0 if abs(part) < 1e-9 else math.copysign(claimed, claimed * part)

    def part_along(self, variable: str, axis: str) -> float:
        """Return how much of a force lies along x or y, 0 where its direction is not known."""
        along = self.direction(variable)
        return abs(along["xy".index(axis)]) if along is not None else 0.0

    def direction(self, variable: str) -> Point | None:
        """Return the unit vector along a reaction or a member, None where it is not known."""
        along = self.along.get(variable)
        ends = next((m for m in self.structure.members if m.name == variable), None)
        if along is None and ends is not None:
            (x1, y1), (x2, y2) = self.points[ends.start], self.points[ends.end]
            size = math.hypot(x2 - x1, y2 - y1)
            along = ((x2 - x1) / size, (y2 - y1) / size)
        return along

    def at_distance(self, along: float) -> set[str]:
        """Return the joints that lie at a distance from the left end of a level body."""
        found = set[str]()
        for body in self.structure.bodies:
            across = {joint: self.points[joint][0] for joint in body.points}
            start, level = min(across.values()), {self.points[joint][1] for joint in body.points}
            near = {j for j, x in across.items() if abs(x - start - along) < 1e-6}
            found |= near if len(level) == 1 else set()
        return found

    def loads_about(self, joint: str) -> float:
        """Return the moment of all the loads about a joint, anticlockwise positive."""
        letters, (px, py) = self.structure.letters, self.points[joint]
        total = sum(couple.moment.number(letters) for couple in self.couples)
        for force in self.forces:
            x, y = (coordinate.number(letters) for coordinate in force.at)
            across, up = (part.number(letters) for part in force.direction)
            total += force.size.number(letters) * ((x - px) * up - (y - py) * across)
        return total

    def midspan(self) -> set[str]:
        """Return the joints of bodies that lie midway between two supports, none in between."""
        xs = sorted(self.points[joint][0] for joint in self.reactions)
        middles = [(one + two) / 2 for one, two in pairwise(xs)]
        held = {joint for body in self.structure.bodies for joint in body.points}
        return {j for j in held if any(abs(self.points[j][0] - x) < 1e-6 for x in middles)}

    def length(self, first: str, second: str) -> float:
        """Return the distance between two joints."""
        return math.dist(self.points[first], self.points[second])

    def _pairs(self) -> Iterable[tuple[str, str]]:
        names = list(self.points)
        if len(names) <= 24:
            return combinations(names, 2)
        near = {tuple(sorted((m.start, m.end))) for m in self.structure.members}
        near |= {(names[0], name) for name in names[1:]}
        return [(pair[0], pair[1]) for pair in near]

    @cached_property
    def drawn_angles(self) -> list[float]:
        """Angles of lines that are really drawn: members, bodies, loads, reactions, named ones."""
        letters = self.structure.letters
        lines = [(m.start, m.end) for m in self.structure.members]
        for body in self.structure.bodies:
            lines += list(combinations(body.points, 2))
        found = [a.degrees.number(letters) for a in self.structure.angles.values()]
        for start, end in lines:
            rise = self._bearing(start, end) % 90
            found += [rise, 90 - rise]
        for force in self.forces:
            slope = self._slope(*(part.number(letters) for part in force.direction))
            found += [slope, 90 - slope]
        for direction in self.along.values():
            found += [self._slope(*direction), 90 - self._slope(*direction)]
        return found + [datum.value for datum in self._corner_angles()]

    def is_slope(self, degrees: float) -> bool:
        """Tell whether an angle is a drawn line's own slope to the horizontal."""
        lines = [(m.start, m.end) for m in self.structure.members]
        for body in self.structure.bodies:
            lines += list(combinations(body.points, 2))
        slopes = []
        for start, end in lines:
            (x1, y1), (x2, y2) = self.points[start], self.points[end]
            slopes.append(self._slope(x2 - x1, y2 - y1))
        return any(abs(slope - degrees) < 0.06 for slope in slopes)

    @cached_property
    def angles(self) -> list[Datum]:
        """Angles that the figure shows, 0 to 90 and their supplements, in degrees."""
        letters = self.structure.letters
        found = [
            Datum(f"the angle {angle.name}", angle.degrees.number(letters), "angle")
            for angle in self.structure.angles.values()
        ]
        for first, second in self._pairs():
            (x1, y1), (x2, y2) = self.points[first], self.points[second]
            rise = math.degrees(math.atan2(abs(y2 - y1), abs(x2 - x1)))
            if 1e-9 < rise < 90 - 1e-9:
                found.append(Datum(f"{first}{second} to the horizontal", rise, "angle"))
                found.append(Datum(f"{first}{second} to the vertical", 90 - rise, "angle"))
        for force in self.forces:
            slope = self._slope(
                force.direction[0].number(letters), force.direction[1].number(letters)
            )
            if 1e-9 < slope < 90 - 1e-9:
                found.append(Datum(f"{force.label} to the horizontal", slope, "angle"))
                found.append(Datum(f"{force.label} to the vertical", 90 - slope, "angle"))
        for joint, unknowns in self.reactions.items():
            for _, direction, turns in unknowns:
                slope = self._slope(*direction)
                if not turns and 1e-9 < slope < 90 - 1e-9:
                    found.append(
                        Datum(f"the reaction at {joint} to the horizontal", slope, "angle")
                    )
                    found.append(
                        Datum(f"the reaction at {joint} to the vertical", 90 - slope, "angle")
                    )
        return found + self._corner_angles()

    def _corner_angles(self) -> list[Datum]:
        around: dict[str, list[str]] = {}
        for member in self.structure.members:
            around.setdefault(member.start, []).append(member.end)
            around.setdefault(member.end, []).append(member.start)
        found = []
        for joint, others in around.items():
            for first, second in combinations(others, 2):
                turn = self._bearing(joint, first) - self._bearing(joint, second)
                degrees = abs((turn + 180) % 360 - 180)
                if 1e-9 < degrees < 180 - 1e-9:
                    found.append(Datum(f"the angle {first}{joint}{second}", degrees, "angle"))
        return found

    def _bearing(self, start: str, end: str) -> float:
        (x1, y1), (x2, y2) = self.points[start], self.points[end]
        return math.degrees(math.atan2(y2 - y1, x2 - x1))

    @staticmethod
    def _slope(x: float, y: float) -> float:
        return math.degrees(math.atan2(abs(y), abs(x)))

    @cached_property
    def lengths(self) -> list[Datum]:
        """Distances of the figure: along x, along y and straight, between joints."""
        found = []
        for first, second in self._pairs():
            (x1, y1), (x2, y2) = self.points[first], self.points[second]
            across, up = abs(x2 - x1), abs(y2 - y1)
            if across > 1e-12:
                found.append(
                    Datum(f"the horizontal distance from {first} to {second}", across, "length")
                )
            if up > 1e-12:
                found.append(Datum(f"the vertical distance from {first} to {second}", up, "length"))
            if across > 1e-12 and up > 1e-12:
                slant = math.hypot(across, up)
                found.append(Datum(f"the distance from {first} to {second}", slant, "length"))
        return found

    @cached_property
    def length_letters(self) -> frozenset[str]:
        """The letters of the sheet on which the places of its joints hang."""
        letters, joints = self.structure.letters, self.structure.joints.values()
        places = [one for joint in joints for one in (joint.x, joint.y)]
        return frozenset(
            name
            for name, size in letters.items()
            if any(p.number({**letters, name: 2 * size}) != p.number(letters) for p in places)
        )

    @cached_property
    def loads(self) -> list[Datum]:
        """The sizes of the loads, in words."""
        letters = self.structure.letters
        sizes = [Datum(f.label, abs(f.size.number(letters)), "load") for f in self.forces]
        return sizes + [
            Datum(c.label, abs(c.moment.number(letters)), "couple") for c in self.couples
        ]

    @cached_property
    def exact_numbers(self) -> list[float]:
        """Numbers that the sheet gives outright, sorted: a written copy of one is exact."""
        letters = self.structure.letters
        numbers = {datum.value for datum in (*self.loads, *self.lengths)}
        numbers |= {value.number(letters) for value in self.structure.lets.values()}
        numbers |= {angle.degrees.number(letters) for angle in self.structure.angles.values()}
        numbers |= {d.value for d in self.angles if abs(d.value - round(d.value, 2)) < 1e-7}
        for load in self.structure.loads:
            numbers |= set(self.intensities(load))
        return sorted(numbers)

    def intensities(self, load: Load) -> list[float]:
        """Return the sizes of a distributed load at its ends, none for any other."""
        ends = (getattr(load, "first", None), getattr(load, "last", None))
        letters = self.structure.letters
        return [abs(end.number(letters)) for end in ends if end is not None]

    @cached_property
    def rounded_numbers(self) -> list[float]:
        """Numbers that a writer may hold rounded: true values, lengths, angles and their ratios."""
        found = {abs(value) for value in self.true.values()}
        found |= {datum.value for datum in self.lengths}
        slopes = {datum.value for datum in self.angles}
        found |= slopes
        for slope in slopes:
            turn = math.radians(slope)
            found |= {math.sin(turn), abs(math.cos(turn)), abs(math.tan(turn))}
        for load in self.loads:
            for slope in slopes:
                turn = math.radians(slope)
                found |= {load.value * math.sin(turn), abs(load.value * math.cos(turn))}
        return sorted(found)

    def is_length(self, number: float) -> bool:
        """Tell whether the sheet has this very distance."""
        return any(abs(d.value - number) <= 1e-9 * d.value for d in self.lengths)

    def is_datum(self, number: float) -> bool:
        """Tell whether the sheet gives this very number."""
        return nearest(self.exact_numbers, number, 1e-9 * max(1.0, abs(number))) is not None

    def is_drawn(self, degrees: float) -> bool:
        """Tell whether an angle is, to the last digit, one of the figure's or its supplement."""
        return any(abs((angle - degrees + 45) % 90 - 45) <= 1e-9 for angle in self.drawn_angles)

    def gap_to_value(self, number: float, half: float) -> float | None:
        """Return how far the nearest value of the figure is that rounds to a written number.

        Of shares, the farthest: a sine and a tangent may both be .066, and either be meant.
        """
        if abs(number) >= 1:
            return nearest(self.rounded_numbers, abs(number), half)
        low, high = abs(number) - half * (1 + 1e-9), abs(number) + half * (1 + 1e-9)
        first = bisect_left(self.rounded_numbers, low)
        near = self.rounded_numbers[first : bisect_right(self.rounded_numbers, high)]
        return max((abs(one - abs(number)) for one in near), default=None)

    def gap_to_angle(self, degrees: float, half: float) -> float | None:
        """Return how far the nearest drawn angle is, or its supplement or complement."""
        own = (degrees, -degrees)  # both modulo a right angle
        gaps = (abs((angle - one + 45) % 90 - 45) for angle in self.drawn_angles for one in own)
        gap = min(gaps, default=math.inf)
        return gap if gap <= half else None

    def contribution(self, action: Action, axis: "Axis") -> float:
        """Return what one unit of an action adds to a sum."""
        if axis.about is None:
            part, far = action.component(axis.direction), 1.0
        else:
            part, far = action.moment(axis.about), math.dist(action.at, axis.about)
        return 0.0 if abs(part) <= _GRAZING * far and any(action.along) else part

    @cached_property
    def every_joint(self) -> dict[str, FreeBody]:
        """The free body of each joint that can be cut free."""
        return {name: self.bodies.joint(name) for name in self.bodies.joints}


@dataclass(frozen=True)
class Axis:
    """Which sum: along a unit vector, or moments about a point. `words` is for reports."""

    words: str
    direction: Point = (0.0, 0.0)
    about: Point | None = None

    def __hash__(self) -> int:
        """Hash the words: they tell nearly all sums apart, several times faster."""
        return hash(self.words)
