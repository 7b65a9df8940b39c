"""Which free bodies and sums a line may be about, from headings, labels and the line itself."""

import math
import re
from collections.abc import Hashable, Iterable, Iterator, Set
from dataclasses import dataclass, field, replace
from functools import partial
from itertools import combinations

from verifier.checking.faults import Explanation
from verifier.checking.figure import Axis, Figure
from verifier.checking.forms import Form
from verifier.checking.segments import segments
from verifier.checking.sums import Expected, Sums, horizontal, vertical
from verifier.notation.names import canonical
from verifier.notation.tree import Heading, SumLabel
from verifier.statics.actions import FreeBody

_MOST_SECTIONS = 40
INNER = ("axial at ", "shear at ", "moment at ")
_SIDES = {"left": 0, "lower": 0, "right": 1, "upper": 1}


@dataclass
class Context:
    """Where in the working a line stands: the free bodies of the heading and the sum's label.

    `cut` are those of the last section, which a heading below may only interrupt; `sided` tells
    whether that section says which part is meant.
    """

    bodies: tuple[FreeBody, ...] = ()
    cut: tuple[FreeBody, ...] = ()
    sided: bool = False
    label: SumLabel | None = None
    fresh: bool = False
    signs: dict[str, float] = field(default_factory=dict)


_TILTED = re.compile(
    r"\b[xX]\b[^.;=]{0,24}\b(?:along|up|down|parallel\w*|parallèle\w*|paralel\w*|entlang|längs|lungo"
    r"|suivant|wzdłuż|równoleg\w*|evenwijdig|langs)\b[^.;=]{0,24}"
    r"\b(?:inclin\w*|slope|plane|ramp\w*|slip\w*|rail\w*|track|Ebene|Schräge|Hang|plan|pente|pendiente"
    r"|plano|piano|równi|pochyln\w*|helling|lutning\w*|planet|beam|Balken|Stab|Träger)\b",
    re.IGNORECASE,
)


def axes_tilted(texts: Iterable[str]) -> bool:
    """Tell whether a working declares axes of its own: `x along the slipway, y square to it`."""
    return any(_TILTED.search(text) for text in texts)


class Surroundings:
    """Answers which sums a line may be about on one figure."""

    def __init__(self, figure: Figure) -> None:
        self.figure = figure
        self.sums = Sums(figure)
        self._joints = {canonical(name): name for name in figure.points}
        self._bodies = {canonical(b.name): b.name for b in figure.structure.bodies}
        self._wide: list[FreeBody] | None = None
        self._unknowns: dict[str, frozenset[str]] = {}
        self._widened: dict[frozenset[str], tuple[list[Expected], Iterator[Expected]]] = {}
        self._pieces: dict[str, list[FreeBody]] = {}
        self.tilted = False
        self.explained: dict[Hashable, Explanation] = {}

    def joint(self, name: str) -> str | None:
        """Return the sheet's joint that a written name is, if any."""
        return self._joints.get(canonical(name))

    def bodies_of(self, heading: Heading) -> tuple[FreeBody, ...]:
        """Return the free bodies that a heading may mean; empty where it names none."""
        names = [canonical(name) for name in heading.names]
        match heading.kind:
            case "joint" if names and names[0] in self._joints:
                return self._at_joint(self._joints[names[0]])
            case "whole" | "reactions":
                return (self.figure.bodies.whole(),)
            case "body":
                return self._of_bodies(names)
            case "section":
                return self._of_section(heading.names, heading.side)
        return ()

    def _at_joint(self, joint: str) -> tuple[FreeBody, ...]:
        if joint in self.figure.every_joint:
            return (self.figure.every_joint[joint],)
        holders = [b.name for b in self.figure.structure.bodies if joint in b.points]
        pinned = joint in self.figure.bodies.joints
        return (
            *(self.figure.bodies.body(name) for name in holders),
            *(self.figure.bodies.part((name, joint)) for name in holders if pinned),
        )

    def _of_bodies(self, names: list[str]) -> tuple[FreeBody, ...]:
        chosen = [self._bodies[name] for name in names if name in self._bodies]
        if not chosen:
            ends = [self._joints[n] for name in names for n in self._spelt(name)]
            chosen = [
                b.name for b in self.figure.structure.bodies if ends and set(ends) <= set(b.points)
            ]
        if len(chosen) == 1:
            name = chosen[0]
            return (
                self.figure.bodies.body(name),
                self.figure.bodies.body(name, with_joints=True),
                *self._with_shared(name),
            )
        return (self.figure.bodies.part(chosen),) if chosen else ()

    def _spelt(self, name: str) -> tuple[str, ...]:
        """Return the joints that a name is, or is written with: CDE; none where it is neither."""
        spelt = (name,) if name in self._joints else tuple(name)
        return spelt if all(letter in self._joints for letter in spelt) else ()

    def _with_shared(self, name: str) -> tuple[FreeBody, ...]:
        body = next(b for b in self.figure.structure.bodies if b.name == name)
        own = [joint for joint in body.points if joint in self.figure.bodies.joints]
        return (self.figure.bodies.part((name, *own)),) if own else ()

    def _of_section(self, names: tuple[str, ...], side: str) -> tuple[FreeBody, ...]:
        members = []
        for name in names:
            text = canonical(name).replace("-", "")
            for ends, item in self.figure.member_ends.items():
                pair = [canonical(end) for end in ends]
                if text in (pair[0] + pair[-1], pair[-1] + pair[0]):
                    members.append(item)
        if members:
            return self._parts(members, side)
        for name in names:
            joint = self._joints.get(canonical(name))
            if joint is not None:
                return tuple(self.cuts_at(joint))
        return ()

    def _parts(self, members: list[str], side: str) -> tuple[FreeBody, ...]:
        """Return both parts that a cut leaves, the named side first; crumbs count as one part."""
        parts = list(self.figure.bodies.cut(members))
        if len(parts) > 2:
            whole = [part for part in parts if set(members) <= set(part.cut)]
            crumbs = [name for part in parts if part not in whole for name in part.parts]
            parts = [*whole, self.figure.bodies.part(crumbs)] if whole else parts
        if _SIDES.get(side):
            parts.reverse()
        return tuple(parts)

    def cuts_at(self, joint: str) -> list[FreeBody]:
        """Return the pieces of bodies cut at a joint, either side, loads at it on either piece.

        Forces on the face beyond what acts at the joint are named `shear at C, right`.
        """
        if joint not in self._pieces:
            self._pieces[joint] = list(self._made_at(joint))
        return self._pieces[joint]

    def _made_at(self, joint: str) -> Iterator[FreeBody]:
        for body in self.figure.structure.bodies:
            if joint not in body.points:
                continue
            cut = partial(self.figure.bodies.through_body, body.name, joint)
            first = joint == self.figure.bodies.line(body.name, joint).joints[0]
            for side in ("left", "right"):
                for just in ("before", "after"):
                    usual = just == ("after" if first else "before")
                    name = "" if usual else f"{joint}, {'right' if just == 'after' else 'left'}"
                    piece = cut(side, just=just, name=name)
                    said = piece.name if usual else _past(piece.name, joint, just)
                    yield replace(piece, name=said)
                    whole = cut(side, just=just, name=name, with_joints=True)
                    if whole.actions != piece.actions:
                        yield replace(whole, name=f"{said} with its joints")

    def strict(self, context: Context, form: Form) -> list[Expected]:
        """Return the sums that heading and label allow; empty where neither says anything."""
        label = context.label if context.fresh else None
        bodies = self._named_bodies(context, label)
        if label is None:
            return [self.sums.sum(body, axis) for body in bodies for axis in self.sums.axes(body)]
        axes = self._axes(label)
        chosen = bodies or tuple(self.usual(form))
        return [
            self.sums.sum(body, axis)
            for body in chosen
            for axis in (*self._crossings(label, body), *axes)
            if not (axis.about is not None and body.name.startswith("joint "))
        ]

    def _named_bodies(self, context: Context, label: SumLabel | None) -> tuple[FreeBody, ...]:
        if label is not None and label.at:
            at = canonical(label.at)
            if at in self._joints:
                return self._at_joint(self._joints[at])
            if at in self._bodies:
                return self._of_bodies([at])
        bodies = context.bodies
        moment = label is not None and label.axis == "moment"
        if moment and bodies and all(body.name.startswith("joint ") for body in bodies):
            return ()
        return bodies

    def _axes(self, label: SumLabel) -> list[Axis]:
        match label.axis:
            case "x" | "y":
                upright = horizontal() if label.axis == "x" else vertical()
                return [upright, *(self._inclined(label) if self.tilted else ())]
            case "moment":
                joint = self._joints.get(canonical(label.about))
                if joint is not None:
                    return [self.sums.about(joint)]
                return [self.sums.about(name) for name in self.figure.points]
        return list(self._inclined(label))

    def _crossings(self, label: SumLabel, body: FreeBody) -> Iterator[Axis]:
        """Yield moments about where the lines of two cut bars meet, for a point of one's own."""
        if label.axis != "moment" or not label.about or self.joint(label.about) is not None:
            return
        ends = {item: pair for pair, item in self.figure.member_ends.items()}
        bars = [ends[item] for item in body.cut if item in ends]
        for (a, b), (c, d) in combinations(bars, 2):
            (ax, ay), (bx, by) = self.figure.points[a], self.figure.points[b]
            (cx, cy), (dx, dy) = self.figure.points[c], self.figure.points[d]
            turn = (bx - ax) * (dy - cy) - (by - ay) * (dx - cx)
            if abs(turn) > 1e-9:
                share = ((cx - ax) * (dy - cy) - (cy - ay) * (dx - cx)) / turn
                at = (ax + share * (bx - ax), ay + share * (by - ay))
                yield Axis(f"moments about {label.about}", about=at)

    def _inclined(self, label: SumLabel) -> Iterator[Axis]:
        if label.degrees is not None:
            yield self.sums.inclined(label.degrees)
            yield self.sums.inclined(label.degrees + 90)
            return
        slopes = {0.0, 90.0}
        for member in self.figure.structure.members:
            (x1, y1), (x2, y2) = (self.figure.points[e] for e in (member.start, member.end))
            slopes.add(round(math.degrees(math.atan2(y2 - y1, x2 - x1)) % 180, 9))
        for body in self.figure.structure.bodies:
            for first, second in zip(body.points, body.points[1:], strict=False):
                (x1, y1), (x2, y2) = self.figure.points[first], self.figure.points[second]
                slopes.add(round(math.degrees(math.atan2(y2 - y1, x2 - x1)) % 180, 9))
        for slope in sorted(slopes):
            yield self.sums.inclined(slope)
            yield self.sums.inclined((slope + 90) % 180)

    def usual(self, form: Form) -> list[FreeBody]:
        """Return the free bodies that need no heading and on which one of the forces acts."""
        written = {term.variable for term in form.terms if term.variable}
        bodies = [*self.sums.usual(), *self._cuts(written)]
        if not written:
            return bodies
        return [body for body in bodies if self._acts(body, written)] or bodies[:1]

    def wide(self, form: Form) -> Iterator[Expected]:
        """Yield every sum that the forces of a line allow, likeliest first; each is made once."""
        written = frozenset(term.variable for term in form.terms if term.variable)
        made, rest = self._widened.setdefault(written, ([], self._every_sum(written)))
        at = 0
        while True:
            if at == len(made):
                further = next(rest, None)
                if further is None:
                    return
                made.append(further)
            yield made[at]
            at += 1

    def _every_sum(self, written: Set[str]) -> Iterator[Expected]:
        for body in (*self._cuts(written), *self._all_bodies()):
            if written and not self._acts(body, written, every=True):
                continue
            for axis in self.sums.axes(body):
                yield self.sums.sum(body, axis)

    def _cuts(self, variables: Set[str]) -> list[FreeBody]:
        """Return the pieces of bodies whose inner forces are among the variables."""
        said = {v.rpartition(" at ")[2] for v in variables if v.startswith(INNER)}
        places = {place.partition(",")[0] for place in said}
        return [body for place in sorted(places) for body in self.cuts_at(place)]

    def _all_bodies(self) -> list[FreeBody]:
        if self._wide is None:
            found: dict[str, FreeBody] = {}
            for body in self.sums.usual():
                found.setdefault(body.name, body)
            for body in self.figure.bodies.candidates(4):
                found.setdefault(body.name, body)
                if len(found) > _MOST_SECTIONS + 2 * len(self.figure.points):
                    break
            self._wide = list(found.values())
        return self._wide

    def interrupted(self, context: Context, form: Form) -> list[Expected]:
        """Return the sums of the last section where a line's forces act on no headed body."""
        written = {term.variable for term in form.terms if term.variable}
        cut = tuple(body for body in context.cut if self._acts(body, written, every=True))
        headed = any(self._acts(body, written, every=True) for body in context.bodies)
        return [] if headed or not written else self.strict(replace(context, bodies=cut), form)

    def elsewhere(self, context: Context, form: Form) -> Iterator[Expected]:
        """Yield sums of the usual free bodies along the label's axis, whatever the heading says."""
        label = context.label if context.fresh else None
        for body in self.usual(form):
            axes = self.sums.axes(body) if label is None else self._axes(label)
            for axis in axes:
                if not (axis.about is not None and body.name.startswith("joint ")):
                    yield self.sums.sum(body, axis)

    def holding(self, context: Context, form: Form) -> Iterator[Expected]:
        """Yield the sums, along the label's axis, of every body on which all forces written act."""
        label = context.label if context.fresh else None
        written = {term.variable for term in form.terms if term.variable}
        for body in self._all_bodies() if written else ():
            if self._acts(body, written, every=True):
                for axis in self.sums.axes(body) if label is None else self._axes(label):
                    yield self.sums.sum(body, axis)

    def hold(self, sums: Iterable[Expected], form: Form) -> bool:
        """Tell whether all forces that a line writes act on the body of one of these sums."""
        written = {term.variable for term in form.terms if term.variable}
        return any(self._acts(expected.body, written, every=True) for expected in sums)

    def across(self, context: Context, form: Form) -> Iterator[Expected]:
        """Yield the sums of a joint across the one inclined force that a line leaves out."""
        written = {term.variable for term in form.terms if term.variable}
        for body in context.bodies if written and not context.fresh else ():
            out = [a for a in body.actions if a.value is None]
            out = [a for a in out if self.figure.variable(a.item)[0] not in written]
            if body.name.startswith("joint ") and len(out) == 1 and all(out[0].along):
                slope = math.degrees(math.atan2(out[0].along[1], out[0].along[0]))
                axis = self.sums.inclined(round((slope + 90) % 180, 9))
                yield self.sums.sum(body, replace(axis, words=f"sum across {out[0].item}"))

    def between(self, form: Form) -> Iterator[Expected]:
        """Yield the sums of the slices and pieces beside a joint whose inner forces are written."""
        written = {term.variable for term in form.terms if term.variable.startswith(INNER)}
        said = {variable.rpartition(" at ")[2].partition(",")[0] for variable in written}
        holders = [
            (b.name, j) for b in self.figure.structure.bodies for j in sorted(said & {*b.points})
        ]
        for body, joint in holders:
            for piece, ends in segments(self.figure, body, joint):
                for axis in (vertical(), horizontal(), *map(self.sums.about, ends)):
                    yield self.sums.sum(piece, axis)

    def _acts(self, body: FreeBody, variables: Set[str], every: bool = False) -> bool:
        own = self._unknowns.get(body.name)
        if own is None:
            found = (self.figure.variable(a.item)[0] for a in body.actions if a.value is None)
            own = self._unknowns[body.name] = frozenset(found)
        return variables <= own if every else bool(variables & own)


def _past(name: str, joint: str, just: str) -> str:
    """Return what a piece is called whose cut runs just past a joint instead of just before it."""
    head = name.removesuffix(f", {'right' if just == 'after' else 'left'}").removesuffix(joint)
    return f"{head}a cut just {'past' if just == 'after' else 'before'} {joint}"
