"""The search for a person's order: which sum of which free body gives an unknown next."""

import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from itertools import combinations

from verifier.statics.actions import Action, FreeBody
from verifier.statics.freebodies import FreeBodies
from verifier.statics.sums import Point, Sum, about, across, along_x, along_y

_MOST_CENTRES = 12


@dataclass(frozen=True)
class Taken:
    """A sum that was taken: what it rests on, and what it gives."""

    sum: Sum
    uses: frozenset[str]
    gives: tuple[str, ...]


@dataclass
class Search:
    """The search for the next equation; `known` are the items found so far."""

    bodies: FreeBodies
    by_sections: bool = False
    known: set[str] = field(default_factory=set)
    taken: list[Taken] = field(default_factory=list)
    sums: dict[str, list[tuple[Sum, dict[str, float]]]] = field(default_factory=dict)
    last: str = ""

    def run(self, targets: frozenset[str]) -> list[Taken]:
        """Return the sums that lead to the targets, each giving one unknown where possible."""
        while not targets <= self.known:
            if not (
                self._single(self._wide())
                or (self.by_sections and self._cut_for(targets))
                or self._at_joints()
                or self._single(self._wider())
                or self._together(self._wide())
                or self._together(self._wider())
                or self._all_at_once()
            ):
                break
        return self._needed(targets)

    def _wide(self) -> Iterator[FreeBody]:
        """Yield the whole structure and its bodies."""
        yield self.bodies.whole()
        for name in self.bodies.bodies:
            yield self.bodies.body(name, with_joints=True)
            yield self.bodies.body(name)

    def _wider(self) -> Iterator[FreeBody]:
        joints = {f"joint {name}" for name in self.bodies.joints}
        wide = {body.name for body in self._wide()}
        for body in self.bodies.candidates():
            if body.name not in joints and body.name not in wide:
                yield body

    def _cut_for(self, targets: frozenset[str]) -> bool:
        """Take a sum of a part cut free by a section that gives a target at once."""
        best = sorted(
            self.bodies.sections(),
            key=lambda body: (-len(targets & set(body.cut)), len(body.actions)),
        )
        for body in best:
            sums = [one for one in self._sums(body) if targets & frozenset(self._open(one[1]))]
            found = self._one(sums)
            if found is not None:
                self._take([found], self._open(found[1]))
                return True
        return False

    def _single(self, choices: Iterable[FreeBody]) -> bool:
        for body in choices:
            found = self._one(self._sums(body))
            if found is not None:
                self._take([found], self._open(found[1]))
                return True
        return False

    def _one(self, sums: list[tuple[Sum, dict[str, float]]]) -> tuple[Sum, dict[str, float]] | None:
        """Return a sum with one unknown: moments first, but forces once something is known."""
        fit = [one for one in sums if len(self._open(one[1])) == 1]
        begun = any(item in self.known for _, terms in sums for item in terms)
        return min(fit, key=lambda one: _rank(one[0], begun), default=None)

    def _at_joints(self) -> bool:
        """Go on at the joint with the fewest unknowns: one sum with one, or two with two."""
        for limit in (2, 99):
            best: tuple[tuple[int, bool], list[tuple[Sum, dict[str, float]]]] | None = None
            for name in self.bodies.joints:
                sums = self._joint_sums(name)
                open_items = {item for _, terms in sums for item in self._open(terms)}
                if not open_items or len(open_items) > limit:
                    continue
                found = self._one(sums)
                if found is None and len(open_items) > 2:
                    continue
                chosen = [found] if found else sums[:2]
                if not found and not _independent(chosen, tuple(open_items)):
                    continue
                rank = (len(open_items), name != self.last)
                if best is None or rank < best[0]:
                    best = rank, chosen
            if best is not None:
                self.last = best[1][0][0].body.name.removeprefix("joint ")
                items = {item for _, terms in best[1] for item in self._open(terms)}
                self._take(best[1], tuple(sorted(items)))
                return True
        return False

    def _joint_sums(self, name: str) -> list[tuple[Sum, dict[str, float]]]:
        body = self.bodies.joint(name)
        if body.name not in self.sums:
            sums = [along_x(body), along_y(body)]
            for action in body.actions:
                if action.kind == "member" and 1e-9 < abs(action.along[0]) < 1 - 1e-9:
                    sums.append(across(body, action.item, (-action.along[1], action.along[0])))
            self.sums[body.name] = [(one, one.terms()) for one in sums]
        return self.sums[body.name]

    def _together(self, choices: Iterable[FreeBody]) -> bool:
        """Take two sums in the same two unknowns."""
        pairs: dict[tuple[str, ...], list[tuple[Sum, dict[str, float]]]] = {}
        for body in choices:
            for one in self._sums(body):
                items = self._open(one[1])
                if len(items) != 2:
                    continue
                for other in pairs.setdefault(items, []):
                    if _independent([other, one], items):
                        self._take([other, one], items)
                        return True
                pairs[items].append(one)
        return False

    def _all_at_once(self) -> bool:
        """Take every equation of joints and bodies that still has an unknown."""
        rest: list[tuple[Sum, dict[str, float]]] = []
        for name in self.bodies.layout.parts:
            is_body = name in self.bodies.bodies
            body = self.bodies.body(name) if is_body else self.bodies.joint(name)
            sums = [along_x(body), along_y(body)]
            if is_body:
                line = self.bodies.line(name)
                sums.append(about(body, line.joints[0], line.points[0]))
            rest += [(one, one.terms()) for one in sums]
        rest = [one for one in rest if self._open(one[1])]
        items = tuple(sorted({item for _, terms in rest for item in self._open(terms)}))
        if items:
            self._take(rest, items)
        return bool(items)

    def _take(self, sums: list[tuple[Sum, dict[str, float]]], gives: tuple[str, ...]) -> None:
        uses = frozenset(item for one, _ in sums for item in _acting(one)) - frozenset(gives)
        for place, (one, _) in enumerate(sums):
            final = place == len(sums) - 1
            self.taken.append(Taken(one, uses, gives if final else ()))
        self.known |= set(gives)

    def _open(self, terms: Mapping[str, float]) -> tuple[str, ...]:
        return tuple(sorted(item for item in terms if item not in self.known))

    def _sums(self, body: FreeBody) -> list[tuple[Sum, dict[str, float]]]:
        if body.name not in self.sums:
            sums = [about(body, name, point) for name, point in self._centres(body)]
            sums += [along_x(body), along_y(body)]
            self.sums[body.name] = [(one, one.terms()) for one in sums]
        return self.sums[body.name]

    def _centres(self, body: FreeBody) -> list[tuple[str, Point]]:
        """Return moment points: those through which most unknowns pass come first."""
        unknown = [a for a in body.actions if a.value is None and a.turn == 0.0]
        found: dict[str, Point] = {}
        for action in unknown:
            if action.joint:
                found[action.joint] = self.bodies.points[action.joint]
        exact = bool(self.bodies.structure.letters)
        for one, two in combinations(unknown[:8], 2):
            point = _crossing(one, two)
            if point is None or self._has(found, point):
                continue
            name = self._named(point)
            if name or not exact:
                found[name] = self.bodies.points.get(name, point)
        ranked = sorted(
            found.items(),
            key=lambda place: -sum(_passes(a, place[1], self.bodies.size) for a in unknown),
        )
        return ranked[:_MOST_CENTRES]

    def _has(self, found: Mapping[str, Point], point: Point) -> bool:
        return any(math.dist(point, other) < 1e-9 * self.bodies.size for other in found.values())

    def _named(self, point: Point) -> str:
        for name, place in self.bodies.points.items():
            if math.dist(point, place) < 1e-9 * self.bodies.size:
                return name
        return ""

    def _needed(self, targets: frozenset[str]) -> list[Taken]:
        """Return what was taken, without sums that lead to no target."""
        needed = set(targets)
        kept: list[Taken] = []
        group: tuple[str, ...] = ()
        for one in reversed(self.taken):
            group = one.gives or group
            if needed & set(group):
                kept.append(one)
                needed |= one.uses | set(group)
        return kept[::-1]


def _rank(one: Sum, begun: bool) -> int:
    if one.about is None:
        return 0 if begun or one.body.name.startswith("joint ") else 2
    return 1 if one.of else 3


def _acting(one: Sum) -> Iterator[str]:
    return iter(one.terms())


def _independent(sums: list[tuple[Sum, dict[str, float]]], items: tuple[str, ...]) -> bool:
    if len(items) != 2:
        return False
    a, b = ([terms.get(item, 0.0) for item in items] for _, terms in sums)
    cross = a[0] * b[1] - a[1] * b[0]
    return abs(cross) > 1e-9 * math.hypot(*a) * math.hypot(*b)


def _crossing(one: Action, two: Action) -> Point | None:
    (ax, ay), (bx, by) = one.along, two.along
    cross = ax * by - ay * bx
    if abs(cross) < 1e-6:
        return None
    dx, dy = two.at[0] - one.at[0], two.at[1] - one.at[1]
    along = (dx * by - dy * bx) / cross
    return one.at[0] + along * ax, one.at[1] + along * ay


def _passes(action: Action, point: Point, size: float) -> bool:
    return abs(action.moment(point)) < 1e-9 * size
