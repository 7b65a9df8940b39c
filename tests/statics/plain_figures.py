"""Figures with a solution of their own: every joint and every body apart, in sixty digits.

Nothing here shares a line with `verifier`: a figure writes itself as a sheet, and is solved by one
large system in which each body takes a pin force at each of its joints. Loads are kept as the
numbers that the sheet prints.
"""

from dataclasses import dataclass, field
from itertools import combinations

from mpmath import cos, lu_solve, matrix, mp, mpf, radians, sin, sqrt

mp.dps = 60


def number(text):
    """A printed number as it is."""
    return mpf(text)


@dataclass
class Figure:
    """Joints `name: (x, y)` as text, members, bodies, supports and loads."""

    joints: dict[str, tuple[str, str]]
    members: list[tuple[str, str]] = field(default_factory=list)
    cables: list[tuple[str, str]] = field(default_factory=list)
    bodies: dict[str, list[str]] = field(default_factory=dict)
    pins: list[str] = field(default_factory=list)
    fixed: list[str] = field(default_factory=list)
    rollers: list[tuple[str, str]] = field(default_factory=list)
    forces: list[tuple[str, str, str]] = field(default_factory=list)
    couples: list[tuple[str, str, str]] = field(default_factory=list)
    spreads: list[tuple[str, str, str, str, str, bool]] = field(default_factory=list)
    masses: list[tuple[str, str]] = field(default_factory=list)
    cuts: list[tuple[str, str]] = field(default_factory=list)
    units: str = "kN, m"

    def sheet(self):
        """The figure as a sheet that asks for everything."""
        lines = [f"units {self.units}"]
        lines += [f"joint {name} {x} {y}" for name, (x, y) in self.joints.items()]
        lines += [f"member {a}-{b}" for a, b in self.members]
        lines += [f"cable {a}-{b}" for a, b in self.cables]
        lines += [f"body {name}: {', '.join(at)}" for name, at in self.bodies.items()]
        lines += [f"pin {at}" for at in self.pins] + [f"fixed {at}" for at in self.fixed]
        lines += [f"roller {at} at {turn}" for at, turn in self.rollers]
        lines += [f"load {at} {size} {way}" for at, size, way in self.forces]
        lines += [f"mass {at} {size}" for at, size in self.masses]
        for at, size, body in self.couples:
            sense = "clockwise" if size.startswith("-") else "anticlockwise"
            lines.append(f"couple {at} {size.lstrip('-')} {sense} on {body}")
        for start, end, first, last, way, plan in self.spreads:
            tail = " on plan" if plan else ""
            lines.append(f"distributed {start}-{end} {first} to {last} {way}{tail}")
        asked = [f"{what} at {at}" for at, _ in self.cuts for what in ("axial", "shear", "moment")]
        asked += ["reactions"] if self.pins or self.fixed or self.rollers else []
        asked += ["all members"] if self.members or self.cables else []
        asked += [
            f"pin {joint} {axis} on {body}" for body, joint in self.shared() for axis in ("x", "y")
        ]
        return "\n".join([*lines, "find " + ", ".join(asked)]) + "\n"

    def shared(self):
        """Pairs (body, joint) where the body meets another body or a member."""
        return [
            (body, joint)
            for body, at in self.bodies.items()
            for joint in at
            if sum(joint in other for other in self.bodies.values()) > 1
        ]

    def at(self, joint):
        """Where a joint lies."""
        x, y = self.joints[joint]
        return number(x), number(y)

    def unit(self, start, end):
        """The unit vector between two joints, and their distance."""
        (x1, y1), (x2, y2) = self.at(start), self.at(end)
        long = sqrt((x2 - x1) ** 2 + (y2 - y1) ** 2)
        return (x2 - x1) / long, (y2 - y1) / long, long

    def closest(self):
        """The least distance between two joints."""
        return min(self.unit(one, two)[2] for one, two in combinations(self.joints, 2))

    def way(self, words, joint):
        """The unit vector of a direction in words."""
        plain = {"up": (0, 1), "down": (0, -1), "left": (-1, 0), "right": (1, 0)}
        if words in plain:
            return plain[words]
        if words.startswith("at "):
            turn = radians(number(words[3:]))
            return cos(turn), sin(turn)
        x, y, _ = self.unit(joint, words.split()[-1])
        return (x, y) if words.startswith("toward") else (-x, -y)

    def carrier(self, start, end):
        """The body that a spread load lies on."""
        return next(b for b, at in self.bodies.items() if start in at and end in at)

    def samples(self, spread):
        """Two forces that stand for a linearly varying load in every sum (Gauss's two points)."""
        start, end, first, last, words, plan = spread
        (x1, y1), (x2, y2) = self.at(start), self.at(end)
        dx, _, long = self.unit(start, end)
        if plan:
            long *= abs(dx)
        wx, wy = self.way(words, start)
        for share in ((1 - 1 / sqrt(mpf(3))) / 2, (1 + 1 / sqrt(mpf(3))) / 2):
            size = (number(first) + (number(last) - number(first)) * share) * long / 2
            yield x1 + share * (x2 - x1), y1 + share * (y2 - y1), size * wx, size * wy

    def weight(self, size):
        """A mass's weight in the figure's unit of force."""
        return number(size) * mpf("9.81") / (1000 if self.units.startswith("kN") else 1)


class System:
    """One row for each joint's two sums and each body's three."""

    def __init__(self, figure):
        self.figure = figure
        self.items = []
        self.rows = {}
        self.known = {}
        for name in figure.joints:
            if self._used(name):
                self.rows |= {(name, "x"): {}, (name, "y"): {}}
        for body in figure.bodies:
            self.rows |= {(body, axis): {} for axis in ("X", "Y", "M")}
        self.known = dict.fromkeys(self.rows, mpf(0))
        self._fill()

    def _used(self, name):
        figure = self.figure
        lines = [*figure.members, *figure.cables, *figure.bodies.values()]
        return any(name in line for line in lines)

    def _fill(self):
        figure = self.figure
        for a, b in [*figure.members, *figure.cables]:
            x, y, _ = figure.unit(a, b)
            for joint, sign in ((a, 1), (b, -1)):
                self._put(joint, "x", f"{a}-{b}", sign * x)
                self._put(joint, "y", f"{a}-{b}", sign * y)
        for at in [*figure.pins, *figure.fixed]:
            self._put(at, "x", f"reaction {at} x", 1)
            self._put(at, "y", f"reaction {at} y", 1)
        for at in figure.fixed:
            body = next(name for name, joints in figure.bodies.items() if at in joints)
            self._put(body, "M", f"reaction {at} moment", 1)
        for at, turn in figure.rollers:
            x, y = figure.way(f"at {turn}", at)
            self._put(at, "x", f"reaction {at}", x)
            self._put(at, "y", f"reaction {at}", y)
        for body, joints in figure.bodies.items():
            for joint in joints:
                px, py = figure.at(joint)
                for axis, arm, big in (("x", -py, "X"), ("y", px, "Y")):
                    item = f"pin {joint} {axis} on {body}"
                    self._put(joint, axis, item, -1)
                    self._put(body, big, item, 1)
                    self._put(body, "M", item, arm)
        self._loads()

    def _loads(self):
        figure = self.figure
        for at, size, words in figure.forces:
            x, y = figure.way(words, at)
            self.known[at, "x"] += number(size) * x
            self.known[at, "y"] += number(size) * y
        for at, size in figure.masses:
            self.known[at, "y"] -= figure.weight(size)
        for _, size, body in figure.couples:
            self.known[body, "M"] += number(size)
        for spread in figure.spreads:
            body = figure.carrier(*spread[:2])
            for x, y, fx, fy in figure.samples(spread):
                self.known[body, "X"] += fx
                self.known[body, "Y"] += fy
                self.known[body, "M"] += x * fy - y * fx

    def _put(self, part, axis, item, share):
        if item not in self.items:
            self.items.append(item)
        self.rows[part, axis][item] = self.rows[part, axis].get(item, 0) + share

    def solve(self):
        """The values of all items, or None where the rows do not stand apart."""
        if len(self.rows) != len(self.items):
            return None
        size = len(self.items)
        left, right = matrix(size, size), matrix(size, 1)
        for row, (key, shares) in enumerate(self.rows.items()):
            for item, share in shares.items():
                left[row, self.items.index(item)] = share
            right[row] = -self.known[key]
        try:
            found = lu_solve(left, right)
        except ZeroDivisionError:
            return None
        return dict(zip(self.items, found, strict=True))


def internal(figure, found, at, body):
    """Axial force, shear and moment at an unloaded joint inside a straight body, left piece."""
    joints = figure.bodies[body]
    kx, ky = figure.at(at)
    ax, ay, _ = figure.unit(joints[0], joints[-1])

    def along(x, y):
        return (x - kx) * ax + (y - ky) * ay

    fx = fy = turn = mpf(0)
    for joint in joints:
        x, y = figure.at(joint)
        if joint != at and along(x, y) < 0:
            px, py = (found[f"pin {joint} {axis} on {body}"] for axis in ("x", "y"))
            fx, fy = fx + px, fy + py
            turn += (x - kx) * py - (y - ky) * px
            turn += found.get(f"reaction {joint} moment", 0)
            turn += sum(number(s) for j, s, b in figure.couples if (j, b) == (joint, body))
    for spread in figure.spreads:
        if figure.carrier(*spread[:2]) != body:
            continue
        for x, y, px, py in clipped(figure, spread, at, along):
            fx, fy = fx + px, fy + py
            turn += (x - kx) * py - (y - ky) * px
    return {
        f"axial at {at}": -(fx * ax + fy * ay),
        f"shear at {at}": -fx * ay + fy * ax,
        f"moment at {at}": -turn,
    }


def clipped(figure, spread, at, along):
    """The samples of what of a spread load lies before a joint."""
    start, end, first, last, words, plan = spread
    one, two = along(*figure.at(start)), along(*figure.at(end))
    if one > two:
        return clipped(figure, (end, start, last, first, words, plan), at, along)
    if one >= 0:
        return []
    if two <= 0:
        return list(figure.samples(spread))
    share = -one / (two - one)
    middle = number(first) + (number(last) - number(first)) * share
    return list(figure.samples((start, at, first, str(middle), words, plan)))
