"""The road a person takes through a problem: which sums, on which bodies, in which order."""

from __future__ import annotations

import itertools
import math
import random
from dataclasses import dataclass, field

from .problem import Act, Problem, cut_acts, effect


@dataclass
class Term:
    """One term of a sum as somebody writes it; a plant changes these fields."""

    sign: int
    act: Act
    fn: str | None = None  # cos or sin of the angle with the horizontal
    arm: float | None = None
    value: float | None = None  # overrides what the force is worth (a miscopy)
    theta: float | None = None  # overrides the angle with the horizontal
    parts: tuple[float, ...] | None = None
    mark: str = ""
    couple_arm: bool = False
    across: bool = False  # theta is the angle with a bar that the sum is square to
    pieces: tuple[float, ...] = ()  # the distances that the arm spans

    @property
    def slope_deg(self) -> float:
        if self.theta is not None:
            return self.theta
        return self.act.slope.acute if self.act.slope else 0.0


@dataclass
class Step:
    """A sum over a free body, solved for `target` (two targets: with its partner `pair`)."""

    body: tuple[
        str, ...
    ]  # ("whole",) ("joint", "A") ("section", joints…) ("body", name) ("cut", body, at, side)
    axis: str  # x y M
    point: str
    acts: list[Act]
    target: str
    terms: list[Term] = field(default_factory=list)
    inspection: bool = False
    pair: Step | None = None
    unknowns: tuple[str, ...] = ()
    symmetry: bool = False


def by_symmetry(p: Problem, steps: list[Step]) -> list[Step]:
    """The two upright reactions of a symmetric structure at one stroke, in place of their sums."""
    ups = [a.key for a in p.whole() if a.kind == "react" and a.slope and a.slope.deg == 90.0]
    mine = [s for s in steps if s.target in ups and s.body == ("whole",)]
    if len(ups) != 2 or len(mine) != 2:
        return steps
    acts = p.whole()
    terms = [Term(1, a) for a in acts if a.value is not None or a.key in ups]
    both = Step(("whole",), "y", "", acts, "", terms, unknowns=tuple(ups), symmetry=True)
    at = steps.index(mine[0])
    return [both if i == at else s for i, s in enumerate(steps) if i == at or s not in mine]


def across_bar(
    p: Problem, steps: list[Step], sense: dict[str, int], rng: random.Random
) -> list[Step]:
    """A particle's two forces one at a time: first square to one bar, then along an axis."""
    if len(steps) != 1 or steps[0].pair is None:
        return steps
    acts, body = steps[0].acts, steps[0].body
    bars = [a for a in acts if a.kind == "member"]
    if len(bars) != 2:
        return steps
    rng.shuffle(bars)
    wanted, other = bars
    assert wanted.slope is not None
    assert other.slope is not None
    up = math.radians(other.slope.deg + 90)
    terms: list[Term] = []
    for a in acts:
        assert a.slope is not None
        if a.key == other.key:
            continue
        share = math.cos(math.radians(a.slope.deg) - up) * sense.get(a.key, 1)
        if abs(share) < 1e-9:
            continue
        between = math.degrees(math.asin(min(1.0, abs(share))))
        fn = None if abs(share) > 1 - 1e-9 else "sin"
        terms.append(
            Term(1 if share > 0 else -1, a, fn, theta=between if fn else None, across=True)
        )
    first = Step(
        body, "⊥", other.key.replace("-", ""), acts, wanted.key, terms, unknowns=(wanted.key,)
    )
    axis = rng.choice(["x", "y"])
    rest = sum_terms(acts, axis, (0.0, 0.0), sense)
    if not any(t.act.key == other.key for t in rest):
        return steps
    second = Step(body, axis, "", acts, other.key, rest, unknowns=(other.key,))
    return [first, second]


def across_bars(
    p: Problem, steps: list[Step], sense: dict[str, int], rng: random.Random
) -> list[Step]:
    """At joints with two unknown bars: a sum square to one of them first, then along an axis."""
    out: list[Step] = []
    for step in steps:
        bars = step.pair is not None and step.pair.body == step.body and step.body[0] == "joint"
        if not bars or any("-" not in k for k in step.unknowns):
            out.append(step)
            continue
        out += square_first(step, sense, rng) or [step]
    return out


def square_first(step: Step, sense: dict[str, int], rng: random.Random) -> list[Step] | None:
    wanted, other = rng.sample([a for a in step.acts if a.key in step.unknowns], 2)
    assert other.slope is not None
    up = math.radians(other.slope.deg + 90)
    terms: list[Term] = []
    for a in step.acts:
        assert a.slope is not None
        share = math.cos(math.radians(a.slope.deg) - up) * sense.get(a.key, 1)
        if a.value is not None and a.value < 0:
            share = -share
        if a.key == other.key or abs(share) < 1e-9:
            continue
        between = math.degrees(math.asin(min(1.0, abs(share))))
        fn = None if abs(share) > 1 - 1e-9 else "sin"
        terms.append(
            Term(1 if share > 0 else -1, a, fn, theta=between if fn else None, across=True)
        )
    axis = rng.choice(["x", "y"])
    rest = sum_terms(step.acts, axis, (0.0, 0.0), sense)
    bar = other.key.replace("-", "")
    if len(terms) < 2 or not any(t.act.key == other.key for t in rest):
        return None
    first = Step(step.body, "⊥", bar, step.acts, wanted.key, terms, unknowns=(wanted.key,))
    second = Step(step.body, axis, "", step.acts, other.key, rest, unknowns=(other.key,))
    return [first, second]


def sum_terms(
    acts: list[Act], axis: str, at: tuple[float, float], sense: dict[str, int]
) -> list[Term]:
    """The terms a person would write, with the signs of right, up and anticlockwise."""
    out: list[Term] = []
    for a in acts:
        turned = sense.get(a.key, 1)
        if a.slope is None:
            if axis == "M":
                sign = turned * a.turn if a.value is None else (1 if a.value > 0 else -1)
                out.append(Term(sign, a))
            continue
        ux, uy = effect(a, "x", at, turned), effect(a, "y", at, turned)
        if a.value is not None and a.value < 0:
            ux, uy = -ux, -uy
        slanted = not a.slope.axis
        if axis in "xy":
            u = ux if axis == "x" else uy
            if u:
                fn = ("cos" if axis == "x" else "sin") if slanted else None
                out.append(Term(1 if u > 0 else -1, a, fn))
            continue
        dx, dy = round(a.point[0] - at[0], 9), round(a.point[1] - at[1], 9)
        if abs(dx * uy - dy * ux) < 1e-9:
            continue
        if abs(uy) > 0 and abs(dx) > 1e-9:
            out.append(Term(1 if dx * uy > 0 else -1, a, "sin" if slanted else None, abs(dx)))
        if abs(ux) > 0 and abs(dy) > 1e-9:
            out.append(Term(1 if -dy * ux > 0 else -1, a, "cos" if slanted else None, abs(dy)))
    return out


def acts_of(p: Problem, body: tuple[str, ...]) -> list[Act]:
    match body[0]:
        case "whole":
            return p.whole()
        case "joint":
            return p.joint_body({body[1]})
        case "section":
            return p.joint_body(set(body[1:]))
        case "body":
            return p.body(body[1])
        case "cut":
            return cut_acts(p, body)
    raise ValueError(body)


def candidate_bodies(p: Problem, method: str, rng: random.Random) -> list[tuple[str, ...]]:
    if p.family == "particle":
        return [("joint", next(iter(p.joints)))]
    out: list[tuple[str, ...]] = [("whole",)]
    bodied = p.body_joints()
    free = [j for j in p.joints if j not in bodied]
    if len(p.bodies) > 1 or (p.bodies and p.bars()):
        out += [("body", n) for n in p.bodies]
    if method != "sections":
        out += [("joint", j) for j in free]
    if method in ("sections", "mixed") and not p.bodies:
        out += sections(p)
        if method == "sections":
            out += [("joint", j) for j in free]
    for name, j in p.inner_at:
        out += [("cut", name, j, "left"), ("cut", name, j, "right")]
    return out


def sections(p: Problem) -> list[tuple[str, ...]]:
    """Parts left or right of a vertical cut that crosses exactly three bars."""
    xs = sorted({x for x, _ in p.joints.values()})
    out = []
    for a, b in itertools.pairwise(xs):
        cut = (a + b) / 2
        for left in (True, False):
            part = tuple(j for j, (x, _) in p.joints.items() if (x < cut) == left)
            crossing = [m for m in p.bars() if (m[0] in part) != (m[1] in part)]
            if len(crossing) == 3 and len(part) > 1:
                out.append(("section", *part))
    return out


def moment_points(p: Problem, body: tuple[str, ...], method: str, everywhere: bool) -> list[str]:
    if body[0] in ("joint",):
        return []
    if body[0] == "cut":
        return [body[2]]
    if body[0] == "section" and p.spots:
        return [*p.joints, *(o for o, (_, *bars) in p.spots.items() if cuts(body, bars))]
    if body[0] == "section" or everywhere:
        return list(p.joints)
    if body[0] == "body":
        return [j for j in p.bodies[body[1]]]
    return [j for _, j, _ in p.supports] or list(p.joints)


def cuts(body: tuple[str, ...], bars: list[str]) -> bool:
    """Whether a section goes through all of these bars."""
    ends = [bar.split("-") for bar in bars]
    return all((a in body[1:]) != (b in body[1:]) for a, b in ends)


def make_plan(
    p: Problem, sense: dict[str, int], method: str, everywhere: bool, rng: random.Random
) -> list[Step] | None:
    """A road that finds every item of `find`, or None where these sums alone do not get there."""
    wanted = set(wanted_keys(p))
    known: set[str] = set()
    steps: list[Step] = []
    bodies = candidate_bodies(p, method, rng)
    acts = {b: acts_of(p, b) for b in bodies}
    last: tuple[str, ...] | None = None
    used: dict[tuple[str, ...], int] = {}
    reactions_first = rng.random() < 0.8
    for _ in range(200):
        if wanted <= known:
            return prune(steps, wanted)
        options = []
        for b in bodies:
            axes = [("x", ""), ("y", "")] + [
                ("M", j) for j in moment_points(p, b, method, everywhere)
            ]
            for axis, point in axes:
                at = p.where(point)
                terms = sum_terms(acts[b], axis, at, sense)
                unknown = {t.act.key for t in terms if t.act.value is None} - known
                if len(unknown) == 1:
                    target = next(iter(unknown))
                    if len([t for t in terms if t.act.key == target]) > 1 and rng.random() < 0.5:
                        continue
                    options.append(
                        (
                            preference(
                                b, axis, last, target, wanted, len(terms), reactions_first, method
                            )
                            + rng.random(),
                            b,
                            axis,
                            point,
                            terms,
                            target,
                        )
                    )
        if not options:
            pair = find_pair(p, bodies, acts, known, wanted, sense, method, everywhere, rng)
            if pair is None:
                return None
            steps.append(pair)
            known |= set(pair.unknowns)
            last = pair.body
            continue
        _, b, axis, point, terms, target = max(options, key=lambda o: o[0])
        lone = len(terms) == 1 and b[0] == "joint" and "reaction" not in target
        steps.append(
            Step(b, axis, point, acts[b], target, terms, inspection=lone, unknowns=(target,))
        )
        known.add(target)
        used[b] = used.get(b, 0) + 1
        last = b
    return None


def preference(
    b: tuple[str, ...],
    axis: str,
    last: object,
    target: str,
    wanted: set[str],
    size: int,
    reactions_first: bool,
    method: str,
) -> float:
    score = 0.0
    if b == last:
        score += 3
    if target in wanted:
        score += 1.5
    if b[0] == "whole":
        score += 4 if reactions_first else 0.5
    if method == "sections" and b[0] == "section" and target in wanted:
        score += 2
    if axis in "xy":
        score += 0.6
    return score - 0.12 * size


def find_pair(p, bodies, acts, known, wanted, sense, method, everywhere, rng):  # type: ignore[no-untyped-def]
    """Two sums that share the same two unknowns (one body or two)."""
    seen: dict[frozenset[str], list[Step]] = {}
    order = list(bodies)
    rng.shuffle(order)
    best = None
    for b in order:
        axes = [("x", ""), ("y", "")] + [("M", j) for j in moment_points(p, b, method, everywhere)]
        for axis, point in axes:
            terms = sum_terms(acts[b], axis, p.where(point), sense)
            unknown = frozenset({t.act.key for t in terms if t.act.value is None} - known)
            if len(unknown) != 2:
                continue
            step = Step(b, axis, point, acts[b], "", terms, unknowns=tuple(unknown))
            for other in seen.get(unknown, []):
                if other.body == b and other.axis == "M" and axis == "M":
                    continue
                if independent(other, step):
                    first = Step(
                        other.body,
                        other.axis,
                        other.point,
                        other.acts,
                        "",
                        other.terms,
                        unknowns=tuple(sorted(unknown)),
                    )
                    first.pair = step
                    gain = len(unknown & wanted) + rng.random()
                    if best is None or gain > best[0]:
                        best = (gain, first)
            seen.setdefault(unknown, []).append(step)
    return best[1] if best else None


def coefficients(step: Step) -> dict[str, float]:
    out: dict[str, float] = {}
    for t in step.terms:
        if t.act.key in step.unknowns:
            c = t.sign * (t.arm if t.arm is not None else 1.0)
            if t.fn:
                c *= getattr(math, t.fn)(math.radians(t.slope_deg))
            out[t.act.key] = out.get(t.act.key, 0.0) + c
    return out


def independent(a: Step, b: Step) -> bool:
    ca, cb = coefficients(a), coefficients(b)
    k1, k2 = sorted(ca)
    det = ca[k1] * cb.get(k2, 0) - ca[k2] * cb.get(k1, 0)
    size = max(abs(v) for v in ca.values()) * max(abs(v) for v in cb.values())
    return abs(det) > 0.15 * size


def prune(steps: list[Step], wanted: set[str]) -> list[Step]:
    """Leave out what nobody needs."""
    need = set(wanted)
    kept: list[Step] = []
    for s in reversed(steps):
        if need & set(s.unknowns):
            kept.append(s)
            for one in (s, s.pair):
                if one is not None:
                    need |= {t.act.key for t in one.terms if t.act.value is None}
    return kept[::-1]


def wanted_keys(p: Problem) -> list[str]:
    out: list[str] = []
    bars = [f"{a}-{b}" for a, b in p.bars()]
    reactions = [a.key for a in p.support_acts(set(p.joints))]
    for item in p.find:
        if item == "reactions":
            out += reactions
        elif item == "all members":
            out += bars
        elif item.startswith("reaction") and item not in reactions:
            out += [r for r in reactions if r.startswith(item)]
        elif "-" in item and item not in bars:
            a, b = item.split("-")
            out.append(f"{b}-{a}")
        else:
            out.append(item)
    return out
