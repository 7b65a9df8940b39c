"""Random pulleyless machines and particles: cranks, tongs, clamps, knots, boats on a slip."""

from __future__ import annotations

import math
import random

from .families import UNITS, force, names, span
from .frames import _r
from .problem import Problem, Slope, fmt


def bell_crank(rng: random.Random) -> Problem | None:
    """A bent lever on a pin, a push on one arm, a rod to an anchor on the other."""
    u = rng.choice(UNITS)
    a, b, c, d = names(rng)[:4]
    p = Problem("bell crank", u, {a: (0.0, 0.0)}, title="Rudder crank")
    p.joints[b] = (span(rng, u, 0.5, 2), _r(rng.choice([0.0, 0.0, 0.3]) * span(rng, u, 0.5, 1)))
    p.joints[c] = (_r(-rng.choice([0.0, 0.0, 0.2]) * span(rng, u, 0.5, 1)), span(rng, u, 0.5, 2))
    run = span(rng, u, 0.8, 2.5)
    p.joints[d] = (
        _r(p.joints[c][0] - run),
        _r(p.joints[c][1] + rng.choice([0.0, -0.4, 0.5]) * run),
    )
    p.bodies = {"crank": (c, a, b)}
    p.members = [(c, d)]
    p.supports = [("pin", a, 0.0), ("pin", d, 0.0)]
    deg = float(rng.choice([270, 270, 250, 240, 290, 300]))
    p.loads.append((b, force(rng, u), Slope(deg), "down" if deg == 270 else f"at {fmt(deg)}"))
    p.find = [f"{c}-{d}", f"reaction {a} x", f"reaction {a} y"]
    return p if p.solve() else None


def tongs(rng: random.Random) -> Problem | None:
    """A bench clamp: the lower jaw stands on a pin and a roller, the upper is pinned to it."""
    u = rng.choice(UNITS)
    ns = names(rng)
    a, b, c, d, e, g = ns[:6]
    x1, x2, gap = span(rng, u, 0.3, 0.8), span(rng, u, 0.8, 2), span(rng, u, 0.2, 0.6)
    p = Problem("tongs", u, {}, title="Rigger's tongs")
    p.joints = {
        a: (0.0, 0.0), b: (x1, 0.0), c: (_r(x1 + x2), 0.0), d: (0.0, gap), e: (x1, gap),
        g: (_r(x1 + x2), _r(gap + rng.choice([0.0, 0.3]) * gap)),
    }  # fmt: skip
    # The jaws are pinned at b's post: the lower body reaches up to e.
    p.bodies = {"lower": (a, b, e, c), "upper": (d, e, g)}
    p.members = [(a, d)]
    p.supports = [("pin", b, 0.0), ("roller", c, 90.0)]
    p.loads.append((g, force(rng, u), Slope(270.0), "down"))
    p.find = [f"{a}-{d}", f"pin {e} x on lower", f"pin {e} y on lower"]
    if rng.random() < 0.6:
        p.find.append("reactions")
    return p if p.solve() else None


def toggle(rng: random.Random) -> Problem | None:
    """A toggle press: a knee of two links, a push on the knee, a block on a roller."""
    u = rng.choice(UNITS)
    a, b, c, w = names(rng)[:4]
    h, x1, x2 = span(rng, u, 0.3, 1), span(rng, u, 0.8, 2), span(rng, u, 0.8, 2)
    p = Problem(
        "toggle", u, {a: (0.0, 0.0), b: (x1, h), c: (_r(x1 + x2), 0.0)}, title="Toggle clamp"
    )
    p.joints[w] = (_r(x1 + 2 * x2), 0.0)
    p.members = [(a, b), (b, c), (c, w)]
    p.supports = [("pin", a, 0.0), ("roller", c, 90.0), ("pin", w, 0.0)]
    deg = float(rng.choice([270, 270, 255, 285]))
    p.loads.append((b, force(rng, u), Slope(deg), "down" if deg == 270 else f"at {fmt(deg)}"))
    p.find = [f"{a}-{b}", f"{b}-{c}", f"{c}-{w}", f"reaction {c}"]
    return p if p.solve() else None


def knot(rng: random.Random) -> Problem | None:
    """A knot of two cables or bars under one to three loads in any direction."""
    u = rng.choice(UNITS)
    a, b, c = names(rng)[:3]
    p = Problem("knot", u, {a: (0.0, 0.0)}, title="Mooring knot")
    r1, r2 = span(rng, u, 0.8, 3), span(rng, u, 0.8, 3)
    t1, t2 = rng.uniform(15, 75), rng.uniform(100, 170)
    p.joints[b] = (
        _r(round(r1 * math.cos(math.radians(t1)), 2)),
        round(r1 * math.sin(math.radians(t1)), 2),
    )
    p.joints[c] = (
        _r(round(r2 * math.cos(math.radians(t2)), 2)),
        round(r2 * math.sin(math.radians(t2)), 2),
    )
    p.members = [(a, b), (a, c)]
    p.supports = [("pin", b, 0.0), ("pin", c, 0.0)]
    p.loads.append((a, force(rng, u), Slope(270.0), "down"))
    for _ in range(rng.choice([0, 1, 1, 2])):
        deg = float(rng.choice([200, 215, 228, 240, 292, 310, 325, 340]))
        p.loads.append((a, force(rng, u), Slope(deg), f"at {fmt(deg)}"))
    p.find = [f"{a}-{b}", f"{a}-{c}"]
    if not p.solve():
        return None
    big = max(abs(v) for v in p.truth.values())
    return p if min(abs(p.truth[k]) for k in p.find) > 0.05 * big else None


def slip_boat(rng: random.Random) -> Problem | None:
    """A boat on a smooth slip, held by a cable along the slope or at an angle to it."""
    u = rng.choice([("N", "m"), ("kN", "m"), ("lbf", "ft")])
    a, b = names(rng)[:2]
    w, h = span(rng, u, 1.5, 4), span(rng, u, 0.5, 1.5)
    tilt = math.degrees(math.atan2(h, w))
    p = Problem("slip boat", u, {a: (0.0, 0.0), b: (w, h)}, title="Dinghy on the slip")
    slope = rng.choice([15.0, 20.0, 25.0, 30.0])
    if abs(slope - tilt) < 3:
        return None
    p.cables = [(a, b)]
    p.supports = [("pin", b, 0.0), ("roller", a, 90.0 + slope)]
    p.loads.append((a, force(rng, u), Slope(270.0), "down"))
    p.find = [f"{a}-{b}", f"reaction {a}"]
    if not p.solve() or min(p.truth[k] for k in p.find) <= 0:
        return None
    return p


MACHINES = {
    "bell crank": bell_crank,
    "tongs": tongs,
    "toggle": toggle,
    "knot": knot,
    "slip boat": slip_boat,
}
