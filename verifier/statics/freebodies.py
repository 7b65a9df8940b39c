"""Every free body that a working may choose, with all that acts on it from outside."""

import math
from collections.abc import Callable, Hashable, Iterable, Iterator
from dataclasses import replace
from functools import cached_property

from verifier.statics.actions import Action, FreeBody
from verifier.statics.bodylines import BodyLine, Point, body_line
from verifier.statics.layout import Known, Layout, Touch
from verifier.statics.spread import Spread, between, resultant, spread_of
from verifier.structure.model import Couple, Structure
from verifier.structure.values import Value

_AXES: dict[str, Point] = {"x": (1.0, 0.0), "y": (0.0, 1.0)}
_FIRST = frozenset({"before", "left", "lower", "below"})
_LAST = frozenset({"after", "right", "upper", "above"})


class FreeBodies:
    """The free bodies of one structure; each is made once.

    Names that are not in the structure raise `KeyError`, as does `joint` for a joint that lies
    on one body alone and so is no free body of its own (see `joints`).
    """

    def __init__(self, structure: Structure) -> None:
        self.structure = structure
        self.layout = Layout(structure)
        self.points: dict[str, Point] = {name: structure.point(name) for name in structure.joints}
        self._made: dict[Hashable, FreeBody] = {}
        self._lines: dict[str, BodyLine] = {}
        self._touching: dict[Touch, Action] = {}
        self._pressing: dict[int, Action] = {}

    @property
    def joints(self) -> tuple[str, ...]:
        """The joints that are free bodies of their own."""
        return self.layout.joints

    @property
    def bodies(self) -> tuple[str, ...]:
        """The rigid bodies."""
        return self.layout.bodies

    def whole(self) -> FreeBody:
        """Return the whole structure, freed from its supports."""
        return self._keep("whole", lambda: self._free("whole structure", self.layout.parts))

    def joint(self, name: str) -> FreeBody:
        """Return one joint."""
        if name not in self.layout.joints:
            raise KeyError(name)
        return self._keep(("joint", name), lambda: self._free(f"joint {name}", (name,)))

    def body(self, name: str, *, with_joints: bool = False) -> FreeBody:
        """Return one body: pin forces act on it where it shares a joint.

        `with_joints` takes in its joints that no other body shares, so that members, supports and
        loads there act on it themselves instead of through a pin force.
        """
        if name not in self.layout.bodies:
            raise KeyError(name)
        joints = self._own_joints(name) if with_joints else ()
        title = f"body {name} with its joints" if joints else f"body {name}"
        return self._keep(("body", name, bool(joints)), lambda: self._free(title, (name, *joints)))

    def part(self, parts: Iterable[str]) -> FreeBody:
        """Return a set of joints and bodies; a joint between two of its bodies comes with them.

        A joint that lies on one body alone may be named beside that body.
        """
        named = frozenset(parts)
        chosen = self._closed(named)
        if len(chosen) == len(self.layout.parts):
            return self.whole()
        if len(chosen) == 1:
            (only,) = chosen
            return self.body(only) if only in self.layout.bodies else self.joint(only)
        return self._keep(chosen, lambda: self._part(chosen))

    def cut(self, members: Iterable[str]) -> tuple[FreeBody, ...]:
        """Return what a section through these members leaves, the left or lower part first.

        Empty where the structure hangs together in spite of the cut.
        """
        groups = self.fragments(frozenset(members))
        if len(groups) < 2:
            return ()
        return tuple(self.part(group) for group in sorted(groups, key=self._leftness))

    def fragments(self, removed: frozenset[str]) -> list[frozenset[str]]:
        """Return the connected sets of parts once some members are taken away."""
        beside: dict[str, list[str]] = {part: [] for part in self.layout.parts}
        for touch in self.layout.touches:
            if touch.other and touch.item not in removed:
                beside[touch.part].append(touch.other)
        groups, seen = [], set[str]()
        for part in self.layout.parts:
            if part in seen:
                continue
            group, queue = {part}, [part]
            while queue:
                for other in beside[queue.pop()]:
                    if other not in group:
                        group.add(other)
                        queue.append(other)
            seen |= group
            groups.append(frozenset(group))
        return groups

    def sections(self, most: int = 4) -> Iterator[FreeBody]:
        """Yield both parts of every straight cut through at most `most` members, fewest first."""
        for cut in self._straight_cuts(most):
            yield from self.cut(cut)

    def through_body(
        self,
        body: str,
        at: str | Point,
        side: str = "left",
        *,
        just: str = "",
        with_joints: bool = False,
        name: str = "",
    ) -> FreeBody:
        """Return one piece of a body cut at a joint or at a point between joints.

        `side` is left, lower or before for the piece that comes first along the body (see
        `BodyLine`), else right, upper or after. At a joint the cut runs `just` before or after
        it, which says on which piece the forces there act; left out, it is before, but after at
        the body's first end. `name` replaces the place in the item names `axial at …`.
        """
        line = self.line(body)
        if side not in _FIRST | _LAST:
            raise KeyError(side)
        if isinstance(at, str):
            place = line.distances[line.joints.index(at)] if at in line.joints else math.nan
            if math.isnan(place):
                raise KeyError(at)
            just = just or ("after" if at == line.joints[0] else "before")
        else:
            place, just = line.place(at), just or "before"
        key = ("cut", body, at, side in _FIRST, just in _LAST, with_joints, name)
        said = name or (at if isinstance(at, str) else f"({at[0]:.6g}, {at[1]:.6g})")
        where = self.points[at] if isinstance(at, str) else at
        return self._keep(
            key,
            lambda: self._piece(
                line, body, where, place, side in _FIRST, just in _LAST, with_joints, said
            ),
        )

    def line(self, body: str) -> BodyLine:
        """Return a body as a line of joints, in order along it."""
        if body not in self._lines:
            points = next(b.points for b in self.structure.bodies if b.name == body)
            names = tuple(dict.fromkeys(points))
            self._lines[body] = body_line(names, [self.points[name] for name in names])
        return self._lines[body]

    def candidates(self, most: int = 4) -> Iterator[FreeBody]:
        """Yield the free bodies that a working is likely to choose, likeliest first."""
        yield self.whole()
        for name in self.layout.bodies:
            yield self.body(name)
            own = self._own_joints(name)
            if own:
                yield self.body(name, with_joints=True)
            shared = [joint for joint in self._burdened(name) if joint not in own]
            if shared and len(self.layout.bodies) > 1:
                yield self.part((name, *own, *shared))
        for name in self.layout.joints:
            yield self.joint(name)
        yield from self._body_sets()
        yield from self.sections(most)

    def _body_sets(self) -> Iterator[FreeBody]:
        """Yield connected sets of two and more bodies, bare and with the joints they alone hold."""
        bodies = self.layout.bodies
        if not 2 <= len(bodies) <= 8:
            return
        for mask in range(3, 2 ** len(bodies) - 1):
            some = [name for index, name in enumerate(bodies) if mask >> index & 1]
            if len(some) < 2:
                continue
            inside = self._closed(frozenset(some))
            own = {joint for name in some for joint in self._own_joints(name)}
            yield self.part(inside)
            if own - inside:
                yield self.part(inside | own)

    def _own_joints(self, body: str) -> tuple[str, ...]:
        return tuple(
            joint for joint in self.layout.joints if self.layout.on_bodies.get(joint, ()) == (body,)
        )

    def _burdened(self, body: str) -> list[str]:
        """Return the joints of a body at which something acts besides bodies."""
        return [
            joint
            for joint in self.layout.joints
            if body in self.layout.on_bodies.get(joint, ())
            and (
                self.layout.knowns_by_part[joint]
                or any(touch.kind != "pin" for touch in self.layout.by_part[joint])
            )
        ]

    def _closed(self, named: frozenset[str]) -> frozenset[str]:
        layout = self.layout
        chosen = {name for name in named if name in layout.joints or name in layout.bodies}
        for name in named - chosen:
            if layout.home.get(name) not in chosen:
                raise KeyError(name)
        for joint in layout.joints:
            if sum(body in chosen for body in layout.on_bodies.get(joint, ())) > 1:
                chosen.add(joint)
        return frozenset(chosen)

    def _part(self, chosen: frozenset[str]) -> FreeBody:
        ordered = [part for part in self.layout.parts if part in chosen]
        bare = self._free("", ordered)
        cut = tuple(dict.fromkeys(a.item for a in bare.actions if a.kind == "member"))
        bodies = [name for name in ordered if name in self.layout.bodies]
        if cut and not any(action.kind == "pin" for action in bare.actions):
            through = ", ".join(_short(name) for name in cut)
            title = f"part {self._side(chosen)} of the cut through {through}"
        elif bodies:
            title = "bodies " + " and ".join(bodies) if len(bodies) > 1 else f"body {bodies[0]}"
            lone = [p for p in ordered if p not in bodies and not self._between(p, bodies)]
            title += f" with {', '.join(lone)}" if lone else ""
        else:
            title = f"part with {', '.join(ordered)}"
        return FreeBody(title, chosen, bare.actions, cut)

    def _between(self, joint: str, bodies: list[str]) -> bool:
        return sum(body in bodies for body in self.layout.on_bodies.get(joint, ())) > 1

    def _middle(self, parts: Iterable[str]) -> Point:
        places: list[Point] = []
        for part in parts:
            places += [self.points[part]] if part in self.points else self.line(part).points
        count = len(places) or 1
        return sum(p[0] for p in places) / count, sum(p[1] for p in places) / count

    def _leftness(self, parts: frozenset[str]) -> tuple[float, float]:
        x, y = self._middle(parts)
        return round(x / self.size, 6), y

    def _side(self, chosen: frozenset[str]) -> str:
        here = self._middle(chosen)
        rest = self._middle(part for part in self.layout.parts if part not in chosen)
        across, up = here[0] - rest[0], here[1] - rest[1]
        if abs(across) >= abs(up):
            return "left" if across < 0 else "right"
        return "below" if up < 0 else "above"

    @cached_property
    def size(self) -> float:
        """The largest extent of the figure, at least a tiny positive length."""
        xs = [p[0] for p in self.points.values()] or [0.0]
        ys = [p[1] for p in self.points.values()] or [0.0]
        return max(max(xs) - min(xs), max(ys) - min(ys)) or 1.0

    def _straight_cuts(self, most: int) -> list[frozenset[str]]:
        ends = self.layout.member_ends
        middles = {name: self._middle(pair) for name, pair in ends.items()}
        names = list(ends)
        found: dict[frozenset[str], None] = {}
        for index, first in enumerate(names):
            for second in names[index + 1 :]:
                cut = self._crossed(middles[first], middles[second])
                if cut is not None and len(cut) <= most:
                    found[cut] = None
        return sorted(found, key=len)

    def _crossed(self, a: Point, b: Point) -> frozenset[str] | None:
        dx, dy = b[0] - a[0], b[1] - a[1]
        slack = 1e-9 * self.size * max(abs(dx), abs(dy))
        sides = {}
        for name, (x, y) in self.points.items():
            off = (x - a[0]) * dy - (y - a[1]) * dx
            if abs(off) <= slack:
                return None
            sides[name] = off > 0
        for body in self.structure.bodies:
            if len({sides[joint] for joint in body.points}) > 1:
                return None
        return frozenset(
            name for name, (one, two) in self.layout.member_ends.items() if sides[one] != sides[two]
        )

    def _keep(self, key: Hashable, make: Callable[[], FreeBody]) -> FreeBody:
        made = self._made.get(key)
        if made is None:
            made = self._made[key] = make()
        return made

    def _free(self, title: str, parts: Iterable[str]) -> FreeBody:
        chosen = tuple(parts)
        inside = frozenset(chosen)
        layout = self.layout
        actions = [
            self._of_touch(touch)
            for part in chosen
            for touch in layout.by_part[part]
            if touch.other not in inside
        ]
        actions += [
            self._of_known(known) for part in chosen for known in layout.knowns_by_part[part]
        ]
        return FreeBody(title, inside, tuple(actions))

    def number(self, value: Value) -> float:
        """Return a value of the sheet as a float, letters at their stand-ins."""
        return value.number(self.structure.letters)

    def unit(self, direction: tuple[Value, Value]) -> Point:
        """Return a direction of the sheet as floats, without the dust of cos 90° and the like."""
        x, y = self.number(direction[0]), self.number(direction[1])
        return (0.0 if abs(x) < 1e-15 else x, 0.0 if abs(y) < 1e-15 else y)

    def _of_touch(self, touch: Touch) -> Action:
        if touch not in self._touching:
            self._touching[touch] = self._make_touch(touch)
        return self._touching[touch]

    def _make_touch(self, touch: Touch) -> Action:
        here = self.points[touch.joint]
        turn = 0.0
        along: Point = (0.0, 0.0)
        if touch.reaction is not None:
            along = self.unit(touch.reaction.direction)
        elif touch.axis == "turn":
            turn = float(touch.sign)
        elif touch.axis:
            x, y = _AXES[touch.axis]
            along = (touch.sign * x + 0.0, touch.sign * y + 0.0)
        else:
            there = self.points[touch.other]
            length = math.dist(here, there) or 1.0
            along = ((there[0] - here[0]) / length, (there[1] - here[1]) / length)
        return Action(touch.item, touch.kind, here, along, turn, joint=touch.joint)

    def _of_known(self, known: Known) -> Action:
        key = id(known)
        if key not in self._pressing:
            self._pressing[key] = self._make_known(known)
        return self._pressing[key]

    def _make_known(self, known: Known) -> Action:
        given = known.given
        if isinstance(given, Couple):
            moment = self.number(given.moment)
            turn = -1.0 if moment < 0 else 1.0
            return Action(
                given.label, "couple", self.points[given.at], (0.0, 0.0), turn, abs(moment),
                given.label, given.at,
            )  # fmt: skip
        at = (self.number(given.at[0]), self.number(given.at[1]))
        return Action(
            given.label, "load", at, self.unit(given.direction), 0.0, self.number(given.size),
            given.label, known.joint, spread_of(known.load, given, self.number),
        )  # fmt: skip

    def _piece(
        self,
        line: BodyLine,
        body: str,
        where: Point,
        place: float,
        first: bool,
        after: bool,
        with_joints: bool,
        said: str,
    ) -> FreeBody:
        slack = 1e-9 * (line.distances[-1] or 1.0)

        def held(distance: float) -> bool:
            inside = distance < place - slack or (after and distance <= place + slack)
            return inside == first

        taken = self._own_joints(body) if with_joints else ()
        joints = [j for j, d in zip(line.joints, line.distances, strict=True) if held(d)]
        parts = [body, *(joint for joint in joints if joint in taken)]
        inside = frozenset(parts)
        actions = [
            self._of_touch(touch)
            for part in parts
            for touch in self.layout.by_part[part]
            if touch.joint in joints and touch.other not in inside
        ]
        for part in parts:
            for known in self.layout.knowns_by_part[part]:
                actions += self._on_piece(known, line, place, first, held)
        actions += _faces(line.tangent(place, after), where, first, said)
        word = _words(line.tangent(place, after))[0 if first else 1]
        cut = tuple(f"{what} at {said}" for what in ("axial", "shear", "moment"))
        title = f"part of {body} {word} of {said}" if word in ("left", "right") else (
            f"part of {body} {word} {said}"
        )  # fmt: skip
        return FreeBody(title, frozenset(joints), tuple(actions), cut)

    def _on_piece(
        self, known: Known, line: BodyLine, place: float, first: bool, held: Callable[[float], bool]
    ) -> list[Action]:
        action = self._of_known(known)
        if action.spread is None:
            spot = line.place(action.at)
            return [action] if held(spot) else []
        kept = _kept(action.spread, line, place, first)
        if kept == action.spread:
            return [action]
        if kept is None:
            return []
        size, at = resultant(kept)
        return [replace(action, at=at, value=size, spread=kept)] if size else []


def _kept(spread: Spread, line: BodyLine, place: float, first: bool) -> Spread | None:
    """Return what of a spread load lies on one side of a cut, None for nothing."""
    start, end = line.place(spread[:2]), line.place(spread[3:5])
    if start == end:
        return spread if (start < place) == first else None
    share = min(1.0, max(0.0, (place - start) / (end - start)))
    low, high = (0.0, share) if (start < end) == first else (share, 1.0)
    if high - low < 1e-12:
        return None
    return spread if (low, high) == (0.0, 1.0) else between(spread, low, high)


def _faces(tangent: Point, where: Point, first: bool, said: str) -> list[Action]:
    """Return what the other piece does to this one, in the senses of design §3."""
    outward = tangent if first else (-tangent[0] + 0.0, -tangent[1] + 0.0)
    rises = outward[0] if abs(outward[0]) > 1e-9 else outward[1]
    return [
        Action(f"axial at {said}", "cut", where, outward, joint=""),
        Action(f"shear at {said}", "cut", where, (outward[1], -outward[0] + 0.0), joint=""),
        Action(f"moment at {said}", "cut", where, (0.0, 0.0), 1.0 if rises > 0 else -1.0),
    ]


def _words(tangent: Point) -> tuple[str, str]:
    if abs(tangent[0]) > 1e-9:
        return ("left", "right") if tangent[0] > 0 else ("right", "left")
    return ("below", "above") if tangent[1] > 0 else ("above", "below")


def _short(member: str) -> str:
    start, _, end = member.partition("-")
    return start + end if len(start) == len(end) == 1 else member
