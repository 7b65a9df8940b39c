"""Every free body that a working may choose, with all that acts on it from outside."""

from collections.abc import Callable, Hashable, Iterable, Iterator
from functools import cached_property

from verifier.statics.acting import Acting, Point
from verifier.statics.actions import Action, FreeBody
from verifier.statics.bodylines import BodyLine, body_lines
from verifier.statics.choices import candidates
from verifier.statics.layout import Layout
from verifier.statics.pieces import FIRST, LAST, Cut, piece
from verifier.statics.sections import fragments, straight_cuts, two_sides
from verifier.statics.titles import leftness, title
from verifier.structure.model import Structure


class FreeBodies:
    """The free bodies of one structure; each is made once.

    Names that are not in the structure raise `KeyError`, as does `joint` for a joint that lies
    on one body alone and so is no free body of its own (see `joints`).
    """

    def __init__(self, structure: Structure) -> None:
        self.structure = structure
        self.layout = Layout(structure)
        self.acting = Acting(self.layout)
        self.points: dict[str, Point] = self.acting.points
        self._made: dict[Hashable, FreeBody] = {}
        self._lines: dict[str, tuple[BodyLine, ...]] = {}
        self._cuts: dict[int, list[frozenset[str]]] = {}

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

    def held_joint(self, name: str) -> FreeBody:
        """Return a joint that lies on one body alone, cut free of it: supports, loads, pin forces.

        Only where a sheet asks for the pin force there; the body itself takes these directly.
        """
        body = self.layout.home[name]
        at = self.points[name]
        inner = [
            Action(f"pin {name} {axis} on {body}", "pin", at, along, joint=name)
            for axis, along in (("x", (-1.0, 0.0)), ("y", (0.0, -1.0)))
        ]
        outer = [
            self.acting.of(thing)
            for things in (self.layout.by_part[body], self.layout.knowns_by_part[body])
            for thing in things
            if thing.joint == name
        ]
        forces = [action for action in outer if not action.turn]
        return self._keep(
            ("held", name),
            lambda: FreeBody(f"joint {name}", frozenset((name,)), (*inner, *forces)),
        )

    def body(self, name: str, *, with_joints: bool = False) -> FreeBody:
        """Return one body: pin forces act on it where it shares a joint.

        `with_joints` takes in its joints that no other body shares, so that members, supports and
        loads there act on it themselves instead of through a pin force.
        """
        if name not in self.layout.bodies:
            raise KeyError(name)
        joints = self.own_joints(name) if with_joints else ()
        said = f"body {name} with its joints" if joints else f"body {name}"
        return self._keep(("body", name, bool(joints)), lambda: self._free(said, (name, *joints)))

    def part(self, parts: Iterable[str]) -> FreeBody:
        """Return a set of joints and bodies; a joint between two of its bodies comes with them.

        A joint that lies on one body alone may be named beside that body.
        """
        chosen = self.closed(frozenset(parts))
        if len(chosen) == len(self.layout.parts):
            return self.whole()
        if len(chosen) == 1:
            (only,) = chosen
            return self.body(only) if only in self.layout.bodies else self.joint(only)
        return self._keep(chosen, lambda: self._part(chosen))

    def cut(self, members: Iterable[str], hinge: str = "") -> tuple[FreeBody, ...]:
        """Return the two parts that a section through members leaves, the left or lower first.

        The section may run through a hinge as well; left out, one is looked for where the members
        alone do not part the structure. Empty where it hangs together in spite of the cut. Raises
        `KeyError` for what is no member.
        """
        names = frozenset(members)
        sides = self._sides(names, hinge)
        for other in () if sides or hinge else self.hinges:
            sides = sides or self._sides(names, other)
        return tuple(self.part(side) for side in sorted(sides, key=lambda s: leftness(self, s)))

    def _sides(self, members: frozenset[str], hinge: str) -> tuple[frozenset[str], ...]:
        ends = [self.layout.member_ends[name] for name in members]
        opened = frozenset((hinge,)) if hinge else frozenset[str]()
        return two_sides(fragments(self.layout, members, opened), ends) or ()

    def fragments(self, removed: Iterable[str] = ()) -> list[frozenset[str]]:
        """Return the sets of parts that hang together once some members are taken away."""
        return fragments(self.layout, frozenset(removed))

    @property
    def hinges(self) -> tuple[str, ...]:
        """The joints at which bodies are pinned to each other."""
        return tuple(name for name, bodies in self.layout.on_bodies.items() if len(bodies) > 1)

    def sections(self, most: int = 4) -> Iterator[FreeBody]:
        """Yield both parts of every straight cut through 2 to `most` members, fewest first.

        A part that is one joint or one body is left out: it is a free body anyway.
        """
        if most not in self._cuts:
            self._cuts[most] = straight_cuts(self.layout, self.points, self.size, most)
        for cut in self._cuts[most]:
            yield from (part for part in self.cut(cut) if part.cut)

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
        the body's first end. `name` replaces the place in the item names `axial at …`;
        `with_joints` is as for `body`.
        """
        if side not in FIRST | LAST:
            raise KeyError(side)
        key = ("cut", body, at, side in FIRST, just, with_joints, name)
        taken = self.own_joints(body) if with_joints else ()
        return self._keep(
            key,
            lambda: piece(self.cut_at(body, at, side, just, name), self.layout, self.acting, taken),
        )

    def cut_at(
        self, body: str, at: str | Point, side: str = "left", just: str = "", name: str = ""
    ) -> Cut:
        """Return the cut that `through_body` makes."""
        if isinstance(at, str):
            line = self.line(body, at)
            where, place = self.points[at], line.distances[line.joints.index(at)]
            just = just or ("after" if at == line.joints[0] else "before")
            said = name or at
        else:
            line = min(self.lines(body), key=lambda one: one.nearest(at)[0])
            where, place = at, line.place(at)
            said = name or f"({at[0]:.6g}, {at[1]:.6g})"
        return Cut(body, line, where, place, side in FIRST, just in LAST, said)

    def line(self, body: str, joint: str = "") -> BodyLine:
        """Return a body as a line of joints, in order along it: its stubs hang on it.

        With a joint, the line through that joint: a stub's own for a joint on a stub. Raises
        `KeyError` for a joint that is not on the body.
        """
        lines = self.lines(body)
        for line in lines if joint else ():
            if joint in line.joints:
                return line
        if joint:
            raise KeyError(joint)
        return lines[0]

    def lines(self, body: str) -> tuple[BodyLine, ...]:
        """Return the lines along which a body can be cut: its main one, then its stubs'."""
        if body not in self._lines:
            points = next((b.points for b in self.structure.bodies if b.name == body), None)
            if points is None:
                raise KeyError(body)
            names = tuple(dict.fromkeys(points))
            self._lines[body] = body_lines(names, [self.points[name] for name in names])
        return self._lines[body]

    def candidates(self, most: int = 4) -> Iterator[FreeBody]:
        """Yield the free bodies that a working is likely to choose, likeliest first."""
        return candidates(self, most)

    def own_joints(self, body: str) -> tuple[str, ...]:
        """Return the joints of a body that are free bodies themselves and on no other body."""
        on_bodies = self.layout.on_bodies
        return tuple(joint for joint in self.joints if on_bodies.get(joint, ()) == (body,))

    @cached_property
    def size(self) -> float:
        """The largest extent of the figure, at least a tiny positive length."""
        xs = [self.points[name][0] for name in self.layout.used] or [0.0]
        ys = [self.points[name][1] for name in self.layout.used] or [0.0]
        return max(max(xs) - min(xs), max(ys) - min(ys)) or 1.0

    def closed(self, named: frozenset[str]) -> frozenset[str]:
        """Return joints and bodies by name, with the joints between two of the bodies."""
        layout = self.layout
        chosen = {name for name in named if name in layout.joints or name in layout.bodies}
        for name in named - chosen:
            if layout.home.get(name) not in chosen:
                raise KeyError(name)
        for joint in layout.joints:
            if self.between(joint, chosen):
                chosen.add(joint)
        return frozenset(chosen)

    def between(self, joint: str, bodies: Iterable[str]) -> bool:
        """Tell whether a joint joins two or more of some bodies."""
        held = set(bodies)
        return sum(body in held for body in self.layout.on_bodies.get(joint, ())) > 1

    def _part(self, chosen: frozenset[str]) -> FreeBody:
        ordered = [part for part in self.layout.parts if part in chosen]
        bare = self._free("", ordered)
        cut = tuple(dict.fromkeys(a.item for a in bare.actions if a.kind == "member"))
        pinned = tuple(dict.fromkeys(a.joint for a in bare.actions if a.kind == "pin"))
        return FreeBody(title(self, ordered, cut, pinned), chosen, bare.actions, cut)

    def _keep(self, key: Hashable, make: Callable[[], FreeBody]) -> FreeBody:
        made = self._made.get(key)
        if made is None:
            made = self._made[key] = make()
        return made

    def _free(self, name: str, parts: Iterable[str]) -> FreeBody:
        chosen = tuple(parts)
        inside = frozenset(chosen)
        layout, acting = self.layout, self.acting
        actions = [
            acting.of(touch)
            for part in chosen
            for touch in layout.by_part[part]
            if touch.other not in inside
        ]
        actions += acting.loads([k for part in chosen for k in layout.knowns_by_part[part]])
        return FreeBody(name, inside, tuple(actions))
