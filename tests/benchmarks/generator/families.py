"""Random problems, a function a family; every one is checked determinate by its own statics."""

from __future__ import annotations

import itertools
import math
import random

from .problem import Dist, Problem, Slope, fmt

POOLS = ["ABCDEGJKLPQ", "PQRSTUWABC", "KLPQRSABCD", "DEGJKLPQRS", "ABCDEGJKLPQ", "ABCDEGJKLPQ"]
PLAIN = [("kN", "m")] * 6 + [("N", "m")] * 2 + [("kip", "ft"), ("lbf", "ft"), ("kgf", "m")]
UNITS = [*PLAIN, ("N", "mm"), ("kN", "mm")]
SCALE = {"m": 1, "ft": 3, "mm": 250}


def names(rng: random.Random) -> list[str]:
    return list(rng.choice(POOLS))


def pick(rng: random.Random, low: float, high: float, step: float) -> float:
    n = round((high - low) / step)
    return round(low + rng.randint(0, n) * step, 6)


def force(rng: random.Random, units: tuple[str, str]) -> float:
    match units[0]:
        case "N" | "kgf":
            return pick(rng, 50, 900, 10)
        case "lbf":
            return pick(rng, 100, 1900, 20)
        case "kip":
            return pick(rng, 1, 18, 0.5)
    return pick(rng, 2, 30, rng.choice([0.5, 1, 0.1]))


def span(rng: random.Random, units: tuple[str, str], low: float = 1.0, high: float = 4.0) -> float:
    scale = SCALE[units[1]]
    step = {"ft": 0.5, "mm": 10}.get(units[1]) or rng.choice([0.1, 0.2, 0.5])
    return pick(rng, low * scale, high * scale, step)


def intensity(rng: random.Random, units: tuple[str, str]) -> float:
    """A load per length that goes with the forces and lengths of those units."""
    w = force(rng, units) / rng.choice([2, 3, 4])
    return max(0.02, round(w / 250, 2)) if units[1] == "mm" else round(w, 1)


def couple_size(rng: random.Random, units: tuple[str, str]) -> float:
    m = force(rng, units) * rng.choice([0.5, 1.0])
    return round(m * 250, -2) if units[1] == "mm" else round(m, 1)


def load_direction(rng: random.Random, plain: float = 0.7) -> tuple[Slope, str]:
    if rng.random() < plain:
        return Slope(270.0), "down"
    if rng.random() < 0.4:
        d, w = rng.choice([(0.0, "right"), (180.0, "left")])
        return Slope(d), w
    acute = rng.choice([20, 25, 30, 35, 40, 50, 55, 60, 65, 70])
    deg = float(rng.choice([180 + acute, 360 - acute]))
    return Slope(deg), f"at {fmt(deg)}"


def _finish_truss(p: Problem, rng: random.Random, allowed: list[str]) -> Problem | None:
    for j in rng.sample(allowed, min(len(allowed), rng.choice([1, 1, 2, 2, 3]))):
        slope, words = load_direction(rng, 0.75)
        far = rng.choice(list(p.joints))
        if rng.random() < 0.08 and far != j and not p.slope_between(j, far).axis:
            slope, words = p.slope_between(j, far), f"toward {far}"
        p.loads.append((j, force(rng, p.units), slope, words))
    if not p.solve():
        return None
    bars = [f"{a}-{b}" for a, b in p.members]
    big = max(abs(v) for v in p.truth.values())
    bars = [b for b in bars if abs(p.truth[b]) > 0.02 * big or p.truth[b] == 0]
    count = min(len(bars), rng.choice([2, 3, 4, 5, 6]))
    chosen = rng.sample(bars, count)
    if rng.random() < 0.3 and len(p.members) <= 9:
        p.find = ["all members"]
    else:
        p.find = chosen
    if rng.random() < 0.7:
        p.find = ["reactions", *p.find]
    return p


def parallel_truss(rng: random.Random) -> Problem | None:
    """Warren- or Pratt-like, two to four panels."""
    u = rng.choice(UNITS)
    n = rng.choice([2, 3, 3, 4])
    a, h = span(rng, u, 1.5, 3), span(rng, u, 1.0, 3)
    ns = names(rng)
    p = Problem("truss parallel", u, {}, title="Gangway truss")
    pratt = rng.random() < 0.5
    if pratt:
        if 2 * n > len(ns):
            return None
        low = [ns.pop(0) for _ in range(n + 1)]
        high = [ns.pop(0) for _ in range(n - 1)]
        for i, j in enumerate(low):
            p.joints[j] = (i * a, 0.0)
        for i, j in enumerate(high):
            p.joints[j] = ((i + 1) * a, h)
        p.members += list(itertools.pairwise(low)) + list(itertools.pairwise(high))
        p.members += [(low[0], high[0]), (high[-1], low[-1])]
        p.members += [(low[i + 1], high[i]) for i in range(n - 1)]
        for i in range(1, n - 1):
            p.members.append((high[i - 1], low[i + 1]) if rng.random() < 0.5 else (low[i], high[i]))
    else:
        low = [ns.pop(0) for _ in range(n + 1)]
        high = [ns.pop(0) for _ in range(n)]
        for i, j in enumerate(low):
            p.joints[j] = (i * a, 0.0)
        for i, j in enumerate(high):
            p.joints[j] = ((i + 0.5) * a, h)
        p.members += list(itertools.pairwise(low)) + list(itertools.pairwise(high))
        for i in range(n):
            p.members += [(low[i], high[i]), (high[i], low[i + 1])]
    p.joints = {k: (round(x, 6), round(y, 6)) for k, (x, y) in p.joints.items()}
    p.supports = [("pin", low[0], 0.0), ("roller", low[-1], 90.0)]
    return _finish_truss(p, rng, low[1:-1] + high)


def bracket_truss(rng: random.Random) -> Problem | None:
    """A cantilever truss off a wall, pinned at two places or pin and roller."""
    u = rng.choice(UNITS)
    ns = names(rng)
    h = span(rng, u, 0.8, 2.5)
    panels = rng.choice([1, 1, 2])
    a = span(rng, u, 1, 2.5)
    p = Problem("truss bracket", u, {}, title="Slip hoist bracket")
    low = [ns.pop(0) for _ in range(panels + 1)]
    taper = rng.random() < 0.5
    high = [ns.pop(0) for _ in range(panels if taper else panels + 1)]
    for i, j in enumerate(low):
        p.joints[j] = (round(i * a, 6), 0.0)
    for i, j in enumerate(high):
        y = h * (1 - i / panels) if taper and rng.random() < 2 else h
        p.joints[j] = (round(i * a, 6), round(y, 4))
    p.members += list(itertools.pairwise(low)) + list(itertools.pairwise(high))
    if taper:
        p.members.append((high[-1], low[-1]))
    p.members += [(low[i], high[i]) for i in range(1, len(high))]
    p.members += [
        ((low[i], high[i + 1]) if rng.random() < 0.5 else (high[i], low[i + 1]))
        for i in range(len(high) - 1)
    ]
    if rng.random() < 0.5:
        p.supports = [("pin", low[0], 0.0), ("pin", high[0], 0.0)]
    else:
        p.members.append((low[0], high[0]))
        p.supports = [("pin", high[0], 0.0), ("roller", low[0], rng.choice([0.0, 180.0]))]
    return _finish_truss(p, rng, low[1:] + high[1:])


def grown_truss(rng: random.Random) -> Problem | None:
    """A triangle and joints each tied to two others."""
    u = rng.choice(UNITS)
    ns = names(rng)
    a = span(rng, u, 2, 4)
    p = Problem("truss triangulated", u, {}, title="Boat rack truss")
    j1, j2, j3 = ns[:3]
    p.joints = {
        j1: (0.0, 0.0),
        j2: (round(2 * a, 6), 0.0),
        j3: (round(a * rng.choice([0.5, 0.8, 1.0, 1.2]), 4), span(rng, u, 1, 3)),
    }
    p.members = [(j1, j2), (j1, j3), (j2, j3)]
    for j in ns[3 : 3 + rng.choice([0, 1, 2])]:
        k1, k2 = rng.sample(list(p.joints), 2)
        x = span(rng, u, 0.5, 8)
        y = rng.choice([span(rng, u, 1, 3.5), p.joints[k1][1]])
        spot = (x, y)
        if min(math.dist(spot, q) for q in p.joints.values()) < 0.8:
            return None
        p.joints[j] = spot
        p.members += [(k1, j), (k2, j)]
    if crossing(p):
        return None
    p.supports = [("pin", j1, 0.0), ("roller", j2, rng.choice([90.0, 90.0, 90.0, 60.0, 120.0]))]
    return _finish_truss(p, rng, [j for j in p.joints if j not in (j1, j2)])


def crossing(p: Problem) -> bool:
    """Whether bars cross or lie nearly on one line: nobody draws such figures."""

    def turn(a, b, c):  # type: ignore[no-untyped-def]
        return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])

    ms = [(p.joints[a], p.joints[b]) for a, b in p.members]
    for i, (a, b) in enumerate(ms):
        for c, d in ms[i + 1 :]:
            if (
                len({a, b, c, d}) == 4
                and turn(a, b, c) * turn(a, b, d) < 1e-6
                and turn(c, d, a) * turn(c, d, b) < 1e-6
            ):
                return True
            if len({a, b, c, d}) == 3:
                shared = a if a in (c, d) else b
                e, f = (b if shared == a else a), (d if shared == c else c)
                u, v = math.dist(shared, e), math.dist(shared, f)
                dot = (e[0] - shared[0]) * (f[0] - shared[0]) + (e[1] - shared[1]) * (
                    f[1] - shared[1]
                )
                if abs(turn(shared, e, f)) / (u * v) < 0.2 and dot > 0:
                    return True
    return False


def beam(rng: random.Random) -> Problem | None:
    """Simply supported or overhanging beam: point loads, couples, distributed loads."""
    u = rng.choice(UNITS)
    ns = names(rng)
    k = rng.choice([3, 4, 4, 5])
    xs = [0.0]
    for _ in range(k - 1):
        xs.append(round(xs[-1] + span(rng, u, 0.8, 3), 4))
    js = ns[:k]
    p = Problem(
        "beam supported",
        u,
        {j: (x, 0.0) for j, x in zip(js, xs, strict=True)},
        title="Staging beam",
    )
    p.bodies = {rng.choice(["beam", "deck", "plank"]): tuple(js)}
    left, right = (0, k - 1) if rng.random() < 0.6 else rng.choice([(0, k - 2), (1, k - 1)])
    deg = 90.0 if rng.random() < 0.75 else float(rng.choice([60, 120, 45, 135]))
    p.supports = [("pin", js[left], 0.0), ("roller", js[right], deg)]
    if rng.random() < 0.3:
        p.supports = [("roller", js[left], 90.0), ("pin", js[right], 0.0)]
    free = [j for i, j in enumerate(js) if i not in (left, right)]
    for j in free:
        if rng.random() < 0.75 and len(p.loads) < 3:
            slope, words = load_direction(rng, 0.7)
            p.loads.append((j, force(rng, u), slope, words))
    return _more_beam(p, rng, js)


def _more_beam(p: Problem, rng: random.Random, js: list[str]) -> Problem | None:
    u = p.units
    if rng.random() < 0.3:
        size = couple_size(rng, u)
        p.couples.append((rng.choice(js), size * rng.choice([-1, 1]), ""))
    if rng.random() < 0.4 or not (p.loads or p.couples):
        i = rng.randrange(len(js) - 1)
        j = rng.randrange(i + 1, len(js))
        w = intensity(rng, u)
        match rng.choice(["even", "even", "tri", "tri", "trap"]):
            case "even":
                ends = (w, w)
            case "tri":
                ends = rng.choice([(0.0, w), (w, 0.0)])
            case _:
                ends = rng.choice([(w, round(2 * w, 2)), (round(2 * w, 2), w)])
        p.dists.append(Dist(js[i], js[j], *ends))
    p.find = ["reactions"]
    return p if p.solve() else None


def cantilever(rng: random.Random) -> Problem | None:
    """A beam built in at one end."""
    u = rng.choice(UNITS)
    js = names(rng)[: rng.choice([2, 3, 3, 4])]
    xs = [0.0]
    for _ in js[1:]:
        xs.append(round(xs[-1] + span(rng, u, 0.8, 2.5), 4))
    p = Problem(
        "beam cantilever", u, {j: (x, 0.0) for j, x in zip(js, xs, strict=True)}, title="Boom"
    )
    p.bodies = {rng.choice(["boom", "beam", "arm"]): tuple(js)}
    wall = rng.choice([0, -1])
    p.supports = [("fixed", js[wall], 0.0)]
    for j in js:
        if j != js[wall] and rng.random() < 0.7:
            slope, words = load_direction(rng, 0.65)
            p.loads.append((j, force(rng, u), slope, words))
    return _more_beam(p, rng, js)


def bracket(rng: random.Random) -> Problem | None:
    """A bent rigid bracket: pin and roller, loads in several directions."""
    u = rng.choice(UNITS)
    js = names(rng)[: rng.choice([3, 4])]
    w, h = span(rng, u, 1, 3), span(rng, u, 0.8, 2.5)
    spots = [(0.0, 0.0), (0.0, h), (w, h), (round(w + span(rng, u, 0.5, 1.5), 4), h)]
    if rng.random() < 0.4:
        spots = [(0.0, 0.0), (w, 0.0), (w, h), (round(w + span(rng, u, 0.5, 1.5), 4), h)]
    p = Problem("bracket", u, dict(zip(js, spots, strict=False)), title="Oar bracket")
    p.bodies = {rng.choice(["bracket", "frame", "crank"]): tuple(js)}
    p.supports = [
        ("pin", js[0], 0.0),
        ("roller", js[1], rng.choice([0.0, 180.0]) if spots[1][0] == 0 else 90.0),
    ]
    if rng.random() < 0.2:
        p.supports = [("fixed", js[0], 0.0)]
    for j in js[2:]:
        slope, words = load_direction(rng, 0.5)
        p.loads.append((j, force(rng, u), slope, words))
    if rng.random() < 0.25:
        p.couples.append((rng.choice(js), couple_size(rng, u) * rng.choice([-1, 1]), ""))
    p.find = ["reactions"]
    return p if p.solve() else None


FAMILIES = {
    "truss parallel": parallel_truss,
    "truss bracket": bracket_truss,
    "truss triangulated": grown_truss,
    "beam supported": beam,
    "beam cantilever": cantilever,
    "bracket": bracket,
}
