"""Random trusses with sloping chords, towers in the wind, fans and towers of other shapes."""

from __future__ import annotations

import itertools
import random

from .families import UNITS, _finish_truss, crossing, force, names, span
from .problem import Problem, Slope, fmt


def _r(x: float) -> float:
    return round(x, 4)


def meeting(p: Problem, one: tuple[str, str], two: tuple[str, str]) -> tuple[float, float] | None:
    """Where the lines of two bars meet; None where they are (nearly) parallel."""
    (a, b), (c, d) = ([p.joints[j] for j in bar] for bar in (one, two))
    ux, uy, vx, vy = b[0] - a[0], b[1] - a[1], d[0] - c[0], d[1] - c[1]
    det = ux * vy - uy * vx
    if abs(det) < 0.05 * (ux * ux + uy * uy) ** 0.5 * (vx * vx + vy * vy) ** 0.5:
        return None
    t = ((c[0] - a[0]) * vy - (c[1] - a[1]) * vx) / det
    return (a[0] + t * ux, a[1] + t * uy)


def add_spots(p: Problem, low: list[str], high: list[str]) -> None:
    """Where sloping chords over the same panel meet, if that is a point off the structure."""
    free = [n for n in "OXYZ" if n not in p.joints]
    tops = list(itertools.pairwise(high))
    bottoms = list(itertools.pairwise(low))
    for t, b in itertools.product(tops, bottoms):
        mid_t = (p.joints[t[0]][0] + p.joints[t[1]][0]) / 2
        mid_b = (p.joints[b[0]][0] + p.joints[b[1]][0]) / 2
        if abs(mid_t - mid_b) > 1e-6 or not free:
            continue
        at = meeting(p, t, b)
        if at is None or abs(at[0]) > 4 * max(x for x, _ in p.joints.values()):
            continue
        at = (_r(at[0]), _r(at[1]))
        if abs(at[0] * 100 - round(at[0] * 100)) > 1e-6 or at in p.joints.values():
            continue
        one = next(f"{a}-{b_}" for a, b_ in p.members if {a, b_} == set(t))
        two = next(f"{a}-{b_}" for a, b_ in p.members if {a, b_} == set(b))
        p.spots[free.pop(0)] = (at, one, two)


def gable_truss(rng: random.Random) -> Problem | None:
    """A pitched roof over four panels: posts and diagonals; loads on the slopes or the tie."""
    u = rng.choice(UNITS)
    ns = names(rng)
    a = span(rng, u, 1, 2.5)
    h = _r(span(rng, u, 1, 2))
    low = [ns.pop(0) for _ in range(5)]
    high = [ns.pop(0) for _ in range(3)]
    p = Problem("truss gable", u, {}, title="Boathouse roof")
    for i, j in enumerate(low):
        p.joints[j] = (_r(i * a), 0.0)
    for j, (i, y) in zip(high, ((1, h), (2, 2 * h), (3, h)), strict=True):
        p.joints[j] = (_r(i * a), _r(y))
    p.members = list(itertools.pairwise(low))
    p.members += [(low[0], high[0]), (high[0], high[1]), (high[1], high[2]), (high[2], low[4])]
    p.members += [(low[1], high[0]), (low[2], high[1]), (low[3], high[2])]
    inner = rng.random() < 0.5
    p.members += (
        [(low[2], high[0]), (low[2], high[2])] if inner else [(low[1], high[1]), (low[3], high[1])]
    )
    p.supports = [("pin", low[0], 0.0), ("roller", low[4], 90.0)]
    if rng.random() < 0.2:
        p.supports = [("roller", low[0], 90.0), ("pin", low[4], 0.0)]
    return _finish_truss(p, rng, low[1:-1] + high)


def sloped_truss(rng: random.Random) -> Problem | None:
    """A cantilever or span whose top chord slopes: its chords meet off the structure."""
    u = rng.choice([x for x in UNITS if x[1] != "mm"])
    ns = names(rng)
    n = rng.choice([2, 3])
    a = span(rng, u, 1, 2)
    h0 = span(rng, u, 0.8, 1.5)
    rise = rng.choice([0.25, 0.3, 0.4, 0.5, 0.6]) * a
    low = [ns.pop(0) for _ in range(n + 1)]
    high = [ns.pop(0) for _ in range(n + 1)]
    p = Problem("truss sloped", u, {}, title="Launching crane")
    for i, (lo, hi) in enumerate(zip(low, high, strict=True)):
        p.joints[lo] = (_r(i * a), 0.0)
        p.joints[hi] = (_r(i * a), _r(h0 + i * rise))
    p.members = list(itertools.pairwise(low)) + list(itertools.pairwise(high))
    p.members += list(zip(low, high, strict=True))
    p.members += [
        (low[i], high[i + 1]) if rng.random() < 0.5 else (high[i], low[i + 1]) for i in range(n)
    ]
    if rng.random() < 0.5:
        p.supports = [("pin", low[-1], 0.0), ("roller", high[-1], rng.choice([0.0, 180.0]))]
        allowed = low[:-1] + high[:-1]
    else:
        p.supports = [("pin", low[0], 0.0), ("roller", low[-1], 90.0)]
        allowed = low[1:-1] + high
    add_spots(p, low, high)
    return _finish_truss(p, rng, allowed)


def tower(rng: random.Random) -> Problem | None:
    """A tower of two or three bays on a pin and a roller, wind and gear on it."""
    u = rng.choice(UNITS)
    ns = names(rng)
    n = rng.choice([2, 2, 3])
    w, h = span(rng, u, 1, 2.5), span(rng, u, 1, 3)
    taper = rng.choice([0.0, 0.0, 0.1, 0.15]) * w
    left = [ns.pop(0) for _ in range(n + 1)]
    right = [ns.pop(0) for _ in range(n + 1)]
    p = Problem("truss tower", u, {}, title="Signal tower")
    for i in range(n + 1):
        p.joints[left[i]] = (_r(i * taper), _r(i * h))
        p.joints[right[i]] = (_r(w - i * taper), _r(i * h))
    p.members = list(itertools.pairwise(left)) + list(itertools.pairwise(right))
    p.members += [(left[i], right[i]) for i in range(1, n + 1)]
    p.members += [
        (left[i], right[i + 1]) if rng.random() < 0.5 else (right[i], left[i + 1]) for i in range(n)
    ]
    p.members.append((left[0], right[0]))
    p.supports = [("pin", left[0], 0.0), ("roller", right[0], 90.0)]
    for j in rng.sample(left[1:], rng.choice([1, 2])):
        p.loads.append((j, force(rng, u), Slope(0.0), "right"))
    if rng.random() < 0.6:
        acute = rng.choice([0, 0, 15, 35, 62])
        deg = float(270 + acute)
        p.loads.append(
            (right[-1], force(rng, u), Slope(deg), "down" if acute == 0 else f"at {fmt(deg)}")
        )
    if crossing(p) or not p.solve():
        return None
    bars = [f"{a}-{b}" for a, b in p.members]
    big = max(abs(v) for v in p.truth.values())
    bars = [b for b in bars if abs(p.truth[b]) > 0.02 * big or p.truth[b] == 0]
    p.find = ["reactions", *rng.sample(bars, min(len(bars), rng.choice([2, 3, 4])))]
    return p


def odd_truss(rng: random.Random) -> Problem | None:
    """Three to five bars of no regular shape between a wall and one or two free joints."""
    u = rng.choice(UNITS)
    ns = names(rng)
    a, b, c, d = ns[:4]
    p = Problem("truss odd", u, {a: (0.0, 0.0)}, title="Oar rack bracket")
    p.joints[b] = (0.0, span(rng, u, 0.8, 2.5))
    p.joints[c] = (span(rng, u, 0.7, 3), _r(span(rng, u, 0.3, 2)))
    p.members = [(a, c), (b, c)]
    spots = [c]
    if rng.random() < 0.7:
        p.joints[d] = (_r(p.joints[c][0] + span(rng, u, 0.4, 2)), span(rng, u, 0.2, 2.5))
        p.members += [(c, d), (rng.choice([a, b]), d)]
        spots.append(d)
    if crossing(p):
        return None
    p.supports = [("pin", a, 0.0), ("pin", b, 0.0)]
    for j in rng.sample(spots, rng.choice([1, len(spots)])):
        if rng.random() < 0.5:
            p.loads.append((j, force(rng, u), Slope(270.0), "down"))
            continue
        deg = float(rng.choice([190, 205, 232, 248, 285, 303, 318, 338, 352, 12, 45]))
        p.loads.append((j, force(rng, u), Slope(deg), f"at {fmt(deg)}"))
    p.find = ["all members"] + (["reactions"] if rng.random() < 0.6 else [])
    if not p.solve():
        return None
    big = max(abs(v) for v in p.truth.values())
    return p if min(abs(v) for v in p.truth.values() if v) > 0.02 * big else None


ROOFS = {
    "truss gable": gable_truss,
    "truss sloped": sloped_truss,
    "truss tower": tower,
    "truss odd": odd_truss,
}
