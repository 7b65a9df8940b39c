"""A random problem: its figure, its sheet text, its free bodies and its own statics."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

import numpy as np

from .actions import XY, Act, Dist, Slope, direction_words, effect, fmt

__all__ = ["Act", "Dist", "Problem", "Slope", "cut_acts", "effect", "fmt", "solve_inner"]


@dataclass
class Problem:
    family: str
    units: tuple[str, str]
    joints: dict[str, XY]
    members: list[tuple[str, str]] = field(default_factory=list)
    cables: list[tuple[str, str]] = field(default_factory=list)
    bodies: dict[str, tuple[str, ...]] = field(default_factory=dict)
    supports: list[tuple[str, str, float]] = field(default_factory=list)  # kind, joint, deg
    loads: list[tuple[str, float, Slope, str]] = field(
        default_factory=list
    )  # joint, value, slope, sheet words
    couples: list[tuple[str, float, str]] = field(default_factory=list)  # joint, ccw value, body
    dists: list[Dist] = field(default_factory=list)
    masses: list[tuple[str, float]] = field(default_factory=list)
    angles: dict[str, tuple[str, float]] = field(
        default_factory=dict
    )  # name -> sheet words, degrees
    calls: dict[str, str] = field(default_factory=dict)  # name -> item
    lets: list[str] = field(default_factory=list)
    find: list[str] = field(default_factory=list)
    title: str = ""
    truth: dict[str, float] = field(default_factory=dict)
    letters: tuple[str, str] | None = None  # force letter, length letter
    inner_at: list[tuple[str, str]] = field(default_factory=list)  # body, joint where cut
    notes: dict[str, str] = field(default_factory=dict)
    load_names: dict[str, str] = field(default_factory=dict)  # "load 0" -> P1
    spots: dict[str, tuple[XY, str, str]] = field(
        default_factory=dict
    )  # a point off the structure: where, and the two bars that meet there

    # ---- sheet
    def length(self, x: float) -> str:
        return self._letter(x, 1) if self.letters else fmt(x)

    def force(self, x: float) -> str:
        return self._letter(x, 0) if self.letters else fmt(x)

    def _letter(self, x: float, which: int) -> str:
        assert self.letters
        name = self.letters[which]
        if abs(x) < 1e-12:
            return "0"
        if abs(abs(x) - 1) < 1e-12:
            return name if x > 0 else f"-{name}"
        return f"{fmt(x)}*{name}"

    def sheet(self) -> str:
        out = [f"title   {self.title or self.family}"]
        if self.letters is None:
            out.append(f"units   {self.units[0]}, {self.units[1]}")
        out += self.lets
        for name, (x, y) in self.joints.items():
            out.append(f"joint   {name}  {self.length(x)}  {self.length(y)}")
        if self.members:
            out.append("member  " + ", ".join(f"{a}-{b}" for a, b in self.members))
        out += [f"cable   {a}-{b}" for a, b in self.cables]
        out += [f"body    {n}: {', '.join(js)}" for n, js in self.bodies.items()]
        for kind, j, deg in self.supports:
            out.append(
                f"{kind:<7} {j}" + (f" at {fmt(deg)}" if kind == "roller" and deg != 90 else "")
            )
        for j, v, _, words in self.loads:
            out.append(f"load    {j}  {self.force(v)}  {words}")
        for j, v, body in self.couples:
            way = "anticlockwise" if v > 0 else "clockwise"
            size = (
                fmt(abs(v))
                if self.letters is None
                else f"{fmt(abs(v))}*{self.letters[0]}*{self.letters[1]}"
            )
            out.append(
                f"couple  {j}  {size} {way}"
                + (f" on {body}" if body and len(self.bodies) > 1 else "")
            )
        for d in self.dists:
            to = f" to {fmt(d.w2)}" if d.w2 != d.w1 else ""
            w1 = fmt(d.w1) if self.letters is None else self.notes.get("w", "w")
            out.append(
                f"distributed {d.a}-{d.b} {w1}{to} {direction_words(d.deg)}{' on plan' * d.on_plan}"
            )
        out += [f"mass    {j}  {fmt(m)}" for j, m in self.masses]
        out += [f"angle   {n} = {words}" for n, (words, _) in self.angles.items()]
        out += [f"call    {n} = {item}" for n, item in self.calls.items()]
        for key, name in self.load_names.items():
            out.append(f"call    {name} = load {self.loads[int(key.split()[1])][0]}")
        out.append("find    " + ", ".join(self.find))
        return "\n".join(out) + "\n"

    # ---- actions
    def where(self, point: str) -> XY:
        """A joint, or a point off the structure; the origin without a name."""
        if point in self.spots:
            return self.spots[point][0]
        return self.joints.get(point, (0.0, 0.0))

    def load_size(self, key: str) -> float:
        return abs(self.loads[int(key.split()[1])][1])

    def bars(self) -> list[tuple[str, str]]:
        return self.members + self.cables

    def slope_between(self, a: str, b: str) -> Slope:
        (x1, y1), (x2, y2) = self.joints[a], self.joints[b]
        dx, dy = round(x2 - x1, 9), round(y2 - y1, 9)
        return Slope(math.degrees(math.atan2(dy, dx)) % 360, (abs(dx), abs(dy)))

    def support_acts(self, only: set[str]) -> list[Act]:
        out = []
        for kind, j, deg in self.supports:
            if j not in only:
                continue
            p = self.joints[j]
            if kind == "roller":
                key = f"reaction {j}"
                out.append(Act(key, "react", p, Slope(deg % 360)))
                continue
            out.append(Act(f"reaction {j} x", "react", p, Slope(0.0)))
            out.append(Act(f"reaction {j} y", "react", p, Slope(90.0)))
            if kind == "fixed":
                out.append(Act(f"reaction {j} moment", "moment", p, None))
        return out

    def load_acts(self, only: set[str], body: str | None = None) -> list[Act]:
        out = []
        for i, (j, v, slope, _) in enumerate(self.loads):
            if j in only:
                out.append(Act(f"load {i}", "load", self.joints[j], slope, v))
        for i, (j, m) in enumerate(self.masses):
            if j in only:
                out.append(
                    Act(f"mass {i}", "load", self.joints[j], Slope(270.0), m * 9.81, (m, 9.81))
                )
        for i, (j, v, owner) in enumerate(self.couples):
            if j in only and (body is None or not owner or owner == body):
                out.append(Act(f"couple {i}", "couple", self.joints[j], None, v))
        for i, d in enumerate(self.dists):
            if d.a in only and d.b in only:
                out += dist_acts(self, i, d)
        return out

    def body_joints(self) -> dict[str, list[str]]:
        """Joint -> bodies through it."""
        found: dict[str, list[str]] = {}
        for name, js in self.bodies.items():
            for j in js:
                found.setdefault(j, []).append(name)
        return found

    def whole(self) -> list[Act]:
        every = set(self.joints)
        return self.support_acts(every) + self.load_acts(every)

    def joint_body(self, names: set[str]) -> list[Act]:
        """The free body of a set of joints: every bar with one end in the set is cut."""
        out = self.support_acts(names) + self.load_acts(names)
        for a, b in self.bars():
            if (a in names) != (b in names):
                near, far = (a, b) if a in names else (b, a)
                out.append(
                    Act(f"{a}-{b}", "member", self.joints[near], self.slope_between(near, far))
                )
        return out

    def body(self, name: str) -> list[Act]:
        js = set(self.bodies[name])
        shared = {j for j, owners in self.body_joints().items() if len(owners) > 1}
        own = js - shared
        out = self.support_acts(own) + [
            a
            for a in self.load_acts(js, name)
            if not (a.kind == "load" and self._at(a.point) in shared)
        ]
        for a, b in self.bars():
            for near, far in ((a, b), (b, a)):
                if near in own and far not in js:
                    out.append(
                        Act(f"{a}-{b}", "member", self.joints[near], self.slope_between(near, far))
                    )
        for j in [j for j in self.bodies[name] if j in shared]:
            first = self.body_joints()[j][0]
            turn = 0.0 if first == name else 180.0
            out.append(
                Act(f"pin {j} x on {first}", "pin", self.joints[j], Slope(0.0 + turn), body=name)
            )
            out.append(
                Act(
                    f"pin {j} y on {first}",
                    "pin",
                    self.joints[j],
                    Slope((90.0 + turn) % 360),
                    body=name,
                )
            )
        return out

    def _at(self, p: XY) -> str:
        return next((n for n, q in self.joints.items() if math.dist(p, q) < 1e-9), "")

    # ---- solution
    def solve(self) -> bool:
        """Fill `truth`; False where the structure is not determinate (or badly so)."""
        free: list[tuple[list[Act], bool]] = []
        bodied = self.body_joints()
        for j in self.joints:
            if j not in bodied:
                free.append((self.joint_body({j}), False))
        free += [(self.body(n), True) for n in self.bodies]
        keys = sorted({a.key for acts, _ in free for a in acts if a.value is None})
        rows, rhs = [], []
        for acts, turns in free:
            for kind in ("x", "y", "M")[: 3 if turns else 2]:
                row, b = np.zeros(len(keys)), 0.0
                for a in acts:
                    c = effect(a, kind, (0.0, 0.0))
                    if a.value is None:
                        row[keys.index(a.key)] += c
                    else:
                        b -= c * a.value
                rows.append(row)
                rhs.append(b)
        m, v = np.array(rows), np.array(rhs)
        if m.shape[0] != m.shape[1] or np.linalg.cond(m) > 1e6:
            return False
        x = np.linalg.solve(m, v)
        scale = max(abs(x).max(), 1e-12)
        self.truth = {
            k: (0.0 if abs(t) < 1e-9 * scale else float(t)) for k, t in zip(keys, x, strict=True)
        }
        return True


def dist_acts(p: Problem, i: int, d: Dist) -> list[Act]:
    """A distributed load as its resultants: w·L, ½wL, or rectangle and triangle."""
    (x1, y1), (x2, y2) = p.joints[d.a], p.joints[d.b]
    n = round(abs(x2 - x1) if d.on_plan else math.dist((x1, y1), (x2, y2)), 6)

    def at(t: float) -> XY:
        return (x1 + t * (x2 - x1), y1 + t * (y2 - y1))

    s = Slope(d.deg)
    out = []
    low, high = min(d.w1, d.w2), max(d.w1, d.w2)
    if low > 0:
        out.append(Act(f"dist {i} even", "dist", at(0.5), s, low * n, (low, n)))
    if high > low:
        t = 2 / 3 if d.w2 > d.w1 else 1 / 3
        out.append(
            Act(f"dist {i} tri", "dist", at(t), s, (high - low) * n / 2, (0.5, high - low, n))
        )
    return out


def cut_acts(p: Problem, body: tuple[str, ...]) -> list[Act]:
    """The left or right part of a horizontal body cut at a joint, with N, V and M on the cut face.

    Left part: N to the right, V down, M anticlockwise; the right part carries their opposites.
    """
    _, name, at, side = body
    x = p.joints[at][0]
    left = side == "left"

    def inside(q: XY) -> bool:
        return q[0] < x - 1e-9 if left else q[0] > x + 1e-9

    out = [a for a in p.body(name) if a.kind != "dist" and inside(a.point)]
    for i, d in enumerate(p.dists):
        xa, xb = p.joints[d.a][0], p.joints[d.b][0]
        if d.a not in p.bodies[name] or d.b not in p.bodies[name]:
            continue
        lo, hi = (xa, min(xb, x)) if left else (max(xa, x), xb)
        if hi - lo < 1e-9:
            continue
        if abs(hi - lo - (xb - xa)) < 1e-9:
            out += dist_acts(p, i, d)
        else:
            n = round(hi - lo, 9)
            out.append(
                Act(
                    f"dist {i} even",
                    "dist",
                    ((lo + hi) / 2, 0.0),
                    Slope(d.deg),
                    d.w1 * n,
                    (d.w1, n),
                )
            )
    q = p.joints[at]
    n_deg, v_deg, turn = (0.0, 270.0, 1) if left else (180.0, 90.0, -1)
    out.append(Act(f"axial at {at}", "inner", q, Slope(n_deg)))
    out.append(Act(f"shear at {at}", "inner", q, Slope(v_deg)))
    out.append(Act(f"moment at {at}", "inner", q, None, turn=turn))
    return out


def solve_inner(p: Problem) -> None:
    """Add the inner forces at every cut to `truth`."""
    for name, at in p.inner_at:
        acts = cut_acts(p, ("cut", name, at, "left"))
        for key, kind in (
            (f"axial at {at}", "x"),
            (f"shear at {at}", "y"),
            (f"moment at {at}", "M"),
        ):
            total = sum(
                effect(a, kind, p.joints[at]) * (a.value if a.value is not None else p.truth[a.key])
                for a in acts
                if a.kind != "inner"
            )
            p.truth[key] = total if key.startswith("shear") else -total
            if abs(p.truth[key]) < 1e-9 * max(abs(v) for v in p.truth.values()):
                p.truth[key] = 0.0
