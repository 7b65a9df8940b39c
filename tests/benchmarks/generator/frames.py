"""Random problems of several bodies, of bodies with props and stays, of particles, of cut beams."""

from __future__ import annotations

import math
import random

from .families import UNITS, couple_size, force, intensity, load_direction, names, span
from .problem import Dist, Problem, Slope, fmt, solve_inner


def _r(x: float) -> float:
    return round(x, 4)


def _load(p: Problem, rng: random.Random, j: str, plain: float = 0.7) -> None:
    slope, words = load_direction(rng, plain)
    p.loads.append((j, force(rng, p.units), slope, words))


def _along(a: tuple[float, float], b: tuple[float, float], t: float) -> tuple[float, float]:
    return (_r(a[0] + t * (b[0] - a[0])), _r(a[1] + t * (b[1] - a[1])))


def three_hinged(rng: random.Random) -> Problem | None:
    """A three-hinged frame: two bent or straight halves, a crown pin, two pinned feet."""
    u = rng.choice(UNITS)
    ns = names(rng)
    w1, w2, h = span(rng, u, 2, 4), span(rng, u, 2, 4), span(rng, u, 2, 4)
    drop = rng.choice([0.0, 0.0, 0.0, span(rng, u, 0.5, 1)])
    a, c, e = ns[0], ns[1], ns[2]
    p = Problem("three-hinged frame", u, {a: (0.0, 0.0), c: (w1, h), e: (_r(w1 + w2), _r(-drop))})
    p.title = "Boathouse portal"
    left, right = [a], [c]
    if rng.random() < 0.6:  # portal: posts and beams
        b, d = ns[3], ns[4]
        p.joints[b], p.joints[d] = (0.0, h), (_r(w1 + w2), h)
        left, right = [a, b, c], [c, d, e]
    else:
        b, d = ns[3], ns[4]
        p.joints[b] = _along(p.joints[a], p.joints[c], rng.choice([0.4, 0.5, 0.6]))
        p.joints[d] = _along(p.joints[c], p.joints[e], rng.choice([0.4, 0.5, 0.6]))
        left, right = [a, b, c], [c, d, e]
    p.bodies = {"left": tuple(left), "right": tuple(right)}
    if rng.random() < 0.4 and len(p.joints) < len(ns):
        k = ns[5]
        p.joints[k] = _along(p.joints[b], p.joints[c], 0.5)
        p.bodies["left"] = (a, b, k, c)
        _load(p, rng, k, 0.9)
    p.supports = [("pin", a, 0.0), ("pin", e, 0.0)]
    for j in rng.sample([b, d], rng.choice([1, 2])):
        _load(p, rng, j, 0.4)
    if rng.random() < 0.25 and p.joints[b][1] == h:
        p.dists.append(Dist(b, c, intensity(rng, u), 0.0))
        p.dists[-1] = Dist(b, c, p.dists[-1].w1, p.dists[-1].w1)
    p.find = ["reactions"] + (
        [f"pin {c} x on left", f"pin {c} y on left"] if rng.random() < 0.5 else []
    )
    return p if p.solve() else None


def a_frame(rng: random.Random) -> Problem | None:
    """Two legs pinned at the top, a tie between them, a pin and a roller at the feet."""
    u = rng.choice(UNITS)
    ns = names(rng)
    a, b, c, d, e = ns[:5]
    w, h = span(rng, u, 1, 2.5), span(rng, u, 2, 4)
    t = rng.choice([0.25, 0.4, 0.5])
    p = Problem("A-frame", u, {a: (0.0, 0.0), c: (w, h), e: (_r(2 * w), 0.0)}, title="Trestle")
    p.joints[b] = _along(p.joints[a], p.joints[c], t)
    p.joints[d] = _along(p.joints[e], p.joints[c], t)
    p.bodies = {"leg1": (a, b, c), "leg2": (c, d, e)}
    p.members = [(b, d)]
    p.supports = [("pin", a, 0.0), ("roller", e, 90.0)]
    k = ns[5]
    p.joints[k] = _along(p.joints[a], p.joints[c], rng.choice([0.6, 0.7, 0.75, 0.8]))
    p.bodies["leg1"] = (a, b, k, c)
    _load(p, rng, k, 0.7)
    if rng.random() < 0.5:
        m = ns[6]
        p.joints[m] = _along(p.joints[e], p.joints[c], rng.choice([0.6, 0.75]))
        p.bodies["leg2"] = (c, m, d, e)
        _load(p, rng, m, 0.7)
    p.find = ["reactions", f"{b}-{d}"] + (
        [f"pin {c} x on leg1", f"pin {c} y on leg1"] if rng.random() < 0.4 else []
    )
    return p if p.solve() else None


def propped(rng: random.Random) -> Problem | None:
    """A boom or shelf pinned at the wall and held by a prop below or a stay above."""
    u = rng.choice(UNITS)
    ns = names(rng)
    a, b, c, w = ns[:4]
    stay = rng.random() < 0.5
    x1, x2, h = span(rng, u, 1, 3), span(rng, u, 0.6, 2), span(rng, u, 0.8, 3)
    rise = rng.choice([0.0, 0.0, span(rng, u, 0.5, 1.5)])
    far = _r(x1 + x2)
    p = Problem(
        "propped boom",
        u,
        {a: (0.0, 0.0), b: (x1, _r(rise * x1 / far)), c: (far, rise)},
        title="Davit boom",
    )
    p.joints[w] = (0.0, _r(h + rise)) if stay else (0.0, -h)
    p.bodies = {"boom": (a, b, c)}
    (p.cables if stay else p.members).append((b, w) if rng.random() < 0.6 else (c, w))
    if not stay and p.members[0][0] == c:
        return None
    p.supports = [("pin", a, 0.0), ("pin", w, 0.0)]
    _load(p, rng, c, 0.8)
    if rng.random() < 0.3 and p.cables + p.members != [(b, w)]:
        _load(p, rng, b, 0.9)
    if rng.random() < 0.25 and rise == 0:
        i, j = rng.choice([(a, b), (a, c)])
        even = intensity(rng, u)
        p.dists.append(Dist(i, j, even, even))
    bar = (p.cables + p.members)[0]
    p.find = [f"{bar[0]}-{bar[1]}", f"reaction {a}"]
    if not p.solve() or (stay and p.truth[f"{bar[0]}-{bar[1]}"] <= 0):
        return None
    p.find = [f"{bar[0]}-{bar[1]}", f"reaction {a} x", f"reaction {a} y"]
    return p


def mast(rng: random.Random) -> Problem | None:
    """A mast on a pin with a stay to the ground, pulled sideways."""
    u = rng.choice(UNITS)
    ns = names(rng)
    a, b, c, g = ns[:4]
    h1, h2, run = span(rng, u, 1.5, 4), span(rng, u, 0.5, 2), span(rng, u, 1, 3.5)
    p = Problem(
        "mast and stay",
        u,
        {a: (0.0, 0.0), b: (0.0, h1), c: (0.0, _r(h1 + h2)), g: (-run, 0.0)},
        title="Signal mast",
    )
    p.bodies = {"mast": (a, b, c)}
    top = rng.choice([b, c])
    p.cables = [(top, g)]
    p.supports = [("pin", a, 0.0), ("pin", g, 0.0)]
    p.loads.append((c, force(rng, u), Slope(0.0), "right"))
    if rng.random() < 0.4:
        acute = rng.choice([20, 30, 40, 55])
        p.loads.append(
            (b if top == c else c, force(rng, u), Slope(360.0 - acute), f"at {fmt(360 - acute)}")
        )
    if not p.solve() or p.truth[f"{top}-{g}"] <= 0:
        return None
    p.find = [f"{top}-{g}", f"reaction {a} x", f"reaction {a} y"]
    return p


def particle(rng: random.Random) -> Problem | None:
    """A knot or pin held by two cables or bars under a load or a mass."""
    u = rng.choice(UNITS)
    ns = names(rng)
    a, b, c = ns[:3]
    p = Problem("particle", u, {a: (0.0, 0.0)}, title="Hoist knot")
    bars = rng.random() < 0.4
    x1, x2 = span(rng, u, 0.5, 3), span(rng, u, 0.5, 3)
    if bars:
        p.joints[b], p.joints[c] = (-x1, _r(span(rng, u, 0.5, 2))), (-x1, -_r(span(rng, u, 0.5, 2)))
        p.members = [(a, b), (a, c)]
    else:
        p.joints[b], p.joints[c] = (
            (-x1, span(rng, u, 0.5, 2)),
            (x2, span(rng, u, 0.0 if rng.random() < 0.2 else 0.5, 2)),
        )
        p.cables = [(a, b), (a, c)]
    p.supports = [("pin", b, 0.0), ("pin", c, 0.0)]
    if rng.random() < 0.3 and u[0] in ("N", "kN") and not bars:
        p.units = ("N", "m")
        p.masses = [(a, float(rng.choice([12, 20, 35, 45, 60, 85, 140])))]
    else:
        p.loads.append((a, force(rng, u), Slope(270.0), "down"))
        if rng.random() < 0.3:
            p.loads.append((a, round(force(rng, u) / 3, 1), Slope(0.0), "right"))
    p.find = [f"{a}-{b}", f"{a}-{c}"]
    if not p.solve() or (p.cables and min(p.truth[i] for i in p.find) <= 0):
        return None
    return p


def compound_beam(rng: random.Random) -> Problem | None:
    """Two beams joined by a hinge, one of them built in or on two supports."""
    u = rng.choice(UNITS)
    ns = names(rng)
    js = ns[:5]
    xs = [0.0]
    for _ in range(4):
        xs.append(_r(xs[-1] + span(rng, u, 1, 2.5)))
    p = Problem(
        "compound beam", u, {j: (x, 0.0) for j, x in zip(js, xs, strict=True)}, title="Gangway"
    )
    if rng.random() < 0.5:
        p.bodies = {"inner": tuple(js[:3]), "outer": tuple(js[2:])}
        p.supports = [("fixed", js[0], 0.0), ("roller", js[4], 90.0)]
        spots = [js[1], js[3]]
        hinge = js[2]
    else:
        p.bodies = {"inner": tuple(js[:4]), "outer": tuple(js[3:])}
        p.supports = [("pin", js[0], 0.0), ("roller", js[2], 90.0), ("roller", js[4], 90.0)]
        k = ns[5]
        p.joints[k] = _along(p.joints[js[3]], p.joints[js[4]], 0.5)
        p.bodies["outer"] = (js[3], k, js[4])
        spots = [js[1], k]
        hinge = js[3]
    for j in rng.sample(spots, rng.choice([1, 2])):
        _load(p, rng, j, 0.8)
    if rng.random() < 0.4:
        on = rng.choice(list(p.bodies))
        even = intensity(rng, u)
        p.dists.append(Dist(p.bodies[on][0], p.bodies[on][-1], even, even))
    if rng.random() < 0.2:
        j = spots[0]
        p.couples.append((j, couple_size(rng, u) * rng.choice([-1, 1]), "inner"))
    p.find = ["reactions"] + ([f"pin {hinge} y on inner"] if rng.random() < 0.5 else [])
    return p if p.solve() else None


def lever_press(rng: random.Random) -> Problem | None:
    """Two pinned levers joined by a link; the upper presses a block (a roller)."""
    u = rng.choice(UNITS)
    ns = names(rng)
    a, b, c, d, e, g = ns[:6]
    h = span(rng, u, 0.6, 1.5)
    x1, x2, y1, y2 = (span(rng, u, 0.4, 1.5) for _ in range(4))
    p = Problem(
        "lever press", u, {a: (0.0, 0.0), b: (x1, 0.0), c: (_r(x1 + x2), 0.0)}, title="Rigger press"
    )
    lean = rng.choice([0.0, 0.0, 0.3]) * (80 if u[1] == "mm" else 1)
    p.joints[d] = (_r(x1 + lean), h)
    p.joints[e] = (_r(x1 + lean - y1), h)
    p.joints[g] = (_r(x1 + lean + y2), h)
    p.bodies = {"handle": (a, b, c), "jaw": (e, d, g)}
    p.members = [(b, d)]
    p.supports = [("pin", a, 0.0), ("pin", e, 0.0), ("roller", g, 90.0)]
    p.loads.append((c, force(rng, u), Slope(270.0), "down"))
    if rng.random() < 0.3:
        p.loads[-1] = (c, p.loads[-1][1], Slope(300.0), "at 300")
    p.find = [f"{b}-{d}", f"reaction {g}"] + (["reactions"] if rng.random() < 0.5 else [])
    return p if p.solve() else None


def cut_beam(rng: random.Random) -> Problem | None:
    """Shear and bending moment at a point of a beam."""
    from .families import beam, cantilever

    p = rng.choice([beam, cantilever])(rng)
    if p is None or len(p.joints) < 3:
        return None
    busy = {j for _, j, _ in p.supports} | {x[0] for x in p.loads} | {c[0] for c in p.couples}
    name, js = next(iter(p.bodies.items()))
    xs = {j: p.joints[j][0] for j in js}
    inside = [j for j in js if j not in busy and 0 < js.index(j) < len(js) - 1]
    if not inside:
        i = rng.randrange(len(js) - 1)
        new = next((n for n in "ZWUTSRQPKJ" if n not in p.joints and n not in "R"), None)
        if new is None:
            return None
        x = _r(xs[js[i]] + (xs[js[i + 1]] - xs[js[i]]) * rng.choice([0.4, 0.5, 0.6]))
        order = [*js[: i + 1], new, *js[i + 1 :]]
        p.joints = {j: ((x, 0.0) if j == new else p.joints[j]) for j in order}
        p.bodies = {name: tuple(order)}
        inside = [new]
    at = rng.choice(inside)
    x = p.joints[at][0]
    for d in p.dists:
        if d.w1 != d.w2 and p.joints[d.a][0] < x < p.joints[d.b][0]:
            return None
    p.family = "beam cut"
    p.inner_at = [(name, at)]
    solve_inner(p)
    p.find = [*rng.choice([["reactions"], []]), f"shear at {at}", f"moment at {at}"]
    if rng.random() < 0.2:
        p.find.append(f"axial at {at}")
    return p if math.isfinite(p.truth[f"moment at {at}"]) else None


FRAMES = {
    "three-hinged frame": three_hinged,
    "A-frame": a_frame,
    "propped boom": propped,
    "mast and stay": mast,
    "particle": particle,
    "compound beam": compound_beam,
    "lever press": lever_press,
    "beam cut": cut_beam,
}
