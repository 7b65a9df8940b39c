"""Random problems of ladders, ramps, symmetric beams and trusses."""

from __future__ import annotations

import random

from .families import PLAIN, UNITS, force, intensity, names, parallel_truss, span
from .problem import Dist, Problem, Slope


def ladder(rng: random.Random) -> Problem | None:
    """A gangway or ladder on a pin, leaning on a smooth wall, with its mass and a load."""
    u = rng.choice([("N", "m"), ("N", "m"), ("kN", "m")])
    a, g, b, k = names(rng)[:4]
    w, h = span(rng, u, 1, 3), span(rng, u, 1.5, 4)
    t = rng.choice([0.25, 0.6, 0.75, 0.8])
    p = Problem(
        "ladder",
        u,
        {a: (0.0, 0.0), g: (round(w / 2, 4), round(h / 2, 4)), b: (w, h)},
        title="Loft ladder",
    )
    p.bodies = {"ladder": (a, g, b)}
    p.supports = [("pin", a, 0.0), ("roller", b, 180.0)]
    if u[0] == "N":
        p.masses = [(g, float(rng.choice([12, 18, 24, 30, 36])))]
    else:
        p.loads.append((g, force(rng, u), Slope(270.0), "down"))
    if rng.random() < 0.6:
        p.joints[k] = (round(t * w, 4), round(t * h, 4))
        p.bodies["ladder"] = (a, g, k, b) if t > 0.5 else (a, k, g, b)
        p.loads.append((k, force(rng, u), Slope(270.0), "down"))
    p.find = ["reactions"]
    return p if p.solve() else None


def ramp(rng: random.Random) -> Problem | None:
    """A sloping beam under a load per metre along it or on plan."""
    u = rng.choice(PLAIN)
    a, b, c = names(rng)[:3]
    w, h = rng.choice(
        [(4.0, 3.0), (3.0, 4.0), (6.0, 2.5), (4.8, 2.0), (2.4, 1.0), (8.0, 6.0), (3.6, 1.5)]
    )
    t = rng.choice([0.5, 0.6, 0.75])
    p = Problem(
        "ramp",
        u,
        {a: (0.0, 0.0), c: (round(t * w, 4), round(t * h, 4)), b: (w, h)},
        title="Slipway ramp",
    )
    p.bodies = {"ramp": (a, c, b)}
    p.supports = [("pin", a, 0.0), ("roller", b, rng.choice([90.0, 90.0, 180.0]))]
    even = intensity(rng, u)
    p.dists = [Dist(a, b, even, even, 270.0, rng.random() < 0.5)]
    if rng.random() < 0.5:
        p.loads.append((c, force(rng, u), Slope(270.0), "down"))
    p.find = ["reactions"]
    return p if p.solve() else None


def symmetric_beam(rng: random.Random) -> Problem | None:
    """A beam and loads that are their own mirror image."""
    u = rng.choice(UNITS)
    n = rng.choice([3, 4, 5])
    js = names(rng)[:n]
    gaps = [span(rng, u, 0.8, 2.5) for _ in range((n - 1 + 1) // 2)]
    row = gaps + (gaps[::-1] if n % 2 else gaps[-2::-1])
    xs = [0.0]
    for gap in row:
        xs.append(round(xs[-1] + gap, 4))
    p = Problem(
        "beam symmetric", u, {j: (x, 0.0) for j, x in zip(js, xs, strict=False)}, title="Rack beam"
    )
    p.bodies = {"beam": tuple(js)}
    p.supports = [("pin", js[0], 0.0), ("roller", js[-1], 90.0)]
    for i in range(1, (n + 1) // 2):
        v = force(rng, u)
        for k in sorted({i, n - 1 - i}):
            p.loads.append((js[k], v, Slope(270.0), "down"))
    if rng.random() < 0.5:
        even = intensity(rng, u)
        p.dists = [Dist(js[0], js[-1], even, even)]
    p.find = ["reactions"]
    p.notes["symmetric"] = "yes"
    return p if p.solve() else None


def symmetric_truss(rng: random.Random) -> Problem | None:
    """A parallel truss with its loads mirrored about the middle."""
    p = parallel_truss(rng)
    if p is None:
        return None
    p.family, p.loads = "truss symmetric", []
    middle = max(x for x, _ in p.joints.values()) / 2
    held = {j for _, j, _ in p.supports}
    spots = [j for j in p.joints if j not in held]
    for j in rng.sample(spots, min(2, len(spots))):
        x, y = p.joints[j]
        mirror = next(
            (k for k, (a, b) in p.joints.items() if abs(a - (2 * middle - x)) < 1e-6 and b == y),
            None,
        )
        if mirror is None or any(q[0] in (j, mirror) for q in p.loads):
            continue
        v = force(rng, p.units)
        for k in sorted({j, mirror}):
            p.loads.append((k, v, Slope(270.0), "down"))
    if not p.loads or not p.solve():
        return None
    left, right = (f"{a}-{b}" for a, b in (p.members[0], p.members[-1]))
    p.find = ["reactions", *dict.fromkeys((left, right, f"{p.members[1][0]}-{p.members[1][1]}"))]
    p.notes["symmetric"] = "yes"
    return p


MORE = {
    "ladder": ladder,
    "ramp": ramp,
    "beam symmetric": symmetric_beam,
    "truss symmetric": symmetric_truss,
}
