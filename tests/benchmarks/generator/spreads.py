"""Random beams, ramps and frames under spread loads: partial spans, along the body, sideways."""

from __future__ import annotations

import math
import random

from .families import PLAIN, UNITS, couple_size, force, intensity, load_direction, names, span
from .frames import _along, _r
from .problem import Dist, Problem, Slope, fmt


def busy_beam(rng: random.Random) -> Problem | None:
    """A beam with two spread loads on parts of it, a couple and a point load."""
    u = rng.choice(UNITS)
    k = rng.choice([4, 5, 6])
    js = names(rng)[:k]
    xs = [0.0]
    for _ in js[1:]:
        xs.append(_r(xs[-1] + span(rng, u, 0.6, 2.2)))
    p = Problem("beam busy", u, {j: (x, 0.0) for j, x in zip(js, xs, strict=True)}, title="Pontoon")
    p.bodies = {"deck": tuple(js)}
    left, right = rng.choice([(0, k - 1), (0, k - 2), (1, k - 1), (1, k - 2)])
    p.supports = [("pin", js[left], 0.0), ("roller", js[right], 90.0)]
    if rng.random() < 0.2:
        p.supports = [("fixed", js[0], 0.0)]
    spans = rng.sample([(i, j) for i in range(k) for j in range(i + 1, min(k, i + 3))], 2)
    for i, j in spans:
        w = intensity(rng, u)
        ends = rng.choice([(w, w), (w, w), (0.0, w), (w, 0.0), (w, round(1.5 * w, 3))])
        p.dists.append(Dist(js[i], js[j], *ends, 90.0 if rng.random() < 0.1 else 270.0))
    if rng.random() < 0.5:
        p.couples.append((rng.choice(js), couple_size(rng, u) * rng.choice([-1, 1]), ""))
    if rng.random() < 0.7:
        slope, words = load_direction(rng, 0.6)
        p.loads.append((rng.choice(js[1:-1]), force(rng, u), slope, words))
    p.find = ["reactions"]
    return p if p.solve() else None


def rafter(rng: random.Random) -> Problem | None:
    """A sloping body of any pitch: snow on plan, own weight along it, wind square to it."""
    u = rng.choice(PLAIN)
    a, b, d = names(rng)[:3]
    w, h = span(rng, u, 2, 6), span(rng, u, 0.8, 3)
    p = Problem("rafter", u, {a: (0.0, 0.0), d: (w, h)}, title="Slip rafter")
    t = rng.choice([0.3, 0.4, 0.5, 0.65])
    p.joints = {a: (0.0, 0.0), b: _along((0.0, 0.0), (w, h), t), d: (w, h)}
    p.bodies = {"rafter": (a, b, d)}
    pitch = math.degrees(math.atan2(h, w))
    roller = rng.choice([90.0, 90.0, 180.0, round(pitch + 90, 0)])
    p.supports = [("pin", a, 0.0), ("roller", d, roller)]
    if rng.random() < 0.2:
        p.supports = [("fixed", a, 0.0)]
    even = intensity(rng, u)
    i, j = rng.choice([(a, d), (a, d), (a, b), (b, d)])
    kind = rng.choice(["plan", "along", "along", "side"])
    if kind == "plan":
        p.dists.append(Dist(i, j, even, even, 270.0, True))
    elif kind == "along":
        p.dists.append(Dist(i, j, *rng.choice([(even, even), (even, even), (0.0, even)])))
    else:
        p.dists.append(Dist(i, j, even, even, 0.0))
    if rng.random() < 0.6:
        slope, words = load_direction(rng, 0.7)
        p.loads.append((b, force(rng, u), slope, words))
    if rng.random() < 0.2:
        p.couples.append((d, couple_size(rng, u) * rng.choice([-1, 1]), ""))
    p.find = ["reactions"]
    return p if p.solve() else None


def bent(rng: random.Random) -> Problem | None:
    """A bent built-in or propped frame with wind on the post and a load on the beam."""
    u = rng.choice(UNITS)
    a, b, c, d = names(rng)[:4]
    w, h = span(rng, u, 1, 3), span(rng, u, 1.5, 4)
    far = _r(w + span(rng, u, 0.5, 1.5))
    p = Problem(
        "bent frame", u, {a: (0.0, 0.0), b: (0.0, h), c: (w, h), d: (far, h)}, title="Boat hoist"
    )
    p.bodies = {"frame": (a, b, c, d)}
    p.supports = [("fixed", a, 0.0)]
    if rng.random() < 0.5:
        p.supports = [("pin", a, 0.0), ("roller", c, 90.0)]
    even = intensity(rng, u)
    p.dists.append(Dist(a, b, *rng.choice([(even, even), (even, 0.0)]), rng.choice([0.0, 180.0])))
    if rng.random() < 0.5:
        other = intensity(rng, u)
        p.dists.append(Dist(*rng.choice([(b, c), (c, d), (b, d)]), other, other))
    for j in rng.sample([c, d], rng.choice([1, 2])):
        slope, words = load_direction(rng, 0.6)
        p.loads.append((j, force(rng, u), slope, words))
    if rng.random() < 0.4:
        p.couples.append((rng.choice([b, d]), couple_size(rng, u) * rng.choice([-1, 1]), ""))
    p.find = ["reactions"]
    return p if p.solve() else None


def hung_platform(rng: random.Random) -> Problem | None:
    """A platform held by three cables or bars to anchors, no pin at all."""
    u = rng.choice(UNITS)
    ns = names(rng)
    a, b, c, d, e, g = ns[:6]
    x1, x2, h = span(rng, u, 0.8, 2), span(rng, u, 0.8, 2.5), span(rng, u, 0.8, 2)
    far = _r(x1 + x2)
    lean = rng.choice([span(rng, u, 0.4, 1.5), -span(rng, u, 0.4, 1.5)])
    p = Problem(
        "hung platform", u, {a: (0.0, 0.0), b: (x1, 0.0), c: (far, 0.0), d: (0.0, h), e: (far, h)},
        title="Work platform",
    )  # fmt: skip
    p.joints[g] = (_r(far + lean), h) if rng.random() < 0.5 else (_r(lean), h)
    foot = c if p.joints[g][0] > far / 2 else a
    if min(abs(p.joints[g][0] - p.joints[q][0]) for q in (d, e)) < 0.2 * x1:
        return None
    p.bodies = {"platform": (a, b, c)}
    p.members = [(a, d), (c, e), (foot, g)]
    p.supports = [("pin", d, 0.0), ("pin", e, 0.0), ("pin", g, 0.0)]
    p.loads.append((b, force(rng, u), Slope(270.0), "down"))
    side = rng.choice([a, c])
    acute = rng.choice([20, 35, 50, 65])
    deg = float(rng.choice([180 + acute, 360 - acute]))
    p.loads.append((side, force(rng, u), Slope(deg), f"at {fmt(deg)}"))
    p.find = [f"{i}-{j}" for i, j in p.members]
    return p if p.solve() else None


def knee_frame(rng: random.Random) -> Problem | None:
    """A post built in at its foot, a beam pinned to its head and propped by a knee brace."""
    u = rng.choice(UNITS)
    a, b, c, d, e = names(rng)[:5]
    h1, h2 = span(rng, u, 1, 2.5), span(rng, u, 0.8, 1.5)
    x1, x2 = span(rng, u, 0.8, 1.5), span(rng, u, 0.5, 1.5)
    p = Problem(
        "knee frame", u, {a: (0.0, 0.0), b: (0.0, h1), c: (0.0, _r(h1 + h2))}, title="Rack arm"
    )
    p.joints[d], p.joints[e] = (x1, _r(h1 + h2)), (_r(x1 + x2), _r(h1 + h2))
    p.bodies = {"post": (a, b, c), "arm": (c, d, e)}
    p.members = [(b, d)]
    p.supports = [("fixed", a, 0.0)]
    slope, words = load_direction(rng, 0.7)
    p.loads.append((e, force(rng, u), slope, words))
    if rng.random() < 0.4:
        even = intensity(rng, u)
        p.dists.append(Dist(*rng.choice([(c, e), (c, d)]), even, even))
    if rng.random() < 0.3:
        p.couples.append((e, couple_size(rng, u) * rng.choice([-1, 1]), "arm"))
    p.find = [f"{b}-{d}", f"pin {c} x on post", f"pin {c} y on post"]
    if rng.random() < 0.5:
        p.find.append("reactions")
    return p if p.solve() else None


def double_gerber(rng: random.Random) -> Problem | None:
    """Three beams in a row with two hinges on a pin and three rollers."""
    u = rng.choice(UNITS)
    js = names(rng)[:7]
    xs = [0.0]
    for _ in js[1:]:
        xs.append(_r(xs[-1] + span(rng, u, 0.8, 2)))
    p = Problem(
        "hinged gangway",
        u,
        {j: (x, 0.0) for j, x in zip(js, xs, strict=True)},
        title="Long gangway",
    )
    p.bodies = {"first": tuple(js[:3]), "middle": tuple(js[2:5]), "last": tuple(js[4:])}
    p.supports = [("pin", js[0], 0.0), *(("roller", js[i], 90.0) for i in (1, 5, 6))]
    p.loads.append((js[3], force(rng, u), Slope(270.0), "down"))
    if rng.random() < 0.6:
        even = intensity(rng, u)
        on = rng.choice(list(p.bodies.values()))
        p.dists.append(Dist(on[0], on[-1], even, even))
    if rng.random() < 0.3:
        p.couples.append((js[3], couple_size(rng, u) * rng.choice([-1, 1]), "middle"))
    p.find = ["reactions"] + ([f"pin {js[2]} y on first"] if rng.random() < 0.4 else [])
    return p if p.solve() else None


SPREADS = {
    "beam busy": busy_beam,
    "rafter": rafter,
    "bent frame": bent,
    "hung platform": hung_platform,
    "knee frame": knee_frame,
    "hinged gangway": double_gerber,
}
