"""Problems whose loads and lengths stay letters."""

from __future__ import annotations

import random

from .problem import Dist, Problem, Slope

JOINTS = list("ABCDEGJK")


def _p(family: str, title: str) -> Problem:
    p = Problem(family, ("N", "m"), {}, title=title, letters=("P", "a"))
    p.lets = ["let P", "let a"]
    return p


def letter_beam(rng: random.Random) -> Problem | None:
    """A beam with loads P, 2P at multiples of a."""
    n = rng.choice([3, 4])
    js = JOINTS[:n]
    p = _p("letters beam", "Staging beam in letters")
    x = 0.0
    for j in js:
        p.joints[j] = (x, 0.0)
        x += rng.choice([1.0, 1.0, 2.0])
    p.bodies = {"beam": tuple(js)}
    if rng.random() < 0.35:
        p.supports = [("fixed", js[0], 0.0)]
        held = {js[0]}
    else:
        right = js[-1] if n == 3 or rng.random() < 0.6 else js[-2]
        p.supports = [("pin", js[0], 0.0), ("roller", right, 90.0)]
        held = {js[0], right}
    for j in js:
        if j not in held:
            slope, words = rng.choice(
                [(Slope(270.0), "down")] * 4 + [(Slope(90.0), "up"), (Slope(180.0), "left")]
            )
            p.loads.append((j, rng.choice([1.0, 1.0, 2.0, 3.0]), slope, words))
    if rng.random() < 0.2:
        p.couples.append((js[-1], rng.choice([-1.0, 1.0, 2.0]), ""))
    p.find = ["reactions"]
    return p if p.solve() else None


def letter_spread(rng: random.Random) -> Problem | None:
    """A beam under w over its length or half of it."""
    p = Problem("letters spread", ("N", "m"), {}, title="Deck beam in letters", letters=("wL", "L"))
    p.lets = ["let w", "let L"]
    p.notes["w"] = "w"
    js = JOINTS[:3]
    p.joints = {js[0]: (0.0, 0.0), js[1]: (rng.choice([0.5, 0.5, 0.75]), 0.0), js[2]: (1.0, 0.0)}
    p.bodies = {"deck": tuple(js)}
    fixed = rng.random() < 0.3
    p.supports = (
        [("fixed", js[0], 0.0)]
        if fixed
        else [("pin", js[0], 0.0), ("roller", rng.choice([js[2], js[2], js[1]]), 90.0)]
    )
    ends = rng.choice([(js[0], js[2]), (js[0], js[1]), (js[1], js[2])])
    p.dists = [Dist(*ends, 1.0, 1.0)]
    p.find = ["reactions"]
    return p if p.solve() else None


def letter_truss(rng: random.Random) -> Problem | None:
    """A small truss of 45 degrees or of 3-4-5 triangles."""
    p = _p("letters truss", "Bracket truss in letters")
    a, b, c, d = JOINTS[:4]
    w, h = rng.choice([(1.0, 1.0), (4.0, 3.0), (3.0, 4.0)])
    if rng.random() < 0.5:
        p.joints = {a: (0.0, 0.0), b: (w, 0.0), c: (2 * w, 0.0), d: (w, h)}
        p.members = [(a, b), (b, c), (a, d), (b, d), (d, c)]
        p.supports = [("pin", a, 0.0), ("roller", c, 90.0)]
        spots = [b, d]
    else:
        p.joints = {a: (0.0, 0.0), b: (w, 0.0), c: (0.0, h), d: (w, h)}
        p.members = [(a, b), (c, d), (b, d), (c, b)]
        p.supports = [("pin", a, 0.0), ("pin", c, 0.0)]
        spots = [b, d]
    for j in rng.sample(spots, rng.choice([1, 2])):
        p.loads.append((j, rng.choice([1.0, 2.0]), Slope(270.0), "down"))
    p.find = rng.choice([["reactions", "all members"], ["all members"]])
    return p if p.solve() else None


LETTERS = {
    "letters beam": letter_beam,
    "letters spread": letter_spread,
    "letters truss": letter_truss,
}
